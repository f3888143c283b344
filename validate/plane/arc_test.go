// Arcs: circles and curves as they are drawn, and figures that are none.

package plane

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// arcTo appends n chords of an arc from angle a to b about a centre, its first
// point included.
func arcTo(r orb.Ring, c orb.Point, radius, a, b float64, n int) orb.Ring {
	for i := range n + 1 {
		sin, cos := math.Sincos(a + (b-a)*float64(i)/float64(n))
		r = append(r, orb.Point{c[0] + radius*cos, c[1] + radius*sin})
	}
	return r
}

func TestFitArcsCircle(t *testing.T) {
	for _, n := range []int{6, 7, 8, 12, 16, 24, 64, 360, 5000} {
		ring := ringAround(n, func(int) float64 { return 2 })
		want := 2 * (1 - math.Cos(math.Pi/float64(n)))
		rule := ArcRule{Tolerance: 1e-7}
		for k, r := range []orb.Ring{ring, reversed(append(orb.Ring(nil), ring...)), renumbered(ring, n/3), mapped([]orb.Polygon{{ring}}, each(func(p orb.Point) orb.Point { return orb.Point{p[0] + 512345, p[1] + 6234567} }))[0][0]} {
			got := FitArcs(r, rule)
			if len(got) != 1 {
				t.Fatalf("%d points, form %d: %v", n, k, got)
			}
			a := got[0]
			turn := 1
			if k == 1 {
				turn = -1
			}
			tolerance := 1e-12
			if k == 3 {
				tolerance = 1e-7 // of coordinates that are rounded to 1e-9
			}
			if !a.Whole || a.Count != n || a.Turn != turn || math.Abs(a.Radius-2) > tolerance || math.Abs(a.Sagitta-want) > tolerance {
				t.Errorf("%d points, form %d: %+v, want sagitta %v", n, k, a, want)
			}
		}
	}
}

