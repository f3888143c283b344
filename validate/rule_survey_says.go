// What points of a GPX file and a recorded placement say of how they were got,
// for survey-quality.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swardline/crs"
	"swardline/schema"
)

// pointPrefix is before the name of an element that a GPX file's points have
// one by one.
const pointPrefix = "point_"

// oldestCorrectionsS is how old in seconds the corrections of a position may be:
// a receiver that had none for a minute has lost its fix or is about to (common
// practice, no source).
const oldestCorrectionsS = 60

// receiver is what a feature's properties say of how well its receiver stood.
type receiver struct {
	dop  float64 // the worst dilution of precision, 0 for none
	kind string  // of which it is
	sats float64 // the fewest satellites, NaN for none
	age  float64 // the oldest corrections in seconds, 0 for none
	odd  string  // the first figure that no receiver gives, in words; "" for none
	// unset is a dilution of 0, in words: where nothing else is said of how well it
	// was measured, it is told.
	unset string
}

// Figures that no receiver gives: leastDOP is below the dilution of all satellites that
// could stand above one, mostSats above how many are ever used (common practice, no source).
const leastDOP, mostSats = 0.2, 80.0

// figure visits the figures of a property, and remembers one that is impossible, or a
// text that holds none. No figure of corrections is below 0.
func (q *receiver) figure(a *schema.Attribute, least, most float64, visit func(float64)) {
	some := false
	told := func() string { return a.Key + " is " + clipped(shown(a.Value)) }
	eachFigure(a.Value, func(n float64) {
		some = true
		switch {
		case n == 0 && least == leastDOP:
			q.unset = told()
		case n == poorFigure && a.Value.Kind() == schema.KindString: // a word for a bad one
		case (n < least || n > most || most == mostSats && n != math.Trunc(n)) && q.odd == "":
			q.odd = told()
		}
		visit(n)
	})
	if !some && q.odd == "" && a.Value.Kind() == schema.KindString && slices.ContainsFunc(letterWords(a.Value.Text()), func(w string) bool { return len(w) > 2 && !goodFigures[w] }) {
		q.odd = told()
	}
}

// goodFigures are words that stand for a figure that is well, or for none.
var goodFigures = setOf("good gut bon bonne bueno buena goed buono god bra hyvä low niedrig ok excellent fine nan null n/a unknown unbekannt")

// dopKinds are the dilutions of precision by the letter before DOP.
var dopKinds = map[byte]string{'h': "horizontal", 'p': "position", 'v': "vertical", 'g': "geometric", 't': "time"}

// pointQuality adds what the points say. The kinds of fix are GPX 1.1's
// fixType: none, 2d, 3d, dgps, pps; none of them says fixed ambiguities, so only
// the three that rule them out are told.
func (q *surveyed) pointQuality(f *Feature) {
	q.sats = math.NaN()
	for _, a := range f.Attributes {
		key := strings.TrimPrefix(a.Key, pointPrefix)
		points := len(key) < len(a.Key)
		if len(key) > len("ageofdgpsdata") {
			continue
		}
		switch key := strings.ToLower(key); key {
		case "fix":
			if points {
				q.pointFix(a.Value)
			}
		case "hdop", "pdop", "vdop", "gdop", "tdop", "max_hdop", "max_pdop", "max_vdop", "max_gdop", "maxhdop", "maxpdop", "maxvdop", "maxgdop":
			q.figure(&a, leastDOP, math.Inf(1), func(d float64) {
				if d > q.dop {
					q.dop, q.kind = d, dopKinds[key[len(key)-len("dop")-1]]
				}
			})
		case "sat", "sats", "satellites":
			if key == "sat" && a.Key != "sat" && !points { // a day of the week
				continue
			}
			q.figure(&a, 0, mostSats, func(n float64) {
				if n >= 0 && !(q.sats <= n) {
					q.sats = n
				}
			})
		case "ageofdgpsdata", "diffage", "corrage", "dgpsage":
			q.figure(&a, 0, math.Inf(1), func(s float64) { q.age = math.Max(q.age, s) })
		case "age": // that of a tree or a house is in years
			if f.Role == schema.RoleBase || f.Role == schema.RoleMark {
				q.figure(&a, 0, math.Inf(1), func(s float64) { q.age = math.Max(q.age, s) })
			}
		case "src":
			walkValues(a.Value, func(v schema.Value) {
				q.saidOf(v.Text(), saysTraced(v), sayPhone)
			})
		case "cmt", "desc":
			walkValues(a.Value, func(v schema.Value) {
				q.saidOf(v.Text(), slices.ContainsFunc(wordsOf(v.Text()), func(w string) bool { return slices.Contains(drawnWords, w) }), nil)
			})
		}
	}
}

