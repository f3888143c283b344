// Every verb over files in memory, as a shell without a disk calls it.

package job_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"swardline/cmd/internal/job"
	"swardline/convert/wire"
	"swardline/validate"
)

func examples(t testing.TB, names ...string) *job.Memory {
	m := &job.Memory{}
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", name))
		if err != nil {
			t.Fatal(err)
		}
		m.In = append(m.In, job.File{Name: filepath.Base(name), Bytes: data})
	}
	return m
}

func written(m *job.Memory, name string) []byte {
	for _, f := range m.Out {
		if f.Name == name {
			return f.Bytes
		}
	}
	return nil
}

// Each verb leaves the outputs asked for, and each starts as its form does.
func TestVerbs(t *testing.T) {
	const plan = "park.geojson"
	for _, tc := range []struct {
		name  string
		files []string
		do    func(*job.Job) error
		want  map[string]string // output: what stands in it
	}{
		{"convert", []string{"park/park.geojson"}, func(j *job.Job) error {
			_, err := j.Convert(&job.ConvertOptions{Source: plan, Target: "out.csv", To: "EPSG:32632", LossFile: "lost.json"})
			return err
		}, map[string]string{"out.csv": "EPSG:32632", "lost.json": `"losses"`}},
		{"look", []string{"drawing/park.dxf"}, func(j *job.Job) error {
			view, err := j.Look(&job.LookOptions{Source: "park.dxf", Near: "56.95,11.2"})
			if err == nil && (view.File != "park.dxf" || !strings.Contains(view.String(), "unit: mm")) {
				err = errors.New(view.String())
			}
			return err
		}, nil},
		{"check", []string{"park/park.geojson", "faults/park-faults.geojson"}, func(j *job.Job) error {
			done, err := j.Check(context.Background(), &job.CheckOptions{Files: []string{plan, "park-faults.geojson"}, Reports: []string{"r.json", "r.html"}, Register: "sites.csv", Pages: "www"})
			if err == nil && (!done.Reached || len(done.Set.Plans) != 2) {
				err = fmt.Errorf("%d plans, reached %v", len(done.Set.Plans), done.Reached)
			}
			return err
		}, map[string]string{"r.json": `"findings"`, "r.html": "<html", "sites.csv": plan, filepath.Join("www", "index.html"): plan}},
		{"mend", []string{"faults/park-faults.geojson"}, func(j *job.Job) error {
			done, err := j.Mend(&job.MendOptions{Source: "park-faults.geojson", Target: "m.geojson"})
			if err == nil && len(done.Changes) == 0 {
				err = errors.New("nothing mended")
			}
			return err
		}, map[string]string{"m.geojson": "FeatureCollection"}},
		{"place", []string{"drawing/park.dxf", "drawing/marks.csv", "drawing/roles.yaml"}, func(j *job.Job) error {
			done, err := j.Place(&job.PlaceOptions{Reading: job.Reading{Roles: "roles.yaml"}, Source: "park.dxf", Marks: "marks.csv", Target: "placed.geojson", Reports: []string{"fit.json"}})
			if err == nil && len(done.Report.Placement.Marks) != 4 {
				err = fmt.Errorf("%d marks", len(done.Report.Placement.Marks))
			}
			return err
		}, map[string]string{"placed.geojson": `"zone"`, "fit.json": `"similarity"`}},
		{"drift", []string{"park/park.geojson"}, func(j *job.Job) error {
			done, err := j.Drift(&job.DriftOptions{Path: plan, Shift: "0.3,-0.2", Reports: []string{"d.json"}, Correct: "c.geojson", Date: "2026-05-31"})
			if err == nil && (!done.Moved || done.Report.Report.Verdict != validate.VerdictStop) {
				err = fmt.Errorf("the verdict is %s", done.Report.Report.Verdict)
			}
			return err
		}, map[string]string{"d.json": `"stop"`, "c.geojson": "2026-05-31"}},
		{"drift over plans", []string{"park/park.geojson", "park/park.kml"}, func(j *job.Job) error {
			done, err := j.DriftFolder(&job.DriftOptions{Files: []string{plan, "park.kml"}, Shift: "0.3,-0.2"})
			if err == nil && (len(done.Plans) != 2 || !done.Moved) {
				err = fmt.Errorf("%+v", done.Apart)
			}
			return err
		}, nil},
		{"sheet", []string{"park/park.geojson"}, func(j *job.Job) error {
			return j.Sheet(&job.SheetOptions{Source: plan, Target: "s.pdf", Bundle: "b.zip", Date: "2026-05-31"})
		}, map[string]string{"s.pdf": "%PDF-", "b.zip": "README.txt"}},
		{"live page", []string{"park/park.geojson"}, func(j *job.Job) error {
			return j.Sheet(&job.SheetOptions{Source: plan, Target: "live.html", Date: "2026-05-31", NoDrift: true})
		}, map[string]string{"live.html": "<!DOCTYPE html>"}},
		{"systems", nil, func(j *job.Job) error {
			near, err := j.NearSystems("-33.8,151.1", 3)
			if err != nil || len(near) != 3 {
				return fmt.Errorf("%v, %d near", err, len(near))
			}
			c, at, err := j.ShowSystem(near[0].CRS.ID(), "-33.8,151.1,20")
			if err == nil && (c == nil || !at.Covered || at.Combined == 0) {
				err = fmt.Errorf("%+v", at)
			}
			return err
		}, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			m := examples(t, tc.files...)
			if err := tc.do(&job.Job{Store: m}); err != nil {
				t.Fatal(err)
			}
			if len(m.Out) < len(tc.want) {
				t.Errorf("%d outputs", len(m.Out))
			}
			for name, text := range tc.want {
				if data := written(m, name); !bytes.Contains(data, []byte(text)) {
					t.Errorf("%s has %d bytes and no %q", name, len(data), text)
				}
			}
		})
	}
}

