// What ramps say of their rise and length, by the kerb or drop that they lead
// over and the ways over them: part of the rule slope-limit.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// sayRamps is what the page of the rule says of this.
const sayRamps = "" +
	"A ramp past step_max_m whose own words cannot be true is a warning: that rises less than what it leads over by more than that (unless it leads over two, as a bridge does), that would be longer by its length_m, or by its slope and rise, than the longest way over it, or whose rise over its line drawn along the way, and 0.6 m, is past the limit. One in mown ground under no way is held to the outline's heights as a flush edge is. " + sayStairs

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

// rampLimits are the slope in percent and the step in metres that a ramp may have: those
// of the corridors that lead over it where they are less than its own, and in the way into
// a dock what that may.
func (r *run) rampLimits(f *Feature) (limit, may float64) {
	limit, may = r.of(f).SlopeMaxPercent, r.of(f).StepMaxM
	for i := range r.corridors() {
		c := &r.corridorList[i]
		if over, _ := leadOver([]orb.LineString{c.pts}, f); over {
			limit, may = math.Min(limit, r.of(c.f).SlopeMaxPercent), math.Min(may, r.of(c.f).StepMaxM)
		}
	}
	for _, d := range r.docks() {
		if math.IsNaN(d.heading) {
			continue
		}
		if over, _ := leadOver([]orb.LineString{{d.lineup, d.at}}, f); over {
			limit, may = math.Min(limit, r.of(d.f).DockSlopeMaxPercent), math.Min(may, dockStepM)
		}
	}
	return limit, may
}

// rampSaysSteep is saysSteep of a ramp for the limits of what leads over it: what rises by
// no more than may, by its own word, is none of the slope.
func (r *run) rampSaysSteep(f *Feature, says *rampWords, limit, may float64) {
	if !(limit < r.of(f).SlopeMaxPercent) {
		r.saysSteep(f)
		return
	}
	rise := says.rise
	if says.length > 0 {
		rise = math.Max(rise, says.slope/100*says.length)
	}
	if rise > 0 && rise <= may+1e-9 && says.slope <= r.of(f).SlopeMaxPercent {
		return
	}
	r.saysSteeper(f, limit)
}

