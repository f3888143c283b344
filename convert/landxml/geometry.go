// Geometry: the segments of CoordGeom, and the shapes they make.

package landxml

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// coordGeom reads the segments of one CoordGeom and joins those that meet.
func (r *reader) coordGeom(parts [][]point) ([][]point, error) {
	first := len(parts)
	for {
		t, err := r.Next()
		if err != nil {
			return nil, err
		}
		switch t.Kind {
		case xml.EOF:
			return nil, r.fault(len(r.Data), "the file ends inside an element")
		case xml.End:
			return parts, nil
		case xml.Start:
			var list []point
			switch string(t.Local) {
			case "Line", "Curve", "IrregularLine", "Spiral":
				list, err = r.segment(t)
			case "Chain":
				list, err = r.chain(t)
			case "Feature": // what a program says of itself
				err = r.Skip()
			default:
				r.t.Add("segment-unknown", r.LineOf(t.From), "", "line %d: an outline has the element %s, which is no line, curve or chain of points, and was not read: export it with lines and curves", r.LineOf(t.From), wire.Clip(t.Local, 40))
				err = r.Skip()
			}
			if err != nil {
				return nil, err
			}
			if len(list) == 0 {
				continue
			}
			if r.vertices += float64(len(list)); r.vertices > r.caps.InputMaxVertices {
				return nil, r.Fault(t.From, fmt.Sprintf("there are more points than the limit input_max_vertices (%.0f)", r.caps.InputMaxVertices), "split it, or raise the limit in a limits file")
			}
			if n := len(parts); n > first && r.meet(parts[n-1][len(parts[n-1])-1], list[0]) {
				parts[n-1] = append(parts[n-1], list[1:]...)
			} else {
				parts = append(parts, list)
			}
		}
	}
}

func (r *reader) meet(a, b point) bool {
	return math.Hypot(a.x-b.x, a.y-b.y)*r.unit <= closeWithin
}

// chain reads a list of names of points.
func (r *reader) chain(t xml.Token) ([]point, error) {
	at := t.From
	text, err := r.content()
	if err != nil {
		return nil, err
	}
	var out []point
	for start := 0; start < len(text); {
		for start < len(text) && xml.IsSpace(text[start]) {
			start++
		}
		end := start
		for end < len(text) && !xml.IsSpace(text[end]) {
			end++
		}
		if end == start {
			break
		}
		p, err := r.place("", text[start:end], at)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
		start = end
	}
	return out, nil
}

// segment reads a Line, Curve, IrregularLine or Spiral.
func (r *reader) segment(t xml.Token) ([]point, error) {
	name, at := string(t.Local), t.From
	a, err := r.attributes(t)
	if err != nil {
		return nil, err
	}
	places := map[string]point{}
	var list []point
	for {
		t, err := r.Next()
		if err != nil {
			return nil, err
		}
		if t.Kind == xml.EOF {
			return nil, r.fault(len(r.Data), "the file ends inside an element")
		}
		if t.Kind == xml.End {
			break
		}
		if t.Kind != xml.Start {
			continue
		}
		inner, from := string(t.Local), t.From
		switch inner {
		case "Start", "End", "Center", "PI":
			b, err := r.attributes(t)
			if err != nil {
				return nil, err
			}
			text, err := r.content()
			if err != nil {
				return nil, err
			}
			p, err := r.place(text, b.Get("pntRef").Text(), from)
			if err != nil {
				return nil, err
			}
			places[inner] = p
		case "PntList2D", "PntList3D":
			if list, err = r.list(inner == "PntList3D", from); err != nil {
				return nil, err
			}
		default:
			if err := r.Skip(); err != nil {
				return nil, err
			}
		}
	}
	start, ok1 := places["Start"]
	end, ok2 := places["End"]
	if name == "IrregularLine" && len(list) > 1 {
		return list, nil // start and end stand in the list, too
	}
	if !ok1 || !ok2 {
		return nil, r.fault(at, "the %s has no start or no end", name)
	}
	switch name {
	case "Curve":
		center, ok := places["Center"]
		if !ok {
			return nil, r.fault(at, "the curve has no centre")
		}
		return r.curve(start, end, center, a.Get("rot").Text(), at)
	case "Spiral":
		r.t.Add("spiral", r.LineOf(at), "", "spirals are not read; they were drawn as the straight line between their ends")
	}
	return []point{start, end}, nil
}

