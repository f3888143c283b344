// Heights of what stands in mown ground against one another, of slope-limit:
// the rims of keep-outs, marks and other points, flush edges, corridors and docks
// tell how the ground lies where no outline does.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayMown is what the page of the rule says of this.
const sayMown = "" +
	"And rims, marks, other points and lines, flush edges, corridors and docks with one another, at any distance with mown ground and no wall between them, as steps between two features are; the rim of a keep-out and a flush edge, where they lie in mown ground, along themselves over less than 2 m by step_max_m and over 2 m and more by slope_max_percent: the worst of a zone and of a rim is a warning, since a bed may be raised, and an error of what is flush or driven, or where an outline within 5 m of both places bears their heights out to 0.3 m. "

// witness is a height of a rim, a mark or another point, or of what is driven.
type witness struct {
	raised
	f *Feature
	// chain is set for points of one rim or flush edge, which stand along metres
	// from its start; round is how long a rim is, 0 for what has two ends.
	chain        int
	along, round float64
	sure         bool // flush with the ground, or driven over
	looked       bool
	zone         int // whose mown ground it stands in, -1 for none, once looked at
}

// alongTo is how far two points of one rim or flush edge stand from one another
// along it.
func (w *witness) alongTo(o *witness) float64 {
	d := math.Abs(w.along - o.along)
	if w.round > 0 {
		d = min(d, w.round-d)
	}
	return d
}

// unevenWitnesses are the worst pair found in one zone.
type unevenWitnesses struct {
	a, b          *witness
	beyond, limit float64
	rim, sure     bool
	pairs         int
}

// apart is how far from one another the two are: of a rim along it.
func (u *unevenWitnesses) apart() float64 {
	if u.rim {
		return u.a.alongTo(u.b)
	}
	return distance(u.a.ground, u.b.ground)
}

// graver reports whether what drives over the ground proves more than the other
// pair, or, where both do or neither, steps by more.
func (u *unevenWitnesses) graver(o *unevenWitnesses) bool {
	if u.sure != o.sure {
		return u.sure
	}
	return u.beyond > o.beyond
}

// witnesses compares what lies in mown ground with its neighbours there.
func (r *run) witnesses(zones *solids, outlines []*raisedSides) {
	pts, slope, may := r.witnessed()
	if len(pts) < 2 {
		return
	}
	r.rimSlopes(zones, outlines, pts, slope)
	var runs []heightRun
	for i := 0; i < len(pts); {
		k := newHeightRun(i, may)
		for k.to < min(i+mostInRun, len(pts)) {
			k.add(pts[k.to].ground, pts[k.to].h)
		}
		runs, i = append(runs, k), k.to
	}
	worst := map[int]*unevenWitnesses{}
	var doubt unevenDoubt
	var order []int
	looks, low, high := 0, math.Inf(1), math.Inf(-1)
	for i := range runs {
		low, high = min(low, runs[i].low), max(high, runs[i].high)
	}
	even := func(a, b *heightRun) bool {
		return max(a.high-b.low, b.high-a.low) <= may+slope/100*boxGap(a.bound, b.bound)
	}
	// Nothing farther off is as steep.
	reach := max(stepReachM, 100*(high-low-stepRiseM)/slope)
	all := pairsOfRuns(runs, reach, even, func(i, k int, may float64) bool {
		z, u := r.uneven(zones, outlines, &pts[i], &pts[k], slope, may, worst, &doubt, &looks)
		switch {
		case u == nil:
		case worst[z] == nil:
			worst[z] = u
			order = append(order, z)
		default:
			u.pairs += worst[z].pairs
			if u.graver(worst[z]) {
				worst[z] = u
			} else {
				worst[z].pairs = u.pairs
			}
		}
		return looks <= farLooks
	})
	if !all {
		r.cannot("so many heights of rims and marks stand close by one another that not all were compared")
	}
	for _, z := range order {
		r.tellWitnesses(worst[z], zones.features[z], outlines[z])
	}
	if a, b := doubt.a, doubt.b; doubt.two && !r.toldOf(a.f, zones.features[a.zone]) {
		r.cannot("%s and %s stand in mown ground of %s, %s apart, and differ by %s, and others near them do as much: whether the ground steps there, past %s, or some stand on something cannot be told; look, and draw the step, or correct the heights",
			a.f.describe(), b.f.describe(), zones.features[a.zone].describe(), metres(distance(a.ground, b.ground)), metres(math.Abs(a.h-b.h)), metres(may))
	}
}

