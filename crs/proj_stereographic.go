// Stereographic: polar (EPSG methods 9810, 9829, 9830) and oblique (9809).

package crs

import "math"

// polarStereographic is the polar stereographic projection of the ellipsoid;
// IOGP 373-7-2 section 3.3.1.2. Symbols rho and t from there. Closed forward,
// the inverse by the series of the conformal latitude; the error is rounding,
// below 10 nm about the pole and 1 part in 1e15 of rho beyond the equator.
// Domain: all but the last degree before the opposite pole.
type polarStereographic struct {
	el   *ellipsoid
	sign float64 // 1 at the north pole, -1 at the south
	r    float64 // rho = r t
	y0   float64
	chi  sineSeries
}

// poleFactor is sqrt((1+e)^(1+e) (1-e)^(1-e)).
func (el *ellipsoid) poleFactor() float64 {
	return math.Sqrt(math.Pow(1+el.e, 1+el.e) * math.Pow(1-el.e, 1-el.e))
}

func (p *polarStereographic) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(p.sign * phi)
	if s < -0.99985 {
		return math.NaN(), math.NaN()
	}
	rho := p.r * c / (1 + s) * math.Exp(p.el.eAtanhE(s))
	sl, cl := math.Sincos(lam)
	return rho * sl, -p.sign*rho*cl - p.y0
}

func (p *polarStereographic) inverse(x, y float64) (lam, phi float64) {
	y = -p.sign * (y + p.y0)
	t := math.Hypot(x, y) / p.r
	if !(t < 120) {
		return math.NaN(), math.NaN()
	}
	chi := math.Pi/2 - 2*math.Atan(t)
	d := 1 / (1 + t*t)
	s, c := (1-t*t)*d, 2*t*d
	return math.Atan2(x, y), p.sign * (chi + p.chi.sum(2*s*c, 1-2*s*s))
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &polarStereographic{el: el, chi: el.geodeticFromConformal()}
	if c.method == 9810 {
		p.sign = math.Copysign(1, c.get(8801))
		if math.Abs(math.Abs(c.get(8801))-90) > 1e-9 {
			return nil, 0, 0, 0, badParameter(8801, "variant A has its origin at a pole")
		}
		p.r = 2 * el.a * c.get(8805) / el.poleFactor()
		return p, c.get(8802), c.get(8806), c.get(8807), nil
	}
	phiF := c.get(8832)
	p.sign = math.Copysign(1, phiF)
	s, co := math.Sincos(math.Abs(phiF) * radPerDeg)
	mF := co / math.Sqrt(1-el.e2*s*s)
	if math.Abs(phiF) > 90-1e-9 {
		p.r = 2 * el.a / el.poleFactor() // true at the pole itself
	} else {
		p.r = el.a * mF * (1 + s) / co * math.Exp(-el.eAtanhE(s))
	}
	if c.method == 9829 {
		return p, c.get(8833), c.get(8806), c.get(8807), nil
	}
	// Variant C: the false origin lies on the standard parallel, below it in
	// the north and above it in the south.
	p.y0 = -p.sign * el.a * mF
	return p, c.get(8833), c.get(8826), c.get(8827), nil
}, 9810, 9829, 9830)

// obliqueStereographic is the double stereographic projection, of the ellipsoid
// onto the conformal sphere and of that onto the plane; IOGP 373-7-2 section
// 3.3.1.1. Symbols R, n, c, chi, Lambda from there, with w = c exp(2 n psi).
// Closed forward, the inverse by the series of the conformal latitude; the
// error is rounding, below 20 nm. Domain: all but the antipode of the origin.
type obliqueStereographic struct {
	el      *ellipsoid
	n       float64
	halfLnC float64
	s0, c0  float64 // sine and cosine of chi at the origin
	twoRk   float64
	toLat   sineSeries
}

func newObliqueStereographic(el *ellipsoid, phi0, k0 float64) *obliqueStereographic {
	s, c := math.Sincos(phi0)
	p := &obliqueStereographic{el: el, toLat: el.geodeticFromConformal()}
	p.n = math.Sqrt(1 + el.ep2*c*c*c*c)
	p.twoRk = 2 * k0 * math.Sqrt(el.meridian(s)*el.primeVertical(s))
	w1 := math.Exp(2 * p.n * el.isometric(s, c))
	x0 := (w1 - 1) / (w1 + 1)
	cc := (p.n + s) * (1 - x0) / ((p.n - s) * (1 + x0))
	p.halfLnC = math.Log(cc) / 2
	w2 := cc * w1
	p.s0 = (w2 - 1) / (w2 + 1)
	p.c0 = 2 * math.Sqrt(w2) / (w2 + 1)
	return p
}

func (p *obliqueStereographic) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(phi)
	var sx, cx float64
	if c < 1e-14 {
		sx = math.Copysign(1, s)
	} else {
		e := math.Exp(p.n*p.el.isometric(s, c) + p.halfLnC)
		sx, cx = (e*e-1)/(e*e+1), 2*e/(e*e+1)
	}
	sl, cl := math.Sincos(p.n * lam)
	b := 1 + sx*p.s0 + cx*p.c0*cl
	if b < 1e-6 {
		return math.NaN(), math.NaN()
	}
	return p.twoRk * cx * sl / b, p.twoRk * (sx*p.c0 - cx*p.s0*cl) / b
}

func (p *obliqueStereographic) inverse(x, y float64) (lam, phi float64) {
	x, y = x/p.twoRk, y/p.twoRk
	h2 := x*x + y*y // tan²(c/2), c the angle from the origin
	if !(h2 < 1e7) {
		return math.NaN(), math.NaN()
	}
	d := 1 / (1 + h2)
	cc, f := (1-h2)*d, 2*d // cos c, and sin c over the radius
	sx := cc*p.s0 + y*f*p.c0
	u, v := cc*p.c0-y*f*p.s0, x*f
	cx := math.Hypot(u, v)
	lam = math.Atan2(v, u) / p.n
	if !(math.Abs(lam) <= math.Pi) {
		return math.NaN(), math.NaN()
	}
	if cx < 1e-14 {
		return lam, math.Copysign(math.Pi/2, sx)
	}
	psi := (math.Asinh(sx/cx) - p.halfLnC) / p.n
	return lam, latitude(psi, &p.toLat)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	if math.Abs(c.get(8801)) > 90-1e-9 {
		return nil, 0, 0, 0, badParameter(8801, "the oblique case has no origin at a pole")
	}
	return newObliqueStereographic(el, c.get(8801)*radPerDeg, c.get(8805)), c.get(8802), c.get(8806), c.get(8807), nil
}, 9809)
