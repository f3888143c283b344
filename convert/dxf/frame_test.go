// Tests of blocks that are clipped to frames.

package dxf

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// clipOf are the objects that clip the insert with the dictionary D1 to a
// frame, made when the block stood shifted by dx, dy. more are groups of the
// frame before its matrices.
func clipOf(dx, dy float64, corners []float64, more ...any) string {
	return clipBy([]float64{1, 0, 0, -dx, 0, 1, 0, -dy, 0, 0, 1, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0}, corners, more...)
}

// clipBy is clipOf with both of the frame's matrices: from the drawing to the
// block, and from the drawing to the frame.
func clipBy(matrices, corners []float64, more ...any) string {
	frame := []any{0, "SPATIAL_FILTER", 5, "F1", 330, "D2", 100, "AcDbFilter", 100, "AcDbSpatialFilter", 70, len(corners) / 2}
	for i := 0; i < len(corners); i += 2 {
		frame = append(frame, 10, corners[i], 20, corners[i+1])
	}
	frame = append(frame, 210, 0, 220, 0, 230, 1, 11, 0, 21, 0, 31, 0)
	if len(more) == 0 {
		more = []any{71, 1, 72, 0, 73, 0}
	}
	frame = append(frame, more...)
	for _, v := range matrices {
		frame = append(frame, 40, v)
	}
	return pairs(0, "DICTIONARY", 5, "0D1", 3, "ACAD_FILTER", 360, "D2") + pairs(0, "DICTIONARY", 5, "D2", 3, "SPATIAL", 360, "F1") + pairs(frame...)
}

// clippedBlock is a drawing with one insert, of the block B, that has a
// dictionary.
func clippedBlock(content, objects string, insert ...any) string {
	head := []any{0, "INSERT", 5, "A1", 102, "{ACAD_XDICTIONARY", 360, "D1", 102, "}", 8, "0", 2, "B"}
	return metres + sectionOf("BLOCKS", blockOf("B", 0, 0, content)) + sectionOf("ENTITIES", pairs(append(head, insert...)...)) + sectionOf("OBJECTS", objects) + pairs(0, "EOF")
}

func polylineOf(closed int, xy ...float64) string {
	list := []any{0, "LWPOLYLINE", 8, "A", 90, len(xy) / 2, 70, closed}
	for i := 0; i < len(xy); i += 2 {
		list = append(list, 10, xy[i], 20, xy[i+1])
	}
	return pairs(list...)
}

