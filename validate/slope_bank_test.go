// Banks and walls between two lawns of which no drop tells, docks on a slope and
// heights of what is switched off.

package validate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// The south lawn ends at 30 east; the passage limit is 1.5 m.
func TestBanksBetweenLawns(t *testing.T) {
	upper := func(gap, up float64, more ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "z9", "zone", raisedTo(up), rect(30+gap, -26, 40+gap, -18))
			p.get("p1").z = nil
			for _, draw := range more {
				draw(p)
			}
		}
	}
	bare := func(p *plot, id string) { p.get(id).z = nil }
	edge := func(kind string, x float64, set ...float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "e9", kind, raisedTo(0), orb.Point{x, -31}, orb.Point{x, -9})
			for _, h := range set {
				p.get("e9").set("height_m", num(h))
			}
		}
	}
	area := func(role string, x float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "a9", role, raisedTo(0), rect(x, -34, x+0.6, -8)) }
	}
	const bank, open, doubt = "where the fall begins", "whether it stands above the upper ground", "falls at the edge of what is driven"
	judgeHeights(t, []heightPlan{
		{"2 m apart, 1.01 m up", upper(2, 1.01), heightsFail, "warning", bank},
		{"2 m apart, 0.99 m up", upper(2, 0.99), heightsOpen, "", doubt},
		{"2 m apart, 0.851 m up", upper(2, 0.851), heightsOpen, "", doubt},
		{"0.849 m up", upper(2, 0.849), heightsPass, "", ""},
		{"2 m apart, 1.01 m down", upper(2, -1.01), heightsFail, "warning", bank},
		{"3.05 m apart, 6 m up", upper(3.05, 6), heightsFail, "warning", bank},
		{"10 m apart, 3.81 m up", upper(10, 3.81), heightsFail, "warning", bank},
		{"10 m apart, 3.79 m up", upper(10, 3.79), heightsOpen, "", doubt},
		{"3.64 m up", upper(10, 3.64), heightsPass, "", ""},
		{"14.999 m apart, 6 m up", upper(14.999, 6), heightsFail, "warning", bank},
		{"17 m apart, 7.56 m up", upper(17, 7.56), heightsFail, "warning", bank},
		{"7.54 m up, 17 m apart", upper(17, 7.54), heightsPass, "", ""},
		{"the upper lawn only half as long, and inside the side of the other", func(p *plot) {
			areaOf(p, "z9", "zone", func(q orb.Point) float64 { return plotH + 3*max(0, 1-(q[1]+26)/9) }, rect(32, -26, 40, -14))
		}, heightsFail, "warning", bank},
		{"a drop between", upper(2, 3, edge("drop", 31)), heightsPass, "", ""},
		{"a wall between", upper(2, 3, edge("wall", 31)), heightsOpen, "", "only holds it up"},
		{"a fence between", upper(2, 3, edge("fence", 31)), heightsOpen, "", "only holds it up"},
		{"a kerb between holds nothing up", upper(2, 3, edge("kerb", 31)), heightsFail, "warning", bank},
		{"a building between", upper(2, 3, area("building", 30.7)), heightsOpen, "", "only holds it up"},
		{"a keep-out between", upper(2, 3, area("keepout", 30.7)), heightsPass, "", ""},
		{"lawns 2.999 m apart", upper(2.999, 3, area("keepout", 30.7)), heightsPass, "", ""},
		{"lawns 3.002 m apart", upper(3.002, 3, area("keepout", 30.7)), heightsFail, "warning", bank},
		{"a drop between lawns 10 m apart", upper(10, 6, edge("drop", 36)), heightsPass, "", ""},
		{"a wall", upper(10, 6, edge("wall", 36), func(p *plot) { bare(p, "e9") }), heightsPass, "", ""},
		{"a building", upper(10, 6, area("building", 35), func(p *plot) { bare(p, "a9") }), heightsPass, "", ""},
		{"a wall whose foot is known, 4 m below", upper(10, 6, edge("wall", 36)), heightsFail, "warning", bank},
		{"a keep-out, 10 m apart", upper(10, 6, area("keepout", 35)), heightsFail, "warning", bank},

		{"a wall between lawns 0.8 m apart, 1.01 m up", upper(0.8, 1.01, edge("wall", 30.4)), heightsOpen, "", open},
		{"0.99 m up", upper(0.8, 0.99, edge("wall", 30.4)), heightsOpen, "", "only holds it up"},
		{"a fence", upper(0.8, 2, edge("fence", 30.4)), heightsOpen, "", open},
		{"a drop and no wall", upper(0.8, 2, edge("drop", 30.4)), heightsPass, "", ""},
		{"a wall with a drop along it", upper(0.8, 2, edge("wall", 30.4), func(p *plot) {
			edgeOf(p, "e8", "drop", raisedTo(0), orb.Point{30.45, -31}, orb.Point{30.45, -9})
		}), heightsPass, "", ""},
		{"a wall 2.31 m high", upper(0.8, 2, edge("wall", 30.4, 2.31)), heightsPass, "", ""},
		{"a wall 2.29 m high", upper(0.8, 2, edge("wall", 30.4, 2.29)), heightsOpen, "", open},
		{"a wall between lawns 1.6 m apart", upper(1.6, 1.5, edge("wall", 30.8)), heightsOpen, "", "only holds it up"},
	})
}

