// Cars that cross a lawn without a drive: wheel tracks, gates and garages.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestWheelTracks(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	garage := thing(schema.RoleBuilding, "Garage", box(8, 26, 16, 32))
	road := thing(schema.RoleHazard, "Road", box(0, -6, 40, -0.5), "hazard_kind", "road")
	slab := func(x0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleOther, "Paving", box(x0, -0.4, x1, y1), "driven_over", true)
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"two tracks", true, []*schema.Feature{slab(10, 10.6, 25), slab(11.5, 12.1, 25)}},
		{"as wide as one may be", true, []*schema.Feature{slab(10, 11, 25), slab(12, 12.6, 25)}},
		{"a hair wider", false, []*schema.Feature{slab(10, 11.01, 25), slab(12, 12.6, 25)}},
		{"as near as may be", true, []*schema.Feature{slab(10, 10.6, 25), slab(10.9, 11.5, 25)}},
		{"nearer", false, []*schema.Feature{slab(10, 10.6, 25), slab(10.89, 11.5, 25)}},
		{"as far apart as may be", true, []*schema.Feature{slab(10, 10.6, 25), slab(12.4, 13, 25)}},
		{"farther", false, []*schema.Feature{slab(10, 10.6, 25), slab(12.41, 13, 25)}},
		{"one that ends in the lawn", false, []*schema.Feature{slab(10, 10.6, 25), slab(11.5, 12.1, 15)}},
		{"one path", false, []*schema.Feature{slab(10, 10.6, 25)}},
	} {
		told(t, x.name, RuleOtherInZone, "as the tracks of wheels do", x.told, append(x.list, lawn, garage, road)...)
	}
}

// carThings draws what cars come in by and go to.
type carThings struct{}

func (carThings) gate(name string, x, y, wide float64) *schema.Feature {
	return thing(schema.RoleEdge, name, track(x, y, x+wide, y), "edge_kind", "gate")
}

func (carThings) fence(y float64) *schema.Feature {
	return thing(schema.RoleEdge, "Fence", track(-20, y, 60, y), "edge_kind", "fence", "height_m", 1.2)
}

func (carThings) garage(name string, y float64) *schema.Feature {
	return thing(schema.RoleBuilding, name, box(8, y, 14, y+5))
}

func (carThings) road(y0, y1 float64) *schema.Feature {
	return thing(schema.RoleHazard, "Road", box(-20, y0, 60, y1), "hazard_kind", "road")
}