// list reads northing, easting[, elevation] again and again.
func (r *reader) list(heights bool, at int) ([]point, error) {
	text, err := r.content()
	if err != nil {
		return nil, err
	}
	v, err := r.numbers(text, at)
	if err != nil {
		return nil, err
	}
	n := 2
	if heights {
		n = 3
	}
	if len(v)%n != 0 {
		return nil, r.fault(at, "the list has %d numbers, which is no multiple of %d", len(v), n)
	}
	var out []point
	for i := 0; i < len(v); i += n {
		p := point{v[i+1], v[i], math.NaN()}
		if heights {
			p.h = v[i+2]
		}
		out = append(out, p)
	}
	return out, nil
}

// curve flattens a circular arc. rot is cw or ccw, seen from above. Heights run
// evenly from end to end.
func (r *reader) curve(start, end, center point, rot string, at int) ([]point, error) {
	r0, r1 := math.Hypot(start.x-center.x, start.y-center.y), math.Hypot(end.x-center.x, end.y-center.y)
	from, to := math.Atan2(start.y-center.y, start.x-center.x), math.Atan2(end.y-center.y, end.x-center.x)
	turn := to - from
	switch rot {
	case "cw":
		for turn >= 0 {
			turn -= 2 * math.Pi
		}
	case "ccw":
		for turn <= 0 {
			turn += 2 * math.Pi
		}
	default:
		return nil, r.fault(at, `the curve's rot should be cw or ccw, got %q`, wire.Clip([]byte(rot), 20))
	}
	radius := math.Max(r0, r1)
	if !(math.Min(r0, r1) > 0) || math.IsInf(radius, 0) {
		return nil, r.fault(at, "the curve has no radius")
	}
	if d := math.Abs(r0-r1) * r.unit; d > closeWithin {
		r.t.Add("curve-radius", r.LineOf(at), "", "the ends of curves lie at different distances from their centre, first by %.3f m", d)
	}
	// A chord of the angle a leaves the arc by radius (1 - cos(a/2)).
	step := math.Pi / 2
	if r.chord < radius {
		step = math.Min(step, 2*math.Acos(1-r.chord/radius))
	}
	n := math.Ceil(math.Abs(turn) / step)
	if r.vertices+n > r.caps.InputMaxVertices || n > 1e7 {
		return nil, r.Fault(at, fmt.Sprintf("there are more points than the limit input_max_vertices (%.0f)", r.caps.InputMaxVertices), "split it, or raise the limit in a limits file")
	}
	out := []point{start}
	for i := 1.0; i < n; i++ {
		k := i / n
		sin, cos := math.Sincos(from + turn*k)
		rad := r0 + (r1-r0)*k
		out = append(out, point{center.x + rad*cos, center.y + rad*sin, start.h + (end.h-start.h)*k})
	}
	return append(out, end), nil
}

