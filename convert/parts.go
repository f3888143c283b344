// Files that are read part by part, because they are too large to be held.

package convert

import (
	"bytes"
	"errors"
	"io"
	"iter"
	"slices"

	"swardline/convert/wire"
	"swardline/schema"
)

// Parts is a file that is read part by part, as often as is asked for.
type Parts struct {
	o      ReadOptions
	format *Format
	source wire.PartSource
	marked bool // the file starts with a byte-order mark
	n      int  // features on the last walk
	// only are the features of a file that is one part, such as one long track:
	// they are in memory anyway, and reading them again would double that.
	only []*schema.Feature
}

var mark = []byte("\xef\xbb\xbf")

// InParts opens a file of some size in bytes to be read in parts of some
// features each. The error is wire.ErrWhole for one that must be read whole: of
// a format, in an encoding or with a fault that only Read knows what to make
// of.
func InParts(open wire.Opening, size int64, o ReadOptions, features int) (*Parts, error) {
	if o.Encoding != "" || float64(size) > o.Caps().InputMaxBytes {
		return nil, wire.ErrWhole
	}
	f, err := open()
	if err != nil {
		return nil, err
	}
	defer f.Close()
	head := make([]byte, HeadBytes)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.ErrUnexpectedEOF {
		return nil, wire.ErrWhole
	}
	head = head[:n]
	p := &Parts{o: o, marked: bytes.HasPrefix(head, mark)}
	if p.marked {
		head = head[len(mark):]
	}
	if head[0] >= 0xfe {
		return nil, wire.ErrWhole
	}
	if o.Format != "" {
		p.format = FormatByName(o.Format)
	} else if p.format, err = DetectFormat(o.Name, head); err != nil {
		return nil, wire.ErrWhole
	}
	if p.format == nil || p.format.ReadParts == nil || bytes.IndexByte(head, 0) >= 0 && !p.format.Binary || p.marked && p.format.Binary {
		return nil, wire.ErrWhole
	}
	p.source = p.format.ReadParts(func() (io.ReadCloser, error) {
		f, err := open()
		if err == nil && p.marked {
			_, err = io.CopyN(io.Discard, f, int64(len(mark)))
		}
		return f, err
	}, o.ReadOptions, features)
	return p, nil
}

// Walk gives the features to take, in order and part by part. begin is called
// when they start, again when something is found out that holds from the start:
// what was taken before is then to be forgotten. The plan that comes back is as
// Read gives it, but that it holds some features that stand for all; all walks
// the file again for them, with errors told to fail. Errors are Read's,
// wire.ErrWhole, and take's.
func (p *Parts) Walk(begin func() error, take func(head *schema.Plan, features []*schema.Feature) error, fail func(error)) (*schema.Plan, []Warning, error) {
	const mostWalks = 5 // of which each finds out one thing at least
	for range mostWalks {
		if err := begin(); err != nil {
			return nil, nil, err
		}
		plan, warnings, err := p.walk(take, fail)
		if !errors.Is(err, wire.ErrAgain) {
			if err != nil && !errors.Is(err, wire.ErrWhole) {
				var in *InputError
				if errors.As(err, &in) {
					err = AsInputError(err, p.o.Name)
				}
			}
			return plan, warnings, err
		}
	}
	return nil, nil, wire.ErrWhole
}

func (p *Parts) walk(take func(*schema.Plan, []*schema.Feature) error, fail func(error)) (*schema.Plan, []Warning, error) {
	var t, words wire.Tally
	var picked schema.Selection
	var head *schema.Plan
	p.n, p.only = 0, nil
	plan, warnings, err := p.source.Walk(func(early *schema.Plan, features []*schema.Feature) error {
		if head == nil {
			head = early
			head.SplitHeights() // of the members those that name no CRS come at the end
		}
		if p.only = nil; p.n == 0 {
			p.only = slices.Clone(features)
		}
		p.n += len(features)
		settle(head, features, &words)
		if err := picked.Add(head, features); err != nil {
			return wire.ErrWhole
		}
		return take(head, features)
	})
	if err != nil {
		return nil, nil, err
	}
	if p.marked {
		t.Add("byte-order-mark", 1, "", "the file starts with a byte-order mark; it was taken off")
	}
	picked.Stand(plan, p.all(fail))
	if err := told(plan, p.format, &p.o, &t); err != nil {
		return nil, nil, err
	}
	if p.n == 0 {
		noFeatures(&t)
	}
	t.Merge(&words)
	warnings = append(t.Warnings(), warnings...)
	heed(plan, warnings)
	return plan, warnings, nil
}

// errEnough ends a walk.
var errEnough = errors.New("enough")

// all walks the features of a file that was walked before.
func (p *Parts) all(fail func(error)) iter.Seq[*schema.Feature] {
	return func(yield func(*schema.Feature) bool) {
		err := p.Again(func(features []*schema.Feature) error {
			for _, f := range features {
				if !yield(f) {
					return errEnough
				}
			}
			return nil
		})
		if err != nil && !errors.Is(err, errEnough) {
			fail(err)
		}
	}
}

// Again gives the features once more, after a Walk.
func (p *Parts) Again(take func(features []*schema.Feature) error) error {
	if p.only != nil {
		return take(slices.Clone(p.only))
	}
	var head *schema.Plan
	var t wire.Tally
	_, _, err := p.source.Walk(func(early *schema.Plan, features []*schema.Feature) error {
		if head == nil {
			head = early
			head.SplitHeights()
		}
		settle(head, features, &t)
		return take(features)
	})
	return err
}

// NewPartWriter is Write for a plan in parts; the error is wire.ErrWhole for a
// format that is written whole.
func NewPartWriter(w io.Writer, format string, o WriteOptions) (wire.PartWriter, error) {
	f := FormatByName(format)
	if f == nil || f.WriteParts == nil {
		return nil, wire.ErrWhole
	}
	writer, err := f.WriteParts(w, o)
	if err != nil {
		return nil, err
	}
	return &besideWriter{PartWriter: writer}, nil
}

// besideWriter writes what a plan's file said beside it as Write does.
type besideWriter struct {
	wire.PartWriter
	told []Loss
}

// Begin implements wire.PartWriter.
func (w *besideWriter) Begin(p *schema.Plan, o wire.WriteOptions) error {
	p, w.told = withBeside(p)
	return w.PartWriter.Begin(p, o)
}

// End implements wire.PartWriter.
func (w *besideWriter) End() ([]Loss, error) {
	losses, err := w.PartWriter.End()
	if err != nil {
		return losses, err
	}
	return append(w.told, losses...), nil
}