func TestGatesFacing(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	d := carThings{}
	yard := func(y0, y1 float64) *schema.Feature {
		return thing(schema.RoleKeepout, "Yard", box(4, y0, 24, y1))
	}
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"two gates", true, []*schema.Feature{d.gate("South gate", 10, -1, 4), d.gate("North gate", 10, 26, 4)}},
		{"as wide as for cars", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("North gate", 10, 26, 3)}},
		{"one a hair narrower", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("North gate", 10, 26, 2.99)}},
		{"narrower, for cars by its name", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("North car gate", 10, 26, 2.3)}},
		{"too narrow for any", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("North car gate", 10, 26, 2.29)}},
		{"narrower, on a road", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("North gate", 10, 26, 2.3), d.road(32, 38)}},
		{"a road farther off", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("North gate", 10, 26, 2.3), d.road(32.01, 38)}},
		{"far off the lawn", true, []*schema.Feature{d.gate("South gate", 10, -20, 4), d.gate("North gate", 10, 45, 4)}},
		{"as far apart as may be", true, []*schema.Feature{d.gate("South gate", 10, -100, 4), d.gate("North gate", 10, 50, 4)}},
		{"farther apart", false, []*schema.Feature{d.gate("South gate", 10, -100, 4), d.gate("North gate", 10, 50.01, 4)}},
		{"aslant, within 30 degrees", true, []*schema.Feature{d.gate("South gate", 5, -1, 4), d.gate("North gate", 20.5, 26, 4)}},
		{"farther to the side", false, []*schema.Feature{d.gate("South gate", 5, -1, 4), d.gate("North gate", 20.7, 26, 4)}},
		{"side by side", false, []*schema.Feature{d.gate("South gate", 10, -1, 4), d.gate("Lane gate", 20, -1, 4)}},
		{"one gate", false, []*schema.Feature{d.gate("South gate", 10, -1, 4)}},
		{"a keep-out over most of the way", true, []*schema.Feature{d.gate("South gate", 10, -1, 4), d.gate("North gate", 10, 26, 4), yard(1, 25)}},
		{"over all but a hair less", false, []*schema.Feature{d.gate("South gate", 10, -1, 4), d.gate("North gate", 10, 26, 4), yard(0.99, 25)}},
		{"a house between", false, []*schema.Feature{d.gate("South gate", 10, -5, 4), d.gate("North gate", 10, 26, 4), thing(schema.RoleBuilding, "House", box(4, -3, 24, -1))}},
		{"a fence between", false, []*schema.Feature{d.gate("South gate", 10, -5, 4), d.gate("North gate", 10, 26, 4), d.fence(-2)}},
		{"a drive at one", false, []*schema.Feature{d.gate("South gate", 10, -5, 4), d.gate("North gate", 10, 26, 4), thing(schema.RoleOther, "Drive", box(10, -5, 14, -3))}},
		{"beside the lawn", false, []*schema.Feature{d.gate("South gate", 50, -1, 4), d.gate("North gate", 50, 26, 4)}},
		{"beside it, a corridor across", true, []*schema.Feature{d.gate("South gate", 50, -1, 4), d.gate("North gate", 50, 26, 4), thing(schema.RoleCorridor, "Way", track(35, 10, 60, 10))}},
		{"beside it, a corridor through them", false, []*schema.Feature{d.gate("South gate", 50, -1, 4), d.gate("North gate", 50, 26, 4), thing(schema.RoleCorridor, "Way", track(52, -5, 52, 30))}},
		{"a mast as near as may be", true, []*schema.Feature{d.gate("South gate", 50, -10, 4), d.gate("North gate", 50, 26, 4), thing(schema.RoleBase, "Mast", spot(53.5, 10), "antenna_height_m", 3.0)}},
		{"a mast out of the way", false, []*schema.Feature{d.gate("South gate", 50, -10, 4), d.gate("North gate", 50, 26, 4), thing(schema.RoleBase, "Mast", spot(53.51, 10), "antenna_height_m", 3.0)}},
	} {
		told(t, x.name, RuleOtherInZone, "both are as wide as cars need", x.told, append(x.list, lawn)...)
	}
}

