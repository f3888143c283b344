// The plan on the ground: the same site in every system gives the same figures,
// and the way back leads where it came from.

package validate_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// in returns the plan in another system, by nothing but that system's
// projection of its own longitude and latitude.
func in(t *testing.T, p *schema.Plan, c *crs.CRS) *schema.Plan {
	t.Helper()
	out := *p
	out.CRS = c
	out.Features = nil
	for _, f := range p.Features {
		g := *f
		flat := append([]float64(nil), f.Geometry.FlatCoords()...)
		if err := c.FromGeodetic(flat, f.Geometry.Stride()); err != nil {
			t.Fatal(err)
		}
		var err error
		if g.Geometry, err = schema.WithFlatCoords(f.Geometry, flat); err != nil {
			t.Fatal(err)
		}
		out.Features = append(out.Features, &g)
	}
	return &out
}

func parse(t *testing.T, text string) *crs.CRS {
	t.Helper()
	c, err := crs.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func site(t *testing.T, g crs.SiteGrid) *crs.CRS {
	t.Helper()
	g.Base = parse(t, "EPSG:4979")
	c, err := crs.NewSite(g)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestOnePlanInManySystems: grids whose north is degrees off, whose scale is
// hundreds of parts per million off, and whose unit is a foot, give the
// findings and figures of the plan in degrees.
func TestOnePlanInManySystems(t *testing.T) {
	origin := crs.Geodetic{Lon: plotLon, Lat: plotLat, H: plotH}
	for _, x := range []struct {
		name string
		c    *crs.CRS
	}{
		{"UTM in its zone", parse(t, "EPSG:25829")},
		{"UTM two zones off", parse(t, "EPSG:25831")},
		{"Lambert conic of Europe", parse(t, "EPSG:3034")},
		{"web Mercator", parse(t, "EPSG:3857")},
		{"a grid in US survey feet", parse(t, "EPSG:2225")},
		{"site grid turned and shifted", site(t, crs.SiteGrid{Origin: origin, RotationDeg: 37, Scale: 1, FalseE: 1000, FalseN: 5000})},
		{"site grid of another scale", site(t, crs.SiteGrid{Origin: origin, RotationDeg: -120, Scale: 1.25})},
	} {
		for rule, b := range brokenPlans {
			p := park()
			b.fail(p)
			if p.grid != "" || rule == "axes-swapped" || rule == "base-frame" { // a grid has a frame of its own
				continue
			}
			plan := p.plan(t)
			if x.name == "a grid in US survey feet" {
				// The grid is at home elsewhere; far from there it is still a
				// grid.
				if err := x.c.FromGeodetic([]float64{plotLon, plotLat}, 2); err != nil {
					break
				}
			}
			want := validate.Check(plan, schema.DefaultLimits())
			got := validate.Check(in(t, plan, x.c), schema.DefaultLimits())
			same(t, x.name+": "+rule, want, got, 2e-3)
		}
	}
}

// same compares two reports finding by finding: rule, features and figures.
func same(t *testing.T, name string, want, got *validate.Report, tolerance float64) {
	t.Helper()
	if len(want.Findings) != len(got.Findings) {
		t.Errorf("%s: %d findings, want %d", name, len(got.Findings), len(want.Findings))
		for _, f := range got.Findings {
			t.Log("got", show(f))
		}
		return
	}
	left := append([]validate.Finding(nil), got.Findings...)
	for _, w := range want.Findings {
		found := false
		tolerance := tolerance
		if w.Unit == "deg" {
			tolerance = 0.03 // a grid's north and true north differ by that over 2 km
		}
		for i, g := range left {
			if g.Rule == w.Rule && g.Severity == w.Severity && sortedIDs(g) == sortedIDs(w) && near(g.Measured, w.Measured, tolerance*math.Max(1, math.Abs(w.Measured)/100)) &&
				near(g.AreaM2, w.AreaM2, 20*tolerance) && near(g.Limit, w.Limit, 1e-12) && g.Unit == w.Unit && g.Mendable == w.Mendable {
				left = append(left[:i], left[i+1:]...)
				found = true
				break
			}
		}
		if !found {
			t.Errorf("%s: missing %s", name, show(w))
			for _, g := range left {
				t.Log("left", show(g))
			}
		}
	}
	for _, w := range want.Rules {
		if g := got.Outcome(w.Rule); g.Outcome != w.Outcome {
			t.Errorf("%s: %s is %s (%s), want %s (%s)", name, w.Rule, g.Outcome, g.Reason, w.Outcome, w.Reason)
		}
	}
}

func sortedIDs(f validate.Finding) string {
	out := strings.Fields(ids(f))
	for i := range out {
		for k := i + 1; k < len(out); k++ {
			if out[k] < out[i] {
				out[i], out[k] = out[k], out[i]
			}
		}
	}
	return strings.Join(out, " ")
}

// TestDistancesAreOnTheGround compares distances between vertices with the
// chord between their geocentric positions at the site's height, which package
// crs computes without a tangent plane.
func TestDistancesAreOnTheGround(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, at := range [][2]float64{{9.1, 56.2}, {-179.9999, -16.8}, {151.2, -33.9}, {0, 0}, {25, 78}, {-70, -85}} {
		p := &schema.Plan{CRS: crs.WGS84()}
		var flat []float64
		for i := 0; i < 20; i++ {
			lon := at[0] + (r.Float64()-0.5)*0.02/math.Cos(at[1]*math.Pi/180)
			flat = append(flat, math.Remainder(lon, 360), at[1]+(r.Float64()-0.5)*0.02, 250)
			p.Features = append(p.Features, &schema.Feature{Role: schema.RoleDock, Geometry: geom.NewPointFlat(geom.XYZ, flat[3*i:3*i+3])})
		}
		s, err := validate.Ground(p)
		if err != nil || s.Frame != validate.FrameEarth {
			t.Fatal(err, s.Why)
		}
		if s.H != 250 {
			t.Errorf("reference height %v, want 250", s.H)
		}
		xyz := append([]float64(nil), flat...)
		geocentric := parse(t, "EPSG:4978")
		if err := geocentric.FromGeodetic(xyz, 3); err != nil {
			t.Fatal(err)
		}
		for i := range s.Features {
			g := s.Features[i].Points[0].Ground
			lon, lat, ok := s.GroundToLonLat(g)
			if !ok || math.Abs(math.Remainder(lon-flat[3*i], 360)) > 1e-11 || math.Abs(lat-flat[3*i+1]) > 1e-11 {
				t.Errorf("back to %.12f %.12f, came from %.12f %.12f", lon, lat, flat[3*i], flat[3*i+1])
			}
			if q, ok := s.LonLatToGround(lon, lat); !ok || math.Hypot(q[0]-g[0], q[1]-g[1]) > 1e-6 {
				t.Errorf("to the ground and back: %v, want %v", q, g)
			}
			for k := 0; k < i; k++ {
				h := s.Features[k].Points[0].Ground
				chord := math.Sqrt(sq(xyz[3*i]-xyz[3*k]) + sq(xyz[3*i+1]-xyz[3*k+1]) + sq(xyz[3*i+2]-xyz[3*k+2]))
				// Within 1.6 km of the origin the plane is short by less than
				// d^3/6R^2.
				if d := math.Hypot(g[0]-h[0], g[1]-h[1]); math.Abs(d-chord) > 1e-3 {
					t.Errorf("at %v: %.6f m on the ground, chord %.6f m", at, d, chord)
				}
			}
		}
	}
}

func sq(v float64) float64 { return v * v }

// TestNorthIsTrue: a point due north along a meridian lies due north on the
// ground, wherever the grid's north points.
func TestNorthIsTrue(t *testing.T) {
	c := parse(t, "EPSG:25831") // the site is ten degrees west of the central meridian
	flat := []float64{plotLon, plotLat, plotLon, plotLat + 0.001}
	if err := c.FromGeodetic(flat, 2); err != nil {
		t.Fatal(err)
	}
	if g := math.Atan2(flat[2]-flat[0], flat[3]-flat[1]) * 180 / math.Pi; math.Abs(g) < 5 {
		t.Fatalf("the grid's north is only %.2f degrees off: the test proves nothing", g)
	}
	p := &schema.Plan{CRS: c, Features: []*schema.Feature{
		{Role: schema.RoleCorridor, Geometry: geom.NewLineStringFlat(geom.XY, flat)},
	}}
	s, err := validate.Ground(p)
	if err != nil {
		t.Fatal(err)
	}
	a, b := s.Features[0].Lines[0].Ground[0], s.Features[0].Lines[0].Ground[1]
	if bearing := math.Atan2(b[0]-a[0], b[1]-a[1]) * 180 / math.Pi; math.Abs(bearing) > 1e-6 {
		t.Errorf("due north comes out as the bearing %v", bearing)
	}
}

func TestReferenceHeight(t *testing.T) {
	zone := func(h ...float64) *schema.Feature {
		flat := []float64{}
		for i, p := range rect(0, 0, 1e-4, 1e-4) {
			flat = append(flat, 9+p[0], 50+p[1], h[i%len(h)])
		}
		return &schema.Feature{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XYZ, flat, []int{len(flat)})}
	}
	base := &schema.Feature{Role: schema.RoleBase, Geometry: geom.NewPointFlat(geom.XYZ, []float64{9, 50, 321})}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		want     float64
	}{
		{"the base's", []*schema.Feature{zone(100), base}, 321},
		{"the mean", []*schema.Feature{zone(100, 200, math.NaN(), 300, math.NaN())}, 200},
		{"none", []*schema.Feature{zone(math.NaN())}, 0},
		{"no ground is that high", []*schema.Feature{zone(1e9)}, 0},
	} {
		s, err := validate.Ground(&schema.Plan{CRS: crs.WGS84(), Features: x.features})
		if err != nil || s.H != x.want {
			t.Errorf("%s: %v, want %v (%v)", x.name, s.H, x.want, err)
		}
	}
	// Each vertex keeps its own height, absent ones absent.
	s, _ := validate.Ground(&schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{zone(100, math.NaN(), 100, 100, 100)}})
	h := s.Features[0].Areas[0].Heights[0]
	if h[0] != 100 || !math.IsNaN(h[1]) {
		t.Errorf("heights of the vertices: %v", h)
	}
}

