// Tests of corridors over the dock that they lead to, of things that stand where
// nothing can, and of what is off and says what it is.

package validate

import (
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestOverOwnDock(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	dock := thing(schema.RoleDock, "Dock", spot(20, 40), "heading_deg", 0.0, "standoff_m", 2.0) // lines up at 20, 38
	for _, x := range []struct {
		name string
		way  []float64
		told bool
	}{
		{"straight to it", []float64{20, 24, 20, 26, 20, 38}, false},
		{"by a hair past its line-up point", []float64{20, 24, 20, 26, 20, 38.25}, false},
		{"over the dock", []float64{20, 24, 20, 26, 24, 40, 16, 40, 20, 36, 20, 38}, true},
		{"behind it by less than half the machine", []float64{20, 24, 20, 26, 24, 40.298, 16, 40.298, 16, 36, 20, 36, 20, 38}, true},
		{"behind it by more", []float64{20, 24, 20, 26, 24, 40.302, 16, 40.302, 16, 36, 20, 36, 20, 38}, false},
		{"across the way in", []float64{20, 24, 20, 26, 24, 39, 16, 39, 16, 36, 20, 36, 20, 38}, true},
	} {
		way := thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XY, x.way))
		if got := only(Check(driftPlan(t, lawn, dock, way), schema.DefaultLimits()), RuleBaseInZone); (len(got) == 1) != x.told || len(got) > 1 {
			t.Errorf("%s: %v", x.name, got)
		}
	}
}

func TestStandsOnARoad(t *testing.T) {
	for _, x := range []struct {
		kind string
		x    float64
		role schema.Role
		want Severity
	}{
		{"road", 55, schema.RoleBase, Warning}, {"cliff", 55, schema.RoleSupply, Warning}, {"pond", 55, schema.RoleBase, Error},
		{"road", 49.99, schema.RoleBase, ""}, {"road", 55, schema.RoleMark, ""}, {"bench", 55, schema.RoleBase, Warning}, {"flower bed", 55, schema.RoleBase, ""},
	} {
		r := Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), thing(schema.RoleHazard, "H", box(50, 0, 60, 25), "hazard_kind", x.kind),
			thing(x.role, "B", spot(x.x, 5))), schema.DefaultLimits())
		if got := only(r, RuleBaseInZone); (len(got) == 1) != (x.want != "") || len(got) > 1 || x.want != "" && got[0].Severity != x.want {
			t.Errorf("%s %g %s: %v", x.kind, x.x, x.role, got)
		}
	}
}

func TestOffAndSaysWhatItIs(t *testing.T) {
	for _, x := range []struct {
		role schema.Role
		kind string
		told bool
	}{{schema.RoleKeepout, "pond", true}, {schema.RoleOther, "cliff", true}, {schema.RoleKeepout, "bench", false}, {schema.RoleKeepout, "", false}} {
		f := thing(x.role, "No 7", box(5, 5, 8, 8), "hazard_kind", x.kind)
		f.Attributes.Set(schema.PropActive, schema.Bool(false))
		r := Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits())
		if got := only(r, RuleNameContradicts); (len(got) == 1) != x.told {
			t.Errorf("%s %s: %v", x.role, x.kind, got)
		}
	}
}
