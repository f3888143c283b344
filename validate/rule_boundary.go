// Rule on the property limit: boundary-crossed.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var boundaryRules = []Rule{{
	Name: RuleBoundaryCrossed, Severity: Error, Limits: []string{"machine_width_m", "turn_radius_m", "dock_standoff_m"}, Over: one(schema.RoleZone, schema.RoleCorridor), run: checkBoundaryCrossed,
	Page: Page{
		What: "How far zones, corridors with half the machine's width, docks and the ground that docking takes reach outside the property, and the area of zones outside; and where a corridor turns by more than 60 degrees within turn_radius_m of line, so that a machine stops and turns on the spot, whether that corner lies turn_radius_m inside. " +
			"Boundaries that touch or overlap are one property; of one that lies inside another, its side more than 5 cm away, nobody can tell which is the limit, and the rule is never passed. Of a boundary that is drawn as an open line only crossing it can be judged, and the length of line inside the zone is measured; " +
			"where no boundary closes the rule is never passed. " +
			"Bases and outlets that stand outside, at most 50 m off, are notes; and so are a zone or a corridor that reaches from one boundary into another where the two say different owners (owner, client and the like), or one of the two says by its name a road, water or a drop, or that it is another's, and a zone that says another owner than the boundary that it lies in. " +
			"A millimetre is rounding.",
		Why:    "Over the line are the neighbour's children, the neighbour's dog and the pavement.",
		Source: sourcePractice,
		Fails:  "a zone whose corner lies 0.4 m outside the boundary; a corridor that turns square 0.35 m inside it, turn radius 0.6 m",
		Passes: "the same zone cut at the boundary; a corridor that bends gently 0.35 m inside it",
		Mend:   "cut the zone, move the corridor, or correct the boundary if the survey shows that it is wrong",
	},
}}

// openLine is a boundary drawn as a line that does not close.
type openLine struct {
	f    *Feature
	line orb.LineString
}

// property returns the ground inside the boundaries that close, parcels that
// touch joined, polygon by polygon, and those that do not close; ok is false
// when one of them cannot be measured and so nothing can be said to be outside.
func (r *run) property() (inside *solids, open []openLine, ok bool) {
	inside = &solids{}
	add := func(f *Feature, p orb.Polygon) {
		inside.features = append(inside.features, f)
		inside.areas = append(inside.areas, orb.MultiPolygon{p})
		inside.bounds = append(inside.bounds, p[0].Bound())
	}
	usable := r.need(schema.RoleBoundary)
	if len(usable) < len(r.Of(schema.RoleBoundary)) {
		return nil, nil, false
	}
	for _, f := range usable {
		if len(f.Areas) > 0 {
			s := r.solidOf(f)
			if s.why != "" {
				r.cannot("%s", s.why)
				return nil, nil, false
			}
			for _, p := range s.areas {
				add(f, p)
			}
		}
		for i := range f.Lines {
			l := f.Lines[i]
			switch {
			case len(l.Ground) < 2:
				r.cannot("%s has no line of two points", f.describe())
			case closes(l):
				if !plane.IsValid([]orb.Polygon{{orb.Ring(l.Read)}}) {
					r.cannot("%s crosses itself", f.describe())
					return nil, nil, false
				}
				add(f, orb.Polygon{orb.Ring(l.Ground)})
			default:
				open = append(open, openLine{f, l.Ground})
			}
		}
	}
	if inside.len() > 1 { // parcels side by side are one property
		r.nestedBoundaries(inside)
		var all orb.MultiPolygon
		for i := range inside.areas {
			all = append(all, inside.areas[i]...)
		}
		joined, ok := r.combined(plane.Union(all, nil))
		if !ok {
			return nil, nil, false
		}
		owner := inside.features[0]
		inside = &solids{}
		for _, p := range joined {
			add(owner, p)
		}
	}
	inside.locators = make([]*plane.Locator, inside.len())
	inside.gauges = make([]*plane.Gauge, inside.len())
	return inside, open, true
}

// Of two boundaries one is taken to lie inside the other when so much of it
// does, and the ground between their sides is wider than this in metres: an
// outline surveyed twice is none of the two. Common practice, no source.
const (
	nestedShare  = 0.95
	nestedWidthM = 0.05
)

