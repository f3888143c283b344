// Rules on how positions were got: survey-quality, base-height.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/schema"
)

var surveyRules = []Rule{{
	Name: RuleSurveyQuality, Severity: Warning, Limits: []string{"survey_sigma_m", "residual_m", "pdop_max", "sats_min"}, run: checkSurveyQuality,
	Page: Page{
		What: "What features say of how they were measured: the standard error in the property sigma, in metres, against the limit; the property fix, which has to be fixed (4 in NMEA 0183, or its word in eight languages; half fixed, was fixed and the like are not, and of RTK alone, or fixed beside unknown words, it cannot be judged); " +
			"and drawn_from, which must not be traced, nor drawn from a picture or a map, sketched or guessed in other words; a word that is none of surveyed, placed and traced cannot be judged. " +
			"A list holds for the points, and the worst counts; an empty one says nothing, and cannot be judged, nor can one with fewer values than points, and a sigma of 0. " +
			"A base that is not fixed, or whose sigma is over the limit, is an error. " +
			"Features that say nothing are not judged, " +
			"and named when others of their role say something.",
		Parts: []Part{
			{"Points of a GPX file", "" +
				"Of points of a GPX file the kinds of fix none, 2d and 3d are no fixed solution (dgps and pps, which are all that GPX has besides, are not judged), an hdop, vdop or pdop above pdop_max is told, as it is of any feature that has such a property, and, as warnings, fewer satellites (sat, sats) than sats_min, corrections older than 60 s (ageofdgpsdata), " +
				"and a cmt, desc or src with the word float or traced, a src also with a map, a picture or a phone."},
			{"Other words for how it was measured, and with what", "" +
				"Other words for a standard error (hacc, precision, HRMS, Genauigkeit and the like, also as a text with a unit), for where it was drawn from and for estimated or approximate are judged beside the feature's own sigma and drawn_from: the worst that is said holds. " +
				"A figure that is the sigma in another unit is the same, and half of one for 95 % is compared. " +
				"Where the right property is missing, property-misnamed tells them. " +
				"What a device, a program or whoever surveyed it says (device, receiver, software, surveyor and the like) of a phone, a tape, one's eye, a picture or a map is told as drawn_from traced is, and so is a device or a program that is called after pictures, sketches or the earth, or a solution that is none (SBAS, float, no RTK); a device, instrument or receiver, and the make and model of bases and marks, of a name of four letters or more that is no word for a receiver, RTK or a total station, on a feature that says neither fix nor sigma, is a note. " +
				"Numbers of dilution and satellites count as texts too (12,4, >20, 3 of 30, high), and so does an age (of corrections) of bases and marks. " +
				"As a note, a figure that no receiver gives: a dilution below 0.2 (of 0 only where neither fix, sigma nor another word says how well it was measured), satellites below 0, in fractions or more than 80, an age of corrections below 0, and words that are no figure."},
			{"Marks, placements, grids and rounding", "" +
				"Marks that are one by their names, but for a word that one of them was measured again or when (P1 and P1 check, M5 2024 and M5 2026; M5 and 26-M5 within 1.5 m), and lie more than twice survey_sigma_m and no more than 10 m apart, in plan or in height; an error where three and more do by the same; two marks less than 0.5 m and more than survey_sigma_m apart of which one has no name, or the other's but for a stroke or the like, a note, of the first 300; and, as a warning, three pairs of marks or more, whatever they are called, that stand within 1.5 m of one another with no third within three times as far, and all by the same step in plan and height, within twice survey_sigma_m and more than it: a second survey of the same marks. " +
				"Of a recorded placement on marks: an rms_m or a mark's residual_m above residual_m, a mark said to be suspect, two marks or a redundancy of 0, which cannot be judged, and a scale more than 0.2 % off both 1 and the combined factor of the plan's grid, lengths as texts taken in the unit that they say, and words that say it was traced or placed by eye; coefficients that mirror the drawing, stretch it by more than 0.2 % more one way than the other, or turn or scale it otherwise than the record says, cannot be judged; nor can a grid of it that is no known system, or in whose area of use the plan does not lie, more than 3 degrees beside it; other members of it that hold numbers cannot be judged, nor can a model that is no such fit, a redundancy that is not twice its marks less the unknowns of the model, an rms in feet, or a list of suspect marks. " +
				"Of marks in the record a de and dn, or a dh, above residual_m and a test_value above 4 are told too; true and false of a name that nobody knows, or that say that it does not hold (approved false, draft true), words where a number has to be, and members that are not read leave it open. " +
				"Where the record counts three marks or more and lists their places, or the plan has as many marks: the standard error of the placement where driven ground is farthest from the middle of the marks, s sqrt(1/n + d^2/S), with s the rms by the redundancy and 0.01 m at the least, d that distance and S the sum of the squared distances of the marks from their middle, has to keep survey_sigma_m; marks in one line, within 2 % of its length, are a note. " +
				"A site_grid of the plan has its origin within 50 km, a height no more than 100 m off the plan's, and a scale within 0.2 % of 1. " +
				"Coordinates of so few decimals that rounding alone may put them farther off than the limit (half a unit of the last: six of a degree, none of a metre) are told of a plan as a whole, and of any one thing (of marks, those in degrees that say a sigma within the limit or a fixed solution) that has two fewer than the rest: buildings and outlets where driven ground lies as near as that and hazard_margin_m, a base in a grid only where it says no sigma within the limit, for it may have been pegged out on whole metres; so is a file that counts in steps (a quantized TopoJSON), of which half a step counts, and a plan or a thing whose coordinates in metres are all multiples of 0.5, 0.25 or 0.2 m: it was snapped to a raster."},
			{"Dates, times and epochs", "" +
				"As notes: a base of fewer than 5 epochs, samples or observations, and one dated more than 62 days later than all zones, corridors and docks in a plan without a history (dates of when a file was touched aside); times that have not come yet or are of before 2008 (of boundaries, buildings, trees and marks 1995); a sigma below 0.0001 m, which nothing has; a date (date, created, updated, year and the like, of buildings, edges and trees no year) that has not come yet by the clock, of before 2008 (1995 for those, and a date of the plan itself of before 2008), or more than 10 years before another of the plan or a date of the plan itself (30 for boundaries, buildings and marks); " +
				sayStretches +
				"times of one feature more than a year apart, or the same second of two points more than 5 m apart that follow one another; and heights of all driven ground, of 12 and more points and not all the same, that are whole metres. " +
				sayEpochs},
		},
		Why:    "A float solution looks like any other point on the screen and lies half a metre off. A base that was set up without a fix moves every boundary with it.",
		Source: sourcePractice + "; NMEA 0183, sentence GGA, for the numbers of fix",
		Fails:  "a zone with \"fix\": \"float\", \"sigma\": 0.45, limit 0.05 m",
		Passes: "the same zone with \"fix\": \"fixed\", \"sigma\": 0.015",
		Mend:   "measure it again with a fixed solution; what was traced from a picture has to be surveyed or placed on marks",
	},
}}

