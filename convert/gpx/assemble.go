// From the vertices of waypoints, routes and tracks to geometries.

package gpx

import (
	"math"
	"strconv"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// pack copies vertices (x y h, NaN for no height) in the layout they need.
func pack(flat []float64) (geom.Layout, []float64) {
	heights := false
	for i := 2; i < len(flat); i += 3 {
		if !math.IsNaN(flat[i]) {
			heights = true
			break
		}
	}
	if len(flat) == 0 {
		return geom.XY, nil
	}
	if heights {
		return geom.XYZ, append(make([]float64, 0, len(flat)), flat...)
	}
	out := make([]float64, len(flat)/3*2)
	for i, j := 0, 0; i < len(flat); i, j = i+3, j+2 {
		out[j], out[j+1] = flat[i], flat[i+1]
	}
	return geom.XY, out
}

// plainGeometry is what an element means without our extension.
func (r *reader) plainGeometry(k kind) geom.T {
	p := &r.pieces
	layout, flat := pack(p.flat)
	switch {
	case k == kindWpt:
		return geom.NewPointFlat(layout, flat)
	case len(p.ends) == 1:
		return geom.NewLineStringFlat(layout, flat)
	}
	return geom.NewMultiLineStringFlat(layout, flat, scaled(p.ends, 0, layout.Stride()))
}

// outline makes the outline of a closed line whose role is an area's: GPX has
// no other way to draw one.
func (r *reader) outline(f *schema.Feature, g geom.T, at int) geom.T {
	switch f.Role {
	case schema.RoleZone, schema.RoleKeepout, schema.RoleBuilding:
	default:
		return g
	}
	line, ok := g.(*geom.LineString)
	if !ok || line.NumCoords() < 4 {
		return g
	}
	flat, n := line.FlatCoords(), line.Stride()
	if last := flat[len(flat)-n:]; flat[0] != last[0] || flat[1] != last[1] {
		return g
	}
	r.warn("line-closed", at, "%q is a closed line, and its role %s is an area's: it was read as the outline of one", f.Label(), f.Role)
	return geom.NewPolygonFlat(line.Layout(), flat, []int{len(flat)})
}

// scaled turns vertex counts into ends of flat coordinates, counted from from.
func scaled(ends []int, from, stride int) []int {
	out := make([]int, len(ends))
	for i, end := range ends {
		out[i] = (end - from) * stride
	}
	return out
}

// ownGeometry is what our extension says an element is. Geometries of several
// elements are put together when all of them are read.
func (r *reader) ownGeometry(f *schema.Feature, own *ownFeature, k kind) (geom.T, error) {
	switch own.shape.geometry {
	case "MultiPoint", "GeometryCollection":
		a := &assembly{feature: f, own: own}
		a.add(&r.pieces, k)
		if r.assemblies == nil {
			r.assemblies = map[int]*assembly{}
		}
		r.assemblies[own.n] = a
		r.order = append(r.order, a)
		return nil, nil
	case "":
		g := r.plainGeometry(k)
		if k == kindTrk { // a route without it is a line by our own rules
			g = r.outline(f, g, own.position)
		}
		return g, nil
	}
	if (own.shape.geometry == "Point") != (k == kindWpt) {
		return nil, r.fail(own.position, "take the attribute geometry out", "geometry=%q does not go with the element it stands in", own.shape.geometry)
	}
	return r.build(own.shape.geometry, &r.pieces, own.position)
}

// add appends the vertices of one element.
func (a *assembly) add(p *pieces, k kind) {
	to := &a.lines
	if k == kindWpt {
		to = &a.points
	}
	base := to.vertices()
	to.flat = append(to.flat, p.flat...)
	for i, end := range p.ends {
		to.ends = append(to.ends, base+end)
		to.tags = append(to.tags, p.tags[i])
	}
}

// build makes the geometry of the given type from all of the pieces.
func (r *reader) build(kind string, p *pieces, at int) (geom.T, error) {
	layout, flat := pack(p.flat)
	stride := layout.Stride()
	one := func() error {
		if len(p.ends) != 1 {
			return r.fail(at, "", "a %s is one segment, but there are %d", kind, len(p.ends))
		}
		return nil
	}
	switch kind {
	case "Point":
		return geom.NewPointFlat(layout, flat), nil
	case "LineString":
		return geom.NewLineStringFlat(layout, flat), one()
	case "LinearRing":
		return geom.NewLinearRingFlat(layout, flat), one()
	case "MultiLineString":
		return geom.NewMultiLineStringFlat(layout, flat, scaled(p.ends, 0, stride)), nil
	case "Polygon":
		for i, what := range p.tags {
			if what == tagShell && i > 0 || what == tagNone || what == tagHole && i == 0 {
				return nil, r.fail(at, "a Polygon is an outline and then its holes; a MultiPolygon has several outlines", "segment %d does not go with geometry=%q", i+1, kind)
			}
		}
		return geom.NewPolygonFlat(layout, flat, scaled(p.ends, 0, stride)), nil
	}
	// A MultiPolygon.
	var endss [][]int
	ends := scaled(p.ends, 0, stride)
	for i, what := range p.tags {
		switch {
		case what == tagNone:
			endss = append(endss, []int{})
		case what == tagHole && len(endss) > 0:
			last := len(endss) - 1
			endss[last] = append(endss[last], ends[i])
		case what == tagHole:
			return nil, r.fail(at, "write the outline first", "the first segment of a MultiPolygon is a hole")
		default:
			endss = append(endss, []int{ends[i]})
		}
	}
	return geom.NewMultiPolygonFlat(layout, flat, endss), nil
}

// rootFeature reads an s:feature that has no vertex, in the extensions of gpx.
func (r *reader) rootFeature(t token) error {
	if string(t.Local) != "feature" {
		return r.unknownOwn(t)
	}
	at := t.From
	own, err := r.readOwn(t)
	if err != nil {
		return err
	}
	f, err := r.newFeature(at)
	if err != nil {
		return err
	}
	r.places[len(r.places)-1] = own.n
	f.ID = own.id
	f.Name = own.name
	if own.role != "" {
		role, ok := schema.ParseRole(own.role)
		if !ok {
			return r.fail(at, "use one of "+roleWords(), "role=%q is no role", own.role)
		}
		f.Role = role
	}
	f.Attributes, _ = own.merge(nil, f.Role)
	r.tellDrawn(f.Source.Line, quoted(f), f.Attributes)
	switch own.shape.geometry {
	case "":
	case "MultiPoint", "GeometryCollection":
		r.order = append(r.order, &assembly{feature: f, own: own})
	case "LineString", "LinearRing":
		f.Geometry, err = r.build(own.shape.geometry, &pieces{ends: []int{0}, tags: []tag{tagPlain}}, at)
	default:
		f.Geometry, err = r.build(own.shape.geometry, &pieces{}, at)
	}
	return err
}

// assemble makes the geometries that take several elements.
func (r *reader) assemble() error {
	for _, a := range r.order {
		m := a.own.shape
		if m.geometry == "MultiPoint" {
			m.pieces = a.points.vertices()
		}
		take := &taker{points: a.points, lines: a.lines}
		g, err := r.take(take, &m, a.own.position)
		if err != nil {
			return err
		}
		if len(take.points.flat) > 0 || take.line < len(a.lines.ends) {
			return r.fail(a.own.position, "let the s:member elements name every piece", "feature %d has more waypoints or segments than its members take", a.own.n)
		}
		a.feature.Geometry = g
	}
	return nil
}

// taker hands out the pieces of a feature in their order.
type taker struct {
	points pieces
	lines  pieces
	line   int // segments handed out
}

func (r *reader) take(from *taker, m *member, at int) (geom.T, error) {
	short := func() error {
		return r.fail(at, "let the s:member elements name every piece", "a %s takes %d waypoints or segments, but fewer are left", m.geometry, m.pieces)
	}
	switch m.geometry {
	case "":
		return nil, r.fail(at, "", "an s:member does not say its geometry")
	case "GeometryCollection":
		c := geom.NewGeometryCollection()
		for i := range m.members {
			g, err := r.take(from, &m.members[i], at)
			if err != nil {
				return nil, err
			}
			if err := c.Push(g); err != nil {
				return nil, r.fail(at, "", "the members of a collection do not go together: %v", err)
			}
		}
		return c, nil
	case "Point", "MultiPoint":
		n := 3 * m.pieces
		if n > len(from.points.flat) || m.geometry == "Point" && m.pieces > 1 {
			return nil, short()
		}
		layout, flat := pack(from.points.flat[:n])
		from.points.flat = from.points.flat[n:]
		if m.geometry == "Point" {
			return geom.NewPointFlat(layout, flat), nil
		}
		return r.multiPoint(layout, flat, m, at)
	}
	first := from.line
	from.line += m.pieces
	if from.line > len(from.lines.ends) {
		return nil, short()
	}
	start := 0
	if first > 0 {
		start = from.lines.ends[first-1]
	}
	p := pieces{tags: from.lines.tags[first:from.line], ends: scaled(from.lines.ends[first:from.line], start, 1)}
	if m.pieces > 0 {
		p.flat = from.lines.flat[3*start : 3*from.lines.ends[from.line-1]]
	}
	return r.build(m.geometry, &p, at)
}

// multiPoint puts the empty points back between the others.
func (r *reader) multiPoint(layout geom.Layout, flat []float64, m *member, at int) (geom.T, error) {
	if len(m.empty) == 0 {
		return geom.NewMultiPointFlat(layout, flat), nil
	}
	total := m.pieces + len(m.empty)
	if last := m.empty[len(m.empty)-1]; last > total {
		return nil, r.fail(at, "", "the empty point %s is past the last of the MultiPoint", strconv.Itoa(last))
	}
	ends := make([]int, 0, total)
	end, next := 0, 0
	for i := 1; i <= total; i++ {
		if next < len(m.empty) && m.empty[next] == i {
			next++
		} else {
			end += layout.Stride()
		}
		ends = append(ends, end)
	}
	return geom.NewMultiPointFlat(layout, flat, geom.NewMultiPointFlatOptionWithEnds(ends)), nil
}
