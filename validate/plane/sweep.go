// The sweep: the way to all crossings that stays n log n where boxes do not
// help, such as among a million long slanting teeth.

package plane

import (
	"slices"

	"github.com/paulmach/orb"
)

// sweep moves a line over the segments from left to right (Shamos and Hoey
// 1976), keeping those that it meets in their order from below to above.
// Segments that neither cross nor overlap keep that order as long as they are
// met, even where they touch; two that do cross become neighbours before they
// cross. When such two are found, the longer one is set aside, so that the
// order holds among the rest. In the end the segments set aside are tested one
// by one against all others. Every comparison is an exact sign.
//
// Points are ordered by x, then y; a vertical segment is thus met from its
// lower end to its upper one, as if the line leaned a little.
type sweep struct {
	v    *Validator
	base []int32 // number of the first segment of each path
	seg  []sweepSegment
	// The segments met, as a treap (a search tree that is a heap by priority)
	// and a list.
	root int32
	node []sweepNode
	// aside are the segments set aside; isAside answers by number.
	aside   []int32
	isAside []bool
	// meetings are pairs of segments, not neighbours in a ring, that touch.
	meetings [][2]int32
}

type sweepSegment struct {
	l, r        orb.Point // l before r
	path, index int32
}

type sweepNode struct {
	left, right, parent int32 // children and parent in the tree
	prev, next          int32 // neighbours in the order
	met                 bool
}

const nobody = int32(-1)

// sweepEvent is a vertex: segment index begins there and the one before it
// ends.
type sweepEvent struct {
	at          orb.Point
	path, index int32
}

// sweepCrossings does what crossings does, by a sweep.
func (v *Validator) sweepCrossings() {
	t := &v.t
	s := &sweep{v: v, root: nobody}
	total := 0
	for i := range t.paths {
		s.base = append(s.base, int32(total))
		total += t.paths[i].segments()
	}
	s.seg = make([]sweepSegment, 0, total)
	events := make([]sweepEvent, 0, total)
	for i := range t.paths {
		pts := t.paths[i].pts
		for k := range pts[1:] {
			g := sweepSegment{pts[k], pts[k+1], int32(i), int32(k)}
			if pointLess(g.r, g.l) {
				g.l, g.r = g.r, g.l
			}
			s.seg = append(s.seg, g)
			events = append(events, sweepEvent{pts[k], int32(i), int32(k)})
		}
	}
	s.node = make([]sweepNode, total)
	s.isAside = make([]bool, total)
	slices.SortFunc(events, func(a, b sweepEvent) int { return comparePoint(a.at, b.at) })
	var begin, end []int32
	for i := 0; i < len(events); {
		j := i
		begin, end = begin[:0], end[:0]
		for ; j < len(events) && events[j].at == events[i].at; j++ {
			e := events[j]
			n := int32(t.paths[e.path].segments())
			for _, k := range [2]int32{e.index, (e.index + n - 1) % n} {
				if id := s.base[e.path] + k; s.seg[id].l == e.at {
					begin = append(begin, id)
				} else {
					end = append(end, id)
				}
			}
		}
		s.point(events[i].at, begin, end)
		if len(s.aside) >= 2*v.Max {
			break // each has a fault, shared by two at most
		}
		i = j
	}
	for _, m := range s.meetings {
		if !s.isAside[m[0]] && !s.isAside[m[1]] {
			s.test(m[0], m[1])
		}
		if v.full() {
			return
		}
	}
	for _, id := range s.aside {
		s.against(t.top(), 0, id)
		if v.full() {
			return
		}
	}
}

// test hands two segments to the validator.
func (s *sweep) test(a, b int32) {
	ga, gb := &s.seg[a], &s.seg[b]
	t := &s.v.t
	s.v.segments(ga.path, gb.path, &t.paths[ga.path], &t.paths[gb.path], int(ga.index), int(gb.index))
}

// against tests a segment that was set aside against all under a node of the
// tree of boxes.
func (s *sweep) against(level, i int, id int32) {
	t := &s.v.t
	g := &s.seg[id]
	if s.v.full() || !passes(g.l, g.r, &t.box[t.level[level]+i]) {
		return
	}
	if level == 0 {
		l := t.leafs[i]
		for k := l.first; k < l.first+l.count; k++ {
			other := s.base[l.path] + k
			o := &s.seg[other]
			// Of two set aside, the one of the higher number does it.
			if other != id && (!s.isAside[other] || other < id) && boxesMeet(g.l, g.r, o.l, o.r) {
				s.test(id, other)
			}
		}
		return
	}
	n := t.level[level] - t.level[level-1]
	for c := fan * i; c < min(fan*i+fan, n); c++ {
		s.against(level-1, c, id)
	}
}

// adjacent reports whether two segments follow one another in a ring.
func (s *sweep) adjacent(a, b int32) bool {
	ga, gb := &s.seg[a], &s.seg[b]
	if ga.path != gb.path {
		return false
	}
	d := ga.index - gb.index
	n := int32(s.v.t.paths[ga.path].segments())
	return d == 1 || d == -1 || d == n-1 || d == 1-n
}

