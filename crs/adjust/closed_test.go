// Fits whose figures have a closed form: the errors, the tests and the limits
// of a placement and of a shift, from both sides.

package adjust

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// cross is four marks on two axes at right angles, a and b from their middle,
// the first axis at so many degrees from east; placed by t.
func cross(t PlaneTransform, a, b, degrees float64) []Mark {
	s, c := math.Sincos(degrees * math.Pi / 180)
	var out []Mark
	for i, p := range [][2]float64{{a * c, a * s}, {-a * c, -a * s}, {-b * s, b * c}, {b * s, -b * c}} {
		m := Mark{Name: fmt.Sprint("M", i+1), X: p[0], Y: p[1]}
		m.E, m.N = t.ShiftE+t.A*m.X+t.B*m.Y, t.ShiftN+t.C*m.X+t.D*m.Y
		out = append(out, m)
	}
	return out
}

// closeTo holds a figure to its closed form, to a relative tolerance.
func closeTo(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s: %v, want %v", name, got, want)
	}
}

// TestStandardErrorsClosed: of marks of one sigma the centroid has sigma/sqrt
// n, the rotation and the scale sigma/(L sqrt n) with L the root mean square
// distance of the marks on the ground; what a turn does to a point grows with
// its offset across, what a scale does with that along.
func TestStandardErrorsClosed(t *testing.T) {
	const sigma, x, y = 0.02, 120.0, -45.0
	for _, scale := range []float64{1, 0.001, 3} {
		base := Similarity(scale, 35, 500, 900)
		marks := cross(base, 40/scale, 25/scale, 10)
		length := math.Sqrt((40*40 + 25*25) / 2.)
		for i := range marks {
			marks[i].Sigma = sigma
		}
		point := []float64{x / scale, y / scale}
		if err := base.Apply(point, 2); err != nil {
			t.Fatal(err)
		}
		de, dn := (point[0]-500)/length, (point[1]-900)/length
		for _, model := range []Model{ModelRigid, ModelSimilarity} {
			if model == ModelRigid && scale != 1 {
				continue
			}
			p, err := Fit(model, marks)
			if err != nil {
				t.Fatal(err)
			}
			e, n, ok := p.StandardError(x/scale, y/scale)
			wantE, wantN := sigma/2*math.Sqrt(1+dn*dn), sigma/2*math.Sqrt(1+de*de)
			if model == ModelSimilarity {
				wantE = sigma / 2 * math.Sqrt(1+de*de+dn*dn)
				wantN = wantE
				closeTo(t, "scale", p.ScaleSE, sigma/2/length, 1e-9)
			}
			if !ok {
				t.Fatal("no standard error")
			}
			name := fmt.Sprintf("%v at scale %v: ", model, scale)
			closeTo(t, name+"east of a far point", e, wantE, 1e-9)
			closeTo(t, name+"north of a far point", n, wantN, 1e-9)
			closeTo(t, name+"shift", p.ShiftSE, sigma/2, 1e-9)
			closeTo(t, name+"rotation", p.RotationSE, sigma/2/length*degPerRad, 1e-9)
		}
	}
}

// TestTestValueIsWhatTheMarkCosts: the square of a mark's test value is by how
// much the weighted sum of squares falls when the mark is left out (Cook and
// Weisberg 1982, Residuals and Influence in Regression, section 2.2), and the
// redundancies of the marks sum to that of the fit.
func TestTestValueIsWhatTheMarkCosts(t *testing.T) {
	for _, model := range []Model{ModelShift, ModelRigid, ModelSimilarity, ModelAffine} {
		turn := 0.0
		if model != ModelShift {
			turn = 41
		}
		const sigma = 1e-5
		marks := drawing(Similarity(1, turn, 500, 900), sigma, 6, 31)
		for i := range marks {
			marks[i].Sigma = sigma * (1 + 0.2*float64(i))
		}
		p, err := Fit(model, marks)
		if err != nil {
			t.Fatal(err)
		}
		parts := 0.0
		for i, m := range p.Marks {
			parts += m.Redundancy
			rest, err := adjust(model, append(append([]Mark(nil), marks[:i]...), marks[i+1:]...))
			if err != nil {
				t.Fatal(err)
			}
			closeTo(t, fmt.Sprintf("%v, %s", model, m.Name), m.W*m.W, p.ChiSquare-rest.sum, 1e-4)
		}
		closeTo(t, fmt.Sprint(model, " redundancy"), parts, float64(p.Redundancy), 1e-6)
	}
}

