// Reading a KML document: containers, Placemarks, and what belongs to the plan.

package kml

import (
	"bytes"
	"fmt"
	"strings"
	"sync"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/xml"
	"swardline/crs"
	"swardline/schema"
)

// fixedLevels are the levels that KML itself puts around what a user nests:
// kml, Document, Placemark, Polygon, outerBoundaryIs, LinearRing, coordinates,
// and one to spare.
const fixedLevels = 8

// Read reads a plan from KML 2.0 to 2.3, or from KMZ when the data are a zip
// archive. Coordinates are longitude and latitude in degrees of WGS 84 unless
// o.CRS says otherwise, heights metres. What was taken in stride is counted in
// the warnings. Errors are *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	if DetectKMZ(data) {
		return ReadKMZ(data, o)
	}
	return readDocument(data, o, "kml", "")
}

// readDocument reads one KML document by itself. entry is its name in a KMZ, ""
// outside.
func readDocument(data []byte, o wire.ReadOptions, format, entry string) (*schema.Plan, []wire.Warning, error) {
	p, warnings, links, err := readLinking(data, o, format, entry)
	if err != nil {
		return nil, nil, err
	}
	more, err := unfollowed(len(p.Features), links, o.Name)
	return p, append(warnings, more...), err
}

// readLinking reads one KML document and returns its links to others.
func readLinking(data []byte, o wire.ReadOptions, format, entry string) (*schema.Plan, []wire.Warning, []link, error) {
	caps := o.Caps()
	if entry == "" && float64(len(data)) > caps.InputMaxBytes { // a KMZ's entry was counted while it was unpacked
		return nil, nil, nil, &wire.InputError{File: o.Name, Problem: fmt.Sprintf("the document has %d bytes; the limit input_max_bytes is %.0f", len(data), caps.InputMaxBytes), Mend: "split it, or raise the limit in a limits file"}
	}
	var early wire.Tally
	text, err := charset.XML(data, &o, &early)
	if err != nil {
		if in, ok := err.(*wire.InputError); ok && entry != "" {
			in.Path = entry
		}
		return nil, nil, nil, err
	}
	r, more := newReader(&o, format, entry)
	early.Merge(more)
	r.Data = text
	warnings, err := r.read(&o, &early)
	if err != nil {
		return nil, nil, nil, err
	}
	return r.plan, warnings, r.links, nil
}

// forViewers starts the note that a file of ours has for who opens its text, in the
// line noteLine.
const (
	forViewers = "For viewers: "
	noteLine   = 2
)

// newReader makes ready for a document, and tells of what is asked of it.
func newReader(o *wire.ReadOptions, format, entry string) (*reader, *wire.Tally) {
	var early wire.Tally
	caps := o.Caps()
	r := &reader{caps: caps, degrees: true}
	r.name, r.entry = o.Name, entry
	r.Reader = xml.Reader{Format: "KML", Nesting: int(caps.InputMaxNesting) + fixedLevels, Vocabulary: &r.scanner}
	r.plan = &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{File: o.Name, Format: format, Winding: schema.WindingStandard, Path: entry}}
	r.Commented = func(at int, text []byte) {
		if !bytes.HasPrefix(text, []byte(" "+forViewers)) || r.line(at) != noteLine {
			wire.HearMarkup(r.plan, text, r.line(at))
		}
	}
	if o.CRS != nil && !o.CRS.Equal(r.plan.CRS) {
		early.Add("crs-overridden", 1, entry, "KML is in %s by its standard; it was read as %s, as asked", r.plan.CRS.ID(), o.CRS.ID())
		r.plan.CRS = o.CRS
		r.degrees = o.CRS.IsDegrees()
	}
	return r, &early
}

// read reads the document and returns what there is to tell, behind what was
// told early.
func (r *reader) read(o *wire.ReadOptions, early *wire.Tally) ([]wire.Warning, error) {
	if err := r.document(); err != nil {
		return nil, err
	}
	if err := r.finishPlan(); err != nil {
		return nil, err
	}
	if o.Epoch != 0 {
		if r.plan.Epoch != 0 && r.plan.Epoch != o.Epoch {
			early.Add("epoch-overridden", 0, r.entry, "the file gives the epoch %g; %g was asked for and holds", r.plan.Epoch, o.Epoch)
		}
		r.plan.Epoch = o.Epoch
	}
	return append(early.Warnings(), r.tally.list...), nil
}

