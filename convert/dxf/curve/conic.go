// Conics and bulges: points on them, and how many chords keep within a
// distance.

package curve

import (
	"math"
	"math/cmplx"
)

// Point is x, y, z.
type Point [3]float64

// Conic is the arc of an ellipse or circle in space: C + U cos t + V sin t for
// t from Start to Start + Sweep, in radians. U and V are conjugate
// semi-diameters; they need not be square to each other, so any affine map of a
// conic is one.
type Conic struct {
	C, U, V      Point
	Start, Sweep float64
}

// At returns the point at parameter t.
func (k Conic) At(t float64) Point {
	s, c := math.Sincos(t)
	return Point{k.C[0] + k.U[0]*c + k.V[0]*s, k.C[1] + k.U[1]*c + k.V[1]*s, k.C[2] + k.U[2]*c + k.V[2]*s}
}

// Full reports whether the conic is a whole turn.
func (k Conic) Full() bool { return isFullTurn(k.Sweep) }

// Radius returns the major semi-axis, the larger singular value of (U V).
func (k Conic) Radius() float64 {
	a := k.U[0]*k.U[0] + k.U[1]*k.U[1] + k.U[2]*k.U[2]
	b := k.U[0]*k.V[0] + k.U[1]*k.V[1] + k.U[2]*k.V[2]
	c := k.V[0]*k.V[0] + k.V[1]*k.V[1] + k.V[2]*k.V[2]
	return math.Sqrt((a + c + math.Hypot(a-c, 2*b)) / 2)
}

// Steps returns into how many equal steps of the parameter the conic is cut so
// that no chord leaves it by more than chord. An ellipse is an affine image of
// a circle and stretches no distance by more than its major semi-axis a, so the
// circle's r (1 - cos(step / 2)) with r = a bounds the error.
func (k Conic) Steps(chord float64) int {
	return max(2, steps(k.Radius(), k.Sweep, chord))
}

// steps is the least count of equal steps of an arc with the given radius and
// sweep whose chords stay within chord of it; no step is larger than an eighth
// of a turn, so that small circles keep a shape.
func steps(radius, sweep, chord float64) int {
	step := math.Pi / 4
	if chord < radius { // chord = r (1 - cos(step/2)) = 2 r sin^2(step/4)
		step = math.Min(step, 4*math.Asin(math.Sqrt(chord/(2*radius))))
	}
	n := math.Ceil(math.Abs(sweep)/step - 1e-9)
	if !(n < MaxSegments) {
		return MaxSegments
	}
	return max(1, int(n))
}

// Append appends the n + 1 points of the conic cut into n equal steps. A whole
// turn ends on an exact copy of its first point.
func (k Conic) Append(dst []Point, n int) []Point {
	first := k.At(k.Start)
	dst = append(dst, first)
	for i := 1; i < n; i++ {
		dst = append(dst, k.At(k.Start+k.Sweep*float64(i)/float64(n)))
	}
	if k.Full() {
		return append(dst, first)
	}
	return append(dst, k.At(k.Start+k.Sweep))
}

// BulgeSteps returns into how many chords the arc of bulge b from p to q is
// cut. An arc whose rise is past a tenth of chord gets at least two, so that
// its side can be told from its vertices.
func BulgeSteps(p, q Point, b, chord float64) int {
	d := math.Hypot(q[0]-p[0], q[1]-p[1])
	if b == 0 || d == 0 {
		return 1
	}
	n := steps(d*(1+b*b)/(4*math.Abs(b)), 4*math.Atan(b), chord)
	if n < 2 && math.Abs(b)*d/2 > chord/10 {
		n = 2
	}
	return n
}

// AppendBulge appends the points after p on the arc of bulge b from p to q, cut
// into n chords, q itself last. Heights are p's.
func AppendBulge(dst []Point, p, q Point, b float64, n int) []Point {
	from, to := complex(p[0], p[1]), complex(q[0], q[1])
	for k := 1; k < n; k++ {
		z := bulgePoint(from, to, b, k, n)
		dst = append(dst, Point{real(z), imag(z), p[2]})
	}
	return append(dst, q)
}

// bulgePoint is the point after k of n equal steps along the arc of bulge b.
// The chord to the point that is turned through phi of the arc's angle theta is
// sin(phi/2)/sin(theta/2) times as long as the whole chord and turned from it
// by (phi - theta)/2, which needs no centre and stays exact for flat arcs.
func bulgePoint(from, to complex128, b float64, k, n int) complex128 {
	t := float64(k) / float64(n)
	if b == 0 {
		return from + (to-from)*complex(t, 0)
	}
	theta := 4 * math.Atan(b)
	phi := theta * t
	return from + (to-from)*cmplx.Rect(math.Sin(phi/2)/math.Sin(theta/2), (phi-theta)/2)
}

// BulgeArc returns the arc of bulge b from p to q as a conic in the plane of p.
// b must not be 0.
func BulgeArc(p, q Point, b float64) Conic {
	// The centre lies (1 - b^2) / (4 b) chords to the left of the middle.
	dx, dy := q[0]-p[0], q[1]-p[1]
	h := (1 - b*b) / (4 * b)
	cx, cy := (p[0]+q[0])/2-dy*h, (p[1]+q[1])/2+dx*h
	r := math.Hypot(dx, dy) * (1 + b*b) / (4 * math.Abs(b))
	return Conic{C: Point{cx, cy, p[2]}, U: Point{r}, V: Point{0, r},
		Start: math.Atan2(p[1]-cy, p[0]-cx), Sweep: 4 * math.Atan(b)}
}
