// Things of the role other that stand, and marks of dangers, beside driven ground.

package validate

import (
	"strings"
	"testing"

	"swardline/schema"
)

// told runs check on the features, in the order given and the other, and holds
// whether a finding of the rule has the words, and how grave it is.
func told(t *testing.T, name, rule, words string, want bool, features ...*schema.Feature) {
	t.Helper()
	turned := make([]*schema.Feature, len(features))
	for i, f := range features {
		turned[len(features)-1-i] = f
	}
	for _, list := range [][]*schema.Feature{features, turned} {
		r := Check(driftPlan(t, list...), schema.DefaultLimits())
		found := false
		for i := range r.Findings {
			found = found || r.Findings[i].Rule == rule && strings.Contains(r.Findings[i].Message, words)
		}
		if found != want {
			t.Errorf("%s: %v %v", name, r.Outcome(rule), only(r, rule))
		}
	}
}

func TestOtherBesideMown(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 20, 10))
	line := func(name string, off float64, pairs ...any) *schema.Feature {
		return thing(schema.RoleOther, name, track(0, -off, 20, -off), pairs...)
	}
	for _, x := range []struct {
		name string
		f    *schema.Feature
		told bool
	}{
		{"on the outline", line("Wall", 0), true},
		{"a hair nearer than the strip", line("Wall", 0.148), true},
		{"at the strip", line("Wall", 0.15), false},
		{"farther", line("Wall", 0.152), false},
		{"written as one", line("Gartenmauer", 0.1), true},
		{"a fence", line("Zaun Nord", 0.1), true},
		{"a hedge by its kind", line("Q7", 0.1, "kind", "hedge"), true},
		{"a bed", line("Flower bed", 0.1), false},
		{"a terrace", line("Terrace", 0.1), false},
		{"stones", line("Stepping stones", 0.1), false},
		{"a contour line", line("Contour wall", 0.1), false},
		{"of a name that says nothing", line("Q7", 0.1), false},
		{"that is driven over", line("Wall", 0.1, "driven_over", true), false},
		{"a house that touches", thing(schema.RoleOther, "Haus Nr. 5", box(5, -5, 9, 0)), true},
		{"a house 0.16 m off", thing(schema.RoleOther, "Haus Nr. 5", box(5, -5, 9, -0.16)), false},
		{"a wall 0.4 m wide", line("Wall", 0.34, "width_m", 0.4), true},
		{"a wall 0.4 m wide, farther", line("Wall", 0.36, "width_m", 0.4), false},
	} {
		x.f.Attributes.Set(schema.PropRole, schema.String("other"))
		told(t, x.name, RuleOtherInZone, "as if nothing stood there", x.told, lawn, x.f)
	}
	wall := line("Wall", 0.1, schema.PropRole, "other")
	told(t, "how near", RuleOtherInZone, "lies 0.10 m from mown ground", true, lawn, wall)
	label := func(pairs ...any) *schema.Feature {
		return thing(schema.RoleOther, "Wall", spot(5, -0.1), append(pairs, schema.PropRole, "other")...)
	}
	told(t, "a point", RuleOtherInZone, "as if nothing stood there", true, lawn, label())
	told(t, "a text of a drawing", RuleOtherInZone, "as if nothing stood there", false, lawn, label("entity", "TEXT"))
}

