// Rule on drawn curves: curve-coarse. Its page stands with the rules on rings.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// arcToleranceM is how far points may lie off the circle that is fitted through
// them: the scatter of points surveyed by RTK (common practice, no source).
const arcToleranceM = 0.015

func checkCurveCoarse(r *run) {
	if !r.onGround() {
		return
	}
	for _, f := range r.Features {
		if !curved(f.Role) {
			continue
		}
		s := r.solidOf(f)
		if s.why != "" {
			r.cannot("%s", s.why)
			continue
		}
		limit := r.of(f).CurveChordM
		rule := plane.ArcRule{Tolerance: math.Min(arcToleranceM, limit/2), Least: limit}
		if !(rule.Tolerance > 0) {
			rule.Tolerance = 1e-6
		}
		before := len(r.findings)
		for i, p := range s.areas {
			for k, ring := range p {
				if len(ring) == 6 && isRound(ring, rule.Tolerance) && cornersSaid(f) != 5 {
					r.cannot("%s of %s has five points on a circle: whether it stands for one cannot be told", f.ringWords(plane.Where{Polygon: i, Ring: k}), f.describe())
					continue
				}
				if o, ok := fitOval(ring, rule.Tolerance); ok && o.sagitta > limit+1e-6 {
					x := r.finding(r.Place(o.at), f)
					x.Measured, x.Limit, x.Unit = o.sagitta, limit, "m"
					x.Message = fmt.Sprintf("%s: an ellipse with half axes of %s and %s is drawn with %s, which cut %s into it",
						f.ringWords(plane.Where{Polygon: i, Ring: k}), metres(o.long), metres(o.short), plural(len(ring)-1, "point"), metresPast(o.sagitta, limit))
					continue
				}
				for _, arc := range plane.FitArcs(ring, rule) {
					if arc.Sagitta <= limit+1e-6 || arc.Whole && cornersSaid(f) == len(ring)-1 {
						continue
					}
					if len(r.findings)-before == mostFindings {
						r.findings[len(r.findings)-1].Message += " (and there are more curves)"
						break
					}
					x := r.finding(r.Place(arc.At), f)
					x.Measured, x.Limit, x.Unit = arc.Sagitta, limit, "m"
					inward := (arc.Turn == plane.Turn(ring)) == (k == 0)
					side := "the drawn outline takes in that much beyond the curve"
					if inward {
						side = "the drawn outline leaves out that much of the curve"
					}
					x.Message = fmt.Sprintf("%s: a curve of radius %s is drawn with %s, which cut %s into it: %s",
						f.ringWords(plane.Where{Polygon: i, Ring: k}), metres(arc.Radius), plural(arc.Count, "point"), metresPast(arc.Sagitta, limit), side)
					if word := cornered[len(ring)-1]; arc.Whole && word != "" {
						x.Message += "; where it is true to its corners, say " + word + " in its name"
					}
				}
			}
		}
	}
	r.keepoutsRound()
	r.thingsCoarse()
}

// cornered are words for outlines of so many corners, and cornerWords those that
// a name may say, by ends of words (common practice, no source).
var (
	cornered    = map[int]string{5: "pentagon", 6: "hexagon", 8: "octagon"}
	cornerWords = map[int][]string{
		5: strings.Fields("pentagon pentagonal fünfeck fünfeckig pentagone pentágono vijfhoek pentagono femkant femkantet femkantig viisikulmio"),
		6: strings.Fields("hexagon hexagonal sechseck sechseckig hexagone hexágono zeshoek zeshoekig esagono esagonale sekskant sekskantet sexkant sexkantig kuusikulmio"),
		8: strings.Fields("octagon octagonal oktogon achteck achteckig octogone octogonal octógono achthoek achthoekig ottagono ottagonale ottekant ottekantet åttekant åttekantet åttkant åttkantig kahdeksankulmio"),
	}
)

// cornersSaid is how many corners a feature says by its name that it has, 0 where
// it says none.
func cornersSaid(f *Feature) int { return cornersOf.get(f.Name) }

var cornersOf = remembered[int]{of: func(name string) int {
	for _, w := range letterWords(name) {
		for n, words := range cornerWords {
			if slices.ContainsFunc(words, func(start string) bool { return strings.HasPrefix(w, start) }) {
				return n
			}
		}
	}
	return 0
}}

