// When things were measured and with what, and figures that no measurement has: part
// of survey-quality.

package validate

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// leastSigmaM is less than anything outdoors is measured to, in metres (common
// practice, no source).
const leastSigmaM = 1e-4

// Words for devices and ways that fix no ambiguities, beside sayPhone, handWords and
// tracedWords (common practice, no source).
var roughWords = strings.Fields("tablet camera compass paced pacing stepped strides window memory dashcam odometer browser geoportal tachometer " +
	"chain paces pace sextant rangefinder wheel trundle pedometer string rope ruler sbas egnos waas dgps dgnss autonomous standalone recreational recreation consumer leisure hiking averaging random mock mockup")

// howMeasured are names of properties for who or what measured or drew a thing.
var howMeasured = remembered[bool]{of: func(key string) bool {
	switch foldKey(key) {
	case "surveyor", "surveyedby", "measuredby", "technician", "operator", "author", "creator", "createdby":
		return true
	}
	return valueSorts.get(key) == sortMake
}}

// saysRough reports whether a text says that something was measured with a phone or by
// eye, or drawn from a picture or a map.
func saysRough(text string) bool {
	if ofMap(text) || fixesNothing.get(text) {
		return true
	}
	hand, better, receiver := false, false, false
	words := wordsOf(text)
	for i, w := range words {
		if slices.Contains(saysMethod, w) && i > 0 && (words[i-1] == "without" || slices.Contains(notWords, words[i-1])) {
			return true
		}
		better = better || slices.Contains(saysMethod, w) || w == "total" || w == "tachymeter"
		receiver = receiver || w == "receiver" || w == "rover" || w == "gnss"
		hand = hand || strings.HasSuffix(w, "phone") || slices.Contains(sayPhone, w) || slices.Contains(handWords, w) || slices.Contains(roughWords, w) || slices.Contains(eyeWords, w)
	}
	denied := slices.ContainsFunc(words, func(w string) bool { return w == "without" || slices.Contains(notWords, w) })
	return hand && (!better || denied) || saysTraced(schema.String(text)) && !receiver
}

// Ways in which receivers find where they stand without a fix, words for a mean, which is
// as good as what it is the mean of, and what is a solution that is fixed (common practice,
// no source).
var (
	ownSurvey  = regexp.MustCompile(`(?i)\b(?:survey(?:ed)?[- ]?in|(?:self|auto|automatic)[- ]?survey\w*|selbstvermessung|selbsteinmessung|(?:code|single|standard|autonomous)[- ]?(?:only|point|solution|phase|position\w*)|autonomous|s[bp]as|e?dgps|dgnss|egnos|waas|float|(?:manual(?:ly)?|typed)[- ](?:entry|entered|in)|receiver default|default position|(?:base|receiver|antenna) (?:itself|own|self)|own position)\b`)
	meanWords  = setOf("mean means average averaged averages averaging smoothed gemittelt mittel mittelwert moyenne moyenné moyennée media promedio promediado promediada gemiddelde gemiddeld mediato mediata medel medelvärde middel middelværdi keskiarvo")
	fixedMeans = setOf("rtk nrtk ppk vrs fixed fix fixe fijo fisso vast fest network netz static statisch statique estático statico statisk total station tachymeter levelled post processed sessions session")
	staticWays = setOf("static statisch statique estático statico statisk ppp ppk")
	poleWords  = setOf("pole mast antenna rod tripod height high stab stange stativ antenne mât jalon canne mástil jalón palo asta mastil stång stang tanko")
)

// leastStaticMin is how many minutes a static session, or a precise point, takes at the
// least to be good to centimetres, and leastFixedPercent of how many of its epochs a mean
// is fixed (common practice, no source).
const leastStaticMin, leastFixedPercent = 20.0, 95.0

// saidFigures finds numbers with what stands before and behind them.
var saidFigures = regexp.MustCompile(`(\pL*)[ :=,(]*((?:±|\+/-|\+-|<|>|~|≤|≥)? *)(\d+(?:[.,]\d+)?) ?(%|\pL+|"|″)?`)

