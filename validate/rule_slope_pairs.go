// Survey marks against one another, of slope-limit: their heights are those of the
// ground.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayPairs is what the page of the rule says of this.
const sayPairs = "" +
	"Two marks in or at a lawn, 1 to 5 m apart with only that between and no wall, are a note where the one lies higher than slope_max_percent leads by more than 0.03 m; of marks that are called after a post, a wall or a roof that is not asked. " +
	"So is one such mark, or a point of a contour, and the place of the outline nearest to it, 1 to 5 m off, past step_max_m; and one and the rim of a keep-out that lies so much lower. "

// markNoiseM is by how much in metres two heights of marks, each measured for several
// seconds, may differ on level ground (common practice, no source).
const markNoiseM = 0.03

// markPair are two marks of one lawn.
type markPair struct {
	a, b        *Feature
	from, to    raised
	past, limit float64
}

// markPairs notes, of each lawn, the two marks between which it is steepest past the
// limit.
func (r *run) markPairs(zones *solids, outlines []*raisedSides) {
	low, high := math.Inf(1), math.Inf(-1)
	tells := func(f *Feature) bool {
		return f.hasHeights && f.usable() && f.saysPlace() && !r.clamped(f) && !saysRaised(f)
	}
	for _, f := range r.Of(schema.RoleMark) {
		if l, h := f.heightRange(); h >= l {
			low, high = min(low, l), max(high, h)
		}
	}
	even := !(high-low > markNoiseM)
	keepouts := r.keepouts()
	for _, k := range keepouts.features {
		if l, _ := k.heightRange(); high-l > markNoiseM {
			even = false
		}
	}
	for i, o := range outlines {
		even = even && !o.mayStep(low, high, min(stepRiseM, r.of(zones.features[i]).StepMaxM))
	}
	r.contoursAtOutlines(zones, outlines)
	if even {
		return
	}
	var of []*Feature
	var at []raised
	var boxes []orb.Bound
	for _, f := range r.Of(schema.RoleMark) {
		if !f.hasHeights || !tells(f) {
			continue
		}
		for i := range f.Points {
			if v := &f.Points[i]; v.Height == v.Height {
				of, at, boxes = append(of, f), append(at, raised{read: v.Read, ground: v.Ground, h: v.Height}), append(boxes, v.Ground.Bound())
			}
		}
	}
	for i := range at {
		r.markAtOutline(zones, outlines, of[i], at[i])
		r.markAtRims(zones, of[i], at[i])
	}
	if len(at) < 2 {
		return
	}
	tree := plane.NewBoxes(boxes)
	var found []int
	worst := make([]markPair, zones.len())
	for i := range at {
		found = tree.Search(boxes[i].Pad(stepReachM), found[:0])
		for _, k := range found {
			if k > i && of[k] != of[i] {
				r.markPair(zones, worst, markPair{a: of[i], b: of[k], from: at[i], to: at[k]})
			}
		}
	}
	for i := range worst {
		if x := &worst[i]; x.a != nil && !r.toldOf(x.a, x.b) {
			r.tellMarkPair(x, zones.features[i])
		}
	}
}

// contoursAtOutlines holds the points of contours to the outlines of the lawns that they
// lie in.
func (r *run) contoursAtOutlines(zones *solids, outlines []*raisedSides) {
	for _, f := range r.Of(schema.RoleOther) {
		if len(f.Lines) == 0 || !f.hasHeights || !f.usable() {
			continue
		}
		uneven := false
		for _, z := range zones.near(f.bound) {
			uneven = uneven || outlines[z].mayStep(f.raisedLow, f.raisedHigh, min(stepRiseM, r.stepMay(f, zones.features[z])))
		}
		if uneven && isContour(f) && !r.clamped(f) {
			f.raised(func(p raised) { r.markAtOutline(zones, outlines, f, p) })
		}
	}
}

// markAtOutline notes a mark in a lawn that lies higher or lower than its outline near
// by, steeper than the limit.
func (r *run) markAtOutline(zones *solids, outlines []*raisedSides, f *Feature, p raised) {
	for _, z := range zones.near(p.ground.Bound()) {
		o := outlines[z]
		least := min(stepRiseM, r.stepMay(f, zones.features[z]))
		if len(o.sides) == 0 || o.steep || !o.mayStep(p.h, p.h, least) || len(r.findings) >= mostFindings {
			continue
		}
		k, d := o.nearest(p.ground)
		x := markPair{a: f, b: zones.features[z], from: p, limit: r.slopeOf(f, zones.features[z])}
		if k < 0 || d < stepBaseM-slackM || d > stepReachM+slackM {
			continue
		}
		x.to = heightOn(&o.sides[k], p.ground)
		if math.Abs(p.h-x.to.h)-x.limit/100*d > least+1e-9 && zones.locator(z).Locate(p.ground) == plane.Inside && r.lawnBetween(zones, z, p.ground, x.to.ground) && !r.toldOf(f, f) {
			r.tellMarkPair(&x, zones.features[z])
		}
	}
}

