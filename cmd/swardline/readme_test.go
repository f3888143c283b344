// The README's commands and the output it shows, run as they stand.

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// shown matches a marked block: the comment that names the command, and the
// output below it.
var shown = regexp.MustCompile("(?s)<!-- output of: swardline ([^\n]*) -->\n```\n(.*?)```\n")

func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(top)
	old, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := shown.FindAllSubmatchIndex(old, -1)
	if len(blocks) < 3 {
		t.Fatalf("README.md shows %d outputs, want at least 3", len(blocks))
	}
	var out bytes.Buffer
	at := 0
	for _, b := range blocks {
		command := string(old[b[2]:b[3]])
		got := runForReadme(t, command)
		if want := string(old[b[4]:b[5]]); got != want && !*update {
			t.Errorf("swardline %s\nprints\n%s\nREADME.md shows\n%s", command, got, want)
		}
		out.Write(old[at:b[4]])
		out.WriteString(got)
		at = b[5]
	}
	out.Write(old[at:])
	if *update && !bytes.Equal(out.Bytes(), old) {
		if err := os.WriteFile("README.md", out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// runForReadme runs a command in this process and returns its standard output.
// OUT stands for a file in a folder of its own.
func runForReadme(t *testing.T, command string) string {
	t.Helper()
	args := strings.Fields(command)
	for i, a := range args {
		if strings.HasPrefix(a, "OUT") {
			args[i] = filepath.Join(t.TempDir(), a)
		}
	}
	var stdout, stderr bytes.Buffer
	if status := execute(context.Background(), args, streams{strings.NewReader(""), &stdout, &stderr}); status > exitFindings {
		t.Fatalf("swardline %s: status %d: %s", command, status, stderr.String())
	}
	return stdout.String()
}

// The two set-up commands at the top must be what they are said to be; the first
// is run here, the second is what runs this test.
func TestReadmeSetUpCommands(t *testing.T) {
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(top)
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	var commands []string
	for _, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(line, "    go ") {
			commands = append(commands, strings.TrimSpace(line))
		}
	}
	if len(commands) < 2 || commands[1] != "go test ./..." {
		t.Fatalf("the README's commands are %q", commands)
	}
	command, ok := strings.CutPrefix(commands[0], "go run ./cmd/swardline ")
	if !ok {
		t.Fatalf("the first command is %q", commands[0])
	}
	got := runForReadme(t, command)
	for _, want := range []string{"examples/faults/park-faults.geojson", "examples/park/park.kml", "Tested "} {
		if !strings.Contains(got, want) {
			t.Errorf("%s does not print %q", commands[0], want)
		}
	}
}
