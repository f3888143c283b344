// Tests of what stands up into the blades by its own word.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// cutAt has a lawn cut so high.
func cutAt(id string, key string, v schema.Value) func(p *plot) {
	return func(p *plot) { p.get(id).set(key, v) }
}

// TestFlushEdgesAtBlades: the path edge runs along the north side of the south lawn.
func TestFlushEdgesAtBlades(t *testing.T) {
	edge := func(key string, v schema.Value) func(p *plot) {
		return func(p *plot) { p.get("e2").set(key, v) }
	}
	moved := func(y float64) func(p *plot) {
		return func(p *plot) {
			l := p.get("e2").line
			l[0][1], l[1][1] = y, y
		}
	}
	cut := cutAt("z2", "cut_mm", num(20))
	const says = "blades meet it"
	judgeWords(t, validate.RuleEdgeSetback, []wordCase{
		{"28 mm up", allOf(cut, edge("height_m", num(0.028))), validate.Failed, "stands 28 mm up"},
		{"as it is cut", allOf(cut, edge("height_m", num(0.02))), validate.Passed, ""},
		{"a hair more", allOf(cut, edge("height_m", num(0.0201))), validate.Failed, says},
		{"under another word", allOf(cut, edge("rise_m", num(0.028))), validate.Failed, says},
		{"in millimetres", allOf(cut, edge("upstand_mm", num(28))), validate.Failed, says},
		{"down", allOf(cut, edge("height_m", num(-0.028))), validate.Passed, ""},
		{"a depth", allOf(cut, edge("depth_m", num(0.028))), validate.Passed, ""},
		{"no cut said", edge("height_m", num(0.028)), validate.Passed, ""},
		{"the other lawn's", allOf(cutAt("z1", "cut_mm", num(20)), edge("height_m", num(0.028))), validate.Passed, ""},
		{"cut higher", allOf(cutAt("z2", "cut_mm", num(28)), edge("height_m", num(0.028))), validate.Passed, ""},
		{"0.149 m off", allOf(cut, edge("height_m", num(0.028)), moved(-9.852)), validate.Failed, says},
		{"0.151 m off", allOf(cut, edge("height_m", num(0.028)), moved(-9.849)), validate.Passed, ""},
		{"a strip of its own", allOf(cut, edge("height_m", num(0.028)), moved(-9.8), func(p *plot) { own(p, "e2", "hard_edge_strip_m", 0.25) }), validate.Failed, says},
		{"the plan's cut", allOf(func(p *plot) { member(p, "cut_mm", num(20)) }, edge("height_m", num(0.028))), validate.Failed, says},
		{"the lawn's own beside it", allOf(func(p *plot) { member(p, "cut_mm", num(20)) }, cutAt("z2", "cut_mm", num(30)), edge("height_m", num(0.028))), validate.Passed, ""},
		{"in centimetres", allOf(cutAt("z2", "cutting_height", schema.String("2 cm")), edge("height_m", num(0.028))), validate.Failed, says},
		{"the unit in its name", allOf(cutAt("z2", "mowing_height_mm", num(20)), edge("height_m", num(0.028))), validate.Failed, says},
		{"a height of no unit", allOf(cutAt("z2", "mowing_height", num(0.02)), edge("height_m", num(0.028))), validate.Passed, ""},
	})
}

// TestDrivenOverAtBlades: a slab in the south lawn that is driven over and says how high
// it stands.
func TestDrivenOverAtBlades(t *testing.T) {
	slab := func(high float64) func(p *plot) {
		return func(p *plot) {
			x := placedOn(p, "other", "Slab", boxAt(10, -20, 11, -19), "height_m", high)
			x.set("driven_over", schema.Bool(true))
		}
	}
	const says = "off the ground"
	judgeWords(t, validate.RuleOtherInZone, []wordCase{
		{"higher than it is cut", allOf(cutAt("z2", "cut_mm", num(20)), slab(0.028)), validate.Failed, says},
		{"as high as it is cut", allOf(cutAt("z2", "cut_mm", num(20)), slab(0.0209)), validate.Passed, ""},
		{"a hair more", allOf(cutAt("z2", "cut_mm", num(20)), slab(0.0211)), validate.Failed, says},
		{"in the lawn that says no cut", allOf(cutAt("z1", "cut_mm", num(20)), slab(0.028)), validate.Passed, ""},
		{"by the plan's cut", allOf(func(p *plot) { member(p, "cut_mm", num(20)) }, slab(0.028)), validate.Failed, says},
		{"a lawn cut lower about it", allOf(func(p *plot) { // a triangle, and the slab in its box alone
			z := placedOn(p, "zone", "Green", thing{rings: [][]orb.Point{{{5, -31}, {40, -31}, {40, -12}, {5, -31}}}}, "cut_mm", 10.0)
			z.id = "z9"
		}, slab(0.028)), validate.Passed, ""},
		{"cut high", allOf(cutAt("z2", "cut_mm", num(60)), slab(0.058)), validate.Passed, ""},
	})
}
