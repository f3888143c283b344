// The deepest place of an area: the centre of the largest circle inside.

package plane

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// maxDepthCells bounds the search of GreatestDepth; a plain figure takes a few
// hundred.
const maxDepthCells = 1 << 20

// GreatestDepth returns the point of the area that lies deepest inside, that is
// the centre of the largest circle that fits, and how deep that is. The true
// greatest depth is at most tolerance more than the depth returned, which is
// the true depth of the point returned. A tolerance of 0 or less stands for a
// thousandth of the depth. Without an inside the depth is 0 and the point some
// vertex, or the origin.
//
// Method: squares are halved, the most promising first, and dropped when no
// point in them can be deeper than what was found. For a square of half
// diagonal r with middle m that bound is depth(m) + r; and, since the distances
// f and g to any two pieces of the boundary are convex, also the greatest
// (f+g)/2 at its corners, which tells at once that a strip between parallel
// edges is nowhere deeper than half its width.
func GreatestDepth(area orb.Geometry, tolerance float64) (centre orb.Point, depth float64) {
	l := NewLocator(area)
	return l.GreatestDepth(tolerance)
}

// GreatestDepth is the function GreatestDepth for a prepared area.
func (l *Locator) GreatestDepth(tolerance float64) (centre orb.Point, depth float64) {
	if len(l.parts) == 0 {
		return orb.Point{}, 0
	}
	s := &depthSearch{l: l, tolerance: tolerance, centre: l.parts[0].paths[0].pts[0]}
	s.cells.search(l, maxDepthCells, s.add, func(bound float64) bool { return bound <= s.depth+s.slack() })
	return s.centre, s.depth
}

// RoomyPoint returns a point inside the area for something to be shown at, well
// away from its boundary where it can be had cheaply: the middle of the roomiest
// of a few lines across it. Without an inside it is some vertex, or the origin.
func RoomyPoint(area orb.MultiPolygon) orb.Point {
	var best orb.Point
	room := 0.0
	for _, p := range area {
		if len(p) == 0 || len(p[0]) == 0 {
			continue
		}
		if room == 0 {
			best = p[0][0]
		}
		b := p[0].Bound()
		for k := range roomyLines {
			y := b.Min[1] + (b.Max[1]-b.Min[1])*(float64(k)+0.5)/roomyLines
			wide, x := widestAlong(p, 0, y, math.NaN())
			if !(wide > room) {
				continue
			}
			high, mid := widestAlong(p, 1, x, y)
			if r := min(wide, high); r > room {
				room, best = r, orb.Point{x, mid}
			}
		}
	}
	if room > 0 && Locate(best, area) == Inside {
		return best
	}
	best, _ = GreatestDepth(area, 0)
	return best
}

// roomyLines are the lines across an area on which RoomyPoint looks.
const roomyLines = 7

// widestAlong returns the length and the middle of the widest stretch inside p
// of the line along axis (0 is x) on which the other coordinate is at; of the
// stretch that holds through, where that is a number.
func widestAlong(p orb.Polygon, axis int, at, through float64) (length, middle float64) {
	var few [16]float64
	cuts := few[:0]
	for _, ring := range p {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if u, v := a[1-axis], b[1-axis]; u > at != (v > at) {
				cuts = append(cuts, a[axis]+(b[axis]-a[axis])*((at-u)/(v-u)))
			}
		}
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i += 2 {
		a, b := cuts[i-1], cuts[i]
		if b-a > length && !(through < a || through > b) {
			length, middle = b-a, a/2+b/2
		}
	}
	return length, middle
}

// search halves squares over the parts of l, the most promising first: add
// looks at one and pushes it when it may hold more, low says that a bound is no
// longer worth it. above is the depth that was pushed with the square that one
// is a quarter of, 0 at first.
func (h *cellHeap) search(l *Locator, most int, add func(middle orb.Point, half, above float64), low func(bound float64) bool) {
	for i := range l.parts {
		b := l.parts[i].bounds()
		half := max(b.maxX-b.minX, b.maxY-b.minY) / 2
		if half > 0 && !math.IsInf(half, 0) {
			add(orb.Point{b.minX/2 + b.maxX/2, b.minY/2 + b.maxY/2}, half, 0)
		}
	}
	for n := 0; len(*h) > 0 && n < most; n++ {
		c := h.pop()
		if low(c.bound) {
			break
		}
		half := c.half / 2
		if c.middle[0]+half == c.middle[0] || c.middle[1]+half == c.middle[1] {
			continue // no finer than the coordinates
		}
		for _, q := range [4]orb.Point{{-half, -half}, {half, -half}, {-half, half}, {half, half}} {
			add(orb.Point{c.middle[0] + q[0], c.middle[1] + q[1]}, half, c.depth)
		}
	}
}

