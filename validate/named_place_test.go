// Tests of walls, corners, edges, fences and keep-outs whose names say where they lie.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// named draws an edge of a kind under a name.
func named(name, kind string, pts ...orb.Point) func(p *plot) {
	return func(p *plot) {
		p.add(&thing{id: "e9", role: "edge", name: name, line: pts, z: flatGround}).set("edge_kind", schema.String(kind))
	}
}

// TestMarksPlaced: marks called after corners of the shed (60..66 by 5..12), the north
// lawn (30 by 20), the boundary and a gate, a hair either side of 0.3 and of 6 m.
func TestMarksPlaced(t *testing.T) {
	mark := func(name string, x, y float64) func(p *plot) {
		return func(p *plot) {
			p.get("g1").name = "Garden house"
			p.add(&thing{id: "m9", role: "mark", name: name, point: &orb.Point{x, y}, z: flatGround})
		}
	}
	gate := func(name string, x float64) func(p *plot) {
		return both(named("Side gate", "gate", orb.Point{70, 30}, orb.Point{72, 30}), mark(name, x, 30))
	}
	const says = "from a corner or end of"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"on it", mark("House corner", 66, 12), validate.Passed, ""},
		{"as near as is one place", mark("House corner", 66.3, 12), validate.Passed, ""},
		{"a hair farther", mark("House corner", 66.302, 12), validate.Failed, says},
		{"as far as may be another's", mark("House corner 2", 71.99, 12), validate.Failed, says},
		{"another's", mark("House corner 2", 72.01, 12), validate.Passed, ""},
		{"in another language", mark("Hausecke", 67, 12), validate.Failed, says},
		{"of the house", mark("Corner of the house", 67, 12), validate.Failed, says},
		{"by it", mark("Nail by house corner", 67, 12), validate.Passed, ""},
		{"a drain at it", mark("House corner drain", 67, 12), validate.Passed, ""},
		{"a corner of something", mark("Corner", 67, 12), validate.Passed, ""},
		{"a lawn's", mark("North lawn corner", 30, 20.31), validate.Failed, says},
		{"a lawn's, on it", mark("North lawn corner", 30, 20.29), validate.Passed, ""},
		{"a boundary's", mark("Grundstücksecke", -10, -39), validate.Failed, says},
		{"a boundary's, on it", mark("Grundstücksecke", -10, -39.8), validate.Passed, ""},
		{"a house that nobody drew", mark("House corner", 35.99, 18), validate.Failed, "none is drawn within 6.00 m"},
		{"farther from the lawn", mark("House corner", 36.01, 18), validate.Passed, ""},
		{"near a wall of one", both(mark("House corner 3", 33, 18), func(p *plot) { areaOf(p, "g8", "building", flatGround, rect(38.9, 0, 44, 40)) }), validate.Passed, ""},
		{"a wall of one a hair farther", both(mark("House corner 3", 33, 18), func(p *plot) { areaOf(p, "g8", "building", flatGround, rect(39.01, 0, 44, 40)) }), validate.Failed, "none is drawn within 6.00 m"},
		{"a boundary's far off it", mark("Plot corner 3", -3.9, -39), validate.Failed, "none is drawn within 6.00 m"},
		{"a hair nearer to it", mark("Plot corner 3", -4.1, -40), validate.Failed, says},
		{"of a line", both(mark("Plot corner 3", -3.9, -39), func(p *plot) {
			b := p.get("p1")
			b.line, b.rings = b.rings[0][:3], nil
		}), validate.Passed, ""},
		{"of the neighbour's", mark("Neighbour's plot corner", -3.9, -39), validate.Passed, ""},
		{"a gate's post", gate("Gate post", 72.31), validate.Failed, says},
		{"a gate's post, on it", gate("Gate post", 72.29), validate.Passed, ""},
		{"a post", gate("Post", 72.31), validate.Passed, ""},

		{"a house's door", mark("House door", 67.01, 9), validate.Failed, "the nearest such thing"},
		{"a house's door, a hair nearer", mark("House door", 66.99, 9), validate.Passed, ""},
		{"a house's side", mark("House side", 71.99, 9), validate.Failed, "the nearest such thing"},
		{"another house's side", mark("House side", 72.01, 9), validate.Passed, ""},
		{"a house's side, of two", both(mark("House side", 69, 9), func(p *plot) { areaOf(p, "g8", "building", flatGround, rect(39, 30, 44, 38)) }), validate.Passed, ""},
		{"a lawn's side", mark("North lawn east side", 31.01, 15), validate.Failed, "the nearest such thing"},
		{"a lawn's side, a hair nearer", mark("North lawn east side", 30.99, 15), validate.Passed, ""},
		{"a fence, alone", both(named("Side fence", "fence", orb.Point{70, 30}, orb.Point{78, 30}), mark("Fence", 74, 31.01)), validate.Failed, "the nearest such thing"},
		{"a fence, alone, a hair nearer", both(named("Side fence", "fence", orb.Point{70, 30}, orb.Point{78, 30}), mark("Fence", 74, 30.99)), validate.Passed, ""},
		{"a fence of two", both(both(named("Side fence", "fence", orb.Point{70, 30}, orb.Point{78, 30}), func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Far fence", line: []orb.Point{{70, 35}, {78, 35}}, z: flatGround}).set("edge_kind", schema.String("fence"))
		}), mark("Fence", 74, 31.5)), validate.Passed, ""},
		{"a kerb's end", both(named("Side kerb", "kerb", orb.Point{70, 30}, orb.Point{78, 30}), mark("Kerb end", 78.31, 30)), validate.Failed, says},
		{"a kerb's end, on it", both(named("Side kerb", "kerb", orb.Point{70, 30}, orb.Point{78, 30}), mark("Kerb end", 78.29, 30)), validate.Passed, ""},
		{"a kerb by its name", both(named("Side kerb", "kerb", orb.Point{70, 30}, orb.Point{78, 30}), mark("Side kerb", 74, 32)), validate.Failed, "the nearest such thing"},
		{"the base", mark("Base", 38, 26.01), validate.Failed, "the nearest such thing"},
		{"the base, at it", mark("Base", 38, 25.99), validate.Passed, ""},
	})
}