// reader builds the plan from the tokens.
type reader struct {
	scanner
	caps     schema.Limits
	degrees  bool // coordinates are degrees, so they have a range
	plan     *schema.Plan
	vertices int

	schemas map[string]*fieldTypes // by id, and by name where no id has it
	styles  map[string]*style      // by id
	keys    map[string]string      // attribute keys, kept once
	taken   keySet

	rootName   string  // name of the first container
	rootSeen   bool    // a container was opened
	rootFields []field // its ExtendedData and description
	rootOurs   bool

	above       above        // what the containers around say of their features
	folderNotes []folderNote // what folders say of themselves

	// What can be settled only when the whole document is known.
	pending  []pendingValue
	foldered []folderedFeature
	styled   []styledFeature
	links    []link
	parts    *parts // nil for a document that is held whole

	// Of the Placemark that is being read.
	mark placemark
	// Scratch for coordinates: three numbers a vertex.
	flat   []float64
	ends   []int // where each ring ends in flat
	nodes  []node
	times  []schema.Value
	leaves []int
	group  []float64
	breaks []int
	// How many MultiGeometries are open.
	multiDepth int
}

// folder is one level of the folders around a feature.
type folder struct {
	name   string
	parent *folder
	value  schema.Value // the names from the outermost in, made when first asked for

	// For documents in parts.
	number int  // which of all folders it is, from 0
	fixed  bool // its name is known to be its last one
	used   bool // a feature has its name
}

func (f *folder) path() schema.Value {
	if f.value.IsAbsent() {
		var names []schema.Value
		for g := f; g != nil; g = g.parent {
			g.used = true
			names = append(names, schema.String(g.name))
		}
		for i, j := 0, len(names)-1; i < j; i, j = i+1, j-1 {
			names[i], names[j] = names[j], names[i]
		}
		f.value = schema.List(names...)
	}
	return f.value
}

// above is what the containers around a feature say of all that is in them.
type above struct {
	hidden bool    // visibility 0 of one of them
	times  []field // the innermost TimeStamp or TimeSpan
	marks  int     // how many Placemarks stood before it
}

// folderNote is a folder's description.
type folderNote struct {
	in   *folder
	text string
}

type folderedFeature struct {
	f  *schema.Feature
	in *folder
}

// document reads the whole file.
func (r *reader) document() error {
	if err := r.more(); err != nil {
		return err
	}
	t, err := r.next()
	if err != nil {
		return err
	}
	if t == xml.EOF {
		if r.parts != nil {
			return wire.ErrWhole // a file of blanks is told of as such
		}
		return r.fail(r.Pos, "the file holds no element", "check that it was saved or sent whole")
	}
	if string(r.local) != "kml" {
		return &wire.InputError{File: r.name, Line: r.line(r.at), Path: r.entry, Problem: fmt.Sprintf("the root element is <%s>, not <kml>", wire.Clip(r.Open[0].Name, 60)), Mend: "the file is another kind of XML: give it its own ending, or export it as KML"}
	}
	r.rootNamespace()
	if err := r.container(nil, true); err != nil {
		return err
	}
	if err := r.more(); err != nil {
		return err
	}
	_, err = r.next() // only white space and comments may follow
	return err
}

// rootNamespace says what the root element's namespace means for the rest.
func (r *reader) rootNamespace() {
	if r.space != nsKML {
		for i := range r.Bound {
			if r.Bound[i].Prefix == string(r.prefix) {
				r.Bound[i].Space = nsKML
			}
		}
		r.warn("namespace-unknown", r.at, 1, "the namespace of <%s> is not one of KML's; the file is read as KML 2.2", wire.Clip(r.Open[0].Name, 60))
		return
	}
	for _, b := range r.Bound {
		if b.Prefix == string(r.prefix) {
			return
		}
	}
	r.warn("namespace-missing", r.at, 1, "the file names no namespace; it is read as KML 2.2")
}

