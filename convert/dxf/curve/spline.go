// Rational B-splines (NURBS): evaluation by Bezier spans, a proven chord bound,
// and the cubic through given points.

package curve

import (
	"errors"
	"fmt"
	"math"
)

// MaxDegree is the highest degree of spline that is read; drawings stop at 25
// (from memory).
const MaxDegree = 25

// Spline is a B-spline of Degree over Knots, rational when Weights is not nil.
// It is drawn between Knots[Degree] and Knots[len(Points)], whatever comes
// before and after.
type Spline struct {
	Degree  int
	Knots   []float64
	Points  []Point
	Weights []float64
}

// Check reports what keeps the spline from being evaluated.
func (s *Spline) Check() error {
	n := len(s.Points)
	switch {
	case s.Degree < 1 || s.Degree > MaxDegree:
		return fmt.Errorf("a spline's degree is 1 to %d, got %d", MaxDegree, s.Degree)
	case n <= s.Degree:
		return fmt.Errorf("a spline of degree %d needs %d control points or more, got %d", s.Degree, s.Degree+1, n)
	case len(s.Knots) != n+s.Degree+1:
		return fmt.Errorf("a spline of degree %d with %d control points needs %d knots, got %d", s.Degree, n, n+s.Degree+1, len(s.Knots))
	case s.Weights != nil && len(s.Weights) != n:
		return fmt.Errorf("a spline with %d control points has %d weights", n, len(s.Weights))
	}
	for i := 1; i < len(s.Knots); i++ {
		if !(s.Knots[i] >= s.Knots[i-1]) {
			return fmt.Errorf("knot %d of a spline is less than the one before", i+1)
		}
	}
	if !(s.Knots[s.Degree] < s.Knots[n]) {
		return errors.New("a spline has no length between its end knots")
	}
	for i := s.Degree + 1; i+s.Degree < n; i++ {
		if k := s.Knots[i]; k > s.Knots[s.Degree] && k < s.Knots[n] && k == s.Knots[i+s.Degree] {
			return fmt.Errorf("knot %d of a spline of degree %d stands more than %d times: the curve would be torn there", i+1, s.Degree, s.Degree)
		}
	}
	for _, w := range s.Weights {
		if !(w > 0) {
			return errors.New("a spline has a weight that is not more than 0")
		}
	}
	return nil
}

// Joined returns the spline without knots that stand Degree + 1 times where its
// two sides meet in one point, as programs write that string Bezier curves
// together: one such knot and one of the two equal points are left out, which
// changes nothing about the curve. s itself stays as it is.
func (s *Spline) Joined() *Spline {
	out := *s
	for i := s.Degree + 1; i+s.Degree < len(out.Points) && len(out.Knots) == len(out.Points)+s.Degree+1; {
		k := out.Knots[i]
		torn := k == out.Knots[i+s.Degree] && k > out.Knots[s.Degree] && k < out.Knots[len(out.Points)]
		if !torn || !out.meet(i) {
			i++
			continue
		}
		out.Points = append(append([]Point(nil), out.Points[:i]...), out.Points[i+1:]...)
		out.Knots = append(append([]float64(nil), out.Knots[:i]...), out.Knots[i+1:]...)
		if out.Weights != nil {
			out.Weights = append(append([]float64(nil), out.Weights[:i]...), out.Weights[i+1:]...)
		}
	}
	return &out
}

// meet reports whether control points i-1 and i are one.
func (s *Spline) meet(i int) bool {
	a, b := s.Points[i-1], s.Points[i]
	size := 1.0
	for k := range a {
		size = math.Max(size, math.Abs(a[k]))
	}
	return math.Abs(a[0]-b[0])+math.Abs(a[1]-b[1])+math.Abs(a[2]-b[2]) <= 1e-9*size &&
		(len(s.Weights) != len(s.Points) || s.Weights[i-1] == s.Weights[i])
}

