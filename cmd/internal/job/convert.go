// Any format and grid to any other, with its losses told.

package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"swardline/convert"
	"swardline/convert/dxf"
	"swardline/convert/intake/look"
	"swardline/convert/intake/roles"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
)

// Writing says how an output is wanted.
type Writing struct {
	Format string // "" for what the name's ending says
	Layout string // of a CSV: wkt or points
}

// ConvertOptions are the options of Convert.
type ConvertOptions struct {
	Reading
	Moving
	Writing
	Source, Target string
	To             string  // CRS of the output
	ToEpoch        float64 // decimal year, 0 for the plan's
	Units          string  // length unit of a written drawing
	Offset         string  // E,N in metres taken off a written drawing's coordinates
	Held           bool    // write what the machine must hold instead of the ground
	Strict         bool    // write nothing when anything would be lost
	LossFile       string  // where the losses go as JSON, "" for nowhere
}

// Converted is what Convert, Mend and Place wrote.
type Converted struct {
	Plan *schema.Plan // as it was written
	// Losses are what was not read and what the format could not hold.
	Losses []wire.Loss
	// Refused is true when nothing was written because something would be lost.
	Refused bool
}

// Convert reads Source and writes Target.
func (j *Job) Convert(o *ConvertOptions) (*Converted, error) {
	limits, format, err := j.opening(&o.Reading, &o.Writing, o.Source, o.Target)
	if err != nil {
		return nil, err
	}
	opts := convert.WriteOptions{Layout: o.Layout, Unit: o.Units}
	if o.Offset != "" {
		v, err := j.numbers("write-offset", o.Offset, 2, 2)
		if err != nil {
			return nil, err
		}
		opts.Offset = &[2]float64{v[0], v[1]}
	}
	if done, err := j.inParts(o, format, opts, limits); !errors.Is(err, wire.ErrWhole) {
		return done, err
	}
	p, err := j.wanted(o, limits)
	if err != nil {
		return nil, err
	}
	// The bytes of the file are done with; the collector would let as much
	// again pile up beside them.
	runtime.GC()
	if p, err = j.moved(p, o.To, o.ToEpoch, format, &o.Moving, limits); err != nil {
		return nil, err
	}
	if err := j.beside(p, format, &opts, &o.Moving, limits); err != nil {
		return nil, err
	}
	return j.write(p, o.Target, format, opts, o.LossFile, o.Strict)
}

// wanted reads a plan as it is to be written: on the ground, or as the machine
// must hold it.
func (j *Job) wanted(o *ConvertOptions, l schema.Limits) (*schema.Plan, error) {
	if !o.Held {
		return j.plan(o.Source, &o.Reading, l)
	}
	p, err := j.asWritten(o.Source, &o.Reading, l)
	if err != nil {
		return nil, err
	}
	held, err := validate.MachineOf(p)
	if err != nil {
		return nil, Fault("mend the history, or leave "+j.option("held")+" out", "%s: %w", o.Source, err)
	}
	if words := validate.HeldWords(held); words != "" {
		j.note(NoteRemark, o.Target, "these coordinates are for the machine, not for anybody else. %s", words)
	} else {
		j.note(NoteRemark, o.Source, "the plan was never corrected for a base that moved: what the machine holds is the ground")
	}
	return held, nil
}

// opening is what a command that writes a plan from a plan settles first: the
// limits and the output's format; it refuses an output that is the input.
func (j *Job) opening(r *Reading, w *Writing, source, target string) (l schema.Limits, format string, err error) {
	if l, err = j.limits(r.Limits); err != nil {
		return l, "", err
	}
	if err := j.apart(source, target); err != nil {
		return l, "", err
	}
	format, err = j.target(w, target)
	return l, format, err
}

// rewrite writes a plan that was changed where it lies: it moves only to a
// system that another format needs.
func (j *Job) rewrite(p *schema.Plan, target, format, layout string, l schema.Limits) (c Converted, err error) {
	if format != p.Source.Format {
		if p, err = j.moved(p, "", 0, format, &Moving{}, l); err != nil {
			return Converted{}, err
		}
	}
	wrote, err := j.write(p, target, format, convert.WriteOptions{Layout: layout}, "", false)
	return *wrote, err
}

