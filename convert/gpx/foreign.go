// Foreign extensions as text that stands on its own: every outermost element
// carries the namespace bindings that it and its children lean on.

package gpx

import (
	"bytes"
	"regexp"
	"slices"
	"strconv"
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
			out, err = s.capture(out, t)
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

// extensionsIn holds keys of attributes that keep foreign extensions: gpx_extensions,
// metadata_extensions, those of vertices and segments.
const extensionsIn = "extensions"

// drawnIn reports whether attributes that keep foreign extensions hold positions, in
// elements or as a text: what is not well-formed enough to be written as elements is
// written as a text.
func drawnIn(list schema.Attributes) bool {
	return slices.ContainsFunc(list, drawnAt)
}

func drawnAt(a schema.Attribute) bool {
	return strings.Contains(a.Key, extensionsIn) && drawnText(a.Value)
}

func drawnText(v schema.Value) bool {
	if v.Kind() == schema.KindString {
		return draws(v.Text())
	}
	return slices.ContainsFunc(v.Items(), drawnText)
}

// tellDrawn tells of positions among the extensions of what of names, told once.
func (s *scanner) tellDrawn(line int, of string, list schema.Attributes) {
	if drawnIn(list) {
		s.tally.Add("drawn-elsewhere", line, "", "the extensions of %s hold positions, and nothing there is read as ground: move what they draw to a waypoint, route or track of its own", of)
	}
}

// keepDrawn appends an attribute whose key is taken under the next key that is free,
// where it draws something.
func keepDrawn(list schema.Attributes, a schema.Attribute) schema.Attributes {
	if !drawnAt(a) || list.Get(a.Key).Equal(a.Value) {
		return list
	}
	key := a.Key
	for n := 2; list.Has(key); n++ {
		key = a.Key + "_" + strconv.Itoa(n)
	}
	return append(list, schema.Attribute{Key: key, Value: a.Value})
}

// draws reports whether foreign elements hold positions: latitudes and longitudes, as
// attributes or elements, the lists of coordinates of other vocabularies, or well-known
// text.
func draws(text string) bool {
	return mayHold(text, "lat") && latSaid.MatchString(text) && lonSaid.MatchString(text) ||
		mayHold(text, "pos") && posSaid.MatchString(text) ||
		strings.Contains(text, "coordinates>") || strings.Contains(text, "(") && knownText.MatchString(text)
}

// mayHold reports whether a text holds a word, as it is, with its first letter or all of
// it in capitals.
func mayHold(text, word string) bool {
	upper := strings.ToUpper(word)
	return strings.Contains(text, word) || strings.Contains(text, upper[:1]+word[1:]) || strings.Contains(text, upper)
}

var (
	latSaid   = regexp.MustCompile(`(?i)[\s<:]lat(?:itude)?\s*[=>]`)
	lonSaid   = regexp.MustCompile(`(?i)[\s<:](?:lon|long|lng|longitude)\s*[=>]`)
	posSaid   = regexp.MustCompile(`[<:]pos(?:List)?[\s>]`)
	knownText = regexp.MustCompile(`(?i)\b(?:point|linestring|polygon)\s*z?\s*\([\s(]*[-+.\d]`)
)

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
