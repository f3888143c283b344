// Distances: closed forms, and the search against every pair.

package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

func TestClearance(t *testing.T) {
	holed := pg("0 0, 10 0, 10 10, 0 10, 0 0", "2 2, 8 2, 8 8, 2 8, 2 2")
	for _, c := range []struct {
		name string
		a, b orb.Geometry
		d    float64
		p, q orb.Point
	}{
		{"points", orb.Point{0, 0}, orb.Point{3, 4}, 5, orb.Point{0, 0}, orb.Point{3, 4}},
		{"equal points", orb.Point{3, 4}, orb.Point{3, 4}, 0, orb.Point{3, 4}, orb.Point{3, 4}},
		{"point and line", orb.Point{5, 3}, orb.LineString{{0, 0}, {10, 0}}, 3, orb.Point{5, 3}, orb.Point{5, 0}},
		{"point past the end of a line", orb.Point{13, 4}, orb.LineString{{0, 0}, {10, 0}}, 5, orb.Point{13, 4}, orb.Point{10, 0}},
		{"lines that cross", orb.LineString{{0, 0}, {2, 2}}, orb.LineString{{0, 2}, {2, 0}}, 0, orb.Point{1, 1}, orb.Point{1, 1}},
		{"lines that touch", orb.LineString{{0, 0}, {2, 0}}, orb.LineString{{1, 0}, {1, 5}}, 0, orb.Point{1, 0}, orb.Point{1, 0}},
		{"point in an area", orb.Point{1, 1}, holed, 0, orb.Point{1, 1}, orb.Point{1, 1}},
		{"point in a hole", orb.Point{5, 4}, holed, 2, orb.Point{5, 4}, orb.Point{5, 2}},
		{"line in an area", orb.LineString{{1, 1}, {1, 2}}, holed, 0, orb.Point{1, 1}, orb.Point{1, 1}},
		{"area in a hole", pg("4 4, 7 4, 7 6, 4 6, 4 4"), holed, 1, orb.Point{7, 4}, orb.Point{8, 4}},
		{"area around an area", pg("-9 -9, 19 -9, 19 19, -9 19, -9 -9"), holed, 0, orb.Point{0, 0}, orb.Point{0, 0}},
		{"areas with a side in common", holed, pg("10 0, 20 0, 20 10, 10 10, 10 0"), 0, orb.Point{10, 0}, orb.Point{10, 0}},
		{"areas apart", holed, rect(13, 14, 15, 16), 5, orb.Point{10, 10}, orb.Point{13, 14}},
		{"bound", orb.Bound{Max: orb.Point{1, 1}}, orb.Point{1, 3}, 2, orb.Point{1, 1}, orb.Point{1, 3}},
		{"collection", orb.Collection{orb.Point{50, 50}, orb.MultiPoint{{0, 20}}}, holed, 10, orb.Point{0, 20}, orb.Point{0, 10}},
		{"several lines", orb.MultiLineString{{{0, 50}, {9, 50}}, {{0, 12}, {9, 12}}}, orb.Point{4, 10}, 2, orb.Point{4, 12}, orb.Point{4, 10}},
		{"line of one point", orb.LineString{{1, 2}}, orb.Point{1, 5}, 3, orb.Point{1, 2}, orb.Point{1, 5}},
	} {
		d, p, q := Clearance(c.a, c.b)
		if d != c.d || p != c.p || q != c.q {
			t.Errorf("%s: %v from %v to %v, want %v from %v to %v", c.name, d, p, q, c.d, c.p, c.q)
		}
		if back, _, _ := Clearance(c.b, c.a); back != c.d {
			t.Errorf("%s, the other way: %v, want %v", c.name, back, c.d)
		}
		ga, gb := NewGauge(c.a), NewGauge(c.b)
		if _, _, _, ok := ga.Within(gb, c.d*0.999); ok != (c.d == 0) {
			t.Errorf("%s: within a little less than the distance is %v", c.name, ok)
		}
		if w, _, _, ok := ga.Within(gb, c.d*1.001+1e-9); !ok || w != c.d {
			t.Errorf("%s: within a little more than the distance is %v, %v", c.name, w, ok)
		}
	}
	for _, g := range []orb.Geometry{nil, orb.MultiPoint{}, orb.Polygon{}, orb.LineString{}} {
		if d, _, _ := Clearance(g, orb.Point{1, 1}); !math.IsInf(d, 1) {
			t.Errorf("clearance of %#v is %v", g, d)
		}
	}
	// Apart by less than a distance can show: never 0.
	tiny := math.SmallestNonzeroFloat64
	if d, _, _ := Clearance(orb.Point{0, 0}, orb.Point{tiny, 0}); d == 0 {
		t.Error("two different points have no distance")
	}
}

