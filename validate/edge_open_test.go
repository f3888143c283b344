// Gates that open what lies behind the edge that they lie in.

package validate_test

import (
	"strings"
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
	between := func(kind, other string, off float64) func(p *plot) {
		return func(p *plot) {
			behind(kind, other, 0, off)(p)
			p.get("f").line = []orb.Point{{60, -20 + off}, {70, -20 + off}}
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
		{"between two walls", between("wall", "wall", 0.04), validate.Failed, "0.080 m apart, and counts as open through both"},
		{"between a fence and a wall", between("fence", "wall", 0.2), validate.Failed, "counts as open through both"},
		{"between the sides of one", between("wall", "wall", 0.025), validate.Passed, ""},
		{"a hair farther apart", between("wall", "wall", 0.0256), validate.Failed, "0.051 m apart"},
		{"between the sides of one with a width", wide(between("wall", "wall", 0.04), 0.16), validate.Passed, ""},
		{"between two pieces of a fence", func(p *plot) {
			between("fence", "fence", 0)(p)
			p.get("f").line = []orb.Point{{60, -20}, {64, -20}}
			p.get("w").line = []orb.Point{{66, -20}, {70, -20}}
		}, validate.Passed, ""},
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

// TestPostsOfGates: gates whose ends stand in mown ground. The south lawn is 30 m
// wide and ends at y = -10.
func TestPostsOfGates(t *testing.T) {
	gate := func(pts ...orb.Point) func(p *plot) {
		return func(p *plot) { edgeOf(p, "g", "gate", nil, pts...) }
	}
	along := func(kind string, x0, x1, y float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); edgeOf(p, "w", kind, nil, orb.Point{x0, y}, orb.Point{x1, y}) }
	}
	and := func(draws ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			for _, d := range draws {
				d(p)
			}
		}
	}
	// A lawn of two halves with a neck between them, from x0 to x1.
	neck := func(x0, x1 float64) func(p *plot) {
		return func(p *plot) {
			p.get("z2").rings = [][]orb.Point{{{0, -30}, {30, -30}, {30, -21}, {x1, -21}, {x1, -19}, {30, -19}, {30, -10}, {0, -10}, {0, -19}, {x0, -19}, {x0, -21}, {0, -21}, {0, -30}}}
		}
	}
	own := func(strip float64) func(p *plot) {
		return func(p *plot) {
			p.get("g").set("limits", schema.Object(schema.Attributes{{Key: "hard_edge_strip_m", Value: num(strip)}}))
		}
	}
	strip := func(p *plot) {
		member(p, "limits", schema.Object(schema.Attributes{{Key: "hard_edge_strip_m", Value: num(0.2)}}))
	}
	across := gate(orb.Point{13, -20}, orb.Point{16, -20})
	fence := and(along("fence", -1, 13, -20, across), func(p *plot) { edgeOf(p, "w2", "fence", nil, orb.Point{16, -20}, orb.Point{31, -20}) })
	judgeWords(t, "edge-setback", []wordCase{
		{"a gate alone in a lawn", across, validate.Failed, "in its mown ground, where no wall or fence goes on"},
		{"a short one", gate(orb.Point{13, -20}, orb.Point{13.3, -20}), validate.Failed, "no wall or fence goes on"},
		{"a wall that is all gate", along("wall", 13, 16, -20, across), validate.Failed, "no wall or fence goes on"},
		{"a gate of two leaves", gate(orb.Point{13, -20}, orb.Point{14.5, -20}), validate.Failed, "no wall or fence goes on"},
		{"one drawn twice", and(across, func(p *plot) { edgeOf(p, "g2", "gate", nil, orb.Point{16, -20}, orb.Point{13, -20}) }), validate.Failed, "no wall or fence goes on"},
		{"one end alone in the lawn", gate(orb.Point{-2, -20}, orb.Point{2, -20}), validate.Failed, "no wall or fence goes on"},
		{"a kerb goes on", along("kerb", 16, 31, -19.6, across), validate.Failed, "no wall or fence goes on"},
		{"under keep-outs", and(gate(orb.Point{13, -20}, orb.Point{16, -20}), func(p *plot) { posts(p, 13, 16) }), validate.Passed, ""},
		{"one post under a keep-out", and(across, func(p *plot) { posts(p, 13) }), validate.Failed, "no wall or fence goes on"},
		{"in a neck of its width less the strips", and(neck(13.15, 15.85), across), validate.Passed, ""},
		{"a hair wider", and(neck(13.15, 15.852), across), validate.Failed, "0.148 m from its mown ground"},
		{"by the plan's own strip", and(neck(13.2, 15.8), strip, across), validate.Passed, ""},
		{"a hair wider than that", and(neck(13.2, 15.802), strip, across), validate.Failed, "0.198 m"},
		{"by the gate's own strip", and(neck(13.2, 15.82), across, own(0.18)), validate.Passed, ""},
		{"a hair wider than that too", and(neck(13.2, 15.822), across, own(0.18)), validate.Failed, "0.178 m"},
		{"in a neck with its fence", and(neck(13.15, 15.85), fence), validate.Passed, ""},
		{"of two leaves in a neck", and(neck(13.15, 15.85), gate(orb.Point{13, -20}, orb.Point{14.5, -20}), func(p *plot) { edgeOf(p, "g2", "gate", nil, orb.Point{14.7, -20}, orb.Point{16, -20}) }), validate.Passed, ""},
		{"across a corridor", gate(orb.Point{14, -5}, orb.Point{16, -5}), validate.Passed, ""},
		{"in a hole of the lawn", and(func(p *plot) { holed(p, rect(12, -22, 18, -18)) }, across), validate.Passed, ""},
	})
	ramp := func(props map[string]float64, z func(orb.Point) float64, pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "g", "ramp", z, pts...)
			for key, v := range props {
				p.get("g").set(key, num(v))
			}
		}
	}
	rises := func(m float64) map[string]float64 { return map[string]float64{"height_m": m, "length_m": 3} }
	step := func(p *plot) {
		member(p, "limits", schema.Object(schema.Attributes{{Key: "step_max_m", Value: num(0.1)}}))
	}
	ownStep := func(p *plot) {
		p.get("g").set("limits", schema.Object(schema.Attributes{{Key: "step_max_m", Value: num(0.12)}}))
	}
	kerb := func(height float64) func(p *plot) {
		return func(p *plot) {
			along("kerb", 13, 16, -20, func(*plot) {})(p)
			p.get("w").set("height_m", num(height))
		}
	}
	slope := func(rise float64) func(q orb.Point) float64 {
		return func(q orb.Point) float64 { return plotH + (q[0]-13)/3*rise }
	}
	at := []orb.Point{{13, -20}, {16, -20}}
	judgeWords(t, "edge-setback", []wordCase{
		{"a ramp alone in a lawn", ramp(rises(0.5), nil, at...), validate.Failed, "rises 0.50 m: its side is a step"},
		{"no higher than a step", ramp(rises(0.15), nil, at...), validate.Passed, ""},
		{"a hair higher", ramp(rises(0.151), nil, at...), validate.Failed, "its side is a step"},
		{"no higher than the plan's step", and(step, ramp(rises(0.1), nil, at...)), validate.Passed, ""},
		{"a hair higher than that", and(step, ramp(rises(0.101), nil, at...)), validate.Failed, "its side is a step"},
		{"no higher than its own step", and(ramp(rises(0.12), nil, at...), ownStep), validate.Passed, ""},
		{"a hair higher than that too", and(ramp(rises(0.121), nil, at...), ownStep), validate.Failed, "its side is a step"},
		{"by its slope and length", ramp(map[string]float64{"slope_percent": 20, "length_m": 3}, nil, at...), validate.Failed, "rises 0.60 m"},
		{"by the kerb that it opens whole", and(kerb(0.3), ramp(nil, nil, at...)), validate.Failed, "rises 0.30 m"},
		{"a low kerb that it opens whole", and(kerb(0.12), ramp(nil, nil, at...)), validate.Passed, ""},
		{"in ground that rises so", ramp(rises(0.5), slope(0.36), at...), validate.Passed, ""},
		{"in ground that rises a hair too little", ramp(rises(0.5), slope(0.34), at...), validate.Failed, "its side is a step"},
		{"in a neck", and(neck(13.15, 15.85), ramp(rises(0.5), nil, at...)), validate.Passed, ""},
		{"in a neck a hair wider", and(neck(13.15, 15.852), ramp(rises(0.5), nil, at...)), validate.Failed, "0.148 m from its mown ground"},
		{"outside", ramp(rises(0.5), nil, orb.Point{14, -5}, orb.Point{16, -5}), validate.Passed, ""},
	})
	// Where the fence goes on, that is told, and once.
	p := park()
	fence(p)
	for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
		if f.Rule == "edge-setback" && strings.Contains(f.Message, "goes on") {
			t.Errorf("a fence that goes on: %s", f.Message)
		}
	}
}

