// The error bounds of the kernel's arithmetic, where rounding alone would
// decide.

package plane

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// det2 is good to 1.5 units in the last place, and half a one of the figure it
// is held against, where the two products all but cancel.
func TestDet2(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 4))
	for i := 0; i < 20000; i++ {
		ax, ay := r.Float64()+0.5, r.Float64()+0.5
		k := 1 + r.Float64()
		bx, by := ax*k, math.Nextafter(ay*k, math.Inf(1-2*r.IntN(2)))
		exact := new(big.Rat).Sub(new(big.Rat).Mul(new(big.Rat).SetFloat64(ax), new(big.Rat).SetFloat64(by)),
			new(big.Rat).Mul(new(big.Rat).SetFloat64(ay), new(big.Rat).SetFloat64(bx)))
		want, _ := exact.Float64()
		if got := det2(ax, ay, bx, by); math.Abs(got-want) > 2*(math.Nextafter(math.Abs(want), math.Inf(1))-math.Abs(want)) {
			t.Fatalf("det2(%v, %v, %v, %v) = %v, want %v", ax, ay, bx, by, got, want)
		}
	}
}

// The place of an arc is the middle of its longest chord.
func TestArcAt(t *testing.T) {
	var ring orb.Ring
	for _, deg := range []float64{0, 20, 40, 60, 95, 115, 135, 160, 180, 200, 220, 240, 260, 280, 300, 320, 340} {
		s, c := math.Sincos(deg * math.Pi / 180)
		ring = append(ring, orb.Point{100 + 3*c, 50 + 3*s})
	}
	ring = append(ring, ring[0])
	arcs := FitArcs(ring, ArcRule{Tolerance: 0.001})
	if len(arcs) != 1 || !arcs[0].Whole {
		t.Fatalf("%+v", arcs)
	}
	mid := func(i, k int) orb.Point {
		return orb.Point{(ring[i][0] + ring[k][0]) / 2, (ring[i][1] + ring[k][1]) / 2}
	}
	if want := mid(3, 4); math.Hypot(arcs[0].At[0]-want[0], arcs[0].At[1]-want[1]) > 1e-9 {
		t.Errorf("at %v, want %v", arcs[0].At, want)
	}
	if want := 3 * (1 - math.Cos(35*math.Pi/360)); math.Abs(arcs[0].Sagitta-want) > 1e-9 {
		t.Errorf("sagitta %v, want %v", arcs[0].Sagitta, want)
	}
}
