// Hotine oblique Mercator (EPSG methods 9812 and 9815), the Swiss and Malaysian
// grids among them.

package crs

import "math"

// hotine is the rectified skew orthomorphic projection; IOGP 373-7-2 section
// 3.2.3, symbols from there. Variant A has its natural origin where the line
// crosses the equator of the aposphere, variant B at the projection centre. An
// azimuth of 90 degrees (Switzerland, Hungary) is the oblique Mercator on the
// conformal sphere. Closed but for the series of the conformal latitude; the
// error is rounding, below 0.1 µm. Domain: a turn of the aposphere about the
// natural origin, without the two poles of the skew line, where v is infinite.
type hotine struct {
	el       *ellipsoid
	a, b     float64 // A and B
	lnH      float64
	sg0, cg0 float64 // gamma0, of the skew line
	sgc, cgc float64 // gammaC, of the rectified grid
	u0       float64 // u at the centre, 0 in variant A
	lamC     float64 // lambdaC - lambda0
	toLat    sineSeries
}

func newHotine(el *ellipsoid, phiC, alphaC, gammaC, kC float64, atCentre bool) *hotine {
	s, c := math.Sincos(phiC)
	p := &hotine{el: el, toLat: el.geodeticFromConformal()}
	w := math.Sqrt(1 - el.e2*s*s)
	p.b = math.Sqrt(1 + el.ep2*c*c*c*c)
	root := math.Sqrt(1 - el.e2)
	p.a = el.a * p.b * kC * root / (w * w)
	d := math.Max(1, p.b*root/(c*w))
	rd := math.Copysign(math.Sqrt((d-1)*(d+1)), phiC)
	f := d + rd
	p.lnH = math.Log(f) - p.b*el.isometric(s, c)
	sa, ca := math.Sincos(alphaC)
	p.sg0 = sa / d
	p.cg0 = math.Sqrt((1 - p.sg0) * (1 + p.sg0))
	p.sgc, p.cgc = math.Sincos(gammaC)
	// G = (F - 1/F)/2 is rd itself; G tan gamma0 is 1 for an azimuth of 90
	// degrees, where an arcsine would lose half the digits.
	g := rd * p.sg0 / p.cg0
	if math.Abs(ca) < 1e-12 {
		p.lamC = math.Copysign(math.Pi/2, g) / p.b
	} else {
		p.lamC = math.Asin(math.Max(-1, math.Min(1, g))) / p.b
	}
	if atCentre {
		if math.Abs(ca) < 1e-12 {
			p.u0 = p.a * p.lamC
		} else {
			p.u0 = p.a / p.b * math.Atan2(math.Abs(rd), ca) * math.Copysign(1, phiC)
		}
	}
	return p
}

func (p *hotine) forward(lam, phi float64) (x, y float64) {
	angle := p.b * (lam + p.lamC)
	sl, cl := math.Sincos(angle)
	sp, cp := math.Sincos(phi)
	if cp < 1e-14 || math.Abs(angle) > math.Pi {
		return math.NaN(), math.NaN()
	}
	q := math.Exp(p.lnH + p.b*p.el.isometric(sp, cp))
	s, t := (q-1/q)/2, (q+1/q)/2
	u := (s*p.sg0 - sl*p.cg0) / t
	if !(math.Abs(u) < 1-1e-12) {
		return math.NaN(), math.NaN()
	}
	vv := -p.a / p.b * math.Atanh(u)
	uu := p.a/p.b*math.Atan2(s*p.cg0+sl*p.sg0, cl) - p.u0
	return vv*p.cgc + uu*p.sgc, uu*p.cgc - vv*p.sgc
}

func (p *hotine) inverse(x, y float64) (lam, phi float64) {
	v := x*p.cgc - y*p.sgc
	u := y*p.cgc + x*p.sgc + p.u0
	r := p.b / p.a
	if !(math.Abs(v*r) < 14 && math.Abs(u*r) < math.Pi+1e-9) {
		return math.NaN(), math.NaN()
	}
	q := math.Exp(-r * v)
	s, t := (q-1/q)/2, (q+1/q)/2
	sv, cv := math.Sincos(r * u)
	uu := (sv*p.cg0 + s*p.sg0) / t
	if !(math.Abs(uu) < 1-1e-12) {
		return math.NaN(), math.NaN()
	}
	psi := (math.Atanh(uu) - p.lnH) / p.b
	lam = -math.Atan2(s*p.cg0-sv*p.sg0, cv)/p.b - p.lamC
	return wrapPi(lam), latitude(psi, &p.toLat)
}

// wrapPi brings an angle of at most two turns within -pi and pi.
func wrapPi(a float64) float64 {
	if a > math.Pi {
		return a - 2*math.Pi
	}
	if a < -math.Pi {
		return a + 2*math.Pi
	}
	return a
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	phiC := c.get(8811)
	if math.Abs(phiC) > 90-1e-9 || phiC == 0 && math.Abs(math.Cos(c.get(8813)*radPerDeg)) < 1e-12 {
		return nil, 0, 0, 0, badParameter(8811, "the skew line is not oblique")
	}
	gamma := c.get(8813)
	if c.has(8814) {
		gamma = c.get(8814)
	}
	p := newHotine(el, phiC*radPerDeg, c.get(8813)*radPerDeg, gamma*radPerDeg, c.get(8815), c.method == 9815)
	if c.method == 9815 {
		return p, c.get(8812), c.get(8816), c.get(8817), nil
	}
	return p, c.get(8812), c.get(8806), c.get(8807), nil
}, 9812, 9815)
