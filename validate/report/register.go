// The register of a folder: one row a plan, as CSV and as a page of links, and
// what two reports have in common.

package report

import (
	"fmt"
	"html"
	"io"
	"sort"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// BasePosition is where a plan's base stands, in the plan's own CRS and order
// x = longitude or east, y = latitude or north; degrees or the CRS's unit.
type BasePosition struct {
	Name string  `json:"name,omitempty"`
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
}

// Checked says from what a plan's entry was made. Equal values mean that a new
// check would find the same.
type Checked struct {
	// Content and Limits are SHA-256 sums in hexadecimal: of the file, and of
	// the limits and of everything else that was told about the reading.
	Content string `json:"content_sha256"`
	Limits  string `json:"limits_sha256"`
	Version string `json:"version"`
	// Carried is set when the entry was taken over from an earlier report.
	Carried bool `json:"carried,omitempty"`
}

// Enter adds what the register shows of a plan: its epoch and its base.
func (p *Plan) Enter(plan *schema.Plan) {
	p.Epoch = plan.Epoch
	if b := plan.Base(); b != nil {
		if at, ok := b.Geometry.(*geom.Point); ok {
			p.Base = &BasePosition{Name: b.Name, X: at.X(), Y: at.Y()}
		}
	}
}

// Register writes one row a plan as RFC 4180 with a header. A text cell that a
// spreadsheet would run as a formula gets an apostrophe before it.
func (s *Set) Register(w io.Writer) error {
	var b strings.Builder
	b.WriteString("site,path,status,crs,epoch,base,base_x,base_y,zones_m2,keepouts_m2,net_m2,zones,errors,warnings,notes,carried,error\r\n")
	for i := range s.Plans {
		p := &s.Plans[i]
		row := make([]string, 17)
		row[0], row[1], row[2], row[3] = csvCell(p.Name), csvCell(p.Path), string(p.Status), csvCell(p.CRS)
		if p.Epoch != 0 {
			row[4] = csvNumber(&p.Epoch)
		}
		if p.Base != nil {
			row[5], row[6], row[7] = csvCell(p.Base.Name), csvNumber(&p.Base.X), csvNumber(&p.Base.Y)
		}
		if p.Areas != nil {
			row[8], row[9], row[10] = csvNumber(p.Areas.Zones), csvNumber(p.Areas.Keepouts), csvNumber(p.Areas.Net)
		}
		row[11], row[12] = strconv.Itoa(len(p.Zones)), strconv.Itoa(p.Summary.Error)
		row[13], row[14] = strconv.Itoa(p.Summary.Warning), strconv.Itoa(p.Summary.Note)
		row[15] = strconv.FormatBool(p.Checked != nil && p.Checked.Carried)
		row[16] = csvCell(p.Error)
		b.WriteString(strings.Join(row, ",") + "\r\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// HTML writes a page that needs no other file: a table of the plans, each linked
// to its findings further down. All text of plans is escaped.
func (s *Set) HTML(w io.Writer) error {
	var b strings.Builder
	t := s.Totals()
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Plans checked</title>\n<style>body{font:1em sans-serif;margin:2em}td,th{text-align:left;padding:.2em .8em;border-bottom:1px solid #bbb}</style></head><body>\n")
	fmt.Fprintf(&b, "<h1>Plans checked</h1>\n<p>%d plans: %d without findings, %d with findings, %d unreadable.</p>\n", t.Plans, t.Clean, t.Findings, t.Unreadable)
	for _, n := range s.Notes {
		fmt.Fprintf(&b, "<p>%s</p>\n", pageText(n))
	}
	b.WriteString("<table><tr><th>Plan</th><th>Site</th><th>Status</th><th>Errors</th><th>Warnings</th><th>Notes</th></tr>\n")
	for i := range s.Plans {
		p := &s.Plans[i]
		fmt.Fprintf(&b, "<tr><td><a href=\"#plan-%d\">%s</a></td><td>%s</td><td>%s</td><td>%d</td><td>%d</td><td>%d</td></tr>\n",
			i+1, pageText(p.Path), pageText(p.Name), pageText(string(p.Status)), p.Summary.Error, p.Summary.Warning, p.Summary.Note)
	}
	b.WriteString("</table>\n")
	for i := range s.Plans {
		p := &s.Plans[i]
		fmt.Fprintf(&b, "<section id=\"plan-%d\"><h2>%s</h2>\n", i+1, pageText(p.Path))
		if p.Error != "" {
			fmt.Fprintf(&b, "<p>%s</p>\n", pageText(p.Error))
		}
		if p.Checked != nil && p.Checked.Carried {
			b.WriteString("<p>Carried over from the earlier report: nothing changed.</p>\n")
		}
		b.WriteString("<ul>\n")
		for k := range p.Findings {
			f := &p.Findings[k]
			fmt.Fprintf(&b, "<li>%s %s: %s: %s</li>\n", pageText(f.Severity), pageText(f.Rule), pageText(strings.Join(f.Names, ", ")), pageText(f.Message))
		}
		b.WriteString("</ul>\n")
		var open []string
		for _, r := range p.Rules {
			if r.Outcome == "unchecked" {
				open = append(open, r.Rule)
			}
		}
		if len(open) > 0 {
			fmt.Fprintf(&b, "<p>Not checked: %s</p>\n", pageText(strings.Join(open, ", ")))
		}
		b.WriteString("</section>\n")
	}
	b.WriteString("</body></html>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// pageText escapes text for a page; control characters, which HTML forbids, are
// replaced.
func pageText(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 {
			return '\uFFFD'
		}
		return r
	}, s))
}

// Comparison says how the findings of two reports differ, one line a finding.
type Comparison struct{ New, Gone, Same []string }

// Compare matches findings by plan, rule, features and message; a finding that
// stands twice counts twice. Files that cannot be read count as findings.
func Compare(old, now *Set) Comparison {
	var c Comparison
	left := map[string]int{}
	for _, line := range findingLines(old) {
		left[line]++
	}
	for _, line := range findingLines(now) {
		if left[line] > 0 {
			left[line]--
			c.Same = append(c.Same, line)
		} else {
			c.New = append(c.New, line)
		}
	}
	for line, n := range left {
		for range n {
			c.Gone = append(c.Gone, line)
		}
	}
	sort.Strings(c.Gone)
	return c
}

func findingLines(s *Set) []string {
	var out []string
	for i := range s.Plans {
		p := &s.Plans[i]
		if p.Status == Unreadable {
			out = append(out, fmt.Sprintf("%s: unreadable: %s", p.Path, p.Error))
		}
		for k := range p.Findings {
			f := &p.Findings[k]
			out = append(out, fmt.Sprintf("%s: %s %s: %s: %s", p.Path, f.Severity, f.Rule, strings.Join(f.Features, ", "), f.Message))
		}
	}
	sort.Strings(out)
	return out
}
