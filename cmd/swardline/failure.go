// Failures: how an error becomes one message, a hint and an exit status.

package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"syscall"

	"swardline/convert/wire"
)

// Exit statuses, as the help says.
const (
	exitDone       = 0 // done, nothing at or above the threshold
	exitFindings   = 1 // findings at or above it, or loss under --strict
	exitUsage      = 2 // wrong usage
	exitUnreadable = 3 // an input could not be read, or the output not written
)

// failure is an error with its exit status and, often, a next step.
type failure struct {
	status int
	err    error
	hint   string
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// usageError is for what the user typed.
func usageError(hint, format string, args ...any) error {
	return &failure{exitUsage, fmt.Errorf(format, args...), hint}
}

// inputError is for what a file held.
func inputError(hint, format string, args ...any) error {
	return &failure{exitUnreadable, fmt.Errorf(format, args...), hint}
}

// errFindings ends a command whose result has been printed already.
var errFindings = errors.New("findings")

// statusOf gives the exit status of an error, exitDone for none.
func statusOf(err error) int {
	var f *failure
	var in *wire.InputError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.As(err, &f):
		return f.status
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
	fmt.Fprintf(w, "%s: %s\n", program, oneLine(err.Error()))
	if hint := hintFor(err); hint != "" {
		fmt.Fprintf(w, "%s: %s\n", program, hint)
	}
}

func hintFor(err error) string {
	var f *failure
	if errors.As(err, &f) && f.hint != "" {
		return f.hint
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

// oneLine keeps a message on one line and free of control characters, which a
// hostile file could use to write over the terminal.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' || r == '\r' {
			return ' '
		}
		return r
	}, printable(s))
}

// printable replaces control characters other than line ends and tabs.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return r
		case r == '\r':
			return '\n'
		case r < 0x20 || r == 0x7f || r >= 0x80 && r < 0xa0:
			return '\uFFFD'
		}
		return r
	}, s)
}
