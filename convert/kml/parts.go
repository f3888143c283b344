// Documents in parts: a window slides along the document, and features are
// given away as they are whole. What stands behind a feature and says more of it
// (the Schema of its values, its styles, its folders' names) is known from the
// walk before.

package kml

import (
	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// Tests make these small, so that features lie across their edges.
var (
	windowBytes = 256 << 10 // the least that a window holds
	partPoints  = 1 << 16   // points that make a part, however few features they are
)

// NewSource makes a KML document in UTF-8 without a byte-order mark one that is
// read in parts of some features each.
func NewSource(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource {
	return &source{open: open, o: o, size: features, format: "kml"}
}

// source is a document and what was found out about it on the walks before.
type source struct {
	open    wire.Opening
	o       wire.ReadOptions
	size    int
	format  string
	entry   string // of a KMZ, "" for a plain KML
	checked bool   // it is UTF-8 all through

	known   bool                   // all that follows is as it is at the document's end
	schemas map[string]*fieldTypes // as in reader
	styles  map[string]*style
	folders map[int]string // names that stand behind features, by the folder's number
}

// Walk implements wire.PartSource.
func (s *source) Walk(take func(*schema.Plan, []*schema.Feature) error) (*schema.Plan, []wire.Warning, error) {
	f, err := s.open()
	if err != nil {
		return nil, nil, err
	}
	w := &wire.Window{From: f, Least: windowBytes, Unchecked: !s.checked}
	defer w.Close()
	head, err := w.Fill(nil)
	if err != nil {
		return nil, nil, err
	}
	if !charset.PlainXML(head) {
		return nil, nil, wire.ErrWhole
	}
	r, early := newReader(&s.o, s.format, s.entry)
	r.Slide(head)
	r.parts = &parts{source: s, take: take, folders: map[int]string{}}
	r.parts.stream = xml.Stream{Reader: &r.Reader, Window: w, Inside: r.inside, BeforeSlide: r.beforeSlide}
	warnings, err := r.read(&s.o, early)
	if err == nil && s.entry != "" && len(r.links) > 0 {
		return nil, nil, wire.ErrWhole // they may lead to other entries
	}
	if err == nil {
		var more []wire.Warning
		more, err = unfollowed(r.parts.given, r.links, s.o.Name)
		warnings = append(warnings, more...)
	}
	if err != nil {
		return nil, nil, r.parts.stream.Fault(err)
	}
	s.checked = true
	if !s.known {
		s.known, s.schemas, s.styles, s.folders = true, r.schemas, r.styles, r.parts.folders
		if r.parts.late {
			return nil, nil, wire.ErrAgain
		}
	}
	return r.plan, warnings, nil
}

// parts gives features away.
type parts struct {
	source   *source
	stream   xml.Stream
	take     func(*schema.Plan, []*schema.Feature) error
	given    int // features
	vertices int // read before the part in hand
	numbers  int // folders so far

	// What there is to tell of what is settled at the end of a document that is
	// held whole, in the order in which it is then.
	pending, foldered, styled tally

	// What was looked up before all of it was known, and whether it changed since.
	schemas, styles bool
	folders         map[int]string
	late            bool
}

// more sees to it that what comes next is whole.
func (r *reader) more() error {
	if r.parts == nil {
		return nil
	}
	return r.parts.stream.More()
}

// inside is for xml.Stream: the children of containers come one by one.
func (r *reader) inside(local []byte) bool { return len(r.Open) == 0 || isContainer(local) }

func isContainer(local []byte) bool {
	switch string(local) {
	case "kml", "Document", "Folder":
		return true
	}
	return false
}

func (r *reader) beforeSlide() {
	for i := range r.rootFields {
		if f := &r.rootFields[i]; f.at >= 0 {
			f.at = r.Kept(f.at)
		}
	}
}

// torn reports whether the element just opened is not whole in the window
// although it is to be read whole: a container of another vocabulary.
func (r *reader) torn() bool { return r.parts != nil && isContainer(r.local) }

// folder opens a folder inside another, nil for none.
func (r *reader) folder(in *folder) *folder {
	f := &folder{parent: in}
	if p := r.parts; p != nil {
		f.number = p.numbers
		p.numbers++
		f.name, f.fixed = p.source.folders[f.number]
	}
	return f
}

// rename gives a folder its name.
func (r *reader) rename(f *folder, name string) {
	if f.fixed || f.name == name {
		return
	}
	f.name = name
	if r.parts != nil && f.used {
		r.parts.folders[f.number], r.parts.late = name, true
	}
}

// lookup returns what a Schema says, as all of the document has it.
func (r *reader) lookup(id string) *fieldTypes {
	if r.parts != nil {
		if r.parts.source.known {
			return r.parts.source.schemas[id]
		}
		r.parts.schemas = true
	}
	return r.schemas[id]
}

// lookupStyle returns a style, as all of the document has it.
func (r *reader) lookupStyle(id string) *style {
	if r.parts != nil {
		if r.parts.source.known {
			return r.parts.source.styles[id]
		}
		r.parts.styles = true
	}
	return r.styles[id]
}

// settleNow settles the feature read last, and gives features away when they
// are enough for a part.
func (r *reader) settleNow() error {
	p := r.parts
	all := r.tally
	r.settling = true
	for _, step := range []struct {
		t  *tally
		do func()
	}{{&p.pending, r.settlePending}, {&p.foldered, r.settleFoldered}, {&p.styled, r.settleStyled}} {
		r.tally = *step.t
		step.do()
		*step.t = r.tally
	}
	r.tally, r.settling = all, false
	clear(r.pending)
	clear(r.foldered)
	clear(r.styled)
	r.pending, r.foldered, r.styled = r.pending[:0], r.foldered[:0], r.styled[:0]
	if len(r.plan.Features) >= p.source.size || r.vertices-p.vertices >= partPoints {
		return r.give()
	}
	return nil
}

// give gives the features read so far away.
func (r *reader) give() error {
	p, features := r.parts, r.plan.Features
	if len(features) == 0 {
		return nil
	}
	p.vertices = r.vertices
	p.given += len(features)
	r.plan.Features = make([]*schema.Feature, 0, min(p.source.size, 1<<12))
	head := *r.plan
	head.Features = nil
	return p.take(&head, features)
}

// finishParts is what finishPlan does for a document in parts.
func (r *reader) finishParts() error {
	if err := r.give(); err != nil {
		return err
	}
	r.plan.Features = nil
	for _, t := range []*tally{&r.parts.pending, &r.parts.foldered, &r.parts.styled} {
		r.tally.merge(t)
	}
	return nil
}
