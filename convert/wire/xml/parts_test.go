// Documents through a window.

package xml

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"swardline/convert/wire"
)

// placed says where a fault is.
type placed struct {
	*words
	r *Reader
}

func (p placed) Fault(at int, problem, _ string) error {
	line, column := p.r.Place(at)
	return fmt.Errorf("%d:%d: %s", line, column, problem)
}

// TestStream: tokens, and where a fault is, are those of the document held whole,
// for any size of the window.
func TestStream(t *testing.T) {
	for _, text := range []string{
		"<?xml version='1.0'?>\n<a b='1>2'>\n<c d=\"</a>\"><e/><!-- </c> > --><![CDATA[</c>]]></c>\n<a>text<c></c></a><x:c/></a>\n<!-- end -->\n",
		"<!DOCTYPE a SYSTEM '>'><a>\n\n<c></d></a>", "<a><c>", "<a></a><a/>", "<a>x</a>y", "<a><c d='></c></a>", "<a>\n  < c></c></a>", "", "text in front of it<a><b></b><b></b><b></b></a>",
	} {
		read := func(size int) (out string) {
			w := &wire.Window{From: io.NopCloser(strings.NewReader(text)), Least: size}
			r := &Reader{Format: "X", Nesting: 9}
			r.Vocabulary = placed{&words{}, r}
			s := &Stream{Reader: r, Window: w, Inside: func(local []byte) bool { return string(local) == "a" }}
			whole := 0 // elements open, of which the outermost is whole
			for {
				if whole == 0 {
					if err := s.More(); err != nil {
						t.Fatal(err)
					}
				}
				tok, err := r.Next()
				if err != nil {
					if err = s.Fault(err); errors.Is(err, wire.ErrWhole) {
						return ""
					}
					return out + err.Error()
				}
				switch {
				case tok.Kind == EOF:
					return out
				case tok.Kind == Start && (whole > 0 || string(tok.Local) != "a"):
					whole++
				case tok.Kind == End && whole > 0:
					whole--
				}
				out += fmt.Sprintf("%d %s %q %d\n", tok.Kind, tok.Local, r.Data[tok.From:tok.To], r.LineOf(tok.From))
			}
		}
		want := read(1 << 10)
		for size := range 60 {
			if got := read(1 + size); got != want && got != "" {
				t.Errorf("%q, %d bytes at a time\n%s\nwant\n%s", text, 1+size, got, want)
			}
		}
	}
}
