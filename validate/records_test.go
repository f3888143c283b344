// Tests of what records say beside the drawing: notes of the history, dates and times,
// figures as texts, heights as texts, what a mark is, what a link leads to.

package validate_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// recorded writes a history of one entry at the base with these members too.
func recorded(more string) func(p *plot) {
	return func(p *plot) {
		at := p.get("b1").point
		flat := []float64{at[0], at[1], plotH + 2.5}
		if err := plotGrid.ToGeodetic(flat, 3); err != nil {
			panic(err)
		}
		text := fmt.Sprintf(`[{"stored": [%.10f, %.10f, %.3f], "date": "2026-04-01", "kind": "record"%s}]`, flat[0], flat[1], flat[2], more)
		var v schema.Value
		if err := json.Unmarshal([]byte(text), &v); err != nil {
			panic(err)
		}
		member(p, "history", v)
	}
}

func TestHistoryNotes(t *testing.T) {
	var cases []wordCase
	for _, note := range []string{"bolts retightened after storm", "single fix only", "mast swings in wind", "washed out", "not levelled", "copied from old plan", "10 cm too high", "mast at neighbour house", "taken from the map", "doubtful", "new pole 30 cm longer", "antenna swapped", "mast shortened", "moved to the shed"} {
		cases = append(cases, wordCase{note, recorded(`, "note": "` + note + `"`), validate.Failed, "note of entry 1"})
	}
	for _, note := range []string{"set up", "first survey", "yearly look", "checked, no change", "base measured with RTK", "Mast aufgestellt", "measured again in spring, same", "stored by the installer"} {
		cases = append(cases, wordCase{note, recorded(`, "note": "` + note + `"`), validate.Passed, ""})
	}
	for _, by := range []string{"SBAS", "Navi eTrack", "nobody", "unknown", "no RTK", "dgps", "niemand", "Street Maps", "taken from Earth", "old base", "the old base", "mower", "storm", "wind", "robot"} {
		cases = append(cases, wordCase{by, recorded(`, "measured_by": "` + by + `"`), validate.Failed, "measured_by of entry 1"})
	}
	for _, by := range []string{"", "static, 4 h", "K. Lind", "Lind & van Berg surveyors", "RTK, fixed, twice", "mean of two sessions", "Storm & Wind Surveyors", "P. Old", "robotic total station"} {
		cases = append(cases, wordCase{by, recorded(`, "measured_by": "` + by + `"`), validate.Passed, ""})
	}
	judgeWords(t, validate.RuleWordsUnread, cases)
}

func TestBaseLaterThanGround(t *testing.T) {
	dated := func(key, ground, base string) func(p *plot) {
		return func(p *plot) {
			p.get("z1").set(key, schema.String(ground))
			p.get("z2").set(key, schema.String("2021-05-01"))
			p.get("b1").set(key, schema.String(base))
		}
	}
	const later = "later than that of all zones"
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"of one survey", dated("date", "2023-04-02", "2023-04-03"), validate.NotNeeded, ""},
		{"two months later", dated("date", "2023-04-02", "2023-06-02"), validate.NotNeeded, ""},
		{"a hair more", dated("date", "2023-04-02", "2023-06-05"), validate.Failed, later},
		{"by a time", dated("timestamp", "2021-07-01T10:00:00Z", "2026-03-01T10:00:00Z"), validate.Failed, later},
		{"as the file was touched", dated("updated", "2021-07-01", "2026-03-01"), validate.NotNeeded, ""},
		{"with a history", both(dated("date", "2023-04-02", "2026-03-01"), recorded("")), validate.NotNeeded, ""},
		{"earlier", dated("date", "2023-04-02", "2022-03-01"), validate.NotNeeded, ""},
	})
	note := func(key, text string) func(p *plot) {
		return func(p *plot) { p.get("b1").set(key, schema.String(text)) }
	}
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a new pole", note("comment", "new pole"), validate.Failed, "since when it stands there"},
		{"a second mast", note("description", "second mast"), validate.Failed, "since when it stands there"},
		{"new alone", note("note", "new"), validate.Failed, "since when it stands there"},
		{"with a history", both(note("note", "new mast"), recorded("")), validate.Passed, ""},
		{"a new garden", note("note", "mown in the new season"), validate.Passed, ""},
		{"a mast", note("note", "mast of the house"), validate.Passed, ""},
	})
}

