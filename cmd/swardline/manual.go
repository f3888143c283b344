// The manual pages, from the words of the help. Only the builder of the
// archives has this command: it brings a library that nobody needs at work.

//go:build manual

package main

import (
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"swardline/cmd/internal/job"
)

func init() { extraCommands = append(extraCommands, newManualCmd) }

func newManualCmd(s streams) *cobra.Command {
	return &cobra.Command{
		Use: "manual DIR", Hidden: true, Args: exactly(1, "a DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			day := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC) // the same bytes from every build
			head := &doc.GenManHeader{Section: "1", Source: program + " " + job.Version, Manual: "swardline", Date: &day}
			root := cmd.Root()
			root.DisableAutoGenTag = true
			return doc.GenManTree(root, head, args[0])
		},
	}
}
