// Tests of typed values and of their JSON form.

package schema

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestValueFromJSON(t *testing.T) {
	for _, text := range []string{"null", "true", "-2.50e-7", "12345678901234567890", `"é\n"`, "[]", "{}", `[null,[1,[2]],{}]`, `{"b":1,"a":{"z":[],"y":null}}`} {
		var v Value
		if err := json.Unmarshal([]byte(text), &v); err != nil || string(v.AppendJSON(nil)) != text {
			t.Errorf("%s came back as %s, %v", text, v.AppendJSON(nil), err)
		}
	}
	nest := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	for text, want := range map[string]string{`{"a":1,"a":2}`: `the key "a" stands twice`, "[1e400]": "past the range", nest(MaxNesting + 1): "nest more than 32 deep"} {
		var v Value
		if err := json.Unmarshal([]byte(text), &v); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
	var v Value
	if err := json.Unmarshal([]byte(nest(MaxNesting)), &v); err != nil {
		t.Error(err)
	}
}

func TestValueKinds(t *testing.T) {
	n, ok := Number("1.50")
	if !ok || n.Text() != "1.50" {
		t.Errorf("Number: %v %v", n, ok)
	}
	for _, bad := range []string{"", "-", "NaN", "inf", "0x1p-2", "1_000", "01", "1.", ".5", "+1", "1e", "1e+", " 1", "1 "} {
		if _, ok := Number(bad); ok {
			t.Errorf("Number(%q) is one", bad)
		}
	}
	tests := []struct {
		v    Value
		kind ValueKind
		json string
	}{
		{Value{}, KindAbsent, "null"}, {Null(), KindNull, "null"}, {Bool(true), KindBool, "true"}, {Bool(false), KindBool, "false"},
		{n, KindNumber, "1.50"}, {Float(0.1), KindNumber, "0.1"}, {Float(1e21), KindNumber, "1000000000000000000000"}, {Float(math.NaN()), KindNull, "null"}, {Float(math.Inf(-1)), KindNull, "null"},
		{Int(-7), KindNumber, "-7"}, {String("7"), KindString, `"7"`}, {List(), KindList, "[]"}, {List(Int(1), Null()), KindList, "[1,null]"},
		{Object(Attributes{{"a", Int(1)}}), KindObject, `{"a":1}`}, {Object(nil), KindObject, "{}"},
	}
	for i, tt := range tests {
		if tt.v.Kind() != tt.kind || string(tt.v.AppendJSON(nil)) != tt.json {
			t.Errorf("value %d: %v %s, want %v %s", i, tt.v.Kind(), tt.v.AppendJSON(nil), tt.kind, tt.json)
		}
		if b, err := json.Marshal(tt.v); err != nil || string(b) != tt.json {
			t.Errorf("value %d marshals to %s, %v", i, b, err)
		}
		for k, other := range tests {
			same := tt.kind == other.kind && tt.json == other.json
			if tt.v.Equal(other.v) != same {
				t.Errorf("values %d and %d: equal is %v", i, k, !same)
			}
		}
	}
	if one, _ := Number("1"); one.Equal(func() Value { v, _ := Number("1.0"); return v }()) {
		t.Error("1 equals 1.0")
	}
	if f, ok := Float(2.5).Float(); !ok || f != 2.5 {
		t.Errorf("Float: %v %v", f, ok)
	}
	if _, ok := String("2.5").Float(); ok {
		t.Error("a text is a number")
	}
	huge, _ := Number("1e999")
	if _, ok := huge.Float(); ok {
		t.Error("1e999 fits a float64")
	}
	if b, ok := Bool(true).Truth(); !ok || !b {
		t.Error("true is not true")
	}
	if _, ok := String("true").Truth(); ok {
		t.Error("a text is a truth value")
	}
	if s := ValueKind(99).String(); s != "kind 99" {
		t.Error(s)
	}
}

func TestAttributes(t *testing.T) {
	var a Attributes
	a.Set("x", Int(1))
	a.Set("y", Int(2))
	a.Set("z", Null())
	b := a.Clone()
	b.Set("x", Int(9))
	b.Delete("y")
	b.Delete("none")
	if got := string(a.AppendJSON(nil)); got != `{"x":1,"y":2,"z":null}` {
		t.Errorf("the first changed with its clone: %s", got)
	}
	if got := string(b.AppendJSON(nil)); got != `{"x":9,"z":null}` {
		t.Error(got)
	}
	if !a.Has("z") || a.Has("none") || !a.Get("none").IsAbsent() || a.Get("z").IsAbsent() {
		t.Error("Has and Get disagree about a null")
	}
	if a.Equal(b) || !a.Equal(a.Clone()) || a.Equal(a[:2]) || (Attributes{a[1], a[0], a[2]}).Equal(a) {
		t.Error("Equal is wrong about values, length or order")
	}
	if Attributes(nil).Clone() != nil {
		t.Error("the clone of none is some")
	}
}

func TestAppendJSONStringIsAlwaysJSON(t *testing.T) {
	for _, s := range []string{"", "plain", "\"\\/\b\f\n\r\t\x00\x1f\x7f", "é緑😀\u2028", "\xff", "a\xc3", "\xed\xa0\x80b", "\ufffd"} {
		b := AppendJSONString(nil, s)
		var got string
		if err := json.Unmarshal(b, &got); err != nil {
			t.Errorf("%q: %s: %v", s, b, err)
			continue
		}
		if utf8.ValidString(s) && got != s {
			t.Errorf("%q came back as %q", s, got)
		}
		if !utf8.Valid(b) {
			t.Errorf("%q: %q is not UTF-8", s, b)
		}
	}
}
