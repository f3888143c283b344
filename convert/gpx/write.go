// Writing GPX 1.1: waypoints, then routes, then tracks, as the schema wants.

package gpx

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// creator is what the files we write say about their maker.
const creator = "swardline"

const header = `<?xml version="1.0" encoding="UTF-8"?>
<gpx xmlns="` + namespace11 + `" xmlns:s="` + Namespace + `" version="1.1" creator="` + creator + `">
`

// Write writes a plan as GPX 1.1, as the package's comment says. The plan must
// be in WGS 84 degrees. It returns what GPX could not hold: measures (M), rings
// that had to be closed or turned, a longitude of 180 written as -180. An error
// means that w holds no whole plan.
func Write(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error) {
	f := &file{w: w}
	if err := f.Begin(p, o); err != nil {
		return nil, err
	}
	for k := range f.sections {
		e := &f.sections[k]
		e.w = w // the one before is written
		for i, feature := range p.Features {
			if e.section(i, feature); e.err != nil {
				return nil, e.err
			}
		}
		e.flush()
	}
	return f.End()
}

// sameAsGPX reports whether coordinates of the CRS are what GPX means:
// longitude and latitude on WGS 84, by whichever of its names.
func sameAsGPX(c *crs.CRS) bool {
	switch c.ID() {
	case crs.WGS84().ID(), "EPSG:4326", "EPSG:4979":
		return c.IsDegrees()
	}
	return false
}

// flushAt is how many bytes are gathered before they are written.
const flushAt = 1 << 16

// writer writes one section of a file.
type writer struct {
	w       io.Writer
	section func(i int, f *schema.Feature) // writes what of feature i stands in it

	out   []byte
	plan  *schema.Plan
	tally wire.Tally
	err   error
	json  []byte
	lists []vertexList

	opened bool // the extensions of the file are
}

func (e *writer) put(s string) { e.out = append(e.out, s...) }

func (e *writer) flush() {
	if e.err == nil {
		_, e.err = e.w.Write(e.out)
	}
	e.out = e.out[:0]
}

func (e *writer) flushFull() {
	if len(e.out) >= flushAt {
		e.flush()
	}
}

// text appends name="s", or name-json when XML cannot hold the text.
func (e *writer) text(name, s string) {
	e.put(" ")
	e.put(name)
	if holdable(s) {
		e.put(`="`)
		e.out = appendEscaped(e.out, s, true)
	} else {
		e.put(`-json="`)
		e.json = schema.AppendJSONString(e.json[:0], s)
		e.out = appendJSON(e.out, e.json, true)
	}
	e.put(`"`)
}

// nativeName reports whether a name can stand in GPX's own element.
func nativeName(s string) bool { return holdable(s) && strings.TrimSpace(s) != "" }

func (e *writer) name(s string) {
	if nativeName(s) {
		e.out = appendElement(e.out, "name", s)
		e.put("\n")
	}
}

func (e *writer) nameJSON(s string) {
	if s != "" && !nativeName(s) {
		e.put(` name-json="`)
		e.json = schema.AppendJSONString(e.json[:0], s)
		e.out = appendJSON(e.out, e.json, true)
		e.put(`"`)
	}
}

// attributes appends s:attribute elements; native says which of them stand in
// GPX's own elements.
func (e *writer) attributes(a schema.Attributes, native func(schema.Attribute) bool) {
	for _, a := range a {
		if a.Value.IsAbsent() {
			continue
		}
		e.put("<s:attribute")
		e.text("name", a.Key)
		if native(a) {
			e.put(` native="true"/>` + "\n")
			continue
		}
		e.put(">")
		e.json = a.Value.AppendJSON(e.json[:0])
		e.out = appendJSON(e.out, e.json, false)
		e.put("</s:attribute>\n")
	}
}

// holder finds the field that an attribute may be written as.
func holder(fields []field, a schema.Attribute) *field {
	for i := range fields {
		f := &fields[i]
		if f.key == a.Key {
			if f.name == "name" || !f.holds(a.Value) {
				return nil
			}
			return f
		}
	}
	return nil
}

