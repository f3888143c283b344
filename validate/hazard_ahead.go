// Roads, railways, waters and drops that end in the open and point at driven ground:
// what of hazard-uncovered and edge-setback is about one end alone.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// Which ends point at driven ground (common practice, no source).
const (
	// aheadM is how far from an end, in metres, driven ground may begin: two breadths of
	// a street, past which what is not drawn may well have turned aside.
	aheadM = 15.0
	// aheadWider is by how much of aheadM what goes on may swing to either side, less half
	// its width, as a road or a ditch does that is not quite straight: 7.5 degrees.
	aheadWider = 0.13
	// aheadRays is in how many directions is looked to either side, 0.5 m apart at most
	// for a line, and 1 m for a street.
	aheadRays = 4
	// aheadSteep is the least sine of the angle at which the way on comes to driven
	// ground (15 degrees): at less it runs along it.
	aheadSteep = 0.26
	// aheadSideM is how near driven ground beside an end, in metres, shows that the thing
	// runs along it.
	aheadSideM = 2.0
	// facingM is how far apart, in metres, two such ends that face each other may be and
	// be of one thing: the width of a lawn, with aheadM on either side of it.
	facingM = 60.0
	// farAheadM is how far, in metres, two ends that face each other may lie before what is
	// driven between them, and one end of a road or railway of at least farWideM, straight
	// ahead: what is so wide turns in a wide bend.
	farAheadM, farWideM = 30.0, 3.0
	// farFacingM is how far apart, in metres, two such ends may be: as far as a site goes.
	// Past facingM they lie at most 10 degrees out of line, the sine of which is farTurn, or farOffM.
	farFacingM, farTurn, farOffM = 200.0, 0.1736, 10.0
	// faceAheadM is how far, in metres, ends that face each other may lie before what is
	// driven between them, past farAheadM where each is as long as that way; bendAheadM
	// ends that point at one driven ground from two sides, and so many times as wide the one
	// may be, and no more than bendAlike of the way to the one is that of the other (the
	// cosine of 60 degrees): two side by side are two.
	faceAheadM, bendAheadM, bendWider, bendAlike = 60.0, 40.0, 1.5, 0.5
	// farLong is how many times as long as wide a road, a railway or a stream is at least
	// that goes on.
	farLong = 2.0
	// aheadLong is how many times as long as wide an area is that goes on.
	aheadLong = 5.0
)

// ahead is the driven ground that an end points at, and how far off it begins; nil where
// there is none, where something says that the thing ends, and for what is shorter
// than the way there and joins nothing.
func (r *run) ahead(e *hazardEnd, kind string, zones *solids, corridors []corridorLine) (of *Feature, off float64) {
	if e.looked {
		return e.before, e.off
	}
	e.looked = true
	rays := e.rays()
	if r.runsBeside(e, zones, corridors) {
		rays = e.straightOn(aheadM)
	}
	e.before, e.off = r.aheadOn(e, kind, rays, aheadM, zones, corridors)
	if e.before != nil && !r.longFor(e, kind) {
		e.before = nil
	}
	if e.before == nil && !e.street && e.wide >= farWideM-slackM && (kind == "road" || kind == "railway") {
		e.before, e.off = r.aheadOn(e, kind, e.straightOn(farAheadM), farAheadM, zones, corridors)
		if e.before != nil && !r.farLongFor(e, kind) {
			e.before = nil
		}
		e.far = e.before != nil
	}
	return e.before, e.off
}

// aheadOn is what is driven first on the ways from an end, at most so far off, and how
// far; nil where there is none or something says that the thing ends.
func (r *run) aheadOn(e *hazardEnd, kind string, rays []orb.LineString, most float64, zones *solids, corridors []corridorLine) (of *Feature, off float64) {
	box := boundOf(rays[0]).Pad(endFree)
	for _, ray := range rays[1:] {
		box = box.Union(boundOf(ray).Pad(endFree))
	}
	if !r.drivenIn(box, zones, corridors) {
		return nil, 0
	}
	stops, joined := r.stopsOf(e, kind, box)
	if joined || r.endKeptOff(e) || r.stopped(e, stops, most) {
		return nil, 0
	}
	led := r.leadsOver(box, kind, e.wide/2)
	off = math.Inf(1)
	for _, ray := range rays {
		z, d := r.firstDriven(ray, most, zones, corridors)
		if z == nil || d <= slackM && !e.street && !e.keptOff() || d >= off || firstCross(ray, stops) < d {
			continue
		}
		at := alongRay(ray, d+slackM)
		if len(led) == 0 || plane.Locate(at, led) == plane.Outside {
			of, off = z, d
		}
	}
	if of != nil && of.Role == schema.RoleZone && !e.keptOff() && r.liesWithin(e.f, zones.areas[zones.at(of)]) {
		of = nil
	}
	return of, off
}

