// Tests of gates and corridors that are called after ways of others.

package validate

import (
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestNamedWays(t *testing.T) {
	line := func(role schema.Role, name string, x0, y0, x1, y1 float64, pairs ...any) *schema.Feature {
		return thing(role, name, geom.NewLineStringFlat(geom.XY, []float64{x0, y0, x1, y1}), pairs...)
	}
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	way := func(name string) *schema.Feature { return line(schema.RoleCorridor, name, 38, 10, 60, 10) }
	gate := func(name string, y float64) *schema.Feature {
		return line(schema.RoleEdge, name, 50, y, 50, y+2, "edge_kind", "gate")
	}
	railway := func(x float64) *schema.Feature {
		return thing(schema.RoleHazard, "Railway", box(x, -20, x+3, 30), "hazard_kind", "railway")
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		told     bool
	}{
		{"a gate of a railway", []*schema.Feature{way("Way"), gate("Railway gate", 9)}, true},
		{"that no machine drives through", []*schema.Feature{way("Way"), gate("Railway gate", 11)}, false},
		{"of a garden", []*schema.Feature{way("Way"), gate("Garden gate", 9)}, false},
		{"of a drive", []*schema.Feature{way("Way"), gate("Drive gate", 9)}, false},
		{"of a street", []*schema.Feature{way("Way"), gate("Street gate", 9)}, false},
		{"of a car park", []*schema.Feature{way("Way"), gate("Car park gate", 9)}, false},
		{"of engines", []*schema.Feature{way("Way"), gate("Feuerwehrtor", 9)}, true},
		{"with the railway drawn", []*schema.Feature{way("Way"), gate("Railway gate", 9), railway(59.99)}, false},
		{"drawn too far off", []*schema.Feature{way("Way"), gate("Railway gate", 9), railway(60.02)}, true},
		{"a fire lane", []*schema.Feature{way("Fire lane")}, true},
		{"a fire pit", []*schema.Feature{way("Fire pit way")}, false},
		{"a way to where cars stand", []*schema.Feature{way("Parking way")}, true},
		{"in two words", []*schema.Feature{way("Way to car park")}, true},
		{"in another language", []*schema.Feature{way("Weg zum Parkplatz")}, true},
		{"past it", []*schema.Feature{way("Way past the car park")}, false},
		{"in a park", []*schema.Feature{way("Park way")}, false},
		{"of a lawn by it", []*schema.Feature{way("Railway lawn to dock")}, false},
	} {
		told(t, x.name, RuleNameContradicts, "where others drive", x.told, append(x.features, lawn)...)
	}
	for _, x := range []struct {
		name string
		y    float64
		told bool
	}{
		{"Neighbour gate", 9, true}, {"Nachbartor", 9, false}, {"Paddock gate", 9, true}, {"Spielplatztor", 9, true}, {"Playground gate", 11, false}, {"Garden gate", 9, false}, {"Gate by the paddock", 9, false},
	} {
		told(t, x.name, RuleNameContradicts, "animals or children may be", x.told, way("Way"), gate(x.name, x.y), lawn)
	}
}
