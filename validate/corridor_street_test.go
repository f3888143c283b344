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

// TestLanes: a kerb and a fence, and two fences, that a corridor goes over or along.
func TestLanes(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", track(-10, 0, 40, 0))
	edge := func(kind, name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", kind)
	}
	over := func(first, second string, apart float64, more ...*schema.Feature) []*schema.Feature {
		list := []*schema.Feature{way, edge(first, "North", 0, -30, 0, 30), edge(second, "South", apart, -30, apart, 30)}
		for i, kind := range []string{first, second} {
			opening := "gate"
			if kind == "kerb" {
				opening = "ramp"
			}
			list = append(list, edge(opening, "", float64(i)*apart, -1, float64(i)*apart, 1))
		}
		return append(list, more...)
	}
	along := func(first, second string, left, right, long float64, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{way, edge(first, "North", 0, left, long, left), edge(second, "South", 0, right, long, right)}, more...)
	}
	const through, beside = "whether a street or a lane of others lies there", "leads along between"
	for _, x := range []struct {
		name, says string
		told       bool
		list       []*schema.Feature
	}{
		{"a kerb and a fence", through, true, over("kerb", "fence", 3)},
		{"a wall and a kerb", through, true, over("wall", "kerb", 15)},
		{"nearer than a street is wide", through, false, over("kerb", "fence", 2.99)},
		{"farther", through, true, over("kerb", "fence", 30)},
		{"farther than any street", through, false, over("kerb", "fence", 30.01)},
		{"two kerbs far apart", through, true, over("kerb", "kerb", 30)},
		{"two kerbs of two streets", through, false, over("kerb", "kerb", 30.01)},
		{"with a lawn between", through, false, over("kerb", "fence", 6, thing(schema.RoleZone, "Lawn", box(1, -3, 5, 3)))},
		{"with a path between", through, false, over("kerb", "fence", 3, thing(schema.RoleOther, "Path", box(0, -1, 3, 1), "driven_over", true))},
		{"two fences", through, true, over("fence", "fence", 2)},
		{"two fences 12 m apart", through, true, over("fence", "wall", 12)},
		{"nearer", through, false, over("fence", "fence", 1.99)},
		{"farther than a lane is wide", through, false, over("fence", "fence", 12.01)},
		{"a corner of two fences", through, false, []*schema.Feature{way, edge("fence", "North", 0, -30, 0, 30), edge("gate", "", 0, -1, 0, 1), edge("fence", "South", 1, -2, 5, 2), edge("gate", "", 2.3, -0.7, 3.7, 0.7)}},
		{"along a kerb and a fence", beside, true, along("kerb", "fence", 1.5, -1.5, 4)},
		{"nearer by one another", beside, false, along("kerb", "fence", 1.5, -1.49, 4)},
		{"along two fences", beside, true, along("fence", "fence", 1, -1, 10)},
		{"no longer than a passage", beside, false, along("fence", "fence", 1, -1, 9)},
		{"as wide as a lane", beside, true, along("fence", "fence", 2, -2, 10)},
		{"wider than one", beside, false, along("fence", "fence", 2.01, -2, 10)},
		{"narrower", beside, false, along("fence", "fence", 0.99, -1, 10)},
		{"a fence and a wall, as of a house", beside, false, along("fence", "wall", 1, -1, 10)},
		{"with a path all along", beside, false, along("fence", "fence", 1, -1, 10, thing(schema.RoleOther, "Path", box(0, -0.9, 10, 0.9), "driven_over", true))},
	} {
		toldIn(t, x.name, RuleCorridorNarrow, x.says, x.told, x.list...)
	}
}

// TestGatesBesideGaps: a fence along x = 0 with a gap from y = -1 to y = 1.
func TestGatesBesideGaps(t *testing.T) {
	edge := func(kind, name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", kind)
	}
	way := func(y float64) *schema.Feature { return thing(schema.RoleCorridor, "Way", track(-10, y, 10, y)) }
	fence := func(from, to float64, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{way(0), edge("fence", "North fence", 0, to, 0, 30), edge("fence", "South fence", 0, -30, 0, from)}, more...)
	}
	gate := func(from, to float64) *schema.Feature { return edge("gate", "Gate", 0, from, 0, to) }
	const beside, into = "which of the two is the way through", "which of the two is drawn too long"
	for _, x := range []struct {
		name, says string
		told       bool
		list       []*schema.Feature
	}{
		{"a gate in its gap", "which of the two", false, fence(-1, 1, gate(-1, 1))},
		{"as far beside it as one is drawn", "which of the two", false, fence(-1, 1, gate(1.29, 3))},
		{"a hair farther", beside, true, fence(-1, 1, gate(1.31, 3))},
		{"3 m beside it", beside, true, fence(-1, 1, gate(4, 6))},
		{"a hair farther than 3 m", beside, false, fence(-1, 1, gate(4.01, 6))},
		{"1 m before the gap", beside, true, fence(-1, 1, edge("gate", "Gate", 1, -1, 1, 1))},
		{"across it", beside, false, fence(-1, 1, edge("gate", "Gate", 1, 1.5, 3, 1.5))},
		{"in a gap of its own", beside, false, []*schema.Feature{way(0), edge("fence", "North fence", 0, 4, 0, 30), edge("gate", "Gate", 0, 2, 0, 4), edge("fence", "Middle", 0, 1, 0, 2), edge("fence", "South fence", 0, -30, 0, -1)}},
		{"a gap of 5 m", beside, true, fence(-2.5, 2.5, gate(3, 5))},
		{"a wider one", beside, false, fence(-2.5, 2.51, gate(3, 5))},
		{"no way through the gap", beside, false, append(fence(-1, 1, gate(2, 4))[1:], way(3))},
		{"no gate", "which of the two", false, fence(-1, 1)},
		{"a gate over the ends of its fence, passage enough", into, false, fence(-0.75, 0.75, gate(-2, 2))},
		{"a hair too little", into, true, fence(-0.75, 0.748, gate(-2, 2))},
		{"as far over them as it may be", into, false, fence(-0.5, 0.5, gate(-0.8, 0.8))},
		{"a hair farther over them", into, true, fence(-0.5, 0.5, gate(-0.81, 0.81))},
		{"a way through what the fence reaches into", into, true, append(fence(-1, 1, gate(-3, 3))[1:], way(2))},
		{"a gate on a fence that goes on", into, false, []*schema.Feature{way(0), edge("fence", "Fence", 0, -30, 0, 30), gate(-1, 1)}},
		{"of two pieces that meet in it", into, false, []*schema.Feature{way(0), edge("fence", "North fence", 0, -30, 0, 0), edge("fence", "South fence", 0, 0.29, 0, 30), gate(-1, 1)}},
	} {
		toldIn(t, x.name, RuleCorridorNarrow, x.says, x.told, x.list...)
	}
}
