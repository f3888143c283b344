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

// The rules that a placement is judged by.
const (
	RuleResidual = "residual-over-limit"
	RuleSuspect  = "mark-suspect"
)

// PlaceRules are the pages of the rules that a placement is judged by.
var PlaceRules = []validate.Rule{
	{
		Name: RuleResidual, Severity: validate.Error, Limits: []string{"residual_m"},
		Page: validate.Page{
			What: "The distance between each mark's given position and where the fit of all marks puts it, in the grid of the fit; heights are compared for themselves. " +
				"With as many marks as the fit has unknowns, every residual is 0 and nothing was checked.",
			Why:    "A drawing that misses one of its own marks by 5 cm stands 5 cm wrong at the kerb too, or the mark was mistyped; either way the plan is not what was measured.",
			Source: schema.SourcePractice,
			Fails:  "a mark that the fit puts 0.052 m from where it was measured, limit 0.03 m",
			Passes: "four marks with residuals of 0.008 m and less",
			Mend:   "measure the mark again, or look for a swapped digit in the marks file; leave the mark out only when it is known to be wrong",
		},
	},
	{
		Name: RuleSuspect, Severity: validate.Warning,
		Page: validate.Page{
			What:   "Whether a mark's residual, in units of its own standard deviation, is larger than good marks give once in twenty fits; the worst is named first, and the others are judged without it.",
			Why:    "Least squares spreads one wrong mark over all of them: the residuals look bearable, and the whole plan is turned.",
			Source: "W. Baarda, A testing procedure for use in geodetic networks, 1968: data snooping",
			Fails:  "a mark with w = 4.1 that lies 0.11 m off once it takes no part in the fit",
			Passes: "marks with w of 2 and less",
			Mend:   "measure the mark again; without it, the fit stands as the column 'without it' says",
		},
	},
}

// ExplainPlace returns the page of one of PlaceRules as plain text; ok is false
// for any other name.
func ExplainPlace(name string) (text string, ok bool) {
	for i := range PlaceRules {
		if PlaceRules[i].Name == name {
			return PlaceRules[i].Text(), true
		}
	}
	return "", false
}

// Findings are the faults of the placement: residuals over the limit in the order
// of the marks, then suspect marks.
func (p *Place) Findings() []Finding {
	out := []Finding{}
	add := func(rule string, severity validate.Severity, m *adjust.MarkFit, message string, measured, limit float64, unit string) {
		f := Finding{Rule: rule, Severity: string(severity), Features: []string{m.Name}, Names: []string{"mark " + m.Name}, Message: message,
			Measured: rounded(measured, measureDecimals), Limit: rounded(limit, measureDecimals), Unit: unit}
		if at := p.At[m.Name]; at != nil {
			place := roundPlace(at)
			f.At = &place
		}
		out = append(out, f)
	}
	marks := p.Placement.Marks
	for i := range marks {
		m := &marks[i]
		if r := float64(m.Residual); r > p.LimitM {
			add(RuleResidual, validate.Error, m, fmt.Sprintf("the fit puts the mark %s from its given position, %s",
				quantity(r, "m"), offset(float64(m.DE), float64(m.DN))), r, p.LimitM, "m")
		}
		if h := float64(m.DH); m.HasHeight && math.Abs(h) > p.LimitM {
			way := "above"
			if h < 0 {
				way = "below"
			}
			add(RuleResidual, validate.Warning, m, fmt.Sprintf("the fit puts the mark %s %s its given height", quantity(math.Abs(h), "m"), way), math.Abs(h), p.LimitM, "m")
		}
	}
	for i := range marks {
		m := &marks[i]
		if !m.Suspect {
			continue
		}
		message := "the mark does not fit the others"
		if m.HasLeftOut {
			message += fmt.Sprintf("; without it, the fit puts it %s from its given position", quantity(float64(m.LeftOut), "m"))
		}
		w, critical := m.W, m.Critical
		// A mark that shows only once a worse one is left out has no figure here.
		if !m.Testable || math.IsInf(w, 0) || w <= critical {
			w, critical = math.NaN(), math.NaN()
		}
		add(RuleSuspect, validate.Warning, m, message, w, critical, "")
	}
	return out
}

func offset(de, dn float64) string {
	return compass(de, "east", "west") + " and " + compass(dn, "north", "south")
}

// Rules are the outcomes of PlaceRules.
func (p *Place) Rules() []Rule {
	f := p.Placement
	found := map[string]bool{}
	for _, x := range p.Findings() {
		found[x.Rule] = true
	}
	testable := false
	for _, m := range f.Marks {
		testable = testable || m.Testable
	}
	reasons := map[string]string{}
	if f.Redundancy == 0 {
		reasons[RuleResidual] = fmt.Sprintf("%s fix a %s fit and leave nothing over to check it", count(len(f.Marks), "mark"), f.Model)
	}
	if !testable {
		reasons[RuleSuspect] = "no mark is checked by the others well enough to be suspected"
	}
	out := make([]Rule, 0, len(PlaceRules))
	for _, r := range PlaceRules {
		x := Rule{Rule: r.Name, Outcome: string(validate.Passed)}
		switch {
		case found[r.Name]:
			x.Outcome = string(validate.Failed)
		case reasons[r.Name] != "":
			x.Outcome, x.Reason = string(validate.Unchecked), reasons[r.Name]
		}
		out = append(out, x)
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