// fields appends the attributes that stand in GPX's own elements, in the
// schema's order, but for the extensions.
func (e *writer) fields(fields []field, a schema.Attributes, role schema.Role) {
	for i := range fields {
		f := &fields[i]
		if f.name == "name" || f.form == formExtensions {
			continue
		}
		v := a.Get(f.key)
		switch {
		case !v.IsAbsent() && f.holds(v):
			e.out = f.write(e.out, v)
			e.put("\n")
		case f.name == "type" && role != schema.RoleOther && role != "":
			e.out = appendElement(e.out, "type", string(role))
			e.put("\n")
		}
	}
}

// foreign appends the attribute that holds foreign extensions, if it does.
func (e *writer) foreign(v schema.Value) {
	if v.Kind() != schema.KindString {
		return
	}
	wrap, ok := canonicalExtensions(v.Text())
	switch {
	case !ok:
	case wrap:
		e.put("<s:kept>")
		e.put(v.Text())
		e.put("</s:kept>\n")
	default:
		e.put(v.Text())
		e.put("\n")
	}
}

func (e *writer) metadata() {
	p := e.plan
	ownCRS := !p.CRS.Equal(crs.WGS84())
	if p.Name == "" && p.Epoch == 0 && len(p.Attributes) == 0 && !ownCRS {
		return
	}
	e.put("<metadata>\n")
	e.name(p.Name)
	e.fields(metadataFields, p.Attributes, "")
	e.put("<extensions><s:plan")
	e.nameJSON(p.Name)
	if p.Epoch != 0 {
		e.put(` epoch="` + strconv.FormatFloat(p.Epoch, 'f', -1, 64) + `"`)
	}
	if ownCRS {
		e.text("crs", p.CRS.ID())
	}
	e.put(">\n")
	e.attributes(p.Attributes, func(a schema.Attribute) bool {
		return holder(metadataFields, a) != nil || a.Key == extensionsKey && fieldNamed(pointFields, []byte("extensions")).holds(a.Value)
	})
	e.put("</s:plan>\n")
	e.foreign(p.Attributes.Get(metadataExtensionsKey))
	e.put("</extensions>\n</metadata>\n")
}

// feature appends s:feature with its attributes. alone is true where no element
// of GPX stands round it to hold the name.
func (e *writer) feature(i int, f *schema.Feature, geometry string, alone bool, native func(schema.Attribute) bool) {
	e.put(`<s:feature n="`)
	e.out = strconv.AppendInt(e.out, int64(i)+1, 10)
	e.put(`"`)
	switch f.ID.Kind() {
	case schema.KindNumber:
		e.text("id", f.ID.Text())
		e.put(` id-type="number"`)
	case schema.KindString:
		e.text("id", f.ID.Text())
	}
	if alone && f.Name != "" {
		e.text("name", f.Name)
	} else {
		e.nameJSON(f.Name)
	}
	e.put(` role="`)
	if _, ok := schema.ParseRole(string(f.Role)); ok {
		e.put(string(f.Role))
	} else {
		e.put(string(schema.RoleOther))
	}
	e.put(`"`)
	e.shape(geometry, f.Geometry, false)
	members := []geom.T(nil)
	if c, ok := f.Geometry.(*geom.GeometryCollection); ok {
		members = c.Geoms()
	}
	if len(members) == 0 && len(f.Attributes) == 0 {
		e.put("/>\n")
		return
	}
	e.put(">\n")
	e.attributes(f.Attributes, native)
	e.members(members)
	e.put("</s:feature>\n")
}

