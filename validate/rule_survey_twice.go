// Marks that were measured twice, of survey-quality.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// againWords in the name of a mark say that it is one that was measured before, or
// when (common practice, no source).
var againWords = setOf("check checked checking control new old again repeat repeated resurvey resurveyed remeasured second first before after copy bis rtk original " +
	"kontrolle kontroll neu neue alt alte nochmal erneut wiederholung nachmessung zweite zweiter erste vorher nachher contrôle nouveau ancien encore control nuevo viejo otra controle nieuw oud opnieuw controllo nuovo vecchio ancora kontroll ny gammel gammal igen uusi vanha")

// timeWords after a number say the how many-th measurement it is.
var timeWords = setOf("messung measurement survey time mesure medición meting misura mätning måling mittaus")

// againM is how far from one another two marks may lie that are one (common practice,
// no source).
const againM = 10.0

// stemOf is the name of a mark without what says that it was measured again, and
// whether anything did.
type stemOf struct {
	stem  string
	again bool
	short bool // only by a year of two digits before it: 26-M1
}

var markStems = remembered[stemOf]{of: readStem}

func readStem(name string) stemOf {
	again := false
	words := nameWords(name)
	short := len(words) == 2 && isNumber(words[0]) && words[0] >= "15" && words[0] <= "39" && len(words[0]) == 2 && !isNumber(words[1]) && !strings.Contains(name, " ")
	if short {
		words, again = words[1:], true
	}
	var kept []string
	for i, w := range words {
		year := len(w) == 4 && isNumber(w) && (strings.HasPrefix(w, "19") || strings.HasPrefix(w, "20"))
		count := isNumber(w) && i+1 < len(words) && timeWords[words[i+1]] // 2. Messung
		if i > 0 && (againWords[w] || timeWords[w] || year || count) {
			again = true
			continue
		}
		kept = append(kept, w)
	}
	return stemOf{strings.Join(kept, " "), again, short}
}

// oneMarkM is how near to one another no two marks are set: one was taken twice
// (common practice, no source).
const oneMarkM = 0.5

// mostMarksPaired is how many marks are held to one another by their places.
const mostMarksPaired = 300

// sameMark reports whether a mark so near to another may be that one by its name: it
// has none, or the other's but for a stroke, a star or the like. What else makes two
// names one is told wherever they lie.
func sameMark(a, b string) bool {
	if a == "" || b == "" {
		return true
	}
	return schema.FoldName(a) != schema.FoldName(b) && strings.Join(nameWords(a), "") == strings.Join(nameWords(b), "")
}

// levelOfWords in the name of a mark say which height of a thing is meant (common
// practice, no source).
var levelOfWords = setOf("top bottom foot base cap head lid cover invert sill crest rim step tread floor threshold lower upper oben unten oberkante unterkante ok uk kopf fuss fuß sohle deckel schwelle stufe haut bas pied tête seuil radier cima pie cabeza umbral boven onder voet kop drempel alto basso piede testa soglia topp fot tröskel huippu")

// saysLevelOf reports whether a mark is called after the top or the foot of a thing.
func saysLevelOf(name string) bool {
	return slices.ContainsFunc(letterWords(name), func(w string) bool { return levelOfWords[w] })
}

// marksBeside tells of marks at one place whose heights differ, and of those that lie so near to one another, and farther apart than
// two measurements of one do, that whoever measures one again takes the other.
func (r *run) marksBeside(marks []*Feature) {
	if len(marks) > mostMarksPaired {
		marks = marks[:mostMarksPaired]
	}
	told := 0
	for i, a := range marks {
		for _, b := range marks[i+1:] {
			if len(a.Points) != 1 || len(b.Points) != 1 || told >= mostFindings {
				continue
			}
			p, q := &a.Points[0], &b.Points[0]
			d, least := distance(p.Ground, q.Ground), math.Min(r.of(a).SurveySigmaM, r.of(b).SurveySigmaM)
			if up := math.Abs(p.Height - q.Height); d <= least+slackM && up > 2*least+1e-9 && !r.clamped(a) && !r.clamped(b) && !saysLevelOf(a.Name) && !saysLevelOf(b.Name) {
				told++
				x := r.finding(r.placeRead(b, q.Read, q.Ground), b, a)
				x.Severity = Warning
				x.Measured, x.Limit, x.Unit = up, 2*least, "m"
				x.Message = fmt.Sprintf("lies where %s does, and its height is %s off that one's: one of the two is wrong; measure the height again, or say in their names what is at the top and what at the foot", a.describe(), metresPast(up, 2*least))
				continue
			}
			if d <= least+slackM || d >= oneMarkM-slackM || !sameMark(a.Name, b.Name) {
				continue
			}
			told++
			x := r.finding(r.placeRead(b, q.Read, q.Ground), b, a)
			x.Severity = Note
			x.Measured, x.Limit, x.Unit = d, oneMarkM, "m"
			x.Trace = r.trace(p.Ground, q.Ground)
			x.Message = fmt.Sprintf("lies %s from %s, and nobody sets two marks so near: it is the other, measured again, and whoever measures it again takes one for the other; measure it once more, and take the wrong one out", metresPast(d, oneMarkM), a.describe())
		}
	}
}

