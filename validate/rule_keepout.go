// Rules on keep-outs: keepout-outside-zone, keepouts-overlap.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var keepoutRules = []Rule{
	{
		Name: RuleKeepoutOutsideZone, Severity: Error, Over: all(schema.RoleKeepout), run: checkKeepoutOutside,
		Page: Page{
			What: "How far a keep-out sticks out of the outlines of all zones taken together: the greatest distance, on the ground, of any of its points from the nearest zone, " +
				"and the area outside. Holes of a zone count as part of it. A millimetre is rounding.",
			Why:    "A keep-out that reaches past the lawn shows that one of the two was surveyed from elsewhere or has drifted, and machines that take keep-outs as islands refuse one that cuts the shore.",
			Source: sourcePractice,
			Fails:  "a flower bed drawn 1.5 m over the edge of its zone",
			Passes: "the same bed moved inside",
			Mend:   "cut the keep-out at the edge of the zone, or draw the edge round it",
		},
	},
	{
		Name: RuleKeepoutsOverlap, Severity: Warning, Over: all(schema.RoleKeepout), run: checkKeepoutsOverlap,
		Page: Page{
			What:   "The width and the area of the ground that two keep-outs share; the width is the diameter of the largest circle in it. A millimetre is rounding.",
			Why:    "Drive order leads the machine round each of them, straight through the other. Usually one is an older survey of the same thing.",
			Source: sourcePractice,
			Fails:  "two beds that overlap by 0.5 m",
			Passes: "the same beds drawn as one, or side by side",
			Mend:   "draw one keep-out round the ground of both; remove only one that lies wholly inside the other, never the larger",
		},
	},
}

// needKeepouts returns the keep-outs that can be measured, and records the
// rest.
func (r *run) needKeepouts() *solids {
	return r.needed(r.keepouts(), schema.RoleKeepout)
}

// shells returns the outlines of polygons without their holes.
func shells(m orb.MultiPolygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(m))
	for i := range m {
		out[i] = m[i][:1]
	}
	return out
}

// fits reports whether area a, with box ba, lies in the outline of one part of
// b without meeting it: the short way to most containments.
func fits(a orb.MultiPolygon, ba orb.Bound, b orb.MultiPolygon, bb orb.Bound) bool {
	if !bb.Contains(ba.Min) || !bb.Contains(ba.Max) {
		return false
	}
	for i := range b {
		shell := orb.MultiPolygon{b[i][:1]}
		if countPoints(a)*len(b[i][0]) > bruteSegments || ringsMeet(a, ba, shell, bb) {
			continue
		}
		in := true
		for _, p := range a {
			in = in && plane.Locate(p[0][0], shell) == plane.Inside
		}
		if in {
			return true
		}
	}
	return false
}

func checkKeepoutOutside(r *run) {
	if !r.onGround() {
		return
	}
	keepouts := r.needKeepouts()
	if len(r.Of(schema.RoleKeepout)) == 0 {
		return
	}
	zones := r.needZones()
	if zones.len() == 0 {
		return // what is outside all zones cannot be told without one
	}
	var edges *plane.Locator // of all zones
	for k, f := range keepouts.features {
		area, box := keepouts.areas[k], keepouts.bounds[k]
		inside := false
		for _, i := range zones.near(box) {
			if inside = fits(area, box, zones.areas[i], zones.bounds[i]); inside {
				break
			}
		}
		if inside || r.inZoneOff(f) {
			continue
		}
		near := shells(zones.all(box))
		out, ok := r.difference(shells(area), near)
		if !ok || len(out) == 0 || r.unclearZoneIn(out.Bound()) {
			continue
		}
		if edges == nil {
			var all orb.MultiPolygon
			for i := range zones.areas {
				all = append(all, shells(zones.areas[i])...)
			}
			edges = plane.NewLocator(all)
		}
		at, far := farthest(out, edges, math.Inf(1))
		if far <= slackM {
			continue
		}
		_, edge := edges.DistanceToBoundary(at)
		x := r.finding(r.Place(at), f)
		x.Measured, x.Limit, x.Unit = far, 0, "m"
		x.AreaM2 = plane.Area(out)
		x.Trace = r.trace(at, edge)
		verb := "sticks out of the zones by"
		if x.AreaM2 >= plane.Area(shells(area))*(1-1e-9) {
			verb = "lies wholly outside the zones and reaches"
		}
		x.Message = fmt.Sprintf("%s %s; %s of it lie outside", verb, metres(far), squareMetres(x.AreaM2))
		if verb != "sticks out of the zones by" {
			x.Message = fmt.Sprintf("lies wholly outside the zones and reaches %s away from the nearest", metres(far))
		}
	}
}

// inZoneOff reports whether a keep-out lies in a zone that is switched off, on
// the coordinates as read.
func (r *run) inZoneOff(f *Feature) bool {
	for _, z := range r.Inactive {
		if z.Role != schema.RoleZone {
			continue
		}
		g := Feature{Feature: z}
		b := builder{ground: make([]orb.Point, countVertices(z.Geometry)), highest: maxHeightM}
		b.add(&g, z.Geometry)
		for i := range g.Areas {
			if vertices, crossed := against(f, g.Areas[i].Read); !crossed && vertices == f.countPoints() {
				return true
			}
		}
	}
	return false
}

func checkKeepoutsOverlap(r *run) {
	if !r.onGround() {
		return
	}
	r.overlaps(r.needKeepouts())
}

// overlaps reports every two areas of the list that share ground.
func (r *run) overlaps(list *solids) {
	for i, f := range list.features {
		for _, k := range list.near(list.bounds[i]) {
			if k <= i {
				continue
			}
			shared, width, at := r.overlap(list.areas[i], list.bounds[i], list.areas[k], list.bounds[k])
			if len(shared) == 0 || width <= slackM {
				continue
			}
			x := r.finding(r.Place(at), f, list.features[k])
			x.Measured, x.Limit, x.Unit = width, 0, "m"
			x.AreaM2 = plane.Area(shared)
			x.Trace = r.trace(shared[0][0]...)
			x.Message = fmt.Sprintf("the two share %s of ground, up to %s wide", squareMetres(x.AreaM2), metres(width))
		}
	}
}
