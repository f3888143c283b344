// Tests of names that promise more than is drawn, or another place.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestNamesOfSeveral: one outline in the south lawn (0..30 by -30..-10) called after
// several things, a side of one, or a roof.
func TestNamesOfSeveral(t *testing.T) {
	kept := func(name string, ring []orb.Point) func(p *plot) {
		return func(p *plot) { areaOf(p, "k9", "keepout", flatGround, ring).name = name }
	}
	round, box, row, short := circle(15, -20, 2, 24), rect(10, -25, 20, -15), rect(10, -21, 19, -18), rect(10, -21, 18.9, -18)
	two := func(name string) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "k9", role: "keepout", name: name, parts: [][]orb.Point{circle(10, -20, 1, 24), circle(20, -20, 1, 24)}, z: flatGround})
		}
	}
	tree := func(id string, x float64) func(p *plot) {
		return func(p *plot) {
			pointOf(p, id, "hazard", 0, x, -20).set("hazard_kind", schema.String("tree")).set("radius_m", num(0.3)).set("height_m", num(4)).name = "Linden " + id
		}
	}
	const many, side, roof = "is drawn that holds no others", "no more of that is drawn within 2.00 m", "hides where walls and posts stand"
	cases := []wordCase{
		{"two in two parts", two("Two trees"), validate.Passed, ""},
		{"three in two parts", two("Three trees"), validate.Failed, many},
		{"several in two parts", two("Ponds"), validate.Passed, ""},
		{"two of which both are drawn", both(kept("Two trees", box), tree("h7", 12), tree("h8", 18)), validate.Passed, ""},
		{"two of which one is drawn", both(kept("Two trees", box), tree("h7", 12)), validate.Failed, many},
		{"trees in a group", kept("Trees", box), validate.Passed, ""},
		{"trees in a disc", kept("Trees", round), validate.Failed, many},
		{"trees in a hexagon", kept("Trees", circle(15, -20, 2, 6)), validate.Failed, many},
		{"trees in a pentagon", kept("Trees", circle(15, -20, 2, 5)), validate.Passed, ""},
		{"a row as long as one", kept("Row of posts", row), validate.Passed, ""},
		{"a row a hair too short", kept("Row of posts", short), validate.Failed, many},
		{"a bed", kept("Flower beds", round), validate.Passed, ""}, {"a bed and a bench", kept("Rose bed and bench", box), validate.Passed, ""},
		{"steps", kept("Steps", box), validate.Passed, ""}, {"the second of beds", kept("Bed 2", round), validate.Passed, ""},
		{"a shore beside its water", both(kept("Pond north shore", rect(10, -22.01, 20, -20)), func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, rect(10, -29, 20, -24)).set("hazard_kind", schema.String("pond"))
			areaOf(p, "k8", "keepout", flatGround, rect(9, -29.9, 21, -23)).name = "Keep-out 8"
		}), validate.Passed, ""},
		{"a shore a hair too far from it", both(kept("Pond north shore", rect(10, -21.99, 20, -20)), func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, rect(10, -29, 20, -24)).set("hazard_kind", schema.String("pond"))
			areaOf(p, "k8", "keepout", flatGround, rect(9, -29.9, 21, -23)).name = "Keep-out 8"
		}), validate.Failed, side},
		{"a pond", kept("Pond", box), validate.Passed, ""}, {"one of ponds", kept("Pond A", box), validate.Passed, ""}, {"a bench by it", kept("Bench at the pond edge", round), validate.Passed, ""},
		{"a carport's roof", func(p *plot) { p.get("g1").name = "Carport roof" }, validate.Failed, roof},
		{"a house with a tin roof's bench", func(p *plot) { p.get("g1").name = "Hut by the roof edge" }, validate.Passed, ""},
	}
	for _, name := range []string{"Two trees", "Three oaks", "4 Bäume", "Zwei Eichen", "Trees 1-5", "Trees 1 to 5", "Trees 3, 4 and 5", "Tree 1 + 2", "Trees A-D", "Tree x 3", "Deux arbres", "Due alberi", "Dos árboles", "Twee bomen", "Två träd",
		"House and garage", "Haus und Garage", "Maison et garage", "Casa e garage", "Huis en garage", "Pool and terrace", "Pond, ditch", "Ponds", "Teiche", "Étangs", "Stagni", "Vijvers"} {
		cases = append(cases, wordCase{name, kept(name, box), validate.Failed, many})
	}
	for _, name := range []string{"Lake north shore", "Pond edge", "Edge of the pond", "Teichrand", "Nordufer", "West side of pond", "House front"} {
		cases = append(cases, wordCase{name, kept(name, box), validate.Failed, side})
	}
	judgeWords(t, validate.RuleNameContradicts, cases)
}

