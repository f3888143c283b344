// Tests of sizes and kinds that a feature says a second time, or of which a line,
// an outline or another role says them.

package validate

import (
	"math"
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// saidOf checks one feature with attributes as JSON values, key and value by
// turns, and returns what property-misnamed tells.
func saidOf(t *testing.T, role schema.Role, g geom.T, attributes ...string) []Finding {
	t.Helper()
	f := thing(role, "f", g)
	f.Attributes.Set(schema.PropRole, schema.String(string(role)))
	for i := 0; i < len(attributes); i += 2 {
		f.Attributes.Set(attributes[i], valueOf(t, attributes[i+1]))
	}
	return only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyMisnamed)
}

func TestSizesOfLinesUnderOtherWords(t *testing.T) {
	line := geom.NewLineStringFlat(geom.XY, []float64{300, 3, 320, 3})
	for _, x := range []struct {
		role  schema.Role
		g     geom.T
		says  []string
		want  string
		grave bool
	}{
		{schema.RoleHazard, line, []string{"Radius_m", `2`}, "called radius_m, not", true},
		{schema.RoleHazard, line, []string{"radius", `2`}, "called radius_m, not", true},
		{schema.RoleHazard, line, []string{"radius_cm", `200`}, "called radius_m, not", true},
		{schema.RoleHazard, line, []string{"diameter_m", `4`}, "half of it", true},
		{schema.RoleHazard, line, []string{"Durchmesser", `4`}, "called radius_m, not", true},
		{schema.RoleHazard, line, []string{"Durchmesser", `"groß"`}, "", false},
		{schema.RoleHazard, line, []string{"span", `4`}, "", false},
		{schema.RoleHazard, line, []string{"length", `20`}, "", false},
		{schema.RoleHazard, line, []string{"radius", `0`}, "", false},
		{schema.RoleHazard, line, []string{"radius", `""`}, "", false},
		{schema.RoleHazard, line, []string{"radius", `"two"`}, "called radius_m, not", true},
		{schema.RoleHazard, line, []string{"width_m", `4`, "radius", `2`}, "", false},
		{schema.RoleHazard, line, []string{"width_m", `4`, "radius", `2.01`}, "called radius_m, not", true},
		{schema.RoleHazard, box(300, 3, 304, 4.5), []string{"Radius_m", `2`}, "called radius_m, not", true},
		{schema.RoleHazard, box(300, 3, 304, 4.5), []string{"radius", `2`}, "called radius_m, not", true},
		// An outline as wide as that says its own size.
		{schema.RoleHazard, box(300, 3, 304, 7), []string{"radius", `2`}, "", false},
		{schema.RoleHazard, box(300, 3, 304, 7), []string{"diameter_m", `4`}, "", false},
		{schema.RoleHazard, box(300, 3, 304, 7), []string{"diameter_m", `5.1`}, "half of it", true},
		{schema.RoleHazard, box(300, 3, 304, 7), []string{"Radius_m", `2`}, "called radius_m, not", true},
		{schema.RoleEdge, line, []string{"edge_kind", `"drop"`, "radius", `1`}, "called radius_m, not", true},
		{schema.RoleEdge, line, []string{"edge_kind", `"wall"`, "Radius_m", `1`}, "called radius_m, not", true},
		{schema.RoleEdge, line, []string{"edge_kind", `"gate"`, "radius", `1`}, "", false},
		{schema.RoleEdge, line, []string{"edge_kind", `"flush"`, "radius", `1`}, "", false},
		// A second size.
		{schema.RoleHazard, line, []string{"width_m", `0.3`, "Width_m", `6`}, "which is more: only width_m is read", true},
		{schema.RoleHazard, line, []string{"width_m", `0.3`, "breite", `6`}, "which is more", true},
		{schema.RoleHazard, line, []string{"width_m", `6`, "Width_m", `0.3`}, "", false},
		{schema.RoleHazard, line, []string{"width_m", `0.3`, "RADIUS_M", `3`}, "called radius_m, not", true},
		{schema.RoleHazard, line, []string{"width_m", `1`, "lanes", `2`}, "", false},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `0.3`, "radius", `3`}, "which is more: only radius_m is read", true},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `3`, "radius", `0.3`}, "", false},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `0.3`, "diameter_m", `6`}, "says 6.00 m, which is more", true},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `3`, "diameter_m", `6`}, "", false},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `3`, "diameter", `"6.2 m"`}, "", false},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `3`, "diameter", `"6.4 m"`}, "which is more", true},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `3`, "radius_cm", `300`}, "", false},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `3`, "radius_cm", `400`}, "which is more", true},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `0.3`, "rayon_m", `3`}, "which is more", true},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `0.3`, "crown_diameter_m", `6`}, "", false},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `0.3`, "Radius_m", `3`}, "only radius_m is read", true},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `0.3`, "size", `{"width": "60 cm"}`}, "", false},
		{schema.RoleHazard, spot(300, 3, 45), []string{"radius_m", `0.3`, "size", `{"width": "80 cm"}`}, "which is more", true},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `1`, "height", `14`}, "which is more: only height_m is read", false},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `12`, "height_cm", `1200`}, "", false},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `12`, "height_ft", `45`}, "which is more", false},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `4`, "storeys", `2`}, "", false},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `4`, "storeys", `3`}, "3 storeys, 6.00 m at the least", false},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `4`, "Traufhöhe", `4`}, "", false},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `4`, "Traufhöhe", `"9 m"`}, "which is more", false},
		{schema.RoleHazard, box(300, 3, 304, 7), []string{"height_m", `1`, "levels", `3`}, "", false},
		{schema.RoleBuilding, box(300, 3, 304, 7), []string{"height_m", `4`, "height", `512`}, "", false}, // an altitude
	} {
		got := saidOf(t, x.role, x.g, x.says...)
		switch {
		case x.want == "" && len(got) > 0:
			t.Errorf("%s %v: told: %s", x.role, x.says, got[0].Message)
		case x.want != "" && (len(got) != 1 || !strings.Contains(got[0].Message, x.want) || (got[0].Severity == Error) != x.grave):
			t.Errorf("%s %v: %v, want %q", x.role, x.says, got, x.want)
		}
	}
}

