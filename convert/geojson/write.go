// Writing: a FeatureCollection with one feature a line.

package geojson

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// writer holds what all features of one file share.
type writer struct {
	out      io.Writer
	plan     *schema.Plan
	features []*schema.Feature // of the part in hand
	before   int               // features written before it
	tally    wire.Tally
	decimals int
	swap     bool // the system's official order is y, x, or it runs west or south
	fg       bool // coordinates go to "place"
	toWGS84  *crs.Operation
	unfit    error  // why there is none
	beside   string // the frame that "geometry" is in beside "place", "" for WGS 84
}

// Write writes the plan as GeoJSON, or as JSON-FG when it is not in WGS 84 (see
// the package's comment). Polygons are written closed and wound as RFC 7946
// asks, shells anticlockwise and holes clockwise, whatever the role. Degrees
// have 10 decimals, lengths 5, and what may be either its own digits; a vertex
// without a height has two numbers. Coordinates that are not finite are an
// error. The order of members is fixed:
// two runs give the same bytes.
func Write(out io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error) {
	w, err := NewWriter(out, o)
	if err != nil {
		return nil, err
	}
	return wire.WriteParts(w, p, o)
}

// NewWriter is Write for a plan in parts.
func NewWriter(out io.Writer, _ wire.WriteOptions) (wire.PartWriter, error) {
	return &writer{out: out}, nil
}

// Note implements wire.PartWriter.
func (w *writer) Note([]*schema.Feature) {}

// Begin implements wire.PartWriter.
func (w *writer) Begin(p *schema.Plan, o wire.WriteOptions) error {
	w.plan, w.decimals = p, wire.LengthDecimals
	if p.CRS == nil || !p.CRS.Equal(crs.WGS84()) {
		w.fg = true
	}
	if p.CRS == nil {
		w.decimals = wire.KeptDecimals
	} else {
		if p.CRS.IsDegrees() {
			w.decimals = wire.DegreeDecimals
		}
		probe := []float64{1, 2}
		if err := p.CRS.ToOfficial(probe, 2); err != nil {
			return err
		}
		w.swap = probe[0] != 1 || probe[1] != 2
	}
	if p.CRS != nil && w.fg {
		// Where no operation is fit for it, "geometry" stays null: a wrong
		// place is worse than none.
		if w.toWGS84, w.unfit = p.Operation(schema.Move{To: crs.WGS84(), Allow: o.Allow, With: o.With}); w.unfit == nil {
			if _, f := w.toWGS84.To().Plain(); f.Known() {
				w.beside = f.Name()
			}
		}
	}
	head, err := w.head()
	if err != nil {
		return err
	}
	_, err = w.out.Write(head)
	return err
}

// Part implements wire.PartWriter.
func (w *writer) Part(features []*schema.Feature) error {
	w.features = features
	err := wire.WriteInOrder(w.out, len(features), &w.tally, w.feature)
	w.before += len(features)
	return err
}

// End implements wire.PartWriter.
func (w *writer) End() ([]wire.Loss, error) {
	tail := "]}\n"
	if w.before > 0 {
		tail = "\n" + tail
	}
	if _, err := io.WriteString(w.out, tail); err != nil {
		return nil, err
	}
	return w.tally.Losses(), nil
}

// taken are the members of a FeatureCollection that no plan attribute may be
// written as: those of RFC 7946 (section 7.1 forbids the ones of other objects,
// too), of JSON-FG, and our own.
func (w *writer) taken(key string, v schema.Value) bool {
	switch key {
	case "type", "features", "bbox", "geometry", "properties", "coordinates", "geometries", "id",
		memberCRS, memberCoordRefSys, memberPlace, memberTime, memberUnknown, memberPlanAttributes, memberGeometryFrame:
		return true
	case schema.PropName:
		return w.plan.Name != "" || v.Kind() == schema.KindString && v.Text() != ""
	case schema.PropEpoch:
		e, ok := v.Float()
		return w.plan.Epoch != 0 || ok && e > 0
	case memberConformsTo:
		return onlyCore(v)
	}
	return false
}

