// What the record of a placement says against itself, and how well its marks hold
// the site.

package validate_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// fittedOn is the park placed on marks at the given places, with a record of them.
func fittedOn(rms float64, more schema.Attributes, at ...orb.Point) func(p *plot) {
	return func(p *plot) {
		p.remove("m1")
		for i, q := range at {
			p.add(&thing{id: fmt.Sprintf("q%d", i), role: "mark", name: fmt.Sprintf("Q%d", i+1), point: &q, z: flatGround})
		}
		record := schema.Attributes{{Key: "model", Value: schema.String("similarity")}, {Key: "rms_m", Value: num(rms)},
			{Key: "marks", Value: num(float64(len(at)))}, {Key: "redundancy", Value: num(float64(2*len(at) - 4))}}
		for _, a := range more {
			record.Set(a.Key, a.Value)
		}
		member(p, "placement", schema.Object(record))
	}
}

// about are four marks on a circle of radius a about the middle of the lawns.
func about(a float64) []orb.Point {
	return []orb.Point{{15 + a, -5}, {15, -5 + a}, {15 - a, -5}, {15, -5 - a}}
}

func TestSpreadOfPlacement(t *testing.T) {
	// Four marks a from their middle have the sum of squares 4 a^2, so that a place d
	// from there is good to s/2 sqrt(1 + (d/a)^2). The corners of both lawns are
	// hypot(15, 25) = 29.155 m off; with s 0.01 m that is 0.05 m at a = d/sqrt(99) =
	// 2.9302 m, with s 0.02 m at d/sqrt(24) = 5.9512 m.
	const wide = "measure marks about the whole site"
	set := func(key string, v schema.Value) schema.Attributes { return schema.Attributes{{Key: key, Value: v}} }
	own := func(limit float64) func(p *plot) {
		return func(p *plot) {
			fittedOn(0.005, nil, about(2.94)...)(p)
			member(p, "limits", schema.Object(set("survey_sigma_m", num(limit))))
		}
	}
	five := []orb.Point{{-5, -35}, {40, -32}, {42, 24}, {-6, 25}, {12, -4}}
	line := func(off float64) []orb.Point { return []orb.Point{{0, -4}, {25, -4 + off}, {50, -4}} }
	listed := func(a float64) schema.Value {
		var out []schema.Value
		for i, q := range about(a) {
			out = append(out, schema.Object(schema.Attributes{{Key: "name", Value: schema.String(fmt.Sprint("A", i))},
				{Key: "e", Value: num(500000 + q[0])}, {Key: "n", Value: num(5300000 + q[1])}, {Key: "residual_m", Value: num(0.004)}}))
		}
		return schema.List(out...)
	}
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"five marks about the site", fittedOn(0.008, nil, five...), validate.Passed, ""},
		{"four, a hair wide enough", fittedOn(0.005, nil, about(2.935)...), validate.Passed, ""},
		{"a hair too near", fittedOn(0.005, nil, about(2.925)...), validate.Failed, wide},
		{"of a larger rms, a hair wide enough", fittedOn(0.02, nil, about(5.96)...), validate.Passed, ""},
		{"of a larger rms, a hair too near", fittedOn(0.02, nil, about(5.94)...), validate.Failed, wide},
		{"the plan's own limit, a hair above", own(0.0499), validate.Passed, ""},
		{"a hair below", own(0.0497), validate.Failed, wide},
		{"all in a corner", fittedOn(0.008, nil, orb.Point{-5, -5}, orb.Point{-4.5, -5}, orb.Point{-4.5, -4.5}), validate.Failed, wide},
		{"a shift is as good everywhere", fittedOn(0.005, schema.Attributes{{Key: "model", Value: schema.String("shift")}, {Key: "redundancy", Value: num(6)}}, about(1)...), validate.Passed, ""},
		{"fewer marks in the plan than it was placed on", fittedOn(0.005, schema.Attributes{{Key: "marks", Value: num(5)}, {Key: "redundancy", Value: num(6)}}, about(1)...), validate.Passed, ""},
		// Half of the ground's 60 m is 29 m at the least from any mark.
		{"listed far from one another", fittedOn(0.005, set("marks", listed(20)), about(20)...), validate.Passed, ""},
		{"listed near one another", fittedOn(0.005, set("marks", listed(1)), about(20)...), validate.Failed, wide},
		{"in one line, a hair", fittedOn(0.005, nil, line(0.99)...), validate.Failed, "in one line"},
		{"a hair beside it", fittedOn(0.005, nil, line(1.01)...), validate.Passed, ""},
	})
}

