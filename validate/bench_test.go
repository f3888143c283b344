// How long a whole check takes.

package validate_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// estate is a park with 30 features: more beds, hazards and edges than the park.
func estate() *plot {
	p := park()
	for i := 0; len(p.things) < 30; i++ {
		x, y := 3+float64(i%4)*6, -28+float64(i/4)*4.5
		switch i % 4 {
		case 3:
			p.add(&thing{id: fmt.Sprintf("x%d", i), role: "edge", name: fmt.Sprintf("Fence %d", i), z: flatGround,
				line: []orb.Point{{x - 8, 30 + y/10}, {x + 8, 30 + y/10}}}).set("edge_kind", schema.String("fence"))
		default:
			p.add(&thing{id: fmt.Sprintf("x%d", i), role: "keepout", name: fmt.Sprintf("Tree ring %d", i), z: flatGround, rings: [][]orb.Point{circle(x, y, 1, 24)}})
			if len(p.things) < 30 {
				p.add(&thing{id: fmt.Sprintf("t%d", i), role: "hazard", name: fmt.Sprintf("Tree %d", i), z: flatGround, point: &orb.Point{x, y}}).
					set("hazard_kind", schema.String("tree")).set("height_m", schema.Float(1.5)).set("radius_m", schema.Float(0.3))
			}
		}
	}
	return p
}

func BenchmarkCheck(b *testing.B) {
	for _, x := range []struct {
		name string
		p    *plot
	}{{"park", park()}, {"estate", estate()}} {
		plan := x.p.plan(b)
		l := schema.DefaultLimits()
		b.Run(fmt.Sprintf("%s-%d-features", x.name, len(plan.Features)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if r := validate.Check(plan, l); r.Count(validate.Error) > 0 {
					b.Fatal(show(r.Findings[0]))
				}
			}
		})
	}
}
