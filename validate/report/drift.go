// The report of a drift: as text for a phone in the rain, and as JSON.

package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"swardline/crs/adjust"
	"swardline/validate"
)

// Drift is the result of one drift, ready to be written.
type Drift struct {
	Path   string
	Report *validate.DriftReport
	// Cause says in words what was told: "antenna moved by 0.30 E 0.10 N".
	Cause string
	// Caution closes the text.
	Caution string
}

// Set gives the drift's findings in the form of a check, for the encoders that it
// shares with one.
func (d *Drift) Set(tool Tool) *Set {
	r := d.Report
	c := validate.Report{Site: r.Site, Findings: r.Findings, Limits: r.Limits, Rules: r.Rules}
	nan := math.NaN()
	c.Areas = validate.Areas{ZonesM2: nan, KeepoutsM2: nan, NetM2: nan}
	return &Set{Tool: tool, Command: "drift", Plans: []Plan{NewPlan(d.Path, &c, nil)}, Notes: []string{"drift: " + string(r.Verdict)}}
}

// JSON writes the drift as one JSON object.
func (d *Drift) JSON(w io.Writer) error {
	r := d.Report
	var t jsonText
	t.raw(`{"path": `)
	t.text(d.Path)
	t.raw(`, "held": `)
	t.text(string(r.Held))
	e, n, u := float64(r.Shift.E), float64(r.Shift.N), float64(r.Shift.U)
	t.raw(",\n \"shift\": {\"e\": ")
	t.number(round(e, measureDecimals))
	t.raw(`, "n": `)
	t.number(round(n, measureDecimals))
	t.raw(`, "u": `)
	if r.Movement.NoHeight {
		t.raw("null")
	} else {
		t.number(round(u, measureDecimals))
	}
	t.raw(`, "horizontal_m": `)
	t.number(round(math.Hypot(e, n), measureDecimals))
	t.raw(`, "bearing_deg": `)
	t.number(round(bearingDeg(e, n), 1))
	t.raw("},\n \"findings\": [")
	refs := references(r.Site.Plan)
	for i := range r.Findings {
		t.row(i)
		f := newFinding(&r.Findings[i], refs)
		t.finding(&f)
	}
	t.raw("],\n \"rules\": [")
	outcomes := make([]Rule, len(r.Rules))
	for i, x := range r.Rules {
		outcomes[i] = Rule{Rule: x.Rule, Outcome: string(x.Outcome), Reason: x.Reason}
	}
	t.rules(outcomes)
	t.raw("],\n \"margin\": {\"least_m\": ")
	t.orNull(rounded(r.Margin.LeastM, measureDecimals))
	if !math.IsInf(r.Margin.LeastM, 1) {
		t.raw(`, "bearing_deg": `)
		t.number(round(r.Margin.BearingDeg, 1))
		if r.Margin.Meets != nil {
			t.raw(`, "meets": `)
			t.text(refs(r.Margin.Meets.Feature))
		}
	}
	t.raw(`, "rose": [`)
	for i, s := range r.Margin.Rose {
		t.row(i)
		t.raw(`{"bearing_deg": `)
		t.number(round(s.BearingDeg, 3))
		t.raw(`, "margin_m": `)
		t.orNull(rounded(s.MarginM, measureDecimals))
		if s.Meets != nil {
			t.raw(`, "meets": `)
			t.text(refs(s.Meets.Feature))
		}
		t.raw("}")
	}
	t.raw("]}")
	if !math.IsNaN(r.Broken) {
		t.raw(",\n \"uncertainty\": {\"sigma_e_m\": ")
		t.number(r.Uncertainty.SigmaE)
		t.raw(`, "sigma_n_m": `)
		t.number(r.Uncertainty.SigmaN)
		t.raw(`, "correlation": `)
		t.number(r.Uncertainty.Correlation)
		t.raw(`, "probability": `)
		t.number(round(r.Broken, 6))
		t.raw("}")
	}
	if m := r.Marks; m != nil {
		t.fit("fit", m.Fit)
		if m.Refit != nil {
			t.fit("refit", m.Refit)
		}
		t.decision(m)
	}
	if len(r.Unchecked) > 0 {
		t.raw(",\n \"unchecked\": ")
		t.texts(r.Unchecked)
	}
	if len(r.Advice) > 0 {
		t.raw(",\n \"advice\": ")
		t.texts(r.Advice)
	}
	t.raw(",\n \"verdict\": ")
	t.text(string(r.Verdict))
	t.raw("}\n")
	_, err := w.Write(plainJSON(t.b))
	return err
}

