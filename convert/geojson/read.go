// Reading: the document, its features and their geometries.

package geojson

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// parser walks over the text. One parser serves one goroutine.
type parser struct {
	data        []byte
	lists       *wire.Lists // where lists of coordinates are noted, nil for nowhere
	nesting     int         // the limit input_max_nesting
	maxVertices float64     // the limit input_max_vertices

	// strictGeometry and strictPlace make the first position that is no
	// longitude and latitude a fault; strict is what holds for the geometry in
	// hand. They are set on a second walk only, which finds the place of what
	// the first one saw.
	strictGeometry, strictPlace, strict bool

	t       wire.Tally
	line    int // of data[lineAt]
	lineAt  int
	texts   map[string]string // keys and short texts seen before
	scratch []float64
	stride  int
	slab    []float64
	endSlab []int

	endScratch, lineEnds []int
	properties           schema.Attributes // scratch
	features             []schema.Feature  // slab

	vertices     int
	extraNumbers int
	seen         tally
	states       *statement // the first coordinate system that was named
	manner       manner     // settled by it
	hollow       *hollow    // where the features were taken out of the text, nil for nowhere
}

// tally is what the features said together.
type tally struct {
	geometries int  // features whose coordinates are those of "geometry"
	places     int  // features whose coordinates are those of "place"
	says       int  // features and geometries that name a coordinate system
	whole      bool // whether the file itself names one
	// Whether numbers that are no longitude and latitude were among them.
	outsideGeometry, outsidePlace bool
	extent                        extent // of the coordinates in use
}

func (t *tally) merge(u tally) {
	t.geometries += u.geometries
	t.places += u.places
	t.says += u.says
	t.whole = t.whole || u.whole
	t.outsideGeometry = t.outsideGeometry || u.outsideGeometry
	t.outsidePlace = t.outsidePlace || u.outsidePlace
	t.extent.merge(u.extent)
}

func newParser(data []byte, o *wire.ReadOptions) *parser {
	caps := o.Caps()
	return &parser{data: data, nesting: int(caps.InputMaxNesting), maxVertices: caps.InputMaxVertices, line: 1,
		texts: map[string]string{}, seen: tally{extent: noExtent()}}
}

// lineOf returns the line of an offset; offsets mostly grow from call to call.
func (p *parser) lineOf(at int) int {
	if p.hollow != nil && at > p.hollow.at {
		line, _ := wire.LineColumn(p.data, at)
		return line + p.hollow.lines
	}
	if at < p.lineAt {
		line, _ := wire.LineColumn(p.data, at)
		return line
	}
	p.line += bytes.Count(p.data[p.lineAt:at], []byte{'\n'})
	p.lineAt = at
	return p.line
}

// item is one feature on its way into the plan.
type item struct {
	feature *schema.Feature
	at      int // where it starts
	place   bool
	// beside is the "geometry" of a feature whose "place" was taken.
	beside geom.T
}

// document is the whole file as read, before its coordinates are settled.
type document struct {
	plan    *schema.Plan
	items   []item
	unknown bool // marked "crs_unknown"
	// geometryFrame is the frame that "geometry" is in beside "place".
	geometryFrame string
	bbox          schema.Value
	bboxAt        int
}

// Read reads a plan from the text of a GeoJSON or JSON-FG file. Rings are kept
// as they run. Errors are *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	data, err := charset.Plain(data, &o, &t)
	if err != nil {
		return nil, nil, err
	}
	p := newParser(data, &o)
	p.t = t
	if p.lists = o.Lists; p.lists != nil {
		p.lists.Text = data
	}
	doc, f := p.document()
	if f == nil {
		f = p.tooManyFeatures(len(doc.items), &o)
	}
	if f == nil {
		f = p.settle(doc, &o)
	}
	if f != nil {
		return nil, nil, f.inputError(data, o.Name)
	}
	plan := p.plan(doc, &o)
	plan.Features = make([]*schema.Feature, len(doc.items))
	for i := range doc.items {
		plan.Features[i] = doc.items[i].feature
	}
	return plan, p.t.Warnings(), nil
}

func (p *parser) tooManyFeatures(n int, o *wire.ReadOptions) *fault {
	if float64(n) <= o.Caps().InputMaxFeatures {
		return nil
	}
	return faultf(0, "the plan has %d features; the limit input_max_features is %.0f", n, o.Caps().InputMaxFeatures).mendBy("split the plan, or raise the limit in a limits file")
}

// plan is what a document is beside its features.
func (p *parser) plan(doc *document, o *wire.ReadOptions) *schema.Plan {
	if p.extraNumbers > 0 {
		p.t.AddN("position-extra-numbers", p.extraNumbers, 0, "", "positions have more than three numbers; those past the height are 0 and were left out")
	}
	doc.plan.Source = schema.Source{File: o.Name, Format: FormatName, Winding: schema.WindingStandard}
	return doc.plan
}

