// Heights of edges that a machine drives over, of slope-limit: flush edges
// against the lawn beside them, ramps against what they say of themselves.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// drivenEdges judges flush edges and ramps.
func (r *run) drivenEdges(zones *solids, outlines []*raisedSides) {
	for _, f := range r.Of(schema.RoleEdge) {
		kind := edgeKind(f)
		if !f.usable() || kind != schema.EdgeFlush && kind != schema.EdgeRamp {
			continue
		}
		own := newRaisedSides(0)
		if !r.clamped(f) {
			own = r.edgeHeights(f)
		}
		if kind == schema.EdgeRamp {
			r.rampSlope(f, own)
			r.rampSteps(f, own)
			continue // a ramp rises between points of the ground, a flush edge does not
		}
		if len(own.sides) == 0 {
			continue
		}
		for _, i := range zones.near(own.bound.Pad(r.of(f).MachineWidthM / 2)) {
			if len(outlines[i].sides) > 0 {
				r.flushStep(f, own, zones, i, outlines[i])
			}
		}
	}
}

// rampSteps compares a ramp with the corridors that cross it.
func (r *run) rampSteps(f *Feature, own *raisedSides) {
	if len(own.sides) == 0 {
		return
	}
	on := func(_ orb.Point, d float64) bool { return d <= crossingM }
	for i := range r.corridors() {
		c := &r.corridors()[i]
		if c.line.Heights == nil || r.clamped(c.f) || !boundOf(c.pts).Pad(crossingM).Intersects(own.bound) {
			continue
		}
		var s step
		way := c.raised()
		s.compare(way, own, on)
		back := s.back()
		back.compare(own, way, on)
		s.greater(&back)
		r.tellStep(&s, c.f, f, "where it crosses")
	}
}

// edgeHeights are the stretches of an edge between heights.
func (r *run) edgeHeights(f *Feature) *raisedSides {
	out := newRaisedSides(f.countPoints())
	for i := range f.Lines {
		l := &f.Lines[i]
		for v := 1; v < len(l.Ground) && l.Heights != nil; v++ {
			out.add(&raised{l.Read[v-1], l.Ground[v-1], l.Heights[v-1]}, &raised{l.Read[v], l.Ground[v], l.Heights[v]})
		}
	}
	for i := range f.Areas {
		for k, ring := range f.Areas[i].Ground {
			r.addSides(out, f, i, k, ring)
		}
	}
	return out
}

// raised are the stretches of a corridor between heights.
func (c *corridorLine) raised() *raisedSides {
	way := newRaisedSides(len(c.pts))
	for v := 1; v < len(c.pts); v++ {
		a, b := c.at[v-1], c.at[v]
		way.add(&raised{c.line.Read[a], c.pts[v-1], c.line.Heights[a]}, &raised{c.line.Read[b], c.pts[v], c.line.Heights[b]})
	}
	return way
}

