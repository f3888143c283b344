// An index of boxes, so that what lies near something is found without looking at
// everything.

package validate

import (
	"container/heap"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"
)

// boxFan is how many boxes a node of the index holds.
const boxFan = 16

// boxIndex finds boxes near a box or a point. It is a packed tree: boxes sorted
// into strips by their middles, node over node of boxFan each. Up to boxFan boxes
// are simply scanned. It is read-only once built.
type boxIndex struct {
	order []int32       // boxes in the order of the leaves
	level [][]orb.Bound // level[0] are the boxes in that order
}

func newBoxIndex(boxes []orb.Bound) *boxIndex {
	x := &boxIndex{order: make([]int32, len(boxes))}
	for i := range x.order {
		x.order[i] = int32(i)
	}
	if len(boxes) > boxFan {
		// Strips of equal count by x, each sorted by y (sort-tile-recursive).
		mid := func(i int32, axis int) float64 {
			m := boxes[i].Min[axis]/2 + boxes[i].Max[axis]/2
			if m != m { // an empty box
				return math.Inf(1)
			}
			return m
		}
		slices.SortStableFunc(x.order, func(a, b int32) int { return compareFloat(mid(a, 0), mid(b, 0)) })
		strip := boxFan * int(math.Ceil(math.Sqrt(float64(len(boxes))/boxFan)))
		for i := 0; i < len(x.order); i += strip {
			part := x.order[i:min(i+strip, len(x.order))]
			slices.SortStableFunc(part, func(a, b int32) int { return compareFloat(mid(a, 1), mid(b, 1)) })
		}
	}
	leaves := make([]orb.Bound, len(boxes))
	for i, k := range x.order {
		leaves[i] = boxes[k]
	}
	x.level = append(x.level, leaves)
	for len(x.level[len(x.level)-1]) > boxFan {
		below := x.level[len(x.level)-1]
		above := make([]orb.Bound, 0, (len(below)+boxFan-1)/boxFan)
		for i := 0; i < len(below); i += boxFan {
			b := emptyBox()
			for _, c := range below[i:min(i+boxFan, len(below))] {
				b.Min[0], b.Min[1] = math.Min(b.Min[0], c.Min[0]), math.Min(b.Min[1], c.Min[1])
				b.Max[0], b.Max[1] = math.Max(b.Max[0], c.Max[0]), math.Max(b.Max[1], c.Max[1])
			}
			above = append(above, b)
		}
		x.level = append(x.level, above)
	}
	return x
}

func compareFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// search appends to dst the indexes of the boxes that meet the box, ascending.
func (x *boxIndex) search(box orb.Bound, dst []int) []int {
	start := len(dst)
	dst = x.collect(len(x.level)-1, 0, len(x.level[len(x.level)-1]), &box, dst)
	sort.Ints(dst[start:])
	return dst
}

func (x *boxIndex) collect(level, from, to int, box *orb.Bound, dst []int) []int {
	for i := from; i < to; i++ {
		if !x.level[level][i].Intersects(*box) {
			continue
		}
		if level == 0 {
			dst = append(dst, int(x.order[i]))
			continue
		}
		dst = x.collect(level-1, i*boxFan, min((i+1)*boxFan, len(x.level[level-1])), box, dst)
	}
	return dst
}

// nearest returns the index for which far is least, -1 when far gives nothing
// below +Inf. far must not be less than the distance from p to the box of the
// index; of equals the lowest index is returned.
func (x *boxIndex) nearest(p orb.Point, far func(i int) float64) (best int, d float64) {
	best, d = -1, math.Inf(1)
	if len(x.order) <= boxFan {
		for i := range x.order {
			if f := far(i); f < d {
				best, d = i, f
			}
		}
		return best, d
	}
	q := &boxQueue{}
	top := len(x.level) - 1
	for i := range x.level[top] {
		heap.Push(q, boxNode{boxDistance(p, &x.level[top][i]), top, i})
	}
	for q.Len() > 0 {
		n := heap.Pop(q).(boxNode)
		if n.d > d || math.IsInf(n.d, 1) {
			break
		}
		if n.level == 0 {
			i := int(x.order[n.at])
			if f := far(i); f < d || f == d && i < best {
				best, d = i, f
			}
			continue
		}
		for i := n.at * boxFan; i < min((n.at+1)*boxFan, len(x.level[n.level-1])); i++ {
			heap.Push(q, boxNode{boxDistance(p, &x.level[n.level-1][i]), n.level - 1, i})
		}
	}
	return best, d
}

// boxDistance is the distance from p to a box, +Inf for an empty one.
func boxDistance(p orb.Point, b *orb.Bound) float64 {
	if b.IsEmpty() {
		return math.Inf(1)
	}
	dx := math.Max(0, math.Max(b.Min[0]-p[0], p[0]-b.Max[0]))
	dy := math.Max(0, math.Max(b.Min[1]-p[1], p[1]-b.Max[1]))
	return math.Hypot(dx, dy)
}

type boxNode struct {
	d         float64
	level, at int
}

// boxQueue is a heap of nodes, the nearest on top.
type boxQueue []boxNode

func (q boxQueue) Len() int           { return len(q) }
func (q boxQueue) Less(i, j int) bool { return q[i].d < q[j].d }
func (q boxQueue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *boxQueue) Push(n any)        { *q = append(*q, n.(boxNode)) }
func (q *boxQueue) Pop() any {
	n := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return n
}