// runsBeside reports whether a thing ends beside driven ground, less than aheadSideM
// off: what runs along lawns goes on beside the next one.
func (r *run) runsBeside(e *hazardEnd, zones *solids, corridors []corridorLine) bool {
	back := orb.Point{e.at[0] - (e.wide/2+1)*e.way[0], e.at[1] - (e.wide/2+1)*e.way[1]}
	d, _ := r.drivenWithin(back, aheadSideM+e.wide/2, zones, corridors)
	return d < aheadSideM+e.wide/2
}

// straightOn are the ways straight on from the middle and the sides of an end.
func (e *hazardEnd) straightOn(far float64) (out []orb.LineString) {
	for _, from := range [...]orb.Point{e.at, e.left, e.right} {
		if e.wide == 0 {
			from = e.at
		}
		out = append(out, orb.LineString{from, {from[0] + far*e.way[0], from[1] + far*e.way[1]}})
	}
	return out
}

// rays are the ways on which a thing may go on from its end.
func (e *hazardEnd) rays() (out []orb.LineString) {
	side := orb.Point{-e.way[1], e.way[0]}
	for i := -aheadRays; i <= aheadRays; i++ {
		t := float64(i) / aheadRays
		from := orb.Point{e.at[0] + t*e.wide/2*side[0], e.at[1] + t*e.wide/2*side[1]}
		swing := t * math.Max(0, aheadWider*aheadM-e.wide/2)
		out = append(out, orb.LineString{from, {from[0] + aheadM*e.way[0] + swing*side[0], from[1] + aheadM*e.way[1] + swing*side[1]}})
	}
	return out
}

func alongRay(ray orb.LineString, d float64) orb.Point {
	t := d / distance(ray[0], ray[1])
	return orb.Point{ray[0][0] + t*(ray[1][0]-ray[0][0]), ray[0][1] + t*(ray[1][1]-ray[0][1])}
}

// drivenIn reports whether the box of anything driven meets a box.
func (r *run) drivenIn(box orb.Bound, zones *solids, corridors []corridorLine) bool {
	return len(zones.near(box)) > 0 ||
		slices.ContainsFunc(corridors, func(c corridorLine) bool { return boundOf(c.pts).Pad(r.halfWidth(c.f)).Intersects(box) }) ||
		slices.ContainsFunc(r.docks(), func(d dockSpot) bool {
			return !math.IsNaN(d.heading) && segmentBox(d.at, d.lineup).Pad(r.halfWidth(d.f)).Intersects(box)
		})
}

// firstDriven is what is driven first on a straight way, at most so far along it, and how
// far that begins; nil for nothing, and for ground that the way runs along.
func (r *run) firstDriven(ray orb.LineString, most float64, zones *solids, corridors []corridorLine) (of *Feature, off float64) {
	off = most
	into := func(f *Feature, d float64, rim *plane.Gauge, half float64) {
		if d >= off {
			return
		}
		back := math.Min(d, 1)
		near, _, _ := plane.NewGauge(alongRay(ray, d-back)).Clearance(rim)
		if back <= slackM || math.Max(0, near-half) >= aheadSteep*back {
			of, off = f, d
		}
	}
	for _, z := range zones.near(boundOf(ray)) {
		n := r.netOf(z)
		if !n.ok || len(n.areas) == 0 {
			continue
		}
		if parts := clipInside(ray, n.areas); len(parts) > 0 {
			if n.gauge == nil {
				n.gauge = n.newGauge()
			}
			into(zones.features[z], distance(ray[0], parts[0][0]), n.gauge, 0)
		}
	}
	line := func(f *Feature, pts orb.LineString) {
		half := r.halfWidth(f)
		d := firstCross(orb.LineString{ray[0], alongRay(ray, off+half)}, []orb.LineString{pts}) - half
		for _, end := range [...]orb.Point{pts[0], pts[len(pts)-1]} { // in line with it, or just past it
			d = math.Min(d, discAlong(ray, end, half))
		}
		if d < off {
			into(f, math.Max(0, d), plane.NewGauge(pts), half)
		}
	}
	for i := range corridors {
		line(corridors[i].f, corridors[i].pts)
	}
	for _, spot := range r.docks() {
		if !math.IsNaN(spot.heading) {
			line(spot.f, orb.LineString{spot.at, spot.lineup})
		}
	}
	return of, off
}

