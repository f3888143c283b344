// Changes to a plan by a list of edits.

package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/intake/edit"
	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
	"swardline/validate"
)

// Editing are the options of Edit: a script, features to add from a plan, or
// one edit of one feature.
type Editing struct {
	Reading
	Writing
	Source, Target string
	Script         string // file of edits, "" for none
	Add            string // plan whose features are added, "" for none
	Feature        string // id or name
	Nth            int    // which of several of that name, from 1; 0 for the only one
	Role           string
	Name           *string
	Active         string   // on or off, "" to leave it
	Set            []string // KEY=VALUE; a VALUE that is JSON keeps its type
	Unset          []string
	MoveOutlineM   *float64
	Close          bool
	Reverse        bool
	Remove         bool
	Heard          bool // take out what the plan's file says beside it
}

// Edited is what Edit did.
type Edited struct {
	Converted
	Changes []edit.Change
}

// Edit changes the plan in Source by edits and writes it to Target. What no
// edit speaks of keeps every digit.
func (j *Job) Edit(o *Editing) (*Edited, error) {
	limits, format, err := j.opening(&o.Reading, &o.Writing, o.Source, o.Target)
	if err != nil {
		return nil, err
	}
	list, err := j.edits(o)
	if err != nil {
		return nil, err
	}
	p, err := j.plan(o.Source, &o.Reading, limits)
	if err != nil {
		return nil, err
	}
	edited, changes, err := edit.Apply(p, list, EditOptions(p, limits))
	var wrong *edit.Error
	switch {
	case errors.As(err, &wrong) && o.Script == "":
		return nil, Refuse(wrong.Mend, "%s", wrong.Problem)
	case errors.As(err, &wrong):
		return nil, Fault(wrong.Mend, "%s: %w", o.Script, err)
	case err != nil:
		return nil, err
	}
	out := &Edited{Changes: changes}
	if o.Add != "" {
		if edited, err = j.addFrom(edited, o, limits, out); err != nil {
			return nil, err
		}
	}
	if o.Heard {
		edited = forgotten(edited, out)
	}
	out.Converted, err = j.rewrite(edited, o.Target, format, o.Layout, limits)
	return out, err
}

// edits puts together the list that was asked for.
func (j *Job) edits(o *Editing) (*edit.List, error) {
	one, err := j.oneEdit(o)
	if err != nil {
		return nil, err
	}
	switch {
	case o.Script != "" && len(one) > 0:
		return nil, Refuse("put it into the script", "%s and %s do not go together", j.option("script"), j.option("feature"))
	case o.Script != "":
		data, err := j.settings(o.Script)
		if err != nil {
			return nil, err
		}
		return edit.Read(data, o.Script)
	case len(one) == 0 && o.Add == "" && !o.Heard:
		return nil, Refuse("name a feature and what to do with it, a file to add, or a script", "there is nothing to edit: give %s, %s, %s or %s", j.option("feature"), j.option("add"), j.option("heard"), j.option("script"))
	case len(one) == 0:
		return &edit.List{}, nil
	}
	doc := schema.Object(schema.Attributes{{Key: "edits", Value: schema.List(schema.Object(one))}})
	list, err := edit.Read(doc.AppendJSON(nil), "the edit")
	if err != nil {
		return nil, Refuse("", "%s", strings.TrimPrefix(problemOf(err), "edit 1: "))
	}
	return list, nil
}

// oneEdit writes the options of one edit as a script has them.
func (j *Job) oneEdit(o *Editing) (schema.Attributes, error) {
	var e schema.Attributes
	add := func(given bool, key string, v schema.Value) {
		if given {
			e.Set(key, v)
		}
	}
	add(o.Feature != "", "feature", schema.String(o.Feature))
	add(o.Nth > 0, "nth", schema.Int(int64(o.Nth)))
	add(o.Role != "", "role", schema.String(o.Role))
	if o.Name != nil {
		e.Set("name", schema.String(*o.Name))
	}
	switch o.Active {
	case "":
	case "on", "off":
		e.Set("active", schema.Bool(o.Active == "on"))
	default:
		return nil, Refuse("", "%s is on or off, not %q", j.option("active"), o.Active)
	}
	var set schema.Attributes
	for _, text := range o.Set {
		key, value, ok := strings.Cut(text, "=")
		if !ok || key == "" {
			return nil, Refuse("write "+j.option("set")+" KEY=VALUE", "%q sets nothing", text)
		}
		v, err := jsontext.Parse([]byte(value))
		if err != nil {
			v = schema.String(value)
		}
		set.Set(key, v)
	}
	add(len(set) > 0, "set", schema.Object(set))
	var unset []schema.Value
	for _, key := range o.Unset {
		unset = append(unset, schema.String(key))
	}
	add(len(unset) > 0, "unset", schema.List(unset...))
	if o.MoveOutlineM != nil {
		e.Set("move_outline_m", schema.Float(*o.MoveOutlineM))
	}
	add(o.Close, "close", schema.Bool(true))
	add(o.Reverse, "reverse", schema.Bool(true))
	add(o.Remove, "remove", schema.Bool(true))
	return e, nil
}

// problemOf is what an error of a reader says is wrong, without its file.
func problemOf(err error) string {
	var in *wire.InputError
	if errors.As(err, &in) {
		return in.Problem
	}
	return err.Error()
}

