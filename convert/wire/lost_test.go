// Tests that every warning is judged: what a reader passes over counts unless it is
// known to say nothing.

package wire

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestUnheard: a kind in no list counts, and no kind stands in two of them.
func TestUnheard(t *testing.T) {
	for kind, want := range map[string]bool{"never-heard-of": true, "skipped-Tour": true, "annotation-left-out": true, "ring-closed": false, "view-skipped": false, "skipped-address": false, "drawn-elsewhere": false} {
		if got := (Warning{Kind: kind}).Unheard(); got != want {
			t.Errorf("%s: %v", kind, got)
		}
	}
	for kind := range stride() {
		if ground()[kind] || beside()[kind] {
			t.Errorf("%s stands in two lists", kind)
		}
	}
	for kind := range beside() {
		if ground()[kind] {
			t.Errorf("%s stands in two lists", kind)
		}
	}
}

// TestNoDeadKinds: what the lists name is a kind that some reader gives.
func TestNoDeadKinds(t *testing.T) {
	var src strings.Builder
	err := filepath.WalkDir("..", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || strings.HasSuffix(path, "lost.go") {
			return err
		}
		data, err := os.ReadFile(path)
		src.Write(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	given := map[string]bool{}
	for _, kind := range regexp.MustCompile(`"[a-zA-Z-]+"`).FindAllString(src.String(), -1) {
		given[strings.Trim(kind, `"`)] = true
	}
	for kind := range stride() {
		if !given[kind] && !strings.HasPrefix(kind, "skipped-") {
			t.Errorf("no reader gives the kind %s", kind)
		}
	}
}

// TestPlainText: markup, scripts, places that are filled in and addresses go.
func TestPlainText(t *testing.T) {
	for in, want := range map[string]string{
		"<b>$[name]</b><br/>$[description]":                  "",
		"<style>p {color: red}</style><p>Deep &amp; wet</p>": "Deep & wet",
		"see https://example.org/pond for more":              "see for more",
		"a < b":                                              "a < b",
		"<![CDATA[<h3>$[name]</h3>never mow]]>":              "never mow",
	} {
		if got := PlainText(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
	for in, want := range map[string]bool{"ff00ff00": false, "1.1": false, "x": false, "": false, "deadbeef": false, "ab": true, "3 m²": false, "Öl": true} {
		if SaysWords(in) != want {
			t.Errorf("%q", in)
		}
	}
}
