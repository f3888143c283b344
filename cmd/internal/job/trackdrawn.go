// What a log shows, as a sheet draws it.

package job

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet"
	"swardline/validate"
	"swardline/validate/report"
)

// addTrack lays the logs that were asked for over the sheet's plan.
func (job *sheetJob) addTrack() error {
	o := job.o.Track
	if len(o.Logs) == 0 {
		return nil
	}
	o.Reading, o.Moving = job.o.Reading, job.o.Moving
	logs, err := job.openLogs(&o)
	if err != nil {
		return err
	}
	if err := job.fitsSite(logs); err != nil {
		return err
	}
	d, err := job.judgeLogs(&o, job.o.Source, job.plan, logs, job.limits)
	if err != nil {
		return err
	}
	job.drawing.Track = TrackDrawn(d)
	return nil
}

// fitsSite gives an error for a log of another site.
func (job *sheetJob) fitsSite(logs []*siteLog) error {
	_, unfit, err := job.onSite(logs, job.o.Source, job.report.Site)
	if err != nil {
		return err
	}
	return unfit
}

// drawTrack gives a report the picture for its page.
func drawTrack(d *report.Driven) {
	track := TrackDrawn(d)
	d.Map, _ = pageMap(d.Report.Site, &d.Set(tool()).Plans[0], track)
	for _, x := range track.Key() {
		d.Key = append(d.Key, report.Sign{Picture: x.Picture, Words: x.Words})
	}
}

// TrackDrawn is the track of a report with the ground that it missed.
func TrackDrawn(d *report.Driven) *sheet.Track {
	r := d.Report
	out := &sheet.Track{Notes: trackWords(d)}
	for _, run := range report.TrailRuns(r.Trail) {
		line := make(orb.LineString, len(run))
		for i, p := range run {
			line[i] = orb.Point{p.E, p.N}
		}
		out.Runs = append(out.Runs, sheet.TrackRun{Quality: report.RunClass(run).String(), Points: line})
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		for k := range z.Missed {
			out.Missed = append(out.Missed, sheet.Missed{Area: orb.Polygon(z.Missed[k].Outline), AreaM2: z.Missed[k].AreaM2, Zone: z.Feature.Label()})
		}
	}
	return out
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// trackWords say in a few lines what the logs show.
func trackWords(d *report.Driven) []string {
	r := d.Report
	from, to := d.Span()
	out := []string{fmt.Sprintf("%s, %s to %s (UTC), %.1f %% of the time with a fixed position.", counted(len(d.Logs), "log"), from, to, r.FixedPercent())}
	m := &r.Movement
	base := map[validate.Verdict]string{validate.VerdictUnchanged: "as it was, as far as the logs can show", validate.VerdictRemeasure: "measure marks again", validate.VerdictStop: "stop the machine"}[m.Verdict]
	out = append(out, "Base: "+base+": "+m.Why+".")
	if s := m.Step; s != nil {
		out = append(out, fmt.Sprintf("It moved on %s, by E %+.3f N %+.3f m.", s.Day, s.E, s.N))
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		name := z.Feature.Label()
		if z.Why != "" {
			out = append(out, fmt.Sprintf("%s: not checked: %s.", name, z.Why))
			continue
		}
		if z.DrivenM2 == 0 {
			out = append(out, fmt.Sprintf("%s: not driven at all, %.1f m².", name, z.AreaM2))
			continue
		}
		text := fmt.Sprintf("%s: %.1f %% driven over", name, z.Percent)
		if len(z.Missed) > 0 {
			var pieces []string
			for k := 0; k < len(z.Missed) && k < 3; k++ {
				pieces = append(pieces, fmt.Sprintf("%.1f m²", z.Missed[k].AreaM2))
			}
			text += fmt.Sprintf("; %s missed, %s", counted(len(z.Missed), "piece"), strings.Join(pieces, ", "))
			if len(z.Missed) > 3 {
				text += " and smaller ones"
			}
		}
		out = append(out, text+".")
	}
	return out
}
