// swardline edit: change a plan by edits, and list what changed.

package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
	"swardline/convert/intake/edit"
)

func newEditCmd(s streams) *cobra.Command {
	o, name, move := &job.Editing{}, "", 0.0
	cmd := command("edit PLAN DST", editWords, exactly(2, "PLAN and DST"))
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		o.Source, o.Target = args[0], args[1]
		if cmd.Flags().Changed("name") {
			o.Name = &name
		}
		if cmd.Flags().Changed("move-outline") {
			o.MoveOutlineM = &move
		}
		return s.run(nil, func(j *job.Job) error {
			done, err := j.Edit(o)
			if done != nil && err == nil {
				printEdits(s.beside(o.Target), done.Changes)
			}
			return err
		})
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	writingFlags(f, &o.Writing)
	f.StringVar(&o.Feature, "feature", "", "`id or name` of the feature to edit")
	f.IntVar(&o.Nth, "nth", 0, "which of several features of that name, from 1")
	f.StringVar(&o.Role, "role", "", "give it the `role`")
	f.StringVar(&name, "name", "", "give it the `name`")
	f.StringVar(&o.Active, "active", "", "switch it `on or off`")
	f.StringArrayVar(&o.Set, "set", nil, "give it a property, `KEY=VALUE`; may be given more than once")
	f.StringArrayVar(&o.Unset, "unset", nil, "take the property `KEY` out; may be given more than once")
	f.Float64Var(&move, "move-outline", 0, "move its outline by `metres`: out, or in when negative; at most offset_max_m")
	f.BoolVar(&o.Close, "close", false, "close its outline by a straight line from the last point to the first")
	f.BoolVar(&o.Reverse, "reverse", false, "turn the order of its points round")
	f.BoolVar(&o.Remove, "remove", false, "take it out of the plan")
	f.StringVar(&o.Add, "add", "", "add the features of another plan `file`")
	f.BoolVar(&o.Heard, "heard", false, "take out what the plan's file says beside it, and what it draws that the plan lacks: it was read, and what matters is in the plan")
	f.StringVar(&o.Script, "script", "", "do the edits of a `file` (JSON)")
	return cmd
}

// printEdits lists what was done, each with its areas.
func printEdits(w io.Writer, changes []edit.Change) {
	for _, c := range changes {
		line := fmt.Sprintf("%s: %s", c.Feature, strings.Join(c.Words, "; "))
		switch before, after := c.Before == c.Before, c.After == c.After; {
		case before && after:
			line += fmt.Sprintf("; area %.3f m2 before, %.3f m2 after", c.Before, c.After)
		case before:
			line += fmt.Sprintf("; area %.3f m2 before", c.Before)
		case after:
			line += fmt.Sprintf("; area %.3f m2", c.After)
		}
		fmt.Fprintln(w, job.OneLine(line))
	}
}
