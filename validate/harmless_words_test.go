// Words and tags that say what is there and no more, each beside its dangerous twin.

package validate

import (
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// TestHarmlessNames: what ordinary gardens call their things passes, and one word more
// or another role is told.
func TestHarmlessNames(t *testing.T) {
	line := func(role schema.Role, name string, x float64, pairs ...any) *schema.Feature {
		return thing(role, name, geom.NewLineStringFlat(geom.XY, []float64{x, -5, x, 30}), pairs...)
	}
	cable := func(name string, pairs ...any) *schema.Feature {
		return line(schema.RoleOther, name, 10, append([]any{"role", "other"}, pairs...)...)
	}
	area := func(role schema.Role, name string, pairs ...any) *schema.Feature {
		return thing(role, name, box(5, 5, 8, 8), pairs...)
	}
	over := func(name string, pairs ...any) *schema.Feature {
		return area(schema.RoleOther, name, append([]any{"driven_over", true}, pairs...)...)
	}
	for _, x := range []struct {
		f    *schema.Feature
		rule string
		told bool
	}{
		{area(schema.RoleHazard, "Swimming pool", "hazard_kind", "pool"), RuleWordsUnread, false},
		{over("Swimming pool"), RuleNameContradicts, true},
		{area(schema.RoleHazard, "Compost heap", "hazard_kind", "compost"), RuleWordsUnread, false},
		{area(schema.RoleZone, "Compost heap"), RuleWordsUnread, true},
		{over("Gravel path"), RuleWordsUnread, false},
		{over("Gravel"), RuleWordsUnread, true},
		{over("Gravel pit"), RuleNameContradicts, true},
		{thing(schema.RoleHazard, "Pommier", spot(5, 5), "hazard_kind", "tree", "radius_m", 0.3), RuleWordsUnread, false},
		{thing(schema.RoleHazard, "Pommiers", spot(5, 5), "hazard_kind", "tree", "radius_m", 0.3), RuleWordsUnread, true},
		{line(schema.RoleEdge, "Bordure", 10, "edge_kind", "flush"), RuleNameContradicts, false},
		{line(schema.RoleEdge, "Bordure du jardin nord 2", 10, "edge_kind", "flush"), RuleNameContradicts, false},
		{line(schema.RoleEdge, "Bordure de trottoir", 10, "edge_kind", "flush"), RuleNameContradicts, true},
		{line(schema.RoleEdge, "Bordure haute", 10, "edge_kind", "flush"), RuleNameContradicts, true},
		{over("Manhole lid", "note", "flush"), RuleNameContradicts, false},
		{over("Manhole lid"), RuleNameContradicts, true},
		{over("Manhole", "note", "flush"), RuleNameContradicts, true},
		{over("Manhole without lid", "note", "flush"), RuleNameContradicts, true},
		{area(schema.RoleOther, "Manhole lid", "note", "flush"), RuleNameContradicts, true},
		{cable("Garden cable", "depth_m", 0.6), RuleOtherInZone, false},
		{cable("Garden cable", "depth_m", 0.05), RuleOtherInZone, false},
		{over("Low voltage cable", "depth_m", 0.6), RuleWordsUnread, false},
		{over("Low cable", "depth_m", 0.6), RuleWordsUnread, true},
		{cable("Garden cable", "depth_m", 0.048), RuleOtherInZone, true},
		{cable("Garden cable", "depth_m", 0.6, "driven_over", false), RuleOtherInZone, true},
		{cable("Garden cable"), RuleOtherInZone, true},
		{line(schema.RoleOther, "Trench", 10, "depth_m", 0.6), RuleNameContradicts, true},
		{line(schema.RoleOther, "Weg", 41), RuleWordsUnread, false},
		{line(schema.RoleOther, "Weg 2", 41), RuleWordsUnread, false},
		{line(schema.RoleOther, "Zaun weg", 41), RuleWordsUnread, true},
		{line(schema.RoleOther, "weg", 41), RuleWordsUnread, true},
		{line(schema.RoleHazard, "Weg", 41, "hazard_kind", "hedge"), RuleWordsUnread, true},
		{over("Manhole lid flush"), RuleNameContradicts, false},
		{over("Manhole flush"), RuleNameContradicts, true},
		{area(schema.RoleZone, "Platz 1"), RuleWordsUnread, false},
		{area(schema.RoleKeepout, "Raised bed 1"), RuleWordsUnread, false},
		{area(schema.RoleHazard, "Composter", "hazard_kind", "composter"), RuleWordsUnread, false},
		{area(schema.RoleHazard, "Access road", "hazard_kind", "road"), RuleWordsUnread, false},
		{area(schema.RoleHazard, "Pond almost", "hazard_kind", "pond"), RuleWordsUnread, true},
		{line(schema.RoleEdge, "Spectator rail", 41, "edge_kind", "fence"), RuleNameContradicts, false},
		{line(schema.RoleEdge, "Rail", 41, "edge_kind", "fence", "height_m", 0.5), RuleNameContradicts, false},
		{line(schema.RoleEdge, "Rail", 41, "edge_kind", "fence", "height_m", 0.49), RuleNameContradicts, true},
		{line(schema.RoleEdge, "Rail", 41, "edge_kind", "fence"), RuleNameContradicts, true},
		{area(schema.RoleZone, "Long lawn", "id", "z1"), RuleWordsUnread, false},
		{area(schema.RoleZone, "Long lawn", "id", "lawn-2"), RuleWordsUnread, false},
		{area(schema.RoleZone, "Long lawn", "id", "pond-lawn"), RuleWordsUnread, false},
		{area(schema.RoleZone, "Long lawn", "id", "9f3c1a52-77b0-4d1e-9a43-0c2b7d11e6aa"), RuleWordsUnread, false},
		{area(schema.RoleZone, "Long lawn", "id", "do-not-use"), RuleWordsUnread, true},
		{area(schema.RoleZone, "Long lawn", "id", "DRAFT-1"), RuleWordsUnread, true},
		{area(schema.RoleZone, "Long lawn", "id", "tmp_demolished"), RuleWordsUnread, true},
		{area(schema.RoleZone, "Long lawn", "id", "zone-superseded"), RuleWordsUnread, true},
		{area(schema.RoleZone, "Long lawn", "id", "pond"), RuleWordsUnread, true},
		{area(schema.RoleKeepout, "Pond", "id", "pond"), RuleWordsUnread, false},
		{line(schema.RoleCorridor, "Way", 10, "id", "drive"), RuleWordsUnread, false},
		{line(schema.RoleCorridor, "Way", 10, "id", "road"), RuleWordsUnread, true},
		{thing(schema.RoleHazard, "Melo", spot(5, 5), "hazard_kind", "tree", "radius_m", 0.3), RuleWordsUnread, false},
		{thing(schema.RoleHazard, "Meli", spot(5, 5), "hazard_kind", "tree", "radius_m", 0.3), RuleWordsUnread, true},
		{thing(schema.RoleHazard, "Äppelträd", spot(5, 5), "hazard_kind", "tree", "radius_m", 0.3), RuleWordsUnread, false},
		{line(schema.RoleCorridor, "Söder till norr", 10), RuleWordsUnread, false},
		{area(schema.RoleZone, "Östlig till ån"), RuleWordsUnread, true},
		{area(schema.RoleZone, "Østlig plæne"), RuleWordsUnread, false},
		{area(schema.RoleZone, "Plæne Ø 4"), RuleWordsUnread, true},
		{area(schema.RoleKeepout, "Stepping stones"), RuleWordsUnread, false},
		{area(schema.RoleZone, "Stepping stones"), RuleWordsUnread, true},
		{area(schema.RoleBuilding, "House", "note", "see the house plan", "height_m", 4.0), RuleWordsUnread, false},
		{area(schema.RoleBuilding, "House", "note", "see the plan of the well", "height_m", 4.0), RuleWordsUnread, true},
		{thing(schema.RoleBase, "Mât maison", spot(45, 5)), RuleWordsUnread, false},
		{thing(schema.RoleBase, "Mât mobile", spot(45, 5)), RuleWordsUnread, true},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "Long lawn", box(0, 0, 40, 25)), x.f)
		if got := only(Check(p, schema.DefaultLimits()), x.rule); (len(got) > 0) != x.told {
			t.Errorf("%s %q: %s: %v", x.f.Role, x.f.Name, x.rule, got)
		}
	}
	p := driftPlan(t, thing(schema.RoleZone, "Long lawn", box(0, 0, 40, 25)))
	for method, told := range map[string]bool{"similarity": false, "similarity?": true, "guesswork": true} {
		p.Attributes.Set(schema.PlanPlacement, schema.Object(schema.Attributes{{Key: "method", Value: schema.String(method)}, {Key: "rms_m", Value: schema.Float(0.004)}}))
		if got := only(Check(p, schema.DefaultLimits()), RuleWordsUnread); (len(got) > 0) != told {
			t.Errorf("%s: %v", method, got)
		}
	}
}

