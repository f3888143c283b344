// Validity by OGC Simple Features: every fault, exactly.

package plane

import (
	"cmp"
	"slices"
	"sync"

	"github.com/paulmach/orb"
)

// MaxFaults is how many faults a Validator reports unless told otherwise. A
// ring of n points can cross itself n*n/2 times: without a cap one hostile file
// would fill the memory.
const MaxFaults = 10000

// Validate returns every fault of the polygons taken together as one
// multipolygon, up to MaxFaults of them; none means that the figure is valid by
// OGC Simple Features, which is what GEOS answers too. One polygon is a slice
// of one.
//
// In short: rings are closed, have three different points, do not meet
// themselves, do not cross or share a piece of line with one another; holes lie
// in their shell and not in one another; the polygons do not overlap; and
// touching rings do not cut an interior in two. Rings may touch at points.
// Repeated points are allowed, as is any sense of rotation.
//
// A fault may have others for a consequence: a hole that crosses its shell is
// also partly outside, and only the crossing is reported. Of a ring that meets
// itself, spikes aside, there is no telling what it encloses, and it takes no
// part in the tests of containment and of split interiors.
//
// The order of the faults depends only on the figure. Time is about n log n in
// the number of points n, more with the number of faults.
func Validate(polygons []orb.Polygon) []Fault {
	v := validators.Get().(*Validator)
	defer validators.Put(v)
	v.Max = MaxFaults
	return slices.Clone(v.Polygons(polygons))
}

// IsValid reports whether the polygons together are valid; it stops at the
// first fault.
func IsValid(polygons []orb.Polygon) bool {
	v := validators.Get().(*Validator)
	defer validators.Put(v)
	v.Max = 1
	return len(v.Polygons(polygons)) == 0
}

var validators = sync.Pool{New: func() any { return new(Validator) }}

// Validator finds faults and keeps its memory from one figure to the next. The
// zero value is ready; it is for one goroutine at a time.
type Validator struct {
	// Max is the greatest number of faults to look for; 0 stands for MaxFaults.
	// Reaching it means that there may be more.
	Max int

	t         tree
	faults    []Fault
	touches   []touch
	apart     map[[2]int32]bool // pairs of paths that cross or overlap (i <= j)
	sick      []bool            // by path, those that meet themselves; shorter when the rest do not
	scratch   []orb.Point
	origin    []int32
	noShell   bool // the polygon at hand has an empty shell
	sweepOnly bool // for tests: do not try boxes first
}

// touch is a point at which two paths meet without crossing.
type touch struct {
	at   orb.Point
	a, b int32
}

func (v *Validator) reset() {
	if v.Max <= 0 {
		v.Max = MaxFaults
	}
	v.t.reset()
	v.faults, v.touches = v.faults[:0], v.touches[:0]
	clear(v.apart)
	v.sick = v.sick[:0]
	v.scratch, v.origin = v.scratch[:0], v.origin[:0]
}

// release drops what belongs to the caller.
func (v *Validator) release() {
	clear(v.t.paths)
}

// Polygons returns the faults of the polygons as one multipolygon, see
// Validate. The slice is good until the next call.
func (v *Validator) Polygons(polygons []orb.Polygon) []Fault {
	v.reset()
	defer v.release()
	for i, p := range polygons {
		for j, r := range p {
			v.addRing(r, i, j)
		}
	}
	v.run()
	return v.faults
}

func (v *Validator) full() bool { return len(v.faults) >= v.Max }

func (v *Validator) report(f Fault) {
	if !v.full() {
		v.faults = append(v.faults, f)
	}
}

