// Tests of long hazards that are drawn with a gap where the machine goes.

package validate

import (
	"math"
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// strip is a polygon of four corners about a line, so wide.
func strip(x0, y0, x1, y1, wide float64) geom.T {
	d := math.Hypot(x1-x0, y1-y0)
	u, v := -(y1-y0)/d*wide/2, (x1-x0)/d*wide/2
	return geom.NewPolygonFlat(geom.XY, []float64{x0 - u, y0 - v, x1 - u, y1 - v, x1 + u, y1 + v, x0 + u, y0 + v, x0 - u, y0 - v}, []int{10})
}

// rounded is a strip along x with half a circle at the end of it.
func rounded(x0, x1, y, wide float64) geom.T {
	flat := []float64{x0, y - wide/2}
	for k := 0; k <= 12; k++ {
		s, c := math.Sincos(math.Pi * (float64(k)/12 - 0.5))
		if x1 < x0 {
			c = -c
		}
		flat = append(flat, x1+wide/2*c, y+wide/2*s)
	}
	flat = append(flat, x0, y+wide/2, x0, y-wide/2)
	return geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})
}

// TestGaps: a lawn from 0 to 40 m, or a corridor at x = 20, with a hazard that ends
// before it and one behind it.
func TestGaps(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	way := thing(schema.RoleCorridor, "Way", track(20, 0, 20, 30))
	hazard := func(kind string, g geom.T, more ...any) *schema.Feature {
		return thing(schema.RoleHazard, kind, g, append([]any{"hazard_kind", kind}, more...)...)
	}
	pair := func(kind string, a, b geom.T) []*schema.Feature {
		return []*schema.Feature{lawn, hazard(kind, a), hazard(kind, b)}
	}
	over := func(a, b geom.T, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{way, hazard("road", a), hazard("road", b)}, more...)
	}
	const west, east = -0.31, 40.31
	straight := func(kind string) []*schema.Feature {
		return pair(kind, strip(-30, 10, west, 10, 3), strip(east, 10, 70, 10, 3))
	}
	bulge := thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XY, []float64{0, 0, 18, 0, 18, -0.02, 22, -0.02, 22, 0, 40, 0, 40, 30, 0, 30, 0, 0}, []int{18}))
	edge := func(kind string, g geom.T) *schema.Feature {
		return thing(schema.RoleEdge, kind, g, "edge_kind", kind)
	}
	other := func(name string, driven bool) *schema.Feature {
		return thing(schema.RoleOther, name, box(18, 8, 22, 12), "driven_over", driven)
	}
	off := func(m float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 20, 30)), hazard("road", strip(-50, 10, -m, 10, 3)), hazard("road", strip(20+m, 10, 70, 10, 3))}
	}
	far := func(m float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 60, 30)), hazard("road", strip(-50, 10, -m, 10, 3)), hazard("road", strip(60+m, 10, 110, 10, 3))}
	}
	a, b := strip(0, 10, 18, 10, 3), strip(22, 10, 40, 10, 3)
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		open     bool
	}{
		{"a road", straight("road"), true},
		{"a railway", straight("railway"), true},
		{"a river", straight("river"), true},
		{"a brook, Bach", straight("Bach"), true},
		{"a haha", straight("haha"), true},
		{"an unknown thing", straight("wibble"), true},
		{"a wall", straight("wall"), false},
		{"a hedge", straight("hedge"), false},
		{"two ponds", straight("pond"), false},
		{"two car parks", straight("car park"), false},
		{"a road and a river", []*schema.Feature{lawn, hazard("road", strip(-30, 10, west, 10, 3)), hazard("river", strip(east, 10, 70, 10, 3))}, false},
		{"a road and a railway", []*schema.Feature{lawn, hazard("road", strip(-30, 10, west, 10, 3)), hazard("railway", strip(east, 10, 70, 10, 3))}, false},
		{"two parts of one feature", []*schema.Feature{lawn, hazard("road", geom.NewMultiPolygonFlat(geom.XY, append(strip(-30, 10, west, 10, 3).FlatCoords(), strip(east, 10, 70, 10, 3).FlatCoords()...), [][]int{{10}, {20}}))}, true},
		{"lines with a width", []*schema.Feature{lawn, hazard("road", track(-30, 10, -1.9, 10), "width_m", 3.0), hazard("road", track(70, 10, 41.9, 10), "width_m", 3.0)}, true},
		{"lines without", pair("canal", track(-30, 10, west, 10), track(70, 10, east, 10)), true},
		{"an area and a line", pair("road", strip(-30, 10, west, 10, 3), track(70, 10, east, 10)), true},
		{"round ends", pair("road", rounded(-30, -2, 10, 3), rounded(70, 42, 10, 3)), true},
		{"a round and a flat one", pair("road", rounded(-30, -2, 10, 3), strip(east, 10, 70, 10, 3)), true},
		// Ends 60 m apart that face each other, or farther with 10 m of the way between not driven.
		{"ends 9.99 m off", pair("road", strip(-30, 10, -9.99, 10, 3), strip(49.99, 10, 70, 10, 3)), true},
		{"ends 10.01 m off", pair("road", strip(-30, 10, -10.01, 10, 3), strip(50.01, 10, 70, 10, 3)), false},
		{"ends 14.99 m off a lawn of 20 m", off(14.99), true},
		{"ends 15.01 m off a lawn of 20 m", off(15.01), false},
		{"a boundary between", append(off(14.99), thing(schema.RoleBoundary, "", box(-12, -30, 32, 60))), false},
		{"a lawn of 60 m, ends 4.99 m off", far(4.99), true},
		{"a lawn of 60 m, ends 5.01 m off", far(5.01), false},
		// 40.62 m apart, 0.27 of them and 1.5 m beside.
		{"12.4 m out of line", pair("road", strip(-30, 5, west, 5, 3), strip(east, 17.4, 70, 17.4, 3)), true},
		{"12.5 m out of line", pair("road", strip(-30, 5, west, 5, 3), strip(east, 17.5, 70, 17.5, 3)), false},
		{"2.49 times as wide", pair("road", strip(-30, 10, west, 10, 3), strip(east, 10, 70, 10, 7.47)), true},
		{"2.51 times as wide", pair("road", strip(-30, 10, west, 10, 3), strip(east, 10, 70, 10, 7.53)), false},
		{"at a corner", pair("road", strip(-30, 10, west, 10, 3), strip(20, -30, 20, west, 3)), false},
		{"0.31 m beside the lawn", pair("road", strip(-30, -1.81, 15, -1.81, 3), strip(24.9, -1.81, 70, -1.81, 3)), false},
		{"0.31 m beside a lawn that reaches farther there", append(pair("road", strip(-30, -1.81, 15, -1.81, 3), strip(24.9, -1.81, 70, -1.81, 3)), bulge), true},
		{"roads in a row", pair("road", strip(-30, 0, -30, 30, 3), strip(70, 0, 70, 30, 3)), false},
		{"one that joins another road", append(straight("road"), hazard("road", strip(-1, -20, -1, 50, 1.3))), false},
		{"a wall at its end", append(straight("road"), edge("wall", track(-0.2, 5, -0.2, 15))), false},
		{"a kerb at its end", append(straight("road"), edge("kerb", track(-0.2, 5, -0.2, 15))), true},
		{"a wall elsewhere", append(straight("road"), edge("wall", track(-0.2, 15, -0.2, 25))), true},
		{"a house at its end", append(straight("road"), thing(schema.RoleBuilding, "House", box(-0.3, 5, -0.1, 15))), false},
		{"a dead end", []*schema.Feature{lawn, thing(schema.RoleHazard, "Cul-de-sac", strip(-30, 10, west, 10, 3), "hazard_kind", "road"), hazard("road", strip(east, 10, 70, 10, 3))}, false},
		{"a car park at its end", append(straight("road"), hazard("car park", box(-0.8, 0, -0.31, 20))), false},
		{"a pond at its end", append(straight("river"), hazard("pond", box(-0.8, 0, -0.31, 20))), false},
		{"a pond at the end of a road", append(straight("road"), hazard("pond", box(-0.8, 0, -0.31, 20))), true},
		{"a keep-out over the gap", append(straight("road"), thing(schema.RoleKeepout, "K", box(-1, 7, 41, 13))), false},
		{"a keep-out over the half of it", append(straight("road"), thing(schema.RoleKeepout, "K", box(-1, 7, 20, 13))), true},

		{"a corridor in the gap", over(a, b), true},
		{"a ramp in the gap", over(a, b, edge("ramp", track(18, 10, 22, 10))), true},
		{"a culvert in the gap", over(a, b, other("Culvert", true)), false},
		{"Durchlass", over(a, b, other("Durchlass 3", true)), false},
		{"a causeway", over(a, b, other("Causeway", true)), false},
		{"a culvert that is not driven over", over(a, b, other("Culvert", false)), true},
		{"something else", over(a, b, other("Paint", true)), true},
		{"a ledge with a ramp", []*schema.Feature{way, hazard("ledge", track(0, 10, 18, 10)), hazard("ledge", track(22, 10, 40, 10)), edge("ramp", track(18, 10, 22, 10))}, false},
		{"a ledge without", []*schema.Feature{way, hazard("ledge", track(0, 10, 18, 10)), hazard("ledge", track(22, 10, 40, 10))}, true},
		{"a corridor over a bridge", []*schema.Feature{thing(schema.RoleCorridor, "Foot bridge", track(20, 0, 20, 30)), hazard("road", a), hazard("road", b)}, false},
		{"a dock in the gap", []*schema.Feature{thing(schema.RoleDock, "D", spot(20, 10), "heading_deg", 180.0), hazard("road", a), hazard("road", b)}, true},
		{"a dock beside it", []*schema.Feature{thing(schema.RoleDock, "D", spot(20, 7), "heading_deg", 0.0), hazard("road", a), hazard("road", b)}, false},
	} {
		for _, turned := range []bool{false, true} {
			features := x.features
			if turned { // hazards in the other order
				features = append([]*schema.Feature(nil), features...)
				if len(features) > 2 {
					features[1], features[2] = features[2], features[1]
				}
			}
			r := Check(driftPlan(t, features...), schema.DefaultLimits())
			if got := r.Outcome(RuleHazardUncovered); strings.Contains(got.Reason, "in line with it") != x.open {
				t.Errorf("%s: %v %s %v", x.name, got.Outcome, got.Reason, only(r, RuleHazardUncovered))
			}
		}
	}
}

