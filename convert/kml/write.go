// Writing a plan as OGC KML 2.2: go-kml's elements, marshalled one Placemark at
// a time, so that memory does not grow with the plan.

package kml

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"

	gokml "github.com/twpayne/go-kml/v3"

	"swardline/convert/wire"
	wirexml "swardline/convert/wire/xml"
	"swardline/crs"
	"swardline/schema"
)

// documentEnd is what stands behind the last feature.
const documentEnd = "</Document></kml>"

// Write writes a plan as KML. The plan must be in WGS 84 longitude and
// latitude; heights are metres. It returns what KML could not hold. The error
// names the feature that could not be written; w then holds part of a document.
func Write(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error) {
	e, err := NewWriter(w, o)
	if err != nil {
		return nil, err
	}
	return wire.WriteParts(e, p, o)
}

// NewWriter is Write for a plan in parts.
func NewWriter(w io.Writer, _ wire.WriteOptions) (wire.PartWriter, error) {
	return newWriter(w), nil
}

func newWriter(w io.Writer) *writer {
	e := &writer{w: w, parts: newFieldList(), fields: newFieldList()}
	e.parts.use(partRole, schema.String(""))
	return e
}

// writer holds what all features of one document share.
type writer struct {
	w      io.Writer
	tally  wire.Tally
	before int        // features written before the part in hand
	parts  *fieldList // of featureSchema
	fields *fieldList // of featureAttributes
	pool   sync.Pool  // of placemarkWriters
}

// Note implements wire.PartWriter: it finds the fields that the features need,
// for their own parts and for their attributes.
func (e *writer) Note(features []*schema.Feature) {
	for _, f := range features {
		e.parts.use(partID, f.ID)
		for i := range f.Attributes {
			e.fields.use(f.Attributes[i].Key, f.Attributes[i].Value)
		}
	}
}

// Begin implements wire.PartWriter.
func (e *writer) Begin(p *schema.Plan, o wire.WriteOptions) error {
	if err := checkCRS(p); err != nil {
		return err
	}
	for _, part := range []string{partName, partGeometry, partNulls} {
		e.parts.use(part, schema.String(""))
	}
	e.parts.settle()
	e.fields.settle()
	winding := p.Source.Winding
	e.pool.New = func() any { return newPlacemarkWriter(winding, e.parts, e.fields) }
	head, err := documentHead(p, e.parts, e.fields)
	if err != nil {
		return err
	}
	if o.ViewerNote != "" {
		// A comment: no viewer shows it as part of the plan, and the reader knows it by
		// its first words.
		declaration, rest, _ := bytes.Cut(head, []byte("\n"))
		note := strings.ReplaceAll(strings.Join(strings.Fields(cleanText(o.ViewerNote)), " "), "--", "- -")
		head = slices.Concat(declaration, []byte("\n<!-- "+forViewers+note+" -->\n"), rest)
	}
	_, err = e.w.Write(head)
	return err
}

// Part implements wire.PartWriter.
func (e *writer) Part(features []*schema.Feature) error {
	err := wire.WriteInOrder(e.w, len(features), &e.tally, func(dst []byte, i int, t *wire.Tally) ([]byte, error) {
		pw := e.pool.Get().(*placemarkWriter)
		dst, err := pw.write(dst, features[i], t)
		if err != nil {
			return dst, fmt.Errorf("feature %d (%s): %w", e.before+i+1, features[i].Label(), err)
		}
		e.pool.Put(pw) // only now: after an error its encoder is inside an element
		return dst, nil
	})
	e.before += len(features)
	return err
}

// End implements wire.PartWriter.
func (e *writer) End() ([]wire.Loss, error) {
	if _, err := io.WriteString(e.w, documentEnd+"\n"); err != nil {
		return nil, err
	}
	return e.tally.Losses(), nil
}

// checkCRS refuses a plan that KML has no coordinates for.
func checkCRS(p *schema.Plan) error {
	switch {
	case p.CRS == nil:
		return fmt.Errorf("KML holds WGS 84 longitude and latitude only, and the plan's CRS is not known: say which it is, then transform it to %s", crs.WGS84().ID())
	case !p.CRS.Equal(crs.WGS84()):
		return fmt.Errorf("KML holds WGS 84 longitude and latitude only, and the plan is in %s: transform it to %s first", p.CRS.ID(), crs.WGS84().ID())
	}
	return nil
}

