// Heights that contradict one another at one place, and feet far above the ground
// beside them, of slope-limit.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayPlace is what the page of the rule says of this.
const sayPlace = "" +
	"Two heights at one place, within 0.3 m of one another, are unchecked where they differ by more than 1 m: of marks, boundaries, fences, kerbs, flush edges, gates and other lines; not beside a wall or building, nor of a mark whose name says that it is on one or on a post, and of fences only past their height_m and 0.3 m. " +
	"So is a ring that closes more than step_max_m off the height it begins with. " +
	"A note is told of boundaries and fences, and buildings, trees and the like with a height_m, whose foot lies higher than driven ground or a rim up to 15 m off by more than 2 m, or their height_m where that is more, beyond the distance itself, and of water, up to 50 m off, by 0.3 m, or its height_m, beyond 5 % of the distance and the slope of the site, which is that of the plane through all that is driven, unless other ground known within 3 m of it, or on the way there, is as high to 0.3 m or geometry-unfit tells of it (of a pool, a basin and the like by 1 m, beyond the distance itself), with no wall, building or drop between (a wall or fence that says its height_m tells of as much): one of the heights is wrong, or what holds the ground up is not drawn. " +
	"So is an outlet up to 15 m from water that stands more than 0.1 m above it, beyond 5 % of the distance and the slope of the site. " +
	sayLone

// twoRiseM is how far apart in metres two heights at one place may be, for a mark may
// stand on something; feetRiseM how far a foot may lie above driven ground beside it,
// beyond a rise as long as it is high (common practice, no source).
const twoRiseM, feetRiseM, feetSlope = 1.0, 2.0, 1.0

// saysRaised reports whether the name of a mark says that it is on something.
func saysRaised(f *Feature) bool {
	return standsWord(f.Name) != "" || slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return hasWord(topWords, w) })
}

// onePlace reports whether a feature's heights are those of the ground at its line or
// point, and by how much they may be those of its top.
func (f *Feature) onePlace() (tells bool, top float64) {
	switch f.Role {
	case schema.RoleMark:
		return !saysRaised(f), 0
	case schema.RoleBoundary:
		return true, 0
	case schema.RoleOther:
		return len(f.Lines) > 0 && len(f.Areas) == 0 && len(f.Points) == 0, 0
	case schema.RoleEdge:
		switch edgeKind(f) {
		case schema.EdgeFence:
			if h, ok := f.Float(schema.PropHeightM); ok && h > 0 {
				top = h + stepRiseM
			}
			return true, top
		case schema.EdgeKerb, schema.EdgeFlush, schema.EdgeGate:
			return true, 0
		}
	}
	return false, 0
}

// twoHeights are two places of two features as good as one.
type twoHeights struct {
	a, b *Feature
	rise float64
	n    int
}

// onePlaces leaves unchecked what has two heights at one place.
func (r *run) onePlaces() {
	r.closings()
	low, high, n := math.Inf(1), math.Inf(-1), 0
	for _, f := range r.Features {
		if f.hasHeights && f.Role != schema.RoleBase {
			low, high, n = min(low, f.raisedLow), max(high, f.raisedHigh), n+1
		}
	}
	if !(high-low > twoRiseM) || n < 2 {
		return
	}
	var list []*Feature
	var boxes []orb.Bound
	for _, f := range r.Features {
		if tells, _ := f.onePlace(); tells && f.hasHeights && f.usable() && f.saysPlace() && !r.clamped(f) {
			list, boxes = append(list, f), append(boxes, f.bound)
		}
	}
	if len(list) < 2 {
		return
	}
	tree := plane.NewBoxes(boxes)
	var worst twoHeights
	var found []int
	for i, a := range list {
		found = tree.Search(a.bound.Pad(stepRiseM), found[:0])
		for _, k := range found {
			// Two fences at one place are the foot and the top of one.
			if b := list[k]; k != i && !(edgeKind(a) == schema.EdgeFence && edgeKind(b) == schema.EdgeFence) && max(a.raisedHigh-b.raisedLow, b.raisedHigh-a.raisedLow) > twoRiseM {
				r.placesOn(a, b, &worst)
			}
		}
	}
	if worst.a != nil {
		r.cannot("%s and %s have heights %s apart at one place: which of the two is that of the ground, or what holds up the higher, cannot be told; correct one of them, or draw the wall that it stands on%s", worst.a.describe(), worst.b.describe(), metres(worst.rise), worstOf(worst.n))
	}
}

