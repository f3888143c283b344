// Heights of ways against what lies on them, of slope-limit: flush edges that a
// corridor or the way into a dock goes over, and marks that stand on it.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// raisedWay is a corridor, or the way into a dock from the end of the corridor
// that serves it, with its heights.
type raisedWay struct {
	f     *Feature
	sides *raisedSides
	half  float64 // of the machine
	words string  // what it is beside the feature
}

func (r *run) raisedWays() []raisedWay {
	var out []raisedWay
	for i := range r.corridors() {
		c := &r.corridorList[i]
		if c.line.Heights == nil || r.clamped(c.f) {
			continue
		}
		out = append(out, raisedWay{c.f, c.raised(), r.halfWidth(c.f), ""})
		for k := range c.ends {
			e := &c.ends[k]
			if e.dock == nil || r.clamped(e.dock.f) {
				continue
			}
			at := c.at[e.v]
			way := newRaisedSides(1)
			way.add(&raised{c.line.Read[at], c.pts[e.v], c.line.Heights[at]}, &raised{e.dock.vertex.Read, e.dock.at, e.dock.vertex.Height})
			out = append(out, raisedWay{e.dock.f, way, r.halfWidth(e.dock.f), "the way into "})
		}
	}
	return out
}

// onWays compares flush edges and marks with the ways they lie on.
func (r *run) onWays() {
	ways := r.raisedWays()
	for i := range ways {
		w := &ways[i]
		if len(w.sides.sides) == 0 {
			continue
		}
		for _, f := range r.usableOf(schema.RoleEdge) {
			if edgeKind(f) == schema.EdgeFlush && !r.clamped(f) && f.bound.Pad(w.half).Intersects(w.sides.bound) {
				r.flushOnWay(f, w)
			}
		}
		for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther} {
			for _, f := range r.usableOf(role) {
				if len(f.Points) > 0 && !r.clamped(f) && f.bound.Pad(w.half).Intersects(w.sides.bound) {
					r.pointsOnWay(f, w)
				}
			}
		}
	}
}

// wayStep is the rise from a place to the nearest of a way less what the slope
// allows, with both places; -Inf farther off than half the machine.
func (w *raisedWay) wayStep(p raised, slope float64) (beyond float64, on raised) {
	k, d := w.sides.boxes().Nearest(p.ground, func(k int) float64 {
		return distanceToSegment(p.ground, w.sides.sides[k][0].ground, w.sides.sides[k][1].ground)
	})
	if k < 0 || d > w.half {
		return math.Inf(-1), on
	}
	on = heightOn(&w.sides.sides[k], p.ground)
	return math.Abs(p.h-on.h) - slope*distance(p.ground, on.ground), on
}

// flushOnWay tells a flush edge on a way that is not as high as the way there.
// What is off by less than stepRiseM between two points cannot be told, as of
// outlines.
func (r *run) flushOnWay(f *Feature, w *raisedWay) {
	own := r.edgeHeights(f)
	may, slope := r.stepMay(f, w.f), math.Min(r.of(f).SlopeMaxPercent, r.of(w.f).SlopeMaxPercent)/100
	if len(own.sides) == 0 || max(own.high-w.sides.low, w.sides.high-own.low) <= may {
		return
	}
	worst, from, to := math.Inf(-1), raised{}, raised{}
	take := func(p raised) {
		if beyond, on := w.wayStep(p, slope); beyond > worst {
			worst, from, to = beyond, on, p
		}
	}
	var found []int
	for i := range own.sides {
		side := &own.sides[i]
		take(side[0])
		take(side[1])
		found = w.sides.boxes().Search(orb.Bound{Min: side[0].ground, Max: side[0].ground}.Extend(side[1].ground), found[:0])
		for _, k := range found {
			x := plane.Cross(side[0].ground, side[1].ground, w.sides.sides[k][0].ground, w.sides.sides[k][1].ground)
			if x.Kind == plane.CrossProper || x.Kind == plane.CrossTouch {
				take(heightOn(side, x.P))
			}
		}
	}
	switch {
	case worst <= may+1e-9:
	case worst <= math.Max(may, stepRiseM)+1e-9:
		r.cannot("%s is off the height of %s%s by %s where it lies on it: whether that is a step cannot be told from heights that far apart; give the way a height there", f.describe(), w.words, w.f.describe(), metres(math.Abs(to.h-from.h)))
	default:
		x := r.finding(r.Place(from.ground), w.f, f)
		x.Measured, x.Limit, x.Unit = worst, may, "m"
		x.Trace = r.trace(from.ground, to.ground)
		x.Message = fmt.Sprintf("%s%s is %s off the height of %s, which lies on it: a step, or a height that is wrong; the limit is %s", w.words, w.f.describe(), metres(math.Abs(to.h-from.h)), f.describe(), metres(may))
	}
}

// pointsOnWay warns of marks and other points on a way that are not as high: one
// may stand on something, which is in the way all the same.
func (r *run) pointsOnWay(f *Feature, w *raisedWay) {
	slope := math.Min(r.of(f).SlopeMaxPercent, r.of(w.f).SlopeMaxPercent) / 100
	for i := range f.Points {
		v := &f.Points[i]
		if math.IsNaN(v.Height) {
			continue
		}
		if beyond, on := w.wayStep(raised{v.Read, v.Ground, v.Height}, slope); beyond > stepRiseM+1e-9 {
			x := r.finding(r.placeRead(f, v.Read, v.Ground), f, w.f)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = beyond, stepRiseM, "m"
			x.Message = fmt.Sprintf("stands on %s%s, %s off its height: a step that is not drawn, a thing in the way, or a height that is wrong", w.words, w.f.describe(), metres(math.Abs(v.Height-on.h)))
		}
	}
}
