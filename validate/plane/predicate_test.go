// The exact signs: laws, comparison with rational arithmetic, hard cases.

package plane

import (
	"bufio"
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

func rat(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }

func ratSub(x, y float64) *big.Rat { return new(big.Rat).Sub(rat(x), rat(y)) }

// orientRat is Orient in rational numbers.
func orientRat(a, b, c orb.Point) int {
	l := new(big.Rat).Mul(ratSub(a[0], c[0]), ratSub(b[1], c[1]))
	r := new(big.Rat).Mul(ratSub(a[1], c[1]), ratSub(b[0], c[0]))
	return l.Cmp(r)
}

// pointMakers make points that are hard in one way each.
var pointMakers = []struct {
	name string
	make func(r *rand.Rand) orb.Point
}{
	{"whole numbers", func(r *rand.Rand) orb.Point { return orb.Point{float64(r.IntN(9) - 4), float64(r.IntN(9) - 4)} }},
	{"a line with slope 1/3", func(r *rand.Rand) orb.Point {
		x := r.Float64() * 100
		return orb.Point{x, x/3 + float64(r.IntN(3)-1)*1e-15}
	}},
	{"neighbours of 0.5", func(r *rand.Rand) orb.Point {
		return orb.Point{0.5 + float64(r.IntN(256))*0x1p-53, 0.5 + float64(r.IntN(256))*0x1p-53}
	}},
	{"next to 12 and 24", func(r *rand.Rand) orb.Point {
		v := float64(12 * (1 + r.IntN(2)))
		return orb.Point{v + float64(r.IntN(5))*0x1p-49, v + float64(r.IntN(5))*0x1p-49}
	}},
	{"a grid in degrees", func(r *rand.Rand) orb.Point {
		return orb.Point{9.1234567 + float64(r.IntN(4))*1e-7, 56.7654321 + float64(r.IntN(4))*1e-7}
	}},
	{"subnormal", func(r *rand.Rand) orb.Point {
		return orb.Point{float64(r.IntN(9)-4) * 0x1p-1074, float64(r.IntN(9)-4) * 0x1p-1074}
	}},
	{"products underflow", func(r *rand.Rand) orb.Point {
		return orb.Point{float64(r.IntN(9)-4) * 0x1p-540, float64(r.IntN(9)-4) * 0x1p-540}
	}},
	{"products lose bits at the bottom", func(r *rand.Rand) orb.Point {
		return orb.Point{float64(r.IntN(99)-49) * 0x1p-540, float64(r.IntN(99)-49) * 0x1p-540}
	}},
	{"products of four underflow", func(r *rand.Rand) orb.Point {
		return orb.Point{float64(r.IntN(9)-4) * 0x1p-270, float64(r.IntN(9)-4) * 0x1p-270}
	}},
	{"tails underflow", func(r *rand.Rand) orb.Point {
		return orb.Point{(1 + r.Float64()) * 0x1p-500, (1 + r.Float64()) * 0x1p-500}
	}},
	{"huge", func(r *rand.Rand) orb.Point {
		return orb.Point{(r.Float64()*2 - 1) * math.MaxFloat64, (r.Float64()*2 - 1) * math.MaxFloat64}
	}},
	{"huge line", func(r *rand.Rand) orb.Point {
		v := float64(r.IntN(7)-3) * 0x1p1020
		return orb.Point{v, v}
	}},
	{"all sizes", func(r *rand.Rand) orb.Point {
		return orb.Point{math.Ldexp(r.Float64()*2-1, r.IntN(2000)-1000), math.Ldexp(r.Float64()*2-1, r.IntN(2000)-1000)}
	}},
	{"large and small mixed", func(r *rand.Rand) orb.Point {
		return orb.Point{float64(r.IntN(3)) + float64(r.IntN(3))*0x1p-52, float64(r.IntN(3)) * 0x1p-1060}
	}},
}

func TestOrient(t *testing.T) {
	for _, m := range pointMakers {
		t.Run(m.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(1, 2))
			seen := make(map[int]int)
			for range 3000 {
				a, b, c := m.make(r), m.make(r), m.make(r)
				want := orientRat(a, b, c)
				seen[want]++
				for _, got := range []int{Orient(a, b, c), Orient(b, c, a), Orient(c, a, b), -Orient(b, a, c), -Orient(c, b, a), -Orient(a, c, b), orientExact(a, b, c), orientBig(a, b, c)} {
					if got != want {
						t.Fatalf("Orient(%v, %v, %v) is %d, want %d", a, b, c, got, want)
					}
				}
				if Orient(a, a, b) != 0 || Orient(a, b, b) != 0 || Orient(b, a, b) != 0 {
					t.Fatalf("two equal points of %v, %v do not give 0", a, b)
				}
			}
			if len(seen) < 2 && m.name != "huge line" {
				t.Errorf("only the sign %v came up", seen)
			}
		})
	}
}