// container reads the rest of a kml, Document or Folder element. in is the
// folder that its features are in, nil for none; top is true for the root.
func (r *reader) container(in *folder, top bool) error {
	drawn := false // something that is no Placemark, which is told by itself
	outer := r.above
	r.above.marks = r.placemarks
	defer func() { r.above = outer }()
	isRoot := !top && !r.rootSeen // the first container: its name is the plan's
	if isRoot {
		r.rootSeen = true
	}
	for {
		if err := r.more(); err != nil {
			return err
		}
		more, err := r.child()
		if err != nil || !more {
			if err == nil && in != nil && in.name != "" && r.placemarks == r.above.marks && !drawn {
				r.warn("folder-empty", r.at, 1, "the folder %q holds no feature: is something to be drawn there yet?", wire.Clip([]byte(in.name), 60))
			}
			return err
		}
		if r.space != nsKML {
			if r.torn() {
				return wire.ErrWhole
			}
			if isRoot && r.space == nsOther && string(r.local) == "author" {
				err = r.saysWhole(propAuthor)
			} else {
				err = r.skipOther()
			}
			if err != nil {
				return err
			}
			continue
		}
		switch string(r.local) {
		case "Placemark":
			err = r.placemark(in)
		case "Document", "Folder":
			drawn = true
			if !r.rootSeen {
				err = r.container(nil, false)
			} else {
				err = r.container(r.folder(in), false)
			}
		case "kml":
			r.warn("kml-nested", r.at, 1, "a kml element stands inside another; its content was read")
			err = r.container(in, top)
		case "name":
			err = r.containerName(in, isRoot, top)
		case "description":
			switch {
			case isRoot:
				err = r.elementField(&r.rootFields, schema.PropNote)
			case in != nil && !top:
				err = r.folderNote(in)
			default:
				err = r.skipKnown()
			}
		case "Snippet", "snippet":
			if !isRoot {
				err = r.skipKnown()
				break
			}
			err = r.elementField(&r.rootFields, propSnippet)
		case "NetworkLinkControl":
			r.warn("skipped-NetworkLinkControl", r.at, 1, "the element NetworkLinkControl is not obeyed; what it says is kept as the plan's message")
			err = r.saysWhole(propMessage)
		case "visibility", "TimeStamp", "TimeSpan":
			if top {
				err = r.skipKnown()
				break
			}
			err = r.containerSays()
		case "ExtendedData":
			if !isRoot {
				err = r.folderData()
				break
			}
			r.rootOurs, err = r.extendedData(&r.rootFields)
		case "Schema":
			err = r.schema()
		case "Style":
			err = r.sharedStyle()
		case "StyleMap":
			err = r.styleMap()
		case "NetworkLink":
			drawn = true
			err = r.networkLink()
		case "GroundOverlay", "PhotoOverlay", "ScreenOverlay":
			drawn = true
			err = r.picture(in)
		default:
			err = r.skipKnown()
		}
		if err != nil {
			return err
		}
	}
}

// saysWhole keeps the texts of an element that says something of the whole file, as
// one text of the plan; what is drawn in it is told.
func (r *reader) saysWhole(key string) error {
	at := r.at
	var texts []string
	depth := 0
	var text []byte
	for {
		t, err := r.next()
		if err != nil {
			return err
		}
		switch t {
		case xml.Text:
			text, err = r.AppendText(text, r.token)
		case xml.Start:
			switch string(r.local) {
			case "Update", "uri", "link", "email":
				err = r.skipDrawn()
			default:
				depth++
			}
			text = text[:0]
		case xml.End:
			if s := trimSpace(text); len(s) > 0 && len(texts) < 10 {
				texts = append(texts, wire.Clip(s, 400))
			}
			text = text[:0]
			if depth--; depth < 0 {
				if len(texts) > 0 {
					r.rootFields = append(r.rootFields, field{from: fromData, key: key, text: strings.Join(texts, "; "), at: at})
				}
				return nil
			}
		}
		if err != nil {
			return err
		}
	}
}

