// Writing: the table.

package shapefile

import (
	"encoding/binary"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// What a table holds (dBASE III; 20 digits and 15 decimals are what every
// reader takes).
const (
	maxName     = 10
	maxText     = 254
	maxDigits   = 20
	maxDecimals = 15
	maxFields   = 255
)

// column is one field to be written.
type column struct {
	key       string
	name      string
	attribute bool // not the feature's own role, name or id
	kind      byte // C, N or L
	size      int
	decimals  int
	value     func(*schema.Feature) schema.Value
}

// columnsOf chooses the fields of a layer.
func columnsOf(items []item, t *wire.Tally) []*column {
	var list []*column
	// An attribute of one of these names would be read as the feature's own.
	taken := map[string]bool{schema.PropID: true, schema.PropRole: true, schema.PropName: true}
	add := func(key string, attribute bool, value func(*schema.Feature) schema.Value) {
		if len(list) == maxFields {
			t.Add("field-limit", 0, "", "a table has at most %d fields; the attribute %q and those after it are left out", maxFields, key)
			return
		}
		c := &column{key: key, name: key, attribute: attribute, value: value}
		if attribute {
			c.name = fieldName(key, taken)
		}
		if c.name != key {
			t.Add("field-name", 0, "", "a field's name has at most %d bytes of letters and digits; the attribute %q is called %q", maxName, key, c.name)
		}
		c.fit(items, t)
		list = append(list, c)
	}
	names, ids := false, false
	for _, it := range items {
		names = names || it.f.Name != ""
		ids = ids || !it.f.ID.IsAbsent()
	}
	if ids {
		add(schema.PropID, false, func(f *schema.Feature) schema.Value { return f.ID })
	}
	add(schema.PropRole, false, func(f *schema.Feature) schema.Value {
		if v := f.Attributes.Get(schema.PropRole); v.Kind() == schema.KindString && (f.Role == schema.RoleOther || f.Role == "") {
			return v // an unknown word, or other, which reading keeps as an attribute again
		}
		if f.Role == schema.RoleOther {
			return schema.Value{} // not said
		}
		return schema.String(string(f.Role))
	})
	if names {
		add(schema.PropName, false, func(f *schema.Feature) schema.Value {
			if f.Name == "" {
				return schema.Value{}
			}
			return schema.String(f.Name)
		})
	}
	seen := map[string]bool{}
	for _, it := range items {
		for _, a := range it.f.Attributes {
			if seen[a.Key] || a.Key == schema.PropRole && a.Value.Kind() == schema.KindString {
				continue
			}
			seen[a.Key] = true
			key := a.Key
			add(key, true, func(f *schema.Feature) schema.Value { return f.Attributes.Get(key) })
		}
	}
	return list
}

// fieldName makes a name that a table can hold and that no other field has.
func fieldName(key string, taken map[string]bool) string {
	var b strings.Builder
	for _, r := range key {
		if r < 0x80 && r != '_' && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') || r == utf8.RuneError {
			r = '_'
		}
		b.WriteRune(r)
	}
	name := cutText(b.String(), maxName)
	if name == "" {
		name = "_"
	}
	base := name
	for n := 2; taken[strings.ToLower(name)]; n++ {
		tail := "_" + strconv.Itoa(n)
		name = cutText(base, maxName-len(tail)) + tail
	}
	taken[strings.ToLower(name)] = true
	return name
}

// cutText cuts a text to so many bytes, between two characters.
func cutText(s string, most int) string {
	if len(s) <= most {
		return s
	}
	for most > 0 && !utf8.RuneStart(s[most]) {
		most--
	}
	return s[:most]
}

// plain writes a number without an exponent; ok is false when a field cannot
// hold it exactly.
func plain(v schema.Value) (text string, ok bool) {
	text = v.Text()
	if strings.ContainsAny(text, "eE") {
		f, fits := v.Float()
		if !fits {
			return "", false
		}
		text = strconv.FormatFloat(f, 'f', -1, 64)
	}
	_, fraction, _ := strings.Cut(text, ".")
	return text, len(text) <= maxDigits && len(fraction) <= maxDecimals
}