// shape appends the attributes geometry, empty and, for a member, pieces.
func (e *writer) shape(geometry string, g geom.T, isMember bool) {
	if geometry != "" {
		e.put(` geometry="` + geometry + `"`)
	}
	if isMember {
		points, lines := countPieces(g)
		if n := points + lines; n > 0 {
			e.put(` pieces="` + strconv.Itoa(n) + `"`)
		}
	}
	if m, ok := g.(*geom.MultiPoint); ok {
		var empty []string
		start := 0
		for i, end := range m.Ends() {
			if end == start {
				empty = append(empty, strconv.Itoa(i+1))
			}
			start = end
		}
		if len(empty) > 0 {
			e.put(` empty="` + strings.Join(empty, " ") + `"`)
		}
	}
}

func (e *writer) members(list []geom.T) {
	for _, g := range list {
		e.put("<s:member")
		c, ok := g.(*geom.GeometryCollection)
		e.shape(schema.TypeName(g), g, !ok)
		if !ok || c.NumGeoms() == 0 {
			e.put("/>\n")
			continue
		}
		e.put(">\n")
		e.members(c.Geoms())
		e.put("</s:member>\n")
	}
}

// countPieces returns how many waypoints and how many segments a geometry
// takes.
func countPieces(g geom.T) (points, lines int) {
	switch g := g.(type) {
	case *geom.Point:
		if !g.Empty() {
			points = 1
		}
	case *geom.MultiPoint:
		points = len(g.FlatCoords()) / max(g.Stride(), 1)
	case *geom.LineString, *geom.LinearRing:
		lines = 1
	case *geom.Polygon:
		lines = len(g.Ends())
	case *geom.MultiLineString:
		lines = len(g.Ends())
	case *geom.MultiPolygon:
		for _, ends := range g.Endss() {
			lines += max(len(ends), 1) // a part without rings takes an empty one
		}
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			p, l := countPieces(part)
			points, lines = points+p, lines+l
		}
	}
	return points, lines
}

func never(schema.Attribute) bool { return false }

// vertex appends one point's start tag, elevation and the tag's end, or all of
// an empty element when nothing else is to follow.
func (e *writer) vertex(name string, f *schema.Feature, v []float64, layout geom.Layout, more bool) {
	lon, lat := v[0], v[1]
	if !(math.Abs(lat) <= 90 && math.Abs(lon) <= 180) {
		if e.err == nil {
			e.err = fmt.Errorf("feature %q has a point at longitude %v, latitude %v, which GPX cannot hold", f.Label(), lon, lat)
		}
		return
	}
	e.put("<")
	e.put(name)
	e.put(` lat="`)
	e.out = wire.AppendFixed(e.out, lat, wire.DegreeDecimals)
	e.put(`" lon="`)
	if lon > 180-0.5e-10 {
		lon = -180
		e.tally.Add("longitude-180", 0, "", "GPX has no longitude 180; a point of %q is written at -180, the same place", f.Label())
	}
	e.out = wire.AppendFixed(e.out, lon, wire.DegreeDecimals)
	z := layout.ZIndex()
	switch {
	case z >= 0 && v[z] == v[z]:
		if math.IsInf(v[z], 0) {
			e.err = fmt.Errorf("feature %q has an infinite height", f.Label())
			return
		}
		e.put(`"><ele>`)
		e.out = wire.AppendFixed(e.out, v[z], wire.LengthDecimals)
		e.put("</ele>")
	case more:
		e.put(`">`)
	default:
		e.put("\"/>\n")
		return
	}
	if !more {
		e.put("</")
		e.put(name)
		e.put(">\n")
	}
}

func (e *writer) measures(f *schema.Feature, g geom.T) {
	if g.Layout().MIndex() >= 0 {
		e.tally.AddN("measure", max(1, len(g.FlatCoords())/g.Stride()), 0, "", "GPX has no place for the measures (M) of %q", f.Label())
	}
}

