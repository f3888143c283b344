// The table of decisions: every row, at its limit and a hair to either side,
// and how often it is wrong.

package validate

import (
	"math"
	"math/rand/v2"
	"testing"

	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/testdata/randplan"
)

// round is a movement with the same standard error in every direction.
func roundError(e, n, se float64) Measured {
	return Measured{E: e, N: n, EE: se * se, NN: se * se}
}

func TestDecisionTable(t *testing.T) {
	limits := schema.DefaultLimits() // unchanged up to 0.02, stop from 0.10
	const hair = 1e-9
	// The standard error at which 0.02 m is just detectable: 0.02 /
	// sqrt(15.4431).
	fine := 0.02 / math.Sqrt(noncentral)
	with := func(m Measured, change func(*Measured)) Measured { change(&m); return m }
	quiet := roundError(0.001, -0.001, 0.004)
	for _, tc := range []struct {
		name string
		m    Measured
		want DecisionRow
	}{
		{"nothing moved", quiet, RowUnchanged},
		{"no movement at all", roundError(0, 0, 0.004), RowUnchanged},

		{"a hair below the stop limit", roundError(0.1-hair, 0, 0.004), RowMoved},
		{"at the stop limit", roundError(0.1, 0, 0.004), RowFar},
		{"at the stop limit the other way", roundError(-0.06, -0.08, 0.004), RowFar},
		{"past it, its error not known", Measured{E: 0.36}, RowFar},
		{"past it, however badly measured", roundError(0.5, 0, 0.4), RowFar},
		{"one thing a hair below the stop limit", with(quiet, func(m *Measured) { m.LargestM = 0.1 - hair }), RowUnchanged},
		{"one thing at it", with(quiet, func(m *Measured) { m.LargestM = 0.1 }), RowFar},
		{"a turn that moves as much", with(quiet, func(m *Measured) { m.Turned, m.TurnMovesM = true, 0.1 }), RowFar},
		{"the same turn within chance", with(quiet, func(m *Measured) { m.TurnMovesM = 0.1 }), RowUnchanged},
		{"no number", roundError(math.NaN(), 0, 0.004), RowFar},

		{"turned", with(quiet, func(m *Measured) { m.Turned = true }), RowTurned},
		{"turned, with a suspect", with(quiet, func(m *Measured) { m.Turned, m.Suspects = true, []string{"M4"} }), RowTurned},
		{"a suspect", with(quiet, func(m *Measured) { m.Suspects = []string{"M4"} }), RowSuspect},
		{"a suspect, and apart", with(quiet, func(m *Measured) { m.Apart, m.Suspects = true, []string{"M4"} }), RowSuspect},
		{"apart", with(quiet, func(m *Measured) { m.Apart = true }), RowApart},
		{"untested", Measured{E: 0.001}, RowUntested},
		{"apart, untested", Measured{E: 0.001, Apart: true}, RowApart},
		{"an error in one direction only", Measured{E: 0.001, EE: 1e-5}, RowUntested},
		{"no covariance", Measured{E: 0.001, EE: 1e-5, EN: 1e-5, NN: 1e-5}, RowUntested},

		{"0.02 m just detectable", roundError(0, 0, fine*(1-hair)), RowUnchanged},
		{"0.02 m just not detectable", roundError(0, 0, fine*(1+hair)), RowBlind},
		{"one direction only in which it is not", Measured{EE: fine * fine / 4, NN: fine * fine * 1.001}, RowBlind},
		{"between the two directions", Measured{EE: 1e-5, EN: 0.9e-5, NN: 1e-5}, RowUnchanged},
		{"estimated from few", Measured{EE: fine * fine / 2, NN: fine * fine / 2, Freedom: 2}, RowBlind},
		{"estimated from many", Measured{EE: fine * fine / 2, NN: fine * fine / 2, Freedom: 200}, RowUnchanged},

		// Significant, yet certainly small; significant, and perhaps too large.
		{"small and certain", roundError(0.010, 0, 0.001), RowUnchanged},
		{"may be above the limit", roundError(0.019, 0, 0.001), RowMoved},
		{"above the limit", roundError(0.021, 0, 0.001), RowMoved},

		{"the height, significant", with(quiet, func(m *Measured) { m.Up, m.UpSignificant = -0.021, true }), RowHeight},
		{"the height at the limit", with(quiet, func(m *Measured) { m.Up, m.UpSignificant = 0.02, true }), RowUnchanged},
		{"one thing's height a hair below the stop limit", with(quiet, func(m *Measured) { m.LargestUpM, m.LargestUp = 0.1-hair, "M3" }), RowUnchanged},
		{"one thing's height at it", with(quiet, func(m *Measured) { m.LargestUpM, m.LargestUp = 0.1, "M3" }), RowHeight},
		{"one thing's height not known", with(quiet, func(m *Measured) { m.LargestUpM = math.NaN() }), RowUnchanged},
		{"the height by chance", with(quiet, func(m *Measured) { m.Up = 0.05 }), RowUnchanged},
	} {
		d := Decide(tc.m, limits)
		if d.Row != tc.want {
			t.Errorf("%s: decided by %s (%s), want %s", tc.name, d.Row, d.Why, tc.want)
		}
		want := VerdictRemeasure
		switch tc.want {
		case RowFar:
			want = VerdictStop
		case RowUnchanged:
			want = VerdictUnchanged
		}
		if d.Verdict != want || d.Why == "" {
			t.Errorf("%s: %s (%q), want %s", tc.name, d.Verdict, d.Why, want)
		}
	}
}

