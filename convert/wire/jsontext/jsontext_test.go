// Tests of reading values from JSON text.

package jsontext

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"swardline/schema"
)

func TestParseKeepsWhatIsWritten(t *testing.T) {
	for _, text := range []string{
		"null", "true", "false", "0", "-0", "1.0", "1e3", "1E+3", "-2.50e-7", "12345678901234567890", "0.30000000000000004", "5e-324",
		`""`, `"7"`, `"1e3"`, `"a\nb\t\"\\"`, `"é緑😀"`, "[]", "{}", "[null,[1,[2]],{}]", `{"b":1,"a":{"z":[],"y":null}}`, `{"":1," ":2}`,
	} {
		v, err := Parse([]byte(text))
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if got := string(v.AppendJSON(nil)); got != text {
			t.Errorf("%s came back as %s", text, got)
		}
		spaced := " \t\n" + strings.NewReplacer("[", "[ ", ",", " , ", ":", " : ", "]", "\r\n]").Replace(text) + "\n"
		if !strings.Contains(text, `"`) || strings.HasPrefix(text, "{\"b") {
			w, err := Parse([]byte(spaced))
			if err != nil || !w.Equal(v) {
				t.Errorf("with white space %q: %v", spaced, err)
			}
		}
	}
}

func TestParseEscapes(t *testing.T) {
	tests := []struct{ text, want string }{
		{`"\u00e9\u7dd1\ud83d\ude00"`, "é緑😀"}, {`"\"\\\/\b\f\n\r\t"`, "\"\\/\b\f\n\r\t"}, {`"\u0000\u001f"`, "\x00\x1f"}, {`"é\u0041"`, "éA"},
		{`"a\n b"`, "a\n b"}, {`"\uabcd\uABCD\uafAF\u0099"`, "\uabcd\uabcd\uafaf\u0099"}, {`"\u00e9"`, "é"},
	}
	for _, tt := range tests {
		v, err := Parse([]byte(tt.text))
		if err != nil || v.Kind() != schema.KindString || v.Text() != tt.want {
			t.Errorf("%s: %q, %v", tt.text, v.Text(), err)
		}
	}
}