func (w *writer) head() ([]byte, error) {
	p := w.plan
	dst := append([]byte(nil), `{"type":"FeatureCollection"`...)
	if p.Name != "" {
		dst = schema.AppendJSONString(append(dst, ",\n\"name\":"...), p.Name)
	}
	if math.IsNaN(p.Epoch) || math.IsInf(p.Epoch, 0) || p.Epoch < 0 {
		return nil, fmt.Errorf("the plan's epoch %v is no year", p.Epoch)
	}
	epoch := strconv.AppendFloat(nil, p.Epoch, 'f', -1, 64)
	switch {
	case !w.fg:
	case p.CRS == nil:
		dst = append(dst, ",\n\""+memberUnknown+"\":true"...)
	default:
		if !p.Attributes.Has(memberConformsTo) {
			dst = append(dst, ",\n\""+memberConformsTo+"\":[\""+conformsToCore+"\"]"...)
		}
		dst = append(dst, ",\n\""+memberCoordRefSys+"\":"...)
		uri := systemURI(p.CRS)
		if p.Epoch == 0 {
			dst = schema.AppendJSONString(dst, uri)
		} else {
			dst = schema.AppendJSONString(append(dst, `{"type":"Reference","href":`...), uri)
			dst = append(append(append(dst, `,"epoch":`...), epoch...), '}')
		}
	}
	if w.beside != "" {
		dst = schema.AppendJSONString(append(dst, ",\n\""+memberGeometryFrame+"\":"...), w.beside)
	}
	if p.Epoch != 0 && (!w.fg || p.CRS == nil) {
		dst = append(append(dst, ",\n\""+schema.PropEpoch+"\":"...), epoch...)
	}
	nested := false
	for _, a := range p.Attributes {
		nested = nested || w.taken(a.Key, a.Value)
	}
	if nested {
		dst = p.Attributes.AppendJSON(append(dst, ",\n\""+memberPlanAttributes+"\":"...))
	} else {
		for _, a := range p.Attributes {
			dst = schema.AppendJSONString(append(dst, ",\n"...), a.Key)
			dst = a.Value.AppendJSON(append(dst, ':'))
		}
	}
	return append(dst, ",\n\"features\":["...), nil
}

// feature appends the line of feature i of the part.
func (w *writer) feature(dst []byte, i int, t *wire.Tally) ([]byte, error) {
	f := w.features[i]
	if w.before+i > 0 {
		dst = append(dst, ',')
	}
	dst = append(dst, "\n{\"type\":\"Feature\""...)
	if !f.ID.IsAbsent() {
		switch f.ID.Kind() {
		case schema.KindString, schema.KindNumber:
			dst = f.ID.AppendJSON(append(dst, `,"id":`...))
		default:
			t.Add("id-kind", 0, "", "the id of %q is %s; GeoJSON has texts and numbers only", f.Label(), a(f.ID.Kind()))
		}
	}
	members, geometryMembers := memberLists(f)
	geometry := f.Geometry
	if geometry != nil && geometry.Empty() {
		t.Add("geometry-empty", 0, "", "the geometry of %q has no coordinates; it is written as null", f.Label())
		geometry = nil
	}
	if geometry != nil {
		turned := *f
		turned.Geometry = lengthen(geometry, f, t)
		geometry = wire.ForRings(&turned, w.plan.CRS, w.plan.Source.Winding, schema.WindingStandard, t)
	}
	var err error
	if w.fg {
		if !members.Has(memberTime) {
			dst = append(dst, `,"time":null`...)
		}
		dst = append(dst, `,"place":`...)
		if dst, err = w.geometry(dst, geometry, w.swap, geometryMembers); err != nil {
			return dst, w.inFeature(i, err)
		}
		dst = append(dst, `,"geometry":`...)
		degrees := writer{decimals: wire.DegreeDecimals}
		beside, why := w.fallback(geometry, f)
		if why != nil {
			t.Add("geometry-null", 0, "", `"geometry", which is WGS 84, is null: %s`, why)
		}
		if dst, err = degrees.geometry(dst, beside, false, nil); err != nil {
			return dst, w.inFeature(i, err)
		}
	} else {
		dst = append(dst, `,"geometry":`...)
		if dst, err = w.geometry(dst, geometry, false, geometryMembers); err != nil {
			return dst, w.inFeature(i, err)
		}
	}
	for _, m := range members {
		dst = schema.AppendJSONString(append(dst, ','), m.Key)
		dst = m.Value.AppendJSON(append(dst, ':'))
	}
	dst = append(dst, `,"properties":`...)
	dst = w.properties(dst, f, members != nil || geometryMembers != nil, t)
	return append(dst, '}'), nil
}

