// Rule on a displacement and its own zone: drift-leaves-zone.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var driftLeavesZone = Rule{
	Name: RuleDriftLeavesZone, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleZone), run: judgeLeavesZones,
	Page: Page{
		What:   "How far a displaced zone reaches out of all zones, and the area outside.",
		Why:    "The machine mows a strip of what is not lawn on one side and leaves one on the other.",
		Source: "as drift-enters-hazard",
		Fails:  "any zone displaced by more than the limit, unless another zone takes it up",
		Passes: "a displacement within the limit",
		Mend:   "set the base right or correct the plan",
	},
}

func judgeLeavesZones(r *run) { r.err = r.drift.leavesZones() }

// strays is how far a displaced zone gets out of all zones, in metres, where,
// and over how many square metres; all is the outline of the zones.
func (d *drift) strays(z drivenZone, all *plane.Locator) (at orb.Point, far, area float64, err error) {
	out, err := plane.Difference(moved(z.area, d.by), d.driven.allZones)
	if err != nil {
		return at, 0, 0, err
	}
	if area = plane.Area(out); area <= nothingM2 {
		return at, 0, 0, nil
	}
	// No point gets farther than it moves, for it came from inside.
	at, far = farthest(out, all, math.Hypot(d.by[0], d.by[1]))
	return at, far, area, nil
}

func (d *drift) leavesZones() error {
	all := plane.NewLocator(d.driven.allZones)
	for _, z := range d.driven.zones {
		at, far, area, err := d.strays(z, all)
		if err != nil {
			return err
		}
		limit := d.of(z.f).DriftUnchangedM
		if far <= limit {
			continue
		}
		x := d.finding(d.Place(at), z.f)
		x.Measured, x.Limit, x.Unit, x.AreaM2 = far, limit, "m", area
		x.Message = fmt.Sprintf("the machine would drive %s out of %s, over %s", metres(far), z.f.describe(), squareMetres(area))
	}
	return nil
}
