// What runs in from outside, over driven ground, and out again.

package validate

import (
	"fmt"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

const throughSays = "who passes there is not said"

// ownPark is a lawn of 30 by 20 m within a boundary 20 m about it.
func ownPark(more ...*schema.Feature) []*schema.Feature {
	return append([]*schema.Feature{
		thing(schema.RoleZone, "Lawn", box(0, 0, 30, 20)),
		thing(schema.RoleBoundary, "Site", box(-20, -20, 50, 40)),
	}, more...)
}

func TestThroughAreas(t *testing.T) {
	slab := func(name string, g geom.T) *schema.Feature {
		return thing(schema.RoleOther, name, g, "driven_over", true)
	}
	for _, name := range []string{"B27", "Path", "Weg", "", "Lawn"} {
		told(t, name, RuleOtherInZone, throughSays, true, ownPark(slab(name, box(10, -30, 13, 50)))...)
	}
	for _, x := range []struct {
		name string
		told bool
		g    geom.T
	}{
		{"as narrow as a path", true, box(10, -30, 10.5, 50)},
		{"a hair narrower", false, box(10, -30, 10.49, 50)},
		{"as wide as a runway", true, box(0, -60, 30, 80)},
		{"a hair wider", false, box(0, -60, 30.02, 80)},
		{"that ends a metre before the boundary", true, box(10, -19.02, 13, 39.02)},
		{"a hair farther before it", false, box(10, -19, 13, 39)},
		{"that ends there on one side", false, box(10, -30, 13, 15)},
		{"beside the lawn", true, box(30.2, -30, 33.2, 50)},
		{"as far off as a road may lie", false, box(30.3, -30, 33.3, 50)},
		{"a path beside the lawn", false, box(30.01, -30, 32.4, 50)},
		{"aslant", true, poly([]float64{-30, -25, -27, -25, 60, 45, 57, 45})},
		{"round a bend", true, poly([]float64{10, -30, 13, -30, 13, 10, 60, 10, 60, 13, 10, 13})},
		{"outside, along the boundary", false, box(-60, -24, 80, -20.5)},
		{"along the boundary, partly inside", false, box(-60, -24, 80, -19.5)},
		{"all about the property", false, box(-60, -50, 80, 50)},
	} {
		told(t, x.name, RuleOtherInZone, throughSays, x.told, ownPark(slab("Path", x.g))...)
	}
	told(t, "not driven over, off the lawn", RuleOtherInZone, throughSays, true, ownPark(thing(schema.RoleOther, "Path", box(30.1, -30, 33, 50)))...)
	told(t, "a bed there", RuleOtherInZone, throughSays, false, ownPark(thing(schema.RoleOther, "Rose bed", box(30.1, -30, 33, 50)))...)
	told(t, "under a keep-out", RuleOtherInZone, throughSays, false, ownPark(slab("Path", box(10, -30, 13, 50)), thing(schema.RoleKeepout, "Path", box(9.5, 0, 13.5, 20)))...)
	told(t, "of two pieces", RuleOtherInZone, throughSays, true, ownPark(slab("Path", box(10, -30, 13, 10)), slab("Path north", box(10, 10.05, 13, 50)))...)
	told(t, "either side of the lawn", RuleOtherInZone, throughSays, true, ownPark(slab("Path", box(10, -30, 13, 0)), slab("Path north", box(10, 20, 13, 50)))...)
	told(t, "with a gap beside the lawn", RuleOtherInZone, throughSays, false, ownPark(slab("Path", box(10, -30, 13, -10)), slab("Path north", box(10, -5, 13, 50)))...)
	told(t, "aside of one another", RuleOtherInZone, throughSays, false, ownPark(slab("Path", box(10, -30, 13, 0)), slab("Path north", box(12, 20, 15, 50)))...)
	told(t, "of unlike widths", RuleOtherInZone, throughSays, false, ownPark(slab("Path", box(10, -30, 11, 0)), slab("Path north", box(9.2, 20, 11.8, 50)))...)
	told(t, "a flush edge round it", RuleOtherInZone, throughSays, true, ownPark(thing(schema.RoleEdge, "Path", box(10, -30, 13, 50), "edge_kind", "flush"))...)
	told(t, "a flush edge as wide", RuleOtherInZone, throughSays, true, ownPark(thing(schema.RoleEdge, "Path", track(11, -30, 11, 50), "edge_kind", "flush", "width_m", 3.0))...)
	told(t, "a boundary of four lines", RuleOtherInZone, throughSays, true, thing(schema.RoleZone, "Lawn", box(0, 0, 30, 20)), slab("Path", box(10, -22, 11, 42)),
		thing(schema.RoleBoundary, "South", track(-20, -20, 50, -20)), thing(schema.RoleBoundary, "North", track(-20, 40, 50, 40)),
		thing(schema.RoleBoundary, "East", track(50, -20, 50, 40)), thing(schema.RoleBoundary, "West", track(-20, 40, -20, -20)))
	told(t, "two parcels side by side", RuleOtherInZone, throughSays, false, thing(schema.RoleZone, "Lawn", box(0, 0, 30, 20)), slab("Path", box(10, -15, 11, 35)),
		thing(schema.RoleBoundary, "South", box(-20, -20, 50, 10)), thing(schema.RoleBoundary, "North", box(-20, 10, 50, 40)))
}

func TestThroughWithin(t *testing.T) {
	for _, x := range []struct {
		past, wide float64
		told       bool
	}{{26, 2.5, true}, {25, 2.5, false}, {26, 2.49, false}} {
		told(t, fmt.Sprintf("%g m past all, %g m wide", x.past, x.wide), RuleOtherInZone, throughSays, x.told, thing(schema.RoleZone, "Lawn", box(0, 0, 30, 20)),
			thing(schema.RoleBoundary, "Site", box(-90, -90, 90, 90)), thing(schema.RoleOther, "Path", box(10, -x.past, 10+x.wide, 20+x.past), "driven_over", true))
	}
}

func TestThroughShut(t *testing.T) {
	strip := func(wide float64) *schema.Feature {
		return thing(schema.RoleOther, "Path", box(10, -30, 10+wide, 50), "driven_over", true)
	}
	edge := func(kind string, x0, y0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleEdge, "Edge", track(x0, y0, x1, y1), "edge_kind", kind)
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a fence across", false, []*schema.Feature{strip(3), edge("fence", 5, -20, 20, -20)}},
		{"a fence along it", true, []*schema.Feature{strip(3), edge("fence", 10.2, -28, 10.2, -4)}},
		{"a piece of fence aslant", true, []*schema.Feature{strip(3), edge("fence", 10.5, -28, 11.5, -20)}},
		{"a fence across half of it", true, []*schema.Feature{strip(3), edge("fence", 5, -20, 11.5, -20)}},
		{"a garden gate", false, []*schema.Feature{strip(1.2), edge("gate", 10, -20, 11.2, -20)}},
		{"a gate as wide as a car", true, []*schema.Feature{strip(2.5), edge("gate", 10, -20, 12.5, -20)}},
		{"a gate a hair narrower", false, []*schema.Feature{strip(2.5), edge("gate", 10, -20, 12.49, -20)}},
		{"a kerb", true, []*schema.Feature{strip(3), edge("kerb", 5, -20, 20, -20)}},
		{"a fence past its end", false, []*schema.Feature{strip(3), edge("fence", 5, 50.55, 20, 50.55)}},
		{"a fence farther past it", true, []*schema.Feature{strip(3), edge("fence", 5, 50.65, 20, 50.65)}},
	} {
		told(t, x.name, RuleOtherInZone, throughSays, x.told, ownPark(x.list...)...)
	}
	bend := thing(schema.RoleOther, "Path", poly([]float64{10, -30, 13, -30, 13, 10, 60, 10, 60, 13, 10, 13}), "driven_over", true)
	told(t, "a fence along a leg of it", RuleOtherInZone, throughSays, true, ownPark(bend, edge("fence", 31, 9.9, 45, 9.9))...)
}

