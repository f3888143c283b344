// Foreign extensions as text that stands on its own: every outermost element
// carries the namespace bindings that it and its children lean on.

package gpx

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"swardline/convert/wire"
	"swardline/schema"
)

type need struct{ prefix, uri string }

// capture appends the element whose start tag t was just read, up to its end
// tag, as self-contained text. Comments and processing instructions are left
// out; prefixes, white space and CDATA sections stay as they are.
func (s *scanner) capture(out []byte, t token) ([]byte, error) {
	depth := len(s.open)
	base := s.open[depth-1].bindings
	var needs []need
	ask := func(prefix []byte, at int) {
		i := s.lookup(prefix)
		if i >= base || string(prefix) == "xml" {
			return
		}
		n := need{prefix: string(prefix)}
		switch {
		case i >= 0:
			n.uri = s.bound[i].uri
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
	insert := len(out) + 1 + len(t.local)
	if t.prefix != nil {
		insert += len(t.prefix) + 1
	}
	for {
		switch t.kind {
		case tokenStart:
			ask(t.prefix, t.from)
			from := t.from
			for _, a := range t.attrs {
				if a.prefix != nil && string(a.prefix) != "xmlns" {
					ask(a.prefix, a.at)
				}
				if _, err := s.attrText(a); err != nil {
					return out, err
				}
				// Values are copied as they are, but for entities of HTML.
				valueAt := a.at + bytes.Index(s.data[a.at:], a.value)
				if len(a.value) > 0 && bytes.IndexByte(a.value, '&') >= 0 {
					out = append(out, s.data[from:valueAt]...)
					out = appendRaw(out, a.value)
					from = valueAt + len(a.value)
				}
			}
			out = append(out, s.data[from:t.to]...)
		case tokenText:
			decoded, err := s.decode(s.textual[:0], s.data[t.from:t.to], t.from, t.cdata, false)
			s.textual = decoded
			if err != nil {
				return out, err
			}
			if t.cdata {
				out = append(out, "<![CDATA["...)
				out = append(out, s.data[t.from:t.to]...)
				out = append(out, "]]>"...)
			} else {
				out = appendRaw(out, s.data[t.from:t.to])
			}
		case tokenEnd:
			out = append(out, s.data[t.from:t.to]...)
			if len(s.open) < depth {
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
		case tokenEOF:
			return out, s.fail(t.from, "", "the text ends inside an element")
		}
		var err error
		if t, err = s.next(); err != nil {
			return out, err
		}
	}
}

// appendRaw copies text as written, turning entities that only HTML knows into
// the characters they stand for and "]]>" into what XML allows.
func appendRaw(out, raw []byte) []byte {
	for i := 0; i < len(raw); i++ {
		switch {
		case raw[i] == '&':
			s := scanner{tally: &wire.Tally{}}
			if r, named, n, err := s.reference(raw[i:], 0); err == nil && named {
				out = append(out, r...)
				i += n - 1
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
	depth := len(s.open)
	for {
		t, ok, err := s.child(depth, func(t token) error {
			text := bytes.TrimSpace(s.data[t.from:t.to])
			if _, err := s.decode(nil, text, t.from, t.cdata, false); err != nil {
				return err
			}
			if t.cdata {
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
		case t.space != spaceOwn:
			out, err = s.capture(out, t)
		case string(t.local) == "kept":
			out, err = s.extensions(out, s.unknownOwn)
		default:
			err = own(t)
		}
		if err != nil {
			return out, err
		}
	}
}

func (s *scanner) unknownOwn(t token) error {
	s.warn("extension-unknown", t.from, "the element s:%s is none that stands here; it is passed over", wire.Clip(t.local, 40))
	return s.skip()
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
	s := scanner{data: []byte(text), nesting: schema.MaxNesting - around, tally: &wire.Tally{}, fragment: true}
	var out []byte
	for {
		t, err := s.next()
		if err != nil {
			return false, false
		}
		switch t.kind {
		case tokenStart:
			wrap = wrap || t.space != spaceOther
			if t.space == spaceOwn {
				return false, false
			}
			if out, err = s.capture(out, t); err != nil {
				return false, false
			}
		case tokenText:
			wrap = true
			raw := bytes.TrimSpace(s.data[t.from:t.to])
			if _, err := s.decode(nil, raw, t.from, t.cdata, false); err != nil || t.cdata {
				return false, false
			}
			out = appendRaw(out, raw)
		case tokenEOF:
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
