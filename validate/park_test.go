// The faultless park: every rule that Check judges passes on it, and its
// figures are those of its drawing.

package validate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestParkIsClean(t *testing.T) {
	p := park()
	p.members = baseHistory(p, 0)
	p.get("b1").set("frame", schema.String("WGS 84 (G2139)")).set("epoch", num(2024.5))
	for _, id := range []string{"z1", "z2"} {
		p.get(id).set("sigma", num(0.01))
	}
	croquet(p).set("driven_over", schema.Bool(true))
	r := validate.Check(p.plan(t), schema.DefaultLimits())
	for _, f := range r.Findings {
		t.Error(show(f))
	}
	rules := validate.RulesOf(validate.CommandCheck)
	for i, x := range r.Rules {
		if rule := rules[i]; x.Rule != rule.Name || x.Outcome != validate.Passed {
			t.Errorf("result %d: %s %s (%s), want %s passed", i, x.Rule, x.Outcome, x.Reason, rule.Name)
		}
	}
	if r.Status() != validate.StatusClean {
		t.Errorf("the park is %s", r.Status())
	}
	bed := 24.0 / 2 * 4 * math.Sin(2*math.Pi/24)
	for _, x := range []struct {
		what      string
		got, want float64
	}{
		{"zones", r.Areas.ZonesM2, 1200}, {"keepouts", r.Areas.KeepoutsM2, bed}, {"net", r.Areas.NetM2, 1200 - bed},
		{"gross of z1", r.Zones[0].GrossM2, 600}, {"net of z1", r.Zones[0].NetM2, 600 - bed}, {"net of z2", r.Zones[1].NetM2, 600},
	} {
		if !near(x.got, x.want, 2e-3) {
			t.Errorf("area of %s is %.4f, want %.4f", x.what, x.got, x.want)
		}
	}
}

// TestNetAreaOfTangledPlans: overlaps, keep-outs across edges and in one
// another count once.
func TestNetAreaOfTangledPlans(t *testing.T) {
	square := func(id, role string, x0, y0, x1, y1 float64) *thing {
		return &thing{id: id, role: role, name: id, rings: [][]orb.Point{rect(x0, y0, x1, y1)}, z: flatGround}
	}
	for _, x := range []struct {
		name                string
		things              []*thing
		zones, keepouts, ne float64
	}{
		{"keep-out across the edge", []*thing{square("a", "zone", 0, 0, 10, 10), square("k", "keepout", 8, 2, 12, 4)}, 100, 8, 96},
		{"keep-outs that overlap", []*thing{square("a", "zone", 0, 0, 10, 10), square("k", "keepout", 2, 2, 5, 5), square("l", "keepout", 4, 4, 7, 7)}, 100, 18, 83},
		{"keep-out in a keep-out", []*thing{square("a", "zone", 0, 0, 10, 10), square("k", "keepout", 2, 2, 8, 8), square("l", "keepout", 4, 4, 5, 5)}, 100, 37, 64},
		{"zones that overlap", []*thing{square("a", "zone", 0, 0, 10, 10), square("b", "zone", 9, 0, 20, 10)}, 210, 0, 200},
		{"keep-out across two zones", []*thing{square("a", "zone", 0, 0, 10, 10), square("b", "zone", 10, 0, 20, 10), square("k", "keepout", 9, 4, 11, 6)}, 200, 4, 196},
		{"keep-out over a whole zone", []*thing{square("a", "zone", 0, 0, 10, 10), square("k", "keepout", -1, -1, 11, 11)}, 100, 144, 0},
		{"keep-out outside", []*thing{square("a", "zone", 0, 0, 10, 10), square("k", "keepout", 20, 0, 21, 1)}, 100, 1, 100},
		{"keep-out equal to its zone", []*thing{square("a", "zone", 0, 0, 10, 10), square("k", "keepout", 0, 0, 10, 10)}, 100, 100, 0},
	} {
		r := validate.Check((&plot{things: x.things}).plan(t), schema.DefaultLimits())
		if !near(r.Areas.ZonesM2, x.zones, 1e-3) || !near(r.Areas.KeepoutsM2, x.keepouts, 1e-3) || !near(r.Areas.NetM2, x.ne, 1e-3) {
			t.Errorf("%s: %+v, want zones %v keepouts %v net %v", x.name, r.Areas, x.zones, x.keepouts, x.ne)
		}
	}
}

