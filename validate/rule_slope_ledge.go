// Falls directly behind kerbs, walls and fences, of slope-limit: what keeps a machine from
// one is what stands above the ground that it drives on, not above the ground behind.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayLedge is what the page of the rule says of this.
const sayLedge = "" +
	"Where a kerb, a wall or a fence crosses the straight way to what is known within 1 m of driven ground, or of a machine in a corridor, and that lies lower by more than 0.3 m, and by as much than the site about it leads, the ground falls there and is no slope: a kerb is unchecked whatever its height_m, " +
	"and so is a wall or fence whose height_m (with what else of them stands there) is not past the fall by more than 0.15 m, since on the lower ground its top may be level with the lawn, unless its own heights there lie as far above that; and one of no height_m. " +
	"So is such a wall, fence or kerb within 1 m of driven ground for what is known up to 5 m off, and lies lower by more than 0.3 m beyond slope_edge_max_percent of the distance, and a kerb that is higher than 0.3 m by its height_m for what lies lower by more than 0.3 m; water counts as well, but in a keep-out, and zones behind a wall or fence whose height_m is less than the fall. "

// ledgeOnM is how near in metres an edge comes to a straight way that it lies on.
const ledgeOnM = 10 * slackM

// ledgeTopM is how far in metres the top of a wall or fence must lie above the driven ground
// to keep a machine there: more than two heights are good for, and than is driven up
// (common practice, no source).
const ledgeTopM = stepRiseM / 2

// ledges looks behind kerbs, walls and fences beside one way.
func (w *falls) ledges(f *Feature, low float64, x *fallWay) {
	if !(x.high-low > stepRiseM) || f == x.f || f.Active() && isDriven(f.Role) && f.Role != schema.RoleZone {
		return
	}
	near, reach := besideNearM+max(x.through, 0), stepReachM+max(x.through, 0)
	may := math.Min(w.r.of(x.f).SlopeEdgeMaxPercent, w.r.of(f).SlopeEdgeMaxPercent) / 100
	box := x.sides.bound.Pad(reach)
	if !f.bound.Intersects(box) {
		return
	}
	b := w.lookFrom(f, x, nil)
	if b.stands || b.contour || b.opens || b.drops || b.hint {
		return
	}
	b.off = 0
	look := func(q raised) {
		if !box.Contains(q.ground) || !(x.high-w.above(&q) > stepRiseM) {
			return
		}
		k, d := x.sides.nearest(q.ground)
		if k < 0 || d > reach+slackM || d <= x.through {
			return
		}
		p := heightOn(&x.sides.sides[k], q.ground)
		fall := min(w.above(&p)-w.above(&q), p.h-q.h)
		lead := fall
		if d > near+slackM {
			lead -= may * d // which may be the ground's own slope
		}
		if fall > stepRiseM+1e-9 && p.h-q.h > min(x.kerbRise, x.heldRise) && !b.inMown(p.ground, q.ground) {
			b.ledge(p, q, fall, lead > stepRiseM+1e-9)
		}
	}
	f.footings(look)
	own := w.r.edgeHeights(f)
	for i := range own.sides {
		side := &own.sides[i]
		pieces := min(fallPieces, int(math.Ceil(distance(side[0].ground, side[1].ground))))
		for n := 1; n < pieces; n++ {
			t := float64(n) / float64(pieces)
			look(heightOn(side, orb.Point{side[0].ground[0] + t*(side[1].ground[0]-side[0].ground[0]), side[0].ground[1] + t*(side[1].ground[1]-side[0].ground[1])}))
		}
	}
}

// ledge keeps a fall behind a wall, a fence or a kerb that may not keep a machine from it;
// steep is that it is no slope of the ground.
func (b *fallLook) ledge(p, q raised, fall float64, steep bool) {
	rise := p.h - q.h
	x := b.between(p.ground, q.ground, true, rise, b.f)
	if x.tells {
		return
	}
	way := plane.NewGauge(orb.LineString{p.ground, q.ground})
	if b.water && b.r.keptOut(q.ground, nil) {
		return // its own bank
	}
	if x.wall != nil {
		if !steep || !b.wallNear(x.wall, p.ground) || b.driven && !x.mute && x.high >= rise-acrossNoiseM {
			return // two lawns with a wall between are judged where they meet, but for a low one
		}
		if rise > b.x.heldRise && liesOn(x.wall, way) && b.mayEndLevel(&x, &p, rise) {
			b.x.heldRise, b.x.wall, b.x.held, b.x.heldLow = rise, x.wall, b.f, !x.mute && x.high < rise-acrossNoiseM
		}
		return
	}
	if b.water || b.driven {
		return // which is told without a kerb too
	}
	for _, e := range b.r.usableOf(schema.RoleEdge) {
		if edgeKind(e) == schema.EdgeKerb && e != b.f && rise > b.x.kerbRise && e.bound.Pad(ledgeOnM).Intersects(segmentBox(p.ground, q.ground)) && (steep || kerbFalls(e, fall)) && b.wallNear(e, p.ground) && liesOn(e, way) {
			b.x.kerbRise, b.x.kerb, b.x.kerbOver = rise, e, b.f
		}
	}
}

// wallNear reports whether a wall or fence stands within besideNearM of what is driven.
func (b *fallLook) wallNear(wall *Feature, at orb.Point) bool {
	_, _, _, near := plane.NewGauge(at).Within(plane.NewGauge(orb.MultiLineString(wall.lines())), besideNearM+max(b.x.through, 0)+slackM)
	return near
}

// kerbFalls reports whether the ground falls so much at a kerb alone that says how high it
// is.
func kerbFalls(e *Feature, fall float64) bool {
	h, ok := e.Float(schema.PropHeightM)
	return ok && min(h, fall) > kerbHighM+1e-9
}

func liesOn(f *Feature, way *plane.Gauge) bool {
	_, _, _, on := way.Within(plane.NewGauge(orb.MultiLineString(f.lines())), ledgeOnM)
	return on
}

// mayEndLevel reports whether what stands between may stand on the lower ground and end
// level with the upper, or says no height.
func (b *fallLook) mayEndLevel(x *standsBetween, p *raised, rise float64) bool {
	own := b.r.edgeHeights(x.wall)
	if k, d := own.nearest(p.ground); k >= 0 && d <= besideNearM+slackM && heightOn(&own.sides[k], p.ground).h > p.h+ledgeTopM+1e-9 {
		return false
	}
	return x.mute || !(x.high > rise+ledgeTopM+1e-9)
}

// tellLedge reports the greatest fall behind a kerb beside a way.
func (w *falls) tellLedge(x *fallWay) {
	if x.kerb == nil || x.worst != nil || x.wall != nil || w.r.toldOf(x.kerbOver, x.f) {
		return
	}
	w.r.cannot("%s lies %s below %s%s, behind %s: a kerb keeps no machine from a fall of more than %s; draw an edge of the kind drop along it, or a wall or fence with its height_m where one stands there, or correct the heights",
		x.kerbOver.describe(), metres(x.kerbRise), x.words, x.f.describe(), x.kerb.describe(), metres(kerbHighM))
}