func TestCarsToGarages(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	d := carThings{}
	drive := func(role schema.Role, name string, wide, y0, y1 float64, pairs ...any) *schema.Feature {
		return thing(role, name, box(10, y0, 10+wide, y1), pairs...)
	}
	slab := func(wide, y0, y1 float64) *schema.Feature {
		return drive(schema.RoleOther, "Paving", wide, y0, y1, "driven_over", true)
	}
	lane := thing(schema.RoleHazard, "Lane", box(0, 32, 40, 35), "hazard_kind", "road")
	boundary := thing(schema.RoleBoundary, "Property", box(-30, -30, 70, 70))
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"a gate and a garage", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.garage("Garage", 26)}},
		{"a narrow gate", false, []*schema.Feature{d.gate("South gate", 10, -1, 2.99), d.garage("Garage", 26)}},
		{"and a barn", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.garage("Barn", 26)}},
		{"and a house", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.garage("House", 26)}},
		{"and a house, the gate on a road", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.garage("House", 26), d.road(-9, -6)}},
		{"and a hut, the gate on a road", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), thing(schema.RoleBuilding, "Hut", box(8, 26, 11, 29.9)), d.road(-9, -6)}},
		{"and a car park", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), thing(schema.RoleHazard, "Visitors", box(8, 26, 30, 32), "hazard_kind", "car park")}},
		{"and a carport that is only drawn", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), thing(schema.RoleOther, "Carport", box(8, 26, 14, 32))}},
		{"a garage with a road of its own", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.garage("Garage", 26), lane}},
		{"another gate with a free way", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("West gate", 10, 40, 3), d.garage("Garage", 26)}},
		{"another gate behind a fence", true, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.gate("West gate", 10, 40, 3), d.garage("Garage", 26), d.fence(35)}},
		{"a fence before the lawn", false, []*schema.Feature{d.gate("South gate", 10, -5, 3), d.garage("Garage", 26), d.fence(-1)}},
		{"the gate in a fence", true, []*schema.Feature{d.gate("South gate", 10, -5, 3), d.garage("Garage", 26), d.fence(-5)}},
		{"a drive and a garage", true, []*schema.Feature{d.road(-9, -6), slab(3, -6, -0.1), d.garage("Garage", 26)}},
		{"far behind the lawn", true, []*schema.Feature{d.road(-9, -6), slab(3, -6, -0.1), d.garage("Garage", 60)}},
		{"a drive on both sides of the lawn", true, []*schema.Feature{d.road(-9, -6), drive(schema.RoleOther, "Drive", 3, -6, -1), drive(schema.RoleOther, "Drive 2", 3, 26, 30), d.garage("Garage", 30)}},
		{"a drive on the far side alone, and a gate", true, []*schema.Feature{boundary, d.gate("South gate", 10, -5, 3), drive(schema.RoleOther, "Drive", 3, 26, 30), d.garage("Garage", 30)}},
		{"a drive that comes from outside of the site", false, []*schema.Feature{boundary, d.gate("South gate", 10, -5, 3), drive(schema.RoleOther, "Drive", 3, 31, 71), d.garage("Garage", 26)}},
		{"a road and a garage", true, []*schema.Feature{d.road(-9, -6), d.garage("Garage", 26)}},
		{"a road and a barn", false, []*schema.Feature{d.road(-9, -6), d.garage("Barn", 26)}},
		{"a road, fenced", false, []*schema.Feature{d.road(-9, -6), d.garage("Garage", 26), d.fence(-3)}},
		{"a road, the garage's corner past the lawn", false, []*schema.Feature{d.road(-9, -6), thing(schema.RoleBuilding, "Garage", box(38, 26, 44, 31))}},
		{"a keep-out as the drive", false, []*schema.Feature{d.gate("South gate", 10, -1, 3), d.garage("Garage", 26), drive(schema.RoleKeepout, "Drive", 3, -1, 26)}},
	} {
		told(t, x.name, RuleOtherInZone, "draw the way that cars take to it", x.told, append(x.list, lawn)...)
	}
	kerb := thing(schema.RoleEdge, "Kerb", track(-20, -3, 60, -3), "edge_kind", "kerb", "height_m", 0.12)
	ramp := func(wide float64) *schema.Feature {
		return thing(schema.RoleEdge, "Ramp", track(10, -3, 10+wide, -3), "edge_kind", "ramp")
	}
	const draw = "draw the way that cars take to it"
	told(t, "a dropped kerb on the road", RuleOtherInZone, "edge \"Ramp\"", false, lawn, kerb, ramp(2.3), d.road(-9, -3), d.garage("Barn", 26), d.fence(-1))
	told(t, "a dropped kerb and a barn", RuleOtherInZone, draw, true, lawn, kerb, ramp(2.3), d.road(-9, -3), d.garage("Barn", 26))
	told(t, "a narrower one", RuleOtherInZone, draw, false, lawn, kerb, ramp(2.29), d.road(-9, -3), d.garage("Barn", 26))
	told(t, "far from the road", RuleOtherInZone, draw, false, lawn, kerb, ramp(2.3), d.road(-9, -6.01), d.garage("Barn", 26))
	told(t, "the machine's own", RuleOtherInZone, draw, false, lawn, kerb, ramp(2.3), d.road(-9, -3), d.garage("Barn", 26), thing(schema.RoleCorridor, "Way", track(11, 2, 11, -5)))
}

