// Tests of switches under other names, and of members of a plan that hold what
// is drawn.

package validate

import (
	"encoding/json"
	"strings"
	"testing"

	"swardline/schema"
)

func valueOf(t *testing.T, text string) schema.Value {
	t.Helper()
	var v schema.Value
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return v
}

func TestSwitchWords(t *testing.T) {
	for _, x := range []struct {
		key, value string
		off        bool
	}{
		{"off", `true`, true}, {"off", `"yes"`, true}, {"off", `false`, false}, {"off", `1`, false}, {"off", `0.5`, false},
		{"on", `false`, true}, {"on", `"off"`, true}, {"on", `true`, false}, {"on", `"Tuesday"`, false}, {"on", `0`, false},
		{"in_use", `false`, true}, {"in use", `"no"`, true}, {"in_use", `true`, false},
		{"isActive", `0`, true}, {"isActive", `1`, false}, {"is_enabled", `"FALSE"`, true},
		{"switched_off", `true`, true}, {"deactivated", `1`, true}, {"deactivated", `0`, false},
		{"ausgeschaltet", `"ja"`, true}, {"désactivé", `true`, true}, {"aktiviert", `"nein"`, true},
		{"on/off", `"off"`, true}, {"status", `"inactive"`, true}, {"status", `"surveyed"`, false}, {"state", `null`, false},
		{"closed", `true`, false}, {"visible", `false`, false}, {"use", `"lawn"`, false},
	} {
		for _, role := range []schema.Role{schema.RoleZone, schema.RoleBase, schema.RoleHazard} {
			f := thing(role, "f", box(0, 0, 40, 25))
			if role != schema.RoleZone {
				f = thing(role, "f", spot(3, 4, 45))
			}
			f.Attributes.Set(x.key, valueOf(t, x.value))
			told := func() (out []Finding) {
				for _, y := range Check(driftPlan(t, f), schema.DefaultLimits()).Findings {
					if y.Rule == RuleSwitchUnfit {
						out = append(out, y)
					}
				}
				return out
			}
			got := told()
			if (len(got) == 1) != x.off || len(got) > 1 {
				t.Errorf("%s: %s %s: %d findings", role, x.key, x.value, len(got))
			}
			for _, y := range got {
				if (y.Severity == Error) != (role != schema.RoleHazard) || !strings.Contains(y.Message, quote(x.key)) {
					t.Errorf("%s: %s %s: %s %s", role, x.key, x.value, y.Severity, y.Message)
				}
			}
			f.Attributes.Set(schema.PropActive, schema.Bool(true))
			if got := told(); len(got) > 1 || len(got) == 1 && !strings.Contains(got[0].Message, "only active is read") || len(got) == 1 != x.off {
				t.Errorf("%s: %s %s: active is said: %v", role, x.key, x.value, got)
			}
		}
	}
}

func TestMembersDrawn(t *testing.T) {
	const pond = `{"type": "Feature", "properties": {"role": "hazard"}, "geometry": {"type": "Point", "coordinates": [9, 56]}}`
	for _, x := range []struct{ key, value, want string }{
		{"hazards", `[` + pond + `]`, `"hazards" holds 1 feature`},
		{"Features", `[` + pond + `, ` + pond + `]`, `"Features" holds 2 features`},
		{"keepouts", `{"type": "FeatureCollection", "features": [` + pond + `]}`, `"keepouts" holds 1 feature`},
		{"layers", `{"water": [[` + pond + `]]}`, `"layers" holds 1 feature`},
		{"pond", `{"type": "Polygon", "coordinates": [[[9,56],[9.1,56],[9,56.1],[9,56]]]}`, `"pond" holds 1 geometry`},
		{"ponds", `[{"type": "Point", "coordinates": [9,56]}, {"type": "Point", "coordinates": [9,56]}]`, `"ponds" holds 2 geometries`},
		{"extent", `{"type": "Polygon", "coordinates": [[[9,56],[9.1,56],[9,56.1],[9,56]]]}`, ""},
		{"bbox", `[9, 56, 10, 57]`, ""},
		{"extent", `[` + pond + `]`, `"extent" holds 1 feature`},
		{"note", `"Feature"`, ""},
		{"schema", `{"type": "Feature", "properties": ["a"]}`, ""},
		{"legend", `[{"type": "Polygon", "colour": "green"}]`, ""},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)))
		p.Attributes.Set(x.key, valueOf(t, x.value))
		got := ""
		for _, y := range Check(p, schema.DefaultLimits()).Findings {
			if y.Rule == RulePropertyMisnamed {
				got += y.Message
				if y.Severity != Error {
					t.Errorf("%s: only a %s", x.key, y.Severity)
				}
			}
		}
		if x.want == "" && got != "" || !strings.Contains(got, x.want) {
			t.Errorf("%s %s: %q, want %q", x.key, x.value, got, x.want)
		}
	}
}

