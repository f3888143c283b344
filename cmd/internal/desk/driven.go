// The machine's logs over the plan: the track, the ground it covered and missed, and
// what it says of the base.

package desk

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"swardline/cmd/internal/job"
	"swardline/convert/sheet"
	"swardline/validate"
	"swardline/validate/report"
)

type drivenAsk struct {
	Logs     []string `json:"logs"`
	Receiver string   `json:"receiver,omitempty"`
	// Quality is what positions that do not state theirs count as, "" for none.
	Quality string `json:"quality,omitempty"`
}

// trackLook is how the page draws the track of a quality, in pixels.
type trackLook struct {
	Quality string      `json:"quality"`
	Says    string      `json:"says"`
	Line    string      `json:"line"`
	Width   float64     `json:"width"`
	Dash    []float64   `json:"dash"`
	Runs    [][]float64 `json:"runs"` // east, north, east, north, ...
}

type missedView struct {
	AreaM2 float64     `json:"area_m2"`
	Zone   string      `json:"zone"`
	Rings  [][]float64 `json:"rings"`
}

type coverView struct {
	Zone      string  `json:"zone"`
	AreaM2    float64 `json:"area_m2"`
	Percent   float64 `json:"percent"`
	MissedM2  float64 `json:"missed_m2"`
	Pieces    int     `json:"pieces"`
	Unchecked string  `json:"unchecked,omitempty"`
}

type dayView struct {
	Day     string  `json:"day"`
	Events  int     `json:"events"`
	E       float64 `json:"e"`
	N       float64 `json:"n"`
	Known   bool    `json:"known"` // E and N could be told
	Verdict string  `json:"verdict"`
}

type drivenReply struct {
	Verdict    string        `json:"verdict"`
	Title      string        `json:"title"`
	Words      string        `json:"words"`
	Why        string        `json:"why"`
	Step       string        `json:"step,omitempty"`
	Shift      *[2]float64   `json:"shift,omitempty"`
	Span       string        `json:"span"`
	Track      []trackLook   `json:"track"`
	MissedLine string        `json:"missed_line"`
	Missed     []missedView  `json:"missed"`
	Zones      []coverView   `json:"zones"`
	Days       []dayView     `json:"days"`
	Findings   []findingView `json:"findings"`
	Unchecked  []ruleView    `json:"unchecked"`
}

// thinM is how far in metres the page may draw a track from where it is, so that a
// day's log is no burden to a phone.
const thinM = 0.03

var errNoPlaceYet = errors.New("the plan has no place on the earth yet, and a log has latitudes and longitudes: step 2 gives it one")

// driven lays logs over the plan.
func (d *doing) driven() (any, error) {
	var a drivenAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	if d.plan == nil {
		return nil, errNoPlan
	}
	if !d.anchor.earth {
		return nil, errNoPlaceYet
	}
	o := &job.DrivenOptions{Path: current, Logs: a.Logs, Receiver: a.Receiver, Quality: a.Quality}
	o.Limits = d.limitsInStore()
	done, err := d.job.Driven(o)
	if err != nil {
		return nil, err
	}
	r := done.Report.Report
	m := &r.Movement
	from, to := done.Report.Span()
	out := drivenReply{Verdict: string(m.Verdict), Title: strings.ToUpper(string(m.Verdict)) + ": " + report.BaseWords(m), Why: m.Why, Span: fmt.Sprintf("%s to %s (UTC), fixed for %.1f %% of the time", from, to, r.FixedPercent()),
		MissedLine: sheet.MissedLine.Color.Hex(), Missed: []missedView{}, Zones: []coverView{}, Days: []dayView{}, Findings: d.findings(r.Findings, r.Site), Unchecked: unchecked(r.Rules)}
	if s := m.Step; s != nil {
		out.Step = fmt.Sprintf("It moved on %s, by E %+.3f N %+.3f m.", s.Day, s.E, s.N)
		out.Shift = &[2]float64{s.E, s.N}
	}
	track := job.TrackDrawn(done.Report)
	for _, l := range sheet.TrackLooks {
		look := trackLook{Quality: l.Quality, Says: l.Says, Line: l.Line.Color.Hex(), Width: l.Line.Width * 6, Dash: []float64{}, Runs: [][]float64{}}
		for _, x := range l.Line.Dash {
			look.Dash = append(look.Dash, x*sheet.PixelsAMM)
		}
		for _, run := range track.Thinned(l.Quality, thinM) {
			look.Runs = append(look.Runs, d.flat(r.Site, run))
		}
		if len(look.Runs) > 0 {
			out.Track = append(out.Track, look)
		}
	}
	for i := range track.Missed {
		x := missedView{AreaM2: track.Missed[i].AreaM2, Zone: track.Missed[i].Zone}
		for _, ring := range track.Missed[i].Area {
			x.Rings = append(x.Rings, d.flat(r.Site, orb.LineString(ring)))
		}
		out.Missed = append(out.Missed, x)
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		v := coverView{Zone: z.Feature.Label(), Unchecked: z.Why}
		if z.Why == "" {
			v.AreaM2, v.Percent, v.MissedM2, v.Pieces = z.AreaM2, z.Percent, z.MissedM2, len(z.Missed)
		}
		out.Zones = append(out.Zones, v)
	}
	for i := range m.Days {
		x := &m.Days[i]
		v := dayView{Day: x.Day, Events: x.Events, Verdict: string(x.Decision.Verdict), Known: x.E == x.E && x.N == x.N}
		if v.Known {
			v.E, v.N = x.E, x.N
		}
		out.Days = append(out.Days, v)
	}
	out.Words = fmt.Sprintf("%s %s%s missed, %s.", out.Title, notChecked(out.Unchecked), many(len(out.Missed), "piece"), many(len(out.Findings), "finding"))
	return out, nil
}

// flat gives points of a site's ground in the metres of the view, to the centimetre.
func (d *doing) flat(s *validate.Site, line orb.LineString) []float64 {
	out := make([]float64, 0, 2*len(line))
	for _, p := range line {
		lon, lat, ok := s.GroundToLonLat(p)
		if !ok {
			continue
		}
		if at, ok := d.anchor.lonLat(d.site, lon, lat); ok {
			out = append(out, centimetres(at[0]), centimetres(at[1]))
		}
	}
	return out
}

func centimetres(x float64) float64 { return math.Round(x*100) / 100 }
