// The margin rose: how far the driven ground can move on each bearing before it
// meets a hazard, an edge or the boundary, and how likely an uncertain base is
// to bring that about.

package validate

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// RoseBearings is how many bearings a margin rose has: one every five degrees.
const RoseBearings = 72

// grazeRad turns a bearing a little to either side. Where only one of the two
// meets an driftObstacle, the ground slides along it and does not run into it;
// at 500 m the turn moves the ground by 0.5 mm.
const grazeRad = 1e-6

// touchM is below what two outlines that share a line differ by after rounding.
const touchM = 1e-6

// Margin says how much movement a plan bears.
type Margin struct {
	// LeastM is the smallest margin in metres over all directions, and
	// BearingDeg its direction, degrees clockwise from true north. LeastM is
	// +Inf when nothing is in the way.
	LeastM     float64
	BearingDeg float64
	// Meets names what is met first there; nil when nothing is.
	Meets *Feature
	Rose  []Spoke
}

// Spoke is the margin on one bearing.
type Spoke struct {
	BearingDeg float64
	// MarginM is the shift in metres before something is met, +Inf for nothing.
	MarginM float64
	Meets   *Feature
}

// driftObstacle is something the driven ground must not run into: the outlines
// of its areas, which bound a solid, and its lines and points, which do not.
type driftObstacle struct {
	f *Feature
	// solid is the forbidden ground. Rings run anticlockwise round what is
	// forbidden (holes clockwise).
	solid orb.MultiPolygon
	// lines are forbidden to cross; a point is a line of one vertex.
	lines []orb.LineString
	// inside is set for a boundary: the ground outside solid is forbidden.
	inside bool
	// met is set when the driven ground is in it before anything moves.
	met bool
	// before is the forbidden ground that is driven before anything moves,
	// worked out when first asked for.
	before      orb.MultiPolygon
	beforeKnown bool
	// locator is that of solid, and form what is known of its depths; made when
	// first asked for.
	locator *plane.Locator
	form    solidForm
}

// solidForm says of an outline that is convex where it is deepest, and how
// deep.
type solidForm struct {
	convex  bool
	deepest orb.Point
	depth   float64
}

// marginOf computes the rose of the driven ground against the driftObstacles.
// bearings must be at least 1.
func marginOf(driven orb.MultiPolygon, driftObstacles []driftObstacle, bearings int) Margin {
	m := Margin{LeastM: math.Inf(1)}
	if len(driven) == 0 {
		return m
	}
	for i := 0; i < bearings; i++ {
		bearing := 360 * float64(i) / float64(bearings)
		s := Spoke{BearingDeg: bearing, MarginM: math.Inf(1)}
		both := grazing(driven, bearing)
		for k := range driftObstacles {
			d := 0.0
			if !driftObstacles[k].met {
				d = both.gap(&driftObstacles[k])
			}
			if d < s.MarginM {
				s.MarginM, s.Meets = d, driftObstacles[k].f
			}
		}
		m.Rose = append(m.Rose, s)
		if s.MarginM < m.LeastM {
			m.LeastM, m.BearingDeg, m.Meets = s.MarginM, bearing, s.Meets
		}
	}
	// The least margin over all directions is the clearance itself, whose
	// bearing seldom is one of the rose's.
	for k := range driftObstacles {
		if driftObstacles[k].met {
			continue
		}
		d, bearing, ok := driftObstacles[k].clearance(driven)
		if ok && d > touchM && d < m.LeastM { // at a touch the rose knows the bearing
			m.LeastM, m.BearingDeg, m.Meets = d, bearing, driftObstacles[k].f
		}
	}
	return m
}

// clearance is the least distance from the driven ground to the driftObstacle,
// with its bearing.
func (o *driftObstacle) clearance(driven orb.MultiPolygon) (d, bearing float64, ok bool) {
	d = math.Inf(1)
	take := func(g orb.Geometry) {
		dist, p, q := plane.Clearance(driven, g)
		if dist < d && !math.IsNaN(dist) {
			d, bearing, ok = dist, vectorBearing(q[0]-p[0], q[1]-p[1]), true
		}
	}
	for _, l := range o.lines {
		if len(l) == 1 {
			take(l[0])
		} else {
			take(l)
		}
	}
	for _, area := range o.solid {
		if !o.inside {
			take(area)
			continue
		}
		for _, ring := range area { // from within, only the outline can be met
			take(orb.LineString(ring))
		}
	}
	return d, bearing, ok
}

