// Edits of a feature's geometry.

package edit

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// figure is a geometry taken apart: parts, rings of a part (one for a line, one
// point for a point), numbers of a ring.
type figure struct {
	layout geom.Layout
	dim    int // 0 points, 1 lines, 2 areas
	multi  bool
	parts  [][][]float64
}

// takeApart copies a geometry's numbers; ok is false for collections and for
// none.
func takeApart(g geom.T) (figure, bool) {
	if g == nil || g.Layout() == geom.NoLayout {
		return figure{}, false
	}
	f := figure{layout: g.Layout()}
	flat := append([]float64(nil), g.FlatCoords()...)
	cut := func(ends []int, from int) [][]float64 {
		var out [][]float64
		for _, e := range ends {
			out = append(out, flat[from:e:e])
			from = e
		}
		return out
	}
	switch g := g.(type) {
	case *geom.Point:
		f.parts = [][][]float64{{flat}}
	case *geom.MultiPoint:
		f.multi = true
		for _, r := range cut(g.Ends(), 0) {
			f.parts = append(f.parts, [][]float64{r})
		}
	case *geom.LineString:
		f.dim, f.parts = 1, [][][]float64{{flat}}
	case *geom.MultiLineString:
		f.dim, f.multi = 1, true
		for _, r := range cut(g.Ends(), 0) {
			f.parts = append(f.parts, [][]float64{r})
		}
	case *geom.Polygon:
		f.dim, f.parts = 2, [][][]float64{cut(g.Ends(), 0)}
	case *geom.MultiPolygon:
		f.dim, f.multi = 2, true
		from := 0
		for _, ends := range g.Endss() {
			f.parts = append(f.parts, cut(ends, from))
			if len(ends) > 0 {
				from = ends[len(ends)-1]
			}
		}
	default:
		return figure{}, false
	}
	return f, true
}

// together is the geometry of a figure.
func (f *figure) together() geom.T {
	var flat []float64
	var ends []int
	var endss [][]int
	for _, part := range f.parts {
		var inPart []int
		for _, r := range part {
			flat = append(flat, r...)
			ends = append(ends, len(flat))
			inPart = append(inPart, len(flat))
		}
		endss = append(endss, inPart)
	}
	switch {
	case f.dim == 0 && !f.multi:
		return geom.NewPointFlat(f.layout, flat)
	case f.dim == 0:
		return geom.NewMultiPointFlat(f.layout, flat, geom.NewMultiPointFlatOptionWithEnds(ends))
	case f.dim == 1 && !f.multi:
		return geom.NewLineStringFlat(f.layout, flat)
	case f.dim == 1:
		return geom.NewMultiLineStringFlat(f.layout, flat, ends)
	case !f.multi:
		return geom.NewPolygonFlat(f.layout, flat, ends)
	}
	return geom.NewMultiPolygonFlat(f.layout, flat, endss)
}

// closed tells whether a ring's last point is its first again, as read.
func closed(r []float64, stride int) bool {
	n := len(r)
	return n >= 2*stride && r[0] == r[n-stride] && r[1] == r[n-stride+1]
}

// count is how many points of a ring an edit counts.
func (f *figure) count(r []float64) int {
	stride := f.layout.Stride()
	n := len(r) / stride
	if f.dim == 2 && closed(r, stride) {
		n--
	}
	return n
}

// shape does what an edit says of a feature's geometry.
func shape(f *schema.Feature, e *Edit, o Options) ([]string, error) {
	var done []string
	if e.MovePoint != nil || e.InsertPoint != nil || e.RemovePoint != nil || e.Close || e.Reverse {
		g, ok := takeApart(f.Geometry)
		if !ok {
			return nil, &Error{Problem: fmt.Sprintf("%s has no geometry of one kind", f.Label())}
		}
		for _, step := range []struct {
			p  *PointEdit
			do func(*figure, *PointEdit) (string, error)
		}{{e.MovePoint, (*figure).move}, {e.InsertPoint, (*figure).insert}, {e.RemovePoint, (*figure).remove}} {
			if step.p == nil {
				continue
			}
			said, err := step.do(&g, step.p)
			if err != nil {
				return nil, err
			}
			done = append(done, said)
		}
		if e.Close {
			said, err := g.close()
			if err != nil {
				return nil, err
			}
			done = append(done, said)
		}
		if e.Reverse {
			g.reverse()
			done = append(done, "turned round")
		}
		f.Geometry = g.together()
		f.Attributes.Delete(schema.PropTimes) // no longer one for each point
	}
	if e.MoveOutlineM == nil {
		return done, nil
	}
	by := *e.MoveOutlineM
	if g, ok := takeApart(f.Geometry); !ok || g.dim != 2 {
		return nil, &Error{Problem: fmt.Sprintf("%s is no closed outline", f.Label()), Mend: "close it first"}
	}
	if math.Abs(by) > o.OffsetMaxM {
		return nil, &Error{Problem: fmt.Sprintf("an outline is moved by at most %g m at a time (offset_max_m), not %g", o.OffsetMaxM, by), Mend: "move it in steps, and look at each"}
	}
	if o.Offset == nil {
		return nil, &Error{Problem: "outlines cannot be moved here"}
	}
	moved, err := o.Offset(f, by)
	if err != nil {
		return nil, &Error{Problem: fmt.Sprintf("%s: %v", f.Label(), err)}
	}
	f.Geometry = moved
	f.Attributes.Delete(schema.PropTimes)
	way := "out"
	if by < 0 {
		way = "in"
	}
	return append(done, fmt.Sprintf("outline moved %s by %g m", way, math.Abs(by))), nil
}

