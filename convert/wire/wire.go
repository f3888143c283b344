// Package wire is what every format's reader and writer share: the options they
// take, the warnings, losses and errors they give, and the form of numbers.
// It exists so that the format packages need not import convert, which
// imports them.
package wire

import (
	"fmt"
	"strings"

	"swardline/crs"
	"swardline/schema"
)

// ReadOptions say what the user told about an input.
type ReadOptions struct {
	// Name is the file's name for messages and for looking beside it.
	Name string
	// CRS is used when the file does not state one, and overrides one that it
	// does, with a warning; nil means the file must say, or its standard does.
	CRS *crs.CRS
	// CRSBeside says that nobody told the CRS: it is from a .prj beside the file,
	// and what a list says of itself holds, with a warning where the two differ.
	CRSBeside bool
	// Epoch is the coordinates' epoch as a decimal year; 0 means not told.
	Epoch float64
	// Encoding names the encoding of a text, such as "windows-1252"; "" means
	// that the file says, or is UTF-8.
	Encoding string
	// Frame names the frame that the coordinates are in, such as ETRS89, where
	// the CRS only says WGS 84; "" means not told.
	Frame string
	// Columns names the columns of a survey list without a header, such as
	// "PNEZD" or "id,n,e,h,code"; "" means the file has a header.
	Columns string
	// LineCodes is a user's own table of the words that draw lines in the codes
	// of a survey list, such as "ST=START,CL=CLOSE"; "" for the usual ones
	// alone.
	LineCodes string
	// Unit is the length unit the user named: m, mm, ft, ftUS, in, or "".
	Unit string
	// AsDrawn leaves a drawing in its own coordinates even where it says its
	// place on the earth: it is to be placed from marks.
	AsDrawn bool
	// ChordM is how far a chord may leave the curve it stands for, in metres on
	// the ground; 0 means 0.005.
	ChordM float64
	// Allow and With are for a file that holds coordinates in two systems,
	// which must become one; the zero Allow takes exact operations alone.
	Allow crs.Allowed
	With  crs.Aids
	// Limits hold the caps on input; the zero Limits mean the defaults.
	Limits schema.Limits
	// Lists, where it is not nil, is filled by a reader of GeoJSON, so that who
	// walks over the text again may step over what was read.
	Lists *Lists
}

// Lists are the lists of coordinates that a reader found in a text, in order.
type Lists struct {
	// Text is the text itself, the same bytes in the same place.
	Text []byte
	All  []List
}

// List is one of them: it stands in Text from Start up to End; lists nest Depth
// deep about its positions, of which each innermost list holds Least or more. A
// position by itself has depth 0.
type List struct{ Start, End, Depth, Least int }

// Caps returns the limits to hold, the defaults when none were set.
func (o *ReadOptions) Caps() schema.Limits {
	if o.Limits.InputMaxBytes == 0 {
		return schema.DefaultLimits()
	}
	return o.Limits
}

// WriteOptions say how an output is wanted.
type WriteOptions struct {
	// Layout is one of the format's layouts, such as "points" for CSV; "" means
	// its own default.
	Layout string
	// Unit is the length unit of a drawing: m, mm, ft, ftUS, in, or "" for m.
	Unit string
	// Offset is taken off every position of a drawing, in metres east and
	// north; nil lets the writer choose one when the coordinates are too large
	// for it.
	Offset *[2]float64
	// ViewerNote is a line for who opens the file's text: how far a viewer
	// shows the plan off. A format without comments leaves it out.
	ViewerNote string
	// Allow and With are for a format that gives coordinates in WGS 84 beside
	// the plan's own; the zero Allow takes exact operations alone.
	Allow crs.Allowed
	With  crs.Aids
	// Date stands in a drawing's note, YYYY-MM-DD; "" for none.
	Date string
	// Aside gives a writer in parts a place for what stands further on in its
	// file; who gives it closes it. Nil keeps that in memory.
	Aside func() (Scratch, error)
}

// Warning is something a reader took in stride, counted by kind.
type Warning struct {
	// Kind is a short fixed name such as "ring-reversed".
	Kind string
	// Count is how often it happened.
	Count int
	// Message says it in words, with the place where it happened first.
	Message string
	// Line and Path give that place; Line counts from 1, 0 when unknown.
	Line int
	Path string
}

// Loss is something the target could not hold, counted by kind.
type Loss struct {
	// Kind is a short fixed name such as "altitude-mode".
	Kind string `json:"kind"`
	// Count is how many features, vertices or attributes it touches.
	Count int `json:"count"`
	// Message says it in words, with the first feature it touches.
	Message string `json:"message"`
	// Reading is true for content of the input that was not read.
	Reading bool `json:"reading,omitempty"`
	// Note is true when nothing is lost: it is told, and stops nothing.
	Note bool `json:"-"`
}

// Kinds of what is told of a plan's texts beside it, whatever the format: that they
// are lost, and that they went along.
const (
	KindBeside        = "beside"
	KindBesideCarried = "beside-carried"
)

// Tally collects warnings or losses by kind, in the order in which each kind
// came first. The zero Tally is ready for use.
type Tally struct {
	kinds map[string]int
	list  []Warning
}

// Add counts one more of a kind; the first one's message and place are kept.
func (t *Tally) Add(kind string, line int, path, format string, args ...any) {
	t.AddN(kind, 1, line, path, format, args...)
}

// AddN counts n more of a kind; the first one's message and place are kept.
func (t *Tally) AddN(kind string, n, line int, path, format string, args ...any) {
	if i, ok := t.kinds[kind]; ok {
		t.list[i].Count += n
		return
	}
	if t.kinds == nil {
		t.kinds = map[string]int{}
	}
	t.kinds[kind] = len(t.list)
	t.list = append(t.list, Warning{Kind: kind, Count: n, Message: fmt.Sprintf(format, args...), Line: line, Path: path})
}

// Merge adds everything that u collected, as if it had been added here.
func (t *Tally) Merge(u *Tally) {
	for _, w := range u.list {
		t.AddN(w.Kind, w.Count, w.Line, w.Path, "%s", w.Message)
	}
}

// Warnings returns what was collected as warnings.
func (t *Tally) Warnings() []Warning { return t.list }

// Losses returns what was collected as losses.
func (t *Tally) Losses() []Loss {
	var out []Loss
	for _, w := range t.list {
		out = append(out, Loss{Kind: w.Kind, Count: w.Count, Message: w.Message, Note: notes[w.Kind]})
	}
	return out
}

// InputError is the one error a reader gives: which file, where in it, what is
// wrong and how to mend it.
type InputError struct {
	File    string
	Line    int    // from 1; 0 when the format has no lines
	Column  int    // from 1, in bytes; 0 when not known
	Path    string // such as features[3].geometry, or an entry of a KMZ
	Problem string
	Mend    string // what to do about it; may be empty
}

// Error gives "file:line:column: path: problem; mend".
func (e *InputError) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
		if e.Column > 0 {
			fmt.Fprintf(&b, ":%d", e.Column)
		}
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	if e.Path != "" {
		b.WriteString(e.Path)
		b.WriteString(": ")
	}
	b.WriteString(e.Problem)
	if e.Mend != "" {
		b.WriteString("; ")
		b.WriteString(e.Mend)
	}
	return b.String()
}

// LineColumn returns the line and column, both from 1, of a byte offset.
func LineColumn(data []byte, offset int) (line, column int) {
	if offset > len(data) {
		offset = len(data)
	}
	line, column = 1, 1
	for _, c := range data[:offset] {
		if c == '\n' {
			line++
			column = 1
		} else {
			column++
		}
	}
	return line, column
}