// Spans is how many spans of length the spline has between its end knots.
func (s *Spline) Spans() int {
	n := 0
	for i := s.Degree; i < len(s.Points); i++ {
		if s.Knots[i] < s.Knots[i+1] {
			n++
		}
	}
	return n
}

// homogeneous is x w, y w, z w, w.
type homogeneous [4]float64

func (a homogeneous) blend(b homogeneous, t float64) homogeneous {
	u := 1 - t
	return homogeneous{u*a[0] + t*b[0], u*a[1] + t*b[1], u*a[2] + t*b[2], u*a[3] + t*b[3]}
}

// bezier fills out (Degree + 1 points, about the origin at) with the Bezier
// points of the span that starts at knot i: the blossom of the spline with the
// span's start and end as arguments (Ramshaw 1989).
func (s *Spline) bezier(out []homogeneous, i int, at Point) {
	p := s.Degree
	a, b := s.Knots[i], s.Knots[i+1]
	var d [MaxDegree + 1]homogeneous
	for j := range out {
		for k := 0; k <= p; k++ {
			q, w := s.Points[i-p+k], 1.0
			if s.Weights != nil {
				w = s.Weights[i-p+k]
			}
			d[k] = homogeneous{(q[0] - at[0]) * w, (q[1] - at[1]) * w, (q[2] - at[2]) * w, w}
		}
		for r := 1; r <= p; r++ {
			u := a
			if r > p-j {
				u = b
			}
			for k := p; k >= r; k-- {
				low, high := s.Knots[i-p+k], s.Knots[i+1+k-r]
				d[k] = d[k-1].blend(d[k], (u-low)/(high-low))
			}
		}
		out[j] = d[p]
	}
}

// each calls f with the Bezier points of every span, taken about the first
// control point so that far-off coordinates keep their digits.
func (s *Spline) each(f func(span int, b []homogeneous)) {
	b := make([]homogeneous, s.Degree+1)
	span := 0
	for i := s.Degree; i < len(s.Points); i++ {
		if s.Knots[i] < s.Knots[i+1] {
			s.bezier(b, i, s.Points[0])
			f(span, b)
			span++
		}
	}
}

// Steps returns for each span into how many equal steps of the parameter it is
// cut so that no chord leaves the curve by more than chord.
//
// With P(t) and w(t) the numerator and weight of a span, a chord over the step h
// interpolates both linearly, with errors dP and dw of at most h^2/8 times the
// largest second derivative of each. The chord's projection is the straight line
// between its two ends, and the curve lies within (|dP| + |c| |dw|) / w of the
// line's point c. The second derivative of a Bezier form of degree d is at most
// d (d-1) times the largest second difference D2 of its points; its hull bounds
// |c| by R and w from below. So
//
//	n = ceil(sqrt(d (d-1) (max|D2 P| + R max|D2 w|) / (8 chord min w)))
//
// with everything taken about the span's first point. (Own derivation.)
func (s *Spline) Steps(chord float64) []int {
	out := make([]int, 0, s.Spans())
	d := float64(s.Degree)
	s.each(func(_ int, b []homogeneous) {
		c := Point{b[0][0] / b[0][3], b[0][1] / b[0][3], b[0][2] / b[0][3]}
		rel := func(i int) homogeneous {
			return homogeneous{b[i][0] - c[0]*b[i][3], b[i][1] - c[1]*b[i][3], b[i][2] - c[2]*b[i][3], b[i][3]}
		}
		var dp, dw, r float64
		w := math.Inf(1)
		for i := range b {
			h := rel(i)
			w = math.Min(w, h[3])
			r = math.Max(r, math.Sqrt(h[0]*h[0]+h[1]*h[1]+h[2]*h[2])/h[3])
			if i >= 2 {
				g, f := rel(i-1), rel(i-2)
				var second homogeneous
				for k := range second {
					second[k] = h[k] - 2*g[k] + f[k]
				}
				dp = math.Max(dp, math.Sqrt(second[0]*second[0]+second[1]*second[1]+second[2]*second[2]))
				dw = math.Max(dw, math.Abs(second[3]))
			}
		}
		n := math.Ceil(math.Sqrt(d*(d-1)*(dp+r*dw)/(8*chord*w)) - 1e-9)
		if s.Degree > 1 {
			n = math.Max(n, 2)
		}
		if !(n < MaxSegments) {
			n = MaxSegments
		}
		out = append(out, max(1, int(n)))
	})
	return out
}

