// Rule on the low-voltage cable: cable-run.

package validate

import (
	"fmt"
	"math"

	"swardline/schema"
)

var cableRules = []Rule{{
	Name: "cable-run", Severity: Warning, Limits: []string{"cable_run_m"}, run: checkCableRun,
	Page: Page{
		What:   "The straight distance on the ground from every dock and base to the nearest supply point. The cable as laid is never shorter.",
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
	asked := false
	for _, role := range [...]schema.Role{schema.RoleDock, schema.RoleBase} {
		for _, f := range r.usableOf(role) {
			for _, v := range f.Points {
				asked = true
				best, bestM := (*Feature)(nil), math.Inf(1)
				var to Vertex
				for _, s := range supplies {
					for _, w := range s.Points {
						if d := math.Hypot(v.Ground[0]-w.Ground[0], v.Ground[1]-w.Ground[1]); d < bestM {
							best, bestM, to = s, d, w
						}
					}
				}
				limit := r.of(f).CableRunM
				if best == nil || bestM <= limit+slackM {
					continue
				}
				x := r.finding(r.placeRead(f, v.Read, v.Ground), f, best)
				x.Measured, x.Limit, x.Unit = bestM, limit, "m"
				x.Trace = r.trace(v.Ground, to.Ground)
				x.Message = fmt.Sprintf("%s in a straight line from the nearest supply, %s; the cable may run %s", metres(bestM), best.describe(), metres(limit))
			}
		}
	}
	if !asked {
		r.cannot("the plan has no active dock or base to supply")
	}
}