// TestRetainingWalls: a wall that stands above the lawns by its heights holds back what
// is behind it, and any other may be a drop.
func TestRetainingWalls(t *testing.T) {
	lawn := func(z float64) *schema.Feature {
		return thing(schema.RoleZone, "Long lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, z, 40, 0, z, 40, 25, z, 0, 25, z, 0, 0, z}, []int{15}))
	}
	wall := func(kind string, pairs ...any) *schema.Feature {
		return thing(schema.RoleEdge, "Retaining wall", geom.NewLineStringFlat(geom.XYZ, []float64{42, 0, 50, 42, 25, 50}), append([]any{"edge_kind", kind}, pairs...)...)
	}
	for name, x := range map[string]struct {
		lawn, wall *schema.Feature
		told       bool
	}{
		"at its foot":         {lawn(50), wall("wall", "height_m", 1.0), false},
		"a hair above":        {lawn(50.029), wall("wall", "height_m", 1.0), false},
		"more above":          {lawn(50.031), wall("wall", "height_m", 1.0), true},
		"on top":              {lawn(51), wall("wall", "height_m", 1.0), true},
		"no height":           {lawn(50), wall("wall"), true},
		"as low as a step":    {lawn(50), wall("wall", "height_m", 0.15), true},
		"a lawn of no height": {thing(schema.RoleZone, "Long lawn", box(0, 0, 40, 25)), wall("wall", "height_m", 1.0), true},
		"a drop":              {lawn(50), wall("drop", "height_m", 1.0), true},
	} {
		got := only(Check(driftPlan(t, x.lawn, x.wall), schema.DefaultLimits()), RuleWordsUnread)
		if told := len(got) > 0 && strings.Contains(got[0].Message, "retaining"); told != x.told {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// TestLayersOfThings: a drawing files its things in layers by what they are, and a layer
// that says no more is not told; one that says more, or something else, is.
func TestLayersOfThings(t *testing.T) {
	tree := func() *schema.Feature {
		return thing(schema.RoleHazard, "f", spot(50, 5), "hazard_kind", "tree", "radius_m", 0.3)
	}
	pond := func() *schema.Feature { return thing(schema.RoleHazard, "f", box(50, 5, 55, 8), "hazard_kind", "pond") }
	house := func() *schema.Feature { return thing(schema.RoleBuilding, "f", box(60, 5, 66, 12)) }
	bed := func() *schema.Feature { return thing(schema.RoleKeepout, "f", box(5, 5, 8, 8)) }
	edge := func(kind string) func() *schema.Feature {
		return func() *schema.Feature {
			return thing(schema.RoleEdge, "f", geom.NewLineStringFlat(geom.XY, []float64{42, 0, 42, 25}), "edge_kind", kind)
		}
	}
	kerb, fence, drop, flush := edge("kerb"), edge("fence"), edge("drop"), edge("flush")
	lawn := func() *schema.Feature { return thing(schema.RoleZone, "f", box(0, 30, 40, 45)) }
	for _, x := range []struct {
		of    func() *schema.Feature
		layer string
		told  bool
	}{
		{tree, "TREES", false}, {tree, "L-PLNT-TREE", false}, {tree, "Bäume", false}, {tree, "HAZARDS", false}, {tree, "WATER", true}, {tree, "Trees ?", true}, {tree, "TREES_APPROX", true}, {tree, "TREES REMOVED", true}, {tree, "quicksand", true},
		{pond, "WATER", false}, {pond, "Gewässer", false}, {pond, "ROADS", false}, {pond, "WATER ESTIMATED", true},
		{house, "BUILDINGS", false}, {house, "A-BLDG", false}, {house, "Gebäude", false}, {house, "WATER", true}, {house, "POOLS", true}, {house, "PLANNED BUILDINGS", true},
		{bed, "NO_MOWING", false}, {bed, "KEEPOUTS", false}, {bed, "NO-GO", false}, {bed, "Sperrflächen", false}, {bed, "FLOWER_BEDS", false}, {bed, "KEEPOUTS DRAFT", true},
		{kerb, "KERBS", false}, {kerb, "C-ROAD-CURB", false}, {kerb, "Bordsteine", false}, {kerb, "ROADS", true}, {kerb, "CLIFFS", true}, {fence, "Zäune", false}, {drop, "Böschungen", false}, {flush, "KERBS", true},
		{lawn, "LAWNS", false}, {lawn, "NO_MOWING", true}, {lawn, "TREES", true}, {lawn, "KEEPOUTS", true},
	} {
		f := x.of()
		f.Attributes.Set(schema.PropLayer, schema.String(x.layer))
		found := Check(driftPlan(t, thing(schema.RoleZone, "Long lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits())
		got := append(only(found, RuleWordsUnread), only(found, RuleNameContradicts)...)
		if (len(got) > 0) != x.told {
			t.Errorf("%s on layer %s: %v", f.Role, x.layer, got)
		}
	}
}

// TestMapTags: tags of public maps pass where they say what the role and the kind say.
func TestMapTags(t *testing.T) {
	fence := func(kind string) *schema.Feature {
		return thing(schema.RoleEdge, "f", geom.NewLineStringFlat(geom.XY, []float64{41, 0, 41, 25}), "edge_kind", kind, "height_m", 1.0)
	}
	pond := func(kind string) *schema.Feature {
		return thing(schema.RoleHazard, "f", box(50, 5, 55, 8), "hazard_kind", kind)
	}
	lawn := func(string) *schema.Feature { return thing(schema.RoleZone, "f", box(0, 30, 40, 45)) }
	for _, x := range []struct {
		of              func(string) *schema.Feature
		kind, key, says string
		told            bool
	}{
		{lawn, "", "landuse", "grass", false}, {lawn, "", "landuse", "basin", true}, {lawn, "", "landuse", "quarry", true}, {lawn, "", "natural", "water", true}, {lawn, "", "leisure", "pitch", false}, {lawn, "", "leisure", "swimming_pool", true},
		{pond, "pond", "natural", "water", false}, {pond, "hedge", "natural", "water", true}, {pond, "pond", "water", "pond", false}, {pond, "pond", "natural", "cliff", true}, {pond, "pond", "landuse", "grass", true}, {pond, "pond", "landuse", "basin", false},
		{fence, "fence", "barrier", "fence", false}, {fence, "fence", "barrier", "wall", true}, {fence, "wall", "barrier", "retaining_wall", false}, {fence, "kerb", "barrier", "retaining_wall", true}, {fence, "fence", "fence_type", "wood", false}, {fence, "fence", "fence_type", "electric", true}, {fence, "wall", "fence_type", "wood", true},
	} {
		f := x.of(x.kind)
		f.Attributes.Set(x.key, schema.String(x.says))
		if got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyUnread); (len(got) > 0) != x.told {
			t.Errorf("%s %s: %s=%s: %v", f.Role, x.kind, x.key, x.says, got)
		}
	}
}
