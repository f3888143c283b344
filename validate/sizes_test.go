// Things whose size, number or time the plan leaves open.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestLinesThroughLawns: one line under a strip that keeps its margin.
func TestLinesThroughLawns(t *testing.T) {
	through := func(kind, name string, width float64, pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			if len(pts) == 0 {
				pts = []orb.Point{{-4, -20}, {34, -20}}
			}
			h := p.add(&thing{id: "h9", role: "hazard", name: name, line: pts, z: flatGround}).set("hazard_kind", schema.String(kind))
			if width > 0 {
				h.set("width_m", num(width))
			}
			p.add(&thing{id: "k9", role: "keepout", name: "Strip", rings: [][]orb.Point{rect(-5, -20.81, 35, -19.19)}, z: flatGround})
		}
	}
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a road", through("road", "Lane", 0), validate.Unchecked, "says nothing of how wide it is"},
		{"a track of a width", through("railway", "Lane", 0.51), validate.Failed, "lies 0.55 m from mown ground"},
		{"a rail", through("railway", "Rail", 0.5), validate.Failed, "says nothing of how wide it is"},
		{"a drive", through("drive", "Way in", 0), validate.Unchecked, "says nothing of how wide it is"},
		{"its edge", through("road", "Edge of the lane", 0), validate.Unchecked, "on which side of the line it lies"},
		{"its edge by the kind", through("Straßenrand", "Weg", 0), validate.Unchecked, "driven close to it on both sides"},
		{"a stream", through("stream", "Brook", 0), validate.Unchecked, "give it width_m"},
		{"a drop, which is a line", through("drop", "Ledge", 0), validate.Passed, ""},
		{"beside the lawn", through("stream", "Brook", 0, orb.Point{-4, -31}, orb.Point{34, -31}), validate.Passed, ""},
		{"a corner of it, 1.49 m", through("stream", "Brook", 0, orb.Point{28.51, -20}, orb.Point{34, -20}), validate.Passed, ""},
		{"1.51 m", through("stream", "Brook", 0, orb.Point{28.49, -20}, orb.Point{34, -20}), validate.Unchecked, "one line through"},
	})
}

// TestWideThingsUnderNarrowKeepouts: a playground is metres wide.
func TestWideThingsUnderNarrowKeepouts(t *testing.T) {
	under := func(kind string, side, radius float64) func(p *plot) {
		return func(p *plot) {
			h := p.add(&thing{id: "h9", role: "hazard", name: "Thing", point: &orb.Point{20, -20}, z: flatGround}).set("hazard_kind", schema.String(kind)).set("height_m", num(0.4))
			if radius > 0 {
				h.set("radius_m", num(radius))
			}
			if side == 0 {
				return
			}
			p.add(&thing{id: "k9", role: "keepout", name: "Square", rings: [][]orb.Point{rect(20-side/2, -20-side/2, 20+side/2, -20+side/2)}, z: flatGround})
		}
	}
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a playground", under("playground", 1.49, 0), validate.Unchecked, "give it radius_m"},
		{"under one with less room than half of it and the margin", under("playground", 2.097, 0), validate.Unchecked, "give it radius_m"},
		{"under a wider one", under("playground", 2.1, 0), validate.Passed, ""},
		{"of a size", under("playground", 1.49, 0.4), validate.Passed, ""},
		{"a post", under("post", 0.62, 0), validate.Passed, ""},
		{"a stump", under("stump", 1.097, 0), validate.Unchecked, "reaches more than 0.25 m"},
		{"under a wider one", under("stump", 1.1, 0), validate.Passed, ""},
		{"by the margin of the plan", limited(num(0.4), under("bench", 1.297, 0)), validate.Unchecked, "needs"},
		{"wider than by the margin of the plan", limited(num(0.4), under("bench", 1.3, 0)), validate.Passed, ""},
		{"of a small size", under("stump", 1, 0.1), validate.Passed, ""},
		{"a statue", under("statue", 1.597, 0), validate.Unchecked, "reaches more than 0.50 m"},
		{"under a wider one", under("statue", 1.6, 0), validate.Passed, ""},
		{"under none at all", under("stump", 0, 0), validate.Failed, "no keep-out"},
		{"less than its margin off, which is told", under("stump", 0.5, 0), validate.Failed, "is covered, but"},
		{"a low tree", under("apple tree", 1.097, 0), validate.Unchecked, "drawn as a point, which has no size"},
		{"under a wider one", under("apple tree", 1.1, 0), validate.Passed, ""},
	})
	beside := func(off float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Stump", point: &orb.Point{35, 10 + off}, z: flatGround}).set("hazard_kind", schema.String("stump"))
			p.get("c1").line = []orb.Point{{28.5, 10}, {31, 10}, {36, 10}}
			p.get("d1").point = &orb.Point{38, 10}
		}
	}
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"beside a corridor", beside(0.847), validate.Unchecked, "corridor"},
		{"on its other side", beside(-0.847), validate.Unchecked, "corridor"},
		{"farther off", beside(0.851), validate.Passed, ""},
	})
}

