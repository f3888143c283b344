// The arrangement of segments: every segment cut at every other, on a grid, and the
// winding numbers on both sides of each piece.

package plane

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Errors of the boolean operations and the offsets.
var (
	// ErrNotFinite: a coordinate is NaN or infinite.
	ErrNotFinite = errors.New("plane: a coordinate is not a finite number")
	// ErrTooLarge: a coordinate is so large that products of it overflow.
	ErrTooLarge = errors.New("plane: a coordinate is too large")
	// ErrNoArrangement: rounding kept making new crossings. No figure is known for which it happens.
	ErrNoArrangement = errors.New("plane: the figure could not be cut into pieces that do not cross")
)

// gridBits is how much finer than the largest coordinate the grid is: a float64 holds 53
// bits, so that the middle between two grid points still is one.
const gridBits = 50

// winding is how much the winding number on the left of a directed edge exceeds that on its right, for
// each of two operands.
type winding [2]int32

func (w winding) plus(v winding) winding  { return winding{w[0] + v[0], w[1] + v[1]} }
func (w winding) minus(v winding) winding { return winding{w[0] - v[0], w[1] - v[1]} }

// edge is a segment with its winding; a < b by pointLess.
type edge struct {
	a, b orb.Point
	w    winding
}

// arrangement collects edges.
type arrangement struct {
	input []edge
	grid  float64
}

// addRing adds a closed curve, closing it if it is open, with weight w in the operand.
func (r *arrangement) addRing(pts []orb.Point, operand int, w int32) {
	for i := range pts {
		j := (i + 1) % len(pts)
		if pts[i] != pts[j] {
			var wind winding
			wind[operand] = w
			r.input = append(r.input, edge{pts[i], pts[j], wind})
		}
	}
}

