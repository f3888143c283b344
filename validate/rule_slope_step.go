// Steps in the ground, of slope-limit: heights that jump over less than a slope
// is taken over, and rims that lie off the lawn about them.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayStep is what the page of the rule says of this.
const sayStep = "" +
	"Heights of zones and corridors less than 2 m apart are a step where one rises above the other by more than step_max_m beyond what slope_max_percent allows over their distance (or by three standard errors, where sigma is told and that is more): " +
	"between neighbours along an outline or corridor, within one zone, between a corridor and the zone it lies in, and between zones that touch with no wall, fence or drop between them. " +
	"A bump or a row of small steps that stays within that between every two of its points is none, however it goes up and down, until over 2 m it is a slope past its limit. "

// levelling is one vertex of driven ground with a height.
type levelling struct {
	raised
	f *Feature
	// chain and at tell neighbours along one line or ring, between which the
	// ground is driven, and along how far from its start they stand.
	chain, at int
	along     float64
}

// ledgeWork bounds how many pairs of heights are compared for steps, ledgePairs
// how many of them may be uneven, and ledgeViews how many sides are looked at to
// tell whether a pair sees another.
const ledgeWork, ledgePairs, ledgeViews = 2e7, 1e6, 5e7

// ledge is the worst step found between two features, or within one.
type ledge struct {
	from, to       *levelling
	beyond, may, d float64
	places         int
}

// ledges compares all heights of zones and corridors that stand nearer to one
// another than a slope is taken over. Features in steep have a finding that
// says as much.
func (r *run) ledges(steep map[*Feature]bool) {
	if r.plainlyEven(steep) {
		return
	}
	pts := r.levelled()
	pairs, all := r.unevenPairs(pts, steep)
	if !all {
		r.cannot("the heights stand so close that not all of those within %s of one another were compared", metres(slopeBaseM))
	}
	worst := map[[2]int]*ledge{}
	var order [][2]int
	views := 0
	for _, pair := range pairs {
		a, b := &pts[pair[0]], &pts[pair[1]]
		rise, d := math.Abs(b.h-a.h), distance(a.ground, b.ground)
		may := r.stepMay(a.f, b.f)
		beyond := rise - math.Min(r.of(a.f).SlopeMaxPercent, r.of(b.f).SlopeMaxPercent)/100*d
		if d >= slopeBaseM || beyond <= may+1e-9 {
			continue
		}
		key := [2]int{a.f.slot, b.f.slot}
		w := worst[key]
		if w != nil && beyond <= w.beyond {
			w.places++
			continue
		}
		if !r.levelBetween(a, b, d, &views) {
			continue
		}
		if w == nil {
			w = &ledge{}
			worst[key] = w
			order = append(order, key)
		}
		*w = ledge{a, b, beyond, may, d, w.places + 1}
	}
	if views > ledgeViews {
		r.cannot("so many heights step that not all of them were looked at")
	}
	for _, key := range order {
		r.tellLedge(worst[key])
	}
}

// heightSpot is the place and the height of a vertex.
type heightSpot struct{ x, y, h float64 }

// fewSpots is how many heights are sooner compared run by run than sorted.
const fewSpots = 800

