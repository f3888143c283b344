// Docks on ground that slopes, of slope-limit.

package validate

import (
	"math"

	"swardline/schema"
)

// A dock in a zone or within tiltBesideM of it stands on ground as that of the
// zone, unless heights within tiltReachM of it tell better. tiltTimes the limit
// of the way into a dock is more than the scatter of three heights there makes up
// (common practice, no source).
const (
	tiltBesideM = 1.0
	tiltReachM  = 3.0
	tiltTimes   = 2
)

// dockTilt tells docks that, by the heights about them or else of their lawn,
// stand on ground that slopes. What the way into one rises by says nothing of how
// it lies across.
func (r *run) dockTilt(zones *solids, outlines []*raisedSides) {
	for _, d := range r.docks() {
		for _, k := range zones.near(d.at.Bound().Pad(tiltBesideM)) {
			limit := tiltTimes * r.of(d.f).DockSlopeMaxPercent
			if outlines[k].high-outlines[k].low <= 0 || !r.nearMown(zones, k, d.at, tiltBesideM) {
				continue
			}
			pts := make([]raised, 0, len(outlines[k].sides))
			for i := range outlines[k].sides {
				pts = append(pts, outlines[k].sides[i][0])
			}
			percent, _, ok := planeSlope(pts)
			if !ok || percent <= limit+1e-9 {
				continue
			}
			z := zones.features[k]
			if own, _, ok := planeSlope(r.heightsAbout(&d)); ok {
				if own > limit+1e-9 {
					r.cannot("%s stands on ground that slopes %s %% by the heights about it: level it, and give heights within %s of it", d.f.describe(), percentPast(own, limit), metres(tiltReachM))
				}
				break
			}
			r.cannot("%s stands on ground that slopes %s %% by the heights of %s: level it, and give heights of three places or more within %s of it, on both sides of the way", d.f.describe(), percentPast(percent, limit), z.describe(), metres(tiltReachM))
			break
		}
	}
}

// heightsAbout are the heights within tiltReachM of a dock: its own, and those of
// points of corridors, marks, flush edges and of other points and what is driven
// over.
func (r *run) heightsAbout(d *dockSpot) []raised {
	var pts []raised
	add := func(p raised) {
		if !math.IsNaN(p.h) && distance(p.ground, d.at) <= tiltReachM {
			pts = append(pts, p)
		}
	}
	for _, role := range [...]schema.Role{schema.RoleDock, schema.RoleCorridor, schema.RoleMark, schema.RoleOther, schema.RoleEdge} {
		for _, f := range r.usableOf(role) {
			if is, _ := isWitness(f); !is || r.clamped(f) || role == schema.RoleDock && f != d.f || !f.bound.Intersects(d.at.Bound().Pad(tiltReachM)) {
				continue
			}
			for _, v := range f.Points {
				add(raised{read: v.Read, ground: v.Ground, h: v.Height})
			}
			if len(f.Areas) > 0 && !hasRim(f) {
				continue
			}
			for p := range r.edgeHeights(f).ends {
				add(*p)
			}
		}
	}
	return pts
}
