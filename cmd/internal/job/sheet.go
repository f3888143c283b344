// The plan drawn to scale, as a live page, or as a whole hand-over.

package job

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"swardline/convert/sheet"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// SheetOptions are the options of Sheet.
type SheetOptions struct {
	Reading
	Moving
	Source string
	Target string // "" where only a bundle is wanted
	Write  string // svg, pdf or html; "" for what the ending of Target says
	Paper  string // A4, A3 or Letter; "" for A4
	Scale  string // 1:N, "" for the largest round one that fits
	Grid   string // CRS of ticks and positions, "" for the plan's own
	Date   string // YYYY-MM-DD; "" for today
	Title  string // "" for the plan's name, else its file's
	Bundle string // folder or .zip of the whole hand-over, "" for none
	Turn   string // degrees clockwise on the paper; "" or auto for where that wins a scale
	For    string // client, authority or crew; "" for authority
	// TitleBlock is a file of the title block's fields, "" for those of the
	// plan alone.
	TitleBlock string
	NoDrift    bool // leave the drift view out of the live page
	// Track are the logs to draw over the plan, none for no Logs.
	Track DrivenOptions
}

// The forms of a sheet.
const (
	sheetSVG  = "svg"
	sheetPDF  = "pdf"
	sheetHTML = "html"
)

// Sheet checks the plan in Source and draws it with its findings. A .svg of
// several sheets is a file a sheet: Target for the first, then Target with -2,
// -3 and so on before its ending.
func (j *Job) Sheet(o *SheetOptions) error {
	form := ""
	var err error
	if o.Target != "" || o.Bundle == "" {
		if form, err = j.sheetForm(o); err != nil {
			return err
		}
	}
	job, err := j.prepareSheet(o)
	if err != nil {
		return err
	}
	if form != "" {
		if err := job.writeSheet(form); err != nil {
			return err
		}
	}
	if o.Bundle != "" {
		return job.writeBundle()
	}
	return nil
}

func (j *Job) sheetForm(o *SheetOptions) (string, error) {
	form := o.Write
	if form == "" {
		if o.Target == "-" {
			return "", Refuse(j.option("write")+" svg, pdf or html", "writing to standard output needs %s FORMAT", j.option("write"))
		}
		form = strings.TrimPrefix(strings.ToLower(filepath.Ext(o.Target)), ".")
	}
	switch form {
	case sheetSVG, sheetPDF, sheetHTML:
		return form, nil
	case "htm":
		return sheetHTML, nil
	}
	return "", Refuse("a sheet ends in .svg, .pdf or .html", "%s: %q names no form of a sheet", o.Target, form)
}

// sheetJob is a plan with its check and its drawing.
type sheetJob struct {
	*Job
	o       *SheetOptions
	plan    *schema.Plan
	limits  schema.Limits
	report  *validate.Report
	drawing *sheet.Drawing
	grid    *crs.CRS       // of ticks and positions, nil when the plan has none
	op      *crs.Operation // from the plan to it, nil for the plan's own
	doubt   string         // how far the ticks may be off, "" for none
	layout  sheet.Options
	date    string
	set     *sheet.Set // laid out when first asked for
	quick   bool       // no search for steps between datums, which takes a while
}

