// Conversion part by part: what is too large to be held is read twice, first
// for what stands at the head of the output and what there is to tell, then to
// be moved and written.

package job

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// Rereader is a Store whose inputs can be read several times as streams, so
// that one need not be in memory whole.
type Rereader interface {
	// Reread returns the size of an input in bytes and what opens it at its
	// start. An input of less than least bytes is refused with wire.ErrWhole:
	// it is for Read, as is one that has more than most.
	Reread(name string, least, most float64) (open wire.Opening, size int64, err error)
	// Scratch returns a place for bytes that are wanted when they are complete.
	Scratch() (wire.Scratch, error)
}

// mostOpenTold is from how many open outlines on no more are told.
const mostOpenTold = 1000

// Tests lower these so that small files go in parts.
var (
	partsFrom    = 4e6 // bytes of a file from which on it is read in parts
	partFeatures = 4096
)

// inParts is Convert for an input that is too large to be held. The error is
// wire.ErrWhole, and nothing is noted, when all of it must be seen at once:
// where roles are given by a file or a plan is said in two ways, and whatever
// else convert.InParts or the formats name.
func (j *Job) inParts(o *ConvertOptions, format string, opts convert.WriteOptions, l schema.Limits) (*Converted, error) {
	store, ok := j.Store.(Rereader)
	if !ok || o.Held || o.Roles != "" || j.Plans[o.Source] != nil || convert.FormatByName(format).WriteParts == nil {
		return nil, wire.ErrWhole
	}
	open, size, err := store.Reread(o.Source, partsFrom, l.InputMaxBytes)
	if err != nil {
		return nil, wire.ErrWhole // the error comes again, from Read
	}
	notes, lost := len(j.Notes), len(j.lost)
	done, err := j.partly(o, store, open, size, format, opts, l)
	if errors.Is(err, wire.ErrWhole) {
		j.Notes, j.lost = j.Notes[:notes], j.lost[:lost]
		return nil, wire.ErrWhole
	}
	return done, err
}

// A flow is one conversion in parts.
type flow struct {
	j      *Job
	o      *ConvertOptions
	format string
	parts  *convert.Parts
	out    lateWriter
	writer wire.PartWriter
	plan   *schema.Plan // as read; some features stand for all
	before outside      // of all features as read
	open   []string     // outlines that are open as read, in words
	op     *crs.Operation
	moved  *schema.Plan // as written; plan when nothing is moved
	after  outside
	opts   convert.WriteOptions
	tell   func() // what there is to tell once all is moved
	err    error  // of a walk that had no other way to tell
}

// lateWriter is an output that is opened when its head is known.
type lateWriter struct{ io.Writer }

func (j *Job) partly(o *ConvertOptions, store Rereader, open wire.Opening, size int64, format string, opts convert.WriteOptions, l schema.Limits) (*Converted, error) {
	read, _, err := j.readOptions(o.Source, &o.Reading, l)
	if err != nil {
		return nil, err
	}
	w := &flow{j: j, o: o, format: format}
	var asides []wire.Scratch
	defer func() {
		for _, s := range asides {
			s.Close()
		}
	}()
	opts.Aside = func() (wire.Scratch, error) {
		s, err := store.Scratch()
		if err == nil {
			asides = append(asides, s)
		}
		return s, err
	}
	if w.parts, err = convert.InParts(open, size, read, partFeatures); err != nil {
		return nil, err
	}
	if err := w.look(opts); err != nil {
		return nil, err
	}
	if w.plan.Attributes.Has(schema.PlanHistory) {
		return nil, wire.ErrWhole // it is said in two ways
	}
	target, err := j.wantedSystem(w.plan, o.To, format)
	if err != nil {
		return nil, err
	}
	w.moved = w.plan
	if target != nil {
		w.op, err = j.steps(w.plan, target, o.ToEpoch, &o.Moving, l, func() outside { return w.before })
	}
	if err == nil && w.op != nil {
		if w.moved, err = w.plan.Transform(w.op); err != nil {
			// One of those that stand for all; which is the first of all shows
			// on the way.
			err = w.each(nil)
		}
	}
	if err = errors.Join(w.err, err); err != nil {
		return nil, err
	}
	var aside wire.Scratch
	if o.Target == "-" {
		if aside, err = store.Scratch(); err != nil {
			return nil, err
		}
		defer aside.Close()
	}
	// Told behind what the move comes to, which shows on the way.
	before := len(j.Notes)
	if err := j.beside(w.moved, format, &opts, &o.Moving, l); err != nil || w.err != nil {
		return nil, errors.Join(err, w.err)
	}
	besides := slices.Clone(j.Notes[before:])
	j.Notes = j.Notes[:before]
	opts.ViewerNote = viewerNote(w.moved, format)
	w.opts, w.tell = opts, func() {
		if w.op != nil {
			j.tellMoved(w.moved, w.op, target, w.after)
		}
		j.Notes = append(j.Notes, besides...)
	}
	written := false
	done, err := j.writeBy(w.moved, o.Target, format, o.LossFile, o.Strict, aside, func(out io.Writer) ([]wire.Loss, error) {
		written = true
		return w.write(out)
	})
	if !written && err != nil && w.each(nil) == nil {
		w.tell() // there is no output to be had, but this all the same
	}
	return done, err
}

