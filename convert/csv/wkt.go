// Well-known text (OGC 06-103r4 section 7): geometries as one cell.

package csv

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
)

// wktError is a fault in well-known text, at a byte offset from its start.
type wktError struct {
	offset  int
	problem string
}

func (e *wktError) Error() string { return fmt.Sprintf("%s (character %d)", e.problem, e.offset+1) }

// wktReader reads geometries; its scratch serves one after the other.
type wktReader struct {
	d        []byte
	i        int
	flat     []float64
	ends     []int
	nesting  int // deepest nesting of collections
	measures int // vertices whose M was left out
}

// parse reads one whole geometry. Errors are *wktError.
func (p *wktReader) parse(text []byte) (geom.T, error) {
	p.d, p.i = text, 0
	g, err := p.geometry(0)
	if err != nil {
		return nil, err
	}
	p.space()
	if p.i != len(p.d) {
		return nil, p.fail("%q stands behind the geometry", wire.Clip(p.d[p.i:], 40))
	}
	return g, nil
}

func (p *wktReader) fail(format string, args ...any) error {
	return &wktError{p.i, fmt.Sprintf(format, args...)}
}

func (p *wktReader) space() {
	for p.i < len(p.d) && (p.d[p.i] == ' ' || p.d[p.i] == '\t' || p.d[p.i] == '\n' || p.d[p.i] == '\r') {
		p.i++
	}
}

// word reads letters, in capitals.
func (p *wktReader) word() string {
	p.space()
	var buf [24]byte
	n := 0
	for p.i < len(p.d) && n < len(buf) {
		c := p.d[p.i] &^ 0x20
		if c < 'A' || c > 'Z' {
			break
		}
		buf[n] = c
		n++
		p.i++
	}
	return string(buf[:n])
}

// peek returns the next byte that is no white space, 0 at the end.
func (p *wktReader) peek() byte {
	p.space()
	if p.i < len(p.d) {
		return p.d[p.i]
	}
	return 0
}

func (p *wktReader) accept(c byte) bool {
	if p.peek() != c {
		return false
	}
	p.i++
	return true
}

// empty reads the word EMPTY if it stands next.
func (p *wktReader) empty() bool {
	if c := p.peek(); c != 'E' && c != 'e' {
		return false
	}
	at := p.i
	if p.word() == "EMPTY" {
		return true
	}
	p.i = at
	return false
}

// dimensions of a geometry: numbers a vertex, and which of them is kept.
type dimensions struct {
	numbers int // 0 until known
	z, m    bool
	tagged  bool
}

func (d dimensions) layout() geom.Layout {
	if d.z {
		return geom.XYZ
	}
	return geom.XY
}

// dimensions takes Z, M or ZM off a geometry's name, or reads it behind it.
func (p *wktReader) dimensions(name string) (string, dimensions) {
	var dim dimensions
	for _, suffix := range [...]struct {
		text string
		z, m bool
	}{{"ZM", true, true}, {"Z", true, false}, {"M", false, true}} {
		if n := len(name) - len(suffix.text); n > 4 && name[n:] == suffix.text && name != "EMPTY" {
			name = name[:n]
			dim = dimensions{z: suffix.z, m: suffix.m, tagged: true}
			break
		}
	}
	if !dim.tagged {
		before := p.i
		switch p.word() {
		case "ZM":
			dim = dimensions{z: true, m: true, tagged: true}
		case "Z":
			dim = dimensions{z: true, tagged: true}
		case "M":
			dim = dimensions{m: true, tagged: true}
		default:
			p.i = before
		}
	}
	if dim.tagged {
		dim.numbers = 2
		if dim.z {
			dim.numbers++
		}
		if dim.m {
			dim.numbers++
		}
	}
	return name, dim
}

