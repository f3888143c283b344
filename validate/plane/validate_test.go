// Validity: every kind of fault, exactly those, and the same from wherever one
// looks.

package plane

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// brief writes a fault as "kind polygon.ring[.segment] [polygon.ring[.segment]]
// @ x y [to x y]".
func brief(f Fault) string {
	place := func(w Where) string {
		if w.Segment < 0 {
			return fmt.Sprintf("%d.%d", w.Polygon, w.Ring)
		}
		return fmt.Sprintf("%d.%d.%d", w.Polygon, w.Ring, w.Segment)
	}
	s := fmt.Sprintf("%v %s", f.Kind, place(f.A))
	if f.B != f.A {
		s += " " + place(f.B)
	}
	s += fmt.Sprintf(" @ %v %v", f.At[0], f.At[1])
	if f.To != f.At {
		s += fmt.Sprintf(" to %v %v", f.To[0], f.To[1])
	}
	return s
}

var square20 = "0 0, 20 0, 20 20, 0 20, 0 0"

var validityCases = []struct {
	name   string
	figure []orb.Polygon
	want   []string
}{
	{name: "nothing", figure: nil},
	{name: "a polygon without rings", figure: []orb.Polygon{{}}},
	{name: "an empty ring", figure: []orb.Polygon{{orb.Ring{}}}},
	{name: "a square", figure: []orb.Polygon{pg(square20)}},
	{name: "a square the other way", figure: []orb.Polygon{pg("0 0, 0 20, 20 20, 20 0, 0 0")}},
	{name: "repeated points", figure: []orb.Polygon{pg("0 0, 0 0, 20 0, 20 0, 20 0, 20 20, 0 20, 0 0, 0 0")}},
	{name: "vertices on straight sides", figure: []orb.Polygon{pg("0 0, 5 0, 10 0, 20 0, 20 20, 0 20, 0 10, 0 0")}},
	{name: "a hole that touches the shell at a vertex", figure: []orb.Polygon{pg(square20, "0 10, 5 8, 5 12, 0 10")}},
	{name: "a hole that touches a hole", figure: []orb.Polygon{pg(square20, "5 10, 2 8, 2 12, 5 10", "5 10, 8 12, 8 8, 5 10")}},
	{name: "three holes that touch at one point", figure: []orb.Polygon{pg(square20, "10 10, 8 12, 12 12, 10 10", "10 10, 6 8, 8 6, 10 10", "10 10, 12 6, 14 8, 10 10")}},
	{name: "a chain of holes from the shell", figure: []orb.Polygon{pg(square20, "0 10, 5 8, 5 12, 0 10", "5 12, 9 10, 9 14, 5 12", "9 14, 13 12, 13 16, 9 14")}},
	{name: "a hole with a vertex on each side of nothing", figure: []orb.Polygon{pg(square20, "1 1, 19 1, 19 19, 1 19, 1 1")}},
	{name: "two parts that touch", figure: []orb.Polygon{pg(square20), pg("20 20, 30 20, 30 30, 20 20"), pg("20 5, 30 0, 30 10, 20 5")}},
	{name: "two parts that touch twice", figure: []orb.Polygon{pg(square20), pg("20 5, 30 0, 30 20, 20 15, 25 10, 20 5")}},
	{name: "a part in the hole of another", figure: []orb.Polygon{pg(square20, "5 5, 15 5, 15 15, 5 15, 5 5"), pg("7 7, 12 7, 12 12, 7 7")}},
	{name: "a part in the hole of another, touching it", figure: []orb.Polygon{pg(square20, "5 5, 15 5, 15 15, 5 15, 5 5"), pg("5 5, 15 10, 10 15, 5 5")}},

	{name: "not finite", figure: []orb.Polygon{{rg(square20), {{5, 5}, {math.NaN(), 6}, {6, math.Inf(1)}, {5, 5}}}},
		want: []string{"coordinate not finite 0.1.1 @ NaN 6 to NaN 6", "coordinate not finite 0.1.2 @ 6 +Inf"}},
	{name: "not finite at the first vertex", figure: []orb.Polygon{{{{math.Inf(-1), 0}, {5, 5}, {5, 0}, {math.Inf(-1), 0}}}},
		want: []string{"coordinate not finite 0.0.0 @ -Inf 0", "coordinate not finite 0.0.3 @ -Inf 0"}},
	{name: "open", figure: []orb.Polygon{pg("0 0, 20 0, 20 20, 0 20")}, want: []string{"ring open 0.0 @ 0 20 to 0 0"}},
	{name: "open, and crossed by its missing segment", figure: []orb.Polygon{pg("0 0, 10 0, 10 10, 5 -5, 0 10, 8 8")},
		want: []string{"ring open 0.0 @ 8 8 to 0 0", "ring crosses itself 0.0.0 0.0.2 @ 6.666666666666667 0", "ring crosses itself 0.0.0 0.0.3 @ 3.333333333333333 0",
			"ring crosses itself 0.0.3 0.0.5 @ 2.5 2.5"}},
	{name: "one point", figure: []orb.Polygon{pg("5 5")}, want: []string{"ring open 0.0 @ 5 5", "too few points 0.0 @ 5 5"}},
	{name: "the same point over and over", figure: []orb.Polygon{pg("5 5, 5 5, 5 5, 5 5")}, want: []string{"too few points 0.0 @ 5 5"}},
	{name: "two points", figure: []orb.Polygon{pg("5 5, 9 9, 9 9, 5 5")}, want: []string{"too few points 0.0 @ 5 5"}},
	{name: "a hole of two points", figure: []orb.Polygon{pg(square20, "5 5, 9 9, 5 5")}, want: []string{"too few points 0.1 @ 5 5"}},
	{name: "a flat ring", figure: []orb.Polygon{pg("0 0, 10 0, 5 0, 0 0")},
		want: []string{"spike 0.0.0 0.0.1 @ 10 0 to 5 0", "spike 0.0.2 0.0.0 @ 0 0 to 5 0"}},
	{name: "a spike outwards", figure: []orb.Polygon{pg("0 0, 20 0, 30 0, 20 0, 20 20, 0 20, 0 0")}, want: []string{"spike 0.0.1 0.0.2 @ 30 0 to 20 0"}},
	{name: "a spike at the closing point", figure: []orb.Polygon{pg("30 0, 20 0, 20 20, 0 20, 0 0, 20 0, 30 0")}, want: []string{"spike 0.0.5 0.0.0 @ 30 0 to 20 0"}},
	{name: "a spike with repeated points", figure: []orb.Polygon{pg("0 0, 20 0, 20 0, 30 0, 30 0, 20 0, 20 20, 0 20, 0 0")}, want: []string{"spike 0.0.2 0.0.4 @ 30 0 to 20 0"}},
	{name: "a bow tie", figure: []orb.Polygon{pg("0 0, 10 10, 10 0, 0 10, 0 0")}, want: []string{"ring crosses itself 0.0.0 0.0.2 @ 5 5"}},
	{name: "crosses itself at a vertex", figure: []orb.Polygon{pg("0 0, 10 10, 20 20, 20 0, 10 10, 0 20, 0 0")}, want: []string{"ring crosses itself 0.0.1 0.0.4 @ 10 10"}},
	{name: "touches itself at a vertex", figure: []orb.Polygon{pg("0 0, 20 0, 20 20, 10 10, 0 20, 0 12, 10 10, 0 8, 0 0")}, want: []string{"ring touches itself 0.0.3 0.0.6 @ 10 10"}},
	{name: "touches itself inside a side", figure: []orb.Polygon{pg("0 0, 20 0, 20 20, 10 0, 0 20, 0 0")}, want: []string{"ring touches itself 0.0.0 0.0.3 @ 10 0"}},
	{name: "runs along itself", figure: []orb.Polygon{pg("0 0, 20 0, 20 20, 15 20, 15 0, 5 0, 5 20, 0 20, 0 0")},
		want: []string{"ring runs along itself 0.0.0 0.0.4 @ 5 0 to 15 0"}},
	{name: "a hole across the shell", figure: []orb.Polygon{pg(square20, "10 10, 30 12, 10 14, 10 10")},
		want: []string{"rings cross 0.0.1 0.1.0 @ 20 11", "rings cross 0.0.1 0.1.1 @ 20 13"}},
	{name: "a hole across the shell at vertices", figure: []orb.Polygon{pg("0 0, 20 0, 20 11, 20 13, 20 20, 0 20, 0 0", "10 10, 20 11, 30 12, 20 13, 10 14, 10 10")},
		want: []string{"rings cross 0.0.2 0.1.1 @ 20 11", "rings cross 0.0.3 0.1.3 @ 20 13"}},
	{name: "a hole along the shell", figure: []orb.Polygon{pg(square20, "0 5, 5 5, 5 15, 0 15, 0 5")}, want: []string{"rings run along one another 0.0.3 0.1.3 @ 0 5 to 0 15"}},
	{name: "a hole equal to the shell", figure: []orb.Polygon{pg(square20, "20 20, 20 0, 0 0, 0 20, 20 20")}, want: []string{"rings equal 0.0 0.1 @ 0 0"}},
	{name: "equal holes", figure: []orb.Polygon{pg(square20, "5 5, 9 5, 9 9, 5 5", "9 9, 5 5, 9 5, 9 9")}, want: []string{"rings equal 0.1 0.2 @ 5 5"}},
	{name: "equal parts", figure: []orb.Polygon{pg(square20), pg(square20)}, want: []string{"rings equal 0.0 1.0 @ 0 0"}},
	{name: "a hole outside", figure: []orb.Polygon{pg(square20, "30 30, 35 30, 35 35, 30 30")}, want: []string{"hole outside shell 0.1 0.0 @ 30 30"}},
	{name: "a hole in a bay of the shell", figure: []orb.Polygon{pg("0 0, 20 0, 20 20, 15 20, 10 5, 5 20, 0 20, 0 0", "9 12, 11 12, 10 15, 9 12")}, want: []string{"hole outside shell 0.1 0.0 @ 9 12"}},
	{name: "a hole outside, touching", figure: []orb.Polygon{pg(square20, "20 10, 30 8, 30 12, 20 10")}, want: []string{"hole outside shell 0.1 0.0 @ 30 8"}},
	{name: "a hole outside, all its vertices on the shell", figure: []orb.Polygon{pg("0 0, 20 0, 20 20, 15 20, 15 5, 5 5, 5 20, 0 20, 0 0", "5 10, 15 12, 10 5, 5 10")},
		want: []string{"hole outside shell 0.1 0.0 @ 5 10"}},
	{name: "a hole inside, all its vertices on the shell", figure: []orb.Polygon{pg(square20, "0 10, 10 0, 20 10, 10 20, 0 10")},
		want: []string{"interior split 0.0 0.1 @ 10 0", "interior split 0.0 0.1 @ 10 20", "interior split 0.0 0.1 @ 20 10"}},
	{name: "a hole with an empty shell", figure: []orb.Polygon{{orb.Ring{}, rg(square20)}}, want: []string{"hole outside shell 0.1 0.0 @ 0 0"}},
	{name: "a hole in a hole", figure: []orb.Polygon{pg(square20, "5 5, 15 5, 15 15, 5 15, 5 5", "7 7, 9 7, 9 9, 7 7")}, want: []string{"hole in hole 0.2 0.1 @ 7 7"}},
	{name: "a hole in a hole, touching it", figure: []orb.Polygon{pg(square20, "5 5, 15 5, 15 15, 5 15, 5 5", "5 5, 15 10, 10 15, 5 5")},
		want: []string{"hole in hole 0.2 0.1 @ 5 5"}},
	{name: "a hole in a hole, a vertex on each side", figure: []orb.Polygon{pg(square20, "5 5, 15 5, 15 15, 5 15, 5 5", "7 5, 15 7, 13 15, 5 13, 7 5")},
		want: []string{"hole in hole 0.2 0.1 @ 7 5"}},
	{name: "a part in a part", figure: []orb.Polygon{pg(square20), pg("5 5, 9 5, 9 9, 5 5")}, want: []string{"shell in shell 1.0 0.0 @ 5 5"}},
	{name: "a part in a part, around its hole", figure: []orb.Polygon{pg(square20, "9 9, 11 9, 10 11, 9 9"), pg("5 5, 15 5, 15 15, 5 15, 5 5")}, want: []string{"shell in shell 1.0 0.0 @ 5 5"}},
	{name: "parts that cross", figure: []orb.Polygon{pg(square20), pg("10 10, 30 10, 30 15, 10 15, 10 10")}, want: []string{"rings cross 0.0.1 1.0.0 @ 20 10", "rings cross 0.0.1 1.0.2 @ 20 15"}},
	{name: "parts with a side in common", figure: []orb.Polygon{pg(square20), pg("20 0, 40 0, 40 20, 20 20, 20 0")}, want: []string{"rings run along one another 0.0.1 1.0.3 @ 20 0 to 20 20"}},
	{name: "a hole that touches the shell twice", figure: []orb.Polygon{pg(square20, "0 10, 10 8, 20 10, 10 12, 0 10")}, want: []string{"interior split 0.0 0.1 @ 20 10"}},
	{name: "a ring of holes", figure: []orb.Polygon{pg(square20, "5 5, 15 5, 10 4, 5 5", "15 5, 11 14, 15 12, 15 5", "11 14, 5 5, 6 12, 11 14")}, want: []string{"interior split 0.1 0.2 @ 15 5"}},
	{name: "a chain of holes from shell to shell", figure: []orb.Polygon{pg(square20, "0 10, 5 8, 10 10, 5 12, 0 10", "10 10, 15 8, 20 10, 15 12, 10 10")}, want: []string{"interior split 0.0 0.2 @ 20 10"}},
	{name: "two things at once", figure: []orb.Polygon{pg("0 0, 20 0, 30 0, 20 0, 20 20, 0 20, 0 0", "5 5, 9 9, 9 5, 5 9, 5 5", "40 40, 50 40, 50 50, 40 40")},
		want: []string{"spike 0.0.1 0.0.2 @ 30 0 to 20 0", "ring crosses itself 0.1.0 0.1.2 @ 7 7", "hole outside shell 0.2 0.0 @ 40 40"}},
}

