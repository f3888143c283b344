// Roads and rivers that say they are narrower than any.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestNarrowRoads(t *testing.T) {
	way := func(kind, key string, size float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Way", line: []orb.Point{{-10, 35}, {40, 35}}, z: flatGround}).
				set("hazard_kind", schema.String(kind)).set(key, num(size))
		}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a road of 2 m", way("road", "width_m", 2), validate.Passed, ""},
		{"a hair narrower", way("road", "width_m", 1.999), validate.Failed, "1.999 m wide"},
		{"a street by its radius", way("Straße", "radius_m", 0.3), validate.Failed, "0.60 m wide"},
		{"a street by a radius of 1 m", way("Straße", "radius_m", 1), validate.Passed, ""},
		{"a road of 0.1 m", way("road", "width_m", 0.1), validate.Failed, "0.10 m wide"},
		{"a river", way("river", "width_m", 0.8), validate.Failed, "0.80 m wide"},
		{"a brook", way("brook", "width_m", 0.8), validate.Passed, ""},
		{"a railway", way("railway", "width_m", 2.499), validate.Failed, "2.499 m wide"},
		{"a railway of 2.5 m", way("railway", "width_m", 2.5), validate.Passed, ""},
		{"a railway in a garden", way("garden railway", "width_m", 0.3), validate.Passed, ""},
		{"a rail", way("rails", "width_m", 0.5), validate.Passed, ""},
		{"rails", way("rails", "width_m", 0.6), validate.Failed, "0.60 m wide"},
		{"a way for bicycles", way("cycleway", "width_m", 0.9), validate.Passed, ""},
		{"a hedge", way("hedge", "width_m", 0.2), validate.Passed, ""},
		{"a hedge that is none", way("hedge", "width_m", 0.19), validate.Failed, "0.19 m wide"},
		{"a slip to millimetres is told once", way("road", "width_m", 0.006), validate.Failed, "no size of a hazard"},
		{"the outline of a road", func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, rect(-10, 35, 40, 36)).set("hazard_kind", schema.String("road")).set("width_m", num(0.6))
		}, validate.Passed, ""},
	})
}

// TestHandSized: lakes, roads, forests and buildings a hair either side of the
// least.
func TestHandSized(t *testing.T) {
	disc := func(kind string, radius float64) func(p *plot) {
		return func(p *plot) {
			pointOf(p, "h9", "hazard", 0, 50, 35)
			p.get("h9").set("hazard_kind", schema.String(kind)).set("radius_m", num(radius))
		}
	}
	area := func(role, kind string, size float64) func(p *plot) {
		return func(p *plot) {
			a := areaOf(p, "h9", role, flatGround, rect(50, 35, 50+size, 35+size))
			if kind != "" {
				a.set("hazard_kind", schema.String(kind))
			}
		}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a lake as a disc", disc("lake", 0.999), validate.Failed, "1.998 m across"},
		{"a hair wider", disc("lake", 1.001), validate.Passed, ""},
		{"a bird house", disc("bird house", 0.2), validate.Passed, ""},
		{"a pool", disc("swimming pool", 0.399), validate.Failed, "0.798 m across"},
		{"a hair wider, too", disc("swimming pool", 0.401), validate.Passed, ""},
		{"a pond", disc("Teich", 0.149), validate.Failed, "0.298 m across"},
		{"one as large as a tub", disc("Teich", 0.15), validate.Passed, ""},
		{"a container for litter", disc("litter container", 0.3), validate.Passed, ""},
		{"a container", disc("container", 0.3), validate.Failed, "0.60 m across"},
		{"a well", disc("well", 0.4), validate.Passed, ""},
		{"a forest", area("hazard", "forest", 1.99), validate.Failed, "1.99 m across"},
		{"a hair larger", area("hazard", "forest", 2.01), validate.Passed, ""},
		{"a road", area("hazard", "road", 0.5), validate.Failed, "0.50 m across"},
		{"a building", area("building", "", 0.29), validate.Failed, "0.29 m across"},
		{"a hair larger, too", area("building", "", 0.31), validate.Passed, ""},
		{"a stone", area("hazard", "stone", 0.3), validate.Passed, ""},
	})
}