var baseHeightRules = []Rule{{
	Name: RuleBaseHeight, Severity: Error, Limits: []string{"base_height_m", "slope_max_percent"}, Over: all(schema.RoleBase), run: checkBaseHeight,
	Page: Page{
		What: "The height of every base: whether it is one that ground has (-500 to 9,000 m), and how far it stands above or below the median of the plan's other heights; so, too, the median height of every zone, corridor and dock, and, as a warning, of every other thing that has a role. " +
			"An antenna_height_m of more than 50 m is told as a slip of unit or point, and one of 0 leaves it unchecked. " +
			"An antenna that stands higher above, or deeper below, the heights of the ground about it than its antenna_height_m (up to 30 m where it has none), 2 m and half the distance to them explain, is a warning. " +
			"As notes, of a base that is on no building, wall or the like, by where it stands or what it says: an antenna_height_m below 0.3 m, and an antenna less its antenna_height_m that is more than 0.5 m off the range of the heights within 10 m of it, where there are three and more, widened by that range; and a mark (of the first 100) that is more than 1 m off the range of the heights of driven ground within 10 m, each widened by slope_max_percent on the way there, and all by how far they lie apart, where no wall, drop, ramp or building stands within 10 m. " +
			"Heights that a KML file clamps to the ground are no heights of the ground and do not count. A millimetre is rounding.",
		Why:    "Distances on the ground are taken at the base's height. A base stored with height 0 on ground at 2,000 m makes every length 0.03 % too short: 0.16 m on 500 m.",
		Source: "the scale at height h is 1 + h/R; " + sourcePractice + " for the limit",
		Fails:  "a base at height 0 among heights of 2,000 m, limit 100 m",
		Passes: "the same base at 2,004 m",
		Mend:   "store the height as measured, in the height system of the rest of the plan",
	},
}}

// worst walks a value, a single one or nested lists of them for vertices.
func walkValues(v schema.Value, visit func(schema.Value)) {
	if v.Kind() == schema.KindList {
		for _, item := range v.Items() {
			walkValues(item, visit)
		}
		return
	}
	if v.Kind() != schema.KindNull && !v.IsAbsent() {
		visit(v)
	}
}

