// The free width across a corridor: what stands on one side of it against what
// stands on the other.

package validate

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// passageOf is the narrowest passage that a machine may be sent through: never
// less than the machine.
func passageOf(l *schema.Limits) float64 { return math.Max(l.PassageMinM, l.MachineWidthM) }

// crossWidth is the free width across a corridor at one place.
type crossWidth struct {
	width           float64
	at              orb.Point
	left, right     *Feature
	partly          bool // not every place was looked at
	slant           bool // an opening that the corridor goes through in a slant
	leftAt, rightAt orb.Point
}

// acrossWork bounds stations times sides along one stretch, slantedWork the
// pairs of sides.
const (
	acrossWork  = 1 << 24
	slantedWork = 1 << 20
)

// side is a stretch of an obstacle, turned so that the corridor's stretch runs
// along x from 0.
type side struct {
	p, q orb.Point
	f    *Feature
}

// stretchAxes turn the ground so that a stretch of a corridor runs along x.
type stretchAxes struct {
	a, u   orb.Point
	length float64
}

func axesOf(a, b orb.Point) stretchAxes {
	length := distance(a, b)
	return stretchAxes{a, orb.Point{(b[0] - a[0]) / length, (b[1] - a[1]) / length}, length}
}

func (t *stretchAxes) turn(p orb.Point) orb.Point {
	x, y := p[0]-t.a[0], p[1]-t.a[1]
	return orb.Point{x*t.u[0] + y*t.u[1], y*t.u[0] - x*t.u[1]}
}

func (t *stretchAxes) back(p orb.Point) orb.Point {
	return orb.Point{t.a[0] + p[0]*t.u[0] - p[1]*t.u[1], t.a[1] + p[0]*t.u[1] + p[1]*t.u[0]}
}

// narrowest returns the least free width across the stretch of the line pts that
// ends at s, between obstacles that are at most reach away, +Inf when nowhere
// one stands on either side: square to the stretch, and, where that is less,
// from what stands on one side to what stands farther on along the other.
func narrowest(pts []orb.Point, s int, obstacles []obstacle, reach float64) crossWidth {
	none := crossWidth{width: math.Inf(1)}
	t := axesOf(pts[s-1], pts[s])
	if !(t.length > 0) {
		return none
	}
	// Past a bend the line goes on, past its end it does not.
	from, to := 0.0, t.length
	if s > 1 {
		from = -reach
	}
	if s < len(pts)-1 {
		to += reach
	}
	var sides []side
	for _, o := range obstacles {
		prev := t.turn(o.pts[0])
		if len(o.pts) == 1 {
			if math.Abs(prev[1]) <= reach && prev[0] >= from && prev[0] <= to {
				sides = append(sides, side{prev, prev, o.f})
			}
			continue
		}
		for _, p := range o.pts[1:] {
			q := t.turn(p)
			if math.Max(prev[0], q[0]) >= from && math.Min(prev[0], q[0]) <= to &&
				math.Min(prev[1], q[1]) <= reach && math.Max(prev[1], q[1]) >= -reach {
				sides = append(sides, side{prev, q, o.f})
			}
			prev = q
		}
	}
	if len(sides) < 2 {
		return none
	}
	out := squareAcross(&t, sides)
	if w := slantedAcross(&t, pts, sides, from, to, reach); w.width < math.Min(out.width, reach)-slackM {
		w.partly = w.partly || out.partly
		return w
	} else if w.partly {
		out.partly = true
	}
	return out
}

// squareAcross returns the least width square to the stretch. The distance to
// the nearest obstacle on one side is, between two neighbouring ends of
// obstacles, a least of straight lines and so concave; the width is therefore
// least at the ends of obstacles and of the stretch, and only those are looked
// at.
func squareAcross(t *stretchAxes, sides []side) crossWidth {
	out := crossWidth{width: math.Inf(1)}
	stations := []float64{0, t.length}
	for _, w := range sides {
		for _, s := range [...]float64{w.p[0], w.q[0]} {
			if s > 0 && s < t.length {
				stations = append(stations, s)
			}
		}
	}
	sort.Float64s(stations)
	if len(stations)*len(sides) > acrossWork { // a tangle: look at an even choice of stations
		few := max(2, acrossWork/len(sides))
		for i := 0; i < few; i++ {
			stations[i] = stations[i*len(stations)/few]
		}
		stations = stations[:few]
		out.partly = true
	}
	for i, s := range stations {
		if i > 0 && s == stations[i-1] {
			continue
		}
		left, right := math.Inf(1), math.Inf(1)
		var lf, rf *Feature
		for _, w := range sides {
			lo, hi := w.p, w.q
			if lo[0] > hi[0] {
				lo, hi = hi, lo
			}
			if s < lo[0]-slackM || s > hi[0]+slackM {
				continue
			}
			ys := [2]float64{lo[1], hi[1]} // of one that runs across, both ends
			if hi[0]-lo[0] > 2*slackM {
				t := math.Max(0, math.Min(1, (s-lo[0])/(hi[0]-lo[0])))
				y := lo[1] + t*(hi[1]-lo[1])
				ys = [2]float64{y, y}
			}
			for _, y := range ys {
				if y >= 0 && y < left {
					left, lf = y, w.f
				}
				if y <= 0 && -y < right {
					right, rf = -y, w.f
				}
			}
		}
		if w := left + right; w < out.width {
			out = crossWidth{w, t.back(orb.Point{s, 0}), lf, rf, out.partly, false, t.back(orb.Point{s, left}), t.back(orb.Point{s, -right})}
		}
	}
	return out
}

