// Tests of scale and convergence beyond the published values in the vectors.

package crs

import (
	"math"
	"testing"
)

func TestDistortion(t *testing.T) {
	at := func(id string, lon, lat float64) Distortion {
		t.Helper()
		c, err := Parse(id)
		if err != nil {
			t.Fatal(err)
		}
		d, err := c.DistortionAt(Geodetic{Lon: Degrees(lon), Lat: Degrees(lat)})
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	near := func(what string, got, want, tol float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s: %.12g, want %.12g", what, got, want)
		}
	}
	d := at("EPSG:25832", 9, 52)
	near("UTM on its meridian", d.Meridian, 0.9996, 1e-11)
	near("UTM on its meridian", d.Convergence, 0, 1e-9)
	near("a conformal projection turns no angle", d.Angular, 0, 0)
	d = at("EPSG:25832", 10, 52)
	near("east of it grid north is east of true north", d.Convergence, math.Atan(math.Tan(radPerDeg)*math.Sin(52*radPerDeg))*degPerRad, 1e-4)
	d = at("EPSG:3035", 25, 60)
	near("an equal area projection", d.Areal, 1, 1e-10)
	if d.Angular < 0.1 {
		t.Errorf("an equal area projection turns angles by %g degrees", d.Angular)
	}
	near("h k sin of their angle is the area", d.Meridian*d.Parallel, d.Areal, 0.01)
	d = at("EPSG:3857", 13.4, 52.5)
	near("web Mercator's areas at 52.5 degrees", d.Areal, 2.69, 0.02)
	d = at("EPSG:3413", -45, 90)
	near("polar stereographic at the pole", d.Meridian, 0.96985819, 1e-7) // k0 of the variant B, of the registry's parameters
	near("polar stereographic at the pole", d.Parallel, 0.96985819, 1e-7)
	d = at("EPSG:2236", -81, 25)
	near("feet do not change the scale", d.Meridian, 0.999941177, 1e-10)

	for _, id := range []string{"EPSG:4326", "EPSG:4978"} {
		c, _ := Parse(id)
		if _, _, err := c.ScaleAt(Geodetic{}); err == nil {
			t.Errorf("%s has a scale", id)
		}
	}
	utm, _ := Parse("EPSG:25832")
	if _, _, err := utm.ScaleAt(Geodetic{Lat: 91}); err == nil {
		t.Error("a scale at latitude 91")
	}
	if _, _, err := utm.ScaleAt(Geodetic{Lon: 100}); err == nil {
		t.Error("a scale outside the domain")
	}
	if _, _, err := utm.ScaleAt(Geodetic{Lat: 90}); err != nil {
		t.Error(err)
	}
}

// Combined factors as the National Geodetic Survey's OPUS prints them
// (solution reports of a Colorado and a Utah point, 8 decimals).
func TestCombinedFactor(t *testing.T) {
	for _, c := range []struct {
		id       string
		lon, lat float64
		h, want  float64
	}{
		{"EPSG:26913", -(105 + 30./60 + 41.78888/3600), 38 + 56./60 + 13.46393/3600, 2608.189, 0.99921531},
		{"EPSG:26954", -(105 + 30./60 + 41.78888/3600), 38 + 56./60 + 13.46393/3600, 2608.189, 0.99953095},
		{"EPSG:32143", -(360 - 248 - 17./60 - 4.51118/3600), 40 + 16./60 + 39.29837/3600, 1382.045, 0.99971186},
	} {
		s, err := Parse(c.id)
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.CombinedFactorAt(Geodetic{Lon: Degrees(c.lon), Lat: Degrees(c.lat), H: Metres(c.h)})
		if err != nil || math.Abs(got-c.want) > 1.1e-8 {
			t.Errorf("%s: %.9f, want %.8f (%v)", c.id, got, c.want, err)
		}
		if _, err := s.CombinedFactorAt(Geodetic{Lon: Degrees(c.lon), Lat: Degrees(c.lat), H: Metres(math.NaN())}); err == nil {
			t.Error("a combined factor without a height")
		}
	}
}

// A plane turned by an angle and stretched by a factor has that convergence and
// scale, by closed form; where the coordinates end there is none.
func TestMeasureGrid(t *testing.T) {
	for _, tc := range []struct{ turnDeg, scale float64 }{{0, 1}, {1.5, 0.9996}, {-30, 3.28}, {179, 2}} {
		sin, cos := math.Sincos(tc.turnDeg * math.Pi / 180)
		turn, scale, ok := MeasureGrid(func(e, n float64) (x, y float64, ok bool) {
			// Grid north lies turnDeg clockwise from true north.
			return tc.scale * (e*cos - n*sin), tc.scale * (e*sin + n*cos), true
		})
		if !ok || math.Abs(float64(turn)-tc.turnDeg) > 1e-9 || math.Abs(scale-tc.scale) > 1e-12 {
			t.Errorf("%+v: %v, %v, %v", tc, turn, scale, ok)
		}
	}
	if _, _, ok := MeasureGrid(func(e, n float64) (x, y float64, ok bool) { return e, n, e < 1 }); ok {
		t.Error("a place at the edge of the coordinates is measured")
	}
}

// Web Mercator stretches by the secant of the latitude, nearly: on the
// ellipsoid by a over the radius along the parallel and along the meridian.
func TestStretch(t *testing.T) {
	for _, c := range []struct {
		id       string
		lon, lat Degrees
		notable  bool
		words    string
	}{
		{"EPSG:3857", 13.4, 52.5, true, "100 m on the ground are 163.9 to 164.3 m, by direction, on the grid, and 100 m² are 269.4 m²"},
		{"EPSG:3857", 0, 0, false, "100 m on the ground are 100.0 to 100.7 m, by direction, on the grid, and 100 m² are 100.7 m²"},
		{"EPSG:25832", 9, 52.5, false, "100 m on the ground are 100.0 m on the grid, and 100 m² are 99.9 m²"},
		{"EPSG:25832", 1.6, 40, false, ""},
		{"EPSG:25832", -4, 40, true, ""},
		{"EPSG:3035", 24, 65, false, ""},
		{"EPSG:3035", 33, 70, true, ""},
	} {
		sys, err := Parse(c.id)
		if err != nil {
			t.Fatal(err)
		}
		s, err := sys.StretchAt(Geodetic{Lon: c.lon, Lat: c.lat})
		if err != nil {
			t.Fatal(err)
		}
		if s.Notable() != c.notable || c.words != "" && s.String() != c.words {
			t.Errorf("%s at %v, %v: notable %v, %s; %+v", c.id, c.lat, c.lon, s.Notable(), s, s)
		}
	}
	for _, c := range []struct {
		off  float64
		want bool
	}{{0.00999, false}, {0.01001, true}, {-0.00999, false}, {-0.01001, true}} {
		if got := (Stretch{1 + c.off, 1 + c.off, 1}).Notable(); got != c.want {
			t.Errorf("off by %v: %v", c.off, got)
		}
	}
	degrees, _ := Parse("EPSG:4326")
	if _, err := degrees.StretchAt(Geodetic{}); err == nil {
		t.Error("degrees have a stretch")
	}
}
