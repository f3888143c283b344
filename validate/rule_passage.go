// Rules on what keep-outs leave of a zone: zone-split, passage-narrow.

package validate

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var passageRules = []Rule{
	{
		Name: RuleZoneSplit, Severity: Error, Limits: []string{"machine_width_m"}, Over: all(schema.RoleZone), run: checkZoneSplit,
		Page: Page{
			What: "Into how many pieces a zone falls once its keep-outs are taken out, and the area of all but the largest. Pieces in which no circle of the machine's width " +
				"fits are left aside: nothing could be mown there anyway.",
			Why:    "The machine enters a zone at one place. What lies behind a keep-out that reaches from edge to edge is never mown.",
			Source: sourcePractice,
			Fails:  "a strip of keep-out right across a lawn",
			Passes: "the same strip with a gap of 2 m at one end",
			Mend:   "open a way past the keep-out, or draw two zones with a corridor between them",
		},
	},
	{
		Name: RulePassageNarrow, Severity: Warning, Limits: []string{"passage_min_m", "machine_width_m"}, Over: all(schema.RoleZone), run: checkPassageNarrow,
		Page: Page{
			What: "The narrowest place, with its two points, of every passage through a zone without its keep-outs: between two sides of the outline, a side and a keep-out, or two keep-outs; and the widest piece of the edge or ground that two zones share (gaps and overlaps of up to 0.05 m are edge in common, a wall, fence or drop within 0.3 m of it shuts it), where neither a corridor, a dock nor another zone leads from one to the other. " +
				"Where a passage ends at an edge that zones share and nothing stands there, it is measured on the zones together. " +
				"A tip of the ground, of an outline or between the sides of one keep-out or hole, that is narrower than the machine and reaches farther out than a corner of 20 degrees does (4.76 times half the machine's width) is told with its length; so is a tooth, one point between two sides that lean by less than 12 degrees, of more than 0.15 m. " +
				"A passage has to be passage_min_m and never less than the machine's width. " +
				"Narrower than the machine is an error when there is no way around. Ground mown between two posts of a row, as corridor-narrow knows them, is unchecked where no gate is drawn: a wire may hang there. A millimetre is rounding.",
			Why:    "Through a gap the machine has to steer exactly, between two edges, often where a wall hides the sky: there it gets stuck, or wears a track.",
			Source: sourcePractice,
			Fails:  "two lawns joined by a neck 1.1 m wide, limit 1.5 m",
			Passes: "the same neck 2 m wide",
			Mend:   "widen the passage, close it with a keep-out, or draw two zones with a corridor through it",
		},
	},
}

// throatPoints is the most points of an outline in which passages are looked
// for. The search looks at everything within the passage's width of each point,
// which in a dense tangle of lines is everything.
const throatPoints = 20000

// needNets calls visit with what is left of every zone, and records the zones
// of which it is not known.
func (r *run) needNets(visit func(i int, f *Feature, n *net)) {
	zones := r.needZones()
	for _, why := range r.keepouts().why {
		r.cannot("%s", why)
	}
	for i, f := range zones.features {
		n := r.netOf(i)
		if !n.ok {
			if len(r.keepouts().why) == 0 {
				r.cannot("what keep-outs leave of %s cannot be told", f.describe())
			}
			continue
		}
		visit(i, f, n)
	}
}

func checkZoneSplit(r *run) {
	if !r.onGround() {
		return
	}
	r.needNets(func(i int, f *Feature, n *net) {
		open := r.openOf(i, n)
		if len(open) == 0 {
			x := r.finding(r.middle(f), f)
			x.Measured, x.Limit, x.Unit = 0, 1, "count"
			x.Message = "keep-outs leave nothing of it"
			return
		}
		if len(open) == 1 {
			return
		}
		type piece struct {
			area, depth float64
			at          orb.Point
			shell       orb.Ring
		}
		var pieces []piece
		width := r.of(f).MachineWidthM
		for _, p := range open {
			at, depth := plane.GreatestDepth(p, depthTolerance)
			if 2*depth >= width {
				pieces = append(pieces, piece{plane.Area(p), depth, at, p[0]})
			}
		}
		if len(pieces) < 2 {
			return
		}
		sort.SliceStable(pieces, func(a, b int) bool { return pieces[a].area > pieces[b].area })
		x := r.finding(r.Place(pieces[1].at), f)
		x.Measured, x.Limit, x.Unit = float64(len(pieces)), 1, "count"
		x.AreaM2 = 0
		for _, p := range pieces[1:] {
			x.AreaM2 += p.area
		}
		x.Trace = r.trace(pieces[1].shell...)
		what := "keep-outs split it"
		if len(f.Areas) > 1 && len(open) == len(f.Areas) {
			what = "it is drawn"
		}
		x.Message = fmt.Sprintf("%s in %d pieces; all but the largest have %s", what, len(pieces), squareMetres(x.AreaM2))
	})
}

