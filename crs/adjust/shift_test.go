// Shifts from marks: what moved, what is significant, what could have been
// seen.

package adjust

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// measured makes marks that moved by a shift, with noise of sigma in every
// component.
func measured(r *rand.Rand, n int, e, north, u, sigma float64) []ShiftMark {
	var out []ShiftMark
	for i := range n {
		b := Offset{E: r.Float64() * 80, N: r.Float64() * 60, U: r.Float64()}
		a := Offset{E: b.E + e + sigma*r.NormFloat64(), N: b.N + north + sigma*r.NormFloat64(), U: b.U + u + 2*sigma*r.NormFloat64()}
		out = append(out, ShiftMark{Name: fmt.Sprint("K", i+1), Before: b, After: a})
	}
	return out
}

func TestShiftByHand(t *testing.T) {
	f, err := FitShift([]ShiftMark{
		{Name: "a", Before: Offset{E: 0, N: 0, U: 0}, After: Offset{E: 0.30, N: 0.10, U: 0.02}},
		{Name: "b", Before: Offset{E: 10, N: 0, U: 1}, After: Offset{E: 10.32, N: 0.10, U: 1.00}},
		{Name: "c", Before: Offset{E: 0, N: 10, U: 2}, After: Offset{E: 0.31, N: 10.13, U: 2.01}},
	}, ShiftOptions{Sigma: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{
		{"east", f.Shift.E, 0.31, 1e-12}, {"north", f.Shift.N, 0.11, 1e-12}, {"up", f.Shift.U, 0.01, 1e-12},
		{"standard error", f.SE.E, 0.01 / math.Sqrt(3), 1e-12}, {"of the height", f.SE.U, 0.02 / math.Sqrt(3), 1e-12},
		{"statistic", f.Statistic, (0.31*0.31 + 0.11*0.11) / (0.0001 / 3), 1e-6}, {"limit", f.Limit, 5.991464547, 1e-8},
		// Squares of 0.01 0.01 0 east and 0.01 0.01 0.02 north.
		{"chi-square", f.ChiSquare, 8, 1e-6}, {"its limit", f.ChiSquareLimit, 9.487729, 1e-5},
		{"residual of a, east", f.Marks[0].DE, 0.01, 1e-12}, {"residual of c, north", f.Marks[2].DN, -0.02, 1e-12},
		// A scale would take 7.5 of the 8: three marks with such a pattern ask
		// for a second look.
		{"form", f.FormStatistic, 7.5, 1e-6}, {"its limit", f.FormLimit, 5.991464547, 1e-8},
		{"detectable", f.Detectable, 0.01 / math.Sqrt(3) * math.Sqrt(15.443), 1e-6},
		{"detectable height", f.DetectableUp, 0.02 / math.Sqrt(3) * math.Sqrt(12.995), 1e-6},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	if !f.Significant || f.UpSignificant || !f.Consistent || f.Redundancy != 4 {
		t.Errorf("%+v", f)
	}
}

// Without movement the test cries as often as its level says; with the movement
// it calls detectable it finds it 95 times in 100. Form likewise.
func TestShiftTestsKeepTheirLevel(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, known := range []bool{true, false} {
		o := ShiftOptions{}
		if known {
			o.Sigma = 0.01
		}
		const trials = 1500
		cries, upCries, form, found := 0, 0, 0, 0
		for range trials {
			f, err := FitShift(measured(r, 5, 0, 0, 0, 0.01), o)
			if err != nil {
				t.Fatal(err)
			}
			if f.Significant {
				cries++
			}
			if f.UpSignificant {
				upCries++
			}
			if f.FormSignificant {
				form++
			}
			move := 0.01 / math.Sqrt(5) * math.Sqrt(noncentrality(0.05, 0.95, 2))
			if !known {
				move *= math.Sqrt(2 * FisherQuantile(0.95, 2, 8) / ChiSquareQuantile(0.95, 2))
			}
			angle := r.Float64() * 2 * math.Pi
			f, err = FitShift(measured(r, 5, move*math.Cos(angle), move*math.Sin(angle), 0, 0.01), o)
			if err != nil {
				t.Fatal(err)
			}
			if f.Significant {
				found++
			}
		}
		for name, n := range map[string]int{"shift": cries, "height": upCries, "form": form} {
			if rate := float64(n) / trials; rate < 0.03 || rate > 0.075 {
				t.Errorf("sigma known %v: %s found in %.3f of unmoved marks", known, name, rate)
			}
		}
		if rate := float64(found) / trials; rate < 0.92 || known && rate > 0.975 {
			t.Errorf("sigma known %v: the detectable movement is found in %.3f", known, rate)
		}
	}
}

func TestBadMarkIsNotAMovedBase(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	marks := measured(r, 6, 0.2, -0.1, 0, 0.004)
	marks[4].After.E += 0.15
	f, err := FitShift(marks, ShiftOptions{Sigma: 0.004})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Suspects) != 1 || f.Suspects[0] != "K5" || f.Consistent {
		t.Errorf("suspects %v, consistent %v", f.Suspects, f.Consistent)
	}
	// Turned marks, as when a list was rotated.
	turned := measured(r, 6, 0, 0, 0, 0.001)
	for i := range turned {
		b := turned[i].Before
		turned[i].After.E += b.N * 0.001
		turned[i].After.N -= b.E * 0.001
	}
	f, err = FitShift(turned, ShiftOptions{Sigma: 0.001})
	if err != nil {
		t.Fatal(err)
	}
	if !f.FormSignificant || math.Abs(f.Rotation-0.0573) > 0.003 || !strings.Contains(strings.Join(f.Notes, " "), "no moved base does") {
		t.Errorf("rotation %v, %v, %q", f.Rotation, f.FormSignificant, f.Notes)
	}
}

func TestShiftOfFewMarks(t *testing.T) {
	one := []ShiftMark{{Name: "a", After: Offset{E: 0.3}}}
	f, err := FitShift(one, ShiftOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if f.HasErrors || f.Tested || f.Significant || f.Shift.E != 0.3 || !strings.Contains(strings.Join(f.Notes, " "), "nothing is tested") {
		t.Errorf("%+v", f)
	}
	f, err = FitShift(one, ShiftOptions{Sigma: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	if !f.Significant || !strings.Contains(strings.Join(f.Notes, " "), "cannot tell a moved base from a moved mark") {
		t.Errorf("%+v", f)
	}
	same := []ShiftMark{{Name: "a", After: Offset{E: 0.25}}, {Name: "b", Before: Offset{E: 4}, After: Offset{E: 4.25}}}
	f, err = FitShift(same, ShiftOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if f.Tested || !strings.Contains(strings.Join(f.Notes, " "), "no noise to test against") {
		t.Errorf("%+v", f)
	}
	still := []ShiftMark{{Name: "a", After: Offset{E: 0.004}}, {Name: "b", Before: Offset{E: 40}, After: Offset{E: 39.997}}, {Name: "c", Before: Offset{N: 40}, After: Offset{N: 40.002}}}
	f, err = FitShift(still, ShiftOptions{Sigma: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	if f.Significant || !strings.Contains(strings.Join(f.Notes, " "), "no significant movement: these marks would have shown one of 0.023 m") {
		t.Errorf("%q", f.Notes)
	}
}

func TestShiftErrors(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name  string
		marks []ShiftMark
		o     ShiftOptions
		want  string
	}{
		{"none", nil, ShiftOptions{}, "at least 1 mark"},
		{"no number", []ShiftMark{{Name: "a", After: Offset{E: nan}}}, ShiftOptions{}, "not a coordinate"},
		{"height that is none", []ShiftMark{{Name: "a", After: Offset{U: nan}}}, ShiftOptions{}, "not a coordinate"},
		{"east that is none, without height", []ShiftMark{{Name: "a", After: Offset{E: nan, U: nan}, NoHeight: true}}, ShiftOptions{}, "not a coordinate"},
		{"one name", []ShiftMark{{Name: "a"}, {Name: "a"}}, ShiftOptions{}, "two marks are called"},
		{"sigma", []ShiftMark{{Name: "a"}}, ShiftOptions{Sigma: -1}, "below 0"},
		{"level", []ShiftMark{{Name: "a"}}, ShiftOptions{Level: 1}, "not a probability"},
	} {
		if _, err := FitShift(c.marks, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
		}
	}
	f, err := FitShift([]ShiftMark{{Name: "a", After: Offset{E: 1, U: nan}, NoHeight: true}}, ShiftOptions{Sigma: 0.01})
	if err != nil || f.HasUp || f.Shift.U != 0 {
		t.Errorf("without heights: %+v, %v", f, err)
	}
}
