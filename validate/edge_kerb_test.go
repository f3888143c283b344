// Kerbs of a height that none has.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestHighKerbs: a kerb of a height that none has.
func TestHighKerbs(t *testing.T) {
	edge := func(kind string, height float64) func(p *plot) {
		return func(p *plot) {
			e := p.add(&thing{id: "e9", role: "edge", name: "Border", line: []orb.Point{{60, 60}, {70, 60}}, z: flatGround})
			e.set("edge_kind", schema.String(kind)).set("height_m", num(height))
		}
	}
	judgeWords(t, "edge-setback", []wordCase{
		{"a kerb", edge("kerb", 0.12), validate.Passed, ""},
		{"a high one", edge("kerb", 0.5), validate.Passed, ""},
		{"a hair more", edge("kerb", 0.501), validate.Failed, "make it a wall"},
		{"a wall's", edge("kerb", 1.5), validate.Failed, "is a kerb 1.50 m high"},
		{"a wall", edge("wall", 1.5), validate.Passed, ""},
	})
}
