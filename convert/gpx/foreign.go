// Foreign extensions as text that stands on its own: every outermost element
// carries the namespace bindings that it and its children lean on.

package gpx

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

type need struct{ prefix, uri string }

// capture appends the element whose start tag t was just read, up to its end
// tag, as self-contained text. Comments and processing instructions are left
// out; prefixes, white space and CDATA sections stay as they are.
func (s *scanner) capture(out []byte, t token) ([]byte, error) {
	depth := len(s.Open)
	base := s.Open[depth-1].Bindings
	var needs []need
	ask := func(prefix []byte, at int) {
		i := s.Lookup(prefix)
		if i >= base || string(prefix) == "xml" {
			return
		}
		n := need{prefix: string(prefix)}
		switch {
		case i >= 0:
			n.uri = s.Bound[i].URI
		case len(prefix) > 0:
			n.uri = unboundURN + n.prefix
		}
		for _, have := range needs {
			if have.prefix == n.prefix {
				return
			}
		}
		if i < 0 && len(prefix) > 0 {
			s.warn("prefix-unbound", at, "the prefix %s is bound to no namespace; it was given %s", n.prefix, n.uri)
		}
		needs = append(needs, n)
	}
	insert := len(out) + 1 + len(t.Local)
	if t.Prefix != nil {
		insert += len(t.Prefix) + 1
	}
	for {
		switch t.Kind {
		case xml.Start:
			ask(t.Prefix, t.From)
			from := t.From
			for _, a := range t.Attrs {
				if a.Prefix != nil && string(a.Prefix) != "xmlns" {
					ask(a.Prefix, a.At)
				}
				if _, err := s.AttrText(a); err != nil {
					return out, err
				}
				// Values are copied as they are, but for entities of HTML.
				valueAt := a.At + bytes.Index(s.Data[a.At:], a.Value)
				if len(a.Value) > 0 && bytes.IndexByte(a.Value, '&') >= 0 {
					out = append(out, s.Data[from:valueAt]...)
					out = appendRaw(out, a.Value)
					from = valueAt + len(a.Value)
				}
			}
			out = append(out, s.Data[from:t.To]...)
		case xml.Text:
			decoded, err := s.Decode(s.textual[:0], s.Data[t.From:t.To], t.From, t.CDATA, false)
			s.textual = decoded
			if err != nil {
				return out, err
			}
			if t.CDATA {
				out = append(out, "<![CDATA["...)
				out = append(out, s.Data[t.From:t.To]...)
				out = append(out, "]]>"...)
			} else {
				out = appendRaw(out, s.Data[t.From:t.To])
			}
		case xml.End:
			out = append(out, s.Data[t.From:t.To]...)
			if len(s.Open) < depth {
				if len(needs) == 0 {
					return out, nil
				}
				tail := append([]byte(nil), out[insert:]...)
				out = out[:insert]
				for _, n := range needs {
					out = append(out, " xmlns"...)
					if n.prefix != "" {
						out = append(out, ':')
						out = append(out, n.prefix...)
					}
					out = append(out, `="`...)
					out = appendEscaped(out, n.uri, true)
					out = append(out, '"')
				}
				return append(out, tail...), nil
			}
		case xml.EOF:
			return out, s.fail(t.From, "", "the text ends inside an element")
		}
		var err error
		if t, err = s.Next(); err != nil {
			return out, err
		}
	}
}

// appendRaw copies text as written, turning entities that only HTML knows into
// the characters they stand for, and a bare & and "]]>" into what XML allows.
func appendRaw(out, raw []byte) []byte {
	for i := 0; i < len(raw); i++ {
		switch {
		case raw[i] == '&':
			ref, err := xml.Reference(raw[i:])
			switch {
			case err == nil && ref.HTML:
				out = append(out, ref.Text...)
				i += ref.Size - 1
				continue
			case err == nil && ref.Bare:
				out = append(out, "&amp;"...)
				continue
			}
		case raw[i] == '>' && i >= 2 && raw[i-1] == ']' && raw[i-2] == ']':
			out = append(out, "&gt;"...)
			continue
		}
		out = append(out, raw[i])
	}
	return out
}

