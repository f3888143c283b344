// Package jsontext reads attribute values from JSON text: what every format
// falls back on for nested values. Strict: duplicate keys, bad escapes and deep
// nests are errors with the byte where they stand.
package jsontext

import (
	"fmt"
	"unicode/utf16"
	"unicode/utf8"

	"swardline/convert/wire"
	"swardline/schema"
)

// Error is a fault in JSON text, at a byte offset from its start.
type Error struct {
	Offset  int
	Problem string
	// TooDeep is true when the fault is nesting past what was allowed.
	TooDeep bool
}

// Error implements error.
func (e *Error) Error() string { return fmt.Sprintf("%s (byte %d)", e.Problem, e.Offset) }

// Parse reads one whole JSON text into a Value. Errors are *Error.
func Parse(data []byte) (schema.Value, error) {
	v, at, err := ParseAt(data, 0, schema.MaxNesting)
	if err != nil {
		return schema.Value{}, err
	}
	at = SkipSpace(data, at)
	if at != len(data) {
		return schema.Value{}, &Error{Offset: at, Problem: "something stands after the end of the value"}
	}
	return v, nil
}

// SkipSpace returns the first index from at that is no JSON white space.
func SkipSpace(data []byte, at int) int {
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

// ParseAt reads the value that starts at or after data[at] and returns the
// index behind it. nesting is how many levels of list and object it may hold.
// Errors are *Error.
func ParseAt(data []byte, at, nesting int) (schema.Value, int, error) {
	at = SkipSpace(data, at)
	if at >= len(data) {
		return schema.Value{}, at, &Error{Offset: at, Problem: "the text ends where a value should stand"}
	}
	switch c := data[at]; {
	case c == '"':
		s, next, err := ParseString(data, at)
		return schema.String(s), next, err
	case c == '{':
		if nesting <= 0 {
			return schema.Value{}, at, TooDeep(at)
		}
		return parseObject(data, at, nesting-1)
	case c == '[':
		if nesting <= 0 {
			return schema.Value{}, at, TooDeep(at)
		}
		return parseList(data, at, nesting-1)
	case c == '-' || wire.IsDigit(c):
		end := at
		for end < len(data) && wire.IsNumberByte(data[end]) {
			end++
		}
		v, ok := schema.Number(string(data[at:end]))
		if !ok && schema.IsNumber(string(data[at:end])) {
			return schema.Value{}, at, &Error{Offset: at, Problem: fmt.Sprintf("%s is past the range of numbers (about 1.8e308)", wire.Clip(data[at:end], 24))}
		}
		if !ok {
			return schema.Value{}, at, &Error{Offset: at, Problem: fmt.Sprintf("%q is not a number in JSON's form", wire.Clip(data[at:end], 24))}
		}
		return v, end, nil
	}
	for _, w := range [...]struct {
		word string
		v    schema.Value
	}{{"true", schema.Bool(true)}, {"false", schema.Bool(false)}, {"null", schema.Null()}} {
		if len(data)-at >= len(w.word) && string(data[at:at+len(w.word)]) == w.word {
			return w.v, at + len(w.word), nil
		}
	}
	end := at
	for end < len(data) && end-at < 12 && wire.IsLetter(data[end]) {
		end++
	}
	if end == at {
		_, size := utf8.DecodeRune(data[at:])
		end += size
	}
	return schema.Value{}, at, &Error{Offset: at, Problem: fmt.Sprintf("%q is no JSON value", wire.Clip(data[at:end], 24))}
}

// TooDeep is the error for nesting past what was allowed, at a byte offset.
func TooDeep(at int) error {
	return &Error{Offset: at, Problem: fmt.Sprintf("lists and objects nest more than %d deep (limit input_max_nesting)", schema.MaxNesting), TooDeep: true}
}

func parseList(data []byte, at, nesting int) (schema.Value, int, error) {
	at = SkipSpace(data, at+1)
	items := []schema.Value{}
	if at < len(data) && data[at] == ']' {
		return schema.List(items...), at + 1, nil
	}
	for {
		v, next, err := ParseAt(data, at, nesting)
		if err != nil {
			return schema.Value{}, next, err
		}
		items = append(items, v)
		at = SkipSpace(data, next)
		switch {
		case at >= len(data):
			return schema.Value{}, at, &Error{Offset: at, Problem: "the text ends inside a list"}
		case data[at] == ',':
			at++
		case data[at] == ']':
			return schema.List(items...), at + 1, nil
		default:
			return schema.Value{}, at, &Error{Offset: at, Problem: fmt.Sprintf("%q stands where a comma or ] should", data[at])}
		}
	}
}

func parseObject(data []byte, at, nesting int) (schema.Value, int, error) {
	at = SkipSpace(data, at+1)
	fields := schema.Attributes{}
	if at < len(data) && data[at] == '}' {
		return schema.Object(fields), at + 1, nil
	}
	var seen map[string]bool // only for wide objects; a scan serves small ones
	for {
		at = SkipSpace(data, at)
		if at >= len(data) || data[at] != '"' {
			return schema.Value{}, at, &Error{Offset: at, Problem: "a key in double quotes should stand here"}
		}
		keyAt := at
		key, next, err := ParseString(data, at)
		if err != nil {
			return schema.Value{}, next, err
		}
		at = SkipSpace(data, next)
		if at >= len(data) || data[at] != ':' {
			return schema.Value{}, at, &Error{Offset: at, Problem: fmt.Sprintf("a colon should follow the key %q", wire.Clip([]byte(key), 24))}
		}
		v, next, err := ParseAt(data, at+1, nesting)
		if err != nil {
			return schema.Value{}, next, err
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
			return schema.Value{}, keyAt, &Error{Offset: keyAt, Problem: fmt.Sprintf("the key %q stands twice in one object", wire.Clip([]byte(key), 24))}
		}
		fields = append(fields, schema.Attribute{Key: key, Value: v})
		at = SkipSpace(data, next)
		switch {
		case at >= len(data):
			return schema.Value{}, at, &Error{Offset: at, Problem: "the text ends inside an object"}
		case data[at] == ',':
			at++
		case data[at] == '}':
			return schema.Object(fields), at + 1, nil
		default:
			return schema.Value{}, at, &Error{Offset: at, Problem: fmt.Sprintf("%q stands where a comma or } should", data[at])}
		}
	}
}

// ParseString reads the string whose opening quote is data[at] and returns
// the index behind its closing quote. Errors are *Error.
func ParseString(data []byte, at int) (string, int, error) {
	start := at + 1
	for i := start; i < len(data); i++ {
		switch c := data[i]; {
		case c == '"':
			if !utf8.Valid(data[start:i]) {
				return "", at, &Error{Offset: at, Problem: "the text is not UTF-8"}
			}
			return string(data[start:i]), i + 1, nil
		case c == '\\':
			return parseEscapedString(data, start, i)
		case c < 0x20:
			return "", i, &Error{Offset: i, Problem: "a control character stands bare inside a string"}
		}
	}
	return "", len(data), &Error{Offset: at, Problem: "a string is not closed"}
}

func parseEscapedString(data []byte, start, i int) (string, int, error) {
	out := append(make([]byte, 0, 2*(i-start)+16), data[start:i]...)
	for i < len(data) {
		c := data[i]
		switch {
		case c == '"':
			if !utf8.Valid(out) {
				return "", start, &Error{Offset: start, Problem: "the text is not UTF-8"}
			}
			return string(out), i + 1, nil
		case c < 0x20:
			return "", i, &Error{Offset: i, Problem: "a control character stands bare inside a string"}
		case c != '\\':
			out = append(out, c)
			i++
		case i+1 >= len(data):
			return "", i, &Error{Offset: i, Problem: "a string is not closed"}
		case data[i+1] == 'u':
			r, ok := hex4(data, i+2)
			if !ok {
				return "", i, &Error{Offset: i, Problem: `\u must be followed by four hexadecimal digits`}
			}
			i += 6
			if utf16.IsSurrogate(r) {
				low, ok := rune(0), false
				if i+1 < len(data) && data[i] == '\\' && data[i+1] == 'u' {
					low, ok = hex4(data, i+2)
				}
				r = utf16.DecodeRune(r, low)
				if !ok || r == utf8.RuneError {
					return "", i - 6, &Error{Offset: i - 6, Problem: "half of a surrogate pair stands alone"}
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
				return "", i, &Error{Offset: i, Problem: fmt.Sprintf("%q is no JSON escape", data[i:i+2])}
			}
			out = append(out, plain)
			i += 2
		}
	}
	return "", len(data), &Error{Offset: start - 1, Problem: "a string is not closed"}
}

func hex4(data []byte, at int) (rune, bool) {
	if at+4 > len(data) {
		return 0, false
	}
	var r rune
	for _, c := range data[at : at+4] {
		r <<= 4
		switch {
		case wire.IsDigit(c):
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