// plainlyEven reports, after a quick look, that unevenPairs finds none. It may
// be false where that is so.
func (r *run) plainlyEven(steep map[*Feature]bool) bool {
	room := 0
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor} {
		for _, f := range r.Of(role) {
			room += f.countPoints()
		}
	}
	if room > fewSpots {
		return false
	}
	spots := r.scratchOf().spots.take(room)
	runs := r.scratchOf().runs.take(room/mostInRun + len(r.Features))
	add := func(f *Feature, ground []orb.Point, heights []float64) {
		may := r.of(f).StepMaxM
		k := newHeightRun(len(spots), may)
		for v := range heights {
			if h := heights[v]; h == h {
				p := ground[v]
				spots = append(spots, heightSpot{p[0], p[1], h})
				k.add(p, h)
				if k.to-k.from == mostInRun {
					runs, k = append(runs, k), newHeightRun(len(spots), may)
				}
			}
		}
		if k.to > k.from {
			runs = append(runs, k)
		}
	}
	for _, f := range r.Of(schema.RoleZone) {
		for i := range f.Areas {
			for k := range f.Areas[i].Heights {
				if f.usable() && !steep[f] && !r.clamped(f) {
					add(f, f.Areas[i].Ground[k], f.Areas[i].Heights[k])
				}
			}
		}
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		for i := range f.Lines {
			if f.usable() && !steep[f] && !r.clamped(f) {
				add(f, f.Lines[i].Ground, f.Lines[i].Heights)
			}
		}
	}
	for n := range runs {
		a := &runs[n]
		near := a.bound.Pad(slopeBaseM)
		for m := n; m < len(runs); m++ {
			b := &runs[m]
			if !near.Intersects(b.bound) || a.even(b) {
				continue
			}
			may := min(a.may, b.may)
			for _, p := range spots[a.from:a.to] {
				for _, q := range spots[b.from:b.to] {
					if math.Abs(p.h-q.h) > may && math.Abs(p.x-q.x) <= slopeBaseM && math.Abs(p.y-q.y) <= slopeBaseM {
						return false
					}
				}
			}
		}
	}
	return true
}

// heightRun is a run of places that follow one another, with their least and
// greatest height: most runs are too far apart, or too even, to hold a step.
type heightRun struct {
	from, to  int // among all
	bound     orb.Bound
	low, high float64
	may       float64 // the step that is none
}

const mostInRun = 8

func newHeightRun(from int, may float64) heightRun {
	return heightRun{from, from, emptyBox(), math.Inf(1), math.Inf(-1), may}
}

// add takes the next place into the run.
func (k *heightRun) add(p orb.Point, h float64) {
	k.to++
	enlarge(&k.bound, p)
	if h < k.low {
		k.low = h
	}
	if h > k.high {
		k.high = h
	}
}

// even reports whether no two places of the runs are a step apart.
func (k *heightRun) even(o *heightRun) bool {
	return max(k.high-o.low, o.high-k.low) <= min(k.may, o.may)
}

// pairsOfRuns calls pair with the places i < k of every two runs within reach of
// one another and of every run, but for those that even says hold nothing. It
// stops, and returns false, when there are more than ledgeWork or when pair
// returns false.
func pairsOfRuns(runs []heightRun, reach float64, even func(a, b *heightRun) bool, pair func(i, k int, may float64) bool) bool {
	boxes := make([]orb.Bound, len(runs))
	for i := range runs {
		boxes[i] = runs[i].bound
	}
	tree := plane.NewBoxes(boxes)
	work := 0
	var found []int
	for n := range runs {
		a := &runs[n]
		found = tree.Search(a.bound.Pad(reach), found[:0])
		for _, m := range found {
			b := &runs[m]
			if m < n || even(a, b) {
				continue
			}
			if work += (a.to - a.from) * (b.to - b.from); work > ledgeWork {
				return false
			}
			may := min(a.may, b.may)
			for i := a.from; i < a.to; i++ {
				for k := max(b.from, i+1); k < b.to; k++ {
					if !pair(i, k, may) {
						return false
					}
				}
			}
		}
	}
	return true
}

// unevenPairs are the pairs of places within slopeBaseM of one another, along x
// and along y, whose heights differ by more than the limit of a step, in order.
// all is false when there were too many to compare.
func (r *run) unevenPairs(pts []levelling, steep map[*Feature]bool) (pairs [][2]int, all bool) {
	runs := make([]heightRun, 0, len(pts)/mostInRun+8)
	for i := 0; i < len(pts); {
		a := &pts[i]
		k := newHeightRun(i, r.of(a.f).StepMaxM)
		for k.to < len(pts) && k.to < i+mostInRun && pts[k.to].chain == a.chain {
			k.add(pts[k.to].ground, pts[k.to].h)
		}
		if i = k.to; !steep[a.f] {
			runs = append(runs, k)
		}
	}
	all = pairsOfRuns(runs, slopeBaseM, (*heightRun).even, func(i, k int, may float64) bool {
		p, q := &pts[i], &pts[k]
		if math.Abs(p.h-q.h) > may && math.Abs(p.ground[0]-q.ground[0]) <= slopeBaseM && math.Abs(p.ground[1]-q.ground[1]) <= slopeBaseM {
			pairs = append(pairs, [2]int{i, k})
		}
		return len(pairs) <= ledgePairs
	})
	sortPairs(pairs)
	return pairs, all
}