// limited gives the plan a margin of its own.
func limited(v schema.Value, draw func(p *plot)) func(p *plot) {
	return func(p *plot) {
		draw(p)
		member(p, schema.PlanLimits, schema.Object(schema.Attributes{{Key: "hazard_margin_m", Value: v}}))
	}
}

// TestBandsOfOneLine: hedges, beds and ditches are wide, and so may a line of no
// known kind be.
func TestBandsOfOneLine(t *testing.T) {
	beside := func(kind string, off, width float64) func(p *plot) {
		return func(p *plot) {
			h := p.add(&thing{id: "h9", role: "hazard", name: "Thing", line: []orb.Point{{5, -30 - off}, {25, -30 - off}}, z: flatGround}).
				set("hazard_kind", schema.String(kind)).set("height_m", num(0.4))
			if width > 0 {
				h.set("width_m", num(width))
			}
		}
	}
	within := func(kind string, half float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Thing", line: []orb.Point{{15, -18}, {15, -19}}, z: flatGround}).
				set("hazard_kind", schema.String(kind)).set("height_m", num(0.4))
			p.add(&thing{id: "k9", role: "keepout", name: "Strip", rings: [][]orb.Point{rect(15-half, -19-half, 15+half, -18+half)}, z: flatGround})
			p.get("c2").line = []orb.Point{{10, 1.5}, {10, -1}, {10, -9}, {10, -11.5}}
		}
	}
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a hedge", beside("hedge", 0.547, 0), validate.Unchecked, "give it width_m"},
		{"a hair farther off", beside("hedge", 0.551, 0), validate.Passed, ""},
		{"of a width", beside("hedge", 0.51, 0.4), validate.Passed, ""},
		{"of a width that is too much", beside("hedge", 0.49, 0.4), validate.Failed, "no keep-out"},
		{"a bed under a strip", within("Blumenbeet", 0.547), validate.Unchecked, "give it width_m"},
		{"a wider one", within("Blumenbeet", 0.551), validate.Passed, ""},
		{"a ditch", beside("ditch", 0.797, 0), validate.Unchecked, "give it width_m"},
		{"a hair farther off", beside("ditch", 0.801, 0), validate.Passed, ""},
		{"a ditch under a strip", within("Graben", 0.797), validate.Unchecked, "give it width_m"},
		{"its edge", beside("edge of the ditch", 0.31, 0), validate.Passed, ""},
		{"a trench", beside("trench", 0.797, 0), validate.Unchecked, "give it width_m"},
		{"a hair farther off", beside("trench", 0.801, 0), validate.Passed, ""},
		{"a ledge, which is a line", beside("ledge", 0.31, 0), validate.Passed, ""},
		{"a pond, the rest of which is not drawn", beside("pond", 0.797, 0), validate.Unchecked, "the rest of its shore"},
		{"a hair farther off", beside("pond", 0.801, 0), validate.Passed, ""},
		{"water", beside("water", 0.31, 0), validate.Unchecked, "the rest of its shore"},
		{"its shore", beside("pond shore", 0.31, 0), validate.Passed, ""},
		{"its shore by name", func(p *plot) { beside("Teich", 0.31, 0)(p); p.get("h9").name = "Teichufer" }, validate.Passed, ""},
		{"a pond that closes", func(p *plot) {
			beside("pond", 0.31, 0)(p)
			p.get("h9").line = []orb.Point{{5, -30.31}, {5, -33}, {9, -33}, {9, -30.31}, {5, -30.31}}
		}, validate.Passed, ""},
		{"one in two lines that meet", func(p *plot) {
			beside("pond", 0.31, 0)(p)
			p.get("h9").line = []orb.Point{{5, -30.31}, {9, -30.31}}
			p.add(&thing{id: "h8", role: "hazard", name: "Rest", line: []orb.Point{{5, -30.31}, {5, -33}, {9, -33}, {9, -30.31}}, z: flatGround}).set("hazard_kind", schema.String("pond"))
		}, validate.Passed, ""},
		{"a fence, which is thin", beside("fence", 0.31, 0), validate.Passed, ""},
		{"no known kind", beside("grot", 0.547, 0), validate.Unchecked, "give it width_m"},
		{"a hair farther off", beside("grot", 0.551, 0), validate.Passed, ""},
	})
}

