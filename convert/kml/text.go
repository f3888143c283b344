// Text on its way in and out: encodings, entities, and the one rule by which
// values that KML cannot hold are written as JSON.

package kml

import (
	"bytes"
	"fmt"
	"html"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// charmaps are the single-byte encodings that old exports declare. The first two
// are read as Windows-1252, of which they are the part without curly quotes,
// because that is what files so labelled hold.
var charmaps = map[string]*charmap.Charmap{
	"iso-8859-1": charmap.Windows1252, "latin1": charmap.Windows1252, "windows-1252": charmap.Windows1252, "cp1252": charmap.Windows1252,
	"iso-8859-2": charmap.ISO8859_2, "iso-8859-15": charmap.ISO8859_15,
	"windows-1250": charmap.Windows1250, "windows-1251": charmap.Windows1251, "windows-1254": charmap.Windows1254,
}

// toUTF8 returns the document in UTF-8, decoded when its XML declaration names
// one of charmaps. The declaration itself stays as it is.
func toUTF8(data []byte, name string, t *wire.Tally) ([]byte, error) {
	data, err := wire.CheckText(data, name, t)
	if err != nil {
		return nil, err
	}
	declared := declaredEncoding(data)
	switch declared {
	case "", "utf-8", "utf8", "us-ascii", "ascii":
		return data, wire.CheckUTF8(data, name)
	}
	if utf8.Valid(data) && !isASCII(data) {
		t.Add("encoding", 1, "", "the file says that it is in %s, but it is in UTF-8; it was read so", wire.Clip([]byte(declared), 60))
		return data, nil
	}
	m, ok := charmaps[declared]
	if !ok {
		if isASCII(data) {
			return data, nil
		}
		return nil, &wire.InputError{File: name, Line: 1, Problem: fmt.Sprintf("the encoding %s is not one that is read", wire.Clip([]byte(declared), 60)), Mend: "save the file again with the encoding UTF-8"}
	}
	if isASCII(data) {
		return data, nil
	}
	decoded, err := m.NewDecoder().Bytes(data)
	if err != nil {
		return nil, &wire.InputError{File: name, Line: 1, Problem: fmt.Sprintf("the text is not in %s as the file says", declared), Mend: "save the file again with the encoding UTF-8"}
	}
	t.Add("encoding", 1, "", "the file is in %s; it was read as such and is UTF-8 from here on", declared)
	return decoded, nil
}

func isASCII(data []byte) bool {
	for _, c := range data {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// declaredEncoding returns the encoding of the XML declaration in lower case, ""
// when there is none.
func declaredEncoding(data []byte) string {
	if !bytes.HasPrefix(data, []byte("<?xml")) {
		return ""
	}
	end := bytes.Index(data, []byte("?>"))
	if end < 0 {
		return ""
	}
	decl := string(data[:end])
	i := strings.Index(decl, "encoding")
	if i < 0 {
		return ""
	}
	rest := strings.TrimLeft(decl[i+len("encoding"):], " \t\r\n=")
	if len(rest) < 2 || rest[0] != '"' && rest[0] != '\'' {
		return ""
	}
	if end := strings.IndexByte(rest[1:], rest[0]); end >= 0 {
		return strings.ToLower(rest[1 : 1+end])
	}
	return ""
}

// needsWork marks the bytes of text that are not simply copied.
var needsWork = func() (t [256]bool) {
	for c := 0; c < 0x20; c++ {
		t[c] = c != '\t' && c != '\n'
	}
	t['&'] = true
	return t
}()

// needsDecoding reports whether the current text token is more than its bytes.
func (s *scanner) needsDecoding() bool {
	for _, c := range s.text {
		if needsWork[c] && !(c == '&' && s.cdata) {
			return true
		}
	}
	return false
}

func (s *scanner) decodeAttr(raw []byte) ([]byte, error) {
	for _, c := range raw {
		if needsWork[c] || c == '\t' || c == '\n' {
			return s.decode(nil, raw, true, true)
		}
	}
	return raw, nil
}

// decode appends raw text: line ends become \n (XML 1.0 section 2.11), entities
// what they stand for, white space in attributes blanks (section 3.3.3).
func (s *scanner) decode(dst, raw []byte, entities, attr bool) ([]byte, error) {
	for i := 0; i < len(raw); i++ {
		c := raw[i]
		switch {
		case c == '\r':
			if i+1 < len(raw) && raw[i+1] == '\n' {
				continue
			}
			c = '\n'
			fallthrough
		case c == '\n' || c == '\t':
			if attr {
				c = ' '
			}
			dst = append(dst, c)
		case c < 0x20:
			return nil, s.fail(s.at+i, fmt.Sprintf("the control character 0x%02x stands in the text; XML cannot hold it", c), "remove it: the file is damaged or was written wrongly")
		case c == '&' && entities:
			var n int
			var err error
			if dst, n, err = s.entity(dst, raw[i:]); err != nil {
				return nil, err
			}
			i += n - 1
		default:
			dst = append(dst, c)
		}
	}
	return dst, nil
}

// entity appends what the & at the start of raw stands for, and returns how many
// bytes it took.
func (s *scanner) entity(dst, raw []byte) ([]byte, int, error) {
	const longest = 40
	end := bytes.IndexByte(raw[:min(len(raw), longest)], ';')
	if end > 1 {
		name := raw[1:end]
		switch string(name) {
		case "amp":
			return append(dst, '&'), end + 1, nil
		case "lt":
			return append(dst, '<'), end + 1, nil
		case "gt":
			return append(dst, '>'), end + 1, nil
		case "quot":
			return append(dst, '"'), end + 1, nil
		case "apos":
			return append(dst, '\''), end + 1, nil
		}
		if name[0] == '#' {
			return s.charRef(dst, name, end+1)
		}
		if isEntityName(name) {
			whole := string(raw[:end+1])
			if u := html.UnescapeString(whole); u != whole {
				s.warn("html-entity", s.at, 1, "%s is an entity of HTML, not of XML; it was read as the character it stands for", whole)
				return append(dst, u...), end + 1, nil
			}
		}
	}
	s.warn("bare-ampersand", s.at, 1, "an & stands for itself; it should be written &amp;")
	return append(dst, '&'), 1, nil
}

func isEntityName(name []byte) bool {
	for _, c := range name {
		if (c|0x20 < 'a' || c|0x20 > 'z') && (c < '0' || c > '9') {
			return false
		}
	}
	return true
}

// charRef appends the character of a reference such as #233 or #xE9.
func (s *scanner) charRef(dst, name []byte, size int) ([]byte, int, error) {
	digits, base := name[1:], rune(10)
	if len(digits) > 0 && (digits[0] == 'x' || digits[0] == 'X') {
		digits, base = digits[1:], 16
	}
	var r rune
	ok := len(digits) > 0
	for _, c := range digits {
		d := rune(99)
		switch {
		case c >= '0' && c <= '9':
			d = rune(c - '0')
		case c|0x20 >= 'a' && c|0x20 <= 'f':
			d = rune(c|0x20-'a') + 10
		}
		if d >= base || r > utf8.MaxRune {
			ok = false
			break
		}
		r = r*base + d
	}
	if !ok || r == 0 || !utf8.ValidRune(r) {
		return nil, 0, s.fail(s.at, fmt.Sprintf("&%s; stands for no character", wire.Clip(name, 60)), "remove it")
	}
	if r < 0x20 && !isSpaceByte(byte(r)) {
		s.warn("control-character", s.at, 1, "&%s; stands for a control character, which XML does not allow; it was kept", wire.Clip(name, 60))
	}
	return utf8.AppendRune(dst, r), size, nil
}

// fitsXML reports whether XML 1.0 can hold every character of the text.
func fitsXML(text string) bool {
	for i := 0; i < len(text); i++ {
		c := text[i]
		if c < 0x20 && !isSpaceByte(c) {
			return false
		}
		// U+FFFE and U+FFFF are EF BF BE and EF BF BF.
		if c == 0xef && i+2 < len(text) && text[i+1] == 0xbf && text[i+2] >= 0xbe {
			return false
		}
	}
	return true
}

// ownText writes a text by the rule of the package's comment.
func ownText(text string) string {
	if (text == "" || text[0] != '=') && fitsXML(text) {
		return text
	}
	return ownJSON(schema.String(text))
}

// ownValue writes any value by the rule of the package's comment.
func ownValue(v schema.Value) string {
	if v.Kind() == schema.KindString {
		return ownText(v.Text())
	}
	return ownJSON(v)
}

func ownJSON(v schema.Value) string {
	text := string(v.AppendJSON([]byte{'='}))
	if !fitsXML(text) {
		// What is left stands inside JSON strings, where these escapes mean the same.
		text = strings.NewReplacer("\ufffe", `\ufffe`, "\uffff", `\uffff`).Replace(text)
	}
	return text
}

// parseOwn is the inverse of ownValue; ok is false when what follows a = is no
// JSON. The value is then the text itself.
func parseOwn(text string) (v schema.Value, ok bool) {
	if text == "" || text[0] != '=' {
		return schema.String(text), true
	}
	v, err := jsontext.Parse([]byte(text[1:]))
	if err != nil {
		return schema.String(text), false
	}
	return v, true
}

// shownText is what the XML encoder makes of a text: characters that XML cannot
// hold become U+FFFD.
func shownText(text string) string {
	if fitsXML(text) {
		return text
	}
	return strings.Map(func(r rune) rune {
		if r < 0x20 && !isSpaceByte(byte(r)) || r == 0xfffe || r == 0xffff {
			return utf8.RuneError
		}
		return r
	}, text)
}

// trimSpace takes off XML's white space at both ends.
func trimSpace(b []byte) []byte { return bytes.Trim(b, " \t\r\n") }

// trimmed is trimSpace for strings.
func trimmed(s string) string { return strings.Trim(s, " \t\r\n") }
