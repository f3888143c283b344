// Whether a plan's history agrees with itself, so that the ground can be got
// from it: one verdict for check and for all that is handed over.

package validate

import (
	"fmt"
	"math"

	"swardline/crs"
	"swardline/schema"
)

// mostHeldM is how far off the machine may hold the lines before somebody has
// to look whether that is so: a base set up metres away is stored anew (common
// practice, no source).
const mostHeldM = 5.0

// A HistoryError says that a plan's history cannot tell where its lines are.
type HistoryError struct {
	Err error
	// Own is false for a member history that is none of a base, in a plan that
	// does not say which way it is given.
	Own bool
}

func (e *HistoryError) Error() string { return e.Err.Error() }

// Unwrap returns what is wrong.
func (e *HistoryError) Unwrap() error { return e.Err }

// Mend says what to do about it.
func (e *HistoryError) Mend() string {
	return "put the plan's members history and given right from a copy as it was written; where the coordinates are known to be the ground, take both out"
}

// historyError wraps what is wrong with a plan's history, nil for nothing.
func historyError(p *schema.Plan, err error) error {
	if err == nil {
		return nil
	}
	own := !isNull(p.Attributes.Get(schema.PlanGiven))
	for _, entry := range p.Attributes.Get(schema.PlanHistory).Items() {
		own = own || entry.Fields().Has(schema.EntryStored)
	}
	return &HistoryError{err, own}
}

// newestAgrees holds the newest entry against the corrections: every one adds
// its shift_m to how far the antenna is from what is stored (see Correct), so
// that away, antenna less stored, is their sum. What may be left is the default
// of drift_unchanged_m, not the plan's own: no plan loosens what tells that it
// contradicts itself.
func newestAgrees(entries []Entry, away crs.Local) error {
	last := entries[len(entries)-1]
	var sum crs.Local
	for i := range entries {
		s := entries[i].Shift
		sum.E, sum.N, sum.U = sum.E+s.E, sum.N+s.N, sum.U+s.U
	}
	limit := schema.DefaultLimits().DriftUnchangedM
	off := math.Hypot(float64(away.E-sum.E), float64(away.N-sum.N))
	up := 0.0
	if last.Stored.H == last.Stored.H && last.Antenna.H == last.Antenna.H {
		up = math.Abs(float64(away.U - sum.U))
	}
	if off <= limit && up <= limit {
		return nil
	}
	say := func(d crs.Local) string {
		return fmt.Sprintf("E %+.3f N %+.3f up %+.3f m", float64(d.E), float64(d.N), float64(d.U))
	}
	return fmt.Errorf("the plan's history contradicts itself: its newest entry%s has the antenna %s from the stored position, and the shift_m of its corrections come to %s; where the lines are on the ground cannot be told",
		ofDate(last), say(away), say(sum))
}

func ofDate(e Entry) string {
	if e.Date == "" {
		return ""
	}
	return " of " + e.Date
}

// heldWithoutOffset is the error for a plan that says that it gives what the
// machine holds, and whose history does not say how far that is off the ground.
func heldWithoutOffset(p *schema.Plan) error {
	if schema.FoldName(p.Attributes.Get(schema.PlanGiven).Text()) != schema.GivenHeld {
		return nil
	}
	return fmt.Errorf("the plan says that it gives what the machine holds (given: %s), and its history has no correction to get the ground from; where the lines are on the ground cannot be told", schema.GivenHeld)
}
