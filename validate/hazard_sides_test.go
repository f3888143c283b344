// Tests of lines that may be two sides of one thing, of drops that run round a pit,
// and of roads and waters of one line.

package validate

import (
	"strings"
	"testing"

	"swardline/schema"
)

// toldIn runs check on the features, in the order given and the other, and holds
// whether one of the reasons of the rule has the words.
func toldIn(t *testing.T, name, rule, words string, want bool, features ...*schema.Feature) {
	t.Helper()
	turned := make([]*schema.Feature, len(features))
	for i, f := range features {
		turned[len(features)-1-i] = f
	}
	for _, list := range [][]*schema.Feature{features, turned} {
		r := Check(driftPlan(t, list...), schema.DefaultLimits())
		if got := r.Outcome(rule); strings.Contains(got.Reason, words) != want {
			t.Errorf("%s: %v %s %v", name, got.Outcome, got.Reason, only(r, rule))
		}
	}
}

func TestSides(t *testing.T) {
	hazard := func(kind, name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleHazard, name, track(xy...), "hazard_kind", kind)
	}
	way := thing(schema.RoleCorridor, "Way", track(0, 0, 20, 0))
	lawn := thing(schema.RoleZone, "Lawn", box(0, -5, 40, 5))
	pair := func(kind, a, b string, far float64) []*schema.Feature {
		return []*schema.Feature{hazard(kind, a, 0, far, 20, far), hazard(kind, b, 0, -far, 20, -far)}
	}
	thin := func(list []*schema.Feature, wide float64) []*schema.Feature {
		for _, f := range list {
			f.Attributes.Set("width_m", schema.Float(wide))
		}
		return list
	}
	for _, x := range []struct {
		name     string
		driven   *schema.Feature
		features []*schema.Feature
		open     bool
	}{
		{"rails", way, pair("railway", "Rail 1", "Rail 2", 1.5), true},
		{"edges of a road", way, pair("road", "Road edge north", "Road edge south", 1.4), true},
		{"Straßenrand links, rechts", way, pair("straße", "Rand links", "Rand rechts", 1.4), true},
		{"banks of a ditch", way, pair("ditch", "Ditch bank left", "Ditch bank right", 1.4), true},
		{"rails 0.1 m wide", way, thin(pair("railway", "Rail 1", "Rail 2", 1.5), 0.1), true},
		{"rails 0.5 m wide", way, thin(pair("railway", "Rail 1", "Rail 2", 1.5), 0.5), true},
		{"tracks 0.51 m wide", way, thin(pair("railway", "Rail 1", "Rail 2", 1.5), 0.51), false},
		{"ditches 0.3 m wide", way, thin(pair("ditch", "", "", 1.5), 0.3), false},
		{"of other names", way, pair("ditch", "Mill ditch", "Church ditch", 1.4), true},
		{"of other names, 15 m apart", way, pair("road", "Carriageway edge A7", "Kerb at the school", 7.5), true},
		{"of other names, 15.01 m apart", way, pair("road", "Carriageway edge A7", "Kerb at the school", 7.505), false},
		{"one of no name, 15 m apart", way, pair("ditch", "Mill ditch", "", 7.5), true},
		{"of two roads, 8 m apart", way, pair("road", "Mill Lane edge", "High Street edge", 4), true},
		{"of two roads, 8.01 m apart", way, pair("road", "Mill Lane edge", "High Street edge", 4.005), false},
		{"of two ditches, 8.01 m apart", way, pair("ditch", "Mill ditch", "Church ditch", 4.005), false},
		{"a road and a ditch", way, []*schema.Feature{hazard("road", "", 0, 3, 20, 3), hazard("ditch", "", 0, -3, 20, -3)}, false},
		{"of no name", way, pair("ditch", "", "", 1.4), true},
		{"hedges", way, pair("hedge", "", "", 1.4), false},
		{"25 m apart", way, pair("ditch", "", "", 12.5), true},
		{"25.01 m apart", way, pair("ditch", "", "", 12.505), false},
		{"shores of other names, 25 m apart", lawn, pair("river", "Mill bank", "Meadow shore", 12.5), true},
		{"shores of other names, 25.01 m apart", lawn, pair("river", "Mill bank", "Meadow shore", 12.505), false},
		{"shores 60 m apart", lawn, pair("river", "Shoreline 1", "Shoreline 2", 30), true},
		{"banks 60 m apart", lawn, pair("river", "Bank left", "Bank right", 30), true},
		{"banks 60.01 m apart", lawn, pair("river", "Bank left", "Bank right", 30.005), false},
		{"rivers 20 m apart", lawn, pair("river", "", "", 10), true},
		{"edges of the streets at either end of a park", lawn, pair("road", "Road edge west", "Road edge east", 12.505), false},
		{"edges of a road about a lawn", lawn, pair("road", "Road edge 1", "Road edge 2", 5.35), true},
		{"of two roads", lawn, pair("road", "Mill Lane edge", "High Street edge", 5.35), false},
		{"a corridor across", thing(schema.RoleCorridor, "Way", track(10, -9, 10, 9)), pair("road", "Road edge 1", "Road edge 2", 1.4), false},
		{"with a width", way, []*schema.Feature{thing(schema.RoleHazard, "", track(0, 3, 20, 3), "hazard_kind", "ditch", "width_m", 1.0), thing(schema.RoleHazard, "", track(0, -3, 20, -3), "hazard_kind", "ditch", "width_m", 1.0)}, false},
		{"beside one another for 2.01 m", way, []*schema.Feature{hazard("ditch", "", -10, 3, 4, 3), hazard("ditch", "", 1.99, -3, 6, -3)}, true},
		{"for 1.99 m", way, []*schema.Feature{hazard("ditch", "", -10, 3, 4, 3), hazard("ditch", "", 2.01, -3, 5.9, -3)}, false},
		{"29 degrees apart", way, []*schema.Feature{hazard("ditch", "", 0, 2, 20, 2), hazard("ditch", "", 0, -2, 14, -9.76)}, true},
		{"31 degrees apart", way, []*schema.Feature{hazard("ditch", "", 0, 2, 20, 2), hazard("ditch", "", 0, -2, 14, -10.41)}, false},
	} {
		toldIn(t, x.name, RuleHazardUncovered, "two sides of one thing", x.open, append([]*schema.Feature{x.driven}, x.features...)...)
	}
}