// marksTwice tells of marks that were measured twice and lie farther apart than two
// measurements within the limit may; where all of them do alike, the base moved.
func (r *run) marksTwice() {
	marks := r.usableOf(schema.RoleMark)
	if len(marks) < 2 {
		return
	}
	r.marksBeside(marks)
	r.marksSeries(marks)
	first := make(map[string]*Feature, len(marks))
	type pair struct {
		a, b        *Feature
		east, north float64
	}
	var pairs []pair
	for _, m := range marks {
		if len(m.Points) == 0 || m.Name == "" {
			continue
		}
		name := markStems.get(m.Name)
		old := first[name.stem]
		if old == nil {
			first[name.stem] = m
			continue
		}
		if !name.again && !markStems.get(old.Name).again || old.Name == m.Name { // two of one name are name-repeated's
			continue
		}
		p, q := &old.Points[0], &m.Points[0]
		east, north := q.Ground[0]-p.Ground[0], q.Ground[1]-p.Ground[1]
		up := q.Height - p.Height
		off := math.Hypot(east, north)
		limit := 2 * r.of(m).SurveySigmaM
		if off > againM || (name.short || markStems.get(old.Name).short) && off > seriesM+slackM || off <= limit+1e-9 && !(math.Abs(up) > limit+1e-9) {
			continue
		}
		pairs = append(pairs, pair{old, m, east, north})
		if len(pairs) > mostFindings {
			continue
		}
		x := r.finding(r.placeRead(m, q.Read, q.Ground), m, old)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = off, limit, "m"
		x.Trace = r.trace(p.Ground, q.Ground)
		where := metresPast(off, limit)
		if off <= limit {
			x.Measured = math.Abs(up)
			where = metresPast(math.Abs(up), limit) + " in height"
		}
		x.Message = fmt.Sprintf("is by its name %s measured again, and lies %s from it: one of the two is wrong, or the base was moved between them; measure it once more, and take the wrong one out", quote(old.Name), where)
	}
	if len(pairs) < 3 {
		return
	}
	var east, north float64
	for _, p := range pairs {
		east, north = east+p.east/float64(len(pairs)), north+p.north/float64(len(pairs))
	}
	limit := 2 * r.limits.SurveySigmaM
	for _, p := range pairs {
		if math.Hypot(p.east-east, p.north-north) > limit {
			return
		}
	}
	x := r.finding(nil)
	x.Severity = Error
	x.Measured, x.Limit, x.Unit = math.Hypot(east, north), limit, "m"
	x.Message = fmt.Sprintf("%d marks that were measured again lie %s off, all by the same: the base, or what the plan was drawn on, has moved between the two, and all lines with it; find out which of the two the machine stands in", len(pairs), metresPast(math.Hypot(east, north), limit))
}

// seriesM is how far apart, in metres, two marks lie at the most that are one of two
// surveys, and seriesClear how many times as far the next one lies at the least (common
// practice, no source).
const seriesM, seriesClear = 1.5, 3.0

// marksSeries warns of marks that stand two by two, three pairs or more, whatever they
// are called, each pair apart by the same step: the second survey of all of them. Those
// whose names say that are told one by one.
func (r *run) marksSeries(marks []*Feature) {
	if len(marks) < 2*leastSteps || len(marks) > mostMarksPaired {
		return
	}
	limit := 2 * r.limits.SurveySigmaM
	var steps []orb.Point
	var rises []float64
	var of []*Feature
	for i, a := range marks {
		k := onlyBeside(marks, i)
		if k <= i || onlyBeside(marks, k) != i || markStems.get(a.Name).stem == markStems.get(marks[k].Name).stem {
			continue
		}
		p, q := &a.Points[0], &marks[k].Points[0]
		up := q.Height - p.Height
		if math.IsNaN(up) {
			up = 0
		}
		steps = append(steps, orb.Point{q.Ground[0] - p.Ground[0], q.Ground[1] - p.Ground[1]})
		rises = append(rises, up)
		of = append(of, marks[k])
	}
	if len(steps) < leastSteps {
		return
	}
	mean, ok := sameStep(steps, limit)
	rise := 0.0
	for _, up := range rises {
		rise += up / float64(len(rises))
	}
	for _, up := range rises {
		ok = ok && math.Abs(up-rise) <= limit+slackM
	}
	off := math.Hypot(mean[0], mean[1])
	if !ok || off <= limit+slackM && math.Abs(rise) <= limit+slackM {
		return
	}
	x := r.finding(nil, of...)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = math.Max(off, math.Abs(rise)), limit, "m"
	x.Message = fmt.Sprintf("%d marks stand each beside another, all by the same step of %s east, %s north and %s up: that is one survey and a second of the same marks, and the base or the frame of one of the two is off, with all that was measured then; measure the marks once more, run drift with them, and take the wrong ones out", len(steps), metres(mean[0]), metres(mean[1]), metres(rise))
}

// onlyBeside is the index of the mark within seriesM of another, -1 where there is none,
// and where a third stands within seriesClear times as far, or one lies at several
// points.
func onlyBeside(marks []*Feature, i int) int {
	best, least, next := -1, math.Inf(1), math.Inf(1)
	if len(marks[i].Points) != 1 {
		return -1
	}
	for k, m := range marks {
		if k == i || len(m.Points) != 1 {
			continue
		}
		switch d := distance(marks[i].Points[0].Ground, m.Points[0].Ground); {
		case d < least:
			best, least, next = k, d, least
		case d < next:
			next = d
		}
	}
	if least > seriesM+slackM || next < seriesClear*least {
		return -1
	}
	return best
}
