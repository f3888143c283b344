// The picture in the README is what the program draws.

package main

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"swardline/crs"
)

// pictureOf is the command that makes examples/sheet.svg, run from the project's
// top folder, with the output on standard output.
var pictureOf = []string{"sheet", "examples/park/park.geojson", "-", "--write", "svg", "--date", "2026-05-31", "--crs", "EPSG:32632", "--paper", "A3"}

func TestPicture(t *testing.T) {
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	args := append([]string(nil), pictureOf...)
	args[1] = filepath.Join(top, args[1])
	var out, errs bytes.Buffer
	if status := execute(context.Background(), args, streams{in: bytes.NewReader(nil), out: &out, err: &errs}); status != exitDone {
		t.Fatalf("exit status %d\n%s", status, errs.String())
	}
	path := filepath.Join(top, "examples", "sheet.svg")
	if *update {
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out.Bytes(), want) {
		t.Error("examples/sheet.svg is not what the program draws; run this test with -update and look at the picture")
	}
}

// Convergence and scale on the sheet, which are measured from coordinates, are those
// of the projection's formulas; ticks stand where the grid's coordinates are.
func TestSheetGrid(t *testing.T) {
	for _, tc := range []struct{ plan, grid string }{
		{"park.geojson", "EPSG:32632"}, {"park.geojson", "EPSG:32633"}, {"park.geojson", "EPSG:3857"}, {"park-utm.csv", ""}, {"park-site.csv", ""},
	} {
		o := &sheetOptions{src: filepath.Join("..", "..", "examples", "park", tc.plan), grid: tc.grid, paper: "A4", streams: streams{out: &bytes.Buffer{}, err: &bytes.Buffer{}}}
		job, err := o.prepare()
		if err != nil {
			t.Fatal(err)
		}
		s, g := job.report.Site, job.drawing.Grid
		lon, lat, ok := s.GroundToLonLat(orb.Point{0, 0})
		if !ok {
			t.Fatal("no place")
		}
		k, convergence, err := job.grid.crs.ScaleAt(crs.Geodetic{Lon: crs.Degrees(lon), Lat: crs.Degrees(lat), H: crs.Metres(s.H)})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(g.Convergence-convergence) > 2e-4 {
			t.Errorf("%s %s: convergence %.5f on the sheet, %.5f by formula", tc.plan, tc.grid, g.Convergence, convergence)
		}
		// From the ground at H to the ellipsoid lengths shrink by R/(R+H), 8e-6 at 51 m; a
		// site grid's scale is one on the ground.
		shrink := 6.37e6 / (6.37e6 + s.H)
		if _, site := job.grid.crs.Site(); site {
			shrink = 1
		}
		if math.Abs(g.Scale-k*shrink) > 2e-6*k {
			t.Errorf("%s %s: scale %.7f on the sheet, %.7f by formula", tc.plan, tc.grid, g.Scale, k*shrink)
		}
		for _, p := range []orb.Point{{0, 0}, {100, -80}, {-300, 250}} {
			xy, ok := g.Forward(p)
			if !ok {
				t.Fatal("no coordinates")
			}
			q, ok := g.Inverse(xy, orb.Point{0, 0})
			if !ok || math.Hypot(q[0]-p[0], q[1]-p[1]) > 1e-4 {
				t.Errorf("%s %s: %v comes back as %v", tc.plan, tc.grid, p, q)
			}
		}
	}
}
