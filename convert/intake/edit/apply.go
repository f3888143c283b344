// Doing what a list says, to a copy.

package edit

import (
	"fmt"
	"math"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/schema"
)

// Apply does the edits, in order, and gives the new plan and what each did; p
// stays as it is. The first edit that cannot be done ends it with an *Error and
// no plan.
func Apply(p *schema.Plan, l *List, o Options) (*schema.Plan, []Change, error) {
	out := *p
	out.Features = append([]*schema.Feature(nil), p.Features...)
	var changes []Change
	for i := range l.Edits {
		c, err := one(&out, &l.Edits[i], o)
		if err != nil {
			if e, ok := err.(*Error); ok {
				e.Edit = i + 1
				return nil, nil, e
			}
			return nil, nil, &Error{Edit: i + 1, Problem: err.Error()}
		}
		c.Edit = i + 1
		changes = append(changes, *c)
	}
	return &out, changes, nil
}

// one does one edit to the plan's list of features; features themselves are
// replaced, never changed.
func one(p *schema.Plan, e *Edit, o Options) (*Change, error) {
	nan := math.NaN()
	if !e.Add.IsAbsent() {
		f, err := added(p, e.Add)
		if err != nil {
			return nil, err
		}
		p.Features = append(p.Features, f)
		return &Change{Feature: f.Label(), Words: []string{"added as " + string(f.Role)}, Before: nan, After: area(f, o)}, nil
	}
	at, err := Find(p, e.Feature, e.Nth)
	if err != nil {
		return nil, err
	}
	old := p.Features[at]
	c := &Change{Feature: old.Label(), Before: area(old, o), After: nan}
	if e.Remove {
		p.Features = append(p.Features[:at:at], p.Features[at+1:]...)
		c.Words = []string{"removed"}
		return c, nil
	}
	f := *old
	f.Attributes = old.Attributes.Clone()
	c.Words = words(&f, e)
	if !e.Coordinates.IsAbsent() {
		if err := recoordinate(p, &f, e.Coordinates); err != nil {
			return nil, err
		}
		c.Words = append(c.Words, "new coordinates")
	}
	shaped, err := shape(&f, e, o)
	if err != nil {
		return nil, err
	}
	c.Words = append(c.Words, shaped...)
	c.After = area(&f, o)
	p.Features[at] = &f
	return c, nil
}

func area(f *schema.Feature, o Options) float64 {
	if o.AreaM2 == nil {
		return math.NaN()
	}
	m2, ok := o.AreaM2(f)
	if !ok {
		return math.NaN()
	}
	return m2
}

// words does what an edit says of a feature's names and properties.
func words(f *schema.Feature, e *Edit) []string {
	var done []string
	if e.Role != nil {
		r, _ := schema.ParseRole(*e.Role)
		if r != f.Role {
			done = append(done, fmt.Sprintf("role %s, was %s", r, f.Role))
		}
		f.Role = r
		// A word that was no role is answered by this one.
		f.Attributes.Delete(schema.PropRole)
	}
	if e.Name != nil {
		done = append(done, fmt.Sprintf("name %q, was %q", *e.Name, f.Name))
		f.Name = *e.Name
	}
	if e.Active != nil {
		if *e.Active {
			f.Attributes.Delete(schema.PropActive) // on is the default
			done = append(done, "switched on")
		} else {
			f.Attributes.Set(schema.PropActive, schema.Bool(false))
			done = append(done, "switched off")
		}
	}
	for _, a := range e.Set {
		f.Attributes.Set(a.Key, a.Value)
		done = append(done, fmt.Sprintf("%s = %s", a.Key, shown(a.Value)))
	}
	for _, key := range e.Unset {
		if f.Attributes.Has(key) {
			f.Attributes.Delete(key)
			done = append(done, key+" taken out")
		} else {
			done = append(done, key+" was not there")
		}
	}
	return done
}

func shown(v schema.Value) string {
	if v.Kind() == schema.KindString {
		return v.Text()
	}
	return string(v.AppendJSON(nil))
}

// Find returns the index of the feature that an edit names: by id, else by name
// as written, else by name without regard to case and outer blanks, else by
// role where a feature has neither; nth, from 1, chooses among several, 0 wants
// the only one.
func Find(p *schema.Plan, name string, nth int) (int, error) {
	tests := []func(f *schema.Feature) bool{
		func(f *schema.Feature) bool { return !f.ID.IsAbsent() && f.ID.Text() == name },
		func(f *schema.Feature) bool { return f.Name != "" && f.Name == name },
		func(f *schema.Feature) bool {
			return f.Name != "" && schema.FoldName(f.Name) == schema.FoldName(name)
		},
		func(f *schema.Feature) bool { return f.Name == "" && f.ID.Text() == "" && string(f.Role) == name },
	}
	for _, fits := range tests {
		var found []int
		for i, f := range p.Features {
			if f != nil && fits(f) {
				found = append(found, i)
			}
		}
		switch {
		case len(found) == 0:
			continue
		case nth > len(found):
			return 0, &Error{Problem: fmt.Sprintf("there are %d features called %q, not %d", len(found), name, nth)}
		case nth > 0:
			return found[nth-1], nil
		case len(found) > 1:
			return 0, &Error{Problem: fmt.Sprintf("%d features are called %q", len(found), name), Mend: `say which with "nth", from 1`}
		}
		return found[0], nil
	}
	return 0, &Error{Problem: fmt.Sprintf("no feature is called %q", name), Mend: nearest(p, name)}
}

