// Tests of things whose drawing says how high they stand.

package validate_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestExtrudedHidesSky: a building that is extruded from heights above the ground hides
// what one of that height_m does, however high the ground lies.
func TestExtrudedHidesSky(t *testing.T) {
	shed := func(z, height float64, mode string, extrude bool) string {
		p := park()
		x := p.get("g1")
		x.props = nil
		x.z = func(orb.Point) float64 { return z }
		if mode != "" {
			x.set("altitude_mode", schema.String(mode)).set("extrude", schema.Bool(extrude))
		} else {
			x.z = nil
		}
		if height > 0 {
			x.set("height_m", num(height))
		}
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		o := r.Outcome(validate.RuleSkyBlocked)
		all := fmt.Sprint(o.Outcome, o.Reason)
		for _, f := range r.Findings {
			if f.Rule == validate.RuleSkyBlocked {
				all += f.Message
			}
		}
		return all
	}
	high, low := shed(0, 30, "", false), shed(0, 3, "", false)
	if high == low {
		t.Fatal("a shed of 30 m hides what one of 3 m does")
	}
	for _, x := range []struct {
		name      string
		z, height float64
		mode      string
		extrude   bool
		want      string
	}{
		{"extruded", 30, 0, "relativeToGround", true, high},
		{"extruded less than it says", 3, 30, "relativeToGround", true, high},
		{"extruded more than it says", 30, 3, "relativeToGround", true, high},
		{"hung above the ground", 30, 3, "relativeToGround", false, low},
		{"neither", 30, 0, "relativeToGround", false, shed(0, 0, "", false)},
		{"flat", 0, 0, "relativeToGround", true, shed(0, 0, "", false)},
	} {
		if got := shed(x.z, x.height, x.mode, x.extrude); got != x.want {
			t.Errorf("%s:\n got %s\nwant %s", x.name, got, x.want)
		}
	}
}