// nestedBoundaries records boundaries that lie inside others.
func (r *run) nestedBoundaries(all *solids) {
	index := plane.NewBoxes(all.bounds)
	for i := range all.areas {
		for _, k := range index.Search(all.bounds[i], nil) {
			small, large := plane.Area(all.areas[i]), plane.Area(all.areas[k])
			if i == k || small > large || small == large && i > k {
				continue
			}
			shared := r.shared(all.areas[i], all.bounds[i], all.areas[k], all.bounds[k])
			if plane.Area(shared) < nestedShare*small {
				continue
			}
			between, ok := r.difference(all.areas[k], all.areas[i])
			if !ok || len(between) == 0 {
				continue
			}
			if _, depth := plane.GreatestDepth(between, depthTolerance); 2*depth > nestedWidthM {
				r.cannot("%s lies inside %s, and which of the two is the limit cannot be told: switch one off, or draw the inner one as a hole of the other", all.features[i].describe(), all.features[k].describe())
			}
		}
	}
}

// depthIn returns how deep a point lies inside the areas of s, negative
// outside, and the point of their edges that is nearest; of areas that share an
// edge the depth is that in one of them.
func (s *solids) depthIn(p orb.Point) (float64, orb.Point) {
	deepest, at := math.Inf(-1), orb.Point{}
	for _, i := range s.near(p.Bound()) {
		if l := s.locator(i); l.Locate(p) != plane.Outside {
			if d, q := l.DistanceToBoundary(p); d > deepest {
				deepest, at = d, q
			}
		}
	}
	if deepest >= 0 {
		return deepest, at
	}
	i, d := s.index().Nearest(p, func(i int) float64 {
		d, _ := s.locator(i).DistanceToBoundary(p)
		return d
	})
	if i < 0 {
		return math.Inf(-1), at
	}
	_, at = s.locator(i).DistanceToBoundary(p)
	return -d, at
}

func checkBoundaryCrossed(r *run) {
	if !r.onGround() {
		return
	}
	property, open, ok := r.property()
	if !ok || property.len() == 0 && len(open) == 0 {
		return
	}
	zones := r.needZones()
	r.owners(zones)
	if property.len() > 0 {
		r.standOutside(property, property.features[0])
		r.insideProperty(property, zones)
	} else {
		r.cannot("no boundary closes, so on which side of it the property lies is not known and only crossing it was judged")
	}
	for _, o := range open {
		for _, i := range zones.near(o.line.Bound()) {
			z := zones.features[i]
			length := 0.0
			var first orb.LineString
			for _, piece := range clipInside(o.line, zones.areas[i]) {
				length += groundLength(piece)
				if first == nil {
					first = piece
				}
			}
			if length <= slackM {
				continue
			}
			x := r.finding(r.Place(first[0]), z, o.f)
			x.Measured, x.Limit, x.Unit = length, 0, "m"
			x.Trace = r.trace(first...)
			x.Message = fmt.Sprintf("%s runs through it for %s", o.f.describe(), metres(length))
		}
		var line *plane.Gauge
		for _, c := range r.corridors() {
			half := r.halfWidth(c.f)
			if !c.pts.Bound().Pad(half).Intersects(o.line.Bound()) {
				r.cornersCrossed(&c, &o)
				continue
			}
			if line == nil {
				line = plane.NewGauge(o.line)
			}
			d, p, q, near := plane.NewGauge(c.pts).Within(line, half)
			if !near || d >= half-slackM {
				r.cornersCrossed(&c, &o)
				continue
			}
			x := r.finding(r.Place(p), c.f, o.f)
			x.Measured, x.Limit, x.Unit = d, half, "m"
			x.Trace = r.trace(p, q)
			x.Message = fmt.Sprintf("passes %s beside %s; half the machine is %s wide", metresPast(d, half), o.f.describe(), metres(half))
			if d == 0 {
				x.Message = "crosses " + o.f.describe()
			}
		}
		r.dockWaysCrossed(o)
	}
}

func (r *run) insideProperty(property, zones *solids) {
	owner := property.features[0]
	var all orb.MultiPolygon
	for i := range property.areas {
		all = append(all, property.areas[i]...)
	}
	limit := plane.NewLocator(all)
	for i, z := range zones.features {
		near := property.near(zones.bounds[i])
		if len(near) == 1 && len(property.areas[near[0]][0]) == 1 &&
			fits(zones.areas[i], zones.bounds[i], property.areas[near[0]], property.bounds[near[0]]) {
			continue
		}
		out, ok := r.difference(zones.areas[i], property.all(zones.bounds[i]))
		if !ok || len(out) == 0 {
			continue
		}
		at, far := farthest(out, limit, math.Inf(1))
		if far <= slackM {
			continue
		}
		_, edge := limit.DistanceToBoundary(at)
		x := r.finding(r.Place(at), z, owner)
		x.Measured, x.Limit, x.Unit = far, 0, "m"
		x.AreaM2 = plane.Area(out)
		x.Trace = r.trace(at, edge)
		x.Message = fmt.Sprintf("reaches %s outside the boundary, with %s of ground", metres(far), squareMetres(x.AreaM2))
	}
	for _, c := range r.corridors() {
		before := len(r.findings)
		if r.corridorInside(&c, property, owner, limit); len(r.findings) == before {
			r.cornersInside(&c, property, owner)
		}
	}
	for _, d := range r.docks() {
		far, edge := property.depthIn(d.at)
		if -far <= slackM {
			continue // dockWaysInside looks at the ground in front of it
		}
		x := r.finding(r.placeRead(d.f, d.vertex.Read, d.at), d.f, owner)
		x.Measured, x.Limit, x.Unit = -far, 0, "m"
		x.Trace = r.trace(d.at, edge)
		x.Message = "stands " + metres(-far) + " outside the boundary"
	}
	r.dockWaysInside(property, owner, limit)
}

