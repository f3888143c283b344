// The findings as CSV, for spreadsheets.

package report

import (
	"io"
	"strconv"
	"strings"

	"swardline/validate"
)

// csvColumns are the columns of the CSV report.
var csvColumns = []string{
	"path", "status", "severity", "rule", "features", "names", "message",
	"measured", "limit", "unit", "area_m2", "lon", "lat", "e", "n", "line", "fixable", "not_checked",
}

// CSV writes the findings as RFC 4180 with a header: a row a rule that applies
// and was not checked, with the reason in its message, a row a finding, one row
// for a plan without any, one with the error for a file that could not be read,
// and a last one without a path when the run was interrupted.
// A text cell that a spreadsheet would run as a formula gets an apostrophe
// before it.
func (s *Set) CSV(w io.Writer) error {
	var b strings.Builder
	b.WriteString(strings.Join(csvColumns, ",") + "\r\n")
	for i := range s.Plans {
		p := &s.Plans[i]
		if len(p.Findings) == 0 && p.openRules() == 0 {
			row := make([]string, len(csvColumns))
			row[0], row[1], row[6] = csvCell(p.Path), csvCell(string(p.Status)), csvCell(p.Error)
			b.WriteString(strings.Join(row, ",") + "\r\n")
		}
		open := p.openRules()
		rest := strconv.Itoa(open)
		for k := range p.Rules {
			if r := &p.Rules[k]; r.open() {
				row := make([]string, len(csvColumns))
				row[0], row[1], row[2], row[3], row[6] = csvCell(p.Path), csvCell(string(p.Status)), "unchecked", csvCell(r.Rule), csvCell(r.Reason)
				row[len(row)-1] = rest
				b.WriteString(strings.Join(row, ",") + "\r\n")
			}
		}
		for k := range p.Findings {
			f := &p.Findings[k]
			at := f.At
			if at == nil {
				at = &validate.Place{}
			}
			line := ""
			if f.Source != nil {
				line = strconv.Itoa(f.Source.Line)
			}
			b.WriteString(strings.Join([]string{
				csvCell(p.Path), csvCell(string(p.Status)), csvCell(f.Severity), csvCell(f.Rule),
				csvCell(strings.Join(f.Features, "; ")), csvCell(strings.Join(f.Names, "; ")), csvCell(f.Message),
				csvNumber(f.Measured), csvNumber(f.Limit), csvCell(f.Unit), csvNumber(f.AreaM2),
				csvNumber(at.Lon), csvNumber(at.Lat), csvNumber(at.E), csvNumber(at.N),
				line, strconv.FormatBool(f.Mendable), rest,
			}, ",") + "\r\n")
		}
		if b.Len() > 1<<16 {
			if _, err := io.WriteString(w, b.String()); err != nil {
				return err
			}
			b.Reset()
		}
	}
	for _, path := range s.Gone {
		row := make([]string, len(csvColumns))
		row[0], row[1], row[2], row[6] = csvCell(path), gone, string(validate.Error), goneMessage
		b.WriteString(strings.Join(row, ",") + "\r\n")
	}
	if s.Interrupted != nil {
		row := make([]string, len(csvColumns))
		row[1], row[6] = "interrupted", csvCell(s.Interrupted.words())
		b.WriteString(strings.Join(row, ",") + "\r\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func csvNumber(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}

// csvCell quotes a text cell where RFC 4180 asks for it, escapes what a
// terminal would obey, and disarms formulas: spreadsheets run a cell that
// starts with = + - @, a tab or a carriage return, also behind leading spaces.
// Tabs and returns are among what is escaped.
func csvCell(s string) string { return csvQuoted(disarmed(s)) }

// disarmed is the text of a cell that nothing runs.
func disarmed(s string) string {
	s = Printable(s)
	switch lead := strings.TrimLeft(s, " \u00a0\ufeff"); {
	case lead == "":
	case strings.ContainsRune("=+-@＝＋－＠", []rune(lead)[0]):
		s = "'" + s
	}
	return s
}

// csvQuoted writes the text of a cell as it is, in quotes where it must be.
func csvQuoted(s string) string {
	if strings.ContainsAny(s, ",\"\r\n") || s != strings.TrimSpace(s) {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}
