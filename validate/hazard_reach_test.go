// Hazards whose danger reaches past their margin, masts under power lines, and outlets by
// water that people bathe in.

package validate

import (
	"strings"
	"testing"

	"swardline/schema"
)

func TestReachingHazards(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	track40 := func(role schema.Role, name string, off float64, pairs ...any) *schema.Feature {
		return thing(role, name, track(-50, -off, 90, -off), pairs...)
	}
	fence := func(x0, x1 float64, kind string) *schema.Feature {
		return thing(schema.RoleEdge, "Fence", track(x0, -1, x1, -1), "edge_kind", kind, "height_m", 1.2)
	}
	way := thing(schema.RoleCorridor, "Way", track(35, 10, 45, 10, 60, 10))
	const words = "with no wall or fence between"
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a railway", true, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 2.99, "hazard_kind", "railway")}},
		{"as far off as it has to be", false, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 3, "hazard_kind", "railway")}},
		{"with its width", true, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 4.99, "hazard_kind", "railway", "width_m", 4.0)}},
		{"as far off with its width", false, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 5, "hazard_kind", "railway", "width_m", 4.0)}},
		{"a road called a motorway", true, []*schema.Feature{track40(schema.RoleHazard, "Autobahn A7", 2, "hazard_kind", "road")}},
		{"a village street", false, []*schema.Feature{track40(schema.RoleHazard, "Village street", 2, "hazard_kind", "road")}},
		{"a runway", true, []*schema.Feature{track40(schema.RoleHazard, "Runway 09/27", 9.99, "hazard_kind", "runway")}},
		{"a runway as far off as it has to be", false, []*schema.Feature{track40(schema.RoleHazard, "Runway 09/27", 10, "hazard_kind", "runway")}},
		{"a fence between", false, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 2, "hazard_kind", "railway"), fence(-10, 50, "fence")}},
		{"a wall between", false, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 2, "hazard_kind", "railway"), fence(-10, 50, "wall")}},
		{"a kerb between", true, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 2, "hazard_kind", "railway"), fence(-10, 50, "kerb")}},
		{"a fence along a part of it", true, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 2, "hazard_kind", "railway"), fence(-10, 30, "fence")}},
		{"a gate in the fence", true, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 2, "hazard_kind", "railway"), fence(-10, 50, "fence"), thing(schema.RoleEdge, "Gate", track(10, -1, 14, -1), "edge_kind", "gate")}},
		{"a house between", false, []*schema.Feature{track40(schema.RoleHazard, "Line 4", 2, "hazard_kind", "railway"), thing(schema.RoleBuilding, "Station", box(-10, -1.5, 50, -0.5))}},
		{"only drawn", true, []*schema.Feature{track40(schema.RoleOther, "Bahngleis", 2)}},
		{"a kerb called so", true, []*schema.Feature{track40(schema.RoleEdge, "Tram", 2, "edge_kind", "kerb")}},
		{"only kept out", true, []*schema.Feature{thing(schema.RoleKeepout, "Railway", box(-10, -8, 50, -1))}},
		{"kept out about the hazard", false, []*schema.Feature{thing(schema.RoleKeepout, "Railway", box(-10, -8, 50, -1)), track40(schema.RoleHazard, "Line 4", 4, "hazard_kind", "railway")}},
		{"beside a corridor", true, []*schema.Feature{way, thing(schema.RoleHazard, "Pad", box(50, -5, 54, -0.29), "hazard_kind", "helipad")}},
		{"as far off the machine as it has to be", false, []*schema.Feature{way, thing(schema.RoleHazard, "Pad", box(50, -5, 54, -0.3), "hazard_kind", "helipad")}},
	} {
		told(t, x.name, RuleHazardUncovered, words, x.told, append(x.list, lawn)...)
	}
	const seat = "keep as far off as the seat reaches"
	swing := func(role schema.Role, off, deep float64) *schema.Feature {
		return thing(role, "Swing", box(10, -off-deep, 14, -off), "hazard_kind", "swing")
	}
	told(t, "a swing", RuleHazardUncovered, seat, true, lawn, swing(schema.RoleHazard, 1.99, 2))
	told(t, "as far off as it has to be", RuleHazardUncovered, seat, false, lawn, swing(schema.RoleHazard, 2, 2))
	told(t, "a fence between, over which it swings", RuleHazardUncovered, seat, true, lawn, swing(schema.RoleHazard, 1.5, 2), fence(-10, 50, "fence"))
	bed := func(half float64) *schema.Feature {
		return thing(schema.RoleKeepout, "Schaukel", box(20-half, 10-half, 20+half, 10+half))
	}
	told(t, "a keep-out that holds the seat's reach", RuleHazardUncovered, seat, false, lawn, bed(2.01))
	told(t, "a keep-out of the frame alone", RuleHazardUncovered, seat, true, lawn, bed(1.98))
}

