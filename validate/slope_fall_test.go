// Ground that is steep between what is known of it: marks close by one another,
// slopes across ways, dips and humps, slopes down to water, and lawns of another
// reference than all about them.

package validate_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

func allOf(draw ...func(p *plot)) func(p *plot) {
	return func(p *plot) {
		for _, d := range draw {
			d(p)
		}
	}
}

// marksAt draws marks so high.
func marksAt(up float64, at ...orb.Point) func(p *plot) {
	return func(p *plot) {
		for _, q := range at {
			pointOf(p, fmt.Sprintf("q%d", len(p.things)), "mark", up, q[0], q[1])
		}
	}
}

// wayOf draws a corridor south along x = 50.
func wayOf(z func(orb.Point) float64, ys ...float64) func(p *plot) {
	return func(p *plot) {
		x := p.add(&thing{id: "c9", role: "corridor", name: "Way", z: z})
		for _, y := range ys {
			x.line = append(x.line, orb.Point{50, y})
		}
	}
}

func TestMarksCloseByOneAnother(t *testing.T) {
	const open, steps, pair = "others near them do as much", "steps up by", "or one of them stands on something"
	row := func(y, up float64) func(p *plot) { return marksAt(up, orb.Point{10, y}, orb.Point{13, y}) }
	judgeHeights(t, []heightPlan{
		{"two rows 1 m apart, a step past what a slope leads", allOf(row(-20, 0), row(-21, -0.502)), heightsFail, "note", open},
		{"a hair less", allOf(row(-20, 0), row(-21, -0.498)), heightsFail, "note", pair},
		{"one pair alone may stand on something", allOf(marksAt(0, orb.Point{10, -20}), marksAt(-0.6, orb.Point{10, -21})), heightsFail, "note", pair},
		{"one that stands on something among three", allOf(row(-20, 0), marksAt(0, orb.Point{11, -22}), marksAt(0.55, orb.Point{11, -21})), heightsFail, "note", pair},
		{"a hollow between two", allOf(marksAt(0, orb.Point{10, -20}, orb.Point{12, -20}), marksAt(-0.502, orb.Point{11, -20})), heightsFail, "note", open},
		{"a hair less of a hollow", allOf(marksAt(0, orb.Point{10, -20}, orb.Point{12, -20}), marksAt(-0.498, orb.Point{11, -20})), heightsFail, "note", "in a hollow"},
		{"one that stands on something between two", allOf(marksAt(0, orb.Point{10, -20}, orb.Point{12, -20}), marksAt(0.502, orb.Point{11, -20})), heightsFail, "note", pair},
		{"which its name says", allOf(marksAt(0, orb.Point{10, -20}), func(p *plot) { pointOf(p, "q9", "mark", 0.6, 10, -21).name = "Pillar 1" }), heightsPass, "", ""},
		{"rows with a drop between", allOf(row(-20, 0), row(-21, -0.6), func(p *plot) { edgeOf(p, "d9", "drop", nil, orb.Point{5, -20.5}, orb.Point{18, -20.5}) }), heightsPass, "", ""},
		{"two rows 1 m apart, 0.652 m", allOf(row(-20, 0), row(-21, 0.652)), heightsFail, "warning", steps},
		{"0.3 m apart, a hair more than 0.3 m and the slope", allOf(marksAt(0, orb.Point{10, -20}), marksAt(0.407, orb.Point{10.3, -20})), heightsFail, "warning", steps},
		{"a hair less, 0.3 m apart", allOf(marksAt(0, orb.Point{10, -20}), marksAt(0.403, orb.Point{10.3, -20})), heightsPass, "", ""},
	})
}