// documentHead returns the document up to its first feature.
func documentHead(p *schema.Plan, parts, features *fieldList) ([]byte, error) {
	doc := gokml.Document()
	if p.Name != "" {
		doc.Append(gokml.Name(p.Name))
	}
	if text, ok := shownAttribute(schema.PropNote, p.Attributes.Get(schema.PropNote)); ok {
		doc.Append(gokml.Description(text))
	}
	for _, l := range looks {
		doc.Append(line{}, l.element())
	}
	ownParts := gokml.SchemaData("#" + planSchema)
	if !wirexml.Fits(p.Name) {
		ownParts.Append(gokml.SimpleData(partName, ownText(p.Name)))
	}
	if p.Epoch != 0 {
		ownParts.Append(gokml.SimpleData(partEpoch, strconv.FormatFloat(p.Epoch, 'f', -1, 64)))
	}
	if nulls := nullsOf(p.Attributes); nulls != "" {
		ownParts.Append(gokml.SimpleData(partNulls, nulls))
	}
	planFields := newFieldList()
	for i := range p.Attributes {
		planFields.use(p.Attributes[i].Key, p.Attributes[i].Value)
	}
	planFields.settle()
	values := gokml.SchemaData("#" + planAttributes)
	for i := range p.Attributes {
		if name, text, ok := planFields.simple(&p.Attributes[i]); ok {
			values.Append(gokml.SimpleData(name, text))
		}
	}
	planParts := newFieldList()
	for _, part := range []string{partName, partNulls} {
		planParts.use(part, schema.String(""))
	}
	planParts.use(partEpoch, schema.Float(0.5))
	planParts.settle()
	doc.Append(line{}, gokml.ExtendedData(ownParts, values))
	doc.Append(line{}, planParts.element(planSchema), line{}, planFields.element(planAttributes))
	doc.Append(line{}, parts.element(featureSchema), line{}, features.element(featureAttributes), line{})
	var b bytes.Buffer
	if err := gokml.KML(doc).Write(&b); err != nil {
		return nil, err
	}
	head, ok := bytes.CutSuffix(b.Bytes(), []byte(documentEnd))
	if !ok {
		return nil, fmt.Errorf("the document does not end in %s", documentEnd)
	}
	return head, nil
}

// line is a line break between elements, so that a document has about a line a
// feature.
type line struct{}

// MarshalXML implements xml.Marshaler.
func (line) MarshalXML(e *xml.Encoder, _ xml.StartElement) error {
	return e.EncodeToken(xml.CharData("\n"))
}

// outField is one key as a SimpleField, and what its values are.
type outField struct {
	name string // as written
	kind fieldKind
	word string // KML's type

	text, number, truth  bool
	fraction, large, low bool // numbers: past int and uint, past int, below 0
}

// fieldList is the fields of one Schema.
type fieldList struct {
	keys  []string // in the order in which they come first
	byKey map[string]*outField
}

func newFieldList() *fieldList { return &fieldList{byKey: map[string]*outField{}} }

// use takes down that a key has a value. Nulls need no field.
func (l *fieldList) use(key string, v schema.Value) {
	if k := v.Kind(); k == schema.KindNull || k == schema.KindAbsent {
		return
	}
	f := l.byKey[key]
	if f == nil {
		f = &outField{name: ownText(key)}
		l.byKey[key] = f
		l.keys = append(l.keys, key)
	}
	switch v.Kind() {
	case schema.KindBool:
		f.truth = true
	case schema.KindNumber:
		f.number = true
		if !f.fraction {
			n, err := strconv.ParseInt(v.Text(), 10, 64)
			f.fraction = err != nil || n < -1<<31 || n > 1<<32-1
			f.large = f.large || n > 1<<31-1
			f.low = f.low || n < 0
		}
	default:
		f.text = true
	}
}

