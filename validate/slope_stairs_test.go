// Tests of small edges that follow one another like treads, and of ramps that climb
// across the way.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestStairs(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", raisedTrack(-10, 0, 45, 20, 0, 45))
	edge := func(kind string, x, height float64) *schema.Feature {
		f := thing(schema.RoleEdge, kind, track(x, -5, x, 5), "edge_kind", kind)
		if height != 0 {
			f.Attributes.Set("height_m", schema.Float(height))
		}
		return f
	}
	ramp := func(x0, x1 float64, more ...any) *schema.Feature {
		return thing(schema.RoleEdge, "Ramp", track(x0, 0, x1, 0), append([]any{"edge_kind", "ramp"}, more...)...)
	}
	with := func(list ...*schema.Feature) []*schema.Feature { return append([]*schema.Feature{way}, list...) }
	two := func(apart, a, b float64) []*schema.Feature {
		return with(edge("kerb", 0, a), edge("kerb", apart, b), ramp(-0.5, apart+0.5))
	}
	limited := func(f *schema.Feature, limit float64) *schema.Feature {
		out := *f
		out.Attributes = append(schema.Attributes(nil), f.Attributes...)
		out.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: "step_max_m", Value: schema.Float(limit)}}))
		return &out
	}
	var flush []*schema.Feature
	for i := range 6 {
		flush = append(flush, edge("flush", 0.3*float64(i), 0.026))
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		told     bool
	}{
		{"0.15 m together", two(0.4, 0.07, 0.08), false},
		{"0.151 m together", two(0.4, 0.07, 0.081), true},
		{"0.14 m together, the way's own limit 0.13 m", append(two(0.4, 0.07, 0.07)[1:], limited(way, 0.13)), true},
		{"0.14 m together, the way's own limit 0.14 m", append(two(0.4, 0.07, 0.07)[1:], limited(way, 0.14)), false},
		{"0.199 m apart less rounding", two(0.198, 0.1, 0.1), false},
		{"0.2 m apart", two(0.2, 0.1, 0.1), true},
		{"0.6 m apart", two(0.6, 0.1, 0.1), true},
		{"0.602 m apart", two(0.602, 0.1, 0.1), false},
		{"of no height", two(0.4, 0, 0), true},
		{"one of no height", two(0.4, 0.05, 0), true},
		{"of no height, a path apart", two(1.2, 0, 0), false},
		{"one kerb", with(edge("kerb", 0, 0.1), ramp(-0.5, 0.5)), false},
		{"both sides of one kerbstone", two(0.15, 0, 0), false},
		{"both sides of two kerbstones", with(edge("kerb", 0, 0.07), edge("kerb", 0.15, 0.07), edge("kerb", 0.5, 0.07), edge("kerb", 0.65, 0.07), ramp(-0.5, 1)), false},
		{"three", with(edge("kerb", 0, 0.06), edge("kerb", 0.4, 0.06), edge("kerb", 0.8, 0.06), ramp(-0.5, 1)), true},
		{"a stair farther on", with(edge("kerb", -5, 0.1), ramp(-6, -4), edge("kerb", 0, 0.1), edge("kerb", 0.4, 0.1), ramp(-0.5, 1)), true},
		{"a drop and a kerb", with(edge("drop", 0, 0.1), edge("kerb", 0.4, 0.1), ramp(-0.5, 1)), true},
		{"six flush edges, 0.156 m together", with(flush...), true},
		{"five flush edges, 0.13 m together", with(flush[:5]...), false},
		{"flush edges of no height", with(edge("flush", 0, 0), edge("flush", 0.4, 0)), false},
		{"a ramp that rises as much", with(edge("kerb", 0, 0.1), edge("kerb", 0.4, 0.1), ramp(-1, 1, "rise_m", 0.2)), false},
		{"a ramp that rises less", with(edge("kerb", 0, 0.1), edge("kerb", 0.4, 0.1), ramp(-1, 1, "rise_m", 0.19)), true},
		{"a ramp that rises as much elsewhere", with(edge("kerb", 0, 0.1), edge("kerb", 0.4, 0.1), ramp(3, 5, "rise_m", 0.2)), true},
		{"before a dock", []*schema.Feature{thing(schema.RoleZone, "Lawn", raisedBox(-30, -5, -20, 5, func(x, y float64) float64 { return 45 })), thing(schema.RoleDock, "D", spot(2, 0), "heading_deg", 90.0, "standoff_m", 4.0), edge("kerb", 0, 0.1), edge("kerb", 0.4, 0.1), ramp(-1, 1)}, true},
	} {
		toldIn(t, x.name, RuleSlopeLimit, "treads of a stair", x.told, x.features...)
	}
}