func TestFitArcs(t *testing.T) {
	half := math.Pi / 2
	var rounded orb.Ring // a square of 10 with corners of radius 2 in 6 chords
	rounded = arcTo(rounded, orb.Point{8, 2}, 2, -half, 0, 6)
	rounded = arcTo(rounded, orb.Point{8, 8}, 2, 0, half, 6)
	rounded = arcTo(rounded, orb.Point{2, 8}, 2, half, 2*half, 6)
	rounded = arcTo(rounded, orb.Point{2, 2}, 2, 2*half, 3*half, 6)
	rounded = append(rounded, rounded[0])
	var s orb.Ring // first to the left, then to the right
	s = arcTo(s, orb.Point{0, 5}, 5, -half, 0, 8)
	s = arcTo(s[:8], orb.Point{10, 5}, 5, 2*half, half, 8)
	type want struct {
		first, count, turn int
		radius, sagitta    float64
	}
	corner := 2 * (1 - math.Cos(math.Pi/24))
	for _, c := range []struct {
		name string
		pts  []orb.Point
		rule ArcRule
		want []want
	}{
		{"rectangle", rect(0, 0, 10, 5), ArcRule{Tolerance: 1e-6}, nil},
		{"square", rect(0, 0, 10, 10), ArcRule{Tolerance: 1e-6}, nil},
		{"triangle", rg("0 0, 10 0, 5 8, 0 0"), ArcRule{Tolerance: 1e-6}, nil},
		{"pentagon", ringAround(5, func(int) float64 { return 3 }), ArcRule{Tolerance: 1e-6}, nil},
		{"square with cut corners", rg("1 0, 9 0, 10 1, 10 9, 9 10, 1 10, 0 9, 0 1, 1 0"), ArcRule{Tolerance: 1e-6}, nil},
		{"zigzag", rg("0 0, 1 1, 2 0, 3 1, 4 0, 5 1"), ArcRule{Tolerance: 1e-6}, nil},
		{"straight", rg("0 0, 1 0, 2 0, 3 0, 4 0, 5 0"), ArcRule{Tolerance: 1e-6}, nil},
		{"rounded square", rounded, ArcRule{Tolerance: 1e-6}, []want{{0, 7, 1, 2, corner}, {7, 7, 1, 2, corner}, {14, 7, 1, 2, corner}, {21, 7, 1, 2, corner}}},
		{"rounded square, begun in a corner", renumbered(rounded, 3), ArcRule{Tolerance: 1e-6}, []want{{4, 7, 1, 2, corner}, {11, 7, 1, 2, corner}, {18, 7, 1, 2, corner}, {25, 7, 1, 2, corner}}},
		{"S", s, ArcRule{Tolerance: 1e-6}, []want{{0, 9, 1, 5, 5 * (1 - math.Cos(math.Pi/32))}, {8, 9, -1, 5, 5 * (1 - math.Cos(math.Pi/32))}}},
		{"flatter than the tolerance", arcTo(nil, orb.Point{0, 0}, 1000, 0, 0.01, 10), ArcRule{Tolerance: 0.01}, nil},
		{"a little flatter than the tolerance", arcTo(nil, orb.Point{0, 0}, 10, 0, 0.5, 10), ArcRule{Tolerance: 0.004}, nil},
		{"a little less flat than the tolerance", arcTo(nil, orb.Point{0, 0}, 10, 0, 0.5, 10), ArcRule{Tolerance: 0.003}, []want{{0, 11, 1, 10, 10 * (1 - math.Cos(0.025))}}},
		{"few vertices", arcTo(nil, orb.Point{0, 0}, 5, 0, 1, 2), ArcRule{Tolerance: 1e-6}, nil},
		{"more vertices asked than there are", arcTo(nil, orb.Point{0, 0}, 5, 0, 1, 5), ArcRule{Tolerance: 1e-6, MinVertices: 7}, nil},
		{"as many as asked", arcTo(nil, orb.Point{0, 0}, 5, 0, 1, 5), ArcRule{Tolerance: 1e-6, MinVertices: 6}, []want{{0, 6, 1, 5, 5 * (1 - math.Cos(0.1))}}},
		{"pentagon, when allowed", ringAround(5, func(int) float64 { return 3 }), ArcRule{Tolerance: 1e-6, MaxTurn: 1.3}, []want{{0, 5, 1, 3, 3 * (1 - math.Cos(math.Pi/5))}}},
		{"not finite", []orb.Point{{0, 0}, {1, math.NaN()}, {2, 1}, {3, 3}, {4, 6}}, ArcRule{Tolerance: 1e-6}, nil},
		{"nothing", nil, ArcRule{}, nil},
		{"one point", rg("1 1"), ArcRule{}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := FitArcs(c.pts, c.rule)
			if len(got) != len(c.want) {
				t.Fatalf("%d arcs %+v, want %d", len(got), got, len(c.want))
			}
			for i, w := range c.want {
				g := got[i]
				if g.First != w.first || g.Count != w.count || g.Turn != w.turn || math.Abs(g.Radius-w.radius) > 1e-9 || math.Abs(g.Sagitta-w.sagitta) > 1e-9 {
					t.Errorf("arc %d: %+v, want %+v", i, g, w)
				}
			}
		})
	}
}

// TestFitArcsSurveyed holds circles with points a centimetre off, as measured,
// and straight lines shaken by as much.
func TestFitArcsSurveyed(t *testing.T) {
	r := rand.New(rand.NewPCG(121, 122))
	for k := range 200 {
		ring := ringAround(12, func(int) float64 { return 1.5 + 0.005*r.NormFloat64() })
		got := FitArcs(ring, ArcRule{Tolerance: 0.03})
		if len(got) != 1 || !got[0].Whole || math.Abs(got[0].Radius-1.5) > 0.02 || math.Abs(got[0].Sagitta-1.5*(1-math.Cos(math.Pi/12))) > 0.01 {
			t.Fatalf("circle %d: %+v", k, got)
		}
		var line orb.Ring
		for i := range 40 {
			line = append(line, orb.Point{float64(i), 0.005 * r.NormFloat64()})
		}
		if got := FitArcs(line, ArcRule{Tolerance: 0.03}); len(got) != 0 {
			t.Fatalf("straight %d: %+v", k, got)
		}
	}
}