func (e *writer) waypoints(i int, f *schema.Feature) {
	switch g := f.Geometry.(type) {
	case *geom.Point:
		if g.Empty() {
			return
		}
		e.measures(f, g)
		e.vertex("wpt", f, g.FlatCoords(), g.Layout(), true)
		e.put("\n")
		e.fields(pointFields[:3], f.Attributes, "") // time, magvar, geoidheight
		e.name(f.Name)
		e.fields(pointFields[4:], f.Attributes, f.Role)
		e.put("<extensions>")
		e.feature(i, f, "", false, func(a schema.Attribute) bool { return holder(pointFields, a) != nil })
		e.foreign(f.Attributes.Get(extensionsKey))
		e.put("</extensions>\n</wpt>\n")
	case *geom.MultiPoint, *geom.GeometryCollection:
		first := true
		e.eachPoint(g, f, func(v []float64, layout geom.Layout) {
			e.vertex("wpt", f, v, layout, true)
			if first {
				first = false
				e.name(f.Name)
				e.fields(pointFields[9:10], nil, f.Role)
				e.put("<extensions>")
				e.feature(i, f, schema.TypeName(g), false, never)
			} else {
				e.put("<extensions>")
				e.more(i)
			}
			e.put("</extensions></wpt>\n")
			e.flushFull()
		})
	}
	e.flushFull()
}

func (e *writer) more(i int) {
	e.put(`<s:more n="`)
	e.out = strconv.AppendInt(e.out, int64(i)+1, 10)
	e.put(`"/>`)
}

// eachPoint calls do for every point that is no part of a line or ring.
func (e *writer) eachPoint(g geom.T, f *schema.Feature, do func([]float64, geom.Layout)) {
	switch g := g.(type) {
	case *geom.Point, *geom.MultiPoint:
		e.measures(f, g)
		flat, stride := g.FlatCoords(), g.Stride()
		for i := 0; i+stride <= len(flat) && stride > 1; i += stride {
			do(flat[i:i+stride], g.Layout())
		}
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			e.eachPoint(part, f, do)
		}
	}
}

// vertexList is an attribute whose values stand at the vertices of a line.
type vertexList struct {
	field  *field
	values []schema.Value // one a vertex
}

// listsOf returns the attributes that can stand at the vertices of the
// geometry: lists nested as it is, each value null or one that the field holds.
func (e *writer) listsOf(f *schema.Feature) []vertexList {
	e.lists = e.lists[:0]
	for _, a := range f.Attributes {
		if a.Key != schema.PropTimes && !strings.HasPrefix(a.Key, pointPrefix) || a.Value.Kind() != schema.KindList {
			continue
		}
		for i := range vertexFields {
			field := &vertexFields[i]
			if field.key != a.Key {
				continue
			}
			if values := flatten(a.Value, f.Geometry); values != nil && eachHolds(field, values) {
				e.lists = append(e.lists, vertexList{field, values})
			}
		}
	}
	return e.lists
}

func flatten(v schema.Value, g geom.T) []schema.Value {
	switch g := g.(type) {
	case *geom.LineString:
		if len(v.Items()) == len(g.FlatCoords())/g.Stride() {
			return v.Items()
		}
	case *geom.MultiLineString:
		if len(v.Items()) != len(g.Ends()) {
			return nil
		}
		var out []schema.Value
		start := 0
		for i, end := range g.Ends() {
			part := v.Items()[i]
			if part.Kind() != schema.KindList || len(part.Items()) != (end-start)/g.Stride() {
				return nil
			}
			out = append(out, part.Items()...)
			start = end
		}
		return out
	}
	return nil
}

// eachHolds reports whether the field holds every value that is not null, and
// that there is one.
func eachHolds(f *field, values []schema.Value) bool {
	some := false
	var last string // extensions are costly to check and mostly repeat
	for _, v := range values {
		if v.Kind() == schema.KindNull {
			continue
		}
		if some && f.form == formExtensions && v.Kind() == schema.KindString && v.Text() == last {
			continue
		}
		if !f.holds(v) {
			return false
		}
		some, last = true, v.Text()
	}
	return some
}

// segmentsOf returns the foreign extensions of a track's segments when they can
// be written where they stood.
func segmentsOf(f *schema.Feature, segments int) []schema.Value {
	v := f.Attributes.Get(segmentExtensionsKey)
	if v.Kind() != schema.KindList || len(v.Items()) != segments || !eachHolds(fieldNamed(lineFields, []byte("extensions")), v.Items()) {
		return nil
	}
	return v.Items()
}

