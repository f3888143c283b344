// What a log shows that the machine did, laid over its plan.

package job

import (
	"bytes"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"swardline/convert/intake/track"
	"swardline/convert/wire/fixes"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// DrivenOptions are the options of Driven.
type DrivenOptions struct {
	Reading
	Moving
	Path  string   // the plan, or what to call the folder that Files are from
	Files []string // of a folder, the plans to choose from; nil for Path alone
	Logs  []string

	Receiver string   // machine or independent; "" for machine
	Walked   []string // features whose line or outline was walked on the ground
	Quality  string   // quality of positions that state none; "" leaves them so
	LogCRS   string   // CRS of lists with eastings and northings
	LogFrame string   // frame of the log where it is not that of the plan
	LogEpoch float64  // its decimal year

	SpeedKMH, Efficiency, WeekHours, Mowings float64 // for the time that mowing takes; 0 for not told

	Reports  []string
	Register string // whose row of the plan gets what the logs show, "" for none
}

// DrivenDone is what Driven found.
type DrivenDone struct {
	Report *report.Driven
	// Failed is true when there are errors among the findings.
	Failed bool
}

// Opener is a Store whose inputs can be read as streams, so that a log need not
// be in memory whole.
type Opener interface {
	Open(name string) (io.ReadCloser, error)
}

// plotM is how far in metres outside of all that a plan draws a log may be and
// still be one of its site.
const plotM = 100

// Driven lays the logs over the plan. The result is not nil once they are
// judged, whatever becomes of the outputs.
func (j *Job) Driven(o *DrivenOptions) (*DrivenDone, error) {
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	if len(o.Logs) == 0 {
		return nil, Refuse("NMEA 0183, GPX with times, CSV with a column of times, or .pos", "driven needs at least one log")
	}
	if err := j.reportForms(o.Reports); err != nil {
		return nil, err
	}
	capacity, err := j.capacity(o, limits)
	if err != nil {
		return nil, err
	}
	logs, err := j.openLogs(o)
	if err != nil {
		return nil, err
	}
	path, p, err := j.sitePlan(o, logs, limits)
	if err != nil {
		return nil, err
	}
	out := &DrivenDone{}
	if out.Report, err = j.judgeLogs(o, path, p, logs, limits); err != nil {
		return nil, err
	}
	out.Report.Capacity = capacity
	for _, f := range out.Report.Report.Findings {
		out.Failed = out.Failed || f.Severity == validate.Error
	}
	if slices.ContainsFunc(o.Reports, func(name string) bool { return strings.EqualFold(filepath.Ext(name), ".html") }) {
		drawTrack(out.Report)
	}
	if err := j.writeReports(o.Reports, out.Report); err != nil || o.Register == "" {
		return out, err
	}
	return out, j.enterDriven(o.Register, out.Report)
}

// judgeLogs lays logs over the plan that they are of.
func (j *Job) judgeLogs(o *DrivenOptions, path string, p *schema.Plan, logs []*siteLog, limits schema.Limits) (*report.Driven, error) {
	s, err := validate.Ground(p)
	if err != nil {
		return nil, Fault("", "%s: %w", path, err)
	}
	opts := validate.DrivenOptions{Receiver: validate.Receiver(o.Receiver), Walked: o.Walked}
	if err := j.logFrame(o, p, s, limits, &opts); err != nil {
		return nil, err
	}
	if err := j.heldTrack(path, p, &opts); err != nil {
		return nil, err
	}
	d, err := validate.NewDriven(s, limits, opts)
	if err != nil {
		return nil, Fault("", "%s: %w", path, err)
	}
	out := &report.Driven{Path: path, Caution: Caution}
	for _, l := range logs {
		d.Begin()
		if _, err := l.read(func(f fixes.Fix) error { d.Add(trackFix(f)); return nil }); err != nil {
			return nil, err
		}
		d.End()
		out.Logs = append(out.Logs, drivenLog(l.summary))
	}
	if out.Report, err = d.Report(); err != nil {
		return nil, Fault("", "%s: %w", path, err)
	}
	return out, nil
}

// heldTrack takes a machine's positions to the ground where the plan was
// corrected for a base that moved: what the machine holds, and so what it logs,
// lies off the ground by as much. A receiver of its own knows nothing of that.
func (j *Job) heldTrack(path string, p *schema.Plan, o *validate.DrivenOptions) error {
	if o.Receiver == validate.ReceiverIndependent {
		return nil
	}
	off, since, err := validate.HeldOffset(p)
	if err != nil {
		return Fault("", "%s: %w", path, err)
	}
	e, n := float64(off.E), float64(off.N)
	if math.Hypot(e, n) < validate.SameGroundM {
		return nil
	}
	o.ShiftE, o.ShiftN = o.ShiftE-e, o.ShiftN-n
	j.note(NoteRemark, path, "the machine holds its lines E %+.3f m, N %+.3f m off since %s; its positions were taken to the ground by as much", e, n, since)
	return nil
}

// trackFix gives a position as the judge of tracks takes it. Positions without
// a place are none to it.
func trackFix(f fixes.Fix) validate.TrackFix {
	out := validate.TrackFix{Time: f.Time, Lon: f.Lon, Lat: f.Lat, Class: validate.TrackOther}
	switch track.ClassOf(f.Quality) {
	case track.Fixed:
		out.Class = validate.TrackFixed
	case track.Float:
		out.Class = validate.TrackFloat
	case track.Single:
		out.Class = validate.TrackSingle
	case track.None:
		out.Lon, out.Lat = math.NaN(), math.NaN()
	}
	return out
}

func drivenLog(s *track.Summary) report.DrivenLog {
	return report.DrivenLog{File: s.File, Format: s.Format, Fixes: s.Fixes, Fixed: s.Of[track.Fixed], Float: s.Of[track.Float], Single: s.Of[track.Single],
		Other: s.Of[track.Other], None: s.Of[track.None], Refused: s.Refused, From: s.From, To: s.To, Dated: s.Dated, Frame: s.Frame, Epoch: s.Epoch}
}

// siteLog is one log, read through once to see what it holds.
type siteLog struct {
	open    func() (io.ReadCloser, error)
	options track.Options
	summary *track.Summary
}

func (l *siteLog) read(yield func(fixes.Fix) error) (*track.Summary, error) {
	in, err := l.open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return track.Read(in, l.options, yield)
}

// openLogs reads each log through and tells what is wrong with it.
func (j *Job) openLogs(o *DrivenOptions) ([]*siteLog, error) {
	t := track.Options{Frame: o.LogFrame, Epoch: o.LogEpoch, Quality: fixes.Quality(o.Quality)}
	switch t.Quality {
	case track.Unstated, fixes.Fixed, fixes.Float, fixes.Single:
	default:
		return nil, Refuse("", "%s: a quality is fixed, float or single, not %q", j.option("quality"), o.Quality)
	}
	if o.LogCRS != "" {
		var err error
		if t.CRS, err = j.system("log-crs", o.LogCRS, nil); err != nil {
			return nil, err
		}
	}
	var out []*siteLog
	for _, name := range o.Logs {
		l := &siteLog{options: t}
		l.options.Name = name
		if stream, ok := j.Store.(Opener); ok && name != "-" {
			l.open = func() (io.ReadCloser, error) { return stream.Open(name) }
		} else {
			data, err := j.settings(name)
			if err != nil {
				return nil, err
			}
			l.open = func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }
		}
		var err error
		if l.summary, err = l.read(func(fixes.Fix) error { return nil }); err != nil {
			return nil, err
		}
		j.warn(name, l.summary.Warnings)
		if l.summary.Mixed {
			return nil, Fault("divide it into one file for each receiver", "%s: the log holds the positions of two receivers", name)
		}
		out = append(out, l)
	}
	return out, nil
}