func (w *writer) inFeature(i int, err error) error {
	return fmt.Errorf("feature %d (%s): %w", w.before+i+1, w.features[i].Label(), err)
}

// memberLists splits the attribute MembersKey into the members that stand in
// the feature and those that stand in its geometry; both are nil when it does
// not have the form that the reader gives it, and it is then a property.
func memberLists(f *schema.Feature) (members, geometry schema.Attributes) {
	v := f.Attributes.Get(MembersKey)
	for _, m := range v.Fields() {
		switch m.Key {
		case "type", "id", "properties", "bbox", memberPlace, memberCRS, memberCoordRefSys, memberConformsTo:
			return nil, nil
		case memberTime:
			if m.Value.Kind() == schema.KindNull {
				return nil, nil
			}
		case "geometry":
			if m.Value.Kind() != schema.KindObject || f.Geometry == nil || f.Geometry.Empty() || len(m.Value.Fields()) == 0 {
				return nil, nil
			}
			for _, g := range m.Value.Fields() {
				switch g.Key {
				case "type", "coordinates", "geometries", "bbox", memberCRS, memberCoordRefSys, memberConformsTo:
					return nil, nil
				}
			}
		}
	}
	for _, m := range v.Fields() {
		if m.Key == "geometry" {
			geometry = m.Value.Fields()
			continue
		}
		members = append(members, m)
	}
	return members, geometry
}

// properties appends role, name, and all other attributes in order.
func (w *writer) properties(dst []byte, f *schema.Feature, membersOut bool, t *wire.Tally) []byte {
	dst = append(dst, '{')
	first := true
	key := func(k string) {
		if !first {
			dst = append(dst, ',')
		}
		first = false
		dst = append(schema.AppendJSONString(dst, k), ':')
	}
	if f.Role != schema.RoleOther && f.Role != "" {
		key(schema.PropRole)
		dst = schema.AppendJSONString(dst, string(f.Role))
	}
	if f.Name != "" {
		key(schema.PropName)
		dst = schema.AppendJSONString(dst, f.Name)
	}
	for i := range f.Attributes {
		a := &f.Attributes[i]
		switch {
		case a.Key == MembersKey && membersOut:
			continue
		case a.Key == schema.PropRole && f.Role != schema.RoleOther && f.Role != "", a.Key == schema.PropName && f.Name != "":
			t.Add("attribute-name-taken", 0, "", "the attribute %q of %q has the name of what the feature says itself; it is left out", a.Key, f.Label())
			continue
		}
		key(a.Key)
		dst = a.Value.AppendJSON(dst)
	}
	return append(dst, '}')
}

// fallback returns the geometry in WGS 84 longitude and latitude, nil when it
// cannot be had, and why not where the coordinates are in a known system. It starts from the numbers as written, so that reading the
// file and writing it again changes nothing.
func (w *writer) fallback(g geom.T, f *schema.Feature) (geom.T, error) {
	if g == nil {
		return nil, nil
	}
	if w.toWGS84 == nil {
		return nil, w.unfit
	}
	moved, steps := clone(g), w.plan.StepsFor(w.toWGS84, f)
	err := eachFlat(moved, func(flat []float64, stride int) error {
		for i := range flat {
			decimals := w.decimals
			if i%stride == 2 {
				decimals = wire.LengthDecimals
			}
			flat[i] = wire.Round(flat[i], decimals)
		}
		return steps.Apply(flat, stride)
	})
	if err != nil {
		return nil, err // outside the domain of the operation
	}
	return moved, nil
}

func clone(g geom.T) geom.T {
	if c, ok := g.(*geom.GeometryCollection); ok {
		out := geom.NewGeometryCollection()
		for _, part := range c.Geoms() {
			out.MustPush(clone(part)) // a new collection takes any layout
		}
		return out
	}
	out, err := schema.WithFlatCoords(g, append([]float64(nil), g.FlatCoords()...))
	if err != nil {
		return g
	}
	return out
}

