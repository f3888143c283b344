// Command archives builds what people install without Go: for each system an
// archive with the program, its manual pages and the shells' completions,
// beside them a bill of materials and checksums. The same sources give the same
// bytes.
//
//	go run ./cmd/archives -o DIR
package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strings"
	"time"

	"swardline/cmd/internal/job"
)

// targets are the systems that archives are built for.
var targets = []struct{ os, arch string }{
	{"linux", "amd64"}, {"linux", "arm64"}, {"darwin", "amd64"}, {"darwin", "arm64"}, {"windows", "amd64"}, {"windows", "arm64"},
}

// billOfMaterials is the program that lists what the program is made of.
const billOfMaterials = "github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.9.0"

// toolchain is the Go that builds what is handed out: the patch of the
// language's release in which no flaw of the standard library is known that the
// program meets. The checks before a change lands look at it with the same.
const toolchain = "go1.26.10"

// stamp is the time of every file in an archive.
var stamp = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// file is one file of an archive.
type file struct {
	name string
	data []byte
	mode int64
}

func main() {
	dir := flag.String("o", "", "`folder` to write the archives to")
	bill := flag.Bool("bill", true, "write the bill of materials, which needs the module proxy")
	flag.Parse()
	if *dir == "" || flag.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "archives: usage: go run ./cmd/archives -o DIR")
		os.Exit(2)
	}
	if err := build(*dir, *bill); err != nil {
		fmt.Fprintln(os.Stderr, "archives:", err)
		os.Exit(1)
	}
}

func build(dir string, bill bool) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "swardline-archives")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	beside, err := documents(work)
	if err != nil {
		return err
	}
	made := map[string][]byte{}
	fmt.Printf("building for %d systems\n", len(targets))
	for _, t := range targets {
		data, err := program(work, t.os, t.arch)
		if err != nil {
			return err
		}
		name := "swardline"
		if t.os == "windows" {
			name += ".exe"
		}
		files := append([]file{{name, data, 0o755}}, beside...)
		base := fmt.Sprintf("swardline-%s-%s-%s", job.Version, t.os, t.arch)
		if t.os == "windows" {
			made[base+".zip"], err = packZip(base, files)
		} else {
			made[base+".tar.gz"], err = packTar(base, files)
		}
		if err != nil {
			return err
		}
	}
	if bill {
		// Read off the program itself: it says which modules are in it.
		name := fmt.Sprintf("swardline-%s.cdx.json", job.Version)
		built := filepath.Join(work, targets[0].os+"-"+targets[0].arch)
		if made[name], err = output(nil, "go", "run", billOfMaterials, "bin", "-json", "-noserial", "-version", "v"+job.Version, built); err != nil {
			return err
		}
	}
	made["SHA256SUMS"] = checksums(made)
	for _, name := range slices.Sorted(maps.Keys(made)) {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path+".part", made[name], 0o644); err != nil {
			return err
		}
		if err := os.Rename(path+".part", path); err != nil {
			return err
		}
		fmt.Printf("%9d  %s\n", len(made[name]), name)
	}
	return nil
}

// program builds the program for a system; twice gives the same bytes.
func program(work, system, arch string) ([]byte, error) {
	path := filepath.Join(work, system+"-"+arch)
	if _, err := output([]string{"GOOS=" + system, "GOARCH=" + arch, "CGO_ENABLED=0", "GOTOOLCHAIN=" + toolchain},
		"go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-o", path, "./cmd/swardline"); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
}

// documents are what lies beside the program: manual pages, completions, readme
// and licence.
func documents(work string) ([]file, error) {
	tool := filepath.Join(work, "manual")
	if runtime.GOOS == "windows" {
		tool += ".exe"
	}
	if _, err := output([]string{"CGO_ENABLED=0"}, "go", "build", "-tags", "manual", "-o", tool, "./cmd/swardline"); err != nil {
		return nil, err
	}
	pages := filepath.Join(work, "man1")
	if err := os.Mkdir(pages, 0o755); err != nil {
		return nil, err
	}
	if _, err := output(nil, tool, "manual", pages); err != nil {
		return nil, err
	}
	var out []file
	entries, err := os.ReadDir(pages)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(pages, e.Name()))
		if err != nil {
			return nil, err
		}
		if !strings.HasPrefix(e.Name(), "swardline-manual") {
			out = append(out, file{"man/man1/" + e.Name(), data, 0o644})
		}
	}
	for _, c := range []struct{ shell, name string }{{"bash", "swardline.bash"}, {"zsh", "_swardline"}, {"fish", "swardline.fish"}, {"powershell", "swardline.ps1"}} {
		data, err := output(nil, tool, "completion", c.shell)
		if err != nil {
			return nil, err
		}
		out = append(out, file{"completions/" + c.name, data, 0o644})
	}
	for _, name := range []string{"README.md", "LICENSE"} {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("run it from the top of the sources: %w", err)
		}
		out = append(out, file{name, data, 0o644})
	}
	sort.Slice(out, func(i, k int) bool { return out[i].name < out[k].name })
	return out, nil
}

// output runs a command and gives what it prints; its error says what it said.
func output(env []string, name string, args ...string) ([]byte, error) {
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), env...)
	var said bytes.Buffer
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", strings.Join(cmd.Args, " "), err, said.Bytes())
	}
	return out, nil
}

func packTar(base string, files []file) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	t := tar.NewWriter(z)
	for _, f := range files {
		h := &tar.Header{Name: base + "/" + f.name, Mode: f.mode, Size: int64(len(f.data)), ModTime: stamp, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := t.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := t.Close(); err != nil {
		return nil, err
	}
	err = z.Close()
	return b.Bytes(), err
}

func packZip(base string, files []file) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		h := &zip.FileHeader{Name: base + "/" + f.name, Method: zip.Deflate, Modified: stamp}
		h.SetMode(os.FileMode(f.mode))
		w, err := z.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := io.Copy(w, bytes.NewReader(f.data)); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}

func checksums(made map[string][]byte) []byte {
	var b bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(made)) {
		sum := sha256.Sum256(made[name])
		fmt.Fprintf(&b, "%s  %s\n", hex.EncodeToString(sum[:]), name)
	}
	return b.Bytes()
}