// containerSays reads what a container says of all that is in it: that it is not
// shown, or from when to when it holds. It stands before the features by the
// standard's schema.
func (r *reader) containerSays() error {
	if r.placemarks > r.above.marks {
		if r.parts != nil {
			return wire.ErrWhole
		}
		defer func(from int) {
			for _, f := range r.plan.Features[from:] {
				r.below(f)
			}
		}(len(r.plan.Features) - (r.placemarks - r.above.marks))
	}
	if string(r.local) != "visibility" {
		r.above.times = nil
		return r.timePrimitive(&r.above.times)
	}
	text, err := r.content()
	if shown, ok := parseBool(trimmed(string(text))); ok && !shown {
		r.above.hidden = true
	}
	return err
}

// below gives a feature what the containers around it say; its own times hold.
func (r *reader) below(f *schema.Feature) {
	if r.above.hidden {
		f.Attributes.Set(propVisibility, schema.Bool(false))
	}
	if f.Attributes.Has(propTime) || f.Attributes.Has(propTimeBegin) || f.Attributes.Has(propTimeEnd) {
		return
	}
	for i := range r.above.times {
		if v := r.elementValue(&r.above.times[i]); !v.IsAbsent() {
			f.Attributes.Set(r.above.times[i].key, v)
		}
	}
}

// folderData tells what a folder says in data of all that is in it: a plan's
// features say it themselves.
func (r *reader) folderData() error {
	at := r.at
	var fields []field
	if _, err := r.extendedData(&fields); err != nil {
		return err
	}
	for _, f := range fields {
		if text := trimmed(f.text); text != "" {
			r.warn("folder-data", at, 1, "line %d: a folder says %s %q of all that is in it, which was not read: say it in the Placemarks that it is meant for", r.line(at), wire.Clip([]byte(f.key), 60), wire.Clip([]byte(text), 60))
		}
	}
	return nil
}

// folderNote keeps what a folder says of itself.
func (r *reader) folderNote(in *folder) error {
	text, err := r.content()
	if note := trimmed(string(text)); note != "" && float64(len(r.folderNotes)) < r.caps.InputMaxFeatures {
		r.folderNotes = append(r.folderNotes, folderNote{in, note})
	}
	return err
}

// finishFolderNotes makes a member of the plan of what the folders say, by their
// names from the outermost in.
func (r *reader) finishFolderNotes() {
	var notes schema.Attributes
	for _, n := range r.folderNotes {
		name := ""
		for f := n.in; f != nil; f = f.parent {
			if name = f.name + name; f.parent != nil {
				name = " / " + name
			}
		}
		if before := notes.Get(name).Text(); before != "" && before != n.text {
			n.text = before + "\n" + n.text
		}
		notes.Set(name, schema.String(n.text))
	}
	if len(notes) > 0 && !r.plan.Attributes.Has(schema.PlanFolderNotes) {
		r.plan.Attributes.Set(schema.PlanFolderNotes, schema.Object(notes))
	}
}

func (r *reader) containerName(in *folder, isRoot, top bool) error {
	text, err := r.content()
	if err != nil {
		return err
	}
	switch {
	case isRoot:
		r.rootName = string(text)
	case in != nil && !top:
		r.rename(in, string(trimSpace(text)))
	default:
		r.warn("skipped-name", r.at, 1, "a name stands where nothing is that could have one")
	}
	return nil
}

// child goes on to the next element inside the one that is open, past the text
// between them; more is false at its end.
func (r *reader) child() (more bool, err error) {
	for {
		t, err := r.next()
		if err != nil {
			return false, err
		}
		switch t {
		case xml.End:
			return false, nil
		case xml.Text:
			r.stray()
		default:
			return true, nil
		}
	}
}

// stray counts text that stands between elements.
func (r *reader) stray() {
	if !xml.AllSpace(r.Data[r.token.From:r.token.To]) {
		r.warn("stray-text", r.at, 1, "text stands between elements: %q; it was passed over", wire.Clip(trimSpace(r.Data[r.token.From:r.token.To]), 60))
	}
}

