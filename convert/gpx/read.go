// Reading GPX: the document, its metadata, waypoints, routes and tracks.

package gpx

import (
	"bytes"
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/xml"
	"swardline/crs"
	"swardline/schema"
)

// FormatName is the format's name in Source.Format.
const FormatName = "gpx"

// Detect reports whether the first bytes of a file, without a byte-order mark,
// are GPX: its root element is gpx, with or without a prefix.
func Detect(head []byte) bool {
	root, _ := xml.Root(head)
	return string(root) == "gpx"
}

// Read reads a plan from GPX 1.1 or 1.0, as the package's comment says. The
// plan is in WGS 84 degrees, or in o.CRS when that is another in degrees, which
// is a warning. Errors are *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	caps := o.Caps()
	if float64(len(data)) > caps.InputMaxBytes {
		return nil, nil, &wire.InputError{File: o.Name, Problem: fmt.Sprintf("the file has %d bytes; the limit input_max_bytes is %.0f", len(data), caps.InputMaxBytes)}
	}
	data, err := charset.XML(data, &o, &t)
	if err != nil {
		return nil, nil, err
	}
	r := &reader{
		scanner: scanner{file: o.Name, tally: &t},
		caps:    caps,
		plan:    &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{File: o.Name, Format: FormatName, Winding: schema.WindingDriven}},
	}
	r.load(data, int(caps.InputMaxNesting))
	if err := r.document(); err != nil {
		return nil, nil, err
	}
	if err := r.useCRS(o.CRS); err != nil {
		return nil, nil, err
	}
	if r.plan.Epoch == 0 {
		r.plan.Epoch = o.Epoch
	}
	return r.plan, t.Warnings(), nil
}

// kind is which of GPX's three elements a feature stands in.
type kind uint8

const (
	kindWpt kind = iota
	kindRte
	kindTrk
)

// tag says what a segment is, by our extension.
type tag uint8

const (
	tagPlain tag = iota
	tagShell
	tagHole
	tagNone
)

// pieces are the vertices of one element, x y h with NaN for no height, cut into
// segments.
type pieces struct {
	flat []float64
	ends []int // vertices up to and with each segment
	tags []tag
}

func (p *pieces) vertices() int { return len(p.flat) / 3 }

// column is what stands at the vertices of a line, one value a vertex.
type column struct {
	key    string
	values []schema.Value
}

// assembly collects the vertices of a feature that takes several elements.
type assembly struct {
	feature *schema.Feature
	own     *ownFeature
	points  pieces
	lines   pieces
}

type reader struct {
	scanner
	caps       schema.Limits
	plan       *schema.Plan
	vertices   int
	places     []int // the n of each feature, 0 for none
	assemblies map[int]*assembly
	order      []*assembly
	block      []schema.Feature

	// Of the element being read.
	found   schema.Attributes
	name    string
	own     *ownFeature
	foreign []byte
	pieces  pieces
	columns []column
	segment []schema.Value // segment_extensions, when there are any
	point   schema.Attributes

	// Of the plan.
	rootForeign []byte
	creator     string
	version     string
	ownPlan     *ownFeature
	metadata    schema.Attributes
}

func (r *reader) useCRS(told *crs.CRS) error {
	if told == nil || told.Equal(r.plan.CRS) {
		return nil
	}
	if !told.IsDegrees() {
		return &wire.InputError{File: r.file, Problem: fmt.Sprintf("the coordinates were said to be in %s, but GPX holds degrees", told.ID()),
			Mend: "leave the CRS out: GPX is WGS 84"}
	}
	r.tally.Add("crs-overridden", 0, "", "GPX means WGS 84; the coordinates were read as %s, as asked", told.ID())
	r.plan.CRS = told
	return nil
}

func (r *reader) document() error {
	t, err := r.root()
	if err != nil {
		return err
	}
	depth := len(r.Open)
	for {
		if t, _, err = r.child(depth, r.strayText); err != nil {
			return err
		}
		if t.Kind != xml.Start {
			break
		}
		if err := r.rootChild(t); err != nil {
			return err
		}
	}
	if _, err = r.Next(); err != nil { // nothing but white space may follow
		return err
	}
	if err := r.assemble(); err != nil {
		return err
	}
	r.sortFeatures()
	return r.finishPlan()
}

