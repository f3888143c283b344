// Heights of features that meet, of slope-limit: of corridors and the zones they
// lie in, and of zones and those beside and within them.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// sayMeet is what the page of the rule says of this.
const sayMeet = "" +
	"Where a corridor lies in a zone, and where two zones meet or lie within passage_min_m of one another with no wall, fence or drop between them, the heights of both are compared, those between two points taken as even: " +
	"a step is one of more than 0.3 m beyond slope_max_percent of the distance between the two places, taken as at least 1 m. " +
	"Less than that but past step_max_m is unchecked where it is more than the ground may lie off the line between two points, L apart: a slope that changes by 1 % a metre takes it 0.01 t (L - t) / 2 off, t m from one of them; half of that counts where the one lies higher all along. " +
	"Parts of one zone are held so to one another, and corridors that cross or run within half the machine's width of a zone, or so near to one another that no drop between them keeps its margin from the machine in both. " +
	"Between two zones the greatest is sought among all places that no wall, fence or drop stands between, which are those farther than 0.3 m, or half the machine where that is less, from all of them; where a gate or a ramp opens one the machine drives through, and there the distance counts as it is. "

// A step between two features is a rise of more than stepRiseM beyond the limit
// of a slope over the distance, of at least stepBaseM, between the two places:
// ground between points is not quite even, and each feature is surveyed with
// points of its own (common practice, no source). Within a zone heights of its
// outline say little farther than stepReachM from it.
const (
	stepRiseM  = 0.3
	stepBaseM  = 1.0
	stepReachM = 5.0
)

// slopeChange is how much the slope of ground that people mow changes in a
// metre: between two points L apart it then lies up to slopeChange t (L - t) / 2
// off the line between them, t from one of the two (a parabola; the number is
// common practice, no source).
const slopeChange = 0.01

// raisedSides are stretches between two points with heights.
type raisedSides struct {
	sides  [][2]raised
	bound  orb.Bound
	low    float64 // the least and the greatest height
	high   float64
	steep  bool         // a finding says that they are steep among themselves
	sorted *plane.Boxes // made when first asked for
	plane  *tilted      // the same
	asked  int          // how often nearest looked at all sides
}

// unsortedLooks is how often all sides are sooner looked at than sorted.
const unsortedLooks = 6

// nearest is which side comes nearest to a place on the ground, -1 for none, and how far
// off that is.
func (s *raisedSides) nearest(p orb.Point) (side int, off float64) {
	if s.sorted != nil || s.asked >= unsortedLooks {
		return s.boxes().Nearest(p, func(k int) float64 {
			return distanceToSegment(p, s.sides[k][0].ground, s.sides[k][1].ground)
		})
	}
	s.asked++
	side, off = -1, math.Inf(1)
	for k := range s.sides {
		a, b := &s.sides[k][0].ground, &s.sides[k][1].ground
		dx := max(0, min(a[0], b[0])-p[0], p[0]-max(a[0], b[0]))
		dy := max(0, min(a[1], b[1])-p[1], p[1]-max(a[1], b[1]))
		if dx*dx+dy*dy > off*off*(1+1e-12) {
			continue // its box lies farther off
		}
		if d := distanceToSegment(p, *a, *b); d < off {
			side, off = k, d
		}
	}
	return side, off
}

// newRaisedSides makes room for so many sides.
func newRaisedSides(n int) *raisedSides {
	return &raisedSides{sides: make([][2]raised, 0, n), bound: emptyBox(), low: math.Inf(1), high: math.Inf(-1)}
}

func (s *raisedSides) add(a, b *raised) {
	if a.h == a.h && b.h == b.h && a.ground != b.ground {
		s.sides = append(s.sides, [2]raised{*a, *b})
		enlarge(&s.bound, a.ground)
		enlarge(&s.bound, b.ground)
		s.low, s.high = min(s.low, a.h, b.h), max(s.high, a.h, b.h)
	}
}

