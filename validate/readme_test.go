// The tables of validate/README.md are those of the program.

package validate_test

import (
	"bytes"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// ruleTable is the rules as a table, a row each.
func ruleTable() string {
	var b strings.Builder
	b.WriteString("| rule | judged by | severity | limits | what it measures |\n|---|---|---|---|---|\n")
	for _, r := range validate.Rules {
		limits := strings.Join(r.Limits, "`, `")
		if limits != "" {
			limits = "`" + limits + "`"
		}
		severity := string(r.Severity)
		if r.Mendable {
			severity += ", fixed by `mend`"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", r.Name, r.Command, severity, limits, firstSentence(r.Page.What))
	}
	return b.String()
}

// firstSentence is what a page measures, in short.
func firstSentence(s string) string {
	s, _, _ = strings.Cut(s, ". ")
	return strings.TrimSuffix(s, ".")
}

// limitTable is the limits as a table, a row each.
func limitTable() string {
	var b strings.Builder
	b.WriteString("| limit | default | stricter | loosest in a limits file | what it limits | where the default comes from |\n|---|---|---|---|---|---|\n")
	for _, l := range schema.LimitTable {
		stricter := "smaller"
		if l.Sense == schema.AtLeast {
			stricter = "larger"
		}
		loosest := ""
		if v, ok := l.Loosest(); ok {
			loosest = strconv.FormatFloat(v, 'f', -1, 64)
		}
		fmt.Fprintf(&b, "| `%s` | %s %s | %s | %s | %s | %s |\n", l.Key, strconv.FormatFloat(l.Default, 'f', -1, 64), l.Unit, stricter, loosest, l.Doc, l.Source)
	}
	return b.String()
}

func TestReadmeHoldsTheTables(t *testing.T) {
	old, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	text := old
	for _, table := range []struct{ name, rows string }{{"rules", ruleTable()}, {"limits", limitTable()}} {
		before, rest, ok := bytes.Cut(text, []byte("<!-- "+table.name+" -->\n"))
		_, after, ok2 := bytes.Cut(rest, []byte("<!-- end -->\n"))
		if !ok || !ok2 {
			t.Fatalf("README.md has no table of %s between its marks", table.name)
		}
		text = []byte(string(before) + "<!-- " + table.name + " -->\n" + table.rows + "<!-- end -->\n" + string(after))
	}
	if bytes.Equal(text, old) {
		return
	}
	if !*update {
		t.Fatal("the tables of validate/README.md are not those of the program: go test ./validate -run Readme -update, then read the diff")
	}
	if err := os.WriteFile("README.md", text, 0o644); err != nil {
		t.Fatal(err)
	}
}
