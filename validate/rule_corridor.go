// Rules on corridors: corridor-off-zone, corridor-off-dock,
// corridor-through-keepout, corridor-narrow, corridor-hairpin.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var corridorRules = []Rule{
	{
		Name: RuleCorridorOffZone, Severity: Error, Limits: []string{"corridor_inside_m", "corridor_outside_m"}, Over: all(schema.RoleCorridor), run: checkCorridorOffZone,
		Page: Page{
			What: "For every end of a corridor that belongs to a zone: how deep inside the zone it lies, measured on the ground to the nearest point of the outline, " +
				"and how far outside the next point stands. The next point should be about the given distance out: less than half of it is an error, more than twice a warning. A millimetre is rounding. An end in a zone that is switched off is a warning.",
			Why:    "The machine has to be wholly on the lawn when it takes up the corridor, and wholly off it when it starts to steer along it. Otherwise it turns on the edge, misses the corridor or leaves the zone where nobody expects it.",
			Source: sourcePractice,
			Fails:  "a corridor that starts 0.4 m inside its zone, limit 1 m",
			Passes: "the same corridor started 1.2 m inside, its second point 1 m outside",
			Mend:   "move the end further in, or the next point to where the corridor has left the zone",
		},
	},
	{
		Name: RuleCorridorOffDock, Severity: Error, Limits: []string{"dock_reach_m", "dock_standoff_m"}, Over: all(schema.RoleCorridor, schema.RoleDock), run: checkCorridorOffDock,
		Page: Page{
			What: "For every end of a corridor that belongs to a dock: how far it is from the dock's line-up point, which lies standoff_m (else the limit) from the dock " +
				"on the bearing opposite to heading_deg. Of a dock without a heading only the distance from the dock can be judged. A millimetre is rounding.",
			Why:    "From the line-up point the machine drives straight ahead into the dock. A corridor that ends beside it leads past the contacts, one that ends at the dock itself leaves no room to straighten up.",
			Source: sourcePractice,
			Fails:  "a corridor that ends 0.8 m from the line-up point, limit 0.3 m",
			Passes: "the same corridor ended 0.1 m from it",
			Mend:   "end the corridor at the line-up point, or correct the dock's heading or standoff",
		},
	},
	{
		Name: RuleCorridorThroughKeepout, Severity: Error, Limits: []string{"machine_width_m"}, Over: [][]schema.Role{{schema.RoleCorridor}, {schema.RoleKeepout, schema.RoleZone}}, run: checkCorridorThroughKeepout,
		Page: Page{
			What: "The least distance on the ground between a corridor and every keep-out, and, where it runs within the outer ring of a zone, every hole of that zone that no zone covers; " +
				"it has to be at least half the machine's width. A hole that an end of the corridor, or the dock it leads to, lies in does not count. A millimetre is rounding.",
			Why:    "In a corridor most machines follow the line whatever the map says of keep-outs: the machine drives through the flower bed, or stops at its edge for ever.",
			Source: sourcePractice,
			Fails:  "a corridor that passes 0.1 m beside a keep-out, machine 0.6 m wide",
			Passes: "the same corridor 0.5 m beside it",
			Mend:   "lead the corridor round the keep-out or the hole; where a hole may be driven over, close it",
		},
	},
	{
		Name: RuleCorridorNarrow, Severity: Error, Limits: []string{"machine_width_m", "passage_min_m", "hazard_margin_m", "hazard_margin_drop_m", "hard_edge_strip_m", "dock_standoff_m"}, Over: one(schema.RoleCorridor, schema.RoleDock), run: checkCorridorNarrow,
		Page: Page{
			What: "The free width of a corridor between things that do not give way: walls, kerbs, fences, drops, buildings, hazards, keep-outs and the boundary, " +
				"where there is one on either side, square across it or slanting, as from a post on one side to one farther on along the other, and in an opening (a gate, a ramp, the gap between two walls, hedges, fences or houses in line) that it goes through in a slant the width across its direction, which is less than the opening is wide; it has to be passage_min_m and never less than the machine's width; an outlet or a base counts beside one of these. " +
				"What has the role other and says by its name that it stands (a wall, hedge, fence, house, post and the like) counts too, as a warning that asks for its role. " +
				"So is the way into a dock as far as it is longer than dock_standoff_m. " +
				"And the distance to the nearest wall, kerb, fence, drop or building, which has to be at least half the machine's width, and beside a drop the margin of a drop more; beside a wall, fence or building less than the strip left uncut there more is a warning. " +
				"What has a width_m or radius_m is as wide as that; a gate or ramp, drawn on the edge or up to 0.3 m beside it, opens an edge as edge-setback says, for a corridor that goes through it: to one that runs by, its leaf and posts stand there like the edge, and where nothing stands at an end of it its own post does; of a ramp with a rise_m over step_max_m the open end that lies across the way counts as well, and the width_m of one along it has to be the machine's; a drop is open no farther than passage_min_m to either side of where the corridor goes over it. " +
				"A millimetre is rounding.",
			Parts: []Part{
				{"Streets, pens and gaps that a way leads through", "" +
					"Between two posts of a row (three or more in line, at most 6.5 m from one to the next, plants of a hedge drawn one by one too, or two of one name that says what hangs there (fence, washing line, the net of goal posts) at most 12 m apart, hazards, of the role other or marks that say it too; lamps, signs, trees and bollards without a chain are none) something may hang: a corridor that goes through where no gate is drawn is unchecked. " +
					"So is one that goes in at one opening and out at another of ground that walls, fences and buildings at most 50 m off close round, with no zone in it, or between two fences that are called after a railway, a pool, a pasture, a school or the like with no zone between them, where no area of the role other with driven_over lies on that way (of a railway or motorway at most 15 m wide, one that reaches as far along it as across). " +
					"So is one through a gate that is called after a road, a water, a drop, a pen, a car park or the neighbours, where nothing of that kind or word is drawn. " +
					"So is one, with the way into the dock that it leads to, or such a way alone, over two kerbs, or flush edges called after a street, road or lane, or along between them, that are 3 to 15 m apart, or along between two drops at most 15 m apart, gaps of up to 5 m in them included, where no zone, no area with driven_over (of one crossed, one that reaches as far along it as across) and no hazard lies between: it may be a street, or a ditch. " +
					"So is one that leads over a kerb and through a fence or wall 3 to 15 m from it (up to 30 m where the two lie side by side, as of two kerbs side by side), or through two fences or walls side by side 2 to 12 m apart, or along between a kerb and a fence or wall, or between two fences 2 to 4 m apart for 10 m, with none of these between. " +
					"So is one that leads through a gap of up to 5 m between two ends of a fence or wall, in line with one another, where no gate lies on the gap and one lies beside it, side by side with it and at most 3 m off, that fits no other gap; and one through a gate less than half of passage_min_m from an end of a fence or wall that reaches into the gate by more than 0.3 m."},
			},
			Why:    "Between two walls a machine that has drifted by the width of a hand touches one, turns, touches the other and stays there; beside a drop it goes over.",
			Source: sourcePractice,
			Fails:  "a corridor between two walls 1.2 m apart, limit 1.5 m",
			Passes: "the same walls 2 m apart",
			Mend:   "lead the corridor where there is more room, and square through an opening",
		},
	},
	{
		Name: RuleCorridorHairpin, Severity: Warning, Limits: []string{"turn_radius_m", "hazard_margin_water_m", "hazard_margin_road_m", "hazard_margin_drop_m", "hazard_margin_m", "hard_edge_strip_m", "machine_width_m"}, Over: all(schema.RoleCorridor), run: checkCorridorHairpin,
		Page: Page{
			What: "Where a corridor turns by more than a right angle and 5 degrees, the radius of the arc that turns by what is past the right angle over the same length of line. " +
				"It has to be turn_radius_m. Corners to one side are taken together, and so are corners to either side, of a zigzag or a step to the side, once points within 0.1 m of the straight line past them are left out. A single sharper corner has no length, and a radius of 0. " +
				"And where it turns by more than 60 degrees within turn_radius_m of line, so that a machine stops and turns on the spot: how near a hazard, a building, a keep-out, a wall, kerb, fence or drop, or what has the role other and stands by its name, a base, an outlet, a mark that is a peg or post by its name, or a dock that it does not lead to, comes to that corner. " +
				"It has to be turn_radius_m, and of water, a road, a drop or a hazard of no known kind the margin of that kind more, of a dock half the machine that may be parked there, of a base or an outlet what base-in-zone keeps from all that is driven. " +
				"How far inside the boundary the corner lies is boundary-crossed's. " +
				"And as a note, the end of a corridor in a lawn, where the machine turns to go back or to begin its lanes, held in that way to water, roads, drops, hazards of no known kind, bases, outlets and docks. " +
				"A millimetre is rounding.",
			Why:    "A machine that follows a line swings wide in a hairpin, over whatever stands beside it, or stops and turns on the spot until the grass is gone; of a zigzag with short legs it cuts the corners or leaves the way. Where it turns on the spot, its back swings out over what lies beside the way.",
			Source: "the length of an arc of radius r and angle a is r a; " + sourcePractice + " for the right angle",
			Fails:  "a corridor that turns back by 180 degrees within 0.5 m: 0.32 m, limit 0.6 m",
			Passes: "the same corridor led round in two right-angled corners 1.2 m apart",
			Mend:   "draw the turn wider, and a step to the side as one slanting leg",
		},
	},
}

