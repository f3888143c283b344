// Tests of names that say which lawn a way leads to, which of two lies higher, on which
// side things lie, and after what a mark is called.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestWaysToLawns(t *testing.T) {
	name := func(id, name string) func(p *plot) {
		return func(p *plot) { p.get(id).name = name }
	}
	const says = "no lawn is called that"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"to one that is drawn", name("c1", "Dock to north lawn"), validate.Passed, ""},
		{"to none that is drawn", name("c1", "Dock to west lawn"), validate.Failed, says},
		{"to one a wall is called like", name("c1", "Dock to east lawn"), validate.Failed, says},
		{"to the one by its number", both(name("c1", "Dock to lawn 2"), name("z2", "Lawn 2")), validate.Passed, ""},
		{"to another by its number", both(name("c1", "Dock to lawn 3"), name("z2", "Lawn 2")), validate.Failed, says},
		{"in words written as one", both(name("c1", "Weg zur Südwiese"), name("z2", "Wiese Süd")), validate.Passed, ""},
		{"to none, in words written as one", both(name("c1", "Weg zur Westwiese"), name("z2", "Südwiese")), validate.Failed, says},
		{"to the lawn", name("c1", "Dock to the lawn"), validate.Passed, ""},
		{"to the large lawn", name("c1", "Dock to the large lawn"), validate.Passed, ""},
		{"to one that is off", both(name("c1", "Dock to west lawn"), func(p *plot) {
			areaOf(p, "z9", "zone", flatGround, rect(-8, -20, -4, -10)).set("active", schema.Bool(false)).name = "West lawn"
		}), validate.Passed, ""},
		{"to one that has no name", both(name("c1", "Dock to west lawn"), name("z2", "")), validate.Passed, ""},
		{"to the dock", name("c1", "West way to dock"), validate.Passed, ""},
	})
}

func TestUpperAndLower(t *testing.T) {
	named := func(one, two string, up float64) func(p *plot) {
		return func(p *plot) {
			p.get("z1").name, p.get("z2").name = one, two
			p.get("z2").z = func(orb.Point) float64 { return plotH + up }
		}
	}
	const says = "is called the upper of the two"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"the upper above", named("Lower lawn", "Upper lawn", 0.5), validate.Passed, ""},
		{"the upper as much below as surveys differ", named("Upper lawn", "Lower lawn", 0.1), validate.Passed, ""},
		{"the upper a hair more below", named("Upper lawn", "Lower lawn", 0.102), validate.Failed, says},
		{"the other way about", named("Lower lawn", "Upper lawn", -0.102), validate.Failed, says},
		{"in German", named("Obere Wiese", "Untere Wiese", 0.3), validate.Failed, says},
		{"of other things", named("Upper lawn", "Lower court", 0.3), validate.Passed, ""},
		{"without heights", both(named("Upper lawn", "Lower lawn", 0.3), func(p *plot) { p.get("z1").z = nil }), validate.Passed, ""},
	})
	// One that reaches from below the other to above it lies on both sides.
	judgeWords(t, validate.RuleNameContradicts, []wordCase{{"reaching over it", both(named("Upper lawn", "Lower lawn", 0.3), func(p *plot) {
		p.get("z1").z = func(q orb.Point) float64 { return plotH + q[0]/50 }
	}), validate.Passed, ""}})
}

// TestQuartersMirrored: the driven ground of the park reaches from 0 to 30 and from -30 to 20.
func TestQuartersMirrored(t *testing.T) {
	thing := func(id, name string, x, y float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: id, role: "mark", name: name, point: &orb.Point{x, y}, z: flatGround})
		}
	}
	plain := func(p *plot) {
		p.get("z1").name, p.get("z2").name, p.get("e1").name = "Lawn A", "Lawn B", "Long wall"
	}
	const says = "is the drawing turned or mirrored"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"both on the other side", both(plain, thing("m8", "North post", 5, -35), thing("m9", "South stake", 5, 35)), validate.Failed, says},
		{"one alone", both(plain, thing("m8", "North post", 5, -35)), validate.Passed, ""},
		{"one on its own side", both(plain, thing("m8", "North post", 5, -35), thing("m9", "North stake", 5, 35)), validate.Passed, ""},
		{"one of each axis", both(plain, thing("m8", "North post", 5, -35), thing("m9", "West stake", 40, 0)), validate.Failed, says},
		{"one of each axis, another right", both(plain, thing("m8", "North post", 5, -35), thing("m9", "West stake", 40, 0), thing("m7", "East nail", 45, 0)), validate.Passed, ""},
		{"two of one axis, the other right", both(plain, thing("m8", "West post", 40, 5), thing("m9", "East stake", -5, 5), thing("m7", "North nail", 5, 35)), validate.Failed, says},
		// A metre beyond the middle, 15.
		{"a hair too little beyond the middle", both(plain, thing("m8", "West post", 15.99, 35), thing("m9", "East stake", 14.01, 35)), validate.Passed, ""},
		{"a hair more", both(plain, thing("m8", "West post", 16.01, 35), thing("m9", "East stake", 13.99, 35)), validate.Failed, says},
	})
}

