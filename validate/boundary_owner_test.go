// Plots of two owners.

package validate

import (
	"testing"

	"swardline/schema"
)

// Boundaries of two owners, and what stands outside.
func TestOwners(t *testing.T) {
	lawn := func(far float64) *schema.Feature {
		return thing(schema.RoleZone, "Lawn", box(1, 1, far, 9))
	}
	plot := func(name string, x float64, pairs ...any) *schema.Feature {
		return thing(schema.RoleBoundary, name, box(x, 0, x+20, 10), pairs...)
	}
	const words = "reaches into"
	for _, x := range []struct {
		name string
		list []*schema.Feature
		told bool
	}{
		{"two owners", []*schema.Feature{lawn(30), plot("A", 0, "owner", "Meier"), plot("B", 20, "owner", "Schulz")}, true},
		{"one owner", []*schema.Feature{lawn(30), plot("A", 0, "owner", "Meier"), plot("B", 20, "owner", "meier ")}, false},
		{"no owner", []*schema.Feature{lawn(30), plot("A", 0), plot("B", 20)}, false},
		{"one of two says none", []*schema.Feature{lawn(30), plot("A", 0), plot("B", 20, "client", "Schulz")}, true},
		{"a lawn 4 cm into it", []*schema.Feature{lawn(20.04), plot("A", 0, "owner", "Meier"), plot("B", 20, "owner", "Schulz")}, false},
		{"6 cm", []*schema.Feature{lawn(20.06), plot("A", 0, "owner", "Meier"), plot("B", 20, "owner", "Schulz")}, true},
		{"a corridor", []*schema.Feature{thing(schema.RoleCorridor, "Way", track(5, 5, 25, 5)), lawn(10), plot("A", 0, "owner", "Meier"), plot("B", 20, "owner", "Schulz")}, true},
		{"railway land", []*schema.Feature{lawn(30), plot("A", 0), plot("Railway land", 20)}, true},
		{"Seegrundstück", []*schema.Feature{lawn(30), plot("A", 0), plot("Seegrundstück", 20)}, true},
		{"used as a road", []*schema.Feature{lawn(30), plot("A", 0), plot("B", 20, "use", "road")}, true},
		{"the neighbour's", []*schema.Feature{lawn(30), plot("A", 0), plot("B", 20, "plot", "neighbour")}, true},
		{"a park", []*schema.Feature{lawn(30), plot("A", 0), plot("Park", 20)}, true},
		{"a park, both", []*schema.Feature{lawn(30), plot("West park", 0), plot("East park", 20)}, false},
		{"a park's limit", []*schema.Feature{lawn(30), plot("A", 0), plot("Park limit", 20)}, false},
		{"a park beside", []*schema.Feature{lawn(19), plot("A", 0), plot("Park", 20)}, false},
		{"a school, both", []*schema.Feature{lawn(30), plot("School 1", 0), plot("School 2", 20)}, false},
	} {
		told(t, x.name, RuleBoundaryCrossed, words, x.told, x.list...)
	}
	of := func(owner string) *schema.Feature {
		f := lawn(10)
		f.Attributes.Set("owner", schema.String(owner))
		return f
	}
	told(t, "a lawn of another", RuleBoundaryCrossed, "says that it is", true, of("Schulz"), plot("A", 0, "owner", "Meier"))
	told(t, "a lawn of the same", RuleBoundaryCrossed, "says that it is", false, of("MEIER"), plot("A", 0, "owner", "Meier"))
	told(t, "a boundary of nobody", RuleBoundaryCrossed, "says that it is", false, of("Schulz"), plot("A", 0))

	for _, f := range []*schema.Feature{baseAt(20.002, 5, 3), thing(schema.RoleSupply, "Socket", spot(20.002, 5))} {
		told(t, "outside", RuleBoundaryCrossed, "stands", true, lawn(10), plot("A", 0), f)
	}
	told(t, "50 m off", RuleBoundaryCrossed, "stands", true, lawn(10), plot("A", 0), baseAt(70, 5, 3))
	told(t, "farther", RuleBoundaryCrossed, "stands", false, lawn(10), plot("A", 0), baseAt(70.01, 5, 3))
	told(t, "on the line", RuleBoundaryCrossed, "stands", false, lawn(10), plot("A", 0), baseAt(20.0005, 5, 3))
}

// An outlet on the other side of a road, 10 m from the dock.
func TestCableAcross(t *testing.T) {
	dock := thing(schema.RoleDock, "Dock", spot(0, 0), "heading_deg", 0.0)
	socket := func(x float64) *schema.Feature { return thing(schema.RoleSupply, "Socket", spot(x, 0)) }
	// Round its end at y it is 2 times the way to (3, y) and (7, y).
	road := func(kind string, y float64) *schema.Feature {
		return thing(schema.RoleHazard, "Estate", box(3, -60, 7, y), "hazard_kind", kind)
	}
	const words = "lies beyond"
	for _, x := range []struct {
		name string
		list []*schema.Feature
		told bool
	}{
		{"a road", []*schema.Feature{socket(10), road("road", 60)}, true},
		{"a river", []*schema.Feature{socket(10), road("river", 60)}, true},
		{"a drop", []*schema.Feature{socket(10), road("drop", 60)}, false},
		{"a road that ends 7.41 m off", []*schema.Feature{socket(10), road("road", 7.41)}, false},
		{"a road that ends 7.42 m off", []*schema.Feature{socket(10), road("road", 7.42)}, true},
		{"another outlet on this side", []*schema.Feature{socket(10), socket(-10), road("road", 60)}, false},
		{"this side", []*schema.Feature{socket(2), road("road", 60)}, false},
		{"a line", []*schema.Feature{socket(10), thing(schema.RoleHazard, "Road", track(5, -60, 5, 60), "hazard_kind", "road")}, true},
	} {
		told(t, x.name, RuleCableRun, words, x.told, append([]*schema.Feature{dock}, x.list...)...)
	}
}

func TestBasesOfOneName(t *testing.T) {
	base := func(name string, x float64) *schema.Feature {
		return thing(schema.RoleBase, name, spot(x, 0, 3))
	}
	for _, x := range []struct {
		a, b string
		far  float64
		told bool
	}{
		{"Mast 2024", "Mast 2026", 15, true},
		{"Mast 2024", "Mast 2026", 15.01, false},
		{"Mast", "Mast new 2026", 9, true},
		{"North mast", "South mast", 9, false},
		{"North mast", "South mast", 5, true},
		{"", "", 5.01, false},
	} {
		told(t, x.a+", "+x.b, RuleBaseMissing, "one mast", x.told, base(x.a, 0), base(x.b, x.far))
	}
}
