// swardline sheet: the plan drawn to scale, for people who open no plan files.

package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swardline/convert/sheet"
	"swardline/schema"
	"swardline/validate"
)

type sheetOptions struct {
	readFlags
	placeFlags
	streams  streams
	src, dst string
	write    string
	paper    string
	scale    string
	grid     string
	limits   string
	date     string
	title    string
	bundle   string
	noDrift  bool
}

func newSheetCmd(s streams, run func(*sheetOptions) error) *cobra.Command {
	o := &sheetOptions{streams: s}
	cmd := &cobra.Command{
		Use:   "sheet PLAN DST",
		Short: "draw a plan to scale: SVG, PDF, or one HTML file that fetches nothing",
		Long: `sheet proves the plan and draws it with its findings: to scale on paper (.svg, .pdf),
or as one live page (.html) that works from a file, without a network. Roles are
told by fill, hatch and line, not by colour alone. Without --scale the largest
round scale that fits one sheet is taken; a plan that does not fit at the scale
asked for is divided into sheets with an index. A .svg of several sheets is one
file a sheet: DST for the first, then DST with -2, -3 and so on before its ending.

--bundle makes the whole hand-over in a folder, or in a .zip: sheet, live page,
KML for a client, GeoJSON and CSV in the grid of --crs, schedule, check report,
and a README.txt that says what each is.

` + caution,
		Args: func(cmd *cobra.Command, args []string) error {
			if o.bundle != "" && len(args) == 1 {
				return nil
			}
			return exactly(2, "PLAN and DST, or PLAN with --bundle")(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			o.src = args[0]
			if len(args) > 1 {
				o.dst = args[1]
			}
			return run(o)
		},
	}
	o.readFlags.add(cmd)
	o.placeFlags.add(cmd)
	f := cmd.Flags()
	f.StringVar(&o.write, "write", "", "`format` of the output instead of its ending: svg, pdf or html")
	f.StringVar(&o.paper, "paper", "A4", "`paper`: A4, A3 or Letter")
	f.StringVar(&o.scale, "scale", "", "`1:N`; the largest round scale that fits when not given")
	f.StringVar(&o.grid, "crs", "", "`CRS` of ticks and positions, and of the bundle's GeoJSON and CSV; the plan's own when not given")
	f.StringVar(&o.limits, "limits", "", "limits `file` (YAML)")
	f.StringVar(&o.date, "date", "", "date on the sheet, `YYYY-MM-DD`; today when not given")
	f.StringVar(&o.title, "title", "", "`title` on the sheet; the plan's name, else its file's, when not given")
	f.StringVar(&o.bundle, "bundle", "", "make the whole hand-over in a `DIR` or a .zip")
	f.BoolVar(&o.noDrift, "no-drift", false, "leave the drift view out of the live page")
	return cmd
}

// The forms of a sheet.
const (
	sheetSVG  = "svg"
	sheetPDF  = "pdf"
	sheetHTML = "html"
)

func (o *sheetOptions) form() (string, error) {
	form := o.write
	if form == "" {
		if o.dst == "-" {
			return "", usageError("--write svg, pdf or html", "writing to standard output needs --write FORMAT")
		}
		form = strings.TrimPrefix(strings.ToLower(filepath.Ext(o.dst)), ".")
	}
	switch form {
	case sheetSVG, sheetPDF, sheetHTML:
		return form, nil
	case "htm":
		return sheetHTML, nil
	}
	return "", usageError("a sheet ends in .svg, .pdf or .html", "%s: %q names no form of a sheet", o.dst, form)
}

func runSheet(o *sheetOptions) error {
	form := ""
	var err error
	if o.dst != "" {
		if form, err = o.form(); err != nil {
			return err
		}
	}
	job, err := o.prepare()
	if err != nil {
		return err
	}
	if o.dst != "" {
		if err := o.writeSheet(job, form); err != nil {
			return err
		}
	}
	if o.bundle != "" {
		return o.writeBundle(job)
	}
	return nil
}

// sheetJob is a plan with its proof and its drawing.
type sheetJob struct {
	plan    *schema.Plan
	limits  schema.Limits
	report  *validate.Report
	drawing *sheet.Drawing
	grid    *gridOf
	options sheet.Options
	date    string
	set     *sheet.Set // laid out when first asked for
}

func (o *sheetOptions) prepare() (*sheetJob, error) {
	job := &sheetJob{}
	var err error
	if job.options.Paper, err = sheet.ParsePaper(o.paper); err != nil {
		return nil, usageError("", "--paper: %w", err)
	}
	if o.scale != "" {
		if job.options.Scale, err = sheet.ParseScale(o.scale); err != nil {
			return nil, usageError("", "--scale: %w", err)
		}
	}
	if job.date, err = dateArg(o.date); err != nil {
		return nil, err
	}
	if job.limits, err = loadLimits(o.limits); err != nil {
		return nil, err
	}
	p, warnings, err := loadPlan(o.src, o.readFlags, job.limits, o.streams)
	if err != nil {
		return nil, err
	}
	tellWarnings(o.streams.err, o.src, warnings)
	job.plan = p
	job.report = validate.Check(p, job.limits)
	if job.report.Site == nil || job.report.Site.Frame == validate.FrameNone {
		why := "it has no place on the ground"
		if job.report.Site != nil {
			why = job.report.Site.Why
		}
		return nil, inputError("'swardline check' says more", "%s: the plan cannot be drawn: %s", o.src, why)
	}
	if job.grid, err = o.gridOf(job); err != nil {
		return nil, err
	}
	job.drawing = o.drawingOf(job)
	if len(job.drawing.Features) == 0 {
		return nil, inputError("'swardline check' says more", "%s: the plan has no active feature with usable coordinates, so there is nothing to draw", o.src)
	}
	return job, nil
}

// sheets lays the drawing out once.
func (o *sheetOptions) sheets(job *sheetJob) (*sheet.Set, error) {
	if job.set != nil {
		return job.set, nil
	}
	set, err := sheet.Compose(job.drawing, job.options)
	if err != nil {
		return nil, usageError("", "%s: %w", o.src, err)
	}
	o.tell("note", set.Notes)
	o.tell("warning", set.Warnings)
	job.set = set
	return set, nil
}

// tell writes notes or warnings to standard error.
func (o *sheetOptions) tell(kind string, notes []string) {
	for _, n := range notes {
		fmt.Fprintf(o.streams.err, "%s: %s: %s: %s\n", program, oneLine(o.src), kind, oneLine(n))
	}
}

func (o *sheetOptions) writeSheet(job *sheetJob, form string) error {
	if form == sheetHTML {
		if !o.noDrift {
			addDrift(job)
		}
		return writeWhole(o.dst, o.streams, func(w io.Writer) error { return sheet.HTML(w, job.drawing) })
	}
	set, err := o.sheets(job)
	if err != nil {
		return err
	}
	if form == sheetPDF {
		var notes []string
		err := writeWhole(o.dst, o.streams, func(w io.Writer) (err error) {
			notes, err = set.PDF(w, job.drawing)
			return err
		})
		o.tell("warning", notes)
		return err
	}
	if len(set.Pages) > 1 && o.dst == "-" {
		return usageError("name a file, or take --write pdf", "the plan takes %d sheets, and standard output holds one SVG", len(set.Pages))
	}
	for i := range set.Pages {
		path := o.dst
		if i > 0 {
			ext := filepath.Ext(path)
			path = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(path, ext), i+1, ext)
		}
		if err := writeWhole(path, o.streams, func(w io.Writer) error { return set.SVG(w, i) }); err != nil {
			return err
		}
		if i > 0 {
			fmt.Fprintf(o.streams.err, "%s: sheet %d of %d: %s\n", program, i+1, len(set.Pages), path)
		}
	}
	return nil
}
