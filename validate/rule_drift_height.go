// Rule on a displacement in height: drift-height.

package validate

import (
	"fmt"
	"math"
)

var driftHeight = Rule{
	Name: RuleDriftHeight, Severity: Warning, Limits: []string{"drift_unchanged_m"}, run: judgeHeight,
	Page: Page{
		What:   "The change in height that comes with the displacement.",
		Why:    "Heights guide nothing on the map, but a base that sank or rose has moved, and slopes are measured from it.",
		Source: "as drift-enters-hazard",
		Fails:  "an antenna 0.1 m lower",
		Passes: "an antenna at its height",
		Mend:   "look at the mast, then measure the base again",
	},
}

func judgeHeight(r *run) { r.drift.height() }

func (d *drift) height() {
	if d.report.Movement.NoHeight {
		d.cannot("heights are missing, so no change in height is told")
		return
	}
	up := float64(d.report.Shift.U)
	if math.Abs(up) <= d.limits.DriftUnchangedM {
		return
	}
	x := d.finding(nil)
	x.Measured, x.Limit, x.Unit = math.Abs(up), d.limits.DriftUnchangedM, "m"
	way := "higher"
	if up < 0 {
		way = "lower"
	}
	x.Message = fmt.Sprintf("heights would be %s %s than planned", metres(math.Abs(up)), way)
}
