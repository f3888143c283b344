// The committed demo files are what this program writes.

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

func TestFilesAreAsMade(t *testing.T) {
	files, err := makeAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 8 {
		t.Fatalf("%d files are made, want 8 or more", len(files))
	}
	for _, f := range files {
		got, err := os.ReadFile(filepath.Join("..", filepath.FromSlash(f.name)))
		if err != nil {
			t.Error(err)
			continue
		}
		if !bytes.Equal(got, f.data) {
			t.Errorf("examples/%s is not what 'go run ./examples/make' writes", f.name)
		}
	}
}
