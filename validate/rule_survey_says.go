// What points of a GPX file and a recorded placement say of how they were got,
// for survey-quality.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

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
}

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
		case "hdop", "pdop", "vdop":
			eachNumber(a.Value, func(d float64) {
				if d > q.dop {
					q.dop, q.kind = d, map[byte]string{'h': "horizontal", 'p': "position", 'v': "vertical"}[key[0]]
				}
			})
		case "sat", "sats", "satellites":
			if key == "sat" && a.Key != "sat" && !points { // a day of the week
				continue
			}
			eachNumber(a.Value, func(n float64) {
				if n >= 0 && !(q.sats <= n) {
					q.sats = n
				}
			})
		case "ageofdgpsdata":
			eachNumber(a.Value, func(s float64) { q.age = math.Max(q.age, s) })
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

// eachNumber calls visit with the numbers of a value.
func eachNumber(v schema.Value, visit func(float64)) {
	walkValues(v, func(v schema.Value) {
		if d, ok := v.Float(); ok && !math.IsInf(d, 0) {
			visit(d)
		}
	})
}

// receiverFindings tells how the receiver stood.
func (r *run) receiverFindings(f *Feature, q *receiver, severity Severity) {
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
	if q.age > oldestCorrectionsS {
		x := r.finding(r.middle(f), f)
		x.Measured, x.Limit, x.Unit = q.age, oldestCorrectionsS, "s"
		x.Message = fmt.Sprintf("was measured with corrections %s s old; older than %d s they fix nothing: measure it again while the base sends", trim(q.age, 0), oldestCorrectionsS)
	}
}

// mostPlacedScale is how far from 1 the scale of a placement may be: grids
// stretch by a thousandth, paper by a few (common practice, no source).
const mostPlacedScale = 0.01

// Members of a recorded placement: those that place writes, and others whose
// numbers say nothing of how well it fits, folded and without their unit.
var (
	placementMembers = strings.Fields("model scale rotation_deg rms_m marks redundancy drawing_unit_m grid coefficients")
	placementPlain   = strings.Fields("rotation angle shift shifte shiftn tx ty tz dx dy dz translation origin epsg degreesoffreedom dof")
	eyeWords         = strings.Fields("eye eyeballed augenmaß augenmass œil ojo occhio oog øjemål øyemål ögonmått silmämääräisesti")
)

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
	length := func(of, key string, v schema.Value) (float64, bool) {
		d, ok := lengthSaid(key, v)
		if !ok && !isNull(v) {
			r.cannot("the %s of %s is %s, which is no length in metres", key, of, shown(v))
		}
		return d, ok
	}
	if rms, ok := length("the plan's placement", "rms_m", placed.Get("rms_m")); ok && !(rms <= limit) {
		tell(rms, limit, "m", "whose residuals have a root mean square of %s; the limit is %s", metresPast(rms, limit), metres(limit))
	}
	if scale, ok := placed.Get("scale").Float(); ok && !(math.Abs(scale-1) <= mostPlacedScale) {
		tell(scale, math.NaN(), "ratio", "with a scale of %s: feet for metres, or a wrong mark?", trim(scale, 6))
	}
	for _, m := range placed.Get("marks").Items() {
		mark := m.Fields()
		name := quote(mark.Get("name").Text())
		if off, ok := length("mark "+name, "residual_m", mark.Get("residual_m")); ok && !(math.Abs(off) <= limit) {
			tell(math.Abs(off), limit, "m", "of which %s has a residual of %s; the limit is %s", name, metresPast(math.Abs(off), limit), metres(limit))
		} else if mark.Get("suspect").Text() == "true" {
			tell(math.NaN(), math.NaN(), "", "of which %s is said to be suspect", name)
		}
	}
	for _, a := range placed {
		if slices.Contains(placementMembers, a.Key) {
			continue
		}
		byEye := saysTraced(a.Value) || slices.ContainsFunc(wordsOf(a.Value.Text()), func(w string) bool { return slices.Contains(eyeWords, w) })
		switch {
		case isPlain(a.Key) || slices.Contains(placementPlain, withoutUnit(a.Key)):
		case byEye:
			x := r.finding(nil)
			x.Message = fmt.Sprintf("the plan's placement says %s of %s: it was not placed on marks, and how well it lies is not known", shown(a.Value), quote(a.Key))
		case holdsNumber(a.Value):
			r.cannot("the member %s of the plan's placement is not read: say how well it fits as rms_m, and as residual_m of its marks, in metres", quote(a.Key))
		}
	}
	return true
}
