// Cassini-Soldner (EPSG method 9806) and its hyperbolic variant (9833).

package crs

import "math"

// cassini is the Cassini-Soldner projection as the registry defines it, by
// series in A = (lambda - lambda0) cos phi to A^5; IOGP 373-7-2 section 3.2.4.
// The inverse solves the forward series by Newton's method, so the two agree to
// rounding; the formula itself is the definition, not an approximation to be
// improved. Domain: |A| <= 0.35 (20 degrees), where the series still grows with
// the distance.
type cassini struct {
	el         *ellipsoid
	m0         float64
	radius     float64
	mu         sineSeries
	hyperbolic bool
}

const maxCassiniA = 0.35

func newCassini(el *ellipsoid, phi0 float64, hyperbolic bool) *cassini {
	p := &cassini{el: el, radius: el.rectifyingRadius(), mu: el.rectifyingFromGeodetic(), hyperbolic: hyperbolic}
	p.m0 = p.radius * (phi0 + p.mu.at(phi0))
	return p
}

func (p *cassini) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(phi)
	a := lam * c
	if !(math.Abs(a) <= maxCassiniA && c > 1e-9) {
		return math.NaN(), math.NaN()
	}
	tan := s / c
	t := tan * tan
	cc := p.el.ep2 * c * c
	nu := p.el.primeVertical(s)
	a2 := a * a
	x = nu * a * (1 - t*a2*(1./6+(8-t+8*cc)*a2/120))
	y = p.radius*(phi+p.mu.sum(2*s*c, 1-2*s*s)) - p.m0 + nu*tan*a2*(0.5+(5-t+6*cc)*a2/24)
	if p.hyperbolic {
		y -= y * y * y / (6 * p.el.meridian(s) * nu)
	}
	return x, y
}

func (p *cassini) inverse(x, y float64) (lam, phi float64) {
	if !(math.Abs(x) < 0.4*p.el.a && math.Abs(y+p.m0) < 1.7*p.el.a) {
		return math.NaN(), math.NaN()
	}
	mu := (y + p.m0) / p.radius
	phi = mu
	s, c := math.Sincos(phi)
	if c < 1e-3 {
		return math.NaN(), math.NaN()
	}
	return solveInverse(p, x, y, x/(p.el.primeVertical(s)*c), phi)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	return newCassini(el, c.get(8801)*radPerDeg, c.method == 9833), c.get(8802), c.get(8806), c.get(8807), nil
}, 9806, 9833)
