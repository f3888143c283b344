// Every encoder on one set that has everything awkward in it.

package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

var update = flag.Bool("update", false, "write the golden files anew")

func number(v float64) *float64 { return &v }

func place(lon, lat, e, n float64) *validate.Place {
	return &validate.Place{Lon: &lon, Lat: &lat, E: &e, N: &n}
}

// awkward is a set with an unreadable plan, a clean one and one with findings
// of every severity, with names that no terminal, sheet or markup should take
// as they are.
func awkward() *report.Set {
	limits := []report.LimitUse{{Name: "base_range_m", Value: 500, From: "default"}, {Name: "corridor_inside_m", Value: 0.4, From: "file"}, {Name: "corridor_inside_m", Value: 0.9, From: "feature", Feature: "c1"}}
	rules := []report.Rule{
		{Rule: "ring-open", Outcome: "passed"}, {Rule: "corridor-off-zone", Outcome: "failed", Reason: "zone \"Bowl\" is no valid polygon"},
		{Rule: "base-range", Outcome: "passed"}, {Rule: "slope-limit", Outcome: "unchecked", Reason: "no zone or corridor has heights"},
		{Rule: "sky-blocked", Outcome: "unchecked", Reason: "no zone or corridor has heights"},
		{Rule: "name-missing", Outcome: "failed"}, {Rule: "accuracy-unfit", Outcome: "unchecked", Reason: "it is judged when coordinates are transformed or placed"},
	}
	return &report.Set{
		Tool: report.Tool{Name: "swardline", Version: "1.2.3"},
		Plans: []report.Plan{
			report.NewUnreadable("a/=broken & <bent>.kml", errors.New("a/=broken & <bent>.kml:3: \x1b[31mred\x1b[0m; mend it")),
			{
				Path: "b/green.geojson", Status: report.Clean, Name: "Green", CRS: "OGC:CRS84", Findings: []report.Finding{},
				Areas: &report.Areas{Zones: number(812.4), Keepouts: number(31), Net: number(781.4)},
				Rules: rules[:1], Limits: []report.LimitUse{{Name: "base_range_m", Value: 250, From: "plan"}},
				Origin: &report.Origin{Of: "base", Lon: -7.25, Lat: 43.5},
			},
			{
				Path: "c/school, \"strip\".csv", Status: report.Findings, Name: "School\u202e strip", CRS: "EPSG:25829",
				Summary: report.Summary{Error: 1, Warning: 1, Note: 1},
				Areas:   &report.Areas{Zones: number(100)},
				Findings: []report.Finding{
					{
						Rule: "corridor-off-zone", Severity: "error", Features: []string{"=c1", "z\n1"}, Names: []string{"corridor =HYPERLINK(\"x\")", "zone tail\x07\u009b31m"},
						Message: "ends 0.42 m inside <zone> & more", Measured: number(0.42), Limit: number(1), Unit: "m", AreaM2: number(2.5),
						At: place(-7.25, -43.5, 500012.3, 6228011.9), Trace: []validate.Place{*place(-7.25, -43.5, 1, 2), *place(-7.26, -43.5, 1, 2)},
						Source: &report.Source{Line: 41},
					},
					{Rule: "ring-repeated-point", Severity: "warning", Features: []string{"z1"}, Names: []string{"zone z1"}, Message: "the outline repeats 2 points",
						Measured: number(2), Limit: number(0), Unit: "count", At: &validate.Place{E: number(1), N: number(-2)}, Mendable: true},
					{Rule: "name-missing", Severity: "note", Features: []string{}, Message: "has no name"},
				},
				Rules: rules, Limits: limits, Traced: []string{"z\n1"},
				Zones:    []report.Zone{{Feature: "z1", Name: "Bowl", Gross: number(100), Net: nil, HardEdge: number(12), Uncut: number(1.8)}},
				Inactive: []string{"old bed"}, Notes: []string{"the plan states no CRS"},
				Warnings: []report.Notice{{Kind: "ring-closed", Count: 3, Message: "a ring was open", Line: 7}, {Kind: "x", Count: 1, Message: "y"}},
			},
		},
		Notes: []string{"stopped after 3 of 10 files"},
	}
}

