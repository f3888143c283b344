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

// Set gives the drift's findings in the form of a check, for the encoders that
// it shares with one.
func (d *Drift) Set(tool Tool) *Set {
	r := d.Report
	c := validate.Report{Site: r.Site, Findings: r.Findings, Limits: r.Limits, Rules: r.Rules}
	nan := math.NaN()
	c.Areas = validate.Areas{ZonesM2: nan, KeepoutsM2: nan, NetM2: nan}
	return &Set{Tool: tool, Command: "drift", Plans: []Plan{NewPlan(d.Path, &c, nil)}, Notes: []string{"drift: " + string(r.Verdict)}}
}

// driftJSON is the report as the contract has it, with more beside.
type driftJSON struct {
	Path        string           `json:"path"`
	Held        string           `json:"held"`
	Shift       driftShift       `json:"shift"`
	Findings    []Finding        `json:"findings"`
	Traced      []string         `json:"traced,omitempty"`
	Rules       []Rule           `json:"rules"`
	Margin      marginJSON       `json:"margin"`
	Uncertainty *uncertaintyJSON `json:"uncertainty,omitempty"`
	Fit         *fitJSON         `json:"fit,omitempty"`
	Refit       *fitJSON         `json:"refit,omitempty"`
	Decision    *decisionJSON    `json:"decision,omitempty"`
	Unchecked   []string         `json:"unchecked,omitempty"`
	Advice      []string         `json:"advice,omitempty"`
	Verdict     validate.Verdict `json:"verdict"`
}

// driftShift is the displacement of the driven ground in metres; u is null when
// heights are not known.
type driftShift struct {
	E          float64  `json:"e"`
	N          float64  `json:"n"`
	U          *float64 `json:"u"`
	Horizontal float64  `json:"horizontal_m"`
	BearingDeg float64  `json:"bearing_deg"`
}

// marginJSON is how far the base may move, null where nothing is met.
type marginJSON struct {
	LeastM     *float64      `json:"least_m"`
	BearingDeg *float64      `json:"bearing_deg,omitempty"`
	Meets      string        `json:"meets,omitempty"`
	ByBearing  []bearingJSON `json:"by_bearing"`
}

type bearingJSON struct {
	BearingDeg float64  `json:"bearing_deg"`
	MarginM    *float64 `json:"margin_m"`
	Meets      string   `json:"meets,omitempty"`
}

type uncertaintyJSON struct {
	SigmaE      float64 `json:"sigma_e_m"`
	SigmaN      float64 `json:"sigma_n_m"`
	Correlation float64 `json:"correlation"`
	Probability float64 `json:"probability"`
}

// fitJSON is a fit of marks; what was not tested is left out.
type fitJSON struct {
	Shift           planShift  `json:"shift"`
	StandardErrors  *planShift `json:"standard_error_m,omitempty"`
	Redundancy      int        `json:"redundancy"`
	Significant     *bool      `json:"significant,omitempty"`
	Statistic       *float64   `json:"statistic,omitempty"`
	Limit           *float64   `json:"limit,omitempty"`
	DetectableM     *float64   `json:"detectable_m,omitempty"`
	FormSignificant *bool      `json:"rotation_or_scale_significant,omitempty"`
	Marks           []markJSON `json:"marks"`
	Notes           []string   `json:"notes"`
}

// decisionJSON is what the marks let one say, and what each shows by itself.
type decisionJSON struct {
	Row             string           `json:"row"`
	Verdict         validate.Verdict `json:"verdict"`
	Why             string           `json:"why"`
	Significant     *bool            `json:"significant,omitempty"`
	DetectableM     *float64         `json:"detectable_m,omitempty"`
	BoundM          *float64         `json:"bound_m,omitempty"`
	WithoutSuspects bool             `json:"without_suspects"`
	Moved           []movedJSON      `json:"moved"`
}

type movedJSON struct {
	Name string  `json:"name"`
	E    float64 `json:"e"`
	N    float64 `json:"n"`
}