// saysPlace reports whether a feature's heights were measured at all.
func (f *Feature) saysPlace() bool { return f.raisedLow != 0 || f.raisedHigh != 0 }

// placesOn compares the points of a with what of b lies there.
func (r *run) placesOn(a, b *Feature, worst *twoHeights) {
	var sides *raisedSides
	_, up := a.onePlace()
	_, over := b.onePlace()
	box, told := b.bound.Pad(stepRiseM), false
	a.raised(func(p raised) {
		if !box.Contains(p.ground) {
			return
		}
		look := func(q raised) {
			may := max(twoRiseM, up) // the higher may have that of its top
			if q.h > p.h {
				may = max(twoRiseM, over)
			}
			rise := math.Abs(p.h - q.h)
			if rise <= may+1e-9 || distance(p.ground, q.ground) > stepRiseM || r.builtAt(p.ground) || r.toldOf(a, b) {
				return
			}
			if !told && (worst.a != b || worst.b != a) {
				worst.n++
			}
			if told = true; rise > worst.rise+slackM {
				worst.a, worst.b, worst.rise = a, b, rise
			}
		}
		for i := range b.Points {
			if v := &b.Points[i]; v.Height == v.Height {
				look(raised{read: v.Read, ground: v.Ground, h: v.Height})
			}
		}
		if len(b.Lines)+len(b.Areas) == 0 {
			return
		}
		if sides == nil {
			sides = r.edgeHeights(b)
		}
		if len(sides.sides) == 0 {
			return
		}
		if k, d := sides.nearest(p.ground); k >= 0 && d <= stepRiseM {
			look(heightOn(&sides.sides[k], p.ground))
		}
	})
}

// builtAt reports whether a wall, a drop or a building other than own stands at a place,
// on which something may stand.
func (r *run) builtAt(p orb.Point, own ...*Feature) bool {
	at := plane.NewGauge(p)
	for _, role := range [...]schema.Role{schema.RoleEdge, schema.RoleBuilding} {
		for _, f := range r.usableOf(role) {
			if k := edgeKind(f); role == schema.RoleEdge && k != schema.EdgeWall && k != schema.EdgeDrop || !f.bound.Pad(2*stepRiseM).Contains(p) || slices.Contains(own, f) {
				continue
			}
			h := r.hazardShape(f)
			var shape orb.Geometry = orb.MultiLineString(f.lines())
			if role == schema.RoleBuilding {
				shape = h.geometry()
			}
			if shape == nil {
				continue
			}
			if _, _, _, on := at.Within(plane.NewGauge(shape), 2*stepRiseM); on {
				return true
			}
		}
	}
	return false
}

// closings leaves unchecked rings that come back to where they begin at another height.
func (r *run) closings() {
	for _, f := range r.Features {
		if len(f.Areas) == 0 || !f.hasHeights || !f.usable() || r.clamped(f) {
			continue
		}
		for i := range f.Areas {
			a := &f.Areas[i]
			for k, heights := range a.Heights {
				n := len(heights) - 1
				if n < 1 || a.Ground[k][0] != a.Ground[k][n] {
					continue
				}
				if by := math.Abs(heights[n] - heights[0]); by > r.of(f).StepMaxM+1e-9 && !r.toldOf(f, f) {
					r.cannot("the outline of %s comes back to where it begins %s off the height it has there: which of the two is right cannot be told; correct one", f.describe(), metres(by))
				}
			}
		}
	}
}

// feetAbove is how far a feature's foot may lie above ground beside it, beyond the
// distance: as high as it says it stands, for its heights may be those of its top.
func (f *Feature) feetAbove() (may float64, asked bool) {
	top, said := f.Float(schema.PropHeightM)
	switch f.Role {
	case schema.RoleBoundary:
		return feetRiseM, true
	case schema.RoleBuilding:
		return max(feetRiseM, top), said
	case schema.RoleEdge:
		return max(feetRiseM, top), edgeKind(f) == schema.EdgeFence
	case schema.RoleHazard:
		switch hazardKind(f) {
		case "drop":
			return 0, false
		case "water":
			if k := kindsOf(f); isRaised(&k) {
				return max(twoRiseM, top), true
			}
			return max(stepRiseM, top), true
		}
		return max(feetRiseM, top), said
	}
	return 0, false
}

// Water stands level and runs off where it can: how far it is looked at in metres, how
// much more than the site the ground may rise to it, and how far it may stand above an
// outlet (common practice, no source).
const waterReachM, waterSlope, waterOutletM = 50.0, 0.05, 0.1

