// Records: a file cut into rows and cells (RFC 4180), straight from the bytes.

package csv

import (
	"bytes"
	"fmt"

	"swardline/convert/wire"
)

// cell is one cell of a row. text points into the file, or into scratch that
// lives until the next row.
type cell struct {
	text    []byte
	quoted  bool
	trimmed bool // white space round the cell was taken off
}

// blanks is the delimiter that stands for any run of spaces and tabs, as old
// survey lists have it.
const blanks = ' '

// records cuts a file into rows.
type records struct {
	data    []byte       // what is left of the file, or a window on it
	more    *wire.Window // what follows the window, nil when data is all there is
	short   bool         // the row in hand needs more than the window
	file    string
	delim   byte
	most    int // with blanks or joinLast: the last cell takes the rest; 0 means any number
	pos     int
	line    int // line on which the current row starts
	next    int // line on which the next row starts
	cells   []cell
	scratch []byte
}

func newRecords(data []byte, file string, delim byte) *records {
	return &records{data: data, file: file, delim: delim, next: 1}
}

func (r *records) fail(mend, format string, args ...any) error {
	return r.failAt(r.line, mend, format, args...)
}

func (r *records) failAt(line int, mend, format string, args ...any) error {
	return &wire.InputError{File: r.file, Line: line, Problem: fmt.Sprintf(format, args...), Mend: mend}
}

// row reads the next row that is not blank into r.cells; ok is false at the end
// of the file.
func (r *records) row() (ok bool, err error) {
	for r.pos < len(r.data) || r.more != nil && r.more.GoesOn() {
		start, was := r.pos, r.line
		r.line = r.next
		if r.delim == blanks {
			r.splitBlanks()
		} else {
			err = r.split()
		}
		if (r.short || r.pos >= len(r.data)) && r.more != nil && r.more.GoesOn() {
			// The row may go on behind the window.
			r.next, r.line, r.short = r.line, was, false
			if r.data, err = r.more.Fill(r.data[start:]); err != nil {
				return false, err
			}
			r.pos = 0
			continue
		}
		if err != nil {
			return false, err
		}
		if len(r.cells) > 1 || len(r.cells) == 1 && len(r.cells[0].text) > 0 {
			return true, nil
		}
	}
	return false, nil
}

// endOfLine passes the line end at pos, if there is one.
func (r *records) endOfLine() {
	if r.pos >= len(r.data) {
		return
	}
	if r.data[r.pos] == '\r' {
		r.pos++
		if r.pos < len(r.data) && r.data[r.pos] == '\n' {
			r.pos++
		}
	} else if r.data[r.pos] == '\n' {
		r.pos++
	}
	r.next++
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' }

func trimBlank(b []byte) []byte {
	for len(b) > 0 && isBlank(b[0]) {
		b = b[1:]
	}
	for len(b) > 0 && isBlank(b[len(b)-1]) {
		b = b[:len(b)-1]
	}
	return b
}

func (r *records) split() error {
	d := r.data
	r.cells = r.cells[:0]
	r.scratch = r.scratch[:0]
	for {
		start := r.pos
		for start < len(d) && isBlank(d[start]) && d[start] != r.delim {
			start++
		}
		if start < len(d) && d[start] == '"' {
			r.pos = start
			if err := r.quotedCell(); err != nil {
				return err
			}
		} else {
			i := start
			for i < len(d) && d[i] != r.delim && d[i] != '\n' && d[i] != '\r' {
				i++
			}
			end := i
			for end > start && isBlank(d[end-1]) {
				end--
			}
			r.cells = append(r.cells, cell{text: d[start:end], trimmed: start > r.pos || end < i})
			r.pos = i
		}
		if r.pos >= len(d) {
			return nil
		}
		if d[r.pos] != r.delim {
			r.endOfLine()
			return nil
		}
		r.pos++ // a delimiter at the very end of the file still starts a cell
	}
}

// quotedCell reads the cell whose opening quote is at pos.
func (r *records) quotedCell() error {
	d := r.data
	from := r.pos + 1
	i := from
	base := len(r.scratch)
	doubled := false
	for {
		n := bytes.IndexByte(d[i:], '"')
		if n < 0 {
			r.short = true
			return r.fail(`close it with a ", and write "" for a quote inside`, "the quote that opens in this row is never closed")
		}
		i += n
		if i+1 >= len(d) || d[i+1] != '"' {
			break
		}
		doubled = true
		r.scratch = append(r.scratch, d[from:i+1]...)
		i += 2
		from = i
	}
	text := d[from:i]
	if doubled {
		// A later growth of scratch leaves this cell's bytes where they are.
		r.scratch = append(r.scratch, text...)
		text = r.scratch[base:len(r.scratch):len(r.scratch)]
	}
	opened := d[r.pos:i]
	r.next += bytes.Count(opened, []byte{'\n'})
	if bytes.IndexByte(opened, '\r') >= 0 {
		r.next += bytes.Count(opened, []byte{'\r'}) - bytes.Count(opened, []byte("\r\n"))
	}
	i++
	for i < len(d) && isBlank(d[i]) && d[i] != r.delim {
		i++
	}
	if i < len(d) && d[i] != r.delim && d[i] != '\n' && d[i] != '\r' {
		r.short = i+12 > len(d)
		return r.fail(`write "" for a quote inside quotes`, "%q stands behind a closing quote", wire.Clip(bytes.TrimRight(d[i:min(len(d), i+12)], "\r\n"), 40))
	}
	r.cells = append(r.cells, cell{text: text, quoted: true})
	r.pos = i
	return nil
}

func (r *records) splitBlanks() {
	d := r.data
	r.cells = r.cells[:0]
	end := r.pos
	for end < len(d) && d[end] != '\n' && d[end] != '\r' {
		end++
	}
	rest := trimBlank(d[r.pos:end])
	for len(rest) > 0 {
		i := 0
		if r.most > 0 && len(r.cells) == r.most-1 {
			i = len(rest)
		}
		for i < len(rest) && !isBlank(rest[i]) {
			i++
		}
		r.cells = append(r.cells, cell{text: rest[:i]})
		rest = trimBlank(rest[i:])
	}
	r.pos = end
	r.endOfLine()
}

// filled counts the cells of the row that are not empty.
func (r *records) filled() int {
	n := 0
	for _, c := range r.cells {
		if len(c.text) > 0 {
			n++
		}
	}
	return n
}
