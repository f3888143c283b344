// How two segments meet: not at all, across, at an end, or along a piece of
// line.

package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// CrossKind says how two segments meet.
type CrossKind uint8

// The kinds of crossing.
const (
	// CrossNone: no point in common.
	CrossNone CrossKind = iota
	// CrossProper: one point in common, inside both segments.
	CrossProper
	// CrossTouch: one point in common, an end of at least one of them.
	CrossTouch
	// CrossOverlap: collinear, with a piece of line in common.
	CrossOverlap
)

// Crossing is how two segments meet and where.
type Crossing struct {
	Kind CrossKind
	// P and Q are the ends of the common piece for CrossOverlap, both the
	// common point for CrossTouch (exact: a point given) and CrossProper
	// (rounded: within about 4 units in the last place of the largest
	// coordinate), zero for CrossNone.
	P, Q orb.Point
}

// Cross classifies how the segments ab and cd meet. The kind is exact. A
// segment whose ends are equal is a point and can only touch.
func Cross(a, b, c, d orb.Point) Crossing {
	if !boxesMeet(a, b, c, d) {
		return Crossing{}
	}
	oc, od := Orient(a, b, c), Orient(a, b, d)
	if oc*od > 0 {
		return Crossing{}
	}
	oa, ob := Orient(c, d, a), Orient(c, d, b)
	if oa*ob > 0 {
		return Crossing{}
	}
	if oc*od < 0 && oa*ob < 0 {
		p := crossPoint(a, b, c, d)
		return Crossing{CrossProper, p, p}
	}
	if oc == 0 && od == 0 && oa == 0 && ob == 0 {
		return crossCollinear(a, b, c, d)
	}
	// Not collinear, so at most one common point, and it is an end. An end that
	// is collinear with the other segment lies on it if it lies in its box.
	switch {
	case oc == 0 && inBox(c, a, b):
		return Crossing{CrossTouch, c, c}
	case od == 0 && inBox(d, a, b):
		return Crossing{CrossTouch, d, d}
	case oa == 0 && inBox(a, c, d):
		return Crossing{CrossTouch, a, a}
	case ob == 0 && inBox(b, c, d):
		return Crossing{CrossTouch, b, b}
	}
	return Crossing{}
}

// crossCollinear is Cross for four points on one line (or fewer different
// points).
func crossCollinear(a, b, c, d orb.Point) Crossing {
	// Along a line the order of points is the order of their coordinates, x
	// first.
	if pointLess(b, a) {
		a, b = b, a
	}
	if pointLess(d, c) {
		c, d = d, c
	}
	lo, hi := a, b
	if pointLess(lo, c) {
		lo = c
	}
	if pointLess(d, hi) {
		hi = d
	}
	switch {
	case pointLess(hi, lo):
		return Crossing{}
	case lo == hi:
		return Crossing{CrossTouch, lo, lo}
	}
	return Crossing{CrossOverlap, lo, hi}
}

// crossPoint returns about where the segments ab and cd, which cross properly,
// do so. Both cross products are taken by Kahan's difference of products, so
// that they stay good when the segments are nearly parallel; the result is held
// in the common box of the two.
func crossPoint(a, b, c, d orb.Point) orb.Point {
	if lessSegment(c, d, a, b) {
		a, b, c, d = c, d, a, b // the same pair gives the same point
	}
	rx, ry := b[0]-a[0], b[1]-a[1]
	sx, sy := d[0]-c[0], d[1]-c[1]
	den := det2(rx, ry, sx, sy)
	// Measure from the end of ab that is nearer to the crossing, for the
	// smaller error.
	t := det2(c[0]-a[0], c[1]-a[1], sx, sy) / den
	var p orb.Point
	if t <= 0.5 {
		p = orb.Point{a[0] + t*rx, a[1] + t*ry}
	} else {
		t = det2(c[0]-b[0], c[1]-b[1], sx, sy) / den
		p = orb.Point{b[0] + t*rx, b[1] + t*ry}
	}
	for i := range p {
		lo := math.Max(math.Min(a[i], b[i]), math.Min(c[i], d[i]))
		hi := math.Min(math.Max(a[i], b[i]), math.Max(c[i], d[i]))
		if !(p[i] >= lo) { // also mends a NaN from overflow
			p[i] = lo
		} else if p[i] > hi {
			p[i] = hi
		}
	}
	return p
}

// det2 returns ax by - ay bx with an error of 1.5 units in the last place
// (Kahan's algorithm; Jeannerod, Louvet and Muller, Math. Comp. 82, 2013).
func det2(ax, ay, bx, by float64) float64 {
	w := float64(ay * bx)
	e := math.FMA(-ay, bx, w)
	return math.FMA(ax, by, -w) + e
}

// pointLess orders points by x, then y.
func pointLess(a, b orb.Point) bool {
	return a[0] < b[0] || a[0] == b[0] && a[1] < b[1]
}

func lessSegment(a, b, c, d orb.Point) bool {
	if a != c {
		return pointLess(a, c)
	}
	return pointLess(b, d)
}

// boxesMeet reports whether the boxes of ab and cd have a point in common.
func boxesMeet(a, b, c, d orb.Point) bool {
	return max(a[0], b[0]) >= min(c[0], d[0]) && max(c[0], d[0]) >= min(a[0], b[0]) &&
		max(a[1], b[1]) >= min(c[1], d[1]) && max(c[1], d[1]) >= min(a[1], b[1])
}

// inBox reports whether p lies in the closed box of ab.
func inBox(p, a, b orb.Point) bool {
	return min(a[0], b[0]) <= p[0] && p[0] <= max(a[0], b[0]) &&
		min(a[1], b[1]) <= p[1] && p[1] <= max(a[1], b[1])
}
