// Throats: where a passage through an area is narrowest.

package plane

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Throat is the narrowest place of a passage.
type Throat struct {
	// Width is the distance of P and Q, the two points of the boundary that
	// face one another across the passage.
	Width float64
	P, Q  orb.Point
	// Cut is the area of the smaller of the two parts into which the region
	// falls when it is closed from P to Q; 0 when it stays in one piece,
	// because there is a way around.
	Cut float64
}

const (
	// throatSlack is how far, in parts of its radius, the boundary may reach
	// into the circle over a throat. Sides that are not quite parallel do, by
	// the square of the angle.
	throatSlack = 1e-3
	// throatTaper is how much, in parts of the width, two sides may differ from
	// parallel along their common stretch and still count as a strip of one
	// width.
	throatTaper = 0.05
	// throatSamples is how many times the way between two throats is probed at
	// most.
	throatSamples = 256
)

// Throats returns the narrowest places of the passages through a region that
// are narrower than below, narrowest first.
//
// A throat is a segment PQ across the inside, such that nothing of the boundary
// lies within the circle that has PQ for its diameter, and the boundary at P
// and at Q does not lean towards the other: the width has a minimum there along
// the passage. In other words, its middle is a saddle of the depth. Two sides
// that run parallel (within 5 % of the width) for at least their distance count
// too. A convex corner is no throat, however sharp, nor is the end of a wedge:
// nothing passes there.
//
// Of several such places with no room between them for a circle of diameter
// below, the narrowest stands for the passage. What is narrow all over without
// a throat (a slender ellipse, a wedge) has none: its GreatestDepth tells.
//
// The region must be valid; the widths have the error of Clearance.
func Throats(region orb.Polygon, below float64) []Throat {
	if !(below > 0) {
		return nil
	}
	s := &throatSearch{below: below}
	var rings orb.Polygon
	for i, r := range region {
		pts := distinctPoints(r)
		if len(pts) < 3 {
			continue
		}
		// The inside on the left.
		if (Turn(r) > 0) != (i == 0) {
			reverse(pts)
		}
		pts = append(pts, pts[0])
		rings = append(rings, pts)
		at := make([]float64, len(pts))
		for k := 1; k < len(pts); k++ {
			at[k] = at[k-1] + math.Hypot(pts[k][0]-pts[k-1][0], pts[k][1]-pts[k-1][1])
		}
		s.along = append(s.along, at)
	}
	s.l = NewLocator(rings)
	if len(s.l.parts) == 0 {
		return nil
	}
	s.t = &s.l.parts[0]
	if len(s.t.paths) != len(rings) {
		return nil // a coordinate is not finite
	}
	s.find()
	return s.passages(rings)
}

type throatSearch struct {
	l     *Locator
	t     *tree
	below float64
	along [][]float64 // length along each ring up to each vertex
	found []candidate
}

// boundaryPoint is a point of the boundary: at, on ring, so far along it.
type boundaryPoint struct {
	at    orb.Point
	ring  int32
	along float64
}

type candidate struct {
	width  float64
	middle orb.Point
	p, q   boundaryPoint
}

// find collects all places that are throats by themselves.
func (s *throatSearch) find() {
	t := s.t
	for ring := range t.paths {
		pts := t.paths[ring].pts
		n := len(pts) - 1
		// The straight way between two points of a convex hole lies in the
		// hole.
		own := !bulges(pts)
		var near []int32 // leaves within reach of those of one leaf
		first := t.paths[ring].firstLeaf
		for mine := first; mine < first+t.paths[ring].leaves; mine++ {
			all := t.box[mine]
			s.grow(&all)
			near = near[:0]
			t.search(&all, 0, int32(len(t.leafs)), func(k int32) bool {
				if own || t.leafs[k].path != int32(ring) {
					near = append(near, k)
				}
				return true
			})
			if len(near) == 0 {
				continue
			}
			for i := int(t.leafs[mine].first); i < int(t.leafs[mine].first+t.leafs[mine].count); i++ {
				s.fromSide(int32(ring), i, pts[(i+n-1)%n], pts[i], pts[i+1], near)
			}
		}
	}
}

// fromSide tries the side ab of a ring, and the vertex a, that comes after
// before, against the sides in leaves nearby.
func (s *throatSearch) fromSide(ring int32, i int, before, a, b orb.Point, near []int32) {
	t := s.t
	reach, corner := boxOf(a, b), boxOf(a, a)
	s.grow(&reach)
	s.grow(&corner)
	blunt := Orient(before, a, b) <= 0 // a does not open towards the inside
	way := quadrantOf(a, b)
	for _, k := range near {
		if !t.box[k].meets(&reach) {
			continue
		}
		l := t.leafs[k]
		other := t.paths[l.path].pts
		if blunt && t.box[k].meets(&corner) {
			for j := l.first; j < l.first+l.count; j++ {
				s.fromVertex(ring, i, l.path, int(j), before, a, b, other)
			}
		}
		if t.mono[k] == way {
			continue // all run the same way, none against this side
		}
		for j := l.first; j < l.first+l.count; j++ {
			if l.path > ring || l.path == ring && int(j) > i {
				s.sides(ring, i, l.path, int(j), a, b, other[j], other[j+1])
			}
		}
	}
}

