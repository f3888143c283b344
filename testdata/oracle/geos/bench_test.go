// Speed: ring validity beside GEOS's isValid.

package geos

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// shapes are simple rings of n points about the origin, given by their distance from it at each angle.
var shapes = []struct {
	name   string
	radius func(r *rand.Rand, i, n int) float64
	most   int // points; GEOS takes minutes beyond
}{
	// A rounded outline.
	{"smooth", func(_ *rand.Rand, i, n int) float64 { return 100 + 10*math.Sin(10*math.Pi*float64(i)/float64(n)) }, 1e6},
	// Teeth about as long as they are wide.
	{"jagged", func(r *rand.Rand, _, n int) float64 { return 100 * (1 + 4*2*math.Pi/float64(n)*(r.Float64()-0.5)) }, 1e6},
	// Teeth that stay long however many there are: every one lies along thousands of
	// others.
	{"comb", func(r *rand.Rand, _, n int) float64 { return 100 + 30*(r.Float64()-0.5) }, 1e5},
}

func shape(k, n int) orb.Polygon {
	r := rand.New(rand.NewPCG(uint64(n), 9))
	ring := make(orb.Ring, n+1)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := shapes[k].radius(r, i, n)
		ring[i] = orb.Point{d * cos, d * sin}
	}
	ring[n] = ring[0]
	return orb.Polygon{ring}
}

func BenchmarkRingValidity(b *testing.B) {
	for k, s := range shapes {
		for _, n := range []int{50, 1000, 100000, 1000000} {
			p := shape(k, n)
			b.Run(fmt.Sprintf("%s/%d/swardline", s.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for range b.N {
					if fs := plane.Validate([]orb.Polygon{p}); len(fs) > 0 {
						b.Fatal(fs[0])
					}
				}
			})
			if n > s.most {
				continue
			}
			b.Run(fmt.Sprintf("%s/%d/geos", s.name, n), func(b *testing.B) {
				g, err := NewContext().Polygon(p)
				if err != nil {
					b.Fatal(err)
				}
				for b.Loop() {
					if ok, err := g.IsValid(); !ok || err != nil {
						b.Fatal(g.Reason(), err)
					}
				}
			})
		}
	}
}
