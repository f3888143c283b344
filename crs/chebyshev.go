// Chebyshev: a smooth function of one variable as a polynomial over an
// interval.

package crs

import (
	"math"
	"sync"
)

// chebyshevTerms is the count of coefficients: enough for the last bit where
// the nearest singularity is 3.5 half-widths from the middle, the terms falling
// as 6.85^-k.
const chebyshevTerms = 20

// chebyshev is a polynomial in t = (x - mid) scale, for t within -1 and 1. It
// interpolates at Chebyshev's nodes, so its error is within a few times that of
// the best polynomial of its degree, and is kept in powers of t, which the fast
// fall of the terms makes harmless.
type chebyshev struct {
	mid, scale float64
	c          [chebyshevTerms]float64
}

// newChebyshev fits f over mid - half to mid + half.
func newChebyshev(f func(float64) float64, mid, half float64) chebyshev {
	const n = chebyshevTerms
	p := chebyshev{mid: mid, scale: 1 / half}
	nodes := chebyshevNodes()
	var v [n]float64
	for j := range n {
		v[j] = f(mid + half*nodes[1][j])
	}
	// a[k] = 2/n sum f(t_j) T_k(t_j), then T_k into powers by recurrence.
	var last, cur [n]float64
	cur[0] = 1
	for k := range n {
		a := 0.0
		for j := range n {
			a += v[j] * nodes[k][j]
		}
		a *= 2. / n
		if k == 0 {
			a /= 2
		}
		for i := range k + 1 {
			p.c[i] += a * cur[i]
		}
		var next [n]float64
		for i := range n - 1 {
			next[i+1] = 2 * cur[i]
		}
		if k == 0 {
			next[1] = 1
		}
		for i := range n {
			next[i] -= last[i]
		}
		last, cur = cur, next
	}
	return p
}

// chebyshevNodes holds T_k at the nodes: [k][j] = cos(k (j+1/2) pi/n).
var chebyshevNodes = sync.OnceValue(func() *[chebyshevTerms][chebyshevTerms]float64 {
	t := new([chebyshevTerms][chebyshevTerms]float64)
	for k := range t {
		for j := range t[k] {
			t[k][j] = math.Cos(float64(k) * (float64(j) + 0.5) * math.Pi / chebyshevTerms)
		}
	}
	return t
})

// sum evaluates the polynomial at t, in pairs so that little waits for
// anything else.
func (p *chebyshev) sum(t float64) float64 {
	c := &p.c
	t2 := t * t
	t4 := t2 * t2
	t8 := t4 * t4
	b0 := (c[0] + c[1]*t) + (c[2]+c[3]*t)*t2
	b1 := (c[4] + c[5]*t) + (c[6]+c[7]*t)*t2
	b2 := (c[8] + c[9]*t) + (c[10]+c[11]*t)*t2
	b3 := (c[12] + c[13]*t) + (c[14]+c[15]*t)*t2
	b4 := (c[16] + c[17]*t) + (c[18]+c[19]*t)*t2
	return (b0 + b1*t4) + t8*((b2+b3*t4)+t8*b4)
}