// addRing prepares a ring: what can be said of it alone is said here.
func (v *Validator) addRing(r []orb.Point, polygon, ring int) {
	if ring == 0 {
		v.noShell = len(r) == 0
	}
	if len(r) == 0 {
		return
	}
	whole := Where{polygon, ring, -1}
	if v.noShell {
		v.report(Fault{HoleOutsideShell, whole, Where{polygon, 0, -1}, r[0], r[0]})
	}
	open := !(len(r) > 1 && r[0] == r[len(r)-1]) && finite(r[0]) && finite(r[len(r)-1])
	if open {
		v.report(Fault{RingOpen, whole, whole, r[len(r)-1], r[0]})
	}
	if !open && len(r) >= 4 {
		if v.t.addPath(path{pts: r, polygon: int32(polygon), ring: int32(ring), closed: true}, false) == flawNone {
			return
		}
	}
	// The slow way: without repeated points, and closed.
	start := len(v.scratch)
	bad := false
	for i, p := range r {
		if !finite(p) {
			w := Where{polygon, ring, i}
			v.report(Fault{NotFinite, w, w, p, p})
			bad = true
		}
		if n := len(v.scratch); n == start || v.scratch[n-1] != p {
			v.scratch = append(v.scratch, p)
			v.origin = append(v.origin, int32(i))
		} else {
			v.origin[n-1] = int32(i) // a segment begins at the last of equal points
		}
	}
	if bad {
		v.scratch, v.origin = v.scratch[:start], v.origin[:start]
		return
	}
	if n := len(v.scratch); v.scratch[n-1] != v.scratch[start] {
		v.scratch = append(v.scratch, v.scratch[start])
		v.origin = append(v.origin, int32(len(r)))
	}
	pts, origin := v.scratch[start:], v.origin[start:]
	if len(pts) < 4 {
		v.report(Fault{TooFewPoints, whole, whole, r[0], r[0]})
		v.scratch, v.origin = v.scratch[:start], v.origin[:start]
		return
	}
	v.t.addPath(path{pts: pts, origin: origin, polygon: int32(polygon), ring: int32(ring), closed: true}, false)
}

// run makes all tests that need the figure as a whole.
func (v *Validator) run() {
	v.t.build()
	if v.full() {
		return
	}
	v.crossings()
	if len(v.t.paths) > 1 {
		v.equalRings()
		v.containment()
		v.interiors()
	}
	if len(v.faults) > 1 {
		sortFaults(v.faults)
	}
	if len(v.faults) > v.Max {
		v.faults = v.faults[:v.Max]
	}
}

// boxBudget is how many pairs of nodes a leaf may cost before boxes are given
// up for a sweep. Rings of a hundred thousand points were measured to cost 0.03
// (smooth), 1 (a spiral), 1.3 (jagged) and 220 (teeth that lie along one
// another by the thousand).
const boxBudget = 16

// crossings tests every two segments whose boxes meet, and turns to the sweep
// where too many boxes do.
func (v *Validator) crossings() {
	t := &v.t
	faults := len(v.faults)
	budget := boxBudget*len(t.leafs) + 4096
	if v.sweepOnly {
		budget = -1
	}
	if t.joinSelf(budget, func(a, b int32) bool {
		v.leaves(a, b)
		return !v.full()
	}) {
		v.faults, v.touches = v.faults[:faults], v.touches[:0]
		clear(v.apart)
		v.sick = v.sick[:0]
		v.sweepCrossings()
	}
}

// leaves tests the segments of two leaves, or of one with itself, against one
// another.
func (v *Validator) leaves(a, b int32) {
	t := &v.t
	la, lb := &t.leafs[a], &t.leafs[b]
	pa, pb := &t.paths[la.path], &t.paths[lb.path]
	if a == b {
		var boxes [leafSize]box
		pts := pa.pts[la.first : la.first+la.count+1]
		for i := range pts[1:] {
			boxes[i] = boxOf(pts[i], pts[i+1])
			for j := range i {
				if boxes[i].meets(&boxes[j]) {
					v.segments(la.path, lb.path, pa, pb, int(la.first)+j, int(la.first)+i)
				}
			}
		}
		return
	}
	// Only what reaches into the common part of both boxes can meet.
	ba, bb := &t.box[a], &t.box[b]
	common := box{max(ba.minX, bb.minX), max(ba.minY, bb.minY), min(ba.maxX, bb.maxX), min(ba.maxY, bb.maxY)}
	var boxes [leafSize]box
	var index [leafSize]int
	n := 0
	pts := pa.pts[la.first : la.first+la.count+1]
	for i := range pts[1:] {
		boxes[n] = boxOf(pts[i], pts[i+1])
		if boxes[n].meets(&common) {
			index[n] = int(la.first) + i
			n++
		}
	}
	if n == 0 {
		return
	}
	pts = pb.pts[lb.first : lb.first+lb.count+1]
	for j := range pts[1:] {
		bj := boxOf(pts[j], pts[j+1])
		if !bj.meets(&common) {
			continue
		}
		for i := range n {
			if boxes[i].meets(&bj) {
				v.segments(la.path, lb.path, pa, pb, index[i], int(lb.first)+j)
			}
		}
	}
}

