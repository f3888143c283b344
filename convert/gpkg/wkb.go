// Geometry: the GeoPackage's header and well-known binary (ISO 13249-3, as OGC
// 12-128 clause 2.1.3 has it).

package gpkg

import (
	"encoding/binary"
	"fmt"
	"math"
	"sync"

	"github.com/twpayne/go-geom"
)

// The geometry types of well-known binary.
const (
	wkbPoint = 1 + iota
	wkbLineString
	wkbPolygon
	wkbMultiPoint
	wkbMultiLineString
	wkbMultiPolygon
	wkbCollection
)

// envelopes is the number of bytes by the flag's envelope indicator.
var envelopes = [...]int{0, 32, 48, 48, 64}

// decoder reads one blob.
type decoder struct {
	b        []byte
	room     float64 // vertices that may still come
	nesting  int
	measures bool
}

type geometryError struct{ problem string }

func (e *geometryError) Error() string { return e.problem }

func badf(format string, args ...any) error { return &geometryError{fmt.Sprintf(format, args...)} }

// blob reads a GeoPackage geometry: its header, then well-known binary.
func (d *decoder) blob() (geom.T, error) {
	b := d.b
	if len(b) < 8 || b[0] != 'G' || b[1] != 'P' {
		return nil, badf("the geometry is no GeoPackage geometry")
	}
	indicator := int(b[3] >> 1 & 7)
	if b[3]&0x20 != 0 {
		return nil, badf("the geometry is of an extended type, which is not read")
	}
	if indicator >= len(envelopes) || len(b) < 8+envelopes[indicator] {
		return nil, badf("the geometry's envelope makes no sense")
	}
	d.b = b[8+envelopes[indicator]:]
	g, err := d.geometry(0)
	if err != nil {
		return nil, err
	}
	if len(d.b) > 0 {
		return nil, badf("%d bytes stand behind the geometry", len(d.b))
	}
	return g, nil
}

var errCut = badf("the geometry is cut off")

func (d *decoder) whole(o binary.ByteOrder) (int, error) {
	if len(d.b) < 4 {
		return 0, errCut
	}
	n := o.Uint32(d.b)
	d.b = d.b[4:]
	// Every item that a count announces takes at least 4 bytes.
	if int64(n) > int64(len(d.b)/4) {
		return 0, errCut
	}
	return int(n), nil
}

var curveNames = sync.OnceValue(func() map[uint32]string {
	return map[uint32]string{8: "CIRCULARSTRING", 9: "COMPOUNDCURVE", 10: "CURVEPOLYGON", 11: "MULTICURVE", 12: "MULTISURFACE", 13: "CURVE", 14: "SURFACE", 15: "POLYHEDRALSURFACE", 16: "TIN", 17: "TRIANGLE"}
})

func (d *decoder) geometry(depth int) (geom.T, error) {
	if depth > d.nesting {
		return nil, badf("collections are nested deeper than the limit input_max_nesting (%d)", d.nesting)
	}
	if len(d.b) < 5 {
		return nil, errCut
	}
	var o binary.ByteOrder = binary.BigEndian
	if d.b[0] == 1 {
		o = binary.LittleEndian
	} else if d.b[0] != 0 {
		return nil, badf("the geometry's byte order is %d", d.b[0])
	}
	t := o.Uint32(d.b[1:])
	d.b = d.b[5:]
	z, m := t&0x80000000 != 0, t&0x40000000 != 0 // as older writers mark them
	t &= 0x0fffffff
	switch t / 1000 {
	case 1:
		z = true
	case 2:
		m = true
	case 3:
		z, m = true, true
	}
	v := vertexForm{o: o, size: 16, layout: geom.XY}
	if z {
		v.size, v.layout = v.size+8, geom.XYZ
	}
	if m {
		v.size += 8
		d.measures = true
	}
	switch t % 1000 {
	case wkbPoint:
		flat, err := d.vertices(nil, v, 1)
		if err != nil {
			return nil, err
		}
		if math.IsNaN(flat[0]) && math.IsNaN(flat[1]) {
			return geom.NewPointEmpty(v.layout), nil
		}
		return geom.NewPointFlat(v.layout, flat), nil
	case wkbLineString:
		flat, _, err := d.lines(v, 1)
		if err != nil {
			return nil, err
		}
		return geom.NewLineStringFlat(v.layout, flat), nil
	case wkbPolygon:
		n, err := d.whole(o)
		if err != nil {
			return nil, err
		}
		flat, ends, err := d.lines(v, n)
		if err != nil {
			return nil, err
		}
		return geom.NewPolygonFlat(v.layout, flat, ends), nil
	case wkbMultiPoint, wkbMultiLineString, wkbMultiPolygon, wkbCollection:
		return d.collection(t%1000, v, depth)
	}
	if name := curveNames()[t%1000]; name != "" {
		return nil, badf("the geometry is a %s, which is not read: have it exported with straight lines", name)
	}
	return nil, badf("there is no geometry type %d", t)
}

