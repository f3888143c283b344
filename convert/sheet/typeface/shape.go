// Text as it stands on paper: visual order, Arabic letter shapes, and boxes for
// what has no glyph. SVG and HTML leave this to the program that shows them; a
// PDF has only glyphs at places.

package typeface

import (
	"strings"
	"sync"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// Visual returns a text as its glyphs follow one another from left to right:
// runs from right to left reversed by the Unicode bidirectional algorithm (UAX
// #9), Arabic letters in the shape that their place in the word asks for,
// controls left out, and Box for every character without a glyph. missing are
// those characters, each once.
func Visual(text string) (visual string, missing []rune) {
	if plain(text) {
		return text, nil
	}
	out := shapeArabic([]rune(text))
	if runs, ok := order(string(out)); ok {
		out = out[:0]
		for _, s := range runs {
			out = append(out, []rune(s)...)
		}
	}
	var b strings.Builder
	seen := map[rune]bool{}
	for _, r := range out {
		switch {
		case isControl(r):
		case Has(r):
			b.WriteRune(r)
		default:
			b.WriteRune(Box)
			if !seen[r] {
				seen[r] = true
				missing = append(missing, r)
			}
		}
	}
	return b.String(), missing
}

// Letters are the letters that a glyph of Visual stands for: those of an Arabic
// shape or ligature, else the character itself.
func Letters(r rune) []rune {
	if r >= 0xFE70 && r <= 0xFEFC {
		return []rune(norm.NFKC.String(string(r)))
	}
	return []rune{r}
}

func plain(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] >= 0x7f || text[i] < 0x20 {
			return false
		}
	}
	return true
}

// isControl reports whether r only steers others: direction marks, joiners and
// variation selectors.
func isControl(r rune) bool {
	return r < 0x20 || r >= 0x7f && r < 0xa0 || r >= 0x200b && r <= 0x200f || r >= 0x202a && r <= 0x202e ||
		r >= 0x2060 && r <= 0x2069 || r >= 0xfe00 && r <= 0xfe0f || r == 0xfeff
}

// order returns the runs of a text from left to right, those that run from
// right to left reversed; ok is false when the text runs one way only.
func order(text string) (runs []string, ok bool) {
	rtl := false
	for _, r := range text {
		p, _ := bidi.LookupRune(r)
		if c := p.Class(); c == bidi.R || c == bidi.AL {
			rtl = true
		}
	}
	if !rtl {
		return nil, false
	}
	var p bidi.Paragraph
	if _, err := p.SetString(text); err != nil {
		return nil, false
	}
	o, err := p.Order()
	if err != nil {
		return nil, false
	}
	var inner []bool // runs that stand inside text from right to left
	for i := range o.NumRuns() {
		run := o.Run(i)
		s := run.String()
		rtl := run.Direction() == bidi.RightToLeft
		inner = append(inner, rtl || i > 0 && inner[i-1] && !hasLeft(s))
		if rtl {
			s = bidi.ReverseString(s)
		}
		runs = append(runs, s)
	}
	// The runs stand in logical order. In a paragraph from right to left the
	// first one stands rightmost.
	if o.Direction() == bidi.RightToLeft || !p.IsLeftToRight() {
		for i, j := 0, len(runs)-1; i < j; i, j = i+1, j-1 {
			runs[i], runs[j] = runs[j], runs[i]
		}
		return runs, true
	}
	// In one from left to right, text the other way and the numbers in it stand
	// the other way round among themselves (rule L2).
	for from := 0; from < len(runs); from++ {
		to := from
		for to < len(runs) && inner[to] {
			to++
		}
		for i, j := from, to-1; i < j; i, j = i+1, j-1 {
			runs[i], runs[j] = runs[j], runs[i]
		}
		from = max(from, to-1)
	}
	return runs, true
}

// hasLeft reports whether a text has a letter that runs from left to right.
func hasLeft(s string) bool {
	for _, r := range s {
		if p, _ := bidi.LookupRune(r); p.Class() == bidi.L {
			return true
		}
	}
	return false
}

// Arabic letters U+0621 to U+064A and how many shapes each has in the block
// Arabic Presentation Forms-B, which lists them in this order from U+FE80:
// isolated, final, and for those that join to the left too, initial and medial
// (Unicode Standard, chart UFE70).
var arabicShapes = []struct {
	from, to rune
	shapes   rune
}{
	{0x621, 0x621, 1}, {0x622, 0x625, 2}, {0x626, 0x626, 4}, {0x627, 0x627, 2}, {0x628, 0x628, 4},
	{0x629, 0x629, 2}, {0x62A, 0x62E, 4}, {0x62F, 0x632, 2}, {0x633, 0x63A, 4}, {0x641, 0x647, 4},
	{0x648, 0x649, 2}, {0x64A, 0x64A, 4},
}

type letter struct {
	first  rune // its isolated form
	shapes rune
}

var arabic = sync.OnceValue(func() map[rune]letter {
	m := map[rune]letter{}
	next := rune(0xFE80)
	for _, s := range arabicShapes {
		for r := s.from; r <= s.to; r++ {
			m[r] = letter{next, s.shapes}
			next += s.shapes
		}
	}
	return m
})

// lamAlef are the alefs that join a lam before them to one glyph, in the order
// of their ligatures from U+FEF5: isolated, final.
var lamAlef = map[rune]rune{0x622: 0xFEF5, 0x623: 0xFEF7, 0x625: 0xFEF9, 0x627: 0xFEFB}

const lam, tatweel = 0x644, 0x640

// shapeArabic gives each Arabic letter the form for its neighbours.
func shapeArabic(in []rune) []rune {
	var out []rune
	mark := func(r rune) bool { return r >= 0x64B && r <= 0x65F || r == 0x670 }
	joinsLeft := func(i int) bool { // to what follows it
		return i >= 0 && i < len(in) && (arabic()[in[i]].shapes == 4 || in[i] == tatweel)
	}
	joinsRight := func(i int) bool { // to what stands before it
		return i >= 0 && i < len(in) && (arabic()[in[i]].shapes >= 2 || in[i] == tatweel)
	}
	step := func(i, by int) int { // the next that is no vowel mark
		for i += by; i >= 0 && i < len(in) && mark(in[i]); i += by {
		}
		return i
	}
	for i := 0; i < len(in); i++ {
		l, ok := arabic()[in[i]]
		if !ok {
			out = append(out, in[i])
			continue
		}
		before, after := joinsLeft(step(i, -1)) && l.shapes >= 2, joinsRight(step(i, 1)) && l.shapes == 4
		if in[i] == lam && i+1 < len(in) {
			if lig := lamAlef[in[i+1]]; lig != 0 {
				if before {
					lig++
				}
				out = append(out, lig)
				i++
				continue
			}
		}
		form := l.first
		switch {
		case before && after:
			form += 3
		case after:
			form += 2
		case before:
			form++
		}
		out = append(out, form)
	}
	return out
}