// Words of GPX's cmt, desc and src: for what was drawn and not measured, which
// no text has by the way, and for receivers that fix no ambiguities (common
// practice, no source).
var (
	drawnWords = strings.Fields("traced tracing digitised digitized abgezeichnet digitalisiert numérisé digitalizado gedigitaliseerd")
	sayPhone   = strings.Fields("phone smartphone handheld handy watch telefon téléphone teléfono telefoon telefono puhelin")
)

func (q *surveyed) pointFix(v schema.Value) {
	walkValues(v, func(v schema.Value) {
		switch word := schema.FoldName(v.Text()); word {
		case "none", "2d", "3d":
			q.said = true
			if q.poor == "" {
				q.poor = v.Text()
			}
		}
	})
}

// saidOf takes what a text says of how the feature was got.
func (q *surveyed) saidOf(text string, traced bool, poor []string) {
	for _, w := range wordsOf(text) {
		if (w == "float" || slices.Contains(poor, w)) && q.poor == "" {
			q.said, q.poor = true, text
		}
	}
	if traced {
		q.said, q.traced = true, true
	}
}

// qualityBeside is what a property of another word says of how a feature was
// measured.
type qualityBeside struct {
	key, says string
	own       string  // what the right property says
	sigma     float64 // metres, NaN for what is no length
}

// qualityKeys are the properties that a key is another word for, of those that
// say how a feature was measured.
var qualityKeys = remembered[*otherName]{of: func(key string) *otherName {
	if slices.Contains(noErrors, withoutUnit(key)) {
		return nil
	}
	for _, n := range otherMeant(key) {
		if n.property == schema.PropSigma || n.property == schema.PropDrawnFrom {
			return n
		}
	}
	for _, p := range meantFor(key) {
		if p.key == schema.PropSigma && key != p.key {
			return &otherName{property: p.key, fits: holdsNumber}
		}
	}
	return nil
}}

var (
	// noErrors are words for sigma that may well say what is allowed.
	noErrors = strings.Fields("tolerance")
	// twiceWords say an error of 95 %, which is about two standard ones.
	twiceWords = strings.Fields("95 2sigma sigma2 2drms twosigma")
	// aboutWords may stand before a length.
	aboutWords = strings.Fields("ca circa approx about around etwa rund environ env aprox max up to bis within")
	// handWords are words for how a thing was measured without a receiver that
	// fixes ambiguities, nor a total station.
	handWords = strings.Fields("tape massband ruban")
)

// otherQuality adds what other words say beside the right ones.
func (q *surveyed) otherQuality(f *Feature) {
	for i := range f.Attributes {
		a := &f.Attributes[i]
		switch a.Key {
		case schema.PropID, schema.PropRole, schema.PropName, schema.PropSigma, schema.PropFix, schema.PropDrawnFrom, schema.PropLimits, schema.PropActive, schema.PropHeadingDeg, schema.PropHazardKind, schema.PropEdgeKind, schema.PropHeightM, schema.PropRadiusM:
			continue
		}
		n := qualityKeys.get(a.Key)
		if n == nil {
			q.madeWith(f, a)
			continue
		}
		right := f.Attributes.Get(n.property)
		switch {
		case n.property == schema.PropSigma:
			m, ok := errorSaid(a.Key, a.Value)
			if isNull(right) || !ok || !(m > 0) || math.IsInf(m, 0) || sameFigure(m, q.sigma) {
				continue
			}
			q.beside = append(q.beside, qualityBeside{a.Key, shown(a.Value), schema.PropSigma + " " + shown(right), m})
		case n.fits(a.Value) && !isNull(right) || saysByHand(a.Value):
			own := "nothing else"
			if !isNull(right) {
				own = schema.PropDrawnFrom + " " + shown(right)
			}
			q.said = true
			q.beside = append(q.beside, qualityBeside{a.Key, shown(a.Value), own, math.NaN()})
		}
	}
}

