// The JSON report, written and read back.

package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"unicode/utf16"
	"unicode/utf8"
)

// JSON writes the whole report. Plans stand as they are in the set.
func (s *Set) JSON(w io.Writer) error {
	j := NewJSON(w, s.Tool)
	for i := range s.Plans {
		if err := j.Add(&s.Plans[i]); err != nil {
			return err
		}
	}
	return j.Close(s)
}

// JSONWriter writes a JSON report plan by plan.
type JSONWriter struct {
	w      io.Writer
	tool   Tool
	totals Totals
	tally  overviewTally
}

// NewJSON starts a JSON report. Nothing is written before the first Add or
// Close.
func NewJSON(w io.Writer, tool Tool) *JSONWriter { return &JSONWriter{w: w, tool: tool} }

// Add writes one plan.
func (j *JSONWriter) Add(p *Plan) error {
	text, err := laidOut(p, 2)
	if err != nil {
		return err
	}
	lead := []byte(",\n  ")
	if j.totals.Plans == 0 {
		if lead, err = j.head(); err != nil {
			return err
		}
		lead = append(lead, "\n  "...)
	}
	j.totals.add(p)
	j.tally.add(p)
	_, err = j.w.Write(append(lead, text...))
	return err
}

func (j *JSONWriter) head() ([]byte, error) {
	tool, err := laidOut(j.tool, 0)
	return append(append([]byte(`{"tool": `), tool...), ",\n \"plans\": ["...), err
}

// jsonTail is what follows the plans.
type jsonTail struct {
	Gone        []string      `json:"gone,omitempty"`
	Notes       []string      `json:"notes,omitempty"`
	Skipped     []string      `json:"skipped,omitempty"`
	Interrupted *Interruption `json:"interrupted,omitempty"`
	Totals      Totals        `json:"totals"`
	Summary     *Overview     `json:"summary"`
}

// Close writes what concerns the whole of s, its plans apart, and ends the
// report.
func (j *JSONWriter) Close(s *Set) error {
	lead := []byte("\n ")
	if j.totals.Plans == 0 {
		var err error
		if lead, err = j.head(); err != nil {
			return err
		}
	}
	o := j.tally.overview()
	tail, err := laidOut(jsonTail{s.Gone, s.Notes, s.Skipped, s.Interrupted, j.totals, &o}, 0)
	if err != nil {
		return err
	}
	lead = append(lead, "],\n "...)
	_, err = j.w.Write(append(append(lead, bytes.TrimPrefix(tail, []byte("{"))...), '\n'))
	return err
}

// writeJSON writes one value as a whole JSON text.
func writeJSON(w io.Writer, v any) error {
	text, err := laidOut(v, 0)
	if err != nil {
		return err
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

// rowsWithin is in how many brackets a list may stand for its objects to get a
// line each: what a single finding lists stays on its line.
const rowsWithin = 3

// laidOut marshals a value with a space after commas and colons, and line
// breaks where they help two reports compare line by line: before each member
// of the outermost object that is itself an object or a list, and before each
// object in a list. indent is how far the outermost brace stands from the
// margin.
func laidOut(v any, indent int) ([]byte, error) {
	var compact bytes.Buffer
	e := json.NewEncoder(&compact)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	text := bytes.TrimSuffix(compact.Bytes(), []byte("\n"))
	out := make([]byte, 0, len(text)+len(text)/4)
	var open []bool // of the brackets that are open: whether it is a list of objects
	fresh := func() {
		out = append(out, '\n')
		for range indent + len(open) {
			out = append(out, ' ')
		}
	}
	for i := 0; i < len(text); i++ {
		c := text[i]
		out = append(out, c)
		switch c {
		case '"':
			end := stringEnd(text, i)
			out = append(out, text[i+1:end]...)
			i = end - 1
		case '{', '[':
			open = append(open, c == '[' && len(open) < rowsWithin && i+1 < len(text) && text[i+1] == '{')
			if open[len(open)-1] {
				fresh()
			}
		case '}', ']':
			open = open[:len(open)-1]
		case ':':
			out = append(out, ' ')
		case ',':
			switch {
			case open[len(open)-1] || len(open) == 1 && nested(text[i+1:]):
				fresh()
			default:
				out = append(out, ' ')
			}
		}
	}
	return plainJSON(out), nil
}

// stringEnd returns the index past the string that starts at i.
func stringEnd(text []byte, i int) int {
	for i++; text[i] != '"'; i++ {
		if text[i] == '\\' {
			i++
		}
	}
	return i + 1
}

// nested reports whether the member at the start of text holds an object or a
// list.
func nested(text []byte) bool {
	if len(text) == 0 || text[0] != '"' {
		return false
	}
	end := stringEnd(text, 0)
	return end+1 < len(text) && text[end] == ':' && (text[end+1] == '{' || text[end+1] == '[')
}

// plainJSON writes as \u escapes the characters that JSON lets stand in a
// string and that yet change what a terminal or an editor shows: DEL, the C1
// controls, changes of direction and the like. It returns text itself when
// there is none.
func plainJSON(text []byte) []byte {
	i := 0
	for i < len(text) && text[i] < 0x7f {
		i++
	}
	if i == len(text) {
		return text
	}
	out := append(make([]byte, 0, len(text)+64), text[:i]...)
	for i < len(text) {
		r, size := utf8.DecodeRune(text[i:])
		switch {
		case r < 0x7f || shown(r) || r == utf8.RuneError: // the encoder leaves no byte that is not UTF-8
			out = append(out, text[i:i+size]...)
		case r > 0xffff:
			a, b := utf16.EncodeRune(r)
			out = fmt.Appendf(out, "\\u%04x\\u%04x", a, b)
		default:
			out = fmt.Appendf(out, "\\u%04x", r)
		}
		i += size
	}
	return out
}

// ReadJSON reads a JSON report back, for comparing with a new one. The error
// says what is wrong with it.
func ReadJSON(data []byte) (*Set, error) {
	var s Set
	if err := json.Unmarshal(data, &s); err != nil {
		return nil, fmt.Errorf("not a JSON report of a check: %w", err)
	}
	if s.Tool.Name == "" || s.Plans == nil {
		return nil, fmt.Errorf("not a JSON report of a check: it names no tool or no plans")
	}
	for i := range s.Plans {
		p := &s.Plans[i]
		switch p.Status {
		case Clean, Unchecked, Findings, Unreadable:
		default:
			return nil, fmt.Errorf("not a JSON report of a check: plan %d has the status %q", i+1, p.Status)
		}
		if p.Findings == nil {
			p.Findings = []Finding{}
		}
	}
	return &s, nil
}