func (r *reader) root() (token, error) {
	for {
		t, err := r.Next()
		if err != nil {
			return t, err
		}
		switch t.Kind {
		case xml.EOF:
			return t, r.fail(0, "", "there is no <gpx> in the file")
		case xml.Start:
			if string(t.Local) != "gpx" {
				return t, r.fail(t.From, "", "the root element is <%s>, not <gpx>", wire.Clip(t.Local, 40))
			}
			return t, r.takeRoot(t)
		}
	}
}

func (r *reader) takeRoot(t token) error {
	switch i := r.Lookup(t.Prefix); {
	case i < 0 && len(t.Prefix) == 0:
		r.noneGPX = true
		r.warn("namespace-missing", t.From, "<gpx> has no namespace; it was read as GPX 1.1")
	case i < 0:
		return r.fail(t.From, "", "the prefix of <%s:gpx> is bound to no namespace", wire.Clip(t.Prefix, 40))
	case r.Bound[i].Space != spaceGPX:
		r.gpxURI = r.Bound[i].URI
		for j := range r.Bound {
			r.Bound[j].Space = r.SpaceOf(r.Bound[j].URI, 0)
		}
		r.warn("namespace-unknown", t.From, "the namespace of <gpx> is %q; it was read as GPX 1.1", r.gpxURI)
	}
	version, ok, err := r.Attribute(t, "version")
	r.version = version
	switch {
	case err != nil:
		return err
	case !ok:
		r.warn("version-missing", t.From, "<gpx> does not say its version; it was read as GPX 1.1")
	case version != "1.1" && version != "1.0":
		r.warn("version-unknown", t.From, "the version is %q; it was read as GPX 1.1", version)
	}
	r.creator, ok, err = r.Attribute(t, "creator")
	if err != nil {
		return err
	}
	if !ok {
		r.warn("creator-missing", t.From, "<gpx> does not say which program made it")
	}
	return nil
}

func (r *reader) rootChild(t token) error {
	if t.Space != spaceGPX {
		if r.version != "1.0" {
			r.warn("element-misplaced", t.From, "<%s> stands outside extensions; it was kept as if it stood inside", wire.Clip(t.Local, 40))
		}
		var err error
		r.rootForeign, err = r.capture(r.rootForeign, t)
		return err
	}
	switch string(t.Local) {
	case "wpt":
		return r.waypoint(t)
	case "rte":
		return r.line(t, kindRte)
	case "trk":
		return r.line(t, kindTrk)
	case "metadata":
		depth := len(r.Open)
		for {
			t, ok, err := r.child(depth, r.strayText)
			if err != nil || !ok {
				return err
			}
			if err := r.metadataChild(t); err != nil {
				return err
			}
		}
	case "extensions":
		var err error
		r.rootForeign, err = r.extensions(r.rootForeign, r.rootFeature)
		return err
	}
	return r.metadataChild(t) // GPX 1.0 has its metadata here
}

func (r *reader) metadataChild(t token) error {
	if t.Space == spaceGPX && string(t.Local) == "extensions" {
		out, err := r.extensions(nil, func(t token) error {
			if string(t.Local) != "plan" || r.ownPlan != nil {
				return r.unknownOwn(t)
			}
			return r.readPlan(t)
		})
		if err == nil && len(out) > 0 {
			r.metadata.Set(metadataExtensionsKey, schema.String(string(out)))
		}
		return err
	}
	return r.readField(t, metadataFields, &r.metadata, &r.rootForeign)
}

func (r *reader) readPlan(t token) error {
	own := &ownFeature{position: t.From}
	text, ok, err := r.Attribute(t, "epoch")
	if err != nil {
		return err
	}
	if ok {
		epoch, good := wire.ParseFloat([]byte(text))
		if !good || epoch <= 0 {
			return r.fail(t.From, "write a decimal year such as 2026.5", "epoch=%q of s:plan is no year", text)
		}
		r.plan.Epoch = epoch
	}
	if text, ok, err = r.Attribute(t, "crs"); err != nil {
		return err
	}
	if ok {
		c, parseErr := crs.Parse(text)
		if parseErr != nil {
			return r.fail(t.From, "", "crs=%q of s:plan: %v", text, parseErr)
		}
		if !sameAsGPX(c) {
			return r.fail(t.From, "GPX holds WGS 84 degrees only", "crs=%q of s:plan is not WGS 84", text)
		}
		r.plan.CRS = c
	}
	if own.name, own.hasName, err = r.jsonText(t, "name"); err != nil {
		return err
	}
	own.attrs, _, err = r.readOwnChildren()
	r.ownPlan = own
	return err
}

