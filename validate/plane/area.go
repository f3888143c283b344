// Boolean operations on areas.

package plane

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Union returns what lies in a or in b, see Combine.
func Union(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return Combine(a, b, func(inA, inB bool) bool { return inA || inB })
}

// Intersection returns what lies in both a and b, see Combine.
func Intersection(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return Combine(a, b, func(inA, inB bool) bool { return inA && inB })
}

// Difference returns what lies in a and not in b, see Combine.
func Difference(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return Combine(a, b, func(inA, inB bool) bool { return inA && !inB })
}

// Combine returns the area of which keep says so, given whether it lies in a
// and in b. It must not keep what lies in neither.
//
// The result is a valid multipolygon: shells anticlockwise, holes clockwise,
// rings closed and begun at their leftmost vertex, polygons in the order of
// that vertex; nil when it is empty. Vertices are moved to the grid of the
// package comment, and boundaries are bent by at most half of its spacing to
// pass through them, so that the area is right to within the length of the
// boundary times that spacing.
//
// The polygons of one operand may touch and overlap one another: together they
// cover what any of them covers. A polygon covers what its shell goes round
// more often than its holes do, each ring turned so that its signed area counts
// as it should. Of a valid polygon that is its area; where rings cross, as they
// do by a hair after a hole that touches its shell was projected, it is right
// up to the crossing pieces; a shell like an 8 covers its larger half. Ask
// Validate first when that matters. Open rings are closed, rings without an
// area left out.
//
// Errors are ErrNotFinite, ErrTooLarge and ErrNoArrangement.
func Combine(a, b orb.MultiPolygon, keep func(inA, inB bool) bool) (orb.MultiPolygon, error) {
	var r arrangement
	// What is kept only where it meets the other need not be looked at
	// elsewhere.
	boxA, boxB := boundsOf(a), boundsOf(b)
	nearB, nearA := &boxB, &boxA
	if keep(true, false) {
		nearB = nil
	}
	if keep(false, true) {
		nearA = nil
	}
	for _, p := range a {
		r.addPolygon(p, 0, nearB)
	}
	for _, p := range b {
		r.addPolygon(p, 1, nearA)
	}
	return r.areas(func(w winding) bool { return keep(w[0] > 0, w[1] > 0) })
}

// boundsOf returns the box of all shells. A coordinate that is not a number
// makes it reach everywhere, so that it is met and reported.
func boundsOf(mp orb.MultiPolygon) box {
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range mp {
		for _, r := range p {
			for _, q := range r {
				if !finite(q) {
					return box{math.Inf(-1), math.Inf(-1), math.Inf(1), math.Inf(1)}
				}
				b.minX, b.maxX = min(b.minX, q[0]), max(b.maxX, q[0])
				b.minY, b.maxY = min(b.minY, q[1]), max(b.maxY, q[1])
			}
		}
	}
	return b
}

// addPolygon adds the rings of a polygon so that its inside has winding
// number 1. With a box, what lies apart from it is left out.
func (r *arrangement) addPolygon(p orb.Polygon, operand int, in *box) {
	if in != nil {
		if own := boundsOf(orb.MultiPolygon{p}); !own.meets(in) {
			return
		}
	}
	for i, ring := range p {
		if in != nil && i > 0 {
			if own := boundsOf(orb.MultiPolygon{{ring}}); !own.meets(in) {
				continue
			}
		}
		w := int32(1)
		if SignedArea(ring) < 0 {
			w = -1
		}
		if i > 0 {
			w = -w
		}
		r.addRing(ring, operand, w)
	}
}

// areas returns the faces whose winding numbers satisfy inside as a valid
// multipolygon.
func (r *arrangement) areas(inside func(w winding) bool) (orb.MultiPolygon, error) {
	w := workspaces.Get().(*workspace)
	defer workspaces.Put(w)
	r.work = w
	edges, err := r.cut()
	if err != nil || len(edges) == 0 {
		return nil, err
	}
	m := newPlanarMap(edges, w)
	// A half edge bounds the result when it has it on its left and not on its
	// right.
	bounds := cleared(&w.bounds, len(m.left))
	for h := range m.left {
		bounds[h] = inside(m.left[h]) && !inside(m.left[h^1])
	}
	return m.rings(bounds, r.made, w), nil
}

