// The report of tracks laid over a plan: as text, as JSON, as GeoJSON of findings
// and cover, and as columns for a register.

package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"swardline/schema"
	"swardline/validate"
)

// DrivenLog is one log as it was read.
type DrivenLog struct {
	File, Format                                string
	Fixes, Fixed, Float, Single, Other, Refused int
	None                                        int
	From, To                                    time.Time
	Dated                                       bool
	Frame                                       string
	Epoch                                       float64
}

// Driven is the result of tracks laid over a plan, ready to be written.
type Driven struct {
	Path   string
	Logs   []DrivenLog
	Report *validate.DrivenReport
	// Capacity is nil when it was not asked for.
	Capacity *validate.Capacity
	// Caution closes the text.
	Caution string
}

// Set gives the findings in the form of a check, for the encoders that it shares
// with one.
func (d *Driven) Set(tool Tool) *Set {
	r := d.Report
	c := validate.Report{Site: r.Site, Findings: r.Findings, Limits: r.Limits, Rules: r.Rules, Used: r.Used}
	nan := math.NaN()
	c.Areas = validate.Areas{ZonesM2: nan, KeepoutsM2: nan, NetM2: nan}
	return &Set{Tool: tool, Command: "driven", Plans: []Plan{NewPlan(d.Path, &c, nil)}, Notes: []string{"base: " + string(r.Movement.Verdict)}}
}

// refer names a feature, see references.
type refer = func(*schema.Feature) string

// clock writes a time, without its day when the log has no date.
func clock(t time.Time, dated bool) string {
	if !dated {
		return t.Format("15:04:05")
	}
	return t.UTC().Format("2006-01-02T15:04:05Z")
}

func (t *jsonText) key(sep, key string) { t.raw(sep + `"` + key + `": `) }

// measure writes a figure with its decimals, null for NaN.
func (t *jsonText) measure(sep, key string, v float64, decimals int) {
	t.key(sep, key)
	t.orNull(rounded(v, decimals))
}

// JSON writes one JSON object.
func (d *Driven) JSON(w io.Writer) error {
	r := d.Report
	var t jsonText
	t.raw(`{"path": `)
	t.text(d.Path)
	t.raw(`, "receiver": `)
	t.text(string(r.Receiver))
	t.raw(",\n \"logs\": [")
	for i, l := range d.Logs {
		t.row(i)
		t.raw(`{"file": `)
		t.text(l.File)
		t.raw(fmt.Sprintf(`, "format": %q, "fixes": %d, "fixed": %d, "float": %d, "single": %d, "other": %d, "none": %d, "refused": %d, "from": %q, "to": %q`,
			l.Format, l.Fixes, l.Fixed, l.Float, l.Single, l.Other, l.None, l.Refused, clock(l.From, l.Dated), clock(l.To, l.Dated)))
		if l.Frame != "" {
			t.key(", ", "frame")
			t.text(l.Frame)
		}
		if l.Epoch != 0 {
			t.key(", ", "epoch")
			t.number(l.Epoch)
		}
		t.raw("}")
	}
	t.raw("],\n \"seconds\": ")
	t.seconds(r.Seconds)
	t.measure(", ", "length_m", r.LengthM, 1)
	t.measure(", ", "stood_s", r.StoodS, 1)
	t.raw(`, "speed_m_s": {`)
	t.measure("", "median", r.SpeedMedian, 3)
	t.measure(", ", "p95", r.SpeedP95, 3)
	t.raw("}")
	refs := references(r.Site.Plan)
	t.drivenZones(d, refs)
	t.drivenEntered(r, refs)
	t.drivenWays(r, refs)
	t.drivenMovement(&r.Movement)
	if c := d.Capacity; c != nil {
		total := d.areaM2()
		t.raw(",\n \"capacity\": {")
		t.measure("", "speed_km_h", c.SpeedKMH, 3)
		t.measure(", ", "width_m", c.WidthM, 3)
		t.measure(", ", "efficiency", c.Efficiency, 3)
		t.measure(", ", "ha_per_h", c.HectaresPerHour(), 4)
		t.measure(", ", "hours_a_week", c.Needed(total), 2)
		if enough, told := c.Suffices(total); told {
			t.raw(fmt.Sprintf(`, "week_hours": %g, "enough": %t`, c.WeekHours, enough))
		}
		t.raw("}")
	}
	t.raw(",\n \"findings\": [")
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
	t.raw("]}\n")
	_, err := w.Write(plainJSON(t.b))
	return err
}

