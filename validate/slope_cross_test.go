// Heights of corridors that run beside one another.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestHeightsOfCorridorsAbreast(t *testing.T) {
	// A second corridor east of the path, so far off and so much higher.
	abreast := func(off, up float64, more ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			p.remove("e2")
			p.add(&thing{id: "c9", role: "corridor", name: "Second path", line: []orb.Point{{15 + off, -2}, {15 + off, -5}, {15 + off, -8}}, z: raisedTo(up)})
			for _, m := range more {
				m(p)
			}
		}
	}
	limit := func(key string, v float64) func(p *plot) {
		return func(p *plot) { member(p, "limits", schema.Object(schema.Attributes{{Key: key, Value: num(v)}})) }
	}
	own := func(key string, v float64) func(p *plot) {
		return func(p *plot) {
			p.get("c9").set("limits", schema.Object(schema.Attributes{{Key: key, Value: num(v)}}))
		}
	}
	wall := func(p *plot) { edgeOf(p, "w", "wall", nil, orb.Point{15.6, 1}, orb.Point{15.6, -11}) }
	judgeWords(t, validate.RuleSlopeLimit, []wordCase{
		{"as far as a drop needs", abreast(1.2, 0.9), validate.Failed, "where the fall begins"},
		{"there, 0.719 m up", abreast(1.2, 0.719), validate.Unchecked, "falls at the edge of what is driven"},
		{"0.569 m up", abreast(1.2, 0.569), validate.Passed, ""},
		{"0.721 m up", abreast(1.2, 0.721), validate.Failed, "where the fall begins"},
		{"a hair nearer", abreast(1.197, 0.9), validate.Failed, "where it meets"},
		{"with wider machines", abreast(1.297, 0.9, limit("machine_width_m", 0.7)), validate.Failed, "where it meets"},
		{"as far as they need", abreast(1.301, 0.9, limit("machine_width_m", 0.7)), validate.Failed, "where the fall begins"},
		{"with a wider margin of one", abreast(1.297, 0.9, own("hazard_margin_drop_m", 0.4)), validate.Failed, "where it meets"},
		{"as far as that needs", abreast(1.301, 0.9, own("hazard_margin_drop_m", 0.4)), validate.Failed, "where the fall begins"},
		{"with a wall between", abreast(1.197, 0.9, wall), validate.Unchecked, "only holds that up cannot be told"},
		{"as high as a slope", abreast(0.9, 0.31), validate.Passed, ""},
	})
}
