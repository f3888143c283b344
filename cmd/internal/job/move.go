// Moving a plan to another reference system, and what is lived with on the way.

package job

import (
	"runtime"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
)

// Moving says what is lived with when coordinates are moved.
type Moving struct {
	AcceptAccuracyM      float64  // worst accuracy of a datum step, 0 for the limit accuracy_m
	AllowUnknownAccuracy bool     // take a step whose accuracy nobody states
	Plate                string   // tectonic plate under the site, where an epoch has to change
	GridShifts           []string // files of grid shifts
}

// moved gives the plan in the coordinates that were asked for or that the format
// needs; "" asks for none.
func (j *Job) moved(p *schema.Plan, to string, toEpoch float64, format string, m *Moving, l schema.Limits) (*schema.Plan, error) {
	target := p.CRS
	switch {
	case to != "":
		var err error
		if target, err = j.system("to", to, p); err != nil {
			return nil, err
		}
	case format != "" && convert.FormatByName(format).WGS84Only:
		target = crs.WGS84()
	}
	if target == nil {
		return p, nil
	}
	return j.movedTo(p, target, toEpoch, m, l)
}

// movedTo gives the plan in a system.
func (j *Job) movedTo(p *schema.Plan, target *crs.CRS, toEpoch float64, m *Moving, l schema.Limits) (*schema.Plan, error) {
	if p.CRS == nil {
		return nil, Refuse("pass "+j.option("from")+" CRS, or place the drawing on marks with "+j.command("place"),
			"%s: the file does not say which CRS its coordinates are in", p.Source.File)
	}
	if target.Equal(p.CRS) && (toEpoch == 0 || toEpoch == p.Epoch) {
		return p, nil
	}
	if p.JudgeAxes() == crs.AxesSwapped {
		return nil, Fault("swap the columns or name them, or say with "+j.option("from")+" what they are in",
			"%s: the coordinates lie in the area of %s only with east and north swapped", p.Source.File, p.CRS.ID())
	}
	j.warnOutside(p)
	op, err := j.operation(p, target, toEpoch, m, l)
	if err != nil {
		return nil, err
	}
	j.tellOperation(op)
	moved, err := j.transform(p, op)
	if err != nil {
		return nil, err
	}
	j.warnOutside(moved)
	// Coordinates that were moved are done with; the collector would let as much
	// again pile up beside them while writing.
	runtime.GC()
	return moved, nil
}

func (j *Job) transform(p *schema.Plan, op *crs.Operation) (*schema.Plan, error) {
	out, err := p.Transform(op)
	if err != nil {
		return nil, Fault("look at that point, and at the CRS that the file is said to be in", "%s: %w", p.Source.File, err)
	}
	return out, nil
}

// warnOutside tells of points outside the area of use of the plan's CRS, where its
// accuracy is nobody's promise.
func (j *Job) warnOutside(p *schema.Plan) {
	if n, f := p.OutsideArea(); n > 0 {
		j.note(NoteWarning, "", "%d point(s) lie outside the area of use of %s (%s), first in %s", n, p.CRS.ID(), p.CRS.AreaName(), f.Label())
	}
}

// operation finds the coordinate operation for a plan, refusing one that is worse
// than was asked for or the limits live with.
func (j *Job) operation(p *schema.Plan, to *crs.CRS, toEpoch float64, m *Moving, l schema.Limits) (*crs.Operation, error) {
	o, err := j.terms(m, l)
	if err != nil {
		return nil, err
	}
	o.FromEpoch, o.ToEpoch, o.Near = p.Epoch, toEpoch, p.Somewhere()
	op, err := crs.NewOperation(p.CRS, to, o)
	if err != nil {
		return nil, Refuse(j.worseStep(), "%s to %s: %w", p.CRS.ID(), to.ID(), err)
	}
	return op, nil
}

func (j *Job) worseStep() string {
	return j.option("accept-accuracy") + " METRES takes a worse step, if the job bears it"
}

// terms are the options of an operation between any systems.
func (j *Job) terms(m *Moving, l schema.Limits) (o crs.OperationOptions, err error) {
	o = crs.OperationOptions{AcceptAccuracy: crs.Metres(m.AcceptAccuracyM), AllowBallpark: m.AllowUnknownAccuracy, Plate: m.Plate}
	if o.AcceptAccuracy == 0 && !m.AllowUnknownAccuracy {
		o.AcceptAccuracy = crs.Metres(l.AccuracyM)
	}
	for _, name := range m.GridShifts {
		data, err := j.settings(name)
		if err != nil {
			return o, err
		}
		g, err := crs.ReadGridShift(data, name)
		if err != nil {
			return o, Fault("", "%w", err)
		}
		o.Grids = append(o.Grids, g)
	}
	return o, nil
}

// tellOperation tells how coordinates are moved, and how well that is known.
func (j *Job) tellOperation(op *crs.Operation) {
	steps := op.Steps()
	if len(steps) == 0 {
		j.note(NoteOperation, "", "%s to %s: one datum, exact", op.From().ID(), op.To().ID())
		return
	}
	j.note(NoteOperation, "", "%s to %s", op.From().ID(), op.To().ID())
	j.tellSteps(steps, nil)
	if a, known := op.Accuracy(); known {
		j.note(NoteStep, "", "total accuracy %g m", float64(a))
	} else {
		j.note(NoteStep, "", "total accuracy not known")
	}
	j.tellSteps(nil, op.Notes())
}

func (j *Job) tellSteps(steps []crs.Step, notes []string) {
	for _, s := range steps {
		j.note(NoteStep, "", "%s", s.String())
	}
	for _, n := range notes {
		j.note(NoteStep, "", "note: %s", n)
	}
}
