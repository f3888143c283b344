// The sides of ramps under corridors.

package validate

import (
	"strings"
	"testing"

	"swardline/schema"
)

func TestRampSides(t *testing.T) {
	l := schema.DefaultLimits()
	half, rise := l.MachineWidthM/2, l.StepMaxM+0.01
	way := thing(schema.RoleCorridor, "Way", track(-10, 0, 20, 0))
	ramp := func(rise, wide float64, xy ...float64) *schema.Feature {
		f := thing(schema.RoleEdge, "Ramp", track(xy...), "edge_kind", "ramp", "rise_m", rise)
		if wide > 0 {
			f.Attributes.Set("width_m", schema.Float(wide))
		}
		return f
	}
	kerb := thing(schema.RoleEdge, "Kerb", track(5, -20, 5, -half+0.01), "edge_kind", "kerb")
	for _, x := range []struct {
		name, says string
		told       bool
		list       []*schema.Feature
	}{
		{"an open end under the machine", "passes", true, []*schema.Feature{ramp(rise, 0, 5, -half+0.01, 5, 3)}},
		{"beside it", "passes", false, []*schema.Feature{ramp(rise, 0, 5, -half-0.001, 5, 3)}},
		{"no higher than a step", "passes", false, []*schema.Feature{ramp(l.StepMaxM, 0, 5, -half+0.01, 5, 3)}},
		{"along, too narrow", "goes up", true, []*schema.Feature{ramp(rise, l.MachineWidthM-0.01, 3, 0, 7, 0)}},
		{"along, as wide as the machine", "goes up", false, []*schema.Feature{ramp(rise, l.MachineWidthM, 3, 0, 7, 0)}},
		{"far from the way", "goes up", false, []*schema.Feature{ramp(rise, 0.2, 3, 5, 7, 5)}},
		{"a kerb at its end", `beside edge "Ramp"`, false, []*schema.Feature{ramp(rise, 0, 5, -half+0.01, 5, 3), kerb}},
	} {
		told := false
		for _, f := range Check(driftPlan(t, append([]*schema.Feature{way}, x.list...)...), l).Findings {
			told = told || f.Rule == RuleCorridorNarrow && strings.Contains(f.Message, x.says)
		}
		if told != x.told {
			t.Errorf("%s: told %v", x.name, told)
		}
	}
}