// look reads the file for the first time.
func (w *flow) look(opts convert.WriteOptions) error {
	type item struct {
		head     *schema.Plan
		features []*schema.Feature // nil where the file is begun again
	}
	var warnings []wire.Warning
	counted := w.o.To != "" || w.o.ToEpoch != 0 || convert.FormatByName(w.format).WGS84Only
	err := inTurn(func(put func(item) error) (err error) {
		w.plan, warnings, err = w.parts.Walk(func() error { return put(item{}) }, func(head *schema.Plan, features []*schema.Feature) error {
			return put(item{head, features})
		}, func(err error) { w.err = err })
		return err
	}, func(i item) (err error) {
		if i.features == nil {
			w.before, w.open = outside{}, nil
			w.writer, err = convert.NewPartWriter(&w.out, w.format, opts)
			return err
		}
		w.writer.Note(i.features)
		for _, f := range i.features {
			if len(w.open) < mostOpenTold {
				w.open = append(w.open, schema.OpenOutlines(f)...)
			}
		}
		if counted && i.head.CRS != nil {
			w.before.add(i.head, i.features)
		}
		return nil
	})
	if err != nil {
		return err
	}
	w.plan.Left = append(slices.Clip(w.plan.Left), w.open...)
	w.j.warn(w.o.Source, warnings)
	w.j.warnStretch(w.plan)
	runtime.GC() // a long track is held, and what it was made of is not wanted any more
	return nil
}

// write reads the file again, and moves and writes it. A point that cannot be
// moved comes before anything that cannot be written, as it does where all is
// moved first.
func (w *flow) write(out io.Writer) ([]wire.Loss, error) {
	w.out.Writer = out
	unwritten := w.writer.Begin(w.moved, w.opts)
	if err := errors.Join(w.err, w.each(func(features []*schema.Feature) {
		if unwritten == nil {
			unwritten = w.writer.Part(features)
		}
	})); err != nil {
		return nil, err
	}
	w.tell()
	if unwritten != nil {
		return nil, unwritten
	}
	return w.writer.End()
}

// unfinished is an error on the way to an output, of which nothing is to be
// told but that.
type unfinished struct{ error }

func (e *unfinished) Unwrap() error { return e.error }

// each gives the features as they are to be written to do, nil for nobody. The
// error is of type *unfinished.
func (w *flow) each(do func([]*schema.Feature)) error {
	n := 0
	w.after = outside{}
	err := inTurn(w.parts.Again, func(features []*schema.Feature) error {
		for i, f := range features {
			if w.op == nil {
				break
			}
			g, err := w.plan.TransformFeature(w.op, f)
			if err != nil {
				return unmoved(w.plan, fmt.Errorf("feature %d (%s): %w", n+i+1, f.Label(), err))
			}
			features[i] = g
		}
		if w.op != nil && w.moved != nil {
			w.after.add(w.moved, features)
		}
		n += len(features)
		if do != nil {
			do(features)
		}
		return nil
	})
	if err != nil {
		return &unfinished{err}
	}
	return nil
}

var errStopped = errors.New("stopped")

// inTurn takes what is given in the same order, at the same time: while one is
// taken the next is made. The error is the first of take, else that of give.
func inTurn[T any](give func(put func(T) error) error, take func(T) error) error {
	items, stop, end := make(chan T, 1), make(chan struct{}), make(chan error, 1)
	go func() {
		err := give(func(item T) error {
			select {
			case items <- item:
				return nil
			case <-stop:
				return errStopped
			}
		})
		close(items)
		end <- err
	}()
	for item := range items {
		if err := take(item); err != nil {
			close(stop)
			for range items { // until it has stopped
			}
			<-end
			return err
		}
	}
	return <-end
}
