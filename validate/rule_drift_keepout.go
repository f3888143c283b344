// Rule on a displacement and keep-outs: drift-enters-keepout.

package validate

import (
	"swardline/schema"
)

var driftEntersKeepout = Rule{
	Name: RuleDriftEntersKeepout, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleKeepout), against: schema.RoleKeepout, run: judgeKeepouts,
	Page: Page{
		What:   "How far the displaced driven ground reaches into a keep-out as it lies on the ground.",
		Why:    "A keep-out is drawn round something. The drawing moves with the base, the thing does not.",
		Source: "as drift-enters-hazard",
		Fails:  "any keep-out in a zone displaced by more than the limit",
		Passes: "a displacement within the limit",
		Mend:   "set the base right or correct the plan",
	},
}

func judgeKeepouts(r *run) { r.err = r.drift.keepouts() }

func (d *drift) keepouts() error {
	for _, f := range d.Of(schema.RoleKeepout) {
		s := d.solidOf(f)
		if s.why != "" {
			continue // noted when the driven ground was computed
		}
		o := driftObstacle{f: f, solid: s.areas}
		if err := d.enters(&o); err != nil {
			return err
		}
	}
	return nil
}