// unevenDoubt are two marks or the like, near one another, whose heights differ by
// more than a step and less than what the higher may stand on; and whether another
// does lie so above one, which hardly both stand on something.
type unevenDoubt struct {
	a, b *witness
	two  bool
}

// higher is the one that may stand on something.
func higher(a, b *witness) *Feature {
	if a.h > b.h {
		return a.f
	}
	return b.f
}

func (u *unevenDoubt) take(r *run, zones *solids, a, b *witness) {
	plain := func(w *witness) bool { return w.f.Role == schema.RoleMark || w.f.Role == schema.RoleOther || w.sure }
	switch {
	case u.two || a.f == b.f || !plain(a) || !plain(b):
	case u.a != nil && higher(a, b) == higher(u.a, u.b):
	case r.standsIn(zones, a) < 0 || r.standsIn(zones, b) < 0 || !r.mownBetween(zones, a.ground, b.ground):
	case u.a == nil:
		u.a, u.b = a, b
	default:
		u.two = true
	}
}

// isWitness reports whether a feature's heights tell how the ground lies, and
// whether they are the ground's by its own word.
func isWitness(f *Feature) (witness, sure bool) {
	switch f.Role {
	case schema.RoleCorridor, schema.RoleDock:
		return true, true
	case schema.RoleEdge:
		flush := edgeKind(f) == schema.EdgeFlush
		return flush, flush
	}
	return true, isPatch(f)
}

// isPatch reports whether a feature is something that, by its own word, a machine
// drives over: a slab, a lid, a paved place, a row of stones.
func isPatch(f *Feature) bool {
	if f.Role != schema.RoleOther {
		return false
	}
	over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
	return over
}

// hasRim reports whether the heights of a feature are followed along a line or
// ring of it: rims of keep-outs, flush edges, what is driven over.
func hasRim(f *Feature) bool {
	return f.Role == schema.RoleKeepout || f.Role == schema.RoleEdge || isPatch(f)
}

