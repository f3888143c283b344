// Tests of outlines as people draft them.

package rings

import (
	"fmt"
	"math"
	"math/rand"
	"sort"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// open and shut are pieces of a layer: x and y one after the other.
func open(xy ...float64) *Piece {
	return &Piece{Layer: "LAWN", Feature: &schema.Feature{Geometry: geom.NewLineStringFlat(geom.XY, xy)}}
}

func shut(xy ...float64) *Piece {
	return &Piece{Layer: "LAWN", Feature: &schema.Feature{Geometry: geom.NewPolygonFlat(geom.XY, xy, []int{len(xy)})}}
}

// areas are those of the outlines left, the largest first, and how many lines
// are left open.
func areas(pieces []*Piece, j Joined) (out []float64, lines int) {
	var all []*schema.Feature
	for _, p := range pieces {
		if !p.Gone {
			all = append(all, p.Feature)
		}
	}
	for _, f := range append(all, j.More...) {
		if g, ok := f.Geometry.(*geom.Polygon); ok {
			out = append(out, math.Abs(schema.TwiceArea(g.FlatCoords(), g.Stride()))/2)
		} else {
			lines++
		}
	}
	sort.Sort(sort.Reverse(sort.Float64Slice(out)))
	return out, lines
}

// circle is an exploded one, of n straight pieces.
func circle(x, y, r float64, n int) []*Piece {
	var out []*Piece
	at := func(i int) (float64, float64) {
		a := 2 * math.Pi * float64(i%n) / float64(n)
		return x + r*math.Cos(a), y + r*math.Sin(a)
	}
	for i := 0; i < n; i++ {
		x0, y0 := at(i)
		x1, y1 := at(i + 1)
		out = append(out, open(x0, y0, x1, y1))
	}
	return out
}

func TestOutlinesAsPeopleDraftThem(t *testing.T) {
	for _, c := range []struct {
		name   string
		pieces []*Piece
		want   []float64
		lines  int
	}{
		{"a border drawn once, loose sides", []*Piece{
			open(0, 0, 10, 0), open(10, 0, 20, 0), open(20, 0, 20, 10), open(20, 10, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0), open(10, 0, 10, 10)}, []float64{100, 100}, 0},
		{"a border drawn once, one lawn closed", []*Piece{
			shut(0, 0, 10, 0, 10, 10, 0, 10, 0, 0), open(10, 0, 30, 0, 30, 10, 10, 10)}, []float64{200, 100}, 0},
		{"a line that ends on sides", []*Piece{shut(0, 0, 20, 0, 20, 10, 0, 10, 0, 0), open(5, 0, 5, 10)}, []float64{150, 50}, 0},
		{"a line that stops 8 mm short of the sides", []*Piece{shut(0, 0, 20, 0, 20, 10, 0, 10, 0, 0), open(5, 0.008, 5, 9.992)}, []float64{150, 50}, 0},
		{"a line that stops 12 mm short", []*Piece{shut(0, 0, 20, 0, 20, 10, 0, 10, 0, 0), open(5, 0.012, 5, 10)}, []float64{200}, 1},
		{"rings that touch at a corner", []*Piece{
			open(0, 0, 10, 0), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0),
			open(10, 10, 15, 10), open(15, 10, 15, 15), open(15, 15, 10, 15), open(10, 15, 10, 10)}, []float64{100, 25}, 0},
		{"a ring that touches another from within", []*Piece{
			open(0, 0, 10, 0), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0),
			open(0, 0, 4, 1), open(4, 1, 1, 4), open(1, 4, 0, 0)}, []float64{100, 7.5}, 0},
		{"a line of no length at a corner", []*Piece{open(0, 0, 10, 0), open(10, 0, 10, 0), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}, []float64{100}, 0},
		{"a piece of 5 mm", []*Piece{open(0, 0, 9.995, 0), open(9.995, 0, 10, 0), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}, []float64{100}, 0},
		{"a piece of 5 mm at a corner, standing out", []*Piece{open(0, 0, 10, 0), open(10, 0, 10.005, 0), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}, []float64{100}, 0},
		{"a line repeated 0.4 mm off", []*Piece{open(0, 0, 10, 0), open(0, 0.0004, 10, 0.0004), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}, []float64{100}, 0},
		{"a line repeated 4 mm off", []*Piece{open(0, 0, 10, 0), open(0.004, 0.004, 9.996, 0.004), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}, []float64{100}, 0},
		{"sides that run 5 cm past the corners", []*Piece{open(-0.05, 0, 10.05, 0), open(10, -0.05, 10, 10.05), open(10.05, 10, -0.05, 10), open(0, 10.05, 0, -0.05)}, []float64{100}, 0},
		{"part of a side drawn twice", []*Piece{open(0, 0, 10, 0), open(3, 0, 7, 0), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}, []float64{100}, 0},
		{"parts of a side that run along each other", []*Piece{open(0, 0, 6, 0), open(4, 0, 10, 0), open(10, 0, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}, []float64{100}, 0},
		{"an exploded circle of pieces of 6 mm", circle(3, 3, 0.5, 500), []float64{250 * 0.25 * math.Sin(2*math.Pi/500)}, 0},
		{"four lines across a ring", []*Piece{shut(0, 0, 9, 0, 9, 9, 0, 9, 0, 0), open(3, 0, 3, 9), open(6, 0, 6, 9), open(0, 3, 9, 3), open(0, 6, 9, 6)}, []float64{9, 9, 9, 9, 9, 9, 9, 9, 9}, 0},
		{"a ring and a path past it", []*Piece{shut(0, 0, 9, 0, 9, 9, 0, 9, 0, 0), open(9, 4, 20, 4)}, []float64{81}, 1},
		{"rings that cross and no line", []*Piece{shut(0, 0, 9, 0, 9, 9, 0, 9, 0, 0), shut(5, 5, 12, 5, 12, 12, 5, 5), open(50, 50, 60, 60)}, []float64{81, 24.5}, 1},
		{"a figure of eight of loose lines", []*Piece{open(0, 0, 10, 10), open(10, 10, 10, 0), open(10, 0, 0, 10), open(0, 10, 0, 0)}, []float64{25, 25}, 0},
	} {
		for turn := 0; turn < 6; turn++ {
			pieces := turned(c.pieces, turn)
			j := Join(pieces, Scale{1, 1}, 0.01)
			got, lines := areas(pieces, j)
			if lines != c.lines || len(got) != len(c.want) {
				t.Errorf("%s, turn %d: %v and %d lines, want %v and %d; %+v", c.name, turn, got, lines, c.want, c.lines, j)
				continue
			}
			for i := range got {
				if math.Abs(got[i]-c.want[i]) > 0.11 {
					t.Errorf("%s, turn %d: %v, want %v", c.name, turn, got, c.want)
				}
			}
			if j.GapM > 0.01 || j.MoveM > cornerMove*0.01 {
				t.Errorf("%s: closed a gap of %g m and moved a corner by %g m", c.name, j.GapM, j.MoveM)
			}
		}
	}
}

