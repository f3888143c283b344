// What rules take out of a plan though its layer or name speaks for a thing that keeps
// a machine off.

package roles

import (
	"fmt"
	"slices"

	"swardline/convert/intake/look"
	"swardline/schema"
)

// keepsOff are the roles of what a machine is kept off.
var keepsOff = []schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleBuilding, schema.RoleEdge, schema.RoleBoundary}

// dropped says what the rules left out that speaks for such a role, once for all of a
// layer, or of a name where there is no layer: whoever reads the plan sees no gap where
// it lay. Texts are no things.
func (a *applier) dropped() (left []string) {
	type group struct {
		said string
		line int
	}
	count := map[group]int{}
	var order []group
	for i := range a.items {
		it := &a.items[i]
		if it.rule < 0 || !a.rules.List[it.rule].LeaveOut || isText(it.Feature) {
			continue
		}
		said := it.Layer
		if said == "" {
			said = it.Feature.Name
		}
		g := group{said, a.rules.List[it.rule].Line}
		if count[g]++; count[g] == 1 {
			order = append(order, g)
		}
	}
	for _, g := range order {
		role := look.LikelyRole(g.said, 1, 1, 1).Role
		if !slices.Contains(keepsOff, role) {
			continue
		}
		left = append(left, fmt.Sprintf("%d of %q, which speaks for the role %s, left out by the rule in line %d: give them that role, or look that nothing of them lies where the machine goes", count[g], g.said, role, g.line))
	}
	return left
}
