// What this program stores in a drawing beside its entities, so that a plan
// comes back whole: the extended data of entities and the records of the plan.

package dxf

import (
	"fmt"
	"math"
	"sort"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf/curve"
	"swardline/convert/wire/jsontext"
	"swardline/crs"
	"swardline/schema"
)

const (
	// appID is the application name of the extended data.
	appID = "SWARDLINE"
	// recordHead starts the first text of a record, before "plan" or "feature
	// N".
	recordHead = "swardline "
	// recordNesting is how many levels the records add to an attribute's own.
	recordNesting = 6
)

// The members of the JSON object in an entity's extended data.
const (
	ownFeature   = "f"         // number of the feature in the plan, from 0
	ownPart      = "e"         // number of the entity in the feature, from 0
	ownContent   = "feature"   // on the first entity: the feature's content, or "record"
	ownStart     = "start_deg" // where a circle or whole ellipse starts
	ownClockwise = "cw"        // true when an arc or ellipse runs clockwise
	ownSegments  = "n"         // chords for each part of the curve
	ownNoHeight  = "noz"       // vertices without a height: their numbers, or true for all
	ownLayer     = "layer"     // the layer it was written on
	ownNotice    = "notice"    // true on texts that are no features
)

// Members of the feature's content and of the plan's record.
const (
	contentGeometry   = "geometry"
	contentAttributes = "attributes"
	contentEntities   = "entities" // how many entities the feature was written as
	planVersion       = "format"
	planName          = "name"
	planCRS           = "crs"
	planEpoch         = "epoch"
	planOffset        = "offset"
	planAttributes    = "attributes"
)

// ownEntity is the extended data of one entity.
type ownEntity struct {
	feature, part int
	start         float64 // radians
	hasStart      bool
	clockwise     bool
	segments      []int
	noHeight      map[int]bool
	noHeights     bool
	layer         string
	notice        bool
	content       schema.Value
}

func parseOwn(text []byte) (schema.Value, error) {
	v, at, err := jsontext.ParseAt(text, 0, schema.MaxNesting+recordNesting)
	if err != nil {
		return v, err
	}
	if at = jsontext.SkipSpace(text, at); at != len(text) {
		return v, fmt.Errorf("something stands after the end (byte %d)", at)
	}
	if v.Kind() != schema.KindObject {
		return v, fmt.Errorf("it is a %s, not an object", v.Kind())
	}
	return v, nil
}

// readOwn takes the extended data of an entity into sh.own. Damaged data is
// counted, and the entity read like any other program's.
func (r *reader) readOwn(sh *shape, text []byte) {
	v, err := parseOwn(text)
	if err == nil {
		sh.own, err = ownOf(v.Fields())
	}
	if err != nil {
		r.tally.Add("record-damaged", sh.line, "", "what swardline stored with the %s in line %d is damaged and left out: %v", sh.etype, sh.line, err)
		return
	}
	sh.hasOwn = true
}

func ownOf(f schema.Attributes) (ownEntity, error) {
	var o ownEntity
	o.notice, _ = f.Get(ownNotice).Truth()
	o.content = f.Get(ownContent)
	if o.notice {
		return o, nil
	}
	var ok1, ok2 bool
	o.feature, ok1 = whole(f.Get(ownFeature))
	o.part, ok2 = whole(f.Get(ownPart))
	if !ok1 || !ok2 {
		return o, fmt.Errorf("it does not say which feature it is")
	}
	o.clockwise, _ = f.Get(ownClockwise).Truth()
	if deg, ok := f.Get(ownStart).Float(); ok && math.Abs(deg) <= 1e6 {
		o.start, o.hasStart = deg*math.Pi/180, true
	}
	for _, item := range f.Get(ownSegments).Items() {
		n, ok := whole(item)
		if !ok || n < 1 || n > curve.MaxSegments {
			return o, fmt.Errorf("its count of chords is %s", item.AppendJSON(nil))
		}
		o.segments = append(o.segments, n)
	}
	o.noHeights, _ = f.Get(ownNoHeight).Truth()
	for _, item := range f.Get(ownNoHeight).Items() {
		if n, ok := whole(item); ok {
			if o.noHeight == nil {
				o.noHeight = map[int]bool{}
			}
			o.noHeight[n] = true
		}
	}
	o.layer = f.Get(ownLayer).Text()
	return o, nil
}

func whole(v schema.Value) (int, bool) {
	f, ok := v.Float()
	if !ok || f != math.Trunc(f) || f < 0 || f > 1<<40 {
		return 0, false
	}
	return int(f), true
}

