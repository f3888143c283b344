// Rule on a displacement and the dock: drift-off-dock.

package validate

import (
	"fmt"
	"math"

	"swardline/schema"
)

var driftOffDock = Rule{
	Name: RuleDriftOffDock, Severity: Error, Limits: []string{"dock_reach_m"}, Over: all(schema.RoleDock), weight: stops, run: judgeOffDock,
	Page: Page{
		What:   "How far off its line-up point the machine stops before it docks, across and along the heading.",
		Why:    "Past the reach of the dock it misses it, and stands in the way with an empty battery.",
		Source: "as drift-enters-hazard",
		Fails:  "a displacement of 0.5 m, reach 0.3 m",
		Passes: "a displacement of 0.1 m",
		Mend:   "set the base right or correct the plan",
	},
}

func judgeOffDock(r *run) { r.drift.offDock() }

func (d *drift) offDock() {
	d.usableOf(schema.RoleDock) // which records what cannot be measured
	for _, dock := range d.docks() {
		off := math.Hypot(d.by[0], d.by[1])
		limit := d.of(dock.f).DockReachM
		if off <= limit {
			continue
		}
		x := d.finding(d.Place(dock.at), dock.f)
		x.Measured, x.Limit, x.Unit = off, limit, "m"
		if math.IsNaN(dock.heading) {
			x.Message = fmt.Sprintf("the machine would line up %s off %s", metres(off), dock.f.describe())
			continue
		}
		u := bearing(dock.heading)
		along := d.by[0]*u[0] + d.by[1]*u[1]
		across := d.by[0]*u[1] - d.by[1]*u[0] // positive to the right of the heading
		side, way := "right", "beyond"
		if across < 0 {
			side = "left"
		}
		if along < 0 {
			way = "short of"
		}
		x.Message = fmt.Sprintf("the machine would stop %s to the %s and %s %s the line-up point of %s, its heading unchanged",
			metres(math.Abs(across)), side, metres(math.Abs(along)), way, dock.f.describe())
	}
}
