// Outlines of lines that cut and share each other.

package rings

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// stubTolerances and leastStub bound an end past a corner that is cut off:
// longer ones may be meant, and are kept. Choices of this program.
const (
	stubTolerances = 10
	leastStub      = 0.1 // metres
)

// close makes a ring of a line that closes by itself; false when it does not.
func (a *joiner) close(it *Piece, g *geom.LineString) bool {
	flat, stride := g.FlatCoords(), g.Stride()
	first, last := flat[:stride], flat[len(flat)-stride:]
	gap := a.scale.Distance(first, last)
	if !(gap <= a.tol && g.NumCoords() > 3 && distinct(flat, stride) >= 3 && gap <= a.scale.length(flat, stride)/10) {
		return a.closeWalked(it, g)
	}
	closed := append([]float64(nil), flat...)
	end := closed[len(closed)-stride:]
	if gap > 0 && it.Feature.Attributes.Get(schema.PropCurve).IsAbsent() {
		// The corner goes to where the first and the last side meet.
		low, high := Box(flat, stride)
		c := newGraph(a.scale, low, high, 0, &a.Joined)
		n := len(flat)
		for _, p := range [][]float64{flat[n-2*stride:], last, flat[stride:], first} {
			c.vertices = append(c.vertices, vertex{at: [3]float64{p[0], p[1]}})
		}
		if x, _, _, ok := c.meeting(0, 1, 2, 3); ok && a.scale.Distance(x[:], first) <= cornerMove*a.tol && a.scale.Distance(x[:], last) <= cornerMove*a.tol {
			a.moved(a.scale.Distance(x[:], first), c.vertices[3].at)
			copy(closed[:2], x[:])
		}
	}
	a.gap(gap, [3]float64{last[0], last[1]})
	a.moved(a.scale.Distance(closed[:2], last), [3]float64{last[0], last[1]})
	copy(end, closed[:stride])
	it.Feature.Geometry = geom.NewPolygonFlat(g.Layout(), closed, []int{len(closed)})
	a.Closed++
	return true
}

// walkedGap is how far, in metres, the ends of an outline that was walked or
// driven with a receiver may lie from each other, and walkedPart which part of
// it may be walked twice: people stop short of where they began, or go on past
// it. Choices of this program.
const (
	walkedGap  = 5
	walkedPart = 0.2
)

