package report_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

func TestTry(t *testing.T) {
	files, _ := filepath.Glob("../../testdata/broken/*.fail.geojson")
	s := report.Set{Tool: report.Tool{Name: "swardline", Version: "dev"}}
	for _, f := range files {
		data, _ := os.ReadFile(f)
		p, _, err := geojson.Read(data, wire.ReadOptions{Name: f})
		if err != nil {
			t.Fatal(err)
		}
		s.Plans = append(s.Plans, report.NewPlan(strings.TrimPrefix(f, "../../"), validate.Check(p, schema.DefaultLimits()), nil))
	}
	s.Plans = append(s.Plans, report.NewUnreadable("x/y.kml", fmt.Errorf("x/y.kml:3: bad \x1b[31m thing")))
	s.Sort()
	for ext, f := range map[string]func() error{
		"txt": func() error { w, _ := os.Create("/tmp/try/r.txt"); defer w.Close(); return s.Text(w) },
		"json": func() error { w, _ := os.Create("/tmp/try/r.json"); defer w.Close(); return s.JSON(w) },
		"sarif": func() error { w, _ := os.Create("/tmp/try/r.sarif"); defer w.Close(); return s.SARIF(w) },
		"xml": func() error { w, _ := os.Create("/tmp/try/r.xml"); defer w.Close(); return s.JUnit(w) },
		"geojson": func() error { w, _ := os.Create("/tmp/try/r.geojson"); defer w.Close(); return s.GeoJSON(w) },
		"csv": func() error { w, _ := os.Create("/tmp/try/r.csv"); defer w.Close(); return s.CSV(w) },
	} {
		if err := f(); err != nil {
			t.Error(ext, err)
		}
	}
}
