// What stands under keep-outs in lawns and lies lower than those, of slope-limit.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayUnder is what the page of the rule says of this.
const sayUnder = "" +
	"What stands under a keep-out in a zone, within 3 m of the rim, is unchecked where it lies as much lower than the outline lets the ground lie there. " +
	"Water under one, within 3 m of what is mown, is a note where it lies more than 1 m, and more than it lies off, below the plane of the outline there, as far as that fits it, or below the keep-out's own rim, with no wall or drop between. "

// underKeepouts looks at all that stands under a keep-out in mown ground.
func (r *run) underKeepouts(zones *solids, outlines []*raisedSides) {
	planes := make([]*tilted, len(outlines))
	for _, f := range r.Features {
		if f.usable() {
			r.underKeepout(f, zones, outlines, planes)
			r.sunkWater(f, zones, outlines, planes)
		}
	}
	offs := r.offs()
	for i := range offs {
		if offs[i].Role != schema.RoleKeepout { // whose rim others hold to the outline
			r.underKeepout(&offs[i], zones, outlines, planes)
		}
	}
}

// underKeepout leaves unchecked what stands under a keep-out in mown ground, near
// its rim, and lies lower than the outline lets the ground lie there, where no
// drop, water or pit tells of that. planes are those of the outlines, made when
// first asked for.
func (r *run) underKeepout(f *Feature, zones *solids, outlines []*raisedSides, planes []*tilted) {
	low, _ := f.heightRange()
	low -= antennaOver(f)
	near := zones.near(f.bound)
	if len(near) == 0 || f.Active() && isDriven(f.Role) || !f.tellsFall() || f.opensOrDrops() || r.clamped(f) || f.Role == schema.RoleBoundary {
		return
	}
	keepouts := r.keepouts()
	_, top := f.standsBeside()
	for _, i := range near {
		z, outline := zones.features[i], outlines[i]
		if len(outline.sides) < 3 || outline.steep || !(outline.high-low > stepRiseM) || r.toldOf(f, z) {
			continue
		}
		slope, worst, below, away := r.slopeOf(f, z), 1e-9, 0.0, 0.0
		looks := 0
		f.footings(func(p raised) {
			if !(outline.high-p.h > stepRiseM+worst) || looks > deepLooks {
				return
			}
			if planes[i] == nil {
				planes[i] = outline.tilt()
			}
			if t := planes[i]; p.h >= t.height(p.ground)-t.off-stepRiseM {
				return // no two heights of the outline have the ground so much higher there
			}
			if zones.locator(i).Locate(p.ground) != plane.Inside {
				return
			}
			for _, k := range keepouts.near(p.ground.Bound()) {
				kept := keepouts.features[k]
				if keepouts.locator(k).Locate(p.ground) != plane.Inside || r.tellsOfFall(kept) {
					continue
				}
				d := kept.rimOff(p.ground)
				if d > fallReachM {
					continue
				}
				may := stepRiseM + slope/100*d
				looks++
				off, expected := r.deepOff(zones, outline, &p, kept)
				for n := 0; math.IsInf(off, 1) && f.Role == schema.RoleEdge && n < deepWays; n++ {
					s, c := math.Sincos(2 * math.Pi * float64(n) / deepWays) // beside the wall or fence itself
					q := p
					q.ground = orb.Point{p.ground[0] + 2*stepRiseM*c, p.ground[1] + 2*stepRiseM*s}
					off, expected = r.deepOff(zones, outline, &q, kept)
				}
				if math.IsInf(off, 1) || hazardKind(f) == "water" || top > 0 && p.h+top >= expected+stepRiseM && f.offRim(kept) <= besideNearM+slackM || !(expected > p.h) {
					continue
				}
				if off-may > worst {
					worst, below, away = off-may, expected-p.h, d
				}
			}
		})
		if below > 0 {
			r.cannot("%s lies under a keep-out in %s, %s below where its outline has the ground and %s from what is mown: whether the ground falls there cannot be told; draw an edge of the kind drop where it does, or give the keep-out's rim its heights", f.describe(), z.describe(), metres(below), metres(away))
			return
		}
	}
}

