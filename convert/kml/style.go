// How each role looks in KML: a palette of this project's own making, for any
// viewer, with nothing fetched from the net.

package kml

import (
	"image/color"
	"sync"

	gokml "github.com/twpayne/go-kml/v3"

	"swardline/convert/wire"
	"swardline/schema"
)

type rgb [3]uint8

// look is how one role is drawn, in its colour (package wire).
type look struct {
	role  schema.Role
	width float64 // pixels
	cover uint8   // opacity of the fill, 0 to 255
	scale float64 // of the icon that stands for a point
}

var looks = []look{
	{schema.RoleZone, 2, 0x66, 1},
	{schema.RoleKeepout, 2, 0x80, 1},
	{schema.RoleCorridor, 4, 0x40, 1},
	{schema.RoleDock, 2, 0x66, 1.2},
	{schema.RoleBase, 2, 0x66, 1.2},
	{schema.RoleMark, 1, 0x33, 0.8},
	{schema.RoleHazard, 2, 0x99, 1},
	{schema.RoleEdge, 3, 0x33, 1},
	{schema.RoleBoundary, 3, 0x00, 1},
	{schema.RoleSupply, 2, 0x66, 0.9},
	{schema.RoleBuilding, 1, 0x66, 1},
	{schema.RoleOther, 1, 0x4d, 0.8},
}

// styleURL is the styleUrl of a role's style in a document of ours.
func styleURL(role schema.Role) string {
	if u, ok := styleURLs()[role]; ok {
		return u
	}
	return styleURLs()[schema.RoleOther]
}

var styleURLs = sync.OnceValue(func() map[schema.Role]string {
	m := map[schema.Role]string{}
	for _, l := range looks {
		m[l.role] = "#" + stylePrefix + string(l.role)
	}
	return m
})

// opaque returns the hue with an opacity. go-kml writes the components as they
// stand, so they must not be multiplied by it, as color.RGBA otherwise asks.
func (c rgb) opaque(a uint8) color.RGBA { return color.RGBA{c[0], c[1], c[2], a} }

func (l look) element() gokml.Element {
	hue := rgb(wire.ColourOf(l.role).RGB)
	return gokml.SharedStyle(stylePrefix+string(l.role),
		gokml.IconStyle(gokml.Color(hue.opaque(0xff)), gokml.Scale(l.scale)),
		gokml.LineStyle(gokml.Color(hue.opaque(0xff)), gokml.Width(l.width)),
		gokml.PolyStyle(gokml.Color(hue.opaque(l.cover))))
}