// fits counts how many of a log's positions are on the plan's site.
func (l *siteLog) fits(s *validate.Site) (on, all int, err error) {
	var west, south, east, north = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, f := range s.Features {
		if f.Invalid != "" || f.Far {
			continue
		}
		if b := f.Bound(); b.Max[0] >= b.Min[0] {
			west, south, east, north = min(west, b.Min[0]), min(south, b.Min[1]), max(east, b.Max[0]), max(north, b.Max[1])
		}
	}
	_, err = l.read(func(f fixes.Fix) error {
		if track.ClassOf(f.Quality) == track.None {
			return nil
		}
		all++
		if p, ok := s.LonLatToGround(f.Lon, f.Lat); ok && p[0] > west-plotM && p[0] < east+plotM && p[1] > south-plotM && p[1] < north+plotM {
			on++
		}
		return nil
	})
	return on, all, err
}

// sitePlan gives the plan that all logs fit: the one that was named, or the one
// of a folder.
func (j *Job) sitePlan(o *DrivenOptions, logs []*siteLog, l schema.Limits) (string, *schema.Plan, error) {
	names := o.Files
	if names == nil {
		names = []string{o.Path}
	}
	var paths []string
	var plans []*schema.Plan
	var unfit error
	for _, name := range names {
		p, err := j.plan(name, &o.Reading, l)
		if err != nil {
			if o.Files == nil {
				return "", nil, err
			}
			j.note(NoteWarning, name, "not read: %v", err)
			continue
		}
		s, err := validate.Ground(p)
		if err != nil {
			return "", nil, Fault("", "%s: %w", name, err)
		}
		fits, why, err := j.onSite(logs, name, s)
		if err != nil {
			return "", nil, err
		}
		if why != nil {
			unfit = why
		}
		if fits {
			paths, plans = append(paths, name), append(plans, p)
		}
	}
	switch {
	case len(plans) == 1:
		if o.Files != nil {
			j.note(NoteRemark, "", "the logs fit %s, of %d plans", paths[0], len(names))
		}
		return paths[0], plans[0], nil
	case len(plans) > 1:
		return "", nil, Refuse("name one of them", "the logs fit %s", strings.Join(paths, " and "))
	case o.Files == nil:
		return "", nil, unfit
	}
	return "", nil, Fault("look at what the logs are from, one by one", "no one of the %d plans in %s fits all logs", len(names), o.Path)
}