// TestRampsBelied: ramps whose own words cannot be true. The corridor c2 crosses
// at (15, -5) and is 13 m long.
func TestRampsBelied(t *testing.T) {
	over := func(kind string, height float64, z func(orb.Point) float64, pts []orb.Point, props ...any) func(p *plot) {
		return func(p *plot) {
			if kind != "" {
				edgeOf(p, "k", kind, nil, orb.Point{5, -5}, orb.Point{25, -5})
				p.get("k").set("height_m", num(height))
			}
			edgeOf(p, "g", "ramp", z, pts...)
			for i := 0; i < len(props); i += 2 {
				p.get("g").set(props[i].(string), num(props[i+1].(float64)))
			}
		}
	}
	across, along := []orb.Point{{14, -5}, {16, -5}}, []orb.Point{{15, -7}, {15, -3}}
	level := func(orb.Point) float64 { return plotH }
	rising := func(rise float64) func(orb.Point) float64 {
		return func(q orb.Point) float64 { return plotH + (q[1]+7)/4*rise }
	}
	step := func(m float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) {
			draw(p)
			member(p, "limits", schema.Object(schema.Attributes{{Key: "step_max_m", Value: num(m)}}))
		}
	}
	ownStep := func(m float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) {
			draw(p)
			p.get("g").set("limits", schema.Object(schema.Attributes{{Key: "step_max_m", Value: num(m)}}))
		}
	}
	bridge := func(draw func(p *plot)) func(p *plot) {
		return func(p *plot) {
			draw(p)
			edgeOf(p, "k2", "drop", nil, orb.Point{5, -4}, orb.Point{25, -4})
			p.get("k2").set("height_m", num(2))
		}
	}
	judgeWords(t, validate.RuleSlopeLimit, []wordCase{
		{"a height as the drop's", over("drop", 0.6, nil, across, "height_m", 0.6, "length_m", 3.0), validate.Passed, ""},
		{"less by a step", over("drop", 0.6, nil, across, "height_m", 0.45, "length_m", 3.0), validate.Passed, ""},
		{"less by a hair more", over("drop", 0.6, nil, across, "height_m", 0.449, "length_m", 3.0), validate.Failed, "rises 0.449 m by its height_m"},
		{"less by the plan's step", step(0.1, over("drop", 0.6, nil, across, "height_m", 0.5, "length_m", 3.0)), validate.Passed, ""},
		{"less by a hair more than that", step(0.1, over("drop", 0.6, nil, across, "height_m", 0.499, "length_m", 3.0)), validate.Failed, "by its height_m"},
		{"less by its own step", ownStep(0.12, over("drop", 0.6, nil, across, "height_m", 0.48, "length_m", 3.0)), validate.Passed, ""},
		{"less by a hair more than that too", ownStep(0.12, over("drop", 0.6, nil, across, "height_m", 0.479, "length_m", 3.0)), validate.Failed, "by its height_m"},
		{"less of a kerb", over("kerb", 0.4, nil, across, "rise_m", 0.1), validate.Failed, "rises 0.10 m by its rise_m"},
		{"a level one", over("drop", 2, nil, across, "slope_percent", 0.0), validate.Failed, "by its slope_percent"},
		{"by slope and length", over("drop", 2, nil, across, "slope_percent", 20.0, "length_m", 3.0), validate.Failed, "rises 0.60 m by its slope_percent and length_m"},
		{"level heights along it", over("drop", 2, level, along, "width_m", 2.0), validate.Failed, "rises 0.000 m by its heights"},
		{"heights along it as the drop", over("drop", 0.28, rising(0.14), along, "width_m", 2.0), validate.Passed, ""},
		{"level over two drops", bridge(over("drop", 2, level, along, "width_m", 2.0)), validate.Passed, ""},
		{"a steep slope beside a length", over("", 0, nil, across, "slope_percent", 5.0, "rise_m", 2.0, "length_m", 2.0), validate.Failed, "rises 100.0 % by its rise_m and length_m"},
		{"a length as the way's", over("drop", 2, nil, across, "height_m", 2.0, "length_m", 13.0), validate.Passed, ""},
		{"a hair more", over("drop", 2, nil, across, "height_m", 2.0, "length_m", 13.002), validate.Failed, "would be 13.002 m long by its length_m"},
		{"a slope as long as the way", over("drop", 2.6, nil, across, "slope_percent", 20.0), validate.Passed, ""},
		{"a slope a hair longer", over("drop", 2.6, nil, across, "slope_percent", 19.99), validate.Failed, "by its slope_percent to rise 2.60 m"},
		{"a slope with its own rise", over("", 0, nil, across, "slope_percent", 5.0, "rise_m", 2.0), validate.Failed, "would be 40.00 m long"},
		{"a long one of a low kerb", over("kerb", 0.12, nil, across, "slope_percent", 0.5), validate.Passed, ""},
		{"a slope that may be degrees", over("drop", 0.5, nil, across, "slope", 30.0), validate.Unchecked, "without a unit"},
		{"drawn along the way, far too short for its rise", over("", 0, nil, []orb.Point{{15, -5.5}, {15, -4.5}}, "rise_m", 1.0, "length_m", 6.0), validate.Failed, "is drawn 1.00 m long"},
		{"a rise that its line and what it may lack hold", over("", 0, nil, []orb.Point{{15, -5.5}, {15, -4.5}}, "rise_m", 0.56, "length_m", 6.0), validate.Passed, ""},
		{"a hair more", over("", 0, nil, []orb.Point{{15, -5.5}, {15, -4.5}}, "rise_m", 0.561, "length_m", 6.0), validate.Failed, "35.1 %"},
	})
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a ramp across that says its length along the way", over("kerb", 0.12, nil, across, "rise_m", 0.12, "length_m", 1.0), validate.Passed, ""},
		{"a kerb that says another length", func(p *plot) {
			over("kerb", 0.12, nil, across)(p)
			p.get("k").set("length_m", num(8))
		}, validate.Failed, "length_m"},
	})
	// A ramp on the way into a dock has the corridor there, too: 5.5 m and 2 m.
	dock := func(length float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "g", "ramp", nil, orb.Point{35, 9}, orb.Point{35, 11})
			p.get("g").set("rise_m", num(0.37)).set("length_m", num(length))
		}
	}
	// One in the lawn rises over its line and lies as the outline does.
	mown := func(up float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "g", "ramp", raisedTo(up), orb.Point{14, -29}, orb.Point{17, -29})
		}
	}
	judgeWords(t, validate.RuleSlopeLimit, []wordCase{
		{"as long as both ways", dock(7.5), validate.Passed, ""},
		{"a hair longer", dock(7.502), validate.Failed, "would be 7.502 m long"},
		{"a ramp in the lawn near its outline", mown(0.29), validate.Passed, ""},
		{"a hair higher", mown(0.52), validate.Unchecked, "is a ramp in mown ground"},
		{"a step higher", mown(0.66), validate.Failed, "is a ramp in mown ground"},
	})
}