func TestValidate(t *testing.T) {
	met := make(map[Kind]bool)
	for _, c := range validityCases {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, f := range Validate(c.figure) {
				met[f.Kind] = true
				got = append(got, brief(f))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("faults\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(c.want, "\n  "))
			}
			if IsValid(c.figure) != (len(c.want) == 0) {
				t.Errorf("IsValid is %v", IsValid(c.figure))
			}
		})
	}
	for _, k := range Kinds {
		if !met[k] {
			t.Errorf("no case shows %q", k)
		}
		if k.String() == "unknown" {
			t.Errorf("kind %d has no words", k)
		}
	}
}

// essence is what of a fault does not depend on where rings begin and which way
// they run; back undoes what was done to the figure.
func essence(fs []Fault, back func(orb.Point) orb.Point) []string {
	out := make([]string, 0, len(fs))
	for _, f := range fs {
		a, b := f.A, f.B
		a.Segment, b.Segment = -1, -1
		if compareWhere(b, a) < 0 {
			a, b = b, a
		}
		s := fmt.Sprintf("%v %v %v", f.Kind, a, b)
		switch f.Kind {
		case InteriorSplit:
			// Which point of a cycle comes last depends on the direction of
			// view.
			s = fmt.Sprintf("%v %d", f.Kind, a.Polygon)
		case RingsEqual, HoleOutsideShell, HoleInHole, ShellInShell, TooFewPoints, RingOpen, NotFinite:
		default:
			p, q := back(f.At), back(f.To)
			if f.Kind != RingSpike && comparePoint(q, p) < 0 {
				p, q = q, p
			}
			// Down to a millionth, with an odd offset so that no fraction lies
			// on the limit.
			for _, v := range [...]float64{p[0], p[1], q[0], q[1]} {
				s += fmt.Sprintf(" %d", int64(math.Floor(v*1e6+0.3712)))
			}
		}
		out = append(out, s)
	}
	slices.Sort(out)
	return out
}

