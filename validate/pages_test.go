// Tests of how the pages of rules are laid out.

package validate_test

import (
	"slices"
	"strings"
	"testing"

	"swardline/validate"
)

// mostInAList is how many words of a page stand in one list: nobody finds a line in more.
const mostInAList = 850

// A page says each word of its rule, in order, in lines of at most 80 columns; a long
// one is a list.
func TestPagesLaidOut(t *testing.T) {
	lists := 0
	for _, r := range validate.Rules {
		text, ok := validate.Explain(r.Name)
		if !ok {
			t.Fatalf("%s has no page", r.Name)
		}
		for line := range strings.SplitSeq(text, "\n") {
			if n := len([]rune(line)); n > 80 && strings.Contains(strings.TrimSpace(line), " ") {
				t.Errorf("%s: a line of %d columns: %s", r.Name, n, line)
			}
		}
		_, body, _ := strings.Cut(text, "What it measures\n")
		body, _, _ = strings.Cut(body, "\n\nWhy it matters")
		var words []string
		for line := range strings.SplitSeq(body, "\n") {
			trimmed := strings.TrimLeft(line, " ")
			if rest, item := strings.CutPrefix(trimmed, "- "); item {
				lists++
				trimmed = rest
			}
			words = append(words, strings.Fields(trimmed)...)
		}
		want := strings.Fields(r.Page.What)
		longest := len(want)
		for _, part := range r.Page.Parts {
			want = append(append(want, strings.Fields(part.Title)...), strings.Fields(part.Text)...)
			if n := len(strings.Fields(part.Title)); n == 0 || n > 12 {
				t.Errorf("%s has a title of %d words", r.Name, n)
			}
			longest = max(longest, len(strings.Fields(part.Text)))
		}
		if !slices.Equal(words, want) {
			t.Errorf("%s says %d words of %d:\n%s", r.Name, len(words), len(want), body)
		}
		if longest > mostInAList {
			t.Errorf("%s has a list of %d words: give it parts with titles", r.Name, longest)
		}
		if n := len(words); n > 90 && !strings.Contains(body, "\n  - ") {
			t.Errorf("%s has %d words and no list", r.Name, n)
		}
	}
	if lists < 100 {
		t.Errorf("%d items in all lists", lists)
	}
}
