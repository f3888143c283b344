// Rules on zones: zones-overlap, zone-count, zone-missing.

package validate

import (
	"fmt"

	"swardline/schema"
)

var zoneRules = []Rule{
	{
		Name: RuleZonesOverlap, Severity: Warning, Over: all(schema.RoleZone), run: checkZonesOverlap,
		Page: Page{
			What: "The width and the area of the ground that two zones share; the width is the diameter of the largest circle in it. A millimetre is rounding. " +
				"Where several plans are checked at a time, zones of two plans that share ground more than 0.5 m wide are told in both of them, once a plan: which of the two the machine holds is not known. " +
				"Copies of one plan, in whatever formats, are no two plans: as many features of the same roles, limits and measures that rules read, that lie, reach and turn the same within 2 mm (heights within 2 cm, names aside). ",
			Why:    "Shared ground is mown twice, often in two directions, and wears. A little of it joins zones on purpose; more is usually an edge surveyed twice.",
			Source: sourcePractice,
			Fails:  "two lawns that overlap by 0.6 m",
			Passes: "the same lawns with one edge in common",
			Mend:   "give both the same edge; keep an overlap only where the machine is to pass from one to the other",
		},
	},
	{
		Name: RuleZoneCount, Severity: Error, Limits: []string{"max_zones"}, Over: all(schema.RoleZone), run: checkZoneCount,
		Page: Page{
			What:   "The number of active zones.",
			Why:    "Machines hold so many zones and no more; the rest is dropped when the plan is loaded, mostly without a word.",
			Source: sourcePractice,
			Fails:  "21 active zones, limit 20",
			Passes: "the same plan with one of them off",
			Mend:   "join zones that touch, or split the plan between machines",
		},
	},
	{
		Name: RuleZoneMissing, Severity: Error, run: checkZoneMissing,
		Page: Page{
			What:   "Whether the plan has an active zone.",
			Why:    "Without ground to mow, most rules have nothing to judge and find nothing: a plan whose zones were lost on the way, or are all switched off, would look faultless.",
			Source: sourcePractice,
			Fails:  "a plan with a dock, a base and keep-outs, whose zones are all off",
			Passes: "the same plan with one of its zones active",
			Mend:   "look at what became of the zones: the role they were given, the layer they were drawn on, the attribute active",
		},
	},
}

func checkZoneMissing(r *run) {
	if len(r.Of(schema.RoleZone)) > 0 {
		return
	}
	x := r.finding(nil)
	x.Message = "the plan has no zone"
	if n := r.inactiveOf(schema.RoleZone); n > 0 {
		x.Message = fmt.Sprintf("the plan has no active zone: %s switched off", plural(n, "zone")+map[bool]string{true: " is", false: " are"}[n == 1])
	}
}

func checkZonesOverlap(r *run) {
	if !r.onGround() {
		return
	}
	r.overlaps(r.needZones())
}

func checkZoneCount(r *run) {
	n := len(r.Of(schema.RoleZone))
	if n == 0 {
		r.cannot("the plan has no active zone")
		return
	}
	if limit := r.limits.MaxZones; float64(n) > limit {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = float64(n), limit, "count"
		x.Message = fmt.Sprintf("the plan has %s; the limit is %s", plural(n, "active zone"), trim(limit, 0))
	}
}
