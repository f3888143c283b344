// Package geojsonseq reads and writes plans as sequences of GeoJSON: GeoJSON
// Text Sequences (RFC 8142, each text between a record separator, the byte
// 0x1e, and a line feed) and newline-delimited GeoJSON (a text a line, no
// separator).
//
// Every feature is a text of its own, as package geojson writes it. What a plan
// says of itself (its name, epoch, members) stands in a last text, a
// FeatureCollection without features, when there is any (programs that know
// sequences look at the first text to tell what a file is); a plan that is not
// in WGS 84 has the member "coordRefSys" in every feature, because each is read
// on its own.
package geojsonseq

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// The layouts that WriteOptions.Layout may name.
const (
	LayoutLines    = "lines"    // a text a line; the default
	LayoutSequence = "sequence" // RFC 8142
)

const separator = 0x1e

// Detect reports whether the first bytes of a file can only be a sequence: a
// record separator comes first, or a whole object stands on a line with another
// one after it.
func Detect(head []byte) bool {
	at := jsontext.SkipSpace(head, 0)
	if at < len(head) && head[at] == separator {
		return true
	}
	if at >= len(head) || head[at] != '{' {
		return false
	}
	line, rest, more := bytes.Cut(head[at:], []byte{'\n'})
	if !more {
		return false
	}
	next := jsontext.SkipSpace(rest, 0)
	if next >= len(rest) || rest[next] != '{' {
		return false
	}
	_, end, err := jsontext.ParseAt(line, 0, schema.MaxNesting)
	return err == nil && jsontext.SkipSpace(line, end) == len(line)
}

// Read reads a plan from a sequence of either kind, also one that mixes them.
// Errors are *wire.InputError with the line in the sequence.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	data, err := wire.CheckText(data, o.Name, &t)
	if err != nil {
		return nil, nil, err
	}
	joined, err := join(data, &o, &t)
	if err != nil {
		return nil, nil, err
	}
	p, warnings, err := geojson.Read(joined, o)
	if err != nil {
		return nil, nil, err
	}
	p.Source.Format = "geojsonseq"
	return p, append(t.Warnings(), warnings...), nil
}

// join makes one FeatureCollection of the texts. Each stays on its line, so
// that what is said about a line holds for the sequence.
func join(data []byte, o *wire.ReadOptions, t *wire.Tally) ([]byte, error) {
	fail := func(at int, problem, mend string) error {
		line, column := wire.LineColumn(data, at)
		return &wire.InputError{File: o.Name, Line: line, Column: column, Problem: problem, Mend: mend}
	}
	nesting := int(o.Caps().InputMaxNesting) + 8
	out := append(make([]byte, 0, len(data)+64), opening...)
	var head schema.Attributes
	separated, texts, features := false, 0, 0
	for at := 0; ; {
		at = copySpace(&out, data, at, &separated)
		if at >= len(data) {
			break
		}
		if data[at] != '{' {
			return nil, fail(at, "a GeoJSON object should start here", "a sequence holds a Feature a line; export it again")
		}
		v, end, err := jsontext.ParseAt(data, at, nesting)
		if err != nil {
			if je, ok := err.(*jsontext.Error); ok {
				return nil, fail(je.Offset, je.Problem, "the text was cut off or damaged; send or export it again")
			}
			return nil, fail(at, err.Error(), "")
		}
		texts++
		members := v.Fields()
		if members.Get("type").Text() == "FeatureCollection" {
			if len(members.Get("features").Items()) > 0 {
				return nil, fail(at, "a FeatureCollection with features stands in the sequence", "read it as GeoJSON, or write a Feature a line")
			}
			if head != nil {
				return nil, fail(at, "the file says twice what it is", "remove one of its texts without features")
			}
			head = members
			out = append(out, bytes.Repeat([]byte{'\n'}, bytes.Count(data[at:end], []byte{'\n'}))...)
		} else {
			if features > 0 {
				out = append(out, ',')
			}
			features++
			out = append(out, data[at:end]...)
		}
		at = end
	}
	out = append(out, ']')
	out = appendHead(out, head)
	if texts == 0 {
		return nil, &wire.InputError{File: o.Name, Problem: "the sequence holds no text", Mend: "check that it was saved or sent whole"}
	}
	if separated && data[len(data)-1] != '\n' {
		// RFC 8142 section 2.4 by RFC 7464: without the line feed a text may be
		// cut off; an object that ends in its brace was not.
		noLineFeed(t)
	}
	return append(out, '}'), nil
}

// opening starts the FeatureCollection that the texts are joined to.
const opening = `{"type":"FeatureCollection","features":[`

// appendHead appends the members of a text without features.
func appendHead(out []byte, head schema.Attributes) []byte {
	for _, m := range head {
		if m.Key == "type" || m.Key == "features" {
			continue
		}
		out = schema.AppendJSONString(append(out, ','), m.Key)
		out = m.Value.AppendJSON(append(out, ':'))
	}
	return out
}

func noLineFeed(t *wire.Tally) {
	t.Add("line-feed-missing", 0, "", "the last text does not end in a line feed")
}