// dockWaysInside tells of docks that stand inside but whose ground for docking,
// the strip and the disc of dock-path-blocked, reaches outside.
func (r *run) dockWaysInside(property *solids, owner *Feature, limit *plane.Locator) {
	for _, d := range r.docks() {
		if in, _ := property.depthIn(d.at); -in > slackM {
			continue
		}
		if math.IsNaN(d.heading) {
			r.cannot("%s has no heading_deg, so the way into it is not known", d.f.describe())
			continue
		}
		w := r.wayOf(&d, 0)
		if in, _ := property.depthIn(w.bound.Center()); in > distance(w.bound.Min, w.bound.Max)/2 {
			continue
		}
		area, ok := r.combined(w.area())
		if !ok {
			continue
		}
		r.reachesOutside(d.f, area, property.all(w.bound), limit, owner, " in front of it")
	}
}

// dockWaysCrossed tells of docks whose ground for docking an open boundary runs
// through.
func (r *run) dockWaysCrossed(o openLine) {
	for _, d := range r.docks() {
		if math.IsNaN(d.heading) {
			continue
		}
		w := r.wayOf(&d, slackM)
		if !w.bound.Intersects(o.line.Bound()) {
			continue
		}
		area, ok := r.combined(w.area())
		if !ok {
			continue
		}
		pieces := clipInside(o.line, area)
		if len(pieces) == 0 {
			continue
		}
		length := 0.0
		for _, piece := range pieces {
			length += groundLength(piece)
		}
		x := r.finding(r.Place(pieces[0][0]), d.f, o.f)
		x.Measured, x.Limit, x.Unit = length, 0, "m"
		x.Trace = r.trace(pieces[0]...)
		x.Message = fmt.Sprintf("%s runs through the ground that docking takes for %s", o.f.describe(), metres(length))
	}
}

// corridorInside judges one corridor: how far the ground that the machine
// covers in it reaches outside. limit are the edges of the property.
func (r *run) corridorInside(c *corridorLine, property *solids, owner *Feature, limit *plane.Locator) {
	half := r.halfWidth(c.f)
	// The short way: it begins inside, and no edge comes within half the
	// machine.
	clear := limit.Locate(c.pts[0]) == plane.Inside
	line := plane.NewGauge(c.pts)
	box := c.pts.Bound().Pad(half)
	for _, i := range property.near(box) {
		if !clear {
			break
		}
		_, _, _, near := line.Within(plane.NewGauge(ringLines(property.areas[i])), half)
		clear = !near
	}
	if clear {
		return
	}
	swept, ok := r.buffer(c.pts, half)
	if !ok {
		return
	}
	r.reachesOutside(c.f, swept, property.all(box), limit, owner, "")
}

// reachesOutside tells how far ground that f takes reaches out of the property,
// where it does.
func (r *run) reachesOutside(f *Feature, ground, property orb.MultiPolygon, limit *plane.Locator, owner *Feature, where string) {
	out, ok := r.difference(ground, property)
	if !ok || len(out) == 0 {
		return
	}
	at, far := farthest(out, limit, math.Inf(1))
	if far <= slackM {
		return
	}
	_, edge := limit.DistanceToBoundary(at)
	x := r.finding(r.Place(at), f, owner)
	x.Measured, x.Limit, x.Unit = far, 0, "m"
	x.Trace = r.trace(at, edge)
	x.Message = fmt.Sprintf("the machine would reach %s outside the boundary%s", metres(far), where)
}

// ringLines returns the rings of an area as lines.
func ringLines(m orb.MultiPolygon) orb.MultiLineString {
	var out orb.MultiLineString
	for _, p := range m {
		for _, ring := range p {
			out = append(out, orb.LineString(ring))
		}
	}
	return out
}
