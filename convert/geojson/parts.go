// Files in parts: the list of features is cut into batches as it is read, and
// what stands around it is kept and read as a file of its own.

package geojson

import (
	"bytes"
	"runtime"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/crs"
	"swardline/schema"
)

// mostAround is how many bytes may stand around the list of features.
const mostAround = 16 << 20

// windowBytes is read at a time. Tests make it small.
var windowBytes = 256 << 10

// NewSource makes a file one that is read in parts of some features each. A
// file that is no FeatureCollection must be read whole, and so must one with
// "geometry" in some of its features and "place" in others.
func NewSource(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource {
	return &source{open: open, o: o, size: features}
}

// source is a file and what was found out about it on the walks before.
type source struct {
	open    wire.Opening
	o       wire.ReadOptions
	size    int
	checked bool // it is UTF-8 all through
	known   bool // manner is
	manner  manner
}

// manner is how the coordinates of a file are meant.
type manner struct {
	crs      *crs.CRS
	official bool // numbers in "place" follow the system's own axis order
	degrees  bool
}

func (m manner) same(n manner) bool {
	return m.official == n.official && m.degrees == n.degrees && (m.crs == n.crs || m.crs != nil && n.crs != nil && m.crs.Equal(n.crs))
}

// hollow is where the list of features was taken out of a text.
type hollow struct {
	at    int // of the bracket that opens it
	lines int // that it had
	walk  *walk
}

// walk is what the features of one walk said together.
type walk struct {
	source   *source
	take     func(*schema.Plan, []*schema.Feature) error
	p        *parser // gathers what the batches saw
	features int
}

// Walk implements wire.PartSource.
func (s *source) Walk(take func(*schema.Plan, []*schema.Feature) error) (*schema.Plan, []wire.Warning, error) {
	f, err := s.open()
	if err != nil {
		return nil, nil, err
	}
	c := &cutter{window: &wire.Window{From: f, Least: windowBytes, Unchecked: !s.checked}, size: s.size, line: 1}
	defer c.window.Close()
	if err := c.toList(); err != nil {
		return nil, nil, err
	}
	w := &walk{source: s, take: take, p: newParser(nil, &s.o)}
	h := &hollow{at: len(c.around) - 1, walk: w}
	before := c.line
	if fault, b, err := w.batches(c); fault != nil || err != nil {
		if fault != nil {
			err = w.refused(c, b, fault)
		}
		return nil, nil, err
	}
	h.lines = c.line - before
	if err := c.toEnd(); err != nil {
		return nil, nil, err
	}
	s.checked = true
	p := newParser(c.around, &s.o)
	p.hollow = h
	doc, fault := p.document()
	if fault != nil || h.walk != nil { // the list was not where it seemed to be
		return nil, nil, wire.ErrWhole
	}
	if fault = p.tooManyFeatures(w.features, &s.o); fault != nil {
		return nil, nil, fault.inputError(c.around, s.o.Name)
	}
	if fault = p.settle(doc, &s.o); fault != nil {
		return nil, nil, wire.ErrWhole
	}
	guess := s.manner
	s.known, s.manner = true, p.manner
	if w.features > 0 && !guess.same(p.manner) {
		return nil, nil, wire.ErrAgain
	}
	return p.plan(doc, &s.o), p.t.Warnings(), nil
}

// refused is the error for a fault in a batch.
func (w *walk) refused(c *cutter, b *batch, f *fault) error {
	if f == errElsewhere || f.at >= b.end && !b.last {
		return wire.ErrWhole // what stands behind the batch is part of what is wrong
	}
	// What stands before the list is read first.
	if _, before := w.trial(c, nil); before != nil {
		return wire.ErrWhole
	}
	e := f.inputError(b.data, w.source.o.Name)
	if e.Line == 1 {
		e.Column += b.column - 1
	}
	e.Line += b.line - 1
	return c.window.TextFirst(e)
}

// errElsewhere is a fault that only reading the whole file can tell of.
var errElsewhere = &fault{}

// trial reads what stands before the list as if that were all, with what a
// first batch saw, nil for none.
func (w *walk) trial(c *cutter, r *batchResult) (manner, *fault) {
	p := newParser(append(bytes.Clone(c.before()), "]}"...), &w.source.o)
	p.hollow = &hollow{at: len(c.before()) - 1, walk: &walk{p: newParser(nil, &w.source.o)}}
	doc, f := p.document()
	if f == nil && p.hollow.walk != nil {
		f = errElsewhere // the list is not that of the features
	}
	if f != nil {
		return manner{crs: crs.WGS84(), degrees: true}, f
	}
	if r != nil {
		p.seen = r.p.seen
		if p.states == nil {
			p.states = r.p.states
		}
	}
	p.settle(doc, &w.source.o)
	return p.manner, nil
}

// batches reads the list, on several cores, and gives its features to take.
func (w *walk) batches(c *cutter) (*fault, *batch, error) {
	workers := runtime.GOMAXPROCS(0)
	order := make(chan *batch, workers)
	jobs := make(chan *batch, workers)
	stop := make(chan struct{})
	cut := make(chan error, 1)
	go func() {
		defer close(jobs)
		defer close(order)
		cut <- c.list(func(b *batch) bool {
			b.done = make(chan *batchResult, 1)
			for _, to := range []chan *batch{order, jobs} {
				select {
				case to <- b:
				case <-stop:
					return false
				}
			}
			return true
		})
	}()
	for range workers {
		go func() {
			own := newParser(nil, &w.source.o)
			for b := range jobs {
				own.data = b.data
				b.done <- own.batch(b)
			}
		}()
	}
	// The cutter has stopped, whatever comes.
	defer func() {
		close(stop)
		for range order {
		}
	}()
	for b := range order {
		r := <-b.done
		fault, err := w.batch(c, b, r)
		if fault != nil || err != nil {
			return fault, b, err
		}
		c.done(b)
	}
	return nil, nil, <-cut
}

// batch takes what a batch holds.
func (w *walk) batch(c *cutter, b *batch, r *batchResult) (*fault, error) {
	p := w.p
	if r.p.states != nil && p.state(*r.p.states) != nil {
		return errElsewhere, nil
	}
	// Which point is one too many only reading in one go can tell.
	if p.vertices += r.p.vertices; float64(p.vertices) > p.maxVertices {
		return errElsewhere, nil
	}
	if r.fault != nil {
		return r.fault, nil
	}
	p.t.Merge(&r.p.t)
	p.extraNumbers += r.p.extraNumbers
	p.seen.merge(r.p.seen)
	s := w.source
	if !s.known && w.features == 0 {
		s.manner, _ = w.trial(c, r)
	}
	w.features += len(r.items)
	head := &schema.Plan{CRS: s.manner.crs}
	doc := &document{plan: head, items: r.items}
	if f := r.p.settlePlaces(doc, s.manner.official, s.manner.degrees); f != nil {
		// The manner may be another: the end tells.
		return errElsewhere, nil
	}
	features := make([]*schema.Feature, len(r.items))
	for i := range r.items {
		features[i] = r.items[i].feature
	}
	return nil, w.take(head, features)
}

// fill gives a parser that stands at the hollow what was in the list.
func (p *parser) fill() (int, *fault) {
	h := p.hollow
	w := h.walk
	h.walk = nil
	if s := w.p.states; s != nil {
		if f := p.state(*s); f != nil {
			return h.at, f
		}
	}
	p.t.Merge(&w.p.t)
	p.extraNumbers += w.p.extraNumbers
	p.seen.merge(w.p.seen)
	p.vertices = w.p.vertices
	return h.at + 2, nil
}

// cutter cuts a file: into what stands around its list of features, and batches
// of them.
type cutter struct {
	window *wire.Window
	data   []byte // read, and not cut yet
	size   int    // features of a batch
	around []byte // what stands around the list, with an empty list in its place
	start  int    // of the list in around, behind its bracket
	line   int    // of data[0]
	column int    // bytes of that line before it
	spare  chan []byte
}

// more reads on; false at the end of the file.
func (c *cutter) more() (bool, error) {
	if !c.window.GoesOn() {
		return false, nil
	}
	var err error
	c.data, err = c.window.Fill(nil)
	return len(c.data) > 0, err
}

// passed moves the start of the data.
func (c *cutter) passed(n int) {
	part := c.data[:n]
	if lines := bytes.Count(part, []byte{'\n'}); lines > 0 {
		c.line += lines
		c.column = n - 1 - bytes.LastIndexByte(part, '\n')
	} else {
		c.column += n
	}
	c.data = c.data[n:]
}

// keep takes bytes for what stands around the list.
func (c *cutter) keep(n int) error {
	if len(c.around)+n > mostAround {
		return wire.ErrWhole
	}
	c.around = append(c.around, c.data[:n]...)
	c.passed(n)
	return nil
}

// before is what stands before the list, with the bracket that opens it.
func (c *cutter) before() []byte { return c.around[:c.start] }

// toList reads up to the list of features of the outermost object.
func (c *cutter) toList() error {
	const name = `"features"`
	depth, quoted, escaped := 0, false, false
	from, colon := -1, false // of the last text at depth 1; whether a colon follows it
	for {
		if ok, err := c.more(); err != nil || !ok {
			if err == nil {
				err = wire.ErrWhole
			}
			return err
		}
		base := len(c.around)
		whole := append(c.around, c.data...)
		for i, b := range c.data {
			switch {
			case escaped:
				escaped = false
			case quoted:
				escaped, quoted = b == '\\', b != '"'
			case b == '"':
				quoted, from, colon = true, base+i, false
			case b == ':':
				colon = depth == 1 && from >= 0 && string(bytes.TrimRight(whole[from:base+i], " \t\r\n")) == name
			case b == '[' && colon:
				if err := c.keep(i + 1); err != nil {
					return err
				}
				c.start = len(c.around)
				return nil
			case b == '{' || b == '[':
				depth++
				colon = false
			case b == '}' || b == ']':
				depth--
			case b > ' ':
				colon = false
			}
		}
		if err := c.keep(len(c.data)); err != nil {
			return err
		}
	}
}

// list cuts the list into batches.
func (c *cutter) list(take func(*batch) bool) error {
	c.spare = make(chan []byte, 8)
	depth, quoted, escaped := 0, false, false
	index := 0
	b := c.newBatch(0)
	// end ends the batch before data[i].
	give := func(i int) bool {
		b.data = append(b.data, c.data[:i]...)
		b.end = len(b.data)
		if i < len(c.data) {
			b.data = append(b.data, c.data[i])
		}
		return take(b)
	}
	for {
		for i := 0; i < len(c.data); i++ {
			if quoted {
				switch b := c.data[i]; {
				case escaped:
					escaped = false
				case b == '\\':
					escaped = true
				case b == '"':
					quoted = false
				}
				continue
			}
			switch classes[c.data[i]] {
			case classOpen:
				depth++
			case classClose:
				if depth--; depth >= 0 {
					continue
				}
				empty := index == 0 && jsontext.SkipSpace(b.data, 0) == len(b.data) && jsontext.SkipSpace(c.data[:i], 0) == i
				if !empty && !give(i) {
					return nil
				}
				c.passed(i)
				return nil
			case classQuote:
				quoted = true
			case classComma:
				if depth > 0 {
					continue
				}
				index++
				if len(b.data)+i < batchBytes && index-b.first < c.size {
					continue
				}
				if !give(i) {
					return nil
				}
				c.passed(i + 1)
				b = c.newBatch(index)
				i = -1
			}
		}
		b.data = append(b.data, c.data...)
		c.passed(len(c.data))
		if ok, err := c.more(); err != nil {
			return err
		} else if !ok {
			b.last = true
			give(0)
			return nil
		}
	}
}

func (c *cutter) newBatch(first int) *batch {
	b := &batch{first: first, line: c.line, column: c.column + 1}
	select {
	case b.data = <-c.spare:
	default:
	}
	return b
}

// done takes the bytes of a batch back.
func (c *cutter) done(b *batch) {
	select {
	case c.spare <- b.data[:0]:
	default:
	}
}

// toEnd reads what stands behind the list, from the bracket that closes it on.
func (c *cutter) toEnd() error {
	for {
		if err := c.keep(len(c.data)); err != nil {
			return err
		}
		if ok, err := c.more(); err != nil || !ok {
			return err
		}
	}
}
