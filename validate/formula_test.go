// The formulas behind the rules against closed forms.

package validate

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

func approx(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.9f, want %.9f", what, got, want)
	}
}

// ringWall is a wall all round the origin, of n sides that touch the circle.
func ringWall(radius float64, n int) orb.Polygon {
	var outer, inner orb.Ring
	for i := 0; i <= n; i++ {
		u := bearing(360 * float64(i%n) / float64(n))
		k := radius / math.Cos(math.Pi/float64(n))
		inner = append(inner, orb.Point{u[0] * k, u[1] * k})
		outer = append(outer, orb.Point{u[0] * (k + 1), u[1] * (k + 1)})
	}
	return orb.Polygon{outer, inner}
}

func TestHiddenSky(t *testing.T) {
	rad := math.Pi / 180
	o := &observer{f: &Feature{}, ground: math.NaN()}
	block := func(h float64, p ...orb.Polygon) []blocker {
		return []blocker{{f: &Feature{}, height: h, floor: math.NaN(), areas: p}}
	}
	// A round wall hides the same elevation in every direction.
	for _, h := range []float64{1, 5, 20} {
		el := math.Atan(h / 10)
		want := math.Max(0, (math.Sin(el)-math.Sin(15*rad))/(1-math.Sin(15*rad)))
		approx(t, "round wall", hiddenSky(o, block(h, ringWall(10, 720)), 15), want, 1e-4)
	}
	// An endless straight wall d away, h high, mask 0: from bearing a off the
	// perpendicular its top stands at atan(h cos a / d), so the solid angle is
	// the integral of sin(atan(q cos a)) over -90 to 90 degrees, q = h/d, which
	// is 2 asin(q / sqrt(1 + q^2)), of 2 pi.
	for _, q := range []float64{0.2, 1, 3} {
		wall := orb.Polygon{{{-1e6, 10}, {1e6, 10}, {1e6, 11}, {-1e6, 11}, {-1e6, 10}}}
		want := 2 * math.Asin(q/math.Sqrt(1+q*q)) / (2 * math.Pi)
		approx(t, "straight wall", hiddenSky(o, block(10*q, wall), 0), want, 1e-3)
	}
	// A quarter of the horizon: the part of a round wall from north to east.
	quarter := orb.Polygon{}
	ring := orb.Ring{}
	for i := 0; i <= 90; i++ {
		u := bearing(float64(i))
		ring = append(ring, orb.Point{10 * u[0], 10 * u[1]})
	}
	for i := 90; i >= 0; i-- {
		u := bearing(float64(i))
		ring = append(ring, orb.Point{11 * u[0], 11 * u[1]})
	}
	quarter = append(quarter, append(ring, ring[0]))
	approx(t, "quarter wall", hiddenSky(o, block(10, quarter), 0), math.Sin(math.Pi/4)/4, 1e-3)
	// Two walls behind one another hide no more than the higher.
	both := append(block(5, ringWall(10, 720)), block(20, ringWall(20, 720))...)
	approx(t, "two walls", hiddenSky(o, both, 0), math.Sin(math.Pi/4), 1e-4)
	// Nothing in sight, and under a roof.
	approx(t, "no wall", hiddenSky(o, nil, 15), 0, 0)
	approx(t, "under a roof", hiddenSky(o, block(3, orb.Polygon{{{-5, -5}, {5, -5}, {5, 5}, {-5, 5}, {-5, -5}}}), 15), 1, 0)
}