// figureUnits are units of lengths in metres, and of times in minutes.
var (
	figureUnits = map[string]float64{"m": 1, "metre": 1, "metres": 1, "meter": 1, "meters": 1, "cm": 0.01, "mm": 0.001, "dm": 0.1, "ft": 0.3048, "feet": 0.3048, "foot": 0.3048, "in": 0.0254, "inch": 0.0254, "inches": 0.0254, `"`: 0.0254, "km": 1000}
	figureTimes = map[string]float64{"s": 1. / 60, "sec": 1. / 60, "secs": 1. / 60, "second": 1. / 60, "seconds": 1. / 60, "sekunden": 1. / 60, "min": 1, "mins": 1, "minute": 1, "minutes": 1, "minuten": 1, "minuti": 1, "minutos": 1}
	errorWords  = setOf("accuracy acc sigma rms rmse error precision std stdev genauigkeit précision precisión nauwkeurigheid precisione noggrannhet nøjagtighed tarkkuus")
)

// fixesNothing reports whether a text of how something was measured names a way that
// fixes nothing, or says of it that it is worse than a receiver with a fix.
var fixesNothing = remembered[bool]{of: func(text string) bool {
	words := letterWords(text)
	has := func(of map[string]bool) bool { return slices.ContainsFunc(words, func(w string) bool { return of[w] }) }
	if ownSurvey.MatchString(text) || has(meanWords) && !has(fixedMeans) {
		return true
	}
	for _, m := range saidFigures.FindAllStringSubmatch(text, -1) {
		n, err := strconv.ParseFloat(strings.Replace(m[3], ",", ".", 1), 64)
		before, unit := schema.FoldName(m[1]), strings.ToLower(m[4])
		if err != nil {
			continue
		}
		length, long := figureUnits[unit]
		pole := poleWords[before] || poleWords[after(text, m[0])] || (before == "of" || before == "de" || before == "von") && has(poleWords)
		minutes, short := figureTimes[unit]
		switch {
		case long && !pole && n*length > roughM+1e-9, unit == "" && errorWords[before] && n > roughM,
			short && has(staticWays) && n*minutes < leastStaticMin, unit == "%" && n < leastFixedPercent,
			(unit == "epochs" || unit == "epoch" || unit == "samples" || unit == "positions") && n < fewestEpochs:
			return true
		}
	}
	return false
}}

// after is the first word behind a part of a text, folded.
func after(text, part string) string {
	_, rest, _ := strings.Cut(text, part)
	if words := letterWords(rest); len(words) > 0 {
		return words[0]
	}
	return ""
}

// Words, and how words begin and end, of programs that draw, or show pictures and maps
// from above, and of solutions that are none; photogrammetry is a survey (common practice,
// no source).
var (
	pictureStarts = strings.Fields("photo foto sketch paint zeichen dessin schets")
	pictureNames  = setOf("earth streetview globe float paint slippymap mapviewer")
)

// saysPictures reports whether the name of a device or a program is of such.
func saysPictures(text string) bool {
	words := wordsOf(spaced(text))
	for i, w := range words {
		two := ""
		if i > 0 {
			two = words[i-1] + w
		}
		drawn := slices.ContainsFunc(pictureStarts, func(start string) bool { return strings.HasPrefix(w, start) }) && !strings.HasPrefix(w, "photogram") && !strings.HasPrefix(w, "fotogram")
		if drawn || pictureNames[w] || pictureNames[two] || strings.HasSuffix(w, "osm") {
			return true
		}
	}
	return false
}

// goodDevices are words of devices that measure to centimetres, and of how they do
// (common practice, no source).
var goodDevices = setOf("rtk nrtk ppk vrs gnss rover receiver receivers empfänger récepteur receptor ontvanger base total station totalstation tachymeter tacheometer tachéomètre theodolite level nivellier nivelliergerät digital multiband dual twin l1l2 network geodetic survey surveying scanner robotic")

// leastMake is how many letters a word of a make or a name has: less is a number that only
// its owner knows (GX-12).
const leastMake = 4