// document reads the outermost object.
func (p *parser) document() (*document, *fault) {
	at := jsontext.SkipSpace(p.data, 0)
	if at < len(p.data) && p.data[at] == '[' {
		return nil, p.checkJSON(at, faultf(at, "a list stands where an object should: a GeoJSON file is one FeatureCollection").mendBy(`wrap the features: {"type": "FeatureCollection", "features": [...]}`))
	}
	if at >= len(p.data) || p.data[at] != '{' {
		return nil, p.unexpected(at, "an object").mendBy("a GeoJSON file is one object that starts with {")
	}
	doc := &document{plan: &schema.Plan{}}
	var end int
	var f *fault
	switch typ, found := peekType(p.data, at); {
	case typ == "Feature":
		it, next, fault := p.feature(at, "")
		doc.items, end, f = []item{it}, next, fault
	case depthOf(typ) > 0 || typ == "GeometryCollection":
		it, next, fault := p.bareGeometry(at)
		doc.items, end, f = []item{it}, next, fault
	case typ == "FeatureCollection" || !found:
		end, f = p.collection(at, doc)
	case strings.EqualFold(typ, "FeatureCollection") || strings.EqualFold(typ, "Feature"):
		f = p.checkJSON(at, faultf(at, "the type is %q; capitals count", typ).mendBy("write FeatureCollection or Feature"))
	default:
		f = p.checkJSON(at, faultf(at, "the type is %q, which is not one of GeoJSON's", typ).mendBy("a GeoJSON file is a FeatureCollection, a Feature or a geometry"))
	}
	if f != nil {
		return nil, f
	}
	if end = jsontext.SkipSpace(p.data, end); end < len(p.data) {
		f = faultf(end, "something stands after the end of the GeoJSON object")
		if p.data[end] == '{' || p.data[end] == 0x1e {
			f.mendBy("a file with one object a line is a text sequence; put the features into one FeatureCollection")
		}
		return nil, f
	}
	return doc, nil
}

// checkJSON returns the first fault of the text as JSON when it has one, and f
// otherwise: a file that is cut off should be told so.
func (p *parser) checkJSON(at int, f *fault) *fault {
	if _, _, g := p.value(at); g != nil {
		return g
	}
	return f
}

// peekType looks for the member "type" of the object at data[at] without
// reading the rest closely. found is false when the text ends before one.
func peekType(data []byte, at int) (typ string, found bool) {
	depth := 0
	for at < len(data) {
		switch data[at] {
		case '{', '[':
			depth++
		case '}', ']':
			depth--
			if depth == 0 {
				return "", false
			}
		case '"':
			end := closingQuote(data, at)
			if end < 0 {
				return "", false
			}
			if depth == 1 && string(data[at:end+1]) == `"type"` {
				colon := jsontext.SkipSpace(data, end+1)
				if colon < len(data) && data[colon] == ':' {
					value := jsontext.SkipSpace(data, colon+1)
					if value < len(data) && data[value] == '"' {
						if s, _, err := jsontext.ParseString(data, value); err == nil {
							return s, true
						}
					}
					return "", false
				}
			}
			at = end
		}
		at++
	}
	return "", false
}

// closingQuote returns the index of the quote that closes the string opened at
// data[at], -1 when none does.
func closingQuote(data []byte, at int) int {
	for i := at + 1; ; i++ {
		n := bytes.IndexByte(data[i:], '"')
		if n < 0 {
			return -1
		}
		i += n
		backslashes := 0
		for data[i-1-backslashes] == '\\' {
			backslashes++
		}
		if backslashes%2 == 0 {
			return i
		}
	}
}

// value reads any JSON value.
func (p *parser) value(at int) (schema.Value, int, *fault) {
	v, next, err := jsontext.ParseAt(p.data, at, p.nesting)
	if err != nil {
		return v, next, p.jsonFault(err)
	}
	return v, next, nil
}

func (p *parser) jsonFault(err error) *fault {
	var j *jsontext.Error
	if !errors.As(err, &j) {
		return faultf(0, "%s", err)
	}
	f := faultf(j.Offset, "%s", j.Problem)
	switch {
	case j.TooDeep:
		f.problem = fmt.Sprintf("lists and objects nest more than %d deep, the limit input_max_nesting", p.nesting)
		f.mend = "flatten the value, or raise the limit in a limits file"
	case strings.HasSuffix(j.Problem, "is not closed"):
		f.mend = "the file is cut off, or a quote is missing"
	case j.Offset >= len(p.data):
		f.mend = "the file is cut off; get it again whole"
	}
	return f
}

