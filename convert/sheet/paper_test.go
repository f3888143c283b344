// Paper: the scales chosen from, and turning where that wins one.

package sheet

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

func TestRoundScales(t *testing.T) {
	want := []float64{10, 20, 25, 50, 100, 125, 200, 250, 500, 1000, 1250, 2000, 2500, 5000}
	if got := RoundScales(); !slices.Equal(got[:len(want)], want) {
		t.Errorf("the scales are %v", got[:len(want)])
	}
}

// strip is a plan of one zone w by h metres, its long side deg anticlockwise
// from east.
func strip(w, h, deg float64) *Drawing {
	d := garden()
	z := feature(schema.RoleZone, "Z1", "Strip")
	z.Areas, z.HeadingDeg = []orb.Polygon{square(-w/2, -h/2, w, h)}, 90
	d.Features, d.Findings = []Feature{z}, nil
	out := d.turned(-deg)
	out.turn = 0
	out.Grid, out.Earth = d.Grid, d.Earth
	return out
}

// A plan is turned as little as wins a scale, and not at all where none does.
func TestTurned(t *testing.T) {
	for _, tc := range []struct {
		name        string
		w, h, lies  float64
		scale       float64 // asked for
		turn        float64
		before, now float64 // scale without and with turning
		sheets      int
	}{
		// 82 m at 1:500 are 164 mm; lying askew that is more than the map is
		// high.
		{"82 m askew", 82, 60, 30, 0, 30, 1000, 500, 1},
		{"82 m askew, scale given", 82, 60, 30, 500, 5, 0, 500, 1},
		{"82 m along", 82, 60, 0, 0, 0, 500, 500, 1},
		{"a square gains nothing", 60, 60, 2, 0, 0, 500, 500, 1},
	} {
		d := strip(tc.w, tc.h, tc.lies)
		if tc.before != 0 {
			if set := compose(t, d, Options{Scale: tc.scale}); set.Scale != tc.before || set.TurnDeg != 0 {
				t.Errorf("%s, not turned: 1:%v, turned %v", tc.name, set.Scale, set.TurnDeg)
			}
		}
		set := compose(t, d, Options{Scale: tc.scale, TurnAuto: true})
		if set.Scale != tc.now || math.Abs(set.TurnDeg-tc.turn) > 1e-9 && math.Abs(set.TurnDeg) > 30 {
			t.Errorf("%s: 1:%v, turned %v, want 1:%v, %v", tc.name, set.Scale, set.TurnDeg, tc.now, tc.turn)
		}
		if n := len(compose(t, d, Options{Scale: set.Scale, TurnAuto: true, For: ForClient}).Pages); n != tc.sheets {
			t.Errorf("%s: %d sheets", tc.name, n)
		}
		if tc.turn == 0 != (set.TurnDeg == 0) {
			t.Errorf("%s: turned %v", tc.name, set.TurnDeg)
		}
	}
}

// What is turned keeps its positions: a point has the same coordinates before
// and after.
func TestTurnedKeepsPositions(t *testing.T) {
	d := garden()
	for _, deg := range []float64{0, 12.6, 90, -135} {
		out := d.turned(deg)
		for i := range d.Features {
			a, b := d.position(&d.Features[i]), out.position(&out.Features[i])
			if a != b {
				t.Errorf("turned %v: %s became %s", deg, a, b)
			}
		}
		// The way north turns with it: 10 m north of the middle.
		s, c := math.Sincos(deg * math.Pi / 180)
		p, _ := d.Grid.Forward(orb.Point{0, 10})
		q, _ := out.Grid.Forward(orb.Point{10 * s, 10 * c})
		if math.Hypot(p[0]-q[0], p[1]-q[1]) > 1e-6 {
			t.Errorf("turned %v: north became %v, want %v", deg, q, p)
		}
	}
}
