// Validity of any geometry: points and lines beside polygons.

package plane

import (
	"github.com/paulmach/orb"
)

// ValidateGeometry returns every fault of a geometry by OGC Simple Features, as
// Validate does for polygons. Points are valid when they are finite, lines when
// they are finite and have two different points or none (they may cross
// themselves); a Ring or Bound counts as a polygon. Each part of a Collection
// is judged by itself.
//
// In the faults, Where.Polygon counts points, lines or polygons from 0 within a
// multi-geometry, and the parts (nested ones too) of a collection, of which
// each has a number of its own and a multipolygon one for each polygon.
func ValidateGeometry(g orb.Geometry) []Fault {
	var out []Fault
	validateParts(g, 0, &out)
	return out
}

// validateParts appends the faults of g, whose first part has the number n, and
// returns the number after its last.
func validateParts(g orb.Geometry, n int, out *[]Fault) int {
	line := func(pts []orb.Point, least int) {
		var last orb.Point
		distinct := 0
		bad := false
		for i, p := range pts {
			if !finite(p) {
				w := Where{n, 0, i}
				*out = append(*out, Fault{NotFinite, w, w, p, p})
				bad = true
			}
			if i == 0 || p != last {
				distinct++
			}
			last = p
		}
		if !bad && distinct > 0 && distinct < least {
			w := Where{n, 0, -1}
			*out = append(*out, Fault{TooFewPoints, w, w, pts[0], pts[0]})
		}
		n++
	}
	switch g := g.(type) {
	case orb.Point:
		line([]orb.Point{g}, 1)
	case orb.MultiPoint:
		for _, p := range g {
			line([]orb.Point{p}, 1)
		}
	case orb.LineString:
		line(g, 2)
	case orb.MultiLineString:
		for _, l := range g {
			line(l, 2)
		}
	case orb.Ring, orb.Polygon, orb.MultiPolygon, orb.Bound:
		polygons := polygonsOf(g, nil)
		for _, f := range Validate(polygons) {
			f.A.Polygon += n
			f.B.Polygon += n
			*out = append(*out, f)
		}
		n += len(polygons)
	case orb.Collection:
		for _, part := range g {
			n = validateParts(part, n, out)
		}
	}
	return n
}
