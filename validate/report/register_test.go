// The register and the page under text that tries to break out of them, and the
// comparison of reports.

package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/csv"
	"html"
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
	if strings.Contains(b.String(), "\x1b") {
		t.Error("the page holds an escape")
	}
	// The page's own script is the one that its policy lets run.
	scripts := strings.SplitAfter(b.String(), "<script>")
	own, _, _ := strings.Cut(scripts[len(scripts)-1], "</script>")
	if len(scripts) != 2 || own != pageFile("sort.js") {
		t.Errorf("the page holds %d scripts", len(scripts)-1)
	}
	sum := sha256.Sum256([]byte(own))
	policy := "script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	if !strings.Contains(html.UnescapeString(b.String()), policy) {
		t.Errorf("the policy does not say %s", policy)
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

// TestCompareTellsPlansApart: what was mended is gone, a plan that is not there
// is missing, and its findings are neither.
func TestCompareTellsPlansApart(t *testing.T) {
	one := func(path string, messages ...string) Plan {
		p := Plan{Path: path, Status: Findings}
		for _, m := range messages {
			p.Findings = append(p.Findings, Finding{Rule: "r", Severity: "error", Message: m})
		}
		return p
	}
	c := Compare(&Set{Plans: []Plan{one("a", "1", "2"), one("b", "3", "4")}}, &Set{Plans: []Plan{one("a", "1")}})
	want := Comparison{Missing: []string{"b"}, Gone: []string{"a: error r: : 2"}, Same: []string{"a: error r: : 1"}}
	if !reflect.DeepEqual(c, want) {
		t.Errorf("%+v, want %+v", c, want)
	}
}

// TestRegisterOrder: what to visit first stands first, each reason by itself.
func TestRegisterOrder(t *testing.T) {
	fresh := Plan{Status: Clean, BaseMeasured: "2026-05-01", Marks: 4}
	with := func(path string, change func(*Plan)) Plan {
		p := fresh
		p.Path = path
		change(&p)
		return p
	}
	s := Set{Gone: []string{"lost"}, Plans: []Plan{
		with("fine", func(*Plan) {}),
		with("few", func(p *Plan) { p.Marks = 2 }),
		with("old", func(p *Plan) { p.BaseMeasured = "2019-05-01" }),
		with("epoch", func(p *Plan) { p.BaseMeasured, p.Epoch = "", 2020.5 }),
		with("never", func(p *Plan) { p.BaseMeasured = "" }),
		with("error", func(p *Plan) { p.Status, p.Summary.Error = Findings, 1 }),
		with("broken", func(p *Plan) { p.Status = Unreadable }),
	}}
	var b bytes.Buffer
	if err := s.Register(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := func(name string) int {
		for i, c := range rows[0] {
			if c == name {
				return i
			}
		}
		t.Fatalf("no column %s", name)
		return 0
	}
	var got []string
	for _, row := range rows[1:] {
		got = append(got, row[column("path")])
	}
	if want := "broken error never old epoch few fine lost"; strings.Join(got, " ") != want {
		t.Errorf("order %v, want %s", got, want)
	}
	if rows[6][column("marks_enough")] != "false" || rows[7][column("marks_enough")] != "true" || rows[8][column("status")] != "gone" {
		t.Errorf("%v", rows)
	}
}