// What the table forbids holds for any measurement: no unchanged while the
// movement that could have been shown is above the limit, something is suspect,
// a turn is significant, or a single thing moved or rose by the stop limit.
func TestDecisionIsNeverUnchanged(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 12))
	limits := schema.DefaultLimits()
	unchanged := 0
	for range 20_000 {
		size := math.Pow(10, -3.5+3*r.Float64())
		m := Measured{E: size * r.NormFloat64(), N: size * r.NormFloat64(), EE: math.Pow(10, -7+4*r.Float64()), NN: math.Pow(10, -7+4*r.Float64()),
			Freedom: r.IntN(8), Up: size * r.NormFloat64(), UpSignificant: r.IntN(4) == 0, LargestM: size * 2 * r.Float64(), LargestUpM: size * 2 * r.Float64(), Turned: r.IntN(9) == 0, Apart: r.IntN(9) == 0}
		m.EN = (2*r.Float64() - 1) * math.Sqrt(m.EE*m.NN)
		if r.IntN(9) == 0 {
			m.Suspects = []string{"M1"}
		}
		d := Decide(m, limits)
		if d.Verdict != VerdictUnchanged {
			continue
		}
		unchanged++
		if d.DetectableM > limits.DriftUnchangedM || len(m.Suspects) > 0 || m.Turned || m.Apart || m.LargestM >= limits.DriftStopM || m.LargestUpM >= limits.DriftStopM || math.Hypot(m.E, m.N) > limits.DriftUnchangedM {
			t.Fatalf("unchanged for %+v: %+v", m, d)
		}
	}
	if unchanged < 200 {
		t.Errorf("only %d of the movements were unchanged", unchanged)
	}
}

// The bound against tables: a chi-square number of two degrees of freedom and
// the noncentrality 15.4431 is below the 95 % limit 5.9915 five times in 100
// (Baarda's lambda); and against the normal distribution far out.
func TestNoncentralityBelow(t *testing.T) {
	for _, tc := range []struct{ x, want, tol float64 }{
		{5.991464547, 15.4431, 1e-3},
		{0.1025, 0, 0}, // the 5 % quantile of the central distribution is 0.102587
		{0.05, 0, 0},
		{900, (30 + 1.6448536) * (30 + 1.6448536), 1e-3},
	} {
		if got := noncentralityBelow(tc.x); !near(got, tc.want, tc.tol) {
			t.Errorf("below %v: %v, want %v", tc.x, got, tc.want)
		}
	}
	last := 0.0
	for x := 0.2; x < 900; x *= 1.3 {
		v := noncentralityBelow(x)
		if v <= last || v < x {
			t.Fatalf("the bound at %v is %v, before it %v", x, v, last)
		}
		last = v
	}
}

