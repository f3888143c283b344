// Rule on the way from the dock to every zone: zone-unreachable.

package validate

import (
	"math"
	"sort"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var reachRules = []Rule{{
	Name: RuleZoneUnreachable, Severity: Error, Limits: []string{"dock_reach_m", "machine_width_m"}, Over: all(schema.RoleZone), run: checkZoneUnreachable,
	Page: Page{
		What: "Whether every active zone can be reached from a dock: through corridors, whose ends lie in a zone or within reach of a dock's line-up point, " +
			"and from zone to zone where two share ground or edge at least as wide as the machine that no keep-out covers; along a shared edge nothing leads through a wall, fence or drop within 0.3 m of it, but at its gate or ramp. A dock whose line-up point lies in a zone reaches that zone. A millimetre is rounding.",
		Why:    "A zone that nothing leads to is never mown, and the machine gives no sign of it.",
		Source: sourcePractice,
		Fails:  "a second lawn across a path with no corridor to it",
		Passes: "the same lawn with a corridor from the first",
		Mend:   "draw the corridor that is missing, or correct the end that misses its zone or dock",
	},
}}

func checkZoneUnreachable(r *run) {
	if !r.onGround() {
		return
	}
	zones := r.needZones()
	if len(r.need(schema.RoleDock)) == 0 || zones.len() == 0 {
		return
	}
	docks := r.docks()
	if len(docks) == 0 {
		return
	}
	corridors := r.corridors()
	unclear, known := r.unclearZones()
	if !known {
		return // a zone that may be anywhere may be the way to any other
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		if !f.usable() {
			r.cannot("%s cannot be measured, and may lead somewhere", f.describe())
			return
		}
	}
	// A zone that cannot be measured is taken to fill its box and to be
	// reached: what is out of reach even then is out of reach.
	reached := make([]bool, zones.len()+len(unclear))
	for u := range unclear {
		reached[zones.len()+u] = true
	}
	headless := ""
	for i := range docks {
		d := &docks[i]
		stand := d.lineup
		if math.IsNaN(d.heading) {
			stand = d.at
			headless = d.f.describe()
		}
		for _, k := range zones.near(stand.Bound()) {
			if zones.locator(k).Locate(stand) != plane.Outside {
				reached[k] = true
			}
		}
	}
	joins := r.zoneJoins(zones, unclear)
	follow(reached, joins)
	for k, f := range zones.features {
		if reached[k] {
			continue
		}
		if headless != "" {
			r.cannot("%s has no heading_deg, so where it lines up is not known", headless)
			if len(joins) == 0 {
				continue
			}
		}
		x := r.finding(r.middle(f), f)
		x.Message = "no corridor and no zone leads from a dock to it"
		if len(corridors) == 0 {
			x.Message = "the plan has no corridor, and neither a dock nor another zone joins it"
		}
	}
}

// atDock and nowhere stand for a zone where a corridor's end belongs to a dock,
// or to nothing.
const atDock, nowhere = -1, -2

// join is a way between two zones, by their places among the zones that can be
// measured and after them those that cannot; or between one and the docks.
type join struct{ a, b int }

// zoneJoins lists the ways: each corridor joins what its two ends belong to, as
// corridorJoins lists them, and zones that a machine can pass between are joined.
func (r *run) zoneJoins(zones *solids, unclear []orb.Bound) []join {
	joins := r.corridorJoins(zones, unclear)
	for _, c := range r.contacts() {
		joins = append(joins, join{c.a, c.b})
	}
	for u, box := range unclear {
		for _, k := range zones.near(box.Pad(slackM)) {
			joins = append(joins, join{zones.len() + u, k})
		}
	}
	return joins
}

func (r *run) corridorJoins(zones *solids, unclear []orb.Bound) []join {
	var joins []join
	corridors := r.corridors()
	for i := range corridors {
		var at [2]int
		for k := range at {
			e := &corridors[i].ends[k]
			switch {
			case e.dock != nil && e.off <= r.of(e.dock.f).DockReachM+slackM:
				at[k] = atDock
			case e.dock == nil && e.zone != nil:
				at[k] = zones.at(e.zone)
			default:
				at[k] = nowhere
				for u, box := range unclear {
					if box.Pad(1).Contains(corridors[i].pts[e.v]) {
						at[k] = zones.len() + u
					}
				}
			}
		}
		if at[0] != nowhere && at[1] != nowhere {
			joins = append(joins, join{at[0], at[1]})
		}
	}
	return joins
}

// follow marks whatever is joined to what is reached, and to the docks, as
// reached too.
func follow(reached []bool, joins []join) {
	next := make([][]int, len(reached))
	var open []int
	reach := func(k int) {
		if k != atDock && !reached[k] {
			reached[k] = true
			open = append(open, k)
		}
	}
	for k, yes := range reached {
		if yes {
			open = append(open, k)
		}
	}
	for _, j := range joins {
		switch {
		case j.a == atDock || j.b == atDock:
			reach(j.a)
			reach(j.b)
		default:
			next[j.a], next[j.b] = append(next[j.a], j.b), append(next[j.b], j.a)
		}
	}
	for len(open) > 0 {
		k := open[len(open)-1]
		open = open[:len(open)-1]
		for _, other := range next[k] {
			reach(other)
		}
	}
}

// contact is two zones between which the machine can pass, by their places among
// those that can be measured; wide is set where it is known that they share as
// much in one piece as a passage needs.
type contact struct {
	a, b int
	wide bool
}

// contacts are made once.
func (r *run) contacts() []contact {
	if r.contactsKnown {
		return r.contactList
	}
	r.contactsKnown = true
	zones := r.zones()
	for i := range zones.features {
		for _, k := range zones.near(zones.bounds[i].Pad(slackM)) {
			if k <= i {
				continue
			}
			if ok, wide := r.passable(zones, i, k); ok {
				r.contactList = append(r.contactList, contact{i, k, wide})
			}
		}
	}
	return r.contactList
}

// passageBetween is what a passage from zone i to zone k needs.
func (r *run) passageBetween(zones *solids, i, k int) float64 {
	return math.Max(passageOf(r.of(zones.features[i])), passageOf(r.of(zones.features[k])))
}

// sharedWidth is how wide the way is over the ground that two areas share, at
// the widest: the lesser of what either outline runs inside the other, since
// the machine goes over both. thin is that of slivers no broader than besideM,
// which are edge in common.
func (r *run) sharedWidth(one, two orb.MultiPolygon) (width, thin float64, at orb.LineString) {
	span := func(of, in orb.MultiPolygon, box orb.Bound) (most float64, piece orb.LineString) {
		for _, ring := range ringLines(of) {
			pieces := clipInside(ring, in)
			if n := len(pieces); n > 1 && pieces[0][0] == ring[0] && pieces[n-1][len(pieces[n-1])-1] == ring[0] {
				pieces[0] = append(pieces[n-1], pieces[0]...) // the ring starts within
				pieces = pieces[:n-1]
			}
			for _, l := range pieces {
				b := boundOf(l)
				if d := distance(b.Min, b.Max); d > most && box.Intersects(b) {
					most, piece = d, l
				}
			}
		}
		return most, piece
	}
	for _, p := range r.shared(one, one.Bound(), two, two.Bound()) {
		box := boundOf(p[0])
		d, l := distance(box.Min, box.Max), orb.LineString{box.Min, box.Max}
		for _, turn := range [...][2]orb.MultiPolygon{{one, two}, {two, one}} {
			if most, piece := span(turn[0], turn[1], box); piece != nil && most < d {
				d, l = most, piece
			}
		}
		switch {
		case plane.Area(orb.MultiPolygon{p}) <= besideM*groundLength(p[0])/2:
			thin = math.Max(thin, d)
		case d > width:
			width, at = d, l
		}
	}
	return width, thin, at
}

// passable reports whether the machine can pass from zone i to zone k: what
// keep-outs leave of them shares ground, or edge, that stretches at least its
// width. wide is set where one piece of that is a passage.
func (r *run) passable(zones *solids, i, k int) (ok, wide bool) {
	width := math.Min(r.of(zones.features[i]).MachineWidthM, r.of(zones.features[k]).MachineWidthM)
	passage := r.passageBetween(zones, i, k)
	one, two := r.netOf(i).areas, r.netOf(k).areas
	over, thin, _ := r.sharedWidth(one, two)
	if over >= passage-slackM {
		return true, true
	}
	box := zones.bounds[i].Pad(slackM)
	if len(r.standing(box)) > 0 {
		edge, _, _ := r.sharedEdge(zones, i, k)
		return math.Max(over, edge) >= width-slackM, edge >= passage-slackM
	}
	// Edge in common, or nearly: sides that run beside one another.
	var others []orb.LineString
	var boxes []orb.Bound
	for _, line := range ringLines(two) {
		for b := 1; b < len(line); b++ {
			if c := line[b-1 : b+1].Bound(); c.Intersects(box) {
				others = append(others, line[b-1:b+1])
				boxes = append(boxes, c)
			}
		}
	}
	index := plane.NewBoxes(boxes)
	length, widest := 0.0, thin
	var near []int
	for _, line := range ringLines(one) {
		for a := 1; a < len(line); a++ {
			side := line[a-1 : a+1].Bound().Pad(slackM)
			if !side.Intersects(zones.bounds[k]) {
				continue
			}
			near = index.Search(side, near[:0])
			for _, n := range near {
				if s, ok := alongside(line[a-1], line[a], others[n][0], others[n][1], slackM); ok {
					run := (s.to - s.from) * distance(line[a-1], line[a])
					length, widest = length+run, math.Max(widest, run)
				}
			}
		}
	}
	return math.Max(over, math.Max(thin, length)) >= width-slackM, widest >= passage-slackM
}

// bendM is how long a break in edge that two zones share, in metres, is one of
// the drawing only: where outlines bend, or cross one another.
const bendM = 2 * besideM

// sharedEdge is the longest run of edge, within besideM of one another, that
// zones i and k share with no wall, fence or drop along it, and its ends.
func (r *run) sharedEdge(zones *solids, i, k int) (width float64, from, to orb.Point) {
	box := zones.bounds[i].Pad(besideM)
	walls := r.standing(box)
	var others []orb.LineString
	var boxes []orb.Bound
	for _, line := range ringLines(r.netOf(k).areas) {
		for b := 1; b < len(line); b++ {
			if c := line[b-1 : b+1].Bound(); c.Intersects(box) {
				others, boxes = append(others, line[b-1:b+1]), append(boxes, c)
			}
		}
	}
	index := plane.NewBoxes(boxes)
	type gap struct {
		from, to orb.Point
		length   float64
	}
	var beside []stretch
	var near []int
	for _, line := range ringLines(r.netOf(i).areas) {
		var gaps []gap
		for a := 1; a < len(line); a++ {
			near, beside = index.Search(line[a-1:a+1].Bound().Pad(besideM), near[:0]), beside[:0]
			for _, n := range near {
				if s, ok := alongside(line[a-1], line[a], others[n][0], others[n][1], besideM); ok {
					beside = append(beside, s)
				}
			}
			sort.Slice(beside, func(i, k int) bool { return beside[i].from < beside[k].from })
			end := 0.0
			for _, s := range beside {
				s.from = math.Max(s.from, end)
				if end = math.Max(end, s.to); s.to <= s.from {
					continue
				}
				for _, p := range unwalled(line[a-1], line[a], s, walls) {
					if n := len(gaps); n > 0 && distance(gaps[n-1].to, p[0]) <= bendM {
						gaps[n-1].length += distance(gaps[n-1].to, p[0]) + distance(p[0], p[1])
						gaps[n-1].to = p[1]
						continue
					}
					gaps = append(gaps, gap{p[0], p[1], distance(p[0], p[1])})
				}
			}
		}
		if n := len(gaps); n > 1 && distance(gaps[n-1].to, gaps[0].from) <= bendM { // the ring starts within
			gaps[0].from, gaps[0].length = gaps[n-1].from, gaps[0].length+gaps[n-1].length
		}
		for _, g := range gaps {
			if g.length > width {
				width, from, to = g.length, g.from, g.to
			}
		}
	}
	return width, from, to
}

// standing returns the sides of the walls, fences and drops about a box, less
// what gates and ramps open.
func (r *run) standing(box orb.Bound) []orb.LineString {
	var out []orb.LineString
	for _, f := range r.Of(schema.RoleEdge) {
		switch edgeKind(f) {
		case schema.EdgeWall, schema.EdgeFence, schema.EdgeDrop:
		default:
			continue
		}
		if !f.usable() || !f.bound.Pad(crossingM).Intersects(box) {
			continue
		}
		for _, l := range r.barrier(f) {
			for i := 1; i < len(l); i++ {
				out = append(out, l[i-1:i+1])
			}
		}
	}
	return out
}

// unwalled returns the pieces of the stretch s of the segment ab along which no
// wall runs within crossingM, in order.
func unwalled(a, b orb.Point, s stretch, walls []orb.LineString) [][2]orb.Point {
	var shut []stretch
	for _, w := range walls {
		if c, ok := alongside(a, b, w[0], w[1], crossingM); ok {
			shut = append(shut, c)
		}
	}
	sort.Slice(shut, func(i, k int) bool { return shut[i].from < shut[k].from })
	var out [][2]orb.Point
	point := func(t float64) orb.Point { return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])} }
	from := s.from
	for _, c := range append(shut, stretch{from: s.to, to: s.to}) {
		if to := math.Min(c.from, s.to); to > from {
			out = append(out, [2]orb.Point{point(from), point(to)})
		}
		from = math.Max(from, c.to)
	}
	return out
}
