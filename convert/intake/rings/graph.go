// A planar graph of lines: vertices on a grid, edges cut where they meet,
// faces.

package rings

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// Choices of this program. Vertices nearer than fineShare of the tolerance, and
// at most mostFine metres, are one; a corner goes to where its two lines meet
// when that moves neither end by more than cornerMove tolerances and the lines
// are not nearly one line (leastSine).
const (
	fineShare  = 1.0 / 20
	mostFine   = 0.001
	cornerMove = 2
	leastSine  = 0.1
	mostPasses = 8
)

// vertex is a corner of the graph: its place on the grid, on which orientation
// is decided exactly in whole numbers, and its coordinates in the plan.
type vertex struct {
	x, y int64
	at   [3]float64 // x, y, h: h NaN when there is none
}

// edge is a straight piece of a line between two vertices.
type edge struct{ a, b, line int }

type cell struct{ x, y int64 }

// graph is the planar graph of some lines.
type graph struct {
	scale  Scale
	origin [2]float64
	unit   float64 // metres in a step of the grid
	tol    float64 // metres
	fine   float64 // steps

	vertices []vertex
	near     map[cell][]int // vertices by cells of fine steps
	edges    []edge
	into     []int // vertices that became others, else themselves
	cut      map[int]bool
	joined   *Joined
}

// newGraph returns an empty graph for coordinates within the box. Its grid is
// the tolerance's 64th part, coarser where the box would pass what whole
// numbers hold: cross products stay below 2^62.
func newGraph(scale Scale, low, high [2]float64, tol float64, joined *Joined) *graph {
	g := &graph{scale: scale, origin: low, tol: tol, near: map[cell][]int{}, cut: map[int]bool{}, joined: joined}
	span := math.Max((high[0]-low[0])*scale.X, (high[1]-low[1])*scale.Y)
	g.unit = math.Max(math.Max(math.Min(tol, 64*mostFine)/64, 1e-6), span/5e8)
	g.fine = math.Max(1, math.Min(tol*fineShare, mostFine)/g.unit)
	return g
}

func (g *graph) grid(x, y float64) (int64, int64) {
	return int64(math.Round((x - g.origin[0]) * g.scale.X / g.unit)), int64(math.Round((y - g.origin[1]) * g.scale.Y / g.unit))
}

// vertex returns the vertex at a position, a new one unless one is near enough.
func (g *graph) vertex(p [3]float64) int {
	x, y := g.grid(p[0], p[1])
	size := int64(math.Ceil(g.fine))
	k := cell{floorDiv(x, size), floorDiv(y, size)}
	best, nearest := g.fine*g.fine, -1
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, v := range g.near[cell{k.x + dx, k.y + dy}] {
				ex, ey := float64(g.vertices[v].x-x), float64(g.vertices[v].y-y)
				if d := ex*ex + ey*ey; d <= best && (nearest < 0 || d < best) {
					best, nearest = d, v
				}
			}
		}
	}
	if nearest >= 0 {
		return g.root(nearest)
	}
	v := len(g.vertices)
	g.vertices = append(g.vertices, vertex{x, y, p})
	g.into = append(g.into, v)
	g.near[k] = append(g.near[k], v)
	return v
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func (g *graph) root(v int) int {
	for g.into[v] != v {
		g.into[v] = g.into[g.into[v]]
		v = g.into[v]
	}
	return v
}

// turn is positive when c lies to the left of the line from a to b, exactly.
func (g *graph) turn(a, b, c int) int64 {
	p, q, r := &g.vertices[a], &g.vertices[b], &g.vertices[c]
	return (q.x-p.x)*(r.y-p.y) - (q.y-p.y)*(r.x-p.x)
}

// metres is the distance between two vertices.
func (g *graph) metres(a, b int) float64 {
	return g.scale.Distance(g.vertices[a].at[:], g.vertices[b].at[:])
}

// move puts a vertex elsewhere. near keeps it where it was, which is no more
// than a missed chance: what matters is found again as a vertex on an edge.
func (g *graph) move(v int, to [2]float64) {
	g.vertices[v].at[0], g.vertices[v].at[1] = to[0], to[1]
	g.vertices[v].x, g.vertices[v].y = g.grid(to[0], to[1])
}

