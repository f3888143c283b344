// How steep a feature says it is: slope_percent, slope_deg and what people write
// for them.

package validate

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"swardline/schema"
	"swardline/validate/plane"
)

// saySaid is what the page of the rule says of this.
const saySaid = "" +
	"A lawn or corridor whose every height is 0 is unchecked, and so is a plan whose driven ground has one height, the antenna's. What zones, corridors and edges say of themselves is read as people write it (60 %, 20-35, 1:3, Neigung); what a dock says is held to dock_slope_max_percent. " +
	"A zone that says more than slope_edge_max_percent, and a corridor that does and comes within 2 m of a drop, water or a road, is unchecked where no heights show it as steep at its outline, or there. "

// slopeNames are words for a slope as the name of a property, folded and without
// a unit; percentUnits and degreeUnits the units that stand behind them (common
// practice, no source).
var (
	slopeNames = strings.Fields("slope gradient grade steepness incline inclination neigung hangneigung gefälle gefaelle steigung pente inclinaison pendiente inclinación inclinacion helling hellingshoek pendenza inclinazione hældning haeldning helning stigning lutning kaltevuus")

	percentUnits = strings.Fields("percent percentage pct perc prozent pc pourcent porcentaje porciento procent prosent prosenttia %")
	degreeUnits  = strings.Fields("degrees degree deg grad grader graden gradi grados degrés degres astetta °")
)

// slopeKind is what the name of a property says of a slope.
type slopeKind int

const (
	slopeNone slopeKind = iota
	slopeUnitless
	slopePercent
	slopeDegrees
)

var slopeKeys = remembered[slopeKind]{of: slopeKey}

// slopeKey reads a property's name: slope_percent, Slope (%), max_slope_deg.
func slopeKey(key string) slopeKind {
	words := wordsOf(spaced(strings.NewReplacer("%", " % ", "°", " ° ").Replace(key)))
	words = slices.DeleteFunc(words, func(w string) bool {
		return w == "max" || w == "maximum" || w == "maximal" || w == "in" || w == "highest"
	})
	joined := strings.Join(words, "")
	for _, name := range slopeNames {
		unit, ok := strings.CutPrefix(joined, name)
		switch {
		case !ok:
		case unit == "":
			return slopeUnitless
		case slices.Contains(percentUnits, unit):
			return slopePercent
		case slices.Contains(degreeUnits, unit):
			return slopeDegrees
		}
	}
	return slopeNone
}

// slopeRatio is a slope written as one in so many, or one to so many.
var slopeRatio = regexp.MustCompile(`^1\s*(?::|/|in|zu)\s*(\d+(?:[.,]\d+)?)$`)

// slopeValue reads a slope in percent; of several, such as 35-60 or a list, the
// steepest. doubt is set where the value may as well be in degrees. ok is false
// for what is no number.
func slopeValue(kind slopeKind, v schema.Value) (percent float64, doubt, ok bool) {
	if v.Kind() == schema.KindList {
		for _, item := range v.Items() {
			p, d, good := slopeValue(kind, item)
			if percent, doubt, ok = max(percent, p), doubt || d, good; !good {
				return 0, false, false
			}
		}
		return percent, doubt, ok
	}
	n, ok := v.Float()
	if !ok {
		text := strings.ToLower(strings.TrimSpace(v.Text()))
		if one := slopeRatio.FindStringSubmatch(text); one != nil {
			if run, err := strconv.ParseFloat(strings.ReplaceAll(one[1], ",", "."), 64); err == nil && run > 0 {
				return 100 / run, false, true
			}
		}
		for _, units := range [...]struct {
			words []string
			kind  slopeKind
		}{{percentUnits, slopePercent}, {degreeUnits, slopeDegrees}} {
			for _, u := range units.words {
				if rest, found := strings.CutSuffix(text, u); found {
					text, kind = strings.TrimSpace(rest), units.kind
				}
			}
		}
		text = strings.TrimSpace(strings.TrimLeft(text, "<>=~≤≥≈±+c. a"))
		for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == '-' || c == '–' || c == '/' || c == ';' }) {
			f, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(part), ",", "."), 64)
			if err != nil {
				return 0, false, false
			}
			n, ok = max(n, math.Abs(f)), true
		}
		if !ok {
			return 0, false, false
		}
	}
	if math.IsInf(n, 0) || n != n {
		return 0, false, false
	}
	n = math.Abs(n)
	if kind == slopeDegrees {
		return inPercent(n), false, true
	}
	return n, kind == slopeUnitless, true
}