// witnessed are the heights of keep-outs' rims, marks and other points and lines,
// flush edges, areas driven over, corridors and docks, with the least slope in percent and the least
// step that a feature's limits allow.
func (r *run) witnessed() (pts []witness, slope, may float64) {
	slope, may = r.limits.SlopeMaxPercent, r.limits.StepMaxM
	low, high, count := math.Inf(1), math.Inf(-1), 0
	roles := [...]schema.Role{schema.RoleKeepout, schema.RoleMark, schema.RoleOther, schema.RoleEdge, schema.RoleCorridor, schema.RoleDock}
	for _, role := range roles {
		for _, f := range r.Of(role) {
			if is, _ := isWitness(f); is {
				l, h := f.heightRange()
				low, high, count = min(low, l), max(high, h), count+f.countPoints()
				may = min(may, r.of(f).StepMaxM)
			}
		}
	}
	if !(high-low > may) {
		return nil, slope, may
	}
	var wholes []wholeHeights
	for _, role := range roles {
		for _, f := range r.usableOf(role) {
			if is, _ := isWitness(f); is && !r.clamped(f) {
				slope = min(slope, r.of(f).SlopeMaxPercent)
				if len(wholes) <= fewWholes {
					wholes = appendWholes(wholes, f)
				}
			}
		}
	}
	if len(wholes) <= fewWholes && count <= fewSpots && evenWholes(wholes, slope, may) {
		return nil, slope, may
	}
	pts = make([]witness, 0, count)
	chains := 0
	for _, role := range roles {
		for _, f := range r.usableOf(role) {
			is, sure := isWitness(f)
			if !is || r.clamped(f) {
				continue
			}
			for _, v := range f.Points {
				if v.Height == v.Height && role != schema.RoleKeepout {
					pts = append(pts, witness{raised: raised{read: v.Read, ground: v.Ground, h: v.Height}, f: f, sure: sure})
				}
			}
			// chain adds the points of a line or ring, which is followed where
			// it is a rim or a flush edge: of corridors lineSlope judges that.
			rim := hasRim(f)
			chain := func(read, at []orb.Point, heights []float64, closed bool) {
				from, n := len(pts), len(at)
				if closed && n > 1 && at[0] == at[n-1] {
					n--
				}
				chains++
				along := 0.0
				for v := 0; v < n && heights != nil; v++ {
					if v > 0 {
						along += distance(at[v-1], at[v])
					}
					if h := heights[v]; h == h {
						w := witness{raised: raised{read: read[v], ground: at[v], h: h}, f: f, sure: sure}
						if rim {
							w.chain, w.along = chains, along
						}
						pts = append(pts, w)
					}
				}
				for k := from; k < len(pts) && closed && pts[k].chain > 0; k++ {
					pts[k].round = along + distance(at[n-1], at[0])
				}
			}
			for i := range f.Lines { // contours
				if role != schema.RoleKeepout {
					chain(f.Lines[i].Read, f.Lines[i].Ground, f.Lines[i].Heights, false)
				}
			}
			for i := range f.Areas {
				if a := &f.Areas[i]; a.Heights != nil && rim {
					for k := range a.Ground {
						chain(a.Read[k], a.Ground[k], a.Heights[k], true)
					}
				}
			}
		}
	}
	return pts, slope, may
}

// wholeHeights are the heights of a rim or edge as a whole, or of one point of
// something else.
type wholeHeights struct {
	f         *Feature
	bound     orb.Bound
	low, high float64
}

// fewWholes is of how many of those it is asked whether they are even.
const fewWholes = 60

func appendWholes(list []wholeHeights, f *Feature) []wholeHeights {
	if hasRim(f) {
		low, high := f.heightRange()
		return append(list, wholeHeights{f, f.bound, low, high})
	}
	for i := range f.Points {
		v := &f.Points[i]
		list = append(list, wholeHeights{f, v.Ground.Bound(), v.Height, v.Height})
	}
	for i := range f.Lines {
		for v, h := range f.Lines[i].Heights {
			list = append(list, wholeHeights{f, f.Lines[i].Ground[v].Bound(), h, h})
		}
	}
	return list
}

// evenWholes reports whether rims and edges are so even, each by itself and
// beside all else, that uneven and rimSlopes find nothing.
func evenWholes(wholes []wholeHeights, slope, may float64) bool {
	for i := range wholes {
		a := &wholes[i]
		if a.high-a.low > min(may, slope/100*slopeBaseM) {
			return false
		}
		for k := i + 1; k < len(wholes); k++ {
			b := &wholes[k]
			rise := max(a.high-b.low, b.high-a.low)
			if rise > may && (a.f != b.f || a.f.Role != schema.RoleCorridor) && rise-slope/100*boxGap(a.bound, b.bound) > min(may, stepRiseM)*(1-1e-9) {
				return false
			}
		}
	}
	return true
}

// boxGap is the distance between two boxes.
func boxGap(a, b orb.Bound) float64 {
	dx, dy := max(0, a.Min[0]-b.Max[0], b.Min[0]-a.Max[0]), max(0, a.Min[1]-b.Max[1], b.Min[1]-a.Max[1])
	if dx == 0 || dy == 0 {
		return dx + dy // as mostly
	}
	return math.Hypot(dx, dy)
}

