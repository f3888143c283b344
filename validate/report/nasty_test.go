// Every form of every report under names made to break out of it: of files,
// plans, features, marks and whatever else a stranger's file brings.

package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// nasty are the names. Each is put everywhere at once.
var nasty = []string{
	"=cmd|' /C calc'!A0", "+1+1", "-1+1", "@SUM(1)", "\t=1", "\r=1", "\n=1", "  =1", "\u00a0=1", "\ufeff=1", "＝1", "'=1", "=\"a\",\"b\"",
	"<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "' onmouseover='alert(1)", "</title><h1>", "</section></table>", "]]>", "<!--", "-->", "<![CDATA[", "&amp;", "&lt;b&gt;", "&#60;b&#62;", "<?xml?>",
	"\x1b[2J\x1b[31mred", "\x1b]0;title\x07", "\u009b31m", "\u0090q\u009c", "\x7f\b\b\b", "\x00", "a\x00b", "a\vb\fc",
	"gpj\u202e.kml", "\u2066a\u2069", "\u200b", "\u2028", "\u2029", "a\rb\r\nc\nd\te", "\xff\xfe", "\xed\xa0\x80", "\xc0\xaf", "\uffff", "\ufdd0", "\U000e0041", "\U0001f33f",
	"../../etc/passwd", "/etc/passwd", `..\..\x`, "a,b;c\"d\"e", "\"", "\"\"", "'", `\u003c`, `\n`, "{{.}}", "${x}", "%s%n%d", "-- ", "#plan-1", "javascript:alert(1)",
	strings.Repeat("long ", 5000),
}

// named is a set whose every text is s.
func named(s string) *report.Set {
	f := report.Finding{Rule: "base-range", Severity: "error", Features: []string{s, s}, Names: []string{"zone " + s, s}, Message: s, Measured: number(1), Limit: number(0), Unit: "m",
		At: place(-1, -1, -1, -1), Trace: []validate.Place{*place(1, 1, 1, 1), *place(2, 2, 2, 2)}, Source: &report.Source{Line: 3}}
	odd := f
	odd.Rule, odd.Severity, odd.Unit = s, s, s
	note := f
	note.Severity = "note"
	p := report.Plan{
		Path: s, Status: report.Findings, Name: s, CRS: s, Epoch: 2020, Base: &report.BasePosition{Name: s, X: -1, Y: -2},
		Checked: &report.Checked{Content: s, Limits: s, Version: s, Carried: true}, Summary: report.Summary{Error: 2, Note: 1},
		Areas: &report.Areas{Zones: number(1)}, Findings: []report.Finding{f, odd, note},
		Rules:  []report.Rule{{Rule: "base-range", Outcome: "failed", Reason: s}, {Rule: s, Outcome: "unchecked", Reason: s}, {Rule: "ring-open", Outcome: "unchecked", Reason: s}},
		Limits: []report.LimitUse{{Name: s, Value: 1, From: s, Feature: s}, {Name: "base_range_m", Value: 1, From: s, Feature: s}}, Traced: []string{s}, Origin: &report.Origin{Of: s, Lon: 1, Lat: 2},
		Zones: []report.Zone{{Feature: s, Name: s, HardEdge: number(1), Uncut: number(1)}, {Feature: s, HardEdge: number(1), Uncut: number(1)}}, Inactive: []string{s, s}, Notes: []string{s},
		Warnings: []report.Notice{{Kind: s, Count: 2, Message: s}},
	}
	return &report.Set{Tool: report.Tool{Name: "swardline", Version: "1"}, Notes: []string{s}, Skipped: []string{s}, Caution: s,
		Plans: []report.Plan{p, report.NewUnreadable(s, fmt.Errorf("%s", s)), {Path: s, Status: report.Clean, Findings: []report.Finding{}}}}
}

// plain fails the test unless the text is UTF-8 and holds nothing that a
// terminal, a log viewer or an editor would obey.
func plain(t *testing.T, what string, text []byte) {
	t.Helper()
	if !utf8.Valid(text) {
		t.Errorf("%s is not UTF-8", what)
	}
	for _, r := range string(text) {
		if unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' || unicode.Is(unicode.Cf, r) || r == 0x2028 || r == 0x2029 {
			t.Errorf("%s holds %U", what, r)
			return
		}
	}
}

