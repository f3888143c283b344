// Exact signs: on which side of a line a point lies, and on which side of a
// circle.

package plane

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"
)

// roundoff is u, half the distance from 1 to the next float64: every rounded
// operation returns the true result times (1+d) with |d| <= u, unless it
// overflows or underflows.
const roundoff = 0x1p-53

// orientBound is the factor of the filter in Orient, derived there: (3 + 32u)u.
const orientBound = (3 + 32*roundoff) * roundoff

// underflowSlack covers what gradual underflow adds to the error of a filter:
// each product may lose up to 2^-1075 in absolute terms, and no filter here has
// more than 2^10 of them.
const underflowSlack = 0x1p-1060

// Orient returns the sign of the area of the triangle a, b, c: +1 when they
// turn anticlockwise (c lies left of the line from a to b), -1 when clockwise,
// 0 when they are collinear. The sign is exact for all finite coordinates; with
// a NaN or an infinity it is 0.
//
// Laws, for all finite points:
//  1. Orient(a, b, c) == Orient(b, c, a) == Orient(c, a, b)
//  2. Orient(a, b, c) == -Orient(b, a, c)
//  3. Orient(a, b, c) == 0 if two of the points are equal
//
// What does not hold: equal signs after the points were translated or rotated,
// because the translated coordinates are rounded.
//
// The filter. Let l = (ax-cx)(by-cy) and r = (ay-cy)(bx-cx), so that the sign wanted
// is that of l-r. Computed, each product L, R carries three roundings:
// L = l(1+d1)(1+d2)(1+d3), hence |l-L| <= |L|((1-u)^-3 - 1) <= |L|(3u + 7u^2), and
// the same for R. A rounded subtraction keeps the sign of L-R, so D = fl(L-R) has the
// sign of l-r whenever |L-R| > (3u+7u^2)(|L|+|R|). With |L-R| >= |D|/(1+u)
// and |L|+|R| <= S/(1-u), S = fl(|L|+|R|), it suffices that
// |D| > (3u + 7u^2)(1+u)/(1-u) S, and the right side is below (3u + 14u^2) S.
// The comparison itself computes fl(cS) >= cS(1-u), and c = 3u + 32u^2 leaves
// c(1-u) > 3u + 28u^2. Underflow adds at most a few times 2^-1075, covered by
// underflowSlack. When a product overflows, S is infinite or D is NaN, and the comparison
// fails, as it must. The idea of the filter is Shewchuk's (Adaptive precision
// floating-point arithmetic and fast robust geometric predicates, 1997).
func Orient(a, b, c orb.Point) int {
	l := float64((a[0] - c[0]) * (b[1] - c[1]))
	r := float64((a[1] - c[1]) * (b[0] - c[0]))
	d := l - r
	e := orientBound*(math.Abs(l)+math.Abs(r)) + underflowSlack
	if d > e {
		return 1
	}
	if -d > e {
		return -1
	}
	return orientExact(a, b, c)
}

// orientExact answers what the filter of Orient could not.
func orientExact(a, b, c orb.Point) int {
	acx, acxTail := twoDiff(a[0], c[0])
	acy, acyTail := twoDiff(a[1], c[1])
	bcx, bcxTail := twoDiff(b[0], c[0])
	bcy, bcyTail := twoDiff(b[1], c[1])
	if acxTail == 0 && acyTail == 0 && bcxTail == 0 && bcyTail == 0 {
		// The differences are exact, which is the rule for points near one
		// another and for whole numbers. A product is then hi+lo with hi its
		// rounding, and because rounding is monotone such pairs compare like
		// words: hi first. A product that has a zero for a factor is exact too.
		l, lLow := twoProduct(acx, bcy)
		r, rLow := twoProduct(acy, bcx)
		if exactProduct(l, acx, bcy) && exactProduct(r, acy, bcx) {
			switch {
			case l > r:
				return 1
			case l < r:
				return -1
			case lLow > rLow:
				return 1
			case lLow < rLow:
				return -1
			}
			return 0
		}
		return orientBig(a, b, c)
	}
	for _, p := range [...]orb.Point{a, b, c} {
		for _, v := range p {
			if v := math.Abs(v); v != 0 && (v < 0x1p-450 || !(v < 0x1p450)) {
				return orientBig(a, b, c)
			}
		}
	}
	// ax by - ax cy - cx by - ay bx + ay cx + cy bx, each product two terms.
	var e expansion
	e.addProduct(a[0], b[1])
	e.addProduct(-a[0], c[1])
	e.addProduct(-c[0], b[1])
	e.addProduct(-a[1], b[0])
	e.addProduct(a[1], c[0])
	e.addProduct(c[1], b[0])
	return e.sign()
}

// exactProduct reports whether p = fl(x y) and the tail that twoProduct found
// are together exactly x y: no overflow, and no underflow of the tail.
func exactProduct(p, x, y float64) bool {
	if x == 0 || y == 0 {
		return true
	}
	m := math.Abs(p)
	return m >= 0x1p-960 && m <= math.MaxFloat64
}

// orientBig answers for coordinates of any size. A difference of two finite
// float64 needs at most 1024+1074+1 bits, a product of two twice that, the last
// subtraction one more: 4300 bits never round.
func orientBig(a, b, c orb.Point) int {
	if !finite(a) || !finite(b) || !finite(c) {
		return 0
	}
	l := new(big.Float).SetPrec(bigPrecision).Mul(bigDiff(a[0], c[0]), bigDiff(b[1], c[1]))
	r := new(big.Float).SetPrec(bigPrecision).Mul(bigDiff(a[1], c[1]), bigDiff(b[0], c[0]))
	return l.Cmp(r)
}

// bigPrecision in bits holds a product of two differences of float64 without
// rounding.
const bigPrecision = 4300

func bigDiff(x, y float64) *big.Float {
	a := new(big.Float).SetPrec(bigPrecision).SetFloat64(x)
	return a.Sub(a, new(big.Float).SetFloat64(y))
}

func finite(p orb.Point) bool {
	return p[0]-p[0] == 0 && p[1]-p[1] == 0
}

// twoDiff returns x-y as a rounded difference and the exact tail that rounding
// cut off (Knuth's TwoSum); both are meaningless when the difference overflows.
func twoDiff(x, y float64) (d, tail float64) {
	d = x - y
	yv := x - d
	xv := d + yv
	return d, (x - xv) + (yv - y)
}

// twoProduct returns x y as a rounded product and the exact tail.
func twoProduct(x, y float64) (p, tail float64) {
	p = float64(x * y)
	return p, math.FMA(x, y, -p)
}

// expansion is an exact sum of up to twelve float64, smallest first, each far
// enough from the next that its sign is that of the last that is not zero
// (Shewchuk 1997, GROW-EXPANSION).
type expansion struct {
	term [12]float64
	n    int
}

func (e *expansion) add(v float64) {
	for i := 0; i < e.n; i++ {
		s := v + e.term[i]
		bv := s - v
		e.term[i] = (v - (s - bv)) + (e.term[i] - bv)
		v = s
	}
	e.term[e.n] = v
	e.n++
}

func (e *expansion) addProduct(x, y float64) {
	p, tail := twoProduct(x, y)
	e.add(tail)
	e.add(p)
}

func (e *expansion) sign() int {
	for i := e.n - 1; i >= 0; i-- {
		if e.term[i] > 0 {
			return 1
		}
		if e.term[i] < 0 {
			return -1
		}
	}
	return 0
}
