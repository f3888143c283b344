// Tags of public map data that say no more than the role and the kind do: a part of
// property-unread.

package validate

import (
	"slices"
	"strings"

	"swardline/schema"
)

// mapTags report, by their key, whether the value of a tag says of a feature what its
// role and kind say (common practice, no source).
var mapTags = map[string]func(f *Feature, value string) bool{
	"landuse": func(f *Feature, value string) bool {
		return f.Role == schema.RoleZone && slices.Contains(lawnTags, value) || ofWater(f) && slices.Contains(waterTags, value)
	},
	"leisure": func(f *Feature, value string) bool {
		return f.Role == schema.RoleZone && (value == "pitch" || value == "garden") || ofWater(f) && value == "swimming_pool"
	},
	"natural": func(f *Feature, value string) bool {
		return ofWater(f) && value == "water" || f.Role == schema.RoleZone && value == "grassland" || f.Role == schema.RoleHazard && isTree(f) && value == "tree"
	},
	"water": func(f *Feature, value string) bool { return ofWater(f) && slices.Contains(waterTags, value) },
	"barrier": func(f *Feature, value string) bool {
		kind := edgeKind(f)
		return f.Role == schema.RoleEdge && kind != "" && (value == kind || kind == schema.EdgeWall && value == "retaining_wall")
	},
	"fence_type": func(f *Feature, value string) bool {
		return f.Role == schema.RoleEdge && edgeKind(f) == schema.EdgeFence && slices.Contains(fenceTags, value)
	},
}

// lawnTags, waterTags and fenceTags are values of such tags.
var (
	lawnTags  = strings.Fields("grass meadow recreation_ground village_green")
	waterTags = strings.Fields("pond pool lake basin reservoir river stream canal ditch fountain moat")
	fenceTags = strings.Fields("wood metal chain_link railing wire panel pole picket")
)

// ofWater reports whether a feature is a hazard whose kind is water.
func ofWater(f *Feature) bool {
	return f.Role == schema.RoleHazard && kindsOf(f).gravest == "water"
}
