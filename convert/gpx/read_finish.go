// The features of what was read, and their order.

package gpx

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// finish makes the feature of the element just read.
func (r *reader) finish(at int, k kind) error {
	own := r.own
	if own != nil && own.more {
		if a := r.assemblies[own.n]; a != nil {
			r.moreDrawn(a.feature)
			a.add(&r.pieces, k)
			return nil
		}
		if r.parts != nil && r.parts.closed[own.n] {
			return wire.ErrWhole // it was thought whole
		}
		r.warn("part-alone", at, "the element belongs to feature %d, which is not there; it was read on its own", own.n)
		own = nil
	}
	f, err := r.newFeature(at)
	if err != nil {
		return err
	}
	f.Name = r.name
	if own == nil {
		f.Name = edgesTrimmed(f.Name)
		r.trimTexts(r.found)
	}
	found := r.found
	if own == nil || own.role == "" {
		if role, ok := schema.ParseRole(found.Get("type").Text()); ok && role != schema.RoleOther {
			f.Role = role
			found.Delete("type")
		}
	} else {
		role, ok := schema.ParseRole(own.role)
		if !ok {
			return r.fail(own.position, "use one of "+roleWords(), "role=%q is no role", own.role)
		}
		f.Role = role
	}
	if own == nil {
		f.Geometry = r.outline(f, r.plainGeometry(k), at)
	} else {
		r.places[len(r.places)-1] = own.n
		f.ID = own.id
		if own.hasName {
			f.Name = own.name
		}
		if f.Geometry, err = r.ownGeometry(f, own, k); err != nil {
			return err
		}
	}
	if _, ok := f.Geometry.(*geom.LineString); ok && k == kindTrk {
		found = append(schema.Attributes{{Key: KindAttribute, Value: schema.String("trk")}}, found...)
	}
	for _, c := range r.columns {
		found = append(found, schema.Attribute{Key: c.key, Value: r.nested(c, f.Geometry)})
	}
	if r.segment != nil {
		found = append(found, schema.Attribute{Key: segmentExtensionsKey, Value: schema.List(pad(r.segment, len(r.pieces.ends))...)})
	}
	if own == nil {
		f.Attributes = found
		r.tellDrawn(f.Source.Line, quoted(f), found)
		if k != kindWpt && r.pieces.vertices() == 0 {
			r.warn("line-empty", at, "%q has no points; it was kept empty", f.Label())
		}
		return nil
	}
	var missing string
	if f.Attributes, missing = own.merge(found, f.Role); missing != "" {
		r.warn("attribute-missing", own.position, "the attribute %q of %q should stand in an element of its own, which is not there", missing, f.Label())
	}
	r.tellDrawn(f.Source.Line, quoted(f), f.Attributes)
	return nil
}

// quoted is what a feature is called in a warning.
func quoted(f *schema.Feature) string { return strconv.Quote(wire.Clip([]byte(f.Label()), 40)) }

// moreDrawn keeps what the extensions of another element of a feature draw, with the
// feature.
func (r *reader) moreDrawn(f *schema.Feature) {
	list := append(schema.Attributes(nil), r.found...)
	for _, c := range r.columns {
		list = append(list, schema.Attribute{Key: c.key, Value: schema.List(c.values...)})
	}
	if r.segment != nil {
		list = append(list, schema.Attribute{Key: segmentExtensionsKey, Value: schema.List(r.segment...)})
	}
	told := drawnIn(f.Attributes)
	for _, a := range list {
		if drawnAt(a) {
			f.Attributes = keepDrawn(f.Attributes, a)
		}
	}
	if !told {
		r.tellDrawn(f.Source.Line, quoted(f), f.Attributes)
	}
}

func roleWords() string {
	words := make([]string, len(schema.Roles))
	for i, role := range schema.Roles {
		words[i] = string(role)
	}
	return strings.Join(words, ", ")
}

// nested returns a column's values as a list, nested as the geometry is.
func (r *reader) nested(c column, g geom.T) schema.Value {
	values := pad(c.values, r.pieces.vertices())
	if _, ok := g.(*geom.LineString); ok {
		return schema.List(values...)
	}
	var parts []schema.Value
	start := 0
	for _, end := range r.pieces.ends {
		parts = append(parts, schema.List(values[start:end:end]...))
		start = end
	}
	return schema.List(parts...)
}

// sortFeatures puts the features back in the plan's order; those of other hands
// follow in the order of the file.
func (r *reader) sortFeatures() {
	place := func(i int) int {
		if n := r.places[i]; n > 0 {
			return n
		}
		return math.MaxInt
	}
	by := &byPlace{r.plan.Features, make([]int, len(r.places))}
	for i := range by.place {
		by.place[i] = place(i)
	}
	if !sort.IsSorted(by) {
		sort.Stable(by)
	}
}

type byPlace struct {
	features []*schema.Feature
	place    []int
}

func (b *byPlace) Len() int           { return len(b.place) }
func (b *byPlace) Less(i, j int) bool { return b.place[i] < b.place[j] }
func (b *byPlace) Swap(i, j int) {
	b.features[i], b.features[j] = b.features[j], b.features[i]
	b.place[i], b.place[j] = b.place[j], b.place[i]
}