// vertexForm says how a vertex stands in the bytes.
type vertexForm struct {
	o      binary.ByteOrder
	size   int
	layout geom.Layout
}

func (d *decoder) vertices(dst []float64, v vertexForm, n int) ([]float64, error) {
	if n > len(d.b)/v.size {
		return nil, errCut
	}
	if d.room -= float64(n); d.room < 0 {
		return nil, badf("there are more points than the limit input_max_vertices")
	}
	stride := v.layout.Stride()
	for range n {
		for k := range stride {
			dst = append(dst, math.Float64frombits(v.o.Uint64(d.b[8*k:])))
		}
		d.b = d.b[v.size:]
	}
	return dst, nil
}

func (d *decoder) lines(v vertexForm, n int) (flat []float64, ends []int, err error) {
	for range n {
		count, err := d.whole(v.o)
		if err != nil {
			return nil, nil, err
		}
		if flat, err = d.vertices(flat, v, count); err != nil {
			return nil, nil, err
		}
		ends = append(ends, len(flat))
	}
	return flat, ends, nil
}

func (d *decoder) collection(t uint32, v vertexForm, depth int) (geom.T, error) {
	n, err := d.whole(v.o)
	if err != nil {
		return nil, err
	}
	all := geom.NewGeometryCollection()
	var flat []float64
	var ends []int
	var endss [][]int
	for range n {
		g, err := d.geometry(depth + 1)
		if err != nil {
			return nil, err
		}
		if t == wkbCollection {
			if err := all.Push(g); err != nil {
				return nil, badf("%v", err)
			}
			continue
		}
		if g.Layout() != v.layout {
			return nil, badf("a part of the geometry has other dimensions than the whole")
		}
		at := len(flat)
		switch g := g.(type) {
		case *geom.Point:
			if t != wkbMultiPoint {
				return nil, badf("a point stands in a geometry of type %d", t)
			}
			ends = append(ends, at+len(g.FlatCoords()))
		case *geom.LineString:
			if t != wkbMultiLineString {
				return nil, badf("a line stands in a geometry of type %d", t)
			}
			ends = append(ends, at+len(g.FlatCoords()))
		case *geom.Polygon:
			if t != wkbMultiPolygon {
				return nil, badf("a polygon stands in a geometry of type %d", t)
			}
			e := make([]int, len(g.Ends()))
			for i, end := range g.Ends() {
				e[i] = at + end
			}
			endss = append(endss, e)
		default:
			return nil, badf("a collection stands in a geometry of type %d", t)
		}
		flat = append(flat, g.FlatCoords()...)
	}
	switch t {
	case wkbMultiPoint:
		return geom.NewMultiPointFlat(v.layout, flat, geom.NewMultiPointFlatOptionWithEnds(ends)), nil
	case wkbMultiLineString:
		return geom.NewMultiLineStringFlat(v.layout, flat, ends), nil
	case wkbMultiPolygon:
		return geom.NewMultiPolygonFlat(v.layout, flat, endss), nil
	}
	return all, nil
}

// extent is the envelope of what was written.
type extent struct{ minX, minY, maxX, maxY float64 }

func noExtent() extent {
	return extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
}

func (e *extent) add(x, y float64) {
	e.minX, e.maxX = math.Min(e.minX, x), math.Max(e.maxX, x)
	e.minY, e.maxY = math.Min(e.minY, y), math.Max(e.maxY, y)
}

func (e *extent) empty() bool { return e.minX > e.maxX }

