// Tests of names that say where things lie.

package validate_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestCompassNamed(t *testing.T) {
	// z1 lies north of z2.
	named := func(north, south string) func(p *plot) {
		return func(p *plot) { p.get("z1").name, p.get("z2").name = north, south }
	}
	const wrong, farthest = "on the wrong side of", "past the middle of all lawns on the other side, and none farther"
	south := func(y float64) func(p *plot) {
		return func(p *plot) { p.get("z2").rings = [][]orb.Point{rect(0, y, 30, -10)} }
	}
	reach := func(y float64) func(p *plot) {
		return func(p *plot) { p.get("z2").rings = [][]orb.Point{rect(0, -30, 30, y)} }
	}
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"as they lie", named("North lawn", "South lawn"), validate.Passed, ""},
		{"the other way about", named("South lawn", "North lawn"), validate.Failed, wrong},
		{"in words written as one", named("Südwiese", "Nordwiese"), validate.Failed, wrong},
		{"as they lie, as one", named("Nordwiese", "Südwiese"), validate.Passed, ""},
		{"of other things", named("South lawn", "North court lawn"), validate.Failed, farthest},
		{"one alone, as it lies", named("North lawn", "Long lawn"), validate.Passed, ""},
		{"one alone", named("South lawn", "Long lawn"), validate.Failed, farthest},
		{"one of two of its side", named("North lawn", "North strip"), validate.Passed, ""},
		{"one alone, past the middle by a hair more than 1 m", both(named("South lawn", "Long lawn"), south(-22.01)), validate.Failed, farthest},
		{"by a hair less", both(named("South lawn", "Long lawn"), south(-21.99)), validate.Passed, ""},
		{"south of a house", both(named("South lawn", "Long lawn"), func(p *plot) { p.get("g1").rings = [][]orb.Point{rect(0, 25, 6, 30)} }), validate.Passed, ""},
		{"one that overlaps the others", both(named("South lawn", "Long lawn"), reach(0.5)), validate.Passed, ""},
		{"two quarters", named("South east lawn", "North east lawn"), validate.Passed, ""},
		{"in the same row", func(p *plot) {
			p.get("z1").name, p.get("z2").name = "West lawn", "East lawn"
		}, validate.Passed, ""},
	})
	// Beside one another: the middle of the one east of the other by so much.
	for _, x := range []struct {
		off  float64
		want bool
	}{{0.99, false}, {1.01, true}, {-5, false}} {
		p := park()
		p.add(&thing{id: "k7", role: "keepout", name: "West bed", rings: [][]orb.Point{rect(10+x.off, -20, 12+x.off, -18)}, z: flatGround})
		p.add(&thing{id: "k8", role: "keepout", name: "East bed", rings: [][]orb.Point{rect(10, -24, 12, -22)}, z: flatGround})
		got := strings.Contains(findingOf(validate.Check(p.plan(t), schema.DefaultLimits()), validate.RuleNameContradicts).Message, wrong)
		if got != x.want {
			t.Errorf("%v m: %v", x.off, got)
		}
	}
}

// TestMarksQuartered: lawns and boundary reach from -10, -40 to 80, 40; their middle is
// 35, 0, and a quarter of them 22.5 m and 20 m.
func TestMarksQuartered(t *testing.T) {
	mark := func(name string, x, y float64) func(p *plot) {
		return func(p *plot) { placedOn(p, "mark", name, pointAt(x, y)) }
	}
	const wrong = "past the middle of the site on the other side"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"in its quarter", mark("NE", 60, 30), validate.Passed, ""},
		{"in the other one", mark("NE", -3, -33), validate.Failed, wrong},
		{"a hair more than a quarter south", mark("NE", 60, -20.01), validate.Failed, wrong},
		{"a hair less", mark("NE", 60, -19.99), validate.Passed, ""},
		{"a hair more than a quarter west", mark("NE", 12.49, 30), validate.Failed, wrong},
		{"a hair less west", mark("NE", 12.51, 30), validate.Passed, ""},
		{"in words", mark("North-east corner", -3, -33), validate.Failed, wrong},
		{"in another language", mark("Pflock Nordost", -3, -33), validate.Failed, wrong},
		{"with a number", mark("M-SW 2", 60, 30), validate.Failed, wrong},
		{"an upper one", mark("Upper north-east peg", -3, -33), validate.Failed, wrong},
		{"an upper one as it lies", mark("Upper north-east peg", 60, 30), validate.Passed, ""},
		{"upper alone", mark("Upper peg", -3, -33), validate.Passed, ""},
		{"one axis", mark("North peg", 60, -33), validate.Failed, wrong},
		{"one axis, as it lies", mark("North peg", -3, 33), validate.Passed, ""},
		{"east or west", mark("NO", -3, -33), validate.Passed, ""},
		{"a letter", mark("Point N", -3, -33), validate.Passed, ""},
		{"of something", mark("NE arbour nail", -3, -33), validate.Passed, ""},
		{"about a house in the south", func(p *plot) { mark("NE", 70, -30)(p); mark("SW", 62, -38)(p) }, validate.Passed, ""},
		{"exchanged there", func(p *plot) { mark("SW", 70, -30)(p); mark("NE", 62, -38)(p) }, validate.Failed, wrong},
	})
}