// own gives a feature a limit of its own.
func own(p *plot, id, key string, v float64) {
	p.get(id).set("limits", schema.Object(schema.Attributes{{Key: key, Value: num(v)}}))
}

// The dock stands by itself, so that its way has no heights to be judged.
func TestDocksOnASlope(t *testing.T) {
	tilted := func(percent, x float64, more ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			z := func(q orb.Point) float64 { return plotH + percent/100*(q[1]+20) }
			areaOf(p, "z9", "zone", z, rect(40, -30, 55, -10))
			p.add(&thing{id: "d9", role: "dock", name: "Dock nine", point: &orb.Point{x, -20}, z: raisedTo(0)}).set("heading_deg", num(90)).set("standoff_m", num(2))
			for _, draw := range more {
				draw(p)
			}
		}
	}
	// pad gives heights 1 m to both sides of the dock.
	pad := func(up float64) func(p *plot) {
		return func(p *plot) {
			pointOf(p, "m1", "mark", up, 55.5, -19)
			pointOf(p, "m2", "mark", -up, 55.5, -21)
			pointOf(p, "m3", "mark", 0, 54, -20)
		}
	}
	const says = "stands on ground that slopes"
	judgeHeights(t, []heightPlan{
		{"10.1 % beside the lawn", tilted(10.1, 55.99), heightsOpen, "", says},
		{"9.9 %", tilted(9.9, 55.99), heightsPass, "", ""},
		{"10.1 % in the lawn", tilted(10.1, 54), heightsOpen, "", says},
		{"1.01 m beside it, level ground farther off", tilted(10.1, 56.01), heightsPass, "", ""},
		{"5.9 %, of a limit of its own", tilted(5.9, 55.5, func(p *plot) { own(p, "d9", "dock_slope_max_percent", 3) }), heightsPass, "", ""},
		{"6.1 %", tilted(6.1, 55.5, func(p *plot) { own(p, "d9", "dock_slope_max_percent", 3) }), heightsOpen, "", says},
		{"level by heights about it", tilted(14, 55.5, pad(0)), heightsPass, "", ""},
		{"as steep by heights about it", tilted(14, 55.5, pad(0.14)), heightsOpen, "", "by the heights about it"},
	})
}

