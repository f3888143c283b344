// Tests of names as people compare them.

package schema

import "testing"

func TestFoldMark(t *testing.T) {
	for _, tc := range []struct{ a, b string }{
		{"M1", "m1"}, {"M1", " M 1 "}, {"M1", "M01"}, {"M1", "m\u00a0001"}, {"7", "007"}, {"P 10", "p10"}, {"p010", "P10"},
		{"Gr\u00fcn 3", "GRU\u0308N03"}, {"Stra\u00dfe 1", "STRASSE1"}, {"M0", "m 00"}, {"M1-02", "m01-2"}, {"A1B", "a01b"},
		{"M1 x", "m01X"}, {"P1 2", "p 01 002"}, {"0", "000"}, {"1 1", "01 01"},
	} {
		if x, y := FoldMark(tc.a), FoldMark(tc.b); x != y {
			t.Errorf("%q is %q and %q is %q", tc.a, x, tc.b, y)
		}
	}
	for _, tc := range []struct{ a, b string }{
		{"M1", "M10"}, {"M1", "M11"}, {"M1", "N1"}, {"M", "M0"}, {"M10", "M1"}, {"M100", "M1"}, {"1 1", "11"}, {"1.05", "1.5x"},
		{"M 0", "M"}, {"0 1", "1"}, {"M1a", "M1b"}, {"a", "\u00e4"},
	} {
		if x, y := FoldMark(tc.a), FoldMark(tc.b); x == y {
			t.Errorf("%q and %q are both %q", tc.a, tc.b, x)
		}
	}
}

// Folding twice is folding once.
func FuzzFoldMark(f *testing.F) {
	for _, s := range []string{"M 01", "007", "0 0", "\u0600\u0330 \u061a\u030a", "Gr\u00fcn", "1 01 x", "\u0130 0\u03082", "00a00 00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		once := FoldMark(s)
		if twice := FoldMark(once); twice != once {
			t.Errorf("%q folds to %q, and that to %q", s, once, twice)
		}
	})
}

// TestLookName: names that look the same are one, and others stay apart.
func TestLookName(t *testing.T) {
	for a, b := range map[string]string{
		"Lawn": "l\u0430wn", "Lawn A": "Lawn\u00a0\u0410", "A\u0392\u0395": "abe", "La\u200bwn\u200d": "lawn", "\ufb01eld": "field", "Große": "grosse", "": "\u200b\ufeff",
	} {
		if LookName(a) != LookName(b) {
			t.Errorf("%q looks like %q, %q like %q", a, LookName(a), b, LookName(b))
		}
	}
	for a, b := range map[string]string{"Lawn 1": "Lawn 2", "Вода": "Воля", "Ωμέγα": "Ωμικρον", "ab": "a b"} {
		if LookName(a) == LookName(b) {
			t.Errorf("%q and %q look like %q", a, b, LookName(a))
		}
	}
}
