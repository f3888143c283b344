// Tests of two things that cannot both be where they are drawn.

package validate_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// placedOn adds things to a plot, each with its texts and numbers.
func placedOn(p *plot, role, name string, x thing, pairs ...any) *thing {
	y := x
	y.id, y.role, y.name, y.z = "x"+strconv.Itoa(len(p.things)), role, name, flatGround
	for i := 0; i < len(pairs); i += 2 {
		switch v := pairs[i+1].(type) {
		case string:
			y.set(pairs[i].(string), schema.String(v))
		case float64:
			y.set(pairs[i].(string), num(v))
		}
	}
	return p.add(&y)
}

func boxAt(x0, y0, x1, y1 float64) thing { return thing{rings: [][]orb.Point{rect(x0, y0, x1, y1)}} }
func pointAt(x, y float64) thing         { return thing{point: &orb.Point{x, y}} }
func lineOf(xy ...float64) thing {
	var l []orb.Point
	for i := 0; i < len(xy); i += 2 {
		l = append(l, orb.Point{xy[i], xy[i+1]})
	}
	return thing{line: l}
}

// overlapCase is a plan and what things-overlap says of it: its severity, "" for
// nothing, and words of it.
type overlapCase struct {
	name string
	draw func(p *plot)
	want validate.Severity
	says string
}

func judgeOverlaps(t *testing.T, cases []overlapCase) {
	t.Helper()
	for _, x := range cases {
		p := park()
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		f := findingOf(r, validate.RuleThingsOverlap)
		if f.Severity != x.want || !strings.Contains(f.Message, x.says) {
			t.Errorf("%s: %s %q, want %q that says %q", x.name, f.Severity, f.Message, x.want, x.says)
		}
		if o := r.Outcome(validate.RuleThingsOverlap); x.want == "" && o.Outcome != validate.Passed {
			t.Errorf("%s: %s (%s)", x.name, o.Outcome, o.Reason)
		}
	}
}

