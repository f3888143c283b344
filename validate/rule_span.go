// Rule on things that lie nowhere near the rest: feature-far-away.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/schema"
)

var spanRules = []Rule{{
	Name: RuleFeatureFarAway, Severity: Error, Limits: []string{"site_span_m"}, run: checkFeatureFarAway,
	Page: Page{
		What: "The distance of the farthest point of every active feature from the middle of the site, straight through the earth as a receiver measures it, so that it holds at any distance. " +
			"The middle is the mean of the points of zones, corridors and docks that lie within the limit of their medians, so that a few strays do not move it. A millimetre is rounding. " +
			"A warning: a straight side of a line or an outline that is longer than the limit, though both its ends lie within it of the middle.",
		Why:    "A slip in one digit puts a keep-out into the next county. It guards nothing there, and no rule on the ground can see it.",
		Source: sourcePractice,
		Fails:  "a keep-out 25 km from the lawns, limit 3000 m",
		Passes: "the same keep-out on the lawn",
		Mend:   "correct the point, or take the feature out; a site that is wider than the limit is better cut in two",
	},
}}

func checkFeatureFarAway(r *run) {
	if r.Frame == FrameNone && r.Plan.CRS == nil || r.Plan.CRS != nil && r.Plan.CRS.Kind() == crs.KindGeocentric {
		r.onGround()
		return
	}
	limit := r.limits.SiteSpanM
	if r.Frame != FrameNone && r.withinSpan(limit) {
		return
	}
	from, ok := r.fromMiddle()
	if !ok {
		r.cannot("no feature has usable coordinates")
		return
	}
	for _, f := range r.Features {
		if f.Invalid != "" {
			r.cannot("%s has invalid coordinates", f.describe())
			continue
		}
		limit := r.of(f).SiteSpanM
		most := -1.0
		var read, ground orb.Point
		f.vertices(func(p, q orb.Point) {
			if d := from(p); d > most {
				most, read, ground = d, p, q
			}
		})
		if most <= limit+slackM {
			r.longSide(f, limit)
			continue
		}
		x := r.finding(r.placeRead(f, read, ground), f)
		x.Measured, x.Limit, x.Unit = most, limit, "m"
		x.Message = fmt.Sprintf("reaches %s from the middle of the site; the limit is %s", metresPast(most, limit), metres(limit))
	}
}

// longSide warns of the longest straight side of a feature that is longer than
// the limit: it runs past the site on both sides, where a vertex may be missing
// or lie on the wrong side.
func (r *run) longSide(f *Feature, limit float64) {
	if r.Frame == FrameNone || !f.usable() || distance(f.bound.Min, f.bound.Max) <= limit {
		return
	}
	most := 0.0
	var from, to orb.Point
	for _, l := range f.lines() {
		for i := 1; i < len(l); i++ {
			if d := distance(l[i-1], l[i]); d > most {
				most, from, to = d, l[i-1], l[i]
			}
		}
	}
	if most <= limit+slackM {
		return
	}
	x := r.finding(r.Place(from), f)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = most, limit, "m"
	x.Trace = r.trace(from, to)
	x.Message = fmt.Sprintf("has a straight side of %s, longer than the %s that anything may lie from the middle of the site: is a point missing or wrong?", metresPast(most, limit), metres(limit))
}

// withinSpan reports, quickly, that no two vertices lie farther apart than the
// limit and no feature has a limit of its own.
func (r *run) withinSpan(limit float64) bool {
	box := emptyBox()
	for _, f := range r.Features {
		if !f.usable() {
			return false
		}
		box = box.Union(f.bound)
	}
	return len(r.own) == 0 && math.Hypot(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]) <= limit
}

// fromMiddle returns what measures how far a vertex as read lies from the
// middle of the site, in metres.
func (r *run) fromMiddle() (from func(read orb.Point) float64, ok bool) {
	var flat []float64
	collect := func(driven bool) {
		for _, f := range r.Features {
			if f.Invalid == "" && (!driven || isDriven(f.Role)) {
				flat = f.appendVertices(flat)
			}
		}
	}
	if collect(true); len(flat) == 0 {
		collect(false)
	}
	if len(flat) == 0 {
		return nil, false
	}
	c := r.Plan.CRS
	if c == nil {
		m := middleOf(flat, func(p, q orb.Point) float64 { return distance(p, q) }, r.limits.SiteSpanM)
		return func(p orb.Point) float64 { return distance(p, m) }, true
	}
	if c.ToGeodetic(flat, 2) != nil {
		return nil, false
	}
	for i := 2; i < len(flat); i += 2 { // no jump at the 180th meridian
		flat[i] = flat[0] + math.Remainder(flat[i]-flat[0], 360)
	}
	a, f := ellipsoidOf(c)
	m := middleOf(flat, func(p, q orb.Point) float64 {
		t := newTangent(a, f, p[0], p[1], r.H)
		return t.chord(q[0], q[1])
	}, r.limits.SiteSpanM)
	t := newTangent(a, f, m[0], m[1], r.H)
	one := make([]float64, 2)
	return func(p orb.Point) float64 {
		one[0], one[1] = p[0], p[1]
		if c.ToGeodetic(one, 2) != nil {
			return math.Inf(1)
		}
		return t.chord(one[0], one[1])
	}, true
}

// appendVertices adds the feature's vertices as read, those that close a ring
// left away.
func (f *Feature) appendVertices(flat []float64) []float64 {
	for i := range f.Areas {
		for _, ring := range f.Areas[i].Read {
			n := len(ring)
			if n > 1 && ring[0] == ring[n-1] {
				n--
			}
			for _, p := range ring[:n] {
				flat = append(flat, p[0], p[1])
			}
		}
	}
	for i := range f.Lines {
		for _, p := range f.Lines[i].Read {
			flat = append(flat, p[0], p[1])
		}
	}
	for i := range f.Points {
		flat = append(flat, f.Points[i].Read[0], f.Points[i].Read[1])
	}
	return flat
}

// middleOf is the mean of the points that lie within the span of their medians:
// strays do not move it, and it does not depend on how the axes lie.
func middleOf(flat []float64, far func(p, q orb.Point) float64, span float64) orb.Point {
	m := medians(flat)
	var sum orb.Point
	n := 0.0
	for i := 0; i < len(flat); i += 2 {
		if p := (orb.Point{flat[i], flat[i+1]}); far(m, p) <= span {
			sum[0], sum[1] = sum[0]+(p[0]-m[0]), sum[1]+(p[1]-m[1])
			n++
		}
	}
	if n == 0 {
		return m
	}
	return orb.Point{m[0] + sum[0]/n, m[1] + sum[1]/n}
}

// medians are those of the two coordinates of points, each for itself.
func medians(flat []float64) orb.Point {
	var out orb.Point
	values := make([]float64, 0, len(flat)/2)
	for axis := range out {
		values = values[:0]
		for i := axis; i < len(flat); i += 2 {
			values = append(values, flat[i])
		}
		slices.Sort(values)
		out[axis] = values[(len(values)-1)/2]
	}
	return out
}

// inactiveOf counts the features of a role that are switched off.
func (r *run) inactiveOf(role schema.Role) int {
	n := 0
	for _, f := range r.Inactive {
		if f.Role == role {
			n++
		}
	}
	return n
}
