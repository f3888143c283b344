// Tests of what stands at a way and says what it cannot be: gates by their width and
// at docks, marks of one name, outlets at pools, and things that are round by what
// they are.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestMarksOfOneName: marks at unlike places that one name in the field means.
func TestMarksOfOneName(t *testing.T) {
	second := func(first, name string, dx float64) func(p *plot) {
		return func(p *plot) {
			p.get("m1").name = first
			placedOn(p, "mark", name, pointAt(-5+dx, -5))
		}
	}
	const says = "as people write them in the field"
	judgeWords(t, validate.RuleNameRepeated, []wordCase{
		{"M1 and M 01", second("M1", "M 01", 9), validate.Failed, says},
		{"M1 and m1", second("M1", "m1", 9), validate.Failed, "are called"},
		{"a number", second("M1", "1", 9), validate.Failed, says},
		{"a word and a number", second("Mark 1", "01", 9), validate.Failed, says},
		{"Punkt 7 and M-7", second("Punkt 7", "M-7", 9), validate.Failed, says},
		{"0.049 m apart", second("M1", "M 01", 0.049), validate.Passed, ""},
		{"0.052 m apart", second("M1", "M 01", 0.052), validate.Failed, "0.052 m apart"},
		{"M1 and M10", second("M1", "M10", 9), validate.Passed, ""},
		{"two numbers", second("1", "2", 9), validate.Passed, ""},
		{"another letter", second("M1", "P1", 9), validate.Passed, ""},
		{"no name", second("M1", "", 9), validate.Passed, ""},
		{"measured again", second("M1", "M1 check", 0.06), validate.Passed, ""},
		{"an outlet of the number", func(p *plot) { p.get("m1").name, p.get("s1").name = "M1", "1" }, validate.Passed, ""},
	})
	p := park()
	second("M1", "m1", 9)(p)
	told := 0
	for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
		if f.Rule == validate.RuleNameRepeated {
			told++
		}
	}
	if told != 1 {
		t.Errorf("two marks of one name are told %d times", told)
	}
}

// TestWidthsOfGates: a gate or a ramp has the width that it says.
func TestWidthsOfGates(t *testing.T) {
	gate := func(kind, fence string, wide float64, xy ...float64) func(p *plot) {
		return func(p *plot) {
			if fence != "" {
				placedOn(p, "edge", "Long one", lineOf(-9, -5, 30, -5), "edge_kind", fence)
			}
			placedOn(p, "edge", "Way through", lineOf(xy...), "edge_kind", kind, "width_m", wide)
		}
	}
	const says = "which of the two is the clear way"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"as wide as it is drawn", gate("gate", "fence", 2, 14, -5, 16, -5), validate.Passed, ""},
		{"0.39 m wider", gate("gate", "fence", 2.39, 14, -5, 16, -5), validate.Passed, ""},
		{"0.41 m wider", gate("gate", "fence", 2.41, 14, -5, 16, -5), validate.Failed, says},
		{"0.39 m narrower", gate("gate", "fence", 1.61, 14, -5, 16, -5), validate.Passed, ""},
		{"0.41 m narrower", gate("gate", "fence", 1.59, 14, -5, 16, -5), validate.Failed, says},
		{"a gate by itself", gate("gate", "", 3, 14, -5, 16, -5), validate.Failed, says},
		{"a gate drawn along the way", gate("gate", "fence", 2, 15, -5.5, 15, -4.5), validate.Passed, ""},
		{"a ramp along a kerb", gate("ramp", "kerb", 3, 14, -5, 16, -5), validate.Failed, says},
		{"a ramp drawn along the way", gate("ramp", "kerb", 3, 15, -5.5, 15, -4.5), validate.Passed, ""},
		{"a ramp by itself", gate("ramp", "", 3, 15, -5.5, 15, -4.5), validate.Passed, ""},
		{"a wall of a width", gate("wall", "", 0.3, 40, -5, 46, -5), validate.Passed, ""},
	})
}

