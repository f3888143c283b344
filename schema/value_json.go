// Attribute values as JSON text: what every format falls back on for nested
// values. Strict: duplicate keys, bad escapes and deep nests are errors with
// the byte where they stand.

package schema

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// MaxNesting is how deep lists and objects may nest in an attribute value.
// It keeps a hostile file from exhausting the stack; 32 is far past any plan.
const MaxNesting = 32

// JSONError is a fault in JSON text, at a byte offset from its start.
type JSONError struct {
	Offset  int
	Problem string
	// TooDeep is true when the fault is nesting past what was allowed.
	TooDeep bool
}

// Error implements error.
func (e *JSONError) Error() string { return fmt.Sprintf("%s (byte %d)", e.Problem, e.Offset) }

// ParseJSON reads one whole JSON text into a Value. Errors are *JSONError.
func ParseJSON(data []byte) (Value, error) {
	v, at, err := ParseJSONAt(data, 0, MaxNesting)
	if err != nil {
		return Value{}, err
	}
	at = SkipJSONSpace(data, at)
	if at != len(data) {
		return Value{}, &JSONError{Offset: at, Problem: "something stands after the end of the value"}
	}
	return v, nil
}

// SkipJSONSpace returns the first index from at that is no JSON white space.
func SkipJSONSpace(data []byte, at int) int {
	for at < len(data) {
		switch data[at] {
		case ' ', '\t', '\n', '\r':
			at++
		default:
			return at
		}
	}
	return at
}

// ParseJSONAt reads the value that starts at or after data[at] and returns the
// index behind it. nesting is how many levels of list and object it may hold.
// Errors are *JSONError.
func ParseJSONAt(data []byte, at, nesting int) (Value, int, error) {
	at = SkipJSONSpace(data, at)
	if at >= len(data) {
		return Value{}, at, &JSONError{Offset: at, Problem: "the text ends where a value should stand"}
	}
	switch c := data[at]; {
	case c == '"':
		s, next, err := ParseJSONString(data, at)
		return String(s), next, err
	case c == '{':
		if nesting <= 0 {
			return Value{}, at, tooDeep(at)
		}
		return parseJSONObject(data, at, nesting-1)
	case c == '[':
		if nesting <= 0 {
			return Value{}, at, tooDeep(at)
		}
		return parseJSONList(data, at, nesting-1)
	case c == '-' || isDigit(c):
		end := at
		for end < len(data) && isNumberByte(data[end]) {
			end++
		}
		v, ok := Number(string(data[at:end]))
		if !ok && IsNumber(string(data[at:end])) {
			return Value{}, at, &JSONError{Offset: at, Problem: fmt.Sprintf("%s is past the range of numbers (about 1.8e308)", clip(data[at:end]))}
		}
		if !ok {
			return Value{}, at, &JSONError{Offset: at, Problem: fmt.Sprintf("%q is not a number in JSON's form", clip(data[at:end]))}
		}
		return v, end, nil
	}
	for _, w := range [...]struct {
		word string
		v    Value
	}{{"true", Bool(true)}, {"false", Bool(false)}, {"null", Null()}} {
		if len(data)-at >= len(w.word) && string(data[at:at+len(w.word)]) == w.word {
			return w.v, at + len(w.word), nil
		}
	}
	end := at
	for end < len(data) && end-at < 12 && isLetter(data[end]) {
		end++
	}
	if end == at {
		_, size := utf8.DecodeRune(data[at:])
		end += size
	}
	return Value{}, at, &JSONError{Offset: at, Problem: fmt.Sprintf("%q is no JSON value", clip(data[at:end]))}
}

func tooDeep(at int) error {
	return &JSONError{Offset: at, Problem: fmt.Sprintf("lists and objects nest more than %d deep (limit input_max_nesting)", MaxNesting), TooDeep: true}
}

// inRange reports whether a number's text is within a float64's range. A plan's
// numbers are kept by their digits, but one that overflows is a mistake of its
// writer, and those after us would read it as infinite.
func inRange(text string) bool {
	if len(text) < 300 && strings.IndexByte(text, 'e') < 0 && strings.IndexByte(text, 'E') < 0 {
		return true
	}
	_, err := strconv.ParseFloat(text, 64)
	return err == nil
}

func isNumberByte(c byte) bool {
	return isDigit(c) || c == '-' || c == '+' || c == '.' || c == 'e' || c == 'E'
}

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

