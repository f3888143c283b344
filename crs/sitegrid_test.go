// Tests of the site grid.

package crs

import (
	"math"
	"math/rand/v2"
	"testing"
)

func site(t *testing.T, g SiteGrid) *CRS {
	t.Helper()
	c, err := NewSite(g)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestSiteGridIsTopocentric(t *testing.T) {
	origin := Geodetic{Lon: 9.2, Lat: 56.1, H: 45}
	c := site(t, SiteGrid{Origin: origin, Scale: 1, FalseE: 1000, FalseN: 5000})
	topo, err := NewTopocentric(origin, 6378137, 298.257223563)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range []Geodetic{origin, {9.201, 56.1, 45}, {9.19, 56.11, 200}, {9.3, 56.0, -10}} {
		p := []float64{float64(g.Lon), float64(g.Lat), float64(g.H)}
		if err := c.FromGeodetic(p, 3); err != nil {
			t.Fatal(err)
		}
		l := topo.Local(g)
		if math.Abs(p[0]-1000-float64(l.E)) > 1e-9 || math.Abs(p[1]-5000-float64(l.N)) > 1e-9 || p[2] != float64(g.H) {
			t.Errorf("%v: %v, want %v on from 1000, 5000 and the height untouched", g, p, l)
		}
	}
}

func TestSiteGridRotation(t *testing.T) {
	// Grid north points 90 degrees, east: a point to the east has a greater n,
	// one to the north a smaller e.
	c := site(t, SiteGrid{Origin: Geodetic{Lon: 9.2, Lat: 56.1}, RotationDeg: 90, Scale: 1})
	east := []float64{9.201, 56.1}
	north := []float64{9.2, 56.101}
	if c.FromGeodetic(east, 2) != nil || c.FromGeodetic(north, 2) != nil {
		t.Fatal("outside")
	}
	if !(math.Abs(east[0]) < 0.01 && east[1] > 60 && north[0] < -100 && math.Abs(north[1]) < 0.01) {
		t.Errorf("east of the origin %v, north of it %v", east, north)
	}
	k, conv, err := c.ScaleAt(Geodetic{Lon: 9.2, Lat: 56.1, H: Metres(math.NaN())})
	if err != nil || math.Abs(k-1) > 1e-9 || math.Abs(conv-90) > 1e-6 {
		t.Errorf("scale %v, convergence %v, %v", k, conv, err)
	}
	// Scale is grid length to ground length.
	c = site(t, SiteGrid{Origin: Geodetic{Lon: 9.2, Lat: 56.1}, Scale: 1.5})
	twice := []float64{9.2, 56.101}
	if err := c.FromGeodetic(twice, 2); err != nil || math.Abs(twice[1]/(-north[0])-1.5) > 1e-9 {
		t.Errorf("scaled %v from %v", twice, north)
	}
}

// There and back closes within 0.01 mm with heights and without, and a point
// without a height does not get one.
func TestSiteGridThereAndBack(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		g := SiteGrid{
			Origin:      Geodetic{Lon: Degrees(random.Float64()*360 - 180), Lat: Degrees(random.Float64()*178 - 89), H: Metres(random.Float64()*4000 - 100)},
			RotationDeg: Degrees(random.Float64()*720 - 360), Scale: 0.99 + 0.02*random.Float64(),
			FalseE: Metres(random.Float64() * 1e5), FalseN: Metres(random.Float64() * 1e5),
		}
		c := site(t, g)
		again, err := Parse(c.ID())
		if err != nil || again.ID() != c.ID() {
			t.Fatalf("%s: %v", c.ID(), err)
		}
		if back, ok := again.Site(); !ok || back.Origin != g.Origin || back.RotationDeg != g.RotationDeg || back.Scale != g.Scale || back.FalseE != g.FalseE || back.FalseN != g.FalseN || back.Base.ID() != "EPSG:4979" {
			t.Fatalf("%+v came back as %+v", g, back)
		}
		reach := math.Pow(10, 1+4*random.Float64()) // 10 m to 100 km
		angle := 2 * math.Pi * random.Float64()
		en := []float64{float64(g.FalseE) + 0.98*reach*math.Sin(angle), float64(g.FalseN) + 0.98*reach*math.Cos(angle)}
		for _, h := range []float64{math.NaN(), float64(g.Origin.H) + 100*random.Float64(), float64(g.Origin.H) - 50} {
			p := []float64{en[0], en[1], h}
			if err := c.ToGeodetic(p, 3); err != nil {
				t.Fatal(err)
			}
			if math.IsNaN(h) != math.IsNaN(p[2]) || h == h && p[2] != h {
				t.Fatalf("height %v became %v", h, p[2])
			}
			if err := c.FromGeodetic(p, 3); err != nil {
				t.Fatal(err)
			}
			if d := math.Hypot(p[0]-en[0], p[1]-en[1]); !(d < 1e-5) {
				t.Fatalf("%s: %v with height %v comes back %g m off", c.ID(), en, h, d)
			}
		}
		// Two dimensions are three without a height.
		p, q := []float64{en[0], en[1]}, []float64{en[0], en[1], math.NaN()}
		if c.ToGeodetic(p, 2) != nil || c.ToGeodetic(q, 3) != nil || p[0] != q[0] || p[1] != q[1] {
			t.Fatalf("%v and %v", p, q)
		}
	}
}

