// Whether the antenna can stand where its height has it.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestAntennaOverTheGround(t *testing.T) {
	// The base of the park stands 9.43 m from the nearest height, a corner of the
	// north lawn (30, 20): hypot(8, 5).
	const aside = 0.5 * 9.43398
	at := func(up, mast float64) func(p *plot) {
		return func(p *plot) {
			b := p.get("b1")
			b.z = func(orb.Point) float64 { return plotH + up }
			b.props = nil
			if mast == mast {
				b.set("antenna_height_m", num(mast))
			}
		}
	}
	judgeWords(t, validate.RuleBaseHeight, []wordCase{
		{"as high as it says", at(2.5, 2.5), validate.Passed, ""},
		{"a hair less above it", at(2.5+2+aside-0.01, 2.5), validate.Passed, ""},
		{"a hair more", at(2.5+2+aside+0.01, 2.5), validate.Failed, "above the ground nearest by"},
		{"a hair less below", at(2.5-2-aside+0.01, 2.5), validate.Passed, ""},
		{"a hair more below", at(2.5-2-aside-0.01, 2.5), validate.Failed, "below the ground nearest by"},
		{"on a roof, a hair less", at(30+2+aside-0.01, nan), validate.Passed, ""},
		{"a hair more than a roof", at(30+2+aside+0.01, nan), validate.Failed, "no antenna_height_m"},
		{"under the ground, a hair less", at(-2-aside+0.01, nan), validate.Passed, ""},
		{"a hair more under the ground", at(-2-aside-0.01, nan), validate.Failed, "below the ground nearest by"},
		{"45 m, as ellipsoid and geoid lie apart", at(45+2.5, 2.5), validate.Failed, "another height reference"},
		{"an antenna on the ground", at(0, 0), validate.Unchecked, "measure how high above the ground"},
		{"nearer to a mark", func(p *plot) {
			at(14, 2.5)(p)
			p.add(&thing{id: "m9", role: "mark", name: "M9", point: &orb.Point{37, 25}, z: func(orb.Point) float64 { return plotH + 11 }})
		}, validate.Passed, ""},
		{"heights that are clamped", func(p *plot) {
			at(40, 2.5)(p)
			for _, x := range p.things {
				if x.role != "base" {
					x.set("altitude_mode", schema.String("clampToGround"))
				}
			}
		}, validate.Unchecked, ""},
	})
}
