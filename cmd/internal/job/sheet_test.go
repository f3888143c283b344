// The grid of a sheet.

package job

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"swardline/crs"
)

// Convergence and scale on the sheet, which are measured from coordinates, are
// those of the projection's formulas; ticks stand where the grid's coordinates
// are.
func TestSheetGrid(t *testing.T) {
	for _, tc := range []struct{ plan, grid string }{
		{"park.geojson", "EPSG:32632"}, {"park.geojson", "EPSG:32633"}, {"park.geojson", "EPSG:3857"}, {"park-utm.csv", ""}, {"park-site.csv", ""},
	} {
		data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "park", tc.plan))
		if err != nil {
			t.Fatal(err)
		}
		j := &Job{Store: &Memory{In: []File{{tc.plan, data}}}}
		job, err := j.prepareSheet(&SheetOptions{Source: tc.plan, Grid: tc.grid})
		if err != nil {
			t.Fatal(err)
		}
		s, g := job.report.Site, job.drawing.Grid
		lon, lat, ok := s.GroundToLonLat(orb.Point{0, 0})
		if !ok {
			t.Fatal("no place")
		}
		k, convergence, err := job.grid.ScaleAt(crs.Geodetic{Lon: crs.Degrees(lon), Lat: crs.Degrees(lat), H: crs.Metres(s.H)})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(g.Convergence-convergence) > 2e-4 {
			t.Errorf("%s %s: convergence %.5f on the sheet, %.5f by formula", tc.plan, tc.grid, g.Convergence, convergence)
		}
		// From the ground at H to the ellipsoid lengths shrink by R/(R+H), 8e-6
		// at 51 m; a site grid's scale is one on the ground.
		shrink := 6.37e6 / (6.37e6 + s.H)
		if _, site := job.grid.Site(); site {
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