// discAlong is how far along a straight way it enters a disc, +Inf for never.
func discAlong(way orb.LineString, centre orb.Point, radius float64) float64 {
	u, ok := unit(way[0], way[1])
	if !ok {
		return math.Inf(1)
	}
	x, y := centre[0]-way[0][0], centre[1]-way[0][1]
	along, beside := x*u[0]+y*u[1], x*u[1]-y*u[0]
	if along < 0 || math.Abs(beside) > radius {
		return math.Inf(1)
	}
	return math.Max(0, along-math.Sqrt(radius*radius-beside*beside))
}

// firstCross is how far along a straight way it first meets a line, +Inf for never.
func firstCross(way orb.LineString, lines []orb.LineString) float64 {
	first, box := math.Inf(1), boundOf(way)
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			if !segmentBox(l[i-1], l[i]).Intersects(box) {
				continue
			}
			if x := plane.Cross(way[0], way[1], l[i-1], l[i]); x.Kind != plane.CrossNone {
				first = math.Min(first, distance(way[0], x.P))
			}
		}
	}
	return first
}

// stopsOf are the lines of what a thing of the kind ends at, within a box, and whether
// an end joins one of them, or what else says how it goes on.
func (r *run) stopsOf(e *hazardEnd, kind string, box orb.Bound) (stops []orb.LineString, joined bool) {
	ways := kind == "road" || kind == "railway"
	for _, f := range r.Features {
		if f == e.f || !f.usable() || !f.bound.Pad(f.growth()).Intersects(box) {
			continue
		}
		stop, joins := false, false
		switch f.Role {
		case schema.RoleBuilding:
			stop, joins = true, true
		case schema.RoleBoundary: // water and drops do not end at it, nor what goes on behind
			stop, joins = ways && !e.facing, ways && !e.facing
		case schema.RoleEdge:
			k := edgeKind(f)
			stop = k == schema.EdgeWall || k == schema.EdgeFence || k == schema.EdgeDrop || ways && k == schema.EdgeKerb
			joins = stop
		case schema.RoleHazard:
			grave := kindsOf(f).grave()
			stop, joins = joinsKind(f, kind) || ways && grave, grave
		case schema.RoleOther:
			joins = f.saysEnd(e.wide)
		}
		if stop {
			stops = append(stops, f.lines()...)
		}
		if joins && !joined {
			most := math.Max(endFree, e.wide/2*aheadWider)
			if f.Role == schema.RoleBoundary { // what lies inside it does not end at it
				d, _, _ := plane.NewGauge(e.at).Clearance(plane.NewGauge(orb.MultiLineString(f.lines())))
				joined = d <= most
				continue
			}
			h := r.hazardShape(f)
			d, _ := h.distance(e.at)
			joined = h.why == "" && d <= most
		}
	}
	for i := range e.f.Lines { // lines of its own
		if l := e.f.Lines[i].Ground; i != e.line && !(e.street && i == e.other) && len(l) > 1 {
			stops = append(stops, l)
			d, _, _ := plane.NewGauge(e.at).Clearance(plane.NewGauge(l))
			joined = joined || d <= endFree+e.f.growth()
		}
	}
	return stops, joined
}

// endTimes is how many times as long as a thing is wide, and endLongM how many metres long
// at the least, something of the role other is that says by itself how the thing goes on
// (common practice, no source): a stone or a lid at its end does not.
const endTimes, endLongM = 1.5, 2.0

// saysEnd reports whether a feature of the role other says how a thing goes on that is so
// wide and ends at it: it is called a culvert, a pipe, a wall, a water or an end, or is as long as endTimes.
func (f *Feature) saysEnd(wide float64) bool {
	if len(f.Areas)+len(f.Lines) == 0 {
		return false
	}
	if saysAny(f.Name, culvertWords) || saysAny(f.Name, deadEndWords) || saysAny(f.Name, bridgeWords) || saysAny(f.Name, wallWords) || conduitSaid(f) != "" {
		return true
	}
	if kind, _ := graverSaying(f); kind != "" {
		return true
	}
	long := 0.0
	for _, l := range f.lines() {
		side, _ := sidesOf(l)
		long = math.Max(long, side)
	}
	return long >= math.Max(endTimes*wide, endLongM)-slackM
}