func TestMarksHeldByOthers(t *testing.T) {
	// Of marks at (-w, 0), (w, 0) and (0, h) the others hold the third to 2/3 - (4 h^2 / 9) /
	// (2 w^2 + 2 h^2 / 3) of what it says, 0.1 at h = sqrt(17) w.
	tip := func(h float64) []orb.Point { return []orb.Point{{5, -30}, {25, -30}, {15, -30 + h}} }
	says := func(key string, v schema.Value) func(p *plot) {
		return fittedOn(0.005, schema.Attributes{{Key: key, Value: v}}, about(20)...)
	}
	const unheld = "an error of it turns the plan"
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"a hair held", fittedOn(0.005, nil, tip(41.2)...), validate.Passed, ""},
		{"a hair less", fittedOn(0.005, nil, tip(41.26)...), validate.Unchecked, unheld},
		{"one mark twice", fittedOn(0.005, nil, orb.Point{5, -30}, orb.Point{5, -30}, orb.Point{15, 20}), validate.Failed, unheld},
		{"by the record, held", says("least_redundancy", num(0.2)), validate.Passed, ""},
		{"by the record, a hair less", says("least_redundancy", num(0.1999)), validate.Unchecked, unheld},
		{"by the record, in words", says("least_redundancy", schema.String("good")), validate.Unchecked, unheld},
		// Marks of sigma s hold a corner 29.155 m off to s/2 sqrt(1 + (29.155/20)^2).
		{"marks of 0.0565 m", says("sigma_m", num(0.0565)), validate.Passed, ""},
		{"marks of 0.0567 m", says("sigma_m", num(0.0567)), validate.Failed, "measure marks about the whole site"},
	})
}

// marksThat are four marks of a record, the first of which says more.
func marksThat(says string) (v schema.Value) {
	text := `[{"name":"A",` + says + `},{"name":"B","residual_m":0.005},{"name":"C","residual_m":0.005},{"name":"D","residual_m":0.005}]`
	if err := v.UnmarshalJSON([]byte(text)); err != nil {
		panic(err)
	}
	return v
}

