// Rule on zones and buildings: zone-over-building.

package validate

import (
	"fmt"
	"math"

	"swardline/schema"
	"swardline/validate/plane"
)

var buildingRules = []Rule{{
	Name: RuleZoneOverBuilding, Severity: Error, Limits: []string{"hard_edge_strip_m"}, Over: all(schema.RoleZone, schema.RoleBuilding), run: checkZoneOverBuilding,
	Page: Page{
		What: "The width and the area of what a zone, less its keep-outs, shares with a building; the width is the diameter of the largest circle in it. " +
			"Mown ground that runs over none, but nearer to a building than the strip left uncut along a wall, is a warning. A millimetre is rounding. " +
			"Corridors are held to their distance from buildings by corridor-narrow, docks by dock-path-blocked.",
		Why:    "Where a zone runs over a house, one of the two was drawn from elsewhere or has moved, and the machine drives into the wall.",
		Source: sourcePractice,
		Fails:  "a lawn drawn 0.5 m into a shed",
		Passes: "the same lawn up to 0.15 m from the shed's wall, or with a keep-out over the shed and the strip round it",
		Mend:   "cut the zone at the wall, after finding out which of the two is where it was measured",
	},
}}

func checkZoneOverBuilding(r *run) {
	if !r.onGround() {
		return
	}
	zones, buildings := r.needZones(), r.buildings()
	for _, why := range buildings.why {
		r.cannot("%s", why)
	}
	for _, why := range r.keepouts().why {
		r.cannot("%s", why)
	}
	for i, z := range zones.features {
		for _, k := range buildings.near(zones.bounds[i].Pad(r.greatestStrip())) {
			n := r.netOf(i)
			if len(n.areas) == 0 {
				continue
			}
			b := buildings.features[k]
			shared, width, at := r.overlap(n.areas, n.areas.Bound(), buildings.areas[k], buildings.bounds[k])
			if len(shared) == 0 || width <= slackM {
				r.besideBuilding(z, b, n, buildings.gauge(k))
				continue
			}
			if !n.ok || r.unclearKeepout(shared.Bound()) {
				r.cannot("a keep-out that cannot be measured may cover %s", b.describe())
				continue
			}
			x := r.finding(r.Place(at), z, b)
			x.Measured, x.Limit, x.Unit = width, 0, "m"
			x.AreaM2 = plane.Area(shared)
			x.Trace = r.trace(shared[0][0]...)
			x.Message = fmt.Sprintf("runs over %s: the two share %s of ground, up to %s wide", b.describe(), squareMetres(x.AreaM2), metres(width))
		}
	}
}

// besideBuilding tells of mown ground nearer to a building than the strip left
// uncut along its wall.
func (r *run) besideBuilding(z, b *Feature, n *net, wall *plane.Gauge) {
	strip := r.of(b).HardEdgeStripM
	d, p, q, near := n.within(wall, strip)
	if !near || d >= strip-slackM {
		return
	}
	if !n.ok {
		r.cannot("what keep-outs leave of %s cannot be told", z.describe())
		return
	}
	x := r.finding(r.Place(q), z, b)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = d, strip, "m"
	x.Trace = r.trace(p, q)
	x.Message = fmt.Sprintf("comes within %s of %s; it needs %s", metresPast(d, strip), b.describe(), metres(strip))
}

// greatestStrip is the widest strip that any building needs.
func (r *run) greatestStrip() float64 {
	most := 0.0
	for _, f := range r.buildings().features {
		most = math.Max(most, r.of(f).HardEdgeStripM)
	}
	return most
}

// buildings are the buildings that can be measured.
func (r *run) buildings() *solids {
	if r.buildingSet == nil {
		r.buildingSet = r.solidsOf(schema.RoleBuilding)
	}
	return r.buildingSet
}