// Ground at the foot of what is driven.
func TestHeightsBelowDrivenGround(t *testing.T) {
	spot := func(role string, x, y, up float64) func(p *plot) {
		return func(p *plot) { pointOf(p, "q", role, up, x, y) }
	}
	line := func(role, kind string, x, y, up float64) func(p *plot) { // 4 m long, northward
		return func(p *plot) {
			l := p.add(&thing{id: "q", role: role, name: "Line q", line: []orb.Point{{x, y - 2}, {x, y + 2}}, z: raisedTo(up)})
			if kind != "" {
				l.set("edge_kind", schema.String(kind))
			}
		}
	}
	edge := func(kind string, x float64, set ...float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "e9", kind, raisedTo(0), orb.Point{x, -31}, orb.Point{x, -1})
			for _, h := range set {
				p.get("e9").set("height_m", num(h))
			}
		}
	}
	with := func(draw ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			for _, d := range draw {
				d(p)
			}
		}
	}
	const bank, open, doubt = "where the fall begins", "only holds that up cannot be told", "falls at the edge of what is driven"
	judgeHeights(t, []heightPlan{
		{"a mark 2 m beside the lawn, 1.01 m down", spot("mark", 32, -20, -1.01), heightsFail, "warning", bank},
		{"0.99 m down", spot("mark", 32, -20, -0.99), heightsOpen, "", doubt},
		{"0.851 m down", spot("mark", 32, -20, -0.851), heightsOpen, "", doubt},
		{"0.849 m down", spot("mark", 32, -20, -0.849), heightsPass, "", ""},
		{"1.01 m up", spot("mark", 32, -20, 1.01), heightsPass, "", ""},
		{"0.5 m beside it, 0.48 m down", spot("mark", 30.5, -20, -0.48), heightsFail, "warning", bank},
		{"0.47 m down, 0.5 m off", spot("mark", 30.5, -20, -0.47), heightsOpen, "", "steps down there"},
		{"0.33 m down, 0.5 m off", spot("mark", 30.5, -20, -0.33), heightsOpen, "", "steps down there"},
		{"0.32 m down, 0.5 m off", spot("mark", 30.5, -20, -0.32), heightsPass, "", ""},
		{"0.999 m off, 0.505 m down", spot("mark", 30.999, -20, -0.505), heightsOpen, "", "steps down there"},
		{"1.002 m off, 0.505 m down", spot("mark", 31.002, -20, -0.505), heightsOpen, "", doubt},
		{"14.999 m beside it, 6 m down", spot("mark", 44.999, -20, -6), heightsFail, "warning", bank},
		{"15.002 m beside it", spot("mark", 45.002, -20, -6), heightsFail, "warning", bank},
		{"17 m beside it, 7.56 m down", spot("mark", 47, -20, -7.56), heightsFail, "warning", bank},
		{"7.54 m down", spot("mark", 47, -20, -7.54), heightsPass, "", ""},
		{"30 m beside it, 20.56 m down", spot("mark", 60, -20, -20.56), heightsFail, "warning", bank},
		{"9 m off, 3.46 m down", spot("mark", 39, -20, -3.46), heightsFail, "warning", bank},
		{"9 m off, 3.44 m down", spot("mark", 39, -20, -3.44), heightsOpen, "", doubt},
		{"a limit of its own, 2 m off, 0.71 m down", with(spot("mark", 32, -20, -0.71), func(p *plot) { own(p, "z2", "slope_max_percent", 20) }), heightsFail, "warning", bank},
		{"0.69 m down, its own limit", with(spot("mark", 32, -20, -0.69), func(p *plot) { own(p, "z2", "slope_max_percent", 20) }), heightsOpen, "", doubt},
		{"a point of the role other", spot("other", 32, -20, -2.01), heightsFail, "warning", bank},
		{"an outlet", spot("supply", 32, -20, -2.01), heightsFail, "warning", "where the fall begins"},
		{"beside the path", spot("mark", 17, -5, -1.01), heightsFail, "warning", bank},
		{"0.99 m down, beside the path", spot("mark", 17, -5, -0.99), heightsOpen, "", doubt},
		{"beside the way into the dock", spot("mark", 35, 9, -1.01), heightsFail, "warning", "way into"},
		{"beside a dock that no corridor leads to", with(func(p *plot) { p.remove("c1") }, spot("mark", 35, 9, -1.01)), heightsFail, "warning", "way into"},
		{"a line of the role other", line("other", "", 32, -20, -2.01), heightsFail, "warning", bank},
		{"a flush edge", line("edge", "flush", 32, -20, -2.01), heightsFail, "warning", bank},
		{"a kerb", line("edge", "kerb", 32, -20, -2.01), heightsFail, "warning", "where the fall begins"},
		{"the middle of a line alone", func(p *plot) {
			p.add(&thing{id: "q", role: "other", name: "Line q", line: []orb.Point{{2, -5.5}, {28, -5.5}}, z: raisedTo(-2)})
			p.get("c2").line = []orb.Point{{13, -4}, {17, -4}}
		}, heightsFail, "warning", bank},
		{"another corridor beside the path", func(p *plot) {
			p.add(&thing{id: "q", role: "corridor", name: "Low way", line: []orb.Point{{16.5, -8}, {16.5, -2}}, z: raisedTo(-1.6)})
		}, heightsFail, "warning", bank},
		{"a drop between", with(spot("mark", 32, -20, -3), edge("drop", 31)), heightsPass, "", ""},
		{"a kerb between", with(spot("mark", 32, -20, -3), edge("kerb", 31)), heightsFail, "warning", bank},
		{"a wall between, 1.5 m off", with(spot("mark", 31.499, -20, -2), edge("wall", 31)), heightsOpen, "", open},
		{"2.31 m high", with(spot("mark", 31.499, -20, -2), edge("wall", 31, 2.31)), heightsPass, "", ""},
		{"2.29 m high", with(spot("mark", 31.499, -20, -2), edge("wall", 31, 2.29)), heightsOpen, "", open},
		{"a wall farther from what is below than the machine passes", with(spot("mark", 31.51, -20, -2), edge("wall", 31.01)), heightsPass, "", ""},
		{"a keep-out between", with(spot("mark", 32, -20, -3), func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(0), rect(30.8, -28, 31.2, -12)) }), heightsPass, "", ""},
		{"two marks", with(spot("mark", 32, -20, -3), func(p *plot) { pointOf(p, "q2", "mark", -3, 32, -22) }), heightsFail, "warning", "of 2 such features"},
	})
}

