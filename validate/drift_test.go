// Drift against closed forms: rectangles, discs, walls, poles, probabilities.

package validate

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// driftPlan is a plan in a site grid with north up, so that the drawing's
// metres are the ground's.
func driftPlan(t *testing.T, features ...*schema.Feature) *schema.Plan {
	t.Helper()
	grid, err := crs.NewSite(crs.SiteGrid{Origin: crs.Geodetic{Lon: 11.2, Lat: 56.95, H: 45}, Scale: 1})
	if err != nil {
		t.Fatal(err)
	}
	return &schema.Plan{CRS: grid, Features: features}
}

func thing(role schema.Role, name string, g geom.T, pairs ...any) *schema.Feature {
	f := &schema.Feature{Role: role, Name: name, Geometry: g}
	for i := 0; i+1 < len(pairs); i += 2 {
		switch v := pairs[i+1].(type) {
		case string:
			f.Attributes.Set(pairs[i].(string), schema.String(v))
		case float64:
			f.Attributes.Set(pairs[i].(string), schema.Float(v))
		case bool:
			f.Attributes.Set(pairs[i].(string), schema.Bool(v))
		case schema.Value:
			f.Attributes.Set(pairs[i].(string), v)
		}
	}
	return f
}

func box(x0, y0, x1, y1 float64) geom.T {
	return geom.NewPolygonFlat(geom.XY, []float64{x0, y0, x1, y0, x1, y1, x0, y1, x0, y0}, []int{10})
}

func disc(x, y, r float64, n int) geom.T {
	var flat []float64
	for i := 0; i <= n; i++ {
		s, c := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		flat = append(flat, x+r*c, y+r*s)
	}
	return geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})
}

func track(xy ...float64) geom.T { return geom.NewLineStringFlat(geom.XY, xy) }
func spot(xyz ...float64) geom.T { return geom.NewPointFlat(geom.Layout(len(xyz)-1), xyz) }
func shift(e, n float64) Movement {
	return Movement{Antenna: crs.Local{E: crs.Metres(e), N: crs.Metres(n)}}
}
func near(a, b, tol float64) bool            { return math.Abs(a-b) <= tol }
func baseAt(x, y, h float64) *schema.Feature { return thing(schema.RoleBase, "base", spot(x, y, h)) }

func mustDrift(t *testing.T, p *schema.Plan, m Movement, o DriftOptions) *DriftReport {
	t.Helper()
	r, err := Drift(p, schema.DefaultLimits(), m, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func findingOf(r *DriftReport, rule string) *Finding {
	for i := range r.Findings {
		if r.Findings[i].Rule == rule {
			return &r.Findings[i]
		}
	}
	return nil
}

// A w by h rectangle shifted by (a, b) leaves itself by w h - (w-|a|)(h-|b|);
// its farthest corner lies hypot(a, b) from it only when both components point
// the same way out of a corner, which they always do for a rectangle.
func TestDriftRectangleLeavesItself(t *testing.T) {
	const w, h = 40.0, 25.0
	for _, v := range [][2]float64{{0.3, 0.1}, {-0.5, 0.2}, {0.05, -1.5}, {3, 0}, {0, -2}} {
		r := mustDrift(t, driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, w, h))), shift(v[0], v[1]), DriftOptions{})
		f := findingOf(r, "drift-leaves-zone")
		if f == nil {
			t.Errorf("shift %v: no finding", v)
			continue
		}
		area := w*h - (w-math.Abs(v[0]))*(h-math.Abs(v[1]))
		if !near(f.AreaM2, area, 1e-5*w*h) {
			t.Errorf("shift %v: area %.6f, want %.6f", v, f.AreaM2, area)
		}
		if d := math.Hypot(v[0], v[1]); !near(f.Measured, d, 1e-5) {
			t.Errorf("shift %v: depth %.6f, want %.6f", v, f.Measured, d)
		}
	}
}