// TestValidateSymmetry turns, moves, reverses and renumbers figures: the faults
// stay.
func TestValidateSymmetry(t *testing.T) {
	same := func(p orb.Point) orb.Point { return p }
	r := rand.New(rand.NewPCG(11, 12))
	figures := make([][]orb.Polygon, 0, 3000)
	for _, c := range validityCases {
		if !strings.HasPrefix(c.name, "not finite") && !strings.HasPrefix(c.name, "open") {
			figures = append(figures, c.figure)
		}
	}
	for range 3000 {
		figures = append(figures, smallFigure(r))
	}
	invalid := 0
	for i, fig := range figures {
		want := essence(Validate(fig), same)
		if len(want) > 0 {
			invalid++
		}
		for _, move := range []struct {
			name string
			do   func(orb.Ring) orb.Ring
			back func(orb.Point) orb.Point
		}{
			{"turned by 90 degrees", each(func(p orb.Point) orb.Point { return orb.Point{-p[1], p[0]} }), func(p orb.Point) orb.Point { return orb.Point{p[1], -p[0]} }},
			{"mirrored", each(func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} }), func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} }},
			{"moved", each(func(p orb.Point) orb.Point { return orb.Point{p[0] + 500000, p[1] - 4096} }), func(p orb.Point) orb.Point { return orb.Point{p[0] - 500000, p[1] + 4096} }},
			{"reversed", reversed, same},
			{"renumbered", func(ring orb.Ring) orb.Ring { return renumbered(ring, 1+i%7) }, same},
			{"shrunk", each(func(p orb.Point) orb.Point { return orb.Point{p[0] / 1024, p[1] / 1024} }), func(p orb.Point) orb.Point { return orb.Point{p[0] * 1024, p[1] * 1024} }},
		} {
			if got := essence(Validate(mapped(fig, move.do)), move.back); !slices.Equal(got, want) {
				t.Fatalf("figure %d %v\n%s: faults\n  %s\nwant\n  %s", i, fig, move.name, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
			}
		}
	}
	if invalid < 500 || invalid == len(figures) {
		t.Errorf("%d of %d figures are invalid: too one-sided", invalid, len(figures))
	}
}

