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

// sayDriven is what the page of the rule says of this.
const sayDriven = "" +
	"A flush edge in a zone, or within half the machine's width of it, is held to step_max_m against the heights of its outline, and of other flush edges with mown ground between, less than 2 m away; against what lies between two of them, taken as even, a difference past step_max_m of up to 0.3 m is unchecked, and more is a step. " +
	"A ramp that a corridor or the way into a dock leads over is held to slope_max_percent by its own heights (to step_max_m where its line is shorter than 2 m) and by what it says of itself: slope_percent or slope_deg, or rise_m or height_m over length_m, or over its line where that is drawn along the way; a rise past step_max_m of no length is unchecked. " +
	"The limits of a corridor over it count where they are less than its own; in the way into a dock it is held to dock_slope_max_percent, and to 0.05 m as a step. " +
	"One that says nothing and has no heights is held to what the kerb or drop under it says in height_m, over its length_m; past step_max_m without a length that is unchecked. " +
	"Ramps are compared with corridors and ways into docks that cross them as zones are; flush edges with those that they lie on or within half the machine's width of, by step_max_m, where up to 0.3 m is unchecked; and marks and other points and lines there by 0.3 m, a warning. " +
	"What has the role other with \"driven_over\": true is held as a flush edge is, the rim of an area as the edge's line; other such areas are other-in-zone's. A ramp whose line lies in a zone and in no keep-out, under no way, is held so too; one that tells its rise alone takes it over its line, unless a kerb or drop lies along it. "

// drivenEdges judges flush edges, areas that are driven over, and ramps.
func (r *run) drivenEdges(zones *solids, outlines []*raisedSides) {
	var flush []flushEdge
	var ways []raisedWay
	driven := r.Of(schema.RoleEdge)
	for _, f := range r.Of(schema.RoleOther) {
		if isPatch(f) {
			driven = append(driven[:len(driven):len(driven)], f)
		}
	}
	for _, f := range driven {
		kind := schema.EdgeFlush
		if f.Role == schema.RoleEdge {
			kind = edgeKind(f)
		}
		if !f.usable() || kind != schema.EdgeFlush && kind != schema.EdgeRamp {
			continue
		}
		own := newRaisedSides(0)
		if !r.clamped(f) {
			own = r.edgeHeights(f)
		}
		if kind == schema.EdgeRamp {
			if ways == nil {
				ways = r.raisedWays()
			}
			r.rampSlope(f, own, zones)
			r.rampSteps(f, own, ways)
			if over, _ := r.waysOver(f); over || len(own.sides) == 0 || !r.inMown(f, zones) {
				continue // a ramp rises between points of the ground, a flush edge does not
			}
		}
		if len(own.sides) == 0 {
			continue
		}
		for _, i := range zones.near(own.bound.Pad(r.of(f).MachineWidthM / 2)) {
			z, outline := zones.features[i], outlines[i]
			if len(outline.sides) == 0 {
				continue
			}
			half := r.halfWidth(z)
			in := func(p orb.Point) bool { return r.nearMown(zones, i, p, half) }
			r.flushStep(f, z, own, outline, in, half, "the outline of ")
			if !outline.mayStep(own.low, own.high, stepRiseM) || r.toldOf(f, z) {
				continue
			}
			var s step
			for p := range own.ends {
				r.besideOutline(&s, p, zones.locator(i), outline, nil)
			}
			if !r.tellStep(&s, f, z, "as "+flushWord(f)+", beside the outline of") {
				r.farStep(f, zones, i, outline, own, Error)
			}
		}
		flush = append(flush, flushEdge{f, own})
	}
	r.flushEdges(zones, flush)
}

// flushWord is as what a feature that is level with the ground counts.
func flushWord(f *Feature) string {
	switch {
	case isPatch(f):
		return "what is driven over"
	case edgeKind(f) == schema.EdgeRamp:
		return "a ramp that is mown over"
	}
	return "a flush edge"
}

// calledFlush is what such a feature says of itself.
func calledFlush(f *Feature) string {
	switch {
	case isPatch(f):
		return "driven over by its own word"
	case edgeKind(f) == schema.EdgeRamp:
		return "a ramp in mown ground"
	}
	return "called flush"
}

// flushEdge is an edge, or an area driven over, that is flush with the ground about it, with its heights.
type flushEdge struct {
	f   *Feature
	own *raisedSides
}

