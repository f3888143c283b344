// Tests of ways into docks that cross or are too long, of ends of corridors, of what runs
// on and is one disc.

package validate

import (
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// TestDockWaysCross: half of each machine is 0.3 m, so two need 0.6 m.
func TestDockWaysCross(t *testing.T) {
	dock := func(x, y, heading float64, pairs ...any) *schema.Feature {
		return thing(schema.RoleDock, "Dock", spot(x, y, 0), append(pairs, "heading_deg", heading)...)
	}
	south := dock(0, 0, 0) // its way runs from (0, -2)
	wide := schema.Object(schema.Attributes{{Key: "machine_width_m", Value: schema.Float(1)}})
	const says = "meet there"
	for _, x := range []struct {
		name  string
		other *schema.Feature
		told  bool
	}{
		{"across", dock(1, -1, 90), true},
		{"slanting", dock(1, 0, 40), true},
		{"a hair nearer than two halves", dock(-2.598, -1, 270), true},
		{"two halves off", dock(-2.6, -1, 270), false},
		{"a wider machine", dock(-2.798, -1, 270, "limits", wide), true},
		{"as far as a wider one needs", dock(-2.8, -1, 270, "limits", wide), false},
		{"side by side", dock(1, 0, 0), false},
		{"in its way, which is told elsewhere", dock(0.3, -1, 90), false},
		{"of no heading", thing(schema.RoleDock, "Dock", spot(1, -1, 0)), false},
	} {
		told(t, x.name, RuleDockPathBlocked, says, x.told, south, x.other)
	}
}

// TestStandoffTooLong: 2.5 times dock_standoff_m, which is 2 m.
func TestStandoffTooLong(t *testing.T) {
	own := schema.Object(schema.Attributes{{Key: "dock_standoff_m", Value: schema.Float(3)}})
	for _, x := range []struct {
		name  string
		m     float64
		pairs []any
		told  bool
	}{
		{"usual", 2, nil, false},
		{"as long as may be", 5, nil, false},
		{"a hair longer", 5.002, nil, true},
		{"a point that was lost", 20, nil, true},
		{"as long as its own limit lets", 7.5, []any{"limits", own}, false},
		{"a hair longer than that", 7.502, []any{"limits", own}, true},
	} {
		told(t, x.name, RuleGeometryUnfit, "drives straight in without looking", x.told, thing(schema.RoleDock, "Dock", spot(0, 0, 0), append(x.pairs, "heading_deg", 0.0, "standoff_m", x.m)...))
	}
}

// TestEndsBeside: the disc of 0.6 m and a margin of 0.3 m, of a dock half a machine.
func TestEndsBeside(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 20, 10))
	way := thing(schema.RoleCorridor, "Way", track(5, -8, 5, 1))
	hazard := func(kind string, off float64) *schema.Feature {
		return thing(schema.RoleHazard, "Thing", box(3, 1+off, 7, 4), "hazard_kind", kind)
	}
	const says = "ends in the lawn"
	for _, x := range []struct {
		name string
		f    *schema.Feature
		told bool
	}{
		{"a pond", hazard("pond", 0.898), true},
		{"at its margin", hazard("pond", 0.9), false},
		{"what nobody knows", hazard("q7", 0.898), true},
		{"a bench", hazard("bench", 0.5), false},
		{"a drop", thing(schema.RoleEdge, "Ledge", track(3, 1.898, 7, 1.898), "edge_kind", "drop"), true},
		{"a drop at its margin", thing(schema.RoleEdge, "Ledge", track(3, 1.9, 7, 1.9), "edge_kind", "drop"), false},
		{"a wall", thing(schema.RoleEdge, "Wall", track(3, 1.5, 7, 1.5), "edge_kind", "wall"), false},
		{"another's dock", thing(schema.RoleDock, "Dock", spot(5, 1.898), "heading_deg", 180.0), true},
		{"another's dock farther off", thing(schema.RoleDock, "Dock", spot(5, 1.9), "heading_deg", 180.0), false},
		{"an outlet", thing(schema.RoleSupply, "Outlet", spot(5, 1.898)), true},
		{"an outlet farther off", thing(schema.RoleSupply, "Outlet", spot(5, 1.9)), false},
		{"a pond beside the other end, outside the lawn", thing(schema.RoleHazard, "Pond", box(3, -9.5, 7, -8.7), "hazard_kind", "pond"), false},
	} {
		told(t, x.name, RuleCorridorHairpin, says, x.told, lawn, way, x.f)
	}
}

// TestRunsOnAsDisc: nothing else of the word within 15 m.
func TestRunsOnAsDisc(t *testing.T) {
	at := func(name, kind string, g geom.T, pairs ...any) *schema.Feature {
		return thing(schema.RoleHazard, name, g, append(pairs, "hazard_kind", kind)...)
	}
	river := func(x float64) *schema.Feature { return at("Water", "river", spot(x, 0), "radius_m", 1.5) }
	const says = "runs on, and is drawn as one disc"
	told(t, "a river", RuleGeometryUnfit, says, true, river(0))
	told(t, "a brook by name", RuleGeometryUnfit, says, true, at("Mühlbach brook", "water", spot(0, 0), "radius_m", 0.5))
	told(t, "a pond", RuleGeometryUnfit, says, false, at("Pond", "pond", spot(0, 0), "radius_m", 1.5))
	told(t, "a lamp of a street", RuleGeometryUnfit, says, false, at("Street lamp", "lamp", spot(0, 0), "radius_m", 0.1))
	told(t, "a bench", RuleGeometryUnfit, says, false, at("Bank", "bank", spot(0, 0), "radius_m", 0.5))
	told(t, "its next piece", RuleGeometryUnfit, says, false, river(0), river(15))
	told(t, "one too far off", RuleGeometryUnfit, says, true, river(0), river(15.01))
	told(t, "a line", RuleGeometryUnfit, says, false, at("Water", "river", track(0, 0, 20, 0), "width_m", 3.0))
}
