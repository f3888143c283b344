// Steps of height against the PROJ library.

package projsteps

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"swardline/crs"
	"swardline/testdata/gridfile"
)

// Geoid heights out of invented grids against libproj's vgridshift: inside
// cells, beside nodes without a value, and across the seam of a grid round the
// earth.
func TestGeoidAgainstPROJ(t *testing.T) {
	ctx := NewContext()
	defer ctx.Close()
	r := rand.New(rand.NewPCG(3, 4))
	compared, worst := 0, 0.0
	for _, c := range []struct {
		name                     string
		data                     []byte
		west, south, east, north float64
	}{
		{"rough.gtx", gridfile.GTX(3, 50, 0.25, 21, 13, func(i, j int) float64 { return 40 + 10*math.Sin(float64(7*i+3*j)) }), 3, 50, 8, 53},
		{"holes.gtx", gridfile.GTX(3, 50, 0.25, 21, 13, func(i, j int) float64 {
			if (i*j)%5 == 3 {
				return -88.8888
			}
			return 40 + 10*math.Sin(float64(7*i+3*j))
		}), 3, 50, 8, 53},
		{"globe.gtx", gridfile.GTX(-180, -90, 5, 72, 37, func(i, j int) float64 { return 30 * math.Sin(float64(i)) * math.Cos(float64(j)) }), -180, -90, 180, 90},
	} {
		path := filepath.Join(t.TempDir(), c.name)
		if err := os.WriteFile(path, c.data, 0o600); err != nil {
			t.Fatal(err)
		}
		g, err := crs.ReadHeightGrid(c.data, c.name)
		if err != nil {
			t.Fatal(err)
		}
		theirs, err := ctx.New("+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad +step +proj=vgridshift +grids=" + path + " +step +proj=unitconvert +xy_in=rad +xy_out=deg")
		if err != nil {
			t.Fatal(err)
		}
		for range 2000 {
			lon, lat := c.west+r.Float64()*(c.east-c.west), c.south+r.Float64()*(c.north-c.south)
			n, err := g.At(lon, lat)
			p := theirs.Run([4]float64{lon, lat, 100, math.Inf(1)}, false)
			if err != nil || math.IsInf(p[2], 0) {
				if (err != nil) != math.IsInf(p[2], 0) {
					t.Errorf("%s at %v, %v: ours %v, libproj %v", c.name, lat, lon, err, p[2])
				}
				continue
			}
			compared++
			// vgridshift takes the geoid height off: H = h - N.
			d := math.Abs(100 - n - p[2])
			worst = math.Max(worst, d)
			if d > 1e-6 {
				t.Errorf("%s at %v, %v: ours %v, libproj %v", c.name, lat, lon, 100-n, p[2])
			}
		}
		theirs.Close()
	}
	t.Logf("%d places, the worst %.2g m apart", compared, worst)
	if compared < 4000 {
		t.Errorf("only %d places were compared", compared)
	}
}

// A compound system to ellipsoidal heights, both parts: the Dutch grid and NAP
// with an invented model under the name of the real one.
func TestCompoundAgainstPROJ(t *testing.T) {
	ctx := NewContext()
	defer ctx.Close()
	data := gridfile.GTX(3, 50, 0.25, 21, 17, func(i, j int) float64 { return 43 + 2*math.Sin(float64(7*i+3*j)) })
	path := filepath.Join(t.TempDir(), "nlgeo2018.gtx")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var with crs.Aids
	if err := with.Read(data, path); err != nil {
		t.Fatal(err)
	}
	from, err := crs.Parse("EPSG:7415")
	if err != nil {
		t.Fatal(err)
	}
	to, err := crs.Parse("EPSG:4937")
	if err != nil {
		t.Fatal(err)
	}
	op, err := crs.NewOperation(from, to, crs.Allowed{Accuracy: 1}, crs.At(5.4, 52.2), crs.Epochs{}, with)
	if err != nil {
		t.Fatal(err)
	}
	// EPSG:9281, coordinate frame: rotations in arc-seconds, scale in parts per
	// million.
	theirs, err := ctx.New("+proj=pipeline +step +inv +proj=sterea +lat_0=52.1561605555556 +lon_0=5.38763888888889 +k=0.9999079 +x_0=155000 +y_0=463000 +ellps=bessel" +
		" +step +proj=push +v_3 +step +proj=cart +ellps=bessel +step +proj=helmert +x=565.7381 +y=50.4018 +z=465.2904 +rx=0.395025981036064 +ry=-0.330772431242031 +rz=1.87607329462822 +s=4.07244 +convention=coordinate_frame" +
		" +step +inv +proj=cart +ellps=GRS80 +step +proj=pop +v_3" + fmt.Sprintf(" +step +inv +proj=vgridshift +grids=%s", path) + " +step +proj=unitconvert +xy_in=rad +xy_out=deg")
	if err != nil {
		t.Fatal(err)
	}
	defer theirs.Close()
	t.Log(op.Name())
	for _, p := range [][3]float64{{155000, 463000, 10}, {120000, 487000, -1.5}, {233000, 582000, 2}} {
		ours := []float64{p[0], p[1], p[2]}
		if err := op.Apply(ours, 3); err != nil {
			t.Fatal(err)
		}
		q := theirs.Run([4]float64{p[0], p[1], p[2], math.Inf(1)}, false)
		if d := OnGround(ours[0], ours[1], q[0], q[1]); d > 1e-5 || math.Abs(ours[2]-q[2]) > 1e-5 {
			t.Errorf("%v: ours %v, libproj %v: %.6f m and %.6f m", p, ours, q, d, ours[2]-q[2])
		}
	}
}
