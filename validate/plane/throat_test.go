// Throats: figures whose narrow places are known.

package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

func TestThroats(t *testing.T) {
	circleHole := func(x, y, r float64, n int) orb.Ring {
		ring := make(orb.Ring, 0, n+1)
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
			ring = append(ring, orb.Point{x + r*cos, y + r*sin})
		}
		return append(ring, ring[0])
	}
	// A pipe along a half circle: inner radius 10, outer radius 11, into a
	// chamber at each end.
	var bend orb.Ring
	for i := range 91 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 90)
		bend = append(bend, orb.Point{10 * cos, 10 * sin})
	}
	bend = append(bend, orb.Point{-5, 0}, orb.Point{-5, -8}, orb.Point{-15, -8}, orb.Point{-15, 0})
	for i := range 91 {
		sin, cos := math.Sincos(math.Pi * float64(90-i) / 90)
		bend = append(bend, orb.Point{11 * cos, 11 * sin})
	}
	bend = append(bend, orb.Point{15, 0}, orb.Point{15, -8}, orb.Point{5, -8}, orb.Point{5, 0})
	bend = append(bend, bend[0])
	var ellipse orb.Ring
	for i := range 400 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 400)
		ellipse = append(ellipse, orb.Point{10 * cos, 0.5 * sin})
	}
	ellipse = append(ellipse, ellipse[0])

	type want struct {
		width float64
		cut   float64 // -1: any
	}
	for _, c := range []struct {
		name   string
		region orb.Polygon
		below  float64
		want   []want
	}{
		{"square", pg(square20), 1.5, nil},
		{"sharp triangle", pg("0 0, 30 1, 30 -1, 0 0"), 1.5, nil},
		{"star", orb.Polygon{ringAround(10, func(i int) float64 { return 5 + 10*float64(i%2) })}, 3, nil},
		{"L", pg("0 0, 10 0, 10 4, 4 4, 4 10, 0 10, 0 0"), 1.5, nil},
		{"L, limit above its arms", pg("0 0, 10 0, 10 4, 4 4, 4 10, 0 10, 0 0"), 4.5, []want{{4, -1}}},
		{"dumbbell", pg("0 0, 10 0, 10 4, 20 4, 20 0, 30 0, 30 10, 20 10, 20 5, 10 5, 10 10, 0 10, 0 0"), 1.5, []want{{1, -1}}},
		{"dumbbell, clockwise", orb.Polygon{reversed(rg("0 0, 10 0, 10 4, 20 4, 20 0, 30 0, 30 10, 20 10, 20 5, 10 5, 10 10, 0 10, 0 0"))}, 1.5, []want{{1, -1}}},
		{"dumbbell, limit below its width", pg("0 0, 10 0, 10 4, 20 4, 20 0, 30 0, 30 10, 20 10, 20 5, 10 5, 10 10, 0 10, 0 0"), 0.999, nil},
		{"dumbbell that tapers", pg("0 0, 10 0, 10 4, 20 4.4, 20 0, 30 0, 30 10, 20 10, 20 5, 10 5, 10 10, 0 10, 0 0"), 1.5, []want{{0.6, -1}}},
		{"two posts", pg("0 0, 10 0, 10 4, 11 4, 11 0, 20 0, 20 10, 11 10, 11 5, 10 5, 10 10, 0 10, 0 0"), 1.5, []want{{1, -1}}},
		{"tips that face one another", pg("0 0, 10 4.5, 20 0, 20 10, 10 5.5, 0 10, 0 0"), 1.5, []want{{1, 55}}},
		{"two necks with a chamber between", pg("0 0, 10 0, 10 4, 11 4, 11 0, 19 0, 19 4, 20 4, 20 0, 30 0, 30 10, 20 10, 20 5.2, 19 5.2, 19 10, 11 10, 11 5, 10 5, 10 10, 0 10, 0 0"), 1.5, []want{{1, -1}, {1.2, -1}}},
		{"two necks without room between", pg("0 0, 10 0, 10 4, 10.5 4, 10.5 3.9, 11 3.9, 11 4, 11.5 4, 11.5 0, 20 0, 20 10, 11.5 10, 11.5 5.1, 11 5.1, 11 5.2, 10.5 5.2, 10.5 5, 10 5, 10 10, 0 10, 0 0"), 1.5, []want{{1, -1}}},
		{"necks beside a bay", pg("0 0, 10 0, 10 4, 11 4, 11 -4, 19 -4, 19 4, 20 4, 20 0, 30 0, 30 10, 20 10, 20 5, 10 5, 10 10, 0 10, 0 0"), 1.5, []want{{1, -1}, {1, -1}}},
		{"dead end", pg("0 0, 20 0, 20 4, 30 4, 30 5, 20 5, 20 20, 0 20, 0 0"), 1.5, []want{{1, -1}}},
		{"strip", pg("0 0, 20 0, 20 1, 0 1, 0 0"), 1.5, []want{{1, 10}}},
		{"strip, slanting", pg("0 0, 16 12, 15.4 12.8, -0.6 0.8, 0 0"), 1.5, []want{{1, 10}}},
		{"pipe around a bend", orb.Polygon{bend}, 1.5, []want{{math.Cos(math.Pi / 180), -1}}},
		{"ellipse", orb.Polygon{ellipse}, 1.5, nil},
		{"hole near a side", pg(square20, "9 1, 11 1, 11 9, 9 9, 9 1"), 1.5, []want{{1, 0}}},
		{"round hole near a side", orb.Polygon{rg(square20), circleHole(10, 4, 3, 64)}, 1.5, []want{{4 - 3*math.Cos(math.Pi/64), 0}}},
		{"round hole near a corner, both sides", orb.Polygon{rg(square20), circleHole(4, 4, 3, 64)}, 1.5, []want{{4 - 3*math.Cos(math.Pi/64), 0}, {4 - 3*math.Cos(math.Pi/64), 0}}},
		{"two round holes", orb.Polygon{rg(square20), circleHole(6, 10, 3, 64), circleHole(13, 10, 3, 64)}, 1.5, []want{{7 - 6*math.Cos(math.Pi/64), 0}}},
		{"a pocket in a hole", pg("-10 -10, 30 -10, 30 30, -10 30, -10 -10", "0 0, 10 0, 10 4.5, 2 4.5, 2 1, 1 1, 1 9, 2 9, 2 5.5, 10 5.5, 10 10, 0 10, 0 0"), 1.5, []want{{1, -1}}},
		{"a pocket in a hole, between tips", pg("-10 -10, 30 -10, 30 30, -10 30, -10 -10", "0 0, 10 0, 10 4.5, 8 2, 2 2, 2 8, 8 8, 10 5.5, 10 10, 0 10, 0 0"), 1.5, []want{{1, 43}}},
		{"a pocket in a hole, with an island", pg("-10 -10, 30 -10, 30 30, -10 30, -10 -10", "0 0, 10 0, 10 4.5, 8 2, 2 2, 2 8, 8 8, 10 5.5, 10 10, 0 10, 0 0", "4 4, 6 4, 6 6, 4 6, 4 4"), 1.5, []want{{1, 39}}},
		{"a sawtooth", pg("0 0, 20 0, 20 10, 18 10, 17.5 9, 17 10, 16.5 9, 16 10, 15.5 9, 15 10, 0 10, 0 0"), 1.5, nil},
		{"nothing", orb.Polygon{}, 1.5, nil},
		{"no limit", pg(square20), 0, nil},
		{"limit NaN", pg(square20), math.NaN(), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for turn := range 3 {
				// Turned, and begun elsewhere: the throats stay.
				sin, cos := math.Sincos(0.7 * float64(turn))
				region := orb.Polygon(mapped([]orb.Polygon{c.region}, func(r orb.Ring) orb.Ring {
					for i, p := range r {
						r[i] = orb.Point{p[0]*cos - p[1]*sin, p[0]*sin + p[1]*cos}
					}
					return renumbered(r, turn)
				})[0])
				got := Throats(region, c.below)
				if len(got) != len(c.want) {
					t.Fatalf("turned %d times: %d throats %v, want %d", turn, len(got), got, len(c.want))
				}
				for i, w := range c.want {
					g := got[i]
					if math.Abs(g.Width-w.width) > 1e-9 {
						t.Errorf("throat %d is %v wide, want %v", i, g.Width, w.width)
					}
					if d := math.Hypot(g.P[0]-g.Q[0], g.P[1]-g.Q[1]); math.Abs(d-g.Width) > 1e-9 {
						t.Errorf("throat %d: %v and %v are %v apart, not %v", i, g.P, g.Q, d, g.Width)
					}
					for _, p := range []orb.Point{g.P, g.Q} {
						if d, _ := plainDistance(p, region); d > 1e-9 {
							t.Errorf("throat %d: %v is not on the boundary", i, p)
						}
					}
					if w.cut >= 0 && math.Abs(g.Cut-w.cut) > 1e-6 {
						t.Errorf("throat %d cuts off %v, want %v", i, g.Cut, w.cut)
					}
					if w.cut < 0 && !(g.Cut >= 0 && g.Cut <= Area(region)/2+1e-9) {
						t.Errorf("throat %d cuts off %v of %v", i, g.Cut, Area(region))
					}
				}
			}
		})
	}
}

// TestThroatsShaken holds a passage with many vertices, each a little off, as
// surveyed.
func TestThroatsShaken(t *testing.T) {
	r := rand.New(rand.NewPCG(111, 112))
	for range 50 {
		var ring orb.Ring
		shake := func(x, y float64) { ring = append(ring, orb.Point{x + 0.01*r.NormFloat64(), y + 0.01*r.NormFloat64()}) }
		ring = append(ring, orb.Point{0, 0}, orb.Point{10, 0})
		for i := range 21 {
			shake(10+float64(i)/2, 4)
		}
		ring = append(ring, orb.Point{20, 0}, orb.Point{30, 0}, orb.Point{30, 10}, orb.Point{20, 10})
		for i := range 21 {
			shake(20-float64(i)/2, 5)
		}
		ring = append(ring, orb.Point{10, 10}, orb.Point{0, 10}, orb.Point{0, 0})
		got := Throats(orb.Polygon{ring}, 1.5)
		if len(got) != 1 || got[0].Width < 0.9 || got[0].Width > 1 || math.Abs(got[0].Cut-105) > 6 {
			t.Fatalf("%v of %v", got, ring)
		}
	}
}
