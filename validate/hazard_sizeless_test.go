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
		{"goal", 9.99, 0, false, true}, {"swings", 3, 0, false, true}, {"Slide", 3, 0, false, true}, {"Schaukel", 3, 0, false, true}, {"columpio", 3, 0, false, true}, {"altalena", 3, 0, false, true},
		{"schommel", 3, 0, false, true}, {"huske", 3, 0, false, true}, {"keinu", 3, 0, false, true}, {"sculpture garden", 3, 0, false, true}, {"garden bench", 1, 0, false, false},
		// Other solid things within 2 m.
		{"rock", 1.99, 0, false, true}, {"rock", 2.01, 0, false, false}, {"rock", 1, 0.4, false, false}, {"rock", 1.5, 0, true, false}, {"lamp and rock", 1, 0, false, true}, {"statue", 1, 0, false, true},
		{"lamp posts", 1, 0, false, false}, {"Lamp-post 3", 1, 0, false, false}, {"bollard", 1, 0, false, false}, {"old stone", 1, 0, false, false}, {"stump", 1, 0, false, false}, {"Gartenlaterne", 1, 0, false, false},
		{"pylväs", 1, 0, false, false}, {"lyktstolpe", 1, 0, false, false}, {"roca", 1, 0, false, true}, {"bench", 0.5, 0, false, false}, {"pond", 1, 0, false, false},
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
		if asked := strings.Contains(o.Reason, "some metres drawn as a point") || strings.Contains(o.Reason, "may be wide, drawn as a point"); asked != x.asked {
			t.Errorf("%s %g m off: %s (%s)", x.kind, x.off, o.Outcome, o.Reason)
		}
	}
}