// boxes are ready to be asked for what is near.
func (s *raisedSides) boxes() *plane.Boxes {
	if s.sorted == nil {
		boxes := make([]orb.Bound, len(s.sides))
		for i := range s.sides {
			boxes[i] = orb.Bound{Min: s.sides[i][0].ground, Max: s.sides[i][0].ground}.Extend(s.sides[i][1].ground)
		}
		s.sorted = plane.NewBoxes(boxes)
	}
	return s.sorted
}

// mayStep reports whether any height from low to high can be a step of more than
// least beside the sides: most ground is not that uneven.
func (s *raisedSides) mayStep(low, high, least float64) bool {
	return max(high-s.low, s.high-low) > least
}

// fewSides is how many pairs of sides are sooner looked at one by one than
// sorted.
const fewSides = 20000

// mayStepNear is mayStep for each side of a against those within reach of it,
// for a step past such a slope in percent over the distance.
func (s *raisedSides) mayStepNear(a *raisedSides, least, slope, reach float64) bool {
	all := a.bound.Pad(reach)
	least *= 1 - 1e-9
	for k := range s.sides {
		c, d := &s.sides[k][0], &s.sides[k][1]
		low, high := min(c.h, d.h), max(c.h, d.h)
		if max(a.high-low, high-a.low) <= least || besideBox(&c.ground, &d.ground, &all) {
			continue
		}
		box := segmentBox(c.ground, d.ground)
		around := box.Pad(reach)
		for i := range a.sides {
			p, q := &a.sides[i][0], &a.sides[i][1]
			rise := max(p.h-low, q.h-low, high-p.h, high-q.h) - least
			if rise <= 0 {
				continue
			}
			if !besideBox(&p.ground, &q.ground, &around) && rise > slope/100*(1-1e-9)*boxGap(box, segmentBox(p.ground, q.ground)) {
				return true
			}
		}
	}
	return false
}

// mayStepBeside is mayStep for heights in a box against the sides within
// stepReachM of it.
func (s *raisedSides) mayStepBeside(box orb.Bound, low, high, least float64) bool {
	box = box.Pad(stepReachM)
	for k := range s.sides {
		c, d := &s.sides[k][0], &s.sides[k][1]
		if max(high-min(c.h, d.h), max(c.h, d.h)-low) > least*(1-1e-9) && !besideBox(&c.ground, &d.ground, &box) {
			return true
		}
	}
	return false
}

// ends are the points of the sides, most of them twice.
func (s *raisedSides) ends(yield func(p *raised) bool) {
	for i := range s.sides {
		if !yield(&s.sides[i][0]) || !yield(&s.sides[i][1]) {
			return
		}
	}
}

// heightOn is the place on the side nearest to p, with the height there.
func heightOn(side *[2]raised, p orb.Point) raised {
	a, b := &side[0], &side[1]
	q := nearestOn(p, a.ground, b.ground)
	along, length := distance(a.ground, q), distance(a.ground, b.ground)
	return raised{ground: q, h: a.h + along/length*(b.h-a.h), sag: slopeChange * along * max(0, length-along) / 2}
}

// outlineHeights are the sides of a zone's outlines; none when it has no
// heights of the ground.
func (r *run) outlineHeights(f *Feature) *raisedSides {
	out := newRaisedSides(0)
	out.sides = r.scratchOf().sides.take(f.countPoints())
	for i := range f.Areas {
		a := &f.Areas[i]
		for k, ring := range a.Ground {
			r.addSides(out, f, i, k, ring)
		}
	}
	return out
}

// addSides adds the sides of ring k of area i of a feature.
func (r *run) addSides(to *raisedSides, f *Feature, i, k int, ring orb.Ring) {
	a := &f.Areas[i]
	if a.Heights == nil || a.Heights[k] == nil || r.clamped(f) {
		return
	}
	if len(ring) == 0 {
		return
	}
	from := raised{read: a.Read[k][0], ground: ring[0], h: a.Heights[k][0]}
	for v := range ring {
		w := (v + 1) % len(ring)
		next := raised{read: a.Read[k][w], ground: ring[w], h: a.Heights[k][w]}
		to.add(&from, &next)
		from = next
	}
}

