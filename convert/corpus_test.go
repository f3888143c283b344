// Files that nobody here wrote: each reads, with its warnings, or gets one
// clear error; and what reads comes back from every format.

package convert

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

// TestCorpus reads every file of the folder that SWARDLINE_SHARED names, prints
// a table of what became of each (with -v), and takes what was read through
// GeoJSON and back.
func TestCorpus(t *testing.T) {
	root := os.Getenv("SWARDLINE_SHARED")
	if root == "" {
		t.Skip("SWARDLINE_SHARED names no folder of files to try")
	}
	root = filepath.Join(root, "corpus")
	files, refused := 0, 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		if FormatByEnding(name) == nil {
			return nil // lists of numbers for other tests
		}
		files++
		p, warnings, err := ReadFile(path, ReadOptions{ReadOptions: wire.ReadOptions{Name: name}})
		if err != nil {
			refused++
			var in *InputError
			switch {
			case !errors.As(err, &in):
				t.Errorf("%s: the error is no InputError: %v", name, err)
			case in.Problem == "" || strings.Contains(in.Problem, "\n"):
				t.Errorf("%s: the error is not one line: %q", name, in.Problem)
			case !strings.HasPrefix(err.Error(), name):
				t.Errorf("%s: the error does not name the file: %v", name, err)
			}
			t.Logf("%-70s refused: %v", name, strings.TrimPrefix(err.Error(), name))
			return nil
		}
		var kinds []string
		for _, w := range warnings {
			if w.Message == "" || w.Count < 1 {
				t.Errorf("%s: a warning says nothing: %+v", name, w)
			}
			kinds = append(kinds, w.Kind)
		}
		t.Logf("%-70s %s, %d features %s", name, p.Source.Format, len(p.Features), strings.Join(kinds, " "))
		throughGeoJSON(t, name, p)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d files, %d refused", files, refused)
	if files == 0 {
		t.Fatalf("%s holds no files", root)
	}
}

// throughGeoJSON writes what was read as GeoJSON, reads it back and writes it
// again: the bytes must be the same. The first writing may close and turn rings.
func throughGeoJSON(t *testing.T, name string, p *schema.Plan) {
	t.Helper()
	var first, second bytes.Buffer
	if _, err := Write(&first, p, "geojson", WriteOptions{}); err != nil {
		t.Errorf("%s: writing GeoJSON: %v", name, err)
		return
	}
	back, _, err := Read(first.Bytes(), ReadOptions{ReadOptions: wire.ReadOptions{Name: name + ".geojson"}})
	if err != nil {
		t.Errorf("%s: reading the GeoJSON back: %v", name, err)
		return
	}
	if _, err := Write(&second, back, "geojson", WriteOptions{}); err != nil {
		t.Errorf("%s: writing GeoJSON again: %v", name, err)
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Errorf("%s: GeoJSON differs the second time:\n%s\nagainst\n%s", name, clip(first.Bytes()), clip(second.Bytes()))
	}
}