// flushStep tells a flush edge whose heights are not those of the outline of
// the zone beside it. Between two vertices the ground may rise and fall, so what
// is off by less than stepRiseM there cannot be told.
func (r *run) flushStep(f *Feature, own *raisedSides, zones *solids, i int, outline *raisedSides) {
	z := zones.features[i]
	half, may := r.halfWidth(z), r.stepMay(f, z)
	if max(own.high-outline.low, outline.high-own.low) <= may {
		return // all as even as that
	}
	slope := math.Min(r.of(f).SlopeMaxPercent, r.of(z).SlopeMaxPercent) / 100
	var worst struct {
		beyond   float64
		from, to raised
	}
	unsure := 0.0
	var walls *wallsBetween
	looked := false
	held := func(a, b orb.Point) bool {
		if !looked {
			walls, looked = r.stepWalls().about(own.bound.Pad(slopeBaseM), outline.bound.Pad(slopeBaseM), half), true
		}
		return walls.hold(a, b)
	}
	take := func(from, to raised, least float64) {
		beyond := math.Abs(to.h-from.h) - slope*distance(from.ground, to.ground)
		switch {
		case beyond <= may+1e-9 || held(from.ground, to.ground): // edge-setback's
		case beyond > math.Max(least, worst.beyond)+1e-9:
			worst.beyond, worst.from, worst.to = beyond, from, to
		default:
			unsure = math.Max(unsure, beyond)
		}
	}
	var found []int
	// against compares one place with the stretches of the other feature near it.
	against := func(p raised, other *raisedSides) {
		found = other.boxes().Search(p.ground.Bound().Pad(slopeBaseM), found[:0])
		near, d := -1, slopeBaseM
		for _, k := range found {
			side := &other.sides[k]
			for _, q := range side {
				if distance(p.ground, q.ground) < slopeBaseM {
					take(p, q, may)
				}
			}
			if off := distanceToSegment(p.ground, side[0].ground, side[1].ground); off < d {
				near, d = k, off
			}
		}
		if near >= 0 {
			take(p, heightOn(&other.sides[near], p.ground), math.Max(may, stepRiseM))
		}
	}
	for _, side := range own.sides {
		for _, p := range side {
			if l := zones.locator(i); l.Locate(p.ground) == plane.Outside {
				if off, _ := l.DistanceToBoundary(p.ground); off > half {
					continue
				}
			}
			against(p, outline)
		}
	}
	box := own.bound.Pad(half)
	for _, side := range outline.sides {
		for _, p := range side {
			if !box.Contains(p.ground) {
				continue
			}
			if k, d := own.boxes().Nearest(p.ground, func(k int) float64 {
				return distanceToSegment(p.ground, own.sides[k][0].ground, own.sides[k][1].ground)
			}); k >= 0 && d <= half {
				against(p, own)
			}
		}
	}
	switch {
	case worst.beyond > 0:
		x := r.finding(r.Place(worst.from.ground), f, z)
		x.Measured, x.Limit, x.Unit = worst.beyond, may, "m"
		x.Trace = r.trace(worst.from.ground, worst.to.ground)
		x.Message = fmt.Sprintf("is called flush, but its heights and those of the outline of %s differ by %s within %s, %s more than a slope of %s %% does; the limit is %s: call it a kerb or a drop, or correct the heights",
			z.describe(), metres(math.Abs(worst.to.h-worst.from.h)), metres(distance(worst.from.ground, worst.to.ground)), metresPast(worst.beyond, may), trim(100*slope, 1), metres(may))
	case unsure > 0:
		r.cannot("%s is called flush, but lies %s off the line between two heights of %s: give the outline a height there, or call it a kerb or a drop", f.describe(), metres(unsure), z.describe())
	}
}

// rampSlope judges a ramp that a corridor or the way into a dock leads over: the
// heights along it, and numbers that it carries of its rise.
func (r *run) rampSlope(f *Feature, own *raisedSides) {
	said, says, across := r.rampSays(f)
	if len(own.sides) == 0 && says == "" {
		return
	}
	ways, along := r.waysOver(f)
	if !ways {
		return
	}
	limit, may := r.of(f).SlopeMaxPercent, r.of(f).StepMaxM
	for _, l := range f.Lines {
		if l.Heights == nil || r.clamped(f) {
			continue
		}
		if groundLength(l.Ground) >= slopeBaseM {
			r.lineSlope(f, l, limit, Error, "", nil)
			continue
		}
		n := len(l.Ground) - 1
		rise, length := math.Abs(l.Heights[n]-l.Heights[0]), groundLength(l.Ground)
		if beyond := rise - limit/100*length; beyond > may+1e-9 {
			x := r.finding(r.placeRead(f, l.Read[0], l.Ground[0]), f)
			x.Measured, x.Limit, x.Unit = beyond, may, "m"
			x.Trace = r.trace(l.Ground...)
			x.Message = fmt.Sprintf("rises %s over %s, %s more than a slope of %s %% does; the limit is %s", metres(rise), metres(length), metresPast(beyond, may), trim(limit, 1), metres(may))
		}
	}
	switch {
	case says == "":
	case across && !along:
		if said > may+1e-9 {
			r.cannot("%s is drawn across the way and tells %s but not over what length: give it length_m, or heights to the corridor", f.describe(), says)
		}
	default:
		if across {
			said = 100 * said / math.Max(openingLength(f), 1e-9)
		}
		if said > limit+1e-9 {
			x := r.finding(r.middle(f), f)
			x.Measured, x.Limit, x.Unit = said, limit, "%"
			x.Message = fmt.Sprintf("rises %s %% by its %s; the limit is %s %%", percentPast(said, limit), says, trim(limit, 1))
		}
	}
}

