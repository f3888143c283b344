// Tests of long hazards that end in the open before driven ground.

package validate

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// notedIn runs check on the features, in the order given and the other, and holds how
// many notes of the rule have the words.
func notedIn(t *testing.T, name, rule, words string, want int, features ...*schema.Feature) {
	t.Helper()
	turned := make([]*schema.Feature, len(features))
	for i, f := range features {
		turned[len(features)-1-i] = f
	}
	for _, list := range [][]*schema.Feature{features, turned} {
		r := Check(driftPlan(t, list...), schema.DefaultLimits())
		got := 0
		for _, f := range only(r, rule) {
			if strings.Contains(f.Message, words) {
				if got++; f.Severity != Note {
					t.Errorf("%s: %s is no note", name, f.Message)
				}
			}
		}
		if got != want {
			t.Errorf("%s: %d, want %d: %v %s", name, got, want, only(r, rule), r.Outcome(rule).Reason)
		}
	}
}

// TestEndsAhead: a lawn from 0 to 40 and 0 to 30 m, or a corridor at x = 0, and one
// thing west of it that ends at x = -off.
func TestEndsAhead(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	way := thing(schema.RoleCorridor, "Way", track(0, 0, 0, 30))
	hazard := func(kind string, g geom.T, more ...any) *schema.Feature {
		return thing(schema.RoleHazard, "", g, append([]any{"hazard_kind", kind}, more...)...)
	}
	edge := func(kind, name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", kind)
	}
	ditch := func(off float64) *schema.Feature { return hazard("ditch", track(-50, 10, -off, 10)) }
	road := hazard("road", strip(-50, 10, -10, 10, 3))
	over := func(f *schema.Feature, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{lawn, f}, more...)
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		notes    int
	}{
		{"a ditch 0.31 m off", over(ditch(0.31)), 1},
		{"a ditch 14.99 m off", over(ditch(14.99)), 1},
		{"a ditch 15.01 m off", over(ditch(15.01)), 0},
		{"a ditch in it", over(ditch(-0.1)), 0}, // an error
		{"14.99 m off the machine in a corridor", []*schema.Feature{way, ditch(15.29)}, 1},
		{"15.01 m off the machine in a corridor", []*schema.Feature{way, ditch(15.31)}, 0},
		{"14.99 m off the way into a dock", []*schema.Feature{thing(schema.RoleDock, "D", spot(0, 11), "heading_deg", 0.0, "standoff_m", 4.0), ditch(15.29)}, 1},
		{"15.01 m off the way into a dock", []*schema.Feature{thing(schema.RoleDock, "D", spot(0, 11), "heading_deg", 0.0, "standoff_m", 4.0), ditch(15.31)}, 0},
		{"in line with the way into a dock, behind it", []*schema.Feature{thing(schema.RoleDock, "D", spot(0, 10), "heading_deg", 270.0, "standoff_m", 2.0), ditch(1.1)}, 1},
		{"a hair past where the machine stands in a dock", []*schema.Feature{thing(schema.RoleDock, "D", spot(0, 10.299), "heading_deg", 180.0, "standoff_m", 2.0), ditch(1.1)}, 1},
		{"past that by more than it may swing", []*schema.Feature{thing(schema.RoleDock, "D", spot(0, 10.5), "heading_deg", 180.0, "standoff_m", 2.0), ditch(1.1)}, 0},
		{"a road", over(road), 1},
		{"a railway", over(hazard("railway", track(-50, 10, -10, 10))), 1},
		{"something unknown", over(hazard("wibble", track(-50, 10, -10, 10))), 1},
		{"a hedge", over(hazard("hedge", track(-50, 10, -10, 10))), 0},
		{"a dead end", over(thing(schema.RoleHazard, "Cul-de-sac", track(-50, 10, -10, 10), "hazard_kind", "road")), 0},
		{"steps", over(hazard("steps", strip(-18, 10, -10, 10, 1))), 0},
		{"a point", over(hazard("ditch", spot(-10, 10), "radius_m", 1.0)), 0},

		// How it points.
		{"14.9 degrees to the side of the lawn", over(hazard("ditch", track(-50, -13, -5, -1.03))), 1},
		{"along a lawn, 14 degrees to it", over(hazard("ditch", track(-30, -10, 10, -0.3))), 0},
		{"along a lawn, 16 degrees to it", over(hazard("ditch", track(-30, -12, 10, -0.5))), 1},
		{"beside the corner, 1.2 m at 10 m", over(hazard("ditch", track(-50, -1.2, -10, -1.2))), 1},
		{"beside a corner behind a wall", over(hazard("ditch", track(-50, -1.2, -10, -1.2)), edge("wall", "", -1, -0.9, -1, 5)), 0},
		{"beside the corner, 2.0 m", over(hazard("ditch", track(-50, -2, -10, -2))), 0},
		{"along another lawn and beside the corner", over(hazard("ditch", track(-50, -0.5, -10, -0.5)), thing(schema.RoleZone, "B", box(-40, 0, -10, 20))), 0},
		{"along another lawn and at it", over(hazard("ditch", track(-50, 0.5, -10, 0.5)), thing(schema.RoleZone, "B", box(-40, 1, -10, 20))), 1},
		{"away from it", over(hazard("ditch", track(-10, 10, -10, 50))), 0},

		// How long it is.
		{"as long as the way", over(hazard("ditch", track(-20, 10, -10, 10))), 1},
		{"0.01 m less", over(hazard("ditch", track(-19.99, 10, -10, 10))), 0},
		{"the last piece of another", over(hazard("ditch", track(-19.99, 10, -10, 10)), hazard("brook", track(-60, 10, -20.4, 10))), 1},
		{"a piece 0.6 m from another", over(hazard("ditch", track(-19.9, 10, -10, 10)), hazard("brook", track(-60, 10, -20.5, 10))), 0},
		{"an area five times as long as wide", over(hazard("water", strip(-25.1, 10, -10, 10, 3))), 1},
		{"an area not quite", over(hazard("water", strip(-24.9, 10, -10, 10, 3))), 0},

		// What stops it.
		{"a wall across", over(road, edge("wall", "", -5, 8.4, -5, 11.6)), 0},
		{"a wall across that is too short", over(road, edge("wall", "", -5, 8.4, -5, 11.4)), 1},
		{"a fence across", over(ditch(10), edge("fence", "", -5, 8, -5, 12)), 0},
		{"a house", over(ditch(10), thing(schema.RoleBuilding, "", box(-8, 6, -3, 14))), 0},
		{"a house beside it", over(ditch(10), thing(schema.RoleBuilding, "", box(-8, 14, -3, 20))), 1},
		{"another road across", over(road, hazard("road", strip(-5, -30, -5, 60, 3))), 0},
		{"a kerb across a road", over(road, edge("kerb", "", -9.8, 8, -9.8, 12)), 0},
		{"a kerb across a ditch", over(ditch(10), edge("kerb", "", -5, 8, -5, 12)), 1},
		{"a road across a ditch", over(ditch(10), hazard("road", strip(-5, -30, -5, 60, 3))), 1},
		{"a ditch that ends at a road", over(ditch(10), hazard("road", strip(-8.1, -30, -8.1, 60, 3))), 0},
		{"a pond at its end", over(ditch(10), hazard("pond", box(-9.6, 5, -6, 15))), 0},
		{"a culvert at its end", over(ditch(10), thing(schema.RoleOther, "Culvert", track(-10, 10, -4, 10))), 0},
		{"a culvert 0.6 m from its end", over(ditch(10), thing(schema.RoleOther, "Culvert", track(-9.4, 10, -4, 10))), 1},
		{"the boundary before a road", over(road, thing(schema.RoleBoundary, "", box(-2, -10, 50, 40))), 0},
		{"the boundary before a ditch", over(ditch(10), thing(schema.RoleBoundary, "", box(-2, -10, 50, 40))), 1},
		{"a keep-out 1.49 m past its end", over(hazard("ditch", track(-50, 10, 5, 10)), thing(schema.RoleKeepout, "", box(-0.1, 9, 6.49, 11))), 1},
		{"a keep-out 1.51 m past its end", over(hazard("ditch", track(-50, 10, 5, 10)), thing(schema.RoleKeepout, "", box(-0.1, 9, 6.51, 11))), 0},
		{"a rill within the lawn", over(hazard("ditch", track(5, 10, 25, 10), "width_m", 0.3), thing(schema.RoleKeepout, "", box(4, 9, 26, 11))), 0},
		{"a bridge over the lawn before it", over(ditch(10), thing(schema.RoleOther, "Culvert", box(-1, 5, 41, 15), "driven_over", true)), 0},
	} {
		notedIn(t, x.name, RuleHazardUncovered, "and points at it", x.notes, x.features...)
	}
	hole := geom.NewPolygonFlat(geom.XY, []float64{0, 0, 40, 0, 40, 30, 0, 30, 0, 0, 4, 8, 4, 12, 26, 12, 26, 8, 4, 8}, []int{10, 20})
	notedIn(t, "a rill in a hole", RuleHazardUncovered, "and points at it", 0, thing(schema.RoleZone, "Lawn", hole), hazard("ditch", track(5, 10, 25, 10), "width_m", 0.3))
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		notes    int
	}{
		{"a drop", over(edge("drop", "", -50, 10, -14.99, 10)), 1},
		{"a drop 15.01 m off", over(edge("drop", "", -50, 10, -15.01, 10)), 0},
		{"a short drop", over(edge("drop", "", -19.9, 10, -10, 10)), 0},
		{"a drop at a ramp", over(edge("drop", "", -50, 10, -10, 10), edge("ramp", "", -0.5, 8, -0.5, 12)), 0},
		{"a drop at a wall", over(edge("drop", "", -50, 10, -10, 10), edge("wall", "", -9.9, 8, -9.9, 12)), 0},
		{"steps", over(edge("drop", "Steps", -50, 10, -10, 10)), 0},
		{"a drop along the lawn", over(edge("drop", "", -20, -0.31, 20, -0.31)), 0},
		{"a wall", over(edge("wall", "", -50, 10, -10, 10)), 0},
	} {
		notedIn(t, x.name, RuleEdgeSetback, "and points at it", x.notes, x.features...)
	}
}

