// KML's use of the XML reader: its namespaces, the path of what is wrong, and
// texts that may hold markup.

package kml

import (
	"fmt"
	"strconv"
	"strings"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
)

// Namespaces as far as KML cares.
const (
	nsKML xml.Space = iota
	nsGX
	nsOther
)

// scanner holds the document and the current token.
type scanner struct {
	xml.Reader
	name  string // of the file
	entry string // of the KMZ, "" for a plain KML
	tally tally

	at         int       // offset where the current token starts
	prefix     []byte    // of the current start tag
	local      []byte    // of the current start tag
	space      xml.Space // of the current start tag
	token      xml.Token
	placemarks int
	closing    bool // the last Placemark is read, and its feature is being made
	settling   bool // what is told stands nowhere: the document is read, or as good as

	scratch []byte
}

// next moves to the next token, which stands in s from then on.
func (s *scanner) next() (xml.Kind, error) {
	t, err := s.Next()
	s.token, s.at = t, t.From
	if err == nil && t.Kind == xml.Start {
		s.prefix, s.local, s.space = t.Prefix, t.Local, t.Space
	}
	return t.Kind, err
}

// tally counts warnings by kind, without any work for a kind already known.
type tally struct {
	at   map[string]int
	list []wire.Warning
}

// warn counts n more of a kind; the first one's message and place are kept.
func (s *scanner) warn(kind string, at, n int, format string, args ...any) {
	if i, ok := s.tally.at[kind]; ok {
		s.tally.list[i].Count += n
		return
	}
	if s.tally.at == nil {
		s.tally.at = map[string]int{}
	}
	s.tally.at[kind] = len(s.tally.list)
	s.tally.list = append(s.tally.list, wire.Warning{Kind: kind, Count: n, Message: fmt.Sprintf(format, args...), Line: s.line(at), Path: s.path()})
}

// merge adds what another collected behind this.
func (t *tally) merge(u *tally) {
	for _, w := range u.list {
		if i, ok := t.at[w.Kind]; ok {
			t.list[i].Count += w.Count
			continue
		}
		if t.at == nil {
			t.at = map[string]int{}
		}
		t.at[w.Kind] = len(t.list)
		t.list = append(t.list, w)
	}
}

// line returns the line of an offset.
func (s *scanner) line(at int) int { return s.LineOf(at) }

// path names the open elements, such as kml/Document/Placemark[3]/Polygon, with
// the KMZ's entry before it.
func (s *scanner) path() string {
	var b strings.Builder
	if s.entry != "" {
		b.WriteString(wire.Clip([]byte(s.entry), 60))
		b.WriteString(": ")
	}
	if s.settling {
		return b.String()
	}
	for i, o := range s.Open {
		if i > 0 {
			b.WriteByte('/')
		}
		b.WriteString(wire.Clip(o.Name, 60))
		if o.Count > 0 {
			b.WriteByte('[')
			b.WriteString(strconv.Itoa(o.Count))
			b.WriteByte(']')
		}
	}
	if s.closing {
		fmt.Fprintf(&b, "/Placemark[%d]", s.placemarks)
	}
	return b.String()
}

func (s *scanner) fail(at int, problem, mend string) error {
	line, column := s.Place(at)
	return &wire.InputError{File: s.name, Line: line, Column: column, Path: s.path(), Problem: problem, Mend: mend}
}

// Fault implements xml.Vocabulary.
func (s *scanner) Fault(at int, problem, mend string) error { return s.fail(at, problem, mend) }

// Warn implements xml.Vocabulary.
func (s *scanner) Warn(kind string, at int, format string, args ...any) {
	s.warn(kind, at, 1, format, args...)
}

// SpaceOf implements xml.Vocabulary.
func (s *scanner) SpaceOf(uri string, at int) xml.Space {
	u := strings.TrimSpace(uri)
	switch {
	case u == "":
		return nsKML // taken back to no namespace at all
	case strings.HasPrefix(u, "http://www.opengis.net/kml/") || strings.HasPrefix(u, "https://www.opengis.net/kml/"):
		return nsKML
	case strings.HasPrefix(u, "http://earth.google.com/kml/"):
		s.warn("namespace-old", at, 1, "the namespace %s is an old one; the file is read as KML 2.2", wire.Clip([]byte(uri), 60))
		return nsKML
	case strings.HasPrefix(u, "http://www.google.com/kml/ext/"):
		return nsGX
	}
	return nsOther
}

// Unbound implements xml.Vocabulary.
func (s *scanner) Unbound(prefix []byte, at int) xml.Space {
	switch string(prefix) {
	case "":
		return nsKML
	case "kml", "gx":
		s.warn("prefix-undeclared", at, 1, "the namespace prefix %s is not declared; its usual meaning was taken", prefix)
		if prefix[0] == 'g' {
			return nsGX
		}
		return nsKML
	}
	return nsOther
}

// attr returns the decoded value of an attribute of the current start tag, its
// prefix left out of account; ok is false when there is none.
func (s *scanner) attr(local string) (value []byte, ok bool, err error) {
	for _, a := range s.token.Attrs {
		if string(a.Local) == local && string(a.Prefix) != "xmlns" {
			v, err := s.AttrText(a)
			return []byte(v), true, err
		}
	}
	return nil, false, nil
}

// content reads the current element, whose start token was read last, up to its
// end and returns its text, decoded. Markup inside is kept as it is written,
// because field exports forget to escape the HTML of a description. The bytes
// are good until the next call.
func (s *scanner) content() ([]byte, error) {
	if s.Ended {
		_, err := s.next()
		return nil, err
	}
	depth := len(s.Open)
	out := s.scratch[:0]
	var direct []byte // the text so far, while it is one run that needs no decoding
	for {
		t, err := s.next()
		if err != nil {
			return nil, err
		}
		if t == xml.Text && direct == nil && len(out) == 0 && s.Plain(s.token) {
			direct = s.Data[s.token.From:s.token.To]
			continue
		}
		if t == xml.End && len(s.Open) < depth {
			if direct != nil {
				return direct, nil
			}
			s.scratch = out
			return out, nil
		}
		out = append(out, direct...)
		direct = nil
		switch t {
		case xml.Text:
			if out, err = s.AppendText(out, s.token); err != nil {
				return nil, err
			}
		case xml.Start:
			s.warn("markup-in-text", s.at, 1, "markup stands in the text of an element; it was kept as text")
			out = append(out, s.Data[s.token.From:s.token.To]...)
			if s.Ended { // its end has no tag to keep
				if _, err := s.next(); err != nil {
					return nil, err
				}
			}
		case xml.End:
			out = append(out, s.Data[s.token.From:s.token.To]...)
		}
	}
}
