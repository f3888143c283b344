// The index behind every search: a tree of boxes over runs of segments in the
// order in which they follow one another.

package plane

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// leafSize is the number of segments in a leaf: 8 keeps the tree an eighth of
// the points in size, and the 28 pairs in a leaf cheap.
const leafSize = 8

// fan is the number of children of a node.
const fan = 4

// box is a closed rectangle.
type box struct{ minX, minY, maxX, maxY float64 }

func (b *box) meets(c *box) bool {
	return b.minX <= c.maxX && c.minX <= b.maxX && b.minY <= c.maxY && c.minY <= b.maxY
}

func (b *box) covers(c *box) bool {
	return b.minX <= c.minX && c.maxX <= b.maxX && b.minY <= c.minY && c.maxY <= b.maxY
}

func (b *box) join(c *box) {
	b.minX, b.minY = min(b.minX, c.minX), min(b.minY, c.minY)
	b.maxX, b.maxY = max(b.maxX, c.maxX), max(b.maxY, c.maxY)
}

func boxOf(a, b orb.Point) box {
	return box{min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])}
}

// distance2 returns the squared least distance from p to the box.
func (b *box) distance2(p orb.Point) float64 {
	// Not max, which asks for more: numbers that are none, and the sign of 0.
	dx, dy := 0.0, 0.0
	if p[0] < b.minX {
		dx = b.minX - p[0]
	} else if p[0] > b.maxX {
		dx = p[0] - b.maxX
	}
	if p[1] < b.minY {
		dy = b.minY - p[1]
	} else if p[1] > b.maxY {
		dy = p[1] - b.maxY
	}
	return dx*dx + dy*dy
}

// gap2 returns the squared least distance between two boxes.
func (b *box) gap2(c *box) float64 {
	dx, dy := 0.0, 0.0
	if c.maxX < b.minX {
		dx = b.minX - c.maxX
	} else if c.minX > b.maxX {
		dx = c.minX - b.maxX
	}
	if c.maxY < b.minY {
		dy = b.minY - c.maxY
	} else if c.minY > b.maxY {
		dy = c.minY - b.maxY
	}
	return dx*dx + dy*dy
}

// path is one ring or line of a tree: points of which no two in a row are
// equal; the last equals the first in a ring.
type path struct {
	pts []orb.Point
	// origin is the index of each point in the sequence as given, nil when
	// nothing was left out. A closing point that was supplied has the index of
	// the point that it follows plus one.
	origin []int32
	// polygon and ring say whose it is.
	polygon, ring int32
	closed        bool
	// firstLeaf and leaves are its range of leaves.
	firstLeaf, leaves int32
	box               box
}

// vertex returns the index in the sequence as given of the point i.
func (p *path) vertex(i int) int {
	if p.origin == nil {
		return i
	}
	return int(p.origin[i])
}

// segments returns how many segments the path has.
func (p *path) segments() int { return len(p.pts) - 1 }

// leaf is a run of segments of one path.
type leaf struct {
	path, first, count int32
}

// quadrant of a run of segments that all go one way; notMonotone when they do
// not. A run is in quadrant q when for each segment (x falls) + 2 (y falls) is
// q: it then cannot meet itself.
const notMonotone = 0xff

// quadrantOf is the quadrant of the segment ab by itself.
func quadrantOf(a, b orb.Point) uint8 {
	q := uint8(0)
	if b[0] < a[0] {
		q = 1
	}
	if b[1] < a[1] {
		q |= 2
	}
	return q
}

// tree is a tree of boxes over paths. Level 0 holds the leaves; node i of level
// k has the nodes fan*i .. fan*i+fan-1 of level k-1 for children. Runs that
// follow one another lie together, so no sorting is needed for a ring that is
// drawn in order.
type tree struct {
	paths []path
	leafs []leaf
	box   []box
	mono  []uint8
	level []int // level k occupies [level[k], level[k+1])
}