// Words of receivers and of people for a solution, folded, in the languages of
// property-misnamed (common practice, no source).
var (
	fixedWords = strings.Fields("fixed fix fixedrtk rtkfixed fest fixiert fixierte fixe fixes fixé fixée fijo fija fisso fissa vast gefixeerd fast fikseret fiksert fixerad kiinteä " +
		"int integer narrowint ganzzahlig entier entière entero entera intero heltal heltall kokonaisluku")
	// partlyFixed are words that leave it open or deny that it is fixed.
	partlyFixed = strings.Fields("of float floating single partly partial partially some mostly most sometimes almost nearly half quasi semi pseudo or percent dgps dgnss autonomous until was were been before formerly once lost expired never " +
		"no not non un unfixed without nicht kein keine ohne war halb pas sans presque était sin casi medio fue senza quasi era niet geen zonder bijna half ikke inte ingen uten uden utan nesten næsten nästan var ei ilman melkein puoliksi oli")
	// besideFixed are words that may stand beside one for fixed and change
	// nothing.
	besideFixed = strings.Fields("rtk nrtk ppk vrs gnss gps network netz carrier phase solution lösung solución soluzione oplossing løsning lösning ratkaisu position ambiguity ambiguities all narrow wide lane l1 l2 4 quality q status type mode " +
		"base rover kinematic static good ok yes survey surveyed measured the a and with by is ist est è es är er on la le el il der die das")
	// saysMethod are words that name how, and not whether it was fixed.
	saysMethod = strings.Fields("rtk nrtk ppk vrs")
)

// fixState is what a word or number says of a solution.
type fixState int

const (
	fixPoor fixState = iota
	fixOpen          // cannot be told
	fixGood
)

// fixOf judges a receiver's word or number for a solution, folded.
func fixOf(word string) fixState {
	if word == "4" || word == "4.0" {
		return fixGood
	}
	fixed, method, open := false, false, false
	for _, w := range wordsOf(word) { // "4 of 10 fixed", "fixed 40%", "fixed/float"
		switch {
		case slices.Contains(partlyFixed, w) || strings.Contains(w, "%") || w != "4" && strings.Trim(w, "0123456789") == "":
			return fixPoor
		case slices.Contains(fixedWords, w):
			fixed = true
		case slices.Contains(besideFixed, w):
			method = method || slices.Contains(saysMethod, w)
		default:
			open = true
		}
	}
	switch {
	case !fixed && (open || !method) || strings.HasPrefix(word, "3d") || strings.HasPrefix(word, "2d"):
		return fixPoor
	case open || !fixed:
		return fixOpen
	}
	return fixGood
}

// surveyed is what a feature says of its own position.
type surveyed struct {
	said  bool
	sigma float64 // the worst, NaN for none
	wrong string  // a sigma that is no length
	empty string  // a property that is there and says nothing
	short string  // a list that does not hold a value for each point
	poor  string  // a fix other than fixed, "" for none
	open  string  // a fix that may be one, "" for none
	receiver
	// beside are other words for how it was measured that say worse than the
	// feature's own sigma, fix and drawn_from.
	beside []qualityBeside
	traced bool
	from   string // a drawn_from that is no known word, "" for none
}

func surveyOf(f *Feature) surveyed {
	out := surveyed{sigma: math.NaN()}
	walkValues(f.Attributes.Get(schema.PropSigma), func(v schema.Value) {
		out.said = true
		s, ok := schema.NumberSaid(v)
		if !ok || !(s >= 0) || math.IsInf(s, 0) {
			out.wrong = shown(v)
			return
		}
		if s == 0 { // what is written where nobody knows
			out.empty = schema.PropSigma
		}
		if !(out.sigma >= s) {
			out.sigma = s
		}
	})
	walkValues(f.Attributes.Get(schema.PropFix), func(v schema.Value) {
		out.said = true
		word := schema.FoldName(v.Text())
		if word == "" {
			out.empty = schema.PropFix
			return
		}
		switch fixOf(word) {
		case fixPoor:
			if out.poor == "" {
				out.poor = v.Text()
			}
		case fixOpen:
			out.open = v.Text()
		}
	})
	for _, key := range [...]string{schema.PropSigma, schema.PropFix} {
		v, some := f.Attributes.Get(key), false
		walkValues(v, func(schema.Value) { some = true })
		if !some && !isNull(v) {
			out.said, out.empty = true, key
		}
		if list := v.Items(); len(list) > 1 && list[0].Kind() != schema.KindList {
			if n := f.countPoints(); len(list) < n-1 { // an outline's last point is its first
				out.short = fmt.Sprintf("%s of %s has %d values for %d points", key, f.describe(), len(list), n)
			}
		}
	}
	out.pointQuality(f)
	out.otherQuality(f)
	walkValues(f.Attributes.Get(schema.PropDrawnFrom), func(v schema.Value) {
		out.said = true
		switch from := schema.FoldName(v.Text()); {
		case from == schema.DrawnSurveyed || from == schema.DrawnPlaced:
		case saysTraced(v):
			out.traced = true
		default:
			out.from = v.Text()
			if out.from == "" {
				out.from = "a " + v.Kind().String()
			}
		}
	})
	return out
}

