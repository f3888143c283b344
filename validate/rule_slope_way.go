// Heights of ways against what lies on them, of slope-limit: edges that a corridor
// or the way into a dock goes over, and marks and lines on it.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayWays is what the page of the rule says of this.
const sayWays = "" +
	"Ramps, gates, kerbs and drops that such a way leads over are unchecked past step_max_m, since they may be measured at their foot or top; where the way comes from as low and goes on as high, what a ramp rises by its own word, or along the way, is let pass besides. " +
	"In the way into a dock all this is held to dock_slope_max_percent and a step of 0.05 m, up to 0.3 m (of two things up to step_max_m) as unchecked, and so is a mark, a point or line of the role other that lies in it. " +
	"Any two things that a way leads over less than 2 m apart are held to step_max_m beyond what slope_max_percent allows between them: unchecked where one is a ramp, gate, kerb or drop. "

// raisedWay is a corridor, or the way into a dock from the end of the corridor
// that serves it, with its heights.
type raisedWay struct {
	f     *Feature
	sides *raisedSides
	half  float64 // of the machine
	words string  // what it is beside the feature
	dock  bool    // whether it is the way into one
}

// dockStepM is the step in metres that the way into a dock may have beyond its slope: as
// much as two heights taken with RTK differ by on level ground.
const dockStepM = acrossNoiseM

// gentle are the slope and the step at something on a way that are none: in the way into
// a dock those that the machine, which drives blind there, still meets its contacts by.
func (w *raisedWay) gentle(r *run, f *Feature) (slope, may float64) {
	slope, may = r.slopeOf(f, w.f)/100, r.stepMay(f, w.f)
	if w.dock {
		slope = math.Min(slope, r.of(w.f).DockSlopeMaxPercent/100)
		may = math.Min(may, math.Max(dockStepM, r.scatterOf(f, w.f)))
	}
	return slope, may
}

func (r *run) raisedWays() []raisedWay {
	var out []raisedWay
	for i := range r.corridors() {
		c := &r.corridorList[i]
		if c.line.Heights == nil || r.clamped(c.f) {
			continue
		}
		out = append(out, raisedWay{c.f, c.raised(), r.halfWidth(c.f), "", false})
		for k := range c.ends {
			e := &c.ends[k]
			if e.dock == nil || r.clamped(e.dock.f) {
				continue
			}
			at := c.at[e.v]
			way := newRaisedSides(1)
			way.add(&raised{read: c.line.Read[at], ground: c.pts[e.v], h: c.line.Heights[at]}, &raised{read: e.dock.vertex.Read, ground: e.dock.at, h: e.dock.vertex.Height})
			out = append(out, raisedWay{e.dock.f, way, r.halfWidth(e.dock.f), "the way into ", true})
		}
	}
	return out
}

// onWays compares what ways lead over with them: flush edges, ramps, gates, kerbs
// and drops, what is driven over by its own word, and marks.
func (r *run) onWays() {
	ways := r.raisedWays()
	for i := range ways {
		w := &ways[i]
		if len(w.sides.sides) == 0 {
			continue
		}
		near := w.sides.bound.Pad(w.half)
		var under []underWay
		for _, f := range r.Of(schema.RoleEdge) {
			if f.bound.Intersects(near) && f.usable() && !r.clamped(f) {
				switch kind := edgeKind(f); kind {
				case schema.EdgeFlush, schema.EdgeRamp, schema.EdgeGate, schema.EdgeKerb, schema.EdgeDrop:
					under = r.underWay(under, w, f, kind)
				}
			}
		}
		for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther} {
			for _, f := range r.Of(role) {
				switch {
				case !f.bound.Intersects(near) || !f.usable() || r.clamped(f):
				case isPatch(f):
					under = r.underWay(under, w, f, schema.EdgeFlush)
				default:
					r.pointsOnWay(f, w)
				}
			}
		}
		r.pairsUnderWay(w, under)
		offs := r.offs()
		for n := range offs {
			if f := &offs[n]; groundWhenOff(f) && !r.clamped(f) {
				r.pointsOnWay(f, w)
			}
		}
	}
}

// underWay is a place at which a way leads over something.
type underWay struct {
	raised
	f    *Feature
	kind string
	rise float64 // in metres, of the ramp there: what a difference may be more
}

