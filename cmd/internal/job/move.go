// Moving a plan to another reference system, and what is lived with on the way.

package job

import (
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// Moving says what is lived with when coordinates are moved.
type Moving struct {
	AcceptAccuracyM      float64  // worst accuracy of a datum step, 0 for the limit accuracy_m
	AllowUnknownAccuracy bool     // take a step whose accuracy nobody states
	Plate                string   // tectonic plate under the site, where an epoch has to change
	GridShifts           []string // files of grid shifts, geoid models and deformation models
}

// moved gives the plan in the coordinates that were asked for or that the
// format needs; "" asks for none.
func (j *Job) moved(p *schema.Plan, to string, toEpoch float64, format string, m *Moving, l schema.Limits) (*schema.Plan, error) {
	target, err := j.wantedSystem(p, to, format)
	if err != nil || target == nil {
		return p, err
	}
	return j.movedTo(p, target, toEpoch, m, l)
}

// wantedSystem is the system that was asked for or that the format needs, nil
// for none.
func (j *Job) wantedSystem(p *schema.Plan, to, format string) (*crs.CRS, error) {
	switch {
	case to != "":
		return j.system("to", to, p)
	case format != "" && convert.FormatByName(format).WGS84Only:
		return crs.WGS84(), nil
	}
	return p.CRS, nil
}

// movedTo gives the plan in a system.
func (j *Job) movedTo(p *schema.Plan, target *crs.CRS, toEpoch float64, m *Moving, l schema.Limits) (*schema.Plan, error) {
	op, err := j.steps(p, target, toEpoch, m, l, func() outside { return outsideOf(p) })
	switch {
	case err != nil:
		return nil, err
	case op == nil:
		return p, nil
	}
	moved, err := j.transform(p, op)
	if err != nil {
		return nil, err
	}
	j.tellMoved(moved, op, target, outsideOf(moved))
	// Coordinates that were moved are done with; the collector would let as
	// much again pile up beside them while writing.
	runtime.GC()
	return moved, nil
}

// steps finds the operation to a system and tells of it, nil when there is
// nothing to move.
func (j *Job) steps(p *schema.Plan, target *crs.CRS, toEpoch float64, m *Moving, l schema.Limits, out func() outside) (*crs.Operation, error) {
	if p.CRS == nil {
		return nil, Refuse("pass "+j.option("from")+" CRS, or place the drawing on marks with "+j.command("place"),
			"%s: the file does not say which CRS its coordinates are in", p.Source.File)
	}
	if target.Equal(p.CRS) && (toEpoch == 0 || toEpoch == p.Epoch) {
		return nil, nil
	}
	switch v := p.JudgeAxes(); v {
	case crs.AxesSwapped, crs.AxesMirrored, crs.AxesSigned:
		return nil, Fault("swap the columns or name them (easting, northing, westing, southing), or say with "+j.option("from")+" what they are in",
			"%s: the coordinates lie in the area of %s only %s", p.Source.File, p.CRS.Label(), strings.TrimPrefix(v.String(), "in the area of use only "))
	}
	j.warnOutside(p, out())
	op, err := j.operation(p, target, toEpoch, m, l)
	if err != nil {
		return nil, err
	}
	j.tellOperation(op)
	return op, nil
}

// tellMoved tells what there is to tell of a plan once it is moved.
func (j *Job) tellMoved(moved *schema.Plan, op *crs.Operation, target *crs.CRS, out outside) {
	if _, f := op.To().Horizontal().Plain(); f.Known() && target.IsDegrees() {
		j.note(NoteStep, "", "%s", viewerWords(moved))
	}
	j.warnOutside(moved, out)
	j.warnStretch(moved)
}

func (j *Job) transform(p *schema.Plan, op *crs.Operation) (*schema.Plan, error) {
	out, err := p.Transform(op)
	if err != nil {
		return nil, unmoved(p, err)
	}
	return out, nil
}

// unmoved is the error for a point that cannot be moved.
func unmoved(p *schema.Plan, err error) error {
	return Fault("look at that point, and at the CRS that the file is said to be in", "%s: %w", p.Source.File, err)
}

// outside is how many points lie outside the area of use of a plan's CRS, and
// the first feature that has one.
type outside struct {
	count int
	first *schema.Feature
}

func outsideOf(p *schema.Plan) (o outside) {
	o.count, o.first = p.OutsideArea()
	return o
}

// add counts further features of a plan whose CRS is known.
func (o *outside) add(p *schema.Plan, features []*schema.Feature) {
	for _, f := range features {
		if n := p.OutsideOf(f); n > 0 {
			if o.count == 0 {
				o.first = f
			}
			o.count += n
		}
	}
}

// warnOutside tells of points outside the area of use of the plan's CRS, where
// its accuracy is nobody's promise.
func (j *Job) warnOutside(p *schema.Plan, o outside) {
	if o.count > 0 {
		j.note(NoteWarning, "", "%d point(s) lie outside the area of use of %s (%s), first in %s", o.count, p.CRS.Label(), p.CRS.AreaName(), o.first.Label())
	}
}

// warnStretch tells what the plan's grid makes of lengths and areas at the
// site, where that is off by more than 1 %, as on a map of the world.
func (j *Job) warnStretch(p *schema.Plan) {
	at := p.Somewhere()
	if p.CRS == nil || at == nil || p.CRS.IsDegrees() {
		return
	}
	if s, err := p.CRS.StretchAt(*at); err == nil && s.Notable() {
		j.note(NoteWarning, p.Source.File, "%s is no grid to measure on: at the site %s", p.CRS.Label(), s)
	}
}

// operation finds the coordinate operation for a plan, refusing one that is
// worse than was asked for or the limits live with.
func (j *Job) operation(p *schema.Plan, to *crs.CRS, toEpoch float64, m *Moving, l schema.Limits) (*crs.Operation, error) {
	ask, err := j.terms(m, l)
	if err != nil {
		return nil, err
	}
	ask.To, ask.ToEpoch = to, toEpoch
	op, err := p.Operation(ask)
	if err != nil {
		return nil, j.refused(p.CRS.Label()+" to "+to.Label(), err)
	}
	return op, nil
}

// beside says what a format that gives WGS 84 beside the plan's own coordinates
// may do for that, and tells the steps it takes.
func (j *Job) beside(p *schema.Plan, format string, opts *convert.WriteOptions, m *Moving, l schema.Limits) error {
	if !convert.FormatByName(format).WGS84Beside || p.CRS == nil || p.CRS.Equal(crs.WGS84()) {
		return nil
	}
	ask, err := j.terms(m, l)
	if err != nil {
		return err
	}
	opts.Allow, opts.With = ask.Allow, ask.With
	ask.To = crs.WGS84()
	// What is refused the writer tells.
	if op, err := p.Operation(ask); err == nil && len(op.Steps()) > 0 {
		j.note(NoteOperation, "", "beside the coordinates in %s the file gives WGS 84:", p.CRS.Label())
		j.tellOperation(op)
	}
	return nil
}

// pictured is operation for what people only look at: one that is refused is
// taken all the same, and doubt says how far the picture may be off; "" for
// none.
func (j *Job) pictured(p *schema.Plan, to *crs.CRS, m *Moving, l schema.Limits) (op *crs.Operation, doubt string, err error) {
	op, err = j.operation(p, to, 0, m, l)
	if err == nil {
		return op, "", nil
	}
	ask, other := j.terms(m, l)
	if other != nil {
		return nil, "", err
	}
	ask.To, ask.Allow = to, crs.Allowed{Accuracy: crs.AnyAccuracy, Unknown: true}
	if op, other = p.Operation(ask); other != nil {
		return nil, "", err
	}
	doubt = "may be off by more than anybody can say"
	if a, known := op.Accuracy(); known {
		doubt = fmt.Sprintf("may be off by %g m", float64(a))
	}
	return op, doubt, nil
}

// viewerWords say how far a viewer that takes the plan's longitude and latitude
// for WGS 84 shows it off this year, "" where the plan names no frame.
func viewerWords(p *schema.Plan) string {
	r, err := p.Reference()
	if err != nil || !r.Frame.Known() {
		return ""
	}
	words := "Longitude and latitude are " + r.Frame.Name()
	if r.Epoch != 0 && r.Frame.Dynamic() {
		words += fmt.Sprintf(" at %g", r.Epoch)
	}
	now := time.Now()
	off, _, ok := crs.Metres(0), crs.Metres(0), false
	if at := p.Somewhere(); at != nil {
		off, _, ok = r.Frame.FromWGS84(*at, r.Epoch, float64(now.Year())+float64(now.YearDay()-1)/365.25)
	}
	if !ok {
		return words + ". How far a viewer that takes them for WGS 84 shows the plan off is not known."
	}
	return fmt.Sprintf("%s. A viewer that takes them for WGS 84 shows the plan %.1f m off in %d.", words, float64(off), now.Year())
}

// givenWords say of a corrected plan which of its two ways of being said is
// given, and how far apart they lie; "" for a plan with one.
func givenWords(p *schema.Plan) string {
	words := validate.HeldWords(p)
	switch {
	case words == "":
		return ""
	case p.Attributes.Get(schema.PlanGiven).Text() == schema.GivenGround:
		return words + " What is given here is the ground."
	}
	return words + " What is given here is what the machine holds, not the ground."
}

// terms are what is lived with on a move, wherever it goes: without an
// accuracy, the limit for machine guidance.
func (j *Job) terms(m *Moving, l schema.Limits) (ask schema.Move, err error) {
	ask.Allow = crs.Allowed{Accuracy: crs.Metres(m.AcceptAccuracyM), Unknown: m.AllowUnknownAccuracy}
	if ask.Allow.Accuracy == 0 {
		ask.Allow.Accuracy = crs.Metres(l.AccuracyM)
	}
	ask.With.Plate = m.Plate
	return ask, j.readGrids(m.GridShifts, &ask.With)
}

// readGrids reads grid files, and deformation models with the grids beside
// them; a grid of a model is none by itself.
func (j *Job) readGrids(names []string, with *crs.Aids) error {
	content := make([][]byte, len(names))
	ofModel := map[string]bool{}
	for i, name := range names {
		data, err := j.settings(name)
		if err != nil {
			return err
		}
		if content[i] = data; !crs.IsDeformationModel(data) {
			continue
		}
		content[i] = nil
		if err := with.ReadModel(data, name, func(file string) ([]byte, error) {
			file = filepath.Join(filepath.Dir(name), filepath.FromSlash(file))
			ofModel[file] = true
			return j.settings(file)
		}); err != nil {
			return Fault("put the model's .json and all the .tif files that it names into one folder", "%w", err)
		}
	}
	for i, name := range names {
		if content[i] == nil || ofModel[filepath.Clean(name)] {
			continue
		}
		if err := with.Read(content[i], name); err != nil {
			return Fault("", "%w", err)
		}
	}
	return nil
}

// refused is the error for a move that was refused, with the option that would
// answer it, and no other.
func (j *Job) refused(what string, err error) error {
	var frame *schema.FrameUnknownError
	if errors.As(err, &frame) {
		return Refuse(j.frameAnswers(frame), "%s: %w", what, err)
	}
	var named *schema.FrameError
	if errors.As(err, &named) {
		return Refuse(j.option("frame")+" NAME says it anew, and holds instead", "%s: %w", what, err)
	}
	var r crs.Refusal
	if !errors.As(err, &r) {
		return Refuse("", "%s: %w", what, err)
	}
	return Refuse(j.answer(r), "%s: %w", what, err)
}

// frameAnswers are the three answers to the question for the frame, with what
// each costs.
func (j *Job) frameAnswers(e *schema.FrameUnknownError) string {
	name := e.To.Name()
	return fmt.Sprintf("where did the coordinates come from? "+
		"The country's correction service (network RTK): %s %s, exact, if that is the service's frame. "+
		"A receiver alone, without corrections: %s %g, and the plan may lie that far off. "+
		"Not known: ask who set up the base for its record (frame and date) before anything is staked out",
		j.option("frame"), name, j.option("accept-accuracy"), float64(e.Best))
}

// answer is the option that answers a refusal.
func (j *Job) answer(r crs.Refusal) string {
	switch r.Answer() {
	case crs.AnswerAccuracy:
		var worse *crs.AccuracyError
		errors.As(error(r), &worse)
		return fmt.Sprintf("%s %g takes it, if the job bears that", j.option("accept-accuracy"), float64(worse.Accuracy))
	case crs.AnswerEpoch:
		var epoch *crs.EpochError
		if errors.As(error(r), &epoch) && epoch.Side == "target" {
			return j.option("to-epoch") + " YEAR tells when the result is to hold, such as 2026.4"
		}
		return j.option("epoch") + " YEAR tells when the coordinates hold, such as 2026.4"
	case crs.AnswerPlate:
		return j.option("plate") + " NAME names the plate under the site"
	case crs.AnswerGrid:
		return j.option("grid-shift") + " FILE gives the grid file named"
	case crs.AnswerHeights:
		return j.option("from") + " names the system with its heights"
	}
	return j.option("allow-unknown-accuracy") + " takes it, at your own judgement"
}

// tellOperation tells how coordinates are moved, and how well that is known.
func (j *Job) tellOperation(op *crs.Operation) {
	steps := op.Steps()
	if len(steps) == 0 {
		j.note(NoteOperation, "", "%s to %s: one datum, exact", op.From().Label(), op.To().Label())
		return
	}
	j.note(NoteOperation, "", "%s to %s", op.From().Label(), op.To().Label())
	parts := op.Parts()
	for _, part := range parts {
		if len(parts) > 1 {
			j.note(NoteStep, "", "about %s:", part.Where())
		}
		j.tellSteps(part.Steps(), nil)
	}
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