// TestEdgesPlaced: walls along the shed, and edges within the north lawn.
func TestEdgesPlaced(t *testing.T) {
	wall := func(name string, off, more float64, house string) func(p *plot) {
		return both(named(name, "wall", orb.Point{66 + off, 5}, orb.Point{66 + off + more, 12}), func(p *plot) { p.get("g1").name = house })
	}
	second := func(p *plot) { areaOf(p, "g2", "building", flatGround, rect(70, 25, 75, 30)).name = "Barn" }
	edge := func(name string, y float64) func(p *plot) {
		return named(name, "flush", orb.Point{3, y}, orb.Point{7, y})
	}
	const off, within = "from the outline of", "within it, so that mown ground"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"on it", wall("House wall", 0, 0, "House"), validate.Passed, ""},
		{"as near as is one place", wall("House wall", 0.3, 0, "House"), validate.Passed, ""},
		{"a hair farther", wall("House wall", 0.302, 0, "House"), validate.Failed, off},
		{"as far as may be another's", wall("House wall", 5.99, 0, "House"), validate.Failed, off},
		{"another's", wall("House wall", 6.01, 0, "House"), validate.Passed, ""},
		{"not along it", wall("House wall", 1, 0.61, "House"), validate.Passed, ""},
		{"nearly along it", wall("House wall", 1, 0.59, "House"), validate.Failed, off},
		{"within the eaves", wall("House wall", -0.79, 0, "House"), validate.Passed, ""},
		{"deeper within", wall("House wall", -0.81, 0, "House"), validate.Failed, off},
		{"in another language", wall("Hauswand", 1, 0, "Haus"), validate.Failed, off},
		{"of the only building", wall("House wall", 1, 0, "Studio"), validate.Failed, off},
		{"of another building", both(wall("House wall", 1, 0, "Studio"), second), validate.Passed, ""},
		{"of one of two", both(wall("House wall", 1, 0, "House"), second), validate.Failed, off},
		{"a garden wall", wall("Garden wall", 1, 0, "House"), validate.Passed, ""},
		{"a wall by it", wall("Wall by the house", 1, 0, "House"), validate.Passed, ""},

		{"a lawn's edge on its outline", edge("North lawn edge", 0), validate.Passed, ""},
		{"a lawn's edge a hair too little within", edge("North lawn edge", 0.3), validate.Passed, ""},
		{"a lawn's edge within it", edge("North lawn edge", 0.302), validate.Failed, within},
		{"a lawn's edge in another language", edge("Rasenkante", 1), validate.Failed, within},
		{"a lawn's edge about the bed", both(edge("Lawn edge", 8.5), func(p *plot) { p.get("k1").rings = [][]orb.Point{rect(2, 8.4, 12, 12)} }), validate.Passed, ""},
		{"a path's edge within it", edge("Path edge", 1), validate.Passed, ""},
	})
}

