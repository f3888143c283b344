// Ground that falls beside what is driven, of slope-limit: whatever is known of
// heights there says how steep it is between, at the least.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayFall is what the page of the rule says of this.
const sayFall = "" +
	"Ground beside a zone, a corridor or the way into a dock, up to 15 m off, is a warning where a height known of it lies lower by more than 0.3 m beyond slope_max_percent of the distance: somewhere between it is as steep as that, and nobody says where. " +
	"Farther off, up to 60 m, each metre past 15 m may fall by as much as it is long. " +
	"Known are the heights of all that is drawn, on or off, but for water in a keep-out and keep-outs that are on: marks, paths and contours, roads, buildings, boundaries, gates, other zones and ways, and the same lawn or corridor where it comes back beside itself; of walls, fences and buildings within 1 m those that do not stand 0.3 m above the driven ground by their height_m are unchecked, and of those whose foot lies no lower than by 0.3 m beyond the slope the ones whose top is below it. " +
	"So are ramps, water within 3 m, the foot of a base (its height less antenna_height_m), and drops and pits, whose line is where the fall begins; not a drop that falls as far by its height_m, or whose foot this is, since another lawn within 15 m or a mark, line or rim within 3 m lies as low. " +
	"A drop or water within 0.5 m of the straight way between, or a wall, fence or building on it, tells of the fall where it is 2 m long or wide or the lower place lies in it; those with a height_m of as much as that adds up to; within 3 m a keep-out on that way does, beyond 1 m. What tells of a fall does so as far as it reaches: a straight way that passes its end by 0.6 m and more is held to the slope as well. " +
	"What lies lower by more than step_max_m beyond the slope, and no more than 0.3 m, is unchecked, but for other driven ground within 1 m, drops and the feet of masts farther off than that, and kerbs and ramps, which tell of a step themselves (a kerb of its height_m and 0.05 m, where it says that), and walls, fences and buildings. " +
	sayLedge +
	sayBank +
	"Where a wall or fence stands between within passage_min_m, or a fence or a wall of too little height_m farther off, and the ground falls by more than 1 m it is unchecked whether it stands above the upper ground, unless a drop lies there too or its height_m is more than that by 0.3 m. " +
	"So is what holds the upper ground behind walls and fences whose height_m together is less than the fall beyond the slope by more than 0.05 m, of places up to 1 m apart, 0.15 m up to 3 m and 0.3 m farther off. "

// Ground up to fallReachM from what is driven is held to the limit of a slope: a bank
// farther off begins there and not at the lawn. Each metre farther off, up to cliffReachM,
// it may lie a metre lower, as steep as earth stands by itself, and past that heightsAway
// tells as much (common practice, no source). A drop or water
// within bankBesideM of the way between two places tells what lies between, up to
// bankReachM a keep-out too; beside a wall that may hold the upper ground up a rise
// of more than bankRiseM is told.
const (
	fallReachM  = 15.0
	cliffReachM = 60.0
	cliffSlope  = 1.0
	bankReachM  = 3.0
	bankRiseM   = 1.0
	bankBesideM = 0.5
	besideNearM = 1.0
	fallLooks   = 20000 // ways between two places that are looked along
	fallPieces  = 50    // places looked at along one side, a metre apart
)

// fallWay is ground that is driven, by its outline or line.
type fallWay struct {
	f     *Feature
	sides *raisedSides
	words string
	zone  int // whose outline it is, -1 for none
	// through is how far from its line, in metres, an edge lies on the way
	// itself and not beside it; -1 for an outline.
	through float64
	high    float64 // how far it rises above the site
	// The worst found beside it, so many features, and what stands below a wall.
	worst      *fall
	others     int
	held, wall *Feature // below a wall, and which
	heldRise   float64
	heldLow    bool // the wall says that it is lower than that
	// What lies lowest behind a kerb, and which.
	kerb, kerbOver *Feature
	kerbRise       float64
}

// fall is one place below one of driven ground, beyond more than it may lie.
type fall struct {
	way      *fallWay
	f        *Feature
	up, down raised
	beyond   float64
}

// falls is one look at a plan.
type falls struct {
	r        *run
	zones    *solids
	outlines []*raisedSides
	ways     []fallWay
	site     tilted  // about which the driven ground lies; level where it is steep
	spare    float64 // by how much the least limit is steeper than the site
	least    float64 // the least step
	looks    int
	blocks   *fallBlocks
	doubt    fall
	doubts   int
	// Where a machine that slides must not come, once asked.
	grave      *plane.Gauge
	graveAsked bool
	// What lies too low but may not say how the ground before it lies.
	unsure  fall
	unsures int
	clear   float64 // how near to a way between two places what tells of a fall may lie besides
	// The steepest bank towards what a machine must not come to.
	slip  fall
	slips int
	known []fall // heights about one place, in turn
	// How far the foot of what stands beside lies below, at most.
	short            float64
	shortOf, shortBy *Feature
}

