// Heights of lines in mown ground all along, of slope-limit: contours, the rims of
// keep-outs, flush edges and ways against one another and against outlines.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayLines is what the page of the rule says of this.
const sayLines = "" +
	"Lines drawn in mown ground, contours among them, and the rims and ways there, are so compared along their whole length, between their points and where they cross, with one another and with marks up to 15 m off, and lines with the outline as well: the worst of a zone is a warning. "

// mownLine is a line or a rim that may lie in mown ground, with its heights.
type mownLine struct {
	f         *Feature
	part      int // among its lines, -1 for all that the feature has
	bound     orb.Bound
	low, high float64
	sides     *raisedSides // made when first asked for
}

// lineWork bounds how many pairs of sides of lines are compared. lineBaseM is the
// least distance in metres that a rise between two of them is taken over.
const lineWork, lineBaseM = 2e7, 0.01

// mownLines are the lines and rims with heights.
func (r *run) mownLines() (out []mownLine) {
	for _, role := range [...]schema.Role{schema.RoleOther, schema.RoleKeepout, schema.RoleEdge, schema.RoleCorridor} {
		for _, f := range r.Of(role) {
			low, high := f.heightRange()
			if !(high >= low) || !f.usable() || role == schema.RoleEdge && edgeKind(f) != schema.EdgeFlush || r.clamped(f) {
				continue
			}
			if len(f.Lines) < 2 || len(f.Areas) > 0 {
				if len(f.Lines) > 0 || len(f.Areas) > 0 && hasRim(f) {
					out = append(out, mownLine{f: f, part: -1, bound: f.bound, low: low, high: high})
				}
				continue
			}
			for i := range f.Lines { // contours of several heights in one
				x := mownLine{f: f, part: i, bound: boundOf(f.Lines[i].Ground), low: math.Inf(1), high: math.Inf(-1)}
				for _, h := range f.Lines[i].Heights {
					if h == h {
						x.low, x.high = min(x.low, h), max(x.high, h)
					}
				}
				if x.high >= x.low {
					out = append(out, x)
				}
			}
		}
	}
	return out
}

// raised are the sides of the line.
func (x *mownLine) raised(r *run) *raisedSides {
	switch {
	case x.sides != nil:
	case x.part < 0:
		x.sides = r.edgeHeights(x.f)
	default:
		l := &x.f.Lines[x.part]
		x.sides = newRaisedSides(len(l.Ground))
		for v := 1; v < len(l.Ground); v++ {
			x.sides.add(&raised{read: l.Read[v-1], ground: l.Ground[v-1], h: l.Heights[v-1]}, &raised{read: l.Read[v], ground: l.Ground[v], h: l.Heights[v]})
		}
	}
	return x.sides
}

// lineLook is one look at the lines in mown ground.
type lineLook struct {
	r        *run
	zones    *solids
	outlines []*raisedSides
	worst    map[int]*lineStep // by zone
	work     int
	slope    float64 // the least limit in percent
}

// lineStep is the worst step found in a zone, between two features.
type lineStep struct {
	step
	a, b  *Feature
	pairs int
}

// onLines compares lines and rims in mown ground along their whole length with one
// another, with marks and with outlines. What stands alone others compare.
func (r *run) onLines(zones *solids, outlines []*raisedSides) {
	lines := r.mownLines()
	if len(lines) == 0 || zones.len() == 0 {
		return
	}
	w := lineLook{r: r, zones: zones, outlines: outlines, slope: r.limits.SlopeMaxPercent}
	for _, f := range r.Features {
		w.slope = min(w.slope, r.of(f).SlopeMaxPercent)
	}
	for i := range lines {
		w.againstOutlines(&lines[i])
	}
	if len(lines) > 1 {
		w.amongLines(lines)
	}
	w.againstSpots(lines)
	if w.work > lineWork {
		r.cannot("so many lines with heights lie close by one another in mown ground that not all were compared")
	}
	for i := range outlines {
		if x := w.worst[i]; x != nil {
			w.tell(x, zones.features[i])
		}
	}
}

// even reports whether no place of one is a step above any of the other.
func (w *lineLook) even(low, high float64, a orb.Bound, low2, high2 float64, b orb.Bound) bool {
	rise := max(high-low2, high2-low) - stepRiseM
	return !(rise > 0) || rise <= w.slope/100*boxGap(a, b)*(1-1e-9)
}

// amongLines compares every two lines.
func (w *lineLook) amongLines(lines []mownLine) {
	boxes := make([]orb.Bound, len(lines))
	for i := range lines {
		boxes[i] = lines[i].bound
	}
	tree := plane.NewBoxes(boxes)
	var found []int
	for i := range lines {
		a := &lines[i]
		found = tree.Search(a.bound.Pad(fallReachM), found[:0])
		for _, k := range found {
			b := &lines[k]
			if k <= i || a.f.Role == schema.RoleCorridor && b.f.Role == schema.RoleCorridor || w.even(a.low, a.high, a.bound, b.low, b.high, b.bound) {
				continue
			}
			for _, z := range w.zones.near(a.bound.Union(b.bound)) {
				if w.inReach(z, a) && w.inReach(z, b) && w.spare(len(a.raised(w.r).sides)*len(b.raised(w.r).sides)) {
					w.compare(z, a.f, b.f, a.raised(w.r), b.raised(w.r))
				}
			}
		}
	}
}

// inReach reports whether a line may lie in mown ground of the z-th zone.
func (w *lineLook) inReach(z int, a *mownLine) bool {
	return !w.outlines[z].steep && w.zones.bounds[z].Pad(slackM).Intersects(a.bound)
}

