// What points of a GPX file and a recorded placement say of how they were got,
// for survey-quality.

package validate

import (
	"fmt"
	"math"

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

// placementQuality judges the record of how the plan was placed on marks.
func (r *run) placementQuality() {
	placed := r.Plan.Attributes.Get(schema.PlanPlacement).Fields()
	if len(placed) == 0 {
		return
	}
	limit := r.limits.ResidualM
	tell := func(measured, limit float64, unit, format string, args ...any) {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = measured, limit, unit
		x.Message = "the plan was placed on marks " + fmt.Sprintf(format, args...)
	}
	if rms, ok := placed.Get("rms_m").Float(); ok && !(rms <= limit) {
		tell(rms, limit, "m", "whose residuals have a root mean square of %s; the limit is %s", metresPast(rms, limit), metres(limit))
	}
	if scale, ok := placed.Get("scale").Float(); ok && !(math.Abs(scale-1) <= mostPlacedScale) {
		tell(scale, math.NaN(), "ratio", "with a scale of %s: feet for metres, or a wrong mark?", trim(scale, 6))
	}
	for _, m := range placed.Get("marks").Items() {
		mark := m.Fields()
		name := quote(mark.Get("name").Text())
		if off, ok := mark.Get("residual_m").Float(); ok && !(math.Abs(off) <= limit) {
			tell(math.Abs(off), limit, "m", "of which %s has a residual of %s; the limit is %s", name, metresPast(math.Abs(off), limit), metres(limit))
		} else if mark.Get("suspect").Text() == "true" {
			tell(math.NaN(), math.NaN(), "", "of which %s is said to be suspect", name)
		}
	}
}
