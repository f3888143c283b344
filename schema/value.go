// Typed attribute values that keep what a file said: a number keeps its digits,
// a text that looks like a number stays a text, and nesting keeps its order.

package schema

import (
	"math"
	"strconv"
)

// ValueKind says what a Value holds.
type ValueKind uint8

// The kinds of value. KindAbsent is the zero Value: nothing was there at all,
// which is not the same as a null.
const (
	KindAbsent ValueKind = iota
	KindNull
	KindBool
	KindNumber
	KindString
	KindList
	KindObject
)

var kindNames = [...]string{"absent", "null", "bool", "number", "string", "list", "object"}

// String returns the kind's name as used in messages.
func (k ValueKind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "kind " + strconv.Itoa(int(k))
}

// Value is one attribute value. It is immutable by convention: the slices that
// Items and Fields return belong to the value and are not to be changed.
//
// A number is held as its text, so 12345678901234567890, 1.0 and 1e3 all come
// back exactly as they were written.
type Value struct {
	kind ValueKind
	text string
	more any // []Value or Attributes
}

// Null returns the explicit null value.
func Null() Value { return Value{kind: KindNull} }

// Bool returns a truth value.
func Bool(b bool) Value {
	if b {
		return Value{kind: KindBool, text: "true"}
	}
	return Value{kind: KindBool, text: "false"}
}

// String returns a text value. A text that looks like a number stays a text.
func String(s string) Value { return Value{kind: KindString, text: s} }

// Number returns a number held by its text, which must be a JSON number (RFC
// 8259 section 6); ok is false when it is not, and when it is past the range of
// a float64 (about 1.8e308), which no reader of JSON need take.
func Number(text string) (v Value, ok bool) {
	if !IsNumber(text) || !inRange(text) {
		return Value{}, false
	}
	return Value{kind: KindNumber, text: text}, true
}

// Float returns a number value with the shortest digits that give f back.
// A value JSON cannot write (NaN or infinite) becomes null.
func Float(f float64) Value {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return Null()
	}
	return Value{kind: KindNumber, text: strconv.FormatFloat(f, 'f', -1, 64)}
}

// Int returns a whole number value.
func Int(i int64) Value { return Value{kind: KindNumber, text: strconv.FormatInt(i, 10)} }

// List returns a list value.
func List(items ...Value) Value { return Value{kind: KindList, more: items} }

// Object returns an ordered object value.
func Object(fields Attributes) Value { return Value{kind: KindObject, more: fields} }

// Kind says what the value holds.
func (v Value) Kind() ValueKind { return v.kind }

// IsAbsent reports whether there is no value at all.
func (v Value) IsAbsent() bool { return v.kind == KindAbsent }

// Text returns the text of a string, the digits of a number, "true" or "false"
// for a bool, and "" for the rest.
func (v Value) Text() string { return v.text }

// Float returns the number as a float64; ok is false for any other kind and
// for numbers past the range of a float64.
func (v Value) Float() (f float64, ok bool) {
	if v.kind != KindNumber {
		return 0, false
	}
	f, err := strconv.ParseFloat(v.text, 64)
	return f, err == nil
}

// Truth returns the truth value; ok is false for any other kind.
func (v Value) Truth() (b, ok bool) { return v.text == "true", v.kind == KindBool }

// Items returns a list's values, nil for any other kind.
func (v Value) Items() []Value {
	items, _ := v.more.([]Value)
	return items
}

// Fields returns an object's fields in order, nil for any other kind.
func (v Value) Fields() Attributes {
	fields, _ := v.more.(Attributes)
	return fields
}

// Equal reports whether both values are of one kind and hold the same, digits
// and order included: 1 and 1.0 differ.
func (v Value) Equal(w Value) bool {
	if v.kind != w.kind || v.text != w.text {
		return false
	}
	switch v.kind {
	case KindList:
		a, b := v.Items(), w.Items()
		if len(a) != len(b) {
			return false
		}
		for i := range a {
			if !a[i].Equal(b[i]) {
				return false
			}
		}
	case KindObject:
		return v.Fields().Equal(w.Fields())
	}
	return true
}

// IsNumber reports whether s is a number in JSON's form (RFC 8259 section 6).
// Go's own ParseFloat takes more: inf, NaN, hexadecimal, underscores.
func IsNumber(s string) bool {
	i, n := 0, len(s)
	if i < n && s[i] == '-' {
		i++
	}
	switch {
	case i < n && s[i] == '0':
		i++
	case i < n && s[i] >= '1' && s[i] <= '9':
		for i < n && isDigit(s[i]) {
			i++
		}
	default:
		return false
	}
	if i < n && s[i] == '.' {
		i++
		if i >= n || !isDigit(s[i]) {
			return false
		}
		for i < n && isDigit(s[i]) {
			i++
		}
	}
	if i < n && (s[i] == 'e' || s[i] == 'E') {
		i++
		if i < n && (s[i] == '+' || s[i] == '-') {
			i++
		}
		if i >= n || !isDigit(s[i]) {
			return false
		}
		for i < n && isDigit(s[i]) {
			i++
		}
	}
	return i == n && n > 0
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// Attribute is one key with its value.
type Attribute struct {
	Key   string
	Value Value
}

// Attributes is an ordered list of attributes with unique keys.
type Attributes []Attribute

// Get returns the value of key, the absent Value when there is none.
func (a Attributes) Get(key string) Value {
	for i := range a {
		if a[i].Key == key {
			return a[i].Value
		}
	}
	return Value{}
}

// Has reports whether key is there, whatever it holds.
func (a Attributes) Has(key string) bool { return !a.Get(key).IsAbsent() }

// Set replaces the value of key where it stands, or appends it.
func (a *Attributes) Set(key string, v Value) {
	for i := range *a {
		if (*a)[i].Key == key {
			(*a)[i].Value = v
			return
		}
	}
	*a = append(*a, Attribute{key, v})
}

// Delete removes key; the others keep their order.
func (a *Attributes) Delete(key string) {
	for i := range *a {
		if (*a)[i].Key == key {
			*a = append((*a)[:i], (*a)[i+1:]...)
			return
		}
	}
}

// Clone returns a copy whose top level can be changed on its own.
func (a Attributes) Clone() Attributes {
	if a == nil {
		return nil
	}
	return append(Attributes(nil), a...)
}

// Equal reports whether both hold the same attributes in the same order.
func (a Attributes) Equal(b Attributes) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Key != b[i].Key || !a[i].Value.Equal(b[i].Value) {
			return false
		}
	}
	return true
}
