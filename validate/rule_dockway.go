// Rules on the ground that a dock needs: dock-path-blocked, dock-unreachable.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var dockWayRules = []Rule{
	{
		Name: RuleDockPathBlocked, Severity: Error, Limits: dockWayLimits, Over: all(schema.RoleDock), run: checkDockPathBlocked,
		Page: Page{
			What: "Whether a hazard, a wall, fence, kerb or drop, or a building lies in the ground that docking takes: the strip of the machine's width centred on the straight line from the dock to its line-up point, " +
				"no longer than that line, and the disc of turn_radius_m about the line-up point. For water, roads and drops both reach out to the sides by the margin of that kind, and so does a disc about the dock itself, as wide to every side as the machine, for one that overruns it. " +
				"Walls, fences and buildings nearer than the strip left uncut there, to the side, are a warning; for all else, and behind the dock, no margin is added. " +
				"Where a ramp or a gate crosses an edge, it is open for the way in, and for a corridor that leads to the dock, where they go through it. How near it comes to the middle of the strip, or of the disc, is measured. " +
				"The posts of a gate stand in the way like a fence where nothing else stands at its ends, and so do the open ends of a ramp with a rise_m over step_max_m that lies across it; one along it has to be as wide as the machine. " +
				"What has the role other and says by its name that it stands counts like a wall, as a warning that asks for its role. A keep-out counts in the disc; in the strip it is dock-in-keepout's. A tree drawn as a point without radius_m within 1 m of that ground cannot be judged. " +
				"A hazard of no known kind keeps the widest margin. As a note, two docks whose ways in come nearer to one another than half of each machine, unless one of the two stands in the way of the other, which is base-in-zone's. A millimetre is rounding.",
			Why:    "Between the line-up point and the contacts the machine drives blind, straight ahead. A pond, a ledge or a post there is met on every run.",
			Source: sourcePractice,
			Fails:  "a post 0.2 m beside the middle of the way in, machine 0.6 m wide; a wall 0.5 m from the line-up point, turn radius 0.6 m; a pond 0.5 m beside the middle, margin 0.3 m",
			Passes: "the post 0.3 m beside it, the wall 0.75 m away; a wall that stands 0.1 m behind the dock; a pond 0.6 m beside the middle of the way in",
			Mend:   "move the dock or turn it, or clear the way",
		},
	},
	{
		Name: RuleDockUnreachable, Severity: Error, Limits: []string{"dock_reach_m", "dock_standoff_m"}, Over: all(schema.RoleDock), run: checkDockUnreachable,
		Page: Page{
			What:   "Whether a corridor ends within dock_reach_m of every dock's line-up point, or that point lies in a zone. When no dock at all is reached, zone-unreachable says so of every zone. A millimetre is rounding.",
			Why:    "The machine that is sent to the second dock never gets there; on many sites that is found when its battery is flat.",
			Source: sourcePractice,
			Fails:  "a second dock on the far side of the lawn to which no corridor leads",
			Passes: "the same dock with a corridor to its line-up point",
			Mend:   "draw the corridor, or switch the dock off",
		},
	},
}

var dockWayLimits = []string{"machine_width_m", "turn_radius_m", "dock_standoff_m", "hazard_margin_m", "hazard_margin_water_m", "hazard_margin_road_m", "hazard_margin_drop_m", "hard_edge_strip_m", "step_max_m"}

// way is the ground that docking takes at one dock.
type way struct {
	dock *dockSpot
	half float64 // of the strip's width, less the slack in metres
	turn float64 // radius of the disc, less the slack in metres
	// strip is the rectangle from dock to line-up point, nil when they
	// coincide.
	strip orb.Polygon
	bound orb.Bound
}

// wayOf works out the ground that docking takes, smaller by a slack all round:
// what is rounding for a rule that looks at what stands there, nothing for what
// is driven.
func (r *run) wayOf(d *dockSpot, slack float64) way { return r.wayBeside(d, slack, 0) }

// wayBeside is wayOf with a margin in metres beside the strip and about the
// disc; the strip is no longer for it.
func (r *run) wayBeside(d *dockSpot, slack, margin float64) way {
	w := way{dock: d, half: math.Max(0, r.halfWidth(d.f)+margin-slack), turn: math.Max(0, r.of(d.f).TurnRadiusM+margin-slack)}
	w.bound = d.lineup.Bound().Pad(w.turn)
	length := distance(d.at, d.lineup)
	if !(length > 2*slack && w.half > 0) {
		return w
	}
	u := orb.Point{(d.lineup[0] - d.at[0]) / length, (d.lineup[1] - d.at[1]) / length}
	at := func(along, across float64) orb.Point {
		return orb.Point{d.at[0] + along*u[0] - across*u[1], d.at[1] + along*u[1] + across*u[0]}
	}
	ring := orb.Ring{at(slack, -w.half), at(length-slack, -w.half), at(length-slack, w.half), at(slack, w.half)}
	w.strip = orb.Polygon{append(ring, ring[0])}
	w.bound = w.bound.Union(w.strip.Bound())
	return w
}

