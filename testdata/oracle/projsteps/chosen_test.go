// Whole operations: what NewOperation chooses against what libproj chooses for
// the same place.

package projsteps

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"swardline/crs"
)

// gridFiles are grid-shift files that libproj's own package brings along; those
// that are there are given to both.
var gridFiles = []string{"BETA2007.gsb", "ntf_r93.gsb", "nzgd2kgrid0005.gsb", "CHENYX06a.gsb", "CHENYX06_etrs.gsb"}

// projFolder is where libproj looks for grids.
const projFolder = "/usr/share/proj"

// inverse is why steps walked backwards differ: ours undo the step exactly,
// libproj takes the height above the other ellipsoid and transposes the matrix
// of small angles.
const inverse = "(inverse)"

func grids(t *testing.T) []*crs.GridShift {
	var out []*crs.GridShift
	for _, name := range gridFiles {
		data, err := os.ReadFile(filepath.Join(projFolder, name))
		if err != nil {
			t.Logf("%s is not installed", name)
			continue
		}
		g, err := crs.ReadNTv2(data, name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		out = append(out, g)
	}
	return out
}

func TestChosenAgainstPROJ(t *testing.T) {
	ctx := NewContext()
	defer ctx.Close()
	known := grids(t)
	compared := 0
	for _, c := range []struct {
		from, to string
		lon, lat float64
		epoch    float64
		// What the two may differ by, metres. libproj takes latitude over
		// between GRS 80 and WGS 84 where the null step stands alone and not in
		// a chain, 0.1 mm on the ground; ours takes it over always.
		apart float64
		why   string // of a difference
	}{
		{"EPSG:4326", "EPSG:27700", -1.5, 52, 0, 2e-3, inverse},
		{"EPSG:27700", "EPSG:4326", -1.5, 52, 0, 1e-5, ""},
		{"EPSG:27700", "EPSG:4326", -4.2, 57.5, 0, 1e-5, ""},
		{"EPSG:25832", "EPSG:4326", 9, 52, 0, 1e-5, ""},
		{"EPSG:4326", "EPSG:25832", 9, 52, 0, 1e-5, ""},
		{"EPSG:4326", "EPSG:3035", 9, 52, 0, 1e-5, ""},
		{"EPSG:31467", "EPSG:25832", 9, 50, 0, 1e-5, ""},
		{"EPSG:25832", "EPSG:31467", 9, 50, 0, 1e-5, ""},
		{"EPSG:27572", "EPSG:2154", 3, 47, 0, 1e-5, ""},
		{"EPSG:2154", "EPSG:27572", 3, 47, 0, 1e-5, ""},
		{"EPSG:27200", "EPSG:2193", 174.75, -41.25, 0, 1e-5, ""},
		{"EPSG:2193", "EPSG:27200", 174.75, -41.25, 0, 1e-5, ""},
		{"EPSG:28350", "EPSG:7850", 115, -31, 0, 1e-5, ""},
		{"EPSG:7850", "EPSG:28350", 115, -31, 0, 1e-5, ""},
		{"EPSG:4326", "EPSG:7850", 115, -31, 0, 1e-5, ""},
		{"EPSG:9000", "EPSG:7844", 115, -31, 2026.5, 1e-5, ""},
		{"EPSG:7844", "EPSG:9000", 115, -31, 2026.5, 1e-5, ""},
		{"EPSG:9000", "EPSG:9067", 13.4, 52.5, 2026.5, 1e-5, ""},
		{"EPSG:9000", "EPSG:9069", 13.4, 52.5, 2010, 1e-5, ""},
		{"EPSG:8999", "EPSG:9000", 10, 50, 2015, 1e-5, ""},
		{"EPSG:9000", "EPSG:9990", 10, 50, 2015, 1e-5, ""},
		{"EPSG:28992", "EPSG:4258", 5, 52, 0, 1e-5, ""},
		{"EPSG:4258", "EPSG:28992", 5, 52, 0, 2e-3, inverse},
		{"EPSG:31287", "EPSG:4258", 14, 47.5, 0, 1e-5, ""},
		{"EPSG:2056", "EPSG:4258", 8, 47, 0, 1e-5, ""},
		{"EPSG:29902", "EPSG:2157", -8, 53, 0, 1.1e-4, "(null taken over)"},
		{"EPSG:2157", "EPSG:4326", -8, 53, 0, 1e-5, ""},
		{"EPSG:3006", "EPSG:4326", 15, 60, 0, 1e-5, ""},
		{"EPSG:5514", "EPSG:4258", 15, 49.8, 0, 1e-5, ""},
		{"EPSG:22185", "EPSG:4326", -60, -35, 0, 1e-5, ""},
		{"EPSG:4674", "EPSG:4326", -50, -20, 0, 1e-5, ""},
		{"EPSG:4269", "EPSG:4326", -100, 40, 0, 1e-5, ""},
		{"EPSG:27700", "EPSG:25830", -1.5, 52, 0, 1.1e-4, "(null taken over)"},
	} {
		from, err := crs.Parse(c.from)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		to, err := crs.Parse(c.to)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		op, err := crs.NewOperation(from, to, crs.Allowed{Accuracy: crs.AnyAccuracy}, crs.At(crs.Degrees(c.lon), crs.Degrees(c.lat)), crs.Epochs{From: c.epoch}, crs.Aids{Grids: known})
		if err != nil {
			t.Errorf("%s to %s: %v", c.from, c.to, err)
			continue
		}
		theirs, err := ctx.Between(c.from, c.to, c.lon, c.lat)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		// The place, taken to the source CRS with its own datum, is the input.
		p := []float64{c.lon, c.lat}
		if err := from.FromGeodetic(p, 2); err != nil {
			t.Errorf("%s: %v", c.from, err)
			continue
		}
		epoch := math.Inf(1)
		if c.epoch != 0 {
			epoch = c.epoch
		}
		q := theirs.Run([4]float64{p[0], p[1], 0, epoch}, false)
		theirs.Close()
		if err := op.Apply(p, 2); err != nil {
			t.Errorf("%s to %s: %v", c.from, c.to, err)
			continue
		}
		var d float64
		if to.IsDegrees() {
			d = OnGround(p[0], p[1], q[0], q[1])
		} else {
			d = math.Hypot(p[0]-q[0], p[1]-q[1]) * to.UnitMetres()
		}
		compared++
		t.Logf("%s to %s: %.6f mm; %s %s", c.from, c.to, d*1e3, op.Name(), c.why)
		if !(d <= c.apart) {
			t.Errorf("%s to %s at %v %v: ours %v, libproj %v: %.6f m apart", c.from, c.to, c.lon, c.lat, p, q, d)
		}
	}
	if compared < 30 {
		t.Errorf("only %d operations were compared", compared)
	}
}
