// Rule on the base's history: base-moved.

package validate

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/crs"
	"swardline/schema"
)

var historyRules = []Rule{{
	Name: RuleBaseMoved, Severity: Warning, Limits: []string{"drift_unchanged_m", "drift_stop_m"}, run: checkBaseMoved,
	Page: Page{
		What: "The horizontal distance between the base in the plan and the stored position in the newest entry of the plan's history; of a corrected plan that gives the ground, the antenna's. From drift_stop_m on it is an error. " +
			"A height that differs by more than drift_stop_m is told too. The newest entry is the last of the list; where another has a later date (year-month-day), the base is held to both. " +
			"A list that stands under another name with the word history in it, or on the base itself, is not read, and told; so is a member of an entry that none is called, and, as an error, a kind that is neither record nor correction, or a shift_m of what is no correction: neither moves anything. " +
			"A history that cannot be read or contradicts itself is an error too: the newest entry's antenna less its stored position has to be what the shift_m of all corrections come to, within 0.02 m, " +
			"and a plan given as held needs a correction to get its ground from. Conversions and hand-overs refuse such a plan. More than 5 m between the antenna and what is stored is a warning. " +
			"An entry in another frame than the base is not compared. That one feature of many was left out of a correction is not seen.",
		Why:    "Somebody edited the base and nothing else. Every boundary hangs from it, so either the edit or the boundaries are wrong on the ground.",
		Source: sourcePractice,
		Fails:  "a base drawn 0.5 m from the position its history records, limit 0.02 m",
		Passes: "a base at the position its history records",
		Mend:   "ask who moved what, then 'swardline drift' with --stored or --base, and --correct",
	},
}}

func checkBaseMoved(r *run) {
	r.strayHistory()
	r.strangeEntries()
	off, _, err := HeldOffset(r.Plan)
	if err == nil {
		_, err = givenOf(r.Plan)
	}
	if err != nil {
		x := r.finding(nil)
		x.Message = err.Error()
		var told *HistoryError
		if errors.As(err, &told) {
			if told.Own {
				x.Severity = Error
			}
			x.Message += "; " + told.Mend()
		}
		return
	}
	entries, err := History(r.Plan)
	if err != nil || len(entries) == 0 {
		r.notNeeded("the plan keeps no history of its base")
		return
	}
	if far := math.Hypot(float64(off.E), float64(off.N)); far > mostHeldM {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = far, mostHeldM, "m"
		x.Message = fmt.Sprintf("the plan's history has the antenna %s from what the machine stores; measure a mark or the base before anything drives by it", metresPast(far, mostHeldM))
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
	if own := base.Attributes.Get(schema.PropFrame).Text(); !sameFrameWords(own, last.Frame) {
		r.cannot("the newest entry of the plan's history is in %s and the base in %s: whether the base stands where it has been is not told by comparing the two", quote(last.Frame), quote(own))
		return
	}
	ground, _ := givenOf(r.Plan)
	before := len(r.findings)
	if r.baseAgainst(base, last, ground, ""); len(r.findings) > before {
		return
	}
	if newest := latest(entries); newest.Date != last.Date {
		r.baseAgainst(base, newest, ground, ", which by its date is the newest entry and not the last of the list")
	}
}

// sameFrameWords reports whether two frames are one, or one of them is not
// said.
func sameFrameWords(a, b string) bool {
	if a == "" || b == "" || schema.FoldName(a) == schema.FoldName(b) {
		return true
	}
	p, err1 := crs.ParseFrame(a)
	q, err2 := crs.ParseFrame(b)
	return err1 == nil && err2 == nil && p == q
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

// entryMembers are the members of an entry of the history that are read, and
// those that say something to people.
var entryMembers, entryNotes = strings.Fields("date kind stored antenna shift_m frame epoch measured_by"), strings.Fields("note comment remark reason by")

// strangeEntries tells what entries of the history hold that is not read.
func (r *run) strangeEntries() {
	for i, item := range r.Plan.Attributes.Get(schema.PlanHistory).Items() {
		kind := item.Fields().Get("kind")
		switch text := kind.Text(); {
		case !kind.IsAbsent() && text != EntryRecord && text != EntryCorrection:
			x := r.finding(nil)
			x.Severity = Error
			x.Message = fmt.Sprintf("entry %d of the plan's history is of the kind %s, which is none, so that a correction in it moves nothing: make it %s or %s", i+1, quote(text), EntryRecord, EntryCorrection)
		case text != EntryCorrection && item.Fields().Has("shift_m"):
			x := r.finding(nil)
			x.Severity = Error
			x.Message = fmt.Sprintf("entry %d of the plan's history has a shift_m and is no correction, so that it moves nothing: make its kind %s, or take the shift_m out", i+1, EntryCorrection)
		}
		for _, a := range item.Fields() {
			if slices.Contains(entryMembers, a.Key) || slices.Contains(entryNotes, schema.FoldName(a.Key)) {
				continue
			}
			near := ""
			for _, known := range entryMembers {
				if nearWord(foldKey(a.Key), foldKey(known)) {
					near = "; perhaps " + quote(known) + " is meant"
				}
			}
			r.finding(nil).Message = fmt.Sprintf("entry %d of the plan's history has a member %s, which is not read%s: an entry has %s", i+1, quote(a.Key), near, strings.Join(entryMembers, ", "))
		}
	}
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
