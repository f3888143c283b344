// Transverse Mercator (EPSG methods 9807, 9808, 1111 and 9824).

package crs

import "math"

// tmerc is the transverse Mercator projection by Krüger's series in the third
// flattening n to order n^6, forward and inverse. Source and symbols: C. F. F.
// Karney, Transverse Mercator with an accuracy of a few nanometers, J. Geod. 85
// (2011) 475-485, equations 7 to 12, 35 and 36; the conformal latitude chi by
// its series, as in Engsager and Poder 2007.
//
// Units: radians and metres. Error: below 5 nm within 3900 km of the central
// meridian (Karney 2011), below 0.01 mm within the domain |eta'| <= maxEta,
// which is 58 degrees of longitude on the equator and more towards the poles;
// the first term left out grows as exp(14 eta') and makes 0.3 mm at 76 degrees.
// Outside the domain both directions give NaN.
type tmerc struct {
	kA       float64 // scale factor times rectifying radius
	perKA    float64 // its inverse
	xi0      float64 // xi at the latitude of origin
	chi, phi sineSeries
	alp, bet sineSeries
}

// maxEta bounds |eta'|, and with it the distance from the central meridian:
// atanh(sin 58 degrees).
const maxEta = 1.25

func newTmerc(el *ellipsoid, phi0, k0 float64) *tmerc {
	n := el.n
	t := &tmerc{
		kA:  k0 * el.rectifyingRadius(),
		chi: el.conformalFromGeodetic(),
		phi: el.geodeticFromConformal(),
		alp: newSineSeries(
			n*(1./2+n*(-2./3+n*(5./16+n*(41./180+n*(-127./288+n*7891./37800))))),
			n*n*(13./48+n*(-3./5+n*(557./1440+n*(281./630+n*-1983433./1935360)))),
			n*n*n*(61./240+n*(-103./140+n*(15061./26880+n*167603./181440))),
			n*n*n*n*(49561./161280+n*(-179./168+n*6601661./7257600)),
			n*n*n*n*n*(34729./80640+n*-3418889./1995840),
			n*n*n*n*n*n*212378941./319334400,
		),
		bet: newSineSeries(
			n*(1./2+n*(-2./3+n*(37./96+n*(-1./360+n*(-81./512+n*96199./604800))))),
			n*n*(1./48+n*(1./15+n*(-437./1440+n*(46./105+n*-1118711./3870720)))),
			n*n*n*(17./480+n*(-37./840+n*(-209./4480+n*5569./90720))),
			n*n*n*n*(4397./161280+n*(-11./504+n*-830251./7257600)),
			n*n*n*n*n*(4583./161280+n*-108847./3991680),
			n*n*n*n*n*n*20648693./638668800,
		),
	}
	t.perKA = 1 / t.kA
	_, y := t.forward(0, phi0)
	t.xi0 = y * t.perKA
	return t
}

func (t *tmerc) forward(lam, phi float64) (x, y float64) {
	sp, cp := math.Sincos(phi)
	sl, cl := math.Sincos(lam)
	// chi = phi + d; |d| < 0.004, so its sine and cosine are short series.
	d := t.chi.sum(2*sp*cp, 1-2*sp*sp)
	sd, cd := smallSincos(d)
	sc, cc := sp*cd+cp*sd, cp*cd-sp*sd
	u, v := cc*cl, cc*sl
	v2 := v * v
	w := 1 / (sc*sc + u*u) // 1/(1 - v²)
	re, im := t.alp.complexSum(2*sc*u*w, (u*u-sc*sc)*w, 2*v*w, (1+v2)*w)

	// eta' = atanh v, xi' = atan2(sin chi, u) = chi + atan q
	var eta, xi float64
	if v2 < 0.01 {
		v4 := v2 * v2
		eta = v + v*v2*((1./3+v2*(1./5))+v4*((1./7+v2*(1./9))+v4*((1./11+v2*(1./13))+v4*(1./15))))
	} else if eta = math.Atanh(v); !(math.Abs(eta) <= maxEta) {
		return math.NaN(), math.NaN()
	}
	if q := sc * cc * (1 - cl) / (cc*u + sc*sc); q < 0.02 && q > -0.02 {
		q2 := q * q
		xi = phi + d + q*(1-q2*(1./3-q2*(1./5-q2*(1./7))))
	} else {
		xi = math.Atan2(sc, u)
	}
	return t.kA * (eta + im), t.kA * (xi - t.xi0 + re)
}