// The dock of the park stands 6 m beyond its lawn.
func TestDocksBesideNoLawn(t *testing.T) {
	marks := func(role string, off, percent float64) func(p *plot) {
		return func(p *plot) {
			pointOf(p, "q1", role, off*percent/100, 36, 10+off)
			pointOf(p, "q2", role, -off*percent/100, 36, 10-off)
		}
	}
	site := func(percent float64) func(p *plot) { // all of it
		return func(p *plot) {
			for _, x := range p.things {
				up := 0.0
				if x.id == "b1" {
					up = 2.5
				}
				x.z = func(q orb.Point) float64 { return plotH + up + percent/100*(q[1]-10) }
			}
		}
	}
	with := func(draw func(p *plot), more func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); more(p) }
	}
	walls := func(p *plot) {
		edgeOf(p, "w1", "wall", nil, orb.Point{30, 13}, orb.Point{42, 13})
		edgeOf(p, "w2", "wall", nil, orb.Point{30, 7}, orb.Point{42, 7})
	}
	edge := func(kind string, percent float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "w1", kind, func(q orb.Point) float64 { return plotH + percent/100*(q[1]-10) }, orb.Point{37, 8}, orb.Point{37, 12})
		}
	}
	const about, within = "by the heights about it", "by the heights within "
	judgeHeights(t, []heightPlan{
		{"9.9 % by marks 2.9 m off", marks("mark", 2.9, 9.9), heightsPass, "", ""},
		{"10.1 %", marks("mark", 2.9, 10.1), heightsOpen, "", about},
		{"10.1 % the other way", marks("mark", 2.9, -10.1), heightsOpen, "", about},
		{"5.9 %, of a limit of its own", with(marks("mark", 2.9, 5.9), func(p *plot) { own(p, "d1", "dock_slope_max_percent", 3) }), heightsPass, "", ""},
		{"6.1 %", with(marks("mark", 2.9, 6.1), func(p *plot) { own(p, "d1", "dock_slope_max_percent", 3) }), heightsOpen, "", about},
		{"10.1 % by points", marks("other", 2.9, 10.1), heightsOpen, "", about},
		{"10.1 % by a kerb", edge("kerb", 10.1), heightsOpen, "", about},
		{"10.1 % along a gate", edge("gate", 10.1), heightsPass, "", ""},
		{"9.9 % by marks 9.9 m off", marks("mark", 9.9, 9.9), heightsPass, "", ""},
		{"10.1 % there", marks("mark", 9.9, 10.1), heightsOpen, "", within + "10.00 m"},
		{"walls between", with(marks("mark", 9.9, 12), walls), heightsPass, "", ""},
		{"a site of 9.9 %", site(9.9), heightsPass, "", ""},
		{"of 10.1 %", site(10.1), heightsOpen, "", within + "30.00 m"},
		{"of 10.1 %, the dock levelled", with(site(10.1), marks("mark", 2.9, 0)), heightsPass, "", ""},
		{"10.1 % by the ground below the base alone", func(p *plot) {
			for _, x := range p.things {
				if x.role != "dock" && x.id != "c1" {
					x.z = nil
				}
			}
			p.get("b1").z = raisedTo(2.5 + 0.101*15)
		}, heightsOpen, "", "slopes 10.1 % " + within + "30.00 m"},
	})
}

