// Heights on one side of ways, and what lies across them.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// The path runs south along x = 15 from y = -1 to -9, level, with points at both ends:
// at a point of it the ground is known. The slope's limit is 35 %, a step's 0.15 m.
func TestHeightsOnOneSideOfWays(t *testing.T) {
	mark := func(off, up float64) func(p *plot) { return marksAt(up, orb.Point{15 + off, -5}) }
	level := func(p *plot) { // with a point beside the mark
		p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -5}, {15, -9}, {15, -11.5}}
	}
	line := func(role, kind string, off, up float64) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "q", role: role, name: "Row", line: []orb.Point{{15 + off, -6}, {15 + off, -5}, {15 + off, -4}}, z: raisedTo(up)})
			if kind != "" {
				x.set("edge_kind", schema.String(kind))
			}
		}
	}
	area := func(role string, off, up float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "a9", role, raisedTo(up), rect(15+off, -5, 24, -2)) }
	}
	edge := func(kind string, off float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "w9", kind, nil, orb.Point{15 + off, -8}, orb.Point{15 + off, -2}) }
	}
	const says = "beside its line: whether the way slopes so across"
	judgeHeights(t, []heightPlan{
		{"a mark 0.5 m off, 0.326 m up", allOf(level, mark(0.5, 0.326)), heightsOpen, "", says},
		{"0.324 m up", allOf(level, mark(0.5, 0.324)), heightsPass, "", ""},
		{"0.326 m up on the other side", allOf(level, mark(-0.5, 0.326)), heightsOpen, "", says},
		{"0.999 m off, 1 m up", allOf(level, mark(0.999, 1)), heightsOpen, "", says},
		{"1.001 m off, which may be a post", allOf(level, mark(1.001, 1)), heightsPass, "", ""},
		{"1.3 m off, 0.606 m down", allOf(level, mark(1.3, -0.606)), heightsOpen, "", says},
		{"0.604 m down", allOf(level, mark(1.3, -0.604)), heightsPass, "", ""},
		{"1.501 m off, 0.8 m down", allOf(level, mark(1.501, -0.8)), heightsOpen, "", "falls at the edge of what is driven"},
		{"within the machine, 0.221 m up", allOf(level, mark(0.2, 0.221)), heightsOpen, "", says},
		{"0.219 m up, within the machine", allOf(level, mark(0.2, 0.219)), heightsPass, "", ""},
		{"as much down", allOf(level, mark(0.2, -0.221)), heightsOpen, "", says},
		{"4 m from its points, where the ground may lie 0.08 m off", mark(0.5, 0.404), heightsPass, "", ""},
		{"more than that", mark(0.5, 0.406), heightsOpen, "", says},
		{"a limit of its own", allOf(level, mark(0.5, 0.251), func(p *plot) { own(p, "c2", "slope_max_percent", 20) }), heightsOpen, "", says},
		{"a hair less, of that", allOf(level, mark(0.5, 0.249), func(p *plot) { own(p, "c2", "slope_max_percent", 20) }), heightsPass, "", ""},
		{"with a wall between", allOf(level, mark(0.9, 0.9), edge("wall", 0.8)), heightsPass, "", ""},
		{"on a wall's top", allOf(level, mark(0.8, 1.2), edge("wall", 0.8)), heightsPass, "", ""},
		{"with a kerb between, as high as kerbs are", allOf(level, mark(0.9, 0.664), edge("kerb", 0.8)), heightsPass, "", ""},
		{"a hair higher than those", allOf(level, mark(0.9, 0.666), edge("kerb", 0.8)), heightsOpen, "", says},
		{"with a kerb that is as high", allOf(level, mark(0.9, 0.9), edge("kerb", 0.8), func(p *plot) { p.get("w9").set("height_m", num(0.536)) }), heightsPass, "", ""},
		{"with a kerb a hair too low", allOf(level, mark(0.9, 0.9), edge("kerb", 0.8), func(p *plot) { p.get("w9").set("height_m", num(0.534)) }), heightsOpen, "", says},
		{"with a wall too low", allOf(level, mark(0.9, 0.9), edge("wall", 0.8), func(p *plot) { p.get("w9").set("height_m", num(0.534)) }), heightsOpen, "", says},
		{"with a flush edge between", allOf(level, mark(0.9, 0.9), edge("flush", 0.8)), heightsOpen, "", says},
		{"a path's side", allOf(level, line("other", "", 1.2, 0.571)), heightsOpen, "", says},
		{"a hair less of a path", allOf(level, line("other", "", 1.2, 0.569)), heightsPass, "", ""},
		{"a flush edge 0.5 m off, as much down", allOf(level, line("edge", "flush", 0.5, -0.326)), heightsOpen, "", says},
		{"a kerb, which tells of a step", allOf(level, line("edge", "kerb", 0.5, -0.326)), heightsPass, "", ""},
		{"a lawn 0.5 m off, 0.326 m down", allOf(level, area("zone", 0.5, -0.326)), heightsOpen, "", says},
		{"a lawn 0.324 m down", allOf(level, area("zone", 0.5, -0.324)), heightsPass, "", ""},
		{"a lawn 0.326 m up", allOf(level, area("zone", 0.5, 0.326)), heightsOpen, "", says},
		{"a terrace of a house 0.4 m up", allOf(level, area("other", 0.9, 0.5)), heightsPass, "", ""},
		{"a house's floor", allOf(level, area("building", 0.9, 0.6)), heightsPass, "", ""},
		{"two marks", allOf(level, mark(0.5, 0.4), mark(0.6, 0.4)), heightsOpen, "", "the worst of 2 such features"},
		{"beside the way into the dock", marksAt(0.331, orb.Point{34.5, 10.5}), heightsOpen, "", "above the way into dock"},
	})
}