// TestSweepAgrees holds the sweep against the search by boxes.
func TestSweepAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	var boxes, sweep Validator
	sweep.sweepOnly = true
	check := func(fig []orb.Polygon) {
		t.Helper()
		want := slices.Clone(boxes.Polygons(fig))
		got := sweep.Polygons(fig)
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("figure %v\nsweep %v\nboxes %v", fig, got, want)
		}
	}
	for _, c := range validityCases {
		check(c.figure)
	}
	for range 20000 {
		check(smallFigure(r))
	}
	for range 50 {
		// Many crossings.
		var ring orb.Ring
		for range 100 {
			ring = append(ring, orb.Point{float64(r.IntN(50)), r.Float64() * 50})
		}
		check([]orb.Polygon{{append(ring, ring[0])}})
	}
	for _, n := range []int{10, 1000, 20000} {
		for _, ring := range []orb.Ring{smoothRing(n), jaggedRing(n), combRing(n)} {
			check([]orb.Polygon{{ring}})
			// One vertex across to the other side.
			ring[n/3] = orb.Point{-ring[n/3][0], -ring[n/3][1]}
			check([]orb.Polygon{{ring}})
		}
	}
}

// TestValidateLarge finds one planted fault in rings of many points.
func TestValidateLarge(t *testing.T) {
	n := 200000
	for _, shape := range []struct {
		name string
		ring orb.Ring
	}{{"smooth", smoothRing(n)}, {"jagged", jaggedRing(n)}, {"comb", combRing(n)}} {
		if fs := Validate([]orb.Polygon{{shape.ring}}); len(fs) > 0 {
			t.Errorf("%s: %v", shape.name, fs[0])
		}
		i := n / 7
		r := append(orb.Ring(nil), shape.ring...)
		r[i], r[i+1] = r[i+1], r[i]
		fs := Validate([]orb.Polygon{{r}})
		if len(fs) == 0 {
			t.Errorf("%s: two vertices exchanged and nothing found", shape.name)
		}
		for _, f := range fs {
			if f.Kind != SelfCross || f.A.Segment < i-2 || f.A.Segment > i+2 {
				t.Errorf("%s: unexpected %v", shape.name, f)
			}
		}
	}
}

