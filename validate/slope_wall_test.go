// Steps between zones beside walls, and where something opens those.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestStepsPastWalls(t *testing.T) {
	// An upper lawn shares the east side of the south lawn, or lies beside it.
	terrace := func(p *plot, gap float64, up func(y float64) float64) {
		p.add(&thing{id: "z9", role: "zone", name: "Upper lawn", rings: [][]orb.Point{rect(30+gap, -26, 40, -14)}, z: func(q orb.Point) float64 { return plotH + up(q[1]) }})
	}
	by := func(v float64) func(float64) float64 { return func(float64) float64 { return v } }
	edge := func(p *plot, id, kind string, x, y0, y1 float64) {
		p.add(&thing{id: id, role: "edge", name: "Edge " + id, line: []orb.Point{{x, y0}, {x, y1}}, z: flatGround}).set("edge_kind", schema.String(kind))
	}
	for _, x := range []struct {
		name string
		draw func(p *plot)
		want bool
	}{
		{"a fence between", func(p *plot) { terrace(p, 0.01, by(1)); edge(p, "f", "fence", 30, -27, -13) }, false},
		{"a fence drawn 0.16 m beside", func(p *plot) { terrace(p, 0.01, by(1)); edge(p, "f", "fence", 30.16, -27, -13) }, false},
		{"a fence with a gate", func(p *plot) {
			terrace(p, 0.01, by(1))
			edge(p, "f", "fence", 30, -27, -13)
			edge(p, "g", "gate", 30, -21, -19)
		}, true},
		{"a gate as wide as the machine", func(p *plot) {
			terrace(p, 0.01, by(1))
			edge(p, "f", "fence", 30, -27, -13)
			edge(p, "g", "gate", 30, -20.3, -19.7)
		}, true},
		{"a gate a hair narrower", func(p *plot) {
			terrace(p, 0.01, by(1))
			edge(p, "f", "fence", 30, -27, -13)
			edge(p, "g", "gate", 30, -20.298, -19.7)
		}, false},
		{"a step of 0.302 m beyond a slope of 0.01 m at a gate", func(p *plot) {
			terrace(p, 0.01, by(0.3055))
			edge(p, "f", "fence", 30, -27, -13)
			edge(p, "g", "gate", 30, -21, -19)
		}, true},
		{"a step of 0.298 m beyond it", func(p *plot) {
			terrace(p, 0.01, by(0.3015))
			edge(p, "f", "fence", 30, -27, -13)
			edge(p, "g", "gate", 30, -21, -19)
		}, false},
		{"a step a hair more than a slope over 0.4 m at a gate", func(p *plot) {
			terrace(p, 0.4, by(0.302+0.14))
			edge(p, "f", "fence", 30.2, -27, -13)
			edge(p, "g", "gate", 30.2, -21, -19)
		}, true},
		{"a hair less", func(p *plot) {
			terrace(p, 0.4, by(0.298+0.14))
			edge(p, "f", "fence", 30.2, -27, -13)
			edge(p, "g", "gate", 30.2, -21, -19)
		}, false},
		{"a gate that opens nothing, past opening_max_m", func(p *plot) {
			terrace(p, 0.01, by(1))
			edge(p, "f", "fence", 30, -27, -13)
			edge(p, "g", "gate", 30, -26.5, -13.5)
		}, false},
		{"a gate, and a wall behind it that stands", func(p *plot) {
			terrace(p, 0.8, by(1))
			edge(p, "f", "fence", 30.2, -27, -13)
			edge(p, "g", "gate", 30.2, -21, -19)
			edge(p, "w", "wall", 30.6, -27, -13)
		}, false},
		{"a ramp opens no wall", func(p *plot) {
			terrace(p, 0.01, by(1))
			edge(p, "f", "wall", 30, -27, -13)
			edge(p, "g", "ramp", 30, -21, -19)
		}, false},
		{"a gap in the wall as wide as the machine", func(p *plot) {
			terrace(p, 0.01, by(1))
			edge(p, "f", "wall", 30, -27, -20.3)
			edge(p, "g", "wall", 30, -19.7, -13)
		}, true},
		{"a gap a hair narrower", func(p *plot) {
			terrace(p, 0.01, by(1))
			edge(p, "f", "wall", 30, -27, -20.3)
			edge(p, "g", "wall", 30, -19.703, -13)
		}, false},
		{"a wall along the higher half", func(p *plot) {
			terrace(p, 0.31, func(y float64) float64 { return 0.8 + 0.4*(y+26)/12 })
			edge(p, "w", "wall", 30.15, -20, -13)
		}, true},
		{"a wall along all that steps", func(p *plot) { // it holds from 0.3 m before its end
			terrace(p, 0.31, func(y float64) float64 { return 0.647 + 0.1*(y+20.3) })
			edge(p, "w", "wall", 30.15, -20, -13)
		}, false},
		{"a wall that ends a hair too early", func(p *plot) {
			terrace(p, 0.31, func(y float64) float64 { return 0.653 + 0.1*(y+20.3) })
			edge(p, "w", "wall", 30.15, -20, -13)
		}, true},
		{"a panel at the corner that comes first", func(p *plot) { terrace(p, 0.31, by(0.7)); edge(p, "w", "fence", 30.15, -26, -25.7) }, true},
		{"a panel at the other corner", func(p *plot) { terrace(p, 0.31, by(0.7)); edge(p, "w", "fence", 30.15, -14.3, -14) }, true},
		{"panels at both corners, and nothing between", func(p *plot) {
			terrace(p, 0.31, by(0.7))
			edge(p, "w", "fence", 30.15, -26.1, -25.7)
			edge(p, "v", "fence", 30.15, -14.3, -13.9)
		}, true},
		{"a wall that runs off askew, the step greatest where it leaves", func(p *plot) {
			terrace(p, 0.01, func(y float64) float64 { return 0.4 + 0.05*(y+26) })
			p.add(&thing{id: "w", role: "edge", name: "Edge w", line: []orb.Point{{29, -22}, {30, -16}, {30, -13}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		}, true},
	} {
		p := park()
		x.draw(p)
		if n, o := found(t, p, "slope-limit", validate.Error); (n > 0) != x.want {
			t.Errorf("%s: %d errors, %s (%s)", x.name, n, o.Outcome, o.Reason)
		}
	}
}

// Two vertices of zones that touch at a gate are held to step_max_m.
func TestLedgeAtAGate(t *testing.T) {
	for up, want := range map[float64]bool{0.149: false, 0.151: true, -0.149: false, -0.151: true} {
		p := park()
		p.get("z2").rings = [][]orb.Point{{{0, -30}, {30, -30}, {30, -21}, {30, -19}, {30, -10}, {0, -10}, {0, -30}}}
		p.add(&thing{id: "z9", role: "zone", name: "Upper lawn", rings: [][]orb.Point{{{30, -21}, {30.4, -26}, {40, -26}, {40, -14}, {30.4, -14}, {30, -19}, {30, -21}}},
			z: func(orb.Point) float64 { return plotH + up }})
		for _, e := range [...]struct {
			id, kind string
			y0, y1   float64
		}{{"f", "fence", -27, -13}, {"g", "gate", -21.2, -18.8}} {
			p.add(&thing{id: e.id, role: "edge", name: e.id, line: []orb.Point{{30.1, e.y0}, {30.1, e.y1}}, z: flatGround}).set("edge_kind", schema.String(e.kind))
		}
		if n, o := found(t, p, "slope-limit", validate.Error); (n > 0) != want {
			t.Errorf("%g m: %d errors, %s (%s)", up, n, o.Outcome, o.Reason)
		}
	}
}