func TestThroughLines(t *testing.T) {
	line := func(name string, pairs ...any) *schema.Feature {
		return thing(schema.RoleOther, name, track(10, -30, 10, 50), append([]any{"driven_over", true}, pairs...)...)
	}
	told(t, "a line", RuleOtherInZone, throughSays, true, ownPark(line("Path"))...)
	told(t, "a line with a width", RuleOtherInZone, throughSays, true, ownPark(line("Path", "width_m", 3.0))...)
	told(t, "a cable", RuleOtherInZone, throughSays, false, ownPark(line("Cable", "depth_m", 0.6))...)
	told(t, "a limit", RuleOtherInZone, throughSays, false, ownPark(line("Parcel boundary"))...)
	told(t, "a line that ends within", RuleOtherInZone, throughSays, false, ownPark(thing(schema.RoleOther, "Path", track(10, -30, 10, 10), "driven_over", true))...)
	told(t, "two lines that meet", RuleOtherInZone, throughSays, true, ownPark(thing(schema.RoleOther, "Path", track(10, -30, 10, 10), "driven_over", true), thing(schema.RoleOther, "Path north", track(10, 50, 10, 10.02), "driven_over", true))...)
	told(t, "across a corridor", RuleOtherInZone, throughSays, true, append(ownPark(thing(schema.RoleCorridor, "Way", track(28, 5, 31, 5, 40, 5))), thing(schema.RoleOther, "Path", track(35, -30, 35, 50), "driven_over", true))...)
	told(t, "under a dock", RuleOtherInZone, throughSays, true, append(ownPark(thing(schema.RoleDock, "Dock", spot(36, 5))), thing(schema.RoleOther, "Path", track(36.2, -30, 36.2, 50), "driven_over", true))...)
	told(t, "past a dock", RuleOtherInZone, throughSays, false, append(ownPark(thing(schema.RoleDock, "Dock", spot(36, 5))), thing(schema.RoleOther, "Path", track(36.31, -30, 36.31, 50), "driven_over", true))...)
}