// step is the greatest step found between two features.
type step struct {
	percent  float64 // of the rise beyond stepRiseM over the distance
	from, to raised
	reach    float64 // how far off an end may count, 0 for stepReachM
	base     float64 // the least distance a rise is taken over, 0 for stepBaseM
	// may is the step that is none between places of known height, 0 where only
	// what is past stepRiseM counts.
	may   float64
	doubt doubt
	// walls may hold up the higher of the two, nil for none: what stands
	// between two places makes their step none past the limit, in percent.
	walls *wallsBetween
	limit float64
	// At what opens a wall the machine drives straight over: there the rise
	// beyond stepRiseM and beyond the limit of the slope is none over any
	// distance. The greatest, and between which places.
	beyond           float64
	openFrom, openTo raised
	// between says whether ground between two places is driven, where that is not
	// so all about; asked of what is past the limit alone.
	between func(a, b orb.Point) bool
}

// take keeps the step between two places when it is the greatest yet.
func (s *step) take(from, to raised) {
	d, rise := distance(from.ground, to.ground), math.Abs(to.h-from.h)-stepRiseM
	if s.may > 0 {
		s.doubtful(&from, &to, d)
	}
	if !(rise > 0) {
		return
	}
	base := s.base
	if base == 0 {
		base = stepBaseM
	}
	if p := 100 * rise / math.Max(d, base); p > s.percent && (s.walls == nil || p > s.limit && !s.walls.hold(from.ground, to.ground)) && (s.between == nil || s.between(from.ground, to.ground)) {
		s.percent, s.from, s.to = p, from, to
	}
	if s.walls == nil || d >= stepBaseM {
		return
	}
	if beyond := rise - s.limit/100*d; beyond > s.beyond+1e-9 && s.walls.opened(from.ground, to.ground) {
		s.beyond, s.openFrom, s.openTo = beyond, from, to
	}
}

// compare takes each end of s, and each place where s crosses t, against the
// height of t nearest to it; between walls, the places where one ends too.
// counts says whether an end so far off counts.
func (s *step) compare(a, b *raisedSides, counts func(p orb.Point, d float64) bool) {
	least := stepRiseM
	if s.may > 0 {
		least = min(least, s.may)
	}
	if !b.mayStep(a.low, a.high, least) || len(a.sides)*len(b.sides) < fewSides && !b.mayStepNear(a, least, s.limit, max(s.reach, stepReachM)) {
		return
	}
	boxes, reach := b.boxes(), b.bound.Pad(max(s.reach, stepReachM))
	var found []int
	end := func(p raised) {
		if !reach.Contains(p.ground) {
			return
		}
		off := func(k int) float64 {
			return distanceToSegment(p.ground, b.sides[k][0].ground, b.sides[k][1].ground)
		}
		if k, d := boxes.Nearest(p.ground, off); k >= 0 && counts(p.ground, d) {
			s.take(p, heightOn(&b.sides[k], p.ground))
		}
	}
	for i := range a.sides {
		side := &a.sides[i]
		end(side[0])
		end(side[1])
		found = boxes.Search(boundOf([]orb.Point{side[0].ground, side[1].ground}), found[:0])
		for _, k := range found {
			x := plane.Cross(side[0].ground, side[1].ground, b.sides[k][0].ground, b.sides[k][1].ground)
			if x.Kind == plane.CrossProper {
				s.take(heightOn(side, x.P), heightOn(&b.sides[k], x.P))
			}
		}
		for _, p := range s.walls.places(side, b, least) {
			end(p)
		}
	}
}

// back is the step the other way about, for what compares the second feature
// with the first.
func (s *step) back() step {
	return step{percent: s.percent, reach: s.reach, walls: s.walls, limit: s.limit, beyond: s.beyond, may: s.may, base: s.base, between: s.between}
}