func TestPlaneSlope(t *testing.T) {
	at := func(pts []orb.Point, h func(orb.Point) float64) []raised {
		var out []raised
		for _, p := range pts {
			out = append(out, raised{read: p, ground: p, h: h(p)})
		}
		return out
	}
	tilt := func(gx, gy float64) func(orb.Point) float64 {
		return func(p orb.Point) float64 { return 100 + gx*p[0] + gy*p[1] }
	}
	square := []orb.Point{{1000, 2000}, {1020, 2000}, {1020, 2010}, {1000, 2010}}
	triangle := []orb.Point{{0, 0}, {10, 0}, {5, 9}}
	for _, g := range [][2]float64{{0, 0}, {0.3, 0}, {0, -0.4}, {0.3, 0.4}} {
		for _, pts := range [][]orb.Point{square, triangle} {
			got, _, ok := planeSlope(at(pts, tilt(g[0], g[1])))
			if !ok {
				t.Fatal("no slope of a plain figure")
			}
			approx(t, "slope", got, 100*math.Hypot(g[0], g[1]), 1e-9)
		}
	}
	for name, pts := range map[string][]orb.Point{
		"two points": square[:2], "points on a line": {{0, 0}, {5, 5}, {10, 10}}, "a sliver": {{0, 0}, {30, 0.2}, {60, 0}},
	} {
		if _, _, ok := planeSlope(at(pts, tilt(1, 1))); ok {
			t.Errorf("%s have a slope across", name)
		}
	}
}

func TestAlongside(t *testing.T) {
	for _, x := range []struct {
		a, b, c, d orb.Point
		reach      float64
		from, to   float64 // to 0: nothing
	}{
		{orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{2, 0.1}, orb.Point{6, 0.1}, 0.3, 0.2, 0.6},
		{orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{6, -0.1}, orb.Point{2, -0.1}, 0.3, 0.2, 0.6},
		{orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{-5, 0.1}, orb.Point{50, 0.1}, 0.3, 0, 1},
		{orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{2, 0.4}, orb.Point{6, 0.4}, 0.3, 0, 0},
		{orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{5, -2}, orb.Point{5, 2}, 0.3, 0, 0},   // across
		{orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{20, 0}, orb.Point{30, 0}, 0.3, 0, 0},  // past the end
		{orb.Point{0, 0}, orb.Point{0, 0}, orb.Point{2, 0.1}, orb.Point{6, 0.1}, 0.3, 0, 0}, // no length
		// Running away from it: within 0.3 until the distance 0.5 x / 10
		// reaches 0.3.
		{orb.Point{0, 0}, orb.Point{10, 0.5}, orb.Point{0, 0}, orb.Point{10, 0}, 0.3, 0, 0.6},
	} {
		s, ok := alongside(x.a, x.b, x.c, x.d, x.reach)
		if ok != (x.to > 0) {
			t.Errorf("%v: %v %v", x, s, ok)
			continue
		}
		if ok {
			approx(t, "from", s.from, x.from, 1e-12)
			approx(t, "to", s.to, x.to, 1e-12)
		}
	}
}

func TestNarrowest(t *testing.T) {
	f, g := &Feature{Index: 1}, &Feature{Index: 2}
	wall := func(f *Feature, pts ...orb.Point) obstacle { return obstacle{f: f, pts: pts, hard: true} }
	a, b := orb.Point{0, 0}, orb.Point{20, 0}
	for _, x := range []struct {
		name string
		obs  []obstacle
		want float64
	}{
		{"two straight walls", []obstacle{wall(f, orb.Point{0, 0.5}, orb.Point{20, 0.5}), wall(g, orb.Point{0, -0.7}, orb.Point{20, -0.7})}, 1.2},
		{"one wall only", []obstacle{wall(f, orb.Point{0, 0.5}, orb.Point{20, 0.5})}, math.Inf(1)},
		{"one after the other", []obstacle{wall(f, orb.Point{0, 0.5}, orb.Point{5, 0.5}), wall(g, orb.Point{10, -0.5}, orb.Point{20, -0.5})}, math.Inf(1)},
		// From the post square to the slanting wall, which across at the post is
		// 0.4 and 1 - 0.9 8/20 away.
		{"a post and a slanting wall", []obstacle{wall(f, orb.Point{8, -0.4}), wall(g, orb.Point{0, 1}, orb.Point{20, 0.1})}, (0.4 + 1 - 0.9*8/20) * 20 / math.Hypot(20, 0.9)},
		// Narrows towards the far end: 0.3 + 0.2.
		{"a funnel", []obstacle{wall(f, orb.Point{0, 1}, orb.Point{20, 0.3}), wall(g, orb.Point{0, -1}, orb.Point{20, -0.2})}, 0.5},
		{"out of reach", []obstacle{wall(f, orb.Point{0, 2}, orb.Point{20, 2}), wall(g, orb.Point{0, -2}, orb.Point{20, -2})}, math.Inf(1)},
	} {
		got := narrowest([]orb.Point{a, b}, 1, x.obs, 1.5)
		if math.IsInf(x.want, 1) {
			if !math.IsInf(got.width, 1) {
				t.Errorf("%s: %v", x.name, got.width)
			}
			continue
		}
		approx(t, x.name, got.width, x.want, 1e-12)
		approx(t, x.name+", between its ends", distance(got.leftAt, got.rightAt), x.want, 1e-12)
	}
}