// apart refuses to write over what is read.
func (j *Job) apart(source, target string) error {
	if source == target && source != "-" || source != "-" && target != "-" && filepath.Clean(source) == filepath.Clean(target) {
		return Refuse("name another file for the output", "%s is the input: it would be written over", target)
	}
	if same, ok := j.Store.(interface{ Same(a, b string) bool }); ok && same.Same(source, target) {
		return Refuse("name another file for the output", "%s and %s are one file: the input would be written over", source, target)
	}
	return nil
}

// target finds the format of an output by its name, then by its ending.
func (j *Job) target(w *Writing, name string) (string, error) {
	if w.Layout != "" && !slices.Contains(layouts(), w.Layout) {
		return "", Refuse("", "%s is one of %s, not %q", j.option("layout"), strings.Join(layouts(), ", "), w.Layout)
	}
	if w.Format != "" {
		return j.format("write", w.Format)
	}
	list := strings.Join(Formats(), ", ")
	if name == "-" {
		return "", Refuse("the formats are "+list, "writing to standard output needs %s FORMAT", j.option("write"))
	}
	f, err := convert.FormatToWrite(name)
	if err != nil {
		return "", Refuse("name a format with "+j.option("write")+": "+list, "%s: %s", name, err)
	}
	return f.Name, nil
}

// layouts are those of every format that has several.
func layouts() []string {
	var out []string
	for _, f := range convert.Formats {
		out = append(out, f.Layouts...)
	}
	return out
}

// write writes the plan and tells what the format could not hold.
func (j *Job) write(p *schema.Plan, name, format string, opts convert.WriteOptions, lossFile string, strict bool) (*Converted, error) {
	opts.ViewerNote = viewerNote(p, format)
	return j.writeBy(p, name, format, lossFile, strict, wire.MemoryScratch{Buffer: &bytes.Buffer{}}, func(w io.Writer) ([]wire.Loss, error) {
		return convert.Write(w, p, format, opts)
	})
}

// viewerNote is the line for who opens a file in WGS 84.
func viewerNote(p *schema.Plan, format string) string {
	if !convert.FormatByName(format).WGS84Only {
		return ""
	}
	return strings.TrimSpace(viewerWords(p) + " " + givenWords(p))
}

// writeBy is write by a function that writes the plan. What goes down a pipe
// cannot be taken back: where that may have to be, it waits in aside.
func (j *Job) writeBy(p *schema.Plan, name, format, lossFile string, strict bool, aside wire.Scratch, fill func(io.Writer) ([]wire.Loss, error)) (*Converted, error) {
	out := &Converted{Plan: p, Losses: append([]wire.Loss{}, j.lost...)}
	var told []wire.Loss
	err := j.Store.Write(name, func(w io.Writer) error {
		to := w
		if _, held := aside.(wire.MemoryScratch); name == "-" && (strict || !held) {
			to = aside
		}
		losses, err := fill(to)
		if err != nil {
			return err
		}
		told = losses
		for _, l := range losses {
			if !l.Note {
				out.Losses = append(out.Losses, l)
			}
		}
		if strict && len(out.Losses) > 0 {
			out.Refused = true
			return errRefused
		}
		if to != w {
			_, err = aside.WriteTo(w)
		}
		return err
	})
	var none *unfinished
	if errors.As(err, &none) {
		return nil, none.error
	}
	if err == nil && format == "dxf" {
		err = j.writePRJ(p, name)
	}
	if out.Refused {
		err = nil
	}
	j.lose("", told)
	if lossFile != "" {
		lossErr := j.Store.Write(lossFile, func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetIndent("", "  ")
			return e.Encode(struct {
				Format string      `json:"format"`
				Losses []wire.Loss `json:"losses"`
			}{format, out.Losses})
		})
		if err == nil {
			err = lossErr
		}
	}
	return out, err
}

// errRefused makes a Store drop an output.
var errRefused = &Error{Asked: true, Err: io.ErrShortWrite}

// LookOptions are the options of Look.
type LookOptions struct {
	Reading
	Source string
	Near   string // LAT,LON by the site, "" for nowhere
	// WriteRoles is where a file of roles to start from goes, "" for nowhere.
	WriteRoles string
}