// What is switched off lies on ground that is there all the same.
func TestHeightsOfWhatIsOff(t *testing.T) {
	off := func(role string, z func(orb.Point) float64, x, y float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "o9", role, z, rect(x, y, x+3, y+3)).set("active", schema.Bool(false))
		}
	}
	offLine := func(role string, up, y float64) func(p *plot) { // 8 m from the outline of the lawn, or over the path
		return func(p *plot) {
			x := p.add(&thing{id: "o9", role: role, name: "Line o9", line: []orb.Point{{13, y}, {17, y}}, z: raisedTo(up)}).set("active", schema.Bool(false))
			switch role {
			case "edge":
				x.set("edge_kind", schema.String("flush"))
			case "other":
				x.set("driven_over", schema.Bool(true))
			}
		}
	}
	judgeHeights(t, []heightPlan{
		{"a keep-out as high as the lawn", off("keepout", raisedTo(0), 25, -22), heightsPass, "", ""},
		{"one 2 m from the outline, 0.99 m up", off("keepout", raisedTo(0.99), 25, -22), heightsOpen, "", "is switched off, and lay in"},
		{"1.01 m up", off("keepout", raisedTo(1.01), 25, -22), heightsFail, "warning", "where it lies, switched off"},
		{"a zone that is off", off("zone", raisedTo(1.01), 25, -22), heightsFail, "warning", "where it lies, switched off"},
		{"a hazard that is off", off("hazard", raisedTo(1.01), 25, -22), heightsPass, "", ""},
		{"a mark that is off", func(p *plot) { pointOf(p, "m9", "mark", 1.01, 28, -20).set("active", schema.Bool(false)) }, heightsFail, "warning", "where it lies, switched off"},
		{"a mark that is off, 0.99 m up", func(p *plot) { pointOf(p, "m9", "mark", 0.99, 28, -20).set("active", schema.Bool(false)) }, heightsPass, "", ""},
		{"a mark that is off, 8 m in, 3.11 m up", func(p *plot) { pointOf(p, "m9", "mark", 3.11, 22, -20).set("active", schema.Bool(false)) }, heightsFail, "warning", "lies in mown ground"},
		{"3.09 m up", func(p *plot) { pointOf(p, "m9", "mark", 3.09, 22, -20).set("active", schema.Bool(false)) }, heightsPass, "", ""},
		{"a keep-out in the middle, 0.77 m down", off("keepout", raisedTo(-0.77), 14, -22), heightsPass, "", ""},
		{"0.81 m down", off("keepout", raisedTo(-0.81), 14, -22), heightsOpen, "", "below where its outline has the ground"},
		{"a zone, 0.81 m down", off("zone", raisedTo(-0.81), 14, -22), heightsOpen, "", "below where its outline has the ground"},
		{"a building, 0.81 m down", off("building", raisedTo(-0.81), 14, -22), heightsPass, "", ""},
		{"a slab that is off, 3.11 m down", offLine("other", -3.11, -22), heightsFail, "warning", "lies in mown ground"},
		{"a flush edge that is off, 3.11 m down", offLine("edge", -3.11, -22), heightsFail, "warning", "lies in mown ground"},
		{"a corridor that is off, 3.11 m down", offLine("corridor", -3.11, -22), heightsFail, "warning", "lies in mown ground"},
		{"a keep-out over the path, 0.302 m down", off("keepout", raisedTo(-0.302), 14, -7), heightsFail, "warning", "is switched off, and stood on"},
		{"0.298 m down", off("keepout", raisedTo(-0.298), 14, -7), heightsPass, "", ""},
		{"a corridor that is off over the path, 0.302 m down", offLine("corridor", -0.302, -5), heightsFail, "warning", "is switched off, and stood on"},
		{"0.298 m down, the corridor", offLine("corridor", -0.298, -5), heightsPass, "", ""},
		{"a building over the path, 2 m down", off("building", raisedTo(-2), 14, -7), heightsFail, "warning", "where the fall begins"},
		{"a keep-out that is off beyond the lawn", off("keepout", raisedTo(9), 60, -22), heightsPass, "", ""},
	})
}

