// Albers equal area (EPSG method 9822).

package crs

import "math"

// albers is the Albers equal area conic of the ellipsoid; IOGP 373-7-2 section
// 3.1.4, Snyder 1987 chapter 14; symbols n, C, rho, beta from there. The
// authalic latitude beta is taken by its series in the third flattening, so
// that nothing is lost near a pole. Error: rounding, below 20 nm. Domain: the
// whole ellipsoid in the forward direction; the inverse refuses points outside
// the ring of the map.
type albers struct {
	el       *ellipsoid
	n, c     float64
	qp       float64
	a        float64
	rho0     float64
	xi, beta sineSeries // authalic from geodetic, and back
}

func newAlbers(el *ellipsoid, phi1, phi2, phiF float64) *albers {
	s1, c1 := math.Sincos(phi1)
	s2, c2 := math.Sincos(phi2)
	m1 := c1 * c1 / (1 - el.e2*s1*s1)
	m2 := c2 * c2 / (1 - el.e2*s2*s2)
	q1, q2 := el.authalicQ(s1), el.authalicQ(s2)
	p := &albers{el: el, n: s1, a: el.a, qp: el.authalicQ(1), xi: el.authalicFromGeodetic(), beta: el.geodeticFromAuthalic()}
	if math.Abs(phi1-phi2) > 1e-10 {
		p.n = (m1 - m2) / (q2 - q1)
	}
	p.c = m1 + p.n*q1
	p.rho0 = p.rho(phiF)
	return p
}

func (p *albers) rho(phi float64) float64 {
	beta := phi + p.xi.at(phi)
	// With a pole at the apex C = n q_p, and the radicand is a difference that
	// keeps its digits only as n q_p (1 - sin beta).
	d := p.c - p.n*p.qp*math.Sin(beta)
	if math.Abs(p.c-math.Abs(p.n)*p.qp) < 1e-12 {
		h := math.Sin((math.Pi/2 - beta*math.Copysign(1, p.n)) / 2)
		d = math.Abs(p.n) * p.qp * 2 * h * h
	}
	if d < 0 && d > -1e-14 {
		d = 0
	}
	return p.a * math.Sqrt(d) / p.n // NaN for d < 0: outside the map
}

func (p *albers) forward(lam, phi float64) (x, y float64) {
	r := p.rho(phi)
	s, c := math.Sincos(p.n * lam)
	return r * s, p.rho0 - r*c
}

func (p *albers) inverse(x, y float64) (lam, phi float64) {
	y = p.rho0 - y
	if p.n < 0 {
		x, y = -x, -y
	}
	lam = math.Atan2(x, y) / p.n
	if !(math.Abs(lam) <= math.Pi+1e-12) {
		return math.NaN(), math.NaN()
	}
	r := p.n * math.Hypot(x, y) / p.a
	sb := (p.c - r*r) / (p.n * p.qp)
	var beta float64
	if math.Abs(p.c-math.Abs(p.n)*p.qp) < 1e-12 {
		h := math.Abs(r) / math.Sqrt(2*math.Abs(p.n)*p.qp)
		beta = math.Copysign(math.Pi/2-2*math.Asin(h), p.n)
		if p.n < 0 {
			beta = -(math.Pi/2 - 2*math.Asin(h))
		}
	} else {
		if math.Abs(sb) > 1 && math.Abs(sb) < 1+1e-14 {
			sb = math.Copysign(1, sb)
		}
		beta = math.Asin(sb) // NaN outside the map
	}
	return lam, beta + p.beta.at(beta)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	phi1, phi2 := c.get(8823)*radPerDeg, c.get(8824)*radPerDeg
	if math.Abs(phi1+phi2) < 1e-10 {
		return nil, 0, 0, 0, badParameter(8823, "the standard parallels make no cone")
	}
	return newAlbers(el, phi1, phi2, c.get(8821)*radPerDeg), c.get(8822), c.get(8826), c.get(8827), nil
}, 9822)
