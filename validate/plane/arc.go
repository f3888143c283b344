// Arcs: runs of vertices that were drawn along a circle.

package plane

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Arc is a run of vertices of a ring or line that lie on one circle.
type Arc struct {
	// First is the index of its first vertex and Count how many it has; in a
	// ring it may run over the closing point. A whole circle has every vertex
	// once.
	First, Count int
	// Whole is set when all of a ring is on the circle.
	Whole  bool
	Centre orb.Point
	Radius float64
	// Turn is +1 when the run goes anticlockwise about the centre, -1 when
	// clockwise.
	Turn int
	// Sagitta is how far the longest chord c of the run stays inside the arc at
	// its middle: r - sqrt(r^2 - c^2/4), which is r(1 - cos(a/2)) for the angle
	// a that it spans.
	Sagitta float64
	// At is the middle of that chord.
	At orb.Point
}

// ArcRule says which runs count as arcs.
type ArcRule struct {
	// Tolerance is how far vertices may lie off the circle, in the units of the
	// coordinates; also the least sagitta, since a flatter arc cannot be told
	// from a straight.
	Tolerance float64
	// MinVertices is the least number of vertices; 0 stands for 4, the least
	// that can contradict a circle.
	MinVertices int
	// MaxTurn is the greatest change of direction at a vertex, in radians; 0
	// stands for 65 degrees. A hexagon passes for a coarse circle (60 degrees),
	// a rectangle (90) and a pentagon (72) do not.
	MaxTurn float64
	// MaxRatio is the greatest ratio of the longest to the shortest chord; 0
	// stands for 3. A square with cut corners lies on a circle too, but its
	// sides alternate.
	MaxRatio float64
	// Least is the least sagitta asked for: a sequence so finely drawn that
	// none of its arcs can have it is passed over, which is much quicker than
	// fitting them. 0 passes over none.
	Least float64
}

func (r ArcRule) withDefaults() ArcRule {
	if r.MinVertices < 4 {
		r.MinVertices = 4
	}
	if r.MaxTurn <= 0 {
		r.MaxTurn = 65 * math.Pi / 180
	}
	if r.MaxRatio <= 0 {
		r.MaxRatio = 3
	}
	return r
}

// FitArcs finds the arcs in the ring or line pts; a sequence whose last point
// equals its first is a ring. Each is as long as it can be: runs that turn one
// way, never by more than MaxTurn, with chords of similar length, all vertices
// within the tolerance of the circle that fits them best by least squares (or
// within a twentieth of the sagitta, for curves that are not quite round). Arcs
// do not overlap but for their end vertices, and come in the order of their
// first ones. Repeated points are looked past.
func FitArcs(pts []orb.Point, rule ArcRule) []Arc {
	rule = rule.withDefaults()
	closed := len(pts) > 3 && pts[0] == pts[len(pts)-1]
	if rule.Least > 0 && rule.greatestSagitta(pts, closed) < rule.Least {
		return nil
	}
	var f arcFit
	f.rule = rule
	if closed {
		f.idx = distinct(pts)
	} else {
		for i := range pts {
			if i == 0 || pts[i] != pts[i-1] {
				f.idx = append(f.idx, i)
			}
		}
	}
	f.pts = make([]orb.Point, 0, 3*len(f.idx))
	for _, i := range f.idx {
		if !finite(pts[i]) {
			return nil
		}
		f.pts = append(f.pts, pts[i])
	}
	n := len(f.pts)
	if n < rule.MinVertices {
		return nil
	}
	f.distinct = n
	if closed {
		f.pts = append(append(f.pts, f.pts...), f.pts...)
	}
	f.measure()
	var out []Arc
	if !closed {
		for i := 0; i+rule.MinVertices <= n; {
			if a, ok := f.longest(i, n-i); ok {
				out = append(out, a)
				i += a.Count - 1
			} else {
				i++
			}
		}
		return f.named(out)
	}
	// A whole circle: all of it, and the corner over the closing point too.
	if a, ok := f.whole(n); ok {
		return f.named([]Arc{a})
	}
	// Begin where no arc runs through: at the end of the longest run that
	// starts at 0, or at 0 if there is none.
	start := 0
	if a, ok := f.longest(0, n); ok {
		start = a.Count - 1
	}
	for i := start; i < start+n; {
		if a, ok := f.longest(i, min(n, start+n-i+1)); ok {
			out = append(out, a)
			i += a.Count - 1
		} else {
			i++
		}
	}
	for i := range out {
		out[i].First %= n
	}
	slices.SortFunc(out, func(a, b Arc) int { return cmp.Compare(a.First, b.First) })
	return f.named(out)
}