// joinsKind is joins of what has any geometry but a point.
func joinsKind(f *Feature, kind string) bool { return len(f.Areas)+len(f.Lines) > 0 && joins(f, kind) }

// stopped reports whether something stands across the straight way on, as wide as the
// thing is.
func (r *run) stopped(e *hazardEnd, stops []orb.LineString, most float64) bool {
	if len(stops) == 0 {
		return false
	}
	for _, way := range e.straightOn(most) {
		d := firstCross(way, stops)
		if z, near := r.firstDriven(way, most, r.zones(), r.corridors()); d > most || z != nil && near < d {
			return false
		}
	}
	return true
}

// endKeptOff reports whether a keep-out begins at most dropEndM past an end, and is at
// least as deep there: who drew it knew where the thing ends.
func (r *run) endKeptOff(e *hazardEnd) bool {
	past := orb.LineString{e.at, {e.at[0] + 2*dropEndM*e.way[0], e.at[1] + 2*dropEndM*e.way[1]}}
	keepouts, cover := r.keepouts(), orb.MultiPolygon(nil)
	for _, k := range keepouts.near(boundOf(past)) {
		if e.f.Role != schema.RoleOther || solidSaying(keepouts.features[k]) == "" { // a goal is no end of a stream
			cover = append(cover, keepouts.areas[k]...)
		}
	}
	return len(cover) > 0 && slices.ContainsFunc(clipInside(past, cover), func(part orb.LineString) bool {
		return distance(e.at, part[0]) <= dropEndM+slackM && groundLength(part) >= dropEndM-slackM
	})
}

// liesWithin reports whether a thing lies inside the outline of a zone, or in a hole of
// it, from end to end: it may well begin and end there.
func (r *run) liesWithin(f *Feature, zone orb.MultiPolygon) bool {
	out := make(orb.MultiPolygon, 0, len(zone))
	for _, p := range zone {
		out = append(out, p[:1])
	}
	for _, l := range f.lines() {
		for _, p := range l {
			if plane.Locate(p, out) == plane.Outside {
				return false
			}
		}
	}
	return true
}

// longFor reports whether a thing is at least as long as the way from its end to driven
// ground, an area aheadLong times as long as it is wide too, farLong times one that
// comes from somewhere by its kind or name, or goes on in another.
func (r *run) longFor(e *hazardEnd, kind string) bool {
	long := false
	if e.line >= 0 {
		long = groundLength(e.f.Lines[e.line].Ground) >= e.off-slackM
	} else {
		length := 0.0
		for i := range e.f.Areas {
			length = math.Max(length, plane.Area(orb.MultiPolygon{e.f.Areas[i].Ground})/e.wide)
		}
		times := aheadLong
		if isThrough(e.f) {
			times = farLong
		}
		long = length >= math.Max(e.off, times*e.wide)-slackM
	}
	return long || slices.ContainsFunc(r.Features, func(f *Feature) bool {
		if f == e.f || !f.usable() || !f.bound.Pad(endFree).Intersects(e.f.bound) || !joinsKind(f, kind) {
			return false
		}
		d, _, _ := plane.NewGauge(orb.MultiLineString(f.lines())).Clearance(plane.NewGauge(orb.MultiLineString(e.f.lines())))
		return d <= endFree
	})
}

// faceAcross reports whether two ends in line face each other across driven ground; of is
// that.
func (r *run) faceAcross(a, b *hazardEnd, kind string, zones *solids, corridors []corridorLine) (of *Feature) {
	if distance(a.at, b.at) > facingM+slackM || !a.inLine(b) {
		return nil
	}
	if of, _ = r.ahead(a, kind, zones, corridors); of == nil || a.far {
		return nil
	}
	if back, _ := r.ahead(b, kind, zones, corridors); back == nil || b.far {
		return nil
	}
	return of
}

// faceFar is faceAcross of ends up to faceAheadM before what is driven and farFacingM
// from one another, whatever boundary lies between; off is the farther end's way.
func (r *run) faceFar(a, b *hazardEnd, kind string, zones *solids, corridors []corridorLine) (of *Feature, off float64) {
	apart := distance(a.at, b.at)
	if apart > farFacingM+slackM || !a.inLine(b) || a.offLine(b) > math.Max(farTurn*apart, farOffM) || b.offLine(a) > math.Max(farTurn*apart, farOffM) {
		return nil, 0
	}
	for _, x := range [...]struct{ from, to *hazardEnd }{{b, a}, {a, b}} {
		d := 0.0
		if of, d = r.aheadTo(x.from, x.to, kind, zones, corridors); of == nil {
			return nil, 0
		}
		off = math.Max(off, d)
	}
	return of, off
}

