// Boolean operations and offsets against closed forms and identities.

package plane

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// symmetricDifference is what lies in one of a and b.
func symmetricDifference(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return Combine(a, b, func(inA, inB bool) bool { return inA != inB })
}

// sound fails the test unless the figure is valid, closed, and wound and
// ordered as Combine promises.
func sound(t *testing.T, mp orb.MultiPolygon) {
	t.Helper()
	if fs := Validate(mp); len(fs) > 0 {
		t.Errorf("result is not valid: %v\n%v", fs[0], mp)
	}
	for i, p := range mp {
		for j, r := range p {
			if Turn(r) > 0 != (j == 0) {
				t.Errorf("polygon %d ring %d runs the wrong way: %v", i, j, r)
			}
			for _, q := range r {
				if pointLess(q, r[0]) {
					t.Errorf("polygon %d ring %d does not begin at its leftmost vertex: %v", i, j, r)
					break
				}
			}
		}
	}
}

func rings(mp orb.MultiPolygon) int {
	n := 0
	for _, p := range mp {
		n += len(p)
	}
	return n
}

func TestCombine(t *testing.T) {
	sq := orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10, 0 0")}
	for _, c := range []struct {
		name                             string
		a, b                             orb.MultiPolygon
		union, intersection, difference  float64
		unionN, intersectionN, differenN int // polygons
	}{
		{"two squares across", sq, orb.MultiPolygon{pg("5 5, 15 5, 15 15, 5 15, 5 5")}, 175, 25, 75, 1, 1, 1},
		{"equal", sq, sq, 100, 100, 0, 1, 1, 0},
		{"equal, reversed", sq, orb.MultiPolygon{pg("0 10, 10 10, 10 0, 0 0, 0 10")}, 100, 100, 0, 1, 1, 0},
		{"a side in common", sq, orb.MultiPolygon{pg("10 0, 20 0, 20 10, 10 10, 10 0")}, 200, 0, 100, 1, 0, 1},
		{"a corner in common", sq, orb.MultiPolygon{pg("10 10, 20 10, 20 20, 10 20, 10 10")}, 200, 0, 100, 2, 0, 1},
		{"apart", sq, orb.MultiPolygon{pg("30 0, 40 0, 40 10, 30 10, 30 0")}, 200, 0, 100, 2, 0, 1},
		{"one inside", sq, orb.MultiPolygon{pg("2 2, 4 2, 4 4, 2 4, 2 2")}, 100, 4, 96, 1, 1, 1},
		{"one inside, at a corner", sq, orb.MultiPolygon{pg("0 0, 4 2, 2 4, 0 0")}, 100, 6, 94, 1, 1, 1},
		{"one inside, from side to side", sq, orb.MultiPolygon{pg("0 5, 5 4, 10 5, 5 6, 0 5")}, 100, 10, 90, 1, 1, 2},
		{"a bar across", sq, orb.MultiPolygon{pg("-5 4, 15 4, 15 6, -5 6, -5 4")}, 120, 20, 80, 1, 1, 2},
		{"an island in the hole", orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10, 0 0", "2 2, 8 2, 8 8, 2 8, 2 2")}, orb.MultiPolygon{pg("4 4, 6 4, 6 6, 4 6, 4 4")}, 68, 0, 64, 2, 0, 1},
		{"filling the hole", orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10, 0 0", "2 2, 8 2, 8 8, 2 8, 2 2")}, orb.MultiPolygon{pg("2 2, 8 2, 8 8, 2 8, 2 2")}, 100, 0, 64, 1, 0, 1},
		{"nothing", sq, nil, 100, 0, 100, 1, 0, 1},
		{"parts that overlap count once", append(orb.MultiPolygon{pg("5 0, 15 0, 15 10, 5 10, 5 0")}, sq...), nil, 150, 0, 150, 1, 0, 1},
		{"an open ring", orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10")}, nil, 100, 0, 100, 1, 0, 1},
		{"a spike", orb.MultiPolygon{pg("0 0, 10 0, 20 0, 10 0, 10 10, 0 10, 0 0")}, nil, 100, 0, 100, 1, 0, 1},
		{"a keyhole: a hole joined to the shell by a cut", orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10, 0 5, 4 5, 4 6, 6 6, 6 4, 4 4, 4 5, 0 5, 0 0")}, nil, 96, 0, 96, 1, 0, 1},
		{"a hole that pokes out", orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10, 0 0", "8 4, 8 6, 12 6, 12 4, 8 4")}, nil, 96, 0, 96, 1, 0, 1},
		{"flat", orb.MultiPolygon{pg("0 0, 10 0, 5 0, 0 0")}, sq, 100, 0, 0, 1, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, op := range []struct {
				name string
				do   func(a, b orb.MultiPolygon) (orb.MultiPolygon, error)
				area float64
				n    int
			}{{"union", Union, c.union, c.unionN}, {"intersection", Intersection, c.intersection, c.intersectionN}, {"difference", Difference, c.difference, c.differenN},
				{"symmetric difference", symmetricDifference, c.union - c.intersection, -1}} {
				got, err := op.do(c.a, c.b)
				if err != nil {
					t.Fatal(err)
				}
				sound(t, got)
				if a := Area(got); math.Abs(a-op.area) > 1e-9 || op.n >= 0 && len(got) != op.n {
					t.Errorf("%s: area %v in %d polygons, want %v in %d: %v", op.name, a, len(got), op.area, op.n, got)
				}
			}
		})
	}
	// The vertices of a cut that is no longer there go, those given stay.
	got, err := Union(orb.MultiPolygon{pg("0 0, 10 0, 10 10, 5 10, 0 10, 0 0")}, orb.MultiPolygon{pg("10 2, 20 2, 20 8, 10 8, 10 2")})
	if err != nil || len(got) != 1 || len(got[0][0]) != 10 {
		t.Errorf("union with a neighbour: %v, %v", got, err)
	}
	got, err = Union(orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10, 0 0")}, orb.MultiPolygon{pg("2 0, 4 0, 4 2, 2 2, 2 0")})
	if err != nil || len(got) != 1 || len(got[0][0]) != 7 {
		t.Errorf("union with a part along a side: %v, %v", got, err)
	}
}

// TestCombineNested holds that a hole goes to the smallest shell around it, and
// that a place where a line was cut by one that is gone leaves no vertex.
func TestCombineNested(t *testing.T) {
	a := orb.MultiPolygon{pg("0 0, 30 0, 30 30, 0 30, 0 0", "5 5, 25 5, 25 25, 5 25, 5 5"), pg("8 8, 22 8, 22 22, 8 22, 8 8")}
	got, err := Difference(a, orb.MultiPolygon{pg("12 12, 18 12, 18 18, 12 18, 12 12")})
	if err != nil || len(got) != 2 || len(got[0]) != 2 || len(got[1]) != 2 || Area(got[1]) != 14*14-36 {
		t.Errorf("holes in nested shells: %v, %v", got, err)
	}
	sound(t, got)
	got, err = Combine(orb.MultiPolygon{pg("0 0, 10 0, 10 10, 0 10, 0 0")}, orb.MultiPolygon{pg("-5 4, 15 4, 15 6, -5 6, -5 4")}, func(inA, _ bool) bool { return inA })
	if err != nil || len(got) != 1 || len(got[0][0]) != 5 {
		t.Errorf("a square that a bar crossed: %v, %v", got, err)
	}
	// Disjoint operands, of which one is not wanted.
	got, err = Difference(a, orb.MultiPolygon{pg("40 0, 50 0, 50 10, 40 0")})
	if err != nil || Area(got) != Area(a) {
		t.Errorf("less what lies apart: %v, %v", got, err)
	}
}

func TestCombineErrors(t *testing.T) {
	if _, err := Union(orb.MultiPolygon{{{{math.NaN(), 0}, {1, 0}, {0, 1}, {math.NaN(), 0}}}}, nil); !errors.Is(err, ErrNotFinite) {
		t.Errorf("NaN: %v", err)
	}
	if _, err := Union(orb.MultiPolygon{{rect(0, 0, 1e200, 1e200)}}, nil); !errors.Is(err, ErrTooLarge) {
		t.Errorf("1e200: %v", err)
	}
	if got, err := Union(nil, nil); got != nil || err != nil {
		t.Errorf("nothing: %v, %v", got, err)
	}
}

// TestCombineIdentities holds |A or B| + |A and B| = |A| + |B| and the like on
// figures of whole numbers and on figures that almost coincide.
func TestCombineIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(91, 92))
	tested := 0
	for tested < 1500 {
		a, b := orb.MultiPolygon(smallFigure(r)), orb.MultiPolygon(smallFigure(r))
		if !IsValid(a) || !IsValid(b) {
			continue
		}
		tested++
		off := 0.0
		if tested%2 == 0 {
			// b becomes a, shaken by anything down to the last bit.
			off = math.Pow(10, -16*r.Float64())
			b = mapped(a, func(ring orb.Ring) orb.Ring {
				for i := range ring[1:] {
					ring[i][0] += off * r.NormFloat64()
					ring[i][1] += off * r.NormFloat64()
				}
				ring[len(ring)-1] = ring[0]
				return ring
			})
		}
		or, err1 := Union(a, b)
		and, err2 := Intersection(a, b)
		aNot, err3 := Difference(a, b)
		bNot, err4 := Difference(b, a)
		either, err5 := symmetricDifference(a, b)
		if err := errors.Join(err1, err2, err3, err4, err5); err != nil {
			t.Fatalf("%v\n%v: %v", a, b, err)
		}
		for _, mp := range []orb.MultiPolygon{or, and, aNot, bNot, either} {
			sound(t, mp)
		}
		// Shaken holes may cross their shell by up to off; what they cover is
		// then A itself.
		ua, err1 := Union(a, nil)
		ub, err2 := Union(b, nil)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		for name, sums := range map[string][2]float64{
			"|A or B| + |A and B| = |A| + |B|":  {Area(or) + Area(and), Area(ua) + Area(ub)},
			"|A| = |A and B| + |A not B|":       {Area(ua), Area(and) + Area(aNot)},
			"|A xor B| = |A not B| + |B not A|": {Area(either), Area(aNot) + Area(bNot)},
		} {
			if math.Abs(sums[0]-sums[1]) > 1e-9 {
				t.Errorf("%s: %v and %v (shaken by %g)\n%v\n%v", name, sums[0], sums[1], off, a, b)
			}
		}
		if t.Failed() {
			return
		}
	}
}

func TestOffset(t *testing.T) {
	const chord = 1e-6
	sq := pg("0 0, 10 0, 10 10, 0 10, 0 0")
	holed := pg("0 0, 20 0, 20 20, 0 20, 0 0", "8 8, 12 8, 12 12, 8 12, 8 8")
	dumbbell := pg("0 0, 10 0, 10 4, 20 4, 20 0, 30 0, 30 10, 20 10, 20 6, 10 6, 10 10, 0 10, 0 0")
	circle := orb.Polygon{ringAround(720, func(int) float64 { return 3 })}
	tan := math.Tan(math.Pi / 8)
	for _, c := range []struct {
		name  string
		p     orb.Polygon
		by    float64
		join  Join
		area  float64
		parts int
		rings int
	}{
		{"square out, round", sq, 2, Round(chord), 100 + 4*20 + 4*math.Pi, 1, 1},
		{"square out, mitre", sq, 2, Mitre(2), 14 * 14, 1, 1},
		{"square out, mitre cut at the offset", sq, 2, Mitre(1), 14*14 - 4*square(2*(math.Sqrt2-1)), 1, 1},
		{"square in", sq, -2, Round(chord), 36, 1, 1},
		{"square in, mitre", sq, -2, Mitre(2), 36, 1, 1},
		{"square in, just gone", sq, -5, Round(chord), 0, 0, 0},
		{"square in, long gone", sq, -7.2, Round(chord), 0, 0, 0},
		{"square in, far more than its size", sq, -500, Mitre(2), 0, 0, 0},
		{"the other way round", pg("0 0, 0 10, 10 10, 10 0, 0 0"), -2, Round(chord), 36, 1, 1},
		{"by nothing", sq, 0, Round(chord), 100, 1, 1},
		{"holed, out", holed, 1, Mitre(2), 22*22 - 4, 1, 2},
		{"holed, out, hole gone", holed, 2, Mitre(2), 24 * 24, 1, 1},
		{"holed, out, hole long gone", holed, 9, Mitre(2), 38 * 38, 1, 1},
		{"holed, in, mitre", holed, -1, Mitre(2), 18*18 - 36, 1, 2},
		{"holed, in, round", holed, -1, Round(chord), 18*18 - (16 + 16 + math.Pi), 1, 2},
		{"holed, in, all the way", holed, -4, Mitre(2), 0, 0, 0},
		{"dumbbell in: two parts", dumbbell, -1.5, Mitre(2), 98, 2, 2},
		{"dumbbell in: still one", dumbbell, -0.5, Mitre(2), 81 + 81 + 11*1, 1, 1},
		{"U out: a hole appears", pg("0 0, 10 0, 10 10, 0 10, 0 6, 4 6, 4 5.5, 0 5.5, 0 0"), 0.2, Mitre(2), 10.4*10.4 - 4*0.1, 1, 1},
		{"keyhole slot out: closes", pg("0 0, 10 0, 10 10, 0 10, 0 5.2, 3 5.2, 3 7, 7 7, 7 3, 3 3, 3 4.8, 0 4.8, 0 0"), 0.5, Mitre(2), 11*11 - 3*3, 1, 2},
		{"circle out", circle, 1, Round(chord), regular(720, 3) + perimeter(720, 3) + math.Pi, 1, 1},
		{"circle in", circle, -1, Round(chord), regular(720, 3-1/math.Cos(math.Pi/720)), 1, 1},
		{"circle in, gone", circle, -3, Round(chord), 0, 0, 0},
		{"octagon corners, mitre", orb.Polygon{ringAround(8, func(int) float64 { return 5 })}, 1, Mitre(1.1), regular(8, 5) + perimeter(8, 5) + 8*tan, 1, 1},
		{"far off", orb.Polygon{rect(500000, 6e6, 500010, 6e6+10)}, -2, Mitre(2), 36, 1, 1},
		{"repeated points and straight vertices", pg("0 0, 0 0, 5 0, 10 0, 10 10, 10 10, 0 10, 0 0"), -2, Mitre(2), 36, 1, 1},
		{"not valid: two lobes at a point", pg("0 0, 4 4, 8 0, 8 8, 4 4, 0 8, 0 0"), 0, Mitre(2), 32, 2, 2},
		{"nothing", orb.Polygon{}, 1, Mitre(2), 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Offset(c.p, c.by, c.join)
			if err != nil {
				t.Fatal(err)
			}
			sound(t, got)
			// Chords: the arcs of a whole turn lose at most chord times their
			// length.
			tolerance := 1e-6 + chord*2*math.Pi*math.Abs(c.by)
			if a := Area(got); math.Abs(a-c.area) > tolerance || len(got) != c.parts || rings(got) != c.rings {
				t.Errorf("area %.9f in %d parts with %d rings, want %.9f in %d with %d\n%v", a, len(got), rings(got), c.area, c.parts, c.rings, got)
			}
		})
	}
}

func square(x float64) float64 { return x * x }

// regular is the area of a regular polygon of n corners at distance r,
// perimeter its length.
func regular(n int, r float64) float64 {
	return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n))
}

