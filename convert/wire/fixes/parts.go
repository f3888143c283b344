// Logs that are too large to be held. The line that a log makes is one feature,
// and held; the text is not.

package fixes

import (
	"bytes"
	"errors"

	"swardline/convert/wire"
	"swardline/schema"
)

// windowBytes is the least that a window holds. Tests make it small.
var windowBytes = 256 << 10

// NewSource makes a log without a byte-order mark one that is read line by line.
func NewSource(open wire.Opening, o wire.ReadOptions, format string, log NewLog) wire.PartSource {
	return &source{open: open, o: o, format: format, log: log}
}

// source is a log, and its plan once it was read.
type source struct {
	open     wire.Opening
	o        wire.ReadOptions
	format   string
	log      NewLog
	plan     *schema.Plan
	warnings []wire.Warning
}

// Walk implements wire.PartSource.
func (s *source) Walk(take func(*schema.Plan, []*schema.Feature) error) (*schema.Plan, []wire.Warning, error) {
	if s.plan == nil {
		if err := s.read(); err != nil {
			return nil, nil, err
		}
	}
	head, rest := *s.plan, *s.plan
	head.Features, rest.Features = nil, nil
	if err := take(&head, []*schema.Feature{s.plan.Features[0]}); err != nil {
		return nil, nil, err
	}
	return &rest, s.warnings, nil
}

func (s *source) read() error {
	f, err := s.open()
	if err != nil {
		return err
	}
	w := &wire.Window{From: f, Least: windowBytes, Unchecked: true, AnyBytes: true}
	defer w.Close()
	var t wire.Tally
	c := newCollector(&s.o)
	if err := lines(w, s.log(&t, c.take)); err != nil {
		if errors.Is(err, wire.ErrWhole) {
			return err
		}
		return w.TextFirst(named(err, s.o.Name))
	}
	p, err := c.plan(s.format, &t)
	if err != nil {
		return err
	}
	s.plan, s.warnings = p, t.Warnings()
	return nil
}

// lines is Lines for what comes through a window.
func lines(w *wire.Window, l Log) error {
	var left []byte
	n, blank := 0, true
	for w.GoesOn() {
		data, err := w.Fill(left)
		if err != nil {
			return err
		}
		for {
			end := bytes.IndexByte(data, '\n')
			if end < 0 && (w.GoesOn() || len(data) == 0) {
				break
			}
			line := data
			if data = nil; end >= 0 {
				line, data = line[:end], line[end+1:]
			}
			n++
			blank = blank && len(bytes.TrimSpace(line)) == 0
			if err := l.Line(line, n); err != nil {
				return err
			}
		}
		left = data
	}
	if blank {
		return wire.ErrWhole // a file of blanks is told of as such
	}
	return l.Close()
}
