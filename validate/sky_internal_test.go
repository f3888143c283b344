// Sky and radio: horizons, crowns and knife edges in closed form, and the open
// sky that a check takes for granted.

package validate

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/crs/orbit"
	"swardline/schema"
	"swardline/validate/plane"
)

// TestRadioPublished holds the knife edge and the first Fresnel zone against
// published values.
func TestRadioPublished(t *testing.T) {
	data, err := os.ReadFile("testdata/radio_published.json")
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		KnifeEdge []struct {
			Source        string
			MHz           float64
			Sender        float64 `json:"sender_m"`
			Receiver      float64 `json:"receiver_m"`
			Obstacle      float64 `json:"obstacle_m"`
			D1            float64 `json:"d1_m"`
			D2            float64 `json:"d2_m"`
			V             float64
			VTolerance    float64 `json:"v_tolerance"`
			Loss          float64 `json:"loss_db"`
			LossTolerance float64 `json:"loss_tolerance"`
		} `json:"knife_edge"`
		Zones []struct {
			Source    string
			D1        float64 `json:"d1_m"`
			D2        float64 `json:"d2_m"`
			MHz       float64
			Radius    float64 `json:"radius_m"`
			Tolerance float64
		} `json:"first_fresnel_zone"`
		Losses []struct {
			Source    string
			V         float64
			Loss      float64 `json:"loss_db"`
			Tolerance float64
		} `json:"loss_of_v"`
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.KnifeEdge) == 0 || len(doc.Zones) == 0 || len(doc.Losses) < 2 {
		t.Fatal("published values are missing")
	}
	for _, x := range doc.KnifeEdge {
		h := x.Obstacle - (x.Sender + (x.Receiver-x.Sender)*x.D1/(x.D1+x.D2))
		v := fresnelKirchhoff(h, x.D1, x.D2, x.MHz)
		if math.Abs(v-x.V) > x.VTolerance {
			t.Errorf("v = %v, published %v (%s)", v, x.V, x.Source)
		}
		if j := knifeEdgeLoss(v); math.Abs(j-x.Loss) > x.LossTolerance {
			t.Errorf("J(%v) = %v dB, published %v (%s)", v, j, x.Loss, x.Source)
		}
	}
	for _, x := range doc.Zones {
		if r := math.Sqrt2 / fresnelKirchhoff(1, x.D1, x.D2, x.MHz); !(math.Abs(r-x.Radius) <= x.Tolerance) {
			t.Errorf("R1 = %v m, published %v (%s)", r, x.Radius, x.Source)
		}
	}
	for _, x := range doc.Losses {
		if j := knifeEdgeLoss(x.V); math.Abs(j-x.Loss) > x.Tolerance {
			t.Errorf("J(%v) = %v dB, published %v (%s)", x.V, j, x.Loss, x.Source)
		}
	}
	if knifeEdgeLoss(-0.7801) != 0 || knifeEdgeLoss(-3) != 0 {
		t.Error("below v = -0.78 there is no loss")
	}
}

// TestOpenSkyEverywhere holds what openSkyServes takes for granted.
func TestOpenSkyEverywhere(t *testing.T) {
	for lat := -90.0; lat <= 90; lat += 7.5 {
		for lon := -180.0; lon < 180; lon += 30 {
			d, err := orbit.NominalDay(crs.Geodetic{Lon: crs.Degrees(lon), Lat: crs.Degrees(lat)}, checkSteps, 0)
			if err != nil {
				t.Fatal(err)
			}
			var h orbit.Horizon
			h.HideBelow(15)
			v := d.Behind(&h)
			if bad := v.ShareBad(12, 4); bad > 0 {
				_, least := v.CountRange()
				t.Errorf("latitude %v, longitude %v: in %v of the day fewer than 12 satellites (%d) or PDOP over 4", lat, lon, bad, least)
			}
		}
	}
}