// nextMember steps to the next member of an object: from its brace when first,
// else from behind the value before. key is the text of its name, and next
// where its value starts. done is true behind the closing brace.
func (p *parser) nextMember(at int, first bool) (key []byte, keyAt, next int, done bool, f *fault) {
	data := p.data
	if first {
		at = jsontext.SkipSpace(data, at+1)
		if at < len(data) && data[at] == '}' {
			return nil, at, at + 1, true, nil
		}
	} else {
		if at < len(data) && data[at] <= ' ' {
			at = jsontext.SkipSpace(data, at)
		}
		if at < len(data) && data[at] == '}' {
			return nil, at, at + 1, true, nil
		}
		if at >= len(data) || data[at] != ',' {
			return nil, at, at, false, p.unexpected(at, "a comma or }")
		}
		comma := at
		at++
		if at < len(data) && data[at] <= ' ' {
			at = jsontext.SkipSpace(data, at)
		}
		if at < len(data) && data[at] == '}' {
			return nil, at, at, false, faultf(comma, "a comma stands before the closing brace").mendBy("remove the comma")
		}
	}
	if at >= len(data) || data[at] != '"' {
		return nil, at, at, false, p.unexpected(at, "a name in double quotes")
	}
	keyAt = at
	end := at + 1
	for end < len(data) && data[end] != '"' && data[end] != '\\' && data[end] >= ' ' && data[end] < 0x80 {
		end++
	}
	if end < len(data) && data[end] == '"' {
		key, at = data[at+1:end], end+1
	} else {
		s, next, err := jsontext.ParseString(data, at)
		if err != nil {
			return nil, at, at, false, p.jsonFault(err)
		}
		key, at = []byte(s), next
	}
	if at < len(data) && data[at] <= ' ' {
		at = jsontext.SkipSpace(data, at)
	}
	if at >= len(data) || data[at] != ':' {
		return nil, at, at, false, p.unexpected(at, "a colon")
	}
	at++
	if at < len(data) && data[at] <= ' ' {
		at = jsontext.SkipSpace(data, at)
	}
	return key, keyAt, at, false, nil
}

// once marks a known member as seen; a second one is a fault.
func once(seen *uint32, bit uint32, keyAt int, key []byte) *fault {
	if *seen&bit != 0 {
		return twice(keyAt, string(key))
	}
	*seen |= bit
	return nil
}

func twice(at int, key string) *fault {
	return faultf(at, "the name %q stands twice in one object", key).mendBy("remove one of the two")
}

// text returns the string of the bytes, the same one for the same bytes.
func (p *parser) text(b []byte) string {
	if s, ok := p.texts[string(b)]; ok {
		return s
	}
	s := string(b)
	if len(s) <= 64 && len(p.texts) < 4096 {
		p.texts[s] = s
	}
	return s
}

// collection reads a FeatureCollection.
func (p *parser) collection(at int, doc *document) (int, *fault) {
	start := at
	typed, listed := false, false
	others := map[string]bool{}
	for first := true; ; first = false {
		key, keyAt, next, done, f := p.nextMember(at, first)
		if f != nil {
			return next, f
		}
		if done {
			at = next
			break
		}
		at = next
		name := string(key)
		if others[name] {
			return at, twice(keyAt, name)
		}
		others[name] = true
		if name == "features" {
			listed = true
			if at, f = p.featureList(at, doc); f != nil {
				return at, f
			}
			continue
		}
		var v schema.Value
		if v, at, f = p.value(at); f != nil {
			return at, f.within(pathStep(name))
		}
		switch name {
		case "type":
			typed = true
			if v.Kind() != schema.KindString || v.Text() != "FeatureCollection" {
				return at, faultf(next, "the type is %s, where it should be \"FeatureCollection\"", v.AppendJSON(nil)).within("type")
			}
		case "bbox":
			doc.bbox, doc.bboxAt = v, next
		case memberCRS, memberCoordRefSys:
			p.seen.whole = true
			if f := p.state(statement{v, name == memberCRS, next, name, ""}); f != nil {
				return at, f
			}
		case memberConformsTo:
			if !onlyCore(v) {
				doc.planMember(name, v)
			}
		default:
			doc.planMember(name, v)
		}
	}
	switch {
	case !typed:
		return at, faultf(start, `the object has no "type"`).mendBy("a GeoJSON file is a FeatureCollection, a Feature or a geometry")
	case !listed:
		return at, faultf(start, `the FeatureCollection has no list "features"`).mendBy(`give it one, if only "features": []`)
	}
	return at, nil
}

