// How each role looks in KML: a palette of this project's own making, for any
// viewer, with nothing fetched from the net.

package kml

import (
	"image/color"

	gokml "github.com/twpayne/go-kml/v3"

	"swardline/schema"
)

// The hues are those of Okabe and Ito, "Color Universal Design" (2008), which
// people of every kind of colour vision can tell apart.
var (
	hueBlack      = rgb{0x00, 0x00, 0x00}
	hueOrange     = rgb{0xe6, 0x9f, 0x00}
	hueSkyBlue    = rgb{0x56, 0xb4, 0xe9}
	hueGreen      = rgb{0x00, 0x9e, 0x73} // "bluish green"
	hueYellow     = rgb{0xf0, 0xe4, 0x42}
	hueBlue       = rgb{0x00, 0x72, 0xb2}
	hueVermillion = rgb{0xd5, 0x5e, 0x00}
	huePurple     = rgb{0xcc, 0x79, 0xa7} // "reddish purple"
)

type rgb [3]uint8

// look is how one role is drawn: which hue for which part is invented for this
// project.
type look struct {
	role  schema.Role
	line  rgb
	width float64 // pixels
	fill  rgb
	cover uint8   // opacity of the fill, 0 to 255
	scale float64 // of the icon that stands for a point
}

var looks = []look{
	{schema.RoleZone, hueGreen, 2, hueGreen, 0x66, 1},
	{schema.RoleKeepout, hueVermillion, 2, hueVermillion, 0x80, 1},
	{schema.RoleCorridor, hueBlue, 4, hueBlue, 0x40, 1},
	{schema.RoleDock, hueOrange, 2, hueOrange, 0x66, 1.2},
	{schema.RoleBase, huePurple, 2, huePurple, 0x66, 1.2},
	{schema.RoleMark, hueBlack, 1, hueBlack, 0x33, 0.8},
	{schema.RoleHazard, hueVermillion, 2, hueYellow, 0x99, 1},
	{schema.RoleEdge, hueBlack, 3, hueBlack, 0x33, 1},
	{schema.RoleBoundary, huePurple, 3, huePurple, 0x00, 1},
	{schema.RoleSupply, hueSkyBlue, 2, hueSkyBlue, 0x66, 0.9},
	{schema.RoleBuilding, hueBlack, 1, hueBlack, 0x66, 1},
	{schema.RoleOther, hueSkyBlue, 1, hueSkyBlue, 0x4d, 0.8},
}

// styleURL is the styleUrl of a role's style in a document of ours.
func styleURL(role schema.Role) string {
	if u, ok := styleURLs[role]; ok {
		return u
	}
	return styleURLs[schema.RoleOther]
}

var styleURLs = func() map[schema.Role]string {
	m := map[schema.Role]string{}
	for _, l := range looks {
		m[l.role] = "#" + stylePrefix + string(l.role)
	}
	return m
}()

// opaque returns the hue with an opacity. go-kml writes the components as they
// stand, so they must not be multiplied by it, as color.RGBA otherwise asks.
func (c rgb) opaque(a uint8) color.RGBA { return color.RGBA{c[0], c[1], c[2], a} }

func (l look) element() gokml.Element {
	return gokml.SharedStyle(stylePrefix+string(l.role),
		gokml.IconStyle(gokml.Color(l.line.opaque(0xff)), gokml.Scale(l.scale)),
		gokml.LineStyle(gokml.Color(l.line.opaque(0xff)), gokml.Width(l.width)),
		gokml.PolyStyle(gokml.Color(l.fill.opaque(l.cover))))
}
