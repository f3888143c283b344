// Tests of how well something was measured, said twice.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestMeasuredTwice(t *testing.T) {
	for _, x := range []struct {
		key, value, other, says string
		told                    int
	}{
		{"fix", `"fixed"`, "fix_type", `"float"`, 1},
		{"fix", `"fixed"`, "fix_type", `"fixed"`, 0},
		{"fix", `"fixed"`, "status", `"float"`, 1},
		{"fix", `"fixed"`, "status", `"mown"`, 0},
		{"sigma", `0.01`, "accuracy_m", `0.9`, 1},
		{"sigma", `0.01`, "accuracy_m", `0.05`, 0},
		{"sigma", `0.01`, "hrms", `0.051`, 0},
		{"note", `"x"`, "accuracy_m", `0.02`, 0},
		{"note", `"x"`, "accuracy_m", `0.9`, 1},
		{"note", `"x"`, "fix_type", `"fixed"`, 0},
		{"note", `"x"`, "fix_type", `"float"`, 1},
	} {
		f := thing(schema.RoleZone, "f", box(0, 0, 40, 25))
		f.Attributes.Set(x.key, valueOf(t, x.value))
		f.Attributes.Set(x.other, valueOf(t, x.says))
		if got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyMisnamed); len(got) != x.told {
			t.Errorf("%s %s beside %s %s: %v", x.key, x.value, x.other, x.says, got)
		}
	}
}