// TestLawnsBeyond: a lawn behind a fence, seen from base and dock in the east.
func TestLawnsBeyond(t *testing.T) {
	fence := func(name string, x float64) func(p *plot) { // docks and base lie east of 36
		return named(name, "fence", orb.Point{x, -39}, orb.Point{x, 39})
	}
	short := func(name string, to float64) func(p *plot) {
		return named(name, "fence", orb.Point{33, to}, orb.Point{33, 39})
	}
	const beyond = "lies beyond it, away from base and docks"
	const undrawn = "(a road), and none is drawn within"
	west := func(name, kind string, x float64) func(p *plot) { // of the lawns, which begin at 0
		return named(name, kind, orb.Point{x, -39}, orb.Point{x, 39})
	}
	road := func(x float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, rect(x-1, -35, x, 35)).set("hazard_kind", schema.String("road"))
		}
	}
	limit := func(x float64) func(p *plot) {
		return func(p *plot) { p.get("p1").rings = [][]orb.Point{rect(x, -40, 80, 40)} }
	}
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a fence of the street", fence("Street fence", 33), validate.Failed, beyond},
		{"of a railway", fence("Railway fence", 33), validate.Failed, beyond},
		{"of a neighbour", fence("Nachbarzaun", 33), validate.Failed, beyond},
		{"of the property", fence("Property fence", 33), validate.Failed, beyond},
		{"of a garden", fence("Garden fence", 33), validate.Passed, ""},
		{"of dogs", fence("Dog fence", 33), validate.Passed, ""},
		{"beyond all of it", fence("Street fence", 50), validate.Passed, ""},
		{"this side of all of it", fence("Garden fence", -5), validate.Passed, ""},
		{"of a street that is not drawn", fence("Street fence", -5), validate.Failed, "(a road), and none is drawn within 10.00 m"},
		{"a kerb's, drawn", both(west("Road kerb", "kerb", -5), road(-7.99)), validate.Passed, ""},
		{"a kerb's, a hair too far", both(west("Kerb of the road", "kerb", -5), road(-8.01)), validate.Failed, undrawn},
		{"a kerb's, not drawn", west("Bordstein zur Straße", "kerb", -5), validate.Failed, undrawn},
		{"a railway's, drawn", both(west("Railway fence", "fence", -5), road(-7), func(p *plot) { p.get("h9").set("hazard_kind", schema.String("railway")) }), validate.Passed, ""},
		{"a railway's, a road drawn", both(west("Railway fence", "fence", -5), road(-7)), validate.Failed, undrawn},
		{"a railway's, along the boundary", both(west("Bahnzaun", "fence", -5), limit(-6)), validate.Failed, undrawn},
		{"a street's, along the boundary", both(west("Straßenzaun", "fence", -5), limit(-6.99)), validate.Passed, ""},
		{"a street's, a hair off the boundary", both(west("Straßenzaun", "fence", -5), limit(-7.01)), validate.Failed, undrawn},
		{"a street's, 10 m from lawns", both(west("Street wall", "wall", -9.99), limit(-20)), validate.Failed, undrawn},
		{"a street's, a hair farther", both(west("Street wall", "wall", -10.01), limit(-20)), validate.Passed, ""},
		{"a drive's", west("Driveway kerb", "kerb", -5), validate.Passed, ""},
		{"the top of a wall", west("Top of the wall", "wall", -5), validate.Failed, "no drop or hazard is drawn within 2.00 m"},
		{"a wall's, in one word", west("Mauerkrone", "wall", -5), validate.Failed, "no drop or hazard is drawn within 2.00 m"},
		{"a wall at the top", west("Top wall", "wall", -5), validate.Passed, ""},
		{"between base and dock", fence("Street fence", 37), validate.Failed, "on this side as seen from another"},
		{"by the street", fence("Fence by the street", 33), validate.Failed, "(a road), and none is drawn within 10.00 m"},
		{"a gate of a street, none drawn", named("Street gate", "gate", orb.Point{33, 9}, orb.Point{33, 11}), validate.Failed, "none is drawn within 10.00 m"},
		{"a gate", named("Street gate", "gate", orb.Point{33, 12}, orb.Point{33, 14}), validate.Passed, ""},
		{"a fence of animals", fence("Kennel fence", 33), validate.Failed, "are animals or children on that ground"},
		{"of children", fence("Spielplatzzaun", 33), validate.Failed, "are animals or children on that ground"},
		{"of children, beyond all of it", fence("Playground fence", 50), validate.Passed, ""},
		{"by them", fence("Fence by the playground", 33), validate.Passed, ""},
		// Of the north lawn's corners, seen from the base, it hides the two in the north.
		{"before half of the corners", short("Nachbarzaun", 21.5), validate.Failed, "on this side as seen from another"},
		{"before one corner", short("Nachbarzaun", 23.5), validate.Passed, ""},
	})
}

