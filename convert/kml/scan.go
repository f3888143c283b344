// The pull tokenizer: XML 1.0 over a byte slice, with namespaces, strict about
// structure and lenient about what field exports get wrong in text. It expands
// no entities of a file's own, so it cannot be made to inflate anything.

package kml

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"swardline/convert/wire"
)

// token is what next found.
type token uint8

const (
	tokenEOF token = iota
	tokenStart
	tokenEnd
	tokenText
)

// namespace is what a prefix stands for.
type namespace uint8

const (
	nsKML namespace = iota
	nsGX
	nsOther
)

// Caps of the tokenizer's own, far past any real file.
const (
	maxTagAttributes = 256
	maxBindings      = 64
)

// tagAttr is one attribute of a start tag, its value not decoded.
type tagAttr struct{ prefix, local, value []byte }

// openTag is an element that is not closed yet.
type openTag struct {
	name  []byte // with its prefix, as written
	count int    // which Placemark it is, from 1; 0 for other elements
}

// binding is a namespace declaration in force.
type binding struct {
	prefix string
	space  namespace
	depth  int // how many elements are open inside its element, itself included
}

// scanner holds the document and the current token.
type scanner struct {
	data     []byte
	name     string // of the file
	entry    string // of the KMZ, "" for a plain KML
	maxDepth int    // how many elements may be open at once
	tally    tally

	pos       int
	at        int       // offset where the current token starts
	prefix    []byte    // of the current start tag
	local     []byte    // of the current start tag
	space     namespace // of the current start tag
	attrs     []tagAttr // of the current start tag
	text      []byte    // of the current text token, not decoded
	cdata     bool      // the text token is a CDATA section
	selfClose bool      // an end token is due that has no tag of its own
	started   bool      // the root element was seen

	open       []openTag
	bindings   []binding
	placemarks int
	closing    bool // the last Placemark is read, and its feature is being made

	linePos, lineNo int
	scratch         []byte
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

// line returns the line of an offset. It is cheap when offsets rise.
func (s *scanner) line(at int) int {
	at = min(at, len(s.data))
	if at < s.linePos || s.lineNo == 0 {
		s.linePos, s.lineNo = 0, 1
	}
	s.lineNo += bytes.Count(s.data[s.linePos:at], []byte{'\n'})
	s.linePos = at
	return s.lineNo
}

// path names the open elements, such as kml/Document/Placemark[3]/Polygon, with
// the KMZ's entry before it.
func (s *scanner) path() string {
	var b strings.Builder
	if s.entry != "" {
		b.WriteString(wire.Clip([]byte(s.entry), 60))
		b.WriteString(": ")
	}
	for i, o := range s.open {
		if i > 0 {
			b.WriteByte('/')
		}
		b.WriteString(wire.Clip(o.name, 60))
		if o.count > 0 {
			b.WriteByte('[')
			b.WriteString(strconv.Itoa(o.count))
			b.WriteByte(']')
		}
	}
	if s.closing {
		fmt.Fprintf(&b, "/Placemark[%d]", s.placemarks)
	}
	return b.String()
}

func (s *scanner) fail(at int, problem, mend string) error {
	at = min(at, len(s.data))
	line := s.line(at)
	column := at - (bytes.LastIndexByte(s.data[:at], '\n') + 1) + 1
	return &wire.InputError{File: s.name, Line: line, Column: column, Path: s.path(), Problem: problem, Mend: mend}
}

const mendCut = "the file may be cut off or damaged: export or send it again"

// next moves to the next token. Comments and processing instructions are passed
// over. Every start token is followed by its end token, also for <a/>.
func (s *scanner) next() (token, error) {
	if s.selfClose {
		s.selfClose = false
		s.pop()
		return tokenEnd, nil
	}
	for {
		s.at = s.pos
		rest := s.data[s.pos:]
		if len(rest) == 0 {
			if n := len(s.open); n > 0 {
				return 0, s.fail(s.pos, fmt.Sprintf("the file ends inside <%s>", wire.Clip(s.open[n-1].name, 60)), mendCut)
			}
			return tokenEOF, nil
		}
		if rest[0] != '<' {
			end := bytes.IndexByte(rest, '<')
			if end < 0 {
				end = len(rest)
			}
			if len(s.open) == 0 {
				if !isSpace(rest[:end]) {
					return 0, s.outside()
				}
				s.pos += end
				continue
			}
			s.text, s.cdata = rest[:end], false
			s.pos += end
			return tokenText, nil
		}
		switch {
		case len(rest) > 1 && rest[1] == '/':
			return tokenEnd, s.endTag(rest)
		case bytes.HasPrefix(rest, []byte("<!--")):
			if err := s.skipTo(4, "-->", "a comment"); err != nil {
				return 0, err
			}
		case bytes.HasPrefix(rest, []byte("<![CDATA[")):
			if len(s.open) == 0 {
				return 0, s.outside()
			}
			from := s.pos + len("<![CDATA[")
			if err := s.skipTo(len("<![CDATA["), "]]>", "a CDATA section"); err != nil {
				return 0, err
			}
			s.text, s.cdata = s.data[from:s.pos-len("]]>")], true
			return tokenText, nil
		case bytes.HasPrefix(rest, []byte("<!DOCTYPE")):
			if err := s.doctype(); err != nil {
				return 0, err
			}
		case bytes.HasPrefix(rest, []byte("<?")):
			if err := s.skipTo(2, "?>", "a processing instruction"); err != nil {
				return 0, err
			}
		default:
			return tokenStart, s.startTag(rest)
		}
	}
}

func (s *scanner) outside() error {
	at := s.pos
	for at < len(s.data) && isSpaceByte(s.data[at]) {
		at++
	}
	if s.started {
		return s.fail(at, "something stands after the end of the document", "a file holds one document: remove what follows </kml>")
	}
	return s.fail(at, "text stands before the first element", "the file is no KML, or something was put before its start")
}

// skipTo moves behind the next end, which must not overlap the first skip bytes.
func (s *scanner) skipTo(skip int, end, what string) error {
	i := bytes.Index(s.data[s.pos+skip:], []byte(end))
	if i < 0 {
		return s.fail(s.pos, what+" does not end", mendCut)
	}
	s.pos += skip + i + len(end)
	return nil
}

// doctype passes over a DOCTYPE that only names something. One with definitions
// of its own is refused: KML needs none, and they are how a small file is made
// to inflate without bound.
func (s *scanner) doctype() error {
	if s.started {
		return s.fail(s.pos, "a DOCTYPE stands inside the document", "remove it")
	}
	i := s.pos
	for quote := byte(0); i < len(s.data); i++ {
		c := s.data[i]
		switch {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '[':
			return s.fail(s.pos, "the DOCTYPE carries definitions of its own (entities), which are not expanded", "remove everything from <!DOCTYPE to ]>")
		case c == '>':
			s.warn("doctype", s.pos, 1, "a DOCTYPE has no meaning in KML; it was passed over")
			s.pos = i + 1
			return nil
		}
	}
	return s.fail(s.pos, "the DOCTYPE does not end", mendCut)
}

func (s *scanner) endTag(rest []byte) error {
	end := bytes.IndexByte(rest, '>')
	if end < 0 {
		return s.fail(s.pos, "an end tag does not end", mendCut)
	}
	name := rest[2:end]
	for len(name) > 0 && isSpaceByte(name[len(name)-1]) {
		name = name[:len(name)-1]
	}
	n := len(s.open)
	if n == 0 {
		return s.outside()
	}
	if !bytes.Equal(name, s.open[n-1].name) {
		return s.fail(s.pos, fmt.Sprintf("</%s> stands where <%s> should be closed", wire.Clip(name, 60), wire.Clip(s.open[n-1].name, 60)), "the file is not well-formed XML: export it again, or close the element")
	}
	s.pos += end + 1
	s.pop()
	return nil
}

func (s *scanner) pop() {
	n := len(s.open)
	for b := len(s.bindings); b > 0 && s.bindings[b-1].depth >= n; b-- {
		s.bindings = s.bindings[:b-1]
	}
	s.open = s.open[:n-1]
}

func (s *scanner) startTag(rest []byte) error {
	if len(s.open) == 0 && s.started {
		return s.outside()
	}
	i := 1
	for i < len(rest) && !isNameEnd[rest[i]] {
		i++
	}
	name := rest[1:i]
	if len(name) == 0 || name[0] != '_' && name[0] != ':' && name[0] < 0x80 && (name[0]|0x20 < 'a' || name[0]|0x20 > 'z') {
		return s.fail(s.pos, "a < stands where no element starts", "write a bare < in text as &lt;")
	}
	if len(s.open) >= s.maxDepth {
		return s.fail(s.pos, fmt.Sprintf("elements nest more than %d deep (limit input_max_nesting, and KML's own levels)", s.maxDepth), "flatten the folders, or raise the limit in a limits file")
	}
	s.attrs = s.attrs[:0]
	if i < len(rest) && rest[i] == '>' {
		s.pos += i + 1
	} else if err := s.tagAttributes(rest, i); err != nil {
		return err
	}
	s.prefix, s.local = nil, name
	if c := bytes.IndexByte(name, ':'); c >= 0 {
		s.prefix, s.local = name[:c], name[c+1:]
	}
	s.open = append(s.open, openTag{name: name})
	s.started = true
	s.space = s.spaceOf(s.prefix)
	return nil
}

// tagAttributes reads the attributes from rest[i:] up to the end of the tag.
func (s *scanner) tagAttributes(rest []byte, i int) error {
	for {
		before := i
		for i < len(rest) && isSpaceByte(rest[i]) {
			i++
		}
		if i >= len(rest) {
			return s.fail(s.pos, "a tag does not end", mendCut)
		}
		switch {
		case rest[i] == '>':
			s.pos += i + 1
			return nil
		case rest[i] == '/':
			if i+1 >= len(rest) || rest[i+1] != '>' {
				return s.fail(s.pos+i, "a / stands inside a tag", "the file is not well-formed XML: export it again")
			}
			s.selfClose = true
			s.pos += i + 2
			return nil
		}
		from := i
		for i < len(rest) && !isNameEnd[rest[i]] {
			i++
		}
		name := rest[from:i]
		for i < len(rest) && isSpaceByte(rest[i]) {
			i++
		}
		if from == before || len(name) == 0 || i >= len(rest) || rest[i] != '=' {
			return s.fail(s.pos+from, "an attribute is not of the form name=\"value\"", "the file is not well-formed XML: export it again")
		}
		i++
		for i < len(rest) && isSpaceByte(rest[i]) {
			i++
		}
		if i >= len(rest) || rest[i] != '"' && rest[i] != '\'' {
			return s.fail(s.pos+from, fmt.Sprintf("the value of the attribute %s is not in quotes", wire.Clip(name, 60)), "put it in double quotes")
		}
		end := bytes.IndexByte(rest[i+1:], rest[i])
		if end < 0 {
			return s.fail(s.pos+from, fmt.Sprintf("the value of the attribute %s does not end", wire.Clip(name, 60)), mendCut)
		}
		a := tagAttr{local: name, value: rest[i+1 : i+1+end]}
		i += end + 2
		if c := bytes.IndexByte(name, ':'); c >= 0 {
			a.prefix, a.local = name[:c], name[c+1:]
		}
		if len(s.attrs) == maxTagAttributes {
			return s.fail(s.pos, fmt.Sprintf("a tag has more than %d attributes", maxTagAttributes), "the file is damaged or hostile")
		}
		s.attrs = append(s.attrs, a)
		switch {
		case string(a.prefix) == "xmlns":
			if err := s.bind(a.local, a.value); err != nil {
				return err
			}
		case len(a.prefix) == 0 && string(a.local) == "xmlns":
			if err := s.bind(nil, a.value); err != nil {
				return err
			}
		}
	}
}

// bind takes down a namespace declaration of the tag that is being read.
func (s *scanner) bind(prefix, uri []byte) error {
	if len(s.bindings) == maxBindings {
		return s.fail(s.pos, fmt.Sprintf("more than %d namespace declarations are in force", maxBindings), "the file is damaged or hostile")
	}
	space := nsOther
	u := string(bytes.TrimSpace(uri))
	switch {
	case u == "" && len(prefix) == 0:
		space = nsKML // taken back to no namespace at all
	case strings.HasPrefix(u, "http://www.opengis.net/kml/") || strings.HasPrefix(u, "https://www.opengis.net/kml/"):
		space = nsKML
	case strings.HasPrefix(u, "http://earth.google.com/kml/"):
		space = nsKML
		s.warn("namespace-old", s.pos, 1, "the namespace %s is an old one; the file is read as KML 2.2", wire.Clip(uri, 60))
	case strings.HasPrefix(u, "http://www.google.com/kml/ext/"):
		space = nsGX
	}
	s.bindings = append(s.bindings, binding{string(prefix), space, len(s.open) + 1})
	return nil
}

// spaceOf returns the namespace of a prefix ("" is the default one).
func (s *scanner) spaceOf(prefix []byte) namespace {
	for i := len(s.bindings) - 1; i >= 0; i-- {
		if s.bindings[i].prefix == string(prefix) {
			return s.bindings[i].space
		}
	}
	switch string(prefix) {
	case "":
		return nsKML
	case "kml", "gx":
		s.warn("prefix-undeclared", s.at, 1, "the namespace prefix %s is not declared; its usual meaning was taken", prefix)
		if prefix[0] == 'g' {
			return nsGX
		}
		return nsKML
	}
	return nsOther
}

// attr returns the decoded value of an attribute of the current start tag, its
// prefix left out of account; ok is false when there is none. The bytes are good
// until the next call that decodes.
func (s *scanner) attr(local string) (value []byte, ok bool, err error) {
	for _, a := range s.attrs {
		if string(a.local) == local && string(a.prefix) != "xmlns" {
			v, err := s.decodeAttr(a.value)
			return v, true, err
		}
	}
	return nil, false, nil
}

// skip passes over the rest of the current element, whose start token was read
// last.
func (s *scanner) skip() error {
	depth := len(s.open)
	for {
		t, err := s.next()
		if err != nil {
			return err
		}
		if t == tokenEnd && len(s.open) < depth {
			return nil
		}
	}
}

// content reads the current element, whose start token was read last, up to its
// end and returns its text, decoded. Markup inside is kept as it is written,
// because field exports forget to escape the HTML of a description. The bytes
// are good until the next call.
func (s *scanner) content() ([]byte, error) {
	if s.selfClose {
		_, err := s.next()
		return nil, err
	}
	depth := len(s.open)
	out := s.scratch[:0]
	var direct []byte // the text so far, while it is one run that needs no decoding
	for {
		t, err := s.next()
		if err != nil {
			return nil, err
		}
		if t == tokenText && direct == nil && len(out) == 0 && !s.needsDecoding() {
			direct = s.text
			continue
		}
		if t == tokenEnd && len(s.open) < depth {
			if direct != nil {
				return direct, nil
			}
			s.scratch = out
			return out, nil
		}
		out = append(out, direct...)
		direct = nil
		switch t {
		case tokenText:
			if out, err = s.appendText(out); err != nil {
				return nil, err
			}
		case tokenStart:
			s.warn("markup-in-text", s.at, 1, "markup stands in the text of an element; it was kept as text")
			out = append(out, s.data[s.at:s.pos]...)
			if s.selfClose {
				s.selfClose = false // its end has no tag to keep
				s.pop()
			}
		case tokenEnd:
			out = append(out, s.data[s.at:s.pos]...)
		}
	}
}

// appendText appends the current text token, decoded.
func (s *scanner) appendText(dst []byte) ([]byte, error) {
	return s.decode(dst, s.text, !s.cdata, false)
}

var isNameEnd = func() (t [256]bool) {
	for _, c := range " \t\r\n/>=<\"'" {
		t[c] = true
	}
	return t
}()

func isSpaceByte(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

func isSpace(b []byte) bool {
	for _, c := range b {
		if !isSpaceByte(c) {
			return false
		}
	}
	return true
}