// turned copies pieces: the first time as they are, then in another order, some
// drawn the other way, and far from the origin.
func turned(pieces []*Piece, turn int) []*Piece {
	r := rand.New(rand.NewSource(int64(turn)))
	out := make([]*Piece, len(pieces))
	for i, k := range r.Perm(len(pieces)) {
		if turn == 0 {
			k = i
		}
		flat := append([]float64(nil), pieces[k].Feature.Geometry.FlatCoords()...)
		if turn > 0 && r.Intn(2) == 0 {
			for a, b := 0, len(flat)-2; a < b; a, b = a+2, b-2 {
				flat[a], flat[b], flat[a+1], flat[b+1] = flat[b], flat[a], flat[b+1], flat[a+1]
			}
		}
		if turn > 2 {
			for v := 0; v < len(flat); v += 2 {
				flat[v], flat[v+1] = flat[v]+500000, flat[v+1]+6200000
			}
		}
		if _, ok := pieces[k].Feature.Geometry.(*geom.Polygon); ok {
			out[i] = shut(flat...)
		} else {
			out[i] = open(flat...)
		}
	}
	return out
}

// A corner goes to where the two lines meet, not to the middle of their ends.
func TestCornersAreWhereLinesMeet(t *testing.T) {
	pieces := []*Piece{open(0, 0, 9.994, 0), open(10, 0.006, 10, 10), open(10, 10, 0, 10), open(0, 10, 0, 0)}
	j := Join(pieces, Scale{1, 1}, 0.01)
	flat := pieces[0].Feature.Geometry.FlatCoords()
	found := false
	for v := 0; v < len(flat); v += 2 {
		found = found || flat[v] == 10 && flat[v+1] == 0
	}
	if !found {
		t.Errorf("got %v", flat)
	}
	if math.Abs(j.GapM-math.Hypot(0.006, 0.006)) > 1e-9 || math.Abs(j.MoveM-0.006) > 1e-9 {
		t.Errorf("gap %g, move %g", j.GapM, j.MoveM)
	}
	// One polyline that closes on itself with a gap.
	one := open(0, 0, 10, 0, 10, 10, 0, 10, 0, 0.005)
	Join([]*Piece{one}, Scale{1, 1}, 0.01)
	if g, ok := one.Feature.Geometry.(*geom.Polygon); !ok || g.FlatCoords()[0] != 0 || g.FlatCoords()[1] != 0 {
		t.Errorf("got %v", one.Feature.Geometry.FlatCoords())
	}
}

