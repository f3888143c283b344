// Where points lie: exactly, and the same by every way.

package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

func TestLocate(t *testing.T) {
	holed := pg("0 0, 10 0, 10 10, 0 10, 0 0", "4 4, 6 4, 6 6, 4 6, 4 4")
	two := orb.MultiPolygon{holed, pg("10 0, 20 0, 20 10, 10 10, 10 0"), pg("4.5 4.5, 5.5 4.5, 5.5 5.5, 4.5 5.5, 4.5 4.5")}
	up := math.Nextafter(10, 11)
	for _, c := range []struct {
		name string
		p    orb.Point
		area orb.Geometry
		want Location
	}{
		{"inside", orb.Point{1, 1}, holed, Inside},
		{"outside", orb.Point{11, 1}, holed, Outside},
		{"outside, level with a side", orb.Point{-1, 10}, holed, Outside},
		{"outside, level with vertices", orb.Point{-1, 4}, holed, Outside},
		{"in the hole", orb.Point{5, 5}, holed, Outside},
		{"on the shell", orb.Point{10, 5}, holed, OnEdge},
		{"on a corner", orb.Point{0, 0}, holed, OnEdge},
		{"on the hole", orb.Point{4, 5}, holed, OnEdge},
		{"a hair outside", orb.Point{up, 5}, holed, Outside},
		{"level with the hole's corners", orb.Point{3, 4}, holed, Inside},
		{"in a part in the hole", orb.Point{5, 5}, two, Inside},
		{"in the hole beside that part", orb.Point{4.2, 5}, two, Outside},
		{"where two parts touch", orb.Point{10, 5}, two, OnEdge},
		{"in the second part", orb.Point{15, 5}, two, Inside},
		{"in an open ring", orb.Point{1, 1}, orb.Ring{{0, 0}, {3, 0}, {0, 3}}, Inside},
		{"on the missing side of an open ring", orb.Point{0, 1}, orb.Ring{{0, 0}, {3, 0}, {0, 3}}, OnEdge},
		{"in a bound", orb.Point{1, 1}, orb.Bound{Max: orb.Point{2, 2}}, Inside},
		{"on a line", orb.Point{1, 1}, orb.LineString{{0, 0}, {2, 2}}, OnEdge},
		{"off a line", orb.Point{1, math.Nextafter(1, 2)}, orb.LineString{{0, 0}, {2, 2}}, Outside},
		{"on one of several lines", orb.Point{1, 1}, orb.MultiLineString{{{5, 5}, {6, 6}}, {{0, 0}, {2, 2}}}, OnEdge},
		{"a point", orb.Point{1, 1}, orb.MultiPoint{{2, 2}, {1, 1}}, OnEdge},
		{"another point", orb.Point{1, 1}, orb.Point{1, 2}, Outside},
		{"in a collection", orb.Point{1, 1}, orb.Collection{orb.Point{1, 1}, holed}, Inside},
		{"no ring", orb.Point{1, 1}, orb.Polygon{}, Outside},
		{"NaN", orb.Point{math.NaN(), 1}, holed, Outside},
		{"nothing", orb.Point{1, 1}, nil, Outside},
	} {
		if got := Locate(c.p, c.area); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
		switch c.area.(type) {
		case orb.Ring, orb.Polygon, orb.MultiPolygon, orb.Bound:
			if got := NewLocator(c.area).Locate(c.p); got != c.want {
				t.Errorf("%s, by a locator: %v, want %v", c.name, got, c.want)
			}
		}
	}
}

// plainDistance is the least distance from p to the boundary of an area, edge
// by edge, and where it is.
func plainDistance(p orb.Point, area orb.Geometry) (d float64, at orb.Point) {
	d = math.Inf(1)
	if !finite(p) {
		return d, at
	}
	for _, poly := range polygonsOf(area, nil) {
		for _, r := range poly {
			for i := range r {
				a := r[(i+len(r)-1)%len(r)]
				if !finite(a) || !finite(r[i]) {
					continue
				}
				if e, q := pointToSegment(p, a, r[i]); e < d {
					d, at = e, q
				}
			}
		}
	}
	return d, at
}

