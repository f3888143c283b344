// Writing CSV: both layouts, as the package's comment describes them.

package csv

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// The layouts that WriteOptions.Layout may name.
const (
	LayoutWKT    = "wkt"    // a row a feature; the default
	LayoutPoints = "points" // a row a vertex
)

// Write writes a plan as CSV in the layout that o.Layout names. It returns what
// CSV could not hold: measures (M), and rings that had to be closed or turned.
// An error means that w holds no whole plan.
func Write(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error) {
	e, err := NewWriter(w, o)
	if err != nil {
		return nil, err
	}
	return wire.WriteParts(e, p, o)
}

// NewWriter is Write for a plan in parts.
func NewWriter(w io.Writer, o wire.WriteOptions) (wire.PartWriter, error) {
	e := &writer{w: w, out: make([]byte, 0, flushAt+flushAt/4), met: map[string]int{}, pairs: map[[2]int]bool{}}
	switch o.Layout {
	case "", LayoutWKT:
	case LayoutPoints:
		e.points = true
	default:
		return nil, fmt.Errorf("CSV has no layout %q; it has %s and %s", o.Layout, LayoutWKT, LayoutPoints)
	}
	return e, nil
}

// Begin implements wire.PartWriter.
func (e *writer) Begin(p *schema.Plan, _ wire.WriteOptions) error {
	e.plan = p
	e.prepare()
	e.header()
	e.planRow()
	return e.err
}

// Part implements wire.PartWriter.
func (e *writer) Part(features []*schema.Feature) error {
	for _, f := range features {
		e.feature(f)
		if e.err != nil {
			break
		}
	}
	return e.err
}

// End implements wire.PartWriter.
func (e *writer) End() ([]wire.Loss, error) {
	e.flush()
	if e.err != nil {
		return nil, e.err
	}
	return e.tally.Losses(), nil
}

// flushAt is how many bytes are gathered before they are written.
const flushAt = 1 << 16

type writer struct {
	w        io.Writer
	out      []byte
	plan     *schema.Plan
	points   bool
	tally    wire.Tally
	err      error
	text     []byte // scratch for a cell
	crs      []byte // the crs cell
	decimals int
	degrees  bool
	back     bool // the grid counts west and south, and so do the columns

	keys    []string
	columns map[string]int
	heights bool           // points: a column for heights
	wkt     bool           // points: a column for what rows of vertices cannot say
	epoch   bool           // a column for the plan's epoch alone
	escape  bool           // the plan has an attribute called epoch
	order   bool           // a column for the order of attributes
	values  []schema.Value // of one row, by column

	// What Note has seen.
	features int
	keysMet  []string          // of features, in the order in which they were met
	met      map[string]int    // their numbers
	pairs    map[[2]int]bool   // keys of which the second follows the first in a feature
	like     schema.Attributes // those of the last feature
}

func (e *writer) flush() {
	if e.err == nil {
		_, e.err = e.w.Write(e.out)
	}
	e.out = e.out[:0]
}

// Note implements wire.PartWriter: it finds the columns.
func (e *writer) Note(features []*schema.Feature) {
	e.features += len(features)
	for _, f := range features {
		if !sameKeys(f.Attributes, e.like) {
			e.noteKeys(f.Attributes)
			e.like = f.Attributes
		}
		if e.points && f.Geometry != nil {
			if !asRows(f.Geometry) {
				e.wkt = true
			} else if !e.heights && hasHeight(f.Geometry) {
				e.heights = true
			}
		}
	}
}

// sameKeys reports whether two lists have the same keys at the same places.
func sameKeys(a, b schema.Attributes) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Key != b[i].Key || a[i].Value.IsAbsent() != b[i].Value.IsAbsent() {
			return false
		}
	}
	return true
}

// noteKeys numbers keys in the order in which they are met, and notes which
// follow which.
func (e *writer) noteKeys(a schema.Attributes) {
	last := -1
	for i := range a {
		if a[i].Value.IsAbsent() {
			continue
		}
		n, ok := e.met[a[i].Key]
		if !ok {
			n = len(e.keysMet)
			e.met[a[i].Key] = n
			e.keysMet = append(e.keysMet, a[i].Key)
		}
		if last >= 0 {
			e.pairs[[2]int{last, n}] = true
		}
		last = n
	}
}

