// Ramps and gates that open nothing, or more than they lie in, and those whose
// ends stand in mown ground, of edge-setback.

package validate

import (
	"fmt"
	"math"

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
