// The rules of the sky command in testdata/broken, and what their figures are
// in closed form.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// knifeEdge is the loss in dB of an edge h metres over the line of sight, d1
// and d2 metres from its ends; ITU-R P.526, single knife-edge obstacle.
func knifeEdge(h, d1, d2, mhz float64) float64 {
	v := h * math.Sqrt(2*mhz/299.792458*(1/d1+1/d2))
	return 6.9 + 20*math.Log10(math.Sqrt((v-0.1)*(v-0.1)+1)+v-0.1)
}

// radioPark is the park on one level with a barn of a height 1 m north of the
// south lawn, all along it, and a radio at 433 MHz. Mast: 38, 25, its antenna
// 2.5 m high.
func radioPark(height float64) *plot {
	p := park()
	p.add(&thing{id: "g9", role: "building", name: "Barn", z: flatGround, rings: nil}).set("height_m", num(height)).rings = append(p.get("g9").rings, rect(-5, -9, 35, -8))
	p.members = append(p.members, schema.Attribute{Key: schema.PlanLimits, Value: schema.Object(schema.Attributes{{Key: "radio_mhz", Value: schema.Int(433)}})})
	return p
}

func TestBrokenSky(t *testing.T) {
	for _, rule := range validate.RulesOf(validate.CommandSky) {
		if rule.Name != validate.RuleRadioShadow {
			t.Errorf("%s has no pair of plans", rule.Name)
			continue
		}
		for ending, height := range map[string]float64{"fail": 8, "pass": 0.4} {
			plan := drawn(t, rule.Name+"."+ending+".geojson", radioPark(height))
			r, err := validate.Sky(plan, schema.DefaultLimits(), validate.SkyOptions{})
			if err != nil {
				t.Fatal(err)
			}
			want := map[string]validate.Outcome{"fail": validate.Failed, "pass": validate.Passed}[ending]
			for _, x := range r.Rules {
				if x.Rule == rule.Name && x.Outcome != want {
					t.Errorf("%s, the plan to %s: %s (%s)", rule.Name, ending, x.Outcome, x.Reason)
				}
			}
			for _, z := range r.Zones {
				if ending == "fail" && z.Feature.ID.Text() == "z2" && !(z.DeafM2 > 500 && z.LossDB > 20) {
					t.Errorf("behind the barn %v m2 lose up to %v dB", z.DeafM2, z.LossDB)
				}
				if z.Feature.ID.Text() == "z1" && z.DeafM2 > 0 {
					t.Errorf("the north lawn, which sees the mast, has %v m2 without radio", z.DeafM2)
				}
			}
		}
	}
}

// TestRadioLoss: the loss at the corner of the south lawn that is nearest to
// the barn's line, by the formula, for both edges of the barn.
func TestRadioLoss(t *testing.T) {
	plan := radioPark(8).plan(t)
	r, err := validate.Sky(plan, schema.DefaultLimits(), validate.SkyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	// The greatest loss is where the edge stands highest over the line and near
	// the machine: at the outline point (30, -10), or (0, -10).
	want := 0.0
	for _, x := range []float64{0, 30} {
		dx, dy := x-38, -10.0-25
		whole := math.Hypot(dx, dy)
		for _, y := range []float64{-8, -9} {
			part := (y - 25) / dy
			h := 8 - (2.5 + (0.5-2.5)*part)
			want = math.Max(want, knifeEdge(h, part*whole, (1-part)*whole, 433))
		}
	}
	for _, z := range r.Zones {
		if z.Feature.ID.Text() == "z2" && math.Abs(z.LossDB-want) > 0.02 {
			t.Errorf("loss %v dB, want %v", z.LossDB, want)
		}
	}
}

// TestRadioTerrain: a ridge drawn as a line with heights stands 6 m over level
// ground between the mast and the south lawn; the loss at the lawn's corner is
// that of its edge, and a ridge a metre below the line of sight at every point
// costs little.
func TestRadioTerrain(t *testing.T) {
	for _, c := range []struct{ ridge, least, most float64 }{{6, 10, 40}, {0, 0, 9}} {
		p := park()
		p.members = append(p.members, schema.Attribute{Key: schema.PlanLimits, Value: schema.Object(schema.Attributes{{Key: "radio_mhz", Value: schema.Int(433)}})})
		p.add(&thing{id: "e9", role: "edge", name: "Ridge", line: []orb.Point{{-20, -9}, {60, -9}}, z: func(orb.Point) float64 { return plotH + c.ridge }}).set("edge_kind", schema.String("flush"))
		r, err := validate.Sky(p.plan(t), schema.DefaultLimits(), validate.SkyOptions{})
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, x := range []float64{0, 30} {
			dx, dy := x-38, -10.0-25
			whole := math.Hypot(dx, dy)
			part := (-9.0 - 25) / dy
			h := c.ridge - (2.5 + (0.5-2.5)*part)
			want = math.Max(want, knifeEdge(h, part*whole, (1-part)*whole, 433))
		}
		for _, z := range r.Zones {
			if z.Feature.ID.Text() != "z2" {
				continue
			}
			if z.LossDB < c.least || z.LossDB > c.most || c.ridge > 0 && math.Abs(z.LossDB-want) > 0.05 {
				t.Errorf("a ridge of %v m: the radio loses %v dB, want %v", c.ridge, z.LossDB, want)
			}
		}
		blamed := false
		for _, f := range r.Findings {
			blamed = blamed || f.Rule == validate.RuleRadioShadow && len(f.Features) == 2 && f.Features[1].ID.Text() == "e9"
		}
		if blamed != (c.ridge > 0 && want > 20) {
			t.Errorf("a ridge of %v m, %v dB: blamed %v", c.ridge, want, blamed)
		}
	}
}
