// Writing a database: every tree is built from its leaves up, once.

package sqlite

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"slices"
	"strconv"
)

const (
	writePage = 4096
	// libraryVersion is what the header says wrote the file: a release whose
	// format this is.
	libraryVersion = 3040001
)

// Row is one row that is written. The column that stands for the rowid is Null.
type Row struct {
	ID     int64
	Values []Value
}

// Unique lists the columns, by index, of a unique constraint that is not the
// rowid; the database has an index for each, in the order of the CREATE TABLE.
type Unique []int

// Writer collects tables and writes the database.
type Writer struct {
	// Application and User go into the header.
	Application, User uint32

	pages  [][]byte // pages[0] is page 1
	schema []Row
}

// NewWriter returns a writer of an empty database.
func NewWriter() *Writer {
	return &Writer{pages: [][]byte{make([]byte, writePage)}}
}

// Table adds a table. Rows stand in the order of their rising ids; sql is its
// whole CREATE TABLE.
func (w *Writer) Table(name, sql string, rows []Row, unique ...Unique) {
	w.entry("table", name, name, w.tableTree(rows, false), String(sql))
	for i, u := range unique {
		w.entry("index", "sqlite_autoindex_"+name+"_"+strconv.Itoa(i+1), name, w.indexTree(rows, u), Value{})
	}
}

func (w *Writer) entry(kind, name, table string, root int, sql Value) {
	w.schema = append(w.schema, Row{int64(len(w.schema) + 1), []Value{String(kind), String(name), String(table), Int(int64(root)), sql}})
}

// WriteTo writes the database.
func (w *Writer) WriteTo(out io.Writer) (int64, error) {
	w.tableTree(w.schema, true)
	be := binary.BigEndian
	h := w.pages[0]
	copy(h, Magic)
	be.PutUint16(h[16:], writePage)
	h[18], h[19] = 1, 1
	h[21], h[22], h[23] = 64, 32, 32
	be.PutUint32(h[24:], 1)
	be.PutUint32(h[28:], uint32(len(w.pages)))
	be.PutUint32(h[40:], 1)
	be.PutUint32(h[44:], 4)
	be.PutUint32(h[56:], 1)
	be.PutUint32(h[60:], w.User)
	be.PutUint32(h[68:], w.Application)
	be.PutUint32(h[92:], 1)
	be.PutUint32(h[96:], libraryVersion)
	var total int64
	for _, p := range w.pages {
		n, err := out.Write(p)
		total += int64(n)
		if err != nil {
			return total, err
		}
	}
	return total, nil
}

func (w *Writer) newPage() (int, []byte) {
	p := make([]byte, writePage)
	w.pages = append(w.pages, p)
	return len(w.pages), p
}

// sheet fills one page with cells from its end, pointers from its start.
type sheet struct {
	number int
	page   []byte
	head   int // where the page's header stands
	kind   byte
	cells  [][]byte
	room   int
}

func (w *Writer) sheet(kind byte, first bool) *sheet {
	s := &sheet{kind: kind}
	if first {
		s.number, s.page, s.head = 1, w.pages[0], headerBytes
	} else {
		s.number, s.page = w.newPage()
	}
	s.room = writePage - s.head - s.size()
	return s
}

func (s *sheet) size() int {
	if s.kind == 5 || s.kind == 2 {
		return 12
	}
	return 8
}

func (s *sheet) fits(cell []byte) bool { return max(len(cell), 4)+2 <= s.room }

func (s *sheet) add(cell []byte) {
	s.cells = append(s.cells, cell)
	s.room -= max(len(cell), 4) + 2
}

// close lays out the page; right is the last child of an interior one.
func (s *sheet) close(right int) {
	be := binary.BigEndian
	at := writePage
	for i, c := range s.cells {
		at -= max(len(c), 4)
		copy(s.page[at:], c)
		be.PutUint16(s.page[s.head+s.size()+2*i:], uint16(at))
	}
	s.page[s.head] = s.kind
	be.PutUint16(s.page[s.head+3:], uint16(len(s.cells)))
	be.PutUint16(s.page[s.head+5:], uint16(at))
	if s.size() == 12 {
		be.PutUint32(s.page[s.head+8:], uint32(right))
	}
}

// child is a page of the level below, with the largest rowid on it.
type child struct {
	page int
	last int64
}

// tableTree builds a table's tree and returns its root; the schema's root is
// page 1.
func (w *Writer) tableTree(rows []Row, schema bool) int {
	cells := make([][]byte, len(rows))
	total := 0
	for i, r := range rows {
		cells[i] = w.tableCell(r)
		total += max(len(cells[i]), 4) + 2
	}
	onFirst := schema && total <= writePage-headerBytes-8
	var level []child
	s := w.sheet(13, onFirst)
	for i, c := range cells {
		if !s.fits(c) {
			s.close(0)
			level = append(level, child{s.number, rows[i-1].ID})
			s = w.sheet(13, false)
		}
		s.add(c)
	}
	s.close(0)
	var last int64
	if len(rows) > 0 {
		last = rows[len(rows)-1].ID
	}
	level = append(level, child{s.number, last})
	const most = 250 // interior cells are at most 13 bytes and their pointer
	for len(level) > 1 || schema && !onFirst && level[0].page != 1 {
		var up []child
		for len(level) > 0 {
			n := min(len(level), most)
			if len(level)-n == 1 {
				n-- // no page with a single child
			}
			s := w.sheet(5, schema && len(up) == 0 && n == len(level))
			for _, c := range level[:n-1] {
				s.add(appendVarint(binary.BigEndian.AppendUint32(nil, uint32(c.page)), uint64(c.last)))
			}
			s.close(level[n-1].page)
			up = append(up, child{s.number, level[n-1].last})
			level = level[n:]
		}
		level = up
	}
	return level[0].page
}

