// Package sqlite reads and writes SQLite 3 database files, as much of them as a
// GeoPackage needs: rowid tables, unique indexes that come with a table, text
// in any of the three encodings. It follows the published file format
// (sqlite.org/fileformat2.html) and knows no SQL but the columns of a CREATE
// TABLE. A database is bytes in memory; nothing is ever changed in place.
//
// Not read, and refused by name: tables WITHOUT ROWID, generated columns, files
// of a later format. A file that was left in write-ahead mode is read as it
// stands; WAL says so, because changes may lie in a file beside it.
package sqlite

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"unicode/utf16"
)

// Kind is the storage class of a value.
type Kind uint8

// The storage classes.
const (
	Null Kind = iota
	Integer
	Real
	Text
	Blob
)

// Value is one value of a row.
type Value struct {
	Kind  Kind
	Int   int64
	Float float64
	Bytes []byte // of a text (UTF-8) or blob
}

// Int returns a whole number.
func Int(i int64) Value { return Value{Kind: Integer, Int: i} }

// Float returns a real number.
func Float(f float64) Value { return Value{Kind: Real, Float: f} }

// String returns a text.
func String(s string) Value { return Value{Kind: Text, Bytes: []byte(s)} }

// Bytes returns a blob; b is not copied.
func Bytes(b []byte) Value { return Value{Kind: Blob, Bytes: b} }

// Text gives a text's characters, "" for any other kind.
func (v Value) Text() string {
	if v.Kind != Text {
		return ""
	}
	return string(v.Bytes)
}

// Magic starts every database.
const Magic = "SQLite format 3\x00"

const headerBytes = 100

// DB is a database that is read.
type DB struct {
	data     []byte
	pageSize int
	usable   int
	wide     binary.ByteOrder // of UTF-16; nil for UTF-8
	// WAL is true when the file was left in write-ahead mode.
	WAL bool
	// Application is the number by which applications mark their files.
	Application uint32
	// User is the version number that an application sets.
	User   uint32
	tables []*Table
	views  map[string]bool
}

// Error is a fault in the file.
type Error struct{ Problem string }

func (e *Error) Error() string { return e.Problem }

func faultf(format string, args ...any) error { return &Error{fmt.Sprintf(format, args...)} }

// Open reads the header and the schema.
func Open(data []byte) (*DB, error) {
	if len(data) < headerBytes || string(data[:len(Magic)]) != Magic {
		return nil, faultf("the file is no SQLite database")
	}
	db := &DB{data: data, pageSize: int(binary.BigEndian.Uint16(data[16:])), Application: binary.BigEndian.Uint32(data[68:]), User: binary.BigEndian.Uint32(data[60:]), views: map[string]bool{}}
	if db.pageSize == 1 {
		db.pageSize = 65536
	}
	if db.pageSize < 512 || db.pageSize&(db.pageSize-1) != 0 {
		return nil, faultf("the page size %d is none that a database has", db.pageSize)
	}
	db.usable = db.pageSize - int(data[20])
	if db.usable < 480 || data[21] != 64 || data[22] != 32 || data[23] != 32 {
		return nil, faultf("the header of the database makes no sense")
	}
	if data[19] > 2 {
		return nil, faultf("the database is of a later format (%d) than is known here", data[19])
	}
	db.WAL = data[19] == 2
	switch e := binary.BigEndian.Uint32(data[56:]); e {
	case 0, 1:
	case 2:
		db.wide = binary.LittleEndian
	case 3:
		db.wide = binary.BigEndian
	default:
		return nil, faultf("the text encoding %d is none that a database has", e)
	}
	pages := int64(binary.BigEndian.Uint32(data[28:]))
	if binary.BigEndian.Uint32(data[24:]) == binary.BigEndian.Uint32(data[92:]) && pages*int64(db.pageSize) > int64(len(data)) {
		return nil, faultf("the header promises %d pages of %d bytes, the file has %d bytes", pages, db.pageSize, len(data))
	}
	err := db.walk(1, func(_ int64, row []Value) error {
		if len(row) < 5 {
			return faultf("a row of the schema has %d columns", len(row))
		}
		switch row[0].Text() {
		case "table":
			if t := parseTable(row[1].Text(), row[4].Text()); row[3].Kind == Integer {
				t.root = row[3].Int
				db.tables = append(db.tables, t)
			}
		case "view":
			db.views[strings.ToLower(row[1].Text())] = true
		}
		return nil
	})
	return db, err
}

