// Package kml reads KML 2.0 to 2.3 and KMZ, and writes OGC KML 2.2 (07-147r2)
// and KMZ.
//
// # What is written, and how it reads back
//
// A plan in WGS 84 comes back from KML as it was: one rule covers everything
// that KML has no place for.
//
//   - A feature is a Placemark. Its ExtendedData holds two SchemaData: the
//     feature's own parts under "#swardline.feature" (role, id, and where needed
//     name, geometry and nulls), then its attributes, in their order, under
//     "#swardline.feature.attributes". The first of them is the mark of a Placemark
//     of ours; a Placemark without it is read as anybody's. Both are plain typed
//     fields to other readers.
//   - A Schema gives each field a KML type: int, uint or double when all its
//     values are numbers, bool (as 1 and 0) when all are truth values, else
//     string. In a string field and in a field's name, a text that starts with "="
//     is JSON (RFC 8259) from there on, so =5, =true, ={"a":[1]}; and a text that
//     itself starts with "=", or that holds characters XML 1.0 cannot, is written
//     as a JSON string. Numbers keep their digits.
//   - Attributes that are null are left out, because common readers take an empty
//     number for 0. The field nulls lists them with their place in the order, as
//     a JSON object such as ={"checked":4}.
//   - Attributes that KML has elements for are shown a second time as those
//     elements: note as description, visibility, address, phone_number, snippet,
//     time as TimeStamp, time_begin and time_end as TimeSpan, altitude_mode,
//     extrude and tessellate inside the geometry. In a Placemark of ours such an
//     element counts only when it says something else than the attribute, that
//     is when somebody edited it; then it wins, with the warning "edited".
//   - name stands in the name element as it is; characters that XML cannot hold
//     show there as U+FFFD, and the field name has the true text.
//   - The field geometry says what a MultiGeometry is where its parts do not:
//     without it, parts of one simple kind make a MultiPoint, MultiLineString or
//     MultiPolygon, anything else a GeometryCollection. It is a type's name; a
//     GeometryCollection lists its parts' names in brackets, left empty where
//     they need none.
//   - The plan's name is the Document's; its other parts (epoch, nulls) and its
//     attributes stand in the Document's ExtendedData in the same manner, under
//     "#swardline.plan" and "#swardline.plan.attributes".
//   - Features stand in their order, in no folders; folders that somebody puts
//     around a Placemark of ours mean nothing. A styleUrl of ours only names the
//     role's style; it is not read.
//
// # What is read from other writers' files
//
// Elements become: name and Placemark id the feature's; description,
// visibility, address, phoneNumber, Snippet, TimeStamp and TimeSpan the
// attributes named above; Data a text; SimpleData a value of its field's type;
// the names of Folders (and of Documents inside the first one) the attribute
// folder, a list from the outermost in; styleUrl the attribute style_url, and
// what the style says of colours and widths line_color, line_width, fill_color
// and icon_color (#rrggbb, or #rrggbbaa when not opaque). White space around
// texts is taken off. An attribute role with a word of ours sets the role. A
// key that is already taken gets "_2" behind it. A geometry without coordinates
// is none, and a LinearRing outside a Polygon is a line. gx:Track (and KML
// 2.3's Track) becomes a line with the attribute times. Everything else is
// counted in a warning, by kind.
//
// Where one altitude_mode, extrude or tessellate holds for all parts of a
// geometry the attribute is that value, else a list with one entry a part.
//
// Heights are kept as written. In KML a height means something only together
// with altitude_mode; nothing is added or taken away to change its datum.
package kml

import (
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// Ids of the Schemas of ours, and what the ids of our styles start with.
const (
	featureSchema     = "swardline.feature"
	featureAttributes = "swardline.feature.attributes"
	planSchema        = "swardline.plan"
	planAttributes    = "swardline.plan.attributes"
	stylePrefix       = "swardline."
)

// Fields of featureSchema and planSchema: the parts of a feature or a plan that
// are no attributes.
const (
	partRole     = schema.PropRole
	partID       = schema.PropID
	partName     = schema.PropName
	partEpoch    = schema.PropEpoch
	partGeometry = "geometry"
	partNulls    = "nulls"
)

// Attributes that only KML brings. The others are in package schema.
const (
	propPhysicalWidth = "physical_width_m" // number: gx:physicalWidth of a line, metres
	propVisibility    = "visibility"       // bool: KML visibility
	propAddress       = "address"          // text: KML address
	propPhone         = "phone_number"     // text: KML phoneNumber
	propAuthor        = "author"           // text: of whom the whole file is
	propMessage       = "message"          // text: what a NetworkLinkControl says
	propSnippet       = "snippet"          // text: KML Snippet
	propTime          = "time"             // text: KML TimeStamp
	propTimeBegin     = "time_begin"       // text: begin of a KML TimeSpan
	propTimeEnd       = "time_end"         // text: end of a KML TimeSpan
	propStyleURL      = "style_url"        // text: KML styleUrl
	propIcon          = "icon"             // text: what the picture of an icon is called
	propLineWidth     = "line_width"       // number, pixels
)

// Detect reports whether the first bytes of a file, without a byte-order mark,
// are those of a KML document: its root element is kml, with or without a
// namespace prefix.
func Detect(head []byte) bool {
	root, _ := xml.Root(head)
	return string(root) == "kml"
}