// area is the strip and the disc as one area.
func (w *way) area() (orb.MultiPolygon, error) {
	disc, err := plane.Buffer(w.dock.lineup, w.turn, bufferChordM)
	if err != nil || w.strip == nil {
		return disc, err
	}
	return plane.Union(disc, orb.MultiPolygon{w.strip})
}

// blocked measures what of a shape lies in the strip and in the disc: how near
// it comes to their middles, +Inf where it does not reach in, and where.
func (w *way) blocked(r *run, s *hazardShape) (strip, disc float64, stripAt, discAt orb.Point, ok bool) {
	strip, disc, ok = math.Inf(1), math.Inf(1), true
	if s.bound.Intersects(w.bound) {
		if d, p := s.distance(w.dock.lineup); d < w.turn {
			disc, discAt = d, p
		}
		if w.strip != nil {
			strip, stripAt, ok = w.inStrip(r, s)
		}
	}
	return strip, disc, stripAt, discAt, ok
}

func (w *way) inStrip(r *run, s *hazardShape) (d float64, at orb.Point, ok bool) {
	d = math.Inf(1)
	area := orb.MultiPolygon{w.strip}
	middle := plane.NewGauge(orb.LineString{w.dock.at, w.dock.lineup})
	take := func(g orb.Geometry) {
		if m, _, q := middle.Clearance(plane.NewGauge(g)); m < d {
			d, at = m, q
		}
	}
	if len(s.solid) > 0 {
		part, good := r.intersection(s.solid, area)
		if !good {
			return d, at, false
		}
		if plane.Area(part) > nothingM2 {
			take(part)
		}
	}
	for _, l := range s.lines {
		for _, piece := range clipInside(l, area) {
			take(piece)
		}
	}
	for _, p := range s.points {
		if plane.Locate(p, area) == plane.Inside {
			take(p)
		}
	}
	rect := plane.NewGauge(area)
	for _, c := range s.discs {
		if off, _, q, near := plane.NewGauge(c.at).Within(rect, c.radius); near && off < c.radius {
			m := math.Max(0, distanceToSegment(c.at, w.dock.at, w.dock.lineup)-c.radius)
			if m < d {
				d, at = m, q
			}
		}
	}
	return d, at, true
}

func checkDockPathBlocked(r *run) {
	if !r.onGround() {
		return
	}
	r.usableOf(schema.RoleDock) // which records what cannot be measured
	docks := r.docks()
	r.dockWaysCross(docks)
	for i := range docks {
		d := &docks[i]
		known := !math.IsNaN(d.heading)
		if !known {
			r.cannot("%s has no heading_deg, so the way into it is not known", d.f.describe())
		}
		wider := map[float64]*way{}
		for _, f := range r.Features {
			switch f.Role {
			case schema.RoleHazard, schema.RoleBuilding, schema.RoleKeepout, schema.RoleEdge:
			case schema.RoleOther:
				if known {
					r.otherAtDock(d, f)
				}
				continue
			default:
				continue
			}
			margin, of := r.dockMargin(f)
			if !known {
				if margin > 0 && f.usable() {
					r.atDock(d, f, margin, of)
				}
				continue
			}
			strip := r.dockStrip(f)
			before := len(r.findings)
			for _, m := range [...]float64{margin, strip} {
				if wider[m] == nil {
					beside := r.wayBeside(d, slackM, m)
					wider[m] = &beside
				}
			}
			r.dockBlocked(wider[margin], f, margin, of)
			if len(r.findings) > before || !f.usable() {
				continue
			}
			if margin > 0 {
				r.atDock(d, f, margin, of)
			}
			r.trunkAtDock(d, f, margin)
			if strip > 0 {
				before = len(r.findings) // what else was found stays as grave as it is
				r.dockBlocked(wider[strip], f, strip, of)
				for k := range r.findings[before:] {
					r.findings[before+k].Severity = Warning
				}
			}
		}
	}
}

// waysTo are the lines on which a machine comes to a dock: the way in and the
// corridors that lead to it.
func (r *run) waysTo(d *dockSpot) []orb.LineString {
	out := []orb.LineString{{d.lineup, d.at}}
	for i := range r.corridors() {
		if c := &r.corridorList[i]; c.leadsTo(d.f, d.at) {
			out = append(out, c.pts)
		}
	}
	return out
}