// deviceList are features that name a device and say nothing of how well it measured, by
// what they name.
type deviceList struct {
	keys, texts []string
	features    [][]*Feature
	count       []int
}

// add takes a feature that says neither fix nor sigma, nor anything in another word for
// them.
func (l *deviceList) add(f *Feature, house *schema.Limits) {
	found := -1
	good := func(w string) bool { return goodDevices[w] || house.KnowsWord(w) }
	for i := range f.Attributes {
		a := &f.Attributes[i]
		if n := qualityKeys.get(a.Key); n != nil && !isNull(a.Value) {
			return
		}
		switch foldKey(a.Key) {
		case "device", "instrument", "receiver", "rover":
		case "make", "model":
			if f.Role != schema.RoleBase && f.Role != schema.RoleMark {
				continue
			}
		default:
			continue
		}
		words := append(letterWords(a.Value.Text()), letterWords(spaced(a.Value.Text()))...)
		named := slices.ContainsFunc(words, func(w string) bool { return utf8.RuneCountInString(w) >= leastMake })
		if a.Value.Kind() == schema.KindString && named && !slices.ContainsFunc(words, good) && !saysNothing(a.Value) {
			found = i
		}
	}
	if found < 0 {
		return
	}
	a := &f.Attributes[found]
	i := slices.Index(l.texts, a.Value.Text())
	if i < 0 {
		if i = len(l.texts); i > mostUnread {
			return
		}
		l.keys, l.texts = append(l.keys, a.Key), append(l.texts, a.Value.Text())
		l.features, l.count = append(l.features, nil), append(l.count, 0)
	}
	l.count[i]++
	if len(l.features[i]) < mostUnread {
		l.features[i] = append(l.features[i], f)
	}
}

// tellDevices notes devices by name alone.
func (r *run) tellDevices(l *deviceList) {
	for i, text := range l.texts {
		x := r.finding(r.middle(l.features[i][0]), l.features[i]...)
		x.Severity = Note
		x.Message = fmt.Sprintf("the %s of %s is %s, and nothing says how well that measured: devices to hike or to steer by are metres off; say fix or sigma of what was measured with it, or that it is a receiver with RTK or a total station", l.keys[i], plural(l.count[i], "feature"), quote(clipped(text)))
	}
}

// madeWith takes what a property of who or what measured a feature says of it.
func (q *surveyed) madeWith(f *Feature, a *schema.Attribute) {
	if !howMeasured.get(a.Key) {
		return
	}
	rough := ""
	eachText(a.Value, func(text string) {
		if rough == "" && (saysRough(text) || valueSorts.get(a.Key) == sortMake && saysPictures(text)) {
			rough = text
		}
	})
	if rough == "" {
		return
	}
	own := "nothing else"
	if right := f.Attributes.Get(schema.PropDrawnFrom); !isNull(right) {
		own = schema.PropDrawnFrom + " " + shown(right)
	}
	q.said = true
	q.beside = append(q.beside, qualityBeside{a.Key, quote(clipped(rough)), own, math.NaN()})
}

// firstFixedYear is when receivers began to fix ambiguities in the field, and so no
// date of a measurement to centimetres is earlier; mostYearsApart is how many years
// apart things may be dated that one plan holds together, and mostYearsOld those of what
// stays as it was, boundaries, buildings and marks (common practice, no source).
const firstFixedYear, mostYearsApart, mostYearsOld = 1995, 10.0, 30.0

// firstDrivenYear is when the first receivers with fixed ambiguities could be had that a
// machine on a lawn drives by; what is driven, and what that keeps off, was not measured
// for one before (common practice, no source).
const firstDrivenYear = 2008

// firstMeasured is of when a feature may be measured at the earliest.
func firstMeasured(f *Feature) float64 {
	if yearsOld(f) == mostYearsOld || f.Role == schema.RoleHazard && isTree(f) {
		return firstFixedYear
	}
	return firstDrivenYear
}

// yearsOld is how many years older than the rest of its plan a feature may be.
func yearsOld(f *Feature) float64 {
	switch f.Role {
	case schema.RoleBoundary, schema.RoleBuilding, schema.RoleMark:
		return mostYearsOld
	}
	return mostYearsApart
}