// mostTurns is the most corners that are taken for one turn.
const mostTurns = 1000

// scatterM is how far, in metres, a point of a corridor may stand off the straight
// line past it and be no corner that a machine would follow: it was walked, or
// surveyed on rough ground (common practice, no source).
const scatterM = 0.1

func checkCorridorHairpin(r *run) {
	list := r.needCorridors()
	r.turningRoom(list)
	r.endsBeside(list)
	for i := range list {
		c := &list[i]
		limit := r.of(c.f).TurnRadiusM
		t, to := tightest(c.pts, limit, false), ""
		if t.radius >= limit-slackM {
			t, to = tightest(straightened(c.pts, scatterM), limit, true), " to and fro"
		}
		if t.radius >= limit-slackM {
			continue
		}
		p, q := t.pts[0], t.pts[len(t.pts)-1]
		x := r.finding(r.Place(orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}), c.f)
		x.Measured, x.Limit, x.Unit = t.radius, limit, "m"
		x.Trace = r.trace(t.pts...)
		x.Message = fmt.Sprintf("turns%s by %s within %s, which past the right angle is an arc of %s; the machine turns with %s", to, degreesText(t.turned), metres(t.length), metresPast(t.radius, limit), metres(limit))
		if to != "" {
			x.Message += ", and cuts these corners or swings out beside them: draw one straight way, or longer legs"
		}
	}
}

