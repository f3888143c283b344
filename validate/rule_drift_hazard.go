// Rule on a displacement and hazards: drift-enters-hazard.

package validate

import (
	"swardline/schema"
)

var driftEntersHazard = Rule{
	Name: RuleDriftEntersHazard, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleHazard), against: schema.RoleHazard, weight: stops, run: judgeEnters,
	Page: Page{
		What:   "How far the displaced driven ground reaches into a hazard: the greatest distance inside, and the area. What lay in the hazard before is not counted. A hazard with width_m or radius_m is as large as hazard-uncovered takes it.",
		Why:    "The map on the screen is the same, but the machine now drives into the pond.",
		Source: "rover position = stored base coordinates + measured baseline; derivation in the documentation of the package",
		Fails:  "a zone whose keep-out leaves 0.3 m round a pond, displaced by 0.5 m towards it",
		Passes: "the same zone displaced by 0.2 m",
		Mend:   "take the machine out of work, set the base right or correct the plan, and measure the marks again",
	},
}