// Heights that the name of a contour or of a spot tells. The lawns lie at 42 m.
func TestHeightsInNames(t *testing.T) {
	line := func(name string, z func(orb.Point) float64, x, y float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "q", role: "other", name: name, line: []orb.Point{{x, y}, {x + 4, y}}, z: z})
		}
	}
	spot := func(role, name string, z func(orb.Point) float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "q", role: role, name: name, point: &orb.Point{20, -20}, z: z})
		}
	}
	lines := func(names ...string) func(p *plot) {
		return func(p *plot) {
			for i, name := range names {
				y := -25 + 3*float64(i)
				p.add(&thing{id: "q" + name, role: "other", name: name, line: []orb.Point{{18, y}, {24, y}}, z: flatGround}).set("driven_over", schema.Bool(true))
			}
		}
	}
	lowered := func(p *plot) { // the lawns to 0.5 m
		for _, x := range p.things {
			if was := x.z; was != nil {
				x.z = func(q orb.Point) float64 { return was(q) - plotH + 0.5 }
			}
		}
	}
	const differs, alone = "in its name, and its points are", "in its name alone"
	judgeHeights(t, []heightPlan{
		{"a contour as high as it says", line("Contour 42.0", flatGround, 20, -20), heightsPass, "", ""},
		{"0.149 m off", line("Contour 42.149", flatGround, 20, -20), heightsPass, "", ""},
		{"0.151 m off", line("Contour 42.151", flatGround, 20, -20), heightsOpen, "", differs},
		{"0.151 m down", line("Contour 41.849 m", flatGround, 20, -20), heightsOpen, "", differs},
		{"no heights in its points", line("Contour 41.5", nil, 20, -20), heightsOpen, "", alone},
		{"a decimal comma", line("Höhenlinie 41,5", nil, 20, -20), heightsOpen, "", alone},
		{"metres", line("contour 41m", nil, 20, -20), heightsOpen, "", alone},
		{"a whole number that ground here has", line("contour 41", nil, 20, -20), heightsOpen, "", alone},
		{"one 20.1 m lower", line("contour 21", nil, 20, -20), heightsPass, "", ""},
		{"a number in a list", line("Contour 41 of 43", nil, 20, -20), heightsPass, "", ""},
		{"no number", line("Contour", nil, 20, -20), heightsPass, "", ""},
		{"a path with a number", line("Path 41.5", nil, 50, -20), heightsPass, "", ""},
		{"beside the path", line("Contour 41.5", nil, 17, -5), heightsOpen, "", alone},
		{"far from all", line("Contour 41.5", nil, 50, -20), heightsPass, "", ""},
		{"a spot", spot("other", "Spot level 39.20", flatGround), heightsOpen, "", differs},
		{"a mark", spot("mark", "Elev. 39.20", flatGround), heightsOpen, "", differs},
		{"a mark with a number", spot("mark", "Mark 39.20", flatGround), heightsPass, "", ""},
		{"three lines of nothing but numbers", lines("43", "44", "45"), heightsOpen, "", differs},
		{"one of them left out", lines("43", "44", "46"), heightsOpen, "", differs},
		{"in steps of 0.5", lines("42.5 m", "43", "43,5"), heightsOpen, "", differs},
		{"two", lines("43", "44"), heightsPass, "", ""},
		{"in no even steps", lines("43", "44", "45.7"), heightsPass, "", ""},
		{"a list of what is there", allOf(lines("1", "2", "3"), lowered), heightsPass, "", ""},
		{"no list", allOf(lines("2", "3", "4"), lowered), heightsOpen, "", differs},
		{"20.1 m and more lower", lines("19", "20", "21"), heightsPass, "", ""},
		{"a spot as high as it says", spot("mark", "Spot 42.00", flatGround), heightsPass, "", ""},
	})
}

