// Krovak (EPSG methods 9819 and 1041) and modified Krovak (1042, 1043).

package crs

import "math"

// krovak is the oblique conic conformal projection of S-JTSK; IOGP 373-7-2
// section 3.1.5, symbols from there. Ours are east and north, so westing and
// southing (9819, 1042) change sign; the official axes keep their order.
// Closed but for the series of the conformal latitude; the error is rounding,
// below 0.1 µm. Domain: within 80 degrees of the cone's axis, the part of the
// cone that the plane can show. The modified variant adds the polynomial of the
// registry (metres; defined over the Czech Republic, refused beyond 1000 km
// from its evaluation point); its inverse is Newton's.
type krovak struct {
	el       *ellipsoid
	b, lnT0  float64
	sa, ca   float64 // co-latitude of the cone axis
	n        float64
	lnR      float64 // r = exp(lnR - n psi_T)
	modified bool
	toLat    sineSeries
}

// Evaluation point and constants of the modified Krovak, in metres; IOGP
// 373-7-2 section 3.1.5 (from memory, held by its worked example in the
// vectors).
const (
	krovakX0 = 1089000
	krovakY0 = 654000
)

var krovakC = [10]float64{
	2.946529277e-02, 2.515965696e-02, 1.193845912e-07, -4.668270147e-07, 9.233980362e-12,
	1.523735715e-12, 1.696780024e-18, 4.408314235e-18, -8.331083518e-24, -3.689471323e-24,
}

func newKrovak(el *ellipsoid, phiC, alphaC, phiP, kP float64) *krovak {
	s, c := math.Sincos(phiC)
	p := &krovak{el: el, toLat: el.geodeticFromConformal()}
	a := el.a * math.Sqrt(1-el.e2) / (1 - el.e2*s*s)
	p.b = math.Sqrt(1 + el.ep2*c*c*c*c)
	sg := s / p.b
	p.lnT0 = math.Atanh(sg) - p.b*el.isometric(s, c)
	p.n = math.Sin(phiP)
	p.sa, p.ca = math.Sincos(alphaC)
	p.lnR = math.Log(kP*a/math.Tan(phiP)) + p.n*math.Atanh(p.n)
	return p
}

// southWest returns Xp and Yp, southing and westing without false origin.
func (p *krovak) southWest(lam, phi float64) (xp, yp float64) {
	s, c := math.Sincos(phi)
	if c < 1e-12 {
		return math.NaN(), math.NaN()
	}
	e := math.Exp(p.b*p.el.isometric(s, c) + p.lnT0)
	su, cu := (e*e-1)/(e*e+1), 2*e/(e*e+1)
	sv, cv := math.Sincos(-p.b * lam)
	st := p.ca*su + p.sa*cu*cv
	// cos T sin D and cos T cos D
	cs, cd := cu*sv, p.ca*cu*cv-p.sa*su
	if !(st > 0.17 && st < 1-1e-12) {
		return math.NaN(), math.NaN()
	}
	r := math.Exp(p.lnR - p.n*math.Atanh(st))
	sth, cth := math.Sincos(p.n * math.Atan2(cs, cd))
	return r * cth, r * sth
}

func (p *krovak) fromSouthWest(xp, yp float64) (lam, phi float64) {
	r := math.Hypot(xp, yp)
	d := math.Atan2(yp, xp) / p.n
	if !(r > 0 && math.Abs(d) <= math.Pi) {
		return math.NaN(), math.NaN()
	}
	e := math.Exp((p.lnR - math.Log(r)) / p.n)
	st, ct := (e*e-1)/(e*e+1), 2*e/(e*e+1)
	sd, cd := math.Sincos(d)
	su := p.ca*st - p.sa*ct*cd
	u, v := p.sa*st+p.ca*ct*cd, ct*sd
	cu := math.Hypot(u, v)
	if !(st > 0.17) || cu < 1e-12 {
		return math.NaN(), math.NaN()
	}
	return -math.Atan2(v, u) / p.b, latitude((math.Asinh(su/cu)-p.lnT0)/p.b, &p.toLat)
}

// modify returns the corrections dX, dY at southing and westing.
func (p *krovak) modify(xp, yp float64) (dx, dy float64) {
	x, y := xp-krovakX0, yp-krovakY0
	c := &krovakC
	x2, y2 := x*x, y*y
	dx = c[0] + c[2]*x - c[3]*y - 2*c[5]*x*y + c[4]*(x2-y2) + c[6]*x*(x2-3*y2) - c[7]*y*(3*x2-y2) +
		4*c[8]*x*y*(x2-y2) + c[9]*(x2*x2+y2*y2-6*x2*y2)
	dy = c[1] + c[2]*y + c[3]*x + 2*c[4]*x*y + c[5]*(x2-y2) + c[7]*x*(x2-3*y2) + c[6]*y*(3*x2-y2) -
		4*c[9]*x*y*(x2-y2) + c[8]*(x2*x2+y2*y2-6*x2*y2)
	return dx, dy
}

const maxModified = 1e6

func (p *krovak) forward(lam, phi float64) (x, y float64) {
	xp, yp := p.southWest(lam, phi)
	if p.modified {
		if !(math.Abs(xp-krovakX0) < maxModified && math.Abs(yp-krovakY0) < maxModified) {
			return math.NaN(), math.NaN()
		}
		dx, dy := p.modify(xp, yp)
		xp, yp = xp-dx, yp-dy
	}
	return -yp, -xp
}

func (p *krovak) inverse(x, y float64) (lam, phi float64) {
	xp, yp := -y, -x
	if p.modified {
		if !(math.Abs(xp-krovakX0) < maxModified && math.Abs(yp-krovakY0) < maxModified) {
			return math.NaN(), math.NaN()
		}
		// The correction moves by 1e-6 of the distance: three rounds of fixed
		// point iteration are past rounding.
		x0, y0 := xp, yp
		for range 4 {
			dx, dy := p.modify(xp, yp)
			xp, yp = x0+dx, y0+dy
		}
	}
	return p.fromSouthWest(xp, yp)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := newKrovak(el, c.get(8811)*radPerDeg, c.get(1036)*radPerDeg, c.get(8818)*radPerDeg, c.get(8819))
	p.modified = c.method == 1042 || c.method == 1043
	// False origin: southing and westing, or their negatives, east and north.
	return p, c.get(8833), -c.get(8806), -c.get(8807), nil
}, 9819, 1041, 1042, 1043)
