// The one rule by which values that KML cannot hold are written as JSON.

package kml

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"swardline/convert/wire/jsontext"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// ownText writes a text by the rule of the package's comment.
func ownText(text string) string {
	if (text == "" || text[0] != '=') && xml.Fits(text) {
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
	if !xml.Fits(text) {
		// What is left stands inside JSON strings, where these escapes mean the
		// same.
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
	if xml.Fits(text) {
		return text
	}
	return strings.Map(func(r rune) rune {
		if r < 0x20 && !xml.IsSpace(byte(r)) || r == 0xfffe || r == 0xffff {
			return utf8.RuneError
		}
		return r
	}, text)
}

// trimSpace takes off XML's white space at both ends.
func trimSpace(b []byte) []byte { return bytes.Trim(b, " \t\r\n") }

// trimmed is trimSpace for strings.
func trimmed(s string) string { return strings.Trim(s, " \t\r\n") }
