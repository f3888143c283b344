// Placing on marks, against published worked examples.

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"swardline/convert"
)

type publishedPoint struct {
	Name       string
	X, Y, E, N float64
}

// publishedPlacement is a worked example: X = a x - b y + shift E, Y = b x + a
// y + shift N. Members that the source does not print are 0.
type publishedPlacement struct {
	Name, Source, CRS string
	Marks, Points     []publishedPoint
	A                 float64
	AToler            float64 `json:"a_tolerance"`
	B                 float64
	BToler            float64 `json:"b_tolerance"`
	ShiftE            float64 `json:"shift_e"`
	ShiftN            float64 `json:"shift_n"`
	ShiftToler        float64 `json:"shift_tolerance_m"`
	Scale             float64
	ScaleToler        float64 `json:"scale_tolerance"`
	Arcsec            float64 `json:"rotation_arcsec"`
	ArcsecToler       float64 `json:"rotation_tolerance_arcsec"`
	LargestResidual   float64 `json:"largest_residual_m"`
	PointToler        float64 `json:"point_tolerance_m"`
}

// leastSquares solves the four normal equations of the similarity in closed
// form, from sums about the centre of the marks.
func (p *publishedPlacement) leastSquares() (a, b, shiftE, shiftN float64) {
	var x, y, e, n, sa, sb, sq float64
	count := float64(len(p.Marks))
	for _, m := range p.Marks {
		x, y, e, n = x+m.X/count, y+m.Y/count, e+m.E/count, n+m.N/count
	}
	for _, m := range p.Marks {
		u, v, s, t := m.X-x, m.Y-y, m.E-e, m.N-n
		sa += u*s + v*t
		sb += u*t - v*s
		sq += u*u + v*v
	}
	a, b = sa/sq, sb/sq
	return a, b, e - a*x + b*y, n - b*x - a*y
}

// The same drawing, as a list and as a DXF, goes through the command with the
// example's marks; scale, rotation, shift, residuals and the placed points are
// those that the source prints.
func TestPlaceAsPublished(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "place", "published.json"))
	if err != nil {
		t.Fatal(err)
	}
	var examples []publishedPlacement
	if err := json.Unmarshal(data, &examples); err != nil {
		t.Fatal(err)
	}
	if len(examples) != 2 {
		t.Fatalf("%d examples, want 2", len(examples))
	}
	for _, p := range examples {
		for _, ending := range []string{".csv", ".dxf"} {
			t.Run(p.Name+ending, func(t *testing.T) { placeAsPublished(t, &p, ending) })
		}
	}
}

func placeAsPublished(t *testing.T, p *publishedPlacement, ending string) {
	dir := t.TempDir()
	path := func(name string) string { return filepath.Join(dir, name) }
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	swardline := func(want int, args ...string) {
		t.Helper()
		var out, errs bytes.Buffer
		if status := execute(context.Background(), args, streams{in: bytes.NewReader(nil), out: &out, err: &errs}); status != want {
			t.Fatalf("%v: exit status %d, want %d\n%s%s", args, status, want, out.String(), errs.String())
		}
	}
	drawing, list := "name,x,y\n", "name,x,y,e,n,crs\n"
	for _, q := range append(append([]publishedPoint(nil), p.Points...), p.Marks...) {
		drawing += fmt.Sprintf("%s,%.3f,%.3f\n", q.Name, q.X, q.Y)
	}
	for _, m := range p.Marks {
		list += fmt.Sprintf("%s,%.3f,%.3f,%.3f,%.3f,%s\n", m.Name, m.X, m.Y, m.E, m.N, p.CRS)
	}
	must(os.WriteFile(path("drawing.csv"), []byte(drawing), 0o600))
	must(os.WriteFile(path("marks.csv"), []byte(list), 0o600))
	if ending == ".dxf" {
		swardline(exitDone, "convert", path("drawing.csv"), path("drawing.dxf"))
	}
	// The residuals of the first example are decimetres.
	must(os.WriteFile(path("limits.yaml"), []byte("residual_m: 1\n"), 0o600))
	// The first one's scale is that of no unit: its unit is told, and so taken.
	swardline(exitDone, "place", "--units", "m", path("drawing"+ending), path("placed.csv"), "--marks", path("marks.csv"), "--limits", path("limits.yaml"), "--report", path("fit.json"))

	var fit struct {
		Scale    float64
		Rotation float64 `json:"rotation_deg"`
		Shift    struct{ E, N float64 }
		Marks    []struct {
			Name     string
			DE, DN   float64
			Residual float64 `json:"residual_m"`
		}
		Findings []json.RawMessage
	}
	data, err := os.ReadFile(path("fit.json"))
	must(err)
	must(json.Unmarshal(data, &fit))
	near := func(what string, got, want, tolerance float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tolerance) {
			t.Errorf("%s is %.10g, want %.10g", what, got, want)
		}
	}
	sin, cos := math.Sincos(-fit.Rotation * math.Pi / 180) // the report counts clockwise
	if p.A != 0 {
		// The report gives the rotation to 1e-7 degrees and the scale to 1e-9.
		near("a", fit.Scale*cos, p.A, p.AToler+1e-8)
		near("b", fit.Scale*sin, p.B, p.BToler+1e-8)
		near("the shift east", fit.Shift.E, p.ShiftE, p.ShiftToler)
		near("the shift north", fit.Shift.N, p.ShiftN, p.ShiftToler)
	}
	if p.Scale != 0 {
		near("the scale", fit.Scale, p.Scale, p.ScaleToler)
		near("the rotation in seconds", fit.Rotation*3600, p.Arcsec, p.ArcsecToler)
	}
	a, b, shiftE, shiftN := p.leastSquares()
	if len(fit.Marks) != len(p.Marks) || len(fit.Findings) != 0 {
		t.Fatalf("%d marks, findings %s", len(fit.Marks), fit.Findings)
	}
	for i, m := range p.Marks {
		// Placed less given.
		de, dn := a*m.X-b*m.Y+shiftE-m.E, b*m.X+a*m.Y+shiftN-m.N
		got := fit.Marks[i]
		near(m.Name+": dE", got.DE, de, 1e-4)
		near(m.Name+": dN", got.DN, dn, 1e-4)
		near(m.Name+": the residual", got.Residual, math.Hypot(de, dn), 1e-4)
		if p.LargestResidual > 0 && got.Residual > p.LargestResidual {
			t.Errorf("%s: the residual is %g m, more than %g", m.Name, got.Residual, p.LargestResidual)
		}
	}

	placed, _, err := convert.ReadFile(path("placed.csv"), convert.ReadOptions{})
	must(err)
	found := 0
	for i, f := range placed.Features {
		if i >= len(p.Points) {
			break
		}
		q := p.Points[i]
		at := f.Geometry.FlatCoords()
		if f.Name != q.Name {
			t.Fatalf("feature %d is %q, want %q", i+1, f.Name, q.Name)
		}
		near(q.Name+": e", at[0], q.E, p.PointToler)
		near(q.Name+": n", at[1], q.N, p.PointToler)
		found++
	}
	if found != len(p.Points) {
		t.Errorf("%d points were placed, want %d", found, len(p.Points))
	}

	// And back: within 0.1 mm of what was drawn.
	swardline(exitDone, "place", "--undo", path("placed.csv"), path("back.csv"))
	back, _, err := convert.ReadFile(path("back.csv"), convert.ReadOptions{})
	must(err)
	for i, q := range p.Points {
		at := back.Features[i].Geometry.FlatCoords()
		near(q.Name+": x taken back", at[0], q.X, 1e-4)
		near(q.Name+": y taken back", at[1], q.Y, 1e-4)
	}

	// With the limit as it comes, decimetres are findings.
	if p.LargestResidual == 0 {
		swardline(exitFindings, "place", "--units", "m", path("drawing"+ending), path("again.csv"), "--marks", path("marks.csv"))
	} else {
		// The first one's scale is that of no unit: its unit is told, and so
		// taken.
		swardline(exitDone, "place", "--units", "m", path("drawing"+ending), path("again.csv"), "--marks", path("marks.csv"))
	}
}