// A disc shifted by s keeps the lens 2 r^2 acos(s/2r) - s/2 sqrt(4r^2-s^2) in
// common with itself: a hazard disc in a keep-out hole of the same size is
// entered by the rest.
func TestDriftEntersDisc(t *testing.T) {
	const r, n = 9.0, 400
	for _, s := range []float64{0.1, 0.5, 2, 6} {
		p := driftPlan(t,
			thing(schema.RoleZone, "z", box(-50, -50, 50, 50)),
			thing(schema.RoleKeepout, "k", disc(0, 0, r, n)),
			thing(schema.RoleHazard, "pond", disc(0, 0, r, n), "hazard_kind", "pond"))
		rep := mustDrift(t, p, shift(s*0.6, s*0.8), DriftOptions{})
		lens := 2*r*r*math.Acos(s/(2*r)) - s/2*math.Sqrt(4*r*r-s*s)
		// The polygon of n corners is smaller than the circle by this share.
		polygon := float64(n) / (2 * math.Pi) * math.Sin(2*math.Pi/n)
		want := (math.Pi*r*r - lens) * polygon
		for _, rule := range []string{"drift-enters-hazard", "drift-enters-keepout"} {
			f := findingOf(rep, rule)
			if f == nil {
				t.Errorf("s %v: no %s", s, rule)
				continue
			}
			if !near(f.AreaM2, want, 1e-3*want+1e-4) {
				t.Errorf("s %v, %s: area %.5f, want %.5f", s, rule, f.AreaM2, want)
			}
			if !near(f.Measured, s, 2e-3) {
				t.Errorf("s %v, %s: depth %.5f, want %.5f", s, rule, f.Measured, s)
			}
		}
		if rep.Verdict != VerdictStop {
			t.Errorf("s %v: verdict %s in the pond", s, rep.Verdict)
		}
	}
}

func TestDriftEdgeBoundaryDockHeight(t *testing.T) {
	plan := func(held string) *schema.Plan {
		p := driftPlan(t,
			thing(schema.RoleZone, "z", box(0, 0, 40, 25)),
			thing(schema.RoleEdge, "wall", track(40.2, -5, 40.2, 30), "edge_kind", "wall"),
			thing(schema.RoleEdge, "path", track(-0.1, -5, -0.1, 30), "edge_kind", "flush"),
			thing(schema.RoleBoundary, "lot", box(-10, -0.3, 60, 60)),
			thing(schema.RoleDock, "dock", spot(-4, 10), "heading_deg", 270.0, "standoff_m", 2.0),
			baseAt(0, -5, 50))
		if held != "" {
			p.Attributes.Set(schema.PlanHeld, schema.String(held))
		}
		return p
	}
	r := mustDrift(t, plan(""), Movement{Antenna: crs.Local{E: 0.5, N: 0, U: -0.04}}, DriftOptions{})
	for rule, want := range map[string]float64{
		"drift-crosses-edge": 0.3, // 0.5 less the 0.2 it had
		"drift-off-dock":     0.5,
		"drift-height":       0.04,
	} {
		if f := findingOf(r, rule); f == nil || !near(f.Measured, want, 1e-5) {
			t.Errorf("%s: %+v, want %.3f", rule, f, want)
		}
	}
	if f := findingOf(r, "drift-off-dock"); f == nil || !strings.Contains(f.Message, "0.50 m short") {
		t.Errorf("the dock is entered heading west, so a shift east is short: %+v", f)
	}
	for i := range r.Findings {
		if r.Findings[i].Features != nil && r.Findings[i].Features[0].Name == "path" {
			t.Error("a flush edge was reported")
		}
	}
	r = mustDrift(t, plan(""), shift(0, -0.5), DriftOptions{})
	if f := findingOf(r, "drift-leaves-boundary"); f == nil || !near(f.Measured, 0.2, 1e-5) || !near(f.AreaM2, 40*0.2, 1e-4) {
		t.Errorf("boundary: %+v, want 0.2 m over 8 m2", f)
	}
	r = mustDrift(t, plan(""), shift(0, -0.01), DriftOptions{})
	if r.Verdict != VerdictUnchanged || len(r.Findings) != 0 {
		t.Errorf("1 cm: %s with %d findings", r.Verdict, len(r.Findings))
	}
	r = mustDrift(t, plan(""), shift(0, 0.05), DriftOptions{})
	if r.Verdict != VerdictRemeasure {
		t.Errorf("5 cm away from everything: %s", r.Verdict)
	}
}

