// What else tells of ground that falls beside what is driven, what does not explain
// that it does, and driven ground beside itself.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// The south lawn ends at 30 east; the limit of a slope is 35 %, and 0.3 m are let pass.
func TestLowGatesDropsAndMasts(t *testing.T) {
	edge := func(kind string, x, up float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "e9", kind, raisedTo(up), orb.Point{x, -35}, orb.Point{x, -5}) }
	}
	says := func(id, key string, v float64) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, num(v)) }
	}
	pit := func(up float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", raisedTo(up), rect(34, -25, 40, -15)).set("hazard_kind", schema.String("pit"))
		}
	}
	mast := func(up float64) func(p *plot) {
		return allOf(func(p *plot) { pointOf(p, "b9", "base", up+3, 31, -20) }, says("b9", "antenna_height_m", 3))
	}
	lawn := func(x, up float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "z9", "zone", raisedTo(up), rect(x, -25, x+10, -15)) }
	}
	const bank, open = "where the fall begins", "whether the ground before it is as steep"
	judgeHeights(t, []heightPlan{
		{"a gate 1 m off, 0.66 m lower", edge("gate", 31, -0.66), heightsFail, "warning", bank},
		{"0.64 m lower", edge("gate", 31, -0.64), heightsOpen, "", "steps down there"},
		{"0.49 m lower", edge("gate", 31, -0.49), heightsPass, "", ""},
		{"with a slope of its own", allOf(edge("gate", 31, -0.64), func(p *plot) { own(p, "z2", "slope_max_percent", 33.9) }), heightsFail, "warning", bank},
		{"a gate on the way itself, as high as that", func(p *plot) { edgeOf(p, "e9", "gate", raisedTo(0), orb.Point{14, -5}, orb.Point{16, -5}) }, heightsPass, "", ""},
		{"a ramp 1 m off, 0.66 m lower", edge("ramp", 31, -0.66), heightsOpen, "", open},
		{"a drop 2 m off, its line 1.01 m lower", edge("drop", 32, -1.01), heightsOpen, "", open},
		{"0.99 m lower", edge("drop", 32, -0.99), heightsPass, "", ""},
		{"a drop whose line is level", edge("drop", 32, 0), heightsPass, "", ""},
		{"a drop that falls 1.51 m, 2.5 m lower", allOf(edge("drop", 32, -2.5), says("e9", "height_m", 1.51)), heightsPass, "", ""},
		{"1.49 m", allOf(edge("drop", 32, -2.5), says("e9", "height_m", 1.49)), heightsOpen, "", open},
		{"a drop at whose foot a lawn lies", allOf(edge("drop", 32, -2.5), lawn(33, -2.5)), heightsPass, "", ""},
		{"whose lawn lies 0.31 m lower", allOf(edge("drop", 32, -2.5), lawn(33, -2.81)), heightsOpen, "", open},
		{"a pit 4 m off, its rim 1.71 m lower", pit(-1.71), heightsOpen, "", open},
		{"1.69 m lower", pit(-1.69), heightsFail, "note", "leads on to a drop"},
		{"1.551 m lower", pit(-1.551), heightsFail, "note", "leads on to a drop"},
		{"1.549 m lower", pit(-1.549), heightsPass, "", ""},
		{"a mast 1 m off, its foot 0.66 m lower", mast(-0.66), heightsOpen, "", open},
		{"0.64 m lower", mast(-0.64), heightsPass, "", ""},
		{"that does not say how high its antenna stands", func(p *plot) { pointOf(p, "b9", "base", -0.7, 31, -20) }, heightsPass, "", ""},
	})
}

