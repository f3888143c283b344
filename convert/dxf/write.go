// Writing a plan as a drawing.

package dxf

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf/curve"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

const (
	// refitTolerance is how far, in metres, a vertex may lie from the curve it
	// was flattened from and the curve still be written: a tenth of the chord
	// error.
	refitTolerance = 0.0005
	// offsetThreshold is the largest coordinate, in drawing units, written
	// without an offset: every grid in metres or feet stays below it, a grid
	// drawn in millimetres does not and would lose digits in readers of seven
	// figures.
	offsetThreshold = 1e8
	// offsetStep is the metres that a chosen offset is a multiple of.
	offsetStep = 1000
	// xdataMost is how many bytes of text go into one entity's extended data;
	// the format stops at 16383 with its overhead (from memory).
	xdataMost = 12000
	// chunkBytes is the length of one text of extended data; the format stops
	// at 255.
	chunkBytes = 250
)

// noticeLayer holds texts that are no features.
const noticeLayer = "NOTICE"

// Write writes the plan as an ASCII drawing of R2010, in the unit o.Unit; by
// default in metres, or, when the plan's CRS is not known and it came from a
// drawing, in that drawing's unit. Its coordinates must be lengths: a plan in
// degrees is an error that says to transform it first, and so are coordinates
// that are not finite. The losses name curves that had to be written as
// straight lines, an offset, and what else changed. The plan is not changed.
func Write(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error) {
	d := writer{plan: p, toMetres: 1, tally: &wire.Tally{}}
	if p.CRS != nil {
		if p.CRS.IsDegrees() {
			return nil, fmt.Errorf("the plan is in degrees (%s), which a drawing cannot hold: transform it to a grid in metres first", p.CRS.ID())
		}
		if p.CRS.Kind() == crs.KindGeocentric {
			return nil, fmt.Errorf("the plan counts from the middle of the earth (%s), which a drawing cannot hold: transform it to a grid in metres first", p.CRS.ID())
		}
		if m := p.CRS.UnitMetres(); m > 0 {
			d.toMetres = m
		}
	}
	d.unit = Unit{6, "m", 1}
	if p.CRS == nil && o.Unit == "" {
		// A drawing goes out in the unit it came in, in which its marks are
		// listed.
		if u, err := UnitByName(p.Attributes.Get(schema.PlanDrawing).Fields().Get("unit").Text()); err == nil {
			d.unit = u
		}
	}
	if o.Unit != "" {
		var err error
		if d.unit, err = UnitByName(o.Unit); err != nil {
			return nil, err
		}
	}
	if err := d.survey(o); err != nil {
		return nil, err
	}
	d.date = o.Date
	d.used = d.symbolsUsed()
	d.w = bufio.NewWriterSize(w, 1<<16)
	d.layers()
	d.write()
	if err := d.w.Flush(); err != nil {
		return nil, err
	}
	return d.tally.Losses(), nil
}

type writer struct {
	w        *bufio.Writer
	plan     *schema.Plan
	tally    *wire.Tally
	unit     Unit
	toMetres float64    // metres in a unit of the plan's coordinates
	offset   [2]float64 // metres
	low      [2]float64 // metres, before the offset
	high     [2]float64
	empty    bool
	handle   uint64
	seed     uint64
	layerOf  []string // of each feature
	layerSet []layerLine
	records  []record
	buf      []byte
	date     string
	// used are the symbols of the plan, usedRecord the handles of their
	// records.
	used       []symbol
	usedRecord []string
}

type layerLine struct {
	name     string
	colour   wire.Colour
	lineType string
	off      bool
}

// record is a text kept in the dictionary.
type record struct {
	name string
	text []byte
}