func TestEdgeSides(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 40))
	edge := func(kind, name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", kind)
	}
	cover := func(x float64) *schema.Feature { return thing(schema.RoleKeepout, "", box(x-0.4, 5, x+0.4, 35)) }
	pair := func(kind string, a, b string, far float64) []*schema.Feature {
		return []*schema.Feature{lawn, edge(kind, a, 20, 5.5, 20, 34.5), edge(kind, b, 20+far, 34.5, 20+far, 5.5), cover(20), cover(20 + far)}
	}
	long := func(deep float64) []*schema.Feature {
		return []*schema.Feature{lawn, edge("kerb", "", 20, -35, 20, deep), edge("kerb", "", 24, -35, 24, deep), thing(schema.RoleKeepout, "", box(19.6, 0, 20.4, deep+0.4)), thing(schema.RoleKeepout, "", box(23.6, 0, 24.4, deep+0.4))}
	}
	wide := func(far float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 60, 40)), edge("drop", "", 20, 5.5, 20, 34.5), edge("drop", "", 20+far, 5.5, 20+far, 34.5), cover(20), cover(20 + far)}
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		open     bool
	}{
		{"drops", pair("drop", "", "", 3), true},
		{"kerbs", pair("kerb", "Kerb west", "Kerb east", 5), true},
		{"walls", pair("wall", "", "", 3), false},
		{"fences", pair("fence", "", "", 3), false},
		{"17 m apart", pair("drop", "", "", 17), true},
		{"25 m apart", wide(25), true},
		{"25.01 m apart", wide(25.01), false},
		{"drops of other names", pair("drop", "Mill bank", "Church bank", 3), true},
		{"drops of other names, 15 m apart", pair("drop", "Mill bank", "Meadow side", 15), true},
		{"drops of other names, 15.01 m apart", pair("drop", "Mill bank", "Meadow side", 15.01), false},
		{"one of no name", pair("drop", "", "Meadow side", 12), true},
		{"kerbs of other names", pair("kerb", "School kerb", "Edging", 9), true},
		{"a terrace and a bank", pair("drop", "Orchard terrace", "Mill bank", 9), true},
		{"drops of other names with a ramp", append(pair("drop", "Mill bank", "Church bank", 3), edge("ramp", "", 19.5, 10, 21, 10)), false},
		{"longer kerbs, 5.01 m in the lawn", long(5.01), true},
		{"longer kerbs, 4.99 m in the lawn", long(4.99), false},
		{"a drop and a kerb", []*schema.Feature{lawn, edge("drop", "", 20, 5.5, 20, 34.5), edge("kerb", "", 23, 34.5, 23, 5.5), cover(20), cover(23)}, false},
		{"upper and lower terrace", pair("drop", "Orchard terrace", "Rose terrace", 3), false},
		{"with a ramp", append(pair("drop", "", "", 3), edge("ramp", "", 19.5, 10, 21, 10)), false},
		{"a keep-out between", append(pair("drop", "", "", 3), thing(schema.RoleKeepout, "", box(20, 5, 23, 35))), false},
		{"at the sides of the lawn", []*schema.Feature{thing(schema.RoleZone, "Strip", box(20.4, 0, 24.6, 40)), edge("kerb", "", 20, 0, 20, 40), edge("kerb", "", 25, 0, 25, 40)}, false},
	} {
		toldIn(t, x.name, RuleEdgeSetback, "run side by side", x.open, x.features...)
	}
}

