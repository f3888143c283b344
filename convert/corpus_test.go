// Files that nobody here wrote: each reads, with its warnings, or gets one
// clear error; and what reads comes back from every format.

package convert

import (
	"bytes"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// TestCorpus reads every file of the folder that SWARDLINE_SHARED names, prints
// a table of what became of each (with -v), and takes what was read through
// every format and back.
func TestCorpus(t *testing.T) {
	root := os.Getenv("SWARDLINE_SHARED")
	if root == "" {
		t.Skip("SWARDLINE_SHARED names no folder of files to try")
	}
	root = filepath.Join(root, "corpus")
	files, refused := 0, 0
	ways := map[string]*way{}
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
		if p = throughGeoJSON(t, name, p); p != nil {
			throughAll(t, name, p, ways)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d files, %d refused", files, refused)
	for _, name := range slices.Sorted(maps.Keys(ways)) {
		w := ways[name]
		t.Logf("to %-12s and back: %d the same, %d with a loss report, %d not in WGS 84 degrees", name, w.same, w.lossy, w.other)
		if w.same == 0 {
			t.Errorf("no file came back whole from %s", name)
		}
	}
	if files == 0 {
		t.Fatalf("%s holds no files", root)
	}
}

// throughGeoJSON writes what was read as GeoJSON, reads it back and writes it
// again: the bytes must be the same. The first writing may close and turn
// rings.
func throughGeoJSON(t *testing.T, name string, p *schema.Plan) *schema.Plan {
	t.Helper()
	var first, second bytes.Buffer
	if _, err := Write(&first, p, "geojson", WriteOptions{}); err != nil {
		t.Errorf("%s: writing GeoJSON: %v", name, err)
		return nil
	}
	back, _, err := Read(first.Bytes(), ReadOptions{ReadOptions: wire.ReadOptions{Name: name + ".geojson"}})
	if err != nil {
		t.Errorf("%s: reading the GeoJSON back: %v", name, err)
		return nil
	}
	if _, err := Write(&second, back, "geojson", WriteOptions{}); err != nil {
		t.Errorf("%s: writing GeoJSON again: %v", name, err)
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Errorf("%s: GeoJSON differs the second time:\n%s\nagainst\n%s", name, clip(first.Bytes()), clip(second.Bytes()))
	}
	return back
}

// way counts what became of the files in one format.
type way struct{ same, lossy, other int }

// throughAll takes a plan through every format and layout and back: it must
// come back the same, unless the writer said what it could not hold, or the
// format holds WGS 84 degrees only and the plan has none.
func throughAll(t *testing.T, name string, p *schema.Plan, ways map[string]*way) {
	t.Helper()
	for _, f := range Formats {
		if f.Write == nil || f.Drawing || f.Lossy {
			continue
		}
		layouts := f.Layouts
		if layouts == nil {
			layouts = []string{""}
		}
		for _, layout := range layouts {
			key := strings.TrimSpace(f.Name + " " + layout)
			w := ways[key]
			if w == nil {
				w = new(way)
				ways[key] = w
			}
			if f.WGS84Only && (p.CRS == nil || p.CRS.ID() != crs.WGS84().ID()) {
				w.other++
				continue
			}
			var b bytes.Buffer
			losses, err := Write(&b, p, f.Name, WriteOptions{Layout: layout})
			if err != nil {
				t.Errorf("%s: writing %s: %v", name, key, err)
				continue
			}
			back, _, err := Read(b.Bytes(), ReadOptions{ReadOptions: wire.ReadOptions{Name: "back" + f.Endings[0]}})
			if err != nil {
				t.Errorf("%s: reading %s back: %v", name, key, err)
				continue
			}
			if len(losses) > 0 {
				w.lossy++
				continue
			}
			if err := schema.Same(p, back, 1e-4); err != nil {
				t.Errorf("%s: %s and back: %v", name, key, err)
			}
			w.same++
		}
	}
}
