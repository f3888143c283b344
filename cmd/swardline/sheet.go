// swardline sheet: the plan drawn to scale, for people who open no plan files.

package main

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
)

func newSheetCmd(s streams) *cobra.Command {
	o := &job.SheetOptions{}
	cmd := command("sheet PLAN DST", sheetWords, func(cmd *cobra.Command, args []string) error {
		if o.Bundle != "" && len(args) == 1 {
			return nil
		}
		return exactly(2, "PLAN and DST, or PLAN with --bundle")(cmd, args)
	})
	cmd.RunE = func(_ *cobra.Command, args []string) (err error) {
		o.Source = args[0]
		if len(args) > 1 {
			o.Target = args[1]
		}
		var folders []string
		if o.Bundle != "" && !strings.EqualFold(filepath.Ext(o.Bundle), ".zip") {
			if info, err := os.Stat(o.Bundle); err == nil && !info.IsDir() {
				return job.Refuse("name a folder, or a file ending in .zip", "--bundle %s: there is a file of that name", o.Bundle)
			}
			folders = []string{o.Bundle}
		}
		if o.GridShifts, err = gridFiles(o.GridShifts); err != nil {
			return err
		}
		return s.run(folders, func(j *job.Job) error { return j.Sheet(o) })
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	movingFlags(f, &o.Moving)
	f.StringVar(&o.Write, "write", "", "`format` of the output instead of its ending: svg, pdf or html")
	f.StringVar(&o.Paper, "paper", "A4", "`paper`: A4, A3 or Letter")
	f.StringVar(&o.Scale, "scale", "", "`1:N`; the largest round scale that fits when not given")
	f.StringVar(&o.Grid, "crs", "", "`CRS` of ticks and positions, and of the bundle's GeoJSON and CSV; the plan's own when not given")
	f.StringVar(&o.Date, "date", "", "date on the sheet, `YYYY-MM-DD`; today when not given")
	f.StringVar(&o.Title, "title", "", "`title` on the sheet; the plan's name, else its file's, when not given")
	f.StringVar(&o.Turn, "turn", "auto", "degrees that the plan is turned on the paper, clockwise; auto turns it only where that wins a scale: `auto|0|DEG`")
	f.StringVar(&o.For, "for", "authority", "whom the sheet is for, which decides what it lists: `client|authority|crew`")
	f.StringVar(&o.TitleBlock, "title-block", "", "title block `file` (YAML): legal_owner, client, address, title, document_type, number, created_by, approved_by, date_of_issue, revision")
	f.StringVar(&o.Bundle, "bundle", "", "make the whole hand-over in a `DIR` or a .zip")
	f.StringArrayVar(&o.Track.Logs, "track", nil, "draw the track of a `log` over the plan, and the ground that it missed; may be given more than once")
	logFlags(f, &o.Track)
	f.BoolVar(&o.NoDrift, "no-drift", false, "leave the drift view out of the live page")
	return cmd
}