// TestValidateMany holds many holes and parts, in no order, against what is
// known of them.
func TestValidateMany(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	const k = 60
	p := orb.Polygon{rect(0, 0, k, k)}
	for i := range k * k {
		x, y := float64(i%k), float64(i/k)
		p = append(p, rect(x+0.25, y+0.25, x+0.75, y+0.75))
	}
	r.Shuffle(k*k, func(i, j int) { p[i+1], p[j+1] = p[j+1], p[i+1] })
	if fs := Validate([]orb.Polygon{p}); len(fs) > 0 {
		t.Fatalf("a grid of holes: %v", fs[0])
	}
	// Parts in the holes; then one of them once more in itself.
	mp := []orb.Polygon{p}
	for _, h := range p[1:] {
		b := h.Bound()
		mp = append(mp, orb.Polygon{rect(b.Min[0]+0.1, b.Min[1]+0.1, b.Max[0]-0.1, b.Max[1]-0.1)})
	}
	if fs := Validate(mp); len(fs) > 0 {
		t.Fatalf("parts in holes: %v", fs[0])
	}
	b := mp[700][0].Bound()
	mp = append(mp, orb.Polygon{rect(b.Min[0]+0.1, b.Min[1]+0.1, b.Max[0]-0.1, b.Max[1]-0.1)})
	fs := Validate(mp)
	if len(fs) != 1 || fs[0].Kind != ShellInShell || fs[0].A.Polygon != len(mp)-1 || fs[0].B.Polygon != 700 {
		t.Fatalf("a part in a part: %v", fs)
	}
}

