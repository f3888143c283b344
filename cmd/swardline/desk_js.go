// swardline desk where there is no server: the page has its engine in it.

package main

import (
	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
)

func newDeskCmd(streams) *cobra.Command {
	cmd := command("desk [FILE...]", deskWords, nil)
	cmd.RunE = func(*cobra.Command, []string) error {
		return job.Refuse("open the page in a browser", "js/wasm has no server")
	}
	return cmd
}
