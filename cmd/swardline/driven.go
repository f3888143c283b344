// swardline driven: what a log shows that the machine did.

package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swardline/cmd/internal/job"
)

func newDrivenCmd(s streams) *cobra.Command {
	outline := &job.OutlineOptions{}
	o := &outline.DrivenOptions
	cmd := command("driven PLAN LOG...", drivenWords, func(cmd *cobra.Command, args []string) error {
		if len(args) < 2 {
			return job.Refuse("see '"+cmd.CommandPath()+" --help'", "%s needs a PLAN and at least one LOG, got %d argument(s)", cmd.CommandPath(), len(args))
		}
		return nil
	})
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		o.Path, o.Logs = args[0], args[1:]
		switch {
		case outline.Name == "" && (outline.Target != "" || outline.Script != ""):
			return job.Refuse("name the zone with --as-outline", "--to and --script are for the outline that --as-outline makes")
		case outline.Name != "" && (o.Register != "" || len(o.Reports) > 0 || len(o.Walked) > 0):
			return job.Refuse("ask for them by another call, without --as-outline", "--as-outline makes an outline and no report: --report, --register and --walked do not go with it")
		}
		return s.run(nil, func(j *job.Job) (err error) {
			if o.GridShifts, err = gridFiles(o.GridShifts); err != nil {
				return err
			}
			if isFolder(o.Path) {
				if o.Files, _, err = findPlans([]string{o.Path}, nil, nil); err != nil {
					return err
				}
			}
			if outline.Name != "" {
				return asOutline(j, outline, s)
			}
			done, err := j.Driven(o)
			if done == nil || done.Report.Report == nil {
				return err
			}
			return reported(err, fillWhole(s.out, 1<<16, done.Report.Text), done.Failed)
		})
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	movingFlags(f, &o.Moving)
	reportFlag(f, &o.Reports, "the report (.html is a page for a client)")
	f.StringVar(&o.Register, "register", "", "put last day driven, cover and verdict into the plan's row of a register `file` (CSV), as check --register writes it")
	f.StringArrayVar(&o.Walked, "walked", nil, "`name` of a feature whose line or outline was walked along the edge on the ground; may be given more than once")
	f.StringVar(&outline.Name, "as-outline", "", "make a zone of this `name` of the walked LOG, or give the one of the plan the outline walked; --to says where the plan goes, --script where the edit does")
	f.StringVar(&outline.Target, "to", "", "`file` for the plan with the outline of --as-outline")
	f.StringVar(&outline.Script, "script", "", "`file` for the edit that --as-outline makes, for edit --script to play again")
	logFlags(f, o)
	f.Float64Var(&o.SpeedKMH, "speed", 0, "speed in `km/h`, for the time that mowing takes")
	f.Float64Var(&o.Efficiency, "efficiency", 0, "`share` of what speed and width promise that is really mown, above 0 and at most 1; there is no default")
	f.Float64Var(&o.WeekHours, "week-hours", 0, "`hours` a week that the machine may work")
	f.Float64Var(&o.Mowings, "mowings", 0, "how many `times` a week each zone is mown; once when not given")
	return cmd
}

// logFlags say how logs are to be understood.
func logFlags(f *pflag.FlagSet, o *job.DrivenOptions) {
	f.StringVar(&o.Receiver, "receiver", "machine", "whose corrections the log stands on: `machine`, the plan's own base, or independent")
	f.StringVar(&o.Quality, "quality", "", "`quality` of positions that do not state theirs: fixed, float or single; without it they count apart")
	f.StringVar(&o.LogCRS, "log-crs", "", "`CRS` of a list with eastings and northings")
	f.StringVar(&o.LogFrame, "log-frame", "", "`frame` of the log where it is not that of the plan, such as ITRF2020")
	f.Float64Var(&o.LogEpoch, "log-epoch", 0, "epoch of the log in that frame, decimal `year`")
}

func asOutline(j *job.Job, o *job.OutlineOptions, s streams) error {
	done, err := j.Outline(o)
	if done == nil || done.Walk == nil {
		return err
	}
	for _, line := range done.Words(o.Name) {
		fmt.Fprintln(s.out, job.OneLine(line))
	}
	return err
}