func TestDriftBaseRange(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(400, 0, 499.9, 0.001+10)), baseAt(0, 0, 45))
	far := math.Hypot(499.9, 10.001)
	r := mustDrift(t, p, shift(-0.3, 0), DriftOptions{})
	// Held as coordinates: the ground moves with the antenna, so the distance
	// stays.
	if f := findingOf(r, "drift-base-range"); f == nil || !near(f.Measured, far, 1e-3) {
		t.Errorf("range: %+v, want %.4f", f, far)
	}
	r = mustDrift(t, p, Movement{Stored: crs.Local{E: 1}}, DriftOptions{})
	if f := findingOf(r, "drift-base-range"); f != nil {
		t.Errorf("the ground moved 1 m towards the base, yet: %v", f.Message)
	}
}

// The cases (a) to (c) and (f) of the model.
func TestDisplacement(t *testing.T) {
	v := func(e, n, u float64) crs.Local {
		return crs.Local{E: crs.Metres(e), N: crs.Metres(n), U: crs.Metres(u)}
	}
	for _, tc := range []struct {
		name string
		m    Movement
		held Held
		want crs.Local
	}{
		{"a, coordinates", Movement{Antenna: v(0.3, 0.1, -0.2)}, HeldCoordinates, v(0.3, 0.1, -0.2)},
		{"a, offsets", Movement{Antenna: v(0.3, 0.1, -0.2)}, HeldOffsets, v(0.3, 0.1, -0.2)},
		{"b, coordinates", Movement{Stored: v(0.3, 0.1, -0.2)}, HeldCoordinates, v(-0.3, -0.1, 0.2)},
		{"b, offsets", Movement{Stored: v(0.3, 0.1, -0.2)}, HeldOffsets, v(0, 0, 0)},
		{"c, coordinates", Movement{Antenna: v(1, 2, 3), Stored: v(0.5, 0.5, 0.5)}, HeldCoordinates, v(0.5, 1.5, 2.5)},
		{"c, both known right", Movement{Antenna: v(1, 2, 3), Stored: v(1, 2, 3)}, HeldCoordinates, v(0, 0, 0)},
		{"c, offsets", Movement{Antenna: v(1, 2, 3), Stored: v(1, 2, 3)}, HeldOffsets, v(1, 2, 3)},
	} {
		if got := tc.m.Displacement(tc.held); got != tc.want {
			t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
		}
	}
}

// A pole of 6 m leaning by 2 degrees: 6 sin 2 = 0.209397 m, 6 (1 - cos 2) =
// 0.003655 m, by trigonometry.
func TestLean(t *testing.T) {
	m, err := Lean(2, 6, 120)
	if err != nil {
		t.Fatal(err)
	}
	h := 6 * math.Sin(2*math.Pi/180)
	if !near(float64(m.Antenna.E), h*math.Sin(2*math.Pi/3), 1e-12) || !near(float64(m.Antenna.N), h*math.Cos(2*math.Pi/3), 1e-12) ||
		!near(float64(m.Antenna.U), -6*(1-math.Cos(2*math.Pi/180)), 1e-12) {
		t.Errorf("lean gives %v", m.Antenna)
	}
	if !near(h, 0.209397, 1e-6) {
		t.Errorf("6 sin 2 deg = %v", h)
	}
	for _, bad := range [][3]float64{{-1, 6, 0}, {91, 6, 0}, {2, 0, 0}, {2, 6, 400}, {math.NaN(), 6, 0}, {2, math.Inf(1), 0}} {
		if _, err := Lean(bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("Lean%v is taken", bad)
		}
	}
}

func TestMovementRefused(t *testing.T) {
	for _, m := range []Movement{shift(10000, 0), shift(math.NaN(), 0), shift(0, math.Inf(1)), {Antenna: crs.Local{U: 200}}} {
		if err := m.Check(); err == nil {
			t.Errorf("%v is taken for a base's movement", m)
		}
	}
}

