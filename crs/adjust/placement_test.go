// Placements: the maps, the fits, their tests and their notes.

package adjust

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// Ghilani, Adjustment Computations, example 18.1: a two-dimensional conformal
// transformation from three control points, equal weights.
func TestGhilaniExample(t *testing.T) {
	p, err := Fit(ModelSimilarity, []Mark{
		{Name: "A", X: 121.622, Y: -128.066, E: 1049422.40, N: 51089.20},
		{Name: "B", X: 141.228, Y: 187.718, E: 1049413.95, N: 49659.30},
		{Name: "C", X: 175.802, Y: 135.728, E: 1049244.95, N: 49884.95},
	})
	if err != nil {
		t.Fatal(err)
	}
	// X = a x - b y + Tx with a = -4.51249, b = -0.25371, Tx = 1050003.715,
	// Ty = 50542.131.
	for _, c := range []struct{ got, want, tol float64 }{
		{p.A, -4.51249, 5e-6}, {p.C, -0.25371, 5e-6}, {p.ShiftE, 1050003.715, 5e-4}, {p.ShiftN, 50542.131, 5e-4},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%v, want %v", c.got, c.want)
		}
	}
	points := []float64{174.148, -120.262, 513.520, -192.130, 754.444, -67.706, 972.788, 120.994}
	want := []float64{1049187.361, 51040.629, 1047637.713, 51278.829, 1046582.113, 50656.241, 1045644.713, 49749.336}
	if err := p.Apply(points, 2); err != nil {
		t.Fatal(err)
	}
	for i := range points {
		if math.Abs(points[i]-want[i]) > 6e-4 {
			t.Errorf("coordinate %d is %.4f, want %.3f", i, points[i], want[i])
		}
	}
	if p.Redundancy != 2 || !p.HasErrors || p.SigmaKnown {
		t.Errorf("%+v", p)
	}
}

// drawing makes exact marks of a placement, then noise of the given sigma.
func drawing(t PlaneTransform, sigma float64, n int, seed uint64) []Mark {
	r := rand.New(rand.NewPCG(seed, 1))
	var out []Mark
	for i := range n {
		m := Mark{Name: fmt.Sprintf("M%d", i+1), X: (10 + 60*r.Float64()) / t.Scale(), Y: (5 + 40*r.Float64()) / t.Scale()}
		m.E = t.ShiftE + t.A*m.X + t.B*m.Y + sigma*r.NormFloat64()
		m.N = t.ShiftN + t.C*m.X + t.D*m.Y + sigma*r.NormFloat64()
		out = append(out, m)
	}
	return out
}

func TestFitsFindWhatWasPut(t *testing.T) {
	for _, c := range []struct {
		model Model
		t     PlaneTransform
	}{
		{ModelShift, Similarity(1, 0, 512000, 6223000)},
		{ModelRigid, Similarity(1, 179.5, 512000, 6223000)},
		{ModelRigid, Similarity(1, -93, -4000, 12)},
		{ModelSimilarity, Similarity(0.001, 33, 512000, 6223000)},
		{ModelSimilarity, Similarity(1.0004, 0, 0, 0)},
		{ModelAffine, PlaneTransform{A: 1.1, B: -0.3, C: 0.2, D: 0.9, ShiftE: 512000, ShiftN: 6223000}},
	} {
		p, err := Fit(c.model, drawing(c.t, 0, 7, 5))
		if err != nil {
			t.Errorf("%v: %v", c.model, err)
			continue
		}
		size := math.Hypot(c.t.A, c.t.C)
		for _, d := range []float64{p.A - c.t.A, p.B - c.t.B, p.C - c.t.C, p.D - c.t.D} {
			if math.Abs(d) > 1e-9*math.Max(size, 1) {
				t.Errorf("%v: %+v, want %+v", c.model, p.PlaneTransform, c.t)
				break
			}
		}
		if !(p.RMS < 1e-8) || len(p.Suspects) != 0 || p.Redundancy != 14-c.model.parameters() {
			t.Errorf("%v: rms %v, suspects %v, redundancy %v", c.model, p.RMS, p.Suspects, p.Redundancy)
		}
		// There and back.
		q := []float64{12.5, 33.25, 4, -7, 8, math.NaN()}
		if err := p.Apply(q, 3); err != nil {
			t.Fatal(err)
		}
		if err := p.ApplyInverse(q, 3); err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{12.5, 33.25, 4, -7, 8} {
			if math.Abs(q[i]-want) > 1e-6 {
				t.Errorf("%v: there and back: %v", c.model, q)
			}
		}
		if !math.IsNaN(q[5]) {
			t.Errorf("an absent height became %v", q[5])
		}
	}
}

