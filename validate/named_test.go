// Tests of names that say what role and kind do not, of keep-outs in zones that
// are off, and of areas and sizes drawn in millimetres.

package validate

import (
	"slices"
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestNameContradicts(t *testing.T) {
	lawn := thing(schema.RoleZone, "Long lawn", box(0, 0, 40, 25))
	pond := func(role schema.Role, name string, pairs ...any) *schema.Feature {
		return thing(role, name, box(5, 5, 8, 8), pairs...)
	}
	line := func(role schema.Role, name string, x float64, pairs ...any) *schema.Feature {
		return thing(role, name, geom.NewLineStringFlat(geom.XY, []float64{x, -5, x, 30}), pairs...)
	}
	off := func(f *schema.Feature) *schema.Feature {
		f.Attributes.Set(schema.PropActive, schema.Bool(false))
		return f
	}
	way := func(x float64) *schema.Feature { return line(schema.RoleCorridor, "Way", x) }
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		want     Severity // "" for nothing told
	}{
		{"a pond drawn as other", []*schema.Feature{pond(schema.RoleOther, "Teich")}, Warning},
		{"said in a property", []*schema.Feature{pond(schema.RoleOther, "Thing 7", "natural", "water")}, Warning},
		{"said in a note alone", []*schema.Feature{pond(schema.RoleOther, "Thing 7", "note", "by the water")}, ""},
		{"a road across", []*schema.Feature{line(schema.RoleOther, "Access road", 20)}, Warning},
		{"a road along the edge", []*schema.Feature{line(schema.RoleOther, "Access road", 40)}, Warning},
		{"a road a hair inside", []*schema.Feature{line(schema.RoleOther, "Access road", 39.998)}, Warning},
		{"a road within its margin", []*schema.Feature{line(schema.RoleOther, "Access road", 40.297)}, Warning},
		{"a road outside", []*schema.Feature{line(schema.RoleOther, "Access road", 40.301)}, ""},
		{"the line of a bank 1 m past its margin", []*schema.Feature{line(schema.RoleOther, "Bank", 41.297)}, Note},
		{"a hair more", []*schema.Feature{line(schema.RoleOther, "Bank", 41.301)}, ""},
		{"its top", []*schema.Feature{line(schema.RoleOther, "Top of bank", 40.31)}, ""},
		{"its edge", []*schema.Feature{line(schema.RoleOther, "Böschungskante", 40.31)}, ""},
		{"its foot", []*schema.Feature{line(schema.RoleOther, "Böschungsunterkante", 41)}, Note},
		{"one as wide as it says", []*schema.Feature{line(schema.RoleOther, "Bank", 41, "width_m", 1.39)}, ""},
		{"one drawn as it is", []*schema.Feature{thing(schema.RoleOther, "Bank", box(40.31, 5, 42, 8))}, ""},
		{"a bench of that name", []*schema.Feature{thing(schema.RoleOther, "Bank", geom.NewLineStringFlat(geom.XY, []float64{40.5, 5, 40.5, 7.99}))}, ""},
		{"one longer than a bench", []*schema.Feature{thing(schema.RoleOther, "Bank", geom.NewLineStringFlat(geom.XY, []float64{40.5, 5, 40.5, 8.01}))}, Note},
		{"the line of a slope", []*schema.Feature{line(schema.RoleOther, "Hang", 41)}, Note},
		{"one that is driven over", []*schema.Feature{line(schema.RoleOther, "Slope 3 %", 41, "driven_over", true)}, ""},
		{"a ditch 0.5 m past its margin", []*schema.Feature{line(schema.RoleOther, "Ditch", 40.797)}, Note},
		{"a hair more of a ditch", []*schema.Feature{line(schema.RoleOther, "Ditch", 40.801)}, ""},
		{"a bank by a way", []*schema.Feature{way(50), line(schema.RoleOther, "Embankment", 51.597)}, Note},
		{"a hair farther off", []*schema.Feature{way(50), line(schema.RoleOther, "Embankment", 51.601)}, ""},
		{"a point called a pond", []*schema.Feature{thing(schema.RoleOther, "Pond", spot(49.99, 6))}, Note},
		{"one farther from what is driven", []*schema.Feature{thing(schema.RoleOther, "Pond", spot(50.01, 6))}, ""},
		{"one whose pond is drawn", []*schema.Feature{thing(schema.RoleOther, "Pond", spot(45, 6)), thing(schema.RoleHazard, "", box(43, 5, 47, 8), "hazard_kind", "pond")}, ""},
		{"a tap at a point", []*schema.Feature{thing(schema.RoleOther, "Tap", spot(45, 6))}, ""},
		{"a road as wide as that", []*schema.Feature{line(schema.RoleOther, "Access road", 43, "width_m", 5.41)}, Warning},
		{"a road not as wide", []*schema.Feature{line(schema.RoleOther, "Access road", 43, "width_m", 5.39)}, ""},
		{"a pond of a radius", []*schema.Feature{thing(schema.RoleOther, "Pond", spot(43, 6), "radius_m", 3.1)}, Warning},
		{"an outlet in a pond", []*schema.Feature{thing(schema.RoleOther, "Pond", box(50, 5, 55, 8)), thing(schema.RoleSupply, "s", spot(52, 6))}, Warning},
		{"an outlet beside it", []*schema.Feature{thing(schema.RoleOther, "Pond", box(50, 5, 55, 8)), thing(schema.RoleSupply, "s", spot(52, 8.01))}, ""},
		{"a pond outside", []*schema.Feature{thing(schema.RoleOther, "Pond", box(50, 5, 55, 8))}, ""},
		{"a pond a keep-out covers", []*schema.Feature{pond(schema.RoleOther, "Pond"), thing(schema.RoleKeepout, "k", box(4.69, 4.69, 8.31, 8.31))}, ""},
		{"a pond a keep-out covers tightly", []*schema.Feature{pond(schema.RoleOther, "Pond"), thing(schema.RoleKeepout, "k", box(4.9, 4.9, 8.1, 8.1))}, Warning},
		{"a pond a keep-out covers in part", []*schema.Feature{pond(schema.RoleOther, "Pond"), thing(schema.RoleKeepout, "k", box(4.9, 4.9, 7, 8.1))}, Warning},
		{"a text", []*schema.Feature{thing(schema.RoleOther, "Pond", spot(6, 6))}, Note},
		{"a mark at steps", []*schema.Feature{thing(schema.RoleMark, "Steps", spot(6, 6))}, Note},
		{"a mark on the edge", []*schema.Feature{thing(schema.RoleMark, "Steps", spot(0, 6))}, Note},
		{"a mark by the lawn", []*schema.Feature{thing(schema.RoleMark, "Steps", spot(-9.99, 6))}, Note},
		{"a mark far from it", []*schema.Feature{thing(schema.RoleMark, "Steps", spot(-10.01, 6))}, ""},
		{"a mark on the edge, steps drawn", []*schema.Feature{thing(schema.RoleMark, "Steps", spot(0, 6)), thing(schema.RoleHazard, "", box(-3, 6, -1, 8), "hazard_kind", "steps")}, ""},
		{"a sandpit", []*schema.Feature{pond(schema.RoleOther, "Sandkasten")}, Warning},
		{"an oak", []*schema.Feature{pond(schema.RoleOther, "Old oak")}, Warning},
		{"a pond that is off", []*schema.Feature{off(pond(schema.RoleKeepout, "Pond"))}, Warning},
		{"a tent that is off", []*schema.Feature{off(pond(schema.RoleKeepout, "Event tent"))}, ""},
		{"a pond that is off, beside", []*schema.Feature{off(thing(schema.RoleKeepout, "Pond", box(50, 5, 55, 8)))}, ""},
		{"a pond that is off, under another", []*schema.Feature{off(pond(schema.RoleKeepout, "Pond (old)")), thing(schema.RoleKeepout, "Pond", box(4.9, 4.9, 8.1, 8.1))}, ""},
		{"a stream across a way", []*schema.Feature{way(50), thing(schema.RoleOther, "Stream", box(45, 9, 55, 11))}, Warning},
		{"a pond whose name is wider", []*schema.Feature{thing(schema.RoleHazard, "Teich Ø 8 m", spot(60, 5), "hazard_kind", "pond", "radius_m", 3.7)}, Note},
		{"a pond as wide as its name", []*schema.Feature{thing(schema.RoleHazard, "Teich Ø 8 m", spot(60, 5), "hazard_kind", "pond", "radius_m", 3.81)}, ""},
		{"a road whose name is wider", []*schema.Feature{line(schema.RoleHazard, "Road 6 m wide", 60, "hazard_kind", "road", "width_m", 4.0)}, Note},
		{"a pond drawn as its outline", []*schema.Feature{thing(schema.RoleHazard, "Pond 9 m across", box(50, 5, 55, 8), "hazard_kind", "pond")}, ""},
		{"a hut by a way", []*schema.Feature{way(50), thing(schema.RoleOther, "Hut", box(50.298, 0, 55, 11))}, Warning},
		{"a hut beside a way", []*schema.Feature{way(50), thing(schema.RoleOther, "Hut", box(50.302, 0, 55, 11))}, ""},
		{"a mark that was moved", []*schema.Feature{thing(schema.RoleMark, "M1 (moved)", spot(50.1, 5))}, Note},
		{"a mark that was not measured", []*schema.Feature{thing(schema.RoleMark, "M1 approx", spot(50.1, 5))}, Note},
		{"a mark on what moved", []*schema.Feature{thing(schema.RoleMark, "M1 old oak", spot(50.1, 5))}, ""},
		{"a zone that is a carport", []*schema.Feature{thing(schema.RoleZone, "Carport", box(50, 5, 55, 8))}, Note},
		{"a zone at one", []*schema.Feature{thing(schema.RoleZone, "Lawn by the carport", box(50, 5, 55, 8))}, ""},
		{"a mark by a way", []*schema.Feature{way(50), thing(schema.RoleMark, "Wall corner", spot(50.1, 5))}, ""},
		{"a garage over the way into a dock", []*schema.Feature{thing(schema.RoleDock, "Dock", spot(60, 5), "heading_deg", 0.0), thing(schema.RoleOther, "Garage", box(59, 3.5, 61, 5.5))}, Warning},
		{"a garage beside it", []*schema.Feature{thing(schema.RoleDock, "Dock", spot(60, 5), "heading_deg", 0.0), thing(schema.RoleOther, "Garage", box(60.31, 3.5, 63, 5.5))}, ""},
		{"a pool house", []*schema.Feature{thing(schema.RoleBuilding, "Swimming pool", box(50, 5, 55, 8))}, Note},
		{"a neighbour's plot", []*schema.Feature{thing(schema.RoleBoundary, "Neighbour plot", box(-5, -5, 45, 30))}, Note},
		{"the property", []*schema.Feature{thing(schema.RoleBoundary, "Plot", box(-5, -5, 45, 30))}, ""},
		{"a zone that is a car park", []*schema.Feature{thing(schema.RoleZone, "Car park", box(50, 5, 55, 8))}, Note},
		{"a zone beside one", []*schema.Feature{thing(schema.RoleZone, "Car park verge", box(50, 5, 55, 8)), thing(schema.RoleHazard, "", box(50, 10, 55, 18), "hazard_kind", "car park")}, ""},
		{"a zone beside one, a road drawn", []*schema.Feature{thing(schema.RoleZone, "Car park verge", box(50, 5, 55, 8)), thing(schema.RoleHazard, "", box(50, 10, 55, 18), "hazard_kind", "road")}, Note},
		{"a flush edge at water", []*schema.Feature{line(schema.RoleEdge, "Pool edge", 50, "edge_kind", "flush")}, Note},
		{"a planned ramp", []*schema.Feature{line(schema.RoleEdge, "Ramp (planned)", 50, "edge_kind", "ramp")}, Note},
		{"a ha-ha", []*schema.Feature{pond(schema.RoleOther, "Ha-ha")}, Warning},
		{"said in its title", []*schema.Feature{pond(schema.RoleOther, "Thing 7", "title", "Pond")}, Warning},
		{"do not mow", []*schema.Feature{thing(schema.RoleZone, "Do not mow", box(50, 5, 55, 8))}, Warning},
		{"nicht mähen, off", []*schema.Feature{off(pond(schema.RoleKeepout, "NICHT MÄHEN!"))}, Warning},
		{"a fence called a pond", []*schema.Feature{line(schema.RoleEdge, "Pond", 50, "edge_kind", "fence")}, Note},
		{"a pond fence", []*schema.Feature{line(schema.RoleEdge, "Pond fence", 50, "edge_kind", "fence")}, Note},
		{"a pond fence, pond drawn", []*schema.Feature{line(schema.RoleEdge, "Pond fence", 50, "edge_kind", "fence"), thing(schema.RoleKeepout, "Pond", box(52, 5, 55, 8))}, ""},
		{"a ramp to come", []*schema.Feature{line(schema.RoleEdge, "Ramp, not built yet", 50, "edge_kind", "ramp")}, Note},
		{"a flush kerb", []*schema.Feature{line(schema.RoleEdge, "Kerb 15 cm", 50, "edge_kind", "flush")}, Note},
		{"not ours", []*schema.Feature{thing(schema.RoleBoundary, "Parcel 118 - not ours", box(-5, -5, 45, 30))}, Note},
		{"a game", []*schema.Feature{pond(schema.RoleOther, "Croquet court")}, ""},
		{"a bench by a pond", []*schema.Feature{thing(schema.RoleHazard, "Bench by the pond", box(50, 5, 55, 8), "hazard_kind", "bench")}, ""},
		{"a bench called a pond", []*schema.Feature{thing(schema.RoleHazard, "Koi pond", box(50, 5, 55, 8), "hazard_kind", "bench")}, Note},
		{"a road called a pond", []*schema.Feature{thing(schema.RoleHazard, "Koi pond", box(50, 5, 55, 8), "hazard_kind", "road")}, Note},
		{"a pond called a road", []*schema.Feature{thing(schema.RoleHazard, "Pond road", box(50, 5, 55, 8), "hazard_kind", "pond")}, ""},
		{"a gate that is locked", []*schema.Feature{line(schema.RoleEdge, "Gate, locked", 50, "edge_kind", "gate")}, Note},
		{"a flush wall", []*schema.Feature{line(schema.RoleEdge, "Retaining wall", 50, "edge_kind", "flush")}, Note},
		{"a wall", []*schema.Feature{line(schema.RoleEdge, "Retaining wall", 50, "edge_kind", "wall")}, ""},
		{"a ramp", []*schema.Feature{line(schema.RoleEdge, "Ramp", 50, "edge_kind", "ramp")}, ""},
		{"a stream that is off, across a way", []*schema.Feature{way(50), off(line(schema.RoleKeepout, "Stream", 50.29))}, Warning},
		{"one beside the way", []*schema.Feature{way(50), off(line(schema.RoleKeepout, "Stream", 50.31))}, ""},
		{"a pond that is off, round a way", []*schema.Feature{way(50), off(thing(schema.RoleKeepout, "No 7", box(45, -10, 55, 40), "hazard_kind", "pond"))}, Warning},
		{"a bench that is off, drawn as other", []*schema.Feature{off(pond(schema.RoleOther, "Bench"))}, Note},
		{"one under a keep-out", []*schema.Feature{off(pond(schema.RoleOther, "Bench")), thing(schema.RoleKeepout, "k", box(4.9, 4.9, 8.1, 8.1))}, ""},
		{"one beside the lawn", []*schema.Feature{off(thing(schema.RoleOther, "Bench", box(50, 5, 55, 8)))}, ""},
		{"a thing that is off and 0.06 m high", []*schema.Feature{off(pond(schema.RoleOther, "No 7", "height_m", 0.06))}, Note},
		{"one 0.05 m high", []*schema.Feature{off(pond(schema.RoleOther, "No 7", "height_m", 0.05))}, ""},
	} {
		got := only(Check(driftPlan(t, append([]*schema.Feature{lawn}, x.features...)...), schema.DefaultLimits()), RuleNameContradicts)
		if (len(got) == 1) != (x.want != "") || len(got) > 1 || x.want != "" && got[0].Severity != x.want {
			t.Errorf("%s: %v", x.name, got)
		}
	}
}