// TestTooFewToTell: with two observations to spare each mark left out leaves a
// perfect fit, so none is tested; with none to spare nothing is.
func TestTooFewToTell(t *testing.T) {
	for _, sigma := range []float64{0, 0.01} {
		for _, c := range []struct {
			model    Model
			n        int
			testable bool
		}{{ModelShift, 2, false}, {ModelShift, 3, true}, {ModelSimilarity, 3, false}, {ModelSimilarity, 4, true}, {ModelAffine, 4, false}, {ModelAffine, 5, true}} {
			marks := drawing(Similarity(1, 0, 500, 900), 0.01, c.n, 77)
			for i := range marks {
				marks[i].Sigma = sigma
			}
			p, err := Fit(c.model, marks)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range p.Marks {
				if m.Testable != c.testable || m.Testable && !(m.Critical > 0) {
					t.Errorf("%v, %d marks, sigma %v: tested %v with %v, want %v", c.model, c.n, sigma, m.Testable, m.Critical, c.testable)
				}
			}
		}
		// Nothing to spare: no variance, no test of the whole, no complaint.
		marks := drawing(Similarity(1, 0, 500, 900), 0.01, 2, 77)
		for i := range marks {
			marks[i].Sigma = sigma
		}
		p, err := Fit(ModelSimilarity, marks)
		if err != nil {
			t.Fatal(err)
		}
		if p.ReferenceVariance != 0 || strings.Contains(strings.Join(p.Notes, "\n"), "agree worse") {
			t.Errorf("%v, %q", p.ReferenceVariance, p.Notes)
		}
	}
}

// TestPlacesThatAreOne: what rounding leaves between marks is no distance; a
// tenth of a millimetre is one.
func TestPlacesThatAreOne(t *testing.T) {
	for _, c := range []struct {
		drawn, ground float64
		want          string
	}{{1e-6, 10, "one place in the drawing"}, {1e-4, 10, ""}, {10, 1e-6, "one place on the ground"}, {10, 1e-4, ""}} {
		_, err := Fit(ModelSimilarity, []Mark{{Name: "a", X: 5e5, Y: 6e6, E: 5e5, N: 6e6}, {Name: "b", X: 5e5, Y: 6e6 + c.drawn, E: 5e5, N: 6e6 + c.ground}})
		if (err != nil) != (c.want != "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v apart in the drawing and %v on the ground: %v, want %q", c.drawn, c.ground, err, c.want)
		}
	}
	// The largest coordinate there may be.
	for x, ok := range map[float64]bool{1e12: true, math.Nextafter(1e12, 2e12): false} {
		if _, err := Fit(ModelShift, []Mark{{Name: "a", X: x}}); (err == nil) != ok {
			t.Errorf("a coordinate of %v: %v", x, err)
		}
	}
	for level, ok := range map[float64]bool{1: false, math.Nextafter(1, 0): true, -0.05: false, 5e-324: true} {
		if _, err := FitWith(ModelShift, []Mark{{Name: "a"}}, FitOptions{Level: level}); (err == nil) != ok {
			t.Errorf("level %v: %v", level, err)
		}
	}
}

// TestNearlyOneLine: an affine placement is weak from axes of one to twenty on,
// whichever way the line runs, and none on a line on the ground.
func TestNearlyOneLine(t *testing.T) {
	for _, degrees := range []float64{0, 30, 45, 60, 90, 150} {
		for b, weak := range map[float64]bool{0.999: true, 1.001: false, 20: false} {
			p, err := Fit(ModelAffine, cross(Similarity(1, 20, 0, 0), 20, b, degrees))
			if err != nil {
				t.Fatal(err)
			}
			if got := strings.Contains(strings.Join(p.Notes, "\n"), "nearly on one line"); got != weak {
				t.Errorf("axes of 20 and %v at %v degrees: weak %v", b, degrees, got)
			}
		}
	}
	for d, ok := range map[float64]bool{1e-10: false, 1e-7: true} {
		if _, err := Fit(ModelAffine, cross(PlaneTransform{A: 1, D: d}, 50, 50, 10)); (err == nil) != ok {
			t.Errorf("flattened to %v on the ground: %v", d, err)
		}
	}
}