// Look says what is in a file, before anything is believed of it. A drawing is
// looked at without its unit, which is one of the things to find out.
func (j *Job) Look(o *LookOptions) (*look.Overview, error) {
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	var opts look.Options
	if o.Near != "" {
		g, err := j.position("near", o.Near)
		if err != nil {
			return nil, err
		}
		opts.Near = &g
	}
	read, _, err := j.readOptions(o.Source, &o.Reading, limits)
	if err != nil {
		return nil, err
	}
	data, err := j.load(o.Source, read)
	if err != nil {
		return nil, err
	}
	format := o.Format
	if format == "" {
		f, err := convert.DetectFormat(o.Source, data)
		if err != nil {
			return nil, err
		}
		format = f.Name
	}
	var view *look.Overview
	if format == "dxf" {
		inv, err := dxf.Look(data, wire.ReadOptions{Name: o.Source, Limits: limits})
		if err != nil {
			return nil, err
		}
		view = look.Drawing(inv, opts)
		if o.WriteRoles != "" {
			if read.Unit == "" && !inv.UnitStated {
				read.Unit = "m" // names have no unit
			}
			p, _, err := convert.Read(data, read)
			if err == nil {
				err = j.writeRoles(p, o.WriteRoles)
			}
			if err != nil {
				return nil, err
			}
		}
	} else {
		p, warnings, err := convert.Read(data, read)
		if err != nil {
			return nil, err
		}
		j.warn(o.Source, warnings)
		view = look.Plan(p, opts)
		if o.WriteRoles != "" {
			if err := j.writeRoles(p, o.WriteRoles); err != nil {
				return nil, err
			}
		}
	}
	view.File = o.Source
	return view, nil
}

// writePRJ writes the system of a drawing into a .prj beside it, for programs
// that look there. A .prj that says something else is somebody's and left
// alone.
func (j *Job) writePRJ(p *schema.Plan, drawing string) error {
	text := prjText(p.CRS)
	ext := filepath.Ext(drawing)
	if text == "" || !strings.EqualFold(ext, ".dxf") {
		return nil
	}
	name := strings.TrimSuffix(drawing, ext) + ".prj"
	if was, err := j.settings(name); err == nil && string(was) != text {
		j.note(NoteRemark, "", "%s says another system and is left as it is; the drawing is in %s", name, p.CRS.ID())
		return nil
	}
	return j.Store.Write(name, func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
}

// writeRoles writes a file of roles to start from. One that is there already
// may hold somebody's work, and is left alone.
func (j *Job) writeRoles(p *schema.Plan, name string) error {
	if _, err := j.settings(name); err == nil && name != "-" {
		return Refuse("name another file, or remove this one", "%s is there already; what somebody wrote into it would be lost", name)
	}
	return j.Store.Write(name, func(w io.Writer) error {
		_, err := io.WriteString(w, roles.Starter(p))
		return err
	})
}

// ExplainRoles is the page on files of roles.
func ExplainRoles() string { return roles.Explain() }

// IsPlan reports whether a file of a folder is to be taken for a plan: by its
// ending, and where other things share the ending, by its first
// convert.HeadBytes bytes too, which head gets.
func IsPlan(name string, head func() ([]byte, error)) bool {
	f := convert.FormatByEnding(name)
	if f == nil {
		return false
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".json", ".txt", ".zip", ".xml", ".log", ".pos":
		data, err := head()
		return err != nil || f.Detect(data)
	}
	return true
}

// PlanEndings are the endings of the files that are taken for plans.
func PlanEndings() []string {
	var out []string
	for _, f := range convert.Formats {
		out = append(out, f.Endings...)
	}
	return out
}

// ServesPlan reports whether a file says the CRS of a list or drawing beside
// it, or is one of the files that a .shp beside it goes with.
func ServesPlan(name string, beside func(name string) bool) bool {
	ending := filepath.Ext(name)
	stem := strings.TrimSuffix(name, ending)
	switch strings.ToLower(ending) {
	case ".dbf", ".shx", ".cpg", ".prj":
		if beside(stem+".shp") || beside(stem+".SHP") {
			return true
		}
	}
	return ending == ".prj" && slices.ContainsFunc(prjEndings, func(ending string) bool { return beside(stem + ending) })
}
