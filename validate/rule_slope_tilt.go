// Docks on ground that slopes, of slope-limit.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// sayTilt is what the page of the rule says of this.
const sayTilt = "" +
	"A dock is unchecked where the plane of three heights or more within 3 m of it, spread across too, is steeper than twice dock_slope_max_percent; where there are none, that of the zone it stands in or within 1 m of, else that of the heights within 10 m, or 30 m, none more than 1 m off it and with no wall or drop between; what lies within 3 m more than 1 m above or below it, with no wall or drop between, leaves it unchecked by itself; the ground below bases counts there only if it must. " +
	"Two heights within 1 m of it or of the way into it, its own and those at which corridors end at its line-up point among them, of marks, flush edges, what is driven over, other points and lines and zones, leave it unchecked where they differ by more than twice that limit (the limit itself, of one on either side of the way) and 0.05 m; beside the way not where a kerb lies between. "

// A dock stands on ground as the heights within tiltReachM of it tell, else on
// that of the zone it stands in or within tiltBesideM of, else as the heights
// within the nearer of tiltAboutM tell. tiltTimes the limit of the way into a dock
// is more than the scatter of three heights there makes up (common practice, no
// source).
const (
	tiltBesideM = 1.0
	tiltReachM  = 3.0
	tiltTimes   = 2
)

// tiltAboutM are those, and with true the bases count too, which may stand on
// anything.
var tiltAboutM = [...]struct {
	reach float64
	bases bool
}{{10, false}, {30, false}, {10, true}, {30, true}}

// dockTilt tells docks that, by the heights about them or else of their lawn,
// stand on ground that slopes. What the way into one rises by says nothing of how
// it lies across.
func (r *run) dockTilt(zones *solids, outlines []*raisedSides) {
	docks := r.docks()
	if len(docks) == 0 || !r.docksMayTilt(docks) {
		return
	}
	for i := range docks {
		d := &docks[i]
		limit := tiltTimes * r.of(d.f).DockSlopeMaxPercent
		own, _, beside := planeSlope(r.heightsAbout(d, tiltReachM, false))
		if beside && own > limit+1e-9 {
			r.cannot("%s stands on ground that slopes %s %% by the heights about it: level it, and give heights within %s of it", d.f.describe(), percentPast(own, limit), metres(tiltReachM))
			continue
		}
		if a, b, steep := r.pairTilt(d, limit); steep { // of a plane, too, that is even but for a step
			r.cannot("%s stands on ground that slopes %s %% between two heights within %s of it or of the way into it, %s apart: level it, and give heights of three places or more within %s of it, on both sides of the way", d.f.describe(), trim(100*math.Abs(a.h-b.h)/distance(a.ground, b.ground), 1), metres(dockPairM), metres(distance(a.ground, b.ground)), metres(tiltReachM))
			continue
		}
		if f, off, up := r.terraceAt(d); f != nil && !r.toldOf(d.f, f) {
			r.cannot("%s lies %s off the height of %s, %s from it, and nothing is drawn between that holds the ground: draw the wall or drop, level it, or correct the heights", f.describe(), metres(up), d.f.describe(), metres(off))
			continue
		}
		if beside {
			continue
		}
		for _, k := range zones.near(d.at.Bound().Pad(tiltBesideM)) {
			if len(outlines[k].sides) == 0 || !r.nearMown(zones, k, d.at, tiltBesideM) {
				continue
			}
			pts := make([]raised, 0, len(outlines[k].sides))
			for i := range outlines[k].sides {
				pts = append(pts, outlines[k].sides[i][0])
			}
			percent, _, ok := planeSlope(pts)
			if beside = beside || ok; !ok || percent <= limit+1e-9 {
				continue
			}
			r.cannot("%s stands on ground that slopes %s %% by the heights of %s: level it, and give heights of three places or more within %s of it, on both sides of the way", d.f.describe(), percentPast(percent, limit), zones.features[k].describe(), metres(tiltReachM))
			break
		}
		for n := 0; n < len(tiltAboutM) && !beside; n++ {
			percent, off, ok := planeSlope(r.heightsAbout(d, tiltAboutM[n].reach, tiltAboutM[n].bases))
			ok = ok && off <= bankRiseM // terraces are no slope
			if beside = ok; ok && percent > limit+1e-9 {
				r.cannot("%s stands on ground that slopes %s %% by the heights within %s of it: level it, and give heights of three places or more within %s of it, on both sides of the way", d.f.describe(), percentPast(percent, limit), metres(tiltAboutM[n].reach), metres(tiltReachM))
			}
		}
	}
}

// terraceAt is what lies farthest above or below a dock within tiltReachM with no wall or
// drop between, past bankRiseM: of a plane through the heights about it that would be no
// slope, but a terrace, however near.
func (r *run) terraceAt(d *dockSpot) (worst *Feature, off, most float64) {
	h := d.vertex.Height
	if h != h || r.clamped(d.f) {
		return nil, 0, 0
	}
	box := d.at.Bound().Pad(tiltReachM)
	walls := r.stepWalls().about(box, box, stepRiseM+slackM)
	most = bankRiseM + 1e-9
	for _, f := range r.Features {
		if f == d.f || !f.bound.Intersects(box) || f.Role == schema.RoleBase || !f.usable() || !tiltWitness(f) || r.clamped(f) {
			continue
		}
		if low, high := f.heightRange(); !(max(high-h, h-low) > most) {
			continue
		}
		take := func(p raised) {
			up, away := math.Abs(p.h-h), distance(p.ground, d.at)
			if up > most && away <= tiltReachM+slackM && !walls.hold(p.ground, d.at) {
				worst, off, most = f, away, up
			}
		}
		f.raised(take)
		own := r.edgeHeights(f)
		if k, away := own.nearest(d.at); k >= 0 && away <= tiltReachM+slackM {
			take(heightOn(&own.sides[k], d.at))
		}
	}
	return worst, off, most
}