// tight is the tightest turn of a line: its corners, the radius in metres, +Inf
// for none, what it turns by in degrees and how long it is in metres.
type tight struct {
	pts                    []orb.Point
	radius, turned, length float64
}

// tightest finds the tightest turn of a line: to one side, or, with both set, of
// corners to either side taken together.
func tightest(pts []orb.Point, limit float64, both bool) tight {
	least := tight{radius: math.Inf(1)}
	for v := 1; v+1 < len(pts); v++ {
		sum, along, side := 0.0, 0.0, 0.0
		for w := v; w+1 < len(pts) && w-v < mostTurns && along <= 2*math.Pi*limit; w++ {
			turn := math.Remainder(bearingOf(pts[w], pts[w+1])-bearingOf(pts[w-1], pts[w]), 360)
			if w > v {
				along += distance(pts[w-1], pts[w])
			}
			if turn*side < 0 && !both {
				break // it turns the other way
			}
			side += turn
			sum += math.Abs(turn)
			if sum <= 95 { // a right angle as it is drawn
				continue
			}
			if radius := along / ((sum - 90) * (math.Pi / 180)); radius < least.radius {
				least = tight{pts[v : w+1], radius, sum, along}
			}
		}
	}
	return least
}

// needCorridors returns the corridors that can be judged, and records what
// cannot.
func (r *run) needCorridors() []corridorLine {
	if !r.onGround() {
		return nil
	}
	if len(r.need(schema.RoleCorridor)) == 0 {
		return nil
	}
	list := r.corridors()
	seen := map[*Feature]bool{}
	for i := range list {
		seen[list[i].f] = true
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		if f.usable() && !seen[f] {
			r.cannot("%s has no line of two different points", f.describe())
		}
	}
	return list
}

// needed records that there are no areas of a role, or which cannot be
// measured.
func (r *run) needed(of *solids, role schema.Role) *solids {
	if len(r.Of(role)) == 0 {
		r.cannot("the plan has no active %s", role)
	}
	for _, why := range of.why {
		r.cannot("%s", why)
	}
	return of
}

// needZones returns the zones that can be measured, and records those that
// cannot.
func (r *run) needZones() *solids {
	return r.needed(r.zones(), schema.RoleZone)
}

