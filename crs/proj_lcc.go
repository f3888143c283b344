// Lambert conic conformal (EPSG methods 9801, 1102, 9802, 9803, 9826 and 1051).

package crs

import "math"

// lcc is the Lambert conic conformal projection of the ellipsoid. Source: IOGP
// 373-7-2 section 3.1.1 with t written as exp(-psi), psi the isometric
// latitude; symbols from there (n, F, r, theta).
//
// Units: radians and metres. The formulas are closed; within 12 degrees of the
// cone's own latitude r is taken from a polynomial fitted to them, which agrees
// to 2 parts in 1e14 of r and saves a logarithm and an exponential; the inverse
// uses the series of the conformal latitude. The error is rounding, below 10 nm
// within 10,000 km of the origin. Domain: all but the pole away from the apex,
// which lies at infinity.
type lcc struct {
	el    *ellipsoid
	n     float64 // cone constant, negative with the apex at the south pole
	aF    float64 // a k0 F, of the sign of n
	lnF   float64 // ln |aF|
	rF    float64 // radius at the false origin
	alpha float64 // 29.2985" of the Belgian variant, else 0
	chi   sineSeries
	near  chebyshev // r as a polynomial of the latitude, in the band of the map
}

// belgianAlpha is the angle by which the Belgian variant turns the theta of its
// 2SP projection; IOGP 373-7-2 section 3.1.1.4.
const belgianAlpha = 29.2985 / 3600 * radPerDeg

// newLCC builds the cone that is true (times k) at phi1 and phi2, with its
// origin at phiF.
func newLCC(el *ellipsoid, phi1, phi2, phiF, k float64) *lcc {
	s1, c1 := math.Sincos(phi1)
	s2, c2 := math.Sincos(phi2)
	m1 := c1 / math.Sqrt(1-el.e2*s1*s1)
	m2 := c2 / math.Sqrt(1-el.e2*s2*s2)
	psi1 := el.isometric(s1, c1)
	p := &lcc{el: el, chi: el.geodeticFromConformal(), n: s1}
	if math.Abs(phi1-phi2) > 1e-10 {
		p.n = math.Log(m1/m2) / (el.isometric(s2, c2) - psi1)
	}
	p.aF = el.a * k * m1 / p.n * math.Exp(p.n*psi1)
	p.lnF = math.Log(math.Abs(p.aF))
	if math.Abs(math.Abs(phiF)-math.Pi/2) > 1e-10 {
		sF, cF := math.Sincos(phiF)
		p.rF = p.aF * math.Exp(-p.n*el.isometric(sF, cF))
	}
	mid := math.Asin(p.n)
	p.near = newChebyshev(p.radius, mid, math.Min(12*radPerDeg, (math.Pi/2-math.Abs(mid))/3.5))
	return p
}

// radius is r at the latitude phi, NaN at the pole away from the apex.
func (p *lcc) radius(phi float64) float64 {
	s, c := math.Sincos(phi)
	if c < 1e-10 { // a pole
		if s*p.n < 0 {
			return math.NaN()
		}
		return 0
	}
	return p.aF * math.Exp(-p.n*p.el.isometric(s, c))
}

func (p *lcc) forward(lam, phi float64) (x, y float64) {
	var r float64
	if t := (phi - p.near.mid) * p.near.scale; t <= 1 && t >= -1 {
		r = p.near.sum(t)
	} else {
		r = p.radius(phi)
	}
	st, ct := math.Sincos(p.n*lam - p.alpha)
	return r * st, p.rF - r*ct
}

func (p *lcc) inverse(x, y float64) (lam, phi float64) {
	y = p.rF - y
	if p.n < 0 {
		x, y = -x, -y
	}
	r2 := x*x + y*y
	theta := math.Atan2(x, y) + p.alpha
	lam = theta / p.n
	if !(math.Abs(lam) <= math.Pi+1e-12) {
		return math.NaN(), math.NaN() // in the gap of the cone
	}
	if r2 == 0 {
		return 0, math.Copysign(math.Pi/2, p.n)
	}
	psi := (p.lnF - 0.5*math.Log(r2)) / p.n
	return lam, latitude(psi, &p.chi)
}

// latitude is the geodetic latitude of the isometric latitude psi; chi is the
// ellipsoid's geodeticFromConformal.
func latitude(psi float64, chi *sineSeries) float64 {
	e := math.Exp(-math.Abs(psi))
	// With chi the conformal latitude: sin = (1-e²)/(1+e²), cos = 2e/(1+e²).
	d := 1 / (1 + e*e)
	s, c := (1-e*e)*d, 2*e*d
	phi := math.Pi/2 - 2*math.Atan(e) + chi.sum(2*s*c, 1-2*s*s)
	if psi < 0 {
		return -phi
	}
	return phi
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	fe, fn := c.get(8806), c.get(8807)
	if c.method == 9826 {
		fe = -fe // west orientated: the official easting axis runs west
	}
	phi0 := c.get(8801) * radPerDeg
	if math.Abs(phi0) < 1e-10 || math.Abs(phi0) > math.Pi/2-1e-10 {
		return nil, 0, 0, 0, badParameter(8801, "a cone needs a standard parallel between the equator and a pole")
	}
	if c.method == 1102 { // variant B: the false origin is not on the standard parallel
		return newLCC(el, phi0, phi0, c.get(8821)*radPerDeg, c.get(8805)), c.get(8822), c.get(8826), c.get(8827), nil
	}
	return newLCC(el, phi0, phi0, phi0, c.get(8805)), c.get(8802), fe, fn, nil
}, 9801, 9826, 1102)

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	phi1, phi2 := c.get(8823)*radPerDeg, c.get(8824)*radPerDeg
	if math.Abs(phi1+phi2) < 1e-10 || math.Max(math.Abs(phi1), math.Abs(phi2)) > math.Pi/2-1e-10 {
		return nil, 0, 0, 0, badParameter(8823, "the standard parallels make no cone")
	}
	k := 1.0
	if c.method == 1051 {
		k = c.get(1038)
	}
	p := newLCC(el, phi1, phi2, c.get(8821)*radPerDeg, k)
	if c.method == 9803 {
		p.alpha = belgianAlpha
	}
	return p, c.get(8822), c.get(8826), c.get(8827), nil
}, 9802, 9803, 1051)
