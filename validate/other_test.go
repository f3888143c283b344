// What has the role other, by where it lies and what it says of itself.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestOtherInZone(t *testing.T) {
	other := func(x *thing, props ...schema.Attribute) func(p *plot) {
		return func(p *plot) {
			one := *x
			one.id, one.role, one.z, one.props = "o1", "other", flatGround, props
			if one.name == "" {
				one.name = "Q7"
			}
			p.add(&one)
		}
	}
	area := func(x0, y0, x1, y1 float64) *thing { return &thing{rings: [][]orb.Point{rect(x0, y0, x1, y1)}} }
	line := func(name string, pts ...orb.Point) *thing { return &thing{name: name, line: pts} }
	point := func(x, y float64) *thing { return &thing{point: &orb.Point{x, y}} }
	word := func(key, text string) schema.Attribute {
		return schema.Attribute{Key: key, Value: schema.String(text)}
	}
	over := func(v schema.Value) schema.Attribute { return schema.Attribute{Key: "driven_over", Value: v} }
	height := func(m float64) schema.Attribute { return schema.Attribute{Key: "height_m", Value: num(m)} }
	const says = `say "driven_over": true where it may`
	judgeWords(t, validate.RuleOtherInZone, []wordCase{
		{"an area", other(area(20, -25, 23, -21)), validate.Failed, says},
		{"a line", other(line("", orb.Point{20, -25}, orb.Point{23, -21})), validate.Failed, says},
		{"a point", other(point(20, -25)), validate.Failed, says},
		{"an area round everything", other(area(-50, -50, 90, 60)), validate.Failed, says},
		{"that is driven over", other(area(20, -25, 23, -21), over(schema.Bool(true))), validate.Passed, ""},
		{"that is not", other(area(20, -25, 23, -21), over(schema.Bool(false))), validate.Failed, says},
		{"that stands a hair under a step in a way", other(area(14, -6, 16, -4), over(schema.Bool(true)), height(0.15)), validate.Passed, ""},
		{"that stands higher", other(area(14, -6, 16, -4), over(schema.Bool(true)), height(0.152)), validate.Failed, `by its "height_m"`},
		{"mown over, and as flush as an edge", other(area(20, -25, 23, -21), over(schema.Bool(true)), height(0.03)), validate.Passed, ""},
		{"mown over, and higher", other(area(20, -25, 23, -21), over(schema.Bool(true)), height(0.032)), validate.Failed, "the limit is 0.030 m"},
		{"mown over at its height", func(p *plot) {
			other(area(20, -25, 23, -21), over(schema.Bool(true)), height(0.06))(p)
			p.get("z2").set("cut_mm", schema.Int(60))
		}, validate.Passed, ""},
		{"mown over lower", func(p *plot) {
			other(area(20, -25, 23, -21), over(schema.Bool(true)), height(0.06))(p)
			p.get("z2").set("cut_mm", schema.Int(58))
		}, validate.Failed, "the limit is 0.058 m"},
		{"mown over, in a hollow", other(area(20, -25, 23, -21), over(schema.Bool(true)), schema.Attribute{Key: "depth_m", Value: num(0.1)}), validate.Passed, ""},
		{"the plan's own step", func(p *plot) {
			other(area(14, -6, 16, -4), over(schema.Bool(true)), height(0.102))(p)
			member(p, "limits", schema.Object(schema.Attributes{{Key: "step_max_m", Value: num(0.1)}}))
		}, validate.Failed, "the limit is 0.10 m"},
		{"that stands above the ground by its mode", func(p *plot) {
			other(area(20, -25, 23, -21), over(schema.Bool(true)), word("altitude_mode", "relativeToGround"))(p)
			p.get("o1").z = func(orb.Point) float64 { return 0.152 }
		}, validate.Failed, `by its "altitude_mode"`},
		{"that stands a hair under a step by its mode", func(p *plot) {
			other(area(14, -6, 16, -4), over(schema.Bool(true)), word("altitude_mode", "relativeToGround"))(p)
			p.get("o1").z = func(orb.Point) float64 { return 0.15 }
		}, validate.Passed, ""},
		{"that lies under the ground by the mode of a part", func(p *plot) {
			other(area(20, -25, 23, -21), over(schema.Bool(true)), schema.Attribute{Key: "altitude_mode", Value: schema.List(schema.Null(), schema.String("relativeToSeaFloor"))})(p)
			p.get("o1").z = func(orb.Point) float64 { return -2 }
		}, validate.Failed, "2.00 m off the ground"},
		{"whose heights are of the sea", func(p *plot) {
			other(area(20, -25, 23, -21), over(schema.Bool(true)), word("altitude_mode", "absolute"))(p)
		}, validate.Passed, ""},
		{"that lies deep", other(area(20, -25, 23, -21), over(schema.Bool(true)), word("depth", "1,3 m")), validate.Failed, "1.30 m off the ground"},
		{"beside the lawn, and high", other(area(30, -25, 33, -21), over(schema.Bool(true)), schema.Attribute{Key: "height_m", Value: num(2)}), validate.Passed, ""},
		{"yes in words", other(area(20, -25, 23, -21), over(schema.String("yes"))), validate.Failed, says},
		{"beside the lawn, and a path", other(&thing{name: "Path 7", rings: [][]orb.Point{rect(30, -25, 33, -21)}}), validate.Passed, ""},
		{"beside the lawn, and who knows what", other(area(30, -25, 33, -21)), validate.Failed, "what it is cannot be told"},
		{"reaching in by 2 mm", other(area(29.998, -25, 33, -21)), validate.Failed, says},
		{"under the bed's keep-out", other(point(10, 10)), validate.Passed, ""},
		{"switched off", other(area(20, -25, 23, -21), schema.Attribute{Key: "active", Value: schema.Bool(false)}), validate.NotNeeded, ""},
		{"a text of a drawing", other(point(20, -25), word("entity", "MTEXT")), validate.Passed, ""},
		{"a block of a drawing", other(point(20, -25), word("entity", "INSERT")), validate.Failed, says},
		{"an outline that was a text", other(area(20, -25, 23, -21), word("entity", "TEXT")), validate.Failed, says},
		{"a contour", other(line("Höhenlinie 42", orb.Point{20, -25}, orb.Point{23, -21})), validate.Passed, ""},
		{"by its layer", other(line("", orb.Point{20, -25}, orb.Point{23, -21}), word("layer", "CONTOURS")), validate.Passed, ""},
		{"that climbs", func(p *plot) {
			other(line("Contour", orb.Point{20, -25}, orb.Point{23, -21}))(p)
			p.get("o1").z = func(q orb.Point) float64 { return plotH + 0.001*q[0] }
		}, validate.Failed, says},
		{"that has no height", func(p *plot) {
			other(line("Contour", orb.Point{20, -25}, orb.Point{23, -21}))(p)
			p.get("o1").z = nil
		}, validate.Passed, ""},
		{"that its name calls a pond", func(p *plot) {
			other(area(20, -25, 23, -21))(p)
			p.get("o1").name = "Pond"
		}, validate.Passed, ""}, // name-contradicts tells it
		{"of a role that is none", func(p *plot) {
			other(area(20, -25, 23, -21))(p)
			p.get("o1").role = "teich"
		}, validate.Passed, ""}, // role-unknown tells it
	})
	// By a corridor: within half the machine's width of its line, the plan's own
	// width where that is more.
	for _, x := range []struct {
		off, width float64
		told       bool
	}{{0.298, 0, true}, {0.301, 0, false}, {0.398, 0.8, true}, {0.401, 0.8, false}} {
		p := park()
		p.add(&thing{id: "o1", role: "other", name: "Path 7", point: &orb.Point{15 + x.off, -5}, z: flatGround})
		if x.width > 0 {
			member(p, "limits", schema.Object(schema.Attributes{{Key: "machine_width_m", Value: num(x.width)}}))
		}
		got := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleOtherInZone).Outcome
		if (got == validate.Failed) != x.told {
			t.Errorf("%g m beside the corridor: %s", x.off, got)
		}
	}
}