// rampOver judges a ramp that tells neither its rise nor its slope by the height
// of the kerb or drop under it.
func (r *run) rampOver(f, ledge *Feature, rise float64, along bool) {
	limit, may := r.rampLimits(f)
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

// rampWords are what a ramp says of itself, in metres and percent, and under
// which names; 0 and "" for what it does not say.
type rampWords struct {
	slope, rise, length          float64
	slopeKey, riseKey, lengthKey string
}

// nothing reports whether the ramp says neither its slope nor its rise.
func (w *rampWords) nothing() bool { return w.slopeKey == "" && w.riseKey == "" }

// bare reports whether it tells its rise alone.
func (w *rampWords) bare() bool { return w.riseKey != "" && w.slopeKey == "" && w.lengthKey == "" }

func (r *run) rampSays(f *Feature) (out rampWords) {
	if own := slopeSaid(f); own.key != "" {
		out.slope, out.slopeKey = own.percent, own.key
	}
	for _, key := range [...]string{"rise_m", schema.PropHeightM} {
		if rise, ok := f.Float(key); ok && math.Abs(rise) > out.rise {
			out.rise, out.riseKey = math.Abs(rise), key
		}
	}
	for _, key := range [...]string{"length_m", "run_m"} {
		if length, ok := f.Float(key); ok && length > 0 && (out.length == 0 || length < out.length) {
			out.length, out.lengthKey = length, key
		}
	}
	return out
}

// rampBelied tells a ramp whose own words cannot be true: that rises less than
// what it leads over, or would be longer than the way over it or than it is drawn.
func (r *run) rampBelied(f *Feature, says *rampWords, ledge *Feature, under float64, ways, along bool) {
	limit, may := r.of(f).SlopeMaxPercent, r.of(f).StepMaxM
	rise := math.Max(says.rise, under)
	if rise <= may+1e-9 {
		return // as a kerb is
	}
	over := ""
	if ledge != nil {
		over = fmt.Sprintf("leads over %s of %s", ledge.describe(), metres(under))
	}
	tell := func(measured, most float64, unit, format string, a ...any) {
		features := []*Feature{f}
		if ledge != nil {
			features = append(features, ledge)
		}
		x := r.finding(r.middle(f), features...)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = measured, most, unit
		x.Message = fmt.Sprintf(format, a...)
	}
	if risen, by, known := r.rampRises(f, says, along); known && under > risen+may+1e-9 && !r.ledgesTwice(f) {
		tell(under, risen+may, "m", "%s, but rises %s by its %s: one of the two is wrong, so measure both and say how long it is in length_m", over, metresPast(risen, under-may), by)
		return
	}
	run, by := says.length, says.lengthKey
	if says.slopeKey != "" && says.slope > 0 && 100*rise/says.slope > run {
		run, by = 100*rise/says.slope, says.slopeKey
	}
	if run == 0 {
		return
	}
	if most := r.wayOver(f); ways && run > most+slackM {
		tell(run, most, "m", "would be %s long by its %s to rise %s, and the longest way over it has %s: measure how long and how high it is", metresPast(run, most), by, metres(rise), metres(most))
		return
	}
	// Drawn along the way it is no longer than its line.
	if drawn := openingLength(f) + 2*crossingM; along && says.length > drawn+slackM && !r.liesAlong(f, ledge) && 100*rise/drawn > limit+1e-9 {
		tell(100*rise/drawn, limit, "%", "rises %s and says that it is %s long, but is drawn %s long, which is %s %%; the limit is %s %%", metres(rise), metres(says.length), metres(openingLength(f)), percentPast(100*rise/drawn, limit), trim(limit, 1))
	}
}

// rampRises is the most in metres that a ramp rises by its own words, or by its
// heights where its line is drawn along the way.
func (r *run) rampRises(f *Feature, says *rampWords, along bool) (rise float64, by string, known bool) {
	if says.riseKey != "" {
		rise, by, known = says.rise, says.riseKey, true
	}
	switch {
	case says.slopeKey == "":
	case says.slope == 0:
		if !known {
			by, known = says.slopeKey, true
		}
	case says.length > 0:
		if v := says.slope / 100 * says.length; !known || v > rise {
			rise, by, known = v, says.slopeKey+" and "+says.lengthKey, true
		}
	}
	if !along || r.clamped(f) {
		return rise, by, known
	}
	for _, l := range f.Lines {
		low, high := math.Inf(1), math.Inf(-1)
		for _, h := range l.Heights {
			low, high = math.Min(low, h), math.Max(high, h)
		}
		if up := high - low; len(l.Heights) > 1 && up >= 0 && (!known || up > rise) {
			rise, by, known = up, "heights", true
		}
	}
	return rise, by, known
}

// ledgesTwice reports whether a ramp lies over more than one kerb or drop, up one
// and down the other as a bridge does.
func (r *run) ledgesTwice(f *Feature) bool {
	var ledges []orb.LineString
	for _, e := range r.Of(schema.RoleEdge) {
		if e.usable() && opens(schema.EdgeRamp, edgeKind(e)) && e.bound.Pad(crossingM).Intersects(f.bound) {
			ledges = append(ledges, e.lines()...)
		}
	}
	var at []orb.Point
	for i := range r.openingSet {
		if o := &r.openingSet[i]; o.f == f {
			at = append(at, goesOver(ledges, o.area(0), r.allWays())...)
		}
	}
	for _, p := range at {
		for _, q := range at {
			if distance(p, q) > crossingM {
				return true
			}
		}
	}
	return false
}

// wayOver is the length in metres of the longest way that leads over a ramp: a
// corridor with the way into the dock that it serves.
func (r *run) wayOver(f *Feature) float64 {
	most := 0.0
	var on orb.MultiPolygon
	for _, l := range f.lines() {
		for i := 1; i < len(l); i++ {
			if l[i-1] != l[i] {
				o := opening{a: l[i-1], b: l[i]}
				on = append(on, o.area(0))
			}
		}
	}
	led := func(way orb.LineString) bool {
		return boundOf(way).Pad(crossingM).Intersects(f.bound) && len(clipInside(way, on)) > 0
	}
	for i := range r.corridors() {
		c := &r.corridorList[i]
		length, over := groundLength(c.pts), led(c.pts)
		for k := range c.ends {
			if d := c.ends[k].dock; d != nil {
				length += distance(d.at, c.pts[c.ends[k].v])
				over = over || led(orb.LineString{d.lineup, d.at})
			}
		}
		if over {
			most = math.Max(most, length)
		}
	}
	for _, d := range r.docks() {
		if way := (orb.LineString{d.lineup, d.at}); !math.IsNaN(d.heading) && led(way) {
			most = math.Max(most, groundLength(way))
		}
	}
	return most
}

// liesAlong reports whether both ends of a ramp's lines lie on the ledge that it
// leads over.
func (r *run) liesAlong(f, ledge *Feature) bool {
	if ledge == nil {
		return false
	}
	for _, p := range lineEnds(f) {
		if ledge.middleOff(&opening{a: p, b: p}) > crossingM {
			return false
		}
	}
	return true
}
