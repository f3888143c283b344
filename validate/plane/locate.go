// Where a point lies: inside an area, on its edge, or outside; exactly.

package plane

import (
	"github.com/paulmach/orb"
)

// Location says where a point lies with respect to an area.
type Location int8

// The locations.
const (
	Outside Location = iota
	OnEdge
	Inside
)

// String returns the location as a word.
func (l Location) String() string {
	switch l {
	case Outside:
		return "outside"
	case OnEdge:
		return "on edge"
	case Inside:
		return "inside"
	}
	return "unknown"
}

// Locate returns where p lies with respect to an area: an orb.Ring, Polygon,
// MultiPolygon or Bound, exactly. Of a ring that crosses itself the inside is
// where a ray crosses it an odd number of times. Points and lines have no
// inside: a point on one of them is OnEdge. A point that is not finite is
// Outside; the area must be finite.
//
// It looks at every segment; Locator answers many questions about one area.
func Locate(p orb.Point, area orb.Geometry) Location {
	if !finite(p) {
		return Outside
	}
	switch area := area.(type) {
	case orb.Ring:
		return locateRing(p, area)
	case orb.Polygon:
		return locatePolygon(p, area)
	case orb.MultiPolygon:
		best := Outside
		for _, poly := range area {
			switch locatePolygon(p, poly) {
			case Inside:
				return Inside
			case OnEdge:
				best = OnEdge
			}
		}
		return best
	case orb.Bound:
		return locateRing(p, area.ToRing())
	case orb.Collection:
		best := Outside
		for _, part := range area {
			best = max(best, Locate(p, part))
		}
		return best
	case orb.Point:
		if p == area {
			return OnEdge
		}
	case orb.MultiPoint:
		for _, q := range area {
			if p == q {
				return OnEdge
			}
		}
	case orb.LineString:
		if onLine(p, area) {
			return OnEdge
		}
	case orb.MultiLineString:
		for _, line := range area {
			if onLine(p, line) {
				return OnEdge
			}
		}
	}
	return Outside
}

func onLine(p orb.Point, line []orb.Point) bool {
	for i := 1; i < len(line); i++ {
		if onSegment(p, line[i-1], line[i]) {
			return true
		}
	}
	return len(line) == 1 && line[0] == p
}

// onSegment reports whether p lies on the segment ab, exactly.
func onSegment(p, a, b orb.Point) bool {
	return inBox(p, a, b) && Orient(a, b, p) == 0
}

func locatePolygon(p orb.Point, poly orb.Polygon) Location {
	if len(poly) == 0 {
		return Outside
	}
	where := locateRing(p, poly[0])
	if where != Inside {
		return where
	}
	for _, hole := range poly[1:] {
		switch locateRing(p, hole) {
		case OnEdge:
			return OnEdge
		case Inside:
			return Outside
		}
	}
	return Inside
}

func locateRing(p orb.Point, r orb.Ring) Location {
	if len(r) == 0 {
		return Outside
	}
	odd := false
	a := r[len(r)-1]
	for _, b := range r {
		switch rayCrosses(p, a, b) {
		case rayOn:
			return OnEdge
		case rayHit:
			odd = !odd
		}
		a = b
	}
	if odd {
		return Inside
	}
	return Outside
}

// rayAnswer says how a segment meets the ray from a point towards greater x.
type rayAnswer uint8

const (
	rayMiss rayAnswer = iota
	rayHit
	rayOn // the point itself lies on the segment
)

// rayCrosses decides one segment of a crossing count. A segment owns its lower
// end and not its upper one, so that a ray through a vertex counts once where
// the ring passes and twice or never where it turns.
func rayCrosses(p, a, b orb.Point) rayAnswer {
	if (a[1] > p[1]) == (b[1] > p[1]) {
		// Both above, or both at or below: no crossing, but p may lie on it.
		if (a[1] == p[1] || b[1] == p[1]) && inBox(p, a, b) && (a == p || b == p || a[1] == b[1]) {
			return rayOn
		}
		return rayMiss
	}
	if a[0] < p[0] && b[0] < p[0] {
		return rayMiss
	}
	if a[0] > p[0] && b[0] > p[0] {
		return rayHit
	}
	o := Orient(a, b, p)
	if o == 0 {
		return rayOn
	}
	if (o > 0) == (b[1] > a[1]) {
		return rayHit // upwards with p on the left, or downwards with p on the right
	}
	return rayMiss
}
