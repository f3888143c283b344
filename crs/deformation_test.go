// Deformation models: as steps of operations, and files that are broken.
// The numbers of PROJ's tests are in testdata/vectors/deformation.vec.

package crs

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

const nzModel = "nz_linz_nzgd2000-20180701.json"

// steady is a country that moves 1 cm east, 4 cm north and 1 mm upwards a year.
func steady() *testModel {
	n := []float64{0.01, 0.04, 0.001}
	return &testModel{kind: "3d", box: []float64{158, -58, 194, -25}, nx: 2, ny: 2, nodes: [][]float64{n, n, n, n},
		function: `{"type":"velocity","parameters":{"reference_epoch":"2000-01-01T00:00:00Z"}}`}
}

// aids are those with the model under a name.
func (m *testModel) aids(t *testing.T, name string) (with Aids) {
	t.Helper()
	master, grid := m.files()
	if err := with.ReadModel(master, "grids/"+name, func(string) ([]byte, error) { return grid, nil }); err != nil {
		t.Fatal(err)
	}
	return with
}

func TestDeformationModelInOperations(t *testing.T) {
	with := steady().aids(t, nzModel)
	ask := func(from, to string, when Epochs, lon Degrees) (*Operation, error) {
		return NewOperation(mustParse(t, from), mustParse(t, to), Allowed{Accuracy: 0.05}, At(lon, -40), when, with)
	}
	// By the registry's way from ITRF2014, EPSG:9102: by LINZ's own step to
	// ITRF96, which is not that of the IERS, 0.03 m.
	op, err := ask("EPSG:7912", "EPSG:4959", Epochs{From: 2026}, 175)
	if err != nil {
		t.Fatal(err)
	}
	if want := "ITRF2014 to ITRF96 (2) [EPSG:9083] + ITRF96 to NZGD2000 (7) [EPSG:9090]"; op.Name() != want {
		t.Errorf("%s\nwant %s", op.Name(), want)
	}
	if acc, known := op.Accuracy(); acc != 0.03 || !known || !strings.Contains(op.Source(), nzModel) || op.Steps()[1].Epoch != 2026 {
		t.Errorf("%v %v %s %+v", acc, known, op.Source(), op.Steps()[1])
	}
	if notes := strings.Join(op.Notes(), "\n"); !strings.Contains(notes, "EPSG:9083 ITRF2014 to ITRF96 (2) is the way that the registry joins to the model, in EPSG:9102") {
		t.Errorf("%s", notes)
	}
	// A later frame has no way of its own: it goes by the same one.
	later, err := ask("EPSG:9989", "EPSG:4959", Epochs{From: 2026}, 175)
	if err != nil || !strings.HasSuffix(later.Name(), "ITRF2014 to ITRF96 (2) [EPSG:9083] + ITRF96 to NZGD2000 (7) [EPSG:9090]") {
		t.Errorf("%v %v", later, err)
	}
	// Between the two frames themselves the model has no say.
	frames, err := ask("EPSG:7912", "EPSG:7907", Epochs{From: 2026}, 175)
	if err != nil || frames.Name() != "ITRF96 to ITRF2014 (1) [EPSG:8076, inverse]" {
		t.Errorf("%v %v", frames, err)
	}
	// From ITRF96 itself the ground has gone 26 years on (lengths at 100 m up
	// are a 60,000th longer).
	for _, lon := range []Degrees{175, 168} {
		op, err = ask("EPSG:7907", "EPSG:4959", Epochs{From: 2026}, lon)
		if err != nil {
			t.Fatal(err)
		}
		p := []float64{float64(lon), -40, 100, float64(lon), -40, math.NaN()}
		if err := op.Apply(p, 3); err != nil {
			t.Fatal(err)
		}
		got := newTopocentric(Geodetic{Lon: lon, Lat: -40, H: 100}, steps0().datums[nzgd2000].el).Local(Geodetic{Degrees(p[0]), Degrees(p[1]), Metres(p[2])})
		if math.Abs(float64(got.E)+0.26) > 2e-5 || math.Abs(float64(got.N)+1.04) > 2e-5 || math.Abs(p[2]-99.974) > 1e-6 || p[5] == p[5] {
			t.Errorf("at %v: %+v %v", lon, got, p)
		}
		back, err := ask("EPSG:4959", "EPSG:7907", Epochs{To: 2026}, lon)
		if err != nil {
			t.Fatal(err)
		}
		if err := back.Apply(p, 3); err != nil || math.Abs(p[0]-float64(lon)) > 1e-11 || math.Abs(p[1]+40) > 1e-11 || math.Abs(p[2]-100) > 1e-9 {
			t.Errorf("at %v, back: %v %v", lon, p, err)
		}
		if back.ToEpoch() != 2026 {
			t.Errorf("results at %v", back.ToEpoch())
		}
	}
	// Beyond its epochs and without one: one error each.
	var e *EpochError
	if _, err := ask("EPSG:7907", "EPSG:4959", Epochs{}, 175); !errors.As(err, &e) || e.Answer() != AnswerEpoch || e.Have != 0 {
		t.Errorf("no epoch: %v", err)
	}
	for _, year := range []float64{1900, 2050} {
		if _, err := ask("EPSG:7907", "EPSG:4959", Epochs{From: year}, 175); err != nil {
			t.Errorf("at the limit %v: %v", year, err)
		}
	}
	if _, err := ask("EPSG:7907", "EPSG:4959", Epochs{From: 2050.01}, 175); !errors.As(err, &e) || e.Answer() != AnswerEpoch || !strings.Contains(err.Error(), "holds from 1900 to 2050 and the coordinates are at 2050.01") {
		t.Errorf("beyond its epochs: %v", err)
	}
	// On earth-centred axes too.
	geo, err := ask("EPSG:4918", "EPSG:4958", Epochs{From: 2026}, 175)
	if err != nil || geo.axes || !strings.Contains(geo.Name(), "EPSG:9090") {
		t.Errorf("%v %v", geo, err)
	}
}