// named turns places among the distinct vertices into indexes as given.
func (f *arcFit) named(arcs []Arc) []Arc {
	for i := range arcs {
		arcs[i].First = f.idx[arcs[i].First]
	}
	return arcs
}

type arcFit struct {
	rule ArcRule
	pts  []orb.Point // a ring thrice over
	// distinct is how many vertices there are, a ring counted once.
	distinct int
	idx      []int
	// chord is the distance of each vertex from the next; turn the sense in
	// which the way turns there, 0 when it does not or when it turns too much.
	chord []float64
	turn  []int8
}

// longest returns the longest arc of at most most vertices that begins at
// vertex i.
func (f *arcFit) longest(i, most int) (best Arc, ok bool) {
	k := f.rule.MinVertices
	if most < k || !f.steady(i, k) {
		return best, false
	}
	best, ok = f.fit(i, k)
	if !ok {
		return best, false
	}
	// Twice as long as long as it fits, then halve the step: every prefix of an
	// arc is one.
	for step := k; step > 0; {
		if c := best.Count + step; c <= most && f.steady(i, c) {
			if a, ok := f.fit(i, c); ok {
				best = a
				step *= 2
				continue
			}
		}
		step /= 2
	}
	return best, true
}

// whole tries all n vertices of a ring and its last chord.
func (f *arcFit) whole(n int) (Arc, bool) {
	if n < f.rule.MinVertices || !f.steady(0, n+2) {
		return Arc{}, false
	}
	a, ok := f.fit(0, n+1)
	a.Count, a.Whole = n, true
	return a, ok
}

// measure prepares chords and turns.
func (f *arcFit) measure() {
	n := len(f.pts)
	f.chord = make([]float64, n)
	f.turn = make([]int8, n)
	least := math.Cos(f.rule.MaxTurn)
	var ux, uy float64
	for k := 0; k+1 < n; k++ {
		p, q := f.pts[k], f.pts[k+1]
		vx, vy := q[0]-p[0], q[1]-p[1]
		if k > f.distinct { // the ring again
			f.chord[k], f.turn[k] = f.chord[k-f.distinct], f.turn[k-f.distinct]
			continue
		}
		f.chord[k] = math.Hypot(vx, vy)
		if k > 0 && ux*vx+uy*vy >= least*f.chord[k-1]*f.chord[k] {
			f.turn[k] = int8(Orient(f.pts[k-1], p, q))
		}
		ux, uy = vx, vy
	}
}