// below tells ground beside lawns, corridors and the ways into docks that lies
// lower than a slope past the limit leads, with nothing drawn between.
func (r *run) below(zones *solids, outlines []*raisedSides) {
	w := falls{r: r, zones: zones, outlines: outlines, least: min(r.limits.StepMaxM, stepRiseM)}
	w.drive()
	w.across()
	if len(w.ways) == 0 {
		return
	}
	defer w.abreast()
	high := math.Inf(-1)
	for i := range w.ways {
		high = max(high, w.ways[i].high)
	}
	look := func(f *Feature) {
		if !f.usable() && f.Active() || !f.tellsFall() {
			return
		}
		if low := w.lowest(f); high-low > w.least && !r.clamped(f) {
			w.beside(f, low)
		}
	}
	for _, f := range r.Features {
		look(f)
	}
	offs := r.offs()
	for i := range offs {
		look(&offs[i])
	}
	w.tell()
	w.feet()
	w.lone()
}

// drive collects what is driven, and the plane it lies about.
func (w *falls) drive() {
	r := w.r
	slope := math.Inf(1)
	add := func(f *Feature, sides *raisedSides, words string, zone int, through float64) {
		if len(sides.sides) > 0 {
			w.ways = append(w.ways, fallWay{f: f, sides: sides, words: words, zone: zone, through: through, high: sides.high})
		}
	}
	for i, f := range w.zones.features {
		if !w.outlines[i].steep { // that is mended first
			add(f, w.outlines[i], "", i, -1)
		}
	}
	for i := range r.corridors() {
		if c := &r.corridors()[i]; c.line.Heights != nil && !r.clamped(c.f) {
			add(c.f, c.raised(), "", -1, r.halfWidth(c.f))
		}
	}
	for _, d := range r.docks() { // the way in is level with it
		if h := d.vertex.Height; h == h && !math.IsNaN(d.heading) && !r.clamped(d.f) {
			way := newRaisedSides(1)
			way.add(&raised{read: d.vertex.Read, ground: d.at, h: h}, &raised{read: d.vertex.Read, ground: d.lineup, h: h})
			add(d.f, way, "the way into ", -1, r.halfWidth(d.f))
		}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range r.Features {
		slope = min(slope, r.of(f).SlopeMaxPercent/100)
		w.least = min(w.least, r.of(f).StepMaxM)
	}
	count := 0
	for i := range w.ways {
		s := w.ways[i].sides
		low, high, count = min(low, s.low), max(high, s.high), count+len(s.sides)
	}
	w.spare = slope
	if !(high-low > w.least) {
		return // level already
	}
	pts := make([]raised, 0, count)
	for i := range w.ways {
		for k := range w.ways[i].sides.sides {
			pts = append(pts, w.ways[i].sides.sides[k][0])
		}
	}
	t, ok := planeThrough(pts)
	lean := math.Hypot(t.gx, t.gy)
	if !ok || !(lean < slope) {
		return
	}
	w.site, w.spare = t, slope-lean
	for i := range w.ways {
		x := &w.ways[i]
		x.high = math.Inf(-1)
		for p := range x.sides.ends {
			x.high = max(x.high, w.above(p))
		}
	}
}

// above is how far a place lies above the site.
func (w *falls) above(p *raised) float64 { return p.h - w.site.height(p.ground) }

// lowest is how far the lowest height of a feature lies above the site.
func (w *falls) lowest(f *Feature) float64 {
	low := math.Inf(1)
	if f.hasHeights {
		f.footings(func(p raised) { low = min(low, w.above(&p)) })
	}
	return low
}

// footings visits every point of a feature that has a height, a base's less its
// antenna's.
func (f *Feature) footings(visit func(p raised)) {
	down := antennaOver(f)
	f.raised(func(p raised) {
		p.h -= down
		visit(p)
	})
}

// tellsFall reports whether a feature's heights may tell of ground that falls:
// those of the ground, and those that saysGround leaves out but of the rims of
// keep-outs and of bases that do not say how high their antenna stands.
func (f *Feature) tellsFall() bool {
	switch {
	case f.Role == schema.RoleBase:
		return f.Active() && antennaOver(f) > 0
	case f.opensOrDrops():
		low, high := f.heightRange()
		return f.Active() && (low != 0 || high != 0)
	}
	return f.saysGround()
}

// opensOrDrops reports whether a feature is a drop, a ramp or a gate.
func (f *Feature) opensOrDrops() bool {
	switch edgeKind(f) {
	case schema.EdgeDrop, schema.EdgeRamp, schema.EdgeGate:
		return true
	}
	return hazardKind(f) == "drop"
}

// saysGround reports whether a feature's heights are of the ground it stands on: a
// base's is its antenna's, drops lie lower as they should, and the rims of keep-outs
// others hold to the lawn. Heights that are all 0 were never measured.
func (f *Feature) saysGround() bool {
	switch f.Role {
	case schema.RoleBase, "":
		return false
	case schema.RoleKeepout:
		if f.Active() {
			return false
		}
	case schema.RoleEdge:
		switch edgeKind(f) {
		case schema.EdgeDrop, schema.EdgeRamp, schema.EdgeGate:
			return false
		}
	case schema.RoleHazard:
		if hazardKind(f) == "drop" {
			return false
		}
	}
	low, high := f.heightRange()
	return low != 0 || high != 0
}

// beside keeps the worst of what a feature says beside any of the ways; low is how
// low it lies above the site.
func (w *falls) beside(f *Feature, low float64) {
	var own *raisedSides // made when first asked for
	var worst fall
	for i := range w.ways {
		x := &w.ways[i]
		w.ledges(f, low, x)
		if x.f == f && !x.folds() || !(x.high-low > w.least) || !(x.high-low-w.least > w.spare*boxGap(x.sides.bound, f.bound)) || !f.bound.Intersects(x.sides.bound.Pad(w.reach(x, low))) {
			continue
		}
		if f.Active() && isDriven(f.Role) && w.r.toldOf(f, x.f) {
			continue
		}
		if own == nil {
			own = w.r.edgeHeights(f)
		}
		w.against(f, own, x, &worst)
	}
	if x := worst.way; x != nil && !w.r.toldOf(f, x.f) {
		x.others++
		if x.worst == nil || graverFall(worst.beyond, x.worst.beyond, f, x.worst.f) {
			x.worst = &worst
		}
	}
}

// against looks at the places of a feature beside one way.
func (w *falls) against(f *Feature, own *raisedSides, x *fallWay, worst *fall) {
	b := w.lookFrom(f, x, worst)
	var found []int
	sides := x.sides.sides
	box := x.sides.bound.Pad(w.reach(x, w.lowest(f)))
	slanted := 0
	f.footings(func(q raised) {
		low := w.above(&q)
		if !(x.high-low > w.least) || !box.Contains(q.ground) {
			return
		}
		found = x.sides.boxes().Search(q.ground.Bound().Pad(w.reach(x, low)), found[:0])
		b.blocked = false
		for _, k := range found {
			if s := &sides[k]; max(w.above(&s[0]), w.above(&s[1]))-low-w.least > w.spare*boxGap(segmentBox(s[0].ground, s[1].ground), q.ground.Bound()) {
				b.look(steepestOn(s, &q, b.slope), q)
			}
		}
		if slanted++; b.blocked && slanted <= fallPieces {
			for _, k := range found {
				b.pastBlock(&sides[k], q)
			}
		}
	})
	for i := range own.sides {
		side := &own.sides[i]
		low := min(w.above(&side[0]), w.above(&side[1]))
		around := segmentBox(side[0].ground, side[1].ground)
		if !(x.high-low > w.least) || !around.Intersects(box) {
			continue
		}
		found = x.sides.boxes().Search(around.Pad(w.reach(x, low)), found[:0])
		for _, k := range found {
			if s := &sides[k]; max(w.above(&s[0]), w.above(&s[1]))-low-w.least > w.spare*boxGap(segmentBox(s[0].ground, s[1].ground), around) {
				b.along(side, s)
			}
		}
	}
}

// lookFrom is a look from a feature to a way, before any place was seen.
func (w *falls) lookFrom(f *Feature, x *fallWay, worst *fall) fallLook {
	b := fallLook{falls: w, f: f, x: x, worst: worst, slope: w.r.slopeOf(x.f, f) / 100, driven: f.Active() && isDriven(f.Role), contour: isContour(f), water: hazardKind(f) == "water", may: stepRiseM, off: -1, step: min(stepRiseM, w.r.stepMay(x.f, f))}
	if b.stands, b.top = f.standsBeside(); b.stands && b.top > 0 {
		b.may = b.step // its top may lie below what is driven
	}
	b.meets, b.near = b.driven && f != x.f && f.Role == schema.RoleZone && x.zone >= 0, w.r.of(x.f).PassageMinM+slackM
	if b.meets {
		b.near = max(b.near, w.r.of(f).PassageMinM+slackM)
	}
	b.opens = edgeKind(f) == schema.EdgeGate || edgeKind(f) == schema.EdgeRamp
	b.drops = edgeKind(f) == schema.EdgeDrop || hazardKind(f) == "drop"
	b.hint = f.Role == schema.RoleBase || b.drops || edgeKind(f) == schema.EdgeRamp
	if kind := edgeKind(f); !b.stands && (f.Role != schema.RoleEdge || kind == schema.EdgeDrop || kind == schema.EdgeFlush || kind == schema.EdgeGate) {
		b.may = b.step
	}
	if h, ok := f.Float(schema.PropHeightM); ok && edgeKind(f) == schema.EdgeKerb {
		b.may = min(stepRiseM, max(b.step, h+acrossNoiseM)) // it tells of that step, and no other
	}
	return b
}

// reach is how far from a place so low above the site anything of a way can be too high.
func (w *falls) reach(x *fallWay, low float64) float64 {
	over := x.high - low - w.least
	if over <= w.spare*fallReachM {
		return over / max(w.spare, 1e-6)
	}
	lean := math.Hypot(w.site.gx, w.site.gy)
	return min(cliffReachM, fallReachM+(over-w.spare*fallReachM)/max(cliffSlope-lean, 1e-6))
}

// fallLook looks from a feature to a way.
type fallLook struct {
	*falls
	f               *Feature
	x               *fallWay
	worst           *fall
	slope, may, top float64
	step            float64 // of which nothing is told beside a way
	driven, contour bool
	opens, drops    bool
	water, hint     bool    // hint: its heights may be others than those of the ground before it
	stands, meets   bool    // a zone beside a zone, which others judge
	near            float64 // where they do, and where a wall may hold up the upper ground
	off             float64 // how far the feature lies from the way, once known
	blocked         bool    // what lies between tells of a fall that was looked at
}

// pastBlockM is how far in metres a straight way leads past the end of what tells of a
// fall, as wide as a machine (common practice, no source): what is drawn behind a wall may
// well be as long as that.
const pastBlockM = 0.6

// pastBlock looks past the ends of what lies between a place and the way: a shed, a pool
// or a wall tells of a fall as far as it reaches, and not beside itself.
func (b *fallLook) pastBlock(s *[2]raised, q raised) {
	b.clear = pastBlockM
	defer func() { b.clear = 0 }()
	pieces := min(fallPieces, int(math.Ceil(distance(s[0].ground, s[1].ground)/stepBaseM)))
	for n := 0; n <= pieces; n++ {
		t := float64(n) / float64(max(pieces, 1))
		p := heightOn(s, orb.Point{s[0].ground[0] + t*(s[1].ground[0]-s[0].ground[0]), s[0].ground[1] + t*(s[1].ground[1]-s[0].ground[1])})
		if b.past(&p, &q)-stepRiseM > 1e-9 {
			b.look(p, q)
		}
	}
}

// past is by how much a place lies lower than a slope within the limit leads.
func (b *fallLook) past(p, q *raised) float64 {
	d := distance(p.ground, q.ground)
	may := b.slope * d
	if b.driven {
		may = b.slope * max(d, stepBaseM)
	}
	if d > fallReachM {
		may = b.slope*fallReachM + max(cliffSlope, b.slope)*(d-fallReachM)
	}
	return p.h - q.h - may
}

// along looks from places on a side of the feature to one of the way: its middle
// too, about a metre apart, but for contours, which run on over lawns as they like.
func (b *fallLook) along(side, s *[2]raised) {
	for i := range s {
		q := heightOn(side, s[i].ground)
		b.look(s[i], q)
	}
	if x := plane.Cross(side[0].ground, side[1].ground, s[0].ground, s[1].ground); x.Kind == plane.CrossProper {
		b.look(heightOn(s, x.P), heightOn(side, x.P))
	}
	if b.contour {
		return
	}
	pieces := min(fallPieces, int(math.Ceil(distance(side[0].ground, side[1].ground))))
	for n := 1; n < pieces; n++ {
		t := float64(n) / float64(pieces)
		q := heightOn(side, orb.Point{side[0].ground[0] + t*(side[1].ground[0]-side[0].ground[0]), side[0].ground[1] + t*(side[1].ground[1]-side[0].ground[1])})
		b.look(steepestOn(s, &q, b.slope), q)
	}
}

// steepestOn is the place on a side from which the ground falls most to another,
// beyond a slope: not the nearest where the side itself rises.
func steepestOn(s *[2]raised, to *raised, slope float64) raised {
	on := heightOn(s, to.ground)
	if s[0].h == s[1].h {
		return on
	}
	a, c := s[0].ground, s[1].ground
	length := distance(a, c)
	u := orb.Point{(c[0] - a[0]) / length, (c[1] - a[1]) / length}
	rise := (s[1].h - s[0].h) / length
	if math.Abs(rise) >= slope {
		if rise > 0 {
			return s[1]
		}
		return s[0]
	}
	foot := (to.ground[0]-a[0])*u[0] + (to.ground[1]-a[1])*u[1]
	off := math.Abs((to.ground[1]-a[1])*u[0] - (to.ground[0]-a[0])*u[1])
	at := min(length, max(0, foot+off*rise/math.Sqrt(slope*slope-rise*rise)))
	return heightOn(s, orb.Point{a[0] + at*u[0], a[1] + at*u[1]})
}

// look judges one place of the way against one of the feature.
func (b *fallLook) look(p, q raised) {
	d, rise := distance(p.ground, q.ground), p.h-q.h
	past := b.past(&p, &q)
	beyond := past - stepRiseM
	if d > besideNearM && beyond <= 1e-9 && past > b.step+1e-9 {
		b.bank(p, q, d, past)
	}
	doubtful := b.may < stepRiseM && d > b.x.through && (!b.driven || d > besideNearM+slackM) && (!b.hint || d <= besideNearM) && d <= fallReachM+slackM && beyond <= 1e-9 && past > max(b.may+1e-9, b.doubt.beyond+slackM)
	if !b.graver(beyond) && !doubtful || d > cliffReachM+slackM || b.looks > fallLooks {
		return
	}
	if b.off < 0 {
		b.off = offWay(b.f, b.x.sides)
	}
	if b.water && b.r.keptOut(q.ground, nil) || b.opens && b.off <= b.x.through {
		return // its own bank, which the keep-out is for, and what leads over the way
	}
	hint := b.hint || b.water && b.off <= bankReachM+slackM
	if u := &b.unsure; hint && !doubtful && u.f == b.f && u.way == b.x && beyond <= u.beyond || b.drops && b.isFoot(&q, past) {
		return
	}
	standing := b.stands && b.off <= besideNearM+slackM
	switch {
	case standing && (d > bankReachM || rise <= b.short):
		return
	case d <= b.x.through && (b.f.Role == schema.RoleEdge || groundWhenOff(b.f)):
		return // on the way itself
	case b.contour && d <= slackM: // which runs on over the lawn, between its points
		return
	case b.inMown(p.ground, q.ground):
		return
	}
	b.looks++
	b.take(&fall{b.x, b.f, p, q, beyond}, d, past, doubtful, hint, standing)
}

// take keeps a fall where nothing between tells of it.
func (b *fallLook) take(at *fall, d, past float64, doubtful, hint, standing bool) {
	p, q, beyond := at.up, at.down, at.beyond
	rise := p.h - q.h
	x := b.between(p.ground, q.ground, b.off > besideNearM-slackM && b.off <= bankReachM+slackM, beyond, b.f)
	switch {
	case x.tells:
		b.blocked = true
	case x.wall != nil:
		b.blocked = true
		b.takeWall(at, &x, d, past)
	case b.meets && d <= b.near: // that is told elsewhere
	case standing:
		if b.top < rise-acrossNoiseM || !doubtful && b.top < rise+stepRiseM {
			b.short, b.shortOf, b.shortBy = rise, b.f, b.x.f
		}
	case hint && !doubtful:
		if b.unsure.f != b.f {
			b.unsures++
		}
		if b.unsure.f == nil || graverFall(beyond, b.unsure.beyond, b.f, b.unsure.f) {
			b.unsure = *at
		}
	case doubtful:
		if b.doubt.f != b.f {
			b.doubts++
		}
		b.doubt = fall{b.x, b.f, p, q, past}
	default:
		*b.worst = *at
	}
}

// takeWall keeps a fall behind a wall or fence that may not tell of it: one that says
// that it is lower than the fall, and one that falls by more than such usually hold.
func (b *fallLook) takeWall(at *fall, x *standsBetween, d, past float64) {
	rise := at.up.h - at.down.h
	low := !x.lifts(past, d)
	if h, ok := x.wall.Float(schema.PropHeightM); rise > b.x.heldRise && (low || (d <= b.near || !x.holds) && rise > bankRiseM && !(ok && h > rise+stepRiseM)) {
		b.x.heldRise, b.x.wall, b.x.held, b.x.heldLow = rise, x.wall, b.f, low
	}
}

// isFoot reports whether the height of a drop is that of its foot: it falls by as much
// by its own word, or another lawn within fallReachM or a mark, line or rim within
// tiltReachM lies no higher or lower.
func (b *fallLook) isFoot(q *raised, past float64) bool {
	if h, ok := b.f.Float(schema.PropHeightM); ok && h >= past-stepRiseM {
		return true
	}
	for _, k := range b.zones.near(q.ground.Bound().Pad(fallReachM)) {
		o := b.outlines[k]
		if k == b.x.zone || len(o.sides) == 0 {
			continue
		}
		if n, d := o.boxes().Nearest(q.ground, func(n int) float64 {
			return distanceToSegment(q.ground, o.sides[n][0].ground, o.sides[n][1].ground)
		}); n >= 0 && d <= fallReachM && math.Abs(heightOn(&o.sides[n], q.ground).h-q.h) <= stepRiseM {
			return true
		}
	}
	return b.r.borneOut(b.f, q)
}

// graver reports whether a place is the worst yet.
func (b *fallLook) graver(beyond float64) bool {
	if !(beyond > 1e-9) {
		return false
	}
	w := b.worst
	return w.way == nil || w.way == b.x && beyond > w.beyond+slackM || w.way != b.x && graverFall(beyond, w.beyond, b.x.f, w.way.f)
}

// graverFall reports whether one of two falls counts: what is as bad in both, and
// told but once, is told of the same feature however the plan is sorted.
func graverFall(a, b float64, of, than *Feature) bool {
	return a > b+slackM || a > b-slackM && of.describe() < than.describe()
}

// offWay is how far a feature lies from what is driven.
func offWay(f *Feature, way *raisedSides) float64 {
	var all, line orb.Collection
	for i := range f.Areas {
		all = append(all, orb.Polygon(f.Areas[i].Ground))
	}
	for i := range f.Lines {
		all = append(all, orb.LineString(f.Lines[i].Ground))
	}
	for i := range f.Points {
		all = append(all, f.Points[i].Ground)
	}
	for i := range way.sides {
		line = append(line, orb.LineString{way.sides[i][0].ground, way.sides[i][1].ground})
	}
	d, _, _ := plane.NewGauge(all).Clearance(plane.NewGauge(line))
	return d
}

// inMown reports whether others judge the ground between: the lower place is mown,
// or the middle, by another outline than that of the upper, or the lower is of a
// lawn that is told to be steep.
func (w *fallLook) inMown(p, q orb.Point) bool {
	m := orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}
	for _, k := range w.zones.near(q.Bound().Union(m.Bound()).Pad(10 * slackM)) {
		l := w.zones.locator(k)
		low := l.Locate(q) == plane.Inside
		if k == w.x.zone && w.f == w.x.f && seesInside(l, p, q) {
			return true // zoneSlope's
		}
		if w.outlines[k].steep && w.r.nearMown(w.zones, k, q, 10*slackM) || low && !w.r.keptOut(q, nil) || !low && k != w.x.zone && l.Locate(m) == plane.Inside {
			return true
		}
	}
	return false
}

