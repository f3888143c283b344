// What people write for slope_percent and slope_deg.

package validate_test

import (
	"testing"

	"swardline/schema"
	"swardline/validate"
)

func TestSlopesAsPeopleWriteThem(t *testing.T) {
	text := schema.String
	on := func(id, key string, v schema.Value) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, v) }
	}
	judgeWords(t, validate.RuleSlopeLimit, []wordCase{
		{"digits", on("z1", "slope_percent", text("35.1")), validate.Failed, "slopes 35.1 % by its slope_percent"},
		{"digits, a hair less", on("c1", "slope_percent", text("35")), validate.Passed, ""},
		{"with a sign", on("z1", "slope_percent", text("60 %")), validate.Failed, "60"},
		{"with a comma", on("c1", "slope_percent", text("35,1")), validate.Failed, "35.1"},
		{"a range", on("z1", "slope_percent", text("20-36")), validate.Failed, "36"},
		{"a range within", on("c1", "slope_percent", text("20–35 %")), validate.Passed, ""},
		{"a list", on("z1", "slope_percent", schema.List(num(12), text("40 %"))), validate.Failed, "40"},
		{"down", on("z1", "slope_percent", text("-36")), validate.Failed, "36"},
		{"down, a number", on("z1", "slope_percent", num(-36)), validate.Failed, "36"},
		{"degrees of percent", on("z1", "slope_percent", text("20°")), validate.Failed, "36.4"},
		{"degrees, a hair less", on("c1", "slope_deg", text("19.28")), validate.Passed, ""},
		{"degrees, a hair more", on("z1", "slope_deg", text("19.31 deg")), validate.Failed, "slope_deg"},
		{"one to so many", on("z1", "slope", text("1:2.8")), validate.Failed, "35.7"},
		{"a hair less steep", on("c1", "slope", text("1 in 2,9")), validate.Passed, ""},
		{"upright", on("z1", "slope_deg", num(90)), validate.Failed, ""},
		{"words", on("z1", "slope_percent", text("steep")), validate.Unchecked, `"slope_percent" ("steep")`},
		{"an object", on("z1", "slope_percent", schema.Object(schema.Attributes{{Key: "max", Value: num(60)}})), validate.Unchecked, "slope_percent"},
		{"nothing", on("z1", "slope_percent", text(" ")), validate.Passed, ""},
		{"no unit", on("z1", "Gefälle", num(36)), validate.Failed, "Gefälle"},
		{"no unit, may be degrees", on("z1", "slope", num(19.4)), validate.Unchecked, "without a unit"},
		{"no unit, flat either way", on("c1", "slope", num(19.2)), validate.Passed, ""},
		{"a column cut short", on("z1", "slope_perc", num(36)), validate.Failed, "slope_perc"},
		{"with a bracket", on("z1", "Neigung (%)", num(36)), validate.Failed, "Neigung (%)"},
		{"the most", on("c1", "max_slope_pct", text("36")), validate.Failed, "max_slope_pct"},
		{"the plan's own limit", func(p *plot) {
			p.get("z1").set("slope_percent", text("20.1"))
			member(p, "limits", schema.Object(schema.Attributes{{Key: "slope_max_percent", Value: num(20)}}))
		}, validate.Failed, "the limit is 20 %"},
		{"the lawn's own", func(p *plot) {
			p.get("z1").set("slope_percent", text("20.1")).set("limits", schema.Object(schema.Attributes{{Key: "slope_max_percent", Value: num(20)}}))
		}, validate.Failed, "the limit is 20 %"},
		{"the steepest of two", func(p *plot) {
			p.get("z1").set("slope_percent", num(3)).set("slope_deg", num(30))
		}, validate.Failed, "slope_deg"},
		{"a grade that is none", on("z1", "grade", text("A")), validate.Passed, ""},
	})
	judgeWords(t, validate.RulePropertyUnread, []wordCase{
		{"a slope in words", on("z1", "slope", text("steep")), validate.Failed, `"slope" ("steep"`},
		{"a slope that is read", on("z1", "slope_pct", text("12 %")), validate.Passed, ""},
		{"a slope of a hazard", on("h1", "slope_pct", text("12 %")), validate.Failed, "slope_pct"},
	})
}
