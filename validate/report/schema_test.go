// SARIF against the schema of its standard, and JUnit XML against the structure
// that its readers agree on.

package report_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"go/ast"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	// Keeps the module that carries the schema among the requirements.
	_ "github.com/owenrumney/go-sarif/v3/pkg/report/utils"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"swardline/crs/adjust"
	"swardline/validate/report"
)

// sarifSchema compiles the SARIF 2.1.0 schema (errata 01, draft 04) as the
// module go-sarif carries it, in a constant that it does not export.
func sarifSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/owenrumney/go-sarif/v3").Output()
	if err != nil {
		t.Fatalf("the module with the schema is not there: %v", err)
	}
	file := filepath.Join(strings.TrimSpace(string(dir)), "pkg", "report", "v210", "sarif", "schema.go")
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	ast.Inspect(f, func(n ast.Node) bool {
		if s, ok := n.(*ast.ValueSpec); ok && s.Names[0].Name == "schema" {
			text, err = strconv.Unquote(s.Values[0].(*ast.BasicLit).Value)
		}
		return true
	})
	if err != nil || len(text) < 100000 {
		t.Fatalf("%d bytes of schema, %v", len(text), err)
	}
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("sarif.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("sarif.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSARIFIsValid(t *testing.T) {
	schema := sarifSchema(t)
	holds := func(text []byte) error {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		return schema.Validate(doc)
	}
	good := encode(t, awkward(), (*report.Set).SARIF)
	part := awkward()
	part.Interrupted = &report.Interruption{Checked: 3, NotReached: 1}
	for what, text := range map[string][]byte{
		"a report": good, "an interrupted one": encode(t, part, (*report.Set).SARIF), "an empty one": encode(t, &report.Set{Tool: report.Tool{Name: "x"}}, (*report.Set).SARIF),
		"a drift":     encode(t, driftNamed(t, "a").Set(report.Tool{Name: "x", Version: "1"}), (*report.Set).SARIF),
		"a placement": encode(t, placeNamed("a").Set(report.Tool{Name: "x", Version: "1"}), (*report.Set).SARIF),
	} {
		if err := holds(text); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	// The schema can tell.
	for old, new := range map[string]string{
		`"version": "2.1.0"`: `"version": "2.0.0"`, `"startLine": 41`: `"startLine": 0`, `"level": "error"`: `"level": "fatal"`, `"kind": "open"`: `"kind": "shut"`,
		`"columnKind"`: `"columnSort"`, `"executionSuccessful"`: `"successful"`, `"artifactLocation"`: `"artifact"`,
	} {
		bad := bytes.Replace(good, []byte(old), []byte(new), 1)
		if bytes.Equal(bad, good) {
			t.Errorf("the report does not hold %s", old)
		} else if holds(bad) == nil {
			t.Errorf("%s for %s is taken for valid", new, old)
		}
	}
}

// TestSARIFKnowsEveryRule: the results of a placement and of a drift point at
// the description of their rule, and what was not checked is among them.
func TestSARIFKnowsEveryRule(t *testing.T) {
	drift := driftNamed(t, "a").Set(report.Tool{Name: "x"})
	open := 0
	for _, r := range drift.Plans[0].Rules {
		if r.Outcome == "unchecked" || r.Outcome == "failed" && r.Reason != "" {
			open++
		}
	}
	for what, x := range map[string]struct {
		set        *report.Set
		fail, open int
	}{
		// Two residuals over the limit and a suspect; nothing over to check
		// them, so that both rules are checked in part.
		"place": {placeNamed("a").Set(report.Tool{Name: "x"}), 3, 2},
		"fit without redundancy": {(&report.Place{Path: "a", LimitM: 0.03, Placement: &adjust.Placement{
			PlaneTransform: adjust.PlaneTransform{A: 1}, Marks: []adjust.MarkFit{{Name: "a"}, {Name: "b"}}}}).Set(report.Tool{Name: "x"}), 0, 2},
		"drift": {drift, len(drift.Plans[0].Findings), open},
	} {
		var log struct {
			Runs []struct {
				Tool struct {
					Driver struct{ Rules []struct{ ID string } }
				}
				Results []struct {
					RuleID    string
					RuleIndex int
					Kind      string
				}
			}
		}
		if err := json.Unmarshal(encode(t, x.set, (*report.Set).SARIF), &log); err != nil {
			t.Fatal(err)
		}
		kinds := map[string]int{}
		for _, r := range log.Runs[0].Results {
			kinds[r.Kind]++
			if rules := log.Runs[0].Tool.Driver.Rules; r.RuleIndex < 0 || r.RuleIndex >= len(rules) || rules[r.RuleIndex].ID != r.RuleID {
				t.Errorf("%s: %s is said to be rule %d", what, r.RuleID, r.RuleIndex)
			}
		}
		if kinds["fail"] != x.fail || kinds["open"] != x.open || x.fail+x.open == 0 {
			t.Errorf("%s: %v, want %d fail and %d open", what, kinds, x.fail, x.open)
		}
	}
}

// TestJUnitNamesTheCommand: a server shows the name of the suites.
func TestJUnitNamesTheCommand(t *testing.T) {
	tool := report.Tool{Name: "x"}
	for want, set := range map[string]*report.Set{
		"x check": {Tool: tool}, "x drift": driftNamed(t, "a").Set(tool), "x place": placeNamed("a").Set(tool),
	} {
		var n junitNode
		if err := xml.Unmarshal(encode(t, set, (*report.Set).JUnit), &n); err != nil {
			t.Fatal(err)
		}
		for _, f := range n.faults() {
			t.Errorf("%s: %s", want, f)
		}
		if n.Attr[0].Name.Local != "name" || n.Attr[0].Value != want {
			t.Errorf("the suites are called %q, want %q", n.Attr[0].Value, want)
		}
	}
}

// junitForm is what may stand where: of each element its attributes, all of
// them required here, and its children in their order. JUnit XML has no
// standard; the names are those of the schema junit-10.xsd of the xUnit plugin
// of Jenkins, which leaves nearly everything open, so this is the stricter half
// of it.
var junitForm = map[string]struct{ attributes, children []string }{
	"testsuites": {[]string{"name", "tests", "failures", "errors"}, []string{"testsuite"}},
	"testsuite":  {[]string{"name", "tests", "failures", "errors", "skipped"}, []string{"testcase", "system-out"}},
	"testcase":   {[]string{"name", "classname"}, []string{"skipped", "error", "failure", "system-out"}},
	"skipped":    {[]string{"message"}, nil},
	"error":      {[]string{"message", "type"}, nil},
	"failure":    {[]string{"message", "type"}, nil},
	"system-out": {nil, nil},
}

type junitNode struct {
	XMLName  xml.Name
	Attr     []xml.Attr  `xml:",any,attr"`
	Children []junitNode `xml:",any"`
}

func (n *junitNode) faults() []string {
	form, ok := junitForm[n.XMLName.Local]
	if !ok || n.XMLName.Space != "" {
		return []string{"there is no element " + n.XMLName.Local}
	}
	var out, names []string
	figures := map[string]string{}
	for _, a := range n.Attr {
		names = append(names, a.Name.Local)
		figures[a.Name.Local] = a.Value
	}
	if !slices.Equal(names, form.attributes) {
		out = append(out, n.XMLName.Local+" has the attributes "+strings.Join(names, " "))
	}
	at := 0
	counts := map[string]int{}
	for i := range n.Children {
		c := &n.Children[i]
		name := c.XMLName.Local
		for at < len(form.children) && form.children[at] != name {
			at++
		}
		if at == len(form.children) {
			out = append(out, name+" stands where it may not, in "+n.XMLName.Local)
			at = 0
		}
		out = append(out, c.faults()...)
		if name == "testcase" {
			counts["tests"]++
			if len(c.Children) > 0 {
				counts[map[string]string{"skipped": "skipped", "error": "errors", "failure": "failures"}[c.Children[0].XMLName.Local]]++
			}
		}
		if name == "testsuite" {
			for _, a := range c.Attr {
				if k, err := strconv.Atoi(a.Value); err == nil && a.Name.Local != "name" {
					counts[a.Name.Local] += k
				}
			}
		}
	}
	if n.XMLName.Local == "testsuite" || n.XMLName.Local == "testsuites" {
		for _, key := range form.attributes[1:] {
			if figures[key] != strconv.Itoa(counts[key]) {
				out = append(out, n.XMLName.Local+" says "+figures[key]+" "+key+" and has "+strconv.Itoa(counts[key]))
			}
		}
	}
	return out
}

func TestJUnitForm(t *testing.T) {
	faults := func(text []byte) []string {
		var n junitNode
		if err := xml.Unmarshal(text, &n); err != nil {
			t.Fatal(err)
		}
		return n.faults()
	}
	part := awkward()
	part.Interrupted = &report.Interruption{Checked: 3, NotReached: 1}
	good := encode(t, part, (*report.Set).JUnit)
	for _, text := range [][]byte{good, encode(t, awkward(), (*report.Set).JUnit), encode(t, &report.Set{}, (*report.Set).JUnit)} {
		for _, f := range faults(text) {
			t.Error(f)
		}
	}
	for old, new := range map[string]string{`errors="2"`: `errors="1"`, `skipped="3"`: `skipped="2"`, "<skipped ": "<skip ", ` classname="run"`: "", "system-out": "systemOut"} {
		bad := bytes.ReplaceAll(good, []byte(old), []byte(new))
		if new == "<skip " {
			bad = bytes.ReplaceAll(bad, []byte("</skipped>"), []byte("</skip>"))
		}
		if bytes.Equal(bad, good) || len(faults(bad)) == 0 {
			t.Errorf("%s for %s is let pass", new, old)
		}
	}
}
