// Areas put together and taken apart for the rules, with the short ways that
// spare most plans the boolean operations.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// depthTolerance is how far, in metres, a greatest depth may fall short of the
// true one.
const depthTolerance = 1e-4

// chordM is how far the round ends of a buffer may depart from the true arc.
const chordM = 0.0005

// intersection and difference are the kernel's, with an error recorded as
// something that could not be checked.
func (r *run) intersection(a, b orb.MultiPolygon) (orb.MultiPolygon, bool) {
	return r.combined(plane.Intersection(a, b))
}

func (r *run) difference(a, b orb.MultiPolygon) (orb.MultiPolygon, bool) {
	if len(b) == 0 {
		return a, true
	}
	return r.combined(plane.Difference(a, b))
}

func (r *run) combined(out orb.MultiPolygon, err error) (orb.MultiPolygon, bool) {
	if err != nil {
		r.cannot("areas could not be put together: %v", err)
		return nil, false
	}
	return out, true
}

// buffer returns the ground within d metres of a geometry, with round ends.
func (r *run) buffer(g orb.Geometry, d float64) (orb.MultiPolygon, bool) {
	return r.combined(plane.Buffer(g, d, chordM))
}

// meeting says how two areas lie to one another, as far as the short way tells.
type meeting uint8

const (
	apart     meeting = iota // no point of one is inside the other
	within                   // the first lies inside the second, clear of its rings
	around                   // the second lies inside the first, clear of its rings
	entangled                // rings meet or nearly: only the kernel can tell
)

// bruteSegments is the most pairs of segments that are compared one by one.
const bruteSegments = 1 << 16

// meet says how area a, with box ba, lies to area b, with box bb.
func meet(a orb.MultiPolygon, ba orb.Bound, b orb.MultiPolygon, bb orb.Bound) meeting {
	if !ba.Intersects(bb) {
		return apart
	}
	if countPoints(a)*countPoints(b) > bruteSegments || ringsMeet(a, ba, b, bb) {
		return entangled
	}
	// No rings meet, so a ring lies wholly in or out, and its first point
	// tells.
	aIn, bIn := beginsInside(a, b), beginsInside(b, a)
	switch {
	case !aIn && !bIn:
		return apart
	case aIn && len(a) == 1 && len(a[0]) == 1 && !ringsInside(b, a[0][0]):
		return within
	case bIn && len(b) == 1 && len(b[0]) == 1 && !ringsInside(a, b[0][0]):
		return around
	}
	return entangled
}

// beginsInside reports whether any part of a begins inside b.
func beginsInside(a, b orb.MultiPolygon) bool {
	for _, p := range a {
		if len(p) > 0 && len(p[0]) > 0 && plane.Locate(p[0][0], b) == plane.Inside {
			return true
		}
	}
	return false
}

// ringsInside reports whether any ring of m, shell or hole, begins inside ring.
func ringsInside(m orb.MultiPolygon, ring orb.Ring) bool {
	for _, p := range m {
		for _, r := range p {
			if len(r) > 0 && plane.Locate(r[0], ring) == plane.Inside { // a hole may be empty
				return true
			}
		}
	}
	return false
}

func countPoints(m orb.MultiPolygon) int {
	n := 0
	for _, p := range m {
		for _, ring := range p {
			n += len(ring)
		}
	}
	return n
}

// ringsMeet reports whether any two segments of the rings come within the slack
// of one another: nearer than that, rounding decides whether they meet. Most
// segments of a large area are far from all of a small one, so those are left
// out first; ba and bb are boxes that hold the areas.
func ringsMeet(a orb.MultiPolygon, ba orb.Bound, b orb.MultiPolygon, bb orb.Bound) bool {
	touches := func(_, _ orb.Point) bool { return true }
	ofA, ofB := ba.Pad(slackM), bb.Pad(slackM)
	if !anySegment(a, ofB, touches) || !anySegment(b, ofA, touches) {
		return false
	}
	if countPoints(a) < countPoints(b) {
		a, b, ofB = b, a, ofA
	}
	return anySegment(a, ofB, func(p, q orb.Point) bool {
		return anySegment(b, segmentBox(p, q).Pad(slackM), func(c, d orb.Point) bool { return segmentsNear(p, q, c, d) })
	})
}

// besideBox reports whether the box of a segment lies apart from another.
func besideBox(c, d *orb.Point, box *orb.Bound) bool {
	return c[0] < box.Min[0] && d[0] < box.Min[0] || c[0] > box.Max[0] && d[0] > box.Max[0] ||
		c[1] < box.Min[1] && d[1] < box.Min[1] || c[1] > box.Max[1] && d[1] > box.Max[1]
}

// anySegment reports whether yes holds of a segment of the rings whose box
// touches another.
func anySegment(m orb.MultiPolygon, box orb.Bound, yes func(p, q orb.Point) bool) bool {
	for _, p := range m {
		for _, r := range p {
			for k := 1; k < len(r); k++ {
				if !besideBox(&r[k-1], &r[k], &box) && yes(r[k-1], r[k]) {
					return true
				}
			}
		}
	}
	return false
}

