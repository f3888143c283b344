// Speed: ring validity, unions and offsets beside GEOS's.

package geos

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// shapes are simple rings of n points about the origin, given by their distance
// from it at each angle.
var shapes = []struct {
	name   string
	radius func(r *rand.Rand, i, n int) float64
	most   int // points; GEOS takes minutes beyond
}{
	// A rounded outline.
	{"smooth", func(_ *rand.Rand, i, n int) float64 { return 100 + 10*math.Sin(10*math.Pi*float64(i)/float64(n)) }, 1e6},
	// Teeth about as long as they are wide.
	{"jagged", func(r *rand.Rand, _, n int) float64 { return 100 * (1 + 4*2*math.Pi/float64(n)*(r.Float64()-0.5)) }, 1e6},
	// Teeth that stay long however many there are: every one lies along
	// thousands of others.
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

func BenchmarkUnion(b *testing.B) {
	for _, n := range []int{20, 200, 2000} {
		r := rand.New(rand.NewPCG(8, 8))
		p, q := star(r, n), star(r, n)
		b.Run(fmt.Sprintf("%d/swardline", n), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := plane.Union(p, q); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprintf("%d/geos", n), func(b *testing.B) {
			c := NewContext()
			g, errP := c.MultiPolygon(p)
			h, errQ := c.MultiPolygon(q)
			if errP != nil || errQ != nil {
				b.Fatal(errP, errQ)
			}
			for b.Loop() {
				if _, err := g.Overlay(Union, h); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkOffset(b *testing.B) {
	for _, n := range []int{50, 1000} {
		p := shape(0, n)
		for _, by := range []float64{2, -2} {
			b.Run(fmt.Sprintf("%d/%g/swardline", n, by), func(b *testing.B) {
				b.ReportAllocs()
				for range b.N {
					if _, err := plane.Offset(p, by, plane.Round(1e-3)); err != nil {
						b.Fatal(err)
					}
				}
			})
			b.Run(fmt.Sprintf("%d/%g/geos", n, by), func(b *testing.B) {
				g, err := NewContext().Polygon(p)
				if err != nil {
					b.Fatal(err)
				}
				for b.Loop() {
					if _, err := g.Buffer(by, 25, false, 1); err != nil { // 2 (1-cos(pi/100)) = 1e-3
						b.Fatal(err)
					}
				}
			})
		}
	}
}
