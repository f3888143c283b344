// What is often sent for a plan and not read is named in its refusal.

package convert

import (
	"strings"
	"testing"

	"swardline/convert/wire"
)

func TestForeignFilesAreNamed(t *testing.T) {
	for _, tt := range []struct{ name, content, want string }{
		{"a.dwg", "AC1027\x00\x00\x00\x00\x00", "this is a DWG drawing, which is not read; ask the sender for a DXF"},
		{"a.dxf", "AC1032\x00\x00\x00\x00\x00", "this is a DWG drawing"},
		{"a.dgn", "\x08\x05\x17\x02\x00\x00", "a DGN drawing"},
		{"a.dgn", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1\x00", "an OLE container"},
		{"a.ifc", "ISO-10303-21;\nHEADER;", "an IFC building model"},
		{"a.fgb", "fgb\x03fgb\x00", "a FlatGeobuf file"},
		{"a.mdb", "\x00\x01\x00\x00Standard Jet DB\x00", "a personal geodatabase"},
		{"a.zip", "PK\x03\x04" + strings.Repeat("\x00", 26) + "a.gdb/a00000001.gdbtable", "a zipped file geodatabase"},
		{"a.xlsx", "PK\x03\x04" + strings.Repeat("\x00", 26) + "xl/workbook.xml", "a spreadsheet (XLSX), which is not read; save the sheet as CSV"},
		{"a.tab", "!table\r\n!version 300\r\n", "a TAB table"},
		{"a.mif", "Version 300\nCharset \"WindowsLatin1\"\n", "a MIF file"},
		{"a.gml", `<?xml version="1.0"?><wfs:FeatureCollection xmlns:gml="http://www.opengis.net/gml/3.2"/>`, "a GML file"},
		{"plan.pdf", "%PDF-1.7\n", "a PDF, which is not read; ask the sender for the data behind it"},
		{"plan.geojson", "<!DOCTYPE html><html>", "a web page"},
		{"plan.png", "\x89PNG\r\n\x1a\n\x00", "a picture"},
		{"plan.svg", `<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"/>`, "an SVG picture"},
		{"a.las", "LASF\x00\x00", "a point cloud"},
		{"a.24o", "     3.04           OBSERVATION DATA    M                   RINEX VERSION / TYPE\n", "raw satellite observations"},
		{"a.ubx", "\xb5\x62\x01\x07", "a receiver's binary log"},
		{"a.kml.gz", "\x1f\x8b\x08\x00", "a packed archive, which is not read; unpack it"},
	} {
		_, _, err := Read([]byte(tt.content), ReadOptions{ReadOptions: wire.ReadOptions{Name: tt.name}})
		if err == nil || !strings.HasPrefix(err.Error(), tt.name+": ") || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}