// errorSaid is the standard error in metres that a property says, the worst of
// several.
func errorSaid(key string, v schema.Value) (float64, bool) {
	m, ok := lengthSaid(key, v)
	if v.Kind() == schema.KindString { // ca. 3 m, +/-3 m
		text := v.Text()
		at := strings.IndexAny(text, "0123456789")
		if at < 0 || slices.ContainsFunc(letterWords(text[:at]), func(w string) bool { return !slices.Contains(aboutWords, w) }) {
			return 0, false
		}
		m, ok = lengthSaid(key, schema.String(text[at:]))
	}
	folded := foldKey(key)
	if slices.ContainsFunc(twiceWords, func(w string) bool { return strings.Contains(folded, w) }) {
		m /= 2
	}
	return m, ok
}

// sameFigure reports whether a length is a standard error in another unit.
func sameFigure(m, sigma float64) bool {
	for _, unit := range [...]float64{1, 100, 1000} {
		if math.Abs(m-sigma*unit) <= m*0.01 {
			return true
		}
	}
	return false
}

// saysByHand reports whether a text says that a thing was measured with a phone
// or a tape, and with nothing better.
func saysByHand(v schema.Value) bool {
	by := false
	walkValues(v, func(v schema.Value) {
		if v.Kind() != schema.KindString {
			return
		}
		hand, better := false, false
		for _, w := range wordsOf(v.Text()) {
			hand = hand || slices.Contains(sayPhone, w) || slices.Contains(handWords, w)
			better = better || slices.Contains(saysMethod, w) || w == "gnss" || w == "total" || w == "tachymeter" || w == "station"
		}
		by = by || hand && !better
	})
	return by
}

// besideFinding tells what another word says that is worse.
func (r *run) besideFinding(f *Feature, b *qualityBeside, limit float64, severity Severity) {
	if b.sigma <= limit {
		return
	}
	x := r.finding(r.middle(f), f)
	x.Severity = severity
	if b.sigma > limit {
		x.Measured, x.Limit, x.Unit = b.sigma, limit, "m"
		x.Message = fmt.Sprintf("its %s says %s, beside its %s: the worst that is said holds, %s; the limit is %s", b.key, b.says, b.own, metresPast(b.sigma, limit), metres(limit))
		return
	}
	x.Message = fmt.Sprintf("its %s says %s, beside %s: that it was not measured holds until it is known better; measure it, or take the words out", b.key, b.says, b.own)
}

// eachNumber calls visit with the numbers of a value.
func eachNumber(v schema.Value, visit func(float64)) {
	walkValues(v, func(v schema.Value) {
		if d, ok := v.Float(); ok && !math.IsInf(d, 0) {
			visit(d)
		}
	})
}

// poorFigures are words for a number that is not good (common practice, no source).
var poorFigures = setOf("high poor bad large hoch schlecht élevé mauvais alto malo hoog slecht cattivo hög dålig høj høy dårlig korkea huono")

// eachFigure is eachNumber, and of texts the number that they begin with: 12,4 or >20 or
// 3 of 30; a word for one that is not good is as large as none.
func eachFigure(v schema.Value, visit func(float64)) {
	eachNumber(v, visit)
	walkValues(v, func(v schema.Value) {
		if _, ok := v.Float(); ok || v.Kind() != schema.KindString {
			return
		}
		text := strings.TrimLeft(strings.TrimSpace(v.Text()), "<>≤≥=~≈± ")
		end := strings.IndexFunc(text, func(c rune) bool { return (c < '0' || c > '9') && c != '.' && c != ',' })
		if end < 0 {
			end = len(text)
		}
		if d, err := strconv.ParseFloat(strings.Replace(strings.TrimRight(text[:end], ".,"), ",", ".", 1), 64); err == nil {
			visit(d)
		} else if slices.ContainsFunc(letterWords(text), func(w string) bool { return poorFigures[w] }) {
			visit(poorFigure)
		}
	})
}

// poorFigure is what a word for a number that is not good is taken for.
const poorFigure = 99

// fewestEpochs is how many epochs the position of a base is the mean of at the least
// (common practice, no source).
const fewestEpochs = 5

var epochKeys = setOf("epochs epochcount numepochs samples observations measurements")

