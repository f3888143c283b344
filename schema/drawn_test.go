// What is a geometry in a text, and what only looks like one.

package schema_test

import (
	"testing"

	"swardline/schema"
)

func TestDrawnInText(t *testing.T) {
	for text, want := range map[string]bool{
		"POLYGON((0 0, 1 0, 1 1, 0 0))": true, " polygon z ((0 0 1, 1 0 1, 1 1 1))": true, "POINT(1 2)": true, "POINT ZM (1 2 3 4)": true, "POINTZ(1 2 3)": true,
		"SRID=4326;LINESTRING(-1 2, 3 4)": true, "MULTIPOLYGON(((0 0, 1 0, 1 1)))": true, "MultiPoint((1 2))": true,
		"GEOMETRYCOLLECTION(POINT(1 2))": true, "CURVEPOLYGON(CIRCULARSTRING(0 0, 1 1, 2 0))": true, "TIN(((0 0, 1 0, 1 1)))": true,
		`{"type":"Point","coordinates":[1,2]}`: true, `{"a": 1}`: false,
		"": false, "POLYGON": false, "POLYGON EMPTY": false, "Point (north side)": false, "point 3 (12 m)": false, "Multi (2)": false, "Polygon(ish)": false,
		"the POINT(1 2)": false, "Surface (grass)": false, "curve (outside)": false, "Point (3 m north)": false, "Point (row 3, 4)": false, "SRID=1": false,
	} {
		if got := schema.DrawnInText(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
