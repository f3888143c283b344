// The rule base-in-zone: no mast and no outlet stands on ground that is driven.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var baseZoneRules = []Rule{{
	Name: RuleBaseInZone, Severity: Error, Limits: []string{"machine_width_m"}, Over: one(schema.RoleBase, schema.RoleSupply), run: checkBaseInZone,
	Page: Page{
		What: "Whether a base, or an outlet, which is a warning, stands on ground that is driven: in a zone and in no keep-out, or less than half the machine's width from the line of a corridor. " +
			"A millimetre is rounding.",
		Why:    "A machine that runs into the mast moves the antenna, and with it every outline; one that runs into an outlet meets mains electricity.",
		Source: sourcePractice,
		Fails:  "a base in the middle of a lawn",
		Passes: "the same base in a keep-out",
		Mend:   "draw a keep-out round it",
	},
}}

func checkBaseInZone(r *run) {
	if !r.onGround() {
		return
	}
	zones := r.needZones()
	for _, role := range [...]schema.Role{schema.RoleBase, schema.RoleSupply} {
		for _, f := range r.Of(role) {
			if !f.usable() {
				r.cannot("%s cannot be measured", f.describe())
				continue
			}
			for i := range f.Points {
				r.standsInWay(f, f.Points[i].Ground, zones)
			}
		}
	}
}

// standsInWay tells of what stands at p and is driven over.
func (r *run) standsInWay(f *Feature, p orb.Point, zones *solids) {
	tell := func(other *Feature, limit, measured float64, words string) {
		x := r.finding(r.Place(p), f, other)
		if f.Role == schema.RoleSupply {
			x.Severity = Warning
		}
		x.Measured, x.Limit, x.Unit = measured, limit, "m"
		x.Message = words
	}
	for _, i := range zones.near(p.Bound().Pad(slackM)) {
		n := r.netOf(i)
		z := zones.features[i]
		d, _, _, near := n.within(plane.NewGauge(p), 2*slackM)
		switch {
		case !near || d > slackM:
		case !n.ok: // a keep-out may cover it
			r.cannot("what keep-outs leave of %s cannot be told", z.describe())
		default:
			tell(z, math.NaN(), math.NaN(), "stands on mown ground of "+z.describe()+", in no keep-out")
		}
	}
	for _, c := range r.corridors() {
		half := r.of(c.f).MachineWidthM / 2
		if d, _, _ := plane.NewGauge(p).Clearance(plane.NewGauge(c.pts)); d < half-slackM {
			tell(c.f, half, d, fmt.Sprintf("stands %s from the line of %s; half the machine is %s wide", metresPast(d, half), c.f.describe(), metres(half)))
		}
	}
}
