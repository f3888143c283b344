// Tests of lists that count west and south.

package csv

import (
	"bytes"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
)

// A South African list writes y (westing) and x (southing), both positive. The
// figures are invented, in Johannesburg's zone.
func TestLoList(t *testing.T) {
	lo, err := crs.Parse("EPSG:2053")
	if err != nil {
		t.Fatal(err)
	}
	const east, north = 94000.25, -2_900_100.5
	for name, text := range map[string]string{
		"y, x":              "name,y,x\nA,-94000.25,2900100.5\n",
		"x, y":              "name,x,y\nA,2900100.5,-94000.25\n",
		"westing, southing": "name,westing,southing\nA,-94000.25,2900100.5\n",
		"southing first":    "name;Southing [m];Westing [m]\nA;2900100,5;-94000,25\n",
		"as ours":           "name,easting,northing\nA,94000.25,-2900100.5\n",
	} {
		p, warnings, err := Read([]byte(text), wire.ReadOptions{Name: "lo.csv", CRS: lo})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		flat := p.Features[0].Geometry.FlatCoords()
		if flat[0] != east || flat[1] != north {
			t.Errorf("%s: %v, want %v %v", name, flat, east, north)
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "axes-west-south"
		}
		if told != (name == "y, x" || name == "x, y") {
			t.Errorf("%s: told %v: %v", name, told, warnings)
		}
		var out bytes.Buffer
		if _, err := Write(&out, p, wire.WriteOptions{Layout: "points"}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(out.String(), ",westing,southing") || !strings.Contains(out.String(), "-94000.25,2900100.5") {
			t.Errorf("%s is written as %s", name, out.String())
		}
		again, _, err := Read(out.Bytes(), wire.ReadOptions{Name: "again.csv"})
		if err != nil {
			t.Fatal(err)
		}
		if flat := again.Features[0].Geometry.FlatCoords(); flat[0] != east || flat[1] != north {
			t.Errorf("%s comes back as %v", name, flat)
		}
	}
	for name, c := range map[string]struct{ system, text, words string }{
		"called easting and northing": {"EPSG:2053", "name,easting,northing\nA,-94000.25,2900100.5\n", "only as westing and southing"},
		"a grid that counts east":     {"EPSG:5514", "name,x,y\nA,569000,1050000\n", "only with signs changed"},
	} {
		system, err := crs.Parse(c.system)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := Read([]byte(c.text), wire.ReadOptions{Name: "lo.csv", CRS: system}); err == nil || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: %v, want %q", name, err, c.words)
		}
	}
}
