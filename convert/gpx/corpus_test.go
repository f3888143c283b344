// Files nobody here wrote: every one is read, written and read again with
// nothing lost, or refused with one clear error.

package gpx

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

func TestForeignFiles(t *testing.T) {
	shared := os.Getenv("SWARDLINE_SHARED")
	if shared == "" {
		t.Skip("SWARDLINE_SHARED is not set")
	}
	files, err := filepath.Glob(filepath.Join(shared, "corpus/gpx/*.gpx"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no files in %s: %v", shared, err)
	}
	dir := t.TempDir()
	var written []string
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		if !Detect(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))) {
			t.Errorf("%s: not detected", name)
		}
		p, warnings, err := Read(data, wire.ReadOptions{Name: name})
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || in.File != name || in.Line == 0 {
				t.Errorf("%s: %v is no clear error", name, err)
			}
			t.Logf("%-50s REFUSED %v", name, err)
			continue
		}
		out := mustWrite(t, p)
		q, again, err := Read(out, wire.ReadOptions{Name: name})
		if err != nil {
			t.Errorf("%s: what was written cannot be read: %v", name, err)
			continue
		}
		// What stands in the extensions of others is kept, and told as often.
		again = slices.DeleteFunc(again, func(w wire.Warning) bool { return w.Kind == "drawn-elsewhere" })
		if len(again) > 0 {
			t.Errorf("%s: warnings on our own file: %v", name, again)
		}
		if err := schema.Same(p, q, tolerance); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		t.Logf("%-50s %3d features %v", name, len(p.Features), kinds(warnings))
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, out, 0o600); err != nil {
			t.Fatal(err)
		}
		written = append(written, path)
	}
	checkSchema(t, written...)
}

func kinds(warnings []wire.Warning) []string {
	var out []string
	for _, w := range warnings {
		out = append(out, w.Kind)
	}
	return out
}
