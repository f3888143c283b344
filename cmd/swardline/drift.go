// swardline drift: what happens on the ground when the base moves.

package main

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"swardline/convert"
	"swardline/crs"
	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

type driftOptions struct {
	readFlags
	placeFlags
	streams streams
	path    string
	limits  string
	reports []string

	shift, base, stored, lean string
	frame                     string
	frameEpoch                float64
	marks                     string
	sigma                     string
	markSigma                 float64

	correct, record, date string
	baseName, baseAt      string
}

func newDriftCmd(s streams, run func(*driftOptions) error) *cobra.Command {
	o := &driftOptions{streams: s}
	cmd := &cobra.Command{
		Use:   "drift PLAN",
		Short: "say what a moved base does to a plan on the ground",
		Long: `drift displaces the ground that the machine drives and reports what it enters and
leaves, how much movement the plan bears, and what to do. Tell it what changed:

  --shift E,N[,U]            the antenna moved by that many metres
  --base LAT,LON[,H]         where the antenna truly stands now
  --stored LAT,LON[,H]       what the base now stores as its position
  --lean ANGLE,LENGTH,BEARING  a pole leans: degrees, metres, degrees from true north
  --frame NAME [--epoch YEAR]  the stored coordinates are now in another frame
  --marks FILE               marks of the plan measured again, matched by name

--correct DST writes the plan corrected for the change, with an entry in its
history; --record DST only adds the base as it stands to the history.

` + caution,
		Args: exactly(1, "a PLAN"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.path = args[0]
			return run(o)
		},
	}
	o.readFlags.addWithoutEpoch(cmd)
	o.placeFlags.add(cmd)
	f := cmd.Flags()
	f.StringVar(&o.limits, "limits", "", "limits `file` (YAML)")
	f.StringArrayVar(&o.reports, "report", nil, "also write the report to `file`; its ending decides the form: .json, .txt, .sarif, .xml (JUnit), .geojson or .csv")
	f.StringVar(&o.shift, "shift", "", "movement of the antenna, `E,N[,U]` in metres")
	f.StringVar(&o.base, "base", "", "true position of the antenna now, `LAT,LON[,H]`")
	f.StringVar(&o.stored, "stored", "", "position the base stores now, `LAT,LON[,H]`")
	f.StringVar(&o.lean, "lean", "", "a leaning pole, `ANGLE,LENGTH,BEARING`")
	f.StringVar(&o.frame, "frame", "", "`frame` of the stored coordinates now, such as ITRF2014 or GDA2020")
	f.Float64Var(&o.frameEpoch, "epoch", 0, "epoch of the stored coordinates now, decimal `year`")
	f.StringVar(&o.marks, "marks", "", "`file` with the marks as measured again")
	f.StringVar(&o.sigma, "sigma", "", "standard error of the base in metres, `S` both ways or SE,SN,CORRELATION, for the probability that it breaks something")
	f.Float64Var(&o.markSigma, "mark-sigma", 0, "standard error of one measured mark in `metres`, each way; 0 to estimate it")
	f.StringVar(&o.correct, "correct", "", "write the corrected plan to `DST`")
	f.StringVar(&o.record, "record", "", "write the plan with its base added to the history to `DST`")
	f.StringVar(&o.baseName, "base-name", "", "in a folder, move the plans whose base has this `name` or id, or stands within 1 m of it")
	f.StringVar(&o.baseAt, "base-at", "", "in a folder, move the plans whose base stands within 1 m of `LAT,LON`")
	f.StringVar(&o.date, "date", "", "date of the history's entry, `YYYY-MM-DD`; today when not given")
	return cmd
}