// A square zone beside a long straight wall at the distance d: on the bearing b
// the margin is d / sin b, and there is none on the other side.
func TestRoseWall(t *testing.T) {
	const d = 2.0
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)),
		thing(schema.RoleEdge, "wall", track(10+d, -1e4, 10+d, 1e4), "edge_kind", "wall"))
	r := mustDrift(t, p, shift(0.001, 0), DriftOptions{})
	if len(r.Margin.Rose) < 72 {
		t.Fatalf("the rose has %d bearings", len(r.Margin.Rose))
	}
	for _, s := range r.Margin.Rose {
		sin := math.Sin(s.BearingDeg * math.Pi / 180)
		switch {
		case sin > 0.001:
			if !near(s.MarginM, d/sin, 1e-3*d/sin) {
				t.Errorf("bearing %v: %v, want %v", s.BearingDeg, s.MarginM, d/sin)
			}
		case !math.IsInf(s.MarginM, 1):
			t.Errorf("bearing %v: %v, want none", s.BearingDeg, s.MarginM)
		}
	}
	if !near(r.Margin.LeastM, d, 1e-4) || !near(r.Margin.BearingDeg, 90, 1e-3) || r.Margin.Meets.Name != "wall" {
		t.Errorf("least margin %v on %v, want %v on 90", r.Margin.LeastM, r.Margin.BearingDeg, d)
	}
}

// Inside a boundary the margin to each side is the distance to it; a hazard
// disc beside the zone is met at its nearest point.
func TestRoseBoundaryAndDisc(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)),
		thing(schema.RoleBoundary, "lot", box(-3, -4, 15, 16)))
	r := mustDrift(t, p, shift(0.001, 0), DriftOptions{})
	for bearing, want := range map[float64]float64{0: 6, 90: 5, 180: 4, 270: 3} {
		if got := r.Margin.Rose[int(bearing/5)]; got.BearingDeg != bearing || !near(got.MarginM, want, 1e-5) {
			t.Errorf("bearing %v: %+v, want %v", bearing, got, want)
		}
	}
	p = driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)),
		thing(schema.RoleHazard, "tree", spot(17, 14), "radius_m", 1.0))
	r = mustDrift(t, p, shift(0.001, 0), DriftOptions{})
	// From the corner (10, 10) to the trunk: hypot(7, 4) - 1 on atan2(7, 4).
	if want := math.Hypot(7, 4) - 1; !near(r.Margin.LeastM, want, 2e-3) {
		t.Errorf("least margin %v, want %v", r.Margin.LeastM, want)
	}
	if want := math.Atan2(7, 4) * 180 / math.Pi; !near(r.Margin.BearingDeg, want, 1.5) {
		t.Errorf("bearing %v, want %v", r.Margin.BearingDeg, want)
	}
}

// A zone that touches a wall has no margin towards it and all of it away from
// it and along it; one in a hazard has none anywhere.
func TestRoseTouching(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)),
		thing(schema.RoleEdge, "wall", track(10, -5, 10, 15), "edge_kind", "wall"))
	rose := mustDrift(t, p, shift(0.001, 0), DriftOptions{}).Margin.Rose
	for bearing, want := range map[int]float64{90: 0, 45: 0, 135: 0} {
		if got := rose[bearing/5].MarginM; !near(got, want, 1e-6) {
			t.Errorf("towards the wall on %d: %v", bearing, got)
		}
	}
	for _, bearing := range []int{0, 180, 270, 225, 315} {
		if got := rose[bearing/5].MarginM; !math.IsInf(got, 1) {
			t.Errorf("away from the wall on %d: %v", bearing, got)
		}
	}
	p = driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)), thing(schema.RoleHazard, "hole", disc(5, 5, 1, 40)))
	for _, s := range mustDrift(t, p, shift(0.001, 0), DriftOptions{}).Margin.Rose {
		if s.MarginM != 0 {
			t.Fatalf("in a hazard, yet a margin of %v on %v", s.MarginM, s.BearingDeg)
		}
	}
}