// segments tests segment i of path a against segment j of path b, whose boxes
// meet.
func (v *Validator) segments(ida, idb int32, pa, pb *path, i, j int) {
	a, b := pa.pts[i], pa.pts[i+1]
	c, d := pb.pts[j], pb.pts[j+1]
	same := ida == idb
	if same {
		if i > j {
			i, j = j, i
			a, b, c, d = c, d, a, b
		}
		if i == 0 && j == pa.segments()-1 && j > 1 {
			v.corner(ida, pa, j, i) // the corner at the closing point
			return
		}
		if j == i+1 {
			v.corner(ida, pa, i, j)
			return
		}
	}
	oc, od := Orient(a, b, c), Orient(a, b, d)
	if oc*od > 0 {
		return
	}
	oa, ob := Orient(c, d, a), Orient(c, d, b)
	if oa*ob > 0 {
		return
	}
	if oc == 0 && od == 0 && oa == 0 && ob == 0 {
		x := crossCollinear(a, b, c, d)
		switch x.Kind {
		case CrossOverlap:
			kind := SelfOverlap
			if !same {
				kind = RingsOverlap
			}
			v.meet(kind, ida, idb, pa, pb, i, j, x.P, x.Q)
		case CrossTouch:
			v.vertex(ida, idb, pa, pb, i, j, x.P)
		}
		return
	}
	if oc*od < 0 && oa*ob < 0 {
		kind := SelfCross
		if !same {
			kind = RingsCross
		}
		p := crossPoint(a, b, c, d)
		v.meet(kind, ida, idb, pa, pb, i, j, p, p)
		return
	}
	switch {
	case oc == 0 && inBox(c, a, b):
		v.vertex(ida, idb, pa, pb, i, j, c)
	case oa == 0 && inBox(a, c, d):
		v.vertex(ida, idb, pa, pb, i, j, a)
	}
	// A touch at b or d is seen again at the segment that begins there.
}

// meet reports that two segments cross or overlap.
func (v *Validator) meet(kind Kind, ida, idb int32, pa, pb *path, i, j int, p, q orb.Point) {
	if ida == idb {
		v.setSick(ida)
	} else {
		v.setApart(ida, idb)
	}
	wa, wb := pa.where(i), pb.where(j)
	if compareWhere(wb, wa) < 0 {
		wa, wb = wb, wa
	}
	v.report(Fault{kind, wa, wb, p, q})
}

func (p *path) where(i int) Where {
	return Where{int(p.polygon), int(p.ring), p.vertex(i)}
}

func (p *path) whole() Where {
	return Where{int(p.polygon), int(p.ring), -1}
}

// corner tests two segments i, j of which j follows i: they may only meet in a
// spike.
func (v *Validator) corner(id int32, p *path, i, j int) {
	a, b, c := p.pts[i], p.pts[i+1], p.pts[j+1]
	if !reverses(a, b, c) || Orient(a, b, c) != 0 {
		return
	}
	base := a
	if closer(b, c, a) {
		base = c
	}
	v.report(Fault{RingSpike, p.where(i), p.where(j), b, base})
}

