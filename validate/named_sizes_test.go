// What a name alone says of how large a thing is, whether it hides sky, and whether a
// stream ends at it.

package validate

import (
	"math"
	"strings"
	"testing"

	"swardline/schema"
)

func TestLargeForName(t *testing.T) {
	const says = "none such is larger than"
	long := func(diagonal float64) float64 { return diagonal / math.Sqrt2 }
	at := func(role schema.Role, name string, diagonal float64, pairs ...any) *schema.Feature {
		return thing(role, name, box(0, 30, long(diagonal), 30+long(diagonal)), pairs...)
	}
	for _, x := range []struct {
		name string
		told bool
		f    *schema.Feature
	}{
		{"a lamp", false, at(schema.RoleHazard, "Lamp", 5.99, "hazard_kind", "lamp")},
		{"a larger lamp", true, at(schema.RoleHazard, "Lamp", 6.01, "hazard_kind", "lamp")},
		{"a keep-out", true, at(schema.RoleKeepout, "Old bench 2", 12.01)},
		{"what is only drawn", true, at(schema.RoleOther, "Gartenbank", 12.01)},
		{"a sign", true, at(schema.RoleOther, "Sign", 3.01)},
		{"a shrub", true, at(schema.RoleKeepout, "Strauch", 20.01)},
		{"a shed", true, at(schema.RoleBuilding, "Shed", 30.01, "height_m", 3.0)},
		{"an oak", true, at(schema.RoleKeepout, "Oak", 50.01)},
		{"a smaller oak", false, at(schema.RoleKeepout, "Oak", 49.99)},
		{"shrubs", false, at(schema.RoleKeepout, "Shrubs", 40)},
		{"a bed by a lamp", false, at(schema.RoleKeepout, "Bed by the lamp", 40)},
		{"a lamp and a bench", false, at(schema.RoleKeepout, "Lamp bench", 40)},
		{"an office", false, at(schema.RoleBuilding, "Post", 40, "height_m", 5.0)},
		{"a disc", true, thing(schema.RoleHazard, "Lamp", spot(5, 30), "hazard_kind", "lamp", "radius_m", 3.01)},
		{"a smaller disc", false, thing(schema.RoleHazard, "Lamp", spot(5, 30), "hazard_kind", "lamp", "radius_m", 2.99)},
	} {
		told(t, x.name, RuleGeometryUnfit, says, x.told, x.f)
	}
}

func TestSmallForNameOfOthers(t *testing.T) {
	const says = "none such is smaller than"
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 20, 10))
	for _, x := range []struct {
		name      string
		told      bool
		off, wide float64
	}{{"beside a lawn", true, 1, 1.99}, {"as large as one", false, 1, 2.01}, {"as near as is asked", true, 9.99, 1}, {"farther off", false, 10.01, 1}} {
		told(t, x.name, RuleGeometryUnfit, says, x.told, lawn, thing(schema.RoleOther, "House", box(5, 10+x.off, 5+x.wide, 10+x.off+x.wide)))
	}
	told(t, "driven over", RuleGeometryUnfit, says, false, lawn, thing(schema.RoleOther, "Orchard", box(5, 5, 6, 6), "driven_over", true))
	told(t, "a hill", RuleGeometryUnfit, says, true, lawn, thing(schema.RoleKeepout, "Hill", box(5, 5, 6, 6)))
}

func TestMayHideByName(t *testing.T) {
	dock := thing(schema.RoleDock, "Dock", spot(0, 0), "heading_deg", 0.0)
	for _, x := range []struct {
		name string
		want bool
		list []*schema.Feature
	}{
		{"a point", true, []*schema.Feature{thing(schema.RoleOther, "Spruce", spot(7.46, 0), "role", "other")}},
		{"a point farther off", false, []*schema.Feature{thing(schema.RoleOther, "Spruce", spot(7.47, 0), "role", "other")}},
		{"a line", true, []*schema.Feature{thing(schema.RoleOther, "Barn", track(7.4, 0, 7.4, 10), "role", "other")}},
		{"an outline", true, []*schema.Feature{thing(schema.RoleOther, "Villa", box(37, -3, 45, 3), "role", "other")}},
		{"in another language", true, []*schema.Feature{thing(schema.RoleOther, "Fichte", box(5, -1, 7, 1), "role", "other")}},
		{"a keep-out", true, []*schema.Feature{thing(schema.RoleKeepout, "Barn", box(7.4, -3, 15, 3))}},
		{"a keep-out farther off", false, []*schema.Feature{thing(schema.RoleKeepout, "Barn", box(7.6, -3, 15, 3))}},
		{"a keep-out with what stands there", false, []*schema.Feature{thing(schema.RoleKeepout, "Barn", box(7.4, -3, 15, 3)), thing(schema.RoleBuilding, "Barn", box(8, -2, 14, 2), "height_m", 1.6)}},
		{"the label of a building", false, []*schema.Feature{thing(schema.RoleOther, "Barn", spot(7.4, 0), "role", "other"), thing(schema.RoleBuilding, "Hut", box(7.2, -2, 14, 2), "height_m", 1.6)}},
		{"a bed", false, []*schema.Feature{thing(schema.RoleKeepout, "Rose bed", box(5, -3, 15, 3))}},
		{"a stump", false, []*schema.Feature{thing(schema.RoleKeepout, "Oak stump", box(5, -3, 15, 3))}},
	} {
		r := Check(driftPlan(t, append([]*schema.Feature{dock}, x.list...)...), schema.DefaultLimits())
		if got := strings.Contains(r.Outcome(RuleSkyBlocked).Reason, x.list[0].Name); got != x.want {
			t.Errorf("%s: %v", x.name, r.Outcome(RuleSkyBlocked))
		}
	}
}

func TestSmallThingsAtTheEndOfAStream(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	stream := thing(schema.RoleHazard, "Stream", track(15, -40, 15, -2), "hazard_kind", "stream", "width_m", 1.2)
	at := func(name string, wide float64) *schema.Feature {
		return thing(schema.RoleOther, name, box(15-wide/2, -1.9, 15+wide/2, -1.2))
	}
	notedIn(t, "nothing", RuleHazardUncovered, "whether it goes on there", 1, lawn, stream)
	notedIn(t, "a stone", RuleHazardUncovered, "whether it goes on there", 1, lawn, stream, at("Stone", 0.8))
	notedIn(t, "a slab a hair shorter than 2 m", RuleHazardUncovered, "whether it goes on there", 1, lawn, stream, at("Slab", 1.99))
	notedIn(t, "a slab of 2 m", RuleHazardUncovered, "whether it goes on there", 0, lawn, stream, at("Slab", 2.01))
	notedIn(t, "a culvert", RuleHazardUncovered, "whether it goes on there", 0, lawn, stream, at("Culvert", 0.8))
	notedIn(t, "a pond", RuleHazardUncovered, "whether it goes on there", 0, lawn, stream, at("Pond", 0.8))
	notedIn(t, "a headwall", RuleHazardUncovered, "whether it goes on there", 0, lawn, stream, at("Wall", 0.8))
}