func TestHeightsAcrossWays(t *testing.T) {
	over := func(kind string, percent, half float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "q", kind, func(q orb.Point) float64 { return plotH + percent/100*(q[0]-15) }, orb.Point{15 - half, -5}, orb.Point{15 + half, -5})
		}
	}
	slab := func(percent float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "q", "other", func(q orb.Point) float64 { return plotH + percent/100*(q[0]-15) }, rect(14.4, -6, 15.6, -4)).set("driven_over", schema.Bool(true))
		}
	}
	const says, open = "slopes across by", "whether the way slopes so there"
	judgeHeights(t, []heightPlan{
		{"a flush edge of 6 m, 35.1 %", over("flush", 35.1, 3), heightsFail, "warning", says},
		{"34.9 %", over("flush", 34.9, 3), heightsPass, "", ""},
		{"2.01 m, 35.1 %", over("flush", 35.1, 1.005), heightsFail, "warning", says},
		{"1.99 m, 37.4 %", over("flush", 37.4, 0.995), heightsPass, "", ""},
		{"1.99 m, 37.6 %", over("flush", 37.6, 0.995), heightsOpen, "", open},
		{"a ramp of 0.6 m, 43.4 %", over("ramp", 43.4, 0.3), heightsOpen, "", open},
		{"43.2 %, which climbs across the way", over("ramp", 43.2, 0.3), heightsOpen, "", "which lies across the way over it"},
		{"one narrower than the machine, which does too", over("ramp", 50, 0.29), heightsOpen, "", "which lies across the way over it"},
		{"a gate whose posts stand 1.6 m apart", over("gate", 40, 0.8), heightsOpen, "", open},
		{"a kerb, as kerbs are told", over("kerb", 10, 0.8), heightsPass, "", ""},
		{"a slab of 1.2 m, 39.3 %", slab(39.3), heightsOpen, "", open},
		{"39.0 %", slab(39.0), heightsPass, "", ""},
		{"a limit of its own", allOf(over("flush", 20.1, 3), func(p *plot) { own(p, "c2", "slope_max_percent", 20) }), heightsFail, "warning", says},
		{"a hair less, of that", allOf(over("flush", 19.9, 3), func(p *plot) { own(p, "c2", "slope_max_percent", 20) }), heightsPass, "", ""},
		{"beside the way", func(p *plot) {
			edgeOf(p, "q", "flush", func(q orb.Point) float64 { return plotH + 0.4*(q[0]-19) }, orb.Point{17, -5}, orb.Point{21, -5})
		}, heightsPass, "", ""},
	})
}