func (p *wktReader) geometry(depth int) (geom.T, error) {
	at := p.i
	name := p.word()
	name, dim := p.dimensions(name)
	p.flat, p.ends = p.flat[:0], p.ends[:0]
	switch name {
	case "POINT":
		if !p.empty() {
			if err := p.bracketed(func() error { return p.vertex(&dim) }); err != nil {
				return nil, err
			}
		}
		return geom.NewPointFlat(dim.layout(), p.copied()), nil
	case "LINESTRING", "LINEARRING":
		if err := p.line(&dim); err != nil {
			return nil, err
		}
		if name == "LINEARRING" {
			return geom.NewLinearRingFlat(dim.layout(), p.copied()), nil
		}
		return geom.NewLineStringFlat(dim.layout(), p.copied()), nil
	case "POLYGON", "MULTILINESTRING":
		if err := p.lines(&dim); err != nil {
			return nil, err
		}
		ends := append(make([]int, 0, len(p.ends)), p.ends...)
		if name == "POLYGON" {
			return geom.NewPolygonFlat(dim.layout(), p.copied(), ends), nil
		}
		return geom.NewMultiLineStringFlat(dim.layout(), p.copied(), ends), nil
	case "MULTIPOINT":
		if !p.empty() {
			if err := p.listed(func() error { return p.multiPoint(&dim) }); err != nil {
				return nil, err
			}
		}
		ends := append(make([]int, 0, len(p.ends)), p.ends...)
		return geom.NewMultiPointFlat(dim.layout(), p.copied(), geom.NewMultiPointFlatOptionWithEnds(ends)), nil
	case "MULTIPOLYGON":
		var endss [][]int
		if !p.empty() {
			err := p.listed(func() error {
				first := len(p.ends)
				if err := p.lines(&dim); err != nil {
					return err
				}
				endss = append(endss, append(make([]int, 0, len(p.ends)-first), p.ends[first:]...))
				return nil
			})
			if err != nil {
				return nil, err
			}
		}
		return geom.NewMultiPolygonFlat(dim.layout(), p.copied(), endss), nil
	case "GEOMETRYCOLLECTION":
		if depth >= p.nesting {
			return nil, p.fail("collections are nested deeper than the limit input_max_nesting (%d)", p.nesting)
		}
		c := geom.NewGeometryCollection()
		if !p.empty() {
			err := p.listed(func() error {
				g, err := p.geometry(depth + 1)
				if err == nil {
					err = c.Push(g)
				}
				return err
			})
			if err != nil {
				return nil, err
			}
		}
		return c, nil
	}
	p.i = at
	p.space()
	switch {
	case p.i == len(p.d):
		return nil, p.fail("the text ends where a geometry should stand")
	case name == "":
		return nil, p.fail("%q stands where a geometry such as POLYGON should", wire.Clip(p.d[p.i:], 40))
	}
	return nil, p.fail("%s is no geometry that a plan holds; POINT, LINESTRING, POLYGON, their MULTI forms and GEOMETRYCOLLECTION are", name)
}

// copied returns the coordinates in a slice of their own, nil for none.
func (p *wktReader) copied() []float64 {
	if len(p.flat) == 0 {
		return nil
	}
	return append(make([]float64, 0, len(p.flat)), p.flat...)
}

func (p *wktReader) bracketed(inside func() error) error {
	if !p.accept('(') {
		return p.fail("a ( should stand here")
	}
	if err := inside(); err != nil {
		return err
	}
	if !p.accept(')') {
		return p.fail("a ) should stand here")
	}
	return nil
}

// listed reads ( item, item ... ).
func (p *wktReader) listed(item func() error) error {
	return p.bracketed(func() error {
		for {
			if err := item(); err != nil {
				return err
			}
			if !p.accept(',') {
				return nil
			}
		}
	})
}

func (p *wktReader) multiPoint(dim *dimensions) error {
	var err error
	switch {
	case p.empty():
	case p.peek() == '(':
		err = p.bracketed(func() error { return p.vertex(dim) })
	default: // MULTIPOINT (1 2, 3 4) of older writers
		err = p.vertex(dim)
	}
	p.ends = append(p.ends, len(p.flat))
	return err
}

// lines reads a list of lines or rings and notes their ends.
func (p *wktReader) lines(dim *dimensions) error {
	if p.empty() {
		return nil
	}
	return p.listed(func() error {
		err := p.line(dim)
		p.ends = append(p.ends, len(p.flat))
		return err
	})
}

func (p *wktReader) line(dim *dimensions) error {
	if p.empty() {
		return nil
	}
	if !p.accept('(') {
		return p.fail("a ( should stand here")
	}
	for {
		if err := p.vertex(dim); err != nil {
			return err
		}
		switch c := p.peek(); c {
		case ',':
			p.i++
		case ')':
			p.i++
			return nil
		case 0:
			return p.fail("the text ends inside a list of points")
		default:
			return p.fail("%q stands where a comma or ) should", c)
		}
	}
}

// vertex reads the numbers of one vertex. Without a tag the first vertex of a
// geometry decides how many there are.
func (p *wktReader) vertex(dim *dimensions) error {
	var v [4]float64
	n := 0
	at := p.i
	for n < 4 {
		p.space()
		from := p.i
		for p.i < len(p.d) {
			if c := p.d[p.i]; c == ' ' || c == ',' || c == ')' || c == '(' || c == '\n' || c == '\t' || c == '\r' {
				break
			}
			p.i++
		}
		if p.i == from {
			break
		}
		token := p.d[from:p.i]
		f, ok := wire.ParseFloat(token)
		if !ok {
			isHeight := n == 2 && (dim.z || !dim.tagged)
			isMeasure := n > 1 && dim.m && n == dim.numbers-1
			if !(isHeight || isMeasure) || !isNaNWord(token) {
				p.i = from
				return p.fail("%q is no number", wire.Clip(token, 40))
			}
			f = math.NaN() // no height here, which is not height 0
		}
		v[n] = f
		n++
	}
	if dim.numbers == 0 {
		dim.numbers = n
		dim.z = n > 2
		dim.m = n > 3
	}
	if n != dim.numbers || n < 2 {
		p.i = at
		p.space()
		if n < 2 {
			return p.fail("a point should stand here")
		}
		return p.fail("the point has %d numbers, the geometry %d a point", n, dim.numbers)
	}
	p.flat = append(p.flat, v[0], v[1])
	if dim.z {
		p.flat = append(p.flat, v[2])
	}
	if dim.m {
		p.measures++
	}
	return nil
}

