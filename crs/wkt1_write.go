// Writing WKT 1 (OGC 01-009): what .prj files and tables of reference systems
// hold.

package crs

import (
	"fmt"
	"strings"
	"sync"
)

// wkt1Method is a projection's name in WKT 1 and the names of its parameters,
// by the registry's codes. The names are those of OGC 01-009 annex A and of the
// files in use, which go beyond it.
type wkt1Method struct {
	name   string
	params map[int]string
}

var wkt1Methods = sync.OnceValue(func() map[int]wkt1Method {
	return map[int]wkt1Method{
		9801: {"Lambert_Conformal_Conic_1SP", map[int]string{8801: "latitude_of_origin", 8802: "central_meridian", 8805: "scale_factor", 8806: "false_easting", 8807: "false_northing"}},
		9802: {"Lambert_Conformal_Conic_2SP", map[int]string{8821: "latitude_of_origin", 8822: "central_meridian", 8823: "standard_parallel_1", 8824: "standard_parallel_2", 8826: "false_easting", 8827: "false_northing"}},
		9804: {"Mercator_1SP", map[int]string{8801: "", 8802: "central_meridian", 8805: "scale_factor", 8806: "false_easting", 8807: "false_northing"}},
		9807: {"Transverse_Mercator", map[int]string{8801: "latitude_of_origin", 8802: "central_meridian", 8805: "scale_factor", 8806: "false_easting", 8807: "false_northing"}},
		9809: {"Oblique_Stereographic", map[int]string{8801: "latitude_of_origin", 8802: "central_meridian", 8805: "scale_factor", 8806: "false_easting", 8807: "false_northing"}},
		9820: {"Lambert_Azimuthal_Equal_Area", map[int]string{8801: "latitude_of_center", 8802: "longitude_of_center", 8806: "false_easting", 8807: "false_northing"}},
		9822: {"Albers_Conic_Equal_Area", map[int]string{8821: "latitude_of_center", 8822: "longitude_of_center", 8823: "standard_parallel_1", 8824: "standard_parallel_2", 8826: "false_easting", 8827: "false_northing"}},
	}
})

// WKT1 returns the CRS as WKT 1 (OGC 01-009) on one line, without axes: x is
// east and y north, as in the files that hold it. ok is false for systems that
// it cannot say, or not in names that every reader knows: site grids,
// geocentric ones, axes to south or west, and projections past the common ones.
func (c *CRS) WKT1() (text string, ok bool) {
	var b strings.Builder
	if c.datum.bound != nil {
		return "", false // WKT 1's TOWGS84 is left aside by most who read it
	}
	switch c.kind {
	case KindGeographic:
		if !c.writeGeogcs(&b) {
			return "", false
		}
		return b.String(), true
	case KindProjected:
	default:
		return "", false
	}
	m, known := wkt1Methods()[c.conv.method]
	if !known || len(c.axes) < 2 || c.axes[0].unit != c.axes[1].unit {
		return "", false
	}
	for _, a := range c.axes[:2] {
		if a.Direction != "east" && a.Direction != "north" {
			return "", false
		}
	}
	fmt.Fprintf(&b, "PROJCS[%s,", wktQuote(c.name))
	if !c.base.writeGeogcs(&b) {
		return "", false
	}
	fmt.Fprintf(&b, ",PROJECTION[%s]", wktQuote(m.name))
	unit := c.axes[0].unit.factor
	for _, p := range c.conv.params {
		name, known := m.params[p.code]
		v := p.value
		switch {
		case !known:
			return "", false
		case name == "" && v == 0:
			continue
		case name == "":
			return "", false
		case p.unit.kind == "length":
			v /= unit
		}
		fmt.Fprintf(&b, ",PARAMETER[%s,%s]", wktQuote(name), wktNumber(v))
	}
	fmt.Fprintf(&b, ",UNIT[%s,%s]", wktQuote(c.axes[0].Unit), wktNumber(unit))
	if c.code != 0 {
		fmt.Fprintf(&b, ",AUTHORITY[\"EPSG\",\"%d\"]", c.code)
	}
	return b.String() + "]", true
}

// writeGeogcs writes a geographic CRS in degrees; false when it is none.
func (c *CRS) writeGeogcs(b *strings.Builder) bool {
	if c.kind != KindGeographic || c.UnitDegrees() != 1 {
		return false
	}
	el := c.datum.el
	name, code := c.name, c.code
	if c.Equal(WGS84()) {
		name, code = "WGS 84", 4326
	}
	id := func(code int) string {
		if code == 0 {
			return ""
		}
		return fmt.Sprintf(",AUTHORITY[\"EPSG\",\"%d\"]", code)
	}
	fmt.Fprintf(b, "GEOGCS[%s,DATUM[%s,SPHEROID[%s,%s,%s]%s],PRIMEM[%s,%s],UNIT[\"degree\",0.0174532925199433]%s]",
		wktQuote(name), wktQuote(strings.ReplaceAll(wkt1Datum(c.datum.name), " ", "_")), wktQuote(el.name), wktNumber(el.a), wktNumber(el.invF), id(c.datum.code),
		wktQuote(c.datum.pmName), wktNumber(c.datum.pm), id(code))
	return true
}

// wkt1Datum is the name that WKT 1 has for a datum: ensembles, a younger idea,
// go by what they were called before.
func wkt1Datum(name string) string {
	switch name {
	case "World Geodetic System 1984 ensemble":
		return "WGS_1984"
	}
	return strings.TrimSuffix(name, " ensemble")
}