// forgotten gives the plan without what its file says beside it and draws that it
// lacks: somebody has read that, and nothing else may say so.
func forgotten(p *schema.Plan, done *Edited) *schema.Plan {
	out := *p
	words := fmt.Sprintf("%d things that its file says beside it, or draws and it lacks, taken out", out.ForgetBeside())
	if out.Attributes.Has(schema.PlanBeside) {
		out.Attributes = out.Attributes.Clone()
		out.Attributes.Delete(schema.PlanBeside)
		words += "; member " + schema.PlanBeside + " taken out"
	}
	done.Changes = append(done.Changes, edit.Change{Edit: len(done.Changes) + 1, Feature: "the plan", Words: []string{words}, Before: math.NaN(), After: math.NaN()})
	return &out
}

// addFrom adds the features of another plan, in the coordinates of p.
func (j *Job) addFrom(p *schema.Plan, o *Editing, l schema.Limits, done *Edited) (*schema.Plan, error) {
	more, err := j.unruled(o.Add, &Reading{}, l)
	if err != nil {
		return nil, err
	}
	if more, err = j.inFrameOf(p, more, l); err != nil {
		return nil, err
	}
	if (p.CRS == nil) != (more.CRS == nil) {
		return nil, Fault("say both systems in a convert first", "%s and %s are not both in a known reference system", o.Source, o.Add)
	}
	measure := EditOptions(p, l)
	out := *p
	out.AddBesideOf(more.WithOpenOutlines())
	saidOfAdded(&out, more, o.Add)
	out.Features = append([]*schema.Feature(nil), p.Features...)
	for _, f := range more.Features {
		if id := f.ID.Text(); id != "" {
			for _, g := range p.Features {
				if g.ID.Text() == id {
					return nil, Fault("give it another id, or none", "%s: there is a feature %q already", o.Add, id)
				}
			}
		}
		g := *f
		g.Geometry = wire.ForRings(f, p.CRS, more.Source.Winding, p.Source.Winding, &wire.Tally{})
		out.Features = append(out.Features, &g)
		c := edit.Change{Edit: len(done.Changes) + 1, Feature: g.Label(), Words: []string{"added as " + string(g.Role)}, Before: math.NaN(), After: math.NaN()}
		if m2, ok := measure.AreaM2(&g); ok {
			c.After = m2
		}
		done.Changes = append(done.Changes, c)
	}
	return &out, nil
}

// inFrameOf gives a plan that is added in the coordinates of p, in the frame too that
// its base tells where both are known: two frames of one pair of numbers may be a metre
// apart.
func (j *Job) inFrameOf(p, more *schema.Plan, l schema.Limits) (*schema.Plan, error) {
	if p.CRS == nil || more.CRS == nil {
		return more, nil
	}
	to, err := p.Reference()
	if err != nil {
		return nil, Fault("", "%s: %w", p.Source.File, err)
	}
	from, err := more.Reference()
	if err != nil {
		return nil, Fault("", "%s: %w", more.Source.File, err)
	}
	switch {
	case to.Frame.Known() && from.Frame.Known() && to.Frame != from.Frame:
		return j.movedTo(more, to.CRS, to.Epoch, &Moving{}, l)
	case !p.CRS.Equal(more.CRS):
		return j.movedTo(more, p.CRS, 0, &Moving{}, l)
	}
	return more, nil
}

// saidOfAdded keeps with p what the plan that is added says of itself as a whole, for its
// members go with it: that it is mirrored, stricter limits.
func saidOfAdded(p, added *schema.Plan, file string) {
	p.Beside = slices.Clip(p.Beside)
	for _, a := range added.Attributes {
		where := fmt.Sprintf("the member %s of %s", a.Key, file)
		switch {
		case a.Key == schema.PlanBeside || a.Key == schema.PlanDrawing || a.Key == schema.PropFrame || a.Value.Equal(p.Attributes.Get(a.Key)) || a.Value.Kind() == schema.KindNull:
		case a.Value.Kind() == schema.KindString:
			p.AddBeside(schema.BesideText{Where: where, Text: a.Value.Text(), Names: a.Key == schema.PropName || a.Key == "author" || a.Key == "title"})
		case a.Value.Kind() == schema.KindObject || a.Value.Kind() == schema.KindList || a.Value.Kind() == schema.KindBool:
			p.AddUnheard(where)
		}
	}
}

// EditOptions are what edits of a plan need from validate: offsets and areas on
// the plan's ground, and the farthest that an outline is moved.
func EditOptions(p *schema.Plan, l schema.Limits) edit.Options {
	return edit.Options{
		OffsetMaxM: l.OffsetMaxM,
		Offset: func(f *schema.Feature, by float64) (geom.T, error) {
			return validate.OffsetOutline(p, f, by)
		},
		AreaM2: func(f *schema.Feature) (float64, bool) {
			return validate.AreaOf(p, f)
		},
	}
}

// LimitWords are the unit of a limit and what it is.
func LimitWords(name string) (unit, doc string) {
	for _, l := range schema.LimitTable {
		if l.Key == name {
			return l.Unit, l.Doc
		}
	}
	return "", ""
}
