// Lines that say how wide they are, outlines that say how far they reach out.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestWidths holds each shape with a width a hair to either side of the limit,
// 30 m east being the side of the south lawn and 15 m the line of the corridor.
func TestWidths(t *testing.T) {
	hazard := func(kind string, x thing, key string, v float64) func(p *plot) {
		return func(p *plot) {
			y := x
			y.id, y.role, y.name, y.z = "h9", "hazard", "Dead end", flatGround
			p.add(&y).set("hazard_kind", schema.String(kind)).set(key, num(v))
		}
	}
	edge := func(kind string, width float64, pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: "Dead end", line: pts, z: flatGround}).set("edge_kind", schema.String(kind)).set("width_m", num(width))
		}
	}
	for _, x := range []struct {
		name, rule string
		margin     float64
		draw       func(at float64) func(p *plot)
	}{
		{"a brook 3 m wide", "hazard-uncovered", 0.3, func(at float64) func(p *plot) {
			return hazard("brook", thing{line: []orb.Point{{31.5 + at, -35}, {31.5 + at, -5}}}, "width_m", 3)
		}},
		{"the round end of a brook", "hazard-uncovered", 0.3, func(at float64) func(p *plot) {
			return hazard("brook", thing{line: []orb.Point{{31.5 + at, -20}, {40, -20}}}, "width_m", 3)
		}},
		{"a brook with a radius", "hazard-uncovered", 0.3, func(at float64) func(p *plot) {
			return hazard("brook", thing{line: []orb.Point{{31.5 + at, -35}, {31.5 + at, -5}}}, "radius_m", 1.5)
		}},
		{"a road 6 m wide", "hazard-uncovered", 0.3, func(at float64) func(p *plot) {
			return hazard("road", thing{line: []orb.Point{{33 + at, -35}, {33 + at, -5}}}, "width_m", 6)
		}},
		{"a road 6 m wide beside a corridor", "hazard-uncovered", 0.6, func(at float64) func(p *plot) {
			return hazard("road", thing{line: []orb.Point{{18 + at, -5.5}, {18 + at, -4.5}}}, "width_m", 6)
		}},
		{"a pond with a radius", "hazard-uncovered", 0.3, func(at float64) func(p *plot) {
			return hazard("pond", thing{rings: [][]orb.Point{rect(32+at, -22, 34+at, -20)}}, "radius_m", 2)
		}},
		{"a tree drawn as a point with a width", "hazard-uncovered", 0.3, func(at float64) func(p *plot) {
			return hazard("tree", thing{point: &orb.Point{32 + at, -20}}, "width_m", 4)
		}},
		{"a wall 1 m wide beside a lawn", "edge-setback", 0.15, func(at float64) func(p *plot) {
			return edge("wall", 1, orb.Point{30.5 + at, -35}, orb.Point{30.5 + at, -5})
		}},
		{"a drop 1 m wide beside a lawn", "edge-setback", 0.3, func(at float64) func(p *plot) {
			return edge("drop", 1, orb.Point{30.5 + at, -35}, orb.Point{30.5 + at, -5})
		}},
		{"a kerb 1 m wide beside a corridor", "corridor-narrow", 0.3, func(at float64) func(p *plot) {
			return edge("kerb", 1, orb.Point{15.5 + at, -7}, orb.Point{15.5 + at, -3})
		}},
		{"a kerb 1 m wide beside the way into the dock", "dock-path-blocked", 0.3, func(at float64) func(p *plot) {
			return edge("kerb", 1, orb.Point{35.5, 10.5 + at}, orb.Point{36, 10.5 + at})
		}},
		{"a brook 1 m wide beside the way into the dock", "dock-path-blocked", 0.6, func(at float64) func(p *plot) {
			return hazard("brook", thing{line: []orb.Point{{34.98, 10.5 + at}, {35.02, 10.5 + at}}}, "width_m", 1)
		}},
	} {
		for off, fails := range map[float64]bool{-0.002: true, 0.0005: false, 0.002: false} {
			p := park()
			x.draw(x.margin + off)(p)
			r := validate.Check(p.plan(t), schema.DefaultLimits())
			f := findingOf(r, x.rule)
			if (f.Rule != "") != fails {
				t.Errorf("%s, %+g m: %s (%s)", x.name, off, show(f), r.Outcome(x.rule).Reason)
			}
		}
	}
}

// TestWidthsOfNoSense are told, and what is past the most is used all the same.
func TestWidthsOfNoSense(t *testing.T) {
	for _, x := range []struct {
		role, key string
		v         schema.Value
		tells     bool
	}{
		{"hazard", "width_m", num(-3), true},
		{"hazard", "width_m", schema.String("three"), true},
		{"hazard", "width_m", num(100), false},
		{"hazard", "width_m", num(100.01), true},
		{"hazard", "radius_m", num(100), false},
		{"hazard", "radius_m", num(100.01), true},
		{"edge", "width_m", num(-0.2), true},
		{"edge", "width_m", num(0.2), false},
		{"mark", "width_m", num(200), false},
	} {
		p := park()
		y := &thing{id: "x9", role: x.role, name: "Thing", line: []orb.Point{{900, 0}, {900, 30}}, z: flatGround}
		if x.role == "mark" {
			y.line, y.point = nil, &orb.Point{40, 0}
		}
		p.add(y).set("edge_kind", schema.String("wall")).set(x.key, x.v)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		if f := findingOf(r, "geometry-unfit"); (f.Rule != "") != x.tells {
			t.Errorf("%s of a %s, %s: %s", x.key, x.role, x.v.Text(), show(f))
		}
	}
	p := park()
	p.add(&thing{id: "h9", role: "hazard", name: "Lake", line: []orb.Point{{100, -20}, {120, -20}}, z: flatGround}).set("width_m", num(150))
	if f := findingOf(validate.Check(p.plan(t), schema.DefaultLimits()), "hazard-uncovered"); f.Rule == "" {
		t.Error("a lake 150 m wide reaches no lawn")
	}
}