// A mark 4 m lower, 5 m beside the lawn, and what lies between.
func TestWhatTellsOfAFall(t *testing.T) {
	low := func(draw ...func(p *plot)) func(p *plot) {
		return allOf(allOf(draw...), marksAt(-4, orb.Point{35, -20}))
	}
	edge := func(kind string, half float64, says ...float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "e9", kind, nil, orb.Point{32, -20 - half}, orb.Point{32, -20 + half})
			for _, h := range says {
				p.get("e9").set("height_m", num(h))
			}
		}
	}
	area := func(role string, half float64, kind string) func(p *plot) {
		return func(p *plot) {
			x := areaOf(p, "a9", role, nil, rect(32, -20-half, 33, -20+half))
			if kind != "" {
				x.set("hazard_kind", schema.String(kind))
			}
		}
	}
	const bank, open = "where the fall begins", "only holds it up"
	judgeHeights(t, []heightPlan{
		{"nothing", low(), heightsFail, "warning", bank},
		{"a drop 2.01 m long, past which it is seen", low(edge("drop", 1.005)), heightsFail, "warning", bank},
		{"as long as no way past it is as steep", low(edge("drop", 7)), heightsPass, "", ""},
		{"1.99 m", low(edge("drop", 0.995)), heightsFail, "warning", bank},
		{"a drop that falls 1.96 m", low(edge("drop", 5, 1.96)), heightsPass, "", ""},
		{"1.94 m", low(edge("drop", 5, 1.94)), heightsFail, "warning", bank},
		{"two drops of 1 m", low(edge("drop", 5, 1), func(p *plot) {
			edgeOf(p, "e8", "drop", nil, orb.Point{33, -25}, orb.Point{33, -15})
			p.get("e8").set("height_m", num(1))
		}), heightsPass, "", ""},
		{"a wall", low(edge("wall", 5)), heightsPass, "", ""},
		{"a short wall", low(edge("wall", 0.9)), heightsFail, "warning", bank},
		{"a wall 1.96 m high", low(edge("wall", 5, 1.96)), heightsPass, "", ""},
		{"1.94 m", low(edge("wall", 5, 1.94)), heightsOpen, "", "lower than the ground falls"},
		{"a fence", low(edge("fence", 5, 1.94)), heightsOpen, "", "lower than the ground falls"},
		{"a fence of 2.5 m", low(edge("fence", 5, 2.5)), heightsOpen, "", open},
		{"a fence of no height", low(edge("fence", 5)), heightsOpen, "", open},
		{"a fence that stands 0.31 m above the lawn", low(edge("fence", 5, 4.31)), heightsPass, "", ""},
		{"a fence on a wall", low(edge("wall", 5), func(p *plot) { edgeOf(p, "e8", "fence", nil, orb.Point{32.1, -25}, orb.Point{32.1, -15}) }), heightsPass, "", ""},
		{"a house", low(area("building", 7, "")), heightsPass, "", ""},
		{"a house 2.01 m wide", low(area("building", 1.005, "")), heightsFail, "warning", bank},
		{"a shed", low(area("building", 0.995, "")), heightsFail, "warning", bank},
		{"a stream", low(area("hazard", 5, "stream")), heightsPass, "", ""},
		{"a small pond", low(area("hazard", 0.9, "pond")), heightsFail, "warning", bank},
		{"a small pit the mark stands in", low(func(p *plot) {
			areaOf(p, "a9", "hazard", nil, rect(34.5, -20.5, 35.5, -19.5)).set("hazard_kind", schema.String("pit"))
		}), heightsPass, "", ""},
		{"a bed in the lawn", allOf(func(p *plot) { areaOf(p, "k9", "keepout", nil, rect(26, -24, 29.9, -16)) }, marksAt(-2, orb.Point{32, -20})), heightsFail, "warning", bank},
		{"a bed beside it", allOf(func(p *plot) { areaOf(p, "k9", "keepout", nil, rect(30.1, -24, 31.5, -16)) }, marksAt(-2, orb.Point{32, -20})), heightsPass, "", ""},
	})
}

func TestDrivenGroundBesideItself(t *testing.T) {
	// A lawn with two arms, 2 m apart, whose east one falls so much to its tip.
	arms := func(fall float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "z9", "zone", func(q orb.Point) float64 {
				if q[0] > 51 {
					return plotH - fall*(-10-q[1])/20
				}
				return plotH
			}, []orb.Point{{40, -30}, {50, -30}, {50, -10}, {52, -10}, {52, -30}, {62, -30}, {62, -4}, {40, -4}, {40, -30}}).z = func(q orb.Point) float64 {
				if q[0] > 51 && q[1] < -10 {
					return plotH - fall*(-10-q[1])/20
				}
				return plotH
			}
		}
	}
	legs := func(fall float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "c9", role: "corridor", name: "Way", line: []orb.Point{{45, -30}, {45, -10}, {48, -10}, {48, -30}}, z: func(q orb.Point) float64 {
				if q[0] > 46 {
					return plotH - fall*(-10-q[1])/20
				}
				return plotH
			}})
		}
	}
	const bank = "where the fall begins"
	judgeHeights(t, []heightPlan{
		{"arms 1.03 m apart in height", arms(1.03), heightsFail, "warning", bank},
		{"0.97 m", arms(0.97), heightsOpen, "", "falls at the edge of what is driven"},
		{"0.8 m", arms(0.8), heightsPass, "", ""},
		{"with a drop between", allOf(arms(1.03), func(p *plot) { edgeOf(p, "e9", "drop", nil, orb.Point{51, -30.5}, orb.Point{51, -10.5}) }), heightsPass, "", ""},
		{"legs 1.41 m apart in height", legs(1.41), heightsFail, "warning", bank},
		{"1.30 m", legs(1.30), heightsOpen, "", "falls at the edge of what is driven"},
		{"1.15 m", legs(1.15), heightsPass, "", ""},
	})
}