// dockPairM is how near to a dock, or to the way into it, two heights, in metres, tell
// of its ground by themselves (common practice, no source).
const dockPairM = 1.0

// pairTilt are the two heights beside a dock and the way into it, its own among them
// and those at which corridors end at it, that differ most beyond what the limit in
// percent and their scatter let them.
func (r *run) pairTilt(d *dockSpot, limit float64) (a, b raised, steep bool) {
	pts := r.heightsOf(d, dockPairM, !math.IsNaN(d.heading), func(f *Feature) bool { return f == d.f || levelBeside(f) })
	for i := range r.corridors() {
		for k := range r.corridorList[i].ends {
			c, e := &r.corridorList[i], &r.corridorList[i].ends[k]
			if e.dock == d && e.off <= r.of(d.f).DockReachM+slackM && c.line.Heights != nil && !r.clamped(c.f) {
				v := c.at[e.v]
				pts = append(pts, raised{read: c.line.Read[v], ground: c.line.Ground[v], h: c.line.Heights[v]})
			}
		}
	}
	most := acrossNoiseM + 1e-9
	for i := range pts {
		for k := range i {
			may := limit
			if d.straddled(pts[i].ground, pts[k].ground) {
				may = limit / tiltTimes
			}
			if past := math.Abs(pts[i].h-pts[k].h) - may/100*distance(pts[i].ground, pts[k].ground); past > most && pts[i].ground != pts[k].ground {
				most, a, b, steep = past, pts[i], pts[k], true
			}
		}
	}
	return a, b, steep
}

// straddled reports whether of two places the one lies to the left of the way into a dock,
// or of the line on which it goes on, and the other to the right.
func (d *dockSpot) straddled(p, q orb.Point) bool {
	if math.IsNaN(d.heading) {
		return false
	}
	left := func(p orb.Point) float64 {
		return (d.at[0]-d.lineup[0])*(p[1]-d.lineup[1]) - (d.at[1]-d.lineup[1])*(p[0]-d.lineup[0])
	}
	a, b, least := left(p), left(q), slackM*distance(d.at, d.lineup)
	return a > least && b < -least || a < -least && b > least
}

// tiltWitness reports whether the heights of a feature are those of ground that a
// dock beside it may stand on.
func tiltWitness(f *Feature) bool {
	switch f.Role {
	case schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleMark, schema.RoleBoundary:
		return true
	case schema.RoleBase:
		h, ok := f.Float(schema.PropAntennaHeight)
		return ok && h > 0
	case schema.RoleEdge:
		switch edgeKind(f) {
		case schema.EdgeFlush, schema.EdgeRamp, schema.EdgeKerb:
			return true
		}
		return false
	case schema.RoleOther:
		return len(f.Areas) == 0 || isPatch(f)
	}
	return false
}

// docksMayTilt reports whether the ground about docks slopes so much, at the least,
// that dockTilt may tell one: most plans are even.
func (r *run) docksMayTilt(docks []dockSpot) bool {
	low, high, limit := math.Inf(1), math.Inf(-1), math.Inf(1)
	for i := range docks {
		limit = min(limit, tiltTimes*r.of(docks[i].f).DockSlopeMaxPercent)
	}
	for _, f := range r.Features {
		if f.usable() && tiltWitness(f) && !r.clamped(f) {
			down := antennaOver(f)
			f.heights(func(h float64) { low, high = min(low, h-down), max(high, h-down) })
		}
	}
	return high-low > limit/100*0.5 // planeThrough wants as much of spread
}

// antennaOver is how far above the ground a base has its height, 0 for all else.
func antennaOver(f *Feature) float64 {
	if f.Role != schema.RoleBase {
		return 0
	}
	h, _ := f.Float(schema.PropAntennaHeight)
	return h
}

// heightsAbout are the heights of the ground so near to a dock, in metres: its own,
// and those of points of zones, corridors, boundaries and marks, bases less their
// antenna's, edges that are driven over or up to, other points and lines, and what
// is driven over, where no wall or drop stands between.
func (r *run) heightsAbout(d *dockSpot, reach float64, bases bool) []raised {
	return r.heightsOf(d, reach, false, func(f *Feature) bool {
		return tiltWitness(f) && (f.Role != schema.RoleDock || f == d.f) && (f.Role != schema.RoleBase || bases)
	})
}

// heightsOf are the heights so near to a dock of the features that count, where no
// wall or drop stands between; with the way in, those as near to it, too, where no
// kerb does either.
func (r *run) heightsOf(d *dockSpot, reach float64, way bool, counts func(f *Feature) bool) []raised {
	var pts []raised
	box, to := d.at.Bound().Pad(reach), d.at
	if way {
		box, to = segmentBox(d.at, d.lineup).Pad(reach), d.lineup
	}
	walls := r.stepWalls().about(box, box, stepRiseM+slackM)
	for _, f := range r.Features {
		if !f.bound.Intersects(box) || !f.usable() || !counts(f) || r.clamped(f) {
			continue
		}
		down := antennaOver(f)
		f.raised(func(p raised) {
			p.h -= down
			q := nearestOn(p.ground, d.at, to)
			if distance(p.ground, d.at) <= reach {
				q = d.at
			}
			if distance(p.ground, q) <= reach && !walls.hold(p.ground, q) && (q == d.at || r.kerbsBetween(p.ground, q) == 0) {
				pts = append(pts, p)
			}
		})
	}
	return pts
}