// seesInside reports whether the straight way between two places of an outline leads
// anywhere through its inside.
func seesInside(l *plane.Locator, p, q orb.Point) bool {
	const pieces = 10
	for i := 1; i < pieces; i++ {
		t := float64(i) / pieces
		if l.Locate(orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}) == plane.Inside {
			return true
		}
	}
	return false
}

// folds reports whether driven ground may lie beside itself: a corridor of three
// legs or more, and an outline that turns both ways.
func (x *fallWay) folds() bool {
	if x.zone < 0 {
		return len(x.sides.sides) > 2
	}
	left, right := false, false
	for i := 1; i < len(x.sides.sides) && !(left && right); i++ {
		a, b, c := x.sides.sides[i-1][0].ground, x.sides.sides[i-1][1].ground, x.sides.sides[i][1].ground
		turn := (b[0]-a[0])*(c[1]-b[1]) - (b[1]-a[1])*(c[0]-b[0])
		left, right = left || turn > slackM*slackM, right || turn < -slackM*slackM
	}
	return left && right
}

// standsBeside reports whether a feature stands up and so holds a machine, however
// low its foot, and how high it says it is.
func (f *Feature) standsBeside() (stands bool, top float64) {
	switch k := edgeKind(f); {
	case f.Role == schema.RoleBuilding, k == schema.EdgeWall, k == schema.EdgeFence:
		top, _ = f.Float(schema.PropHeightM)
		return f.Active(), top
	}
	return false, 0
}