// TestGatesAtDocks: the dock stands at 36, 10 m and the line-up point at 34, 10 m.
func TestGatesAtDocks(t *testing.T) {
	edge := func(kind string, rise float64, xy ...float64) func(p *plot) {
		return func(p *plot) {
			x := placedOn(p, "edge", "Way through", lineOf(xy...), "edge_kind", kind)
			if rise > 0 {
				x.set("rise_m", num(rise)).set("length_m", num(3))
			}
		}
	}
	fenced := func(f func(p *plot)) func(p *plot) {
		return func(p *plot) {
			f(p)
			placedOn(p, "edge", "South", lineOf(35, 5, 35, 9.2), "edge_kind", "fence")
			placedOn(p, "edge", "North", lineOf(35, 10.8, 35, 15), "edge_kind", "fence")
		}
	}
	wide := func(f func(p *plot), m float64) func(p *plot) {
		return func(p *plot) { f(p); p.things[len(p.things)-1].set("width_m", num(m)) }
	}
	judgeWords(t, validate.RuleDockPathBlocked, []wordCase{
		{"a gate whose post stands in the way", edge("gate", 0, 35, 9.702, 35, 12), validate.Failed, "0.298 m from its middle"},
		{"one beside it", edge("gate", 0, 35, 9.698, 35, 12), validate.Failed, "what stands needs 0.15 m more"},
		{"one within the strip", edge("gate", 0, 35, 9.552, 35, 12), validate.Failed, "what stands needs 0.15 m more"},
		{"one clear of it", edge("gate", 0, 35, 9.55, 35, 12), validate.Passed, ""},
		{"one in the turning disc", edge("gate", 0, 33.9, 9.402, 33.9, 12), validate.Failed, "from its line-up point"},
		{"one clear of that", edge("gate", 0, 34, 9.25, 34, 12), validate.Passed, ""},
		{"one between fences", fenced(edge("gate", 0, 35, 9.2, 35, 10.8)), validate.Passed, ""},
		{"the side of a ramp", edge("ramp", 0.2, 35, 9.702, 35, 12), validate.Failed, "0.298 m from its middle"},
		{"one beside the way", edge("ramp", 0.2, 35, 9.698, 35, 12), validate.Passed, ""},
		{"a ramp that is no step", edge("ramp", 0.15, 35, 9.8, 35, 12), validate.Passed, ""},
		{"a ramp along the way", edge("ramp", 0.2, 34.5, 10, 35.5, 10), validate.Passed, ""},
		{"a ramp along it 0.599 m wide", wide(edge("ramp", 0.2, 34.5, 10, 35.5, 10), 0.598), validate.Failed, "falls off its sides"},
		{"one 0.6 m wide", wide(edge("ramp", 0.2, 34.5, 10, 35.5, 10), 0.6), validate.Passed, ""},
		{"one that is no step", wide(edge("ramp", 0.15, 34.5, 10, 35.5, 10), 0.5), validate.Passed, ""},
		{"one elsewhere", wide(edge("ramp", 0.2, 34.5, 11, 35.5, 11), 0.5), validate.Passed, ""},
		{"a gate that says it is narrower", wide(edge("gate", 0, 35, 9, 35, 11), 0.598), validate.Failed, "0.299 m from its middle"},
		{"one that says 0.9 m", wide(edge("gate", 0, 35, 9, 35, 11), 0.9), validate.Passed, ""},
		{"a ramp at 44 degrees to it", edge("ramp", 0.2, 34.5, 9.8, 35.5, 10.7657), validate.Passed, ""},
		{"a ramp at 46 degrees to it", edge("ramp", 0.2, 34.5, 9.8, 35.5, 10.8355), validate.Failed, "Way through"},
	})
}

