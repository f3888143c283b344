// Sequences in parts: joined to a FeatureCollection as they are read.

package geojsonseq

import (
	"bytes"
	"errors"
	"io"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// NewSource makes a sequence one that is read in parts of some features each.
// One with any fault must be read whole.
func NewSource(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource {
	s := &source{}
	s.PartSource = geojson.NewSource(func() (io.ReadCloser, error) {
		f, err := open()
		if err != nil {
			return nil, err
		}
		s.last = &joiner{from: f, out: []byte(opening), nesting: int(o.Caps().InputMaxNesting) + 8}
		return s.last, nil
	}, o, features)
	return s
}

type source struct {
	wire.PartSource
	last *joiner
}

// Walk implements wire.PartSource.
func (s *source) Walk(take func(*schema.Plan, []*schema.Feature) error) (*schema.Plan, []wire.Warning, error) {
	p, warnings, err := s.PartSource.Walk(take)
	var in *wire.InputError
	switch {
	case errors.As(err, &in):
		return nil, nil, wire.ErrWhole // of which every text is looked at by itself first
	case err != nil:
		return nil, nil, err
	}
	p.Source.Format = "geojsonseq"
	var t wire.Tally
	if s.last.separated && s.last.tail != '\n' {
		noLineFeed(&t)
	}
	return p, append(t.Warnings(), warnings...), nil
}

// windowBytes is read at a time. Tests make it small.
var windowBytes = 64 << 10

// joiner reads a sequence as one FeatureCollection, each text on its line.
type joiner struct {
	from      io.ReadCloser
	window    *wire.Window
	out       []byte // joined and not read yet
	left      []byte // of the file, not joined yet
	scanned   int    // bytes of left that were looked at
	depth     int
	deepest   int // of the text in hand
	quoted    bool
	escaped   bool
	separated bool
	tail      byte // the last of the file
	texts     int
	features  int
	head      schema.Attributes
	nesting   int
	ended     bool
}

func (j *joiner) Close() error { return j.from.Close() }

// Read implements io.Reader.
func (j *joiner) Read(b []byte) (int, error) {
	for len(j.out) == 0 {
		if j.ended {
			return 0, io.EOF
		}
		j.out = j.out[:0]
		if err := j.more(); err != nil {
			return 0, err
		}
	}
	n := copy(b, j.out)
	j.out = j.out[n:]
	return n, nil
}

// more joins what comes next.
func (j *joiner) more() error {
	if j.window == nil {
		j.window = &wire.Window{From: j.from, Least: windowBytes}
	}
	if !j.window.GoesOn() {
		return j.end()
	}
	var err error
	if j.left, err = j.window.Fill(j.left); err != nil {
		return err
	}
	if n := len(j.left); n > 0 {
		j.tail = j.left[n-1]
	}
	for {
		if j.depth == 0 {
			at := copySpace(&j.out, j.left, 0, &j.separated)
			if j.left, j.scanned = j.left[at:], 0; len(j.left) == 0 {
				return nil
			}
			if j.left[0] != '{' {
				return wire.ErrWhole
			}
		}
		end := j.textEnd()
		if end < 0 {
			return nil
		}
		if err := j.text(j.left[:end]); err != nil {
			return err
		}
		j.left = j.left[end:]
	}
}

// textEnd is where the object that left starts with ends, -1 when it goes on.
func (j *joiner) textEnd() int {
	for ; j.scanned < len(j.left); j.scanned++ {
		switch b := j.left[j.scanned]; {
		case j.escaped:
			j.escaped = false
		case j.quoted:
			j.escaped, j.quoted = b == '\\', b != '"'
		case b == '"':
			j.quoted = true
		case b == '{' || b == '[':
			j.depth++
			j.deepest = max(j.deepest, j.depth)
		case b == '}' || b == ']':
			if j.depth--; j.depth == 0 {
				end := j.scanned + 1
				j.scanned = 0
				return end
			}
		}
	}
	return -1
}

// text joins a whole text. A Feature is looked at by who reads the collection.
func (j *joiner) text(text []byte) error {
	j.texts++
	deep := j.deepest >= j.nesting
	j.deepest = 0
	var v schema.Value
	if deep || bytes.Contains(text, []byte(`"FeatureCollection"`)) || bytes.Contains(text, []byte(`\u`)) {
		var end int
		var err error
		if v, end, err = jsontext.ParseAt(text, 0, j.nesting); err != nil || end != len(text) {
			return wire.ErrWhole
		}
	}
	switch {
	case v.Fields().Get("type").Text() != "FeatureCollection":
		if j.features > 0 {
			j.out = append(j.out, ',')
		}
		j.features++
		j.out = append(j.out, text...)
	case len(v.Fields().Get("features").Items()) > 0 || j.head != nil:
		return wire.ErrWhole
	default:
		j.head = v.Fields()
		j.out = append(j.out, bytes.Repeat([]byte{'\n'}, bytes.Count(text, []byte{'\n'}))...)
	}
	return nil
}

// end joins what is left at the end of the file.
func (j *joiner) end() error {
	if len(j.left) > 0 || j.texts == 0 {
		return wire.ErrWhole
	}
	j.ended = true
	j.out = append(appendHead(append(j.out, ']'), j.head), '}')
	return nil
}