// What is told beside a dock 1 m higher is told 4 m higher too.
func TestTerracesBesideADock(t *testing.T) {
	row := func(role, kind string, x, up float64) func(p *plot) {
		return func(p *plot) {
			q := p.add(&thing{id: "q", role: role, name: "Path", line: []orb.Point{{x, 5}, {x, 15}}, z: raisedTo(up)})
			if kind != "" {
				q.set("edge_kind", schema.String(kind))
			}
		}
	}
	drop := func(p *plot) { edgeOf(p, "w", "drop", nil, orb.Point{36.6, 4}, orb.Point{36.6, 16}) }
	const says = "nothing is drawn between that holds the ground"
	for _, up := range []float64{0.998, 1.002, 1.5, 2.5, 4, -4} {
		for _, x := range []struct {
			name string
			draw func(p *plot)
			told bool
		}{
			{"a path", row("other", "", 38, up), true},
			{"a kerb 2.99 m off", row("edge", "kerb", 38.99, up), true},
			{"a flush edge", row("edge", "flush", 38.5, up), true},
			{"a kerb 3.01 m off", row("edge", "kerb", 39.01, up), false},
			{"a path behind a drop", allOf(row("other", "", 38, up), drop), false},
		} {
			p := park()
			x.draw(p)
			o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome("slope-limit")
			if want := x.told && math.Abs(up) > 1; strings.Contains(o.Reason, says) != want {
				t.Errorf("%s %g m up: %s, want told %v", x.name, up, o.Reason, want)
			}
		}
	}
}

