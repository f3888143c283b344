// Lists that are no plans, such as marks: cut, spelled and numbered as a
// plan's.

package csv

import (
	"fmt"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
)

// Column is one column of a Table: its header, and what the header names in the
// words of a plan's columns: "name", "id", "longitude", "latitude", "easting",
// "northing", "x", "y", "height", "crs", "code", "sigma", or "" for others.
type Column struct {
	Header, Means string
	// Unit is the unit that the header names, such as "ft", "" for none.
	Unit string
}

// Table is a delimited list with a header in any form that a plan's CSV may
// have: any separator, decimal mark, encoding and language.
type Table struct {
	Columns []Column
	rows    *records
	manner  manner
}

// OpenTable finds out how a list is cut and how its numbers are written. fits
// says whether columns are those that are looked for, and of which of them the
// cells are numbers: "" for none, else "plane", "longitude" or "latitude"; its
// error is the one that is given when no separator makes the header fit. Errors
// are *wire.InputError.
func OpenTable(data []byte, o wire.ReadOptions, fits func([]Column) (numbers []string, err error)) (*Table, []wire.Warning, error) {
	var t wire.Tally
	data, err := charset.Plain(data, &o, &t)
	if err != nil {
		return nil, nil, err
	}
	data, told := separatorLine(data)
	first := 1
	if told != 0 {
		first = 2
	}
	data, comments := withoutComments(data, true)
	first += comments
	var best *Table
	var numbers []string
	var misfit error
	most := 0
	for _, d := range []byte(delimiters) {
		if told != 0 && d != told {
			continue
		}
		rows := newRecords(data, o.Name, d)
		rows.next = first
		if ok, err := rows.row(); !ok || err != nil {
			if misfit == nil {
				misfit = err
			}
			continue
		}
		columns := columnsOf(rows.cells)
		n, err := fits(columns)
		switch {
		case err == nil && (best == nil || len(columns) > len(best.Columns)):
			best, numbers = &Table{Columns: columns, rows: rows}, n
		case err != nil && len(columns) > most:
			most, misfit = len(columns), rows.fail("see the header", "%v", err)
		}
	}
	switch {
	case best == nil && misfit != nil:
		return nil, nil, misfit
	case best == nil:
		return nil, nil, &wire.InputError{File: o.Name, Line: first, Problem: "the file has remarks and no header", Mend: "check that it was saved or sent whole"}
	}
	again := *best.rows
	again.cells, again.scratch = nil, nil
	if best.manner, err = decideManner(&again, func(cells []cell) []coordinateCell {
		var out []coordinateCell
		for i, c := range cells {
			if i < len(numbers) && numbers[i] != "" && len(c.text) > 0 {
				out = append(out, coordinateCell{c.text, axisNamed(numbers[i]), best.Columns[i].Header})
			}
		}
		return out
	}); err != nil {
		return nil, nil, err
	}
	return best, t.Warnings(), nil
}

func columnsOf(cells []cell) []Column {
	out := make([]Column, len(cells))
	for i, header := range headersOf(cells) {
		out[i] = Column{Header: header, Unit: headerUnit(header)}
		switch kind, _ := classify(header); {
		case isSigma(header):
			out[i].Means = "sigma"
		case kind != colAttribute:
			out[i].Means = kindNames[kind]
		}
	}
	return out
}

func axisNamed(word string) axis {
	switch word {
	case "longitude":
		return axisLon
	case "latitude":
		return axisLat
	}
	return axisPlane
}

// Next moves to the next row that is not empty; ok is false at the end. A row
// with another number of cells than the header is an error, unless the cells
// too many are empty.
func (t *Table) Next() (ok bool, err error) {
	for {
		if ok, err = t.rows.row(); !ok || err != nil {
			return ok, err
		}
		if t.rows.filled() == 0 {
			continue
		}
		n := len(t.rows.cells)
		for n > len(t.Columns) && len(t.rows.cells[n-1].text) == 0 {
			n--
		}
		if n != len(t.Columns) {
			return false, t.rows.fail("give every row as many cells as the header; text with a separator in it needs quotes", "the row has %d cells, but there are %d columns", n, len(t.Columns))
		}
		return true, nil
	}
}

// Line is where the row stands, from 1.
func (t *Table) Line() int { return t.rows.line }

// Text returns a cell of the row.
func (t *Table) Text(column int) string { return string(t.rows.cells[column].text) }

// Number returns a cell of the row as a number: a length for "plane", degrees
// for "longitude" or "latitude", which may have minutes and seconds.
func (t *Table) Number(column int, on string) (float64, error) {
	v, err := t.manner.coordinate(t.rows.cells[column].text, axisNamed(on))
	if err == errAnotherManner {
		err = fmt.Errorf("it is no number")
	}
	return v, err
}
