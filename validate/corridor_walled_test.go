// Corridors through what walls close round.

package validate

import (
	"testing"

	"swardline/schema"
)

// Corridors that lead in at one opening and out at another.
func TestWalledIn(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", track(-10, 0, 20, 0))
	gate := func(x float64) *schema.Feature {
		return thing(schema.RoleEdge, "Door", track(x, -1, x, 1), "edge_kind", "gate")
	}
	wall := func(name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", "wall")
	}
	ring := wall("Wall", 0, -4, 6, -4, 6, 4, 0, 4, 0, -4)
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a wall round", true, []*schema.Feature{ring}},
		{"three sides and a building", true, []*schema.Feature{wall("Wall", 0, 4, 0, -4, 6, -4, 6, 4), thing(schema.RoleBuilding, "House", box(-1, 4, 7, 8))}},
		{"three sides", false, []*schema.Feature{wall("Wall", 0, 4, 0, -4, 6, -4, 6, 4)}},
		{"two walls", false, []*schema.Feature{wall("Wall 1", 0, -40, 0, 40), wall("Wall 2", 6, -40, 6, 40)}},
		{"with a lawn in it", false, []*schema.Feature{ring, thing(schema.RoleZone, "Lawn", box(1, 1, 5, 3))}},
		{"with a yard that is driven over", false, []*schema.Feature{ring, thing(schema.RoleOther, "Yard", box(1, -3, 5, 3), "driven_over", true)}},
		{"with a yard that is not", true, []*schema.Feature{ring, thing(schema.RoleOther, "Yard", box(1, -3, 5, 3))}},
		{"49.9 m away at the ends", true, []*schema.Feature{wall("Wall", 0, -49.5, 6, -49.5, 6, 49.5, 0, 49.5, 0, -49.5)}},
		{"farther away at the ends", false, []*schema.Feature{wall("Wall", 0, -60, 6, -60, 6, 60, 0, 60, 0, -60)}},
	} {
		toldIn(t, x.name, RuleCorridorNarrow, "close round, in at", x.told, append([]*schema.Feature{way, gate(0), gate(6)}, x.list...)...)
	}
	fences := func(a, b string) []*schema.Feature {
		fence := func(name string, x float64) *schema.Feature {
			return thing(schema.RoleEdge, name, track(x, -40, x, 40), "edge_kind", "fence")
		}
		return []*schema.Feature{way, gate(0), gate(6), fence(a, 0), fence(b, 6)}
	}
	toldIn(t, "a railway", RuleCorridorNarrow, "with no zone between them", true, fences("Railway fence west", "Railway fence east")...)
	toldIn(t, "Pferdekoppel", RuleCorridorNarrow, "with no zone between them", true, fences("Pferdekoppel Zaun W", "Pferdekoppel Zaun O")...)
	toldIn(t, "one of two", RuleCorridorNarrow, "with no zone between them", false, fences("Railway fence", "Garden fence")...)
	toldIn(t, "a lawn at a pool", RuleCorridorNarrow, "with no zone between them", false, append(fences("Pool fence W", "Pool fence E"), thing(schema.RoleZone, "Lawn", box(1, -3, 5, 3)))...)
}

// Corridors through gates called after what is drawn nowhere.
func TestThroughGates(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", track(-10, 0, 20, 0))
	gate := func(name string) *schema.Feature {
		return thing(schema.RoleEdge, name, track(0, -1, 0, 1), "edge_kind", "gate")
	}
	const says = "lies beyond it cannot be told"
	for name, told := range map[string]bool{
		"Road gate": true, "Straßentor": true, "Car park gate": true, "Neighbour gate": true, "Tor Nachbar": true, "Pond gate": true, "Weidetor": true, "Nachbartor": true, "Teichtor": true, "School gate": true,
		"Garden gate": false, "Gate 2": false, "Gartentor": false, "Tor": false, "Main gate": false, "Side gate": false, "Gate to north lawn": false,
	} {
		toldIn(t, name, RuleCorridorNarrow, says, told, way, gate(name))
	}
	toldIn(t, "a gate that no corridor leads through", RuleCorridorNarrow, says, false, way, thing(schema.RoleEdge, "Road gate", track(0, 2, 0, 4), "edge_kind", "gate"))
	toldIn(t, "a fence", RuleCorridorNarrow, says, false, way, thing(schema.RoleEdge, "Road fence", track(0, 2, 0, 4), "edge_kind", "fence"))
	toldIn(t, "a road that is drawn", RuleCorridorNarrow, says, false, way, gate("Road gate"), thing(schema.RoleHazard, "Lane", box(30, -10, 36, 10), "hazard_kind", "road"))
	toldIn(t, "a water that is drawn", RuleCorridorNarrow, says, true, way, gate("Road gate"), thing(schema.RoleHazard, "Pond", box(30, -10, 36, 10), "hazard_kind", "water"))
	toldIn(t, "the neighbours' bed", RuleCorridorNarrow, says, false, way, gate("Neighbour gate"), thing(schema.RoleKeepout, "Neighbour bed", box(30, -10, 36, 10)))
}

func TestWalledHouses(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(1, -10, 5, 10))
	closed := func(name, kind string) *schema.Feature {
		return thing(schema.RoleEdge, name, track(0, -4, 6, -4, 6, 4, 0, 4, 0, -4), "edge_kind", kind)
	}
	for _, x := range []struct {
		f    *schema.Feature
		told bool
	}{
		{closed("Garage", "wall"), true},
		{closed("Scheune", "fence"), true},
		{closed("House wall", "wall"), true},
		{closed("House garden wall", "wall"), false},
		{closed("Garden", "wall"), false},
		{closed("Garage", "kerb"), false},
		{thing(schema.RoleEdge, "Garage", track(0, -4, 6, -4, 6, 4, 0, 4, 0, -3.69), "edge_kind", "wall"), false},
		{thing(schema.RoleEdge, "Garage", track(0, -4, 6, -4, 6, 4, 0, 4, 0, -3.71), "edge_kind", "wall"), true},
	} {
		toldIn(t, x.f.Name, RuleEdgeSetback, "closes round ground of", x.told, lawn, x.f)
	}
}