func segmentBox(p, q orb.Point) orb.Bound {
	return orb.Bound{Min: orb.Point{min(p[0], q[0]), min(p[1], q[1])}, Max: orb.Point{max(p[0], q[0]), max(p[1], q[1])}}
}

// segmentsNear reports whether two segments come within the slack of one
// another.
func segmentsNear(a, b, c, d orb.Point) bool {
	return plane.Cross(a, b, c, d).Kind != plane.CrossNone ||
		distanceToSegment(a, c, d) <= slackM || distanceToSegment(b, c, d) <= slackM ||
		distanceToSegment(c, a, b) <= slackM || distanceToSegment(d, a, b) <= slackM
}

// overlap returns the ground that two areas share, nil for none, and its width:
// the diameter of the largest circle in it.
func (r *run) overlap(a orb.MultiPolygon, ba orb.Bound, b orb.MultiPolygon, bb orb.Bound) (shared orb.MultiPolygon, width float64, at orb.Point) {
	if shared = r.shared(a, ba, b, bb); len(shared) == 0 {
		return nil, 0, at
	}
	at, depth := plane.GreatestDepth(shared, depthTolerance)
	return shared, 2 * depth, at
}

// shared is the ground that two areas share, nil for none.
func (r *run) shared(a orb.MultiPolygon, ba orb.Bound, b orb.MultiPolygon, bb orb.Bound) orb.MultiPolygon {
	switch meet(a, ba, b, bb) {
	case apart:
		return nil
	case within:
		return a
	case around:
		return b
	}
	out, _ := r.intersection(a, b)
	return out
}

// farthestM is how far from the greatest the depth found off the outline may
// be.
const farthestM = 0.001

// farthest returns the point of the areas that is farthest from a boundary, and
// how far in metres: no point is farther by more than nothingM on the outline,
// and by more than a millimetre inside.
//
// ceiling is a distance that cannot be exceeded, +Inf for none known; the
// insides are spared when the outline reaches it.
func farthest(areas orb.MultiPolygon, from *plane.Locator, ceiling float64) (at orb.Point, most float64) {
	at, most = farthestOutline(areas, from)
	if most >= ceiling-nothingM {
		return at, most
	}
	if q, d, ok := from.FarthestInside(areas, most, farthestM); ok {
		at, most = q, d
	}
	return at, most
}

// farthestOutline is farthest on the outlines of the areas alone.
func farthestOutline(areas orb.MultiPolygon, from *plane.Locator) (at orb.Point, most float64) {
	most = math.Inf(-1)
	for _, p := range areas {
		for _, ring := range p {
			if q, d := from.FarthestAlong(ring, nothingM); d > most {
				at, most = q, d
			}
		}
	}
	return at, most
}

// net is what is left of one zone once its keep-outs are taken out.
type net struct {
	areas orb.MultiPolygon
	// ok is false when a keep-out that cannot be measured may reach into the
	// zone; areas is then what the others leave, and so not less than the
	// truth.
	ok bool
	// plain is set when the keep-outs lie inside the zone, apart from its rings
	// and from one another, so that nothing can be split.
	plain bool
	gauge *plane.Gauge
	inner *plane.Locator
	// whole are the zones where nothing is taken out of the one, nil else.
	whole *solids
	zone  int
	m2    float64 // 0 until it is asked for
	// cut are the keep-outs that were taken out, open what they leave when they
	// are grown by a hair: see openOf.
	cut, open orb.MultiPolygon
	openKnown bool
}

// unclearKeepout reports whether a keep-out that cannot be measured may lie in
// the box.
func (r *run) unclearKeepout(box orb.Bound) bool {
	if len(r.keepouts().why) == 0 {
		return false
	}
	for _, f := range r.Of(schema.RoleKeepout) {
		if r.solidOf(f).why == "" || f.Far {
			continue
		}
		if f.Invalid != "" || f.bound.IsEmpty() || f.bound.Intersects(box) {
			return true
		}
	}
	return false
}

// netOf returns what is left of the i-th zone.
func (r *run) netOf(i int) *net {
	zones, keepouts := r.zones(), r.keepouts()
	if r.nets == nil {
		r.nets = make([]*net, zones.len())
	}
	if r.nets[i] != nil {
		return r.nets[i]
	}
	n := &net{ok: !r.unclearKeepout(zones.bounds[i]), plain: true}
	r.nets[i] = n
	zone := zones.areas[i]
	var inside []int
	var cut orb.MultiPolygon
	for _, k := range keepouts.near(zones.bounds[i]) {
		how := meet(keepouts.areas[k], keepouts.bounds[k], zone, zones.bounds[i])
		if how == apart {
			continue
		}
		simple := how == within && len(keepouts.areas[k]) == 1 && len(keepouts.areas[k][0]) == 1 && len(zone) == 1
		if simple && n.plain {
			for _, j := range keepouts.near(keepouts.bounds[k]) {
				if j < k && meet(keepouts.areas[k], keepouts.bounds[k], keepouts.areas[j], keepouts.bounds[j]) != apart {
					simple = false
					break
				}
			}
		}
		n.plain = n.plain && simple
		inside = append(inside, k)
		cut = append(cut, keepouts.areas[k]...)
	}
	switch {
	case len(inside) == 0:
		n.areas, n.whole, n.zone = zone, zones, i
	case n.plain:
		p := append(make(orb.Polygon, 0, len(zone[0])+len(inside)), zone[0]...)
		for _, k := range inside {
			p = append(p, keepouts.areas[k][0][0])
		}
		n.areas = orb.MultiPolygon{p}
	default:
		out, err := plane.Difference(zone, cut)
		if err != nil {
			n.ok, out = false, zone
		}
		n.areas, n.cut = out, cut
	}
	return n
}