// TestClearanceAgrees holds the search through trees against all pairs of
// segments.
func TestClearanceAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(81, 82))
	apart := 0
	for i := range 300 {
		a := smoothRing(3 + r.IntN(200))
		b := jaggedRing(50 + r.IntN(200))
		dx, dy := 300*r.Float64(), 300*r.Float64()
		s := 0.1 + r.Float64()
		for k := range b {
			b[k] = orb.Point{b[k][0]*s + dx, b[k][1]*s + dy}
		}
		var ga, gb orb.Geometry = a, b
		if i%2 == 0 {
			ga, gb = orb.LineString(a), orb.LineString(b)
		}
		d, p, q := Clearance(ga, gb)
		want := math.Inf(1)
		for j := 1; j < len(a); j++ {
			for k := 1; k < len(b); k++ {
				if Cross(a[j-1], a[j], b[k-1], b[k]).Kind != CrossNone {
					want = 0
				}
				for _, e := range [...]float64{dist(a[j], b[k-1], b[k]), dist(b[k], a[j-1], a[j])} {
					want = min(want, e)
				}
			}
		}
		if i%2 == 1 && (Locate(a[0], b) == Inside || Locate(b[0], a) == Inside) {
			want = 0
		}
		if math.Abs(d-want) > 1e-12*(1+want) {
			t.Fatalf("case %d: %v, want %v", i, d, want)
		}
		if math.Abs(math.Hypot(p[0]-q[0], p[1]-q[1])-d) > 1e-9 {
			t.Fatalf("case %d: %v and %v are not %v apart", i, p, q, d)
		}
		if d > 0 {
			apart++
		}
	}
	if apart < 50 {
		t.Errorf("only %d cases apart", apart)
	}
}

func dist(p, a, b orb.Point) float64 {
	d, _ := pointToSegment(p, a, b)
	return d
}

func TestGreatestDepth(t *testing.T) {
	inradius := (3.0 + 4 - 5) / 2
	for _, c := range []struct {
		name  string
		area  orb.Geometry
		depth float64
	}{
		{"square", rect(0, 0, 10, 10), 5},
		{"strip", rect(0, 0, 1000, 1), 0.5},
		{"long strip, slanting", orb.Ring{{0, 0}, {800, 600}, {799.4, 600.8}, {-0.6, 0.8}, {0, 0}}, 0.5},
		{"right triangle 3 4 5", rg("0 0, 4 0, 0 3, 0 0"), inradius},
		{"square with a square hole", pg("0 0, 12 0, 12 12, 0 12, 0 0", "4 4, 8 4, 8 8, 4 8, 4 4"), math.NaN()},
		{"L", rg("0 0, 10 0, 10 4, 4 4, 4 10, 0 10, 0 0"), math.NaN()},
		{"two parts", orb.MultiPolygon{pg("0 0, 2 0, 2 2, 0 2, 0 0"), pg("10 10, 16 10, 16 16, 10 16, 10 10")}, 3},
		{"far off", rect(500000, 6e6, 500003, 6e6+2), 1},
	} {
		want := c.depth
		switch c.name {
		case "square with a square hole":
			// Between a corner (0, 0) and the hole's corner (4, 4): x = (4-x)
			// sqrt 2.
			want = 4 * math.Sqrt2 / (1 + math.Sqrt2)
		case "L":
			want = 4 * math.Sqrt2 / (1 + math.Sqrt2) // against both outer sides and the inner corner
		}
		for _, tolerance := range []float64{0, 1e-2, 1e-6} {
			p, d := GreatestDepth(c.area, tolerance)
			slack := tolerance
			if slack == 0 {
				slack = want / 1000
			}
			if d > want+1e-9 || d < want-slack-1e-9 {
				t.Errorf("%s, tolerance %g: %v, want %v", c.name, tolerance, d, want)
			}
			if got := NewLocator(c.area).Depth(p); math.Abs(got-d) > 1e-12 {
				t.Errorf("%s: the depth at %v is %v, not %v", c.name, p, got, d)
			}
		}
	}
	for _, area := range []orb.Geometry{orb.Polygon{}, rg("0 0, 1 1, 2 2, 0 0"), orb.Ring{{math.NaN(), 0}, {1, 0}, {0, 1}, {math.NaN(), 0}}, nil} {
		if _, d := GreatestDepth(area, 0); d != 0 {
			t.Errorf("%v: depth %v", area, d)
		}
	}
}
