// What bases, docks and outlets stand in.

package validate

import (
	"testing"

	"swardline/schema"
)

// What a base, a dock or an outlet stands within.
func TestBaseUnder(t *testing.T) {
	hazard := func(kind string) *schema.Feature {
		return thing(schema.RoleHazard, "Thing", box(0, 0, 4, 4), "hazard_kind", kind)
	}
	other := func(name string) *schema.Feature { return thing(schema.RoleOther, name, box(0, 0, 4, 4)) }
	base := func(x float64) *schema.Feature { return baseAt(x, 2, 3) }
	outlet := func(x float64) *schema.Feature { return thing(schema.RoleSupply, "Socket", spot(x, 2)) }
	dock := func(x float64) *schema.Feature {
		return thing(schema.RoleDock, "Dock", spot(x, 2), "heading_deg", 0.0)
	}
	for _, x := range []struct {
		name string
		f, h *schema.Feature
		told bool
	}{
		{"a base in a swing", base(3.999), hazard("swing"), true},
		{"on its edge", base(4), hazard("swing"), false},
		{"past it", base(4.001), hazard("swing"), false},
		{"in a pond that is called after a playground, which is told as water", base(2), thing(schema.RoleHazard, "Playground", box(0, 0, 4, 4), "hazard_kind", "pond"), false},
		{"in a tent", base(2), hazard("tent"), true},
		{"in a tree", base(2), hazard("tree"), true},
		{"in a flower bed", base(2), hazard("flower bed"), false},
		{"in a bush", base(2), hazard("bush"), false},
		{"an outlet in a playground", outlet(2), hazard("playground"), true},
		{"an outlet beside one", outlet(4.001), hazard("playground"), false},
		{"an outlet in a tree", outlet(2), hazard("tree"), false},
		{"an outlet in a garage", outlet(2), other("Garage"), false},
		{"a base under a roof", base(3.999), other("Roof"), true},
		{"a base beside a roof", base(4.001), other("Roof"), false},
		{"a base in a wood", base(2), other("Stadtwald"), true},
		{"a base on a terrace", base(2), other("Terrace"), false},
		{"a base on a parcel", base(2), other("Parcel 12/2"), false},
		{"a base on a playground that is only drawn", base(2), other("Playground"), true},
		{"a dock in a hall", dock(2), other("Halle 2"), true},
		{"a dock on a yard", dock(2), other("Yard"), false},
	} {
		told(t, x.name, RuleBaseInZone, "stands within", x.told, x.f, x.h)
	}
}