// underWay compares what a way leads over with the way, and adds the places where
// it does to those known. A flush edge is told where it is not as high as the way
// there; what is off by less than stepRiseM between two points cannot be told, as
// of outlines. Nor can it of ramps, gates, kerbs and drops at all, which are
// measured at their foot or at their top; what a ramp rises there by its own word
// is let pass where the way comes from as low and goes on as high.
func (r *run) underWay(known []underWay, w *raisedWay, f *Feature, kind string) []underWay {
	own := r.edgeHeights(f)
	spots := len(f.Points) > 0 && kind == schema.EdgeFlush
	if len(own.sides) == 0 && !spots {
		return known
	}
	slope, may := w.gentle(r, f)
	rise := 0.0
	if kind != schema.EdgeFlush {
		rise = r.riseAt(f, kind, own, w)
	}
	worst, from, to := math.Inf(-1), raised{}, raised{}
	take := func(p raised) {
		beyond, on, side := w.wayStep(p, slope)
		if side == nil {
			return
		}
		known = append(known, underWay{p, f, kind, rise})
		if low, high := min(side[0].h, side[1].h)-may, max(side[0].h, side[1].h)+may; rise > 0 && p.h >= low && p.h <= high {
			beyond -= rise // the way comes from below it and goes on above
		}
		if beyond > worst {
			worst, from, to = beyond, on, p
		}
	}
	w.over(own, take)
	for i := range f.Points {
		if v := &f.Points[i]; spots && v.Height == v.Height {
			take(raised{read: v.Read, ground: v.Ground, h: v.Height})
		}
	}
	switch {
	case worst <= may+1e-9:
	case kind == schema.EdgeRamp && r.toldOf(f, w.f):
	case kind != schema.EdgeFlush:
		r.cannot("%s lies %s off the height of %s%s, which leads over it: whether that is a step cannot be told; give the way a height there, and a ramp its slope_percent, or rise_m and length_m, or take the height away where it is that of the top of something", f.describe(), metres(math.Abs(to.h-from.h)), w.words, w.f.describe())
	case worst <= math.Max(may, stepRiseM)+1e-9:
		r.cannot("%s is off the height of %s%s by %s where it lies on it: whether that is a step cannot be told from heights that far apart; give the way a height there", f.describe(), w.words, w.f.describe(), metres(math.Abs(to.h-from.h)))
	default:
		x := r.finding(r.Place(from.ground), w.f, f)
		x.Measured, x.Limit, x.Unit = worst, may, "m"
		x.Trace = r.trace(from.ground, to.ground)
		x.Message = fmt.Sprintf("%s%s is %s off the height of %s, which lies on it: a step, or a height that is wrong; the limit is %s", w.words, w.f.describe(), metres(math.Abs(to.h-from.h)), f.describe(), metres(may))
	}
	return known
}

// riseAt is by how much in metres the way rises at a ramp, or at what ramps lead
// over on a way: what those say of themselves, and a drop of its height.
func (r *run) riseAt(f *Feature, kind string, own *raisedSides, w *raisedWay) (rise float64) {
	switch kind {
	case schema.EdgeRamp:
		if rise = r.rampRise(f); rise == 0 && own.high > own.low {
			if _, along := r.waysOver(f); along {
				rise = own.high - own.low // rampSlope judges how steep that is
			}
		}
		return rise
	case schema.EdgeGate:
		return 0
	}
	for i := range r.openings() {
		o := &r.openingSet[i]
		if opens(o.kind, kind) && segmentBox(o.a, o.b).Intersects(w.sides.bound.Pad(w.half)) && f.middleOff(o) <= o.reach+slackM {
			rise = max(rise, r.rampRise(o.f))
		}
	}
	return rise
}

// rampRise is the rise in metres that a ramp tells of itself, 0 for none.
func (r *run) rampRise(f *Feature) float64 {
	for _, key := range [...]string{"rise_m", schema.PropHeightM} {
		if rise, ok := f.Float(key); ok && rise != 0 {
			return math.Abs(rise)
		}
	}
	if said := slopeSaid(f); said.key != "" {
		for _, key := range [...]string{"length_m", "run_m"} {
			if length, ok := f.Float(key); ok && length > 0 {
				return said.percent / 100 * length
			}
		}
	}
	if _, rise := r.ledgeUnder(f); rise > 0 {
		return rise
	}
	return 0
}

// pairsUnderWay compares with one another what a way leads over less than
// slopeBaseM apart: two may each be near the way's height, the one above and the
// other below.
func (r *run) pairsUnderWay(w *raisedWay, under []underWay) {
	type pair struct {
		a, b   *underWay
		beyond float64
	}
	worst := map[[2]int]*pair{}
	var order [][2]int
	for i := range under {
		a := &under[i]
		for k := i + 1; k < len(under); k++ {
			b := &under[k]
			step := math.Abs(a.h - b.h)
			if step <= 1e-9 || a.f == b.f && a.kind != schema.EdgeFlush {
				continue
			}
			may, slope := w.gentleBetween(r, a.f, b.f)
			if step <= may+1e-9 {
				continue
			}
			d := distance(a.ground, b.ground)
			beyond := step - slope*d - a.rise - b.rise
			if d >= slopeBaseM || beyond <= may+1e-9 {
				continue
			}
			key := [2]int{a.f.slot, b.f.slot}
			switch p := worst[key]; {
			case p == nil:
				worst[key] = &pair{a, b, beyond}
				order = append(order, key)
			case beyond > p.beyond:
				*p = pair{a, b, beyond}
			}
		}
	}
	for _, key := range order {
		p := worst[key]
		a, b := p.a, p.b
		if r.toldOf(a.f, b.f) || r.toldOf(a.f, w.f) || r.toldOf(b.f, w.f) {
			continue
		}
		between := metres(math.Abs(a.h-b.h)) + " within " + metres(distance(a.ground, b.ground))
		if a.kind != schema.EdgeFlush || b.kind != schema.EdgeFlush || p.beyond <= math.Max(r.stepMay(a.f, b.f), r.stepMay(a.f, w.f))+1e-9 {
			r.cannot("%s and %s, which %s%s leads over, differ by %s: whether that is a step cannot be told; give the way heights there, and a ramp its slope_percent, or rise_m and length_m", a.f.describe(), b.f.describe(), w.words, w.f.describe(), between)
			continue
		}
		features := []*Feature{w.f, a.f, b.f}
		other := b.f.describe()
		if a.f == b.f {
			features, other = features[:2], "itself"
		}
		may, _ := w.gentleBetween(r, a.f, b.f)
		x := r.finding(r.Place(a.ground), features...)
		x.Measured, x.Limit, x.Unit = p.beyond, may, "m"
		x.Trace = r.trace(a.ground, b.ground)
		x.Message = fmt.Sprintf("%s%s leads over %s and %s, whose heights differ by %s: a step, or a height that is wrong; the limit is %s", w.words, w.f.describe(), a.f.describe(), other, between, metres(may))
	}
}