// meeting is where the lines a-b and c-d, made longer, meet; ok is false when
// they are nearly one direction. t and u say where it is along them.
func (g *graph) meeting(a, b, c, d int) (at [2]float64, t, u float64, ok bool) {
	p, q, r, s := &g.vertices[a].at, &g.vertices[b].at, &g.vertices[c].at, &g.vertices[d].at
	vx, vy := (q[0]-p[0])*g.scale.X, (q[1]-p[1])*g.scale.Y
	wx, wy := (s[0]-r[0])*g.scale.X, (s[1]-r[1])*g.scale.Y
	ex, ey := (r[0]-p[0])*g.scale.X, (r[1]-p[1])*g.scale.Y
	den := vx*wy - vy*wx
	if !(math.Abs(den) > 1e-12*math.Hypot(vx, vy)*math.Hypot(wx, wy)) {
		return at, 0, 0, false
	}
	t, u = (ex*wy-ey*wx)/den, (ex*vy-ey*vx)/den
	at = [2]float64{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
	return at, t, u, math.Abs(den) >= leastSine*math.Hypot(vx, vy)*math.Hypot(wx, wy)
}

// degrees counts the edges at each vertex, and names one of them.
func (g *graph) degrees() (n, one []int) {
	n, one = make([]int, len(g.vertices)), make([]int, len(g.vertices))
	for i, e := range g.edges {
		n[e.a]++
		n[e.b]++
		one[e.a], one[e.b] = i, i
	}
	return n, one
}

func (e edge) other(v int) int {
	if e.a == v {
		return e.b
	}
	return e.a
}

// closeEnds brings loose ends together: two of them that lie within the
// tolerance become one corner, the nearest first; then each that is left goes
// to the vertex or line within the tolerance.
func (g *graph) closeEnds(lengths []float64) {
	if !(g.tol > 0) {
		return
	}
	n, one := g.degrees()
	var loose []int
	for v := range n {
		if n[v] == 1 {
			loose = append(loose, v)
		}
	}
	size := g.tol / g.unit
	at := func(v int) cell {
		return cell{int64(math.Floor(float64(g.vertices[v].x) / size)), int64(math.Floor(float64(g.vertices[v].y) / size))}
	}
	cells := map[cell][]int{}
	for _, v := range loose {
		cells[at(v)] = append(cells[at(v)], v)
	}
	type pair struct {
		v, w int
		d    float64
	}
	var pairs []pair
	for _, v := range loose {
		k := at(v)
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for _, w := range cells[cell{k.x + dx, k.y + dy}] {
					d := g.metres(v, w)
					same := g.edges[one[v]].line == g.edges[one[w]].line
					if w > v && d <= g.tol && !(same && d > lengths[g.edges[one[v]].line]/10) {
						pairs = append(pairs, pair{v, w, d})
					}
				}
			}
		}
	}
	sort.SliceStable(pairs, func(i, j int) bool { return pairs[i].d < pairs[j].d })
	done := make([]bool, len(g.vertices))
	for _, p := range pairs {
		if done[p.v] || done[p.w] {
			continue
		}
		done[p.v], done[p.w] = true, true
		e, f := g.edges[one[p.v]], g.edges[one[p.w]]
		to := [2]float64{g.vertices[p.v].at[0], g.vertices[p.v].at[1]}
		if x, _, _, ok := g.meeting(e.other(p.v), p.v, f.other(p.w), p.w); ok && g.scale.Distance(x[:], g.vertices[p.v].at[:]) <= cornerMove*g.tol && g.scale.Distance(x[:], g.vertices[p.w].at[:]) <= cornerMove*g.tol {
			to = x
		}
		g.joined.gap(p.d, g.vertices[p.v].at)
		g.joined.moved(g.scale.Distance(to[:], g.vertices[p.v].at[:]), g.vertices[p.v].at)
		g.joined.moved(g.scale.Distance(to[:], g.vertices[p.w].at[:]), g.vertices[p.w].at)
		g.move(p.v, to)
		g.into[p.w] = p.v
	}
	g.rename()
	for _, v := range loose {
		if !done[v] {
			g.toLine(v)
		}
	}
	g.rename()
}

