// What a measured movement of the base lets one say: one decision for marks
// measured again and for movements that other measurements show.

package validate

import (
	"fmt"
	"math"
	"strings"

	"swardline/schema"
)

// Measured is a movement of the base as some measurement shows it, with what is
// known of its error. Its sense (of the marks, or of the ground) does not
// matter to the decision, only its length does.
type Measured struct {
	// E and N are the movement in metres.
	E, N float64
	// EE, EN and NN are the covariance of E and N in square metres; all 0, or
	// not positive definite, when the error is not known.
	EE, EN, NN float64
	// Freedom is the number of degrees of freedom that the covariance was
	// estimated with; 0 when it was known beforehand.
	Freedom int
	// Up is the movement in height in metres, and UpSignificant whether it is
	// more than its error explains. NaN or 0 for none.
	Up            float64
	UpSignificant bool
	// LargestUpM is the largest change in height in metres of any single thing
	// measured, and LargestUp its name: heights that scatter this much hide a
	// movement from any test. NaN or 0 for none.
	LargestUpM float64
	LargestUp  string
	// LargestM is the largest movement in metres of any single thing measured
	// that the movement rests on, such as a mark; 0 when there are no such
	// things.
	LargestM float64
	// Turned is set when a turn (or a change of scale) is significant, which no
	// movement of a base gives. TurnMovesM is how far it moves the farthest
	// point.
	Turned     bool
	TurnMovesM float64
	// Suspects names what moved otherwise than the rest.
	Suspects []string
	// Apart is set when the things measured did not move together within their
	// known error.
	Apart bool
}

// DecisionRow names a row of the table of decisions.
type DecisionRow string

// The rows, in the order in which they are tried.
const (
	RowFar       DecisionRow = "far"       // something moved by drift_stop_m or more
	RowTurned    DecisionRow = "turned"    // a turn is significant
	RowSuspect   DecisionRow = "suspect"   // something moved otherwise than the rest
	RowApart     DecisionRow = "apart"     // they did not move together
	RowUntested  DecisionRow = "untested"  // the error is not known
	RowBlind     DecisionRow = "blind"     // drift_unchanged_m could not have been shown
	RowMoved     DecisionRow = "moved"     // it may have moved by more than drift_unchanged_m
	RowHeight    DecisionRow = "height"    // its height, or one thing's, changed by too much
	RowUnchanged DecisionRow = "unchanged" // none of these
)

// Decision is what a measured movement lets one say.
type Decision struct {
	Verdict Verdict
	// Row is the row of the table that decided, Why says it in words.
	Row DecisionRow
	Why string
	// Tested is false when the error is not known; the figures below then mean
	// nothing.
	Tested bool
	// Statistic is compared with Limit: d' C^-1 d with d the movement and C its
	// covariance. Significant is set above the limit, which movement by chance
	// alone passes 5 times in 100.
	Statistic, Limit float64
	Significant      bool
	// DetectableM is the smallest movement in metres that would have been
	// called significant 95 times in 100, whatever its bearing.
	DetectableM float64
	// BoundM is what the movement stays under: a larger one would have looked
	// as small as this less than 5 times in 100.
	BoundM float64
}

// decisionLevel is the probability of calling chance a movement, and of missing
// one: 5 in 100 each, as for the marks.
const decisionLevel = 0.05