// sunkWater notes water under a keep-out that lies far below the lawn about it: its margin
// is that of a bank that a machine may stand on.
func (r *run) sunkWater(f *Feature, zones *solids, outlines []*raisedSides, planes []*tilted) {
	if f.Role != schema.RoleHazard || hazardKind(f) != "water" || !f.hasHeights || len(f.Areas) == 0 || r.clamped(f) || !r.underKeptOut(f) {
		return // the height of a point may be that of a well's bottom
	}
	_, level := f.heightRange()
	rim := r.rimsAbout(f)
	for _, i := range zones.near(f.bound.Pad(bankReachM)) {
		z, outline := zones.features[i], outlines[i]
		if len(outline.sides) < 3 || !(max(outline.high, rim)-level > bankRiseM) || r.toldOf(f, z) {
			continue
		}
		h := r.hazardShape(f)
		if h.why != "" {
			return
		}
		off, of, to := r.mownWithin(&h, bankReachM, zones)
		if of != z {
			continue
		}
		if planes[i] == nil {
			planes[i] = outline.tilt()
		}
		_, _, at, _ := r.netOf(i).within(plane.NewGauge(h.geometry()), bankReachM)
		below := max(planes[i].height(at)-planes[i].off, r.rimAt(at)) - level
		if !(below > max(bankRiseM, off)+1e-9) || r.stepWalls().about(segmentBox(at, to), segmentBox(at, to), stepRiseM+slackM).hold(at, to) {
			continue
		}
		x := r.finding(r.Place(at), f, z)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = below, max(bankRiseM, off), "m"
		x.Message = fmt.Sprintf("its water lies %s below %s, %s from what is mown there: a bank that steep gives way, and a machine that slides on it is in the water; keep farther off, draw the edge of the kind drop where it begins, or correct the heights", metresPast(below, x.Limit), z.describe(), metres(off))
		return
	}
}

// rimsAbout is the greatest height of the rims of keep-outs about a feature, -Inf for none.
func (r *run) rimsAbout(f *Feature) float64 {
	high, keepouts := math.Inf(-1), r.keepouts()
	for _, k := range keepouts.near(f.bound) {
		if kept := keepouts.features[k]; kept.hasHeights && !r.clamped(kept) {
			high = max(high, kept.raisedHigh)
		}
	}
	return high
}

// rimAt is the height of the rim of a keep-out at a place on it, -Inf where none has one.
func (r *run) rimAt(at orb.Point) float64 {
	high, keepouts := math.Inf(-1), r.keepouts()
	for _, k := range keepouts.near(at.Bound().Pad(10 * slackM)) {
		kept := keepouts.features[k]
		if !kept.hasHeights || r.clamped(kept) {
			continue
		}
		own := r.edgeHeights(kept)
		if n, d := own.nearest(at); n >= 0 && d <= 10*slackM {
			high = max(high, heightOn(&own.sides[n], at).h)
		}
	}
	return high
}

// underKeptOut reports whether a point of a feature lies in a keep-out.
func (r *run) underKeptOut(f *Feature) bool {
	keepouts := r.keepouts()
	under := false
	f.eachVertex(func(_, p orb.Point) bool {
		under = slices.ContainsFunc(keepouts.near(p.Bound()), func(k int) bool { return keepouts.locator(k).Locate(p) == plane.Inside })
		return !under
	})
	return under
}

// rimOff is how far a place lies from the rim of an area.
func (f *Feature) rimOff(p orb.Point) float64 {
	d := math.Inf(1)
	for _, a := range f.Areas {
		for _, ring := range a.Ground {
			for v := 1; v < len(ring); v++ {
				d = min(d, distanceToSegment(p, ring[v-1], ring[v]))
			}
		}
	}
	return d
}

// offRim is how near to the rim of an area the points of a feature come.
func (f *Feature) offRim(area *Feature) float64 {
	d := math.Inf(1)
	f.raised(func(p raised) { d = min(d, area.rimOff(p.ground)) })
	return d
}

// tellsOfFall reports whether water, a pit or a drop lies at or in a keep-out.
func (r *run) tellsOfFall(f *Feature) bool {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleEdge} {
		for _, g := range r.Of(role) {
			if !g.bound.Pad(bankBesideM + g.reachDrawn()).Intersects(f.bound) {
				continue
			}
			if k := hazardKind(g); role == schema.RoleHazard && (k == "water" || k == "drop") || edgeKind(g) == schema.EdgeDrop {
				return true
			}
		}
	}
	return false
}
