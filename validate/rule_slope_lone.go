// Things whose height is that of no ground about them, and water that stands above
// lawns, of slope-limit.

package validate

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayLone is what the page of the rule says of this.
const sayLone = "" +
	"So is an outlet, a post or other small hazard, a mark, a kerb, a gate, a flush edge, a ramp, a wall (by 4 m where it says no height_m), a drop or road, or what has the role other (of a mark, and of what a wall, a building or its own name lifts, see below) which lies 2 m and more, or its height_m where that is more, where it comes nearest, above or below the nearest height that is known, up to 15 m off, and all that are no more than 3 m farther, beyond slope_edge_max_percent of the distance to the nearest (slope_max_percent where it lies below, and not below what is driven, which tells of that itself), with no wall, building or drop between, and below no keep-out: one of the heights is wrong. " +
	"Trees, buildings and what is called a roof, a mast or the like may have that of their top, and are not asked; nor is what stands on a wall, on a building or by its name on something, but for outlets more than 3 m up; nor a mark that base-height tells. "

// How far in metres the height of a thing may lie off all ground about it, beyond the
// limit of a slope at an outline, of an outlet on a wall, and of the top of a wall (common practice, no
// source).
const loneRiseM, outletUpM, wallHighM = 2.0, 3.0, 4.0

// loneAsNearM is how much farther off than the nearest a height, in metres, tells of the
// ground as well.
const loneAsNearM = 3.0

// loneAsked reports whether a feature's height is that of the ground it stands on.
func loneAsked(f *Feature) bool {
	switch f.Role {
	case schema.RoleSupply:
		return true
	case schema.RoleMark:
		return !saysRaised(f)
	case schema.RoleOther:
		return kindWord(f, roofWords, highWords, tallWords, topWords) == ""
	case schema.RoleEdge:
		switch edgeKind(f) {
		case schema.EdgeKerb, schema.EdgeFlush, schema.EdgeGate, schema.EdgeRamp, schema.EdgeWall, schema.EdgeDrop:
			return true
		}
	case schema.RoleHazard:
		kinds := kindsOf(f)
		return kinds.gravest != "water" && !isTree(f) && kindWord(f, roofWords, highWords, tallWords, topWords) == ""
	}
	return false
}

// loneMay is how far a feature's height may lie off the ground: as far as it says that it
// stands up, for that may be its top's, and of a wall that does not say as high as such
// are.
func loneMay(f *Feature) float64 {
	top, says := f.Float(schema.PropHeightM)
	if edgeKind(f) == schema.EdgeWall && !says {
		top = wallHighM
	}
	return max(loneRiseM, top)
}

// lone notes things that lie off all ground about them.
func (w *falls) lone() {
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range w.r.Features {
		if f.hasHeights && f.Role != schema.RoleBase {
			low, high = min(low, f.raisedLow), max(high, f.raisedHigh)
		}
	}
	if !(high-low >= loneRiseM) {
		return
	}
	for _, f := range w.r.Features {
		if !f.hasHeights || !f.saysPlace() || !f.usable() || !(max(high-f.raisedLow, f.raisedHigh-low) >= loneRiseM) || !loneAsked(f) || w.r.clamped(f) || len(w.r.findings) >= mostFindings {
			continue
		}
		best, may, nearest, off := fall{}, loneMay(f), math.Inf(1), false
		f.raised(func(p raised) { // where it comes nearest to the ground: it may climb from there
			if at, d, ok := w.nearestGround(f, p, may); d < nearest-slackM || d <= nearest+slackM && !ok {
				best, nearest, off = at, d, ok
			}
		})
		if off && best.f != nil && !w.r.toldOf(f, f) && !w.liftedThing(f, &best) {
			w.tellLone(f, &best, may)
		}
	}
}

// nearestGround is how far a place lies off what else has a height about as near as the
// nearest, which lies near away, up to fallReachM, with the one it lies off least; ok is
// false where it lies off that by no more than it may, or nothing is known there.
func (w *falls) nearestGround(f *Feature, p raised, may float64) (at fall, near float64, ok bool) {
	known := w.known[:0]
	near = fallReachM + slackM
	take := func(g *Feature, q raised) {
		if d := distance(p.ground, q.ground); d <= near+loneAsNearM {
			known, near = append(known, fall{f: g, up: p, down: q, beyond: d}), min(near, d)
		}
	}
	from := func(g *Feature, own *raisedSides) {
		if len(own.sides) == 0 || boxGap(own.bound, p.ground.Bound()) > near+loneAsNearM {
			return
		}
		if k, _ := own.nearest(p.ground); k >= 0 {
			take(g, heightOn(&own.sides[k], p.ground))
		}
	}
	for i := range w.ways {
		if x := &w.ways[i]; x.f != f {
			from(x.f, x.sides)
		}
	}
	for i := range known { // whatever is nearer, this counts
		if x := &known[i]; x.beyond <= loneAsNearM && math.Abs(p.h-x.down.h) < may-1e-9 {
			w.known = known
			return *x, near, false
		}
	}
	for _, g := range w.r.Features {
		switch {
		case g == f || !g.hasHeights || isDriven(g.Role) && w.isWay(g) || !g.saysPlace() || !g.bound.Pad(near+loneAsNearM).Contains(p.ground) || !g.usable() || w.r.clamped(g):
			continue // the ways are taken already
		case g.Role == schema.RoleBase, g.Role == schema.RoleSupply, g.Role == schema.RoleHazard, g.Role == schema.RoleOther && len(g.Points) > 0:
			continue // which may lie off it as this does
		}
		for i := range g.Points {
			if v := &g.Points[i]; v.Height == v.Height {
				take(g, raised{read: v.Read, ground: v.Ground, h: v.Height})
			}
		}
		from(g, w.r.edgeHeights(g))
	}
	w.known, at.beyond = known, math.Inf(1)
	for i := range known {
		x := &known[i]
		slope := w.r.limits.SlopeEdgeMaxPercent
		if x.down.h > p.h { // as below holds it to
			slope = w.r.limits.SlopeMaxPercent
		}
		if by := math.Abs(p.h-x.down.h) - slope/100*near; x.beyond <= near+loneAsNearM && by < at.beyond {
			at, at.beyond = *x, by
		}
	}
	if near > fallReachM {
		return fall{}, math.Inf(1), false
	}
	return at, near, at.beyond >= may-1e-9
}