// dockStrip is the strip in metres that docking should keep from a thing that
// stands: a wall, a fence or a building.
func (r *run) dockStrip(f *Feature) float64 {
	switch kind := edgeKind(f); {
	case f.Role == schema.RoleBuilding, f.Role == schema.RoleEdge && (kind == schema.EdgeWall || kind == schema.EdgeFence || kind == schema.EdgeGate):
		return r.of(f).HardEdgeStripM
	}
	return 0
}

// trunkAtDock records a tree of no radius_m so near the way into a dock that
// its trunk may stand in it.
func (r *run) trunkAtDock(d *dockSpot, f *Feature, margin float64) {
	if !isSizelessTree(f) {
		return
	}
	s, w := r.hazardShape(f), r.wayBeside(d, slackM, margin+mostTrunkM)
	if strip, disc, _, _, ok := w.blocked(r, &s); !ok || !math.IsInf(strip, 1) || !math.IsInf(disc, 1) {
		r.cannot("%s has no radius_m, and its trunk may reach into the way into %s", f.describe(), d.f.describe())
	}
}

// atDock tells of water, a road, a drop or what may be one that lies behind or beside the dock
// within reach of a machine that overruns it: its width, and the margin of the
// kind.
func (r *run) atDock(d *dockSpot, f *Feature, margin float64, of string) {
	width := r.of(d.f).MachineWidthM
	need := width + margin
	if !f.bound.Pad(f.growth() + need).Contains(d.at) {
		return
	}
	s := hazardShape{}
	if f.Role == schema.RoleEdge {
		s = r.barrierShape(f)
	} else {
		s = r.hazardShape(f)
	}
	if s.why != "" {
		r.cannot("%s", s.why)
		return
	}
	off, at := s.distance(d.at)
	if off >= need-slackM {
		return
	}
	x := r.finding(r.Place(at), d.f, f)
	x.Measured, x.Limit, x.Unit = off, need, "m"
	x.Trace = r.trace(d.at, at)
	x.Message = fmt.Sprintf("%s lies %s from the dock itself; a machine that overruns it by its width of %s, and the margin of %s, need %s", f.describe(), metresPast(off, need), metres(width), of, metres(need)) + kindUnclear(f)
}

// kindUnclear ends a message about a hazard that keeps the widest margin
// because its kind is not known, "" for all else.
func kindUnclear(f *Feature) string {
	if f.Role != schema.RoleHazard {
		return ""
	}
	if why := kindsOf(f).unclear(); why != "" {
		return "; " + why
	}
	return ""
}

// dockMargin is the margin in metres that docking keeps from a thing, and what
// of: 0 for all but water, roads, drops and hazards of which nobody knows that
// they are none.
func (r *run) dockMargin(f *Feature) (m float64, of string) {
	switch {
	case f.Role == schema.RoleEdge && edgeKind(f) == schema.EdgeDrop:
		m, _ = r.of(f).HazardMargin("drop")
		return m, "a drop"
	case f.Role != schema.RoleHazard:
		return 0, ""
	}
	k := kindsOf(f)
	if !k.grave() {
		return 0, ""
	}
	of = graveWords[k.gravest]
	if k.open {
		of = "a hazard of no known kind"
	}
	return r.hazardMargin(f), of
}

