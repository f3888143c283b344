// What a displacement runs into: buildings, and with the ground that docking
// takes.

package validate

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// docked is a lawn without a keep-out, and a dock west of it that faces west:
// its line-up point stands 2 m east of it, at (-8, 10).
func docked(t *testing.T, more ...*schema.Feature) *schema.Plan {
	t.Helper()
	return driftPlan(t, append(more,
		thing(schema.RoleZone, "lawn", box(0, 0, 40, 25)),
		thing(schema.RoleDock, "dock", spot(-10, 10), "heading_deg", 270.0, "standoff_m", 2.0),
		baseAt(20, -5, 45))...)
}

// The ground that docking takes is a strip of the machine's width, 0.6 m, and a
// disc of turn_radius_m, 0.6 m: 2 x 0.6 + pi 0.36 less the half disc's part of
// the strip, a rectangle of half-width 0.3 cut by the circle.
func TestDockGround(t *testing.T) {
	s, err := Ground(docked(t))
	if err != nil {
		t.Fatal(err)
	}
	r := newRun(s, schema.DefaultLimits())
	d, err := r.driven()
	if err != nil || len(d.docks) != 1 {
		t.Fatalf("%d docks, %v", len(d.docks), err)
	}
	// Half the strip's end within the circle: from the middle to x =
	// sqrt(0.36 - y^2).
	shared := 0.3*math.Sqrt(0.36-0.09) + 0.36*math.Asin(0.3/0.6)
	want := 2*0.6 + math.Pi*0.36 - shared
	if got := plane.Area(d.docks[0].area); !near(got, want, 5e-3) {
		t.Errorf("docking takes %.4f m2, want %.4f", got, want)
	}
	at := r.docks()[0].at // 10 m west of the plan's origin
	if got := d.docks[0].area.Bound(); !near(got.Min[0], at[0], 1e-4) || !near(got.Max[0], at[0]+2.6, 2e-3) || !near(got.Max[1]-got.Min[1], 1.2, 4e-3) {
		t.Errorf("docking takes the box %v", got)
	}
	if !near(plane.Area(d.whole), 1000+want, 6e-3) {
		t.Errorf("%.4f m2 are driven", plane.Area(d.whole))
	}
	if plane.Locate(orb.Point{at[0] + 0.01, at[1] + 0.29}, d.whole) != plane.Inside || plane.Locate(orb.Point{at[0] - 0.01, at[1]}, d.whole) == plane.Inside {
		t.Error("the strip does not begin at the dock")
	}
}

// A thing 0.1 m from what is driven is entered by a displacement of 0.1 m and
// the limit and not by a hair less, whatever it is and whatever it stands
// beside; the limit is the default's, the plan's own or the feature's own.
func TestDriftEntersAtTheLimit(t *testing.T) {
	const gap = 0.1
	for _, tc := range []struct {
		name  string
		f     func() *schema.Feature
		e, n  float64 // the way there
		rule  string
		slack float64 // of a round outline
	}{
		{"a building by the lawn", func() *schema.Feature { return thing(schema.RoleBuilding, "x", box(40+gap, 5, 43, 9)) }, 1, 0, RuleDriftEntersBuilding, 0},
		{"a building by the dock's strip", func() *schema.Feature { return thing(schema.RoleBuilding, "x", box(-10, 10.3+gap, -9.5, 11)) }, 0, 1, RuleDriftEntersBuilding, 0},
		{"a wall by the disc", func() *schema.Feature {
			return thing(schema.RoleEdge, "x", track(-8.5, 9.4-gap, -7.5, 9.4-gap), "edge_kind", "wall")
		}, 0, -1, RuleDriftCrossesEdge, 1.5e-3},
		{"a pond by the dock's strip", func() *schema.Feature { return thing(schema.RoleHazard, "x", box(-10, 10.3+gap, -9.5, 11)) }, 0, 1, RuleDriftEntersHazard, 0},
		{"a pond by the lawn", func() *schema.Feature { return thing(schema.RoleHazard, "x", box(40+gap, 5, 43, 9)) }, 1, 0, RuleDriftEntersHazard, 0},
		{"a keep-out by the dock", func() *schema.Feature { return thing(schema.RoleKeepout, "x", box(-10, 10.3+gap, -9.5, 11)) }, 0, 1, RuleDriftEntersKeepout, 0},
	} {
		for _, whose := range []string{"default", "plan", "feature"} {
			f := tc.f()
			limit := 0.02
			own := schema.Object(schema.Attributes{{Key: "drift_unchanged_m", Value: schema.Float(0.01)}})
			if whose == "feature" {
				f.Attributes.Set(schema.PropLimits, own)
				limit = 0.01
			}
			p := docked(t, f)
			if whose == "plan" {
				p.Attributes.Set(schema.PlanLimits, own)
				limit = 0.01
			}
			for _, x := range []struct {
				past float64
				want bool
			}{{-1e-4 - tc.slack, false}, {1e-4 + tc.slack, true}} {
				m := gap + limit + x.past
				r := mustDrift(t, p, shift(tc.e*m, tc.n*m), DriftOptions{Bearings: 4})
				got := findingOf(r, tc.rule)
				if (got != nil) != x.want {
					t.Errorf("%s, limit of the %s: moved by %.4f: %v", tc.name, whose, m, got)
				}
				if got != nil && (!near(got.Measured, limit, 2e-4+2*tc.slack) || got.Limit != limit) {
					t.Errorf("%s, limit of the %s: measured %v, limit %v", tc.name, whose, got.Measured, got.Limit)
				}
				if got != nil && r.Verdict != VerdictStop {
					t.Errorf("%s: %s", tc.name, r.Verdict)
				}
			}
		}
	}
}