// prepare settles the columns: the plan's keys come first.
func (e *writer) prepare() {
	p := e.plan
	e.decimals = wire.LengthDecimals
	switch {
	case p.CRS == nil:
		e.decimals = wire.KeptDecimals
	case p.CRS.IsDegrees():
		e.decimals, e.degrees = wire.DegreeDecimals, true
	}
	e.back = e.points && p.CRS != nil && p.CRS.CountsWestSouth()
	if p.CRS != nil {
		e.crs = appendCell(nil, []byte(p.CRS.ID()))
	}
	e.columns = map[string]int{}
	e.escape = p.Attributes.Has(schema.PropEpoch)
	for i := range p.Attributes {
		if !p.Attributes[i].Value.IsAbsent() {
			e.column(p.Attributes[i].Key)
		}
	}
	for _, key := range e.keysMet {
		e.column(key)
	}
	e.order = e.reordered(p.Attributes)
	for pair := range e.pairs {
		e.order = e.order || e.columns[e.keysMet[pair[0]]] > e.columns[e.keysMet[pair[1]]]
	}
	if p.Epoch != 0 {
		_, shared := e.columns[schema.PropEpoch]
		e.epoch = !shared || e.escape
	}
	e.values = make([]schema.Value, len(e.keys))
}

// column gives a key a column.
func (e *writer) column(key string) {
	if _, ok := e.columns[key]; !ok {
		e.columns[key] = len(e.keys)
		e.keys = append(e.keys, key)
	}
}

// reordered reports whether the order of attributes is not the columns'.
func (e *writer) reordered(a schema.Attributes) bool {
	last := -1
	for i := range a {
		if a[i].Value.IsAbsent() {
			continue
		}
		at := e.columns[a[i].Key]
		if at < last {
			return true
		}
		last = at
	}
	return false
}

// asRows reports whether rows of vertices can say the geometry: of a type that
// part, ring and seq tell, and without empty pieces.
func asRows(g geom.T) bool {
	filled := func(start int, ends []int) bool {
		for _, end := range ends {
			if end == start {
				return false
			}
			start = end
		}
		return len(ends) > 0
	}
	switch g := g.(type) {
	case *geom.Point, *geom.LineString:
		return !g.Empty()
	case *geom.Polygon:
		return filled(0, g.Ends())
	case *geom.MultiPoint:
		return filled(0, g.Ends())
	case *geom.MultiLineString:
		return filled(0, g.Ends())
	case *geom.MultiPolygon:
		start := 0
		for _, ends := range g.Endss() {
			if !filled(start, ends) {
				return false
			}
			start = ends[len(ends)-1]
		}
		return len(g.Endss()) > 0
	}
	return false
}

func hasHeight(g geom.T) bool {
	z := g.Layout().ZIndex()
	if z < 0 {
		return false
	}
	flat, stride := g.FlatCoords(), g.Stride()
	for i := z; i < len(flat); i += stride {
		if !math.IsNaN(flat[i]) {
			return true
		}
	}
	return false
}

func (e *writer) put(s string) { e.out = append(e.out, s...) }

func (e *writer) endRow() {
	e.put("\r\n")
	if len(e.out) >= flushAt {
		e.flush()
	}
}

func (e *writer) header() {
	switch {
	case !e.points:
		e.put("id,role,name,wkt,crs")
	case e.degrees:
		e.put("id,role,name,part,ring,seq,lon,lat")
	case e.back:
		e.put("id,role,name,part,ring,seq,westing,southing")
	default:
		e.put("id,role,name,part,ring,seq,e,n")
	}
	if e.points {
		if e.heights {
			e.put(",h")
		}
		e.put(",crs")
		if e.wkt {
			e.put(",wkt")
		}
	}
	if e.epoch {
		e.put("," + schema.PropEpoch)
	}
	if e.order {
		e.put("," + orderColumn)
	}
	for _, key := range e.keys {
		e.put(",")
		e.text = e.text[:0]
		if escapes(key, e.points) || key == schema.PropEpoch && e.escape {
			e.text = append(e.text, attributePrefix...)
			e.text = appendText(e.text, key)
		} else {
			e.text = append(e.text, key...)
		}
		e.out = appendCell(e.out, e.text)
	}
	e.endRow()
}

