// Smallest circles against every pair and triple of the points.

package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

func TestFitsCircle(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for trial := range 200 {
		centre := orb.Point{50_000 * r.NormFloat64(), 30_000 * r.NormFloat64()}
		pts := make([]orb.Point, 2+trial%7)
		for i := range pts {
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			d := 3 * r.Float64()
			if trial%3 == 0 {
				d = 3 // all on one circle
			}
			if trial%3 == 1 {
				s = 2 * c // all on one line
			}
			pts[i] = orb.Point{centre[0] + d*c, centre[1] + d*s}
		}
		// The smallest circle is one about two points or through three.
		least := math.Inf(1)
		holds := func(c orb.Point, radius float64) {
			for _, p := range pts {
				if math.Hypot(p[0]-c[0], p[1]-c[1]) > radius*(1+1e-9) {
					return
				}
			}
			least = math.Min(least, radius)
		}
		for i, a := range pts {
			for j, b := range pts[:i] {
				holds(orb.Point{a[0]/2 + b[0]/2, a[1]/2 + b[1]/2}, math.Hypot(a[0]-b[0], a[1]-b[1])/2)
				for _, c := range pts[:j] {
					if m, radius := circumcircle(a, b, c); radius < 1e6 {
						holds(m, radius)
					}
				}
			}
		}
		if !fitsCircle(pts, least*(1+1e-7)) || fitsCircle(pts, least*(1-1e-7)) {
			t.Errorf("%v fit in a circle of %v: %v and %v", pts, least, fitsCircle(pts, least*(1+1e-7)), fitsCircle(pts, least*(1-1e-7)))
		}
	}
	// Three points on a line: the circle about the two farthest apart.
	for _, p := range [][3]orb.Point{{{1, 2}, {3, 6}, {9, 18}}, {{9, 18}, {1, 2}, {3, 6}}, {{3, 6}, {9, 18}, {1, 2}}} {
		if m, radius := circumcircle(p[0], p[1], p[2]); m != (orb.Point{5, 10}) || math.Abs(radius-math.Hypot(4, 8)) > 1e-12 {
			t.Errorf("about %v: %v, %v", p, m, radius)
		}
	}
}
