// Things whose height is that of no ground about them.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

func TestThingsOffAllGround(t *testing.T) {
	// The outlet of the park is 1.3 m from the way into the dock at its nearest.
	at := func(role string, x, y, up float64, more ...func(x *thing)) func(p *plot) {
		return func(p *plot) {
			q := pointOf(p, "q9", role, up, x, y)
			for _, f := range more {
				f(q)
			}
		}
	}
	kind := func(k string) func(x *thing) {
		return func(x *thing) { x.set("hazard_kind", schema.String(k)) }
	}
	named := func(name string) func(x *thing) { return func(x *thing) { x.name = name } }
	high := func(h float64) func(x *thing) { return func(x *thing) { x.set("height_m", num(h)) } }
	alone := func(p *plot) { p.get("p1").z = nil }
	edge := func(kind string, up float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "e9", kind, raisedTo(up), orb.Point{34, -20}, orb.Point{34, -18}) }
	}
	house := func(up float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "a9", "building", raisedTo(up), rect(34.2, -22, 38, -18)) }
	}
	const says = "as far off all else that is known about it"
	judgeHeights(t, []heightPlan{
		{"an outlet 9 m up", at("supply", 34, -20, 9), heightsFail, "note", says},
		{"4 m off, 2.601 m up", at("supply", 34, -20, 2.601), heightsFail, "note", says},
		{"2.598 m up", at("supply", 34, -20, 2.598), heightsPass, "", ""},
		{"with a limit of 14.9 %", allOf(at("supply", 34, -20, 2.598), func(p *plot) { member(p, "limits", jsonValue(t, `{"slope_edge_max_percent": 14.9}`)) }), heightsFail, "note", says},
		{"14.99 m off", allOf(alone, at("supply", 44.99, -20, 9.6)), heightsFail, "note", says},
		{"nothing known within 15 m", allOf(alone, at("supply", 45.01, -20, 9.6)), heightsPass, "", ""},
		{"4 m down", at("supply", 34, -20, -4), heightsFail, "warning", "where the fall begins"},
		{"beside the boundary, 2.001 m down", at("supply", 79.999, -20, -2.001), heightsFail, "note", "below boundary"},
		{"in the lawn", at("supply", 28, -20, 9), heightsFail, "note", says},
		{"on the wall of a house, 2.99 m up", allOf(at("supply", 34.1, -20, 2.99), house(0)), heightsPass, "", ""},
		{"3.01 m up", allOf(at("supply", 34.1, -20, 3.01), house(0)), heightsFail, "note", says},
		{"a mark on that house", allOf(at("mark", 34.1, -20, 3.01), house(0)), heightsPass, "", ""},
		{"on an upper place, as a path there tells", allOf(at("supply", 34, -20, 4), pathEast(38, 3)), heightsPass, "", ""},
		{"a path that climbs from the lawn", func(p *plot) {
			p.add(&thing{id: "o9", role: "other", name: "Path", line: []orb.Point{{31, -20}, {36, -20}, {41, -20}}, z: func(q orb.Point) float64 { return plotH + (q[0]-31)*0.9 }})
		}, heightsPass, "", ""},
		{"a second outlet as high tells nothing", allOf(at("supply", 34, -20, 9), func(p *plot) { pointOf(p, "q8", "supply", 9, 35, -20) }), heightsFail, "note", says},
		{"a post", at("hazard", 34, -20, 4.01, kind("post")), heightsFail, "note", says},
		{"a tree, which may have its top's", at("hazard", 34, -20, 4.01, kind("tree")), heightsPass, "", ""},
		{"a hydrant", at("other", 34, -20, 4.01, named("Hydrant")), heightsFail, "note", says},
		{"a bench on a wall drawn there", allOf(at("hazard", 34, -20, 4.01, kind("bench")), func(p *plot) { edgeOf(p, "e9", "wall", nil, orb.Point{34, -22}, orb.Point{34, -18}) }), heightsPass, "", ""},
		{"what is called a mast", at("other", 34, -20, 4.01, named("Mast")), heightsPass, "", ""},
		{"its top, by its height", at("other", 34, -20, 3.598, named("Hydrant"), high(3)), heightsPass, "", ""},
		{"past that", at("other", 34, -20, 3.602, named("Hydrant"), high(3)), heightsFail, "note", says},
		{"a gate", edge("gate", 4.01), heightsFail, "note", says},
		{"a kerb", edge("kerb", 4.01), heightsFail, "note", says},
		{"2.598 m up", edge("kerb", 2.598), heightsPass, "", ""},
		{"a drop", edge("drop", 4.01), heightsFail, "note", says},
		{"a drop whose foot this is", allOf(edge("drop", -4.01), func(p *plot) { p.get("e9").set("height_m", num(4)) }), heightsPass, "", ""},
		{"a wall, which may have its top's", edge("wall", 4.598), heightsPass, "", ""},
		{"higher than walls are", edge("wall", 4.602), heightsFail, "note", says},
		{"past its own height", allOf(edge("wall", 4.01), func(p *plot) { p.get("e9").set("height_m", num(1)) }), heightsFail, "note", says},
		{"a pit", at("hazard", 34, -20, 4.01, kind("pit")), heightsFail, "note", says},
		{"a road", func(p *plot) {
			areaOf(p, "h9", "hazard", raisedTo(4.01), rect(34, -28, 37, -12)).set("hazard_kind", schema.String("road"))
		}, heightsFail, "note", says},
		{"a mark 12 m off, which base-height leaves", at("mark", 42, -20, 8.01), heightsFail, "note", says},
	})
}
