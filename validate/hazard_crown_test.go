// Trees whose crown hangs down to the machine.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestLowCrowns(t *testing.T) {
	// A tree in the south lawn under a round keep-out of so many metres.
	tree := func(keepout float64, props ...any) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "t1", role: "hazard", name: "Old lime", point: &orb.Point{15, -20}, z: flatGround}).set("hazard_kind", schema.String("tree"))
			x.set("radius_m", num(0.3))
			for i := 0; i < len(props); i += 2 {
				switch v := props[i+1].(type) {
				case float64:
					x.set(props[i].(string), num(v))
				case string:
					x.set(props[i].(string), schema.String(v))
				}
			}
			if keepout > 0 {
				p.add(&thing{id: "k9", role: "keepout", name: "Round it", rings: [][]orb.Point{circle(15, -20, keepout, 360)}, z: flatGround})
			}
		}
	}
	outline := func(half float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) {
			draw(p)
			x := p.get("t1")
			x.point, x.rings = nil, [][]orb.Point{rect(15-half, -20-half, 15+half, -20+half)}
			x.props = x.props[:1:1]
			x.set("crown_base_m", num(0.2))
		}
	}
	at := func(x, y float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); p.get("t1").point = &orb.Point{x, y} }
	}
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a low crown past its keep-out", tree(1, "crown_base_m", 0.2, "crown_radius_m", 3.0), validate.Failed, "m2 of it lie in"},
		{"a low crown within its keep-out and margin", tree(3.302, "crown_base_m", 0.2, "crown_radius_m", 3.0), validate.Passed, ""},
		{"a hair wider", tree(3.302, "crown_base_m", 0.2, "crown_radius_m", 3.01), validate.Failed, "comes within 0.29"},
		{"by its diameter", tree(3.302, "crown_base_m", 0.2, "crown_diameter_m", 6.0), validate.Passed, ""},
		{"by a wider diameter", tree(3.302, "crown_base_m", 0.2, "crown_diameter_m", 6.02), validate.Failed, "comes within 0.29"},
		{"by its diameter in another tongue", tree(3.302, "crown_base_m", 0.2, "Kronendurchmesser", "6.02 m"), validate.Failed, "comes within"},
		{"by its spread in centimetres", tree(3.302, "crown_base_m", 0.2, "crown_spread_cm", 602.0), validate.Failed, "comes within"},
		{"as high as a machine", tree(1, "crown_base_m", 0.6, "crown_radius_m", 3.0), validate.Passed, ""},
		{"as high as its antenna", tree(1, "crown_base_m", 0.5, "crown_radius_m", 3.0), validate.Failed, "m2 of it lie in"},
		{"a hair lower", tree(1, "crown_base_m", 0.599, "crown_radius_m", 3.0), validate.Failed, "m2 of it lie in"},
		{"to the ground", tree(1, "crown_base_m", 0.0, "crown_radius_m", 3.0), validate.Failed, "m2 of it lie in"},
		{"of no base", tree(1, "crown_radius_m", 3.0), validate.Passed, ""},
		{"of no width", tree(1, "crown_base_m", 0.2), validate.Unchecked, "says not how wide it is"},
		{"of no width, as high as a machine", tree(1, "crown_base_m", 0.6), validate.Passed, ""},
		{"of no width, under as much as it is high", tree(4.302, "crown_base_m", 0.2, "height_m", 4.0), validate.Passed, ""},
		{"of no width, a hair higher", tree(4.302, "crown_base_m", 0.2, "height_m", 4.01), validate.Unchecked, "says not how wide it is"},
		{"of no width, beside a corridor", at(19, -5.5, tree(0, "crown_base_m", 0.2, "height_m", 3.71)), validate.Unchecked, "says not how wide it is"},
		{"of no width, a hair too low for it", at(19, -5.5, tree(0, "crown_base_m", 0.2, "height_m", 3.39)), validate.Passed, ""},
		{"of no width, far off", at(60, -20, tree(0, "crown_base_m", 0.2)), validate.Passed, ""},
		{"a low crown beside a corridor", at(19, -5.5, tree(0, "crown_base_m", 0.2, "crown_radius_m", 3.42)), validate.Failed, "passes 0.28"},
		{"farther from it", at(19, -5.5, tree(0, "crown_base_m", 0.2, "crown_radius_m", 3.38)), validate.Passed, ""},
		{"wider than a trunk", tree(1.5, "crown_base_m", 0.2, "radius_m", 1.002), validate.Passed, ""},
		{"no wider than one", tree(1.5, "crown_base_m", 0.2, "radius_m", 1.0), validate.Unchecked, "says not how wide it is"},
		{"an outline wider than a trunk", outline(1.1, tree(2)), validate.Passed, ""},
		{"an outline of a trunk", outline(0.9, tree(2)), validate.Unchecked, "says not how wide it is"},
		{"an outline within its crown", func(p *plot) { outline(0.9, tree(2))(p); p.get("t1").set("crown_radius_m", num(3)) }, validate.Failed, "m2 of it lie in"},
		{"an outline that is its crown", func(p *plot) { outline(3, tree(4.6))(p); p.get("t1").set("crown_radius_m", num(3)) }, validate.Passed, ""},
		{"a bench of such words", func(p *plot) {
			tree(1, "crown_base_m", 0.2, "crown_radius_m", 3.0)(p)
			p.get("t1").set("hazard_kind", schema.String("bench"))
		}, validate.Passed, ""},
	})
}