// ownPlan gathers the entities of each feature of a plan that this program
// wrote.
type ownPlan struct {
	features map[int]*ownParts
}

type ownParts struct {
	parts   map[int]ownLeaf
	content schema.Value
	line    int
	layer   string // the layer it stands on now, when that is not the one written
	moved   int    // parts that stand on that layer
}

// ownLeaf is one point, line or ring.
type ownLeaf struct {
	flat   []float64 // x, y, z
	closed bool
	curve  schema.Value // absent when straight
	width  float64      // in metres, that it is drawn with; 0 for none
	thick  float64      // in metres, up from where it lies
}

// take files the leaf of an entity; false when its place is taken, because the
// entity was copied.
func (o *ownPlan) take(d *drawn, leaf ownLeaf) bool {
	own := &d.sh.own
	if o.features == nil {
		o.features = map[int]*ownParts{}
	}
	p := o.features[own.feature]
	if p == nil {
		p = &ownParts{parts: map[int]ownLeaf{}, line: d.sh.line}
		o.features[own.feature] = p
	}
	if _, twice := p.parts[own.part]; twice {
		return false
	}
	p.parts[own.part] = leaf
	if !own.content.IsAbsent() {
		p.content = own.content
	}
	if own.layer != "" && own.layer != d.layer.name {
		if p.layer != d.layer.name {
			p.moved = 0
		}
		p.layer = d.layer.name
		p.moved++
	}
	return true
}

// finish returns the features in their order.
func (r *reader) finishOwn(o *ownPlan) []*schema.Feature {
	for n := range r.records {
		if o.features == nil {
			o.features = map[int]*ownParts{}
		}
		if o.features[n] == nil && r.records[n].Fields().Get(contentEntities).Text() == "0" {
			o.features[n] = &ownParts{} // nothing of it is drawn
		}
	}
	order := make([]int, 0, len(o.features))
	for n := range o.features {
		order = append(order, n)
	}
	sort.Ints(order)
	var out []*schema.Feature
	for _, n := range order {
		p := o.features[n]
		content := p.content
		if content.Kind() != schema.KindObject {
			content = r.records[n]
		}
		f := &schema.Feature{Role: schema.RoleOther, Source: schema.Source{File: r.o.Name, Format: formatName, Line: p.line}}
		if content.Kind() != schema.KindObject {
			r.tally.Add("record-missing", p.line, "", "feature %d (line %d) has lost what swardline stored with its first part; its role, name and attributes are gone", n+1, p.line)
		}
		r.fillOwn(f, content.Fields(), p)
		out = append(out, f)
	}
	return out
}

// fillOwn fills a feature from its stored content and the leaves drawn.
func (r *reader) fillOwn(f *schema.Feature, content schema.Attributes, p *ownParts) {
	f.ID = content.Get(schema.PropID)
	if role, ok := schema.ParseRole(content.Get(schema.PropRole).Text()); ok {
		f.Role = role
	}
	f.Name = content.Get(schema.PropName).Text()
	f.Attributes = content.Get(contentAttributes).Fields().Clone()
	r.drawnWide(f, p)
	r.drawnThick(f, p)
	all := p.moved == len(p.parts)
	b := geometryBuilder{parts: p.parts, unit: r.crsUnit}
	form := content.Get(contentGeometry)
	if form.Kind() == schema.KindObject {
		g, err := b.build(form.Fields(), 0)
		if err != nil {
			r.tally.Add("record-damaged", p.line, "", "the geometry that swardline stored for %q (line %d) is damaged: %v", f.Label(), p.line, err)
			b.lost++
		} else {
			f.Geometry = g
		}
	} else if len(p.parts) > 0 {
		b.lost++
	}
	if b.lost > 0 {
		r.tally.Add("part-missing", p.line, "", "parts of %q (line %d) are no longer in the drawing", f.Label(), p.line)
		f.Geometry = b.remaining(f.Geometry)
	}
	// A curve that was drawn as one comes back from the entity.
	if at := f.Attributes.Get(schema.PropCurve); !at.IsAbsent() {
		f.Attributes.Set(schema.PropCurve, b.restored(at))
		if f.Attributes.Get(schema.PropCurve).IsAbsent() {
			f.Attributes.Delete(schema.PropCurve)
		}
	}
	if p.layer != "" && !r.movedRole(f, p, all) {
		r.tally.Add("layer-changed", p.line, "", "%q (line %d) was moved to the layer %q; its role is kept, its attribute %s says the new one", f.Label(), p.line, p.layer, schema.PropLayer)
		f.Attributes.Set(schema.PropLayer, schema.String(p.layer))
	}
}

