// Package geojson reads and writes plans as GeoJSON (RFC 7946) and, for
// coordinates that are not WGS 84, as OGC JSON-FG (OGC 21-045r1, version 1.0).
//
// # How a plan stands in the file
//
// A FeatureCollection is the plan. Its member "name" is the plan's name,
// "epoch" the coordinates' epoch; every other member that RFC 7946 and JSON-FG
// do not define is one of Plan.Attributes, in order. A plan attribute whose
// name is taken by one of those goes, with all its fellows, into one object
// "plan_attributes".
//
// A Feature's property "role" is its role when it names a known one, "name" its
// name when it is a text that is not empty; the writer puts these two first.
// All other properties are attributes, in order. Members of a Feature that are
// neither GeoJSON's nor ours are kept in the attribute MembersKey, an object,
// and written back as members; those of its geometry stand in there under
// "geometry".
//
// # Coordinates that are not WGS 84
//
// They are written to "place", with "coordRefSys" naming the system, as an OGC
// URL for EPSG codes and as a URN of our own (URNPrefix and the percent-encoded
// canonical text) for everything else, site grids among them. Numbers in
// "place" follow the axis order of the system, so latitude or north comes first
// where its authority says so; "geometry" then holds WGS 84 longitude and
// latitude where an operation to it is known, else null. A plan in an unknown
// system is marked "crs_unknown": true and has its numbers in "place", too, so
// that no reader can take them for degrees.
package geojson

import (
	"fmt"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// FormatName is the name of the format in Plan.Source.Format.
const FormatName = "geojson"

// MembersKey is the attribute that holds the members of a Feature that are
// neither GeoJSON's nor a plan's.
const MembersKey = "geojson_members"

// URNPrefix starts the coordRefSys of a system that has no EPSG code; the
// percent-encoded canonical text of the system (crs.CRS.ID) follows.
const URNPrefix = "urn:swardline:crs:"

// Names of members that are neither RFC 7946's nor attributes.
const (
	memberConformsTo     = "conformsTo"      // OGC 21-045r1
	memberCoordRefSys    = "coordRefSys"     // OGC 21-045r1
	memberPlace          = "place"           // OGC 21-045r1
	memberTime           = "time"            // OGC 21-045r1
	memberCRS            = "crs"             // GeoJSON of 2008, dropped by RFC 7946
	memberUnknown        = "crs_unknown"     // ours
	memberGeometryFrame  = "geometry_frame"  // ours: the frame of "geometry" beside "place"
	memberPlanAttributes = "plan_attributes" // ours
)

// conformsToCore is the conformance class that every JSON-FG document names.
const conformsToCore = "http://www.opengis.net/spec/json-fg-1/1.0/conf/core"

// Detect reports whether a file that starts with head, without a byte-order
// mark, is JSON: it opens with a brace that a key or a closing brace follows,
// or with a bracket that a value follows. What kind of JSON it is, Read says.
func Detect(head []byte) bool {
	at := jsontext.SkipSpace(head, 0)
	if at >= len(head) || head[at] != '{' && head[at] != '[' {
		return false
	}
	open := head[at]
	at = jsontext.SkipSpace(head, at+1)
	if at >= len(head) {
		return true
	}
	switch c := head[at]; {
	case open == '{':
		return c == '"' || c == '}'
	default:
		return c == '{' || c == '[' || c == '"' || c == ']' || c == '-' || c >= '0' && c <= '9'
	}
}

// fault is what is wrong with the text, at a byte of it.
type fault struct {
	at            int
	path          string
	problem, mend string
}

func faultf(at int, format string, args ...any) *fault {
	return &fault{at: at, problem: fmt.Sprintf(format, args...)}
}

// within puts a step of the path before what is there.
func (f *fault) within(step string) *fault {
	if f.path != "" && f.path[0] != '[' {
		step += "."
	}
	f.path = step + f.path
	return f
}

func (f *fault) withinItem(i int) *fault { return f.within(fmt.Sprintf("[%d]", i)) }

func (f *fault) mendBy(mend string) *fault {
	f.mend = mend
	return f
}

func (f *fault) inputError(data []byte, name string) *wire.InputError {
	line, column := wire.LineColumn(data, f.at)
	return &wire.InputError{File: name, Line: line, Column: column, Path: f.path, Problem: f.problem, Mend: f.mend}
}

// a names a kind of value with its article.
func a(k schema.ValueKind) string {
	switch k {
	case schema.KindObject:
		return "an object"
	case schema.KindString:
		return "a text"
	case schema.KindNull:
		return "null"
	}
	return "a " + k.String()
}