func TestThroughEdges(t *testing.T) {
	edges := func(a, b string, x, apart float64) []*schema.Feature {
		return ownPark(thing(schema.RoleEdge, "Edge", track(x, -30, x, 50), "edge_kind", a), thing(schema.RoleEdge, "Edge east", track(x+apart, 50, x+apart, -30), "edge_kind", b))
	}
	for _, x := range []struct {
		name  string
		told  bool
		apart float64
	}{{"rails", true, 1.435}, {"at the least", true, 0.9}, {"a hair nearer", false, 0.89}, {"a street", true, 6}, {"at the most", true, 15}, {"a hair farther", false, 15.01}} {
		told(t, x.name, RuleOtherInZone, throughSays, x.told, edges("flush", "flush", 8, x.apart)...)
	}
	told(t, "a kerb and a flush edge", RuleOtherInZone, throughSays, true, edges("kerb", "flush", 8, 5)...)
	told(t, "two walls", RuleOtherInZone, throughSays, false, edges("wall", "wall", 8, 5)...)
	way := thing(schema.RoleCorridor, "Way", track(28, 5, 31, 5, 45, 5))
	told(t, "over a corridor", RuleOtherInZone, throughSays, true, append(edges("kerb", "kerb", 34, 6), way)...)
	told(t, "off everything", RuleOtherInZone, throughSays, false, edges("flush", "flush", 34, 6)...)
	told(t, "the two sides of a mown strip", RuleOtherInZone, throughSays, false, append(edges("flush", "flush", 34, 6), thing(schema.RoleZone, "Strip", box(34, 0, 40, 20)), thing(schema.RoleCorridor, "Way", track(36, 2, 38, 2)))...)
	told(t, "a strip mown past its side", RuleOtherInZone, throughSays, true, append(edges("flush", "flush", 34, 6), thing(schema.RoleZone, "Strip", box(34, 0, 40.1, 20)))...)
}

func TestThroughToHouse(t *testing.T) {
	const says = "leads from outside the property to"
	house := thing(schema.RoleBuilding, "Garage", box(8, 21, 16, 28))
	for _, x := range []struct {
		name      string
		told      bool
		wide, end float64
	}{{"a drive", true, 2.5, 20}, {"a hair narrower", false, 2.49, 20}, {"that ends before it", true, 2.5, 19.51}, {"a hair farther before it", false, 2.5, 19.49}} {
		told(t, x.name, RuleOtherInZone, says, x.told, ownPark(house, thing(schema.RoleOther, "Paving", box(10, -30, 10+x.wide, x.end), "driven_over", true))...)
	}
	told(t, "from within", RuleOtherInZone, says, false, ownPark(house, thing(schema.RoleOther, "Paving", box(10, -15, 13, 20), "driven_over", true))...)
	told(t, "behind a fence", RuleOtherInZone, says, false, ownPark(house, thing(schema.RoleOther, "Paving", box(10, -30, 13, 20), "driven_over", true), thing(schema.RoleEdge, "Fence", track(0, -20, 20, -20), "edge_kind", "fence"))...)
}