// decision writes what the marks let one say, and what each shows by itself.
func (t *jsonText) decision(m *validate.MarksMovement) {
	d := &m.Decision
	t.raw(",\n \"decision\": {\"row\": ")
	t.text(string(d.Row))
	t.raw(`, "verdict": `)
	t.text(string(d.Verdict))
	t.raw(`, "why": `)
	t.text(d.Why)
	if d.Tested {
		t.raw(fmt.Sprintf(`, "significant": %t, "detectable_m": `, d.Significant))
		t.number(round(d.DetectableM, measureDecimals))
		t.raw(`, "bound_m": `)
		t.number(round(d.BoundM, measureDecimals))
	}
	t.raw(fmt.Sprintf(`, "without_suspects": %t, "moved": [`, m.Trusted))
	for i, x := range m.Raw {
		t.row(i)
		t.raw(`{"name": `)
		t.text(x.Name)
		t.raw(`, "e": `)
		t.number(round(x.E, measureDecimals))
		t.raw(`, "n": `)
		t.number(round(x.N, measureDecimals))
		t.raw("}")
	}
	t.raw("]}")
}

func (t *jsonText) fit(key string, f *adjust.ShiftFit) {
	t.raw(",\n \"" + key + "\": {\"shift\": {\"e\": ")
	t.number(round(float64(f.Shift.E), measureDecimals))
	t.raw(`, "n": `)
	t.number(round(float64(f.Shift.N), measureDecimals))
	t.raw("}")
	if f.HasErrors {
		t.raw(`, "standard_error_m": {"e": `)
		t.number(round(float64(f.SE.E), measureDecimals))
		t.raw(`, "n": `)
		t.number(round(float64(f.SE.N), measureDecimals))
		t.raw("}")
	}
	t.raw(`, "redundancy": `)
	t.int(f.Redundancy)
	if f.Tested {
		t.raw(fmt.Sprintf(`, "significant": %t, "statistic": `, f.Significant))
		t.number(round(f.Statistic, 3))
		t.raw(`, "limit": `)
		t.number(round(f.Limit, 3))
		t.raw(`, "detectable_m": `)
		t.number(round(float64(f.Detectable), measureDecimals))
	}
	if f.FormTested {
		t.raw(fmt.Sprintf(`, "rotation_or_scale_significant": %t`, f.FormSignificant))
	}
	t.raw(`, "marks": [`)
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
		if m.Testable {
			t.raw(`, "w": `)
			t.number(round(m.W, 2))
		}
		t.raw(fmt.Sprintf(`, "suspect": %t}`, m.Suspect))
	}
	t.raw(`], "notes": `)
	t.texts(f.Notes)
	t.raw("}")
}

