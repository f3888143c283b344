// The register and the page under text that tries to break out of them, and the
// comparison of reports.

package report

import (
	"bytes"
	"encoding/csv"
	"reflect"
	"strings"
	"testing"
)

func hostileSet() *Set {
	bad := "=cmd()<script>\x1b[2J\"&"
	return &Set{Tool: Tool{"t", "1"}, Plans: []Plan{{Path: bad, Name: bad, Status: Findings, CRS: bad, Base: &BasePosition{Name: bad, X: 1, Y: 2},
		Checked:  &Checked{Content: "c", Limits: "l", Version: "v", Carried: true},
		Summary:  Summary{Error: 1},
		Findings: []Finding{{Rule: bad, Severity: "error", Features: []string{bad}, Names: []string{bad}, Message: bad}}}}}
}

func TestRegisterEscapes(t *testing.T) {
	var b bytes.Buffer
	if err := hostileSet().Register(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 2 || len(rows[0]) != len(rows[1]) {
		t.Fatalf("%v %q", err, rows)
	}
	for i, cell := range rows[1] {
		if strings.HasPrefix(cell, "=") {
			t.Errorf("column %s holds the formula %q", rows[0][i], cell)
		}
	}
}

func TestHTMLEscapes(t *testing.T) {
	var b bytes.Buffer
	if err := hostileSet().HTML(&b); err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{"<script>", "\x1b"} {
		if strings.Contains(b.String(), s) {
			t.Errorf("the page holds %q", s)
		}
	}
	if !strings.Contains(b.String(), "&lt;script&gt;") {
		t.Error("the page lost the name")
	}
}

func TestCheckedReadsBack(t *testing.T) {
	var b bytes.Buffer
	s := hostileSet()
	if err := s.JSON(&b); err != nil {
		t.Fatal(err)
	}
	got, err := ReadJSON(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got.Plans[0].Checked, s.Plans[0].Checked) || !reflect.DeepEqual(got.Plans[0].Base, s.Plans[0].Base) {
		t.Errorf("got %+v %+v", got.Plans[0].Checked, got.Plans[0].Base)
	}
}

func TestCompareCounts(t *testing.T) {
	f := func(messages ...string) *Set {
		p := Plan{Path: "p", Status: Findings}
		for _, m := range messages {
			p.Findings = append(p.Findings, Finding{Rule: "r", Severity: "error", Message: m})
		}
		return &Set{Plans: []Plan{p}}
	}
	c := Compare(f("a", "a", "b"), f("a", "c"))
	if len(c.New) != 1 || len(c.Gone) != 2 || len(c.Same) != 1 || !strings.HasSuffix(c.New[0], "c") {
		t.Errorf("%+v", c)
	}
}
