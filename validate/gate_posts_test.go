// Gates that stand by themselves.

package validate

import (
	"strings"
	"testing"

	"swardline/schema"
)

func TestFreePosts(t *testing.T) {
	l := schema.DefaultLimits()
	half, passage := l.MachineWidthM/2, passageOf(&l)
	way := thing(schema.RoleCorridor, "Way", track(-10, 0, 20, 0))
	gate := func(from, to float64) *schema.Feature {
		return thing(schema.RoleEdge, "Gate", track(5, from, 5, to), "edge_kind", "gate")
	}
	wall := func(x, from, to float64) *schema.Feature {
		return thing(schema.RoleEdge, "Wall", track(x, from, x, to), "edge_kind", "wall")
	}
	said := func(f *schema.Feature, wide float64) *schema.Feature {
		f.Attributes.Set(schema.PropWidth, schema.Float(wide))
		return f
	}
	const post, width = `passes`, "of free width"
	for _, x := range []struct {
		name, says string
		told       bool
		list       []*schema.Feature
	}{
		{"a post beside the machine", post, true, []*schema.Feature{gate(-half+0.01, 3)}},
		{"a post at half its width", post, false, []*schema.Feature{gate(-half, 3)}},
		{"a narrow gate", width, true, []*schema.Feature{gate(-passage/2+0.01, passage/2)}},
		{"one as wide as a passage", width, false, []*schema.Feature{gate(-passage/2, passage/2)}},
		{"one that says it is narrow", width, true, []*schema.Feature{said(gate(-1, 1), passage-0.01)}},
		{"one that says it is wide enough", width, false, []*schema.Feature{said(gate(-1, 1), passage)}},
		{"along the way", "passes 0.000 m", true, []*schema.Feature{thing(schema.RoleEdge, "Gate", track(3, 0, 7, 0), "edge_kind", "gate")}},
		{"between walls", post, false, []*schema.Feature{gate(-1, 1), wall(5, -20, -1), wall(5, 1, 20)}},
		{"a fence at one end alone", post, true, []*schema.Feature{gate(-half+0.01, 3), wall(5, 3, 20)}},
	} {
		told := false
		for _, f := range Check(driftPlan(t, append([]*schema.Feature{way}, x.list...)...), l).Findings {
			told = told || f.Rule == RuleCorridorNarrow && strings.Contains(f.Message, x.says) && strings.Contains(f.Message, "Gate")
		}
		if told != x.told {
			t.Errorf("%s: told %v", x.name, told)
		}
	}
}
