// Closed splines are smooth where they close.

package dxf

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
)

// kink returns the angle, in degrees, between the tangents of a closed ring on
// both sides of its first point. Each is that of the parabola through the point
// and the two beside it, which is exact to the second order in the length of
// the chords.
func kink(flat []float64, stride int) float64 {
	n := len(flat)/stride - 1 // without the repeated point
	at := func(i int) (x, y float64) { i = ((i%n + n) % n) * stride; return flat[i], flat[i+1] }
	tangent := func(step int) float64 {
		x0, y0 := at(0)
		x1, y1 := at(step)
		x2, y2 := at(2 * step)
		h1, h2 := math.Hypot(x1-x0, y1-y0), math.Hypot(x2-x0, y2-y0)
		dx := (x1-x0)/h1*h2/(h2-h1) - (x2-x0)/h2*h1/(h2-h1)
		dy := (y1-y0)/h1*h2/(h2-h1) - (y2-y0)/h2*h1/(h2-h1)
		if step < 0 {
			dx, dy = -dx, -dy
		}
		return math.Atan2(dy, dx)
	}
	return math.Abs(math.Remainder(tangent(1)-tangent(-1), 2*math.Pi)) * 180 / math.Pi
}

func TestClosedSplinesAreSmoothAtTheirSeam(t *testing.T) {
	// A square turns by 90 degrees at its corner, a circle not at all.
	if k := kink([]float64{0, 0, 1, 0, 2, 0, 2, 2, 0, 2, 0, 1, 0, 0}, 2); math.Abs(k-90) > 1e-9 {
		t.Fatalf("a square turns by %g degrees", k)
	}
	var round []float64
	for i := range 1001 {
		s, c := math.Sincos(2 * math.Pi * float64(i%1000) / 1000)
		round = append(round, c, s)
	}
	if k := kink(round, 2); k > 0.002 {
		t.Fatalf("a circle turns by %g degrees", k)
	}
	fit := [][2]float64{{0, 0}, {8, -1}, {10, 6}, {4, 9}, {-2, 5}}
	spline := func(head []any, code int, list ...[2]float64) string {
		for _, p := range list {
			head = append(head, code, p[0], code+10, p[1], code+20, 0)
		}
		return pairs(head...)
	}
	wrap := append(append([][2]float64{}, fit...), fit[:3]...)
	uniform := []any{0, "SPLINE", 8, "A", 70, 11, 71, 3}
	for i := range len(wrap) + 4 {
		uniform = append(uniform, 40, i)
	}
	for name, entity := range map[string]string{
		"through points":                           spline([]any{0, "SPLINE", 8, "A", 70, 9, 71, 3}, 11, fit...),
		"through points, the first one repeated":   spline([]any{0, "SPLINE", 8, "A", 70, 9, 71, 3}, 11, append(fit[:5:5], fit[0])...),
		"through points, periodic too":             spline([]any{0, "SPLINE", 8, "A", 70, 11, 71, 3}, 11, fit...),
		"through points, one tangent":              spline([]any{0, "SPLINE", 8, "A", 70, 9, 71, 3, 12, 1.0, 22, 0.0, 32, 0.0}, 11, fit...),
		"through points, tangents that are zero":   spline([]any{0, "SPLINE", 8, "A", 70, 9, 71, 3, 12, 0.0, 22, 0.0, 32, 0.0, 13, 0.0, 23, 0.0, 33, 0.0}, 11, fit...),
		"by control points that wrap":              spline(uniform, 10, wrap...),
		"by control points, periodic, no knots":    spline([]any{0, "SPLINE", 8, "A", 70, 11, 71, 3}, 10, fit...),
		"by control points, closed flag, no knots": spline([]any{0, "SPLINE", 8, "A", 70, 9, 71, 3}, 10, fit...),
	} {
		p, w := read(t, drawing(entity), wire.ReadOptions{ChordM: 1e-9})
		g, ok := p.Features[0].Geometry.(*geom.Polygon)
		if !ok {
			t.Errorf("%s: a %T, %v", name, p.Features[0].Geometry, w)
			continue
		}
		k := kink(g.FlatCoords(), g.Stride())
		if !(k < 0.01) {
			t.Errorf("%s: %.3g degrees of kink at the seam", name, k)
		}
	}
}
