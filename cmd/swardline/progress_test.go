// The line of progress.

package main

import (
	"bytes"
	"testing"
	"time"
)

func TestProgressLine(t *testing.T) {
	if got, want := progressLine(50, 150, 5*time.Second), "50 of 150 plans, 10 a second, 10s left"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestProgressOnlyOnTerminals(t *testing.T) {
	var b bytes.Buffer
	p := newProgress(&b)
	p.last = time.Time{}
	p.step(1, 1)
	p.end()
	if b.Len() != 0 {
		t.Errorf("wrote %q to what is no terminal", b.String())
	}
}
