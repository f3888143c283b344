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
		// 10 m of the way from end to end that are not driven.
		{"ends 4.99 m off", pair("road", strip(-30, 10, -4.99, 10, 3), strip(44.99, 10, 70, 10, 3)), true},
		{"ends 5.01 m off", pair("road", strip(-30, 10, -5.01, 10, 3), strip(45.01, 10, 70, 10, 3)), false},
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