// fewEpochs notes bases that say that they were measured with fewer.
func (r *run) fewEpochs() {
	for _, b := range r.usableOf(schema.RoleBase) {
		for i := range b.Attributes {
			a := &b.Attributes[i]
			if !epochKeys[foldKey(a.Key)] {
				continue
			}
			least := math.Inf(1)
			eachFigure(a.Value, func(n float64) { least = min(least, n) })
			if least < fewestEpochs {
				x := r.finding(r.middle(b), b)
				x.Severity = Note
				x.Measured, x.Limit, x.Unit = least, fewestEpochs, "count"
				x.Message = fmt.Sprintf("its %s says %s: of fewer than %d nothing shows whether the fix was a right one, and all outlines hang from it; measure it again, twice, and for some minutes", a.Key, quote(a.Value.Text()), fewestEpochs)
				return
			}
		}
	}
}

// receiverFindings tells how the receiver stood.
func (r *run) receiverFindings(f *Feature, q *receiver, said bool, severity Severity) {
	if most := r.of(f).PDOPMax; q.dop > most {
		x := r.finding(r.middle(f), f)
		x.Severity = severity
		x.Measured, x.Limit, x.Unit = q.dop, most, "ratio"
		x.Message = fmt.Sprintf("was measured with a %s dilution of precision of %s; the limit is %s", q.kind, trim(q.dop, 1), trim(most, 1))
	}
	if fewest := r.of(f).SatsMin; q.sats < fewest {
		x := r.finding(r.middle(f), f)
		x.Measured, x.Limit, x.Unit = q.sats, fewest, "count"
		x.Message = fmt.Sprintf("was measured with %s satellites, fewer than %s: measure it again under an open sky", trim(q.sats, 0), trim(fewest, 0))
	}
	if q.odd == "" && !said {
		q.odd = q.unset
	}
	if q.odd != "" {
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Message = fmt.Sprintf("its %s, which no receiver gives: was the column another, or never filled in? correct it, or take it out", q.odd)
	}
	if q.age > oldestCorrectionsS {
		x := r.finding(r.middle(f), f)
		x.Measured, x.Limit, x.Unit = q.age, oldestCorrectionsS, "s"
		x.Message = fmt.Sprintf("was measured with corrections %s s old; older than %d s they fix nothing: measure it again while the base sends", trim(q.age, 0), oldestCorrectionsS)
	}
}

// mostPlacedScale is how far from 1, or from the combined factor of the plan's
// grid, the scale of a placement may be: grids stretch lengths by a thousandth,
// and a drawing that is off by more is in another unit, or of paper that shrank
// (common practice, no source).
const mostPlacedScale = 0.002

// placedScale is what the record of a placement says of its scale; ok is false
// where it says none that is a number.
func placedScale(v schema.Value) (scale float64, ok bool) {
	if scale, ok = v.Float(); ok || v.Kind() != schema.KindString {
		return scale, ok
	}
	return schema.NumberSaid(schema.String(strings.Replace(v.Text(), ",", ".", 1)))
}

// scaleOff is how far a scale is from 1 and from the combined factor of the
// plan's grid, whichever is nearer.
func (r *run) scaleOff(scale float64) float64 {
	off := math.Abs(scale - 1)
	if r.Plan.CRS == nil || r.Plan.CRS.IsDegrees() || r.Frame != FrameEarth {
		return off
	}
	factor, err := r.Plan.CRS.CombinedFactorAt(crs.Geodetic{Lon: crs.Degrees(r.Lon), Lat: crs.Degrees(r.Lat), H: crs.Metres(r.H)})
	if err != nil || !(factor > 0) {
		return off
	}
	return math.Min(off, math.Abs(scale/factor-1))
}

// Members of a recorded placement: those that place writes, and others whose
// numbers say nothing of how well it fits, folded and without their unit.
var (
	placementMembers = strings.Fields("model scale rotation_deg rms_m marks redundancy drawing_unit_m sigma_m least_redundancy grid coefficients")
	placementPlain   = strings.Fields("rotation angle shift shifte shiftn tx ty tz dx dy dz translation origin epsg degreesoffreedom dof")
	eyeWords         = strings.Fields("eye eyeballed augenmaß augenmass œil ojo occhio oog øjemål øyemål ögonmått silmämääräisesti")
)

// leftOutKeys are members of a placement that name marks on which it was not placed,
// folded (common practice, no source).
var leftOutKeys = setOf("leftout omitted excluded excludedmarks unused rejected rejectedmarks dropped droppedmarks outliers ignored marksoff badmarks weggelassen ausgelassen ausgeschlossen verworfen omis exclus omitidos excluidos weggelaten uitgesloten omessi esclusi udeladt utelämnade utelatt")

