// Bonne (EPSG method 9827) and Bonne south orientated (9828).

package crs

import "math"

// bonne is the Bonne equal area projection of the ellipsoid; IOGP 373-7-2
// section 3.4.2, Snyder 1987 chapter 19; rho and T from there. M and its
// inverse by the series of the rectifying latitude. Error: rounding, below 20
// nm. Domain: the whole ellipsoid but the far pole's neighbourhood; a standard
// parallel on the equator is refused.
type bonne struct {
	el      *ellipsoid
	rho0    float64 // radius of the standard parallel
	m0      float64
	radius  float64
	mu, phi sineSeries
}

func newBonne(el *ellipsoid, phi1 float64) *bonne {
	s, c := math.Sincos(phi1)
	p := &bonne{el: el, radius: el.rectifyingRadius(), mu: el.rectifyingFromGeodetic(), phi: el.geodeticFromRectifying()}
	p.rho0 = el.a * c / (math.Sqrt(1-el.e2*s*s) * s)
	p.m0 = p.radius * (phi1 + p.mu.at(phi1))
	return p
}

func (p *bonne) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(phi)
	rho := p.rho0 + p.m0 - p.radius*(phi+p.mu.sum(2*s*c, 1-2*s*s))
	if math.Abs(rho) < 1e-6 {
		return 0, p.rho0
	}
	t := p.el.primeVertical(s) * c * lam / rho
	st, ct := math.Sincos(t)
	return rho * st, p.rho0 - rho*ct
}

func (p *bonne) inverse(x, y float64) (lam, phi float64) {
	y = p.rho0 - y
	rho := math.Copysign(math.Hypot(x, y), p.rho0)
	if p.rho0 < 0 {
		x, y = -x, -y
	}
	mu := (p.rho0 + p.m0 - rho) / p.radius
	if !(math.Abs(mu) <= math.Pi/2+1e-12) {
		return math.NaN(), math.NaN()
	}
	phi = mu + p.phi.at(mu)
	s, c := math.Sincos(phi)
	if c < 1e-12 {
		return 0, math.Copysign(math.Pi/2, mu)
	}
	lam = rho * math.Atan2(x, y) / (p.el.primeVertical(s) * c)
	if !(math.Abs(lam) <= math.Pi+1e-9) {
		return math.NaN(), math.NaN()
	}
	return lam, phi
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	if math.Abs(c.get(8801)) < 1e-9 || math.Abs(c.get(8801)) > 90-1e-9 {
		return nil, 0, 0, 0, badParameter(8801, "Bonne needs a parallel between the equator and a pole")
	}
	fe, fn := c.get(8806), c.get(8807)
	if c.method == 9828 {
		fe, fn = -fe, -fn // the official axes run west and south
	}
	return newBonne(el, c.get(8801)*radPerDeg), c.get(8802), fe, fn, nil
}, 9827, 9828)
