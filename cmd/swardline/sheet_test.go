// The picture in the README is what the program draws.

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
)

// pictureOf is the command that makes examples/sheet.svg, run from the
// project's top folder, with the output on standard output.
var pictureOf = []string{"sheet", "examples/park/park.geojson", "-", "--write", "svg", "--date", "2026-05-31", "--crs", "EPSG:32632", "--paper", "A3", "--for", "client"}

func TestPicture(t *testing.T) {
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	args := append([]string(nil), pictureOf...)
	args[1] = filepath.Join(top, args[1])
	var out, errs bytes.Buffer
	if status := execute(context.Background(), args, streams{in: bytes.NewReader(nil), out: &out, err: &errs}); status != exitDone {
		t.Fatalf("exit status %d\n%s", status, errs.String())
	}
	path := filepath.Join(top, "examples", "sheet.svg")
	if *update {
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out.Bytes(), want) {
		t.Error("examples/sheet.svg is not what the program draws; run this test with -update and look at the picture")
	}
}
