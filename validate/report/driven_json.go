// The report of tracks as JSON and as GeoJSON.

package report

import (
	"io"
	"math"
	"strconv"
	"time"

	"swardline/validate"
)

// drivenJSON is the report as the contract has it. A figure that is not known
// is null.
type drivenJSON struct {
	Path      string          `json:"path"`
	Receiver  string          `json:"receiver"`
	Logs      []drivenLog     `json:"logs"`
	Seconds   classSeconds    `json:"seconds"`
	LengthM   *float64        `json:"length_m"`
	StoodS    *float64        `json:"stood_s"`
	Speed     drivenSpeed     `json:"speed_m_s"`
	CellM     float64         `json:"cell_m"`
	Zones     []drivenZone    `json:"zones"`
	Entered   []drivenEntry   `json:"entered"`
	Corridors []drivenWay     `json:"corridors"`
	Docks     []drivenDock    `json:"docks"`
	Poor      []drivenPoor    `json:"without_fix"`
	Stood     []drivenStand   `json:"stood"`
	Movement  drivenMovement  `json:"movement"`
	Capacity  *drivenCapacity `json:"capacity,omitempty"`
	Findings  []Finding       `json:"findings"`
	Rules     []Rule          `json:"rules"`
}

type drivenLog struct {
	File    string  `json:"file"`
	Format  string  `json:"format"`
	Fixes   int     `json:"fixes"`
	Fixed   int     `json:"fixed"`
	Float   int     `json:"float"`
	Single  int     `json:"single"`
	Other   int     `json:"other"`
	None    int     `json:"none"`
	Refused int     `json:"refused"`
	From    string  `json:"from"`
	To      string  `json:"to"`
	Frame   string  `json:"frame,omitempty"`
	Epoch   float64 `json:"epoch,omitempty"`
}

// classSeconds are times by class of position.
type classSeconds struct {
	Fixed  *float64 `json:"fixed"`
	Float  *float64 `json:"float"`
	Single *float64 `json:"single"`
	Other  *float64 `json:"other"`
}

func secondsOf(s [4]float64) classSeconds {
	at := func(c validate.TrackClass) *float64 { return rounded(s[c], 1) }
	return classSeconds{at(validate.TrackFixed), at(validate.TrackFloat), at(validate.TrackSingle), at(validate.TrackOther)}
}

type drivenSpeed struct {
	Median *float64 `json:"median"`
	P95    *float64 `json:"p95"`
}

// drivenZone has its feature and why it was not checked, or all but that.
type drivenZone struct {
	Feature   string `json:"feature"`
	Unchecked string `json:"unchecked,omitempty"`
	*drivenCover
}

type drivenCover struct {
	AreaM2   *float64     `json:"area_m2"`
	DrivenM2 *float64     `json:"driven_m2"`
	Percent  *float64     `json:"percent"`
	MissedM2 *float64     `json:"missed_m2"`
	Passes   *float64     `json:"passes"`
	Seconds  classSeconds `json:"seconds"`
	Hours    *float64     `json:"hours,omitempty"`
	Missed   []missedJSON `json:"missed"`
}

type missedJSON struct {
	AreaM2 *float64        `json:"area_m2"`
	At     *validate.Place `json:"at,omitempty"`
}

type drivenEntry struct {
	Rule    string   `json:"rule"`
	Feature *string  `json:"feature"` // null outside of all zones
	Seconds *float64 `json:"seconds"`
	*drivenWorst
	Visits  int           `json:"visits"`
	ByFix   classSeconds  `json:"seconds_by_fix"`
	Longest []drivenVisit `json:"longest"`
}

type drivenWorst struct {
	DepthM *float64        `json:"depth_m"`
	WorstM *float64        `json:"worst_m"`
	At     *validate.Place `json:"at,omitempty"`
}

type drivenVisit struct {
	From    string          `json:"from"`
	To      string          `json:"to"`
	Seconds *float64        `json:"seconds"`
	DepthM  *float64        `json:"depth_m"`
	Entry   *validate.Place `json:"entry,omitempty"`
	Exit    *validate.Place `json:"exit,omitempty"`
}

