// What fits a rule, and what its attributes are set from.

package roles

import (
	"math"
	"slices"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/intake/rings"
	"swardline/schema"
)

// fits reports whether every condition of the rule does.
func (a *applier) fits(r *Rule, f *schema.Feature, layer string) bool {
	text := func(key string) string { return f.Attributes.Get(key).Text() }
	return (len(r.Geometry) == 0 || slices.Contains(r.Geometry, geometryWord(f.Geometry))) &&
		r.Layer.Match(layer) && r.Name.Match(f.Name) && r.Code.Match(text(schema.PropCode)) && r.colourFits(f) &&
		r.Block.Match(text(schema.PropBlock)) && r.Entity.Match(text(schema.PropEntity)) && r.LineType.Match(text(schema.PropLineType)) &&
		r.folderFits(f) && r.whereFits(f) && r.stateFits(f) && a.sizeFits(r, f.Geometry) && a.textFits(r, f.Geometry)
}

// colourFits holds the colour of a drawing, or a colour of a KML style.
func (r *Rule) colourFits(f *schema.Feature) bool {
	if r.Colour == nil {
		return true
	}
	for _, key := range []string{schema.PropColour, schema.PropFillColor, schema.PropLineColor, schema.PropIconColor} {
		if v := f.Attributes.Get(key).Text(); v != "" && (r.Colour.Match(v) || len(v) == len("#rrggbbaa") && r.Colour.Match(v[:len("#rrggbb")])) {
			return true
		}
	}
	return false
}

func (r *Rule) folderFits(f *schema.Feature) bool {
	if r.Folder == nil {
		return true
	}
	v := f.Attributes.Get(schema.PropFolder)
	var whole []string
	for _, item := range v.Items() {
		if r.Folder.Match(item.Text()) {
			return true
		}
		whole = append(whole, item.Text())
	}
	return len(whole) > 0 && r.Folder.Match(strings.Join(whole, "/")) || v.Kind() == schema.KindString && r.Folder.Match(v.Text())
}

func (r *Rule) whereFits(f *schema.Feature) bool {
	for _, w := range r.Where {
		v := f.Attributes.Get(w.Key)
		switch v.Kind() {
		case schema.KindString, schema.KindNumber, schema.KindBool:
			if w.Match(v.Text()) {
				continue
			}
		}
		return false
	}
	return true
}

func (r *Rule) stateFits(f *schema.Feature) bool {
	state := f.Attributes.Get(schema.PropLayerState).Text()
	if len(r.State) > 0 && !slices.ContainsFunc(r.State, func(s string) bool { return strings.Contains(state, s) }) {
		return false
	}
	if r.Hidden == nil {
		return true
	}
	hidden, _ := f.Attributes.Get(schema.PropHidden).Truth()
	return (hidden || state != "" && state != "noplot") == *r.Hidden // what is not plotted is shown all the same
}

// sizeFits holds whether a geometry is closed, its area and its length.
func (a *applier) sizeFits(r *Rule, g geom.T) bool {
	if r.Closed == nil && r.AreaM2 == nil && r.LengthM == nil {
		return true
	}
	closed, area, length := a.scale.Sizes(g, r.ToleranceM)
	return (r.Closed == nil || closed == *r.Closed) && r.AreaM2.holds(area) && r.LengthM.holds(length)
}

// holds reports whether a size is known and within the range.
func (r *Range) holds(v float64) bool {
	return r == nil || v >= r.Least && v <= r.Most
}

// textFits holds the texts inside an outline or beside a point or line.
func (a *applier) textFits(r *Rule, g geom.T) bool {
	if r.Text == nil {
		return true
	}
	return slices.ContainsFunc(a.labels, func(l label) bool { return r.Text.Match(l.text) && a.near(g, l.at, r.TextWithinM) })
}

// near reports whether a position lies inside an outline, or within metres of a
// point or line.
func (a *applier) near(g geom.T, p []float64, metres float64) bool {
	switch geometryWord(g) {
	case "area":
		return rings.Holds(g, p)
	case "point", "line":
		if closed, _, _ := a.scale.Sizes(g, 0); closed {
			if line, ok := g.(*geom.LineString); ok {
				return rings.Holds(geom.NewPolygonFlat(line.Layout(), line.FlatCoords(), []int{len(line.FlatCoords())}), p)
			}
		}
		return a.scale.ToGeometry(g, p) <= metres
	}
	return false
}

