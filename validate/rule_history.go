// Rule on the base's history: base-moved.

package validate

import (
	"fmt"
	"math"

	"swardline/schema"
)

var historyRules = []Rule{{
	Name: RuleBaseMoved, Severity: Warning, Limits: []string{"drift_unchanged_m", "drift_stop_m"}, run: checkBaseMoved,
	Page: Page{
		What:   "The horizontal distance between the base in the plan and the stored position in the newest entry of the plan's history; of a corrected plan that gives the ground, the antenna's. From drift_stop_m on it is an error.",
		Why:    "Somebody edited the base and nothing else. Every boundary hangs from it, so either the edit or the boundaries are wrong on the ground.",
		Source: sourcePractice,
		Fails:  "a base drawn 0.5 m from the position its history records, limit 0.02 m",
		Passes: "a base at the position its history records",
		Mend:   "ask who moved what, then 'swardline drift' with --stored or --base, and --correct",
	},
}}

func checkBaseMoved(r *run) {
	entries, err := History(r.Plan)
	if err != nil {
		x := r.finding(nil)
		x.Message = err.Error()
		return
	}
	if len(entries) == 0 {
		r.notNeeded("the plan keeps no history of its base")
		return
	}
	bases := r.need(schema.RoleBase)
	if len(bases) == 0 || len(bases[0].Points) == 0 {
		return
	}
	if r.Frame != FrameEarth {
		r.cannot("the base has no longitude and latitude to compare with its history")
		return
	}
	base, last := bases[0], entries[len(entries)-1]
	at := last.Stored
	if ground, err := givenOf(r.Plan); err != nil {
		x := r.finding(nil)
		x.Message = err.Error()
		return
	} else if ground {
		at = last.Antenna
	}
	was, ok := r.LonLatToGround(float64(at.Lon), float64(at.Lat))
	if !ok || math.IsNaN(was[0]) || math.IsNaN(was[1]) {
		r.cannot("the history's position of the base cannot be put on the ground")
		return
	}
	is := base.Points[0]
	off, limit := distance(is.Ground, was), r.of(base).DriftUnchangedM
	if off <= limit {
		return
	}
	x := r.finding(r.placeRead(base, is.Read, is.Ground), base)
	x.Measured, x.Limit, x.Unit = off, limit, "m"
	x.Trace = r.trace(is.Ground, was)
	if off >= r.of(base).DriftStopM {
		x.Severity = Error
	}
	x.Message = fmt.Sprintf("stands %s from where the plan's history of %s has it", metres(off), last.Date)
}