func perimeter(n int, r float64) float64 {
	return 2 * float64(n) * r * math.Sin(math.Pi/float64(n))
}

// TestOffsetDistance holds, on random stars, that the new boundary lies at the
// distance from the old one, within the chord error, and on the right side of
// it.
func TestOffsetDistance(t *testing.T) {
	r := rand.New(rand.NewPCG(101, 102))
	const chord = 1e-3
	shrunk := 0
	for range 300 {
		n := 5 + r.IntN(60)
		ring := ringAround(n, func(int) float64 { return 3 + 17*r.Float64() })
		p := orb.Polygon{ring}
		by := (2*r.Float64() - 1) * 4
		got, err := Offset(p, by, Round(chord))
		if err != nil {
			t.Fatal(err)
		}
		sound(t, got)
		if by < 0 && len(got) > 0 {
			shrunk++
		}
		l := NewLocator(p)
		for _, part := range got {
			for _, ring := range part {
				for i := 1; i < len(ring); i++ {
					for _, q := range [...]orb.Point{ring[i], {ring[i-1][0]/2 + ring[i][0]/2, ring[i-1][1]/2 + ring[i][1]/2}} {
						if d := -l.Depth(q); d > by+1e-9 && by > 0 || d < by-chord-1e-9 || by < 0 && d > by+chord+1e-9 {
							t.Fatalf("offset by %v: %v of the new boundary lies at %v\n%v", by, q, d, p)
						}
					}
				}
			}
		}
	}
	if shrunk < 50 {
		t.Errorf("only %d cases shrank to something", shrunk)
	}
}

