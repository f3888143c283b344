// Heights of ways against what lies on them, of slope-limit: flush edges that a
// corridor or the way into a dock goes over, and marks and lines on it.

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
			way.add(&raised{read: c.line.Read[at], ground: c.pts[e.v], h: c.line.Heights[at]}, &raised{read: e.dock.vertex.Read, ground: e.dock.at, h: e.dock.vertex.Height})
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
				if !r.clamped(f) && f.bound.Pad(w.half).Intersects(w.sides.bound) {
					if isPatch(f) {
						r.flushOnWay(f, w)
					}
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
	may, slope := r.stepMay(f, w.f), r.slopeOf(f, w.f)/100
	if len(own.sides) == 0 || max(own.high-w.sides.low, w.sides.high-own.low) <= may {
		return
	}
	worst, from, to := w.worstStep(own, slope)
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

// worstStep is the greatest step between a line and a way it lies on: at the
// points of either, and where they cross.
func (w *raisedWay) worstStep(own *raisedSides, slope float64) (worst float64, from, to raised) {
	worst = math.Inf(-1)
	take := func(p raised) {
		if beyond, on := w.wayStep(p, slope); beyond > worst {
			worst, from, to = beyond, on, p
		}
	}
	near := w.sides.bound.Pad(w.half)
	var found []int
	for i := range own.sides {
		side := &own.sides[i]
		box := orb.Bound{Min: side[0].ground, Max: side[0].ground}.Extend(side[1].ground)
		if !box.Intersects(near) {
			continue
		}
		take(side[0])
		take(side[1])
		found = w.sides.boxes().Search(box.Pad(w.half), found[:0])
		for _, k := range found {
			on := &w.sides.sides[k]
			take(heightOn(side, on[0].ground))
			take(heightOn(side, on[1].ground))
			x := plane.Cross(side[0].ground, side[1].ground, on[0].ground, on[1].ground)
			if x.Kind == plane.CrossProper || x.Kind == plane.CrossTouch {
				take(heightOn(side, x.P))
			}
		}
	}
	return worst, from, to
}

// pointsOnWay warns of marks and other points and lines on a way that are not as
// high: one may stand on something, which is in the way all the same.
func (r *run) pointsOnWay(f *Feature, w *raisedWay) {
	slope := r.slopeOf(f, w.f) / 100
	tell := func(at *Place, beyond float64, p, on raised) {
		if beyond <= stepRiseM+1e-9 {
			return
		}
		x := r.finding(at, f, w.f)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = beyond, stepRiseM, "m"
		x.Message = fmt.Sprintf("stands on %s%s, %s off its height: a step that is not drawn, a thing in the way, or a height that is wrong", w.words, w.f.describe(), metres(math.Abs(p.h-on.h)))
	}
	for i := range f.Points {
		v := &f.Points[i]
		if math.IsNaN(v.Height) {
			continue
		}
		p := raised{read: v.Read, ground: v.Ground, h: v.Height}
		beyond, on := w.wayStep(p, slope)
		tell(r.placeRead(f, v.Read, v.Ground), beyond, p, on)
	}
	if len(f.Lines) == 0 {
		return
	}
	if beyond, on, p := w.worstStep(r.edgeHeights(f), slope); beyond > stepRiseM {
		tell(r.Place(p.ground), beyond, p, on)
	}
}
