// GPX's own fields: how each is read into an attribute value, and which values
// may be written as it again.

package gpx

import (
	"strconv"
	"strings"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// form is the form of a field's value.
type form uint8

const (
	formText       form = iota // xsd:string
	formTime                   // xsd:dateTime
	formDecimal                // xsd:decimal
	formAngle                  // xsd:decimal, from 0 to below 360
	formCount                  // xsd:nonNegativeInteger
	formStation                // a whole number from 0 to 1023
	formFix                    // none, 2d, 3d, dgps, pps
	formYear                   // xsd:gYear
	formURI                    // xsd:anyURI
	formLinks                  // repeated elements of linkShape
	formObject                 // an element of its own shape
	formExtensions             // foreign subtrees as text
)

// field is one of GPX's own elements.
type field struct {
	name  string // of the element
	key   string // of the attribute
	form  form
	shape *shape
}

// shape is an element with attributes and children, read as an object whose
// fields are the attributes, then the children, in this order.
type shape struct {
	attrs    []field // all required
	children []field
}

var (
	linkShape      = &shape{attrs: []field{{name: "href", form: formURI}}, children: []field{{name: "text"}, {name: "type"}}}
	emailShape     = &shape{attrs: []field{{name: "id"}, {name: "domain"}}}
	personShape    = &shape{children: []field{{name: "name"}, {name: "email", form: formObject, shape: emailShape}, {name: "link", form: formObject, shape: linkShape}}}
	copyrightShape = &shape{attrs: []field{{name: "author"}}, children: []field{{name: "year", form: formYear}, {name: "license", form: formURI}}}
	boundsShape    = &shape{attrs: []field{{name: "minlat", form: formDecimal}, {name: "minlon", form: formDecimal}, {name: "maxlat", form: formDecimal}, {name: "maxlon", form: formDecimal}}}
)

// The fields of wptType, rteType and trkType, and metadataType, in the schema's
// order. ele, name and the points are read and written apart.
var (
	pointFields = []field{
		{name: "time", form: formTime}, {name: "magvar", form: formAngle}, {name: "geoidheight", form: formDecimal},
		{name: "name"}, {name: "cmt"}, {name: "desc"}, {name: "src"}, {name: "link", form: formLinks, shape: linkShape}, {name: "sym"}, {name: "type"},
		{name: "fix", form: formFix}, {name: "sat", form: formCount}, {name: "hdop", form: formDecimal}, {name: "vdop", form: formDecimal}, {name: "pdop", form: formDecimal},
		{name: "ageofdgpsdata", form: formDecimal}, {name: "dgpsid", form: formStation}, {name: "extensions", key: extensionsKey, form: formExtensions},
	}
	lineFields = []field{
		{name: "name"}, {name: "cmt"}, {name: "desc"}, {name: "src"}, {name: "link", form: formLinks, shape: linkShape},
		{name: "number", form: formCount}, {name: "type"}, {name: "extensions", key: extensionsKey, form: formExtensions},
	}
	metadataFields = []field{
		{name: "name"}, {name: "desc"}, {name: "author", form: formObject, shape: personShape}, {name: "copyright", form: formObject, shape: copyrightShape},
		{name: "link", form: formLinks, shape: linkShape}, {name: "time", form: formTime}, {name: "keywords"},
		{name: "bounds", form: formObject, shape: boundsShape}, {name: "extensions", key: metadataExtensionsKey, form: formExtensions},
	}
	// What GPX 1.0 has beside: read, and kept as plain attributes.
	oldFields = []field{
		{name: "url"}, {name: "urlname"}, {name: "email"}, {name: "speed", form: formDecimal}, {name: "course", form: formAngle},
	}
	// vertexFields are pointFields under the keys they have on a line.
	vertexFields = vertexKeys(pointFields)
	oldVertices  = vertexKeys(oldFields)
)

func init() {
	lists := [][]field{pointFields, lineFields, metadataFields, oldFields}
	for _, s := range []*shape{linkShape, emailShape, personShape, copyrightShape, boundsShape} {
		lists = append(lists, s.attrs, s.children)
	}
	for _, list := range lists {
		for i := range list {
			if list[i].key == "" {
				list[i].key = list[i].name
			}
		}
	}
}

func vertexKeys(fields []field) []field {
	out := make([]field, len(fields))
	for i, f := range fields {
		f.key = pointPrefix + f.name
		if f.name == "time" {
			f.key = schema.PropTimes
		}
		out[i] = f
	}
	return out
}

func fieldNamed(fields []field, name []byte) *field {
	for i := range fields {
		if fields[i].name == string(name) {
			return &fields[i]
		}
	}
	return nil
}

// valueOf returns the value that a field's text stands for. A text that has not
// the form the schema asks for stays a text; ok is then false.
func (f *field) valueOf(text string) (v schema.Value, ok bool) {
	switch f.form {
	case formText:
		return schema.String(text), true
	case formDecimal, formAngle, formCount, formStation:
		if n, isNumber := schema.Number(strings.TrimSpace(text)); isNumber {
			return n, true
		}
		return schema.String(strings.TrimSpace(text)), false
	}
	text = strings.TrimSpace(text)
	v = schema.String(text)
	return v, f.form != formTime && f.form != formFix || f.holds(v)
}

// holds reports whether the value can be written as the field, valid against
// the schema and read back the same.
func (f *field) holds(v schema.Value) bool {
	switch f.form {
	case formText:
		return v.Kind() == schema.KindString && holdable(v.Text()) && strings.TrimSpace(v.Text()) != ""
	case formTime:
		return v.Kind() == schema.KindString && isDateTime(v.Text())
	case formDecimal:
		return isDecimal(v)
	case formAngle:
		a, ok := v.Float()
		return ok && isDecimal(v) && a >= 0 && a < 360 && v.Text()[0] != '-'
	case formCount:
		return v.Kind() == schema.KindNumber && strings.Trim(v.Text(), "0123456789") == ""
	case formStation:
		n, err := strconv.Atoi(v.Text())
		return v.Kind() == schema.KindNumber && err == nil && n >= 0 && n <= 1023 && v.Text()[0] != '-'
	case formFix:
		switch v.Text() {
		case "none", "2d", "3d", "dgps", "pps":
			return v.Kind() == schema.KindString
		}
		return false
	case formYear:
		return v.Kind() == schema.KindString && len(v.Text()) == 4 && strings.Trim(v.Text(), "0123456789") == "" && v.Text() != "0000"
	case formURI:
		return v.Kind() == schema.KindString && isPlainURI(v.Text())
	case formLinks:
		for _, item := range v.Items() {
			if !f.shape.holds(item) {
				return false
			}
		}
		return len(v.Items()) > 0
	case formObject:
		return f.shape != boundsShape && f.shape.holds(v) // bounds go stale; they are kept, not stated
	case formExtensions:
		if v.Kind() != schema.KindString {
			return false
		}
		_, ok := canonicalExtensions(v.Text())
		return ok
	}
	return false
}

func (s *shape) holds(v schema.Value) bool {
	fields := v.Fields()
	if v.Kind() != schema.KindObject || len(fields) == 0 {
		return false
	}
	at := 0
	for i := range s.attrs {
		f := &s.attrs[i]
		if at >= len(fields) || fields[at].Key != f.name || !f.holds(fields[at].Value) {
			return false
		}
		at++
	}
	for i := range s.children {
		f := &s.children[i]
		if at < len(fields) && fields[at].Key == f.name {
			if !f.holds(fields[at].Value) {
				return false
			}
			at++
		}
	}
	return at == len(fields)
}

// write appends the field as an element.
func (f *field) write(out []byte, v schema.Value) []byte {
	switch f.form {
	case formLinks:
		for _, item := range v.Items() {
			out = f.shape.write(out, f.name, item.Fields())
		}
		return out
	case formObject:
		return f.shape.write(out, f.name, v.Fields())
	}
	return appendElement(out, f.name, v.Text())
}

func (s *shape) write(out []byte, name string, fields schema.Attributes) []byte {
	out = append(out, '<')
	out = append(out, name...)
	for i := range s.attrs {
		out = append(out, ' ')
		out = append(out, s.attrs[i].name...)
		out = append(out, `="`...)
		out = appendEscaped(out, fields[i].Value.Text(), true)
		out = append(out, '"')
	}
	if len(fields) == len(s.attrs) {
		return append(out, "/>"...)
	}
	out = append(out, '>')
	for _, field := range fields[len(s.attrs):] {
		out = fieldNamed(s.children, []byte(field.Key)).write(out, field.Value)
	}
	out = append(out, "</"...)
	out = append(out, name...)
	return append(out, '>')
}

func appendElement(out []byte, name, text string) []byte {
	out = append(out, '<')
	out = append(out, name...)
	out = append(out, '>')
	out = appendEscaped(out, text, false)
	out = append(out, "</"...)
	out = append(out, name...)
	return append(out, '>')
}

// holdable reports whether XML can hold the text, escaped or not.
func holdable(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < 0x20 || c >= 0xed {
			return holdableSlow(s)
		}
	}
	return true
}

