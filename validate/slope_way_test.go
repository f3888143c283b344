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
		{"beyond the dock", across(41, 45.1), Passed, ""},
		{"a bank beyond the dock", across(41, 46), Unchecked, ""},
		{"along it, within the machine", line(schema.RoleEdge, []float64{20.29, 32, 46, 20.29, 34, 46}, "edge_kind", "flush"), Failed, Error},
		{"along it, beside the machine", line(schema.RoleEdge, []float64{20.31, 32, 46, 20.31, 34, 46}, "edge_kind", "flush"), Unchecked, ""},
		{"along it, a slope beside the machine", line(schema.RoleEdge, []float64{20.31, 32, 45.257, 20.31, 34, 45.257}, "edge_kind", "flush"), Passed, ""},
		{"one past both its ends and the dock, 0.059 m up", line(schema.RoleEdge, []float64{19.8, 26, 45.059, 19.8, 60, 45.059}, "edge_kind", "flush"), Passed, ""},
		{"0.061 m up", line(schema.RoleEdge, []float64{19.8, 26, 45.061, 19.8, 60, 45.061}, "edge_kind", "flush"), Unchecked, ""},
		{"past both, 0.221 m", line(schema.RoleEdge, []float64{19.8, 26, 45.221, 19.8, 60, 45.221}, "edge_kind", "flush"), Unchecked, ""},
		{"past both, 0.371 m", line(schema.RoleEdge, []float64{19.8, 26, 45.371, 19.8, 60, 45.371}, "edge_kind", "flush"), Failed, Error},
		{"a line over it 0.299 m up", line(schema.RoleOther, []float64{10, 33, 45.299, 30, 33, 45.299}), Passed, ""},
		{"a line over it 0.299 m up, its points near", line(schema.RoleOther, []float64{19, 33, 45.299, 21, 33, 45.299}), Unchecked, ""},
		{"0.302 m up, a line", line(schema.RoleOther, []float64{10, 33, 45.302, 30, 33, 45.302}), Failed, Warning},
		{"a mark on it 0.224 m up, 3 m from a point of it", mark(20, 33, 45.224), Passed, ""},
		{"0.226 m up, a mark", mark(20, 33, 45.226), Unchecked, ""},
		{"0.299 m up, a mark", mark(20, 33, 45.299), Unchecked, ""},
		{"0.302 m up, a mark", mark(20, 33, 45.302), Failed, Warning},
		{"a mark in the way into the dock", mark(20, 39, 45.5), Failed, Warning},
		{"a mark beside it", mark(20.31, 33, 47), Unchecked, ""},
		{"a mark by the slant, within the machine", mark(22.2, 28.2, 47), Failed, Warning}, // 0.28 m off
		{"a mark by the slant, beside the machine", mark(22.22, 28.22, 47), Unchecked, ""}, // 0.31 m off
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

// stepLimit is a feature's own limit of a step.
func stepLimit(m float64) schema.Value {
	return schema.Object(schema.Attributes{{Key: "step_max_m", Value: schema.Float(m)}})
}

