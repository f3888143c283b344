// Tests of encodings: told, declared, marked and guessed.

package charset

import (
	"strings"
	"testing"

	"swardline/convert/wire"
)

func TestText(t *testing.T) {
	for _, tt := range []struct{ name, in, told, want, err string }{
		{"UTF-8", "gr\u00fcn", "", "gr\u00fcn", ""},
		{"UTF-16 little end first", "\xff\xfeg\x00\xfc\x00", "", "g\u00fc", ""},
		{"UTF-16 big end first", "\xfe\xff\x00g\x00\xfc", "", "g\u00fc", ""},
		{"UTF-16 without a mark", "a\x00b\x00c\x00", "", "abc", ""},
		{"the least of it", "a\x00b\x00", "", "ab", ""},
		{"UTF-16 without a mark, big end first", "\x00a\x00b\x00c", "", "abc", ""},
		{"the least of that", "\x00a\x00b", "", "ab", ""},
		{"too short to tell", "\x00a\x00", "", "\x00a\x00", ""},
		{"zeros that are no UTF-16", "\x00ab\x00", "", "\x00ab\x00", ""},
		{"nor these", "\x00a\x00\x00", "", "\x00a\x00\x00", ""},
		{"nor those", "\x00\x00\x00a", "", "\x00\x00\x00a", ""},
		{"Windows-1252 told", "\x80\xfc", "windows-1252", "\u20ac\u00fc", ""},
		{"Latin-1 is Windows-1252", "\x80\xfc", "ISO_8859-1", "\u20ac\u00fc", ""},
		// The first two characters of GB 18030's and JIS X 0208's tables that a
		// plan may hold, from the WHATWG Encoding Standard's indexes.
		{"GB18030", "\xb2\xdd\xb5\xd8", "GB18030", "\u8349\u5730", ""},
		{"Shift-JIS", "\x8e\xc5\x90\xb6", "Shift_JIS", "\u829d\u751f", ""},
		{"told wrong", "\x8e", "shift-jis", "", "not in shift-jis"},
		{"told wrong on a later line", "a\nb\n\x8e", "shift-jis", "", "f:3: the text is not in shift-jis"},
		{"told and not UTF-8", "a\n\xfc", "utf-8", "", "f:2:1: the byte 0xfc is not UTF-8"},
		{"unknown", "a", "ebcdic", "", `there is no encoding called "ebcdic"`},
	} {
		var tally wire.Tally
		got, err := Text([]byte(tt.in), "f", tt.told, &tally)
		if tt.err != "" {
			if err == nil || !strings.Contains(err.Error(), tt.err) {
				t.Errorf("%s: %v, want %s", tt.name, err, tt.err)
			}
			continue
		}
		if err != nil || string(got) != tt.want {
			t.Errorf("%s: got %q, %v", tt.name, got, err)
		}
		// What was found out is told; what the user said is not.
		if told := len(tally.Warnings()) == 1; told != (tt.told == "" && tt.in != tt.want) {
			t.Errorf("%s: told %v", tt.name, tally.Warnings())
		}
	}
}

func TestLookup(t *testing.T) {
	for name, e := range names() {
		if got, err := Lookup(strings.ToUpper(name)); err != nil || got != e {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, name := range shown {
		if _, err := Lookup(name); err != nil {
			t.Errorf("a message lists %s: %v", name, err)
		}
	}
}

func TestDeclarations(t *testing.T) {
	for in, want := range map[string]string{
		`<?xml encoding="x"?>`: "x", `<?xml version='1.0' encoding = 'latin1' ?><a/>`: "latin1", `<?xml encoding=""?>`: "", `<?xml encoding="x?>`: "", `<?xml encoding=x?>`: "",
		`<?xml encoding="?>`: "", `<?xml encoding=?>`: "", `<?xml encoding?>`: "", `<?xml version="1.0"?>`: "", `<?xml encoding="x"`: "", `<a encoding="x"?>`: "",
	} {
		if got := declaration([]byte(in)); got != want {
			t.Errorf("%s: %q, want %q", in, got, want)
		}
	}
}

func TestPlain(t *testing.T) {
	for _, tt := range []struct{ in, told, want, err string }{
		{"gr\xfcn", "", "gr\u00fcn", ""}, {"\xff\xfeg\x00", "", "g", ""}, {"\x80", "latin1", "\u20ac", ""}, {"\ufeffg", "", "g", ""},
		{"a", "ebcdic", "", "there is no encoding"}, {" ", "", "", "the file is empty"}, {"\x81", "", "", "is not UTF-8"},
	} {
		got, err := Plain([]byte(tt.in), &wire.ReadOptions{Name: "f", Encoding: tt.told}, new(wire.Tally))
		if (err != nil) != (tt.err != "") || err != nil && !strings.Contains(err.Error(), tt.err) || err == nil && string(got) != tt.want {
			t.Errorf("%q, told %q: got %q, %v", tt.in, tt.told, got, err)
		}
	}
}

func TestXMLDeclaration(t *testing.T) {
	for _, tt := range []struct{ declared, text, want, warned, err string }{
		{"", "\u00fc", "\u00fc", "", ""},
		{"UTF-8", "\u00fc", "\u00fc", "", ""},
		{"windows-1252", "\x80\xfc", "\u20ac\u00fc", "encoding", ""},
		{"Shift_JIS", "\x8e\xc5", "\u829d", "encoding", ""},
		{"gb2312", "\xb2\xdd", "\u8349", "encoding", ""},
		{"iso-8859-1", "\u00fc", "\u00fc", "encoding", ""}, // says one, is the other
		{"iso-8859-1", "u", "u", "", ""},                   // the same in both
		{"utf-8", "\xfc", "\u00fc", "encoding-guessed", ""},
		{"utf-8", "\x81", "", "", "is not UTF-8; say which it is with --encoding"},
		{"EBCDIC", "\xfc", "", "", "the encoding EBCDIC is not one that is read"},
	} {
		head := `<?xml version="1.0" encoding="` + tt.declared + `"?>`
		if tt.declared == "" {
			head = ""
		}
		var tally wire.Tally
		got, err := XML([]byte(head+tt.text), &wire.ReadOptions{Name: "f"}, &tally)
		warned := ""
		for _, w := range tally.Warnings() {
			warned += w.Kind
		}
		if tt.err != "" {
			if err == nil || !strings.Contains(err.Error(), tt.err) {
				t.Errorf("%s: %v, want %s", tt.declared, err, tt.err)
			}
			continue
		}
		if err != nil || string(got) != head+tt.want || warned != tt.warned {
			t.Errorf("%s: got %q, %s, %v", tt.declared, got, warned, err)
		}
	}
}

func TestGuess(t *testing.T) {
	for in, want := range map[string]string{"gr\u00fcn": "gr\u00fcn", "gr\xfcn\x80": "gr\u00fcn\u20ac", "\x81\xfc": "", "\xfc\x9d": ""} {
		var tally wire.Tally
		got, err := Guess([]byte(in), "f", &tally)
		if (err == nil) != (want != "") || err == nil && string(got) != want || (len(tally.Warnings()) == 1) != (want != "" && in != want) {
			t.Errorf("%q: got %q, %v, %v", in, got, err, tally.Warnings())
		}
		if err != nil && !strings.Contains(err.Error(), "--encoding") {
			t.Error(err)
		}
	}
}
