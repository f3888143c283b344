// What to do about a movement: how many marks, how far apart, would settle it.

package validate

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"
)

// markSigmaM is the standard deviation in metres of one horizontal component of
// a mark measured with fixed ambiguities (from memory: 8 mm + 1 mm/km and the
// pole's centring).
const markSigmaM = 0.010

// noncentral is the noncentrality of a chi-square variable of two degrees of
// freedom that a test at 5 % finds with 95 % probability (Baarda's lambda,
// computed from the noncentral chi-square distribution).
const noncentral = 15.4431

// MarksFor is how many marks, each with the standard deviation sigma metres a
// component, show a movement of detect metres at 5 % error with 95 %
// probability: n = lambda sigma^2 / detect^2, at least 3 so that a bad mark
// shows too.
func MarksFor(sigma, detect float64) int {
	return max(3, int(math.Ceil(noncentral*sigma*sigma/(detect*detect)-1e-9)))
}

// SpreadFor is how far from their middle, in metres (root mean square), n marks
// must stand so that a rotation that moves the site's far end, reach metres
// from that middle, by detect metres is found like a shift is: one degree of
// freedom with the noncentrality 12.995 at 5 % and 95 %, and a rotation's
// standard error of sigma / (spread sqrt n).
func SpreadFor(n int, sigma, detect, reach float64) float64 {
	const one = 12.9947
	return reach * math.Sqrt(one/float64(n)) * sigma / detect
}

func (d *drift) advice() []string {
	var out []string
	l := d.limits
	switch d.report.Verdict {
	case VerdictUnchanged:
		return append(out, fmt.Sprintf("a displacement of up to %s counts as unchanged", metres(l.DriftUnchangedM)))
	case VerdictStop:
		out = append(out, "take the machine out of work until the base is put right or the plan is corrected and checked again")
	}
	if m := d.report.Marks; m != nil {
		out = append(out, d.adviceAfterMarks(m)...)
	} else if more := d.measureMarks(); more != "" {
		out = append(out, more)
	}
	if !d.report.HeldStated {
		out = append(out, "the plan does not say whether the machine holds it as offsets or as coordinates; coordinates were assumed")
	}
	return out
}

// measureMarks says how many marks, how far apart, would settle it; "" when no
// limit says what to settle.
func (d *drift) measureMarks() string {
	l := d.limits
	if !(l.DriftUnchangedM > 0) {
		return ""
	}
	n := MarksFor(markSigmaM, l.DriftUnchangedM)
	_, reach := middleAndReach(d.driven.whole)
	spread := SpreadFor(n, markSigmaM, l.DriftUnchangedM, reach)
	return fmt.Sprintf("measure at least %d marks (each good to %s): they show a movement of %s; let them stand about %.0f m from their middle, on all sides, so that a turn shows too",
		n, metres(markSigmaM), metres(l.DriftUnchangedM), math.Ceil(spread))
}

// adviceAfterMarks says what is left to do once marks were measured.
func (d *drift) adviceAfterMarks(m *MarksMovement) []string {
	var out []string
	x := &m.Measured
	if len(x.Suspects) > 0 {
		out = append(out, fmt.Sprintf("measure %s again: it moved otherwise than the rest, so it was knocked, mistaken for another, or measured badly", strings.Join(x.Suspects, ", ")))
	}
	switch {
	case m.Correctable() == nil:
		out = append(out, "put the base back where it stood, or correct the plan for the movement (--correct), then measure the marks again")
	case x.Turned:
		out = append(out, "look whether marks were exchanged or measured in another grid, and measure them again")
	case len(x.Suspects) > 0 && !m.Trusted || x.Apart || !m.Decision.Tested || !m.Decision.Significant:
		if more := d.measureMarks(); more != "" {
			out = append(out, more)
		}
		if !m.Decision.Tested {
			out = append(out, "say how well a mark was measured (--mark-sigma)")
		}
	default:
		out = append(out, "measure another mark: one alone cannot tell a moved base from a moved mark")
	}
	return out
}

// middleAndReach is the middle of the areas' box and the distance from there to
// its corner.
func middleAndReach(areas orb.MultiPolygon) (orb.Point, float64) {
	b := areas.Bound()
	return b.Center(), distance(b.Min, b.Max) / 2
}
