// An index over a few boxes in no order: rings, parts.

package plane

import "slices"

// boxTree is a packed tree of boxes: leaves sorted along a Hilbert curve, fan to a node.
type boxTree struct {
	item  []int32
	box   []box
	level []int
}

func newBoxTree(n int, at func(i int) box) *boxTree {
	t := &boxTree{item: make([]int32, n), box: make([]box, 0, n+n/2+8)}
	if n == 0 {
		return t
	}
	boxes := make([]box, n)
	key := make([]uint32, n)
	all := at(0)
	for i := range boxes {
		boxes[i] = at(i)
		all.join(&boxes[i])
		t.item[i] = int32(i)
	}
	for i, b := range boxes {
		key[i] = hilbert(cellOf(b.minX/2+b.maxX/2, all.minX, all.maxX), cellOf(b.minY/2+b.maxY/2, all.minY, all.maxY))
	}
	slices.SortStableFunc(t.item, func(i, j int32) int { return int(key[i]) - int(key[j]) })
	for _, i := range t.item {
		t.box = append(t.box, boxes[i])
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

// search calls visit with every item whose box meets b, until visit returns false.
func (t *boxTree) search(b *box, visit func(i int) bool) {
	if len(t.item) > 0 {
		t.searchNode(len(t.level)-2, 0, b, visit)
	}
}

func (t *boxTree) searchNode(level, i int, b *box, visit func(i int) bool) bool {
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
func (t *boxTree) joinSelf(pair func(i, j int)) {
	if len(t.item) > 0 {
		t.joinNode(len(t.level)-2, 0, pair)
	}
}

func (t *boxTree) joinNode(level, i int, pair func(i, j int)) {
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

func (t *boxTree) joinNodes(level, a, b int, pair func(i, j int)) {
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
