// Many questions about one area: where a point lies, and how far from the
// boundary.

package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// Locator answers many questions about one area in about log n steps each. It
// may be used by several goroutines at a time.
type Locator struct {
	parts []tree
	boxes *Boxes // of several parts
}

// NewLocator prepares an area: an orb.Ring, Polygon, MultiPolygon, Bound or a
// Collection of those; other parts have no area and are left out, as are rings
// with a coordinate that is not finite. The coordinates must not be changed
// while it is in use.
func NewLocator(area orb.Geometry) *Locator {
	l := new(Locator)
	polygons := polygonsOf(area, nil)
	if len(polygons) > 0 {
		l.parts = make([]tree, 0, len(polygons))
	}
	for _, p := range polygons {
		var t tree
		t.reserve(len(p), leafsOf(p))
		for i, r := range p {
			addLoose(&t, r, i, true)
		}
		if len(t.leafs) > 0 {
			t.build()
			l.parts = append(l.parts, t)
		}
	}
	if len(l.parts) > 1 {
		l.boxes = newBoxes(len(l.parts), func(i int) box { return l.parts[i].bounds() })
	}
	return l
}

// leafsOf is at least the number of leaves of a polygon's rings.
func leafsOf(p orb.Polygon) int {
	leafs := 0
	for _, r := range p {
		leafs += len(r)/leafSize + 1
	}
	return leafs
}

// nodesOver is at least the number of nodes of a tree of so many leaves: of the
// levels above them each has a quarter of the one below.
func nodesOver(leafs int) int { return leafs + leafs/(fan-1) + 8 }

// smallTree is the memory of a tree of one path with a few leaves, as most are,
// in one piece.
type smallTree struct {
	paths [1]path
	leafs [5]leaf
	box   [8]box // 5 leaves, 2 nodes over them and 1 over those
	mono  [8]uint8
	level [5]int
}

// reserve makes room for paths of so many leaves.
func (t *tree) reserve(paths, leafs int) {
	if paths == 1 && leafs <= len(smallTree{}.leafs) {
		s := new(smallTree)
		t.paths, t.leafs, t.box, t.mono, t.level = s.paths[:0], s.leafs[:0], s.box[:0], s.mono[:0], s.level[:0]
		return
	}
	nodes := nodesOver(leafs)
	t.paths, t.leafs = make([]path, 0, paths), make([]leaf, 0, leafs)
	t.box, t.mono, t.level = make([]box, 0, nodes), make([]uint8, 0, nodes), make([]int, 0, 8)
}

// bounds returns the box of all that is in a built tree.
func (t *tree) bounds() box { return t.box[len(t.box)-1] }

// addLoose adds a ring (closed if it is not) or a line to a tree for distances.
func addLoose(t *tree, pts []orb.Point, ring int, closed bool) {
	if len(pts) == 0 {
		return
	}
	if closed && pts[0] != pts[len(pts)-1] || len(pts) == 1 {
		pts = append(append(make([]orb.Point, 0, len(pts)+1), pts...), pts[0])
	}
	t.addPath(path{pts: pts, ring: int32(ring), closed: closed}, true)
}

// polygonsOf appends the polygons in a geometry to list.
func polygonsOf(g orb.Geometry, list []orb.Polygon) []orb.Polygon {
	switch g := g.(type) {
	case orb.Ring:
		return append(list, orb.Polygon{g})
	case orb.Polygon:
		return append(list, g)
	case orb.MultiPolygon:
		if list == nil {
			return g[:len(g):len(g)]
		}
		return append(list, g...)
	case orb.Bound:
		return append(list, g.ToPolygon())
	case orb.Collection:
		for _, part := range g {
			list = polygonsOf(part, list)
		}
	}
	return list
}

// Locate returns where p lies, as the function Locate does. In a polygon that
// is not valid the rings are taken together by the even-odd rule.
func (l *Locator) Locate(p orb.Point) Location {
	best := Outside
	if !finite(p) {
		return best
	}
	if len(l.parts) < 2 {
		if len(l.parts) == 1 {
			best = l.parts[0].locate(p, 0, int32(len(l.parts[0].leafs)))
		}
		return best
	}
	at := boxOf(p, p)
	l.boxes.search(&at, func(i int) bool {
		t := &l.parts[i]
		best = max(best, t.locate(p, 0, int32(len(t.leafs))))
		return best != Inside
	})
	return best
}

// DistanceToBoundary returns the least distance from p to the boundary of the
// area, shells and holes, and the point of the boundary where it is. Without a
// boundary it is +Inf.
func (l *Locator) DistanceToBoundary(p orb.Point) (d float64, at orb.Point) {
	d, at, _ = l.nearest(p)
	return d, at
}

// nearest also returns the segment.
func (l *Locator) nearest(p orb.Point) (d float64, at orb.Point, s segment) {
	d, at, s, _ = l.nearestUnder(p, nearest{d2: math.Inf(1)})
	return d, at, s
}