// textsIn are the texts of a value and of what is in it.
func textsIn(v schema.Value) (out []string) {
	walkValues(v, func(v schema.Value) {
		switch v.Kind() {
		case schema.KindString:
			if strings.TrimSpace(v.Text()) != "" {
				out = append(out, v.Text())
			}
		case schema.KindObject:
			for _, a := range v.Fields() {
				out = append(out, textsIn(a.Value)...)
			}
		}
	})
	return out
}

// placedFarM is how far in metres the origin of the site grid that a plan was placed
// in may lie from it (common practice, no source).
const placedFarM = 50_000

// placedLength is a length of the record of a placement; one that is none leaves it open.
func (r *run) placedLength(of, key string, v schema.Value) (float64, bool) {
	d, ok := lengthSaid(key, v)
	if !ok && !isNull(v) {
		r.cannot("the %s of %s is %s, which is no length in metres", key, of, shown(v))
	}
	return d, ok
}

// placementQuality judges the record of how the plan was placed on marks, and
// reports whether there is one to judge.
func (r *run) placementQuality() bool {
	record := r.Plan.Attributes.Get(schema.PlanPlacement)
	placed := record.Fields()
	if len(placed) == 0 {
		if saysNothing(record) {
			return false
		}
		r.cannot("the plan's placement is %s, and no record of how it was placed, such as {\"rms_m\": 0.01}", shown(record))
		return true
	}
	limit := r.limits.ResidualM
	tell := func(measured, limit float64, unit, format string, args ...any) {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = measured, limit, unit
		x.Message = "the plan was placed on marks " + fmt.Sprintf(format, args...)
	}
	if rms, ok := r.placedLength("the plan's placement", "rms_m", placed.Get("rms_m")); ok && rms < 0 {
		r.cannot("the rms_m of the plan's placement is %s, which no residuals have", shown(placed.Get("rms_m")))
	} else if ok && !(rms <= limit) {
		tell(rms, limit, "m", "whose residuals have a root mean square of %s; the limit is %s", metresPast(rms, limit), metres(limit))
	}
	if v := placed.Get("scale"); !isNull(v) {
		switch scale, ok := placedScale(v); {
		case !ok:
			r.cannot("the scale of the plan's placement is %s, which is no number", shown(v))
		case !(r.scaleOff(scale) <= mostPlacedScale+1e-9):
			tell(scale, math.NaN(), "ratio", "with a scale of %s, and no grid stretches lengths so: feet for metres, a drawing that was not to scale, or a wrong mark? measure one length of it on the ground", trim(scale, 6))
		}
	}
	r.placedElsewhere(placed.Get("grid"))
	if why := r.bentFit(placed); why != "" {
		r.cannot("the coefficients of the plan's placement %s: place it anew on its marks", why)
	}
	marks := placed.Get("marks")
	count, counted := marks.Float()
	if marks.Kind() == schema.KindList {
		count, counted = float64(len(marks.Items())), true
	}
	if spare, ok := placed.Get("redundancy").Float(); ok && spare <= 0 || counted && count <= 2 {
		r.cannot("the plan was placed on marks that hold one another to nothing: with two of them any fit is perfect; measure a third and a fourth, and place it anew")
	}
	r.placedRecord(placed, count, counted)
	r.placedSpread(placed, count, counted)
	for i, m := range marks.Items() {
		r.placedMark(m, i, tell)
	}
	r.placedKinds(placed)
	for _, a := range placed {
		if slices.Contains(placementMembers, a.Key) {
			continue
		}
		if leftOutKeys[foldKey(a.Key)] && len(textsIn(a.Value)) > 0 {
			r.cannot("the plan's placement says %s of %s: how well those fit is not known; place it anew on all marks, and say the residual_m of each", shown(a.Value), quote(a.Key))
			continue
		}
		if k := heldUnder.get(a.Key); k == holdsText && len(a.Value.Text()) <= 200 && slices.ContainsFunc(wordsOf(a.Value.Text()), func(w string) bool { return slices.Contains(eyeWords, w) }) {
			r.finding(nil).Message = fmt.Sprintf("the plan's placement says %s of %s: it was not placed on marks, and how well it lies is not known", shown(a.Value), quote(a.Key))
			continue
		}
		if saysTraced(a.Value) || slices.ContainsFunc(wordsOf(a.Value.Text()), func(w string) bool { return slices.Contains(eyeWords, w) }) {
			x := r.finding(nil)
			x.Message = fmt.Sprintf("the plan's placement says %s of %s: it was not placed on marks, and how well it lies is not known", shown(a.Value), quote(a.Key))
			continue
		}
		r.placedUnread(&a)
	}
	return true
}

