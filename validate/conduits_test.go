// Tests of cables and pipes in lawns, and of radii that are too small.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestConduitsInLawns(t *testing.T) {
	laid := func(name string, pairs ...any) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "o9", role: "other", name: name, line: []orb.Point{{20, -25}, {26, -21}}, z: flatGround}).set("driven_over", schema.Bool(true))
			for i := 0; i < len(pairs); i += 2 {
				switch v := pairs[i+1].(type) {
				case float64:
					x.set(pairs[i].(string), num(v))
				case string:
					x.set(pairs[i].(string), schema.String(v))
				}
			}
		}
	}
	const deep = "nothing of how deep it lies"
	judgeWords(t, validate.RuleOtherInZone, []wordCase{
		{"a cable", laid("Cable"), validate.Unchecked, deep},
		{"in a longer word", laid("Begrenzungskabel"), validate.Unchecked, deep},
		{"a pipe", laid("Irrigation pipes"), validate.Unchecked, deep},
		{"by its layer", laid("L1", "layer", "Stromkabel"), validate.Unchecked, deep},
		{"by its kind", laid("L1", "kind", "tubería"), validate.Unchecked, deep},
		{"a drain", laid("Field drain"), validate.Unchecked, deep},
		{"a drain's lid, which is a point", func(p *plot) {
			laid("Drain")(p)
			p.get("o9").line, p.get("o9").point = nil, &orb.Point{20, -25}
		}, validate.Passed, ""},
		{"buried", laid("Buried cable", "depth_m", 0.5), validate.Passed, ""},
		{"as deep as it must", laid("Buried cable", "depth_m", 0.05), validate.Passed, ""},
		{"a hair less", laid("Buried cable", "depth_m", 0.048), validate.Unchecked, deep},
		{"a depth in another unit", laid("Erdkabel", "Tiefe", "60 cm"), validate.Passed, ""},
		{"a height below", laid("Cable", "height_m", "-0,4"), validate.Passed, ""},
		{"above the ground", laid("Cable", "height_m", 0.4), validate.Failed, "off the ground"},
		{"a little above it", laid("Cable", "height_m", 0.1), validate.Unchecked, deep},
		{"a slab, which is none", laid("Slabs"), validate.Passed, ""},
		{"a slab that is deep", laid("Slabs", "depth_m", 0.5), validate.Failed, "off the ground"},
		{"beside the lawn", func(p *plot) { laid("Cable")(p); p.get("o9").line = []orb.Point{{34, -25}, {36, -21}} }, validate.Passed, ""},
	})
	above := func(up float64, more ...func(p *plot)) func(p *plot) {
		return allOf(laid("Buried cable", "depth_m", 0.3), func(p *plot) { p.get("o9").z = raisedTo(up) }, allOf(more...))
	}
	at := func(x, y float64) func(p *plot) {
		return func(p *plot) { p.get("o9").line = []orb.Point{{x, y}, {x + 0.1, y}} }
	}
	uneven := func(p *plot) {
		p.get("z2").z = func(q orb.Point) float64 {
			if q[1] < -29 && q[0] < 1 {
				return plotH + 0.3
			}
			return plotH
		}
	}
	const contradicts = "and by its heights it lies"
	judgeWords(t, validate.RuleOtherInZone, []wordCase{
		{"buried by its word, and 0.051 m above the lawn", above(0.051), validate.Failed, contradicts},
		{"0.049 m", above(0.049), validate.Passed, ""},
		{"under it", above(-0.3), validate.Passed, ""},
		{"beside the lawn's corner, outside", above(0.1, at(30.2, -29.9)), validate.Failed, contradicts},
		{"0.6 m outside", above(0.1, at(30.6, -29.9)), validate.Passed, ""},
		{"in a lawn that is no plane", above(0.3, uneven), validate.Passed, ""},
		{"at the edge of that", above(0.3, uneven, at(29.6, -29.9)), validate.Failed, contradicts},
		{"under a corridor", above(0.1, at(15.2, -1)), validate.Failed, contradicts},
		{"across the corridor at one of its points, its own far off", above(0.1, func(p *plot) { p.get("o9").line = []orb.Point{{14.8, -8.99}, {15.2, -8.99}} }), validate.Failed, contradicts},
		{"between two of its points, where the ground may lie as much off", above(0.1, at(15.2, -5)), validate.Passed, ""},
	})
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a water pipe", laid("Water pipe"), validate.Failed, "says water"},
		{"a deep one", laid("Water pipe", "depth_m", 0.6), validate.Passed, ""},
		{"a stream that is deep", laid("Stream", "depth_m", 0.6), validate.Failed, "says water"},
	})
	flush := func(name string, x float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: name, line: []orb.Point{{x, -25}, {x + 2, -21}}, z: flatGround}).set("edge_kind", schema.String("flush"))
		}
	}
	judgeWords(t, validate.RuleEdgeSetback, []wordCase{
		{"a cable as a flush edge", flush("Garden cable", 20), validate.Unchecked, "is cut"},
		{"beside the lawn", flush("Garden cable", 34), validate.Passed, ""},
		{"a sill", flush("Sill", 20), validate.Passed, ""},
	})
}

func TestThinThings(t *testing.T) {
	of := func(kind string, radius, height float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Thing", point: &orb.Point{70, 30}, z: flatGround}).
				set("hazard_kind", schema.String(kind)).set("radius_m", num(radius)).set("height_m", num(height))
		}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a tree that slipped", of("oak", 0.02, 14), validate.Failed, "no tree stands so thin"},
		{"a slender one", of("spruce", 0.07, 14), validate.Passed, ""},
		{"a hair thinner", of("spruce", 0.0699, 14), validate.Failed, "no tree stands so thin"},
		{"a sapling", of("apple tree", 0.02, 2), validate.Passed, ""},
		{"a rock", of("rock", 0.049, 0.3), validate.Failed, "is thicker"},
		{"a hair more", of("rock", 0.05, 0.3), validate.Passed, ""},
		{"a bench", of("bench", 0.025, 0.4), validate.Failed, "is thicker"},
		{"a post", of("post", 0.025, 1), validate.Passed, ""},
		{"a tall post", of("flagpole", 0.03, 12), validate.Passed, ""},
	})
}
