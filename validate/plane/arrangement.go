// The arrangement of curves: every segment cut at every other, on a grid, and
// the winding numbers on both sides of each piece.

package plane

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"
)

// Errors of the boolean operations and the offsets.
var (
	// ErrNotFinite: a coordinate is NaN or infinite.
	ErrNotFinite = errors.New("a coordinate is no number: correct the point")
	// ErrTooLarge: a coordinate is so large that products of it overflow.
	ErrTooLarge = errors.New("a coordinate is too large to measure with: correct the point, or say the system that the coordinates are in")
	// ErrNoArrangement: rounding kept making new crossings. No figure is known
	// for which it happens.
	ErrNoArrangement = errors.New("outlines with so many points that nearly meet could not be laid over one another: draw them with fewer")
)

// gridBits is how much finer than the largest coordinate the grid is: a float64
// holds 53 bits, so that the middle between two grid points still is one.
const gridBits = 50

// winding is how much the winding number on the left of a directed edge exceeds
// that on its right, for each of two operands.
type winding [2]int32

func (w winding) plus(v winding) winding  { return winding{w[0] + v[0], w[1] + v[1]} }
func (w winding) minus(v winding) winding { return winding{w[0] - v[0], w[1] - v[1]} }

// edge is a segment with its winding.
type edge struct {
	a, b orb.Point
	w    winding
}

// curve is a closed sequence of points, the first not repeated at its end.
type curve struct {
	pts []orb.Point
	w   winding
}

// arrangement collects closed curves.
type arrangement struct {
	curves []curve
	grid   float64
	// made are the points where edges cross that are no vertex of a curve.
	made map[orb.Point]bool
	work *workspace
}

// workspace is memory that arrangements use one after the other; nothing of it
// is part of a result.
type workspace struct {
	pts                       []orb.Point
	paths                     []path
	leafs                     []leaf
	box                       []box
	mono                      []uint8
	edges                     []edge
	ints, table, first, fill  []int32
	at, walk, queue           []int32
	verts                     []orb.Point
	left                      []winding
	known, bounds, done, dirt []bool
}

var workspaces = sync.Pool{New: func() any { return new(workspace) }}

// cleared returns n zeros in the memory of buf, which grows when it has to.
func cleared[T any](buf *[]T, n int) []T {
	if cap(*buf) < n {
		*buf = make([]T, n+n/2)
	}
	out := (*buf)[:n]
	clear(out)
	return out
}

// emptied returns room for n in the memory of buf, which grows when it has to.
func emptied[T any](buf *[]T, n int) []T {
	if cap(*buf) < n {
		*buf = make([]T, 0, n+n/2)
	}
	return (*buf)[:0]
}

// addRing adds a ring with weight w in the operand.
func (r *arrangement) addRing(pts []orb.Point, operand int, w int32) {
	if n := len(pts); n > 1 && pts[0] == pts[n-1] {
		pts = pts[:n-1]
	}
	var wind winding
	wind[operand] = w
	r.curves = append(r.curves, curve{pts, wind})
}

// largest returns the largest magnitude of a coordinate.
func (r *arrangement) largest() (float64, error) {
	m := 0.0
	for _, c := range r.curves {
		for _, p := range c.pts {
			if !finite(p) {
				return 0, ErrNotFinite
			}
			m = max(m, math.Abs(p[0]), math.Abs(p[1]))
		}
	}
	if m > 0x1p400 {
		return 0, ErrTooLarge
	}
	return m, nil
}

// gridFor returns the grid for coordinates of magnitude up to m, coarser by so
// many bits.
func gridFor(m float64, coarser int) float64 {
	if m < 0x1p-300 {
		m = 0x1p-300
	}
	_, exp := math.Frexp(m) // m < 2^exp
	return math.Ldexp(1, exp-gridBits+coarser)
}

func snapPoint(p orb.Point, grid float64) orb.Point {
	// Adding 0 turns a negative zero into zero, so that equal points have equal
	// bits.
	return orb.Point{math.RoundToEven(p[0]/grid)*grid + 0, math.RoundToEven(p[1]/grid)*grid + 0}
}