// What a job names is named as the shell's users know it; notes are there
// although the job ends with an error; nothing is written then.
func TestErrors(t *testing.T) {
	m := examples(t, "park/park.geojson")
	m.In = append(m.In, job.File{Name: "bare.csv", Bytes: []byte("id,role,e,n\na,mark,1,2\n")}, job.File{Name: "bad.yaml", Bytes: []byte("base_rnage_m: 3\n")})
	j := &job.Job{Store: m, Option: func(name string) string { return "the field " + name }, Command: func(words string) string { return "<" + words + ">" }}
	_, err := j.Convert(&job.ConvertOptions{Source: "bare.csv", Target: "out.kml"})
	var e *job.Error
	if !errors.As(err, &e) || !e.Asked || !strings.Contains(e.Mend, "the field from") || !strings.Contains(e.Mend, "<place>") {
		t.Errorf("%v: %+v", err, e)
	}
	if len(j.Notes) == 0 || j.Notes[0].Kind != job.NoteWarning || j.Notes[0].File != "bare.csv" {
		t.Errorf("notes %+v", j.Notes)
	}
	for _, tc := range []struct {
		err   error
		asked bool
		words string
	}{
		{func() error { _, err := j.Mend(&job.MendOptions{Source: "park.geojson", Target: "x.abc"}); return err }(), true, `".abc" names no format`},
		{func() error { _, err := j.Drift(&job.DriftOptions{Path: "park.geojson"}); return err }(), true, "say what changed"},
		{func() error { _, err := j.Drift(&job.DriftOptions{Path: "park.geojson", Shift: "1"}); return err }(), true, `the field shift "1"`},
		{func() error {
			_, err := j.Check(context.Background(), &job.CheckOptions{Files: []string{"park.geojson"}, Reading: job.Reading{Limits: "bad.yaml"}})
			return err
		}(), false, "base_range_m"},
	} {
		var e *job.Error
		if !errors.As(tc.err, &e) || e.Asked != tc.asked || !strings.Contains(e.Error(), tc.words) {
			t.Errorf("want %q, got %v", tc.words, tc.err)
		}
	}
	_, err = j.Mend(&job.MendOptions{Source: "none.geojson", Target: "out.geojson"})
	var in *wire.InputError
	if !errors.As(err, &in) || in.File != "none.geojson" {
		t.Errorf("a plan that is not there: %v", err)
	}
	_, err = j.Check(context.Background(), &job.CheckOptions{Reading: job.Reading{Limits: "none.yaml"}})
	if !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("limits that are not there: %v", err)
	}
	if len(m.Out) != 0 {
		t.Errorf("%d files were written", len(m.Out))
	}
}