func TestEdgeRings(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 40))
	ring := func(kind, name string, to float64) *schema.Feature {
		return thing(schema.RoleEdge, name, arc(20, 20, 5, 0, to), "edge_kind", kind)
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		open     bool
	}{
		{"a drop", []*schema.Feature{lawn, ring("drop", "", 320)}, true},
		// The mouth is half as wide as the line is long at 217.2 degrees of arc.
		{"a drop of 217.6 degrees", []*schema.Feature{lawn, ring("drop", "", 217.6)}, true},
		{"a drop of 216.8 degrees", []*schema.Feature{lawn, ring("drop", "", 216.8)}, false},
		{"the rim of a basin", []*schema.Feature{lawn, ring("kerb", "Basin rim", 320)}, true},
		{"Teichrand", []*schema.Feature{lawn, ring("kerb", "Teich Rand", 320)}, true},
		{"a kerb", []*schema.Feature{lawn, ring("kerb", "Kerb", 320)}, false},
		{"a fence", []*schema.Feature{lawn, ring("fence", "", 320)}, false},
		{"a ramp in the mouth", []*schema.Feature{lawn, ring("drop", "", 320), thing(schema.RoleEdge, "", track(16.8, 23.8, 20, 25), "edge_kind", "ramp")}, false},
		{"a keep-out inside", []*schema.Feature{lawn, ring("drop", "", 320), thing(schema.RoleKeepout, "", disc(20, 20, 5.4, 72))}, false},
		{"round the whole lawn", []*schema.Feature{thing(schema.RoleZone, "Lawn", disc(20, 20, 4.6, 72)), ring("drop", "", 320)}, false},
	} {
		toldIn(t, x.name, RuleEdgeSetback, "whether that part is a pit", x.open, x.features...)
	}
}

func TestLinesOfRoadsAndWaters(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	line := func(kind, name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleHazard, name, track(xy...), "hazard_kind", kind)
	}
	const beside, through = "says nothing of how wide it is, and zone", "is one line through"
	for _, x := range []struct {
		name, words string
		features    []*schema.Feature
		open        bool
	}{
		{"a railway 1.79 m off", beside, []*schema.Feature{line("railway", "", 0, -1.79, 40, -1.79)}, true},
		{"a railway 1.81 m off", beside, []*schema.Feature{line("railway", "", 0, -1.81, 40, -1.81)}, false},
		{"a river 0.79 m off", beside, []*schema.Feature{line("Fluss", "", 0, -0.79, 40, -0.79)}, true},
		{"a river 0.81 m off", beside, []*schema.Feature{line("Fluss", "", 0, -0.81, 40, -0.81)}, false},
		{"the bank of a river", beside, []*schema.Feature{line("river", "Bank", 0, -0.4, 40, -0.4)}, false},
		{"a road 0.31 m off", beside, []*schema.Feature{line("road", "", 0, -0.31, 40, -0.31)}, false},
		{"a road of 1.51 m", through, []*schema.Feature{line("road", "", 10, 5, 11.51, 5)}, true},
		{"a road of 1.49 m", through, []*schema.Feature{line("road", "", 10, 5, 11.49, 5)}, false},
		{"in two pieces", through, []*schema.Feature{line("road", "", 10, 5, 11.4, 5), line("road", "", 11.4, 5, 12.8, 5)}, true},
		{"pieces 1.49 m apart", through, []*schema.Feature{line("road", "", 10, 5, 11.4, 5), line("road", "", 12.89, 5, 14, 5)}, true},
		{"pieces 1.51 m apart", through, []*schema.Feature{line("road", "", 10, 5, 11.4, 5), line("road", "", 12.91, 5, 14, 5)}, false},
		{"pieces of two kinds", through, []*schema.Feature{line("road", "", 10, 5, 11.4, 5), line("stream", "", 11.4, 5, 12.8, 5)}, false},
	} {
		toldIn(t, x.name, RuleHazardUncovered, x.words, x.open, append([]*schema.Feature{lawn}, x.features...)...)
	}
}

