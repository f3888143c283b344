// A reader that goes away, on systems that send a signal for it.

//go:build !js

package main

import (
	"os/signal"
	"syscall"
)

// ignoreClosedPipe makes a reader that goes away (swardline ... | head) an
// error to report, not a signal to die of.
func ignoreClosedPipe() { signal.Ignore(syscall.SIGPIPE) }