// gentleBetween is gentle for two things on a way.
func (w *raisedWay) gentleBetween(r *run, a, b *Feature) (may, slope float64) {
	slope, may = w.gentle(r, a)
	other, more := w.gentle(r, b)
	if !w.dock { // the step that the two may make up, or either with the way
		return math.Max(r.stepMay(a, b), r.stepMay(a, w.f)), math.Min(slope, other)
	}
	return math.Max(may, more), math.Min(slope, other)
}

// wayStep is the rise from a place to the nearest of a way less what the slope
// allows, with that place and on what side of the way it is; -Inf and nil farther
// off than half the machine.
func (w *raisedWay) wayStep(p raised, slope float64) (beyond float64, on raised, side *[2]raised) {
	k, d := w.sides.nearest(p.ground)
	if k < 0 || d > w.half {
		return math.Inf(-1), on, nil
	}
	side = &w.sides.sides[k]
	on = heightOn(side, p.ground)
	return math.Abs(p.h-on.h) - slope*distance(p.ground, on.ground), on, side
}

// over visits the places of a line that may lie on a way: its points, those
// beside the way's, and where the two cross.
func (w *raisedWay) over(own *raisedSides, visit func(p raised)) {
	near := w.sides.bound.Pad(w.half)
	var found []int
	for i := range own.sides {
		side := &own.sides[i]
		box := orb.Bound{Min: side[0].ground, Max: side[0].ground}.Extend(side[1].ground)
		if !box.Intersects(near) {
			continue
		}
		visit(side[0])
		visit(side[1])
		found = w.sides.boxes().Search(box.Pad(w.half), found[:0])
		for _, k := range found {
			on := &w.sides.sides[k]
			visit(heightOn(side, on[0].ground))
			visit(heightOn(side, on[1].ground))
			x := plane.Cross(side[0].ground, side[1].ground, on[0].ground, on[1].ground)
			if x.Kind == plane.CrossProper || x.Kind == plane.CrossTouch {
				visit(heightOn(side, x.P))
			}
		}
	}
}

// worstStep is the greatest step between a line and a way it lies on.
func (w *raisedWay) worstStep(own *raisedSides, slope float64) (worst float64, from, to raised) {
	worst = math.Inf(-1)
	w.over(own, func(p raised) {
		if beyond, on, _ := w.wayStep(p, slope); beyond > worst {
			worst, from, to = beyond, on, p
		}
	})
	return worst, from, to
}

// pointsOnWay warns of marks and other points and lines on a way that are not as
// high: one may stand on something, which is in the way all the same.
func (r *run) pointsOnWay(f *Feature, w *raisedWay) {
	slope, may := w.gentle(r, f)
	tell := func(at *Place, beyond float64, p, on raised) {
		if beyond <= stepRiseM+1e-9 {
			if w.dock && f.Active() && beyond > may+1e-9 {
				r.cannot("%s lies in %s%s, %s off its height: whether that is a step cannot be told; measure both again, and level the way or take the thing out of it", f.describe(), w.words, w.f.describe(), metres(math.Abs(p.h-on.h)))
			}
			return
		}
		x := r.finding(at, f, w.f)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = beyond, stepRiseM, "m"
		stands := "stands"
		if !f.Active() {
			stands = "is switched off, and stood"
		}
		x.Message = fmt.Sprintf("%s on %s%s, %s off its height: a step that is not drawn, a thing in the way, or a height that is wrong", stands, w.words, w.f.describe(), metres(math.Abs(p.h-on.h)))
	}
	for i := range f.Points {
		v := &f.Points[i]
		if math.IsNaN(v.Height) {
			continue
		}
		p := raised{read: v.Read, ground: v.Ground, h: v.Height}
		beyond, on, _ := w.wayStep(p, slope)
		tell(r.placeRead(f, v.Read, v.Ground), beyond, p, on)
	}
	if len(f.Lines) == 0 && f.Active() {
		return
	}
	if beyond, on, p := w.worstStep(r.edgeHeights(f), slope); beyond > math.Min(may, stepRiseM) {
		tell(r.Place(p.ground), beyond, p, on)
	}
}
