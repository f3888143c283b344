// The typeface: widths, what is missing, and text from right to left.

package typeface

import (
	"math"
	"testing"

	"golang.org/x/text/unicode/norm"
)

// Each presentation form decomposes to the letter that the table has it for, as
// the Unicode Character Database in x/text says.
func TestArabicForms(t *testing.T) {
	n := 0
	for r, l := range arabic() {
		for k := range l.shapes {
			if got := []rune(norm.NFKC.String(string(l.first + k))); len(got) != 1 || got[0] != r {
				t.Errorf("form %U of %U decomposes to %U", l.first+k, r, got)
			}
			n++
		}
	}
	if n != 0xFEF4-0xFE80+1 {
		t.Errorf("%d forms", n)
	}
	for alef, lig := range lamAlef {
		for k := range rune(2) {
			if got := norm.NFKC.String(string(lig + k)); got != norm.NFKC.String(string([]rune{lam, alef})) {
				t.Errorf("ligature %U decomposes to %q", lig+k, got)
			}
		}
	}
}

func TestVisual(t *testing.T) {
	for _, tc := range []struct {
		name, in string
		want     []rune
		missing  int
	}{
		{"Latin", "Lawn 12", []rune("Lawn 12"), 0},
		{"accents", "Grüne Wiese", []rune("Grüne Wiese"), 0},
		{"Hebrew", "\u05d2\u05df", []rune{0x05df, 0x05d2}, 0},
		// beh, alef, beh: initial, final, isolated, from the right.
		{"Arabic", "\u0628\u0627\u0628", []rune{0xFE8F, 0xFE8E, 0xFE91}, 0},
		{"lam alef", "\u0644\u0627", []rune{0xFEFB}, 0},
		{"no glyph", "a\u829d", []rune{'a', Box}, 1},
		{"past the plane", "\U0001F333", []rune{Box}, 1},
		{"controls go", "a\u202eb\u200f", []rune("ab"), 0},
		// A number in text from right to left keeps its own order.
		{"number", "\u05d2 12", []rune{'1', '2', ' ', 0x05d2}, 0},
		// So does one in such a text inside of one from left to right, and it
		// stays left of what it follows; what comes after stands behind it all.
		{"number inside", "Z2 \u05d2\u05df 12", []rune{'Z', '2', ' ', '1', '2', ' ', 0x05df, 0x05d2}, 0},
		{"letters after", "Z2 \u05d2\u05df m\u00b2", []rune{'Z', '2', ' ', 0x05df, 0x05d2, ' ', 'm', 0xb2}, 0},
	} {
		got, missing := Visual(tc.in)
		if got != string(tc.want) || len(missing) != tc.missing {
			t.Errorf("%s: %U, %d missing, want %U", tc.name, []rune(got), len(missing), tc.want)
		}
	}
}

func TestWidth(t *testing.T) {
	// Advances of the font file: a space has 651 of 2048 units, a figure 1303.
	if w := Width(" ", 1, false); math.Abs(w-651.0/2048) > 1e-9 {
		t.Errorf("a space is %v wide", w)
	}
	if w := Width("00", 3, false); math.Abs(w-3*2*1303.0/2048) > 1e-9 {
		t.Errorf("two figures are %v wide", w)
	}
	if Width("W", 1, true) <= Width("W", 1, false) {
		t.Error("bold is not wider")
	}
	if Width("\u829d", 1, false) != Width(string(Box), 1, false) {
		t.Error("what has no glyph is not as wide as its box")
	}
	if !Has('m') || Has(0x829d) || Has(0x1F333) {
		t.Error("the wrong glyphs are missing")
	}
}
