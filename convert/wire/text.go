// Text: what every text format asks of its bytes before it looks at them.

package wire

import (
	"bytes"
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

var bom = []byte("\xef\xbb\xbf")

// CheckText refuses what no text format can read, with one clear error each: an
// empty file, UTF-16 or UTF-32, and NUL bytes. A UTF-8 byte-order mark is taken
// off and counted in t (when t is not nil) as "byte-order-mark". The bytes
// returned are data without that mark, not a copy. The text may still be
// something other than UTF-8: see CheckUTF8. Errors are *InputError.
func CheckText(data []byte, name string, t *Tally) ([]byte, error) {
	if bytes.HasPrefix(data, bom) {
		data = data[len(bom):]
		if t != nil {
			t.Add("byte-order-mark", 1, "", "the file starts with a byte-order mark; it was taken off")
		}
	}
	if len(bytes.TrimLeft(data, " \t\r\n")) == 0 {
		return nil, &InputError{File: name, Problem: "the file is empty", Mend: "check that it was saved or sent whole"}
	}
	if wide := wideText(data); wide != "" {
		return nil, &InputError{File: name, Line: 1, Problem: "the text is " + wide + ", not UTF-8", Mend: "save it again with the encoding UTF-8"}
	}
	if i := bytes.IndexByte(data, 0); i >= 0 {
		line, column := LineColumn(data, i)
		return nil, &InputError{File: name, Line: line, Column: column, Problem: "a NUL byte stands in the text", Mend: "the file is damaged or no text at all; export it again"}
	}
	return data, nil
}

// wideText names the wide encoding that the first bytes show, "" for none.
func wideText(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe, 0, 0}), bytes.HasPrefix(data, []byte{0, 0, 0xfe, 0xff}):
		return "UTF-32"
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return "UTF-16"
	}
	// Without a mark, every second byte of plain text in UTF-16 is 0.
	if len(data) >= 4 && (data[0] == 0) != (data[1] == 0) && (data[0] == 0) == (data[2] == 0) && (data[1] == 0) == (data[3] == 0) {
		return "UTF-16"
	}
	return ""
}

// CheckUTF8 refuses text that is not UTF-8, naming the first bad byte. Errors
// are *InputError.
func CheckUTF8(data []byte, name string) error {
	if utf8.Valid(data) {
		return nil
	}
	at := 0
	for at < len(data) {
		r, size := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && size <= 1 {
			break
		}
		at += size
	}
	line, column := LineColumn(data, at)
	return &InputError{File: name, Line: line, Column: column,
		Problem: fmt.Sprintf("the byte 0x%02x is not UTF-8", data[at]), Mend: "save the file again with the encoding UTF-8"}
}

// Clip shortens what a file says for a message: at most so many bytes, cut
// between characters, then dots.
func Clip(b []byte, most int) string {
	if len(b) <= most {
		return string(b)
	}
	for most > 0 && !utf8.RuneStart(b[most]) {
		most--
	}
	return string(b[:most]) + "..."
}

// IsDigit reports whether c is one of 0 to 9.
func IsDigit(c byte) bool { return c >= '0' && c <= '9' }

// IsNumberByte reports whether c may stand in a JSON number.
func IsNumberByte(c byte) bool {
	return IsDigit(c) || c == '-' || c == '+' || c == '.' || c == 'e' || c == 'E'
}

// IsLetter reports whether c is a letter of ASCII.
func IsLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

// Fold makes words comparable: lower case, accents taken off the letters, and
// every run of other characters one underscore.
func Fold(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(s) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('_')
		}
		gap = false
		if plain, ok := accents()[r]; ok {
			r = plain
		}
		b.WriteRune(r)
	}
	return b.String()
}

var accents = sync.OnceValue(func() map[rune]rune {
	return map[rune]rune{
		'ä': 'a', 'à': 'a', 'á': 'a', 'â': 'a', 'ã': 'a', 'å': 'a', 'ą': 'a', 'æ': 'e', 'ç': 'c', 'ć': 'c', 'č': 'c', 'è': 'e', 'é': 'e', 'ê': 'e', 'ë': 'e', 'ě': 'e', 'ę': 'e',
		'ì': 'i', 'í': 'i', 'î': 'i', 'ï': 'i', 'ł': 'l', 'ñ': 'n', 'ń': 'n', 'ö': 'o', 'ò': 'o', 'ó': 'o', 'ô': 'o', 'õ': 'o', 'ø': 'o', 'ř': 'r', 'ś': 's', 'š': 's',
		'ü': 'u', 'ù': 'u', 'ú': 'u', 'û': 'u', 'ů': 'u', 'ý': 'y', 'ž': 'z', 'ź': 'z', 'ż': 'z', 'ß': 's',
	}
})