func (w *Writer) tableCell(r Row) []byte {
	payload := record(r.Values)
	cell := appendVarint(appendVarint(nil, uint64(len(payload))), uint64(r.ID))
	return w.spill(cell, payload, writePage-35)
}

// spill appends a payload to its cell, and what does not fit to pages of its
// own.
func (w *Writer) spill(cell, payload []byte, most int) []byte {
	n := local(len(payload), writePage, most)
	cell = append(cell, payload[:n]...)
	rest := payload[n:]
	if len(rest) == 0 {
		return cell
	}
	cell = binary.BigEndian.AppendUint32(cell, uint32(len(w.pages)+1))
	for len(rest) > 0 {
		_, p := w.newPage()
		k := copy(p[4:], rest)
		rest = rest[k:]
		if len(rest) > 0 {
			binary.BigEndian.PutUint32(p, uint32(len(w.pages)+1))
		}
	}
	return cell
}

// indexTree builds the tree of a unique index and returns its root.
func (w *Writer) indexTree(rows []Row, columns Unique) int {
	keys := make([][]Value, len(rows))
	for i, r := range rows {
		for _, c := range columns {
			keys[i] = append(keys[i], r.Values[c])
		}
		keys[i] = append(keys[i], Int(r.ID))
	}
	slices.SortFunc(keys, compare)
	entries := make([][]byte, len(keys))
	for i, k := range keys {
		payload := record(k)
		entries[i] = w.spill(appendVarint(nil, uint64(len(payload))), payload, (writePage-12)*64/255-23)
	}
	// Each level takes pages full of entries and hands the one between two of
	// them up.
	kind := byte(10)
	var children []int
	for {
		var up [][]byte
		var pages []int
		for i := 0; ; {
			s := w.sheet(kind, false)
			first := i
			for i < len(entries) && s.fits(appendChild(kind, 0, entries[i])) {
				s.add(appendChild(kind, childAt(children, i), entries[i]))
				i++
			}
			if i == len(entries)-1 && i-first > 1 {
				// The last entry would go up with nothing right of it.
				s.cells = s.cells[:len(s.cells)-1]
				i--
			}
			s.close(childAt(children, i))
			pages = append(pages, s.number)
			if i >= len(entries) {
				break
			}
			up = append(up, entries[i])
			i++
		}
		if len(pages) == 1 {
			return pages[0]
		}
		entries, children, kind = up, pages, 2
	}
}

func childAt(children []int, i int) int {
	if i < len(children) {
		return children[i]
	}
	return 0
}

func appendChild(kind byte, page int, entry []byte) []byte {
	if kind != 2 {
		return entry
	}
	return append(binary.BigEndian.AppendUint32(nil, uint32(page)), entry...)
}

// compare orders the keys of an index: nulls, numbers, texts, blobs.
func compare(a, b []Value) int {
	class := func(v Value) int {
		if v.Kind == Real {
			return int(Integer)
		}
		return int(v.Kind)
	}
	for i := range a {
		x, y := a[i], b[i]
		if d := class(x) - class(y); d != 0 {
			return d
		}
		switch x.Kind {
		case Integer:
			if x.Int != y.Int {
				if x.Int < y.Int {
					return -1
				}
				return 1
			}
		case Text, Blob:
			if d := bytes.Compare(x.Bytes, y.Bytes); d != 0 {
				return d
			}
		}
	}
	return 0
}

// record encodes a row.
func record(values []Value) []byte {
	var types, body []byte
	for _, v := range values {
		switch v.Kind {
		case Null:
			types = append(types, 0)
		case Integer:
			t, n := integerType(v.Int)
			types = append(types, t)
			for i := n - 1; i >= 0; i-- {
				body = append(body, byte(v.Int>>(8*i)))
			}
		case Real:
			types = append(types, 7)
			body = binary.BigEndian.AppendUint64(body, math.Float64bits(v.Float))
		case Text:
			types = appendVarint(types, uint64(13+2*len(v.Bytes)))
			body = append(body, v.Bytes...)
		case Blob:
			types = appendVarint(types, uint64(12+2*len(v.Bytes)))
			body = append(body, v.Bytes...)
		}
	}
	size := len(types) + 1
	if size > 127 {
		size++ // the header counts its own length; 16,383 bytes are far more than any
	}
	return append(append(appendVarint(nil, uint64(size)), types...), body...)
}

// integerType gives the smallest type of a whole number and its bytes.
func integerType(v int64) (byte, int) {
	switch {
	case v == 0:
		return 8, 0
	case v == 1:
		return 9, 0
	case v >= -1<<7 && v < 1<<7:
		return 1, 1
	case v >= -1<<15 && v < 1<<15:
		return 2, 2
	case v >= -1<<23 && v < 1<<23:
		return 3, 3
	case v >= -1<<31 && v < 1<<31:
		return 4, 4
	case v >= -1<<47 && v < 1<<47:
		return 5, 6
	}
	return 6, 8
}

func appendVarint(dst []byte, v uint64) []byte {
	if v>>56 != 0 {
		for i := 7; i >= 0; i-- {
			dst = append(dst, byte(v>>(8+7*i))|0x80)
		}
		return append(dst, byte(v))
	}
	var b [9]byte
	n := len(b)
	for {
		n--
		b[n] = byte(v&0x7f) | 0x80
		if v >>= 7; v == 0 {
			break
		}
	}
	b[8] &= 0x7f
	return append(dst, b[n:]...)
}
