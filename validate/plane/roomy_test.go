// The places that findings show.

package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// The point lies inside, of crescents, rings and slivers too, and of a plain
// figure in the middle.
func TestRoomyPoint(t *testing.T) {
	ring := func(x, y, r float64, n int) orb.Ring {
		var out orb.Ring
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			out = append(out, orb.Point{x + r*c, y + r*s})
		}
		return append(out, out[0])
	}
	square := orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}}}
	if got := RoomyPoint(square); got != (orb.Point{5, 5}) {
		t.Errorf("of a square %v", got)
	}
	if got := RoomyPoint(nil); got != (orb.Point{}) {
		t.Errorf("of nothing %v", got)
	}
	if got := RoomyPoint(orb.MultiPolygon{{{{3, 4}, {5, 4}, {3, 4}}}}); got != (orb.Point{3, 4}) {
		t.Errorf("without an inside %v", got)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		a := orb.MultiPolygon{{ring(rng.Float64(), rng.Float64(), 0.2+rng.Float64(), 3+rng.IntN(60))}}
		b := orb.MultiPolygon{{ring(rng.Float64(), rng.Float64(), 0.2+rng.Float64(), 3+rng.IntN(60))}}
		left, err := Difference(a, b)
		if err != nil {
			t.Fatal(err)
		}
		at, deepest := GreatestDepth(left, 1e-6)
		if deepest < 1e-5 {
			continue
		}
		p := RoomyPoint(left)
		if Locate(p, left) != Inside {
			t.Fatalf("%v is not inside of %v, whose deepest place is %v", p, left, at)
		}
	}
}
