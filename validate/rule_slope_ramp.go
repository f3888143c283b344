// Ramps that say nothing of their rise, by the kerb or drop that they lead over:
// part of the rule slope-limit.

package validate

import (
	"fmt"

	"swardline/schema"
)

// ledgeUnder is the kerb or drop that a ramp lies on, and how high that says it
// is, 0 for nothing; of several the highest. nil for none.
func (r *run) ledgeUnder(f *Feature) (ledge *Feature, rise float64) {
	for i := range r.openings() {
		o := &r.openingSet[i]
		if o.f != f || o.long {
			continue
		}
		for _, e := range r.Of(schema.RoleEdge) {
			if !e.usable() || !opens(o.kind, edgeKind(e)) || !e.bound.Pad(o.reach).Intersects(segmentBox(o.a, o.b)) || e.middleOff(o) > o.reach+slackM {
				continue
			}
			if h, _ := e.Float(schema.PropHeightM); ledge == nil || h > rise {
				ledge, rise = e, max(h, 0)
			}
		}
	}
	return ledge, rise
}

// rampOver judges a ramp that tells neither its rise nor its slope by the height
// of the kerb or drop under it.
func (r *run) rampOver(f, ledge *Feature, rise float64, along bool) {
	limit, may := r.of(f).SlopeMaxPercent, r.of(f).StepMaxM
	length := 0.0
	for _, key := range [...]string{"length_m", "run_m"} {
		if v, ok := f.Float(key); ok && v > 0 {
			length = v
		}
	}
	if length == 0 && along {
		length = openingLength(f)
	}
	switch {
	case rise <= may+1e-9: // a kerb as kerbs are, or nobody says
	case length == 0:
		r.cannot("%s leads over %s of %s and says neither how long nor how steep it is: give it slope_percent, length_m, or heights along it", f.describe(), ledge.describe(), metres(rise))
	case 100*rise/length > limit+1e-9:
		x := r.finding(r.middle(f), f, ledge)
		x.Measured, x.Limit, x.Unit = 100*rise/length, limit, "%"
		x.Message = fmt.Sprintf("leads over %s of %s within %s, which is %s %%; the limit is %s %%", ledge.describe(), metres(rise), metres(length), percentPast(100*rise/length, limit), trim(limit, 1))
	}
}