// labelsOf returns the texts of a drawing, the features that are blocks with
// attributes, and its leaders.
func labelsOf(p *schema.Plan) (labels []label, tags []int, leaders []label) {
	for i, f := range p.Features {
		at, ok := f.Geometry.(*geom.Point)
		if !ok || at.Empty() {
			continue
		}
		kind := f.Attributes.Get(schema.PropEntity).Text()
		if (kind == "TEXT" || kind == "MTEXT") && strings.TrimSpace(f.Name) != "" {
			h, _ := f.Float(schema.PropTextHeight)
			labels = append(labels, label{i, strings.TrimSpace(f.Name), at.FlatCoords(), h})
		}
		if isLeader(kind) && strings.TrimSpace(f.Name) != "" {
			leaders = append(leaders, label{i, strings.TrimSpace(f.Name), at.FlatCoords(), 0})
		}
		if len(f.Attributes.Get(schema.PropAttribs).Fields()) > 0 {
			tags = append(tags, i)
		}
	}
	return labels, tags, leaders
}

// valueFrom finds the value that an attribute is set from, absent when there is
// none. Numbers are read from texts such as "12,5 m", but only for keys that
// end in a unit.
func (a *applier) valueFrom(s SetFrom, item int) schema.Value {
	var v schema.Value
	f := a.items[item].Feature
	switch {
	case s.From == fromLeader:
		if text, ok := a.pointed[item]; ok {
			v = schema.String(text)
		}
	case s.From == "text":
		for _, l := range a.labels {
			if a.near(f.Geometry, l.at, DefaultTextWithinM) {
				v = schema.String(l.text)
				break
			}
		}
	case strings.HasPrefix(s.From, fromAttrib):
		v = tagged(f, strings.TrimPrefix(s.From, fromAttrib))
	case strings.HasPrefix(s.From, fromInside):
		for _, i := range a.tags {
			tag := a.plan.Features[i]
			if w := tagged(tag, strings.TrimPrefix(s.From, fromInside)); i != item && !w.IsAbsent() && a.near(f.Geometry, tag.Geometry.FlatCoords(), DefaultTextWithinM) {
				v = w
				break
			}
		}
	default:
		v = f.Attributes.Get(strings.TrimPrefix(s.From, fromProperty))
	}
	if v.Kind() == schema.KindNull || v.Kind() == schema.KindString && strings.TrimSpace(v.Text()) == "" {
		return schema.Value{}
	}
	if s.Times != 1 || isMeasure(s.Key) {
		n, ok := measure(v, s.Key)
		if !ok {
			return schema.Value{}
		}
		if s.Times != 1 {
			n = schema.Float(mustFloat(n) * s.Times)
		}
		return n
	}
	return v
}

func mustFloat(v schema.Value) float64 {
	f, _ := v.Float()
	return f
}

// tagged returns an attribute of a block by its tag, in any case.
func tagged(f *schema.Feature, tag string) schema.Value {
	for _, t := range f.Attributes.Get(schema.PropAttribs).Fields() {
		if strings.EqualFold(t.Key, tag) {
			return t.Value
		}
	}
	return schema.Value{}
}

// measureUnit is one ending of attributes and the units a text may name.
type measureUnit struct {
	ending string
	units  map[string]float64
}

// measureUnits are the endings of attributes that hold numbers with a unit, and
// what a text may call that unit, with how many of the attribute's are in one.
var measureUnits = []measureUnit{
	{"_m2", map[string]float64{"m2": 1, "m²": 1}},
	{"_mm", map[string]float64{"mm": 1, "cm": 10, "m": 1000}},
	{"_deg", map[string]float64{"°": 1, "deg": 1}},
	{"_m", map[string]float64{"m": 1, "cm": 0.01, "mm": 0.001}},
}

// isMeasure reports whether an attribute holds a number with a unit.
func isMeasure(key string) bool {
	return slices.ContainsFunc(measureUnits, func(u measureUnit) bool { return strings.HasSuffix(key, u.ending) })
}

// measure reads a number for an attribute, or a text such as "12,5 m" that
// starts with one, in the attribute's unit where the text names another of its
// kind.
func measure(v schema.Value, key string) (schema.Value, bool) {
	if v.Kind() == schema.KindNumber {
		return v, true
	}
	text := strings.TrimSpace(v.Text())
	end := 0
	for end < len(text) && strings.IndexByte("+-0123456789.,", text[end]) >= 0 {
		end++
	}
	factor := 1.0
	if unit := strings.ToLower(strings.TrimSpace(text[end:])); unit != "" {
		known := false
		for _, u := range measureUnits {
			if strings.HasSuffix(key, u.ending) {
				factor, known = u.units[unit]
				break
			}
		}
		if !known {
			return v, false
		}
	}
	if v.Kind() != schema.KindString {
		return v, false
	}
	n, ok := schema.Number(strings.TrimPrefix(strings.Replace(text[:end], ",", ".", 1), "+"))
	f, finite := n.Float()
	if !ok || !finite || math.IsInf(f, 0) {
		return v, false
	}
	if factor != 1 {
		// To a millionth, so that 45 mm is 0.045 and not what is left of it.
		n = schema.Float(math.Round(f*factor*1e6) / 1e6)
	}
	return n, true
}
