// Package topojson reads plans from TopoJSON (the TopoJSON format
// specification, version 1): a topology of arcs that lines and outlines share,
// with or without quantized coordinates.
//
// Every object of the topology is a layer: its geometries are features, those
// of a GeometryCollection one each. The properties role and name are the
// feature's own; a feature without a known role, and one whose object's name says
// more than its role, has the attribute "layer" with that name. Members of the topology that the specification does not
// define are the plan's. Coordinates are WGS 84 longitude and latitude unless the
// user says otherwise.
package topojson

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/crs"
	"swardline/schema"
)

// Detect reports whether the first bytes of a file are those of a topology: a
// JSON object with the type Topology among its first members.
func Detect(head []byte) bool {
	at := jsontext.SkipSpace(head, 0)
	if at >= len(head) || head[at] != '{' {
		return false
	}
	for rest := head; ; {
		// By its letters: quotes are the most frequent byte of JSON.
		i := bytes.Index(rest, []byte(`Topology"`)) - 1
		if i < -1 {
			return false
		}
		if i < 0 || rest[i] != '"' {
			rest = rest[i+2:]
			continue
		}
		before := bytes.TrimRight(rest[:i], " \t\r\n")
		before, colon := bytes.CutSuffix(before, []byte(":"))
		if colon && bytes.HasSuffix(bytes.TrimRight(before, " \t\r\n"), []byte(`"type"`)) {
			return true
		}
		rest = rest[i+1:]
	}
}

type reader struct {
	o                wire.ReadOptions
	caps             schema.Limits
	t                wire.Tally
	plan             *schema.Plan
	arcs             [][]float64 // x, y, h of every vertex, NaN for no height
	quantized        bool
	scale, translate [2]float64
	used             []bool // arcs that an object has
	vertices         float64
	degrees          bool // all positions may be longitude and latitude
}

// Read reads a topology. Errors are *wire.InputError; its path leads to the
// object or arc.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	r := &reader{o: o, caps: o.Caps(), scale: [2]float64{1, 1}, degrees: true, plan: &schema.Plan{Source: schema.Source{File: o.Name, Format: "topojson"}}}
	data, err := wire.CheckText(data, o.Name, &r.t)
	if err == nil {
		err = wire.CheckUTF8(data, o.Name)
	}
	if err == nil {
		err = r.read(data)
	}
	if err != nil {
		var in *wire.InputError
		if errors.As(err, &in) && in.File == "" {
			in.File = o.Name
		}
		return nil, nil, err
	}
	return r.plan, r.t.Warnings(), nil
}

func fail(path, format string, args ...any) error {
	return &wire.InputError{Path: path, Problem: fmt.Sprintf(format, args...), Mend: "the topology is damaged; export it again"}
}

func (r *reader) read(data []byte) error {
	v, end, err := jsontext.ParseAt(data, 0, int(r.caps.InputMaxNesting)+8)
	if err == nil && jsontext.SkipSpace(data, end) != len(data) {
		err = &jsontext.Error{Offset: end, Problem: "something stands behind the topology"}
	}
	if err != nil {
		var je *jsontext.Error
		if errors.As(err, &je) {
			line, column := wire.LineColumn(data, je.Offset)
			return &wire.InputError{Line: line, Column: column, Problem: je.Problem, Mend: "the text was cut off or damaged; send or export it again"}
		}
		return fail("", "%v", err)
	}
	m := v.Fields()
	if m.Get("type").Text() != "Topology" {
		return &wire.InputError{Problem: `the file is no topology: its "type" is not "Topology"`, Mend: "read it as GeoJSON, if it is that"}
	}
	if err := r.transform(m.Get("transform")); err != nil {
		return err
	}
	if err := r.readArcs(m.Get("arcs")); err != nil {
		return err
	}
	if m.Get("objects").Kind() != schema.KindObject {
		return fail("objects", "the topology has no objects")
	}
	for _, f := range m.Get("objects").Fields() {
		if err := r.object(f.Key, f.Value); err != nil {
			return err
		}
	}
	r.box("the topology", m, r.plan.Features)
	for i := range r.arcs {
		if !r.used[i] {
			r.t.Add("arc-unused", 0, fmt.Sprintf("arcs[%d]", i), "the arc %d belongs to no object, so what it draws is not in the plan: give it an object, or take it out", i)
		}
	}
	for _, a := range m {
		switch a.Key {
		case "type", "transform", "arcs", "objects", "bbox":
		case schema.PropName:
			r.plan.Name = a.Value.Text()
		default: // what it says of the plan, or draws where nothing is read from
			r.plan.Attributes.Set(a.Key, a.Value)
		}
	}
	r.plan.CRS = crs.WGS84()
	switch {
	case r.o.CRS != nil:
		r.plan.CRS = r.o.CRS
	case !r.degrees:
		return &wire.InputError{Problem: "the coordinates are no longitude and latitude, and the file does not say what they are in", Mend: "name the system with --from EPSG:..."}
	}
	if r.quantized {
		r.steps()
	}
	return nil
}