func holdableSlow(s string) bool {
	for _, r := range s {
		if !xml.IsChar(r) {
			return false
		}
	}
	return true
}

// appendEscaped appends text for an element's content or an attribute's value.
// A carriage return would be read as a line feed, and white space in a value as
// spaces, so those become references.
func appendEscaped(out []byte, s string, attribute bool) []byte {
	start := 0
	for i := 0; i < len(s); i++ {
		var ref string
		switch s[i] {
		case '&':
			ref = "&amp;"
		case '<':
			ref = "&lt;"
		case '>':
			ref = "&gt;"
		case '\r':
			ref = "&#13;"
		case '"', '\n', '\t':
			if !attribute {
				continue
			}
			ref = map[byte]string{'"': "&quot;", '\n': "&#10;", '\t': "&#9;"}[s[i]]
		default:
			continue
		}
		out = append(out, s[start:i]...)
		out = append(out, ref...)
		start = i + 1
	}
	return append(out, s[start:]...)
}

// appendJSON appends JSON text as XML content. JSON escapes control characters;
// the two characters that are none and that XML cannot hold are escaped here.
func appendJSON(out, json []byte, attribute bool) []byte {
	s := string(json)
	if strings.Contains(s, "\uFFFE") || strings.Contains(s, "\uFFFF") {
		s = strings.NewReplacer("\uFFFE", `\ufffe`, "\uFFFF", `\uffff`).Replace(s)
	}
	return appendEscaped(out, s, attribute)
}