// TestFlushRounds: what a closed flush edge in a lawn goes round has to be said.
func TestFlushRounds(t *testing.T) {
	round := func(ring []orb.Point, name string, more func(p *plot)) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: name, line: ring, z: flatGround}).set("edge_kind", schema.String("flush"))
			if more != nil {
				more(p)
			}
		}
	}
	square := rect(20, -24, 24, -20)
	across := func(x float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "c9", role: "corridor", name: "Way", line: []orb.Point{{x, -28}, {x, -40}}, z: flatGround})
		}
	}
	const says = "nothing says what lies there"
	judgeWords(t, validate.RuleEdgeSetback, []wordCase{
		{"a ring", round(square, "Ring", nil), validate.Unchecked, says},
		{"the other way round", round(reversed(square), "Ring", nil), validate.Unchecked, says},
		{"an area", func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: "Ring", rings: [][]orb.Point{square}, z: flatGround}).set("edge_kind", schema.String("flush"))
		}, validate.Unchecked, says},
		{"a small one", round(rect(20, -24, 20.51, -23.5), "Ring", nil), validate.Unchecked, says},
		{"smaller than that", round(rect(20, -24, 20.49, -23.5), "Ring", nil), validate.Passed, ""},
		{"by its name", round(square, "Pflasterflächen, Platten", nil), validate.Passed, ""},
		{"by its own word", round(square, "Ring", func(p *plot) { p.get("e9").set("driven_over", schema.Bool(true)) }), validate.Passed, ""},
		{"with what is in it", round(square, "Ring", func(p *plot) {
			p.add(&thing{id: "o9", role: "other", name: "Slabs", rings: [][]orb.Point{square}, z: flatGround}).set("driven_over", schema.Bool(true))
		}), validate.Passed, ""},
		{"with a mark in it", round(square, "Ring", func(p *plot) { p.get("m1").point = &orb.Point{22, -22} }), validate.Unchecked, says},
		{"round a keep-out", round(square, "Ring", func(p *plot) {
			p.add(&thing{id: "k9", role: "keepout", name: "Bed", rings: [][]orb.Point{square}, z: flatGround})
		}), validate.Passed, ""},
		{"round the lawn", round(rect(0, -30, 30, -10), "Ring", nil), validate.Passed, ""},
		{"beside the lawn", round(rect(20, -36, 24, -32), "Ring", nil), validate.Passed, ""},
		{"under a corridor", round(rect(20, -38, 24, -34), "Ring", across(22)), validate.Unchecked, says},
		{"a hair beside its machine", round(rect(22.301, -38, 24, -34), "Ring", across(22)), validate.Passed, ""},
		{"under its machine", round(rect(22.298, -38, 24, -34), "Ring", across(22)), validate.Unchecked, says},
		{"a hair inside the disc before a dock", round(rect(33.5, 10.598, 34.5, 11.5), "Ring", nil), validate.Unchecked, says},
		{"a hair outside it", round(rect(33.5, 10.601, 34.5, 11.5), "Ring", nil), validate.Passed, ""},
		{"slabs under a corridor", round(rect(20, -38, 24, -34), "Slabs", across(22)), validate.Passed, ""},
		{"with what is in it under a corridor", round(rect(20, -38, 24, -34), "Ring", func(p *plot) {
			across(22)(p)
			p.add(&thing{id: "o9", role: "other", name: "Slabs", rings: [][]orb.Point{rect(20, -38, 24, -34)}, z: flatGround}).set("driven_over", schema.Bool(true))
		}), validate.Passed, ""},
		{"a line that does not close", round(square[:4], "Ring", nil), validate.Passed, ""},
	})
}