func (j *Job) prepareSheet(o *SheetOptions) (*sheetJob, error) {
	job := &sheetJob{Job: j, o: o}
	paper := o.Paper
	if paper == "" {
		paper = "A4"
	}
	var err error
	if job.layout.Paper, err = sheet.ParsePaper(paper); err != nil {
		return nil, Refuse("", "%s: %w", j.option("paper"), err)
	}
	if o.Scale != "" {
		if job.layout.Scale, err = sheet.ParseScale(o.Scale); err != nil {
			return nil, Refuse("", "%s: %w", j.option("scale"), err)
		}
	}
	if err = job.arrange(); err != nil {
		return nil, err
	}
	if job.date, err = j.day(o.Date); err != nil {
		return nil, err
	}
	if job.limits, err = j.limits(o.Limits); err != nil {
		return nil, err
	}
	if job.plan, err = j.plan(o.Source, &o.Reading, job.limits); err != nil {
		return nil, err
	}
	job.report = validate.Check(job.plan, job.limits)
	if site := job.report.Site; site == nil || site.Frame == validate.FrameNone {
		why := "it has no place on the ground"
		if site != nil {
			why = site.Why
		}
		return nil, Fault(j.command("check")+" says more", "%s: the plan cannot be drawn: %s", o.Source, why)
	}
	if err = job.chooseGrid(); err != nil {
		return nil, err
	}
	job.drawing = job.drawingOf()
	if job.drawing.Block, err = job.titleBlock(); err != nil {
		return nil, err
	}
	if len(job.drawing.Features) == 0 {
		return nil, Fault(j.command("check")+" says more", "%s: the plan has no active feature with usable coordinates, so there is nothing to draw", o.Source)
	}
	job.addSky()
	return job, job.addTrack()
}

// chooseGrid finds the reference system of the sheet's ticks and positions.
func (job *sheetJob) chooseGrid() error {
	job.grid = job.plan.CRS
	if job.o.Grid == "" {
		return nil
	}
	to, err := job.system("crs", job.o.Grid, job.plan)
	if err != nil {
		return err
	}
	if job.plan.CRS == nil {
		return Refuse("pass "+job.option("from")+" CRS, or place the drawing on marks with "+job.command("place"),
			"%s: the file does not say which CRS its coordinates are in, so there is no way to %s", job.o.Source, to.ID())
	}
	if to.Kind() == crs.KindGeocentric {
		return Refuse("name longitude and latitude or a grid", "%s %s: a sheet has no ticks in geocentric coordinates", job.option("crs"), to.ID())
	}
	job.grid = to
	if !to.Equal(job.plan.CRS) {
		job.op, job.doubt, err = job.pictured(job.plan, to, &job.o.Moving, job.limits)
	}
	return err
}

// sheets lays the drawing out once.
func (job *sheetJob) sheets() (*sheet.Set, error) {
	if job.set != nil {
		return job.set, nil
	}
	set, err := sheet.Compose(job.drawing, job.layout)
	if err != nil {
		return nil, Refuse("", "%s: %w", job.o.Source, err)
	}
	job.tell(NoteRemark, set.Notes)
	job.tell(NoteWarning, set.Warnings)
	job.set = set
	return set, nil
}

func (job *sheetJob) tell(kind NoteKind, notes []string) {
	for _, n := range notes {
		job.note(kind, job.o.Source, "%s", n)
	}
}

func (job *sheetJob) writeSheet(form string) error {
	name := job.o.Target
	if form == sheetHTML {
		job.addDrift()
		return job.Store.Write(name, func(w io.Writer) error { return sheet.HTML(w, job.drawing) })
	}
	set, err := job.sheets()
	if err != nil {
		return err
	}
	if form == sheetPDF {
		return job.Store.Write(name, job.writePDF)
	}
	if len(set.Pages) > 1 && name == "-" {
		return Refuse("name a file, or take "+job.option("write")+" pdf", "the plan takes %d sheets, and standard output holds one SVG", len(set.Pages))
	}
	for i := range set.Pages {
		if i > 0 {
			ext := filepath.Ext(job.o.Target)
			name = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(job.o.Target, ext), i+1, ext)
		}
		if err := job.Store.Write(name, func(w io.Writer) error { return set.SVG(w, i) }); err != nil {
			return err
		}
		if i > 0 {
			job.note(NoteOutput, "", "sheet %d of %d: %s", i+1, len(set.Pages), name)
		}
	}
	return nil
}

func (job *sheetJob) writePDF(w io.Writer) error {
	set, err := job.sheets()
	if err != nil {
		return err
	}
	notes, err := set.PDF(w, job.drawing)
	job.tell(NoteWarning, notes)
	return err
}
