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
		// Well-known binary: a point of 3, 4, with heights, with an SRID, with the header of a GeoPackage.
		"010100000000000000000008400000000000001040": true, "000000000140080000000000004010000000000000": true, `\x010100000000000000000008400000000000001040`: true,
		"0101000080000000000000084000000000000010400000000000001440": true, "0101000020E610000000000000000008400000000000001040": true, "01e90300000000000000000840000000000000104000000000000014400": false,
		"01e9030000000000000000084000000000000010400000000000001440": true, "4750000100000000010100000000000000000008400000000000001040": true,
		"01020000000200000000000000000008400000000000001040000000000000F03F000000000000F03F": true,
		"010300000001000000010000000000000000000840000000000000104" + "0":                    true, "0104000000010000000101000000000000000000084000000000000010" + "40": true,
		"01010000000000000000000840000000000000104000": false, "0101000000000000000000084000000000000010": false, "010300000000000000": false, "010D00000000000000000008400000000000001040": false,
		"0123456789012345678901234567890123456789012345678901": false, "4750000100000000": false, "01DEADBEEF": false,
	} {
		if got := schema.DrawnInText(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
