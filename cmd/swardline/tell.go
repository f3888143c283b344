// Notes of a job, on standard error.

package main

import (
	"fmt"
	"io"

	"swardline/cmd/internal/job"
)

func tell(w io.Writer, notes []job.Note) {
	for _, n := range notes {
		at, times := n.File, ""
		if n.Line > 0 {
			at = fmt.Sprintf("%s:%d", n.File, n.Line)
		}
		if at != "" {
			at += ": "
		}
		if n.Count > 1 {
			times = fmt.Sprintf(" (total %d)", n.Count)
		}
		at, message := job.OneLine(at), job.OneLine(n.Message)
		switch n.Kind {
		case job.NoteRoles:
			io.WriteString(w, job.Printable(n.Message))
		case job.NoteLoss:
			fmt.Fprintf(w, "%s: %slost: %s (%d): %s\n", program, at, n.Code, n.Count, message)
		case job.NoteStep:
			fmt.Fprintf(w, "%s:   %s\n", program, message)
		case job.NoteOperation, job.NoteOutput:
			fmt.Fprintf(w, "%s: %s\n", program, message)
		default:
			fmt.Fprintf(w, "%s: %s: %s%s%s\n", program, n.Kind, at, message, times)
		}
	}
}
