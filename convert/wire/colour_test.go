// The colours of roles: one for each, and numbers that a drawing may have.

package wire

import (
	"testing"

	"swardline/schema"
)

func TestColours(t *testing.T) {
	for _, role := range schema.Roles {
		c, ok := roleColours[role]
		if !ok {
			t.Errorf("role %s has no colour", role)
		}
		if c.Number < 1 || c.Number > 255 {
			t.Errorf("role %s has the colour number %d", role, c.Number)
		}
	}
	if ColourOf("no role at all") != ColourOf(schema.RoleOther) {
		t.Error("an unknown role has a colour of its own")
	}
	// What is mown and what is never entered differ in hue and in lightness.
	z, k := ColourOf(schema.RoleZone).RGB, ColourOf(schema.RoleKeepout).RGB
	if z == k || z[0] > z[1] || k[0] < k[1] {
		t.Errorf("zones are %v, keep-outs %v", z, k)
	}
}
