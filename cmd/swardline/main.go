// Command swardline reads site plans of machine-mown ground, places them,
// checks them, hands them over and keeps them true.
//
// This folder holds the command line and nothing else: one file a command,
// which binds flags to the options of a job and prints its result; the words of
// the help in words.go, errors and exit statuses in failure.go. What a command
// does is in cmd/internal/job.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() { os.Exit(run()) }

// run is main without the exit, so that deferred work is done and tests can
// call it in their own process.
func run() int {
	ignoreClosedPipe()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	// The first signal asks for an orderly end; a second one ends at once.
	context.AfterFunc(ctx, stop)
	return execute(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr})
}
