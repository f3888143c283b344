// The report of tracks laid over a plan, as columns for a register; what its
// forms share.

package report

import (
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
	// Map is the plan with its track, nil for none, and Key what stands in it.
	Map *Picture
	Key []Sign
	// Caution closes the text.
	Caution string
}

// Set gives the findings in the form of a check, for the encoders that it
// shares with one.
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
