// The report of a look at the sky: as text for the person before the house, and
// as JSON.

package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"swardline/crs/orbit"
	"swardline/schema"
	"swardline/validate"
)

// Sky is the result of one look at the sky and the radio, ready to be written.
type Sky struct {
	Path   string
	Report *validate.SkyReport
	// Almanac names the file of orbits and Age is how old they are, "" for the
	// nominal sky.
	Almanac, Age string
	// Caution closes the text.
	Caution string
}

// Set gives the findings in the form of a check, for the encoders shared with
// one.
func (s *Sky) Set(tool Tool) *Set {
	r := s.Report
	nan := math.NaN()
	c := validate.Report{Site: r.Site, Findings: r.Findings, Rules: r.Rules, Used: r.Used, Areas: validate.Areas{ZonesM2: nan, KeepoutsM2: nan, NetM2: nan}}
	return &Set{Tool: tool, Command: "sky", Plans: []Plan{NewPlan(s.Path, &c, nil)}, Notes: []string{"sky: " + s.kind()}}
}

func (s *Sky) kind() string {
	if s.Report.Nominal {
		return "nominal"
	}
	return "almanac"
}

// skyJSON is the report as the contract has it, with more beside.
type skyJSON struct {
	Path           string     `json:"path"`
	Sky            string     `json:"sky"`
	Almanac        string     `json:"almanac,omitempty"`
	From           string     `json:"from,omitempty"`
	Constellations []string   `json:"constellations"`
	StepS          float64    `json:"step_s"`
	Points         []skyPoint `json:"points"`
	Zones          []skyZone  `json:"zones"`
	Advice         []string   `json:"advice,omitempty"`
	Mast           []skyMast  `json:"mast,omitempty"`
	Best           []skyBest  `json:"best_places,omitempty"`
	Rules          []Rule     `json:"rules"`
	Limits         []LimitUse `json:"limits"`
	Findings       []Finding  `json:"findings"`
	Traced         []string   `json:"traced,omitempty"`
	Notes          []string   `json:"notes,omitempty"`
}

type skyPoint struct {
	Feature       string          `json:"feature"`
	Role          string          `json:"role"`
	What          string          `json:"what,omitempty"`
	At            *validate.Place `json:"at,omitempty"`
	HiddenPercent float64         `json:"hidden_percent"`
	Sats          *skySats        `json:"sats,omitempty"`
	PDOP          *skyDOP         `json:"pdop,omitempty"`
	BlockedBy     []string        `json:"blocked_by,omitempty"`
	Unknown       []string        `json:"height_unknown,omitempty"`
	// Thin are the times, UTC, of a day with an almanac in which satellites are
	// few or badly spread.
	Thin []skySpan `json:"thin,omitempty"`
}

type skySpan struct {
	From string `json:"from"`
	To   string `json:"to"`
}

type skySats struct {
	Median    int                `json:"median"`
	Least     int                `json:"least"`
	ShareFrom map[string]float64 `json:"share_from"`
}

// skyDOP has null for a figure that is infinite: no fix in so much of the day.
type skyDOP struct {
	Median    *float64           `json:"median"`
	P95       *float64           `json:"p95"`
	ShareOver float64            `json:"share_over"`
	Medians   map[string]float64 `json:"medians,omitempty"`
}

type skyZone struct {
	Feature   string   `json:"feature"`
	AreaM2    float64  `json:"area_m2"`
	ThinM2    float64  `json:"thin_m2"`
	UnknownM2 float64  `json:"unknown_m2"`
	LossDB    *float64 `json:"radio_loss_db,omitempty"`
	DeafM2    *float64 `json:"deaf_m2,omitempty"`
}

type skyMast struct {
	Base    string   `json:"base"`
	NowM    float64  `json:"now_m"`
	HeightM *float64 `json:"height_m"`
}

type skyBest struct {
	Building      string          `json:"building"`
	Side          string          `json:"side"`
	At            *validate.Place `json:"at"`
	MastM         float64         `json:"mast_m"`
	AntennaM      float64         `json:"antenna_m"`
	HiddenPercent float64         `json:"hidden_percent"`
	ThinShare     float64         `json:"thin_share"`
}