// vertex tests a point at which segment i of pa and segment j of pb meet, being
// the beginning or inside of one and not the end of either.
func (v *Validator) vertex(ida, idb int32, pa, pb *path, i, j int, at orb.Point) {
	if at == pa.pts[i+1] || at == pb.pts[j+1] {
		return // seen at the segment that begins here
	}
	a0, a1 := pa.around(i, at)
	b0, b1 := pb.around(j, at)
	if along(at, a0, b0) || along(at, a0, b1) || along(at, a1, b0) || along(at, a1, b1) {
		return // the end of a piece of line in common, which is reported itself
	}
	crosses := wedgesCross(at, a0, a1, b0, b1)
	switch {
	case ida == idb && crosses:
		v.meet(SelfCross, ida, idb, pa, pb, i, j, at, at)
	case ida == idb:
		v.meet(SelfTouch, ida, idb, pa, pb, i, j, at, at)
	case crosses:
		v.meet(RingsCross, ida, idb, pa, pb, i, j, at, at)
	default:
		v.touches = append(v.touches, touch{at, ida, idb})
	}
}

// around returns the points before and after the point at, which is the
// beginning of segment i of a closed path or inside it.
func (p *path) around(i int, at orb.Point) (before, after orb.Point) {
	if at != p.pts[i] {
		return p.pts[i], p.pts[i+1]
	}
	if i == 0 {
		return p.pts[len(p.pts)-2], p.pts[1]
	}
	return p.pts[i-1], p.pts[i+1]
}

// wedgesCross reports whether the way b0, at, b1 passes from one side of the
// way a0, at, a1 to the other. None of the arms of one runs along an arm of the
// other.
func wedgesCross(at, a0, a1, b0, b1 orb.Point) bool {
	s0, s1 := sideOfWedge(at, a0, a1, b0), sideOfWedge(at, a0, a1, b1)
	return s0*s1 < 0
}

// sideOfWedge returns +1 when the direction from at to q lies strictly left of
// the way a0, at, a1, -1 when strictly right, 0 when along one of its arms.
func sideOfWedge(at, a0, a1, q orb.Point) int {
	in := Orient(a0, at, q)  // left of the arriving arm's line
	out := Orient(at, a1, q) // left of the leaving arm's line
	turn := Orient(a0, at, a1)
	switch {
	case in == 0 && !opposite(at, a0, q):
		return 0 // along the arriving arm
	case out == 0 && !opposite(at, a1, q):
		return 0 // along the leaving arm
	case turn > 0:
		// A left turn: left is what lies left of both arms.
		if in > 0 && out > 0 {
			return 1
		}
		return -1
	case turn < 0:
		if in < 0 && out < 0 {
			return -1
		}
		return 1
	case opposite(at, a0, a1):
		return in // straight on
	}
	return 0 // a spike has no sides
}

// along reports whether the directions from at to p and to q are the same.
func along(at, p, q orb.Point) bool {
	return Orient(at, p, q) == 0 && !opposite(at, p, q)
}

// opposite reports, for p and q on a line through at, whether at lies between
// them.
func opposite(at, p, q orb.Point) bool {
	return (p[0] < at[0]) != (q[0] < at[0]) && p[0] != at[0] && q[0] != at[0] ||
		p[0] == at[0] && q[0] == at[0] && (p[1] < at[1]) != (q[1] < at[1])
}

// equalRings puts one fault in the place of all overlaps of two rings that are
// the same.
func (v *Validator) equalRings() {
	overlap := false
	for _, f := range v.faults {
		overlap = overlap || f.Kind == RingsOverlap
	}
	if !overlap {
		return
	}
	type pair struct{ a, b Where }
	equal := make(map[pair]bool)
	t := &v.t
	pairs := make([][2]int32, 0, len(v.apart))
	for k := range v.apart {
		pairs = append(pairs, k)
	}
	slices.SortFunc(pairs, func(x, y [2]int32) int { return cmp.Or(cmp.Compare(x[0], y[0]), cmp.Compare(x[1], y[1])) })
	var same []Fault
	for _, k := range pairs {
		pa, pb := &t.paths[k[0]], &t.paths[k[1]]
		if sameCycle(pa.pts, pb.pts) {
			wa, wb := pa.whole(), pb.whole()
			equal[pair{wa, wb}] = true
			same = append(same, Fault{RingsEqual, wa, wb, lowest(pa.pts), lowest(pa.pts)})
		}
	}
	if len(same) == 0 {
		return
	}
	v.faults = slices.DeleteFunc(v.faults, func(f Fault) bool {
		a, b := f.A, f.B
		a.Segment, b.Segment = -1, -1
		return (f.Kind == RingsOverlap || f.Kind == RingsCross) && equal[pair{a, b}]
	})
	v.faults = append(v.faults, same...)
}

