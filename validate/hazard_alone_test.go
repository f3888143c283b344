// Tests of pieces of roads and streams that come from nowhere.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestPiecesAlone(t *testing.T) {
	// Under a keep-out in the south lawn, 30 by 22 m from 0, -31 on.
	piece := func(kind, name string, x0, x1 float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "s1", role: "hazard", name: name, rings: [][]orb.Point{rect(x0, -22, x1, -18)}, z: flatGround}).set("hazard_kind", schema.String(kind))
			p.add(&thing{id: "k9", role: "keepout", name: "Round it", rings: [][]orb.Point{rect(x0-0.5, -22.5, x1+0.5, -17.5)}, z: flatGround})
		}
	}
	with := func(role, kind string, gap float64) func(p *plot) {
		return func(p *plot) {
			piece("stream", "Brook", 12, 17)(p)
			x := p.add(&thing{id: "w1", role: role, name: "Cover", rings: [][]orb.Point{rect(17+gap, -21, 18.4, -19)}, z: flatGround})
			p.get("k9").rings = [][]orb.Point{rect(11.5, -22.5, 19, -17.5)}
			if kind != "" {
				x.set("hazard_kind", schema.String(kind))
			}
		}
	}
	const alone = "comes from nowhere"
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a piece of a stream", piece("stream", "Brook", 12, 17), validate.Unchecked, alone},
		{"of a road", piece("road", "Road", 12, 17), validate.Unchecked, alone},
		{"of a railway", piece("railway", "Railway", 12, 17), validate.Failed, alone},
		{"from the outline on", piece("stream", "Brook", 0.499, 17), validate.Passed, ""},
		{"from farther in", piece("stream", "Brook", 0.502, 17), validate.Unchecked, alone},
		{"a pond", piece("pond", "Pond", 12, 17), validate.Passed, ""},
		{"a car park", piece("parking", "Parking", 12, 17), validate.Passed, ""},
		{"an ornamental stream", piece("stream", "Ornamental stream", 12, 17), validate.Passed, ""},
		{"that comes in from outside and ends", piece("stream", "Brook", -4, 17), validate.Failed, "points at it"},
		{"that comes out of a pond", with("hazard", "pond", 0.499), validate.Passed, ""},
		{"a pond farther off", with("hazard", "pond", 0.502), validate.Unchecked, alone},
		{"that comes from under a cover", with("other", "", 0.2), validate.Passed, ""},
		{"a bench beside it", with("hazard", "bench", 0.2), validate.Unchecked, alone},
	})
}