// offLine is how far another end lies beside the way straight on from one.
func (e *hazardEnd) offLine(o *hazardEnd) float64 {
	return math.Abs((o.at[0]-e.at[0])*e.way[1] - (o.at[1]-e.at[1])*e.way[0])
}

// aheadTo is what is driven first on the way from an end to another that it faces, at
// most faceAheadM off, and how far.
func (r *run) aheadTo(e, o *hazardEnd, kind string, zones *solids, corridors []corridorLine) (of *Feature, off float64) {
	way, ok := unit(e.at, o.at)
	if !ok {
		return nil, 0
	}
	to := *e // the way on, turned to the other end
	to.way, to.facing = way, true
	if of, off = r.aheadOn(&to, kind, to.straightOn(faceAheadM), faceAheadM, zones, corridors); of == nil {
		return nil, 0
	}
	// Of what has the role other as little is drawn as somebody saw.
	to.off = off
	switch {
	case off > farAheadM+slackM && !r.longFor(&to, kind):
		return nil, 0
	case !e.street && e.f.Role != schema.RoleOther && !r.farLongFor(&to, kind):
		return nil, 0
	}
	return of, off
}

// turnsIn is the driven ground that two ends of one thing point at from two sides, so that
// it may turn there, and how far off the farther one ends; nil for none.
func (r *run) turnsIn(a, b *hazardEnd, kind string, zones *solids, corridors []corridorLine) (of *Feature, off float64) {
	if a.way[0]*b.way[0]+a.way[1]*b.way[1] > bendAlike || a.wide > 0 && b.wide > 0 && math.Max(a.wide, b.wide) > bendWider*math.Min(a.wide, b.wide)+slackM {
		return nil, 0
	}
	from, d := r.turnAhead(a, kind, zones, corridors)
	if from == nil {
		return nil, 0
	}
	to, back := r.turnAhead(b, kind, zones, corridors)
	if to != from {
		return nil, 0
	}
	return from, math.Max(d, back)
}

// turnAhead is what is driven straight on from an end, at most bendAheadM off, and how far;
// nil where there is none, and for what is shorter than that or is no hazard.
func (r *run) turnAhead(e *hazardEnd, kind string, zones *solids, corridors []corridorLine) (of *Feature, off float64) {
	if e.turned {
		return e.turnsAt, e.turnOff
	}
	e.turned = true
	if e.f.Role != schema.RoleHazard && e.f.Role != schema.RoleEdge && !calledOf(e.f).alone {
		return nil, 0
	}
	to := *e
	of, off = r.aheadOn(&to, kind, to.straightOn(bendAheadM), bendAheadM, zones, corridors)
	if to.off = off; of == nil || !r.longFor(&to, kind) {
		return nil, 0
	}
	e.turnsAt, e.turnOff = of, off
	return of, off
}

// farLongFor is longFor of what goes on far ahead, which has to be no longer than
// farLong times its width, and endLeastM.
func (r *run) farLongFor(e *hazardEnd, kind string) bool {
	near := *e
	near.off = math.Min(e.off, math.Max(endLeastM, farLong*e.wide))
	return r.longFor(&near, kind)
}

// pointing records an end that points at driven ground with nothing that it ends at.
func (r *run) pointing(e *hazardEnd, kind string, zones *solids, corridors []corridorLine) bool {
	if e.f.Role != schema.RoleHazard && e.f.Role != schema.RoleEdge && !calledOf(e.f).alone {
		return false
	}
	of, off := r.ahead(e, kind, zones, corridors)
	if of == nil {
		return false
	}
	mend := "draw it on as far as it goes, or what it ends at (a wall, a fence, a building, for a road a kerb too)"
	if kind == "water" {
		mend += ", or what leads it on as other"
	}
	x := r.finding(r.Place(e.at), e.f, of)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = off, aheadM, "m"
	if e.far {
		x.Limit = farAheadM
	}
	x.Trace = r.trace(e.at, orb.Point{e.at[0] + off*e.way[0], e.at[1] + off*e.way[1]})
	x.Message = fmt.Sprintf("ends %s before %s and points at it; whether it goes on there is not drawn: %s", metres(off), of.describe(), mend)
	return true
}