// Two heights beside the dock of the park alone, which a corridor leads to along x.
func TestDocksOnASlopeByTwoHeights(t *testing.T) {
	sides := func(up float64) func(p *plot) {
		return allOf(marksAt(up, orb.Point{36, 10.6}), marksAt(-up, orb.Point{36, 9.4}))
	}
	one := func(off, up float64) func(p *plot) { return marksAt(up, orb.Point{36, 10 + off}) }
	row := func(kind string, up float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "q", kind, raisedTo(up), orb.Point{35.8, 10.6}, orb.Point{36.2, 10.6}) }
	}
	wall := func(p *plot) { edgeOf(p, "w", "drop", nil, orb.Point{34, 10.3}, orb.Point{39, 10.3}) }
	way := func(x, y, up float64) func(p *plot) { return marksAt(up, orb.Point{x, y}) }
	even := marksAt(0, orb.Point{37.5, 11.5}, orb.Point{37.5, 8.5}, orb.Point{34.5, 8.5}, orb.Point{34.5, 11.5})
	const says = "between two heights within"
	judgeHeights(t, []heightPlan{
		{"0.112 m over 1.2 m across", sides(0.056), heightsOpen, "", says},
		{"0.108 m", sides(0.054), heightsPass, "", ""},
		{"0.108 m, its own limit 4 %", allOf(sides(0.054), func(p *plot) { own(p, "d1", "dock_slope_max_percent", 4) }), heightsOpen, "", says},
		{"beside the way in", allOf(marksAt(0.056, orb.Point{35, 10.6}), marksAt(-0.056, orb.Point{35, 9.4})), heightsOpen, "", says},
		{"0.168 m along it", allOf(marksAt(0.084, orb.Point{36.6, 10.4}), marksAt(-0.084, orb.Point{35.4, 10.4})), heightsPass, "", ""},
		{"one, 0.111 m up", one(0.6, 0.111), heightsOpen, "", says},
		{"as much down", one(0.6, -0.111), heightsOpen, "", says},
		{"0.109 m up", one(0.6, 0.109), heightsPass, "", ""},
		{"1.01 m off", one(1.01, 0.2), heightsPass, "", ""},
		{"a flush edge", row("flush", 0.12), heightsOpen, "", says},
		{"a kerb", row("kerb", 0.12), heightsPass, "", ""},
		{"with a drop between", allOf(one(0.6, -0.2), wall), heightsPass, "", ""},
		{"a limit of its own", allOf(one(0.6, 0.094), func(p *plot) { own(p, "d1", "dock_slope_max_percent", 3) }), heightsOpen, "", says},
		{"a hair less, of that", allOf(one(0.6, 0.085), func(p *plot) { own(p, "d1", "dock_slope_max_percent", 3) }), heightsPass, "", ""},
		// The way in leads from 34 m, where the corridor ends, to 36 m.
		{"beside the way in", way(35, 10.6, 0.168), heightsOpen, "", says},
		{"as much down there", way(35, 10.6, -0.168), heightsOpen, "", says},
		{"a hair less there", way(35, 10.6, 0.165), heightsPass, "", ""},
		{"at the line-up point", way(34, 10.9, 0.141), heightsOpen, "", says},
		{"a hair less at the line-up point", way(34, 10.9, 0.139), heightsPass, "", ""},
		{"0.999 m off the way", way(35, 10.999, 0.2), heightsOpen, "", says},
		{"1.001 m off the way", way(35, 11.001, 0.2), heightsPass, "", ""},
		{"with a kerb between", allOf(way(35, 10.6, 0.2), func(p *plot) { edgeOf(p, "w", "kerb", nil, orb.Point{34.2, 10.4}, orb.Point{36.5, 10.4}) }), heightsPass, "", ""},
		{"with a drop beside the way", allOf(way(35, 10.6, -0.2), func(p *plot) { edgeOf(p, "w", "drop", nil, orb.Point{33, 10.45}, orb.Point{39, 10.45}) }), heightsPass, "", ""},
		{"a limit of its own there", allOf(way(35, 10.6, 0.121), func(p *plot) { own(p, "d1", "dock_slope_max_percent", 3) }), heightsOpen, "", says},
		// The plane of all heights within 3 m is even, and one of them lies a step up.
		{"among even heights", allOf(even, one(0.6, 0.111)), heightsOpen, "", says},
		{"a hair less among them", allOf(even, one(0.6, 0.109)), heightsPass, "", ""},
	})
}