func TestLineUp(t *testing.T) {
	for _, x := range []struct {
		heading float64
		want    orb.Point
	}{{0, orb.Point{10, 3}}, {90, orb.Point{8, 5}}, {180, orb.Point{10, 7}}, {270, orb.Point{12, 5}}, {-90, orb.Point{12, 5}}} {
		got := LineUp(orb.Point{10, 5}, x.heading, 2)
		approx(t, "east", got[0], x.want[0], 1e-12)
		approx(t, "north", got[1], x.want[1], 1e-12)
	}
}

func TestBearings(t *testing.T) {
	for _, x := range []struct{ e, n, want float64 }{{0, 1, 0}, {1, 0, 90}, {0, -1, 180}, {-1, 0, 270}, {1, 1, 45}, {-1, 1, 315}} {
		approx(t, "bearing", bearingOf(orb.Point{}, orb.Point{x.e, x.n}), x.want, 1e-12)
	}
	for _, x := range []struct{ a, b, want float64 }{{10, 350, 20}, {350, 10, 20}, {0, 180, 180}, {-90, 270, 0}, {725, 5, 0}} {
		approx(t, "angle", angleBetween(x.a, x.b), x.want, 1e-12)
	}
}

func TestClip(t *testing.T) {
	area := orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}, {{4, 4}, {4, 6}, {6, 6}, {6, 4}, {4, 4}}}}
	line := orb.LineString{{-5, 5}, {15, 5}}
	in, out := 0.0, 0.0
	for _, l := range clipInside(line, area) {
		in += groundLength(l)
	}
	for _, l := range clipOutside(line, area) {
		out += groundLength(l)
	}
	approx(t, "inside", in, 8, 1e-12)
	approx(t, "outside", out, 12, 1e-12)
	// Along an edge it is neither inside nor outside.
	along := orb.LineString{{0, 0}, {10, 0}}
	if len(clipInside(along, area))+len(clipOutside(along, area)) != 0 {
		t.Error("a line along the edge is inside or outside")
	}
	// A line with a bend outside comes in one piece.
	if got := clipOutside(orb.LineString{{20, 0}, {25, 5}, {20, 10}}, area); len(got) != 1 || len(got[0]) != 3 {
		t.Errorf("a line outside is cut: %v", got)
	}
}

func TestMeet(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) orb.Ring {
		return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
	}
	a := orb.MultiPolygon{{box(0, 0, 10, 10)}}
	holed := orb.MultiPolygon{{box(0, 0, 10, 10), box(4, 4, 6, 6)}}
	for _, x := range []struct {
		name string
		a, b orb.MultiPolygon
		want meeting
	}{
		{"far apart", a, orb.MultiPolygon{{box(20, 0, 30, 10)}}, apart},
		{"boxes overlap, areas do not", orb.MultiPolygon{{{{0, 0}, {10, 0}, {0, 10}, {0, 0}}}}, orb.MultiPolygon{{{{10, 10}, {6, 10}, {10, 6}, {10, 10}}}}, apart},
		{"inside", orb.MultiPolygon{{box(1, 1, 2, 2)}}, a, within},
		{"around", a, orb.MultiPolygon{{box(1, 1, 2, 2)}}, around},
		{"edge in common", a, orb.MultiPolygon{{box(10, 0, 20, 10)}}, entangled},
		{"nearly at an edge", orb.MultiPolygon{{box(5, 5, 9.9995, 6)}}, a, entangled},
		{"crossing", a, orb.MultiPolygon{{box(5, 5, 20, 20)}}, entangled},
		{"in the hole", orb.MultiPolygon{{box(4.5, 4.5, 5.5, 5.5)}}, holed, apart},
		{"over the hole", orb.MultiPolygon{{box(3, 3, 7, 7)}}, holed, entangled},
		{"beside the hole", orb.MultiPolygon{{box(1, 1, 2, 2)}}, holed, within},
		{"equal", a, a, entangled},
		{"the hole within it", holed, orb.MultiPolygon{{box(3, 3, 7, 7)}}, entangled},
		{"two inside", a, orb.MultiPolygon{{box(1, 1, 2, 2)}, {box(3, 3, 4, 4)}}, entangled},
		{"a frame inside", a, orb.MultiPolygon{{box(1, 1, 8, 8), box(3, 3, 4, 4)}}, entangled},
	} {
		if got := meet(x.a, x.a.Bound(), x.b, x.b.Bound()); got != x.want {
			t.Errorf("%s: %v, want %v", x.name, got, x.want)
		}
	}
}

