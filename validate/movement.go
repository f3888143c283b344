// The movement of the base that marks measured again show.

package validate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"swardline/crs"
	"swardline/crs/adjust"
	"swardline/schema"
)

// leastTrusted is how many marks must be left for a fit without the suspect
// ones to be believed: of fewer none could be told from the others.
const leastTrusted = 3

// MarkMovement is what one mark shows by itself: position again less position
// in the plan, east and north in metres.
type MarkMovement struct {
	Name string
	E, N float64
}

// MarksMovement is what marks measured again say of the base.
type MarksMovement struct {
	// Movement is that of the antenna: the negative of the common shift of the
	// marks, for what a rover reports at a mark moves against the ground
	// driven. It is none when the decision is unchanged and no movement is
	// significant; and the shift of the trusted marks when some were left out.
	Movement Movement
	// Fit is the fit of all marks. Refit is the one without the suspect marks,
	// nil when none is suspect or none are left.
	Fit, Refit *adjust.ShiftFit
	// Trusted is set when Refit, not Fit, is what Movement stands on.
	Trusted bool
	// Raw is what each mark shows by itself, in the order of the fit.
	Raw      []MarkMovement
	Measured Measured
	Decision Decision
	// Notes name marks without a partner.
	Notes []string
}

// MarksOptions are what is known besides the marks.
type MarksOptions struct {
	// SigmaM is the standard deviation in metres of one measured mark, east and
	// north each; 0 to estimate it from the marks.
	SigmaM float64
	// Stored is what the base's stored coordinates changed by meanwhile.
	Stored crs.Local
}

// MovementFromMarks fits one shift to the marks of the plan and the points of
// again, matched by name, and decides what it shows of the ground driven. Both
// plans must be in one CRS. The limits of the plan's own hold.
//
// Marks show dS - dA (see the model above). Of a plan held as offsets the
// ground moves by dA alone, so what is stored is taken off before the decision.
//
// The errors are HeldOf's, PairMarks' and those of the fit.
func MovementFromMarks(p, again *schema.Plan, l schema.Limits, known MarksOptions) (*MarksMovement, error) {
	held, _, err := HeldOf(p)
	if err != nil {
		return nil, err
	}
	// A rover reports what the machine would hold at a mark.
	if p, err = MachineOf(p); err != nil {
		return nil, err
	}
	if again, err = MachineOf(again); err != nil {
		return nil, err
	}
	pairs, notes, err := PairMarks(p, again)
	if err != nil {
		return nil, err
	}
	out := &MarksMovement{Notes: notes}
	if own, _, err := l.Override(p.Attributes.Get(schema.PlanLimits), schema.OriginPlan, "the plan"); err == nil {
		l = own
	}
	o := adjust.ShiftOptions{Sigma: known.SigmaM}
	if out.Fit, err = adjust.FitShift(pairs, o); err != nil {
		return nil, err
	}
	for _, x := range pairs {
		out.Raw = append(out.Raw, MarkMovement{x.Name, x.After.E - x.Before.E, x.After.N - x.Before.N})
	}
	fit, on := out.Fit, pairs
	if len(fit.Suspects) > 0 {
		rest := slices.DeleteFunc(slices.Clone(pairs), func(x adjust.ShiftMark) bool { return slices.Contains(fit.Suspects, x.Name) })
		if len(rest) > 0 {
			if out.Refit, err = adjust.FitShift(rest, o); err != nil {
				return nil, err
			}
			r := out.Refit
			out.Trusted = len(rest) >= leastTrusted && r.Tested && r.Consistent && !r.FormSignificant && len(r.Suspects) == 0
		}
		if out.Trusted {
			fit, on = out.Refit, rest
		}
	}
	var off adjust.Offset
	if held == HeldOffsets {
		off = adjust.Offset{E: float64(known.Stored.E), N: float64(known.Stored.N), U: float64(known.Stored.U)}
	}
	out.Measured = measuredOf(fit, on, off)
	out.Measured.Suspects = out.Fit.Suspects
	out.Decision = Decide(out.Measured, l)
	d := crs.Local{E: -crs.Metres(out.Measured.E), N: -crs.Metres(out.Measured.N), U: crs.Metres(off.U - fit.Shift.U)}
	if out.Decision.Row == RowUnchanged && !out.Decision.Significant {
		d.E, d.N = 0, 0
	}
	if fit.UpTested && !fit.UpSignificant {
		d.U = crs.Metres(off.U)
	}
	// d is the ground's: dA for offsets, dA - dS for coordinates.
	if held == HeldCoordinates {
		d = crs.Local{E: d.E + known.Stored.E, N: d.N + known.Stored.N, U: d.U + known.Stored.U}
	}
	out.Movement = Movement{Antenna: d, Stored: known.Stored, NoHeight: !fit.HasUp}
	return out, nil
}

// measuredOf turns a fit of marks, less a part that is known, into what the
// decision asks.
func measuredOf(f *adjust.ShiftFit, marks []adjust.ShiftMark, off adjust.Offset) Measured {
	m := Measured{E: f.Shift.E - off.E, N: f.Shift.N - off.N, Turned: f.FormSignificant, Apart: !f.Consistent}
	if f.Tested {
		m.EE, m.NN = f.SE.E*f.SE.E, f.SE.N*f.SE.N
		if !f.SigmaKnown {
			m.Freedom = f.Redundancy
		}
	}
	if f.HasUp {
		m.Up, m.UpSignificant = f.Shift.U-off.U, f.UpSignificant || off.U != 0
	}
	for _, x := range marks {
		m.LargestM = math.Max(m.LargestM, math.Hypot(x.After.E-x.Before.E-off.E, x.After.N-x.Before.N-off.N))
		if up := math.Abs(x.After.U - x.Before.U - off.U); f.HasUp && up > m.LargestUpM {
			m.LargestUpM, m.LargestUp = up, x.Name
		}
	}
	return m
}

// Correctable gives nil when a plan may be corrected for what the marks show,
// else why not: a correction needs one movement that they agree on.
func (m *MarksMovement) Correctable() error {
	d, x := m.Decision, m.Measured
	switch {
	case d.Row == RowUnchanged:
		return nil
	case x.Turned:
		return errors.New("the marks turned or changed scale, which no moved base does: measure them again before the plan is corrected")
	case len(x.Suspects) > 0 && !m.Trusted:
		return fmt.Errorf("a mark moved otherwise than the rest, and without it there are not %d that agree: measure more marks before the plan is corrected", leastTrusted)
	case x.Apart:
		return errors.New("the marks did not move together: measure them again before the plan is corrected")
	case len(m.Raw) < 2:
		return errors.New("one mark alone cannot tell a moved base from a moved mark: measure another before the plan is corrected")
	case !d.Tested:
		return errors.New("the error of the marks is not known: say it, or measure more marks before the plan is corrected")
	case !d.Significant:
		return errors.New("the marks show no movement that is more than their error: measure more marks before the plan is corrected")
	}
	return nil
}
