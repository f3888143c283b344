// Part of the rule property-misnamed: members of a plan that hold what is
// drawn, and that no reader takes for features.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

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
	case slices.Contains(geoJSONGeometries, kind) && (fields.Has("coordinates") || fields.Has("geometries") || fields.Has("arcs")):
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

// propertiesDraw tells of properties of features that hold features, geometries
// or a geometry as text, which nothing reads. What repeats the feature's own
// vertices, or is its extent, is not told.
func (r *run) propertiesDraw(tell func(f *Feature, grave bool, message string)) {
	for _, f := range r.Features {
		for _, a := range f.Attributes {
			switch a.Value.Kind() {
			case schema.KindString:
				text := a.Value.Text()
				if schema.DrawnInText(text) && !slices.Contains(extentMembers, foldKey(a.Key)) && !f.repeats(numbersOf(text)) {
					tell(f, false, "its property "+quote(a.Key)+" holds a geometry as text that nothing reads: draw what it shows as a feature with its role, or take the property out")
				}
			case schema.KindList, schema.KindObject:
				if a.Key == schema.PropCurve {
					continue
				}
				features, geometries := drawnWithin(a.Value, mostMemberDepth)
				if features == 0 && (geometries == 0 || slices.Contains(extentMembers, foldKey(a.Key))) || f.repeats(positionsIn(nil, a.Value)) {
					continue
				}
				what := "a geometry"
				if features > 0 {
					what = plural(features, "feature")
				}
				tell(f, true, fmt.Sprintf("its property %s holds %s that nothing reads: no rule looks at it and no conversion writes it as ground; put it into features, with its role", quote(a.Key), what))
			}
		}
	}
}

// numbersOf are the first two numbers of every position of well-known text, or of
// well-known binary in hexadecimal.
func numbersOf(text string) (out [][2]float64) {
	if out, ok := schema.HexPositions(text); ok {
		return out
	}
	_, text, _ = strings.Cut(text, "(")
	for _, position := range strings.Split(text, ",") {
		fields := strings.Fields(strings.Map(func(c rune) rune {
			if c == '(' || c == ')' {
				return ' '
			}
			return c
		}, position))
		if len(fields) < 2 {
			return nil
		}
		x, err1 := strconv.ParseFloat(fields[0], 64)
		y, err2 := strconv.ParseFloat(fields[1], 64)
		if err1 != nil || err2 != nil {
			return nil
		}
		out = append(out, [2]float64{x, y})
	}
	return out
}

// positionsIn appends the first two numbers of every list of numbers in a value.
func positionsIn(out [][2]float64, v schema.Value) [][2]float64 {
	if items := v.Items(); len(items) > 1 {
		x, ok1 := items[0].Float()
		y, ok2 := items[1].Float()
		if ok1 && ok2 {
			return append(out, [2]float64{x, y})
		}
	}
	for _, item := range v.Items() {
		out = positionsIn(out, item)
	}
	for _, a := range v.Fields() {
		if a.Key != "bbox" {
			out = positionsIn(out, a.Value)
		}
	}
	return out
}

// repeats reports whether all positions are vertices of the feature, and as
// many as it has: a program wrote its geometry once more.
func (f *Feature) repeats(positions [][2]float64) bool {
	if len(positions) == 0 || f.Geometry == nil {
		return false
	}
	if _, ok := f.Geometry.(*geom.GeometryCollection); ok {
		return false
	}
	flat, stride := f.Geometry.FlatCoords(), f.Geometry.Stride()
	if len(positions) != len(flat)/stride {
		return false
	}
	for i, p := range positions {
		x, y := flat[i*stride], flat[i*stride+1]
		// A text may have been cut to seven decimals of a degree.
		if !(math.Abs(p[0]-x) <= 1e-7 && math.Abs(p[1]-y) <= 1e-7) {
			return false
		}
	}
	return true
}

// proximity tells of distances round a waypoint that its GPX extensions give,
// which nothing reads.
func (r *run) proximity(tell func(f *Feature, grave bool, message string)) {
	for _, f := range r.Features {
		text := f.Attributes.Get(propGPXExtensions).Text()
		_, rest, found := strings.Cut(text, "Proximity>")
		if !found || f.Role == schema.RoleOther {
			continue
		}
		number, _, _ := strings.Cut(rest, "<")
		d, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if radius, ok := f.Float(schema.PropRadiusM); err != nil || d <= 0 || ok && radius >= d {
			continue
		}
		tell(f, false, fmt.Sprintf("its extensions give a Proximity of %s, a distance round the point in metres that is not read: how wide a thing is stands in radius_m, and a distance to keep in limits, such as {%q: %s}",
			strings.TrimSpace(number), "hazard_margin_m", strings.TrimSpace(number)))
	}
}

// partOfMore records that the file says of itself that it is one page of several
// (OGC API Features 1.0, 7.15.5 and 7.15.6: numberMatched, numberReturned and
// the link to the next page). It is part of geometry-unfit.
func (r *run) partOfMore() {
	has := float64(len(r.Plan.Features))
	for _, key := range [...]string{"numberMatched", "numberReturned"} {
		if n, ok := r.Plan.Attributes.Get(key).Float(); ok && n > has {
			r.cannot("the file holds %s of %s features, by its %s: ask for all of them, page by page or at once", trim(has, 0), trim(n, 0), key)
			return
		}
	}
	for _, link := range r.Plan.Attributes.Get("links").Items() {
		if schema.FoldName(link.Fields().Get("rel").Text()) == "next" {
			r.cannot("the file has a link to a next page of features: ask for all of them, page by page or at once")
			return
		}
	}
}