// greater takes what is greater in a step the other way about.
func (s *step) greater(back *step) {
	if back.percent > s.percent {
		s.percent, s.from, s.to = back.percent, back.to, back.from
	}
	if back.beyond > s.beyond {
		s.beyond, s.openFrom, s.openTo = back.beyond, back.openTo, back.openFrom
	}
	s.doubt.join(&back.doubt)
}

// steps compares the heights of features that meet: of corridors and the zones
// they lie in, and of zones and those beside them. Features in steep have a
// finding of their own inside.
func (r *run) steps(steep map[*Feature]bool) {
	zones := r.zones()
	outlines := make([]*raisedSides, zones.len())
	for i, f := range zones.features {
		outlines[i] = r.outlineHeights(f)
		outlines[i].steep = steep[f]
	}
	r.rims(zones, outlines)
	if len(r.Inactive) > 0 {
		r.offRims(zones, outlines)
	}
	r.witnesses(zones, outlines)
	r.drivenEdges(zones, outlines)
	r.stairs()
	defer r.markPairs(zones, outlines)
	defer r.onePlaces()
	defer r.slides(zones, outlines)
	defer r.onLines(zones, outlines)
	r.deepInLawns(zones, outlines)
	r.dockTilt(zones, outlines)
	r.namedHeights(zones)
	r.clampedBeside(zones)
	defer r.docksOnLawns(zones, outlines)
	defer r.underKeepouts(zones, outlines)
	defer r.below(zones, outlines)
	defer r.marksApart(outlines)
	defer r.lawnsApart(outlines)
	defer r.heightsAway(zones, outlines)
	var crossed []*raisedSides
	var crossing []*corridorLine
	for i := range r.corridors() {
		c := &r.corridors()[i]
		if c.line.Heights == nil || r.clamped(c.f) {
			continue
		}
		way := c.raised()
		way.steep = steep[c.f]
		for k, other := range crossed {
			r.crossSteps(c, crossing[k], way, other)
		}
		crossed, crossing = append(crossed, way), append(crossing, c)
		half := r.halfWidth(c.f)
		for _, z := range zones.near(way.bound.Pad(half)) {
			f := zones.features[z]
			s := step{may: r.stepMay(c.f, f), limit: r.slopeOf(c.f, f)}
			beside := s
			s.compare(way, outlines[z], func(p orb.Point, d float64) bool {
				return d <= slackM || d <= stepReachM && zones.locator(z).Locate(p) != plane.Outside
			})
			if r.tellStep(&s, c.f, f, "where it enters") || r.farStep(c.f, zones, z, outlines[z], way, Error) {
				continue
			}
			if outlines[z].mayStep(way.low, way.high, min(s.may, stepRiseM)) { // along it, half on the lawn
				on := func(_ orb.Point, d float64) bool { return d <= half }
				beside.walls = r.stepWalls().about(way.bound.Pad(half), zones.bounds[z].Pad(half), half)
				beside.compare(way, outlines[z], on)
				back := beside.back()
				back.compare(outlines[z], way, on)
				beside.greater(&back)
				if r.tellStep(&beside, c.f, f, "beside") {
					continue
				}
			}
			r.tellDoubt(&s, c.f, f)
		}
	}
	for i, f := range zones.features {
		near := r.of(f).PassageMinM
		for _, k := range zones.near(zones.bounds[i].Pad(near)) {
			if k <= i {
				continue
			}
			other := zones.features[k]
			in := func(z int) func(p orb.Point) bool {
				return func(p orb.Point) bool { return zones.locator(z).Locate(p) != plane.Outside }
			}
			s, told := r.meet(f, other, outlines[i], outlines[k], near, in(i), in(k))
			if told || r.farStep(f, zones, k, outlines[k], outlines[i], Error) || r.farStep(other, zones, i, outlines[i], outlines[k], Error) {
				continue
			}
			r.tellDoubt(&s, f, other)
		}
		if len(f.Areas) > 1 && outlines[i].mayStep(outlines[i].low, outlines[i].high, min(r.of(f).StepMaxM, stepRiseM)) {
			r.partSteps(f, near)
		}
	}
}

