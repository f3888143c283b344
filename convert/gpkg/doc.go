// Package gpkg reads and writes plans as GeoPackage (OGC 12-128r15), in pure Go
// with a reader and writer of SQLite files of its own (package sqlite).
//
// # What is read
//
// Every layer of features; layers of tiles and attributes are counted. The
// columns role, name and id, in any case, are the feature's own, all others are
// attributes, in order, NULL being no attribute; a feature without an id has
// its row's number, with the layer's name before it where there are several
// layers. A feature without a known role has the attribute "layer". BOOLEAN
// columns give truth values, those whose MIME type is JSON what the text says.
// Measures are left out and counted, binary values too. Curves are refused by
// name. x is always east or longitude.
//
// # What is written
//
// Version 1.3, a layer for each role and kind of geometry, columns typed by
// what they hold: BOOLEAN, INTEGER, REAL, TEXT, and TEXT declared as JSON (by
// the schema extension) for lists, objects, nulls, mixed kinds and numbers
// whose digits a binary number would change. A column whose name is taken is
// called another way and has the attribute's whole name as its title. Geometry
// has an envelope; a vertex without a height has NaN for one, which is not 0. A
// row's number is the feature's place in the plan over all layers, or its id
// where ids are rising whole numbers. What the plan says of itself is metadata
// (extension gpkg_metadata) as JSON, so nothing of a plan is lost.
//
// Not written: spatial indexes, which programs add themselves, and triggers.
package gpkg