// TestCalledElsewhere: what is called after a thing lies a hair nearer or farther than 30
// m from it. The shed reaches from 60 to 66, the north lawn to 30, the dock lies at 36, 10.
func TestCalledElsewhere(t *testing.T) {
	name := func(id, name string) func(p *plot) { return func(p *plot) { p.get(id).name = name } }
	shed := func(x float64) func(p *plot) {
		return func(p *plot) { p.get("g1").rings = [][]orb.Point{rect(x, 5, x+6, 12)} }
	}
	kept := func(name string, x float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "k9", "keepout", flatGround, rect(x, 12, x+1, 13)).name = name }
	}
	const far = "one of the two lies elsewhere, or is another"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a shed's lawn", both(name("z1", "Shed lawn"), shed(59.99)), validate.Passed, ""},
		{"a hair too far", both(name("z1", "Shed lawn"), shed(60.02)), validate.Failed, far},
		{"any house's", both(name("z1", "House lawn"), shed(60.02)), validate.Failed, far},
		{"as one word", both(name("z1", "Hausrasen"), shed(60.02)), validate.Failed, far},
		{"as one word, near", both(name("z1", "Hausrasen"), shed(59.99)), validate.Passed, ""},
		{"far from it", both(name("z1", "Lawn far from the house"), shed(70)), validate.Passed, ""},
		{"a bird house", kept("Bird house", 0), validate.Passed, ""},
		{"a bed by the dock", kept("Bed by the dock", 5.1), validate.Passed, ""},
		{"a bed by the dock, too far", kept("Bed by the dock", 4.9), validate.Failed, far},
		{"what is called a dock", kept("Old dock", 0), validate.Passed, ""},
		{"a keep-out of the well", kept("Old well keep-out", 25), validate.Passed, ""},
		{"a keep-out of the well, too far", both(kept("Old well keep-out", 25), func(p *plot) { p.get("k9").rings = [][]orb.Point{rect(25, -29, 26, -28)} }), validate.Failed, far},
		{"another old well", both(kept("Mossy old well", 25), func(p *plot) { p.get("k9").rings = [][]orb.Point{rect(25, -29, 26, -28)} }), validate.Passed, ""},
		{"a way to the dock", name("c2", "Way to the dock"), validate.Passed, ""},
		{"a way to a lawn", name("c1", "Dock to north lawn"), validate.Passed, ""},
		{"a way to another lawn", name("c1", "Dock to south lawn"), validate.Failed, far},
		{"the first leg of one", name("c1", "First leg, dock to south lawn"), validate.Passed, ""},
		{"an outlet of the shed", name("s1", "Shed outlet"), validate.Passed, ""},
		{"an outlet of the shed, too far", both(name("s1", "Shed outlet"), shed(67.1)), validate.Failed, far},
	})
}

// TestPlansThatCount: a plan of two lawns, a dock and a well that says how many it holds.
func TestPlansThatCount(t *testing.T) {
	says := func(key, text string) func(p *plot) {
		return func(p *plot) { p.members = append(p.members, schema.Attribute{Key: key, Value: schema.String(text)}) }
	}
	const off = "and it holds"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"right", says("note", "two lawns, one dock"), validate.Passed, ""}, {"one too many", says("note", "three lawns"), validate.Failed, off},
		{"one too few", says("note", "one lawn"), validate.Failed, off}, {"in German", says("note", "drei Rasenflächen"), validate.Failed, off},
		{"of docks", says("note", "2 Stationen"), validate.Failed, off}, {"of ponds", says("note", "two ponds"), validate.Failed, off},
		{"the fourth lawn", says("note", "lawn 4"), validate.Passed, ""},
	})
}

