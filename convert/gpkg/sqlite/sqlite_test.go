// Databases there and back at every size where the format changes its ways,
// against the sqlite3 program where there is one, and any bytes.

package sqlite

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func bytesOf(t testing.TB, w *Writer) []byte {
	t.Helper()
	var b bytes.Buffer
	if _, err := w.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sample is a table of so many rows, with texts of a length, and an index on
// them.
func sample(rows, length int) *Writer {
	w := NewWriter()
	w.User = 7
	list := make([]Row, rows)
	for i := range list {
		v := Value{}
		switch i % 5 {
		case 0:
			v = Int(int64(i) << (i % 40) * int64(1-i%3))
		case 1:
			v = Float(float64(i) / 7)
		case 2:
			v = Bytes([]byte{0, 1, byte(i)})
		case 3:
			v = Int(int64(i % 2))
		}
		list[i] = Row{int64(i + 1), []Value{{}, String(fmt.Sprintf("%06d%s", (i*7919)%rows, strings.Repeat("x", length))), v}}
	}
	w.Table("t", "CREATE TABLE t (id INTEGER PRIMARY KEY, name TEXT UNIQUE, v)", list, Unique{1})
	w.Table("empty", "CREATE TABLE empty (a TEXT NOT NULL PRIMARY KEY, b)", nil, Unique{0})
	return w
}

var sizes = []struct{ rows, length int }{{0, 0}, {1, 0}, {1, 3900}, {1, 4100}, {3, 20000}, {70, 10}, {300, 0}, {500, 900}, {5000, 20}, {60000, 3}, {300, 5000}}

func TestThereAndBack(t *testing.T) {
	for _, s := range sizes {
		data := bytesOf(t, sample(s.rows, s.length))
		db, err := Open(data)
		if err != nil {
			t.Fatalf("%+v: %v", s, err)
		}
		n := 0
		err = db.Rows(db.Table("T"), func(id int64, row []Value) error {
			want := fmt.Sprintf("%06d%s", (n*7919)%s.rows, strings.Repeat("x", s.length))
			n++
			if id != int64(n) || row[0].Int != id || row[1].Text() != want {
				return fmt.Errorf("row %d is %d, %.20q", n, id, row[1].Bytes)
			}
			return nil
		})
		if err != nil || n != s.rows || db.User != 7 {
			t.Errorf("%+v: %d rows, %v", s, n, err)
		}
	}
}

// TestTheLibraryAgrees has SQLite's own program check every page and index and
// read the rows.
func TestTheLibraryAgrees(t *testing.T) {
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("there is no sqlite3 program here")
	}
	for _, s := range sizes {
		path := filepath.Join(t.TempDir(), "a.db")
		if err := os.WriteFile(path, bytesOf(t, sample(s.rows, s.length)), 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(program, path, "PRAGMA integrity_check; SELECT count(*), coalesce(sum(length(name)), 0) FROM t; SELECT count(*) FROM t INDEXED BY sqlite_autoindex_t_1 WHERE name >= '';").CombinedOutput()
		want := fmt.Sprintf("ok\n%d|%d\n%d\n", s.rows, s.rows*(6+s.length), s.rows)
		if err != nil || string(out) != want {
			t.Errorf("%+v: %v\n%s", s, err, out)
		}
	}
}

// TestWhatTheLibraryWrites reads a database of SQLite's own: other page sizes
// and encodings, columns added later, deleted rows, quoted names.
func TestWhatTheLibraryWrites(t *testing.T) {
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("there is no sqlite3 program here")
	}
	for _, pragma := range []string{"", "PRAGMA page_size=512;", "PRAGMA page_size=65536;", "PRAGMA encoding='UTF-16le';", "PRAGMA encoding='UTF-16be';", "PRAGMA auto_vacuum=1;", "PRAGMA journal_mode=wal;"} {
		path := filepath.Join(t.TempDir(), "a.db")
		sql := pragma + `CREATE TABLE "a ""b"" c" (x TEXT, [the id] INTEGER PRIMARY KEY ASC, y REAL DEFAULT (1), z DECIMAL(10,2) /* money */, CHECK (x <> '(,)'));
			WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i+1 FROM n WHERE i < 3000) INSERT INTO "a ""b"" c" SELECT 'Gräs' || i || hex(zeroblob(i % 700)), i * 3, i / 4.0, i FROM n;
			DELETE FROM "a ""b"" c" WHERE "the id" % 2 = 0;
			ALTER TABLE "a ""b"" c" ADD COLUMN w TEXT DEFAULT 'it''s';`
		if out, err := exec.Command(program, path, sql).CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", pragma, err, out)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		db, err := Open(data)
		if err != nil {
			t.Fatalf("%s: %v", pragma, err)
		}
		n := 0
		tb := db.Table(`a "b" c`)
		if tb == nil || !reflect.DeepEqual([]string{tb.Columns[1].Name, tb.Columns[3].Type}, []string{"the id", "DECIMAL ( 10 , 2 )"}) {
			t.Fatalf("%s: %+v", pragma, tb)
		}
		err = db.Rows(tb, func(id int64, row []Value) error {
			n++
			if id%6 != 3 || row[1].Int != id || !strings.HasPrefix(row[0].Text(), fmt.Sprintf("Gräs%d", id/3)) || len(row[0].Text()) < int(id/3%700)*2 || row[4].Text() != "it's" {
				return fmt.Errorf("row %d: %.30q %v", id, row[0].Text(), row[1:])
			}
			return nil
		})
		if err != nil || n != 1500 || db.WAL != strings.Contains(pragma, "wal") {
			t.Errorf("%s: %d rows, %v", pragma, n, err)
		}
	}
}

func TestRefusals(t *testing.T) {
	good := bytesOf(t, sample(500, 20))
	change := func(at int, b ...byte) []byte {
		out := bytes.Clone(good)
		copy(out[at:], b)
		return out
	}
	for name, data := range map[string][]byte{
		"empty": nil, "half": good[:len(good)/2], "page size": change(16, 3, 3), "format": change(19, 3), "encoding": change(59, 9), "fractions": change(21, 65), "no table page": change(100, 2),
	} {
		_, err := Open(data)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%s: %v", name, err)
		}
	}
	w := NewWriter()
	w.Table("a", "CREATE TABLE a (x TEXT PRIMARY KEY) WITHOUT ROWID", nil)
	w.Table("b", "CREATE TABLE b (x TEXT, y AS (x || 1))", nil)
	db, err := Open(bytesOf(t, w))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"a": "the table a is one WITHOUT ROWID, which is not read", "b": "the table b has generated columns, which is not read"} {
		if err := db.Rows(db.Table(name), func(int64, []Value) error { return nil }); err == nil || err.Error() != want {
			t.Error(err)
		}
	}
}

func FuzzOpen(f *testing.F) {
	for _, s := range sizes[:6] {
		f.Add(bytesOf(f, sample(s.rows, s.length)))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		db, err := Open(data)
		if err != nil {
			return
		}
		for _, tb := range db.tables {
			_ = db.Rows(tb, func(int64, []Value) error { return nil })
		}
	})
}