// toLine brings a loose end to the nearest vertex or edge within the tolerance.
func (g *graph) toLine(v int) {
	own := -1
	for i, e := range g.edges {
		if e.a == v || e.b == v {
			if own >= 0 {
				return // an end that came to it has made it a corner
			}
			own = i
		}
	}
	if own < 0 {
		return
	}
	best, nearest := g.tol, -1
	for i, e := range g.edges {
		if i == own || e.a == v || e.b == v || !g.beside(v, e) {
			continue
		}
		if d := g.scale.toSegment(g.vertices[v].at[:], g.vertices[e.a].at[:], g.vertices[e.b].at[:]); d <= best {
			best, nearest = d, i
		}
	}
	if nearest < 0 {
		return
	}
	e := g.edges[nearest]
	to := g.vertices[v].at
	for _, w := range []int{e.a, e.b} {
		if d := g.metres(v, w); d <= g.tol {
			g.joined.gap(d, to)
			g.joined.moved(d, to)
			g.into[v] = w
			g.rename()
			return
		}
	}
	back := g.edges[own].other(v)
	x, _, u, ok := g.meeting(back, v, e.a, e.b)
	if !ok || u <= 0 || u >= 1 || g.scale.Distance(x[:], to[:]) > cornerMove*g.tol {
		// Nearly along the line: the foot of the perpendicular.
		p, q := g.vertices[e.a].at, g.vertices[e.b].at
		dx, dy := (q[0]-p[0])*g.scale.X, (q[1]-p[1])*g.scale.Y
		t := ((to[0]-p[0])*g.scale.X*dx + (to[1]-p[1])*g.scale.Y*dy) / (dx*dx + dy*dy)
		x = [2]float64{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
	}
	g.joined.gap(best, to)
	g.joined.moved(g.scale.Distance(x[:], to[:]), to)
	g.move(v, x)
	g.edges[nearest].b = v
	g.edges = append(g.edges, edge{v, e.b, e.line})
	g.cut[e.line] = true
}

// beside reports whether a vertex lies within the tolerance of an edge's box.
func (g *graph) beside(v int, e edge) bool {
	p, q, r := &g.vertices[e.a], &g.vertices[e.b], &g.vertices[v]
	pad := int64(math.Ceil(g.tol/g.unit)) + 1
	return r.x >= min(p.x, q.x)-pad && r.x <= max(p.x, q.x)+pad && r.y >= min(p.y, q.y)-pad && r.y <= max(p.y, q.y)+pad
}

// rename gives edges the vertices that theirs became, and drops those of no
// length.
func (g *graph) rename() {
	out := g.edges[:0]
	for _, e := range g.edges {
		if e.a, e.b = g.root(e.a), g.root(e.b); e.a != e.b {
			out = append(out, e)
		}
	}
	g.edges = out
}

// node cuts edges where they cross and where vertices lie on them, until none
// do, and leaves one of those that are the same, that of a closed line first.
func (g *graph) node(closed func(line int) bool) {
	for pass := 0; pass < mostPasses; pass++ {
		if !g.split() {
			break
		}
	}
	seen := map[[2]int]int{}
	out := g.edges[:0]
	for _, e := range g.edges {
		key := [2]int{min(e.a, e.b), max(e.a, e.b)}
		if k, twice := seen[key]; twice {
			g.cut[e.line], g.cut[out[k].line] = true, true
			if closed(e.line) && !closed(out[k].line) {
				out[k].line = e.line // a ring keeps its sides
			}
			continue
		}
		seen[key] = len(out)
		out = append(out, e)
	}
	g.edges = out
}

// split cuts edges once; false when there is nothing to cut.
func (g *graph) split() bool {
	cuts := make([][]int, len(g.edges))
	any := false
	add := func(i, v int) {
		if e := g.edges[i]; v != e.a && v != e.b {
			cuts[i] = append(cuts[i], v)
			any = true
		}
	}
	g.pairs(func(i, j int) {
		e, f := g.edges[i], g.edges[j]
		touch := false
		for _, x := range [...]struct{ v, i int }{{e.a, j}, {e.b, j}, {f.a, i}, {f.b, i}} {
			if g.on(x.v, g.edges[x.i]) {
				add(x.i, x.v)
				touch = true
			}
		}
		if touch || e.a == f.a || e.a == f.b || e.b == f.a || e.b == f.b {
			return
		}
		if opposite(g.turn(e.a, e.b, f.a), g.turn(e.a, e.b, f.b)) && opposite(g.turn(f.a, f.b, e.a), g.turn(f.a, f.b, e.b)) {
			at, t, _, _ := g.meeting(e.a, e.b, f.a, f.b)
			p, q := g.vertices[e.a].at[2], g.vertices[e.b].at[2]
			v := g.vertex([3]float64{at[0], at[1], p + t*(q-p)})
			add(i, v)
			add(j, v)
		}
	})
	if !any {
		return false
	}
	var out []edge
	for i, e := range g.edges {
		list := cuts[i]
		if len(list) == 0 {
			out = append(out, e)
			continue
		}
		g.cut[e.line] = true
		slices.SortFunc(list, func(x, y int) int { return cmp.Or(cmp.Compare(g.along(e, x), g.along(e, y)), x-y) })
		last := e.a
		for _, v := range append(list, e.b) {
			if v != last {
				out = append(out, edge{last, v, e.line})
				last = v
			}
		}
	}
	g.edges = out
	return true
}

func opposite(a, b int64) bool { return a > 0 && b < 0 || a < 0 && b > 0 }

func (g *graph) along(e edge, v int) int64 {
	p, q, r := &g.vertices[e.a], &g.vertices[e.b], &g.vertices[v]
	return (q.x-p.x)*(r.x-p.x) + (q.y-p.y)*(r.y-p.y)
}

// on reports whether a vertex lies on an edge, between its ends.
func (g *graph) on(v int, e edge) bool {
	if v == e.a || v == e.b {
		return false
	}
	p, q := &g.vertices[e.a], &g.vertices[e.b]
	dx, dy := float64(q.x-p.x), float64(q.y-p.y)
	l := dx*dx + dy*dy
	t := g.along(e, v)
	return t > 0 && float64(t) < l && math.Abs(float64(g.turn(e.a, e.b, v))) <= g.fine*math.Sqrt(l)
}

// pairs calls f for pairs of edges whose boxes are near each other, each once,
// in order.
func (g *graph) pairs(f func(i, j int)) {
	pad := int64(math.Ceil(g.fine))
	order := make([]int, len(g.edges))
	low := func(i int) int64 {
		return min(g.vertices[g.edges[i].a].x, g.vertices[g.edges[i].b].x) - pad
	}
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(x, y int) bool { return low(order[x]) < low(order[y]) })
	for x, i := range order {
		p, q := &g.vertices[g.edges[i].a], &g.vertices[g.edges[i].b]
		right, bottom, top := max(p.x, q.x)+pad, min(p.y, q.y)-pad, max(p.y, q.y)+pad
		for _, j := range order[x+1:] {
			if low(j) > right {
				break
			}
			r, s := &g.vertices[g.edges[j].a], &g.vertices[g.edges[j].b]
			if min(r.y, s.y) <= top && max(r.y, s.y) >= bottom {
				f(min(i, j), max(i, j))
			}
		}
	}
}