type drivenWay struct {
	Feature   string          `json:"feature"`
	Positions int             `json:"positions"`
	Passes    int             `json:"passes"`
	MedianM   *float64        `json:"median_m"`
	P95M      *float64        `json:"p95_m"`
	WorstM    *float64        `json:"worst_m"`
	Side      string          `json:"side"`
	At        *validate.Place `json:"at,omitempty"`
}

type drivenDock struct {
	Feature    string   `json:"feature"`
	Dockings   int      `json:"dockings"`
	LineUpM    *float64 `json:"line_up_median_m"`
	LineUpP95M *float64 `json:"line_up_p95_m"`
	HeadingDeg *float64 `json:"heading_off_deg"`
	RestE      *float64 `json:"rest_e"`
	RestN      *float64 `json:"rest_n"`
	SpreadM    *float64 `json:"spread_m"`
}

type drivenPoor struct {
	From    string          `json:"from"`
	To      string          `json:"to"`
	Fix     string          `json:"fix"`
	Seconds *float64        `json:"seconds"`
	At      *validate.Place `json:"at,omitempty"`
}

type drivenStand struct {
	From    string          `json:"from"`
	Seconds *float64        `json:"seconds"`
	At      *validate.Place `json:"at,omitempty"`
}

type drivenMovement struct {
	OddLaps   int      `json:"rounds_left_out,omitempty"`
	E         *float64 `json:"e"`
	N         *float64 `json:"n"`
	Unchecked string   `json:"unchecked,omitempty"`
	*drivenMoved
	Verdict validate.Verdict `json:"verdict"`
}

// drivenMoved is what there is to say where a movement could be told.
type drivenMoved struct {
	TurnDeg     *float64    `json:"turn_deg"`
	SE          *float64    `json:"se_e"`
	SN          *float64    `json:"se_n"`
	Covariance  []float64   `json:"covariance_m2,omitempty"`
	DetectableM *float64    `json:"detectable_m,omitempty"`
	BoundM      *float64    `json:"bound_m,omitempty"`
	Significant bool        `json:"significant"`
	Turned      bool        `json:"turned"`
	Events      int         `json:"events"`
	Row         string      `json:"row"`
	Why         string      `json:"why"`
	Step        *stepJSON   `json:"step,omitempty"`
	Trend       *trendJSON  `json:"trend,omitempty"`
	Suspects    []string    `json:"suspects,omitempty"`
	Days        []drivenDay `json:"days"`
}

type stepJSON struct {
	Day         string   `json:"day"`
	E           *float64 `json:"e"`
	N           *float64 `json:"n"`
	Probability *float64 `json:"probability"`
}

type trendJSON struct {
	Since       string   `json:"since"`
	EPerWeek    *float64 `json:"e_per_week"`
	NPerWeek    *float64 `json:"n_per_week"`
	SEPerWeek   *float64 `json:"se_per_week"`
	Significant bool     `json:"significant"`
}

type drivenDay struct {
	Day         string           `json:"day"`
	Events      int              `json:"events"`
	E           *float64         `json:"e"`
	N           *float64         `json:"n"`
	SE          *float64         `json:"se_e"`
	SN          *float64         `json:"se_n"`
	Significant bool             `json:"significant"`
	Verdict     validate.Verdict `json:"verdict"`
}

type drivenCapacity struct {
	SpeedKMH   *float64 `json:"speed_km_h"`
	WidthM     *float64 `json:"width_m"`
	Efficiency *float64 `json:"efficiency"`
	HaPerH     *float64 `json:"ha_per_h"`
	HoursAWeek *float64 `json:"hours_a_week"`
	WeekHours  float64  `json:"week_hours,omitempty"`
	Enough     *bool    `json:"enough,omitempty"`
}

