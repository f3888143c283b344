// Drives across mown ground and corridors that are drawn as slabs or by their edges.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestDrives(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	garage := thing(schema.RoleBuilding, "Garage", box(8, 26, 16, 32))
	gate := func(wide float64) *schema.Feature {
		return thing(schema.RoleEdge, "Gate", track(10, -0.5, 10+wide, -0.5), "edge_kind", "gate")
	}
	road := func(y0, y1 float64) *schema.Feature {
		return thing(schema.RoleHazard, "Road", box(0, y0, 40, y1), "hazard_kind", "road")
	}
	slabs := func(wide, y0, y1 float64) *schema.Feature {
		return thing(schema.RoleOther, "Slabs", box(10, y0, 10+wide, y1), "driven_over", true)
	}
	flush := func(x0, x1 float64) *schema.Feature {
		return thing(schema.RoleEdge, "Edge", track(x0, 0, x1, 25), "edge_kind", "flush")
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"from a gate to a garage", true, []*schema.Feature{lawn, garage, gate(3), slabs(3, -0.5, 25)}},
		{"as wide as a car needs", true, []*schema.Feature{lawn, garage, gate(2.5), slabs(2.5, -0.5, 25)}},
		{"a hair narrower", false, []*schema.Feature{lawn, garage, gate(2.5), slabs(2.49, -0.5, 25)}},
		{"through a gate a hair narrower", false, []*schema.Feature{lawn, garage, gate(2.49), slabs(2.5, -0.5, 25)}},
		{"a garden path", false, []*schema.Feature{lawn, garage, gate(3), slabs(1.2, -0.5, 25)}},
		{"a terrace at the house", false, []*schema.Feature{lawn, garage, gate(3), thing(schema.RoleOther, "Terrace", box(6, 20, 18, 25), "driven_over", true)}},
		{"that ends before the garage", true, []*schema.Feature{lawn, garage, gate(3), slabs(3, -0.5, 24.51)}},
		{"that ends a hair farther before it", false, []*schema.Feature{lawn, garage, gate(3), slabs(3, -0.5, 24.49)}},
		{"off the lawn", false, []*schema.Feature{thing(schema.RoleZone, "Lawn", box(20, 0, 40, 25)), garage, gate(3), slabs(3, -0.5, 25)}},
		{"off the lawn, a corridor across", true, []*schema.Feature{thing(schema.RoleZone, "Lawn", box(20, 0, 40, 25)), garage, gate(3), slabs(3, -0.5, 25), thing(schema.RoleCorridor, "Way", track(5, 10, 22, 10))}},
		{"from a road to a road", true, []*schema.Feature{lawn, road(-6, -0.5), slabs(3, -0.5, 25), road(26, 32)}},
		{"from a road to a lawn", false, []*schema.Feature{lawn, road(-6, -0.5), slabs(3, -0.5, 20)}},
		{"a gate in front of the road", false, []*schema.Feature{lawn, road(-6, -1), gate(3), slabs(3, -0.5, 20)}},
		{"between two edges", true, []*schema.Feature{lawn, garage, gate(3), flush(10, 10), flush(13, 13)}},
		{"between two edges drawn against each other", true, []*schema.Feature{lawn, garage, gate(3), flush(10, 10), thing(schema.RoleEdge, "Edge", track(13, 25, 13, 0), "edge_kind", "flush")}},
		{"between edges as near as those of a drive", true, []*schema.Feature{lawn, garage, gate(3), flush(10, 10), flush(12.5, 12.5)}},
		{"between the edges of a path", false, []*schema.Feature{lawn, garage, gate(3), flush(10, 10), flush(12.49, 12.49)}},
		{"between edges as far apart as those of a drive", true, []*schema.Feature{lawn, garage, gate(3), flush(9, 9), flush(15, 15)}},
		{"between edges of two things", false, []*schema.Feature{lawn, garage, gate(3), flush(9, 9), flush(15.01, 15.01)}},
	} {
		told(t, x.name, RuleOtherInZone, "where cars drive there", x.told, x.list...)
	}
	square := []float64{10, -0.5, 11.2, -0.5, 11.2, 15, 14, 15, 14, 25, 10, 25, 10, -0.5}
	told(t, "a path that widens before the garage", RuleOtherInZone, "where cars drive there", false, lawn, garage, gate(3), thing(schema.RoleOther, "Slabs", poly(square), "driven_over", true))
	told(t, "a drive of a line and its width", RuleOtherInZone, "where cars drive there", true, lawn, garage, gate(3), thing(schema.RoleOther, "Slabs", track(11.5, 0.5, 11.5, 24), "driven_over", true, "width_m", 3.0))
}