// isDecimal reports whether a number is written as xsd:decimal: without an
// exponent.
func isDecimal(v schema.Value) bool {
	return v.Kind() == schema.KindNumber && !strings.ContainsAny(v.Text(), "eE")
}

// isDateTime reports whether s is an xsd:dateTime (XML Schema 1.0 part 2,
// section 3.2.7): a date that exists, a time, an optional fraction and zone.
func isDateTime(s string) bool {
	if strings.HasPrefix(s, "-") || len(s) < len("2006-01-02T15:04:05") || s[4] != '-' || s[7] != '-' || s[10] != 'T' || s[13] != ':' || s[16] != ':' {
		return false
	}
	part := func(from, to int) int {
		n := 0
		for _, c := range []byte(s[from:to]) {
			if c < '0' || c > '9' {
				return -1
			}
			n = n*10 + int(c-'0')
		}
		return n
	}
	year, month, day := part(0, 4), part(5, 7), part(8, 10)
	hour, minute, second := part(11, 13), part(14, 16), part(17, 19)
	if year < 1 || month < 1 || month > 12 || day < 1 || day > daysIn(year, month) ||
		hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 59 {
		return false
	}
	i := 19
	if i < len(s) && s[i] == '.' {
		i++
		start := i
		for i < len(s) && s[i] >= '0' && s[i] <= '9' {
			i++
		}
		if i == start {
			return false
		}
	}
	switch {
	case i == len(s), s[i:] == "Z":
		return true
	case (s[i] == '+' || s[i] == '-') && len(s) == i+6 && s[i+3] == ':':
		h, m := part(i+1, i+3), part(i+4, i+6)
		return h >= 0 && m >= 0 && m <= 59 && (h < 14 || h == 14 && m == 0)
	}
	return false
}

func daysIn(year, month int) int {
	switch month {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}

// isPlainURI reports whether s is a URI that every checker of xsd:anyURI takes:
// an http, https or ftp URL of plain characters, or a relative path.
func isPlainURI(s string) bool {
	rest, hashes := s, 0
	for _, scheme := range []string{"http://", "https://", "ftp://"} {
		if after, ok := strings.CutPrefix(rest, scheme); ok {
			host, path, _ := strings.Cut(after, "/")
			if host == "" || strings.Trim(host, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-") != "" {
				return false
			}
			rest = path
			break
		}
	}
	for i := 0; i < len(rest); i++ {
		c := rest[i]
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', strings.IndexByte("-._~/?&=+,;@!$'()*", c) >= 0:
		case c == '#':
			if hashes++; hashes > 1 {
				return false
			}
		case c == ':':
			if len(rest) == len(s) {
				return false // would be read as a scheme
			}
		case c == '%' && i+2 < len(rest) && isHex(rest[i+1]) && isHex(rest[i+2]):
			i += 2
		default:
			return false
		}
	}
	return s != ""
}

func isHex(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F'
}

// edgesTrimmed takes off the white space that pretty-printing puts round a
// text; text that merely starts or ends with a space keeps it.
func edgesTrimmed(s string) string {
	trimmed := strings.TrimSpace(s)
	if len(trimmed) == len(s) {
		return s
	}
	head := s[:strings.Index(s, trimmed)]
	tail := s[len(head)+len(trimmed):]
	if strings.ContainsAny(head, "\n") || strings.ContainsAny(tail, "\n") {
		return trimmed
	}
	return s
}

func parseNumber(b []byte) (float64, bool) {
	for len(b) > 0 && xml.IsSpace(b[0]) {
		b = b[1:]
	}
	for len(b) > 0 && xml.IsSpace(b[len(b)-1]) {
		b = b[:len(b)-1]
	}
	return wire.ParseFloat(b)
}
