// Heights that are filled in, not measured.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/validate"
)

func TestHeightsThatNobodyMeasured(t *testing.T) {
	flat := func(h float64, ids ...string) func(p *plot) {
		return func(p *plot) {
			for _, x := range p.things {
				for _, id := range ids {
					if x.id == id || id == "" {
						x.z = func(orb.Point) float64 { return h }
					}
				}
			}
		}
	}
	judgeWords(t, validate.RuleSlopeLimit, []wordCase{
		{"all 0", flat(0, ""), validate.Unchecked, `every height of zone "North lawn" is 0`},
		{"a millimetre", flat(0.001, "z1", "z2", "c1", "c2"), validate.Failed, ""}, // a step to the ground about
		{"one lawn at 0", flat(0, "z2"), validate.Failed, `every height of zone "South lawn" is 0`},
		{"a corridor at 0", flat(0, "c1"), validate.Failed, `every height of corridor "Dock way" is 0`},
		{"all alike, the antenna too", flat(45, ""), validate.Unchecked, "one height was filled in"},
		{"all alike but the antenna", func(p *plot) {
			flat(45, "")(p)
			p.get("b1").z = func(orb.Point) float64 { return 45.001 }
		}, validate.Passed, ""},
		{"all alike but one corner", func(p *plot) {
			flat(45, "")(p)
			p.get("z2").z = func(q orb.Point) float64 {
				if q[0] == 0 && q[1] == -30 {
					return 45.001
				}
				return 45
			}
		}, validate.Passed, ""},
		{"flat lawns", flat(plotH, "z1", "z2", "c1", "c2"), validate.Passed, ""},
	})
}