// slope_edge_max_percent is 15, step_max_m 0.15.
func TestLawnsThatFallToWaterRoadsAndDrops(t *testing.T) {
	beside := func(kind string, x float64) func(p *plot) {
		return func(p *plot) {
			if kind == "drop" {
				edgeOf(p, "e9", kind, nil, orb.Point{x, -35}, orb.Point{x, -5})
				return
			}
			areaOf(p, "h9", "hazard", nil, rect(x, -35, x+5, -5)).set("hazard_kind", schema.String(kind))
		}
	}
	mark := func(up float64) func(p *plot) { return marksAt(up, orb.Point{27.5, -20}) }
	pond := func(rim float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "k9", "keepout", raisedTo(rim), rect(12, -22, 18, -18))
			areaOf(p, "h9", "hazard", nil, rect(12.5, -21.5, 17.5, -18.5)).set("hazard_kind", schema.String("pond"))
		}
	}
	const open = "or something stands on it"
	judgeHeights(t, []heightPlan{
		{"a mark 2.5 m inside, 0.68 m higher, at a drop", allOf(beside("drop", 31), mark(0.68)), heightsOpen, "", open},
		{"0.67 m", allOf(beside("drop", 31), mark(0.67)), heightsPass, "", ""},
		{"with a limit of its own", allOf(beside("drop", 31), mark(0.67), func(p *plot) { own(p, "z2", "slope_edge_max_percent", 14.7) }), heightsOpen, "", open},
		{"at a road", allOf(beside("road", 31), mark(0.68)), heightsOpen, "", open},
		{"at a railway", allOf(beside("railway", 31), mark(0.68)), heightsOpen, "", open},
		{"a drop 4.99 m straight on", allOf(beside("drop", 34.99), mark(0.68)), heightsOpen, "", open},
		{"5.01 m", allOf(beside("drop", 35.01), mark(0.68)), heightsPass, "", ""},
		{"nothing there", mark(0.68), heightsPass, "", ""},
		{"a mark in the lawn 2.5 m from a pond's rim, 0.68 m lower", allOf(pond(0), marksAt(0.68, orb.Point{20.5, -20})), heightsOpen, "", open},
		{"0.67 m", allOf(pond(0), marksAt(0.67, orb.Point{20.5, -20})), heightsPass, "", ""},
		{"two marks 2.5 m apart, straight to a pond", allOf(pond(0), marksAt(0.34, orb.Point{21, -20}), marksAt(-0.34, orb.Point{18.5, -20})), heightsOpen, "", open},
		{"a bed and no pond", func(p *plot) {
			areaOf(p, "k9", "keepout", raisedTo(0), rect(12, -22, 18, -18))
			marksAt(0.68, orb.Point{20.5, -20})(p)
		}, heightsPass, "", ""},
	})
}

