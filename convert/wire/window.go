// Windows on texts that are too large to be held.

package wire

import (
	"bytes"
	"io"
	"unicode/utf8"
)

// A Window reads a text bit by bit.
type Window struct {
	From  io.ReadCloser
	Least int // bytes that it takes at a time, at least
	// Unchecked says that the text is to be held to UTF-8 without the byte 0.
	// One that is not so gives ErrWhole: it is for Read, which finds out what
	// it is.
	Unchecked bool
	AnyBytes  bool // it need not be UTF-8

	end  bool
	bad  bool   // it was not so
	tail []byte // the start of a character at the end of what was read
	buf  [2][]byte
}

// GoesOn reports whether there may be more to read.
func (w *Window) GoesOn() bool { return !w.end }

// Close closes what is read.
func (w *Window) Close() { w.From.Close() }

// Fill returns what is left of the last window with more behind it. Both hold
// until it is called again.
func (w *Window) Fill(left []byte) ([]byte, error) {
	// What is left stands in one of the two buffers: the other one is free.
	size := len(left) + max(w.Least, len(left))
	w.buf[0], w.buf[1] = w.buf[1], w.buf[0]
	if cap(w.buf[0]) < size {
		w.buf[0] = make([]byte, size)
	}
	b := w.buf[0][:size]
	copy(b, left)
	n, err := io.ReadFull(w.From, b[len(left):])
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

func (w *Window) check(b []byte) error {
	if !w.Unchecked {
		return nil
	}
	if w.bad = w.bad || bytes.IndexByte(b, 0) >= 0; w.bad {
		return ErrWhole
	}
	if w.AnyBytes {
		return nil
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
	if w.bad = !utf8.Valid(b[:cut]); w.bad {
		return ErrWhole
	}
	w.tail = bytes.Clone(b[cut:])
	return nil
}

// TextFirst returns an error in the text, or ErrWhole when the file is no text
// further on, which is said before anything that stands in it.
func (w *Window) TextFirst(err error) error {
	if w.bad {
		return ErrWhole
	}
	for w.Unchecked && w.GoesOn() {
		if _, other := w.Fill(nil); other != nil {
			return other
		}
	}
	return err
}
