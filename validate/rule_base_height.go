// Whether a base's antenna can stand where its height has it: part of the rule
// base-height.

package validate

import (
	"fmt"
	"math"

	"swardline/schema"
)

// What lies between the heights of an antenna and of ground near it (common
// practice, no source): the steepest ground between the two, what is let pass,
// and the highest roof or mast of a base that does not say how high it is.
const (
	steepestAside = 0.5
	antennaSlackM = 2.0
	roofMastM     = 30.0
	aboutAsNearM  = 5.0
)

// antennaOff tells a base whose antenna stands higher above, or deeper below,
// the nearest heights of the ground than it can: two references of height in one
// plan, as an ellipsoid and a geoid are, or an antenna_height_m that is not so.
func (r *run) antennaOff(f *Feature, v *Vertex) {
	mast, told := f.Float(schema.PropAntennaHeight)
	if told && mast == 0 {
		r.cannot("%s has an antenna_height_m of 0, which puts the antenna on the ground: measure how high above the ground it is", f.describe())
		return
	}
	low, high := 0.0, roofMastM
	if told && mast > 0 && mast <= highestMastM {
		low, high = mast, mast
	}
	grounds := func(visit func(g *Feature)) {
		for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleMark} {
			for _, g := range r.Of(role) {
				if g.usable() && !r.clamped(g) && g.Far == f.Far {
					visit(g)
				}
			}
		}
	}
	each := func(visit func(away, h float64)) {
		grounds(func(g *Feature) { g.raised(func(p raised) { visit(distance(v.Ground, p.ground), p.h) }) })
	}
	plain := true // no height of them all is far enough off
	grounds(func(g *Feature) {
		if l, h := g.heightRange(); h >= l {
			plain = plain && v.Height-l-high <= antennaSlackM && low-(v.Height-h) <= antennaSlackM
		}
	})
	if plain {
		return
	}
	nearest := math.Inf(1)
	each(func(away, _ float64) { nearest = min(nearest, away) })
	// The best of those about as near: the nearest may lie below a wall.
	off, ground := math.Inf(1), 0.0
	each(func(away, h float64) {
		up := v.Height - h
		if by := max(up-high, low-up, 0) - steepestAside*away; away <= nearest+aboutAsNearM && by < off {
			off, ground = by, h
		}
	})
	if math.IsInf(off, 1) || off <= antennaSlackM+slackM {
		return
	}
	x := r.finding(r.placeRead(f, v.Read, v.Ground), f)
	x.Severity = Warning
	x.Measured, x.Unit = math.Abs(v.Height-ground), "m"
	side := "above"
	if v.Height < ground {
		side = "below"
	}
	says := "no antenna_height_m"
	if told {
		says = fmt.Sprintf("an antenna_height_m of %s", trim(mast, 3))
	}
	x.Message = fmt.Sprintf("its antenna stands %s %s the ground nearest by (%s), with %s: another height reference than the rest, or another antenna height?", metres(math.Abs(v.Height-ground)), side, metres(ground), says)
}

// heights calls visit with every height of a feature.
func (f *Feature) heights(visit func(h float64)) {
	f.raised(func(p raised) { visit(p.h) })
}