func runDrift(o *driftOptions) error {
	if isFolder(o.path) {
		return runDriftFolder(o)
	}
	if o.baseName != "" || o.baseAt != "" {
		return usageError("", "--base-name and --base-at are for folders")
	}
	limits, err := loadLimits(o.limits)
	if err != nil {
		return err
	}
	date, err := dateArg(o.date)
	if err != nil {
		return err
	}
	if o.correct != "" && o.record != "" {
		return usageError("a correction records itself", "--correct and --record do not go together")
	}
	for _, path := range o.reports {
		if _, err := encoderFor(path); err != nil {
			return err
		}
	}
	p, warnings, err := loadPlan(o.path, o.readFlags, limits, o.streams)
	if err != nil {
		return err
	}
	tellWarnings(o.streams.err, o.path, warnings)
	if o.record != "" && !o.changeGiven() {
		out, err := validate.Record(p, date)
		if err != nil {
			return inputError("", "%s: %w", o.path, err)
		}
		return o.writeLike(p, out, o.record)
	}
	m, cause, fit, err := o.movement(p, limits)
	if err != nil {
		return err
	}
	u, err := uncertaintyArg(o.sigma)
	if err != nil {
		return err
	}
	r, err := validate.Drift(p, limits, m, validate.DriftOptions{Uncertainty: u})
	if err != nil {
		return inputError("", "%s: %w", o.path, err)
	}
	d := report.Drift{Path: o.path, Report: r, Fit: fit, Cause: cause, Caution: caution}
	if err := writeWhole("-", o.streams, d.Text); err != nil {
		return err
	}
	for _, path := range o.reports {
		encode := func(w io.Writer) error {
			as, _ := encoderFor(path)
			return as(d.Set(report.Tool{Name: program, Version: version}), w)
		}
		switch strings.ToLower(filepath.Ext(path)) {
		case ".json":
			encode = d.JSON
		case ".txt":
			encode = d.Text
		}
		if err := writeWhole(path, o.streams, encode); err != nil {
			return err
		}
	}
	if o.correct != "" {
		out, err := validate.Correct(p, m, date)
		if err != nil {
			return inputError("", "%s: %w", o.path, err)
		}
		if err := o.writeLike(p, out, o.correct); err != nil {
			return err
		}
	}
	if r.Verdict != validate.VerdictUnchanged {
		return errFindings
	}
	return nil
}

// writeLike writes a plan in the format that dst asks for.
func (o *driftOptions) writeLike(_, out *schema.Plan, dst string) error {
	format, err := targetFormat("", dst)
	if err != nil {
		return err
	}
	if convert.FormatByName(format).WGS84Only {
		l, err := loadLimits(o.limits)
		if err != nil {
			return err
		}
		if out, err = moveTo(out, "", 0, format, o.placeFlags, l, o.streams); err != nil {
			return err
		}
	}
	return writePlan(out, dst, format, convert.WriteOptions{}, "", false, o.streams)
}

func (o *driftOptions) changeGiven() bool {
	return o.shift != "" || o.base != "" || o.stored != "" || o.lean != "" || o.frame != "" || o.frameEpoch != 0 || o.marks != ""
}

// movement turns what the user told into a movement of the base, and into words.
func (o *driftOptions) movement(p *schema.Plan, l schema.Limits) (m validate.Movement, cause string, fit *adjust.ShiftFit, err error) {
	antenna := count(o.shift, o.base, o.lean, o.marks)
	switch {
	case !o.changeGiven():
		return m, "", nil, usageError("--shift E,N, --base, --stored, --lean, --frame or --marks", "say what changed at the base")
	case antenna > 1:
		return m, "", nil, usageError("", "--shift, --base, --lean and --marks each say how the antenna moved; give one of them")
	case o.stored != "" && (o.frame != "" || o.frameEpoch != 0):
		return m, "", nil, usageError("", "--stored and --frame each say what is stored now; give one of them")
	case o.marks != "" && (o.frame != "" || o.frameEpoch != 0):
		return m, "", nil, usageError("leave the others out", "--marks shows the whole movement, whatever was its cause")
	}
	var causes []string
	switch {
	case o.shift != "":
		v, err := numbers("--shift", o.shift, 2, 3)
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
	case o.lean != "":
		v, err := numbers("--lean", o.lean, 3, 3)
		if err != nil {
			return m, "", nil, err
		}
		if m, err = validate.Lean(v[0], v[1], v[2]); err != nil {
			return m, "", nil, usageError("", "--lean: %w", err)
		}
		causes = append(causes, fmt.Sprintf("a pole of %g m leans by %g degrees towards %g", v[1], v[0], v[2]))
	case o.marks != "":
		if m, fit, err = o.fromMarks(p, l); err != nil {
			return m, "", nil, err
		}
		cause := fmt.Sprintf("marks measured again: %s", o.marks)
		if held, _, err := validate.HeldOf(p); err == nil && held == validate.HeldOffsets && o.stored == "" {
			// A rover reports stored coordinates plus baseline, so marks show the sum
			// of both movements; offsets follow the antenna's alone.
			cause += "; taken that the base still stores the position in the plan (say --stored if it does not)"
		}
		causes = append(causes, cause)
	}
	if o.base != "" || o.stored != "" || o.frame != "" || o.frameEpoch != 0 {
		words, err := o.fromPositions(p, l, &m)
		if err != nil {
			return m, "", nil, err
		}
		causes = append(causes, words...)
	}
	if o.marks != "" { // what the marks show is dA - dS, see the model
		m.Antenna.E += m.Stored.E
		m.Antenna.N += m.Stored.N
		m.Antenna.U += m.Stored.U
	}
	if err := m.Check(); err != nil {
		return m, "", nil, usageError("", "%w", err)
	}
	return m, strings.Join(causes, "; "), fit, nil
}