// dockBlocked judges one thing that may stand in the way of a dock, margin
// being what w reaches past the machine for it.
func (r *run) dockBlocked(w *way, f *Feature, margin float64, of string) {
	if !f.usable() {
		r.cannot("%s cannot be measured", f.describe())
		return
	}
	if !f.bound.Pad(f.growth() + slackM).Intersects(w.bound) {
		return
	}
	s := hazardShape{bound: f.bound}
	if f.Role == schema.RoleEdge {
		switch edgeKind(f) {
		case schema.EdgeWall, schema.EdgeFence, schema.EdgeKerb, schema.EdgeDrop:
			s = r.barrierTo(f, r.waysTo(w.dock))
		case "":
			if f.bound.Intersects(w.bound) {
				r.cannot("%s does not say what kind of edge it is", f.describe())
			}
			return
		case schema.EdgeGate, schema.EdgeRamp:
			s.points = r.endsInWay(w, f)
			r.rampAtDock(w, f)
		}
	} else {
		s = r.hazardShape(f)
	}
	if s.why != "" {
		if f.bound.Intersects(w.bound) {
			r.cannot("%s", s.why)
		}
		return
	}
	strip, disc, stripAt, discAt, ok := w.blocked(r, &s)
	if !ok {
		return
	}
	half, turn := r.halfWidth(w.dock.f), r.of(w.dock.f).TurnRadiusM
	needs := ""
	switch {
	case of == "" && margin > 0:
		needs = fmt.Sprintf(", and what stands needs %s more", metres(margin))
	case margin > 0:
		needs = fmt.Sprintf(", and the margin of %s is %s more", of, metres(margin)) + kindUnclear(f)
	}
	if f.Role != schema.RoleKeepout && !math.IsInf(strip, 1) {
		x := r.finding(r.Place(stripAt), w.dock.f, f)
		x.Measured, x.Limit, x.Unit = strip, half+margin, "m"
		where := "in"
		if strip >= half {
			where = "beside"
		}
		x.Message = fmt.Sprintf("%s stands %s the way into it, %s from its middle; half the machine is %s wide", f.describe(), where, metresPast(strip, half+margin), metres(half)) + needs
		return
	}
	if !math.IsInf(disc, 1) {
		x := r.finding(r.Place(discAt), w.dock.f, f)
		x.Measured, x.Limit, x.Unit = disc, turn+margin, "m"
		x.Trace = r.trace(w.dock.lineup, discAt)
		x.Message = fmt.Sprintf("%s lies %s from its line-up point; to turn there the machine needs %s", f.describe(), metresPast(disc, turn+margin), metres(turn)) + needs
	}
}

// rampAtDock tells of a ramp along the way into a dock, which climbs more than a step
// and is narrower than the machine.
func (r *run) rampAtDock(w *way, f *Feature) {
	wide, ok := f.Float(schema.PropWidth)
	width := r.of(w.dock.f).MachineWidthM
	if edgeKind(f) != schema.EdgeRamp || !ok || wide >= width-slackM || !r.rises(f) || w.strip == nil {
		return
	}
	for _, l := range f.lines() {
		from, to := l[0], l[len(l)-1]
		if from == to || math.Abs(math.Remainder(bearingOf(from, to)-w.dock.heading, 180)) > acrossDeg || len(clipInside(l, orb.MultiPolygon{w.strip})) == 0 {
			continue
		}
		x := r.finding(r.Place(from), w.dock.f, f)
		x.Measured, x.Limit, x.Unit = wide, width, "m"
		x.Message = fmt.Sprintf("the way into it goes up %s, which is %s wide; the machine is %s wide, and falls off its sides", f.describe(), metresPast(wide, width), metres(width))
		return
	}
}

// endsInWay are the posts of a gate that stands by itself, and the open ends of a
// ramp that lies across the way into a dock and climbs more than a step.
func (r *run) endsInWay(w *way, f *Feature) []orb.Point {
	if edgeKind(f) == schema.EdgeRamp && (!r.rises(f) || !slices.ContainsFunc(f.lines(), func(l orb.LineString) bool {
		from, to := l[0], l[len(l)-1]
		return from != to && math.Abs(math.Remainder(bearingOf(from, to)-w.dock.heading, 180)) > acrossDeg
	})) {
		return nil
	}
	return r.freePosts(f)
}

func checkDockUnreachable(r *run) {
	if !r.onGround() {
		return
	}
	r.usableOf(schema.RoleDock)
	docks := r.docks()
	led := make([]bool, len(docks))
	any := false
	corridors := r.corridors()
	for i := range docks {
		d := &docks[i]
		stand := d.lineup
		if math.IsNaN(d.heading) {
			stand = d.at
		}
		for _, k := range r.zones().near(stand.Bound()) {
			led[i] = led[i] || r.zones().locator(k).Locate(stand) != plane.Outside
		}
		for c := range corridors {
			for k := range corridors[c].ends {
				e := &corridors[c].ends[k]
				led[i] = led[i] || e.dock == d && e.off <= r.of(d.f).DockReachM+slackM
			}
		}
		any = any || led[i]
	}
	if !any {
		return // zone-unreachable says so of every zone
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		if !f.usable() {
			r.cannot("%s cannot be measured, and may lead somewhere", f.describe())
			return
		}
	}
	for i := range docks {
		if led[i] {
			continue
		}
		d := &docks[i]
		if u := r.unclearZone(d.at); u != nil {
			r.cannot("%s may stand in %s, which cannot be measured", d.f.describe(), u.describe())
			continue
		}
		x := r.finding(r.placeRead(d.f, d.vertex.Read, d.at), d.f)
		x.Message = "no corridor leads to it, and its line-up point lies in no zone"
	}
}