// A placed drawing, written as degrees, is taken back to where it was drawn:
// every vertex of every shape within 0.1 mm, nothing lost and nothing added.
func TestPlaceTakenBack(t *testing.T) {
	drawing := filepath.Join("..", "..", "examples", "drawing", "park.dxf")
	list := filepath.Join("..", "..", "examples", "drawing", "marks.csv")
	drawn, _, err := convert.ReadFile(drawing, convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, ending := range []string{".geojson", ".kml", ".gpx", ".csv"} {
		for _, model := range []string{"shift", "rigid", "similarity", "affine"} {
			dir := t.TempDir()
			placed, back := filepath.Join(dir, "placed"+ending), filepath.Join(dir, "back.csv")
			for _, args := range [][]string{{"place", drawing, placed, "--marks", list, "--model", model}, {"place", "--undo", placed, back}} {
				var out, errs bytes.Buffer
				status := execute(context.Background(), args, streams{in: bytes.NewReader(nil), out: &out, err: &errs})
				// A shift alone cannot fit a turned drawing, which is a
				// finding.
				if want := exitDone; status != want && !(model == "shift" && status == exitFindings) {
					t.Fatalf("%v: exit status %d\n%s", args, status, errs.String())
				}
			}
			p, _, err := convert.ReadFile(back, convert.ReadOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if len(p.Features) != len(drawn.Features) {
				t.Fatalf("%s, %s: %d features, drawn were %d", ending, model, len(p.Features), len(drawn.Features))
			}
			// GPX sorts features by kind, so each is looked for by its
			// vertices.
			far := 0.0
			for _, f := range drawn.Features {
				a, as := f.Geometry.FlatCoords(), f.Geometry.Stride()
				best := math.Inf(1)
				for _, g := range p.Features {
					b, bs := g.Geometry.FlatCoords(), g.Geometry.Stride()
					if len(a)/as != len(b)/bs {
						continue
					}
					// Rings may run the other way round, from the same first
					// point.
					for _, turn := range []bool{false, true} {
						worst := 0.0
						for i := 0; i < len(a)/as; i++ {
							k := i
							if turn {
								k = len(b)/bs - 1 - i
							}
							worst = math.Max(worst, math.Hypot(a[i*as]-b[k*bs], a[i*as+1]-b[k*bs+1]))
						}
						best = math.Min(best, worst)
					}
				}
				far = math.Max(far, best)
			}
			if !(far <= 1e-4) {
				t.Errorf("%s, %s: a vertex comes back %g m from where it was drawn", ending, model, far)
			}
		}
	}
}
