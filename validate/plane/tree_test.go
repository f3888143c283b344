// The indexes against looking at everything.

package plane

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

func randomBoxes(r *rand.Rand, n int) []box {
	boxes := make([]box, n)
	for i := range boxes {
		p := orb.Point{float64(r.IntN(200)), float64(r.IntN(200))}
		boxes[i] = boxOf(p, orb.Point{p[0] + float64(r.IntN(20)), p[1] + float64(r.IntN(20))})
	}
	return boxes
}

func TestBoxTree(t *testing.T) {
	r := rand.New(rand.NewPCG(131, 132))
	for _, n := range []int{0, 1, 2, 4, 5, 16, 17, 300} {
		boxes := randomBoxes(r, n)
		tree := newBoxes(n, func(i int) box { return boxes[i] })
		var got, want [][2]int
		tree.joinSelf(func(i, j int) { got = append(got, [2]int{min(i, j), max(i, j)}) })
		for i := range boxes {
			for j := i + 1; j < n; j++ {
				if boxes[i].meets(&boxes[j]) {
					want = append(want, [2]int{i, j})
				}
			}
		}
		byPair := func(a, b [2]int) int { return slices.Compare(a[:], b[:]) }
		slices.SortFunc(got, byPair)
		if !slices.Equal(got, want) {
			t.Errorf("%d boxes: pairs %v, want %v", n, got, want)
		}
		for range 50 {
			q := randomBoxes(r, 1)[0]
			var got, want []int
			tree.search(&q, func(i int) bool { got = append(got, i); return true })
			for i := range boxes {
				if boxes[i].meets(&q) {
					want = append(want, i)
				}
			}
			slices.Sort(got)
			if !slices.Equal(got, want) {
				t.Errorf("%d boxes: found %v, want %v", n, got, want)
			}
		}
	}
}

// TestTreeJoin holds that the pairs of leaves cover every pair of segments
// whose boxes meet, but for those of one monotone run.
func TestTreeJoin(t *testing.T) {
	r := rand.New(rand.NewPCG(141, 142))
	for k := range 40 {
		var tr tree
		var rings []orb.Ring
		for range 1 + r.IntN(20) {
			ring := jaggedRing(3 + r.IntN(60))
			dx, dy := r.Float64()*300, r.Float64()*300
			for i := range ring {
				ring[i] = orb.Point{ring[i][0] + dx, ring[i][1] + dy}
			}
			rings = append(rings, ring)
			tr.addPath(path{pts: ring, closed: true}, false)
		}
		tr.build()
		type pair [4]int32 // path, segment, path, segment
		seen := make(map[pair]int)
		tr.joinSelf(1<<30, func(a, b int32) bool {
			la, lb := tr.leafs[a], tr.leafs[b]
			for i := la.first; i < la.first+la.count; i++ {
				for j := lb.first; j < lb.first+lb.count; j++ {
					p := pair{la.path, i, lb.path, j}
					if la.path > lb.path || la.path == lb.path && i > j {
						p = pair{lb.path, j, la.path, i}
					}
					seen[p]++
				}
			}
			return true
		})
		for a, ra := range rings {
			for b := a; b < len(rings); b++ {
				rb := rings[b]
				for i := range ra[1:] {
					for j := range rb[1:] {
						if a == b && i >= j {
							continue
						}
						if boxesMeet(ra[i], ra[i+1], rb[j], rb[j+1]) && Cross(ra[i], ra[i+1], rb[j], rb[j+1]).Kind == CrossProper && seen[pair{int32(a), int32(i), int32(b), int32(j)}] == 0 {
							t.Fatalf("figure %d: segments %d of %d and %d of %d cross and were not looked at", k, i, a, j, b)
						}
					}
				}
			}
		}
		for p, n := range seen {
			if most := 1; n > most && !(p[0] == p[2] && n == 2) {
				t.Fatalf("figure %d: %v was looked at %d times", k, p, n)
			}
		}
	}
}
