// The register of a folder, one row a plan, and what two reports have in
// common.

package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
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

// Enter adds what the register shows of a plan: what its numbers are in, and
// its base.
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

// What stands for a plan that an earlier report has and that is not there any
// more.
const (
	gone        = "gone"
	goneMessage = "not there any more; the earlier report has it"
)

// enoughMarks is how many marks let the base be checked again so that one wrong
// mark shows: with three the fit has something over, and names it.
const enoughMarks = 3

// registerColumns are the columns of the register.
var registerColumns = []string{
	"visit", "site", "path", "status", "crs", "epoch", "base", "base_x", "base_y", "base_measured", "marks", "marks_enough", "traced",
	"zones_m2", "keepouts_m2", "net_m2", "zones", "not_checked", "errors", "warnings", "notes", "carried", "error",
	columnDrivenLast, columnDrivenPercent, columnDrivenBase,
}

// The columns that logs fill: the day of the last position, in UTC, how much of
// the zones they show driven over, and what they say of the base.
const (
	columnDrivenLast    = "driven_last"
	columnDrivenPercent = "driven_percent"
	columnDrivenBase    = "driven_base"
)

// Register writes the work list of a season as RFC 4180 with a header: one row
// a plan, what to visit first at the top. These are the plans that cannot be
// read, then those with errors, then those whose base was last measured longest
// ago (by the history of the base, else by the epoch of the coordinates; never
// comes first), then those with fewer marks than it takes to check the base
// again, then by path. Last come the plans that are gone, and a row without a
// path when the run was interrupted. A text cell that a spreadsheet would run
// as a formula gets an apostrophe before it. What logs filled comes from
// s.Driven.
func (s *Set) Register(w io.Writer) error {
	var b strings.Builder
	b.WriteString(strings.Join(registerColumns, ",") + "\r\n")
	write := func(cells map[string]string) {
		row := make([]string, len(registerColumns))
		for i, name := range registerColumns {
			row[i] = cells[name]
		}
		b.WriteString(strings.Join(row, ",") + "\r\n")
	}
	for i, p := range s.visits() {
		cells := p.registerCells()
		cells["visit"] = strconv.Itoa(i + 1)
		for column, cell := range s.Driven[cells["path"]] {
			cells[column] = csvQuoted(cell)
		}
		write(cells)
	}
	for _, path := range s.Gone {
		write(map[string]string{"path": csvCell(path), "status": gone, "error": goneMessage})
	}
	if s.Interrupted != nil {
		write(map[string]string{"status": "interrupted", "error": csvCell(s.Interrupted.words())})
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// RegisterPath is the cell by which the register knows the plan.
func (p *Plan) RegisterPath() string { return csvCell(p.Path) }

func (p *Plan) registerCells() map[string]string {
	cells := map[string]string{
		"site": csvCell(p.Name), "path": p.RegisterPath(), "status": string(p.Status), "crs": csvCell(p.CRS), "base_measured": csvCell(p.BaseMeasured),
		"errors": strconv.Itoa(p.Summary.Error), "warnings": strconv.Itoa(p.Summary.Warning), "notes": strconv.Itoa(p.Summary.Note),
		"carried": strconv.FormatBool(p.carried()), "error": csvCell(p.Error),
	}
	if p.Status == Unreadable {
		return cells
	}
	cells["zones"], cells["not_checked"] = strconv.Itoa(len(p.Zones)), strconv.Itoa(p.openRules())
	cells["marks"], cells["marks_enough"], cells["traced"] = strconv.Itoa(p.Marks), strconv.FormatBool(p.Marks >= enoughMarks), strconv.Itoa(len(p.Traced))
	if p.Epoch != 0 {
		cells["epoch"] = csvNumber(&p.Epoch)
	}
	if p.Base != nil {
		cells["base"], cells["base_x"], cells["base_y"] = csvCell(p.Base.Name), csvNumber(&p.Base.X), csvNumber(&p.Base.Y)
	}
	if p.Areas != nil {
		cells["zones_m2"], cells["keepouts_m2"], cells["net_m2"] = csvNumber(p.Areas.Zones), csvNumber(p.Areas.Keepouts), csvNumber(p.Areas.Net)
	}
	return cells
}

// visits are the plans in the order in which to visit them.
func (s *Set) visits() []*Plan {
	out := make([]*Plan, len(s.Plans))
	for i := range s.Plans {
		out[i] = &s.Plans[i]
	}
	rank := func(p *Plan) int {
		switch {
		case p.Status == Unreadable:
			return 0
		case p.Summary.Error > 0:
			return 1
		}
		return 2
	}
	since := func(p *Plan) string {
		if p.BaseMeasured == "" && p.Epoch != 0 {
			return fmt.Sprintf("%08.3f", p.Epoch)[:4]
		}
		return p.BaseMeasured
	}
	slices.SortStableFunc(out, func(a, b *Plan) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), strings.Compare(since(a), since(b)),
			min(a.Marks, enoughMarks)-min(b.Marks, enoughMarks), strings.Compare(a.Path, b.Path))
	})
	return out
}

// Comparison says how two reports differ: plans that are not there any more, by
// path, and findings, one line each. Findings of plans that are not there are
// not among those that are gone: nobody mended them.
type Comparison struct{ Missing, New, Gone, Same []string }

// Compare matches findings by plan, rule, features and message; a finding that
// stands twice counts twice. Files that cannot be read count as findings.
func Compare(old, now *Set) Comparison {
	var c Comparison
	there := map[string]bool{}
	for i := range now.Plans {
		there[now.Plans[i].Path] = true
	}
	kept := Set{}
	for i := range old.Plans {
		if p := &old.Plans[i]; there[p.Path] {
			kept.Plans = append(kept.Plans, *p)
		} else {
			c.Missing = append(c.Missing, p.Path)
		}
	}
	sort.Strings(c.Missing)
	left := map[string]int{}
	for _, line := range findingLines(&kept) {
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