// shareCounts are the numbers of satellites whose share of the day is told,
// with sats_min beside.
var shareCounts = [...]int{4, 5, 6, 8, 10}

func satsOf(v *orbit.View, least int) *skySats {
	out := &skySats{ShareFrom: map[string]float64{}}
	out.Median, out.Least = v.CountRange()
	for _, n := range append(shareCounts[:], least) {
		out.ShareFrom[strconv.Itoa(n)] = round(v.ShareFrom(n), 4)
	}
	return out
}

func dopOf(v *orbit.View, most float64) *skyDOP {
	figure := func(q float64, f func(*orbit.DOP) float64) *float64 {
		x := v.Quantile(q, f)
		if math.IsInf(x, 0) {
			return nil
		}
		x = round(x, 2)
		return &x
	}
	pdop := func(d *orbit.DOP) float64 { return d.PDOP }
	out := &skyDOP{Median: figure(0.5, pdop), P95: figure(0.95, pdop), ShareOver: round(v.ShareOver(most), 4), Medians: map[string]float64{}}
	for name, f := range map[string]func(*orbit.DOP) float64{
		"gdop": func(d *orbit.DOP) float64 { return d.GDOP }, "hdop": func(d *orbit.DOP) float64 { return d.HDOP },
		"vdop": func(d *orbit.DOP) float64 { return d.VDOP }, "tdop": func(d *orbit.DOP) float64 { return d.TDOP },
	} {
		if x := figure(0.5, f); x != nil {
			out.Medians[name] = *x
		}
	}
	return out
}

// JSON writes the look as one JSON object.
func (s *Sky) JSON(w io.Writer) error {
	r := s.Report
	refs := references(r.Site.Plan)
	l := s.limits()
	out := skyJSON{Path: s.Path, Sky: s.kind(), Almanac: s.Almanac, StepS: r.StepS, Constellations: []string{}, Points: []skyPoint{}, Zones: []skyZone{},
		Rules: []Rule{}, Limits: []LimitUse{}, Findings: newFindings(r.Findings, refs), Advice: r.Advice(), Notes: s.Notes()}
	if !r.Nominal {
		out.From = r.Start.UTC().Format("2006-01-02T15:04:05Z")
	}
	for _, x := range r.Systems {
		out.Constellations = append(out.Constellations, x.String())
	}
	for i := range r.Points {
		p := &r.Points[i]
		x := skyPoint{Feature: refs(p.Feature), Role: string(p.Feature.Role), What: p.What, HiddenPercent: round(p.HiddenPercent, 1), BlockedBy: p.BlockedBy, Unknown: p.Unknown}
		if p.At != nil {
			at := roundPlace(p.At)
			x.At = &at
		}
		if p.View != nil {
			x.Sats, x.PDOP = satsOf(p.View, int(math.Ceil(l.SatsMin))), dopOf(p.View, l.PDOPMax)
			for _, span := range s.thin(p.View, l) {
				x.Thin = append(x.Thin, skySpan{span[0].Format("2006-01-02T15:04:05Z"), span[1].Format("2006-01-02T15:04:05Z")})
			}
		}
		out.Points = append(out.Points, x)
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		x := skyZone{Feature: refs(z.Feature), AreaM2: round(z.AreaM2, 1), ThinM2: round(z.ThinM2, 1), UnknownM2: round(z.UnknownM2, 1)}
		if !math.IsNaN(z.LossDB) && !math.IsInf(z.LossDB, 0) {
			db, deaf := round(z.LossDB, 1), round(z.DeafM2, 1)
			x.LossDB, x.DeafM2 = &db, &deaf
		}
		out.Zones = append(out.Zones, x)
	}
	for _, m := range r.Mast {
		x := skyMast{Base: refs(m.Base), NowM: round(m.NowM, 2)}
		if !math.IsNaN(m.HeightM) {
			h := round(m.HeightM, 1)
			x.HeightM = &h
		}
		out.Mast = append(out.Mast, x)
	}
	for _, b := range r.Best {
		at := roundPlace(b.At)
		out.Best = append(out.Best, skyBest{refs(b.Building), b.Side, &at, b.MastM, round(b.AntennaM, 2), round(b.HiddenPercent, 1), round(b.ThinShare, 4)})
	}
	out.Rules, out.Traced = ruleResults(r.Rules), traced(r.Site.Plan, refs)
	if used := limitUses(r.Used, refs); used != nil {
		out.Limits = used
	}
	return writeJSON(w, out)
}