func TestUnknownSystemIsPlaneMetres(t *testing.T) {
	p := &schema.Plan{Features: []*schema.Feature{
		{Role: schema.RoleZone, Name: "Lawn", Geometry: geom.NewPolygonFlat(geom.XY, []float64{5e5, 6e6, 500010, 6e6, 500010, 6000010, 5e5, 6000010, 5e5, 6e6}, []int{10})},
	}}
	r := validate.Check(p, schema.DefaultLimits())
	if r.Site.Frame != validate.FramePlane || !strings.Contains(strings.Join(r.Site.Notes, " "), "no CRS") {
		t.Errorf("frame %v, notes %v", r.Site.Frame, r.Site.Notes)
	}
	if !near(r.Areas.ZonesM2, 100, 1e-9) {
		t.Errorf("area %v", r.Areas.ZonesM2)
	}
	at := findingOf(r, "dock-missing")
	if at.At != nil {
		t.Error("what is missing has a place")
	}
	place := r.Site.Place(orb.Point{5, 5})
	if place.Lon != nil || *place.E != 500010 || *place.N != 6000010 {
		t.Errorf("the north-east corner is said to be at %v %v", *place.E, *place.N)
	}
}

// TestPlacesAreThePlansOwn: a place in a plan of a grid has the grid's own
// coordinates, one in degrees offsets from the base.
func TestPlacesAreThePlansOwn(t *testing.T) {
	p := park()
	brokenPlans["zones-overlap"].fail(p)
	plan := p.plan(t)
	r := validate.Check(plan, schema.DefaultLimits())
	at := findingOf(r, "zones-overlap").At
	of, _ := r.Site.Reference()
	// The middle of the overlap's largest circle lies at x = 0.3, anywhere
	// along y.
	if of != "base" || !near(*at.E, 0.3-38, 2e-3) || *at.N < -25 || *at.N > -5 {
		t.Errorf("%v, %v from the %s", *at.E, *at.N, of)
	}
	grid := parse(t, "EPSG:25829")
	r = validate.Check(in(t, plan, grid), schema.DefaultLimits())
	at = findingOf(r, "zones-overlap").At
	flat := []float64{*at.Lon, *at.Lat}
	if err := grid.FromGeodetic(flat, 2); err != nil || math.Hypot(flat[0]-*at.E, flat[1]-*at.N) > 1e-4 {
		t.Errorf("%v %v is not where %v %v is (%v)", *at.E, *at.N, flat[0], flat[1], err)
	}
}