// slopePercents and slopeDegrees are properties that say how steep something is.
var (
	slopePercents = []string{"slope_percent", "gradient_percent", "grade_percent"}
	slopeDegrees  = []string{"slope_deg", "gradient_deg"}
)

// slopeSaid is how steep a feature says it is, in percent, and by what property,
// "" for none.
func slopeSaid(f *Feature) (percent float64, key string) {
	for _, key := range slopePercents {
		if v, ok := f.Float(key); ok {
			return math.Abs(v), key
		}
	}
	for _, key := range slopeDegrees {
		if v, ok := f.Float(key); ok {
			return 100 * math.Abs(math.Tan(v*math.Pi/180)), key
		}
	}
	return 0, ""
}

// saysSteep tells a zone or corridor that says it is steeper than its limit.
func (r *run) saysSteep(f *Feature) {
	limit := r.of(f).SlopeMaxPercent
	said, key := slopeSaid(f)
	if key == "" || said <= limit+1e-9 {
		return
	}
	x := r.finding(r.middle(f), f)
	x.Measured, x.Limit, x.Unit = said, limit, "%"
	x.Message = fmt.Sprintf("slopes %s %% by its %s; the limit is %s %%", percentPast(said, limit), key, trim(limit, 1))
}

// rampSays reads how steep a ramp calls itself, in percent, and by what number;
// bare is set where it tells its rise in metres alone.
func (r *run) rampSays(f *Feature) (said float64, says string, bare bool) {
	if said, says = slopeSaid(f); says != "" {
		return said, says, false
	}
	for _, key := range [...]string{"rise_m", schema.PropHeightM} {
		rise, ok := f.Float(key)
		if !ok || rise == 0 {
			continue
		}
		for _, of := range [...]string{"length_m", "run_m"} {
			if length, ok := f.Float(of); ok && length > 0 {
				return 100 * math.Abs(rise) / length, key + " and " + of, false
			}
		}
		return math.Abs(rise), key, true
	}
	return 0, "", false
}

// waysOver reports whether a corridor or the way into a dock leads over a ramp,
// and whether along its line rather than across.
func (r *run) waysOver(f *Feature) (over, along bool) {
	var ways []orb.LineString
	for i := range r.corridors() {
		ways = append(ways, r.corridorList[i].pts)
	}
	for _, d := range r.docks() {
		if !math.IsNaN(d.heading) {
			ways = append(ways, orb.LineString{d.lineup, d.at})
		}
	}
	for _, way := range ways {
		if !boundOf(way).Pad(crossingM).Intersects(f.bound) {
			continue
		}
		for _, l := range f.lines() {
			for i := 1; i < len(l); i++ {
				if l[i-1] == l[i] {
					continue
				}
				o := opening{a: l[i-1], b: l[i]}
				for _, piece := range clipInside(way, orb.MultiPolygon{o.area(0)}) {
					over = true
					for k := 1; k < len(piece); k++ {
						_, beside := alongside(piece[k-1], piece[k], o.a, o.b, 2*crossingM)
						along = along || beside
					}
				}
			}
		}
	}
	return over, along
}