// Text writes the drift for people: the verdict first, then what breaks, the worst
// first, then the margin and what to do.
func (d *Drift) Text(w io.Writer) error {
	r := d.Report
	var b strings.Builder
	e, n, u := float64(r.Shift.E), float64(r.Shift.N), float64(r.Shift.U)
	fmt.Fprintf(&b, "%s\n\n", strings.ToUpper(string(r.Verdict)))
	b.WriteString(Printable(d.Path))
	if name := r.Site.Plan.Name; name != "" {
		b.WriteString(" (" + Printable(name) + ")")
	}
	b.WriteString("\n")
	if d.Cause != "" {
		b.WriteString(Printable(d.Cause) + "\n")
	}
	held := "held as " + string(r.Held)
	if !r.HeldStated {
		held += " (assumed: the plan does not say)"
	}
	fmt.Fprintf(&b, "the ground driven moves %s", quantity(math.Hypot(e, n), "m"))
	if math.Hypot(e, n) > 0 {
		fmt.Fprintf(&b, " on bearing %.1f (E %+.3f, N %+.3f", bearingDeg(e, n), e, n)
		if !r.Movement.NoHeight {
			fmt.Fprintf(&b, ", U %+.3f", u)
		}
		b.WriteString(")")
	}
	fmt.Fprintf(&b, "; plan %s\n", held)
	d.fitText(&b)
	if len(r.Findings) == 0 {
		b.WriteString("\nnothing is entered or left past the limits\n")
	} else {
		b.WriteString("\n")
	}
	refs := references(r.Site.Plan)
	p := NewPlan(d.Path, &validate.Report{Site: r.Site, Limits: r.Limits}, nil)
	for i := range r.Findings {
		f := newFinding(&r.Findings[i], refs)
		f.text(&b, &p)
	}
	b.WriteString("\n")
	switch {
	case math.IsInf(r.Margin.LeastM, 1):
		b.WriteString("margin: the plan has no hazard, hard edge or boundary to run into\n")
	case r.Margin.Meets != nil:
		fmt.Fprintf(&b, "margin: as planned, a movement of %s on bearing %.1f first meets %s\n",
			quantity(r.Margin.LeastM, "m"), r.Margin.BearingDeg, Printable(label(r.Margin.Meets.Feature, refs(r.Margin.Meets.Feature))))
	}
	if !math.IsNaN(r.Broken) {
		fmt.Fprintf(&b, "with standard errors of %s east and %s north, the probability of meeting something is %.2g\n",
			quantity(r.Uncertainty.SigmaE, "m"), quantity(r.Uncertainty.SigmaN, "m"), r.Broken)
	}
	for _, x := range r.Rules {
		if x.Reason != "" && x.Outcome != validate.NotNeeded {
			b.WriteString(map[bool]string{true: "not checked: ", false: "checked in part: "}[x.Outcome == validate.Unchecked] + x.Rule + ": " + Printable(x.Reason) + "\n")
		}
	}
	for _, x := range r.Advice {
		b.WriteString("do: " + Printable(x) + "\n")
	}
	l := r.Limits
	fmt.Fprintf(&b, "limits: unchanged up to %s, stop from %s, dock reach %s, base range %s\n",
		quantity(l.DriftUnchangedM, "m"), quantity(l.DriftStopM, "m"), quantity(l.DockReachM, "m"), quantity(l.BaseRangeM, "m"))
	if d.Caution != "" {
		b.WriteString("\n" + d.Caution + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (d *Drift) fitText(b *strings.Builder) {
	m := d.Report.Marks
	if m == nil {
		return
	}
	fitLine(b, "marks", m.Fit)
	raw := map[string]validate.MarkMovement{}
	for _, x := range m.Raw {
		raw[x.Name] = x
	}
	for _, x := range m.Fit.Marks {
		suspect := ""
		if x.Suspect {
			suspect = "  suspect"
		}
		r := raw[x.Name]
		fmt.Fprintf(b, "  %-12s E %+.3f N %+.3f, residual %.3f m%s\n", Printable(x.Name), r.E, r.N, float64(x.Residual), suspect)
	}
	for _, x := range m.Fit.Notes {
		b.WriteString("  " + Printable(x) + "\n")
	}
	if m.Refit != nil {
		fitLine(b, "without the suspect: marks", m.Refit)
		if !m.Trusted {
			b.WriteString("  these are too few, or do not agree, to go by them: all marks count\n")
		}
	}
	fmt.Fprintf(b, "the marks say %s: %s\n", m.Decision.Verdict, Printable(m.Decision.Why))
}

func fitLine(b *strings.Builder, what string, f *adjust.ShiftFit) {
	fmt.Fprintf(b, "%s: %d, shift E %+.3f N %+.3f", what, len(f.Marks), float64(f.Shift.E), float64(f.Shift.N))
	if f.HasErrors {
		fmt.Fprintf(b, " (standard error %.3f, %.3f)", float64(f.SE.E), float64(f.SE.N))
	}
	switch {
	case !f.Tested:
		b.WriteString("; too few marks, or no known error, to test it")
	case f.Significant:
		b.WriteString("; significant at 5 %")
	default:
		fmt.Fprintf(b, "; no significant movement: these marks could have shown %.3f m at 95 %%", float64(f.Detectable))
	}
	b.WriteString("\n")
}

func bearingDeg(e, n float64) float64 {
	if e == 0 && n == 0 {
		return 0
	}
	b := math.Atan2(e, n) * 180 / math.Pi
	if b < 0 {
		b += 360
	}
	return b
}
