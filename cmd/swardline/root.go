// The command tree, and the one place where a command's error ends.

package main

import (
	"context"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swardline/cmd/internal/job"
)

func execute(ctx context.Context, args []string, s streams) int {
	if len(args) == 1 && args[0] == "--version" {
		// What is asked most by other programs needs no tree of commands.
		_, err := io.WriteString(s.out, versionLine)
		printFailure(s.err, err)
		return statusOf(err)
	}
	root := newRoot(s)
	root.SetArgs(shieldNumbers(root, job.JoinShift(args, "--shift")))
	err := root.ExecuteContext(ctx)
	printFailure(s.err, err)
	return statusOf(err)
}

// extraCommands are those of builds with a tag.
var extraCommands []func(streams) *cobra.Command

const versionLine = program + " " + job.Version + "\n"

func newRoot(s streams) *cobra.Command {
	root := command("", rootWords, nil)
	root.Use, root.Version = program, job.Version
	root.SilenceErrors, root.SilenceUsage = true, true
	root.PersistentPreRun = func(_ *cobra.Command, args []string) { unshield(args) }
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.SetVersionTemplate(versionLine)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(
		newConvertCmd(s),
		newCheckCmd(s),
		newMendCmd(s),
		newEditCmd(s),
		newPlaceCmd(s),
		newDriftCmd(s),
		newDrivenCmd(s),
		newSheetCmd(s),
		newSkyCmd(s),
		newDeskCmd(s),
		newCRSCmd(s),
	)
	for _, extra := range extraCommands {
		root.AddCommand(extra(s))
	}
	addCompletions(root, s)
	return root
}

// command makes a command from its words.
func command(use string, w words, args cobra.PositionalArgs) *cobra.Command {
	return &cobra.Command{Use: use, Short: w.short, Long: w.long, Example: indent(w.example), Args: args}
}

func indent(s string) string {
	return strings.TrimRight("  "+strings.ReplaceAll(strings.TrimSpace(s), "\n", "\n  "), " ")
}

// exactly returns an argument check whose message says what is wanted.
func exactly(n int, want string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != n {
			return job.Refuse("see '"+cmd.CommandPath()+" --help'", "%s needs %s, got %d argument(s)", cmd.CommandPath(), want, len(args))
		}
		return nil
	}
}

// run does a job with the files of the disk and tells what there was to tell.
func (s streams) run(folders []string, do func(*job.Job) error) error {
	store := &disk{streams: s, folders: folders}
	defer store.close()
	j := &job.Job{
		Store:   store,
		Option:  flagName,
		Command: func(words string) string { return "'" + program + " " + words + "'" },
	}
	err := do(j)
	tell(s.err, j.Notes)
	return err
}

// flagName says how an option is written. Arguments of a command keep their
// command's name.
func flagName(option string) string {
	if strings.Contains(option, " ") {
		return option
	}
	return "--" + option
}

// negative reports whether an argument looks like a flag and is a number.
func negative(arg string) bool {
	s, minus := strings.CutPrefix(arg, "-")
	s = strings.TrimPrefix(s, ".")
	return minus && s != "" && s[0] >= '0' && s[0] <= '9'
}

// shieldNumbers puts a space before arguments that are negative numbers, so
// that they are not taken for flags; a flag's own value needs none. unshield
// takes it off again.
func shieldNumbers(root *cobra.Command, args []string) []string {
	cmd, _, err := root.Find(args)
	if err != nil {
		cmd = root
	}
	out := append([]string(nil), args...)
	for i, a := range args {
		if a == "--" {
			break
		}
		if negative(a) && !(i > 0 && takesValue(cmd.Flags(), args[i-1])) {
			out[i] = " " + a
		}
	}
	return out
}

// takesValue reports whether an argument is a flag whose value comes next.
func takesValue(flags *pflag.FlagSet, arg string) bool {
	name, long := strings.CutPrefix(arg, "--")
	f := flags.Lookup(name)
	return long && f != nil && f.NoOptDefVal == ""
}

func unshield(args []string) {
	for i, a := range args {
		if negative(strings.TrimPrefix(a, " ")) {
			args[i] = strings.TrimPrefix(a, " ")
		}
	}
}