func TestRoadsNumbered(t *testing.T) {
	const says = "as the signs of roads do"
	slab := func(name string, pairs ...any) *schema.Feature {
		return thing(schema.RoleOther, name, box(10, 5, 13, 15), append([]any{"driven_over", true}, pairs...)...)
	}
	for _, x := range []struct {
		name string
		told bool
		f    *schema.Feature
	}{
		{"an area", true, slab("B 27")},
		{"with words of order", true, slab("K 14 north")},
		{"another letter", false, slab("Q 27")},
		{"in another property", true, slab("Path", "label", "D917")},
		{"of one digit there", false, slab("Path", "label", "D9")},
		{"of two", true, slab("Path", "label", "D10")},
		{"a short thing", false, thing(schema.RoleOther, "B27", box(10, 5, 12, 10), "driven_over", true)},
		{"beside the lawn", true, thing(schema.RoleOther, "Path", box(0, -5.25, 30, -0.25), "code", "B 27")},
		{"as far off as a road", false, thing(schema.RoleOther, "Path", box(0, -5.3, 30, -0.3), "code", "B 27")},
		{"a line", true, thing(schema.RoleOther, "Path", track(0, -3.04, 30, -3.04), "code", "B 27")},
		{"a line farther off", false, thing(schema.RoleOther, "Path", track(0, -3.05, 30, -3.05), "code", "B 27")},
		{"a kerb", true, thing(schema.RoleEdge, "B 27", track(0, -0.2, 30, -0.2), "edge_kind", "kerb")},
		{"a kerb called one", true, thing(schema.RoleEdge, "Kerb B 27", track(0, -0.2, 30, -0.2), "edge_kind", "kerb")},
		{"a kerb numbered", false, thing(schema.RoleEdge, "K 9", track(0, -0.2, 30, -0.2), "edge_kind", "kerb")},
		{"a gate", true, thing(schema.RoleEdge, "Gate B27", track(10, -0.2, 13, -0.2), "edge_kind", "gate")},
	} {
		told(t, x.name, RuleOtherInZone, says, x.told, ownPark(x.f)...)
	}
	told(t, "numbered on", RuleOtherInZone, says, false, ownPark(slab("B 27"), thing(schema.RoleOther, "B 28", box(20, 5, 23, 15), "driven_over", true))...)
	told(t, "a road drawn at the kerb", RuleOtherInZone, says, false, ownPark(thing(schema.RoleEdge, "B 27", track(0, -0.2, 30, -0.2), "edge_kind", "kerb"), thing(schema.RoleHazard, "Road", box(0, -6, 30, -0.35), "hazard_kind", "road"))...)
	off := func(name string) []*schema.Feature {
		return ownPark(thing(schema.RoleKeepout, name, box(10, 5, 12, 10), "active", false))
	}
	told(t, "a keep-out switched off", RuleNameContradicts, says, true, off("B 27")...)
	told(t, "one of few digits", RuleNameContradicts, says, false, off("B 9")...)
}

func TestParkingRows(t *testing.T) {
	const says = "bays for cars"
	row := func(n int, wide, long, apart float64) (out []*schema.Feature) {
		for k := range n {
			x := 2 + float64(k)*apart
			out = append(out, thing(schema.RoleOther, "", box(x, 0, x+wide, long), "driven_over", true))
		}
		return out
	}
	for _, x := range []struct {
		name              string
		told              bool
		n                 int
		wide, long, apart float64
	}{
		{"a row", true, 3, 2.5, 5, 2.5},
		{"two", false, 2, 2.5, 5, 2.5},
		{"as narrow as they are", true, 3, 2.2, 5, 2.2},
		{"a hair narrower", false, 3, 2.19, 5, 2.19},
		{"as wide as they are", true, 3, 3.6, 5, 3.6},
		{"a hair wider", false, 3, 3.61, 5, 3.61},
		{"as short as they are", true, 3, 2.5, 4.3, 2.5},
		{"a hair shorter", false, 3, 2.5, 4.29, 2.5},
		{"as long as they are", true, 3, 2.5, 6.6, 2.5},
		{"a hair longer", false, 3, 2.5, 6.61, 2.5},
		{"not side by side", false, 3, 2.5, 5, 3.5},
	} {
		told(t, x.name, RuleOtherInZone, says, x.told, ownPark(row(x.n, x.wide, x.long, x.apart)...)...)
	}
	lines := func(n int, apart float64) (out []*schema.Feature) {
		for k := range n {
			x := 2 + float64(k)*apart
			out = append(out, thing(schema.RoleEdge, "", track(x, 0, x, 5), "edge_kind", "flush"))
		}
		return out
	}
	told(t, "four lines", RuleOtherInZone, says, true, ownPark(lines(4, 2.5)...)...)
	told(t, "three lines", RuleOtherInZone, says, false, ownPark(lines(3, 2.5)...)...)
	told(t, "lines farther apart", RuleOtherInZone, says, false, ownPark(lines(4, 4.5)...)...)
}
