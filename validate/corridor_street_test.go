// Corridors over and along streets that nobody drew.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestStreets(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", track(-10, 0, 20, 0))
	kerb := func(name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", "kerb")
	}
	ramp := func(x float64) *schema.Feature {
		return thing(schema.RoleEdge, "Ramp", track(x, -1, x, 1), "edge_kind", "ramp")
	}
	two := func(apart float64) []*schema.Feature {
		return []*schema.Feature{way, kerb("Kerb 1", 0, -30, 0, 30), ramp(0), kerb("Kerb 2", apart, -30, apart, 30), ramp(apart)}
	}
	with := func(list []*schema.Feature, more ...*schema.Feature) []*schema.Feature { return append(list, more...) }
	gap := func(wide float64) []*schema.Feature {
		half := wide / 2
		return []*schema.Feature{way, kerb("Kerb 1", 0, -30, 0, -half), kerb("Kerb 1 b", 0, half, 0, 30), kerb("Kerb 2", 5, -30, 5, -half), kerb("Kerb 2 b", 5, half, 5, 30)}
	}
	flush := func(name string, apart float64) []*schema.Feature {
		edge := func(x float64) *schema.Feature {
			return thing(schema.RoleEdge, name, track(x, -30, x, 30), "edge_kind", "flush")
		}
		return []*schema.Feature{way, edge(0), edge(apart)}
	}
	along := func(left, right float64) []*schema.Feature {
		return []*schema.Feature{way, kerb("Kerb 1", -30, left, 40, left), kerb("Kerb 2", -30, right, 40, right)}
	}
	drops := func(left, right float64) []*schema.Feature {
		drop := func(name string, y float64) *schema.Feature {
			return thing(schema.RoleEdge, name, track(-30, y, 40, y), "edge_kind", "drop")
		}
		return []*schema.Feature{way, drop("Mill bank", left), drop("Meadow side", right)}
	}
	// A dock at (9, 0) and its line-up point, so far west of it; kerbs at x = 0 and at 5.
	dock := func(standoff float64, more ...any) []*schema.Feature {
		list := two(5)[1:]
		return append(list, thing(schema.RoleDock, "Dock", spot(9, 0), append([]any{"heading_deg", 90.0, "standoff_m", standoff}, more...)...))
	}
	limited := schema.Object(schema.Attributes{{Key: "dock_standoff_m", Value: schema.Float(12)}})
	const over, beside = "whether a street lies there", "leads along between"
	for _, x := range []struct {
		name, says string
		told       bool
		list       []*schema.Feature
	}{
		{"a path", over, false, two(2.99)},
		{"a street", over, true, two(3)},
		{"a wide street", over, true, two(15)},
		{"wider than a street", over, false, two(15.01)},
		{"a lawn between", over, false, with(two(6), thing(schema.RoleZone, "Lawn", box(1, -3, 5, 3)))},
		{"a yard between", over, false, with(two(6), thing(schema.RoleOther, "Yard", box(0, -3, 6, 3), "driven_over", true))},
		{"two flush edges of a street", over, true, flush("Street edge", 5)},
		{"of a lane", over, true, flush("Lane edge", 3)},
		{"of a lane as narrow as a path", over, false, flush("Lane edge", 2.99)},
		{"of a terrace", over, false, flush("Terrace edge", 5)},
		{"of a street with a lawn between", over, false, with(flush("Street edge", 5), thing(schema.RoleZone, "Lawn", box(1, -3, 4, 3)))},
		{"a path across", over, true, with(two(6), thing(schema.RoleOther, "Path", box(0, -0.8, 6, 0.8), "driven_over", true))},
		{"a yard a hair less long than wide", over, true, with(two(6), thing(schema.RoleOther, "Yard", box(0, -3, 6, 2.99), "driven_over", true))},
		{"a path across a lawn", over, false, with(two(6), thing(schema.RoleOther, "Path", box(0, -0.8, 6, 0.8), "driven_over", true), thing(schema.RoleZone, "Lawn", box(1, -3, 5, 3)))},
		{"a path between the kerbs of a path", over, false, with(two(2.5), thing(schema.RoleOther, "Path", box(0, -0.8, 2.5, 0.8), "driven_over", true))},
		{"a yard beside", over, true, with(two(6), thing(schema.RoleOther, "Yard", box(0, 2, 6, 3), "driven_over", true))},
		{"a road that is drawn", over, false, with(two(6), thing(schema.RoleHazard, "Road", box(0, -30, 6, 30), "hazard_kind", "road"))},
		{"lowered by a gap", over, true, gap(4.99)},
		{"ended", over, false, gap(5.01)},
		{"one kerb", over, false, []*schema.Feature{way, kerb("Kerb 1", 0, -30, 0, 30), ramp(0)}},
		{"along a path", beside, false, along(1.49, -1.49)},
		{"along a street", beside, true, along(1.51, -1.51)},
		{"along a wide street", beside, true, along(10, -5)},
		{"along one wider", beside, false, along(10.1, -5)},
		{"both on one side", beside, false, along(3, 8)},
		{"slanting away", beside, false, []*schema.Feature{way, kerb("Kerb 1", -10, 1, 20, 13), kerb("Kerb 2", -10, -2, 20, -2)}},
		{"along between drops", beside, true, drops(2, -2)},
		{"along between drops 15 m apart", beside, true, drops(7, -8)},
		{"along between drops 15.01 m apart", beside, false, drops(7, -8.01)},
		{"along one drop", beside, false, drops(2, 20)},
		{"along between drops in a lawn", beside, false, with(drops(3, -3), thing(schema.RoleZone, "Lawn", box(-20, -2.7, 30, 2.7)))},
		{"along a drop and a kerb", beside, false, []*schema.Feature{way, kerb("Kerb", -30, 3, 40, 3), drops(2, -2)[2]}},
		{"a way into a dock over both", over, true, dock(10)},
		{"one no longer than its limit", over, true, dock(10, "limits", limited)},
		{"one over one of them", over, false, dock(8.9)},
		{"a corridor over one and the way on over the other", over, true, append(dock(7), thing(schema.RoleCorridor, "Way", track(-20, 0, 2, 0)))},
		{"a way into a dock over a road that is drawn", over, false, append(dock(10), thing(schema.RoleHazard, "Road", box(0, -30, 5, 30), "hazard_kind", "road"))},
		{"along a lawn", beside, false, with(along(3, -3), thing(schema.RoleZone, "Lawn", box(-20, -3, 30, 3)))},
	} {
		toldIn(t, x.name, RuleCorridorNarrow, x.says, x.told, x.list...)
	}
}

// A path across a railway says nothing of what it crosses; one through a pen does.
func TestPathAcrossARailway(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", track(-10, 0, 20, 0))
	between := func(name string, half float64) []*schema.Feature {
		out := []*schema.Feature{way, thing(schema.RoleOther, "Path", box(0, -half, 5, half), "driven_over", true)}
		for _, x := range []float64{0, 5} {
			out = append(out, thing(schema.RoleEdge, name, track(x, -30, x, 30), "edge_kind", "fence"), thing(schema.RoleEdge, "Gate", track(x, -1, x, 1), "edge_kind", "gate"))
		}
		return out
	}
	const says = "with no zone between them"
	toldIn(t, "a path across a railway", RuleCorridorNarrow, says, true, between("Railway fence", 0.8)...)
	toldIn(t, "a yard less long than wide", RuleCorridorNarrow, says, true, between("Railway fence", 2.49)...)
	toldIn(t, "a yard as long as wide", RuleCorridorNarrow, says, false, between("Railway fence", 2.5)...)
	toldIn(t, "a path beside a pool", RuleCorridorNarrow, says, false, between("Pool fence", 0.8)...)
}
