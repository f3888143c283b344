// Reading geometry: KML's elements become a flat tree of nodes first, then the
// plan's geometry, because what a MultiGeometry is shows only at its end.

package kml

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// kind is what a node is.
type kind uint8

const (
	kindPoint kind = iota
	kindLine
	kindPolygon
	kindMulti
)

// Names of the plan's geometry types, as the field geometry writes them.
const (
	typeMultiPoint      = "MultiPoint"
	typeMultiLineString = "MultiLineString"
	typeMultiPolygon    = "MultiPolygon"
	typeCollection      = "GeometryCollection"
)

// node is one geometry element; its parts follow it up to the index next.
type node struct {
	kind         kind
	declared     string // the type that the element itself names, for elements that are not KML's
	at           int
	next         int
	flat0, flat1 int // its numbers in reader.flat
	ends0, ends1 int // its rings in reader.ends
	time0, time1 int // its times in reader.times
	mode         string
	extrude      int8 // -1 absent, 0, 1
	tessellate   int8
	altitudes    bool // a vertex has an altitude
}

// isGeometry reports whether an element of KML's own or gx is a geometry that
// is read.
func isGeometry(local []byte) bool {
	switch string(local) {
	case "Point", "LineString", "LinearRing", "Polygon", "MultiGeometry", "Track", "MultiTrack", typeMultiPoint, typeMultiLineString, typeMultiPolygon:
		return true
	}
	return false
}

// geometry reads the geometry element whose start token was read last and
// appends its nodes.
func (r *reader) geometry() error {
	if r.vertices++; float64(r.vertices) > r.caps.InputMaxVertices {
		// Parts count as vertices, so that empty ones are bounded too.
		return r.fail(r.at, fmt.Sprintf("the file has more than %.0f points and parts (limit input_max_vertices)", r.caps.InputMaxVertices), "split it, or raise the limit in a limits file")
	}
	i := len(r.nodes)
	r.nodes = append(r.nodes, node{at: r.at, flat0: len(r.flat), ends0: len(r.ends), time0: len(r.times), extrude: -1, tessellate: -1})
	var err error
	switch local := string(r.local); local {
	case "Point":
		r.nodes[i].kind = kindPoint
		err = r.simple(i)
	case "LineString":
		r.nodes[i].kind = kindLine
		err = r.simple(i)
	case "LinearRing":
		r.nodes[i].kind = kindLine
		err = r.looseRing(i)
	case "Polygon":
		r.nodes[i].kind = kindPolygon
		err = r.polygon(i)
	case "Track":
		r.nodes[i].kind = kindLine
		err = r.track(i)
	default:
		r.nodes[i].kind = kindMulti
		if local != "MultiGeometry" && local != "MultiTrack" {
			r.nodes[i].declared = local
			r.warn("geometry-nonstandard", r.at, 1, "%s is no element of KML; it was read as a MultiGeometry of that kind", local)
		}
		err = r.multi(i)
	}
	if err != nil {
		return err
	}
	n := &r.nodes[i]
	n.next, n.flat1, n.ends1, n.time1 = len(r.nodes), len(r.flat), len(r.ends), len(r.times)
	for k := n.flat0 + 2; k < n.flat1; k += 3 {
		if !math.IsNaN(r.flat[k]) {
			n.altitudes = true
			break
		}
	}
	return nil
}

// simple reads the content of a Point or LineString.
func (r *reader) simple(i int) error {
	at := r.at
	if err := r.geometryParts(i, false); err != nil {
		return err
	}
	n := (len(r.flat) - r.nodes[i].flat0) / 3
	switch {
	case r.nodes[i].kind == kindPoint && n > 1:
		return r.fail(at, fmt.Sprintf("a Point holds %d places", n), "make it a LineString, or several Points")
	case r.nodes[i].kind == kindLine && n == 1:
		return r.fail(at, "a LineString holds one place; it needs two", "remove it, or make it a Point")
	}
	return nil
}

// looseRing reads a LinearRing that bounds no polygon.
func (r *reader) looseRing(i int) error {
	at := r.at
	if err := r.geometryParts(i, false); err != nil {
		return err
	}
	n := (len(r.flat) - r.nodes[i].flat0) / 3
	if n > 0 && n < 3 {
		return r.tooFew(at, n)
	}
	r.warn("linear-ring", at, 1, "a LinearRing stands outside a Polygon; it was read as a line")
	return nil
}

