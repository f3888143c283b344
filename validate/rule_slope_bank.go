// Banks and walls between two lawns of which no drop tells, of slope-limit.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayBank is what the page of the rule says of this.
const sayBank = "" +
	"Two zones farther apart than passage_min_m and no more than 3 m, the one more than 1 m higher and at more than 100 % over the distance, are a warning: a bank that is not drawn, unless a drop, wall, fence, hazard, building or keep-out lies between. " +
	"Where a wall or fence stands between two zones within passage_min_m whose heights differ by more than 1 m it is unchecked whether it stands above the upper lawn, unless a drop, hazard, building or keep-out lies there too or its height_m is more than that by 0.3 m. " +
	"So it is said of ground within 3 m beside or below a zone, a corridor or the way into a dock, by its marks, points and lines, flush edges and what is driven over, boundaries and other ways: more than 1 m lower and at more than 100 % is such a bank, a wall within passage_min_m unchecked. "

// Between two lawns no more than bankReachM apart a rise of more than bankRiseM
// that is steeper than bankPercent is a bank or a wall: no ground that stands by
// itself is so steep and so high (common practice, no source). What is drawn
// within bankBesideM of the way between them tells what it is.
const (
	bankReachM  = 3.0
	bankRiseM   = 1.0
	bankPercent = 100.0
	bankBesideM = 0.5
)

// banks looks between the zones that lie near one another at other heights.
func (r *run) banks(zones *solids, outlines []*raisedSides) {
	for i := range zones.features {
		a := outlines[i]
		if len(a.sides) == 0 {
			continue
		}
		for _, k := range zones.near(zones.bounds[i].Pad(bankReachM)) {
			if b := outlines[k]; k > i && len(b.sides) > 0 && b.mayStep(a.low, a.high, bankRiseM) && !r.toldOf(zones.features[i], zones.features[k]) {
				r.bank(zones, i, k, a, b)
			}
		}
	}
}

// bankBetween are the worst places found between two zones.
type bankBetween struct {
	percent  float64 // of a bank that nothing tells of
	up, down raised
	upIn     int     // whose outline the upper place is on
	rise     float64 // across a wall
	wall     *Feature
}

