// Texts and figures of single things that say a danger which is not drawn, and
// such as are harmless.

package validate_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestTextsThatNameDanger(t *testing.T) {
	note := func(id, text string) func(p *plot) { return withProps(id, "note", text) }
	// A ditch so far south of the south lawn, whose edge is at -30.
	ditch := func(off float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "x1", role: "hazard", name: "Ditch", rings: [][]orb.Point{rect(0, -32-off, 30, -30-off)}, z: flatGround}).set("hazard_kind", schema.String("ditch"))
		}
	}
	const drawn = "no such hazard is drawn within 10.00 m"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a ditch across", note("z2", "there's a ditch across it"), validate.Failed, drawn},
		{"a ditch across, in German", withProps("z2", "Bemerkung", "Graben quer durch"), validate.Failed, drawn},
		{"a manhole", withProps("z2", "description", "hidden manhole at the north corner"), validate.Failed, drawn},
		{"a drawn ditch", both(note("z2", "there's a ditch across it"), ditch(9.99)), validate.Passed, ""},
		{"one a hair too far off", both(note("z2", "there's a ditch across it"), ditch(10.01)), validate.Failed, drawn},
		{"a light well, where a ditch is drawn", both(note("z2", "open light well"), ditch(2)), validate.Failed, drawn},
		{"no ditch", note("z2", "no ditch any more"), validate.Passed, ""},
		{"the strip by the ditch", note("z2", "strip along the ditch"), validate.Passed, ""},
		{"watering", note("z2", "grows well, water twice a week, cutting by the drive"), validate.Passed, ""},
		{"a long text", note("z2", "a ditch "+strings.Repeat("and grass ", 40)), validate.Passed, ""},
		{"a wall's text", note("e1", "a ditch behind it once"), validate.Passed, ""},
		{"a way over the drive", note("c2", "over the drive"), validate.Failed, drawn},
		{"a way of the drive", note("c2", "named for the drive"), validate.Passed, ""},
		{"a warning", note("z2", "Achtung, tiefe Spuren"), validate.Failed, "warns"},
		{"a warning in two words", note("z2", "watch out for toads"), validate.Failed, "warns"},
		{"no warning", note("z2", "no hazards here"), validate.Passed, ""},
		{"a cable on the grass", note("s1", "cable lies on the grass"), validate.Failed, `"cable"`},
		{"a cable in the ground", note("s1", "cable buried 0.6 m deep"), validate.Passed, ""},
		{"a base that was moved by so much", note("b1", "moved 0.5 m north in May"), validate.Failed, "0.5 m"},
		{"a well drawn too small", note("h1", "drawn 1 m too small"), validate.Failed, "1 m too"},
		{"one that reaches farther", note("h1", "reaches 50cm further north"), validate.Failed, "50cm further"},
		{"where a lawn lies", note("z2", "begins 5 m south of the house, path 2 m wide"), validate.Passed, ""},
		{"another name", withProps("z2", "alias", "Teich"), validate.Failed, `"teich"`},
		{"another name in a language", withProps("z2", "name:de", "Teich"), validate.Failed, `"teich"`},
		{"another name of a lawn", withProps("z2", "alias", "Teichwiese"), validate.Passed, ""},
		{"tags", withProps("z2", "tags", schema.Object(schema.Attributes{{Key: "natural", Value: schema.String("water")}})), validate.Failed, `"water"`},
		{"tags of a lawn", withProps("z2", "tags", schema.Object(schema.Attributes{{Key: "landuse", Value: schema.String("grass")}})), validate.Passed, ""},
	})
}

func TestPegsAndSteppingStones(t *testing.T) {
	peg := func(role, name string, off float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "x1", role: role, name: name, point: &orb.Point{15 + off, -5}, z: flatGround})
		}
	}
	stones := func(name string, props ...any) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "x1", role: "other", name: name, line: []orb.Point{{10, -20}, {14, -20}}, z: flatGround})
			withProps("x1", append([]any{"driven_over", true}, props...)...)(p)
		}
	}
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a peg in the way", peg("mark", "Peg 3", 0.298), validate.Failed, `"peg"`},
		{"a peg beside it", peg("mark", "Peg 3", 0.3), validate.Passed, ""},
		{"a post in the way", peg("mark", "Pfosten", 0), validate.Failed, `"pfosten"`},
		{"a mark that is neither", peg("mark", "Mark by wall", 0), validate.Passed, ""},
		{"a stake that is only drawn", peg("other", "Stake 2", 0.298), validate.Failed, `"stake"`},
		{"stones", stones("Stepping stones"), validate.Failed, `"stones"`},
		{"flush stones", stones("Stepping stones (flush)"), validate.Passed, ""},
		{"stones of a note", stones("Trittsteine, stones", "note", "liegen ebenerdig"), validate.Passed, ""},
		{"stones that are not", stones("Stepping stones", "note", "not flush"), validate.Failed, `"stones"`},
		{"stones of a height", stones("Stepping stones", "height_m", 0.03), validate.Passed, ""},
		{"stones a hair higher", stones("Stepping stones flush", "height_m", 0.031), validate.Failed, `"stones"`},
		{"a kerb", stones("Kerb"), validate.Failed, `"kerb"`},
		{"a lowered kerb", stones("Dropped kerb"), validate.Passed, ""},
		{"a flush bench", stones("Bench, flush"), validate.Failed, `"bench"`},
	})
}