func (r *reader) tooFew(at, n int) error {
	return r.fail(at, fmt.Sprintf("an outline has %d points; it needs at least three", n), "draw the outline again, or remove it")
}

// geometryParts reads the elements inside a geometry: its coordinates and how
// KML is to show it. inRing is true for a ring of a polygon, where only the
// coordinates count.
func (r *reader) geometryParts(i int, inRing bool) error {
	seen := false
	for {
		more, err := r.child()
		if err != nil || !more {
			return err
		}
		switch {
		case r.space == nsOther:
			err = r.skipOther()
		case string(r.local) == "coordinates":
			if seen {
				return r.fail(r.at, "a second coordinates element stands in one geometry", "make it a geometry of its own")
			}
			seen = true
			err = r.coordinates()
		case inRing:
			err = r.skipKnown()
		default:
			err = r.showPart(i)
		}
		if err != nil {
			return err
		}
	}
}

// showPart reads one of the elements that say how KML is to show a geometry.
func (r *reader) showPart(i int) error {
	at := r.at
	switch local := string(r.local); local {
	case "altitudeMode":
		text, err := r.content()
		if err != nil {
			return err
		}
		mode := r.key(trimSpace(text))
		if r.nodes[i].mode = mode; strings.HasSuffix(mode, "SeaFloor") {
			r.warn("sea-floor", at, 1, "line %d: a geometry counts its heights from the bottom of the water (%s), which on land is none: draw it as the water that it is, or have its heights count from the ground", r.line(at), mode)
		}
	case "extrude", "tessellate":
		text, err := r.content()
		if err != nil {
			return err
		}
		b, ok := parseBool(string(trimSpace(text)))
		if !ok {
			r.warn("value-type", at, 1, "%s is %q, neither 0 nor 1; it was passed over", local, wire.Clip(text, 60))
			return nil
		}
		v := int8(0)
		if b {
			v = 1
		}
		if local == "extrude" {
			r.nodes[i].extrude = v
		} else {
			r.nodes[i].tessellate = v
		}
	case "altitudeOffset":
		text, err := r.content()
		if err != nil {
			return err
		}
		if by, err := strconv.ParseFloat(string(trimSpace(text)), 64); err != nil || by != 0 {
			r.warn("altitude-offset", at, 1, "an altitudeOffset of %q lifts what is drawn here off its altitudes; it is not read: write the altitudes that it has", wire.Clip(text, 60))
		}
	default:
		return r.skipKnown()
	}
	return nil
}

// coordinates reads a coordinates element.
func (r *reader) coordinates() error {
	if r.Ended {
		_, err := r.next()
		return err
	}
	// Nearly always the content is one run of plain text.
	rest := r.Data[r.Pos:]
	end := bytes.IndexByte(rest, '<')
	if end >= 0 && bytes.HasPrefix(rest[end:], []byte("</")) && bytes.IndexByte(rest[:end], '&') < 0 {
		if err := r.tuples(rest[:end], r.Pos); err != nil {
			return err
		}
		r.Pos += end
		_, err := r.next()
		return err
	}
	at := r.at
	text, err := r.content()
	if err != nil {
		return err
	}
	return r.tuples(text, at)
}

// polygon reads the content of a Polygon. Its rings are kept as they are, the
// outer one first.
func (r *reader) polygon(i int) error {
	at := r.at
	outer := -1 // which of the rings bounds the polygon
	for {
		more, err := r.child()
		if err != nil {
			return err
		}
		if !more {
			break
		}
		switch {
		case r.space == nsOther:
			err = r.skipOther()
		case string(r.local) == "outerBoundaryIs":
			first, before := len(r.ends)-r.nodes[i].ends0, r.at
			if err = r.boundary(); err != nil {
				return err
			}
			rings := len(r.ends) - r.nodes[i].ends0 - first
			if rings > 1 || rings == 1 && outer >= 0 {
				return r.fail(before, "a Polygon has more than one outer boundary", "make each a Polygon of its own, inside a MultiGeometry")
			}
			if rings == 1 {
				outer = first
			}
		case string(r.local) == "innerBoundaryIs":
			before := len(r.ends)
			if err = r.boundary(); err != nil {
				return err
			}
			if len(r.ends) > before+1 {
				r.warn("boundary-rings", r.at, 1, "an innerBoundaryIs holds several outlines; each was read as a hole")
			}
		default:
			err = r.showPart(i)
		}
		if err != nil {
			return err
		}
	}
	n := r.nodes[i]
	switch {
	case outer < 0 && len(r.ends) > n.ends0:
		return r.fail(at, "a Polygon has a hole but no outer boundary", "draw its outline, or remove it")
	case outer > 0:
		r.outerFirst(n, outer)
	}
	return nil
}