func checkSurveyQuality(r *run) {
	placed := r.placementQuality()
	r.siteGridElsewhere()
	r.marksTwice()
	r.datesSaid()
	r.baseLater()
	r.fewEpochs()
	r.epochsSaid()
	r.wholeHeights()
	said := map[schema.Role]bool{}
	var silent []*Feature
	var devices deviceList
	for _, f := range r.Features {
		if f.Role == schema.RoleOther {
			continue
		}
		q := surveyOf(f)
		r.timesSaid(f)
		if !q.said {
			devices.add(f, r.of(f))
		}
		if !q.said && (q.dop > 0 || q.age > 0 || q.sats >= 0 || q.odd != "" || q.unset != "") {
			r.surveyFindings(f, q) // says how well the satellites stood, no more
			continue
		}
		if !q.said {
			silent = append(silent, f)
			continue
		}
		said[f.Role] = true
		r.surveyFindings(f, q)
	}
	if len(silent) > 0 {
		r.phoneSaid()
	}
	r.tellDevices(&devices)
	if r.roundedOff(); len(said) == 0 && (placed || len(r.findings) > 0) {
		return
	}
	if len(said) == 0 {
		r.notNeeded("no feature says how it was measured")
		return
	}
	for _, f := range silent {
		if said[f.Role] {
			r.cannot("%s does not say how it was measured", f.describe())
		}
	}
}

func (r *run) surveyFindings(f *Feature, q surveyed) {
	limit := r.of(f).SurveySigmaM
	var severity = Warning
	if f.Role == schema.RoleBase {
		severity = Error
	}
	if q.poor != "" {
		x := r.finding(r.middle(f), f)
		x.Severity = severity
		x.Message = "was measured with a solution that is not fixed: " + quote(q.poor)
	}
	r.receiverFindings(f, &q.receiver, q.said, severity)
	if q.sigma > limit {
		x := r.finding(r.middle(f), f)
		x.Severity = severity
		x.Measured, x.Limit, x.Unit = q.sigma, limit, "m"
		x.Message = fmt.Sprintf("was measured with a standard error of %s; the limit is %s", metresPast(q.sigma, limit), metres(limit))
	}
	if q.sigma > 0 && q.sigma < leastSigmaM-1e-12 {
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = q.sigma, leastSigmaM, "m"
		x.Message = fmt.Sprintf("its sigma is %s m, and nothing is measured to less than %s m: is it in another unit? write it in metres, or take it out", trim(q.sigma, 10), trim(leastSigmaM, 4))
	}
	if q.open != "" {
		r.cannot("the fix %s of %s does not say whether the solution is fixed: write fixed, or what it is", quote(q.open), f.describe())
	}
	if q.empty != "" {
		r.cannot("the %s of %s says nothing", q.empty, f.describe())
	}
	if q.short != "" {
		r.cannot("the %s", q.short)
	}
	if q.wrong != "" {
		r.cannot("the sigma %s of %s is no number of metres", q.wrong, f.describe())
	}
	if q.from != "" {
		r.cannot("the drawn_from of %s is %s, which is none of %s, %s and %s: how it was drawn is not known", f.describe(), quote(q.from), schema.DrawnSurveyed, schema.DrawnPlaced, schema.DrawnTraced)
	}
	for i := range q.beside {
		r.besideFinding(f, &q.beside[i], limit, severity)
	}
	if q.traced {
		x := r.finding(r.middle(f), f)
		x.Severity = severity
		x.Message = "was traced from a picture, not measured: how well it lies is not known"
	}
}

// Heights that ground has, in metres: land lies between -430 and 8,849 m
// (common knowledge, no source).
const lowestGroundM, highestGroundM = -500, 9000

