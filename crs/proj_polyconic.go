// American polyconic (EPSG method 9818).

package crs

import "math"

// polyconic is the American polyconic projection; IOGP 373-7-2 section 3.1.7,
// Snyder 1987 equations 18-12 to 18-16, M by the series of the rectifying
// latitude. Closed forward; the inverse is Newton's on the forward formula.
// Error: rounding, below 20 nm. Domain: within 90 degrees of the central
// meridian.
type polyconic struct {
	el     *ellipsoid
	radius float64
	m0     float64
	mu     sineSeries
}

func newPolyconic(el *ellipsoid, phi0 float64) *polyconic {
	p := &polyconic{el: el, radius: el.rectifyingRadius(), mu: el.rectifyingFromGeodetic()}
	p.m0 = p.radius * (phi0 + p.mu.at(phi0))
	return p
}

func (p *polyconic) forward(lam, phi float64) (x, y float64) {
	if !(math.Abs(lam) <= math.Pi/2) {
		return math.NaN(), math.NaN()
	}
	s, c := math.Sincos(phi)
	m := p.radius*(phi+p.mu.sum(2*s*c, 1-2*s*s)) - p.m0
	// With L = lambda sin phi: cot phi sin L = lambda cos phi sin L / L, and
	// cot phi (1 - cos L) = lambda cos phi sin(L/2) sin(L/2) / (L/2), which
	// hold on the equator too.
	sl, sh := sinc(lam*s), sinc(lam*s/2)
	nu := p.el.primeVertical(s)
	return nu * lam * c * sl, m + nu*c*lam*lam*s/2*sh*sh
}

// sinc is sin x / x.
func sinc(x float64) float64 {
	if math.Abs(x) < 1e-4 {
		return 1 - x*x/6
	}
	return math.Sin(x) / x
}

func (p *polyconic) inverse(x, y float64) (lam, phi float64) {
	a := p.el.a
	if !(math.Abs(x) < 1.6*a && math.Abs(y+p.m0) < 3.2*a) {
		return math.NaN(), math.NaN()
	}
	// First guess on the sphere, by Snyder's iteration 18-8, 18-18.
	yy, xx := (y+p.m0)/a, x/a
	b := xx*xx + yy*yy
	phi = math.Max(-1.5, math.Min(1.5, yy))
	if math.Abs(yy) > 1e-9 {
		for range 30 {
			t := math.Tan(phi)
			step := (yy*(phi*t+1) - phi - (phi*phi+b)*t/2) / ((phi-yy)/t - 1)
			if !(math.Abs(step) < 1) {
				break
			}
			phi -= step
			phi = math.Max(-1.55, math.Min(1.55, phi))
			if math.Abs(step) < 1e-9 {
				break
			}
		}
	}
	s, c := math.Sincos(phi)
	lam = xx / c
	if math.Abs(s) > 1e-4 {
		lam = math.Asin(math.Max(-1, math.Min(1, xx*s/c))) / s
	}
	return solveInverse(p, x, y, lam, phi)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	return newPolyconic(el, c.get(8801)*radPerDeg), c.get(8802), c.get(8806), c.get(8807), nil
}, 9818)