// isWay reports whether a feature is among the ways, as steep lawns are not.
func (w *falls) isWay(f *Feature) bool {
	return slices.ContainsFunc(w.ways, func(x fallWay) bool { return x.f == f })
}

// liftedThing reports whether something lifts a thing, or another rule tells of it.
func (w *falls) liftedThing(f *Feature, at *fall) bool {
	if f.Role == schema.RoleMark && len(w.r.Of(schema.RoleBase)) > 0 && !w.r.stepBeside(at.up.ground) {
		if _, _, count := w.r.groundBeside(f, at.up.ground, 0, schema.RoleZone, schema.RoleCorridor, schema.RoleDock); count > 0 {
			return true
		}
	}
	up := at.up.h - at.down.h
	if x := w.between(at.up.ground, at.down.ground, up < 0, 0, f, at.f); x.tells || x.wall != nil && x.lifts(math.Abs(up), distance(at.up.ground, at.down.ground)) {
		return true
	}
	switch {
	case up < 0: // that of its foot, or below judges it
		return isDriven(at.f.Role) || edgeKind(f) == schema.EdgeDrop || hazardKind(f) == "drop"
	case f.Role == schema.RoleSupply:
		return up <= outletUpM+slackM && w.r.carried(f, at.up.ground)
	case f.Role == schema.RoleMark:
		return w.r.carried(f, at.up.ground)
	}
	return w.r.builtAt(at.up.ground, f)
}

// tellLone notes what lies off all ground about it.
func (w *falls) tellLone(f *Feature, at *fall, may float64) {
	r := w.r
	side := "above"
	if at.up.h < at.down.h {
		side = "below"
	}
	x := r.finding(r.Place(at.up.ground), f, at.f)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = at.beyond, may, "m"
	x.Trace = r.trace(at.up.ground, at.down.ground)
	x.Message = f.describe() + " lies " + metres(math.Abs(at.up.h-at.down.h)) + " " + side + " " + at.f.describe() + ", " + metres(distance(at.up.ground, at.down.ground)) +
		" off, and as far off all else that is known about it: one of the heights is wrong, or that of its top; correct it, or say by its name or height_m on what it stands"
}

// waterToldElse reports whether water stands in ground as high as that, or geometry-unfit
// tells of it.
func (r *run) waterToldElse(f *Feature, at *fall) bool {
	if _, _, of := r.waterAbove(f); of != nil {
		return true
	}
	return r.waterHeld(f, at.up, at.down.ground)
}

// waterHeld reports whether ground known beside water, or on the straight way from there,
// is as high as that, so that the water stands in it and not above the lawn.
func (r *run) waterHeld(f *Feature, p raised, to orb.Point) bool {
	box := f.bound.Pad(bankReachM).Union(segmentBox(p.ground, to))
	for _, g := range r.Features {
		switch g.Role {
		case schema.RoleBase, schema.RoleSupply, schema.RoleHazard, "":
			continue
		}
		if g == f || !g.hasHeights || !(g.raisedHigh >= p.h-stepRiseM) || !g.bound.Intersects(box) || !g.usable() || r.clamped(g) {
			continue
		}
		own, held := r.edgeHeights(g), false
		near := func(at orb.Point, h float64) bool { return h >= p.h-stepRiseM && f.offThis(at) <= bankReachM }
		g.raised(func(q raised) { held = held || near(q.ground, q.h) })
		for i := 0; i < len(own.sides) && !held && !isDriven(g.Role); i++ {
			side := &own.sides[i]
			if x := plane.Cross(p.ground, to, side[0].ground, side[1].ground); x.Kind == plane.CrossProper {
				held = heightOn(side, x.P).h >= p.h-stepRiseM
			}
		}
		f.raised(func(q raised) {
			if k, d := own.nearest(q.ground); !held && k >= 0 && d <= bankReachM {
				held = heightOn(&own.sides[k], q.ground).h >= p.h-stepRiseM
			}
		})
		if held {
			return true
		}
	}
	return false
}

// offThis is how far a place lies from the lines, rims and points of a feature.
func (f *Feature) offThis(p orb.Point) float64 {
	d := f.rimOff(p)
	for _, l := range f.Lines {
		for v := 1; v < len(l.Ground); v++ {
			d = min(d, distanceToSegment(p, l.Ground[v-1], l.Ground[v]))
		}
	}
	for i := range f.Points {
		d = min(d, distance(p, f.Points[i].Ground))
	}
	return d
}
