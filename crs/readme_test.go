// The table of crs/README.md is the table of projection methods.

package crs

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the table of README.md anew")

func TestReadmeHoldsTheMethods(t *testing.T) {
	systems := map[int]int{}
	for _, c := range List() {
		if _, method := c.Method(); method != 0 {
			systems[method]++
		}
	}
	var rows strings.Builder
	rows.WriteString("| method | EPSG | systems in the registry |\n|---|---|---|\n")
	codes := slices.Sorted(maps.Keys(methods))
	codes = slices.DeleteFunc(codes, func(code int) bool { return systems[code] == 0 }) // only a text of one's own names them
	slices.SortStableFunc(codes, func(a, b int) int { return strings.Compare(projectionName(a), projectionName(b)) })
	for _, code := range codes {
		fmt.Fprintf(&rows, "| %s | %d | %d |\n", projectionName(code), code, systems[code])
	}
	const from, to = "<!-- methods -->\n", "<!-- end -->\n"
	old, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := bytes.Cut(old, []byte(from))
	_, after, ok2 := bytes.Cut(rest, []byte(to))
	if !ok || !ok2 {
		t.Fatal("README.md has no table of methods between its marks")
	}
	text := []byte(string(before) + from + rows.String() + to + string(after))
	if bytes.Equal(text, old) {
		return
	}
	if !*update {
		t.Fatal("the table of crs/README.md is not that of the program: go test ./crs -run Readme -update, then read the diff")
	}
	if err := os.WriteFile("README.md", text, 0o644); err != nil {
		t.Fatal(err)
	}
}
