// Pages of the rules on coordinate operations: accuracy-unfit, epoch-unknown.

package validate

import "swardline/schema"

var operationRules = []Rule{
	{
		Name: RuleAccuracyUnfit, Severity: Error, Limits: []string{"accuracy_m"},
		Page: Page{
			What:   "The stated accuracy of the datum step that took the plan's coordinates from one reference system to another.",
			Why:    "A step that is good to two metres puts a plan surveyed to a centimetre two metres off, and it looks perfect on the screen.",
			Source: schema.SourcePractice,
			Fails:  "a plan taken from a national grid to WGS 84 by a step of 2 m accuracy, limit 0.05 m",
			Passes: "the same plan taken by a step of 0.01 m accuracy between two realisations of one frame",
			Mend:   "measure marks and place the plan on them, or use a better step if the agency publishes one",
		},
	},
	{
		Name: RuleEpochUnknown, Severity: Note,
		Page: Page{
			What:   "Whether the epoch of coordinates is known where the step to another frame depends on it.",
			Why:    "Continents move by up to 7 cm a year: coordinates of 2014 and of today differ by half a metre in a frame that stands still.",
			Source: "the time-dependent transformations of the frames' own agencies",
			Fails:  "a plan in ITRF2014 without an epoch, converted to a plate-fixed frame",
			Passes: "the same plan with the epoch 2024.5",
			Mend:   "state the epoch of the survey, or that of the correction service on that day",
		},
	},
}
