// Command desk builds the page for a static host: a folder that any web server
// can serve and that opens with no network after one visit.
//
//	go run ./cmd/desk -o DIR

//go:build !js

package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"swardline/cmd/internal/desk"
)

func main() {
	dir := flag.String("o", "", "`folder` to write the page to")
	flag.Parse()
	if *dir == "" || flag.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "desk: usage: go run ./cmd/desk -o DIR")
		os.Exit(2)
	}
	if err := build(*dir); err != nil {
		fmt.Fprintln(os.Stderr, "desk:", err)
		os.Exit(1)
	}
}

// build makes every file first and writes them only then.
func build(dir string) error {
	files := map[string][]byte{}
	err := fs.WalkDir(desk.Page(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(desk.Page(), name)
		files[name] = data
		return err
	})
	if err != nil {
		return err
	}
	if files["engine.bin"], err = engine(); err != nil {
		return err
	}
	if files["wasm_exec.js"], err = wasmExec(); err != nil {
		return err
	}
	if files["sw.js"], err = keeper(files); err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path+".part", files[name], 0o644); err != nil {
			return err
		}
		if err := os.Rename(path+".part", path); err != nil {
			return err
		}
		fmt.Printf("%9d  %s\n", len(files[name]), name)
	}
	return nil
}

// engine builds the engine for the browser and packs it: hosts that pack what
// they serve leave it as it is, and for the others it is small.
func engine() ([]byte, error) {
	tmp, err := os.MkdirTemp("", "swardline-desk")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(tmp)
	wasm := filepath.Join(tmp, "engine.wasm")
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", wasm, "swardline/cmd/desk")
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("building the engine: %w\n%s", err, out)
	}
	data, err := os.ReadFile(wasm)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// wasmExec is the toolchain's own half of the engine, from the toolchain that
// built it.
func wasmExec() ([]byte, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	for _, sub := range []string{"lib/wasm", "misc/wasm"} {
		data, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), filepath.FromSlash(sub), "wasm_exec.js"))
		if err == nil {
			return data, nil
		}
	}
	return nil, errors.New("the Go toolchain has no wasm_exec.js")
}

// keeper is the service worker with the names of all files and a stamp of their
// content, so that a browser takes a new build as a whole.
func keeper(files map[string][]byte) ([]byte, error) {
	sum := sha256.New()
	var list []string
	for _, n := range slices.Sorted(maps.Keys(files)) {
		if n == "sw.js" {
			continue
		}
		fmt.Fprintf(sum, "%s %d\n", n, len(files[n]))
		sum.Write(files[n])
		list = append(list, fmt.Sprintf("%q", "./"+n))
	}
	text := string(files["sw.js"])
	const stamp, empty = `const STAMP = "unbuilt";`, `const NAMES = [];`
	if !strings.Contains(text, stamp) || !strings.Contains(text, empty) {
		return nil, errors.New("sw.js has no place for its stamp and names")
	}
	text = strings.Replace(text, stamp, fmt.Sprintf("const STAMP = %q;", "swardline-"+hex.EncodeToString(sum.Sum(nil)[:8])), 1)
	text = strings.Replace(text, empty, "const NAMES = [\"./\", "+strings.Join(list, ", ")+"];", 1)
	return []byte(text), nil
}
