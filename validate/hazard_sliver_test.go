// A keep-out that ends at the outline of a lawn, over water that reaches in there.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestSliverAtOutline(t *testing.T) {
	// The south lawn ends at 10 m south; a pond reaches in from there.
	pond := func(side, short float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "s1", role: "hazard", name: "Pond", rings: [][]orb.Point{rect(4, -20, 6, -10)}, z: flatGround}).set("hazard_kind", schema.String("pond"))
			p.add(&thing{id: "k9", role: "keepout", name: "Round it", rings: [][]orb.Point{rect(4-side, -20-side, 6+side, -10-short)}, z: flatGround})
		}
	}
	const near = "mown ground of"
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"on the outline", pond(0.3, 0), validate.Passed, ""},
		{"half a millimetre inside it", pond(0.3, 0.0005), validate.Passed, ""},
		{"two millimetres inside it", pond(0.3, 0.002), validate.Failed, "with no keep-out over them"},
		{"half a millimetre inside, and a millimetre and a half too narrow", pond(0.2985, 0.0005), validate.Failed, near},
		{"a millimetre and a half too narrow", pond(0.2985, 0), validate.Failed, near},
	})
}