// TestCriticalValues: what a report gives as the value beyond which a mark is
// suspect. With known sigmas it is that of chi-square of two degrees, without
// them t2/r has the beta distribution of 1 and (r-2)/2 (Pope 1976, NOAA
// Technical Report NOS 65 NGS 1, for two components); both are closed. The
// level is shared out between the marks.
func TestCriticalValues(t *testing.T) {
	for _, level := range []float64{0.05, 0.01} {
		for _, n := range []int{5, 6, 12} {
			for _, sigma := range []float64{0, 0.01} {
				marks := drawing(Similarity(1, 20, 500, 900), 0.01, n, 5)
				for i := range marks {
					marks[i].Sigma = sigma
				}
				p, err := FitWith(ModelSimilarity, marks, FitOptions{Level: level})
				if err != nil {
					t.Fatal(err)
				}
				r := float64(p.Redundancy)
				want := math.Sqrt(-2 * math.Log(level/float64(n)))
				if sigma == 0 {
					want = math.Sqrt(r * (1 - math.Pow(level/float64(n), 2/(r-2))))
				}
				for _, m := range p.Marks {
					closeTo(t, fmt.Sprintf("level %v, %d marks, sigma %v", level, n, sigma), m.Critical, want, 1e-9)
				}
			}
		}
	}
}

// TestSuspectsAreMarked: the marks that are named are those that are marked,
// and none is past its critical value unnamed; a distance that does not matter
// takes a name away from the distance itself on.
func TestSuspectsAreMarked(t *testing.T) {
	for _, model := range []Model{ModelShift, ModelRigid, ModelSimilarity, ModelAffine} {
		for _, sigma := range []float64{0, 0.01} {
			marks := drawing(Similarity(1, 0, 500, 900), 0.01, 9, 12)
			for i := range marks {
				marks[i].Sigma = sigma
			}
			marks[4].N -= 0.3
			p, err := Fit(model, marks)
			if err != nil {
				t.Fatal(err)
			}
			for i, m := range p.Marks {
				if m.Suspect != (i == 4) || i == 4 && !(m.W > m.Critical) {
					t.Errorf("%v, sigma %v: %s marked %v, %v of %v", model, sigma, m.Name, m.Suspect, m.W, m.Critical)
				}
			}
			d := p.Marks[4].LeftOut
			for least, named := range map[float64]int{math.Nextafter(d, 0): 1, d: 0, math.Nextafter(d, 1): 0} {
				p, err := FitWith(model, marks, FitOptions{LeastM: least})
				if err != nil {
					t.Fatal(err)
				}
				if len(p.Suspects) != named {
					t.Errorf("%v, sigma %v: %v m off where %v do not matter: %v", model, sigma, d, least, p.Suspects)
				}
			}
		}
	}
}

func TestHeightsAreWeighted(t *testing.T) {
	marks := func(a, b float64) []Mark {
		return []Mark{{Name: "a", X: 0, Z: 1, H: 2, Heights: true, Sigma: a}, {Name: "b", X: 9, E: 9, Z: 3, H: 5, Heights: true, Sigma: b}}
	}
	for _, c := range []struct{ a, b, want float64 }{{0, 0, 1.5}, {1, 2, 1.2}, {0.5, 0.5, 1.5}} {
		p, err := Fit(ModelShift, marks(c.a, c.b))
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, "height", p.HeightShift, c.want, 1e-12)
		closeTo(t, "residual of a", p.Marks[0].DH, c.want-1, 1e-9)
		closeTo(t, "residual of b", p.Marks[1].DH, c.want-2, 1e-9)
	}
}