// spare reports whether so many pairs more are compared.
func (w *lineLook) spare(pairs int) bool {
	w.work += pairs
	return w.work <= lineWork
}

// stepIn is a look for steps between two features in the z-th zone: over at least
// a metre where one is an outline or a rim, which beds have above the lawn.
func (w *lineLook) stepIn(z int, a, b *Feature) step {
	slope := math.Min(w.r.slopeOf(a, b), w.r.of(w.zones.features[z]).SlopeMaxPercent)
	base := lineBaseM
	var own *Feature // whose rim is compared
	for _, f := range [...]*Feature{a, b} {
		switch f.Role {
		case schema.RoleKeepout:
			own, base = f, stepBaseM
		case schema.RoleZone:
			base = stepBaseM
		}
	}
	mown := func(p, q orb.Point) bool { // and here, not of a steep lawn beside it
		m := orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}
		return w.zones.locator(z).Locate(m) != plane.Outside && w.r.mownBut(w.zones, p, q, own)
	}
	return step{limit: slope, reach: fallReachM, base: base, percent: slope + 1e-9, between: mown}
}

// compare keeps the worst step between two features in the z-th zone.
func (w *lineLook) compare(z int, a, b *Feature, of, to *raisedSides) {
	s := w.stepIn(z, a, b)
	near := func(_ orb.Point, d float64) bool { return d <= fallReachM }
	s.compare(of, to, near)
	back := s.back()
	back.compare(to, of, near)
	s.greater(&back)
	w.keep(z, a, b, &s)
}

// keep takes a step, where it is one, and nobody told of it.
func (w *lineLook) keep(z int, a, b *Feature, s *step) {
	if !(s.percent > s.limit+2e-9) || w.r.toldOf(a, b) {
		return
	}
	x := w.worst[z]
	if x == nil {
		if w.worst == nil {
			w.worst = map[int]*lineStep{}
		}
		x = &lineStep{}
		w.worst[z] = x
	}
	if x.pairs++; s.percent > x.percent {
		x.step, x.a, x.b = *s, a, b
	}
}

// againstOutlines compares a line of the role other with the outlines about it;
// rims, flush edges and ways others do.
func (w *lineLook) againstOutlines(a *mownLine) {
	if a.f.Role != schema.RoleOther || isPatch(a.f) {
		return
	}
	for _, z := range w.zones.near(a.bound) {
		o, f := w.outlines[z], w.zones.features[z]
		if len(o.sides) > 0 && w.inReach(z, a) && !w.even(a.low, a.high, a.bound, o.low, o.high, o.bound) && w.spare(len(a.raised(w.r).sides)*len(o.sides)) {
			w.compare(z, a.f, f, a.raised(w.r), o)
		}
	}
}

// againstSpots compares marks, docks and other points with lines.
func (w *lineLook) againstSpots(lines []mownLine) {
	for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther, schema.RoleDock} {
		for _, f := range w.r.Of(role) {
			if len(f.Points) == 0 || !f.hasHeights || !f.usable() || w.r.clamped(f) {
				continue
			}
			for i := range lines {
				b := &lines[i]
				if boxGap(f.bound, b.bound) > fallReachM || w.even(f.raisedLow, f.raisedHigh, f.bound, b.low, b.high, b.bound) {
					continue
				}
				for _, z := range w.zones.near(f.bound) {
					if w.inReach(z, b) && w.spare(len(f.Points)*len(b.raised(w.r).sides)) {
						w.spots(z, f, b)
					}
				}
			}
		}
	}
}

// spots compares the points of a feature with a line.
func (w *lineLook) spots(z int, f *Feature, b *mownLine) {
	s := w.stepIn(z, f, b.f)
	for i := range f.Points {
		v := &f.Points[i]
		if v.Height != v.Height || w.zones.locator(z).Locate(v.Ground) == plane.Outside || w.r.keptOut(v.Ground, nil) {
			continue
		}
		sides := b.sides
		if k, d := sides.nearest(v.Ground); k >= 0 && d <= fallReachM {
			s.take(raised{read: v.Read, ground: v.Ground, h: v.Height}, heightOn(&sides.sides[k], v.Ground))
		}
	}
	w.keep(z, f, b.f, &s)
}

// tell reports the worst step of a zone: a warning, since a bed may be raised and
// a mark may stand on something.
func (w *lineLook) tell(s *lineStep, zone *Feature) {
	r := w.r
	features := featuresOf(s.a, s.b)
	if s.b != zone {
		features = append(features, zone)
	}
	x := r.finding(r.Place(s.from.ground), features...)
	x.Severity = Warning
	d, rise := distance(s.from.ground, s.to.ground), math.Abs(s.to.h-s.from.h)
	past := rise - s.limit/100*math.Max(d, s.base)
	x.Measured, x.Limit, x.Unit = past, stepRiseM, "m"
	x.Trace = r.trace(s.from.ground, s.to.ground)
	with := s.b.describe()
	if s.b == zone {
		with = "the outline"
	}
	more := ""
	if s.pairs > 1 {
		more = fmt.Sprintf(" (the worst of %d such pairs in that zone)", s.pairs)
	}
	x.Message = fmt.Sprintf("with %s it shows mown ground of %s that changes by %s within %s, %s more than the limit of a slope allows; %s is the most: look at the ground there, and take the bank out of the zone, or correct the heights%s",
		with, zone.describe(), metres(rise), metres(d), metresPast(past, stepRiseM), metres(stepRiseM), more)
}
