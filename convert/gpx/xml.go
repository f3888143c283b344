// The XML scanner: tags, attributes, namespaces and text straight from the
// bytes. It exists because encoding/xml loses the prefixes that foreign
// extensions need and reads an order of magnitude too slowly for a folder of
// plans.

package gpx

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"swardline/convert/wire"
)

// space says which namespace a name is in, as far as GPX cares.
type space uint8

const (
	spaceNone  space = iota // no namespace
	spaceGPX                // the GPX namespace of the file, whichever version
	spaceOwn                // Namespace, our own
	spaceOther              // any other
)

// Namespaces of the two versions of GPX.
const (
	namespace10 = "http://www.topografix.com/GPX/1/0"
	namespace11 = "http://www.topografix.com/GPX/1/1"
	unboundURN  = "urn:swardline:unbound:" // stands for a prefix that a file never declared
)

// Caps that keep the cost of a hostile file linear; no honest one comes near.
const (
	maxAttributes = 256
	maxBindings   = 256
)

type binding struct {
	prefix string
	uri    string
	space  space
}

type element struct {
	name     []byte // qualified, as written
	bindings int    // how many were in force outside the element
	at       int    // byte offset of its start tag
}

type tokenKind uint8

const (
	tokenEnd   tokenKind = iota // an end tag, or the end of an empty element
	tokenStart                  // a start tag
	tokenText                   // text or a CDATA section: data[from:to]
	tokenEOF                    // the end of the file
)

type token struct {
	kind     tokenKind
	from, to int
	cdata    bool
	prefix   []byte
	local    []byte
	space    space
	attrs    []attr // valid until the next token
}

type attr struct {
	prefix, local []byte
	value         []byte // as written
	at            int
}

// scanner reads one document, or one fragment of one.
type scanner struct {
	data     []byte
	pos      int
	file     string
	nesting  int // deepest nesting allowed
	open     []element
	bound    []binding
	gpxURI   string // the root's own namespace when it is not one of the known two
	noneGPX  bool   // names without a namespace are GPX's, because the root is one
	ended    bool   // an empty element's end is still to be told
	attrs    []attr
	textual  []byte // scratch for decoded text
	tally    *wire.Tally
	line     int // line of the byte offset lineAt, both advancing
	lineAt   int
	fragment bool
}

// lineOf returns the line of a byte offset, from 1, counting on (or back) from
// the offset asked for last, so that the cost of many is that of one pass.
func (s *scanner) lineOf(offset int) int {
	if s.line == 0 {
		s.line = 1
	}
	offset = min(offset, len(s.data))
	if offset >= s.lineAt {
		s.line += bytes.Count(s.data[s.lineAt:offset], []byte{'\n'})
	} else {
		s.line -= bytes.Count(s.data[offset:s.lineAt], []byte{'\n'})
	}
	s.lineAt = offset
	return s.line
}

func (s *scanner) fail(offset int, mend, format string, args ...any) error {
	line, column := wire.LineColumn(s.data, offset)
	return &wire.InputError{File: s.file, Line: line, Column: column, Problem: fmt.Sprintf(format, args...), Mend: mend}
}

func (s *scanner) warn(kind string, offset int, format string, args ...any) {
	s.tally.Add(kind, s.lineOf(offset), "", format, args...)
}

