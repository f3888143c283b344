// The points layout: a row a vertex, rows of one feature together, their place
// in it told by part, ring and seq.

package csv

import (
	"bytes"
	"math"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// absent stands for an empty part, ring or seq cell.
const absent = -1

// place is where in its feature a vertex stands.
type place struct{ part, ring, seq int }

func (p place) sameKind(q place) bool {
	return (p.part == absent) == (q.part == absent) && (p.ring == absent) == (q.ring == absent) && (p.seq == absent) == (q.seq == absent)
}

func (p place) after(q place) bool {
	if p.part != q.part {
		return p.part > q.part
	}
	if p.ring != q.ring {
		return p.ring > q.ring
	}
	return p.seq > q.seq
}

// run is the feature whose rows are being read.
type run struct {
	feature        *schema.Feature
	id, role, name []byte
	at             place
	first          place
	flat           []float64 // x y h, NaN for no height
	ends           []int     // vertices up to and with each finished line or ring
	parts          []int     // ends up to and with each finished part
	rows           int
	implied        bool                   // joined because ids and roles agree, not because part, ring or seq say so
	varying        map[int][]schema.Value // attribute columns that later rows fill too, by column
}

// vertex reads the row's coordinates; ok is false when all of them are empty.
func (r *reader) vertex() (x, y, h float64, ok bool, err error) {
	h = math.NaN()
	tx, ty := r.cells[r.lay.x].text, r.cells[r.lay.y].text
	var th []byte
	if r.lay.h >= 0 {
		th = r.cells[r.lay.h].text
	}
	if len(tx) == 0 && len(ty) == 0 && len(th) == 0 {
		return 0, 0, h, false, nil
	}
	if len(tx) == 0 || len(ty) == 0 {
		return 0, 0, h, false, r.fail("fill in both, or neither", "the point has only one of %q and %q", r.lay.columns[r.lay.x].header, r.lay.columns[r.lay.y].header)
	}
	if x, err = r.coordinate(r.lay.x, r.axisOf(axisLon)); err != nil {
		return 0, 0, h, false, err
	}
	if y, err = r.coordinate(r.lay.y, r.axisOf(axisLat)); err != nil {
		return 0, 0, h, false, err
	}
	if len(th) > 0 && !isNaNWord(th) {
		if h, err = r.coordinate(r.lay.h, axisPlane); err != nil {
			return 0, 0, h, false, err
		}
		if noHeights()[h] && !r.lay.own {
			r.warn("height-none", r.line, "a height of %v stands for none; it was left out", h)
			h = math.NaN()
		}
	}
	if r.lay.columns[r.lay.x].negated {
		x = 0 - x
	}
	if r.lay.columns[r.lay.y].negated {
		y = 0 - y
	}
	x, y, h = x*r.scale, y*r.scale, h*r.heightScale
	if !finite(x) || !finite(y) || math.IsInf(h, 0) {
		return 0, 0, h, false, r.fail("check the unit", "the point is too far out for a number")
	}
	return x, y, h, true, r.countVertices(1)
}

func (r *reader) coordinate(column int, on axis) (float64, error) {
	v, err := r.manner.coordinate(r.plainCell(r.cells[column].text, on), on)
	if err == nil || err == errAnotherManner && r.manner == pointManner {
		return v, err
	}
	mend := "write decimal degrees, or degrees, minutes and seconds"
	if on == axisPlane {
		mend = "write a plain number"
	}
	if v, ok := r.manner.number(r.cells[column].text); ok && on == axisLat && math.Abs(v) > 90 && math.Abs(v) <= 180 {
		mend = "longitude and latitude look swapped"
	}
	return 0, r.fail(mend, "%q in the column %q: %v", wire.Clip(r.cells[column].text, 40), r.lay.columns[column].header, err)
}

// plainCell takes the unit off a length that is in metres anyway.
func (r *reader) plainCell(text []byte, on axis) []byte {
	if on != axisPlane || r.lay.own || r.planeUnit != "" && r.planeUnit != "m" {
		return text
	}
	return withoutMetres(text)
}

// counter reads a part, ring or seq cell.
func (r *reader) counter(kind columnKind) (int, error) {
	text := r.text(kind)
	if len(text) == 0 {
		return absent, nil
	}
	n := 0
	for _, c := range text {
		if c < '0' || c > '9' || n > math.MaxInt32 {
			return 0, r.fail("number them 1, 2, 3", "%q in the column %q is no whole number", wire.Clip(text, 40), r.lay.columns[r.lay.at[kind]].header)
		}
		n = n*10 + int(c-'0')
	}
	return n, nil
}

func (r *reader) pointRow() error {
	if r.lay.at[colWKT] >= 0 && len(r.text(colWKT)) > 0 {
		if err := r.endRun(); err != nil {
			return err
		}
		_, err := r.wktRow()
		return err
	}
	var x, y, h float64
	var ok bool
	var err error
	if r.lay.x >= 0 {
		if x, y, h, ok, err = r.vertex(); err != nil {
			return err
		}
	}
	if !ok { // a feature without a geometry
		if err := r.endRun(); err != nil {
			return err
		}
		f, err := r.newFeature()
		if err != nil {
			return err
		}
		return r.describeFeature(f)
	}
	var at place
	if at.part, err = r.counter(colPart); err != nil {
		return err
	}
	if at.ring, err = r.counter(colRing); err != nil {
		return err
	}
	if at.seq, err = r.counter(colSeq); err != nil {
		return err
	}
	c := &r.run
	same := c.feature != nil && bytes.Equal(c.id, r.text(colID)) && bytes.Equal(c.role, r.text(colRole)) && bytes.Equal(c.name, r.text(colName))
	if r.lay.at[colSeq] < 0 { // the rows stand in order
		at.seq = 1
		if same && at.part == c.at.part && at.ring == c.at.ring {
			at.seq = c.at.seq + 1
		}
	}
	if same && at.sameKind(c.at) && at.after(c.at) {
		if err := r.nextVertex(at); err != nil {
			return err
		}
	} else {
		if err := r.startRun(at, same); err != nil {
			return err
		}
	}
	c.at = at
	c.rows++
	c.flat = append(c.flat, x, y, h)
	if !r.lay.own {
		r.checkQuality(c.feature)
	}
	return nil
}

// startRun starts a feature with this row.
func (r *reader) startRun(at place, same bool) error {
	before := r.run.at
	if err := r.endRun(); err != nil {
		return err
	}
	if at.part > 1 || at.ring > 1 || at.seq > 1 {
		if same && at.sameKind(before) {
			return r.fail("sort the rows by feature, part, ring and seq", "the rows are out of order: %s", orderOf(before, at))
		}
		return r.fail("sort the rows by feature, part, ring and seq", "the first row of a feature has part, ring or seq above 1")
	}
	f, err := r.newFeature()
	if err != nil {
		return err
	}
	if err := r.describeFeature(f); err != nil {
		return err
	}
	c := &r.run
	*c = run{feature: f, first: at, flat: c.flat[:0], ends: c.ends[:0], parts: c.parts[:0],
		id: append(c.id[:0], r.text(colID)...), role: append(c.role[:0], r.text(colRole)...), name: append(c.name[:0], r.text(colName)...)}
	return nil
}

func orderOf(a, b place) string {
	return "part, ring, seq go from " + a.String() + " to " + b.String()
}

func (p place) String() string {
	text := ""
	for i, n := range [...]int{p.part, p.ring, p.seq} {
		if i > 0 {
			text += "/"
		}
		if n == absent {
			text += "-"
		} else {
			text += string(appendInt(nil, n))
		}
	}
	return text
}

// nextVertex notes where lines, rings and parts end, and what later rows add.
func (r *reader) nextVertex(at place) error {
	c := &r.run
	n := len(c.flat) / 3
	fresh := at.part != c.at.part || at.ring != c.at.ring
	if fresh {
		c.ends = append(c.ends, n)
		if at.part != c.at.part {
			c.parts = append(c.parts, len(c.ends))
		}
	}
	if at.seq != absent && (fresh && at.seq > 1 || !fresh && at.seq != c.at.seq+1) {
		r.warn("seq-gap", r.line, "points are missing: %s", orderOf(c.at, at))
	}
	for i := range r.lay.columns {
		if r.lay.columns[i].kind != colAttribute || len(r.cells[i].text) == 0 {
			continue
		}
		values := c.varying[i]
		if values == nil {
			if c.varying == nil {
				c.varying = map[int][]schema.Value{}
			}
			first := c.feature.Attributes.Get(r.lay.columns[i].key)
			if first.IsAbsent() {
				first = schema.Null()
			}
			values = []schema.Value{first}
		}
		for len(values) < c.rows {
			values = append(values, schema.Null())
		}
		c.varying[i] = append(values, r.value(r.cells[i].text))
	}
	return nil
}

// endRun makes the geometry of the feature whose rows have been read.
func (r *reader) endRun() error {
	c := &r.run
	if c.feature == nil {
		return nil
	}
	f := c.feature
	c.feature = nil
	if c.rows == 0 || len(c.flat) == 0 {
		return nil
	}
	if c.implied && f.Role.IsArea() {
		c.closeImplied()
	}
	c.ends = append(c.ends, len(c.flat)/3)
	c.parts = append(c.parts, len(c.ends))
	layout, flat := pack(c.flat)
	stride := layout.Stride()
	ends := make([]int, len(c.ends))
	for i, end := range c.ends {
		ends[i] = end * stride
	}
	hasPart, hasRing, hasSeq := c.first.part != absent, c.first.ring != absent, c.first.seq != absent
	switch {
	case hasPart && hasRing:
		endss := make([][]int, len(c.parts))
		start := 0
		for i, end := range c.parts {
			endss[i] = ends[start:end:end]
			start = end
		}
		f.Geometry = geom.NewMultiPolygonFlat(layout, flat, endss)
	case hasPart && hasSeq:
		f.Geometry = geom.NewMultiLineStringFlat(layout, flat, ends)
	case hasPart:
		f.Geometry = geom.NewMultiPointFlat(layout, flat)
	case hasRing:
		f.Geometry = geom.NewPolygonFlat(layout, flat, ends)
	case hasSeq:
		f.Geometry = geom.NewLineStringFlat(layout, flat)
	default:
		f.Geometry = geom.NewPointFlat(layout, flat)
	}
	if c.varying != nil {
		r.vary(f, c.varying, c.rows)
	}
	return nil
}

// closeImplied makes a ring of corners that were joined: it closes it, and
// makes a line of what is too short for one.
func (c *run) closeImplied() {
	n := len(c.flat)
	switch {
	case n < 3*3:
		c.first.ring = absent
	case c.flat[0] != c.flat[n-3] || c.flat[1] != c.flat[n-2]:
		c.flat = append(c.flat, c.flat[:3]...)
	}
}

// vary turns an attribute whose rows differ into a list with a value or null a
// row; one that only repeats stays as it is.
func (r *reader) vary(f *schema.Feature, varying map[int][]schema.Value, rows int) {
	for i := range r.lay.columns {
		values := varying[i]
		if values == nil {
			continue
		}
		repeats := len(values) == rows
		for _, v := range values {
			repeats = repeats && v.Equal(values[0])
		}
		if repeats {
			continue
		}
		for len(values) < rows {
			values = append(values, schema.Null())
		}
		key := r.lay.columns[i].key
		r.warn("attribute-per-vertex", f.Source.Line, "%q of %q differs from point to point; it was kept as a list", key, f.Label())
		f.Attributes.Set(key, schema.List(values...))
	}
}

// pack copies vertices (x y h, NaN for no height) in the layout they need.
func pack(flat []float64) (geom.Layout, []float64) {
	for i := 2; i < len(flat); i += 3 {
		if !math.IsNaN(flat[i]) {
			return geom.XYZ, append(make([]float64, 0, len(flat)), flat...)
		}
	}
	out := make([]float64, len(flat)/3*2)
	for i, j := 0, 0; i+2 < len(flat); i, j = i+3, j+2 {
		out[j], out[j+1] = flat[i], flat[i+1]
	}
	return geom.XY, out
}