func TestDeformationModelIsNotUsed(t *testing.T) {
	small := steady()
	small.box = []float64{170, -45, 176, -39}
	with := small.aids(t, nzModel)
	from, to := mustParse(t, "EPSG:7907"), mustParse(t, "EPSG:4959")
	// Outside, the refusal says so; a point outside, when the place was inside,
	// is named.
	_, err := NewOperation(from, to, Allowed{Accuracy: 0.05}, At(176.01, -40), Epochs{From: 2026}, with)
	if err == nil || !strings.Contains(err.Error(), "the place is outside the deformation model "+nzModel+", which reaches from -45 to -39 degrees north and 170 to 176 degrees east") {
		t.Errorf("outside: %v", err)
	}
	op, err := NewOperation(from, to, Allowed{Accuracy: 0.05}, At(176, -40), Epochs{From: 2026}, with)
	if err != nil {
		t.Fatal(err)
	}
	if err := op.Apply([]float64{175, -40, 0, 176.1, -40, 0}, 3); err == nil || !strings.Contains(err.Error(), "point 2") || !strings.Contains(err.Error(), "outside the deformation model") {
		t.Errorf("a point outside: %v", err)
	}
	// Without the file the registry's step is named, with the file it needs.
	_, err = NewOperation(from, to, Allowed{Accuracy: 0.05}, At(175, -40), Epochs{From: 2026}, Aids{})
	if err == nil || !strings.Contains(err.Error(), "EPSG:9090 ITRF96 to NZGD2000 (7), good to 0.02 m: it needs the file "+nzModel) {
		t.Errorf("no file: %v", err)
	}
	// An older edition is used and said to be superseded; beside the latest it
	// is not.
	old := steady().aids(t, "nz_linz_nzgd2000-20130801.json")
	op, err = NewOperation(from, to, Allowed{Accuracy: 0.05}, At(175, -40), Epochs{From: 2026}, old)
	if err != nil || !strings.Contains(op.Name(), "EPSG:9085") || !strings.Contains(strings.Join(op.Notes(), "\n"), "superseded EPSG:9085 ITRF96 to NZGD2000 (2): coordinates given out since follow EPSG:9090 ITRF96 to NZGD2000 (7), file "+nzModel) {
		t.Errorf("%v %v %v", op.Name(), op.Notes(), err)
	}
	both := Aids{Models: append(old.Models, steady().aids(t, nzModel).Models...)}
	op, err = NewOperation(from, to, Allowed{Accuracy: 0.05}, At(175, -40), Epochs{From: 2026}, both)
	if err != nil || !strings.Contains(op.Name(), "EPSG:9090") || !strings.Contains(strings.Join(op.Notes(), "\n"), "20130801.json was not used") {
		t.Errorf("%v %v %v", op.Name(), op.Notes(), err)
	}
	// One that the registry does not know leads between its own systems, and
	// nobody states how well.
	own := steady().aids(t, "tomorrow.json")
	if op, err := NewOperation(from, to, Allowed{Accuracy: 0.05}, At(175, -40), Epochs{From: 2026}, own); err == nil || !strings.Contains(err.Error(), "tomorrow.json was not used: it is not one of the registry, and nobody states its accuracy") {
		t.Errorf("unknown accuracy: %v %v", op, err)
	}
	op, err = NewOperation(from, to, Allowed{Accuracy: 0.05, Unknown: true}, At(175, -40), Epochs{From: 2026}, own)
	if err != nil {
		t.Fatal(err)
	}
	if _, known := op.Accuracy(); known || op.Name() != "deformation model Invented motion 1 [inverse]" {
		t.Errorf("%s %v", op.Name(), known)
	}
}

