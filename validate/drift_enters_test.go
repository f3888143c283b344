// Tests of how deep the driven ground reaches into what is in the way.

package validate

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// What is known of a convex outline gives the depth that a search finds, and an
// outline that is not convex is searched.
func TestDeepestInIsWhatASearchFinds(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 5))
	round := func(x, y, a, b float64, n int) orb.Ring {
		var ring orb.Ring
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring = append(ring, orb.Point{x + a*c, y + b*s})
		}
		return append(ring, ring[0])
	}
	notched := orb.Ring{{0, 0}, {10, 0}, {10, 8}, {5, 3}, {0, 8}, {0, 0}}
	convex, searched, inside := 0, 0, 0
	for i := range 60 {
		ring := round(0, 0, 1+4*r.Float64(), 1+4*r.Float64(), 3+r.IntN(40))
		if i%5 == 0 {
			ring = notched
		}
		o := driftObstacle{solid: orb.MultiPolygon{{ring}}}
		l := o.measured()
		for range 6 {
			driven := orb.MultiPolygon{{round(12*r.Float64()-6, 12*r.Float64()-6, 1+5*r.Float64(), 1+5*r.Float64(), 4+r.IntN(12))}}
			part, err := plane.Intersection(driven, o.solid)
			if err != nil {
				t.Fatal(err)
			}
			if plane.Area(part) <= nothingM2 {
				continue
			}
			_, want := farthest(part, l, math.Inf(1))
			at, got := o.deepestIn(part, math.Inf(1))
			if math.Abs(got-want) > 2*farthestM {
				t.Errorf("%v in %v: %g deep, a search finds %g", driven, ring, got, want)
			}
			if d, _ := l.DistanceToBoundary(at); math.Abs(d-got) > 1e-6 {
				t.Errorf("the point %v is %g deep, not %g", at, d, got)
			}
			switch {
			case !o.form.convex:
				searched++
			case got == o.form.depth:
				inside++
			default:
				convex++
			}
		}
	}
	if convex < 20 || searched < 10 || inside < 20 {
		t.Errorf("only %d parts of convex outlines, %d about their deepest point, %d others", convex, inside, searched)
	}
}

func TestIsConvex(t *testing.T) {
	for _, tc := range []struct {
		ring orb.Ring
		want bool
	}{
		{orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, true},
		{orb.Ring{{0, 1}, {1, 1}, {1, 0}, {0, 0}, {0, 1}}, true}, // clockwise
		{orb.Ring{{0, 0}, {0.5, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, true},
		{orb.Ring{{0, 0}, {0.5, 1e-9}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, false},
		{orb.Ring{{0, 0}, {0.5, -1e-9}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, true},
		{orb.Ring{{0, 0}, {10, 0}, {10, 8}, {5, 3}, {0, 8}, {0, 0}}, false},
		{orb.Ring{{0, 0}, {1, 0}, {2, 0}, {0, 0}}, false},
		{orb.Ring{{0, 0}, {1, 0}}, false},
	} {
		if got := isConvex(tc.ring); got != tc.want {
			t.Errorf("%v: %v", tc.ring, got)
		}
	}
}
