// Cables that would have to cross a wall or a drop.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestCablesOverWalls(t *testing.T) {
	dock := thing(schema.RoleDock, "Dock", spot(0, -3), "heading_deg", 0.0)
	outlet := func(y float64) *schema.Feature { return thing(schema.RoleSupply, "Socket", spot(0, y)) }
	// Round an end of a line that is as long to either side: 2 hypot(3, end), which is
	// the 20 m of the limit at 9.5394 m.
	edge := func(kind string, end float64) *schema.Feature {
		return thing(schema.RoleEdge, "Edge", track(-end, 0, end, 0), "edge_kind", kind)
	}
	gate := thing(schema.RoleEdge, "Gate", track(4, 0, 6, 0), "edge_kind", "gate")
	own := edge("wall", 9.53)
	near := thing(schema.RoleDock, "Dock", spot(0, -3), "heading_deg", 0.0)
	near.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: "cable_run_m", Value: schema.Float(19.9)}}))
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"beyond a wall, a hair too long", true, []*schema.Feature{dock, outlet(3), edge("wall", 9.545)}},
		{"a hair short enough", false, []*schema.Feature{dock, outlet(3), edge("wall", 9.535)}},
		{"a dock's own limit", true, []*schema.Feature{near, outlet(3), own}},
		{"beyond a drop", true, []*schema.Feature{dock, outlet(3), edge("drop", 12)}},
		{"beyond a fence", false, []*schema.Feature{dock, outlet(3), edge("fence", 12)}},
		{"beyond a wall with a gate", false, []*schema.Feature{dock, outlet(3), edge("wall", 12), gate}},
		{"on the wall", false, []*schema.Feature{dock, outlet(0.098), edge("wall", 12)}},
		{"a hair farther from it", true, []*schema.Feature{dock, outlet(0.103), edge("wall", 12)}},
		{"another outlet on this side", false, []*schema.Feature{dock, outlet(3), outlet(-5), edge("wall", 12)}},
	} {
		told(t, x.name, RuleCableRun, "every outlet that its cable reaches lies beyond", x.told, x.list...)
	}
}

func TestCablesUnderLawns(t *testing.T) {
	dock := thing(schema.RoleDock, "Dock", spot(0, -3), "heading_deg", 0.0)
	outlet := func(y float64) *schema.Feature { return thing(schema.RoleSupply, "Socket", spot(0, y)) }
	// Round an end: twice hypot(end, 2) and the 2 m that the lawn is wide, 20 m at 8.7750 m.
	lawn := func(end float64) *schema.Feature { return thing(schema.RoleZone, "Lawn", box(-end, -1, end, 1)) }
	duct := func(pairs ...any) *schema.Feature {
		return thing(schema.RoleOther, "Cable", track(2, -3, 2, 3), append([]any{"driven_over", true}, pairs...)...)
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"beyond a lawn, a hair too long", true, []*schema.Feature{dock, outlet(3), lawn(8.777)}},
		{"a hair short enough", false, []*schema.Feature{dock, outlet(3), lawn(8.773)}},
		{"with a duct under it", false, []*schema.Feature{dock, outlet(3), lawn(12), duct("depth_m", 0.4)}},
		{"with a cable on it", true, []*schema.Feature{dock, outlet(3), lawn(12), duct()}},
		{"a dock in the lawn", false, []*schema.Feature{dock, outlet(3), thing(schema.RoleZone, "Lawn", box(-12, -5, 12, 1))}},
		{"a lawn beside them", false, []*schema.Feature{dock, outlet(-8), lawn(12)}},
		{"another outlet on this side", false, []*schema.Feature{dock, outlet(3), outlet(-5), lawn(12)}},
	} {
		told(t, x.name, RuleCableRun, "every outlet that its cable reaches lies beyond", x.told, x.list...)
	}
}