func TestDiscCoversItsCircle(t *testing.T) {
	ring := discRing(orb.Point{3, 4}, 2)
	d, _ := plane.NewLocator(orb.Polygon{ring}).DistanceToBoundary(orb.Point{3, 4})
	approx(t, "least radius", d, 2, 1e-12)
	if plane.SignedArea(ring) <= 0 {
		t.Error("a disc runs clockwise")
	}
}

func TestSoundVertices(t *testing.T) {
	for _, x := range []struct {
		ring orb.Ring
		want []int
	}{
		{orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 0}}, []int{0, 1, 2}},
		{orb.Ring{{0, 0}, {0, 0}, {1, 0}, {1, 1}, {1, 1}}, []int{0, 2, 3}},
		{orb.Ring{{0, 0}, {2, 0}, {1, 0}, {1, 1}, {0, 0}}, []int{0, 2, 3}},
		{orb.Ring{{0, 0}, {1, 0}, {3, 0}, {2, 0}, {1, 0}, {1, 1}}, []int{0, 1, 5}},
	} {
		got := soundVertices(x.ring)
		if len(got) != len(x.want) {
			t.Errorf("%v: %v, want %v", x.ring, got, x.want)
			continue
		}
		for i := range got {
			if got[i] != x.want[i] {
				t.Errorf("%v: %v, want %v", x.ring, got, x.want)
			}
		}
	}
}

// TestTangentFarAway: the way back either converges or says that it does not.
func TestTangentFarAway(t *testing.T) {
	// Beside the pole, where meridians meet within the plan, the steps are
	// slower.
	for lat, tolerance := range map[float64]float64{0: 1e-6, 60: 1e-6, 89.9: 1e-6, -89.9999: 1e-3} {
		tan := newTangent(6378137, 1/298.257223563, 10, lat, 0)
		for _, d := range []float64{0, 1, 1e3, 1e5, 1e7, 1e300} {
			for b := 0.0; b < 360; b += 45 {
				u := bearing(b)
				p := orb.Point{u[0] * d, u[1] * d}
				lon, la := tan.inverse(p)
				if math.IsNaN(lon) || math.IsNaN(la) {
					if d <= 1e3 {
						t.Errorf("no way back from %v at latitude %v", p, lat)
					}
					continue
				}
				if q := tan.forward(lon, la); d <= 1e5 && distance(p, q) > tolerance {
					t.Errorf("%v comes back as %v at latitude %v", p, q, lat)
				}
			}
		}
	}
}

func TestHazardKinds(t *testing.T) {
	for words, want := range map[string]string{
		"pond": "water", "Fish ponds": "water", "Gartenteich": "water", "TEICH": "water", "Étang": "water", "vijver": "water", "Sjö": "water",
		"Dorfstraße": "road", "rue": "road", "dorpsstraat": "road", "Treppe": "drop", "skråning": "drop", "escalera": "drop", "Obstbaum": "tree", "arbre": "tree",
		"pond beside the road": "water", "statue": "", "": "", "Baum am Teich": "water",
	} {
		f := &Feature{Feature: &schema.Feature{Attributes: schema.Attributes{{Key: schema.PropHazardKind, Value: schema.String(words)}}}}
		if got := hazardKind(f); got != want {
			t.Errorf("%q is %q, want %q", words, got, want)
		}
	}
}