func TestOtherBesideWays(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", track(0, 0, 20, 0))
	pair := func(name string, far float64, pairs ...any) []*schema.Feature {
		return []*schema.Feature{way, thing(schema.RoleOther, name+" N", track(2, far, 18, far), pairs...), thing(schema.RoleOther, name+" S", track(2, -far, 18, -far), pairs...)}
	}
	told(t, "a hair narrower than a passage", RuleCorridorNarrow, "of free width", true, pair("Wall", 0.749)...)
	told(t, "as wide as a passage", RuleCorridorNarrow, "of free width", false, pair("Wall", 0.75)...)
	told(t, "nearer than the strip", RuleCorridorNarrow, "what stands needs", true, pair("Wall", 0.44)...)
	told(t, "at the strip", RuleCorridorNarrow, "what stands needs", false, pair("Wall", 0.45)...)
	told(t, "a point nearer than the strip", RuleCorridorNarrow, "what stands needs", true, way, thing(schema.RoleOther, "Bench", spot(5, 0.448)))
	told(t, "a point at the strip", RuleCorridorNarrow, "what stands needs", false, way, thing(schema.RoleOther, "Bench", spot(5, 0.45)))
	told(t, "two posts", RuleCorridorNarrow, "of free width", true, way, thing(schema.RoleOther, "Post", spot(5, 0.7)), thing(schema.RoleOther, "Post", spot(5, -0.7)))
	told(t, "beds", RuleCorridorNarrow, "of free width", false, pair("Flower bed", 0.5)...)
	told(t, "walls that are driven over", RuleCorridorNarrow, "of free width", false, pair("Wall", 0.5, "driven_over", true)...)
	told(t, "one of the role other, one an edge", RuleCorridorNarrow, "give it the role", true, way,
		thing(schema.RoleOther, "Hedge", track(2, 0.7, 18, 0.7)), thing(schema.RoleEdge, "Wall", track(2, -0.7, 18, -0.7), "edge_kind", "wall"))

	dock := thing(schema.RoleDock, "Dock", spot(0, 0, 0), "heading_deg", 0.0, "standoff_m", 2.0) // from the south
	beside := func(name string, off float64) *schema.Feature {
		return thing(schema.RoleOther, name, track(off, -1.2, off, 1))
	}
	told(t, "beside the way in", RuleDockPathBlocked, "has the role other", true, dock, beside("Mauer", 0.448))
	told(t, "half the machine beside the way in", RuleDockPathBlocked, "has the role other", true, dock, beside("Mauer", 0.3))
	told(t, "at the strip beside the way in", RuleDockPathBlocked, "has the role other", false, dock, beside("Mauer", 0.45))
	told(t, "a bed beside the way in", RuleDockPathBlocked, "has the role other", false, dock, beside("Beet", 0.4))
	told(t, "in the disc", RuleDockPathBlocked, "has the role other", true, dock, thing(schema.RoleOther, "Wall", track(-3, -2.748, 3, -2.748)))
	told(t, "past the disc", RuleDockPathBlocked, "has the role other", false, dock, thing(schema.RoleOther, "Wall", track(-3, -2.752, 3, -2.752)))
	post := func(off float64, more ...any) *schema.Feature {
		return thing(schema.RoleOther, "Wall", spot(off, -0.5), more...)
	}
	told(t, "a point in the way in", RuleDockPathBlocked, "lies in the way into it", true, dock, post(0.298))
	told(t, "a point beside it", RuleDockPathBlocked, "lies beside the way into it", true, dock, post(0.3))
	told(t, "a text in the way in", RuleDockPathBlocked, "lies in the way into it", false, dock, post(0.2, "entity", "TEXT"))
	told(t, "one that is driven over", RuleDockPathBlocked, "lies in the way into it", false, dock, post(0.2, "driven_over", true))
}

func TestMarksBeside(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 20, 10))
	way := thing(schema.RoleCorridor, "Way", track(0, -5, 20, -5))
	mark := func(name string, y float64) *schema.Feature { return thing(schema.RoleMark, name, spot(5, y, 0)) }
	for _, x := range []struct {
		name string
		f    *schema.Feature
		told bool
	}{
		{"a well", mark("Well 3", -0.298), true},
		{"a well at its margin", mark("Well 3", -0.3), false},
		{"the top of a bank", mark("Top of bank 1", -0.02), true},
		{"Böschungsoberkante", mark("Böschungsoberkante 2", -0.02), true},
		{"Hausecke", mark("Hausecke 2", -0.148), true},
		{"Hausecke at the strip", mark("Hausecke 2", -0.15), false},
		{"a kerb", mark("Kerb top 1", -0.1), true},
		{"a nail in a kerb", mark("Kerb nail 1", -0.1), false},
		{"a post that is the mark", mark("Post 3", -0.1), false},
		{"a survey post", mark("Survey post 3", -0.1), false},
		{"a power pole", mark("Power pole", -0.1), true},
		{"of a name that says nothing", mark("P3", -0.1), false},
		{"a well in the lawn, which is told elsewhere", mark("Well", 0.2), false},
		{"a kerb on the lawn, which is told nowhere else", mark("Kerb top 1", 0.2), true},
		{"a nail in a kerb on the lawn", mark("Kerb nail 1", 0.2), false},
		{"a well beside a corridor", mark("Well", -4.402), true},
		{"a well at its margin beside a corridor", mark("Well", -4.4), false},
	} {
		told(t, x.name, RuleOtherInZone, "its name says", x.told, lawn, way, x.f)
	}
}
