// The command tree, and the one place where a command's error ends.

package main

import (
	"context"

	"github.com/spf13/cobra"
)

func execute(ctx context.Context, args []string, s streams) int {
	root := newRoot(s)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	printFailure(s.err, err)
	return statusOf(err)
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:           program,
		Short:         rootShort,
		Long:          rootLong,
		Version:       version,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.SetVersionTemplate(program + " {{.Version}}\n")
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(
		newConvertCmd(s, runConvert),
		newCheckCmd(s, runCheck),
		newMendCmd(s, runMend),
		newPlaceCmd(s, runPlace),
		newDriftCmd(s, runDrift),
		newSheetCmd(s, runSheet),
		newCRSCmd(s),
	)
	return root
}

// exactly returns an argument check whose message says what is wanted.
func exactly(n int, want string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != n {
			return usageError("see '"+cmd.CommandPath()+" --help'", "%s needs %s, got %d argument(s)", cmd.CommandPath(), want, len(args))
		}
		return nil
	}
}
