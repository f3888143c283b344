// Tests of roads, waters and streets that go on far behind driven ground, and of
// lines of roads that others show to be their middle.

package validate

import (
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// TestGoesOnBehind: a lawn from 0 to 40 and 0 to 30 m, and two things that face each
// other across it.
func TestGoesOnBehind(t *testing.T) {
	hazard := func(kind string, g geom.T, more ...any) *schema.Feature {
		return thing(schema.RoleHazard, "", g, append([]any{"hazard_kind", kind}, more...)...)
	}
	edge := func(kind string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, "", track(xy...), "edge_kind", kind)
	}
	// Each ends off metres before a lawn so long, the one behind it aside metres to the side.
	pair := func(kind string, off, long, aside float64, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, long, 60)), hazard(kind, track(-90, 10, -off, 10)), hazard(kind, track(long+90, 10+aside, long+off, 10+aside))}, more...)
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		notes    int
	}{
		{"15.01 m before it", pair("ditch", 15.01, 40, 0), 1},
		{"29.99 m before it", pair("ditch", 29.99, 40, 0), 1},
		{"44.99 m before it", pair("ditch", 44.99, 40, 0), 1},
		{"45.01 m before it, longer than one of them", pair("ditch", 45.01, 40, 0), 0},
		{"199.98 m apart", pair("river", 16, 167.98, 0), 1},
		{"200.02 m apart", pair("river", 16, 168.02, 0), 0},
		{"9.9 m aside, 50 m apart", pair("railway", 16, 18, 9.9), 1},
		{"10.1 m aside, 40 m apart", pair("railway", 16, 8, 10.1), 0},
		{"17.5 m aside, 100 m apart", pair("railway", 16, 68, 17.5), 1},
		{"17.7 m aside, 100 m apart", pair("railway", 16, 68, 17.7), 0},
		{"a road and a railway", []*schema.Feature{pair("road", 16, 40, 0)[0], pair("road", 16, 40, 0)[1], pair("railway", 16, 40, 0)[2]}, 0},
		{"a wall before the lawn", pair("ditch", 16, 40, 0, edge("wall", -3, 5, -3, 15)), 0},
		{"a wall beside", pair("ditch", 16, 40, 0, edge("wall", -3, 15, -3, 25)), 1},
		{"a house between", pair("railway", 16, 40, 0, thing(schema.RoleBuilding, "House", box(-8, 2, -4, 18))), 0},
		{"the boundary between", pair("road", 16, 40, 0, thing(schema.RoleBoundary, "", box(-5, -30, 45, 90))), 1},
		{"one that joins another of its kind", pair("road", 16, 40, 0, hazard("road", track(-16, -50, -16, 90))), 0},
		{"a culvert under the lawn", pair("ditch", 16, 40, 0, thing(schema.RoleOther, "Culvert", box(-1, 5, 41, 15), "driven_over", true)), 0},
		{"two ponds", pair("pond", 16, 40, 0), 0},
		{"nothing driven between", pair("ditch", 16, 40, 0)[1:], 0},
		{"in line with a drop behind", pair("drop", 16, 40, 0), 1},
	} {
		notedIn(t, x.name, RuleHazardUncovered, "goes on behind that", x.notes, x.features...)
	}
	drops := func(off float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 60)), edge("drop", -90, 10, -off, 10), edge("drop", 130, 10, 40+off, 10)}
	}
	notedIn(t, "drops 29.99 m before it", RuleEdgeSetback, "goes on behind that", 1, drops(29.99)...)
	notedIn(t, "drops 44.99 m before it", RuleEdgeSetback, "goes on behind that", 1, drops(44.99)...)
	notedIn(t, "drops 45.01 m before it", RuleEdgeSetback, "goes on behind that", 0, drops(45.01)...)
}

// TestEndsFarAhead: a lawn from 0 to 40 and 0 to 30 m, and one thing west of it.
func TestEndsFarAhead(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	hazard := func(kind string, g geom.T, more ...any) []*schema.Feature {
		return []*schema.Feature{lawn, thing(schema.RoleHazard, "", g, append([]any{"hazard_kind", kind}, more...)...)}
	}
	garden := thing(schema.RoleBoundary, "", box(-60, -30, 90, 60))
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		notes    int
	}{
		{"a road of 3 m, 29.99 m off", hazard("road", strip(-90, 10, -29.99, 10, 3)), 1},
		{"30.01 m off", hazard("road", strip(-90, 10, -30.01, 10, 3)), 0},
		{"of 2.99 m", hazard("road", strip(-90, 10, -16, 10, 2.99)), 0},
		{"a railway line", hazard("railway", track(-90, 10, -18, 10), "width_m", 3.0), 1},
		{"a river", hazard("river", strip(-90, 10, -16, 10, 3)), 0},
		{"past the corner of the lawn", hazard("road", strip(-90, -1.6, -16, -1.6, 3)), 0},
		{"twice as long as wide", hazard("road", strip(-26.01, 10, -16, 10, 5)), 1},
		{"not quite", hazard("road", strip(-25.99, 10, -16, 10, 5)), 0},
		{"at the boundary", append(hazard("road", strip(-90, 10, -16, 10, 3)), thing(schema.RoleBoundary, "", box(-10, -30, 90, 60))), 0},
		{"inside the boundary", append(hazard("road", strip(-90, 10, -16, 10, 3)), garden), 1},
		{"a railway right before the lawn, inside the boundary", append(hazard("railway", track(-90, 10, -2, 10), "width_m", 2.0), garden), 1},
		{"which ends at the boundary", append(hazard("railway", track(-90, 10, -10, 10)), thing(schema.RoleBoundary, "", box(-10.4, -30, 90, 60))), 0},
		{"a stream as an area twice as long as wide", hazard("stream", strip(-4.41, 10, -0.4, 10, 2)), 1},
		{"not quite", hazard("stream", strip(-4.39, 10, -0.4, 10, 2)), 0},
		{"an ornamental one", hazard("ornamental stream", strip(-4.41, 10, -0.4, 10, 2)), 0},
	} {
		notedIn(t, x.name, RuleHazardUncovered, "and points at it", x.notes, x.features...)
	}
}

