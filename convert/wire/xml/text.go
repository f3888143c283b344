// Text of elements and attributes: references, line ends, and the characters
// that XML cannot hold.

package xml

import (
	"bytes"
	"fmt"
	"html"
	"strconv"
	"strings"
)

// busy marks the bytes of text that are not simply copied: references, control
// characters, and the first byte of the two characters that XML refuses.
var busy = func() (t [256]bool) {
	for c := 0; c < 0x20; c++ {
		t[c] = c != '\t' && c != '\n'
	}
	t['&'], t[0xef] = true, true
	return t
}()

// Plain reports whether the text of a token is its bytes as they are.
func (r *Reader) Plain(t Token) bool {
	for _, c := range r.Data[t.From:t.To] {
		if busy[c] && !(c == '&' && t.CDATA) {
			return false
		}
	}
	return true
}

// AppendText appends the text of a token, decoded.
func (r *Reader) AppendText(dst []byte, t Token) ([]byte, error) {
	return r.Decode(dst, r.Data[t.From:t.To], t.From, t.CDATA, false)
}

// Attribute returns the value of the attribute of that local name without a
// prefix.
func (r *Reader) Attribute(t Token, name string) (string, bool, error) {
	for _, a := range t.Attrs {
		if a.Prefix == nil && string(a.Local) == name {
			text, err := r.AttrText(a)
			return text, true, err
		}
	}
	return "", false, nil
}

// AttrText decodes an attribute's value: references resolved, white space
// normalised as XML 1.0 section 3.3.3 asks.
func (r *Reader) AttrText(a Attr) (string, error) {
	for _, c := range a.Value {
		if busy[c] || c == '\t' || c == '\n' {
			out, err := r.Decode(r.scratch[:0], a.Value, a.At, false, true)
			r.scratch = out
			return string(out), err
		}
	}
	return string(a.Value), nil
}

// Decode appends text with its references resolved and its line ends normalised
// (XML 1.0 section 2.11). at is its offset, for messages.
func (r *Reader) Decode(dst, text []byte, at int, cdata, attribute bool) ([]byte, error) {
	for i := 0; i < len(text); {
		c := text[i]
		switch {
		case c == '&' && !cdata:
			ref, err := Reference(text[i:])
			switch {
			case err != nil:
				return dst, r.fault(at+i, "take it out: the file is damaged or was written wrongly", "%v", err)
			case ref.HTML:
				r.Vocabulary.Warn("html-entity", at, "%s is an entity of HTML, not of XML; it was read as the character it stands for", text[i:i+ref.Size])
			case ref.Bare:
				r.Vocabulary.Warn("bare-ampersand", at, "an & stands for itself; it should be written &amp;")
			}
			dst = append(dst, ref.Text...)
			i += ref.Size
			continue
		case c == '\r':
			if i+1 < len(text) && text[i+1] == '\n' {
				i++
				continue
			}
			c = '\n'
		case c < 0x20 && c != '\n' && c != '\t':
			return dst, r.fault(at+i, "take it out: the file is damaged or was written wrongly", "the control character 0x%02x stands in the text; XML cannot hold it", c)
		case c == 0xef && i+2 < len(text) && text[i+1] == 0xbf && text[i+2] >= 0xbe:
			return dst, r.fault(at+i, "take it out: the file is damaged or was written wrongly", "the character U+FFF%X stands in the text; XML cannot hold it", text[i+2]-0xb0)
		}
		if attribute && (c == '\n' || c == '\t') {
			c = ' '
		}
		dst = append(dst, c)
		i++
	}
	return dst, nil
}

// Ref is what an & in text stands for.
type Ref struct {
	Text string
	Size int  // bytes of the reference
	HTML bool // only HTML knows it
	Bare bool // no reference: the & stands for itself
}

// longestReference is the most bytes that a reference has.
const longestReference = 40

// Reference resolves the & that text starts with. An error is a reference to a
// character that XML 1.0 does not allow (section 2.2).
func Reference(text []byte) (Ref, error) {
	bare := Ref{Text: "&", Size: 1, Bare: true}
	end := bytes.IndexByte(text[:min(len(text), longestReference)], ';')
	if end < 2 {
		return bare, nil
	}
	name, size := string(text[1:end]), end+1
	switch name {
	case "amp":
		return Ref{Text: "&", Size: size}, nil
	case "lt":
		return Ref{Text: "<", Size: size}, nil
	case "gt":
		return Ref{Text: ">", Size: size}, nil
	case "quot":
		return Ref{Text: `"`, Size: size}, nil
	case "apos":
		return Ref{Text: "'", Size: size}, nil
	}
	if digits, ok := strings.CutPrefix(name, "#"); ok {
		base := 10
		if hex := strings.TrimLeft(digits, "xX"); len(digits)-len(hex) == 1 {
			digits, base = hex, 16
		}
		if strings.ContainsAny(digits, "+-_") {
			digits = "" // the standard parser would take some of them
		}
		code, err := strconv.ParseUint(digits, base, 32)
		if err != nil || code > 0x10ffff || !IsChar(rune(code)) {
			return Ref{}, fmt.Errorf("the reference &%s; stands for no character that XML allows", name)
		}
		return Ref{Text: string(rune(code)), Size: size}, nil
	}
	if strings.Trim(name, "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" {
		whole := "&" + name + ";"
		if u := html.UnescapeString(whole); u != whole && !strings.HasSuffix(u, ";") {
			return Ref{Text: u, Size: size, HTML: true}, nil
		}
	}
	return bare, nil
}

// IsChar reports whether XML 1.0 can hold the character (section 2.2).
func IsChar(c rune) bool {
	return c == '\t' || c == '\n' || c == '\r' || c >= 0x20 && c <= 0xd7ff || c >= 0xe000 && c <= 0xfffd || c >= 0x10000 && c <= 0x10ffff
}

// Fits reports whether XML 1.0 can hold every character of the text.
func Fits(text string) bool {
	for _, c := range text {
		if !IsChar(c) {
			return false
		}
	}
	return true
}
