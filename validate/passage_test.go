// Passages past an edge that zones share, passages for a machine wider than the
// narrowest, and tips.

package validate_test

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// narrows returns the widths that passage-narrow tells.
func narrows(t *testing.T, p *plot, l schema.Limits) []float64 {
	t.Helper()
	r := validate.Check(p.plan(t), l)
	var out []float64
	for _, f := range r.Findings {
		if f.Rule == validate.RulePassageNarrow {
			out = append(out, math.Round(f.Measured*1000)/1000)
		}
	}
	if o := r.Outcome(validate.RulePassageNarrow); o.Outcome == validate.Unchecked {
		t.Errorf("unchecked: %s", o.Reason)
	}
	slices.Sort(out)
	return out
}

// TestPassagesPastASharedEdge: the east side of the south lawn is at 30 m east,
// where another lawn begins.
func TestPassagesPastASharedEdge(t *testing.T) {
	lawn := func(x0 float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "z9", role: "zone", name: "East lawn", rings: [][]orb.Point{rect(x0, -30, 50, -10)}, z: flatGround})
		}
	}
	bed := func(id string, x0, y0, x1, y1 float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: id, role: "keepout", name: "Bed " + id, rings: [][]orb.Point{rect(x0, y0, x1, y1)}, z: flatGround})
		}
	}
	edge := func(id, kind string, y0, y1 float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: id, role: "edge", name: "Edge " + id, line: []orb.Point{{30, y0}, {30, y1}}, z: flatGround}).set("edge_kind", schema.String(kind))
		}
	}
	for _, x := range []struct {
		name string
		draw []func(p *plot)
		want []float64
	}{
		{"a bed 0.3 m from the side of a lawn alone", []func(p *plot){bed("k8", 27, -22, 29.7, -18)}, []float64{0.3}},
		{"the same where the next lawn begins", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18)}, nil},
		{"the next lawn 0.9 mm off", []func(p *plot){lawn(30.0009), bed("k8", 27, -22, 29.7, -18)}, nil},
		{"the next lawn 0.04 m off", []func(p *plot){lawn(30.04), bed("k8", 27, -22, 29.7, -18)}, []float64{0.3}},
		{"the next lawn 0.04 m over", []func(p *plot){lawn(29.96), bed("k8", 27, -22, 29.7, -18)}, nil},
		{"a fence on the edge with a gate far off", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18), edge("e8", "fence", -31, -9), edge("e9", "gate", -14, -11)}, []float64{0.3}},
		{"a gate in the fence 1.44 m past the bed", []func(p *plot){lawn(30), bed("k8", 27, -21, 29.7, -19), edge("e8", "fence", -31, -9), edge("e9", "gate", -22.44, -17.56)}, []float64{0.3}},
		{"a gate in the fence 1.5 m past the bed", []func(p *plot){lawn(30), bed("k8", 27, -21, 29.7, -19), edge("e8", "fence", -31, -9), edge("e9", "gate", -22.5, -17.5)}, nil},
		{"a kerb on the edge", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18), edge("e8", "kerb", -31, -9)}, []float64{0.3}},
		{"a flush edge on it", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18), edge("e8", "flush", -31, -9)}, nil},
		{"beds on either side 1.498 m apart", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18), bed("k9", 31.198, -21, 33, -19)}, []float64{1.498}},
		{"beds on either side 1.502 m apart", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18), bed("k9", 31.202, -21, 33, -19)}, nil},
		{"beds on either side 0.5 m apart", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18), bed("k9", 30.2, -21, 33, -19)}, []float64{0.5}},
		{"a bed 1 m from another and at the edge", []func(p *plot){lawn(30), bed("k8", 27, -22, 29.7, -18), bed("k9", 24, -22, 26, -18)}, []float64{1}},
		{"a next lawn 1 m wide", []func(p *plot){bed("k8", 27, -22, 29.7, -18), func(p *plot) {
			p.add(&thing{id: "z9", role: "zone", name: "Strip", rings: [][]orb.Point{rect(30, -30, 31, -10)}, z: flatGround})
		}}, []float64{1.3}},
	} {
		p := park()
		for _, d := range x.draw {
			d(p)
		}
		same := func(a, b float64) bool { return math.Abs(a-b) <= 0.0015 } // keep-outs are grown by half a millimetre
		if got := narrows(t, p, schema.DefaultLimits()); !slices.EqualFunc(got, x.want, same) {
			t.Errorf("%s: %v, want %v", x.name, got, x.want)
		}
	}
}

