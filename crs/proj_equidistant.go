// Azimuthal equidistant (EPSG method 1125): distances and bearings from one
// point, along geodesics.

package crs

import (
	"math"
	"sync"
)

// azimuthalEquidistant puts a point at its geodesic distance and azimuth from
// the origin; IOGP 373-7-2, method Azimuthal Equidistant. Geodesics after C. F.
// F. Karney, Algorithms for geodesics, Journal of Geodesy 87 (2013) 43-55,
// symbols from there (beta, alpha0, sigma, omega, k², I1, I3); the integrals I1
// (equation 7) and I3 (equation 8) are taken by Gauss's rule of 12 points for
// his series, which leaves less than 1e-15 of either, for k² is below 0.007.
//
// Units: radians and metres. Error: rounding, below 20 nm. Domain: within 150
// degrees of arc of the origin; the longitude on the auxiliary sphere is found
// by iteration, which slows down towards the antipode.
type azimuthalEquidistant struct {
	el     *ellipsoid
	b, ep2 float64 // minor semi-axis, second eccentricity squared
	s1, c1 float64 // of the reduced latitude of the origin
}

// farthest is the arc from the origin that a point may lie at.
const farthest = 150 * radPerDeg

// gaussRule holds the positive nodes and their weights of Gauss's rule of 12
// points on -1 to 1, found by Newton's method on Legendre's polynomial.
var gaussRule = sync.OnceValue(func() (g [6][2]float64) {
	const n = 12
	for i := range g {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (n + 0.5))
		var slope float64
		for range 8 {
			p0, p1 := 1.0, x
			for k := 2; k <= n; k++ {
				p0, p1 = p1, (float64(2*k-1)*x*p1-float64(k-1)*p0)/float64(k)
			}
			slope = n * (x*p1 - p0) / (x*x - 1)
			x -= p1 / slope
		}
		g[i] = [2]float64{x, 2 / ((1 - x*x) * slope * slope)}
	}
	return g
})

// integrals returns I1 and I3 from sigma1 over the arc to sigma1 + arc.
func (p *azimuthalEquidistant) integrals(k2, sigma1, arc float64) (i1, i3 float64) {
	half, f := arc/2, p.el.f
	mid := sigma1 + half
	for _, g := range gaussRule() {
		for _, t := range [2]float64{g[0], -g[0]} {
			s := math.Sin(mid + half*t)
			w := math.Sqrt(1 + k2*s*s)
			i1 += g[1] * w
			i3 += g[1] * (2 - f) / (1 + (1-f)*w)
		}
	}
	return i1 * half, i3 * half
}

func (p *azimuthalEquidistant) forward(lam, phi float64) (x, y float64) {
	s2, c2 := math.Sincos(phi)
	s2 *= 1 - p.el.f
	h := math.Hypot(s2, c2)
	s2, c2 = s2/h, c2/h
	omega := lam
	for range 30 {
		so, co := math.Sincos(omega)
		east, north := c2*so, p.c1*s2-p.s1*c2*co
		w := math.Hypot(east, north)
		arc := math.Atan2(w, p.s1*s2+p.c1*c2*co)
		if !(arc <= farthest) {
			return math.NaN(), math.NaN()
		}
		if w == 0 {
			return 0, 0
		}
		sa, ca := east/w, north/w
		sa0 := sa * p.c1
		k2 := p.ep2 * (1 - sa0*sa0)
		i1, i3 := p.integrals(k2, math.Atan2(p.s1, ca*p.c1), arc)
		next := lam + p.el.f*sa0*i3
		if math.Abs(next-omega) < 1e-15 {
			return p.b * i1 * sa, p.b * i1 * ca
		}
		omega = next
	}
	return math.NaN(), math.NaN()
}

func (p *azimuthalEquidistant) inverse(x, y float64) (lam, phi float64) {
	s := math.Hypot(x, y)
	if s == 0 {
		return 0, math.Atan2(p.s1, (1-p.el.f)*p.c1)
	}
	sa, ca := x/s, y/s
	sa0, ca0 := sa*p.c1, math.Hypot(ca, sa*p.s1)
	k2 := p.ep2 * ca0 * ca0
	sigma1 := math.Atan2(p.s1, ca*p.c1)
	arc := s / p.b
	if !(arc <= farthest*1.01) {
		return math.NaN(), math.NaN()
	}
	var i3 float64
	for range 10 {
		var i1 float64
		i1, i3 = p.integrals(k2, sigma1, arc)
		sine := math.Sin(sigma1 + arc)
		step := (s/p.b - i1) / math.Sqrt(1+k2*sine*sine)
		arc += step
		if math.Abs(step) < 1e-15 {
			break
		}
	}
	if !(arc <= farthest) {
		return math.NaN(), math.NaN()
	}
	s2, c2 := math.Sincos(sigma1 + arc)
	st, ct := math.Sincos(arc)
	omega := math.Atan2(st*sa, p.c1*ct-p.s1*st*ca)
	return omega - p.el.f*sa0*i3, math.Atan2(ca0*s2, (1-p.el.f)*math.Hypot(sa0, ca0*c2))
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &azimuthalEquidistant{el: el, b: el.a * (1 - el.f), ep2: el.e2 / (1 - el.e2)}
	s, co := math.Sincos(c.get(8801) * radPerDeg)
	s *= 1 - el.f
	h := math.Hypot(s, co)
	p.s1, p.c1 = s/h, co/h
	if p.c1 < 1e-15 {
		p.c1 = 0
	}
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 1125)