// grazingSweeps are the driven ground prepared for movement to either side of a
// bearing.
type grazingSweeps [2]*sweep

func grazing(driven orb.MultiPolygon, bearing float64) grazingSweeps {
	b := bearing * math.Pi / 180
	return grazingSweeps{newSweep(driven, b-grazeRad), newSweep(driven, b+grazeRad)}
}

// gap is the least shift in metres along the bearing after which the driven
// ground runs into the driftObstacle; +Inf when it never does.
func (g grazingSweeps) gap(o *driftObstacle) float64 {
	return math.Max(g[0].gap(o), g[1].gap(o))
}

func (s *sweep) gap(o *driftObstacle) float64 {
	s.standingAt, s.standingSeg = s.standingAt[:0], s.standingSeg[:0]
	for _, area := range o.solid {
		for _, ring := range area {
			s.standing(orb.LineString(ring), true, o.inside)
		}
	}
	for _, l := range o.lines {
		s.standing(l, false, false)
	}
	sortAcross(s.standingAt)
	return s.least()
}

// sweep holds two sets of segments in coordinates c across and t along the
// direction of movement, their vertices sorted by c. The moving set is the
// driven ground, whose rings run anticlockwise about it.
type sweep struct {
	sin, cos               float64
	movingAt, standingAt   []crossPoint // vertices
	movingSeg, standingSeg []crossSegment
}

type crossPoint struct{ c, t float64 }

// crossSegment runs from a to b, a.c < b.c. block says on which side of it lies
// what counts: for a moving one, +1 when the ground lies ahead (on the side of
// greater t), -1 when it lies behind; for a standing one likewise with the
// forbidden ground, 0 when both sides are free (a line).
type crossSegment struct {
	a, b  crossPoint
	block int
}

func newSweep(driven orb.MultiPolygon, bearing float64) *sweep {
	s := &sweep{sin: math.Sin(bearing), cos: math.Cos(bearing)}
	for _, area := range driven {
		for _, ring := range area {
			s.movingAt, s.movingSeg = s.add(s.movingAt, s.movingSeg, orb.LineString(ring), true, false)
		}
	}
	sortAcross(s.movingAt)
	return s
}

func sortAcross(p []crossPoint) {
	slices.SortFunc(p, func(a, b crossPoint) int { return cmp.Compare(a.c, b.c) })
}

// turn gives c to the right of the direction and t along it.
func (s *sweep) turn(p orb.Point) crossPoint {
	return crossPoint{p[0]*s.cos - p[1]*s.sin, p[0]*s.sin + p[1]*s.cos}
}

func (s *sweep) standing(l orb.LineString, solid, inside bool) {
	s.standingAt, s.standingSeg = s.add(s.standingAt, s.standingSeg, l, solid, inside)
}

func (s *sweep) add(at []crossPoint, seg []crossSegment, l orb.LineString, solid, outside bool) ([]crossPoint, []crossSegment) {
	for i, p := range l {
		q := s.turn(p)
		at = append(at, q)
		if i == 0 {
			continue
		}
		prev := s.turn(l[i-1])
		x := crossSegment{a: prev, b: q}
		if solid {
			// Anticlockwise ground lies to the left. c runs to the right of the
			// direction of movement, so a segment that runs towards greater c
			// has the ground on the side of greater t.
			x.block = 1
		}
		if x.a.c > x.b.c {
			x.a, x.b = x.b, x.a
			x.block = -x.block
		}
		if outside {
			x.block = -x.block
		}
		if x.steepness() > 10*grazeRad { // one along the direction is met at its ends
			seg = append(seg, x)
		}
	}
	return at, seg
}

