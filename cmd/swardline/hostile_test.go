// Check under broken input: files cut off anywhere, and whatever a fuzzer finds.

package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// checkBytes does what check does with the bytes of a file. It fails the test
// when a refusal says nothing.
func checkBytes(t *testing.T, name string, data []byte, prove bool) {
	l := schema.DefaultLimits()
	p, _, err := convert.ReadFrom(bytes.NewReader(data), convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: name, Limits: l}})
	var entry report.Plan
	switch {
	case err != nil && strings.TrimSpace(err.Error()) == "":
		t.Fatalf("%d bytes of %s: an error without words", len(data), name)
	case err != nil:
		entry = report.NewUnreadable(name, err)
	case !prove:
		return
	default:
		entry = report.NewPlan(name, validate.Check(p, l), nil)
		entry.Enter(p)
	}
	set := report.Set{Tool: report.Tool{Name: program, Version: version}, Plans: []report.Plan{entry}}
	for _, encode := range []func(io.Writer) error{set.SARIF, set.JUnit, set.GeoJSON, set.CSV, set.Text, set.HTML, set.Register} {
		if err := encode(io.Discard); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := set.JSON(&b); err != nil {
		t.Fatal(err)
	}
	if _, err := report.ReadJSON(b.Bytes()); err != nil {
		t.Fatalf("the report does not read back: %v", err)
	}
}

func demoFiles(t testing.TB) []string {
	files, err := filepath.Glob("../../examples/park/park.*")
	if err != nil || len(files) == 0 {
		t.Fatalf("no demo files: %v", err)
	}
	return files
}

// TestHalfFiles cuts the demo files off: at every byte, or, in short runs and
// for long files, at evenly spread ones.
func TestHalfFiles(t *testing.T) {
	for _, path := range demoFiles(t) {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		most := 300
		if testing.Short() {
			most = 40
		}
		step := max(1, len(data)/most)
		if os.Getenv("SWARDLINE_EVERY_BYTE") != "" {
			step = 1
		}
		for n := 0; n < len(data); n += step {
			checkBytes(t, path, data[:n], false)
		}
	}
}

func FuzzCheck(f *testing.F) {
	for _, path := range demoFiles(f) {
		if data, err := os.ReadFile(path); err == nil {
			f.Add(filepath.Base(path), data)
		}
	}
	f.Add("a.geojson", []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"role":"zone","name":"=1+1"},"geometry":{"type":"Polygon","coordinates":[[[1e308,0],[0,1e308],[-1e308,0],[1e308,0]]]}}]}`))
	f.Add("a.geojson", []byte(strings.Repeat("[", 5000)))
	f.Add("a.kml", []byte(`<!DOCTYPE k [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><kml>&b;</kml>`))
	f.Fuzz(func(t *testing.T, name string, data []byte) { checkBytes(t, name, data, true) })
}