type depthCell struct {
	middle orb.Point
	half   float64
	bound  float64
	depth  float64 // of the middle, negative outside
}

type depthSearch struct {
	l         *Locator
	tolerance float64
	cells     cellHeap
	centre    orb.Point
	depth     float64
}

func (s *depthSearch) slack() float64 {
	if s.tolerance > 0 {
		return s.tolerance
	}
	return s.depth / 1000
}

// add looks at a square.
func (s *depthSearch) add(m orb.Point, half, above float64) {
	const hair = 1e-9 // more than distances are off
	far := math.Inf(1)
	if above != 0 {
		far = (math.Abs(above)+half*math.Sqrt2)*(1+hair) + 1e-15*(math.Abs(m[0])+math.Abs(m[1]))
	}
	shallow := func(d float64) bool { return d <= s.depth && d+half*math.Sqrt2 <= s.depth+s.slack() }
	enough := min(s.depth, s.depth+s.slack()-half*math.Sqrt2) - hair*(s.depth+s.slack()+half)
	d, at, near := s.l.nearestKnown(m, far, enough)
	if shallow(d) {
		return // on whichever side of the boundary
	}
	if d <= enough {
		d, at, near = s.l.nearest(m)
	}
	// Around the middle of the larger square the boundary is as far off as that
	// is deep.
	if off := half * 1.001 * math.Sqrt2; above <= off && (above < -off || s.l.Locate(m) != Inside) {
		d = -d
	}
	if d > s.depth {
		s.depth, s.centre = d, m
	}
	bound := d + half*math.Sqrt2
	if bound <= s.depth+s.slack() {
		return
	}
	if d > 0 {
		// What lies on the other side of m, as seen from the nearest point.
		_, _, far := s.l.nearest(orb.Point{2*m[0] - at[0], 2*m[1] - at[1]})
		if far != near {
			bound = min(bound, between(m, half, near, far))
			if bound <= s.depth+s.slack() {
				return
			}
		}
	}
	s.cells.push(depthCell{m, half, bound, d})
}

// between returns the most that the mean of the distances to two segments comes
// to in the square of this half side about m: no point of it lies farther from
// both.
func between(m orb.Point, half float64, one, other segment) float64 {
	most := 0.0
	for _, q := range [4]orb.Point{{-half, -half}, {half, -half}, {-half, half}, {half, half}} {
		c := orb.Point{m[0] + q[0], m[1] + q[1]}
		f, _ := pointToSegment(c, one.a, one.b)
		g, _ := pointToSegment(c, other.a, other.b)
		most = max(most, (f+g)/2)
	}
	return most
}

// cellHeap is a heap of cells, the most promising on top. (A heap of interfaces
// would put every cell into memory of its own.)
type cellHeap []depthCell

func (h *cellHeap) push(c depthCell) {
	list := append(*h, c)
	*h = list
	for i := len(list) - 1; i > 0; {
		up := (i - 1) / 2
		if !(list[i].bound > list[up].bound) {
			break
		}
		list[i], list[up] = list[up], list[i]
		i = up
	}
}

func (h *cellHeap) pop() depthCell {
	list := *h
	n := len(list) - 1
	list[0], list[n] = list[n], list[0]
	for i := 0; ; {
		most := 2*i + 1
		if most >= n {
			break
		}
		if right := most + 1; right < n && list[right].bound > list[most].bound {
			most = right
		}
		if !(list[most].bound > list[i].bound) {
			break
		}
		list[i], list[most] = list[most], list[i]
		i = most
	}
	*h = list[:n]
	return list[n]
}