func (d *Driven) areaM2() float64 {
	sum := 0.0
	for _, z := range d.Report.Zones {
		sum += z.AreaM2
	}
	return sum
}

// seconds writes times by class.
func (t *jsonText) seconds(s [4]float64) {
	t.raw("{")
	for i, v := range s {
		if i > 0 {
			t.raw(", ")
		}
		t.measure("", validate.TrackClass(i).String(), v, 1)
	}
	t.raw("}")
}

func (t *jsonText) placeOf(p *validate.Place) {
	if p != nil {
		t.raw(`, "at": `)
		t.place(p)
	}
}

func (t *jsonText) drivenZones(d *Driven, refs refer) {
	t.raw(",\n \"cell_m\": ")
	t.number(round(d.Report.CellM, 3))
	t.raw(", \"zones\": [")
	for i := range d.Report.Zones {
		z := &d.Report.Zones[i]
		t.row(i)
		t.raw(`{"feature": `)
		t.text(refs(z.Feature))
		if z.Why != "" {
			t.key(", ", "unchecked")
			t.text(z.Why)
			t.raw("}")
			continue
		}
		t.measure(", ", "area_m2", z.AreaM2, 2)
		t.measure(", ", "driven_m2", z.DrivenM2, 2)
		t.measure(", ", "percent", z.Percent, 2)
		t.measure(", ", "missed_m2", z.MissedM2, 2)
		t.measure(", ", "passes", z.Passes, 2)
		t.raw(`, "seconds": `)
		t.seconds(z.Seconds)
		if d.Capacity != nil {
			t.measure(", ", "hours", d.Capacity.Hours(z.AreaM2), 2)
		}
		t.raw(`, "missed": [`)
		for k := range z.Missed {
			if k > 0 {
				t.raw(", ")
			}
			t.measure("{", "area_m2", z.Missed[k].AreaM2, 2)
			t.placeOf(z.Missed[k].At)
			t.raw("}")
		}
		t.raw("]}")
	}
	t.raw("]")
}

func (t *jsonText) drivenEntered(r *validate.DrivenReport, refs refer) {
	t.raw(",\n \"entered\": [")
	for i := range r.Entered {
		e := &r.Entered[i]
		t.row(i)
		t.raw(`{"rule": `)
		t.text(e.Rule)
		t.raw(`, "feature": `)
		if e.Feature != nil {
			t.text(refs(e.Feature))
		} else {
			t.raw("null")
		}
		t.measure(", ", "seconds", e.Seconds[validate.TrackFixed], 1)
		if v := e.Worst(); v != nil {
			t.measure(", ", "depth_m", v.DepthM, measureDecimals)
			t.measure(", ", "worst_m", v.WorstM, measureDecimals)
			t.placeOf(v.At)
		}
		t.raw(fmt.Sprintf(`, "visits": %d, "seconds_by_fix": `, e.Count))
		t.seconds(e.Seconds)
		t.raw(`, "longest": [`)
		for k := range e.Visits {
			v := &e.Visits[k]
			if k > 0 {
				t.raw(", ")
			}
			t.raw(fmt.Sprintf(`{"from": %q, "to": %q`, clock(v.From, v.From.Year() > 1), clock(v.To, v.To.Year() > 1)))
			t.measure(", ", "seconds", v.Seconds, 1)
			t.measure(", ", "depth_m", v.DepthM, measureDecimals)
			if v.Entry != nil && v.Exit != nil {
				t.raw(`, "entry": `)
				t.place(v.Entry)
				t.raw(`, "exit": `)
				t.place(v.Exit)
			}
			t.raw("}")
		}
		t.raw("]}")
	}
	t.raw("]")
}