// cut returns the pieces: no two of them meet but at their ends, each is there
// once, with the sum of the windings of what lies along it; pieces where that
// sum is zero are left out.
//
// Method: snap rounding (Hobby 1999; Guibas and Marimont 1998). All vertices
// and all crossings are rounded to the grid, and every segment is bent through
// each of these points within whose grid square it passes. Squares and
// crossings are decided with exact signs. The result is checked with exact
// signs too; should pieces still cross, they are cut again, and if that does
// not end, a coarser grid is taken. (None of many thousands of random figures
// needed either.)
func (r *arrangement) cut() ([]edge, error) {
	m, err := r.largest()
	if err != nil {
		return nil, err
	}
	for coarser := 0; coarser <= 20; coarser += 4 {
		r.grid = gridFor(m, coarser)
		r.made = nil
		n := newNoder(r.grid, len(r.curves))
		n.reserve(r.curves, r.work)
		for _, c := range r.curves {
			n.addCurve(c)
		}
		for range 6 {
			edges, ok := n.cut(r.work)
			for _, q := range n.crossings {
				if r.made == nil {
					r.made = make(map[orb.Point]bool)
				}
				r.made[q] = true
			}
			if ok {
				r.forgetVertices()
				return edges, nil
			}
			n = newNoder(r.grid, len(edges))
			for _, e := range edges {
				n.addEdge(e)
			}
		}
	}
	return nil, ErrNoArrangement
}

// forgetVertices leaves in made what is no vertex of a curve.
func (r *arrangement) forgetVertices() {
	if len(r.made) == 0 {
		return
	}
	near := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} // of few crossings mostly, which spares the map
	for p := range r.made {
		near.join(&box{p[0], p[1], p[0], p[1]})
	}
	near.grow(r.grid)
	for _, c := range r.curves {
		for _, p := range c.pts {
			if near.minX <= p[0] && p[0] <= near.maxX && near.minY <= p[1] && p[1] <= near.maxY {
				delete(r.made, snapPoint(p, r.grid))
			}
		}
	}
}

// noder cuts the segments of paths on a grid at one another.
type noder struct {
	grid      float64
	t         tree
	w         []winding   // of each path
	pts       []orb.Point // of curves
	cuts      []edgeCut
	crossings []orb.Point // on the grid
	dirty     [][2]int32  // segments that are cut or lie along another
}

// edgeCut says that a segment passes the grid square of a point.
type edgeCut struct {
	path, index int32
	at          orb.Point
}

func newNoder(grid float64, paths int) *noder {
	return &noder{grid: grid, w: make([]winding, 0, paths)}
}

// reserve makes room for the curves at once.
func (n *noder) reserve(curves []curve, w *workspace) {
	leafs, points := 0, 0
	for _, c := range curves {
		leafs += (len(c.pts)+1)/leafSize + 1
		points += len(c.pts) + 1
	}
	nodes := nodesOver(leafs)
	n.t.paths, n.t.leafs = emptied(&w.paths, len(curves)), emptied(&w.leafs, leafs)
	n.t.box, n.t.mono = emptied(&w.box, nodes), emptied(&w.mono, nodes)
	n.pts = emptied(&w.pts, points)
}

func (n *noder) addCurve(c curve) {
	start := len(n.pts)
	n.pts = slices.Grow(n.pts, len(c.pts)+1)
	pts := n.pts[start:start:cap(n.pts)]
	for _, p := range c.pts {
		if p = snapPoint(p, n.grid); len(pts) == 0 || p != pts[len(pts)-1] {
			pts = append(pts, p)
		}
	}
	if len(pts) > 0 && pts[0] != pts[len(pts)-1] {
		pts = append(pts, pts[0])
	}
	n.pts = n.pts[:start+len(pts)]
	if len(pts) > 1 {
		n.t.addPath(path{pts: pts}, false)
		n.w = append(n.w, c.w)
	}
}

func (n *noder) addEdge(e edge) {
	n.t.addPath(path{pts: []orb.Point{e.a, e.b}}, false)
	n.w = append(n.w, e.w)
}

