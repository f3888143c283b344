// Shift from marks: whether a base has moved, by how much, and how small a
// movement the marks could have shown.

package adjust

import (
	"fmt"
	"math"
)

// Offset is a position east, north and up of an origin, in metres.
type Offset struct{ E, N, U float64 }

// ShiftMark is a mark measured before and after, both as positions east, north
// and up of one origin, in metres.
type ShiftMark struct {
	Name          string
	Before, After Offset
	// NoHeight says that the heights mean nothing.
	NoHeight bool
}

// ShiftOptions are what is known besides the marks.
type ShiftOptions struct {
	// Sigma and SigmaUp are the standard deviations in metres of one difference
	// after less before, of each horizontal component and of the height; 0 when
	// not known, to be estimated from the marks. SigmaUp is twice Sigma when
	// only that is given (common practice for satellite positions, no source).
	Sigma, SigmaUp float64
	// Level is the probability that a test finds movement where there is none,
	// 0.05 when 0.
	Level float64
}

// ShiftMarkFit is what the fit says of one mark.
type ShiftMarkFit struct {
	Name       string
	DE, DN, DU float64 // shift fitted less shift of this mark
	HasHeight  bool
	Residual   float64 // horizontal length
	W          float64
	Critical   float64
	Testable   bool
	Suspect    bool
}

// ShiftFit is a common shift of marks with its tests. Figures that need more
// marks or known sigmas than there are have their flag unset. Lengths are in
// metres, angles in degrees.
type ShiftFit struct {
	Shift      Offset // after less before, the mean of the marks
	HasUp      bool
	SE         Offset // standard errors, meaningful when HasErrors
	HasErrors  bool
	HasUpError bool
	Sigma      float64 // standard deviation of a difference, given or estimated
	SigmaUp    float64
	SigmaKnown bool
	Redundancy int // horizontal
	RMS        float64
	Level      float64

	// The test of the horizontal shift against none: a chi-square value of two
	// degrees of freedom with known sigmas, twice a Fisher value without.
	Statistic, Limit float64
	Probability      float64 // of such a value without any movement
	Tested           bool
	Significant      bool
	UpSignificant    bool
	UpTested         bool
	// Detectable is the smallest horizontal movement that the test would have
	// found with 95 % probability, DetectableUp the same of heights; 0 when not
	// Tested.
	Detectable, DetectableUp float64

	// Fit of the whole: residuals against known sigmas.
	ChiSquare, ChiSquareLimit float64
	Consistent                bool // true when not testable

	// Rotation and scale beside the shift. A base that moved gives neither;
	// significance means a bad mark.
	Rotation, RotationSE       float64
	ScaleChange, ScaleChangeSE float64 // scale less 1
	FormTested                 bool
	FormStatistic, FormLimit   float64
	FormSignificant            bool

	Marks    []ShiftMarkFit
	Suspects []string
	Notes    []string
}

// FitShift fits one common shift to marks measured again: the mean of the
// differences, by least squares with equal weights. It tests the shift against
// none, the marks against one another, and whether a rotation or a scale
// (which no movement of a base can cause) would explain the differences
// significantly better.
//
// Errors: no mark, a coordinate that is no number, two marks of one name, a
// negative sigma.
func FitShift(marks []ShiftMark, o ShiftOptions) (*ShiftFit, error) {
	if o.Level == 0 {
		o.Level = 0.05
	}
	if !(o.Level > 0 && o.Level < 1) {
		return nil, fmt.Errorf("level %v is not a probability", o.Level)
	}
	if !(o.Sigma >= 0 && o.SigmaUp >= 0) || math.IsInf(o.Sigma, 0) || math.IsInf(o.SigmaUp, 0) {
		return nil, fmt.Errorf("standard deviations %v and %v m must not be below 0", o.Sigma, o.SigmaUp)
	}
	if o.Sigma > 0 && o.SigmaUp == 0 {
		o.SigmaUp = 2 * o.Sigma
	}
	plane := make([]Mark, 0, len(marks))
	for _, m := range marks {
		for _, l := range []Offset{m.Before, m.After} {
			coordinates := []float64{l.E, l.N, l.U}
			if m.NoHeight {
				coordinates = coordinates[:2]
			}
			for _, v := range coordinates {
				if v-v != 0 {
					return nil, fmt.Errorf("mark %q: %v is not a coordinate", m.Name, v)
				}
			}
		}
		plane = append(plane, Mark{Name: m.Name, X: m.Before.E, Y: m.Before.N, E: m.After.E, N: m.After.N, Sigma: o.Sigma})
	}
	p, err := FitWith(ModelShift, plane, FitOptions{Level: o.Level})
	if err != nil {
		return nil, err
	}
	f := &ShiftFit{
		Shift:      Offset{E: p.ShiftE, N: p.ShiftN},
		SigmaKnown: o.Sigma > 0, Sigma: o.Sigma, SigmaUp: o.SigmaUp, Redundancy: p.Redundancy, RMS: p.RMS, Level: o.Level,
		Suspects: p.Suspects, Consistent: true,
	}
	if !f.SigmaKnown && p.Redundancy > 0 {
		f.Sigma = math.Sqrt(p.ReferenceVariance)
	}
	for _, m := range p.Marks {
		f.Marks = append(f.Marks, ShiftMarkFit{Name: m.Name, DE: m.DE, DN: m.DN, Residual: m.Residual, W: m.W, Critical: m.Critical, Testable: m.Testable, Suspect: m.Suspect})
	}
	f.testShift(p)
	f.fitUp(marks, o)
	f.testForm(plane, p, o)
	f.explain(len(marks))
	return f, nil
}