// fromPositions adds what new positions or a new frame of the base say.
func (o *driftOptions) fromPositions(p *schema.Plan, l schema.Limits, m *validate.Movement) ([]string, error) {
	stored, antenna, err := validate.BasePosition(p)
	if err != nil {
		return nil, inputError("", "%s: %w", o.path, err)
	}
	var causes []string
	between := func(flag, text string, from crs.Geodetic) (crs.Local, error) {
		to, err := latLonH(flag, text)
		if err != nil {
			return crs.Local{}, err
		}
		if from.H != from.H || to.H != to.H {
			m.NoHeight = true
		}
		v, err := validate.Between(p.CRS, from, to)
		if err != nil {
			return v, usageError("the order is latitude, longitude, height", "%s: %w", flag, err)
		}
		return v, nil
	}
	if o.base != "" {
		if m.Antenna, err = between("--base", o.base, antenna); err != nil {
			return nil, err
		}
		causes = append(causes, "the antenna stands at "+o.base)
	}
	if o.stored != "" {
		if m.Stored, err = between("--stored", o.stored, stored); err != nil {
			return nil, err
		}
		causes = append(causes, "the base stores "+o.stored)
	}
	if o.frame != "" || o.frameEpoch != 0 {
		words, err := o.fromFrame(p, l, stored, m)
		if err != nil {
			return nil, err
		}
		causes = append(causes, words)
	}
	return causes, nil
}

// fromFrame adds the step from the base's frame and epoch to the new ones.
func (o *driftOptions) fromFrame(p *schema.Plan, l schema.Limits, stored crs.Geodetic, m *validate.Movement) (string, error) {
	b := p.Base()
	var from crs.Frame
	var err error
	if name := b.Attributes.Get(schema.PropFrame).Text(); name != "" {
		from, err = crs.ParseFrame(name)
	} else {
		from, err = crs.FrameOf(p.CRS)
	}
	if err != nil {
		return "", inputError("give the base an attribute frame", "%s: %w", o.path, err)
	}
	to := from
	if o.frame != "" {
		if to, err = crs.ParseFrame(o.frame); err != nil {
			return "", usageError("", "--frame: %w", err)
		}
	}
	epoch, _ := b.Float(schema.PropEpoch)
	if epoch == 0 {
		epoch = p.Epoch
	}
	accept := crs.Metres(o.acceptAccuracy)
	if accept == 0 && !o.ballpark {
		accept = crs.Metres(l.AccuracyM)
	}
	grids, err := loadGridShifts(o.grids)
	if err != nil {
		return "", err
	}
	toEpoch := o.frameEpoch
	at := stored
	if at.H != at.H {
		at.H, m.NoHeight = 0, true
	}
	move, err := crs.FrameShift(from, to, crs.OperationOptions{FromEpoch: epoch, ToEpoch: toEpoch, AcceptAccuracy: accept,
		AllowBallpark: o.ballpark, Plate: o.plate, Grids: grids}, at)
	if err != nil {
		return "", usageError("--accept-accuracy METRES takes a worse step; --epoch YEAR and --plate NAME tell of time", "--frame: %w", err)
	}
	m.Stored = move.Shift
	for _, s := range move.Steps {
		fmt.Fprintf(o.streams.err, "%s:   %s\n", program, oneLine(s.String()))
	}
	for _, n := range move.Notes {
		fmt.Fprintf(o.streams.err, "%s:   note: %s\n", program, oneLine(n))
	}
	words := fmt.Sprintf("the base stores %s instead of %s", to.Name(), from.Name())
	if toEpoch != 0 {
		words += fmt.Sprintf(" at epoch %g", toEpoch)
	}
	if epoch != 0 {
		words += fmt.Sprintf(" (was %g)", epoch)
	}
	return words, nil
}