func checkCorridorOffZone(r *run) {
	list := r.needCorridors()
	if len(list) == 0 {
		return
	}
	zones := r.needZones()
	if zones.len() == 0 {
		return
	}
	for i := range list {
		c := &list[i]
		l := r.of(c.f)
		atZone := 0
		for k := range c.ends {
			if c.ends[k].zone != nil {
				atZone++
			}
		}
		for k := range c.ends {
			e := &c.ends[k]
			if e.dock != nil {
				continue
			}
			if e.unclear != nil {
				r.cannot("%s ends at %s, which cannot be measured", c.f.describe(), e.unclear.describe())
				continue
			}
			if e.zone == nil {
				r.looseEnd(c, k, atZone, l)
				continue
			}
			if e.depth < l.CorridorInsideM-slackM {
				x := r.finding(r.corridorPlace(c, e.v), c.f, e.zone)
				x.Measured, x.Limit, x.Unit = e.depth, l.CorridorInsideM, "m"
				x.Message = fmt.Sprintf("ends %s inside %s; it should reach %s inside", metresPast(e.depth, l.CorridorInsideM), e.zone.describe(), metres(l.CorridorInsideM))
				_, edge := zones.of(e.zone).DistanceToBoundary(c.pts[e.v])
				x.Trace = r.trace(c.pts[e.v], edge)
			}
			r.nextPoint(c, k, zones, l)
		}
	}
}

// offZone is the zone that is switched off and has a place, as read, inside.
func (r *run) offZone(read orb.Point) *schema.Feature {
	for _, f := range r.Inactive {
		if f.Role != schema.RoleZone || f.Geometry == nil {
			continue
		}
		n := countVertices(f.Geometry)
		b := builder{read: make([]orb.Point, 0, n), ground: make([]orb.Point, n), highest: maxHeightM}
		g := &Feature{Feature: f}
		b.add(g, f.Geometry)
		for i := range g.Areas {
			if plane.Locate(read, g.Areas[i].Read) == plane.Inside {
				return f
			}
		}
	}
	return nil
}

// looseEnd reports an end that lies in no zone and belongs to no dock.
func (r *run) looseEnd(c *corridorLine, k, atZone int, l *schema.Limits) {
	e := &c.ends[k]
	if z := r.offZone(c.line.Read[c.at[e.v]]); z != nil {
		x := r.finding(r.corridorPlace(c, e.v), c.f)
		x.Severity = Warning
		x.Message = "one end lies in the zone " + quote(z.Label()) + ", which is switched off: switch the corridor off with it, or the zone on"
		return
	}
	switch {
	case len(r.docks()) == 0 && atZone == 1 && len(r.Of(schema.RoleDock)) == 0:
		r.cannot("one end of %s lies in no zone, and the plan has no active dock that it could lead to", c.f.describe())
		return
	case e.near == nil:
		x := r.finding(r.corridorPlace(c, e.v), c.f)
		x.Message = "one end lies in no zone and leads to no dock"
		return
	case e.gap > plausibleM:
		x := r.finding(r.corridorPlace(c, e.v), c.f)
		x.Measured, x.Limit, x.Unit = -e.gap, l.CorridorInsideM, "m"
		x.Message = fmt.Sprintf("one end lies in no zone and leads to no dock; the nearest zone, %s, is %s away", e.near.describe(), metres(e.gap))
		return
	}
	x := r.finding(r.corridorPlace(c, e.v), c.f, e.near)
	x.Measured, x.Limit, x.Unit = -e.gap, l.CorridorInsideM, "m"
	x.Message = fmt.Sprintf("ends %s outside %s; it should reach %s inside", metres(e.gap), e.near.describe(), metres(l.CorridorInsideM))
	_, edge := r.zones().of(e.near).DistanceToBoundary(c.pts[e.v])
	x.Trace = r.trace(c.pts[e.v], edge)
}

// nextPoint judges the point after a corridor's end in a zone.
func (r *run) nextPoint(c *corridorLine, k int, zones *solids, l *schema.Limits) {
	e := &c.ends[k]
	zone := zones.of(e.zone)
	inside := true
	for _, p := range c.pts {
		inside = inside && zone.Locate(p) != plane.Outside
	}
	if inside {
		return // it never leaves its zone, as to a dock that stands on the lawn
	}
	v := e.v + e.step
	p := c.pts[v]
	out, edge := zone.DistanceToBoundary(p)
	if zone.Locate(p) == plane.Inside {
		out = -out
	}
	want := l.CorridorOutsideM
	tooNear, tooFar := out < want/2-slackM, out > want*2+slackM
	if !tooNear && !tooFar {
		return
	}
	x := r.finding(r.corridorPlace(c, v), c.f, e.zone)
	x.Measured, x.Limit, x.Unit = out, want, "m"
	x.Trace = r.trace(edge, p)
	switch {
	case out < 0:
		x.Message = fmt.Sprintf("the point after its end is still %s inside %s; it should stand about %s outside", metres(-out), e.zone.describe(), metres(want))
	default:
		x.Message = fmt.Sprintf("the point after its end stands %s outside %s; it should be about %s", metres(out), e.zone.describe(), metres(want))
	}
	if tooFar {
		x.Severity = Warning
	}
}