// skipKinds are the warnings for elements that are known and not read. Names
// not in it are counted together, so that a file cannot make up kinds.
var skipKinds = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for _, view := range strings.Fields("open visibility LookAt Camera Region balloonVisibility ViewerOptions AbstractView") {
		m[view] = "view-skipped"
	}
	for _, name := range strings.Fields(`name description styleUrl Style StyleMap CascadingStyle Snippet snippet address phoneNumber AddressDetails author link Metadata
		ExtendedData NetworkLink NetworkLinkControl GroundOverlay ScreenOverlay PhotoOverlay Tour Model Placemark Folder Document TimeStamp TimeSpan Schema SimpleField
		SimpleArrayField SimpleArrayData displayName interpolate angles altitudeMode extrude tessellate drawOrder altitudeOffset rank Point LineString LinearRing Polygon
		MultiGeometry Track MultiTrack coordinates IconStyle LabelStyle LineStyle PolyStyle BalloonStyle ListStyle Icon Update`) {
		m[name] = "skipped-" + name
	}
	return m
})

// skipKnown passes over the current element of KML's own and counts it.
func (r *reader) skipKnown() error {
	kind, ok := skipKinds()[string(r.local)]
	switch {
	case !ok:
		kind = "skipped-unknown"
		r.warn(kind, r.at, 1, "the element %s is not one that is read here", wire.Clip(r.local, 60))
	case kind == "view-skipped":
		r.warn(kind, r.at, 1, "the element %s sets a view only; it was passed over", r.local)
	default:
		r.warn(kind, r.at, 1, "the element %s is not read in this place", r.local)
	}
	if (wire.Warning{Kind: kind}).Ground() {
		return r.Skip() // it is told already
	}
	if kind == "view-skipped" {
		return r.passOver(nil)
	}
	return r.skipDrawn()
}

// besideNames are elements that say whose a document is and where they live.
var besideNames = map[string]bool{"author": true, "link": true, "address": true, "phoneNumber": true, "AddressDetails": true}

// muteElements are elements whose texts are words of KML's own or name files.
var muteElements = func() map[string]bool {
	m := map[string]bool{}
	for _, name := range strings.Fields(`bgColor textColor color colorMode displayMode listItemType href scale heading state key refreshMode viewRefreshMode altitudeMode
		styleUrl maxSnippetLines drawOrder visibility open uri email labelVisibility outerColor outerWidth shape flyToMode playMode
		httpQuery viewFormat targetHref when begin end`) {
		m[name] = true
	}
	return m
}()

// skipDrawn passes over the current element as Skip does, and tells where
// something is drawn in it: an update, a tour or a style may hold a pond that no
// reader looks for there.
func (r *reader) skipDrawn() error {
	name := string(r.local)
	at := r.at
	return r.passOver(func(text string) {
		r.plan.AddBeside(schema.BesideText{Where: fmt.Sprintf("the element %s in line %d", wire.Clip([]byte(name), 60), r.line(at)), Text: text, Names: besideNames[name]})
	})
}

// passOver is skipDrawn that gives the texts in the element to said, each as plain
// text; nil for an element that has none.
func (r *reader) passOver(said func(text string)) error {
	depth := len(r.Open)
	outer := wire.Clip(r.Open[depth-1].Name, 60)
	var last, text []byte // the innermost element that bears coordinates
	mute := muteElements[string(r.local)] || said == nil
	say := func() {
		if plain := wire.PlainText(string(text)); !mute && wire.SaysWords(plain) {
			said(plain)
		}
		text = text[:0]
	}
	for {
		t, err := r.next()
		switch {
		case err != nil:
			return err
		case t == xml.EOF:
			return r.fail(r.at, "the text ends inside an element", xml.MendCut)
		case t == xml.Text:
			if !mute {
				if text, err = r.AppendText(text, r.token); err != nil {
					return err
				}
			}
			continue
		case t == xml.End:
			if say(); len(r.Open) < depth {
				return nil
			}
			mute = said == nil
			continue
		case t != xml.Start:
			continue
		}
		say()
		mute = muteElements[string(r.local)] || said == nil
		switch string(r.local) {
		case "Delete":
			r.warn("update-delete", r.at, 1, "line %d: an update takes something out of the file, and was not followed: save the file as it is once updated", r.line(r.at))
		case "coordinates", "coord", "posList", "Model":
			if string(r.local) != "Model" && len(r.Open) > 1 {
				last = r.Open[len(r.Open)-2].Name
			} else {
				last = r.local
			}
			r.warn("drawn-elsewhere", r.at, 1, "line %d: %s stands in the element %s, from which nothing is read: draw it as a Placemark in the Document itself", r.line(r.at), wire.Clip(last, 60), outer)
		}
	}
}