// fallBlocks are what may lie between two places and tell of a fall.
type fallBlocks struct {
	all   []fallBlock
	boxes *plane.Boxes
}

type fallBlock struct {
	f       *Feature
	bound   orb.Bound
	g       *plane.Gauge
	reach   float64 // how near it lies to the way between
	keepout bool
	wall    bool
	wide    bool // as a fall goes on
}

// blocking are made when first asked for.
func (w *falls) blocking() *fallBlocks {
	if w.blocks != nil {
		return w.blocks
	}
	w.blocks = &fallBlocks{}
	var boxes []orb.Bound
	add := func(f *Feature, g orb.Geometry, reach float64) {
		if g != nil {
			k := edgeKind(f)
			box := g.Bound()
			wide := max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]) >= fallWideM-slackM
			w.blocks.all = append(w.blocks.all, fallBlock{f, box, plane.NewGauge(g), reach, f.Role == schema.RoleKeepout, k == schema.EdgeWall || k == schema.EdgeFence, wide})
			boxes = append(boxes, box.Pad(reach))
		}
	}
	for _, role := range [...]schema.Role{schema.RoleEdge, schema.RoleHazard, schema.RoleBuilding, schema.RoleKeepout} {
		for _, f := range w.r.usableOf(role) {
			reach := bankBesideM
			switch kind := edgeKind(f); {
			case kind == schema.EdgeWall, kind == schema.EdgeFence:
				reach = stepRiseM
				fallthrough
			case kind == schema.EdgeDrop:
				if l := f.lines(); len(l) > 0 {
					add(f, orb.MultiLineString(l), reach)
				}
				continue
			case role == schema.RoleEdge:
				continue
			case role == schema.RoleHazard:
				if k := hazardKind(f); k != "water" && k != "drop" {
					continue
				}
			case role == schema.RoleBuilding:
				reach = stepRiseM
			}
			h := w.r.hazardShape(f)
			add(f, h.geometry(), reach)
		}
	}
	w.blocks.boxes = plane.NewBoxes(boxes)
	return w.blocks
}

