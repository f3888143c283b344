// swardline drift: what happens on the ground when the base moves.

package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
)

func newDriftCmd(s streams) *cobra.Command {
	o := &job.DriftOptions{}
	cmd := command("drift PLAN", driftWords, exactly(1, "a PLAN"))
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		o.Path = args[0]
		return s.run(nil, func(j *job.Job) (err error) {
			if o.GridShifts, err = gridFiles(o.GridShifts); err != nil {
				return err
			}
			if isFolder(o.Path) {
				return driftFolder(j, o, s)
			}
			done, err := j.Drift(o)
			if done == nil || done.Report == nil {
				return err
			}
			return reported(err, fillWhole(s.out, 1<<16, done.Report.Text), done.Moved)
		})
	}
	f := cmd.Flags()
	readingFlagsButEpoch(f, &o.Reading)
	movingFlags(f, &o.Moving)
	reportFlag(f, &o.Reports, "the report")
	f.StringVar(&o.Shift, "shift", "", "movement of the antenna, `E,N[,U]` in metres; 60mm,-53mm and 0,06;-0,053 are understood too")
	f.StringVar(&o.Base, "base", "", "true position of the antenna now, `LAT,LON[,H]`")
	f.StringVar(&o.Stored, "stored", "", "position the base stores now, `LAT,LON[,H]`")
	f.StringVar(&o.Lean, "lean", "", "a leaning pole, `ANGLE,LENGTH,BEARING`")
	f.StringVar(&o.Frame, "frame", "", "`frame` of the stored coordinates now, such as ITRF2014 or GDA2020")
	f.Float64Var(&o.FrameEpoch, "epoch", 0, "epoch of the stored coordinates now, decimal `year`")
	f.StringVar(&o.Marks, "marks", "", "`file` with the marks as measured again")
	f.StringVar(&o.Sigma, "sigma", "", "standard error of the base in metres, `S` both ways or SE,SN,CORRELATION, for the probability that it breaks something")
	f.Float64Var(&o.MarkSigmaM, "mark-sigma", 0, "standard error of one measured mark in `metres`, each way; 0 to estimate it")
	f.StringVar(&o.Correct, "correct", "", "write the corrected plan to `DST`")
	f.BoolVar(&o.Again, "again", false, "with --correct: the base moved by as much as in the last correction once more")
	f.StringVar(&o.Record, "record", "", "write the plan with its base added to the history to `DST`")
	f.StringVar(&o.BaseName, "base-name", "", "in a folder, move the plans whose base has this `name` or id, or stands within 1 m of it")
	f.StringVar(&o.BaseAt, "base-at", "", "in a folder, move the plans whose base stands within 1 m of `LAT,LON`")
	f.StringVar(&o.Date, "date", "", "date of the history's entry, `YYYY-MM-DD`; today when not given")
	return cmd
}

func driftFolder(j *job.Job, o *job.DriftOptions, s streams) error {
	var err error
	if o.Files, _, err = findPlans([]string{o.Path}, nil, nil); err != nil {
		return err
	}
	done, err := j.DriftFolder(o)
	if err != nil {
		return err
	}
	err = fillWhole(s.out, 1<<16, func(w io.Writer) error {
		for i := range done.Plans {
			if err := done.Plans[i].Text(w); err != nil {
				return err
			}
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "%d plans on the base, %d not\n", len(done.Plans), len(done.Apart))
		for _, line := range done.Apart {
			fmt.Fprintf(w, "  %s\n", job.OneLine(line))
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case done.Failed > 0:
		return job.Fault("the list names each", "%d of %d plans could not be moved", done.Failed, len(o.Files))
	case done.Moved:
		return errFindings
	}
	return nil
}