// TestPlainPropertiesThatSayMore: properties that most often say nothing to a
// machine are told where they do.
func TestPlainPropertiesThatSayMore(t *testing.T) {
	one := func(id, key string, v any) func(p *plot) { return withProps(id, key, v) }
	says := func(key string) string { return `"` + key + `"` }
	of := func(key string, v schema.Value) func(p *plot) { return func(p *plot) { member(p, key, v) } }
	var cases []wordCase
	for _, x := range []struct {
		id, key string
		value   any
		told    bool
	}{
		{"z1", "surface", "grass", false}, {"z1", "surface", "Rasen", false}, {"z1", "surface", "gravel", true}, {"z1", "surface", "steep grass", true}, {"z1", "surface", "grass 45 %", true}, {"z1", "surface", "closed", true}, {"z1", "surface", "green grass", false}, {"c1", "surface", "paved", false}, {"c1", "surface", "stairs", true}, {"h1", "surface", "gravel", true},
		{"z1", "priority", 3.0, false}, {"z1", "overlap_m", 0.1, false}, {"z1", "instrument", "rover 2", false}, {"z1", "angle_deg", 45.0, false}, {"d1", "direction_deg", 90.0, true},
		{"z1", "soil", "clay", false}, {"z1", "soil", "bog", true}, {"z1", "soil", "peat, soft", true}, {"z1", "soil", "well drained", false},
		{"z1", "condition", "good", false}, {"z1", "condition", "collapsed bank", true}, {"b1", "condition", "loose", true}, {"h1", "condition", "soft", false},
		{"z1", "use", "sports", false}, {"z1", "use", "public road", true}, {"z1", "roof", true, true}, {"z1", "roof", false, false}, {"d1", "roof", "yes", true}, {"g1", "roof", true, false}, {"g1", "building", true, false},
		{"z1", "irrigated", true, false}, {"z1", "irrigated", "heads 8 cm high", true}, {"z1", "direction", "along the road", false}, {"z1", "direction", "not across the ditch", true},
		{"z1", "mowdays", "Mon Thu", false}, {"z1", "mowdays", "none", true}, {"z1", "cutdays", 0.0, true}, {"z1", "cutdays", 2.0, false}, {"z1", "interval", "never", true},
		{"h1", "inventory", "moved 2 m west", true}, {"h1", "inventory", "tag 2 m up", false},
		{"k1", "use", "public road", false},
	} {
		want, word := validate.Passed, ""
		if x.told {
			want, word = validate.Failed, says(x.key)
		}
		cases = append(cases, wordCase{x.id + " " + x.key, one(x.id, x.key, x.value), want, word})
	}
	judgeWords(t, validate.RulePropertyUnread, append(cases, []wordCase{
		{"a plan in feet", of("unit", schema.String("feet")), validate.Failed, says("unit")},
		{"a plan in metres", of("unit", schema.String("m")), validate.Passed, ""},
		{"a plan that is turned", of("north_deg", num(12)), validate.Failed, says("north_deg")},
		{"a plan's north in words", of("north", schema.String("up")), validate.Passed, ""},
	}...))
}

func TestFiguresSaidOtherwise(t *testing.T) {
	const says = "take the wrong one out"
	judgeWords(t, validate.RulePropertyMisnamed, []wordCase{
		{"the same heading", withProps("d1", "heading", 90.0), validate.Passed, ""},
		{"the same, a turn on", withProps("d1", "heading", "451"), validate.Passed, ""},
		{"a hair more than a degree off", withProps("d1", "heading", 91.01), validate.Failed, says},
		{"the other way", withProps("d1", "heading", 270.0), validate.Failed, says},
		{"a heading in a word", withProps("d1", "heading", "east"), validate.Passed, ""},
		{"the same standoff", withProps("d1", "standoff_cm", 201.0), validate.Passed, ""},
		{"a hair more", withProps("d1", "standoff_cm", 201.1), validate.Failed, says},
		{"in another word", withProps("d1", "lineup_m", 5.0), validate.Failed, says},
		{"how far it is from elsewhere", withProps("d1", "distance_m", 5.0), validate.Passed, ""},
		{"an antenna in feet", withProps("b1", "antenna_height", "2.5 ft"), validate.Failed, says},
		{"an antenna as high", withProps("b1", "antenna_height", "2.5 m"), validate.Passed, ""},
	})
}