// TestDatumsFiled: names and layers that say another datum or grid than the plan's.
func TestDatumsFiled(t *testing.T) {
	filed := func(key, text string) func(p *plot) {
		return func(p *plot) {
			if key == "name" {
				p.get("z1").name = text
				return
			}
			p.get("z1").set(key, schema.String(text))
			p.get("z2").set(key, schema.String(text))
		}
	}
	grid := func(code string) func(p *plot) { return func(p *plot) { p.grid = code } }
	const says, two = "neither the plan's CRS nor its frame does: were these numbers", "of 2 features says"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a layer", filed("layer", "GK3"), validate.Failed, two}, {"a folder", filed("folder", "ED50 lawns"), validate.Failed, two}, {"a name", filed("name", "North lawn NAD27"), validate.Failed, says},
		{"of two words", filed("layer", "Monte Mario"), validate.Failed, says}, {"of three", filed("layer", "GK-Zone 3"), validate.Failed, says}, {"a hyphen", filed("layer", "S-42"), validate.Failed, says},
		{"its own", both(filed("layer", "ED50"), grid("EPSG:23030")), validate.Passed, ""}, {"lawns", filed("layer", "lawns"), validate.Passed, ""}, {"tags", filed("layer", "Z3"), validate.Passed, ""},
	})
}

// TestGroundsForSports: a lawn called one, a hair larger or smaller than any.
func TestGroundsForSports(t *testing.T) {
	lawn := func(name string, long, wide float64) func(p *plot) {
		return func(p *plot) {
			p.get("z2").name, p.get("z2").rings = name, [][]orb.Point{rect(0, -10-wide, long, -10)}
			p.remove("c2")
			p.get("p1").rings = [][]orb.Point{rect(-10, -200, 300, 40)}
		}
	}
	const odd = "was it drawn in another unit, or scaled"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a court", lawn("Tennis court", 23.77, 10.97), validate.Passed, ""}, {"with its run-off", lawn("Tennisplatz 2", 36.57, 18.29), validate.Passed, ""},
		{"too short", lawn("Tennis court", 22.99, 10.97), validate.Failed, odd}, {"as short as any", lawn("Tennis court", 23.01, 10.97), validate.Passed, ""},
		{"too wide", lawn("Tennis court", 36, 25.01), validate.Failed, odd}, {"too narrow", lawn("Tennis court", 36, 7.99), validate.Failed, odd},
		{"a pitch", lawn("North football pitch", 105, 68), validate.Passed, ""}, {"in feet", lawn("Football pitch", 32, 20.7), validate.Failed, odd}, {"twice and a half", lawn("Terrain de football", 262.5, 150), validate.Failed, odd},
		{"a small one", lawn("Small football pitch", 32, 20.7), validate.Passed, ""}, {"a corner of one", lawn("Football pitch corner", 10, 10), validate.Passed, ""}, {"by one", lawn("Lawn by the tennis court", 10, 10), validate.Passed, ""},
	})
}

// TestTextsThatAgree: sizes and counts in texts, of which the north lawn is 30 by 20 m.
func TestTextsThatAgree(t *testing.T) {
	says := func(id, text string) func(p *plot) {
		return func(p *plot) {
			if id == "" {
				p.members = append(p.members, schema.Attribute{Key: "note", Value: schema.String(text)})
				return
			}
			p.get(id).set("note", schema.String(text))
		}
	}
	const unread = "words that no rule knows"
	judgeWords(t, validate.RuleWordsUnread, []wordCase{
		{"both sides", says("z1", "30 m long, 20 m wide"), validate.Passed, ""}, {"2 % more", says("z1", "30.6 m long"), validate.Passed, ""}, {"a hair more", says("z1", "30.63 m long"), validate.Failed, unread},
		{"another", says("z1", "25 m long"), validate.Failed, unread}, {"to the north", says("z1", "30 m north"), validate.Failed, unread}, {"in doubt", says("z1", "30 m long?"), validate.Failed, unread},
		{"with a number", says("z1", "30 m long 7"), validate.Failed, unread}, {"from it", says("z1", "30 m from the lawn"), validate.Failed, unread},
		{"an area", says("z1", "600 m2"), validate.Passed, ""}, {"a height", says("g1", "3 m high"), validate.Passed, ""}, {"another height", says("g1", "4 m high"), validate.Failed, unread}, {"across", says("h1", "2 m across"), validate.Passed, ""},
		{"counts", says("", "two zones, one dock"), validate.Passed, ""}, {"other counts", says("", "three zones"), validate.Failed, unread},
		{"ways", func(p *plot) { p.get("c1").set("layer", schema.String("routes")) }, validate.Passed, ""}, {"of a lawn", func(p *plot) { p.get("z1").set("layer", schema.String("paths")) }, validate.Failed, unread},
	})
}