func TestHollowsAndCrestsInLawns(t *testing.T) {
	three := func(d, up float64) func(p *plot) {
		return allOf(marksAt(0, orb.Point{10, -20}, orb.Point{10 + 2*d, -20}), marksAt(up, orb.Point{10 + d, -20}))
	}
	const hollow, crest = "in a hollow", "on a crest"
	judgeHeights(t, []heightPlan{
		{"a hollow of 35.5 %", three(3, -0.533), heightsOpen, "", hollow},
		{"34.5 %", three(3, -0.517), heightsPass, "", ""},
		{"with a limit of its own", allOf(three(3, -0.517), func(p *plot) { own(p, "z2", "slope_max_percent", 34) }), heightsOpen, "", hollow},
		{"0.31 m deep", three(1.5, -0.31), heightsOpen, "", hollow},
		{"0.29 m", three(1.5, -0.29), heightsPass, "", ""},
		{"a crest of 0.61 m", three(3, 0.61), heightsOpen, "", crest},
		{"a mark that stands 0.59 m up", three(3, 0.59), heightsPass, "", ""},
		{"5.01 m apart", three(5.01, -1), heightsPass, "", ""},
		{"a wall between", allOf(three(3, -0.6), func(p *plot) { edgeOf(p, "e9", "wall", nil, orb.Point{12, -25}, orb.Point{12, -15}) }), heightsPass, "", ""},
		{"round a corner", allOf(marksAt(0, orb.Point{10, -20}, orb.Point{13, -17}), marksAt(-0.6, orb.Point{13, -20})), heightsPass, "", ""},
	})
}

func TestSlopesAcrossWaysToDrops(t *testing.T) {
	way := wayOf(raisedTo(0), -10, -15, -20)
	drop := func(x float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "e9", "drop", nil, orb.Point{x, -25}, orb.Point{x, -5}) }
	}
	const open = "whether the way slopes so across"
	judgeHeights(t, []heightPlan{
		{"a mark 2 m up the slope, 0.46 m higher, a drop on the other side", allOf(way, drop(51.2), marksAt(0.46, orb.Point{48, -15})), heightsOpen, "", open},
		{"0.44 m", allOf(way, drop(51.2), marksAt(0.44, orb.Point{48, -15})), heightsPass, "", ""},
		{"2.51 m off", allOf(way, drop(51.2), marksAt(0.6, orb.Point{47.49, -15})), heightsPass, "", ""},
		{"no drop", allOf(way, marksAt(0.46, orb.Point{48, -15})), heightsPass, "", ""},
		{"a drop 5.1 m off", allOf(way, drop(55.1), marksAt(0.46, orb.Point{48, -15})), heightsPass, "", ""},
		{"the drop between", allOf(way, drop(49), marksAt(0.46, orb.Point{48, -15})), heightsPass, "", ""},
	})
}

func TestTwoHeightsAtOnePlace(t *testing.T) {
	// The corner of the boundary is at 80 west and 40 south of nothing else.
	mark := func(name string, x, up float64) func(p *plot) {
		return func(p *plot) { pointOf(p, "q9", "mark", up, x, -40).name = name }
	}
	fence := func(up float64, says ...float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "e9", "fence", raisedTo(up), orb.Point{-9, -40.1}, orb.Point{79, -40.1})
			for _, h := range says {
				p.get("e9").set("height_m", num(h))
			}
		}
	}
	closing := func(role string, up float64) func(p *plot) {
		return func(p *plot) {
			n := 0
			areaOf(p, "k9", role, nil, rect(50, -30, 54, -26)).z = func(q orb.Point) float64 {
				if n++; n%5 == 0 {
					return plotH + up
				}
				return plotH
			}
		}
	}
	const open, closes = "at one place", "comes back to where it begins"
	judgeHeights(t, []heightPlan{
		{"a mark at the boundary, 1.01 m up", mark("M2", 60, 1.01), heightsOpen, "", open},
		{"1.01 m down", mark("M2", 60, -1.01), heightsOpen, "", open},
		{"0.99 m up", mark("M2", 60, 0.99), heightsPass, "", ""},
		{"on a post by its name", mark("Post 2", 60, 1.4), heightsPass, "", ""},
		{"on a wall drawn there", allOf(mark("M2", 60, 1.4), func(p *plot) { edgeOf(p, "e9", "wall", nil, orb.Point{55, -40.1}, orb.Point{65, -40.1}) }), heightsPass, "", ""},
		{"a fence along the boundary, 1.01 m up", fence(1.01), heightsOpen, "", open},
		{"its top, by its height", fence(1.29, 1), heightsPass, "", ""},
		{"past its top", fence(1.31, 1), heightsOpen, "", open},
		{"1.01 m down, with a height", fence(-1.01, 2), heightsOpen, "", open},
		{"a rim that closes 0.16 m up", closing("keepout", 0.16), heightsOpen, "", closes},
		{"0.14 m", closing("keepout", 0.14), heightsPass, "", ""},
		{"with a limit of its own", allOf(closing("keepout", 0.14), func(p *plot) { own(p, "k9", "step_max_m", 0.13) }), heightsOpen, "", closes},
		{"a building that closes 0.16 m up", closing("building", 0.16), heightsOpen, "", closes},
	})
}