// bank tells what must lie between the i-th and the k-th zone: a bank that is
// not drawn, or a wall of which it cannot be told what stands above it.
func (r *run) bank(zones *solids, i, k int, a, b *raisedSides) {
	near := math.Max(r.of(zones.features[i]).PassageMinM, r.of(zones.features[k]).PassageMinM) + slackM
	things, walls := r.bankThings(a.bound.Pad(bankReachM), b.bound.Pad(bankReachM))
	var w bankBetween
	looks := 0
	from := func(z int, a, b *raisedSides, other int) {
		box := b.bound.Pad(bankReachM)
		var found []int
		for s := range a.sides {
			side := &a.sides[s]
			if !segmentBox(side[0].ground, side[1].ground).Intersects(box) || !b.mayStep(min(side[0].h, side[1].h), max(side[0].h, side[1].h), bankRiseM) {
				continue
			}
			pieces := max(1, min(50, int(distance(side[0].ground, side[1].ground))))
			for n := 0; n <= pieces; n++ {
				t := float64(n) / float64(pieces)
				p := heightOn(side, orb.Point{side[0].ground[0] + t*(side[1].ground[0]-side[0].ground[0]), side[0].ground[1] + t*(side[1].ground[1]-side[0].ground[1])})
				if !b.mayStep(p.h, p.h, bankRiseM) {
					continue
				}
				at, d := -1, bankReachM+slackM
				found = b.boxes().Search(p.ground.Bound().Pad(bankReachM+slackM), found[:0])
				for _, m := range found {
					if off := distanceToSegment(p.ground, b.sides[m][0].ground, b.sides[m][1].ground); off <= d {
						at, d = m, off
					}
				}
				if at < 0 || zones.locator(other).Locate(p.ground) == plane.Inside {
					continue
				}
				q := heightOn(&b.sides[at], p.ground)
				rise, upIn := p.h-q.h, z
				up, down := p, q
				if rise < 0 {
					rise, upIn, up, down = -rise, other, q, p
				}
				percent := 100 * rise / d
				if rise <= bankRiseM+1e-9 || rise <= w.rise && percent <= w.percent {
					continue
				}
				if looks++; looks > farLooks {
					return
				}
				way := plane.NewGauge(orb.LineString{p.ground, q.ground})
				if things != nil {
					if _, _, _, between := way.Within(things, bankBesideM); between {
						continue
					}
				}
				wall := standsBetween(walls, way)
				switch {
				case wall != nil:
					if h, ok := wall.Float(schema.PropHeightM); d <= near && rise > w.rise && !(ok && h > rise+stepRiseM) {
						w.rise, w.wall = rise, wall
					}
				case d > near && percent > bankPercent+1e-9 && percent > w.percent && !r.throughZone(zones, p.ground, q.ground):
					w.percent, w.up, w.down, w.upIn = percent, up, down, upIn
				}
			}
		}
	}
	from(i, a, b, k)
	from(k, b, a, i)
	if w.percent > 0 {
		upper, lower := zones.features[i], zones.features[k]
		if w.upIn == k {
			upper, lower = lower, upper
		}
		x := r.finding(r.Place(w.up.ground), upper, lower)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = w.percent, bankPercent, "%"
		x.Trace = r.trace(w.up.ground, w.down.ground)
		x.Message = fmt.Sprintf("lies %s above %s, which is only %s off: a bank of %s %% or a wall that is not drawn lies between; draw it as an edge of the kind drop along the upper outline, or correct the heights",
			metres(w.up.h-w.down.h), lower.describe(), metres(distance(w.up.ground, w.down.ground)), percentPast(w.percent, bankPercent))
	}
	if w.rise > 0 {
		r.cannot("%s stands between %s and %s, which differ by %s across it: whether it stands above the upper lawn or only holds that up cannot be told; draw an edge of the kind drop along it if it only holds it up, else give it a height_m above the lower lawn of more than %s",
			w.wall.describe(), zones.features[i].describe(), zones.features[k].describe(), metres(w.rise), metres(w.rise+stepRiseM))
	}
}

// bankThings are what tells of a bank where two boxes meet, nil for nothing:
// drops, hazards, buildings and keep-outs; and the walls and fences there. A kerb
// holds up no such rise.
func (r *run) bankThings(a, b orb.Bound) (things *plane.Gauge, walls []*Feature) {
	var all orb.Collection
	for _, role := range [...]schema.Role{schema.RoleEdge, schema.RoleHazard, schema.RoleBuilding, schema.RoleKeepout} {
		for _, f := range r.usableOf(role) {
			if box := f.bound.Pad(bankBesideM + f.reachDrawn()); !box.Intersects(a) || !box.Intersects(b) {
				continue
			}
			if role != schema.RoleEdge {
				h := r.hazardShape(f)
				if g := h.geometry(); g != nil {
					all = append(all, g)
				}
				continue
			}
			switch edgeKind(f) {
			case schema.EdgeWall, schema.EdgeFence:
				walls = append(walls, f)
			case schema.EdgeDrop:
				for _, l := range f.lines() {
					all = append(all, l)
				}
			}
		}
	}
	if len(all) == 0 {
		return nil, walls
	}
	return plane.NewGauge(all), walls
}

// standsBetween is the first of the edges on the way between two places, nil for
// none.
func standsBetween(edges []*Feature, way *plane.Gauge) *Feature {
	for _, f := range edges {
		if _, _, _, on := way.Within(plane.NewGauge(orb.MultiLineString(f.lines())), stepRiseM); on {
			return f
		}
	}
	return nil
}

// throughZone reports whether the middle between two places is mown.
func (r *run) throughZone(zones *solids, a, b orb.Point) bool {
	m := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	for _, k := range zones.near(m.Bound()) {
		if zones.locator(k).Locate(m) == plane.Inside {
			return true
		}
	}
	return false
}
