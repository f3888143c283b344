// Benchmarks of libproj on the points of the coordinate engine's own
// BenchmarkProject (crs/bench_test.go), and of that engine in the same run.

package proj

import (
	"math"
	"testing"

	"swardline/crs"
)

// benchSystems pairs a CRS with the bare projection of libproj, radians to
// metres: no unit conversion and no axis swap is charged to it.
var benchSystems = []struct {
	name, crs, pipeline string
	lon, lat, span      float64
}{
	{"tmerc", "EPSG:25832", "+proj=utm +zone=32 +ellps=GRS80", 9, 52, 3},
	{"lcc", "EPSG:2154", "+proj=lcc +lat_1=49 +lat_2=44 +lat_0=46.5 +lon_0=3 +x_0=700000 +y_0=6600000 +ellps=GRS80", 3, 46.5, 4},
	{"albers", "EPSG:3174", "+proj=aea +lat_0=45.568977 +lon_0=-84.455955 +lat_1=42.122774 +lat_2=49.01518 +x_0=1000000 +y_0=1000000 +ellps=GRS80", -84, 45, 4},
	{"laea", "EPSG:3035", "+proj=laea +lat_0=52 +lon_0=10 +x_0=4321000 +y_0=3210000 +ellps=GRS80", 10, 52, 8},
	{"mercator", "EPSG:3395", "+proj=merc +ellps=WGS84", 20, 40, 8},
	{"webmercator", "EPSG:3857", "+proj=webmerc +ellps=WGS84", 20, 40, 8},
	{"hotine", "EPSG:2056", "+proj=somerc +lat_0=46.9524055555556 +lon_0=7.43958333333333 +x_0=2600000 +y_0=1200000 +ellps=bessel", 8, 47, 1},
	{"obliquestereographic", "EPSG:28992", "+proj=sterea +lat_0=52.1561605555556 +lon_0=5.38763888888889 +k=0.9999079 +x_0=155000 +y_0=463000 +ellps=bessel", 5.5, 52, 1.5},
	{"polarstereographic", "EPSG:3413", "+proj=stere +lat_0=90 +lat_ts=70 +lon_0=-45 +ellps=WGS84", 0, 75, 8},
	{"krovak", "EPSG:5514", "+proj=krovak +lat_0=49.5 +lon_0=24.8333333333333 +alpha=30.2881397527778 +k=0.9999 +ellps=bessel", 17, 49, 2},
	{"cassini", "EPSG:28193", "+proj=cass +lat_0=31.7340969444444 +lon_0=35.2120805555556 +x_0=170251.555 +y_0=126867.909 +a=6378300.789 +rf=293.466315538989", 35, 31.5, 1},
	{"polyconic", "EPSG:5880", "+proj=poly +lat_0=0 +lon_0=-54 +x_0=5000000 +y_0=10000000 +ellps=GRS80", -54, -15, 8},
	{"nzmg", "EPSG:27200", "+proj=nzmg +lat_0=-41 +lon_0=173 +x_0=2510000 +y_0=6023150 +ellps=intl", 173, -41, 4},
	{"geocentric", "EPSG:4978", "+proj=cart +ellps=WGS84", 10, 52, 8},
	{"topocentric", "", "+proj=pipeline +step +proj=cart +ellps=WGS84 +step +proj=topocentric +ellps=WGS84 +lon_0=9 +lat_0=52 +h_0=45", 9, 52, 0.01},
}

func benchPoints(n int, lon, lat, span float64) []float64 {
	out := make([]float64, 0, 3*n)
	for i := range n {
		u := math.Mod(float64(i)*0.6180339887498949, 1)
		v := math.Mod(float64(i)*0.7548776662466927, 1)
		out = append(out, lon+span*(2*u-1), lat+span*(2*v-1), 45+float64(i%10))
	}
	return out
}

const benchCount = 10_000

func BenchmarkPROJ(b *testing.B) {
	ctx := NewContext()
	defer ctx.Close()
	for _, s := range benchSystems {
		op, err := ctx.Pipeline(s.pipeline)
		if err != nil {
			b.Fatal(err)
		}
		geo := benchPoints(benchCount, s.lon, s.lat, s.span)
		for i := 0; i < len(geo); i += 3 {
			geo[i] *= math.Pi / 180
			geo[i+1] *= math.Pi / 180
		}
		plane := append([]float64(nil), geo...)
		op.Apply(plane, 3, false)
		benchBoth(b, s.name, geo, plane,
			func(p []float64, stride int) error { op.Apply(p, stride, false); return nil },
			func(p []float64, stride int) error { op.Apply(p, stride, true); return nil })
		op.Close()
	}
}

func BenchmarkProject(b *testing.B) {
	for _, s := range benchSystems {
		var forward, inverse func([]float64, int) error
		if s.crs == "" {
			t, err := crs.NewTopocentric(crs.Geodetic{Lon: 9, Lat: 52, H: 45}, 6378137, 298.257223563)
			if err != nil {
				b.Fatal(err)
			}
			forward, inverse = t.FromGeodetic, t.ToGeodetic
		} else {
			c, err := crs.Parse(s.crs)
			if err != nil {
				b.Fatal(err)
			}
			forward, inverse = c.FromGeodetic, c.ToGeodetic
		}
		geo := benchPoints(benchCount, s.lon, s.lat, s.span)
		plane := append([]float64(nil), geo...)
		if err := forward(plane, 3); err != nil {
			b.Fatal(err)
		}
		benchBoth(b, s.name, geo, plane, forward, inverse)
	}
}

func benchBoth(b *testing.B, name string, geo, plane []float64, forward, inverse func([]float64, int) error) {
	for _, d := range []struct {
		name string
		in   []float64
		do   func([]float64, int) error
	}{{"forward", geo, forward}, {"inverse", plane, inverse}} {
		b.Run(name+"/"+d.name, func(b *testing.B) {
			work := make([]float64, len(d.in))
			b.ReportAllocs()
			for b.Loop() {
				copy(work, d.in)
				if err := d.do(work, 3); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(d.in)/3), "ns/point")
		})
	}
}