// tags are the tags of a page in their order, without what differs from page to
// page by right: links.
func tags(page []byte) []string {
	links := regexp.MustCompile(`href="(plans/[a-z0-9-]+\.html|\.\./index\.html|#plan-[0-9]+)"`)
	return regexp.MustCompile(`<[^>]*>`).FindAllString(links.ReplaceAllString(string(page), "href"), -1)
}

func TestNastyNames(t *testing.T) {
	drift, placed := driftNamed(t, "plain"), placeNamed("plain")
	for _, s := range nasty {
		short := fmt.Sprintf("%.20q", s)
		set := named(s)
		for _, x := range append(append(slices.Clone(encoders), pages...), encoderOf("register.csv", (*report.Set).Register)) {
			text := encode(t, set, x.to)
			checkForm(t, short+" in "+x.name, x.name, text, encode(t, named("plain"), x.to))
			if x.name == "report.json" {
				back, err := report.ReadJSON(text)
				if err != nil {
					t.Fatalf("%s does not read back: %v", short, err)
				}
				if got := back.Plans[0].Findings[0].Features[0]; utf8.ValidString(s) && got != s {
					t.Errorf("%s read back as %.20q", short, got)
				}
			}
		}
		// The reports of drift and placement, and the forms a drift shares with
		// a check.
		d, p := driftNamed(t, s), placeNamed(s)
		shared := d.Set(set.Tool)
		before := drift.Set(set.Tool)
		for _, x := range encoders {
			checkForm(t, short+" in a drift's "+x.name, x.name, encode(t, shared, x.to), encode(t, before, x.to))
		}
		for _, x := range []struct {
			name        string
			to, without func(io.Writer) error
		}{
			{"drift.txt", d.Text, drift.Text}, {"drift.json", d.JSON, drift.JSON}, {"place.txt", p.Text, placed.Text}, {"place.json", p.JSON, placed.JSON},
		} {
			var a, b bytes.Buffer
			if err := x.to(&a); err != nil {
				t.Fatal(err)
			}
			if err := x.without(&b); err != nil {
				t.Fatal(err)
			}
			checkForm(t, short+" in "+x.name, x.name, a.Bytes(), b.Bytes())
			// Text of a placement and a drift is not broken over lines, so a
			// name must not add any.
			if strings.HasSuffix(x.name, ".txt") && bytes.Count(a.Bytes(), []byte("\n")) != bytes.Count(b.Bytes(), []byte("\n")) {
				t.Errorf("%s in %s changes the number of lines", short, x.name)
			}
		}
	}
}

func encoderOf(name string, to func(*report.Set, io.Writer) error) struct {
	name string
	to   func(*report.Set, io.Writer) error
} {
	return struct {
		name string
		to   func(*report.Set, io.Writer) error
	}{name, to}
}

// checkForm parses the text as the form that its name says and holds its
// structure against that of the same report with plain names.
func checkForm(t *testing.T, what, name string, text, benign []byte) {
	t.Helper()
	plain(t, what, text)
	switch {
	case strings.HasSuffix(name, ".txt"):
		if bytes.ContainsAny(text, "\t\r") {
			t.Errorf("%s holds a tab or a return", what)
		}
	case strings.HasSuffix(name, "json") || strings.HasSuffix(name, ".sarif"):
		var a, b any
		if err := json.Unmarshal(text, &a); err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if err := json.Unmarshal(benign, &b); err != nil {
			t.Fatal(err)
		}
	case strings.HasSuffix(name, ".xml"):
		if a, b := elements(t, what, text), elements(t, what, benign); !slices.Equal(a, b) {
			t.Errorf("%s has other elements", what)
		}
	case strings.HasSuffix(name, ".csv"):
		rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll() // holds every row to the header's number of cells
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if n := bytes.Count(text, []byte("\r\n")); n != len(rows) || n != bytes.Count(benign, []byte("\r\n")) || bytes.Count(text, []byte("\n")) != n {
			t.Errorf("%s has %d lines for %d rows", what, n, len(rows))
		}
		for _, row := range rows {
			for i, cell := range row {
				lead := strings.TrimLeft(cell, " \u00a0")
				if _, err := strconv.ParseFloat(cell, 64); lead == "" || err == nil {
					continue
				}
				if r, _ := utf8.DecodeRuneInString(lead); strings.ContainsRune("=+-@\t\r\n＝＋－＠", r) {
					t.Errorf("%s: the cell %s would be run: %.20q", what, rows[0][i], cell)
				}
			}
		}
	default: // pages
		if a, b := tags(text), tags(benign); !slices.Equal(a, b) {
			t.Errorf("%s has %d tags, not %d as with plain names", what, len(a), len(b))
		}
	}
}

