// Package dxf reads and writes drawings in DXF: ASCII and binary ones are read,
// ASCII ones written.
//
// # What is read
//
// R12 to R2018. LINE, LWPOLYLINE, POLYLINE (2D and 3D), ARC, CIRCLE, ELLIPSE
// and SPLINE become a LineString, or a Polygon when they are closed: by their
// flag, or because their ends lie within 1 mm. HATCH, SOLID, TRACE and 3DFACE
// become a Polygon with holes or a MultiPolygon; POINT, TEXT and MTEXT a Point,
// the text being its name (and the whole of it its note when it has several
// lines). A LEADER or MULTILEADER is a Point at the tip of each arrow, named by
// its text. An INSERT gives a Point with the block's name, and everything in
// its block, placed, scaled, turned, mirrored and repeated; the ATTRIBs of an
// insert stand on its Point as the attribute "attribs". A block that is clipped
// (SPATIAL_FILTER) is cut to its frame. Everything else is counted in a
// warning, meshes and paper space too. Every feature has the role "other": what
// the layers mean is for a rules file to say; but what stands on a layer of
// this program's, in a drawing of its own, has the role of the layer.
//
// Coordinates come out in metres, and in the grid that the drawing says
// (GEODATA) where it says one in a way that can be read but one way. A curve is
// flattened so that no chord leaves it by more than ReadOptions.ChordM, and
// kept beside its vertices as the attribute "curve" (package curve). An entity
// whose heights are all 0 has none: 0 is what drawings say when nothing is
// known.
//
// Attributes: "layer"; "layer_state" (frozen, off or noplot); "entity";
// "colour" (a DXF colour number, or "#rrggbb"), that of the layer or insert
// when it is theirs to say; "linetype" unless continuous; "block" (the blocks
// it stands in, joined by slashes); "handle"; "hidden"; "text_height_m",
// "rotation_deg", "scale", "attribs"; "width_m"; "thickness_m"; "curve". The
// plan's member "drawing" keeps unit and version. Angles count anticlockwise
// from the x axis whatever $ANGBASE and $ANGDIR say: those are for what is typed
// and shown, not for what is stored.
//
// # What is written
//
// DXF R2010 (AC1024): the oldest version that can say its place on the earth
// (GEODATA, for plane systems with a code of the EPSG registry). Text is UTF-8.
// Roles become layers with the colours of wire.ColourOf and line types of their
// own, what is off stands on a layer of its role that is off, which the losses
// say. Points of roles are inserts of symbols, which show whatever $PDMODE
// says, and are the points: who moves a symbol moves the point. Names stand as
// TEXT on layers of their own, and a note below the drawing says what its
// numbers are; neither is read back. A plan in degrees is refused.
//
// A curve is written as ARC, CIRCLE, ELLIPSE, SPLINE or with bulges when the
// vertices still lie on it, also after the plan was moved, turned or scaled;
// else as the straight lines the vertices make, which the losses say.
//
// A polygon's rings are closed polylines, one each. Everything a plan holds
// that a drawing does not know (ids, roles, names, typed attributes, which ring
// belongs to which polygon, absent heights) stands in extended data of the
// application SWARDLINE, as one JSON object cut into texts of 250 characters;
// what is too long for extended data stands in a record of the dictionary
// SWARDLINE, with the plan's own name, CRS, epoch and attributes. Read takes
// all of it back, and takes positions and shapes from the entities as they are,
// so a drawing may be edited in between.
//
// Positions past 1e8 units are written less a declared offset: in a comment at
// the top, in the plan's record, in the note, and in the losses.
package dxf
