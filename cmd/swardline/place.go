// swardline place: put a drawing in unknown coordinates on the ground, from
// marks.

package main

import (
	"io"
	"strings"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
	"swardline/validate"
)

func newPlaceCmd(s streams) *cobra.Command {
	o, undo, explain := &job.PlaceOptions{}, false, ""
	cmd := command("place DRAWING DST", placeWords, func(cmd *cobra.Command, args []string) error {
		if explain != "" && len(args) == 0 {
			return nil
		}
		return exactly(2, "DRAWING and DST")(cmd, args)
	})
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if explain != "" {
			return explainPlacement(s.out, explain)
		}
		o.Source, o.Target = args[0], args[1]
		return s.run(nil, func(j *job.Job) (err error) {
			if o.GridShifts, err = gridFiles(o.GridShifts); err != nil {
				return err
			}
			if undo {
				_, err := j.Unplace(o)
				return err
			}
			done, err := j.Place(o)
			if done == nil {
				return err
			}
			return reported(err, done.Report.Text(s.beside(o.Target)), done.Failed)
		})
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	movingFlags(f, &o.Moving)
	writingFlags(f, &o.Writing)
	reportFlag(f, &o.Reports, "the fit")
	f.StringVar(&o.Marks, "marks", "", "`file` of marks (CSV)")
	f.StringVar(&o.Model, "model", "similarity", "`model`: shift, rigid, similarity or affine")
	f.StringVar(&o.To, "to", "", "`CRS` of the output; that of the marks when not given")
	f.StringVar(&o.Held, "held", "", "how the machine will `hold` the plan: offsets (from its base) or coordinates")
	f.StringVar(&explain, "explain", "", "print the page of a `rule` of placements and stop: "+placementRules())
	f.BoolVar(&undo, "undo", false, "take a placed plan back to its drawing's coordinates")
	return cmd
}

func placementRules() string {
	var names []string
	for _, r := range validate.RulesOf(validate.CommandPlace) {
		names = append(names, r.Name)
	}
	return strings.Join(names, " or ")
}

func explainPlacement(w io.Writer, name string) error {
	rule, ok := validate.Find(name)
	if !ok || rule.Command != validate.CommandPlace {
		return job.Refuse("'swardline check --explain' knows those of plans", "there is no rule of placements called %q; they are %s", name, placementRules())
	}
	_, err := io.WriteString(w, rule.Text())
	return err
}