// Reference is how an edit names feature i of the plan, so that Find finds it
// again.
func Reference(p *schema.Plan, i int) (name string, nth int) {
	f := p.Features[i]
	name = f.Label()
	if id := f.ID.Text(); id != "" {
		name = id
	}
	if at, err := Find(p, name, 0); err == nil && at == i {
		return name, 0
	}
	for n := 1; ; n++ {
		at, err := Find(p, name, n)
		if err != nil {
			break
		}
		if at == i {
			return name, n
		}
	}
	return f.Label(), 0
}

// nearest lists names that start alike, for somebody who mistyped one.
func nearest(p *schema.Plan, name string) string {
	var list []string
	for _, f := range p.Features {
		if len(list) < 8 && f.Name != "" {
			list = append(list, fmt.Sprintf("%q", f.Name))
		}
	}
	if len(list) == 0 {
		return "the plan's features have no names: use their ids"
	}
	more := ""
	if len(p.Features) > len(list) {
		more = ", ..."
	}
	return "there are " + strings.Join(list, ", ") + more
}

// added reads a feature that an edit adds. Its coordinates stand in "place" in
// the plan's own system; "geometry" is taken where that is longitude and
// latitude.
func added(p *schema.Plan, v schema.Value) (*schema.Feature, error) {
	fields := v.Fields().Clone()
	place := fields.Get("place")
	degrees := p.CRS != nil && p.CRS.IsDegrees()
	switch {
	case !place.IsAbsent() && place.Kind() != schema.KindNull:
		fields.Set("geometry", place)
	case !degrees && fields.Get("geometry").Kind() == schema.KindObject:
		return nil, &Error{Problem: "the plan is not in longitude and latitude, and the added feature has only a \"geometry\"",
			Mend: `give "place" with coordinates in the plan's own system`}
	}
	fields.Delete("place")
	fields.Delete("coordRefSys")
	f, err := read(p, fields)
	if err != nil {
		return nil, err
	}
	if f.Geometry == nil {
		return nil, &Error{Problem: "the added feature has no coordinates"}
	}
	if id := f.ID.Text(); id != "" {
		if _, err := Find(p, id, 0); err == nil {
			return nil, &Error{Problem: fmt.Sprintf("there is a feature %q already", id), Mend: "give the added one another id, or none"}
		}
	}
	f.Source = schema.Source{}
	return f, nil
}

// read reads the members of a GeoJSON Feature whose geometry is in the plan's
// coordinates.
func read(p *schema.Plan, fields schema.Attributes) (*schema.Feature, error) {
	collection := schema.Attributes{{Key: "type", Value: schema.String("FeatureCollection")}}
	if p.CRS == nil {
		collection.Set("crs_unknown", schema.Bool(true))
	}
	collection.Set("features", schema.List(schema.Object(fields)))
	q, _, err := geojson.Read(schema.Object(collection).AppendJSON(nil), wire.ReadOptions{Name: "the edit", CRS: p.CRS})
	if err != nil {
		return nil, err
	}
	if len(q.Features) != 1 {
		return nil, &Error{Problem: "it is no feature"}
	}
	return q.Features[0], nil
}

// recoordinate gives a feature whole new coordinates; its type of geometry
// stays.
func recoordinate(p *schema.Plan, f *schema.Feature, coordinates schema.Value) error {
	if f.Geometry == nil || f.Geometry.Layout() == geom.NoLayout {
		return &Error{Problem: fmt.Sprintf("%s has no geometry of one kind", f.Label())}
	}
	geometry := schema.Object(schema.Attributes{
		{Key: "type", Value: schema.String(schema.TypeName(f.Geometry))},
		{Key: "coordinates", Value: coordinates},
	})
	q, err := read(p, schema.Attributes{{Key: "type", Value: schema.String("Feature")}, {Key: "geometry", Value: geometry}, {Key: "properties", Value: schema.Null()}})
	if err != nil {
		return err
	}
	f.Geometry = q.Geometry
	f.Attributes.Delete(schema.PropTimes)
	f.Attributes.Delete(schema.PropCurve)
	return nil
}
