// Room to turn at the corners of corridors.

package validate

import (
	"math"
	"testing"

	"swardline/schema"
)

// What lies in the disc that a machine takes at a sharp corner of a corridor: of
// 0.6 m, and of water 0.3 m more.
func TestTurningRoom(t *testing.T) {
	corner := thing(schema.RoleCorridor, "Way", track(0, 0, 10, 0, 10, 10))
	turned := func(deg float64) *schema.Feature {
		s, c := math.Sincos(deg * math.Pi / 180)
		return thing(schema.RoleCorridor, "Way", track(0, 0, 10, 0, 10+10*c, 10*s))
	}
	hazard := func(kind string, off float64) *schema.Feature {
		return thing(schema.RoleHazard, "Thing", box(10+off, -2, 14, 2), "hazard_kind", kind)
	}
	edge := func(kind string, off float64) *schema.Feature {
		return thing(schema.RoleEdge, "Edge", track(10+off, -2, 10+off, 2), "edge_kind", kind)
	}
	for _, x := range []struct {
		name string
		f    *schema.Feature
		way  *schema.Feature
		told bool
	}{
		{"a pond a hair nearer than the disc and its margin", hazard("pond", 0.898), corner, true},
		{"a pond there", hazard("pond", 0.9), corner, false},
		{"a bench a hair nearer than the disc", hazard("bench", 0.598), corner, true},
		{"a bench there", hazard("bench", 0.6), corner, false},
		{"a wall", edge("wall", 0.598), corner, true},
		{"a wall there", edge("wall", 0.6), corner, false},
		{"a drop", edge("drop", 0.898), corner, true},
		{"a flush edge", edge("flush", 0.4), corner, false},
		{"a building", thing(schema.RoleBuilding, "House", box(10.5, -2, 14, 2)), corner, true},
		{"a keep-out", thing(schema.RoleKeepout, "K", box(10.5, -2, 14, 2)), corner, true},
		{"a wall of the role other", thing(schema.RoleOther, "Wall", track(10.5, -2, 10.5, 2)), corner, true},
		{"a bed of the role other", thing(schema.RoleOther, "Bed", track(10.5, -2, 10.5, 2)), corner, false},
		{"a turn of 60 degrees", hazard("bench", 0.4), turned(59.9), false},
		{"a hair more", hazard("bench", 0.4), turned(60.1), true},
		{"two corners within the radius", hazard("bench", 0.5), thing(schema.RoleCorridor, "Way", track(0, 0, 9.6, 0, 10, 0.4, 10, 10)), true},
		{"two corners farther apart", hazard("bench", 0.5), thing(schema.RoleCorridor, "Way", track(0, 0, 9.5, 0, 10, 0.5, 10, 10)), false},
		{"a straight way walked", hazard("bench", 0.4), thing(schema.RoleCorridor, "Way", track(9.95, -9, 10, 0, 9.98, 0.02, 10, 0.05, 10, 10)), false},
	} {
		told(t, x.name, RuleCorridorHairpin, "turns sharply", x.told, x.way, x.f)
	}
}