// uneven judges two heights: those less than slopeBaseM apart along a rim or a
// flush edge as those along an outline, all else as steps between two features.
// It is nil where they are even or no mown ground lies between them, else z is
// whose it is; of heights more than stepReachM apart it is nil, too, where a
// worse pair of that zone is known, or the zone is steep by its own heights.
func (r *run) uneven(zones *solids, outlines []*raisedSides, a, b *witness, slope, may float64, worst map[int]*unevenWitnesses, doubt *unevenDoubt, looks *int) (z int, u *unevenWitnesses) {
	rise, d := math.Abs(b.h-a.h), distance(a.ground, b.ground)
	if rise <= may || a.f == b.f && a.f.Role == schema.RoleCorridor {
		return 0, nil
	}
	rim := a.chain > 0 && a.chain == b.chain
	limit, base := stepRiseM, d
	if a.f.Role == schema.RoleKeepout || b.f.Role == schema.RoleKeepout {
		base = max(d, stepBaseM) // beds are raised
	}
	if rim {
		if base = a.alongTo(b); base >= slopeBaseM {
			return 0, nil // rimSlopes judges those
		}
		limit = may
	}
	if rise-slope/100*base <= limit+1e-9 {
		if !rim && d < slopeBaseM && rise-slope/100*d > may+1e-9 {
			doubt.take(r, zones, a, b)
		}
		return 0, nil
	}
	if z = r.standsIn(zones, a); z < 0 || r.standsIn(zones, b) < 0 {
		return 0, nil
	}
	// The limits of these two, and of the zone, may be wider than the least.
	slope = math.Min(r.of(zones.features[z]).SlopeMaxPercent, r.slopeOf(a.f, b.f))
	if rim {
		limit = r.stepMay(a.f, zones.features[z])
	}
	u = &unevenWitnesses{a, b, rise - slope/100*base, limit, rim, a.sure && b.sure, 1}
	far := d > stepReachM
	if u.beyond <= limit+1e-9 || far && (outlines[z].steep || worst[z] != nil && !u.graver(worst[z])) {
		return 0, nil
	}
	if far {
		*looks++
	}
	if !rim && !r.mownBetween(zones, a.ground, b.ground) {
		return 0, nil
	}
	return z, u
}

// standsIn is the zone in whose mown ground a witness stands, -1 for none.
func (r *run) standsIn(zones *solids, w *witness) int {
	if w.looked {
		return w.zone
	}
	w.looked, w.zone = true, -1
	var own *Feature
	half := 0.0
	switch w.f.Role {
	case schema.RoleKeepout:
		own = w.f
	case schema.RoleEdge, schema.RoleOther:
		if hasRim(w.f) {
			half = r.halfWidth(w.f) // as much of it is driven over
		}
	}
	for _, k := range zones.near(w.ground.Bound().Pad(half)) {
		if (zones.locator(k).Locate(w.ground) == plane.Inside || half > 0 && r.nearMown(zones, k, w.ground, half)) && !r.keptOut(w.ground, own) {
			w.zone = k
			break
		}
	}
	return w.zone
}

// mownBetween reports whether only mown ground lies on the straight way between
// two places, and no wall, fence or drop.
func (r *run) mownBetween(zones *solids, a, b orb.Point) bool { return r.mownBut(zones, a, b, nil) }

// mownBut is mownBetween where the ground of a keep-out counts as mown.
func (r *run) mownBut(zones *solids, a, b orb.Point, own *Feature) bool {
	pieces := max(10, min(200, int(2*distance(a, b)))) // half a metre each, but for very far
	for i := 1; i < pieces; i++ {
		t := float64(i) / float64(pieces)
		p := orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
		in := false
		for _, k := range zones.near(p.Bound()) {
			in = in || zones.locator(k).Locate(p) != plane.Outside
		}
		if !in || r.keptOut(p, own) {
			return false
		}
	}
	box := segmentBox(a, b)
	return !r.stepWalls().about(box, box, stepRiseM+slackM).hold(a, b)
}