// TestKeepoutsStrayed: a keep-out in the south lawn, and a hazard of its name beside.
func TestKeepoutsStrayed(t *testing.T) {
	keep := func(id, name string, x float64) func(p *plot) {
		return func(p *plot) { areaOf(p, id, "keepout", flatGround, rect(x, -25, x+2, -23)).name = name }
	}
	pond := func(name string, x float64) func(p *plot) { // x from the first keep-out's edge in the east
		return func(p *plot) {
			h := areaOf(p, "h9", "hazard", flatGround, rect(29+x, -25, 31+x, -23))
			h.name = name
			h.set("hazard_kind", schema.String("pond"))
		}
	}
	const says = "covers nothing that is drawn"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"elsewhere", both(keep("k9", "Pond", 27), pond("Pond", 9)), validate.Failed, says},
		{"a hair too near for that", both(keep("k9", "Pond", 27), pond("Pond", 3.99)), validate.Passed, ""},
		{"as near as that", both(keep("k9", "Pond", 27), pond("Pond", 4.01)), validate.Failed, says},
		{"as far as that", both(keep("k9", "Pond", 27), pond("Pond", 29.99)), validate.Failed, says},
		{"too far for that", both(keep("k9", "Pond", 27), pond("Pond", 30.01)), validate.Passed, ""},
		{"a shed, elsewhere", both(keep("k9", "Shed", 27), func(p *plot) { p.get("g1").rings = [][]orb.Point{rect(30.01, -25, 32, -23)} }), validate.Failed, says},
		{"a shed, at it", both(keep("k9", "Shed", 27), func(p *plot) { p.get("g1").rings = [][]orb.Point{rect(29.99, -25, 32, -23)} }), validate.Passed, ""},
		{"of another name for it", both(keep("k9", "Old well", 27), pond("Well 1", 9)), validate.Failed, says},
		{"of another count", both(keep("k9", "Well 2", 27), pond("Well 1", 9)), validate.Passed, ""},
		{"of another place", both(keep("k9", "North well", 27), pond("South well", 9)), validate.Passed, ""},
		{"another bed", both(keep("k9", "Old bed", 27), pond("Bed 1", 9)), validate.Passed, ""},
		{"of another name", both(keep("k9", "Bed", 27), pond("Pond", 9)), validate.Passed, ""},
		{"under one of its own", both(keep("k9", "Pond", 27), pond("Pond", 9), keep("k8", "Pond", 38)), validate.Passed, ""},
		{"with one drawn", both(keep("k9", "Pond", 27), pond("Pond", 9), func(p *plot) { pointOf(p, "h8", "hazard", 0, 28, -24).set("hazard_kind", schema.String("bench")) }), validate.Passed, ""},
		{"of two without", both(keep("k9", "Pond", 27), pond("Pond", 9), keep("k8", "Pond", 20)), validate.Passed, ""},
	})
}

