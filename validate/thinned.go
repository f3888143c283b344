// Lines thinned to a stated chord: walked outlines and what was driven over.

package validate

import (
	"github.com/paulmach/orb"
)

// straightened leaves out points of a ring or line that stand no farther than
// tolerance from the line without them (Douglas and Peucker 1973). A ring is
// cut at its point farthest from its first.
func straightened(pts []orb.Point, tolerance float64) []orb.Point {
	if len(pts) < 3 {
		return pts
	}
	keep := make([]bool, len(pts))
	last := len(pts) - 1
	keep[0], keep[last] = true, true
	stack := [][2]int{{0, last}}
	if pts[0] == pts[last] {
		far := 0
		for i := range pts {
			if distance(pts[i], pts[0]) > distance(pts[far], pts[0]) {
				far = i
			}
		}
		keep[far] = true
		stack = [][2]int{{0, far}, {far, last}}
	}
	for len(stack) > 0 {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		at, most := -1, tolerance
		for i := s[0] + 1; i < s[1]; i++ {
			if d, _, _ := offLine(pts[i], pts[s[0]], pts[s[1]]); d > most {
				at, most = i, d
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{s[0], at}, [2]int{at, s[1]})
		}
	}
	var out []orb.Point
	for i, k := range keep {
		if k {
			out = append(out, pts[i])
		}
	}
	return out
}
