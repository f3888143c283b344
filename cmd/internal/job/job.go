// Package job is what each command does: reading, converting, checking,
// mending, placing, drifting, drawing and looking up reference systems, as
// methods over plain options. It knows no flags, no streams, no exit status and
// no terminal, so that a command line, a local server and a worker in a browser
// are three thin shells over it. It composes what the rooms below compute.
//
// A shell makes a Job for each run, with a Store that holds its files, calls
// one method, and shows the result and Job.Notes, which are complete even where
// the method ends with an error:
//
//	files := job.Memory{In: []job.File{{Name: "plan.geojson", Bytes: data}}}
//	j := job.Job{Store: &files}
//	done, err := j.Check(ctx, &job.CheckOptions{Files: []string{"plan.geojson"}})
package job

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"time"

	"swardline/convert/wire"
	"swardline/schema"
)

// What goes into every output, whichever shell made it.
const (
	// Program is the name of the program.
	Program = "swardline"
	// Version is its version.
	Version = "0.1.0"
	// Caution stands on every sheet, page and report.
	Caution = `Blades, children and animals, water, roads, slopes, mains electricity and work at
height can hurt people. What swardline prints is a check of drawings against
stated limits. Local codes, the machine's own manual and licensed trades decide;
walk the ground before a machine drives it.`
)

// Store is where a job finds its inputs and leaves its outputs, by names that
// mean something to the shell.
type Store interface {
	// Read returns the whole content of an input. One of more than most bytes
	// is refused. An input that is not there is an error for which
	// errors.Is(err, fs.ErrNotExist) holds.
	Read(name string, most float64) ([]byte, error)
	// Write lets fill write an output. It is there when all of it is, or not at
	// all; an error of fill is returned as it is.
	Write(name string, fill func(io.Writer) error) error
}

// File is a file in memory.
type File struct {
	Name  string
	Bytes []byte
}

// Memory is a Store in memory.
type Memory struct {
	In  []File
	Out []File // in the order in which they were first written
}

// Read implements Store.
func (m *Memory) Read(name string, most float64) ([]byte, error) {
	for _, f := range m.In {
		if f.Name != name {
			continue
		}
		if float64(len(f.Bytes)) > most {
			return nil, &wire.InputError{File: name, Problem: fmt.Sprintf("the file has %d bytes; the limit input_max_bytes is %.0f", len(f.Bytes), most),
				Mend: "split it, or raise the limit in a limits file"}
		}
		return f.Bytes, nil
	}
	return nil, &fs.PathError{Op: "read", Path: name, Err: fs.ErrNotExist}
}

// Write implements Store. A file written again takes the place of the first.
func (m *Memory) Write(name string, fill func(io.Writer) error) error {
	var b bytes.Buffer
	if err := fill(&b); err != nil {
		return err
	}
	for i := range m.Out {
		if m.Out[i].Name == name {
			m.Out[i].Bytes = b.Bytes()
			return nil
		}
	}
	m.Out = append(m.Out, File{name, b.Bytes()})
	return nil
}

// Job is one run.
type Job struct {
	// Store holds the files.
	Store Store
	// Plans are inputs that the shell has in memory as plans, by name; such a
	// name is not looked for in Store, and roles and what was told of a file do
	// not touch them again.
	Plans map[string]*schema.Plan
	// Option says how the shell's users know an option by that name, such as
	// "--to" for "to"; nil for the name as it is.
	Option func(name string) string
	// Command says how the shell's users reach what the command line would call
	// by these words, such as "crs list WORD"; nil for the words in quotes.
	Command func(words string) string
	// Progress is told how many plans of many are done, from several
	// goroutines; nil for nobody.
	Progress func(done, all int)
	// Notes are what there was to tell on the way, in order.
	Notes []Note

	lost []wire.Loss // what was not read of the inputs
}

// NoteKind is what a Note is.
type NoteKind string