// isRound reports whether the points of a closed ring lie on one circle,
// evenly.
func isRound(ring orb.Ring, tolerance float64) bool {
	c := ring[:len(ring)-1]
	var m orb.Point
	for _, p := range c {
		m[0], m[1] = m[0]+p[0]/float64(len(c)), m[1]+p[1]/float64(len(c))
	}
	least, most := math.Inf(1), 0.0
	short, long := math.Inf(1), 0.0
	for i, p := range c {
		d, side := distance(p, m), distance(p, ring[i+1])
		least, most = math.Min(least, d), math.Max(most, d)
		short, long = math.Min(short, side), math.Max(long, side)
	}
	return most-least <= 2*tolerance && long-short <= 2*tolerance
}

// oval is an ellipse that a ring was drawn along.
type oval struct {
	long, short float64 // half axes in metres
	sagitta     float64 // the most that a chord cuts into it
	at          orb.Point
	centre      orb.Point
	axis        orb.Point // the direction of the long one
}

// place is the parameter of the place of the ellipse that a point stands at, and how
// far it is off: by the scaled radius, which is more than the distance by no more
// than it is off.
func (o *oval) place(p orb.Point) (t, off float64) {
	x, y := p[0]-o.centre[0], p[1]-o.centre[1]
	u, v := (x*o.axis[0]+y*o.axis[1])/o.long, (y*o.axis[0]-x*o.axis[1])/o.short
	return math.Atan2(v, u), math.Abs(math.Hypot(u, v)-1) * o.short
}

// on is the place of a parameter.
func (o *oval) on(t float64) orb.Point {
	st, ct := math.Sincos(t)
	x, y := o.long*ct, o.short*st
	return orb.Point{o.centre[0] + x*o.axis[0] - y*o.axis[1], o.centre[1] + x*o.axis[1] + y*o.axis[0]}
}

// Rings of these counts of points are tried for an ellipse: five points always
// lie on one, and a corner cut off all round a rectangle gives eight.
const fewestOval, mostOval = 9, 200

// fitOval is the ellipse that a ring was drawn along: not one that turns by more than
// 65 degrees at a point (as plane.ArcRule has it).
func fitOval(ring orb.Ring, tolerance float64) (o oval, ok bool) {
	n := len(ring) - 1
	if n < fewestOval || n > mostOval || !turnsGently(ring[:n], mostOvalTurn) {
		return o, false
	}
	if plainlyRound(ring[:n], tolerance/4) {
		return o, false // an ellipse through it is as round, and FitArcs knows it
	}
	return ovalThrough(ring, tolerance)
}

// plainlyRound reports whether all points lie as far from their mean, to within.
func plainlyRound(pts orb.Ring, within float64) bool {
	var mx, my float64
	for i := range pts {
		mx, my = mx+pts[i][0]-pts[0][0], my+pts[i][1]-pts[0][1]
	}
	mx, my = pts[0][0]+mx/float64(len(pts)), pts[0][1]+my/float64(len(pts))
	low, high := math.Inf(1), 0.0
	for i := range pts {
		x, y := pts[i][0]-mx, pts[i][1]-my
		d := x*x + y*y
		low, high = min(low, d), max(high, d)
	}
	return math.Sqrt(high)-math.Sqrt(low) <= within
}

// ovalThrough fits a conic a x^2 + b x y + c y^2 + d x + e y = 1 to the points of a
// closed ring by least squares, and takes it for an ellipse when it is one and every
// point lies within the tolerance of it. A circle is not taken: FitArcs knows it.
// The greatest sagitta is found along the arcs, in the parameter of the ellipse.
func ovalThrough(ring orb.Ring, tolerance float64) (o oval, ok bool) {
	n := len(ring) - 1
	box := boundOf(ring)
	m := box.Center()
	size := math.Max(box.Max[0]-m[0], box.Max[1]-m[1])
	q, ok := solve5(normalOval(ring[:n], m, size))
	if !ok || q[1]*q[1]-4*q[0]*q[2] >= 0 {
		return o, false
	}
	// Centre, then the axes by turning the quadratic part.
	det := 4*q[0]*q[2] - q[1]*q[1]
	cx, cy := (q[1]*q[4]-2*q[2]*q[3])/det, (q[1]*q[3]-2*q[0]*q[4])/det
	k := 1 + q[0]*cx*cx + q[1]*cx*cy + q[2]*cy*cy
	half, root := (q[0]+q[2])/2, math.Hypot((q[0]-q[2])/2, q[1]/2)
	if k/(half-root) <= 0 || k/(half+root) <= 0 {
		return o, false
	}
	o.long, o.short = size*math.Sqrt(k/(half-root)), size*math.Sqrt(k/(half+root))
	if o.long-o.short <= 2*tolerance {
		return o, false
	}
	// The long axis is the direction of the lesser eigenvalue.
	s, c := math.Sincos(math.Atan2(q[1], q[0]-q[2])/2 + math.Pi/2)
	o.axis, o.centre = orb.Point{c, s}, orb.Point{m[0] + size*cx, m[1] + size*cy}
	t1, nextOff := o.place(ring[0])
	for i := range n {
		t0, off := t1, nextOff
		t1, nextOff = o.place(ring[i+1])
		if off > tolerance {
			return o, false
		}
		// Along an arc the distance from its chord is greatest half way in the
		// parameter.
		mid := o.on(t0 + math.Remainder(t1-t0, 2*math.Pi)/2)
		if d := distanceToSegment(mid, ring[i], ring[i+1]); d > o.sagitta {
			o.sagitta, o.at = d, nearestOn(mid, ring[i], ring[i+1])
		}
	}
	return o, true
}

