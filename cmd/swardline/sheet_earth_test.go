// A sheet in PDF has its place on the earth: the GDAL library reads off it
// where the marks lie.

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
)

// marksOnPaper are the places of the marks on an SVG sheet in millimetres: the
// middles of the strokes that run across them.
func marksOnPaper(svg []byte) map[string][2]float64 {
	out := map[string][2]float64{}
	sign := regexp.MustCompile(`(?s)<g class="role-mark"><title>mark (\S+)[^<]*</title>\n.*?<path d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)" `)
	for _, m := range sign.FindAllSubmatch(svg, -1) {
		var v [4]float64
		for i := range v {
			v[i], _ = strconv.ParseFloat(string(m[2+i]), 64)
		}
		out[string(m[1])] = [2]float64{(v[0] + v[2]) / 2, (v[1] + v[3]) / 2}
	}
	return out
}

func TestPDFOnEarth(t *testing.T) {
	gdalinfo, err := exec.LookPath("gdalinfo")
	if err != nil {
		t.Skip("there is no gdalinfo (gdal-bin)")
	}
	draw := func(args ...string) []byte {
		var out, errs bytes.Buffer
		if status := execute(context.Background(), append([]string{"sheet"}, args...), streams{in: bytes.NewReader(nil), out: &out, err: &errs}); status != exitDone {
			t.Fatalf("%v: exit status %d\n%s", args, status, errs.String())
		}
		return out.Bytes()
	}
	plan := filepath.Join("..", "..", "examples", "park", "park.geojson")
	p, _, err := convert.ReadFile(plan, convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		grid, turn string
	}{{"EPSG:32632", "0"}, {"EPSG:32632", "-33"}, {"EPSG:3857", "12"}} {
		same := []string{"--date", "2026-05-31", "--for", "client", "--paper", "A3", "--crs", tc.grid, "--turn", tc.turn}
		pdf := filepath.Join(t.TempDir(), "a.pdf")
		draw(append([]string{plan, pdf}, same...)...)
		marks := marksOnPaper(draw(append([]string{plan, "-", "--write", "svg"}, same...)...))
		if len(marks) != 4 {
			t.Fatalf("%d marks on the sheet", len(marks))
		}
		const perMM = 300 / 25.4
		cmd := exec.Command(gdalinfo, "-json", "--config", "GDAL_PDF_DPI", "300", pdf)
		cmd.Stderr = os.Stderr
		text, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		var info struct {
			GeoTransform []float64 `json:"geoTransform"`
		}
		if err := json.Unmarshal(text, &info); err != nil || len(info.GeoTransform) != 6 {
			t.Fatalf("%v: %s", err, text)
		}
		g := info.GeoTransform
		to, err := crs.Parse(tc.grid)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for _, f := range p.Find(schema.RoleMark) {
			at, ok := marks[f.ID.Text()]
			if !ok {
				at, ok = marks[f.Name]
			}
			if !ok {
				t.Fatalf("the mark %s is not on the sheet: %v", f.Label(), marks)
			}
			// The plan is in longitude and latitude of the grid's own datum.
			want := append([]float64(nil), f.Geometry.FlatCoords()[:2]...)
			if err := to.FromGeodetic(want, 2); err != nil {
				t.Fatal(err)
			}
			px, py := at[0]*perMM, at[1]*perMM
			e, n := g[0]+px*g[1]+py*g[2], g[3]+px*g[4]+py*g[5]
			worst = math.Max(worst, math.Hypot(e-want[0], n-want[1]))
		}
		if worst > 0.1 || math.IsNaN(worst) {
			t.Errorf("%v: the GDAL library reads a mark %.3f m off", tc, worst)
		}
		t.Logf("%v: the GDAL library reads the marks to %.3f m", tc, worst)
	}
}