// fallWideM is how long or wide in metres something must be to tell that the ground
// falls there all along and not beside it, and fallDeepM over how much of the way
// between two places a keep-out must lie (common practice, no source).
const fallWideM, fallDeepM = 2.0, 0.1

// covers reports whether a block lies on the way from a to b, and is as wide as a
// fall goes on; one that the lower place lies in may be as small as it likes.
func (x *fallBlock) covers(way *plane.Gauge, a, b orb.Point, clear float64) bool {
	if _, _, _, on := way.Within(x.g, max(x.reach, clear)); !on {
		return false
	}
	if x.keepout { // not before the one or behind the other
		d, over := distance(a, b), 0.0
		for _, piece := range clipInside(orb.LineString{a, b}, orb.MultiPolygon{x.bound.ToPolygon()}) {
			over += groundLength(piece)
		}
		if d > fallDeepM && !(over > fallDeepM) {
			return false
		}
	}
	if x.wide {
		return true
	}
	_, _, _, in := plane.NewGauge(b).Within(x.g, slackM)
	return in && x.f.Role != schema.RoleEdge
}

// standsBetween is what lies on the way between two places and may tell of a fall.
type standsBetween struct {
	tells bool     // it does
	wall  *Feature // a wall or fence, nil for none
	holds bool     // that may hold up as much as the lower place lies too low
	high  float64  // how high walls and fences together say that they stand
	mute  bool     // one of them does not say
}