func lowest(pts []orb.Point) orb.Point {
	return slices.MinFunc(pts, comparePoint)
}

// sameCycle reports whether two closed sequences have the same points in the
// same or the opposite order, wherever they begin.
func sameCycle(a, b []orb.Point) bool {
	if len(a) != len(b) {
		return false
	}
	a, b = a[:len(a)-1], b[:len(b)-1]
	n := len(a)
	i := slices.IndexFunc(a, func(p orb.Point) bool { return p == lowest(a) })
	low := a[i]
	for j := range b {
		if b[j] != low {
			continue
		}
		forth, back := true, true
		for k := 0; k < n && (forth || back); k++ {
			p := a[(i+k)%n]
			forth = forth && p == b[(j+k)%n]
			back = back && p == b[(j-k+n)%n]
		}
		if forth || back {
			return true
		}
	}
	return false
}

// containment tests that holes lie in their shells and not in one another, and
// that shells do not lie in the area of other polygons.
func (v *Validator) containment() {
	t := &v.t
	// Paths come polygon by polygon, ring by ring; a shell may be missing when
	// it was empty or too poor to test.
	rings := newBoxes(len(t.paths), func(i int) box { return t.paths[i].box })
	shellOf := make([]int32, len(t.paths)) // -1: none
	shell := int32(-1)
	for i := range t.paths {
		p := &t.paths[i]
		if p.ring == 0 {
			shell = int32(i)
		} else if shell >= 0 && t.paths[shell].polygon != p.polygon {
			shell = -1
		}
		shellOf[i] = shell
	}
	for i := range t.paths {
		if v.full() {
			return
		}
		p := &t.paths[i]
		if p.ring != 0 && shellOf[i] >= 0 && !v.areApart(int32(i), shellOf[i]) {
			if at, inside := v.inside(int32(i), shellOf[i]); !inside {
				w := p.whole()
				v.report(Fault{HoleOutsideShell, w, t.paths[shellOf[i]].whole(), at, at})
				v.setApart(int32(i), shellOf[i])
			}
		}
		v.around(rings, int32(i), shellOf)
	}
}

// around looks at the rings that may have ring i inside.
func (v *Validator) around(rings *Boxes, i int32, shellOf []int32) {
	t := &v.t
	p := &t.paths[i]
	rings.search(&p.box, func(k int) bool {
		q := &t.paths[k]
		if int32(k) == i || !q.box.covers(&p.box) || v.areApart(i, int32(k)) {
			return true
		}
		switch {
		case p.ring != 0 && q.ring != 0 && p.polygon == q.polygon:
			if at, inside := v.inside(i, int32(k)); inside {
				v.report(Fault{HoleInHole, p.whole(), q.whole(), at, at})
				v.setApart(i, int32(k))
			}
		case p.ring == 0 && q.ring == 0:
			if at, inside := v.inside(i, int32(k)); inside && !v.inHoleOf(rings, i, q.polygon) {
				v.report(Fault{ShellInShell, p.whole(), q.whole(), at, at})
			}
		}
		return !v.full()
	})
}

// inHoleOf reports whether ring i lies in a hole of the polygon.
func (v *Validator) inHoleOf(rings *Boxes, i, polygon int32) bool {
	t := &v.t
	p := &t.paths[i]
	found := false
	rings.search(&p.box, func(k int) bool {
		q := &t.paths[k]
		if q.polygon != polygon || q.ring == 0 || !q.box.covers(&p.box) {
			return true
		}
		if v.areApart(i, int32(k)) {
			// Equal to the hole, sharing a piece of its edge or crossing it:
			// that fault is reported and this one would only repeat it.
			found = true
		} else {
			_, found = v.inside(i, int32(k))
		}
		return !found
	})
	return found
}

