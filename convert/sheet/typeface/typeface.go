// Package typeface is the lettering of drawn sheets: how wide a text is, which
// characters have a glyph, and the order and shapes in which text that runs
// from right to left stands on paper.
//
// The typeface is DejaVu Sans 2.37 (Bitstream Vera and Arev licences, which
// allow embedding), taken from the module github.com/go-fonts/dejavu. It covers
// Latin, Greek, Cyrillic, Arabic, Hebrew and others, and no Chinese, Japanese
// or Korean.
package typeface

import (
	"sync"

	"github.com/go-fonts/dejavu/dejavusans"
	"github.com/go-fonts/dejavu/dejavusansbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Name is the family's name.
const Name = "DejaVu Sans"

// Box is what stands for a character that the typeface has no glyph for.
const Box = '\u25A1'

// CapHeight is the height of a capital letter as a part of the size (1493 of
// 2048 units in the font file).
const CapHeight = 0.729

// Data returns the font file of a weight. It must not be changed.
func Data(bold bool) []byte {
	if bold {
		return dejavusansbold.TTF
	}
	return dejavusans.TTF
}

// face is one weight, parsed once; advances are kept as they are asked for.
type face struct {
	mu      sync.Mutex
	font    *sfnt.Font
	buf     sfnt.Buffer
	advance map[rune]float64 // part of the size; -1 for no glyph
}

var faces = [2]func() *face{
	sync.OnceValue(func() *face { return parse(false) }),
	sync.OnceValue(func() *face { return parse(true) }),
}

func parse(bold bool) *face {
	f, err := sfnt.Parse(Data(bold))
	if err != nil {
		panic("typeface: the font that is built in cannot be parsed: " + err.Error())
	}
	return &face{font: f, advance: map[rune]float64{}}
}

func weight(bold bool) *face {
	if bold {
		return faces[1]()
	}
	return faces[0]()
}

// unitsPerEm of both weights.
const unitsPerEm = 2048

func (f *face) of(r rune) float64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	if a, ok := f.advance[r]; ok {
		return a
	}
	a := -1.0
	if i, err := f.font.GlyphIndex(&f.buf, r); err == nil && i != 0 && r <= 0xFFFF {
		if v, err := f.font.GlyphAdvance(&f.buf, i, fixed.I(unitsPerEm), font.HintingNone); err == nil {
			a = float64(v) / 64 / unitsPerEm
		}
	}
	f.advance[r] = a
	return a
}

// Has reports whether the typeface has a glyph for r in both weights.
// Characters past the Basic Multilingual Plane count as missing, since a PDF's
// fonts are written with two bytes a character.
func Has(r rune) bool { return weight(false).of(r) >= 0 && weight(true).of(r) >= 0 }

// Width is how wide a text is at a size, in the unit of the size. A character
// without a glyph is as wide as Box.
func Width(text string, size float64, bold bool) float64 {
	f := weight(bold)
	sum := 0.0
	for _, r := range text {
		a := f.of(r)
		if a < 0 {
			a = f.of(Box)
		}
		sum += a
	}
	return sum * size
}
