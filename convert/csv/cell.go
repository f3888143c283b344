// Cells and values: the one rule by which a cell's text is a typed value, and
// its inverse.

package csv

import (
	"strings"

	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// valueOf returns the value that a cell of an attribute column stands for: an
// empty cell is absent; a number in JSON's form, true, false and null are what
// they look like; a text in JSON's quotes, a JSON list and a JSON object are
// those; everything else is text as it stands. So 5 is a number and 007 a text.
func valueOf(text string) schema.Value {
	if text == "" {
		return schema.Value{}
	}
	switch c := text[0]; {
	case c == '-' || c >= '0' && c <= '9':
		if v, ok := schema.Number(text); ok {
			return v
		}
	case c == 't' && text == "true":
		return schema.Bool(true)
	case c == 'f' && text == "false":
		return schema.Bool(false)
	case c == 'n' && text == "null":
		return schema.Null()
	case c == '"' || c == '[' || c == '{':
		if v, err := jsontext.Parse([]byte(text)); err == nil {
			return v
		}
	}
	return schema.String(text)
}

// appendValue appends the cell text that valueOf reads as v. An absent value
// has the empty text.
func appendValue(dst []byte, v schema.Value) []byte {
	switch v.Kind() {
	case schema.KindAbsent:
		return dst
	case schema.KindString:
		s := v.Text()
		if !bareText(s) {
			return schema.AppendJSONString(dst, s)
		}
		if back := valueOf(s); back.Kind() != schema.KindString || back.Text() != s {
			return schema.AppendJSONString(dst, s)
		}
		return append(dst, s...)
	}
	return v.AppendJSON(dst)
}

// bareText reports whether a cell can hold the text as it stands: line ends and
// tabs it can, other control characters would make the file look damaged.
func bareText(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < 0x20 && c != '\n' && c != '\r' && c != '\t' {
			return false
		}
	}
	return true
}

// textOf returns the text of a cell in a column of plain text, such as name:
// as it stands, unless it is a text in JSON's quotes.
func textOf(text string) string {
	if strings.HasPrefix(text, `"`) {
		if v, err := jsontext.Parse([]byte(text)); err == nil {
			return v.Text()
		}
	}
	return text
}

// appendText appends the cell text that textOf reads as s.
func appendText(dst []byte, s string) []byte {
	if bareText(s) && textOf(s) == s {
		return append(dst, s...)
	}
	return schema.AppendJSONString(dst, s)
}

// idOf returns the id that a cell stands for: absent, a number, or a text.
func idOf(text string) schema.Value {
	if text == "" {
		return schema.Value{}
	}
	if v, ok := schema.Number(text); ok {
		return v
	}
	return schema.String(textOf(text))
}

// appendID appends the cell text that idOf reads as id. An id that is neither a
// number nor a text, which no plan has, is left out.
func appendID(dst []byte, id schema.Value) []byte {
	switch id.Kind() {
	case schema.KindNumber:
		return append(dst, id.Text()...)
	case schema.KindString:
		s := id.Text()
		if back := idOf(s); bareText(s) && back.Kind() == schema.KindString && back.Text() == s {
			return append(dst, s...)
		}
		return schema.AppendJSONString(dst, s)
	}
	return dst
}

// appendCell appends a cell's text, in quotes where RFC 4180 asks for them and
// where white space at its ends would look like padding, and the first of a row where it
// would look like a remark.
func appendCell(dst []byte, text []byte) []byte {
	plain := !(len(dst) == 0 || dst[len(dst)-1] == '\n') || !isRemark(text)
	for _, c := range text {
		if c == ',' || c == '"' || c == '\n' || c == '\r' {
			plain = false
			break
		}
	}
	if plain && (len(text) == 0 || !isBlank(text[0]) && !isBlank(text[len(text)-1])) {
		return append(dst, text...)
	}
	dst = append(dst, '"')
	for _, c := range text {
		if c == '"' {
			dst = append(dst, '"')
		}
		dst = append(dst, c)
	}
	return append(dst, '"')
}
