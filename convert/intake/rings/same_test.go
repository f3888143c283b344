// Tests of outlines that are drawn twice.

package rings

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"
)

func squareAt(x, y, size float64) []float64 {
	return []float64{x, y, x + size, y, x + size, y + size, x, y + size, x, y}
}

func polygonOf(list ...[]float64) *geom.Polygon {
	var flat []float64
	var ends []int
	for _, q := range list {
		flat = append(flat, q...)
		ends = append(ends, len(flat))
	}
	return geom.NewPolygonFlat(geom.XY, flat, ends)
}

func TestFillOf(t *testing.T) {
	s := Scale{X: 1, Y: 1}
	const tol = 0.01
	outer, inner := squareAt(0, 0, 10), squareAt(2, 2, 3)
	turned := []float64{10, 10, 10, 0, 5, 0, 0, 0, 0, 10, 10, 10} // another start, the other way, a point more
	both := geom.NewMultiPolygon(geom.XY)
	for _, q := range []*geom.Polygon{polygonOf(outer), polygonOf(squareAt(50, 0, 5))} {
		if err := both.Push(q); err != nil {
			t.Fatal(err)
		}
	}
	var round, rounder []float64
	for i := range 9001 {
		s, c := math.Sincos(2 * math.Pi * float64(i%9000) / 9000)
		round = append(round, 5*c, 5*s)
		rounder = append(rounder, 5.02*c, 5.02*s)
	}
	for _, c := range []struct {
		name     string
		fill     geom.T
		outlines []geom.T
		one      int // outlines that are one with it
		gone     bool
		differ   int
	}{
		{"the same ring", polygonOf(outer), []geom.T{polygonOf(outer)}, 1, true, 0},
		{"drawn another way", polygonOf(outer), []geom.T{polygonOf(turned)}, 1, true, 0},
		{"a hair within the tolerance", polygonOf(squareAt(0.0099, 0, 10)), []geom.T{polygonOf(outer)}, 1, true, 0},
		{"a hair beyond it", polygonOf(squareAt(0.0101, 0, 10)), []geom.T{polygonOf(outer)}, 0, false, 0},
		{"with its hole", polygonOf(outer, inner), []geom.T{polygonOf(outer, inner)}, 1, true, 0},
		{"with a hole that the outline lacks", polygonOf(outer, inner), []geom.T{polygonOf(outer)}, 0, false, 1},
		{"without the outline's hole", polygonOf(outer), []geom.T{polygonOf(outer, inner)}, 0, false, 1},
		{"with a hole elsewhere", polygonOf(outer, inner), []geom.T{polygonOf(outer, squareAt(5, 5, 3))}, 0, false, 1},
		{"one part of two", both, []geom.T{polygonOf(outer)}, 1, false, 0},
		{"both parts", both, []geom.T{polygonOf(squareAt(50, 0, 5)), polygonOf(outer)}, 2, true, 0},
		{"two outlines of one", polygonOf(outer), []geom.T{polygonOf(outer), polygonOf(outer)}, 1, true, 0},
		{"the same box, another shape", polygonOf(outer), []geom.T{polygonOf([]float64{0, 0, 10, 0, 10, 10, 0, 0})}, 0, false, 0},
		{"the same corners, cut in", polygonOf(outer), []geom.T{polygonOf([]float64{0, 0, 10, 0, 10, 10, 5, 9, 0, 10, 0, 0})}, 0, false, 0},
		{"a hair-thin cut into it", polygonOf(outer), []geom.T{polygonOf([]float64{0, 0, 10, 0, 10, 10, 5.0005, 10, 5, 7, 4.9995, 10, 0, 10, 0, 0})}, 0, false, 0},
		{"of many points", polygonOf(round), []geom.T{polygonOf(round)}, 1, true, 0},
		{"of many points, larger", polygonOf(round), []geom.T{polygonOf(rounder)}, 0, false, 0},
		{"a line", polygonOf(outer), []geom.T{geom.NewLineStringFlat(geom.XY, outer)}, 0, false, 0},
	} {
		got := s.FillOf(c.fill, c.outlines, tol)
		if len(got.Outlines) != c.one || (got.Rest == nil) != c.gone || len(got.Differ) != c.differ {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
	if rest, ok := s.FillOf(both, []geom.T{polygonOf(outer)}, tol).Rest.(*geom.Polygon); !ok || rest.FlatCoords()[0] != 50 {
		t.Errorf("what is left is %v", rest)
	}
}