// greatestSagitta returns what no arc's sagitta can exceed: the most that
// sagittaAt gives for any chord and one beside it, since a run holds at least
// one of the two beside its longest. Chords are left out that no run can hold
// side by side.
func (r *ArcRule) greatestSagitta(pts []orb.Point, closed bool) float64 {
	n, most := len(pts), len(pts)
	if closed {
		n--
		most = 2 * n // round again until two chords are behind the closing point
	}
	leastCos := math.Cos(r.MaxTurn) - 1e-9
	worst, past := 0.0, 0
	var p orb.Point
	var ux, uy, before float64
	for i := 0; i < most && past < 2; i++ {
		q := pts[i%n]
		if i > 0 && q == p {
			continue
		}
		vx, vy := q[0]-p[0], q[1]-p[1]
		p = q
		if i == 0 {
			continue
		}
		if i >= n {
			past++
		}
		chord := math.Sqrt(vx*vx + vy*vy)
		dot := ux*vx + uy*vy
		long, short := max(before, chord), min(before, chord)
		if short > 0 && dot >= leastCos*long*short && long <= r.MaxRatio*(1+1e-9)*short {
			turn := 2 * math.Abs(det2(ux, uy, vx, vy)) / (long*short + dot) // twice the tangent of half of it
			s := sagittaAt(long, short, turn, max(r.Tolerance, long/40))
			if s <= 20*r.Tolerance {
				s = sagittaAt(long, short, turn, r.Tolerance)
			}
			worst = max(worst, s)
		}
		ux, uy, before = vx, vy, chord
	}
	return worst
}

// sagittaAt returns what the sagitta of an arc cannot exceed whose longest
// chord is long, with the chord short beside it and the turn between the two,
// in radians, no more than turn, when its vertices lie at most off the circle;
// +Inf when that cannot be told. (Off is the tolerance or a twentieth of the
// sagitta, and no sagitta is more than half its chord.)
//
// Moved onto the circle, of radius r, the chords are at most 2 off shorter, and
// their directions change by at most asin(2 off/chord) each. There the turn is
// half the sum of the angles that they span, each more than chord/r. So r is at
// least (long+short-4 off) / 2(turn+change), and the sagitta at most that of
// the long chord on such a circle.
//
// The vertices go round the circle one way: going to and fro by chords near its
// diameter turns little too, but reaches farther than the circle is wide when
// off is less than a ninth of the chord.
func sagittaAt(long, short, turn, off float64) float64 {
	change := 2.2 * off * (1/long + 1/short) // asin x < 1.1 x up to 0.5
	if !(turn <= 0.5 && change <= 0.3 && long >= 9*off && short >= 4*off) {
		return math.Inf(1)
	}
	r, h := (long+short-4*off)/(2*(turn+change)), long/2
	if r <= h {
		return math.Inf(1)
	}
	return h * h / (r + math.Sqrt(r*r-h*h)) * (1 + 1e-9)
}

// steady reports whether the run of count vertices from i turns one way,
// nowhere too much, in chords of similar length.
func (f *arcFit) steady(i, count int) bool {
	first := f.turn[i+1]
	if first == 0 {
		return false
	}
	shortest, longest := f.chord[i], f.chord[i]
	for k := i + 1; k < i+count-1; k++ {
		if f.turn[k] != first {
			return false
		}
		shortest, longest = min(shortest, f.chord[k]), max(longest, f.chord[k])
	}
	return longest <= f.rule.MaxRatio*shortest
}

// fit fits a circle and reports whether the run lies on it.
func (f *arcFit) fit(i, count int) (Arc, bool) {
	p := f.pts[i : i+count]
	a := Arc{First: i, Count: count, Turn: int(f.turn[i+1])}
	longest := 0.0
	for k := 1; k < count; k++ {
		if l := f.chord[i+k-1]; l > longest {
			longest = l
			a.At = orb.Point{p[k][0]/2 + p[k-1][0]/2, p[k][1]/2 + p[k-1][1]/2}
		}
	}
	// Through three of its points, good enough to tell what is far from a
	// circle.
	h := longest / 2
	second, third := p[count/2], p[count-1]
	if third == p[0] {
		second, third = p[count/3], p[2*count/3]
	}
	c, r := circumcircle(p[0], second, third)
	flat := h * h / (2 * max(r, h)) // about the sagitta
	if flat < f.rule.Tolerance/2 || offCircle(p, c, r) > 8*max(f.rule.Tolerance, flat/20) {
		return a, false
	}
	c, r, ok := fitCircle(p)
	if !ok || h > r {
		return a, false
	}
	a.Centre, a.Radius, a.Sagitta = c, r, h*h/(r+math.Sqrt(r*r-h*h)) // r - sqrt(r^2-h^2) without cancellation
	if a.Sagitta < f.rule.Tolerance {
		return a, false
	}
	return a, offCircle(p, c, r) <= max(f.rule.Tolerance, a.Sagitta/20)
}

