// The README's commands and the output it shows, run as they stand.

package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// shown matches a marked block: the comment that names the command, of whose
// output "| head -N" takes the first lines, and the output below it.
var shown = regexp.MustCompile("(?s)<!-- output of: swardline ([^\n]*?)(?: \\| head -([0-9]+))? -->\n```\n(.*?)```\n")

func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	top, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(top)
	for file, least := range map[string]int{"README.md": 3, "examples/README.md": 2} {
		showsWhatIsPrinted(t, file, least)
	}
}

func showsWhatIsPrinted(t *testing.T, file string, least int) {
	t.Helper()
	old, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	blocks := shown.FindAllSubmatchIndex(old, -1)
	if len(blocks) < least {
		t.Fatalf("%s shows %d outputs, want at least %d", file, len(blocks), least)
	}
	var out bytes.Buffer
	at := 0
	for _, b := range blocks {
		command := string(old[b[2]:b[3]])
		got := runForReadme(t, command)
		if b[4] >= 0 {
			n, err := strconv.Atoi(string(old[b[4]:b[5]]))
			if err != nil {
				t.Fatal(err)
			}
			got = strings.Join(strings.SplitAfter(got, "\n")[:n], "")
		}
		if want := string(old[b[6]:b[7]]); got != want && !*update {
			t.Errorf("swardline %s\nprints\n%s\n%s shows\n%s", command, got, file, want)
		}
		out.Write(old[at:b[6]])
		out.WriteString(got)
		at = b[7]
	}
	out.Write(old[at:])
	if *update && !bytes.Equal(out.Bytes(), old) {
		if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
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

// A newcomer copies the README's commands one after the other: they run so, in
// a folder that holds the demo and nothing else.
func TestReadmeCommandsRunInOrder(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(text, []byte("\n")); n > 150 {
		t.Errorf("README.md has %d lines, 150 at most", n)
	}
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "examples"), os.DirFS("../../examples")); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	commands := 0
	for _, line := range strings.Split(string(text), "\n") {
		if command, ok := strings.CutPrefix(line, "    swardline "); ok {
			if strings.Contains(command, "sheet") && strings.Contains(command, "--bundle") {
				command += " --no-drift" // whose tables take seconds, and have tests of their own
			}
			runForReadme(t, command)
			commands++
		}
	}
	if commands < 15 {
		t.Errorf("README.md has %d commands, want at least 15", commands)
	}
}

// readmeAtTop goes to the top folder and reads the README there.
func readmeAtTop(t *testing.T) []byte {
	t.Chdir("../..")
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// The two set-up commands at the top must be what they are said to be; the
// first is run here, the second is what runs this test.
func TestReadmeSetUpCommands(t *testing.T) {
	text := readmeAtTop(t)
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
	for _, want := range []string{"examples/faults/park-faults.geojson", "examples/park/park.kml", "Checked "} {
		if !strings.Contains(got, want) {
			t.Errorf("%s does not print %q", commands[0], want)
		}
	}
}

// The newcomer's way in opens the page with the drawing in it, until it is
// ended.
func TestReadmeDeskCommand(t *testing.T) {
	text := readmeAtTop(t)
	found := regexp.MustCompile(`(?m)^    go run ./cmd/swardline (desk .*)$`).FindSubmatch(text)
	if found == nil {
		t.Fatal("the README does not open the page")
	}
	ctx, end := context.WithCancel(context.Background())
	defer end()
	said, out := io.Pipe()
	status := make(chan int, 1)
	go func() {
		status <- execute(ctx, strings.Fields(string(found[1])), streams{strings.NewReader(""), out, io.Discard})
		out.Close()
	}()
	var host, key string
	if _, err := fmt.Fscanf(said, "open http://%s", &host); err != nil {
		t.Fatal(err)
	}
	host, key, _ = strings.Cut(host, "/?key=")
	go io.Copy(io.Discard, said)
	answer, err := http.Get("http://" + host + "/?key=" + key)
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		t.Errorf("the page is answered with %s", answer.Status)
	}
	http.DefaultClient.CloseIdleConnections()
	end()
	if got := <-status; got != exitDone {
		t.Errorf("ended with status %d", got)
	}
}
