// The point of a path, or of an area, that is farthest from the boundary of
// another.

package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// maxFarthestSteps bounds the search of FarthestAlong on one segment; a plain
// one takes a few dozen steps.
const maxFarthestSteps = 1 << 16

// FarthestAlong returns the point of a path of straight pieces whose distance
// from the boundary of the area is greatest, inside or outside, and that
// distance. No point of the path is farther by more than tolerance, which must
// be above 0. Without a path the distance is -Inf, without a boundary +Inf.
//
// Method: pieces are halved and dropped when no point in them can be farther
// than what was found. The distance to one segment of the boundary is convex
// along a piece, so it is greatest at an end; the segment that is nearest to
// one end therefore gives a bound for the whole piece, which beside a parallel
// boundary is reached at once. The distance changes no faster than the way
// along the piece, which bounds the number of halvings.
func (l *Locator) FarthestAlong(path []orb.Point, tolerance float64) (at orb.Point, d float64) {
	d = math.Inf(-1)
	if !(tolerance > 0) {
		tolerance = math.SmallestNonzeroFloat64
	}
	type end struct {
		p orb.Point
		d float64
		s segment
	}
	look := func(p orb.Point) end {
		m, _, s := l.nearest(p)
		if m > d {
			at, d = p, m
		}
		return end{p, m, s}
	}
	ends := make([]end, len(path))
	for i, p := range path { // the vertices first, so that much can be dropped
		ends[i] = look(p)
	}
	if math.IsInf(d, 1) {
		return at, d
	}
	type piece struct{ a, b end }
	var open []piece
	for i := 1; i < len(ends); i++ {
		open = append(open[:0], piece{ends[i-1], ends[i]})
		for n := 0; len(open) > 0 && n < maxFarthestSteps; n++ {
			x := open[len(open)-1]
			open = open[:len(open)-1]
			length := math.Hypot(x.b.p[0]-x.a.p[0], x.b.p[1]-x.a.p[1])
			bound := (x.a.d + x.b.d + length) / 2
			if bound <= d+tolerance {
				continue
			}
			toB, _ := pointToSegment(x.b.p, x.a.s.a, x.a.s.b)
			toA, _ := pointToSegment(x.a.p, x.b.s.a, x.b.s.b)
			if min(max(x.a.d, toB), max(x.b.d, toA)) <= d+tolerance {
				continue
			}
			m := orb.Point{x.a.p[0] + (x.b.p[0]-x.a.p[0])/2, x.a.p[1] + (x.b.p[1]-x.a.p[1])/2}
			if m == x.a.p || m == x.b.p {
				continue // no finer than the coordinates
			}
			c := look(m)
			open = append(open, piece{x.a, c}, piece{c, x.b})
		}
	}
	return at, d
}

// maxFarthestCells bounds the search of FarthestInside.
const maxFarthestCells = 1 << 16

// FarthestInside returns the point inside an area whose distance from the
// boundary of l is greatest, and that distance, if it is greater than least by
// more than tolerance (above 0); otherwise ok is false. The outline of the area
// is not looked at: least must be what FarthestAlong gives for it, or more.
//
// Method: squares are halved, the most promising first. Off the outline the
// distance can only be greatest where the nearest points of the boundary stand
// on all sides (the middle of the smallest circle about them is the point
// itself), so a square of half diagonal r about m, whose nearest boundary point
// is at the distance f in the direction u, is dropped unless some boundary
// point q stands within R = f + 2r of m with (q-m).u <= r: all such q lie
// within sqrt(2R(R+r)) of m - Ru. It is dropped too when its bound is too low:
// f + r, or, since the distances to two pieces of the boundary are convex, the
// greatest mean of the two at its corners.
func (l *Locator) FarthestInside(area orb.Geometry, least, tolerance float64) (at orb.Point, d float64, ok bool) {
	in := NewLocator(area)
	s := &farthestSearch{l: l, in: in, best: least, tolerance: max(tolerance, math.SmallestNonzeroFloat64)}
	s.cells.search(in, maxFarthestCells, s.add, func(bound float64) bool { return bound <= s.best+s.tolerance })
	return s.at, s.best, s.found
}

type farthestSearch struct {
	l, in     *Locator
	best      float64
	tolerance float64
	at        orb.Point
	found     bool
	cells     cellHeap
}

func (s *farthestSearch) add(m orb.Point, half, _ float64) {
	f, near, side := s.l.nearest(m)
	r := half * math.Sqrt2
	bound := f + r
	if math.IsInf(f, 1) || bound <= s.best+s.tolerance {
		return
	}
	if s.in.Locate(m) == Inside {
		if f > s.best+s.tolerance {
			s.best, s.at, s.found = f, m, true
		}
	} else if out, _ := s.in.DistanceToBoundary(m); out > r {
		return
	}
	if f > 0 {
		ux, uy := (near[0]-m[0])/f, (near[1]-m[1])/f
		reach := f + 2*r
		behind, _, far := s.l.nearest(orb.Point{m[0] - reach*ux, m[1] - reach*uy})
		if behind > math.Sqrt(2*reach*(reach+r))*(1+1e-9) {
			return
		}
		if far != side {
			bound = min(bound, between(m, half, side, far))
		}
		if bound <= s.best+s.tolerance {
			return
		}
	}
	s.cells.push(depthCell{middle: m, half: half, bound: bound})
}