func checkCorridorOffDock(r *run) {
	list := r.needCorridors()
	if len(list) == 0 || len(r.need(schema.RoleDock)) == 0 {
		return
	}
	led := map[*Feature]bool{}
	for i := range list {
		c := &list[i]
		for k := range c.ends {
			e := &c.ends[k]
			if e.dock == nil {
				continue
			}
			led[e.dock.f] = true
			reach := r.of(e.dock.f).DockReachM
			if e.off <= reach+slackM {
				if math.IsNaN(e.dock.heading) {
					r.cannot("%s has no heading_deg, so only the distance from it was judged", e.dock.f.describe())
				}
				continue
			}
			p := c.pts[e.v]
			x := r.finding(r.corridorPlace(c, e.v), c.f, e.dock.f)
			x.Measured, x.Limit, x.Unit = e.off, reach, "m"
			switch {
			case math.IsNaN(e.dock.heading):
				x.Message = fmt.Sprintf("ends %s from %s, whose line-up point is %s away from it", metres(distance(p, e.dock.at)), e.dock.f.describe(), metres(e.dock.standoff))
			case distance(p, e.dock.at) <= reach+slackM:
				x.Message = fmt.Sprintf("ends at %s itself; it should end at the line-up point, %s in front of it", e.dock.f.describe(), metres(e.dock.standoff))
			default:
				x.Message = fmt.Sprintf("ends %s from the line-up point of %s; it should end within %s", metresPast(e.off, reach), e.dock.f.describe(), metres(reach))
			}
			if !math.IsNaN(e.dock.heading) {
				x.Trace = r.trace(p, e.dock.lineup)
			}
		}
	}
	for _, d := range r.docks() {
		if !led[d.f] && !r.linesUpOnLawn(&d) {
			r.cannot("no corridor leads to %s", d.f.describe())
		}
	}
}

// halfWidth is half the machine's width for a feature.
func (r *run) halfWidth(f *Feature) float64 { return r.of(f).MachineWidthM / 2 }

func checkCorridorThroughKeepout(r *run) {
	list := r.needCorridors()
	if len(list) == 0 {
		return
	}
	holes := r.zoneHoles(list)
	keepouts := r.keepouts()
	for _, why := range keepouts.why {
		r.cannot("%s", why)
	}
	for i := range list {
		c := &list[i]
		half := r.halfWidth(c.f)
		box := boundOf(c.pts).Pad(half)
		for h := range holes {
			if holes[h].bound.Intersects(box) {
				r.overHole(c, half, &holes[h])
			}
		}
		var line *plane.Gauge
		for _, k := range keepouts.near(box) {
			ko := keepouts.features[k]
			if line == nil {
				line = plane.NewGauge(c.pts)
			}
			d, p, q, ok := line.Within(keepouts.gauge(k), half)
			if !ok || d >= half-slackM {
				continue
			}
			x := r.finding(r.Place(p), c.f, ko)
			x.Measured, x.Limit, x.Unit = d, half, "m"
			if swept, ok := r.buffer(c.pts, half); ok {
				if covered, ok := r.intersection(swept, keepouts.areas[k]); ok {
					x.AreaM2 = plane.Area(covered)
				}
			}
			if d == 0 {
				x.Message = fmt.Sprintf("runs through %s; the machine would cover %s of it", ko.describe(), squareMetres(x.AreaM2))
				continue
			}
			x.Trace = r.trace(p, q)
			x.Message = fmt.Sprintf("passes %s beside %s; half the machine is %s wide", metresPast(d, half), ko.describe(), metres(half))
		}
	}
}

// zoneHole is one hole of a zone.
type zoneHole struct {
	zone  *Feature
	ring  orb.MultiPolygon // the hole
	outer orb.MultiPolygon // what is within the outer ring around it
	bare  orb.MultiPolygon // what of the hole no zone covers
	bound orb.Bound
}

// zoneHoles returns the holes of zones, and records the zones near a corridor
// whose holes cannot be told.
func (r *run) zoneHoles(list []corridorLine) []zoneHole {
	for _, f := range r.Of(schema.RoleZone) {
		holed := false
		for i := range f.Areas {
			holed = holed || len(f.Areas[i].Read) > 1
		}
		if why := r.solidOf(f).why; holed && why != "" && !f.Far {
			for i := range list {
				if f.Invalid != "" || boundOf(list[i].pts).Pad(r.halfWidth(list[i].f)).Intersects(f.bound) {
					r.cannot("%s", why)
					break
				}
			}
		}
	}
	var out []zoneHole
	zones := r.zones()
	for z, f := range zones.features {
		for _, p := range zones.areas[z] {
			for _, ring := range p[1:] {
				h := zoneHole{zone: f, ring: orb.MultiPolygon{{ring}}, outer: orb.MultiPolygon{p[:1]}, bound: boundOf(ring)}
				h.bare = h.ring
				if left, ok := r.difference(h.ring, zones.all(h.bound)); ok {
					h.bare = left
				}
				if plane.Area(h.bare) > nothingM2 {
					out = append(out, h)
				}
			}
		}
	}
	return out
}