// Steps of more than coarseM are told when a file is read: what becomes of it
// elsewhere has as many digits as any other.
const (
	coarseM = 0.01
	degreeM = 111_320 // metres a degree along a meridian or the equator, at most
)

// steps notes how coarse the steps are in which a quantized topology counts.
func (r *reader) steps() {
	unit := r.plan.CRS.UnitMetres()
	if r.plan.CRS.IsDegrees() {
		unit = degreeM
	}
	step := math.Max(math.Abs(r.scale[0]), math.Abs(r.scale[1])) * unit
	r.plan.Source.StepM = step
	if step > coarseM {
		r.t.Add("steps-coarse", 0, "transform", "the file counts its positions in steps of %s m, so that every line may lie half of that off: ask for it without quantization, or with finer steps", strconv.FormatFloat(step, 'g', 3, 64))
	}
}

func numbers(v schema.Value, n int) ([]float64, bool) {
	items := v.Items()
	if len(items) < n {
		return nil, false
	}
	out := make([]float64, len(items))
	for i, it := range items {
		f, ok := it.Float()
		if !ok {
			return nil, false
		}
		out[i] = f
	}
	return out, true
}

func (r *reader) transform(v schema.Value) error {
	if v.IsAbsent() {
		return nil
	}
	scale, ok1 := numbers(v.Fields().Get("scale"), 2)
	translate, ok2 := numbers(v.Fields().Get("translate"), 2)
	if !ok1 || !ok2 {
		return fail("transform", "a transform has scale and translate, two numbers each")
	}
	r.quantized = true
	copy(r.scale[:], scale)
	copy(r.translate[:], translate)
	return nil
}

// place appends the vertex of a position, whose numbers are whole steps in a
// quantized topology.
func (r *reader) place(dst []float64, p []float64, path string) ([]float64, error) {
	x, y := p[0], p[1]
	if r.quantized {
		x, y = x*r.scale[0]+r.translate[0], y*r.scale[1]+r.translate[1]
	}
	if math.IsInf(x, 0) || math.IsInf(y, 0) || math.IsNaN(x) || math.IsNaN(y) {
		return dst, fail(path, "a position is past the range of numbers")
	}
	if math.Abs(x) > 180 || math.Abs(y) > 90 {
		r.degrees = false
	}
	h := math.NaN()
	if len(p) > 2 {
		h = p[2]
	}
	if len(p) > 3 && p[3] != 0 {
		r.t.Add("position-fourth", 0, path, "positions have a fourth number that is not 0, first %g: a plan has no place for it, and it was left out", p[3])
	}
	return append(dst, x, y, h), nil
}

