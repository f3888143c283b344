// Rule on a displacement and buildings: drift-enters-building.

package validate

import "swardline/schema"

var driftEntersBuilding = Rule{
	Name: RuleDriftEntersBuilding, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleBuilding), against: schema.RoleBuilding, weight: stops, run: judgeEnters,
	Page: Page{
		What:   "How far the displaced driven ground reaches into a building: the greatest distance inside, and the area. What lay in the building before is not counted.",
		Why:    "A wall that nobody drew as an edge stops the machine as hard as one that is drawn.",
		Source: "as drift-enters-hazard",
		Fails:  "a zone 0.2 m from a shed, displaced by 0.5 m towards it",
		Passes: "the same zone displaced by 0.1 m",
		Mend:   "take the machine out of work, set the base right or correct the plan, and measure the marks again",
	},
}