// today is the decimal year that no date of a measurement is later than: a day is
// left for clocks elsewhere.
var today = func() float64 {
	now := time.Now().UTC().AddDate(0, 0, 2)
	return float64(now.Year()) + float64(now.YearDay())/366
}

// dated is when a feature says that it is from, the latest of several.
type dated struct {
	year      float64
	key, text string
}

// datedOf is the latest date of a feature's properties, its year 0 for none. The year
// of what was built or grew is not that of its survey.
func datedOf(f *Feature) dated {
	role := f.Role
	if role == schema.RoleHazard && isTree(f) {
		role = schema.RoleBuilding
	}
	return datedBy(role, f.Attributes)
}

// datedBy is datedOf for properties of a feature of a role, a tree's taken as a
// building's, or for members of the plan.
func datedBy(role schema.Role, list schema.Attributes) (out dated) {
	for i := range list {
		a := &list[i]
		k := foldKey(a.Key)
		if valueSorts.get(a.Key) != sortDate && k != "time" { // which KML has
			continue
		}
		if k == "copyrightyear" || (k == "year" || k == "created") && (role == schema.RoleBuilding || role == schema.RoleEdge) {
			continue
		}
		take := func(text string) {
			if d := dateOf(text); d.read && d.dayFirst.from > out.year {
				out = dated{d.dayFirst.from, a.Key, text}
			}
		}
		eachText(a.Value, take)
		if a.Value.Kind() == schema.KindNumber {
			take(a.Value.Text())
		}
	}
	return out
}

// datesSaid tells of dates that have not come yet, that are from before anything was
// measured so well, and that are far from those of the rest.
func (r *run) datesSaid() {
	var of []*Feature
	var says []dated
	newest := datedBy(schema.RoleOther, r.Plan.Attributes).year
	if newest > 0 && newest < firstDrivenYear {
		x := r.finding(nil)
		x.Severity = Note
		x.Message = fmt.Sprintf("the plan is dated %.0f, and before %d no plan was made for a machine that drives by satellites: does all of it still lie there? measure it again, or correct the date", math.Floor(newest), firstDrivenYear)
	}
	if newest > today() {
		newest = 0
	}
	for _, f := range r.Features {
		if f.Role == schema.RoleOther || !f.usable() {
			continue
		}
		r.stretchSaid(f)
		if d := datedOf(f); d.year > 0 {
			of, says = append(of, f), append(says, d)
			if d.year <= today() {
				newest = max(newest, d.year)
			}
		}
	}
	for i, d := range says {
		f, told := of[i], ""
		switch {
		case d.year > today():
			told = "which has not come yet: correct it"
		case d.year < firstMeasured(f):
			told = fmt.Sprintf("and before %.0f nothing such was measured to centimetres by satellites: does it still lie there? measure it again, or correct the date", firstMeasured(f))
		case newest-d.year > yearsOld(f):
			told = fmt.Sprintf("%.0f years before others of the plan, or the plan itself: does it still lie there? measure it again, or correct the date", newest-d.year)
		default:
			continue
		}
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Message = fmt.Sprintf("its %s is %s, %s", d.key, quote(clipped(d.text)), told)
	}
}

// Of the times of a feature's vertices: timesYears is how many years one may lie from
// the middle one, and sameTimeM how far apart two of one second may lie.
const timesYears, sameTimeM = 1.0, 5.0

