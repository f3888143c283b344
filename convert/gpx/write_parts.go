// Writing in parts: GPX wants all waypoints first, then routes, then tracks, and
// what has no vertex in the end. The sections are written side by side, all but
// the first aside, and joined when they are whole.

package gpx

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"swardline/convert/wire"
	"swardline/schema"
)

// file is a GPX file on its way.
type file struct {
	w        io.Writer
	sections [4]writer // waypoints, routes, tracks, and what has no vertex
	asides   [4]aside
	before   int // features written before the part in hand
}

// NewWriter is Write for a plan in parts.
func NewWriter(w io.Writer, _ wire.WriteOptions) (wire.PartWriter, error) { return &file{w: w}, nil }

// Note implements wire.PartWriter: nothing at the head of a GPX hangs on the
// features.
func (f *file) Note([]*schema.Feature) {}

// Begin implements wire.PartWriter.
func (f *file) Begin(p *schema.Plan, o wire.WriteOptions) error {
	switch {
	case p.CRS == nil:
		return errors.New("GPX holds WGS 84 degrees only, and the plan's CRS is not known; say which it is, and transform the plan to OGC:CRS84")
	case !sameAsGPX(p.CRS):
		return fmt.Errorf("GPX holds WGS 84 degrees only, and the plan is in %s; transform it to OGC:CRS84 first", p.CRS.ID())
	}
	for k := range f.sections {
		e := &f.sections[k]
		f.asides[k].open = o.Aside
		e.plan, e.w = p, &f.asides[k]
		e.section = [...]func(int, *schema.Feature){e.waypoints, e.routes, e.tracks, e.rootFeature}[k]
	}
	first := &f.sections[0]
	first.w = f.w
	first.put(header)
	first.metadata()
	return first.err
}

// Part implements wire.PartWriter. An error of a later section waits for the
// end: one of an earlier section may come before it.
func (f *file) Part(features []*schema.Feature) error {
	for i, feature := range features {
		for k := range f.sections {
			e := &f.sections[k]
			if e.section(f.before+i, feature); e.err != nil {
				break
			}
		}
	}
	f.before += len(features)
	return f.sections[0].err
}

// End implements wire.PartWriter.
func (f *file) End() ([]wire.Loss, error) {
	var t wire.Tally
	last := &f.sections[len(f.sections)-1]
	last.closeRoot()
	last.put("</gpx>\n")
	for k := range f.sections {
		e := &f.sections[k]
		if e.err != nil {
			return nil, e.err
		}
		if err := f.asides[k].copyTo(f.w); err != nil {
			return nil, err
		}
		e.w = f.w
		if e.flush(); e.err != nil {
			return nil, e.err
		}
		t.Merge(&e.tally)
	}
	return t.Losses(), nil
}

// aside is where a section waits. It is opened when there is something to keep.
type aside struct {
	open func() (wire.Scratch, error)
	kept wire.Scratch
}

// Write implements io.Writer.
func (a *aside) Write(b []byte) (n int, err error) {
	if a.kept == nil {
		if a.open == nil {
			a.kept = wire.MemoryScratch{Buffer: &bytes.Buffer{}}
		} else if a.kept, err = a.open(); err != nil {
			return 0, err
		}
	}
	return a.kept.Write(b)
}

func (a *aside) copyTo(w io.Writer) error {
	if a.kept == nil {
		return nil
	}
	_, err := a.kept.WriteTo(w)
	return err
}