func TestRotationIsTheBearingOfTheDrawingsNorth(t *testing.T) {
	s := Similarity(2, 90, 100, 200)
	// The drawing's north points east.
	p := []float64{0, 1}
	if err := s.Apply(p, 2); err != nil || math.Abs(p[0]-102) > 1e-12 || math.Abs(p[1]-200) > 1e-12 {
		t.Errorf("%v %v", p, err)
	}
	if s.Scale() != 2 || math.Abs(s.Rotation()-90) > 1e-12 {
		t.Errorf("%v %v", s.Scale(), s.Rotation())
	}
}

// A mark 30 cm off among good ones of 1 cm is named, alone, by every model that
// can tell.
func TestBlunderIsNamed(t *testing.T) {
	for _, known := range []bool{true, false} {
		for _, model := range []Model{ModelShift, ModelRigid, ModelSimilarity, ModelAffine} {
			named, others := 0, 0
			const trials = 60
			for trial := range uint64(trials) {
				base := Similarity(1, 0, 512000, 6223000)
				if model >= ModelRigid {
					base = Similarity(1, 41, 512000, 6223000)
				}
				marks := drawing(base, 0.01, 9, trial+1)
				bad := int(trial) % len(marks)
				marks[bad].E += 0.21
				marks[bad].N -= 0.21
				for i := range marks {
					if known {
						marks[i].Sigma = 0.01
					}
				}
				p, err := Fit(model, marks)
				if err != nil {
					t.Fatal(err)
				}
				for i, s := range p.Suspects {
					if s == marks[bad].Name && i == 0 {
						named++
					} else {
						others++
					}
				}
				if m := p.Marks[bad]; m.Suspect && !(m.LeftOut > 0.2 && m.LeftOut < 0.6) && m.Redundancy > 1 {
					t.Errorf("left out, the blunder of 0.3 m is %v m off", m.LeftOut)
				}
				if known && p.Consistent {
					t.Errorf("%v: a fit with a blunder of 30 sigma passes as consistent", model)
				}
			}
			if named < trials*9/10 || others > trials/6 {
				t.Errorf("%v, sigma known %v: named %d of %d, and %d good marks", model, known, named, trials, others)
			}
		}
	}
}

func TestTwoBlundersAreNamedOneByOne(t *testing.T) {
	marks := drawing(Similarity(1, 12, 0, 0), 0.005, 12, 3)
	for i := range marks {
		marks[i].Sigma = 0.005
	}
	marks[2].E += 0.5
	marks[7].N -= 0.2
	p, err := Fit(ModelSimilarity, marks)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Suspects) != 2 || p.Suspects[0] != "M3" || p.Suspects[1] != "M8" {
		t.Errorf("%v", p.Suspects)
	}
	if !strings.Contains(strings.Join(p.Notes, "\n"), "M3, M8") {
		t.Errorf("%q", p.Notes)
	}
}

// Good marks are called suspect about as often as the level says.
func TestLevelOfTheTest(t *testing.T) {
	for _, known := range []bool{true, false} {
		alarms := 0
		const trials = 1500
		for trial := range uint64(trials) {
			marks := drawing(Similarity(1.0001, 77, 500, 600), 0.02, 6, trial+100)
			for i := range marks {
				if known {
					marks[i].Sigma = 0.02
				}
			}
			p, err := Fit(ModelSimilarity, marks)
			if err != nil {
				t.Fatal(err)
			}
			if len(p.Suspects) > 0 {
				alarms++
			}
		}
		if rate := float64(alarms) / trials; rate < 0.02 || rate > 0.075 {
			t.Errorf("sigma known %v: %.3f of good fits name a mark; the level is 0.05", known, rate)
		}
	}
}