// planMember takes a member of the collection that is the plan's own.
func (d *document) planMember(name string, v schema.Value) {
	switch name {
	case schema.PropName:
		if v.Kind() == schema.KindString && v.Text() != "" {
			d.plan.Name = v.Text()
			return
		}
	case schema.PropEpoch:
		if e, ok := v.Float(); ok && e > 0 {
			d.plan.Epoch = e
			return
		}
	case memberUnknown:
		if on, ok := v.Truth(); ok && on {
			d.unknown = true
			return
		}
	case memberGeometryFrame:
		if v.Kind() == schema.KindString && v.Text() != "" {
			d.geometryFrame = v.Text()
			return
		}
	case memberPlanAttributes:
		if v.Kind() == schema.KindObject {
			d.plan.Attributes = append(d.plan.Attributes, v.Fields()...)
			return
		}
	}
	d.plan.Attributes = append(d.plan.Attributes, schema.Attribute{Key: name, Value: v})
}

// pathStep writes a member's name as a step of a path.
func pathStep(name string) string {
	for _, c := range []byte(name) {
		if !(c == '_' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z') {
			return "[" + string(schema.AppendJSONString(nil, name)) + "]"
		}
	}
	return name
}

// Bits of the members that a feature or a geometry may have once.
const (
	seenType = 1 << iota
	seenID
	seenGeometry
	seenProperties
	seenPlace
	seenBBox
	seenCRS
	seenCoordRefSys
	seenConformsTo
	seenTime
	seenCoordinates
	seenGeometries
)

func (p *parser) newFeature() *schema.Feature {
	if len(p.features) == cap(p.features) {
		p.features = make([]schema.Feature, 0, min(64, 1+len(p.data)/512))
	}
	p.features = append(p.features, schema.Feature{})
	return &p.features[len(p.features)-1]
}

// feature reads the Feature at data[at].
func (p *parser) feature(at int, path string) (item, int, *fault) {
	it, next, f := p.featureObject(at, path)
	if f != nil && path != "" {
		f.within(path)
	}
	return it, next, f
}

func (p *parser) featureObject(at int, path string) (item, int, *fault) {
	it := item{at: at}
	if at >= len(p.data) || p.data[at] != '{' {
		return it, at, p.unexpected(at, "a Feature")
	}
	f := p.newFeature()
	it.feature = f
	f.Role = schema.RoleOther
	f.Source.Path = path
	f.Source.Line = p.lineOf(at)
	var m featureMembers
	for first := true; ; first = false {
		key, keyAt, next, done, fl := p.nextMember(at, first)
		if fl != nil {
			return it, next, fl
		}
		at = next
		if done {
			break
		}
		var bit uint32
		switch string(key) {
		case "type":
			bit = seenType
			if len(p.data)-at >= 9 && string(p.data[at:at+9]) == `"Feature"` {
				at += 9
			} else if at, fl = p.wrongType(at); fl != nil {
				return it, at, fl
			}
		case "id":
			bit = seenID
			if at, fl = p.id(at, f); fl != nil {
				return it, at, fl.within("id")
			}
		case "properties":
			bit = seenProperties
			if at, fl = p.readProperties(at, f); fl != nil {
				return it, at, fl.within("properties")
			}
		case "geometry":
			bit = seenGeometry
			p.strict = p.strictGeometry
			if m.geometry, m.geometryForeign, m.geometryExtent, at, fl = p.geometryOrNull(at, f); fl != nil {
				return it, at, fl.within("geometry")
			}
		case memberPlace:
			bit = seenPlace
			p.strict = p.strictPlace
			var lost schema.Attributes
			if m.place, lost, m.placeExtent, at, fl = p.geometryOrNull(at, f); fl != nil {
				return it, at, fl.within(memberPlace)
			}
			if len(lost) > 0 {
				m.geometryForeign = lost
			}
		case "bbox":
			bit = seenBBox
			if m.bbox, at, fl = p.value(at); fl != nil {
				return it, at, fl.within("bbox")
			}
		case memberCRS, memberCoordRefSys, memberConformsTo:
			if bit, at, fl = p.aside(key, at, path); fl != nil {
				return it, at, fl
			}
		default:
			var v schema.Value
			if v, at, fl = p.value(at); fl != nil {
				return it, at, fl.within(pathStep(string(key)))
			}
			if string(key) == memberTime && v.Kind() == schema.KindNull {
				bit = seenTime
				break
			}
			if m.foreign.Has(string(key)) {
				return it, at, twice(keyAt, string(key))
			}
			m.foreign = append(m.foreign, schema.Attribute{Key: p.text(key), Value: v})
		}
		if bit != 0 {
			if fl := once(&m.seen, bit, keyAt, key); fl != nil {
				return it, at, fl
			}
		}
	}
	if fl := p.settleFeature(&it, &m); fl != nil {
		return it, it.at, fl
	}
	return it, at, nil
}