// outerFirst moves the ring at index outer before the rings in front of it.
func (r *reader) outerFirst(n node, outer int) {
	flat, ends := r.flat[n.flat0:], r.ends[n.ends0:]
	from, to := ends[outer-1]-n.flat0, ends[outer]-n.flat0
	moved := append(append([]float64(nil), flat[from:to]...), flat[:from]...)
	copy(flat, moved)
	for k := outer; k > 0; k-- {
		ends[k] = ends[k-1] + to - from
	}
	ends[0] = n.flat0 + to - from
}

// boundary reads an outerBoundaryIs or innerBoundaryIs and appends its rings,
// one as a rule. An empty ring is passed over.
func (r *reader) boundary() error {
	for {
		more, err := r.child()
		if err != nil || !more {
			return err
		}
		if string(r.local) != "LinearRing" || r.space == nsOther {
			if err := r.skipKnown(); err != nil {
				return err
			}
			continue
		}
		at, from := r.at, len(r.flat)
		if err := r.geometryParts(0, true); err != nil {
			return err
		}
		switch n := (len(r.flat) - from) / 3; {
		case n == 0:
			r.warn("ring-empty", at, 1, "an outline holds no points; it was passed over")
		case n < 3:
			return r.tooFew(at, n)
		default:
			r.ends = append(r.ends, len(r.flat))
		}
	}
}

// multi reads the parts of a MultiGeometry or MultiTrack.
func (r *reader) multi(i int) error {
	if r.multiDepth++; float64(r.multiDepth) > r.caps.InputMaxNesting {
		return r.fail(r.at, fmt.Sprintf("geometries nest more than %.0f deep (limit input_max_nesting)", r.caps.InputMaxNesting), "flatten them, or raise the limit in a limits file")
	}
	defer func() { r.multiDepth-- }()
	for {
		more, err := r.child()
		if err != nil {
			return err
		}
		if !more {
			return r.multiEnd(i)
		}
		switch {
		case r.space == nsOther:
			err = r.skipOther()
		case isGeometry(r.local):
			err = r.geometry()
		default:
			err = r.showPart(i)
		}
		if err != nil {
			return err
		}
	}
}

// multiEnd hands down to the parts what the whole says of how they show.
func (r *reader) multiEnd(i int) error {
	m := r.nodes[i]
	if m.mode == "" && m.extrude < 0 && m.tessellate < 0 {
		return nil
	}
	for k := i + 1; k < len(r.nodes); k++ {
		n := &r.nodes[k]
		if n.mode == "" {
			n.mode = m.mode
		}
		if n.extrude < 0 {
			n.extrude = m.extrude
		}
		if n.tessellate < 0 {
			n.tessellate = m.tessellate
		}
	}
	return nil
}