// slantedAcross returns the least distance, if it is less than reach, from what
// stands on the left of the stretch to what stands on the right, where the
// straight way between the two crosses the corridor pts and so no machine goes
// round. Only what stands between from and to along the stretch is looked at.
func slantedAcross(t *stretchAxes, pts []orb.Point, sides []side, from, to, reach float64) crossWidth {
	out := crossWidth{width: math.Inf(1)}
	var left, right []side
	for _, w := range sides {
		p, q, ok := clipTo(w.p, w.q, 0, from, to)
		if !ok {
			continue
		}
		if a, b, ok := clipTo(p, q, 1, 0, reach); ok {
			left = append(left, side{a, b, w.f})
		}
		if a, b, ok := clipTo(p, q, 1, -reach, 0); ok {
			right = append(right, side{a, b, w.f})
		}
	}
	if len(left) == 0 || len(right) == 0 {
		return out
	}
	begin := func(w side) float64 { return math.Min(w.p[0], w.q[0]) }
	finish := func(w side) float64 { return math.Max(w.p[0], w.q[0]) }
	slices.SortStableFunc(right, func(a, b side) int { return cmp.Compare(begin(a), begin(b)) })
	longest := 0.0 // of the right side, along the stretch
	for _, w := range right {
		longest = math.Max(longest, finish(w)-begin(w))
	}
	work := 0
	best := reach
	for _, l := range left {
		lo, hi := begin(l)-best, finish(l)+best
		first := sort.Search(len(right), func(i int) bool { return begin(right[i]) >= lo-longest })
		for _, w := range right[first:] {
			if begin(w) > hi {
				break
			}
			if work++; work > slantedWork {
				out.partly = true
				return out
			}
			if finish(w) < lo || math.Min(l.p[1], l.q[1])-math.Max(w.p[1], w.q[1]) >= best {
				continue
			}
			p, q := nearestPair(l.p, l.q, w.p, w.q)
			d := distance(p, q)
			if d >= best {
				continue
			}
			if work += len(pts) / 8; !crossesOddly(t.back(p), t.back(q), pts) {
				continue
			}
			best = d
			at := p // where the way between them meets the stretch
			if drop := p[1] - q[1]; drop > 0 {
				at = orb.Point{p[0] + (q[0]-p[0])*p[1]/drop, 0}
			}
			at[0] = math.Max(0, math.Min(t.length, at[0]))
			out = crossWidth{d, t.back(at), l.f, w.f, out.partly, false, t.back(p), t.back(q)}
		}
	}
	return out
}

// An opening is what lies between two ends of walls, hedges, houses or the like that
// run on from there in line with it, within openingTurn (25 degrees) and away from
// the corridor by openingAway (10 degrees), and that no side leads into (60 degrees).
// Common practice, no source.
const (
	openingTurn = 0.906
	openingAway = 0.174
	openingInto = 0.5
)

// openingEnd is a corner of an obstacle at which an opening may end, turned as side
// is, with the ways on from there.
type openingEnd struct {
	at   orb.Point
	ways [2]orb.Point
	n    int
	f    *Feature
}

// ends reports whether what stands at an end goes on there away from the other end
// and not towards it.
func (e *openingEnd) ends(other orb.Point) bool {
	to, ok := unit(e.at, other)
	away := false
	for _, w := range e.ways[:e.n] {
		along := w[0]*to[0] + w[1]*to[1]
		if along > openingInto {
			return false
		}
		away = away || along <= -openingTurn && w[1]*e.at[1] >= openingAway*math.Abs(e.at[1])
	}
	return ok && away
}