func (r *reader) finishPlan() error {
	found := r.metadata
	name := found.Get("name")
	found.Delete("name")
	if name.Kind() == schema.KindString {
		r.plan.Name = name.Text()
	}
	if len(r.rootForeign) > 0 {
		found.Set(extensionsKey, schema.String(string(r.rootForeign)))
	}
	if r.ownPlan == nil {
		r.trimTexts(found)
		r.plan.Name = edgesTrimmed(r.plan.Name)
		if r.creator != "" && r.creator != creator {
			found = append(schema.Attributes{{Key: creatorKey, Value: schema.String(r.creator)}}, found...)
		}
		r.plan.Attributes = found
		return nil
	}
	if r.ownPlan.hasName {
		r.plan.Name = r.ownPlan.name
	}
	var missing string
	if r.plan.Attributes, missing = r.ownPlan.merge(found, ""); missing != "" {
		r.warn("attribute-missing", r.ownPlan.position, "the attribute %q should stand in an element of its own, which is not there", missing)
	}
	return nil
}

// trimTexts takes pretty-printing off foreign texts.
func (r *reader) trimTexts(a schema.Attributes) {
	for i := range a {
		if a[i].Value.Kind() == schema.KindString {
			a[i].Value = schema.String(edgesTrimmed(a[i].Value.Text()))
		}
	}
}

// readField reads one of GPX's own elements into the attributes; an element of
// another namespace, or one GPX does not know, is appended to foreign.
func (r *reader) readField(t token, fields []field, into *schema.Attributes, foreign *[]byte) error {
	var f *field
	if t.Space == spaceGPX {
		if f = fieldNamed(fields, t.Local); f == nil && len(fields) > 0 {
			old := oldFields
			if &fields[0] == &vertexFields[0] {
				old = oldVertices
			}
			f = fieldNamed(old, t.Local)
		}
	}
	if f == nil {
		if r.version != "1.0" || t.Space == spaceGPX { // version 1.0 lets foreign elements stand anywhere
			r.warn("element-misplaced", t.From, "<%s> is no element that stands here; it was kept among the extensions", wire.Clip(t.Local, 40))
		}
		var err error
		*foreign, err = r.capture(*foreign, t)
		return err
	}
	switch f.form {
	case formLinks:
		v, err := r.object(t, f.shape)
		if err != nil {
			return err
		}
		before := into.Get(f.key).Items()
		into.Set(f.key, schema.List(append(before[:len(before):len(before)], v)...))
		return nil
	case formObject:
		v, err := r.object(t, f.shape)
		if err != nil {
			return err
		}
		return r.put(f, t, v, into)
	}
	local := t.From
	text, err := r.text()
	if err != nil {
		return err
	}
	if strings.TrimSpace(text) == "" && (text == "" || strings.Contains(text, "\n") || f.form != formText) {
		r.warn("element-empty", local, "<%s> is empty; it was read as absent", f.name)
		return nil
	}
	v, ok := f.valueOf(text)
	if !ok {
		r.warn("value-form", local, "%q is no value for <%s>; it was kept as text", wire.Clip([]byte(text), 40), f.name)
	}
	return r.put(f, t, v, into)
}

func (r *reader) put(f *field, t token, v schema.Value, into *schema.Attributes) error {
	if into.Has(f.key) {
		r.warn("element-repeated", t.From, "<%s> stands twice; the first one holds", f.name)
		return nil
	}
	*into = append(*into, schema.Attribute{Key: f.key, Value: v})
	return nil
}

