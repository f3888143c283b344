// Harmless plans that look dangerous: corridors beside holes of zones, and what
// stands beside a dock and the way into it.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// holed cuts a hole into the south lawn.
func holed(p *plot, hole []orb.Point) { p.get("z2").rings = append(p.get("z2").rings, reversed(hole)) }

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
	at := func(id string, x, y float64) func(p *plot) {
		return func(p *plot) { p.get(id).point = &orb.Point{x, y} }
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
		{"a mast 0.3 m beside the way in", "base-in-zone", at("b1", 35, 10.3), false},
		{"a mast 0.598 m from the line-up point", "base-in-zone", at("b1", 34, 10.598), true},
		{"a mast 0.6 m from the line-up point", "base-in-zone", at("b1", 34, 10.6), false},
		{"an outlet behind the dock", "base-in-zone", at("s1", 36.1, 10), false},
		{"a second dock 0.5 m beside the first", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{36, 9.5} }, false},
		{"a dock 0.298 m beside a corridor", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{15.298, -5} }, true},
		{"a dock 0.3 m beside a corridor", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{15.3, -5} }, false},
		{"a pond 0.598 m beside the way in", "dock-path-blocked", pond(35.2, 10.598, 37, 12), true},
		{"a pond 0.6 m beside the way in", "dock-path-blocked", pond(35.2, 10.6, 37, 12), false},
		{"a pond behind the dock", "dock-path-blocked", pond(36.01, 9, 38, 11), false},
		{"a drop 0.898 m from the line-up point", "dock-path-blocked", edge("drop", orb.Point{33, 10.898}, orb.Point{34, 10.898}), true},
		{"a drop 0.9 m from the line-up point", "dock-path-blocked", edge("drop", orb.Point{33, 10.9}, orb.Point{34, 10.9}), false},
		{"a tree 0.31 m beside the way in", "dock-path-blocked", thingOf("hazard", "hazard_kind", "tree", thing{point: &orb.Point{35, 10.31}}), false},
		{"a kerb 0.298 m beside the way in", "dock-path-blocked", edge("kerb", orb.Point{34.9, 10.298}, orb.Point{36, 10.298}), true},
		{"a kerb 0.3 m beside the way in", "dock-path-blocked", edge("kerb", orb.Point{34.9, 10.3}, orb.Point{36, 10.3}), false},
		{"a kerb across the way in with a ramp over it", "dock-path-blocked", func(p *plot) {
			edge("kerb", orb.Point{35, 8}, orb.Point{35, 12})(p)
			p.add(&thing{id: "e8", role: "edge", name: "Ramp", line: []orb.Point{{35, 9}, {35, 11}}, z: flatGround}).set("edge_kind", schema.String("ramp"))
		}, false},
	} {
		p := park()
		x.draw(p)
		o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(x.rule)
		if fails := o.Outcome != validate.Passed; fails != x.fails {
			t.Errorf("%s: %s is %s (%s)", x.name, x.rule, o.Outcome, o.Reason)
		}
	}
}