// start appends the cells id, role and name.
func (e *writer) start(id schema.Value, role, name string) {
	if !id.IsAbsent() {
		e.text = appendID(e.text[:0], id)
		e.out = appendCell(e.out, e.text)
	}
	e.put(",")
	e.put(role)
	e.put(",")
	if name != "" {
		e.text = appendText(e.text[:0], name)
		e.out = appendCell(e.out, e.text)
	}
	e.put(",")
}

// attributes appends the cells behind the coordinates: epoch, order and the
// attributes, which every row has and most leave empty.
func (e *writer) attributes(a schema.Attributes, epoch float64) {
	if e.epoch {
		e.put(",")
		if epoch != 0 {
			e.out = strconv.AppendFloat(e.out, epoch, 'f', -1, 64)
		}
	}
	if e.order {
		e.put(",")
		if e.reordered(a) {
			e.keyOrder(a)
		}
	}
	if len(e.keys) == 0 {
		return
	}
	for i := range a {
		if !a[i].Value.IsAbsent() {
			e.values[e.columns[a[i].Key]] = a[i].Value
		}
	}
	for i, key := range e.keys {
		e.put(",")
		if v := e.values[i]; !v.IsAbsent() {
			e.text = appendValue(e.text[:0], v)
			e.out = appendCell(e.out, e.text)
			e.values[i] = schema.Value{}
		} else if key == schema.PropEpoch && epoch != 0 && !e.epoch {
			e.out = strconv.AppendFloat(e.out, epoch, 'f', -1, 64)
		}
	}
}

func (e *writer) keyOrder(a schema.Attributes) {
	keys := make([]schema.Value, 0, len(a))
	for i := range a {
		if !a[i].Value.IsAbsent() {
			keys = append(keys, schema.String(a[i].Key))
		}
	}
	e.text = schema.List(keys...).AppendJSON(e.text[:0])
	e.out = appendCell(e.out, e.text)
}

func (e *writer) planRow() {
	p := e.plan
	if p.Name == "" && p.Epoch == 0 && len(p.Attributes) == 0 && (p.CRS == nil || e.features > 0) {
		return
	}
	e.start(schema.Value{}, rolePlan, p.Name)
	if e.points {
		e.put(",,,,,")
		if e.heights {
			e.put(",")
		}
	} else {
		e.put(",")
	}
	e.out = append(e.out, e.crs...)
	if e.points && e.wkt {
		e.put(",")
	}
	e.attributes(p.Attributes, p.Epoch)
	e.endRow()
}

func (e *writer) feature(f *schema.Feature) {
	role := "" // not said
	if _, ok := schema.ParseRole(string(f.Role)); ok && f.Role != schema.RoleOther || f.Attributes.Has(schema.PropRole) {
		role = string(f.Role)
	}
	g := f.Geometry
	if g != nil {
		if layout := g.Layout(); layout.MIndex() >= 0 {
			e.tally.Add("measure", 0, "", "a plan's CSV has no place for the measures (M) of %q", f.Label())
		}
		g = wire.ForRings(f, e.plan.CRS, e.plan.Source.Winding, schema.WindingDriven, &e.tally)
	}
	begin := len(e.out)
	switch {
	case !e.points:
		e.start(f.ID, role, f.Name)
		e.geometry(f, g)
		e.put(",")
		e.out = append(e.out, e.crs...)
		e.attributes(f.Attributes, 0)
		e.endRow()
	case g == nil || !asRows(g):
		e.start(f.ID, role, f.Name)
		e.put(",,,,")
		if e.heights {
			e.put(",")
		}
		e.put(",")
		e.out = append(e.out, e.crs...)
		if e.wkt {
			e.put(",")
			e.geometry(f, g)
		}
		e.attributes(f.Attributes, 0)
		e.endRow()
	default:
		e.rows(f, role, g)
	}
	if len(e.out) > begin && len(bytes.Trim(e.out[begin:], ",\r\n")) == 0 {
		// A row with only empty cells is passed over, so one word keeps it.
		e.out = slices.Insert(e.out, begin+1, []byte(schema.RoleOther)...)
	}
}