// copySpace copies white space to out, passes over separators, and returns the
// index of what comes next.
func copySpace(out *[]byte, data []byte, at int, separated *bool) int {
	for at < len(data) {
		switch c := data[at]; c {
		case separator:
			*separated = true
		case ' ', '\t', '\r', '\n':
			*out = append(*out, c)
		default:
			return at
		}
		at++
	}
	return at
}

// Write writes the plan in the layout that o.Layout names. Losses and errors
// are those of package geojson.
func Write(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error) {
	s, err := NewWriter(w, o)
	if err != nil {
		return nil, err
	}
	return wire.WriteParts(s, p, o)
}

// NewWriter is Write for a plan in parts.
func NewWriter(w io.Writer, o wire.WriteOptions) (wire.PartWriter, error) {
	s := &splitter{w: w}
	switch o.Layout {
	case "", LayoutLines:
	case LayoutSequence:
		s.separated = true
	default:
		return nil, fmt.Errorf("a GeoJSON sequence has no layout %q; it has %s and %s", o.Layout, LayoutLines, LayoutSequence)
	}
	var err error
	s.PartWriter, err = geojson.NewWriter(s, wire.WriteOptions{})
	return s, err
}

// Note implements wire.PartWriter.
func (s *splitter) Note(features []*schema.Feature) {
	s.features += len(features)
	s.PartWriter.Note(features)
}

// Begin implements wire.PartWriter. Steps of its own are not for a sequence.
func (s *splitter) Begin(p *schema.Plan, _ wire.WriteOptions) error {
	return s.PartWriter.Begin(p, wire.WriteOptions{})
}

// End implements wire.PartWriter.
func (s *splitter) End() ([]wire.Loss, error) {
	losses, err := s.PartWriter.End()
	if err != nil {
		return nil, err
	}
	return losses, s.close(s.features == 0)
}

// splitter takes the lines of a FeatureCollection, one feature a line, and
// writes each as a text of its own.
type splitter struct {
	wire.PartWriter // of package geojson, which writes to the splitter
	features        int
	w               io.Writer
	separated       bool
	headDone        bool
	head            []byte // the collection's own members
	own             string // the text made of them, "" for none
	system          []byte // of coordRefSys, written into every feature
	line            []byte // what has come of the current line
	out             []byte
}

func (s *splitter) Write(b []byte) (int, error) {
	n := len(b)
	s.out = s.out[:0]
	for len(b) > 0 {
		line, rest, whole := bytes.Cut(b, []byte{'\n'})
		s.line = append(s.line, line...)
		b = rest
		if !whole {
			break
		}
		if err := s.take(); err != nil {
			return 0, err
		}
	}
	if len(s.out) > 0 {
		if _, err := s.w.Write(s.out); err != nil {
			return 0, err
		}
	}
	return n, nil
}

// take takes a whole line.
func (s *splitter) take() error {
	line := s.line
	s.line = s.line[:0]
	if s.headDone {
		s.feature(line)
		return nil
	}
	s.head = append(append(s.head, line...), '\n')
	if bytes.HasPrefix(line, []byte(`"features":[`)) || bytes.HasSuffix(line, []byte(`,"features":[`)) {
		return s.endHead(string(s.head))
	}
	return nil
}

// endHead takes the collection's own members, which are written last if there
// are any.
func (s *splitter) endHead(head string) error {
	s.headDone = true
	head = strings.TrimSuffix(strings.TrimSpace(head), "]}")
	head = strings.ReplaceAll(head, "\n", "")
	v, err := jsontext.Parse([]byte(head + "]}"))
	if err != nil {
		return fmt.Errorf("the collection's members: %w", err) // cannot happen: geojson wrote them
	}
	if c := v.Fields().Get("coordRefSys"); !c.IsAbsent() {
		s.system = c.AppendJSON([]byte(`,"coordRefSys":`))
	}
	if len(v.Fields()) > 2 {
		s.own = head + "]}"
	}
	return nil
}

func (s *splitter) feature(line []byte) {
	line = bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("]}")), []byte{','})
	if len(line) == 0 {
		return
	}
	const start = `{"type":"Feature"`
	if s.system == nil || !bytes.HasPrefix(line, []byte(start)) {
		s.text(line)
		return
	}
	s.text([]byte(start), s.system, line[len(start):])
}

func (s *splitter) text(parts ...[]byte) {
	if s.separated {
		s.out = append(s.out, separator)
	}
	for _, p := range parts {
		s.out = append(s.out, p...)
	}
	s.out = append(s.out, '\n')
}

// close writes what is left; empty says that the plan has no features.
func (s *splitter) close(empty bool) error {
	s.out = s.out[:0]
	if len(s.line) > 0 {
		if err := s.take(); err != nil {
			return err
		}
	}
	if !s.headDone {
		if err := s.endHead(string(s.head)); err != nil {
			return err
		}
	}
	if empty && s.own == "" {
		s.own = `{"type":"FeatureCollection","features":[]}`
	}
	if s.own != "" {
		s.text([]byte(s.own))
	}
	_, err := s.w.Write(s.out)
	return err
}