func TestStrayBaseIsMeasuredThroughTheEarth(t *testing.T) {
	p := park()
	b := p.get("b1")
	b.raw, b.point = true, &orb.Point{plotLon, plotLat + 1}
	r := validate.Check(p.plan(t), schema.DefaultLimits())
	f := findingOf(r, "base-range")
	flat := []float64{plotLon, plotLat + 1, plotH + 2.5, 0, 0, plotH + 2.5}
	corner := []float64{15, -30, plotH + 2.5}
	_ = corner
	far := []float64{0, -30, plotH + 2.5}
	if err := plotGrid.ToGeodetic(far, 3); err != nil {
		t.Fatal(err)
	}
	copy(flat[3:], far[:2])
	if err := parse(t, "EPSG:4978").FromGeodetic(flat, 3); err != nil {
		t.Fatal(err)
	}
	chord := math.Sqrt(sq(flat[0]-flat[3]) + sq(flat[1]-flat[4]) + sq(flat[2]-flat[5]))
	best := 0.0
	for _, f := range r.Findings {
		if f.Rule == "base-range" {
			best = math.Max(best, f.Measured)
		}
	}
	if !near(best, chord, 0.01) || f.Rule == "" {
		t.Errorf("%.3f m, want %.3f m", best, chord)
	}
	if !strings.Contains(strings.Join(r.Site.Notes, " "), "Mast") {
		t.Errorf("nothing says that the base lies far off: %v", r.Site.Notes)
	}
}