func TestOffsetErrors(t *testing.T) {
	sq := pg(square20)
	for _, c := range []struct {
		name string
		p    orb.Polygon
		by   float64
		join Join
		want error
	}{
		{"mitre below 1", sq, 1, Mitre(0.9), ErrJoin},
		{"chord 0", sq, 1, Round(0), ErrJoin},
		{"chord negative", sq, 1, Round(-1), ErrJoin},
		{"chord NaN", sq, 1, Round(math.NaN()), ErrJoin},
		{"by NaN", sq, math.NaN(), Round(1), ErrNotFinite},
		{"by infinite", sq, math.Inf(-1), Round(1), ErrNotFinite},
		{"NaN inside", orb.Polygon{{{math.NaN(), 0}, {1, 0}, {0, 1}, {math.NaN(), 0}}}, 1, Round(1), ErrNotFinite},
	} {
		if got, err := Offset(c.p, c.by, c.join); !errors.Is(err, c.want) || got != nil {
			t.Errorf("%s: %v, %v", c.name, got, err)
		}
	}
	for _, radius := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Buffer(orb.Point{}, radius, 1); !errors.Is(err, ErrRadius) {
			t.Errorf("radius %v: %v", radius, err)
		}
	}
	if _, err := Buffer(orb.LineString{{0, 0}, {math.Inf(1), 0}}, 1, 0.1); !errors.Is(err, ErrNotFinite) {
		t.Errorf("infinite line: %v", err)
	}
}

