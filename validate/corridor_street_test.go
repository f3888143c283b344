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
	along := func(left, right float64) []*schema.Feature {
		return []*schema.Feature{way, kerb("Kerb 1", -30, left, 40, left), kerb("Kerb 2", -30, right, 40, right)}
	}
	const over, beside = "with no road or path drawn between", "leads along between"
	for _, x := range []struct {
		name, says string
		told       bool
		list       []*schema.Feature
	}{
		{"a path", over, false, two(3.49)},
		{"a street", over, true, two(3.5)},
		{"a wide street", over, true, two(15)},
		{"wider than a street", over, false, two(15.01)},
		{"a lawn between", over, false, with(two(6), thing(schema.RoleZone, "Lawn", box(1, -3, 5, 3)))},
		{"a yard between", over, false, with(two(6), thing(schema.RoleOther, "Yard", box(0, -3, 6, 3), "driven_over", true))},
		{"a yard beside", over, true, with(two(6), thing(schema.RoleOther, "Yard", box(0, 2, 6, 3), "driven_over", true))},
		{"a road that is drawn", over, false, with(two(6), thing(schema.RoleHazard, "Road", box(0, -30, 6, 30), "hazard_kind", "road"))},
		{"lowered by a gap", over, true, gap(4.99)},
		{"ended", over, false, gap(5.01)},
		{"one kerb", over, false, []*schema.Feature{way, kerb("Kerb 1", 0, -30, 0, 30), ramp(0)}},
		{"along a path", beside, false, along(1.74, -1.74)},
		{"along a street", beside, true, along(1.76, -1.76)},
		{"along a wide street", beside, true, along(10, -5)},
		{"along one wider", beside, false, along(10.1, -5)},
		{"both on one side", beside, false, along(3, 8)},
		{"slanting away", beside, false, []*schema.Feature{way, kerb("Kerb 1", -10, 1, 20, 13), kerb("Kerb 2", -10, -2, 20, -2)}},
		{"along a lawn", beside, false, with(along(3, -3), thing(schema.RoleZone, "Lawn", box(-20, -3, 30, 3)))},
	} {
		toldIn(t, x.name, RuleCorridorNarrow, x.says, x.told, x.list...)
	}
}