func asTrack(f *schema.Feature) bool {
	return f.Attributes.Get(KindAttribute).Kind() == schema.KindString && f.Attributes.Get(KindAttribute).Text() == "trk"
}

func (e *writer) routes(i int, f *schema.Feature) {
	g, ok := f.Geometry.(*geom.LineString)
	if !ok || asTrack(f) {
		return
	}
	e.measures(f, g)
	e.put("<rte>\n")
	lists := e.lineHead(i, f, "", nil)
	e.points("rtept", f, g.FlatCoords(), g.Layout(), lists, 0)
	e.put("</rte>\n")
	e.flushFull()
}

// lineHead appends what stands before the points of a rte or trk.
func (e *writer) lineHead(i int, f *schema.Feature, geometry string, segments []schema.Value) []vertexList {
	lists := e.listsOf(f)
	_, isLine := f.Geometry.(*geom.LineString)
	e.name(f.Name)
	e.fields(lineFields, f.Attributes, f.Role)
	e.put("<extensions>")
	e.feature(i, f, geometry, false, func(a schema.Attribute) bool {
		switch {
		case a.Key == KindAttribute:
			return isLine && asTrack(f)
		case a.Key == segmentExtensionsKey:
			return segments != nil
		}
		for _, l := range lists {
			if l.field.key == a.Key {
				return true
			}
		}
		return holder(lineFields, a) != nil
	})
	e.foreign(f.Attributes.Get(extensionsKey))
	e.put("</extensions>\n")
	return lists
}

// points appends the vertices of one line; first is the index of its first one
// in the lists.
func (e *writer) points(name string, f *schema.Feature, flat []float64, layout geom.Layout, lists []vertexList, first int) {
	stride := layout.Stride()
	if len(lists) == 0 {
		for i := 0; i+stride <= len(flat); i += stride {
			e.vertex(name, f, flat[i:i+stride], layout, false)
			e.flushFull()
		}
		return
	}
	for i := 0; i+stride <= len(flat); i += stride {
		v := flat[i : i+stride]
		at := first + i/stride
		any := false
		for _, l := range lists {
			any = any || l.values[at].Kind() != schema.KindNull
		}
		e.vertex(name, f, v, layout, any)
		if !any {
			continue
		}
		for j := range vertexFields {
			field := &vertexFields[j]
			for _, l := range lists {
				if l.field != field || l.values[at].Kind() == schema.KindNull {
					continue
				}
				if field.form == formExtensions {
					e.put("<extensions>")
					e.foreign(l.values[at])
					e.put("</extensions>")
				} else {
					e.out = field.write(e.out, l.values[at])
				}
			}
		}
		e.put("</")
		e.put(name)
		e.put(">\n")
		e.flushFull()
	}
}

func (e *writer) tracks(i int, f *schema.Feature) {
	switch g := f.Geometry.(type) {
	case *geom.LineString:
		if !asTrack(f) {
			return
		}
	case *geom.LinearRing, *geom.Polygon, *geom.MultiLineString, *geom.MultiPolygon:
	case *geom.GeometryCollection:
		points, lines := countPieces(g)
		if lines == 0 {
			return
		}
		e.put("<trk>\n")
		if points > 0 {
			e.put("<extensions>")
			e.more(i)
			e.put("</extensions>\n")
		} else {
			e.name(f.Name)
			e.fields(lineFields[6:7], nil, f.Role)
			e.put("<extensions>")
			e.feature(i, f, schema.TypeName(g), false, never)
			e.put("</extensions>\n")
		}
		e.segments(f, e.oriented(f), nil, nil)
		e.put("</trk>\n")
		return
	default:
		return
	}
	geometry := schema.TypeName(f.Geometry)
	var segments []schema.Value
	switch f.Geometry.(type) {
	case *geom.LineString, *geom.MultiLineString:
		_, lines := countPieces(f.Geometry)
		segments = segmentsOf(f, lines)
	}
	e.put("<trk>\n")
	lists := e.lineHead(i, f, geometry, segments)
	e.segments(f, e.oriented(f), lists, segments)
	e.put("</trk>\n")
	e.flushFull()
}