// The standard errors are those that repeated fits scatter with.
func TestStandardErrorsAreTrue(t *testing.T) {
	for _, model := range []Model{ModelShift, ModelRigid, ModelSimilarity, ModelAffine} {
		base := Similarity(1, 0, 100, 200)
		r := rand.New(rand.NewPCG(8, 8))
		clean := drawing(base, 0, 6, 9)
		var rot, scale, far, sumR, sumS, sumF float64
		const trials = 3000
		var p *Placement
		for range trials {
			marks := append([]Mark(nil), clean...)
			for i := range marks {
				marks[i].Sigma = 0.01
				marks[i].E += 0.01 * r.NormFloat64()
				marks[i].N += 0.01 * r.NormFloat64()
			}
			f, err := adjust(model, marks)
			if err != nil {
				t.Fatal(err)
			}
			p = f.placement(FitOptions{Level: 0.05})
			x := []float64{150, -40}
			if err := p.Apply(x, 2); err != nil {
				t.Fatal(err)
			}
			sumR += p.Rotation()
			rot += p.Rotation() * p.Rotation()
			if model != ModelAffine {
				sumS += p.Scale() - 1
				scale += (p.Scale() - 1) * (p.Scale() - 1)
			}
			sumF += x[0] - 250
			far += (x[0] - 250) * (x[0] - 250)
		}
		spread := func(sum, squares float64) float64 { return math.Sqrt(squares/trials - sum*sum/trials/trials) }
		e, _, ok := p.StandardError(150, -40)
		if !ok || math.Abs(spread(sumF, far)/e-1) > 0.06 {
			t.Errorf("%v: a far point scatters by %v, stated %v", model, spread(sumF, far), e)
		}
		if model != ModelShift && math.Abs(spread(sumR, rot)/p.RotationSE-1) > 0.06 {
			t.Errorf("%v: the rotation scatters by %v, stated %v", model, spread(sumR, rot), p.RotationSE)
		}
		if model == ModelSimilarity && math.Abs(spread(sumS, scale)/p.ScaleSE-1) > 0.06 {
			t.Errorf("%v: the scale scatters by %v, stated %v", model, spread(sumS, scale), p.ScaleSE)
		}
	}
}