// TestNarrowSkyEverywhere: narrowSkyServes, with parts of the sky hidden that are
// wider than what it lets pass.
func TestNarrowSkyEverywhere(t *testing.T) {
	step := 30.0
	if os.Getenv("SWARDLINE_LONG") != "" {
		step = 10
	}
	for lat := -90.0; lat <= 90; lat += 7.5 {
		for lon := -180.0; lon < 180; lon += 30 {
			d, err := orbit.NominalDay(crs.Geodetic{Lon: crs.Degrees(lon), Lat: crs.Degrees(lat)}, checkSteps, 0)
			if err != nil {
				t.Fatal(err)
			}
			try := func(az, width, other, second float64) {
				var h orbit.Horizon
				h.HideBelow(15)
				h.Hide(az, az+width, 0, 90)
				if second > 0 {
					h.Hide(other, other+second, 0, 90)
				}
				if bad := d.Behind(&h).ShareBad(8, 6); bad > 1.0/checkSteps+1e-9 {
					t.Errorf("latitude %v, longitude %v, from %v and %v degrees: in %v of the day fewer than 8 satellites or PDOP over 6", lat, lon, az, other, bad)
				}
			}
			for az := 0.0; az < 360; az += step {
				try(az, servedArc+15, 0, 0)
				for other := az + 30; other < az+180; other += step {
					try(az, servedArc/2+10, other, servedArc/2+10)
				}
			}
		}
	}
}

func TestServedBehind(t *testing.T) {
	at := func(from, to float64) orbit.Sector { return orbit.Sector{From: from, To: to, High: 90} }
	for _, c := range []struct {
		parts []orbit.Sector
		want  bool
	}{{nil, true}, {[]orbit.Sector{at(350, 390)}, true}, {[]orbit.Sector{at(350, 390.1)}, false}, {[]orbit.Sector{at(0, 20), at(20, 40)}, true},
		{[]orbit.Sector{at(0, 20), at(200, 220)}, true}, {[]orbit.Sector{at(0, 20), at(200, 220.1)}, false}, {[]orbit.Sector{at(0, 20.1), at(200, 220)}, false},
		{[]orbit.Sector{at(0, 5), at(15, 20), at(200, 220)}, true}, {[]orbit.Sector{at(0, 5), at(100, 105), at(200, 205)}, false}} {
		if got := servedBehind(c.parts); got != c.want {
			t.Errorf("%v: %v", c.parts, got)
		}
	}
}

func TestArcOver(t *testing.T) {
	at := func(from, to float64) orbit.Sector { return orbit.Sector{From: from, To: to, High: 90} }
	for _, c := range []struct {
		parts []orbit.Sector
		want  float64
	}{{nil, 0}, {[]orbit.Sector{at(10, 30)}, 20}, {[]orbit.Sector{at(-5, 5), at(350, 370)}, 20}, {[]orbit.Sector{at(350, 352), at(8, 10), at(0, 1)}, 20}, {[]orbit.Sector{at(0, 10), at(180, 190)}, 190}, {[]orbit.Sector{at(0, 360), at(3, 4)}, 360}} {
		if got := arcOver(c.parts); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v: %v, want %v", c.parts, got, c.want)
		}
	}
}

func squareAt(x, y, half float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{x - half, y - half}, {x + half, y - half}, {x + half, y + half}, {x - half, y + half}, {x - half, y - half}}}}
}