// cut returns the pieces, and whether they meet only at their ends.
func (n *noder) cut(w *workspace) (edges []edge, ok bool) {
	t := &n.t
	t.build()
	t.joinNear(n.grid, n.leaves)
	for _, c := range n.crossings {
		n.cutAt(c)
	}
	byPlace := func(a, b edgeCut) int { return cmp.Or(cmp.Compare(a.path, b.path), cmp.Compare(a.index, b.index)) }
	slices.SortFunc(n.cuts, byPlace)
	slices.SortFunc(n.dirty, func(a, b [2]int32) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	total := 0
	for i := range t.paths {
		total += t.paths[i].segments()
	}
	edges = emptied(&w.edges, total+2*len(n.cuts))
	var pieces []edge
	cuts, dirty := n.cuts, n.dirty
	for i := range t.paths {
		pts, wind := t.paths[i].pts, n.w[i]
		for k := range pts[1:] {
			a, b := pts[k], pts[k+1]
			m := 0
			for m < len(cuts) && cuts[m].path == int32(i) && cuts[m].index == int32(k) {
				m++
			}
			d := 0
			for d < len(dirty) && dirty[d] == [2]int32{int32(i), int32(k)} {
				d++
			}
			switch {
			case m > 0:
				pieces = append(pieces, bend(a, b, wind, cuts[:m])...)
			case d > 0:
				pieces = append(pieces, edge{a, b, wind})
			default:
				edges = append(edges, edge{a, b, wind})
			}
			cuts, dirty = cuts[m:], dirty[d:]
		}
	}
	if len(pieces) == 0 {
		return edges, true
	}
	pieces = merge(pieces)
	ok = n.clean(pieces, w)
	return append(edges, pieces...), ok
}

// leaves looks for crossings and near vertices among the segments of two
// leaves, or of one.
func (n *noder) leaves(a, b int32) bool {
	t := &n.t
	la, lb := &t.leafs[a], &t.leafs[b]
	pa, pb := t.paths[la.path].pts[la.first:la.first+la.count+1], t.paths[lb.path].pts[lb.first:lb.first+lb.count+1]
	// Those of a that come near anything of b: mostly few.
	var boxes [leafSize]box
	var which [leafSize]int
	near := 0
	for i := range pa[1:] {
		boxes[near] = boxOf(pa[i], pa[i+1])
		boxes[near].grow(n.grid)
		if which[near] = i; boxes[near].meets(&t.box[b]) {
			near++
		}
	}
	if near == 0 {
		return true
	}
	for j := range pb[1:] {
		bj := boxOf(pb[j], pb[j+1])
		for k, i := range which[:near] {
			if a == b && i >= j {
				break
			}
			if boxes[k].meets(&bj) {
				n.pair(la.path, la.first+int32(i), lb.path, lb.first+int32(j), pa[i], pa[i+1], pb[j], pb[j+1])
			}
		}
	}
	return true
}

func (b *box) grow(d float64) {
	b.minX, b.minY, b.maxX, b.maxY = b.minX-d, b.minY-d, b.maxX+d, b.maxY+d
}

// pair looks at the segments ab and cd.
func (n *noder) pair(pa, i, pb, j int32, a, b, c, d orb.Point) {
	// Whether an end of one lies where the other passes.
	cOn, dOn, aOn, bOn := c == a || c == b, d == a || d == b, a == c || a == d, b == c || b == d
	if cOn && dOn {
		n.dirty = append(n.dirty, [2]int32{pa, i}, [2]int32{pb, j})
		return
	}
	near := func(p, a, b orb.Point) bool {
		s := squareAround(p, n.grid)
		return passesSquare(a, b, &s)
	}
	if !cOn && near(c, a, b) {
		n.cuts = append(n.cuts, edgeCut{pa, i, c})
		cOn = true
	}
	if !dOn && near(d, a, b) {
		n.cuts = append(n.cuts, edgeCut{pa, i, d})
		dOn = true
	}
	if !aOn && near(a, c, d) {
		n.cuts = append(n.cuts, edgeCut{pb, j, a})
		aOn = true
	}
	if !bOn && near(b, c, d) {
		n.cuts = append(n.cuts, edgeCut{pb, j, b})
		bOn = true
	}
	// One that passes both ends of the other will have the other along one of
	// its pieces.
	if cOn && dOn {
		n.dirty = append(n.dirty, [2]int32{pb, j})
	}
	if aOn && bOn {
		n.dirty = append(n.dirty, [2]int32{pa, i})
	}
	if x := Cross(a, b, c, d); x.Kind == CrossProper {
		n.crossings = append(n.crossings, crossingSquare(a, b, c, d, x.P, n.grid))
	}
}

// cutAt cuts every segment that passes the square of q.
func (n *noder) cutAt(q orb.Point) {
	t := &n.t
	s := squareAround(q, n.grid)
	t.search(&s, 0, int32(len(t.leafs)), func(k int32) bool {
		l := t.leafs[k]
		pts := t.paths[l.path].pts
		for i := l.first; i < l.first+l.count; i++ {
			if a, b := pts[i], pts[i+1]; a != q && b != q && passesSquare(a, b, &s) {
				n.cuts = append(n.cuts, edgeCut{l.path, i, q})
			}
		}
		return true
	})
}

// bend returns the pieces of ab through the points of its cuts.
func bend(a, b orb.Point, w winding, cuts []edgeCut) []edge {
	dx, dy := b[0]-a[0], b[1]-a[1]
	slices.SortFunc(cuts, func(x, y edgeCut) int {
		p, q := x.at, y.at
		tp := (p[0]-a[0])*dx + (p[1]-a[1])*dy
		tq := (q[0]-a[0])*dx + (q[1]-a[1])*dy
		return cmp.Or(cmp.Compare(tp, tq), comparePoint(p, q))
	})
	out := make([]edge, 0, len(cuts)+1)
	for _, c := range cuts {
		if c.at != a {
			out = append(out, edge{a, c.at, w})
			a = c.at
		}
	}
	return append(out, edge{a, b, w})
}

// merge returns the edges, those along one another added up and those that come
// to nothing left out.
func merge(in []edge) []edge {
	for i, e := range in {
		if pointLess(e.b, e.a) {
			in[i] = edge{e.b, e.a, winding{}.minus(e.w)}
		}
	}
	slices.SortFunc(in, func(x, y edge) int {
		if c := comparePoint(x.a, y.a); c != 0 {
			return c
		}
		return comparePoint(x.b, y.b)
	})
	n := 0
	for i := 0; i < len(in); {
		sum := in[i]
		for i++; i < len(in) && in[i].a == sum.a && in[i].b == sum.b; i++ {
			sum.w = sum.w.plus(in[i].w)
		}
		if sum.w != (winding{}) {
			in[n] = sum
			n++
		}
	}
	return in[:n]
}

// fewPieces are compared each with each sooner than an index of them is made.
const fewPieces = 16

// clean reports whether the pieces meet one another and the segments that were
// left as they are at ends only.
func (n *noder) clean(pieces []edge, w *workspace) bool {
	good := true
	check := func(a, b, c, d orb.Point) {
		switch x := Cross(a, b, c, d); x.Kind {
		case CrossProper, CrossOverlap:
			good = false
		case CrossTouch:
			if x.P != a && x.P != b || x.P != c && x.P != d {
				good = false
			}
		}
	}
	if len(pieces) <= fewPieces {
		for j := range pieces {
			for i := range j {
				if boxesMeet(pieces[i].a, pieces[i].b, pieces[j].a, pieces[j].b) {
					check(pieces[i].a, pieces[i].b, pieces[j].a, pieces[j].b)
				}
			}
		}
	} else {
		bp := newBoxes(len(pieces), func(i int) box { return boxOf(pieces[i].a, pieces[i].b) })
		bp.joinSelf(func(i, j int) { check(pieces[i].a, pieces[i].b, pieces[j].a, pieces[j].b) })
	}
	t := &n.t
	base := make([]int32, len(t.paths)+1) // number of the first segment of each path
	for i := range t.paths {
		base[i+1] = base[i] + int32(t.paths[i].segments())
	}
	isDirty := cleared(&w.dirt, int(base[len(t.paths)]))
	for _, c := range n.cuts {
		isDirty[base[c.path]+c.index] = true
	}
	for _, d := range n.dirty {
		isDirty[base[d[0]]+d[1]] = true
	}
	for _, p := range pieces {
		if !good {
			break
		}
		b := boxOf(p.a, p.b)
		t.search(&b, 0, int32(len(t.leafs)), func(k int32) bool {
			l := t.leafs[k]
			pts := t.paths[l.path].pts
			for i := l.first; i < l.first+l.count; i++ {
				if !isDirty[base[l.path]+i] && boxesMeet(pts[i], pts[i+1], p.a, p.b) {
					check(p.a, p.b, pts[i], pts[i+1])
				}
			}
			return good
		})
	}
	return good
}

// crossingSquare returns the grid point in whose square the segments ab and cd,
// which cross at about p, do cross. The error of p is below the grid, so that
// it is the nearest or one next to it.
func crossingSquare(a, b, c, d, p orb.Point, grid float64) orb.Point {
	q := snapPoint(p, grid)
	for _, step := range [9][2]float64{{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		r := orb.Point{q[0] + step[0]*grid + 0, q[1] + step[1]*grid + 0}
		s := squareAround(r, grid)
		if passesSquare(a, b, &s) && passesSquare(c, d, &s) {
			return r
		}
	}
	return q
}

func squareAround(p orb.Point, grid float64) box {
	h := grid / 2
	return box{p[0] - h, p[1] - h, p[0] + h, p[1] + h}
}

// passes reports whether the segment ab has a point in common with the closed
// box, exactly for boxes whose corners are float64.
func passes(a, b orb.Point, c *box) bool {
	if max(a[0], b[0]) < c.minX || c.maxX < min(a[0], b[0]) || max(a[1], b[1]) < c.minY || c.maxY < min(a[1], b[1]) {
		return false
	}
	// The two corners furthest to either side of the line.
	low, high := orb.Point{c.minX, c.minY}, orb.Point{c.maxX, c.maxY}
	if (b[0] > a[0]) == (b[1] > a[1]) {
		low, high = orb.Point{c.maxX, c.minY}, orb.Point{c.minX, c.maxY}
	}
	return Orient(a, b, low)*Orient(a, b, high) <= 0
}

// passesSquare reports whether the segment ab has a point in common with the
// box without its right and its upper edge, exactly for boxes whose corners are
// float64. Squares so taken share no point: were they closed, a segment through
// the corner where four of them meet would be bent through all four points, and
// two such segments would cross again and again.
func passesSquare(a, b orb.Point, c *box) bool {
	if max(a[0], b[0]) < c.minX || c.maxX <= min(a[0], b[0]) || max(a[1], b[1]) < c.minY || c.maxY <= min(a[1], b[1]) {
		return false
	}
	if a[0] == b[0] || a[1] == b[1] {
		return true
	}
	// The two corners furthest to either side of the line. One that goes
	// through a corner only touches the box there, and of the corners the lower
	// left one alone belongs to it.
	if (b[0] > a[0]) == (b[1] > a[1]) {
		return Orient(a, b, orb.Point{c.maxX, c.minY})*Orient(a, b, orb.Point{c.minX, c.maxY}) < 0
	}
	own := Orient(a, b, orb.Point{c.minX, c.minY})
	return own == 0 || own*Orient(a, b, orb.Point{c.maxX, c.maxY}) < 0
}

// planarMap links edges at their ends. Half edge 2i runs along edge i from a to
// b, 2i+1 back.
type planarMap struct {
	edges []edge
	verts []orb.Point
	// from is the vertex at which a half edge begins; around lists the half
	// edges that begin at vertex v, anticlockwise by direction, in
	// around[first[v]:first[v+1]]; place is the index of a half edge in around.
	from, around, place []int32
	first               []int32
	left                []winding // winding numbers on the left of each half edge
}

// newPlanarMap links the pieces of an arrangement and finds the winding
// numbers.
func newPlanarMap(edges []edge, w *workspace) *planarMap {
	n := len(edges)
	m := &planarMap{edges: edges}
	ints := cleared(&w.ints, 6*n)
	m.from, m.around, m.place = ints[:2*n], ints[2*n:4*n], ints[4*n:]
	m.numberVertices(w)
	m.first = cleared(&w.first, len(m.verts)+1)
	for _, v := range m.from {
		m.first[v+1]++
	}
	for v := range m.verts {
		m.first[v+1] += m.first[v]
	}
	fill := append(emptied(&w.fill, len(m.first)), m.first...)
	for h, v := range m.from {
		m.around[fill[v]] = int32(h)
		fill[v]++
	}
	for v, at := range m.verts {
		out := m.around[m.first[v]:m.first[v+1]]
		if len(out) == 2 {
			if compareDirection(at, m.to(out[0]), m.to(out[1])) > 0 {
				out[0], out[1] = out[1], out[0]
			}
		} else {
			slices.SortFunc(out, func(g, h int32) int { return compareDirection(at, m.to(g), m.to(h)) })
		}
		for i, h := range out {
			m.place[h] = m.first[v] + int32(i)
		}
	}
	m.wind(w)
	return m
}

// numberVertices finds the vertices by a table of their coordinates.
func (m *planarMap) numberVertices(w *workspace) {
	size := 16
	for size < 4*len(m.edges) {
		size *= 2
	}
	table := cleared(&w.table, size) // number + 1
	m.verts = emptied(&w.verts, 2*len(m.edges))
	number := func(p orb.Point) int32 {
		h := (math.Float64bits(p[0])*0x9e3779b97f4a7c15 ^ math.Float64bits(p[1])) * 0x94d049bb133111eb
		for i := int(h>>32) & (size - 1); ; i = (i + 1) & (size - 1) {
			switch v := table[i]; {
			case v == 0:
				m.verts = append(m.verts, p)
				table[i] = int32(len(m.verts))
				return table[i] - 1
			case m.verts[v-1] == p:
				return v - 1
			}
		}
	}
	for i := range m.edges {
		m.from[2*i], m.from[2*i+1] = number(m.edges[i].a), number(m.edges[i].b)
	}
}

func (m *planarMap) to(h int32) orb.Point { return m.verts[m.from[h^1]] }

// compareDirection orders the directions from at to p and to q anticlockwise,
// beginning just after straight down. No two are the same.
func compareDirection(at, p, q orb.Point) int {
	rp, rq := pointLess(at, p), pointLess(at, q) // in the right half, straight up included
	if rp != rq {
		if rp {
			return -1
		}
		return 1
	}
	return -Orient(at, p, q)
}

// next returns the half edge that follows h around the face on its left: at its
// end, the first one clockwise from the way back.
func (m *planarMap) next(h int32) int32 { return m.turn(h ^ 1) }

// turn returns the half edge that begins where h does and comes next clockwise.
func (m *planarMap) turn(h int32) int32 {
	v := m.from[h]
	i := m.place[h] - 1
	if i < m.first[v] {
		i = m.first[v+1] - 1
	}
	return m.around[i]
}

// step is the winding number on the left of h less that on its right.
func (m *planarMap) step(h int32) winding {
	w := m.edges[h>>1].w
	if h&1 != 0 {
		return winding{}.minus(w)
	}
	return w
}

// wind finds the winding numbers of all faces: within a connected part by
// stepping over edges, and for each part as a whole by a ray from its leftmost
// vertex through the others.
func (m *planarMap) wind(w *workspace) {
	m.left = cleared(&w.left, 2*len(m.edges))
	known := cleared(&w.known, 2*len(m.edges))
	queue := emptied(&w.queue, 2*len(m.edges))
	var starts []int32 // where each part begins in queue
	learn := func(h int32, wind winding) {
		for g := h; !known[g]; g = m.next(g) {
			known[g] = true
			m.left[g] = wind
			queue = append(queue, g)
		}
	}
	// First as if one face of each part had winding number 0.
	for h := range known {
		if known[h] {
			continue
		}
		start := len(queue)
		starts = append(starts, int32(start))
		learn(int32(h), winding{})
		for i := start; i < len(queue); i++ {
			if g := queue[i]; !known[g^1] {
				learn(g^1, m.left[g].minus(m.step(g)))
			}
		}
	}
	var tree *Boxes
	if len(starts) > 1 {
		tree = newBoxes(len(m.edges), func(i int) box { return boxOf(m.edges[i].a, m.edges[i].b) })
	}
	shift := make([]winding, len(starts))
	for k, start := range starts {
		end := int32(len(queue))
		if k+1 < len(starts) {
			end = starts[k+1]
		}
		low := m.from[queue[start]]
		for _, h := range queue[start:end] {
			if v := m.from[h]; pointLess(m.verts[v], m.verts[low]) {
				low = v
			}
		}
		var outside winding
		if tree != nil {
			outside = m.windingLeftOf(m.verts[low], tree)
		}
		// The last direction at the leftmost vertex has the outside of the part
		// on its left.
		shift[k] = outside.minus(m.left[m.around[m.first[low+1]-1]])
	}
	for k, start := range starts {
		end := int32(len(queue))
		if k+1 < len(starts) {
			end = starts[k+1]
		}
		if shift[k] != (winding{}) {
			for _, h := range queue[start:end] {
				m.left[h] = m.left[h].plus(shift[k])
			}
		}
	}
}

// windingLeftOf returns the winding numbers just left of p by the edges that
// cross the ray from p to the left.
func (m *planarMap) windingLeftOf(p orb.Point, tree *Boxes) winding {
	var sum winding
	ray := box{math.Inf(-1), p[1], p[0], p[1]}
	tree.search(&ray, func(i int) bool {
		e := &m.edges[i]
		up := e.a[1] <= p[1] && p[1] < e.b[1]
		down := e.b[1] <= p[1] && p[1] < e.a[1]
		if up || down {
			switch o := Orient(e.a, e.b, p); {
			case up && o < 0: // p on the right: the edge crosses the ray upwards
				sum = sum.minus(e.w)
			case down && o > 0:
				sum = sum.plus(e.w)
			}
		}
		return true
	})
	return sum
}