// TestTurnsAhead: two things that point at a lawn from 0 to 40 and 0 to 30 m from its west
// and its north side, or in line from west and east.
func TestTurnsAhead(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	hazard := func(kind string, g geom.T, more ...any) *schema.Feature {
		return thing(schema.RoleHazard, "", g, append([]any{"hazard_kind", kind}, more...)...)
	}
	drop := func(xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, "", track(xy...), "edge_kind", "drop")
	}
	kerb := func(xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, "", track(xy...), "edge_kind", "kerb")
	}
	west := func(off, long float64) geom.T { return track(-off-long, 10, -off, 10) }
	north := func(off, long float64) geom.T { return track(20, 30+off+long, 20, 30+off) }
	ditches := func(a, b geom.T, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{lawn, hazard("ditch", a, "width_m", 1.5), hazard("ditch", b, "width_m", 1.5)}, more...)
	}
	inLine := func(off, long float64) []*schema.Feature {
		return []*schema.Feature{lawn, hazard("stream", west(off, long)), hazard("stream", track(40+off, 10, 40+off+long, 10))}
	}
	const turns, runs, street = "whether it turns in what is driven", "whether it runs on through what is driven", "whether a street turns there"
	for _, x := range []struct {
		name     string
		words    string
		features []*schema.Feature
		notes    int
	}{
		{"two ditches, 20 m off", turns, ditches(west(20, 50), north(20, 50)), 1},
		{"39.2 m off", turns, ditches(west(40.74, 50), north(20, 50)), 1},
		{"40.01 m off", turns, ditches(west(40.76, 50), north(20, 50)), 0},
		{"as long as the way", turns, ditches(west(20.75, 20.01), north(20, 50)), 1},
		{"a hair shorter", turns, ditches(west(20.75, 19.99), north(20, 50)), 0},
		{"a ditch and a stream", turns, []*schema.Feature{lawn, hazard("ditch", west(20, 50)), hazard("road", north(20, 50))}, 0},
		{"half as wide again", turns, []*schema.Feature{lawn, hazard("ditch", west(20, 50), "width_m", 2.0), hazard("ditch", north(20, 50), "width_m", 3.0)}, 1},
		{"wider than that", turns, []*schema.Feature{lawn, hazard("ditch", west(20, 50), "width_m", 2.0), hazard("ditch", north(20, 50), "width_m", 3.05)}, 0},
		{"60.1 degrees from one way", turns, []*schema.Feature{lawn, hazard("ditch", west(20, 50)), hazard("ditch", track(-20, 10+20*1.7388, 0.1-10, 10+10*1.7388))}, 0},
		{"from one side", turns, []*schema.Feature{lawn, hazard("ditch", west(20, 50)), hazard("ditch", track(-70, 20, -20, 20))}, 0},
		{"at two lawns", turns, []*schema.Feature{lawn, thing(schema.RoleZone, "Far lawn", box(90, 0, 120, 30)), hazard("ditch", west(20, 50)), hazard("ditch", track(100, 100, 100, 50))}, 0},
		{"one past the lawn", turns, ditches(west(20, 50), track(50, 100, 50, 50)), 0},
		{"a wall before one", turns, ditches(west(20, 50), north(20, 50), thing(schema.RoleEdge, "", track(-15, 0, -15, 20), "edge_kind", "wall")), 0},
		{"a pond before one", turns, ditches(west(20, 50), north(20, 50), hazard("pond", box(-15, 5, -10, 15))), 0},
		{"both ends of one ditch", turns, []*schema.Feature{lawn, hazard("ditch", track(-20, 10, -70, 10, -70, 100, 20, 100, 20, 50))}, 1},
		{"two streams of areas", turns, []*schema.Feature{lawn, hazard("stream", box(-60, 10, -16, 12)), hazard("stream", box(20, 46, 22, 90))}, 1},
		{"two roads", turns, []*schema.Feature{lawn, hazard("road", box(-80, 10, -31, 14)), hazard("road", box(20, 61, 24, 110))}, 1},
		{"two narrow lanes", turns, []*schema.Feature{lawn, hazard("road", west(22, 50), "width_m", 2.8), hazard("road", north(22, 50), "width_m", 2.8)}, 1},
		{"one behind the boundary", turns, []*schema.Feature{lawn, thing(schema.RoleBoundary, "", box(-15, -10, 60, 80)), hazard("road", west(22, 50), "width_m", 2.8), hazard("road", north(22, 50), "width_m", 2.8)}, 0},
		{"59.9 m off in line", runs, inLine(59.9, 60), 1},
		{"60.1 m off", runs, inLine(60.1, 70), 0},
		{"as long as the way, in line", runs, inLine(45, 45.01), 1},
		{"a hair shorter, in line", runs, inLine(45, 44.99), 0},
		{"29.9 m off, of any length", runs, inLine(29.9, 5), 1},
	} {
		notedIn(t, x.name, RuleHazardUncovered, x.words, x.notes, x.features...)
	}
	notedIn(t, "two drops", RuleEdgeSetback, turns, 1, lawn, drop(-70, 10, -20, 10), drop(20, 100, 20, 50))
	notedIn(t, "four kerbs", RuleEdgeSetback, street, 1, lawn, kerb(-70, 10, -20, 10), kerb(-70, 15, -20, 15), kerb(20, 100, 20, 50), kerb(25, 100, 25, 50))
	notedIn(t, "four kerbs 40.1 m off", RuleEdgeSetback, street, 0, lawn, kerb(-90, 10, -40.1, 10), kerb(-90, 15, -40.1, 15), kerb(20, 100, 20, 50), kerb(25, 100, 25, 50))
}

func TestDiscAlong(t *testing.T) {
	way := orb.LineString{{0, 0}, {10, 0}}
	for _, x := range []struct {
		centre orb.Point
		want   float64
	}{{orb.Point{5, 0}, 4.7}, {orb.Point{5, 0.3}, 5}, {orb.Point{5, -0.301}, math.Inf(1)}, {orb.Point{-0.01, 0}, math.Inf(1)}, {orb.Point{0.1, 0}, 0}} {
		if got := discAlong(way, x.centre, 0.3); !(got == x.want || math.Abs(got-x.want) <= 1e-6) {
			t.Errorf("%v: %g, want %g", x.centre, got, x.want)
		}
	}
}
