// How deep the displaced ground reaches, where samples would miss it, and what
// of it cannot be told.

package validate

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// A lawn that lies 1 m south of a long wall but for a bay 1 m wide that ends
// 0.1 m before it: displaced north by 0.3 m, the bay alone reaches 0.2 m over
// the wall, on a hundredth of its length.
func TestDriftSmallPartOverLongWall(t *testing.T) {
	for _, x := range []float64{3.7, 17.3, 41.9, 66.2, 93.1} {
		lawn := poly([]float64{0, 0, 100, 0, 100, 10, x + 1, 10, x + 1, 10.9, x, 10.9, x, 10, 0, 10})
		for _, wall := range []*schema.Feature{
			thing(schema.RoleEdge, "wall", track(-5, 11, 105, 11), "edge_kind", " Wall"),
			thing(schema.RoleBoundary, "hedge", track(-5, 11, 105, 11)),
		} {
			r := mustDrift(t, driftPlan(t, thing(schema.RoleZone, "z", lawn), wall), shift(0, 0.3), DriftOptions{})
			rule := map[schema.Role]string{schema.RoleEdge: "drift-crosses-edge", schema.RoleBoundary: "drift-leaves-boundary"}[wall.Role]
			if f := findingOf(r, rule); f == nil || !near(f.Measured, 0.2, 1e-4) {
				t.Errorf("bay at %v: %s is %+v, want 0.2 m", x, rule, f)
			}
			if !near(r.Margin.LeastM, 0.1, 1e-4) {
				t.Errorf("bay at %v: least margin %v, want 0.1", x, r.Margin.LeastM)
			}
		}
	}
	// Flush in any spelling is driven over.
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)), thing(schema.RoleEdge, "path", track(-5, 10.1, 15, 10.1), "edge_kind", " Flush "))
	if r := mustDrift(t, p, shift(0, 0.5), DriftOptions{}); findingOf(r, "drift-crosses-edge") != nil {
		t.Error("a flush edge is crossed")
	}
}

// Two parcels side by side are one property: the ground over both has its
// margin to the outer boundary, and a displacement along their common side
// breaks nothing.
func TestDriftOverTwoParcels(t *testing.T) {
	for name, lots := range map[string][]*schema.Feature{
		"two polygons": {thing(schema.RoleBoundary, "west", box(0, 0, 10, 20)), thing(schema.RoleBoundary, "east", box(10, 0, 20, 20))},
		"one polygon and a closed line": {thing(schema.RoleBoundary, "west", box(0, 0, 10, 20)),
			thing(schema.RoleBoundary, "east", track(10, 0, 20, 0, 20, 20, 10, 20, 10, 0))},
	} {
		p := driftPlan(t, append(lots, thing(schema.RoleZone, "z", box(5, 5, 15, 15)))...)
		r := mustDrift(t, p, shift(0, 0.5), DriftOptions{})
		if f := findingOf(r, "drift-leaves-boundary"); f != nil {
			t.Errorf("%s: %s", name, f.Message)
		}
		if !near(r.Margin.LeastM, 5, 1e-4) {
			t.Errorf("%s: margin %v, want 5", name, r.Margin.LeastM)
		}
		r = mustDrift(t, p, shift(0, 5.25), DriftOptions{})
		if f := findingOf(r, "drift-leaves-boundary"); f == nil || !near(f.Measured, 0.25, 1e-4) || !near(f.AreaM2, 10*0.25, 1e-3) {
			t.Errorf("%s: %+v, want 0.25 m over 2.5 m2", name, f)
		}
	}
}

