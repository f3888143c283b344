// What a displacement breaks: the rules drift-*, one file each, and the
// verdict.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/schema"
)

// driftRules are the rules on a displacement. The driven ground is the active
// zones less the keep-outs, the corridors with the machine's half width, and
// what docking takes: the strip of the machine's width between the dock and its
// line-up point, and the disc there in which it turns. Each rule compares it,
// displaced, with the ground as it is.
var driftRules = []Rule{
	driftEntersHazard,
	driftEntersBuilding,
	driftCrossesEdge,
	driftLeavesBoundary,
	driftEntersKeepout,
	driftLeavesZone,
	driftOffDock,
	driftBaseRange,
	driftHeight,
}

// Verdict says what to do.
type Verdict string

// The verdicts.
const (
	VerdictUnchanged Verdict = "unchanged"  // nothing moved that the limits would notice
	VerdictRemeasure Verdict = "re-measure" // it moved; measure marks before going on
	VerdictStop      Verdict = "stop"       // the machine must not drive this plan
)

// DriftReport is what a movement of the base does to a plan.
type DriftReport struct {
	Site *Site
	Held Held
	// HeldStated is false when the plan does not say how it is held.
	HeldStated bool
	Movement   Movement
	// Shift is the displacement of the driven ground, east, north, up in
	// metres.
	Shift crs.Local
	// Findings stand worst first: by severity, then by depth.
	Findings []Finding
	Margin   Margin
	Verdict  Verdict
	// Marks is what the movement was taken from, nil when it was told
	// otherwise. Its decision and what the displacement breaks make the verdict
	// together: the graver of the two.
	Marks *MarksMovement
	// Broken is the probability that an uncertain base breaks something, NaN
	// when no uncertainty was given.
	Broken float64
	// Uncertainty is what Broken stands for.
	Uncertainty Uncertainty
	Limits      schema.Limits
	// Rules has a result for each of RulesOf(CommandDrift), in its order.
	Rules []Result
	// Unchecked says what could not be measured.
	Unchecked []string
	Advice    []string
}

// Uncertainty is the normally distributed error of a base's horizontal
// position.
type Uncertainty struct {
	// SigmaE and SigmaN are standard errors in metres, Correlation their
	// correlation, between -1 and 1.
	SigmaE, SigmaN, Correlation float64
}

// Check gives an error for what is no covariance.
func (u Uncertainty) Check() error {
	if !(u.SigmaE > 0 && u.SigmaN > 0 && u.SigmaE < MaxMovementM && u.SigmaN < MaxMovementM) {
		return fmt.Errorf("standard errors are above 0 and below %d m, not %g and %g", MaxMovementM, u.SigmaE, u.SigmaN)
	}
	if !(u.Correlation > -1 && u.Correlation < 1) {
		return fmt.Errorf("a correlation lies between -1 and 1, not %g", u.Correlation)
	}
	return nil
}

// DriftOptions say what is wanted beside the displacement itself.
type DriftOptions struct {
	// Uncertainty of the base; the zero value means that none was given.
	Uncertainty Uncertainty
	// Bearings is how many bearings the rose has, RoseBearings when 0.
	Bearings int
	// Marks is what the movement was taken from, nil when it was told
	// otherwise.
	Marks *MarksMovement
}

// Drift displaces the driven ground of a plan and reports what that breaks, how
// much movement the plan bears, and what to do. The error is for a plan that
// cannot be put on the ground, one without anything to drive, or a movement
// that is no base's.
func Drift(p *schema.Plan, l schema.Limits, m Movement, o DriftOptions) (*DriftReport, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	held, stated, err := HeldOf(p)
	if err != nil {
		return nil, err
	}
	s, err := grounded(p)
	if err != nil {
		return nil, err
	}
	r := newRun(s, l)
	out := &DriftReport{Site: s, Held: held, HeldStated: stated, Movement: m, Shift: m.Displacement(held), Broken: math.NaN(), Uncertainty: o.Uncertainty, Marks: o.Marks}
	driven, err := r.driven()
	if err != nil {
		return nil, err
	}
	forbidden, err := r.forbidden()
	if err != nil {
		return nil, err
	}
	d := &drift{run: r, driven: driven, forbidden: forbidden, by: orb.Point{float64(out.Shift.E), float64(out.Shift.N)}, report: out}
	d.after, r.drift = moved(driven.whole, d.by), d
	if out.Rules, out.Findings, err = r.judge(CommandDrift); err != nil {
		return nil, err
	}
	out.Limits = r.limits
	out.Unchecked = r.said
	sortDrift(out.Findings)
	if err := d.meetNow(); err != nil {
		return nil, err
	}
	bearings := o.Bearings
	if bearings == 0 {
		bearings = RoseBearings
	}
	out.Margin = marginOf(wound(driven.whole), d.forbidden, bearings)
	if u := o.Uncertainty; u != (Uncertainty{}) {
		if err := u.Check(); err != nil {
			return nil, err
		}
		out.Broken = BreakProbability(out.Margin.Rose, u.SigmaE*u.SigmaE, u.Correlation*u.SigmaE*u.SigmaN, u.SigmaN*u.SigmaN)
	}
	out.Verdict = d.verdict()
	if o.Marks != nil {
		out.Verdict = worse(out.Verdict, o.Marks.Decision.Verdict)
	}
	out.Advice = d.advice()
	return out, nil
}

// drift is one displacement being judged.
type drift struct {
	*run
	driven    *drivenGround
	forbidden []driftObstacle
	by        orb.Point
	report    *DriftReport
	after     orb.MultiPolygon // the driven ground displaced
}

// weight is what a finding of a rule does to the verdict.
type weight uint8

const (
	tells      weight = iota // nothing by itself
	stops                    // the machine must not drive
	stopsMoved               // the same, once the ground has moved past drift_unchanged_m
)

// verdict weighs the displacement and what it breaks.
func (d *drift) verdict() Verdict {
	h := math.Hypot(d.by[0], d.by[1])
	moved := h > d.limits.DriftUnchangedM || !d.report.Movement.NoHeight && math.Abs(float64(d.report.Shift.U)) > d.limits.DriftUnchangedM
	for i := range d.report.Findings {
		rule, _ := Find(d.report.Findings[i].Rule)
		if rule.weight == stops || rule.weight == stopsMoved && moved {
			return VerdictStop
		}
	}
	switch {
	case h >= d.limits.DriftStopM:
		return VerdictStop
	case moved:
		return VerdictRemeasure
	}
	return VerdictUnchanged
}

// sortDrift puts the worst first: by severity, then by how far the measure is
// past its limit.
func sortDrift(list []Finding) {
	row := func(f Finding) int { return slices.IndexFunc(Rules, func(r Rule) bool { return r.Name == f.Rule }) }
	slices.SortStableFunc(list, func(a, b Finding) int {
		return cmp.Or(a.Severity.Rank()-b.Severity.Rank(), row(a)-row(b), cmp.Compare(b.Measured-b.Limit, a.Measured-a.Limit))
	})
}
