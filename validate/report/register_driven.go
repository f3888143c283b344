// What logs say of a plan, in the register's columns.

package report

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Register is a register as it was read, to be written again with what logs
// show.
type Register struct {
	columns []string
	rows    [][]string
}

// NewRegister is one without a row.
func NewRegister() *Register { return &Register{columns: slices.Clone(registerColumns)} }

// ReadRegister reads what Set.Register wrote. The error says in what it is
// none.
func ReadRegister(data []byte) (*Register, error) {
	in := csv.NewReader(bytes.NewReader(data))
	rows, err := in.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("this is no register: %w", err)
	}
	if len(rows) == 0 || !slices.Contains(rows[0], "path") || !slices.Contains(rows[0], "visit") {
		return nil, errors.New("this is no register: its first line does not name the columns visit and path")
	}
	r := &Register{columns: rows[0], rows: rows[1:]}
	for _, column := range []string{columnDrivenLast, columnDrivenPercent, columnDrivenBase} {
		r.column(column)
	}
	return r, nil
}

// column is the index of a column, which is added when it is not there.
func (r *Register) column(name string) int {
	if i := slices.Index(r.columns, name); i >= 0 {
		return i
	}
	r.columns = append(r.columns, name)
	for i := range r.rows {
		r.rows[i] = append(r.rows[i], "")
	}
	return len(r.columns) - 1
}

// Driven gives what logs filled, by the path's cell, for Set.Driven.
func (r *Register) Driven() map[string]map[string]string {
	out := map[string]map[string]string{}
	path := r.column("path")
	for _, row := range r.rows {
		cells := map[string]string{}
		for _, column := range []string{columnDrivenLast, columnDrivenPercent, columnDrivenBase} {
			if cell := row[r.column(column)]; cell != "" {
				cells[column] = cell
			}
		}
		if len(cells) > 0 {
			out[csvQuoted(row[path])] = cells
		}
	}
	return out
}

// Enter puts what logs show into the row of their plan, which is added when it
// is not there. A row with a later day stays, and the day is given.
func (r *Register) Enter(d *Driven) (later string) {
	at := r.column("path")
	var row []string
	for _, x := range r.rows {
		if csvQuoted(x[at]) == csvCell(d.Path) {
			row = x
		}
	}
	if row == nil {
		row = make([]string, len(r.columns))
		row[at] = disarmed(d.Path)
		row[r.column("site")] = disarmed(d.Report.Site.Plan.Name)
		r.rows = append(r.rows, row)
	}
	_, last := d.Span()
	if i := strings.IndexByte(last, 'T'); i >= 0 {
		last = last[:i]
	}
	if had := row[r.column(columnDrivenLast)]; had > last {
		return had
	}
	row[r.column(columnDrivenLast)] = last
	row[r.column(columnDrivenPercent)] = cellNumber(d.percent(), 2)
	row[r.column(columnDrivenBase)] = string(d.Report.Movement.Verdict)
	return ""
}

// Write writes it as RFC 4180 with a header.
func (r *Register) Write(w io.Writer) error {
	var b strings.Builder
	for _, row := range append([][]string{r.columns}, r.rows...) {
		for i, cell := range row {
			if i > 0 {
				b.WriteString(",")
			}
			b.WriteString(csvQuoted(cell))
		}
		b.WriteString("\r\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Span is from when to when the logs are, as they write it.
func (d *Driven) Span() (from, to string) {
	for _, l := range d.Logs {
		if x := clock(l.From, l.Dated); from == "" || x < from {
			from = x
		}
		if x := clock(l.To, l.Dated); x > to {
			to = x
		}
	}
	return from, to
}

// percent is how much of the ground of all zones that could be measured was
// driven over, NaN for none.
func (d *Driven) percent() float64 {
	driven, all := 0.0, 0.0
	for _, z := range d.Report.Zones {
		if z.Why == "" {
			driven, all = driven+z.DrivenM2, all+z.AreaM2
		}
	}
	return 100 * driven / all
}