// TestThingsThatCannotBothBe: the shed of the park is 6 by 7 m, at 60 to 66 m east
// and 5 to 12 m north, more than 15 m from all that is driven.
func TestThingsThatCannotBothBe(t *testing.T) {
	hazard := func(kind string, x thing, pairs ...any) func(p *plot) {
		return func(p *plot) { placedOn(p, "hazard", "Thing", x, append([]any{"hazard_kind", kind}, pairs...)...) }
	}
	edge := func(kind string, x thing, pairs ...any) func(p *plot) {
		return func(p *plot) { placedOn(p, "edge", "Thing", x, append([]any{"edge_kind", kind}, pairs...)...) }
	}
	both := func(list ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			for _, f := range list {
				f(p)
			}
		}
	}
	named := func(name string, f func(p *plot)) func(p *plot) {
		return func(p *plot) { f(p); p.things[len(p.things)-1].name = name }
	}
	shed := func(name string, f func(p *plot)) func(p *plot) {
		return func(p *plot) { f(p); p.get("g1").name = name }
	}
	pond := hazard("pond", boxAt(50, 20, 60, 30))
	road := hazard("road", lineOf(55, 15, 55, 38), "width_m", 3.0)
	oak := func(x, y, r float64) func(p *plot) {
		return hazard("oak", pointAt(x, y), "radius_m", r, "height_m", 4.0)
	}
	cable := func(name string) func(p *plot) {
		return func(p *plot) { placedOn(p, "other", name, lineOf(45, 25, 65, 25)) }
	}
	path := func(name string, x0, y0, x1, y1 float64) func(p *plot) {
		return func(p *plot) {
			placedOn(p, "other", name, boxAt(x0, y0, x1, y1)).set("driven_over", schema.Bool(true))
		}
	}
	deep := func(m float64) func(p *plot) {
		return func(p *plot) { p.things[len(p.things)-1].set("depth_m", num(m)) }
	}
	const note, warning = validate.Note, validate.Warning
	judgeOverlaps(t, []overlapCase{
		// Buildings.
		{"a trunk in a house", oak(63, 8, 0.4), note, "stands 3.00 m deep in building"},
		{"a trunk under the eaves", oak(60.79, 8, 0.4), "", ""},
		{"a trunk just farther in", oak(60.81, 8, 0.4), note, "0.81 m"},
		{"a crown that reaches over the house", hazard("oak", boxAt(53, 4, 61, 12), "height_m", 4.0), "", ""},
		{"a crown whose middle is in the house", hazard("oak", boxAt(58, 4, 66, 12), "height_m", 4.0), note, "where no tree can"},
		{"a wood about the house", hazard("trees", boxAt(50, -5, 70, 20), "height_m", 4.0), "", ""},
		{"a road over a house", hazard("road", lineOf(63, -20, 63, 30), "width_m", 3.0), note, "shares ground 3.00 m wide"},
		{"a road along the house", hazard("road", lineOf(58.5, -20, 58.5, 30), "width_m", 3.0), "", ""},
		{"a road under the eaves", hazard("road", lineOf(59.29, -20, 59.29, 30), "width_m", 3.0), "", ""},
		{"a road just farther in", hazard("road", lineOf(59.31, -20, 59.31, 30), "width_m", 3.0), note, "0.81 m"},
		{"a drive into a carport", shed("Carport", hazard("driveway", boxAt(55, 6, 64, 11))), "", ""},
		{"a drive into a house", hazard("driveway", boxAt(55, 6, 64, 11)), note, "4.00 m wide"},
		{"a house in a pond", hazard("pond", boxAt(55, 0, 70, 20)), note, "6.00 m wide"},
		{"a boathouse in it", shed("Boathouse", hazard("pond", boxAt(55, 0, 70, 20))), "", ""},
		{"a pool in a house", hazard("pool", boxAt(61, 6, 65, 11)), note, "4.00 m wide"},
		{"a pool in a swimming pool hall", shed("Swimming pool hall", hazard("pool", boxAt(61, 6, 65, 11))), "", ""},
		{"a stream through a house", hazard("stream", lineOf(50, 8, 70, 9)), note, "into building"},
		{"a wall through a house", edge("wall", lineOf(57, 8, 70, 8)), note, "reaches 3.00 m into building"},
		{"a wall along its side", edge("wall", lineOf(57, 5.79, 70, 5.79)), "", ""},
		{"a wall farther in", edge("wall", lineOf(57, 5.81, 70, 5.81)), note, "0.81 m"},
		{"a wall through a shed of 1 m", both(func(p *plot) { p.get("g1").rings[0] = rect(60, 5, 61, 12) }, edge("wall", lineOf(57, 8, 70, 8))), note, "0.50 m"},
		{"a wall at a quarter of it", both(func(p *plot) { p.get("g1").rings[0] = rect(60, 5, 61, 12) }, edge("wall", lineOf(60.24, 3, 60.24, 14))), "", ""},
		{"a fence through a house", edge("fence", lineOf(57, 8, 70, 8)), note, "into building"},
		{"a fence from its corner", edge("fence", lineOf(66, 12, 75, 30)), "", ""},
		{"a drop through a house", edge("drop", lineOf(57, 8, 70, 8)), note, "into building"},
		{"steps into its cellar", named("Cellar steps", edge("drop", lineOf(61, 5, 61, 7, 63, 7, 63, 5))), "", ""},
		{"a kerb through a house", edge("kerb", lineOf(57, 8, 70, 8)), note, "into building"},
		{"a gate in a house", edge("gate", lineOf(62, 8, 64, 8)), note, "into building"},
		{"a gate in its wall", edge("gate", lineOf(62, 5, 64, 5)), "", ""},
		{"a hedge through a house", hazard("hedge", lineOf(57, 8, 70, 8), "height_m", 1.0), note, "into building"},
		{"a hedge along it", hazard("hedge", lineOf(57, 4.8, 70, 4.8), "width_m", 0.8, "height_m", 1.0), "", ""},
		{"a playground in a house", hazard("playground", boxAt(61, 6, 65, 11)), note, "4.00 m wide"},
		{"a bench in a house", hazard("bench", boxAt(62, 8, 63.5, 8.5)), "", ""},
		{"a house on the boundary", func(p *plot) { placedOn(p, "building", "Barn", boxAt(77, -15, 83, -10), "height_m", 3.0) }, note, "on both sides of boundary"},
		{"its wall on the boundary", func(p *plot) { placedOn(p, "building", "Barn", boxAt(79.21, -15, 85, -10), "height_m", 3.0) }, "", ""},
		{"a wall just farther out", func(p *plot) { placedOn(p, "building", "Barn", boxAt(79.19, -15, 85, -10), "height_m", 3.0) }, note, "0.81 m"},
		{"a neighbour's house", func(p *plot) { placedOn(p, "building", "Barn", boxAt(81, -15, 85, -10), "height_m", 3.0) }, "", ""},
		{"two halves of a house on the boundary", func(p *plot) {
			placedOn(p, "building", "Half", boxAt(74, -15, 80, -10), "height_m", 3.0)
			placedOn(p, "building", "Neighbour's half", boxAt(80, -15, 86, -10), "height_m", 3.0)
		}, "", ""},
		{"two houses that overlap", func(p *plot) { placedOn(p, "building", "Barn", boxAt(64, 8, 75, 18), "height_m", 3.0) }, note, "2.00 m wide"},
		{"two whose eaves do", func(p *plot) { placedOn(p, "building", "Barn", boxAt(65.21, 5, 75, 18), "height_m", 3.0) }, "", ""},
		{"two that do a little more", func(p *plot) { placedOn(p, "building", "Barn", boxAt(65.19, 5, 75, 18), "height_m", 3.0) }, note, "0.81 m wide"},
		{"a tower on a hall", func(p *plot) { placedOn(p, "building", "Clock", boxAt(61, 6, 63, 8), "height_m", 9.0) }, "", ""},
		{"a wall through a shed of the role hazard", both(hazard("shed", boxAt(53, 20, 56, 23), "height_m", 2.0), edge("wall", lineOf(50, 21.5, 60, 21.5))), note, "into hazard"},
		{"a shed in a pond", both(hazard("shed", boxAt(53, 20, 56, 23), "height_m", 2.0), pond), note, "3.00 m wide"},
		{"a hut on a road", both(hazard("hut", boxAt(53, 20, 56, 23), "height_m", 2.0), road), note, "wide with hazard"},
		{"one drawn as a building and as a hazard", hazard("shed", boxAt(60, 5, 66, 12), "height_m", 3.0), "", ""},
		{"the same 0.9 m beside", hazard("shed", boxAt(60.9, 5, 66.9, 12), "height_m", 3.0), note, "wide with building"},
		{"a bench in a pond", both(pond, hazard("bench", boxAt(54, 24, 55, 25))), "", ""},
		{"a mark in a house", func(p *plot) { p.get("m1").point = &orb.Point{63, 8} }, note, "no receiver sees the sky"},
		{"a mark at its corner", func(p *plot) { p.get("m1").point = &orb.Point{60.1, 5.1} }, "", ""},
		{"a mark on its roof", func(p *plot) { p.get("m1").point = &orb.Point{63, 8}; p.get("m1").name = "Roof bolt" }, "", ""},
		{"an outlet in a house", func(p *plot) { p.get("s1").point = &orb.Point{63, 8} }, "", ""},
		// Water.
		{"a pond over a road", both(pond, road), note, "with hazard"},
		{"a pond beside a road", both(pond, hazard("road", lineOf(48.5, 15, 48.5, 38), "width_m", 3.0)), "", ""},
		{"a pond 0.29 m under a road", both(pond, hazard("road", lineOf(48.79, 15, 48.79, 38), "width_m", 3.0)), "", ""},
		{"a pond 0.31 m under a road", both(pond, hazard("road", lineOf(48.81, 15, 48.81, 38), "width_m", 3.0)), warning, "0.31 m wide"},
		{"a bridge over the pond", both(pond, named("Mill bridge", road)), "", ""},
		{"a pond with a bridge drawn over it", both(pond, road, func(p *plot) { placedOn(p, "other", "Bridge", boxAt(53, 19, 57, 31)) }), "", ""},
		{"a bridge drawn elsewhere", both(pond, road, func(p *plot) { placedOn(p, "other", "Bridge", boxAt(70, 19, 72, 21)) }), note, ""},
		{"a stream across a road", both(hazard("stream", lineOf(45, 25, 60, 25)), hazard("road", lineOf(55, 15, 55, 38))), note, "nothing there is called a bridge"},
		{"a stream in a culvert", both(named("Culvert", hazard("stream", lineOf(45, 25, 60, 25))), hazard("road", lineOf(55, 15, 55, 38))), "", ""},
		{"a trunk in a pond", both(pond, oak(55, 25, 0.4)), note, "where no tree can"},
		{"a trunk at its bank", both(pond, oak(50.29, 25, 0.4)), "", ""},
		{"a trunk off its bank", both(pond, oak(50.31, 25, 0.4)), note, ""},
		{"a trunk in a wetland", both(hazard("wetland", boxAt(50, 20, 60, 30)), oak(55, 25, 0.4)), "", ""},
		{"a hedge through a pond", both(pond, hazard("hedge", lineOf(45, 25, 65, 25), "height_m", 1.0)), note, "into hazard"},
		{"a statue in a pond", both(pond, hazard("statue", pointAt(55, 25), "radius_m", 0.5)), "", ""},
		{"a bed of reeds in a pond", both(pond, hazard("bed", boxAt(51, 21, 53, 23))), "", ""},
		{"a wall through a pond", both(pond, edge("wall", lineOf(45, 25, 65, 25))), note, "into hazard"},
		{"a wall about a pond", both(pond, edge("wall", lineOf(50, 20, 60, 20, 60, 30, 50, 30, 50, 20))), "", ""},
		{"a fence drawn twice", both(edge("fence", lineOf(45, 25, 65, 25)), edge("fence", lineOf(45, 25.6, 65, 25.6))), note, "is one fence drawn twice"},
		{"the other way about, turned", both(edge("fence", lineOf(45, 25, 65, 25)), edge("fence", lineOf(65, 28.5, 45, 25))), note, "lie 3.50 m and less"},
		{"two fences beside a path", both(edge("fence", lineOf(45, 25, 65, 25)), edge("fence", lineOf(45, 26.01, 65, 26.01))), "", ""},
		{"the faces of a fence", both(edge("fence", lineOf(45, 25, 65, 25)), edge("fence", lineOf(45, 25.1, 65, 25.1))), "", ""},
		{"two fences of unlike length", both(edge("fence", lineOf(45, 25, 65, 25)), edge("fence", lineOf(45, 25.6, 62.9, 25.6))), "", ""},
		{"a fence and a wall", both(edge("fence", lineOf(45, 25, 65, 25)), edge("wall", lineOf(45, 25.6, 65, 25.6))), "", ""},
		{"a short fence", both(edge("fence", lineOf(45, 25, 46.7, 25)), edge("fence", lineOf(45, 25.6, 46.7, 25.6))), "", ""},
		{"a path through a pond", both(pond, path("Path", 53, 15, 54.2, 38)), note, "wide with hazard"},
		{"a path beside it", both(pond, path("Path", 48.5, 15, 50.29, 38)), "", ""},
		{"a hair farther in", both(pond, path("Path", 48.5, 15, 50.31, 38)), note, "0.31 m wide"},
		{"a path over a bridge", both(pond, path("Path bridge", 53, 15, 54.2, 38)), "", ""},
		{"a path where a bridge is drawn", both(pond, path("Path", 53, 15, 54.2, 38), func(p *plot) { placedOn(p, "other", "Bridge", boxAt(53, 19, 57, 31)) }), "", ""},
		{"a deck over the pond", both(pond, path("Deck", 49, 15, 54.2, 38)), "", ""},
		{"a path into a house", path("Gartenweg", 55, 8, 65, 9.2), note, "wide with building"},
		{"a path under its eaves", path("Gartenweg", 55, 8, 60.59, 9.2), "", ""},
		{"a path into a carport", shed("Carport", path("Gartenweg", 55, 8, 65, 9.2)), "", ""},
		{"a fence over a brook", both(hazard("brook", boxAt(50, 20, 52, 38)), edge("fence", lineOf(45, 25, 65, 25))), "", ""},
		{"a gate in a pond", both(pond, edge("gate", lineOf(53, 24, 55, 24))), note, "into hazard"},
		{"a kerb through a pond", both(pond, edge("flush", lineOf(45, 25, 65, 25))), note, "into hazard"},
		{"a kerb about a pond", both(pond, edge("flush", lineOf(50, 20, 60, 20, 60, 30, 50, 30, 50, 20))), "", ""},
		{"two ponds that meet", both(pond, hazard("pond", boxAt(55, 20, 75, 38))), "", ""},
		// Roads.
		{"a trunk on a road", both(road, oak(55, 25, 0.4)), note, "where no tree can"},
		{"a trunk beside a road", both(road, oak(53.2, 25, 0.4)), "", ""},
		{"a trunk on a car park", both(hazard("car park", boxAt(50, 20, 60, 30)), oak(55, 25, 0.4)), "", ""},
		{"a hedge across a road", both(road, hazard("hedge", lineOf(45, 25, 65, 25), "height_m", 1.0)), note, "into hazard"},
		{"a bollard on a road", both(road, hazard("bollard", pointAt(55, 25), "radius_m", 0.1)), "", ""},
		{"a wall across a road", both(road, edge("wall", lineOf(45, 25, 65, 25))), note, "into hazard"},
		{"a wall with a gate there", both(road, edge("wall", lineOf(45, 25, 65, 25)), edge("gate", lineOf(53.2, 25, 56.8, 25))), "", ""},
		{"a drop across a road", both(road, edge("drop", lineOf(45, 25, 65, 25))), note, "into hazard"},
		{"a kerb across a road", both(road, edge("kerb", lineOf(45, 25, 65, 25))), "", ""},
		{"a mark on a road", both(road, func(p *plot) { p.get("m1").point = &orb.Point{55, 25} }), "", ""},
		{"a road across a road", both(road, hazard("road", lineOf(45, 25, 65, 25), "width_m", 3.0)), "", ""},
		// Trunks.
		{"a wall through a trunk", both(oak(55, 25, 0.5), edge("wall", lineOf(45, 25.19, 65, 25.19))), note, "into hazard"},
		{"a wall at a trunk", both(oak(55, 25, 0.5), edge("wall", lineOf(45, 25.21, 65, 25.21))), "", ""},
		{"a fence at a tree of no radius", both(hazard("oak", pointAt(55, 25), "height_m", 4.0), edge("fence", lineOf(45, 25, 65, 25))), "", ""},
		{"two trunks in one another", both(oak(55, 25, 0.4), oak(55.49, 25, 0.4)), note, "0.31 m deep in hazard"},
		{"two that grow together", both(oak(55, 25, 0.4), oak(55.51, 25, 0.4)), "", ""},
		{"two crowns that meet, said as radius_m", both(oak(55, 25, 3), oak(58, 25, 3)), "", ""},
		{"a sapling at an old trunk", both(oak(55, 25, 0.5), oak(55.49, 25, 0.1)), note, "0.11 m deep"},
		{"one beside it", both(oak(55, 25, 0.5), oak(55.51, 25, 0.1)), "", ""},
		// What is narrow.
		{"a hedge of 0.5 m through a house", hazard("hedge", lineOf(57, 8, 70, 8), "width_m", 0.5, "height_m", 1.0), note, "shares ground 0.50 m wide"},
		{"half of it along the house", hazard("hedge", lineOf(60.01, 3, 60.01, 14), "width_m", 0.5, "height_m", 1.0), note, "0.26 m wide"},
		{"less than half", hazard("hedge", lineOf(59.99, 3, 59.99, 14), "width_m", 0.5, "height_m", 1.0), "", ""},
		// Cables.
		{"a cable through a pond", both(pond, cable("Cable of the pump")), note, "says nothing of how deep"},
		{"a cable over a road", both(road, cable("Low-voltage cable")), note, "lead it round"},
		{"one of 0.05 m", both(road, cable("Cable"), deep(0.05)), "", ""},
		{"one of 0.04 m", both(road, cable("Cable"), deep(0.04)), note, ""},
		{"one in a duct", both(road, cable("Cable in a duct")), "", ""},
		{"a pipe into a pond", both(pond, cable("Drain pipe")), "", ""},
		{"a cable that ends at a pond", both(pond, func(p *plot) { placedOn(p, "other", "Cable", lineOf(45, 25, 50.29, 25)) }), "", ""},
		{"one that goes farther", both(pond, func(p *plot) { placedOn(p, "other", "Cable", lineOf(45, 25, 50.31, 25)) }), note, "0.31 m"},
		// How grave it is.
		{"a wall through a house within 15 m of a corridor", both(func(p *plot) { p.get("g1").rings[0] = rect(49.2, 5, 55.2, 12) }, edge("wall", lineOf(47, 8, 60, 8))), warning, ""},
		{"the same a little farther off", both(func(p *plot) { p.get("g1").rings[0] = rect(49.4, 5, 55.4, 12) }, edge("wall", lineOf(49.4, 8, 60, 8))), note, ""},
		{"a surveyed house far off", both(func(p *plot) { p.get("g1").set("drawn_from", schema.String("surveyed")) }, edge("wall", lineOf(57, 8, 70, 8))), warning, ""},
		{"a placed house far off", both(func(p *plot) { p.get("g1").set("drawn_from", schema.String("placed")) }, edge("wall", lineOf(57, 8, 70, 8))), note, ""},
		{"a wall that was fixed", edge("wall", lineOf(57, 8, 70, 8), "fix", "fixed"), warning, ""},
	})
}