// add makes a feature of the parts; single says that it is a point.
func (r *reader) add(entity string, a schema.Attributes, at int, parts [][]point, single bool) error {
	if float64(len(r.plan.Features)) >= r.caps.InputMaxFeatures {
		return r.Fault(at, fmt.Sprintf("there are more features than the limit input_max_features (%.0f)", r.caps.InputMaxFeatures), "split it, or raise the limit in a limits file")
	}
	f := &schema.Feature{Role: schema.RoleOther, Name: a.Get("name").Text(), Source: schema.Source{Line: r.LineOf(at)}}
	for _, x := range a {
		if x.Key == "name" || x.Value.Text() == "" {
			continue
		}
		v := x.Value
		if x.Key == "area" || x.Key == "length" {
			if _, err := strconv.ParseFloat(v.Text(), 64); err == nil {
				if n, ok := schema.Number(v.Text()); ok {
					v = n
				}
			}
		}
		f.Attributes.Set(x.Key, v)
	}
	if !f.Attributes.Has(schema.PropLayer) {
		f.Attributes.Set(schema.PropLayer, schema.String(r.group))
	}
	f.Attributes.Set(schema.PropEntity, schema.String(entity))
	scale := r.unit
	if c := r.plan.CRS; c != nil {
		scale = 1
		if m := c.UnitMetres(); m > 0 {
			scale = r.unit / m
		}
	}
	layout := geom.XY
	for _, part := range parts {
		for _, p := range part {
			if !math.IsNaN(p.h) {
				layout = geom.XYZ
			}
		}
	}
	flatten := func(part []point) []float64 {
		var out []float64
		for _, p := range part {
			out = append(out, p.x*scale, p.y*scale)
			if layout == geom.XYZ {
				out = append(out, p.h*r.unit)
			}
		}
		return out
	}
	for _, part := range parts {
		for _, p := range part {
			if math.IsInf(p.x*scale, 0) || math.IsInf(p.y*scale, 0) || math.IsInf(p.h*r.unit, 0) {
				return r.fault(at, "the %s has a place past the range of numbers", entity)
			}
		}
	}
	if single {
		f.Geometry = geom.NewPointFlat(layout, flatten(parts[0]))
		r.plan.Features = append(r.plan.Features, f)
		return nil
	}
	var rings, lines [][]float64
	for _, part := range parts {
		if n := len(part); n > 3 && r.meet(part[0], part[n-1]) {
			part[n-1] = part[0] // the last point of an outline is its first
			rings = append(rings, flatten(part))
		} else {
			lines = append(lines, flatten(part))
		}
	}
	if len(lines) > 0 {
		if entity == "Parcel" {
			r.t.Add("parcel-open", f.Source.Line, "", "the outline of the parcel %q is not closed; it was read as a line", f.Name)
		}
		f.Geometry = linesOf(layout, append(lines, rings...))
	} else {
		f.Geometry = areas(layout, rings)
	}
	r.plan.Features = append(r.plan.Features, f)
	return nil
}

func linesOf(layout geom.Layout, lines [][]float64) geom.T {
	if len(lines) == 1 {
		return geom.NewLineStringFlat(layout, lines[0])
	}
	var flat []float64
	var ends []int
	for _, l := range lines {
		flat = append(flat, l...)
		ends = append(ends, len(flat))
	}
	return geom.NewMultiLineStringFlat(layout, flat, ends)
}

// areas makes outlines of rings: one that lies in a larger outline is its hole.
func areas(layout geom.Layout, rings [][]float64) geom.T {
	stride := layout.Stride()
	size := func(r []float64) float64 { return math.Abs(schema.TwiceArea(r, stride)) }
	if len(rings) > 1 {
		sort.SliceStable(rings, func(i, j int) bool { return size(rings[i]) > size(rings[j]) })
	}
	var shells [][][]float64
	for _, ring := range rings {
		home := -1
		for i, s := range shells {
			if inside(ring[0], ring[1], s[0], stride) {
				home = i
			}
		}
		if home >= 0 {
			shells[home] = append(shells[home], ring)
		} else {
			shells = append(shells, [][]float64{ring})
		}
	}
	var flat []float64
	var endss [][]int
	for _, s := range shells {
		var ends []int
		for _, ring := range s {
			flat = append(flat, ring...)
			ends = append(ends, len(flat))
		}
		endss = append(endss, ends)
	}
	if len(endss) == 1 {
		return geom.NewPolygonFlat(layout, flat, endss[0])
	}
	return geom.NewMultiPolygonFlat(layout, flat, endss)
}

// inside reports whether a point lies in a ring, by crossings of a ray to the
// east.
func inside(x, y float64, ring []float64, stride int) bool {
	in := false
	n := len(ring) / stride
	for i, j := 0, n-1; i < n; j, i = i, i+1 {
		x0, y0, x1, y1 := ring[j*stride], ring[j*stride+1], ring[i*stride], ring[i*stride+1]
		if (y0 > y) != (y1 > y) && x < (x1-x0)*(y-y0)/(y1-y0)+x0 {
			in = !in
		}
	}
	return in
}
