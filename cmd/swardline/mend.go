// swardline mend: repair what needs no judgement, and list each change.

package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
	"swardline/validate"
)

func newMendCmd(s streams) *cobra.Command {
	o := &job.MendOptions{}
	cmd := command("mend SRC DST", mendWords, exactly(2, "SRC and DST"))
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		o.Source, o.Target = args[0], args[1]
		return s.run(nil, func(j *job.Job) error {
			done, err := j.Mend(o)
			if done != nil {
				printChanges(s.beside(o.Target), done.Changes)
			}
			return err
		})
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	writingFlags(f, &o.Writing)
	return cmd
}

// beside is where a result in words goes when an output goes to path.
func (s streams) beside(path string) io.Writer {
	if path == "-" {
		return s.err
	}
	return s.out
}

func printChanges(w io.Writer, changes []validate.Change) {
	for _, c := range changes {
		fmt.Fprintln(w, job.OneLine(changeLine(c)))
	}
	if len(changes) == 0 {
		fmt.Fprintln(w, "nothing to mend")
	}
}

// changeLine says what was done to which feature, where, and what that did to
// its area.
func changeLine(c validate.Change) string {
	line := fmt.Sprintf("%s: %s %s: %s", c.Rule, c.Feature.Role, c.Feature.Label(), c.Message)
	if c.At != nil && c.At.Lon != nil && c.At.Lat != nil {
		line += fmt.Sprintf(" at %.7f N %.7f E", *c.At.Lat, *c.At.Lon)
	} else if c.At != nil && c.At.E != nil && c.At.N != nil {
		line += fmt.Sprintf(" at e %.3f n %.3f", *c.At.E, *c.At.N)
	}
	if c.BeforeM2 == c.BeforeM2 && c.AfterM2 == c.AfterM2 {
		line += fmt.Sprintf("; area %.3f m2 before, %.3f m2 after", c.BeforeM2, c.AfterM2)
	}
	return line
}
