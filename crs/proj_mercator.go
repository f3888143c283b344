// Mercator (EPSG methods 9804, 9805, 1044) and its spherical kin (1024, 1026).

package crs

import "math"

// mercator is the Mercator projection of the ellipsoid; IOGP 373-7-2 section
// 3.2.1. Closed forward, the inverse by the series of the conformal latitude;
// the error is rounding, below 10 nm. Domain: all but the poles.
type mercator struct {
	el  *ellipsoid
	ak  float64 // a times the scale factor on the equator
	y0  float64
	chi sineSeries
}

func newMercator(el *ellipsoid, k float64) *mercator {
	return &mercator{el: el, ak: el.a * k, chi: el.geodeticFromConformal()}
}

func (p *mercator) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(phi)
	if c < 1e-10 {
		return math.NaN(), math.NaN()
	}
	return p.ak * lam, p.ak*p.el.isometric(s, c) - p.y0
}

func (p *mercator) inverse(x, y float64) (lam, phi float64) {
	lam = x / p.ak
	if !(math.Abs(lam) <= math.Pi+1e-9) {
		return math.NaN(), math.NaN()
	}
	return lam, latitude((y+p.y0)/p.ak, &p.chi)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	k := c.get(8805)
	switch c.method {
	case 1024, 1026:
		// On the sphere of the semi-major axis, whatever the ellipsoid: not
		// conformal on the ellipsoid, and no grid to measure in.
		return newMercator(el.sphere(el.a), 1), c.get(8802), c.get(8806), c.get(8807), nil
	case 9805, 1044:
		s, co := math.Sincos(c.get(8823) * radPerDeg)
		k = co / math.Sqrt(1-el.e2*s*s)
	}
	p := newMercator(el, k)
	fe, fn := c.get(8806), c.get(8807)
	if c.method == 1044 {
		_, p.y0 = p.forward(0, c.get(8821)*radPerDeg)
		fe, fn = c.get(8826), c.get(8827)
		return p, c.get(8822), fe, fn, nil
	}
	return p, c.get(8802), fe, fn, nil
}, 9804, 9805, 1024, 1026, 1044)
