// WKT: the syntax of well-known text, WKT 1 (OGC 01-009, with the spelling of
// .prj files) and WKT 2 (OGC 18-010r7), read into a tree.

package crs

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Bounds on what is read: a CRS takes a few kilobytes and seven levels.
const (
	maxWKTBytes = 1 << 17
	maxWKTDepth = 24
)

// wktNode is a keyword with its arguments in order.
type wktNode struct {
	keyword string // upper case
	args    []wktArg
	at      int // byte offset
}

// wktArg is one argument: a node, a quoted text, a number or a bare word.
type wktArg struct {
	node   *wktNode
	text   string // of a quoted text or a bare word
	number float64
	kind   byte // 'n' node, 't' text, 'd' number, 'w' word
}

// wktReader walks through the text.
type wktReader struct {
	text string
	pos  int
}

// looksLikeWKT reports whether the text starts as WKT does: a word and an
// opening bracket.
func looksLikeWKT(text string) bool {
	i := 0
	for i < len(text) && (text[i] >= 'A' && text[i] <= 'Z' || text[i] >= 'a' && text[i] <= 'z' || text[i] == '_' || text[i] >= '0' && text[i] <= '9') {
		i++
	}
	rest := strings.TrimLeft(text[i:], " \t\r\n")
	return i > 1 && rest != "" && (rest[0] == '[' || rest[0] == '(')
}

// parseWKT reads the whole text as one node. A vertical CRS after it, as some
// .prj files have, is read and makes the node a compound.
func parseWKT(text string) (*wktNode, error) {
	if len(text) > maxWKTBytes {
		return nil, fmt.Errorf("WKT: %d bytes, more than the %d a CRS can need", len(text), maxWKTBytes)
	}
	if !utf8.ValidString(text) {
		return nil, fmt.Errorf("WKT: not UTF-8")
	}
	r := &wktReader{text: text}
	n, err := r.node(0)
	if err != nil {
		return nil, err
	}
	if r.peek() == ',' {
		r.pos++
		v, err := r.node(0)
		if err != nil {
			return nil, err
		}
		if v.keyword != "VERTCS" && v.keyword != "VERT_CS" {
			return nil, r.fail("%s after the CRS is out of place", v.keyword)
		}
		n = &wktNode{keyword: "COMPD_CS", args: []wktArg{{kind: 'n', node: n}, {kind: 'n', node: v}}}
	}
	r.space()
	if r.pos < len(r.text) {
		return nil, r.fail("text after the closing bracket")
	}
	return n, nil
}

// fail makes an error at the reader's place.
func (r *wktReader) fail(format string, a ...any) error {
	line := 1 + strings.Count(r.text[:r.pos], "\n")
	col := 1 + utf8.RuneCountInString(r.text[strings.LastIndexByte(r.text[:r.pos], '\n')+1:r.pos])
	return fmt.Errorf("WKT line %d, column %d: %s", line, col, fmt.Sprintf(format, a...))
}

func (r *wktReader) space() {
	for r.pos < len(r.text) && strings.IndexByte(" \t\r\n", r.text[r.pos]) >= 0 {
		r.pos++
	}
}

// peek returns the next byte after white space, 0 at the end.
func (r *wktReader) peek() byte {
	r.space()
	if r.pos < len(r.text) {
		return r.text[r.pos]
	}
	return 0
}

// word reads letters, digits and underscores.
func (r *wktReader) word() string {
	from := r.pos
	for r.pos < len(r.text) {
		b := r.text[r.pos]
		if b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' || b == '_' || b >= '0' && b <= '9' {
			r.pos++
			continue
		}
		break
	}
	return r.text[from:r.pos]
}

func (r *wktReader) node(depth int) (*wktNode, error) {
	if depth > maxWKTDepth {
		return nil, r.fail("nested deeper than %d", maxWKTDepth)
	}
	r.space()
	n := &wktNode{at: r.pos}
	w := r.word()
	if w == "" {
		return nil, r.fail("a keyword is expected")
	}
	n.keyword = strings.ToUpper(w)
	open := r.peek()
	if open != '[' && open != '(' {
		return nil, r.fail("%s wants an opening bracket", n.keyword)
	}
	return n, r.arguments(n, depth)
}