// placedElsewhere leaves open where a plan lies whose record of a placement names a
// grid that is none, or in whose area of use the plan does not lie.
func (r *run) placedElsewhere(grid schema.Value) {
	if isNull(grid) {
		return
	}
	c, err := crs.Parse(grid.Text())
	switch {
	case err != nil:
		r.cannot("the grid of the plan's placement is %s, which names no known system: which one its marks were given in is not known", shown(grid))
	case r.Frame == FrameEarth && r.farSite(c):
		r.cannot("the plan was placed in a site grid whose origin lies more than %s from it: was it placed in another grid, or has it moved since? place it anew on its marks", metres(placedFarM))
	case r.Frame == FrameEarth && !nearArea(c, r.Lon, r.Lat):
		r.cannot("the plan was placed in %s (%s) and lies outside its area of use: was it placed in another grid, or has it moved since? place it anew on its marks", c.ID(), c.AreaName())
	}
}

// farSite reports whether a system is a site grid whose origin lies more than
// placedFarM from the plan, straight along the meridian and the parallel.
func (r *run) farSite(c *crs.CRS) bool {
	g, ok := c.Site()
	if !ok {
		return false
	}
	north := (float64(g.Origin.Lat) - r.Lat) * metresDegree
	east := math.Remainder(float64(g.Origin.Lon)-r.Lon, 360) * metresDegree * math.Cos(r.Lat*math.Pi/180)
	return math.Hypot(east, north) > placedFarM
}

// besideAreaDeg is how far, in degrees, beside the area of use of a grid a plan may
// lie that was placed in it: lands use one zone for all of them (common practice, no
// source).
const besideAreaDeg = 3.0

// nearArea reports whether a place lies in the area of use of a system, or no
// farther than besideAreaDeg beside it.
func nearArea(c *crs.CRS, lon, lat float64) bool {
	for _, dx := range [...]float64{0, -besideAreaDeg, besideAreaDeg} {
		for _, dy := range [...]float64{0, -besideAreaDeg, besideAreaDeg} {
			if c.Covers(crs.Degrees(math.Remainder(lon+dx, 360)), crs.Degrees(math.Max(-90, math.Min(90, lat+dy)))) {
				return true
			}
		}
	}
	return false
}

// bentFit says what the coefficients A, B, C and D of a recorded placement, east =
// A x + B y and north = C x + D y, do to a drawing that no survey does: mirror it,
// stretch it more one way than the other, scale or turn it otherwise than the
// record says; "" for none.
func (r *run) bentFit(placed schema.Attributes) string {
	v := placed.Get("coefficients")
	if isNull(v) {
		return ""
	}
	items := v.Items()
	if len(items) < 4 {
		return "are not the seven that place writes"
	}
	var m [4]float64
	for i := range m {
		var ok bool
		if m[i], ok = items[i].Float(); !ok {
			return "are not all numbers"
		}
	}
	a, b, c, d := m[0], m[1], m[2], m[3]
	det := a*d - b*c
	if !(det > 0) {
		return "mirror the drawing or press it flat"
	}
	// The singular values of a matrix of two by two.
	sum, diff := math.Hypot(a+d, c-b), math.Hypot(a-d, b+c)
	long, short := (sum+diff)/2, (sum-diff)/2
	mean := math.Sqrt(det)
	turns := math.Atan2(b, d) * (180 / math.Pi) // as PlaneTransform.Rotation
	scale, told := placedScale(placed.Get("scale"))
	turn, turned := placed.Get("rotation_deg").Float()
	switch {
	case long/short-1 > mostPlacedScale:
		return fmt.Sprintf("stretch the drawing by %s %% more one way than the other", trim(100*(long/short-1), 2))
	case told && math.Abs(mean/scale-1) > mostPlacedScale:
		return fmt.Sprintf("scale it by %s, and its scale says %s", trim(mean, 6), trim(scale, 6))
	case turned && math.Abs(math.Remainder(turn-turns, 360)) > mostPlacedTurnDeg:
		return fmt.Sprintf("turn it by %s, and its rotation_deg says %s", degreesText(turns), degreesText(turn))
	}
	return ""
}

// mostPlacedTurnDeg is how far the two may be apart: a tenth of a degree is 0.17 m
// over 100 m.
const mostPlacedTurnDeg = 0.1
