// The quick ways of the kernel against the slow ones.

package validate

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// TestTurnAt: the quick way gives the side that the bearings give, and leaves
// to them what is near straight on or near the limit.
func TestTurnAt(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 20000 {
		at, deg := 360*r.Float64(), 180*(2*r.Float64()-1)
		switch r.IntN(4) {
		case 0:
			deg = 1e-6 * r.NormFloat64()
		case 1:
			deg = math.Copysign(mostOvalTurn, deg) + 1e-7*r.NormFloat64()
		}
		u, v := bearing(at), bearing(at+deg)
		a := orb.Point{1000 * r.Float64(), 1000 * r.Float64()}
		m, n := 50*r.Float64(), 50*r.Float64()
		b := orb.Point{a[0] + m*u[0], a[1] + m*u[1]}
		c := orb.Point{b[0] + n*v[0], b[1] + n*v[1]}
		want := math.Remainder(bearingOf(b, c)-bearingOf(a, b), 360)
		got := turnAt(a, b, c)
		if (got > 0) != (want > 0) || (got < 0) != (want < 0) || (math.Abs(got) > mostOvalTurn) != (math.Abs(want) > mostOvalTurn) {
			t.Fatalf("%v %v %v: %v, by bearings %v", a, b, c, got, want)
		}
	}
}

// TestPlainlyNear: nothing is called near that lies farther off than MaxSpanM.
func TestPlainlyNear(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	near := 0
	for range 20000 {
		lat := 180*r.Float64() - 90
		g := newTangent(6378137, 1/298.257223563, 10, lat, 0)
		far := math.Exp(8 * (r.Float64() - 0.5)) // degrees
		lon1, lat1 := 10+far*r.NormFloat64(), math.Max(-90, math.Min(90, lat+far*r.NormFloat64()))
		if !g.plainlyNear(lon1, lat1, g.forward(lon1, lat1)) {
			continue
		}
		near++
		if d := g.chord(lon1, lat1); d > MaxSpanM {
			t.Fatalf("%v, %v from latitude %v is %v m off", lon1, lat1, lat, d)
		}
	}
	if near < 1000 {
		t.Errorf("only %d are near", near)
	}
}