// Table returns the table of that name, in any case, nil when there is none.
func (db *DB) Table(name string) *Table {
	for _, t := range db.tables {
		if strings.EqualFold(t.Name, name) {
			return t
		}
	}
	return nil
}

// Tables returns all tables, in the order of the schema.
func (db *DB) Tables() []*Table { return db.tables }

// IsView reports whether the name is that of a view.
func (db *DB) IsView(name string) bool { return db.views[strings.ToLower(name)] }

// Rows calls f with every row of a table, in the order of their rowid: values
// in the order of the table's columns, valid until f returns.
func (db *DB) Rows(t *Table, f func(rowid int64, row []Value) error) error {
	if t.refused != "" {
		return faultf("the table %s %s, which is not read", t.Name, t.refused)
	}
	if t.root < 1 || t.root > math.MaxInt32 {
		return faultf("the table %s starts on page %d", t.Name, t.root)
	}
	return db.walk(int(t.root), func(rowid int64, row []Value) error {
		if len(row) > len(t.Columns) {
			return faultf("row %d of %s has %d values for %d columns", rowid, t.Name, len(row), len(t.Columns))
		}
		for len(row) < len(t.Columns) { // columns that were added later
			row = append(row, t.Columns[len(row)].Default)
		}
		if t.RowID >= 0 {
			row[t.RowID] = Int(rowid)
		}
		return f(rowid, row)
	})
}

func (db *DB) page(n int) ([]byte, error) {
	end := int64(n) * int64(db.pageSize)
	if n < 1 || end > int64(len(db.data)) {
		return nil, faultf("page %d lies outside the file", n)
	}
	return db.data[end-int64(db.pageSize) : end : end], nil
}

// walk goes through a table's tree. No page is visited twice.
func (db *DB) walk(root int, f func(int64, []Value) error) error {
	w := walker{db: db, seen: map[int]bool{}, f: f}
	return w.visit(root, 0)
}

type walker struct {
	db   *DB
	seen map[int]bool
	row  []Value
	f    func(int64, []Value) error
}

func (w *walker) visit(n, depth int) error {
	if w.seen[n] || depth > 40 {
		return faultf("page %d is led to twice", n)
	}
	w.seen[n] = true
	p, err := w.db.page(n)
	if err != nil {
		return err
	}
	head := 0
	if n == 1 {
		head = headerBytes
	}
	kind, count := p[head], int(binary.BigEndian.Uint16(p[head+3:]))
	size := 8
	if kind == 5 {
		size = 12
	}
	if kind != 5 && kind != 13 {
		return faultf("page %d is no page of a table (%d)", n, kind)
	}
	if head+size+2*count > w.db.usable {
		return faultf("page %d has %d cells, more than fit", n, count)
	}
	for i := range count {
		at := int(binary.BigEndian.Uint16(p[head+size+2*i:]))
		if at < head+size || at+4 > w.db.usable {
			return faultf("a cell of page %d lies outside it", n)
		}
		if kind == 5 {
			if err := w.visit(int(binary.BigEndian.Uint32(p[at:])), depth+1); err != nil {
				return err
			}
			continue
		}
		if err := w.cell(n, p[at:w.db.usable]); err != nil {
			return err
		}
	}
	if kind == 5 {
		return w.visit(int(binary.BigEndian.Uint32(p[head+8:])), depth+1)
	}
	return nil
}

// cell reads one row of a leaf.
func (w *walker) cell(n int, c []byte) error {
	size, k := varint(c)
	rowid, m := varint(c[k:])
	if k == 0 || m == 0 || size > uint64(len(w.db.data)) {
		return faultf("a cell of page %d is cut off", n)
	}
	payload, err := w.payload(c[k+m:], int(size), w.db.usable-35)
	if err != nil {
		return fmt.Errorf("row %d: %w", int64(rowid), err)
	}
	if w.row, err = w.db.record(w.row[:0], payload); err != nil {
		return fmt.Errorf("row %d: %w", int64(rowid), err)
	}
	return w.f(int64(rowid), w.row)
}