// readArcs reads the arcs; those of a quantized topology hold differences
// (specification, 2.1.3).
func (r *reader) readArcs(v schema.Value) error {
	if v.Kind() != schema.KindList {
		return fail("arcs", "the topology has no arcs")
	}
	for i, arc := range v.Items() {
		path := fmt.Sprintf("arcs[%d]", i)
		flat := make([]float64, 0, 3*len(arc.Items()))
		var x, y float64
		for k, pos := range arc.Items() {
			p, ok := numbers(pos, 2)
			if !ok {
				return fail(fmt.Sprintf("%s[%d]", path, k), "a position has two numbers or more")
			}
			if r.quantized {
				x, y = x+p[0], y+p[1]
				p[0], p[1] = x, y
			}
			var err error
			if flat, err = r.place(flat, p, path); err != nil {
				return err
			}
		}
		if len(flat) < 6 {
			return fail(path, "an arc has at least two positions")
		}
		r.arcs = append(r.arcs, flat)
	}
	r.used = make([]bool, len(r.arcs))
	return nil
}

// object adds the features of one object.
func (r *reader) object(name string, v schema.Value) error {
	path := "objects." + name
	m := v.Fields()
	if m.Get("type").Text() != "GeometryCollection" {
		return r.feature(name, path, m)
	}
	r.layerNotes(name, m)
	first := len(r.plan.Features)
	defer func() { r.box(path, m, r.plan.Features[first:]) }()
	for i, g := range m.Get("geometries").Items() {
		if err := r.feature(name, fmt.Sprintf("%s.geometries[%d]", path, i), g.Fields()); err != nil {
			return err
		}
	}
	return nil
}

// plainLayers are names of objects that say nothing of what is in them, as programs
// give them.
var plainLayers = strings.Fields("collection features feature data layer layers export plan topology geojson objects geometries foo")

// box holds the bbox of a geometry, or of the topology, against what it draws.
func (r *reader) box(path string, m schema.Attributes, features []*schema.Feature) {
	v := m.Get("bbox")
	n, ok := numbers(v, 4)
	switch {
	case !ok:
		return
	case len(n) == 6: // with heights
		n = []float64{n[0], n[1], n[3], n[4]}
	}
	unit := 0.0
	if r.o.CRS != nil {
		unit = r.o.CRS.UnitMetres()
	}
	said := schema.Extent{Min: [2]float64{n[0], n[1]}, Max: [2]float64{n[2], n[3]}}
	drawn := wire.BoxOf(features)
	switch says := wire.BoxSays(said, drawn, unit); {
	case says != "":
		r.t.Add("box-wide", 0, path, "the bbox of %s reaches %s: was something taken out of it? Take the bbox out, or write the file anew", path, says)
	case !drawn.Empty && n[0] <= n[2] && wire.BoxFar([4]float64(n), [4]float64{drawn.Min[0], drawn.Min[1], drawn.Max[0], drawn.Max[1]}):
		r.t.Add("bbox-far", 0, path, "%s: %s", path, wire.BoxFarSays)
	}
}

// saysMore reports whether the name of an object says more of a feature than its role.
func saysMore(layer string, role schema.Role) bool {
	name := wire.Fold(layer)
	return name != string(role) && strings.TrimSuffix(name, "s") != string(role) && !slices.Contains(plainLayers, name)
}

// layerNotes keeps what an object says of all its geometries.
func (r *reader) layerNotes(name string, m schema.Attributes) {
	var says schema.Attributes
	for _, a := range m {
		switch a.Key {
		case "type", "geometries", "bbox":
		default:
			says.Set(a.Key, a.Value)
		}
	}
	if len(says) == 0 {
		return
	}
	notes := r.plan.Attributes.Get(schema.PlanLayerNotes).Fields().Clone()
	notes.Set(name, schema.Object(says))
	r.plan.Attributes.Set(schema.PlanLayerNotes, schema.Object(notes))
}

