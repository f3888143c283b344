// Tests of the plugin for github.com/wroge/wgs84, and what of that package
// measures right: why our own projections stand where they do.

package crs

import (
	"math"
	"testing"

	"github.com/wroge/wgs84"
)

func TestPluginInTheRepository(t *testing.T) {
	c, err := Parse("EPSG:2193")
	if err != nil {
		t.Fatal(err)
	}
	p, err := asked{Near: &Geodetic{Lon: 172, Lat: -41}}.plugin(c)
	if err != nil {
		t.Fatal(err)
	}
	repo := wgs84.EPSG()
	repo.Add(2193, p)
	e, n, h := repo.Transform(4326, 2193)(172, -41, 30)
	want := []float64{172, -41, 30}
	op, err := asked{Near: &Geodetic{Lon: 172, Lat: -41}}.operation(WGS84(), c)
	if err != nil {
		t.Fatal(err)
	}
	if err := op.Apply(want, 3); err != nil {
		t.Fatal(err)
	}
	if math.Hypot(e-want[0], n-want[1]) > 1e-3 || math.Abs(h-30) > 1e-3 {
		t.Errorf("%v %v %v, want %v", e, n, h, want)
	}
	lon, lat, h := repo.Transform(2193, 4326)(e, n, h)
	if math.Abs(lon-172) > 1e-8 || math.Abs(lat+41) > 1e-8 || math.Abs(h-30) > 1e-3 {
		t.Errorf("back at %v %v %v", lon, lat, h)
	}
	if !p.Contains(172, -41) || p.Contains(0, 0) || p.Contains(172, -95) {
		t.Error("the area is wrong")
	}
	if x, _, _ := p.ToWGS84(1e12, 1e12, 0); x == x {
		t.Error("nonsense was placed")
	}
	paris, _ := Parse("EPSG:2154")
	if _, err := (asked{AcceptAccuracy: 0.001}).plugin(paris); err == nil {
		t.Error("a step worse than accepted was taken")
	}
}

// The package's geocentric and Lambert conic (2SP) steps are right to the
// millimetre at published points; its transverse Mercator is wrong by
// decimetres forward and metres back, and by how much is held here: should a
// later version mend it, this test says so. Ours are right at the same points.
func TestWhatTheWGS84PackageGetsRight(t *testing.T) {
	dms := func(d, m, s float64) float64 { return d + m/60 + s/3600 }
	ground := func(lon0, lat0, lon1, lat1 float64) float64 {
		return math.Hypot((lon1-lon0)*math.Cos(lat0*radPerDeg), lat1-lat0) * 111319.49
	}

	// Geocentric: GeographicLib, CartConvert's manual page.
	x, y, z := wgs84.To(wgs84.XYZ())(44.4, 33.3, 6000)
	if d := math.Hypot(math.Hypot(x-3816209.60, y-3737108.55), z-3485109.57); d > 0.01 {
		t.Errorf("its geocentric step is off by %g m", d)
	}

	// Lambert 2SP: OPUS report of a Washington point, EPSG:32149.
	lon, lat := -dms(119, 17, 13.97839), dms(47, 11, 24.99997)
	e, n, _ := wgs84.To(wgs84.NAD83().LambertConformalConic2SP(-120.5, 45+1./3, 47+1./3, 45+5./6, 500000, 0))(lon, lat, 0)
	if d := math.Hypot(e-591905.162, n-207112.470); d > 0.002 {
		t.Errorf("its Lambert conic (2SP) is off by %g m", d)
	}

	// Transverse Mercator: ICSM's Buninyong in zone 54 of MGA2020 (GRS80), 2.9
	// degrees from the central meridian; the package is given the same figures.
	tm := wgs84.ETRS89().TransverseMercator(141, 0, 0.9996, 500000, 10000000)
	lon, lat = dms(143, 55, 35.38390), -dms(37, 39, 10.15610)
	const wantE, wantN = 758173.7973, 5828674.3402
	e, n, _ = wgs84.To(tm)(lon, lat, 0)
	forward := math.Hypot(e-wantE, n-wantN)
	blon, blat, _ := wgs84.From(tm)(wantE, wantN, 0)
	inverse := ground(lon, lat, blon, blat)
	t.Logf("its transverse Mercator at 2.9 degrees: forward off by %.3f m, inverse by %.3f m", forward, inverse)
	if !(forward > 0.1 && forward < 2) || !(inverse > 1 && inverse < 12) {
		t.Errorf("its transverse Mercator is off by %g m forward and %g m back, not by what was measured: look again at what may use it", forward, inverse)
	}

	mga, err := Parse("EPSG:7854")
	if err != nil {
		t.Fatal(err)
	}
	p := []float64{lon, lat}
	if err := mga.FromGeodetic(p, 2); err != nil || math.Hypot(p[0]-wantE, p[1]-wantN) > 1e-4 {
		t.Errorf("ours: %v, %v", p, err)
	}
	p = []float64{wantE, wantN}
	if err := mga.ToGeodetic(p, 2); err != nil || ground(lon, lat, p[0], p[1]) > 1e-4 {
		t.Errorf("ours back: %v, %v", p, err)
	}
}