// object reads an element of the given shape. Without any child that the shape
// knows, as GPX 1.0 writes an author, it is a text.
func (r *reader) object(t token, s *shape) (schema.Value, error) {
	var fields schema.Attributes
	for i := range s.attrs {
		text, ok, err := r.Attribute(t, s.attrs[i].name)
		if err != nil {
			return schema.Value{}, err
		}
		if ok {
			v, _ := s.attrs[i].valueOf(text)
			fields = append(fields, schema.Attribute{Key: s.attrs[i].name, Value: v})
		}
	}
	at, depth := t.From, len(r.Open)
	var text []byte
	var children schema.Attributes
	for {
		t, ok, err := r.child(depth, func(t token) error {
			var err error
			text, err = r.Decode(text, r.Data[t.From:t.To], t.From, t.CDATA, false)
			return err
		})
		if err != nil {
			return schema.Value{}, err
		}
		if !ok {
			break
		}
		f := fieldNamed(s.children, t.Local)
		switch {
		case f == nil || t.Space != spaceGPX:
			r.warn("element-unknown", t.From, "<%s> is no element that stands here; it is passed over", wire.Clip(t.Local, 40))
			err = r.Skip()
		case f.form == formObject:
			var v schema.Value
			if v, err = r.object(t, f.shape); err == nil {
				err = r.put(f, t, v, &children)
			}
		default:
			err = r.readField(t, s.children, &children, &r.rootForeign)
		}
		if err != nil {
			return schema.Value{}, err
		}
	}
	if len(text) > 0 {
		if len(fields) == 0 && len(children) == 0 {
			return schema.String(edgesTrimmed(string(text))), nil
		}
		r.warn("stray-text", at, "the text %q stands between elements; it is passed over", wire.Clip(bytes.TrimSpace(text), 40))
	}
	for i := range s.children {
		if v := children.Get(s.children[i].name); !v.IsAbsent() {
			fields = append(fields, schema.Attribute{Key: s.children[i].name, Value: v})
		}
	}
	if fields == nil {
		fields = schema.Attributes{}
	}
	return schema.Object(fields), nil
}

func (r *reader) newFeature(at int) (*schema.Feature, error) {
	if float64(len(r.plan.Features)) >= r.caps.InputMaxFeatures {
		return nil, r.fail(at, "split it, or raise the limit in a limits file", "there are more features than the limit input_max_features (%.0f)", r.caps.InputMaxFeatures)
	}
	if len(r.block) == 0 {
		const step = 64
		r.block = make([]schema.Feature, step)
	}
	f := &r.block[0]
	r.block = r.block[1:]
	f.Role = schema.RoleOther
	f.Source.Line = r.LineOf(at)
	r.plan.Features = append(r.plan.Features, f)
	r.places = append(r.places, 0)
	return f, nil
}

// start forgets the element read before.
func (r *reader) start() {
	r.found = nil
	r.name = ""
	r.own = nil
	r.foreign = r.foreign[:0]
	r.pieces = pieces{r.pieces.flat[:0], r.pieces.ends[:0], r.pieces.tags[:0]}
	r.columns = r.columns[:0]
	r.segment = nil
}

// ownElement reads an s:feature or s:more of the element being read.
func (r *reader) ownElement(t token) error {
	if local := string(t.Local); r.own != nil || local != "feature" && local != "more" {
		return r.unknownOwn(t)
	}
	var err error
	r.own, err = r.readOwn(t)
	return err
}

func (r *reader) waypoint(t token) error {
	r.start()
	at := t.From
	lon, lat, err := r.position(t)
	if err != nil {
		return err
	}
	h, err := r.pointChildren(pointFields, &r.found, &r.foreign, r.ownElement)
	if err != nil {
		return err
	}
	r.pieces.flat = append(r.pieces.flat, lon, lat, h)
	r.takeName()
	return r.finish(at, kindWpt)
}

func (r *reader) takeName() {
	r.name = r.found.Get("name").Text()
	r.found.Delete("name")
}

// position reads the attributes lat and lon of a point.
func (r *reader) position(t token) (lon, lat float64, err error) {
	var have [2]bool
	for _, a := range t.Attrs {
		var to *float64
		switch {
		case a.Prefix == nil && string(a.Local) == "lat":
			to, have[0] = &lat, true
		case a.Prefix == nil && string(a.Local) == "lon":
			to, have[1] = &lon, true
		default:
			if string(a.Prefix) != "xmlns" && string(a.Local) != "xmlns" {
				r.warn("attribute-unknown", a.At, "the attribute %s of <%s> is not GPX's; it is passed over", wire.Clip(a.Local, 40), wire.Clip(t.Local, 40))
			}
			continue
		}
		v, ok := parseNumber(a.Value)
		if !ok {
			return 0, 0, r.fail(a.At, "write decimal degrees", "%s=%q of <%s> is no number", a.Local, wire.Clip(a.Value, 40), wire.Clip(t.Local, 40))
		}
		*to = v
	}
	if !have[0] || !have[1] {
		return 0, 0, r.fail(t.From, "a point has lat and lon", "<%s> has no position", wire.Clip(t.Local, 40))
	}
	mend := "write decimal degrees"
	if math.Abs(lat) > 90 && math.Abs(lat) <= 180 && math.Abs(lon) <= 90 {
		mend = "lat and lon look swapped"
	}
	if !(math.Abs(lat) <= 90) {
		return 0, 0, r.fail(t.From, mend, "the latitude %v of <%s> lies outside -90 to 90", lat, wire.Clip(t.Local, 40))
	}
	if !(math.Abs(lon) <= 180) {
		return 0, 0, r.fail(t.From, mend, "the longitude %v of <%s> lies outside -180 to 180", lon, wire.Clip(t.Local, 40))
	}
	if float64(r.vertices) >= r.caps.InputMaxVertices {
		return 0, 0, r.fail(t.From, "split it, or raise the limit in a limits file", "there are more vertices than the limit input_max_vertices (%.0f)", r.caps.InputMaxVertices)
	}
	r.vertices++
	return lon, lat, nil
}