// TestStreetsBehind: two kerbs on either side of a lawn from 0 to 40 m.
func TestStreetsBehind(t *testing.T) {
	kerb := func(xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, "", track(xy...), "edge_kind", "kerb")
	}
	both := func(off float64, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30)), kerb(-90, 10, -off, 10), kerb(-90, 16, -off, 16), kerb(90, 10, 40+off, 10), kerb(90, 16, 40+off, 16)}, more...)
	}
	garden := thing(schema.RoleBoundary, "", box(-5, -30, 45, 60))
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		notes    int
	}{
		{"15.01 m off", both(15.01), 1},
		{"29.99 m off", both(29.99), 1},
		{"30.01 m off", both(30.01), 0},
		{"outside the boundary", both(8, garden), 1},
		{"with nothing behind", both(8, garden)[:3], 0},
		{"with a street half as wide behind", []*schema.Feature{both(16)[0], kerb(-90, 10, -16, 10), kerb(-90, 24, -16, 24), kerb(90, 14, 56, 14), kerb(90, 19, 56, 19)}, 0},
		{"a wall between", both(20, thing(schema.RoleEdge, "", track(-3, 5, -3, 20), "edge_kind", "wall")), 0},
	} {
		notedIn(t, x.name, RuleEdgeSetback, "whether a street runs through", x.notes, x.features...)
	}
	inside := thing(schema.RoleBoundary, "", box(-60, -30, 99, 60))
	notedIn(t, "inside the boundary", RuleEdgeSetback, "whether a street goes on", 2, both(0.4, inside)...)
}

// TestMiddleOfRoads: a line of a road from y = -30 to 30 at x = 0, a lawn off metres
// east of it, and what goes on north of it.
func TestMiddleOfRoads(t *testing.T) {
	road := func(off float64, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{thing(schema.RoleZone, "Lawn", box(off, -30, off+20, 0)), thing(schema.RoleHazard, "", track(0, -30, 0, 30), "hazard_kind", "road")}, more...)
	}
	area := func(kind string, x float64) *schema.Feature {
		return thing(schema.RoleHazard, "", strip(x, 30, x, 80, 5), "hazard_kind", kind)
	}
	kerbs := func(west, east float64) []*schema.Feature {
		return []*schema.Feature{
			thing(schema.RoleEdge, "", track(west, 30, west, 60), "edge_kind", "kerb"),
			thing(schema.RoleEdge, "", track(east, 25, east, 60), "edge_kind", "kerb"),
		}
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		words    string
	}{
		{"the middle of an area, half of it and the margin off", road(2.79, area("road", 0)), "goes on in the middle"},
		{"farther", road(2.81, area("road", 0)), ""},
		{"0.99 m beside the middle", road(1, area("road", 0.99)), "goes on in the middle"},
		{"1.01 m beside the middle", road(1, area("road", 1.01)), ""},
		{"its side", road(1, area("road", 2.5)), ""},
		{"a car park", road(1, area("car park", 0)), ""},
		{"between kerbs, half of it off", road(2.49, kerbs(-2.5, 2.5)...), "lies in the middle"},
		{"a lawn behind the line of the kerb", road(2.51, kerbs(-2.5, 2.5)...), ""},
		{"kerbs of a path", road(1, kerbs(-1.49, 1.49)...), ""},
		{"kerbs of 3 m", road(1, kerbs(-1.5, 1.5)...), "lies in the middle"},
		{"one kerb", road(1, kerbs(-2.5, 2.5)[:1]...), ""},
		{"nearer to one", road(1, kerbs(-1.4, 3.6)...), ""},
	} {
		reason := Check(driftPlan(t, x.features...), schema.DefaultLimits()).Outcome(RuleHazardUncovered).Reason
		if got := strings.Contains(reason, "goes on in the middle") || strings.Contains(reason, "lies in the middle"); got != (x.words != "") || !strings.Contains(reason, x.words) {
			t.Errorf("%s: %q", x.name, reason)
		}
	}
}
