// An index over boxes in no order - rings, parts, features - so that what lies
// near something is found without looking at everything.

package plane

import (
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"
)

// Boxes is a packed tree of boxes: leaves sorted along a Hilbert curve, fan to
// a node. It is read-only once built and safe to share. An empty box is near
// nothing.
type Boxes struct {
	item  []int32
	box   []box
	level []int
}

// NewBoxes builds the index of the boxes.
func NewBoxes(boxes []orb.Bound) *Boxes {
	return newBoxes(len(boxes), func(i int) box {
		b := &boxes[i]
		return box{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}
	})
}

// sorting is memory in which boxes are sorted.
type sorting struct {
	boxes []box
	keys  []uint64
}

var sortings = sync.Pool{New: func() any { return new(sorting) }}

// mostSorting is how many boxes its memory is kept for.
const mostSorting = 1 << 12

func newBoxes(n int, at func(i int) box) *Boxes {
	t := &Boxes{}
	if n == 0 {
		return t
	}
	nodes, levels := n, 2
	for m := n; m > 1; levels++ {
		m = (m + fan - 1) / fan
		nodes += m
	}
	t.item, t.box, t.level = make([]int32, n), make([]box, 0, nodes), make([]int, 0, levels)
	w := sortings.Get().(*sorting)
	w.boxes, w.keys = slices.Grow(w.boxes[:0], n), slices.Grow(w.keys[:0], n)
	boxes, key := w.boxes[:n], w.keys[:n]
	all := at(0)
	for i := range boxes {
		boxes[i] = at(i)
		all.join(&boxes[i])
	}
	for i, b := range boxes {
		key[i] = uint64(hilbert(cellOf(b.minX/2+b.maxX/2, all.minX, all.maxX), cellOf(b.minY/2+b.maxY/2, all.minY, all.maxY)))<<32 | uint64(i)
	}
	slices.Sort(key)
	for k, at := range key {
		t.item[k] = int32(uint32(at))
		t.box = append(t.box, boxes[t.item[k]])
	}
	if n <= mostSorting {
		sortings.Put(w)
	}
	t.level = append(t.level, 0, n)
	for n > 1 {
		below := t.level[len(t.level)-2]
		m := (n + fan - 1) / fan
		for i := range m {
			b := t.box[below+fan*i]
			for c := fan*i + 1; c < min(fan*i+fan, n); c++ {
				b.join(&t.box[below+c])
			}
			t.box = append(t.box, b)
		}
		t.level = append(t.level, len(t.box))
		n = m
	}
	return t
}

// search calls visit with every item whose box meets b, until visit returns
// false.
func (t *Boxes) search(b *box, visit func(i int) bool) {
	if len(t.item) > 0 {
		t.searchNode(len(t.level)-2, 0, b, visit)
	}
}

func (t *Boxes) searchNode(level, i int, b *box, visit func(i int) bool) bool {
	if !t.box[t.level[level]+i].meets(b) {
		return true
	}
	if level == 0 {
		return visit(int(t.item[i]))
	}
	n := t.level[level] - t.level[level-1]
	for c := fan * i; c < min(fan*i+fan, n); c++ {
		if !t.searchNode(level-1, c, b, visit) {
			return false
		}
	}
	return true
}

// joinSelf calls pair with every two items whose boxes meet, each two once.
func (t *Boxes) joinSelf(pair func(i, j int)) {
	if len(t.item) > 0 {
		t.joinNode(len(t.level)-2, 0, pair)
	}
}

func (t *Boxes) joinNode(level, i int, pair func(i, j int)) {
	if level == 0 {
		return
	}
	lo, hi := fan*i, min(fan*i+fan, t.level[level]-t.level[level-1])
	for a := lo; a < hi; a++ {
		t.joinNode(level-1, a, pair)
		for b := a + 1; b < hi; b++ {
			t.joinNodes(level-1, a, b, pair)
		}
	}
}

func (t *Boxes) joinNodes(level, a, b int, pair func(i, j int)) {
	base := t.level[level]
	if !t.box[base+a].meets(&t.box[base+b]) {
		return
	}
	if level == 0 {
		pair(int(t.item[a]), int(t.item[b]))
		return
	}
	n, below := t.level[level]-t.level[level-1], t.level[level-1]
	for c := fan * a; c < min(fan*a+fan, n); c++ {
		if !t.box[below+c].meets(&t.box[base+b]) {
			continue
		}
		for d := fan * b; d < min(fan*b+fan, n); d++ {
			t.joinNodes(level-1, c, d, pair)
		}
	}
}

// Search appends to dst the indexes of the boxes that meet the box, ascending.
func (t *Boxes) Search(in orb.Bound, dst []int) []int {
	start := len(dst)
	b := box{in.Min[0], in.Min[1], in.Max[0], in.Max[1]}
	t.search(&b, func(i int) bool {
		if dst == nil {
			dst = make([]int, 0, 8)
		}
		dst = append(dst, i)
		return true
	})
	slices.Sort(dst[start:])
	return dst
}

// Nearest returns the index for which far is least, -1 when far gives nothing
// below +Inf. far must not be less than the distance from p to the box of the
// index; of equals the lowest index is returned.
func (t *Boxes) Nearest(p orb.Point, far func(i int) float64) (best int, d float64) {
	best, d = -1, math.Inf(1)
	if len(t.item) == 0 {
		return best, d
	}
	t.nearest(len(t.level)-2, 0, p, far, &best, &d)
	return best, d
}

// nearest goes down from a node, to the nearer of those below first.
func (t *Boxes) nearest(level, at int, p orb.Point, far func(i int) float64, best *int, d *float64) {
	if level == 0 {
		i := int(t.item[at])
		if f := far(i); f < *d || f == *d && i < *best {
			*best, *d = i, f
		}
		return
	}
	below := t.level[level-1]
	first := fan * at
	n := min(first+fan, t.level[level]-below) - first
	var off [fan]float64
	for c := range n {
		off[c] = t.box[below+first+c].distance(p)
	}
	for range n {
		c := 0
		for k := 1; k < n; k++ {
			if off[k] < off[c] {
				c = k
			}
		}
		if off[c] > *d || math.IsInf(off[c], 1) {
			return
		}
		off[c] = math.Inf(1)
		t.nearest(level-1, first+c, p, far, best, d)
	}
}

// distance is the least distance from p to the box, +Inf for an empty one.
func (b *box) distance(p orb.Point) float64 {
	dx := max(b.minX-p[0], 0, p[0]-b.maxX)
	dy := max(b.minY-p[1], 0, p[1]-b.maxY)
	// No rounding may make a box farther than what it holds.
	return math.Sqrt(dx*dx+dy*dy) * (1 - 4e-16)
}