// onSite reports whether all logs are of the site of the plan of that name;
// unfit says why one is not.
func (j *Job) onSite(logs []*siteLog, name string, s *validate.Site) (fits bool, unfit, err error) {
	for _, log := range logs {
		on, all, err := log.fits(s)
		if err != nil {
			return false, nil, err
		}
		if 2*on < all {
			return false, Fault("name the plan of its site, or the folder of all plans to find it", "%s: %d of %d positions are more than %d m outside of %s: it is a log from another site", log.options.Name, all-on, all, plotM, name), nil
		}
		if on < all {
			j.note(NoteWarning, log.options.Name, "%d of %d positions are more than %d m outside of %s", all-on, all, plotM, name)
		}
	}
	return true, nil, nil
}

// logFrame finds the step from the log's frame to the plan's.
func (j *Job) logFrame(o *DrivenOptions, p *schema.Plan, s *validate.Site, l schema.Limits, opts *validate.DrivenOptions) error {
	if o.LogFrame == "" {
		if o.LogEpoch != 0 {
			return Refuse("", "%s goes with %s", j.option("log-epoch"), j.option("log-frame"))
		}
		return nil
	}
	from, err := crs.ParseFrame(o.LogFrame)
	if err != nil {
		return Refuse("", "%s: %w", j.option("log-frame"), err)
	}
	r, err := p.Reference()
	if err != nil || !r.Frame.Known() {
		return Refuse("give the plan its frame with "+j.option("frame"), "%s: the plan does not say which frame it is in", j.option("log-frame"))
	}
	terms, err := j.terms(&o.Moving, l)
	if err != nil {
		return err
	}
	at := crs.Geodetic{Lon: crs.Degrees(s.Lon), Lat: crs.Degrees(s.Lat), H: crs.Metres(s.H)}
	move, err := crs.FrameShift(from, r.Frame, terms.Allow, at, crs.Epochs{From: o.LogEpoch, To: r.Epoch}, terms.With)
	if err != nil {
		return j.refused(j.option("log-frame"), err)
	}
	j.tellSteps(move.Steps, move.Notes)
	opts.ShiftE, opts.ShiftN = float64(move.Shift.E), float64(move.Shift.N)
	return nil
}

// capacity gathers what was told of the time that mowing takes, nil for
// nothing.
func (j *Job) capacity(o *DrivenOptions, l schema.Limits) (*validate.Capacity, error) {
	if o.SpeedKMH == 0 && o.Efficiency == 0 && o.WeekHours == 0 && o.Mowings == 0 {
		return nil, nil
	}
	if o.SpeedKMH == 0 || o.Efficiency == 0 {
		return nil, Refuse("an efficiency is the machine's own, such as 0.7, and nothing stands in for it", "the time that mowing takes needs %s", j.options("", " and ", "speed", "efficiency"))
	}
	c := &validate.Capacity{SpeedKMH: o.SpeedKMH, WidthM: l.MachineWidthM, Efficiency: o.Efficiency, WeekHours: o.WeekHours, Mowings: o.Mowings}
	if err := c.Check(); err != nil {
		return nil, Refuse("", "%w", err)
	}
	return c, nil
}