func TestMarksOfEndsAndEdges(t *testing.T) {
	mark := func(name string, x, y float64) func(p *plot) {
		return func(p *plot) {
			p.get("g1").name = "House"
			p.add(&thing{id: "m9", role: "mark", name: name, point: &orb.Point{x, y}, z: flatGround})
		}
	}
	road := func(p *plot) {
		areaOf(p, "h9", "hazard", flatGround, rect(-10, 42, 80, 48)).set("hazard_kind", schema.String("road"))
	}
	stream := func(p *plot) {
		p.add(&thing{id: "h9", role: "hazard", name: "Stream", line: []orb.Point{{70, 20}, {70, 30}}, z: flatGround}).set("hazard_kind", schema.String("stream")).set("width_m", schema.Int(2))
	}
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a house's corner by its quarter", mark("House corner NW", 57.5, 12), validate.Failed, "from a corner or end of"},
		{"a house's corner by its quarter, on it", mark("House corner NW", 60, 12), validate.Passed, ""},
		{"a house's corner by its quarter in a word", mark("House corner north", 57.5, 12), validate.Failed, "from a corner or end of"},
		{"a wall's end", mark("Wall end", -0.31, 20.5), validate.Failed, "from a corner or end of edge"},
		{"a wall's end, on it", mark("Wall end", -0.29, 20.5), validate.Passed, ""},
		{"a fence's end, where no fence is", mark("Fence end", -0.31, 20.5), validate.Passed, ""},
		{"a wall's corner", mark("Wall corner", 31, 20.5), validate.Failed, "from a corner or end of edge"},
		{"a boundary stone on the line", mark("Grenzstein 7", -9.71, -5), validate.Passed, ""},
		{"a boundary stone a hair off it", mark("Grenzstein 7", -9.69, -5), validate.Failed, "from the line of boundary"},
		{"in two words", mark("Boundary pin 3", -7, -5), validate.Failed, "from the line of boundary"},
		{"another's", mark("Grenzstein 7", -3.99, -5), validate.Passed, ""},
		{"at the dock", mark("Dock", 36, 10.29), validate.Passed, ""},
		{"beside it", mark("Dock", 36, 14), validate.Failed, "from dock"},
		{"of something at it", mark("Dock nail", 36, 14), validate.Passed, ""},
		{"a lawn's edge", mark("Lawn edge", 30.31, 4), validate.Failed, "from the outline of zone"},
		{"a lawn's edge, on it", mark("Lawn edge", 30.29, 4), validate.Passed, ""},
		{"a road's edge", both(road, mark("Road edge 1", 20, 41.69)), validate.Failed, "from the outline of hazard"},
		{"a road's edge, on it", both(road, mark("Road edge 1", 20, 41.71)), validate.Passed, ""},
		{"a stream's edge beside its middle", both(stream, mark("Stream edge", 71.29, 25)), validate.Passed, ""},
		{"a stream's edge in its middle", both(stream, mark("Stream edge", 70.69, 25)), validate.Failed, "from the outline of hazard"},
	})
}

func TestPlansOfAPart(t *testing.T) {
	for name, told := range map[string]bool{"Lindenhof garden": false, "Lindenhof garden (lawns only)": true, "Lindenhof, nur Rasen": true, "Lindenhof garden test": true, "Lindenhof garden copy 2": true, "Test garden Lindenhof": false} {
		p := park().plan(t)
		p.Name = name
		if o := validate.Check(p, schema.DefaultLimits()).Outcome(validate.RuleWordsUnread); (o.Outcome == validate.Failed) != told {
			t.Errorf("%s: %s", name, o.Outcome)
		}
	}
	area := func(name string) func(p *plot) {
		return func(p *plot) { p.get("z2").name = name }
	}
	// The south lawn is 30 by 20 m, less nothing; heading_deg is none of its sizes.
	judgeWords(t, validate.RuleWordsUnread, []wordCase{
		{"an area that is drawn", area("South lawn 600 m2"), validate.Passed, ""},
		{"another", both(area("South lawn 90 m2"), withProps("z2", "heading_deg", 90.0)), validate.Failed, "90 m2"},
		{"within a twentieth", area("South lawn 631 m2"), validate.Passed, ""},
		{"past it", area("South lawn 632 m2"), validate.Failed, "632 m2"},
	})
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"an export's area", withProps("z2", "Shape_Area", 600.0), validate.Passed, ""},
		{"another area", withProps("z2", "Shape_Area", 1200.0), validate.Failed, "Shape_Area"},
		{"an export's length of outline", withProps("z2", "Shape_Length", 100.0), validate.Passed, ""},
		{"another length", withProps("z2", "Shape_Length", 400.0), validate.Failed, "Shape_Length"},
	})
}