// pointChildren reads what stands inside a wpt, rtept or trkpt.
func (r *reader) pointChildren(fields []field, into *schema.Attributes, foreign *[]byte, own func(token) error) (h float64, err error) {
	h = math.NaN()
	depth := len(r.Open)
	for {
		t, ok, err := r.child(depth, r.strayText)
		if err != nil || !ok {
			if len(*foreign) > 0 {
				into.Set(fieldNamed(fields, []byte("extensions")).key, schema.String(string(*foreign)))
			}
			return h, err
		}
		switch {
		case t.Space == spaceGPX && string(t.Local) == "ele":
			if h, err = r.elevation(h); err != nil {
				return h, err
			}
		case t.Space == spaceGPX && string(t.Local) == "extensions":
			if *foreign, err = r.extensions(*foreign, own); err != nil {
				return h, err
			}
		default:
			if err := r.readField(t, fields, into, foreign); err != nil {
				return h, err
			}
		}
	}
}

func (r *reader) elevation(before float64) (float64, error) {
	at := r.Pos
	text, err := r.text()
	if err != nil {
		return before, err
	}
	if text = strings.TrimSpace(text); text == "" {
		r.warn("elevation-empty", at, "<ele> is empty; the height is read as absent")
		return before, nil
	}
	h, ok := wire.ParseFloat([]byte(text))
	if !ok {
		return before, r.fail(at, "write metres, or leave the element out", "the elevation %q is no number", wire.Clip([]byte(text), 40))
	}
	if !math.IsNaN(before) {
		r.warn("element-repeated", at, "<ele> stands twice; the first one holds")
		return before, nil
	}
	return h, nil
}

// line reads a rte or trk.
func (r *reader) line(t token, k kind) error {
	r.start()
	at, depth := t.From, len(r.Open)
	for {
		t, ok, err := r.child(depth, r.strayText)
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		local := string(t.Local)
		switch {
		case t.Space != spaceGPX:
			err = r.readField(t, lineFields, &r.found, &r.foreign)
		case local == "extensions":
			r.foreign, err = r.extensions(r.foreign, r.ownElement)
		case k == kindRte && local == "rtept":
			if err = r.vertex(t); err == nil {
				err = r.vertexRun("rtept")
			}
		case k == kindTrk && local == "trkseg":
			err = r.trackSegment()
		default:
			err = r.readField(t, lineFields, &r.found, &r.foreign)
		}
		if err != nil {
			return err
		}
	}
	if k == kindRte {
		r.pieces.ends = append(r.pieces.ends, r.pieces.vertices())
		r.pieces.tags = append(r.pieces.tags, tagPlain)
	}
	if len(r.foreign) > 0 {
		r.found = append(r.found, schema.Attribute{Key: extensionsKey, Value: schema.String(string(r.foreign))})
	}
	r.takeName()
	return r.finish(at, k)
}

func (r *reader) trackSegment() error {
	depth := len(r.Open)
	what := tagPlain
	var foreign []byte
	if !r.Ended {
		if err := r.vertexRun("trkpt"); err != nil {
			return err
		}
	}
	for {
		t, ok, err := r.child(depth, r.strayText)
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		switch {
		case t.Space == spaceGPX && string(t.Local) == "trkpt":
			if err = r.vertex(t); err == nil {
				err = r.vertexRun("trkpt")
			}
		case t.Space == spaceGPX && string(t.Local) == "extensions":
			foreign, err = r.extensions(foreign, func(t token) error {
				switch string(t.Local) {
				case "shell":
					what = tagShell
				case "hole":
					what = tagHole
				case "none":
					what = tagNone
				default:
					return r.unknownOwn(t)
				}
				return r.Skip()
			})
		default:
			err = r.readField(t, nil, &r.point, &foreign)
		}
		if err != nil {
			return err
		}
	}
	if len(foreign) > 0 {
		for len(r.segment) < len(r.pieces.ends) {
			r.segment = append(r.segment, schema.Null())
		}
		r.segment = append(r.segment, schema.String(string(foreign)))
	}
	r.pieces.ends = append(r.pieces.ends, r.pieces.vertices())
	r.pieces.tags = append(r.pieces.tags, what)
	return nil
}

