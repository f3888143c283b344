// What happens on the ground when the base moves.

package job

import (
	"fmt"
	"strings"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// DriftOptions are the options of Drift and DriftFolder. Those from Shift to
// Marks say what changed at the base.
type DriftOptions struct {
	Reading // its Epoch is not asked for
	Moving
	Path    string   // the plan; for DriftFolder, the folder's name for messages
	Files   []string // for DriftFolder, the plans
	Reports []string // where the report goes; endings decide the form

	Shift      string  // E,N or E,N,U in metres
	Base       string  // LAT,LON or LAT,LON,H: where the antenna stands now
	Stored     string  // the same: what the base stores now
	Lean       string  // ANGLE,LENGTH,BEARING of a leaning pole
	Frame      string  // frame of the stored coordinates now
	FrameEpoch float64 // their decimal year
	Marks      string  // file of the marks as measured again

	Sigma      string  // standard error of the base in metres: S, or SE,SN,CORRELATION
	MarkSigmaM float64 // standard error of one measured mark, each way; 0 to estimate it

	Again    bool   // correct for the movement of the last correction once more
	Correct  string // where the corrected plan goes, "" for nowhere
	Record   string // where the plan with its base in the history goes
	Date     string // of the history's entry, YYYY-MM-DD; "" for today
	BaseName string // for DriftFolder: name or id of the base that is meant
	BaseAt   string // for DriftFolder: LAT,LON of the base that is meant
}

// changes reports whether something is said to have changed at the base.
func (o *DriftOptions) changes() bool {
	return o.Shift != "" || o.Base != "" || o.Stored != "" || o.Lean != "" || o.Frame != "" || o.FrameEpoch != 0 || o.Marks != ""
}

// Drifted is what Drift found. Report is nil where the base was only recorded.
type Drifted struct {
	Report *report.Drift
	// Moved is true when the verdict is not that nothing changed.
	Moved bool
}

// Drift says what a changed base does to the plan in Path, and writes the
// corrected plan where that is asked for. The result is not nil once the
// movement is judged, whatever becomes of the outputs.
func (j *Job) Drift(o *DriftOptions) (*Drifted, error) {
	if o.BaseName != "" || o.BaseAt != "" {
		return nil, Refuse("", "%s are for folders", j.options("", " and ", "base-name", "base-at"))
	}
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	date, err := j.day(o.Date)
	if err != nil {
		return nil, err
	}
	if o.Correct != "" && o.Record != "" {
		return nil, Refuse("a correction records itself", "%s do not go together", j.options("", " and ", "correct", "record"))
	}
	if o.Again && o.Correct == "" {
		return nil, Refuse("", "%s goes with %s", j.option("again"), j.option("correct"))
	}
	if err := j.reportForms(o.Reports); err != nil {
		return nil, err
	}
	p, err := j.plan(o.Path, &o.Reading, limits)
	if err != nil {
		return nil, err
	}
	if o.Record != "" && !o.changes() {
		out, err := validate.Record(p, date)
		if err != nil {
			return nil, Fault("", "%s: %w", o.Path, err)
		}
		return &Drifted{}, j.writeLike(out, o.Record, &o.Moving, limits)
	}
	m, cause, marks, err := j.movement(o, p, limits)
	if err != nil {
		return nil, err
	}
	if err := j.toldTwice(o, p, m, o.Path); err != nil {
		return nil, err
	}
	u, err := j.uncertainty(o.Sigma)
	if err != nil {
		return nil, err
	}
	r, err := validate.Drift(p, limits, m, validate.DriftOptions{Uncertainty: u, Marks: marks})
	if err != nil {
		return nil, Fault("", "%s: %w", o.Path, err)
	}
	out := &Drifted{Report: &report.Drift{Path: o.Path, Report: r, Cause: cause, Caution: Caution}, Moved: r.Verdict != validate.VerdictUnchanged}
	if err := j.writeReports(o.Reports, out.Report); err != nil {
		return out, err
	}
	if o.Correct == "" {
		return out, nil
	}
	if marks != nil {
		if err := marks.Correctable(); err != nil {
			return out, Fault("", "%s: %w; %s was not written", o.Marks, err, o.Correct)
		}
	}
	corrected, err := validate.Correct(p, m, date)
	if err != nil {
		return out, Fault("", "%s: %w", o.Path, err)
	}
	if words := validate.HeldWords(corrected); words != "" {
		j.note(NoteRemark, o.Correct, "it holds what the machine must hold. %s Everything that is handed over from it gives the ground", words)
	}
	return out, j.writeLike(corrected, o.Correct, &o.Moving, limits)
}

// toldTwice refuses a correction for a movement that the last one took out, and
// tells of it where nothing is corrected. Positions and marks say where the
// base is, and so cannot be told twice; a shift, a leaning pole and a frame say
// by how much it moved.
func (j *Job) toldTwice(o *DriftOptions, p *schema.Plan, m validate.Movement, name string) error {
	if o.Shift == "" && o.Lean == "" && o.Frame == "" && o.FrameEpoch == 0 || o.Again {
		return nil
	}
	e, same, err := validate.Repeats(p, m)
	if err != nil {
		return Fault("", "%s: %w", name, err)
	}
	switch {
	case !same:
	case o.Correct != "":
		return Refuse("nothing is left to do if this is that movement; "+j.option("again")+" if the base moved by as much once more",
			"%s: the plan holds this correction already: %s", name, e.Words())
	default:
		j.note(NoteWarning, name, "%s; what is told here is taken for another movement by as much", e.Words())
	}
	return nil
}

// writeLike writes a plan in the format that the name's ending says.
func (j *Job) writeLike(p *schema.Plan, name string, m *Moving, l schema.Limits) error {
	format, err := j.target(&Writing{}, name)
	if err != nil {
		return err
	}
	if p, err = j.moved(p, "", 0, format, m, l); err != nil {
		return err
	}
	_, err = j.write(p, name, format, convert.WriteOptions{}, "", false)
	return err
}

func (j *Job) uncertainty(text string) (u validate.Uncertainty, err error) {
	if text == "" {
		return u, nil
	}
	v, err := j.numbers("sigma", text, 1, 3)
	if err != nil {
		return u, err
	}
	u = validate.Uncertainty{SigmaE: v[0], SigmaN: v[0]}
	if len(v) > 1 {
		u.SigmaN = v[1]
	}
	if len(v) > 2 {
		u.Correlation = v[2]
	}
	if err := u.Check(); err != nil {
		return u, Refuse("", "%s %s: %w", j.option("sigma"), text, err)
	}
	return u, nil
}

// options lists options in words.
func (j *Job) options(comma, last string, names ...string) string {
	var b strings.Builder
	for i, name := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			b.WriteString(last)
		default:
			b.WriteString(comma)
		}
		b.WriteString(j.option(name))
	}
	return b.String()
}