func TestAxesOfAWholePlanSwapped(t *testing.T) {
	grid := parse(t, "EPSG:25829")
	plan := in(t, park().plan(t), grid)
	for _, f := range plan.Features {
		flat := f.Geometry.FlatCoords()
		for i := 0; i+1 < len(flat); i += f.Geometry.Stride() {
			flat[i], flat[i+1] = flat[i+1], flat[i]
		}
	}
	r := validate.Check(plan, schema.DefaultLimits())
	if o := r.Outcome("axes-swapped"); o.Outcome != validate.Failed {
		t.Errorf("axes-swapped is %s (%s)", o.Outcome, o.Reason)
	}
}

func TestSiteAcrossTheAntimeridian(t *testing.T) {
	zone := func(west, east float64) *schema.Feature {
		return &schema.Feature{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, []float64{west, 0, east, 0, east, 1e-3, west, 1e-3, west, 0}, []int{10})}
	}
	p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{zone(179.999, 180), zone(-180, -179.999)}}
	r := validate.Check(p, schema.DefaultLimits())
	if r.Site.Frame != validate.FrameEarth || r.Outcome("zones-overlap").Outcome != validate.Passed {
		t.Fatalf("frame %v (%s), zones-overlap %v", r.Site.Frame, r.Site.Why, r.Outcome("zones-overlap"))
	}
	a, b := r.Site.Features[0].Bound(), r.Site.Features[1].Bound()
	if !near(a.Max[0], b.Min[0], 1e-6) || !near(b.Max[0]-a.Min[0], 2*111.32, 0.1) {
		t.Errorf("the two halves lie at %v and %v", a, b)
	}
	p.Features[0] = zone(179.999, -179.999)
	r = validate.Check(p, schema.DefaultLimits())
	if o := r.Outcome("coordinate-invalid"); o.Outcome != validate.Passed {
		t.Errorf("an outline across the 180th meridian: %s", o.Outcome)
	}
	// 0.002 by 0.001 degrees on the equator: pi/180 a east, pi/180 a (1 - e2)
	// north.
	const semi, e2 = 6378137.0, 0.00669437999014
	want := 0.002 * 0.001 * math.Pow(math.Pi/180*semi, 2) * (1 - e2)
	if !near(r.Zones[0].GrossM2, want, 1e-2) || !near(r.Zones[1].GrossM2, want/2, 1e-2) {
		t.Errorf("areas %.3f and %.3f, want %.3f and half of it", r.Zones[0].GrossM2, r.Zones[1].GrossM2, want)
	}
	if o := r.Outcome("zones-overlap"); o.Outcome != validate.Failed {
		t.Errorf("a zone over the eastern half of another: %s", o.Outcome)
	}
	for _, f := range r.Findings {
		if f.At != nil && f.At.Lon != nil && math.Abs(*f.At.Lon) > 180 {
			t.Errorf("a place at longitude %v", *f.At.Lon)
		}
	}
	p.Features = p.Features[:1]
	p.Features[0] = zone(9, -172)
	if o := validate.Check(p, schema.DefaultLimits()).Outcome("coordinate-invalid"); o.Outcome != validate.Failed {
		t.Errorf("an outline half round the earth: %s", o.Outcome)
	}
}

