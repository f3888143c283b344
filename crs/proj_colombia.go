// Colombia urban (EPSG method 1052).

package crs

import "math"

// colombiaUrban is the projection of Colombian city grids onto a plane at the
// city's height; IOGP 373-7-2 section 3.2.7, symbols from there. A definition
// by formula, quadratic about the origin; the inverse solves the forward
// formula, which the registry's printed inverse meets to a few micrometres at
// 20 km. Domain: within 2 degrees of the origin.
type colombiaUrban struct {
	el         *ellipsoid
	phi0, h0   float64
	rho0, a, b float64
}

func (p *colombiaUrban) forward(lam, phi float64) (x, y float64) {
	const reach = 2 * radPerDeg
	if !(math.Abs(lam) <= reach && math.Abs(phi-p.phi0) <= reach) {
		return math.NaN(), math.NaN()
	}
	s, c := math.Sincos(phi)
	nu := p.el.primeVertical(s)
	g := 1 + p.h0/p.el.meridian(math.Sin((phi+p.phi0)/2))
	return p.a * nu * c * lam, g * p.rho0 * (phi - p.phi0 + p.b*lam*lam*nu*nu*c*c)
}

func (p *colombiaUrban) inverse(x, y float64) (lam, phi float64) {
	phi = p.phi0 + y/(p.rho0*(1+p.h0/p.rho0))
	s, c := math.Sincos(phi)
	return solveInverse(p, x, y, x/(p.a*p.el.primeVertical(s)*c), phi)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &colombiaUrban{el: el, phi0: c.get(8801) * radPerDeg, h0: c.get(1039)}
	s := math.Sin(p.phi0)
	p.rho0 = el.meridian(s)
	nu0 := el.primeVertical(s)
	p.a = 1 + p.h0/nu0
	p.b = math.Tan(p.phi0) / (2 * p.rho0 * nu0)
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 1052)
