// The import direction crs/adjust <- crs <- schema <- {convert, validate} <- cmd,
// and the names that no package may have. testdata is for tests: nothing of the
// product may import it.

package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"
)

func TestImportsGoOneWay(t *testing.T) {
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports,Name", "swardline/...")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	// What each room may import of the project's own.
	allowed := map[string][]string{
		"crs":      {"crs"},
		"schema":   {"crs", "schema"},
		"convert":  {"crs", "schema", "convert"},
		"validate": {"crs", "schema", "validate"},
		"cmd":      {"crs", "schema", "convert", "validate", "cmd"},
		"examples": {"crs", "schema", "convert", "validate"},
	}
	seen := map[string]int{}
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p struct {
			ImportPath, Name string
			Imports          []string
		}
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		room := roomOf(p.ImportPath)
		may, ok := allowed[room]
		if !ok {
			t.Errorf("%s: no room is called %q", p.ImportPath, room)
			continue
		}
		seen[room]++
		if p.ImportPath == "swardline/crs/adjust" && slices.ContainsFunc(p.Imports, func(in string) bool { return strings.HasPrefix(in, "swardline/") }) {
			t.Errorf("%s knows no coordinate system and imports %v", p.ImportPath, p.Imports)
		}
		for _, in := range p.Imports {
			if strings.HasPrefix(in, "swardline/") && !slices.Contains(may, roomOf(in)) {
				t.Errorf("%s imports %s", p.ImportPath, in)
			}
		}
		switch path.Base(p.ImportPath) {
		case "util", "utils", "common", "helpers", "types", "core":
			t.Errorf("%s: a package needs a name that says what it is for", p.ImportPath)
		}
	}
	for room := range allowed {
		if seen[room] == 0 {
			t.Errorf("no package found in %s", room)
		}
	}
}

func roomOf(importPath string) string {
	parts := strings.Split(importPath, "/")
	if len(parts) < 2 {
		return ""
	}
	return parts[1]
}