// The limit is 35 %.
func TestSteepBetweenTwoMarks(t *testing.T) {
	two := func(d, up float64, more ...func(p *plot)) func(p *plot) {
		return allOf(marksAt(0, orb.Point{10, -20}), marksAt(up, orb.Point{10, -20 + d}), allOf(more...))
	}
	const pair = "or one of them stands on something"
	judgeHeights(t, []heightPlan{
		{"38 % over 1.6 m", two(1.6, 0.608), heightsFail, "note", pair},
		{"0.031 m past the limit over 1.6 m", two(1.6, 0.591), heightsFail, "note", pair},
		{"a hair less", two(1.6, 0.589), heightsPass, "", ""},
		{"over 4.99 m", two(4.99, -1.778), heightsFail, "note", pair},
		{"over 5.02 m", two(5.02, -1.79), heightsPass, "", ""},
		{"over 0.98 m, where both may be of one stone", two(0.98, 0.4), heightsPass, "", ""},
		{"at the edge of the lawn", allOf(marksAt(0, orb.Point{10, -30}), marksAt(0.608, orb.Point{11.6, -30})), heightsFail, "note", pair},
		{"from its edge in", allOf(marksAt(0, orb.Point{10, -29.95}), marksAt(0.608, orb.Point{10, -28.35})), heightsFail, "note", pair},
		{"0.1 m outside", allOf(marksAt(0, orb.Point{10, -30.1}), marksAt(0.608, orb.Point{11.6, -30.1})), heightsPass, "", ""},
		{"a bed between", two(1.6, 0.608, func(p *plot) { areaOf(p, "k9", "keepout", nil, rect(8, -19.4, 12, -19)) }), heightsPass, "", ""},
		{"a wall between", two(1.6, 0.608, func(p *plot) { edgeOf(p, "e9", "wall", nil, orb.Point{8, -19.2}, orb.Point{12, -19.2}) }), heightsPass, "", ""},
		{"a limit of its own", two(3, 0.94, func(p *plot) { own(p, "z2", "slope_max_percent", 30) }), heightsFail, "note", pair},
		{"a hair less of that", two(3, 0.92, func(p *plot) { own(p, "z2", "slope_max_percent", 30) }), heightsPass, "", ""},
	})
}

// A mark beside a corner of the lawn, where its outline is known.
func TestSteepFromTheOutlineToAMark(t *testing.T) {
	mark := func(in, up float64) func(p *plot) { return marksAt(up, orb.Point{30 - in, -20}) }
	const says = "and the outline of zone"
	judgeHeights(t, []heightPlan{
		{"1.5 m inside, a step and a hair more than the slope leads down", mark(1.5, -0.677), heightsFail, "note", says},
		{"a hair less", mark(1.5, -0.673), heightsPass, "", ""},
		{"as much up", mark(1.5, 0.677), heightsFail, "note", says},
		{"4.99 m inside", mark(4.99, 1.899), heightsFail, "note", says},
		{"5.02 m inside", mark(5.02, 1.91), heightsPass, "", ""},
		{"0.98 m inside", mark(0.98, -0.5), heightsPass, "", ""},
		{"1.5 m outside", mark(-1.5, 0.677), heightsPass, "", ""},
		{"the rim of a bed 1.5 m off that lies lower", allOf(mark(9, 0), func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(-0.677), rect(14, -23, 19.5, -17)) }), heightsFail, "note", "the rim of keepout"},
		{"a hair less lower", allOf(mark(9, 0), func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(-0.673), rect(14, -23, 19.5, -17)) }), heightsPass, "", ""},
		{"a bed as much higher", allOf(mark(9, 0), func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(0.677), rect(14, -23, 19.5, -17)) }), heightsPass, "", ""},
		{"a contour", func(p *plot) {
			p.add(&thing{id: "o9", role: "other", name: "Contour", line: []orb.Point{{5, -28.5}, {25, -28.5}}, z: raisedTo(-0.677)})
		}, heightsFail, "note", says},
		{"a hair less of one", func(p *plot) {
			p.add(&thing{id: "o9", role: "other", name: "Contour", line: []orb.Point{{5, -28.5}, {25, -28.5}}, z: raisedTo(-0.673)})
		}, heightsPass, "", ""},
		{"a bed between", allOf(mark(3, 1.25), func(p *plot) { areaOf(p, "k9", "keepout", nil, rect(28, -23, 29, -17)) }), heightsPass, "", ""},
		{"on a pillar by its name", allOf(mark(1.5, 0.677), func(p *plot) { p.things[len(p.things)-1].name = "Pillar 3" }), heightsPass, "", ""},
		{"a limit of its own", allOf(mark(1.5, -0.623), func(p *plot) { own(p, "z2", "step_max_m", 0.096) }), heightsFail, "note", says},
		{"a hair less of that", allOf(mark(1.5, -0.619), func(p *plot) { own(p, "z2", "step_max_m", 0.096) }), heightsPass, "", ""},
		{"the lawn's slope limit", allOf(mark(1.5, -0.603), func(p *plot) { own(p, "z2", "slope_max_percent", 30) }), heightsFail, "note", says},
	})
}

