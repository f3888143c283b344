// GPX's use of the XML reader: its namespaces, and texts and children of
// elements.

package gpx

import (
	"bytes"
	"fmt"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
)

// Namespaces as far as GPX cares.
const (
	spaceNone  xml.Space = iota // no namespace
	spaceGPX                    // the GPX namespace of the file, whichever version
	spaceOwn                    // Namespace, our own
	spaceOther                  // any other
)

// Namespaces of the two versions of GPX.
const (
	namespace10 = "http://www.topografix.com/GPX/1/0"
	namespace11 = "http://www.topografix.com/GPX/1/1"
	unboundURN  = "urn:swardline:unbound:" // stands for a prefix that a file never declared
)

type token = xml.Token

// scanner reads one document, or one fragment of one.
type scanner struct {
	xml.Reader
	file    string
	gpxURI  string // the root's own namespace when it is not one of the known two
	noneGPX bool   // names without a namespace are GPX's, because the root is one
	textual []byte // scratch for decoded text
	tally   *wire.Tally
}

// load makes the scanner ready for the text.
func (s *scanner) load(data []byte, nesting int) {
	s.Reader = xml.Reader{Data: data, Format: "GPX", Nesting: nesting, Vocabulary: s}
}

// Fault implements xml.Vocabulary.
func (s *scanner) Fault(offset int, problem, mend string) error {
	return s.fail(offset, mend, "%s", problem)
}

// Warn implements xml.Vocabulary.
func (s *scanner) Warn(kind string, offset int, format string, args ...any) {
	s.warn(kind, offset, format, args...)
}

func (s *scanner) fail(offset int, mend, format string, args ...any) error {
	if offset < 0 { // kept while the window slid: where in its line is gone
		return wire.ErrWhole
	}
	line, column := s.Place(offset)
	return &wire.InputError{File: s.file, Line: line, Column: column, Problem: fmt.Sprintf(format, args...), Mend: mend}
}

func (s *scanner) warn(kind string, offset int, format string, args ...any) {
	s.tally.Add(kind, s.LineOf(offset), "", format, args...)
}

// SpaceOf implements xml.Vocabulary.
func (s *scanner) SpaceOf(uri string, _ int) xml.Space {
	switch uri {
	case "":
		if s.noneGPX {
			return spaceGPX
		}
		return spaceNone
	case namespace10, namespace11:
		return spaceGPX
	case Namespace:
		return spaceOwn
	case s.gpxURI:
		return spaceGPX
	}
	return spaceOther
}

// Unbound implements xml.Vocabulary.
func (s *scanner) Unbound(prefix []byte, at int) xml.Space {
	if len(prefix) == 0 {
		return s.SpaceOf("", at)
	}
	return spaceOther
}

// text reads the content of the element whose start tag was just read as text
// and passes its end tag. Elements inside are counted and their text is kept.
func (s *scanner) text() (string, error) {
	start, depth := s.Pos, len(s.Open)
	// Nearly always the text is one plain run up to the end tag.
	if !s.Ended {
		i := start
		for i < len(s.Data) && s.Data[i] != '<' && s.Data[i] != '&' && s.Data[i] >= 0x20 && s.Data[i] != 0xef {
			i++
		}
		if i+1 < len(s.Data) && s.Data[i] == '<' && s.Data[i+1] == '/' {
			s.Pos = i
			_, err := s.ReadEnd()
			return string(s.Data[start:i]), err
		}
	}
	out := s.textual[:0]
	s.textual = nil // tags inside may decode attributes meanwhile
	for {
		t, err := s.Next()
		if err != nil {
			return "", err
		}
		switch t.Kind {
		case xml.Text:
			if out, err = s.Decode(out, s.Data[t.From:t.To], t.From, t.CDATA, false); err != nil {
				return "", err
			}
		case xml.Start:
			s.warn("markup-in-text", t.From, "the tag <%s> stands inside a text; its own text is kept", wire.Clip(t.Local, 40))
		case xml.End:
			if len(s.Open) < depth {
				s.textual = out
				return string(out), nil
			}
		case xml.EOF:
			return "", s.fail(t.From, "", "the text ends inside an element")
		}
	}
}

// child returns the next start tag inside the element at the given depth of the
// stack, or ok false once its end tag has been passed. Text between is handed
// to stray when it is more than white space.
func (s *scanner) child(depth int, stray func(token) error) (t token, ok bool, err error) {
	for {
		t, err := s.Next()
		if err != nil {
			return t, false, err
		}
		switch t.Kind {
		case xml.Start:
			return t, true, nil
		case xml.End:
			if len(s.Open) < depth {
				return t, false, nil
			}
		case xml.EOF:
			return t, false, nil
		case xml.Text:
			if !xml.AllSpace(s.Data[t.From:t.To]) {
				if err := stray(t); err != nil {
					return t, false, err
				}
			}
		}
	}
}

func (s *scanner) strayText(t token) error {
	if _, err := s.Decode(nil, s.Data[t.From:t.To], t.From, t.CDATA, false); err != nil {
		return err
	}
	s.warn("stray-text", t.From, "the text %q stands between elements; it is passed over", wire.Clip(bytes.TrimSpace(s.Data[t.From:t.To]), 40))
	return nil
}
