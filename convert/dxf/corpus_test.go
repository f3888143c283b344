// Drawings that nobody here wrote: each is read, or refused with one clear
// error, and what is read can be written and read again.

package dxf

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

func TestCorpus(t *testing.T) {
	shared := os.Getenv("SWARDLINE_SHARED")
	if shared == "" {
		t.Skip("SWARDLINE_SHARED names no folder with a corpus")
	}
	files, err := filepath.Glob(filepath.Join(shared, "corpus", "dxf", "*.dxf"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no drawings in %s: %v", shared, err)
	}
	var table strings.Builder
	readable := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		o := wire.ReadOptions{Name: name}
		inv, err := Look(data, o)
		if err != nil {
			t.Errorf("%s: Look: %v", name, err)
			continue
		}
		outcome := "read"
		p, w, err := Read(data, o)
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || in.File != name || in.Mend == "" {
				t.Errorf("%s: not one clear error: %v", name, err)
				continue
			}
			outcome = "asks for its unit"
			if inv.UnitStated || !strings.Contains(in.Mend, "--units") {
				t.Errorf("%s: refused although its unit is stated: %v", name, err)
			}
			o.Unit = "mm"
			if p, w, err = Read(data, o); err != nil {
				t.Errorf("%s: with a unit: %v", name, err)
				continue
			}
		}
		readable++
		entities := 0
		for _, c := range inv.Entities {
			entities += c.N
		}
		left := 0
		for _, x := range w {
			if slices.Contains([]string{"ring-without-area", "text-empty", "leader-mute", "insert-point-far"}, x.Kind) {
				left += x.Count // some of them
			}
		}
		if len(p.Features) > entities || len(p.Features) < entities-left {
			t.Errorf("%s: %d features of %d entities", name, len(p.Features), entities)
		}
		var out bytes.Buffer
		lost, err := Write(&out, p, wire.WriteOptions{Unit: "mm"})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		back, _, err := Read(out.Bytes(), wire.ReadOptions{Name: name})
		if err != nil {
			t.Errorf("%s: written and read again: %v", name, err)
			continue
		}
		if err := schema.Same(stripped(p), stripped(back), 2e-5); err != nil {
			t.Errorf("%s: written and read again: %v", name, err)
		}
		fmt.Fprintf(&table, "%-26s %-7s %-18s %5d features  %s  lost: %s\n", name, inv.Release, outcome, len(p.Features), kinds(w), losses(lost))
	}
	if readable != len(files) {
		t.Errorf("%d of %d drawings are readable", readable, len(files))
	}
	t.Logf("%d drawings\n%s", len(files), table.String())
}