// JSON writes one JSON object.
func (d *Driven) JSON(w io.Writer) error {
	r := d.Report
	refs := references(r.Site.Plan)
	out := drivenJSON{
		Path: d.Path, Receiver: string(r.Receiver), Logs: []drivenLog{}, Seconds: secondsOf(r.Seconds),
		LengthM: rounded(r.LengthM, 1), StoodS: rounded(r.StoodS, 1), Speed: drivenSpeed{rounded(r.SpeedMedian, 3), rounded(r.SpeedP95, 3)},
		CellM: round(r.CellM, 3), Movement: movementOf(&r.Movement), Findings: newFindings(r.Findings, refs), Rules: ruleResults(r.Rules),
	}
	for _, l := range d.Logs {
		out.Logs = append(out.Logs, drivenLog{l.File, l.Format, l.Fixes, l.Fixed, l.Float, l.Single, l.Other, l.None, l.Refused,
			clock(l.From, l.Dated), clock(l.To, l.Dated), l.Frame, l.Epoch})
	}
	out.zones(d, refs)
	out.entered(r, refs)
	out.ways(r, refs)
	if c := d.Capacity; c != nil {
		total := d.areaM2()
		x := &drivenCapacity{SpeedKMH: rounded(c.SpeedKMH, 3), WidthM: rounded(c.WidthM, 3), Efficiency: rounded(c.Efficiency, 3),
			HaPerH: rounded(c.HectaresPerHour(), 4), HoursAWeek: rounded(c.Needed(total), 2)}
		if enough, told := c.Suffices(total); told {
			x.WeekHours, x.Enough = c.WeekHours, &enough
		}
		out.Capacity = x
	}
	return writeJSON(w, out)
}

func (d *Driven) areaM2() float64 {
	sum := 0.0
	for _, z := range d.Report.Zones {
		sum += z.AreaM2
	}
	return sum
}

func (out *drivenJSON) zones(d *Driven, refs refer) {
	out.Zones = []drivenZone{}
	for i := range d.Report.Zones {
		z := &d.Report.Zones[i]
		x := drivenZone{Feature: refs(z.Feature), Unchecked: z.Why}
		if z.Why == "" {
			x.drivenCover = &drivenCover{AreaM2: rounded(z.AreaM2, 2), DrivenM2: rounded(z.DrivenM2, 2), Percent: rounded(z.Percent, 2),
				MissedM2: rounded(z.MissedM2, 2), Passes: rounded(z.Passes, 2), Seconds: secondsOf(z.Seconds), Missed: []missedJSON{}}
			if d.Capacity != nil {
				x.Hours = rounded(d.Capacity.Hours(z.AreaM2), 2)
			}
			for k := range z.Missed {
				x.Missed = append(x.Missed, missedJSON{rounded(z.Missed[k].AreaM2, 2), placeOf(z.Missed[k].At)})
			}
		}
		out.Zones = append(out.Zones, x)
	}
}

func (out *drivenJSON) entered(r *validate.DrivenReport, refs refer) {
	out.Entered = []drivenEntry{}
	for i := range r.Entered {
		e := &r.Entered[i]
		x := drivenEntry{Rule: e.Rule, Seconds: rounded(e.Seconds[validate.TrackFixed], 1), Visits: e.Count, ByFix: secondsOf(e.Seconds), Longest: []drivenVisit{}}
		if e.Feature != nil {
			ref := refs(e.Feature)
			x.Feature = &ref
		}
		if v := e.Worst(); v != nil {
			x.drivenWorst = &drivenWorst{rounded(v.DepthM, measureDecimals), rounded(v.WorstM, measureDecimals), placeOf(v.At)}
		}
		for k := range e.Visits {
			v := &e.Visits[k]
			y := drivenVisit{From: moment(v.From), To: moment(v.To), Seconds: rounded(v.Seconds, 1), DepthM: rounded(v.DepthM, measureDecimals)}
			if v.Entry != nil && v.Exit != nil {
				y.Entry, y.Exit = placeOf(v.Entry), placeOf(v.Exit)
			}
			x.Longest = append(x.Longest, y)
		}
		out.Entered = append(out.Entered, x)
	}
}

