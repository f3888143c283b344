// Package csv reads and writes plans as comma-separated values (RFC 4180), and
// reads the lists that instruments and spreadsheets make.
//
// # Layouts written
//
// wkt, a row a feature:
//
//	id,role,name,wkt,crs, then a column an attribute
//
// points, a row a vertex:
//
//	id,role,name,part,ring,seq,lon,lat[,h],crs[,wkt], then a column an attribute
//	id,role,name,part,ring,seq,e,n[,h],crs[,wkt], then a column an attribute
//
// In points part, ring and seq count from 1 and together tell the geometry:
// none of them a Point, seq a LineString, ring and seq a Polygon (ring 1 its
// shell, the others holes), part a MultiPoint, part and seq a MultiLineString,
// all three a MultiPolygon. What that cannot say (collections, empty
// geometries, a LinearRing) stands in a column wkt, in a row without
// coordinates. The crs and the attributes stand in the feature's first row. An
// empty height is absent.
//
// Coordinates have 10 decimals in degrees (and where the CRS is unknown), 5 in
// lengths; rings are written in drive order (schema.WindingDriven), closed,
// their first point first. In well-known text NaN stands where a vertex has no
// height. Lines end in CR LF, there is no byte-order mark, and nothing is
// changed for the sake of a spreadsheet: a cell that starts with = is written
// as it is.
//
// What belongs to the plan stands in a first row with the role plan and no
// geometry: its name, its CRS, its epoch in the column epoch, its attributes in
// the columns of attributes. It is there only when there is something to say.
//
// # Cells of attributes
//
// One rule tells types: an empty cell is an absent attribute; a number in
// JSON's form, true, false and null are what they look like; a text in JSON's
// quotes, a JSON list and a JSON object are those; anything else is text as it
// stands. So 5 is a number, 007 is a text, "5" (in the cell, quotes and all)
// the text 5, and "" the empty text. Text with control characters is written in
// JSON's quotes. ids follow the same rule, but are only numbers and texts;
// names are texts, in JSON's quotes only where they must be.
//
// Columns stand in the order in which the plan first uses their keys. Where a
// feature's own order differs, a column attribute_order holds it as a JSON list
// of keys. A key that is a word of ours, such as name or wkt, gets the prefix
// attr: in the header.
//
// # Files of other hands
//
// The header is matched by whole words, in any case and order and in several
// languages; what was taken for what is told in a warning. Two columns that
// could be the same coordinate are an error. Separators are comma, semicolon,
// tab and bar. Numbers may have a decimal comma and marks between thousands:
// separator and decimal mark are decided over the whole file, and two readings
// that both fit and differ are an error that shows both. Degrees may be written
// with minutes and seconds. Without a header the columns must be told (PNEZD,
// "id,n,e,h,code"), because two orders of north and east fit every list.
//
// Degrees without a CRS are taken to be WGS 84, which is a warning; lengths
// without one leave the plan's CRS unknown.
//
// A column code (in a survey list also a description) turns points into lines
// where its words ask for it: FENCE START starts one, FENCE goes on, FENCE
// CLOSE closes and FENCE END ends it, PC and PT start and end a bend of three,
// five or seven points, whose arcs are flattened to 5 mm. A number tells
// strings of one code apart (FENCE1, FENCE2), points of other codes may stand
// between. The line keeps the points' ids as point_ids and what differs between
// them as lists. Rows of one id or name with the role of an area or line are
// joined in their order.
//
// A unit in a coordinate's header (m, cm, mm, ft, US ft) is obeyed unless
// another is told; feet of an unknown kind are an error, except in a CRS in
// feet. What a receiver says of its positions (fix type, standard errors, HDOP,
// satellites) stays as attributes; positions without a fixed solution, or with
// a standard error past the limit accuracy_m, are warned of by name. Lines at
// the top that start with # or % are passed over.
package csv
