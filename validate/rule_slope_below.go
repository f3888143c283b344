// Ground that lies far below what is driven beside it, of slope-limit: points,
// lines and other ways at the foot of a bank of which nothing tells.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// drivenEdge is ground that is driven, with its heights: the outline of the zone-th
// zone, or a corridor or the way into a dock, of which zone is -1.
type drivenEdge struct {
	f     *Feature
	sides *raisedSides
	words string
	zone  int
}

// isLow reports whether heights of a feature beside driven ground are those of
// ground that may lie at the foot of a bank. What stands on something else only
// stands higher.
func isLow(f *Feature) bool {
	switch f.Role {
	case schema.RoleMark, schema.RoleBoundary, schema.RoleCorridor, schema.RoleZone, schema.RoleDock:
		return true
	case schema.RoleEdge:
		return edgeKind(f) == schema.EdgeFlush
	case schema.RoleOther:
		return len(f.Areas) == 0 || isPatch(f)
	}
	return false
}

// below looks beside lawns, corridors and the ways into docks for ground more than
// bankRiseM lower within bankReachM, as banks does between lawns.
func (r *run) below(zones *solids, outlines []*raisedSides) {
	low := math.Inf(1)
	for _, f := range r.Features {
		if f.usable() && isLow(f) {
			l, _ := f.heightRange()
			low = min(low, l)
		}
	}
	high := math.Inf(-1)
	var driven []drivenEdge
	for i, f := range zones.features {
		if len(outlines[i].sides) > 0 {
			driven, high = append(driven, drivenEdge{f, outlines[i], "", i}), max(high, outlines[i].high)
		}
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		if _, h := f.heightRange(); f.usable() {
			high = max(high, h)
		}
	}
	for _, d := range r.docks() {
		if h := d.vertex.Height; h == h {
			high = max(high, h)
		}
	}
	if !(high-low > bankRiseM) {
		return
	}
	for _, w := range r.raisedWays() {
		driven = append(driven, drivenEdge{w.f, w.sides, w.words, -1})
	}
	for _, d := range r.docks() { // the way in is level with it
		if !math.IsNaN(d.heading) && !r.clamped(d.f) {
			way := newRaisedSides(1)
			way.add(&raised{ground: d.lineup, h: d.vertex.Height}, &raised{ground: d.at, h: d.vertex.Height})
			if len(way.sides) > 0 {
				driven = append(driven, drivenEdge{d.f, way, "the way into ", -1})
			}
		}
	}
	looks := 0
	for i := range driven {
		r.belowEdge(zones, &driven[i], &looks)
	}
	if looks > farLooks {
		r.cannot("so many heights lie far below driven ground beside it that not all were looked at")
	}
}

// belowEdge tells the worst of the ground below one of the driven.
func (r *run) belowEdge(zones *solids, u *drivenEdge, looks *int) {
	reach := u.sides.bound.Pad(bankReachM)
	var things *plane.Gauge
	var walls []*Feature
	looked, near := false, r.of(u.f).PassageMinM+slackM
	var worst, held bankBetween
	var of, heldOf *Feature
	others := 0
	for _, f := range r.Features {
		if f == u.f || !f.bound.Intersects(reach) || !f.usable() || !isLow(f) || f.Role == schema.RoleZone && u.zone >= 0 || r.clamped(f) {
			continue
		}
		if l, _ := f.heightRange(); !(u.sides.high-l > bankRiseM) || r.toldOf(f, u.f) {
			continue
		}
		found := false
		r.along(f, func(p raised) {
			if !(u.sides.high-p.h > bankRiseM) || !reach.Contains(p.ground) || *looks > farLooks {
				return
			}
			k, d := u.sides.boxes().Nearest(p.ground, func(k int) float64 {
				return distanceToSegment(p.ground, u.sides.sides[k][0].ground, u.sides.sides[k][1].ground)
			})
			if k < 0 || d > bankReachM+slackM {
				return
			}
			q := heightOn(&u.sides.sides[k], p.ground)
			rise := q.h - p.h
			percent := 100 * rise / math.Max(d, slackM)
			if rise <= bankRiseM+1e-9 || percent <= bankPercent+1e-9 || r.throughZone(zones, p.ground, q.ground) {
				return
			}
			if u.zone >= 0 && zones.locator(u.zone).Locate(p.ground) != plane.Outside {
				return // rims and steps tell of those
			}
			*looks++
			if !looked {
				things, walls = r.bankThings(reach, reach)
				looked = true
			}
			way := plane.NewGauge(orb.LineString{p.ground, q.ground})
			if things != nil {
				if _, _, _, between := way.Within(things, bankBesideM); between {
					return
				}
			}
			if wall := standsBetween(walls, way); wall != nil {
				if h, ok := wall.Float(schema.PropHeightM); d <= near && rise > held.rise && !(ok && h > rise+stepRiseM) {
					held.rise, held.wall, heldOf = rise, wall, f
				}
				return
			}
			if found = true; percent > worst.percent {
				worst.percent, worst.up, worst.down, of = percent, q, p, f
			}
		})
		if found {
			others++
		}
	}
	if of != nil {
		x := r.finding(r.Place(worst.up.ground), u.f, of)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = worst.percent, bankPercent, "%"
		x.Trace = r.trace(worst.up.ground, worst.down.ground)
		more := ""
		if others > 1 {
			more = fmt.Sprintf(" (the worst of %d such features beside it)", others)
		}
		x.Message = fmt.Sprintf("%s%s lies %s above %s, which is only %s off: a bank of %s %% or a wall that is not drawn lies between; draw it as an edge of the kind drop, or correct the heights%s",
			u.words, u.f.describe(), metres(worst.up.h-worst.down.h), of.describe(), metres(distance(worst.up.ground, worst.down.ground)), percentPast(worst.percent, bankPercent), more)
	}
	if heldOf != nil {
		r.cannot("%s stands between %s%s and %s, which lies %s lower: whether it stands above the upper ground or only holds that up cannot be told; draw an edge of the kind drop along it if it only holds it up, else give it a height_m above the lower ground of more than %s",
			held.wall.describe(), u.words, u.f.describe(), heldOf.describe(), metres(held.rise), metres(held.rise+stepRiseM))
	}
}

// along visits the points of a feature that have heights, and places between
// those that follow one another, about a metre apart.
func (r *run) along(f *Feature, visit func(p raised)) {
	f.raised(visit)
	for _, side := range r.edgeHeights(f).sides {
		pieces := min(50, int(distance(side[0].ground, side[1].ground)))
		for n := 1; n < pieces; n++ {
			t := float64(n) / float64(pieces)
			visit(heightOn(&side, orb.Point{side[0].ground[0] + t*(side[1].ground[0]-side[0].ground[0]), side[0].ground[1] + t*(side[1].ground[1]-side[0].ground[1])}))
		}
	}
}
