// Heights that nobody measured, or that count from the ground: part of the rule
// slope-limit.

package validate

import (
	"fmt"
	"math"

	"swardline/schema"
)

// sayZero is what the page of the rule says of this.
const sayZero = "" +
	"Of a feature that lacks some heights the rest are judged. Altitudes that a KML file clamps to the ground, as it does unless it says otherwise, are no heights of the ground: such a zone or corridor is unchecked, and so are other features within 3 m of those and of docks whose clamped altitudes would lie past step_max_m off all of theirs. "

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

// clampedBeside leaves unchecked a plan in which lawns and ways have heights of
// their own, and what lies on or beside them has altitudes that are clamped to the
// ground or count from it, and would be none of the driven ground's if they were
// meant as they stand.
func (r *run) clampedBeside(zones *solids) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor} {
		for _, f := range r.usableOf(role) {
			if !r.clamped(f) {
				l, h := f.heightRange()
				low, high = min(low, l), max(high, h)
			}
		}
	}
	if low > high {
		return // that is said of each
	}
	var first *Feature
	others := 0
	for _, role := range [...]schema.Role{schema.RoleKeepout, schema.RoleEdge, schema.RoleOther, schema.RoleMark, schema.RoleDock} {
		for _, f := range r.Of(role) {
			if !f.usable() || !r.clamped(f) {
				continue
			}
			off, may := false, r.of(f).StepMaxM
			f.heights(func(h float64) { off = off || h != 0 && (h < low-may-1e-9 || h > high+may+1e-9) })
			if !off || !r.besideDriven(f, zones) {
				continue
			}
			if first == nil {
				first = f
			} else {
				others++
			}
		}
	}
	if first == nil {
		return
	}
	more := ""
	if others > 0 {
		more = fmt.Sprintf(" (and of %d more features)", others)
	}
	r.cannot("the altitudes of %s%s are clamped to the ground or count from it, those of lawns or corridors do not, and as they stand they are no heights of that ground: say altitudeMode absolute where they are heights, and leave them out where not", first.describe(), more)
}