// marksMoved is a plan with marks on a square of 40 m about the base, and the
// same marks moved.
func marksMoved(t *testing.T, moves ...[2]float64) (p, again *schema.Plan) {
	t.Helper()
	at := [][2]float64{{-20, -20}, {20, -20}, {20, 20}, {-20, 20}, {0, 20}, {0, -20}, {20, 0}, {-20, 0}}
	var before, after []*schema.Feature
	for i, m := range moves {
		name := "M" + string(rune('1'+i))
		before = append(before, thing(schema.RoleMark, name, spot(at[i][0], at[i][1])))
		after = append(after, thing(schema.RoleMark, name, spot(at[i][0]+m[0], at[i][1]+m[1])))
	}
	before = append(before, thing(schema.RoleZone, "lawn", box(-15, -15, 15, 15)), baseAt(0, 0, 45))
	return driftPlan(t, before...), driftPlan(t, after...)
}

// What people measured, and what used to be called unchanged.
func TestMarksDecide(t *testing.T) {
	turn := func(m float64) [][2]float64 { // a turn that moves the corners by m
		a := m / math.Hypot(20, 20)
		var out [][2]float64
		for _, c := range [][2]float64{{-20, -20}, {20, -20}, {20, 20}, {-20, 20}} {
			out = append(out, [2]float64{-a * c[1], a * c[0]})
		}
		return out
	}
	noise := [][2]float64{{0.004, -0.003}, {-0.005, 0.002}, {0.002, 0.004}, {-0.001, -0.003}}
	for _, tc := range []struct {
		name        string
		moves       [][2]float64
		sigma       float64
		row         DecisionRow
		verdict     Verdict
		trusted     bool
		correctable bool
		e, n        float64 // of the ground
	}{
		{"two marks, 1.0 and 2.5 m", [][2]float64{{1, 0}, {2.5, 0}}, 0, RowFar, VerdictStop, false, false, -1.75, 0},
		{"the same, their error known", [][2]float64{{1, 0}, {2.5, 0}}, 0.01, RowFar, VerdictStop, false, false, -1.75, 0},
		{"one of four is far off", [][2]float64{{0.15, 0}, {0.152, 0}, {0.149, 0}, {0.70, 0}}, 0.01, RowFar, VerdictStop, true, true, -0.45100 / 3, 0},
		{"all turned by 0.36 m", turn(0.36), 0.01, RowFar, VerdictStop, false, false, 0, 0},
		{"all turned by 0.36 m, error not known", turn(0.36), 0, RowFar, VerdictStop, false, false, 0, 0},
		{"all turned by 0.06 m", turn(0.06), 0.01, RowTurned, VerdictRemeasure, false, false, 0, 0},
		{"one of five moved, the rest did not", append([][2]float64{{0.7, 0}}, noise...), 0.01, RowSuspect, VerdictRemeasure, true, false, 0, 0},
		{"noise", noise, 0.01, RowUnchanged, VerdictUnchanged, false, true, 0, 0},
		{"noise, error not known", noise, 0, RowUnchanged, VerdictUnchanged, false, true, 0, 0},
		{"noise of three", noise[:3], 0.01, RowBlind, VerdictRemeasure, false, false, -0.001 / 3, -0.001},
		{"one mark", [][2]float64{{0.05, 0}}, 0.01, RowBlind, VerdictRemeasure, false, false, -0.05, 0},
		{"one mark far off", [][2]float64{{0.3, 0}}, 0, RowFar, VerdictStop, false, false, -0.3, 0},
		{"one mark, error not known", [][2]float64{{0.001, 0}}, 0, RowUntested, VerdictRemeasure, false, false, -0.001, 0},
		{"all by 0.05 m", [][2]float64{{0.05, 0.001}, {0.049, 0}, {0.051, -0.001}, {0.05, 0}}, 0.01, RowMoved, VerdictRemeasure, false, true, -0.05, 0},
	} {
		p, again := marksMoved(t, tc.moves...)
		limits := schema.DefaultLimits()
		m, err := MovementFromMarks(p, again, limits, MarksOptions{SigmaM: tc.sigma})
		if err != nil {
			t.Fatalf("%s: %v", tc.name, err)
		}
		r, err := Drift(p, limits, m.Movement, DriftOptions{Bearings: 4, Marks: m})
		if err != nil {
			t.Fatalf("%s: %v", tc.name, err)
		}
		if m.Decision.Row != tc.row || r.Verdict != tc.verdict {
			t.Errorf("%s: %s by %s (%s), want %s by %s", tc.name, r.Verdict, m.Decision.Row, m.Decision.Why, tc.verdict, tc.row)
		}
		if m.Trusted != tc.trusted || (m.Refit != nil) != (len(m.Fit.Suspects) > 0) {
			t.Errorf("%s: trusted %v, suspects %v", tc.name, m.Trusted, m.Fit.Suspects)
		}
		if err := m.Correctable(); (err == nil) != tc.correctable {
			t.Errorf("%s: correctable: %v", tc.name, err)
		}
		if !near(float64(r.Shift.E), tc.e, 2e-4) || !near(float64(r.Shift.N), tc.n, 2e-4) {
			t.Errorf("%s: the ground moves %v, want E %v N %v", tc.name, r.Shift, tc.e, tc.n)
		}
		if len(m.Raw) != len(tc.moves) || !near(m.Raw[0].E, tc.moves[0][0], 1e-5) {
			t.Errorf("%s: raw %v", tc.name, m.Raw)
		}
	}
}

