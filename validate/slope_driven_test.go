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
		{"8 m from the outline, 3.098 m down", func(p *plot) { slab(p, "s", 20, -22, raisedTo(-3.098)) }, heightsOpen, "", "3.10 m below where its outline has the ground"},
		{"8 m from the outline, 3.102 m down", func(p *plot) { slab(p, "s", 20, -22, raisedTo(-3.102)) }, heightsFail, "error", "lies in mown ground 3.10 m lower"},
		{"1 m from the outline, 0.648 m up", func(p *plot) { slab(p, "s", 27, -21, raisedTo(0.648)) }, heightsOpen, "", "is driven over by its own word"},
		{"1 m from the outline, 0.652 m up", func(p *plot) { slab(p, "s", 27, -21, raisedTo(0.652)) }, heightsFail, "error", "is driven over by its own word"},
		{"two 1 m apart, of 0.648 m", func(p *plot) { slab(p, "s", 12, -21, raisedTo(0)); slab(p, "u", 15, -21, raisedTo(0.498)) }, heightsPass, "", ""},
		{"two 1 m apart, of 0.652 m", func(p *plot) { slab(p, "s", 12, -21, raisedTo(0)); slab(p, "u", 15, -21, raisedTo(0.652)) }, heightsFail, "error", ""},
	})
}

func TestHeightsDeepInLawns(t *testing.T) {
	// South lawn: 0 to 30 east, -30 to -10 north. At its middle a straight line
	// across leaves the ground 0.3 m and 0.01 x 10 x 10 / 2.
	at := func(kind string, up float64) func(p *plot) {
		return func(p *plot) {
			switch kind {
			case "lid":
				pointOf(p, "s", "other", up, 15, -20).set("driven_over", schema.Bool(true))
			case "stones":
				p.add(&thing{id: "s", role: "other", name: "Stones", line: []orb.Point{{15, -20}, {17, -20}}, z: raisedTo(up)}).set("driven_over", schema.Bool(true))
			case "slab":
				areaOf(p, "s", "other", raisedTo(up), rect(15, -20, 17, -19.99)).set("driven_over", schema.Bool(true))
			case "dock":
				d := p.get("d1")
				d.point, d.z = &orb.Point{15, -20}, raisedTo(up)
				p.remove("c1")
			default:
				edgeOf(p, "s", kind, raisedTo(up), orb.Point{15, -20}, orb.Point{17, -20})
			}
		}
	}
	with := func(draw func(p *plot), more func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); more(p) }
	}
	spot := func(role string, up, y float64) func(p *plot) {
		return func(p *plot) { pointOf(p, "q", role, up, 15, y) }
	}
	tilt := func(q orb.Point) float64 { return plotH + 0.1*(q[0]-15) }
	tilted := func(p *plot) {
		p.get("z2").z = tilt
		p.get("e2").z = tilt
	}
	open := "where its outline has the ground"
	for _, kind := range []string{"flush", "ramp", "lid", "stones", "slab", "dock"} {
		less, words := heightsPass, ""
		if kind == "dock" { // the way into it has to be level too
			less, words = heightsOpen, "the way in from its line-up point"
		}
		judgeHeights(t, []heightPlan{
			{kind + " 0.798 m up", at(kind, 0.798), less, "", words},
			{kind + " 0.802 m up", at(kind, 0.802), heightsOpen, "", "0.80 m above " + open},
			{kind + " 0.798 m down", at(kind, -0.798), less, "", words},
			{kind + " 0.802 m down", at(kind, -0.802), heightsOpen, "", "0.80 m below " + open},
			{kind + " 0.598 m up where the lawn slopes", with(tilted, at(kind, 0.598)), less, "", words},
		})
	}
	judgeHeights(t, []heightPlan{
		{"0.802 m up where the lawn slopes", with(tilted, at("lid", 0.802)), heightsOpen, "", open},
		{"a kerb 2 m up", at("kerb", 2), heightsPass, "", ""},
		{"a mark 2.9 m off bears it out", with(at("lid", -1), spot("mark", -1.29, -22.9)), heightsPass, "", ""},
		{"one 0.31 m off its height does not", with(at("lid", -1), spot("mark", -1.31, -22.9)), heightsOpen, "", open},
		{"one 3.1 m off does not", with(at("lid", -1), spot("mark", -1, -23.1)), heightsOpen, "", open},
		{"nor does another lid", with(at("lid", -1), func(p *plot) { pointOf(p, "q", "other", -1, 16, -20).set("driven_over", schema.Bool(true)) }), heightsOpen, "", open},
		{"the rim of a bed 0.798 m down", func(p *plot) { areaOf(p, "s", "keepout", raisedTo(-0.798), rect(15, -20, 15.01, -19.99)) }, heightsPass, "", ""},
		{"0.802 m down", func(p *plot) { areaOf(p, "s", "keepout", raisedTo(-0.802), rect(15, -20, 15.01, -19.99)) }, heightsOpen, "", "its rim 0.80 m below"},
		{"with a drop along it", func(p *plot) {
			areaOf(p, "s", "keepout", raisedTo(-1.49), rect(15, -20, 18, -18))
			edgeOf(p, "d", "drop", nil, orb.Point{15, -18}, orb.Point{18, -18})
		}, heightsPass, "", ""},
		{"with a drop along it to which the lawn falls too steeply", func(p *plot) {
			areaOf(p, "s", "keepout", raisedTo(-1.51), rect(15, -20, 18, -18))
			edgeOf(p, "d", "drop", nil, orb.Point{15, -18}, orb.Point{18, -18})
		}, heightsOpen, "", "falling 15.1 % to what is drawn there"},
		{"with a kerb along it", func(p *plot) {
			areaOf(p, "s", "keepout", raisedTo(-2), rect(15, -20, 18, -18))
			edgeOf(p, "d", "kerb", nil, orb.Point{15, -18}, orb.Point{18, -18})
		}, heightsOpen, "", "whether it is a pit"},
		{"the rim of a bed 2 m up", func(p *plot) { areaOf(p, "s", "keepout", raisedTo(2), rect(15, -20, 18, -18)) }, heightsPass, "", ""},
		{"in a keep-out", with(at("lid", -2), func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(0), rect(14, -21, 16, -19)) }), heightsOpen, "", "lies under a keep-out"},
		{"beyond the lawn", func(p *plot) { pointOf(p, "s", "other", -2, 45, -20).set("driven_over", schema.Bool(true)) }, heightsPass, "", ""},
		{"in a corner, 1 m from two sides", func(p *plot) { pointOf(p, "s", "other", 0.31, 1, -29).set("driven_over", schema.Bool(true)) }, heightsOpen, "", open},
	})
}

func TestRampsInMownGround(t *testing.T) {
	ramp := func(p *plot, x0, x1, rise float64) *thing {
		edgeOf(p, "r", "ramp", func(q orb.Point) float64 { return plotH + rise*(q[0]-x0) }, orb.Point{x0, -20}, orb.Point{x1, -20})
		return p.get("r")
	}
	judgeHeights(t, []heightPlan{
		{"a ramp of 34.9 % by its heights", func(p *plot) { ramp(p, 14, 17, 0.349) }, heightsOpen, "", "1.05 m above where its outline has the ground"},
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