// What cannot be measured leaves the rule unchecked.
func TestDriftOfWhatCannotBeMeasured(t *testing.T) {
	nowhere := math.NaN()
	bow := poly([]float64{0, 0, 20, 20, 20, 0, 0, 20})
	for _, x := range []struct {
		rule string
		f    *schema.Feature
	}{
		{"drift-crosses-edge", thing(schema.RoleEdge, "wall", track(0, nowhere, 5, 5), "edge_kind", "wall")},
		{"drift-leaves-boundary", thing(schema.RoleBoundary, "hedge", track(0, nowhere, 5, 5))},
		{"drift-leaves-boundary", thing(schema.RoleBoundary, "lot", bow)},
		{"drift-leaves-boundary", thing(schema.RoleBoundary, "lot", track(0, 0, 20, 20, 20, 0, 0, 20, 0, 0))},
		{"drift-enters-hazard", thing(schema.RoleHazard, "pond", bow)},
		{"drift-enters-hazard", thing(schema.RoleHazard, "tree", spot(nowhere, 1))},
		{"drift-enters-keepout", thing(schema.RoleKeepout, "bed", bow)},
		{"drift-off-dock", thing(schema.RoleDock, "dock", spot(nowhere, 1), "heading_deg", 90.0)},
		{"drift-base-range", thing(schema.RoleBase, "base", spot(nowhere, 1))},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "z", box(5, 5, 15, 15)), x.f)
		r := mustDrift(t, p, shift(0.05, 0), DriftOptions{})
		for _, got := range r.Rules {
			if got.Rule == x.rule && (got.Outcome != Unchecked || got.Reason == "") {
				t.Errorf("%s of %s that cannot be measured is %s (%s)", x.rule, x.f.Name, got.Outcome, got.Reason)
			}
		}
	}
	// Of two parcels one cannot be measured: nothing is outside, and no margin
	// is 0.
	p := driftPlan(t, thing(schema.RoleZone, "z", box(2, 2, 8, 8)), thing(schema.RoleBoundary, "lot", bow), thing(schema.RoleBoundary, "next", box(30, 0, 50, 20)))
	r := mustDrift(t, p, shift(0.05, 0), DriftOptions{})
	if f := findingOf(r, "drift-leaves-boundary"); f != nil || !math.IsInf(r.Margin.LeastM, 1) {
		t.Errorf("outside of a parcel beside one that cannot be measured: %+v, margin %v", f, r.Margin.LeastM)
	}
}

// The depth into a pond of any shape against a fine raster of the ground that
// the displacement brings the machine to.
func TestDriftDepthAgainstRaster(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 5))
	for round := 0; round < 40; round++ {
		// A star of random radii: mostly not convex.
		var star []float64
		for i, n := 0, 5+r.IntN(8); i < n; i++ {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := 1 + 3*r.Float64()
			star = append(star, 14+d*c, 5+d*s)
		}
		by := orb.Point{2 + 4*r.Float64(), 2*r.Float64() - 1}
		p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)), thing(schema.RoleKeepout, "k", poly(star)), thing(schema.RoleHazard, "pond", poly(star)))
		rep := mustDrift(t, p, shift(by[0], by[1]), DriftOptions{})
		pond := orb.Polygon{flatRing(p.Features[2].Geometry)}
		inside := func(q orb.Point) bool { return locateSlow(q, pond) }
		deepest := 0.0
		const step = 0.05
		for x := 10.0; x < 18; x += step {
			for y := 1.0; y < 9; y += step {
				q, was := orb.Point{x, y}, orb.Point{x - by[0], y - by[1]}
				driven := was[0] > 0 && was[0] < 10 && was[1] > 0 && was[1] < 10 && !inside(was)
				before := x < 10 && y > 0 && y < 10
				if driven && !before && inside(q) {
					deepest = math.Max(deepest, edgeDistance(q, pond[0]))
				}
			}
		}
		got := 0.0
		if f := findingOf(rep, "drift-enters-hazard"); f != nil {
			got = f.Measured
		}
		// A point of the raster stands within half its diagonal of every point.
		if got < deepest-1e-3 || got > deepest+step*math.Sqrt2 {
			t.Errorf("round %d, by %v: %v m deep, the raster finds %v", round, by, got, deepest)
		}
	}
}

func flatRing(g geom.T) orb.Ring {
	var out orb.Ring
	flat := g.FlatCoords()
	for i := 0; i < len(flat); i += 2 {
		out = append(out, orb.Point{flat[i], flat[i+1]})
	}
	return out
}

// locateSlow and edgeDistance are written anew, by crossings and by every side.
func locateSlow(q orb.Point, p orb.Polygon) bool {
	in := false
	for _, ring := range p {
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				in = !in
			}
		}
	}
	return in
}

func edgeDistance(q orb.Point, ring orb.Ring) float64 {
	least := math.Inf(1)
	for i := 1; i < len(ring); i++ {
		least = math.Min(least, distanceToSegment(q, ring[i-1], ring[i]))
	}
	return least
}