// featureMembers are the members of a feature that are settled at its end.
type featureMembers struct {
	seen                        uint32
	geometry, place             geom.T
	geometryExtent, placeExtent extent
	bbox                        schema.Value
	foreign, geometryForeign    schema.Attributes
}

// id reads the id of a feature.
func (p *parser) id(at int, f *schema.Feature) (int, *fault) {
	v, next, fl := p.value(at)
	if fl != nil {
		return next, fl
	}
	switch v.Kind() {
	case schema.KindString, schema.KindNumber:
		f.ID = v
	case schema.KindNull:
		p.t.Add("id-null", f.Source.Line, f.Source.Path, "an id is null; it was taken as absent")
	default:
		return next, faultf(at, "an id is a text or a number; this one is %s", a(v.Kind())).mendBy("give the feature a text or a number for its id")
	}
	return next, nil
}

// aside reads a member that says the system of the coordinates, or what the
// file conforms to. bit is the member's.
func (p *parser) aside(key []byte, at int, path string) (bit uint32, next int, fl *fault) {
	v, next, fl := p.value(at)
	if fl != nil {
		return 0, next, fl.within(string(key))
	}
	switch string(key) {
	case memberConformsTo:
		return seenConformsTo, next, nil
	case memberCRS:
		bit = seenCRS
	default:
		bit = seenCoordRefSys
	}
	p.seen.says++
	return bit, next, p.state(statement{v, bit == seenCRS, at, string(key), path})
}

// settleFeature makes the feature of its members.
func (p *parser) settleFeature(it *item, m *featureMembers) *fault {
	f := it.feature
	path := f.Source.Path
	switch {
	case m.seen&seenType == 0:
		return faultf(it.at, `the object has no "type"`).mendBy(`write "type": "Feature"`)
	case m.seen&(seenGeometry|seenPlace) == 0:
		p.t.Add("geometry-missing", f.Source.Line, path, `a feature has no member "geometry"; it was read as null`)
	}
	if m.seen&seenProperties == 0 {
		p.t.Add("properties-missing", f.Source.Line, path, `a feature has no member "properties"; it was read as having none`)
	}
	used := m.geometryExtent
	switch {
	case m.place != nil:
		f.Geometry, it.place, used = m.place, true, m.placeExtent
		it.beside = m.geometry
		p.seen.places++
		p.seen.outsidePlace = p.seen.outsidePlace || used.outsideDegrees()
	case m.geometry != nil:
		f.Geometry = m.geometry
		p.seen.geometries++
		p.seen.outsideGeometry = p.seen.outsideGeometry || used.outsideDegrees()
	}
	if f.Geometry != nil {
		p.seen.extent.merge(used)
	}
	if !m.bbox.IsAbsent() && (m.geometry != nil || m.place == nil) {
		p.checkBBox(m.bbox, m.geometry, m.geometryExtent, f.Source.Line, path)
	}
	if len(m.geometryForeign) > 0 {
		m.foreign = append(m.foreign, schema.Attribute{Key: "geometry", Value: schema.Object(m.geometryForeign)})
	}
	if len(m.foreign) > 0 {
		p.addMembers(f, m.foreign)
	}
	return nil
}

// addMembers puts the members that are not a feature's own into its attributes.
func (p *parser) addMembers(f *schema.Feature, foreign schema.Attributes) {
	if had := f.Attributes.Get(MembersKey); !had.IsAbsent() {
		p.t.Add("members-merged", f.Source.Line, f.Source.Path, "a feature has both a property %q and members of its own; they were put together", MembersKey)
		merged := had.Fields().Clone()
		if had.Kind() != schema.KindObject {
			merged = schema.Attributes{{Key: "value", Value: had}}
		}
		for _, m := range foreign {
			merged.Set(m.Key, m.Value)
		}
		foreign = merged
		f.Attributes.Delete(MembersKey)
	}
	f.Attributes = append(f.Attributes, schema.Attribute{Key: MembersKey, Value: schema.Object(foreign)})
}

// wrongType says what is wrong with a type that is not "Feature".
func (p *parser) wrongType(at int) (int, *fault) {
	v, next, f := p.value(at)
	if f != nil {
		return next, f.within("type")
	}
	if v.Kind() == schema.KindString && v.Text() == "Feature" { // spelled with escapes
		return next, nil
	}
	f = faultf(at, "the type is %s, where \"Feature\" should stand", v.AppendJSON(nil)).within("type")
	switch {
	case v.Text() == "FeatureCollection":
		f.mendBy("a FeatureCollection holds Features, not other collections")
	case strings.EqualFold(v.Text(), "Feature"):
		f.mendBy("capitals count: write Feature")
	case depthOf(v.Text()) > 0 || v.Text() == "GeometryCollection":
		f.mendBy(`wrap the geometry: {"type": "Feature", "properties": {}, "geometry": ...}`)
	}
	return at, f
}