// settle gives each field its type, once all values are known.
func (l *fieldList) settle() {
	for _, f := range l.byKey {
		f.kind, f.word = fieldText, "string"
		switch {
		case f.text || f.number && f.truth:
		case f.truth:
			f.kind, f.word = fieldBool, "bool"
		case f.fraction || f.large && f.low:
			f.kind, f.word = fieldNumber, "double"
		case f.large:
			f.kind, f.word = fieldNumber, "uint"
		default:
			f.kind, f.word = fieldNumber, "int"
		}
	}
}

// simple returns name and text of an attribute's SimpleData; ok is false for
// one that is null or absent.
func (l *fieldList) simple(a *schema.Attribute) (name, text string, ok bool) {
	if k := a.Value.Kind(); k == schema.KindNull || k == schema.KindAbsent {
		return "", "", false
	}
	f := l.byKey[a.Key]
	switch f.kind {
	case fieldBool:
		b, _ := a.Value.Truth()
		text = boolText(b)
	case fieldNumber:
		text = a.Value.Text()
	default:
		text = ownValue(a.Value)
	}
	return f.name, text, true
}

func (l *fieldList) element(id string) gokml.Element {
	s := gokml.NamedSchema(id, id)
	for _, key := range l.keys {
		f := l.byKey[key]
		s.Append(gokml.SimpleField(f.name, f.word))
	}
	return s
}

// nullsOf returns the field nulls of a set of attributes, "" when none is null.
func nullsOf(attributes schema.Attributes) string {
	var nulls schema.Attributes
	place := 0
	for i := range attributes {
		switch attributes[i].Value.Kind() {
		case schema.KindAbsent:
			continue
		case schema.KindNull:
			nulls = append(nulls, schema.Attribute{Key: attributes[i].Key, Value: schema.Int(int64(place))})
		}
		place++
	}
	if nulls == nil {
		return ""
	}
	return ownJSON(schema.Object(nulls))
}

// appender is a writer to a slice.
type appender struct{ b []byte }

func (a *appender) Write(p []byte) (int, error) {
	a.b = append(a.b, p...)
	return len(p), nil
}

// placemarkWriter marshals features. It is reused, and used by one at a time.
type placemarkWriter struct {
	winding schema.Winding // of the plan's source
	parts   *fieldList     // of featureSchema
	fields  *fieldList     // of featureAttributes
	out     appender
	enc     *xml.Encoder
	mark    gokml.PlacemarkElement
	data    gokml.ExtendedDataElement
	own     gokml.SchemaDataElement // the feature's parts
	values  gokml.SchemaDataElement // its attributes
	simple  []gokml.SimpleDataElement
	text    []byte // coordinates on their way out
}

func newPlacemarkWriter(winding schema.Winding, parts, fields *fieldList) *placemarkWriter {
	w := &placemarkWriter{winding: winding, parts: parts, fields: fields}
	w.enc = xml.NewEncoder(&w.out)
	w.own.SchemaURL = "#" + featureSchema
	w.values.SchemaURL = "#" + featureAttributes
	return w
}

// add appends a SimpleData. The elements are kept in one slice that is used
// again for the next feature.
func (w *placemarkWriter) add(to *gokml.SchemaDataElement, name, text string) {
	w.simple = append(w.simple, gokml.SimpleDataElement{Name: name, Value: text})
	to.Append(&w.simple[len(w.simple)-1])
}