// picture passes over a picture and keeps what it is called, what its file is
// called, what is written of it and the folder that it is in: a pond may be drawn
// in it.
func (r *reader) picture(in *folder) error {
	r.warn(skipKinds()[string(r.local)], r.at, 1, "the element %s is not read in this place", r.local)
	depth := len(r.Open)
	if in != nil && in.name != "" {
		r.plan.AddPicture(wire.Clip([]byte(in.name), 200) + ", in a folder of that name")
	}
	for {
		t, err := r.next()
		if err != nil {
			return err
		}
		switch {
		case t == xml.EOF, t == xml.End && len(r.Open) < depth:
			return nil
		case t == xml.Start && (len(r.Open) == depth+1 && (string(r.local) == "name" || string(r.local) == "description") || len(r.Open) == depth+2 && string(r.local) == "href"):
			href, at := string(r.local) == "href", r.at
			text, err := r.content()
			if err != nil {
				return err
			}
			r.plan.AddPicture(wire.Clip(trimSpace(text), 200))
			if plain := wire.PlainText(string(text)); !href && wire.SaysWords(plain) {
				r.plan.AddBeside(schema.BesideText{Where: fmt.Sprintf("a picture over the map, in line %d", r.line(at)), Text: plain})
			}
		}
	}
}

// skipOther passes over an element of another namespace.
func (r *reader) skipOther() error {
	if r.space == nsGX {
		if string(r.local) == "CascadingStyle" {
			return r.cascadingStyle()
		}
		return r.skipKnown()
	}
	if kind := skipKinds()[string(r.local)]; (wire.Warning{Kind: kind}).Ground() { // something drawn, in a namespace with a slip
		r.warn(kind, r.at, 1, "the element %s belongs to another vocabulary; it was passed over", wire.Clip(r.Open[len(r.Open)-1].Name, 60))
		return r.Skip()
	}
	r.warn("skipped-foreign", r.at, 1, "the element %s belongs to another vocabulary; it was passed over", wire.Clip(r.Open[len(r.Open)-1].Name, 60))
	return r.skipDrawn()
}

// placemark is what is collected of one Placemark before it is known whether it
// is one of ours.
type placemark struct {
	at       int
	id       string
	name     string
	hasName  bool
	ours     bool
	fields   []field
	styleURL string
	style    *style
	roots    []int // nodes that stand directly in the Placemark
}

// placemark reads a Placemark and appends its feature to the plan.
func (r *reader) placemark(in *folder) error {
	r.placemarks++
	r.Open[len(r.Open)-1].Count = r.placemarks
	if float64(r.placemarks) > r.caps.InputMaxFeatures {
		return r.fail(r.at, fmt.Sprintf("the file has more than %.0f features (limit input_max_features)", r.caps.InputMaxFeatures), "split it, or raise the limit in a limits file")
	}
	m := &r.mark
	*m = placemark{at: r.at, fields: m.fields[:0], roots: m.roots[:0]}
	r.flat, r.ends, r.nodes, r.times = r.flat[:0], r.ends[:0], r.nodes[:0], r.times[:0]
	id, _, err := r.attr("id")
	if err != nil {
		return err
	}
	m.id = string(id)
	for {
		more, err := r.child()
		if err != nil {
			return err
		}
		if !more {
			return r.finishPlacemark(in)
		}
		if err := r.placemarkChild(m); err != nil {
			return err
		}
	}
}