// TestLinesBetweenLawns: one line of a road or a water, with two lawns or the ground
// about a keep-out close to it on both sides.
func TestLinesBetweenLawns(t *testing.T) {
	between := func(kind, name string, far float64, more ...any) []*schema.Feature {
		return []*schema.Feature{
			thing(schema.RoleZone, "A", box(0, 0, 20, 20)), thing(schema.RoleZone, "B", box(20+2*far, 0, 40+2*far, 20)),
			thing(schema.RoleHazard, name, track(20+far, -5, 20+far, 25), append([]any{"hazard_kind", kind}, more...)...),
		}
	}
	beside := func(far float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 20)), thing(schema.RoleHazard, "Road edge", track(-0.5, 0, -0.5, 20), "hazard_kind", "road"), thing(schema.RoleCorridor, "Way", track(-0.5-far, 0, -0.5-far, 20))}
	}
	inside := func(kind, name string, y float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 20)), thing(schema.RoleKeepout, "", box(19.6, 1, 20.4, 19)),
			thing(schema.RoleHazard, name, track(20, 1.4, 20, y), "hazard_kind", kind)}
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		open     bool
	}{
		{"a street in a slit of 0.65 m", between("street", "", 0.325), true},
		{"a street in a slit of 0.8 m", between("street", "", 0.4), true},
		{"which says 0.05 m", between("street", "", 0.4, "width_m", 0.05), true},
		{"which says 0.5 m", between("street", "", 0.6, "width_m", 0.5), true},
		{"which says 0.51 m", between("street", "", 0.6, "width_m", 0.51), false},
		{"a slit of 2.99 m", between("road", "", 1.495), true},
		{"a slit of 3.01 m", between("road", "", 1.505), false},
		{"a brook", between("brook", "", 1), true},
		{"a brook of a width", between("brook", "", 1, "width_m", 0.3), false},
		{"a hedge", between("hedge", "", 1), false},
		{"a ledge", between("ledge", "", 1), false},
		{"the edge of a road in a lawn", inside("road", "Road edge", 18.6), true},
		{"of 1.49 m", inside("road", "Road edge", 2.89), false},
		{"of 1.51 m", inside("road", "Road edge", 2.91), true},
		{"two strips of 0.8 m", []*schema.Feature{thing(schema.RoleZone, "A", box(0, 0, 0.8, 20)), thing(schema.RoleZone, "B", box(1.6, 0, 2.4, 20)), thing(schema.RoleHazard, "", track(1.2, 0, 1.2, 20), "hazard_kind", "road")}, true},
		{"a lawn and a way 1.49 m off", beside(1.79), true},
		{"a lawn and a way 1.51 m off", beside(1.81), false},
		{"a way across", append(beside(5), thing(schema.RoleCorridor, "Over", track(-5, 10, 5, 10))), false},
		{"along the outline of a lawn", []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 20)), thing(schema.RoleHazard, "Road edge", track(-0.4, -5, -0.4, 25), "hazard_kind", "road")}, false},
	} {
		toldIn(t, x.name, RuleHazardUncovered, "driven close to it on both sides", x.open, x.features...)
	}
}

// TestLinesOfBanks: one line of a bank may be its top or its foot, which lies farther out.
func TestLinesOfBanks(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	line := func(kind, name string, off float64) *schema.Feature {
		return thing(schema.RoleHazard, name, track(-off, -5, -off, 30), "hazard_kind", kind)
	}
	for _, x := range []struct {
		name   string
		hazard *schema.Feature
		want   Outcome
	}{
		{"a hair less than its margin and 1 m", line("bank", "", 1.298), Unchecked},
		{"a hair more", line("bank", "", 1.301), Passed},
		{"an embankment", line("embankment", "", 1.2), Unchecked},
		{"a word written as one", line("Terrassenböschung", "", 1.2), Unchecked},
		{"its top edge", line("bank", "Böschungskante", 0.31), Passed},
		{"its foot", line("bank", "Böschungsunterkante", 1.2), Unchecked},
		{"the bank of a river", line("river", "Bank", 0.31), Passed},
		{"as wide as it says", thing(schema.RoleHazard, "", track(-1.2, -5, -1.2, 30), "hazard_kind", "bank", "width_m", 1.7), Passed},
		{"a ledge", line("ledge", "", 0.31), Passed},
	} {
		if o := Check(driftPlan(t, lawn, x.hazard), schema.DefaultLimits()).Outcome(RuleHazardUncovered); o.Outcome != x.want {
			t.Errorf("%s: %s (%s)", x.name, o.Outcome, o.Reason)
		}
	}
}
