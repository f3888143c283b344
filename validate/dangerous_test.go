// Dangerous plans, written from the pages of the rules alone: none of them may
// come out clean.

package validate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestDangerousPlans changes the faultless park into something that a machine
// must not be given. The rule named must be the one that does not pass.
func TestDangerousPlans(t *testing.T) {
	l := schema.DefaultLimits()
	if r := validate.Check(park().plan(t), l); r.Status() != validate.StatusClean {
		t.Fatalf("the park itself is %s", r.Status())
	}
	area := func(p *plot, id, role string, ring []orb.Point) *thing {
		return p.add(&thing{id: id, role: role, name: "Thing " + id, rings: [][]orb.Point{ring}, z: flatGround})
	}
	line := func(p *plot, id, role string, pts ...orb.Point) *thing {
		return p.add(&thing{id: id, role: role, name: "Thing " + id, line: pts, z: flatGround})
	}
	point := func(p *plot, id, role string, x, y float64) *thing {
		return p.add(&thing{id: id, role: role, name: "Thing " + id, point: &orb.Point{x, y}, z: flatGround})
	}
	edge := func(p *plot, kind string, pts ...orb.Point) *thing {
		return line(p, "e9", "edge", pts...).set("edge_kind", schema.String(kind))
	}
	// opened draws an edge from x0 to x1 at y, and an opening from a to b at v.
	opened := func(kind string, x0, x1, y float64, opening string, a, b, v float64) func(*plot) {
		return func(p *plot) {
			edge(p, kind, orb.Point{x0, y}, orb.Point{x1, y})
			line(p, "e8", "edge", orb.Point{a, v}, orb.Point{b, v}).set("edge_kind", schema.String(opening))
		}
	}
	limits := func(key string, v float64) schema.Value {
		return schema.Object(schema.Attributes{{Key: key, Value: num(v)}})
	}
	for _, x := range []struct {
		name, rule string
		spoil      func(p *plot)
	}{
		{"a zone 400 km away", "feature-far-away", func(p *plot) { p.get("z2").rings[0] = rect(-200, 90000, -190, 90010) }},
		{"one vertex of a corridor 1 km off", "boundary-crossed", func(p *plot) { p.get("c2").line[2] = orb.Point{15, -1000} }},
		{"one vertex of a corridor 50 km off", "feature-far-away", func(p *plot) { p.get("c2").line[2] = orb.Point{15, -50000} }},
		{"a boundary vertex 20 km off", "feature-far-away", func(p *plot) { p.get("p1").rings[0][1] = orb.Point{20000, -40} }},
		{"the keep-out over the well 25 km away", "feature-far-away", func(p *plot) { p.get("k1").rings[0] = circle(10, 25000, 2, 24) }},
		{"a hazard 25 km away", "feature-far-away", func(p *plot) { p.get("h1").point = &orb.Point{10, -25000} }},
		{"a lawn over the shed", "zone-over-building", func(p *plot) { p.get("g1").rings[0] = rect(5, 12, 9, 16) }},
		{"a lawn 1 cm into the shed", "zone-over-building", func(p *plot) { p.get("g1").rings[0] = rect(-5, 12, 0.01, 16) }},
		{"a shed of no height over a lawn", "zone-over-building", func(p *plot) { p.get("g1").rings[0] = rect(5, 12, 9, 16); p.get("g1").props = nil }},
		{"a corridor through the shed", "corridor-narrow", func(p *plot) { p.get("g1").rings[0] = rect(14, -8, 16, -4) }},
		{"a pond between dock and line-up point", "dock-path-blocked", func(p *plot) {
			area(p, "h9", "hazard", rect(34.8, 9.9, 35.2, 10.1)).set("hazard_kind", schema.String("pond"))
		}},
		{"a pond over the dock", "dock-path-blocked", func(p *plot) { area(p, "h9", "hazard", rect(35.9, 9.5, 38, 10.5)) }},
		{"a drop beside the line-up point", "dock-path-blocked", func(p *plot) { edge(p, "drop", orb.Point{33, 10.5}, orb.Point{35, 10.5}) }},
		{"a wall across the way into the dock", "dock-path-blocked", func(p *plot) { edge(p, "wall", orb.Point{35, 9}, orb.Point{35, 11}) }},
		{"a fence beside the way into the dock", "dock-path-blocked", func(p *plot) { edge(p, "fence", orb.Point{34.5, 10.2}, orb.Point{36, 10.2}) }},
		{"a post in the way into the dock", "dock-path-blocked", func(p *plot) { point(p, "h9", "hazard", 35.5, 9.9) }},
		{"a building over the line-up point", "dock-path-blocked", func(p *plot) { p.get("g1").rings[0] = rect(33.5, 10.3, 36, 14) }},
		{"a keep-out within the turning disc", "dock-path-blocked", func(p *plot) { area(p, "k9", "keepout", rect(33, 10.4, 34, 12)) }},
		{"a keep-out on the dock", "dock-in-keepout", func(p *plot) { area(p, "k9", "keepout", rect(35.5, 9, 37, 11)) }},
		{"no zone at all", "zone-missing", func(p *plot) { p.remove("z1"); p.remove("z2") }},
		{"every zone switched off", "zone-missing", func(p *plot) {
			p.get("z1").set("active", schema.Bool(false))
			p.get("z2").set("active", schema.Bool(false))
		}},
		{"a second dock that nothing leads to", "dock-unreachable", secondDock},
		{"a pond without a role", "role-missing", func(p *plot) { area(p, "h9", "", rect(20, -25, 23, -21)) }},
		{"a pond whose property is called Role", "role-missing", func(p *plot) { area(p, "h9", "", rect(20, -25, 23, -21)).set("Role", schema.String("hazard")) }},
		{"a pond that is switched off", "switch-unfit", func(p *plot) {
			area(p, "h9", "hazard", rect(20, -25, 23, -21)).set("active", schema.Bool(false))
		}},
		{"a lawn whose active is the word no", "switch-unfit", func(p *plot) { p.get("z2").set("active", schema.String("no")) }},
		{"a lawn whose active is 0", "switch-unfit", func(p *plot) { p.get("z2").set("active", schema.Int(0)) }},
		{"a drop 0.5 m beside a corridor", "corridor-narrow", func(p *plot) { edge(p, "drop", orb.Point{15.5, -7}, orb.Point{15.5, -3}) }},
		{"a mast in a lawn", "base-in-zone", func(p *plot) { p.get("b1").point = &orb.Point{20, -20} }},
		{"a mast on the edge of a lawn", "base-in-zone", func(p *plot) { p.get("b1").point = &orb.Point{30, -20} }},
		{"a mast beside a corridor", "base-in-zone", func(p *plot) { p.get("b1").point = &orb.Point{15.29, -5} }},
		{"an outlet in a lawn", "base-in-zone", func(p *plot) { p.get("s1").point = &orb.Point{20, -20} }},
		{"a base of another frame than the plan", "base-frame", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "frame", Value: schema.String("GDA2020")})
			p.get("b1").set("frame", schema.String("ITRF2014")).set("epoch", num(2024))
		}},
		{"a base of another frame whose epoch nobody knows", "base-frame", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "frame", Value: schema.String("ETRF2000")})
			p.get("b1").set("frame", schema.String("ITRF2014"))
		}},
		{"a pond of the role ponds", "role-unknown", func(p *plot) { area(p, "h9", "ponds", rect(20, -25, 23, -21)) }},
		{"a zone from a float solution", "survey-quality", func(p *plot) { p.get("z1").set("fix", schema.String("float")).set("sigma", num(0.45)) }},
		{"one vertex of a zone from a float solution", "survey-quality", func(p *plot) {
			p.get("z1").set("fix", schema.List(schema.Int(4), schema.Int(4), schema.Int(5), schema.Int(4)))
		}},
		{"a base from a single solution", "survey-quality", func(p *plot) { p.get("b1").set("fix", schema.String("single")) }},
		{"an outlet from a float solution", "survey-quality", func(p *plot) { p.get("s1").set("fix", schema.String("float")) }},
		{"an outlet half a metre off", "survey-quality", func(p *plot) { p.get("s1").set("sigma", num(0.5)) }},
		{"a lawn traced from a picture", "survey-quality", func(p *plot) { p.get("z2").set("drawn_from", schema.String("traced")) }},
		{"a base at height 0 on ground at 2000 m", "base-height", func(p *plot) {
			for _, x := range p.things {
				x.z = func(orb.Point) float64 { return 2000 }
			}
			p.get("b1").z = func(orb.Point) float64 { return 0 }
		}},
		{"a base of no height", "base-height", func(p *plot) { p.get("b1").z = nil }},
		{"no heights at all", "slope-limit", func(p *plot) {
			for _, x := range p.things {
				x.z = nil
			}
		}},
		{"the base inside a canopy", "sky-blocked", func(p *plot) {
			point(p, "h9", "hazard", 38.5, 25).set("hazard_kind", schema.String("tree")).set("radius_m", num(3)).set("height_m", num(12))
		}},
		{"the base inside a building", "sky-blocked", func(p *plot) { p.get("g1").rings[0] = rect(36, 23, 40, 27); p.get("g1").set("height_m", num(9)) }},
		{"the base within a building, heights unknown", "sky-blocked", func(p *plot) {
			p.get("g1").rings[0], p.get("g1").z, p.get("b1").z = rect(36, 23, 40, 27), nil, nil
			p.get("g1").set("height_m", num(9))
		}},
		{"a courtyard under walls of 15 m", "sky-blocked", func(p *plot) {
			p.get("g1").rings = [][]orb.Point{rect(-8, -38, 38, -2), reversed(rect(-2, -32, 32, -8))}
			p.get("g1").rings[1] = reversed(rect(-1, -31, 31, -9))
			p.get("g1").set("height_m", num(40))
		}},
		{"a tree of no height", "sky-blocked", func(p *plot) { point(p, "h9", "hazard", 60, -20).set("hazard_kind", schema.String("tree")) }},
		{"a corridor that turns back on itself", "corridor-hairpin", func(p *plot) { hairpin(p, 0.3) }},
		{"a lawn of 50 % with some heights missing", "slope-limit", func(p *plot) {
			p.get("z2").z = func(q orb.Point) float64 { return plotH + 0.5*q[0] }
		}},
		{"a lawn of 20 % up to its outline", "slope-limit", func(p *plot) { p.get("z2").z = tilted(0.2) }},
		{"a base moved 0.5 m", "base-moved", func(p *plot) { p.members = baseHistory(p, 0.5) }},
		{"a wall through a lawn", "edge-setback", func(p *plot) { edge(p, "wall", orb.Point{5, -20}, orb.Point{12, -20}) }},
		{"a fence through a lawn", "edge-setback", func(p *plot) { edge(p, "fence", orb.Point{5, -20}, orb.Point{12, -20}) }},
		{"a drop 0.2 m from a lawn", "edge-setback", func(p *plot) { edge(p, "drop", orb.Point{30.2, -28}, orb.Point{30.2, -12}) }},
		{"a fence with a gate somewhere else", "corridor-narrow", opened("fence", -5, 35, -5, "gate", 20, 22, -5)},
		{"a gate narrower than the machine", "corridor-narrow", opened("fence", -5, 35, -5, "gate", 14.8, 15.2, -5)},
		{"an edge of no kind across a lawn", "edge-setback", func(p *plot) { line(p, "e9", "edge", orb.Point{5, -20}, orb.Point{12, -20}) }},
		{"a pond that loosens its own margin", "limit-loosened", func(p *plot) { p.get("h1").set("limits", limits("hazard_margin_m", 0.01)) }},
		{"a pond 0.05 m away with a margin of its own", "hazard-uncovered", func(p *plot) {
			point(p, "h9", "hazard", 30.05, -20).set("hazard_kind", schema.String("pond")).set("limits", limits("hazard_margin_m", 0.01))
		}},
		{"a machine of no width", "limit-loosened", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "limits", Value: limits("machine_width_m", 0)})
		}},
		{"a base range of 99,999 m", "limit-loosened", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "limits", Value: limits("base_range_m", 99999)})
		}},
		{"a limit with a slip in its name", "limits-invalid", func(p *plot) { p.get("z1").set("limits", limits("passage_min", 2)) }},
		{"a pond in a lawn", "hazard-uncovered", func(p *plot) { area(p, "h9", "hazard", rect(20, -25, 23, -21)) }},
		{"a pond under a keep-out that is switched off", "hazard-uncovered", func(p *plot) { p.get("k1").set("active", schema.Bool(false)) }},
		{"a pond covered to its very edge", "hazard-uncovered", func(p *plot) {
			area(p, "h9", "hazard", rect(20, -25, 23, -21)).set("hazard_kind", schema.String("pond"))
			area(p, "k9", "keepout", rect(20, -25, 23, -21))
		}},
		{"a road 0.1 m from a lawn", "hazard-uncovered", func(p *plot) {
			line(p, "h9", "hazard", orb.Point{30.1, -35}, orb.Point{30.1, -5}).set("hazard_kind", schema.String("road"))
		}},
		{"a corridor along a road behind a ramp", "hazard-uncovered", func(p *plot) {
			area(p, "h9", "hazard", rect(14, -8, 16, -2)).set("hazard_kind", schema.String("road"))
			line(p, "e8", "edge", orb.Point{14, -2}, orb.Point{16, -2}).set("edge_kind", schema.String("ramp"))
		}},
		{"a keep-out drawn as a line", "geometry-unfit", func(p *plot) { k := p.get("k1"); k.line, k.rings = k.rings[0], nil }},
		{"a keep-out that crosses itself", "ring-crosses-itself", func(p *plot) { r := p.get("k1").rings[0]; r[1], r[5] = r[5], r[1] }},
		{"a zone beyond the boundary", "boundary-crossed", func(p *plot) { p.get("p1").rings[0] = rect(-10, -40, 29, 40) }},
		{"no boundary", "boundary-crossed", func(p *plot) { p.remove("p1") }},
		{"no base", "base-missing", func(p *plot) { p.remove("b1") }},
		{"a base out of range", "base-range", func(p *plot) { farBase(p, 600) }},
		{"a dock of no heading", "dock-approach", func(p *plot) { p.get("d1").props = nil }},
		{"a dock that faces the other way", "dock-approach", func(p *plot) { p.get("d1").set("heading_deg", schema.Int(180)) }},
		{"a keep-out round a tree drawn with six points", "curve-coarse", func(p *plot) { p.get("k1").rings[0] = circle(10, 10, 2, 6) }},
		{"a keep-out drawn with five points", "curve-coarse", func(p *plot) { p.get("k1").rings[0] = circle(10, 10, 2.5, 5) }},
		{"an oval keep-out of twelve points", "curve-coarse", func(p *plot) {
			r := circle(0, 0, 1, 12)
			for i := range r {
				r[i] = orb.Point{10 + 4*r[i][0], 10 + 2.5*r[i][1]}
			}
			p.get("k1").rings[0] = r
		}},
		{"two lawns of one name written in two ways", "name-repeated", func(p *plot) { p.get("z1").name, p.get("z2").name = "Große Wiese", "GROSSE  WIESE" }},
		{"a tree whose radius is a text", "geometry-unfit", func(p *plot) { p.get("h1").set("radius_m", schema.String("3 m")) }},
		{"a tree of a negative radius", "geometry-unfit", func(p *plot) { p.get("h1").set("radius_m", num(-3)) }},
		{"a dock whose standoff is a text", "geometry-unfit", func(p *plot) { p.get("d1").set("standoff_m", schema.String("2.5m")) }},
		{"a dock whose heading is a word", "geometry-unfit", func(p *plot) { p.get("d1").set("heading_deg", schema.String("east")) }},
		{"a lawn in two parts with no way between them", "zone-split", func(p *plot) {
			z := p.get("z2")
			z.rings, z.parts = nil, [][]orb.Point{rect(0, -30, 30, -20), rect(20, -18, 30, -10)}
		}},
		{"a keep-out with a hole in it", "zone-split", func(p *plot) {
			p.get("k1").rings = append(p.get("k1").rings, reversed(circle(10, 10, 1.5, 24)))
		}},
		{"a plan that lets itself loosen", "limits-invalid", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "limits", Value: schema.Object(schema.Attributes{{Key: "may_loosen", Value: schema.List(schema.String("base_range_m"))}})})
		}},
		{"a limit of a slip in its value", "limits-invalid", func(p *plot) {
			p.get("z1").set("limits", schema.Object(schema.Attributes{{Key: "passage_min_m", Value: schema.String("2")}}))
		}},
		{"a sigma that is a text", "survey-quality", func(p *plot) {
			p.get("z1").set("sigma", schema.String("half a metre"))
			p.get("z2").set("sigma", num(0.01))
		}},
		{"a corridor over a drop", "corridor-narrow", func(p *plot) { edge(p, "drop", orb.Point{-5, -5}, orb.Point{35, -5}) }},
		{"a corridor past a pond without a keep-out", "hazard-uncovered", func(p *plot) { area(p, "h9", "hazard", rect(15.5, -6, 17, -4)) }},
		{"a corridor over a hole of its zone", "corridor-through-keepout", func(p *plot) { holed(p, rect(14, -14, 16, -13)); p.get("c2").line[3][1] = -16 }},
		{"a corridor 0.1 m beside a hole of its zone", "corridor-through-keepout", func(p *plot) { holed(p, rect(15.1, -14, 16, -11)) }},
		{"a mast in the way into the dock", "base-in-zone", func(p *plot) { p.get("b1").point = &orb.Point{35.5, 10.1} }},
		{"a mast where the machine turns at the dock", "base-in-zone", func(p *plot) { p.get("b1").point = &orb.Point{34, 10.5} }},
		{"an outlet in the way into the dock", "base-in-zone", func(p *plot) { p.get("s1").point = &orb.Point{35, 10} }},
		{"a second dock in the way into the first", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{35, 9.8} }},
		{"a second dock on a corridor", "base-in-zone", func(p *plot) { secondDock(p); p.get("d2").point = &orb.Point{15, -5} }},
		{"a pond 0.5 m beside the way into the dock", "dock-path-blocked", func(p *plot) {
			area(p, "h9", "hazard", rect(35.2, 10.5, 38, 12)).set("hazard_kind", schema.String("pond"))
		}},
		{"a drop 0.7 m from the line-up point", "dock-path-blocked", func(p *plot) { edge(p, "drop", orb.Point{33, 10.7}, orb.Point{34.1, 10.7}) }},
		{"a lane 0.5 m beside the way into the dock", "dock-path-blocked", func(p *plot) {
			line(p, "h9", "hazard", orb.Point{35.2, 9.5}, orb.Point{38, 9.5}).set("hazard_kind", schema.String("road"))
		}},
		{"a kerb across the way into the dock", "dock-path-blocked", func(p *plot) { edge(p, "kerb", orb.Point{35, 8}, orb.Point{35, 12}) }},
		{"a keep-out over the corridor", "corridor-through-keepout", func(p *plot) { area(p, "k9", "keepout", rect(14, -12, 16, -10)) }},
		{"a lawn behind a keep-out from side to side", "zone-split", func(p *plot) { area(p, "k9", "keepout", rect(20, -30, 21, -10)) }},
		// Heights of features that meet, walls of no height, masts.
		{"a lawn whose heights are in feet", "slope-limit", func(p *plot) { raisedBy(p, "z2", plotH*2.2808) }},
		{"a lawn 30 m higher than the way into it", "slope-limit", func(p *plot) { raisedBy(p, "z2", 30) }},
		{"a way 3 m higher than both of its lawns", "slope-limit", func(p *plot) { raisedBy(p, "c2", 3) }},
		{"a dock way that reaches the lawn 3 m above it", "slope-limit", func(p *plot) { raisedBy(p, "c1", 3); raisedBy(p, "d1", 3) }},
		{"a lawn 3 m above the one beside it", "slope-limit", func(p *plot) { area(p, "z9", "zone", rect(30, -30, 40, -10)); raisedBy(p, "z9", 3) }},
		{"a lawn 5 m above the one that it overlaps", "slope-limit", func(p *plot) { area(p, "z9", "zone", rect(29, -28, 40, -12)); raisedBy(p, "z9", 5) }},
		{"a lawn of another height reference", "base-height", func(p *plot) { raisedBy(p, "z2", 101) }},
		{"a dock of another height reference", "base-height", func(p *plot) { raisedBy(p, "d1", -101) }},
		{"a wall of no height beside the dock", "sky-blocked", func(p *plot) { edge(p, "wall", orb.Point{34, 12}, orb.Point{38, 12}) }},
		{"a fence of no height beside the base", "sky-blocked", func(p *plot) { edge(p, "fence", orb.Point{36, 26}, orb.Point{40, 26}) }},
		{"a mast of 400 m", "base-height", func(p *plot) { p.get("b1").set("antenna_height_m", num(400)) }},
		// Openings that open nothing, and outlines stored as lines.
		{"a drop crossed at a gate", "corridor-narrow", opened("drop", -5, 35, -5, "gate", 14, 16, -5)},
		{"a kerb crossed at a gate", "corridor-narrow", opened("kerb", -5, 35, -5, "gate", 14, 16, -5)},
		{"a fence crossed at a ramp", "corridor-narrow", opened("fence", -5, 35, -5, "ramp", 14, 16, -5)},
		{"a wall through a lawn under a ramp", "edge-setback", opened("wall", 5, 12, -20, "ramp", 5, 12, -20)},
		{"a drop through a lawn under a gate", "edge-setback", opened("drop", 5, 12, -20, "gate", 5, 12, -20)},
		{"a drop through a lawn under a ramp", "edge-setback", opened("drop", 5, 12, -20, "ramp", 5, 12, -20)},
		{"a drop through a lawn with a ramp beside it", "edge-setback", opened("drop", 5, 12, -20, "ramp", 5, 12, -19.9)},
		{"a road crossed at a ramp of 0.2 m", "hazard-uncovered", func(p *plot) {
			line(p, "h9", "hazard", orb.Point{-5, -5}, orb.Point{35, -5}).set("hazard_kind", schema.String("road"))
			line(p, "e8", "edge", orb.Point{15, -5.1}, orb.Point{15, -4.9}).set("edge_kind", schema.String("ramp"))
		}},
		{"a road crossed 1 m beside its ramp", "hazard-uncovered", func(p *plot) {
			area(p, "h9", "hazard", rect(-5, -6.5, 35, -3.5)).set("hazard_kind", schema.String("road"))
			line(p, "e8", "edge", orb.Point{16, -7.5}, orb.Point{16, -2.5}).set("edge_kind", schema.String("ramp"))
		}},
		{"a pond stored as a closed line, its bank covered", "hazard-uncovered", func(p *plot) {
			line(p, "h9", "hazard", closed(rect(20, -25, 23, -21))...).set("hazard_kind", schema.String("pond"))
			area(p, "k9", "keepout", rect(19, -26, 24, -20)).rings = append(p.get("k9").rings, reversed(rect(20.4, -24.6, 22.6, -21.4)))
		}},
		{"a pond stored as a closed line that crosses itself", "hazard-uncovered", func(p *plot) {
			line(p, "h9", "hazard", orb.Point{40, -25}, orb.Point{43, -21}, orb.Point{43, -25}, orb.Point{40, -20}, orb.Point{40, -25})
		}},
		{"a lawn behind a wall along the shared edge", "zone-unreachable", func(p *plot) {
			edge(p, "wall", orb.Point{30, -31}, orb.Point{30, -9})
			area(p, "z9", "zone", rect(30, -30, 40, -10))
		}},
		// Slips in names of properties, and words near a role.
		{"a lawn with Active false", "switch-unfit", func(p *plot) { p.get("z2").set("Active", schema.Bool(false)) }},
		{"a lawn with actve false", "switch-unfit", func(p *plot) { p.get("z2").set("actve", schema.Bool(false)) }},
		{"a lawn with enabled false", "switch-unfit", func(p *plot) { p.get("z2").set("enabled", schema.Bool(false)) }},
		{"a lawn with disabled true", "switch-unfit", func(p *plot) { p.get("z2").set("disabled", schema.Bool(true)) }},
		{"a lawn whose Role says keepout", "property-misnamed", func(p *plot) { p.get("z2").set("Role", schema.String("keepout")) }},
		{"a plan whose limits are called Limits", "property-misnamed", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "Limits", Value: limits("hazard_margin_water_m", 1)})
		}},
		{"a plan whose limits stand within properties", "property-misnamed", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "properties", Value: schema.Object(schema.Attributes{{Key: "limits", Value: limits("hazard_margin_water_m", 1)}})})
		}},
		{"a pool of Radius_m 3", "property-misnamed", func(p *plot) { point(p, "h9", "hazard", 10, 10).set("Radius_m", num(3)) }},
		{"a pool of diameter_m 3", "property-misnamed", func(p *plot) { point(p, "h9", "hazard", 10, 10).set("diameter_m", num(3)) }},
		{"a lawn whose solution stands under Fix", "property-misnamed", func(p *plot) { p.get("z1").set("Fix", schema.String("float")) }},
		{"a lawn whose solution stands under fix_type", "property-misnamed", func(p *plot) { p.get("z1").set("fix_type", schema.String("float")) }},
		{"a lawn whose error stands under sigma_m", "property-misnamed", func(p *plot) { p.get("z1").set("sigma_m", num(0.4)) }},
		{"a pond whose kind stands under Hazard_kind", "property-misnamed", func(p *plot) { p.get("h1").props = nil; p.get("h1").set("Hazard_kind", schema.String("pond")) }},
		{"a base whose frame stands under Frame", "property-misnamed", func(p *plot) { p.get("b1").set("Frame", schema.String("ITRF2014")) }},
		{"a pond drawn as a point without a size", "hazard-uncovered", func(p *plot) {
			point(p, "h9", "hazard", 10, 10).set("hazard_kind", schema.String("pond"))
		}},
		{"a pond of radius 0", "hazard-uncovered", func(p *plot) {
			point(p, "h9", "hazard", 10, 10).set("hazard_kind", schema.String("pond")).set("radius_m", num(0))
		}},
		{"a pond of the role hazzard", "role-unknown", func(p *plot) { area(p, "h9", "hazzard", rect(20, -25, 23, -21)) }},
		{"a plan of plane coordinates in no system", "axes-swapped", nil},
		{"a vertex at no latitude", "coordinate-invalid", func(p *plot) { p.get("m1").z = func(orb.Point) float64 { return math.MaxInt32 } }},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := park()
			if x.spoil != nil {
				x.spoil(p)
			}
			plan := p.plan(t)
			if x.spoil == nil {
				plan = in(t, plan, parse(t, "EPSG:25829"))
				plan.CRS = nil
			}
			r := validate.Check(plan, l)
			if r.Status() == validate.StatusClean {
				t.Errorf("clean")
			}
			if o := r.Outcome(x.rule); o.Outcome != validate.Failed && o.Outcome != validate.Unchecked {
				t.Errorf("%s is %s (%s)", x.rule, o.Outcome, o.Reason)
				for _, f := range r.Findings {
					t.Log(show(f))
				}
			}
		})
	}
}

