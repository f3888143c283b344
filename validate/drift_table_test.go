// The table of displacements: its entries are what Drift says.

package validate

import (
	"math"
	"strings"
	"testing"

	"swardline/schema"
)

func tablePlan(t *testing.T) *schema.Plan {
	t.Helper()
	return driftPlan(t,
		thing(schema.RoleZone, "z", box(0, 0, 40, 25)),
		thing(schema.RoleKeepout, "bed", box(10, 10, 12, 13)),
		thing(schema.RoleHazard, "pond", box(40.3, 5, 46, 11)),
		thing(schema.RoleHazard, "tree", spot(20, 26), "radius_m", 0.6),
		thing(schema.RoleEdge, "wall", track(-0.2, -5, -0.2, 30), "edge_kind", "wall"),
		thing(schema.RoleBoundary, "lot", box(-5, -0.5, 60, 40)),
		thing(schema.RoleDock, "dock", spot(5, 5), "heading_deg", 90.0),
	)
}

func TestTableIsDrift(t *testing.T) {
	p := tablePlan(t)
	beyond := []float64{0, 0.05, 0.1, 0.3, 0.6, 1}
	tab, err := TabulateDrift(p, schema.DefaultLimits(), 24, beyond)
	if err != nil {
		t.Fatal(err)
	}
	if len(tab.Items) != 7 || len(tab.BearingsDeg) != 24 || tab.Held != HeldCoordinates || tab.HeldStated {
		t.Fatalf("%d items, %d bearings, held %s", len(tab.Items), len(tab.BearingsDeg), tab.Held)
	}
	compared, found := 0, 0
	for b, bearing := range tab.BearingsDeg {
		if b%5 != 0 {
			continue
		}
		sin, cos := math.Sincos(bearing * math.Pi / 180)
		for i := range tab.Items {
			x := &tab.Items[i]
			for k, s := range beyond {
				r := x.GapM[b] + s
				if !(r <= 1) || r == 0 {
					continue
				}
				full := mustDrift(t, p, shift(r*sin, r*cos), DriftOptions{Bearings: 4})
				var want float64
				for j := range full.Findings {
					if f := &full.Findings[j]; f.Rule == x.Rule && f.Features[0] == x.Feature.Feature {
						want = f.Measured
						found++
					}
				}
				compared++
				switch deep := x.DepthM[b][k]; {
				case want == 0 && deep > x.LimitM+1e-5:
					t.Errorf("%s %s, bearing %v, %v m: %v in the table, no finding", x.Rule, x.Feature.Name, bearing, r, deep)
				case want > 0 && !near(deep, want, 1e-5):
					t.Errorf("%s %s, bearing %v, %v m: %v in the table, Drift says %v", x.Rule, x.Feature.Name, bearing, r, deep, want)
				}
			}
		}
	}
	if compared < 50 || found < 30 {
		t.Errorf("only %d entries compared, %d with a finding", compared, found)
	}
}

// Gaps that are known: the pond lies 0.3 m east of the zone, the wall 0.2 m
// west, the boundary 0.5 m south; nothing is met by going north-east of the
// wall.
func TestTableGaps(t *testing.T) {
	tab, err := TabulateDrift(tablePlan(t), schema.DefaultLimits(), 4, []float64{0, 0.5, 1})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][4]float64{"pond": {math.Inf(1), 0.3, math.Inf(1), math.Inf(1)}, "wall": {math.Inf(1), math.Inf(1), math.Inf(1), 0.2}, "bed": {0, 0, 0, 0}}
	seen := 0
	for i := range tab.Items {
		x := &tab.Items[i]
		w, ok := want[x.Feature.Name]
		if !ok {
			continue
		}
		seen++
		for b := range w {
			if x.GapM[b] != w[b] && !near(x.GapM[b], w[b], 1e-5) {
				t.Errorf("%s, bearing %v: gap %v, want %v", x.Feature.Name, tab.BearingsDeg[b], x.GapM[b], w[b])
			}
		}
		if stops := x.Feature.Role != schema.RoleKeepout; x.Stops != stops {
			t.Errorf("%s stops: %v", x.Feature.Name, x.Stops)
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d obstacles are in the table", seen, len(want))
	}
}

func TestTableRefuses(t *testing.T) {
	good := []float64{0, 1}
	for _, tc := range []struct {
		name     string
		p        *schema.Plan
		bearings int
		beyond   []float64
		want     string
	}{
		{"few bearings", tablePlan(t), 3, good, "4 bearings"},
		{"no distance", tablePlan(t), 8, []float64{0}, "4 bearings or more"},
		{"falling", tablePlan(t), 8, []float64{0, 2, 1}, "rise"},
		{"no number", tablePlan(t), 8, []float64{0, math.NaN()}, "rise"},
		{"too far", tablePlan(t), 8, []float64{0, 1e4}, "rise, up to"},
		{"nothing to drive", driftPlan(t, baseAt(0, 0, 1)), 8, good, "no active zone"},
		{"no coordinates", &schema.Plan{}, 8, good, "cannot be put on the ground"},
	} {
		if _, err := TabulateDrift(tc.p, schema.DefaultLimits(), tc.bearings, tc.beyond); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v, want %q", tc.name, err, tc.want)
		}
	}
}
