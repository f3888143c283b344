// Tests of what is only called after a stream, a road, a railway or a drop.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/validate"
)

// draws adds one thing to the park, whose south lawn is 30 by 22 m from 0, -31 on.
func draws(role, name string, x thing, pairs ...any) func(p *plot) {
	return func(p *plot) { placedOn(p, role, name, x, pairs...) }
}

func allDrawn(list ...func(p *plot)) func(p *plot) {
	return func(p *plot) {
		for _, f := range list {
			f(p)
		}
	}
}

func TestCalledAfterWhatRunsOn(t *testing.T) {
	const says, on = "points at it", "farther on"
	pass, fail, open := validate.Passed, validate.Failed, validate.Unchecked
	west := func(role, name string, end float64) func(p *plot) {
		return draws(role, name, boxAt(end-20, -22, end, -20))
	}
	pair := func(role, a, b string) func(p *plot) {
		return allDrawn(draws(role, a, boxAt(2, -22, 13, -20)), draws(role, b, boxAt(17, -22, 28, -20)))
	}
	in := func(name string, more ...func(p *plot)) func(p *plot) {
		return allDrawn(append(more, draws("keepout", name, boxAt(0, -22, 14, -20)))...)
	}
	disc := func(name string, round float64) func(p *plot) {
		return func(p *plot) {
			var l []orb.Point
			for i := 0; i <= 24; i++ {
				s, c := math.Sincos(math.Pi * (0.5 + round*(float64(i)/12-1)/2))
				l = append(l, orb.Point{20 + 3*c, -22 + 3*s})
			}
			placedOn(p, "keepout", name, thing{rings: [][]orb.Point{append(l, l[0])}})
		}
	}
	ring := func(name string, mouth float64) thing {
		return thing{rings: [][]orb.Point{{{10, -28}, {20, -28}, {20, -18}, {15 + mouth/2, -18}, {15 + mouth/2, -20}, {18, -20}, {18, -26}, {12, -26}, {12, -20}, {15 - mouth/2, -20}, {15 - mouth/2, -18}, {10, -18}, {10, -28}}}}
	}
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"an other stream before the lawn", west("other", "Stream", -1), fail, says},
		{"14.99 m before it", west("other", "Stream", -14.99), fail, says},
		{"15.01 m before it", west("other", "Stream", -15.01), pass, ""},
		{"a line of one", draws("other", "Mühlbach 2", lineOf(-21, -21, -1, -21)), fail, says},
		{"by its layer alone", draws("other", "Line 7", lineOf(-21, -21, -1, -21), "layer", "Streams"), fail, says},
		{"by no layer where its name says a thing", draws("other", "Water pipe", lineOf(-21, -21, -1, -21), "layer", "Streams"), pass, ""},
		{"a bed before it", west("other", "Stream bed flowers", -1), pass, ""},
		{"a verge before it", west("other", "Road verge", -1), pass, ""},
		{"a bridge before it", west("other", "Stream bridge", -1), pass, ""},
		{"a tree by the stream", west("other", "Tree by the stream", -1), pass, ""},
		{"a dead end", west("other", "Road, dead end", -1), pass, ""},
		{"a drive, which ends at a lawn", west("other", "Driveway", -1), pass, ""},
		{"and goes on behind it", allDrawn(west("other", "Driveway", -1), draws("other", "Driveway", boxAt(31, -22, 51, -20))), open, on},
		{"a stream on both sides", allDrawn(west("other", "Stream", -1), draws("other", "Stream", boxAt(31, -22, 51, -20))), open, on},
		{"a stream and a railway", allDrawn(west("other", "Railway", -16), draws("other", "Stream", boxAt(46, -22, 66, -20))), pass, ""},
		{"two streams", allDrawn(west("other", "Stream", -16), draws("other", "Stream", boxAt(46, -22, 66, -20))), fail, "goes on behind that"},

		{"keep-outs in line", pair("keepout", "Stream west", "Stream east"), open, on},
		{"of two kinds", pair("keepout", "Stream keep-out", "Bed"), fail, says},
		{"beds in line", pair("keepout", "Bed 1", "Bed 2"), pass, ""},
		{"ponds in line", pair("keepout", "Pond 1", "Pond 2"), pass, ""},
		{"one into the lawn", in("Cable trench"), fail, says},
		{"a bed into the lawn", in("Long bed"), pass, ""},
		{"the bank of one", in("Stream bank"), pass, ""},
		{"with a bench drawn in it", in("Stream", draws("hazard", "Bench", boxAt(5, -21.4, 7, -20.6), "hazard_kind", "bench")), fail, says},

		{"a half disc of a pond", disc("Garden pond", 1), fail, "cut off along a straight line"},
		{"a half disc of a bed", disc("Bed", 1), pass, ""},
		{"of which the straight side is 0.81 of the diameter", disc("Garden pond", 2-2*math.Asin(0.81)/math.Pi), fail, "cut off"},
		{"0.79 of it", disc("Garden pond", 2-2*math.Asin(0.79)/math.Pi), pass, ""},
		{"a pond round a piece of lawn", draws("keepout", "Pond", ring("Pond", 1.8)), open, on},
		{"a bed round one", draws("keepout", "Bed", ring("Bed", 1.8)), pass, ""},
	})
}

