// Writing WKT 2: a CRS as text that Parse reads back.

package crs

import (
	"fmt"
	"strings"
)

// WKT returns the CRS as WKT 2 (OGC 18-010r7) on one line. Angles are in
// degrees and lengths in metres but for the coordinates themselves. A site grid
// has no WKT and gives its canonical text.
func (c *CRS) WKT() string {
	var b strings.Builder
	switch c.kind {
	case KindSite:
		return c.id
	case KindGeographic:
		c.writeGeodetic(&b, "GEOGCRS", true)
	case KindGeocentric:
		c.writeGeodetic(&b, "GEODCRS", true)
	case KindProjected:
		fmt.Fprintf(&b, "PROJCRS[%s,", wktQuote(c.name))
		c.base.writeGeodetic(&b, "BASEGEOGCRS", false)
		name := c.conv.name
		if name == "" {
			name = c.name
		}
		fmt.Fprintf(&b, ",CONVERSION[%s,METHOD[%s,ID[\"EPSG\",%d]]", wktQuote(name), wktQuote(projectionName(c.conv.method)), c.conv.method)
		for _, p := range c.conv.params {
			u := `LENGTHUNIT["metre",1]`
			switch p.unit.kind {
			case "angle":
				u = wktDegree
			case "scale":
				u = `SCALEUNIT["unity",1]`
			}
			fmt.Fprintf(&b, ",PARAMETER[%s,%s,%s,ID[\"EPSG\",%d]]", wktQuote(parameterName(p.code)), wktNumber(p.value), u, p.code)
		}
		fmt.Fprintf(&b, "],CS[Cartesian,%d]", len(c.axes))
		c.writeAxes(&b)
	}
	if c.code != 0 {
		fmt.Fprintf(&b, ",ID[\"EPSG\",%d]", c.code)
	}
	if c.datum.bound != nil {
		return c.writeBound(b.String() + "]")
	}
	return b.String() + "]"
}

const wktDegree = `ANGLEUNIT["degree",0.0174532925199433]`

func wktQuote(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// writeGeodetic writes a geodetic CRS without its closing bracket, or as a
// whole base CRS when it is not the whole text.
func (c *CRS) writeGeodetic(b *strings.Builder, keyword string, whole bool) {
	el := c.datum.el
	fmt.Fprintf(b, "%s[%s,", keyword, wktQuote(c.name))
	id := ""
	if c.datum.code != 0 {
		id = fmt.Sprintf(",ID[\"EPSG\",%d]", c.datum.code)
	}
	fmt.Fprintf(b, "DATUM[%s,ELLIPSOID[%s,%s,%s,LENGTHUNIT[\"metre\",1]]%s]", wktQuote(c.datum.name), wktQuote(el.name), wktNumber(el.a), wktNumber(el.invF), id)
	fmt.Fprintf(b, ",PRIMEM[%s,%s,%s]", wktQuote(c.datum.pmName), wktNumber(c.datum.pm), wktDegree)
	if whole {
		kind := "ellipsoidal"
		if c.kind == KindGeocentric {
			kind = "Cartesian"
		}
		fmt.Fprintf(b, ",CS[%s,%d]", kind, len(c.axes))
		c.writeAxes(b)
		return
	}
	// The angular unit of the base matters for nothing but recognising it.
	fmt.Fprintf(b, ",ANGLEUNIT[%s,%s]", wktQuote(c.axes[0].Unit), wktNumber(c.axes[0].unit.factor))
	if c.code != 0 {
		fmt.Fprintf(b, ",ID[\"EPSG\",%d]", c.code)
	}
	b.WriteByte(']')
}

func (c *CRS) writeAxes(b *strings.Builder) {
	for i, a := range c.axes {
		kind := "LENGTHUNIT"
		if a.unit.kind == "angle" {
			kind = "ANGLEUNIT"
		}
		direction, meridian := a.Direction, ""
		if along, deg, ok := strings.Cut(a.Direction, " along "); ok {
			// "South along 90°E": a polar axis with its meridian.
			direction = strings.ToLower(along)
			meridian = fmt.Sprintf(",MERIDIAN[%s,%s]", signedMeridian(deg), wktDegree)
		}
		fmt.Fprintf(b, ",AXIS[%s,%s%s,ORDER[%d],%s[%s,%s]]", wktQuote(a.Name+" ("+a.Abbreviation+")"), direction, meridian, i+1, kind, wktQuote(a.Unit), wktNumber(a.unit.factor))
	}
}

// signedMeridian turns "90°E" into "90".
func signedMeridian(s string) string {
	v, west := strings.CutSuffix(s, "°W")
	if west {
		return "-" + v
	}
	return strings.TrimSuffix(v, "°E")
}