// Closed forms of the normal distribution: a circle of margin m all round is
// left with exp(-m^2/2s^2) (Rayleigh); a straight wall at m is reached with
// Q(m/s).
func TestBreakProbability(t *testing.T) {
	rose := func(n int, m func(b float64) float64) []Spoke {
		var out []Spoke
		for i := 0; i < n; i++ {
			b := 360 * float64(i) / float64(n)
			out = append(out, Spoke{BearingDeg: b, MarginM: m(b * math.Pi / 180)})
		}
		return out
	}
	for _, m := range []float64{0, 0.05, 0.1, 0.3} {
		const s = 0.08
		circle := rose(72, func(float64) float64 { return m })
		if got, want := BreakProbability(circle, s*s, 0, s*s), math.Exp(-m*m/(2*s*s)); !near(got, want, 1e-9) {
			t.Errorf("circle of %v: %v, want %v", m, got, want)
		}
		wall := rose(720, func(b float64) float64 {
			if math.Sin(b) <= 1e-9 {
				return math.Inf(1)
			}
			return m / math.Sin(b)
		})
		if got, want := BreakProbability(wall, s*s, 0, s*s), math.Erfc(m/s/math.Sqrt2)/2; !near(got, want, 2e-3) {
			t.Errorf("wall at %v: %v, want %v", m, got, want)
		}
		// With unequal errors only the one across the wall counts.
		if got, want := BreakProbability(wall, s*s, 0.3*s*s*0.5, 0.25*s*s), math.Erfc(m/s/math.Sqrt2)/2; !near(got, want, 4e-3) {
			t.Errorf("wall at %v, correlated: %v, want %v", m, got, want)
		}
	}
	if got := BreakProbability(rose(8, func(float64) float64 { return 1 }), 1, 2, 1); !math.IsNaN(got) {
		t.Errorf("a covariance that is none gives %v", got)
	}
}

// The noncentralities behind MarksFor and SpreadFor, by integration: the power
// of a chi-square test at 5 %, found by the distribution of the length of a
// normal vector with that mean.
func TestNoncentrality(t *testing.T) {
	// Two degrees of freedom: P(R > sqrt 5.991465) for a Rice distribution,
	// summed over a fine grid. The quantile 5.991465 is -2 ln 0.05.
	limit := -2 * math.Log(0.05)
	mean := math.Sqrt(noncentral)
	below, step := 0.0, 0.002
	for x := -math.Sqrt(limit) + step/2; x < math.Sqrt(limit); x += step {
		y := math.Sqrt(limit - x*x)
		below += step * math.Exp(-(x-mean)*(x-mean)/2) / math.Sqrt(2*math.Pi) * math.Erf(y/math.Sqrt2)
	}
	if !near(below, 0.05, 1e-4) {
		t.Errorf("power 1 - %v, want 0.95", below)
	}
	if n := MarksFor(0.01, 0.02); n != 4 {
		t.Errorf("15.443 (0.01/0.02)^2 = 3.86, so 4 marks, not %d", n)
	}
	if n := MarksFor(0.01, 1); n != 3 {
		t.Errorf("never fewer than 3, got %d", n)
	}
	// (1.959964 + 1.644854)^2 = 12.9947
	if got, want := SpreadFor(4, 0.01, 0.02, 100), 100*3.604818/2*0.5; !near(got, want, 0.01) {
		t.Errorf("spread %v, want %v", got, want)
	}
}

