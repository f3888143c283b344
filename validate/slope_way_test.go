// Tests of heights of what lies on a way.

package validate

import (
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestHeightsOnWays(t *testing.T) {
	line := func(role schema.Role, flat []float64, pairs ...any) *schema.Feature {
		return thing(role, string(role), geom.NewLineStringFlat(geom.XYZ, flat), pairs...)
	}
	across := func(y, h float64) *schema.Feature { // a flush edge over the way at y
		return line(schema.RoleEdge, []float64{19, y, h, 21, y, h}, "edge_kind", "flush")
	}
	mark := func(x, y, h float64) *schema.Feature { return thing(schema.RoleMark, "M", spot(x, y, h)) }
	for _, x := range []struct {
		name  string
		on    *schema.Feature
		want  Outcome
		grave Severity
	}{
		{"even", across(33, 45), Passed, ""},
		{"a flush edge 0.149 m up", across(33, 45.149), Passed, ""},
		{"0.151 m up", across(33, 45.151), Unchecked, ""},
		{"0.299 m up", across(33, 45.299), Unchecked, ""},
		{"0.302 m up", across(33, 45.302), Failed, Error},
		{"0.302 m down", across(33, 44.698), Failed, Error},
		{"0.302 m up in the way into the dock", across(39, 45.302), Failed, Error},
		{"0.299 m up there", across(39, 45.299), Unchecked, ""},
		{"beyond the dock", across(41, 46), Passed, ""},
		{"along it, within the machine", line(schema.RoleEdge, []float64{20.29, 32, 46, 20.29, 34, 46}, "edge_kind", "flush"), Failed, Error},
		{"along it, beside the machine", line(schema.RoleEdge, []float64{20.31, 32, 46, 20.31, 34, 46}, "edge_kind", "flush"), Passed, ""},
		{"one past both its ends, 0.219 m up", line(schema.RoleEdge, []float64{19.8, 26, 45.219, 19.8, 60, 45.219}, "edge_kind", "flush"), Passed, ""},
		{"past both, 0.221 m", line(schema.RoleEdge, []float64{19.8, 26, 45.221, 19.8, 60, 45.221}, "edge_kind", "flush"), Unchecked, ""},
		{"past both, 0.371 m", line(schema.RoleEdge, []float64{19.8, 26, 45.371, 19.8, 60, 45.371}, "edge_kind", "flush"), Failed, Error},
		{"a line over it 0.299 m up", line(schema.RoleOther, []float64{10, 33, 45.299, 30, 33, 45.299}), Passed, ""},
		{"0.302 m up, a line", line(schema.RoleOther, []float64{10, 33, 45.302, 30, 33, 45.302}), Failed, Warning},
		{"a mark on it 0.299 m up", mark(20, 33, 45.299), Passed, ""},
		{"0.302 m up, a mark", mark(20, 33, 45.302), Failed, Warning},
		{"a mark in the way into the dock", mark(20, 39, 45.5), Failed, Warning},
		{"a mark beside it", mark(20.31, 33, 47), Passed, ""},
		{"a mark by the slant, within the machine", mark(22.2, 28.2, 47), Failed, Warning}, // 0.28 m off
		{"a mark by the slant, beside the machine", mark(22.22, 28.22, 47), Passed, ""},    // 0.31 m off
	} {
		p := driftPlan(t,
			thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 45, 40, 0, 45, 40, 25, 45, 0, 25, 45, 0, 0, 45}, []int{15})),
			line(schema.RoleCorridor, []float64{24, 24, 45, 24, 26, 45, 20, 30, 45, 20, 38, 45}),
			thing(schema.RoleDock, "Dock", spot(20, 40, 45), "heading_deg", 0.0, "standoff_m", 2.0), x.on)
		r := Check(p, schema.DefaultLimits())
		got := only(r, RuleSlopeLimit)
		if o := r.Outcome(RuleSlopeLimit); o.Outcome != x.want || len(got) > 2 || x.want == Failed && got[0].Severity != x.grave {
			t.Errorf("%s: %s %s %v", x.name, o.Outcome, o.Reason, got)
		}
	}
}