func TestFiguresAsTexts(t *testing.T) {
	set := func(id, key string, v schema.Value) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, v) }
	}
	text := schema.String
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"a comma", set("b1", "hdop", text("12,4")), validate.Failed, "precision of 12.4"},
		{"a comma, within", set("b1", "hdop", text("1,4")), validate.NotNeeded, ""},
		{"a sign", set("b1", "pdop", text(">20")), validate.Failed, "precision of 20"},
		{"words behind", set("z1", "pdop", text("9.5 (max)")), validate.Failed, "precision of 9.5"},
		{"a word", set("h1", "hdop", text("high")), validate.Failed, "precision of"},
		{"no word for it", set("h1", "hdop", text("n/a")), validate.NotNeeded, ""},
		{"of how many", set("b1", "sats", text("3 of 30")), validate.Failed, "3 satellites"},
		{"of how many, enough", set("b1", "sats", text("14/31")), validate.NotNeeded, ""},
		{"a dilution below 0", set("b1", "hdop", schema.Int(-1)), validate.Failed, "which no receiver gives"},
		{"a dilution of nothing", set("b1", "pdop", schema.Float(0.199)), validate.Failed, "which no receiver gives"},
		{"the least dilution", set("b1", "pdop", schema.Float(0.2)), validate.NotNeeded, ""},
		{"a dilution never filled in", set("b1", "pdop", schema.Int(0)), validate.Failed, "which no receiver gives"},
		{"one of a point that is fixed", func(p *plot) { p.get("z1").set("pdop", schema.Int(0)).set("fix", text("fixed")) }, validate.Unchecked, ""},
		{"a dilution in words", set("b1", "hdop", text("minus two")), validate.Failed, "which no receiver gives"},
		{"a good one", set("b1", "hdop", text("good")), validate.NotNeeded, ""},
		{"satellites below 0", set("b1", "satellites", schema.Int(-3)), validate.Failed, "which no receiver gives"},
		{"81 satellites", set("b1", "sats", schema.Int(81)), validate.Failed, "which no receiver gives"},
		{"80 satellites", set("b1", "sats", schema.Int(80)), validate.NotNeeded, ""},
		{"99 satellites", set("b1", "sats", schema.Int(99)), validate.Failed, "which no receiver gives"},
		{"half a satellite", set("b1", "sats", schema.Float(12.5)), validate.Failed, "which no receiver gives"},
		{"corrections from the time to come", set("b1", "age", schema.Int(-1)), validate.Failed, "which no receiver gives"},
		{"an age", set("b1", "Age", schema.Int(61)), validate.Failed, "corrections 61 s old"},
		{"an age in time", set("b1", "Age", schema.Int(60)), validate.NotNeeded, ""},
		{"a mark's", set("m1", "age", text("183")), validate.Failed, "corrections 183 s old"},
		{"a lawn's in years", set("z1", "age", schema.Int(90)), validate.NotNeeded, ""},
		{"epochs", set("b1", "epochs", schema.Int(4)), validate.Failed, "whether the fix was a right one"},
		{"epochs enough", set("b1", "epochs", schema.Int(5)), validate.NotNeeded, ""},
		{"times to come", set("z1", "times", schema.List(schema.List(text("2199-05-01T10:00:00Z"), text("2199-05-01T10:01:00Z")))), validate.Failed, "that has not come yet"},
		{"times of a clock not set", set("z1", "times", schema.List(schema.List(text("1980-01-06T00:00:00Z"), text("1980-01-06T00:01:00Z")))), validate.Failed, "in which nothing was measured"},
		{"times", set("z1", "times", schema.List(schema.List(text("2024-05-01T10:00:00Z"), text("2024-05-01T10:01:00Z")))), validate.NotNeeded, ""},
		{"a site grid as high", func(p *plot) { member(p, "site_grid", text("site:lat=43.5;lon=-7.25;h=144.4;rotation=0;scale=1")) }, validate.NotNeeded, ""},
		{"a site grid far above", func(p *plot) { member(p, "site_grid", text("site:lat=43.5;lon=-7.25;h=144.6;rotation=0;scale=1")) }, validate.Failed, "higher or lower than the plan"},
	})
	// The ground lies at 42 m.
	const off = "off that"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a height with a comma", set("z1", "z", text("42,1")), validate.Passed, ""},
		{"another with a comma", set("z1", "z", text("44,2")), validate.Unchecked, off},
		{"a height with metres", set("z1", "elevation", text("42.0 m")), validate.Passed, ""},
		{"another with metres", set("z1", "altitude", text("250 m")), validate.Unchecked, off},
		{"a word", set("z1", "altitude", text("unknown")), validate.Passed, ""},
	})
}

func TestPegsAndLinksAndAlways(t *testing.T) {
	mark := func(x float64, key, text string) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "m9", role: "mark", name: "P7", point: &orb.Point{x, -20}, z: flatGround}).set(key, schema.String(text))
		}
	}
	off := func(note string) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "k9", "keepout", flatGround, rect(8, -22, 12, -18)).set("active", schema.Bool(false)).set("note", schema.String(note)).name = "Tent"
		}
	}
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a peg", mark(15, "type", "peg"), validate.Failed, "peg"},
		{"a stake", mark(15, "marker", "wooden stake"), validate.Failed, "stake"},
		{"a code", mark(15, "code", "PEG"), validate.Failed, "peg"},
		{"a nail", mark(15, "type", "nail"), validate.Passed, ""},
		{"a flush peg", mark(15, "type", "flush peg"), validate.Passed, ""},
		{"a nail in a post", mark(15, "type", "post nail"), validate.Passed, ""},
		{"a peg off the lawn", mark(-5, "type", "peg"), validate.Passed, ""},
		{"off, and there all year", off("stands all year"), validate.Failed, "there all the time"},
		{"off, and there always", off("immer da"), validate.Failed, "there all the time"},
		{"off, and not always", off("not always there"), validate.Passed, ""},
		{"off till summer", off("summer only"), validate.Passed, ""},
	})
	link := func(rel, title string) func(p *plot) {
		return func(p *plot) {
			var a schema.Attributes
			a.Set("rel", schema.String(rel))
			a.Set("href", schema.String("garden.geojson"))
			a.Set("title", schema.String(title))
			member(p, "links", schema.List(schema.Object(a)))
		}
	}
	judgeWords(t, validate.RuleWordsUnread, []wordCase{
		{"another form", link("alternate", "as a map"), validate.Passed, ""},
		{"what came after", link("successor-version", "garden"), validate.Failed, "successor"},
		{"what was put right", link("alternate", "corrected"), validate.Failed, "corrected"},
	})
}