func TestStandsInWhatIsCalledWater(t *testing.T) {
	pass, fail := validate.Passed, validate.Failed
	kept := func(name string) func(p *plot) { return draws("keepout", name, boxAt(10, -24, 20, -18)) } // 3 m deep in the middle
	mark := func(name string, y float64) func(p *plot) { return draws("mark", name, pointAt(15, y)) }
	const says = "stands in the midst of"
	judgeWords(t, validate.RuleBaseInZone, []wordCase{
		{"a mark in a pond", allDrawn(kept("Pond"), mark("M7", -19.51)), fail, says},
		{"nearer to the rim", allDrawn(kept("Pond"), mark("M7", -19.48)), pass, ""},
		{"on an island", allDrawn(kept("Pond"), mark("Island mark", -21)), pass, ""},
		{"in a pond with an island", allDrawn(kept("Pond with island"), mark("M7", -21)), pass, ""},
		{"on a road", allDrawn(kept("Road"), mark("M7", -21)), pass, ""},
		{"in a bed", allDrawn(kept("Rose bed"), mark("M7", -21)), pass, ""},
		{"by a pond that is drawn", allDrawn(kept("Pond"), mark("M7", -21), draws("hazard", "Pond", boxAt(11, -20, 13, -19), "hazard_kind", "pond")), pass, ""},
		{"an outlet on a road", allDrawn(kept("Road"), draws("supply", "Socket", pointAt(15, -21))), fail, says},
		{"an outlet in a garden", allDrawn(kept("Well garden"), draws("supply", "Socket", pointAt(15, -21))), pass, ""},
	})
	tree := func(name string, y float64) func(p *plot) {
		return draws("hazard", name, pointAt(15, y), "hazard_kind", "tree", "radius_m", 0.3, "height_m", 5.0, "crown_base_m", 2.0)
	}
	house := func(name string) func(p *plot) {
		return draws("building", name, boxAt(14, -22, 17, -20), "height_m", 3.0)
	}
	judgeOverlaps(t, []overlapCase{
		{"a tree in a pond", allDrawn(kept("Pond"), tree("Oak", -19.51)), validate.Warning, "where no tree can"},
		{"nearer to the rim", allDrawn(kept("Pond"), tree("Oak", -19.48)), "", ""},
		{"on an island", allDrawn(kept("Pond with island"), tree("Oak", -21)), "", ""},
		{"in an orchard", allDrawn(kept("Orchard"), tree("Oak", -21)), "", ""},
		{"a shed in a lake", allDrawn(kept("Lake"), house("Shed")), validate.Warning, "both cannot be there"},
		{"a boathouse in it", allDrawn(kept("Lake"), house("Boathouse")), "", ""},
		{"a shed in a bed", allDrawn(kept("Bed"), house("Shed")), "", ""},
		{"an other shed on an other railway", allDrawn(draws("other", "Railway", boxAt(70, 30, 76, 50)), draws("other", "Shed", boxAt(72, 38, 74, 40))), validate.Note, "both cannot be there"},
		{"an other bed by an other stream", allDrawn(draws("other", "Stream", boxAt(70, 30, 76, 50)), draws("other", "Bed", boxAt(75, 38, 79, 40))), "", ""},
		{"an other road through the shed", draws("other", "Road", boxAt(50, 7, 70, 10)), validate.Note, "both cannot be there"},
		{"0.81 m into it", draws("other", "Road", boxAt(50, 7, 60.81, 10)), validate.Note, "both cannot be there"},
		{"0.79 m into it", draws("other", "Road", boxAt(50, 7, 60.79, 10)), "", ""},
		{"a line of a stream through it", draws("other", "Stream", lineOf(50, 8, 70, 8)), validate.Note, "both cannot be there"},
		{"a drop through it", draws("other", "Drop", lineOf(50, 8, 70, 8)), validate.Note, "both cannot be there"},
		{"a drive into it", draws("other", "Driveway", boxAt(50, 7, 64, 10)), "", ""},
		{"a road tunnel under it", draws("other", "Road tunnel", boxAt(50, 7, 70, 10)), "", ""},
	})
}