func TestPlacementAgainstItself(t *testing.T) {
	with := func(key string, v schema.Value) func(p *plot) {
		return fittedOn(0.005, schema.Attributes{{Key: key, Value: v}}, about(20)...)
	}
	text := schema.String
	fit := func(model string, spare float64) func(p *plot) {
		return fittedOn(0.005, schema.Attributes{{Key: "model", Value: text(model)}, {Key: "redundancy", Value: num(spare)}}, about(20)...)
	}
	grid := func(def string) func(p *plot) {
		return func(p *plot) { member(p, "site_grid", text(def)) }
	}
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"a redundancy of four marks", fit("similarity", 4), validate.Passed, ""},
		{"one of other marks", fit("similarity", 5), validate.Unchecked, "the record is not of this fit"},
		{"of a rigid fit", fit("rigid", 5), validate.Passed, ""},
		{"of an affine one", fit("affine", 4), validate.Unchecked, "the record is not of this fit"},
		{"another word for it", fit("2D Helmert", 4), validate.Passed, ""},
		{"a fit in two words", fit("4 parameter similarity", 4), validate.Passed, ""},
		{"a fit by eye", fit("helmert by eye", 4), validate.Unchecked, "is no fit that its marks check"},
		{"a model that is no fit", fit("rubber sheet", 4), validate.Unchecked, "is no fit that its marks check"},
		{"an rms as a text", with("rms_m", text("0.008 m")), validate.Passed, ""},
		{"an rms in feet", with("rms_m", text("0.02 ft")), validate.Unchecked, "in another unit"},
		{"a suspect", with("suspect", schema.List(text("M3"))), validate.Unchecked, "how well those fit"},
		{"none", with("suspect", schema.List()), validate.Passed, ""},
		{"none by a word", with("suspects", text("none")), validate.Passed, ""},
		{"approved", with("approved", schema.Bool(true)), validate.Passed, ""},
		{"not approved", with("approved", schema.Bool(false)), validate.Unchecked, "whether it holds is not known"},
		{"no draft", with("draft", schema.Bool(false)), validate.Passed, ""},
		{"a draft", with("draft", schema.Bool(true)), validate.Unchecked, "whether it holds is not known"},
		{"a mirrored one", with("mirrored", schema.Bool(true)), validate.Unchecked, "whether it holds is not known"},
		{"a flag that nobody knows", with("flag_7", schema.Bool(false)), validate.Unchecked, "whether it holds is not known"},
		{"a confidence", with("confidence", text("low")), validate.Unchecked, "is not read"},
		{"a unit", with("unit", text("m")), validate.Passed, ""},
		{"another unit", with("unit", text("yards")), validate.Unchecked, "whether its numbers are metres"},
		{"a shift", with("shift", jsonValue(t, `{"e":1,"n":2}`)), validate.Passed, ""},
		{"a shift that says something", with("shift", jsonValue(t, `{"e":1,"fixed":false}`)), validate.Unchecked, "says what is not read"},
		{"an operator", with("operator", text("Anna Keller")), validate.Passed, ""},
		{"an operator that says something", with("operator", jsonValue(t, `{"approved":false}`)), validate.Unchecked, "says what is not read"},
		{"one degree of freedom", with("dof", num(1)), validate.Passed, ""},
		{"none of them", with("dof", num(0)), validate.Unchecked, "hold one another to nothing"},
		{"a turn that is no number", with("rotation_deg", text("unknown")), validate.Unchecked, "is no number"},
		{"a unit of the drawing", with("drawing_unit_m", num(0.3048)), validate.Passed, ""},
		{"none of it", with("drawing_unit_m", num(0)), validate.Unchecked, "is no number"},
		{"marks in a word", with("marks", text("four")), validate.Unchecked, "neither how many nor a list"},
		{"a mark a hair within", with("marks", marksThat(`"de":0.024,"dn":0.018,"test_value":4`)), validate.Passed, ""},
		{"a mark a hair off", with("marks", marksThat(`"de":0.024,"dn":0.0181`)), validate.Failed, "has a residual of"},
		{"a mark too high", with("marks", marksThat(`"de":0.001,"dh":-0.031`)), validate.Failed, "has a residual of"},
		{"a mark that no fit of good ones has", with("marks", marksThat(`"test_value":4.1`)), validate.Failed, "test_value of 4.1"},
		{"a mark not used", with("marks", marksThat(`"used":false`)), validate.Unchecked, "which is not read"},
		{"a mark with a flag for its name", with("marks", marksThat(`"given":false`)), validate.Unchecked, "which is not read"},
		{"a site grid here", grid(fmt.Sprintf("site:lat=%v;lon=%v;h=45", plotLat, plotLon)), validate.NotNeeded, ""},
		{"a site grid elsewhere", grid("site:lat=10;lon=10;h=45"), validate.Unchecked, "nobody on the site can use"},
		{"a scale a hair within 0.2 %", grid(fmt.Sprintf("site:lat=%v;lon=%v;h=45;scale=1.0019", plotLat, plotLon)), validate.NotNeeded, ""},
		{"a hair past it", grid(fmt.Sprintf("site:lat=%v;lon=%v;h=45;scale=1.0021", plotLat, plotLon)), validate.Failed, "are not those on the ground"},
		{"one that is none", grid("site:lat=here"), validate.Unchecked, "cannot be read"},
	})
}