// closeWalked closes a track where its end comes back to its start: what was
// walked twice is cut off, and what was left open is closed straight.
func (a *joiner) closeWalked(it *Piece, g *geom.LineString) bool {
	flat, stride := g.FlatCoords(), g.Stride()
	if !it.Walked || g.NumCoords() < 6 {
		return false
	}
	whole := a.scale.length(flat, stride)
	// The end crosses the start, or passes its first point; the last place that
	// comes nearest holds.
	best, cut, at := math.Inf(1), -1, [2]float64{}
	back := 0.0
	for v := len(flat) - stride; v >= stride && back <= whole*walkedPart; v -= stride {
		p, q := flat[v-stride:v], flat[v:v+stride]
		d := a.scale.toSegment(flat, p, q)
		if d < best {
			dx, dy := (q[0]-p[0])*a.scale.X, (q[1]-p[1])*a.scale.Y
			t := 0.0
			if l := dx*dx + dy*dy; l > 0 {
				t = math.Max(0, math.Min(1, ((flat[0]-p[0])*a.scale.X*dx+(flat[1]-p[1])*a.scale.Y*dy)/l))
			}
			best, cut, at = d, v, [2]float64{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
		}
		back += a.scale.Distance(p, q)
	}
	limit := math.Max(walkedGap, a.tol)
	if cut < 0 || best > limit || best > whole/10 {
		return false
	}
	closed := append([]float64(nil), flat[:cut]...)
	if last := closed[len(closed)-stride:]; a.scale.Distance(last, at[:]) > 0.01 && a.scale.Distance(at[:], flat[:2]) > 0.01 {
		corner := append([]float64(nil), flat[cut:cut+stride]...)
		copy(corner, at[:])
		closed = append(closed, corner...)
	}
	closed = append(closed, flat[:stride]...)
	if distinct(closed, stride) < 3 {
		return false
	}
	a.gap(best, [3]float64{at[0], at[1]})
	it.Feature.Geometry = geom.NewPolygonFlat(g.Layout(), closed, []int{len(closed)})
	a.Walked++
	return true
}

// divide makes outlines of the areas between the lines of a component; false
// when the lines only follow each other, or enclose nothing new.
func (a *joiner) divide(c component, degree []int) bool {
	g := a.graph
	plain, rings := true, 0
	for _, k := range c.lines {
		if g.cut[k] {
			plain = false
		}
		if a.lines[k].closed {
			rings++
		}
	}
	for _, i := range c.edges {
		if degree[g.edges[i].a] > 2 || degree[g.edges[i].b] > 2 {
			plain = false
		}
	}
	if plain || rings == len(c.lines) {
		return false
	}
	faces, left := g.faces(c.edges)
	if len(faces) == 0 || len(faces) == rings && a.onlyRings(faces) {
		return false
	}
	sort.SliceStable(faces, func(i, j int) bool { return g.area(faces[i]) > g.area(faces[j]) })
	carried := map[int]bool{}
	for _, k := range c.lines {
		a.lines[k].used = true
		a.pieces[a.lines[k].item].Gone = true
		a.Divided++
	}
	for _, face := range faces {
		a.outline(face, carried)
	}
	a.leftOver(left, carried)
	return true
}

// onlyRings reports whether each face is a ring that was drawn as one.
func (a *joiner) onlyRings(faces [][]int) bool {
	for _, face := range faces {
		line := a.graph.edges[face[0]/2].line
		for _, h := range face {
			if a.graph.edges[h/2].line != line {
				return false
			}
		}
		if !a.lines[line].closed {
			return false
		}
	}
	return true
}

// outline makes a feature of a face, in the place of the line that bounds most
// of it and has become none yet.
func (a *joiner) outline(face []int, carried map[int]bool) {
	g := a.graph
	share := map[int]float64{}
	var lines []int
	var points [][3]float64
	hasZ := false
	for _, h := range face {
		e := g.edges[h/2]
		if share[e.line] == 0 {
			lines = append(lines, e.line)
		}
		share[e.line] += g.metres(e.a, e.b)
		hasZ = hasZ || a.lines[e.line].hasZ
		points = append(points, g.vertices[g.from(h)].at)
	}
	late := map[bool]int{true: 1}
	slices.SortStableFunc(lines, func(x, y int) int {
		return cmp.Or(late[carried[x]]-late[carried[y]], cmp.Compare(share[y], share[x]))
	})
	f := a.take(lines[0], carried)
	flat, layout := flatOf(append(points, points[0]), hasZ)
	f.Geometry = geom.NewPolygonFlat(layout, flat, []int{len(flat)})
	f.Attributes.Set(schema.PropJoined, schema.Int(int64(len(lines))))
	a.Faces++
}

// take returns the feature of a line to be changed, or a new one like it when
// it has become something already.
func (a *joiner) take(line int, carried map[int]bool) *schema.Feature {
	it := a.pieces[a.lines[line].item]
	f := it.Feature
	if carried[line] {
		g := *f
		f = &g
		f.ID = schema.Value{}
		a.More = append(a.More, f)
	}
	carried[line] = true
	it.Gone = false
	f.Attributes = f.Attributes.Clone()
	for _, key := range []string{schema.PropEntity, schema.PropHandle, schema.PropCurve, schema.PropJoined} {
		f.Attributes.Delete(key)
	}
	return f
}

func flatOf(points [][3]float64, hasZ bool) ([]float64, geom.Layout) {
	var flat []float64
	for _, p := range points {
		flat = append(flat, p[0], p[1])
		if hasZ {
			flat = append(flat, p[2])
		}
	}
	if hasZ {
		return flat, geom.XYZ
	}
	return flat, geom.XY
}

// leftOver cuts off what stands out past a corner and keeps as lines what is
// longer.
func (a *joiner) leftOver(left []int, carried map[int]bool) {
	g := a.graph
	of := map[int][]int{}
	var order []int
	for _, i := range left {
		k := g.edges[i].line
		if of[k] == nil {
			order = append(order, k)
		}
		of[k] = append(of[k], i)
	}
	for _, k := range order {
		for _, run := range g.runs(of[k]) {
			var points [][3]float64
			length := 0.0
			for i, v := range run {
				points = append(points, g.vertices[v].at)
				if i > 0 {
					length += g.metres(run[i-1], v)
				}
			}
			if length <= math.Max(leastStub, stubTolerances*a.tol) {
				a.Stubs++
				a.StubM = math.Max(a.StubM, length)
				continue
			}
			f := a.take(k, carried)
			flat, layout := flatOf(points, a.lines[k].hasZ)
			f.Geometry = geom.NewLineStringFlat(layout, flat)
			a.left = append(a.left, &chain{from: points[0][:], to: points[len(points)-1][:], label: Label(f), layer: a.pieces[a.lines[k].item].Layer, straight: true, length: length})
		}
	}
}

// runs orders edges of one line into paths of vertices.
func (g *graph) runs(edges []int) [][]int {
	at := map[int][]int{}
	for _, i := range edges {
		at[g.edges[i].a] = append(at[g.edges[i].a], i)
		at[g.edges[i].b] = append(at[g.edges[i].b], i)
	}
	done := map[int]bool{}
	var out [][]int
	walk := func(i, v int) {
		run := []int{v}
		for i >= 0 {
			done[i] = true
			v = g.edges[i].other(v)
			run = append(run, v)
			next := -1
			if len(at[v]) == 2 {
				for _, k := range at[v] {
					if !done[k] {
						next = k
					}
				}
			}
			i = next
		}
		out = append(out, run)
	}
	for _, i := range edges {
		for _, v := range []int{g.edges[i].a, g.edges[i].b} {
			if !done[i] && len(at[v]) != 2 {
				walk(i, v)
			}
		}
	}
	for _, i := range edges {
		if !done[i] {
			walk(i, g.edges[i].a)
		}
	}
	return out
}