// TestTrueCorners: an octagon that says that it is one is no round.
func TestTrueCorners(t *testing.T) {
	bed := func(name string, n int) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "k9", role: "keepout", name: name, rings: [][]orb.Point{circle(22, -20, 2, n)}, z: flatGround})
		}
	}
	shed := func(name string, n int) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "g9", role: "building", name: name, rings: [][]orb.Point{circle(22, -32.21, 2, n)}, z: flatGround}).set("height_m", num(0.4))
		}
	}
	judgeWords(t, validate.RuleCurveCoarse, []wordCase{
		{"a round bed", bed("Bed", 8), validate.Failed, "say octagon in its name"},
		{"an octagon", bed("Octagonal bed", 8), validate.Passed, ""},
		{"an octagon of six corners", bed("Octagonal bed", 6), validate.Failed, "say hexagon in its name"},
		{"a hexagon", bed("Sechseckbeet", 6), validate.Passed, ""},
		{"five corners", bed("Bed", 5), validate.Unchecked, "five points"},
		{"a pentagon", bed("Pentagon", 5), validate.Passed, ""},
		{"a round shed", shed("Shed", 6), validate.Failed, "few points along a curve"},
		{"a shed of six corners", shed("Hexagonal shed", 6), validate.Passed, ""},
		{"one that says eight", shed("Octagonal shed", 6), validate.Failed, "few points along a curve"},
	})
}

// TestWallsOfOneLine: of a wall between two mown sides one face is not drawn.
func TestWallsOfOneLine(t *testing.T) {
	wall := func(kind string, half, width float64) func(p *plot) {
		return func(p *plot) {
			e := p.add(&thing{id: "e9", role: "edge", name: "Old wall", line: []orb.Point{{22, -25}, {22, -15}}, z: flatGround}).set("edge_kind", schema.String(kind))
			if width > 0 {
				e.set("width_m", num(width))
			}
			p.add(&thing{id: "k9", role: "keepout", name: "Strip", rings: [][]orb.Point{rect(22-half, -26, 22+half, -14)}, z: flatGround})
		}
	}
	strip := func(draw func(p *plot)) func(p *plot) {
		return func(p *plot) {
			draw(p)
			p.get("e9").set("limits", schema.Object(schema.Attributes{{Key: "hard_edge_strip_m", Value: num(0.25)}}))
		}
	}
	judgeWords(t, "edge-setback", []wordCase{
		{"a wall", wall("wall", 0.297, 0), validate.Unchecked, "both of its faces"},
		{"a hair more room", wall("wall", 0.301, 0), validate.Passed, ""},
		{"by its own strip", strip(wall("wall", 0.397, 0)), validate.Unchecked, "both of its faces"},
		{"more than by its own strip", strip(wall("wall", 0.401, 0)), validate.Passed, ""},
		{"of a width", wall("wall", 0.28, 0.2), validate.Passed, ""},
		{"a fence", wall("fence", 0.16, 0), validate.Passed, ""},
		{"mown on one side", func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: "Old wall", line: []orb.Point{{5, -30.16}, {25, -30.16}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		}, validate.Passed, ""},
	})
}