// TestPassagesOfAWideMachine: a machine of 1.8 m where a passage needs 1.5 m.
func TestPassagesOfAWideMachine(t *testing.T) {
	wide := schema.Object(schema.Attributes{{Key: "machine_width_m", Value: num(1.8)}})
	for _, says := range []string{"a limits file", "the plan", "the zone"} {
		for _, gap := range []float64{1.798, 1.8, 1.802} {
			p := park()
			p.add(&thing{id: "k9", role: "keepout", name: "Bed", rings: [][]orb.Point{rect(20, -22, 30-gap, -18)}, z: flatGround})
			l := schema.DefaultLimits()
			switch says {
			case "a limits file":
				var err error
				if l, err = schema.ReadLimits([]byte("machine_width_m: 1.8\n"), "crew.yaml"); err != nil {
					t.Fatal(err)
				}
			case "the plan":
				p.members = append(p.members, schema.Attribute{Key: "limits", Value: wide})
			default:
				p.get("z2").set("limits", wide)
			}
			var want []float64
			if gap < 1.8 {
				want = []float64{gap}
			}
			if got := narrows(t, p, l); !slices.Equal(got, want) {
				t.Errorf("%s says it, %g m: %v", says, gap, got)
			}
		}
	}
	// Kerbs beside a corridor, and edge that two lawns share.
	for _, gap := range []float64{1.798, 1.8, 1.802} {
		p := park()
		p.get("c2").set("limits", wide)
		for k, x := range []float64{15 - gap/2, 15 + gap/2} {
			p.add(&thing{id: []string{"e8", "e9"}[k], role: "edge", name: "Kerb", line: []orb.Point{{x, -6}, {x, -4}}, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}
		if failed := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleCorridorNarrow).Outcome == validate.Failed; failed != (gap < 1.8) {
			t.Errorf("kerbs %g m apart: %v", gap, failed)
		}
		p = park()
		p.get("z2").set("limits", wide)
		p.add(&thing{id: "z9", role: "zone", name: "East lawn", z: flatGround, rings: [][]orb.Point{{{30, -20}, {40, -26}, {40, -14}, {30, -20 + gap}, {30, -20}}}})
		told := false
		for _, w := range narrows(t, p, schema.DefaultLimits()) {
			told = told || w == gap
		}
		if told != (gap < 1.8) {
			t.Errorf("%g m of edge in common: %v", gap, told)
		}
	}
}

// TestTips: what runs out of the north side of the south lawn, at 10 m south, or
// of a bed in it. A corner of 20 degrees reaches 4.7588 times half the machine's
// 0.6 m out of what a disc of that width sweeps: 1.4276 m.
func TestTips(t *testing.T) {
	lawn := func(top ...orb.Point) func(p *plot) {
		return func(p *plot) {
			p.get("z2").rings = [][]orb.Point{append(append([]orb.Point{{0, -30}, {30, -30}, {30, -10}}, top...), orb.Point{0, -10}, orb.Point{0, -30})}
		}
	}
	spike := func(foot, long float64) func(p *plot) {
		return lawn(orb.Point{20 + foot/2, -10}, orb.Point{20, -10 + long}, orb.Point{20 - foot/2, -10})
	}
	bed := func(id string, ring ...orb.Point) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: id, role: "keepout", name: "Bed " + id, rings: [][]orb.Point{append(ring, ring[0])}, z: flatGround})
		}
	}
	bay := func(wide float64) []orb.Point {
		return []orb.Point{{18, -22}, {22, -22}, {22, -18}, {20 + wide/2, -18}, {20, -21}, {20 - wide/2, -18}, {18, -18}}
	}
	corner := func(deg float64) func(p *plot) { // of a lawn of its own
		return func(p *plot) {
			p.add(&thing{id: "z9", role: "zone", name: "Wedge", z: flatGround, rings: [][]orb.Point{{{40, -30}, {60, -30}, {60, -30 + 20*math.Tan(deg*math.Pi/180)}, {40, -30}}}})
		}
	}
	for _, x := range []struct {
		name string
		draw []func(p *plot)
		want float64 // 0 for none
	}{
		{"a spike 0.5 mm wide", []func(p *plot){spike(0.0005, 2)}, 2},
		{"a spike 0.3 m wide at its foot", []func(p *plot){spike(0.3, 2)}, 1.96},
		{"a tooth of 0.149 m", []func(p *plot){spike(0.001, 0.149)}, 0},
		{"a tooth of 0.153 m", []func(p *plot){spike(0.001, 0.153)}, 0.153},
		{"a tooth of 11.97 degrees", []func(p *plot){spike(0.2097, 1)}, 0.981},
		{"a point of 12.03 degrees", []func(p *plot){spike(0.2107, 1)}, 0},
		{"a tooth into a bed", []func(p *plot){bed("k9", orb.Point{18, -22}, orb.Point{22, -22}, orb.Point{22, -18}, orb.Point{20.01, -18}, orb.Point{20, -18.5}, orb.Point{19.99, -18}, orb.Point{18, -18})}, 0.5},
		{"a tooth of a bed", []func(p *plot){bed("k9", orb.Point{18, -22}, orb.Point{22, -22}, orb.Point{22, -18}, orb.Point{20.01, -18}, orb.Point{20, -17.5}, orb.Point{19.99, -18}, orb.Point{18, -18})}, 0},
		{"a spike with a blunt tip", []func(p *plot){lawn(orb.Point{20.2, -10}, orb.Point{20.1, -8}, orb.Point{19.9, -8}, orb.Point{19.8, -10})}, 1.93},
		{"a bay into a bed", []func(p *plot){bed("k9", bay(0.4)...)}, 2.93},
		{"a bay into a hole", []func(p *plot){func(p *plot) {
			ring := bay(0.4)
			p.get("z2").rings = append(p.get("z2").rings, reversed(append(ring, ring[0])))
		}}, 2.93},
		{"a bay that another bed covers", []func(p *plot){bed("k9", bay(0.4)...), bed("k8", rect(19, -21.5, 21, -17.5)[:4]...)}, 0},
		{"a corner of 19.9 degrees", []func(p *plot){corner(19.9)}, 1.436},
		{"a corner of 20.1 degrees", []func(p *plot){corner(20.1)}, 0},
		{"a corner of 30 degrees", []func(p *plot){corner(30)}, 0},
		{"a corner of 10 degrees along a lawn that it joins", []func(p *plot){func(p *plot) {
			p.add(&thing{id: "z9", role: "zone", name: "Wedge", z: flatGround, rings: [][]orb.Point{{{30, -30}, {33, -10}, {30, -10}, {30, -30}}}})
		}}, 0},
		{"a round bed that touches the side", []func(p *plot){bed("k9", circle(24, -20, 6, 96)[:96]...)}, 0},
	} {
		p := park()
		for _, d := range x.draw {
			d(p)
		}
		got := 0.0
		for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
			if f.Rule == validate.RulePassageNarrow && (near(f.Limit, 1.4276, 1e-3) || f.Limit == 0.15) {
				got += f.Measured
			}
		}
		if !(math.Abs(got-x.want) <= 0.012) {
			t.Errorf("%s: %.4f, want %g", x.name, got, x.want)
		}
	}
}