// arguments reads the bracketed arguments of n.
func (r *wktReader) arguments(n *wktNode, depth int) error {
	closing := byte(']')
	if r.text[r.pos] == '(' {
		closing = ')'
	}
	r.pos++
	for {
		a, err := r.argument(depth)
		if err != nil {
			return err
		}
		n.args = append(n.args, a)
		switch b := r.peek(); b {
		case ',':
			r.pos++
		case closing:
			r.pos++
			return nil
		case 0:
			return r.fail("%s is not closed", n.keyword)
		default:
			return r.fail("a comma or the closing bracket of %s is expected", n.keyword)
		}
	}
}

func (r *wktReader) argument(depth int) (wktArg, error) {
	switch b := r.peek(); {
	case b == 0:
		return wktArg{}, r.fail("the text ends too early")
	case b == '"':
		return r.quoted()
	case b == '+' || b == '-' || b == '.' || b >= '0' && b <= '9':
		from := r.pos
		for r.pos < len(r.text) && strings.IndexByte("+-.0123456789eE", r.text[r.pos]) >= 0 {
			r.pos++
		}
		v, err := plainNumber(r.text[from:r.pos])
		if err != nil {
			r.pos = from
			return wktArg{}, r.fail("%v", err)
		}
		return wktArg{kind: 'd', number: v, text: r.text[from:r.pos]}, nil
	}
	from := r.pos
	w := r.word()
	if w == "" {
		return wktArg{}, r.fail("%q is out of place", r.text[r.pos:r.pos+1])
	}
	if b := r.peek(); b == '[' || b == '(' {
		n := &wktNode{keyword: strings.ToUpper(w), at: from}
		if depth+1 > maxWKTDepth {
			return wktArg{}, r.fail("nested deeper than %d", maxWKTDepth)
		}
		return wktArg{kind: 'n', node: n}, r.arguments(n, depth+1)
	}
	return wktArg{kind: 'w', text: w}, nil
}

// quoted reads a text in double quotes; a doubled quote stands for one.
func (r *wktReader) quoted() (wktArg, error) {
	from := r.pos
	r.pos++
	var b strings.Builder
	for r.pos < len(r.text) {
		c := r.text[r.pos]
		r.pos++
		if c != '"' {
			b.WriteByte(c)
			continue
		}
		if r.pos < len(r.text) && r.text[r.pos] == '"' {
			b.WriteByte('"')
			r.pos++
			continue
		}
		return wktArg{kind: 't', text: b.String()}, nil
	}
	r.pos = from
	return wktArg{}, r.fail("a quoted text is not closed")
}

// child returns the first child node with one of the keywords, nil when none.
func (n *wktNode) child(keywords ...string) *wktNode {
	for _, a := range n.args {
		if a.kind == 'n' {
			for _, k := range keywords {
				if a.node.keyword == k {
					return a.node
				}
			}
		}
	}
	return nil
}

// children returns every child node with the keyword.
func (n *wktNode) children(keyword string) []*wktNode {
	var out []*wktNode
	for _, a := range n.args {
		if a.kind == 'n' && a.node.keyword == keyword {
			out = append(out, a.node)
		}
	}
	return out
}

// name is the first argument when it is a text, else empty.
func (n *wktNode) name() string {
	if len(n.args) > 0 && n.args[0].kind == 't' {
		return n.args[0].text
	}
	return ""
}

// number is the i-th argument as a number.
func (n *wktNode) number(i int) (float64, error) {
	if i < len(n.args) && n.args[i].kind == 'd' {
		return n.args[i].number, nil
	}
	return 0, fmt.Errorf("WKT: %s %q has no number in place %d", n.keyword, n.name(), i+1)
}

// epsg is the EPSG code of the node's own ID or AUTHORITY, 0 when none.
func (n *wktNode) epsg() int {
	a := n.child("ID", "AUTHORITY")
	if a == nil || !strings.EqualFold(a.name(), "EPSG") || len(a.args) < 2 {
		return 0
	}
	code := a.args[1].text // of a number, as written
	v := 0
	for _, b := range []byte(code) {
		if b < '0' || b > '9' || v > 1<<30 {
			return 0
		}
		v = v*10 + int(b-'0')
	}
	return v
}
