// The command line as its users see it: one script a behaviour, in
// testdata/script.

package main

import (
	"archive/zip"
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write expected output anew")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){program: func() { os.Exit(run()) }})
}

func TestScripts(t *testing.T) {
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join(top, "testdata", "script"),
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", filepath.Join(top, "examples"))
			e.Setenv("BROKEN", filepath.Join(top, "testdata", "broken"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":   exits,
			"repeat":  repeat,
			"bytes":   writeBytes,
			"kmzbomb": kmzBomb,
			"splice":  splice,
		},
	})
}

// exits STATUS COMMAND ARG... runs a command and holds its exit status.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND ARG...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}

// splice FILE BEFORE OTHER puts the content of the file OTHER into FILE before
// a text that stands in it once, as with an editor; \n in BEFORE is the end of
// a line.
func splice(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: splice FILE BEFORE OTHER")
	}
	text, before := ts.ReadFile(args[0]), strings.ReplaceAll(args[1], `\n`, "\n")
	if n := strings.Count(text, before); n != 1 {
		ts.Fatalf("%q stands %d times in %s", before, n, args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, before, ts.ReadFile(args[2])+before, 1)), 0o644))
}

// repeat FILE COUNT TEXT... writes TEXT COUNT times into FILE, between the
// texts before and after it when three are given.
func repeat(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 5 {
		ts.Fatalf("usage: repeat FILE COUNT BEFORE TEXT AFTER")
	}
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	fmt.Fprint(f, args[2])
	for range n {
		fmt.Fprint(f, args[3])
	}
	fmt.Fprint(f, args[4])
	ts.Check(f.Close())
}

// bytes FILE GOSTRING writes a Go string literal, without its quotes, into
// FILE.
func writeBytes(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: bytes FILE TEXT")
	}
	text, err := strconv.Unquote(`"` + args[1] + `"`)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o644))
}

// kmzBomb FILE MEGABYTES writes a small KMZ whose doc.kml inflates to so much.
func kmzBomb(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: kmzbomb FILE MEGABYTES")
	}
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	z := zip.NewWriter(f)
	w, err := z.Create("doc.kml")
	ts.Check(err)
	_, err = fmt.Fprint(w, `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>`)
	ts.Check(err)
	block := bytes.Repeat([]byte("a"), 1<<20)
	for range n {
		_, err = w.Write(block)
		ts.Check(err)
	}
	_, err = fmt.Fprint(w, `</name></Document></kml>`)
	ts.Check(err)
	ts.Check(z.Close())
	ts.Check(f.Close())
}
