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
		{"a road of 1 m", way("road", "width_m", 1), validate.Passed, ""},
		{"a hair narrower", way("road", "width_m", 0.999), validate.Failed, "0.999 m wide"},
		{"a street by its radius", way("Straße", "radius_m", 0.3), validate.Failed, "0.60 m wide"},
		{"a street by a radius of 0.5 m", way("Straße", "radius_m", 0.5), validate.Passed, ""},
		{"a road of 0.1 m", way("road", "width_m", 0.1), validate.Failed, "0.10 m wide"},
		{"a river", way("river", "width_m", 0.8), validate.Failed, "0.80 m wide"},
		{"a brook", way("brook", "width_m", 0.8), validate.Passed, ""},
		{"a railway", way("railway", "width_m", 0.6), validate.Passed, ""},
		{"a way for bicycles", way("cycleway", "width_m", 0.9), validate.Passed, ""},
		{"a hedge", way("hedge", "width_m", 0.5), validate.Passed, ""},
		{"a slip to millimetres is told once", way("road", "width_m", 0.006), validate.Failed, "no size of a hazard"},
		{"the outline of a road", func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, rect(-10, 35, 40, 36)).set("hazard_kind", schema.String("road")).set("width_m", num(0.6))
		}, validate.Passed, ""},
	})
}