// TestHideBlocker: a wall square to the east, its near side 10 m off and its
// far side 14, 10 m over the antenna.
func TestHideBlocker(t *testing.T) {
	b := &blocker{areas: squareAt(12, 0, 2), solid: squareAt(12, 0, 2)}
	var h orbit.Horizon
	if deg := new(silhouette).hide(&h, orb.Point{}, b, 10, 0); math.Abs(deg-45) > 0.01 {
		t.Errorf("it rises to %v, want 45", deg)
	}
	for _, c := range []struct {
		az, el float64
		want   bool
	}{{90, 44.9, true}, {90, 45.1, false}, {90, 1, true}, {78, 20, false}, {79.5, 20, true}, {101, 20, true}, {102, 20, false}, {270, 1, false}} {
		if got := h.Hides(c.az, c.el); got != c.want {
			t.Errorf("azimuth %v, elevation %v: hidden %v, want %v", c.az, c.el, got, c.want)
		}
	}
	// The same as a crown from 5 m over the antenna: open below 5/14, hidden to
	// 10/10.
	var crown orbit.Horizon
	new(silhouette).hide(&crown, orb.Point{}, b, 10, 5)
	low := math.Atan2(5, 14) * 180 / math.Pi
	for _, c := range []struct {
		el   float64
		want bool
	}{{low - 0.5, false}, {low + 0.1, true}, {44, true}, {46, false}} {
		if got := crown.Hides(90, c.el); got != c.want {
			t.Errorf("crown, elevation %v: hidden %v, want %v", c.el, got, c.want)
		}
	}
	// Under a crown of half width 2 that starts 5 m up: hidden from its far
	// corner up.
	var under orbit.Horizon
	new(silhouette).hide(&under, orb.Point{12, 0}, b, 10, 5)
	corner := math.Atan2(5, math.Hypot(2, 2)) * 180 / math.Pi
	if under.Hides(10, corner-1) || !under.Hides(10, corner+0.1) || !under.Hides(200, 89) {
		t.Error("under a crown the sky is hidden from its far corner up, and open below")
	}
}

// TestDiscHides: a round crown of radius 2, 12 m east, is hidden between its
// tangents, asin(2/12) each side, and rises to 10 m over its near side.
func TestDiscHides(t *testing.T) {
	d := hazardDisc{orb.Point{12, 0}, 2}
	b := &blocker{areas: orb.MultiPolygon{{discRing(d.at, d.radius)}}, discs: []hazardDisc{d}}
	var h orbit.Horizon
	if deg := new(silhouette).hide(&h, orb.Point{}, b, 10, 0); math.Abs(deg-45) > 0.01 {
		t.Errorf("it rises to %v, want 45", deg)
	}
	half := math.Asin(2.0/12) * 180 / math.Pi
	for _, c := range []struct {
		az   float64
		want bool
	}{{90 - half + 0.5, true}, {90 - half - 0.6, false}, {90 + half - 0.5, true}, {90 + half + 0.6, false}} {
		if got := h.Hides(c.az, 20); got != c.want {
			t.Errorf("azimuth %v: hidden %v, want %v", c.az, got, c.want)
		}
	}
}

