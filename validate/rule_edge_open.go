// Ramps and gates that open nothing, or more than they lie in, and those whose
// ends stand in mown ground, of edge-setback.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// longOpenings tells of ramps and gates that are too long to open anything.
func (r *run) longOpenings() {
	r.openings()
	for i := range r.crossings {
		c := &r.crossings[i]
		limit := r.of(c.f).OpeningMaxM
		if c.length <= limit+slackM {
			continue
		}
		x := r.finding(r.middle(c.f), c.f)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = c.length, limit, "m"
		x.Message = fmt.Sprintf("this %s is %s long, with those that it joins; past %s it opens no edge", c.kind, metresPast(c.length, limit), metres(limit))
	}
}

// openedBehind tells of gates that open a wall behind the fence they lie in, or a
// fence behind their wall, and of ramps at a kerb that open a drop, without lying
// on it: whether both are open is not said. And of pieces of fence or wall right in
// a gate of another: what closes it, or what was taken out for it.
func (r *run) openedBehind() {
	r.closedAgain()
	r.openedBothSides()
	told := map[[2]*Feature]bool{}
	for i := range r.openings() {
		o := &r.openingSet[i]
		if o.long {
			continue
		}
		for _, f := range r.Of(schema.RoleEdge) {
			if !f.usable() || !opens(o.kind, edgeKind(f)) || !f.bound.Pad(o.reach).Intersects(segmentBox(o.a, o.b)) || told[[2]*Feature{o.f, f}] {
				continue
			}
			off := f.middleOff(o)
			if off > o.reach || off <= o.reach-besideM+slackM || off <= f.growth()+slackM {
				continue
			}
			for _, g := range r.Of(schema.RoleEdge) {
				if !g.usable() || edgeKind(g) == edgeKind(f) || !opens(o.kind, edgeKind(g)) || g.middleOff(o) > o.reach-besideM+slackM {
					continue
				}
				told[[2]*Feature{o.f, f}] = true
				x := r.finding(r.Place(orb.Point{(o.a[0] + o.b[0]) / 2, (o.a[1] + o.b[1]) / 2}), o.f, f)
				x.Severity = Warning
				x.Measured, x.Limit, x.Unit = off, f.growth(), "m"
				x.Message = fmt.Sprintf("lies in the %s and counts as open through the %s %s off too: look whether that has a %s; if so draw one on it, else draw it more than %s behind",
					kindWords(edgeKind(g), g), kindWords(edgeKind(f), f), metres(off), o.kind, metres(besideM))
				break
			}
		}
	}
}

// openedBothSides tells of gates and ramps that lie between two edges, farther
// apart than besideM, and count as open through both: which of them they lie in is
// not said.
func (r *run) openedBothSides() {
	told := map[[2]*Feature]bool{}
	var by []*Feature
	for i := range r.openings() {
		o := &r.openingSet[i]
		if o.long {
			continue
		}
		by = by[:0]
		for _, f := range r.Of(schema.RoleEdge) {
			if f.usable() && opens(o.kind, edgeKind(f)) && f.bound.Pad(o.reach).Intersects(segmentBox(o.a, o.b)) && f.middleOff(o) <= o.reach {
				by = append(by, f)
			}
		}
		for k, f := range by {
			for _, g := range by[:k] {
				apart := o.apart(f.nearestTo(o.middle()), g.nearestTo(o.middle()))
				if apart <= besideM+slackM || apart <= f.growth()+g.growth()+slackM || told[[2]*Feature{g, f}] {
					continue
				}
				told[[2]*Feature{g, f}] = true
				x := r.finding(r.Place(o.middle()), o.f, g, f)
				x.Severity = Warning
				x.Measured, x.Limit, x.Unit = apart, besideM, "m"
				x.Message = fmt.Sprintf("lies between %s and %s, %s apart, and counts as open through both: draw it on the one that it is in, and another on the other if that has one", g.describe(), f.describe(), metres(apart))
			}
		}
	}
}

// apart is how far apart in metres two points are across a stretch, 0 where either
// lies past its ends.
func (o *opening) apart(p, q orb.Point) float64 {
	t := axesOf(o.a, o.b)
	p, q = t.turn(p), t.turn(q)
	if math.Min(p[0], q[0]) <= slackM || math.Max(p[0], q[0]) >= t.length-slackM {
		return 0
	}
	return math.Abs(p[1] - q[1])
}

// closedAgain tells of a wall or fence that lies with its whole length in a gate
// of another.
func (r *run) closedAgain() {
	for i := range r.openings() {
		o := &r.openingSet[i]
		if o.long || o.kind != schema.EdgeGate {
			continue
		}
		box := segmentBox(o.a, o.b).Pad(crossingM)
		var through, piece *Feature
		for _, f := range r.Of(schema.RoleEdge) {
			if !f.usable() || !opens(o.kind, edgeKind(f)) || !f.bound.Intersects(box) || f.middleOff(o) > o.reach+slackM {
				continue
			}
			if box.Contains(f.bound.Min) && box.Contains(f.bound.Max) {
				piece = f
			} else {
				through = f
			}
		}
		if piece == nil || through == nil {
			continue
		}
		x := r.finding(r.middle(piece), piece, o.f)
		x.Severity = Warning
		x.Message = fmt.Sprintf("lies with its whole length in %s, which opens %s: if it closes the gate, take the gate out; if it was taken away, take it out", o.f.describe(), through.describe())
	}
}

