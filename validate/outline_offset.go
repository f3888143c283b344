// Outlines by themselves: moved in or out, and measured, on the ground.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
	"swardline/validate/plane"
)

// outlineMitre is how far a corner of a moved outline may stand out, in units
// of the movement: corners of 60 degrees and more stay corners, sharper ones
// are cut.
const outlineMitre = 2

// OffsetOutline gives the geometry of f, a polygon in the coordinates of the
// plan, with its outline moved by metres on the ground, out when by is
// positive; holes move the other way. Corners stay corners. The result has no
// heights, and is a MultiPolygon when the outline falls into parts. The error
// says why there is none.
func OffsetOutline(p *schema.Plan, f *schema.Feature, by float64) (geom.T, error) {
	s, g, err := alone(p, f)
	if err != nil {
		return nil, err
	}
	if len(g.Areas) == 0 {
		return nil, fmt.Errorf("it is no closed outline")
	}
	if len(schema.OpenOutlines(f)) > 0 {
		return nil, fmt.Errorf("its outline is open: close it first, and see on the ground whether a stretch is missing")
	}
	var moved orb.MultiPolygon
	for _, a := range g.Areas {
		part, err := plane.Offset(a.Ground, by, plane.Mitre(outlineMitre))
		if err != nil {
			return nil, err
		}
		moved = append(moved, part...)
	}
	if moved, err = plane.Union(moved, nil); err != nil {
		return nil, err
	}
	if len(moved) == 0 {
		return nil, fmt.Errorf("nothing is left of it when it is moved in by %s", metres(-by))
	}
	return toPlan(s, moved, g.Areas[0])
}

// toPlan takes areas on the ground back to the plan's coordinates, their rings
// in the sense in which like runs.
func toPlan(s *Site, areas orb.MultiPolygon, like Area) (geom.T, error) {
	clockwise := len(like.Ground) > 0 && plane.SignedArea(like.Ground[0]) < 0
	var flat []float64
	var endss [][]int
	for _, polygon := range areas {
		var ends []int
		for i, ring := range polygon {
			if (plane.SignedArea(ring) < 0) != (clockwise == (i == 0)) {
				ring = ring.Clone()
				ring.Reverse()
			}
			for _, q := range ring {
				xy, ok := s.GroundToPlan(q)
				if !ok {
					return nil, fmt.Errorf("a moved point has no coordinates in the plan's system")
				}
				flat = append(flat, xy[0], xy[1])
			}
			if n := len(ring); ring[0] != ring[n-1] {
				xy, _ := s.GroundToPlan(ring[0])
				flat = append(flat, xy[0], xy[1])
			}
			ends = append(ends, len(flat))
		}
		endss = append(endss, ends)
	}
	if len(endss) == 1 {
		return geom.NewPolygonFlat(geom.XY, flat, endss[0]), nil
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, endss), nil
}

// AreaOf is the area in square metres on the ground of a feature in the
// coordinates of the plan, holes taken off; ok is false for what has none.
func AreaOf(p *schema.Plan, f *schema.Feature) (m2 float64, ok bool) {
	_, g, err := alone(p, f)
	if err != nil || len(g.Areas) == 0 {
		return 0, false
	}
	for _, a := range g.Areas {
		for i, r := range a.Ground {
			if i == 0 {
				m2 += math.Abs(plane.SignedArea(r))
			} else {
				m2 -= math.Abs(plane.SignedArea(r))
			}
		}
	}
	return m2, true
}

// alone puts one feature on the ground by itself, active or not.
func alone(p *schema.Plan, f *schema.Feature) (*Site, *Feature, error) {
	one := *p
	on := *f
	on.Attributes = f.Attributes.Clone()
	on.Attributes.Delete(schema.PropActive)
	one.Features = []*schema.Feature{&on}
	s, err := Ground(&one)
	if err != nil {
		return nil, nil, err
	}
	if s.Frame == FrameNone {
		return nil, nil, fmt.Errorf("it cannot be put on the ground: %s", s.Why)
	}
	if g := s.Features[0]; g.usable() {
		return s, g, nil
	}
	return nil, nil, fmt.Errorf("it cannot be put on the ground: %s", s.Features[0].Invalid)
}

// PlanToGround is the inverse of GroundToPlan.
func (s *Site) PlanToGround(p orb.Point) (orb.Point, bool) {
	switch s.Frame {
	case FramePlane:
		return orb.Point{p[0] - s.mid[0], p[1] - s.mid[1]}, true
	case FrameEarth:
		flat := []float64{p[0], p[1]}
		if s.Plan.CRS.ToGeodetic(flat, 2) != nil || !finite(flat) {
			return p, false
		}
		return s.LonLatToGround(flat[0], flat[1])
	}
	return p, false
}
