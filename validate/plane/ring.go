// What can be said of one ring: closed, its area, repeated points, spikes.

package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// SignedArea returns the area of the ring in squared units of its coordinates,
// positive when it runs anticlockwise; an open ring is taken as closed.
// Products are taken from the ring's first point and summed with compensation
// (Neumaier), so that the error stays near u times the sum of their magnitudes
// whatever the number of points and however far the ring lies from the origin.
func SignedArea(r orb.Ring) float64 {
	if len(r) < 3 {
		return 0
	}
	o := r[0]
	var sum, lost, px, py float64
	for _, p := range r[1:] {
		x, y := p[0]-o[0], p[1]-o[1]
		v := det2(px, py, x, y)
		s := sum + v
		if math.Abs(sum) >= math.Abs(v) {
			lost += (sum - s) + v
		} else {
			lost += (v - s) + sum
		}
		sum, px, py = s, x, y
	}
	return (sum + lost) / 2
}

// Area returns the area of a geometry in squared units of its coordinates:
// shells less holes, whichever way the rings run. Points and lines have none.
func Area(g orb.Geometry) float64 {
	switch g := g.(type) {
	case orb.Ring:
		return math.Abs(SignedArea(g))
	case orb.Polygon:
		return polygonArea(g)
	case orb.MultiPolygon:
		area := 0.0
		for _, p := range g {
			area += polygonArea(p)
		}
		return area
	case orb.Bound:
		return math.Max(0, g.Max[0]-g.Min[0]) * math.Max(0, g.Max[1]-g.Min[1])
	case orb.Collection:
		area := 0.0
		for _, part := range g {
			area += Area(part)
		}
		return area
	}
	return 0
}

// polygonArea is the shell's less the holes'.
func polygonArea(p orb.Polygon) float64 {
	area := 0.0
	for i, r := range p {
		a := math.Abs(SignedArea(r))
		if i > 0 {
			a = -a
		}
		area += a
	}
	return area
}

// Turn returns the exact sense of a simple ring: +1 anticlockwise, -1
// clockwise, 0 when it has no area (all points on one line). Of a ring that
// crosses itself it is the sense at its lowest, leftmost vertex.
func Turn(r orb.Ring) int {
	n := len(r)
	if n > 1 && r[0] == r[n-1] {
		n--
	}
	if n < 3 {
		return 0
	}
	low := 0
	for i := 1; i < n; i++ {
		if r[i][1] < r[low][1] || r[i][1] == r[low][1] && r[i][0] < r[low][0] {
			low = i
		}
	}
	prev, next := low, low
	for k := 1; k < n && r[prev] == r[low]; k++ {
		prev = (low - k + n) % n
	}
	for k := 1; k < n && r[next] == r[low]; k++ {
		next = (low + k) % n
	}
	return Orient(r[prev], r[low], r[next])
}

// Spike is a vertex at which a ring turns back along the line that it came by.
type Spike struct {
	// Vertex is the index of the tip.
	Vertex int
	// Tip is its place, Base how far back both sides run together.
	Tip, Base orb.Point
}

// Spikes returns the vertices at which the ring runs back along its own line,
// exactly; repeated points are looked past. A tip with straight vertices on its
// way is found once, at the tip, with the base at the nearer next vertex that
// differs.
func Spikes(r orb.Ring) []Spike {
	idx := distinct(r)
	n := len(idx)
	if n < 2 {
		return nil
	}
	var out []Spike
	for k := range n {
		a, b, c := r[idx[(k+n-1)%n]], r[idx[k]], r[idx[(k+1)%n]]
		if reverses(a, b, c) && Orient(a, b, c) == 0 {
			base := a
			if closer(b, c, a) {
				base = c
			}
			out = append(out, Spike{idx[k], b, base})
		}
	}
	return out
}

// distinct returns the indexes of the ring's vertices without closing point and
// without consecutive repetitions.
func distinct(r orb.Ring) []int {
	idx := make([]int, 0, len(r))
	for i := range r {
		if len(idx) == 0 || r[i] != r[idx[len(idx)-1]] {
			idx = append(idx, i)
		}
	}
	for len(idx) > 1 && r[idx[0]] == r[idx[len(idx)-1]] {
		idx = idx[:len(idx)-1]
	}
	return idx
}

// reverses reports whether the way a, b, c turns back at b in both coordinates:
// true of every spike, and of collinear points true of spikes alone.
func reverses(a, b, c orb.Point) bool {
	return (b[0]-a[0])*(c[0]-b[0]) <= 0 && (b[1]-a[1])*(c[1]-b[1]) <= 0
}

// closer reports, for a and c on one ray from b, whether a is nearer to b than
// c.
func closer(b, a, c orb.Point) bool {
	if a[0] != b[0] {
		return math.Abs(a[0]-b[0]) < math.Abs(c[0]-b[0])
	}
	return math.Abs(a[1]-b[1]) < math.Abs(c[1]-b[1])
}