// fromMarks fits the movement to the marks measured again. What the rover reports
// at a mark moves against the ground driven, so the antenna's movement is the
// negative of the shift of the marks.
func (o *driftOptions) fromMarks(p *schema.Plan, l schema.Limits) (m validate.Movement, fit *adjust.ShiftFit, err error) {
	again, warnings, err := loadPlan(o.marks, readFlags{columns: o.columns, units: o.units}, l, o.streams)
	if err != nil {
		return m, nil, err
	}
	tellWarnings(o.streams.err, o.marks, warnings)
	if again.CRS == nil {
		again.CRS = p.CRS // a plain list is in the plan's own coordinates
	}
	if p.CRS != nil && !again.CRS.Equal(p.CRS) {
		if again, err = moveTo(again, p.CRS.ID(), 0, "geojson", o.placeFlags, l, o.streams); err != nil {
			return m, nil, err
		}
	}
	pairs, notes, err := validate.PairMarks(p, again)
	if err != nil {
		return m, nil, inputError("marks are matched by name", "%s: %w", o.marks, err)
	}
	for _, n := range notes {
		fmt.Fprintf(o.streams.err, "%s: %s: %s\n", program, o.marks, oneLine(n))
	}
	fit, err = adjust.FitShift(pairs, adjust.ShiftOptions{Sigma: o.markSigma})
	if err != nil {
		return m, nil, inputError("", "%s: %w", o.marks, err)
	}
	s := fit.Shift
	m = validate.Movement{Antenna: crs.Local{E: crs.Metres(-s.E), N: crs.Metres(-s.N), U: crs.Metres(-s.U)}, NoHeight: !fit.HasUp}
	if fit.Tested && !fit.Significant {
		// No significant movement is an answer: nothing is displaced.
		m.Antenna.E, m.Antenna.N = 0, 0
	}
	if fit.UpTested && !fit.UpSignificant {
		m.Antenna.U = 0
	}
	return m, fit, nil
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

// numbers reads a list of numbers with commas.
func numbers(flag, text string, least, most int) ([]float64, error) {
	parts := strings.Split(text, ",")
	if len(parts) < least || len(parts) > most {
		return nil, usageError("numbers with commas, decimals with points", "%s %q: %d to %d numbers are wanted", flag, text, least, most)
	}
	var out []float64
	for _, s := range parts {
		v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || !schema.IsNumber(strings.TrimLeft(strings.TrimSpace(s), "+")) {
			return nil, usageError("numbers with commas, decimals with points", "%s %q: %q is no number", flag, text, s)
		}
		out = append(out, v)
	}
	return out, nil
}

func latLonH(flag, text string) (crs.Geodetic, error) {
	v, err := numbers(flag, text, 2, 3)
	if err != nil {
		return crs.Geodetic{}, err
	}
	if math.Abs(v[0]) > 90 || math.Abs(v[1]) > 180 {
		return crs.Geodetic{}, usageError("the order is latitude, longitude, height", "%s %q: no such latitude or longitude", flag, text)
	}
	g := crs.Geodetic{Lat: crs.Degrees(v[0]), Lon: crs.Degrees(v[1]), H: crs.Metres(math.NaN())}
	if len(v) == 3 {
		g.H = crs.Metres(v[2])
	}
	return g, nil
}

func dateArg(text string) (string, error) {
	if text == "" {
		return time.Now().Format(time.DateOnly), nil
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return "", usageError("such as 2026-05-31", "--date %q is no date", text)
	}
	return text, nil
}

func uncertaintyArg(text string) (u validate.Uncertainty, err error) {
	if text == "" {
		return u, nil
	}
	v, err := numbers("--sigma", text, 1, 3)
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
		return u, usageError("", "--sigma %s: %w", text, err)
	}
	return u, nil
}
