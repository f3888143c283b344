// Rule on a displacement and the boundary: drift-leaves-boundary.

package validate

import (
	"swardline/schema"
)

var driftLeavesBoundary = Rule{
	Name: RuleDriftLeavesBoundary, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleBoundary), against: schema.RoleBoundary, weight: stops, run: judgeEnters,
	Page: Page{
		What:   "How far the displaced driven ground reaches over the property's boundary, and the area beyond it. Where one boundary lies inside another nobody can tell which is the limit, and the rule is never passed.",
		Why:    "A bladed machine on the neighbour's ground or on the pavement.",
		Source: "as drift-enters-hazard",
		Fails:  "a zone 0.2 m inside the boundary, displaced by 0.5 m outwards",
		Passes: "the same zone displaced inwards",
		Mend:   "take the machine out of work, set the base right or correct the plan",
	},
}