// Append appends the points of the spline cut into the given steps a span.
func (s *Spline) Append(dst []Point, steps []int) []Point {
	at := s.Points[0]
	put := func(h homogeneous) {
		dst = append(dst, Point{at[0] + h[0]/h[3], at[1] + h[1]/h[3], at[2] + h[2]/h[3]})
	}
	var work [MaxDegree + 1]homogeneous
	s.each(func(span int, b []homogeneous) {
		if span == 0 {
			put(b[0])
		}
		n := steps[span]
		for k := 1; k < n; k++ {
			t := float64(k) / float64(n)
			copy(work[:], b)
			for r := len(b) - 1; r > 0; r-- { // de Casteljau
				for i := 0; i < r; i++ {
					work[i] = work[i].blend(work[i+1], t)
				}
			}
			put(work[0])
		}
		put(b[len(b)-1])
	})
	return dst
}

// Reversed returns the spline run the other way.
func (s *Spline) Reversed() *Spline {
	r := &Spline{Degree: s.Degree, Knots: make([]float64, len(s.Knots)), Points: make([]Point, len(s.Points))}
	first, last := s.Knots[0], s.Knots[len(s.Knots)-1]
	for i, k := range s.Knots {
		r.Knots[len(r.Knots)-1-i] = first + last - k
	}
	for i, p := range s.Points {
		r.Points[len(r.Points)-1-i] = p
	}
	if s.Weights != nil {
		r.Weights = make([]float64, len(s.Weights))
		for i, w := range s.Weights {
			r.Weights[len(r.Weights)-1-i] = w
		}
	}
	return r
}

// Uniform returns the knots of a spline without any: equal steps, clamped at
// both ends.
func Uniform(points, degree int) []float64 {
	knots := make([]float64, points+degree+1)
	for i := range knots {
		knots[i] = float64(min(max(i-degree, 0), points-degree))
	}
	return knots
}

// Periodic makes a closed curve of control points that are not repeated: they
// go round once more for as many as the degree, over evenly spaced knots.
func (s *Spline) Periodic() {
	whole := len(s.Weights) == len(s.Points)
	s.Points = append(s.Points[:len(s.Points):len(s.Points)], s.Points[:s.Degree]...)
	if whole {
		s.Weights = append(s.Weights[:len(s.Weights):len(s.Weights)], s.Weights[:s.Degree]...)
	}
	s.Knots = make([]float64, len(s.Points)+s.Degree+1)
	for i := range s.Knots {
		s.Knots[i] = float64(i)
	}
}