// What a way leads over, of every kind, and two such things beside one another.
func TestHeightsUnderWays(t *testing.T) {
	line := func(role schema.Role, flat []float64, pairs ...any) *schema.Feature {
		return thing(role, string(role), geom.NewLineStringFlat(geom.XYZ, flat), pairs...)
	}
	at := func(kind string, y, h float64, more ...any) *schema.Feature { // across the way at y
		return line(schema.RoleEdge, []float64{19, y, h, 21, y, h}, append([]any{"edge_kind", kind}, more...)...)
	}
	stones := func(y, h float64) *schema.Feature {
		return line(schema.RoleOther, []float64{19, y, h, 21, y, h}, "driven_over", true)
	}
	lid := func(x, y, h float64, more ...any) *schema.Feature {
		return thing(schema.RoleOther, "Lid", spot(x, y, h), append([]any{"driven_over", true}, more...)...)
	}
	slab := func(low, high, long float64) *schema.Feature { // rises along the way
		return thing(schema.RoleOther, "Slab", geom.NewPolygonFlat(geom.XYZ, []float64{19, 33, low, 21, 33, low, 21, 33 + long, high, 19, 33 + long, high, 19, 33, low}, []int{15}), "driven_over", true)
	}
	both := func(on ...*schema.Feature) []*schema.Feature { return on }
	for _, x := range []struct {
		name  string
		up    float64 // of the end of the corridor, and of the dock
		on    []*schema.Feature
		want  Outcome
		grave Severity
	}{
		{"a ramp 0.149 m up", 0, both(at("ramp", 33, 45.149)), Passed, ""},
		{"a ramp 0.151 m up", 0, both(at("ramp", 33, 45.151)), Unchecked, ""},
		{"a ramp 0.151 m down", 0, both(at("ramp", 33, 44.849)), Unchecked, ""},
		{"a ramp 0.64 m up", 0, both(at("ramp", 33, 45.64)), Unchecked, ""},
		{"a ramp 0.66 m up", 0, both(at("ramp", 33, 45.66)), Failed, Error},
		{"by its own step_max_m", 0, both(at("ramp", 33, 45.151, "limits", stepLimit(0.16))), Unchecked, ""},
		{"by its own narrower step_max_m", 0, both(at("ramp", 33, 45.11, "limits", stepLimit(0.1))), Unchecked, ""},
		{"a gate 0.149 m up", 0, both(at("gate", 33, 45.149)), Passed, ""},
		{"a gate 0.151 m up", 0, both(at("gate", 33, 45.151)), Unchecked, ""},
		{"a gate 1 m down", 0, both(at("gate", 33, 44)), Unchecked, ""},
		{"a ramp without heights over a kerb 0.149 m up", 0, both(at("kerb", 33, 45.149), at("ramp", 33, 45)), Passed, ""},
		{"over a kerb 0.151 m up", 0, both(at("kerb", 33, 45.151), at("ramp", 33, 45)), Unchecked, ""},
		{"over a drop 0.151 m down", 0, both(at("drop", 33, 44.849), at("ramp", 33, 45)), Unchecked, ""},
		{"a ramp 0.3 m up that says so on level ground", 0, both(at("ramp", 33, 45.3, "rise_m", 0.3, "length_m", 1.0)), Unchecked, ""},
		{"a ramp 0.4 m up, half way up 1 m", 1, both(at("ramp", 34, 45.9)), Unchecked, ""},
		{"that says that it rises 0.3 m", 1, both(at("ramp", 34, 45.9, "rise_m", 0.3, "length_m", 1.0)), Passed, ""},
		{"that says that it rises 0.2 m", 1, both(at("ramp", 34, 45.9, "rise_m", 0.2, "length_m", 1.0)), Unchecked, ""},
		{"that says 30 % on 1 m", 1, both(at("ramp", 34, 45.9, "slope_percent", 30.0, "length_m", 1.0)), Passed, ""},
		{"that says 30 % of no length", 1, both(at("ramp", 34, 45.9, "slope_percent", 30.0)), Unchecked, ""},
		{"that rises along the way", 1, both(line(schema.RoleEdge, []float64{20, 33, 45.05, 20, 35.5, 45.9}, "edge_kind", "ramp")), Passed, ""},
		{"past the end of the way", 1, both(line(schema.RoleEdge, []float64{20, 33, 44.8, 20, 35.5, 45.6}, "edge_kind", "ramp")), Unchecked, ""},
		{"stones 0.149 m up", 0, both(stones(33, 45.149)), Passed, ""},
		{"stones 0.151 m up", 0, both(stones(33, 45.151)), Unchecked, ""},
		{"stones 0.302 m up", 0, both(stones(33, 45.302)), Failed, Error},
		{"a lid 0.149 m down", 0, both(lid(20, 33, 44.851)), Passed, ""},
		{"a lid 0.151 m down", 0, both(lid(20, 33, 44.849)), Unchecked, ""},
		{"a lid 0.302 m down", 0, both(lid(20, 33, 44.698)), Failed, Error},
		{"a lid beside the machine", 0, both(lid(20.31, 33, 44.6)), Unchecked, ""},
		{"lower than ground may lie there", 0, both(lid(20.31, 33, 44.58)), Failed, Warning},
		{"two sills a hair less than a step", 0, both(at("flush", 33, 45.1), at("flush", 33.2, 44.881)), Passed, ""},
		{"a hair more", 0, both(at("flush", 33, 45.1), at("flush", 33.2, 44.879)), Failed, Error},
		{"in the other order", 0, both(at("flush", 33.2, 44.879), at("flush", 33, 45.1)), Failed, Error},
		{"far enough apart", 0, both(at("flush", 33, 45.1), at("flush", 33.3, 44.879)), Passed, ""},
		{"a sill and stones", 0, both(at("flush", 33, 45.1), stones(33.2, 44.879)), Failed, Error},
		{"a sill and a kerb", 0, both(at("flush", 33, 45.1), at("kerb", 33.2, 44.879), at("ramp", 33.2, 45)), Unchecked, ""},
		{"two kerbs with a ramp", 0, both(at("kerb", 33, 45.1), at("kerb", 33.2, 44.879), at("ramp", 33.1, 45)), Unchecked, ""},
		{"that says that it rises 0.1 m", 0, both(at("kerb", 33, 45.1), at("kerb", 33.2, 44.879), at("ramp", 33.1, 45, "rise_m", 0.1, "length_m", 1.0)), Passed, ""},
		{"a slab tilted by a hair less than a step", 0, both(slab(44.89, 45.109, 0.2)), Passed, ""},
		{"by a hair more", 0, both(slab(44.89, 45.111, 0.2)), Failed, Error},
	} {
		p := driftPlan(t, append([]*schema.Feature{
			thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 45, 40, 0, 45, 40, 25, 45, 0, 25, 45, 0, 0, 45}, []int{15})),
			line(schema.RoleCorridor, []float64{24, 24, 45, 24, 26, 45, 20, 30, 45, 20, 38, 45 + x.up}),
			thing(schema.RoleDock, "Dock", spot(20, 40, 45+x.up), "heading_deg", 0.0, "standoff_m", 2.0)}, x.on...)...)
		r := Check(p, schema.DefaultLimits())
		got := only(r, RuleSlopeLimit)
		if o := r.Outcome(RuleSlopeLimit); o.Outcome != x.want || len(got) > 2 || x.want == Failed && got[0].Severity != x.grave {
			t.Errorf("%s: %s %s %v", x.name, o.Outcome, o.Reason, got)
		}
	}
}