// thin are the times of the day in which a view is short of satellites or
// precision, each from its first moment to the one after its last; none of the
// nominal sky, which has no times.
func (s *Sky) thin(v *orbit.View, l schema.Limits) [][2]time.Time {
	r := s.Report
	if r.Nominal {
		return nil
	}
	var out [][2]time.Time
	for _, span := range v.BadSpans(int(math.Ceil(l.SatsMin)), l.PDOPMax) {
		out = append(out, [2]time.Time{r.Day.Time(span[0]).UTC(), r.Day.Time(span[1] + 1).UTC()})
	}
	return out
}

// mostSpans is how many stretches of a day the text lists.
const mostSpans = 8

// limits are the plan's values of what was compared with.
func (s *Sky) limits() schema.Limits {
	l := schema.DefaultLimits()
	for _, u := range s.Report.Used {
		if u.Feature == nil {
			_ = l.Set(u.Name, u.Value, u.From, "the report") // it was in force
		}
	}
	return l
}

// Notes are what has to be known beside the figures.
func (s *Sky) Notes() []string {
	var out []string
	if s.Report.Nominal {
		out = append(out, orbit.NominalSky, "the nominal sky has no date: its figures are shares of a day, never times")
	} else {
		out = append(out, fmt.Sprintf("orbits of %s, %s", s.Almanac, s.Age))
	}
	return append(out, "ground is taken as flat where heights are not known; leaves, reflections and passing vehicles are not in it")
}