func TestBuffer(t *testing.T) {
	const chord = 1e-7
	disc := math.Pi
	for _, c := range []struct {
		name   string
		g      orb.Geometry
		radius float64
		area   float64
		parts  int
		rings  int
	}{
		{"point", orb.Point{5, 5}, 1, disc, 1, 1},
		{"line of one point", orb.LineString{{5, 5}, {5, 5}}, 1, disc, 1, 1},
		{"line", orb.LineString{{0, 0}, {10, 0}}, 1, 20 + disc, 1, 1},
		{"right angle", orb.LineString{{0, 0}, {10, 0}, {10, 10}}, 1, 20 + 20 - 1 + disc/4 + disc, 1, 1},
		{"straight vertices", orb.LineString{{0, 0}, {3, 0}, {3, 0}, {10, 0}}, 1, 20 + disc, 1, 1},
		{"out and back", orb.LineString{{0, 0}, {10, 0}, {4, 0}}, 1, 20 + disc, 1, 1},
		{"a square loop, closed", orb.LineString{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}, 1, 100 + 40 + disc - 64, 1, 2},
		{"a square loop, too small for a hole", orb.LineString{{0, 0}, {1.5, 0}, {1.5, 1.5}, {0, 1.5}, {0, 0}}, 1, 2.25 + 6 + disc, 1, 1},
		{"a cross", orb.LineString{{0, 0}, {10, 0}, {10, 5}, {5, 5}, {5, -5}}, 0.5, 29.5 + disc*0.25, 1, 2},
		{"two points apart", orb.MultiPoint{{0, 0}, {5, 0}}, 1, 2 * disc, 2, 2},
		{"two points that merge", orb.MultiPoint{{0, 0}, {1, 0}}, 1, 2*disc - (2*math.Acos(0.5) - 0.5*math.Sqrt(3)), 1, 1},
		{"lines that cross", orb.MultiLineString{{{0, 0}, {10, 0}}, {{5, -5}, {5, 5}}}, 1, 40 - 4 + 2*disc, 1, 1},
		{"area", pg("0 0, 10 0, 10 10, 0 10, 0 0"), 1, 100 + 40 + disc, 1, 1},
		{"area and line", orb.Collection{pg("0 0, 10 0, 10 10, 0 10, 0 0"), orb.LineString{{5, 5}, {20, 5}}}, 1, 140 + disc + 2*9 + disc/2, 1, 1},
		{"nothing", orb.MultiPoint{}, 1, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Buffer(c.g, c.radius, chord)
			if err != nil {
				t.Fatal(err)
			}
			sound(t, got)
			want := c.area
			if c.name == "a cross" {
				// The path's 30 m, one unit wide, with four round outer corners
				// less the squares that inner corners count twice, the crossing
				// once, and two half discs.
				want = 30 - 1 - 3*0.25 + 3*disc*0.25/4 + disc*0.25
			}
			if a := Area(got); math.Abs(a-want) > 1e-5 || len(got) != c.parts || rings(got) != c.rings {
				t.Errorf("area %.9f in %d parts with %d rings, want %.9f in %d with %d", a, len(got), rings(got), want, c.parts, c.rings)
			}
		})
	}
}