// inPercent is a slope in degrees as percent.
func inPercent(degrees float64) float64 {
	if degrees >= 90 {
		return math.Inf(1)
	}
	return 100 * math.Tan(degrees*math.Pi/180)
}

// saidSlope is how steep a feature says it is.
type saidSlope struct {
	percent float64
	key     string // the property, "" for none
	// doubt is set where no unit is told, and the number may be degrees.
	doubt bool
	// unread holds what a property says that names a unit and is no number.
	unread string
}

// slopeSaid is how steep a feature says it is; of several properties the
// steepest.
func slopeSaid(f *Feature) (out saidSlope) {
	for _, a := range f.Attributes {
		kind := slopeKeys.get(a.Key)
		if kind == slopeNone || isNull(a.Value) {
			continue
		}
		percent, doubt, ok := slopeValue(kind, a.Value)
		switch {
		case !ok && kind != slopeUnitless && !saysNothing(a.Value):
			out.unread = quote(a.Key) + " (" + clipped(shown(a.Value)) + ")"
		case ok && (out.key == "" || percent > out.percent):
			out.percent, out.key, out.doubt = percent, a.Key, doubt
		}
	}
	return out
}

// saysSteep tells a zone or corridor that says it is steeper than its limit, and a
// dock that says it is steeper than the way into it may be.
func (r *run) saysSteep(f *Feature) {
	limit := r.of(f).SlopeMaxPercent
	if f.Role == schema.RoleDock {
		limit = r.of(f).DockSlopeMaxPercent
	}
	r.saysSteeper(f, limit)
}

// saysSteeper is saysSteep against a limit in percent.
func (r *run) saysSteeper(f *Feature, limit float64) {
	said := slopeSaid(f)
	if said.unread != "" {
		r.cannot("%s says %s, which is no slope: write a number of percent as slope_percent", f.describe(), said.unread)
	}
	switch {
	case said.key == "":
	case said.percent > limit+1e-9:
		x := r.finding(r.middle(f), f)
		x.Measured, x.Limit, x.Unit = said.percent, limit, "%"
		x.Message = "slopes " + percentPast(said.percent, limit) + " % by its " + said.key + "; the limit is " + trim(limit, 1) + " %"
	case said.doubt && inPercent(said.percent) > limit+1e-9:
		r.cannot("%s says %s %s without a unit: as degrees that is more than the limit; write it as slope_percent or slope_deg", f.describe(), quote(said.key), trim(said.percent, 3))
	}
}

// saysEdge leaves unchecked a zone, and a corridor that runs beside a drop, that
// says it is steeper than may be at its outline or there, where heights show no
// such slope: they do not tell where it is.
func (r *run) saysEdge(f *Feature, hard *plane.Gauge) {
	said, limit := slopeSaid(f), r.of(f).SlopeEdgeMaxPercent
	if said.key == "" || !(said.percent > limit+1e-9) || said.percent > r.of(f).SlopeMaxPercent+1e-9 {
		return
	}
	where := " at an outline"
	if f.Role == schema.RoleCorridor {
		where = hardWords
		if hard == nil || !slices.ContainsFunc(f.Lines, func(l Line) bool { return beside(l.Ground, hard, 0) }) {
			return
		}
	}
	r.cannot("%s says %s %s, and its heights do not show where it is as steep: the limit%s is %s %%; give heights there, or correct what it says", f.describe(), quote(said.key), trim(said.percent, 3), where, trim(limit, 1))
}
