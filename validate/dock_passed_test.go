// Docks beside corridors to elsewhere, and outlets on islands in lawns.

package validate

import (
	"testing"

	"swardline/schema"
)

// lawnAt is a lawn of 8 m by 8 m.
func lawnAt(x, y float64) *schema.Feature { return thing(schema.RoleZone, "Lawn", box(x, y, x+8, y+8)) }

// A dock beside the line or the mouth of a corridor between two lawns: half of the
// machine that passes, and half of the one that is parked, 0.3 m each.
func TestDockBesideACorridor(t *testing.T) {
	dock := func(x, y, heading float64, pairs ...any) *schema.Feature {
		return thing(schema.RoleDock, "Dock", spot(x, y), append([]any{"heading_deg", heading, "standoff_m", 2.0}, pairs...)...)
	}
	way := func() *schema.Feature { return thing(schema.RoleCorridor, "Way", track(6, 4, 9, 4, 21, 4, 24, 4)) }
	wide := schema.Object(schema.Attributes{{Key: "machine_width_m", Value: schema.Float(0.8)}})
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a hair nearer than both need", true, []*schema.Feature{way(), dock(15, 4.598, 90)}},
		{"as far as both need", false, []*schema.Feature{way(), dock(15, 4.6, 90)}},
		{"a hair farther", false, []*schema.Feature{way(), dock(15, 4.602, 90)}},
		{"of a wider machine", true, []*schema.Feature{way(), dock(15, 4.698, 90, "limits", wide)}},
		{"of a wider machine, farther off", false, []*schema.Feature{way(), dock(15, 4.7, 90, "limits", wide)}},
		{"at the mouth of the corridor", true, []*schema.Feature{way(), dock(5.8, 4.45, 0)}},
		{"beside its mouth", false, []*schema.Feature{way(), dock(5.8, 4.6, 0)}},
		{"beside its own corridor", false, []*schema.Feature{thing(schema.RoleCorridor, "Way", track(6, 4, 9, 4, 13, 4)), dock(15, 4, 90)}},
	} {
		told(t, x.name, RuleBaseInZone, "which is about as wide", x.told, append(x.list, lawnAt(0, 0), lawnAt(22, 0))...)
	}
	// Dock 2 lines up at 15, 4 and faces north; the machine may line up 0.6 m before that.
	two := func(x float64, pts ...float64) []*schema.Feature {
		return []*schema.Feature{lawnAt(0, 0), lawnAt(22, 0), dock(60, 60, 0), thing(schema.RoleDock, "Dock 2", spot(x, 10), "heading_deg", 0.0, "standoff_m", 6.0),
			thing(schema.RoleCorridor, "Way", track(pts...))}
	}
	along := []float64{6, 4, 9, 4, 14, 4, 14, 9, 8, 14, 21, 18, 21, 4, 24, 4}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"along the way in, a hair nearer than two machines pass", true, two(14.598, along...)},
		{"as far as two pass", false, two(14.602, along...)},
		{"across the way in", true, two(15, 6, 4, 9, 4, 14, 7, 16, 7, 21, 4, 24, 4)},
		{"across before the line-up point", false, two(15, 6, 4, 9, 4, 15, 4, 21, 4, 24, 4)},
		{"where there is one dock alone", false, append(two(14.598, along...)[:2:2], two(14.598, along...)[3:]...)},
	} {
		told(t, x.name, RuleBaseInZone, "drives blind", x.told, x.list...)
	}
	// Two docks side by side, each with its corridor straight in front of it.
	for _, x := range []struct {
		apart float64
		told  bool
	}{{1.5, false}, {0.65, false}, {0.598, true}} {
		told(t, "two docks side by side", RuleBaseInZone, "stands", x.told, lawnAt(6, 0), lawnAt(22, 0),
			dock(10, 20, 0), thing(schema.RoleCorridor, "Way", track(10, 6, 10, 9, 10, 18)),
			thing(schema.RoleDock, "Dock 2", spot(10+x.apart, 20), "heading_deg", 0.0, "standoff_m", 2.0), thing(schema.RoleCorridor, "Way 2", track(10+x.apart, 6, 10+x.apart, 9, 10+x.apart, 18)))
	}
}

func TestOutletOnAnIsland(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 30, 30))
	bed := thing(schema.RoleKeepout, "Bed", box(14, 14, 17, 17))
	rim := thing(schema.RoleKeepout, "Bed", box(14, 14, 31, 17))
	outlet := thing(schema.RoleSupply, "Socket", spot(15, 15))
	at := func(x, y float64) *schema.Feature {
		return thing(schema.RoleDock, "Dock", spot(x, y), "heading_deg", 0.0)
	}
	cable := func(depth float64) *schema.Feature {
		return thing(schema.RoleOther, "Cable", track(15, 15, 15, 32), "driven_over", true, "depth_m", depth)
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a dock beside the lawn", true, []*schema.Feature{lawn, bed, outlet, at(15, 32)}},
		{"a bed that reaches the rim of the lawn", false, []*schema.Feature{lawn, rim, outlet, at(15, 32)}},
		{"an outlet outside in reach too", false, []*schema.Feature{lawn, bed, outlet, at(15, 32), thing(schema.RoleSupply, "Socket 2", spot(10, 33))}},
		{"an outlet outside out of reach", true, []*schema.Feature{lawn, bed, outlet, at(15, 32), thing(schema.RoleSupply, "Socket 2", spot(15, 60))}},
		{"a dock on the lawn against the bed", false, []*schema.Feature{lawn, bed, outlet, at(15, 17.6)}},
		{"a dock on the lawn a hair farther off", true, []*schema.Feature{lawn, bed, outlet, at(15, 17.602)}},
		{"a dock on the island", false, []*schema.Feature{lawn, bed, outlet, at(16, 16)}},
		{"a cable that is deep", false, []*schema.Feature{lawn, bed, outlet, at(15, 32), cable(0.3)}},
		{"a cable that is not", true, []*schema.Feature{lawn, bed, outlet, at(15, 32), cable(0.04)}},
	} {
		told(t, x.name, RuleCableRun, "island", x.told, x.list...)
	}
}