// reset empties the tree and keeps its memory.
func (t *tree) reset() {
	t.paths, t.leafs, t.box, t.mono, t.level = t.paths[:0], t.leafs[:0], t.box[:0], t.mono[:0], t.level[:0]
}

// flaw is what stopped addPath.
type flaw uint8

const (
	flawNone   flaw = iota
	flawFinite      // a coordinate is not a finite number
	flawRepeat      // two points in a row are equal
)

const exponentMask = 0x7ff << 52

// addPath appends the leaves of a path; on a flaw it leaves the tree as it was.
// With repeats allowed, only searches by box, by ray and by distance may be
// made.
func (t *tree) addPath(p path, repeats bool) flaw {
	pts := p.pts
	start := len(t.leafs)
	n := len(pts) - 1
	id := int32(len(t.paths))
	all := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	t.leafs = slices.Grow(t.leafs, n/leafSize+1)
	t.box = slices.Grow(t.box, n/leafSize+1)
	t.mono = slices.Grow(t.mono, n/leafSize+1)
	for s := 0; s < n; s += leafSize {
		e := min(s+leafSize, n)
		x0, y0 := pts[s][0], pts[s][1]
		b := box{x0, y0, x0, y0}
		var quads uint
		bad := math.Float64bits(x0)&exponentMask == exponentMask || math.Float64bits(y0)&exponentMask == exponentMask
		repeat := false
		for _, q := range pts[s+1 : e+1] {
			x, y := q[0], q[1]
			quad := uint(0)
			if x < x0 {
				quad = 1
			}
			if y < y0 {
				quad |= 2
			}
			quads |= 1 << quad
			bad = bad || math.Float64bits(x)&exponentMask == exponentMask || math.Float64bits(y)&exponentMask == exponentMask
			repeat = repeat || x == x0 && y == y0
			x0, y0 = x, y
		}
		if bad || repeat && !repeats {
			t.leafs, t.box, t.mono = t.leafs[:start], t.box[:start], t.mono[:start]
			if bad {
				return flawFinite
			}
			return flawRepeat
		}
		quadrant := uint8(notMonotone)
		switch quads {
		case 1:
			quadrant, b.maxX, b.maxY = 0, x0, y0
		case 2:
			quadrant, b.minX, b.maxY = 1, x0, y0
		case 4:
			quadrant, b.maxX, b.minY = 2, x0, y0
		case 8:
			quadrant, b.minX, b.minY = 3, x0, y0
		default:
			for _, q := range pts[s+1 : e+1] {
				b.minX, b.maxX = min(b.minX, q[0]), max(b.maxX, q[0])
				b.minY, b.maxY = min(b.minY, q[1]), max(b.maxY, q[1])
			}
		}
		t.leafs = append(t.leafs, leaf{id, int32(s), int32(e - s)})
		t.box = append(t.box, b)
		t.mono = append(t.mono, quadrant)
		all.join(&b)
	}
	p.firstLeaf, p.leaves = int32(start), int32(len(t.leafs)-start)
	p.box = all
	t.paths = append(t.paths, p)
	return flawNone
}

// build makes the levels above the leaves. It may change the order of the
// paths' leaves, not of the paths.
func (t *tree) build() {
	if len(t.paths) > 2*fan {
		t.sortPaths()
	}
	n := len(t.leafs)
	t.level = append(t.level[:0], 0, n)
	if n == 0 {
		return
	}
	per := 1 // leaves under a node of the level below
	for n > 1 {
		below := t.level[len(t.level)-2]
		m := (n + fan - 1) / fan
		for i := range m {
			lo, hi := fan*i, min(fan*i+fan, n)
			b := t.box[below+lo]
			quadrant := t.mono[below+lo]
			for c := lo + 1; c < hi; c++ {
				b.join(&t.box[below+c])
				if t.mono[below+c] != quadrant {
					quadrant = notMonotone
				}
			}
			if quadrant != notMonotone && t.leafs[lo*per].path != t.leafs[min(hi*per, len(t.leafs))-1].path {
				quadrant = notMonotone
			}
			t.box = append(t.box, b)
			t.mono = append(t.mono, quadrant)
		}
		t.level = append(t.level, len(t.box))
		n = m
		per *= fan
	}
}

