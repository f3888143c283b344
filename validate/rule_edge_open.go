// Ramps and gates that open nothing, or more than they lie in, and gates whose
// posts stand in mown ground, of edge-setback.

package validate

import (
	"fmt"

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

// postsInMown tells of gates whose ends, of several leaves the two farthest
// apart, stand in mown ground or nearer to it than a wall may, where no wall or
// fence goes on that is told itself: a gate hangs on something there, and what
// leads through nothing that stands is no gate.
func (r *run) postsInMown(zones *solids) {
	done := map[*Feature]bool{}
	for i := range r.crossings {
		c := &r.crossings[i]
		if c.kind != schema.EdgeGate || done[c.f] {
			continue
		}
		need := r.of(c.f).HardEdgeStripM
		group := r.openingGroup(c)
		for _, f := range group {
			done[f] = true
		}
		a, b := farthestPair(pointsOf(group))
		posts := []orb.Point{a, b}
		if a == b {
			posts = posts[:1]
		}
		for _, p := range posts {
			if r.postInMown(c.f, p, need, zones) {
				break // one says it of both
			}
		}
	}
}

func (r *run) postInMown(gate *Feature, p orb.Point, need float64, zones *solids) bool {
	gauge := plane.NewGauge(p)
	for _, i := range zones.near(p.Bound().Pad(need)) {
		n := r.netOf(i)
		if len(n.areas) == 0 {
			continue
		}
		d, _, q, near := n.within(gauge, need)
		if !near || d >= need-slackM || r.fenceGoesOn(p, need, n) {
			continue
		}
		z := zones.features[i]
		if !n.ok {
			r.cannot("what keep-outs leave of %s cannot be told", z.describe())
			continue
		}
		x := r.finding(r.Place(p), z, gate)
		x.Measured, x.Limit, x.Unit = d, need, "m"
		x.Trace = r.trace(p, q)
		where := "in its mown ground"
		if d > 0 {
			where = metresPast(d, need) + " from its mown ground"
		}
		x.Message = fmt.Sprintf("%s ends %s, where no wall or fence goes on: the post or leaf there is run into. Draw the wall or fence that it leads through, or a keep-out round each post; a line where nothing stands is no gate", gate.describe(), where)
		return true
	}
	return false
}

// fenceGoesOn reports whether at the end of a gate a wall or fence goes on that
// is told for coming too near to the mown ground.
func (r *run) fenceGoesOn(p orb.Point, need float64, n *net) bool {
	for _, f := range r.Of(schema.RoleEdge) {
		if !f.usable() || !opens(schema.EdgeGate, edgeKind(f)) || !f.bound.Pad(crossingM).Contains(p) {
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
