// The farthest point along a path: closed forms, and a fine sampling.

package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

func TestFarthestAlong(t *testing.T) {
	square := orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}
	for _, x := range []struct {
		name string
		area orb.Geometry
		path []orb.Point
		at   orb.Point
		want float64
	}{
		{"across the middle", square, []orb.Point{{-1, 5}, {11, 5}}, orb.Point{5, 5}, 5},
		{"across, ends on the edge", square, []orb.Point{{0, 3}, {10, 3}}, orb.Point{-1, 0}, 3},
		{"beside a parallel side", square, []orb.Point{{0, -2}, {10, -2}}, orb.Point{-1, 0}, 2},
		{"a vertex", square, []orb.Point{{1, 1}, {2, 2}, {1, 1}}, orb.Point{2, 2}, 2},
		{"past a corner", square, []orb.Point{{10, -3}, {13, 0}}, orb.Point{-1, 0}, 3},
		// Between two squares 4 m apart the middle is 2 m from both.
		{"a gap", orb.MultiPolygon{{square}, {{{14, 0}, {24, 0}, {24, 10}, {14, 10}, {14, 0}}}}, []orb.Point{{10, 5}, {14, 5}}, orb.Point{12, 5}, 2},
		{"one point", square, []orb.Point{{5, 4}}, orb.Point{5, 4}, 4},
	} {
		at, d := NewLocator(x.area).FarthestAlong(x.path, 1e-9)
		if math.Abs(d-x.want) > 1e-8 {
			t.Errorf("%s: %v, want %v", x.name, d, x.want)
		}
		if x.at[0] >= 0 && math.Hypot(at[0]-x.at[0], at[1]-x.at[1]) > 1e-6 {
			t.Errorf("%s: at %v, want %v", x.name, at, x.at)
		}
	}
	if _, d := NewLocator(square).FarthestAlong(nil, 1e-6); !math.IsInf(d, -1) {
		t.Errorf("no path: %v", d)
	}
	if _, d := NewLocator(orb.Ring{}).FarthestAlong([]orb.Point{{1, 1}, {2, 2}}, 1e-6); !math.IsInf(d, 1) {
		t.Errorf("no boundary: %v", d)
	}
}

// No sampled point is farther than what is found, and what is found is on the
// path.
func TestFarthestAlongSampled(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 9))
	for round := 0; round < 100; round++ {
		var ring orb.Ring
		for i, n := 0, 3+r.IntN(20); i < n; i++ {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := 1 + 9*r.Float64()
			ring = append(ring, orb.Point{d * c, d * s})
		}
		ring = append(ring, ring[0])
		l := NewLocator(ring)
		path := []orb.Point{{20*r.Float64() - 10, 20*r.Float64() - 10}, {20*r.Float64() - 10, 20*r.Float64() - 10}, {20*r.Float64() - 10, 20*r.Float64() - 10}}
		const tolerance = 1e-6
		at, d := l.FarthestAlong(path, tolerance)
		if real, _ := l.DistanceToBoundary(at); real != d {
			t.Fatalf("the point found is %v off, not %v", real, d)
		}
		off := math.Inf(1)
		for i := 1; i < len(path); i++ {
			e, _ := pointToSegment(at, path[i-1], path[i])
			off = min(off, e)
			for k := 0; k <= 500; k++ {
				f := float64(k) / 500
				p := orb.Point{path[i-1][0] + f*(path[i][0]-path[i-1][0]), path[i-1][1] + f*(path[i][1]-path[i-1][1])}
				if e, _ := l.DistanceToBoundary(p); e > d+tolerance {
					t.Fatalf("round %d: %v is %v off, more than the %v found", round, p, e, d)
				}
			}
		}
		if off > 1e-9 {
			t.Fatalf("the point found lies %v beside the path", off)
		}
	}
}

func TestFarthestInside(t *testing.T) {
	square := orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}
	stream := orb.Ring{{-50, 0}, {50, 0}, {50, 0.4}, {-50, 0.4}, {-50, 0}}
	for _, x := range []struct {
		name      string
		from, in  orb.Geometry
		least     float64
		want, tol float64 // want 0: nothing is farther than least
	}{
		{"the middle of a square", square, square, 0, 5, 1e-4},
		{"the middle of a stream", stream, stream, 0, 0.2, 1e-4},
		{"a part without the middle", square, orb.Ring{{0, 0}, {3, 0}, {3, 10}, {0, 10}, {0, 0}}, 3, 0, 0},
		{"a part with the middle", square, orb.Ring{{0, 0}, {7, 0}, {7, 10}, {0, 10}, {0, 0}}, 3, 5, 1e-4},
		// Within a frame 4 m wide inside, from outside of it: its hole's
		// middle.
		{"a gap in a frame", orb.Polygon{{{-4, -4}, {4, -4}, {4, 4}, {-4, 4}, {-4, -4}}, {{-2, -2}, {-2, 2}, {2, 2}, {2, -2}, {-2, -2}}},
			orb.Ring{{-2, -2}, {2, -2}, {2, 2}, {-2, 2}, {-2, -2}}, 0, 2, 1e-4},
		{"no area", square, orb.Ring{}, 0, 0, 0},
		{"no boundary", orb.Ring{}, square, 0, 0, 0},
	} {
		at, d, ok := NewLocator(x.from).FarthestInside(x.in, x.least, 1e-5)
		if ok != (x.want > 0) || ok && math.Abs(d-x.want) > x.tol {
			t.Errorf("%s: %v %v, want %v", x.name, d, ok, x.want)
		}
		if ok {
			if real, _ := NewLocator(x.from).DistanceToBoundary(at); real != d || Locate(at, x.in) != Inside {
				t.Errorf("%s: %v is %v off, not %v", x.name, at, real, d)
			}
		}
	}
}

// No point of a raster inside the area is farther than the outline and the
// inside say.
func TestFarthestInsideRaster(t *testing.T) {
	r := rand.New(rand.NewPCG(77, 3))
	star := func(x, y float64) orb.Ring {
		var ring orb.Ring
		for i, n := 0, 3+r.IntN(12); i < n; i++ {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := 1 + 4*r.Float64()
			ring = append(ring, orb.Point{x + d*c, y + d*s})
		}
		return append(ring, ring[0])
	}
	inside := 0
	for round := 0; round < 50; round++ {
		from := NewLocator(orb.MultiPolygon{{star(0, 0)}, {star(9, 1)}})
		area := star(4*r.Float64(), 2*r.Float64())
		const tolerance = 1e-4
		_, most := from.FarthestAlong(area, tolerance)
		if _, d, ok := from.FarthestInside(area, most, tolerance); ok {
			most = d
			inside++
		}
		for x := -6.0; x < 16; x += 0.1 {
			for y := -6.0; y < 8; y += 0.1 {
				p := orb.Point{x, y}
				if d, _ := from.DistanceToBoundary(p); d > most+2*tolerance && Locate(p, area) == Inside {
					t.Fatalf("round %d: %v is %v off, more than the %v found", round, p, d, most)
				}
			}
		}
	}
	if inside < 5 {
		t.Errorf("only %d of the areas had their farthest point inside", inside)
	}
}