// The margin counts buildings, what docking takes, and zones without keep-outs.
func TestMarginCounts(t *testing.T) {
	for _, tc := range []struct {
		name    string
		f       *schema.Feature
		least   float64
		bearing float64
	}{
		{"a building by the lawn", thing(schema.RoleBuilding, "x", box(40.25, 5, 43, 9)), 0.25, 90},
		{"a building by the dock", thing(schema.RoleBuilding, "x", box(-10, 10.7, -9.5, 12)), 0.4, 0},
		{"a hazard in front of the dock", thing(schema.RoleHazard, "x", spot(-8, 8), "radius_m", 0.5), 2 - 0.5 - 0.6, 180},
		{"a hazard by a zone without keep-outs", thing(schema.RoleHazard, "x", box(10, 25.3, 11, 27)), 0.3, 0},
		{"a hazard in a zone without keep-outs", thing(schema.RoleHazard, "x", box(10, 10, 11, 11)), 0, 0},
	} {
		r := mustDrift(t, docked(t, tc.f), shift(0, 0), DriftOptions{})
		if !near(r.Margin.LeastM, tc.least, 3e-3) || r.Margin.Meets == nil || r.Margin.Meets.Name != "x" {
			t.Errorf("%s: margin %v, want %v", tc.name, r.Margin.LeastM, tc.least)
		}
		if off := math.Abs(math.Mod(r.Margin.BearingDeg-tc.bearing+540, 360) - 180); tc.least > 0 && off > 3 {
			t.Errorf("%s: on bearing %v, want %v", tc.name, r.Margin.BearingDeg, tc.bearing)
		}
	}
}

// Without a heading nobody knows on which side of the dock the machine lines
// up.
func TestDockWithoutHeading(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "lawn", box(0, 0, 40, 25)), thing(schema.RoleDock, "dock", spot(-10, 10)), thing(schema.RoleBuilding, "x", box(60, 5, 63, 9)), baseAt(20, -5, 45))
	r := mustDrift(t, p, shift(0.01, 0), DriftOptions{Bearings: 4})
	for _, x := range r.Rules {
		if x.Rule == RuleDriftEntersBuilding && (x.Outcome != Unchecked || !strings.Contains(x.Reason, "no heading")) {
			t.Errorf("%s: %s (%s)", x.Rule, x.Outcome, x.Reason)
		}
	}
}

