// Lists in parts: rows through a window on the file, features given away as they
// are whole.

package csv

import (
	"bytes"
	"errors"
	"io"
	"unicode/utf8"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// headBytes is what is looked at to find out how a list is cut.
const headBytes = 1 << 20

// windowBytes is the least that a window holds.
const windowBytes = 256 << 10

// partPoints is how many points make a part, however few features they are.
const partPoints = 1 << 16

// NewSource makes a list in UTF-8 without a byte-order mark one that is read in
// parts of some features each.
func NewSource(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource {
	return &source{open: open, o: o, size: features, manner: pointManner}
}

// source is a list and what was found out about it on the walks before.
type source struct {
	open    wire.Opening
	o       wire.ReadOptions
	size    int
	checked bool // it is UTF-8 all through
	manner  manner
	settled bool // crs is known
	crs     *crs.CRS
	turned  bool // columns count west and south
	swap    bool
}

// Walk implements wire.PartSource.
func (s *source) Walk(take func(*schema.Plan, []*schema.Feature) error) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	r := &reader{o: s.o, caps: s.o.Caps(), manner: s.manner, scale: 1, heightScale: 1}
	skip, err := s.head(r, &t)
	if err != nil {
		return nil, nil, err
	}
	r.parts = &parts{source: s, take: take}
	rows, err := s.rows(r, skip)
	if err != nil {
		return nil, nil, err
	}
	defer rows.more.close()
	err = r.readAll(rows)
	switch {
	case errors.Is(err, errAnotherManner):
		again, err := s.rows(r, skip)
		if err != nil {
			return nil, nil, err
		}
		defer again.more.close()
		if s.manner, err = decideManner(again, r.coordinateCells); err != nil {
			return nil, nil, again.more.textFirst(err)
		}
		return nil, nil, wire.ErrAgain
	case err != nil:
		return nil, nil, rows.more.textFirst(err)
	}
	s.checked = true
	if !s.settled || !sameCRS(s.crs, r.plan.CRS) || r.parts.again {
		guess := s.crs
		s.settled, s.crs = true, r.plan.CRS
		if !sameCRS(guess, s.crs) || r.parts.again {
			return nil, nil, wire.ErrAgain
		}
	}
	r.plan.Features = nil
	return r.plan, append(t.Warnings(), r.tally.Warnings()...), nil
}

func sameCRS(a, b *crs.CRS) bool { return a == b || a != nil && b != nil && a.Equal(b) }

// head looks at the beginning of the file. skip is where its header starts.
func (s *source) head(r *reader, t *wire.Tally) (skip int, err error) {
	f, err := s.open()
	if err != nil {
		return 0, err
	}
	defer f.Close()
	head := make([]byte, headBytes)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.ErrUnexpectedEOF && err != io.EOF {
		return 0, err
	}
	whole := err != nil
	head = head[:n]
	if !whole {
		head = head[:bytes.LastIndexByte(head, '\n')+1]
	}
	rest, err := r.start(head, t)
	if err != nil || !whole && (r.cut || len(rest) < headBytes/2) {
		return 0, wire.ErrWhole // which sees all of it, and says what is wrong
	}
	if !s.settled {
		s.crs = s.guess(r, rest)
	}
	return len(head) - len(rest), nil
}

// guess is what system the file is likely in, by its first rows.
func (s *source) guess(r *reader, rest []byte) *crs.CRS {
	switch {
	case s.o.CRS != nil:
		return s.o.CRS
	case r.lay.at[colCRS] >= 0:
		rows := r.rewound(rest)
		for range 50 {
			if ok, err := rows.row(); !ok || err != nil {
				break
			}
			if i := r.lay.at[colCRS]; i < len(rows.cells) && len(rows.cells[i].text) > 0 {
				if c, err := parseCRS(string(rows.cells[i].text)); err == nil {
					return c
				}
			}
		}
	}
	if r.lay.degrees {
		return crs.WGS84()
	}
	return nil
}

// rows opens the file at its first data row.
func (s *source) rows(r *reader, skip int) (*records, error) {
	f, err := s.open()
	if err != nil {
		return nil, err
	}
	w := &window{from: f, unchecked: !s.checked}
	data, err := w.fill(nil)
	for ; err == nil && len(data) < skip && w.goesOn(); data, err = w.fill(data) {
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	rows := newRecords(data[skip:], r.o.Name, r.delim)
	rows.more = w
	return r.behindHeader(rows), nil
}

// window reads a file bit by bit.
type window struct {
	from      io.ReadCloser
	end       bool
	unchecked bool   // bytes are to be held to UTF-8
	tail      []byte // the start of a character at the end of what was read
	buf       [2][]byte
}

func (w *window) goesOn() bool { return !w.end }

func (w *window) close() { w.from.Close() }

// fill returns what is left of the last window with more behind it.
func (w *window) fill(left []byte) ([]byte, error) {
	// What is left stands in one of the two buffers: the other one is free.
	size := len(left) + max(windowBytes, len(left))
	w.buf[0], w.buf[1] = w.buf[1], w.buf[0]
	if cap(w.buf[0]) < size {
		w.buf[0] = make([]byte, size)
	}
	b := w.buf[0][:size]
	copy(b, left)
	n, err := io.ReadFull(w.from, b[len(left):])
	switch err {
	case nil:
	case io.EOF, io.ErrUnexpectedEOF:
		w.end = true
	default:
		return nil, err
	}
	b = b[:len(left)+n]
	return b, w.check(b[len(left):])
}

// check holds bytes to UTF-8 without the byte 0. What is not so is for Read, which
// finds out what it is.
func (w *window) check(b []byte) error {
	if !w.unchecked {
		return nil
	}
	if bytes.IndexByte(b, 0) >= 0 {
		return wire.ErrWhole
	}
	if len(w.tail) > 0 {
		b = append(w.tail, b...)
	}
	cut := len(b)
	for back := 1; back <= min(utf8.UTFMax-1, len(b)) && !w.end; back++ {
		if start := len(b) - back; utf8.RuneStart(b[start]) {
			if !utf8.FullRune(b[start:]) {
				cut = start
			}
			break
		}
	}
	if !utf8.Valid(b[:cut]) {
		return wire.ErrWhole
	}
	w.tail = bytes.Clone(b[cut:])
	return nil
}

// textFirst returns an error of a row, or ErrWhole when the file is no text
// further on, which is said before anything of a row.
func (w *window) textFirst(err error) error {
	for w.unchecked && w.goesOn() {
		if _, other := w.fill(nil); other != nil {
			return other
		}
	}
	return err
}

// parts gives features away.
type parts struct {
	source   *source
	take     func(*schema.Plan, []*schema.Feature) error
	vertices int        // read before the part in hand
	late     wire.Tally // told when all rows are read
	again    bool       // what was given away was not turned
}

// mayGive gives the features read so far away, all of which are whole, when they
// are enough for a part or there are no more.
func (p *parts) mayGive(r *reader, last bool) error {
	features := r.plan.Features
	if len(features) == 0 || !last && len(features) < p.source.size && r.vertices-p.vertices < partPoints {
		return nil
	}
	r.seen.add(features, r.mayBeDegrees())
	p.vertices = r.vertices
	if p.source.turned {
		for _, f := range features {
			if f.Geometry != nil {
				turn(f.Geometry, p.source.swap)
			}
		}
	}
	r.plan.Features = make([]*schema.Feature, 0, p.source.size)
	head := *r.plan
	head.Features, head.CRS = nil, p.source.crs
	return p.take(&head, features)
}

// turnBack notes that columns count west and south.
func (p *parts) turnBack(swap bool) {
	p.again = !p.source.turned || p.source.swap != swap
	p.source.turned, p.source.swap = true, swap
}
