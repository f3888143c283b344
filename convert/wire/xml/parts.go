// Documents in parts: a window slides along a document that is too large to be
// held, and what comes next is whole in it before it is read.

package xml

import (
	"bytes"
	"errors"

	"swardline/convert/wire"
)

// Stream gives a Reader a document through a window.
type Stream struct {
	*Reader
	Window *wire.Window
	// Inside says of the next element, by its local name, whether its children
	// are asked for one by one; any other is wanted whole.
	Inside func(local []byte) bool
	// BeforeSlide is called before offsets change: those that are wanted later
	// are to be turned by Kept.
	BeforeSlide func()

	least int // bytes that the window takes at a time
}

// More sees to it that what comes next is in Data: up to the end of the next
// element, of its start tag where its children come one by one, or of the end
// tag of the element that is open. Then the document ends before that, or Next
// and what reads the element find all of it. The errors are the window's.
func (s *Stream) More() error {
	if s.least == 0 {
		s.least = s.Window.Least
	}
	for !s.ahead(s.Inside) && s.Window.GoesOn() {
		if s.BeforeSlide != nil {
			s.BeforeSlide()
		}
		s.Window.Least = max(s.least, len(s.Data)-s.Pos) // so that a large element costs no more than twice its size
		more, err := s.Window.Fill(nil)
		if err != nil {
			return err
		}
		s.Slide(more)
	}
	return nil
}

// Fault returns an error of reading the document as the document held whole would
// give it. It is wire.ErrWhole where that says more, or something else.
func (s *Stream) Fault(err error) error {
	const quoted = 100 // bytes that a message repeats, at most
	if errors.Is(err, wire.ErrWhole) || s.Window.GoesOn() && len(s.Data)-s.fell < quoted {
		return wire.ErrWhole
	}
	return s.Window.TextFirst(err)
}

// ahead reports whether what comes next is in Data. Tags, comments and the rest
// are told apart as Next does it; what Next finds fault with may be taken for
// more than it is, and is all there all the same.
func (r *Reader) ahead(inside func(local []byte) bool) bool {
	if r.Ended {
		return true
	}
	depth := 0
	const longest = len("<![CDATA[") // of what tells the kinds of markup apart
	for i := r.Pos; ; {
		n := bytes.IndexByte(r.Data[i:], '<')
		if n < 0 {
			return false
		}
		i += n
		rest := r.Data[i:]
		if len(rest) < longest {
			return false
		}
		size := 0
		switch {
		case rest[1] == '/':
			if size = bytes.IndexByte(rest, '>') + 1; size > 0 {
				depth--
			}
		case bytes.HasPrefix(rest, []byte("<!--")):
			size = behind(rest, len("<!--"), "-->")
		case bytes.HasPrefix(rest, []byte("<![CDATA[")):
			size = behind(rest, len("<![CDATA["), "]]>")
		case rest[1] == '?':
			size = behind(rest, len("<?"), "?>")
		case rest[1] == '!':
			size = tagSize(rest)
		default:
			if size = tagSize(rest); size == 0 {
				break
			}
			if depth == 0 && inside(localName(rest[1:size-1])) {
				return true
			}
			if rest[size-2] != '/' {
				depth++
			} else if depth == 0 {
				return true
			}
		}
		if size == 0 {
			return false
		}
		i += size
		if depth < 0 || depth == 0 && rest[1] == '/' {
			return true
		}
	}
}

// behind is the size of what ends with end, which does not overlap the first
// skip bytes; 0 when it goes on.
func behind(rest []byte, skip int, end string) int {
	n := bytes.Index(rest[skip:], []byte(end))
	if n < 0 {
		return 0
	}
	return skip + n + len(end)
}

// tagSize is the size of the tag at the start of rest, whose attributes' values
// may hold a >; 0 when it goes on.
func tagSize(rest []byte) int {
	for i := 0; ; {
		n := bytes.IndexByte(rest[i:], '>')
		if n < 0 {
			return 0
		}
		quote := bytes.IndexAny(rest[i:i+n], `"'`)
		if quote < 0 {
			return i + n + 1
		}
		i += quote
		n = bytes.IndexByte(rest[i+1:], rest[i])
		if n < 0 {
			return 0
		}
		i += n + 2
	}
}

// localName is the name at the start of a tag's inside, without its prefix.
func localName(tag []byte) []byte {
	i := 0
	for i < len(tag) && (nameByte(tag[i]) || tag[i] == ':') {
		i++
	}
	_, local := splitName(tag[:i])
	return local
}