func TestPowerLines(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	mast := thing(schema.RoleBase, "Mast", spot(60, 10), "antenna_height_m", 3.0)
	line := func(role schema.Role, name string, off float64, pairs ...any) *schema.Feature {
		return thing(role, name, track(60+off, -20, 60+off, 40), pairs...)
	}
	const words = "a power line in the air"
	told(t, "near", RuleBaseInZone, words, true, lawn, mast, line(schema.RoleOther, "Power line", 4.99))
	told(t, "as far off as it has to be", RuleBaseInZone, words, false, lawn, mast, line(schema.RoleOther, "Power line", 5))
	told(t, "a hazard by its kind", RuleBaseInZone, words, true, lawn, mast, line(schema.RoleHazard, "", 2, "hazard_kind", "overhead wire"))
	told(t, "by a property that names a kind", RuleBaseInZone, words, true, lawn, mast, line(schema.RoleOther, "L 4", 2, "type", "Freileitung"))
	for _, name := range strings.Split("Overhead cable,Freileitung 20 kV,High voltage line,Hochspannungsleitung,Ligne électrique,Stromleitung,Overhead wire,Tram wire,Catenary,Línea eléctrica,Linea elettrica,Hoogspanningslijn,Kraftledning", ",") {
		told(t, name, RuleBaseInZone, words, true, lawn, mast, line(schema.RoleOther, name, 2))
	}
	for _, name := range strings.Split("Boundary line,Underground power cable,Erdkabel Stromleitung,Contour line,Telephone cable,Electric cable", ",") {
		told(t, name, RuleBaseInZone, words, false, lawn, mast, line(schema.RoleOther, name, 2))
	}
	told(t, "one that says how deep it lies", RuleBaseInZone, words, false, lawn, mast, line(schema.RoleOther, "Power cable", 2, "depth_m", 0.6))
}

func TestBathingWater(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	outlet := thing(schema.RoleSupply, "Outlet", spot(60, 10))
	water := func(role schema.Role, name, kind string, off float64) *schema.Feature {
		return thing(role, name, box(60+off, 8, 64+off, 12), "hazard_kind", kind)
	}
	const words = "in which people bathe"
	told(t, "a pond", RuleBaseInZone, words, false, lawn, outlet, water(schema.RoleHazard, "Pond", "pond", 1))
	for _, kind := range strings.Split("hot tub,swimming pond,jacuzzi,spa,bathing lake,splash pad,Badeteich,lido,kneipp basin,water playground,uimaallas", ",") {
		told(t, kind, RuleBaseInZone, words, true, lawn, outlet, water(schema.RoleHazard, "Water", kind, 1.99))
		told(t, kind+" farther off", RuleBaseInZone, words, false, lawn, outlet, water(schema.RoleHazard, "Water", kind, 2))
	}
	told(t, "only kept out", RuleBaseInZone, words, true, lawn, outlet, thing(schema.RoleKeepout, "Swimming pond", box(61, 8, 65, 12)))
	told(t, "only drawn", RuleBaseInZone, words, true, lawn, outlet, thing(schema.RoleOther, "Splash pad", box(61, 8, 65, 12), "driven_over", true))
}

