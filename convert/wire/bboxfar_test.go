// Tests of boxes that reach beyond what is drawn.

package wire_test

import (
	"math"
	"testing"

	"swardline/convert/wire"
)

// A box is far where it reaches more than 3 m and more than a fifth beyond, on any side.
func TestBoxFar(t *testing.T) {
	const lat, metre = 48.0, 1 / 111320.0
	east := metre / math.Cos(lat*math.Pi/180)
	for _, x := range []struct {
		w, s, e, n float64 // metres beyond a square
		size       float64
		want       bool
	}{
		{0, 0, 0, 0, 10, false}, {2.9, 0, 0, 0, 10, false}, {3.1, 0, 0, 0, 10, true}, {0, 3.1, 0, 0, 10, true}, {0, 0, 3.1, 0, 10, true}, {0, 0, 0, 3.1, 10, true},
		{0, 0, 0, 3.1, 16, false}, {0, 0, 0, 3.3, 16, true}, {0, 0, 0, 19, 100, false}, {0, 0, 0, 21, 100, true}, {0, 0, 0, 3.1, 0, true}, {-9, -9, -9, -9, 30, false},
	} {
		degrees := [4]float64{8, lat, 8 + x.size*east, lat + x.size*metre}
		box := [4]float64{8 - x.w*east, lat - x.s*metre, degrees[2] + x.e*east, degrees[3] + x.n*metre}
		if got := wire.BoxFar(box, degrees); got != x.want {
			t.Errorf("%+v in degrees: %v", x, got)
		}
		metres := [4]float64{4e5, 5e6, 4e5 + x.size, 5e6 + x.size}
		if got := wire.BoxFar([4]float64{4e5 - x.w, 5e6 - x.s, metres[2] + x.e, metres[3] + x.n}, metres); got != x.want {
			t.Errorf("%+v in metres: %v", x, got)
		}
	}
	if wire.BoxFar([4]float64{-180, -90, 180, 90}, [4]float64{8, 48, 8.1, 48.1}) {
		t.Error("the box of the system itself is told")
	}
}