// survey checks every coordinate, and chooses the offset.
func (d *writer) survey(o wire.WriteOptions) error {
	d.empty = true
	d.low = [2]float64{math.Inf(1), math.Inf(1)}
	d.high = [2]float64{math.Inf(-1), math.Inf(-1)}
	handles := uint64(2000 + 12*len(d.plan.Features))
	for i, f := range d.plan.Features {
		err := eachLeaf(f.Geometry, func(l leaf) error {
			n := len(l.flat) / l.stride
			handles += uint64(n + 3)
			for v := 0; v < n; v++ {
				x, y := l.flat[v*l.stride], l.flat[v*l.stride+1]
				if !(math.Abs(x*d.toMetres) < 1e15) || !(math.Abs(y*d.toMetres) < 1e15) || l.z(v) != l.z(v) && !math.IsNaN(l.z(v)) || math.Abs(l.z(v)) >= 1e15 {
					return fmt.Errorf("feature %d (%s): point (%v, %v) cannot be written", i+1, f.Label(), x, y)
				}
				x, y = x*d.toMetres, y*d.toMetres
				d.low[0], d.low[1] = math.Min(d.low[0], x), math.Min(d.low[1], y)
				d.high[0], d.high[1] = math.Max(d.high[0], x), math.Max(d.high[1], y)
				d.empty = false
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	d.seed = handles
	if d.empty {
		d.low, d.high = [2]float64{}, [2]float64{}
		return nil
	}
	drawing := d.plan.Source.Format == formatName || d.plan.Attributes.Has(schema.PlanDrawing) // then they are metres
	if d.plan.CRS == nil && !drawing && LooksLikeDegrees(d.low[0], d.low[1], d.high[0], d.high[1]) {
		return errors.New("the plan's CRS is not known and its coordinates look like degrees, which a drawing cannot hold: say what they are in, and transform them to a grid in metres")
	}
	largest := 0.0
	for k := 0; k < 2; k++ {
		largest = math.Max(largest, math.Max(math.Abs(d.low[k]), math.Abs(d.high[k]))/d.unit.Metres)
	}
	switch {
	case o.Offset != nil:
		if math.IsNaN(o.Offset[0]+o.Offset[1]) || math.IsInf(o.Offset[0]+o.Offset[1], 0) {
			return errors.New("the offset must be two numbers of metres")
		}
		d.offset = *o.Offset
	case largest > offsetThreshold:
		for k := 0; k < 2; k++ {
			d.offset[k] = math.Floor(d.low[k]/offsetStep) * offsetStep
		}
	}
	if d.offset != [2]float64{} {
		d.tally.Add("offset-declared", 0, "", "every position is written less %s m east and %s m north; the drawing says so", plain(d.offset[0]), plain(d.offset[1]))
	}
	return nil
}

func plain(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// leaf is one point, line or ring of a geometry.
type leaf struct {
	flat   []float64
	stride int
	hasZ   bool
	ring   bool
}

// z returns the height of a vertex, NaN for none.
func (l leaf) z(i int) float64 {
	if !l.hasZ {
		return math.NaN()
	}
	return l.flat[i*l.stride+2]
}

// eachLeaf calls f for every point, line and ring in turn, empty ones too.
func eachLeaf(g geom.T, f func(leaf) error) error {
	if g == nil {
		return nil
	}
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			if err := eachLeaf(part, f); err != nil {
				return err
			}
		}
		return nil
	}
	flat := g.FlatCoords()
	base := leaf{stride: g.Stride(), hasZ: g.Layout().ZIndex() == 2}
	if base.stride < 2 {
		base.stride = 2 // an empty geometry without a layout
	}
	ends := func(ends []int, start int, ring bool) error {
		for _, end := range ends {
			l := base
			l.flat, l.ring = flat[start:end], ring
			start = end
			if err := f(l); err != nil {
				return err
			}
		}
		return nil
	}
	switch g := g.(type) {
	case *geom.Point, *geom.LineString, *geom.LinearRing:
		base.flat = flat
		return f(base)
	case *geom.Polygon:
		return ends(g.Ends(), 0, true)
	case *geom.MultiPoint:
		return ends(g.Ends(), 0, false)
	case *geom.MultiLineString:
		return ends(g.Ends(), 0, false)
	case *geom.MultiPolygon:
		start := 0
		for _, e := range g.Endss() {
			if err := ends(e, start, true); err != nil {
				return err
			}
			if len(e) > 0 {
				start = e[len(e)-1]
			}
		}
		return nil
	}
	return fmt.Errorf("geometry type %T is not one that a drawing is written from", g)
}

// form returns the structure of a geometry, for putting its leaves together
// again: 1 for a leaf that is drawn, 0 for an empty one.
func form(g geom.T) schema.Value {
	fields := schema.Attributes{{Key: "type", Value: schema.String(schema.TypeName(g))}}
	if c, ok := g.(*geom.GeometryCollection); ok {
		var parts []schema.Value
		for _, part := range c.Geoms() {
			parts = append(parts, form(part))
		}
		return schema.Object(append(fields, schema.Attribute{Key: "geometries", Value: schema.List(parts...)}))
	}
	if g.Layout().ZIndex() == 2 {
		fields = append(fields, schema.Attribute{Key: "layout", Value: schema.String("XYZ")})
	}
	there := func(from, to int) schema.Value {
		if to > from {
			return schema.Int(1)
		}
		return schema.Int(0)
	}
	list := func(ends []int, start int) schema.Value {
		var out []schema.Value
		for _, end := range ends {
			out = append(out, there(start, end))
			start = end
		}
		return schema.List(out...)
	}
	var leaves schema.Value
	switch g := g.(type) {
	case *geom.Polygon, *geom.MultiPoint, *geom.MultiLineString:
		leaves = list(g.Ends(), 0)
	case *geom.MultiPolygon:
		var out []schema.Value
		start := 0
		for _, ends := range g.Endss() {
			out = append(out, list(ends, start))
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
		}
		leaves = schema.List(out...)
	default:
		leaves = there(0, len(g.FlatCoords()))
	}
	return schema.Object(append(fields, schema.Attribute{Key: "leaves", Value: leaves}))
}

// layers chooses the layer of every feature.
func (d *writer) layers() {
	seen := map[string]bool{"0": true}
	d.layerSet = []layerLine{{name: "0", colour: wire.Black, lineType: "Continuous"}}
	add := func(l layerLine) {
		if key := strings.ToUpper(l.name); !seen[key] {
			seen[key] = true
			d.layerSet = append(d.layerSet, l)
		}
	}
	d.layerOf = make([]string, len(d.plan.Features))
	for i, f := range d.plan.Features {
		name := strings.ToUpper(string(f.Role))
		if f.Role == schema.RoleOther || f.Role == "" {
			name = "OTHER"
			if v := f.Attributes.Get(schema.PropLayer); v.Kind() == schema.KindString && strings.TrimSpace(v.Text()) != "" {
				name = layerName(v.Text())
				if name != v.Text() {
					d.tally.Add("layer-renamed", 0, "", "the layer %q of %q has characters that a layer's name cannot have; it is written as %q", clip(v.Text()), f.Label(), clip(name))
				}
			}
		}
		l := layerLine{name: name, colour: wire.ColourOf(f.Role), lineType: lineTypeOf(f.Role)}
		if active, told := f.Attributes.Get(schema.PropActive).Truth(); told && !active && f.Role != schema.RoleOther {
			l.name, l.lineType, l.off = name+offEnding, "DASHED", true
			d.tally.Add("layer-off", 0, "", "%q is off; it is drawn on the layer %s, which is off too", f.Label(), l.name)
		}
		d.layerOf[i] = l.name
		add(l)
		if f.Name != "" && !l.off && f.Role != schema.RoleOther && f.Role != "" {
			add(layerLine{name: name + namesEnding, colour: wire.Black, lineType: "Continuous"})
		}
	}
	if !d.empty {
		add(layerLine{name: noticeLayer, colour: wire.Black, lineType: "Continuous"})
	}
}

// layerName returns a name without what a layer's name cannot have (from memory
// of the format's reference).
func layerName(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < 0x20 || r == 0x7f || strings.ContainsRune("<>/\\\":;?*|=,`", r) {
			return '_'
		}
		return r
	}, strings.TrimSpace(s))
	if r := []rune(s); len(r) > 200 {
		s = string(r[:200])
	}
	return s
}

// put writes one pair.
func (d *writer) put(code int, value string) {
	d.code(code)
	d.w.WriteString(value)
	d.w.WriteByte('\n')
}

func (d *writer) code(code int) {
	d.buf = d.buf[:0]
	switch {
	case code < 10:
		d.buf = append(d.buf, ' ', ' ')
	case code < 100:
		d.buf = append(d.buf, ' ')
	}
	d.buf = strconv.AppendInt(d.buf, int64(code), 10)
	d.buf = append(d.buf, '\n')
	d.w.Write(d.buf)
}

func (d *writer) int(code, v int) { d.put(code, strconv.Itoa(v)) }

// real writes a number with all its digits.
func (d *writer) real(code int, v float64) {
	d.code(code)
	d.buf = strconv.AppendFloat(d.buf[:0], v, 'f', -1, 64)
	d.endReal()
}

// length writes a length given in metres, with the decimals of coordinates.
func (d *writer) length(code int, metres float64) {
	d.code(code)
	d.buf = wire.AppendFixed(d.buf[:0], metres/d.unit.Metres, d.unit.decimals())
	d.endReal()
}

func (d *writer) endReal() {
	point := false
	for _, c := range d.buf {
		point = point || c == '.'
	}
	if !point {
		d.buf = append(d.buf, '.', '0')
	}
	d.buf = append(d.buf, '\n')
	d.w.Write(d.buf)
}

func (d *writer) nextHandle() string {
	d.handle++
	return strconv.FormatUint(d.handle, 16)
}

// newHandle writes a new handle and returns it.
func (d *writer) newHandle(code int) string {
	h := strings.ToUpper(d.nextHandle())
	d.put(code, h)
	return h
}

// at writes a position given in the plan's coordinates; z in metres.
func (d *writer) at(code int, x, y, z float64) {
	d.length(code, x*d.toMetres-d.offset[0])
	d.length(code+10, y*d.toMetres-d.offset[1])
	d.length(code+20, z)
}

// exact writes the same with all digits, for the definition of a curve.
func (d *writer) exact(code int, x, y, z float64) {
	d.real(code, (x*d.toMetres-d.offset[0])/d.unit.Metres)
	d.real(code+10, (y*d.toMetres-d.offset[1])/d.unit.Metres)
	d.real(code+20, z/d.unit.Metres)
}

// text returns s as the drawing's texts have it: UTF-8, control characters as
// spaces.
func text(s string) string {
	plain := true
	for i := 0; i < len(s); i++ {
		if s[i] < 0x20 || s[i] >= 0x7f {
			plain = false
			break
		}
	}
	if plain {
		return s
	}
	return strings.Map(func(r rune) rune {
		if r < 0x20 || r == 0x7f {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}

// Handles that other parts refer to.
const (
	handleLayers  = "2"
	handleModel   = "1F"
	handlePaper   = "1B"
	handleRoot    = "C"
	handleGroups  = "D"
	handleRecords = "E"
	firstHandle   = 0x30

	handleModelExtra = "22"
	handleGeo        = "23"
)

// write writes the whole file.
func (d *writer) write() {
	d.handle = firstHandle
	d.put(999, ownDrawing+", 1 unit = "+d.unit.said())
	if d.offset != [2]float64{} {
		d.put(999, fmt.Sprintf(ownOffset+" %s m east and %s m north to every position", plain(d.offset[0]), plain(d.offset[1])))
	}
	d.section("HEADER")
	variable := func(name string, code int, value string) {
		d.put(9, name)
		d.put(code, value)
	}
	variable("$ACADVER", 1, "AC1024")
	variable("$DWGCODEPAGE", 3, "ANSI_1252")
	d.put(9, "$INSBASE")
	d.real(10, 0)
	d.real(20, 0)
	d.real(30, 0)
	for k, corner := range [...][2]float64{d.low, d.high} {
		d.put(9, [...]string{"$EXTMIN", "$EXTMAX"}[k])
		d.length(10, corner[0]-d.offset[0])
		d.length(20, corner[1]-d.offset[1])
		d.real(30, 0)
	}
	variable("$LUNITS", 70, "2")
	variable("$AUNITS", 70, "0")
	variable("$INSUNITS", 70, strconv.Itoa(d.unit.Code))
	metric := "1"
	if d.unit.Name != "m" && d.unit.Name != "mm" && d.unit.Name != "cm" {
		metric = "0"
	}
	variable("$MEASUREMENT", 70, metric)
	variable("$HANDSEED", 5, strings.ToUpper(strconv.FormatUint(d.seed+firstHandle+uint64(len(d.layerSet)), 16)))
	d.end()
	d.section("CLASSES")
	if d.geo() {
		d.put(0, "CLASS")
		d.put(1, "GEODATA")
		d.put(2, "AcDbGeoData")
		d.put(3, "ObjectDBX Classes")
		d.int(90, 4095)
		d.int(91, 1)
		d.int(280, 0)
		d.int(281, 0)
	}
	d.end()
	d.tables()
	d.blocks()
	d.section("ENTITIES")
	for i, f := range d.plan.Features {
		d.feature(i, f)
	}
	if !d.empty {
		d.names()
		d.note()
	}
	d.end()
	d.objects()
	d.put(0, "EOF")
}

func (d *writer) section(name string) {
	d.put(0, "SECTION")
	d.put(2, name)
}

func (d *writer) end() { d.put(0, "ENDSEC") }

// table writes the head of a table.
func (d *writer) table(name, handle string, count int) {
	d.put(0, "TABLE")
	d.put(2, name)
	d.put(5, handle)
	d.put(330, "0")
	d.put(100, "AcDbSymbolTable")
	d.int(70, count)
}

// line writes the head of a table's entry.
func (d *writer) line(kind, handle, owner, class, name string, flags int) {
	d.put(0, kind)
	if kind == "DIMSTYLE" {
		d.put(105, handle)
	} else {
		d.put(5, handle)
	}
	d.put(330, owner)
	d.put(100, "AcDbSymbolTableRecord")
	d.put(100, class)
	d.put(2, name)
	if kind != "BLOCK_RECORD" {
		d.int(70, flags)
	}
}

// tables writes what R2000 asks for, and the layers.
func (d *writer) tables() {
	d.section("TABLES")
	d.table("VPORT", "8", 1)
	d.line("VPORT", "29", "8", "AcDbViewportTableRecord", "*ACTIVE", 0)
	pair := func(code int, x, y float64) {
		d.real(code, x)
		d.real(code+10, y)
	}
	w, h := (d.high[0]-d.low[0])/d.unit.Metres, (d.high[1]-d.low[1])/d.unit.Metres
	height := math.Max(math.Max(h, w)*1.1, 1)
	pair(10, 0, 0)
	pair(11, 1, 1)
	d.length(12, (d.low[0]+d.high[0])/2-d.offset[0])
	d.length(22, (d.low[1]+d.high[1])/2-d.offset[1])
	pair(13, 0, 0)
	pair(14, 10, 10)
	pair(15, 10, 10)
	pair(16, 0, 0)
	d.real(36, 1)
	pair(17, 0, 0)
	d.real(37, 0)
	d.real(40, height)
	d.real(41, 1)
	d.real(42, 50)
	for _, code := range []int{43, 44, 50, 51} {
		d.real(code, 0)
	}
	for _, g := range [...][2]int{{71, 0}, {72, 100}, {73, 1}, {74, 3}, {75, 0}, {76, 0}, {77, 0}, {78, 0}} {
		d.int(g[0], g[1])
	}
	d.put(0, "ENDTAB")
	d.lineTypeTable()
	d.table("LAYER", handleLayers, len(d.layerSet))
	for i, l := range d.layerSet {
		handle := "10"
		if i > 0 {
			handle = strings.ToUpper(d.nextHandle())
		}
		d.line("LAYER", handle, handleLayers, "AcDbLayerTableRecord", text(l.name), 0)
		number := l.colour.Number
		if l.off {
			number = -number
		}
		d.int(62, number)
		if l.colour != wire.Black { // which a dark screen shows as white
			d.int(420, int(l.colour.RGB[0])<<16|int(l.colour.RGB[1])<<8|int(l.colour.RGB[2]))
		}
		d.put(6, l.lineType)
	}
	d.put(0, "ENDTAB")
	d.table("STYLE", "3", 1)
	d.line("STYLE", "11", "3", "AcDbTextStyleTableRecord", "Standard", 0)
	d.real(40, 0)
	d.real(41, 1)
	d.real(50, 0)
	d.int(71, 0)
	d.real(42, 0.2)
	d.put(3, "txt")
	d.put(4, "")
	d.put(0, "ENDTAB")
	d.table("VIEW", "6", 0)
	d.put(0, "ENDTAB")
	d.table("UCS", "7", 0)
	d.put(0, "ENDTAB")
	d.table("APPID", "9", 2)
	d.line("APPID", "12", "9", "AcDbRegAppTableRecord", "ACAD", 0)
	d.line("APPID", "13", "9", "AcDbRegAppTableRecord", appID, 0)
	d.put(0, "ENDTAB")
	d.table("DIMSTYLE", "A", 1)
	d.put(100, "AcDbDimStyleTable")
	d.int(71, 1)
	d.line("DIMSTYLE", "27", "A", "AcDbDimStyleTableRecord", "Standard", 0)
	d.put(0, "ENDTAB")
	d.table("BLOCK_RECORD", "1", 2+len(d.used))
	if d.geo() {
		d.put(0, "BLOCK_RECORD")
		d.put(5, handleModel)
		d.put(102, "{ACAD_XDICTIONARY")
		d.put(360, handleModelExtra)
		d.put(102, "}")
		d.put(330, "1")
		d.put(100, "AcDbSymbolTableRecord")
		d.put(100, "AcDbBlockTableRecord")
		d.put(2, "*Model_Space")
	} else {
		d.line("BLOCK_RECORD", handleModel, "1", "AcDbBlockTableRecord", "*Model_Space", 0)
	}
	d.line("BLOCK_RECORD", handlePaper, "1", "AcDbBlockTableRecord", "*Paper_Space", 0)
	for _, s := range d.used {
		h := strings.ToUpper(d.nextHandle())
		d.usedRecord = append(d.usedRecord, h)
		d.line("BLOCK_RECORD", h, "1", "AcDbBlockTableRecord", s.name, 0)
	}
	d.put(0, "ENDTAB")
	d.end()
}

func (d *writer) blocks() {
	d.section("BLOCKS")
	for i, owner := range [...]string{handleModel, handlePaper} {
		name := [...]string{"*Model_Space", "*Paper_Space"}[i]
		d.put(0, "BLOCK")
		d.put(5, [...]string{"20", "1C"}[i])
		d.put(330, owner)
		d.put(100, "AcDbEntity")
		if i == 1 {
			d.int(67, 1)
		}
		d.put(8, "0")
		d.put(100, "AcDbBlockBegin")
		d.put(2, name)
		d.int(70, 0)
		d.real(10, 0)
		d.real(20, 0)
		d.real(30, 0)
		d.put(3, name)
		d.put(1, "")
		d.put(0, "ENDBLK")
		d.put(5, [...]string{"21", "1D"}[i])
		d.put(330, owner)
		d.put(100, "AcDbEntity")
		if i == 1 {
			d.int(67, 1)
		}
		d.put(8, "0")
		d.put(100, "AcDbBlockEnd")
	}
	d.symbolBlocks()
	d.end()
}

// feature writes the entities of one feature.
func (d *writer) feature(number int, f *schema.Feature) {
	var leaves []leaf
	total := 0
	_ = eachLeaf(f.Geometry, func(l leaf) error { // survey has seen every error
		leaves = append(leaves, l)
		if len(l.flat) > 0 {
			total++
		}
		if l.stride > 2 && !l.hasZ || l.stride > 3 {
			d.tally.Add("measure", 0, "", "the measures of the points of %q are not written", f.Label())
		}
		return nil
	})
	curves, stored := d.curves(f, leaves)
	content := d.content(f, stored, total)
	spilled := len(content) > xdataMost
	if spilled || total == 0 {
		d.records = append(d.records, record{fmt.Sprintf("feature %d", number), content})
	}
	part := 0
	for i, l := range leaves {
		if len(l.flat) == 0 {
			continue
		}
		e := entityLine{d: d, f: f, layer: d.layerOf[number], leaf: l, number: number, part: part}
		if part == 0 {
			e.content = content
			if spilled {
				e.content = []byte(`"record"`)
			}
		}
		e.write(curves[i])
		part++
	}
}

// curves finds the curves of a feature's lines and rings again. stored is the
// attribute as it is kept beside the entities: true where the entity says it.
func (d *writer) curves(f *schema.Feature, leaves []leaf) (fits []*curve.Fit, stored schema.Value) {
	fits = make([]*curve.Fit, len(leaves))
	at := f.Attributes.Get(schema.PropCurve)
	try := func(i int, v schema.Value) schema.Value {
		l := leaves[i]
		if v.Kind() != schema.KindObject || len(l.flat) == 0 {
			return v
		}
		c, err := curve.Parse(v)
		if err == nil && l.level() {
			if fit, ok := c.Refit(l.flat, l.stride, refitTolerance/d.toMetres); ok {
				fits[i] = &fit
				return schema.Bool(true)
			}
		}
		d.tally.Add("curve-flattened", 0, "", "the points of %q no longer lie on the %s they were flattened from; they are written as straight lines", f.Label(), v.Fields().Get("type").Text())
		return v
	}
	switch at.Kind() {
	case schema.KindObject:
		if len(leaves) == 1 {
			return fits, try(0, at)
		}
	case schema.KindList:
		items := at.Items()
		if len(items) != len(leaves) {
			break
		}
		out := make([]schema.Value, len(items))
		for i, v := range items {
			out[i] = try(i, v)
		}
		return fits, schema.List(out...)
	}
	return fits, at
}

// level reports whether all vertices are at one height, or none has one.
func (l leaf) level() bool {
	if !l.hasZ {
		return true
	}
	first := l.z(0)
	for i := 1; i < len(l.flat)/l.stride; i++ {
		if z := l.z(i); z != first && !(math.IsNaN(z) && math.IsNaN(first)) {
			return false
		}
	}
	return true
}

// content is what a drawing does not know of a feature, as JSON in ASCII.
func (d *writer) content(f *schema.Feature, stored schema.Value, entities int) []byte {
	var fields schema.Attributes
	add := func(key string, v schema.Value) {
		if !v.IsAbsent() {
			fields = append(fields, schema.Attribute{Key: key, Value: v})
		}
	}
	add(schema.PropID, f.ID)
	add(schema.PropRole, schema.String(string(f.Role)))
	if f.Name != "" {
		add(schema.PropName, schema.String(f.Name))
	}
	if f.Geometry != nil {
		add(contentGeometry, form(f.Geometry))
	}
	add(contentEntities, schema.Int(int64(entities)))
	attributes := f.Attributes
	if attributes.Has(schema.PropCurve) && !stored.Equal(attributes.Get(schema.PropCurve)) {
		attributes = attributes.Clone()
		attributes.Set(schema.PropCurve, stored)
	}
	if len(attributes) > 0 {
		add(contentAttributes, schema.Object(attributes))
	}
	return asciiJSON(schema.Object(fields))
}

// asciiJSON returns a value as JSON that a drawing's texts can hold: ASCII, and
// without backslashes, carets or percent signs that a reader could take for
// codes of its own, nor two spaces in a row that one could trim.
func asciiJSON(v schema.Value) []byte {
	in := v.AppendJSON(nil)
	out := make([]byte, 0, len(in)+len(in)/8)
	code := func(r rune) {
		if r > 0xffff {
			hi, lo := utf16.EncodeRune(r)
			out = fmt.Appendf(out, `\u%04x\u%04x`, hi, lo)
			return
		}
		out = fmt.Appendf(out, `\u%04x`, r)
	}
	text := string(in)
	for i := 0; i < len(text); {
		switch c := text[i]; {
		case c == '\\' && text[i+1] == 'u':
			out = append(out, text[i:i+6]...)
			i += 6
		case c == '\\':
			plain, ok := map[byte]rune{'"': '"', '\\': '\\', 'n': '\n', 'r': '\r', 't': '\t', 'b': '\b', 'f': '\f', '/': '/'}[text[i+1]]
			if ok {
				code(plain)
			}
			i += 2
		case c == '^' || c == '%' || c == ' ' && len(out) > 0 && out[len(out)-1] == ' ':
			code(rune(c))
			i++
		case c < 0x80:
			out = append(out, c)
			i++
		default:
			for _, r := range text[i:] {
				code(r)
				i += len(string(r))
				break
			}
		}
	}
	return out
}

// entityLine is one entity on its way out.
type entityLine struct {
	d       *writer
	f       *schema.Feature
	layer   string
	leaf    leaf
	number  int
	part    int
	content []byte // JSON, on the first entity of a feature
	fields  schema.Attributes
	handle  string
}

func (e *entityLine) own(key string, v schema.Value) {
	e.fields = append(e.fields, schema.Attribute{Key: key, Value: v})
}

// head writes what every entity starts with.
func (e *entityLine) head(kind, class string) {
	d := e.d
	d.put(0, kind)
	e.handle = d.newHandle(5)
	d.put(330, handleModel)
	d.put(100, "AcDbEntity")
	d.put(8, text(e.layer))
	if e.f.Role == schema.RoleOther {
		if c, ok := whole(e.f.Attributes.Get(schema.PropColour)); ok && c >= 1 && c <= 255 {
			d.int(62, c)
		}
	}
	d.put(100, class)
}

// write writes the entity for the leaf.
func (e *entityLine) write(fit *curve.Fit) {
	d, l := e.d, e.leaf
	n := len(l.flat) / l.stride
	e.own(ownFeature, schema.Int(int64(e.number)))
	e.own(ownPart, schema.Int(int64(e.part)))
	e.own(ownLayer, schema.String(e.layer))
	missing := e.missingHeights()
	z := 0.0
	if l.hasZ && !math.IsNaN(l.z(0)) {
		z = l.z(0)
	}
	closed := l.ring && n > 3 && schema.IsClosed(l.flat, l.stride) && (!l.hasZ || l.z(0) == l.z(n-1) || math.IsNaN(l.z(0)) && math.IsNaN(l.z(n-1)))
	switch {
	case fit != nil && fit.Curve.Type == curve.Bulges:
		e.bulges(fit, z, closed)
	case fit != nil:
		e.curve(&fit.Curve, z)
	case n == 1 && e.isText():
		e.text(z)
	case n == 1 && symbolOf(e.f) != "":
		e.insert(symbolOf(e.f), z)
	case n == 1:
		e.head("POINT", "AcDbPoint")
		d.at(10, l.flat[0], l.flat[1], z)
	case n == 2 && !l.ring && e.f.Attributes.Get(schema.PropEntity).Text() == "LINE" && !missing:
		e.head("LINE", "AcDbLine")
		for k := 0; k < 2; k++ {
			z := 0.0
			if l.hasZ {
				z = l.z(k)
			}
			d.at(10+k, l.flat[k*l.stride], l.flat[k*l.stride+1], z)
		}
	case l.level():
		if closed {
			n--
		}
		e.polylineHead(n, closed, z)
		for i := 0; i < n; i++ {
			d.length(10, l.flat[i*l.stride]*d.toMetres-d.offset[0])
			d.length(20, l.flat[i*l.stride+1]*d.toMetres-d.offset[1])
		}
	default:
		e.spatial(n, closed)
		return
	}
	e.xdata()
}

// missingHeights notes the vertices without a height.
func (e *entityLine) missingHeights() bool {
	l := e.leaf
	if !l.hasZ {
		return false
	}
	n := len(l.flat) / l.stride
	var list []schema.Value
	for i := 0; i < n; i++ {
		if math.IsNaN(l.z(i)) {
			list = append(list, schema.Int(int64(i)))
		}
	}
	switch {
	case len(list) == n:
		e.own(ownNoHeight, schema.Bool(true))
	case len(list) > 0:
		e.own(ownNoHeight, schema.List(list...))
	}
	return len(list) > 0
}

func (e *entityLine) polylineHead(n int, closed bool, z float64) {
	e.head("LWPOLYLINE", "AcDbPolyline")
	e.d.int(90, n)
	e.d.int(70, bit(closed))
	if z != 0 {
		e.d.length(38, z)
	}
}

func bit(on bool) int {
	if on {
		return 1
	}
	return 0
}

func (e *entityLine) bulges(fit *curve.Fit, z float64, closed bool) {
	d, l := e.d, e.leaf
	base := fit.Base
	if closed {
		base = base[:len(base)-1]
	}
	e.polylineHead(len(base), closed, z)
	for i, v := range base {
		d.length(10, l.flat[v*l.stride]*d.toMetres-d.offset[0])
		d.length(20, l.flat[v*l.stride+1]*d.toMetres-d.offset[1])
		if i < len(fit.Curve.Bulges) && fit.Curve.Bulges[i] != 0 {
			d.real(42, fit.Curve.Bulges[i])
		}
	}
	e.segments(fit.Curve.Segments)
}

func (e *entityLine) segments(list []int) {
	out := make([]schema.Value, len(list))
	for i, n := range list {
		out[i] = schema.Int(int64(n))
	}
	e.own(ownSegments, schema.List(out...))
}

func (e *entityLine) curve(c *curve.Curve, z float64) {
	d := e.d
	scale := d.toMetres / d.unit.Metres
	start, sweep := c.Start, c.Sweep
	if sweep < 0 {
		e.own(ownClockwise, schema.Bool(true))
		start, sweep = start+sweep, -sweep
	}
	switch c.Type {
	case curve.Circle:
		e.head("CIRCLE", "AcDbCircle")
		d.exact(10, c.Centre[0], c.Centre[1], z)
		d.real(40, c.Radius*scale)
		e.own(ownStart, schema.Float(c.Start*180/math.Pi))
	case curve.Arc:
		e.head("ARC", "AcDbCircle")
		d.exact(10, c.Centre[0], c.Centre[1], z)
		d.real(40, c.Radius*scale)
		d.put(100, "AcDbArc")
		d.real(50, degrees(start))
		d.real(51, degrees(start+sweep))
	case curve.Ellipse:
		e.head("ELLIPSE", "AcDbEllipse")
		d.exact(10, c.Centre[0], c.Centre[1], z)
		major, ratio := c.Major, c.Ratio
		shift := 0.0
		if ratio > 1 { // the format asks for the longer axis
			major, ratio = [2]float64{-major[1] * ratio, major[0] * ratio}, 1/ratio
			shift = -math.Pi / 2
		}
		d.real(11, major[0]*scale)
		d.real(21, major[1]*scale)
		d.real(31, 0)
		d.real(210, 0)
		d.real(220, 0)
		d.real(230, 1)
		d.real(40, ratio)
		if math.Abs(sweep-2*math.Pi) < 1e-9 {
			d.real(41, 0)
			d.real(42, 2*math.Pi)
			e.own(ownStart, schema.Float((c.Start+shift)*180/math.Pi))
		} else {
			from := math.Mod(start+shift+4*math.Pi, 2*math.Pi)
			d.real(41, from)
			d.real(42, from+sweep)
		}
	case curve.Splines:
		s := c.Spline
		e.head("SPLINE", "AcDbSpline")
		d.real(210, 0)
		d.real(220, 0)
		d.real(230, 1)
		flags := 8 // planar
		if s.Weights != nil {
			flags |= 4
		}
		if n := len(e.leaf.flat); schema.IsClosed(e.leaf.flat[:n], e.leaf.stride) {
			flags |= 1
		}
		d.int(70, flags)
		d.int(71, s.Degree)
		d.int(72, len(s.Knots))
		d.int(73, len(s.Points))
		d.int(74, 0)
		for _, k := range s.Knots {
			d.real(40, k)
		}
		for i, p := range s.Points {
			d.exact(10, p[0], p[1], z)
			if s.Weights != nil {
				d.real(41, s.Weights[i])
			}
		}
	}
	e.segments(c.Segments)
}

// isText reports whether the feature was a text and still has one.
func (e *entityLine) isText() bool {
	kind := e.f.Attributes.Get(schema.PropEntity).Text()
	return (kind == "TEXT" || kind == "MTEXT") && strings.TrimSpace(e.f.Name) != ""
}

func (e *entityLine) text(z float64) {
	d, f := e.d, e.f
	height, ok := f.Float(schema.PropTextHeight)
	if !ok || !(height > 0) || height > 1e6 {
		height = 0.25
	}
	rotation, _ := f.Float(schema.PropRotation)
	if f.Attributes.Get(schema.PropEntity).Text() == "MTEXT" {
		e.head("MTEXT", "AcDbMText")
		d.at(10, e.leaf.flat[0], e.leaf.flat[1], z)
		d.length(40, height)
		d.real(41, 0)
		d.int(71, 1)
		d.int(72, 1)
		content := f.Name
		if note := f.Attributes.Get(schema.PropNote); note.Kind() == schema.KindString && strings.HasPrefix(note.Text(), f.Name+"\n") {
			content = note.Text()
		}
		content = strings.NewReplacer(`\`, `\\`, "{", `\{`, "}", `\}`, "\n", `\P`, "^", "^ ").Replace(content)
		content = text(content)
		for len(content) > chunkBytes {
			n := chunkBytes
			for content[n]&0xc0 == 0x80 { // not inside of a character
				n--
			}
			d.put(3, content[:n])
			content = content[n:]
		}
		d.put(1, content)
		d.real(50, rotation)
		return
	}
	e.head("TEXT", "AcDbText")
	d.at(10, e.leaf.flat[0], e.leaf.flat[1], z)
	d.length(40, height)
	d.put(1, text(strings.ReplaceAll(f.Name, "^", "^ ")))
	d.real(50, rotation)
	d.put(100, "AcDbText")
}

// spatial writes a polyline whose vertices have heights of their own.
func (e *entityLine) spatial(n int, closed bool) {
	d, l := e.d, e.leaf
	e.head("POLYLINE", "AcDb3dPolyline")
	owner := e.handle
	d.int(66, 1)
	d.real(10, 0)
	d.real(20, 0)
	d.real(30, 0)
	d.int(70, 8|bit(closed))
	e.xdata()
	if closed {
		n--
	}
	for i := 0; i < n; i++ {
		z := l.z(i)
		if math.IsNaN(z) {
			z = 0
		}
		d.put(0, "VERTEX")
		d.newHandle(5)
		d.put(330, owner)
		d.put(100, "AcDbEntity")
		d.put(8, text(e.layer))
		d.put(100, "AcDbVertex")
		d.put(100, "AcDb3dPolylineVertex")
		d.at(10, l.flat[i*l.stride], l.flat[i*l.stride+1], z)
		d.int(70, 32)
	}
	d.put(0, "SEQEND")
	d.newHandle(5)
	d.put(330, owner)
	d.put(100, "AcDbEntity")
	d.put(8, text(e.layer))
}

// xdata writes the extended data.
func (e *entityLine) xdata() {
	d := e.d
	out := asciiJSON(schema.Object(e.fields))
	if e.content != nil {
		out = append(out[:len(out)-1], `,"`+ownContent+`":`...)
		out = append(out, e.content...)
		out = append(out, '}')
	}
	d.put(1001, appID)
	d.chunks(1000, out)
}

// chunks writes a text in pieces that neither start nor end with a space, nor
// inside an escape of six bytes.
func (d *writer) chunks(code int, out []byte) {
	for len(out) > 0 {
		n := min(chunkBytes, len(out))
		if n < len(out) {
			if i := bytes.LastIndexByte(out[n-5:n], '\\'); i >= 0 {
				n += i - 5
			}
			for n > chunkBytes/2 && (out[n-1] == ' ' || out[n] == ' ') {
				n--
			}
		}
		d.put(code, string(out[:n]))
		out = out[n:]
	}
}

// objects writes the dictionaries and the records.
func (d *writer) objects() {
	p := d.plan
	fields := schema.Attributes{{Key: planVersion, Value: schema.Int(1)}}
	if p.Name != "" {
		fields.Set(planName, schema.String(p.Name))
	}
	if p.CRS != nil {
		fields.Set(planCRS, schema.String(p.CRS.ID()))
	}
	if p.Epoch != 0 {
		fields.Set(planEpoch, schema.Float(p.Epoch))
	}
	if d.offset != [2]float64{} {
		fields.Set(planOffset, schema.List(schema.Float(d.offset[0]), schema.Float(d.offset[1])))
	}
	if len(p.Attributes) > 0 {
		fields.Set(planAttributes, schema.Object(p.Attributes))
	}
	records := append([]record{{"plan", asciiJSON(schema.Object(fields))}}, d.records...)
	d.section("OBJECTS")
	dictionary := func(handle, owner string) {
		d.put(0, "DICTIONARY")
		d.put(5, handle)
		d.put(330, owner)
		d.put(100, "AcDbDictionary")
		d.int(281, 1)
	}
	dictionary(handleRoot, "0")
	d.put(3, "ACAD_GROUP")
	d.put(350, handleGroups)
	d.put(3, appID)
	d.put(350, handleRecords)
	dictionary(handleGroups, handleRoot)
	dictionary(handleRecords, handleRoot)
	handles := make([]string, len(records))
	for i, r := range records {
		handles[i] = strings.ToUpper(d.nextHandle())
		d.put(3, strings.ToUpper(strings.ReplaceAll(r.name, " ", "_")))
		d.put(350, handles[i])
	}
	for i, r := range records {
		d.put(0, "XRECORD")
		d.put(5, handles[i])
		d.put(330, handleRecords)
		d.put(100, "AcDbXrecord")
		d.int(280, 1)
		d.put(1, recordHead+r.name)
		d.chunks(1, r.text)
	}
	if d.geo() {
		d.geoData()
	}
	d.end()
}