// sortPaths brings the leaves of paths that lie near one another together,
// along a Hilbert curve through the middles of their boxes.
func (t *tree) sortPaths() {
	all := t.paths[0].box
	for i := range t.paths {
		all.join(&t.paths[i].box)
	}
	key := make([]uint64, len(t.paths)) // and in its lower half the path
	for i := range t.paths {
		b := t.paths[i].box
		key[i] = uint64(hilbert(cellOf(b.minX/2+b.maxX/2, all.minX, all.maxX), cellOf(b.minY/2+b.maxY/2, all.minY, all.maxY)))<<32 | uint64(i)
	}
	slices.Sort(key)
	leafs, boxes, mono := slices.Clone(t.leafs), slices.Clone(t.box), slices.Clone(t.mono)
	t.leafs, t.box, t.mono = t.leafs[:0], t.box[:0], t.mono[:0]
	for _, at := range key {
		p := &t.paths[uint32(at)]
		lo, hi := p.firstLeaf, p.firstLeaf+p.leaves
		p.firstLeaf = int32(len(t.leafs))
		t.leafs = append(t.leafs, leafs[lo:hi]...)
		t.box = append(t.box, boxes[lo:hi]...)
		t.mono = append(t.mono, mono[lo:hi]...)
	}
}

// cellOf returns v's place between lo and hi as a whole number of 15 bits.
func cellOf(v, lo, hi float64) uint32 {
	f := (v - lo) / (hi - lo) * 32767
	if !(f > 0) {
		return 0
	}
	return uint32(min(f, 32767))
}

// hilbert returns the distance along the Hilbert curve of order 15 of the cell
// x, y (the bit-by-bit form of Hamilton and Rau-Chaplin; any space-filling
// curve would do).
func hilbert(x, y uint32) uint32 {
	var d uint32
	for s := uint32(1 << 14); s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += s * s * ((3 * rx) ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = 32767-x, 32767-y
			}
			x, y = y, x
		}
	}
	return d
}

// top returns the highest level.
func (t *tree) top() int { return len(t.level) - 2 }

// joinSelf calls pair for every two leaves whose boxes meet, each two once, and
// for every leaf that is not monotone with itself. It stops when pair returns
// false, or when it has visited more than budget pairs of nodes, which it
// reports.
func (t *tree) joinSelf(budget int, pair func(a, b int32) bool) (exhausted bool) {
	if len(t.leafs) == 0 {
		return false
	}
	j := selfJoin{t: t, pair: pair, budget: budget}
	j.node(t.top(), 0)
	return j.budget < 0
}

// joinNear calls pair for every two leaves whose boxes come within margin of
// one another in both coordinates, and for every leaf that is not monotone with
// itself.
func (t *tree) joinNear(margin float64, pair func(a, b int32) bool) {
	if len(t.leafs) > 0 {
		j := selfJoin{t: t, pair: pair, budget: math.MaxInt, margin: margin}
		j.node(t.top(), 0)
	}
}

type selfJoin struct {
	t      *tree
	pair   func(a, b int32) bool
	budget int
	margin float64
}

func (j *selfJoin) meet(a, b *box) bool {
	return a.minX <= b.maxX+j.margin && b.minX <= a.maxX+j.margin && a.minY <= b.maxY+j.margin && b.minY <= a.maxY+j.margin
}