// What stays open says which tolerance would close it, and that one does.
func TestGapsSayWhichToleranceCloses(t *testing.T) {
	for _, c := range []struct {
		gap   float64
		words string
	}{{0.024, "a gap of 0.024 m between (0.000, 0.024) and (0.000, 0.000); tolerance_m: 0.025 would close it"},
		{0.2, "tolerance_m: 0.21 would close it"}, {2.4, "tolerance_m: 2.5 would close it"}} {
		pieces := func() []*Piece {
			return []*Piece{open(0, 0, 30, 0), open(30, 0, 30, 30), open(30, 30, 0, 30), open(0, 30, 0, c.gap)}
		}
		j := Join(pieces(), Scale{1, 1}, 0.01)
		if len(j.Gaps) != 1 || !strings.Contains(swap(j.Gaps[0]).String(), c.words) {
			t.Errorf("%g: %v", c.gap, j.Gaps)
			continue
		}
		p := pieces()
		j2 := Join(p, Scale{1, 1}, j.Gaps[0].Closes)
		if got, lines := areas(p, j2); len(got) != 1 || lines != 0 || math.Abs(got[0]-900) > 0.01 {
			t.Errorf("%g: with %g %v and %d lines", c.gap, j.Gaps[0].Closes, got, lines)
		}
	}
	j := Join([]*Piece{open(0, 0, 30, 0), open(30, 0, 30, 30)}, Scale{1, 1}, 0.01)
	if len(j.Gaps) != 1 || !strings.Contains(j.Gaps[0].String(), "a side is missing") {
		t.Errorf("got %v", j.Gaps)
	}
}

// swap puts the upper end first.
func swap(g Gap) Gap {
	if g.From[1] < g.To[1] {
		g.From, g.To = g.To, g.From
	}
	return g
}

// walked is a track round a square of 30 m, from a corner, with a point every
// metre, on for metres past its start, or short of it.
func walked(past float64) *Piece {
	var flat []float64
	at := func(s float64) (float64, float64) {
		s = math.Mod(s, 120)
		switch {
		case s < 30:
			return s, 0
		case s < 60:
			return 30, s - 30
		case s < 90:
			return 90 - s, 30
		}
		return 0, 120 - s
	}
	for s := 0.0; s < 120+past; s++ {
		x, y := at(s)
		flat = append(flat, x, y+0.4*s/120) // it drifts by 40 cm
	}
	x, y := at(120 + past)
	p := open(append(flat, x, y+0.4)...)
	p.Walked = true
	return p
}

func TestWalkedOutlines(t *testing.T) {
	for _, c := range []struct {
		past   float64
		closed bool
	}{{0, true}, {4, true}, {12, true}, {-2.4, true}, {-4.5, true}, {-4.7, false}, {-6, false}, {-20, false}} {
		p := walked(c.past)
		j := Join([]*Piece{p}, Scale{1, 1}, 0.01)
		g, ok := p.Feature.Geometry.(*geom.Polygon)
		if ok != c.closed {
			t.Errorf("%g m past the start: closed %v, %+v", c.past, ok, j)
			continue
		}
		if !ok {
			continue
		}
		if a := math.Abs(schema.TwiceArea(g.FlatCoords(), 2)) / 2; math.Abs(a-900) > 15 {
			t.Errorf("%g m past the start: %g m2", c.past, a)
		}
		if j.Walked != 1 || j.GapM > 5 {
			t.Errorf("%g m past the start: %+v", c.past, j)
		}
		// A drawing's line is no walk.
		q := walked(c.past)
		q.Walked = false
		Join([]*Piece{q}, Scale{1, 1}, 0.01)
		if _, ok := q.Feature.Geometry.(*geom.Polygon); ok && c.past < 0 {
			t.Errorf("%g m short: a drawing's line was closed", -c.past)
		}
	}
}

// Any lines give outlines whose areas do not overlap: their sum is that of what
// they enclose, which a fan over the outer outline gives.
func TestRandomLinesAcrossASquare(t *testing.T) {
	for seed := int64(0); seed < 200; seed++ {
		r := rand.New(rand.NewSource(seed))
		pieces := []*Piece{shut(0, 0, 50, 0, 50, 50, 0, 50, 0, 0)}
		n := 1 + r.Intn(12)
		for i := 0; i < n; i++ {
			pieces = append(pieces, open(-1, 50*r.Float64(), 51, 50*r.Float64()))
		}
		j := Join(pieces, Scale{1, 1}, 0.01)
		got, _ := areas(pieces, j)
		sum := 0.0
		for _, a := range got {
			sum += a
		}
		// Beyond the square, lines may cross once more and enclose a little.
		if sum < 2500-0.1 || len(got) < n+1 {
			t.Errorf("seed %d: %d lines make %d outlines of %g m2", seed, n, len(got), sum)
		}
	}
}

func TestManyLines(t *testing.T) {
	var pieces []*Piece
	for i := 0; i <= 60; i++ {
		pieces = append(pieces, open(float64(i), 0, float64(i), 60), open(0, float64(i), 60, float64(i)))
	}
	j := Join(pieces, Scale{1, 1}, 0.01)
	if got, lines := areas(pieces, j); len(got) != 3600 || lines != 0 {
		t.Errorf("%d outlines, %d lines", len(got), lines)
	}
	if s := fmt.Sprint(j.Faces, len(j.More)); s != "3600 3478" {
		t.Errorf("got %s", s)
	}
}