// oriented returns the feature's geometry with its rings closed and in drive
// order.
func (e *writer) oriented(f *schema.Feature) geom.T {
	return wire.ForRings(f, e.plan.CRS, e.plan.Source.Winding, schema.WindingDriven, &e.tally)
}

// segments appends a trkseg for every line and ring of a geometry.
func (e *writer) segments(f *schema.Feature, g geom.T, lists []vertexList, foreign []schema.Value) {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			e.segments(f, part, nil, nil)
		}
		return
	}
	segment := func(from, to int, mark string) {
		e.put("<trkseg>\n")
		e.points("trkpt", f, g.FlatCoords()[from:to], g.Layout(), lists, from/g.Stride())
		e.put(mark)
		e.put("</trkseg>\n")
	}
	switch g := g.(type) {
	case *geom.LineString, *geom.LinearRing:
		e.measures(f, g)
		segment(0, len(g.FlatCoords()), e.segmentForeign(foreign, 0))
	case *geom.MultiLineString:
		e.measures(f, g)
		start := 0
		for i, end := range g.Ends() {
			segment(start, end, e.segmentForeign(foreign, i))
			start = end
		}
	case *geom.Polygon:
		e.measures(f, g)
		start := 0
		for i, end := range g.Ends() {
			mark := ""
			if i > 0 {
				mark = holeMark
			}
			segment(start, end, mark)
			start = end
		}
	case *geom.MultiPolygon:
		e.measures(f, g)
		start := 0
		for _, ends := range g.Endss() {
			if len(ends) == 0 {
				segment(start, start, noneMark)
			}
			for i, end := range ends {
				mark := shellMark
				if i > 0 {
					mark = holeMark
				}
				segment(start, end, mark)
				start = end
			}
		}
	}
}

const (
	shellMark = "<extensions><s:shell/></extensions>\n"
	holeMark  = "<extensions><s:hole/></extensions>\n"
	noneMark  = "<extensions><s:none/></extensions>\n"
)

func (e *writer) segmentForeign(foreign []schema.Value, i int) string {
	if foreign == nil || foreign[i].Kind() != schema.KindString {
		return ""
	}
	text := foreign[i].Text()
	if wrap, _ := canonicalExtensions(text); wrap {
		text = "<s:kept>" + text + "</s:kept>"
	}
	return "<extensions>" + text + "</extensions>\n"
}

// rootFeature appends a feature that has no vertex to stand at.
func (e *writer) rootFeature(i int, f *schema.Feature) {
	geometry := schema.TypeName(f.Geometry)
	switch g := f.Geometry.(type) {
	case nil:
	case *geom.Point, *geom.MultiPoint, *geom.GeometryCollection:
		if points, lines := countPieces(g); points+lines > 0 {
			return
		}
	case *geom.LineString, *geom.LinearRing, *geom.Polygon, *geom.MultiLineString, *geom.MultiPolygon:
		return
	default:
		e.err = fmt.Errorf("feature %q has a geometry of type %T, which no plan holds", f.Label(), g)
		return
	}
	e.openRoot()
	e.feature(i, f, geometry, true, never)
	e.flushFull()
}

// openRoot opens the extensions of the file.
func (e *writer) openRoot() {
	if !e.opened {
		e.opened = true
		e.put("<extensions>\n")
	}
}

// closeRoot appends the foreign extensions of the file, and closes them.
func (e *writer) closeRoot() {
	if v := e.plan.Attributes.Get(extensionsKey); v.Kind() == schema.KindString {
		if _, ok := canonicalExtensions(v.Text()); ok {
			e.openRoot()
			e.foreign(v)
		}
	}
	if e.opened {
		e.put("</extensions>\n")
	}
}
