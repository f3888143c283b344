// The raster of verdicts: each of its entries is what Drift decides.

package validate

import (
	"math"
	"testing"

	"swardline/schema"
	"swardline/testdata/randplan"
)

func TestVerdictsAreDrift(t *testing.T) {
	tight := driftPlan(t,
		thing(schema.RoleZone, "z", box(0, 0, 40, 25)),
		thing(schema.RoleKeepout, "bed", box(10, 10, 12, 13)),
		thing(schema.RoleHazard, "pond", box(40.03, 5, 41, 6)),
		thing(schema.RoleHazard, "tree", spot(20, 25.22), "radius_m", 0.2),
		thing(schema.RoleEdge, "wall", track(-0.04, -5, -0.04, 30), "edge_kind", "wall"),
		thing(schema.RoleBoundary, "lot", box(-5, -0.011, 60, 40)),
		thing(schema.RoleDock, "dock", spot(5, 5), "heading_deg", 90.0),
		thing(schema.RoleBase, "base", spot(-10, -3)),
	)
	met := driftPlan(t,
		thing(schema.RoleZone, "z", box(0, 0, 40, 25)),
		thing(schema.RoleHazard, "pond", box(39, 5, 41, 6)),
		thing(schema.RoleEdge, "wall", track(20, -5, 20, 10), "edge_kind", "wall"),
		thing(schema.RoleBase, "base", spot(-480, 0)),
	)
	// Two bases: the far zone is in range of its own, which is not the first.
	two := driftPlan(t,
		thing(schema.RoleZone, "z", box(0, 0, 40, 25)),
		thing(schema.RoleZone, "far", box(600, 0, 640, 25)),
		thing(schema.RoleHazard, "tree", spot(20, 25.22), "radius_m", 0.2),
		thing(schema.RoleBase, "base", spot(-10, -3)),
		thing(schema.RoleBase, "other", spot(650, -3)),
	)
	wide := schema.DefaultLimits()
	wide.DriftStopM, wide.DriftUnchangedM, wide.DockReachM = 0.3, 0.05, 0.2
	for _, tc := range []struct {
		name   string
		plan   *schema.Plan
		limits schema.Limits
		step   int
		near   int
		far    bool
	}{
		{"roomy", tablePlan(t), schema.DefaultLimits(), 1, 0, false},
		{"tight", tight, schema.DefaultLimits(), 1, 4, false},
		{"met and out of range", met, schema.DefaultLimits(), 1, 1, true},
		{"two bases", two, schema.DefaultLimits(), 1, 1, false},
		{"a wide limit", tight, wide, 2, 4, false},
	} {
		samples, stride := 80, 37
		if !randplan.Long() { // half the raster both ways, and fewer of its entries
			if tc.limits.DriftStopM > 0.1 {
				continue
			}
			tc.limits.DriftStopM, tc.near = 0.05, min(tc.near, 2)
			samples, stride = 20, 97
		}
		v, err := TabulateVerdicts(tc.plan, tc.limits)
		if err != nil {
			t.Fatal(err)
		}
		if v.StepMM != tc.step || len(v.Near) < tc.near || v.OutOfRange() != tc.far {
			t.Fatalf("%s: step %d mm, %d near, out of range %v", tc.name, v.StepMM, len(v.Near), v.OutOfRange())
		}
		size := 2*v.Reach + 1
		ask := func(column, row int) {
			e, n := v.Shift(column, row)
			full, err := Drift(tc.plan, tc.limits, shift(e, n), DriftOptions{Bearings: 4})
			if err != nil {
				t.Fatal(err)
			}
			if got := v.Verdicts[row][column]; got != full.Verdict {
				t.Errorf("%s: E %v N %v: %s in the raster, Drift says %s", tc.name, e, n, got, full.Verdict)
			}
			failed := map[string]map[*schema.Feature]bool{}
			for i := range full.Findings {
				f := &full.Findings[i]
				if len(f.Features) > 0 {
					if failed[f.Rule] == nil {
						failed[f.Rule] = map[*schema.Feature]bool{}
					}
					failed[f.Rule][f.Features[0]] = true
				}
			}
			if math.Hypot(e, n) >= full.Limits.DriftStopM {
				return
			}
			for _, x := range v.Near {
				if x.In[row][column] != failed[x.Rule][x.Feature.Feature] {
					t.Errorf("%s: E %v N %v: %s %s %v in the raster, Drift says %v", tc.name, e, n, x.Rule, x.Feature.Name, x.In[row][column], failed[x.Rule][x.Feature.Feature])
				}
			}
		}
		for _, d := range [][2]int{{0, 0}, {1, 0}, {0, -2}, {3, 4}, {-20, 0}, {0, 20}, {0, 21}, {-15, 15}} { // about the limits
			ask(v.Reach+d[0]/v.StepMM, v.Reach+d[1]/v.StepMM)
		}
		asked := 0
		// Spread over the raster by a stride that is prime to its size, and
		// wherever two neighbours differ.
		for k := 0; k < samples; k++ {
			i := k * 7919 % (size * size)
			ask(i%size, i/size)
		}
		for row := 1; row < size; row++ {
			for column := 1; column < size; column++ {
				if v.Verdicts[row][column] != v.Verdicts[row][column-1] || v.Verdicts[row][column] != v.Verdicts[row-1][column] {
					if asked++; asked%stride == 0 {
						ask(column, row)
						ask(column-1, row)
					}
				}
			}
		}
		if asked < 50 {
			t.Errorf("%s: only %d changes of verdict", tc.name, asked)
		}
	}
}