// overHole tells of a corridor that runs over a hole of a zone, or too near to
// it.
func (r *run) overHole(c *corridorLine, half float64, h *zoneHole) {
	for k := range c.ends { // it leads into the hole
		e := &c.ends[k]
		if plane.Locate(c.pts[e.v], h.ring) == plane.Inside || e.dock != nil && plane.Locate(e.dock.at, h.ring) == plane.Inside {
			return
		}
	}
	hole := plane.NewGauge(h.bare)
	least, at, to := half, orb.Point{}, orb.Point{}
	for _, piece := range clipInside(c.pts, h.outer) {
		if d, p, q, ok := plane.NewGauge(piece).Within(hole, half); ok && d < least {
			least, at, to = d, p, q
		}
	}
	if least >= half-slackM {
		return
	}
	x := r.finding(r.Place(at), c.f, h.zone)
	x.Measured, x.Limit, x.Unit = least, half, "m"
	if swept, ok := r.buffer(c.pts, half); ok {
		if covered, ok := r.intersection(swept, h.bare); ok {
			x.AreaM2 = plane.Area(covered)
		}
	}
	if least == 0 {
		x.Message = fmt.Sprintf("runs over a hole of %s; the machine would cover %s of it", h.zone.describe(), squareMetres(x.AreaM2))
		return
	}
	x.Trace = r.trace(at, to)
	x.Message = fmt.Sprintf("passes %s beside a hole of %s; half the machine is %s wide", metresPast(least, half), h.zone.describe(), metres(half))
}

// obstacle is something a corridor's free width ends at.
type obstacle struct {
	f    *Feature
	pts  []orb.Point
	hard bool // a thing the machine must keep half its width from by itself
	// margin is what it must keep beyond that, in metres: a drop's.
	margin float64
	// strip is what it should keep beyond that, in metres: from what stands.
	strip float64
}

// edgeObstacles are those of an edge to one that goes along the ways.
func (r *run) edgeObstacles(f *Feature, ways []orb.LineString) []obstacle {
	var out []obstacle
	margin, strip := r.edgeKeeps(f)
	s := r.barrierTo(f, ways)
	for _, l := range append(s.lines, ringLines(s.solid)...) {
		out = append(out, obstacle{f, l, edgeKind(f) != "", margin, strip})
	}
	return out
}

// edgeKeeps is the margin in metres that a corridor must keep from an edge, and
// the strip that it should, past half the machine.
func (r *run) edgeKeeps(f *Feature) (margin, strip float64) {
	switch edgeKind(f) {
	case schema.EdgeDrop:
		margin, _ = r.of(f).HazardMargin("drop")
	case schema.EdgeWall, schema.EdgeFence:
		strip = r.of(f).HardEdgeStripM
	}
	return margin, strip
}

// obstacles lists everything that bounds the way of a corridor, but for edges
// that a gate or ramp opens, which bound each corridor in their own way.
func (r *run) obstacles() (out []obstacle, gated []*Feature) {
	add := func(f *Feature, hard bool) {
		if f.growth() > 0 {
			if lines := r.hazardLines(f); lines != nil {
				for _, l := range lines {
					out = append(out, obstacle{f: f, pts: l, hard: hard})
				}
				return
			}
		}
		for i := range f.Areas {
			for _, ring := range f.Areas[i].Ground {
				pts := []orb.Point(ring)
				if len(pts) == 0 {
					continue
				}
				if len(pts) > 1 && pts[0] != pts[len(pts)-1] {
					pts = append(append([]orb.Point(nil), pts...), pts[0])
				}
				out = append(out, obstacle{f: f, pts: pts, hard: hard})
			}
		}
		for i := range f.Lines {
			out = append(out, obstacle{f: f, pts: f.Lines[i].Ground, hard: hard})
		}
		for i := range f.Points {
			out = append(out, obstacle{f: f, pts: []orb.Point{f.Points[i].Ground}, hard: hard})
		}
	}
	for _, f := range r.Features {
		if !f.usable() {
			continue
		}
		switch f.Role {
		case schema.RoleEdge:
			if edgeKind(f) == schema.EdgeGate {
				for _, post := range r.freePosts(f) {
					out = append(out, obstacle{f: f, pts: []orb.Point{post}, hard: true})
				}
			}
			if isDrivenOver(edgeKind(f)) {
				continue
			}
			if len(r.opened(f, f.growth())) > 0 {
				gated = append(gated, f)
				continue
			}
			out = append(out, r.edgeObstacles(f, nil)...)
		case schema.RoleBuilding:
			before := len(out)
			add(f, true)
			for i := range out[before:] {
				out[before+i].strip = r.of(f).HardEdgeStripM
			}
		case schema.RoleHazard, schema.RoleKeepout, schema.RoleBoundary:
			add(f, false)
		}
	}
	if len(out)+len(gated) > 0 { // alone they narrow nothing
		for _, role := range [...]schema.Role{schema.RoleSupply, schema.RoleBase} {
			for _, f := range r.usableOf(role) {
				add(f, false)
			}
		}
	}
	return out, gated
}