func TestSlopesAcrossWays(t *testing.T) {
	across := func(up float64, more ...func(p *plot)) func(p *plot) {
		return allOf(wayOf(raisedTo(0), -10, -20), marksAt(up, orb.Point{49.5, -15}), marksAt(-up, orb.Point{50.5, -15}), allOf(more...))
	}
	path := func(x, up float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: fmt.Sprintf("o%g", x), role: "other", name: "Path", line: []orb.Point{{x, -30}, {x, 0}}, z: raisedTo(up)})
		}
	}
	const says, open = "slopes across", "slopes so across"
	judgeHeights(t, []heightPlan{
		{"50.2 % over 1 m", across(0.251), heightsOpen, "", open},
		{"49.8 %", across(0.249), heightsPass, "", ""},
		{"65.2 %", across(0.326), heightsFail, "warning", says},
		{"64.8 %", across(0.324), heightsOpen, "", open},
		{"with a drop between", across(0.3, func(p *plot) { edgeOf(p, "d9", "drop", nil, orb.Point{50.2, -20}, orb.Point{50.2, -10}) }), heightsPass, "", ""},
		{"paths that run along it", allOf(wayOf(raisedTo(0), -10, -20), path(48.6, 0.67), path(51.4, -0.67)), heightsFail, "warning", says},
		{"2.49 m off", allOf(wayOf(raisedTo(0), -10, -20), path(47.51, 1.03), path(52.49, -1.03)), heightsFail, "warning", says},
		{"4.99 m off, a hair more than the slope and 0.15 m", allOf(wayOf(raisedTo(0), -10, -20), path(45.01, 1.85), path(54.99, -1.8)), heightsOpen, "", open},
		{"a hair less", allOf(wayOf(raisedTo(0), -10, -20), path(45.01, 1.83), path(54.99, -1.8)), heightsPass, "", ""},
		{"farther off than 5 m", allOf(wayOf(raisedTo(0), -10, -20), path(44.99, 2.2), path(55.01, -1.8)), heightsPass, "", ""},
		{"30 % along it and 21.3 % across", allOf(wayOf(func(q orb.Point) float64 { return plotH + 0.3*(q[1]+15) }, -10, -20), marksAt(0.51, orb.Point{47.6, -15}), marksAt(-0.51, orb.Point{52.4, -15})), heightsOpen, "", open},
		{"20.5 % across", allOf(wayOf(func(q orb.Point) float64 { return plotH + 0.3*(q[1]+15) }, -10, -20), marksAt(0.49, orb.Point{47.6, -15}), marksAt(-0.49, orb.Point{52.4, -15})), heightsPass, "", ""},
		{"30 % both ways", allOf(wayOf(func(q orb.Point) float64 { return plotH + 0.3*(q[1]+15) }, -10, -20), marksAt(0.72, orb.Point{47.6, -15}), marksAt(-0.72, orb.Point{52.4, -15})), heightsFail, "warning", says},
		{"8 m from one another along it", allOf(wayOf(raisedTo(0), -10, -20), marksAt(0.15, orb.Point{49.5, -11}), marksAt(-0.15, orb.Point{50.5, -19}), func(p *plot) { own(p, "c9", "slope_max_percent", 1) }), heightsPass, "", ""},
		{"both on one side", allOf(wayOf(raisedTo(0), -10, -20), marksAt(0.3, orb.Point{50.4, -15}), marksAt(-0.3, orb.Point{50.9, -15})), heightsPass, "", ""},
		{"no heights of its own", allOf(wayOf(nil, -10, -20), marksAt(0.5, orb.Point{49.5, -15}), marksAt(-0.5, orb.Point{50.5, -15})), heightsFail, "warning", says},
	})
}