// TestOrientFilter holds that the filter answers nearly always, and that what
// it leaves is answered by each of the exact ways.
func TestOrientFilter(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	missed := 0
	const n = 100000
	for range n {
		a, b, c := orb.Point{r.Float64(), r.Float64()}, orb.Point{r.Float64(), r.Float64()}, orb.Point{r.Float64(), r.Float64()}
		l := (a[0] - c[0]) * (b[1] - c[1])
		q := (a[1] - c[1]) * (b[0] - c[0])
		if math.Abs(l-q) <= orientBound*(math.Abs(l)+math.Abs(q))+underflowSlack {
			missed++
		}
	}
	if missed > n/1000 {
		t.Errorf("the filter failed on %d of %d random triples", missed, n)
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, p := range []orb.Point{{nan, 0}, {0, nan}, {inf, 0}, {0, -inf}} {
		if got := Orient(p, orb.Point{1, 2}, orb.Point{3, 5}); got != 0 {
			t.Errorf("Orient with %v is %d, want 0", p, got)
		}
	}
}

// TestOrientCorpus runs a published list of triples near and far with their
// exact signs.
func TestOrientCorpus(t *testing.T) {
	root := os.Getenv("SWARDLINE_SHARED")
	if root == "" {
		t.Skip("SWARDLINE_SHARED does not name the folder of outside material")
	}
	f, err := os.Open(filepath.Join(root, "corpus", "predicates", "orient2d.txt"))
	if err != nil {
		t.Skip(err)
	}
	defer f.Close()
	tested := 0
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		fields := strings.Fields(lines.Text())
		if len(fields) != 8 {
			t.Fatalf("line %d has %d fields", tested+1, len(fields))
		}
		var v [8]float64
		for i, s := range fields {
			if v[i], err = strconv.ParseFloat(s, 64); err != nil {
				t.Fatal(err)
			}
		}
		a, b, c := orb.Point{v[1], v[2]}, orb.Point{v[3], v[4]}, orb.Point{v[5], v[6]}
		if got := Orient(a, b, c); got != int(v[7]) || got != orientRat(a, b, c) {
			t.Errorf("line %s: sign %d, list says %v, rational arithmetic %d", fields[0], got, v[7], orientRat(a, b, c))
		}
		tested++
	}
	if tested < 1000 {
		t.Errorf("only %d triples", tested)
	}
}