// Correcting for a movement and asking again finds nothing moved, for either
// way of holding; so does a shift there and back.
func TestCorrectThenUnchanged(t *testing.T) {
	for _, held := range []Held{HeldCoordinates, HeldOffsets} {
		for _, m := range []Movement{
			{Antenna: crs.Local{E: 0.3, N: 0.1, U: -0.05}},
			{Stored: crs.Local{E: -1.2, N: 0.4, U: 0.3}},
			{Antenna: crs.Local{E: 0.3, N: 0.1}, Stored: crs.Local{E: 0.25, N: 0.2, U: 0.1}},
		} {
			p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)), thing(schema.RoleMark, "M1", spot(3, 4, 45.2)), baseAt(10, 30, 51))
			p.Attributes.Set(schema.PlanHeld, schema.String(string(held)))
			stored, antenna, err := BasePosition(p)
			if err != nil {
				t.Fatal(err)
			}
			newAntenna, _ := shiftPosition(p.CRS, antenna, m.Antenna)
			newStored, _ := shiftPosition(p.CRS, stored, m.Stored)
			q, err := Correct(p, m, "2026-05-01")
			if err != nil {
				t.Fatal(err)
			}
			s2, a2, err := BasePosition(q)
			if err != nil {
				t.Fatal(err)
			}
			again := Movement{}
			if again.Antenna, err = Between(p.CRS, a2, newAntenna); err != nil {
				t.Fatal(err)
			}
			if again.Stored, err = Between(p.CRS, s2, newStored); err != nil {
				t.Fatal(err)
			}
			r := mustDrift(t, q, again, DriftOptions{})
			if d := math.Hypot(float64(r.Shift.E), float64(r.Shift.N)); r.Verdict != VerdictUnchanged || d > 1e-4 || math.Abs(float64(r.Shift.U)) > 1e-4 {
				t.Errorf("%s %+v: after correcting %s, displaced by %v", held, m, r.Verdict, r.Shift)
			}
			// The ground driven is where it was: Q' + A' - S' = Q + A - S.
			for i, f := range q.Features {
				if f.Role == schema.RoleBase {
					continue
				}
				was, is := p.Features[i].Geometry.FlatCoords(), f.Geometry.FlatCoords()
				wantE := was[0] - float64(m.Antenna.E) + float64(m.Stored.E)
				wantN := was[1] - float64(m.Antenna.N) + float64(m.Stored.N)
				if !near(is[0], wantE, 1e-4) || !near(is[1], wantN, 1e-4) {
					t.Errorf("%s is at %v, want %v %v", f.Name, is[:2], wantE, wantN)
				}
			}
			h, err := History(q)
			if err != nil || len(h) != 1 || h[0].Kind != EntryCorrection || h[0].Date != "2026-05-01" {
				t.Fatalf("history %+v, %v", h, err)
			}
			// A second correction appends and starts from the first.
			q2, err := Correct(q, Movement{Antenna: crs.Local{E: 0.02}}, "2026-06-01")
			if err != nil {
				t.Fatal(err)
			}
			if h, _ := History(q2); len(h) != 2 {
				t.Errorf("history has %d entries", len(h))
			}
		}
	}
}

func TestDriftThereAndBack(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)), baseAt(10, 30, 51))
	there, err := Correct(p, shift(0.4, -0.7), "2026-01-01")
	if err != nil {
		t.Fatal(err)
	}
	back, err := Correct(there, shift(-0.4, 0.7), "2026-01-02")
	if err != nil {
		t.Fatal(err)
	}
	a, b := p.Features[0].Geometry.FlatCoords(), back.Features[0].Geometry.FlatCoords()
	for i := range a {
		if !near(a[i], b[i], 1e-6) {
			t.Fatalf("coordinate %d: %v there and back is %v", i, a[i], b[i])
		}
	}
	antenna, _, err := func() (crs.Geodetic, crs.Geodetic, error) { s, a, err := BasePosition(back); return a, s, err }()
	if err != nil {
		t.Fatal(err)
	}
	was, _, _ := BasePosition(p)
	if v, err := Between(p.CRS, was, antenna); err != nil || math.Hypot(float64(v.E), float64(v.N)) > 1e-4 {
		t.Errorf("the antenna is %v away from where it was", v)
	}
}

func TestDriftRefuses(t *testing.T) {
	for _, tc := range []struct {
		name string
		p    *schema.Plan
		want string
	}{
		{"nothing to drive", driftPlan(t, baseAt(0, 0, 1)), "the plan has no active zone or corridor, so nothing is driven that could move; give what is mown the role of a zone"},
		{"nothing left to drive", driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 1, 1)), thing(schema.RoleKeepout, "k", box(-1, -1, 2, 2))), "keep-outs take all"},
		{"nothing to measure", driftPlan(t, thing(schema.RoleZone, "z", geom.NewPolygonFlat(geom.XY, []float64{9, 56, 9.001, 56.001, 9.001, 56, 9, 56.001, 9, 56}, []int{10}))), "can be measured: zone"},
		{"no coordinates", &schema.Plan{}, "cannot be put on the ground"},
		{"held as a riddle", &schema.Plan{Attributes: schema.Attributes{{Key: "held", Value: schema.String("somehow")}}}, `must be "offsets" or "coordinates"`},
	} {
		if _, err := Drift(tc.p, schema.DefaultLimits(), shift(1, 0), DriftOptions{}); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: error %v, want %q", tc.name, err, tc.want)
		}
	}
	if _, _, err := BasePosition(driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 1, 1)))); err == nil || !strings.Contains(err.Error(), "no base") {
		t.Errorf("a plan without a base: %v", err)
	}
}

