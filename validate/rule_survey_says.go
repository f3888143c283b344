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

// Attributes that a GPX file's points have by their elements' names.
const (
	keyPointFix  = "point_fix"
	keyPointHDOP = "point_hdop"
	keyHDOP      = "hdop"
)

// pointQuality adds what the points say. The kinds of fix are GPX 1.1's
// fixType: none, 2d, 3d, dgps, pps; none of them says fixed ambiguities, so only
// the three that rule them out are told.
func (q *surveyed) pointQuality(f *Feature) {
	walkValues(f.Attributes.Get(keyPointFix), func(v schema.Value) {
		switch word := schema.FoldName(v.Text()); word {
		case "none", "2d", "3d":
			q.said = true
			if q.poor == "" {
				q.poor = v.Text()
			}
		}
	})
	for _, key := range [...]string{keyPointHDOP, keyHDOP} {
		walkValues(f.Attributes.Get(key), func(v schema.Value) {
			if d, ok := v.Float(); ok && !math.IsInf(d, 0) {
				q.hdop = math.Max(q.hdop, d)
			}
		})
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