func (t *jsonText) drivenWays(r *validate.DrivenReport, refs refer) {
	t.raw(",\n \"corridors\": [")
	for i := range r.Corridors {
		c := &r.Corridors[i]
		t.row(i)
		t.raw(`{"feature": `)
		t.text(refs(c.Feature))
		t.raw(fmt.Sprintf(`, "positions": %d, "passes": %d`, c.Positions, c.Passes))
		t.measure(", ", "median_m", c.MedianM, measureDecimals)
		t.measure(", ", "p95_m", c.P95M, measureDecimals)
		t.measure(", ", "worst_m", c.WorstM, measureDecimals)
		t.raw(`, "side": "` + c.Side + `"`)
		t.placeOf(c.At)
		t.raw("}")
	}
	t.raw("],\n \"docks\": [")
	for i := range r.Docks {
		x := &r.Docks[i]
		t.row(i)
		t.raw(`{"feature": `)
		t.text(refs(x.Feature))
		t.raw(fmt.Sprintf(`, "dockings": %d`, x.Dockings))
		t.measure(", ", "line_up_median_m", x.LineUpMedianM, measureDecimals)
		t.measure(", ", "line_up_p95_m", x.LineUpP95M, measureDecimals)
		t.measure(", ", "heading_off_deg", x.HeadingMedianDeg, 1)
		t.measure(", ", "rest_e", x.RestE, measureDecimals)
		t.measure(", ", "rest_n", x.RestN, measureDecimals)
		t.measure(", ", "spread_m", x.SpreadM, measureDecimals)
		t.raw("}")
	}
	t.raw("],\n \"without_fix\": [")
	for i := range r.Poor {
		p := &r.Poor[i]
		t.row(i)
		t.raw(fmt.Sprintf(`{"from": %q, "to": %q, "fix": %q`, clock(p.From, p.From.Year() > 1), clock(p.To, p.To.Year() > 1), p.Class))
		t.measure(", ", "seconds", p.Seconds(), 1)
		t.placeOf(p.At)
		t.raw("}")
	}
	t.raw("],\n \"stood\": [")
	for i := range r.Stands {
		s := &r.Stands[i]
		t.row(i)
		t.raw(fmt.Sprintf(`{"from": %q`, clock(s.From, s.From.Year() > 1)))
		t.measure(", ", "seconds", s.Seconds, 1)
		t.placeOf(s.At)
		t.raw("}")
	}
	t.raw("]")
}

func (t *jsonText) drivenMovement(m *validate.TrackMovement) {
	t.raw(",\n \"movement\": {")
	if m.OddLaps > 0 {
		t.raw(fmt.Sprintf(`"rounds_left_out": %d, `, m.OddLaps))
	}
	if m.None != "" {
		t.raw(`"e": null, "n": null, "unchecked": `)
		t.text(m.None)
		t.raw(`, "verdict": "` + string(m.Verdict) + `"}`)
		return
	}
	t.measure("", "e", m.E, measureDecimals)
	t.measure(", ", "n", m.N, measureDecimals)
	t.measure(", ", "turn_deg", m.TurnDeg, 4)
	t.measure(", ", "se_e", m.SE, measureDecimals)
	t.measure(", ", "se_n", m.SN, measureDecimals)
	if c := m.Measured; c.EE > 0 {
		t.raw(fmt.Sprintf(`, "covariance_m2": [%s, %s, %s]`, small(c.EE), small(c.EN), small(c.NN)))
	}
	if m.Decision.Tested {
		t.measure(", ", "detectable_m", m.Decision.DetectableM, measureDecimals)
		t.measure(", ", "bound_m", m.Decision.BoundM, measureDecimals)
	}
	t.raw(fmt.Sprintf(`, "significant": %t, "turned": %t, "events": %d, "row": %q, "verdict": %q, "why": `, m.Decision.Significant, m.Turned, m.Events, m.Decision.Row, m.Verdict))
	t.text(m.Why)
	if s := m.Step; s != nil {
		t.raw(fmt.Sprintf(`, "step": {"day": %q`, s.Day))
		t.measure(", ", "e", s.E, measureDecimals)
		t.measure(", ", "n", s.N, measureDecimals)
		t.measure(", ", "probability", s.Probability, 6)
		t.raw("}")
	}
	if x := m.Trend; x != nil {
		t.raw(fmt.Sprintf(`, "trend": {"since": %q`, x.Since))
		t.measure(", ", "e_per_week", x.PerWeekE, measureDecimals)
		t.measure(", ", "n_per_week", x.PerWeekN, measureDecimals)
		t.measure(", ", "se_per_week", x.SEPerWeek, measureDecimals)
		t.raw(fmt.Sprintf(`, "significant": %t}`, x.Significant))
	}
	if len(m.Suspects) > 0 {
		t.raw(`, "suspects": `)
		t.texts(m.Suspects)
	}
	t.raw(`, "days": [`)
	for i := range m.Days {
		x := &m.Days[i]
		t.row(i)
		t.raw(fmt.Sprintf(`{"day": %q, "events": %d`, x.Day, x.Events))
		t.measure(", ", "e", x.E, measureDecimals)
		t.measure(", ", "n", x.N, measureDecimals)
		t.measure(", ", "se_e", x.SE, measureDecimals)
		t.measure(", ", "se_n", x.SN, measureDecimals)
		t.raw(fmt.Sprintf(`, "significant": %t, "verdict": %q}`, x.Decision.Significant, x.Decision.Verdict))
	}
	t.raw("]}")
}