func sortPairs(pairs [][2]int) {
	slices.SortFunc(pairs, func(a, b [2]int) int { return cmp.Or(a[0]-b[0], a[1]-b[1]) })
}

// levelled are the vertices with heights of zones and corridors.
func (r *run) levelled() []levelling {
	room := 0
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor} {
		for _, f := range r.usableOf(role) {
			room += f.countPoints()
		}
	}
	out := make([]levelling, 0, room)
	chain := 0
	add := func(f *Feature, read, ground []orb.Point, heights []float64) {
		chain++
		along := 0.0
		for v, p := range ground {
			if v > 0 {
				along += distance(ground[v-1], p)
			}
			if heights == nil || math.IsNaN(heights[v]) || v > 0 && v == len(ground)-1 && p == ground[0] {
				continue
			}
			out = append(out, levelling{raised{read: read[v], ground: p, h: heights[v]}, f, chain, v, along})
		}
	}
	for _, f := range r.usableOf(schema.RoleZone) {
		if r.clamped(f) {
			continue
		}
		for i := range f.Areas {
			for k, ring := range f.Areas[i].Ground {
				if h := f.Areas[i].Heights; h != nil {
					add(f, f.Areas[i].Read[k], ring, h[k])
				}
			}
		}
	}
	for _, f := range r.usableOf(schema.RoleCorridor) {
		if r.clamped(f) {
			continue
		}
		for i := range f.Lines {
			add(f, f.Lines[i].Read, f.Lines[i].Ground, f.Lines[i].Heights)
		}
	}
	return out
}

// stepMay is the step that is none: the limit, or three standard errors of the
// difference of two heights where the features tell theirs, up to the limit of
// survey-quality, which tells what lies over it.
func (r *run) stepMay(a, b *Feature) float64 {
	return math.Max(math.Min(r.of(a).StepMaxM, r.of(b).StepMaxM), r.scatterOf(a, b))
}

// scatterOf is three standard errors of the difference of two heights, as far as the
// features tell theirs.
func (r *run) scatterOf(a, b *Feature) float64 {
	own := func(f *Feature) float64 {
		if q := surveyOf(f); q.sigma > 0 {
			return math.Min(q.sigma, r.of(f).SurveySigmaM)
		}
		return 0
	}
	return 3 * math.Hypot(own(a), own(b))
}

// levelBetween reports whether a machine drives from one of the two places to
// the other: neighbours along an outline or a corridor, places of one zone that
// see one another, a corridor and a zone where it lies in it, two zones that
// touch with no wall, fence or drop between them.
func (r *run) levelBetween(a, b *levelling, d float64, views *int) bool {
	if a.chain == b.chain && (b.at == a.at+1 || a.f.Role == schema.RoleCorridor && b.along-a.along < slopeBaseM) {
		return true
	}
	zones := r.zones()
	inside := func(p orb.Point, f *Feature) bool {
		z := zones.at(f)
		return z >= 0 && zones.locator(z).Locate(p) != plane.Outside
	}
	switch {
	case a.f == b.f && a.f.Role == schema.RoleZone:
		if *views += a.f.countPoints(); *views > ledgeViews {
			return false
		}
		return a.f.sees(a.ground, b.ground)
	case a.f.Role == schema.RoleZone && b.f.Role == schema.RoleCorridor:
		return d <= r.halfWidth(b.f) || inside(b.ground, a.f)
	case a.f.Role == schema.RoleCorridor:
		return d <= r.halfWidth(a.f)
	case d > r.halfWidth(a.f) && !inside(a.ground, b.f) && !inside(b.ground, a.f):
		return false
	}
	box := segmentBox(a.ground, b.ground)
	return !r.stepWalls().about(box, box, math.Min(r.halfWidth(a.f), r.halfWidth(b.f))).hold(a.ground, b.ground)
}

