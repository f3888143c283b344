// Writing a set of sheets.

package sheet

import (
	"fmt"
	"io"
	"strings"
	"time"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
)

// SVG writes page i of the set, counted from 0.
func (s *Set) SVG(w io.Writer, i int) error { return ink.SVG(w, s.Pages[i]) }

// PDF writes all pages. The notes name the characters that have no glyph, for
// which a box stands on the page.
func (s *Set) PDF(w io.Writer, d *Drawing) (notes []string, err error) {
	date, err := time.Parse(time.DateOnly, d.Date)
	if err != nil {
		return nil, fmt.Errorf("the drawing's date %q is no date", d.Date)
	}
	missing, err := ink.PDF(w, s.Pages, ink.Info{Title: d.Title, Subject: "plan at 1:" + trim(s.Scale), Creator: d.Program, Date: date})
	if err != nil {
		return nil, err
	}
	if len(missing) > 0 {
		notes = append(notes, missingNote(missing))
	}
	return notes, nil
}

func missingNote(missing []rune) string {
	return fmt.Sprintf("%d characters have no glyph in the sheet's typeface and show as boxes in the PDF: %s", len(missing), codePoints(missing))
}

func codePoints(list []rune) string {
	const most = 8
	var names []string
	for i, r := range list {
		if i == most {
			names = append(names, "...")
			break
		}
		names = append(names, fmt.Sprintf("U+%04X", r))
	}
	return strings.Join(names, " ")
}

// lettering says on the sheet which names it cannot draw, by the codes of their
// features.
func (d *Drawing) lettering() (notes []string) {
	const most = 12
	var names []string
	more := 0
	note := func(what, text string) {
		_, missing := typeface.Visual(text)
		switch {
		case len(missing) == 0:
		case len(names) == most:
			more++
		default:
			names = append(names, what+" ("+codePoints(missing)+")")
		}
	}
	note("the title", d.Title)
	note("the file's name", d.Source)
	for _, list := range [][]Feature{d.Features, d.Off} {
		for i := range list {
			f := &list[i]
			note(f.Code, f.Name+f.Kind+f.Frame)
		}
	}
	if len(names) == 0 {
		return nil
	}
	text := "Names with characters that the sheet's typeface does not have, for which boxes may stand: " + strings.Join(names, ", ")
	if more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return []string{text + "."}
}