// geometry appends the wkt cell.
func (e *writer) geometry(f *schema.Feature, g geom.T) {
	if g == nil {
		return
	}
	// Nothing in well-known text needs doubling, so quotes round it are all.
	e.put(`"`)
	var err error
	if e.out, err = appendWKT(e.out, g, e.decimals); err != nil && e.err == nil {
		e.err = fmt.Errorf("feature %q: %w", f.Label(), err)
	}
	e.put(`"`)
}

// rows appends a row a vertex.
func (e *writer) rows(f *schema.Feature, role string, g geom.T) {
	at := len(e.out)
	e.start(f.ID, role, f.Name)
	start := string(e.out[at:]) // the same for all rows
	e.out = e.out[:at]
	blank := e.blankTail()
	first := true
	flat, stride, z := g.FlatCoords(), g.Stride(), g.Layout().ZIndex()
	line := func(from, to, part, ring int, seq bool) {
		for i := from; i+stride <= to; i += stride {
			x, y := flat[i], flat[i+1]
			if !finite(x) || !finite(y) || z >= 0 && math.IsInf(flat[i+z], 0) {
				if e.err == nil {
					e.err = fmt.Errorf("feature %q: a point at %v, %v is not finite", f.Label(), x, y)
				}
				return
			}
			e.put(start)
			if part != absent {
				e.out = appendInt(e.out, part)
			}
			e.put(",")
			if ring != absent {
				e.out = appendInt(e.out, ring)
			}
			e.put(",")
			if seq {
				e.out = appendInt(e.out, (i-from)/stride+1)
			}
			e.put(",")
			if e.back {
				x, y = 0-x, 0-y
			}
			e.out = wire.AppendFixed(e.out, x, e.decimals)
			e.put(",")
			e.out = wire.AppendFixed(e.out, y, e.decimals)
			if e.heights {
				e.put(",")
				if z >= 0 && !math.IsNaN(flat[i+z]) {
					e.out = wire.AppendFixed(e.out, flat[i+z], wire.LengthDecimals)
				}
			}
			e.put(",")
			if first {
				first = false
				e.out = append(e.out, e.crs...)
				if e.wkt {
					e.put(",")
				}
				e.attributes(f.Attributes, 0)
			} else {
				e.put(blank)
			}
			e.endRow()
		}
	}
	switch g := g.(type) {
	case *geom.Point:
		line(0, len(flat), absent, absent, false)
	case *geom.LineString:
		line(0, len(flat), absent, absent, true)
	case *geom.Polygon:
		from := 0
		for i, end := range g.Ends() {
			line(from, end, absent, i+1, true)
			from = end
		}
	case *geom.MultiPoint:
		for i := 0; i+stride <= len(flat); i += stride {
			line(i, i+stride, i/stride+1, absent, false)
		}
	case *geom.MultiLineString:
		from := 0
		for i, end := range g.Ends() {
			line(from, end, i+1, absent, true)
			from = end
		}
	case *geom.MultiPolygon:
		from := 0
		for i, ends := range g.Endss() {
			for j, end := range ends {
				line(from, end, i+1, j+1, true)
				from = end
			}
		}
	}
}

// blankTail returns the separators behind the crs cell of a row that has
// nothing there.
func (e *writer) blankTail() string {
	n := len(e.keys)
	for _, there := range []bool{e.wkt, e.epoch, e.order} {
		if there {
			n++
		}
	}
	const commas = ",,,,,,,,,,,,,,,,,,,,,,,,,,,,,,,,"
	if n <= len(commas) {
		return commas[:n]
	}
	out := make([]byte, n)
	for i := range out {
		out[i] = ','
	}
	return string(out)
}

func appendInt(dst []byte, n int) []byte { return strconv.AppendInt(dst, int64(n), 10) }