var encoders = []struct {
	name string
	to   func(*report.Set, io.Writer) error
}{
	{"report.txt", (*report.Set).Text}, {"report.json", (*report.Set).JSON}, {"report.sarif", (*report.Set).SARIF},
	{"report.xml", (*report.Set).JUnit}, {"report.geojson", (*report.Set).GeoJSON}, {"report.csv", (*report.Set).CSV},
}

func encode(t *testing.T, s *report.Set, to func(*report.Set, io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := to(s, &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestGolden(t *testing.T) {
	for _, x := range encoders {
		if x.name == "report.sarif" { // half of it is the pages of all rules: tested by its structure
			continue
		}
		got := encode(t, awkward(), x.to)
		path := filepath.Join("testdata", x.name)
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from what was:\n%s", x.name, got)
		}
	}
}

func TestSameBytesTwice(t *testing.T) {
	for _, x := range encoders {
		if a, b := encode(t, awkward(), x.to), encode(t, awkward(), x.to); !bytes.Equal(a, b) {
			t.Errorf("%s: two runs differ", x.name)
		}
		empty := encode(t, &report.Set{Tool: report.Tool{Name: "swardline"}, Plans: []report.Plan{}}, x.to)
		if len(empty) == 0 {
			t.Errorf("%s: an empty set gives nothing at all", x.name)
		}
	}
}

// full is a writer that takes so many bytes and no more.
type full struct{ left int }

func (f *full) Write(p []byte) (int, error) {
	if len(p) > f.left {
		return 0, errors.New("no space left")
	}
	f.left -= len(p)
	return len(p), nil
}

func TestAFullDiskIsAnError(t *testing.T) {
	for _, x := range encoders {
		if err := x.to(awkward(), &full{left: 10}); err == nil {
			t.Errorf("%s: writing to a full disk went well", x.name)
		}
	}
}

// TestJSONReadsBack: a JSON report read back and written again is the same, so
// that a later run can carry its plans over.
func TestJSONReadsBack(t *testing.T) {
	first := encode(t, awkward(), (*report.Set).JSON)
	s, err := report.ReadJSON(first)
	if err != nil {
		t.Fatal(err)
	}
	if want := awkward(); !reflect.DeepEqual(s, want) {
		t.Errorf("read back\n%+v\nwant\n%+v", s, want)
	}
	if again := encode(t, s, (*report.Set).JSON); !bytes.Equal(first, again) {
		t.Errorf("written again it differs:\n%s", again)
	}
	for _, bad := range []string{"", "{}", "[]", `{"tool":{"name":"x"}}`, `{"tool":{"name":"x"},"plans":[{"path":"a","status":"fine"}]}`,
		`{"tool":{"name":"x"},"plans":[{"path":"a","status":"clean","limits":{"a":1}}]}`, "{\"tool\""} {
		if _, err := report.ReadJSON([]byte(bad)); err == nil {
			t.Errorf("%q was read as a report", bad)
		}
	}
}

// TestJSONForm holds the report to the design's form: names, nesting and types.
func TestJSONForm(t *testing.T) {
	var doc map[string]any
	if err := json.Unmarshal(encode(t, awkward(), (*report.Set).JSON), &doc); err != nil {
		t.Fatal(err)
	}
	at := func(path ...any) any {
		var v any = doc
		for _, p := range path {
			switch p := p.(type) {
			case string:
				m, ok := v.(map[string]any)
				if !ok {
					t.Fatalf("%v: no object", path)
				}
				v = m[p]
			case int:
				v = v.([]any)[p]
			}
		}
		return v
	}
	for _, x := range []struct {
		want any
		path []any
	}{
		{"swardline", []any{"tool", "name"}}, {"1.2.3", []any{"tool", "version"}},
		{"unreadable", []any{"plans", 0, "status"}}, {"clean", []any{"plans", 1, "status"}}, {"findings", []any{"plans", 2, "status"}},
		{"OGC:CRS84", []any{"plans", 1, "crs"}}, {1.0, []any{"plans", 2, "summary", "warning"}},
		{812.4, []any{"plans", 1, "areas", "zones_m2"}}, {31.0, []any{"plans", 1, "areas", "keepouts_m2"}}, {nil, []any{"plans", 2, "areas", "net_m2"}},
		{"corridor-off-zone", []any{"plans", 2, "findings", 0, "rule"}}, {"error", []any{"plans", 2, "findings", 0, "severity"}},
		{"=c1", []any{"plans", 2, "findings", 0, "features", 0}}, {0.42, []any{"plans", 2, "findings", 0, "measured"}},
		{1.0, []any{"plans", 2, "findings", 0, "limit"}}, {"m", []any{"plans", 2, "findings", 0, "unit"}},
		{-7.25, []any{"plans", 2, "findings", 0, "at", "lon"}}, {6228011.9, []any{"plans", 2, "findings", 0, "at", "n"}},
		{41.0, []any{"plans", 2, "findings", 0, "source", "line"}}, {false, []any{"plans", 2, "findings", 0, "mendable"}},
		{3.0, []any{"totals", "plans"}}, {1.0, []any{"totals", "clean"}}, {1.0, []any{"totals", "unreadable"}}, {1.0, []any{"totals", "error"}},
		{"unchecked", []any{"plans", 2, "rules", 3, "outcome"}}, {"no zone or corridor has heights", []any{"plans", 2, "rules", 3, "reason"}},
		{"base_range_m", []any{"plans", 2, "limits", 0, "name"}}, {"default", []any{"plans", 2, "limits", 0, "from"}}, {0.4, []any{"plans", 2, "limits", 1, "value"}}, {"c1", []any{"plans", 2, "limits", 2, "feature"}},
	} {
		if got := at(x.path...); got != x.want {
			t.Errorf("%v is %v, want %v", x.path, got, x.want)
		}
	}
	if list, ok := at("plans", 1, "findings").([]any); !ok || len(list) != 0 {
		t.Error("a clean plan has no empty list of findings")
	}
}

// TestSARIF holds the log to what the schema of SARIF 2.1.0 requires of the
// parts that are used.
func TestSARIF(t *testing.T) {
	var log struct {
		Schema  string `json:"$schema"`
		Version string `json:"version"`
		Runs    []struct {
			Tool struct {
				Driver struct {
					Name  string
					Rules []struct {
						ID      string
						Default struct{ Level string } `json:"defaultConfiguration"`
						Short   struct{ Text string }  `json:"shortDescription"`
					}
				}
			}
			Invocations []struct {
				Successful    *bool `json:"executionSuccessful"`
				Notifications []struct {
					Level   string
					Message struct{ Text string }
				} `json:"toolExecutionNotifications"`
			}
			Results []struct {
				RuleID      string
				RuleIndex   int
				Kind, Level string
				Message     struct{ Text string }
				Locations   []struct {
					Physical struct {
						Artifact struct{ URI string } `json:"artifactLocation"`
						Region   *struct{ StartLine int }
					} `json:"physicalLocation"`
				}
			}
		}
	}
	d := json.NewDecoder(bytes.NewReader(encode(t, awkward(), (*report.Set).SARIF)))
	if err := d.Decode(&log); err != nil {
		t.Fatal(err)
	}
	if log.Version != "2.1.0" || len(log.Runs) != 1 {
		t.Fatalf("version %q, %d runs", log.Version, len(log.Runs))
	}
	run := log.Runs[0]
	levels := map[string]bool{"none": true, "note": true, "warning": true, "error": true}
	if len(run.Tool.Driver.Rules) < len(validate.Rules) {
		t.Errorf("%d rules", len(run.Tool.Driver.Rules))
	}
	for _, r := range run.Tool.Driver.Rules {
		if r.ID == "" || r.Short.Text == "" || !levels[r.Default.Level] {
			t.Errorf("rule %+v", r)
		}
	}
	if len(run.Invocations) != 1 || run.Invocations[0].Successful == nil || *run.Invocations[0].Successful || len(run.Invocations[0].Notifications) != 2 {
		t.Errorf("the unreadable file and what was drawn from a picture are no notifications: %+v", run.Invocations)
	}
	if len(run.Results) != 3+4 {
		t.Errorf("%d results, want 3 findings and 4 rules that were not checked, in whole or in part", len(run.Results))
	}
	for _, x := range run.Results {
		if x.RuleIndex < 0 || x.RuleIndex >= len(run.Tool.Driver.Rules) || run.Tool.Driver.Rules[x.RuleIndex].ID != x.RuleID {
			t.Errorf("%s is said to be rule %d", x.RuleID, x.RuleIndex)
		}
		// Section 3.27.10: a level other than none only with the kind fail.
		if (x.Kind == "fail") == (x.Level == "none") || !levels[x.Level] || x.Message.Text == "" {
			t.Errorf("kind %q with level %q", x.Kind, x.Level)
		}
		if len(x.Locations) != 1 || strings.ContainsAny(x.Locations[0].Physical.Artifact.URI, " \"<>\\^`{|}\n") {
			t.Errorf("location %+v", x.Locations)
		}
	}
	if uri := run.Results[0].Locations[0].Physical.Artifact.URI; uri != "c/school%2C%20%22strip%22.csv" {
		t.Errorf("the path became %q", uri)
	}
	if run.Results[0].Locations[0].Physical.Region.StartLine != 41 {
		t.Error("the line got lost")
	}
}

func TestJUnitIsWellFormed(t *testing.T) {
	var doc struct {
		Tests    int `xml:"tests,attr"`
		Failures int `xml:"failures,attr"`
		Errors   int `xml:"errors,attr"`
		Suites   []struct {
			Tests int `xml:"tests,attr"`
			Cases []struct {
				Name    string    `xml:"name,attr"`
				Failure *struct{} `xml:"failure"`
				Error   *struct{} `xml:"error"`
				Skipped *struct{} `xml:"skipped"`
			} `xml:"testcase"`
		} `xml:"testsuite"`
	}
	if err := xml.Unmarshal(encode(t, awkward(), (*report.Set).JUnit), &doc); err != nil {
		t.Fatal(err)
	}
	tests, failures, faults, skipped := 0, 0, 0, 0
	for _, s := range doc.Suites {
		if s.Tests != len(s.Cases) {
			t.Errorf("a suite says %d tests and has %d", s.Tests, len(s.Cases))
		}
		for _, c := range s.Cases {
			tests++
			if c.Failure != nil {
				failures++
			}
			if c.Error != nil {
				faults++
			}
			if c.Skipped != nil {
				skipped++
			}
		}
	}
	if tests != doc.Tests || failures != doc.Failures || faults != doc.Errors || failures != 1 || faults != 1 || skipped != 3 {
		t.Errorf("%d tests (%d said), %d failures (%d), %d errors (%d), %d skipped", tests, doc.Tests, failures, doc.Failures, faults, doc.Errors, skipped)
	}
}

// TestCSVRunsNoFormula: no text cell begins with what a spreadsheet would run,
// and the file reads back.
func TestCSVRunsNoFormula(t *testing.T) {
	rows, err := csv.NewReader(bytes.NewReader(encode(t, awkward(), (*report.Set).CSV))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+1+1+4+3 {
		t.Errorf("%d rows", len(rows))
	}
	texts := map[string]bool{"path": true, "features": true, "names": true, "message": true}
	for _, row := range rows[1:] {
		for i, cell := range row {
			if texts[rows[0][i]] && cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") {
				t.Errorf("the cell %s begins like a formula: %q", rows[0][i], cell)
			}
		}
	}
	if rows[7][4] != `'=c1; z\n1` || rows[7][12] != "-43.5" {
		t.Errorf("features %q, latitude %q", rows[7][4], rows[7][12])
	}
	for _, lead := range []string{"=1+1", "+1", "-1", "@x", "\tx", "\rx", "  =1", "\ufeff=1", "＝1"} {
		s := &report.Set{Plans: []report.Plan{{Path: lead, Status: report.Clean}}}
		rows, err := csv.NewReader(bytes.NewReader(encode(t, s, (*report.Set).CSV))).ReadAll()
		// Disarmed, or escaped and so no longer what a sheet would run.
		if err != nil || !strings.HasPrefix(rows[1][0], "'") && !strings.HasPrefix(rows[1][0], `\`) {
			t.Errorf("%q stands as %q (%v)", lead, rows[1][0], err)
		}
	}
}

// full is the set with everything asked for.
func inFull() *report.Set {
	s := awkward()
	s.Full = true
	return s
}

func TestTextSaysWhatWasChecked(t *testing.T) {
	text := string(encode(t, inFull(), (*report.Set).Text))
	for _, word := range []string{"corridor-off-zone", "0.42 m, limit 1 m", "43.5000000 S 7.2500000 W", "file line 41", "fixable",
		"base_range_m 250 from the plan, corridor_inside_m 0.4 from the file, corridor_inside_m 0.9 from c1", "drawn from a picture, not surveyed: z\\n1",
		"base_range_m 500 (common practice, no source; set it from the machine's manual)", "not checked: slope-limit, sky-blocked: no zone or corridor has heights", "1 could not be read", "School\\u202e strip", "off: old bed",
		"Checked 1 of 7 rules", "ring-open, corridor-off-zone (1 of 2 plans)"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), word) {
			t.Errorf("the text does not say %q:\n%s", word, text)
		}
	}
	for _, r := range text {
		if r < 0x20 && r != '\n' || r >= 0x7f && r < 0xa0 || r == 0x202e {
			t.Errorf("the text holds the control character %U", r)
		}
	}
	if strings.Contains(strings.ToLower(text), "safe") {
		t.Error("the text calls something safe")
	}
	if i, k := strings.Index(text, "a/=broken"), strings.Index(text, "b/green"); i < 0 || k < i || k < strings.Index(text, "c/school") {
		t.Error("the worst plan does not come first")
	}
	plan := text[strings.Index(text, "c/school"):]
	if strings.Index(plan, "not checked: ") > strings.Index(plan, "  error ") {
		t.Error("what was not checked does not come before the findings")
	}
}

// TestTextOfAFolder: a line a plan, and what was not checked before all of
// them.
func TestTextOfAFolder(t *testing.T) {
	s := awkward()
	s.FullWord = "--full"
	text := string(encode(t, s, (*report.Set).Text))
	if !strings.HasPrefix(text, "Not checked:\n  accuracy-unfit on 1 of 2 plans: ") {
		t.Errorf("what was not checked does not come first:\n%s", text)
	}
	for _, p := range s.Plans {
		n := 0
		for _, line := range strings.Split(text, "\n") {
			if strings.HasPrefix(line, report.Printable(p.Path)) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%d lines of %s", n, p.Path)
		}
	}
	if strings.Contains(text, "inside <zone>") {
		t.Error("the short text tells single findings")
	}
	flat := strings.Join(strings.Fields(text), " ")
	for _, words := range []string{"1 limit at the default (common practice", "--full names every rule and limit."} {
		if !strings.Contains(flat, words) {
			t.Errorf("the text does not say %q:\n%s", words, text)
		}
	}
	sum := string(encode(t, s, (*report.Set).Summary))
	if !strings.HasPrefix(sum, "Not checked:\n") || strings.Contains(sum, "(Green)") || !strings.Contains(sum, "3 plans: 1 with findings") {
		t.Errorf("the totals alone:\n%s", sum)
	}
	s.Gone = []string{"d/old.kml"}
	for _, to := range []func(*report.Set, io.Writer) error{(*report.Set).Text, (*report.Set).Summary} {
		if text := string(encode(t, s, to)); !strings.HasPrefix(text, "1 plan of the earlier report not there any more: d/old.kml\n") {
			t.Errorf("what is gone is not the first line:\n%s", text)
		}
	}
}

// TestIdenticalFindingsStandTogether: one block with a count.
func TestIdenticalFindingsStandTogether(t *testing.T) {
	p := report.Plan{Path: "p", Status: report.Findings, Summary: report.Summary{Warning: 4}}
	for _, name := range []string{"zone a", "zone b", "zone c"} {
		p.Findings = append(p.Findings, report.Finding{Rule: "sky-blocked", Severity: "warning", Names: []string{name}, Message: "same"})
	}
	p.Findings = append(p.Findings, report.Finding{Rule: "sky-blocked", Severity: "warning", Names: []string{"zone d"}, Message: "other"})
	text := string(encode(t, &report.Set{Plans: []report.Plan{p}}, (*report.Set).Text))
	if strings.Count(text, "sky-blocked") != 2 || !strings.Contains(text, "3 times the same, also: zone b, zone c\n") {
		t.Errorf("not grouped:\n%s", text)
	}
}

func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"plain":           "plain",
		"Grüne Wiese 草":   "Grüne Wiese 草",
		"\x1b[2J":         `\x1b[2J`,
		"a\nb\tc\rd":      `a\nb\tc\rd`,
		"\u0085\u009b":    `\x85\x9b`,
		"\u202eabc\u2066": `\u202eabc\u2066`,
		"\xff\xfe":        `\xff\xfe`,
		"\u200b\ufeff":    `\u200b\ufeff`,
		"\u2028":          `\u2028`,
		"\x7f":            `\x7f`,
	} {
		if got := report.Printable(in); got != want {
			t.Errorf("%q is shown as %q, want %q", in, got, want)
		}
	}
}

// TestNewPlan: what the proof says reaches the report.
func TestNewPlan(t *testing.T) {
	zone := func(name string, flat ...float64) *schema.Feature {
		f := &schema.Feature{Role: schema.RoleZone, Name: name, Geometry: geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})}
		f.Source.Line = 12
		return f
	}
	off := zone("Old", 9, 50, 9.001, 50, 9.001, 50.001, 9, 50)
	off.Attributes.Set(schema.PropActive, schema.Bool(false))
	p := &schema.Plan{Name: "Site", CRS: crs.WGS84(), Features: []*schema.Feature{
		zone("", 9, 50, 9.001, 50, 9.001, 50.001, 9, 50), zone("Twice", 9, 50, 9.001, 50, 9.001, 50.001, 9, 50), off,
	}}
	x := report.NewPlan("p.geojson", validate.Check(p, schema.DefaultLimits()), []report.Notice{{Kind: "k", Count: 1, Message: "m"}})
	if x.Status != report.Findings || x.Name != "Site" || x.CRS != "OGC:CRS84" || len(x.Rules) != len(validate.RulesOf(validate.CommandCheck)) || x.Origin == nil || x.Origin.Of != "centre" {
		t.Errorf("%+v", x)
	}
	if len(x.Inactive) != 1 || x.Inactive[0] != "Old" || len(x.Warnings) != 1 || len(x.Zones) != 2 || x.Areas.Zones == nil || *x.Areas.Zones < 3000 {
		t.Errorf("%+v", x)
	}
	got := map[string]report.Finding{}
	for _, f := range x.Findings {
		got[f.Rule] = f
	}
	if f := got["zones-overlap"]; len(f.Features) != 2 || f.Features[0] != "zone#1" || f.Features[1] != "Twice" || f.Names[1] != "zone Twice" ||
		f.Source == nil || f.Source.Line != 12 || f.AreaM2 == nil || f.At == nil || f.At.Lon == nil || len(f.Trace) < 4 {
		t.Errorf("%+v", f)
	}
	if f := got["dock-missing"]; f.Features == nil || len(f.Features) != 0 || f.Measured != nil || f.At != nil {
		t.Errorf("%+v", f)
	}
	s := report.Set{Tool: report.Tool{Name: "swardline"}, Plans: []report.Plan{x}}
	if !s.Reaches(validate.Error) || s.Totals().Findings != 1 {
		t.Error("the set does not reach an error")
	}
	only := report.Set{Plans: []report.Plan{{Findings: []report.Finding{{Severity: "warning"}}}}}
	if only.Reaches(validate.Error) || !only.Reaches(validate.Warning) || !only.Reaches(validate.Note) {
		t.Error("the threshold is wrong")
	}
}

func TestSortByPath(t *testing.T) {
	s := report.Set{Plans: []report.Plan{{Path: "b"}, {Path: "a/z"}, {Path: "B"}, {Path: "a"}}}
	s.Sort()
	var got []string
	for _, p := range s.Plans {
		got = append(got, p.Path)
	}
	if strings.Join(got, " ") != "B a a/z b" {
		t.Errorf("order %v", got)
	}
}