// testShift tests the horizontal shift against none.
func (f *ShiftFit) testShift(p *Placement) {
	n := float64(len(p.Marks))
	if !p.HasErrors {
		return
	}
	f.HasErrors = true
	f.SE.E = f.Sigma / math.Sqrt(n)
	f.SE.N = f.SE.E
	if f.SigmaKnown && p.Redundancy > 0 {
		f.ChiSquare, f.ChiSquareLimit, f.Consistent = p.ChiSquare, p.ChiSquareLimit, p.Consistent
	}
	if !(f.SE.E > 0) {
		// Differences that agree to the last digit have no measured noise.
		return
	}
	f.Tested = true
	ratio := (f.Shift.E*f.Shift.E + f.Shift.N*f.Shift.N) / (f.SE.E * f.SE.E)
	f.Statistic = ratio
	if f.SigmaKnown {
		f.Limit = ChiSquareQuantile(1-f.Level, 2)
		f.Probability = 1 - ChiSquareCDF(ratio, 2)
		f.Detectable = f.SE.E * math.Sqrt(noncentrality(f.Level, 0.95, 2))
	} else {
		r := float64(p.Redundancy)
		f.Limit = 2 * FisherQuantile(1-f.Level, 2, r)
		f.Probability = 1 - fisherCDF(ratio/2, 2, r)
		// With few marks the limit itself is wide: the non-centrality of the
		// chi-square test is stretched by the ratio of the limits.
		f.Detectable = f.SE.E * math.Sqrt(noncentrality(f.Level, 0.95, 2)*f.Limit/ChiSquareQuantile(1-f.Level, 2))
	}
	f.Significant = f.Statistic > f.Limit
}

// fitUp fits and tests the shift of the heights.
func (f *ShiftFit) fitUp(marks []ShiftMark, o ShiftOptions) {
	sum, n := 0.0, 0
	for _, m := range marks {
		if !m.NoHeight {
			sum += m.After.U - m.Before.U
			n++
		}
	}
	if n == 0 {
		return
	}
	f.HasUp = true
	mean := sum / float64(n)
	f.Shift.U = mean
	squares := 0.0
	for i, m := range marks {
		if m.NoHeight {
			continue
		}
		v := mean - (m.After.U - m.Before.U)
		f.Marks[i].HasHeight, f.Marks[i].DU = true, v
		squares += v * v
	}
	limit, power := NormalQuantile(1-f.Level/2), math.Sqrt(noncentrality(f.Level, 0.95, 1))
	if o.SigmaUp == 0 {
		if n < 2 {
			return
		}
		f.SigmaUp = math.Sqrt(squares / float64(n-1))
		t := StudentQuantile(1-f.Level/2, float64(n-1))
		power *= t / limit
		limit = t
	}
	f.SE.U = f.SigmaUp / math.Sqrt(float64(n))
	f.HasUpError = true
	if !(f.SE.U > 0) {
		return
	}
	f.UpTested = true
	f.UpSignificant = math.Abs(mean)/f.SE.U > limit
	f.DetectableUp = f.SE.U * power
}

// testForm tests whether a similarity fits better than the shift by more than
// chance.
func (f *ShiftFit) testForm(plane []Mark, p *Placement, o ShiftOptions) {
	if len(plane) < 2 {
		return
	}
	sim, err := adjust(ModelSimilarity, plane)
	if err != nil {
		return
	}
	shift, err := adjust(ModelShift, plane)
	if err != nil {
		return
	}
	scale := sim.t.Scale()
	f.Rotation, f.ScaleChange = sim.t.Rotation(), scale-1
	gain := math.Max(0, shift.sum-sim.sum)
	variance := sim.variance()
	if !(variance > 0) {
		return
	}
	f.FormTested = true
	f.ScaleChangeSE = math.Sqrt(variance*sim.cofactor[2][2]) / sim.length
	f.RotationSE = f.ScaleChangeSE / scale * degPerRad
	f.FormStatistic = gain / variance
	if f.SigmaKnown {
		f.FormLimit = ChiSquareQuantile(1-f.Level, 2)
	} else {
		f.FormLimit = 2 * FisherQuantile(1-f.Level, 2, float64(sim.redundancy()))
	}
	f.FormSignificant = f.FormStatistic > f.FormLimit
}

// explain adds what the figures mean.
func (f *ShiftFit) explain(n int) {
	note := func(format string, a ...any) { f.Notes = append(f.Notes, fmt.Sprintf(format, a...)) }
	if n == 1 {
		note("one mark alone cannot tell a moved base from a moved mark")
	}
	if !f.HasErrors {
		note("no standard deviation is known and one mark gives none: nothing is tested")
	} else if !f.Tested {
		note("the differences agree to the last digit: there is no noise to test against; give a standard deviation")
	}
	if f.Tested && !f.Significant {
		note("no significant movement: these marks would have shown one of %.3f m 95 times in 100", f.Detectable)
	}
	if !f.Consistent {
		note("the marks did not move together: chi-square %.2f, limit %.2f", f.ChiSquare, f.ChiSquareLimit)
	}
	if f.FormSignificant {
		note("the marks turned by %.4f degrees or changed scale by %.0f parts in a million, which no moved base does: a mark is wrong", f.Rotation, f.ScaleChange*1e6)
	}
	if len(f.Suspects) > 0 {
		note("marks that moved otherwise than the rest: %v", f.Suspects)
	}
}