// track reads a Track: places with a time each. A place that is not known is
// passed over with its time.
func (r *reader) track(i int) error {
	at := r.at
	var whens []schema.Value
	var known []bool
	for {
		more, err := r.child()
		if err != nil {
			return err
		}
		if !more {
			break
		}
		switch {
		case r.space == nsOther:
			err = r.skipOther()
		case string(r.local) == "when":
			var text []byte
			if text, err = r.content(); err != nil {
				return err
			}
			v := schema.Null()
			if text = trimSpace(text); len(text) > 0 {
				v = schema.String(string(text))
			}
			whens = append(whens, v)
		case string(r.local) == "coord":
			from := r.at
			var text []byte
			if text, err = r.content(); err != nil {
				return err
			}
			var ok bool
			if ok, err = r.trackTuple(text, from); err != nil {
				return err
			}
			known = append(known, ok)
			if !ok {
				r.warn("track-gap", from, 1, "a place of a track is not known; it was passed over with its time")
			}
		default:
			err = r.showPart(i)
		}
		if err != nil {
			return err
		}
	}
	if len(whens) > 0 && len(whens) != len(known) {
		r.warn("track-times", at, 1, "a track has %d times for %d places; times were given in order, as far as they go", len(whens), len(known))
	}
	for k, ok := range known {
		if !ok || len(whens) == 0 {
			continue
		}
		if k < len(whens) {
			r.times = append(r.times, whens[k])
		} else {
			r.times = append(r.times, schema.Null())
		}
	}
	if (len(r.flat)-r.nodes[i].flat0)/3 == 1 {
		r.nodes[i].kind = kindPoint
		r.warn("track-point", at, 1, "a track has one place only; it was read as a point")
	}
	return nil
}

// finishGeometry makes the feature's geometry of the nodes, and the attributes
// that say how KML shows it. typed is what the field geometry says.
func (r *reader) finishGeometry(f *schema.Feature, m *placemark, typed string) (geom.T, error) {
	roots := m.roots
	if !m.ours {
		r.countEmpty(roots)
	}
	if len(roots) > 1 {
		roots = r.siblings(roots)
	}
	if len(roots) == 0 || r.leftOut(&r.nodes[roots[0]]) {
		return nil, nil
	}
	var g geom.T
	if len(roots) == 1 {
		g = r.build(roots[0], parseTypes(typed))
	} else {
		c := geom.NewGeometryCollection()
		for _, i := range roots {
			c.MustPush(r.build(i, nil)) // cannot fail: the collection has no layout of its own
		}
		g = c
	}
	r.showAttributes(f, m, roots)
	r.timesAttribute(f, roots)
	return g, nil
}

// leftOut reports whether a node holds no coordinates and is to be left out
// therefore: only a Placemark of ours keeps empty geometries.
func (r *reader) leftOut(n *node) bool { return !r.mark.ours && n.flat0 == n.flat1 }

// siblings settles a Placemark with several geometries side by side, which KML
// does not allow: empty ones are left out, the rest are parts of one.
func (r *reader) siblings(roots []int) []int {
	kept := roots[:0]
	first := roots[0]
	for _, i := range roots {
		if n := r.nodes[i]; n.flat1 > n.flat0 {
			kept = append(kept, i)
		}
	}
	if len(kept) == 0 {
		kept = append(kept, first)
	}
	r.warn("geometry-siblings", r.nodes[first].at, 1, "a Placemark holds several geometries side by side; those that are not empty are parts of one now")
	return kept
}

// countEmpty warns of geometries without a vertex.
func (r *reader) countEmpty(roots []int) {
	for _, root := range roots {
		for i := root; i < r.nodes[root].next; i++ {
			if n := r.nodes[i]; n.flat1 == n.flat0 && (n.kind != kindMulti || n.next == i+1) {
				r.warn("geometry-empty", n.at, 1, "a geometry has no coordinates; it was read as no geometry")
			}
		}
	}
}

// types is a parsed field geometry: a type's name, and for a collection
// those of its parts.
type types struct {
	name  string
	parts []*types
}

// parseTypes parses a field geometry; nil when it says nothing that can
// be understood.
func parseTypes(text string) *types {
	text = trimmed(text)
	if text == "" {
		return nil
	}
	t, rest := parseType(text, 0)
	if rest != "" {
		return nil
	}
	return t
}

func parseType(text string, depth int) (t *types, rest string) {
	i := strings.IndexAny(text, "(,)")
	if i < 0 {
		i = len(text)
	}
	t = &types{name: text[:i]}
	rest = text[i:]
	if rest == "" || rest[0] != '(' || depth > schema.MaxNesting {
		return t, rest
	}
	for {
		var part *types
		part, rest = parseType(rest[1:], depth+1)
		t.parts = append(t.parts, part)
		if rest == "" || rest[0] == '(' {
			return t, "?" // not closed: no text of ours
		}
		if rest[0] == ')' {
			return t, rest[1:]
		}
	}
}