// freePosts are the ends of a gate at which no wall, fence, hedge or building stands:
// its own posts do.
func (r *run) freePosts(gate *Feature) (out []orb.Point) {
	for _, end := range gateEnds(gate) {
		at := plane.NewGauge(end)
		free := true
		for _, f := range r.Features {
			if f == gate || !f.usable() || !f.bound.Pad(crossingM+f.growth()+slackM).Intersects(end.Bound()) {
				continue
			}
			stands := f.Role == schema.RoleBuilding || f.Role == schema.RoleHazard || f.Role == schema.RoleEdge && !isDrivenOver(edgeKind(f))
			if !stands {
				continue
			}
			for _, l := range f.lines() {
				if _, _, _, near := at.Within(plane.NewGauge(l), crossingM+f.growth()+slackM); near {
					free = false
				}
			}
			for _, p := range f.Points {
				free = free && distance(p.Ground, end) > crossingM+f.growth()
			}
		}
		if free {
			out = append(out, end)
		}
	}
	return out
}

// gateEnds are the ends of the lines of a gate or ramp, of a gate that says that it is
// narrower than its line as far apart as it says.
func gateEnds(f *Feature) []orb.Point {
	wide, ok := f.Float(schema.PropWidth)
	if !ok || !(wide > 0) || edgeKind(f) != schema.EdgeGate {
		return lineEnds(f)
	}
	var out []orb.Point
	for _, l := range f.lines() {
		if length := groundLength(l); wide < length-slackM && l[0] != l[len(l)-1] {
			l = stretchOf(l, (length-wide)/2, (length+wide)/2)
		}
		out = append(out, l[0], l[len(l)-1])
	}
	return out
}

func checkCorridorNarrow(r *run) {
	var list []corridorLine
	if len(r.Of(schema.RoleCorridor)) > 0 {
		list = r.needCorridors()
	} else if !r.onGround() {
		return
	}
	// A way into a dock that is longer than it has to be is a corridor up to there.
	for _, d := range r.docks() {
		if l := r.of(d.f).DockStandoffM; !math.IsNaN(d.heading) && d.standoff > l+slackM {
			t := l / d.standoff
			list = append(list[:len(list):len(list)], corridorLine{f: d.f, pts: []orb.Point{d.lineup, {d.at[0] + (d.lineup[0]-d.at[0])*t, d.at[1] + (d.lineup[1]-d.at[1])*t}}})
		}
	}
	if len(list) == 0 {
		if r.streets(nil); len(r.Of(schema.RoleCorridor)) == 0 && len(r.reasons) == 0 {
			r.notNeeded("the plan has no active corridor, and no way into a dock that is longer than its limit")
		}
		return
	}
	r.rowsCrossed(list)
	r.walledIn(list)
	r.streets(list)
	r.gatesBesideGaps(list)
	obstacles, gated := r.obstacles()
	if len(obstacles)+len(gated) == 0 {
		r.cannot("the plan draws nothing that could narrow a corridor: no edge, building, hazard, keepout or boundary")
	}
	all := emptyBox()
	for i := range list {
		all = all.Union(boundOf(list[i].pts).Pad(passageOf(r.of(list[i].f))))
	}
	obstacles = append(obstacles, r.standingObstacles(all)...)
	for _, f := range r.Of(schema.RoleEdge) {
		if edgeKind(f) == "" {
			r.cannot("%s does not say what kind of edge it is", f.describe())
		}
	}
	boxes := make([]orb.Bound, len(obstacles))
	margin := 0.0
	for i := range obstacles {
		boxes[i] = boundOf(obstacles[i].pts)
		margin = math.Max(margin, math.Max(obstacles[i].margin, obstacles[i].strip))
	}
	index := plane.NewBoxes(boxes)
	for i := range list {
		c := &list[i]
		var near []obstacle
		l := r.of(c.f)
		box := boundOf(c.pts).Pad(math.Max(passageOf(l), l.MachineWidthM/2+margin))
		for _, k := range index.Search(box, nil) {
			near = append(near, obstacles[k])
		}
		for _, f := range gated {
			if margin, strip := r.edgeKeeps(f); !box.Pad(f.growth() + margin + strip).Intersects(f.bound) {
				continue
			}
			near = append(near, r.edgeObstacles(f, []orb.LineString{c.pts})...)
		}
		r.narrow(c, append(near, r.rampSides(c)...))
	}
}

