// Tests of wide things drawn as a point.

package validate

import (
	"strings"
	"testing"

	"swardline/schema"
)

func TestSizelessThings(t *testing.T) {
	for _, x := range []struct {
		kind   string
		off    float64
		radius float64
		under  bool
		asked  bool
	}{
		{"playground", 9.99, 0, false, true}, {"playground", 10.01, 0, false, false}, {"playground", 3, 2, false, false}, {"playground", 3, 0, true, false},
		{"Trampolin", 3, 0, false, true}, {"hedge", 3, 0, false, true}, {"garden sheds", 3, 0, false, true},
		{"lamp post", 3, 0, false, false}, {"mast", 3, 0, false, false}, {"sign", 3, 0, false, false}, {"tree", 3, 0, false, false},
	} {
		f := thing(schema.RoleHazard, "h", spot(40+x.off, 10, 45))
		f.Attributes.Set(schema.PropHazardKind, schema.String(x.kind))
		if x.radius > 0 {
			f.Attributes.Set(schema.PropRadiusM, schema.Float(x.radius))
		}
		features := []*schema.Feature{thing(schema.RoleZone, "z", box(0, 0, 40, 25)), f}
		if x.under {
			features = append(features, thing(schema.RoleKeepout, "k", box(38+x.off, 8, 42+x.off, 12)))
		}
		o := Check(driftPlan(t, features...), schema.DefaultLimits()).Outcome(RuleHazardUncovered)
		if strings.Contains(o.Reason, "some metres drawn as a point") != x.asked {
			t.Errorf("%s %g m off: %s (%s)", x.kind, x.off, o.Outcome, o.Reason)
		}
	}
}
