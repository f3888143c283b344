// Tests of slopes that features say of themselves, and of contours in a lawn.

package validate

import (
	"math"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestSlopeSaid(t *testing.T) {
	limit := schema.DefaultLimits().SlopeMaxPercent
	degrees := math.Atan(limit/100) * 180 / math.Pi
	for _, x := range []struct {
		key   string
		value float64
		told  bool
	}{
		{"slope_percent", limit, false}, {"slope_percent", limit + 0.001, true}, {"slope_percent", -limit - 0.001, true}, {"slope_percent", 2, false},
		{"slope_deg", degrees - 0.001, false}, {"slope_deg", degrees + 0.001, true},
	} {
		for _, f := range []*schema.Feature{
			thing(schema.RoleZone, "f", box(0, 0, 40, 25), x.key, x.value),
			thing(schema.RoleCorridor, "f", geom.NewLineStringFlat(geom.XY, []float64{0, 0, 10, 0}), x.key, x.value),
		} {
			got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RuleSlopeLimit)
			if (len(got) == 1) != x.told || len(got) > 1 || x.told && (got[0].Severity != Error || got[0].Limit != limit) {
				t.Errorf("%s: %s %g: %v", f.Role, x.key, x.value, got)
			}
		}
	}
}

// TestContours lays contours a metre apart in height across the middle of a lawn
// that is even at its outline.
func TestContours(t *testing.T) {
	// 1 m less 0.3 m is 35 % of 2 m.
	for _, x := range []struct {
		apart float64
		told  bool
	}{{1, true}, {1.99, true}, {2.01, false}, {4.9, false}} {
		lawn := thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 10, 60, 0, 10, 60, 60, 10, 0, 60, 10, 0, 0, 10}, []int{15}))
		line := func(y, h float64) *schema.Feature {
			return thing(schema.RoleOther, "Contour", geom.NewLineStringFlat(geom.XYZ, []float64{20, y, h, 30, y, h, 40, y, h}))
		}
		r := Check(driftPlan(t, lawn, line(30, 10), line(30+x.apart, 11)), schema.DefaultLimits())
		if got := only(r, RuleSlopeLimit); (len(got) > 0) != x.told {
			t.Errorf("%g m apart: %v", x.apart, got)
		}
	}
}