func clip(b []byte) string {
	if len(b) > 24 {
		return strings.ToValidUTF8(string(b[:24]), "") + "..."
	}
	return string(b)
}

func parseJSONList(data []byte, at, nesting int) (Value, int, error) {
	at = SkipJSONSpace(data, at+1)
	items := []Value{}
	if at < len(data) && data[at] == ']' {
		return List(items...), at + 1, nil
	}
	for {
		v, next, err := ParseJSONAt(data, at, nesting)
		if err != nil {
			return Value{}, next, err
		}
		items = append(items, v)
		at = SkipJSONSpace(data, next)
		switch {
		case at >= len(data):
			return Value{}, at, &JSONError{Offset: at, Problem: "the text ends inside a list"}
		case data[at] == ',':
			at++
		case data[at] == ']':
			return List(items...), at + 1, nil
		default:
			return Value{}, at, &JSONError{Offset: at, Problem: fmt.Sprintf("%q stands where a comma or ] should", data[at])}
		}
	}
}

func parseJSONObject(data []byte, at, nesting int) (Value, int, error) {
	at = SkipJSONSpace(data, at+1)
	fields := Attributes{}
	if at < len(data) && data[at] == '}' {
		return Object(fields), at + 1, nil
	}
	var seen map[string]bool // only for wide objects; a scan serves small ones
	for {
		at = SkipJSONSpace(data, at)
		if at >= len(data) || data[at] != '"' {
			return Value{}, at, &JSONError{Offset: at, Problem: "a key in double quotes should stand here"}
		}
		keyAt := at
		key, next, err := ParseJSONString(data, at)
		if err != nil {
			return Value{}, next, err
		}
		at = SkipJSONSpace(data, next)
		if at >= len(data) || data[at] != ':' {
			return Value{}, at, &JSONError{Offset: at, Problem: fmt.Sprintf("a colon should follow the key %q", clip([]byte(key)))}
		}
		v, next, err := ParseJSONAt(data, at+1, nesting)
		if err != nil {
			return Value{}, next, err
		}
		twice := false
		if len(fields) < 16 {
			twice = fields.Has(key)
		} else {
			if seen == nil {
				seen = make(map[string]bool, 2*len(fields))
				for i := range fields {
					seen[fields[i].Key] = true
				}
			}
			twice = seen[key]
			seen[key] = true
		}
		if twice {
			return Value{}, keyAt, &JSONError{Offset: keyAt, Problem: fmt.Sprintf("the key %q stands twice in one object", clip([]byte(key)))}
		}
		fields = append(fields, Attribute{key, v})
		at = SkipJSONSpace(data, next)
		switch {
		case at >= len(data):
			return Value{}, at, &JSONError{Offset: at, Problem: "the text ends inside an object"}
		case data[at] == ',':
			at++
		case data[at] == '}':
			return Object(fields), at + 1, nil
		default:
			return Value{}, at, &JSONError{Offset: at, Problem: fmt.Sprintf("%q stands where a comma or } should", data[at])}
		}
	}
}

// ParseJSONString reads the string whose opening quote is data[at] and returns
// the index behind its closing quote. Errors are *JSONError.
func ParseJSONString(data []byte, at int) (string, int, error) {
	start := at + 1
	for i := start; i < len(data); i++ {
		switch c := data[i]; {
		case c == '"':
			if !utf8.Valid(data[start:i]) {
				return "", at, &JSONError{Offset: at, Problem: "the text is not UTF-8"}
			}
			return string(data[start:i]), i + 1, nil
		case c == '\\':
			return parseEscapedString(data, start, i)
		case c < 0x20:
			return "", i, &JSONError{Offset: i, Problem: "a control character stands bare inside a string"}
		}
	}
	return "", len(data), &JSONError{Offset: at, Problem: "a string is not closed"}
}

