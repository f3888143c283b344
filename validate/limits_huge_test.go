// Limits that nobody means: a check ends all the same.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestHugeLimits(t *testing.T) {
	for _, d := range schema.LimitTable {
		for _, v := range []float64{1e9, 1e-9} {
			l := schema.DefaultLimits()
			if err := l.Set(d.Key, v, schema.OriginFile, "a test"); err != nil {
				continue // told where it is read
			}
			p := park()
			for i, kind := range []string{"wall", "kerb", "fence", "drop", "flush"} {
				y := -20 + 4*float64(i)
				p.add(&thing{id: "x" + kind, role: "edge", name: "Edge", line: []orb.Point{{10, y}, {20, y}}, z: flatGround}).set("edge_kind", schema.String(kind))
			}
			r := validate.Check(p.plan(t), l)
			if len(r.Rules) != len(validate.RulesOf(validate.CommandCheck)) {
				t.Errorf("%s = %v: %d results", d.Key, v, len(r.Rules))
			}
		}
	}
}