func (r *reader) feature(layer, path string, m schema.Attributes) error {
	if float64(len(r.plan.Features)) >= r.caps.InputMaxFeatures {
		return &wire.InputError{Problem: fmt.Sprintf("there are more features than the limit input_max_features (%.0f)", r.caps.InputMaxFeatures), Mend: "split it, or raise the limit in a limits file"}
	}
	f := &schema.Feature{Role: schema.RoleOther, Source: schema.Source{Path: path}}
	if id := m.Get("id"); id.Kind() == schema.KindString || id.Kind() == schema.KindNumber {
		f.ID = id
	}
	for _, a := range m.Get("properties").Fields() {
		switch {
		case a.Key == schema.PropRole && a.Value.Kind() == schema.KindString:
			if role, ok := schema.ParseRole(a.Value.Text()); ok {
				f.Role = role
				if role != schema.RoleOther { // said, which differs from not said
					continue
				}
			}
		case a.Key == schema.PropName && a.Value.Kind() == schema.KindString && a.Value.Text() != "":
			f.Name = a.Value.Text()
			continue
		}
		f.Attributes.Set(a.Key, a.Value)
	}
	if (f.Role == schema.RoleOther && !slices.Contains(plainLayers, wire.Fold(layer)) || saysMore(layer, f.Role)) && !f.Attributes.Has(schema.PropLayer) {
		f.Attributes.Set(schema.PropLayer, schema.String(layer))
	}
	for _, a := range m {
		switch a.Key {
		case "type", "id", "properties", "arcs", "coordinates", "geometries", "bbox":
		default:
			key := a.Key
			for n := 2; f.Attributes.Has(key); n++ {
				key = fmt.Sprintf("%s_%d", a.Key, n)
			}
			f.Attributes.Set(key, a.Value)
			if schema.DrawnInText(string(a.Value.AppendJSON(nil))) {
				r.t.Add("drawn-elsewhere", 0, path, "%s: its member %q holds a geometry, which was not read: put it among the topology's objects", path, a.Key)
			}
		}
	}
	g, err := r.geometry(path, m, 0)
	if err != nil {
		return err
	}
	f.Geometry = g
	r.plan.Features = append(r.plan.Features, f)
	r.box(path, m, []*schema.Feature{f})
	return nil
}

// shaped gives a geometry's coordinates their layout: without heights where no
// vertex has one.
func shaped(flat []float64, ends []int) (geom.Layout, []float64, []int) {
	for i := 2; i < len(flat); i += 3 {
		if !math.IsNaN(flat[i]) {
			return geom.XYZ, flat, ends
		}
	}
	out := make([]float64, 0, len(flat)/3*2)
	for i := 0; i < len(flat); i += 3 {
		out = append(out, flat[i], flat[i+1])
	}
	for i := range ends {
		ends[i] = ends[i] / 3 * 2
	}
	return geom.XY, out, ends
}