// A base too far off for flat ground: the plan is refused where nothing tells
// which of the two is the site, else the range is judged on the ellipsoid; it
// never passes.
func TestDriftBaseTooFar(t *testing.T) {
	lawn := thing(schema.RoleZone, "lawn", box(0, 0, 40, 25))
	base := thing(schema.RoleBase, "base", spot(0, 60_000, 45))
	if _, err := Drift(driftPlan(t, lawn, base), schema.DefaultLimits(), shift(0.01, 0), DriftOptions{}); err == nil || !strings.Contains(err.Error(), "too wide for flat ground") {
		t.Errorf("a base 60 km off: %v", err)
	}
	p := driftPlan(t, lawn, thing(schema.RoleZone, "meadow", box(50, 0, 90, 25)), thing(schema.RoleKeepout, "bed", box(5, 5, 8, 8)), base)
	for _, m := range []float64{0, 0.01, 0.05} {
		r, err := Drift(p, schema.DefaultLimits(), shift(m, 0), DriftOptions{Bearings: 4})
		if err != nil {
			t.Fatal(err)
		}
		far := findingOf(r, RuleDriftBaseRange)
		for _, x := range r.Rules {
			if x.Rule == RuleDriftBaseRange && (x.Outcome == Passed || x.Outcome == NotNeeded) {
				t.Errorf("moved by %v: %s (%s)", m, x.Outcome, x.Reason)
			}
		}
		// From (0, 60000) to (0, 0), at this latitude a degree is 111 km: the
		// ellipsoid's distance is the grid's within 2 m.
		if far == nil || !near(far.Measured, 60_000, 5) {
			t.Errorf("moved by %v: the range is %v", m, far)
		}
		if m > 0.02 && r.Verdict != VerdictStop {
			t.Errorf("moved by %v: %s", m, r.Verdict)
		}
	}
}

// A fence that a gate opens is crossed there, displaced too, up to the gate's
// posts: the corridor is 0.6 m wide in the middle of a gate of 1.6 m.
func TestDriftThroughAGate(t *testing.T) {
	for _, tc := range []struct {
		kind, opening string
		north         float64
		crosses       bool
	}{
		{"fence", "gate", 0.4, false}, {"fence", "gate", 0.5, false}, {"fence", "gate", 0.51, false}, {"fence", "gate", 0.53, true}, {"fence", "gate", -0.53, true},
		{"kerb", "ramp", 0.4, false}, {"kerb", "ramp", 0.53, true},
		{"wall", "flush", 0.4, true}, // which opens nothing
		{"drop", "", 0.4, true},
	} {
		features := []*schema.Feature{
			thing(schema.RoleZone, "lawn", box(0, 0, 40, 25)), thing(schema.RoleZone, "green", box(50, 0, 60, 25)),
			thing(schema.RoleCorridor, "way", track(39, 12, 51, 12), "width_m", 0.6),
			thing(schema.RoleEdge, "hard", track(45, 0, 45, 25), "edge_kind", tc.kind), baseAt(20, -5, 45)}
		if tc.opening != "" {
			features = append(features, thing(schema.RoleEdge, "opening", track(45, 11.2, 45, 12.8), "edge_kind", tc.opening))
		}
		r := mustDrift(t, driftPlan(t, features...), shift(0, tc.north), DriftOptions{})
		crossed := false
		for i := range r.Findings {
			crossed = crossed || r.Findings[i].Rule == RuleDriftCrossesEdge
		}
		opens := tc.opening == "gate" || tc.opening == "ramp"
		if opens && crossed != tc.crosses {
			t.Errorf("a %s with a %s, displaced by %g m: crosses %v, want %v", tc.kind, tc.opening, tc.north, crossed, tc.crosses)
		}
		// What is crossed already leaves no margin; the opening leaves the way
		// to its posts.
		want := 0.0
		if opens {
			want = 0.5
		}
		if !near(r.Margin.LeastM, want, 2e-3) {
			t.Errorf("a %s with a %s bears %g m, want %g", tc.kind, tc.opening, r.Margin.LeastM, want)
		}
	}
}

// The check and the displacement look at one ground: that of the rules is the
// driven one less the slack all round.
func TestOneDockWay(t *testing.T) {
	s, err := Ground(docked(t))
	if err != nil {
		t.Fatal(err)
	}
	r := newRun(s, schema.DefaultLimits())
	docks := r.docks()
	driven, looked := r.wayOf(&docks[0], 0), r.wayOf(&docks[0], slackM)
	whole, err := driven.area()
	if err != nil {
		t.Fatal(err)
	}
	part, err := looked.area()
	if err != nil {
		t.Fatal(err)
	}
	grown, err := plane.Buffer(part, slackM, bufferChordM)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := plane.Area(whole), plane.Area(grown); !near(a, b, 2e-3) || !(plane.Area(part) < a) {
		t.Errorf("%g m2 are driven, %g m2 are looked at, with the slack %g m2", a, plane.Area(part), b)
	}
	if area, err := r.dockGround(&docks[0]); err != nil || !near(plane.Area(area), plane.Area(whole), 1e-9) {
		t.Errorf("the displacement has %g m2, %v", plane.Area(area), err)
	}
}