// TestOutletsAtPools: 2 m from the rim of a pool there may be no socket.
func TestOutletsAtPools(t *testing.T) {
	pool := func(kind string, gap float64) func(p *plot) {
		return func(p *plot) {
			p.get("s1").point = &orb.Point{50 + gap, -20}
			placedOn(p, "hazard", "Thing", boxAt(44, -22, 50, -18), "hazard_kind", kind)
		}
	}
	judgeWords(t, validate.RuleBaseInZone, []wordCase{
		{"a pool at 1.998 m", pool("pool", 1.998), validate.Failed, "in which people bathe"},
		{"a pool at 2 m", pool("pool", 2), validate.Passed, ""},
		{"a fountain at 1 m", pool("fountain", 1), validate.Failed, "in which people bathe"},
		{"a pool at 0.2 m", pool("pool", 0.2), validate.Failed, "licensed electrician knows"},
		{"a pond at 1 m", pool("pond", 1), validate.Passed, ""},
		{"a ditch at 1 m", pool("ditch", 1), validate.Passed, ""},
	})
}

// TestOftenRound: four corners of a fountain may stand for a circle. A corner of the
// square lies on a diagonal, its sides 0.707 of the radius from the middle.
func TestOftenRound(t *testing.T) {
	four := func(role, name, kind string, n int, gap float64) func(p *plot) {
		return func(p *plot) { // gap from the lawn to the western side
			const r = 2.0
			side := 0.70710678 * r
			if n == 3 {
				side = 0.5 * r
			}
			var ring []orb.Point
			for _, q := range circle(0, 0, r, n) {
				ring = append(ring, orb.Point{30 + gap + side + q[0], -20 + q[1]})
			}
			if n == 3 { // a side to the west
				ring = []orb.Point{{30 + gap, -20 - 1.7320508}, {30 + gap + 1.5*r, -20}, {30 + gap, -20 + 1.7320508}, {30 + gap, -20 - 1.7320508}}
			}
			x := placedOn(p, role, name, thing{rings: [][]orb.Point{ring}})
			if x.set("height_m", num(0.1)); role == "hazard" {
				x.set("hazard_kind", schema.String(kind))
			}
		}
	}
	const says = "is a thing that is most often round"
	// A circle through four corners lies 0.586 m beyond their sides, a parabola of
	// half the diagonal's tangent as far; the margin is 0.3 m.
	judgeWords(t, validate.RuleCurveCoarse, []wordCase{
		{"a fountain near a lawn", four("hazard", "Fountain", "fountain", 4, 0.88), validate.Unchecked, says},
		{"one clear of it", four("hazard", "Fountain", "fountain", 4, 0.89), validate.Passed, ""},
		{"three corners of a trampoline", four("hazard", "Thing", "trampoline", 3, 0.9), validate.Unchecked, says},
		{"a square fountain", four("hazard", "Square fountain", "fountain", 4, 0.6), validate.Passed, ""},
		{"a bench", four("hazard", "Thing", "bench", 4, 0.4), validate.Passed, ""},
		{"a building called silo", four("building", "Grain silo", "", 4, 0.4), validate.Unchecked, says},
		{"a building", four("building", "Hut", "", 4, 0.4), validate.Passed, ""},
		{"a round pond by its kind", four("hazard", "Thing", "round pond", 4, 0.4), validate.Failed, "along a curve"},
		{"a long trampoline", func(p *plot) {
			placedOn(p, "hazard", "Thing", boxAt(30.35, -22, 32.35, -18), "hazard_kind", "trampoline")
		}, validate.Passed, ""},
	})
	keepout := func(name string, n int, more func(p *plot)) func(p *plot) {
		return func(p *plot) {
			more(p)
			placedOn(p, "keepout", name, thing{rings: [][]orb.Point{circle(20, -20, 2, n)}})
		}
	}
	none := func(p *plot) {}
	judgeWords(t, validate.RuleCurveCoarse, []wordCase{
		{"a keep-out called round", keepout("Round bed", 4, none), validate.Unchecked, "is called round and drawn with 4 corners"},
		{"one of three corners", keepout("Round bed", 3, none), validate.Unchecked, "3 corners"},
		{"one with what is round in it", keepout("Round bed", 4, func(p *plot) {
			placedOn(p, "hazard", "Stone", pointAt(20, -20), "hazard_kind", "stone", "radius_m", 1.0)
		}), validate.Passed, ""},
		{"one of many corners", keepout("Round bed", 24, none), validate.Passed, ""},
		{"one that is not", keepout("Bed", 4, none), validate.Passed, ""},
	})
}
