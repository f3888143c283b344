// Writing a set of sheets.

package sheet

import (
	"fmt"
	"io"
	"strings"
	"time"

	"swardline/convert/sheet/ink"
)

// SVG writes page i of the set, counted from 0.
func (s *Set) SVG(w io.Writer, i int) error { return ink.SVG(w, s.Pages[i]) }

// PDF writes all pages. The notes name the characters that have no glyph, for which
// a box stands on the page.
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
	const most = 8
	var names []string
	for i, r := range missing {
		if i == most {
			names = append(names, "...")
			break
		}
		names = append(names, fmt.Sprintf("U+%04X", r))
	}
	return fmt.Sprintf("%d characters have no glyph in the sheet's typeface and show as boxes in the PDF: %s", len(missing), strings.Join(names, " "))
}
