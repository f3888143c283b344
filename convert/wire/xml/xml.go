// Package xml reads XML 1.0 for the formats that are written in it: tags,
// attributes, namespaces and text straight from the bytes. It is strict about
// structure and lenient about what field exports get wrong in text. It expands
// no entities of a file's own, so that a file cannot be made to inflate. The
// standard library's reader loses the prefixes that foreign extensions need and
// is an order of magnitude slower.
package xml

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"swardline/convert/wire"
)

// Space says which namespace a name is in, as far as a format cares: its values
// are the format's own.
type Space uint8

// Caps that keep the cost of a hostile file linear; no honest one comes near.
const (
	MaxAttributes = 256
	MaxBindings   = 256
)

// Vocabulary is what a format says of its names and gets told of its files.
type Vocabulary interface {
	// SpaceOf returns the space of a namespace that is bound at an offset; ""
	// takes the default namespace back.
	SpaceOf(uri string, at int) Space
	// Unbound returns the space of a prefix that is bound to nothing, "" for
	// names without a prefix.
	Unbound(prefix []byte, at int) Space
	// Fault makes the error for what is wrong at an offset.
	Fault(at int, problem, mend string) error
	// Warn tells what was taken in stride at an offset.
	Warn(kind string, at int, format string, args ...any)
}

// Binding is a namespace declaration in force.
type Binding struct {
	Prefix string
	URI    string
	Space  Space
}

// Element is one that is not closed yet.
type Element struct {
	Name     []byte // qualified, as written
	Bindings int    // how many were in force outside the element
	At       int    // byte offset of its start tag
	Count    int    // for the format: which of its kind it is
}

// Kind is what a token is.
type Kind uint8

// The kinds of token.
const (
	End   Kind = iota // an end tag, or the end of an empty element
	Start             // a start tag
	Text              // text or a CDATA section: Data[From:To]
	EOF               // the end of the file
)

// Token is a tag or a text.
type Token struct {
	Kind     Kind
	From, To int
	CDATA    bool
	Prefix   []byte
	Local    []byte
	Space    Space
	Attrs    []Attr // valid until the next token
}

// Attr is one attribute of a start tag, its value as written.
type Attr struct {
	Prefix, Local []byte
	Value         []byte
	At            int
}

// Reader reads one document, or one fragment of one. Data, Format, Nesting and
// Vocabulary are set before the first call.
type Reader struct {
	Data       []byte
	Format     string // for messages, such as KML
	Nesting    int    // how many elements may be open at once
	Fragment   bool   // Data is no document: text and elements may stand side by side
	Vocabulary Vocabulary
	Commented  func(at int, text []byte) // is given each comment and where it starts; nil for nobody

	Pos   int
	Open  []Element
	Bound []Binding
	// Ended is true after an empty element's start: its end is still to be
	// told.
	Ended bool

	attrs   []Attr
	started bool   // the root element was seen
	scratch []byte // for decoded text
	line    int    // line of the byte offset lineAt
	lineAt  int
	column  int // bytes that Slide dropped of the line of Data[0]
	fell    int // offset of the last fault
}

// Slide drops what was read and puts more behind the rest, for a document that
// is read in parts. What earlier tokens gave keeps its bytes, not its offsets.
func (r *Reader) Slide(more []byte) {
	for i := range r.Open {
		r.Open[i].At = -r.LineOf(r.Open[i].At)
	}
	r.LineOf(r.Pos)
	if end := bytes.LastIndexByte(r.Data[:r.Pos], '\n'); end >= 0 {
		r.column = r.Pos - end - 1
	} else {
		r.column += r.Pos
	}
	data := make([]byte, 0, len(r.Data)-r.Pos+len(more))
	r.Data = append(append(data, r.Data[r.Pos:]...), more...)
	r.Pos, r.lineAt = 0, 0
}

// Kept returns an offset so that it stays good when Slide changes all others:
// it has its line from then on, and no more.
func (r *Reader) Kept(offset int) int { return -r.LineOf(offset) }

// Place returns the line and column, both from 1, of a byte offset in Data that a
// fault stands at; of one that was kept the line, and 0.
func (r *Reader) Place(offset int) (line, column int) {
	if offset < 0 {
		return -offset, 0
	}
	offset = min(offset, len(r.Data))
	r.fell = offset
	line = r.LineOf(offset)
	start := bytes.LastIndexByte(r.Data[:offset], '\n') + 1
	column = offset - start + 1
	if start == 0 {
		column += r.column
	}
	return line, column
}