// largest returns the largest magnitude of a coordinate.
func (r *arrangement) largest() (float64, error) {
	m := 0.0
	for _, e := range r.input {
		for _, p := range [...]orb.Point{e.a, e.b} {
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

// gridFor returns the grid for coordinates of magnitude up to m, coarser by so many bits.
func gridFor(m float64, coarser int) float64 {
	if m < 0x1p-300 {
		m = 0x1p-300
	}
	_, exp := math.Frexp(m) // m < 2^exp
	return math.Ldexp(1, exp-gridBits+coarser)
}

func snapPoint(p orb.Point, grid float64) orb.Point {
	// Adding 0 turns a negative zero into zero, so that equal points have equal bits.
	return orb.Point{math.RoundToEven(p[0]/grid)*grid + 0, math.RoundToEven(p[1]/grid)*grid + 0}
}

// cut returns the pieces: no two of them meet but at their ends, each is there once, with
// the sum of the windings of what lies along it; pieces where that sum is zero are left
// out.
//
// Method: snap rounding (Hobby 1999; Guibas and Marimont 1998). All ends and all crossings are
// rounded to the grid, and every segment is bent through each of these points within whose
// grid square it passes. Crossings are found exactly but placed with rounding, so the result
// is checked with exact signs; should pieces still cross, they are cut again, and if that
// does not end, a coarser grid is taken.
func (r *arrangement) cut() ([]edge, error) {
	m, err := r.largest()
	if err != nil {
		return nil, err
	}
	for coarser := 0; coarser <= 20; coarser += 4 {
		r.grid = gridFor(m, coarser)
		edges := r.merged(r.input)
		for range 6 {
			x := findCrossings(edges, r.grid)
			if !x.bad {
				return edges, nil
			}
			edges = r.merged(x.snap(edges, r.grid))
		}
	}
	return nil, ErrNoArrangement
}

// merged returns the edges on the grid, those along one another added up.
func (r *arrangement) merged(in []edge) []edge {
	out := make([]edge, 0, len(in))
	for _, e := range in {
		e.a, e.b = snapPoint(e.a, r.grid), snapPoint(e.b, r.grid)
		if pointLess(e.b, e.a) {
			e.a, e.b = e.b, e.a
			e.w = winding{}.minus(e.w)
		}
		if e.a != e.b {
			out = append(out, e)
		}
	}
	slices.SortFunc(out, func(x, y edge) int { return cmp.Or(comparePoint(x.a, y.a), comparePoint(x.b, y.b)) })
	n := 0
	for _, e := range out {
		if n > 0 && out[n-1].a == e.a && out[n-1].b == e.b {
			out[n-1].w = out[n-1].w.plus(e.w)
			continue
		}
		if n > 0 && out[n-1].w == (winding{}) {
			n--
		}
		out[n] = e
		n++
	}
	if n > 0 && out[n-1].w == (winding{}) {
		n--
	}
	return out[:n]
}

// crossings are the places at which edges meet other than end to end.
type crossings struct {
	bad  bool
	tree *boxTree
	hot  []orb.Point // ends and crossings, on the grid, each once
}

func edgeBox(e *edge) box {
	return box{e.a[0], min(e.a[1], e.b[1]), e.b[0], max(e.a[1], e.b[1])}
}

func findCrossings(edges []edge, grid float64) crossings {
	var x crossings
	x.tree = newBoxTree(len(edges), func(i int) box { return edgeBox(&edges[i]) })
	x.tree.joinSelf(func(i, j int) {
		e, f := &edges[i], &edges[j]
		c := Cross(e.a, e.b, f.a, f.b)
		switch c.Kind {
		case CrossNone:
			return
		case CrossProper:
			x.hot = append(x.hot, snapPoint(c.P, grid))
		case CrossTouch:
			if (c.P == e.a || c.P == e.b) && (c.P == f.a || c.P == f.b) {
				return // end to end
			}
		}
		x.bad = true // an overlap, too: merged edges are never equal
	})
	if x.bad {
		for i := range edges {
			x.hot = append(x.hot, edges[i].a, edges[i].b)
		}
		slices.SortFunc(x.hot, comparePoint)
		x.hot = slices.Compact(x.hot)
	}
	return x
}

// snap bends every edge through the hot points that it passes.
func (x *crossings) snap(edges []edge, grid float64) []edge {
	half := grid / 2
	pixels := newBoxTree(len(x.hot), func(i int) box {
		p := x.hot[i]
		return box{p[0] - half, p[1] - half, p[0] + half, p[1] + half}
	})
	out := make([]edge, 0, 2*len(edges))
	var on []orb.Point
	for i := range edges {
		e := &edges[i]
		on = on[:0]
		pixels.along(e.a, e.b, func(k int) {
			if p := x.hot[k]; p != e.a && p != e.b {
				on = append(on, p)
			}
		})
		if len(on) == 0 {
			out = append(out, *e)
			continue
		}
		dx, dy := e.b[0]-e.a[0], e.b[1]-e.a[1]
		slices.SortFunc(on, func(p, q orb.Point) int {
			tp := (p[0]-e.a[0])*dx + (p[1]-e.a[1])*dy
			tq := (q[0]-e.a[0])*dx + (q[1]-e.a[1])*dy
			return cmp.Or(cmp.Compare(tp, tq), comparePoint(p, q))
		})
		a := e.a
		for _, p := range on {
			out = append(out, edge{a, p, e.w})
			a = p
		}
		out = append(out, edge{a, e.b, e.w})
	}
	return out
}

// passes reports whether the segment ab has a point in common with the closed box, exactly for boxes
// whose corners are float64.
func passes(a, b orb.Point, c *box) bool {
	s := boxOf(a, b)
	if !s.meets(c) {
		return false
	}
	corners := [4]orb.Point{{c.minX, c.minY}, {c.maxX, c.minY}, {c.maxX, c.maxY}, {c.minX, c.maxY}}
	first := Orient(a, b, corners[0])
	if first == 0 {
		return true
	}
	for _, q := range corners[1:] {
		if Orient(a, b, q) != first {
			return true
		}
	}
	return false
}

// halfEdge 2i runs along edge i from a to b, 2i+1 back.
type planarMap struct {
	edges []edge
	verts []orb.Point
	// from is the vertex at which a half edge begins; around lists the half edges that begin at
	// vertex v, anticlockwise by direction, in around[first[v]:first[v+1]]; place is
	// the index of a half edge in around.
	from, around, place []int32
	first               []int32
	left                []winding // winding numbers on the left of each half edge
}

// newPlanarMap links the pieces of an arrangement and finds the winding numbers.
func newPlanarMap(edges []edge) *planarMap {
	m := &planarMap{edges: edges}
	n := len(edges)
	m.verts = make([]orb.Point, 0, 2*n)
	for i := range edges {
		m.verts = append(m.verts, edges[i].a, edges[i].b)
	}
	slices.SortFunc(m.verts, comparePoint)
	m.verts = slices.Compact(m.verts)
	index := func(p orb.Point) int32 {
		i, _ := slices.BinarySearchFunc(m.verts, p, comparePoint)
		return int32(i)
	}
	m.from = make([]int32, 2*n)
	m.first = make([]int32, len(m.verts)+1)
	for i := range edges {
		m.from[2*i], m.from[2*i+1] = index(edges[i].a), index(edges[i].b)
		m.first[m.from[2*i]+1]++
		m.first[m.from[2*i+1]+1]++
	}
	for v := range m.verts {
		m.first[v+1] += m.first[v]
	}
	m.around = make([]int32, 2*n)
	m.place = make([]int32, 2*n)
	fill := slices.Clone(m.first)
	for h := range m.from {
		v := m.from[h]
		m.around[fill[v]] = int32(h)
		fill[v]++
	}
	for v := range m.verts {
		out := m.around[m.first[v]:m.first[v+1]]
		at := m.verts[v]
		slices.SortFunc(out, func(g, h int32) int { return compareDirection(at, m.to(g), m.to(h)) })
		for i, h := range out {
			m.place[h] = m.first[v] + int32(i)
		}
	}
	m.wind()
	return m
}

func (m *planarMap) to(h int32) orb.Point { return m.verts[m.from[h^1]] }

// compareDirection orders the directions from at to p and to q anticlockwise, beginning just
// after straight down. No two are the same.
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

// next returns the half edge that follows h around the face on its left: at its end, the
// first one clockwise from the way back.
func (m *planarMap) next(h int32) int32 {
	back := h ^ 1
	v := m.from[back]
	i := m.place[back] - 1
	if i < m.first[v] {
		i = m.first[v+1] - 1
	}
	return m.around[i]
}

func (m *planarMap) step(h int32) winding {
	w := m.edges[h>>1].w
	if h&1 != 0 {
		return winding{}.minus(w)
	}
	return w
}

// wind finds the winding numbers of all faces: within a connected part by stepping over edges, and
// for each part as a whole by a ray from its leftmost vertex through the others.
func (m *planarMap) wind() {
	m.left = make([]winding, 2*len(m.edges))
	known := make([]bool, 2*len(m.edges))
	var tree *boxTree
	var queue []int32
	learn := func(h int32, w winding) {
		for g := h; !known[g]; g = m.next(g) {
			known[g] = true
			m.left[g] = w
			queue = append(queue, g)
		}
	}
	// In the order of the vertices, the first unknown half edge is at the leftmost vertex of its
	// part. The last direction there has the outside of the part on its left.
	for v := range m.verts {
		h := m.around[m.first[v+1]-1]
		if known[h] {
			continue
		}
		var outside winding
		if v > 0 {
			if tree == nil {
				tree = newBoxTree(len(m.edges), func(i int) box { return edgeBox(&m.edges[i]) })
			}
			outside = m.windingLeftOf(m.verts[v], tree)
		}
		learn(h, outside)
		for len(queue) > 0 {
			h := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			if !known[h^1] {
				learn(h^1, m.left[h].minus(m.step(h)))
			}
		}
	}
}

// windingLeftOf returns the winding numbers just left of p by the edges that cross the ray from p to the
// left.
func (m *planarMap) windingLeftOf(p orb.Point, tree *boxTree) winding {
	var sum winding
	ray := box{math.Inf(-1), p[1], p[0], p[1]}
	tree.search(&ray, func(i int) bool {
		e := &m.edges[i]
		up := e.a[1] <= p[1] && p[1] < e.b[1]
		down := e.b[1] <= p[1] && p[1] < e.a[1]
		switch o := Orient(e.a, e.b, p); {
		case up && o < 0: // p on the right: the edge crosses the ray upwards
			sum = sum.minus(e.w)
		case down && o > 0:
			sum = sum.plus(e.w)
		}
		return true
	})
	return sum
}