// TestThingsDrawnTwice: areas of one kind that are one thing, a shift apart.
func TestThingsDrawnTwice(t *testing.T) {
	two := func(kind string, dx, w, h float64) func(p *plot) {
		return func(p *plot) {
			placedOn(p, "hazard", "One", boxAt(50, -25, 58, -18), "hazard_kind", kind)
			placedOn(p, "hazard", "Two", boxAt(50+dx, -25, 50+dx+w, -25+h), "hazard_kind", kind)
		}
	}
	const note = validate.Note
	judgeOverlaps(t, []overlapCase{
		{"a pond twice", two("pond", 1, 8, 7), note, "lies 1.00 m beside it"},
		{"0.29 m apart", two("pond", 0.29, 8, 7), "", ""},
		{"0.31 m apart", two("pond", 0.31, 8, 7), note, "0.31 m"},
		{"2.99 m apart", two("pond", 2.99, 8, 7), note, "2.99 m"},
		{"3.01 m apart", two("pond", 3.01, 8, 7), "", ""},
		{"a tenth smaller", two("pond", 1, 8, 6.31), note, ""},
		{"smaller by more", two("pond", 1, 8, 6.29), "", ""},
		{"another outline as long and wide", func(p *plot) {
			two("pond", 1, 8, 7)(p)
			p.things[len(p.things)-1].rings[0] = []orb.Point{{51, -25}, {59, -25}, {51, -18}, {51, -25}}
		}, "", ""},
		{"as long as a tenth less", two("pond", 1, 7.21, 7), note, ""},
		{"shorter and wider", two("pond", 1, 7.1, 7.7), "", ""},
		{"a car park twice", two("car park", 1, 8, 7), note, ""},
		{"a bed twice", two("bed", 1, 8, 7), note, ""},
		{"a pond and a pit", func(p *plot) {
			two("pond", 1, 8, 7)(p)
			p.things[len(p.things)-1].set("hazard_kind", schema.String("pit"))
		}, "", ""},
		{"a shed twice", func(p *plot) { placedOn(p, "building", "Hut", boxAt(60.6, 5, 66.6, 12), "height_m", 3.0) }, note, "lies 0.60 m beside it"},
		{"two sheds side by side", func(p *plot) {
			p.get("g1").rings[0] = rect(60, 5, 62, 7)
			placedOn(p, "building", "Hut", boxAt(62, 5, 64, 7), "height_m", 3.0)
		}, "", ""},
		{"beds that overlap by less than half", func(p *plot) {
			placedOn(p, "hazard", "One", boxAt(50, -25, 54, -21), "hazard_kind", "bed")
			placedOn(p, "hazard", "Two", boxAt(52.1, -25, 56.1, -21), "hazard_kind", "bed")
		}, "", ""},
	})
}

// TestThingsThatCannotBeMeasured leaves the rule unchecked.
func TestThingsThatCannotBeMeasured(t *testing.T) {
	p := park()
	p.get("g1").rings[0] = []orb.Point{{60, 5}, {66, 12}, {66, 5}, {60, 12}, {60, 5}}
	if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleThingsOverlap); o.Outcome != validate.Unchecked || !strings.Contains(o.Reason, "Shed") {
		t.Errorf("a shed that crosses itself: %s (%s)", o.Outcome, o.Reason)
	}
	p = park()
	p.remove("g1")
	p.remove("h1")
	if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleThingsOverlap); o.Outcome != validate.NotNeeded {
		t.Errorf("no building and no hazard: %s (%s)", o.Outcome, o.Reason)
	}
}