func TestEdgesThatAreNot(t *testing.T) {
	edge := func(kind string, props ...any) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: "Edge", line: []orb.Point{{45, 5}, {45, 15}}, z: flatGround}).set("edge_kind", schema.String(kind))
			withProps("e9", props...)(p)
		}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a fence of 0.099 m", edge("fence", "height_m", 0.099), validate.Failed, "stops no machine"},
		{"a fence of 0.1 m", edge("fence", "height_m", 0.1), validate.Passed, ""},
		{"a wall of 2 cm", edge("wall", "height_m", 0.02), validate.Failed, "stops no machine"},
		{"a kerb of 2 cm", edge("kerb", "height_m", 0.02), validate.Passed, ""},
		{"a wall that says none", edge("wall", "height_m", 0.0), validate.Passed, ""},
	})
	over := func(v any) func(p *plot) {
		return func(p *plot) { croquet(p); withProps("o1", "driven_over", true, "open", v)(p) }
	}
	judgeWords(t, validate.RulePropertyUnread, []wordCase{
		{"a cover that is open in summer", over("in summer"), validate.Failed, `"open"`},
		{"one that is open", over("yes"), validate.Passed, ""},
		{"a folder that is open", over(true), validate.Passed, ""},
	})
}

func TestDepthsHideNoSky(t *testing.T) {
	// 2 m before the dock at (36, 10), and as high.
	pit := func(kind string, name string) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "x1", role: "hazard", name: name, rings: [][]orb.Point{rect(38, 5, 44, 15)}, z: flatGround}).set("hazard_kind", schema.String(kind)).set("height_m", num(4))
		}
	}
	edge := func(kind, name string) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "x1", role: "edge", name: name, line: []orb.Point{{38, 5}, {38, 15}}, z: flatGround}).set("edge_kind", schema.String(kind)).set("height_m", num(4))
		}
	}
	judgeWords(t, validate.RuleSkyBlocked, []wordCase{
		{"a pit", pit("pit", "Pit"), validate.Passed, ""},
		{"a pond", pit("pond", "Pond"), validate.Passed, ""},
		{"a light well", pit("light well", "Shaft"), validate.Passed, ""},
		{"a ledge", edge("drop", "Ledge"), validate.Passed, ""},
		{"a shed", pit("shed", "Thing"), validate.Failed, "hides the sky"},
		{"a cliff", pit("cliff", "Thing"), validate.Failed, "hides the sky"},
		{"a retaining wall", pit("retaining wall", "Thing"), validate.Failed, "hides the sky"},
		{"a pit behind a wall", pit("pit", "Pit wall"), validate.Failed, "hides the sky"},
		{"a drop that is a wall by its name", edge("drop", "Terrace wall"), validate.Failed, "hides the sky"},
		{"a wall", edge("wall", "Edge"), validate.Failed, "hides the sky"},
		{"what may be anything", pit("xyz", "Thing"), validate.Failed, "hides the sky"},
	})
}

func TestPlacedInAnotherGrid(t *testing.T) {
	grid := func(name string) func(p *plot) {
		return func(p *plot) {
			member(p, "placement", schema.Object(schema.Attributes{{Key: "grid", Value: schema.String(name)}, {Key: "rms_m", Value: num(0.01)}, {Key: "marks", Value: num(4)}}))
		}
	}
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"its own", grid("EPSG:32629"), validate.Passed, ""}, // 12 to 6 degrees west
		{"the next", grid("EPSG:32630"), validate.Passed, ""},
		{"two on", grid("EPSG:32631"), validate.Unchecked, "outside its area of use"},
		{"none", grid("local grid"), validate.Unchecked, "names no known system"},
	})
}

func TestNotesOfTheNewestEntry(t *testing.T) {
	entry := func(note string) func(p *plot) {
		return func(p *plot) {
			v := entryAt(p, 0, `"date":"2026-05-01"`, t)
			fields := append(v.Fields().Clone(), schema.Attribute{Key: "note", Value: schema.String(note)})
			member(p, "history", schema.List(schema.Object(fields)))
		}
	}
	judgeWords(t, validate.RuleBaseMoved, []wordCase{
		{"a note", entry("measured anew after the storm"), validate.Passed, ""},
		{"a move that was measured", entry("mast moved 0.5 m, measured anew"), validate.Passed, ""},
		{"a move since", entry("mast moved 0.5 m since"), validate.Unchecked, `"moved"`},
		{"a move since, in German", entry("Mast seitdem versetzt"), validate.Unchecked, `"versetzt"`},
		{"a rough position", entry("approximate, from the map"), validate.Unchecked, `"approximate"`},
	})
}

func TestPlacesWithUnits(t *testing.T) {
	at := func(key string, off float64) func(p *plot) {
		return func(p *plot) {
			lat := plotLat + off
			p.get("b1").set(key, num(lat))
		}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a latitude 1 km off", at("latitude_deg", 0.01), validate.Unchecked, "off that"},
		{"in brackets", at("Lat (deg)", 0.01), validate.Unchecked, "off that"},
		{"a width of 48", at("lat_width", 0.01), validate.Passed, ""},
		{"the ground under the mast", withProps("b1", "elevation_m", plotH), validate.Passed, ""},
		{"the same 0.2 m off", withProps("b1", "elevation_m", plotH+0.2), validate.Unchecked, "off that"},
		{"the antenna", withProps("b1", "elevation (m)", plotH+2.5), validate.Passed, ""},
	})
}