// What the components say of themselves is told.
func TestDeformationModelUncertainty(t *testing.T) {
	m := steady()
	m.change = func(f map[string]any) {
		f["horizontal_uncertainty_type"] = "circular 95% confidence limit"
		c := f["components"].([]any)[0].(map[string]any)
		c["horizontal_uncertainty"] = 0.03
		other := map[string]any{}
		for k, v := range c {
			other[k] = v
		}
		other["horizontal_uncertainty"] = 0.04
		f["components"] = []any{c, other}
	}
	op, err := NewOperation(mustParse(t, "EPSG:7907"), mustParse(t, "EPSG:4959"), Allowed{Accuracy: 0.05}, At(175, -40), Epochs{From: 2026}, m.aids(t, nzModel))
	if err != nil || !strings.Contains(strings.Join(op.Notes(), "\n"), "components state 0.05 m horizontally here together (circular 95% confidence limit)") {
		t.Errorf("%v %v", op.Notes(), err)
	}
}

func TestDeformationModelBroken(t *testing.T) {
	component := func(f map[string]any) map[string]any { return f["components"].([]any)[0].(map[string]any) }
	spatial := func(f map[string]any) map[string]any { return component(f)["spatial_model"].(map[string]any) }
	for _, c := range []struct {
		name   string
		change func(f map[string]any)
		want   string
	}{
		{"another kind of file", func(f map[string]any) { f["file_type"] = "triangulation_file" }, `file_type is "triangulation_file"`},
		{"another version", func(f map[string]any) { f["format_version"] = "2.0" }, "1.0 is known"},
		{"no components", func(f map[string]any) { delete(f, "components") }, "components are missing"},
		{"no source", func(f map[string]any) { delete(f, "source_crs") }, "source_crs is missing"},
		{"a target nobody knows", func(f map[string]any) { f["target_crs"] = "foo:ignored" }, "target_crs: "},
		{"a definition of its own", func(f map[string]any) { f["definition_crs"] = "EPSG:4326" }, "definition_crs EPSG:4326 is not the source_crs EPSG:4959"},
		{"one datum", func(f map[string]any) { f["target_crs"] = "EPSG:4167" }, "on one datum"},
		{"another unit", func(f map[string]any) { f["horizontal_offset_unit"] = "foot" }, `horizontal_offset_unit is "foot"; metre or degree is known`},
		{"another method", func(f map[string]any) { f["horizontal_offset_method"] = "magic" }, "addition or geocentric is known"},
		{"degrees along axes", func(f map[string]any) {
			f["horizontal_offset_unit"], f["horizontal_offset_method"] = "degree", "geocentric"
		}, "does not go with"},
		{"no unit", func(f map[string]any) { delete(f, "horizontal_offset_unit") }, "components[0]: it moves horizontally, and horizontal_offset_unit is missing"},
		{"no method", func(f map[string]any) { delete(f, "horizontal_offset_method") }, "horizontal_offset_method is missing"},
		{"no unit of heights", func(f map[string]any) { delete(f, "vertical_offset_unit") }, "vertical_offset_unit is missing"},
		{"no extent", func(f map[string]any) { delete(f, "extent") }, "extent is missing"},
		{"an extent of three", func(f map[string]any) {
			f["extent"] = map[string]any{"type": "bbox", "parameters": map[string]any{"bbox": []float64{1, 2, 3}}}
		}, "no bbox of four numbers"},
		{"an extent turned over", func(f map[string]any) {
			f["extent"] = map[string]any{"type": "bbox", "parameters": map[string]any{"bbox": []float64{170, -30, 160, -40}}}
		}, "encloses nothing"},
		{"no times", func(f map[string]any) { delete(f, "time_extent") }, "time_extent is missing"},
		{"a date alone", func(f map[string]any) {
			f["time_extent"] = map[string]any{"first": "1900-01-01", "last": "2050-01-01T00:00:00Z"}
		}, `time_extent: first: "1900-01-01" is no date and time`},
		{"times turned over", func(f map[string]any) {
			f["time_extent"] = map[string]any{"first": "2051-01-01T00:00:00Z", "last": "2050-01-01T00:00:00Z"}
		}, "first is after last"},
		{"a day that is none", func(f map[string]any) { f["reference_epoch"] = "2001-02-29T00:00:00Z" }, "reference_epoch"},
		{"another displacement", func(f map[string]any) { component(f)["displacement_type"] = "sideways" }, `components[0]: displacement_type is "sideways"`},
		{"another uncertainty", func(f map[string]any) { component(f)["uncertainty_type"] = "some" }, "uncertainty_type"},
		{"a negative uncertainty", func(f map[string]any) { component(f)["horizontal_uncertainty"] = -1 }, "no length"},
		{"no function", func(f map[string]any) { delete(component(f), "time_function") }, "time_function is missing"},
		{"another function", func(f map[string]any) {
			component(f)["time_function"] = map[string]any{"type": "sine", "parameters": map[string]any{}}
		}, `time_function: type "sine"`},
		{"a velocity without parameters", func(f map[string]any) { component(f)["time_function"] = map[string]any{"type": "velocity"} }, "parameters are missing"},
		{"a step without its epoch", func(f map[string]any) {
			component(f)["time_function"] = map[string]any{"type": "step", "parameters": map[string]any{}}
		}, "step_epoch is missing"},
		{"a relaxation of no time", func(f map[string]any) {
			component(f)["time_function"] = map[string]any{"type": "exponential", "parameters": map[string]any{"reference_epoch": "2000-01-01T00:00:00Z",
				"relaxation_constant": 0, "before_scale_factor": 0, "initial_scale_factor": 1, "final_scale_factor": 2}}
		}, "no time in years"},
		{"points out of order", func(f map[string]any) {
			point := func(year string) map[string]any {
				return map[string]any{"epoch": year + "-01-01T00:00:00Z", "scale_factor": 1}
			}
			component(f)["time_function"] = map[string]any{"type": "piecewise", "parameters": map[string]any{"before_first": "zero", "after_last": "zero", "model": []any{point("2001"), point("2000")}}}
		}, "model[1]: its epoch is before"},
		{"no grid named", func(f map[string]any) { spatial(f)["filename"] = "" }, "filename is missing"},
		{"a missing grid", func(f map[string]any) { spatial(f)["filename"] = "lost.tif" }, "components[0]: the grid file lost.tif must stand beside the model's own file: no file lost.tif"},
		{"a grid elsewhere", func(f map[string]any) { spatial(f)["filename"] = "../" + testModelGrid }, "is not beside"},
		{"another grid", func(f map[string]any) { spatial(f)["md5_checksum"] = strings.Repeat("0", 32) }, "is not the one that the model was made with"},
		{"another format", func(f map[string]any) { spatial(f)["type"] = "CSV" }, "GeoTIFF is known"},
		{"another interpolation", func(f map[string]any) { spatial(f)["interpolation_method"] = "bicubic" }, "geocentric_bilinear are known"},
		{"metres for degrees", func(f map[string]any) { f["horizontal_offset_unit"] = "degree" }, `north_offset in "metre", where the model has degree`},
		{"a wrong type", func(f map[string]any) { f["components"] = "none" }, "no JSON of a deformation model"},
	} {
		m := steady()
		m.change = c.change
		if _, err := m.read(); err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "invented.json: ") {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	// A grid of heights where the model moves sideways too.
	m := steady()
	master, _ := m.files()
	m.kind = "vertical"
	grid := m.tiff()
	if _, err := ReadDeformationModel(master, "x.json", func(string) ([]byte, error) { return grid, nil }); err == nil || !strings.Contains(err.Error(), "it has no sample north_offset") {
		t.Errorf("heights alone: %v", err)
	}
	// A name of the registry's for something else.
	m = steady()
	m.target = "EPSG:7912"
	master, grid = m.files()
	if _, err := ReadDeformationModel(master, nzModel, func(string) ([]byte, error) { return grid, nil }); err == nil || !strings.Contains(err.Error(), "EPSG:9090") {
		t.Errorf("another target under the registry's name: %v", err)
	}
	// A component that only tells uncertainties needs no grid.
	m = steady()
	m.change = func(f map[string]any) {
		component(f)["displacement_type"] = "none"
		spatial(f)["filename"] = "lost.tif"
	}
	if _, err := m.read(); err != nil {
		t.Error(err)
	}
	if IsDeformationModel([]byte(`{"file_type": "triangulation_file"}`)) || IsDeformationModel([]byte("II*\x00")) || !IsDeformationModel(master) {
		t.Error("what is a deformation model is not told")
	}
}

// Where a grid has no value there is no answer, forward or back.
func TestDeformationModelWithoutValues(t *testing.T) {
	m := steady()
	m.nodes[0] = []float64{math.NaN(), 0, 0}
	model, err := m.read()
	if err != nil {
		t.Fatal(err)
	}
	for _, inverse := range []bool{false, true} {
		if err := model.Shift([]float64{175, -40}, 2, 2020, inverse); err == nil || !strings.Contains(err.Error(), "has no values") {
			t.Errorf("inverse %v: %v", inverse, err)
		}
	}
	for _, p := range [][]float64{{math.NaN(), -40}, {math.Inf(1), -40}, {1e9, -40}, {100, -40}} {
		if err := model.Shift(p, 2, 2020, false); err == nil {
			t.Errorf("%v was moved", p)
		}
	}
}

func FuzzReadDeformationModel(f *testing.F) {
	for _, m := range []*testModel{steady(),
		{kind: "vertical", interpolation: "geocentric_bilinear", box: []float64{-194.2, -37.5, -193.8, -37.2}, nx: 2, ny: 2, nodes: [][]float64{{1}, {2}, {3}, {4}},
			function: `{"type":"exponential","parameters":{"reference_epoch":"2000-01-01T00:00:00Z","relaxation_constant":2,"before_scale_factor":0,"initial_scale_factor":1,"final_scale_factor":3}}`},
		{kind: "horizontal", source: "EPSG:2193", box: []float64{1.5e6, 5.4e6, 1.6e6, 5.5e6}, nx: 2, ny: 2, nodes: [][]float64{{1, 2}, {1, 2}, {1, 2}, {1, 2}},
			function: `{"type":"piecewise","parameters":{"before_first":"linear","after_last":"linear","model":[{"epoch":"2016-01-01T00:00:00Z","scale_factor":0.5},{"epoch":"2016-01-01T00:00:00Z","scale_factor":1}]}}`},
	} {
		master, grid := m.files()
		f.Add(master, grid)
	}
	f.Fuzz(func(t *testing.T, master, grid []byte) {
		m, err := ReadDeformationModel(master, "f.json", func(file string) ([]byte, error) {
			if strings.Contains(file, "..") || strings.HasPrefix(file, "/") {
				t.Errorf("asked for %q", file)
			}
			return grid, nil
		})
		if err != nil {
			return
		}
		w, s, e, n := m.Area()
		for _, p := range [][]float64{{w, s, 0}, {e, n, 0}, {(w + e) / 2, (s + n) / 2, math.NaN()}, {0, 0, 0}} {
			for _, at := range []float64{m.first, 2010.5, m.last} {
				for _, inverse := range []bool{false, true} {
					q := append([]float64(nil), p...)
					if err := m.Shift(q, 3, at, inverse); err == nil && (q[0]-q[0] != 0 || q[1]-q[1] != 0) {
						t.Errorf("%v at %v became %v", p, at, q)
					}
				}
			}
		}
		_ = fmt.Sprint(m.Name(), m.label())
	})
}