func TestFitErrors(t *testing.T) {
	a, b, c := Mark{Name: "a", X: 0, Y: 0, E: 10, N: 10}, Mark{Name: "b", X: 10, Y: 0, E: 20, N: 10}, Mark{Name: "c", X: 20, Y: 0, E: 30, N: 10}
	d := Mark{Name: "d", X: 20, Y: 10, E: 30, N: 20}
	with := func(m Mark, f func(*Mark)) Mark { f(&m); return m }
	for _, k := range []struct {
		name  string
		model Model
		marks []Mark
		want  string
	}{
		{"none", ModelShift, nil, "at least 1 mark and none was given"},
		{"one for a rotation", ModelRigid, []Mark{a}, "at least 2 marks and 1 was given"},
		{"two for an affine", ModelAffine, []Mark{a, b}, "at least 3 marks and 2 were given"},
		{"one place", ModelSimilarity, []Mark{a, with(a, func(m *Mark) { m.Name = "x"; m.E = 11 })}, "all in one place in the drawing"},
		{"one place on the ground", ModelSimilarity, []Mark{a, with(b, func(m *Mark) { m.E, m.N = 10, 10 })}, "all in one place on the ground"},
		{"one place far from the origin", ModelRigid, []Mark{with(a, func(m *Mark) { m.X, m.Y = 6e6, 5e5 }), with(b, func(m *Mark) { m.X, m.Y = 6e6, 5e5 })}, "all in one place"},
		{"one line", ModelAffine, []Mark{a, b, c}, "on one line"},
		{"one line, skew", ModelAffine, []Mark{a, with(b, func(m *Mark) { m.X, m.Y = 1.0/3, 1.0/7 }), with(c, func(m *Mark) { m.X, m.Y = 2.0/3, 2.0/7 })}, "on one line"},
		{"one line on the ground", ModelAffine, []Mark{a, b, with(d, func(m *Mark) { m.N = 10 })}, "on one line on the ground"},
		{"no number", ModelShift, []Mark{with(a, func(m *Mark) { m.E = math.NaN() })}, `mark "a": NaN is not a coordinate`},
		{"infinite", ModelShift, []Mark{with(a, func(m *Mark) { m.X = math.Inf(1) })}, "not a coordinate"},
		{"height that is none", ModelShift, []Mark{with(a, func(m *Mark) { m.Heights, m.H = true, math.NaN() })}, "height that is no number"},
		{"one name twice", ModelRigid, []Mark{a, with(b, func(m *Mark) { m.Name = "a" })}, `two marks are called "a"`},
		{"negative sigma", ModelShift, []Mark{with(a, func(m *Mark) { m.Sigma = -1 })}, "below 0"},
		{"some sigmas", ModelRigid, []Mark{with(a, func(m *Mark) { m.Sigma = 1 }), b}, "1 of 2 marks have a standard deviation"},
		{"two sigmas of three", ModelRigid, []Mark{with(a, func(m *Mark) { m.Sigma = 1 }), with(b, func(m *Mark) { m.Sigma = 1 }), c}, "2 of 3 marks have a standard deviation"},
		{"no model", Model(9), []Mark{a}, "Model(9) is not a model"},
		{"mirrored", ModelSimilarity, []Mark{{Name: "1", X: 0, Y: 0, E: 0, N: 0}, {Name: "2", X: 1, Y: 0, E: 1, N: 0}, {Name: "3", X: 0, Y: 1, E: 0, N: -1}, {Name: "4", X: 1, Y: 1, E: 1, N: -1}}, "may be mirrored"},
	} {
		if _, err := Fit(k.model, k.marks); err == nil || !strings.Contains(err.Error(), k.want) {
			t.Errorf("%s: got %v, want %q", k.name, err, k.want)
		}
	}
	if _, err := FitWith(ModelShift, []Mark{a}, FitOptions{Level: 2}); err == nil {
		t.Error("level 2 passed")
	}
	if _, err := ParseModel("elastic"); err == nil {
		t.Error("an unknown model was parsed")
	}
	for m := ModelShift; m <= ModelAffine; m++ {
		if got, err := ParseModel(strings.ToUpper(m.String())); err != nil || got != m {
			t.Errorf("%v came back as %v, %v", m, got, err)
		}
	}
	if err := (PlaneTransform{A: 1, B: 1, C: 1, D: 1}).Check(); err == nil {
		t.Error("a flattened drawing passed")
	}
	if _, err := (PlaneTransform{}).Inverse(); err == nil {
		t.Error("nothing was inverted")
	}
	if err := (PlaneTransform{A: 1, D: 1}).Apply([]float64{1, 2, math.NaN(), 3}, 2); err == nil {
		t.Error("a point that is no number passed")
	}
}

