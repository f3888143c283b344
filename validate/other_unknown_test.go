// Things of the role other beside driven ground of which nobody can tell what they are.

package validate

import (
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// TestOtherUnknownBeside: margins of 0.3 m, half a machine of 0.3 m, a disc of 0.6 m.
func TestOtherUnknownBeside(t *testing.T) {
	const says = "what it is cannot be told"
	other := func(name string, g geom.T, pairs ...any) *schema.Feature {
		return thing(schema.RoleOther, name, g, append(pairs, schema.PropRole, "other")...)
	}
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 20, 10))
	line := func(name string, off float64, pairs ...any) *schema.Feature {
		return other(name, track(0, -off, 20, -off), pairs...)
	}
	wide := schema.Object(schema.Attributes{{Key: "hazard_margin_water_m", Value: schema.Float(0.5)}})
	for _, x := range []struct {
		name string
		f    *schema.Feature
		told bool
	}{
		{"a word of another language", line("Rybník", 0.03), true},
		{"of another script", line("Пруд", 0.03), true},
		{"a hair nearer than a margin", line("Staw", 0.298), true},
		{"at the margin", line("Staw", 0.3), false},
		{"its own margin", line("Staw", 0.498, "limits", wide), true},
		{"at its own margin", line("Staw", 0.5, "limits", wide), false},
		{"a point with a radius", other("Studnia", spot(5, -0.79), "radius_m", 0.5), true},
		{"at the margin of that", other("Studnia", spot(5, -0.8), "radius_m", 0.5), false},
		{"an object with a number", line("Object 7", 0.1), true},
		{"a line with a number", line("Line 4", 0.1), true},
		{"a number of a road", line("A27", 0.1), true},
		{"half of a road farther off", line("B 27", 3.048), true},
		{"at that", line("B 27", 3.05), false},
		{"written as one", line("D917", 2), true},
		{"with a stroke", line("N-340", 2), true},
		{"as long as a piece of a road", other("A 4", track(0, -2, 10, -2)), true},
		{"shorter", other("A 4", track(0, -2, 9.99, -2)), false},
		{"an area by that name", other("K 12", box(0, -5, 20, -0.31)), false},
		{"a number alone", line("27", 2), false},
		{"other letters", line("Q 7", 2), false},
		{"a plant", other("P 12", spot(5, -2)), false},
		{"a path by that number", line("A 4", 2, "kind", "footpath"), false},
		{"a word of place", line("North", 0.1), true},
		{"an area", line("Area 2", 0.1), true},
		{"no name", line("", 0.1), true},
		{"steps without a lawn's word", line("Kellerabgang", 0.1), true},
		{"a tree", line("Tree 3", 0.1), true},
		{"a path", line("Path 2", 0.1), false},
		{"a path by the pond", line("Pond path", 0.1), false},
		{"written as one", line("Gartenweg Nord", 0.1), false},
		{"paving", line("Pflasterfläche", 0.1), false},
		{"a terrace", line("Terrasse", 0.1), false},
		{"a bed", line("Rosenbeet", 0.1), false},
		{"flower beds", line("Flower beds east", 0.1), false},
		{"a garden of the neighbour", line("Neighbour's garden", 0.1), false},
		{"the line of the property", line("Grundstücksgrenze", 0.1), false},
		{"a cable", line("Irrigation pipe", 0.1), false},
		{"a wood", line("Bois", 0.1), false},
		{"a number of the kind path", line("Q7", 0.1, "kind", "path"), false},
		{"a number on a layer of paths", line("7", 0.1, "layer", "PATHS"), false},
		{"a word of another language there", line("Rybník", 0.1, "layer", "PATHS"), true},
		{"a contour line", line("Contour 42", 0.1), false},
		{"that is driven over", line("Rybník", 0.1, "driven_over", true), false},
		{"a wall, which keeps its own strip", line("Wall", 0.2), false},
		{"water, which name-contradicts tells", line("Pond", 0.1), false},
		{"a text of a drawing", other("Rybník", spot(5, -0.1), "entity", "TEXT"), false},
	} {
		told(t, x.name, RuleOtherInZone, says, x.told, lawn, x.f)
	}
	told(t, "how near", RuleOtherInZone, "lies 0.10 m from mown ground", true, lawn, line("Staw", 0.1))
	told(t, "under a keep-out", RuleOtherInZone, says, false, lawn, line("Staw", 0.1), thing(schema.RoleKeepout, "Bed", box(-1, -1, 21, 0.21)))

	way := thing(schema.RoleCorridor, "Way", track(0, 0, 20, 0))
	told(t, "beside a way", RuleOtherInZone, says, true, way, line("Staw", 0.598))
	told(t, "at the margin beside a way", RuleOtherInZone, says, false, way, line("Staw", 0.6))
	told(t, "a path beside a way", RuleOtherInZone, says, false, way, line("Path", 0.31))

	dock := thing(schema.RoleDock, "Dock", spot(0, 0, 0), "heading_deg", 0.0, "standoff_m", 2.0) // from the south
	beside := func(name string, off float64) *schema.Feature { return other(name, track(off, -1.05, off, 1)) }
	told(t, "beside the way into a dock", RuleOtherInZone, says, true, dock, beside("Kiste", 0.598))
	told(t, "at the margin beside it", RuleOtherInZone, says, false, dock, beside("Kiste", 0.6))
	told(t, "at the disc", RuleOtherInZone, "the disc in which the machine turns", true, dock, other("Kiste", track(-3, -2.898, 3, -2.898)))
	told(t, "past the disc", RuleOtherInZone, says, false, dock, other("Kiste", track(-3, -2.9, 3, -2.9)))
	told(t, "water at the disc", RuleNameContradicts, "as if it were not", true, dock, other("Pond", track(-3, -2.898, 3, -2.898)))
	told(t, "water past the disc", RuleNameContradicts, "as if it were not", false, dock, other("Pond", track(-3, -2.9, 3, -2.9)))
}

// TestNumberedLines: lines that are numbered on are none of roads.
func TestNumberedLines(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 20, 10))
	line := func(name string, off float64) *schema.Feature {
		return thing(schema.RoleOther, name, track(0, -off, 20, -off), schema.PropRole, "other")
	}
	const says = "as roads are"
	told(t, "one", RuleOtherInZone, says, true, lawn, line("L 3", 2))
	told(t, "two roads", RuleOtherInZone, says, true, lawn, line("L 3", 2), line("L 115", 60))
	told(t, "the next of a list", RuleOtherInZone, says, false, lawn, line("L 3", 2), line("L 4", 60))
	told(t, "one of three", RuleOtherInZone, says, false, lawn, line("L 3", 2), line("L 11", 60), line("L 17", 70))
	told(t, "marks of other letters", RuleOtherInZone, says, true, lawn, line("L 3", 2), thing(schema.RoleMark, "M 4", spot(-20, 0)), thing(schema.RoleMark, "M 2", spot(-20, 5)))
}