// meet compares the outlines of two zones, or of two parts of one, up to near
// from one another or where in says that the one lies in the other.
func (r *run) meet(f, other *Feature, a, b *raisedSides, near float64, inA, inB func(p orb.Point) bool) (s step, told bool) {
	s = step{may: r.stepMay(f, other), limit: r.slopeOf(f, other), reach: near + slackM}
	counts := func(in func(p orb.Point) bool) func(p orb.Point, d float64) bool {
		return func(p orb.Point, d float64) bool { return d <= near+slackM || d <= stepReachM && in(p) }
	}
	if b.mayStep(a.low, a.high, min(s.may, stepRiseM)) {
		s.walls = r.stepWalls().about(a.bound.Pad(near), b.bound.Pad(near), math.Min(r.halfWidth(f), r.halfWidth(other)))
	}
	s.compare(a, b, counts(inB))
	back := s.back()
	back.compare(b, a, counts(inA))
	s.greater(&back)
	return s, r.tellStep(&s, f, other, "where it meets") || r.tellOpenStep(&s, f, other)
}

// partSteps compares the parts of one zone that lie near one another.
func (r *run) partSteps(f *Feature, near float64) {
	parts := make([]*raisedSides, len(f.Areas))
	none := func(orb.Point) bool { return false }
	for i := range parts {
		parts[i] = newRaisedSides(0)
		for k, ring := range f.Areas[i].Ground {
			r.addSides(parts[i], f, i, k, ring)
		}
		for k := range i {
			if parts[k].bound.Pad(near).Intersects(parts[i].bound) {
				if s, told := r.meet(f, f, parts[k], parts[i], near, none, none); !told {
					r.tellDoubt(&s, f, f)
				}
			}
		}
	}
}

// crossSteps compares two corridors where they cross, or run so near to one
// another that no drop between them has its margin from the machine in both. One
// that is drawn is held to that by others.
func (r *run) crossSteps(c, d *corridorLine, way, other *raisedSides) {
	near := r.halfWidth(c.f) + r.halfWidth(d.f)
	for _, f := range [...]*Feature{c.f, d.f} {
		margin, _ := r.of(f).HazardMargin("drop")
		near += margin
	}
	near -= slackM
	if !way.bound.Pad(near).Intersects(other.bound) {
		return
	}
	s := step{may: r.stepMay(c.f, d.f), limit: r.slopeOf(c.f, d.f)}
	if other.mayStep(way.low, way.high, min(s.may, stepRiseM)) {
		s.walls = r.stepWalls().about(way.bound.Pad(near), other.bound.Pad(near), math.Min(r.halfWidth(c.f), r.halfWidth(d.f)))
	}
	on := func(_ orb.Point, d float64) bool { return d <= near }
	s.compare(way, other, on)
	back := s.back()
	back.compare(other, way, on)
	s.greater(&back)
	if !r.tellStep(&s, c.f, d.f, "where it meets") {
		r.tellDoubt(&s, c.f, d.f)
	}
}

// slopeOf is the steepest slope in percent that two features both allow.
func (r *run) slopeOf(a, b *Feature) float64 {
	return math.Min(r.of(a).SlopeMaxPercent, r.of(b).SlopeMaxPercent)
}

// tellStep reports a step between two features, or of one with itself, when
// it is one.
func (r *run) tellStep(s *step, f, other *Feature, where string) bool {
	limit := r.slopeOf(f, other)
	if s.percent <= limit+1e-9 {
		return false
	}
	x := r.finding(r.Place(s.from.ground), featuresOf(f, other)...)
	x.Measured, x.Limit, x.Unit = s.percent, limit, "%"
	x.Trace = r.trace(s.from.ground, s.to.ground)
	up := "up"
	if s.to.h < s.from.h {
		up = "down"
	}
	x.Message = fmt.Sprintf("steps %s by %s %s %s: another unit or height reference, or ground that is not drawn?", up, metres(math.Abs(s.to.h-s.from.h)), where, other.describe())
	return true
}