// Text writes the look for people.
func (s *Sky) Text(w io.Writer) error {
	r := s.Report
	l := s.limits()
	var b strings.Builder
	var names []string
	for _, x := range r.Systems {
		names = append(names, x.String())
	}
	for _, line := range r.Advice() {
		b.WriteString(line + "\n")
	}
	fmt.Fprintf(&b, "%s: the sky over a day, %s, %d satellites of %s, every %.0f s\n", s.Path, s.kind(), len(r.Day.Satellites), strings.Join(names, ", "), r.StepS)
	if !r.Nominal {
		fmt.Fprintf(&b, "from %s; orbits %s\n", r.Start.UTC().Format("2006-01-02 15:04 UTC"), s.Age)
	}
	if list := traced(r.Site.Plan, references(r.Site.Plan)); len(list) > 0 {
		b.WriteString(tracedWords(list) + "\n")
	}
	unchecked := false
	for _, x := range r.Rules {
		if x.Outcome == validate.Unchecked || x.Outcome == validate.Failed && x.Reason != "" {
			if !unchecked {
				b.WriteString("\nNot checked:\n")
				unchecked = true
			}
			fmt.Fprintf(&b, "  %s: %s\n", x.Rule, x.Reason)
		}
	}
	b.WriteString("\nPlaces:\n")
	for i := range r.Points {
		p := &r.Points[i]
		fmt.Fprintf(&b, "  %s %s%s: %.0f %% of the sky above %g deg hidden", p.Feature.Role, p.Feature.Label(), before(", ", p.What), p.HiddenPercent, l.SkyMaskDeg)
		if p.View != nil {
			median, least := p.View.CountRange()
			fmt.Fprintf(&b, "; %g or more satellites for %.0f %% of the day, PDOP over %g for %.0f %%; median %d satellites, least %d, PDOP median %s",
				math.Ceil(l.SatsMin), 100*p.View.ShareFrom(int(math.Ceil(l.SatsMin))), l.PDOPMax, 100*p.View.ShareOver(l.PDOPMax), median, least,
				dopText(p.View.Quantile(0.5, func(d *orbit.DOP) float64 { return d.PDOP })))
		}
		b.WriteString(before("; hidden by ", strings.Join(p.BlockedBy, ", ")))
		b.WriteString(before("; may be hidden further by ", strings.Join(p.Unknown, ", ")))
		b.WriteByte('\n')
		if p.View == nil {
			continue
		}
		if spans := s.thin(p.View, l); len(spans) > 0 {
			b.WriteString("    thin, UTC:")
			for i, span := range spans {
				if i == mostSpans {
					fmt.Fprintf(&b, " and %d more", len(spans)-mostSpans)
					break
				}
				if i > 0 {
					b.WriteByte(',')
				}
				fmt.Fprintf(&b, " %s to %s", span[0].Format("15:04"), span[1].Format("15:04"))
			}
			b.WriteByte('\n')
		}
	}
	if len(r.Zones) > 0 {
		b.WriteString("\nZones:\n")
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		fmt.Fprintf(&b, "  %s: %.0f m2 of %.0f m2 thin", z.Feature.Label(), z.ThinM2, z.AreaM2)
		if z.UnknownM2 > 0 {
			fmt.Fprintf(&b, ", %.0f m2 not known", z.UnknownM2)
		}
		if !math.IsNaN(z.LossDB) {
			fmt.Fprintf(&b, "; radio up to %.0f dB over free space, %.0f m2 beyond %g dB", z.LossDB, z.DeafM2, l.RadioLossDB)
		}
		b.WriteByte('\n')
	}
	s.advice(&b)
	if len(r.Findings) > 0 {
		b.WriteString("\nFindings:\n")
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		var who []string
		for _, x := range f.Features {
			who = append(who, string(x.Role)+" "+x.Label())
		}
		fmt.Fprintf(&b, "  %s %s: %s: %s\n", f.Severity, f.Rule, strings.Join(who, ", "), f.Message)
	}
	if len(r.Findings) == 0 {
		b.WriteString("\nNo findings.\n")
	}
	b.WriteByte('\n')
	for _, n := range s.Notes() {
		b.WriteString(n + "\n")
	}
	b.WriteString(before("\n", s.Caution) + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func (s *Sky) advice(b *strings.Builder) {
	r := s.Report
	for _, m := range r.Mast {
		if math.IsNaN(m.HeightM) {
			fmt.Fprintf(b, "\nNo mast of up to %g m more frees the sky of base %s where it stands.\n", float64(validate.MostMastM), m.Base.Label())
		} else {
			fmt.Fprintf(b, "\nWhere it stands, base %s sees nearly all of its sky with the antenna %.1f m above the ground instead of %.1f m.\n", m.Base.Label(), m.HeightM, m.NowM)
		}
	}
	if len(r.Best) > 0 {
		b.WriteString("\nPlaces on buildings that see most:\n")
	}
	for _, p := range r.Best {
		fmt.Fprintf(b, "  %s, %s side: mast %.1f m above the roof (%.1f m above the ground): %.0f %% hidden, %.0f %% of the day thin", p.Building.Label(), p.Side, p.MastM, p.AntennaM, p.HiddenPercent, 100*p.ThinShare)
		if p.At != nil && p.At.Lat != nil {
			fmt.Fprintf(b, "; at %s", latLonText(*p.At.Lat, *p.At.Lon))
		}
		b.WriteByte('\n')
	}
}

func before(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

func dopText(x float64) string {
	if math.IsInf(x, 1) {
		return "none"
	}
	return strconv.FormatFloat(x, 'f', 1, 64)
}

func latLonText(lat, lon float64) string {
	ns, ew := "N", "E"
	if lat < 0 {
		ns = "S"
	}
	if lon < 0 {
		ew = "W"
	}
	return fmt.Sprintf("%.7f %s %.7f %s", math.Abs(lat), ns, math.Abs(lon), ew)
}
