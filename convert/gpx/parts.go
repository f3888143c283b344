// Files in parts: a window slides along the file, also inside tracks and routes,
// and features are given away as they are whole.

package gpx

import (
	"math"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/xml"
	"swardline/crs"
	"swardline/schema"
)

// Tests make these small, so that features lie across their edges.
var (
	windowBytes = 256 << 10 // the least that a window holds
	partPoints  = 1 << 16   // points that make a part, however few features they are
)

// NewSource makes a file in UTF-8 without a byte-order mark one that is read in
// parts of some features each. It must be read whole where the places that its
// features have in the plan are not their order in the file, and where
// the vertices of a feature do not stand together.
func NewSource(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource {
	return &source{open: open, o: o, size: features}
}

// source is a file and what was found out about it on the walks before.
type source struct {
	open    wire.Opening
	o       wire.ReadOptions
	size    int
	checked bool     // it is UTF-8 all through
	crs     *crs.CRS // nil before it is known
}

// Walk implements wire.PartSource.
func (s *source) Walk(take func(*schema.Plan, []*schema.Feature) error) (*schema.Plan, []wire.Warning, error) {
	f, err := s.open()
	if err != nil {
		return nil, nil, err
	}
	w := &wire.Window{From: f, Least: windowBytes, Unchecked: !s.checked}
	defer w.Close()
	head, err := w.Fill(nil)
	if err != nil {
		return nil, nil, err
	}
	if !charset.PlainXML(head) {
		return nil, nil, wire.ErrWhole
	}
	var t wire.Tally
	r := newReader(&s.o, &t)
	r.Slide(head)
	p := &parts{source: s, take: take, closed: map[int]bool{}, crs: s.crs}
	p.stream = xml.Stream{Reader: &r.Reader, Window: w, Inside: r.inside, BeforeSlide: r.beforeSlide}
	r.parts = p
	if err := r.read(&s.o); err != nil {
		return nil, nil, p.stream.Fault(err)
	}
	s.checked, s.crs = true, r.plan.CRS
	if p.crs != nil && !p.crs.Equal(s.crs) && p.given {
		return nil, nil, wire.ErrAgain
	}
	r.plan.Features = nil
	return r.plan, t.Warnings(), nil
}

// parts gives features away.
type parts struct {
	source   *source
	stream   xml.Stream
	take     func(*schema.Plan, []*schema.Feature) error
	crs      *crs.CRS // that the features are given as in, nil before the first
	given    bool     // some were
	vertices int      // read before the part in hand
	place    int      // in the plan, of the feature that was given last
	closed   map[int]bool
}

// more sees to it that what comes next is whole.
func (r *reader) more() error {
	if r.parts == nil {
		return nil
	}
	return r.parts.stream.More()
}

// inside is for xml.Stream: the children of gpx, routes, tracks and segments
// come one by one.
func (r *reader) inside(local []byte) bool {
	switch len(r.Open) {
	case 0:
		return true
	case 1:
		return string(local) == "rte" || string(local) == "trk"
	case 2:
		return string(local) == "trkseg"
	}
	return false
}

// beforeSlide keeps the places that are asked for when an element is whole.
func (r *reader) beforeSlide() {
	keep := func(at *int) {
		if *at >= 0 {
			*at = r.Kept(*at)
		}
	}
	keep(&r.began)
	if r.own != nil {
		keep(&r.own.position)
	}
	if r.ownPlan != nil {
		keep(&r.ownPlan.position)
	}
	for _, a := range r.order {
		keep(&a.own.position)
	}
}

// closeAssembly makes the geometry that takes several elements and is not made
// yet. Where that fails the rest of it may stand further on.
func (r *reader) closeAssembly() error {
	if len(r.order) == 0 {
		return nil
	}
	if r.assemble() != nil {
		return wire.ErrWhole
	}
	n := r.order[0].own.n
	r.parts.closed[n] = true
	delete(r.assemblies, n)
	r.order = r.order[:0]
	return nil
}

// mayGive gives the features read so far away, all of which are whole, when
// they are enough for a part or there are no more.
func (r *reader) mayGive(last bool) error {
	p, n := r.parts, len(r.plan.Features)
	if len(r.order) > 0 {
		n-- // more of it may follow
	}
	if n <= 0 || !last && n < p.source.size && r.vertices-p.vertices < partPoints {
		return nil
	}
	for _, place := range r.places[:n] {
		if place == 0 {
			place = math.MaxInt
		}
		if place < p.place {
			return wire.ErrWhole
		}
		p.place = place
	}
	if p.crs == nil {
		if p.crs = r.plan.CRS; p.source.o.CRS != nil && p.source.o.CRS.IsDegrees() {
			p.crs = p.source.o.CRS
		}
	}
	head := *r.plan
	head.Features, head.CRS = nil, p.crs
	features := r.plan.Features[:n:n]
	r.plan.Features = append([]*schema.Feature(nil), r.plan.Features[n:]...)
	r.places = append(r.places[:0], r.places[n:]...)
	p.given, p.vertices = true, r.vertices
	return p.take(&head, features)
}