// markAtRims notes a mark in a lawn that lies higher than the rim of a keep-out near by,
// steeper than the limit: beds are raised, what lies lower is not.
func (r *run) markAtRims(zones *solids, f *Feature, p raised) {
	keepouts := r.keepouts()
	for _, n := range keepouts.near(p.ground.Bound().Pad(stepReachM)) {
		k := keepouts.features[n]
		least := min(stepRiseM, r.stepMay(f, k))
		if l, h := k.heightRange(); !(h >= l) || !(p.h-l > least) || r.clamped(k) || r.toldOf(f, f) || len(r.findings) >= mostFindings {
			continue
		}
		rim := r.edgeHeights(k)
		if len(rim.sides) == 0 {
			continue
		}
		at, d := rim.nearest(p.ground)
		x := markPair{a: f, b: k, from: p, limit: r.slopeOf(f, k)}
		if at < 0 || d < stepBaseM-slackM || d > stepReachM+slackM {
			continue
		}
		if x.to = heightOn(&rim.sides[at], p.ground); !(p.h-x.to.h-x.limit/100*d > least+1e-9) {
			continue
		}
		t := 1 - 10*slackM/d // the rim itself is neither in nor out
		before := orb.Point{p.ground[0] + t*(x.to.ground[0]-p.ground[0]), p.ground[1] + t*(x.to.ground[1]-p.ground[1])}
		for _, z := range zones.near(p.ground.Bound()) {
			if zones.locator(z).Locate(p.ground) == plane.Inside && r.lawnBetween(zones, z, p.ground, before) {
				r.tellMarkPair(&x, zones.features[z])
				break
			}
		}
	}
}

// markPair keeps two marks where they are the worst of a lawn.
func (r *run) markPair(zones *solids, worst []markPair, x markPair) {
	d, rise := distance(x.from.ground, x.to.ground), math.Abs(x.from.h-x.to.h)
	if d < stepBaseM-slackM || d > stepReachM+slackM || !(rise > markNoiseM) {
		return
	}
	for _, z := range zones.near(segmentBox(x.from.ground, x.to.ground)) {
		x.limit = min(r.slopeOf(x.a, x.b), r.of(zones.features[z]).SlopeMaxPercent)
		x.past = rise - x.limit/100*d
		if x.past > max(markNoiseM+1e-9, worst[z].past) && r.lawnBetween(zones, z, x.from.ground, x.to.ground) {
			worst[z] = x
		}
	}
}

// lawnBetween reports whether the straight way between two places lies in or at a lawn
// all along, with no keep-out and no wall on it.
func (r *run) lawnBetween(zones *solids, z int, a, b orb.Point) bool {
	const pieces = 10
	for i := 0; i <= pieces; i++ {
		t := float64(i) / pieces
		p := orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
		if !r.nearMown(zones, z, p, 10*slackM) || r.keptOut(p, nil) {
			return false
		}
	}
	box := segmentBox(a, b)
	return !r.stepWalls().about(box, box, stepRiseM+slackM).hold(a, b)
}

func (r *run) tellMarkPair(m *markPair, z *Feature) {
	d, rise := distance(m.from.ground, m.to.ground), math.Abs(m.from.h-m.to.h)
	features, with := []*Feature{m.a, m.b, z}, m.b.describe()+" in "+z.describe()
	if m.b.Role == schema.RoleKeepout {
		with = "the rim of " + with
	}
	if m.b == z {
		features, with = features[:2], "the outline of "+z.describe()
	}
	x := r.finding(r.placeRead(m.a, m.from.read, m.from.ground), features...)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = 100*rise/d, m.limit, "%"
	x.Trace = r.trace(m.from.ground, m.to.ground)
	x.Message = fmt.Sprintf("%s and %s lie %s apart and differ by %s, %s %%; the limit is %s %%: the ground is as steep as that there, or one of them stands on something; look there, and take the bank out of the zone, name what the mark stands on, or correct the heights",
		m.a.describe(), with, metres(d), metres(rise), percentPast(100*rise/d, m.limit), trim(m.limit, 1))
}