// offCircle returns how far the furthest of the points lies off the circle.
func offCircle(p []orb.Point, c orb.Point, r float64) float64 {
	worst := 0.0
	for _, q := range p {
		dx, dy := q[0]-c[0], q[1]-c[1]
		worst = max(worst, math.Abs(math.Sqrt(dx*dx+dy*dy)-r))
	}
	return worst
}

// fitCircle returns the circle with the least sum of squared distances: Kasa's
// algebraic fit, bettered by Gauss-Newton steps on the distances themselves
// (Gander, Golub and Strebel 1994).
func fitCircle(p []orb.Point) (c orb.Point, r float64, ok bool) {
	n := float64(len(p))
	var mx, my float64
	for _, q := range p {
		mx += (q[0] - p[0][0]) / n
		my += (q[1] - p[0][1]) / n
	}
	mx += p[0][0]
	my += p[0][1]
	var xx, xy, yy, xz, yz, zz float64
	for _, q := range p {
		x, y := q[0]-mx, q[1]-my
		z := x*x + y*y
		xx, xy, yy, xz, yz, zz = xx+x*x, xy+x*y, yy+y*y, xz+x*z, yz+y*z, zz+z
	}
	d := 2 * det2(xx, xy, xy, yy)
	if d == 0 {
		return c, 0, false
	}
	x, y := det2(xz, yz, xy, yy)/d, det2(xx, xy, xz, yz)/d
	r = math.Sqrt(x*x + y*y + zz/n)
	for range 8 {
		// Least squares for the steps dx, dy, dr: each point's residual is
		// |q-c| - r. Rows are (ux, uy, 1) with u the direction from the centre,
		// signs left out.
		var sxx, sxy, syy, sx, sy, bx, by, br float64
		for _, q := range p {
			ux, uy := q[0]-mx-x, q[1]-my-y
			l := math.Sqrt(ux*ux + uy*uy)
			if l == 0 {
				return c, 0, false
			}
			over := 1 / l
			ux, uy = ux*over, uy*over
			e := l - r
			sxx, sxy, syy, sx, sy = sxx+ux*ux, sxy+ux*uy, syy+uy*uy, sx+ux, sy+uy
			bx, by, br = bx+ux*e, by+uy*e, br+e
		}
		s, fine := solve3([3][4]float64{{sxx, sxy, sx, bx}, {sxy, syy, sy, by}, {sx, sy, n, br}})
		if !fine {
			break
		}
		x, y, r = x+s[0], y+s[1], r+s[2]
		// What a step leaves is far smaller than the step.
		if math.Abs(s[0])+math.Abs(s[1])+math.Abs(s[2]) < 1e-8*r {
			break
		}
	}
	c = orb.Point{mx + x, my + y}
	return c, r, finite(c) && r > 0 && !math.IsInf(r, 0)
}

// solve3 solves three linear equations by elimination with pivoting.
func solve3(a [3][4]float64) (x [3]float64, ok bool) {
	for i := range 3 {
		p := i
		for k := i + 1; k < 3; k++ {
			if math.Abs(a[k][i]) > math.Abs(a[p][i]) {
				p = k
			}
		}
		a[i], a[p] = a[p], a[i]
		if a[i][i] == 0 {
			return x, false
		}
		for k := i + 1; k < 3; k++ {
			f := a[k][i] / a[i][i]
			for j := i; j < 4; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	for i := 2; i >= 0; i-- {
		x[i] = a[i][3]
		for j := i + 1; j < 3; j++ {
			x[i] -= a[i][j] * x[j]
		}
		x[i] /= a[i][i]
		if math.IsNaN(x[i]) || math.IsInf(x[i], 0) {
			return x, false
		}
	}
	return x, true
}