func (r *run) tellLedge(w *ledge) {
	features := []*Feature{w.from.f}
	where := ""
	if w.to.f != w.from.f {
		features = append(features, w.to.f)
		where = " to " + w.to.f.describe()
	}
	x := r.finding(r.placeRead(w.from.f, w.from.read, w.from.ground), features...)
	x.Measured, x.Limit, x.Unit = w.beyond, w.may, "m"
	x.Trace = r.trace(w.from.ground, w.to.ground)
	up := "up"
	if w.to.h < w.from.h {
		up = "down"
	}
	more := ""
	if w.places > 1 {
		more = fmt.Sprintf(" (the worst of %d such pairs of points)", w.places)
	}
	limit := math.Min(r.of(w.from.f).SlopeMaxPercent, r.of(w.to.f).SlopeMaxPercent)
	x.Message = fmt.Sprintf("steps %s by %s within %s%s, %s more than a slope of %s %% does; the limit is %s: a ledge, or a height that is wrong%s",
		up, metres(math.Abs(w.to.h-w.from.h)), metres(w.d), where, metresPast(w.beyond, w.may), trim(limit, 1), metres(w.may), more)
}

// rims compares what lies inside the mown ground with the outline about it: the
// rims of holes and of keep-outs, marks and other points.
func (r *run) rims(zones *solids, outlines []*raisedSides) {
	for i, z := range zones.features {
		outline := outlines[i]
		if len(outline.sides) == 0 {
			continue
		}
		near := func(_ orb.Point, d float64) bool { return d <= stepReachM }
		if z.hasHoles() && outline.mayStep(outline.low, outline.high, stepRiseM) {
			shell, holes := r.outlineParts(z)
			var s step
			s.compare(holes, shell, near)
			if !r.tellStep(&s, z, z, "at the rim of a hole, beside") && !r.toldOf(z, z) {
				r.farStep(z, zones, i, shell, holes, Error)
			}
		}
		keepouts := r.keepouts()
		for _, k := range keepouts.near(zones.bounds[i]) {
			f := keepouts.features[k]
			low, high := f.heightRange()
			if !outline.mayStep(low, high, stepRiseM) || r.clamped(f) {
				continue
			}
			if !outline.mayStepBeside(f.bound, low, high, stepRiseM) && !outline.mayStep(low, high, stepRiseM+r.slopeOf(f, z)/100*stepReachM) {
				continue // nothing near is as uneven, and nothing far as steep
			}
			rim := r.outlineHeights(f)
			var s step
			for p := range rim.ends { // no sides: beyond the outline a keep-out may lie on a bank
				r.besideOutline(&s, p, zones.locator(i), outline, f)
			}
			if !r.tellStep(&s, f, z, "at its rim, beside the outline of") {
				r.farStep(f, zones, i, outline, rim, Warning)
			}
		}
		for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther, schema.RoleDock} {
			for _, f := range r.usableOf(role) {
				r.pointStep(f, zones, i, outline)
			}
		}
	}
}

// offRims compares what is switched off and lies in mown ground with the outline
// about it, as keep-outs and marks are: the ground is there all the same. A
// warning, since it may be old, or stand on something.
func (r *run) offRims(zones *solids, outlines []*raisedSides) {
	offs := r.offs()
	for n := range offs {
		f := &offs[n]
		low, high := f.heightRange()
		if !groundWhenOff(f) || !(high >= low) || r.clamped(f) {
			continue
		}
		rim := r.edgeHeights(f)
		pts := func(yield func(*raised) bool) {
			for i := range f.Points {
				if v := &f.Points[i]; v.Height == v.Height && !yield(&raised{read: v.Read, ground: v.Ground, h: v.Height}) {
					return
				}
			}
			rim.ends(yield)
		}
		box := emptyBox() // its own is not on this ground
		for p := range pts {
			box = box.Extend(p.ground)
		}
		for _, i := range zones.near(box) {
			z, outline := zones.features[i], outlines[i]
			if !outline.mayStep(low, high, stepRiseM) {
				continue
			}
			var s step
			for p := range pts {
				r.besideOutline(&s, p, zones.locator(i), outline, f)
			}
			if r.tellStep(&s, f, z, "where it lies, switched off, beside the outline of") {
				r.findings[len(r.findings)-1].Severity = Warning
				continue
			}
			r.farRise(f, zones, i, outline, low, high, pts, Warning)
		}
	}
}