func TestTooSmallForWhatItIsCalled(t *testing.T) {
	pass, fail := validate.Passed, validate.Failed
	kept := func(name string, across float64) func(p *plot) {
		return draws("keepout", name, boxAt(15, -21, 15+across, -21+across))
	}
	const says = "none such is smaller than"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a road", kept("Road", 1.99), fail, says}, {"of 2 m", kept("Road", 2.01), pass, ""},
		{"a motorway", kept("Motorway", 4.99), fail, says}, {"of 5 m", kept("Motorway", 5.01), pass, ""},
		{"a school", kept("School", 2.99), fail, says}, {"of 3 m", kept("School", 3.01), pass, ""},
		{"a ditch", kept("Ditch", 0.99), fail, says}, {"of 1 m", kept("Ditch", 1.01), pass, ""},
		{"a sign by the road", kept("Road sign", 0.6), pass, ""}, {"a cliff", kept("Cliff", 0.6), fail, says},
	})
}

// TestCalledLines: closed lines called after water, a pit, a house or a car park have
// nothing in them that cannot be there, and a line called the middle of a road says how
// wide that is.
func TestCalledLines(t *testing.T) {
	pass, fail := validate.Passed, validate.Failed
	ring := func(name string, more ...func(p *plot)) func(p *plot) { // about the south lawn, 1 m off it
		return allDrawn(append(more, draws("other", name, lineOf(-1, -32, 31, -32, 31, -8, -1, -8, -1, -32)))...)
	}
	open := func(name string, gap float64) func(p *plot) { // with a mouth in its west side
		return draws("other", name, lineOf(-1, -20+gap, -1, -8, 31, -8, 31, -32, -1, -32, -1, -20))
	}
	about := func(name string) func(p *plot) { // about the base
		return func(p *plot) {
			b := *p.get("b1").point
			draws("other", name, lineOf(b[0]-1, b[1]-1, b[0]+1, b[1]-1, b[0]+1, b[1]+1, b[0]-1, b[1]-1))(p)
		}
	}
	beside := func(name string, off float64, pairs ...any) func(p *plot) {
		return draws("other", name, lineOf(-10, -30-off, 40, -30-off), pairs...)
	}
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a lake about a lawn", ring("Lake"), fail, "lies inside it"}, {"a quarry", ring("Quarry"), fail, "lies inside it"}, {"a car park", ring("Car park"), fail, "lies inside it"}, {"a house", ring("House"), fail, "lies inside it"},
		{"a path about a lawn", ring("Path"), pass, ""}, {"a hedge", ring("Hedge"), pass, ""}, {"a lawn by the lake", ring("Lawn by the lake"), pass, ""}, {"a water pipe", ring("Water pipe"), pass, ""},
		{"a lake with a mouth", open("Lake", 4.99), fail, "lies inside it"}, {"a wider one", open("Lake", 5.01), pass, ""},
		{"a pond about the base", about("Pond"), fail, "lies inside it"}, {"a house, on the roof of which it stands", about("House"), pass, ""}, {"a well house", about("Boathouse"), pass, ""},
		{"a middle line", beside("Road middle line", 3), fail, "middle line of a road"}, {"at its reach", beside("Stream axis", 9.99), fail, "middle line of water"}, {"past it", beside("Stream axis", 10.01), pass, ""},
		{"with a width", beside("Road middle line", 6, "width_m", 4.0), pass, ""}, {"a middle path", beside("Middle path", 3), pass, ""},
	})
}