// TestUncutStrip: outline along hard edges, and the strip left there.
func TestUncutStrip(t *testing.T) {
	p := park()
	edge := func(id, kind string, pts ...orb.Point) {
		p.add(&thing{id: id, role: "edge", name: id, line: pts}).set("edge_kind", schema.String(kind))
	}
	edge("kerb", "kerb", orb.Point{-5, -30.2}, orb.Point{12, -30.2})     // 12 m of it beside the south side
	edge("fence", "fence", orb.Point{10, -30.25}, orb.Point{20, -30.25}) // 8 m more, 2 m twice over
	edge("flush", "flush", orb.Point{30.1, -30}, orb.Point{30.1, -10})   // leaves nothing
	edge("far wall", "wall", orb.Point{-0.5, -30}, orb.Point{-0.5, -10}) // more than twice the strip away
	edge("across", "wall", orb.Point{25, -30.16}, orb.Point{25.05, -38}) // at right angles
	r := validate.Check(p.plan(t), schema.DefaultLimits())
	z := r.Zones[1]
	if !near(z.HardEdgeM, 20, 1e-3) || !near(z.UncutM2, 20*0.15, 1e-3) {
		t.Errorf("%.4f m leave %.4f m2, want 20 m and 3 m2", z.HardEdgeM, z.UncutM2)
	}
}

func TestInactiveFeaturesTakeNoPart(t *testing.T) {
	p := park()
	p.add(&thing{id: "h9", role: "hazard", name: "Pool", rings: [][]orb.Point{rect(20, -25, 23, -21)}}).set("active", schema.Bool(false))
	r := validate.Check(p.plan(t), schema.DefaultLimits())
	for _, f := range r.Findings { // nothing looks at it, which is told
		if f.Rule != validate.RuleSwitchUnfit {
			t.Errorf("an inactive feature gave %s", show(f))
		}
	}
	if len(r.Site.Inactive) != 1 || r.Site.Inactive[0].ID.Text() != "h9" {
		t.Errorf("inactive features: %v", r.Site.Inactive)
	}
	p.get("h9").set("active", schema.Bool(true))
	if r := validate.Check(p.plan(t), schema.DefaultLimits()); len(r.Findings) == 0 {
		t.Error("the same feature made active gave nothing")
	}
}

func TestLimitsOfPlanAndFeature(t *testing.T) {
	l := schema.DefaultLimits()
	if err := l.LetLoosen("corridor_inside_m"); err != nil {
		t.Fatal(err)
	}
	fail := func() *plot { p := park(); brokenPlans["corridor-off-zone"].fail(p); return p }
	if r := validate.Check(fail().plan(t), l); r.Outcome("corridor-off-zone").Outcome != validate.Failed {
		t.Fatal("the plan does not fail to begin with")
	}
	p := fail()
	p.get("c1").set("limits", schema.Object(schema.Attributes{{Key: "corridor_inside_m", Value: num(0.4)}}))
	if r := validate.Check(p.plan(t), l); len(r.Findings) != 0 {
		t.Errorf("with the corridor's own limit: %s", show(r.Findings[0]))
	}
	plan := fail().plan(t)
	plan.Attributes.Set(schema.PlanLimits, schema.Object(schema.Attributes{{Key: "corridor_inside_m", Value: num(0.4)}}))
	r := validate.Check(plan, l)
	if len(r.Findings) != 0 {
		t.Errorf("with the plan's own limit: %s", show(r.Findings[0]))
	}
	if r.Limits.CorridorInsideM != 0.4 || strings.Contains(strings.Join(r.FromDefault(), " "), "corridor_inside_m") {
		t.Errorf("the plan's own limit counts as a default: %v", r.FromDefault())
	}
	// A feature's own limit does not spread to others.
	p = fail()
	p.get("c2").set("limits", schema.Object(schema.Attributes{{Key: "corridor_inside_m", Value: num(0.4)}}))
	if r := validate.Check(p.plan(t), l); r.Outcome("corridor-off-zone").Outcome != validate.Failed {
		t.Error("the limit of one corridor held for another")
	}
}