// openWater reports whether a feature is water that no wall of its own holds.
func openWater(f *Feature) bool {
	k := kindsOf(f)
	return hazardKind(f) == "water" && !isRaised(&k)
}

// feetSlope is how steep the ground may rise from driven ground to a feature's foot, and
// how far off that is looked at.
func (w *falls) feetSlope(f, way *Feature) (slope, reach float64) {
	if !openWater(f) {
		return feetSlope, fallReachM
	}
	edge := math.Min(w.r.of(f).SlopeEdgeMaxPercent, w.r.of(way).SlopeEdgeMaxPercent) / 100
	return math.Min(waterSlope, edge), waterReachM
}

// footUp is how far a foot lies above a place of a way, and water above what the site rises
// to it.
func (w *falls) footUp(f *Feature, p, q *raised) float64 {
	if openWater(f) {
		return math.Min(w.above(p)-w.above(q), p.h-q.h)
	}
	return p.h - q.h
}

// feet notes what has its foot far above driven ground beside it.
func (w *falls) feet() {
	low := math.Inf(1)
	for i := range w.ways {
		low = min(low, w.ways[i].sides.low)
	}
	var rims []*Feature
	looked := false
	for _, f := range w.r.usableOf(schema.RoleSupply) {
		if l, _ := f.heightRange(); l < low {
			low = l
		}
	}
	for _, f := range w.r.Features {
		if !f.hasHeights || !(f.raisedHigh-low > waterOutletM) {
			continue
		}
		may, asked := f.feetAbove()
		if !asked || w.r.lawnsOff && f.Role == schema.RoleBoundary || !(f.raisedHigh-low > waterOutletM) || !f.usable() || w.r.clamped(f) || w.r.toldOf(f, f) {
			continue
		}
		if !looked {
			rims, looked = w.r.usableOf(schema.RoleKeepout), true
		}
		best := fall{beyond: may + 1e-9}
		for i := range w.ways {
			x := &w.ways[i]
			if near, high := w.footNear(f, x.f, x.sides.bound, x.sides.low, &best); high {
				w.footOver(f, x, &near, &best, may)
			}
		}
		for _, k := range rims {
			if !k.hasHeights || w.r.clamped(k) {
				continue
			}
			if near, high := w.footNear(f, k, k.bound, k.raisedLow, &best); high {
				if rim := w.r.edgeHeights(k); len(rim.sides) > 0 {
					w.footOver(f, &fallWay{f: k, sides: rim, words: "the rim of "}, &near, &best, may)
				}
			}
		}
		if best.way != nil && !(hazardKind(f) == "water" && w.r.waterToldElse(f, &best)) {
			w.tellFoot(&best, may)
		}
		if openWater(f) {
			w.outletsBelow(f)
		}
	}
}

// outletsBelow notes the outlet that lies lowest below water near it, with no wall between,
// unless other ground about it lies as low.
func (w *falls) outletsBelow(f *Feature) {
	r := w.r
	best := fall{beyond: waterOutletM + 1e-9}
	for _, s := range r.usableOf(schema.RoleSupply) {
		if !s.hasHeights || !(f.raisedHigh-s.raisedLow > waterOutletM) || !s.bound.Pad(fallReachM).Intersects(f.bound) || r.clamped(s) {
			continue
		}
		own := r.edgeHeights(f)
		s.raised(func(q raised) {
			k, d := own.nearest(q.ground)
			if k < 0 || d > fallReachM {
				return
			}
			p := heightOn(&own.sides[k], q.ground)
			past := w.footUp(f, &p, &q) - waterSlope*d
			if past <= best.beyond || r.levelAbout(s, &q) {
				return
			}
			if x := w.between(p.ground, q.ground, false, 0, append(slices.Clone(r.usableOf(schema.RoleBuilding)), f)...); !x.tells && x.wall == nil {
				best = fall{f: s, up: p, down: q, beyond: past}
			}
		})
	}
	if best.f == nil || r.toldOf(f, best.f) {
		return
	}
	x := r.finding(r.Place(best.down.ground), best.f, f)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = best.beyond, waterOutletM, "m"
	x.Trace = r.trace(best.up.ground, best.down.ground)
	x.Message = fmt.Sprintf("%s lies %s below the water of %s, %s off: it stands in water when that comes over; one of the heights is wrong, or set the outlet higher",
		best.f.describe(), metres(best.up.h-best.down.h), f.describe(), metres(distance(best.up.ground, best.down.ground)))
}

