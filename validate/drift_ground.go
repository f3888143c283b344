// The driven ground, and how far figures reach into one another.

package validate

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// Round joins of buffers stand within this many metres of the true circle.
const bufferChordM = 0.001

// nothingM2 and nothingM are the area and the depth below which a figure is the
// rounding of two outlines that share a line.
const (
	nothingM2 = 1e-6
	nothingM  = 1e-5
)

// drivenGround is what the machine drives, as planned.
type drivenGround struct {
	// zones are the active zones that can be measured, less the keep-outs.
	zones []drivenZone
	// allZones is the union of the active zones, keep-outs not taken off.
	allZones orb.MultiPolygon
	// corridors are the active corridors with the machine's half width.
	corridors []drivenZone
	// docks is the ground that docking takes.
	docks []drivenZone
	// whole is zones, corridors and docks in one.
	whole orb.MultiPolygon
}

// drivenZone is the ground driven of one feature.
type drivenZone struct {
	f    *Feature
	area orb.MultiPolygon
}

// driven computes the ground driven. What cannot be measured is left out and
// noted in the run's reasons.
func (r *run) driven() (*drivenGround, error) {
	var d drivenGround
	var keepouts orb.MultiPolygon
	var err error
	for _, f := range r.Of(schema.RoleKeepout) {
		s := r.solidOf(f)
		if s.why != "" {
			r.cannot("%s", s.why)
			continue
		}
		if keepouts, err = plane.Union(keepouts, s.areas); err != nil {
			return nil, err
		}
	}
	for _, f := range r.Of(schema.RoleZone) {
		s := r.solidOf(f)
		if s.why != "" {
			r.cannot("%s", s.why)
			continue
		}
		net, err := plane.Difference(s.areas, keepouts)
		if err != nil {
			return nil, err
		}
		d.zones = append(d.zones, drivenZone{f, net})
		if d.allZones, err = plane.Union(d.allZones, s.areas); err != nil {
			return nil, err
		}
		if d.whole, err = plane.Union(d.whole, net); err != nil {
			return nil, err
		}
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		if !f.usable() {
			r.cannot("%s cannot be measured", f.describe())
			continue
		}
		for _, l := range f.Lines {
			strip, err := plane.Buffer(l.Ground, r.halfWidth(f), bufferChordM)
			if err != nil {
				return nil, err
			}
			d.corridors = append(d.corridors, drivenZone{f, strip})
			if d.whole, err = plane.Union(d.whole, strip); err != nil {
				return nil, err
			}
		}
	}
	for _, dock := range r.docks() {
		area, err := r.dockGround(&dock)
		if err != nil {
			return nil, err
		}
		d.docks = append(d.docks, drivenZone{dock.f, area})
		if d.whole, err = plane.Union(d.whole, area); err != nil {
			return nil, err
		}
	}
	switch {
	case len(d.whole) > 0:
		return &d, nil
	case len(r.reasons) > 0:
		return nil, fmt.Errorf("the plan has no active zone or corridor that can be measured: %s", joinReasons(r.reasons))
	case len(d.zones) > 0:
		return nil, errors.New("keep-outs take all that the plan's active zones have, so nothing is driven that could move")
	}
	return nil, errors.New("the plan has no active zone or corridor, so nothing is driven that could move; give what is mown the role of a zone")
}

// dockGround is what docking takes: the strip of the machine's width from the
// dock to its line-up point, and the disc there in which the machine turns. A
// dock without a heading has its line-up point on any side, so nothing of it is
// known.
func (r *run) dockGround(d *dockSpot) (orb.MultiPolygon, error) {
	if math.IsNaN(d.heading) {
		r.cannot("%s has no heading, so the ground in front of it is not known", d.f.describe())
		return nil, nil
	}
	w := r.wayOf(d, 0)
	return w.area()
}

// forbidden lists what the driven ground must not run into: hazards, buildings,
// hard edges and the boundary. It is empty of what cannot be measured.
func (r *run) forbidden() ([]driftObstacle, error) {
	var out []driftObstacle
	for _, f := range r.Of(schema.RoleHazard) {
		o, err := r.hazardGround(f)
		if err != nil {
			return nil, err
		}
		if o != nil {
			out = append(out, *o)
		}
	}
	for _, f := range r.Of(schema.RoleBuilding) {
		s := r.solidOf(f)
		if s.why != "" {
			r.cannot("%s", s.why)
			continue
		}
		if len(s.areas) > 0 {
			out = append(out, driftObstacle{f: f, solid: wound(s.areas)})
		}
	}
	for _, f := range r.Of(schema.RoleEdge) {
		if isDrivenOver(edgeKind(f)) {
			continue
		}
		if !f.usable() {
			r.cannot("%s cannot be measured", f.describe())
			continue
		}
		// An edge drawn as a ring is its outline; where a ramp or gate declares
		// a crossing there is none, as in the check.
		s := r.barrierShape(f)
		if s.why != "" {
			r.cannot("%s", s.why)
		}
		if o := (driftObstacle{f: f, lines: s.lines, solid: wound(s.solid)}); len(o.lines)+len(o.solid) > 0 {
			out = append(out, o)
		}
	}
	lot, owner, err := r.lot()
	if err != nil {
		return nil, err
	}
	if len(lot) > 0 {
		out = append(out, driftObstacle{f: owner, solid: wound(lot), inside: true})
	}
	for _, f := range r.Of(schema.RoleBoundary) {
		o := driftObstacle{f: f}
		for _, l := range f.Lines {
			if f.usable() && len(l.Ground) > 1 && !closes(l) {
				o.lines = append(o.lines, l.Ground)
			}
		}
		if len(o.lines) > 0 {
			out = append(out, o)
		}
	}
	return out, nil
}

