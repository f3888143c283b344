// Outlines of walks whose shape is known.

package validate_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/validate"
)

// around walks along a ring, a position every 0.3 m, and n more past its start.
func around(ring orb.Ring, noise func() float64, past int) []validate.WalkedPoint {
	var out []validate.WalkedPoint
	put := func(p orb.Point) {
		out = append(out, validate.WalkedPoint{At: orb.Point{p[0] + noise(), p[1] + noise()}, Sigma: 0.01})
	}
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		n := int(math.Ceil(math.Hypot(b[0]-a[0], b[1]-a[1]) / 0.3))
		for k := range n {
			f := float64(k) / float64(n)
			put(orb.Point{a[0] + (b[0]-a[0])*f, a[1] + (b[1]-a[1])*f})
		}
	}
	for i := range past {
		out = append(out, out[i])
	}
	return out
}

func TestWalkedOutline(t *testing.T) {
	// Anticlockwise, so that it has to be turned; with a half circle of 5 m at
	// its end.
	ring := orb.Ring{{0, 0}, {20, 0}}
	for k := 1; k < 36; k++ {
		s, c := math.Sincos(math.Pi * (float64(k)/36 - 0.5))
		ring = append(ring, orb.Point{20 + 5*c, 5 + 5*s})
	}
	ring = append(ring, orb.Point{20, 10}, orb.Point{0, 10}, orb.Point{0, 0})
	still := func() float64 { return 0 }
	pts := around(ring, still, 5)
	pts[40].At[1] += 3 // gone astray
	w, err := validate.OutlineOf(pts, 0.03)
	if err != nil {
		t.Fatal(err)
	}
	want := 200 + math.Pi*25/2
	if !near(w.AreaM2, want, 1) || w.Outliers != 1 || w.Overlap != 4 || w.Straights != 3 || w.Curves != 1 || len(w.Ring) > 30 || len(w.Sigmas) != len(w.Ring) || w.Sigmas[3] != 0.01 {
		t.Errorf("area %v, want %v; %d points, %d out, %d past, %d straights, %d curves", w.AreaM2, want, len(w.Ring), w.Outliers, w.Overlap, w.Straights, w.Curves)
	}
	if d := validate.CompareOutlines(w.Ring, ring); d.HausdorffM > 0.035 || d.P95M > 0.03 {
		t.Errorf("%+v", d)
	}
	// With noise the outline stays within a few standard errors.
	r := rand.New(rand.NewPCG(5, 5))
	w, err = validate.OutlineOf(around(ring, func() float64 { return 0.01 * r.NormFloat64() }, 0), 0.03)
	if err != nil || !near(w.AreaM2, want, 1.5) || len(w.Ring) > 60 {
		t.Errorf("%v %+v", err, w)
	}
}

// Hausdorff distances in closed form: a square moved by 0.3 and 0.4 m, and one
// a metre larger all round, whose corners are farthest.
func TestCompareOutlines(t *testing.T) {
	square := func(x0, y0, x1, y1 float64) orb.Ring {
		return orb.Ring{{x0, y0}, {x0, y1}, {x1, y1}, {x1, y0}, {x0, y0}}
	}
	a := square(0, 0, 10, 10)
	if d := validate.CompareOutlines(square(0.3, 0.4, 10.3, 10.4), a); !near(d.HausdorffM, 0.5, 1e-9) {
		t.Errorf("%+v", d)
	}
	if d := validate.CompareOutlines(square(-1, -1, 11, 11), a); !near(d.HausdorffM, math.Sqrt2, 1e-9) || !near(d.MedianM, 1, 0.01) {
		t.Errorf("%+v", d)
	}
	if d := validate.CompareOutlines(a, a); d.HausdorffM != 0 {
		t.Errorf("%+v", d)
	}
}

func TestWalksThatEncloseNothing(t *testing.T) {
	still := func() float64 { return 0 }
	for want, pts := range map[string][]validate.WalkedPoint{
		"at least 4":            nil,
		"all the way round":     around(orb.Ring{{0, 0}, {20, 0}, {20, 10}}, still, 0),
		"the walk encloses":     around(orb.Ring{{0, 0}, {20, 0}, {0, 0}}, still, 0),
		"crossing your own way": around(orb.Ring{{0, 0}, {20, 10}, {20, 0}, {0, 10}, {0, 0}}, still, 0),
	} {
		if _, err := validate.OutlineOf(pts, 0.03); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}