// fit chooses type and size for the values there are.
func (c *column) fit(items []item, t *wire.Tally) {
	bools, numbers, others := 0, 0, 0
	whole, decimals, size := 1, 0, 1
	exact := true
	for _, it := range items {
		v := c.value(it.f)
		switch v.Kind() {
		case schema.KindAbsent, schema.KindNull:
			continue
		case schema.KindBool:
			bools++
		case schema.KindNumber:
			numbers++
			text, ok := plain(v)
			exact = exact && ok
			before, fraction, _ := strings.Cut(text, ".")
			whole, decimals = max(whole, len(before)), max(decimals, len(fraction))
		default:
			others++
		}
		size = max(size, len(c.cell(v)))
	}
	width := whole
	if decimals > 0 {
		width += 1 + decimals
	}
	switch {
	case bools > 0 && numbers+others == 0:
		c.kind, c.size = 'L', 1
	case numbers > 0 && bools+others == 0 && exact && width <= maxDigits:
		c.kind, c.size, c.decimals = 'N', width, decimals
	default:
		c.kind, c.size = 'C', min(size, maxText)
		if n := numbers + bools; n > 0 {
			t.AddN("value-as-text", n, 0, "", "numbers or truth values of the attribute %q do not fit one field exactly; they are written as text", c.key)
		}
	}
}

// cell is a value as text.
func (c *column) cell(v schema.Value) string {
	switch v.Kind() {
	case schema.KindList, schema.KindObject:
		return string(v.AppendJSON(nil))
	}
	return v.Text()
}

// append appends the cell of a feature.
func (c *column) append(dst []byte, f *schema.Feature, t *wire.Tally) []byte {
	v := c.value(f)
	text := c.cell(v)
	switch {
	case v.IsAbsent():
	case v.Kind() == schema.KindNull || text == "":
		t.Add("value-blank", 0, "", "a table has no null and no empty text; the attribute %q of %q is a blank cell", c.key, f.Label())
	case c.kind == 'L':
		text = strings.ToUpper(text[:1])
	case c.kind == 'N':
		text, _ = plain(v)
		before, fraction, _ := strings.Cut(text, ".")
		if c.decimals > 0 {
			text = before + "." + fraction + strings.Repeat("0", c.decimals-len(fraction))
		}
		return append(append(dst, strings.Repeat(" ", c.size-len(text))...), text...)
	case v.Kind() == schema.KindString:
		if text = strings.ReplaceAll(text, "\x00", ""); strings.TrimRight(text, " ") != v.Text() {
			t.Add("text-trimmed", 0, "", "a cell is filled with spaces, so those at the end of the attribute %q of %q are lost", c.key, f.Label())
		}
		if c.attribute && (strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[")) {
			if _, err := jsontext.Parse([]byte(text)); err == nil {
				t.Add("text-like-list", 0, "", "the text of the attribute %q of %q looks like a list and will be read as one", c.key, f.Label())
			}
		}
		if len(text) > maxText {
			t.Add("text-cut", 0, "", "a field holds %d bytes; the attribute %q of %q is cut", maxText, c.key, f.Label())
			text = cutText(text, maxText)
		}
	case len(text) > maxText:
		t.Add("value-too-long", 0, "", "a field holds %d bytes; the list or object %q of %q is left out", maxText, c.key, f.Label())
		text = ""
	}
	if v.IsAbsent() || v.Kind() == schema.KindNull {
		text = ""
	}
	if c.kind == 'L' && text == "" {
		text = "?"
	}
	return append(append(dst, text...), strings.Repeat(" ", c.size-len(text))...)
}

// tableFile makes a .dbf in UTF-8.
func tableFile(columns []*column, items []item, t *wire.Tally) ([]byte, error) {
	le := binary.LittleEndian
	size := 1
	for _, c := range columns {
		size += c.size
	}
	head := 32 + 32*len(columns) + 1
	if total := int64(head) + int64(size)*int64(len(items)); total > maxBytes {
		return nil, fmt.Errorf("a table would have %d bytes, more than the 2 GB that one holds; split the plan", total)
	}
	out := make([]byte, 32, head+size*len(items)+1)
	// The date of the last change is fixed, so that two runs give the same
	// bytes.
	out[0], out[1], out[2], out[3] = 3, 80, 1, 1
	le.PutUint32(out[4:], uint32(len(items)))
	le.PutUint16(out[8:], uint16(head))
	le.PutUint16(out[10:], uint16(size))
	for _, c := range columns {
		var d [32]byte
		copy(d[:maxName], c.name)
		d[11], d[16], d[17] = c.kind, byte(c.size), byte(c.decimals)
		out = append(out, d[:]...)
	}
	out = append(out, 0x0d)
	for _, it := range items {
		out = append(out, ' ')
		for _, c := range columns {
			out = c.append(out, it.f, t)
		}
	}
	return append(out, 0x1a), nil
}