// besideOutline takes a place in the mown ground of a zone against the nearest
// of its outline, up to stepReachM off; f is a keep-out whose own ground counts.
func (r *run) besideOutline(s *step, p *raised, inside *plane.Locator, outline *raisedSides, f *Feature) {
	if outline.mayStep(p.h, p.h, stepRiseM) && inside.Locate(p.ground) != plane.Outside && !r.keptOut(p.ground, f) {
		r.takeNearest(s, p, outline)
	}
}

// takeNearest takes a place against the nearest of an outline, up to stepReachM
// off.
func (r *run) takeNearest(s *step, p *raised, outline *raisedSides) {
	if s.may == 0 && outline.sorted == nil && len(outline.sides) <= 400 && !outline.mayStepBeside(p.ground.Bound(), p.h, p.h, stepRiseM) {
		return
	}
	k, near := -1, stepReachM
	for _, i := range outline.boxes().Search(p.ground.Bound().Pad(stepReachM), nil) {
		if d := distanceToSegment(p.ground, outline.sides[i][0].ground, outline.sides[i][1].ground); d <= near {
			k, near = i, d
		}
	}
	if k >= 0 {
		s.take(*p, heightOn(&outline.sides[k], p.ground))
	}
}

func (f *Feature) hasHoles() bool {
	return slices.ContainsFunc(f.Areas, func(a Area) bool { return len(a.Ground) > 1 })
}

// heightRange are the least and the greatest height of a feature, +Inf and -Inf
// where it has none.
func (f *Feature) heightRange() (low, high float64) {
	if !f.hasHeights {
		return math.Inf(1), math.Inf(-1)
	}
	return f.raisedLow, f.raisedHigh
}

// pointStep tells a point in the mown ground whose height does not go with the
// outline of the zone; but for a dock it may stand on something, so that is a
// warning.
func (r *run) pointStep(f *Feature, zones *solids, i int, outline *raisedSides) {
	if len(f.Points) == 0 || r.clamped(f) {
		return
	}
	severity, inside := Warning, zones.locator(i)
	if f.Role == schema.RoleDock {
		severity = Error
	}
	for _, v := range f.Points {
		if math.IsNaN(v.Height) || !outline.mayStep(v.Height, v.Height, stepRiseM) {
			continue
		}
		p := raised{read: v.Read, ground: v.Ground, h: v.Height}
		var s step
		if f.Role == schema.RoleDock && inside.Locate(p.ground) == plane.Outside {
			for _, d := range r.docks() { // beside the lawn, driven into from there
				if d.f == f && d.at == p.ground && !math.IsNaN(d.heading) && inside.Locate(d.lineup) != plane.Outside {
					r.takeNearest(&s, &p, outline)
				}
			}
		} else {
			r.besideOutline(&s, &p, inside, outline, nil)
		}
		if r.tellStep(&s, f, zones.features[i], "beside the outline of") {
			r.findings[len(r.findings)-1].Severity = severity
			continue
		}
		r.farRise(f, zones, i, outline, p.h, p.h, func(yield func(*raised) bool) { yield(&p) }, severity)
	}
}

// keptOut reports whether a place lies inside a keep-out other than f.
func (r *run) keptOut(p orb.Point, f *Feature) bool {
	keepouts := r.keepouts()
	for _, k := range keepouts.near(p.Bound()) {
		if keepouts.features[k] != f && keepouts.locator(k).Locate(p) == plane.Inside {
			return true
		}
	}
	return false
}

// outlineParts are the sides of a zone's outlines, shells and holes apart.
func (r *run) outlineParts(f *Feature) (shell, holes *raisedSides) {
	shell, holes = newRaisedSides(0), newRaisedSides(0)
	for i := range f.Areas {
		for k, ring := range f.Areas[i].Ground {
			to := shell
			if k > 0 {
				to = holes
			}
			r.addSides(to, f, i, k, ring)
		}
	}
	return shell, holes
}
