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

func TestRampsThatOpenBehind(t *testing.T) {
	behind := func(off float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "k", "kerb", nil, orb.Point{60, -20}, orb.Point{70, -20})
			edgeOf(p, "d", "drop", nil, orb.Point{60, -20 - off}, orb.Point{70, -20 - off})
			edgeOf(p, "g", "ramp", nil, orb.Point{64, -20}, orb.Point{66, -20})
		}
	}
	piece := func(kind string, x0, x1 float64, fence bool) func(p *plot) {
		return func(p *plot) {
			if fence {
				edgeOf(p, "f", "fence", nil, orb.Point{60, -20}, orb.Point{70, -20})
			}
			edgeOf(p, "w", kind, nil, orb.Point{x0, -20}, orb.Point{x1, -20})
			edgeOf(p, "g", "gate", nil, orb.Point{64, -20}, orb.Point{66, -20})
		}
	}
	judgeWords(t, "edge-setback", []wordCase{
		{"a drop behind the kerb of a ramp", behind(0.03), validate.Failed, "counts as open through the drop"},
		{"a drop that it does not open", behind(0.052), validate.Passed, ""},
		{"a wall right in a gate", piece("wall", 64, 66, true), validate.Failed, "with its whole length in"},
		{"a fence in its half", piece("fence", 64.2, 65.2, true), validate.Failed, "with its whole length in"},
		{"a wall that goes on", piece("wall", 64, 66.31, true), validate.Passed, ""},
		{"a span of the fence with its gate", piece("fence", 64, 66, false), validate.Passed, ""},
		{"a kerb in it", piece("kerb", 64, 66, true), validate.Passed, ""},
	})
}

// TestRampsOverLedges: a ramp that says nothing, by the height of what it leads
// over; the corridor c2 crosses it at (15, -5).
func TestRampsOverLedges(t *testing.T) {
	over := func(kind string, height float64, props ...schema.Attribute) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "k", kind, nil, orb.Point{5, -5}, orb.Point{25, -5})
			if height > 0 {
				p.get("k").set("height_m", num(height))
			}
			edgeOf(p, "g", "ramp", nil, orb.Point{14, -5}, orb.Point{16, -5})
			for _, a := range props {
				p.get("g").set(a.Key, a.Value)
			}
		}
	}
	n := func(key string, v float64) schema.Attribute { return schema.Attribute{Key: key, Value: num(v)} }
	judgeWords(t, validate.RuleSlopeLimit, []wordCase{
		{"a kerb as kerbs are", over("kerb", 0.15), validate.Passed, ""},
		{"a hair higher", over("kerb", 0.151), validate.Unchecked, "says neither how long nor how steep"},
		{"a drop of no height", over("drop", 0), validate.Passed, ""},
		{"a drop of 2 m", over("drop", 2), validate.Unchecked, "2.00 m"},
		{"over a length", over("drop", 0.7, n("length_m", 2)), validate.Passed, ""},
		{"over a hair less", over("drop", 0.7, n("length_m", 1.99)), validate.Failed, "35.2 %"},
		{"with heights across the way", func(p *plot) {
			over("drop", 2)(p)
			p.get("g").z, p.get("k").z = flatGround, flatGround
		}, validate.Unchecked, "2.00 m"},
		{"with a slope", over("drop", 2, n("slope_percent", 20)), validate.Passed, ""},
		{"the plan's own step", func(p *plot) {
			over("kerb", 0.12)(p)
			member(p, "limits", schema.Object(schema.Attributes{{Key: "step_max_m", Value: num(0.1)}}))
		}, validate.Unchecked, "0.12 m"},
		{"that nothing leads over", func(p *plot) {
			over("drop", 2)(p)
			p.get("k").line = []orb.Point{{20, -5}, {29, -5}}
			p.get("g").line = []orb.Point{{24, -5}, {26, -5}}
		}, validate.Passed, ""},
	})
}