func isSpace(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

// nameStart and nameByte are looser than XML 1.0 for characters past ASCII,
// which no file has been seen to get wrong.
func nameStart(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '_' || c >= utf8.RuneSelf
}

func nameByte(c byte) bool {
	return nameStart(c) || c >= '0' && c <= '9' || c == '-' || c == '.'
}

// next returns the next tag or text; comments and processing instructions are
// passed over.
func (s *scanner) next() (token, error) {
	if s.ended {
		s.ended = false
		return s.endToken(s.pos, s.pos), nil
	}
	for {
		if s.pos >= len(s.data) {
			if n := len(s.open); n > 0 && !s.fragment {
				return token{}, s.fail(len(s.data), "the file was cut off; get a whole copy",
					"the file ends inside <%s>, which starts at line %d", wire.Clip(s.open[n-1].name, 40), s.lineOf(s.open[n-1].at))
			}
			return token{kind: tokenEOF, from: s.pos, to: s.pos}, nil
		}
		if s.data[s.pos] != '<' {
			from := s.pos
			if i := bytes.IndexByte(s.data[from:], '<'); i >= 0 {
				s.pos = from + i
			} else {
				s.pos = len(s.data)
			}
			return token{kind: tokenText, from: from, to: s.pos}, nil
		}
		rest := s.data[s.pos:]
		switch {
		case len(rest) > 1 && rest[1] == '/':
			return s.readEnd()
		case bytes.HasPrefix(rest, []byte("<!--")):
			i := bytes.Index(rest[4:], []byte("-->"))
			if i < 0 {
				return token{}, s.fail(s.pos, "close it with -->", "a comment is not closed")
			}
			s.pos += 4 + i + 3
		case bytes.HasPrefix(rest, []byte("<![CDATA[")):
			i := bytes.Index(rest, []byte("]]>"))
			if i < 0 {
				return token{}, s.fail(s.pos, "close it with ]]>", "a CDATA section is not closed")
			}
			from := s.pos + len("<![CDATA[")
			s.pos += i + 3
			return token{kind: tokenText, from: from, to: s.pos - 3, cdata: true}, nil
		case bytes.HasPrefix(rest, []byte("<?")):
			i := bytes.Index(rest, []byte("?>"))
			if i < 0 {
				return token{}, s.fail(s.pos, "close it with ?>", "a processing instruction is not closed")
			}
			s.pos += i + 2
		case bytes.HasPrefix(rest, []byte("<!")):
			return token{}, s.fail(s.pos, "take the document type out; GPX has none",
				"a document type or entity declaration is refused, because it can be made to grow without end")
		default:
			return s.readStart()
		}
	}
}

func (s *scanner) endToken(from, to int) token {
	n := len(s.open) - 1
	e := s.open[n]
	s.open = s.open[:n]
	t := token{kind: tokenEnd, from: from, to: to}
	t.prefix, t.local = splitName(e.name)
	s.bound = s.bound[:e.bindings]
	return t
}

func splitName(name []byte) (prefix, local []byte) {
	if i := bytes.IndexByte(name, ':'); i >= 0 {
		return name[:i], name[i+1:]
	}
	return nil, name
}

func (s *scanner) readEnd() (token, error) {
	from := s.pos
	i := bytes.IndexByte(s.data[from:], '>')
	if i < 0 {
		return token{}, s.fail(from, "the file was cut off; get a whole copy", "an end tag is not closed")
	}
	name := bytes.TrimRight(s.data[from+2:from+i], " \t\r\n")
	n := len(s.open)
	if n == 0 {
		return token{}, s.fail(from, "", "the end tag </%s> closes nothing", wire.Clip(name, 40))
	}
	if !bytes.Equal(name, s.open[n-1].name) {
		return token{}, s.fail(from, "the tags must be closed in the order in which they were opened",
			"</%s> stands where </%s> should (opened at line %d)", wire.Clip(name, 40), wire.Clip(s.open[n-1].name, 40), s.lineOf(s.open[n-1].at))
	}
	s.pos = from + i + 1
	return s.endToken(from, s.pos), nil
}

// qualifiedName reads a name with at most one colon from pos and returns the
// index behind it; the parts are empty when there is none.
func (s *scanner) qualifiedName(pos int) (prefix, local []byte, end int) {
	d := s.data
	if pos >= len(d) || !nameStart(d[pos]) {
		return nil, nil, pos
	}
	end = pos + 1
	for end < len(d) && nameByte(d[end]) {
		end++
	}
	if end+1 < len(d) && d[end] == ':' && nameStart(d[end+1]) {
		prefix = d[pos:end]
		pos = end + 1
		end = pos + 1
		for end < len(d) && nameByte(d[end]) {
			end++
		}
	}
	return prefix, d[pos:end], end
}

func (s *scanner) readStart() (token, error) {
	d := s.data
	from := s.pos
	prefix, local, i := s.qualifiedName(from + 1)
	if len(local) == 0 {
		return token{}, s.fail(from, "write &lt; for a < in text", "a < stands where no tag starts")
	}
	if len(s.open) >= s.nesting {
		return token{}, s.fail(from, "", "elements are nested deeper than the limit input_max_nesting (%d)", s.nesting)
	}
	e := element{name: d[from+1 : i], bindings: len(s.bound), at: from}
	s.attrs = s.attrs[:0]
	for {
		spaceAt := i
		for i < len(d) && isSpace(d[i]) {
			i++
		}
		if i >= len(d) {
			return token{}, s.fail(from, "the file was cut off; get a whole copy", "the file ends inside the tag <%s", wire.Clip(e.name, 40))
		}
		if d[i] == '>' {
			i++
			break
		}
		if d[i] == '/' && i+1 < len(d) && d[i+1] == '>' {
			i += 2
			s.ended = true
			break
		}
		at := i
		ap, al, next := s.qualifiedName(i)
		if len(al) == 0 || spaceAt == i {
			return token{}, s.fail(i, "", "%q stands inside the tag <%s> where an attribute or its end should", wire.Clip(d[i:min(len(d), i+1)], 40), wire.Clip(e.name, 40))
		}
		for i = next; i < len(d) && isSpace(d[i]); {
			i++
		}
		if i >= len(d) || d[i] != '=' {
			return token{}, s.fail(at, "write "+wire.Clip(al, 40)+`="..."`, "the attribute %s of <%s> has no value", wire.Clip(al, 40), wire.Clip(e.name, 40))
		}
		for i++; i < len(d) && isSpace(d[i]); {
			i++
		}
		if i >= len(d) || d[i] != '"' && d[i] != '\'' {
			return token{}, s.fail(at, "put it in quotes", "the value of the attribute %s is not in quotes", wire.Clip(al, 40))
		}
		n := bytes.IndexByte(d[i+1:], d[i])
		if n < 0 {
			return token{}, s.fail(at, "close the quotes", "the value of the attribute %s is not closed", wire.Clip(al, 40))
		}
		value := d[i+1 : i+1+n]
		if bytes.IndexByte(value, '<') >= 0 {
			return token{}, s.fail(at, "write &lt; for <", "a < stands in the value of the attribute %s", wire.Clip(al, 40))
		}
		i += n + 2
		if len(s.attrs) == maxAttributes {
			return token{}, s.fail(at, "", "<%s> has more than %d attributes", wire.Clip(e.name, 40), maxAttributes)
		}
		for _, a := range s.attrs {
			if bytes.Equal(a.local, al) && bytes.Equal(a.prefix, ap) {
				return token{}, s.fail(at, "leave one of them out", "the attribute %s stands twice in <%s>", wire.Clip(al, 40), wire.Clip(e.name, 40))
			}
		}
		s.attrs = append(s.attrs, attr{ap, al, value, at})
		if string(ap) == "xmlns" || ap == nil && string(al) == "xmlns" {
			uri, err := s.attrText(s.attrs[len(s.attrs)-1])
			if err != nil {
				return token{}, err
			}
			b := binding{uri: uri, space: s.spaceOf(uri)}
			if ap != nil {
				b.prefix = string(al)
			}
			if len(s.bound) == maxBindings {
				return token{}, s.fail(at, "", "more than %d namespaces are declared at once", maxBindings)
			}
			s.bound = append(s.bound, b)
		}
	}
	s.open = append(s.open, e)
	s.pos = i
	t := token{kind: tokenStart, from: from, to: i, prefix: prefix, local: local, attrs: s.attrs}
	t.space = s.resolve(prefix)
	return t, nil
}

func (s *scanner) spaceOf(uri string) space {
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

// lookup returns the index of the binding that a prefix stands for, -1 for none.
func (s *scanner) lookup(prefix []byte) int {
	for i := len(s.bound) - 1; i >= 0; i-- {
		if string(prefix) == s.bound[i].prefix {
			return i
		}
	}
	return -1
}

func (s *scanner) resolve(prefix []byte) space {
	if i := s.lookup(prefix); i >= 0 {
		return s.bound[i].space
	}
	if len(prefix) == 0 {
		return s.spaceOf("")
	}
	return spaceOther
}

// attribute returns the value of an attribute without a prefix.
func (s *scanner) attribute(t token, name string) (string, bool, error) {
	for _, a := range t.attrs {
		if a.prefix == nil && string(a.local) == name {
			text, err := s.attrText(a)
			return text, true, err
		}
	}
	return "", false, nil
}

// attrText decodes an attribute's value: references resolved, white space
// normalised as XML 1.0 section 3.3.3 asks.
func (s *scanner) attrText(a attr) (string, error) {
	plain := true
	for _, c := range a.value {
		if c == '&' || c < 0x20 {
			plain = false
			break
		}
	}
	if plain {
		if err := s.checkChars(a.value, a.at); err != nil {
			return "", err
		}
		return string(a.value), nil
	}
	out, err := s.decode(s.textual[:0], a.value, a.at, false, true)
	s.textual = out
	return string(out), err
}

// decode appends text with its references resolved and its line ends
// normalised (XML 1.0 section 2.11). at is its offset, for messages.
func (s *scanner) decode(dst, text []byte, at int, cdata, attribute bool) ([]byte, error) {
	for i := 0; i < len(text); {
		c := text[i]
		switch {
		case c == '&' && !cdata:
			r, named, n, err := s.reference(text[i:], at)
			if err != nil {
				return dst, err
			}
			if named {
				s.warn("html-entity", at, "%s is no entity of XML; it was read as HTML means it", text[i:i+n])
			}
			dst = append(dst, r...)
			i += n
		case c == '\r':
			i++
			if i < len(text) && text[i] == '\n' {
				i++
			}
			if attribute {
				dst = append(dst, ' ')
			} else {
				dst = append(dst, '\n')
			}
		case attribute && (c == '\n' || c == '\t'):
			dst = append(dst, ' ')
			i++
		case c < 0x20 && c != '\n' && c != '\t':
			return dst, s.fail(at, "take it out", "the control character 0x%02x stands in the text", c)
		default:
			dst = append(dst, c)
			i++
		}
	}
	return dst, s.checkChars(text, at)
}

// checkChars refuses the two characters that UTF-8 can hold and XML cannot,
// U+FFFE and U+FFFF; control characters are refused by the callers.
func (s *scanner) checkChars(text []byte, at int) error {
	for rest := text; ; {
		i := bytes.IndexByte(rest, 0xef)
		if i < 0 {
			return nil
		}
		if len(rest) > i+2 && rest[i+1] == 0xbf && rest[i+2] >= 0xbe {
			return s.fail(at, "take it out", "the character U+FFF%X stands in the text", rest[i+2]-0xb0)
		}
		rest = rest[i+1:]
	}
}

// reference resolves the reference that text starts with. named is true for an
// entity that only HTML knows. n is the length of the reference.
func (s *scanner) reference(text []byte, at int) (r string, named bool, n int, err error) {
	end := bytes.IndexByte(text[:min(len(text), 40)], ';')
	if end < 0 {
		return "", false, 0, s.fail(at, "write &amp; for an & in text", "an & starts no reference: %q", wire.Clip(text[:min(len(text), 20)], 40))
	}
	name := string(text[1:end])
	n = end + 1
	switch name {
	case "amp":
		return "&", false, n, nil
	case "lt":
		return "<", false, n, nil
	case "gt":
		return ">", false, n, nil
	case "quot":
		return `"`, false, n, nil
	case "apos":
		return "'", false, n, nil
	}
	if digits, ok := strings.CutPrefix(name, "#"); ok {
		base := 10
		if hex, ok := strings.CutPrefix(digits, "x"); ok {
			digits, base = hex, 16
		}
		if strings.ContainsAny(digits, "+-_") {
			digits = "" // ParseUint would take some of them
		}
		code, err := strconv.ParseUint(digits, base, 32)
		if err != nil || !isXMLChar(rune(code)) {
			return "", false, 0, s.fail(at, "take it out", "the reference &%s; stands for no character that XML allows", name)
		}
		return string(rune(code)), false, n, nil
	}
	if text, ok := xml.HTMLEntity[name]; ok {
		return text, true, n, nil
	}
	return "", false, 0, s.fail(at, "write the character itself", "the entity &%s; is not declared", name)
}

// isXMLChar reports whether XML 1.0 can hold the character (section 2.2).
func isXMLChar(r rune) bool {
	return r == '\t' || r == '\n' || r == '\r' || r >= 0x20 && r <= 0xd7ff || r >= 0xe000 && r <= 0xfffd || r >= 0x10000 && r <= 0x10ffff
}

// text reads the content of the element whose start tag was just read as text
// and passes its end tag. Elements inside are counted and their text is kept.
func (s *scanner) text() (string, error) {
	start, depth := s.pos, len(s.open)
	// Nearly always the text is one plain run up to the end tag.
	if !s.ended {
		i := start
		for i < len(s.data) && s.data[i] != '<' && s.data[i] != '&' && s.data[i] >= 0x20 && s.data[i] != 0xef {
			i++
		}
		if i+1 < len(s.data) && s.data[i] == '<' && s.data[i+1] == '/' {
			s.pos = i
			_, err := s.readEnd()
			return string(s.data[start:i]), err
		}
	}
	out := s.textual[:0]
	s.textual = nil // tags inside may decode attributes meanwhile
	for {
		t, err := s.next()
		if err != nil {
			return "", err
		}
		switch t.kind {
		case tokenText:
			if out, err = s.decode(out, s.data[t.from:t.to], t.from, t.cdata, false); err != nil {
				return "", err
			}
		case tokenStart:
			s.warn("markup-in-text", t.from, "the tag <%s> stands inside a text; its own text is kept", wire.Clip(t.local, 40))
		case tokenEnd:
			if len(s.open) < depth {
				s.textual = out
				return string(out), nil
			}
		case tokenEOF:
			return "", s.fail(t.from, "", "the text ends inside an element")
		}
	}
}

// skip passes everything up to the end tag of the element that was just opened.
func (s *scanner) skip() error {
	depth := len(s.open)
	for {
		t, err := s.next()
		if err != nil {
			return err
		}
		if t.kind == tokenEnd && len(s.open) < depth {
			return nil
		}
		if t.kind == tokenEOF {
			return s.fail(t.from, "", "the text ends inside an element")
		}
	}
}

// child returns the next start tag inside the element at the given depth of the
// stack, or ok false once its end tag has been passed. Text between is handed
// to stray when it is more than white space.
func (s *scanner) child(depth int, stray func(token) error) (t token, ok bool, err error) {
	for {
		t, err := s.next()
		if err != nil {
			return t, false, err
		}
		switch t.kind {
		case tokenStart:
			return t, true, nil
		case tokenEnd:
			if len(s.open) < depth {
				return t, false, nil
			}
		case tokenEOF:
			return t, false, nil
		case tokenText:
			text := s.data[t.from:t.to]
			for _, c := range text {
				if !isSpace(c) {
					if err := stray(t); err != nil {
						return t, false, err
					}
					break
				}
			}
		}
	}
}

func (s *scanner) strayText(t token) error {
	if _, err := s.decode(nil, s.data[t.from:t.to], t.from, t.cdata, false); err != nil {
		return err
	}
	s.warn("stray-text", t.from, "the text %q stands between elements; it is passed over", wire.Clip(bytes.TrimSpace(s.data[t.from:t.to]), 40))
	return nil
}