// TestLocatorAgrees holds the locator against the plain count, in valid figures
// and in rings of any shape.
func TestLocatorAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(71, 72))
	seen := make(map[Location]int)
	check := func(area orb.Geometry, p orb.Point, l *Locator) {
		t.Helper()
		want := Locate(p, area)
		seen[want]++
		if got := l.Locate(p); got != want {
			t.Fatalf("%v in %v: %v, want %v", p, area, got, want)
		}
		wd, _ := plainDistance(p, area)
		d, at := l.DistanceToBoundary(p)
		if math.Abs(d-wd) > 1e-12*(1+wd) || math.Abs(math.Hypot(p[0]-at[0], p[1]-at[1])-d) > 1e-12*(1+d) {
			t.Fatalf("%v to the boundary of %v: %v at %v, want %v", p, area, d, at, wd)
		}
		if depth := l.Depth(p); want == Inside && depth != d || want == OnEdge && depth != 0 || want == Outside && depth != -d {
			t.Fatalf("%v in %v: depth %v, distance %v, %v", p, area, depth, d, want)
		}
	}
	for range 1500 {
		fig := orb.MultiPolygon(smallFigure(r))
		areas := []orb.Geometry{fig[0][0]}
		if IsValid(fig) {
			areas = append(areas, fig)
		}
		for _, area := range areas {
			l := NewLocator(area)
			for range 40 {
				check(area, orb.Point{float64(r.IntN(40)) / 2, float64(r.IntN(40)) / 2}, l)
			}
		}
	}
	for _, ring := range []orb.Ring{smoothRing(3000), jaggedRing(3000), combRing(3000)} {
		l := NewLocator(ring)
		for i := range 500 {
			check(ring, orb.Point{r.Float64()*260 - 130, r.Float64()*260 - 130}, l)
			check(ring, ring[i*5], l)
			check(ring, orb.Point{r.Float64()*260 - 130, ring[i*5][1]}, l) // level with a vertex
		}
	}
	if seen[Inside] < 1000 || seen[OnEdge] < 1000 || seen[Outside] < 1000 {
		t.Errorf("too one-sided: %v", seen)
	}
	// Level with the top of a run of many segments, and left of it.
	var steps orb.Ring
	for i := range 41 {
		steps = append(steps, orb.Point{float64(i), float64(i * i)})
	}
	steps = append(steps, orb.Point{80, 1600}, orb.Point{80, -10}, orb.Point{0, -10}, orb.Point{0, 0})
	ls := NewLocator(steps)
	for y := -20; y <= 1610; y += 5 {
		for x := -5; x < 90; x += 5 {
			check(steps, orb.Point{float64(x), float64(y)}, ls)
		}
	}
	if d, _ := NewLocator(orb.Polygon{}).DistanceToBoundary(orb.Point{}); !math.IsInf(d, 1) {
		t.Errorf("distance to nothing is %v", d)
	}
}

// What is known beforehand changes how long the nearest place is searched for
// and not what is found.
func TestNearestKnown(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 8))
	for range 200 {
		n := 3 + r.IntN(200)
		ring := make(orb.Ring, 0, n+1)
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring = append(ring, orb.Point{100 + (1+r.Float64())*c, 50 + (1+r.Float64())*s})
		}
		l := NewLocator(append(ring, ring[0]))
		for range 20 {
			p := orb.Point{97 + 6*r.Float64(), 47 + 6*r.Float64()}
			d, at, s := l.nearest(p)
			for _, far := range []float64{math.Inf(1), 2 * d, d * (1 + 1e-9), d, d / 2, 0} {
				if d2, at2, s2 := l.nearestKnown(p, far, 0); d2 != d || at2 != at || s2 != s {
					t.Fatalf("known to be within %v: %v at %v on %v; searched, %v at %v on %v", far, d2, at2, s2, d, at, s)
				}
			}
			if d2, _, _ := l.nearestKnown(p, math.Inf(1), d/2); d2 != d {
				t.Fatalf("%v, not %v, with half of it enough", d2, d)
			}
			if d2, _, _ := l.nearestKnown(p, math.Inf(1), 2*d); !(d2 >= d && d2 <= 2*d) {
				t.Fatalf("%v, with twice %v enough", d2, d)
			}
		}
	}
}