// readProperties reads the properties into role, name and attributes.
func (p *parser) readProperties(at int, f *schema.Feature) (int, *fault) {
	if at >= len(p.data) || p.data[at] != '{' {
		if len(p.data)-at >= 4 && string(p.data[at:at+4]) == "null" {
			return at + 4, nil
		}
		return at, p.unexpected(at, "an object or null")
	}
	scratch := p.properties[:0]
	var index map[string]bool // of a wide object's keys; a scan serves a small one
	roleSeen, nameSeen := false, false
	for first := true; ; first = false {
		key, keyAt, next, done, fl := p.nextMember(at, first)
		if fl != nil {
			return next, fl
		}
		at = next
		if done {
			break
		}
		var v schema.Value
		if at < len(p.data) && p.data[at] == '"' {
			v, at, fl = p.shortText(at)
		} else {
			v, at, fl = p.value(at)
		}
		if fl != nil {
			return at, fl.within(pathStep(string(key)))
		}
		name := p.text(key)
		switch {
		case name == schema.PropRole:
			if roleSeen {
				return at, twice(keyAt, name)
			}
			roleSeen = true
			if role, ok := schema.ParseRole(v.Text()); ok && v.Kind() == schema.KindString {
				f.Role = role
				if role != schema.RoleOther { // said, which differs from not said
					continue
				}
			}
		case name == schema.PropName:
			if nameSeen {
				return at, twice(keyAt, name)
			}
			nameSeen = true
			if v.Kind() == schema.KindString && v.Text() != "" {
				f.Name = v.Text()
				continue
			}
		case len(scratch) < 16:
			if scratch.Has(name) {
				return at, twice(keyAt, name)
			}
		default:
			if index == nil {
				index = make(map[string]bool, 64)
				for i := range scratch {
					index[scratch[i].Key] = true
				}
			}
			if index[name] {
				return at, twice(keyAt, name)
			}
			index[name] = true
		}
		scratch = append(scratch, schema.Attribute{Key: name, Value: v})
	}
	p.properties = scratch
	if len(scratch) > 0 {
		f.Attributes = append(make(schema.Attributes, 0, len(scratch)), scratch...)
	}
	return at, nil
}

// shortText reads a string, sharing the bytes of those seen before.
func (p *parser) shortText(at int) (schema.Value, int, *fault) {
	end := at + 1
	for end < len(p.data) && end-at < 24 && p.data[end] != '"' && p.data[end] != '\\' && p.data[end] >= ' ' && p.data[end] < 0x80 {
		end++
	}
	if end < len(p.data) && p.data[end] == '"' {
		return schema.String(p.text(p.data[at+1 : end])), end + 1, nil
	}
	return p.value(at)
}

// geometryOrNull reads a geometry, or the null that stands for none.
func (p *parser) geometryOrNull(at int, f *schema.Feature) (geom.T, schema.Attributes, extent, int, *fault) {
	if len(p.data)-at >= 4 && string(p.data[at:at+4]) == "null" {
		return nil, nil, noExtent(), at + 4, nil
	}
	return p.geometry(at, f, 1)
}

