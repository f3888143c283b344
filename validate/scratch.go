// Memory that one check after another is made in.

package validate

import "sync"

// scratch is memory of a check that nothing of its report lies in.
type scratch struct {
	sides  slab[[2]raised]
	spots  slab[heightSpot]
	runs   slab[heightRun]
	raised []raised // of one feature at a time
	// silhouette is empty after each use.
	silhouette silhouette
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// scratchOf is the run's scratch, one of its own where it was given none.
func (r *run) scratchOf() *scratch {
	if r.scratch == nil {
		return new(scratch)
	}
	return r.scratch
}

// release lets go of what the run was made in; it is not to be used any more.
func (r *run) release() {
	if r.ownDay {
		r.day.Release()
		r.day, r.ownDay = nil, false
	}
	if s := r.scratch; s != nil {
		r.scratch = nil
		s.sides.reset()
		s.spots.reset()
		s.runs.reset()
		if cap(s.raised) > mostSlab {
			s.raised = nil
		}
		scratches.Put(s)
	}
}

// slab gives out pieces of one piece of memory.
type slab[T any] struct{ buf []T }

// Slabs of leastSlab values or more are made, and those of up to mostSlab kept.
const leastSlab, mostSlab = 256, 1 << 13

// take returns an empty slice with room for n values, whose memory nobody else
// has until the slab is reset.
func (s *slab[T]) take(n int) []T {
	if len(s.buf)+n > cap(s.buf) {
		s.buf = make([]T, 0, max(leastSlab, 2*cap(s.buf), n))
	}
	at := len(s.buf)
	s.buf = s.buf[:at+n]
	return s.buf[at : at : at+n]
}

// reset takes back all that was given out.
func (s *slab[T]) reset() {
	if s.buf = s.buf[:0]; cap(s.buf) > mostSlab {
		s.buf = nil
	}
}
