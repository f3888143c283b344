// A part of the typeface is a font: another parser reads it, and its letters
// are those of the whole.

package typeface

import (
	"bytes"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

func TestSubset(t *testing.T) {
	// Letters made of others, Arabic shapes, one without a glyph, one past the
	// plane.
	want := []rune("Grüne Wiése 12 m²°\u05d2\uFE91\uFEFB\u829d\U0001F333")
	for _, bold := range []bool{false, true} {
		data, err := Subset(bold, want)
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > 20000 {
			t.Errorf("%d characters take %d bytes", len(want), len(data))
		}
		again, err := Subset(bold, want)
		if err != nil || !bytes.Equal(data, again) {
			t.Error("the same characters give other bytes")
		}
		part, err := sfnt.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := sfnt.Parse(Data(bold))
		if err != nil {
			t.Fatal(err)
		}
		var b1, b2 sfnt.Buffer
		em := fixed.I(unitsPerEm)
		for _, r := range want {
			i, err := part.GlyphIndex(&b1, r)
			if err != nil {
				t.Fatal(err)
			}
			if !Has(r) {
				if i != 0 {
					t.Errorf("%U has a glyph in the part", r)
				}
				continue
			}
			k, err := whole.GlyphIndex(&b2, r)
			if err != nil || i == 0 {
				t.Fatalf("%U: no glyph, %v", r, err)
			}
			a1, err1 := part.GlyphAdvance(&b1, i, em, font.HintingNone)
			a2, err2 := whole.GlyphAdvance(&b2, k, em, font.HintingNone)
			if err1 != nil || err2 != nil || a1 != a2 {
				t.Errorf("%U is %v wide in the part and %v in the whole (%v, %v)", r, a1, a2, err1, err2)
			}
			g1, err1 := part.LoadGlyph(&b1, i, em, nil)
			g2, err2 := whole.LoadGlyph(&b2, k, em, nil)
			if err1 != nil || err2 != nil || len(g1) != len(g2) {
				t.Fatalf("%U: %d and %d segments (%v, %v)", r, len(g1), len(g2), err1, err2)
			}
			for n := range g1 {
				if g1[n] != g2[n] {
					t.Fatalf("%U: segment %d differs", r, n)
				}
			}
		}
	}
}
