// Benchmarks: nanoseconds a point of each projection method and of the
// topocentric step. testdata/oracle/proj runs the same points through libproj.

package crs

import (
	"fmt"
	"math"
	"runtime"
	"testing"
)

// benchSystems is a CRS for each method that is measured, with the middle of
// the points and half their span in degrees.
var benchSystems = []struct {
	name, crs string
	lon, lat  float64
	span      float64
}{
	{"tmerc", "EPSG:25832", 9, 52, 3},
	{"lcc", "EPSG:2154", 3, 46.5, 4},
	{"albers", "EPSG:3174", -84, 45, 4},
	{"laea", "EPSG:3035", 10, 52, 8},
	{"mercator", "EPSG:3395", 20, 40, 8},
	{"webmercator", "EPSG:3857", 20, 40, 8},
	{"hotine", "EPSG:2056", 8, 47, 1},
	{"obliquestereographic", "EPSG:28992", 5.5, 52, 1.5},
	{"polarstereographic", "EPSG:3413", 0, 75, 8},
	{"krovak", "EPSG:5514", 17, 49, 2},
	{"cassini", "EPSG:28193", 35, 31.5, 1},
	{"polyconic", "EPSG:5880", -54, -15, 8},
	{"nzmg", "EPSG:27200", 173, -41, 4},
	{"geocentric", "EPSG:4978", 10, 52, 8},
	{"site", "site:lat=52;lon=9;h=45;rotation=12.5", 9, 52, 0.01},
}

// benchPoints are n points about a middle, XYZ, degrees and metres; the same
// numbers in both modules.
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

func BenchmarkProject(b *testing.B) {
	for _, s := range benchSystems {
		c, err := Parse(s.crs)
		if err != nil {
			b.Fatal(err)
		}
		geo := benchPoints(benchCount, s.lon, s.lat, s.span)
		plane := append([]float64(nil), geo...)
		if err := c.FromGeodetic(plane, 3); err != nil {
			b.Fatal(err)
		}
		benchBoth(b, s.name, geo, plane, c.FromGeodetic, c.ToGeodetic)
	}
	t, err := NewTopocentric(Geodetic{Lon: 9, Lat: 52, H: 45}, 6378137, 298.257223563)
	if err != nil {
		b.Fatal(err)
	}
	geo := benchPoints(benchCount, 9, 52, 0.01)
	local := append([]float64(nil), geo...)
	if err := t.FromGeodetic(local, 3); err != nil {
		b.Fatal(err)
	}
	benchBoth(b, "topocentric", geo, local, t.FromGeodetic, t.ToGeodetic)
}

// BenchmarkMillion is a million points at once, on one core and on all of them.
// It sets the count itself: -cpu counts for the outer benchmark only once it
// has parts, and both figures would be taken on all cores.
func BenchmarkMillion(b *testing.B) {
	for _, s := range benchSystems[:2] {
		c, err := Parse(s.crs)
		if err != nil {
			b.Fatal(err)
		}
		geo := benchPoints(1_000_000, s.lon, s.lat, s.span)
		plane := append([]float64(nil), geo...)
		if err := c.FromGeodetic(plane, 3); err != nil {
			b.Fatal(err)
		}
		for _, cores := range []int{1, runtime.NumCPU()} {
			before := runtime.GOMAXPROCS(cores)
			benchBoth(b, fmt.Sprintf("%s/cores=%d", s.name, cores), geo, plane, func(flat []float64, stride int) error {
				runtime.GOMAXPROCS(cores) // the benchmark's start sets it back
				return c.FromGeodetic(flat, stride)
			}, func(flat []float64, stride int) error {
				runtime.GOMAXPROCS(cores)
				return c.ToGeodetic(flat, stride)
			})
			runtime.GOMAXPROCS(before)
		}
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