// extensions reads the content of an extensions element (or of s:kept): foreign
// elements and text are appended to out, elements of our own go to own.
func (s *scanner) extensions(out []byte, own func(token) error) ([]byte, error) {
	depth := len(s.Open)
	for {
		t, ok, err := s.child(depth, func(t token) error {
			text := bytes.TrimSpace(s.Data[t.From:t.To])
			if _, err := s.Decode(nil, text, t.From, t.CDATA, false); err != nil {
				return err
			}
			if t.CDATA {
				out = append(out, "<![CDATA["...)
				out = append(out, text...)
				out = append(out, "]]>"...)
			} else {
				out = appendRaw(out, text)
			}
			return nil
		})
		switch {
		case err != nil || !ok:
			return out, err
		case t.Space != spaceOwn:
			out, err = s.captureTold(out, t)
		case string(t.Local) == "kept":
			out, err = s.extensions(out, s.unknownOwn)
		default:
			err = own(t)
		}
		if err != nil {
			return out, err
		}
	}
}

// captureTold is capture, and tells where positions are captured.
func (s *scanner) captureTold(out []byte, t token) ([]byte, error) {
	before, name, at := len(out), string(t.Local), t.From
	out, err := s.capture(out, t)
	if err == nil && draws(out[before:]) {
		s.warn("drawn-elsewhere", at, "<%s> is kept among the extensions and holds positions, and nothing there is read as ground: move what it draws to a waypoint, route or track of its own", wire.Clip([]byte(name), 40))
	}
	return out, err
}

// draws reports whether foreign elements hold positions: points with lat and
// lon, or the lists of coordinates of other vocabularies.
func draws(text []byte) bool {
	return bytes.Contains(text, []byte(" lat=")) && bytes.Contains(text, []byte(" lon=")) ||
		bytes.Contains(text, []byte("coordinates>")) || bytes.Contains(text, []byte("posList>"))
}

func (s *scanner) unknownOwn(t token) error {
	s.warn("extension-unknown", t.From, "the element s:%s is none that stands here; it is passed over", wire.Clip(t.Local, 40))
	return s.Skip()
}

// canonicalExtensions reports whether text has the form that reading foreign
// extensions gives, so that it can be written as elements and read the same.
// wrap is true when the GPX schema allows it only inside an element of ours.
func canonicalExtensions(text string) (wrap, ok bool) {
	if text == "" || !utf8.ValidString(text) {
		return false, false
	}
	// The document's own elements stand round it: leave them room.
	const around = 8
	s := scanner{tally: &wire.Tally{}}
	s.load([]byte(text), schema.MaxNesting-around)
	s.Fragment = true
	var out []byte
	for {
		t, err := s.Next()
		if err != nil {
			return false, false
		}
		switch t.Kind {
		case xml.Start:
			wrap = wrap || t.Space != spaceOther
			if t.Space == spaceOwn {
				return false, false
			}
			if out, err = s.capture(out, t); err != nil {
				return false, false
			}
		case xml.Text:
			wrap = true
			raw := bytes.TrimSpace(s.Data[t.From:t.To])
			if _, err := s.Decode(nil, raw, t.From, t.CDATA, false); err != nil || t.CDATA {
				return false, false
			}
			out = appendRaw(out, raw)
		case xml.EOF:
			return wrap, string(out) == text && len(s.tally.Warnings()) == 0 && plainNames(text)
		}
	}
}

// plainNames reports whether every character past ASCII is one that XML allows
// in names. It looks at the text too, which only costs odd texts their place
// among the elements.
func plainNames(text string) bool {
	return strings.IndexFunc(text, func(r rune) bool {
		return r >= utf8.RuneSelf && !unicode.IsLetter(r)
	}) < 0
}