// openOf returns what is left of the i-th zone for a machine to pass through:
// the net ground with its keep-outs grown by half the slack, so that a keep-out
// drawn up to the edge closes the way although rounding left a slit of
// nanometres.
func (r *run) openOf(i int, n *net) orb.MultiPolygon {
	if len(n.cut) == 0 {
		return n.areas
	}
	if n.openKnown {
		return n.open
	}
	n.openKnown = true
	n.open = n.areas
	var grown orb.MultiPolygon
	for _, p := range n.cut {
		g, err := plane.Offset(p, slackM/2, plane.Mitre(2))
		if err != nil {
			return n.open
		}
		grown = append(grown, g...)
	}
	if out, err := plane.Difference(r.zones().areas[i], grown); err == nil {
		n.open = out
	}
	return n.open
}

// within measures from what is left of a zone, as plane.Gauge.Within does.
func (n *net) within(g *plane.Gauge, limit float64) (d float64, p, q orb.Point, ok bool) {
	if n.gauge == nil {
		n.gauge = n.newGauge()
	}
	return g.Within(n.gauge, limit)
}

// newGauge is that of what is left, the zone's own where that is all of it.
func (n *net) newGauge() *plane.Gauge {
	if n.whole != nil {
		return n.whole.gauge(n.zone)
	}
	return plane.NewGauge(n.areas)
}

// area is how many square metres are left of a zone.
func (n *net) area() float64 {
	if n.m2 == 0 {
		n.m2 = plane.Area(n.areas)
	}
	return n.m2
}

// locator answers where points lie in what is left of a zone.
func (n *net) locator() *plane.Locator {
	if n.inner != nil {
		return n.inner
	}
	if n.gauge == nil && len(n.areas) == 1 { // one tree serves for both
		n.gauge = n.newGauge()
	}
	if n.gauge != nil {
		n.inner = n.gauge.Areas()
	} else {
		n.inner = plane.NewLocator(n.areas)
	}
	return n.inner
}

// figures measures areas and what edges leave uncut.
func (r *run) figures() (Areas, []ZoneFigures) {
	unknown := math.NaN()
	a := Areas{unknown, unknown, unknown}
	if r.Frame == FrameNone {
		if len(r.Features) == 0 {
			a = Areas{}
		}
		return a, nil
	}
	zones, keepouts := r.zones(), r.keepouts()
	if len(keepouts.why) == 0 {
		a.KeepoutsM2 = 0
		for i := range keepouts.areas {
			a.KeepoutsM2 += plane.Area(keepouts.areas[i])
		}
	}
	var list []ZoneFigures
	gross, net := 0.0, 0.0
	for i, f := range zones.features {
		z := ZoneFigures{Feature: f.Feature, GrossM2: plane.Area(zones.areas[i]), NetM2: unknown}
		if n := r.netOf(i); n.ok {
			z.NetM2 = n.area()
		}
		z.HardEdgeM, z.UncutM2 = r.alongHardEdges(i)
		gross, net = gross+z.GrossM2, net+z.NetM2
		list = append(list, z)
	}
	if len(zones.why) > 0 {
		return a, list
	}
	a.ZonesM2, a.NetM2 = gross, net
	if shared, ok := r.netShared(); !ok {
		a.NetM2 = unknown
	} else if len(shared) > 0 && !math.IsNaN(net) {
		a.NetM2 = plane.Area(shared)
	}
	return a, list
}

// netShared returns the net ground as one area when zones overlap, nil when
// they do not and their areas simply add up.
func (r *run) netShared() (orb.MultiPolygon, bool) {
	zones := r.zones()
	shared := false
	for i := range zones.features {
		for _, k := range zones.near(zones.bounds[i]) {
			shared = shared || k > i && meet(zones.areas[i], zones.bounds[i], zones.areas[k], zones.bounds[k]) != apart
		}
	}
	if !shared {
		return nil, true
	}
	var all orb.MultiPolygon
	for i := range zones.features {
		n := r.netOf(i)
		if !n.ok {
			return nil, false
		}
		all = append(all, n.areas...)
	}
	out, err := plane.Union(all, nil)
	return out, err == nil
}