// geometry reads the geometry at data[at], depth geometries deep. It is nil
// when it has no coordinates.
func (p *parser) geometry(at int, f *schema.Feature, depth int) (geom.T, schema.Attributes, extent, int, *fault) {
	if at >= len(p.data) || p.data[at] != '{' {
		return nil, nil, noExtent(), at, p.unexpected(at, "a geometry")
	}
	if depth > p.nesting {
		return nil, nil, noExtent(), at, faultf(at, "geometries nest more than %d deep, the limit input_max_nesting", p.nesting).mendBy("flatten the GeometryCollection, or raise the limit in a limits file")
	}
	start := at
	var seen uint32
	typ := ""
	typeAt, listAt := at, 0
	var c coordinates
	var parts *geom.GeometryCollection
	var foreign schema.Attributes
	var bbox schema.Value
	ext := noExtent()
	for first := true; ; first = false {
		key, keyAt, next, done, fl := p.nextMember(at, first)
		if fl != nil {
			return nil, nil, ext, next, fl
		}
		at = next
		if done {
			break
		}
		var bit uint32
		switch string(key) {
		case "type":
			bit, typeAt = seenType, at
			var v schema.Value
			if v, at, fl = p.shortTextOrValue(at); fl != nil {
				return nil, nil, ext, at, fl.within("type")
			}
			typ = v.Text()
			if v.Kind() != schema.KindString || depthOf(typ) == 0 && typ != "GeometryCollection" {
				return nil, nil, ext, at, unknownType(next, v).within("type")
			}
		case "coordinates":
			bit = seenCoordinates
			if c, at, fl = p.coordinates(at); fl != nil {
				return nil, nil, ext, at, fl.within("coordinates")
			}
			ext.merge(c.extent)
		case "geometries":
			bit, listAt = seenGeometries, at
			if parts, at, fl = p.geometries(at, f, depth, &ext); fl != nil {
				return nil, nil, ext, at, fl.within("geometries")
			}
		case "bbox":
			bit = seenBBox
			if bbox, at, fl = p.value(at); fl != nil {
				return nil, nil, ext, at, fl.within("bbox")
			}
		case memberCRS, memberCoordRefSys, memberConformsTo:
			if bit, at, fl = p.aside(key, at, f.Source.Path); fl != nil {
				return nil, nil, ext, at, fl
			}
		default:
			var v schema.Value
			if v, at, fl = p.value(at); fl != nil {
				return nil, nil, ext, at, fl.within(pathStep(string(key)))
			}
			if foreign.Has(string(key)) {
				return nil, nil, ext, at, twice(keyAt, string(key))
			}
			foreign = append(foreign, schema.Attribute{Key: p.text(key), Value: v})
		}
		if bit != 0 {
			if fl := once(&seen, bit, keyAt, key); fl != nil {
				return nil, nil, ext, at, fl
			}
		}
	}
	if seen&seenType == 0 {
		return nil, nil, ext, at, faultf(start, `the geometry has no "type"`).mendBy("name its type, such as Polygon")
	}
	g, fl := p.settleGeometry(start, typ, typeAt, &c, listAt, parts)
	if fl != nil {
		return nil, nil, ext, at, fl
	}
	if g == nil {
		p.t.Add("geometry-empty", f.Source.Line, f.Source.Path, "a %s has no coordinates; it was read as no geometry", typ)
	}
	if !bbox.IsAbsent() {
		p.checkBBox(bbox, g, ext, f.Source.Line, f.Source.Path)
	}
	return g, foreign, ext, at, nil
}

// settleGeometry makes the geometry of its members: the coordinates c, or the
// geometries of the list at listAt, 0 for none.
func (p *parser) settleGeometry(start int, typ string, typeAt int, c *coordinates, listAt int, parts *geom.GeometryCollection) (geom.T, *fault) {
	if typ != "GeometryCollection" {
		if listAt != 0 {
			return nil, faultf(listAt, "a %s holds no other geometries", typ).within("geometries")
		}
		return p.shape(typ, c, typeAt)
	}
	switch {
	case listAt == 0:
		return nil, faultf(start, `a GeometryCollection has a list "geometries"; here is none`)
	case c.at != 0:
		return nil, faultf(c.at, "a GeometryCollection has no coordinates of its own").within("coordinates")
	case parts.NumGeoms() > 0:
		return parts, nil
	}
	return nil, nil
}

func (p *parser) shortTextOrValue(at int) (schema.Value, int, *fault) {
	if at < len(p.data) && p.data[at] == '"' {
		return p.shortText(at)
	}
	return p.value(at)
}

func unknownType(at int, v schema.Value) *fault {
	if v.Kind() != schema.KindString {
		return faultf(at, "the type of a geometry is a text; this one is %s", a(v.Kind()))
	}
	for _, known := range []string{"Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection"} {
		if strings.EqualFold(v.Text(), known) {
			return faultf(at, "the type is %q; capitals count", v.Text()).mendBy("write " + known)
		}
	}
	switch v.Text() { // OGC 21-045r1
	case "Polyhedron", "MultiPolyhedron", "Prism", "MultiPrism", "CircularString", "CompoundCurve", "CurvePolygon", "MultiCurve", "MultiSurface":
		return faultf(at, "a plan does not hold geometries of the type %s", v.Text()).mendBy("export curves as lines and solids as their outline")
	}
	return faultf(at, "%q is no type of geometry", v.Text()).mendBy("the types are Point, LineString, Polygon, their Multi forms, and GeometryCollection")
}

// geometries reads the parts of a GeometryCollection; empty ones are left out.
func (p *parser) geometries(at int, f *schema.Feature, depth int, ext *extent) (*geom.GeometryCollection, int, *fault) {
	c := geom.NewGeometryCollection()
	for i, first := 0, true; ; i, first = i+1, false {
		next, done, fl := p.nextItem(at, first)
		if fl != nil {
			return nil, next, fl
		}
		if done {
			return c, next, nil
		}
		g, foreign, e, next, fl := p.geometry(next, f, depth+1)
		if fl != nil {
			return nil, next, fl.withinItem(i)
		}
		at = next
		if len(foreign) > 0 {
			p.t.AddN("geometry-member-dropped", len(foreign), f.Source.Line, f.Source.Path, "the member %q of a geometry inside a GeometryCollection has no place in a plan; it was left out", foreign[0].Key)
		}
		if g == nil {
			continue
		}
		ext.merge(e)
		if err := c.Push(g); err != nil {
			return nil, at, faultf(at, "%s", err)
		}
	}
}