func (j *selfJoin) node(level, i int) bool {
	t := j.t
	if t.mono[t.level[level]+i] != notMonotone {
		return true
	}
	if level == 0 {
		return j.pair(int32(i), int32(i))
	}
	lo, hi := fan*i, min(fan*i+fan, t.level[level]-t.level[level-1])
	for a := lo; a < hi; a++ {
		if !j.node(level-1, a) {
			return false
		}
	}
	for a := lo; a < hi; a++ {
		for b := a + 1; b < hi; b++ {
			if !j.nodes(level-1, a, b) {
				return false
			}
		}
	}
	return true
}

func (j *selfJoin) nodes(level, a, b int) bool {
	t := j.t
	base := t.level[level]
	if !j.meet(&t.box[base+a], &t.box[base+b]) {
		return true
	}
	if j.budget--; j.budget < 0 {
		return false
	}
	if level == 0 {
		return j.pair(int32(a), int32(b))
	}
	n := t.level[level] - t.level[level-1]
	below := t.level[level-1]
	for c := fan * a; c < min(fan*a+fan, n); c++ {
		if !j.meet(&t.box[below+c], &t.box[base+b]) {
			continue
		}
		for d := fan * b; d < min(fan*b+fan, n); d++ {
			if !j.nodes(level-1, c, d) {
				return false
			}
		}
	}
	return true
}

// search calls visit for every leaf in [from, to) whose box meets b, until
// visit returns false.
func (t *tree) search(b *box, from, to int32, visit func(leaf int32) bool) bool {
	if len(t.leafs) == 0 {
		return true
	}
	return t.searchNode(t.top(), 0, leavesUnder(t.top()), b, int(from), int(to), visit)
}

// leavesUnder returns how many leaves a full node of the level has.
func leavesUnder(level int) int {
	n := 1
	for range level {
		n *= fan
	}
	return n
}

func (t *tree) searchNode(level, i, per int, b *box, from, to int, visit func(leaf int32) bool) bool {
	if i*per >= to || (i+1)*per <= from || !t.box[t.level[level]+i].meets(b) {
		return true
	}
	if level == 0 {
		return visit(int32(i))
	}
	n := t.level[level] - t.level[level-1]
	for c := fan * i; c < min(fan*i+fan, n); c++ {
		if !t.searchNode(level-1, c, per/fan, b, from, to, visit) {
			return false
		}
	}
	return true
}

// locate returns where p lies with respect to the closed paths whose leaves are
// in [from, to), counting crossings of all of them together.
func (t *tree) locate(p orb.Point, from, to int32) Location {
	if len(t.leafs) == 0 || !finite(p) {
		return Outside
	}
	odd := false
	if !t.locateNode(t.top(), 0, leavesUnder(t.top()), p, int(from), int(to), &odd) {
		return OnEdge
	}
	if odd {
		return Inside
	}
	return Outside
}

// locateNode counts the crossings under a node; false means that p lies on a
// segment.
func (t *tree) locateNode(level, i, per int, p orb.Point, from, to int, odd *bool) bool {
	if i*per >= to || (i+1)*per <= from {
		return true
	}
	b := &t.box[t.level[level]+i]
	if b.maxX < p[0] || b.minY > p[1] || b.maxY < p[1] {
		return true
	}
	if b.minX > p[0] && t.mono[t.level[level]+i] != notMonotone && i*per >= from && (i+1)*per <= to {
		// A monotone run wholly on the ray's side is crossed once or not at
		// all.
		if (b.minY > p[1]) != (b.maxY > p[1]) {
			*odd = !*odd
		}
		return true
	}
	if level == 0 {
		l := t.leafs[i]
		pts := t.paths[l.path].pts[l.first : l.first+l.count+1]
		for k := 1; k < len(pts); k++ {
			switch rayCrosses(p, pts[k-1], pts[k]) {
			case rayOn:
				return false
			case rayHit:
				*odd = !*odd
			}
		}
		return true
	}
	n := t.level[level] - t.level[level-1]
	for c := fan * i; c < min(fan*i+fan, n); c++ {
		if !t.locateNode(level-1, c, per/fan, p, from, to, odd) {
			return false
		}
	}
	return true
}