func TestGateMouths(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	d := carThings{}
	const opens = "is as wide as cars need, and "
	told(t, "a gate for cars", RuleOtherInZone, opens, true, lawn, d.gate("Car gate", 10, -3.98, 2.3))
	told(t, "narrower", RuleOtherInZone, opens, false, lawn, d.gate("Car gate", 10, -1, 2.29))
	told(t, "farther off", RuleOtherInZone, opens, false, lawn, d.gate("Car gate", 10, -4, 3))
	told(t, "a gate for who knows whom", RuleOtherInZone, opens, false, lawn, d.gate("South gate", 10, -1, 3))
	told(t, "on a road", RuleOtherInZone, opens, true, lawn, d.gate("South gate", 10, -1, 3), d.road(-9, -7))
	told(t, "the machine's own", RuleOtherInZone, opens, false, lawn, d.gate("South gate", 10, -1, 3), d.road(-9, -7), thing(schema.RoleCorridor, "Way", track(11, 2, 11, -5)))
	told(t, "a drive at it", RuleOtherInZone, opens, false, lawn, d.gate("Car gate", 10, -1, 3), thing(schema.RoleOther, "Drive", box(10, -6, 13, -1)))
	told(t, "a house before the lawn", RuleOtherInZone, opens, false, lawn, d.gate("Car gate", 10, -3, 3), thing(schema.RoleBuilding, "House", box(0, -2, 40, -0.5)))

	far := thing(schema.RoleZone, "Lawn", box(0, 50, 40, 75))
	mast := func(x, y float64) *schema.Feature {
		return thing(schema.RoleBase, "Mast", spot(x, y), "antenna_height_m", 3.0)
	}
	gate := d.gate("Gate", 10, 0, 4)
	way := func(y float64) *schema.Feature { return thing(schema.RoleCorridor, "Way", track(0, y, 30, y)) }
	told(t, "a mast behind it", RuleOtherInZone, opens, true, far, gate, mast(12, 3.99))
	told(t, "a mast before it", RuleOtherInZone, opens, true, far, gate, mast(12, -3.99))
	told(t, "farther behind", RuleOtherInZone, opens, false, far, gate, mast(12, 4))
	told(t, "within its width", RuleOtherInZone, opens, true, far, gate, mast(13.99, 1))
	told(t, "beside its post", RuleOtherInZone, opens, false, far, gate, mast(14, 1))
	told(t, "on a house behind it", RuleOtherInZone, opens, false, far, gate, mast(12, 3), thing(schema.RoleBuilding, "House", box(5, 2, 20, 10)))
	told(t, "an outlet", RuleOtherInZone, opens, true, far, gate, thing(schema.RoleSupply, "Outlet", spot(12, 2)))
	told(t, "a dock whose machine reaches in", RuleOtherInZone, opens, true, far, gate, thing(schema.RoleDock, "Dock", spot(14.29, 2), "heading_deg", 90.0))
	told(t, "a dock beside", RuleOtherInZone, opens, false, far, gate, thing(schema.RoleDock, "Dock", spot(14.3, 2), "heading_deg", 90.0))
	told(t, "a corridor across", RuleOtherInZone, opens, true, far, gate, way(5.99))
	told(t, "a corridor past", RuleOtherInZone, opens, false, far, gate, way(6.01))

	const swings = "nearer than its leaf is wide"
	small := d.gate("Garden gate", 10, 0, 1.2)
	told(t, "a mast behind a garden gate", RuleOtherInZone, swings, true, far, small, mast(10.6, 1.19))
	told(t, "on its other side", RuleOtherInZone, swings, true, far, small, mast(10.6, -1.19))
	told(t, "past its leaf", RuleOtherInZone, swings, false, far, small, mast(10.6, 1.2))
	told(t, "at its post", RuleOtherInZone, swings, false, far, small, mast(11.2, 0.5))
	told(t, "a narrow one, where people walk", RuleOtherInZone, swings, true, far, d.gate("Gate", 10, 0, 0.6), mast(10.3, 0.79))
	told(t, "past that", RuleOtherInZone, swings, false, far, d.gate("Gate", 10, 0, 0.6), mast(10.3, 0.8))
}

func TestHouseWallsBeside(t *testing.T) {
	house := thing(schema.RoleBuilding, "House", box(30, 0, 40, 10))
	wall := func(name string, off float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(30, -off, 40, -off), "edge_kind", "wall")
	}
	told(t, "a house's south wall beside it", RuleNameContradicts, "one of the two lies elsewhere", true, house, wall("House wall south", 0.302))
	told(t, "on it", RuleNameContradicts, "one of the two lies elsewhere", false, house, wall("House wall south", 0.3))
}
