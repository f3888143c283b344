// Writing geometry as go-kml elements.

package kml

import (
	"encoding/xml"
	"fmt"

	"github.com/twpayne/go-geom"
	gokml "github.com/twpayne/go-kml/v3"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// geometryWriter makes the elements of one feature's geometry.
type geometryWriter struct {
	w     *placemarkWriter
	f     *schema.Feature
	t     *wire.Tally
	show  [len(showProps)]schema.Value
	shows bool
	part  int    // of the part that is made next
	parts int    // how many there are
	typed string // the field geometry, "" for none
}

func newGeometryWriter(w *placemarkWriter, f *schema.Feature, t *wire.Tally) *geometryWriter {
	g := &geometryWriter{w: w, f: f, t: t}
	for i := range f.Attributes {
		for prop, key := range showProps {
			if f.Attributes[i].Key == key {
				g.show[prop], g.shows = f.Attributes[i].Value, true
			}
		}
	}
	return g
}

// element returns the feature's geometry, nil when there is none.
func (g *geometryWriter) element() (gokml.Element, error) {
	if g.f.Geometry == nil {
		return nil, nil
	}
	winding := g.f.Source.Winding
	if winding == schema.WindingUnstated {
		winding = g.w.winding
	}
	wound := wire.ForRings(g.f, crs.WGS84(), winding, schema.WindingStandard, g.t)
	if g.shows {
		g.parts = countParts(wound)
	}
	var err error
	if g.typed, err = typesOf(wound, 0); err != nil {
		return nil, err
	}
	return g.geometry(wound)
}

// countParts returns how many Points, LineStrings and Polygons a geometry
// makes.
func countParts(g geom.T) int {
	switch g := g.(type) {
	case *geom.MultiPoint:
		return len(g.Ends())
	case *geom.MultiLineString:
		return len(g.Ends())
	case *geom.MultiPolygon:
		return len(g.Endss())
	case *geom.GeometryCollection:
		n := 0
		for _, part := range g.Geoms() {
			n += countParts(part)
		}
		return n
	}
	return 1
}

// typesOf returns the field geometry that g needs, "" when it is read
// back as what it is anyway.
func typesOf(g geom.T, depth int) (string, error) {
	switch g := g.(type) {
	case *geom.MultiPoint:
		return ifEmpty(len(g.Ends()), typeMultiPoint), nil
	case *geom.MultiLineString:
		return ifEmpty(len(g.Ends()), typeMultiLineString), nil
	case *geom.MultiPolygon:
		return ifEmpty(len(g.Endss()), typeMultiPolygon), nil
	case *geom.GeometryCollection:
		if depth >= schema.MaxNesting {
			return "", fmt.Errorf("geometry collections nest more than %d deep", schema.MaxNesting)
		}
		parts := make([]string, g.NumGeoms())
		needed := false
		simple := g.NumGeoms() > 0
		first := kindMulti
		for i, part := range g.Geoms() {
			var err error
			if parts[i], err = typesOf(part, depth+1); err != nil {
				return "", err
			}
			needed = needed || parts[i] != ""
			k := kindOf(part)
			if i == 0 {
				first = k
			}
			simple = simple && k == first && k != kindMulti
		}
		switch {
		case needed:
			return typeCollection + joinTypes(parts), nil
		case simple:
			return typeCollection, nil
		}
	}
	return "", nil
}

func ifEmpty(n int, name string) string {
	if n == 0 {
		return name
	}
	return ""
}

func kindOf(g geom.T) kind {
	switch g.(type) {
	case *geom.Point:
		return kindPoint
	case *geom.LineString, *geom.LinearRing:
		return kindLine
	case *geom.Polygon:
		return kindPolygon
	}
	return kindMulti
}

func (g *geometryWriter) geometry(t geom.T) (gokml.Element, error) {
	if t.Layout() == geom.XYM || t.Layout() == geom.XYZM {
		g.t.Add("measure", g.f.Source.Line, g.f.Source.Path, "%q has a measure at its points, which KML cannot hold", g.f.Label())
	}
	switch t := t.(type) {
	case *geom.Point:
		return gokml.Point(g.simple(kindPoint, t, 0, len(t.FlatCoords()))...), nil
	case *geom.LineString:
		return gokml.LineString(g.simple(kindLine, t, 0, len(t.FlatCoords()))...), nil
	case *geom.LinearRing:
		g.t.Add("linear-ring", g.f.Source.Line, g.f.Source.Path, "%q is an outline without a polygon; it is written as a line", g.f.Label())
		return gokml.LineString(g.simple(kindLine, t, 0, len(t.FlatCoords()))...), nil
	case *geom.Polygon:
		return g.polygon(t, 0, t.Ends())
	case *geom.MultiPoint:
		m := gokml.MultiGeometry()
		start := 0
		for _, end := range t.Ends() {
			m.Append(gokml.Point(g.simple(kindPoint, t, start, end)...))
			start = end
		}
		return m, nil
	case *geom.MultiLineString:
		m := gokml.MultiGeometry()
		start := 0
		for _, end := range t.Ends() {
			m.Append(gokml.LineString(g.simple(kindLine, t, start, end)...))
			start = end
		}
		return m, nil
	case *geom.MultiPolygon:
		m := gokml.MultiGeometry()
		start := 0
		for _, ends := range t.Endss() {
			part, err := g.polygon(t, start, ends)
			if err != nil {
				return nil, err
			}
			m.Append(part)
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
		}
		return m, nil
	case *geom.GeometryCollection:
		m := gokml.MultiGeometry()
		for _, part := range t.Geoms() {
			e, err := g.geometry(part)
			if err != nil {
				return nil, err
			}
			m.Append(e)
		}
		return m, nil
	}
	return nil, fmt.Errorf("geometry type %T is not one a plan holds", t)
}

// shown returns the elements that say how KML is to show the next part.
func (g *geometryWriter) shown(k kind) []gokml.Element {
	part := g.part
	g.part++
	if !g.shows {
		return nil
	}
	var out []gokml.Element
	if b, ok := shownPart(g.show[1], 1, part, g.parts, k).Truth(); ok {
		out = append(out, gokml.Extrude(b))
	}
	if b, ok := shownPart(g.show[2], 2, part, g.parts, k).Truth(); ok {
		out = append(out, gokml.Tessellate(b))
	}
	if mode := shownPart(g.show[0], 0, part, g.parts, k).Text(); mode != "" {
		out = append(out, gokml.AltitudeMode(gokml.AltitudeModeEnum(mode)))
	}
	return out
}

// simple returns the children of a Point or LineString.
func (g *geometryWriter) simple(k kind, t geom.T, start, end int) []gokml.Element {
	children := g.shown(k)
	if start < end {
		children = append(children, g.coordinates(t, start, end))
	}
	return children
}

func (g *geometryWriter) polygon(t geom.T, start int, ends []int) (gokml.Element, error) {
	p := gokml.Polygon(g.shown(kindPolygon)...)
	for i, end := range ends {
		if start == end {
			if i == 0 && len(ends) > 1 {
				return nil, fmt.Errorf("a polygon has holes but no outline")
			}
			g.t.Add("ring-empty", g.f.Source.Line, g.f.Source.Path, "%q has an outline without points; it is left out", g.f.Label())
			continue
		}
		ring := gokml.LinearRing(g.coordinates(t, start, end))
		if i == 0 {
			p.Append(gokml.OuterBoundaryIs(ring))
		} else {
			p.Append(gokml.InnerBoundaryIs(ring))
		}
		start = end
	}
	return p, nil
}

func (g *geometryWriter) coordinates(t geom.T, start, end int) gokml.Element {
	return &coordinates{w: g.w, flat: t.FlatCoords()[start:end], stride: t.Stride(), alt: t.Layout().ZIndex()}
}

// coordinates is a coordinates element. go-kml's own leaves out an altitude of
// 0, has no way to leave out one that is not known, and writes more digits than
// are in a coordinate.
type coordinates struct {
	w      *placemarkWriter
	flat   []float64
	stride int
	alt    int // index of the height in a vertex, -1 for none
}

// MarshalXML implements xml.Marshaler.
func (c *coordinates) MarshalXML(e *xml.Encoder, _ xml.StartElement) error {
	var err error
	if c.w.text, err = appendTuples(c.w.text[:0], c.flat, c.stride, c.alt); err != nil {
		return err
	}
	// Digits, commas and blanks need no escaping, which would cost as much as
	// all the rest.
	raw := struct {
		Text []byte `xml:",innerxml"`
	}{c.w.text}
	return e.EncodeElement(&raw, xml.StartElement{Name: xml.Name{Local: "coordinates"}})
}