// Interpolate returns the cubic with continuous curvature through the points,
// its parameter the length of the straight lines between them. tangents at the
// ends may be nil; the curvature there is then 0. Repeated points are taken
// once; fewer than two different ones are an error.
func Interpolate(points []Point, startTangent, endTangent *Point) (*Spline, error) {
	var p []Point
	var h []float64 // h[i] from p[i] to p[i+1]
	for _, q := range points {
		if n := len(p); n > 0 {
			d := math.Sqrt(sq(q[0]-p[n-1][0]) + sq(q[1]-p[n-1][1]) + sq(q[2]-p[n-1][2]))
			if d == 0 {
				continue
			}
			h = append(h, d)
		}
		p = append(p, q)
	}
	n := len(p)
	if n < 2 {
		return nil, errors.New("a spline needs two different points or more")
	}
	// Slopes m of the Hermite form: a tridiagonal system, solved by Thomas'
	// elimination for the three coordinates at once.
	diag, up := make([]float64, n), make([]float64, n)
	m := make([]Point, n)
	end := func(i, j int, step float64, tangent *Point, sign float64) (d, off float64, rhs Point) {
		if tangent != nil {
			if l := math.Sqrt(sq(tangent[0]) + sq(tangent[1]) + sq(tangent[2])); l > 0 {
				return 1, 0, Point{tangent[0] / l, tangent[1] / l, tangent[2] / l}
			}
		}
		for c := range rhs {
			rhs[c] = sign * 3 * (p[j][c] - p[i][c]) / step
		}
		return 2, 1, rhs
	}
	diag[0], up[0], m[0] = end(0, 1, h[0], startTangent, 1)
	for i := 1; i < n; i++ {
		var low, d, off float64
		var rhs Point
		if i < n-1 {
			low, d, off = h[i], 2*(h[i-1]+h[i]), h[i-1]
			for c := range rhs {
				rhs[c] = 3 * (h[i]/h[i-1]*(p[i][c]-p[i-1][c]) + h[i-1]/h[i]*(p[i+1][c]-p[i][c]))
			}
		} else {
			d, low, rhs = end(n-1, n-2, h[n-2], endTangent, -1)
		}
		k := low / diag[i-1]
		diag[i], up[i] = d-k*up[i-1], off
		for c := range rhs {
			m[i][c] = rhs[c] - k*m[i-1][c]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for c := range m[i] {
			if i < n-1 {
				m[i][c] -= up[i] * m[i+1][c]
			}
			m[i][c] /= diag[i]
		}
	}
	return hermite(p, m, h), nil
}

// InterpolateClosed returns the closed cubic with continuous curvature through
// the points, in each of them, the first one too. Repeated points are taken
// once; fewer than three different ones are an error.
func InterpolateClosed(points []Point) (*Spline, error) {
	var p []Point
	for _, q := range points {
		if n := len(p); n == 0 || q != p[n-1] {
			p = append(p, q)
		}
	}
	for len(p) > 1 && p[0] == p[len(p)-1] {
		p = p[:len(p)-1]
	}
	n := len(p)
	if n < 3 {
		return nil, errors.New("a closed spline needs three different points or more")
	}
	h := make([]float64, n) // h[i] from p[i] to the next
	for i := range p {
		q := p[(i+1)%n]
		h[i] = math.Sqrt(sq(q[0]-p[i][0]) + sq(q[1]-p[i][1]) + sq(q[2]-p[i][2]))
	}
	// The cyclic system of the slopes is diagonally dominant by a factor of
	// two, so that each sweep of Gauss and Seidel halves the error at least.
	m := make([]Point, n)
	for sweep := 0; sweep < 64; sweep++ {
		for i := range m {
			before, after := (i+n-1)%n, (i+1)%n
			for c := range m[i] {
				rhs := 3 * (h[i]/h[before]*(p[i][c]-p[before][c]) + h[before]/h[i]*(p[after][c]-p[i][c]))
				m[i][c] = (rhs - h[i]*m[before][c] - h[before]*m[after][c]) / (2 * (h[before] + h[i]))
			}
		}
	}
	return hermite(append(p, p[0]), append(m, m[0]), h), nil
}

// hermite returns the cubic through points with the slopes m over steps h.
func hermite(p, m []Point, h []float64) *Spline {
	n := len(p)
	s := &Spline{Degree: 3, Points: []Point{p[0]}, Knots: []float64{0, 0, 0, 0}}
	at := 0.0
	for i := 0; i+1 < n; i++ {
		var a, b Point
		for c := range a {
			a[c] = p[i][c] + h[i]/3*m[i][c]
			b[c] = p[i+1][c] - h[i]/3*m[i+1][c]
		}
		at += h[i]
		s.Points = append(s.Points, a, b, p[i+1])
		s.Knots = append(s.Knots, at, at, at)
	}
	s.Knots = append(s.Knots, at)
	return s
}

func sq(x float64) float64 { return x * x }