// TestEdgesOfWhatIsNotDrawn: walls, kerbs and flush edges called the edge of water, a
// drop or a road, which lies a hair nearer or farther than 2 m, or is not drawn.
func TestEdgesOfWhatIsNotDrawn(t *testing.T) {
	edge := func(name, kind string) func(p *plot) {
		return named(name, kind, orb.Point{70, 30}, orb.Point{78, 30})
	}
	beside := func(kind string, off float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, rect(70, 30+off, 78, 36)).set("hazard_kind", schema.String(kind))
		}
	}
	const says = "no drop or hazard is drawn within"
	cases := []wordCase{
		{"a river's, drawn", both(edge("River wall", "wall"), beside("river", 1.99)), validate.Passed, ""},
		{"a river's, a hair too far", both(edge("River wall", "wall"), beside("river", 2.01)), validate.Failed, says},
		{"a cliff's kerb, drawn", both(edge("Cliff edge", "kerb"), beside("cliff", 1)), validate.Passed, ""},
		{"a street's, flush", edge("Road edge", "flush"), validate.Failed, "put right which is wrong"},
		{"a street's, flush, drawn", both(edge("Road edge", "flush"), beside("road", 1.99)), validate.Passed, ""},
		{"a street's, flush, too far", both(edge("Road edge", "flush"), beside("road", 2.01)), validate.Failed, "put right which is wrong"},
	}
	for _, name := range []string{"River wall", "Canal wall", "Cliff wall", "Shaft wall", "Sea wall", "Ha-ha", "Ditch wall 2", "Slope wall", "Bachmauer", "Flussmauer", "Seemauer", "Grabenmauer", "Schleusenmauer", "Hangmauer", "Terrassenmauer", "Böschungsmauer"} {
		cases = append(cases, wordCase{name, edge(name, "wall"), validate.Failed, ""})
	}
	for _, name := range []string{"Cliff edge", "River edge", "Quay edge"} {
		cases = append(cases, wordCase{name, edge(name, "kerb"), validate.Failed, says})
	}
	for _, name := range []string{"Garden wall", "Hofmauer", "Gartenmauer", "Terrace wall", "Steps wall", "Street wall", "Brandmauer"} {
		cases = append(cases, wordCase{name, edge(name, "wall"), validate.Passed, ""})
	}
	for _, name := range []string{"Wall by the river", "Pond wall", "Teichmauer", "Cliff edge wall"} {
		kind := "river"
		if name == "Cliff edge wall" {
			kind = "cliff"
		}
		cases = append(cases, wordCase{name, edge(name, "wall"), validate.Failed, "none is drawn within 10.00 m"},
			wordCase{name + ", drawn", both(edge(name, "wall"), beside(kind, 5.99)), validate.Passed, ""})
	}
	cases = append(cases, wordCase{"a kerb of a road", edge("Road edge", "kerb"), validate.Passed, ""}, wordCase{"a drive's", edge("Drive edge", "flush"), validate.Passed, ""},
		wordCase{"a road's kerb, near it", both(edge("Road kerb", "kerb"), beside("road", 2.99)), validate.Passed, ""},
		wordCase{"a road's kerb, off it", both(edge("Road kerb", "kerb"), beside("road", 3.01)), validate.Failed, "one farther off"},
		wordCase{"a road's kerb, no road", edge("Roadside kerb", "kerb"), validate.Passed, ""},
		wordCase{"a path's kerb", both(edge("Path kerb", "kerb"), beside("road", 3.01)), validate.Passed, ""},
		wordCase{"by a road", edge("Edge by the road", "flush"), validate.Passed, ""}, wordCase{"a fence about a pond", both(edge("Pond fence", "fence"), beside("pond", 1)), validate.Passed, ""})
	judgeWords(t, validate.RuleNameContradicts, cases)
}