// lifts reports whether what stands between two places so far apart may tell why the
// one lies so much lower than a slope leads: by its own height, or by none. Close by
// the heights are good for what two measured ones are, farther off the ground for less.
func (x *standsBetween) lifts(past, d float64) bool {
	return x.mute || past <= x.high+heightsGood(d)+1e-9
}

// heightsGood is what two heights so far apart leave open of a step between them.
func heightsGood(d float64) float64 {
	switch {
	case d <= besideNearM+slackM:
		return acrossNoiseM
	case d <= bankReachM+slackM:
		return stepRiseM / 2
	}
	return stepRiseM
}

// between is what lies on the way between two places, the second of which lies by so
// much too low. What own draws itself does not count, and keep-outs only where they
// are asked for.
func (w *falls) between(a, b orb.Point, keepouts bool, low float64, own ...*Feature) (out standsBetween) {
	blocks := w.blocking()
	if len(blocks.all) == 0 {
		return out
	}
	var way *plane.Gauge
	held := 0.0
	for _, k := range blocks.boxes.Search(segmentBox(a, b).Pad(w.clear), nil) {
		x := &blocks.all[k]
		if x.keepout && !keepouts || slices.Contains(own, x.f) {
			continue
		}
		if way == nil {
			way = plane.NewGauge(orb.LineString{a, b})
		}
		if !x.covers(way, a, b, w.clear) {
			continue
		}
		h, says := x.f.Float(schema.PropHeightM)
		switch fence := edgeKind(x.f) == schema.EdgeFence; {
		case x.wall:
			if out.wall == nil {
				out.wall = x.f
			}
			out.holds = out.holds || !fence && !says
			out.high, out.mute = out.high+max(h, 0), out.mute || !says
			if !fence { // that holds no ground
				held += max(h, 0)
			}
		case x.keepout || !says || hazardKind(x.f) == "water":
			return standsBetween{tells: true}
		default:
			if held += max(h, 0); held >= low {
				return standsBetween{tells: true}
			}
		}
	}
	out.holds = out.holds || held >= low
	return out
}

