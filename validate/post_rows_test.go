// Rows of posts.

package validate

import (
	"fmt"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// Rows of posts across a corridor and through a lawn.
func TestPostRows(t *testing.T) {
	way := thing(schema.RoleCorridor, "Way", track(0, 0, 20, 0))
	lawn := thing(schema.RoleZone, "Lawn", box(0, -20, 20, 20))
	row := func(n int, name, kind string, by float64) []*schema.Feature {
		var out []*schema.Feature
		for i := range n { // the corridor goes through the middle of the first gap
			out = append(out, thing(schema.RoleHazard, fmt.Sprintf("%s %d", name, i+1), spot(10, by*(float64(i)-0.5)), "hazard_kind", kind, "radius_m", 0.05))
		}
		return out
	}
	marks := func(name string) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleMark, name+" 1", spot(10, -1)), thing(schema.RoleMark, name+" 2", spot(10, 1)), thing(schema.RoleMark, name+" 3", spot(10, 3))}
	}
	at := func(xy ...float64) []*schema.Feature {
		var out []*schema.Feature
		for i := 0; i < len(xy); i += 2 {
			out = append(out, thing(schema.RoleHazard, "Post", spot(xy[i], xy[i+1]), "hazard_kind", "post", "radius_m", 0.05))
		}
		return out
	}
	post := func(y, half float64) *schema.Feature {
		return thing(schema.RoleHazard, "Post", box(10-half, y-half, 10+half, y+half), "hazard_kind", "post")
	}
	for _, x := range []struct {
		name  string
		posts []*schema.Feature
		told  bool
	}{
		{"three posts", row(3, "Post", "post", 2), true},
		{"two posts", row(2, "Post", "post", 2), false},
		{"6.5 m apart", row(3, "Post", "post", 6.5), true},
		{"6.51 m apart", row(3, "Post", "post", 6.51), false},
		{"two, 6.4 m apart", row(2, "Post", "post", 6.4), false},
		{"lamps 6 m apart", row(3, "Lamp", "lamp post", 6), false},
		{"single plants of a hedge", row(3, "Hedge", "hedge", 2), true},
		{"two of them", row(2, "Hedge", "hedge", 2), false},
		{"single shrubs", row(3, "Shrub", "shrub", 2), false},
		{"goal posts, 7.4 m apart", row(2, "Goal post", "post", 7.4), true},
		{"Torpfosten", row(2, "Torpfosten", "post", 5), true},
		{"goals as they stand apart", row(2, "Goal", "goal", 7.4), false},
		{"two of a fence, 12 m apart", row(2, "Fence post", "post", 12), true},
		{"two of a fence, 12.01 m apart", row(2, "Fence post", "post", 12.01), false},
		{"two of a washing line", row(2, "Washing line", "post", 4), true},
		{"two of other names", append(row(1, "Fence post", "post", 4), thing(schema.RoleHazard, "Wire pole", spot(10, 2), "hazard_kind", "post", "radius_m", 0.05)), false},
		{"Weidezaunpfahl", row(3, "Weidezaunpfahl", "post", 4), true},
		{"of a palisade", row(3, "Palisade stump", "stump", 2), true},
		{"stanchions", row(3, "Stanchion", "post", 2), true},
		{"marks on posts of a fence", marks("Fence post"), true},
		{"marks on posts", marks("Post"), false},
		{"bollards", row(3, "Bollard", "bollard", 2), false},
		{"bollards with a chain", row(3, "Bollard with chain", "post", 2), true},
		{"lamps", row(3, "Lamp", "lamp post", 2), false},
		{"trees", row(3, "Lime", "tree", 4), false},
		{"several points in one", []*schema.Feature{thing(schema.RoleHazard, "Posts", geom.NewMultiPointFlat(geom.XY, []float64{10, -1, 10, 1, 10, 3}), "hazard_kind", "post")}, true},
		{"of the role other", []*schema.Feature{thing(schema.RoleOther, "Post", spot(10, -1)), thing(schema.RoleOther, "Post", spot(10, 1)), thing(schema.RoleOther, "Post", spot(10, 3))}, true},
		{"outlines", []*schema.Feature{post(-1, 0.35), post(1, 0.35), post(3, 0.35)}, true},
		{"outlines 1.02 m across", []*schema.Feature{post(-1, 0.36), post(1, 0.36), post(3, 0.36)}, false},
		{"in a bend of 24 degrees", at(10, -1, 10, 1, 10.81, 2.83), true},
		{"in one of 26 degrees", at(10, -1, 10, 1, 10.88, 2.8), false},
		{"one gap twice another", at(10, -1, 10, 1, 10, 5), true},
		{"one gap more", at(10, -1, 10, 1, 10, 5.01), false},
	} {
		toldIn(t, x.name+" across a corridor", RuleCorridorNarrow, "in a row of posts", x.told, append([]*schema.Feature{way}, x.posts...)...)
		toldIn(t, x.name+" in a lawn", RulePassageNarrow, "in a row of posts", x.told, append([]*schema.Feature{lawn}, x.posts...)...)
	}
	gate := thing(schema.RoleEdge, "Gate", track(10, -0.9, 10, 0.9), "edge_kind", "gate")
	toldIn(t, "with a gate", RuleCorridorNarrow, "in a row of posts", false, append([]*schema.Feature{way, gate}, row(3, "Post", "post", 2)...)...)
	toldIn(t, "beside the corridor", RuleCorridorNarrow, "in a row of posts", false, append([]*schema.Feature{way}, at(10, 1, 10, 3, 10, 5)...)...)
	toldIn(t, "along the edge of a lawn", RulePassageNarrow, "in a row of posts", false, append([]*schema.Feature{lawn}, at(20, 1, 20, 3, 20, 5)...)...)
	toldIn(t, "under one keep-out", RulePassageNarrow, "in a row of posts", false, append([]*schema.Feature{lawn, thing(schema.RoleKeepout, "K", box(9, -5, 11, 9))}, row(3, "Post", "post", 2)...)...)
}