// drawnWide takes the width that someone has given a line of this program's in the
// drawing: what is drawn so wide stands so wide on the ground, unless its width_m
// says that it is wider.
func (r *reader) drawnWide(f *schema.Feature, p *ownParts) {
	wide := 0.0
	for _, leaf := range p.parts {
		wide = max(wide, leaf.width)
	}
	if said, ok := f.Attributes.Get(schema.PropWidth).Float(); wide > 0 && (!ok || said < wide) {
		f.Attributes.Set(schema.PropWidth, schema.Float(wide))
		r.tally.Add("width-drawn", p.line, "", "%q (line %d) is drawn %g m wide, which was taken as its %s; swardline gives lines no width", f.Label(), p.line, wide, schema.PropWidth)
	}
}

// drawnThick tells of a thickness that someone has given a thing of this program's
// in the drawing, which its thickness_m does not say: it stands up from the ground,
// or is dug into it.
func (r *reader) drawnThick(f *schema.Feature, p *ownParts) {
	for _, leaf := range p.parts {
		if said, _ := f.Attributes.Get(schema.PropThickness).Float(); leaf.thick != 0 && math.Abs(leaf.thick-said) > 1e-6 {
			r.tally.Add("thickness-drawn", p.line, "", "%q (line %d) is drawn %g m thick, as a body, which a plan's outline is not: is there a wall or a pit? Take the thickness off, or draw what stands there", f.Label(), p.line, leaf.thick)
			return
		}
	}
}

// geometryBuilder makes geometries of the stored form from the leaves in turn.
type geometryBuilder struct {
	parts  map[int]ownLeaf
	unit   float64 // metres in a unit of the plan's plane coordinates
	next   int
	lost   int
	curves []schema.Value
}

// leaf returns the coordinates of the next leaf; there is 0 for an empty one.
func (b *geometryBuilder) leaf(there schema.Value, layout geom.Layout) ([]float64, bool) {
	n, ok := there.Float()
	if ok && n == 0 {
		b.curves = append(b.curves, schema.Null())
		return nil, true
	}
	leaf, ok := b.parts[b.next]
	b.next++
	if !ok {
		b.lost++
		b.curves = append(b.curves, schema.Null())
		return nil, false
	}
	delete(b.parts, b.next-1)
	if leaf.curve.IsAbsent() {
		leaf.curve = schema.Null()
	}
	b.curves = append(b.curves, leaf.curve)
	flat := leaf.flat
	if layout == geom.XY {
		flat = make([]float64, 0, len(leaf.flat)/3*2)
		for i := 0; i < len(leaf.flat); i += 3 {
			flat = append(flat, leaf.flat[i], leaf.flat[i+1])
		}
	}
	return flat, true
}

// build makes one geometry. depth guards against a damaged form.
func (b *geometryBuilder) build(form schema.Attributes, depth int) (geom.T, error) {
	layout := geom.XY
	if form.Get("layout").Text() == "XYZ" {
		layout = geom.XYZ
	}
	leaves := form.Get("leaves")
	switch kind := form.Get("type").Text(); kind {
	case "Point", "LineString", "LinearRing":
		flat, ok := b.leaf(leaves, layout)
		switch {
		case !ok:
			return nil, nil
		case kind == "Point" && len(flat) == 0:
			return geom.NewPointEmpty(layout), nil
		case kind == "Point":
			return geom.NewPointFlat(layout, flat[:layout.Stride()]), nil
		case kind == "LinearRing":
			return geom.NewLinearRingFlat(layout, flat), nil
		}
		return geom.NewLineStringFlat(layout, flat), nil
	case "Polygon", "MultiLineString", "MultiPoint":
		flat, ends := b.leaves(nil, leaves.Items(), layout)
		switch kind {
		case "Polygon":
			return geom.NewPolygonFlat(layout, flat, ends), nil
		case "MultiPoint":
			return geom.NewMultiPointFlat(layout, flat, geom.NewMultiPointFlatOptionWithEnds(ends)), nil
		}
		return geom.NewMultiLineStringFlat(layout, flat, ends), nil
	case "MultiPolygon":
		var flat []float64
		var endss [][]int
		for _, polygon := range leaves.Items() {
			var ends []int
			flat, ends = b.leaves(flat, polygon.Items(), layout)
			endss = append(endss, ends)
		}
		return geom.NewMultiPolygonFlat(layout, flat, endss), nil
	case "GeometryCollection":
		if depth > schema.MaxNesting {
			return nil, fmt.Errorf("nested more than %d deep", schema.MaxNesting)
		}
		out := geom.NewGeometryCollection()
		for _, part := range form.Get("geometries").Items() {
			g, err := b.build(part.Fields(), depth+1)
			if err != nil {
				return nil, err
			}
			if g != nil {
				if err := out.Push(g); err != nil {
					return nil, err
				}
			}
		}
		return out, nil
	default:
		return nil, fmt.Errorf("there is no type of geometry called %q", kind)
	}
}