// raisedBy lifts a feature off the flat ground.
func raisedBy(p *plot, id string, up float64) {
	p.get(id).z = func(orb.Point) float64 { return plotH + up }
}

// TestStepsBetweenFeatures is at the limit from both sides: 0.3 m beyond 35 %
// of 1 m, or of the distance where that is more.
func TestStepsBetweenFeatures(t *testing.T) {
	ring := func(x0, x1 float64) func(p *plot, up float64) {
		return func(p *plot, up float64) {
			p.add(&thing{id: "z9", role: "zone", name: "East lawn", rings: [][]orb.Point{rect(x0, -33, x1, -7)}}) // corners 3 m from those of z2
			raisedBy(p, "z9", up)
		}
	}
	for _, x := range []struct {
		name string
		up   float64 // the least step
		draw func(p *plot, up float64)
	}{
		{"a corridor over the outline of a zone", 0.65, func(p *plot, up float64) { raisedBy(p, "c2", up) }},
		{"a corridor under it", 0.65, func(p *plot, up float64) { raisedBy(p, "c2", -up) }},
		{"a corridor whose only height in the zone is 4 m from the outline", 0.3 + 4*0.35, func(p *plot, up float64) {
			p.get("c2").line = []orb.Point{{15, 4}, {15, 7}}
			p.get("z2").rings[0] = rect(0, -30, 30, -20)
			raisedBy(p, "c2", up)
		}},
		{"two zones that share a side", 0.65, ring(30, 40)},
		{"two zones that overlap", 0.65, ring(29, 40)},
		{"two zones 0.5 m apart", 0.65, ring(30.5, 40)},
		{"two zones hardly less than a passage apart", 0.3 + 1.499*0.35, ring(31.499, 40)},
	} {
		for off, want := range map[float64]bool{-0.002: false, 0.002: true} {
			p := park()
			x.draw(p, x.up+off)
			got := false
			for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
				got = got || f.Rule == "slope-limit" && strings.HasPrefix(f.Message, "steps")
			}
			if got != want {
				t.Errorf("%s, %g m: %v", x.name, x.up+off, got)
			}
		}
	}
	for _, x := range []struct {
		name string
		draw func(p *plot)
	}{
		{"two zones farther apart than a passage is wide", func(p *plot) { ring(31.502, 41)(p, 0.8) }},
		{"two zones with a wall between them", func(p *plot) {
			ring(30.8, 40)(p, 1)
			p.add(&thing{id: "e9", role: "edge", name: "Terrace", line: []orb.Point{{30.4, -31}, {30.4, -9}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		}},
		{"heights that differ by centimetres", func(p *plot) { ring(30, 40)(p, 0.06); raisedBy(p, "c1", 0.05); raisedBy(p, "c2", -0.05) }},
		{"heights that are clamped", func(p *plot) { raisedBy(p, "z2", 9); p.get("z2").set("altitude_mode", schema.String("clampToGround")) }},
	} {
		p := park()
		x.draw(p)
		for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
			if f.Rule == "slope-limit" {
				t.Errorf("%s: %s", x.name, show(f))
			}
		}
	}
}

// TestWallsOfNoHeight is at the reach of a wall of 2 m from both sides, 7.5 m
// at the usual mask of 15 degrees.
func TestWallsOfNoHeight(t *testing.T) {
	for _, x := range []struct {
		kind string
		away float64
		want validate.Outcome
	}{
		{"wall", 7.44, validate.Unchecked},
		{"fence", 7.44, validate.Unchecked},
		{"wall", 7.48, validate.Passed},
		{"kerb", 2, validate.Passed},
		{"flush", 2, validate.Passed},
	} {
		p := park()
		p.add(&thing{id: "e9", role: "edge", name: "Edge", line: []orb.Point{{36 + x.away, 9}, {36 + x.away, 11}}, z: flatGround}).set("edge_kind", schema.String(x.kind))
		if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome("sky-blocked"); o.Outcome != x.want {
			t.Errorf("a %s %g m from the dock: %s (%s)", x.kind, x.away, o.Outcome, o.Reason)
		}
	}
}

// TestMastsAndMedians is at the highest mast and at base_height_m from both
// sides.
func TestMastsAndMedians(t *testing.T) {
	told := func(draw func(p *plot)) bool {
		p := park()
		draw(p)
		return validate.Check(p.plan(t), schema.DefaultLimits()).Outcome("base-height").Outcome == validate.Failed
	}
	for off, want := range map[float64]bool{-0.01: false, 0: false, 0.01: true} {
		if got := told(func(p *plot) {
			p.get("b1").set("antenna_height_m", num(50+off)).z = func(orb.Point) float64 { return plotH + 50 + off }
		}); got != want {
			t.Errorf("a mast of %g m: %v", 50+off, got)
		}
		if got := told(func(p *plot) { raisedBy(p, "z2", 100+off) }); got != want {
			t.Errorf("a lawn %g m above the rest: %v", 100+off, got)
		}
	}
}

// TestSlipsThatAreErrors holds the severities of what was meant to keep the
// machine out, and that harmless look-alikes say nothing.
func TestSlipsThatAreErrors(t *testing.T) {
	off := func(p *plot, role string, ring []orb.Point) *thing {
		return p.add(&thing{id: "h9", role: role, name: "Thing", rings: [][]orb.Point{ring}, z: flatGround}).set("active", schema.Bool(false))
	}
	fence := func(p *plot, kind string, pts ...orb.Point) {
		p.add(&thing{id: "e9", role: "edge", name: "Line", line: pts, z: flatGround}).set("edge_kind", schema.String(kind)).set("active", schema.Bool(false))
	}
	const none = validate.Severity("none")
	for _, x := range []struct {
		name, rule string
		want       validate.Severity
		spoil      func(p *plot)
	}{
		{"a pond that is off in a lawn", "switch-unfit", validate.Error, func(p *plot) { off(p, "hazard", rect(20, -25, 23, -21)) }},
		{"one round a lawn", "switch-unfit", validate.Error, func(p *plot) { off(p, "hazard", rect(-1, -31, 31, -9)) }},
		{"one across a lawn, its corners outside", "switch-unfit", validate.Error, func(p *plot) { off(p, "hazard", rect(-5, -25, 35, -21)) }},
		{"one a centimetre into it", "switch-unfit", validate.Error, func(p *plot) { off(p, "hazard", rect(29.99, -25, 33, -21)) }},
		{"one a centimetre beside it", "switch-unfit", validate.Warning, func(p *plot) { off(p, "hazard", rect(30.01, -25, 33, -21)) }},
		{"one under a keep-out", "switch-unfit", validate.Warning, func(p *plot) {
			off(p, "hazard", rect(20, -25, 23, -21))
			p.add(&thing{id: "k9", role: "keepout", name: "Over", rings: [][]orb.Point{rect(19.5, -25.5, 23.5, -20.5)}, z: flatGround})
		}},
		{"a building that is off in a lawn", "switch-unfit", validate.Error, func(p *plot) { off(p, "building", rect(20, -25, 23, -21)) }},
		{"a drop", "switch-unfit", validate.Error, func(p *plot) { fence(p, "drop", orb.Point{-5, -20}, orb.Point{35, -20}) }},
		{"a kerb", "switch-unfit", validate.Warning, func(p *plot) { fence(p, "kerb", orb.Point{-5, -20}, orb.Point{35, -20}) }},
		{"a keep-out with Active false", "switch-unfit", validate.Warning, func(p *plot) { p.get("k1").set("Active", schema.Bool(false)) }},
		{"a lawn with enabled true", "switch-unfit", none, func(p *plot) { p.get("z1").set("enabled", schema.Bool(true)) }},
		{"a lawn with disabled false", "switch-unfit", none, func(p *plot) { p.get("z1").set("disabled", schema.Bool(false)) }},
		{"the role HAZARD", "role-unknown", validate.Error, func(p *plot) { p.get("m1").role = "HAZARD" }},
		{"the role hazzard", "role-unknown", validate.Error, func(p *plot) { p.get("m1").role = "hazzard" }},
		{"the role keepuot", "role-unknown", validate.Error, func(p *plot) { p.get("m1").role = "keepuot" }},
		{"the role tree", "role-unknown", validate.Warning, func(p *plot) { p.get("m1").role = "tree" }},
		{"a weight and a reading", "property-misnamed", none, func(p *plot) { p.get("d1").set("weight_m", num(3)).set("reading", num(3)) }},
		{"a height of a thing without a role", "property-misnamed", none, func(p *plot) { p.get("m1").role = "other"; p.get("m1").set("Active", num(3)) }},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := park()
			x.spoil(p)
			got := none
			for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
				if f.Rule == x.rule {
					got = f.Severity
				}
			}
			if got != x.want {
				t.Errorf("%s is %v, want %v", x.rule, got, x.want)
			}
		})
	}
}

// TestSlipsAreFew: a file of a thousand features with one slip each gives
// twenty findings and a count.
func TestSlipsAreFew(t *testing.T) {
	p := park()
	for i := range 50 {
		p.add(&thing{id: "m", role: "mark", name: "M", point: &orb.Point{50, float64(i)}, z: flatGround}).set("Sigma", num(0.9))
	}
	n, last := 0, ""
	for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
		if f.Rule == "property-misnamed" {
			n, last = n+1, f.Message
		}
	}
	if n != 20 || !strings.Contains(last, "and 30 more") {
		t.Errorf("%d findings, the last %q", n, last)
	}
}
