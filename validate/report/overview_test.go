// The summary of many plans in every form that shows it, and a run that was
// interrupted.

package report_test

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"swardline/validate/report"
)

// found is a plan with so many errors, warnings and notes, all of one rule
// each.
func found(path string, errors, warnings, notes int) report.Plan {
	p := report.Plan{Path: path, Status: report.Clean, Summary: report.Summary{Error: errors, Warning: warnings, Note: notes}, Findings: []report.Finding{}}
	for _, x := range []struct {
		n              int
		rule, severity string
	}{{errors, "base-range", "error"}, {warnings, "curve-coarse", "warning"}, {notes, "name-missing", "note"}} {
		for range x.n {
			p.Status = report.Findings
			p.Findings = append(p.Findings, report.Finding{Rule: x.rule, Severity: x.severity, Features: []string{}, Message: "m"})
		}
	}
	return p
}

func TestOverview(t *testing.T) {
	area := func(p report.Plan, zones, keepouts, net *float64) report.Plan {
		p.Areas = &report.Areas{Zones: zones, Keepouts: keepouts, Net: net}
		return p
	}
	mixed := found("m", 1, 0, 0)
	mixed.Findings = append(mixed.Findings, report.Finding{Rule: "curve-coarse", Severity: "error"})
	mixed.Summary.Error++
	carried := area(found("a", 0, 0, 0), number(10.00004), number(1), number(9))
	carried.Checked = &report.Checked{Carried: true}
	s := report.Set{Plans: []report.Plan{
		carried,
		area(found("b", 0, 2, 1), number(0.00004), nil, nil),
		area(found("c", 0, 0, 3), number(20), number(2), number(18)),
		area(mixed, nil, number(4), nil),
		report.NewUnreadable("x", fmt.Errorf("no")),
	}}
	want := report.Overview{
		ByWorst: report.ByWorst{Unreadable: 1, Error: 1, Warning: 1, Note: 1, Clean: 1},
		Carried: 1, Order: report.WorstOrder, NotChecked: []report.NotChecked{},
		Rules: []report.RuleTotal{
			{Rule: "name-missing", Severity: "note", Findings: 4, Plans: 2},
			{Rule: "curve-coarse", Severity: "error", Findings: 3, Plans: 2},
			{Rule: "base-range", Severity: "error", Findings: 1, Plans: 1},
		},
		Worst: []report.WorstPlan{
			{Path: "x", Status: report.Unreadable}, {Path: "m", Status: report.Findings, Summary: report.Summary{Error: 2}},
			{Path: "b", Status: report.Findings, Summary: report.Summary{Warning: 2, Note: 1}}, {Path: "c", Status: report.Findings, Summary: report.Summary{Note: 3}},
		},
		Areas: report.AreaTotals{ZonesM2: 30.0001, KeepoutsM2: 7, NetM2: 27, Unknown: report.UnknownAreas{Zones: 1, Keepouts: 1, Net: 2}},
	}
	if got := s.Overview(); !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
	s.Full = true
	var b strings.Builder
	if err := s.Text(&b); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(b.String()), " ")
	for _, words := range []string{
		"by worst finding: 1 unreadable, 1 with errors, 1 with warnings, 1 with notes, 1 with no findings",
		"1 plan carried over from the earlier report",
		"a: no findings; carried over from the earlier report, because nothing changed",
		"findings by rule: name-missing 4 (2 plans), curve-coarse 3 (2 plans), base-range 1 (1 plan)",
		"plans with findings (" + report.WorstOrder + "): x: could not be read m: 2 errors b: 2 warnings, 1 note c: 3 notes",
		"total area: zones 30.0 m2 (unknown for 1 plan, left out), keepouts 7.0 m2 (unknown for 1 plan, left out), net 27.0 m2 (unknown for 2 plans, left out)",
	} {
		if !strings.Contains(text, words) {
			t.Errorf("the text does not say %q:\n%s", words, b.String())
		}
	}
	if n := strings.Count(text, "carried over from the earlier report, because nothing changed"); n != 2 {
		t.Errorf("%d mentions of what was carried over, want one at its plan and one in the summary", n)
	}
	var doc struct {
		Totals  report.Totals
		Summary struct {
			ByWorst map[string]int `json:"plans_by_worst"`
			Carried int            `json:"plans_carried"`
			Rules   []struct {
				Rule, Severity  string
				Findings, Plans int
			}
			Order string `json:"worst_order"`
			Worst []struct {
				Path, Status         string
				Error, Warning, Note int
			}
			Areas struct {
				Zones    float64        `json:"zones_m2"`
				Keepouts float64        `json:"keepouts_m2"`
				Net      float64        `json:"net_m2"`
				Unknown  map[string]int `json:"plans_unknown"`
			}
		}
	}
	if err := json.Unmarshal(encode(t, &s, (*report.Set).JSON), &doc); err != nil {
		t.Fatal(err)
	}
	x := doc.Summary
	if !reflect.DeepEqual(x.ByWorst, map[string]int{"unreadable": 1, "error": 1, "warning": 1, "note": 1, "clean": 1, "unchecked": 0}) || x.Carried != 1 ||
		len(x.Rules) != 3 || x.Rules[1].Rule != "curve-coarse" || x.Rules[1].Severity != "error" || x.Rules[1].Findings != 3 || x.Rules[1].Plans != 2 ||
		x.Order != report.WorstOrder || len(x.Worst) != 4 || x.Worst[0].Path != "x" || x.Worst[0].Status != "unreadable" || x.Worst[2].Warning != 2 || x.Worst[2].Note != 1 ||
		x.Areas.Zones != 30.0001 || x.Areas.Keepouts != 7 || x.Areas.Net != 27 || !reflect.DeepEqual(x.Areas.Unknown, map[string]int{"zones": 1, "keepouts": 1, "net": 2}) {
		t.Errorf("the JSON report has the summary %+v", x)
	}
	if doc.Totals != s.Totals() {
		t.Errorf("totals %+v, want %+v", doc.Totals, s.Totals())
	}
}