// JSON writes the drift as one JSON object.
func (d *Drift) JSON(w io.Writer) error {
	r := d.Report
	refs := references(r.Site.Plan)
	e, n := float64(r.Shift.E), float64(r.Shift.N)
	out := driftJSON{
		Path: d.Path, Held: string(r.Held), Findings: newFindings(r.Findings, refs), Rules: ruleResults(r.Rules), Traced: traced(r.Site.Plan, refs),
		Shift: driftShift{
			E: round(e, measureDecimals), N: round(n, measureDecimals),
			Horizontal: round(math.Hypot(e, n), measureDecimals), BearingDeg: round(bearingDeg(e, n), 1),
		},
		Margin: marginOf(&r.Margin, refs), Unchecked: r.Unchecked, Advice: r.Advice, Verdict: r.Verdict,
	}
	if !r.Movement.NoHeight {
		out.Shift.U = rounded(float64(r.Shift.U), measureDecimals)
	}
	if !math.IsNaN(r.Broken) {
		u := r.Uncertainty
		out.Uncertainty = &uncertaintyJSON{u.SigmaE, u.SigmaN, u.Correlation, round(r.Broken, 6)}
	}
	if m := r.Marks; m != nil {
		out.Fit, out.Decision = fitOf(m.Fit), decisionOf(m)
		if m.Refit != nil {
			out.Refit = fitOf(m.Refit)
		}
	}
	return writeJSON(w, out)
}

func marginOf(m *validate.Margin, refs refer) marginJSON {
	out := marginJSON{LeastM: rounded(m.LeastM, measureDecimals), ByBearing: []bearingJSON{}}
	if !math.IsInf(m.LeastM, 1) {
		out.BearingDeg = rounded(m.BearingDeg, 1)
		if m.Meets != nil {
			out.Meets = refs(m.Meets.Feature)
		}
	}
	for _, s := range m.Rose {
		x := bearingJSON{BearingDeg: round(s.BearingDeg, 3), MarginM: rounded(s.MarginM, measureDecimals)}
		if s.Meets != nil {
			x.Meets = refs(s.Meets.Feature)
		}
		out.ByBearing = append(out.ByBearing, x)
	}
	return out
}

func decisionOf(m *validate.MarksMovement) *decisionJSON {
	d := &m.Decision
	out := &decisionJSON{Row: string(d.Row), Verdict: d.Verdict, Why: d.Why, WithoutSuspects: m.Trusted, Moved: []movedJSON{}}
	if d.Tested {
		out.Significant, out.DetectableM, out.BoundM = &d.Significant, rounded(d.DetectableM, measureDecimals), rounded(d.BoundM, measureDecimals)
	}
	for _, x := range m.Raw {
		out.Moved = append(out.Moved, movedJSON{x.Name, round(x.E, measureDecimals), round(x.N, measureDecimals)})
	}
	return out
}

func fitOf(f *adjust.ShiftFit) *fitJSON {
	out := &fitJSON{
		Shift:      planShift{round(float64(f.Shift.E), measureDecimals), round(float64(f.Shift.N), measureDecimals)},
		Redundancy: f.Redundancy, Marks: []markJSON{}, Notes: listed(f.Notes),
	}
	if f.HasErrors {
		out.StandardErrors = &planShift{round(float64(f.SE.E), measureDecimals), round(float64(f.SE.N), measureDecimals)}
	}
	if f.Tested {
		out.Significant, out.Statistic, out.Limit = &f.Significant, rounded(f.Statistic, 3), rounded(f.Limit, 3)
		out.DetectableM = rounded(float64(f.Detectable), measureDecimals)
	}
	if f.FormTested {
		out.FormSignificant = &f.FormSignificant
	}
	for _, m := range f.Marks {
		x := markJSON{Name: m.Name, DE: round(float64(m.DE), measureDecimals), DN: round(float64(m.DN), measureDecimals), Residual: round(float64(m.Residual), measureDecimals), Suspect: m.Suspect}
		if m.Testable {
			x.TestValue = rounded(m.W, 2)
		}
		out.Marks = append(out.Marks, x)
	}
	return out
}

// Text writes the drift for people: the verdict first, then what breaks, the
// worst first, then the margin and what to do.
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
	refs := references(r.Site.Plan)
	p := NewPlan(d.Path, &validate.Report{Site: r.Site, Limits: r.Limits, Rules: r.Rules}, nil)
	for _, line := range p.doubts() {
		b.WriteString(line + "\n")
	}
	d.fitText(&b)
	if len(r.Findings) == 0 {
		b.WriteString("\nNo findings: nothing is entered or left past the limits\n")
	} else {
		b.WriteString("\n")
	}
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