// point moves the line over one point, at which the segments begin and end.
func (s *sweep) point(at orb.Point, begin, end []int32) {
	// The segments met that go through the point lie together.
	first, below := s.firstThrough(at)
	var through []int32
	above := first
	passing := nobody
	for above != nobody && Orient(s.seg[above].l, s.seg[above].r, at) == 0 {
		id := above
		above = s.node[above].next
		switch {
		case s.seg[id].r == at:
			through = append(through, id)
		case passing == nobody:
			passing = id
		case length2(&s.seg[id]) < length2(&s.seg[passing]):
			// Two that pass through one point cross there.
			s.setAside(passing)
			passing = id
		default:
			s.setAside(id)
		}
	}
	if len(begin)+len(end) > 2 || passing != nobody {
		s.meet(begin, end, passing)
	}
	for _, id := range through {
		s.remove(id)
	}
	// Those that begin, from below to above.
	slices.SortFunc(begin, func(a, b int32) int { return -Orient(at, s.seg[a].r, s.seg[b].r) })
	last := below // the one that the next goes above
	for i, id := range begin {
		if s.isAside[id] {
			continue
		}
		if i > 0 && Orient(at, s.seg[begin[i-1]].r, s.seg[id].r) == 0 {
			// Along one another: the one before may have been set aside
			// already, and then this one goes after what that one ran along,
			// aside as well.
			s.setAside(id)
			continue
		}
		if passing != nobody {
			switch side := Orient(at, s.seg[passing].r, s.seg[id].r); {
			case side == 0:
				s.setAside(id)
				continue
			case side > 0:
				last, passing = passing, nobody // from here on all lie above it
			}
		}
		s.insert(id, last)
		last = id
	}
	// New neighbours.
	if below != nobody && s.node[below].met {
		s.neighbours(below, s.node[below].next)
	}
	if above != nobody && s.node[above].met {
		s.neighbours(s.node[above].prev, above)
	}
}

// meet notes the pairs that touch at a point: the segments that begin or end
// there with one another and with the one that passes.
func (s *sweep) meet(begin, end []int32, passing int32) {
	all := append(append([]int32(nil), begin...), end...)
	if passing != nobody {
		all = append(all, passing)
	}
	for i, a := range all {
		for _, b := range all[:i] {
			if !s.adjacent(a, b) {
				s.meetings = append(s.meetings, [2]int32{a, b})
			}
		}
	}
}

// neighbours looks whether two neighbours cross, sets one aside if so, and goes
// on with those that become neighbours then.
func (s *sweep) neighbours(a, b int32) {
	for a != nobody && b != nobody {
		ga, gb := &s.seg[a], &s.seg[b]
		switch Cross(ga.l, ga.r, gb.l, gb.r).Kind {
		case CrossNone, CrossTouch:
			return
		}
		out := a
		if length2(gb) > length2(ga) {
			out = b
		}
		prev, next := s.node[out].prev, s.node[out].next
		s.setAside(out)
		a, b = prev, next
	}
}

func length2(g *sweepSegment) float64 {
	dx, dy := g.r[0]-g.l[0], g.r[1]-g.l[1]
	return dx*dx + dy*dy
}

func (s *sweep) setAside(id int32) {
	s.isAside[id] = true
	s.aside = append(s.aside, id)
	if s.node[id].met {
		s.remove(id)
	}
}

// firstThrough returns the lowest segment met that is not below the point, and
// the one before it in the order.
func (s *sweep) firstThrough(at orb.Point) (first, below int32) {
	first, below = nobody, nobody
	for n := s.root; n != nobody; {
		if Orient(s.seg[n].l, s.seg[n].r, at) > 0 {
			below = n
			n = s.node[n].right
		} else {
			first = n
			n = s.node[n].left
		}
	}
	return first, below
}

// priority makes the treap a random one, the same at every run (splitmix64's
// mixing function).
func priority(id int32) uint64 {
	z := uint64(id) * 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// insert puts a segment into the order just above another, or lowest.
func (s *sweep) insert(id, below int32) {
	n := &s.node[id]
	*n = sweepNode{left: nobody, right: nobody, parent: nobody, prev: below, next: nobody, met: true}
	if s.root == nobody {
		s.root = id
		return
	}
	if below == nobody {
		low := s.root
		for s.node[low].left != nobody {
			low = s.node[low].left
		}
		n.next = low
		s.node[low].left = id
		n.parent = low
	} else {
		n.next = s.node[below].next
		if s.node[below].right == nobody {
			s.node[below].right = id
			n.parent = below
		} else {
			// What follows next has no left child then.
			s.node[n.next].left = id
			n.parent = n.next
		}
		s.node[below].next = id
	}
	if n.next != nobody {
		s.node[n.next].prev = id
	}
	for n.parent != nobody && priority(id) > priority(n.parent) {
		s.rotateUp(id)
	}
}

// rotateUp puts a node in the place of its parent.
func (s *sweep) rotateUp(id int32) {
	n := &s.node[id]
	p := n.parent
	pn := &s.node[p]
	g := pn.parent
	if pn.left == id {
		pn.left = n.right
		if n.right != nobody {
			s.node[n.right].parent = p
		}
		n.right = p
	} else {
		pn.right = n.left
		if n.left != nobody {
			s.node[n.left].parent = p
		}
		n.left = p
	}
	pn.parent = id
	n.parent = g
	s.replaceChild(g, p, id)
}

// replaceChild makes to the child of parent (or the root) that from was.
func (s *sweep) replaceChild(parent, from, to int32) {
	switch {
	case parent == nobody:
		s.root = to
	case s.node[parent].left == from:
		s.node[parent].left = to
	default:
		s.node[parent].right = to
	}
}

// remove takes a segment out of the order.
func (s *sweep) remove(id int32) {
	n := &s.node[id]
	for n.left != nobody && n.right != nobody {
		up := n.left
		if priority(n.right) > priority(up) {
			up = n.right
		}
		s.rotateUp(up)
	}
	child := n.left
	if child == nobody {
		child = n.right
	}
	if child != nobody {
		s.node[child].parent = n.parent
	}
	s.replaceChild(n.parent, id, child)
	if n.prev != nobody {
		s.node[n.prev].next = n.next
	}
	if n.next != nobody {
		s.node[n.next].prev = n.prev
	}
	n.met = false
}