// component is a connected part of the graph.
type component struct {
	edges []int
	lines []int
}

// components returns the connected parts, in the order of their first edges.
func (g *graph) components() []component {
	parent := make([]int, len(g.vertices))
	for i := range parent {
		parent[i] = i
	}
	find := func(v int) int {
		for parent[v] != v {
			parent[v] = parent[parent[v]]
			v = parent[v]
		}
		return v
	}
	for _, e := range g.edges {
		if a, b := find(e.a), find(e.b); a != b {
			parent[b] = a
		}
	}
	at := map[int]int{}
	var out []component
	seen := map[[2]int]bool{}
	for i, e := range g.edges {
		v := find(e.a)
		k, ok := at[v]
		if !ok {
			k = len(out)
			at[v] = k
			out = append(out, component{})
		}
		out[k].edges = append(out[k].edges, i)
		if !seen[[2]int{k, e.line}] {
			seen[[2]int{k, e.line}] = true
			out[k].lines = append(out[k].lines, e.line)
		}
	}
	return out
}

// half is an edge in one direction: 2*edge forwards, 2*edge+1 backwards.
func (g *graph) from(h int) int {
	if h%2 == 1 {
		return g.edges[h/2].b
	}
	return g.edges[h/2].a
}

func (g *graph) to(h int) int { return g.from(h ^ 1) }

