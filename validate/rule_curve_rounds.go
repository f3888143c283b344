// Freehand rounds of what the machine keeps off, of curve-coarse: ellipses,
// ponds walked round with few points, bends that lie on no circle.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// A stretch of a line stands for a curve where at least fewestBends corners one
// after the other turn the same way by gentlestBend to sharpestBend degrees, and
// neighbours among them turn, and the sides between them are long, within
// bendShare of one another; the side at either end of them is of the curve where
// it is no longer than endShare of the next (common practice, no source).
const (
	fewestBends                = 4
	gentlestBend, sharpestBend = 8, 50
	bendShare                  = 2.5
	endShare                   = 1.5
)

// An outline of fewestAround corners or more that turn one way by no more than
// sharpestAround degrees is a round; where corners make up a right angle two by
// two, within chamferDeg, and the sides are not alike within chamferShare, they
// are those of a rectangle cut off (common practice, no source).
const (
	fewestAround, sharpestAround = 8, 65
	chamferDeg                   = 4
	chamferShare                 = 1.15
)

// An outline of a thing of fewestSeen to mostSeen corners, that turns one way by no
// more than sharpestSeen degrees, stands for the ellipse that all of them lie on: five
// lie on one always, six and eight of a rectangle cut off alike, too (common
// practice, no source).
const (
	fewestSeen, mostSeen = 7, 30
	sharpestSeen         = 150
)

// ovalOf is the curve of a closed outline that stands for an ellipse.
func ovalOf(l orb.LineString, limit float64) (c curveOf, ok bool) {
	n := len(l) - 1
	if n < fewestSeen || n > mostSeen || distance(l[0], l[n]) > slackM {
		return c, false
	}
	ring := append(orb.Ring(l[:n:n]), l[0])
	if !turnsGently(ring[:n], sharpestSeen) {
		return c, false
	}
	o, ok := ovalThrough(ring, math.Max(1e-6, math.Min(arcToleranceM, limit/2)))
	if !ok || n == 8 && cutOff(ring[:n]) && !o.evenly(ring) {
		return c, false
	}
	c.sagitta = o.sagitta
	for i := range n {
		const pieces = 8
		c.line = append(c.line, ring[i])
		t0, _ := o.place(ring[i])
		t1, _ := o.place(ring[i+1])
		for m := 1; m < pieces; m++ {
			c.line = append(c.line, o.on(t0+math.Remainder(t1-t0, 2*math.Pi)*float64(m)/pieces))
		}
	}
	c.line = append(c.line, ring[n])
	return c, true
}

// cutOff reports whether eight corners may be those of a rectangle cut off: two by
// two they turn by a right angle, within chamferDeg.
func cutOff(pts orb.Ring) bool {
	n := len(pts)
	turn := func(i int) float64 {
		a, b, c := pts[(i+n-1)%n], pts[i%n], pts[(i+1)%n]
		return math.Remainder(bearingOf(b, c)-bearingOf(a, b), 360)
	}
	pairs := [2]bool{true, true}
	for i := range pts {
		pairs[i%2] = pairs[i%2] && math.Abs(math.Abs(turn(i)+turn(i+1))-90) <= chamferDeg
	}
	return pairs[0] || pairs[1]
}

// evenly reports whether the points of a ring stand evenly on the ellipse, within
// chamferDeg.
func (o *oval) evenly(ring orb.Ring) bool {
	n := len(ring) - 1
	for i := range n {
		t0, _ := o.place(ring[i])
		t1, _ := o.place(ring[i+1])
		if math.Abs(math.Abs(math.Remainder(t1-t0, 2*math.Pi))*180/math.Pi-360/float64(n)) > chamferDeg {
			return false
		}
	}
	return true
}

// roundsCoarse warns where the curve that a thing's drawn corners stand for comes
// nearer to driven ground than the margin, which the drawn line keeps.
func (r *run) roundsCoarse(f *Feature, l orb.LineString, curves []curveOf, margin float64) {
	limit, wide := r.of(f).CurveChordM, f.growth()
	for _, curve := range curves {
		drawn, bulge := plane.NewGauge(l), plane.NewGauge(curve.line)
		tell := func(other *Feature, d float64, p, q orb.Point, half float64) {
			need := margin + wide + half
			if was, _, _, near := drawn.Within(plane.NewGauge(q), need); near && was < need-slackM {
				return // what is drawn comes as near, and has a rule of its own
			}
			x := r.finding(r.Place(p), f, other)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = curve.sagitta, limit, "m"
			x.Trace = r.trace(p, q)
			x.Message = fmt.Sprintf("is drawn with few points along a curve: the true curve lies up to %s beyond them, and there %s is %s away; it needs %s; add points along it",
				metresPast(curve.sagitta, limit), other.describe(), metres(math.Max(0, d-wide-half)), metres(margin))
		}
		zones := r.zones()
		for _, i := range zones.near(boundOf(curve.line).Pad(margin + wide)) {
			n := r.netOf(i)
			if len(n.areas) == 0 || !n.ok {
				continue
			}
			if d, p, q, ok := n.within(bulge, margin+wide); ok && d < margin+wide-slackM {
				tell(zones.features[i], d, p, q, 0)
			}
		}
		for i := range r.corridors() {
			c := &r.corridors()[i]
			half := r.halfWidth(c.f)
			need := margin + wide + half
			if !boundOf(c.pts).Pad(need).Intersects(boundOf(curve.line)) {
				continue
			}
			if d, p, q, ok := bulge.Within(plane.NewGauge(c.pts), need); ok && d < need-slackM {
				tell(c.f, d, p, q, half)
			}
		}
	}
}

