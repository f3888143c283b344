// An outline from a walked log, put into its plan as an edit.

package job

import (
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/paulmach/orb"

	"github.com/twpayne/go-geom"

	"swardline/convert"
	"swardline/convert/intake/edit"
	"swardline/convert/intake/track"
	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/schema"
	"swardline/validate"
)

// OutlineOptions are the options of Outline.
type OutlineOptions struct {
	DrivenOptions        // its Path, Logs, Quality, LogCRS and LogFrame
	Name          string // of the zone: one of the plan is replaced, another is added
	Target        string // where the plan with the outline goes, "" for nowhere
	Script        string // where the edit that puts it there goes, "" for nowhere
}

// Outlined is what Outline did.
type Outlined struct {
	Converted
	Walk *validate.Walk
	// Replaced is set when the plan had an outline of that name; Difference and
	// BeforeM2 then say how the two differ.
	Replaced   bool
	Difference validate.OutlineDifference
	BeforeM2   float64
}

// Words says in one line each what was done.
func (o *Outlined) Words(name string) []string {
	w := o.Walk
	out := []string{fmt.Sprintf("%s: %.2f m2, %d points, %d straight sides of 2 m or more, %d curves; %d positions gone astray and %d past the start were left out; start and end %.3f m apart",
		name, w.AreaM2, len(w.Ring)-1, w.Straights, w.Curves, w.Outliers, w.Overlap, w.GapM)}
	if o.Replaced {
		d := o.Difference
		return append(out, fmt.Sprintf("before: %.2f m2 (%+.2f m2); the outlines differ by %.3f m for half, %.3f m for 95 of 100, %.3f m at most (Hausdorff)", o.BeforeM2, w.AreaM2-o.BeforeM2, d.MedianM, d.P95M, d.HausdorffM))
	}
	return append(out, "the plan had no outline of that name; it was added as a zone")
}

// Outline makes a zone of a walked log and writes the plan with it.
func (j *Job) Outline(o *OutlineOptions) (*Outlined, error) {
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	format := ""
	switch {
	case o.Target == "" && o.Script == "":
		return nil, Refuse("name it with "+j.option("to")+", or with "+j.option("script")+" one for the edit alone", "the plan with the outline needs a file to go to")
	case o.Target != "":
		if format, err = j.target(&Writing{}, o.Target); err != nil {
			return nil, err
		}
	}
	logs, err := j.openLogs(&o.DrivenOptions)
	if err != nil {
		return nil, err
	}
	if len(logs) != 1 {
		return nil, Refuse("", "an outline is made of one log, not of %d", len(logs))
	}
	path, p, err := j.sitePlan(&o.DrivenOptions, logs, limits)
	if err != nil {
		return nil, err
	}
	s, err := validate.Ground(p)
	if err != nil {
		return nil, Fault("", "%s: %w", path, err)
	}
	var shift validate.DrivenOptions
	if err := j.logFrame(&o.DrivenOptions, p, s, limits, &shift); err != nil {
		return nil, err
	}
	var pts []validate.WalkedPoint
	if _, err := logs[0].read(func(f fixes.Fix) error {
		at, ok := s.LonLatToGround(f.Lon, f.Lat)
		if ok && track.ClassOf(f.Quality) == track.Fixed {
			pts = append(pts, validate.WalkedPoint{At: orb.Point{at[0] + shift.ShiftE, at[1] + shift.ShiftN}, Sigma: f.Sigma()})
		}
		return nil
	}); err != nil {
		return nil, err
	}
	out := &Outlined{}
	if out.Walk, err = validate.OutlineOf(pts, limits.CurveChordM); err != nil {
		return nil, Fault("", "%s: %w", logs[0].options.Name, err)
	}
	script, err := outlineEdit(p, s, o, out)
	if err != nil {
		return nil, err
	}
	list, err := edit.Read(script, o.Script)
	if err != nil {
		return nil, err
	}
	edited, _, err := edit.Apply(p, list, EditOptions(p, limits))
	var wrong *edit.Error
	if errors.As(err, &wrong) {
		return nil, Fault(wrong.Mend, "%s: %w", path, err)
	} else if err != nil {
		return nil, err
	}
	if o.Script != "" {
		if err := j.Store.Write(o.Script, func(w io.Writer) error { _, err := w.Write(script); return err }); err != nil {
			return out, err
		}
	}
	if o.Target == "" {
		return out, nil
	}
	if edited, err = j.moved(edited, "", 0, format, &o.Moving, limits); err != nil {
		return out, err
	}
	c, err := j.write(edited, o.Target, format, convert.WriteOptions{}, "", false)
	if c != nil {
		out.Converted = *c
	}
	return out, err
}

// outlineEdit is the script of the one edit that replaces the outline of that
// name, or adds a zone: the form that edits are kept in and played again.
func outlineEdit(p *schema.Plan, s *validate.Site, o *OutlineOptions, out *Outlined) ([]byte, error) {
	var points, sigmas []schema.Value
	for i, at := range out.Walk.Ring {
		q, ok := s.GroundToPlan(at)
		if !ok {
			return nil, Fault("", "%s: the outline cannot be given in the plan's coordinates", o.Path)
		}
		points = append(points, schema.List(schema.Float(q[0]), schema.Float(q[1])))
		sigma := schema.Null()
		if v := out.Walk.Sigmas[i]; !math.IsNaN(v) {
			sigma = schema.Float(wire.Round(v, 4))
		}
		sigmas = append(sigmas, sigma)
	}
	coordinates := schema.List(schema.List(points...))
	var set schema.Attributes
	set.Set(schema.PropDrawnFrom, schema.String(schema.DrawnSurveyed))
	set.Set(schema.PropFix, schema.String(string(fixes.Fixed)))
	set.Set(schema.PropSigma, schema.List(schema.List(sigmas...)))
	var old *validate.Feature
	for _, f := range s.Features {
		if f.ID.Text() == o.Name || f.Name == o.Name {
			old = f
		}
	}
	text := schema.String
	var one schema.Attributes
	if old == nil {
		properties := append(schema.Attributes{{Key: schema.PropRole, Value: text(string(schema.RoleZone))}, {Key: schema.PropName, Value: text(o.Name)}}, set...)
		one.Set("add", schema.Object(schema.Attributes{{Key: "type", Value: text("Feature")},
			{Key: "place", Value: schema.Object(schema.Attributes{{Key: "type", Value: text("Polygon")}, {Key: "coordinates", Value: coordinates}})},
			{Key: "properties", Value: schema.Object(properties)}}))
	} else {
		if len(old.Areas) != 1 || len(old.Areas[0].Ground) != 1 {
			return nil, Fault("give the new outline another name, and cut the rest out of it with an edit", "%s: %s is not one outline without holes, so a walk cannot stand for it", o.Path, old.Label())
		}
		out.Replaced = true
		out.BeforeM2, _ = validate.AreaOf(p, old.Feature)
		out.Difference = validate.CompareOutlines(out.Walk.Ring, old.Areas[0].Ground[0])
		if _, many := old.Geometry.(*geom.MultiPolygon); many {
			coordinates = schema.List(coordinates)
			set.Set(schema.PropSigma, schema.List(set.Get(schema.PropSigma)))
		}
		one.Set("feature", text(o.Name))
		one.Set("coordinates", coordinates)
		one.Set("set", schema.Object(set))
	}
	doc := schema.Object(schema.Attributes{{Key: "edits", Value: schema.List(schema.Object(one))}})
	return append(doc.AppendJSON(nil), '\n'), nil
}
