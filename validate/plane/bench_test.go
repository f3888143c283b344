// Speed of the kernel's parts; the oracle module measures it beside GEOS.

package plane

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// ringAround returns a simple ring of n points at the distances radius(i) from
// the origin.
func ringAround(n int, radius func(i int) float64) orb.Ring {
	ring := make(orb.Ring, n+1)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := radius(i)
		ring[i] = orb.Point{d * cos, d * sin}
	}
	ring[n] = ring[0]
	return ring
}

func smoothRing(n int) orb.Ring {
	return ringAround(n, func(i int) float64 { return 100 + 10*math.Sin(10*math.Pi*float64(i)/float64(n)) })
}

func jaggedRing(n int) orb.Ring {
	r := rand.New(rand.NewPCG(uint64(n), 9))
	return ringAround(n, func(int) float64 { return 100 * (1 + 8*math.Pi/float64(n)*(r.Float64()-0.5)) })
}

func combRing(n int) orb.Ring {
	r := rand.New(rand.NewPCG(uint64(n), 9))
	return ringAround(n, func(int) float64 { return 100 + 30*(r.Float64()-0.5) })
}

func BenchmarkValidate(b *testing.B) {
	for _, shape := range []struct {
		name string
		make func(n int) orb.Ring
	}{{"smooth", smoothRing}, {"jagged", jaggedRing}, {"comb", combRing}} {
		for _, n := range []int{50, 1000, 100000, 1000000} {
			p := []orb.Polygon{{shape.make(n)}}
			b.Run(fmt.Sprintf("%s/%d", shape.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for range b.N {
					if fs := Validate(p); len(fs) > 0 {
						b.Fatal(fs[0])
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/point")
			})
		}
	}
}

func BenchmarkOffset(b *testing.B) {
	for _, n := range []int{20, 50, 1000} {
		for _, by := range []float64{2, -2} {
			p := orb.Polygon{smoothRing(n)}
			b.Run(fmt.Sprintf("%d/%g", n, by), func(b *testing.B) {
				b.ReportAllocs()
				for range b.N {
					if _, err := Offset(p, by, Round(1e-3)); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

func BenchmarkUnion(b *testing.B) {
	for _, n := range []int{20, 200, 2000} {
		p, q := orb.MultiPolygon{{combRing(n)}}, orb.MultiPolygon{{combRing(n + 1)}}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := Union(p, q); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