func TestSlopesDownToWater(t *testing.T) {
	down := func(slope float64) func(p *plot) {
		return wayOf(func(q orb.Point) float64 { return plotH + slope*(q[1]+10) }, -10, -16, -20)
	}
	area := func(kind string, x0, y0, x1, y1 float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", nil, rect(x0, y0, x1, y1)).set("hazard_kind", schema.String(kind))
		}
	}
	const says = "the limit beside a drop, water or a road is 15 %"
	judgeHeights(t, []heightPlan{
		{"15.1 % beside a pond", allOf(down(0.151), area("pond", 51.99, -20, 55, -10)), heightsFail, "error", says},
		{"14.9 %", allOf(down(0.149), area("pond", 51.99, -20, 55, -10)), heightsPass, "", ""},
		{"2.01 m off", allOf(down(0.33), area("pond", 52.01, -20, 55, -10)), heightsPass, "", ""},
		{"beside a road", allOf(down(0.33), area("road", 51.5, -20, 55, -10)), heightsFail, "error", says},
		{"beside a rock", allOf(down(0.33), area("rock", 51.5, -20, 55, -10)), heightsPass, "", ""},
		{"down to a pond 4.98 m on", allOf(down(0.33), area("pond", 48, -30, 52, -24.98)), heightsFail, "error", says},
		{"5.02 m on", allOf(down(0.33), area("pond", 48, -30, 52, -25.02)), heightsPass, "", ""},
		{"beside the way straight on", allOf(down(0.33), area("pond", 50.1, -30, 52, -23)), heightsPass, "", ""},
		{"up to a pond", allOf(down(0.33), area("pond", 48, -7.9, 52, -4)), heightsPass, "", ""},
		{"an outline of 16 % beside a pond", func(p *plot) {
			areaOf(p, "z9", "zone", func(q orb.Point) float64 { return plotH + 0.16*(q[1]+20) }, rect(50, -25, 60, -15))
			area("pond", 61.5, -25, 65, -15)(p)
		}, heightsFail, "error", says},
	})
}

func TestDipsAndHumpsOfWays(t *testing.T) {
	at := func(up float64) func(p *plot) {
		return wayOf(func(q orb.Point) float64 {
			if q[1] == -14 {
				return plotH + up
			}
			return plotH
		}, -10, -12, -14, -16, -20)
	}
	judgeHeights(t, []heightPlan{
		{"a dip of 0.351 m", at(-0.351), heightsFail, "warning", "dips: its slope changes by 35.1 %"},
		{"0.349 m", at(-0.349), heightsPass, "", ""},
		{"a hump of 0.351 m", at(0.351), heightsFail, "warning", "has a hump"},
		{"a hump of 0.349 m", at(0.349), heightsPass, "", ""},
		{"a dip of 0.63 m", at(-0.63), heightsFail, "warning", "dips"},
		{"a limit of its own", allOf(at(-0.201), func(p *plot) { own(p, "c9", "slope_max_percent", 20) }), heightsFail, "warning", "dips"},
		{"a hair less", allOf(at(-0.199), func(p *plot) { own(p, "c9", "slope_max_percent", 20) }), heightsPass, "", ""},
		{"up as steep as may be, from level ground", wayOf(func(q orb.Point) float64 { return plotH + 0.349*max(0, -q[1]-14) }, -10, -12, -14, -16, -20), heightsPass, "", ""},
		{"points that lie close", wayOf(func(q orb.Point) float64 { return plotH + 0.3*max(q[1]+14, -q[1]-14) }, -10, -12, -13, -13.5, -14, -14.5, -15, -16, -20), heightsFail, "warning", "60.0 %"},
	})
}

func TestLawnsApartFromAllAboutThem(t *testing.T) {
	bare := func(p *plot) { p.get("p1").z, p.get("m1").z = nil, nil }
	marks := func(up float64) func(p *plot) {
		return allOf(bare, marksAt(up, orb.Point{50, -18}, orb.Point{50, -20}, orb.Point{50, -22}))
	}
	const says = "of two references or units, and which is wrong"
	judgeHeights(t, []heightPlan{
		{"20 m off, 10.02 m lower", marks(-10.02), heightsOpen, "", says},
		{"9.98 m lower", marks(-9.98), heightsPass, "", ""},
		{"10.02 m higher", marks(10.02), heightsOpen, "", says},
		{"9.98 m higher", marks(9.98), heightsPass, "", ""},
		{"two marks alone", allOf(bare, marksAt(-10.4, orb.Point{50, -18}, orb.Point{50, -20})), heightsPass, "", ""},
		{"one that agrees", allOf(marks(-12), marksAt(0, orb.Point{50, -24})), heightsFail, "note", "as far off all else"}, // and lies off the three
		{"a boundary", func(p *plot) { p.get("m1").z = nil; p.get("p1").z = raisedTo(22) }, heightsOpen, "", says},
		{"more than 100 m off", allOf(bare, marksAt(60, orb.Point{131, -18}, orb.Point{131, -20}, orb.Point{131, -22})), heightsPass, "", ""},
	})
}