// How often the marks are wrong: of a base that stands, called anything but
// unchanged at most 5 times in 100 by its position (the suspect and turn tests
// have 5 in 100 of their own); of a base that moved by the limit or more,
// called unchanged at most 5 times in 100.
func TestDecisionErrorRates(t *testing.T) {
	rounds := 4000
	if !randplan.Long() {
		rounds = 1200
	}
	const limit = 0.02
	limits := schema.DefaultLimits()
	r := rand.New(rand.NewPCG(2026, 5))
	rate := func(marks int, sigma, known, moved float64) (unchanged, significant float64) {
		for range rounds {
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			var list []adjust.ShiftMark
			for i := range marks {
				at := adjust.Offset{E: 30 * math.Cos(float64(i)*2.4), N: 30 * math.Sin(float64(i)*2.4)}
				list = append(list, adjust.ShiftMark{Name: string(rune('A' + i)), Before: at, NoHeight: true,
					After: adjust.Offset{E: at.E + moved*s + sigma*r.NormFloat64(), N: at.N + moved*c + sigma*r.NormFloat64()}})
			}
			f, err := adjust.FitShift(list, adjust.ShiftOptions{Sigma: known})
			if err != nil {
				t.Fatal(err)
			}
			m := measuredOf(f, list, adjust.Offset{})
			m.Suspects = f.Suspects
			d := Decide(m, limits)
			if d.Verdict == VerdictUnchanged {
				unchanged++
			}
			if d.Significant {
				significant++
			}
		}
		return unchanged / float64(rounds), significant / float64(rounds)
	}
	// Three standard deviations of a share of 5 %.
	slack := 3 * math.Sqrt(0.05*0.95/float64(rounds))
	for _, tc := range []struct {
		marks        int
		sigma, known float64
	}{{4, 0.01, 0.01}, {6, 0.01, 0.01}, {2, 0.005, 0.005}, {8, 0.005, 0}, {4, 0.01, 0}, {4, 0.004, 0}, {2, 0.004, 0}, {3, 0.02, 0}} {
		if _, significant := rate(tc.marks, tc.sigma, tc.known, 0); math.Abs(significant-0.05) > slack {
			t.Errorf("%+v: a base that stands is called moved with probability %v, want 0.05", tc, significant)
		}
		for _, moved := range []float64{limit, 1.2 * limit, 2 * limit} {
			if unchanged, _ := rate(tc.marks, tc.sigma, tc.known, moved); unchanged > 0.05+slack {
				t.Errorf("%+v: a base that moved by %v is called unchanged with probability %v", tc, moved, unchanged)
			}
		}
	}
	// The power claimed: DetectableM is found 95 times in 100 where the error
	// is known.
	d := Decide(roundError(0, 0, 0.005), limits)
	if _, significant := rate(4, 0.01, 0.01, d.DetectableM); math.Abs(significant-0.95) > slack {
		t.Errorf("%v m is found with probability %v, want 0.95", d.DetectableM, significant)
	}
	// And most bases that stand are told so, where the marks are good enough.
	if unchanged, _ := rate(4, 0.008, 0.008, 0); unchanged < 0.8 {
		t.Errorf("a base that stands is called unchanged with probability %v only", unchanged)
	}
}