// rimSlopes judges the rise along rims and flush edges, where they lie in mown
// ground.
func (r *run) rimSlopes(zones *solids, outlines []*raisedSides, pts []witness, slope float64) {
	for i := 0; i < len(pts); {
		k, low, high := i, pts[i].h, pts[i].h
		for ; k < len(pts) && pts[k].chain == pts[i].chain; k++ {
			low, high = min(low, pts[k].h), max(high, pts[k].h)
		}
		ring := pts[i:k]
		i = k
		if ring[0].chain == 0 || high-low <= slope/100*slopeBaseM {
			continue
		}
		f, reasons, before := ring[0].f, r.reasons, len(r.findings)
		severity, words, last := Warning, " along a rim in mown ground", len(ring)
		if ring[0].sure {
			severity, words = Error, " along a flush edge in mown ground"
			if isPatch(ring[0].f) {
				words = " along the rim of what is driven over"
			}
		}
		if ring[0].round == 0 {
			last-- // it does not come back
		}
		var l Line
		end := func() {
			if len(l.Ground) > 1 && groundLength(l.Ground) >= slopeBaseM {
				r.lineSlope(f, l, r.of(f).SlopeMaxPercent, severity, words, nil)
			}
			l = Line{}
		}
		for v := 0; v <= last; v++ {
			p := &ring[v%len(ring)]
			if z := r.standsIn(zones, p); z < 0 || p.sure && outlines[z].steep {
				end()
				continue
			}
			l.Read, l.Ground, l.Heights = append(l.Read, p.read), append(l.Ground, p.ground), append(l.Heights, p.h)
		}
		end()
		r.reasons = reasons
		for n := len(r.findings) - 1; n > before; n-- { // the steepest place speaks for the rim
			if r.findings[n].Measured > r.findings[before].Measured {
				r.findings[before] = r.findings[n]
			}
			r.findings = r.findings[:n]
		}
	}
}

// tellWitnesses reports the worst pair of a zone: an error where its own
// outline bears both heights out, since a mark may stand on something and a bed
// may be raised.
func (r *run) tellWitnesses(u *unevenWitnesses, z *Feature, outline *raisedSides) {
	a, b := u.a, u.b
	features := []*Feature{a.f, b.f, z}
	if a.f == b.f {
		features = []*Feature{a.f, z}
	}
	x := r.finding(r.placeRead(a.f, a.read, a.ground), features...)
	x.Severity = Warning
	if u.sure || outline.bearsOut(a) && outline.bearsOut(b) {
		x.Severity = Error
	}
	x.Measured, x.Limit, x.Unit = u.beyond, u.limit, "m"
	x.Trace = r.trace(a.ground, b.ground)
	up := "up"
	if b.h < a.h {
		up = "down"
	}
	to := "a point near it on its own line"
	if !u.rim {
		to = b.f.describe()
	}
	more := ""
	if u.pairs > 1 {
		more = fmt.Sprintf(" (the worst of %d such pairs of heights in that zone)", u.pairs)
	}
	x.Message = fmt.Sprintf("lies in mown ground of %s and steps %s by %s over %s to %s, %s more than the limit of a slope allows; %s is the most: look at the ground there, and take the bank out of the zone, or the height away of what stands above the ground%s",
		z.describe(), up, metres(math.Abs(b.h-a.h)), metres(u.apart()), to, metresPast(u.beyond, u.limit), metres(u.limit), more)
}

// bearsOut reports whether an outline near a witness has its height.
func (s *raisedSides) bearsOut(w *witness) bool {
	if len(s.sides) == 0 {
		return false
	}
	k, d := s.nearest(w.ground)
	return k >= 0 && d <= stepReachM && math.Abs(heightOn(&s.sides[k], w.ground).h-w.h) <= stepRiseM
}