// Decide says what a measured movement lets one say. The first row of this
// table that holds decides:
//
//	far        the movement, a single thing measured, or what a turn
//	           does is drift_stop_m or more                           stop
//	turned     a turn is significant                                  re-measure
//	suspect    something moved otherwise than the rest                re-measure
//	apart      they did not move together within their error          re-measure
//	untested   the error is not known                                 re-measure
//	blind      DetectableM is above drift_unchanged_m                 re-measure
//	moved      significant, and BoundM is above drift_unchanged_m     re-measure
//	height     a significant change in height is above it, or that of
//	           a single thing measured is drift_stop_m or more        re-measure
//	unchanged  none of these                                          unchanged
//
// So a base that moved by drift_unchanged_m or more, with normally distributed
// errors of the covariance given, is called unchanged at most 5 times in 100;
// one that did not move is called moved at most 5 times in 100.
//
// The statistic d' C^-1 d of two components follows a chi-square distribution
// of two degrees of freedom, whose upper tail is exp(-x/2), or with an
// estimated covariance of r degrees twice a Fisher distribution of 2 and r,
// whose upper tail is (1 + x/r)^(-r/2). DetectableM takes the noncentrality at
// which the chi-square test has power 0.95, BoundM the one at which the
// statistic would have stayed this small with probability 0.05; both are taken
// in the worst direction, by the larger eigenvalue of C, and stretched by the
// ratio of the two limits where the covariance was estimated.
func Decide(m Measured, l schema.Limits) Decision {
	d := m.test()
	h := math.Hypot(m.E, m.N)
	largest := math.Max(h, math.Max(m.LargestM, 0))
	if m.Turned {
		largest = math.Max(largest, m.TurnMovesM)
	}
	row := func(r DecisionRow, v Verdict, format string, args ...any) Decision {
		d.Row, d.Verdict, d.Why = r, v, fmt.Sprintf(format, args...)
		return d
	}
	switch {
	case !(largest < l.DriftStopM):
		return row(RowFar, VerdictStop, "a movement of %s was measured, and from %s on the verdict is stop", metres(largest), metres(l.DriftStopM))
	case m.Turned:
		return row(RowTurned, VerdictRemeasure, "what was measured turned or changed scale, which no moved base does")
	case len(m.Suspects) > 0:
		return row(RowSuspect, VerdictRemeasure, "%s moved otherwise than the rest", strings.Join(m.Suspects, ", "))
	case m.Apart:
		return row(RowApart, VerdictRemeasure, "what was measured did not move together")
	case !d.Tested:
		return row(RowUntested, VerdictRemeasure, "the error of what was measured is not known, so nothing is shown")
	case !(d.DetectableM <= l.DriftUnchangedM):
		return row(RowBlind, VerdictRemeasure, "what was measured shows a movement from %s on, and one above %s counts", metres(d.DetectableM), metres(l.DriftUnchangedM))
	case d.Significant && !(d.BoundM <= l.DriftUnchangedM):
		return row(RowMoved, VerdictRemeasure, "a movement of %s was measured, and it may be %s", metres(h), metres(d.BoundM))
	case m.UpSignificant && math.Abs(m.Up) > l.DriftUnchangedM:
		return row(RowHeight, VerdictRemeasure, "the height changed by %s", metres(math.Abs(m.Up)))
	case m.LargestUpM >= l.DriftStopM:
		return row(RowHeight, VerdictRemeasure, "the height of %s changed by %s: measure it again", m.LargestUp, metres(m.LargestUpM))
	}
	return row(RowUnchanged, VerdictUnchanged, "a movement of %s or more would have been shown 95 times in 100", metres(d.DetectableM))
}

// test works out the figures of the decision.
func (m Measured) test() Decision {
	var d Decision
	det := m.EE*m.NN - m.EN*m.EN
	if !(m.EE > 0 && m.NN > 0 && det > 0) || math.IsInf(det, 0) {
		return d
	}
	d.Tested = true
	d.Statistic = (m.NN*m.E*m.E - 2*m.EN*m.E*m.N + m.EE*m.N*m.N) / det
	chi := -2 * math.Log(decisionLevel)
	d.Limit = chi
	if m.Freedom > 0 {
		r := float64(m.Freedom)
		d.Limit = r * (math.Pow(decisionLevel, -2/r) - 1)
	}
	d.Significant = d.Statistic > d.Limit
	stretch := d.Limit / chi
	half := (m.EE - m.NN) / 2
	longest := math.Sqrt(stretch * ((m.EE+m.NN)/2 + math.Hypot(half, m.EN)))
	d.DetectableM = longest * math.Sqrt(noncentral)
	d.BoundM = longest * math.Sqrt(noncentralityBelow(d.Statistic/stretch))
	return d
}

// noncentralityBelow is the noncentrality at which a chi-square number of two
// degrees of freedom stays below x with probability decisionLevel; 0 when even
// a central one does so no more often.
func noncentralityBelow(x float64) float64 {
	root := math.Sqrt(x)
	if !(root >= 0) {
		return math.Inf(1)
	}
	z := math.Sqrt2 * math.Erfinv(1-2*decisionLevel)
	if root > 25 {
		// The distance from a far point is normal in the limit, and a little
		// longer than that: this is above the true value by less than 1/root.
		return (root + z) * (root + z)
	}
	below := func(lambda float64) float64 { return noncentralTwo(x, lambda) }
	if below(0) <= decisionLevel {
		return 0
	}
	low, high := 0.0, (root+z+1)*(root+z+1)
	for range 60 {
		middle := (low + high) / 2
		if below(middle) > decisionLevel {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// noncentralTwo is the probability that a noncentral chi-square number of two
// degrees of freedom is below x: the mean over a Poisson distribution of j, of
// mean lambda/2, of central ones of 2+2j degrees, whose upper tail is the
// Poisson sum of x/2 up to j (Johnson, Kotz and Balakrishnan 1995, chapter 29).
func noncentralTwo(x, lambda float64) float64 {
	// Both means stay below 745, so that the first terms are above 0.
	p, w := math.Exp(-x/2), math.Exp(-lambda/2)
	sum, tail := 0.0, 0.0
	for j := 0; j < 10_000; j++ {
		if j > 0 {
			p *= x / 2 / float64(j)
			w *= lambda / 2 / float64(j)
		}
		tail += p
		sum += w * math.Max(0, 1-tail)
		if float64(j) > lambda/2 && w < 1e-16 {
			break
		}
	}
	return sum
}

// worse is the graver of two verdicts.
func worse(a, b Verdict) Verdict {
	rank := map[Verdict]int{VerdictUnchanged: 0, VerdictRemeasure: 1, VerdictStop: 2}
	if rank[b] > rank[a] {
		return b
	}
	return a
}