func TestClippedBlocks(t *testing.T) {
	square := polylineOf(1, 0, 0, 10, 0, 10, 10, 0, 10)
	low := polylineOf(1, 0, 0, 10, 0, 10, 4, 0, 4)
	hatch := func(style int) string {
		return pairs(0, "HATCH", 8, "A", 10, 0, 20, 0, 30, 0, 2, "SOLID", 70, 1, 71, 0, 91, 2,
			92, 3, 72, 0, 73, 1, 93, 4, 10, 0, 20, 0, 10, 10, 20, 0, 10, 10, 20, 10, 10, 0, 20, 10, 97, 0,
			92, 2, 72, 0, 73, 1, 93, 4, 10, 2, 20, 2, 10, 8, 20, 2, 10, 8, 20, 8, 10, 2, 20, 8, 97, 0, 75, style, 76, 1, 98, 0)
	}
	// The triangle of a published note on such frames: drawn when the block
	// stood at (5, 5), it goes where the block goes.
	triangle := []float64{5, 5, 12, 5, 8.5, 12}
	at := func(x, y float64) []any { return []any{10, x, 20, y} }
	for _, c := range []struct {
		name, content, objects string
		insert                 []any
		want, kinds            string
	}{
		{"nothing of the frame", square, "", at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", ""},
		{"whole", square, clipOf(0, 0, []float64{0, 0, 10, 10}), at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", ""},
		{"a rectangle by two corners", square, clipOf(0, 0, []float64{4, -5, 20, 5}), at(0, 0), "Polygon(4 0, 10 0, 10 5, 4 5, 4 0)", "block-clipped:1"},
		{"corners the other way", square, clipOf(0, 0, []float64{20, 5, 4, -5}), at(0, 0), "Polygon(4 0, 10 0, 10 5, 4 5, 4 0)", "block-clipped:1"},
		{"moved since", low, clipOf(5, 5, triangle), at(15, 5), "Polygon(15 5, 22 5, 20 9, 17 9, 15 5)", "block-clipped:1"},
		{"turned since", low, clipOf(5, 5, triangle), append(at(15, 5), 50, 90), "Polygon(15 5, 15 12, 11 10, 11 7, 15 5)", "block-clipped:1"},
		{"scaled since", low, clipOf(5, 5, triangle), append(at(15, 5), 41, 2, 42, 2, 43, 2), "Polygon(15 5, 29 5, 25 13, 19 13, 15 5)", "block-clipped:1"},
		// Half as large when it was framed, and the frame's own system 10 to
		// the left.
		{"in a system of the frame's own", square, clipBy([]float64{2, 0, 0, 0, 0, 2, 0, 0, 0, 0, 2, 0, 1, 0, 0, 10, 0, 1, 0, 0, 0, 0, 1, 0}, []float64{12, -1, 30, 2}), at(0, 0), "Polygon(4 0, 10 0, 10 4, 4 4, 4 0)", "block-clipped:1"},
		{"outside", square, clipOf(0, 0, []float64{20, 20, 30, 30}), at(0, 0), "", "block-clipped:1"},
		{"beside", square, clipOf(0, 0, []float64{10, 0, 30, 30}), at(0, 0), "", "block-clipped:1"},
		{"within", square, clipOf(0, 0, []float64{2, 2, 6, 6}), at(0, 0), "Polygon(2 2, 6 2, 6 6, 2 6, 2 2)", "block-clipped:1"},
		{"two parts", polylineOf(1, 0, 0, 10, 0, 10, 10, 8, 10, 8, 2, 2, 2, 2, 10, 0, 10), clipOf(0, 0, []float64{-1, 5, 11, 20}), at(0, 0),
			"Polygon(10 5, 10 10, 8 10, 8 5, 10 5)\nPolygon(2 5, 2 10, 0 10, 0 5, 2 5)", "block-clipped:1"},
		{"a line in parts", polylineOf(0, 0, 0, 10, 0, 10, 10, 0, 10), clipOf(0, 0, []float64{-1, -1, 5, 11}), at(0, 0), "LineString(0 0, 5 0)\nLineString(5 10, 0 10)", "block-clipped:1"},
		{"heights between", pairs(0, "LINE", 8, "A", 10, 0, 20, 0, 30, 1, 11, 10, 21, 0, 31, 3), clipOf(0, 0, []float64{-1, -1, 5, 11}), at(0, 0), "LineString(0 0 1, 5 0 2)", "block-clipped:1"},
		{"texts by where they stand", pairs(0, "TEXT", 8, "A", 10, 1, 20, 1, 40, 1, 1, "in") + pairs(0, "TEXT", 8, "A", 10, 9, 20, 9, 40, 1, 1, "out"), clipOf(0, 0, []float64{0, 0, 5, 5}), at(0, 0), "Point(1 1)", "block-clipped:1"},
		{"a hatch keeps its hole", hatch(0), clipOf(0, 0, []float64{-1, -1, 11, 5}), at(0, 0), "Polygon(0 0, 10 0, 10 5, 8 5, 8 2, 2 2, 2 5, 0 5, 0 0)", "block-clipped:1"},
		{"a hatch over its hole", hatch(2), clipOf(0, 0, []float64{-1, -1, 11, 5}), at(0, 0), "Polygon(0 0, 10 0, 10 5, 0 5, 0 0)", "block-clipped:1"},
		{"a hole whole", hatch(1), clipOf(0, 0, []float64{1, -1, 11, 11}), at(0, 0), "Polygon(1 0, 10 0, 10 10, 1 10, 1 0)(2 2, 8 2, 8 8, 2 8, 2 2)", "block-clipped:1"},
		{"off", square, clipOf(0, 0, []float64{4, -5, 20, 5}, 71, 0, 72, 0, 73, 0), at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", "block-clip-off:1"},
		{"by height", square, clipOf(0, 0, []float64{4, -5, 20, 5}, 71, 1, 72, 1, 40, 3, 73, 0), at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", "block-clip-refused:1"},
		{"damaged", square, clipOf(0, 0, []float64{4, -5, 20, 5}, 71, "on"), at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", "block-clip-refused:1"},
		{"of one corner", square, clipOf(0, 0, []float64{4, -5}), at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", "block-clip-refused:1"},
		{"without area", square, clipOf(0, 0, []float64{4, 5, 4, 5}), at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", "block-clip-refused:1"},
		{"at a slant", square, strings.Replace(clipOf(0, 0, []float64{4, -5, 20, 5}), "210\n0\n", "210\n1\n", 1), at(0, 0), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", "block-clip-refused:1"},
		{"inverted", square, strings.Replace(clipOf(0, 0, []float64{4, -5, 20, 5}), "  5\nF1\n", "  5\nF1\n102\n{ACAD_XDICTIONARY\n360\nE1\n102\n}\n", 1) +
			pairs(0, "DICTIONARY", 5, "E1", 3, "ACAD_XREC_ROUNDTRIP", 360, "E2") + pairs(0, "XRECORD", 5, "E2", 100, "AcDbXrecord", 102, "ACAD_INVERTEDCLIP_ROUNDTRIP", 10, 0, 20, 0), at(0, 0),
			"Polygon(0 0, 10 0, 10 10, 0 10, 0 0)", "block-clip-refused:1"},
		{"repeated", square, clipOf(0, 0, []float64{4, -5, 20, 5}), append(at(0, 0), 70, 2, 44, 30), "Polygon(0 0, 10 0, 10 10, 0 10, 0 0)\nPolygon(30 0, 40 0, 40 10, 30 10, 30 0)", "block-clip-refused:2"},
	} {
		p, warnings := read(t, clippedBlock(c.content, c.objects, c.insert...), wire.ReadOptions{})
		var got []string
		for _, f := range p.Features {
			if f.Attributes.Get(schema.PropEntity).Text() != "INSERT" {
				got = append(got, wkt(f.Geometry))
			}
		}
		if s := strings.Join(got, "\n"); s != c.want || kinds(warnings) != c.kinds {
			t.Errorf("%s:\n%s\nwant\n%s\n%s, want %s: %v", c.name, s, c.want, kinds(warnings), c.kinds, warnings)
		}
		for _, f := range p.Features {
			for _, v := range f.Geometry.FlatCoords() { // on the frame, not a hair beside it
				if math.Abs(v-math.Round(v*2)/2) > 1e-9 {
					t.Errorf("%s: a number is %.12g", c.name, v)
				}
			}
		}
		for _, w := range warnings {
			if !strings.Contains(w.Message, `"B"`) || w.Lost() != (w.Kind == "block-clipped") {
				t.Errorf("%s: lost %v: %s", c.name, w.Lost(), w.Message)
			}
		}
	}
}

// A frame inside a block that is clipped itself: what is in the plan lies in
// both.
func TestClippedInClipped(t *testing.T) {
	inner := pairs(0, "INSERT", 5, "A2", 102, "{ACAD_XDICTIONARY", 360, "E1", 102, "}", 8, "0", 2, "C", 10, 0, 20, 0)
	second := strings.NewReplacer("0D1", "E1", "D2", "E2", "F1", "F2").Replace(clipOf(0, 0, []float64{-1, 3, 20, 20}))
	text := strings.Replace(clippedBlock(inner, clipOf(0, 0, []float64{4, -1, 20, 20})+second, 10, 100, 20, 0), "ENDBLK\n", "ENDBLK\n"+blockOf("C", 0, 0, polylineOf(1, 0, 0, 10, 0, 10, 10, 0, 10)), 1)
	p, warnings := read(t, text, wire.ReadOptions{})
	// The point of the inner insert is outside the outer frame.
	if got := features(p); got != "INSERT Point(100 0)\nLWPOLYLINE Polygon(110 3, 110 10, 104 10, 104 3, 110 3)" {
		t.Errorf("%s\n%v", got, warnings)
	}
	if len(warnings) != 1 || !strings.Contains(warnings[0].Message, `"C" (0 outside, 1 cut)`) || !strings.Contains(warnings[0].Message, `"B" (1 outside, 1 cut)`) {
		t.Errorf("%v", warnings)
	}
}

// Whatever the outlines and the frame are, a place lies in what comes out when
// it lies in both.
func TestCutHoldsEveryPlace(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	star := func(x, y, least, most float64, n int) []point {
		var out []point
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			r := least + (most-least)*rnd.Float64()
			out = append(out, point{x + r*math.Cos(a), y + r*math.Sin(a)})
		}
		return out
	}
	closed := func(p []point) ring { return ring{points: append(p[:len(p):len(p)], p[0]), closed: true} }
	cut := 0
	for k := range 3000 {
		x, y := 500000*rnd.Float64(), 6e6*rnd.Float64()
		corners := star(x+20*rnd.Float64()-10, y+20*rnd.Float64()-10, 3, 12, 3+rnd.IntN(9))
		c := newCutter(corners, frameMargins)
		list := []ring{closed(star(x, y, 5, 12, 3+rnd.IntN(20)))}
		if k%2 == 0 {
			list = append(list, closed(star(x, y, 1, 3, 3+rnd.IntN(9))))
		}
		if k%5 == 0 { // drawn up to the frame on one side
			list[0] = closed([]point{corners[0], corners[1], {x, y}})
			list = list[:1]
		}
		out, whole, ok := c.rings(list)
		if !ok {
			t.Fatalf("%d: cannot be told", k)
		}
		if !whole {
			cut++
		} else {
			out = list
		}
		for range 100 {
			p := point{x + 30*rnd.Float64() - 15, y + 30*rnd.Float64() - 15}
			in, want := false, false
			for _, q := range out {
				in = in != pointInRing(p, q.points)
			}
			for _, q := range list {
				want = want != pointInRing(p, q.points)
			}
			if want = want && c.holds(p); in != want {
				t.Fatalf("%d: (%v, %v) is inside %v, want %v\nframe %v\n%v\n%v", k, p[0]-x, p[1]-y, in, want, corners, list, out)
			}
		}
	}
	if cut < 1000 {
		t.Errorf("only %d were cut", cut)
	}
}

// A side that runs along the frame a hair inside, on it, and a hair outside.
func TestCutAtTheLimit(t *testing.T) {
	for _, off := range []float64{-2e-6, -1e-6, -1e-9, 0, 1e-9, 0.5e-6, 1e-6, 2e-6, 1e-5, 1e-4} {
		text := clippedBlock(polylineOf(1, 0, 0, 10, 0, 10, 10+off, 0, 10+off)+polylineOf(1, 0, 10+off, 10, 10+off, 10, 20, 0, 20), clipOf(0, 0, []float64{-5, -5, 15, 10}), 10, 500000, 20, 6000000)
		p, _ := read(t, text, wire.ReadOptions{})
		area, n := 0.0, 0
		for _, f := range p.Features {
			if g, ok := f.Geometry.(*geom.Polygon); ok {
				area += math.Abs(schema.TwiceArea(g.FlatCoords(), 2)) / 2
				n++
			}
		}
		if math.Abs(area-100) > 1e-3 || n != 1 && !(off <= -1e-5 && n == 2) {
			t.Errorf("%g m past the frame: %d outlines with %.6f m2", off, n, area)
		}
	}
}

func TestFramesAreCapped(t *testing.T) {
	var many []float64
	for i := range mostFrameCorners + 1 {
		a := 2 * math.Pi * float64(i) / (mostFrameCorners + 1)
		many = append(many, math.Round(5e6*math.Cos(a))/1e6, math.Round(5e6*math.Sin(a))/1e6)
	}
	for n, want := range map[int]string{mostFrameCorners: "block-clipped:1", mostFrameCorners + 1: "block-clip-refused:1"} {
		_, warnings := read(t, clippedBlock(polylineOf(0, 0, 0, 10, 0), clipOf(0, 0, many[:2*n]), 10, 0, 20, 0), wire.ReadOptions{})
		if got := kinds(warnings); got != want {
			t.Errorf("%d corners: %s, want %s", n, got, want)
		}
	}
	if _, ok := (&affine{}).inverse(); ok {
		t.Error("nothing has an inverse")
	}
	m := affine{a: [3][3]float64{{0, -2, 0}, {2, 0, 1}, {0, 0, 3}}, t: point{5, 6, 7}}
	back, ok := m.inverse()
	if p := back.apply(m.apply(point{1, 2, 3})); !ok || distance3(p, point{1, 2, 3}) > 1e-12 {
		t.Error(fmt.Sprint(p, ok))
	}
}
