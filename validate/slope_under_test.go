// Water far below the lawn about it.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// TestSunkWater: a pond of 2 m radius under a keep-out in the south lawn.
func TestSunkWater(t *testing.T) {
	pond := func(up, kept float64, more ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "k9", role: "keepout", name: "Pond", rings: [][]orb.Point{circle(20, -20, kept, 48)}, z: flatGround})
			p.add(&thing{id: "h9", role: "hazard", name: "Pond", rings: [][]orb.Point{circle(20, -20, 2, 48)}, z: raisedTo(up)}).set("hazard_kind", schema.String("pond"))
			for _, f := range more {
				f(p)
			}
		}
	}
	rim := func(up float64) func(p *plot) { return func(p *plot) { p.get("k9").z = raisedTo(up) } }
	edge := func(kind string) func(p *plot) {
		return func(p *plot) {
			ring := circle(20, -20, 2.2, 48)
			edgeOf(p, "e9", kind, flatGround, append(ring, ring[0])...)
			p.get("e9").set("height_m", num(3))
		}
	}
	const deep = "a bank that steep gives way"
	judgeHeights(t, []heightPlan{
		{"a hair less than 1 m below", pond(-0.998, 2.5), heightsPass, "", ""},
		{"a hair more", pond(-1.002, 2.5), heightsFail, "note", deep},
		{"far below", pond(-4, 2.5), heightsFail, "note", deep},
		{"a hair less than 1 m off", pond(-3, 2.99), heightsFail, "note", deep},
		{"1.02 m off and a hair less below", pond(-1.016, 3.02), heightsPass, "", ""},
		{"as much and a hair more below", pond(-1.02, 3.02), heightsFail, "note", deep},
		{"a hair less than 3 m off", pond(-4, 5), heightsFail, "note", deep},
		{"a hair more than that", pond(-4, 5.01), heightsPass, "", ""},
		{"below the keep-out's own rim", pond(-0.602, 2.5, rim(0.4)), heightsFail, "note", deep},
		{"a hair less below that", pond(-0.598, 2.5, rim(0.4)), heightsPass, "", ""},
		{"a rim lower than the lawn", pond(-1.002, 2.5, rim(-0.3)), heightsFail, "note", deep},
		{"a raised pond in its rim", pond(0.3, 2.5, rim(0.5)), heightsPass, "", ""},
		{"behind a wall", pond(-3, 2.6, edge("wall")), heightsPass, "", ""},
		{"behind a wall by the lawn", pond(-3, 2.9, edge("wall")), heightsPass, "", ""},
	})
}
