// Heights of what is driven over by its own word, and ramps in mown ground.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

func TestHeightsOfAreasDrivenOver(t *testing.T) {
	// South lawn: 0 to 30 east, -30 to -10 north.
	slab := func(p *plot, id string, x, y float64, z func(q orb.Point) float64) *thing {
		return areaOf(p, id, "other", z, rect(x, y, x+2, y+2)).set("driven_over", schema.Bool(true))
	}
	slope := func(x, rise float64) func(orb.Point) float64 {
		return func(q orb.Point) float64 { return plotH + rise*(q[0]-x) }
	}
	judgeHeights(t, []heightPlan{
		{"a slab as high as the lawn", func(p *plot) { slab(p, "s", 14, -21, raisedTo(0)) }, heightsPass, "", ""},
		{"one that rises by 34.9 %", func(p *plot) { slab(p, "s", 14, -21, slope(14, 0.349)) }, heightsPass, "", ""},
		{"one that rises by 35.1 %", func(p *plot) { slab(p, "s", 14, -21, slope(14, 0.351)) }, heightsFail, "error", "along the rim of what is driven over is 35 %"},
		{"one that nothing says is driven over", func(p *plot) { areaOf(p, "s", "other", slope(14, 3), rect(14, -21, 16, -19)) }, heightsPass, "", ""},
		{"one that says it is not", func(p *plot) { slab(p, "s", 14, -21, slope(14, 3)).set("driven_over", schema.Bool(false)) }, heightsPass, "", ""},
		{"a bank in one beyond the lawn", func(p *plot) { slab(p, "s", 60, -21, slope(60, 3)) }, heightsPass, "", ""},
		{"8 m from the outline, 3.098 m down", func(p *plot) { slab(p, "s", 20, -22, raisedTo(-3.098)) }, heightsPass, "", ""},
		{"8 m from the outline, 3.102 m down", func(p *plot) { slab(p, "s", 20, -22, raisedTo(-3.102)) }, heightsFail, "error", "lies in mown ground 3.10 m lower"},
		{"1 m from the outline, 0.648 m up", func(p *plot) { slab(p, "s", 27, -21, raisedTo(0.648)) }, heightsOpen, "", "is driven over by its own word"},
		{"1 m from the outline, 0.652 m up", func(p *plot) { slab(p, "s", 27, -21, raisedTo(0.652)) }, heightsFail, "error", "is driven over by its own word"},
		{"two 1 m apart, of 0.648 m", func(p *plot) { slab(p, "s", 12, -21, raisedTo(0)); slab(p, "u", 15, -21, raisedTo(0.498)) }, heightsPass, "", ""},
		{"two 1 m apart, of 0.652 m", func(p *plot) { slab(p, "s", 12, -21, raisedTo(0)); slab(p, "u", 15, -21, raisedTo(0.652)) }, heightsFail, "error", ""},
	})
}

func TestRampsInMownGround(t *testing.T) {
	ramp := func(p *plot, x0, x1, rise float64) *thing {
		edgeOf(p, "r", "ramp", func(q orb.Point) float64 { return plotH + rise*(q[0]-x0) }, orb.Point{x0, -20}, orb.Point{x1, -20})
		return p.get("r")
	}
	judgeHeights(t, []heightPlan{
		{"a ramp of 34.9 % by its heights", func(p *plot) { ramp(p, 14, 17, 0.349) }, heightsPass, "", ""},
		{"of 35.1 %", func(p *plot) { ramp(p, 14, 17, 0.351) }, heightsFail, "error", "the limit is 35 %"},
		{"of 19.9 %, its own limit 20 %", func(p *plot) { ramp(p, 14, 17, 0.199); own(p, "r", "slope_max_percent", 20) }, heightsPass, "", ""},
		{"of 20.1 %, its own limit 20 %", func(p *plot) { ramp(p, 14, 17, 0.201); own(p, "r", "slope_max_percent", 20) }, heightsFail, "error", "the limit is 20 %"},
		{"one of 1 m, a hair less than a step", func(p *plot) { ramp(p, 14, 15, 0.498) }, heightsPass, "", ""},
		{"a hair more", func(p *plot) { ramp(p, 14, 15, 0.502) }, heightsFail, "error", "more than a slope of 35 % does"},
		{"34.9 % by its word", func(p *plot) { ramp(p, 14, 17, 0).set("slope_percent", num(34.9)) }, heightsPass, "", ""},
		{"35.1 % by its word", func(p *plot) { ramp(p, 14, 17, 0).set("slope_percent", num(35.1)) }, heightsFail, "error", "by its slope_percent"},
		{"1.04 m over its 3 m", func(p *plot) { ramp(p, 14, 17, 0).set("rise_m", num(1.04)) }, heightsPass, "", ""},
		{"1.06 m over its 3 m", func(p *plot) { ramp(p, 14, 17, 0).set("rise_m", num(1.06)) }, heightsFail, "error", "by its rise_m"},
		{"along a kerb, 0.5 m of no length", func(p *plot) {
			edgeOf(p, "k", "kerb", raisedTo(0), orb.Point{10, -20}, orb.Point{20, -20})
			ramp(p, 14, 16, 0).set("rise_m", num(0.5))
		}, heightsOpen, "", "is drawn along edge"},
		{"along a kerb, over a length", func(p *plot) {
			edgeOf(p, "k", "kerb", raisedTo(0), orb.Point{10, -20}, orb.Point{20, -20})
			ramp(p, 14, 16, 0).set("rise_m", num(0.5)).set("length_m", num(2))
		}, heightsPass, "", ""},
		{"a steep one beyond the lawn", func(p *plot) { ramp(p, 60, 63, 1) }, heightsPass, "", ""},
		{"a steep one in a keep-out", func(p *plot) {
			areaOf(p, "k", "keepout", raisedTo(0), rect(13, -21, 18, -19))
			ramp(p, 14, 17, 1)
		}, heightsPass, "", ""},
		{"a steep one that ends at the lawn", func(p *plot) { ramp(p, 29.8, 34, 1) }, heightsPass, "", ""},
	})
}