// A height no ground can have is a fault of its own, and no slope is made of
// it.
func TestHeightOffTheEarth(t *testing.T) {
	zone := func(h float64) *schema.Plan {
		return &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XYZ,
			[]float64{10, 0, 1, 10, 1e-3, 1, 10.001, 1e-3, h, 10.001, 0, 1, 10, 0, 1}, []int{15})}}}
	}
	for _, h := range []float64{math.MaxFloat64, math.Inf(-1), 8849e3, -1.2e5} {
		r := validate.Check(zone(h), schema.DefaultLimits())
		if r.Outcome("coordinate-invalid").Outcome != validate.Failed || r.Outcome("slope-limit").Outcome == validate.Failed {
			t.Errorf("a height of %g m: coordinate-invalid %v, slope-limit %v", h, r.Outcome("coordinate-invalid").Outcome, r.Outcome("slope-limit").Outcome)
		}
	}
	r := validate.Check(zone(8849), schema.DefaultLimits())
	if r.Outcome("coordinate-invalid").Outcome != validate.Passed || r.Outcome("slope-limit").Outcome != validate.Failed {
		t.Errorf("a height of 8,849 m: coordinate-invalid %v, slope-limit %v", r.Outcome("coordinate-invalid").Outcome, r.Outcome("slope-limit").Outcome)
	}
}

// Where latitude and longitude are both about 0 there is sea alone.
func TestZeroIsland(t *testing.T) {
	for _, x := range []struct {
		lon, lat float64
		want     validate.Outcome
	}{
		{0, 0, validate.Failed}, {3.99, -3.99, validate.Failed}, {4.01, 0, validate.Passed}, {0, 4.01, validate.Passed}, {-0.1, 51.5, validate.Passed},
	} {
		p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY,
			[]float64{x.lon, x.lat, x.lon, x.lat + 1e-3, x.lon + 1e-3, x.lat + 1e-3, x.lon, x.lat}, []int{8})}}}
		if o := validate.Check(p, schema.DefaultLimits()).Outcome("coordinate-invalid"); o.Outcome != x.want {
			t.Errorf("%v E %v N: %s, want %s", x.lon, x.lat, o.Outcome, x.want)
		}
	}
}