func checkBaseHeight(r *run) {
	counts := func(f *Feature) bool { return f.Role != schema.RoleBase && !r.clamped(f) }
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range r.Features {
		if counts(f) {
			l, h := f.heightRange()
			low, high = min(low, l), max(high, h)
		}
	}
	// The middle one is asked for seldom: most plans lie within the limits.
	var heights []float64
	middleOf := func() float64 {
		if heights == nil {
			for _, f := range r.Features {
				if counts(f) {
					f.heights(func(h float64) { heights = append(heights, h) })
				}
			}
			slices.Sort(heights)
		}
		return heights[(len(heights)-1)/2]
	}
	r.heightsApart(low, high, middleOf)
	r.marksOff()
	for _, f := range r.Of(schema.RoleBase) {
		limit := r.of(f).BaseHeightM
		if antenna, ok := f.Float(schema.PropAntennaHeight); ok && antenna > highestMastM {
			x := r.finding(r.middle(f), f)
			x.Measured, x.Limit, x.Unit = antenna, highestMastM, "m"
			x.Message = fmt.Sprintf("its antenna_height_m is %s above the ground; no mast of a base is higher than %s: centimetres, or a point left out?", metresPast(antenna, highestMastM), metres(highestMastM))
		}
		for i := range f.Points {
			v := &f.Points[i]
			h := v.Height
			switch {
			case r.clamped(f):
				r.cannot("the height of %s is clamped to the ground, and so is no height of its own", f.describe())
				continue
			case math.IsNaN(h):
				r.cannot("%s has no height; distances were taken at %s", f.describe(), metres(r.H))
				continue
			case h < lowestGroundM || h > highestGroundM:
				x := r.finding(r.placeRead(f, v.Read, v.Ground), f)
				x.Measured, x.Unit = h, "m"
				x.Message = fmt.Sprintf("its height of %s is one that no ground has", metres(h))
				continue
			case low > high:
				r.cannot("nothing else in the plan has a height to compare %s with", f.describe())
				continue
			}
			if max(h-low, high-h) <= limit {
				r.antennaOff(f, v)
				r.footOff(f, v)
				continue
			}
			middle := middleOf()
			off := math.Abs(h - middle)
			if off <= limit+slackM {
				r.antennaOff(f, v)
				r.footOff(f, v)
				continue
			}
			x := r.finding(r.placeRead(f, v.Read, v.Ground), f)
			x.Measured, x.Limit, x.Unit = off, limit, "m"
			side := "above"
			if h < middle {
				side = "below"
			}
			x.Message = fmt.Sprintf("at %s it stands %s %s the plan's other heights; the limit is %s", metres(h), metresPast(off, limit), side, metres(limit))
		}
	}
}

// highestMastM is the highest mast of a base that is taken for one (common
// practice, no source).
const highestMastM = 50

// heightsApart reports features whose heights as a whole lie as far from the
// plan's as no base may: those lie from low to high, and middle is their median.
func (r *run) heightsApart(low, high float64, middle func() float64) {
	for _, role := range schema.Roles {
		if role == schema.RoleBase || role == schema.RoleOther {
			continue
		}
		for _, f := range r.Of(role) {
			limit := r.of(f).BaseHeightM
			if ownLow, ownHigh := f.heightRange(); max(ownHigh-low, high-ownLow) <= limit || r.clamped(f) {
				continue
			}
			var own []float64
			if f.heights(func(h float64) { own = append(own, h) }); len(own) == 0 {
				continue
			}
			slices.Sort(own)
			above := own[(len(own)-1)/2] - middle()
			off := math.Abs(above)
			if off <= limit+slackM {
				continue
			}
			side := "above"
			if above < 0 {
				side = "below"
			}
			x := r.finding(r.middle(f), f)
			x.Measured, x.Limit, x.Unit = off, limit, "m"
			switch role {
			case schema.RoleZone, schema.RoleCorridor, schema.RoleDock:
			default:
				x.Severity = Warning // no length is taken there
			}
			x.Message = fmt.Sprintf("its heights stand %s %s the plan's other heights; the limit is %s: another unit or height reference?", metresPast(off, limit), side, metres(limit))
		}
	}
}

// clamped reports whether the feature's heights are altitudes that KML clamps
// to the ground or counts from it (OGC 07-147r2, 9.20: clampToGround is the
// default), and so no heights of the ground.
func (r *run) clamped(f *Feature) bool {
	mode := f.Attributes.Get(schema.PropAltitudeMode).Text()
	switch r.Plan.Source.Format {
	case "kml", "kmz":
		return mode != "absolute"
	}
	return mode != "" && mode != "absolute"
}
