// Cars that cross a lawn without a drive: wheel tracks, gates and garages.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestWheelTracks(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	garage := thing(schema.RoleBuilding, "Garage", box(8, 26, 16, 32))
	road := thing(schema.RoleHazard, "Road", box(0, -6, 40, -0.5), "hazard_kind", "road")
	slab := func(x0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleOther, "Paving", box(x0, -0.4, x1, y1), "driven_over", true)
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"two tracks", true, []*schema.Feature{slab(10, 10.6, 25), slab(11.5, 12.1, 25)}},
		{"as wide as one may be", true, []*schema.Feature{slab(10, 11, 25), slab(12, 12.6, 25)}},
		{"a hair wider", false, []*schema.Feature{slab(10, 11.01, 25), slab(12, 12.6, 25)}},
		{"as near as may be", true, []*schema.Feature{slab(10, 10.6, 25), slab(11.2, 11.8, 25)}},
		{"nearer", false, []*schema.Feature{slab(10, 10.6, 25), slab(11.19, 11.8, 25)}},
		{"as far apart as may be", true, []*schema.Feature{slab(10, 10.6, 25), slab(12.4, 13, 25)}},
		{"farther", false, []*schema.Feature{slab(10, 10.6, 25), slab(12.41, 13, 25)}},
		{"one that ends in the lawn", false, []*schema.Feature{slab(10, 10.6, 25), slab(11.5, 12.1, 15)}},
		{"one path", false, []*schema.Feature{slab(10, 10.6, 25)}},
	} {
		told(t, x.name, RuleOtherInZone, "as the tracks of wheels do", x.told, append(x.list, lawn, garage, road)...)
	}
}

func TestCarsAcrossLawns(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	gate := func(name string, x, y, wide float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(x, y, x+wide, y), "edge_kind", "gate")
	}
	garage := func(y float64) *schema.Feature { return thing(schema.RoleBuilding, "Garage", box(8, y, 14, y+5)) }
	road := thing(schema.RoleHazard, "Road", box(0, -9, 40, -6), "hazard_kind", "road")
	drive := func(wide float64) *schema.Feature {
		return thing(schema.RoleOther, "Paving", box(10, -6, 10+wide, -0.1), "driven_over", true)
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"two gates", true, []*schema.Feature{gate("South gate", 10, -1, 4), gate("North gate", 10, 26, 4)}},
		{"as wide as for cars", true, []*schema.Feature{gate("South gate", 10, -1, 3), gate("North gate", 10, 26, 3)}},
		{"one a hair narrower", false, []*schema.Feature{gate("South gate", 10, -1, 3), gate("North gate", 10, 26, 2.99)}},
		{"as far off the lawn as may be", true, []*schema.Feature{gate("South gate", 10, -2.5, 4), gate("North gate", 10, 27.5, 4)}},
		{"one farther off", false, []*schema.Feature{gate("South gate", 10, -2.51, 4), gate("North gate", 10, 27.5, 4)}},
		{"aslant, within 30 degrees", true, []*schema.Feature{gate("South gate", 5, -1, 4), gate("North gate", 20.5, 26, 4)}},
		{"farther to the side", false, []*schema.Feature{gate("South gate", 5, -1, 4), gate("North gate", 20.7, 26, 4)}},
		{"side by side", false, []*schema.Feature{gate("South gate", 10, -1, 4), gate("Lane gate", 20, -1, 4)}},
		{"one gate", false, []*schema.Feature{gate("South gate", 10, -1, 4)}},
		{"a gate and a garage", true, []*schema.Feature{gate("South gate", 10, -1, 4), garage(26)}},
		{"a gate and a house", false, []*schema.Feature{gate("South gate", 10, -1, 4), thing(schema.RoleBuilding, "House", box(8, 26, 14, 31))}},
		{"a garage with a road of its own", false, []*schema.Feature{gate("South gate", 10, -1, 4), garage(26), thing(schema.RoleHazard, "Lane", box(0, 32, 40, 35), "hazard_kind", "road")}},
		{"a drive and a garage", true, []*schema.Feature{road, drive(3), garage(26)}},
		{"a garage far behind the lawn", false, []*schema.Feature{road, drive(3), garage(27.51)}},
		{"a path and a garage", false, []*schema.Feature{road, drive(1.2), garage(26)}},
		{"a keep-out over most of the way", false, []*schema.Feature{gate("South gate", 10, -1, 4), gate("North gate", 10, 26, 4), thing(schema.RoleKeepout, "Yard", box(8, 4, 18, 24))}},
	} {
		told(t, x.name, RuleOtherInZone, "both are as wide as cars need", x.told, append(x.list, lawn)...)
	}
	const opens = "and no drive is drawn there"
	told(t, "a gate for cars", RuleOtherInZone, opens, true, lawn, gate("Car gate", 10, -1, 3))
	told(t, "narrower", RuleOtherInZone, opens, false, lawn, gate("Car gate", 10, -1, 2.99))
	told(t, "farther off", RuleOtherInZone, opens, false, lawn, gate("Car gate", 10, -2.51, 3))
	told(t, "a gate for who knows whom", RuleOtherInZone, opens, false, lawn, gate("South gate", 10, -1, 3))
	told(t, "a drive at it", RuleOtherInZone, opens, false, lawn, gate("Car gate", 10, -1, 3), drive(3))

	house := thing(schema.RoleBuilding, "House", box(30, 0, 40, 10))
	wall := func(name string, off float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(30, -off, 40, -off), "edge_kind", "wall")
	}
	told(t, "a house's south wall beside it", RuleNameContradicts, "one of the two lies elsewhere", true, house, wall("House wall south", 0.302))
	told(t, "on it", RuleNameContradicts, "one of the two lies elsewhere", false, house, wall("House wall south", 0.3))
}