// normalOval are the normal equations of fitOval about m, lengths in parts of
// size: sums of the products of x x, x y, y y, x, y and 1, written out since the
// loops over them cost three times as much.
func normalOval(pts []orb.Point, m orb.Point, size float64) [5][6]float64 {
	var aa, ab, ac, ad, ae, a, bb, bc, bd, be, b, cc, cd, ce, c, dd, de, d, ee, e float64
	for i := range pts {
		x, y := (pts[i][0]-m[0])/size, (pts[i][1]-m[1])/size
		xx, xy, yy := x*x, x*y, y*y
		aa, ab, ac, ad, ae, a = aa+xx*xx, ab+xx*xy, ac+xx*yy, ad+xx*x, ae+xx*y, a+xx
		bb, bc, bd, be, b = bb+xy*xy, bc+xy*yy, bd+xy*x, be+xy*y, b+xy
		cc, cd, ce, c = cc+yy*yy, cd+yy*x, ce+yy*y, c+yy
		dd, de, d = dd+x*x, de+x*y, d+x
		ee, e = ee+y*y, e+y
	}
	return [5][6]float64{{aa, ab, ac, ad, ae, a}, {ab, bb, bc, bd, be, b}, {ac, bc, cc, cd, ce, c}, {ad, bd, cd, dd, de, d}, {ae, be, ce, de, ee, e}}
}

// turnsGently reports whether a ring, its closing point left away, turns one
// way and at no point by more than so many degrees, 65 at least.
func turnsGently(pts orb.Ring, most float64) bool {
	n := len(pts)
	side := 0.0
	if n == 0 {
		return true
	}
	a, b := pts[n-1], pts[0]
	for i := range pts {
		c := pts[0]
		if i+1 < n {
			c = pts[i+1]
		}
		turn := turnAt(a, b, c)
		a, b = b, c
		if math.Abs(turn) > most || turn*side < 0 {
			return false
		}
		if turn != 0 {
			side = turn
		}
	}
	return true
}

// mostOvalTurn is in degrees, and cosOvalTurn its cosine.
const mostOvalTurn = 65

var cosOvalTurn = math.Cos(mostOvalTurn * math.Pi / 180)

// turnAt is the turn to the right, in degrees, of the way a, b, c; for a turn
// of less than mostOvalTurn only its side counts, which is told without angles
// where it is plain.
func turnAt(a, b, c orb.Point) float64 {
	ux, uy, vx, vy := b[0]-a[0], b[1]-a[1], c[0]-b[0], c[1]-b[1]
	size := math.Sqrt((ux*ux + uy*uy) * (vx*vx + vy*vy))
	if cross := vx*uy - vy*ux; math.Abs(cross) > 1e-9*size && ux*vx+uy*vy > (cosOvalTurn+1e-9)*size {
		return math.Copysign(1, cross)
	}
	return math.Remainder(bearingOf(b, c)-bearingOf(a, b), 360)
}

// solve5 solves five linear equations, their right sides in the last column, by
// elimination with pivots; ok is false when they do not fix the unknowns.
func solve5(m [5][6]float64) (x [5]float64, ok bool) {
	for i := range 5 {
		best := i
		for k := i + 1; k < 5; k++ {
			if math.Abs(m[k][i]) > math.Abs(m[best][i]) {
				best = k
			}
		}
		m[i], m[best] = m[best], m[i]
		if math.Abs(m[i][i]) < 1e-12 {
			return x, false
		}
		for k := i + 1; k < 5; k++ {
			f := m[k][i] / m[i][i]
			for j := i; j < 6; j++ {
				m[k][j] -= f * m[i][j]
			}
		}
	}
	for i := 4; i >= 0; i-- {
		x[i] = m[i][5]
		for k := i + 1; k < 5; k++ {
			x[i] -= m[i][k] * x[k]
		}
		x[i] /= m[i][i]
	}
	return x, true
}