// closes reports whether a line ends where it began and encloses something.
func closes(l Line) bool { return len(l.Read) > 3 && l.Read[0] == l.Read[len(l.Read)-1] }

// lot is the ground inside the boundaries that close, parcels that touch
// joined, and the boundary to name; nothing when one of them cannot be
// measured, since what lies outside of the others may lie inside that one.
func (r *run) lot() (lot orb.MultiPolygon, owner *Feature, err error) {
	unclear := false
	each := &solids{}
	for _, f := range r.Of(schema.RoleBoundary) {
		if !f.usable() {
			r.cannot("%s cannot be measured", f.describe())
			unclear = true
			continue
		}
		before := len(lot)
		if len(f.Areas) > 0 {
			s := r.solidOf(f)
			if s.why != "" {
				r.cannot("%s", s.why)
				unclear = true
				continue
			}
			lot = append(lot, s.areas...)
		}
		for _, l := range f.Lines {
			if !closes(l) {
				continue
			}
			if !plane.IsValid([]orb.Polygon{{orb.Ring(l.Read)}}) {
				r.cannot("%s crosses itself", f.describe())
				unclear = true
				continue
			}
			lot = append(lot, orb.Polygon{orb.Ring(l.Ground)})
		}
		for _, p := range lot[before:] {
			each.features, each.areas, each.bounds = append(each.features, f), append(each.areas, orb.MultiPolygon{p}), append(each.bounds, boundOf(p[0]))
		}
		if owner == nil && len(lot) > before {
			owner = f
		}
	}
	if unclear {
		return nil, nil, nil
	}
	if len(lot) > 1 {
		r.nestedBoundaries(each)
		lot, err = plane.Union(lot, nil)
	}
	return lot, owner, err
}

// hazardGround is a hazard as it lies on the ground, points and lines with
// their radius where they have one; nil when it cannot be measured.
func (r *run) hazardGround(f *Feature) (*driftObstacle, error) {
	if !f.usable() {
		r.cannot("%s cannot be measured", f.describe())
		return nil, nil
	}
	s := r.hazardShape(f)
	if s.why != "" {
		r.cannot("%s", s.why)
		s = hazardShape{lines: f.lines()} // which may still be met
	}
	o := &driftObstacle{f: f, lines: s.lines}
	for _, p := range s.points {
		o.lines = append(o.lines[:len(o.lines):len(o.lines)], orb.LineString{p})
	}
	solid := s.areas
	if len(s.discs) > 0 && len(solid) > 1 { // discs may overlap
		var err error
		if solid, err = plane.Union(solid, nil); err != nil {
			return nil, err
		}
	}
	o.solid = wound(solid)
	return o, nil
}

// wound returns the areas with shells anticlockwise and holes clockwise, which
// the sweep of the margin rose stands on.
func wound(areas orb.MultiPolygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(areas))
	for i, p := range areas {
		out[i] = make(orb.Polygon, len(p))
		for k, ring := range p {
			if (plane.SignedArea(ring) > 0) != (k == 0) {
				turned := append(orb.Ring(nil), ring...)
				turned.Reverse()
				ring = turned
			}
			out[i][k] = ring
		}
	}
	return out
}

// moved returns the areas displaced.
func moved(areas orb.MultiPolygon, by orb.Point) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(areas))
	for i, p := range areas {
		out[i] = make(orb.Polygon, len(p))
		for k, ring := range p {
			out[i][k] = make(orb.Ring, len(ring))
			for j, q := range ring {
				out[i][k][j] = orb.Point{q[0] + by[0], q[1] + by[1]}
			}
		}
	}
	return out
}

// insideDepth returns how deep in the areas the line's deepest point lies, 0
// when none lies inside. A line of one vertex is a point.
func insideDepth(l orb.LineString, areas orb.MultiPolygon) (at orb.Point, depth float64) {
	if len(areas) == 0 || len(l) == 0 {
		return at, 0
	}
	pieces := []orb.LineString{l}
	if len(l) > 1 {
		pieces = clipInside(l, areas)
	} else if plane.Locate(l[0], areas) != plane.Inside {
		return at, 0
	}
	if len(pieces) == 0 {
		return at, 0
	}
	locator := plane.NewLocator(areas)
	for _, piece := range pieces {
		if p, d := locator.FarthestAlong(piece, nothingM); d > depth {
			at, depth = p, d
		}
	}
	return at, depth
}
