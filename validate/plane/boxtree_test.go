// The index of boxes against looking at everything.

package plane

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

func TestBoxes(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, n := range []int{0, 1, 2, 15, 16, 17, 100, 257, 5000} {
		boxes := make([]orb.Bound, n)
		for i := range boxes {
			p := orb.Point{r.Float64() * 100, r.Float64() * 100}
			switch r.IntN(8) {
			case 0:
				boxes[i] = orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
			case 1: // many in one place
				boxes[i] = orb.Bound{Min: orb.Point{50, 50}, Max: orb.Point{51, 51}}
			default:
				boxes[i] = orb.Bound{Min: p, Max: orb.Point{p[0] + r.Float64()*5, p[1] + r.Float64()*5}}
			}
		}
		x := NewBoxes(boxes)
		for k := 0; k < 50; k++ {
			p := orb.Point{r.Float64()*120 - 10, r.Float64()*120 - 10}
			q := orb.Bound{Min: p, Max: orb.Point{p[0] + r.Float64()*20, p[1] + r.Float64()*20}}
			var want []int
			best, bestD := -1, math.Inf(1)
			for i := range boxes {
				if boxes[i].Intersects(q) {
					want = append(want, i)
				}
				if d := boxDistance(p, &boxes[i]) + 1; d < bestD {
					best, bestD = i, d
				}
			}
			if got := x.Search(q, nil); !slices.Equal(got, want) {
				t.Fatalf("%d boxes: search gives %v, want %v", n, got, want)
			}
			got, d := x.Nearest(p, func(i int) float64 { return boxDistance(p, &boxes[i]) + 1 })
			if got != best || d != bestD && n > 0 {
				t.Fatalf("%d boxes: the nearest is %d at %v, want %d at %v", n, got, d, best, bestD)
			}
		}
		if got := x.Search(orb.Bound{Min: orb.Point{-1e9, -1e9}, Max: orb.Point{1e9, 1e9}}, []int{-7}); len(got) > 0 && got[0] != -7 {
			t.Error("search does not append")
		}
	}
}

func boxDistance(p orb.Point, b *orb.Bound) float64 {
	if b.IsEmpty() {
		return math.Inf(1)
	}
	dx := math.Max(0, math.Max(b.Min[0]-p[0], p[0]-b.Max[0]))
	dy := math.Max(0, math.Max(b.Min[1]-p[1], p[1]-b.Max[1]))
	return math.Hypot(dx, dy)
}
