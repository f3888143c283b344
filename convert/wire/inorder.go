// Writing many features at once: several goroutines make the bytes, one writes
// them in the features' order, so that the output is the same on any machine.

package wire

import (
	"io"
	"runtime"
	"sync"
)

const (
	featuresPerChunk = 64
	parallelFrom     = 4 * featuresPerChunk // fewer features are not worth a goroutine
	flushAt          = 64 << 10
)

// WriteInOrder calls each for i = 0 to n-1 to append item i's bytes to dst, and
// writes them to w in that order. Calls run at the same time for different
// chunks of items when n is large, so each must touch nothing shared but the
// Tally it is given; within a chunk they run in order. What the calls collect
// is merged into t in the items' order. It holds a few chunks in memory, never
// the whole output, and writes them whole, so w needs no buffer of its own. The
// error is the first one in the items' order, from each or from w; w then holds
// part of the output.
func WriteInOrder(w io.Writer, n int, t *Tally, each func(dst []byte, i int, t *Tally) ([]byte, error)) error {
	workers := runtime.GOMAXPROCS(0)
	if n < parallelFrom || workers < 2 {
		return writeSerially(w, n, t, each)
	}
	type chunk struct {
		buf   []byte
		tally Tally
		err   error
	}
	type job struct {
		first int
		done  chan *chunk
	}
	jobs := make(chan job)
	order := make(chan chan *chunk, 2*workers) // bounds how far the makers run ahead
	stop := make(chan struct{})
	// The makers end before this returns, on a full disk too: what they read is
	// the caller's again then.
	var makers sync.WaitGroup
	defer makers.Wait()
	defer close(stop)
	spare := make(chan *chunk, 4*workers)

	go func() {
		defer close(jobs)
		defer close(order)
		for first := 0; first < n; first += featuresPerChunk {
			j := job{first, make(chan *chunk, 1)}
			select {
			case order <- j.done:
			case <-stop:
				return
			}
			select {
			case jobs <- j:
			case <-stop:
				return
			}
		}
	}()
	for i := 0; i < workers; i++ {
		makers.Go(func() {
			for j := range jobs {
				var c *chunk
				select {
				case c = <-spare:
					c.buf, c.tally = c.buf[:0], Tally{}
				default:
					c = &chunk{}
				}
				for k := j.first; k < min(j.first+featuresPerChunk, n) && c.err == nil; k++ {
					c.buf, c.err = each(c.buf, k, &c.tally)
				}
				j.done <- c // never blocks: it has room for one
			}
		})
	}
	for done := range order {
		c := <-done
		t.Merge(&c.tally)
		if c.err != nil {
			return c.err
		}
		if _, err := w.Write(c.buf); err != nil {
			return err
		}
		if cap(c.buf) <= 4<<20 { // one giant feature is not kept for ever
			select {
			case spare <- c:
			default:
			}
		}
	}
	return nil
}

// buffers are kept from one small plan to the next.
var buffers = sync.Pool{New: func() any {
	b := make([]byte, 0, flushAt+(8<<10))
	return &b
}}

func writeSerially(w io.Writer, n int, t *Tally, each func(dst []byte, i int, t *Tally) ([]byte, error)) error {
	spare := buffers.Get().(*[]byte)
	defer buffers.Put(spare)
	buf := (*spare)[:0]
	defer func() {
		if cap(buf) <= 4<<20 { // one giant feature is not kept for ever
			*spare = buf
		}
	}()
	var err error
	for i := 0; i < n; i++ {
		if buf, err = each(buf, i, t); err != nil {
			return err
		}
		if len(buf) >= flushAt {
			if _, err = w.Write(buf); err != nil {
				return err
			}
			buf = buf[:0]
		}
	}
	if len(buf) > 0 {
		_, err = w.Write(buf)
	}
	return err
}
