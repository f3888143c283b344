// Rule on a displacement and edges: drift-crosses-edge.

package validate

import (
	"swardline/schema"
)

var driftCrossesEdge = Rule{
	Name: RuleDriftCrossesEdge, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleEdge), against: schema.RoleEdge, weight: stops, run: judgeEnters,
	Page: Page{
		What:   "How far the displaced driven ground reaches over a wall, kerb, fence or drop. Flush edges, ramps and gates are driven over and do not count; nor does an edge where a ramp or gate opens it as edge-setback says: up to opening_max_m of it, and of a drop only what lies within passage_min_m of where a corridor goes over. An edge with width_m is as wide as that.",
		Why:    "The machine runs into the wall or over the drop.",
		Source: "as drift-enters-hazard",
		Fails:  "a zone 0.1 m from a wall, displaced by 0.3 m towards it",
		Passes: "the same zone displaced along the wall",
		Mend:   "take the machine out of work, set the base right or correct the plan",
	},
}
