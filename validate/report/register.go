// The register of a folder, one row a plan, and what two reports have in common.

package report

import (
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/schema"
	"swardline/validate"
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

// Enter adds what the register shows of a plan: what its numbers are in, and its
// base.
func (p *Plan) Enter(plan *schema.Plan) {
	p.Epoch = plan.Epoch
	if r, err := plan.Reference(); err == nil {
		p.Epoch = r.Epoch
		if r.Frame.Known() {
			p.Frame = r.Frame.Name()
		}
		p.Heights = r.Heights.ID()
	}
	if entries, err := validate.History(plan); err == nil {
		for _, e := range entries {
			p.BaseMeasured = max(p.BaseMeasured, e.Date)
		}
	}
	for _, f := range plan.Features {
		if f.Role == schema.RoleMark && f.Active() {
			p.Marks++
		}
	}
	if b := plan.Base(); b != nil {
		if at, ok := b.Geometry.(*geom.Point); ok {
			p.Base = &BasePosition{Name: b.Name, X: at.X(), Y: at.Y()}
		}
	}
}

// Register writes one row a plan as RFC 4180 with a header, and a last one without
// a path when the run was interrupted. A text cell that a spreadsheet would run as a
// formula gets an apostrophe before it.
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
		row[15] = strconv.FormatBool(p.carried())
		row[16] = csvCell(p.Error)
		b.WriteString(strings.Join(row, ",") + "\r\n")
	}
	if s.Interrupted != nil {
		row := make([]string, 17)
		row[2], row[16] = "interrupted", csvCell(s.Interrupted.words())
		b.WriteString(strings.Join(row, ",") + "\r\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
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
