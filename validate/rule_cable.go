// Rule on the low-voltage cable: cable-run.

package validate

import (
	"fmt"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var cableRules = []Rule{{
	Name: RuleCableRun, Severity: Warning, Limits: []string{"cable_run_m", "machine_width_m"}, Over: one(schema.RoleDock, schema.RoleBase), run: checkCableRun,
	Page: Page{
		What: "The straight distance on the ground from every dock and base to the nearest outlet. " +
			"The cable as laid is never shorter. " +
			"And, where every outlet within reach lies beyond a road or a water, whether the way round that is longer than the limit; so, as a note, beyond a wall or a drop that no gate or ramp opens, and that neither the outlet nor the dock or base is fixed to, or beyond mown ground under which no cable or pipe is drawn that lies deep enough. " +
			"And, as a note, whether every outlet within reach stands on an island: in a keep-out or a hole that mown ground closes round, while the dock or base stands outside, farther from it than machine_width_m, and no cable or pipe of the role other that is driven over and says a sound depth leads onto the island. " +
			"A millimetre is rounding.",
		Why:    "A low-voltage cable that is too long drops its voltage: the dock charges slowly or not at all, the base restarts. The extension somebody then adds ends up under the blades.",
		Source: sourcePractice,
		Fails:  "a dock 25 m from the outlet, limit 20 m",
		Passes: "the same dock 15 m from the outlet",
		Mend:   "move dock or base, or have a licensed electrician add an outlet",
	},
}}

func checkCableRun(r *run) {
	if !r.onGround() {
		return
	}
	supplies := r.need(schema.RoleSupply)
	if len(supplies) == 0 {
		return
	}
	var outlets []Vertex
	var owners []*Feature
	var boxes []orb.Bound
	for _, s := range supplies {
		for _, w := range s.Points {
			outlets, owners, boxes = append(outlets, w), append(owners, s), append(boxes, w.Ground.Bound())
		}
	}
	index := plane.NewBoxes(boxes)
	asked := false
	for _, role := range [...]schema.Role{schema.RoleDock, schema.RoleBase} {
		for _, f := range r.usableOf(role) {
			for _, v := range f.Points {
				asked = true
				i, bestM := index.Nearest(v.Ground, func(i int) float64 { return distance(v.Ground, outlets[i].Ground) })
				limit := r.of(f).CableRunM
				if i < 0 {
					continue
				}
				if bestM <= limit+slackM {
					r.cableFree(f, v, outlets, owners, limit)
					continue
				}
				best, to := owners[i], outlets[i]
				x := r.finding(r.placeRead(f, v.Read, v.Ground), f, best)
				x.Measured, x.Limit, x.Unit = bestM, limit, "m"
				x.Trace = r.trace(v.Ground, to.Ground)
				x.Message = fmt.Sprintf("%s in a straight line from the nearest outlet, %s; the cable may run %s", metresPast(bestM, limit), best.describe(), metres(limit))
			}
		}
	}
	if !asked {
		r.cannot("the plan has no active dock or base that a cable runs to")
	}
}

// cableFree tells a dock or a base of which every outlet within reach lies beyond a
// road or water, or, which is a note, a wall or a drop, that no cable of that length
// goes round.
func (r *run) cableFree(f *Feature, v Vertex, outlets []Vertex, owners []*Feature, limit float64) {
	var across, to, island *Feature
	for i := range outlets {
		if distance(v.Ground, outlets[i].Ground) > limit+slackM {
			continue
		}
		h := r.cableAcross(v.Ground, outlets[i].Ground, limit)
		z := (*Feature)(nil)
		if h == nil {
			z = r.islandOf(v.Ground, outlets[i].Ground, r.of(f).MachineWidthM)
		}
		if h == nil && z == nil {
			if h = r.cableOver(v.Ground, outlets[i].Ground, limit); h == nil {
				h = r.cableMown(v.Ground, outlets[i].Ground, limit)
			}
			if h == nil {
				return
			}
		}
		if to == nil || island == nil && z != nil {
			across, to, island = h, owners[i], z
		}
	}
	if to == nil {
		return
	}
	if island != nil {
		x := r.finding(r.placeRead(f, v.Read, v.Ground), f, to, island)
		x.Severity = Note
		x.Message = fmt.Sprintf("the outlet that its cable reaches, %s, stands on an island in the mown ground of %s: the cable lies in or on ground that is mown, and on it it is cut; draw the cable or its duct as other with \"driven_over\": true and its depth_m, or an outlet outside", to.describe(), island.describe())
		return
	}
	x := r.finding(r.placeRead(f, v.Read, v.Ground), f, to, across)
	if across.Role != schema.RoleHazard {
		x.Severity = Note
	}
	x.Message = fmt.Sprintf("every outlet that its cable reaches lies beyond %s, and the way round that is longer than the %s that the cable may run: draw an outlet on this side, or the duct that leads across, as other with \"driven_over\": true and its depth_m where that is mown", across.describe(), metres(limit))
}

// islandOf is the zone whose mown ground closes round the outlet at p and keeps it
// from the dock or base at v, nil where none does, v stands no farther from that
// island than beside, in metres, or a cable that lies deep enough leads onto it.
func (r *run) islandOf(v, p orb.Point, beside float64) *Feature {
	zones := r.zones()
	for _, i := range zones.near(p.Bound()) {
		for _, area := range r.netOf(i).areas {
			for _, hole := range area[1:] {
				island := orb.Polygon{hole}
				if !boundOf(hole).Contains(p) || plane.Locate(p, island) != plane.Inside || plane.Locate(v, island) == plane.Inside {
					continue
				}
				if _, _, _, near := plane.NewGauge(v).Within(plane.NewGauge(orb.LineString(hole)), beside+slackM); !near && !r.cableOnto(island) {
					return zones.features[i]
				}
			}
		}
	}
	return nil
}

// cableOnto reports whether a cable or pipe that lies deep enough crosses the rim of
// an island.
func (r *run) cableOnto(island orb.Polygon) bool {
	box := island.Bound()
	for _, f := range r.usableOf(schema.RoleOther) {
		if !f.bound.Intersects(box) || !buried(f) {
			continue
		}
		for _, l := range f.lines() {
			if in := clipInside(l, orb.MultiPolygon{island}); len(in) > 0 && len(clipOutside(l, orb.MultiPolygon{island})) > 0 {
				return true
			}
		}
	}
	return false
}

// cableMown is the zone whose mown ground a cable from a to b of at most so many metres
// has to cross, nil for none, and where a cable that lies deep enough does.
func (r *run) cableMown(a, b orb.Point, most float64) *Feature {
	line := orb.LineString{a, b}
	zones := r.zones()
	for _, i := range zones.near(boundOf(line)) {
		for _, area := range r.netOf(i).areas {
			rim := orb.LineString(area[0])
			if len(clipInside(line, orb.MultiPolygon{area})) > 0 && fartherRound([]orb.LineString{rim}, a, b, most) && !r.cableOnto(area) {
				return zones.features[i]
			}
		}
	}
	return nil
}

// cableOver is the wall or the drop that a cable from a to b of at most so many metres
// has to cross, nil for none: a gate or a ramp lets it through.
func (r *run) cableOver(a, b orb.Point, most float64) *Feature {
	line := orb.LineString{a, b}
	box := boundOf(line)
	for _, e := range r.usableOf(schema.RoleEdge) {
		if kind := edgeKind(e); kind != schema.EdgeWall && kind != schema.EdgeDrop || !e.bound.Intersects(box) {
			continue
		}
		for _, l := range r.barrier(e) {
			g := plane.NewGauge(l)
			if _, _, _, near := plane.NewGauge(line).Within(g, slackM); !near {
				continue
			}
			// What is fixed to it has its cable on either side.
			reach := outletReachM + e.growth()
			if _, _, _, on := plane.NewGauge(a).Within(g, reach); on {
				continue
			}
			if _, _, _, on := plane.NewGauge(b).Within(g, reach); !on && fartherRound([]orb.LineString{l}, a, b, most) {
				return e
			}
		}
	}
	return nil
}
