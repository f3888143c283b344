// Laborde oblique Mercator (EPSG method 9813).

package crs

import (
	"math"
	"math/cmplx"
)

// laborde is the triple projection of Madagascar: ellipsoid to conformal
// sphere, transverse Mercator of that, and a cubic in the complex plane; IOGP
// 373-7-2 section 3.2.6, symbols from there. The inverse of the cubic is
// Newton's. Error: rounding, below 0.1 µm. Domain: within 15 degrees of the
// origin, where the cubic is one to one.
type laborde struct {
	el    *ellipsoid
	b, c  float64
	r     float64
	ss, s float64 // sine and cosine of phi_s
	g     complex128
	toLat sineSeries
}

const maxLaborde = 0.27 // |H|, radians

func newLaborde(el *ellipsoid, phiC, alphaC, kC float64) *laborde {
	s, c := math.Sincos(phiC)
	p := &laborde{el: el, toLat: el.geodeticFromConformal()}
	p.b = math.Sqrt(1 + el.ep2*c*c*c*c)
	sinS := s / p.b
	phiS := math.Asin(sinS)
	p.ss, p.s = math.Sincos(phiS)
	p.r = el.a * kC * math.Sqrt(1-el.e2) / (1 - el.e2*s*s)
	p.c = math.Atanh(sinS) - p.b*el.isometric(s, c)
	s2, c2 := math.Sincos(2 * alphaC)
	p.g = complex((1-c2)/12, s2/12)
	return p
}

func (p *laborde) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(phi)
	if c < 1e-9 {
		return math.NaN(), math.NaN()
	}
	sl, cl := math.Sincos(p.b * lam)
	e := math.Exp(p.c + p.b*p.el.isometric(s, c))
	sp, cp := (e*e-1)/(e*e+1), 2*e/(e*e+1)
	u := cp*cl*p.s + sp*p.ss
	v := cp*cl*p.ss - sp*p.s
	w := cp * sl
	h := complex(-math.Atan2(v, u), math.Atanh(w))
	if !(cmplx.Abs(h) < maxLaborde) {
		return math.NaN(), math.NaN()
	}
	z := h + p.g*h*h*h
	return p.r * imag(z), p.r * real(z)
}

func (p *laborde) inverse(x, y float64) (lam, phi float64) {
	z := complex(y/p.r, x/p.r)
	if !(cmplx.Abs(z) < 1.2*maxLaborde) {
		return math.NaN(), math.NaN()
	}
	h := z
	for range 20 {
		step := (h + p.g*h*h*h - z) / (1 + 3*p.g*h*h)
		h -= step
		if cmplx.Abs(step) < 1e-17 {
			break
		}
	}
	if !(cmplx.Abs(h) < maxLaborde*(1+1e-9)) {
		return math.NaN(), math.NaN()
	}
	sl, cl := math.Sincos(-real(h))
	w := math.Tanh(imag(h))
	d := math.Sqrt(1 - w*w)
	u, v := d*cl, d*sl
	// back from the transverse aspect
	cc := u*p.s + v*p.ss // cos P cos L
	sp := u*p.ss - v*p.s
	psi := (math.Asinh(sp/math.Hypot(cc, w)) - p.c) / p.b
	return math.Atan2(w, cc) / p.b, latitude(psi, &p.toLat)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := newLaborde(el, c.get(8811)*radPerDeg, c.get(8813)*radPerDeg, c.get(8815))
	return p, c.get(8812), c.get(8806), c.get(8807), nil
}, 9813)