func TestSaidSlopesAtOutlinesDropsAndDocks(t *testing.T) {
	says := func(id, key string, v float64, more ...func(p *plot)) func(p *plot) {
		return allOf(func(p *plot) { p.get(id).set(key, num(v)) }, allOf(more...))
	}
	drop := func(x float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "d9", "drop", nil, orb.Point{x, -9}, orb.Point{x, -1}) }
	}
	const open = "do not show where it is as steep"
	judgeHeights(t, []heightPlan{
		{"a lawn, 15.1 %", says("z2", "slope_percent", 15.1), heightsOpen, "", open},
		{"15 %", says("z2", "slope_percent", 15), heightsPass, "", ""},
		{"8.6 degrees", says("z2", "slope_deg", 8.6), heightsOpen, "", open},
		{"a lawn whose outline shows it", func(p *plot) {
			p.get("z2").z, p.get("e2").z = tilted(0.16), tilted(0.16)
			p.get("z2").set("slope_percent", num(16))
		}, heightsFail, "warning", "at an outline"},
		{"a corridor 1.99 m beside a drop, 15.1 %", says("c2", "slope_percent", 15.1, drop(16.99)), heightsOpen, "", open},
		{"a corridor, 15 %", says("c2", "slope_percent", 15, drop(16.99)), heightsPass, "", ""},
		{"2.01 m beside it", says("c2", "slope_percent", 34, drop(17.01)), heightsPass, "", ""},
		{"a dock, 5.1 %", says("d1", "slope_percent", 5.1), heightsFail, "error", "slopes 5.1 % by its slope_percent; the limit is 5 %"},
		{"a dock, 5 %", says("d1", "slope_percent", 5), heightsPass, "", ""},
	})
}

// A lawn on a terrace between an upper lawn and a mark, each 4 m off the next: of the
// mark the terrace tells, not the upper lawn above it.
func TestFallsBelowTheNearerLawn(t *testing.T) {
	judgeHeights(t, []heightPlan{
		{"a terrace between", allOf(func(p *plot) { p.get("p1").z = nil }, func(p *plot) {
			areaOf(p, "z9", "zone", raisedTo(-1.5), rect(34, -30, 34.3, -10))
		}, marksAt(-3, orb.Point{38.3, -20})), heightsPass, "", ""},
	})
}

func TestWaterFarBelowLawns(t *testing.T) {
	pond := func(off, up float64, more ...func(p *plot)) func(p *plot) {
		return allOf(func(p *plot) {
			areaOf(p, "h9", "hazard", raisedTo(up), rect(30+off, -28, 45, -12)).set("hazard_kind", schema.String("pond"))
		}, allOf(more...))
	}
	const doubt = "falls at the edge of what is driven"
	judgeHeights(t, []heightPlan{
		{"5 m off, 2.06 m lower", pond(5, -2.06), heightsFail, "warning", "where the fall begins"},
		{"2.04 m lower", pond(5, -2.04), heightsOpen, "", doubt},
		{"1.901 m lower", pond(5, -1.901), heightsOpen, "", doubt},
		{"1.899 m lower", pond(5, -1.899), heightsPass, "", ""},
		{"3.01 m off", pond(3.01, -3), heightsFail, "warning", "where the fall begins"},
		{"2.99 m off", pond(2.99, -3), heightsOpen, "", "whether the ground before it is as steep"},
		{"2 m off, 1.01 m lower", pond(2, -1.01), heightsOpen, "", "whether the ground before it is as steep"},
		{"2 m off, 0.851 m lower", pond(2, -0.851), heightsFail, "note", "leads on to a drop, water or a road"},
		{"2 m off, 0.849 m lower", pond(2, -0.849), heightsPass, "", ""},
		{"2.01 m off, 0.99 m lower", pond(2.01, -0.99), heightsOpen, "", doubt},
		{"in a keep-out", pond(5, -3, func(p *plot) { areaOf(p, "k9", "keepout", nil, rect(34, -29, 46, -11)) }), heightsPass, "", ""},
	})
}