// geometry appends g; foreign are members that stand behind its own.
func (w *writer) geometry(dst []byte, g geom.T, swap bool, foreign schema.Attributes) ([]byte, error) {
	var err error
	switch g := g.(type) {
	case nil:
		return append(dst, "null"...), nil
	case *geom.Point:
		dst = append(dst, `{"type":"Point","coordinates":`...)
		dst, err = w.position(dst, g.FlatCoords(), swap)
	case *geom.LineString:
		dst = append(dst, `{"type":"LineString","coordinates":`...)
		dst, err = w.positions(dst, g.FlatCoords(), g.Stride(), swap)
	case *geom.LinearRing:
		dst = append(dst, `{"type":"LineString","coordinates":`...)
		dst, err = w.positions(dst, g.FlatCoords(), g.Stride(), swap)
	case *geom.MultiPoint:
		dst = append(dst, `{"type":"MultiPoint","coordinates":`...)
		dst, err = w.positions(dst, g.FlatCoords(), g.Stride(), swap)
	case *geom.MultiLineString:
		dst = append(dst, `{"type":"MultiLineString","coordinates":`...)
		dst, err = w.lines(dst, g.FlatCoords(), g.Stride(), 0, g.Ends(), swap)
	case *geom.Polygon:
		dst = append(dst, `{"type":"Polygon","coordinates":`...)
		dst, err = w.lines(dst, g.FlatCoords(), g.Stride(), 0, g.Ends(), swap)
	case *geom.MultiPolygon:
		dst = append(dst, `{"type":"MultiPolygon","coordinates":[`...)
		start, first := 0, true
		for _, ends := range g.Endss() {
			if len(ends) == 0 {
				continue
			}
			if !first {
				dst = append(dst, ',')
			}
			first = false
			if dst, err = w.lines(dst, g.FlatCoords(), g.Stride(), start, ends, swap); err != nil {
				return dst, err
			}
			start = ends[len(ends)-1]
		}
		dst = append(dst, ']')
	case *geom.GeometryCollection:
		dst = append(dst, `{"type":"GeometryCollection","geometries":[`...)
		first := true
		for _, part := range g.Geoms() {
			if part.Empty() {
				continue
			}
			if !first {
				dst = append(dst, ',')
			}
			first = false
			if dst, err = w.geometry(dst, part, swap, nil); err != nil {
				return dst, err
			}
		}
		dst = append(dst, ']')
	default:
		return dst, fmt.Errorf("geometry type %T is not one GeoJSON has", g)
	}
	if err != nil {
		return dst, err
	}
	for _, m := range foreign {
		dst = schema.AppendJSONString(append(dst, ','), m.Key)
		dst = m.Value.AppendJSON(append(dst, ':'))
	}
	return append(dst, '}'), nil
}

func (w *writer) lines(dst []byte, flat []float64, stride, start int, ends []int, swap bool) ([]byte, error) {
	dst = append(dst, '[')
	var err error
	for i, end := range ends {
		if i > 0 {
			dst = append(dst, ',')
		}
		if dst, err = w.positions(dst, flat[start:end], stride, swap); err != nil {
			return dst, fmt.Errorf("line or ring %d: %w", i+1, err)
		}
		start = end
	}
	return append(dst, ']'), nil
}

func (w *writer) positions(dst []byte, flat []float64, stride int, swap bool) ([]byte, error) {
	if len(flat) == 0 {
		return dst, fmt.Errorf("it has no positions")
	}
	dst = append(dst, '[')
	var err error
	for i := 0; i+stride <= len(flat); i += stride {
		if i > 0 {
			dst = append(dst, ',')
		}
		if dst, err = w.position(dst, flat[i:i+stride], swap); err != nil {
			return dst, fmt.Errorf("point %d: %w", i/stride+1, err)
		}
	}
	return append(dst, ']'), nil
}

func (w *writer) position(dst []byte, v []float64, swap bool) ([]byte, error) {
	if len(v) < 2 {
		return dst, fmt.Errorf("a position needs two numbers, got %d", len(v))
	}
	x, y := v[0], v[1]
	if x-x != 0 || y-y != 0 {
		return dst, fmt.Errorf("(%v, %v) is not finite", x, y)
	}
	if swap {
		official := [2]float64{x, y}
		if err := w.plan.CRS.ToOfficial(official[:], 2); err != nil {
			return dst, err
		}
		x, y = official[0], official[1]
	}
	dst = wire.AppendFixed(append(dst, '['), x, w.decimals)
	dst = wire.AppendFixed(append(dst, ','), y, w.decimals)
	if len(v) > 2 && v[2] == v[2] {
		if v[2]-v[2] != 0 {
			return dst, fmt.Errorf("height %v is not finite", v[2])
		}
		dst = wire.AppendFixed(append(dst, ','), v[2], wire.LengthDecimals)
	}
	return append(dst, ']'), nil
}
