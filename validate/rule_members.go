// Part of the rule property-misnamed: members of a plan that hold what is
// drawn, and that no reader takes for features.

package validate

import (
	"fmt"
	"slices"

	"swardline/schema"
)

// extentMembers are members that other programs write with a geometry that is
// only the plan's extent (common practice, no source).
var extentMembers = []string{"bbox", "boundingbox", "bounds", "extent", "envelope", "footprint", "center", "centre", "centroid"}

// geoJSONGeometries are the types of RFC 7946, 1.4, that are geometries.
var geoJSONGeometries = []string{"Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection"}

// mostMemberDepth is how deep a member is searched: features in a collection in
// a list in an object.
const mostMemberDepth = 6

// drawnWithin counts the GeoJSON features within a value, and the geometries
// that stand in it for themselves.
func drawnWithin(v schema.Value, depth int) (features, geometries int) {
	if depth == 0 {
		return 0, 0
	}
	add := func(item schema.Value) {
		f, g := drawnWithin(item, depth-1)
		features, geometries = features+f, geometries+g
	}
	if v.Kind() == schema.KindList {
		for _, item := range v.Items() {
			add(item)
		}
		return features, geometries
	}
	fields := v.Fields()
	switch kind := fields.Get("type").Text(); {
	case kind == "Feature" && (fields.Has("geometry") || fields.Has("place")):
		return 1, 0
	case slices.Contains(geoJSONGeometries, kind) && (fields.Has("coordinates") || fields.Has("geometries")):
		return 0, 1
	}
	for _, a := range fields {
		add(a.Value)
	}
	return features, geometries
}

// membersDrawn reports members of the plan that hold features or geometries.
func (r *run) membersDrawn() {
	for _, a := range r.Plan.Attributes {
		features, geometries := drawnWithin(a.Value, mostMemberDepth)
		what := ""
		switch {
		case features > 0:
			what = plural(features, "feature")
		case geometries > 0 && !slices.Contains(extentMembers, foldKey(a.Key)):
			what = plural(geometries, "geometry")
			if geometries > 1 {
				what = fmt.Sprintf("%d geometries", geometries)
			}
		default:
			continue
		}
		x := r.finding(nil)
		x.Severity = Error
		x.Message = fmt.Sprintf("the plan's member %s holds %s that nothing reads: no rule looks at it and no conversion writes it as ground; put it into features, as a feature with its role", quote(a.Key), what)
	}
}