// endsInMown tells of gates and ramps whose ends, of several leaves the two
// farthest apart, stand in mown ground or nearer to it than a wall or kerb may,
// where no edge goes on that is told itself. A gate hangs on something there, and
// what leads through nothing that stands is no gate. The side of a ramp is a step
// there, as high as it rises, unless it lies in ground that rises as it does.
func (r *run) endsInMown(zones *solids) {
	done := map[*Feature]bool{}
	for i := range r.crossings {
		c := &r.crossings[i]
		if done[c.f] {
			continue
		}
		group := r.openingGroup(c)
		rise := 0.0
		for _, f := range group {
			done[f] = true
			if c.kind == schema.EdgeRamp {
				rise = math.Max(rise, r.sideOfRamp(f))
			}
		}
		if c.kind == schema.EdgeRamp && rise <= r.of(c.f).StepMaxM+1e-9 {
			continue
		}
		a, b := farthestPair(pointsOf(group))
		if !r.endInMown(c, a, rise, zones) && a != b { // one says it of both
			r.endInMown(c, b, rise, zones)
		}
	}
}

// sideOfRamp is how high in metres the side of a ramp stands, by its own words
// and what it leads over; 0 for one that has heights which rise so.
func (r *run) sideOfRamp(f *Feature) float64 {
	says := r.rampSays(f)
	_, rise := r.ledgeUnder(f)
	if rise = math.Max(rise, says.rise); says.slope > 0 {
		rise = math.Max(rise, says.slope/100*says.length)
	}
	if risen, _, known := r.rampRises(f, &rampWords{}, true); known && risen >= rise-r.of(f).StepMaxM {
		return 0
	}
	return rise
}

func (r *run) endInMown(c *declared, p orb.Point, rise float64, zones *solids) bool {
	need := r.of(c.f).HardEdgeStripM
	gauge := plane.NewGauge(p)
	for _, i := range zones.near(p.Bound().Pad(need)) {
		n := r.netOf(i)
		if len(n.areas) == 0 {
			continue
		}
		d, _, q, near := n.within(gauge, need)
		if !near || d >= need-slackM || r.edgeGoesOn(c.kind, p, need, n) {
			continue
		}
		z := zones.features[i]
		if !n.ok {
			r.cannot("what keep-outs leave of %s cannot be told", z.describe())
			continue
		}
		x := r.finding(r.Place(p), z, c.f)
		x.Measured, x.Limit, x.Unit = d, need, "m"
		x.Trace = r.trace(p, q)
		where := "in its mown ground"
		if d > 0 {
			where = metresPast(d, need) + " from its mown ground"
		}
		if c.kind == schema.EdgeRamp {
			x.Message = fmt.Sprintf("%s ends %s and rises %s: its side is a step there. Draw a keep-out along its sides, or give its line heights where it lies in ground that rises so", c.f.describe(), where, metres(rise))
		} else {
			x.Message = fmt.Sprintf("%s ends %s, where no wall or fence goes on: the post or leaf there is run into. Draw the wall or fence that it leads through, or a keep-out round each post; a line where nothing stands is no gate", c.f.describe(), where)
		}
		return true
	}
	return false
}

// edgeGoesOn reports whether at the end of a gate or ramp an edge goes on that it
// would open, and that is told for coming too near to the mown ground.
func (r *run) edgeGoesOn(kind string, p orb.Point, need float64, n *net) bool {
	for _, f := range r.Of(schema.RoleEdge) {
		if !f.usable() || !opens(kind, edgeKind(f)) || !f.bound.Pad(crossingM).Contains(p) {
			continue
		}
		for _, l := range r.barrier(f) {
			g := plane.NewGauge(l)
			if _, _, _, near := plane.NewGauge(p).Within(g, crossingM); !near {
				continue
			}
			if d, _, _, near := n.within(g, need); near && d < need-slackM {
				return true
			}
		}
	}
	return false
}

// besideGapM is how far beside its gap, in metres, a gate may be drawn by a slip (starting
// value from memory).
const besideGapM = 3.0

// fenceEnd is an end of an open line of a fence or a wall, with the point before it, that
// meets no other.
type fenceEnd struct {
	f        *Feature
	at, back orb.Point
}