// TestRampsAcross: a drop along x = 0 and a ramp on it that climbs along it, under a way
// square to it.
func TestRampsAcross(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", raisedTrack(-10, 0, 45, 20, 0, 45))
	ledge := thing(schema.RoleEdge, "Ledge", track(0, -20, 0, 20), "edge_kind", "drop")
	falling := func(percent float64) *schema.Feature {
		return thing(schema.RoleEdge, "Ledge", raisedTrack(0, -20, 45, 0, 20, 45+0.4*percent), "edge_kind", "drop")
	}
	ramp := func(wide, rise float64, more ...any) *schema.Feature {
		return thing(schema.RoleEdge, "Ramp", raisedTrack(0, -wide/2, 45, 0, wide/2, 45+rise), append([]any{"edge_kind", "ramp"}, more...)...)
	}
	limits := schema.Object(schema.Attributes{{Key: "step_max_m", Value: schema.Float(0.13)}})
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		told     bool
	}{
		{"0.149 m", []*schema.Feature{way, ledge, ramp(2, 0.149)}, false},
		{"0.151 m", []*schema.Feature{way, ledge, ramp(2, 0.151)}, true},
		{"0.151 m down", []*schema.Feature{way, ledge, ramp(2, -0.151)}, true},
		{"0.14 m, its own limit 0.13 m", []*schema.Feature{way, ledge, ramp(2, 0.14, "limits", limits)}, true},
		{"5.9 % of 4 m", []*schema.Feature{way, ledge, ramp(4, 0.236)}, false},
		{"6.1 % of 4 m", []*schema.Feature{way, ledge, ramp(4, 0.244)}, true},
		{"no ledge", []*schema.Feature{way, ramp(2, 0.5)}, true},
		{"no way", []*schema.Feature{thing(schema.RoleZone, "Lawn", box(5, -20, 20, 20)), ledge, ramp(2, 0.5)}, false},
		{"along the way", []*schema.Feature{way, ledge, thing(schema.RoleEdge, "Ramp", raisedTrack(-1, 0, 45, 1, 0, 45.5), "edge_kind", "ramp")}, false},
		{"44 degrees to the way", []*schema.Feature{way, ledge, thing(schema.RoleEdge, "Ramp", raisedTrack(-1, -0.965, 45, 1, 0.965, 45.5), "edge_kind", "ramp")}, false},
		{"46 degrees to the way", []*schema.Feature{way, ledge, thing(schema.RoleEdge, "Ramp", raisedTrack(-1, -1.036, 45, 1, 1.036, 45.5), "edge_kind", "ramp")}, true},
		// A ledge that climbs 0.3 m in 3 m of ramp.
		{"a ledge that climbs as the ramp does", []*schema.Feature{way, falling(10), ramp(3, 0.449)}, false},
		{"a ledge that climbs 0.151 m less", []*schema.Feature{way, falling(10), ramp(3, 0.451)}, true},
		{"a ledge that climbs the other way", []*schema.Feature{way, falling(-10), ramp(3, 0.3)}, true},
	} {
		toldIn(t, x.name, RuleSlopeLimit, "which lies across the way over it", x.told, x.features...)
	}
}