// TestWorstTen: the list is what sorting all plans gives, cut off after ten, in
// whatever order they come.
func TestWorstTen(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		var s report.Set
		for i := range r.IntN(40) {
			p := found(fmt.Sprintf("p%02d", i), r.IntN(3), r.IntN(3), r.IntN(2))
			if r.IntN(10) == 0 {
				p = report.NewUnreadable(p.Path, fmt.Errorf("no"))
			}
			s.Plans = append(s.Plans, p)
		}
		var b strings.Builder
		if err := s.Text(&b); err != nil {
			t.Fatal(err)
		}
		// The text lists every plan, the worst first.
		var want []string
		for _, line := range strings.Split(b.String(), "\n") {
			path, rest, ok := strings.Cut(line, ": ")
			if ok && len(path) == 3 && !strings.HasPrefix(line, " ") && path[0] == 'p' && rest != "no findings" && len(want) < 10 {
				want = append(want, path)
			}
		}
		var got []string
		for _, p := range s.Overview().Worst {
			got = append(got, p.Path)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%d plans: the worst are %v, want %v", len(s.Plans), got, want)
		}
		r.Shuffle(len(s.Plans), func(i, k int) { s.Plans[i], s.Plans[k] = s.Plans[k], s.Plans[i] })
		var again []string
		for _, p := range s.Overview().Worst {
			again = append(again, p.Path)
		}
		if !reflect.DeepEqual(got, again) {
			t.Fatalf("in another order the worst are %v, not %v", again, got)
		}
	}
}

// TestInterruptionIsInEveryForm: whoever reads one form alone still learns that
// the run was not whole.
func TestInterruptionIsInEveryForm(t *testing.T) {
	whole, part := awkward(), awkward()
	part.Interrupted = &report.Interruption{Checked: 3, NotReached: 39}
	part.Skipped, whole.Skipped = []string{"a/notes.doc"}, []string{"a/notes.doc"}
	for _, x := range append(encoders, pages...) {
		text := strings.Join(strings.Fields(string(encode(t, part, x.to))), " ")
		var ok bool
		switch x.name {
		case "report.json", "report.geojson":
			ok = strings.Contains(text, `"interrupted": {"checked": 3, "not_reached": 39}`)
		default:
			ok = strings.Contains(text, "interrupted: 3 of 42 plans checked, 39 not reached")
		}
		if !ok && x.name != "page" {
			t.Errorf("%s does not say it", x.name)
		}
		if text := string(encode(t, whole, x.to)); strings.Contains(text, "interrupted") {
			t.Errorf("%s speaks of an interruption that was none", x.name)
		}
	}
	back, err := report.ReadJSON(encode(t, part, (*report.Set).JSON))
	if err != nil || !reflect.DeepEqual(back, part) {
		t.Errorf("read back %+v, %v", back, err)
	}
	var suites struct {
		Tests  int `xml:"tests,attr"`
		Errors int `xml:"errors,attr"`
	}
	var before = suites
	if err := xml.Unmarshal(encode(t, whole, (*report.Set).JUnit), &before); err != nil {
		t.Fatal(err)
	}
	if err := xml.Unmarshal(encode(t, part, (*report.Set).JUnit), &suites); err != nil || suites.Errors != before.Errors+1 || suites.Tests != before.Tests+1 {
		t.Errorf("JUnit counts %+v, %+v without the interruption", suites, before)
	}
	if !strings.Contains(string(encode(t, part, (*report.Set).SARIF)), `"executionSuccessful": false`) {
		t.Error("SARIF calls the run a success")
	}
}

// TestSkippedAreNamedAndCounted: all of them in JSON and on the page, the first
// in the text.
func TestSkippedAreNamedAndCounted(t *testing.T) {
	s := report.Set{Tool: report.Tool{Name: "t"}, Plans: []report.Plan{found("a", 0, 0, 0)}}
	for i := range 12 {
		s.Skipped = append(s.Skipped, fmt.Sprintf("n%02d.doc", i))
	}
	text := strings.Join(strings.Fields(string(encode(t, &s, (*report.Set).Text))), " ")
	if !strings.Contains(text, "note: 12 files in the folders are no plans: n00.doc, n01.doc,") || !strings.Contains(text, "n09.doc and 2 more") || strings.Contains(text, "n10.doc") {
		t.Errorf("the text says %s", text)
	}
	for _, to := range []func(*report.Set) []byte{
		func(s *report.Set) []byte { return encode(t, s, (*report.Set).JSON) },
		func(s *report.Set) []byte { return encode(t, s, (*report.Set).HTML) },
	} {
		for _, name := range s.Skipped {
			if !strings.Contains(string(to(&s)), name) {
				t.Errorf("%s is missing", name)
			}
		}
	}
	s.Skipped = s.Skipped[:1]
	if text := string(encode(t, &s, (*report.Set).Text)); !strings.Contains(text, "note: 1 file in the folders is no plan: n00.doc\n") {
		t.Errorf("the text says %s", text)
	}
}