// write appends a feature as one line. After an error w is not used again.
func (w *placemarkWriter) write(dst []byte, f *schema.Feature, t *wire.Tally) ([]byte, error) {
	w.mark.Children = w.mark.Children[:0]
	w.data.Children = w.data.Children[:0]
	w.own.Children = w.own.Children[:0]
	w.values.Children = w.values.Children[:0]
	if f.Name != "" {
		w.mark.Append(gokml.Name(f.Name))
	}
	g := newGeometryWriter(w, f, t)
	geometry, err := g.element()
	if err != nil {
		return dst, err
	}
	role := f.Role
	if role == "" {
		role = schema.RoleOther
	}
	w.mirrors(f.Attributes)
	w.mark.Append(gokml.StyleURL(styleURL(role)))

	const parts = 5 // role, id, name, geometry, nulls
	if need := len(f.Attributes) + parts; cap(w.simple) < need {
		w.simple = make([]gokml.SimpleDataElement, 0, need) // never grows while pointers into it are out
	}
	w.simple = w.simple[:0]
	w.add(&w.own, partRole, string(role))
	if name, text, ok := w.parts.simple(&schema.Attribute{Key: partID, Value: f.ID}); ok {
		w.add(&w.own, name, text)
	}
	if !wirexml.Fits(f.Name) {
		w.add(&w.own, partName, ownText(f.Name))
	}
	if g.typed != "" {
		w.add(&w.own, partGeometry, g.typed)
	}
	if nulls := nullsOf(f.Attributes); nulls != "" {
		w.add(&w.own, partNulls, nulls)
	}
	for i := range f.Attributes {
		if name, text, ok := w.fields.simple(&f.Attributes[i]); ok {
			w.add(&w.values, name, text)
		}
	}
	w.data.Append(&w.own)
	if len(w.values.Children) > 0 {
		w.data.Append(&w.values)
	}
	w.mark.Append(&w.data)
	if geometry != nil {
		w.mark.Append(geometry)
	}
	w.out.b = dst
	err = w.mark.MarshalXML(w.enc, xml.StartElement{})
	if err == nil {
		err = w.enc.Flush()
	}
	dst, w.out.b = w.out.b, nil
	if err != nil {
		return dst, err
	}
	return append(dst, '\n'), nil
}

// mirrors adds the elements of KML's own that attributes show as, in the order
// that the standard's schema asks for.
func (w *placemarkWriter) mirrors(attributes schema.Attributes) {
	var shown [len(mirrored)]string
	var have [len(mirrored)]bool
	any := false
	for i := range attributes {
		for k, key := range mirrored {
			if attributes[i].Key == key {
				shown[k], have[k] = shownAttribute(key, attributes[i].Value)
				any = any || have[k]
			}
		}
	}
	if !any {
		return
	}
	if have[mirrorVisibility] {
		w.mark.Append(gokml.Visibility(shown[mirrorVisibility] == "1"))
	}
	if have[mirrorAddress] {
		w.mark.Append(gokml.Address(shown[mirrorAddress]))
	}
	if have[mirrorPhone] {
		w.mark.Append(gokml.PhoneNumber(shown[mirrorPhone]))
	}
	if have[mirrorSnippet] {
		w.mark.Append(gokml.Snippet(shown[mirrorSnippet]))
	}
	if have[mirrorNote] {
		w.mark.Append(gokml.Description(shown[mirrorNote]))
	}
	switch {
	case have[mirrorTime]:
		w.mark.Append(gokml.TimeStamp(textElement{"when", shown[mirrorTime]}))
	case have[mirrorBegin] || have[mirrorEnd]:
		span := gokml.TimeSpan()
		if have[mirrorBegin] {
			span.Append(textElement{"begin", shown[mirrorBegin]})
		}
		if have[mirrorEnd] {
			span.Append(textElement{"end", shown[mirrorEnd]})
		}
		w.mark.Append(span)
	}
}

// The attributes that show as elements of a Placemark.
const (
	mirrorVisibility = iota
	mirrorAddress
	mirrorPhone
	mirrorSnippet
	mirrorNote
	mirrorTime
	mirrorBegin
	mirrorEnd
)

var mirrored = [...]string{propVisibility, propAddress, propPhone, propSnippet, schema.PropNote, propTime, propTimeBegin, propTimeEnd}

// textElement is an element that go-kml only makes of a time.Time, which would
// not keep a date without a time of day as it is.
type textElement struct{ name, text string }

// MarshalXML implements xml.Marshaler.
func (t textElement) MarshalXML(e *xml.Encoder, _ xml.StartElement) error {
	return e.EncodeElement(t.text, xml.StartElement{Name: xml.Name{Local: t.name}})
}

// joinTypes writes the parts of a collection for the field geometry.
func joinTypes(parts []string) string { return "(" + strings.Join(parts, ",") + ")" }
