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

// turns are the limits of a corridor whose machine turns within so many metres.
func turns(m float64) schema.Value {
	return schema.Object(schema.Attributes{{Key: "turn_radius_m", Value: schema.Float(m)}})
}

// What stands beside a sharp corner and is no hazard: of a mast or an outlet 0.3 m
// more than the disc of 0.6 m, of a dock half a parked machine.
func TestTurningRoomOfMasts(t *testing.T) {
	corner := func() *schema.Feature { return thing(schema.RoleCorridor, "Way", track(0, 0, 10, 0, 10, 10)) }
	lawn := func(x, y float64) *schema.Feature { return thing(schema.RoleZone, "Lawn", box(x, y, x+8, y+8)) }
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a mast a hair nearer than it may be", true, []*schema.Feature{corner(), thing(schema.RoleBase, "Base", spot(10.898, 0))}},
		{"a mast there", false, []*schema.Feature{corner(), thing(schema.RoleBase, "Base", spot(10.9, 0))}},
		{"an outlet a hair nearer", true, []*schema.Feature{corner(), thing(schema.RoleSupply, "Socket", spot(10.898, 0))}},
		{"an outlet there", false, []*schema.Feature{corner(), thing(schema.RoleSupply, "Socket", spot(10.9, 0))}},
		{"an outlet on the wall of a house", false, []*schema.Feature{corner(), thing(schema.RoleSupply, "Socket", spot(10.76, 0)), thing(schema.RoleBuilding, "House", box(10.78, -2, 14, 2))}},
		{"a post that is a mark", true, []*schema.Feature{corner(), thing(schema.RoleMark, "Post 3", spot(10.598, 0))}},
		{"a post there", false, []*schema.Feature{corner(), thing(schema.RoleMark, "Post 3", spot(10.6, 0))}},
		{"a mark that is none", false, []*schema.Feature{corner(), thing(schema.RoleMark, "M3", spot(10.4, 0))}},
		{"a dock of another way", true, []*schema.Feature{corner(), lawn(-5, -5), lawn(6, 7), thing(schema.RoleDock, "Dock", spot(10.898, 0), "heading_deg", 90.0)}},
		{"a dock there", false, []*schema.Feature{corner(), lawn(-5, -5), lawn(6, 7), thing(schema.RoleDock, "Dock", spot(10.9, 0), "heading_deg", 90.0)}},
		{"a mast beside a way that bends gently", false, []*schema.Feature{thing(schema.RoleCorridor, "Way", track(0, 0, 8, 0, 10, 1.2, 11, 3.5, 11, 10)), thing(schema.RoleBase, "Base", spot(10.5, 0.9))}},
		{"its own dock", false, []*schema.Feature{thing(schema.RoleCorridor, "Way", track(0, 0, 10, 0, 10, 0.3)), thing(schema.RoleDock, "Dock", spot(10, 0.8), "heading_deg", 0.0, "standoff_m", 0.5)}},
	} {
		told(t, x.name, RuleCorridorHairpin, "turns sharply", x.told, x.list...)
	}
	wide := thing(schema.RoleCorridor, "Way", track(0, 0, 10, 0, 10, 10), "limits", turns(1.2))
	told(t, "a mast at a corner of one that turns wider", RuleCorridorHairpin, "turns sharply", true, wide, thing(schema.RoleBase, "Base", spot(11.498, 0)))
	told(t, "and farther off", RuleCorridorHairpin, "turns sharply", false, wide, thing(schema.RoleBase, "Base", spot(11.5, 0)))
}

// A corridor that turns sharply inside the boundary, and one that bends along it.
func TestTurningAtTheBoundary(t *testing.T) {
	square := func(y float64, pairs ...any) *schema.Feature {
		return thing(schema.RoleCorridor, "Way", track(10, 20, 10, y, 20, y, 20, 20), pairs...)
	}
	gentle := thing(schema.RoleCorridor, "Way", track(10, 20, 10, 2.35, 11, 0.75, 13, 0.35, 20, 0.35, 22, 1, 23, 3, 23, 20))
	plot := func() *schema.Feature { return thing(schema.RoleBoundary, "Garden", box(0, 0, 40, 30)) }
	line := func() *schema.Feature { return thing(schema.RoleBoundary, "Garden", track(0, 0, 40, 0)) }
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a hair nearer than it turns", true, []*schema.Feature{plot(), square(0.598)}},
		{"as far as it turns", false, []*schema.Feature{plot(), square(0.6)}},
		{"a hair farther", false, []*schema.Feature{plot(), square(0.602)}},
		{"one that turns wider", true, []*schema.Feature{plot(), square(0.898, "limits", turns(0.9))}},
		{"one that turns wider, farther off", false, []*schema.Feature{plot(), square(0.9, "limits", turns(0.9))}},
		{"one that bends gently along it", false, []*schema.Feature{plot(), gentle}},
		{"between two parcels", false, []*schema.Feature{plot(), square(0.35), thing(schema.RoleBoundary, "Garden", box(0, -30, 40, 0))}},
		{"a hair nearer to an open line", true, []*schema.Feature{line(), square(0.598)}},
		{"so near that its sides alone clear it", true, []*schema.Feature{line(), square(0.302)}},
		{"as far as it turns from an open line", false, []*schema.Feature{line(), square(0.6)}},
		{"one that bends gently along an open line", false, []*schema.Feature{line(), gentle}},
	} {
		told(t, x.name, RuleBoundaryCrossed, "turns sharply", x.told, x.list...)
	}
}
