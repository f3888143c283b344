// List: the catalogue by words, and what a system's projection is made of.

package crs

import (
	"sort"
	"strconv"
	"strings"
)

// All codes of the catalogue in ascending order: geographic, geocentric and
// projected CRSs.
func allCodes() []int {
	g := geodeticTables()
	pt := projectedTable()
	codes := make([]int, 0, len(g.codes)+len(pt.codes))
	codes = append(codes, g.codes...)
	for _, c := range pt.codes {
		codes = append(codes, int(c))
	}
	sort.Ints(codes)
	return codes
}

// List returns the CRSs of the catalogue that have every word in their code,
// names, area of use, datum or projection method, in any case, in ascending
// order of code; all of them when no word is given. A word that is a number
// also finds a code that begins with it.
func List(words ...string) []*CRS {
	var out []*CRS
	words = append([]string(nil), words...)
	for i := range words {
		words[i] = strings.ToLower(words[i])
	}
	for _, code := range allCodes() {
		c, err := epsgCRS(code)
		if err != nil {
			continue // a method not supported; Parse says which
		}
		if c.hasWords(words) {
			out = append(out, c)
		}
	}
	return out
}

func (c *CRS) hasWords(words []string) bool {
	if len(words) == 0 {
		return true
	}
	method, _ := c.Method()
	text := strings.ToLower(strings.Join([]string{c.name, c.AreaName(), c.datum.name, method}, "\n"))
	for _, other := range projectedNames()[c.code] {
		text += "\n" + other
	}
	for _, w := range words {
		if !strings.Contains(text, w) && !strings.HasPrefix(strconv.Itoa(c.code), strings.TrimPrefix(w, "epsg:")) {
			return false
		}
	}
	return true
}

// Method returns the registry's name and code of a projected CRS's method;
// empty and 0 for the others.
func (c *CRS) Method() (name string, code int) {
	if c.conv == nil {
		return "", 0
	}
	return projectionName(c.conv.method), c.conv.method
}

// Geographic3D returns the geographic CRS with height of the same datum, if the
// registry has one.
func (c *CRS) Geographic3D() (*CRS, bool) {
	g := geodeticTables()
	for _, code := range g.codes {
		if r := g.crs[code]; r.kind == '3' && r.datum == c.datum.code {
			if b, err := epsgCRS(code); err == nil {
				return b, true
			}
		}
	}
	return nil, false
}

// Parameter is one value of a map projection as its source gives it.
type Parameter struct {
	Name  string  // "Latitude of natural origin"
	Code  int     // EPSG code of the parameter
	Value float64 // in Unit; packed degrees, minutes and seconds come as degrees
	Unit  string  // "degree", "metre", "US survey foot", "unity"
}

// Parameters returns the values of a projected CRS's projection in the order of
// the registry; none for the others.
func (c *CRS) Parameters() []Parameter {
	if c.conv == nil {
		return nil
	}
	out := make([]Parameter, 0, len(c.conv.params))
	for _, p := range c.conv.params {
		out = append(out, Parameter{Name: parameterName(p.code), Code: p.code, Value: p.given, Unit: p.unit.name})
	}
	return out
}

// Conversion is the registry's name of a projected CRS's projection with its
// parameters: "UTM zone 32N"; empty for the others.
func (c *CRS) Conversion() string {
	if c.conv == nil {
		return ""
	}
	return c.conv.name
}
