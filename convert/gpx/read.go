// Reading GPX: the document, its metadata, waypoints, routes and tracks.

package gpx

import (
	"fmt"

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
	r := newReader(&o, &t)
	r.Data = data
	if err := r.read(&o); err != nil {
		return nil, nil, err
	}
	r.hearWhole()
	return r.plan, t.Warnings(), nil
}

// newReader makes ready for a file; warnings go to t.
func newReader(o *wire.ReadOptions, t *wire.Tally) *reader {
	r := &reader{
		scanner: scanner{file: o.Name, tally: t},
		caps:    o.Caps(),
		plan:    &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{File: o.Name, Format: FormatName, Winding: schema.WindingDriven}},
	}
	r.load(nil, int(r.caps.InputMaxNesting))
	r.Commented = func(at int, text []byte) { wire.HearMarkup(r.plan, text, r.LineOf(at)) }
	return r
}

// read reads the file.
func (r *reader) read(o *wire.ReadOptions) error {
	if err := r.document(); err != nil {
		return err
	}
	if err := r.useCRS(o.CRS); err != nil {
		return err
	}
	if r.plan.Epoch == 0 {
		r.plan.Epoch = o.Epoch
	}
	return nil
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

// pieces are the vertices of one element, x y h with NaN for no height, cut
// into segments.
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

// element is what is collected of the wpt, rte or trk being read.
type element struct {
	began   int // byte offset of a rte or trk
	found   schema.Attributes
	name    string
	own     *ownFeature
	foreign []byte
	pieces  pieces
	columns []column
	segment []schema.Value // segment_extensions, when there are any
	point   schema.Attributes
}

type reader struct {
	scanner
	caps       schema.Limits
	plan       *schema.Plan
	vertices   int
	features   int    // so far
	places     []int  // the n of each feature in the plan, 0 for none
	parts      *parts // nil for a file that is held whole
	assemblies map[int]*assembly
	order      []*assembly
	block      []schema.Feature

	element

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
	if err := r.more(); err != nil {
		return err
	}
	t, err := r.root()
	if err != nil {
		return err
	}
	depth := len(r.Open)
	for {
		if err := r.more(); err != nil {
			return err
		}
		if t, _, err = r.child(depth, r.strayText); err != nil {
			return err
		}
		if t.Kind != xml.Start {
			break
		}
		if err := r.rootChild(t); err != nil {
			return err
		}
		if r.parts != nil {
			if err := r.mayGive(false); err != nil {
				return err
			}
		}
	}
	if err := r.more(); err != nil {
		return err
	}
	if _, err = r.Next(); err != nil { // nothing but white space may follow
		return err
	}
	if r.parts != nil {
		if err := r.closeAssembly(); err != nil {
			return err
		}
		if err := r.mayGive(true); err != nil {
			return err
		}
		return r.finishPlan()
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
			if r.parts != nil {
				return t, wire.ErrWhole // a file of blanks is told of as such
			}
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
		if r.parts != nil && r.inside(t.Local) {
			return wire.ErrWhole // it is not whole in the window
		}
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
			before := r.metadata.Get(metadataExtensionsKey).Text() // of another extensions element
			r.metadata.Set(metadataExtensionsKey, schema.String(before+string(out)))
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
		r.tellDrawn(0, "the file", found)
		return nil
	}
	if r.creator != "" && r.creator != creator { // of a plan of ours that another program wrote anew
		r.plan.AddBeside(schema.BesideText{Where: "the creator of the file", Text: r.creator, Names: true})
	}
	if r.ownPlan.hasName {
		r.plan.Name = r.ownPlan.name
	}
	var missing string
	if r.plan.Attributes, missing = r.ownPlan.merge(found, ""); missing != "" {
		r.warn("attribute-missing", r.ownPlan.position, "the attribute %q should stand in an element of its own, which is not there", missing)
	}
	r.tellDrawn(r.LineOf(r.ownPlan.position), "the file", r.plan.Attributes)
	return nil
}
