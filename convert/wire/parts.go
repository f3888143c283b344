// Plans in parts: what lets a file be converted that is too large to be held.

package wire

import (
	"bytes"
	"errors"
	"io"

	"swardline/schema"
)

// A PartWriter writes a plan whose features come part by part. Every feature is
// given twice: to Note before Begin, and to Part after it, in the same order
// both times. The coordinates may have been moved in between, and nothing else.
type PartWriter interface {
	// Note looks at features for what stands at the head of the file.
	Note(features []*schema.Feature)
	// Begin starts the file with what the plan is beside its features, which it
	// need not hold: those that it holds stand for the others. The options are
	// those that the writer was made with, and what was found out since.
	Begin(p *schema.Plan, o WriteOptions) error
	// Part writes features.
	Part(features []*schema.Feature) error
	// End ends the file and returns what it could not hold. The file is whole
	// then, and not before.
	End() ([]Loss, error)
}

// Scratch is a place for bytes that are wanted later. WriteTo gives all of them.
type Scratch interface {
	io.Writer
	io.WriterTo
	io.Closer
}

// MemoryScratch is a Scratch in memory.
type MemoryScratch struct{ *bytes.Buffer }

// Close implements io.Closer.
func (MemoryScratch) Close() error { return nil }

// WriteParts writes a plan that is held whole, as one part.
func WriteParts(w PartWriter, p *schema.Plan, o WriteOptions) ([]Loss, error) {
	w.Note(p.Features)
	if err := w.Begin(p, o); err != nil {
		return nil, err
	}
	if err := w.Part(p.Features); err != nil {
		return nil, err
	}
	return w.End()
}

// A PartSource is a file that is read part by part, each time from its start.
type PartSource interface {
	// Walk gives the features to take, in order, in parts of which none is
	// empty. What the plan is beside its features comes back at the end; head
	// is that as far as it was known before the first part. Features are
	// settled by head: where the plan that comes back is in another system,
	// they are so only on the next Walk. Errors are those of the format's Read,
	// ErrWhole, and take's.
	Walk(take func(head *schema.Plan, features []*schema.Feature) error) (*schema.Plan, []Warning, error)
}

// ErrWhole says that a file cannot be read in parts, because something in it
// depends on all of it: it must be read whole.
var ErrWhole = errors.New("the file must be read whole")

// Opening opens a file, or another copy of a stream, at its start. What can be
// read anywhere is an io.ReaderAt and an io.Seeker too.
type Opening func() (io.ReadCloser, error)

// ErrAgain says that something was found out on a walk that holds from its
// start: what it gave is to be forgotten, and the file walked again.
var ErrAgain = errors.New("the file must be walked again")