// TestNamesSayWhereItStands: bases, docks, outlets and lawns by their names.
func TestNamesSayWhereItStands(t *testing.T) {
	name := func(id, name string) func(p *plot) {
		return func(p *plot) { p.get(id).name = name }
	}
	stand := func(role, name string, x, y float64) func(p *plot) {
		return func(p *plot) {
			for _, o := range p.things {
				if o.role == role {
					o.name, o.point = name, &orb.Point{x, y}
				}
			}
		}
	}
	ditch := func(off float64) func(p *plot) { // north of the north lawn
		return func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, rect(3, 20+off, 9, 21+off)).set("hazard_kind", schema.String("ditch"))
		}
	}
	hazard := func(word string, x0, y0, x1, y1 float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h8", "hazard", flatGround, rect(x0, y0, x1, y1)).set("hazard_kind", schema.String(word))
		}
	}
	kind := func(word string) func(p *plot) { return hazard(word, 70, 31, 78, 33) }
	road, parked := hazard("road", 33, -30, 36, -20), hazard("parking", 33, -30, 36, -20)
	other := func(role, name string, x, y float64) func(p *plot) {
		return func(p *plot) {
			h := pointOf(p, "x9", role, 0, x, y)
			if h.name = name; role == "hazard" {
				h.set("hazard_kind", schema.String("mast")).set("radius_m", num(0.1))
			}
		}
	}
	offZone := func(name string) func(p *plot) {
		return func(p *plot) {
			z := areaOf(p, "z9", "zone", flatGround, rect(13, -6, 17, -3))
			z.name = name
			z.set("active", schema.Bool(false))
		}
	}
	const off = "the nearest building"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a mast of the house", stand("base", "House mast", 68.99, 8), validate.Passed, ""},
		{"a hair farther", stand("base", "House mast", 69.01, 8), validate.Failed, off},
		{"of its roof", stand("base", "Roof mast", 72, 8), validate.Failed, off},
		{"in another language", stand("base", "Dachmast", 72, 8), validate.Failed, off},
		{"by the house", stand("base", "Mast by the house", 72, 8), validate.Passed, ""},
		{"of the garden", stand("base", "Garden mast", 72, 8), validate.Passed, ""},
		{"a car's", stand("base", "Car mast", 72, 8), validate.Failed, "which is moved"},
		{"a boat's", stand("base", "Boat antenna", 72, 8), validate.Failed, "which is moved"},
		{"a dock on a slope", name("d1", "Dock on the slope"), validate.Failed, "stands level"},
		{"a dock by a slope", name("d1", "Dock by the slope"), validate.Passed, ""},
		{"a slope's dock", name("d1", "Dock at slope lawn"), validate.Passed, ""},
		{"an outlet in the pond", name("s1", "Socket in the pond"), validate.Failed, "where no outlet may be"},
		{"an outlet in the ditch", name("s1", "Socket in the ditch"), validate.Failed, "where no outlet may be"},
		{"an outlet in another language", name("s1", "Steckdose im Teich"), validate.Failed, "where no outlet may be"},
		{"an outlet by the pond", name("s1", "Socket by the pond"), validate.Passed, ""},
		{"an outlet in its house", name("s1", "Socket in the pool house"), validate.Passed, ""},
		{"an outlet on the terrace", name("s1", "Socket on the terrace"), validate.Passed, ""},
		{"an outlet called after it", name("s1", "Pond socket"), validate.Passed, ""},
		{"a ditch's lawn", name("z1", "Ditch lawn"), validate.Failed, "none is drawn within"},
		{"in German", name("z1", "Grabenrasen"), validate.Failed, "none is drawn within"},
		{"a bank's lawn", name("z1", "Böschungsrasen"), validate.Failed, "none is drawn within"},
		{"a ditch that is drawn", both(name("z1", "Ditch lawn"), ditch(9.99)), validate.Passed, ""},
		{"a ditch too far off", both(name("z1", "Ditch lawn"), ditch(10.01)), validate.Failed, "none is drawn within"},
		{"a lawn by it", name("z1", "Lawn by the ditch"), validate.Failed, "none is drawn within 30.00 m"},
		{"a lawn by one that is drawn", both(name("z1", "Lawn by the ditch"), ditch(29.99)), validate.Passed, ""},
		{"a lawn by one that is drawn too far off", both(name("z1", "Lawn by the ditch"), ditch(30.01)), validate.Failed, "none is drawn within 30.00 m"},
		{"a pond's lawn", name("z1", "Pond lawn"), validate.Passed, ""},
		{"at the gate", stand("base", "Gate mast", 72, 8), validate.Failed, "none is drawn within 3.00 m"},
		{"at a gate that is drawn", both(stand("base", "Gate mast", 72, 8), named("Way in", "gate", orb.Point{74.99, 8}, orb.Point{74.99, 9})), validate.Passed, ""},
		{"at one too far off", both(stand("base", "Gate mast", 72, 8), named("Way in", "gate", orb.Point{75.01, 8}, orb.Point{75.01, 9})), validate.Failed, "none is drawn within 3.00 m"},
		{"by the gate", stand("base", "Mast by the gate", 72, 8), validate.Passed, ""},
		{"a trampoline's", stand("base", "Trampoline base", 72, 8), validate.Failed, "which is moved"},
		{"a slope's dock alone", name("d1", "Slope dock"), validate.Failed, "stands level"},

		{"on the roof of a car", stand("base", "Car roof mast", 68, 8), validate.Failed, "which drives away"},
		{"by a car", stand("base", "Mast by car", 68, 8), validate.Failed, "which drives away"},
		{"by the car park", both(stand("base", "Mast by the car park", 50, -10), parked), validate.Passed, ""},
		{"in the house", stand("base", "Mast in house", 68, 8), validate.Failed, "little of the sky"},
		{"inside", stand("base", "Mast inside", 68, 8), validate.Failed, "little of the sky"},
		{"in the garage", stand("base", "Base in the garage", 68, 8), validate.Failed, "little of the sky"},
		{"in the garden", stand("base", "Mast in the garden", 68, 8), validate.Passed, ""},
		{"on a hedge", stand("base", "Mast on hedge", 68, 8), validate.Failed, "moves in the wind"},
		{"on a lamp post", stand("base", "Lamp post mast", 68, 8), validate.Passed, ""},
		{"on a lamp", stand("base", "Mast on lamp", 68, 8), validate.Failed, "moves in the wind"},
		{"on a lawn that is not there", stand("base", "Mast on the lawn", 68, 8), validate.Failed, "it stands on none"},
		{"on a lawn", stand("base", "Mast on the lawn", 20, 10), validate.Passed, ""},
		{"the neighbour's", stand("base", "Neighbour mast", 68, 8), validate.Failed, "ground of others"},
		{"at his fence", stand("base", "Mast by neighbour fence", 68, 8), validate.Passed, ""},
		{"a bad one", stand("base", "Bad mast", 68, 8), validate.Failed, "that it is wrong"},
		{"at the bath", stand("base", "Mast am Bad", 68, 8), validate.Passed, ""},
		{"a new one beside", other("other", "New mast", 60, 30), validate.Failed, "which of the two"},
		{"a new one as a hazard", other("hazard", "New base mast", 60, 30), validate.Failed, "which of the two"},
		{"a second one", other("other", "Base 2", 39.01, 25), validate.Failed, "which of the two"},
		{"the one itself", other("hazard", "Base mast", 38.99, 25), validate.Passed, ""},
		{"a mast", other("hazard", "Mast", 60, 30), validate.Passed, ""},
		{"a flag's", other("hazard", "New flag mast", 60, 30), validate.Passed, ""},

		{"a dock in the house", stand("dock", "Dock in house", 58.99, 8), validate.Failed, "no building is drawn within 1.00 m"},
		{"a dock in it by a hair", stand("dock", "Dock in house", 59.01, 8), validate.Passed, ""},
		{"a dock at the house", stand("dock", "Dock at the house", 49.99, 8), validate.Failed, "no building is drawn within 10.00 m"},
		{"a dock at it by a hair", stand("dock", "Dock at the house", 50.01, 8), validate.Passed, ""},
		{"a dock in a hedge", name("d1", "Dock in the hedge"), validate.Failed, "where no machine may go"},
		{"a dock by a hedge", name("d1", "Dock by the hedge"), validate.Passed, ""},
		{"a dock on a wall", name("d1", "Dock on the wall"), validate.Failed, "where no machine may go"},
		{"a dock among children", name("d1", "Dock in the playground"), validate.Failed, "do children play"},
		{"a dock by them", name("d1", "Dock by the playground"), validate.Passed, ""},
		{"a bad dock", name("d1", "Dock bad"), validate.Failed, "that it is wrong"},
		{"a dock at another lawn", stand("dock", "South lawn dock", 31.99, 3), validate.Failed, "at another lawn"},
		{"a dock at none", stand("dock", "South lawn dock", 32.01, 3), validate.Passed, ""},
		{"a dock at its lawn", stand("dock", "North lawn dock", 31.99, 3), validate.Passed, ""},
		{"a dock between two", stand("dock", "South lawn dock", 30, -5.01), validate.Passed, ""},
		{"a dock in the west", stand("dock", "West dock", 36, 10), validate.Passed, ""},
		{"a dock in the far east", stand("dock", "West dock", 70, 10), validate.Failed, "on the other side"},
		{"a dock in the east", both(stand("dock", "East dock", 70, 10), name("c1", "East way")), validate.Passed, ""},

		{"to neighbours", name("c2", "Way to the neighbour"), validate.Failed, "ground of others"},
		{"to school", name("c2", "School way"), validate.Failed, "among children"},
		{"past a school", name("c2", "Way past the school"), validate.Passed, ""},
		{"to a school lawn", both(name("c2", "School way"), name("z2", "School lawn")), validate.Passed, ""},
		{"a bad way", name("c2", "Bad way"), validate.Failed, "that it is wrong"},
		{"a bath's way", name("c2", "Weg zum Bad"), validate.Passed, ""},
		{"a bad lawn", name("z2", "Bad lawn"), validate.Failed, "that it is wrong"},
		{"a bath's lawn", name("z2", "Rasen am Bad"), validate.Passed, ""},
		{"a town with a bath", name("z2", "Bad Lindau lawn"), validate.Passed, ""},
		{"another mows", name("z2", "Mown by the neighbour"), validate.Failed, "another's"},
		{"cars on it", name("z2", "Car lawn"), validate.Failed, "may stand or drive on it"},
		{"cars on it too", name("z2", "Lawn for cars"), validate.Failed, "may stand or drive on it"},
		{"fire engines", name("z2", "Feuerwehrwiese"), validate.Failed, "on which engines may drive"},
		{"fire engines' house", both(name("z2", "Feuerwehrwiese"), name("g1", "Feuerwehr"), func(p *plot) { p.get("g1").rings = [][]orb.Point{rect(59.9, -20, 66, -12)} }), validate.Passed, ""},
		{"parking", both(name("z2", "Parkplatzrasen"), road), validate.Failed, "none is drawn within 30.00 m"},
		{"parking that is drawn", both(name("z2", "Parkplatzrasen"), parked), validate.Passed, ""},

		{"the next garden", name("p1", "Next garden"), validate.Failed, "limit of the property itself"},
		{"outside", name("p1", "Area outside"), validate.Failed, "limit of the property itself"},
		{"round the outside", name("p1", "Outside boundary"), validate.Passed, ""},
		{"a road's", both(name("p1", "Road boundary"), hazard("road", 33, -39, 36, -32)), validate.Failed, "limit of the property itself"},
		{"a road's as a line", both(both(name("p1", "Road boundary"), hazard("road", 33, -39, 36, -32)), func(p *plot) { b := p.get("p1"); b.line, b.rings = b.rings[0], nil }), validate.Passed, ""},
		{"a fence with a hole", named("Fence with hole", "fence", orb.Point{70, 30}, orb.Point{78, 30}), validate.Failed, "nothing went through it"},
		{"a hole in a fence", named("Hole in the fence", "fence", orb.Point{70, 30}, orb.Point{78, 30}), validate.Failed, "nothing went through it"},
		{"a fence of a hole of golf", named("Hole 3 fence", "fence", orb.Point{70, 30}, orb.Point{78, 30}), validate.Passed, ""},
		{"a fence that is out", named("Fence out", "fence", orb.Point{70, 30}, orb.Point{78, 30}), validate.Failed, "nothing went through it"},
		{"a fence to come", named("Fence to be set", "fence", orb.Point{70, 30}, orb.Point{78, 30}), validate.Failed, "not there yet"},
		{"a fence at a drop", both(named("Drop fence", "fence", orb.Point{70, 30}, orb.Point{78, 30}), kind("stream")), validate.Failed, "no drop or hazard"},
		{"a fence at a drop that is drawn", both(named("Drop fence", "fence", orb.Point{70, 30}, orb.Point{78, 30}), kind("cliff")), validate.Passed, ""},
		{"a playground that is off", offZone("Playground"), validate.Failed, "is switched off"},
		{"a lawn that is off", offZone("Summer lawn"), validate.Passed, ""},
	})
}
