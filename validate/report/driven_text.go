// Tracks laid over a plan, as text for people and as a page for a client.

package report

import (
	"fmt"
	"io"
	"math"
	"strings"

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

// Text writes what the tracks show: the verdict on the base first, then what
// was covered, entered and kept, then the findings.
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
		how = "passes along corridors and rounds of outlines, of a receiver that does not hang from this base"
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