func TestNotes(t *testing.T) {
	good := func(scale, rot float64) []Mark {
		return drawing(Similarity(scale, rot, 512000, 6223000), 0.0002, 6, 22)
	}
	swapped := good(1, 20)
	for i := range swapped {
		swapped[i].X, swapped[i].Y = swapped[i].Y, swapped[i].X
	}
	for _, c := range []struct {
		name  string
		model Model
		marks []Mark
		o     FitOptions
		want  string
	}{
		{"millimetres", ModelSimilarity, good(0.001, 3), FitOptions{}, "that of a drawing in millimetres"},
		{"inches", ModelSimilarity, good(0.0254, 3), FitOptions{}, "inches"},
		{"feet", ModelSimilarity, good(0.3048, 3), FitOptions{}, "feet"},
		{"kilometres", ModelSimilarity, good(1000, 3), FitOptions{}, "kilometres"},
		{"millimetres, lengths kept", ModelRigid, good(0.001, 3), FitOptions{}, "it seems to be in millimetres"},
		{"lengths kept that are 10 % off", ModelRigid, good(1.1, 3), FitOptions{}, "1.1 times as far apart"},
		{"no unit", ModelSimilarity, good(0.7, 3), FitOptions{}, "that of no unit known"},
		{"ground lengths", ModelSimilarity, good(0.9996, 3), FitOptions{CombinedFactor: 0.9996}, "the drawing has lengths on the ground"},
		{"grid lengths", ModelSimilarity, drawing(Similarity(1, 3, 512000, 6223000), 1e-5, 6, 2), FitOptions{CombinedFactor: 0.9996}, "lengths on the grid already"},
		{"unexplained scale", ModelSimilarity, drawing(Similarity(1.002, 3, 512000, 6223000), 1e-4, 6, 2), FitOptions{}, "differs from 1 by 200"},
		{"unexplained beside a factor", ModelSimilarity, drawing(Similarity(1.002, 3, 512000, 6223000), 1e-4, 6, 2), FitOptions{CombinedFactor: 0.9996}, "does not explain it"},
		{"axes exchanged", ModelSimilarity, swapped, FitOptions{}, "x and y exchanged"},
		{"two marks", ModelSimilarity, good(1, 3)[:2], FitOptions{}, "show nothing"},
		{"one mark", ModelShift, good(1, 0)[:1], FitOptions{}, "1 mark is just enough"},
		{"three marks", ModelSimilarity, good(1, 3)[:3], FitOptions{}, "cannot be told from the others"},
		{"mirrored", ModelAffine, drawing(PlaneTransform{A: 1, D: -1}, 0.001, 6, 2), FitOptions{}, "is mirrored"},
		{"stretched", ModelAffine, drawing(PlaneTransform{A: 1.01, D: 1}, 0.0001, 6, 2), FitOptions{}, "stretches the drawing"},
		{"no heights", ModelSimilarity, good(1, 3), FitOptions{}, "heights are left as drawn"},
		{"nearly one line", ModelAffine, []Mark{{Name: "a", E: 1}, {Name: "b", X: 50, E: 51}, {Name: "c", X: 100, E: 101}, {Name: "d", X: 30, Y: 1, E: 31, N: 1}}, FitOptions{}, "nearly on one line"},
	} {
		p, err := FitWith(c.model, c.marks, c.o)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if !strings.Contains(strings.Join(p.Notes, "\n"), c.want) {
			t.Errorf("%s: notes %q lack %q", c.name, p.Notes, c.want)
		}
	}
	// Marks in order give none of these.
	marks := drawing(Similarity(1, 20, 512000, 6223000), 0.004, 6, 21)
	for i := range marks {
		marks[i].Heights, marks[i].Z, marks[i].H, marks[i].Sigma = true, 2, 47, 0.004
	}
	p, err := Fit(ModelRigid, marks)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Notes) != 0 || p.HeightShift != 45 || !p.Consistent {
		t.Errorf("notes of a good fit: %q, heights %v", p.Notes, p.HeightShift)
	}
}

func TestTwoMarksProveLittle(t *testing.T) {
	marks := drawing(Similarity(1, 20, 512000, 6223000), 0.05, 2, 4)
	p, err := Fit(ModelSimilarity, marks)
	if err != nil {
		t.Fatal(err)
	}
	if p.Redundancy != 0 || p.HasErrors || p.Marks[0].Testable || !(p.RMS < 1e-8) {
		t.Errorf("%+v", p)
	}
	if _, _, ok := p.StandardError(0, 0); ok {
		t.Error("two marks have a standard error")
	}
	p, err = Fit(ModelRigid, marks)
	if err != nil {
		t.Fatal(err)
	}
	if p.Redundancy != 1 || p.Marks[0].Testable || len(p.Suspects) != 0 {
		t.Errorf("%+v", p)
	}
}

func TestWeightsCount(t *testing.T) {
	// A shift is the weighted mean.
	p, err := Fit(ModelShift, []Mark{{Name: "a", E: 1, Sigma: 1}, {Name: "b", E: 2, Sigma: 2}})
	if err != nil {
		t.Fatal(err)
	}
	if want := (1*1 + 2*0.25) / 1.25; math.Abs(p.ShiftE-want) > 1e-12 || math.Abs(p.ShiftSE-math.Sqrt(1/1.25)) > 1e-12 {
		t.Errorf("%v %v", p.ShiftE, p.ShiftSE)
	}
}
