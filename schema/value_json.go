// Attribute values as JSON text.

package schema

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// MaxNesting is how deep lists and objects may nest in an attribute value.
// It keeps a hostile file from exhausting the stack; 32 is far past any plan.
const MaxNesting = 32

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

// UnmarshalJSON implements json.Unmarshaler: keys keep their order, numbers
// their digits. A key that stands twice in one object is an error.
func (v *Value) UnmarshalJSON(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	var err error
	*v, err = decodeValue(dec, 0)
	return err
}

func decodeValue(dec *json.Decoder, depth int) (Value, error) {
	token, err := dec.Token()
	if err != nil {
		return Value{}, err
	}
	switch t := token.(type) {
	case nil:
		return Null(), nil
	case bool:
		return Bool(t), nil
	case string:
		return String(t), nil
	case json.Number:
		n, ok := Number(t.String())
		if !ok {
			return Value{}, fmt.Errorf("%s is past the range of numbers (about 1.8e308)", t)
		}
		return n, nil
	}
	if depth == MaxNesting {
		return Value{}, fmt.Errorf("lists and objects nest more than %d deep", MaxNesting)
	}
	items, fields := []Value{}, Attributes{}
	for dec.More() {
		key := ""
		if token == json.Delim('{') {
			k, err := dec.Token()
			if err != nil {
				return Value{}, err
			}
			if key = k.(string); fields.Has(key) {
				return Value{}, fmt.Errorf("the key %q stands twice in one object", key)
			}
		}
		item, err := decodeValue(dec, depth+1)
		if err != nil {
			return Value{}, err
		}
		items, fields = append(items, item), append(fields, Attribute{key, item})
	}
	if _, err := dec.Token(); err != nil {
		return Value{}, err
	}
	if token == json.Delim('{') {
		return Object(fields), nil
	}
	return List(items...), nil
}

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