func (r *reader) placemarkChild(m *placemark) error {
	if r.space == nsOther {
		return r.foreign(&m.fields)
	}
	if isGeometry(r.local) {
		m.roots = append(m.roots, len(r.nodes))
		return r.geometry()
	}
	switch string(r.local) {
	case "TimeStamp", "TimeSpan": // gx has them too
		return r.timePrimitive(&m.fields)
	}
	if r.space == nsGX {
		return r.skipOther()
	}
	switch string(r.local) {
	case "name":
		text, err := r.content()
		if m.hasName && m.name != string(text) {
			r.warn("name-second", r.at, 1, "line %d: a Placemark is called %q and %q, and the last was read: which of them is right?", r.line(m.at), wire.Clip([]byte(m.name), 60), wire.Clip(text, 60))
		}
		m.name, m.hasName = string(text), true
		return err
	case "description":
		return r.elementField(&m.fields, schema.PropNote)
	case "visibility":
		return r.elementField(&m.fields, propVisibility)
	case "address":
		return r.elementField(&m.fields, propAddress)
	case "phoneNumber":
		return r.elementField(&m.fields, propPhone)
	case "Snippet", "snippet":
		return r.elementField(&m.fields, propSnippet)
	case "styleUrl":
		text, err := r.content()
		m.styleURL = string(trimSpace(text))
		return err
	case "Style":
		st, err := r.style()
		m.style = st
		return err
	case "StyleMap":
		r.warn("style-reduced", r.at, 1, "a style map inside a feature was passed over")
		return r.Skip()
	case "ExtendedData":
		ours, err := r.extendedData(&m.fields)
		m.ours = m.ours || ours
		return err
	case "Metadata": // what KML 2.1 had where 2.2 has ExtendedData
		return r.within(func() error { return r.anyData(&m.fields) })
	}
	return r.skipKnown()
}

// within calls f for every element in the current one.
func (r *reader) within(f func() error) error {
	for {
		if more, err := r.child(); err != nil || !more {
			return err
		}
		if err := f(); err != nil {
			return err
		}
	}
}

// timePrimitive reads a TimeStamp or TimeSpan.
func (r *reader) timePrimitive(fields *[]field) error {
	for {
		more, err := r.child()
		if err != nil || !more {
			return err
		}
		switch string(r.local) {
		case "when":
			err = r.elementField(fields, propTime)
		case "begin":
			err = r.elementField(fields, propTimeBegin)
		case "end":
			err = r.elementField(fields, propTimeEnd)
		default:
			err = r.skipKnown()
		}
		if err != nil {
			return err
		}
	}
}

// finishPlacemark makes the feature of what was collected.
func (r *reader) finishPlacemark(in *folder) error {
	m := &r.mark
	f := &schema.Feature{Role: schema.RoleOther, Source: schema.Source{
		File: r.name, Format: r.plan.Source.Format, Winding: schema.WindingStandard, Line: r.line(m.at), Path: r.entry}}
	r.taken.reset()
	if err := r.makeFeature(f, m); err != nil {
		return err
	}
	if in != nil && !(m.ours && f.Attributes.Has(schema.PropFolder)) {
		r.foldered = append(r.foldered, folderedFeature{f, in})
	}
	r.below(f)
	r.plan.Features = append(r.plan.Features, f)
	if r.parts != nil {
		return r.settleNow()
	}
	return nil
}

// makeFeature fills a feature with what was collected.
func (r *reader) makeFeature(f *schema.Feature, m *placemark) (err error) {
	r.closing = true
	defer func() { r.closing = false }()
	var typed string // what the geometry is, by the field geometry
	if m.ours {
		typed = r.ownFields(f, m)
	} else {
		r.foreignFields(f, m)
	}
	if f.Geometry, err = r.finishGeometry(f, m, typed); err != nil {
		return err
	}
	r.styleOf(f, m)
	return nil
}

// finishPlan settles what depends on the whole document.
func (r *reader) finishPlan() error {
	if r.parts != nil {
		if err := r.finishParts(); err != nil {
			return err
		}
	}
	r.settlePending()
	r.settleFoldered()
	r.settleStyled()
	r.finishRoot()
	r.finishFolderNotes()
	return nil
}

func (r *reader) settlePending() {
	for _, p := range r.pending {
		r.resolve(p)
	}
}

func (r *reader) settleFoldered() {
	const atStart = -1 // the first line
	for _, in := range r.foldered {
		r.taken.reset()
		r.add(&in.f.Attributes, schema.PropFolder, in.in.path(), atStart)
	}
}

func (r *reader) settleStyled() {
	for _, s := range r.styled {
		r.taken.reset()
		r.resolveStyle(s)
	}
}