func TestPairMarks(t *testing.T) {
	marks := func(dx, dy float64, names ...string) *schema.Plan {
		var f []*schema.Feature
		for i, n := range names {
			f = append(f, thing(schema.RoleMark, n, spot(float64(10*i)+dx, float64(7*i*i)+dy, 45)))
		}
		return driftPlan(t, f...)
	}
	pairs, notes, err := PairMarks(marks(0, 0, "A", "B", "C"), marks(0.2, -0.1, "A", "B", "C", "D"))
	if err != nil || len(pairs) != 3 || len(notes) != 1 {
		t.Fatalf("%d pairs, notes %q, %v", len(pairs), notes, err)
	}
	for _, x := range pairs {
		if !near(float64(x.After.E-x.Before.E), 0.2, 1e-6) || !near(float64(x.After.N-x.Before.N), -0.1, 1e-6) {
			t.Errorf("%s moved by %v, %v", x.Name, x.After.E-x.Before.E, x.After.N-x.Before.N)
		}
	}
	for _, tc := range []struct {
		p, again *schema.Plan
		want     string
	}{
		{marks(0, 0, "A"), marks(0, 0, "B"), "no name is shared"},
		{driftPlan(t), marks(0, 0, "B"), "no marks"},
		{marks(0, 0, "A"), marks(0, 0, "A", "A"), "stands twice"},
	} {
		if _, _, err := PairMarks(tc.p, tc.again); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("error %v, want %q", err, tc.want)
		}
	}
}

// The sweep's sides: a ring of the moving ground must run anticlockwise
// whatever way it was drawn.
func TestWound(t *testing.T) {
	cw := orb.MultiPolygon{{{{0, 0}, {0, 1}, {1, 1}, {1, 0}, {0, 0}}}}
	if got := wound(cw); got[0][0][1] != (orb.Point{1, 0}) {
		t.Errorf("the shell still runs clockwise: %v", got)
	}
	if cw[0][0][1] != (orb.Point{0, 1}) {
		t.Error("the input was changed")
	}
}

// Case (d), the frame: at Alice Springs GDA94 and GDA2020 differ by the
// published coordinates of the station ALIC (ICSM, Geocentric Datum of
// Australia 2020 Technical Manual, section 3.1.1: X, Y, Z in both). A plan held
// in GDA94 coordinates whose base comes to store GDA2020 is driven off by the
// negative of that difference.
func TestDriftFrame(t *testing.T) {
	old := [3]float64{-4052051.7643, 4212836.2017, -2545106.0245}
	new := [3]float64{-4052052.7379, 4212835.9897, -2545104.5898}
	geocentric, err := crs.Parse("EPSG:4938") // GDA94, X Y Z
	if err != nil {
		t.Fatal(err)
	}
	flat := []float64{old[0], old[1], old[2]}
	if err := geocentric.ToGeodetic(flat, 3); err != nil {
		t.Fatal(err)
	}
	at := crs.Geodetic{Lon: crs.Degrees(flat[0]), Lat: crs.Degrees(flat[1]), H: crs.Metres(flat[2])}
	from, err := crs.ParseFrame("GDA94")
	if err != nil {
		t.Fatal(err)
	}
	to, err := crs.ParseFrame("GDA2020")
	if err != nil {
		t.Fatal(err)
	}
	move, err := crs.FrameShift(from, to, crs.Allowed{Accuracy: 0.05}, at, crs.Epochs{}, crs.Aids{})
	if err != nil {
		t.Fatal(err)
	}
	// The difference in east, north and up by the rotation at the station.
	sl, cl := math.Sincos(flat[0] * math.Pi / 180)
	sp, cp := math.Sincos(flat[1] * math.Pi / 180)
	dx, dy, dz := new[0]-old[0], new[1]-old[1], new[2]-old[2]
	e := -sl*dx + cl*dy
	n := -sp*cl*dx - sp*sl*dy + cp*dz
	u := cp*cl*dx + cp*sl*dy + sp*dz
	d := Movement{Stored: move.Shift}.Displacement(HeldCoordinates)
	for _, x := range []struct {
		name      string
		got, want float64
	}{{"east", float64(d.E), -e}, {"north", float64(d.N), -n}, {"up", float64(d.U), -u}} {
		if !near(x.got, x.want, 2e-4) {
			t.Errorf("%s: displaced by %.4f, want %.4f", x.name, x.got, x.want)
		}
	}
	if h := math.Hypot(e, n); !near(h, 1.74, 0.03) {
		t.Errorf("the horizontal step at ALIC is %v m", h)
	}
	if off := (Movement{Stored: move.Shift}).Displacement(HeldOffsets); off != (crs.Local{}) {
		t.Errorf("a plan held as offsets moves by %v", off)
	}
}

