// Tests of streets of two kerbs that end at driven ground.

package validate

import (
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// TestStreetsOfKerbs: a lawn from 0 to 40 and 0 to 30 m, or a corridor at x = 0, and two
// kerbs west of it.
func TestStreetsOfKerbs(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 30))
	edge := func(kind, name string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, name, track(xy...), "edge_kind", kind)
	}
	kerb := func(xy ...float64) *schema.Feature { return edge("kerb", "", xy...) }
	pair := func(apart, off float64, more ...*schema.Feature) []*schema.Feature {
		return append([]*schema.Feature{lawn, edge("kerb", "School kerb", -50, 10, -off, 10), edge("kerb", "Edging", -off, 10+apart, -50, 10+apart)}, more...)
	}
	cover := func(x0, y0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleKeepout, "", box(x0, y0, x1, y1))
	}
	path := func(name string) []*schema.Feature {
		return []*schema.Feature{lawn, edge("kerb", name+" north", -50, 13, -1, 13), edge("kerb", name+" south", -50, 10, -1, 10)}
	}
	two := thing(schema.RoleEdge, "", geom.NewMultiLineStringFlat(geom.XY, []float64{-50, 10, -1, 10, -50, 15, -1, 15}, []int{4, 8}), "edge_kind", "kerb")
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		notes    int
	}{
		{"2.99 m apart", pair(2.99, 0.5), 0},
		{"3 m apart", pair(3, 0.5), 1},
		{"15 m apart", pair(15, 0.5), 1},
		{"15.01 m apart", pair(15.01, 0.5), 0},
		{"14.99 m off", pair(6, 14.99), 1},
		{"15.01 m off", pair(6, 15.01), 0},
		{"before a corridor", append(pair(6, 2)[1:], thing(schema.RoleCorridor, "Way", track(0, 0, 0, 30))), 1},
		{"on both sides of the lawn", pair(6, 2, kerb(42, 10, 70, 10), kerb(42, 16, 70, 16)), 2},
		{"two lines of one edge", []*schema.Feature{lawn, two}, 1},
		{"into the lawn, under keep-outs", []*schema.Feature{lawn, kerb(-50, 10, 4, 10), kerb(-50, 16, 4, 16), cover(0, 9.6, 4.4, 10.4), cover(0, 15.6, 4.4, 16.4)}, 1},
		{"within the lawn", []*schema.Feature{lawn, kerb(2, 10, 12, 10), kerb(2, 16, 12, 16), cover(1.6, 9.6, 12.4, 10.4), cover(1.6, 15.6, 12.4, 16.4)}, 0},
		{"as long as they are apart", []*schema.Feature{lawn, kerb(-8, 10, -2, 10), kerb(-8, 16, -2, 16)}, 1},
		{"not quite", []*schema.Feature{lawn, kerb(-7.99, 10, -2, 10), kerb(-8, 16, -2, 16)}, 0},
		{"one kerb", pair(6, 2)[:2], 0},
		{"along the lawn", []*schema.Feature{lawn, kerb(-50, -0.5, 20, -0.5), kerb(-50, -6, 20, -6)}, 0},
		{"45 degrees aslant", []*schema.Feature{lawn, kerb(-50, 10, -8, 10), kerb(-50, 16, -2.1, 16)}, 1},
		{"47 degrees aslant", []*schema.Feature{lawn, kerb(-50, 10, -8, 10), kerb(-50, 16, -1.55, 16)}, 0},
		{"31 degrees from one another", []*schema.Feature{lawn, kerb(-50, 10, -2, 10), kerb(-12, 22.01, -2, 16)}, 0},
		{"29 degrees from one another", []*schema.Feature{lawn, kerb(-50, 10, -2, 10), kerb(-12, 21.54, -2, 16)}, 1},
		{"a path", path("Path kerb"), 0},
		{"a kerb of a road", path("Mill kerb"), 1},
		{"a yard between", pair(6, 2, thing(schema.RoleOther, "Yard", box(-50, 10, -2, 16), "driven_over", true)), 0},
		{"a yard between, 2 m short of the end", pair(6, 2, thing(schema.RoleOther, "Yard", box(-50, 10, -4, 16), "driven_over", true)), 0},
		{"a yard between, 5 m short of the end", pair(6, 2, thing(schema.RoleOther, "Yard", box(-50, 10, -7, 16), "driven_over", true)), 1},
		{"a road that is drawn", pair(6, 2, thing(schema.RoleHazard, "Dead end", box(-50, 10, -2, 16), "hazard_kind", "road")), 0},
		{"a kerb across the end", pair(6, 2, kerb(-2, 10, -2, 16)), 0},
		{"a wall across", pair(6, 2, edge("wall", "", -1, 8, -1, 18)), 0},
		{"a wall across the half of it", pair(6, 2, edge("wall", "", -1, 8, -1, 13.5)), 1},
		{"a house", pair(6, 8, thing(schema.RoleBuilding, "Garage", box(-7, 9, -2, 17))), 0},
		{"which go round a corner", pair(6, 8, kerb(-8, 10, -8, -20), kerb(-8, 16, -8, 50)), 0},
		{"one of which goes round a corner 0.49 m off", pair(6, 8, kerb(-7.51, 10, -7.51, -20)), 0},
		{"a keep-out ahead, 1.49 m deep", pair(6, 0.2, cover(0, 5, 1.49, 20)), 1},
		{"a keep-out ahead, 1.51 m deep", pair(6, 0.2, cover(0, 5, 1.51, 20)), 0},
		{"a keep-out 1.49 m ahead", pair(6, 1.49, cover(0, 5, 5, 20)), 0},
		{"a keep-out 1.51 m ahead", pair(6, 1.51, cover(0, 5, 5, 20)), 1},
	} {
		notedIn(t, x.name, RuleEdgeSetback, "whether a street goes on", x.notes, x.features...)
	}
}