// tell reports what was found beside each way.
func (w *falls) tell() {
	r := w.r
	more := 0
	for i := range w.ways {
		x := &w.ways[i]
		switch {
		case x.wall == nil:
		case x.heldLow:
			h, _ := x.wall.Float(schema.PropHeightM)
			r.cannot("%s stands between %s%s and %s, which lies %s lower, and says by its height_m of %s that it is lower than the ground falls there: what holds the upper ground cannot be told; draw an edge of the kind drop where the fall begins, give the wall its height above the lower ground, or correct the heights",
				x.wall.describe(), x.words, x.f.describe(), x.held.describe(), metres(x.heldRise), metres(h))
		default:
			r.cannot("%s stands between %s%s and %s, which lies %s lower: whether it stands above the upper ground or only holds that up cannot be told; draw an edge of the kind drop along it if it only holds it up, else give it a height_m above the lower ground of more than %s",
				x.wall.describe(), x.words, x.f.describe(), x.held.describe(), metres(x.heldRise), metres(x.heldRise+stepRiseM))
		}
		w.tellLedge(x)
		if x.worst == nil {
			continue
		}
		if len(r.findings) >= mostFindings {
			more += x.others
			continue
		}
		r.tellFall(x.worst, x.others)
	}
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more features)", more)
	}
	if w.short > 0 {
		r.cannot("%s has its foot %s below %s beside it: whether it stands above that or only holds it up cannot be told; draw an edge of the kind drop along it if it only holds it up, else give it a height_m of more than %s", w.shortOf.describe(), metres(w.short), w.shortBy.describe(), metres(w.short+stepRiseM))
	}
	w.tellBank()
	if x := &w.doubt; x.f != nil && !r.toldOf(x.f, x.way.f) {
		w.tellFallDoubt(x)
	}
	if x := &w.unsure; x.f != nil && !r.toldOf(x.f, x.way.f) {
		r.cannot("%s lies %s below %s%s, %s off, %s more than a slope within the limit leads: whether the ground before it is as steep as that cannot be told; draw an edge of the kind drop where the fall begins, or correct the heights%s", x.f.describe(), metres(x.up.h-x.down.h), x.way.words, x.way.f.describe(), metres(distance(x.up.ground, x.down.ground)), metresPast(x.beyond+stepRiseM, stepRiseM), worstOf(w.unsures))
	}
	if w.looks > fallLooks {
		r.cannot("so many heights lie far below driven ground beside it that not all were looked at")
	}
}