// flushEdges compares flush edges in mown ground with one another.
func (r *run) flushEdges(zones *solids, flush []flushEdge) {
	if len(flush) < 2 {
		return
	}
	boxes := make([]orb.Bound, len(flush))
	for i := range flush {
		boxes[i] = flush[i].own.bound
	}
	tree := plane.NewBoxes(boxes)
	var found []int
	for i := range flush {
		a := &flush[i]
		found = tree.Search(a.own.bound.Pad(slopeBaseM), found[:0])
		for _, k := range found {
			if b := &flush[k]; k > i {
				r.flushStep(a.f, b.f, a.own, b.own, func(p orb.Point) bool {
					for _, z := range zones.near(p.Bound().Pad(r.halfWidth(a.f))) {
						if r.nearMown(zones, z, p, r.halfWidth(a.f)) {
							return true
						}
					}
					return false
				}, slopeBaseM, "")
			}
		}
	}
}

// nearMown reports whether a place lies in the i-th zone, or within half a
// machine of it.
func (r *run) nearMown(zones *solids, i int, p orb.Point, half float64) bool {
	l := zones.locator(i)
	if l.Locate(p) != plane.Outside {
		return true
	}
	off, _ := l.DistanceToBoundary(p)
	return off <= half
}

// rampSteps compares a ramp with the corridors, and the ways into docks, that
// cross it.
func (r *run) rampSteps(f *Feature, own *raisedSides, ways []raisedWay) {
	if len(own.sides) == 0 {
		return
	}
	on := func(_ orb.Point, d float64) bool { return d <= crossingM }
	for _, w := range ways {
		if !w.sides.bound.Pad(crossingM).Intersects(own.bound) {
			continue
		}
		s := step{limit: r.slopeOf(w.f, f)}
		s.compare(w.sides, own, on)
		back := s.back()
		back.compare(own, w.sides, on)
		s.greater(&back)
		where := "where it crosses"
		if w.words != "" {
			where = "where the way into it crosses"
		}
		r.tellStep(&s, w.f, f, where)
	}
}

