// The sky and the radio over a plan.

package job

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"swardline/convert/intake/horizon"
	"swardline/convert/sheet"
	"swardline/crs/orbit"
	"swardline/validate"
	"swardline/validate/report"
)

// SkyOptions are the options of Sky.
type SkyOptions struct {
	Reading
	Path           string
	Almanac        string  // file of orbits: YUMA, SEM or RINEX navigation; "" for the nominal sky
	Date           string  // YYYY-MM-DD of the day looked at, with Almanac; "" for today
	Horizon        string  // CSV of azimuth, elevation as measured at the base
	Constellations string  // those that the receivers use, with commas; "" for all there are
	StepS          float64 // seconds between moments, 0 for 300
	Best           bool    // look for places on buildings that see more
	Reports        []string
}

// Looked is what Sky found.
type Looked struct {
	Report *report.Sky
	// Failed is true when there are errors among the findings.
	Failed bool
}

// Sky looks at the sky and the radio of the plan in Path.
func (j *Job) Sky(o *SkyOptions) (*Looked, error) {
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	for _, name := range o.Reports {
		if formOf(name) == nil && !strings.EqualFold(filepath.Ext(name), ".svg") {
			return nil, Refuse("a report ends in .json, .txt, .svg (the pictures), .sarif, .xml (JUnit), .geojson, .csv or .html", "%s %s: the ending names no form of report", j.option("report"), name)
		}
	}
	p, err := j.plan(o.Path, &o.Reading, limits)
	if err != nil {
		return nil, err
	}
	opts := validate.SkyOptions{StepS: o.StepS, Best: o.Best}
	if opts.StepS != 0 && !(opts.StepS >= 60 && opts.StepS <= 3600) {
		return nil, Refuse("", "%s: steps run from 60 to 3600 seconds, not %g", j.option("step"), opts.StepS)
	}
	if opts.Systems, err = j.systems(o.Constellations); err != nil {
		return nil, err
	}
	out := &Looked{Report: &report.Sky{Path: o.Path, Almanac: o.Almanac, Caution: Caution}}
	if err := j.orbits(o, &opts, out.Report); err != nil {
		return nil, err
	}
	if o.Horizon != "" {
		data, err := j.settings(o.Horizon)
		if err != nil {
			return nil, err
		}
		if opts.Horizon, err = horizon.Read(data, o.Horizon); err != nil {
			return nil, err
		}
	}
	if out.Report.Report, err = validate.Sky(p, limits, opts); err != nil {
		return nil, Fault("convert it to a CRS, or place it on marks with "+j.command("place"), "%s: %w", o.Path, err)
	}
	for _, f := range out.Report.Report.Findings {
		out.Failed = out.Failed || f.Severity == validate.Error
	}
	for _, name := range o.Reports {
		if !strings.EqualFold(filepath.Ext(name), ".svg") {
			if err := j.writeReports([]string{name}, out.Report); err != nil {
				return out, err
			}
			continue
		}
		if err := j.Store.Write(name, func(w io.Writer) error { return sheet.SkySVG(w, skyDrawn(out.Report.Report, out.Report.Notes())) }); err != nil {
			return out, err
		}
	}
	return out, nil
}

// systems reads a list of constellations.
func (j *Job) systems(text string) ([]orbit.System, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	known := map[string]orbit.System{}
	for _, s := range []orbit.System{orbit.GPS, orbit.Galileo, orbit.GLONASS, orbit.BeiDou, orbit.QZSS} {
		known[s.String()] = s
	}
	var out []orbit.System
	for _, word := range strings.Split(text, ",") {
		s, ok := known[strings.ToLower(strings.TrimSpace(word))]
		if !ok {
			return nil, Refuse("gps, galileo, glonass, beidou, and with an almanac qzss", "%s: %q is no constellation", j.option("constellations"), strings.TrimSpace(word))
		}
		out = append(out, s)
	}
	return out, nil
}

// staleDays is the age of an almanac from which it is told: its satellites keep
// their places within a degree for about as long (from memory).
const staleDays = 90

// orbits reads the almanac and sets the day.
func (j *Job) orbits(o *SkyOptions, opts *validate.SkyOptions, r *report.Sky) error {
	if o.Almanac == "" {
		if o.Date != "" {
			return Refuse("give the orbits of that time with "+j.option("almanac"), "%s: the nominal sky has no date", j.option("date"))
		}
		return nil
	}
	text, err := j.day(o.Date)
	if err != nil {
		return err
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return err
	}
	opts.Start = orbit.FromUTC(day)
	data, err := j.settings(o.Almanac)
	if err != nil {
		return err
	}
	noon := opts.Start + 43200
	a, err := orbit.Read(data, noon)
	if err != nil {
		return Fault("give a YUMA or SEM almanac, or a RINEX 2 or 3 navigation file", "%s: %w", o.Almanac, err)
	}
	for _, s := range a.Skipped {
		j.note(NoteWarning, o.Almanac, "%d records left out: %s", s.Count, s.Reason)
	}
	off := 0
	for i := range a.Satellites {
		if !a.Satellites[i].Healthy {
			off++
		}
	}
	if off > 0 {
		j.note(NoteRemark, o.Almanac, "%d of %d satellites are marked as not to be used and left out", off, len(a.Satellites))
	}
	least, most := a.Age(noon)
	r.Age = fmt.Sprintf("%s, %.1f to %.1f days from that day's noon", a.Form, least, most)
	if most > staleDays {
		j.note(NoteWarning, o.Almanac, "the orbits are up to %.0f days from the date; take an almanac of that season", most)
	}
	opts.Satellites = a.Satellites
	return nil
}