// TestGapsOfDrops: a lawn from 0 to 40 and 0 to 30 m, or a corridor at x = 20, with
// edges that are drops.
func TestGapsOfDrops(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	way := thing(schema.RoleCorridor, "Way", track(20, 0, 20, 30))
	edge := func(kind string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, kind, track(xy...), "edge_kind", kind)
	}
	drop := func(xy ...float64) *schema.Feature { return edge("drop", xy...) }
	named := func(name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", "drop")
	}
	cliff := func(xy ...float64) *schema.Feature {
		return thing(schema.RoleHazard, "", track(xy...), "hazard_kind", "cliff")
	}
	cover := func(x0, y0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleKeepout, "", box(x0, y0, x1, y1))
	}
	gap := func(a, b float64) []*schema.Feature {
		return []*schema.Feature{way, drop(0, 10, a, 10), drop(b, 10, 40, 10)}
	}
	wider := func(m float64) []*schema.Feature {
		return []*schema.Feature{way, drop(-40, 10, 20-m/2, 10), drop(20+m/2, 10, 80, 10)}
	}
	const pair, inLine, alone = "farther on", "in line with it", "runs into"
	for _, x := range []struct {
		name, words string
		features    []*schema.Feature
		open        bool
	}{
		// The way between.
		{"a gap of 1.5 m", inLine, gap(19.25, 20.75), true},
		{"a gap of 3 m", inLine, gap(18.5, 21.5), true},
		// 15 m from either end to the side of the machine.
		{"a gap of 30.58 m", inLine, wider(30.58), true},
		{"a gap of 30.62 m", inLine, wider(30.62), false},
		{"a ramp across it", pair, append(gap(18.5, 21.5), edge("ramp", 18.5, 10, 21.5, 10)), false},
		{"a ramp along the way", pair, append(gap(18.5, 21.5), edge("ramp", 20, 9, 20, 11)), false},
		{"a gate", pair, append(gap(18.5, 21.5), edge("gate", 18.5, 10, 21.5, 10)), false},
		// 1.5 m from the ramp, half a machine and the margin from the way.
		{"a ramp 0.89 m aside of the way", pair, append(gap(15, 22), edge("ramp", 16, 10, 19.11, 10)), false},
		{"a ramp 0.91 m aside of the way", pair, append(gap(15, 22), edge("ramp", 16, 10, 19.09, 10)), true},
		{"a wall in it", pair, append(gap(18.5, 21.5), edge("wall", 20, 9, 20, 11)), false},
		{"a kerb in it", pair, append(gap(18.5, 21.5), edge("kerb", 20, 9, 20, 11)), true},
		{"an edge and a hazard", inLine, []*schema.Feature{way, drop(0, 10, 18.5, 10), cliff(21.5, 10, 40, 10)}, true},
		{"steps", pair, []*schema.Feature{way, named("Steps west", 0, 10, 18.5, 10), named("Steps east", 21.5, 10, 40, 10)}, false},
		{"walls", pair, []*schema.Feature{way, edge("wall", 0, 10, 18.5, 10), edge("wall", 21.5, 10, 40, 10)}, false},

		{"staggered by 1.7 m, 60 degrees", pair, []*schema.Feature{way, drop(0, 10, 19.5, 10), drop(20.5, 11.7, 40, 11.7)}, true},
		{"staggered by 1.8 m", pair, []*schema.Feature{way, drop(0, 10, 19.5, 10), drop(20.5, 11.8, 40, 11.8)}, false},
		{"steps in it", pair, append(gap(18.5, 21.5), thing(schema.RoleHazard, "Steps", box(18.3, 9, 21.7, 11), "hazard_kind", "steps")), false},

		// Up to the sides of a lawn.
		{"up to two sides, in line", inLine, []*schema.Feature{lawn, drop(-20, 10, -0.31, 10), drop(40.31, 10, 60, 10)}, true},
		{"up to two sides, round a corner", "begins again", []*schema.Feature{lawn, drop(-20, 10, -0.31, 10), drop(20, -20, 20, -0.31)}, true},
		{"both 4.99 m off", "begins again", []*schema.Feature{lawn, drop(-20, 10, -4.99, 10), drop(20, -20, 20, -4.99)}, true},
		{"both 5.01 m off", pair, []*schema.Feature{lawn, drop(-20, 10, -5.01, 10), drop(20, -20, 20, -5.01)}, false},
		{"side by side", pair, []*schema.Feature{lawn, drop(-20, 10, -2, 10), drop(-20, 15, -2, 15)}, false},
		{"one on its own", alone, []*schema.Feature{lawn, drop(-20, 10, -0.31, 10)}, true},
		{"one 1.49 m off", alone, []*schema.Feature{lawn, drop(-20, 10, -1.49, 10)}, true},
		{"one 1.51 m off", alone, []*schema.Feature{lawn, drop(-20, 10, -1.51, 10)}, false},
		{"a cliff on its own", alone, []*schema.Feature{lawn, cliff(-20, 10, -0.31, 10)}, false}, // told of hazard-uncovered
		{"at a wall", alone, []*schema.Feature{lawn, drop(-20, 10, -0.31, 10), edge("wall", -0.2, 5, -0.2, 15)}, false},
		{"at a fence", alone, []*schema.Feature{lawn, drop(-20, 10, -0.31, 10), edge("fence", -0.2, 5, -0.2, 15)}, false},
		{"at another drop", alone, []*schema.Feature{lawn, drop(-20, 10, -0.4, 10), drop(-0.4, -5, -0.4, 35)}, false},
		{"at a keep-out", alone, []*schema.Feature{lawn, drop(-20, 10, -0.31, 10), cover(-0.1, 9, 2, 11)}, false},
		{"a dead end", alone, []*schema.Feature{lawn, named("Steps", -20, 10, -0.31, 10)}, false},
		{"into it, under a keep-out", alone, []*schema.Feature{lawn, drop(-20, 10, 5, 10), cover(-0.1, 9.6, 5.4, 10.4)}, true},
		{"under one that reaches 1.49 m past its end", alone, []*schema.Feature{lawn, drop(-20, 10, 5, 10), cover(-0.1, 9.6, 6.49, 10.4)}, true},
		{"under one that reaches 1.51 m past its end", alone, []*schema.Feature{lawn, drop(-20, 10, 5, 10), cover(-0.1, 9.6, 6.51, 10.4)}, false},
		{"along a side", alone, []*schema.Feature{lawn, drop(-20, -0.31, 20, -0.31)}, false},

		// Inside a lawn.
		{"pieces in line", inLine, []*schema.Feature{lawn, drop(5, 10, 15, 10), drop(20, 10, 30, 10), cover(4.7, 9.7, 15.3, 10.3), cover(19.7, 9.7, 30.3, 10.3)}, true},
		{"pieces at a right angle", "begins again", []*schema.Feature{lawn, drop(5, 10, 15, 10), drop(18, 13, 18, 25), cover(4.7, 9.7, 15.3, 10.3), cover(17.7, 12.7, 18.3, 25.3)}, true},
		{"pieces at a right angle, 10.02 m apart", pair, []*schema.Feature{lawn, drop(5, 10, 15, 10), drop(22.09, 17.09, 22.09, 25), cover(4.7, 9.7, 15.3, 10.3), cover(21.79, 16.79, 22.39, 25.3)}, false},
		{"a keep-out over the gap", pair, []*schema.Feature{lawn, drop(5, 10, 15, 10), drop(20, 10, 30, 10), cover(4.7, 7, 30.3, 13)}, false},
		{"a ledge within", alone, []*schema.Feature{lawn, drop(5, 10, 15, 10), cover(4.7, 9.7, 15.3, 10.3)}, false},
		{"one ledge", pair, []*schema.Feature{lawn, drop(5, 10, 15, 10), cover(4.7, 9.7, 15.3, 10.3)}, false},
		{"two terraces", pair, []*schema.Feature{lawn, drop(5, 10, 15, 10), drop(5, 20, 15, 20), cover(4.7, 9.7, 15.3, 10.3), cover(4.7, 19.7, 15.3, 20.3)}, false},

		// Along a lawn: 0.134 of 5 m and the margin.
		{"0.96 m beside a lawn", inLine, []*schema.Feature{lawn, drop(0, -0.96, 15, -0.96), drop(20, -0.96, 40, -0.96)}, true},
		{"0.98 m beside a lawn", inLine, []*schema.Feature{lawn, drop(0, -0.98, 15, -0.98), drop(20, -0.98, 40, -0.98)}, false},
		{"19.99 m apart", inLine, []*schema.Feature{lawn, drop(0, -0.5, 10, -0.5), drop(29.99, -0.5, 40, -0.5)}, true},
		{"20.01 m apart", inLine, []*schema.Feature{lawn, drop(0, -0.5, 10, -0.5), drop(30.01, -0.5, 40, -0.5)}, false},
		{"one that meets the next", pair, []*schema.Feature{lawn, drop(0, -0.5, 15, -0.5), drop(15, -0.5, 40, -0.5)}, false},
	} {
		toldIn(t, x.name, RuleEdgeSetback, x.words, x.open, x.features...)
	}
	toldIn(t, "a cliff on its own", RuleHazardUncovered, alone, true, lawn, cliff(-20, 10, -0.31, 10))
	toldIn(t, "two hazards", RuleEdgeSetback, pair, false, lawn, cliff(-20, 10, -0.31, 10), cliff(40.31, 10, 60, 10), drop(0, 50, 40, 50))
	two := thing(schema.RoleEdge, "", geom.NewMultiLineStringFlat(geom.XY, []float64{0, 10, 19, 10, 21, 10, 40, 10}, []int{4, 8}), "edge_kind", "drop")
	toldIn(t, "two lines of one drop", RuleEdgeSetback, inLine, true, way, two)
	joined := thing(schema.RoleEdge, "", geom.NewMultiLineStringFlat(geom.XY, []float64{0, 10, 19, 10, 19, 10, 19, 14, 21, 10, 40, 10}, []int{4, 8, 12}), "edge_kind", "drop")
	toldIn(t, "one of which goes round a corner", RuleEdgeSetback, pair, false, way, joined)
}