// A lawn that is in a pond already: a movement that counts as unchanged stays
// unchanged, and a larger one is told.
func TestDriftWhereItIsInAlready(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)), thing(schema.RoleHazard, "pond", box(8, 3, 14, 7)),
		thing(schema.RoleEdge, "wall", track(5, -5, 5, 5), "edge_kind", "wall"))
	for _, x := range []struct {
		by   float64
		want Verdict
	}{{5e-6, VerdictUnchanged}, {0.001, VerdictUnchanged}, {0.0199, VerdictUnchanged}, {0.03, VerdictStop}, {0.5, VerdictStop}} {
		r := mustDrift(t, p, shift(x.by, 0), DriftOptions{Bearings: 4})
		if r.Verdict != x.want || (x.want == VerdictUnchanged) != (len(r.Findings) == 0) {
			t.Errorf("%v m: %s with %d findings, want %s", x.by, r.Verdict, len(r.Findings), x.want)
		}
		if r.Margin.LeastM != 0 {
			t.Errorf("in a pond, yet a margin of %v", r.Margin.LeastM)
		}
	}
}

// Across and along the heading of a dock that faces 30 degrees: with u = (sin
// 30, cos 30) a shift (0.5, 0.2) is 0.5 sin 30 + 0.2 cos 30 = 0.423 m along and
// 0.5 cos 30 - 0.2 sin 30 = 0.333 m to the right.
func TestDriftOffDockAskew(t *testing.T) {
	for _, x := range []struct {
		e, n float64
		want string
	}{
		{0.5, 0.2, "0.33 m to the right and 0.42 m beyond"},
		{-0.5, -0.2, "0.33 m to the left and 0.42 m short of"},
		{-0.6, 0.4, "0.72 m to the left and 0.046 m beyond"},
		{0.6, -0.4, "0.72 m to the right and 0.046 m short of"},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)), thing(schema.RoleDock, "dock", spot(-4, 5), "heading_deg", 30.0))
		if f := findingOf(mustDrift(t, p, shift(x.e, x.n), DriftOptions{Bearings: 4}), "drift-off-dock"); f == nil || !strings.Contains(f.Message, x.want) || !near(f.Measured, math.Hypot(x.e, x.n), 1e-9) {
			t.Errorf("shift %v %v: %+v, want %q", x.e, x.n, f, x.want)
		}
	}
}

// The probability of a break takes the covariance that the standard errors and
// their correlation make; a correlation of 1 is none.
func TestDriftUncertainty(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 10, 10)), thing(schema.RoleEdge, "wall", track(-1e4+10, -1e4-0.3, 1e4+10, 1e4-0.3), "edge_kind", "wall"))
	u := Uncertainty{SigmaE: 0.1, SigmaN: 0.2, Correlation: -0.6}
	r := mustDrift(t, p, shift(0, 0), DriftOptions{Uncertainty: u, Bearings: 720})
	// The wall y = x - 10.3 lies 0.3/sqrt 2 from the corner (10, 0) along w =
	// (1, -1)/sqrt 2, and the error along w has the variance (ee - 2 en +
	// nn)/2.
	sigma := math.Sqrt((u.SigmaE*u.SigmaE - 2*u.Correlation*u.SigmaE*u.SigmaN + u.SigmaN*u.SigmaN) / 2)
	if want := math.Erfc(0.3/math.Sqrt2/sigma/math.Sqrt2) / 2; !near(r.Broken, want, 2e-3) {
		t.Errorf("broken with %v, want Q(m/sigma) = %v", r.Broken, want)
	}
	for _, bad := range []Uncertainty{{0.1, 0.1, 1}, {0.1, 0.1, -1}, {0, 0.1, 0}, {0.1, -1, 0}, {MaxMovementM, 0.1, 0}} {
		if bad.Check() == nil {
			t.Errorf("%+v is taken for a covariance", bad)
		}
	}
	for _, x := range []struct{ e, n, want float64 }{{0, 1, 0}, {1, 1, 45}, {0, -2, 180}, {-1, 0, 270}, {-1, 1, 315}} {
		if got := vectorBearing(x.e, x.n); !near(got, x.want, 1e-9) {
			t.Errorf("the bearing of %v, %v is %v", x.e, x.n, got)
		}
	}
}