func (t *tmerc) inverse(x, y float64) (lam, phi float64) {
	xi, eta := y*t.perKA+t.xi0, x*t.perKA
	// A generous bound first: the series must not be fed with nonsense.
	if !(math.Abs(eta) <= 2*maxEta && math.Abs(xi) <= math.Pi/2+0.01) {
		return math.NaN(), math.NaN()
	}
	s, c := math.Sincos(xi)
	sh, ch := sinhcosh(eta)
	re, im := t.bet.complexSum(2*s*c, 1-2*s*s, 2*sh*ch, 1+2*sh*sh)
	// xi' = xi - re, eta' = eta - im
	if re < 0.005 && re > -0.005 && im < 0.005 && im > -0.005 {
		sd, cd := smallSincos(re)
		s, c = s*cd-c*sd, c*cd+s*sd
		d2 := im * im
		shd, chd := im*(1+d2*(1./6+d2*(1./120))), 1+d2*(1./2+d2*(1./24))
		sh, ch = sh*chd-ch*shd, ch*chd-sh*shd
	} else {
		s, c = math.Sincos(xi - re)
		sh, ch = sinhcosh(eta - im)
	}
	if !(math.Abs(eta-im) <= maxEta) {
		return math.NaN(), math.NaN()
	}
	r := math.Sqrt(sh*sh + c*c)
	// chi = atan2(s, r) = xi' - atan q
	chi := xi - re
	if q := s * sh * sh / ((r + c) * (c*r + s*s)); c > 0 && q < 0.02 && q > -0.02 {
		q2 := q * q
		chi -= q * (1 - q2*(1./3-q2*(1./5-q2*(1./7))))
	} else {
		chi = math.Atan2(s, r)
	}
	// sin chi = s / cosh eta', cos chi = r / cosh eta'
	i2 := 1 / (ch * ch)
	phi = chi + t.phi.sum(2*s*r*i2, (r*r-s*s)*i2)
	if c > 0 {
		lam = math.Atan(sh / c)
	} else {
		lam = math.Atan2(sh, c)
	}
	return lam, phi
}

// smallSincos is sine and cosine for |x| < 0.005, to 1e-18.
func smallSincos(x float64) (s, c float64) {
	x2 := x * x
	return x * (1 - x2*(1./6-x2*(1./120))), 1 - x2*(1./2-x2*(1./24-x2*(1./720)))
}

// sinhcosh is sinh and cosh of x, to rounding, quick for |x| < 0.25.
func sinhcosh(x float64) (s, c float64) {
	if x < 0.25 && x > -0.25 {
		x2 := x * x
		x4 := x2 * x2
		s = x + x*x2*((1./6+x2*(1./120))+x4*((1./5040+x2*(1./362880))+x4*(1./39916800)))
		return s, math.Sqrt(1 + s*s)
	}
	e := math.Exp(x)
	i := 1 / e
	return (e - i) / 2, (e + i) / 2
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := newTmerc(el, c.get(8801)*radPerDeg, c.get(8805))
	fe, fn := c.get(8806), c.get(8807)
	if c.method == 9808 {
		// South orientated: the official axes run west and south, ours do not,
		// so the false origin changes sign.
		fe, fn = -fe, -fn
	}
	return p, c.get(8802), fe, fn, nil
}, 9807, 9808, 1111)