// TestNotesOfScales: the unit, the factor of the grid, the stretch, each with
// its figure.
func TestNotesOfScales(t *testing.T) {
	exact := func(t PlaneTransform, noise float64) []Mark { return drawing(t, noise, 6, 22) }
	scaled := func(scale, noise float64) []Mark { return exact(Similarity(scale, 3, 500, 900), noise) }
	sin, cos := math.Sincos(5 * math.Pi / 180)
	sin30, cos30 := math.Sincos(30 * math.Pi / 180)
	sin35, cos35 := math.Sincos(35 * math.Pi / 180)
	for _, c := range []struct {
		name       string
		model      Model
		marks      []Mark
		o          FitOptions
		want, lack string
	}{
		{"feet", ModelSimilarity, scaled(0.3048, 1e-7), FitOptions{}, "a drawing in feet", "US survey"},
		{"US survey feet", ModelSimilarity, scaled(1200./3937, 1e-7), FitOptions{}, "a drawing in US survey feet", " or "},
		{"one of the feet", ModelSimilarity, scaled(0.3048, 1e-3), FitOptions{}, "feet or US survey feet", "no unit"},
		{"ground in feet", ModelSimilarity, scaled(1/0.3048, 1e-7), FitOptions{}, "the ground is given in feet", "US survey"},
		{"ground in US survey feet", ModelSimilarity, scaled(3937./1200, 1e-7), FitOptions{}, "the ground is given in US survey feet", " or "},
		{"yards a hair within", ModelSimilarity, scaled(0.9144*1.0099, 1e-6), FitOptions{}, "yards", "no unit"},
		{"yards a hair past", ModelSimilarity, scaled(0.9144*1.0101, 1e-6), FitOptions{}, "no unit", "yards"},
		{"two marks, shifted", ModelShift, exact(Similarity(1.1, 0, 5, 6), 0)[:2], FitOptions{}, "1.1 times as far apart", "unit"},
		{"two marks", ModelRigid, scaled(1.1, 0)[:2], FitOptions{}, "1.1 times as far apart", "unit"},
		{"ground lengths", ModelSimilarity, scaled(0.9996, 1e-6), FitOptions{CombinedFactor: 0.9996}, "the grid has them -40 mm in 100 m", "already"},
		{"grid lengths", ModelSimilarity, scaled(1, 1e-6), FitOptions{CombinedFactor: 0.9996}, "on the grid already", "on the ground, and"},
		{"a factor of 1", ModelSimilarity, scaled(1, 1e-6), FitOptions{CombinedFactor: 1}, "", "scale"},
		{"neither", ModelSimilarity, scaled(1.002, 1e-6), FitOptions{CombinedFactor: 0.9996}, "by 2000 parts in a million, 200 mm in 100 m; the combined factor", "would be one reason"},
		{"neither, no factor", ModelSimilarity, scaled(1.002, 1e-6), FitOptions{}, "would be one reason", "combined factor"},
		{"neither, lengths kept", ModelRigid, scaled(1.002, 1e-6), FitOptions{}, "are 2000 parts in a million farther apart", "would be less"},
		{"a hair within 20 parts", ModelSimilarity, scaled(1.0000199, 0), FitOptions{}, "", "differs"},
		{"a hair past 20 parts", ModelSimilarity, scaled(1.0000201, 0), FitOptions{}, "differs from 1 by 20 parts", "mm in 10 m"},
		{"skewed", ModelAffine, exact(PlaneTransform{A: 1, B: sin, D: cos}, 0), FitOptions{}, "scale 1.000000 along its x axis, 1.000000 along y, axes 5.000 degrees from square", "mirrored"},
		{"skewed and stretched", ModelAffine, exact(PlaneTransform{A: 2, B: sin, D: cos}, 0), FitOptions{}, "scale 2.000000 along its x axis, 1.000000 along y, axes 5.000 degrees from square", "mirrored"},
		{"skewed and turned", ModelAffine, exact(PlaneTransform{A: cos30, C: -sin30, B: 2 * sin35, D: 2 * cos35}, 0), FitOptions{}, "scale 1.000000 along its x axis, 2.000000 along y, axes 5.000 degrees from square", "mirrored"},
		{"wide and low", ModelAffine, exact(PlaneTransform{A: 2, D: 0.5}, 0), FitOptions{}, "scale 2.000000 along its x axis, 0.500000 along y", "mirrored"},
		{"square", ModelAffine, exact(Similarity(1, 33, 5, 6), 0), FitOptions{}, "", "stretches"},
		{"three mirrored marks", ModelSimilarity, []Mark{{Name: "1"}, {Name: "2", X: 30, N: 30}, {Name: "3", X: 7, Y: 20, E: 20, N: 7}}, FitOptions{}, "x and y exchanged", "no unit known and"},
		{"a bad mark", ModelShift, func() []Mark {
			m := exact(Similarity(1, 0, 5, 6), 0.01)
			for i := range m {
				m[i].Sigma = 0.01
			}
			m[2].E += 0.3
			return m
		}(), FitOptions{}, "agree worse than their standard deviations", "mirrored"},
	} {
		p, err := FitWith(c.model, c.marks, c.o)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		notes := strings.Join(p.Notes, "\n")
		if !strings.Contains(notes, c.want) || strings.Contains(notes, c.lack) {
			t.Errorf("%s: notes %q, want %q and not %q", c.name, p.Notes, c.want, c.lack)
		}
	}
}