// FuzzCombine feeds pairs of areas of any shape: no panic, no error, valid
// results, areas that add up.
func FuzzCombine(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9}, []byte{5, 5, 14, 5, 14, 14, 5, 14}, byte(0))
	f.Add([]byte{0, 0, 9, 9, 9, 0, 0, 9}, []byte{0, 0, 9, 0, 9, 9}, byte(1))
	f.Add([]byte{0, 0, 200, 1, 0, 2, 200, 3, 0, 4}, []byte{1, 0, 2, 200, 3, 0, 4, 200, 5, 0}, byte(2))
	f.Fuzz(func(t *testing.T, da, db []byte, form byte) {
		if len(da) > 200 || len(db) > 200 {
			return
		}
		scale := [4]float64{1, 1e-9, 1.0 / 3, 12345.678}[form%4]
		read := func(data []byte) orb.MultiPolygon {
			var r orb.Ring
			for i := 0; i+1 < len(data); i += 2 {
				r = append(r, orb.Point{float64(data[i]) * scale, float64(data[i+1]) * scale})
			}
			return orb.MultiPolygon{{r}}
		}
		a, b := read(da), read(db)
		or, err1 := Union(a, b)
		and, err2 := Intersection(a, b)
		xor, err3 := symmetricDifference(a, b)
		grown, err4 := Offset(a[0], scale*float64(form)/16, Round(scale/10))
		shrunk, err5 := Offset(a[0], -scale*float64(form)/16, Mitre(2))
		if err := errors.Join(err1, err2, err3, err4, err5); err != nil {
			t.Fatal(err)
		}
		for _, mp := range []orb.MultiPolygon{or, and, xor, grown, shrunk} {
			sound(t, mp)
		}
		if d := Area(or) - Area(and) - Area(xor); math.Abs(d) > 1e-6*scale*scale {
			t.Errorf("areas do not add up: %g", d)
		}
		ua, err := Union(a, nil)
		if err != nil {
			t.Fatal(err)
		}
		slack := 1e-6 * scale * scale
		if Area(grown) < Area(ua)-slack || Area(shrunk) > Area(ua)+slack {
			t.Errorf("area %v, grown %v, shrunk %v", Area(ua), Area(grown), Area(shrunk))
		}
	})
}

// TestErrorsAreForPeople: the errors reach whoever runs a drift or moves an
// outline.
func TestErrorsAreForPeople(t *testing.T) {
	for _, err := range []error{ErrNotFinite, ErrTooLarge, ErrNoArrangement} {
		if text := err.Error(); !strings.Contains(text, ": ") || strings.Contains(text, "plane") {
			t.Errorf("%q does not say what to do", text)
		}
	}
}