// TestGapsRoundCorners: what ends at one side of a lawn and goes on from another.
func TestGapsRoundCorners(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	road := func(g geom.T) *schema.Feature { return thing(schema.RoleHazard, "", g, "hazard_kind", "road") }
	west := road(strip(-30, 10, -0.31, 10, 3))
	south := func(x, wide float64) *schema.Feature { return road(strip(x, -30, x, -0.31, wide)) }
	culvert := func(x0, x1 float64) *schema.Feature {
		return thing(schema.RoleOther, "Culvert", box(x0, 8, x1, 12), "driven_over", true)
	}
	ends := []*schema.Feature{lawn, west, road(strip(40.31, 10, 70, 10, 3))}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		open     bool
	}{
		{"from the south side", []*schema.Feature{lawn, west, south(20, 3)}, true},
		{"near the corner", []*schema.Feature{lawn, west, south(2, 3)}, true},
		{"a wider one", []*schema.Feature{lawn, west, south(20, 7.6)}, false},
		{"from the same side", []*schema.Feature{lawn, west, road(strip(-30, 20, -0.31, 20, 3))}, false},
		{"in a slant from the same side", []*schema.Feature{lawn, west, road(strip(-20, 0, -0.4, 19, 3))}, false},
		{"beside the lawn", []*schema.Feature{lawn, road(strip(-5, 40, -5, -2, 3)), road(strip(50, -5, -3, -5, 3))}, false},
		{"one alone", []*schema.Feature{lawn, west}, false},
		{"a wall at one end", []*schema.Feature{lawn, west, south(20, 3), thing(schema.RoleEdge, "", track(-0.2, 5, -0.2, 15), "edge_kind", "wall")}, false},
		{"a wall too short for it", []*schema.Feature{lawn, west, south(20, 3), thing(schema.RoleEdge, "", track(-0.2, 9, -0.2, 11), "edge_kind", "wall")}, true},
		{"another road at one end", []*schema.Feature{lawn, west, south(20, 3), road(strip(-1, -20, -1, 50, 1.3))}, false},
		{"other lawns", []*schema.Feature{thing(schema.RoleZone, "A", box(0, 0, 8, 30)), thing(schema.RoleZone, "B", box(30, 0, 50, 30)), west, south(40, 3)}, false},
		{"two lawns that meet", []*schema.Feature{thing(schema.RoleZone, "A", box(0, 0, 8, 30)), thing(schema.RoleZone, "B", box(8, 0, 50, 30)), west, south(20, 3)}, true},
		// What leads over it has to be as long as what is driven there.
		{"a culvert right across", append(ends, culvert(-0.31, 40.31)), false},
		{"a short one", append(ends, culvert(18, 22)), true},
		{"all but 0.29 m", append(ends, culvert(0.01, 39.71)), true},
		{"a house in the middle", append(ends, thing(schema.RoleBuilding, "House", box(18, 5, 22, 15))), true},
		{"a house 9.9 m off", append(ends, thing(schema.RoleBuilding, "House", box(9.5, 5, 22, 15))), false},
	} {
		toldIn(t, x.name, RuleHazardUncovered, "farther on", x.open, x.features...)
	}
}