// ring finds the ring of a point edit; last is the highest number of a point.
func (f *figure) ring(p *PointEdit, last int) (*[]float64, error) {
	if p.Part >= len(f.parts) || p.Ring >= len(f.parts[p.Part]) {
		return nil, &Error{Problem: fmt.Sprintf("it has no ring %d in part %d", p.Ring, p.Part)}
	}
	r := &f.parts[p.Part][p.Ring]
	if n := f.count(*r); p.Point > n-1+last {
		return nil, &Error{Problem: fmt.Sprintf("it has %d points there, counted from 0, so none of number %d", n, p.Point)}
	}
	return r, nil
}

func (f *figure) move(p *PointEdit) (string, error) {
	r, err := f.ring(p, 0)
	if err != nil {
		return "", err
	}
	stride := f.layout.Stride()
	again := f.dim == 2 && p.Point == 0 && closed(*r, stride)
	copy((*r)[p.Point*stride:], p.To[:])
	if again {
		copy((*r)[len(*r)-stride:], p.To[:])
	}
	return fmt.Sprintf("point %d moved", p.Point), nil
}

func (f *figure) insert(p *PointEdit) (string, error) {
	if f.dim == 0 {
		return "", &Error{Problem: "a point has one place only"}
	}
	r, err := f.ring(p, 1)
	if err != nil {
		return "", err
	}
	stride := f.layout.Stride()
	fresh := make([]float64, stride)
	for i := range fresh {
		fresh[i] = math.NaN() // a height that nobody measured
	}
	copy(fresh, p.To[:])
	at := p.Point * stride
	if at == 0 && f.dim == 2 && closed(*r, stride) {
		at = len(*r) - stride // before the first is behind the last
	}
	*r = append((*r)[:at:at], append(fresh, (*r)[at:]...)...)
	return fmt.Sprintf("point put in before %d", p.Point), nil
}

func (f *figure) remove(p *PointEdit) (string, error) {
	r, err := f.ring(p, 0)
	if err != nil {
		return "", err
	}
	least := f.dim + 1
	if n := f.count(*r); n <= least {
		return "", &Error{Problem: fmt.Sprintf("it has only %d points left there", n), Mend: "remove the whole feature instead"}
	}
	stride := f.layout.Stride()
	again := f.dim == 2 && p.Point == 0 && closed(*r, stride)
	at := p.Point * stride
	*r = append((*r)[:at:at], (*r)[at+stride:]...)
	if again {
		copy((*r)[len(*r)-stride:], (*r)[:stride])
	}
	return fmt.Sprintf("point %d taken out", p.Point), nil
}

// close makes outlines of lines, and closes rings that gape, by a straight line
// from the last point to the first.
func (f *figure) close() (string, error) {
	if f.dim == 0 {
		return "", &Error{Problem: "a point cannot be closed"}
	}
	stride := f.layout.Stride()
	n := 0
	for _, part := range f.parts {
		for i, r := range part {
			if closed(r, stride) {
				continue
			}
			if len(r)/stride < 3 {
				return "", &Error{Problem: "an outline has at least three points"}
			}
			part[i] = append(r[:len(r):len(r)], r[:stride]...)
			n++
		}
	}
	made := ""
	if f.dim == 1 {
		f.dim = 2
		made = ", now an outline"
	}
	if n == 0 {
		return "was closed already" + made, nil
	}
	return fmt.Sprintf("closed (%d gaps)%s", n, made), nil
}

// reverse turns rings and lines round; a closed ring keeps its first point
// first.
func (f *figure) reverse() {
	stride := f.layout.Stride()
	for _, part := range f.parts {
		for _, r := range part {
			from := 0
			n := len(r) / stride
			if f.dim == 2 {
				// The first point stays; a closing one is the same point again.
				from = 1
				n = f.count(r)
			}
			for i, k := from, n-1; i < k; i, k = i+1, k-1 {
				for s := range stride {
					r[i*stride+s], r[k*stride+s] = r[k*stride+s], r[i*stride+s]
				}
			}
		}
	}
}