func TestKindsUnderOtherWords(t *testing.T) {
	line := geom.NewLineStringFlat(geom.XY, []float64{300, 3, 320, 3})
	for _, x := range []struct {
		role schema.Role
		says []string
		want string
	}{
		{schema.RoleHazard, []string{"hazard_kind", `"rock"`, "kind", `"pond"`}, `"kind" says "pond"`},
		{schema.RoleHazard, []string{"hazard_kind", `"rock"`, "type", `"Gartenteich"`}, `"type" says`},
		{schema.RoleHazard, []string{"hazard_kind", `"rock"`, "hazard_kind_2", `"pond"`}, `"hazard_kind_2" says`},
		{schema.RoleHazard, []string{"hazard_kind", `"rock"`, "hazard_knd", `["pond"]`}, `"hazard_knd" says`},
		{schema.RoleHazard, []string{"hazard_kind", `"rock"`, "hazardKind", `"pond"`}, "only hazard_kind is read"},
		{schema.RoleHazard, []string{"hazard_kind", `"road"`, "type", `"car park"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"road"`, "type", `"pond"`}, `"type" says`},
		{schema.RoleHazard, []string{"hazard_kind", `"pond"`, "type", `"lake"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"quay"`, "type", `"water"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"pond"`, "type", `"rock"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"tree"`, "type", `"tree"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"tree"`, "type", `"avenue"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"rock"`, "type", `"LineString"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"lamp"`, "type", `"street lamp"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"post"`, "type", `"water tap"`}, ""},
		{schema.RoleHazard, []string{"hazard_kind", `"thingamabob"`, "type", `"pond"`}, ""}, // held to the widest margin
		{schema.RoleHazard, []string{"hazard_kind", `"rock"`, "description", `"pond"`}, ""},
		{schema.RoleEdge, []string{"edge_kind", `"flush"`, "kind", `"drop"`}, `"kind" says "drop"`},
		{schema.RoleEdge, []string{"edge_kind", `"flush"`, "type", `"drop"`}, `"type" says "drop"`},
		{schema.RoleEdge, []string{"edge_kind", `"flush"`, "edge_type", `"retaining wall"`}, `"edge_type" says`},
		{schema.RoleEdge, []string{"edge_kind", `"flush"`, "type", `"kerb"`}, ""},
		{schema.RoleEdge, []string{"edge_kind", `"flush"`, "type", `"flush wall"`}, ""},
		{schema.RoleEdge, []string{"edge_kind", `"gate"`, "type", `"fence"`}, ""},
		{schema.RoleEdge, []string{"edge_kind", `"kerb"`, "type", `"drop"`}, `"type" says`},
		{schema.RoleEdge, []string{"edge_kind", `"wall"`, "type", `"retaining wall"`}, ""},
		{schema.RoleEdge, []string{"edge_kind", `"drop"`, "type", `"cliff"`}, ""},
		{schema.RoleOther, []string{"hazardKind", `"water"`}, "read of the role hazard alone"},
		{schema.RoleOther, []string{"Hazard_Kind", `"pond"`}, "read of the role hazard alone"},
		{schema.RoleOther, []string{"kind", `"pond"`}, "read of the role hazard alone"},
		{schema.RoleOther, []string{"hazard", `"pond"`}, "read of the role hazard alone"},
		{schema.RoleOther, []string{"kind", `"north arrow"`}, ""},
		{schema.RoleOther, []string{"kind", `"water tap"`}, ""},
		{schema.RoleMark, []string{"hazardKind", `"water"`}, "read of the role hazard alone"},
		{schema.RoleMark, []string{"kind", `"road"`}, "read of the role hazard alone"},
		{schema.RoleMark, []string{"kind", `"stone"`}, ""},
		{schema.RoleOther, []string{"edgeKind", `"drop"`}, "read of the role edge alone"},
		{schema.RoleOther, []string{"hazardKind", `""`}, ""},
	} {
		var g geom.T = line
		if x.role == schema.RoleMark {
			g = spot(300, 3, 45)
		}
		got := saidOf(t, x.role, g, x.says...)
		switch {
		case x.want == "" && len(got) > 0:
			t.Errorf("%s %v: told: %s", x.role, x.says, got[0].Message)
		case x.want != "" && (len(got) != 1 || !strings.Contains(got[0].Message, x.want) || got[0].Severity != Error):
			t.Errorf("%s %v: %v, want %q", x.role, x.says, got, x.want)
		}
	}
}

func TestLengthsInTexts(t *testing.T) {
	for _, x := range []struct {
		key, value string
		want       float64 // NaN for none
	}{
		{"a", `3`, 3}, {"a_cm", `300`, 3}, {"a mm", `300`, 0.3}, {"a_ft", `10`, 3.048}, {"a_ft", `"10 m"`, 10}, {"a", `"0.5 m"`, 0.5}, {"a", `"0,5m"`, 0.5}, {"a", `"50 cm"`, 0.5},
		{"a", `"about 3"`, math.NaN()}, {"a", `"±0.4"`, 0.4}, {"a", `[1,"2 m",null]`, 2}, {"a", `{"b_cm": 40}`, 0.4}, {"a", `true`, math.NaN()}, {"a", `""`, math.NaN()}, {"a", `"1.2.3"`, math.NaN()}, {"m", `2`, 2},
	} {
		got, ok := lengthSaid(x.key, valueOf(t, x.value))
		if ok == math.IsNaN(x.want) || ok && !(math.Abs(got-x.want) < 1e-9) {
			t.Errorf("%s %s: %g %t, want %g", x.key, x.value, got, ok, x.want)
		}
	}
}
