// The driven ground, and how far figures reach into one another.

package validate

import (
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
	// whole is zones and corridors with the machine's half width in one.
	whole orb.MultiPolygon
}

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
			if d.whole, err = plane.Union(d.whole, strip); err != nil {
				return nil, err
			}
		}
	}
	return &d, nil
}

// forbidden lists what the driven ground must not run into: hazards, hard edges
// and the boundary. It is empty of what cannot be measured.
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
	for _, f := range r.Of(schema.RoleEdge) {
		if f.Attributes.Get(schema.PropEdgeKind).Text() == schema.EdgeFlush || !f.usable() {
			continue
		}
		o := driftObstacle{f: f}
		for _, l := range f.Lines {
			o.lines = append(o.lines, l.Ground)
		}
		for _, a := range f.Areas { // an edge drawn as a ring is its outline
			for _, ring := range a.Ground {
				o.lines = append(o.lines, orb.LineString(ring))
			}
		}
		if len(o.lines) > 0 {
			out = append(out, o)
		}
	}
	for _, f := range r.Of(schema.RoleBoundary) {
		switch {
		case len(f.Areas) > 0:
			if s := r.solidOf(f); s.why == "" {
				out = append(out, driftObstacle{f: f, solid: wound(s.areas), inside: true})
			} else {
				r.cannot("%s", s.why)
			}
		case f.usable() && len(f.Lines) > 0:
			o := driftObstacle{f: f}
			for _, l := range f.Lines {
				o.lines = append(o.lines, l.Ground)
			}
			out = append(out, o)
		}
	}
	return out, nil
}

// hazardGround is a hazard as it lies on the ground, points and lines with their
// radius where they have one; nil when it cannot be measured.
func (r *run) hazardGround(f *Feature) (*driftObstacle, error) {
	if !f.usable() {
		r.cannot("%s cannot be measured", f.describe())
		return nil, nil
	}
	o := &driftObstacle{f: f}
	if len(f.Areas) > 0 {
		s := r.solidOf(f)
		if s.why != "" {
			r.cannot("%s", s.why)
		} else {
			o.solid = append(o.solid, s.areas...)
		}
	}
	radius, _ := f.Float(schema.PropRadiusM)
	add := func(g orb.Geometry, line orb.LineString) error {
		if !(radius > 0) {
			o.lines = append(o.lines, line)
			return nil
		}
		disc, err := plane.Buffer(g, radius, bufferChordM)
		if err == nil {
			o.solid, err = plane.Union(o.solid, disc)
		}
		return err
	}
	for _, l := range f.Lines {
		if err := add(l.Ground, l.Ground); err != nil {
			return nil, err
		}
	}
	for _, v := range f.Points {
		if err := add(v.Ground, orb.LineString{v.Ground}); err != nil {
			return nil, err
		}
	}
	o.solid = wound(o.solid)
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

// deepest returns the point of the part that lies deepest in whole, and how deep,
// in metres. part must lie in whole. Depth is the distance to the boundary of
// whole; it is taken at the vertices of the part, along its edges, and in its
// middle, and refined along the edge where it was greatest.
//
// ceiling is a depth that cannot be exceeded, +Inf for none known.
func deepest(part, whole orb.MultiPolygon, ceiling float64) (at orb.Point, depth float64) {
	l := plane.NewLocator(whole)
	return farthest(part, ceiling, func(p orb.Point) float64 {
		d, _ := l.DistanceToBoundary(p)
		return d
	})
}

// farthest returns the point of the areas where f is greatest: f is taken at
// vertices, along edges and in the middle of the areas. The middle, which takes most
// of the time in a long strip, is spared when the outline reaches the ceiling, which f
// cannot exceed.
func farthest(areas orb.MultiPolygon, ceiling float64, f func(orb.Point) float64) (at orb.Point, most float64) {
	most = math.Inf(-1)
	try := func(p orb.Point) bool {
		if v := f(p); v > most {
			at, most = p, v
			return true
		}
		return false
	}
	for _, p := range areas {
		for _, ring := range p {
			if q, v := farthestOnLine(orb.LineString(ring), f); v > most {
				at, most = q, v
			}
		}
	}
	if most >= ceiling-nothingM {
		return at, most
	}
	// To a millimetre, or to a thousandth of what the outline shows already.
	if centre, depth := plane.GreatestDepth(areas, math.Max(0.001, most/1000)); depth > 0 {
		try(centre)
	}
	return at, most
}

// farthestOnLine returns the point of the line where f is greatest: sampled along
// every segment, then closed in on by golden section about the best sample.
func farthestOnLine(l orb.LineString, f func(orb.Point) float64) (at orb.Point, most float64) {
	const samples = 8
	most = math.Inf(-1)
	segment, s := -1, 0
	point := func(i int, t float64) orb.Point {
		a, b := l[i], l[i+1]
		return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
	}
	if len(l) > 0 {
		at, most = l[0], f(l[0])
	}
	for i := 0; i+1 < len(l); i++ {
		n := samples
		if distance(l[i], l[i+1]) < 0.01 {
			n = 1 // on a curve the vertices are the samples
		}
		for k := 1; k <= n; k++ {
			p := point(i, float64(k)/float64(n))
			if v := f(p); v > most {
				at, most, segment, s = p, v, i, k
			}
		}
	}
	if segment < 0 {
		return at, most
	}
	lo := math.Max(0, float64(s-1)/samples)
	hi := math.Min(1, float64(s+1)/samples)
	const golden = 0.6180339887498949
	for k := 0; k < 40 && hi-lo > 1e-9; k++ {
		a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
		fa, fb := f(point(segment, a)), f(point(segment, b))
		if fa > most {
			at, most = point(segment, a), fa
		}
		if fb > most {
			at, most = point(segment, b), fb
		}
		if fa < fb {
			lo = a
		} else {
			hi = b
		}
	}
	return at, most
}

// insideDepth returns how deep in the areas the line's deepest point lies, 0 when
// none lies inside.
func insideDepth(l orb.LineString, areas orb.MultiPolygon) (at orb.Point, depth float64) {
	if len(areas) == 0 {
		return at, 0
	}
	locator := plane.NewLocator(areas)
	at, depth = farthestOnLine(l, func(p orb.Point) float64 {
		d, _ := locator.DistanceToBoundary(p)
		if locator.Locate(p) != plane.Inside {
			return -d
		}
		return d
	})
	return at, math.Max(0, depth)
}
