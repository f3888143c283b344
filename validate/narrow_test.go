// Tests of what narrows the way: outlets beside walls, long ways into docks.

package validate

import (
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestWaysBesideOutlets(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XY, []float64{20, 24, 20, 26, 20, 38}))
	kerb := thing(schema.RoleEdge, "Kerb", geom.NewLineStringFlat(geom.XY, []float64{20.7, 28, 20.7, 36}), "edge_kind", "kerb")
	for _, x := range []struct {
		role schema.Role
		off  float64
		told bool
	}{{schema.RoleSupply, 0.798, true}, {schema.RoleSupply, 0.8, false}, {schema.RoleBase, 0.798, true}, {schema.RoleBase, 0.8, false}} {
		r := Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), way, kerb, thing(x.role, "S", spot(20-x.off, 32))), schema.DefaultLimits())
		if got := only(r, RuleCorridorNarrow); (len(got) == 1) != x.told {
			t.Errorf("%s %g: %v", x.role, x.off, got)
		}
	}
}

func TestLongWaysIntoDocks(t *testing.T) {
	for _, x := range []struct {
		standoff, width float64
		told            bool
	}{{2, 1.4, false}, {2.1, 1.4, true}, {8, 1.4, true}, {8, 1.498, true}, {8, 1.5, false}} {
		dock := thing(schema.RoleDock, "Dock", spot(20, 40), "heading_deg", 0.0, "standoff_m", x.standoff)
		features := []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), dock,
			thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XY, []float64{20, 24, 20, 26, 20, 40 - x.standoff}))}
		for _, side := range []float64{-1, 1} {
			at := 20 + side*x.width/2
			features = append(features, thing(schema.RoleEdge, "Kerb", geom.NewLineStringFlat(geom.XY, []float64{at, 40 - x.standoff + 0.05, at, 41}), "edge_kind", "kerb"))
		}
		for _, way := range [][]*schema.Feature{features, append(features[:2:2], features[3:]...)} { // with the corridor, and without
			r := Check(driftPlan(t, way...), schema.DefaultLimits())
			got := only(r, RuleCorridorNarrow)
			if (len(got) == 1) != x.told || x.told && got[0].Features[0] != dock {
				t.Errorf("standoff %g, %g wide, %d features: %v", x.standoff, x.width, len(way), got)
			}
		}
	}
}

// TestGateLetsTheSkyIn: a fence with a height hides the sky of a corridor that
// crosses it, and not where a gate opens it.
func TestGateLetsTheSkyIn(t *testing.T) {
	line := func(role schema.Role, flat []float64, pairs ...any) *schema.Feature {
		return thing(role, string(role), geom.NewLineStringFlat(geom.XY, flat), pairs...)
	}
	for gate, told := range map[float64]bool{0: true, 2: false} {
		features := []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), line(schema.RoleCorridor, []float64{20, 24, 20, 41}),
			line(schema.RoleEdge, []float64{10, 32, 30, 32}, "edge_kind", "fence", "height_m", 0.9)}
		if gate > 0 {
			features = append(features, line(schema.RoleEdge, []float64{20 - gate/2, 32, 20 + gate/2, 32}, "edge_kind", "gate"))
		}
		if got := only(Check(driftPlan(t, features...), schema.DefaultLimits()), RuleSkyBlocked); (len(got) > 0) != told {
			t.Errorf("a gate of %g m: %v", gate, got)
		}
	}
}

// TestNothingToNarrow: without a corridor, and with no way into a dock that is
// longer than it has to be, there is nothing to look at.
func TestNothingToNarrow(t *testing.T) {
	dock := thing(schema.RoleDock, "Dock", spot(20, 40), "heading_deg", 0.0, "standoff_m", 2.0)
	kerb := thing(schema.RoleEdge, "Kerb", geom.NewLineStringFlat(geom.XY, []float64{20.7, 28, 20.7, 36}), "edge_kind", "kerb")
	r := Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), dock, kerb), schema.DefaultLimits())
	if o := r.Outcome(RuleCorridorNarrow); o.Outcome != NotNeeded {
		t.Errorf("%s %s", o.Outcome, o.Reason)
	}
}