func TestSqueezedRoads(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	road := func(off float64, pairs ...any) *schema.Feature {
		return thing(schema.RoleHazard, "Village street", track(-50, -off, 90, -off), append([]any{"hazard_kind", "road"}, pairs...)...)
	}
	edge := func(kind string, off, x0, x1 float64) *schema.Feature {
		return thing(schema.RoleEdge, "Side", track(x0, -off, x1, -off), "edge_kind", kind, "height_m", 2.0)
	}
	const words = "it has to reach nearer than its line"
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a wall behind it", true, []*schema.Feature{road(0.4), edge("wall", 1.9, -50, 90)}},
		{"a fence", true, []*schema.Feature{road(0.4), edge("fence", 1.9, -50, 90)}},
		{"as near as no lane is wide", true, []*schema.Feature{road(0.4), edge("wall", 3.49, -50, 90)}},
		{"as far as one is", false, []*schema.Feature{road(0.4), edge("wall", 3.5, -50, 90)}},
		{"a house", true, []*schema.Feature{road(0.4), thing(schema.RoleBuilding, "House", box(10, -8, 20, -2))}},
		{"a house beside the lawn", false, []*schema.Feature{road(0.4), thing(schema.RoleBuilding, "House", box(60, -8, 70, -2))}},
		{"a wall on the lawn's side", false, []*schema.Feature{road(1.5), edge("wall", 0.5, -50, 90)}},
		{"of a width", false, []*schema.Feature{road(1.9, "width_m", 3.0), edge("wall", 3.4, -50, 90)}},
		{"for bicycles", false, []*schema.Feature{road(0.4, "note", ""), edge("wall", 1.9, -50, 90), thing(schema.RoleHazard, "Cycleway", track(-50, -0.4, 90, -0.4), "hazard_kind", "cycleway")}[1:]},
	} {
		toldIn(t, x.name, RuleHazardUncovered, words, x.told, append(x.list, lawn)...)
	}
}

func TestPoolGates(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	way := thing(schema.RoleCorridor, "Way", track(35, 10, 45, 10, 60, 10))
	gate := func(name string, y float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(50, y-1, 50, y+1), "edge_kind", "gate")
	}
	fence := func(name string) *schema.Feature {
		return thing(schema.RoleEdge, name, track(50, -10, 50, 30, 90, 30, 90, -10, 50, -10), "edge_kind", "fence", "height_m", 1.4)
	}
	pool := func(x float64) *schema.Feature {
		return thing(schema.RoleHazard, "Water", box(x, 5, x+5, 15), "hazard_kind", "pool")
	}
	const words = "has to shut by itself"
	told(t, "a pool fence", RuleHazardUncovered, words, true, lawn, way, gate("Gate", 10), fence("Pool fence"), pool(80))
	told(t, "in German", RuleHazardUncovered, words, true, lawn, way, gate("Tor", 10), fence("Badeteichzaun"), pool(80))
	told(t, "a fence round a pool", RuleHazardUncovered, words, true, lawn, way, gate("Gate", 10), fence("Fence"), pool(80))
	told(t, "a pool outside of it", RuleHazardUncovered, words, false, lawn, way, gate("Gate", 10), fence("Fence"), pool(100))
	told(t, "a pool gate", RuleHazardUncovered, words, true, lawn, way, gate("Pool gate", 10), fence("Fence"), pool(100))
	told(t, "a gate that no corridor goes through", RuleHazardUncovered, words, false, lawn, way, gate("Gate", 10), gate("Pool gate", 20), fence("Fence"), pool(100))
}

// TestLittleSkyOfCorridors: up to 3 % hidden from a corridor is not told.
func TestLittleSkyOfCorridors(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	way := thing(schema.RoleCorridor, "Way", track(35, 10, 45, 10, 60, 10))
	shed := func(high float64) *schema.Feature {
		return thing(schema.RoleBuilding, "Shed", box(50, 14, 56, 20), "height_m", high)
	}
	told(t, "a low shed", RuleSkyBlocked, "hides the sky", false, lawn, way, shed(2))
	told(t, "a high one", RuleSkyBlocked, "hides the sky", true, lawn, way, shed(8))
}