// openingAcross returns the least free width across the direction of the stretch that
// ends at s, in an opening of at most long metres that it goes through: a machine
// that goes through one in a slant has less room than the opening is wide. Within so
// much of a bend it may turn there.
func openingAcross(pts []orb.Point, s int, obstacles []obstacle, reach, long, bend float64) crossWidth {
	out := crossWidth{width: reach}
	t := axesOf(pts[s-1], pts[s])
	if !(t.length > 0) {
		return out
	}
	var left, right []openingEnd
	for _, o := range obstacles {
		n := len(o.pts)
		closed := n > 3 && o.pts[0] == o.pts[n-1]
		for i := range o.pts {
			if closed && i == n-1 || n < 2 {
				break
			}
			e := openingEnd{at: t.turn(o.pts[i]), f: o.f}
			if math.Abs(e.at[1]) >= reach || e.at[0] < -long || e.at[0] > t.length+long {
				continue
			}
			for _, k := range [...]int{i - 1, i + 1} {
				if closed && k < 0 {
					k = n - 2
				}
				if k < 0 || k >= n {
					continue
				}
				if w, ok := unit(e.at, t.turn(o.pts[k])); ok {
					e.ways[e.n] = w
					e.n++
				}
			}
			if e.at[1] > 0 {
				left = append(left, e)
			} else {
				right = append(right, e)
			}
		}
	}
	if len(left)*len(right) > slantedWork {
		out.partly = true
		return out
	}
	for i := range left {
		for k := range right {
			p, q := left[i].at, right[k].at
			w := p[1] - q[1]
			if w >= out.width || math.Abs(p[0]-q[0]) > long || distance(p, q) > long || w <= 0 {
				continue
			}
			x := p[0] + (q[0]-p[0])*p[1]/w // where the stretch goes through
			if x < -slackM || x > t.length+slackM || !left[i].ends(q) || !right[k].ends(p) {
				continue
			}
			for _, n := range [...]int{s - 1, s + 1} { // the stretch before and after
				if n < 1 || n >= len(pts) || n < s && x > bend || n > s && x < t.length-bend {
					continue
				}
				u := axesOf(pts[n-1], pts[n])
				if d := u.turn(t.back(p))[1] - u.turn(t.back(q))[1]; u.length > 0 && d > w {
					w = d
				}
			}
			if w < out.width {
				out = crossWidth{w, t.back(orb.Point{x, 0}), left[i].f, right[k].f, false, true, t.back(p), t.back(q)}
			}
		}
	}
	return out
}

// clipTo returns the part of pq whose coordinate k lies from lo to hi.
func clipTo(p, q orb.Point, k int, lo, hi float64) (orb.Point, orb.Point, bool) {
	if math.Max(p[k], q[k]) < lo || math.Min(p[k], q[k]) > hi {
		return p, q, false
	}
	at := func(v float64) orb.Point {
		f := (v - p[k]) / (q[k] - p[k])
		out := orb.Point{p[0] + f*(q[0]-p[0]), p[1] + f*(q[1]-p[1])}
		out[k] = v
		return out
	}
	a, b := p, q
	for _, e := range [...]*orb.Point{&a, &b} {
		switch {
		case e[k] < lo:
			*e = at(lo)
		case e[k] > hi:
			*e = at(hi)
		}
	}
	return a, b, true
}

// nearestPair returns the nearest points of two segments that do not cross.
func nearestPair(a, b, c, d orb.Point) (p, q orb.Point) {
	p, q = a, nearestOn(a, c, d)
	least := distance(p, q)
	for _, pair := range [...][2]orb.Point{{b, nearestOn(b, c, d)}, {nearestOn(c, a, b), c}, {nearestOn(d, a, b), d}} {
		if w := distance(pair[0], pair[1]); w < least {
			p, q, least = pair[0], pair[1], w
		}
	}
	return p, q
}

// crossesOddly reports whether the segment pq crosses the line an odd number of
// times, and so from one side of it to the other.
func crossesOddly(p, q orb.Point, line []orb.Point) bool {
	above := func(a, b, x orb.Point) bool {
		return (b[0]-a[0])*(x[1]-a[1])-(b[1]-a[1])*(x[0]-a[0]) > 0
	}
	odd := false
	was := above(p, q, line[0])
	for i := 1; i < len(line); i++ {
		is := above(p, q, line[i])
		if is != was && above(line[i-1], line[i], p) != above(line[i-1], line[i], q) {
			odd = !odd
		}
		was = is
	}
	return odd
}