// nearestKnown is nearest, quicker, for a point that is known to be no farther
// than about far from the boundary, and when any distance under enough will do:
// it may then be greater than the least. (Should far be too low, it is as slow
// as nearest.)
func (l *Locator) nearestKnown(p orb.Point, far, enough float64) (d float64, at orb.Point, s segment) {
	best := nearest{d2: far * far * (1 + 1e-9)}
	if enough > 0 {
		best.enough2 = enough * enough
	}
	d, at, s, ok := l.nearestUnder(p, best)
	if !ok {
		return l.nearest(p)
	}
	return d, at, s
}

// nearestUnder looks for what is nearer than best.
func (l *Locator) nearestUnder(p orb.Point, best nearest) (d float64, at orb.Point, s segment, ok bool) {
	if !finite(p) {
		return math.Inf(1), at, s, false
	}
	under := best.d2
	for i := range l.parts {
		l.parts[i].nearest(p, &best)
	}
	if !(best.d2 < under) {
		return math.Inf(1), at, s, false
	}
	d, at = pointToSegment(p, best.a, best.b)
	return d, at, best.segment, true
}

// Depth returns how deep p lies inside the area: its distance to the boundary,
// negative when it lies outside, 0 on the edge; -Inf when there is no area.
func (l *Locator) Depth(p orb.Point) float64 {
	d, _ := l.DistanceToBoundary(p)
	switch l.Locate(p) {
	case Inside:
		return d
	case OnEdge:
		return 0
	}
	return -d
}

// segment is a segment of a tree.
type segment struct {
	a, b  orb.Point
	path  int32
	index int32
}

type nearest struct {
	d2 float64
	// enough2 is a squared distance under which the search ends, 0 for none.
	enough2 float64
	segment
}

// nearest lowers best to the segment of the tree that is nearest to p.
func (t *tree) nearest(p orb.Point, best *nearest) {
	if len(t.leafs) > 0 {
		t.nearestNode(t.top(), 0, p, best)
	}
}

func (t *tree) nearestNode(level, i int, p orb.Point, best *nearest) {
	if level == 0 {
		l := t.leafs[i]
		pts := t.paths[l.path].pts[l.first : l.first+l.count+1]
		least, at := best.d2, 0
		// As pointToSegment2 has it; what one segment needs of its end the next
		// needs of its start, and a quotient that is plainly no less is spared.
		px, py := p[0]-pts[0][0], p[1]-pts[0][1]
		for k := 1; k < len(pts); k++ {
			a, b := &pts[k-1], &pts[k]
			dx, dy := b[0]-a[0], b[1]-a[1]
			qx, qy := p[0]-b[0], p[1]-b[1]
			var d2 float64
			if t, l2 := px*dx+py*dy, dx*dx+dy*dy; t <= 0 {
				d2 = px*px + py*py
			} else if t >= l2 {
				d2 = qx*qx + qy*qy
			} else if c := px*dy - py*dx; c*c > least*l2*(1+1e-9) {
				d2 = math.Inf(1)
			} else {
				d2 = c * c / l2
			}
			if d2 < least {
				least, at = d2, k
			}
			px, py = qx, qy
		}
		if at > 0 {
			best.d2, best.segment = least, segment{pts[at-1], pts[at], l.path, l.first + int32(at) - 1}
		}
		return
	}
	// The nearest child first, so that the others can be left out.
	var order [fan]int
	var d2 [fan]float64
	n := 0
	below, count := t.level[level-1], t.level[level]-t.level[level-1]
	for c := fan * i; c < min(fan*i+fan, count); c++ {
		d := t.box[below+c].distance2(p)
		k := n
		for ; k > 0 && d2[k-1] > d; k-- {
			order[k], d2[k] = order[k-1], d2[k-1]
		}
		order[k], d2[k] = c, d
		n++
	}
	for k := range n {
		if d2[k] >= best.d2 || best.d2 < best.enough2 {
			return
		}
		t.nearestNode(level-1, order[k], p, best)
	}
}

// pointToSegment2 returns the squared distance from p to the segment ab.
func pointToSegment2(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	px, py := p[0]-a[0], p[1]-a[1]
	t := px*dx + py*dy
	if t <= 0 {
		return px*px + py*py
	}
	l2 := dx*dx + dy*dy
	if t >= l2 {
		qx, qy := p[0]-b[0], p[1]-b[1]
		return qx*qx + qy*qy
	}
	c := px*dy - py*dx
	return c * c / l2
}

// pointToSegment returns the distance from p to the segment ab and its nearest
// point. The distance is good to a few units in the last place of the
// coordinate differences.
func pointToSegment(p, a, b orb.Point) (float64, orb.Point) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	px, py := p[0]-a[0], p[1]-a[1]
	t := px*dx + py*dy
	l2 := dx*dx + dy*dy
	switch {
	case t <= 0 || l2 == 0:
		return math.Hypot(px, py), a
	case t >= l2:
		return math.Hypot(p[0]-b[0], p[1]-b[1]), b
	}
	t /= l2
	var q orb.Point
	if t <= 0.5 {
		q = orb.Point{a[0] + t*dx, a[1] + t*dy}
	} else {
		q = orb.Point{b[0] - (1-t)*dx, b[1] - (1-t)*dy}
	}
	return math.Abs(det2(px, py, dx, dy)) / math.Sqrt(l2), q
}
