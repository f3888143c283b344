// Files that nobody here wrote, where they are at hand: each reads or gives one
// clear error, and what reads comes back the same from KML of ours.

package kml

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

// shared returns a path under the folder of outside files, and skips the test
// where there is none.
func shared(t *testing.T, elem ...string) string {
	t.Helper()
	root := os.Getenv("SWARDLINE_SHARED")
	if root == "" {
		t.Skip("SWARDLINE_SHARED does not name a folder of outside files")
	}
	return filepath.Join(append([]string{root}, elem...)...)
}

func TestCorpus(t *testing.T) {
	files, err := filepath.Glob(shared(t, "corpus", "kml", "*.kml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no files: %v", err)
	}
	read, refused := 0, 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		p, warnings, err := Read(data, wire.ReadOptions{Name: name})
		if err != nil {
			refused++
			var in *wire.InputError
			if !errors.As(err, &in) || in.File != name || in.Line == 0 || in.Mend == "" || strings.Contains(err.Error(), "\n") {
				t.Errorf("%s: no clear error: %v", name, err)
			}
			t.Logf("refused  %v", err)
			continue
		}
		read++
		var kinds []string
		for _, w := range warnings {
			kinds = append(kinds, fmt.Sprintf("%s %d", w.Kind, w.Count))
			if w.Kind == "" || w.Count < 1 || w.Message == "" || w.Line < 1 {
				t.Errorf("%s: warning %+v", name, w)
			}
		}
		t.Logf("read     %s: %d features; %s", name, len(p.Features), strings.Join(kinds, ", "))
		q, _, err := reread(p)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		p.Source.Winding, q.Source.Winding = schema.WindingUnstated, schema.WindingUnstated
		if err := schema.Same(standing(p), q, 1e-4); err != nil {
			t.Errorf("%s: after writing and reading: %v", name, err)
		}
	}
	t.Logf("%d files: %d read, %d refused", len(files), read, refused)
}
