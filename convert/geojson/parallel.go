// Long lists of features: one goroutine finds where features end, the others
// read them, and the results are put together in the file's order.

package geojson

import (
	"runtime"

	"swardline/convert/wire/jsontext"
)

// Tests lower these to make small files go the parallel way.
var (
	parallelFrom = 1 << 20   // bytes of features below which one goroutine is as fast
	batchBytes   = 256 << 10 // aimed at
)

// batch is a run of features between two commas of the list.
type batch struct {
	start, end int // the text, without the comma or bracket at its end
	first      int // index of its first feature
	line       int // line on which it starts
	column     int // and column there, when it has a text of its own
	data       []byte
	last       bool // the file ends with it
	done       chan *batchResult
}

type batchResult struct {
	items []item
	p     *parser // for what it saw
	fault *fault
}

// Classes of bytes for finding the ends of features.
const (
	classOther = iota
	classOpen
	classClose
	classQuote
	classComma
	classLine
)

var classes = func() (c [256]byte) {
	c['{'], c['['] = classOpen, classOpen
	c['}'], c[']'] = classClose, classClose
	c['"'], c[','], c['\n'] = classQuote, classComma, classLine
	return c
}()

// featureListParallel does what featureList does. The scan that cuts the list
// only counts brackets and skips strings; whether the text is right is decided
// by the parsers, which must end each batch exactly where the scan did.
func (p *parser) featureListParallel(at int, doc *document) (int, *fault) {
	first := jsontext.SkipSpace(p.data, at+1)
	if first < len(p.data) && p.data[first] == ']' {
		return first + 1, nil
	}
	startLine := p.lineOf(first)
	workers := runtime.GOMAXPROCS(0)
	order := make(chan *batch, 8*workers)
	jobs := make(chan *batch, 8*workers)
	stop := make(chan struct{})
	defer close(stop)
	end := make(chan int, 1)

	go func() {
		defer close(jobs)
		defer close(order)
		end <- p.cut(first, startLine, func(b *batch) bool {
			b.done = make(chan *batchResult, 1)
			select {
			case order <- b:
			case <-stop:
				return false
			}
			select {
			case jobs <- b:
			case <-stop:
				return false
			}
			return true
		})
	}()
	for i := 0; i < workers; i++ {
		go func() {
			own := &parser{data: p.data, nesting: p.nesting, maxVertices: p.maxVertices, texts: map[string]string{}}
			for b := range jobs {
				b.done <- own.batch(b)
			}
		}()
	}
	for b := range order {
		r := <-b.done
		// A system that differs from the one before comes to light only here;
		// what the batch was given up for was read after it.
		if r.p.states != nil {
			if f := p.state(*r.p.states); f != nil {
				return f.at, f.within(r.p.states.feature)
			}
		}
		if r.fault != nil {
			return r.fault.at, r.fault
		}
		doc.items = append(doc.items, r.items...)
		p.t.Merge(&r.p.t)
		p.extraNumbers += r.p.extraNumbers
		p.seen.merge(r.p.seen)
		if p.vertices += r.p.vertices; float64(p.vertices) > p.maxVertices {
			return b.start, p.tooManyVertices(b.start)
		}
	}
	return <-end, nil
}

// cut finds the batches from data[at], the first feature, and gives each to
// take, until take returns false. It returns the index behind the list.
func (p *parser) cut(at, line int, take func(*batch) bool) int {
	data := p.data
	b := &batch{start: at, first: 0, line: line}
	depth, index := 0, 0
	for i := at; i < len(data); i++ {
		switch classes[data[i]] {
		case classOther:
		case classOpen:
			depth++
		case classClose:
			depth--
			if depth < 0 {
				b.end = i
				take(b)
				return i + 1
			}
		case classQuote:
			if i = closingQuote(data, i); i < 0 {
				i = len(data) - 1 // the parser says that a string is not closed
			}
		case classComma:
			if depth == 0 {
				index++
				if i-b.start >= batchBytes {
					b.end = i
					if !take(b) {
						return i
					}
					b = &batch{start: i + 1, first: index, line: line}
				}
			}
		case classLine:
			line++
		}
	}
	b.end = len(data)
	take(b)
	return len(data)
}

// batch reads the features of a batch with what the worker has at hand.
func (p *parser) batch(b *batch) *batchResult {
	q := *p // keeps scratch space, slabs and texts; starts with nothing seen
	q.line, q.lineAt = b.line, b.start
	q.seen = tally{extent: noExtent()}
	r := &batchResult{p: &q}
	defer func() {
		p.scratch, p.endScratch, p.lineEnds, p.properties = q.scratch, q.endScratch, q.lineEnds, q.properties
		p.slab, p.endSlab, p.features = q.slab, q.endSlab, q.features
	}()
	at := b.start
	for i := b.first; ; i++ {
		at = jsontext.SkipSpace(q.data, at)
		it, next, f := q.feature(at, featurePath(i))
		if f != nil {
			r.fault = f
			return r
		}
		r.items = append(r.items, it)
		at = jsontext.SkipSpace(q.data, next)
		switch {
		case at == b.end && at < len(q.data) && (q.data[at] == ',' || q.data[at] == ']'):
			return r
		case at < b.end && q.data[at] == ',':
			at++
		default:
			r.fault = q.unexpected(at, "a comma or ]").within("features")
			return r
		}
	}
}