func TestFeetFarAboveDrivenGround(t *testing.T) {
	fence := func(up float64, says ...float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "e9", "fence", raisedTo(up), orb.Point{31, -28}, orb.Point{31, -12})
			for _, h := range says {
				p.get("e9").set("height_m", num(h))
			}
		}
	}
	house := func(up float64, says ...float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "a9", "building", raisedTo(up), rect(31, -28, 36, -12))
			for _, h := range says {
				p.get("a9").set("height_m", num(h))
			}
		}
	}
	tree := func(up float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "k9", "keepout", raisedTo(0), rect(9, -21, 11, -19))
			pointOf(p, "h9", "hazard", up, 10, -20).set("hazard_kind", schema.String("tree")).set("height_m", num(4))
		}
	}
	// From 3 m off on, that is: nearer by geometry-unfit tells.
	pond := func(up float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", raisedTo(up), rect(33.5, -28, 36, -12)).set("hazard_kind", schema.String("pond"))
		}
	}
	wall := func(p *plot) { edgeOf(p, "e8", "wall", nil, orb.Point{30.5, -29}, orb.Point{30.5, -11}) }
	canal := func(x, up float64) func(p *plot) {
		return func(p *plot) {
			p.remove("s1")
			areaOf(p, "h9", "hazard", raisedTo(up), rect(x, -60, x+5, -12)).set("hazard_kind", schema.String("canal"))
		}
	}
	outlet := func(x, up float64) func(p *plot) {
		return func(p *plot) { pointOf(p, "s9", "supply", up, x, -20) }
	}
	const foot, water, below = "steeper than ground stands by itself", "water does not stand above a lawn", "stands in water when that comes over"
	judgeHeights(t, []heightPlan{
		{"a fence 1 m off, 3.01 m up", fence(3.01), heightsFail, "note", foot},
		{"2.99 m", fence(2.99), heightsPass, "", ""},
		{"its top, by its height", fence(3.4, 2.5), heightsPass, "", ""},
		{"past its top", fence(3.6, 2.5), heightsFail, "note", foot},
		{"on a wall drawn between", allOf(fence(3.01), wall), heightsPass, "", ""},
		{"a house 1 m off, 4.01 m up, 3 m high", house(4.01, 3), heightsFail, "note", foot},
		{"3.99 m: its roof", house(3.99, 3), heightsPass, "", ""},
		{"that does not say how high it is", house(6), heightsPass, "", ""},
		{"a tree in a keep-out, 5.01 m up, 4 m high", tree(5.01), heightsFail, "note", foot},
		{"4.99 m", tree(4.99), heightsPass, "", ""},
		{"a pond 3.5 m off, 0.476 m up", pond(0.476), heightsFail, "note", water},
		{"0.474 m", pond(0.474), heightsPass, "", ""},
		{"a canal 49.9 m off, 2.81 m up", canal(80.7, 2.82), heightsFail, "note", water},
		{"2.78 m", canal(80.7, 2.77), heightsPass, "", ""},
		{"50.1 m off", canal(81.5, 2.9), heightsPass, "", ""},
		{"a dyke between by its height", allOf(canal(40, 1.2), func(p *plot) {
			p.add(&thing{id: "o9", role: "other", name: "Path", line: []orb.Point{{36, -60}, {36, -8}}, z: raisedTo(0.92)})
		}), heightsPass, "", ""},
		{"one too low", allOf(canal(40, 1.2), func(p *plot) {
			p.add(&thing{id: "o9", role: "other", name: "Path", line: []orb.Point{{36, -60}, {36, -8}}, z: raisedTo(0.88)})
		}), heightsFail, "note", water},
		{"1.1 m up on a level site", canal(40, 1.1), heightsFail, "note", water},
		{"on a site that rises to it", allOf(canal(40, 1.1), func(p *plot) {
			p.get("p1").z = nil
			for _, id := range []string{"z1", "z2", "c1", "c2", "d1", "e2", "m1", "b1"} {
				if x := p.get(id); x != nil && x.z != nil {
					was := x.z
					x.z = func(q orb.Point) float64 { return was(q) + 0.04*(q[0]-30) }
				}
			}
		}), heightsPass, "", ""},
		{"an outlet 3.5 m from it, 0.276 m below", allOf(pond(0), outlet(39.5, -0.276)), heightsFail, "note", below},
		{"0.274 m below", allOf(pond(0), outlet(39.5, -0.274)), heightsPass, "", ""},
		{"on ground as low", allOf(pond(0), outlet(39.5, -0.276), marksAt(-0.2, orb.Point{41, -20})), heightsPass, "", ""},
		{"a wall between them", allOf(pond(0), outlet(39.5, -0.276), func(p *plot) { edgeOf(p, "e7", "wall", nil, orb.Point{38, -50}, orb.Point{38, 10}) }), heightsPass, "", ""},
		{"15.1 m from it", allOf(pond(0), outlet(51.1, -2)), heightsPass, "", ""},
		{"1 m up, a wall between", allOf(pond(1), func(p *plot) { edgeOf(p, "e8", "wall", nil, orb.Point{30.5, -41}, orb.Point{30.5, -1}) }), heightsPass, "", ""},
		{"1 m up by its height", allOf(pond(1.17), func(p *plot) { p.get("h9").set("height_m", num(1)) }), heightsPass, "", ""},
		{"past its height", allOf(pond(1.18), func(p *plot) { p.get("h9").set("height_m", num(1)) }), heightsFail, "note", water},
		{"a mark 2.99 m from it, 0.299 m lower", allOf(pond(1), marksAt(0.701, orb.Point{38.99, -20})), heightsPass, "", ""},
		{"0.301 m lower", allOf(pond(1), marksAt(0.699, orb.Point{38.99, -20})), heightsFail, "note", water},
		{"3.01 m from it", allOf(pond(1), marksAt(0.9, orb.Point{39.01, -20})), heightsFail, "note", water},
		{"the rim of its bed as high", allOf(pond(1), func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(1), rect(33, -29, 37, -11)) }), heightsPass, "", ""},
		{"its bed level with the lawn", allOf(pond(0.7), func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(0), rect(33, -29, 37, -11)) }), heightsFail, "note", water},
		{"with an edge limit of its own, 4.9 %", allOf(pond(0.4735), func(p *plot) { own(p, "h9", "slope_edge_max_percent", 4.9) }), heightsFail, "note", water},
		{"5 %", allOf(pond(0.4735), func(p *plot) { own(p, "h9", "slope_edge_max_percent", 5) }), heightsPass, "", ""},
		{"a pool, which stands in its wall", allOf(pond(4.49), func(p *plot) { p.get("h9").set("hazard_kind", schema.String("pool")) }), heightsPass, "", ""},
		{"higher than any", allOf(pond(4.51), func(p *plot) { p.get("h9").set("hazard_kind", schema.String("pool")) }), heightsFail, "note", water},
		{"a boundary 10 m off, 12.01 m up", func(p *plot) { p.get("p1").z = raisedTo(12.01); p.remove("m1") }, heightsFail, "note", foot},
		{"11.99 m", func(p *plot) { p.get("p1").z = raisedTo(11.99); p.remove("m1") }, heightsPass, "", ""},
	})
}

func TestMarksApartFromAllAboutThem(t *testing.T) {
	marks := func(up ...float64) func(p *plot) {
		return func(p *plot) {
			p.remove("m1")
			for i, h := range up {
				marksAt(h, orb.Point{10 + 20*float64(i), -39})(p)
			}
		}
	}
	const open = "heights of two references, or marks on top of something"
	judgeHeights(t, []heightPlan{
		{"three marks, each 1 m beside the boundary, 1.36 m up", marks(1.36, 1.5, 1.4), heightsOpen, "", open},
		{"one of them 1.34 m up", marks(1.36, 1.34, 1.4), heightsPass, "", ""},
		{"two", marks(1.5, 1.5), heightsPass, "", ""},
		{"one up, two down", marks(1.5, -1.5, -1.5), heightsPass, "", ""},
		{"all down", marks(-1.4, -1.5, -1.4), heightsOpen, "", open},
		{"on pillars by their names", func(p *plot) {
			marks(1.5, 1.5, 1.5)(p)
			for _, x := range p.things {
				if x.role == "mark" {
					x.name = "Pillar " + x.id
				}
			}
		}, heightsPass, "", ""},
	})
}