// A rule whose things the plan lacks is not needed, one whose figures it lacks
// is unchecked; neither passes.
func TestDriftUnchecked(t *testing.T) {
	bare := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)))
	whole := driftPlan(t,
		thing(schema.RoleZone, "z", box(0, 0, 40, 25)), thing(schema.RoleKeepout, "k", box(5, 5, 8, 8)),
		thing(schema.RoleHazard, "h", box(60, 5, 68, 8)), thing(schema.RoleEdge, "e", track(50, 0, 50, 9), "edge_kind", "wall"),
		thing(schema.RoleBoundary, "b", box(-9, -9, 90, 90)), thing(schema.RoleDock, "d", spot(-4, 10), "heading_deg", 270.0), baseAt(0, -5, 50))
	for _, tc := range []struct {
		name string
		p    *schema.Plan
		m    Movement
		want map[string]Outcome
	}{
		{"bare", bare, Movement{Antenna: crs.Local{E: 0.001}, NoHeight: true}, map[string]Outcome{"drift-leaves-zone": Passed, "drift-base-range": Unchecked, "drift-height": Unchecked}},
		{"whole", whole, shift(0.001, 0), map[string]Outcome{"drift-enters-hazard": Passed, "drift-crosses-edge": Passed, "drift-leaves-boundary": Passed,
			"drift-enters-keepout": Passed, "drift-leaves-zone": Passed, "drift-off-dock": Passed, "drift-base-range": Passed, "drift-height": Passed}},
		{"moved", whole, shift(0, 0.05), map[string]Outcome{"drift-enters-hazard": Passed, "drift-crosses-edge": Passed, "drift-leaves-boundary": Passed,
			"drift-enters-keepout": Failed, "drift-leaves-zone": Failed, "drift-off-dock": Passed, "drift-base-range": Passed, "drift-height": Passed}},
	} {
		r := mustDrift(t, tc.p, tc.m, DriftOptions{})
		if len(r.Rules) != len(RulesOf(CommandDrift)) {
			t.Fatalf("%s: %d results for %d rules", tc.name, len(r.Rules), len(RulesOf(CommandDrift)))
		}
		for _, x := range r.Rules {
			want, ok := tc.want[x.Rule]
			if !ok {
				want = NotNeeded
			}
			if x.Outcome != want || (x.Outcome == Unchecked || x.Outcome == NotNeeded) != (x.Reason != "") {
				t.Errorf("%s: %s is %s (%s), want %s", tc.name, x.Rule, x.Outcome, x.Reason, want)
			}
		}
	}
}

// A keep-out that may lie in a zone that cannot be measured is neither inside
// nor outside; one away from it is told all the same.
func TestKeepoutByUnclearZone(t *testing.T) {
	bow := geom.NewPolygonFlat(geom.XY, []float64{50, 0, 70, 20, 70, 0, 50, 20, 50, 0}, []int{10})
	for _, tc := range []struct {
		name    string
		keepout geom.T
		want    Outcome
	}{
		{"in the box of the unclear zone", box(58, 14, 62, 18), Unchecked},
		{"away from it", box(38, 5, 42, 9), Failed},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)), thing(schema.RoleZone, "bow", bow), thing(schema.RoleKeepout, "k", tc.keepout))
		if got := Check(p, schema.DefaultLimits()).Outcome("keepout-outside-zone"); got.Outcome != tc.want {
			t.Errorf("%s: %s (%s), want %s", tc.name, got.Outcome, got.Reason, tc.want)
		}
	}
}
