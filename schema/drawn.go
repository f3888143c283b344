// Geometry in a text: what a property may hold that no reader takes for ground.

package schema

import (
	"slices"
	"strconv"
	"strings"
)

// textShapes are the types of geometry of well-known text (OGC 06-103r4).
var textShapes = [...]string{"POINT", "LINESTRING", "LINEARRING", "POLYGON", "CIRCULARSTRING", "COMPOUNDCURVE", "CURVEPOLYGON", "CURVE", "SURFACE", "POLYHEDRALSURFACE", "TIN", "TRIANGLE", "GEOMETRYCOLLECTION"}

// DrawnInText reports whether a text is a geometry: well-known text, with an
// SRID before it or not, or an object of GeoJSON or TopoJSON with coordinates or arcs.
func DrawnInText(text string) bool {
	s := strings.TrimSpace(text)
	if s == "" {
		return false
	}
	switch s[0] {
	case '{', '[':
		return strings.Contains(s, `"coordinates"`) || strings.Contains(s, `"arcs"`)
	case 'P', 'p', 'L', 'l', 'M', 'm', 'C', 'c', 'S', 's', 'T', 't', 'G', 'g':
	default:
		return false
	}
	if len(s) > 5 && strings.EqualFold(s[:5], "SRID=") {
		_, s, _ = strings.Cut(s, ";")
	}
	word, rest, found := strings.Cut(s, "(")
	if !found || len(word) > 30 {
		return false
	}
	words := strings.Fields(strings.ToUpper(word))
	if len(words) == 0 || len(words) > 2 {
		return false
	}
	if len(words) == 2 {
		switch words[1] {
		case "Z", "M", "ZM":
		default:
			return false
		}
	}
	shape := strings.TrimPrefix(words[0], "MULTI")
	for _, m := range [...]string{"ZM", "Z", "M"} { // written without a space
		shape = strings.TrimSuffix(shape, m)
	}
	if !slices.Contains(textShapes[:], shape) {
		return false
	}
	rest = strings.ToUpper(strings.TrimLeft(rest, "( \t\r\n"))
	for _, t := range textShapes { // of a collection, and of an outline of curves
		if strings.HasPrefix(rest, t) {
			return true
		}
	}
	numbers := strings.FieldsFunc(rest, func(c rune) bool { return strings.ContainsRune(" \t\r\n,()", c) })
	if len(numbers) < 2 {
		return false
	}
	for _, n := range numbers[:2] {
		if _, err := strconv.ParseFloat(n, 64); err != nil {
			return false
		}
	}
	return true
}
