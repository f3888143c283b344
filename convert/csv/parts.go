// Lists in parts: rows through a window on the file, features given away as
// they are whole.

package csv

import (
	"bytes"
	"errors"
	"io"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// Tests make these small, so that rows lie across their edges.
var (
	headBytes   = 1 << 20   // looked at to find out how a list is cut
	windowBytes = 256 << 10 // the least that a window holds
	partPoints  = 1 << 16   // points that make a part, however few features they are
)

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
	rows, window, err := s.rows(r, skip)
	if err != nil {
		return nil, nil, err
	}
	defer window.Close()
	err = r.readAll(rows)
	switch {
	case errors.Is(err, errAnotherManner):
		again, window, err := s.rows(r, skip)
		if err != nil {
			return nil, nil, err
		}
		defer window.Close()
		if s.manner, err = decideManner(again, r.coordinateCells); err != nil {
			return nil, nil, window.TextFirst(err)
		}
		return nil, nil, wire.ErrAgain
	case err != nil:
		return nil, nil, window.TextFirst(err)
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
	case s.o.CRS != nil && !s.o.CRSBeside:
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
	if s.o.CRS != nil {
		return s.o.CRS
	}
	if r.lay.degrees {
		return crs.WGS84()
	}
	return nil
}

// rows opens the file at its first data row.
func (s *source) rows(r *reader, skip int) (*records, *wire.Window, error) {
	f, err := s.open()
	if err != nil {
		return nil, nil, err
	}
	w := &wire.Window{From: f, Least: windowBytes, Unchecked: !s.checked}
	data, err := w.Fill(nil)
	for ; err == nil && len(data) < skip && w.GoesOn(); data, err = w.Fill(data) {
	}
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	rows := newRecords(data[skip:], r.o.Name, r.delim)
	rows.more = w
	if r.behindHeader(rows); rows.more == nil { // no header after all
		f.Close()
		return nil, nil, wire.ErrWhole
	}
	return rows, w, nil
}

// parts gives features away.
type parts struct {
	source   *source
	take     func(*schema.Plan, []*schema.Feature) error
	vertices int        // read before the part in hand
	late     wire.Tally // told when all rows are read
	again    bool       // what was given away was not turned
}

// mayGive gives the features read so far away, all of which are whole, when
// they are enough for a part or there are no more.
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
