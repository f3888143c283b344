// Package shapefile reads and writes plans as Shapefiles (the Shapefile
// technical description of July 1998), several layers in one zip archive.
//
// # What is read
//
// A zip archive with any number of layers, or a .shp with its .dbf, .shx, .prj
// and .cpg beside it. All shape types: points, multipoints, lines, polygons,
// patches, with heights and measures. A line of one part is a LineString, a
// polygon of one outer ring a Polygon. Rings that run clockwise are shells, the
// others holes of the smallest shell around them; a plan's shells run
// anticlockwise, so every ring is turned over. Measures are left out and
// counted. Heights that are all 0 in a layer are what writers put where nothing
// is known: there are none then, and a warning says so.
//
// The fields role, name and id, in any case, are the feature's own; all others
// are attributes, a blank cell being no attribute. The first ten letters of a
// property that rules read (heading_de, hazard_kin) are that property. A feature without a known
// role has the attribute "layer" with its layer's name. Deleted records are
// counted. A cell of asterisks in a column of numbers that come near its room is kept
// as that text, for a number was too long for it; elsewhere it is a cell without a
// value. What describes a .shp (.shp.xml, .qml and the like) beside it is heard as it
// is in an archive. Text is decoded by the .cpg, else by the table's language byte, else
// as UTF-8 where it is that, and Windows-1252.
//
// # What is written
//
// A zip archive with a layer for each role and kind of geometry (zone,
// hazard_point, hazard_line ...; _z where heights are known), text in UTF-8
// with a .cpg, the system as WKT in a .prj. Field names of more than 10 bytes
// are cut and numbered, texts of more than 254 bytes cut, numbers that a field
// cannot hold exactly written as text; all this is counted as lost, and so is
// what a table has no place for: nulls, empty texts, collections as one, the
// order across layers.
//
// What the plan says of itself stands in the archive's entry plan.json, beside
// the layers, with the whole names of cut fields. Read takes it back.
package shapefile