// encode gives the blob of a geometry, little-endian with an envelope of x and
// y unless it is empty, and widens all by it.
func encode(g geom.T, srs int32, all *extent) ([]byte, error) {
	le := binary.LittleEndian
	e := noExtent()
	body, err := appendWKB(nil, g, &e)
	if err != nil {
		return nil, err
	}
	out := []byte{'G', 'P', 0, 1}
	if e.empty() {
		out[3] |= 0x10
	} else {
		out[3] |= 1 << 1
		all.add(e.minX, e.minY)
		all.add(e.maxX, e.maxY)
	}
	out = le.AppendUint32(out, uint32(srs))
	if !e.empty() {
		for _, v := range []float64{e.minX, e.maxX, e.minY, e.maxY} {
			out = le.AppendUint64(out, math.Float64bits(v))
		}
	}
	return append(out, body...), nil
}

func appendWKB(dst []byte, g geom.T, e *extent) ([]byte, error) {
	le := binary.LittleEndian
	if c, ok := g.(*geom.GeometryCollection); ok {
		return appendCollection(dst, c, e)
	}
	stride, flat := g.Stride(), g.FlatCoords()
	put := func(t uint32, layout geom.Layout) {
		if layout.ZIndex() >= 0 {
			t += 1000
		}
		dst = le.AppendUint32(append(dst, 1), t)
	}
	count := func(n int) { dst = le.AppendUint32(dst, uint32(n)) }
	var bad error
	vertices := func(from, to int) {
		for i := from; i+stride <= to; i += stride {
			x, y := flat[i], flat[i+1]
			if x-x != 0 || y-y != 0 {
				bad = fmt.Errorf("a point at %v, %v is not finite", x, y)
				return
			}
			e.add(x, y)
			dst = le.AppendUint64(le.AppendUint64(dst, math.Float64bits(x)), math.Float64bits(y))
			if z := g.Layout().ZIndex(); z >= 0 {
				if math.IsInf(flat[i+z], 0) {
					bad = fmt.Errorf("the height %v is not finite", flat[i+z])
				}
				dst = le.AppendUint64(dst, math.Float64bits(flat[i+z]))
			}
		}
	}
	line := func(t uint32, from, to int) {
		if t != 0 {
			put(t, g.Layout())
		}
		count((to - from) / max(stride, 1))
		vertices(from, to)
	}
	polygon := func(from int, ends []int) {
		put(wkbPolygon, g.Layout())
		count(len(ends))
		for _, end := range ends {
			line(0, from, end)
			from = end
		}
	}
	point := func(from, to int) {
		put(wkbPoint, g.Layout())
		if from == to { // an empty point is all NaN
			for range max(stride, 2) {
				dst = le.AppendUint64(dst, math.Float64bits(math.NaN()))
			}
			return
		}
		vertices(from, to)
	}
	switch g := g.(type) {
	case *geom.Point:
		point(0, len(flat))
	case *geom.LineString, *geom.LinearRing:
		line(wkbLineString, 0, len(flat))
	case *geom.Polygon:
		polygon(0, g.Ends())
	case *geom.MultiPoint:
		put(wkbMultiPoint, g.Layout())
		count(len(g.Ends()))
		from := 0
		for _, end := range g.Ends() {
			point(from, end)
			from = end
		}
	case *geom.MultiLineString:
		put(wkbMultiLineString, g.Layout())
		count(len(g.Ends()))
		from := 0
		for _, end := range g.Ends() {
			line(wkbLineString, from, end)
			from = end
		}
	case *geom.MultiPolygon:
		put(wkbMultiPolygon, g.Layout())
		count(len(g.Endss()))
		from := 0
		for _, ends := range g.Endss() {
			polygon(from, ends)
			if len(ends) > 0 {
				from = ends[len(ends)-1]
			}
		}
	default:
		return nil, fmt.Errorf("a geometry of type %T is none that a plan holds", g)
	}
	return dst, bad
}

// appendCollection writes a collection. The whole is said to have no heights;
// parts say their own.
func appendCollection(dst []byte, c *geom.GeometryCollection, e *extent) ([]byte, error) {
	le := binary.LittleEndian
	dst = le.AppendUint32(append(dst, 1), wkbCollection)
	dst = le.AppendUint32(dst, uint32(len(c.Geoms())))
	for _, part := range c.Geoms() {
		var err error
		if dst, err = appendWKB(dst, part, e); err != nil {
			return nil, err
		}
	}
	return dst, nil
}
