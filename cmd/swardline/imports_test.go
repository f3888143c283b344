// The import direction crs/adjust <- crs <- schema <- {convert, convert/intake,
// convert/sheet, validate} <- cmd/internal/job <- cmd, and the names that no
// package may have. testdata is for tests: nothing of the product may import
// it.

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
	// What each room may import of the project's own, besides itself. A package
	// belongs to the room whose name is the longest start of its path.
	down := []string{"crs", "crs/adjust", "schema"}
	rooms := append([]string{"convert", "convert/intake", "convert/sheet", "validate"}, down...)
	allowed := map[string][]string{
		"crs/adjust":       nil,
		"crs":              {"crs/adjust"},
		"schema":           {"crs", "crs/adjust"},
		"convert":          down,
		"convert/intake":   append([]string{"convert"}, down...),
		"convert/sheet":    append([]string{"convert"}, down...),
		"validate":         down,
		"cmd/internal/job": rooms,
		"cmd":              append([]string{"cmd/internal/job"}, rooms...),
		"examples":         rooms,
	}
	roomOf := func(importPath string) string {
		name := strings.TrimPrefix(importPath, "swardline/")
		for room := name; room != "."; room = path.Dir(room) {
			if _, ok := allowed[room]; ok {
				return room
			}
		}
		return name
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
		for _, in := range p.Imports {
			if strings.HasPrefix(in, "swardline/") && roomOf(in) != room && !slices.Contains(may, roomOf(in)) {
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

// TestNothingCompilesAtStart: a JSON Schema engine compiles the meta-schemas of
// every draft whenever a program that holds it starts, so it is for tests
// alone.
func TestNothingCompilesAtStart(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "swardline/cmd/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	if !strings.Contains(string(out), "swardline/convert/geojson/conform\n") {
		t.Fatal("the list of packages is not what it should be")
	}
	if strings.Contains(string(out), "jsonschema") {
		t.Error("the program holds a JSON Schema engine")
	}
}