// TestSwitchedTwice: active: true beside another word for it.
func TestSwitchedTwice(t *testing.T) {
	for _, x := range []struct {
		key, value, active string
		told               bool
	}{
		{"enabled", `false`, `true`, true}, {"enabled", `"nein"`, `true`, true}, {"enabled", `true`, `true`, false}, {"enabled", `"ja"`, `true`, false},
		{"disabled", `true`, `true`, true}, {"disabled", `false`, `true`, false}, {"inactive", `1`, `true`, true},
		{"Active", `false`, `true`, true}, {"aktiv", `false`, `true`, true}, {"aktiv", `"ja"`, `true`, false},
		{"off", `true`, `true`, true}, {"in_use", `"no"`, `"yes"`, false}, {"suspended", `true`, `true`, true}, {"suspended", `false`, `true`, false},
		{"enabled", `false`, `false`, false},
	} {
		f := thing(schema.RoleKeepout, "f", box(0, 0, 40, 25))
		f.Attributes.Set(schema.PropActive, valueOf(t, x.active))
		f.Attributes.Set(x.key, valueOf(t, x.value))
		n := 0
		for _, y := range Check(driftPlan(t, f), schema.DefaultLimits()).Findings {
			if y.Rule == RuleSwitchUnfit && strings.Contains(y.Message, "only active is read") {
				n++
			}
		}
		if (n == 1) != x.told {
			t.Errorf("active %s, %s %s: %d findings", x.active, x.key, x.value, n)
		}
	}
}

// TestLawnsThatAreOff: a lawn of 40 by 20 m with one over it that is switched off.
func TestLawnsThatAreOff(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 20))
	off := func(x0, y0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleZone, "Meadow", box(x0, y0, x1, y1), "active", false)
	}
	bed := func(x0, y0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleKeepout, "Bed", box(x0, y0, x1, y1))
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		told     bool
	}{
		{"a piece", []*schema.Feature{lawn, off(5, 5, 15, 15)}, true},
		{"half of it", []*schema.Feature{lawn, off(0, 0, 19.999, 20)}, true},
		{"a hair more", []*schema.Feature{lawn, off(0, 0, 20.01, 20)}, false},
		{"half outside", []*schema.Feature{lawn, off(30, 5, 49.999, 15)}, true},
		{"more outside", []*schema.Feature{lawn, off(30, 5, 50.01, 15)}, false},
		{"beside it", []*schema.Feature{lawn, off(40, 0, 60, 20)}, false},
		{"under a keep-out", []*schema.Feature{lawn, off(5, 5, 15, 15), bed(5, 5, 15, 15)}, false},
		{"half under a keep-out", []*schema.Feature{lawn, off(5, 5, 15, 15), bed(5, 5, 9.99, 15)}, true},
		{"more under a keep-out", []*schema.Feature{lawn, off(5, 5, 15, 15), bed(5, 5, 10.01, 15)}, false},
	} {
		got := only(Check(driftPlan(t, x.features...), schema.DefaultLimits()), RuleSwitchUnfit)
		if (len(got) == 1) != x.told || len(got) == 1 && !(got[0].AreaM2 > 0 && strings.Contains(got[0].Message, "mown all the same")) {
			t.Errorf("%s: %v", x.name, got)
		}
	}
}
