// Failures: how an error becomes one message, a hint and an exit status.

package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"syscall"

	"swardline/cmd/internal/job"
	"swardline/convert/wire"
)

// Exit statuses, as the help says.
const (
	exitDone       = 0 // done, nothing at or above the threshold
	exitFindings   = 1 // findings at or above it, or loss under --strict
	exitUsage      = 2 // wrong usage
	exitUnreadable = 3 // an input could not be read, or the output not written
)

// errFindings ends a command whose result has been printed already.
var errFindings = errors.New("findings")

// reported is the error of a command that printed a report: what went wrong in
// it, else in printing, else its findings.
func reported(err, printing error, findings bool) error {
	switch {
	case err != nil:
		return err
	case printing != nil:
		return printing
	case findings:
		return errFindings
	}
	return nil
}

// statusOf gives the exit status of an error, exitDone for none.
func statusOf(err error) int {
	var f *job.Error
	var in *wire.InputError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.As(err, &f) && f.Asked:
		return exitUsage
	case errors.As(err, &f):
		return exitUnreadable
	case errors.As(err, &in):
		return exitUnreadable
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, fs.ErrPermission), isPathError(err):
		return exitUnreadable
	}
	return exitUsage
}

func isPathError(err error) bool {
	var p *fs.PathError
	return errors.As(err, &p)
}

// printFailure prints an error once, with its hint, on standard error.
func printFailure(w io.Writer, err error) {
	if err == nil || errors.Is(err, errFindings) {
		return
	}
	fmt.Fprintf(w, "%s: %s\n", program, job.OneLine(err.Error()))
	if hint := hintFor(err); hint != "" {
		fmt.Fprintf(w, "%s: %s\n", program, hint)
	}
}

func hintFor(err error) string {
	var f *job.Error
	if errors.As(err, &f) && f.Mend != "" {
		return f.Mend
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return hintNoFile
	case errors.Is(err, fs.ErrPermission):
		return hintNoPermission
	case errors.Is(err, syscall.ENOSPC):
		return hintDiskFull
	}
	return ""
}