// fenceEnds are those of a plan, none where there are too many to compare.
func (r *run) fenceEnds() (out []fenceEnd) {
	for _, f := range r.usableOf(schema.RoleEdge) {
		if !holdsUp(f) {
			continue
		}
		for _, l := range f.lines() {
			if n := len(l); n > 1 && l[0] != l[n-1] {
				out = append(out, fenceEnd{f, l[0], l[1]}, fenceEnd{f, l[n-1], l[n-2]})
			}
		}
	}
	if len(out) > mostKerbEnds {
		return nil
	}
	meets := func(e fenceEnd) bool {
		for _, f := range r.usableOf(schema.RoleEdge) {
			if !holdsUp(f) || !f.bound.Pad(crossingM).Contains(e.at) {
				continue
			}
			for _, l := range f.lines() {
				own := f == e.f && (l[0] == e.at && l[1] == e.back || l[len(l)-1] == e.at && l[len(l)-2] == e.back)
				if _, _, _, near := plane.NewGauge(e.at).Within(plane.NewGauge(l), crossingM); near && !own {
					return true
				}
			}
		}
		return false
	}
	return slices.DeleteFunc(out, meets)
}

// gatesBesideGaps records corridors through a gap of a fence whose gate is drawn beside it,
// and through gates into which the fence reaches.
func (r *run) gatesBesideGaps(list []corridorLine) {
	r.openings() // which measures the gates
	if !slices.ContainsFunc(r.crossings, func(c declared) bool { return c.kind == schema.EdgeGate }) {
		return
	}
	ends := r.fenceEnds()
	for i := range ends {
		for k := range ends[:i] {
			a, b := &ends[k], &ends[i]
			d := distance(a.at, b.at)
			if d > crossingM && d <= kerbGapM+slackM && angleBetween(bearingOf(a.back, a.at), bearingOf(a.at, b.at)) <= 30 && angleBetween(bearingOf(b.back, b.at), bearingOf(b.at, a.at)) <= 30 {
				r.gapBesideGate(a, b, ends, list)
			}
		}
	}
	for i := range r.openingSet {
		if o := &r.openingSet[i]; o.kind == schema.EdgeGate && !o.long {
			r.fenceInGate(o, ends, list)
		}
	}
}

// gapBesideGate judges one gap.
func (r *run) gapBesideGate(a, b *fenceEnd, ends []fenceEnd, list []corridorLine) {
	gap := orb.LineString{a.at, b.at}
	var beside *Feature
	least := besideGapM + slackM
	for i := range r.crossings {
		g := &r.crossings[i]
		if g.kind != schema.EdgeGate || len(g.ends) == 0 || !g.f.bound.Pad(least).Intersects(boundOf(gap)) {
			continue
		}
		p, q := farthestPair(g.ends)
		d, _, _, near := plane.NewGauge(orb.LineString{p, q}).Within(plane.NewGauge(gap), least)
		switch {
		case near && d <= crossingM+slackM:
			return // it is the gate's
		case !near || !sideBySide(orb.Point{q[0] - p[0], q[1] - p[1]}, orb.Point{b.at[0] - a.at[0], b.at[1] - a.at[1]}) || fitsEnds(p, q, ends):
		default:
			beside, least = g.f, d
		}
	}
	if beside == nil {
		return
	}
	for i := range list {
		if c := &list[i]; boundOf(gap).Intersects(boundOf(c.pts)) && len(appendPassed(nil, c.pts, a.f, gap)) > 0 {
			r.cannot("%s leads through a gap of %s between %s and %s, and %s is drawn %s beside it: which of the two is the way through cannot be told; measure the gate from post to post, and end the fence at it", c.f.describe(), metres(distance(a.at, b.at)), a.f.describe(), b.f.describe(), beside.describe(), metres(least))
			return
		}
	}
}

// fitsEnds reports whether the ends of a gate are both at an end of a fence.
func fitsEnds(p, q orb.Point, ends []fenceEnd) bool {
	at := func(p orb.Point) bool {
		return slices.ContainsFunc(ends, func(e fenceEnd) bool { return distance(e.at, p) <= crossingM })
	}
	return at(p) && at(q)
}

// fenceInGate judges one stretch of a gate that an end of a fence may reach into.
func (r *run) fenceInGate(o *opening, ends []fenceEnd, list []corridorLine) {
	t := axesOf(o.a, o.b)
	for i := range ends {
		e := &ends[i]
		at, back := t.turn(e.at), t.turn(e.back)
		in := t.length - at[0] // how far it reaches in
		if back[0] < at[0] {
			in = at[0]
		}
		if !(in > crossingM+slackM && in < t.length-slackM) || math.Abs(at[1]) > crossingM || math.Abs(back[1]-at[1]) > math.Abs(back[0]-at[0]) {
			continue
		}
		for k := range list {
			c := &list[k]
			for _, p := range appendPassed(nil, c.pts, o.f, orb.LineString{o.a, o.b}) {
				free := t.turn(p.at)[0] - at[0]
				if back[0] > at[0] {
					free = -free
				}
				if half := r.of(c.f).PassageMinM / 2; free < half-slackM {
					r.cannot("%s leads through %s, and %s reaches %s into that: which of the two is drawn too long cannot be told; the way needs %s to either side of it; draw the gate from post to post, and end the fence at it", c.f.describe(), o.f.describe(), e.f.describe(), metres(in), metres(half))
					return
				}
			}
		}
	}
}