// vertex reads a rtept or trkpt whose start tag is t.
func (r *reader) vertex(t token) error {
	lon, lat, err := r.position(t)
	if err != nil {
		return err
	}
	r.point = r.point[:0]
	var foreign []byte
	h, err := r.pointChildren(vertexFields, &r.point, &foreign, r.unknownOwn)
	if err != nil {
		return err
	}
	if r.own == nil {
		r.trimTexts(r.point)
	}
	for _, a := range r.point {
		r.addValue(a.Key, a.Value)
	}
	r.pieces.flat = append(r.pieces.flat, lon, lat, h)
	return nil
}

// addValue puts a value at the vertex that is read next into its column.
func (r *reader) addValue(key string, v schema.Value) {
	n := r.pieces.vertices()
	for i := range r.columns {
		if c := &r.columns[i]; c.key == key {
			c.values = pad(c.values, n)
			c.values = append(c.values, v)
			return
		}
	}
	r.columns = append(r.columns, column{key, append(pad(nil, n), v)})
}

func pad(values []schema.Value, n int) []schema.Value {
	for len(values) < n {
		values = append(values, schema.Null())
	}
	return values
}

// vertexRun reads points of the plain form, which nearly all of a file is:
// lat, lon, and at most one elevation and one time. It stops before the first
// that has another form, and leaves faults to the general way of reading.
func (r *reader) vertexRun(name string) error {
	d := r.Data
	if r.DefaultSpace() != spaceGPX {
		return nil
	}
	open := "<" + name + ` lat="`
	end := "</" + name + ">"
	room := r.caps.InputMaxVertices - float64(r.vertices)
	for ; room >= 1; room-- {
		i := r.Pos
		for i < len(d) && xml.IsSpace(d[i]) {
			i++
		}
		if len(d)-i < len(open) || string(d[i:i+len(open)]) != open {
			return nil
		}
		i += len(open)
		from := i
		for i < len(d) && d[i] != '"' {
			i++
		}
		lat, ok := wire.ParseFloat(d[from:i])
		const next = `" lon="`
		if !ok || len(d)-i < len(next) || string(d[i:i+len(next)]) != next {
			return nil
		}
		i += len(next)
		from = i
		for i < len(d) && d[i] != '"' {
			i++
		}
		lon, ok := wire.ParseFloat(d[from:i])
		if !ok || !(lat >= -90 && lat <= 90 && lon >= -180 && lon <= 180) || i+4 > len(d) {
			return nil
		}
		i++
		if d[i] == ' ' {
			i++
		}
		h := math.NaN()
		if d[i] == '/' && d[i+1] == '>' {
			i += 2
		} else {
			if d[i] != '>' {
				return nil
			}
			i++
			var time []byte
			for {
				for i < len(d) && xml.IsSpace(d[i]) {
					i++
				}
				rest := d[i:]
				const ele, eleEnd = "<ele>", "</ele>"
				const tim, timEnd = "<time>", "</time>"
				if len(rest) > len(ele) && string(rest[:len(ele)]) == ele && h != h {
					n := bytes.IndexByte(rest[len(ele):], '<')
					if n < 0 || !bytes.HasPrefix(rest[len(ele)+n:], []byte(eleEnd)) {
						return nil
					}
					if h, ok = wire.ParseFloat(rest[len(ele) : len(ele)+n]); !ok {
						return nil
					}
					i += len(ele) + n + len(eleEnd)
					continue
				}
				if len(rest) > len(tim) && string(rest[:len(tim)]) == tim && time == nil {
					n := bytes.IndexByte(rest[len(tim):], '<')
					if n < 0 || !bytes.HasPrefix(rest[len(tim)+n:], []byte(timEnd)) || !isDateTime(string(rest[len(tim):len(tim)+n])) {
						return nil
					}
					time = rest[len(tim) : len(tim)+n]
					i += len(tim) + n + len(timEnd)
					continue
				}
				if len(rest) >= len(end) && string(rest[:len(end)]) == end {
					i += len(end)
					break
				}
				return nil
			}
			if time != nil {
				r.addValue(schema.PropTimes, schema.String(string(time)))
			}
		}
		r.pieces.flat = append(r.pieces.flat, lon, lat, h)
		r.vertices++
		r.Pos = i
	}
	return nil
}