// TestSkyLimits holds the limits of the sky from both sides, as the operator's
// and as the base's own.
func TestSkyLimits(t *testing.T) {
	base := func() *schema.Plan {
		p := skyBenchPlan()
		for _, f := range p.Features {
			if f.Role == schema.RoleBase {
				f.Attributes.Set(schema.PropAntennaHeight, schema.Float(1)) // 2 m from a wall 8 m high
			}
		}
		return p
	}
	r, err := Sky(base(), schema.DefaultLimits(), SkyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var v *orbit.View
	for i := range r.Points {
		if r.Points[i].Feature.Role == schema.RoleBase {
			v = r.Points[i].View
		}
	}
	_, least := v.CountRange()
	worst := v.Quantile(1, func(d *orbit.DOP) float64 { return d.PDOP })
	share := 100 * v.ShareBad(14, 6)
	if least < 5 || math.IsInf(worst, 1) || share <= 1 || share >= 99 {
		t.Fatalf("the base sees %d satellites at least, PDOP %v, and is short of 14 for %v %%: nothing to try limits on", least, worst, share)
	}
	type set map[string]float64
	for _, c := range []struct {
		name string
		at   set
		fail bool
	}{
		{"as many as there are", set{"sats_min": float64(least), "pdop_max": 99, "thin_share_percent": 0}, false},
		{"one more than there are", set{"sats_min": float64(least) + 1, "pdop_max": 99, "thin_share_percent": 0}, true},
		{"a hair more", set{"sats_min": float64(least) + 0.001, "pdop_max": 99, "thin_share_percent": 0}, true},
		{"PDOP at the worst", set{"sats_min": 4, "pdop_max": worst, "thin_share_percent": 0}, false},
		{"PDOP a hair below", set{"sats_min": 4, "pdop_max": worst * (1 - 1e-9), "thin_share_percent": 0}, true},
		{"the share as it is", set{"sats_min": 14, "pdop_max": 6, "thin_share_percent": share}, false},
		{"the share a hair below", set{"sats_min": 14, "pdop_max": 6, "thin_share_percent": share - 1e-9}, true},
	} {
		for _, by := range []string{"file", "feature"} {
			p, l := base(), schema.DefaultLimits()
			var own schema.Attributes
			for key, x := range c.at {
				if by == "file" {
					if err := l.Set(key, x, schema.OriginFile, "the test"); err != nil {
						t.Fatal(err)
					}
					continue
				}
				own.Set(key, schema.Float(x))
			}
			if by == "feature" {
				// What is looser than the operator's does not count, so the
				// operator's is the loosest there is.
				for key, x := range (set{"sats_min": 1, "pdop_max": 1e6, "thin_share_percent": 100}) {
					if err := l.Set(key, x, schema.OriginFile, "the test"); err != nil {
						t.Fatal(err)
					}
				}
				for _, f := range p.Features {
					if f.Role == schema.RoleBase {
						f.Attributes.Set(schema.PropLimits, schema.Object(own))
					}
				}
			}
			r, err := Sky(p, l, SkyOptions{})
			if err != nil {
				t.Fatal(err)
			}
			failed := false
			for _, f := range r.Findings {
				failed = failed || f.Rule == RuleSatellitesFew && f.Features[0].Role == schema.RoleBase
			}
			if failed != c.fail {
				t.Errorf("%s, the %s's: failed %v, want %v", c.name, by, failed, c.fail)
			}
		}
	}
}

// TestRadioLimits: the loss at the limit passes, a hair below it does not; no
// band, no check; and an antenna of the machine's above the house hears.
func TestRadioLimits(t *testing.T) {
	at := func(mhz, db, antenna float64) (Outcome, float64) {
		l := schema.DefaultLimits()
		for key, x := range map[string]float64{"radio_mhz": mhz, "radio_loss_db": db, "machine_antenna_m": antenna} {
			if err := l.Set(key, x, schema.OriginFile, "the test"); err != nil {
				t.Fatal(err)
			}
		}
		r, err := Sky(skyBenchPlan(), l, SkyOptions{})
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for _, z := range r.Zones {
			worst = math.Max(worst, z.LossDB)
		}
		for _, x := range r.Rules {
			if x.Rule == RuleRadioShadow {
				return x.Outcome, worst
			}
		}
		return "", 0
	}
	_, db := at(433, 20, 0.5)
	if db < 5 {
		t.Fatalf("the house costs %v dB: nothing to try limits on", db)
	}
	for _, c := range []struct {
		mhz, db, antenna float64
		want             Outcome
	}{{433, db, 0.5, Passed}, {433, db - 1e-9, 0.5, Failed}, {868, db, 0.5, Failed}, {0, db, 0.5, Unchecked}, {1e-3, db, 0.5, Passed}, {433, db - 1e-9, 0.6, Passed}} {
		if got, _ := at(c.mhz, c.db, c.antenna); got != c.want {
			t.Errorf("%v MHz, limit %v dB, antenna %v m: %s, want %s", c.mhz, c.db, c.antenna, got, c.want)
		}
	}
}

// TestUnknownHeights: a house without a height makes what it may shade
// unchecked, never open sky; and a base that sees too little anyway is told all
// the same.
func TestUnknownHeights(t *testing.T) {
	p := skyBenchPlan()
	for _, f := range p.Features {
		if f.Role == schema.RoleBuilding {
			f.Attributes.Delete(schema.PropHeightM)
		}
	}
	r, err := Sky(p, schema.DefaultLimits(), SkyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range r.Rules {
		if x.Rule == RuleSatellitesFew && x.Outcome == Passed {
			t.Error("satellites-few passes beside a house of unknown height")
		}
	}
	for _, z := range r.Zones {
		if z.UnknownM2 <= 0 {
			t.Errorf("zone %s has no ground that may lie in the shade of the house", z.Feature.Label())
		}
	}
}

// TestBestPlaces: the roof sees more than the foot of the wall does, and the
// advice is a place on the house's own outline with the figures of the same
// sky.
func TestBestPlaces(t *testing.T) {
	r, err := Sky(skyBenchPlan(), schema.DefaultLimits(), SkyOptions{Best: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Best) == 0 {
		t.Fatal("no place is better")
	}
	var now *SkyPoint
	for i := range r.Points {
		if r.Points[i].Feature.Role == schema.RoleBase {
			now = &r.Points[i]
		}
	}
	best := r.Best[0]
	if best.HiddenPercent >= now.HiddenPercent || best.AntennaM < 8 || best.Side == "" || best.At == nil {
		t.Errorf("now %.1f %% hidden; best %+v", now.HiddenPercent, best)
	}
	if len(r.Mast) != 1 || !(r.Mast[0].HeightM > 4 && r.Mast[0].HeightM < 12) {
		t.Errorf("advice on the mast: %+v", r.Mast)
	}
}

func TestSideOf(t *testing.T) {
	m := orb.Point{0, 0}
	for want, w := range map[string][2]orb.Point{
		"west": {{-5, -3}, {-5, 3}}, "east": {{5, 3}, {5, -3}}, "north": {{-5, 3}, {5, 3}}, "south-east": {{0, -5}, {5, 0}},
	} {
		if got := sideOf(w[0], w[1], m); got != want {
			t.Errorf("wall %v is on the %s side, got %s", w, want, got)
		}
	}
}

func BenchmarkSky(b *testing.B) {
	p := skyBenchPlan()
	for b.Loop() {
		if _, err := Sky(p, schema.DefaultLimits(), SkyOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// skyBenchPlan is 30 features at 56.95 N: two lawns, a house, a row of trees,
// docks and a base.
func skyBenchPlan() *schema.Plan {
	wgs84 := crs.WGS84()
	p := &schema.Plan{CRS: wgs84}
	const mLat = 1 / 111000.0
	mLon := mLat / math.Cos(56.95*math.Pi/180)
	area := func(role schema.Role, x0, y0, x1, y1 float64, attrs ...schema.Attribute) {
		var flat []float64
		for _, q := range [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}} {
			flat = append(flat, 11.2+q[0]*mLon, 56.95+q[1]*mLat)
		}
		p.Features = append(p.Features, &schema.Feature{Role: role, Geometry: geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)}), Attributes: attrs})
	}
	point := func(role schema.Role, x, y float64, attrs ...schema.Attribute) {
		p.Features = append(p.Features, &schema.Feature{Role: role, Geometry: geom.NewPointFlat(geom.XY, []float64{11.2 + x*mLon, 56.95 + y*mLat}), Attributes: attrs})
	}
	h := func(v float64) schema.Attribute {
		return schema.Attribute{Key: schema.PropHeightM, Value: schema.Float(v)}
	}
	area(schema.RoleZone, 0, 0, 40, 30)
	area(schema.RoleZone, 0, -40, 40, -5)
	area(schema.RoleBuilding, 42, 0, 54, 20, h(8))
	for i := range 20 {
		point(schema.RoleHazard, float64(2*i), 33, schema.Attribute{Key: schema.PropHazardKind, Value: schema.String("tree")}, h(9),
			schema.Attribute{Key: schema.PropRadiusM, Value: schema.Float(2)}, schema.Attribute{Key: schema.PropCrownBaseM, Value: schema.Float(2.5)})
	}
	for i := range 5 {
		point(schema.RoleDock, 41, float64(2+3*i), schema.Attribute{Key: schema.PropHeadingDeg, Value: schema.Float(90)})
	}
	point(schema.RoleBase, 56, 10, schema.Attribute{Key: schema.PropAntennaHeight, Value: schema.Float(4)})
	area(schema.RoleBoundary, -5, -45, 60, 40)
	return p
}

// The advice takes the lowest mast that does it, today's place where that is as
// good, and says so where heights are missing.
func TestSkyAdvice(t *testing.T) {
	base := &schema.Feature{Role: schema.RoleBase, ID: schema.String("Mast")}
	house := &schema.Feature{Role: schema.RoleBuilding, ID: schema.String("House")}
	view := &orbit.View{}
	nan := math.NaN()
	roof := func(mast, hidden float64, words string) []SkyPlace {
		return []SkyPlace{{Building: house, Side: "west", MastM: mast, AntennaM: 9 + mast, HiddenPercent: hidden, Words: words}}
	}
	for _, c := range []struct {
		name    string
		hidden  float64
		unknown []string
		mast    float64 // at today's place, NaN for none
		best    []SkyPlace
		want    string
	}{
		{"on the roof", 44, nil, 8.7, roof(1.2, 0, "b"), "goes on the west side of House, 1.2 m above the roof (10.2 m above the ground): there 0 % of its sky is hidden, b; now 44 % is hidden, a."},
		{"in place by a metre more at the most", 44, nil, 3.2, roof(1.2, 0, "b"), "stays where it stands, the antenna 3.2 m above the ground instead of 1.0 m"},
		{"a hair over a metre more", 44, nil, 3.3, roof(1.2, 0, "b"), "goes on the west side of House"},
		{"open already", 0.9, nil, nan, roof(0.5, 0, "b"), "stays as it is"},
		{"nothing gained", 20, nil, nan, roof(0.5, 19.5, "b"), "no place on a building sees more"},
		{"satellites as good", 44, nil, nan, roof(0.5, 0, "a"), "as good by the limits now"},
		{"no mast, none asked for", 44, nil, nan, nil, "another place has to be looked for"},
		{"not told", 0, []string{`building "Barn"`}, nan, roof(0.5, 0, "b"), `cannot be told before the height of building "Barn" is`},
	} {
		r := SkyReport{Points: []SkyPoint{{Feature: base, View: view, HiddenPercent: c.hidden, Unknown: c.unknown, Words: "a", antenna: 1}}, Best: c.best, BestAsked: c.best != nil,
			Mast: []MastAdvice{{Base: base, NowM: 1, HeightM: c.mast, Words: "c"}}}
		if got := r.Advice(); len(got) != 1 || !strings.Contains(got[0], c.want) {
			t.Errorf("%s: %q does not say %q", c.name, got, c.want)
		}
	}
}

// Slivers along the outline count as the worst cell beside them, and all
// classes together are the zone.
func TestZoneGround(t *testing.T) {
	for _, low := range []orb.Point{{0, 0}, {105, -33}, {-7.5, 1201}} { // wherever the zone lies
		x, y := low[0], low[1]
		z := SkyZone{CellM: 4, FewPercent: 5, areas: orb.MultiPolygon{{{{x, y}, {x + 9, y}, {x + 9, y + 4}, {x, y + 4}, {x, y}}}},
			Cells: []SkyCell{{At: orb.Point{x + 2, y + 2}}, {At: orb.Point{x + 6, y + 2}, Thin: 0.8}}}
		if got := plane.Area(z.Ground(func(c *SkyCell) bool { return c.Thin > 0.5 })); !(math.Abs(got-20) <= 1e-9) {
			t.Errorf("%v: %g m2 in the shade, want the cell of 16 and the sliver of 4", low, got)
		}
		if got := plane.Area(z.Ground(func(c *SkyCell) bool { return c.Thin <= 0.5 })); !(math.Abs(got-16) <= 1e-9) {
			t.Errorf("%v: %g m2 open, want 16", low, got)
		}
	}
}