// bulges reports whether a closed ring that has the inside of its region on the
// left turns right or not at all everywhere: a hole of that kind is convex.
func bulges(pts []orb.Point) bool {
	n := len(pts) - 1
	for i := range n {
		if Orient(pts[(i+n-1)%n], pts[i], pts[i+1]) > 0 {
			return false
		}
	}
	return true
}

func (s *throatSearch) grow(b *box) {
	b.minX, b.minY, b.maxX, b.maxY = b.minX-s.below, b.minY-s.below, b.maxX+s.below, b.maxY+s.below
}

// faces reports whether the arm from p to r does not lean towards q.
func faces(p, q, r orb.Point) bool {
	dx, dy, ex, ey := q[0]-p[0], q[1]-p[1], r[0]-p[0], r[1]-p[1]
	dot := dx*ex + dy*ey
	return dot <= 0 || dot <= 1e-9*math.Hypot(dx, dy)*math.Hypot(ex, ey)
}

// leans reports, quickly and never wrongly, that the arm from p to r leans
// towards all of the segment cd, so that faces says no of each of its points.
func leans(p, r, c, d orb.Point) bool {
	ex, ey := r[0]-p[0], r[1]-p[1]
	cx, cy, dx, dy := c[0]-p[0], c[1]-p[1], d[0]-p[0], d[1]-p[1]
	least := min(cx*ex+cy*ey, dx*ex+dy*ey)
	return least > 2e-9*(math.Abs(ex)+math.Abs(ey))*max(math.Abs(cx)+math.Abs(cy), math.Abs(dx)+math.Abs(dy))
}

// fromVertex tries the vertex a, between before and b, against the side j of
// other.
func (s *throatSearch) fromVertex(ring int32, i int, oring int32, j int, before, a, b orb.Point, other []orb.Point) {
	c, d := other[j], other[j+1]
	if a == c || a == d {
		return
	}
	if leans(a, b, c, d) || leans(a, before, c, d) || pointToSegment2(a, c, d) > s.below*s.below*(1+1e-9) {
		return
	}
	width, q := pointToSegment(a, c, d)
	if width >= s.below || width == 0 || !faces(a, q, before) || !faces(a, q, b) {
		return
	}
	if q == d {
		return // taken with the side that begins there
	}
	if q == c {
		n := len(other) - 1
		prev := other[(j+n-1)%n]
		if Orient(prev, c, d) > 0 || !faces(c, a, prev) || !faces(c, a, d) {
			return
		}
		if oring < ring || oring == ring && j < i {
			return // two vertices: once
		}
	}
	s.try(boundaryPoint{a, ring, s.along[ring][i]},
		boundaryPoint{q, oring, s.along[oring][j] + math.Hypot(q[0]-c[0], q[1]-c[1])})
}

// sides tries two sides ab and cd that run against one another.
func (s *throatSearch) sides(ring int32, i int, oring int32, j int, a, b, c, d orb.Point) {
	if (b[0]-a[0])*(d[0]-c[0])+(b[1]-a[1])*(d[1]-c[1]) >= 0 {
		return
	}
	ux, uy := direction(a, b)
	vx, vy := direction(c, d)
	if ux*vx+uy*vy > -0.9 {
		return
	}
	// The stretch of ab that cd stands over, and how far off its ends are.
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	tc := (c[0]-a[0])*ux + (c[1]-a[1])*uy
	td := (d[0]-a[0])*ux + (d[1]-a[1])*uy
	lo, hi := max(0, td), min(length, tc)
	if hi <= lo {
		return
	}
	hc := det2(ux, uy, c[0]-a[0], c[1]-a[1])
	hd := det2(ux, uy, d[0]-a[0], d[1]-a[1])
	slope := (hc - hd) / (tc - td)
	h := func(t float64) float64 { return hd + (t-td)*slope }
	width := h((lo + hi) / 2)
	if !(width > 0) || width >= s.below || hi-lo < width || math.Abs(h(hi)-h(lo)) > throatTaper*width {
		return
	}
	m := (lo + hi) / 2
	p := orb.Point{a[0] + m*ux, a[1] + m*uy}
	width, q := pointToSegment(p, c, d)
	if width == 0 {
		return
	}
	s.try(boundaryPoint{p, ring, s.along[ring][i] + m},
		boundaryPoint{q, oring, s.along[oring][j] + math.Hypot(q[0]-c[0], q[1]-c[1])})
}

