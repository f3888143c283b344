// Tests of names after places that are not drawn, by word and by role.

package validate

import (
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// TestPlacesByRole: one word of each kind in names of each role, with nothing drawn
// near, with it drawn a hair within what it is looked for, and a hair beyond.
func TestPlacesByRole(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	line := func(x float64) *geom.LineString {
		return geom.NewLineStringFlat(geom.XY, []float64{x, -5, x, 30})
	}
	hazard := func(kind string) func(x float64) *schema.Feature {
		return func(x float64) *schema.Feature {
			return thing(schema.RoleHazard, "", box(x, 5, x+3, 8), "hazard_kind", kind)
		}
	}
	drop := func(x float64) *schema.Feature {
		return thing(schema.RoleEdge, "", line(x), "edge_kind", "drop")
	}
	kept := func(x float64) *schema.Feature {
		return thing(schema.RoleKeepout, "Garden pond", box(x, 5, x+3, 8))
	}
	for _, x := range []struct {
		role   schema.Role
		names  string // of what is drawn up to 100 m east
		within float64
		draw   func(x float64) *schema.Feature
	}{
		{schema.RoleZone, "Pond lawn/Teichwiese/Lawn by the lake/Gazon bij de vijver/Well lawn", 30, hazard("pond")},
		{schema.RoleZone, "Pond lawn", 30, kept},
		{schema.RoleZone, "Brook meadow/River lawn/Bachwiese/Prado del río/Ditch meadow", 30, hazard("stream")},
		{schema.RoleZone, "Bank lawn/Cliff lawn/Klippenwiese am Abhang", 30, drop},
		{schema.RoleZone, "Road verge/Straßenwiese/Street lawn", 30, hazard("road")},
		{schema.RoleZone, "Railway lawn", 30, hazard("railway")},
		{schema.RoleZone, "Parking lawn/Car park lawn/Parkplatzwiese", 30, hazard("parking")},
		{schema.RoleZone, "Bridge lawn/Wall top lawn/Roof lawn", 10, drop},
		{schema.RoleCorridor, "Lane to the lawn/Drive to the lawn/Driveway to the lawn/Avenue to the lawn/Road corridor", 10, hazard("road")},
		{schema.RoleCorridor, "Ditch to the lawn/Pond corridor/Bachweg", 10, hazard("stream")},
		{schema.RoleCorridor, "Along the road", 30, hazard("road")},
		{schema.RoleDock, "Pond dock/Dock by the pond", 30, hazard("pond")},
		{schema.RoleDock, "Bridge dock", 10, hazard("stream")},
		{schema.RoleSupply, "Pond socket/Teichsteckdose", 30, hazard("pond")},
		{schema.RoleBase, "Pond mast/Mast by the pond", 30, hazard("pond")},
		{schema.RoleBoundary, "River boundary", 10, hazard("river")},
		{schema.RoleEdge, "Pool wall/Canal fence/Teichzaun", 10, hazard("canal")},
	} {
		for name := range strings.SplitSeq(x.names, "/") {
			kind := "wall"
			f := thing(x.role, name, box(90, 5, 100, 8))
			switch x.role {
			case schema.RoleCorridor, schema.RoleEdge:
				f = thing(x.role, name, line(100), "edge_kind", kind)
				if x.role == schema.RoleCorridor {
					f.Attributes.Delete("edge_kind")
				}
			case schema.RoleDock, schema.RoleSupply, schema.RoleBase:
				f.Geometry = spot(100, 6)
			}
			draw := x.draw
			if name == "Pool wall" || name == "Teichzaun" {
				draw = hazard("pond")
			}
			if name == "Pond corridor" {
				draw = kept
			}
			const says = "is drawn within"
			told(t, string(x.role)+" "+name, RuleNameContradicts, says, true, lawn, f)
			told(t, string(x.role)+" "+name+", drawn", RuleNameContradicts, says, false, lawn, f, draw(100+x.within-0.005))
			told(t, string(x.role)+" "+name+", drawn too far off", RuleNameContradicts, says, true, lawn, f, draw(100+x.within+0.005))
		}
	}
}

// TestPlacesOfAnotherSort: a pond is no brook, a road no railway and none to park on;
// what is drawn under the word itself is it.
func TestPlacesOfAnotherSort(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	other := func(name, kind string) *schema.Feature {
		return thing(schema.RoleHazard, name, box(105, 5, 108, 8), "hazard_kind", kind)
	}
	for _, x := range []struct {
		name  string
		drawn *schema.Feature
		told  bool
	}{
		{"Brook meadow", other("", "pond"), true}, {"Brook meadow", other("Old brook", "water"), false}, {"Brook meadow", other("", "river"), false}, {"Pond lawn", other("", "stream"), false},
		{"Railway lawn", other("", "road"), true}, {"Railway lawn", other("Railway", "road"), false}, {"Parking lawn", other("", "road"), true}, {"Parking lawn", other("Car park", "road"), false},
		{"Street lawn", other("", "pond"), true}, {"Pond lawn", other("", "thingummy"), false},
		{"Drive lawn", other("", "bench"), false}, {"Spring lawn", other("", "bench"), false}, {"Terrace lawn", other("", "bench"), false}, {"Not by the pond", other("", "bench"), true}, {"No pond lawn", other("", "bench"), false},
		{"Deck lawn", thing(schema.RoleOther, "Deck", box(125, 5, 128, 8)), false}, {"Deck lawn", other("", "bench"), true},
	} {
		told(t, x.name, RuleNameContradicts, "is drawn within", x.told, lawn, thing(schema.RoleZone, x.name, box(90, 5, 100, 8)), x.drawn)
	}
}

// TestDocksInBuildings: docks called after a building, and boundaries after a road.
func TestDocksInBuildings(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	house := func(name string, x float64) *schema.Feature {
		return thing(schema.RoleBuilding, name, box(x, 5, x+3, 8))
	}
	for _, x := range []struct {
		name  string
		drawn *schema.Feature
		told  bool
	}{
		{"Garage dock", house("House", 102.995), false}, {"Garage dock", house("House", 103.005), true}, {"Dock in the garage", house("Garage", 129.995), false}, {"Garage dock", house("Garage", 130.005), true},
		{"Carport dock", house("", 110), true}, {"Robot garage", house("", 110), false}, {"House dock", house("", 110), false}, {"Gewächshaus Ladestation", house("", 110), true},
	} {
		told(t, x.name, RuleNameContradicts, "is drawn within", x.told, lawn, thing(schema.RoleDock, x.name, spot(100, 6)), x.drawn)
	}
	for name, want := range map[string]bool{"Street parcel": true, "Straßenflurstück": true, "Road plot 7": true, "Railway parcel": true, "Street side": false, "Parcel by the street": false, "Plot 7": false} {
		told(t, name, RuleNameContradicts, "the limit of the property itself", want, lawn, thing(schema.RoleBoundary, name, box(-5, -5, 45, 30)), thing(schema.RoleHazard, "", box(46, -5, 49, 30), "hazard_kind", "road"))
	}
}