func TestParseErrors(t *testing.T) {
	tests := []struct {
		text    string
		offset  int
		problem string
	}{
		{"", 0, "the text ends where a value should stand"},
		{"nul", 0, `"nul" is no JSON value`},
		{"NaN", 0, `"NaN" is no JSON value`},
		{"-Infinity", 0, `"-" is not a number in JSON's form`},
		{"é", 0, `"é" is no JSON value`},
		{"[tru", 1, `"tru" is no JSON value`},
		{"[abcdefghijklmnop]", 1, `"abcdefghijkl" is no JSON value`},
		{"[", 1, "the text ends where a value should stand"},
		{`{"a"`, 4, `a colon should follow the key "a"`},
		{`"ab\n`, 0, "a string is not closed"},
		{`"\ud83d`, 1, "half of a surrogate pair stands alone"},
		{`"\ud83d\`, 1, "half of a surrogate pair stands alone"},
		{`"\ud83dxu1234"`, 1, "half of a surrogate pair stands alone"},
		{`"\u123`, 1, `\u must be followed by four hexadecimal digits`},
		{`"\u123G"`, 1, `\u must be followed by four hexadecimal digits`},
		{`"\u123@"`, 1, `\u must be followed by four hexadecimal digits`},
		{"\"\\u123`\"", 1, `\u must be followed by four hexadecimal digits`},
		{"1 2", 2, "something stands after the end of the value"},
		{"truex", 4, "something stands after the end of the value"},
		{"01", 0, `"01" is not a number in JSON's form`},
		{"1.", 0, `"1." is not a number in JSON's form`},
		{"+1", 0, `"+" is no JSON value`},
		{"1e400", 0, "1e400 is past the range of numbers (about 1.8e308)"},
		{"[-1E999]", 1, "-1E999 is past the range of numbers (about 1.8e308)"},
		{strings.Repeat("9", 400), 0, strings.Repeat("9", 24) + "... is past the range of numbers (about 1.8e308)"},
		{"[1,]", 3, `"]" is no JSON value`},
		{"[1", 2, "the text ends inside a list"},
		{"[1 2]", 3, `'2' stands where a comma or ] should`},
		{"{", 1, "a key in double quotes should stand here"},
		{"{a:1}", 1, "a key in double quotes should stand here"},
		{`{"a":1,}`, 7, "a key in double quotes should stand here"},
		{`{"a" 1}`, 5, `a colon should follow the key "a"`},
		{`{"a":1 "b":2}`, 7, `'"' stands where a comma or } should`},
		{`{"a":1`, 6, "the text ends inside an object"},
		{`{"a":1,"b":2,"a":3}`, 13, `the key "a" stands twice in one object`},
		{`{"a":1,"\u0061":3}`, 7, `the key "a" stands twice in one object`},
		{`"abc`, 0, "a string is not closed"},
		{`"ab\`, 3, "a string is not closed"},
		{"\"a\x01\"", 2, "a control character stands bare inside a string"},
		{"\"a\\n\x01\"", 4, "a control character stands bare inside a string"},
		{"\"a\nb\"", 2, "a control character stands bare inside a string"},
		{`"\x"`, 1, `"\\x" is no JSON escape`},
		{`"\u12g4"`, 1, `\u must be followed by four hexadecimal digits`},
		{`"\u12`, 1, `\u must be followed by four hexadecimal digits`},
		{`"\ud83d"`, 1, "half of a surrogate pair stands alone"},
		{`"\ude00\ud83d"`, 1, "half of a surrogate pair stands alone"},
		{`"\ud83d\u0041"`, 1, "half of a surrogate pair stands alone"},
		{"\"\xff\"", 0, "the text is not UTF-8"},
		{"\"\\n\xc3\"", 1, "the text is not UTF-8"},
	}
	for _, tt := range tests {
		// What stands behind the text in memory is none of it.
		v, err := Parse([]byte(tt.text + `e]"1234`)[:len(tt.text)])
		var j *Error
		if !errors.As(err, &j) {
			t.Errorf("%q: got %s, %v", tt.text, v.AppendJSON(nil), err)
			continue
		}
		if j.Offset != tt.offset || j.Problem != tt.problem || j.TooDeep {
			t.Errorf("%q: got byte %d, %s; want byte %d, %s", tt.text, j.Offset, j.Problem, tt.offset, tt.problem)
		}
	}
	wide := "{"
	for i := 0; i < 40; i++ {
		wide += fmt.Sprintf(`"k%d":%d,`, i, i)
	}
	if _, err := Parse([]byte(wide + `"k20":1}`)); err == nil || !strings.Contains(err.Error(), `"k20" stands twice`) {
		t.Errorf("a key that stands twice in a wide object: %v", err)
	}
	if v, err := Parse([]byte(wide + `"k40":1}`)); err != nil || len(v.Fields()) != 41 {
		t.Errorf("a wide object: %v", err)
	}
}

func TestParseNesting(t *testing.T) {
	nest := func(n int, open, close string) []byte {
		return []byte(strings.Repeat(open, n) + "1" + strings.Repeat(close, n))
	}
	for _, mark := range [][2]string{{"[", "]"}, {`{"a":`, "}"}} {
		if _, err := Parse(nest(schema.MaxNesting, mark[0], mark[1])); err != nil {
			t.Errorf("%d deep: %v", schema.MaxNesting, err)
		}
		_, err := Parse(nest(schema.MaxNesting+1, mark[0], mark[1]))
		var j *Error
		if !errors.As(err, &j) || !j.TooDeep || !strings.Contains(j.Problem, "input_max_nesting") {
			t.Errorf("%d deep: %v", schema.MaxNesting+1, err)
		}
		if _, err := Parse(nest(1_000_000, mark[0], mark[1])); err == nil {
			t.Error("a million deep: no error")
		}
	}
	if _, _, err := ParseAt(nest(3, "[", "]"), 0, 2); err == nil {
		t.Error("three levels where two are allowed")
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"", "null", `{"a":[1,2.50,-0,1e5,"x\n\u00e9\ud83d\ude00",{"b":null}],"":true}`, "[[[[]]]]", `{"a":1,"a":2}`, "1e400", "\"\xff\"", "[1,]", `"\ud800"`, "01", "  {} x"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		v, err := Parse(data)
		var other any
		standard := json.Unmarshal(data, &other)
		if err != nil {
			var j *Error
			if !errors.As(err, &j) || j.Offset < 0 || j.Offset > len(data) || j.Problem == "" || strings.ContainsAny(j.Problem, "\n\r") {
				t.Fatalf("no clear error: %#v", err)
			}
			return
		}
		// What is stricter here (duplicate keys, bad UTF-8, lone surrogates,
		// depth, range) is an error above; what passes must pass the standard
		// library, too.
		if standard != nil {
			t.Fatalf("encoding/json refuses it: %v", standard)
		}
		text := v.AppendJSON(nil)
		w, err := Parse(text)
		if err != nil || !w.Equal(v) {
			t.Fatalf("%s: %v", text, err)
		}
		var again any
		if err := json.Unmarshal(text, &again); err != nil || fmt.Sprint(again) != fmt.Sprint(other) {
			t.Fatalf("%s means %v, not %v (%v)", text, again, other, err)
		}
	})
}