// try keeps the candidate if its circle lies inside and is empty.
func (s *throatSearch) try(p, q boundaryPoint) {
	m := orb.Point{p.at[0]/2 + q.at[0]/2, p.at[1]/2 + q.at[1]/2}
	width := math.Hypot(p.at[0]-q.at[0], p.at[1]-q.at[1])
	if width == 0 || width >= s.below || s.l.Depth(m) < width/2*(1-throatSlack) {
		return
	}
	if comparePoint(q.at, p.at) < 0 {
		p, q = q, p
	}
	s.found = append(s.found, candidate{width, m, p, q})
}

// passages joins candidates that lie in one passage and returns the narrowest
// of each.
func (s *throatSearch) passages(rings orb.Polygon) []Throat {
	if len(s.found) == 0 {
		return nil
	}
	slices.SortFunc(s.found, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.width, b.width), comparePoint(a.p.at, b.p.at), comparePoint(a.q.at, b.q.at))
	})
	s.found = slices.CompactFunc(s.found, func(a, b candidate) bool { return a.p.at == b.p.at && a.q.at == b.q.at })
	parent := make([]int, len(s.found))
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	// Neighbours along the boundary are the ones that may share a passage.
	type end struct {
		ring      int32
		along     float64
		candidate int
	}
	var ends []end
	for i, c := range s.found {
		ends = append(ends, end{c.p.ring, c.p.along, i}, end{c.q.ring, c.q.along, i})
	}
	slices.SortFunc(ends, func(a, b end) int {
		return cmp.Or(cmp.Compare(a.ring, b.ring), cmp.Compare(a.along, b.along), cmp.Compare(a.candidate, b.candidate))
	})
	for i := range ends {
		j := i + 1
		if j == len(ends) || ends[j].ring != ends[i].ring {
			// Around the ring to its first.
			j = i
			for j > 0 && ends[j-1].ring == ends[i].ring {
				j--
			}
		}
		a, b := find(ends[i].candidate), find(ends[j].candidate)
		if a != b && s.narrowBetween(s.found[ends[i].candidate].middle, s.found[ends[j].candidate].middle) {
			parent[max(a, b)] = min(a, b) // the narrower one is the root
		}
	}
	// Of places that are equally narrow but for rounding, the first along x.
	best := make(map[int]int)
	for i, c := range s.found {
		root := find(i)
		b, ok := best[root]
		if !ok || c.width <= s.found[root].width*(1+1e-9) && comparePoint(c.middle, s.found[b].middle) < 0 {
			best[root] = i
		}
	}
	var out []Throat
	for i, c := range s.found {
		if best[find(i)] == i {
			out = append(out, Throat{c.width, c.p.at, c.q.at, s.cut(c, rings)})
		}
	}
	return out
}

// narrowBetween reports whether the straight way from a to b stays inside and
// has nowhere room for a circle of diameter below.
func (s *throatSearch) narrowBetween(a, b orb.Point) bool {
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	n := int(min(throatSamples, math.Ceil(length/(s.below/4))))
	r := s.below / 2
	for k := 1; k < n; k++ {
		f := float64(k) / float64(n)
		x := orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
		if s.l.Locate(x) != Inside {
			return false
		}
		d, at := s.l.DistanceToBoundary(x)
		// The circle that touches where x is nearest to the boundary, and holds
		// x.
		c := x
		if d < r {
			c = orb.Point{at[0] + (x[0]-at[0])/d*r, at[1] + (x[1]-at[1])/d*r}
		}
		if s.l.Depth(c) >= r*(1-throatSlack) {
			return false
		}
	}
	return true
}

// cut returns the area of the smaller part when the region is closed along a
// candidate.
func (s *throatSearch) cut(c candidate, rings orb.Polygon) float64 {
	if c.p.ring != c.q.ring {
		return 0
	}
	// Along the ring from p to q, with the inside on the left, and back along
	// the chord. On a hole one of the two ways around runs clockwise about the
	// hole; the other one encloses what is cut off.
	part := s.piece(c.p, c.q, rings)
	area := SignedArea(part)
	if area < 0 {
		part = s.piece(c.q, c.p, rings)
		area = SignedArea(part)
	}
	whole := 0.0
	for i, r := range rings {
		a := SignedArea(r)
		whole += a
		if i > 0 && int32(i) != c.p.ring && locateRing(r[0], part) == Inside {
			area += a // a hole, of negative area
		}
	}
	return max(0, min(area, whole-area))
}

// piece returns the part of a ring from p on to q, closed.
func (s *throatSearch) piece(p, q boundaryPoint, rings orb.Polygon) orb.Ring {
	ring, at := rings[p.ring], s.along[p.ring]
	n := len(ring) - 1
	first, last := 0, 0 // the first vertex after p, and the first not before q
	for first < n && at[first] <= p.along {
		first++
	}
	for last < n && at[last] < q.along {
		last++
	}
	out := orb.Ring{p.at}
	if p.along < q.along {
		out = append(out, ring[first:last]...)
	} else {
		out = append(append(out, ring[first:n]...), ring[:last]...)
	}
	return append(out, q.at, p.at)
}