func isNaNWord(b []byte) bool {
	return len(b) == 3 && b[0]|0x20 == 'n' && b[1]|0x20 == 'a' && b[2]|0x20 == 'n'
}

// appendWKT appends a geometry as well-known text, coordinates with the given
// number of decimals, NaN where a vertex has no height. Measures are left out.
// It is an error when a coordinate is not finite.
func appendWKT(dst []byte, g geom.T, decimals int) ([]byte, error) {
	w := wktWriter{out: dst, decimals: decimals}
	w.geometry(g)
	return w.out, w.err
}

type wktWriter struct {
	out      []byte
	decimals int
	err      error
}

func (w *wktWriter) put(s string) { w.out = append(w.out, s...) }

func (w *wktWriter) geometry(g geom.T) {
	switch g := g.(type) {
	case *geom.Point:
		w.tag("POINT", g)
		w.line(g, 0, len(g.FlatCoords()))
	case *geom.LineString:
		w.tag("LINESTRING", g)
		w.line(g, 0, len(g.FlatCoords()))
	case *geom.LinearRing:
		w.tag("LINEARRING", g)
		w.line(g, 0, len(g.FlatCoords()))
	case *geom.Polygon:
		w.tag("POLYGON", g)
		w.lines(g, 0, g.Ends())
	case *geom.MultiLineString:
		w.tag("MULTILINESTRING", g)
		w.lines(g, 0, g.Ends())
	case *geom.MultiPoint:
		w.tag("MULTIPOINT", g)
		w.lines(g, 0, g.Ends())
	case *geom.MultiPolygon:
		w.tag("MULTIPOLYGON", g)
		if len(g.Endss()) == 0 {
			w.put("EMPTY")
			return
		}
		start := 0
		for i, ends := range g.Endss() {
			w.put(separator(i))
			w.lines(g, start, ends)
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
		}
		w.put(")")
	case *geom.GeometryCollection:
		w.put("GEOMETRYCOLLECTION ")
		if g.NumGeoms() == 0 {
			w.put("EMPTY")
			return
		}
		for i, part := range g.Geoms() {
			w.put(separator(i))
			w.geometry(part)
		}
		w.put(")")
	default:
		w.err = fmt.Errorf("a geometry of type %T is none that a plan holds", g)
	}
}

func separator(i int) string {
	if i == 0 {
		return "("
	}
	return ","
}

func (w *wktWriter) tag(name string, g geom.T) {
	w.put(name)
	if g.Layout().ZIndex() >= 0 {
		w.put(" Z")
	}
	w.put(" ")
}

func (w *wktWriter) lines(g geom.T, start int, ends []int) {
	if len(ends) == 0 {
		w.put("EMPTY")
		return
	}
	for i, end := range ends {
		w.put(separator(i))
		w.line(g, start, end)
		start = end
	}
	w.put(")")
}

func (w *wktWriter) line(g geom.T, from, to int) {
	flat, stride, z := g.FlatCoords(), g.Stride(), g.Layout().ZIndex()
	if from == to || stride < 2 {
		w.put("EMPTY")
		return
	}
	w.out = append(w.out, '(')
	for i := from; i+stride <= to; i += stride {
		if i > from {
			w.out = append(w.out, ',')
		}
		x, y := flat[i], flat[i+1]
		if !finite(x) || !finite(y) {
			w.err = fmt.Errorf("a point at %v, %v is not finite", x, y)
			return
		}
		w.out = wire.AppendFixed(w.out, x, w.decimals)
		w.out = append(w.out, ' ')
		w.out = wire.AppendFixed(w.out, y, w.decimals)
		if z >= 0 {
			w.out = append(w.out, ' ')
			switch h := flat[i+z]; {
			case h != h:
				w.out = append(w.out, "NaN"...)
			case finite(h):
				w.out = wire.AppendFixed(w.out, h, wire.LengthDecimals)
			default:
				w.err = fmt.Errorf("the height %v is not finite", h)
			}
		}
	}
	w.out = append(w.out, ')')
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