// LineOf returns the line of a byte offset, from 1, counting on (or back) from
// the offset asked for last, so that the cost of many is that of one pass. What
// Slide dropped has its line, negative, for an offset.
func (r *Reader) LineOf(offset int) int {
	if offset < 0 {
		return -offset
	}
	if r.line == 0 {
		r.line = 1
	}
	offset = min(offset, len(r.Data))
	if offset >= r.lineAt {
		r.line += bytes.Count(r.Data[r.lineAt:offset], []byte{'\n'})
	} else {
		r.line -= bytes.Count(r.Data[offset:r.lineAt], []byte{'\n'})
	}
	r.lineAt = offset
	return r.line
}

const (
	// MendCut is the mend for what ends too early.
	MendCut    = "the file may be cut off or damaged: export or send it again"
	mendBroken = "the file is not well-formed XML: export it again"
)

func (r *Reader) fault(at int, mend, format string, args ...any) error {
	return r.Vocabulary.Fault(at, fmt.Sprintf(format, args...), mend)
}

// clip shortens a name of the file for a message.
func clip(b []byte) string { return wire.Clip(b, 60) }

// IsSpace reports whether c is white space of XML.
func IsSpace(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

// AllSpace reports whether there is nothing but white space.
func AllSpace(b []byte) bool {
	for _, c := range b {
		if !IsSpace(c) {
			return false
		}
	}
	return true
}

// nameStart and nameByte are looser than XML 1.0 for characters past ASCII,
// which no file has been seen to get wrong.
func nameStart(c byte) bool { return wire.IsLetter(c) || c == '_' || c >= utf8.RuneSelf }

func nameByte(c byte) bool { return nameStart(c) || wire.IsDigit(c) || c == '-' || c == '.' }

// Next returns the next tag or text. Comments, but for Commented, and processing
// instructions are passed over. Every start is followed by its end, also for <a/>.
func (r *Reader) Next() (Token, error) {
	if r.Ended {
		r.Ended = false
		return r.endToken(r.Pos, r.Pos), nil
	}
	for {
		rest := r.Data[r.Pos:]
		if len(rest) == 0 {
			if n := len(r.Open); n > 0 && !r.Fragment {
				return Token{}, r.fault(r.Pos, MendCut, "the file ends inside <%s>, which starts at line %d", clip(r.Open[n-1].Name), r.LineOf(r.Open[n-1].At))
			}
			return Token{Kind: EOF, From: r.Pos, To: r.Pos}, nil
		}
		if rest[0] != '<' {
			end := bytes.IndexByte(rest, '<')
			if end < 0 {
				end = len(rest)
			}
			t := Token{Kind: Text, From: r.Pos, To: r.Pos + end}
			if len(r.Open) == 0 && !r.Fragment {
				if !AllSpace(rest[:end]) {
					return Token{}, r.outside()
				}
				r.Pos += end
				continue
			}
			r.Pos += end
			return t, nil
		}
		t, found, err := r.markup(rest)
		if err != nil || found {
			return t, err
		}
	}
}

// markup reads what starts with the < at the start of rest; found is false for
// what is passed over.
func (r *Reader) markup(rest []byte) (t Token, found bool, err error) {
	switch {
	case len(rest) > 1 && rest[1] == '/':
		t, err = r.ReadEnd()
		return t, true, err
	case bytes.HasPrefix(rest, []byte("<!--")):
		at := r.Pos
		if err := r.skipTo(len("<!--"), "-->", "a comment"); err != nil {
			return t, false, err
		}
		if r.Commented != nil {
			r.Commented(at, r.Data[at+len("<!--"):r.Pos-len("-->")])
		}
		return t, false, nil
	case bytes.HasPrefix(rest, []byte("<![CDATA[")):
		if len(r.Open) == 0 && !r.Fragment {
			return t, false, r.outside()
		}
		from := r.Pos + len("<![CDATA[")
		err := r.skipTo(len("<![CDATA["), "]]>", "a CDATA section")
		return Token{Kind: Text, From: from, To: max(from, r.Pos-len("]]>")), CDATA: true}, true, err
	case bytes.HasPrefix(rest, []byte("<!DOCTYPE")):
		return t, false, r.doctype()
	case bytes.HasPrefix(rest, []byte("<?")):
		at := r.Pos
		if err := r.skipTo(2, "?>", "a processing instruction"); err != nil {
			return t, false, err
		}
		r.instructed(at, r.Data[at+len("<?"):r.Pos-len("?>")])
		return t, false, nil
	case bytes.HasPrefix(rest, []byte("<!")):
		return t, false, r.fault(r.Pos, mendBroken, "a declaration stands where no declaration may")
	}
	t, err = r.readStart()
	return t, true, err
}

// plainTargets are processing instructions that say how a document is written and shown.
var plainTargets = [...]string{"xml", "xml-stylesheet", "xml-model", "oxygen", "mso-application"}

// instructed gives a processing instruction to whoever is given comments, but for those
// that say nothing of what is in the document.
func (r *Reader) instructed(at int, text []byte) {
	target, _, _ := strings.Cut(string(text[:min(len(text), 32)]), " ")
	if r.Commented != nil && !slices.Contains(plainTargets[:], strings.ToLower(strings.TrimSpace(target))) {
		r.Commented(at, text)
	}
}

// outside is the error for what stands before or after the document.
func (r *Reader) outside() error {
	at := r.Pos
	for at < len(r.Data) && IsSpace(r.Data[at]) {
		at++
	}
	if r.started {
		return r.fault(at, "a file holds one document: remove what follows its end, or split the file", "something stands after the end of the document")
	}
	return r.fault(at, "the file is no "+r.Format+", or something was put before its start", "text stands before the first element: %q", wire.Clip(r.Data[at:min(len(r.Data), at+80)], 40))
}

// skipTo moves behind the next end, which must not overlap the first skip
// bytes.
func (r *Reader) skipTo(skip int, end, what string) error {
	i := bytes.Index(r.Data[r.Pos+skip:], []byte(end))
	if i < 0 {
		return r.fault(r.Pos, MendCut, "%s does not end", what)
	}
	r.Pos += skip + i + len(end)
	return nil
}

// doctype passes over a DOCTYPE that only names something. One with definitions
// of its own is refused: they are how a small file is made to inflate without
// bound.
func (r *Reader) doctype() error {
	if r.started || r.Fragment {
		return r.fault(r.Pos, "remove it", "a DOCTYPE stands inside the document")
	}
	for i, quote := r.Pos, byte(0); i < len(r.Data); i++ {
		c := r.Data[i]
		switch {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '[':
			return r.fault(r.Pos, "remove everything from <!DOCTYPE to ]>", "the DOCTYPE carries definitions of its own (entities), which are not expanded")
		case c == '>':
			r.Vocabulary.Warn("doctype", r.Pos, "a DOCTYPE has no meaning in %s; it was passed over", r.Format)
			r.Pos = i + 1
			return nil
		}
	}
	return r.fault(r.Pos, MendCut, "the DOCTYPE does not end")
}

func (r *Reader) endToken(from, to int) Token {
	n := len(r.Open) - 1
	e := r.Open[n]
	r.Open = r.Open[:n]
	t := Token{Kind: End, From: from, To: to}
	t.Prefix, t.Local = splitName(e.Name)
	r.Bound = r.Bound[:e.Bindings]
	return t
}

func splitName(name []byte) (prefix, local []byte) {
	if i := bytes.IndexByte(name, ':'); i >= 0 {
		return name[:i], name[i+1:]
	}
	return nil, name
}

// ReadEnd reads the end tag that starts at Pos.
func (r *Reader) ReadEnd() (Token, error) {
	from := r.Pos
	i := bytes.IndexByte(r.Data[from:], '>')
	if i < 0 {
		return Token{}, r.fault(from, MendCut, "an end tag does not end")
	}
	name := r.Data[from+2 : from+i]
	for len(name) > 0 && IsSpace(name[len(name)-1]) {
		name = name[:len(name)-1]
	}
	n := len(r.Open)
	if n == 0 {
		if r.Fragment || !r.started {
			return Token{}, r.fault(from, mendBroken, "the end tag </%s> closes nothing", clip(name))
		}
		return Token{}, r.outside()
	}
	if open := &r.Open[n-1]; !bytes.Equal(name, open.Name) {
		return Token{}, r.fault(from, "the file is not well-formed XML: export it again, or close the element",
			"</%s> stands where <%s>, which starts at line %d, should be closed", clip(name), clip(open.Name), r.LineOf(open.At))
	}
	r.Pos = from + i + 1
	return r.endToken(from, r.Pos), nil
}

// qualifiedName reads a name with at most one colon from pos and returns the
// index behind it; the parts are empty when there is none.
func (r *Reader) qualifiedName(pos int) (prefix, local []byte, end int) {
	d := r.Data
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

func (r *Reader) readStart() (Token, error) {
	from := r.Pos
	if len(r.Open) == 0 && r.started && !r.Fragment {
		return Token{}, r.outside()
	}
	prefix, local, i := r.qualifiedName(from + 1)
	if len(local) == 0 {
		return Token{}, r.fault(from, "write a bare < in text as &lt;", "a < stands where no element starts")
	}
	if len(r.Open) >= r.Nesting {
		return Token{}, r.fault(from, "flatten the folders, or raise the limit in a limits file", "elements nest more than %d deep (limit input_max_nesting, and the format's own levels)", r.Nesting)
	}
	e := Element{Name: r.Data[from+1 : i], Bindings: len(r.Bound), At: from}
	r.attrs = r.attrs[:0]
	i, err := r.attributes(e, i)
	if err != nil {
		return Token{}, err
	}
	r.Open = append(r.Open, e)
	r.started = true
	r.Pos = i
	return Token{Kind: Start, From: from, To: i, Prefix: prefix, Local: local, Attrs: r.attrs, Space: r.resolve(prefix, from)}, nil
}

// attributes reads the attributes of a start tag from index i up to the tag's
// end and returns the index behind it.
func (r *Reader) attributes(e Element, i int) (int, error) {
	d := r.Data
	for {
		spaceAt := i
		for i < len(d) && IsSpace(d[i]) {
			i++
		}
		if i >= len(d) {
			return i, r.fault(e.At, MendCut, "the tag <%s does not end", clip(e.Name))
		}
		if d[i] == '>' {
			return i + 1, nil
		}
		if d[i] == '/' && i+1 < len(d) && d[i+1] == '>' {
			r.Ended = true
			return i + 2, nil
		}
		a, next, err := r.attribute(e, i, spaceAt == i)
		if err != nil {
			return i, err
		}
		if len(r.attrs) == MaxAttributes {
			return i, r.fault(a.At, "the file is damaged or hostile", "<%s> has more than %d attributes", clip(e.Name), MaxAttributes)
		}
		for _, b := range r.attrs {
			if bytes.Equal(a.Local, b.Local) && bytes.Equal(a.Prefix, b.Prefix) {
				return i, r.fault(a.At, "remove one of them", "the attribute %s stands twice in <%s>", clip(a.Local), clip(e.Name))
			}
		}
		r.attrs = append(r.attrs, a)
		if string(a.Prefix) == "xmlns" || a.Prefix == nil && string(a.Local) == "xmlns" {
			if err := r.bind(a); err != nil {
				return i, err
			}
		}
		i = next
	}
}

// attribute reads one attribute from index i; close is true when no space
// stands before it.
func (r *Reader) attribute(e Element, i int, close bool) (a Attr, next int, err error) {
	d := r.Data
	a.At = i
	a.Prefix, a.Local, next = r.qualifiedName(i)
	if len(a.Local) == 0 || close {
		return a, i, r.fault(i, mendBroken, "%q stands inside the tag <%s> where an attribute or its end should", d[i:i+1], clip(e.Name))
	}
	for i = next; i < len(d) && IsSpace(d[i]); {
		i++
	}
	if i >= len(d) || d[i] != '=' {
		return a, i, r.fault(a.At, "write "+clip(a.Local)+`="..."`, "the attribute %s of <%s> has no value", clip(a.Local), clip(e.Name))
	}
	for i++; i < len(d) && IsSpace(d[i]); {
		i++
	}
	if i >= len(d) || d[i] != '"' && d[i] != '\'' {
		return a, i, r.fault(a.At, "put it in double quotes", "the value of the attribute %s is not in quotes", clip(a.Local))
	}
	n := bytes.IndexByte(d[i+1:], d[i])
	if n < 0 {
		return a, i, r.fault(a.At, MendCut, "the value of the attribute %s does not end", clip(a.Local))
	}
	a.Value = d[i+1 : i+1+n]
	if bytes.IndexByte(a.Value, '<') >= 0 {
		return a, i, r.fault(a.At, "write &lt; for <", "a < stands in the value of the attribute %s", clip(a.Local))
	}
	return a, i + n + 2, nil
}

// bind takes down a namespace declaration.
func (r *Reader) bind(a Attr) error {
	uri, err := r.AttrText(a)
	if err != nil {
		return err
	}
	if len(r.Bound) == MaxBindings {
		return r.fault(a.At, "the file is damaged or hostile", "more than %d namespaces are declared at once", MaxBindings)
	}
	b := Binding{URI: uri, Space: r.Vocabulary.SpaceOf(uri, a.At)}
	if a.Prefix != nil {
		b.Prefix = string(a.Local)
	}
	r.Bound = append(r.Bound, b)
	return nil
}

// Lookup returns the index of the binding that a prefix stands for, -1 for
// none.
func (r *Reader) Lookup(prefix []byte) int {
	for i := len(r.Bound) - 1; i >= 0; i-- {
		if string(prefix) == r.Bound[i].Prefix {
			return i
		}
	}
	return -1
}

func (r *Reader) resolve(prefix []byte, at int) Space {
	if i := r.Lookup(prefix); i >= 0 {
		return r.Bound[i].Space
	}
	return r.Vocabulary.Unbound(prefix, at)
}

// DefaultSpace returns the space of names without a prefix, here.
func (r *Reader) DefaultSpace() Space { return r.resolve(nil, r.Pos) }

// Root returns the name of the root element of which head holds the beginning,
// without its prefix; ok is false when it is no XML.
func Root(head []byte) (local []byte, ok bool) {
	for {
		head = bytes.TrimLeft(head, " \t\r\n")
		end := ""
		switch {
		case bytes.HasPrefix(head, []byte("<?")):
			end = "?>"
		case bytes.HasPrefix(head, []byte("<!--")):
			end = "-->"
		case bytes.HasPrefix(head, []byte("<!")):
			end = ">"
		default:
			r := Reader{Data: head}
			if len(head) == 0 || head[0] != '<' {
				return nil, false
			}
			_, local, i := r.qualifiedName(1)
			return local, len(local) > 0 && i < len(head) && (IsSpace(head[i]) || head[i] == '>' || head[i] == '/')
		}
		i := bytes.Index(head, []byte(end))
		if i < 0 {
			return nil, false
		}
		head = head[i+len(end):]
	}
}

// Leaf reads the next element whole where it has no prefix, no attributes and
// nothing but text inside, and white space before it is passed over:
// <a>text</a>. ok is false for anything else, and for what is not well-formed;
// nothing is read then, and Next tells.
func (r *Reader) Leaf() (local, text []byte, ok bool) {
	if r.Ended || len(r.Open) == 0 || len(r.Open) >= r.Nesting {
		return nil, nil, false
	}
	d, i := r.Data, r.Pos
	for i < len(d) && IsSpace(d[i]) {
		i++
	}
	if i+1 >= len(d) || d[i] != '<' || !nameStart(d[i+1]) {
		return nil, nil, false
	}
	from := i + 1
	for i = from + 1; i < len(d) && nameByte(d[i]); i++ {
	}
	if i >= len(d) || d[i] != '>' {
		return nil, nil, false
	}
	local, i = d[from:i], i+1
	n := bytes.IndexByte(d[i:], '<')
	if n < 0 {
		return nil, nil, false
	}
	text, i = d[i:i+n], i+n
	end := i + 2 + len(local)
	if end >= len(d) || d[i+1] != '/' || d[end] != '>' || string(d[i+2:end]) != string(local) {
		return nil, nil, false
	}
	r.Pos = end + 1
	return local, text, true
}

// Skip passes everything up to the end tag of the element that was just opened.
func (r *Reader) Skip() error {
	depth := len(r.Open)
	for {
		t, err := r.Next()
		if err != nil {
			return err
		}
		if t.Kind == End && len(r.Open) < depth {
			return nil
		}
		if t.Kind == EOF {
			return r.fault(t.From, MendCut, "the text ends inside an element")
		}
	}
}
