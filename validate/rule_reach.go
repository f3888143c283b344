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

// zoneJoins lists the ways: each corridor joins what its two ends belong to,
// and zones that a machine can pass between are joined.
func (r *run) zoneJoins(zones *solids, unclear []orb.Bound) []join {
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
	for i := range zones.features {
		for _, k := range zones.near(zones.bounds[i].Pad(slackM)) {
			if k > i && r.passable(zones, i, k) {
				joins = append(joins, join{i, k})
			}
		}
	}
	for u, box := range unclear {
		for _, k := range zones.near(box.Pad(slackM)) {
			joins = append(joins, join{zones.len() + u, k})
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

// passable reports whether the machine can pass from zone i to zone k: what
// keep-outs leave of them shares ground, or edge, that stretches at least its
// width.
func (r *run) passable(zones *solids, i, k int) bool {
	width := math.Min(r.of(zones.features[i]).MachineWidthM, r.of(zones.features[k]).MachineWidthM)
	one, two := r.netOf(i).areas, r.netOf(k).areas
	for _, p := range r.shared(one, one.Bound(), two, two.Bound()) {
		b := p[0].Bound()
		if math.Hypot(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) >= width {
			return true
		}
	}
	// Edge in common, or nearly: sides that run beside one another.
	box := zones.bounds[i].Pad(slackM)
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
	walls := r.standing(box)
	// Where something stands the widest gap counts, not the sum of many.
	length, open, widest := 0.0, 0.0, 0.0
	var at orb.Point // where the gap has come to
	var beside []stretch
	var near []int
	for _, line := range ringLines(one) {
		for a := 1; a < len(line); a++ {
			side := line[a-1 : a+1].Bound().Pad(slackM)
			if !side.Intersects(zones.bounds[k]) {
				continue
			}
			near = index.Search(side, near[:0])
			beside = beside[:0]
			for _, n := range near {
				if s, ok := alongside(line[a-1], line[a], others[n][0], others[n][1], slackM); ok {
					beside = append(beside, s)
					length += (s.to - s.from) * distance(line[a-1], line[a])
				}
			}
			if len(walls) == 0 {
				continue
			}
			sort.Slice(beside, func(i, k int) bool { return beside[i].from < beside[k].from })
			for _, s := range beside {
				for _, piece := range unwalled(line[a-1], line[a], s, walls) {
					if distance(at, piece[0]) > slackM {
						open = 0
					}
					open, at = open+distance(piece[0], piece[1]), piece[1]
					widest = math.Max(widest, open)
				}
			}
		}
	}
	if len(walls) > 0 {
		length = widest
	}
	return length >= width-slackM
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