func (r *reader) geometry(path string, m schema.Attributes, depth int) (geom.T, error) {
	if float64(depth) > r.caps.InputMaxNesting {
		return nil, fail(path, "collections are nested deeper than the limit input_max_nesting (%.0f)", r.caps.InputMaxNesting)
	}
	kind, arcs := m.Get("type"), m.Get("arcs")
	if kind.Kind() == schema.KindNull || kind.IsAbsent() && len(m) == 0 {
		return nil, nil
	}
	switch kind.Text() {
	case "Point", "MultiPoint":
		items := []schema.Value{m.Get("coordinates")}
		if kind.Text() == "MultiPoint" {
			items = m.Get("coordinates").Items()
		}
		var flat []float64
		for _, it := range items {
			p, ok := numbers(it, 2)
			if !ok {
				return nil, fail(path+".coordinates", "a position has two numbers or more")
			}
			var err error
			if flat, err = r.place(flat, p, path); err != nil {
				return nil, err
			}
		}
		if err := r.count(len(items)); err != nil {
			return nil, err
		}
		layout, flat, _ := shaped(flat, nil)
		if kind.Text() == "Point" {
			return geom.NewPointFlat(layout, flat), nil
		}
		return geom.NewMultiPointFlat(layout, flat), nil
	case "LineString":
		flat, err := r.line(nil, arcs, path)
		if err != nil {
			return nil, err
		}
		layout, flat, _ := shaped(flat, nil)
		return geom.NewLineStringFlat(layout, flat), nil
	case "MultiLineString", "Polygon":
		flat, ends, err := r.lines(nil, arcs, path)
		if err != nil {
			return nil, err
		}
		layout, flat, ends := shaped(flat, ends)
		if kind.Text() == "Polygon" {
			return geom.NewPolygonFlat(layout, flat, ends), nil
		}
		return geom.NewMultiLineStringFlat(layout, flat, ends), nil
	case "MultiPolygon":
		var flat []float64
		var all []int
		var counts []int
		for i, part := range arcs.Items() {
			var ends []int
			var err error
			if flat, ends, err = r.lines(flat, part, fmt.Sprintf("%s.arcs[%d]", path, i)); err != nil {
				return nil, err
			}
			all = append(all, ends...)
			counts = append(counts, len(ends))
		}
		layout, flat, all := shaped(flat, all)
		var endss [][]int
		for _, n := range counts {
			endss = append(endss, all[:n:n])
			all = all[n:]
		}
		return geom.NewMultiPolygonFlat(layout, flat, endss), nil
	case "GeometryCollection":
		c := geom.NewGeometryCollection()
		for i, it := range m.Get("geometries").Items() {
			g, err := r.geometry(fmt.Sprintf("%s.geometries[%d]", path, i), it.Fields(), depth+1)
			if err != nil {
				return nil, err
			}
			if g == nil {
				r.t.Add("geometry-empty", 0, path, "a part of a collection has no geometry; it was left out")
				continue
			}
			if err := c.Push(g); err != nil {
				return nil, fail(path, "%v", err)
			}
		}
		return c, nil
	}
	return nil, fail(path, "there is no geometry type %q", wire.Clip([]byte(kind.Text()), 30))
}

func (r *reader) count(n int) error {
	if r.vertices += float64(n); r.vertices > r.caps.InputMaxVertices {
		return &wire.InputError{Problem: fmt.Sprintf("there are more points than the limit input_max_vertices (%.0f)", r.caps.InputMaxVertices), Mend: "split it, or raise the limit in a limits file"}
	}
	return nil
}

// lines reads a list of lists of arcs and notes where each ends.
func (r *reader) lines(flat []float64, v schema.Value, path string) ([]float64, []int, error) {
	var ends []int
	for i, it := range v.Items() {
		var err error
		if flat, err = r.line(flat, it, fmt.Sprintf("%s.arcs[%d]", path, i)); err != nil {
			return nil, nil, err
		}
		ends = append(ends, len(flat))
	}
	return flat, ends, nil
}

// line joins arcs end to end: the first position of each but the first is the
// last of the one before it and left out. A negative index i is the arc -1-i,
// run backwards (specification, 2.1.4).
func (r *reader) line(flat []float64, v schema.Value, path string) ([]float64, error) {
	if v.Kind() != schema.KindList {
		return nil, fail(path, "a list of arcs should stand here")
	}
	start := len(flat)
	for _, it := range v.Items() {
		f, ok := it.Float()
		if !ok || f != math.Trunc(f) || f < -float64(len(r.arcs)) || f >= float64(len(r.arcs)) {
			return nil, fail(path, "there is no arc %s; the topology has %d", wire.Clip(it.AppendJSON(nil), 20), len(r.arcs))
		}
		i, back := int(f), f < 0
		if back {
			i = -1 - i
		}
		arc := r.arcs[i]
		r.used[i] = true
		n := len(arc) / 3
		if err := r.count(n); err != nil {
			return nil, err
		}
		for k := range n {
			at := k
			if back {
				at = n - 1 - k
			}
			p := arc[3*at : 3*at+3]
			if k == 0 && len(flat) > start {
				if flat[len(flat)-3] != p[0] || flat[len(flat)-2] != p[1] {
					return nil, fail(path, "arc %d does not start where the one before it ends", int(f))
				}
				continue
			}
			flat = append(flat, p...)
		}
	}
	return flat, nil
}