// With Strict nothing is written when anything would be lost, and the losses
// are told.
func TestStrict(t *testing.T) {
	m := &job.Memory{In: []job.File{{Name: "open.geojson", Bytes: []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"role":"zone"},"geometry":{"type":"Polygon","coordinates":[[[9,56],[9.001,56],[9.001,56.001],[9,56.001]]]}}]}`)}}}
	j := &job.Job{Store: m}
	done, err := j.Convert(&job.ConvertOptions{Source: "open.geojson", Target: "out.kml", Strict: true})
	if err != nil || !done.Refused || len(done.Losses) == 0 || len(m.Out) != 0 {
		t.Fatalf("%v, %+v, %d written", err, done, len(m.Out))
	}
	lost := 0
	for _, n := range j.Notes {
		if n.Kind == job.NoteLoss {
			lost++
		}
	}
	if lost != len(done.Losses) {
		t.Errorf("%d losses, %d told", len(done.Losses), lost)
	}
}

func TestMemoryHoldsTheSize(t *testing.T) {
	m := &job.Memory{In: []job.File{{Name: "a", Bytes: []byte("1234")}}}
	if data, err := m.Read("a", 4); err != nil || len(data) != 4 {
		t.Errorf("%q, %v", data, err)
	}
	var in *wire.InputError
	if _, err := m.Read("a", 3); !errors.As(err, &in) || in.File != "a" {
		t.Errorf("4 bytes with room for 3: %v", err)
	}
}

// The park without heights has nothing but slopes that could not be checked.
func TestFailOnUnchecked(t *testing.T) {
	park := examples(t, "park/park.geojson", "faults/park-faults.geojson")
	flat := regexp.MustCompile(`(\[-?[0-9.]+, ?-?[0-9.]+), ?-?[0-9.]+\]`).ReplaceAll(park.In[0].Bytes, []byte("$1]"))
	park.In = append(park.In, job.File{Name: "flat.geojson", Bytes: flat})
	for _, tc := range []struct {
		failOn, file string
		want         bool
	}{
		{"unchecked", "park.geojson", false}, {"unchecked", "flat.geojson", true}, {"warning", "flat.geojson", false},
		{"", "flat.geojson", false}, {"", "park-faults.geojson", true}, {"never", "park-faults.geojson", false},
	} {
		done, err := (&job.Job{Store: park}).Check(context.Background(), &job.CheckOptions{Files: []string{tc.file}, FailOn: tc.failOn})
		if err != nil {
			t.Fatal(err)
		}
		if done.Reached != tc.want {
			t.Errorf("%s with %q: reached is %v", tc.file, tc.failOn, done.Reached)
		}
	}
}

func ExampleJob_Check() {
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "park", "park.geojson"))
	if err != nil {
		log.Fatal(err)
	}
	files := job.Memory{In: []job.File{{Name: "park.geojson", Bytes: data}}}
	j := job.Job{Store: &files}
	done, err := j.Check(context.Background(), &job.CheckOptions{Files: []string{"park.geojson"}, Reports: []string{"report.html"}})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(done.Set.Totals().Error, "errors;", files.Out[0].Name, "is written")
	// Output: 0 errors; report.html is written
}
