// Tests of words that formats bring: of points, of ids, of the whole file, of its
// placement and its history.

package validate_test

import (
	"fmt"
	"testing"

	"swardline/schema"
	"swardline/validate"
)

func TestWordsOfFiles(t *testing.T) {
	text := schema.String
	points := func(key, words string) func(p *plot) {
		return func(p *plot) {
			p.get("z1").set(key, schema.List(schema.List(text(words), schema.Null(), schema.Null(), schema.Null())))
		}
	}
	plan := func(key string, v schema.Value) func(p *plot) { return func(p *plot) { member(p, key, v) } }
	object := func(key, words string) schema.Value {
		return schema.Object(schema.Attributes{{Key: key, Value: text(words)}})
	}
	placed := func(key string, v schema.Value) func(p *plot) {
		return plan("placement", schema.Object(schema.Attributes{{Key: "rms_m", Value: num(0.004)}, {Key: key, Value: v}}))
	}
	site := func(north float64) schema.Value {
		return text(fmt.Sprintf("site:lat=%f;lon=%f;h=0;rotation=0;scale=1;fe=0;fn=0;base=OGC:CRS84", plotLat+north, plotLon))
	}
	judgeWords(t, validate.RuleWordsUnread, []wordCase{
		{"a symbol of a point", points("point_sym", "Flag, Blue"), validate.Passed, ""},
		{"one of a danger", points("point_sym", "Danger Area"), validate.Failed, `"danger"`},
		{"a name of a point", points("point_name", "P12"), validate.Passed, ""},
		{"one that says more", points("point_name", "open shaft"), validate.Failed, `"shaft"`},
		{"a type of a point", points("point_type", "hazard"), validate.Failed, `"hazard"`},
		{"a good accuracy", points("point_extensions", `<hAcc xmlns="x">0.05</hAcc>`), validate.Passed, ""},
		{"a hair worse", points("point_extensions", `<q:hAcc>0.051</q:hAcc>`), validate.Failed, `"hacc 0.051"`},
		{"what says no accuracy", points("point_extensions", `<speed>3.5</speed>`), validate.Passed, ""},
		{"a receiver", func(p *plot) { p.get("z1").set("src", text("RTK fix")) }, validate.Passed, ""},
		{"a source", func(p *plot) { p.get("z1").set("src", text("smartphone")) }, validate.Failed, `"smartphone"`},
		{"an id", func(p *plot) { p.get("z1").id = "lindenhof-3" }, validate.Passed, ""},
		{"an id that says something", func(p *plot) { p.get("z1").id = "DO-NOT-MOW" }, validate.Failed, `"DO-NOT-MOW" (id of`},
		{"an author", plan("author", object("name", "Anna Muster")), validate.Passed, ""},
		{"none", plan("author", object("name", "traced from imagery")), validate.Failed, "author of the plan"},
		{"an address", plan("link", object("href", "https://x.example/do")), validate.Passed, ""},
		{"a project", plan("project", text("Lindenhof 12")), validate.Passed, ""},
		{"another", plan("project", text("DRAFT")), validate.Failed, "project of the plan"},
		{"a source of the plan", plan("src", text("RTK survey")), validate.Passed, ""},
		{"one that is a picture", plan("src", text("map")), validate.Failed, "src of the plan"},
		{"a pond at low water", func(p *plot) { p.get("h1").name = "Pond at low water" }, validate.Failed, `"low water"`},
		{"a low wall", func(p *plot) { p.get("e1").name = "Low wall by the water" }, validate.Passed, ""},
		{"a dock at the entrance", func(p *plot) { p.get("d1").name = "Dock at the entrance" }, validate.Passed, ""},
		{"a dock that is entered from a side", func(p *plot) { p.get("d1").name = "Dock, entry from the north side" }, validate.Failed, `"from"`},
		{"a message", plan("message", text("shifted")), validate.Failed, "message of the plan"},
		{"a placement", placed("note", text("placed with four marks")), validate.Failed, `"placed"`},
		{"a placement of a quality", placed("quality", text("poor")), validate.Failed, `"poor"`},
		{"a placement by number", placed("note", text("4 marks")), validate.Passed, ""},
	})
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"marks left out", placed("left_out", schema.List(text("P3"))), validate.Unchecked, "left_out"},
		{"none left out", placed("left_out", schema.List()), validate.Passed, ""},
		{"in a site grid", placed("grid", site(0.445)), validate.Passed, ""},
		{"in one that is farther off", placed("grid", site(0.455)), validate.Unchecked, "site grid"},
	})
}
