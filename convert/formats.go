// The formats themselves, in the order in which they are offered.

package convert

import (
	"swardline/convert/csv"
	"swardline/convert/dxf"
	"swardline/convert/geojson"
	"swardline/convert/geojsonseq"
	"swardline/convert/gpkg"
	"swardline/convert/gpx"
	"swardline/convert/kml"
	"swardline/convert/landxml"
	"swardline/convert/nmea"
	"swardline/convert/shapefile"
	"swardline/convert/solution"
	"swardline/convert/topojson"
)

// Formats lists every format. Signatures are tried in this order, the narrow
// ones first.
var Formats = []*Format{
	{Name: "geojson", Title: "GeoJSON", Endings: []string{".geojson", ".json"}, WGS84Beside: true,
		Read: geojson.Read, Write: geojson.Write, Detect: geojson.Detect, ReadParts: geojson.NewSource, WriteParts: geojson.NewWriter},
	{Name: "kml", Title: "KML", Endings: []string{".kml"}, WGS84Only: true,
		Read: kml.Read, Write: kml.Write, Detect: kml.Detect, ReadParts: kml.NewSource, WriteParts: kml.NewWriter},
	{Name: "kmz", Title: "KMZ", Endings: []string{".kmz"}, WGS84Only: true, Binary: true,
		Read: kml.ReadKMZ, Write: kml.WriteKMZ, Detect: kml.DetectKMZ, ReadParts: kml.NewKMZSource, WriteParts: kml.NewKMZWriter},
	{Name: "gpx", Title: "GPX", Endings: []string{".gpx"}, WGS84Only: true,
		Read: gpx.Read, Write: gpx.Write, Detect: gpx.Detect, ReadParts: gpx.NewSource, WriteParts: gpx.NewWriter},
	{Name: "csv", Title: "CSV", Endings: []string{".csv", ".tsv", ".txt"}, Layouts: []string{"wkt", "points"},
		Read: csv.Read, Write: csv.Write, Detect: csv.Detect, ReadParts: csv.NewSource, WriteParts: csv.NewWriter, weak: true, loose: []string{".txt"}},
	{Name: "dxf", Title: "DXF", Endings: []string{".dxf"}, Drawing: true, Binary: true, // code pages and binary files are its reader's to judge
		Read: dxf.Read, Write: dxf.Write, Detect: dxf.Detect},
	{Name: "shapefile", Title: "a Shapefile", Endings: []string{".zip", ".shp"}, Binary: true, narrows: "kmz", Lossy: true, writeAs: ".zip", loose: []string{".zip"},
		Read: shapefile.Read, Write: shapefile.Write, Detect: shapefile.Detect},
	{Name: "gpkg", Title: "GeoPackage", Endings: []string{".gpkg"}, Binary: true,
		Read: gpkg.Read, Write: gpkg.Write, Detect: gpkg.Detect},
	{Name: "geojsonseq", Title: "a GeoJSON sequence", Endings: []string{".geojsonl", ".geojsons", ".ndjson", ".jsonl"}, Layouts: []string{geojsonseq.LayoutLines, geojsonseq.LayoutSequence}, narrows: "geojson",
		Read: geojsonseq.Read, Write: geojsonseq.Write, Detect: geojsonseq.Detect, ReadParts: geojsonseq.NewSource, WriteParts: geojsonseq.NewWriter},
	{Name: "nmea", Title: "an NMEA 0183 log", Endings: []string{".nmea", ".nma", ".log"}, loose: []string{".log"},
		Read: nmea.Read, Detect: nmea.Detect, ReadParts: nmea.NewSource},
	{Name: "solution", Title: "the text of a position solution", Endings: []string{".pos"},
		Read: solution.Read, Detect: solution.Detect, ReadParts: solution.NewSource},
	{Name: "topojson", Title: "TopoJSON", Endings: []string{".topojson"}, narrows: "geojson",
		Read: topojson.Read, Detect: topojson.Detect},
	{Name: "landxml", Title: "LandXML", Endings: []string{".xml", ".landxml"}, loose: []string{".xml"},
		Read: landxml.Read, Detect: landxml.Detect},
}