// rings joins the half edges that bound an area on their left into polygons.
// Vertices that were made go where the boundary runs straight on.
func (m *planarMap) rings(bounds []bool, made map[orb.Point]bool, w *workspace) orb.MultiPolygon {
	var shells []orb.Ring
	type walkHole struct {
		ring  orb.Ring
		shell int // index in shells, -1 to be found
	}
	var tied []walkHole
	done := cleared(&w.done, len(bounds))
	at := cleared(&w.at, len(m.verts)) // where on the walk a vertex stands, counted from 1
	walk := w.walk
	defer func() { w.walk = walk }()
	for h0 := range bounds {
		if !bounds[h0] || done[h0] {
			continue
		}
		// Walk along the area on the left, through every vertex into the
		// boundary of the same corner of it. Where a vertex comes up again, the
		// loop since then is a ring of its own.
		walk = walk[:0]
		var loops []orb.Ring
		for h := int32(h0); ; {
			v := m.from[h]
			if i := at[v]; i > 0 {
				loops = append(loops, m.loop(walk[i-1:]))
				for _, g := range walk[i-1:] {
					at[m.from[g]] = 0
				}
				walk = walk[:i-1]
			}
			if done[h] {
				break
			}
			done[h] = true
			walk = append(walk, h)
			at[v] = int32(len(walk))
			for h = m.next(h); !bounds[h]; h = m.turn(h) {
			}
		}
		// One loop runs anticlockwise if the walk is the outside of a piece of
		// the area.
		shell := -1
		for _, l := range loops {
			if SignedArea(l) > 0 {
				shell = len(shells)
				shells = append(shells, l)
			}
		}
		for _, l := range loops {
			if SignedArea(l) <= 0 {
				tied = append(tied, walkHole{l, shell})
			}
		}
	}
	polygons := make(orb.MultiPolygon, len(shells))
	boxes := make([]box, len(shells))
	for i, s := range shells {
		polygons[i] = orb.Polygon{s}
		b := s.Bound()
		boxes[i] = box{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}
	}
	tree := newBoxes(len(shells), func(i int) box { return boxes[i] })
	for _, t := range tied {
		if t.shell < 0 {
			// A hole that hangs free: its leftmost vertex lies inside the
			// shells around it, and the smallest of them is its own.
			least := 0.0
			p := boxOf(t.ring[0], t.ring[0])
			tree.search(&p, func(i int) bool {
				if locateRing(t.ring[0], shells[i]) == Inside {
					if a := SignedArea(shells[i]); t.shell < 0 || a < least {
						t.shell, least = i, a
					}
				}
				return true
			})
		}
		if t.shell >= 0 {
			polygons[t.shell] = append(polygons[t.shell], t.ring)
		}
	}
	for _, p := range polygons {
		for i := range p {
			if len(made) > 0 {
				p[i] = straighten(p[i], made)
			}
		}
		slices.SortFunc(p[1:], compareRings)
	}
	slices.SortFunc(polygons, func(a, b orb.Polygon) int { return compareRings(a[0], b[0]) })
	if len(polygons) == 0 {
		return nil
	}
	return polygons
}

// loop returns the half edges as a closed ring that begins at its leftmost
// vertex.
func (m *planarMap) loop(walk []int32) orb.Ring {
	low := 0
	for i, h := range walk {
		if pointLess(m.verts[m.from[h]], m.verts[m.from[walk[low]]]) {
			low = i
		}
	}
	r := make(orb.Ring, 0, len(walk)+1)
	for i := range walk {
		r = append(r, m.verts[m.from[walk[(low+i)%len(walk)]]])
	}
	return append(r, r[0])
}

// straighten leaves out the vertices on straight pieces that were made where a
// line was cut by another that is no longer there.
func straighten(r orb.Ring, made map[orb.Point]bool) orb.Ring {
	out := r[:1]
	for i := 1; i < len(r)-1; i++ {
		if !made[r[i]] || Orient(out[len(out)-1], r[i], r[i+1]) != 0 {
			out = append(out, r[i])
		}
	}
	return append(out, r[len(r)-1])
}

func compareRings(a, b orb.Ring) int {
	for i := range min(len(a), len(b)) {
		if c := comparePoint(a[i], b[i]); c != 0 {
			return c
		}
	}
	return cmp.Compare(len(a), len(b))
}