func TestKeepoutInAZoneThatIsOff(t *testing.T) {
	off := thing(schema.RoleZone, "Winter lawn", box(0, 0, 40, 25))
	off.Attributes.Set(schema.PropActive, schema.Bool(false))
	on := thing(schema.RoleZone, "Lawn", box(0, 30, 40, 60))
	for _, x := range []struct {
		name    string
		keepout geom.T
		told    int
	}{
		{"within", box(5, 5, 8, 8), 0},
		{"a centimetre out", box(-0.01, 5, 8, 8), 1},
		{"beside", box(50, 5, 55, 8), 1},
		{"in the one that is on", box(5, 35, 8, 38), 0},
	} {
		r := Check(driftPlan(t, off, on, thing(schema.RoleKeepout, "k", x.keepout)), schema.DefaultLimits())
		if got := only(r, RuleKeepoutOutsideZone); len(got) != x.told {
			t.Errorf("%s: %v", x.name, got)
		}
	}
}

func TestDrawnInMillimetres(t *testing.T) {
	for _, x := range []struct {
		size float64
		told int
	}{{0.003, 1}, {0.0399, 1}, {0.0401, 0}, {3, 0}} {
		for _, role := range []schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleBuilding} {
			r := Check(driftPlan(t, thing(role, "f", box(0, 0, x.size, x.size), "hazard_kind", "well")), schema.DefaultLimits())
			told := x.told
			if role == schema.RoleBuilding && x.size < leastBuildingM {
				told = 1
			}
			if got := only(r, RuleGeometryUnfit); len(got) != told {
				t.Errorf("%s %g: %v", role, x.size, got)
			}
		}
	}
	for _, x := range []struct {
		size float64
		told int
	}{{1e-9, 1}, {0, 1}, {0.0199, 1}, {0.0999, 1}, {0.1, 0}, {0.3, 0}} {
		f := thing(schema.RoleHazard, "f", spot(0, 0), "hazard_kind", "well", "radius_m", x.size)
		if got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RuleGeometryUnfit); len(got) != x.told {
			t.Errorf("radius %g: %v", x.size, got)
		}
	}
}