// edgeHeights are the stretches of an edge between heights.
func (r *run) edgeHeights(f *Feature) *raisedSides {
	ours := f.slot < len(r.Features) && r.Features[f.slot] == f // and not switched off
	if r.drawn == nil {
		r.drawn = make([]*raisedSides, len(r.Features))
	}
	if ours && r.drawn[f.slot] != nil {
		return r.drawn[f.slot]
	}
	out := newRaisedSides(0)
	out.sides = r.scratchOf().sides.take(f.countPoints())
	if ours {
		r.drawn[f.slot] = out
	}
	for i := range f.Lines {
		l := &f.Lines[i]
		for v := 1; v < len(l.Ground) && l.Heights != nil; v++ {
			out.add(&raised{read: l.Read[v-1], ground: l.Ground[v-1], h: l.Heights[v-1]}, &raised{read: l.Read[v], ground: l.Ground[v], h: l.Heights[v]})
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
		way.add(&raised{read: c.line.Read[a], ground: c.pts[v-1], h: c.line.Heights[a]}, &raised{read: c.line.Read[b], ground: c.pts[v], h: c.line.Heights[b]})
	}
	return way
}

// flushStep tells a flush edge whose heights are not those of the outline of
// the zone beside it, or of another flush edge. Between two points the ground
// may rise and fall, so what is off by less than stepRiseM there cannot be told.
// Of the edge the places count that in says so of; of the other those within
// reach of it.
func (r *run) flushStep(f, z *Feature, own, other *raisedSides, in func(p orb.Point) bool, reach float64, words string) {
	may := r.stepMay(f, z)
	if !other.mayStep(own.low, own.high, may) {
		return // all as even as that
	}
	slope, edges := r.slopeOf(f, z)/100, words == ""
	var worst struct {
		beyond   float64
		from, to raised
	}
	unsure := 0.0
	var walls *wallsBetween
	looked := false
	held := func(a, b orb.Point) bool {
		if edges {
			return !r.mownBetween(r.zones(), a, b)
		}
		if !looked {
			walls, looked = r.stepWalls().about(own.bound.Pad(slopeBaseM), other.bound.Pad(slopeBaseM), r.halfWidth(z)), true
		}
		return walls.hold(a, b)
	}
	take := func(from, to raised, least float64) {
		beyond := math.Abs(to.h-from.h) - slope*distance(from.ground, to.ground)
		known := unsure
		if beyond > least+1e-9 {
			known = worst.beyond
		}
		switch {
		case beyond <= math.Max(may, known)+1e-9 || held(from.ground, to.ground): // edge-setback's
		case beyond > least+1e-9:
			worst.beyond, worst.from, worst.to = beyond, from, to
		default:
			unsure = beyond
		}
	}
	var found []int
	// against compares one place with the stretches of the other feature near it.
	against := func(p raised, other *raisedSides) {
		if !other.mayStep(p.h, p.h, may) {
			return
		}
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
	box := other.bound.Pad(slopeBaseM)
	for i := range own.sides {
		side := &own.sides[i]
		for _, p := range side {
			if box.Contains(p.ground) && in(p.ground) {
				against(p, other)
			}
		}
		found = other.boxes().Search(boundOf([]orb.Point{side[0].ground, side[1].ground}), found[:0])
		for _, k := range found {
			if x := plane.Cross(side[0].ground, side[1].ground, other.sides[k][0].ground, other.sides[k][1].ground); x.Kind == plane.CrossProper && in(x.P) {
				take(heightOn(side, x.P), heightOn(&other.sides[k], x.P), math.Max(may, stepRiseM))
			}
		}
	}
	box = own.bound.Pad(reach)
	for _, side := range other.sides {
		for _, p := range side {
			if !box.Contains(p.ground) {
				continue
			}
			if k, d := own.nearest(p.ground); k >= 0 && d <= reach {
				against(p, own)
			}
		}
	}
	switch {
	case worst.beyond > 0:
		x := r.finding(r.Place(worst.from.ground), f, z)
		x.Measured, x.Limit, x.Unit = worst.beyond, may, "m"
		x.Trace = r.trace(worst.from.ground, worst.to.ground)
		x.Message = fmt.Sprintf("is %s, but its heights and those of %s%s differ by %s within %s, %s more than a slope of %s %% does; the limit is %s: call it a kerb or a drop, or correct the heights",
			calledFlush(f), words, z.describe(), metres(math.Abs(worst.to.h-worst.from.h)), metres(distance(worst.from.ground, worst.to.ground)), metresPast(worst.beyond, may), trim(100*slope, 1), metres(may))
	case unsure > 0:
		r.cannot("%s is %s, but lies %s off the line between two heights of %s%s: give both heights at the same places, or call it a kerb or a drop", f.describe(), calledFlush(f), metres(unsure), words, z.describe())
	}
}

// rampSlope judges a ramp that a corridor or the way into a dock leads over, or
// that lies in mown ground: the heights along it, and numbers that it carries of
// its rise.
func (r *run) rampSlope(f *Feature, own *raisedSides, zones *solids) {
	says := r.rampSays(f)
	ledge, under := r.ledgeUnder(f)
	if len(own.sides) == 0 && says.nothing() && ledge == nil {
		return
	}
	ways, along := r.waysOver(f)
	if !ways {
		if !r.inMown(f, zones) {
			return
		}
		along = ledge == nil // mown in any direction; one on a ledge is drawn along that
	}
	r.rampAcross(f, ledge, ways, along)
	limit, may := r.rampLimits(f)
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
	before := len(r.findings)
	r.rampSaysSteep(f, &says, limit, may)
	// Heights across the way do not say how the ramp rises along it.
	if says.nothing() && ledge != nil && (len(own.sides) == 0 || !along) {
		r.rampOver(f, ledge, under, along)
	}
	switch {
	case says.rise == 0 || len(r.findings) > before:
	case limit < r.of(f).SlopeMaxPercent && says.rise <= may+1e-9: // a step, as a way may have
	case says.bare() && !along:
		if says.rise > may+1e-9 {
			across, to := "across the way", "to the corridor"
			if !ways {
				across, to = "along "+ledge.describe(), "across it"
			}
			r.cannot("%s is drawn %s and tells %s but not over what length: give it length_m, or heights %s", f.describe(), across, says.riseKey, to)
		}
	default:
		length, by := says.length, says.riseKey+" and "+says.lengthKey
		if says.bare() {
			length, by = openingLength(f), says.riseKey
		}
		if said := 100 * says.rise / math.Max(length, 1e-9); length > 0 && said > limit+1e-9 {
			x := r.finding(r.middle(f), f)
			x.Measured, x.Limit, x.Unit = said, limit, "%"
			x.Message = fmt.Sprintf("rises %s %% by its %s; the limit is %s %%", percentPast(said, limit), by, trim(limit, 1))
		}
	}
	if len(r.findings) == before {
		r.rampBelied(f, &says, ledge, under, ways, along)
	}
}

// inMown reports whether any stretch of a line has its middle in mown ground: in
// a zone and in no keep-out.
func (r *run) inMown(f *Feature, zones *solids) bool {
	for _, l := range f.lines() {
		for i := 1; i < len(l); i++ {
			m := orb.Point{(l[i-1][0] + l[i][0]) / 2, (l[i-1][1] + l[i][1]) / 2}
			for _, k := range zones.near(m.Bound()) {
				if zones.locator(k).Locate(m) == plane.Inside && !r.keptOut(m, nil) {
					return true
				}
			}
		}
	}
	return false
}

// waysOver reports whether a corridor or the way into a dock leads over a ramp,
// and whether along its line rather than across.
func (r *run) waysOver(f *Feature) (over, along bool) { return leadOver(r.allWays(), f) }

// leadOver reports whether any of the ways leads over a ramp, and whether along its line
// rather than across.
func leadOver(ways []orb.LineString, f *Feature) (over, along bool) {
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