// build makes the geometry of node i, of the type that t says where it can be.
func (r *reader) build(i int, t *types) geom.T {
	n := &r.nodes[i]
	layout, stride := geom.XY, 2
	if n.altitudes {
		layout, stride = geom.XYZ, 3
	}
	switch n.kind {
	case kindPoint:
		if n.flat0 == n.flat1 {
			return geom.NewPointEmpty(layout)
		}
		return geom.NewPointFlat(layout, r.coords(n, stride))
	case kindLine:
		return geom.NewLineStringFlat(layout, r.coords(n, stride))
	case kindPolygon:
		return geom.NewPolygonFlat(layout, r.coords(n, stride), r.ringEnds(n, n.flat0, stride))
	}
	name := r.multiType(i, t)
	switch name {
	case typeMultiPoint:
		return geom.NewMultiPointFlat(layout, r.coords(n, stride), geom.NewMultiPointFlatOptionWithEnds(r.partEnds(i, stride)))
	case typeMultiLineString:
		return geom.NewMultiLineStringFlat(layout, r.coords(n, stride), r.partEnds(i, stride))
	case typeMultiPolygon:
		var endss [][]int
		for k := i + 1; k < n.next; k = r.nodes[k].next {
			if part := &r.nodes[k]; !r.leftOut(part) {
				endss = append(endss, r.ringEnds(part, n.flat0, stride))
			}
		}
		return geom.NewMultiPolygonFlat(layout, r.coords(n, stride), endss)
	}
	c := geom.NewGeometryCollection()
	part := 0
	for k := i + 1; k < n.next; k = r.nodes[k].next {
		if r.leftOut(&r.nodes[k]) {
			continue
		}
		var pt *types
		if t != nil && part < len(t.parts) {
			pt = t.parts[part]
		}
		c.MustPush(r.build(k, pt)) // cannot fail: the collection has no layout of its own
		part++
	}
	return c
}

// multiType returns the type of the MultiGeometry at node i: what t says, else
// what the element says, else what its parts make it.
func (r *reader) multiType(i int, t *types) string {
	inferred := ""
	for k := i + 1; k < r.nodes[i].next; k = r.nodes[k].next {
		if r.leftOut(&r.nodes[k]) {
			continue
		}
		of := [...]string{typeMultiPoint, typeMultiLineString, typeMultiPolygon, typeCollection}[r.nodes[k].kind]
		if inferred == "" {
			inferred = of
		}
		if inferred != of {
			inferred = typeCollection
		}
	}
	said := r.nodes[i].declared
	if t != nil && t.name != "" {
		said = t.name
	}
	switch {
	case said == typeCollection, said != "" && said == inferred:
		return said
	case inferred == "" && (said == typeMultiPoint || said == typeMultiLineString || said == typeMultiPolygon):
		return said
	case inferred == "":
		return typeCollection
	}
	return inferred
}

// coords copies a node's numbers, in steps of stride.
func (r *reader) coords(n *node, stride int) []float64 {
	flat := r.flat[n.flat0:n.flat1]
	if stride == 3 {
		return append(make([]float64, 0, len(flat)), flat...)
	}
	out := make([]float64, len(flat)/3*2)
	for i, k := 0, 0; i < len(flat); i, k = i+3, k+2 {
		out[k], out[k+1] = flat[i], flat[i+1]
	}
	return out
}

// ringEnds returns where a node's rings end, counted in steps of stride from
// the number at start of reader.flat.
func (r *reader) ringEnds(n *node, start, stride int) []int {
	out := make([]int, 0, n.ends1-n.ends0)
	for _, end := range r.ends[n.ends0:n.ends1] {
		out = append(out, (end-start)/3*stride)
	}
	return out
}

// partEnds returns where the parts of the node i end.
func (r *reader) partEnds(i, stride int) []int {
	n := &r.nodes[i]
	out := []int{}
	for k := i + 1; k < n.next; k = r.nodes[k].next {
		if part := &r.nodes[k]; !r.leftOut(part) {
			out = append(out, (part.flat1-n.flat0)/3*stride)
		}
	}
	return out
}

