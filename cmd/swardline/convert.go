// swardline convert: any format and grid to any other, with its losses told.

package main

import (
	"io"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
)

func newConvertCmd(s streams) *cobra.Command {
	o, see, near, starter, topic := &job.ConvertOptions{}, false, "", "", ""
	cmd := command("convert SRC DST", convertWords, func(cmd *cobra.Command, args []string) error {
		if topic != "" {
			return exactly(0, "no file with --explain")(cmd, args)
		}
		if starter != "" && !see {
			return job.Refuse("add --look", "--write-roles goes with --look SRC")
		}
		if see {
			return exactly(1, "one SRC with --look")(cmd, args)
		}
		return exactly(2, "SRC and DST")(cmd, args)
	})
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if topic != "" {
			return explainTopic(s.out, topic)
		}
		o.Source = args[0]
		return s.run(nil, func(j *job.Job) (err error) {
			if see {
				view, err := j.Look(&job.LookOptions{Reading: o.Reading, Source: o.Source, Near: near, WriteRoles: starter})
				if err != nil {
					return err
				}
				return fillWhole(s.out, 1<<12, func(w io.Writer) error {
					_, err := io.WriteString(w, view.String())
					return err
				})
			}
			if o.GridShifts, err = gridFiles(o.GridShifts); err != nil {
				return err
			}
			o.Target = args[1]
			done, err := j.Convert(o)
			return reported(err, nil, err == nil && done.Refused)
		})
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	movingFlags(f, &o.Moving)
	writingFlags(f, &o.Writing)
	f.StringVar(&o.To, "to", "", "`CRS` of the output: EPSG:25832, an OGC URN, OGC:CRS84, a WKT file, or site")
	f.Float64Var(&o.ToEpoch, "to-epoch", 0, "epoch of the output's coordinates as a decimal `year`")
	f.StringVar(&o.Units, "write-units", "", "length `unit` of a written drawing: m, mm, ft, ftUS or in")
	f.StringVar(&o.Offset, "write-offset", "", "take `E,N` in metres off the coordinates of a written drawing, and declare it in it")
	f.BoolVar(&o.Held, "held", false, "of a plan corrected for a moved base, write what the machine must hold instead of the ground")
	f.BoolVar(&o.Strict, "strict", false, "end with status 1 and write nothing when anything would be lost")
	f.StringVar(&o.LossFile, "loss", "", "write the loss report as JSON to `file`")
	f.BoolVar(&see, "look", false, "list what is in SRC instead of converting it")
	f.StringVar(&starter, "write-roles", "", "with --look: write a `file` of roles to start from, with guesses, for --roles")
	f.StringVar(&topic, "explain", "", "print the page on a `topic` (roles) and stop")
	f.StringVar(&near, "near", "", "with --look: a place by the site, `LAT,LON`, that narrows the grids down")
	return cmd
}

// explainTopic prints a page on how inputs are read.
func explainTopic(w io.Writer, topic string) error {
	if topic != "roles" {
		return job.Refuse("", "there is no page on %q; there is one on roles", topic)
	}
	_, err := io.WriteString(w, job.ExplainRoles())
	return err
}
