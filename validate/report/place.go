// The report of a placement: the residual table, what the fit means, and the
// findings on its marks.

package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/validate"
)

// Place is the result of one placement, ready to be written.
type Place struct {
	Path      string
	Placement *adjust.Placement
	// Grid is the canonical text of the grid the fit was made in.
	Grid string
	// LimitM is the largest residual in metres that passes (limit residual_m).
	LimitM float64
	// At are the given positions of the marks by name; e and n are in the grid. A
	// mark without one has no place in its findings.
	At map[string]*validate.Place
}

// Findings are the faults of the placement: residuals over the limit in the order
// of the marks, then suspect marks.
func (p *Place) Findings() []Finding {
	_, found := validate.JudgePlacement(p.Placement, p.LimitM, p.At)
	out := make([]Finding, 0, len(found))
	for i := range found {
		out = append(out, newFinding(&found[i], func(f *schema.Feature) string { return f.Name }))
	}
	return out
}

// Rules are the outcomes of the rules on placements.
func (p *Place) Rules() []Rule {
	results, _ := validate.JudgePlacement(p.Placement, p.LimitM, p.At)
	out := make([]Rule, 0, len(results))
	for _, x := range results {
		out = append(out, Rule{x.Rule, string(x.Outcome), x.Reason})
	}
	return out
}

// Failed reports whether there is a finding.
func (p *Place) Failed() bool { return len(p.Findings()) > 0 }

// Set gives the placement's findings in the form of a check, for the encoders
// that it shares with one.
func (p *Place) Set(tool Tool) *Set {
	x := Plan{Path: p.Path, Status: Clean, CRS: p.Grid, Findings: p.Findings(), Rules: p.Rules(), Limits: LimitValues{{"residual_m", p.LimitM}}, Notes: p.Placement.Notes}
	for i := range x.Findings {
		x.Status = Findings
		switch validate.Severity(x.Findings[i].Severity) {
		case validate.Error:
			x.Summary.Error++
		case validate.Warning:
			x.Summary.Warning++
		default:
			x.Summary.Note++
		}
	}
	return &Set{Tool: tool, Command: "place", Plans: []Plan{x}, Notes: []string{fmt.Sprintf("place: %s fit, rms %s", p.Placement.Model, quantity(float64(p.Placement.RMS), "m"))}}
}

// JSON writes the placement as one JSON object.
func (p *Place) JSON(w io.Writer) error {
	f := p.Placement
	var t jsonText
	t.raw(`{"path": `)
	t.text(p.Path)
	t.raw(`, "model": `)
	t.text(f.Model.String())
	t.raw(`, "grid": `)
	t.text(p.Grid)
	t.raw(`, "scale": `)
	t.number(round(f.Scale(), 9))
	t.raw(`, "rotation_deg": `)
	t.number(round(float64(f.Rotation()), 7))
	t.raw(`, "shift": {"e": `)
	t.number(round(f.ShiftE, measureDecimals))
	t.raw(`, "n": `)
	t.number(round(f.ShiftN, measureDecimals))
	t.raw(`}, "rms_m": `)
	t.number(round(float64(f.RMS), measureDecimals))
	t.raw(`, "redundancy": `)
	t.int(f.Redundancy)
	t.raw(`, "limit_m": `)
	t.number(p.LimitM)
	if f.HasErrors {
		t.raw(`, "standard_errors": {"shift_m": `)
		t.number(round(float64(f.ShiftSE), measureDecimals))
		t.raw(`, "rotation_deg": `)
		t.number(round(float64(f.RotationSE), 7))
		t.raw(`, "scale": `)
		t.number(round(f.ScaleSE, 9))
		t.raw("}")
	}
	t.raw(",\n \"marks\": [")
	for i, m := range f.Marks {
		t.row(i)
		t.raw(`{"name": `)
		t.text(m.Name)
		t.raw(`, "de": `)
		t.number(round(float64(m.DE), measureDecimals))
		t.raw(`, "dn": `)
		t.number(round(float64(m.DN), measureDecimals))
		t.raw(`, "residual_m": `)
		t.number(round(float64(m.Residual), measureDecimals))
		if m.HasHeight {
			t.raw(`, "dh": `)
			t.number(round(float64(m.DH), measureDecimals))
		}
		if m.Testable {
			t.raw(`, "w": `)
			t.number(round(m.W, 2))
		}
		if m.HasLeftOut {
			t.raw(`, "left_out_m": `)
			t.number(round(float64(m.LeftOut), measureDecimals))
		}
		t.raw(fmt.Sprintf(`, "suspect": %t}`, m.Suspect))
	}
	t.raw("],\n \"findings\": [")
	findings := p.Findings()
	for i := range findings {
		t.row(i)
		t.finding(&findings[i])
	}
	t.raw("],\n \"rules\": [")
	t.rules(p.Rules())
	t.raw("],\n \"notes\": ")
	t.texts(f.Notes)
	t.raw("}\n")
	_, err := w.Write(plainJSON(t.b))
	return err
}

// Text writes the placement for people.
func (p *Place) Text(w io.Writer) error {
	f := p.Placement
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s fit in %s\n", Printable(p.Path), f.Model, Printable(p.Grid))
	turned := "clockwise"
	if f.Rotation() < 0 {
		turned = "anticlockwise"
	}
	fmt.Fprintf(&b, "  scale %.7f, rotation %.5f deg %s, %d marks, redundancy %d, rms %.4f m\n",
		f.Scale(), math.Abs(float64(f.Rotation())), turned, len(f.Marks), f.Redundancy, float64(f.RMS))
	if f.HasErrors {
		fmt.Fprintf(&b, "  standard errors: shift %.4f m, rotation %.5f deg, scale %.1f ppm\n", float64(f.ShiftSE), float64(f.RotationSE), f.ScaleSE*1e6)
	}
	width := 4
	for _, m := range f.Marks {
		width = max(width, len(Printable(m.Name)))
	}
	fmt.Fprintf(&b, "  %-*s  %9s  %9s  %9s  %6s  %s\n", width, "mark", "dE m", "dN m", "length m", "w", "without it, m")
	for _, m := range f.Marks {
		line := fmt.Sprintf("  %-*s  %+9.4f  %+9.4f  %9.4f", width, Printable(m.Name), float64(m.DE), float64(m.DN), float64(m.Residual))
		if m.Testable && !math.IsInf(m.W, 0) {
			line += fmt.Sprintf("  %6.2f", m.W)
		} else {
			line += "       -"
		}
		if m.HasLeftOut {
			line += fmt.Sprintf("  %.4f", float64(m.LeftOut))
		} else {
			line += "  -"
		}
		if m.Suspect {
			line += "  suspect"
		}
		if float64(m.Residual) > p.LimitM {
			line += fmt.Sprintf("  over the limit of %s", quantity(p.LimitM, "m"))
		}
		b.WriteString(line + "\n")
	}
	findings := p.Findings()
	for i := range findings {
		findings[i].text(&b, &Plan{CRS: p.Grid})
	}
	for _, r := range p.Rules() {
		if r.Outcome == string(validate.Unchecked) {
			fmt.Fprintf(&b, "  not checked: %s: %s\n", r.Rule, Printable(r.Reason))
		}
	}
	for _, n := range f.Notes {
		b.WriteString("  " + Printable(n) + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
