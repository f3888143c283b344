// Command gen writes the embedded tables of the registry (../epsg/*.tsv.gz):
// the catalogue of reference systems, the heights and the datum steps, from the
// EPSG tables of a proj.db, by way of the sqlite3 command line shell.
//
//	go run ./crs/gen -db proj.db -out crs/epsg
//
// Only facts are taken: codes, names, units, parameter values, accuracies,
// scopes, years, bounding boxes, and which grid file leads from which reference
// to which. The files are gzip-compressed tables, a record a line, fields
// parted by tabs; the readers beside them, crs/catalogue.go, crs/heights.go and
// crs/steps.go, also document the fields.
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

func main() {
	db := flag.String("db", "/usr/share/proj/proj.db", "the `file` to read")
	out := flag.String("out", "epsg", "the `folder` to write")
	flag.Parse()
	if err := run(registry(*db), *out); err != nil {
		fmt.Fprintln(os.Stderr, "gen:", err)
		os.Exit(1)
	}
}

func run(db registry, out string) error {
	if _, err := os.Stat(string(db)); err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	for _, t := range tables {
		text, err := t.text(db)
		if err == nil {
			err = pack(out, t.file, text)
		}
		if err != nil {
			return err
		}
	}
	text, err := steps(db)
	if err != nil {
		return err
	}
	return pack(out, "steps", text)
}

// registry is the path of a proj.db.
type registry string

// lines are the rows of a query, fields parted by tabs.
func (db registry) lines(query string) ([]string, error) {
	cmd := exec.Command("sqlite3", "-readonly", "-batch", "-noheader", "-separator", "\t", string(db), query)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	b, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("%w: %s", err, stderr.String())
	}
	var lines []string
	for line := range strings.Lines(string(b)) {
		lines = append(lines, strings.TrimSuffix(line, "\n"))
	}
	return lines, nil
}

// pack writes a table.
func pack(out, file, text string) error {
	if text == "" {
		return fmt.Errorf("%s: no rows", file)
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := w.Write([]byte(text)); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	name := filepath.Join(out, file+".tsv.gz")
	if err := os.WriteFile(name, packed.Bytes(), 0o644); err != nil {
		return err
	}
	fmt.Printf("%s: %d rows, %d bytes, %d packed\n", name, strings.Count(text, "\n"), len(text), packed.Len())
	return nil
}