// A tree whose foot lies lower than the rim of its keep-out, and a lawn that rises
// beside it.
func TestRisingCrowns(t *testing.T) {
	tree := func(foot, base, radius float64, props ...any) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "t1", role: "hazard", name: "Old lime", point: &orb.Point{15, -20}, z: func(orb.Point) float64 { return plotH + foot }})
			x.set("hazard_kind", schema.String("tree")).set("radius_m", num(0.3))
			x.set("crown_base_m", num(base))
			if radius > 0 {
				x.set("crown_radius_m", num(radius))
			}
			for i := 0; i < len(props); i += 2 {
				x.set(props[i].(string), schema.Float(props[i+1].(float64)))
			}
			p.add(&thing{id: "k9", role: "keepout", name: "Round it", rings: [][]orb.Point{circle(15, -20, 1, 90)}, z: flatGround})
		}
	}
	const rises = "of keepout \"Round it\" rises by"
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a foot as high as its rim", tree(0, 0.6, 3), validate.Passed, ""},
		{"a foot lower, a crown as much higher", tree(-0.3, 0.9, 3), validate.Passed, ""},
		{"a crown a hair lower", tree(-0.3, 0.898, 3), validate.Failed, rises},
		{"a foot higher", tree(0.3, 0.6, 3), validate.Passed, ""},
		{"a crown no wider than its keep-out", tree(-0.3, 0.8, 0.9), validate.Passed, ""},
		{"of no width, as high as it is", tree(-0.3, 0.8, 0, "height_m", 6.0), validate.Failed, rises},
		{"heights that are clamped", func(p *plot) {
			tree(-0.3, 0.8, 3)(p)
			p.get("t1").set("altitude_mode", schema.String("clampToGround"))
		}, validate.Passed, ""},
		// The way at 15 m lies 1.5 m higher than the foot 6 m beside it: 0.75 m within 3 m.
		{"a lawn that rises farther off", func(p *plot) {
			tree(0, 1.3, 3)(p)
			p.get("k9").z = nil
			p.add(&thing{id: "g9", role: "edge", name: "Slabs", line: []orb.Point{{21, -21}, {21, -19}}, z: func(orb.Point) float64 { return plotH + 1.5 }}).set("edge_kind", schema.String("flush"))
		}, validate.Failed, "rises by 0.75"},
	})
}