// FuzzShapes feeds any ring to what looks at shapes: no panic, no NaN.
func FuzzShapes(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9}, byte(0))
	f.Add([]byte{0, 0, 100, 0, 100, 40, 200, 40, 200, 0, 250, 0, 250, 90, 200, 90, 200, 50, 100, 50, 100, 90, 0, 90}, byte(60))
	f.Add([]byte{50, 0, 85, 15, 100, 50, 85, 85, 50, 100, 15, 85, 0, 50, 15, 15}, byte(9))
	f.Fuzz(func(t *testing.T, data []byte, below byte) {
		if len(data) > 600 {
			return
		}
		var r orb.Ring
		for i := 0; i+1 < len(data); i += 2 {
			r = append(r, orb.Point{float64(data[i]) / 7, float64(data[i+1]) / 7})
		}
		if len(r) > 0 {
			r = append(r, r[0])
		}
		good := func(p orb.Point) bool { return finite(p) }
		for _, th := range Throats(orb.Polygon{r}, float64(below)/5) {
			if !(th.Width > 0) || !(th.Width < float64(below)/5) || !(th.Cut >= 0) || !good(th.P) || !good(th.Q) {
				t.Errorf("throat %+v", th)
			}
		}
		for _, a := range FitArcs(r, ArcRule{Tolerance: 0.01}) {
			if !(a.Radius > 0) || !(a.Sagitta > 0) || a.Sagitta > a.Radius || !good(a.Centre) || a.First < 0 || a.First >= len(r) || a.Count < 4 {
				t.Errorf("arc %+v", a)
			}
		}
		if c, d := GreatestDepth(r, 0.01); !(d >= 0) || !good(c) {
			t.Errorf("depth %v at %v", d, c)
		}
		half := len(r) / 2
		if d, p, q := Clearance(orb.LineString(r[:half]), orb.Polygon{r[half:]}); !(d >= 0) || !good(p) || !good(q) {
			t.Errorf("clearance %v, %v, %v", d, p, q)
		}
	})
}

// What Least passes over holds nothing that was asked for.
func TestArcsLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	passed, kept := 0, 0
	for range 4000 {
		n := 5 + r.IntN(40)
		radius, squash, rough := 0.3+5*r.Float64(), 1-0.3*r.Float64()*r.Float64(), 0.004*r.Float64()*float64(1+2*r.IntN(3))
		var ring []orb.Point
		turn := 0.0
		for turn < 2*math.Pi {
			s, c := math.Sincos(turn)
			ring = append(ring, orb.Point{radius*c + rough*r.NormFloat64(), squash*radius*s + rough*r.NormFloat64()})
			turn += 2 * math.Pi / float64(n) * (0.4 + 1.2*r.Float64())
		}
		ring = append(ring, ring[0])
		least := math.Exp(-5 + 3*r.Float64())
		rule := ArcRule{Tolerance: min(0.005*float64(1+2*r.IntN(2)), least/2)}
		var want []Arc
		for _, a := range FitArcs(ring, rule) {
			if a.Sagitta >= least {
				want = append(want, a)
			}
		}
		rule.Least = least
		got := FitArcs(ring, rule)
		if got == nil {
			passed++
		}
		got = slices.DeleteFunc(got, func(a Arc) bool { return a.Sagitta < least })
		if !slices.Equal(got, want) {
			t.Fatalf("least %g: %+v, want %+v of %v", least, got, want, ring)
		}
		kept += len(want)
	}
	if passed < 500 || kept < 500 {
		t.Errorf("%d passed over, %d arcs: the test tries one side only", passed, kept)
	}
}
