// Rule on the base's history: base-moved.

package validate

import (
	"fmt"
	"math"
	"strings"

	"swardline/schema"
)

var historyRules = []Rule{{
	Name: RuleBaseMoved, Severity: Warning, Limits: []string{"drift_unchanged_m", "drift_stop_m"}, run: checkBaseMoved,
	Page: Page{
		What: "The horizontal distance between the base in the plan and the stored position in the newest entry of the plan's history; of a corrected plan that gives the ground, the antenna's. From drift_stop_m on it is an error. " +
			"A height that differs by more than drift_stop_m is told too. The newest entry is the last of the list; where another has a later date (year-month-day), the base is held to both. " +
			"A list that stands under another name with the word history in it, or on the base itself, is not read, and told.",
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
	r.strayHistory()
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
	ground, err := givenOf(r.Plan)
	if err != nil {
		x := r.finding(nil)
		x.Message = err.Error()
		return
	}
	last := entries[len(entries)-1]
	if r.baseAgainst(bases[0], last, ground, ""); len(r.findings) > 0 {
		return
	}
	if newest := latest(entries); newest.Date != last.Date {
		r.baseAgainst(bases[0], newest, ground, ", which by its date is the newest entry and not the last of the list")
	}
}

// latest is the entry with the latest date, year-month-day; of one day the
// later in the list, and the last of the list when none has a date.
func latest(entries []Entry) Entry {
	out := entries[len(entries)-1]
	if !isDay(out.Date) {
		return out
	}
	for _, e := range entries {
		if isDay(e.Date) && e.Date > out.Date {
			out = e
		}
	}
	return out
}

// isDay reports whether a date begins as year-month-day.
func isDay(s string) bool {
	return len(s) >= 10 && s[4] == '-' && s[7] == '-' && !strings.ContainsFunc(s[:4]+s[5:7]+s[8:10], func(c rune) bool { return c < '0' || c > '9' })
}

// baseAgainst holds the base to one entry of its history.
func (r *run) baseAgainst(base *Feature, e Entry, ground bool, why string) {
	at := e.Stored
	if ground {
		at = e.Antenna
	}
	was, ok := r.LonLatToGround(float64(at.Lon), float64(at.Lat))
	if !ok || math.IsNaN(was[0]) || math.IsNaN(was[1]) {
		r.cannot("the history's position of the base cannot be put on the ground")
		return
	}
	is := base.Points[0]
	off, limit, stop := distance(is.Ground, was), r.of(base).DriftUnchangedM, r.of(base).DriftStopM
	up := math.Abs(is.Height - float64(at.H))
	if off <= limit && !(up > stop) {
		return
	}
	x := r.finding(r.placeRead(base, is.Read, is.Ground), base)
	x.Unit = "m"
	if off <= limit {
		x.Measured, x.Limit = up, stop
		x.Message = fmt.Sprintf("stands at a height of %s, and the plan's history of %s has it at %s%s", metres(is.Height), e.Date, metres(float64(at.H)), why)
		return
	}
	x.Measured, x.Limit = off, limit
	x.Trace = r.trace(is.Ground, was)
	if off >= stop {
		x.Severity = Error
	}
	x.Message = fmt.Sprintf("stands %s from where the plan's history of %s has it%s", metres(off), e.Date, why)
}

// strayHistory tells a history that stands where none is read.
func (r *run) strayHistory() {
	holds := func(a schema.Attribute) bool {
		k := a.Value.Kind()
		return strings.Contains(schema.FoldName(a.Key), "history") && (k == schema.KindList || k == schema.KindObject)
	}
	for _, a := range r.Plan.Attributes {
		if a.Key != schema.PlanHistory && holds(a) {
			r.finding(nil).Message = fmt.Sprintf("the plan's member %s is not read: the base's history stands in the member %s, a list of entries", quote(a.Key), schema.PlanHistory)
		}
	}
	for _, f := range r.Of(schema.RoleBase) {
		for _, a := range f.Attributes {
			if holds(a) {
				r.finding(r.middle(f), f).Message = fmt.Sprintf("its property %s is not read: the base's history stands in the plan's member %s", quote(a.Key), schema.PlanHistory)
			}
		}
	}
}