func small(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

// GeoJSON writes the findings as Set.GeoJSON does, and behind them what was missed,
// a Polygon for each piece, with the property "shows": "missed".
func (d *Driven) GeoJSON(w io.Writer) error {
	var b strings.Builder
	if err := d.Set(Tool{}).GeoJSON(&b); err != nil {
		return err
	}
	text := strings.TrimSpace(b.String())
	text = strings.TrimRight(strings.TrimSuffix(text, "]}"), "\n ")
	var t jsonText
	t.raw(text)
	first := strings.HasSuffix(text, "[")
	refs := references(d.Report.Site.Plan)
	for i := range d.Report.Zones {
		z := &d.Report.Zones[i]
		for k := range z.Missed {
			g := &z.Missed[k]
			if !first {
				t.raw(",")
			}
			first = false
			t.raw("\n {\"type\": \"Feature\", \"geometry\": {\"type\": \"Polygon\", \"coordinates\": [")
			for n, ring := range g.Places {
				if n > 0 {
					t.raw(", ")
				}
				t.raw("[")
				for j := range ring {
					if j > 0 {
						t.raw(", ")
					}
					t.raw("[")
					t.number(round(*ring[j].Lon, 10))
					t.raw(", ")
					t.number(round(*ring[j].Lat, 10))
					t.raw("]")
				}
				t.raw("]")
			}
			t.raw(`]}, "properties": {"path": `)
			t.text(d.Path)
			t.raw(`, "shows": "missed", "zone": `)
			t.text(refs(z.Feature))
			t.measure(", ", "area_m2", g.AreaM2, 2)
			t.raw("}}")
		}
	}
	t.raw("\n]}\n")
	_, err := w.Write(plainJSON(t.b))
	return err
}

// cellNumber writes a figure with at most so many decimals, nothing for NaN.
func cellNumber(v float64, decimals int) string {
	x := rounded(v, decimals)
	if x == nil {
		return ""
	}
	return csvNumber(x)
}

// CSV writes a row a zone, as RFC 4180 with a header, for a register.
func (d *Driven) CSV(w io.Writer) error {
	var b strings.Builder
	b.WriteString("site,path,zone,area_m2,driven_m2,percent,missed_m2,pieces,passes,hours_fixed,hours_not_fixed,base_verdict,base_e,base_n,from,to\r\n")
	r := d.Report
	cell := cellNumber
	from, to := d.Span()
	refs := references(r.Site.Plan)
	for i := range r.Zones {
		z := &r.Zones[i]
		other := 0.0
		for _, s := range z.Seconds[1:] {
			other += s
		}
		row := []string{csvCell(r.Site.Plan.Name), csvCell(d.Path), csvCell(label(z.Feature, refs(z.Feature))), cell(z.AreaM2, 2), cell(z.DrivenM2, 2), cell(z.Percent, 2), cell(z.MissedM2, 2),
			strconv.Itoa(len(z.Missed)), cell(z.Passes, 2), cell(z.Seconds[0]/3600, 3), cell(other/3600, 3), string(r.Movement.Verdict), cell(r.Movement.E, 4), cell(r.Movement.N, 4), from, to}
		b.WriteString(strings.Join(row, ",") + "\r\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