func count(texts ...string) int {
	n := 0
	for _, t := range texts {
		if t != "" {
			n++
		}
	}
	return n
}

// movement turns what the user told into a movement of the base, and into
// words.
func (j *Job) movement(o *DriftOptions, p *schema.Plan, l schema.Limits) (m validate.Movement, cause string, marks *validate.MarksMovement, err error) {
	antenna := count(o.Shift, o.Base, o.Lean, o.Marks)
	switch {
	case !o.changes():
		return m, "", nil, Refuse(j.options(", ", " or ", "shift", "base", "stored", "lean", "frame", "marks"), "say what changed at the base")
	case antenna > 1:
		return m, "", nil, Refuse("", "%s each say how the antenna moved; give one of them", j.options(", ", " and ", "shift", "base", "lean", "marks"))
	case o.Stored != "" && (o.Frame != "" || o.FrameEpoch != 0):
		return m, "", nil, Refuse("", "%s each say what is stored now; give one of them", j.options("", " and ", "stored", "frame"))
	case o.Marks != "" && (o.Frame != "" || o.FrameEpoch != 0):
		return m, "", nil, Refuse("leave the others out", "%s shows the whole movement, whatever was its cause", j.option("marks"))
	}
	var causes []string
	switch {
	case o.Shift != "":
		v, err := j.shift(o.Shift)
		if err != nil {
			return m, "", nil, err
		}
		m.Antenna = crs.Local{E: crs.Metres(v[0]), N: crs.Metres(v[1])}
		if len(v) == 3 {
			m.Antenna.U = crs.Metres(v[2])
		} else {
			m.NoHeight = true
		}
		causes = append(causes, fmt.Sprintf("the antenna moved by E %+.3f N %+.3f m", v[0], v[1]))
	case o.Lean != "":
		v, err := j.numbers("lean", o.Lean, 3, 3)
		if err != nil {
			return m, "", nil, err
		}
		if m, err = validate.Lean(v[0], v[1], v[2]); err != nil {
			return m, "", nil, Refuse("", "%s: %w", j.option("lean"), err)
		}
		causes = append(causes, fmt.Sprintf("a pole of %g m leans by %g degrees towards %g", v[1], v[0], v[2]))
	case o.Marks != "":
		cause := fmt.Sprintf("marks measured again: %s", o.Marks)
		if held, _, err := validate.HeldOf(p); err == nil && held == validate.HeldOffsets && o.Stored == "" {
			// A rover reports stored coordinates plus baseline, so marks show
			// the sum of both movements; offsets follow the antenna's alone.
			cause += "; taken that the base still stores the position in the plan (say " + j.option("stored") + " if it does not)"
		}
		causes = append(causes, cause)
	}
	if o.Base != "" || o.Stored != "" || o.Frame != "" || o.FrameEpoch != 0 {
		words, err := j.fromPositions(o, p, l, &m)
		if err != nil {
			return m, "", nil, err
		}
		causes = append(causes, words...)
	}
	if o.Marks != "" {
		if marks, err = j.fromMarks(o, p, l, m.Stored); err != nil {
			return m, "", nil, err
		}
		noHeight := m.NoHeight
		m = marks.Movement
		m.NoHeight = m.NoHeight || noHeight
	}
	if err := m.Check(); err != nil {
		return m, "", nil, Refuse("", "%w", err)
	}
	return m, strings.Join(causes, "; "), marks, nil
}

