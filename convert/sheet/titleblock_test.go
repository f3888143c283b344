// The title block's fields, from a file and from the plan.

package sheet

import (
	"strings"
	"testing"

	"swardline/schema"
)

func TestParseTitleBlock(t *testing.T) {
	b, err := ParseTitleBlock([]byte("legal_owner: Example Grounds (invented)\nnumber: 12\nrevision: ~\ndate_of_issue: 2026-05-31\n"))
	if err != nil {
		t.Fatal(err)
	}
	if want := (TitleBlock{LegalOwner: "Example Grounds (invented)", Number: "12", DateOfIssue: "2026-05-31"}); b != want {
		t.Errorf("%+v", b)
	}
	var plan schema.Attributes
	plan.Set("number", schema.String("99"))
	plan.Set("client", schema.String("Example  Council\n"))
	b.FillFrom(plan)
	if b.Number != "12" || b.Client != "Example Council" {
		t.Errorf("filled from the plan: %+v", b)
	}
	for text, want := range map[string]string{
		"clinet: x":                     `line 1: a title block has no field "clinet"; there is legal_owner`,
		"client: a\nclient: b":          "line 2: the field client stands here a second time",
		"client: [a, b]":                "the field client is one line of text",
		"- client":                      "holds a line a field",
		"date_of_issue: 31.5.26":        "write it as 2026-05-31",
		"client: 'a":                    "cannot be read",
		strings.Repeat("# long\n", 1e4): "larger than",
	} {
		if _, err := ParseTitleBlock([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.20q: %v, want %q", text, err, want)
		}
	}
	if b, err := ParseTitleBlock(nil); err != nil || b != (TitleBlock{}) {
		t.Errorf("an empty file: %+v, %v", b, err)
	}
}

func FuzzParseTitleBlock(f *testing.F) {
	for _, s := range []string{"client: Example Council\n", "title: 'a: b'\nnumber: 1\n", "- a", "client: [1", "&a client: *a", "a: &x [*x]"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := ParseTitleBlock(data)
		if err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
		for _, x := range fields {
			if strings.ContainsAny(*x.at(&b), "\n\r\t") {
				t.Errorf("a field of several lines: %q", *x.at(&b))
			}
		}
	})
}