// curveOf is the curve that drawn corners stand for, and the most that it lies
// beyond them.
type curveOf struct {
	line    orb.LineString
	sagitta float64
}

// bulged returns the curves that stretches of a line stand for and cut into by
// more than the limit. On a circle a side of the length L between corners that
// turn by a lies L/2 tan(a/4) inside; of corners that differ, a is their mean.
func bulged(l orb.LineString, limit float64) []curveOf {
	pts := make(orb.LineString, 0, len(l))
	long := 0.0
	for _, p := range l {
		if n := len(pts); n == 0 || distance(p, pts[n-1]) > slackM {
			if n > 0 {
				long = math.Max(long, distance(p, pts[n-1]))
			}
			pts = append(pts, p)
		}
	}
	n := len(pts)
	if n < fewestBends+2 || long/2*math.Tan(sharpestAround*math.Pi/720) <= limit {
		return nil
	}
	closed := distance(pts[0], pts[n-1]) <= slackM
	if closed {
		n--
	}
	at := func(i int) orb.Point { return pts[((i%n)+n)%n] }
	side := func(i int) float64 { return distance(at(i), at(i+1)) }
	alike := func(a, b, share float64) bool { return math.Max(a, b) <= share*math.Min(a, b) }
	bends := make([]float64, n) // in degrees to the right, 0 for no bend of a curve
	one, sharpest := 0, float64(sharpestAround)
	for i := range bends {
		if !closed && (i == 0 || i == n-1) {
			continue
		}
		ux, uy, vx, vy := at(i)[0]-at(i - 1)[0], at(i)[1]-at(i - 1)[1], at(i + 1)[0]-at(i)[0], at(i + 1)[1]-at(i)[1]
		bends[i] = math.Atan2(vx*uy-vy*ux, ux*vx+uy*vy) * 180 / math.Pi
		if math.Abs(bends[i]) <= sharpestAround && bends[i]*bends[0] > 0 {
			one++
		}
	}
	if !closed || one < n || n < fewestAround {
		sharpest = sharpestBend
	}
	for i, b := range bends {
		if b != 0 && (math.Abs(b) < gentlestBend || math.Abs(b) > sharpest || !alike(side(i-1), side(i), bendShare)) {
			bends[i] = 0
		}
	}
	follows := func(i int) bool { // whether corner i goes on with the curve of the one before
		a, b := bends[((i-1)%n+n)%n], bends[i%n]
		return a*b > 0 && alike(math.Abs(a), math.Abs(b), bendShare)
	}
	first := 0 // of a ring, where one stretch begins
	if closed {
		for first < n && follows(first) {
			first++
		}
	}
	var out []curveOf
	for i := first; i < first+n && i-first < n; {
		count := 1
		for bends[i%n] != 0 && count < n && i+count < first+n && follows(i+count) {
			count++
		}
		if bends[i%n] != 0 && count >= fewestBends {
			whole := closed && count == n && follows(i)
			if c := curveAlong(at, bends, i, count, whole); c.sagitta > limit+1e-6 {
				out = append(out, c)
			}
		}
		i += count
	}
	return out
}

// curveAlong is the curve of so many corners from the one at i on, with the side
// before and after them where those are no longer than endShare of the next.
func curveAlong(at func(int) orb.Point, bends []float64, i, count int, whole bool) curveOf {
	n := len(bends)
	bend := func(k int) float64 { return bends[((k%n)+n)%n] }
	length := func(k int) float64 { return distance(at(k), at(k+1)) }
	from, to := i, i+count-2 // sides, by the corner that they begin at
	switch {
	case whole:
		to++
	default:
		if length(i-1) <= endShare*length(i) {
			from--
		}
		if length(to+1) <= endShare*length(to) {
			to++
		}
	}
	square, short, long := [2]bool{true, true}, math.Inf(1), 0.0
	for k := i; k < i+count-1; k++ {
		short, long = math.Min(short, length(k)), math.Max(long, length(k))
		if math.Abs(math.Abs(bend(k)+bend(k+1))-90) > chamferDeg {
			square[(k-i)%2] = false
		}
	}
	if (square[0] || square[1]) && long > chamferShare*short {
		return curveOf{}
	}
	var out curveOf
	for k := from; k <= to; k++ {
		p, q := at(k), at(k+1)
		a, b := bend(k), bend(k+1)
		switch { // a side that leaves the curve bends as its one corner does
		case whole || k >= i && k < i+count-1:
		case k < i:
			a = b
		default:
			b = a
		}
		length := length(k)
		out.line = append(out.line, p)
		angle := (a + b) / 2 * math.Pi / 180 // to the right
		s := length / 2 * math.Tan(math.Abs(angle)/4)
		out.sagitta = math.Max(out.sagitta, s)
		const pieces = 8
		radius := length / 2 / math.Sin(math.Abs(angle)/2)
		for m := 1; m < pieces; m++ {
			x := length * (float64(m)/pieces - 0.5)
			up := math.Copysign(math.Sqrt(radius*radius-x*x)-radius*math.Cos(angle/2), angle) / length
			t := float64(m) / pieces
			out.line = append(out.line, orb.Point{p[0] + t*(q[0]-p[0]) - up*(q[1]-p[1]), p[1] + t*(q[1]-p[1]) + up*(q[0]-p[0])})
		}
		if k == to {
			out.line = append(out.line, q)
		}
	}
	return out
}