func (out *drivenJSON) ways(r *validate.DrivenReport, refs refer) {
	out.Corridors, out.Docks, out.Poor, out.Stood = []drivenWay{}, []drivenDock{}, []drivenPoor{}, []drivenStand{}
	m := func(v float64) *float64 { return rounded(v, measureDecimals) }
	for i := range r.Corridors {
		c := &r.Corridors[i]
		out.Corridors = append(out.Corridors, drivenWay{refs(c.Feature), c.Positions, c.Passes, m(c.MedianM), m(c.P95M), m(c.WorstM), c.Side, placeOf(c.At)})
	}
	for i := range r.Docks {
		x := &r.Docks[i]
		out.Docks = append(out.Docks, drivenDock{refs(x.Feature), x.Dockings, m(x.LineUpMedianM), m(x.LineUpP95M), rounded(x.HeadingMedianDeg, 1), m(x.RestE), m(x.RestN), m(x.SpreadM)})
	}
	for i := range r.Poor {
		p := &r.Poor[i]
		out.Poor = append(out.Poor, drivenPoor{moment(p.From), moment(p.To), p.Class.String(), rounded(p.Seconds(), 1), placeOf(p.At)})
	}
	for i := range r.Stands {
		s := &r.Stands[i]
		out.Stood = append(out.Stood, drivenStand{moment(s.From), rounded(s.Seconds, 1), placeOf(s.At)})
	}
}

func movementOf(m *validate.TrackMovement) drivenMovement {
	out := drivenMovement{OddLaps: m.OddLaps, Unchecked: m.None, Verdict: m.Verdict}
	if m.None != "" {
		return out
	}
	f := func(v float64) *float64 { return rounded(v, measureDecimals) }
	x := &drivenMoved{TurnDeg: rounded(m.TurnDeg, 4), SE: f(m.SE), SN: f(m.SN), Significant: m.Decision.Significant, Turned: m.Turned,
		Events: m.Events, Row: string(m.Decision.Row), Why: m.Why, Suspects: m.Suspects, Days: []drivenDay{}}
	out.E, out.N, out.drivenMoved = f(m.E), f(m.N), x
	if c := m.Measured; c.EE > 0 {
		x.Covariance = []float64{small(c.EE), small(c.EN), small(c.NN)}
	}
	if m.Decision.Tested {
		x.DetectableM, x.BoundM = f(m.Decision.DetectableM), f(m.Decision.BoundM)
	}
	if s := m.Step; s != nil {
		x.Step = &stepJSON{s.Day, f(s.E), f(s.N), rounded(s.Probability, 6)}
	}
	if t := m.Trend; t != nil {
		x.Trend = &trendJSON{t.Since, f(t.PerWeekE), f(t.PerWeekN), f(t.SEPerWeek), t.Significant}
	}
	for i := range m.Days {
		y := &m.Days[i]
		x.Days = append(x.Days, drivenDay{y.Day, y.Events, f(y.E), f(y.N), f(y.SE), f(y.SN), y.Decision.Significant, y.Decision.Verdict})
	}
	return out
}

// moment writes a time; one in the year 1 is of a log without dates.
func moment(t time.Time) string { return clock(t, t.Year() > 1) }

// placeOf is a place to the decimals of a report, nil for none.
func placeOf(p *validate.Place) *validate.Place {
	if p == nil {
		return nil
	}
	out := roundPlace(p)
	return &out
}

// small keeps four digits of a figure whose size is not known beforehand.
func small(v float64) float64 {
	x, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	if err != nil || math.IsInf(x, 0) || x != x {
		return 0
	}
	return x
}

// missedProperties stand beside a piece of a zone that was not driven over.
type missedProperties struct {
	Path   string   `json:"path"`
	Shows  string   `json:"shows"`
	Zone   string   `json:"zone"`
	AreaM2 *float64 `json:"area_m2"`
}

// GeoJSON writes the findings as Set.GeoJSON does, and behind them what was
// missed, a Polygon for each piece, with the property "shows": "missed".
func (d *Driven) GeoJSON(w io.Writer) error {
	out := d.Set(Tool{}).collection()
	refs := references(d.Report.Site.Plan)
	for i := range d.Report.Zones {
		z := &d.Report.Zones[i]
		for k := range z.Missed {
			g := &z.Missed[k]
			rings := make([][][2]float64, len(g.Places))
			for n, ring := range g.Places {
				for j := range ring {
					rings[n] = append(rings[n], [2]float64{round(*ring[j].Lon, degreeDecimals), round(*ring[j].Lat, degreeDecimals)})
				}
			}
			out.Features = append(out.Features, findingFeature{Type: "Feature", Geometry: &findingGeometry{"Polygon", rings},
				Properties: missedProperties{d.Path, "missed", refs(z.Feature), rounded(g.AreaM2, 2)}})
		}
	}
	return writeJSON(w, out)
}