// faces returns the bounded faces of some edges as half edges one after the
// other, anticlockwise, and which of the edges bound none: dangles and bridges.
func (g *graph) faces(edges []int) (faces [][]int, left []int) {
	live := map[int]bool{}
	for _, i := range edges {
		live[i] = true
	}
	for {
		g.prune(edges, live)
		next := g.order(edges, live)
		label := map[int]int{}
		faces = faces[:0]
		for _, i := range edges {
			for k := 0; k < 2 && live[i]; k++ {
				h := 2*i + k
				if _, done := label[h]; done {
					continue
				}
				var walk []int
				for at := h; ; at = next[at] {
					if _, done := label[at]; done {
						break
					}
					label[at] = len(faces)
					walk = append(walk, at)
				}
				faces = append(faces, walk)
			}
		}
		bridges := false
		for _, i := range edges {
			if live[i] && label[2*i] == label[2*i+1] {
				live[i] = false
				bridges = true
			}
		}
		if !bridges {
			break
		}
	}
	for _, i := range edges {
		if !live[i] {
			left = append(left, i)
		}
	}
	var out [][]int
	for _, walk := range faces {
		for _, ring := range g.simple(walk) {
			if g.area(ring) > 0 {
				out = append(out, ring)
			}
		}
	}
	return out, left
}

// prune takes out edges with a loose end, over and over.
func (g *graph) prune(edges []int, live map[int]bool) {
	at := map[int][]int{}
	n := map[int]int{}
	for _, i := range edges {
		if e := g.edges[i]; live[i] {
			at[e.a], at[e.b] = append(at[e.a], i), append(at[e.b], i)
			n[e.a]++
			n[e.b]++
		}
	}
	var queue []int
	for _, i := range edges {
		for _, v := range []int{g.edges[i].a, g.edges[i].b} {
			if n[v] == 1 {
				queue = append(queue, v)
			}
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		v := queue[0]
		for _, i := range at[v] {
			if live[i] && n[v] == 1 {
				live[i] = false
				w := g.edges[i].other(v)
				n[v]--
				if n[w]--; n[w] == 1 {
					queue = append(queue, w)
				}
			}
		}
	}
}

// order says which half edge follows each one round the face on its left: at
// its end, the next one clockwise from the way back.
func (g *graph) order(edges []int, live map[int]bool) map[int]int {
	out := map[int][]int{}
	for _, i := range edges {
		if live[i] {
			out[g.edges[i].a] = append(out[g.edges[i].a], 2*i)
			out[g.edges[i].b] = append(out[g.edges[i].b], 2*i+1)
		}
	}
	next := map[int]int{}
	for v, list := range out {
		half := func(h int) int {
			p, q := &g.vertices[v], &g.vertices[g.to(h)]
			if q.y > p.y || q.y == p.y && q.x > p.x {
				return 0
			}
			return 1
		}
		sort.Slice(list, func(x, y int) bool {
			if a, b := half(list[x]), half(list[y]); a != b {
				return a < b
			}
			if t := g.turn(v, g.to(list[x]), g.to(list[y])); t != 0 {
				return t > 0
			}
			return list[x] < list[y]
		})
		for k, h := range list {
			// The way back along the one after it leads on to h.
			next[list[(k+1)%len(list)]^1] = h
		}
	}
	return next
}

// simple cuts a walk at the vertices that it passes twice.
func (g *graph) simple(walk []int) [][]int {
	var out [][]int
	var stack []int
	at := map[int]int{}
	for _, h := range walk {
		v := g.from(h)
		if k, twice := at[v]; twice {
			ring := append([]int(nil), stack[k:]...)
			for _, x := range ring {
				delete(at, g.from(x))
			}
			stack = stack[:k]
			out = append(out, ring)
		}
		at[v] = len(stack)
		stack = append(stack, h)
	}
	return append(out, stack)
}

// area is twice the area of a ring in steps of the grid, positive
// anticlockwise.
func (g *graph) area(ring []int) float64 {
	sum, o := 0.0, g.from(ring[0])
	for _, h := range ring {
		sum += float64(g.turn(o, g.from(h), g.to(h)))
	}
	return sum
}