// bareGeometry reads a file that is one geometry.
func (p *parser) bareGeometry(at int) (item, int, *fault) {
	f := p.newFeature()
	f.Role = schema.RoleOther
	f.Source.Line = p.lineOf(at)
	it := item{feature: f, at: at}
	p.strict = p.strictGeometry
	g, foreign, ext, next, fl := p.geometry(at, f, 1)
	if fl != nil {
		return it, next, fl
	}
	p.t.Add("bare-geometry", f.Source.Line, "", "the file is a geometry and no Feature; it was read as a feature without properties")
	if g != nil {
		f.Geometry = g
		p.seen.geometries++
		p.seen.outsideGeometry = ext.outsideDegrees()
		p.seen.extent.merge(ext)
	}
	if len(foreign) > 0 {
		p.addMembers(f, schema.Attributes{{Key: "geometry", Value: schema.Object(foreign)}})
	}
	return it, next, nil
}

// A box may be bboxWide degrees larger than its geometry before that is worth a
// word, and smaller by the rounding of its own digits, bboxRounding at least:
// 0.1 m.
const bboxWide, bboxRounding = 1e-4, 1e-6

// bboxSlack is how far, in degrees, the numbers of a box may be off for having
// been rounded: half a unit of the last decimal of the one that has the most.
func bboxSlack(items []schema.Value) float64 {
	most := 0
	for _, item := range items {
		text := item.Text()
		if strings.ContainsAny(text, "eE") {
			return bboxRounding
		}
		if _, decimals, ok := strings.Cut(text, "."); ok {
			most = max(most, len(decimals))
		}
	}
	return min(bboxWide, max(bboxRounding, 0.51*math.Pow10(-most)))
}

// checkBBox warns of a box that is malformed, does not hold what it bounds, or
// is too large for it. Nothing else uses it: writers of boxes disagree too often.
func (p *parser) checkBBox(v schema.Value, g geom.T, e extent, line int, path string) {
	items := v.Items()
	n := len(items)
	box := make([]float64, n)
	for i, item := range items {
		x, ok := item.Float()
		if !ok {
			n = 0
			break
		}
		box[i] = x
	}
	if n != 4 && n != 6 {
		p.t.Add("bbox-invalid", line, path, "a bbox is a list of 4 or 6 numbers; this one is not, and was ignored")
		return
	}
	if g == nil && e.minX > e.maxX {
		return
	}
	want := []float64{e.minX, e.minY, e.maxX, e.maxY}
	got := []float64{box[0], box[1], box[n/2], box[n/2+1]}
	slack, kind, says := bboxSlack(items), "", ""
	for i := range want {
		beyond := got[i] - want[i] // how far the geometry lies outside
		if i >= 2 {
			beyond = -beyond
		}
		switch {
		case i%2 == 0 && got[0] > got[2]: // over the antimeridian (RFC 7946, 5.2)
		case !(beyond <= slack):
			kind, says = "bbox-wrong", "a bbox does not hold its coordinates: one of the two was changed after the other; the bbox was ignored"
		case beyond < -bboxWide && kind == "":
			kind, says = "bbox-wide", "a bbox is larger than its coordinates; it was ignored"
		}
	}
	said := [4]float64{got[0] + slack, got[1] + slack, got[2] - slack, got[3] - slack}
	if kind != "bbox-wrong" && got[0] <= got[2] && wire.BoxFar(said, [4]float64(want)) {
		kind, says = "bbox-far", wire.BoxFarSays
	}
	if kind != "" {
		p.t.Add(kind, line, path, "%s", says)
	}
}

// featureList reads the list of features, on several cores when it is long.
func (p *parser) featureList(at int, doc *document) (int, *fault) {
	if at >= len(p.data) || p.data[at] != '[' {
		return at, p.unexpected(at, "a list of features").within("features")
	}
	if p.hollow != nil && p.hollow.at == at && p.hollow.walk != nil {
		return p.fill()
	}
	if len(p.data)-at >= parallelFrom && !p.strictGeometry && !p.strictPlace {
		return p.featureListParallel(at, doc)
	}
	for i, first := 0, true; ; i, first = i+1, false {
		next, done, f := p.nextItem(at, first)
		if f != nil {
			return next, f.within("features")
		}
		if done {
			return next, nil
		}
		it, next, f := p.feature(next, featurePath(i))
		if f != nil {
			return next, f
		}
		doc.items = append(doc.items, it)
		at = next
	}
}

func featurePath(i int) string {
	var buf [32]byte
	b := strconv.AppendInt(append(buf[:0], "features["...), int64(i), 10)
	return string(append(b, ']'))
}
