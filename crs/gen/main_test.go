// Test that the embedded tables are what the generator writes.

package main

import (
	"compress/gzip"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

func TestTablesAreWhatIsCommitted(t *testing.T) {
	db := filepath.Join(os.Getenv("SWARDLINE_SHARED"), "registry", "proj.db")
	if _, err := os.Stat(db); err != nil || os.Getenv("SWARDLINE_SHARED") == "" {
		t.Skip("no proj.db of the tables' version here")
	}
	if _, err := exec.LookPath("sqlite3"); err != nil {
		t.Skip("no sqlite3 here")
	}
	out, err := exec.Command("sqlite3", "-readonly", db, "select value from metadata where key='EPSG.VERSION'").Output()
	if err != nil || string(out) != "v12.029\n" {
		t.Skipf("the proj.db here holds EPSG %q (%v), the tables v12.029", out, err)
	}
	dir := t.TempDir()
	if err := run(registry(db), dir); err != nil {
		t.Fatal(err)
	}
	committed, err := filepath.Glob("../epsg/*.tsv.gz")
	if err != nil || len(committed) != len(tables)+1 {
		t.Fatalf("%d tables are committed (%v), %d are written", len(committed), err, len(tables)+1)
	}
	for _, file := range committed {
		name := filepath.Base(file)
		got, want := unpack(t, filepath.Join(dir, name)), unpack(t, file)
		if got != want {
			t.Errorf("%s is not what the generator writes", name)
		}
		if len(got) < 1000 {
			t.Errorf("%s holds %d bytes", name, len(got))
		}
	}
}

func TestMissingDatabase(t *testing.T) {
	if err := run(registry(filepath.Join(t.TempDir(), "none.db")), t.TempDir()); err == nil {
		t.Error("no database, no error")
	}
}

func unpack(t *testing.T, file string) string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