// local is how much of a payload stands in its cell (file format, "Cell Payload
// Overflow Pages"); most is what a cell holds without overflow.
func local(size, usable, most int) int {
	if size <= most {
		return size
	}
	least := (usable-12)*32/255 - 23
	k := least + (size-least)%(usable-4)
	if k <= most {
		return k
	}
	return least
}

// payload gathers a row's content. A page of overflow belongs to one row alone.
func (w *walker) payload(c []byte, size, most int) ([]byte, error) {
	db := w.db
	n := local(size, db.usable, most)
	if n > len(c) {
		return nil, faultf("its content is cut off")
	}
	if n == size {
		return c[:n], nil
	}
	if n+4 > len(c) {
		return nil, faultf("its content is cut off")
	}
	out := append(make([]byte, 0, size), c[:n]...)
	next := int(binary.BigEndian.Uint32(c[n:]))
	for len(out) < size {
		if w.seen[next] {
			return nil, faultf("page %d is led to twice", next)
		}
		w.seen[next] = true
		p, err := db.page(next)
		if err != nil {
			return nil, err
		}
		out = append(out, p[4:min(db.usable, 4+size-len(out))]...)
		next = int(binary.BigEndian.Uint32(p))
	}
	return out, nil
}

// varint reads a variable-length number of 1 to 9 bytes; n is 0 when it is cut
// off.
func varint(b []byte) (v uint64, n int) {
	for i := range min(9, len(b)) {
		if i == 8 {
			return v<<8 | uint64(b[i]), 9
		}
		v = v<<7 | uint64(b[i]&0x7f)
		if b[i] < 0x80 {
			return v, i + 1
		}
	}
	return 0, 0
}

// record decodes a row.
func (db *DB) record(dst []Value, p []byte) ([]Value, error) {
	size, n := varint(p)
	if n == 0 || size > uint64(len(p)) || int(size) < n {
		return dst, faultf("its header is cut off")
	}
	head, body := p[n:size], p[size:]
	for len(head) > 0 {
		t, n := varint(head)
		if n == 0 {
			return dst, faultf("its header is cut off")
		}
		head = head[n:]
		length := 0
		switch {
		case t <= 4:
			length = int(t)
		case t == 5:
			length = 6
		case t == 6, t == 7:
			length = 8
		case t >= 12:
			if t/2 > uint64(len(body))+7 {
				return dst, faultf("a value is cut off")
			}
			length = int(t-12) / 2
		}
		if length > len(body) {
			return dst, faultf("a value is cut off")
		}
		b := body[:length]
		body = body[length:]
		switch {
		case t == 0:
			dst = append(dst, Value{})
		case t <= 6:
			dst = append(dst, Int(signed(b)))
		case t == 7:
			dst = append(dst, Float(math.Float64frombits(binary.BigEndian.Uint64(b))))
		case t == 8, t == 9:
			dst = append(dst, Int(int64(t-8)))
		case t < 12:
			return dst, faultf("a value has the type %d, which is kept for other uses", t)
		case t%2 == 0:
			dst = append(dst, Value{Kind: Blob, Bytes: b})
		default:
			dst = append(dst, Value{Kind: Text, Bytes: db.utf8(b)})
		}
	}
	return dst, nil
}

func signed(b []byte) int64 {
	if len(b) == 0 {
		return 0
	}
	v := int64(int8(b[0]))
	for _, c := range b[1:] {
		v = v<<8 | int64(c)
	}
	return v
}

func (db *DB) utf8(b []byte) []byte {
	if db.wide == nil {
		return b
	}
	units := make([]uint16, len(b)/2)
	for i := range units {
		units[i] = db.wide.Uint16(b[2*i:])
	}
	return []byte(string(utf16.Decode(units)))
}
