// The progress of a long check: a line that is written over, on terminals only.

package main

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"
)

// progress shows how many plans are done. The zero value shows nothing.
type progress struct {
	mu          sync.Mutex
	w           io.Writer
	start, last time.Time
	most        int // plans done, as last shown
	shown       bool
}

func newProgress(w io.Writer) *progress {
	p := &progress{start: time.Now()}
	p.last = p.start
	if isTerminal(w) {
		p.w = w
	}
	return p
}

// step shows the rate and the time left, twice a second at most. Calls may
// overtake each other.
func (p *progress) step(done, all int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := time.Now()
	if p.w == nil || done < p.most || now.Sub(p.last) < time.Second/2 {
		return
	}
	p.last, p.most, p.shown = now, done, true
	fmt.Fprint(p.w, "\r\x1b[K"+progressLine(done, all, now.Sub(p.start)))
}

// end wipes the line away.
func (p *progress) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}

func progressLine(done, all int, spent time.Duration) string {
	rate := float64(done) / max(spent.Seconds(), 1e-9)
	left := time.Duration(float64(all-done) / rate * float64(time.Second))
	return fmt.Sprintf("%d of %d plans, %.0f a second, %s left", done, all, rate, left.Round(time.Second))
}

// isTerminal reports whether w is a character device other than the null
// device.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}
