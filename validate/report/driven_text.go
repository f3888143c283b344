// Tracks laid over a plan, as text for people and as a page for a client.

package report

import (
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// hours writes a time in seconds as people say it.
func hours(s float64) string {
	switch {
	case s < 120:
		return fmt.Sprintf("%.0f s", s)
	case s < 7200:
		return fmt.Sprintf("%.0f min", s/60)
	}
	return fmt.Sprintf("%.1f h", s/3600)
}

// Text writes what the tracks show: the verdict on the base first, then what was
// covered, entered and kept, then the findings.
func (d *Driven) Text(w io.Writer) error {
	r := d.Report
	var b strings.Builder
	b.WriteString(Printable(d.Path))
	if name := r.Site.Plan.Name; name != "" {
		b.WriteString(" (" + Printable(name) + ")")
	}
	b.WriteString("\n")
	for _, l := range d.Logs {
		fmt.Fprintf(&b, "log %s: %s, %d positions: %d fixed, %d float, %d single, %d other, %d none; %d lines refused; %s to %s\n",
			Printable(l.File), l.Format, l.Fixes, l.Fixed, l.Float, l.Single, l.Other, l.None, l.Refused, clock(l.From, l.Dated), clock(l.To, l.Dated))
	}
	sum := 0.0
	for _, s := range r.Seconds {
		sum += s
	}
	fmt.Fprintf(&b, "%s logged, %.1f %% of it fixed; %.0f m driven", hours(sum), r.FixedPercent(), r.LengthM)
	if !math.IsNaN(r.SpeedMedian) {
		fmt.Fprintf(&b, " at %.2f m/s (half), %.2f m/s (95 of 100)", r.SpeedMedian, r.SpeedP95)
	}
	b.WriteString("\n\n")
	d.baseText(&b)
	refs := references(r.Site.Plan)
	b.WriteString("\n")
	for i := range r.Zones {
		z := &r.Zones[i]
		fmt.Fprintf(&b, "%s: ", Printable(label(z.Feature, refs(z.Feature))))
		if z.Why != "" {
			fmt.Fprintf(&b, "not checked: %s\n", Printable(z.Why))
			continue
		}
		fmt.Fprintf(&b, "%.1f of %.1f m2 driven over (%.1f %%), %d pieces missed", z.DrivenM2, z.AreaM2, z.Percent, len(z.Missed))
		for k, g := range z.Missed {
			if k == 3 {
				b.WriteString(", ...")
				break
			}
			fmt.Fprintf(&b, "%s %.1f m2", map[bool]string{true: ":", false: ","}[k == 0], g.AreaM2)
		}
		fmt.Fprintf(&b, "; %.1f passes", z.Passes)
		if c := d.Capacity; c != nil {
			fmt.Fprintf(&b, "; %.1f h to mow once", c.Hours(z.AreaM2))
		}
		b.WriteString("\n")
	}
	for i := range r.Corridors {
		if c := &r.Corridors[i]; c.Positions > 0 {
			fmt.Fprintf(&b, "%s: half within %.3f m, 95 of 100 within %.3f m, worst %.3f m, %d passes, side: %s\n", Printable(label(c.Feature, refs(c.Feature))), c.MedianM, c.P95M, c.WorstM, c.Passes, c.Side)
		}
	}
	for i := range r.Docks {
		x := &r.Docks[i]
		fmt.Fprintf(&b, "%s: docked %d times", Printable(label(x.Feature, refs(x.Feature))), x.Dockings)
		if !math.IsNaN(x.LineUpMedianM) {
			fmt.Fprintf(&b, ", line-up point passed at %.3f m (half), %.3f m (95 of 100)", x.LineUpMedianM, x.LineUpP95M)
		}
		if !math.IsNaN(x.SpreadM) {
			fmt.Fprintf(&b, ", rests spread by %.3f m", x.SpreadM)
		}
		b.WriteString("\n")
	}
	for i := range r.Poor {
		if p := &r.Poor[i]; p.Seconds() >= 30 {
			fmt.Fprintf(&b, "without a fix for %s from %s (%s)\n", hours(p.Seconds()), clock(p.From, p.From.Year() > 1), p.Class)
		}
	}
	d.capacityText(&b)
	if len(r.Findings) > 0 {
		b.WriteString("\n")
	}
	p := NewPlan(d.Path, &validate.Report{Site: r.Site, Limits: r.Limits}, nil)
	for i := range r.Findings {
		f := newFinding(&r.Findings[i], refs)
		f.text(&b, &p)
	}
	for _, x := range r.Rules {
		if x.Reason != "" && x.Outcome != validate.NotNeeded {
			b.WriteString(map[bool]string{true: "not checked: ", false: "checked in part: "}[x.Outcome == validate.Unchecked] + x.Rule + ": " + Printable(x.Reason) + "\n")
		}
	}
	l := r.Limits
	fmt.Fprintf(&b, "limits: pieces up to %s, width %s, %s deep for %s s, corridor %s, fixed %s, base unchanged up to %s, stop from %s\n", quantity(l.GapMinM2, "m2"), quantity(l.MachineWidthM, "m"),
		quantity(l.DrivenDepthM, "m"), quantity(l.DrivenSeconds, ""), quantity(l.DrivenCorridorM, "m"), quantity(l.DrivenFixedPercent, "%"), quantity(l.DriftUnchangedM, "m"), quantity(l.DriftStopM, "m"))
	if d.Caution != "" {
		b.WriteString("\n" + d.Caution + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// baseText says what the tracks show of the base.
func (d *Driven) baseText(b *strings.Builder) {
	r := d.Report
	m := &r.Movement
	fmt.Fprintf(b, "base: %s: %s\n", strings.ToUpper(string(m.Verdict)), Printable(m.Why))
	if m.OddLaps > 0 {
		fmt.Fprintf(b, "  left out: %d rounds of outlines at no one distance from them\n", m.OddLaps)
	}
	if m.None != "" {
		return
	}
	how := "rests on fixed ground, of the machine's own receiver"
	if r.Receiver == validate.ReceiverIndependent {
		how = "passes along lines of the plan, of a receiver that does not hang from this base"
	}
	fmt.Fprintf(b, "  by %d %s\n", m.Events, how)
	for i := range m.Days {
		x := &m.Days[i]
		fmt.Fprintf(b, "  %s  the ground driven moved by E %+.3f N %+.3f m", x.Day, x.E, x.N)
		if !math.IsNaN(x.SE) {
			fmt.Fprintf(b, " (standard error %.3f, %.3f)", x.SE, x.SN)
		}
		fmt.Fprintf(b, ", %d times: %s\n", x.Events, x.Decision.Verdict)
	}
	if s := m.Step; s != nil {
		fmt.Fprintf(b, "  it moved on %s, by E %+.3f N %+.3f m\n", s.Day, s.E, s.N)
	}
	if x := m.Trend; x != nil && x.Significant {
		fmt.Fprintf(b, "  it moves by %.1f mm a week (standard error %.1f) on bearing %.0f since %s\n", x.PerWeekM*1000, x.SEPerWeek*1000, x.BearingDeg, x.Since)
	}
	for _, s := range m.Suspects {
		fmt.Fprintf(b, "  unlike the others of its day, and left out: %s\n", Printable(s))
	}
}

func (d *Driven) capacityText(b *strings.Builder) {
	c := d.Capacity
	if c == nil {
		return
	}
	need := c.Needed(d.areaM2())
	fmt.Fprintf(b, "capacity: %.3f ha/h from %.2f km/h, %.2f m and an efficiency of %.2f (as told); %.1f h a week are needed", c.HectaresPerHour(), c.SpeedKMH, c.WidthM, c.Efficiency, need)
	if enough, told := c.Suffices(d.areaM2()); told {
		fmt.Fprintf(b, ", %.1f h there are: %s", c.WeekHours, map[bool]string{true: "enough", false: "not enough"}[enough])
	}
	b.WriteString("\n")
}

// pageStyle is the page's own; it fetches nothing.
const pageStyle = `body{font:16px/1.5 sans-serif;max-width:60em;margin:1em auto;padding:0 1em;color:#222}
table{border-collapse:collapse;width:100%}td,th{border-bottom:1px solid #ccc;padding:.3em .5em;text-align:left}
td.n,th.n{text-align:right}svg{width:100%;height:auto;border:1px solid #ccc;background:#fff}
.says{padding:.6em 1em;border-left:.4em solid #888;background:#f4f4f4}.key span{margin-right:1.5em;white-space:nowrap}
@media print{body{max-width:none}}`

// HTML writes one page that a client understands: what was mown and what was not,
// with a drawing; whether the base stands where it stood; what to do.
func (d *Driven) HTML(w io.Writer) error {
	r := d.Report
	var b strings.Builder
	esc := func(s string) string { return html.EscapeString(Printable(s)) }
	name := r.Site.Plan.Name
	if name == "" {
		name = d.Path
	}
	fmt.Fprintf(&b, "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>%s: driven</title><style>%s</style></head><body>\n", esc(name), pageStyle)
	fmt.Fprintf(&b, "<h1>%s: what was driven</h1>\n", esc(name))
	from, to := d.Span()
	sum := 0.0
	for _, s := range r.Seconds {
		sum += s
	}
	fmt.Fprintf(&b, "<p>%d logs, %s to %s (UTC): %s, %.1f %% of it with a fixed position.</p>\n", len(d.Logs), from, to, hours(sum), r.FixedPercent())
	d.baseHTML(&b)
	refs := references(r.Site.Plan)
	b.WriteString("<h2>Lawns</h2>\n<table><tr><th>Lawn</th><th class=\"n\">Area</th><th class=\"n\">Driven over</th><th class=\"n\">Missed</th><th>Largest pieces missed</th></tr>\n")
	for i := range r.Zones {
		z := &r.Zones[i]
		fmt.Fprintf(&b, "<tr><td>%s</td>", esc(label(z.Feature, refs(z.Feature))))
		if z.Why != "" {
			fmt.Fprintf(&b, "<td colspan=\"4\">not checked: %s</td></tr>\n", esc(z.Why))
			continue
		}
		var pieces []string
		for k := 0; k < len(z.Missed) && k < 3; k++ {
			pieces = append(pieces, fmt.Sprintf("%.1f m²", z.Missed[k].AreaM2))
		}
		fmt.Fprintf(&b, "<td class=\"n\">%.1f m²</td><td class=\"n\">%.1f %%</td><td class=\"n\">%.1f m²</td><td>%s</td></tr>\n", z.AreaM2, z.Percent, z.MissedM2, strings.Join(pieces, ", "))
	}
	b.WriteString("</table>\n")
	d.drawing(&b)
	if len(r.Findings) > 0 {
		b.WriteString("<h2>What was found</h2>\n<ul>\n")
		for i := range r.Findings {
			f := &r.Findings[i]
			fmt.Fprintf(&b, "<li>%s <small>(%s)</small></li>\n", esc(f.Message), esc(f.Rule))
		}
		b.WriteString("</ul>\n")
	}
	open := false
	for _, x := range r.Rules {
		if x.Outcome == validate.Unchecked {
			if !open {
				b.WriteString("<h2>What could not be checked</h2>\n<ul>\n")
				open = true
			}
			fmt.Fprintf(&b, "<li>%s <small>(%s)</small></li>\n", esc(x.Reason), esc(x.Rule))
		}
	}
	if open {
		b.WriteString("</ul>\n")
	}
	var c strings.Builder
	if d.capacityText(&c); c.Len() > 0 {
		fmt.Fprintf(&b, "<p>%s</p>\n", esc(c.String()))
	}
	fmt.Fprintf(&b, "<p><small>%s</small></p>\n</body></html>\n", esc(d.Caution))
	_, err := io.WriteString(w, b.String())
	return err
}

func (d *Driven) baseHTML(b *strings.Builder) {
	m := &d.Report.Movement
	words := map[validate.Verdict]string{
		validate.VerdictUnchanged: "The base stands where it stood, as far as these logs can show.",
		validate.VerdictRemeasure: "Measure the marks again before you rely on the lines on the ground.",
		validate.VerdictStop:      "Stop the machine: the lines on the ground have moved.",
	}[m.Verdict]
	fmt.Fprintf(b, "<h2>The base</h2>\n<p class=\"says\"><strong>%s</strong><br>%s.</p>\n", words, html.EscapeString(Printable(m.Why)))
	if s := m.Step; s != nil {
		fmt.Fprintf(b, "<p>It moved on <strong>%s</strong>: everything driven since lies %.0f mm from where it lay (east %+.0f mm, north %+.0f mm).</p>\n", s.Day, 1000*math.Hypot(s.E, s.N), 1000*s.E, 1000*s.N)
	}
	if x := m.Trend; x != nil && x.Significant {
		fmt.Fprintf(b, "<p>It goes on moving: %.1f mm a week since %s.</p>\n", x.PerWeekM*1000, x.Since)
	}
	if len(m.Days) == 0 {
		return
	}
	b.WriteString("<table><tr><th>Day</th><th class=\"n\">Seen</th><th class=\"n\">East</th><th class=\"n\">North</th><th class=\"n\">Error</th><th>Says</th></tr>\n")
	for i := range m.Days {
		x := &m.Days[i]
		se := "not known"
		if !math.IsNaN(x.SE) {
			se = fmt.Sprintf("%.0f mm", 1000*math.Max(x.SE, x.SN))
		}
		fmt.Fprintf(b, "<tr><td>%s</td><td class=\"n\">%d</td><td class=\"n\">%+.0f mm</td><td class=\"n\">%+.0f mm</td><td class=\"n\">%s</td><td>%s</td></tr>\n", x.Day, x.Events, 1000*x.E, 1000*x.N, se, x.Decision.Verdict)
	}
	b.WriteString("</table>\n")
}

// drawing draws zones, the track by its quality, and what was missed, hatched.
func (d *Driven) drawing(b *strings.Builder) {
	r := d.Report
	bound := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, f := range r.Site.Features {
		switch f.Role {
		case schema.RoleZone, schema.RoleKeepout, schema.RoleCorridor, schema.RoleDock:
			if f.Invalid == "" && !f.Far {
				bound = bound.Union(f.Bound())
			}
		}
	}
	if !(bound.Max[0] > bound.Min[0]) {
		return
	}
	bound = bound.Pad(2)
	width, height := bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]
	line := math.Max(width, height) / 500
	fmt.Fprintf(b, "<svg viewBox=\"0 0 %.2f %.2f\" role=\"img\" aria-label=\"Lawns, the track, and the pieces missed\"><defs><pattern id=\"missed\" width=\"%[3]g\" height=\"%[3]g\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"%[3]g\" height=\"%[3]g\" fill=\"#fff\"/><path d=\"M0 0V%[3]g\" stroke=\"#b00020\" stroke-width=\"%[4]g\"/></pattern></defs>\n", width, height, round(line*5, 3), round(line*2, 3))
	at := func(p orb.Point) string { return fmt.Sprintf("%.2f %.2f", p[0]-bound.Min[0], bound.Max[1]-p[1]) }
	path := func(rings []orb.Ring) string {
		var s strings.Builder
		for _, ring := range rings {
			for i, p := range ring {
				s.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + at(p))
			}
			s.WriteString("Z")
		}
		return s.String()
	}
	for _, x := range []struct {
		role schema.Role
		fill string
	}{{schema.RoleZone, "#e4f0dc"}, {schema.RoleKeepout, "#d9d9d9"}} {
		for _, f := range r.Site.Features {
			if f.Role != x.role || f.Invalid != "" || f.Far {
				continue
			}
			for _, a := range f.Areas {
				fmt.Fprintf(b, "<path d=\"%s\" fill=\"%s\" fill-rule=\"evenodd\" stroke=\"#555\" stroke-width=\"%.3f\"/>\n", path(a.Ground), x.fill, line)
			}
		}
	}
	for i := range r.Zones {
		for k := range r.Zones[i].Missed {
			g := &r.Zones[i].Missed[k]
			fmt.Fprintf(b, "<path d=\"%s\" fill=\"url(#missed)\" fill-rule=\"evenodd\" stroke=\"#b00020\" stroke-width=\"%.3f\"><title>missed: %.1f m²</title></path>\n", path(g.Outline), line, g.AreaM2)
		}
	}
	colours := [4]string{"#1b6ca8", "#e08a00", "#b00020", "#777"}
	for _, run := range TrailRuns(r.Trail) {
		var s strings.Builder
		for i, p := range run {
			s.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + at(orb.Point{p.E, p.N}))
		}
		fmt.Fprintf(b, "<path d=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"%.3f\"/>\n", s.String(), colours[RunClass(run)], line/2)
	}
	b.WriteString("</svg>\n<p class=\"key\"><span style=\"color:#1b6ca8\">— fixed</span><span style=\"color:#e08a00\">— float</span><span style=\"color:#b00020\">— single</span><span style=\"color:#b00020\">▨ missed</span></p>\n")
}