func TestSiteGridRefusesFarPoints(t *testing.T) {
	c := site(t, SiteGrid{Origin: Geodetic{Lon: 9, Lat: 56}, Scale: 1})
	for _, p := range [][]float64{{12, 56}, {-171, -56}, {9, 95}, {math.NaN(), 56}, {9, math.Inf(1)}} {
		if err := c.FromGeodetic(append([]float64(nil), p...), 2); err == nil {
			t.Errorf("%v was placed", p)
		}
	}
	for _, p := range [][]float64{{200_000, 0}, {math.NaN(), 0}, {0, math.Inf(-1)}} {
		if err := c.ToGeodetic(append([]float64(nil), p...), 2); err == nil {
			t.Errorf("%v was placed", p)
		}
	}
}

// A site grid reaches 100 km, the same on every bearing.
func TestSiteGridReach(t *testing.T) {
	c := site(t, SiteGrid{Origin: Geodetic{Lon: 9, Lat: 56}, Scale: 1})
	for bearing := 0.0; bearing < 360; bearing += 45 {
		sin, cos := math.Sincos(bearing * radPerDeg)
		in := []float64{99_900 * sin, 99_900 * cos}
		if err := c.ToGeodetic(in, 2); err != nil {
			t.Fatalf("99.9 km at %v degrees: %v", bearing, err)
		}
		out := []float64{9 + (in[0]-9)*1.003, 56 + (in[1]-56)*1.003} // about 100.2 km
		if err := c.FromGeodetic(in, 2); err != nil {
			t.Errorf("99.9 km at %v degrees: %v", bearing, err)
		}
		if err := c.FromGeodetic(out, 2); err == nil {
			t.Errorf("about 100.2 km at %v degrees was placed: %v", bearing, out)
		}
		if err := c.ToGeodetic([]float64{100_001 * sin, 100_001 * cos}, 2); err == nil {
			t.Errorf("100.001 km at %v degrees was placed", bearing)
		}
	}
}

// A site grid among positions has its origin in their middle; heights that are
// absent do not count.
func TestSiteAmong(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		flat []float64
		want Geodetic
	}{
		{[]float64{11.2, 56.9, 40, 11.4, 57.1, 43}, Geodetic{Lon: 11.3, Lat: 57, H: 42}},
		{[]float64{11.2, 56.9, nan, 11.4, 57.1, 43}, Geodetic{Lon: 11.3, Lat: 57, H: 43}},
		{[]float64{11.2000001, 56.9, nan}, Geodetic{Lon: 11.2, Lat: 56.9}},
	} {
		c, err := SiteAmong(WGS84(), nil, tc.flat)
		if err != nil {
			t.Fatal(err)
		}
		if g, ok := c.Site(); !ok || g.Origin != tc.want || g.Scale != 1 || g.RotationDeg != 0 {
			t.Errorf("%v: %+v", tc.flat, g)
		}
		utm, err := Parse("EPSG:32632")
		if err != nil {
			t.Fatal(err)
		}
		at := []float64{float64(tc.want.Lon), float64(tc.want.Lat)}
		if err := utm.FromGeodetic(at, 2); err != nil {
			t.Fatal(err)
		}
		k, err := utm.CombinedFactorAmong([]float64{at[0] - 10, at[1] - 20, nan, at[0] + 10, at[1] + 20, float64(tc.want.H)})
		if err != nil {
			t.Fatal(err)
		}
		want, err := utm.CombinedFactorAt(tc.want)
		if err != nil || math.Abs(k-want) > 1e-12 {
			t.Errorf("%v: the combined factor is %.12f, want %.12f", tc.flat, k, want)
		}
	}
	if _, err := SiteAmong(WGS84(), nil, []float64{0, 91, 0}); err == nil {
		t.Error("a site beyond the pole")
	}
}
