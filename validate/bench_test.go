// How long a whole check takes. Measured as user time of 1,000 checks on one
// core (GOMAXPROCS=1, Intel Xeon, go 1.26) of a machine with two cores and ten
// processes at work: the estate of 30 features and no finding takes 1.0 ms,
// 1,000 a second; the faulty one with 29 findings 3.0 ms, 330 a second. Before
// satellites-few looked at a day of satellites they took 0.36 and 1.8 ms, with
// less going on beside them. Half of what the findings cost goes into the
// ground that uncovered hazards share with zones: its outline, and its deepest
// place.

package validate_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// estate is a park with 30 features: more beds, hazards and edges than the
// park.
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

// faulty is an estate with some fifty findings: coarse keep-outs drawn too
// tightly round their trees, names missing, walls too near and lawns that
// overlap.
func faulty() *plot {
	p := estate()
	for _, x := range p.things {
		x.name = ""
		if x.role == "keepout" && len(x.rings[0]) == 25 {
			c := x.rings[0][0]
			x.rings[0] = circle(c[0]-1, c[1], 0.35, 8)
		}
	}
	p.add(&thing{id: "z3", role: "zone", rings: [][]orb.Point{rect(-8, 0, 0.6, 20)}, z: flatGround})
	p.get("e1").line = []orb.Point{{0, 20.05}, {30, 20.05}}
	p.get("p1").rings[0] = rect(0.4, -40, 80, 40)
	p.get("c1").line[0] = orb.Point{29.6, 10}
	return p
}

func BenchmarkCheckFaulty(b *testing.B) {
	plan := faulty().plan(b)
	l := schema.DefaultLimits()
	n := len(validate.Check(plan, l).Findings)
	b.Run(fmt.Sprintf("%d-features-%d-findings", len(plan.Features), n), func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			validate.Check(plan, l)
		}
	})
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