// leaves appends several leaves; ones that are gone are left out.
func (b *geometryBuilder) leaves(flat []float64, there []schema.Value, layout geom.Layout) ([]float64, []int) {
	ends := make([]int, 0, len(there))
	for _, t := range there {
		part, ok := b.leaf(t, layout)
		if !ok {
			continue
		}
		flat = append(flat, part...)
		ends = append(ends, len(flat))
	}
	return flat, ends
}

// remaining returns what is left of a geometry that lost parts: the leaves that
// no form claims are added as a collection, so that nothing drawn is dropped.
func (b *geometryBuilder) remaining(g geom.T) geom.T {
	if len(b.parts) == 0 {
		return g
	}
	out := geom.NewGeometryCollection()
	if g != nil {
		_ = out.Push(g) // of any layout: the collection is new
	}
	order := make([]int, 0, len(b.parts))
	for n := range b.parts {
		order = append(order, n)
	}
	sort.Ints(order)
	for _, n := range order {
		var line geom.T = geom.NewLineStringFlat(geom.XYZ, b.parts[n].flat)
		if len(b.parts[n].flat) == 3 {
			line = geom.NewPointFlat(geom.XYZ, b.parts[n].flat)
		}
		if out.Push(line) != nil {
			return g
		}
	}
	return out
}

// restored returns the attribute "curve": where it was stored as true the curve
// of the entity stands, elsewhere what was stored.
func (b *geometryBuilder) restored(stored schema.Value) schema.Value {
	pick := func(v schema.Value, i int) schema.Value {
		if on, ok := v.Truth(); !ok || !on {
			return v
		}
		if i < len(b.curves) {
			return b.curves[i]
		}
		return schema.Null()
	}
	if stored.Kind() == schema.KindList {
		items := make([]schema.Value, len(stored.Items()))
		for i, v := range stored.Items() {
			items[i] = pick(v, i)
		}
		return schema.List(items...)
	}
	v := pick(stored, 0)
	if on, ok := stored.Truth(); ok && on && v.Kind() == schema.KindNull {
		return schema.Value{} // redrawn straight since
	}
	return v
}

// applyPlanRecord takes over what was stored of the plan itself.
func (r *reader) applyPlanRecord(p *schema.Plan) {
	f := r.planRecord.Fields()
	p.Name = f.Get(planName).Text()
	if e, ok := f.Get(planEpoch).Float(); ok {
		p.Epoch = e
	}
	p.Attributes = f.Get(planAttributes).Fields().Clone()
	if id := f.Get(planCRS).Text(); id != "" {
		stated, err := crs.Parse(id)
		switch {
		case err != nil:
			r.tally.Add("crs-unknown", 0, "", "the CRS %q that swardline stored in this drawing is not known: %v", clip(id), err)
		case stated.IsDegrees():
			r.tally.Add("crs-unknown", 0, "", "the CRS %q that swardline stored in this drawing has degrees, which a drawing never holds; it is left out", clip(id))
		case r.o.CRS != nil && !r.o.CRS.Equal(stated):
			r.tally.Add("crs-overridden", 0, "", "the drawing states the CRS %s; %s was asked for and holds", clip(id), r.o.CRS.ID())
		case r.o.CRS == nil:
			p.CRS = stated
		}
	}
}

// storedOffset returns what was taken off every position, in metres.
func (r *reader) storedOffset() (point, error) {
	items := r.planRecord.Fields().Get(planOffset).Items()
	if len(items) == 0 {
		return point{}, nil
	}
	e, ok1 := items[0].Float()
	n, ok2 := 0.0, false
	if len(items) == 2 {
		n, ok2 = items[1].Float()
	}
	if !ok1 || !ok2 || math.Abs(e) > 1e12 || math.Abs(n) > 1e12 {
		return point{}, r.fault(0, "the offset that swardline declared in this drawing is damaged, so its place is not known", "write the drawing again from its plan")
	}
	return point{e, n}, nil
}