// fromPositions adds what new positions or a new frame of the base say.
func (j *Job) fromPositions(o *DriftOptions, p *schema.Plan, l schema.Limits, m *validate.Movement) ([]string, error) {
	stored, antenna, err := validate.BasePosition(p)
	if err != nil {
		return nil, Fault("", "%s: %w", o.Path, err)
	}
	var causes []string
	between := func(option, text string, from crs.Geodetic) (crs.Local, error) {
		to, err := j.position(option, text)
		if err != nil {
			return crs.Local{}, err
		}
		if from.H != from.H || to.H != to.H {
			m.NoHeight = true
		}
		v, err := validate.Between(p.CRS, from, to)
		if err != nil {
			return v, Refuse("the order is latitude, longitude, height", "%s: %w", j.option(option), err)
		}
		return v, nil
	}
	if o.Base != "" {
		if m.Antenna, err = between("base", o.Base, antenna); err != nil {
			return nil, err
		}
		causes = append(causes, "the antenna stands at "+o.Base)
	}
	if o.Stored != "" {
		if m.Stored, err = between("stored", o.Stored, stored); err != nil {
			return nil, err
		}
		causes = append(causes, "the base stores "+o.Stored)
	}
	if o.Frame != "" || o.FrameEpoch != 0 {
		words, err := j.fromFrame(o, p, l, stored, m)
		if err != nil {
			return nil, err
		}
		causes = append(causes, words)
	}
	return causes, nil
}

// fromFrame adds the step from the base's frame and epoch to the new ones.
func (j *Job) fromFrame(o *DriftOptions, p *schema.Plan, l schema.Limits, stored crs.Geodetic, m *validate.Movement) (string, error) {
	b := p.Base()
	var from crs.Frame
	var err error
	if name := b.Attributes.Get(schema.PropFrame).Text(); name != "" {
		from, err = crs.ParseFrame(name)
	} else {
		from, err = crs.FrameOf(p.CRS)
	}
	if err != nil {
		return "", Fault("give the base an attribute frame", "%s: %w", o.Path, err)
	}
	to := from
	if o.Frame != "" {
		if to, err = crs.ParseFrame(o.Frame); err != nil {
			return "", Refuse("", "%s: %w", j.option("frame"), err)
		}
	}
	epoch, _ := b.Float(schema.PropEpoch)
	if epoch == 0 {
		epoch = p.Epoch
	}
	at := stored
	if at.H != at.H {
		at.H, m.NoHeight = 0, true
	}
	terms, err := j.terms(&o.Moving, l)
	if err != nil {
		return "", err
	}
	toEpoch := o.FrameEpoch
	move, err := crs.FrameShift(from, to, terms.Allow, at, crs.Epochs{From: epoch, To: toEpoch}, terms.With)
	if err != nil {
		return "", j.refused(j.option("frame"), err)
	}
	m.Stored = move.Shift
	j.tellSteps(move.Steps, move.Notes)
	words := fmt.Sprintf("the base stores %s instead of %s", to.Name(), from.Name())
	if toEpoch != 0 {
		words += fmt.Sprintf(" at epoch %g", toEpoch)
	}
	if epoch != 0 {
		words += fmt.Sprintf(" (was %g)", epoch)
	}
	return words, nil
}

// fromMarks reads the marks measured again and asks what they show.
func (j *Job) fromMarks(o *DriftOptions, p *schema.Plan, l schema.Limits, stored crs.Local) (*validate.MarksMovement, error) {
	again, err := j.unruled(o.Marks, &Reading{Columns: o.Columns, Units: o.Units}, l)
	if err != nil {
		return nil, err
	}
	if again.CRS == nil {
		again.CRS = p.CRS // a plain list is in the plan's own coordinates
	}
	if p.CRS != nil && !again.CRS.Equal(p.CRS) {
		if again, err = j.movedTo(again, p.CRS, 0, &o.Moving, l); err != nil {
			return nil, err
		}
	}
	m, err := validate.MovementFromMarks(p, again, l, validate.MarksOptions{SigmaM: o.MarkSigmaM, Stored: stored})
	if err != nil {
		return nil, Fault("marks are matched by name", "%s: %w", o.Marks, err)
	}
	for _, n := range m.Notes {
		j.note(NoteRemark, o.Marks, "%s", n)
	}
	return m, nil
}