func TestNamesOfWhatIsDrawnBeside(t *testing.T) {
	for role, want := range map[schema.Role]Severity{
		schema.RoleZone: Warning, schema.RoleKeepout: Warning, schema.RoleMark: Warning, schema.RoleHazard: Note, schema.RoleBuilding: Note,
	} {
		var features []*schema.Feature
		for i := range 2 {
			g := box(float64(60*i), 0, float64(60*i+40), 25)
			if role == schema.RoleMark {
				g = spot(float64(60*i), 0)
			}
			features = append(features, thing(role, "North", g, "hazard_kind", "bench"))
		}
		got := only(Check(driftPlan(t, features...), schema.DefaultLimits()), RuleNameRepeated)
		if len(got) != 1 || got[0].Severity != want {
			t.Errorf("%s: %v", role, got)
		}
	}
}

// TestOffWhateverItsRole: what is switched off says by a property or by how it is
// drawn that it is a thing, whatever role it has; a hair either side of the lawn.
func TestOffWhateverItsRole(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	way := thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XY, []float64{50, -5, 50, 30}))
	area := func(x float64) geom.T { return box(x, 5, x+3, 8) }
	along := func(x float64) geom.T { return geom.NewLineStringFlat(geom.XY, []float64{x, 5, x, 8}) }
	for _, x := range []struct {
		name string
		f    *schema.Feature
		told string // the rule, "" for none
	}{
		{"a pond as a zone", thing(schema.RoleZone, "Area 7", area(20), "hazard_kind", "pond"), RuleSwitchUnfit},
		{"one beside the lawn, touching", thing(schema.RoleZone, "Area 7", area(40.001), "hazard_kind", "pond"), ""},
		{"one a hair inside", thing(schema.RoleZone, "Area 7", area(39.998), "hazard_kind", "pond"), RuleSwitchUnfit},
		{"one on the way", thing(schema.RoleZone, "Area 7", area(50.299), "hazard_kind", "pond"), RuleSwitchUnfit},
		{"one beside it", thing(schema.RoleZone, "Area 7", area(50.301), "hazard_kind", "pond"), ""},
		{"a lawn for winter", thing(schema.RoleZone, "Area 7", area(20)), ""},
		{"a zone called Pond", thing(schema.RoleZone, "Pond", area(20)), RuleNameContradicts},
		{"a zone called House", thing(schema.RoleZone, "House", area(20)), RuleNameContradicts},
		{"a zone called Pond lawn", thing(schema.RoleZone, "Pond lawn", area(20)), ""},
		{"a wall as a zone", thing(schema.RoleZone, "Line 7", along(20)), RuleSwitchUnfit},
		{"a wall as a corridor", thing(schema.RoleCorridor, "Line 7", along(20), "edge_kind", "wall"), RuleSwitchUnfit},
		{"a flush edge as a corridor", thing(schema.RoleCorridor, "Line 7", along(20), "edge_kind", "flush"), ""},
		{"a way for winter", thing(schema.RoleCorridor, "Line 7", along(20)), ""},
		{"a house as a corridor", thing(schema.RoleCorridor, "Area 7", area(20)), RuleSwitchUnfit},
		{"a tree as a mark", thing(schema.RoleMark, "M7", spot(20, 5), "hazard_kind", "tree"), RuleSwitchUnfit},
		{"a mark", thing(schema.RoleMark, "M7", spot(20, 5)), ""},
		{"a house as a mark", thing(schema.RoleMark, "M7", area(20)), RuleSwitchUnfit},
		{"a house as a dock", thing(schema.RoleDock, "D7", area(20)), RuleSwitchUnfit},
		{"a rock as a keep-out", thing(schema.RoleKeepout, "K7", area(20), "hazard_kind", "rock"), RuleSwitchUnfit},
		{"a pond as a keep-out", thing(schema.RoleKeepout, "K7", area(20), "hazard_kind", "pond"), RuleNameContradicts},
		{"a keep-out of a height, a hair more", thing(schema.RoleKeepout, "K7", area(20), "height_m", 0.051), RuleNameContradicts},
		{"a keep-out of a height, a hair less", thing(schema.RoleKeepout, "K7", area(20), "height_m", 0.049), ""},
		{"a keep-out", thing(schema.RoleKeepout, "K7", area(20)), ""},
		{"a keep-out that says water elsewhere", thing(schema.RoleKeepout, "K7", area(20), "natural", "water"), RuleSwitchUnfit},
		{"in a note", thing(schema.RoleKeepout, "K7", area(20), "note", "the pond lies behind it"), ""},
		{"a note of water there", thing(schema.RoleKeepout, "K7", area(20), "note", "deep water"), RuleNameContradicts},
		{"a note of water that was there", thing(schema.RoleKeepout, "K7", area(20), "note", "pond filled in 2020"), ""},
		{"a tent", thing(schema.RoleKeepout, "Tent", area(20)), ""},
		{"a tent that is a pond by its kind", thing(schema.RoleKeepout, "Tent", area(20), "hazard_kind", "pond"), RuleNameContradicts},
		{"a tent of the role other that is a pit by its kind", thing(schema.RoleOther, "Event", area(20), "hazard_kind", "pit"), RuleNameContradicts},
		{"a tent of a height, a hair more", thing(schema.RoleKeepout, "Tent", area(20), "height_m", -0.051), RuleNameContradicts},
		{"a tent of a height, a hair less", thing(schema.RoleKeepout, "Tent", area(20), "height_m", -0.049), ""},
		{"a tent with a note of a hole", thing(schema.RoleKeepout, "Event", area(20), "note", "open pit"), RuleNameContradicts},
		{"a tent with a note of where it stands", thing(schema.RoleKeepout, "Event", area(20), "note", "by the pond"), ""},
		{"a pool for a tent", thing(schema.RoleKeepout, "Tent pool", area(20)), RuleNameContradicts},
		{"a tent by the pool", thing(schema.RoleKeepout, "Tent by the pool", area(20)), ""},
		{"a street festival", thing(schema.RoleKeepout, "Street festival", area(20)), ""},
		{"a zone of a depth, a hair more", thing(schema.RoleZone, "Area 7", area(20), "depth_m", 0.051), RuleSwitchUnfit},
		{"a zone of a depth, a hair less", thing(schema.RoleZone, "Area 7", area(20), "depth_m", 0.049), ""},
		{"a wall as other", thing(schema.RoleOther, "Line 7", along(20), "edge_kind", "wall"), RuleSwitchUnfit},
		{"a gate as other", thing(schema.RoleOther, "Line 7", along(20), "edge_kind", "gate"), ""},
	} {
		x.f.Attributes.Set(schema.PropActive, schema.Bool(false))
		report := Check(driftPlan(t, lawn, way, x.f), schema.DefaultLimits())
		for _, rule := range []string{RuleSwitchUnfit, RuleNameContradicts} {
			got := slices.DeleteFunc(only(report, rule), func(y Finding) bool { // which is held by TestLawnsThatAreOff
				return strings.Contains(y.Message, "mown all the same")
			})
			if len(got) > 1 || (len(got) == 1) != (x.told == rule) {
				t.Errorf("%s: %s: %v", x.name, rule, got)
			}
		}
	}
}

// TestStandsThereSwitchedOff: a base, outlet or dock that is switched off stands
// where it stands.
func TestStandsThereSwitchedOff(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	way := thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XY, []float64{50, -5, 50, 30}))
	for _, x := range []struct {
		role schema.Role
		x    float64
		told bool
	}{
		{schema.RoleBase, 39.9, true}, {schema.RoleSupply, 39.9, true}, {schema.RoleDock, 39.9, false}, {schema.RoleSupply, 40.1, false}, {schema.RoleMark, 20, false},
		{schema.RoleBase, 50.29, true}, {schema.RoleSupply, 49.71, true}, {schema.RoleDock, 50.29, true}, {schema.RoleDock, 50.31, false},
	} {
		f := thing(x.role, "S", spot(x.x, 5))
		f.Attributes.Set(schema.PropActive, schema.Bool(false))
		if got := only(Check(driftPlan(t, lawn, way, f), schema.DefaultLimits()), RuleSwitchUnfit); (len(got) == 1) != x.told {
			t.Errorf("%s at %g: %v", x.role, x.x, got)
		}
	}
}
