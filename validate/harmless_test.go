// Harmless plans that look dangerous: corridors beside holes of zones, and what
// stands beside a dock and the way into it.

package validate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// holed cuts a hole into the south lawn.
func holed(p *plot, hole []orb.Point) { p.get("z2").rings = append(p.get("z2").rings, reversed(hole)) }

// exchange writes every point of a plot latitude first.
func exchange(p *plot) {
	turn := func(pts []orb.Point) []orb.Point {
		out := make([]orb.Point, len(pts))
		for i, q := range pts {
			flat := []float64{q[0], q[1], plotH}
			if err := plotGrid.ToGeodetic(flat, 3); err != nil {
				panic(err)
			}
			out[i] = orb.Point{flat[1], flat[0]}
		}
		return out
	}
	for _, x := range p.things {
		x.raw = true
		for i := range x.rings {
			x.rings[i] = turn(x.rings[i])
		}
		if x.line != nil {
			x.line = turn(x.line)
		}
		if x.point != nil {
			x.point = &turn([]orb.Point{*x.point})[0]
		}
	}
}

// TestHarmlessWays: what looks like a danger to a corridor or a dock and is
// none, and the limits of both from both sides.
func TestHarmlessWays(t *testing.T) {
	thingOf := func(role, key, kind string, x thing) func(p *plot) {
		return func(p *plot) {
			y := x
			y.id, y.role, y.name, y.z = "x9", role, "Thing", flatGround
			p.add(&y).set(key, schema.String(kind))
		}
	}
	pond := func(x0, y0, x1, y1 float64) func(p *plot) {
		return thingOf("hazard", "hazard_kind", "pond", thing{rings: [][]orb.Point{rect(x0, y0, x1, y1)}})
	}
	edge := func(kind string, pts ...orb.Point) func(p *plot) {
		return thingOf("edge", "edge_kind", kind, thing{line: pts})
	}
	kind := func(kind string) func(p *plot) {
		return thingOf("hazard", "hazard_kind", kind, thing{rings: [][]orb.Point{rect(49, -21, 51, -19)}})
	}
	ledge := func(kind string) func(p *plot) { return edge(kind, orb.Point{51, -21}, orb.Point{51, -19}) }
	at := func(id string, x, y float64) func(p *plot) {
		return func(p *plot) { p.get(id).point = &orb.Point{x, y} }
	}
	boundary := func(p *plot, ring []orb.Point) {
		p.add(&thing{id: "p9", role: "boundary", name: "Other limit", rings: [][]orb.Point{ring}, z: flatGround})
	}
	notched := func(off float64) []orb.Point { // a slot from the north, as far as beside the way in
		return []orb.Point{{-10, -40}, {80, -40}, {80, 40}, {35.5, 40}, {35.5, 10 + off}, {34.99, 10 + off}, {34.99, 40}, {-10, 40}, {-10, -40}}
	}
	// walled draws an outlet east of a lawn that ends at 30 m, and a shed from wall on
	// that wants so wide a strip, 0 for the usual one.
	walled := func(outlet, wall, strip float64) func(p *plot) {
		return func(p *plot) {
			at("s1", outlet, -20)(p)
			g := p.get("g1")
			if g.rings[0] = rect(wall, -22, 33, -18); strip > 0 {
				g.set("limits", schema.Object(schema.Attributes{{Key: "hard_edge_strip_m", Value: num(strip)}}))
			}
		}
	}
	tight := func(at float64) func(p *plot) {
		return func(p *plot) {
			pond(at, -6, 17, -4)(p)
			p.add(&thing{id: "k9", role: "keepout", name: "Bank", rings: [][]orb.Point{rect(at, -6, 17, -4)}, z: flatGround})
		}
	}
	inLawn := func(at float64) func(p *plot) { // a dock that stands on the lawn, a hole beside its way in
		return func(p *plot) {
			p.remove("c1")
			p.get("d1").point = &orb.Point{22, 10}
			p.get("z1").rings = append(p.get("z1").rings, reversed(rect(20.9, at, 21.1, at+1)))
		}
	}
	// A lane 1.8 m wide with its margins, crossed in a slant so long, a ramp on
	// either side.
	slant := func(length float64) func(p *plot) {
		return func(p *plot) {
			const reach = 1.5 // of the middle of the lane: 0.9, margin and half the machine
			u := math.Sqrt(length*length/4 - reach*reach)
			thingOf("hazard", "hazard_kind", "road", thing{line: []orb.Point{{-5, -5}, {35, -5}}})(p)
			p.get("x9").set("width_m", num(1.8))
			p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15 - u, -5 + reach}, {15 + u, -5 - reach}, {15, -9}, {15, -11.5}}
			for i, x := range []float64{-1, 1} {
				p.add(&thing{id: "e9" + string(rune('0'+i)), role: "edge", name: "Ramp", line: []orb.Point{{15 + x*u - 1, -5 - x*reach}, {15 + x*u + 1, -5 - x*reach}}, z: flatGround}).set("edge_kind", schema.String("ramp"))
			}
		}
	}
	frame := func(p *plot, name string) {
		p.members = append(p.members, schema.Attribute{Key: "frame", Value: schema.String(name)})
	}
	heights := func(name string) func(p *plot) {
		return func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "heights", Value: schema.String(name)})
		}
	}
	for _, x := range []struct {
		name, rule string
		draw       func(p *plot)
		fails      bool
	}{
		{"a hole 0.298 m beside a corridor", "corridor-through-keepout", func(p *plot) { holed(p, rect(15.298, -14, 17, -11)) }, true},
		{"a hole 0.3 m beside a corridor", "corridor-through-keepout", func(p *plot) { holed(p, rect(15.3, -14, 17, -11)) }, false},
		{"a hole that another zone covers", "corridor-through-keepout", func(p *plot) {
			holed(p, rect(14, -14, 16, -11))
			p.add(&thing{id: "z3", role: "zone", name: "Bed", rings: [][]orb.Point{rect(14, -14, 16, -11)}, z: flatGround})
		}, false},
		{"a hole that the corridor leads into", "corridor-through-keepout", func(p *plot) {
			holed(p, rect(10, -16, 20, -11))
			p.add(&thing{id: "z3", role: "zone", name: "Island", rings: [][]orb.Point{rect(11, -15, 19, -11.3)}, z: flatGround})
			p.get("c2").line[3][1] = -12.5
		}, false},
		{"no keep-out and no hole", "corridor-through-keepout", func(p *plot) { p.remove("k1"); p.remove("h1") }, false},
		{"a hole that crosses itself", "corridor-through-keepout", func(p *plot) {
			holed(p, []orb.Point{{14, -14}, {16, -11}, {16, -14}, {14, -11}, {14, -14}})
		}, true},
		{"a mast 0.298 m beside the way in", "base-in-zone", at("b1", 35, 10.298), true},
		{"a mast 0.3 m beside the way in", "base-in-zone-error", at("b1", 35, 10.3), false},
		{"a mast 0.598 m from the line-up point", "base-in-zone", at("b1", 34, 10.598), true},
		{"a mast 0.6 m from the line-up point", "base-in-zone-error", at("b1", 34, 10.6), false},
		{"a mast 0.598 m beside the way in", "base-in-zone", at("b1", 35, 10.598), true},
		{"a mast 0.6 m beside the way in", "base-in-zone", at("b1", 35, 10.6), false},
		{"a mast 0.898 m from the line-up point", "base-in-zone", at("b1", 34, 10.898), true},
		{"a mast 0.9 m from the line-up point", "base-in-zone", at("b1", 34, 10.9), false},
		{"an outlet 0.598 m beside the way in", "base-in-zone", at("s1", 35.5, 9.402), true},
		{"an outlet 0.6 m beside the way in", "base-in-zone", at("s1", 35.5, 9.4), false},
		{"an outlet 0.48 m beside the way in, on the wall beside that", "base-in-zone", func(p *plot) {
			at("s1", 35.3, 10.48)(p)
			p.get("g1").rings[0] = rect(35.2, 10.5, 36.2, 13)
		}, false},
		{"an outlet of a margin of 0.5 m 0.798 m beside the way in", "base-in-zone", func(p *plot) {
			at("s1", 35.5, 9.202)(p)
			p.get("s1").set("limits", schema.Object(schema.Attributes{{Key: "hazard_margin_m", Value: num(0.5)}}))
		}, true},
		{"an outlet behind the dock", "base-in-zone", at("s1", 36.1, 10), false},
		{"a second dock 0.598 m beside the first", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{36, 9.402} }, true},
		{"a second dock 0.6 m beside the first", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{36, 9.4} }, false},
		{"a second dock 0.598 m beside the way in", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{35, 10.598} }, true},
		{"a second dock 0.6 m beside the way in", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{35, 10.6} }, false},
		{"a second dock 0.31 m beside the way in", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{35.2, 10.31} }, true},
		{"a second dock back to back with the first", "base-in-zone", func(p *plot) {
			secondDock(p)
			p.get("d2").point = &orb.Point{36.1, 10}
			p.get("d2").set("heading_deg", schema.Int(270))
		}, false},
		{"a second dock 0.898 m beside the line-up point", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{33.99, 9.102} }, true},
		{"a second dock 0.9 m beside it", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{33.99, 9.1} }, false},
		{"the dock of a machine 1 m wide 0.798 m beside the way in", "base-in-zone", func(p *plot) { wideDock(p, 10.798) }, true},
		{"the dock of a machine 1 m wide 0.8 m beside the way in", "base-in-zone", func(p *plot) { wideDock(p, 10.8) }, false},
		{"a dock in the middle of a lawn", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{20, -20} }, false},
		{"a dock 0.598 m beside a corridor", "base-in-zone", func(p *plot) {
			secondDock(p)
			p.get("d2").set("heading_deg", schema.Int(270)).point = &orb.Point{15.598, -5}
		}, true},
		{"a dock 0.6 m beside a corridor", "base-in-zone", func(p *plot) {
			secondDock(p)
			p.get("d2").set("heading_deg", schema.Int(270)).point = &orb.Point{15.6, -5}
		}, false},
		{"a pond 0.598 m beside the way in", "dock-path-blocked", pond(34.98, 10.598, 35.02, 12), true},
		{"a pond 0.6 m beside the way in", "dock-path-blocked", pond(34.98, 10.6, 35.02, 12), false},
		{"a pond 0.898 m behind the dock", "dock-path-blocked", pond(36.898, 9, 38, 11), true},
		{"a pond 0.9 m behind the dock", "dock-path-blocked", pond(36.9, 9, 38, 11), false},
		{"a drop 0.898 m behind the dock", "dock-path-blocked", edge("drop", orb.Point{36.898, 9}, orb.Point{36.898, 11}), true},
		{"a drop 0.9 m behind the dock", "dock-path-blocked", edge("drop", orb.Point{36.9, 9}, orb.Point{36.9, 11}), false},
		{"a hedge 0.1 m behind the dock", "dock-path-blocked", thingOf("hazard", "hazard_kind", "hedge", thing{line: []orb.Point{{36.1, 9}, {36.1, 11}}}), false},
		{"a fence 0.448 m beside the way in", "dock-path-blocked", edge("fence", orb.Point{34.9, 10.448}, orb.Point{35.1, 10.448}), true},
		{"a fence 0.75 m from the line-up point", "dock-path-blocked", edge("fence", orb.Point{33, 10.75}, orb.Point{34.1, 10.75}), false},
		{"a shed 0.448 m beside a corridor", "corridor-narrow", thingOf("building", "height_m", "3", thing{rings: [][]orb.Point{rect(15.448, -6, 18, -4)}}), true},
		{"a shed 0.45 m beside a corridor", "corridor-narrow", thingOf("building", "height_m", "3", thing{rings: [][]orb.Point{rect(15.45, -6, 18, -4)}}), false},
		{"a mast 0.298 m beside a lawn", "base-in-zone", at("b1", 30.298, -20), true},
		{"a mast 0.3 m beside a lawn", "base-in-zone", at("b1", 30.3, -20), false},
		{"an outlet 0.298 m beside a lawn", "base-in-zone", at("s1", 30.298, -20), true},
		{"an outlet 0.148 m beside a lawn, on a wall", "base-in-zone", walled(30.148, 30.18, 0), true},
		{"an outlet 0.15 m beside a lawn, on a wall", "base-in-zone", walled(30.15, 30.18, 0), false},
		{"an outlet in the wall", "base-in-zone", walled(30.15, 30.15, 0), false},
		{"an outlet 0.048 m before a wall", "base-in-zone", walled(30.152, 30.2, 0), false},
		{"an outlet 0.053 m before a wall", "base-in-zone", walled(30.147, 30.2, 0), true},
		{"an outlet 0.06 m beside a lawn, 0.14 m before a wall", "base-in-zone", walled(30.06, 30.2, 0), true},
		{"an outlet 0.15 m before a wall with a strip of 0.25 m", "base-in-zone", walled(30.25, 30.4, 0.25), false},
		{"the same 0.248 m beside the lawn", "base-in-zone", walled(30.248, 30.398, 0.25), true},
		{"an outlet 0.153 m before it", "base-in-zone", walled(30.25, 30.403, 0.25), true},
		{"an outlet on a wall, the lawn 0.13 m from it", "base-in-zone", walled(30.13, 30.13, 0), true},
		{"an outlet in a shed, 0.01 m from its wall", "base-in-zone", walled(30.06, 30.05, 0), false},
		{"a mast 0.598 m beside a corridor", "base-in-zone", at("b1", 15.598, -5), true},
		{"a mast 0.6 m beside a corridor", "base-in-zone", at("b1", 15.6, -5), false},
		{"an outlet in a keep-out 0.298 m wide to each side", "base-in-zone", func(p *plot) {
			at("s1", 20, -20)(p)
			p.add(&thing{id: "k9", role: "keepout", name: "Post", rings: [][]orb.Point{rect(19.702, -21, 21, -19)}, z: flatGround})
		}, true},
		{"a mast in a pond", "base-in-zone", func(p *plot) { at("b1", 50, -20)(p); pond(49, -21, 51, -19)(p) }, true},
		{"a mark in a pond", "base-in-zone", func(p *plot) { at("m1", 50, -20)(p); pond(49, -21, 51, -19)(p) }, true},
		{"an outlet 0.01 m from a pond", "base-in-zone", func(p *plot) { at("s1", 51.01, -20)(p); pond(49, -21, 51, -19)(p) }, true},
		{"an outlet 0.298 m from a pond", "base-in-zone", func(p *plot) { at("s1", 51.298, -20)(p); pond(49, -21, 51, -19)(p) }, true},
		{"an outlet 0.3 m from a pond", "base-in-zone", func(p *plot) { at("s1", 51.3, -20)(p); pond(49, -21, 51, -19)(p) }, false},
		{"a mast 0.01 m from a pond", "base-in-zone", func(p *plot) { at("b1", 51.01, -20)(p); pond(49, -21, 51, -19)(p) }, false},
		{"an outlet 0.298 m from a pit", "base-in-zone", func(p *plot) { at("s1", 51.298, -20)(p); kind("pit")(p) }, true},
		{"an outlet 0.3 m from a pit", "base-in-zone", func(p *plot) { at("s1", 51.3, -20)(p); kind("pit")(p) }, false},
		{"an outlet 0.01 m from a road", "base-in-zone", func(p *plot) { at("s1", 51.01, -20)(p); kind("road")(p) }, false},
		{"an outlet 0.01 m from a bench", "base-in-zone", func(p *plot) { at("s1", 51.01, -20)(p); kind("bench")(p) }, false},
		{"an outlet 0.298 m from a ledge", "base-in-zone", func(p *plot) { at("s1", 51.298, -20)(p); ledge("drop")(p) }, true},
		{"an outlet 0.3 m from a ledge", "base-in-zone", func(p *plot) { at("s1", 51.3, -20)(p); ledge("drop")(p) }, false},
		{"an outlet 0.01 m from a wall", "base-in-zone", func(p *plot) { at("s1", 51.01, -20)(p); ledge("wall")(p) }, false},
		{"a mark on a lawn", "base-in-zone", at("m1", 20, -20), false},
		{"a boundary 1 m within another", "boundary-crossed", func(p *plot) { boundary(p, rect(-9, -39, 79, 39)) }, true},
		{"a boundary 0.06 m within another", "boundary-crossed", func(p *plot) { boundary(p, rect(-9.94, -39.94, 79.94, 39.94)) }, true},
		{"a boundary surveyed twice, 0.04 m apart", "boundary-crossed", func(p *plot) { boundary(p, rect(-9.96, -39.96, 79.96, 39.96)) }, false},
		{"a boundary of its own about one lawn", "boundary-crossed", func(p *plot) { boundary(p, rect(-1, -1, 31, 21)) }, true},
		{"two parcels side by side", "boundary-crossed", func(p *plot) { p.get("p1").rings[0] = rect(-10, -5, 80, 40); boundary(p, rect(-10, -40, 80, -5)) }, false},
		{"two parcels that overlap by 1 m", "boundary-crossed", func(p *plot) { p.get("p1").rings[0] = rect(-10, -5, 80, 40); boundary(p, rect(-10, -40, 80, -4)) }, false},
		{"a plan whose axes are exchanged, its frame ETRF2000", "axes-swapped", func(p *plot) {
			frame(p, "ETRF2000")
			exchange(p)
		}, true},
		{"the same plan in order", "axes-swapped", func(p *plot) { frame(p, "ETRF2000") }, false},
		{"a plan in Europe in GDA2020", "axes-swapped", func(p *plot) { frame(p, "GDA2020") }, true},
		{"a base in GDA2020", "axes-swapped", func(p *plot) { p.get("b1").set("frame", schema.String("GDA2020")) }, true},
		{"heights in Europe said in the American system", "axes-swapped", heights("NAVD88 height"), true},
		{"in the Australian one", "axes-swapped", heights("EPSG:5711"), true},
		{"in the British one, 6.4 degrees north", "axes-swapped", heights("ODN height"), true},
		{"in that of the place", "axes-swapped", heights("Alicante height"), false},
		{"in one of the continent", "axes-swapped", heights("EPSG:9389"), false},
		{"in one of the world", "axes-swapped", heights("EGM2008 height"), false},
		{"in one of no registry", "axes-swapped", heights("\"mast foot\""), false},
		{"above the ellipsoid", "axes-swapped", heights("ellipsoidal"), false},
		{"a boundary 0.298 m beside the way into the dock", "boundary-crossed", func(p *plot) { p.get("p1").rings[0] = notched(0.298) }, true},
		{"a boundary 0.3 m beside the way into the dock", "boundary-crossed", func(p *plot) { p.get("p1").rings[0] = notched(0.3) }, false},
		{"an open boundary 0.298 m beside the way into the dock", "boundary-crossed", func(p *plot) {
			p.add(&thing{id: "p9", role: "boundary", name: "Line", line: []orb.Point{{35, 10.298}, {35, 15}}, z: flatGround})
		}, true},
		{"an open boundary 0.3 m beside the way into the dock", "boundary-crossed", func(p *plot) {
			p.add(&thing{id: "p9", role: "boundary", name: "Line", line: []orb.Point{{35, 10.3}, {35, 15}}, z: flatGround})
		}, false},
		{"a pond covered to its edge, 0.598 m beside a corridor", "hazard-uncovered", tight(15.598), true},
		{"a pond covered to its edge, 0.6 m beside a corridor", "hazard-uncovered", tight(15.6), false},
		{"a hole 0.298 m beside the way into a dock on the lawn", "dock-in-keepout", inLawn(10.298), true},
		{"a hole 0.3 m beside the way into a dock on the lawn", "dock-in-keepout", inLawn(10.3), false},
		{"a dock in a hole of its lawn", "dock-in-keepout", func(p *plot) {
			inLawn(10.3)(p)
			p.get("z1").rings[1] = reversed(rect(21, 9, 23, 11))
		}, false},
		{"no keep-out", "dock-in-keepout", func(p *plot) { p.remove("k1"); p.remove("h1") }, false},
		{"a road crossed in a slant of 11.9 m", "hazard-uncovered-error", slant(11.9), false},
		{"a road crossed in a slant of 12.1 m", "hazard-uncovered-error", slant(12.1), true},
		{"a road that the corridor runs beside", "hazard-uncovered-error", func(p *plot) {
			line := []orb.Point{{15.1, -7}, {15.1, -3}}
			thingOf("hazard", "hazard_kind", "road", thing{line: line})(p)
			p.add(&thing{id: "e9", role: "edge", name: "Ramp", line: line, z: flatGround}).set("edge_kind", schema.String("ramp"))
		}, true},
		{"a plan in ITRF2014", "axes-swapped", func(p *plot) { frame(p, "ITRF2014") }, false},
		{"a drop 0.898 m from the line-up point", "dock-path-blocked", edge("drop", orb.Point{33, 10.898}, orb.Point{34, 10.898}), true},
		{"a drop 0.9 m from the line-up point", "dock-path-blocked", edge("drop", orb.Point{33, 10.9}, orb.Point{34, 10.9}), false},
		{"a post 0.31 m beside the way in", "dock-path-blocked", thingOf("hazard", "hazard_kind", "post", thing{point: &orb.Point{35, 10.31}}), false},
		{"a kerb 0.298 m beside the way in", "dock-path-blocked", edge("kerb", orb.Point{34.9, 10.298}, orb.Point{36, 10.298}), true},
		{"a kerb 0.3 m beside the way in", "dock-path-blocked", edge("kerb", orb.Point{34.9, 10.3}, orb.Point{36, 10.3}), false},
		{"a kerb across the way in with a ramp over it", "dock-path-blocked", func(p *plot) {
			edge("kerb", orb.Point{35, 8}, orb.Point{35, 12})(p)
			p.add(&thing{id: "e8", role: "edge", name: "Ramp", line: []orb.Point{{35, 9}, {35, 11}}, z: flatGround}).set("edge_kind", schema.String("ramp"))
		}, false},
	} {
		p := park()
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		rule, graveOnly := strings.CutSuffix(x.rule, "-error")
		o := r.Outcome(rule)
		if f := findingOf(r, rule); graveOnly && f.Severity == validate.Warning {
			o.Outcome = validate.Passed
		}
		if fails := o.Outcome != validate.Passed; fails != x.fails {
			t.Errorf("%s: %s is %s (%s)", x.name, x.rule, o.Outcome, o.Reason)
		}
	}
}