// levelAbout reports whether other ground within bankReachM of an outlet is known to be as
// low as that: then it stands on ground as such.
func (r *run) levelAbout(s *Feature, q *raised) bool {
	box := q.ground.Bound().Pad(bankReachM)
	for _, g := range r.Features {
		if g == s || g.Role == schema.RoleSupply || !g.hasHeights || !g.saysGround() || hazardKind(g) == "water" || !(g.raisedLow <= q.h+waterOutletM) || !g.bound.Intersects(box) || !g.usable() || r.clamped(g) {
			continue
		}
		low := false
		g.raised(func(p raised) { low = low || p.h <= q.h+waterOutletM && distance(p.ground, q.ground) <= bankReachM })
		own := r.edgeHeights(g)
		if k, d := own.nearest(q.ground); low || k >= 0 && d <= bankReachM && heightOn(&own.sides[k], q.ground).h <= q.h+waterOutletM {
			return true
		}
	}
	return false
}

// footNear is the box about a way, which lies in bound and nowhere below low, in which a
// feature may be higher above it than the best; high is false where nothing of it lies
// there, as with most.
func (w *falls) footNear(f, way *Feature, bound orb.Bound, low float64, best *fall) (near orb.Bound, high bool) {
	above := f.raisedHigh - low - best.beyond + slackM
	if !(above > 0) {
		return near, false
	}
	slope, reach := w.feetSlope(f, way)
	near = bound.Pad(min(reach, above/slope) + slackM)
	if !near.Intersects(f.bound) {
		return near, false
	}
	own := w.r.edgeHeights(f)
	f.raised(func(p raised) { high = high || near.Contains(p.ground) })
	for i := 0; i < len(own.sides) && !high; i++ {
		high = !besideBox(&own.sides[i][0].ground, &own.sides[i][1].ground, &near)
	}
	return near, high
}

// footOver keeps the place of a feature that lies highest above a way beyond the
// distance, of those in the box that footNear gives.
func (w *falls) footOver(f *Feature, x *fallWay, near *orb.Bound, best *fall, may float64) {
	slope, reach := w.feetSlope(f, x.f)
	look := func(p, q raised) {
		d := distance(p.ground, q.ground)
		past := w.footUp(f, &p, &q) - slope*d
		if !(past > best.beyond) || d > reach || w.looks > fallLooks {
			return
		}
		w.looks++
		if x := w.between(p.ground, q.ground, false, 0, f); x.tells || x.wall != nil && x.lifts(past-may, d) {
			return
		}
		*best = fall{x, f, p, q, past}
	}
	f.raised(func(p raised) {
		if !near.Contains(p.ground) || !(p.h-x.sides.low > best.beyond-slackM) {
			return
		}
		if k, d := x.sides.nearest(p.ground); k >= 0 && d <= reach {
			look(p, heightOn(&x.sides.sides[k], p.ground))
		}
	})
	var found []int
	own := w.r.edgeHeights(f)
	for i := range own.sides {
		side := &own.sides[i]
		if besideBox(&side[0].ground, &side[1].ground, near) || !(max(side[0].h, side[1].h)-x.sides.low > best.beyond-slackM) {
			continue
		}
		found = x.sides.boxes().Search(segmentBox(side[0].ground, side[1].ground).Pad(reach), found[:0])
		for _, k := range found {
			for _, q := range x.sides.sides[k] {
				look(heightOn(side, q.ground), q)
			}
		}
	}
}

// tellFoot notes a foot far above driven ground.
func (w *falls) tellFoot(at *fall, may float64) {
	r := w.r
	x := r.finding(r.Place(at.up.ground), at.f, at.way.f)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = at.beyond, may, "m"
	x.Trace = r.trace(at.up.ground, at.down.ground)
	if hazardKind(at.f) == "water" {
		x.Message = at.f.describe() + " stands " + metres(at.up.h-at.down.h) + " above " + at.way.words + at.way.f.describe() + ", " + metres(distance(at.up.ground, at.down.ground)) +
			" off, and nothing is drawn that holds it: water does not stand above a lawn unless a dam or a wall does; one of the heights is wrong, or draw that as an edge of the kind wall"
		return
	}
	x.Message = at.f.describe() + " lies " + metres(at.up.h-at.down.h) + " above " + at.way.words + at.way.f.describe() + ", " + metres(distance(at.up.ground, at.down.ground)) +
		" off, steeper than ground stands by itself: one of the heights is wrong, or what holds the upper ground is not drawn; correct it, or draw that as an edge of the kind wall"
}