// narrow finds the least free width across one corridor.
func (r *run) narrow(c *corridorLine, obstacles []obstacle) {
	l := r.of(c.f)
	limit, half := passageOf(l), l.MachineWidthM/2
	line := plane.NewGauge(c.pts)
	var close []obstacle
	var touched *Feature
	touch, need, touchAt, touchTo := math.Inf(1), half, orb.Point{}, orb.Point{}
	var scraped obstacle
	var scrapeAt, scrapeTo orb.Point
	scrape := math.Inf(1) // less what the strip takes
	for _, o := range obstacles {
		var g orb.Geometry = orb.LineString(o.pts)
		if len(o.pts) == 1 {
			g = o.pts[0]
		}
		d, p, q := line.Clearance(plane.NewGauge(g))
		if d > 0 || o.hard {
			close = append(close, o) // what the line crosses has a rule of its own
		}
		if o.hard && d-half-o.margin < touch-need {
			touched, touch, need, touchAt, touchTo = o.f, d, half+o.margin, p, q
		}
		if o.strip > 0 && d-half-o.strip < scrape {
			scraped, scrape, scrapeAt, scrapeTo = o, d-half-o.strip, p, q
		}
	}
	if touch < need-slackM {
		x := r.finding(r.Place(touchAt), c.f, touched)
		x.Measured, x.Limit, x.Unit = touch, need, "m"
		x.Trace = r.trace(touchAt, touchTo)
		x.Message = fmt.Sprintf("passes %s beside %s; half the machine is %s wide", metresPast(touch, need), touched.describe(), metres(half))
		if need > half {
			x.Message += fmt.Sprintf(", and a drop needs %s more", metres(need-half))
		}
		if touch == 0 {
			x.Message = "crosses " + touched.describe()
		}
		return
	}
	if scrape < -slackM {
		d, need := scrape+half+scraped.strip, half+scraped.strip
		x := r.finding(r.Place(scrapeAt), c.f, scraped.f)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = d, need, "m"
		x.Trace = r.trace(scrapeAt, scrapeTo)
		x.Message = fmt.Sprintf("passes %s beside %s; half the machine is %s wide, and what stands needs %s more", metresPast(d, need), scraped.f.describe(), metres(half), metres(scraped.strip))
		asksRole(x, scraped.f)
	}
	best := crossWidth{width: math.Inf(1)}
	for s := 1; s < len(c.pts); s++ {
		w := narrowest(c.pts, s, close, limit)
		if w.partly {
			r.cannot("too much stands beside %s to look at every place of it", c.f.describe())
		}
		if w.width < best.width {
			best = w
		}
		if o := openingAcross(c.pts, s, close, limit, l.OpeningMaxM, half); o.width < math.Min(limit, best.width)-slackM {
			best = o
		}
	}
	if best.width >= limit-slackM {
		return
	}
	features := []*Feature{c.f, best.left}
	if best.right != best.left {
		features = append(features, best.right)
		if best.right.Index < best.left.Index { // whichever way the corridor is drawn
			features[1], features[2] = features[2], features[1]
		}
	}
	x := r.finding(r.Place(best.at), features...)
	x.Measured, x.Limit, x.Unit = best.width, limit, "m"
	x.Trace = r.trace(best.leftAt, best.rightAt)
	between := "between two sides of " + best.left.describe()
	if best.left != best.right {
		between = "between " + features[1].describe() + " and " + features[2].describe()
	}
	if best.slant {
		between += fmt.Sprintf(", %s apart, where it goes through in a slant", metres(distance(best.leftAt, best.rightAt)))
	}
	x.Message = fmt.Sprintf("has %s of free width %s; it needs %s", metresPast(best.width, limit), between, metres(limit))
	asksRole(x, features[1:]...)
}