func (v *Validator) setSick(i int32) {
	for len(v.sick) <= int(i) {
		v.sick = append(v.sick, false)
	}
	v.sick[i] = true
}

func (v *Validator) isSick(i int32) bool { return int(i) < len(v.sick) && v.sick[i] }

// setApart notes that two rings have a fault in common, so that no further
// question about the two has a meaning.
func (v *Validator) setApart(i, j int32) {
	if v.apart == nil {
		v.apart = make(map[[2]int32]bool)
	}
	v.apart[[2]int32{min(i, j), max(i, j)}] = true
}

// areApart reports whether nothing more is to be asked about two rings.
func (v *Validator) areApart(i, j int32) bool {
	return v.isSick(i) || v.isSick(j) || v.apart[[2]int32{min(i, j), max(i, j)}]
}

// inside reports whether ring i lies inside ring k, the two neither crossing
// nor sharing a piece of line; at is a point of i that shows it.
func (v *Validator) inside(i, k int32) (at orb.Point, inside bool) {
	t := &v.t
	p, q := &t.paths[i], &t.paths[k]
	if !q.box.covers(&p.box) {
		return farthestOut(p.pts, &q.box), false
	}
	for _, at := range p.pts {
		switch t.locate(at, q.firstLeaf, q.firstLeaf+q.leaves) {
		case Inside:
			return at, true
		case Outside:
			return at, false
		}
	}
	// Every vertex of i touches k. The first segment of i leaves its first
	// vertex to one side of k.
	at, next := p.pts[0], p.pts[1]
	for s := range q.segments() {
		if at != q.pts[s+1] && onSegment(at, q.pts[s], q.pts[s+1]) {
			before, after := q.around(s, at)
			side := sideOfWedge(at, before, after, next)
			return at, side != 0 && side == Turn(q.pts)
		}
	}
	return at, false
}

// farthestOut returns the first point outside the box.
func farthestOut(pts []orb.Point, b *box) orb.Point {
	for _, p := range pts {
		if p[0] < b.minX || p[0] > b.maxX || p[1] < b.minY || p[1] > b.maxY {
			return p
		}
	}
	return pts[0]
}

// interiors finds the touching rings that split an interior. Take the rings of
// one polygon and the points at which they touch for the nodes of a graph, and
// draw an edge from each ring to each of its touching points. For rings that
// neither cross nor overlap the interior is in one piece exactly when the graph
// has no cycle: a cycle of rings and points is a closed curve that runs outside
// the interior but for points, and separates what lies to either side of it; a
// tree of them is a single connected obstacle with no inside of its own.
func (v *Validator) interiors() {
	if len(v.touches) < 2 {
		return
	}
	t := &v.t
	type incidence struct {
		polygon int32
		at      orb.Point
		path    int32
	}
	var list []incidence
	for _, c := range v.touches {
		a, b := &t.paths[c.a], &t.paths[c.b]
		if a.polygon != b.polygon || v.areApart(c.a, c.b) {
			continue
		}
		list = append(list, incidence{a.polygon, c.at, c.a}, incidence{a.polygon, c.at, c.b})
	}
	slices.SortFunc(list, func(x, y incidence) int {
		return cmp.Or(cmp.Compare(x.polygon, y.polygon), comparePoint(x.at, y.at), cmp.Compare(x.path, y.path))
	})
	list = slices.Compact(list)
	parent := make([]int32, len(t.paths)+len(list))
	for i := range parent {
		parent[i] = int32(i)
	}
	find := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	point := int32(len(t.paths))
	for i, c := range list {
		if i > 0 && (list[i-1].polygon != c.polygon || list[i-1].at != c.at) {
			point++
		}
		a, b := find(c.path), find(point)
		if a == b {
			other := list[i-1].path // the point has been reached before, so i > 0
			v.report(Fault{InteriorSplit, t.paths[other].whole(), t.paths[c.path].whole(), c.at, c.at})
			continue
		}
		parent[a] = b
	}
}