func checkPassageNarrow(r *run) {
	if !r.onGround() {
		return
	}
	r.rowsMown()
	var past []plane.Throat // told of zones together
	told := map[int][]plane.Throat{}
	r.needNets(func(i int, f *Feature, n *net) {
		limit := passageOf(r.of(f))
		for _, p := range r.openOf(i, n) {
			if points := countPoints(orb.MultiPolygon{p}); points > throatPoints {
				r.cannot("%s has an outline of %d points; passages are looked for up to %d", f.describe(), points, throatPoints)
				continue
			}
			var joined *joinedGround
			var own []plane.Throat // told of this zone
			for _, t := range plane.Throats(p, limit-slackM) {
				tell, list := []plane.Throat{t}, r.beyond(i, t, limit)
				if list != nil {
					if joined == nil || !slices.Equal(joined.zones, list) {
						joined = r.together(list)
					}
					tell = throatsPast(t, joined, limit)
				}
				for _, t := range tell {
					if anyThroat(past, t) || list != nil && anyThroat(own, t) {
						continue
					}
					if own = append(own, t); list != nil {
						past = append(past, t)
					}
					if len(own) > mostFindings {
						break
					}
					told[i] = append(told[i], t)
					r.tellThroat(f, t, limit)
				}
				if len(own) > mostFindings {
					r.findings[len(r.findings)-1].Message += " (and there are more)"
					break
				}
			}
		}
	})
	r.narrowContacts()
	r.narrowTips(told)
}

// tellThroat reports a passage through a zone.
func (r *run) tellThroat(f *Feature, t plane.Throat, limit float64) {
	machine := r.of(f).MachineWidthM
	x := r.finding(r.Place(orb.Point{(t.P[0] + t.Q[0]) / 2, (t.P[1] + t.Q[1]) / 2}), r.flanks(f, t)...)
	x.Measured, x.Limit, x.Unit = t.Width, limit, "m"
	x.Trace = r.trace(t.P, t.Q)
	x.Message = fmt.Sprintf("narrows to %s; a passage needs %s", metresPast(t.Width, limit), metres(limit))
	if t.Cut > 0 {
		x.AreaM2 = t.Cut
	}
	if t.Width < machine-slackM {
		x.Message = fmt.Sprintf("narrows to %s; the machine is %s wide", metresPast(t.Width, machine), metres(machine))
		if t.Cut > 0 {
			x.Severity = Error
			x.Message += fmt.Sprintf(", and nothing else leads to the %s beyond", squareMetres(t.Cut))
		}
	}
}

// narrowContacts tells zones between which nothing leads but edge or ground in
// common that is no passage.
func (r *run) narrowContacts() {
	zones := r.zones()
	var narrow []contact
	for _, c := range r.contacts() {
		if !c.wide && r.netOf(c.a).ok && r.netOf(c.b).ok {
			narrow = append(narrow, c)
		}
	}
	unclear, known := r.unclearZones()
	if len(narrow) == 0 || !known {
		return
	}
	type neck struct {
		contact
		width float64
		line  orb.LineString
	}
	var necks []neck
	docks := zones.len() + len(unclear)
	parts := newSets(docks + 1)
	for _, c := range narrow {
		width, _, line := r.sharedWidth(r.netOf(c.a).areas, r.netOf(c.b).areas)
		if edge, from, to := r.sharedEdge(zones, c.a, c.b); edge > width {
			width, line = edge, orb.LineString{from, to}
		}
		if width >= r.passageBetween(zones, c.a, c.b)-slackM {
			parts.join(c.a, c.b)
			continue
		}
		if len(line) > 0 {
			necks = append(necks, neck{c, width, line})
		}
	}
	if len(necks) == 0 {
		return
	}
	for _, c := range r.contacts() {
		if c.wide {
			parts.join(c.a, c.b)
		}
	}
	for _, j := range r.corridorJoins(zones, unclear) {
		if j.a == atDock {
			j.a = docks
		}
		if j.b == atDock {
			j.b = docks
		}
		parts.join(j.a, j.b)
	}
	for u, box := range unclear {
		for _, k := range zones.near(box.Pad(slackM)) {
			parts.join(zones.len()+u, k)
		}
	}
	for _, n := range necks {
		if parts.root(n.a) == parts.root(n.b) {
			continue
		}
		f, other := zones.features[n.a], zones.features[n.b]
		limit := r.passageBetween(zones, n.a, n.b)
		p, q := n.line[0], n.line[len(n.line)-1]
		x := r.finding(r.Place(orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}), f, other)
		x.Measured, x.Limit, x.Unit = n.width, limit, "m"
		x.Trace = r.trace(n.line...)
		x.Message = fmt.Sprintf("nothing leads from it to %s but %s of edge or ground in common; a passage needs %s: draw a corridor through it, or let them share more", other.describe(), metresPast(n.width, limit), metres(limit))
		if machine := math.Min(r.of(f).MachineWidthM, r.of(other).MachineWidthM); n.width < machine-slackM {
			x.Severity = Error
			x.Message = fmt.Sprintf("nothing leads from it to %s but pieces of edge in common, the widest %s; the machine is %s wide: draw a corridor", other.describe(), metresPast(n.width, machine), metres(machine))
		}
	}
}

// flanks returns the zone and the keep-outs that a throat's ends lie on.
func (r *run) flanks(zone *Feature, t plane.Throat) []*Feature {
	out := []*Feature{zone}
	keepouts := r.keepouts()
	box := orb.LineString{t.P, t.Q}.Bound().Pad(slackM)
	for _, k := range keepouts.near(box) {
		f := keepouts.features[k]
		for _, p := range [...]orb.Point{t.P, t.Q} {
			if d, _ := keepouts.locator(k).DistanceToBoundary(p); d <= slackM {
				out = append(out, f)
				break
			}
		}
	}
	return out
}

// curved reports whether outlines of the role are checked for coarse curves.
func curved(role schema.Role) bool {
	return role == schema.RoleZone || role == schema.RoleKeepout
}