// timesAttribute keeps the times of tracks as the attribute times, nested as
// the geometry is.
func (r *reader) timesAttribute(f *schema.Feature, roots []int) {
	if len(r.times) == 0 {
		return
	}
	var v schema.Value
	if len(roots) == 1 {
		v = r.timesOf(roots[0])
	} else {
		var parts []schema.Value
		for _, i := range roots {
			parts = append(parts, r.timesOf(i))
		}
		v = schema.List(parts...)
	}
	if v.Kind() == schema.KindList {
		r.add(&f.Attributes, schema.PropTimes, v, r.nodes[roots[0]].at)
	}
}

func (r *reader) timesOf(i int) schema.Value {
	n := &r.nodes[i]
	if n.kind != kindMulti {
		if n.time0 == n.time1 {
			return schema.Null()
		}
		return schema.List(append([]schema.Value(nil), r.times[n.time0:n.time1]...)...)
	}
	var parts []schema.Value
	for k := i + 1; k < n.next; k = r.nodes[k].next {
		if !r.leftOut(&r.nodes[k]) {
			parts = append(parts, r.timesOf(k))
		}
	}
	return schema.List(parts...)
}

// showProps are the attributes that say how KML shows a geometry.
var showProps = [...]string{schema.PropAltitudeMode, schema.PropExtrude, schema.PropTessellate}

// shown returns what a node's elements say of one of showProps, absent for
// nothing.
func (n *node) shown(prop int) schema.Value {
	flag := n.extrude
	switch prop {
	case 0:
		if n.mode == "" {
			return schema.Value{}
		}
		return schema.String(n.mode)
	case 2:
		flag = n.tessellate
	}
	if flag < 0 {
		return schema.Value{}
	}
	return schema.Bool(flag == 1)
}

// showAttributes keeps altitudeMode, extrude and tessellate as attributes. In a
// Placemark of ours they count only where they differ from the attribute.
func (r *reader) showAttributes(f *schema.Feature, m *placemark, roots []int) {
	leaves := r.leaves[:0]
	for _, root := range roots {
		for i := root; i < r.nodes[root].next; i++ {
			if n := &r.nodes[i]; n.kind != kindMulti && !r.leftOut(n) {
				leaves = append(leaves, i)
			}
		}
	}
	r.leaves = leaves
	for prop, key := range showProps {
		value := r.shownBy(leaves, prop)
		switch {
		case !m.ours:
			if !value.IsAbsent() {
				r.add(&f.Attributes, key, value, m.at)
			}
		case !value.IsAbsent() && !r.asShown(f.Attributes.Get(key), prop, leaves):
			r.edited(m.at, key)
			f.Attributes.Set(key, value)
		}
	}
}

// shownBy returns what the elements of the nodes say of one of showProps: one
// value when all say the same, else a list, absent when none says anything.
func (r *reader) shownBy(leaves []int, prop int) schema.Value {
	any, same := false, true
	var first schema.Value
	for k, i := range leaves {
		v := r.nodes[i].shown(prop)
		any = any || !v.IsAbsent()
		if k == 0 {
			first = v
		}
		same = same && v.Equal(first)
	}
	if !any || same {
		return first
	}
	list := make([]schema.Value, len(leaves))
	for k, i := range leaves {
		if list[k] = r.nodes[i].shown(prop); list[k].IsAbsent() {
			list[k] = schema.Null()
		}
	}
	return schema.List(list...)
}

// asShown reports whether the nodes' elements are what the attribute v shows
// as.
func (r *reader) asShown(v schema.Value, prop int, leaves []int) bool {
	for k, i := range leaves {
		n := &r.nodes[i]
		if !shownPart(v, prop, k, len(leaves), n.kind).Equal(n.shown(prop)) {
			return false
		}
	}
	return true
}

// shownPart returns what the attribute v of showProps says of one part of a
// geometry with so many parts, absent when it says nothing that KML can show.
func shownPart(v schema.Value, prop, part, parts int, k kind) schema.Value {
	if v.Kind() == schema.KindList {
		items := v.Items()
		if len(items) != parts {
			return schema.Value{}
		}
		v = items[part]
	}
	switch prop {
	case 0:
		switch v.Text() {
		case "clampToGround", "relativeToGround", "absolute":
			if v.Kind() == schema.KindString {
				return v
			}
		}
		return schema.Value{}
	case 2:
		if k == kindPoint {
			return schema.Value{} // a Point has no tessellate
		}
	}
	if v.Kind() == schema.KindBool {
		return v
	}
	return schema.Value{}
}