// The kinds of notes.
const (
	NoteWarning   NoteKind = "warning"   // taken in stride, and not as it should be
	NoteRemark    NoteKind = "note"      // good to know
	NoteLoss      NoteKind = "lost"      // what an output could not hold
	NoteOperation NoteKind = "operation" // from which reference system to which
	NoteStep      NoteKind = "step"      // how, and how well
	NoteRoles     NoteKind = "roles"     // which names became which roles; several lines
	NoteOutput    NoteKind = "output"    // a further file that was written
)

// Note is one thing to tell.
type Note struct {
	Kind    NoteKind
	File    string // "" for none
	Line    int    // 0 for none
	Count   int    // how many times; 0 for once
	Code    string // kind of warning or loss, such as "curves"
	Message string
}

func (j *Job) note(kind NoteKind, file, format string, args ...any) {
	j.Notes = append(j.Notes, Note{Kind: kind, File: file, Message: fmt.Sprintf(format, args...)})
}

func (j *Job) warn(file string, warnings []wire.Warning) {
	for _, w := range warnings {
		if w.Step() {
			j.note(NoteOperation, "", "%s: %s", file, w.Message)
			continue
		}
		if w.Lost() {
			j.lost = append(j.lost, wire.Loss{Kind: w.Kind, Count: w.Count, Message: fmt.Sprintf("%s: %s", place(file, w.Line), w.Message), Reading: true})
			j.Notes = append(j.Notes, Note{Kind: NoteLoss, File: file, Line: w.Line, Count: w.Count, Code: w.Kind, Message: "not read: " + w.Message})
			continue
		}
		j.Notes = append(j.Notes, Note{Kind: NoteWarning, File: file, Line: w.Line, Count: w.Count, Code: w.Kind, Message: w.Message})
	}
}

func (j *Job) lose(file string, losses []wire.Loss) {
	for _, l := range losses {
		if l.Note {
			j.Notes = append(j.Notes, Note{Kind: NoteRemark, File: file, Count: l.Count, Code: l.Kind, Message: l.Message})
			continue
		}
		j.Notes = append(j.Notes, Note{Kind: NoteLoss, File: file, Count: l.Count, Code: l.Kind, Message: l.Message})
	}
}

// place says where in a file.
func place(file string, line int) string {
	if line == 0 {
		return file
	}
	return fmt.Sprintf("%s:%d", file, line)
}

// aside is a job like j with notes of its own, for work beside others.
func (j *Job) aside() *Job {
	out := *j
	out.Notes, out.Progress, out.lost = nil, nil, nil
	return &out
}

func (j *Job) option(name string) string {
	if j.Option == nil {
		return name
	}
	return j.Option(name)
}

func (j *Job) command(words string) string {
	if j.Command == nil {
		return "'" + words + "'"
	}
	return j.Command(words)
}

// Error is why a job ended. Errors of other types come from the Store, or are a
// *wire.InputError.
type Error struct {
	// Asked is true when what was asked for is wrong, false when a file is.
	Asked bool
	Err   error
	// Mend says what to do; "" where the error says it already.
	Mend string
}

func (e *Error) Error() string { return e.Err.Error() }
func (e *Error) Unwrap() error { return e.Err }

// Refuse is an error in what was asked for, with what to do.
func Refuse(mend, format string, args ...any) error {
	return &Error{true, fmt.Errorf(format, args...), mend}
}

// Fault is an error in what a file held, with what to do.
func Fault(mend, format string, args ...any) error {
	return &Error{false, fmt.Errorf(format, args...), mend}
}

// day gives a date as it is written, today's for "".
func (j *Job) day(text string) (string, error) {
	if text == "" {
		return time.Now().Format(time.DateOnly), nil
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return "", Refuse("such as 2026-05-31", "%s %q is no date", j.option("date"), text)
	}
	return text, nil
}

// OneLine keeps a message on one line and free of control characters, which a
// hostile file could use to write over what is around it.
func OneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' {
			return ' '
		}
		return r
	}, Printable(s))
}

// Printable replaces control characters other than line ends and tabs.
func Printable(s string) string {
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
