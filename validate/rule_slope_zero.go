// Heights that nobody measured: part of the rule slope-limit.

package validate

import "swardline/schema"

// leastEven is how many heights have to be the same before they are taken for
// what a program fills in.
const leastEven = 4

// neverMeasured leaves unchecked what has no height but 0, as drawing programs
// and phones fill in where none was measured, and a plan in which the antenna of
// the base and all ground have one and the same.
func (r *run) neverMeasured() {
	even, count, level := true, 0, 0.0
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor} {
		for _, f := range r.usableOf(role) {
			if low, high := f.heightRange(); low < high {
				even = false
				continue
			}
			zeros, others := 0, 0
			f.heights(func(h float64) {
				if h == 0 {
					zeros++
				} else {
					others++
				}
				if count == 0 {
					level = h
				}
				even, count = even && h == level, count+1
			})
			if zeros > 1 && others == 0 && !r.clamped(f) {
				r.cannot("every height of %s is 0, which is what stands there when none was measured: measure them, or leave them out", f.describe())
			}
		}
	}
	if !even || count < leastEven || level == 0 {
		return
	}
	for _, f := range r.usableOf(schema.RoleBase) {
		if len(f.Points) > 0 && f.Points[0].Height == level && !r.clamped(f) {
			r.cannot("%s has its antenna at %s, and so is all ground driven: one height was filled in, and none was measured", f.describe(), metres(level))
			return
		}
	}
}
