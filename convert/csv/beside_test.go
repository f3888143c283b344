// Lists with a .prj beside them.

package csv

import (
	"testing"

	"swardline/convert/wire"
)

// TestRowsOverrulePRJ: what the rows say of their system holds against a .prj
// beside the file, and is told where the two differ; a system that was asked for
// holds against both.
func TestRowsOverrulePRJ(t *testing.T) {
	beside := wire.ReadOptions{CRSBeside: true}
	const rows, point = "e,n,crs\n512345,6228011,EPSG:25832\n", "\n- other \"\" POINT (512345 6228011) {}"
	check(t, []readCase{
		{name: "the same", in: rows, o: beside, crs: "EPSG:25832", want: "EPSG:25832" + point, kinds: "columns"},
		{name: "another", in: rows, o: beside, crs: "EPSG:25833", want: "EPSG:25832" + point, kinds: "columns crs-second"},
		{name: "asked for", in: rows, crs: "EPSG:25833", want: "EPSG:25833" + point, kinds: "columns crs-overridden"},
		{name: "rows that say nothing", in: "e,n,crs\n512345,6228011,\n", o: beside, crs: "EPSG:25833", want: "EPSG:25833" + point, kinds: "columns"},
		{name: "no such column", in: "e,n\n512345,6228011\n", o: beside, crs: "EPSG:25833", want: "EPSG:25833" + point, kinds: "columns"},
		{name: "degrees beside a grid", in: "x,y,crs\n9.5,56.25,OGC:CRS84\n", o: beside, crs: "EPSG:25832", want: "OGC:CRS84\n- other \"\" POINT (9.5 56.25) {}", kinds: "columns crs-second"},
		{name: "in a geometry", in: "name,wkt\na,SRID=25832;POINT (512345 6228011)\n", o: beside, crs: "EPSG:25833", want: "EPSG:25832\n- other \"a\" POINT (512345 6228011) {}", kinds: "columns crs-second"},
		{name: "in a later row", in: "e,n,crs\n512345,6228011,\n512345,6228011,EPSG:25832\n", o: beside, crs: "EPSG:25833", want: "EPSG:25832" + point + point, kinds: "columns crs-second"},
	})
}