// The slope of the site is no fall: a lawn and marks on one plane, whatever they rise
// by, and what lies lower than that plane.
func TestFallsOnSlopingSites(t *testing.T) {
	site := func(slope, below float64) func(p *plot) {
		return func(p *plot) {
			on := func(q orb.Point) float64 { return plotH + slope*(q[1]+20) }
			for _, x := range p.things {
				x.z = on
			}
			p.get("b1").z = func(q orb.Point) float64 { return on(q) + 2.5 }
			p.get("d1").z, p.get("c1").z = raisedTo(slope*30), raisedTo(slope*30)
			p.add(&thing{id: "q", role: "mark", name: "Foot", point: &orb.Point{40, -20}, z: func(q orb.Point) float64 { return on(q) - below }})
		}
	}
	judgeHeights(t, []heightPlan{
		{"a site of 4 %", site(0.04, 0), heightsPass, "", ""},
		// The steepest way to the mark comes from up the slope: 3.5 m of the height
		// over 10 m, and 0.3 m, less what the rise along the side makes of it.
		{"3.75 m below it", site(0.04, 3.75), heightsOpen, "", "falls at the edge of what is driven"},
		{"3.6 m below it", site(0.04, 3.6), heightsPass, "", ""},
		{"3.79 m below it", site(0.04, 3.79), heightsFail, "warning", "where the fall begins"},
	})
}

// An everyday garden on a hill: what is told of falls leaves it alone.
func TestGardensOnHills(t *testing.T) {
	hill := func(slope float64, more ...func(p *plot)) func(p *plot) {
		on := func(q orb.Point) float64 { return plotH - slope*(q[0]-30) }
		return func(p *plot) {
			p.remove("d1")
			p.remove("c1")
			for _, x := range p.things {
				if x.z != nil && x.role != "base" {
					x.z = on
				}
			}
			for _, d := range more {
				d(p)
			}
			// Marks, a path and a boundary that run down the hill with it.
			for i, q := range []orb.Point{{32, -20}, {36, -20}, {44, -22}, {60, -18}} {
				p.add(&thing{id: fmt.Sprintf("q%d", i), role: "mark", name: fmt.Sprintf("M%d", i+4), point: &q, z: on})
			}
			p.add(&thing{id: "o9", role: "other", name: "Path", line: []orb.Point{{31, -60}, {31, 0}}, z: on})
		}
	}
	lake := func(x, up float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", raisedTo(up), rect(x, -60, x+30, 0)).set("hazard_kind", schema.String("lake"))
		}
	}
	terrace := func(fall, high float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "z9", "zone", raisedTo(-fall), rect(30.8, -26, 40, -14))
			edgeOf(p, "e9", "wall", raisedTo(0), orb.Point{30.4, -31}, orb.Point{30.4, -9})
			p.get("e9").set("height_m", num(high))
		}
	}
	judgeHeights(t, []heightPlan{
		{"a lake 5 m off, 1 m lower", lake(35, -1), heightsPass, "", ""},
		{"a lake 20 m off, 6 m lower", lake(50, -6), heightsPass, "", ""},
		{"a terrace of 1 m with its wall", terrace(1, 1), heightsPass, "", ""},
		{"a terrace of 0.6 m with its wall", terrace(0.6, 0.6), heightsPass, "", ""},
		{"a pond 0.2 m above a lawn 2 m off", func(p *plot) {
			areaOf(p, "h9", "hazard", raisedTo(0.2), rect(32, -24, 36, -18)).set("hazard_kind", schema.String("pond"))
		}, heightsPass, "", ""},
	})
	for _, slope := range []float64{0.1, 0.145} {
		judgeHeights(t, []heightPlan{{fmt.Sprintf("a hill of %g", slope), hill(slope), heightsPass, "", ""}})
	}
}
