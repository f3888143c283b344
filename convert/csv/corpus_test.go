// Files nobody here wrote: every one is read, written and read again with
// nothing lost, or refused with one clear error.

package csv

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"swardline/convert/wire"
)

func TestForeignFiles(t *testing.T) {
	shared := os.Getenv("SWARDLINE_SHARED")
	if shared == "" {
		t.Skip("SWARDLINE_SHARED is not set")
	}
	var files []string
	for _, ending := range []string{"csv", "tsv", "dsv"} {
		found, err := filepath.Glob(filepath.Join(shared, "corpus/csv/*."+ending))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	if len(files) == 0 {
		t.Fatalf("no files in %s", shared)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		p, warnings, err := Read(data, wire.ReadOptions{Name: name})
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || in.File != name || in.Line == 0 {
				t.Errorf("%s: %v is no clear error", name, err)
			}
			t.Logf("%-24s REFUSED %v", name, err)
			continue
		}
		if !Detect(data) {
			t.Errorf("%s: not detected", name)
		}
		roundTrip(t, p, LayoutWKT)
		roundTrip(t, p, LayoutPoints)
		t.Logf("%-24s %d features %v", name, len(p.Features), kindsOf(warnings))
	}
}

func kindsOf(warnings []wire.Warning) []string {
	out := []string{}
	for _, w := range warnings {
		out = append(out, w.Kind)
	}
	return out
}
