// Gates that open what lies behind the edge that they lie in.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestOpenedBehind(t *testing.T) {
	// A gate in the one edge, or so far from it, and the other so far behind.
	behind := func(kind, other string, at, off float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "f", kind, nil, orb.Point{60, -20}, orb.Point{70, -20})
			edgeOf(p, "w", other, nil, orb.Point{60, -20 - off}, orb.Point{70, -20 - off})
			edgeOf(p, "g", "gate", nil, orb.Point{64, -20 + at}, orb.Point{66, -20 + at})
		}
	}
	wide := func(draw func(p *plot), width float64) func(p *plot) {
		return func(p *plot) { draw(p); p.get("w").set("width_m", num(width)) }
	}
	judgeWords(t, "edge-setback", []wordCase{
		{"a wall behind the fence of a gate", behind("fence", "wall", 0, 0.03), validate.Failed, "counts as open through the wall"},
		{"a fence behind the wall of a gate", behind("wall", "fence", 0, 0.03), validate.Failed, "counts as open through the fence"},
		{"a wall that it does not open", behind("fence", "wall", 0, 0.052), validate.Passed, ""},
		{"a hair nearer", behind("fence", "wall", 0, 0.048), validate.Failed, "0.048 m off"},
		{"a wall in the same place", behind("fence", "wall", 0, 0), validate.Passed, ""},
		{"both 0.2 m from the gate", behind("fence", "wall", 0.2, 0), validate.Passed, ""},
		{"the wall 0.03 m farther from it", behind("fence", "wall", 0.2, 0.03), validate.Failed, "0.23 m off"},
		{"a fence by foot and top", behind("fence", "fence", 0, 0.03), validate.Passed, ""},
		{"a wall whose width the gate lies on", wide(behind("fence", "wall", 0, 0.03), 0.064), validate.Passed, ""},
		{"and one it does not", wide(behind("fence", "wall", 0, 0.03), 0.054), validate.Failed, "counts as open"},
		{"a gate too long to open anything", func(p *plot) {
			behind("fence", "wall", 0, 0.03)(p)
			p.get("g").set("limits", schema.Object(schema.Attributes{{Key: "opening_max_m", Value: num(1)}}))
		}, validate.Failed, "past 1.00 m it opens no edge"},
		{"a wall that it does not reach along", func(p *plot) {
			behind("fence", "wall", 0, 0.03)(p)
			p.get("w").line = []orb.Point{{67, -20.03}, {70, -20.03}}
		}, validate.Passed, ""},
	})
}
