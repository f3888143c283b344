// Rings inside rings: which are holes of which.

package rings

import (
	"fmt"
	"math"
	"sort"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// nest is a single ring.
type nest struct {
	item       int
	flat       []float64
	stride     int
	size       float64
	low, high  [2]float64
	depth      int
	parent     int
	holes      []int
	curveValue schema.Value
}

// Nest makes holes of rings inside others: in an even number of others a ring
// is an area, in an odd number a hole of the smallest that holds it.
func Nest(pieces []*Piece) Nested {
	a := nester{pieces: pieces}
	a.nest()
	return a.Nested
}

// Nested is what Nest did.
type Nested struct {
	// Holes is how many rings became holes of others.
	Holes int
	// Crossings name rings that cross each other, the first 100.
	Crossings []string
	// Notes say what was given up.
	Notes []string
}

type nester struct {
	pieces []*Piece
	Nested
}

func (a *nester) nest() {
	var list []nest
	for i, it := range a.pieces {
		if it.Gone {
			continue
		}
		g, ok := it.Feature.Geometry.(*geom.Polygon)
		if !ok || g.NumLinearRings() != 1 {
			continue
		}
		n := nest{item: i, flat: g.FlatCoords(), stride: g.Stride(), parent: -1, curveValue: it.Feature.Attributes.Get(schema.PropCurve)}
		n.size = math.Abs(schema.TwiceArea(n.flat, n.stride))
		n.low, n.high = Box(n.flat, n.stride)
		list = append(list, n)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].size > list[j].size })
	for i := range list {
		for j := i - 1; j >= 0; j-- {
			out, in := &list[j], &list[i]
			if in.low[0] < out.low[0] || in.low[1] < out.low[1] || in.high[0] > out.high[0] || in.high[1] > out.high[1] {
				if cross(in, out) {
					a.crossing(in, out)
				}
				continue
			}
			if cross(in, out) {
				a.crossing(in, out)
				continue
			}
			if ringHolds(out, in) {
				in.parent, in.depth = j, out.depth+1
				break
			}
		}
	}
	for i := range list {
		if n := &list[i]; n.depth%2 == 1 {
			p := n.parent
			list[p].holes = append(list[p].holes, i)
			a.Holes++
		}
	}
	for i := range list {
		shell := &list[i]
		if len(shell.holes) == 0 {
			continue
		}
		f := a.pieces[shell.item].Feature
		layout := f.Geometry.Layout()
		flat := append([]float64(nil), shell.flat...)
		ends := []int{len(flat)}
		curves := []schema.Value{shell.curveValue}
		for _, k := range shell.holes {
			hole := &list[k]
			if hole.stride > shell.stride && layout == geom.XY {
				flat, ends = raise(flat, ends)
				layout, shell.stride = geom.XYZ, 3
			}
			for v := 0; v < len(hole.flat); v += hole.stride {
				flat = append(flat, hole.flat[v], hole.flat[v+1])
				if shell.stride == 3 {
					h := math.NaN()
					if hole.stride == 3 {
						h = hole.flat[v+2]
					}
					flat = append(flat, h)
				}
			}
			ends = append(ends, len(flat))
			curves = append(curves, hole.curveValue)
			gone := a.pieces[hole.item]
			gone.Gone = true
			if gone.Feature.Name != "" {
				a.Notes = append(a.Notes, fmt.Sprintf("the hole %q of %q has no name of its own any more", gone.Feature.Name, Label(f)))
			}
		}
		f.Geometry = geom.NewPolygonFlat(layout, flat, ends)
		f.Attributes = f.Attributes.Clone()
		bent := false
		for k := range curves {
			if curves[k].Kind() == schema.KindObject {
				bent = true
			} else {
				curves[k] = schema.Null()
			}
		}
		if bent {
			f.Attributes.Set(schema.PropCurve, schema.List(curves...))
		}
	}
}

func (a *nester) crossing(in, out *nest) {
	if len(a.Crossings) < 100 {
		a.Crossings = append(a.Crossings, fmt.Sprintf("the outlines %q and %q cross, so neither is a hole of the other", Label(a.pieces[in.item].Feature), Label(a.pieces[out.item].Feature)))
	}
}

// raise gives a flat ring heights that are not known.
func raise(flat []float64, ends []int) ([]float64, []int) {
	var out []float64
	for v := 0; v < len(flat); v += 2 {
		out = append(out, flat[v], flat[v+1], math.NaN())
	}
	for i := range ends {
		ends[i] = ends[i] / 2 * 3
	}
	return out, ends
}

// cross reports whether the outlines of two rings cut through each other.
// Touching is no crossing. Whether a plan is valid is for the check to say;
// this only keeps a ring from becoming a hole that it is not.
func cross(p, q *nest) bool {
	if p.high[0] < q.low[0] || q.high[0] < p.low[0] || p.high[1] < q.low[1] || q.high[1] < p.low[1] {
		return false
	}
	if straddles(p, q) || straddles(q, p) {
		return true
	}
	for i := p.stride; i < len(p.flat); i += p.stride {
		a, b := p.flat[i-p.stride:i], p.flat[i:]
		if math.Max(a[0], b[0]) < q.low[0] || math.Min(a[0], b[0]) > q.high[0] || math.Max(a[1], b[1]) < q.low[1] || math.Min(a[1], b[1]) > q.high[1] {
			continue
		}
		for k := q.stride; k < len(q.flat); k += q.stride {
			c, d := q.flat[k-q.stride:k], q.flat[k:]
			if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
				return true
			}
		}
	}
	return false
}

// straddles reports whether p has corners or middles of sides both inside and
// outside q, as rings have that overlap along a common line.
func straddles(p, q *nest) bool {
	in, out := false, false
	for i := p.stride; i < len(p.flat) && !(in && out); i += p.stride {
		a, b := p.flat[i-p.stride:i], p.flat[i:]
		for _, v := range [...][2]float64{{a[0], a[1]}, {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}} {
			switch place(q.flat, q.stride, v[:]) {
			case 1:
				in = true
			case -1:
				out = true
			}
		}
	}
	return in && out
}

// ringHolds reports whether the ring in, which does not cross out, lies in it:
// its first corner off out's outline tells.
func ringHolds(out, in *nest) bool {
	for v := 0; v < len(in.flat); v += in.stride {
		switch place(out.flat, out.stride, in.flat[v:]) {
		case 1:
			return true
		case -1:
			return false
		}
	}
	return false // the same outline
}