func parseEscapedString(data []byte, start, i int) (string, int, error) {
	out := append(make([]byte, 0, 2*(i-start)+16), data[start:i]...)
	for i < len(data) {
		c := data[i]
		switch {
		case c == '"':
			if !utf8.Valid(out) {
				return "", start, &JSONError{Offset: start, Problem: "the text is not UTF-8"}
			}
			return string(out), i + 1, nil
		case c < 0x20:
			return "", i, &JSONError{Offset: i, Problem: "a control character stands bare inside a string"}
		case c != '\\':
			out = append(out, c)
			i++
		case i+1 >= len(data):
			return "", i, &JSONError{Offset: i, Problem: "a string is not closed"}
		case data[i+1] == 'u':
			r, ok := hex4(data, i+2)
			if !ok {
				return "", i, &JSONError{Offset: i, Problem: `\u must be followed by four hexadecimal digits`}
			}
			i += 6
			if utf16.IsSurrogate(r) {
				low, ok := rune(0), false
				if i+1 < len(data) && data[i] == '\\' && data[i+1] == 'u' {
					low, ok = hex4(data, i+2)
				}
				r = utf16.DecodeRune(r, low)
				if !ok || r == utf8.RuneError {
					return "", i - 6, &JSONError{Offset: i - 6, Problem: "half of a surrogate pair stands alone"}
				}
				i += 6
			}
			out = utf8.AppendRune(out, r)
		default:
			var plain byte
			switch data[i+1] {
			case '"', '\\', '/':
				plain = data[i+1]
			case 'b':
				plain = '\b'
			case 'f':
				plain = '\f'
			case 'n':
				plain = '\n'
			case 'r':
				plain = '\r'
			case 't':
				plain = '\t'
			default:
				return "", i, &JSONError{Offset: i, Problem: fmt.Sprintf("%q is no JSON escape", data[i:i+2])}
			}
			out = append(out, plain)
			i += 2
		}
	}
	return "", len(data), &JSONError{Offset: start - 1, Problem: "a string is not closed"}
}

func hex4(data []byte, at int) (rune, bool) {
	if at+4 > len(data) {
		return 0, false
	}
	var r rune
	for _, c := range data[at : at+4] {
		r <<= 4
		switch {
		case isDigit(c):
			r |= rune(c - '0')
		case c >= 'a' && c <= 'f':
			r |= rune(c - 'a' + 10)
		case c >= 'A' && c <= 'F':
			r |= rune(c - 'A' + 10)
		default:
			return 0, false
		}
	}
	return r, true
}

// AppendJSON appends the value as compact JSON; an absent value appends null.
func (v Value) AppendJSON(dst []byte) []byte {
	switch v.kind {
	case KindBool, KindNumber:
		return append(dst, v.text...)
	case KindString:
		return AppendJSONString(dst, v.text)
	case KindList:
		dst = append(dst, '[')
		for i, item := range v.Items() {
			if i > 0 {
				dst = append(dst, ',')
			}
			dst = item.AppendJSON(dst)
		}
		return append(dst, ']')
	case KindObject:
		return v.Fields().AppendJSON(dst)
	}
	return append(dst, "null"...)
}

// AppendJSON appends the attributes as one compact JSON object.
func (a Attributes) AppendJSON(dst []byte) []byte {
	dst = append(dst, '{')
	for i := range a {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = AppendJSONString(dst, a[i].Key)
		dst = append(dst, ':')
		dst = a[i].Value.AppendJSON(dst)
	}
	return append(dst, '}')
}

// MarshalJSON implements json.Marshaler.
func (v Value) MarshalJSON() ([]byte, error) { return v.AppendJSON(nil), nil }

const hexDigits = "0123456789abcdef"

// AppendJSONString appends s as a JSON string. Bytes that are not UTF-8 become
// U+FFFD, so the output is always valid; readers refuse such text beforehand.
func AppendJSONString(dst []byte, s string) []byte {
	dst = append(dst, '"')
	start := 0
	for i := 0; i < len(s); {
		c := s[i]
		if c >= utf8.RuneSelf {
			r, size := utf8.DecodeRuneInString(s[i:])
			if r == utf8.RuneError && size == 1 {
				dst = append(dst, s[start:i]...)
				dst = append(dst, "\uFFFD"...)
				start = i + 1
			}
			i += size
			continue
		}
		if c >= 0x20 && c != '"' && c != '\\' && c != 0x7f {
			i++
			continue
		}
		dst = append(dst, s[start:i]...)
		switch c {
		case '"', '\\':
			dst = append(dst, '\\', c)
		case '\n':
			dst = append(dst, `\n`...)
		case '\r':
			dst = append(dst, `\r`...)
		case '\t':
			dst = append(dst, `\t`...)
		default:
			dst = append(dst, '\\', 'u', '0', '0', hexDigits[c>>4], hexDigits[c&15])
		}
		i++
		start = i
	}
	dst = append(dst, s[start:]...)
	return append(dst, '"')
}