// timesSaid tells of vertices whose times lie years apart, or that one receiver took
// at two places at once.
func (r *run) timesSaid(f *Feature) {
	v := f.Attributes.Get(schema.PropTimes)
	if isNull(v) || !f.usable() {
		return
	}
	var texts []string
	walkValues(v, func(v schema.Value) { texts = append(texts, v.Text()) })
	var years []float64
	for _, text := range texts {
		if d := dateOf(text); d.read {
			years = append(years, d.dayFirst.from)
		}
	}
	if len(years) > 0 && (slices.Max(years) > today() || slices.Min(years) < firstMeasured(f)) {
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Message = fmt.Sprintf("one of its times is of a year, %.0f, that has not come yet, or in which nothing was measured to centimetres: the clock of the receiver was wrong, and with it perhaps its fix; measure it again, or correct the times", math.Floor(farYear(years)))
		return
	}
	if len(years) < 2 {
		return
	}
	if low, high := slices.Min(years), slices.Max(years); high-low > timesYears {
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Message = fmt.Sprintf("its points were measured %s years apart, by its times: do all of them still hold? measure those of the older again", trim(high-low, 1))
		return
	}
	var at []orb.Point
	f.eachVertex(func(_, ground orb.Point) bool { at = append(at, ground); return true })
	if len(at) != len(texts) {
		return
	}
	for i := 1; i < len(at); i++ {
		if texts[i] == texts[i-1] && strings.Count(texts[i], ":") >= 2 && distance(at[i], at[i-1]) > sameTimeM {
			x := r.finding(r.middle(f), f)
			x.Severity = Note
			x.Message = fmt.Sprintf("two points %s apart have the same time, %s: nobody measures both in one second; were they calculated, or copied? measure them", metres(distance(at[i], at[i-1])), quote(texts[i]))
			return
		}
	}
}

// farYear is the latest of years where it has not come yet, else the earliest.
func farYear(years []float64) float64 {
	if y := slices.Max(years); y > today() {
		return y
	}
	return slices.Min(years)
}

// laterYears is how much later than all driven ground a base may be dated that it was
// measured in: a survey takes two months at the most (common practice, no source).
const laterYears = 62.0 / 366

// touchedKeys are dates of when something was last changed in a file, and not measured.
var touchedKeys = setOf("updated modified changed updatedat modifiedat lastmodified lastupdated lastedited lastediteddate edited edit geändert")

// baseLater notes a base that is dated later than all driven ground, where no history
// says since when it stands there.
func (r *run) baseLater() {
	bases := r.usableOf(schema.RoleBase)
	if len(bases) == 0 || len(r.Plan.Attributes.Get(schema.PlanHistory).Items()) > 0 {
		return
	}
	newest := 0.0
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock} {
		for _, f := range r.usableOf(role) {
			if d := datedOf(f); !touchedKeys[foldKey(d.key)] {
				newest = max(newest, d.year)
			}
		}
	}
	for _, b := range bases {
		d := datedOf(b)
		if newest == 0 || touchedKeys[foldKey(d.key)] || d.year-newest <= laterYears || d.year > today() {
			continue
		}
		x := r.finding(r.middle(b), b)
		x.Severity = Note
		x.Message = fmt.Sprintf("its %s is %s, later than that of all zones, corridors and docks, and the plan's history does not say since when it stands there: was it moved or put up anew after they were measured? measure where it stands, and record it in the member %s", d.key, quote(clipped(d.text)), schema.PlanHistory)
	}
}

// leastWholeHeights is how many heights, on whole metres all, are no chance.
const leastWholeHeights = 12

// wholeHeights tells of a plan whose heights of driven ground are all whole metres, and
// not all of them the same: slopes and steps cannot be read from them.
func (r *run) wholeHeights() {
	points, low, high := 0, math.Inf(1), math.Inf(-1)
	whole := true
	for _, f := range r.Features {
		if f.Role != schema.RoleZone && f.Role != schema.RoleCorridor && f.Role != schema.RoleDock || !f.usable() || !f.hasHeights {
			continue
		}
		f.heights(func(h float64) {
			whole = whole && math.Abs(h-math.Round(h)) < 1e-6
			points++
			low, high = min(low, h), max(high, h)
		})
		if !whole {
			return
		}
	}
	if points < leastWholeHeights || low == high {
		return
	}
	x := r.finding(nil)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = 0.5, r.limits.StepMaxM, "m"
	x.Message = fmt.Sprintf("all of the %d heights of its zones, corridors and docks are whole metres: what slopes, and every step below a metre, cannot be told from them; ask for the heights as they were measured, or take them out", points)
}