func TestFilesThatAreOnePage(t *testing.T) {
	n := func(key string, v float64) schema.Attribute { return schema.Attribute{Key: key, Value: num(v)} }
	with := func(members ...schema.Attribute) func(p *plot) {
		return func(p *plot) { p.members = append(p.members, members...) }
	}
	link := func(rel string) schema.Attribute {
		return schema.Attribute{Key: "links", Value: schema.List(schema.Object(schema.Attributes{{Key: "rel", Value: schema.String(rel)}, {Key: "href", Value: schema.String("items")}}))}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"one of more", with(n("numberMatched", 15), n("numberReturned", 14)), validate.Unchecked, "holds 14 of 15 features"},
		{"one that was lost", with(n("numberReturned", 15)), validate.Unchecked, "by its numberReturned"},
		{"all", with(n("numberMatched", 14), n("numberReturned", 14)), validate.Passed, ""},
		{"a contour on another height than it says", func(p *plot) {
			p.add(&thing{id: "o1", role: "other", name: "Contour 47", line: []orb.Point{{20, -25}, {23, -21}}, z: flatGround}).set("elevation", num(plotH+2))
		}, validate.Unchecked, "says elevation"},
		{"a contour that says its own", func(p *plot) {
			p.add(&thing{id: "o1", role: "other", name: "Contour 42", line: []orb.Point{{20, -25}, {23, -21}}, z: flatGround}).set("elevation", num(plotH))
		}, validate.Passed, ""},
		{"a next page", with(link("next")), validate.Unchecked, "a next page"},
		{"itself", with(link("self")), validate.Passed, ""},
	})
}

func TestListsOfQuality(t *testing.T) {
	list := func(v ...float64) schema.Value {
		var out []schema.Value
		for _, x := range v {
			out = append(out, num(x))
		}
		return schema.List(out...)
	}
	all := func(v schema.Value) func(p *plot) {
		return func(p *plot) { p.get("z1").set("sigma", v); p.get("z2").set("sigma", num(0.01)) }
	}
	placed := func(a ...schema.Attribute) func(p *plot) {
		return func(p *plot) { member(p, "placement", schema.Object(a)) }
	}
	n := func(key string, v float64) schema.Attribute { return schema.Attribute{Key: key, Value: num(v)} }
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"a value for each of five points", all(list(0.01, 0.01, 0.01, 0.01, 0.01)), validate.Passed, ""},
		{"for each corner", all(list(0.01, 0.01, 0.01, 0.01)), validate.Passed, ""},
		{"for three of four", all(list(0.01, 0.01, 0.01)), validate.Unchecked, "has 3 values for 5 points"},
		{"none at all", all(num(0)), validate.Unchecked, "says nothing"},
		{"no spare marks", placed(n("rms_m", 0.001), n("redundancy", 0)), validate.Unchecked, "measure a third"},
		{"some", placed(n("rms_m", 0.001), n("redundancy", 2)), validate.Passed, ""},
		{"two marks", placed(n("marks", 2)), validate.Unchecked, "measure a third"},
	})
}

// TestDocksOnLawns: a dock that no corridor leads to lines up on the lawn.
func TestDocksOnLawns(t *testing.T) {
	at := func(x, y float64) func(p *plot) {
		return func(p *plot) { p.get("d1").point = &orb.Point{x, y}; p.remove("c1") }
	}
	judgeWords(t, "dock-approach", []wordCase{
		{"by the edge of the lawn", at(30.5, 10), validate.Passed, ""}, // its line-up point 1.5 m inside
		{"a hair inside", at(31.99, 10), validate.Passed, ""},
		{"a hair outside", at(32.01, 10), validate.Unchecked, "no corridor leads to"},
	})
	judgeWords(t, validate.RulePropertyUnread, []wordCase{
		{"a schedule", func(p *plot) {
			p.get("k1").set("schedule", schema.Object(schema.Attributes{{Key: "from", Value: schema.String("08:00")}}))
		}, validate.Failed, "schedule"},
		{"a schedule in words", func(p *plot) { p.get("k1").set("schedule", schema.String("never")) }, validate.Failed, "never"},
		{"a height of a lawn that has them", func(p *plot) { p.get("z1").set("elevation", num(plotH)) }, validate.Passed, ""},
		{"of one that has none", func(p *plot) { p.get("z1").set("elevation", num(plotH)).z = nil }, validate.Failed, "elevation"},
		{"of a mark that has none", func(p *plot) { p.get("m1").set("z", num(plotH-2)).z = nil }, validate.Failed, `"z"`},
		{"of a building", func(p *plot) { p.get("g1").set("elevation", num(plotH)).z = nil }, validate.Passed, ""},
	})
}