// least is the smallest shift at which a moving vertex meets a standing segment
// or a moving segment meets a standing vertex, counting a touch at the start
// only when the movement leads into it.
func (s *sweep) least() float64 {
	best := math.Inf(1)
	for _, x := range s.standingSeg {
		if x.block < 0 {
			continue // the far side of forbidden ground is met from within it
		}
		for _, p := range between(s.movingAt, x.a.c, x.b.c) {
			d := x.at(p.c) - p.t
			touch := touchM / x.steepness() // touchM across the segment, along the way
			if d >= best || d < -touch || d < touch && x.block == 0 && !s.groundBehind(p) {
				continue
			}
			best = math.Max(d, 0)
		}
	}
	for _, x := range s.movingSeg {
		if x.block > 0 {
			continue // the ground's rear
		}
		for _, q := range between(s.standingAt, x.a.c, x.b.c) {
			if d := q.t - x.at(q.c); d < best && d > -touchM/x.steepness() {
				best = math.Max(d, 0)
			}
		}
	}
	return best
}

// groundBehind reports whether driven ground lies right behind a vertex that
// stands on a line: only then does the movement carry it over that line.
func (s *sweep) groundBehind(p crossPoint) bool {
	const back = 10 * touchM
	inside := false
	for _, x := range s.movingSeg {
		if x.a.c < p.c && p.c <= x.b.c && x.at(p.c) < p.t-back {
			inside = !inside
		}
	}
	return inside
}

// steepness is the sine of the angle between the segment and the direction of
// movement, from 0 up to 1.
func (x *crossSegment) steepness() float64 {
	c, t := x.b.c-x.a.c, x.b.t-x.a.t
	if c == 0 {
		return 0
	}
	return math.Abs(c) / math.Hypot(c, t)
}

// at is t on the segment at c.
func (x *crossSegment) at(c float64) float64 {
	return x.a.t + (x.b.t-x.a.t)*(c-x.a.c)/(x.b.c-x.a.c)
}

// between returns the points of a sorted slice that lie between lo and hi by
// more than what passes for a graze.
func between(p []crossPoint, lo, hi float64) []crossPoint {
	lo, hi = lo+10*touchM, hi-10*touchM
	i := sort.Search(len(p), func(i int) bool { return p[i].c > lo })
	j := sort.Search(len(p), func(i int) bool { return p[i].c >= hi })
	if j < i {
		return nil
	}
	return p[i:j]
}

// vectorBearing is the bearing of a vector, degrees clockwise from north, 0
// to 360.
func vectorBearing(e, n float64) float64 {
	b := math.Atan2(e, n) * 180 / math.Pi
	if b < 0 {
		b += 360
	}
	return b
}

// BreakProbability is the probability that a shift with normally distributed
// error reaches past the rose's margin: the error has the covariance
// [[ee, en], [en, nn]] in square metres about no shift at all. The rose's
// spokes must be evenly spaced, and the result is as fine as they are: the
// margin is taken as straight between two spokes.
//
// With a = u' C^-1 u for the unit vector u of a bearing, the density along that
// bearing beyond the margin m integrates to exp(-a m^2 / 2) / (2 pi sqrt(det C)
// a), from the bivariate normal density in polar coordinates. The integral over
// the bearings is taken by the trapezium rule, which converges faster than any
// power on a periodic function. It is an error of the caller (NaN) when the
// covariance is not positive definite.
func BreakProbability(rose []Spoke, ee, en, nn float64) float64 {
	det := ee*nn - en*en
	if !(det > 0) || !(ee > 0) || len(rose) == 0 {
		return math.NaN()
	}
	const parts = 8 // steps between two spokes
	sum, n := 0.0, len(rose)*parts
	for i := 0; i < n; i++ {
		k, f := i/parts, float64(i%parts)/parts
		m := lerp(rose[k].MarginM, rose[(k+1)%len(rose)].MarginM, f)
		b := 2 * math.Pi * float64(i) / float64(n)
		ue, un := math.Sin(b), math.Cos(b)
		a := (nn*ue*ue - 2*en*ue*un + ee*un*un) / det
		if !math.IsInf(m, 1) {
			sum += math.Exp(-a*m*m/2) / a
		}
	}
	return sum * (2 * math.Pi / float64(n)) / (2 * math.Pi * math.Sqrt(det))
}

// lerp keeps the finite one where only one of two margins is finite.
func lerp(a, b, f float64) float64 {
	switch {
	case f == 0 || math.IsInf(b, 1) && f < 0.5:
		return a
	case math.IsInf(a, 1) || math.IsInf(b, 1):
		if f < 0.5 {
			return a
		}
		return b
	}
	return a + (b-a)*f
}