// tellFallDoubt leaves unchecked ground beside what is driven that lies lower than a slope
// leads by what two heights may be off, and more.
func (w *falls) tellFallDoubt(x *fall) {
	rise, d, may := x.up.h-x.down.h, distance(x.up.ground, x.down.ground), metres(w.r.stepMay(x.way.f, x.f))
	what := "whether the ground steps down there, past " + may + ", cannot be told"
	if d > besideNearM+slackM {
		what = fmt.Sprintf("that is %s %% and more on the way, and a step past %s beyond the limit of %s %%: whether the ground falls at the edge of what is driven cannot be told", trim(100*rise/d, 0), may, trim(w.r.slopeOf(x.way.f, x.f), 1))
	}
	w.r.cannot("%s lies %s below %s%s, %s beside it: %s; draw what lies there as an edge, a kerb or a drop, or correct the heights%s", x.f.describe(), metres(rise), x.way.words, x.way.f.describe(), metres(d), what, worstOf(w.doubts))
}

// worstOf says that so many features were found, where that is more than one.
func worstOf(n int) string {
	if n < 2 {
		return ""
	}
	return fmt.Sprintf(" (the worst of %d such features beside it)", n)
}

// tellFall reports ground that falls beside what is driven.
func (r *run) tellFall(at *fall, others int) {
	d, rise := distance(at.up.ground, at.down.ground), at.up.h-at.down.h
	x := r.finding(r.Place(at.up.ground), featuresOf(at.way.f, at.f)...)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = rise, rise-at.beyond, "m"
	x.Trace = r.trace(at.up.ground, at.down.ground)
	steep := ""
	if d > stepRiseM {
		steep = fmt.Sprintf(", %s %% and more on the way", trim(100*rise/d, 0))
	}
	x.Message = fmt.Sprintf("%s%s lies %s above %s, %s off%s, and nothing is drawn between that tells where the ground falls; no more than %s is let pass there: draw an edge of the kind drop where the fall begins, or correct the heights%s",
		at.way.words, at.way.f.describe(), metresPast(rise, x.Limit), at.f.describe(), metres(d), steep, metres(x.Limit), worstOf(others))
}
