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
	// LimitFrom is who set it, "" for the default.
	LimitFrom schema.Origin
	// At are the given positions of the marks by name; e and n are in the grid.
	// A mark without one has no place in its findings.
	At map[string]*validate.Place
}

// Findings are the faults of the placement: residuals over the limit in the
// order of the marks, then suspect marks.
func (p *Place) Findings() []Finding {
	_, found := validate.JudgePlacement(p.Placement, p.LimitM, p.At)
	return newFindings(found, func(f *schema.Feature) string { return f.Name })
}

// Rules are the outcomes of the rules on placements.
func (p *Place) Rules() []Rule {
	results, _ := validate.JudgePlacement(p.Placement, p.LimitM, p.At)
	return ruleResults(results)
}

func (p *Place) limitFrom() string {
	if p.LimitFrom == "" {
		return string(schema.OriginDefault)
	}
	return string(p.LimitFrom)
}

// Failed reports whether there is a finding.
func (p *Place) Failed() bool { return len(p.Findings()) > 0 }

// Set gives the placement's findings in the form of a check, for the encoders
// that it shares with one.
func (p *Place) Set(tool Tool) *Set {
	x := Plan{Path: p.Path, Status: Clean, CRS: p.Grid, Findings: p.Findings(), Rules: p.Rules(), Limits: []LimitUse{{Name: "residual_m", Value: p.LimitM, From: p.limitFrom()}}, Notes: p.Placement.Notes}
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

// placeJSON is the report as the contract has it, with more beside.
type placeJSON struct {
	Path        string       `json:"path"`
	Model       string       `json:"model"`
	Grid        string       `json:"grid"`
	Scale       float64      `json:"scale"`
	RotationDeg float64      `json:"rotation_deg"`
	Shift       planShift    `json:"shift"`
	RMS         float64      `json:"rms_m"`
	Redundancy  int          `json:"redundancy"`
	LimitM      float64      `json:"limit_m"`
	Errors      *placeErrors `json:"standard_errors,omitempty"`
	Marks       []markJSON   `json:"marks"`
	Findings    []Finding    `json:"findings"`
	Rules       []Rule       `json:"rules"`
	Notes       []string     `json:"notes"`
}

type placeErrors struct {
	ShiftM      float64 `json:"shift_m"`
	RotationDeg float64 `json:"rotation_deg"`
	Scale       float64 `json:"scale"`
}

// planShift is a movement in the plane, metres east and north.
type planShift struct {
	E float64 `json:"e"`
	N float64 `json:"n"`
}

// markJSON is one mark of a fit: how far off it is, in metres.
type markJSON struct {
	Name      string   `json:"name"`
	DE        float64  `json:"de"`
	DN        float64  `json:"dn"`
	Residual  float64  `json:"residual_m"`
	DH        *float64 `json:"dh,omitempty"`
	TestValue *float64 `json:"test_value,omitempty"`
	// LeftOut is how far off the mark is when it takes no part in the fit.
	LeftOut *float64 `json:"error_if_left_out_m,omitempty"`
	Suspect bool     `json:"suspect"`
}

// JSON writes the placement as one JSON object.
func (p *Place) JSON(w io.Writer) error {
	f := p.Placement
	out := placeJSON{
		Path: p.Path, Model: f.Model.String(), Grid: p.Grid, Scale: round(f.Scale(), 9), RotationDeg: round(float64(f.Rotation()), 7),
		Shift: planShift{round(f.ShiftE, measureDecimals), round(f.ShiftN, measureDecimals)},
		RMS:   round(float64(f.RMS), measureDecimals), Redundancy: f.Redundancy, LimitM: p.LimitM,
		Marks: make([]markJSON, 0, len(f.Marks)), Findings: p.Findings(), Rules: p.Rules(), Notes: listed(f.Notes),
	}
	if f.HasErrors {
		out.Errors = &placeErrors{round(float64(f.ShiftSE), measureDecimals), round(float64(f.RotationSE), 7), round(f.ScaleSE, 9)}
	}
	for _, m := range f.Marks {
		x := markJSON{Name: m.Name, DE: round(float64(m.DE), measureDecimals), DN: round(float64(m.DN), measureDecimals), Residual: round(float64(m.Residual), measureDecimals), Suspect: m.Suspect}
		if m.HasHeight {
			x.DH = rounded(float64(m.DH), measureDecimals)
		}
		if m.Testable {
			x.TestValue = rounded(m.W, 2)
		}
		if m.HasLeftOut {
			x.LeftOut = rounded(float64(m.LeftOut), measureDecimals)
		}
		out.Marks = append(out.Marks, x)
	}
	return writeJSON(w, out)
}

// listed is the list, empty rather than nil.
func listed(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
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
	fmt.Fprintf(&b, "  %-*s  %9s  %9s  %9s  %10s  %s\n", width, "mark", "dE m", "dN m", "length m", "test value", "error if left out, m")
	for _, m := range f.Marks {
		line := fmt.Sprintf("  %-*s  %+9.4f  %+9.4f  %9.4f", width, Printable(m.Name), float64(m.DE), float64(m.DN), float64(m.Residual))
		if m.Testable && !math.IsInf(m.W, 0) {
			line += fmt.Sprintf("  %10.2f", m.W)
		} else {
			line += "           -"
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