func TestCross(t *testing.T) {
	for _, c := range []struct {
		name       string
		a, b, c, d orb.Point
		kind       CrossKind
		p, q       orb.Point
	}{
		{"across", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{0, 2}, orb.Point{2, 0}, CrossProper, orb.Point{1, 1}, orb.Point{1, 1}},
		{"apart", orb.Point{0, 0}, orb.Point{1, 0}, orb.Point{0, 1}, orb.Point{1, 1}, CrossNone, orb.Point{}, orb.Point{}},
		{"boxes meet only", orb.Point{0, 0}, orb.Point{4, 4}, orb.Point{3, 0}, orb.Point{4, 1}, CrossNone, orb.Point{}, orb.Point{}},
		{"T", orb.Point{0, 0}, orb.Point{4, 0}, orb.Point{2, 0}, orb.Point{2, 5}, CrossTouch, orb.Point{2, 0}, orb.Point{2, 0}},
		{"T reversed", orb.Point{2, 5}, orb.Point{2, 0}, orb.Point{0, 0}, orb.Point{4, 0}, CrossTouch, orb.Point{2, 0}, orb.Point{2, 0}},
		{"L", orb.Point{0, 0}, orb.Point{4, 0}, orb.Point{4, 0}, orb.Point{4, 5}, CrossTouch, orb.Point{4, 0}, orb.Point{4, 0}},
		{"in line, apart", orb.Point{0, 0}, orb.Point{1, 1}, orb.Point{2, 2}, orb.Point{3, 3}, CrossNone, orb.Point{}, orb.Point{}},
		{"in line, end to end", orb.Point{0, 0}, orb.Point{1, 1}, orb.Point{1, 1}, orb.Point{3, 3}, CrossTouch, orb.Point{1, 1}, orb.Point{1, 1}},
		{"in line, overlapping", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{3, 3}, orb.Point{1, 1}, CrossOverlap, orb.Point{1, 1}, orb.Point{2, 2}},
		{"one in the other", orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{3, 0}, orb.Point{4, 0}, CrossOverlap, orb.Point{3, 0}, orb.Point{4, 0}},
		{"the same, reversed", orb.Point{0, 5}, orb.Point{0, 1}, orb.Point{0, 1}, orb.Point{0, 5}, CrossOverlap, orb.Point{0, 1}, orb.Point{0, 5}},
		{"a point on a segment", orb.Point{1, 1}, orb.Point{1, 1}, orb.Point{0, 0}, orb.Point{2, 2}, CrossTouch, orb.Point{1, 1}, orb.Point{1, 1}},
		{"a point off a segment", orb.Point{1, 1.5}, orb.Point{1, 1.5}, orb.Point{0, 0}, orb.Point{2, 2}, CrossNone, orb.Point{}, orb.Point{}},
		{"two equal points", orb.Point{1, 1}, orb.Point{1, 1}, orb.Point{1, 1}, orb.Point{1, 1}, CrossTouch, orb.Point{1, 1}, orb.Point{1, 1}},
		{"a hair short of touching", orb.Point{0, 0}, orb.Point{3, 1}, orb.Point{0.3, 0.3}, orb.Point{0.3, math.Nextafter(0.1, 1)}, CrossNone, orb.Point{}, orb.Point{}},
	} {
		got := Cross(c.a, c.b, c.c, c.d)
		if want := (Crossing{c.kind, c.p, c.q}); got != want {
			t.Errorf("%s: %v, want %v", c.name, got, want)
		}
		for i, kind := range []CrossKind{Cross(c.b, c.a, c.c, c.d).Kind, Cross(c.c, c.d, c.a, c.b).Kind, Cross(c.d, c.c, c.b, c.a).Kind} {
			if kind != c.kind {
				t.Errorf("%s, turned about (%d): %v, want %v", c.name, i, kind, c.kind)
			}
		}
	}
}

// TestCrossPoint holds the place of a crossing against rational arithmetic,
// also where the segments are nearly parallel.
func TestCrossPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	tested := 0
	for range 20000 {
		off := math.Pow(10, -12*r.Float64())
		big0 := math.Pow(10, 7*r.Float64())
		at := func() orb.Point { return orb.Point{big0 + r.Float64(), big0 + off*r.Float64()} }
		a, b, c, d := at(), at(), at(), at()
		x := Cross(a, b, c, d)
		if x.Kind != CrossProper {
			continue
		}
		tested++
		// t = (c-a)x(d-c) / (b-a)x(d-c)
		cross := func(ux, uy, vx, vy *big.Rat) *big.Rat {
			return new(big.Rat).Sub(new(big.Rat).Mul(ux, vy), new(big.Rat).Mul(uy, vx))
		}
		sx, sy := ratSub(d[0], c[0]), ratSub(d[1], c[1])
		rx, ry := ratSub(b[0], a[0]), ratSub(b[1], a[1])
		f := new(big.Rat).Quo(cross(ratSub(c[0], a[0]), ratSub(c[1], a[1]), sx, sy), cross(rx, ry, sx, sy))
		px, _ := new(big.Rat).Add(rat(a[0]), new(big.Rat).Mul(f, rx)).Float64()
		py, _ := new(big.Rat).Add(rat(a[1]), new(big.Rat).Mul(f, ry)).Float64()
		if e := math.Hypot(x.P[0]-px, x.P[1]-py); e > 4*0x1p-52*big0*1.5 {
			t.Fatalf("Cross(%v, %v, %v, %v) at %v, want %v %v: off by %g", a, b, c, d, x.P, px, py, e)
		}
	}
	if tested < 1000 {
		t.Errorf("only %d crossings", tested)
	}
}

func BenchmarkOrient(b *testing.B) {
	p := []orb.Point{{1, 2}, {3, 5}, {9, 4}, {0.1, 0.3}, {0.3, 0.9}, {0.2, 0.6000000000000001}}
	b.Run("filter", func(b *testing.B) {
		for range b.N {
			Orient(p[0], p[1], p[2])
		}
	})
	b.Run("exact", func(b *testing.B) {
		for range b.N {
			Orient(p[3], p[4], p[5])
		}
	})
}
