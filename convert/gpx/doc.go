// Package gpx reads and writes plans as GPX 1.1; GPX 1.0 is read as well.
//
// # What stands where
//
// GPX knows waypoints (wpt), routes (rte) and tracks (trk). A point of a plan
// is a wpt; a line is a rte; rings, rings with holes and everything of several
// lines are a trk with one trkseg a ring or line. Which of the three an element
// is says something to its owner, so a line that came as a trk carries the
// attribute gpx_kind = "trk" and goes out as one. Rings are written in drive
// order (schema.WindingDriven), closed, their first point first. Coordinates
// are WGS 84 degrees, the only ones GPX has.
//
// GPX sorts a file into waypoints, routes, tracks, and has no words for roles,
// ids, typed attributes, rings or collections. Those stand in extensions
// elements in the namespace
//
//	urn:swardline:gpx:1
//
// written with the prefix s. Its elements:
//
//	s:plan       in metadata/extensions. Attributes: epoch (decimal year), crs
//	             (when the plan names WGS 84 otherwise than OGC:CRS84).
//	             Children: s:attribute.
//	s:feature    in the extensions of a wpt, rte or trk; or in those of gpx
//	             itself for a feature that has no vertex at all. Attributes: n
//	             (its place in the plan, from 1), id, id-type ("number" when the
//	             id is one), role, geometry (a GeoJSON type name or LinearRing;
//	             left out for a wpt's Point, a rte's LineString and for no
//	             geometry), empty (numbers, from 1, of the empty points of a
//	             MultiPoint). Children: s:attribute, and s:member for a
//	             GeometryCollection.
//	s:member     one member of a collection, in order. Attributes: geometry,
//	             pieces (how many waypoints or segments it takes), empty.
//	s:more       in the extensions of a wpt or trk that holds further vertices
//	             of the feature n.
//	s:attribute  one attribute, in order. Attribute name; the content is its value
//	             as JSON text, which tells 7 from "7" and holds any character. With
//	             native="true" it is empty: the value stands in GPX's own element.
//	s:hole       in the extensions of a trkseg: the ring is a hole. A Polygon's
//	             first ring is its shell, whatever is written.
//	s:shell      in the extensions of a trkseg of a MultiPolygon: a part starts.
//	s:none       in the extensions of an empty trkseg: a part without rings.
//	s:kept       round foreign extensions that the GPX schema would not allow
//	             where they stood: those without a namespace or in GPX's own.
//
// A text that XML cannot hold (control characters) stands as JSON text in an
// attribute called name-json or id-json instead of the plain one. A feature's
// name stands in GPX's own name, and in s:feature only where that cannot be.
// Files are valid against the GPX 1.1 schema, whose extensions take anything.
//
// # Foreign files
//
// GPX's own fields become attributes under their own names: desc, cmt, src,
// link, sym, type, number, time, magvar, geoidheight, fix, sat, hdop, vdop,
// pdop, ageofdgpsdata, dgpsid, and on the plan also author, copyright,
// keywords, bounds, gpx_creator. What stands at the vertices of a line becomes
// a list with a value or null a vertex, nested as the geometry is: times
// (schema.PropTimes) for time, point_hdop for hdop and so on. Such attributes
// go out as GPX's own elements again wherever their form allows.
//
// A type that is a role's name gives the role. Without our extension tracks are
// lines, closed or not: nothing in GPX says that one bounds an area, but a role
// that only areas have (zone, keepout, building), with one closed line. A trk of
// one segment is a LineString, of none or several a MultiLineString.
//
// Foreign extensions are kept as text, each outermost element with all the
// namespace bindings it needs, so that URIs stay right and prefixes as they
// were: gpx_extensions on a feature or the plan, metadata_extensions on the
// plan, segment_extensions (a list) on a trk, point_extensions (a list) for
// vertices.
//
// A missing elevation is absent, a zero one is 0.
package gpx

// Namespace is the URI of the extensions described in the package's comment.
const Namespace = "urn:swardline:gpx:1"

// KindAttribute is the attribute that says which element a feature came from,
// where that is not the one the writer would choose: "trk" on a LineString.
const KindAttribute = "gpx_kind"

// Attributes that hold foreign extensions as text.
const (
	extensionsKey         = "gpx_extensions"
	metadataExtensionsKey = "metadata_extensions"
	segmentExtensionsKey  = "segment_extensions"
	pointPrefix           = "point_"
	creatorKey            = "gpx_creator"
)
