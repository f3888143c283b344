// Outlines that are drawn twice, as a line and as what fills it.

package rings

import (
	"math"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// mostCompared is how many points of a ring are held against another: all of
// them, or as many of a long one, evenly spaced.
const mostCompared = 2000

// outline is one polygon: its rings, the shell first, and the box of the shell.
type outline struct {
	rings     [][]float64
	stride    int
	low, high [2]float64
}

// outlinesOf lists the polygons of a geometry.
func outlinesOf(g geom.T) (out []outline) {
	var parts [][]int
	switch g := g.(type) {
	case *geom.Polygon:
		parts = [][]int{g.Ends()}
	case *geom.MultiPolygon:
		parts = g.Endss()
	default:
		return nil
	}
	flat, stride, start := g.FlatCoords(), g.Stride(), 0
	for _, ends := range parts {
		o := outline{stride: stride}
		for _, end := range ends {
			o.rings = append(o.rings, flat[start:end])
			start = end
		}
		if len(o.rings) > 0 {
			o.low, o.high = Box(o.rings[0], stride)
			out = append(out, o)
		}
	}
	return out
}

// sameRing reports whether every point of each ring lies within tol metres of
// the other, and their areas are as good as one.
func (s Scale) sameRing(a []float64, strideA int, b []float64, strideB int, tol float64) bool {
	size := func(flat []float64, stride int) float64 {
		return math.Abs(schema.TwiceArea(flat, stride)) / 2 * s.X * s.Y
	}
	around := math.Max(s.length(a, strideA), s.length(b, strideB))
	if math.Abs(size(a, strideA)-size(b, strideB)) > around*tol {
		return false
	}
	near := func(a []float64, strideA int, b []float64, strideB int) bool {
		line := geom.NewLineStringFlat(map[int]geom.Layout{2: geom.XY, 3: geom.XYZ, 4: geom.XYZM}[strideB], b)
		step := max(1, len(a)/strideA/mostCompared) * strideA
		for i := 0; i+strideA <= len(a); i += step {
			if s.ToGeometry(line, a[i:i+2]) > tol {
				return false
			}
		}
		return true
	}
	return near(a, strideA, b, strideB) && near(b, strideB, a, strideA)
}

// sameBox reports whether the shells' boxes are one within tol metres.
func (s Scale) sameBox(a, b *outline, tol float64) bool {
	scale := [2]float64{s.X, s.Y}
	for k := range scale {
		if math.Abs(a.low[k]-b.low[k])*scale[k] > tol || math.Abs(a.high[k]-b.high[k])*scale[k] > tol {
			return false
		}
	}
	return true
}

// Fill says what became of a geometry that fills outlines.
type Fill struct {
	// Outlines are the numbers of those that parts of it are one with.
	Outlines []int
	// Rest is what of it none of them has, nil for nothing.
	Rest geom.T
	// Differ are the numbers of outlines that have the shell of a part, but
	// other holes.
	Differ []int
}

// FillOf holds what fills an area, as a hatch does, against outlines: a part
// that is one of them within tol metres, holes and all, is not a second thing.
func (s Scale) FillOf(fill geom.T, outlines []geom.T, tol float64) Fill {
	out := Fill{Rest: fill}
	parts := outlinesOf(fill)
	left := parts[:0:0]
	for i := range parts {
		one := -1
		for k, g := range outlines {
			for _, o := range outlinesOf(g) {
				if one >= 0 || !s.sameBox(&parts[i], &o, tol) || !s.sameRing(parts[i].rings[0], parts[i].stride, o.rings[0], o.stride, tol) {
					continue
				}
				if s.sameHoles(&parts[i], &o, tol) {
					one = k
				} else {
					out.Differ = append(out.Differ, k)
				}
			}
		}
		if one >= 0 {
			out.Outlines = append(out.Outlines, one)
		} else {
			left = append(left, parts[i])
		}
	}
	switch {
	case len(left) == len(parts):
		return out
	case len(left) == 0:
		out.Rest = nil
		return out
	}
	rest := geom.NewMultiPolygon(fill.Layout())
	for _, o := range left {
		var flat []float64
		var ends []int
		for _, q := range o.rings {
			flat = append(flat, q...)
			ends = append(ends, len(flat))
		}
		_ = rest.Push(geom.NewPolygonFlat(fill.Layout(), flat, ends)) // of the same layout
	}
	if out.Rest = rest; len(left) == 1 {
		out.Rest = rest.Polygon(0)
	}
	return out
}

// sameHoles reports whether each hole of one is a hole of the other.
func (s Scale) sameHoles(a, b *outline, tol float64) bool {
	if len(a.rings) != len(b.rings) {
		return false
	}
	used := make([]bool, len(b.rings))
next:
	for _, h := range a.rings[1:] {
		for k, o := range b.rings {
			if k > 0 && !used[k] && s.sameRing(h, a.stride, o, b.stride, tol) {
				used[k] = true
				continue next
			}
		}
		return false
	}
	return true
}