// finish makes the feature of the element just read.
func (r *reader) finish(at int, k kind) error {
	own := r.own
	if own != nil && own.more {
		if a := r.assemblies[own.n]; a != nil {
			a.add(&r.pieces, k)
			return nil
		}
		r.warn("part-alone", at, "the element belongs to feature %d, which is not there; it was read on its own", own.n)
		own = nil
	}
	f, err := r.newFeature(at)
	if err != nil {
		return err
	}
	f.Name = r.name
	if own == nil {
		f.Name = edgesTrimmed(f.Name)
		r.trimTexts(r.found)
	}
	found := r.found
	if own == nil || own.role == "" {
		if role, ok := schema.ParseRole(found.Get("type").Text()); ok && role != schema.RoleOther {
			f.Role = role
			found.Delete("type")
		}
	} else {
		role, ok := schema.ParseRole(own.role)
		if !ok {
			return r.fail(own.position, "use one of "+roleWords(), "role=%q is no role", own.role)
		}
		f.Role = role
	}
	if own == nil {
		f.Geometry = r.plainGeometry(k)
	} else {
		r.places[len(r.places)-1] = own.n
		f.ID = own.id
		if own.hasName {
			f.Name = own.name
		}
		if f.Geometry, err = r.ownGeometry(f, own, k); err != nil {
			return err
		}
	}
	if _, ok := f.Geometry.(*geom.LineString); ok && k == kindTrk {
		found = append(schema.Attributes{{Key: KindAttribute, Value: schema.String("trk")}}, found...)
	}
	for _, c := range r.columns {
		found = append(found, schema.Attribute{Key: c.key, Value: r.nested(c, f.Geometry)})
	}
	if r.segment != nil {
		found = append(found, schema.Attribute{Key: segmentExtensionsKey, Value: schema.List(pad(r.segment, len(r.pieces.ends))...)})
	}
	if own == nil {
		f.Attributes = found
		if k != kindWpt && r.pieces.vertices() == 0 {
			r.warn("line-empty", at, "%q has no points; it was kept empty", f.Label())
		}
		return nil
	}
	var missing string
	if f.Attributes, missing = own.merge(found, f.Role); missing != "" {
		r.warn("attribute-missing", own.position, "the attribute %q of %q should stand in an element of its own, which is not there", missing, f.Label())
	}
	return nil
}

func roleWords() string {
	words := make([]string, len(schema.Roles))
	for i, role := range schema.Roles {
		words[i] = string(role)
	}
	return strings.Join(words, ", ")
}

// nested returns a column's values as a list, nested as the geometry is.
func (r *reader) nested(c column, g geom.T) schema.Value {
	values := pad(c.values, r.pieces.vertices())
	if _, ok := g.(*geom.LineString); ok {
		return schema.List(values...)
	}
	var parts []schema.Value
	start := 0
	for _, end := range r.pieces.ends {
		parts = append(parts, schema.List(values[start:end:end]...))
		start = end
	}
	return schema.List(parts...)
}

// sortFeatures puts the features back in the plan's order; those of other hands
// follow in the order of the file.
func (r *reader) sortFeatures() {
	place := func(i int) int {
		if n := r.places[i]; n > 0 {
			return n
		}
		return math.MaxInt
	}
	by := &byPlace{r.plan.Features, make([]int, len(r.places))}
	for i := range by.place {
		by.place[i] = place(i)
	}
	if !sort.IsSorted(by) {
		sort.Stable(by)
	}
}

type byPlace struct {
	features []*schema.Feature
	place    []int
}

func (b *byPlace) Len() int           { return len(b.place) }
func (b *byPlace) Less(i, j int) bool { return b.place[i] < b.place[j] }
func (b *byPlace) Swap(i, j int) {
	b.features[i], b.features[j] = b.features[j], b.features[i]
	b.place[i], b.place[j] = b.place[j], b.place[i]
}
