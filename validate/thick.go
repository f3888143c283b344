// Thickness: hazards and edges that say how wide they are, as the ground that
// they cover.

package validate

import (
	"github.com/paulmach/orb"
	"math"

	"swardline/schema"
	"swardline/validate/plane"
)

// mostGrowthM is the most that radius_m or width_m of a hazard or an edge is
// believed to be, in metres; more is used too, and told. Common practice, no
// source.
const mostGrowthM = 100

// growth is how far, in metres, a hazard or an edge that stands reaches out from
// what is drawn of it: radius_m, or half of width_m where that is more; 0 where
// neither is a number above 0. The width of a gate or a ramp is that of the way
// through it. A crown that hangs down to the machine counts.
func (f *Feature) growth() float64 {
	if f.Role != schema.RoleHazard && (f.Role != schema.RoleEdge || isDrivenOver(edgeKind(f))) {
		return 0
	}
	return math.Max(f.reachDrawn(), f.crownGrowth())
}

// reachDrawn is growth of a feature of any role.
func (f *Feature) reachDrawn() float64 {
	most := 0.0
	if v, ok := f.Float(schema.PropRadiusM); ok && v > 0 && v < MaxSpanM {
		most = v
	}
	if v, ok := f.Float(schema.PropWidth); ok && v/2 > most && v/2 < MaxSpanM {
		most = v / 2
	}
	return most
}

// grown returns the ground within d metres of a geometry. Its round ends are
// drawn about the true ones, and all of it stands outside them by at most discM,
// so that nothing is too small.
func grown(g orb.Geometry, d float64) (orb.MultiPolygon, error) {
	return plane.Buffer(g, d+discM, discM)
}

// barrierShape is barrier with the width of the edge: the strip that it covers,
// less where a ramp or gate opens it, or its lines where it has none.
func (r *run) barrierShape(f *Feature) hazardShape { return r.barrierTo(f, nil) }

// barrierTo is barrierShape for one that goes along the ways alone, nil for all.
func (r *run) barrierTo(f *Feature, ways []orb.LineString) hazardShape {
	s := hazardShape{bound: f.bound}
	wide := f.growth()
	open := r.openedTo(f, wide, ways)
	if wide == 0 {
		s.lines = without(f.lines(), open)
		return s
	}
	strip, err := grown(orb.MultiLineString(f.lines()), wide)
	if err == nil && len(open) > 0 {
		strip, err = plane.Difference(strip, open)
	}
	if err != nil {
		s.why = "the ground that " + f.describe() + " covers cannot be worked out: " + err.Error()
		return s
	}
	s.solid, s.areas, s.bound = strip, strip, areasBound(strip)
	return s
}

// wide returns the shape with its polygons and lines grown, and without lines.
func (h hazardShape) wide(d float64) (hazardShape, error) {
	all := make(orb.Collection, 0, len(h.solid)+len(h.lines))
	for _, p := range h.solid {
		all = append(all, p)
	}
	for _, l := range h.lines {
		all = append(all, l)
	}
	if len(all) == 0 {
		return h, nil
	}
	area, err := grown(all, d)
	if err != nil {
		return h, err
	}
	h.solid, h.areas, h.lines, h.bound = area, area, nil, h.bound.Union(areasBound(area))
	return h, nil
}

// aboutAll is the ground within d metres of all of a shape, points too; the shape
// itself for 0.
func (h hazardShape) aboutAll(d float64) (hazardShape, error) {
	if !(d > 0) || h.why != "" {
		return h, nil
	}
	points := h.points
	h, err := h.wide(d)
	if err != nil {
		return h, err
	}
	h.points = nil
	for _, p := range points {
		ring := discRing(p, d)
		h.areas = append(h.areas[:len(h.areas):len(h.areas)], orb.Polygon{ring})
		h.bound = h.bound.Union(boundOf(ring))
	}
	return h, nil
}

// covers reports whether the shape covers a point.
func (h *hazardShape) covers(p orb.Point) bool {
	if !h.bound.Contains(p) {
		return false
	}
	if len(h.solid) > 0 && plane.Locate(p, h.solid) != plane.Outside {
		return true
	}
	for _, c := range h.discs {
		if distance(p, c.at) <= c.radius {
			return true
		}
	}
	return false
}

// hazardLines are the outlines, lines and points of a hazard as something beside
// a way meets them, nil for one that cannot be worked out.
func (r *run) hazardLines(f *Feature) [][]orb.Point {
	s := r.hazardShape(f)
	if s.why != "" {
		return nil
	}
	var out [][]orb.Point
	for _, p := range s.areas {
		for _, ring := range p {
			out = append(out, ring)
		}
	}
	for _, l := range s.lines {
		out = append(out, l)
	}
	for _, p := range s.points {
		out = append(out, []orb.Point{p})
	}
	return out
}