// A drop that a ramp runs along is one for what is mown beside it; where a
// corridor goes over it it is open, for passage_min_m to either side.
func TestDriftDropAlongARamp(t *testing.T) {
	drop := thing(schema.RoleEdge, "ledge", track(0, 10.4, 5, 10.4), "edge_kind", "drop")
	ramp := func(to float64) *schema.Feature {
		return thing(schema.RoleEdge, "ramp", track(0, 10.4, to, 10.4), "edge_kind", "ramp")
	}
	over := thing(schema.RoleCorridor, "way", track(2.5, 8, 2.5, 14))
	for _, x := range []struct {
		name string
		with []*schema.Feature
		by   float64
		want float64
	}{
		{"a drop alone", nil, 0.6, 0.2},
		{"a ramp along it", []*schema.Feature{ramp(5)}, 0.6, 0.2},
		{"a ramp along it, moved less than it takes", []*schema.Feature{ramp(5)}, 0.41, 0},
		{"a ramp along it and a corridor over it", []*schema.Feature{ramp(5), over}, 0.6, 0.2},
		{"a corridor over a drop without a ramp", []*schema.Feature{over}, 0.6, math.Hypot(0.3, 0.2)}, // to the corner of lawn and corridor
	} {
		p := driftPlan(t, append(x.with, drop, thing(schema.RoleZone, "z", box(-5, 0, 20, 10)))...)
		f := findingOf(mustDrift(t, p, shift(0, x.by), DriftOptions{}), "drift-crosses-edge")
		if (f != nil) != (x.want > 0) || f != nil && !near(f.Measured, x.want, 1e-4) {
			t.Errorf("%s: %+v, want %g m", x.name, f, x.want)
		}
	}
	// The corridor alone, moved along the drop: open at the ramp, shut past it.
	for by, want := range map[float64]bool{1.1: false, 1.3: true} {
		p := driftPlan(t, drop, ramp(5), over, thing(schema.RoleZone, "z", box(-5, 0, 20, 8.5)))
		if f := findingOf(mustDrift(t, p, shift(by, 0), DriftOptions{}), "drift-crosses-edge"); (f != nil) != want {
			t.Errorf("moved by %g m: %+v", by, f)
		}
	}
}

// Lines that say how wide they are reach out as far in drift, a hair to either
// side of the 0.02 m that change nothing.
func TestDriftIntoWidths(t *testing.T) {
	for name, x := range map[string]struct {
		rule string
		f    *schema.Feature
	}{
		"a brook 3 m wide":              {"drift-enters-hazard", thing(schema.RoleHazard, "brook", track(-5, 12, 25, 12), "hazard_kind", "brook", "width_m", 3.0)},
		"a brook with a radius":         {"drift-enters-hazard", thing(schema.RoleHazard, "brook", track(-5, 12, 25, 12), "hazard_kind", "brook", "radius_m", 1.5)},
		"a pond with a radius":          {"drift-enters-hazard", thing(schema.RoleHazard, "pond", box(5, 12.5, 8, 14), "hazard_kind", "pond", "radius_m", 2.0)},
		"a tree with a width":           {"drift-enters-hazard", thing(schema.RoleHazard, "tree", spot(5, 12.5), "width_m", 4.0)},
		"a wall 1 m wide":               {"drift-crosses-edge", thing(schema.RoleEdge, "wall", track(-5, 11, 25, 11), "edge_kind", "wall", "width_m", 1.0)},
		"a pond drawn as a closed line": {"drift-enters-hazard", thing(schema.RoleHazard, "pond", track(5, 10.5, 8, 10.5, 8, 14, 5, 14, 5, 10.5), "hazard_kind", "pond")},
	} {
		for by, want := range map[float64]bool{0.518: false, 0.524: true} {
			p := driftPlan(t, x.f, thing(schema.RoleZone, "z", box(0, 0, 20, 10)))
			f := findingOf(mustDrift(t, p, shift(0, by), DriftOptions{}), x.rule)
			if (f != nil) != want || f != nil && !near(f.Measured, by-0.5, 2e-3) {
				t.Errorf("%s, moved by %g m: %+v", name, by, f)
			}
		}
	}
}

// Of two boundaries one inside the other nobody can tell which holds.
func TestDriftOfNestedBoundaries(t *testing.T) {
	for inset, want := range map[float64]Outcome{0: Passed, 0.02: Passed, 3: Unchecked} {
		p := driftPlan(t, thing(schema.RoleBoundary, "lot", box(0, 0, 20, 20)), thing(schema.RoleBoundary, "inner", box(inset, inset, 20-inset, 20-inset)), thing(schema.RoleZone, "z", box(5, 5, 15, 15)))
		for _, got := range mustDrift(t, p, shift(0.05, 0), DriftOptions{}).Rules {
			if got.Rule == "drift-leaves-boundary" && got.Outcome != want {
				t.Errorf("%g m inside: %s (%s)", inset, got.Outcome, got.Reason)
			}
		}
	}
}
