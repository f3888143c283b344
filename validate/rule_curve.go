// Rule on drawn curves: curve-coarse. Its page stands with the rules on rings.

package validate

import (
	"fmt"
	"math"

	"swardline/validate/plane"
)

// arcToleranceM is how far points may lie off the circle that is fitted through
// them: the scatter of points surveyed by RTK (common practice, no source).
const arcToleranceM = 0.015

func checkCurveCoarse(r *run) {
	if !r.onGround() {
		return
	}
	asked := false
	for _, f := range r.Features {
		if !curved(f.Role) {
			continue
		}
		asked = true
		s := r.solidOf(f)
		if s.why != "" {
			r.cannot("%s", s.why)
			continue
		}
		limit := r.of(f).CurveChordM
		rule := plane.ArcRule{Tolerance: math.Min(arcToleranceM, limit/2), Least: limit}
		if !(rule.Tolerance > 0) {
			rule.Tolerance = 1e-6
		}
		before := len(r.findings)
		for i, p := range s.areas {
			for k, ring := range p {
				for _, arc := range plane.FitArcs(ring, rule) {
					if arc.Sagitta <= limit+1e-6 {
						continue
					}
					if len(r.findings)-before == mostFindings {
						r.findings[len(r.findings)-1].Message += " (and there are more curves)"
						break
					}
					x := r.finding(r.Place(arc.At), f)
					x.Measured, x.Limit, x.Unit = arc.Sagitta, limit, "m"
					inward := (arc.Turn == plane.Turn(ring)) == (k == 0)
					side := "the drawn outline takes in that much beyond the curve"
					if inward {
						side = "the drawn outline leaves out that much of the curve"
					}
					x.Message = fmt.Sprintf("%s: a curve of radius %s is drawn with %s, which cut %s into it: %s",
						f.ringWords(plane.Where{Polygon: i, Ring: k}), metres(arc.Radius), plural(arc.Count, "point"), metres(arc.Sagitta), side)
				}
			}
		}
	}
	if !asked {
		r.cannot("the plan has no active zone or keepout")
	}
}