func TestMaxFaults(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	var ring orb.Ring
	for range 2000 {
		ring = append(ring, orb.Point{r.Float64(), r.Float64()})
	}
	fig := []orb.Polygon{{append(ring, ring[0])}}
	if n := len(Validate(fig)); n != MaxFaults {
		t.Errorf("%d faults, want %d", n, MaxFaults)
	}
	v := Validator{Max: 7}
	if n := len(v.Polygons(fig)); n != 7 {
		t.Errorf("%d faults, want 7", n)
	}
	v.sweepOnly = true
	if n := len(v.Polygons(fig)); n != 7 {
		t.Errorf("%d faults by the sweep, want 7", n)
	}
}

// TestValidatorReuse holds that nothing is left over from one figure to the
// next.
func TestValidatorReuse(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 52))
	var v Validator
	for range 2000 {
		fig := smallFigure(r)
		if got, want := fmt.Sprint(v.Polygons(fig)), fmt.Sprint(new(Validator).Polygons(fig)); got != want {
			t.Fatalf("%v: %v, afresh %v", fig, got, want)
		}
	}
}

func TestSpikes(t *testing.T) {
	for _, c := range []struct {
		name   string
		ring   orb.Ring
		spikes []Spike
	}{
		{"square", rg(square20), nil},
		{"spike", rg("0 0, 20 0, 30 0, 20 0, 20 20, 0 20, 0 0"), []Spike{{2, orb.Point{30, 0}, orb.Point{20, 0}}}},
		{"spike past its base", rg("0 0, 30 0, 10 0, 20 20, 0 0"), []Spike{{1, orb.Point{30, 0}, orb.Point{10, 0}}}},
		{"spike at the first vertex", rg("30 0, 20 0, 20 20, 0 20, 0 0, 20 0, 30 0"), []Spike{{0, orb.Point{30, 0}, orb.Point{20, 0}}}},
		{"straight vertices are none", rg("0 0, 10 0, 20 0, 20 20, 0 20, 0 0"), nil},
		{"repeats", rg("0 0, 0 0, 20 0, 20 20, 20 20, 20 20, 0 20, 0 0"), nil},
		{"a sharp corner is none", rg("0 0, 1000000 0, 0 0.0000001, 0 0"), nil},
		{"out and back", rg("0 0, 10 0, 0 0"), []Spike{{0, orb.Point{0, 0}, orb.Point{10, 0}}, {1, orb.Point{10, 0}, orb.Point{0, 0}}}},
		{"empty", nil, nil},
		{"a point", rg("1 1"), nil},
	} {
		if got := Spikes(c.ring); !slices.Equal(got, c.spikes) {
			t.Errorf("%s: spikes %v, want %v", c.name, got, c.spikes)
		}
	}
}

// TestSpikesAreFaults holds that a spike by Spikes is a spike by Validate, and
// the other way round.
func TestSpikesAreFaults(t *testing.T) {
	r := rand.New(rand.NewPCG(61, 62))
	met := 0
	for range 5000 {
		ring := smallRing(r, 0, 0, 3)
		if len(distinct(ring)) < 3 {
			continue
		}
		var want []orb.Point
		for _, s := range Spikes(ring) {
			want = append(want, s.Tip)
		}
		var got []orb.Point
		for _, f := range Validate([]orb.Polygon{{ring}}) {
			if f.Kind == RingSpike {
				got = append(got, f.At)
			}
		}
		slices.SortFunc(got, comparePoint)
		slices.SortFunc(want, comparePoint)
		if !slices.Equal(got, want) {
			t.Fatalf("%v: faults at %v, spikes at %v", ring, got, want)
		}
		met += len(want)
	}
	if met < 500 {
		t.Errorf("only %d spikes", met)
	}
}