func TestTransformsThereAndBack(t *testing.T) {
	tr := PlaneTransform{A: 1.1, B: -0.3, C: 0.25, D: 0.9, ShiftE: 500, ShiftN: 900, HeightShift: 44}
	inv, err := tr.Inverse()
	if err != nil {
		t.Fatal(err)
	}
	for name, back := range map[string]func([]float64, int) error{"Inverse": inv.Apply, "ApplyInverse": tr.ApplyInverse} {
		p := []float64{12, 7, 3, 99, -4, 31, 5, 98}
		if err := tr.Apply(p, 4); err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{500 + 1.1*12 - 0.3*7, 900 + 0.25*12 + 0.9*7, 47, 99} {
			closeTo(t, "there", p[i], want, 1e-14)
		}
		if err := back(p, 4); err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{12, 7, 3, 99, -4, 31, 5, 98} {
			closeTo(t, name, p[i], want, 1e-11)
		}
	}
	flat := []float64{500, 900}
	if err := tr.ApplyInverse(flat, 2); err != nil || flat[0] != 0 || flat[1] != 0 {
		t.Errorf("without heights: %v %v", flat, err)
	}
	feet := []float64{12, 7}
	if err := tr.Per(0.3048).Apply(feet, 2); err != nil {
		t.Fatal(err)
	}
	closeTo(t, "east in feet", feet[0], (500+1.1*12-0.3*7)/0.3048, 1e-14)
	closeTo(t, "north in feet", feet[1], (900+0.25*12+0.9*7)/0.3048, 1e-14)
	for name, f := range map[string]func([]float64, int) error{"Apply": tr.Apply, "ApplyInverse": tr.ApplyInverse} {
		if err := f([]float64{1, 2, 0, 4, math.Inf(1), 0}, 3); err == nil || !strings.Contains(err.Error(), "point 2 (4, +Inf)") {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, c := range []struct {
		t  PlaneTransform
		ok bool
	}{
		{PlaneTransform{A: 1e-7, D: 1e-7}, true}, {PlaneTransform{A: 1, D: 1.1e-12}, true}, {PlaneTransform{A: 1, D: 0.9e-12}, false},
		{PlaneTransform{A: 1e3, D: 1.1e-9}, true}, {PlaneTransform{A: 1e3, D: 0.9e-9}, false},
	} {
		if err := c.t.Check(); (err == nil) != c.ok {
			t.Errorf("%+v: %v", c.t, err)
		}
	}
}

// TestExchangedMarks: two names that changed places are named when one pair and
// only one explains the residuals.
func TestExchangedMarks(t *testing.T) {
	swap := func(m []Mark, i, k int) []Mark {
		m[i].E, m[i].N, m[k].E, m[k].N = m[k].E, m[k].N, m[i].E, m[i].N
		return m
	}
	place := Similarity(1, 20, 500, 900)
	many := func(n int) []Mark { return drawing(place, 0.001, n, 8) }
	off := func(m []Mark, by float64) []Mark { m[1].E += by; return m }
	// Two marks either side of an axis, two on it at unequal distances, and one
	// where the axes cross.
	kite := func(t PlaneTransform) []Mark {
		m := cross(t, 10, 10, 0)
		m[3] = Mark{Name: "M4", X: 0, Y: -4, E: t.ShiftE - 4*t.B, N: t.ShiftN - 4*t.D}
		return append(m, Mark{Name: "M5", E: t.ShiftE, N: t.ShiftN})
	}
	for _, c := range []struct {
		name  string
		model Model
		marks []Mark
		most  float64
		want  string
	}{
		{"as they should be", ModelRigid, many(6), 0.03, ""},
		{"two exchanged", ModelRigid, swap(many(6), 1, 4), 0.03, "M2 M5"},
		{"first and last", ModelSimilarity, swap(many(6), 0, 5), 0.03, "M1 M6"},
		{"nothing to spare for a rigid one", ModelRigid, swap(many(2), 0, 1), 0.03, ""},
		{"three to spare", ModelRigid, swap(many(3), 0, 1), 0.03, "M1 M2"},
		{"two to spare", ModelSimilarity, swap(many(3), 0, 1), 0.03, ""},
		{"four to spare", ModelSimilarity, swap(many(4), 0, 1), 0.03, "M1 M2"},
		{"two pairs", ModelRigid, swap(swap(many(6), 0, 1), 2, 3), 0.03, ""},
		{"a bad mark besides", ModelRigid, off(swap(many(6), 2, 4), 5), 0.03, ""},
		{"as many as are tried", ModelRigid, swap(many(mostExchanged), 3, 9), 0.03, "M4 M10"},
		{"one more than are tried", ModelRigid, swap(many(mostExchanged+1), 3, 9), 0.03, ""},
		// The exchange mirrors a kite, which an affine placement fits: it is no
		// placement of a drawing all the same.
		{"mirrored by the exchange", ModelAffine, swap(kite(place), 0, 1), 1e-6, "M1 M2"},
	} {
		a, b, worst, ok := Exchanged(c.model, c.marks, c.most)
		got := strings.TrimSpace(a + " " + b)
		if !ok {
			got = ""
		}
		if got != c.want || ok && !(worst > 0 && worst <= c.most) {
			t.Errorf("%s: %q with %v, want %q", c.name, got, worst, c.want)
		}
	}
	// At the limit of the residuals.
	marks := swap(many(6), 1, 4)
	_, _, worst, _ := Exchanged(ModelRigid, marks, 0.03)
	for most, ok := range map[float64]bool{worst: true, math.Nextafter(worst, 0): false} {
		if _, _, _, got := Exchanged(ModelRigid, marks, most); got != ok {
			t.Errorf("a limit of %v: %v", most, got)
		}
	}
	if _, _, _, ok := Exchanged(ModelRigid, many(6), 1e-6); ok {
		t.Error("a limit that nothing keeps named a pair")
	}
}

// TestImpliedScale: marks that agree on a scale tell it, a unit tells it even
// with a bad mark.
func TestImpliedScale(t *testing.T) {
	// Four marks in a cross of 20 m, one of them off.
	at := func(scale, off float64) []Mark {
		m := cross(Similarity(scale, 0, 0, 0), 20, 20, 0)
		m[0].N += off * scale
		return m
	}
	for _, c := range []struct {
		name  string
		marks []Mark
		scale float64
		unit  string
		ok    bool
	}{
		{"one mark", at(1, 0)[:1], 0, "", false},
		{"two marks", at(1, 0)[:2], 1, "", true},
		{"in one place", []Mark{{Name: "a"}, {Name: "b"}}, 0, "", false},
		{"metres", at(1, 0), 1, "", true},
		{"millimetres", at(0.001, 0), 0.001, "millimetres", true},
		{"millimetres with a bad mark", at(0.001, 3), 0.001, "millimetres", true},
		{"a bad mark", at(1, 3), 1, "", false},
		{"a bad mark on a paper scale", at(0.5, 3), 0.5, "", false},
		{"a good mark on a paper scale", at(0.5, 0.3), 0.5, "", true},
	} {
		scale, unit, ok := ImpliedScale(c.marks)
		if ok != c.ok || unit != c.unit || math.Abs(scale-c.scale) > 0.01*c.scale {
			t.Errorf("%s: %v, %q, %v", c.name, scale, unit, ok)
		}
	}
	// A fiftieth of the extent, from both sides, and whatever the scale.
	for _, scale := range []float64{0.5, 1, 2} {
		last := 0.0
		for off := 0.01; off < 3; off += 0.01 {
			f, err := adjust(ModelSimilarity, at(scale, off))
			if err != nil {
				t.Fatal(err)
			}
			worst := 0.0
			for _, r := range f.residuals {
				worst = math.Max(worst, math.Hypot(r[0], r[1]))
			}
			last = worst / (f.length * f.t.Scale())
			if _, _, ok := ImpliedScale(at(scale, off)); ok != (last <= 0.02) {
				t.Errorf("scale %v, a residual of %.5f of the extent: %v", scale, last, ok)
			}
		}
		if last < 0.03 {
			t.Fatalf("residuals only up to %v of the extent", last)
		}
	}
}

// TestShiftFiguresClosed: what a shift says of its own certainty, with sigmas
// and without, by closed forms: of two degrees of freedom chi-square passes x
// with probability exp(-x/2), and twice Fisher's value of 2 and r degrees with
// (1 + x/r)^(-r/2).
func TestShiftFiguresClosed(t *testing.T) {
	marks := []ShiftMark{
		{Name: "a", After: Offset{E: 0.010, N: 0.004, U: 0.02}},
		{Name: "b", Before: Offset{E: 40}, After: Offset{E: 40.012, N: -0.002, U: 0.03}},
		{Name: "c", Before: Offset{N: 30}, After: Offset{E: 0.005, N: 30.001, U: 0.01}},
	}
	for _, sigma := range []float64{0, 0.008} {
		f, err := FitShift(marks, ShiftOptions{Sigma: sigma})
		if err != nil {
			t.Fatal(err)
		}
		e, n := 0.009, 0.001
		se := sigma / math.Sqrt(3)
		if sigma == 0 {
			// Squares of 1 3 4 and 3 3 0 mm over four to spare.
			se = math.Sqrt(44e-6/4) / math.Sqrt(3)
		}
		x := (e*e + n*n) / (se * se)
		closeTo(t, "statistic", f.Statistic, x, 1e-9)
		p, limit, detectable := math.Exp(-x/2), -2*math.Log(0.05), se*math.Sqrt(15.443)
		if sigma == 0 {
			p, limit = math.Pow(1+x/4, -2), 4*(math.Pow(0.05, -0.5)-1)
			detectable *= math.Sqrt(limit / (-2 * math.Log(0.05)))
		}
		closeTo(t, "probability", f.Probability, p, 1e-9)
		closeTo(t, "limit", f.Limit, limit, 1e-9)
		closeTo(t, "detectable", f.Detectable, detectable, 1e-4)
		// Heights of 20, 30 and 10 mm.
		up, power := 2*sigma/math.Sqrt(3), math.Sqrt(12.995)
		if sigma == 0 {
			// Student's 0.975 of two degrees is closed: (2p-1)/sqrt(2p(1-p)).
			up, power = 0.01/math.Sqrt(3), power*(0.95/math.Sqrt(2*0.975*0.025))/1.959964
		}
		closeTo(t, "standard error of the height", f.SE.U, up, 1e-9)
		closeTo(t, "detectable height", f.DetectableUp, up*power, 1e-4)
		// The form: a scale or a turn beside the shift.
		sim, err := adjust(ModelSimilarity, []Mark{
			{Name: "a", E: 0.010, N: 0.004}, {Name: "b", X: 40, E: 40.012, N: -0.002}, {Name: "c", Y: 30, E: 0.005, N: 30.001},
		})
		if err != nil {
			t.Fatal(err)
		}
		v := sigma
		if sigma == 0 {
			v = math.Sqrt(sim.sum / 2)
		}
		length := math.Sqrt((2*40*40/3. + 2*30*30/3.) / 3)
		closeTo(t, "standard error of the scale", f.ScaleChangeSE, v/(length*math.Sqrt(3)), 1e-6)
		closeTo(t, "and of the turn", f.RotationSE, f.ScaleChangeSE*degPerRad, 1e-3)
		closeTo(t, "scale", f.ScaleChange, sim.t.Scale()-1, 1e-6)
	}
}

func TestShiftOfTwoMarks(t *testing.T) {
	two := func(u1, u2 float64) []ShiftMark {
		return []ShiftMark{{Name: "a", After: Offset{E: 0.01, U: u1}}, {Name: "b", Before: Offset{E: 40}, After: Offset{E: 40.012, U: u2}}}
	}
	// Without a sigma, of Student's one degree: 12.706.
	for _, c := range []struct {
		u1, u2              float64
		tested, significant bool
	}{{0.02, 0.04, true, false}, {0.127 - 0.01, 0.127 + 0.01, true, false}, {0.1271 - 0.01, 0.1271 + 0.01, true, true}, {0.02, 0.02, false, false}} {
		f, err := FitShift(two(c.u1, c.u2), ShiftOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if f.UpTested != c.tested || f.UpSignificant != c.significant {
			t.Errorf("heights of %v and %v: tested %v, significant %v", c.u1, c.u2, f.UpTested, f.UpSignificant)
		}
	}
	// One mark with a sigma agrees with itself.
	f, err := FitShift(two(0, 0)[:1], ShiftOptions{Sigma: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	if !f.Consistent || strings.Contains(strings.Join(f.Notes, " "), "did not move together") {
		t.Errorf("%q", f.Notes)
	}
	// Marks that grew without noise: told, not tested.
	f, err = FitShift([]ShiftMark{{Name: "a"}, {Name: "b", Before: Offset{E: 64}, After: Offset{E: 65}}}, ShiftOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if f.FormTested || math.Abs(f.ScaleChange-1./64) > 1e-12 {
		t.Errorf("a form without noise: %v, %v", f.FormTested, f.ScaleChange)
	}
}

func TestNotesOfShifts(t *testing.T) {
	marks := make([]ShiftMark, 0, 4)
	for i, p := range [][2]float64{{20, 0}, {-20, 0}, {0, 20}, {0, -20}} {
		marks = append(marks, ShiftMark{Name: fmt.Sprint("M", i+1), Before: Offset{E: p[0], N: p[1]}, After: Offset{E: p[0] * 1.0005, N: p[1] * 1.0005}})
	}
	f, err := FitShift(marks, ShiftOptions{Sigma: 0.005})
	if err != nil {
		t.Fatal(err)
	}
	notes := strings.Join(f.Notes, "\n")
	if !f.FormSignificant || !strings.Contains(notes, "turned by 0.0000 degrees or changed scale by 500 parts in a million") || strings.Contains(notes, "otherwise than the rest") {
		t.Errorf("%q", f.Notes)
	}
	marks[2].After.E += 1
	if f, err = FitShift(marks, ShiftOptions{Sigma: 0.005}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(f.Notes, "\n"), "marks that moved otherwise than the rest: [M3") {
		t.Errorf("%q", f.Notes)
	}
}

// TestEndsOfTheDistributions: what is a probability and what is none.
func TestEndsOfTheDistributions(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"normal of 0", NormalQuantile(0), math.Inf(-1)}, {"normal of 1", NormalQuantile(1), math.Inf(1)},
		{"normal a hair below", NormalQuantile(-1e-300), nan}, {"normal a hair above", NormalQuantile(math.Nextafter(1, 2)), nan},
		{"chi-square of 0", ChiSquareQuantile(0, 3), 0}, {"of 1", ChiSquareQuantile(1, 3), nan}, {"a hair below 0", ChiSquareQuantile(-1e-300, 3), nan},
		{"no degree", ChiSquareCDF(1, 0), nan}, {"of no number", ChiSquareCDF(nan, 2), nan},
		{"Student of 0", StudentCDF(0, 3), 0.5}, {"Student of 1", StudentQuantile(1, 3), nan}, {"Student without degrees", StudentQuantile(0.7, 0), nan}, {"and its probability", StudentCDF(1, 0), nan},
		{"Student of a half", StudentQuantile(0.5, 3), 0},
		{"Fisher of 0", FisherQuantile(0, 2, 3), 0}, {"Fisher of 1", FisherQuantile(1, 2, 3), nan}, {"Fisher without degrees", FisherQuantile(0.5, 2, 0), nan}, {"nor above", FisherQuantile(0.5, 0, 3), nan},
	} {
		if c.got != c.want && !(math.IsNaN(c.got) && math.IsNaN(c.want)) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
}