// elements lists a document's elements and attributes in their order.
func elements(t *testing.T, what string, text []byte) []string {
	t.Helper()
	var out []string
	d := xml.NewDecoder(bytes.NewReader(text))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			out = append(out, x.Name.Local)
			for _, a := range x.Attr {
				out = append(out, "@"+a.Name.Local)
			}
		case xml.EndElement:
			out = append(out, "/")
		case xml.Comment, xml.Directive:
			out = append(out, "?")
		}
	}
}

// driftNamed is the drift of a small plan in which everything is called s.
func driftNamed(t *testing.T, s string) *report.Drift {
	t.Helper()
	feature := func(role schema.Role, g geom.T) *schema.Feature {
		f := &schema.Feature{Role: role, Name: s, Geometry: g}
		f.ID = schema.String(s)
		return f
	}
	ring := func(w, south, e, n float64) geom.T {
		flat := []float64{w, south, e, south, e, n, w, n, w, south}
		return geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})
	}
	p := &schema.Plan{Name: s, CRS: crs.WGS84(), Features: []*schema.Feature{
		feature(schema.RoleZone, ring(9, 50, 9.001, 50.001)), feature(schema.RoleKeepout, ring(9.0004, 50.0004, 9.0006, 50.0006)),
		feature(schema.RoleBoundary, ring(9, 50, 9.001, 50.001)), feature(schema.RoleHazard, ring(9.001, 50, 9.002, 50.001)),
		feature(schema.RoleBase, geom.NewPointFlat(geom.XY, []float64{9.0001, 50.0001})), feature(schema.RoleDock, geom.NewPointFlat(geom.XY, []float64{9.0002, 50.0002})),
	}}
	r, err := validate.Drift(p, schema.DefaultLimits(), validate.Movement{Antenna: crs.Local{E: 0.5, N: 0.2}}, validate.DriftOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Findings) == 0 || r.Margin.Meets == nil {
		t.Fatalf("the drift finds nothing to name: %+v", r.Margin)
	}
	r.Unchecked, r.Advice = append(r.Unchecked, s), append(r.Advice, s)
	for i := range r.Rules {
		r.Rules[i].Reason = s
	}
	for i := range r.Findings {
		r.Findings[i].Message = s
	}
	fit := &adjust.ShiftFit{Marks: shiftMarks(s), Notes: []string{s}}
	r.Marks = &validate.MarksMovement{Fit: fit, Refit: fit, Raw: []validate.MarkMovement{{Name: s}}, Decision: validate.Decision{Why: s}}
	return &report.Drift{Path: s, Report: r, Cause: s, Caution: "Caution."}
}

// placeNamed is a placement whose marks, notes, grid and path are called s.
func placeNamed(s string) *report.Place {
	return &report.Place{Path: s, Grid: s, LimitM: 0.03, Placement: &adjust.Placement{
		PlaneTransform: adjust.PlaneTransform{A: 1}, Marks: []adjust.MarkFit{{Name: s, Residual: 1, Suspect: true}, {Name: s, Residual: 1}}, Notes: []string{s}, Suspects: []string{s},
	}}
}

func shiftMarks(s string) []adjust.ShiftMarkFit {
	out := make([]adjust.ShiftMarkFit, 2)
	for i := range out {
		out[i].Name, out[i].Suspect = s, i == 0
	}
	return out
}