func TestAreaAndTurn(t *testing.T) {
	far := 6e6
	for _, c := range []struct {
		name string
		ring orb.Ring
		area float64
		turn int
	}{
		{"square", rect(0, 0, 2, 3), 6, 1},
		{"clockwise", rg("0 0, 0 3, 2 3, 2 0, 0 0"), -6, -1},
		{"open", rg("0 0, 2 0, 2 3, 0 3"), 6, 1},
		{"far off", rect(far, far, far+0.5, far+0.25), 0.125, 1},
		{"line", rg("0 0, 1 1, 2 2, 0 0"), 0, 0},
		{"lowest vertex repeated", rg("1 0, 1 0, 3 1, 1 2, 1 0, 1 0"), 2, 1},
		{"none", nil, 0, 0},
	} {
		if got := SignedArea(c.ring); got != c.area {
			t.Errorf("%s: area %v, want %v", c.name, got, c.area)
		}
		if got := Turn(c.ring); got != c.turn {
			t.Errorf("%s: turn %d, want %d", c.name, got, c.turn)
		}
	}
	p := orb.Polygon{rect(0, 0, 10, 10), reversed(rect(1, 1, 2, 2)), rect(4, 4, 6, 6)}
	if got := Area(orb.Collection{p, orb.MultiPolygon{p}, orb.Bound{Max: orb.Point{2, 2}}, rect(0, 0, 1, 1), orb.Point{1, 1}}); got != 95+95+4+1 {
		t.Errorf("area of a collection: %v", got)
	}
	// A million points, against the closed form of a regular polygon: n/2 r^2
	// sin(2 pi/n).
	n := 1000000
	ring := ringAround(n, func(int) float64 { return 100 })
	want := float64(n) / 2 * 1e4 * math.Sin(2*math.Pi/float64(n))
	if got := SignedArea(ring); math.Abs(got-want) > 1e-9 {
		t.Errorf("regular polygon of a million points: area %.12f, want %.12f", got, want)
	}
}

// FuzzValidate feeds rings of any bytes: no panic, no hang, and a verdict that
// does not depend on where the ring begins nor on the way of searching.
func FuzzValidate(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9}, byte(0), uint8(1))
	f.Add([]byte{0, 0, 9, 9, 9, 0, 0, 9}, byte(3), uint8(2))
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 255, 255, 2, 2, 4, 2, 4, 4, 255, 255, 4, 4, 6, 4, 6, 6}, byte(1), uint8(1))
	f.Add([]byte{1, 1, 1, 1, 1, 1, 1, 1}, byte(0), uint8(3))
	f.Add([]byte{0, 0, 5, 0, 9, 0, 5, 0, 5, 5}, byte(2), uint8(1))
	f.Fuzz(func(t *testing.T, data []byte, form byte, k uint8) {
		if len(data) > 600 {
			return
		}
		scale := [4]float64{1, 1e-7, 3e300, 1.0 / 3}[form%4]
		var p orb.Polygon
		ring := orb.Ring{}
		end := func() {
			if form&4 == 0 && len(ring) > 0 {
				ring = append(ring, ring[0])
			}
			p = append(p, ring)
			ring = orb.Ring{}
		}
		for i := 0; i+1 < len(data); i += 2 {
			if data[i] == 255 && data[i+1] == 255 {
				end()
				continue
			}
			q := orb.Point{float64(data[i]) * scale, float64(data[i+1]) * scale}
			if data[i] == 254 {
				q[0] = math.NaN()
			}
			ring = append(ring, q)
		}
		end()
		v := Validator{Max: 1 << 20}
		fig := []orb.Polygon{p}
		fs := slices.Clone(v.Polygons(fig))
		if !slices.IsSortedFunc(fs, func(a, b Fault) int { return cmp.Compare(a.Kind, b.Kind) }) {
			t.Errorf("faults out of order: %v", fs)
		}
		turned := mapped(fig, func(r orb.Ring) orb.Ring { return renumbered(r, int(k)%max(1, len(r))) })
		if got := v.Polygons(turned); len(got) == 0 != (len(fs) == 0) {
			t.Errorf("%v: %v; renumbered %v: %v", fig, fs, turned, got)
		}
		v.sweepOnly = true
		if got := v.Polygons(fig); fmt.Sprint(got) != fmt.Sprint(fs) {
			t.Errorf("%v: %v, by the sweep %v", fig, fs, got)
		}
	})
}
