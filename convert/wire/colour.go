// The colours of roles, one table for every format that has colours.

package wire

import "swardline/schema"

// Colour is one of red, green and blue, and the DXF colour number that comes
// nearest to it on screen, for programs that know numbers alone (choice of this
// project).
type Colour struct {
	RGB    [3]uint8
	Number int
}

// The hues are those of Okabe and Ito, "Color Universal Design" (2008), which
// people of every kind of colour vision can tell apart, with two greys.
var (
	Black      = Colour{[3]uint8{0x00, 0x00, 0x00}, 7} // 7 is white on a dark screen
	Orange     = Colour{[3]uint8{0xe6, 0x9f, 0x00}, 40}
	SkyBlue    = Colour{[3]uint8{0x56, 0xb4, 0xe9}, 151}
	Green      = Colour{[3]uint8{0x00, 0x9e, 0x73}, 104}
	Yellow     = Colour{[3]uint8{0xf0, 0xe4, 0x42}, 51}
	Blue       = Colour{[3]uint8{0x00, 0x72, 0xb2}, 154}
	Vermillion = Colour{[3]uint8{0xd5, 0x5e, 0x00}, 32}
	Purple     = Colour{[3]uint8{0xcc, 0x79, 0xa7}, 221}
	Grey       = Colour{[3]uint8{0x60, 0x60, 0x60}, 250}
	LightGrey  = Colour{[3]uint8{0xc4, 0xc4, 0xc4}, 9}
)

var roleColours = map[schema.Role]Colour{
	schema.RoleZone: Green, schema.RoleKeepout: Vermillion, schema.RoleCorridor: Blue, schema.RoleDock: Orange, schema.RoleBase: Purple,
	schema.RoleMark: Black, schema.RoleHazard: Yellow, schema.RoleEdge: Black, schema.RoleBoundary: Purple, schema.RoleSupply: SkyBlue,
	schema.RoleBuilding: LightGrey, schema.RoleOther: Grey,
}

// ColourOf is the colour of a role. Which role has which is this project's own
// choice.
func ColourOf(role schema.Role) Colour {
	if c, ok := roleColours[role]; ok {
		return c
	}
	return roleColours[schema.RoleOther]
}

var outcomeColours = map[string]Colour{"unreadable": Black, "error": Vermillion, "warning": Orange, "note": SkyBlue, "unchecked": LightGrey, "clean": Green}

// ColourOfOutcome is the colour of the gravest that a check found of a plan, by
// its name in reports. Which has which is this project's own choice.
func ColourOfOutcome(name string) Colour {
	if c, ok := outcomeColours[name]; ok {
		return c
	}
	return Grey
}
