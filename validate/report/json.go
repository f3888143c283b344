// The JSON report, written and read back.

package report

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"unicode/utf16"
	"unicode/utf8"

	"swardline/schema"
	"swardline/validate"
)

// jsonText builds JSON with one finding, rule or zone a line, so that two
// reports compare well line by line.
type jsonText struct{ b []byte }

func (t *jsonText) raw(s string)     { t.b = append(t.b, s...) }
func (t *jsonText) text(s string)    { t.b = schema.AppendJSONString(t.b, s) }
func (t *jsonText) number(v float64) { t.b = strconv.AppendFloat(t.b, v, 'f', -1, 64) }
func (t *jsonText) int(v int)        { t.b = strconv.AppendInt(t.b, int64(v), 10) }

func (t *jsonText) orNull(v *float64) {
	if v == nil {
		t.raw("null")
		return
	}
	t.number(*v)
}

func (t *jsonText) texts(list []string) {
	t.raw("[")
	for i, s := range list {
		if i > 0 {
			t.raw(", ")
		}
		t.text(s)
	}
	t.raw("]")
}

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
	t      jsonText
	totals Totals
	tally  overviewTally
}

// NewJSON starts a JSON report. Nothing is written before the first Add or Close.
func NewJSON(w io.Writer, tool Tool) *JSONWriter {
	j := &JSONWriter{w: w}
	j.t.raw(`{"tool": {"name": `)
	j.t.text(tool.Name)
	j.t.raw(`, "version": `)
	j.t.text(tool.Version)
	j.t.raw("},\n \"plans\": [")
	return j
}

// Add writes one plan.
func (j *JSONWriter) Add(p *Plan) error {
	if j.totals.Plans > 0 {
		j.t.raw(",")
	}
	j.t.raw("\n  ")
	j.t.plan(p)
	j.totals.add(p)
	j.tally.add(p)
	return j.flush()
}

// Close writes what concerns the whole of s, its plans apart, and ends the report.
func (j *JSONWriter) Close(s *Set) error {
	t := j.totals
	if t.Plans > 0 {
		j.t.raw("\n ")
	}
	j.t.raw("],\n")
	if len(s.Notes) > 0 {
		j.t.raw(` "notes": `)
		j.t.texts(s.Notes)
		j.t.raw(",\n")
	}
	if len(s.Skipped) > 0 {
		j.t.raw(` "skipped": `)
		j.t.texts(s.Skipped)
		j.t.raw(",\n")
	}
	if s.Interrupted != nil {
		j.t.raw(` "interrupted": `)
		j.t.interruption(s.Interrupted)
		j.t.raw(",\n")
	}
	j.t.raw(fmt.Sprintf(" \"totals\": {\"plans\": %d, \"clean\": %d, \"unchecked\": %d, \"findings\": %d, \"unreadable\": %d, \"error\": %d, \"warning\": %d, \"note\": %d},\n \"summary\": ",
		t.Plans, t.Clean, t.Unchecked, t.Findings, t.Unreadable, t.Error, t.Warning, t.Note))
	o := j.tally.overview()
	j.t.summary(&o)
	j.t.raw("}\n")
	return j.flush()
}

func (t *jsonText) interruption(i *Interruption) {
	t.raw(fmt.Sprintf(`{"checked": %d, "not_reached": %d}`, i.Checked, i.NotReached))
}

func (j *JSONWriter) flush() error {
	_, err := j.w.Write(plainJSON(j.t.b))
	j.t.b = j.t.b[:0]
	return err
}

// plainJSON writes as \u escapes the characters that JSON lets stand in a string and
// that yet change what a terminal or an editor shows: DEL, the C1 controls, changes
// of direction and the like. It returns text itself when there is none.
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
		case r < 0x7f || shown(r) || r == utf8.RuneError: // AppendJSONString leaves no byte that is not UTF-8
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

func (t *jsonText) plan(p *Plan) {
	t.raw(`{"path": `)
	t.text(p.Path)
	t.raw(`, "status": `)
	t.text(string(p.Status))
	if p.Error != "" {
		t.raw(`, "error": `)
		t.text(p.Error)
	}
	if p.Name != "" {
		t.raw(`, "name": `)
		t.text(p.Name)
	}
	if p.CRS != "" {
		t.raw(`, "crs": `)
		t.text(p.CRS)
	}
	if p.Frame != "" {
		t.raw(`, "frame": `)
		t.text(p.Frame)
	}
	if p.Heights != "" {
		t.raw(`, "heights": `)
		t.text(p.Heights)
	}
	if p.Epoch != 0 {
		t.raw(`, "epoch": `)
		t.number(p.Epoch)
	}
	if b := p.Base; b != nil {
		t.raw(",\n   \"base\": {")
		if b.Name != "" {
			t.raw(`"name": `)
			t.text(b.Name)
			t.raw(", ")
		}
		t.raw(`"x": `)
		t.number(b.X)
		t.raw(`, "y": `)
		t.number(b.Y)
		t.raw("}")
	}
	if c := p.Checked; c != nil {
		t.raw(",\n   \"checked\": {\"content_sha256\": ")
		t.text(c.Content)
		t.raw(`, "limits_sha256": `)
		t.text(c.Limits)
		t.raw(`, "version": `)
		t.text(c.Version)
		if c.Carried {
			t.raw(`, "carried": true`)
		}
		t.raw("}")
	}
	t.raw(",\n   \"summary\": {\"error\": ")
	t.int(p.Summary.Error)
	t.raw(`, "warning": `)
	t.int(p.Summary.Warning)
	t.raw(`, "note": `)
	t.int(p.Summary.Note)
	t.raw("}")
	if a := p.Areas; a != nil {
		t.raw(",\n   \"areas\": {\"zones_m2\": ")
		t.orNull(a.Zones)
		t.raw(`, "keepouts_m2": `)
		t.orNull(a.Keepouts)
		t.raw(`, "net_m2": `)
		t.orNull(a.Net)
		t.raw("}")
	}
	t.raw(",\n   \"findings\": [")
	for i := range p.Findings {
		t.row(i)
		t.finding(&p.Findings[i])
	}
	t.raw("]")
	if len(p.Rules) > 0 {
		t.raw(",\n   \"rules\": [")
		t.rules(p.Rules)
		t.raw("]")
	}
	if len(p.Limits) > 0 {
		t.raw(",\n   \"limits\": {")
		for i, l := range p.Limits {
			if i > 0 {
				t.raw(", ")
			}
			t.text(l.Key)
			t.raw(": ")
			t.number(l.Value)
		}
		t.raw("}")
	}
	if len(p.FromDefault) > 0 {
		t.raw(",\n   \"limits_from_default\": ")
		t.texts(p.FromDefault)
	}
	if o := p.Origin; o != nil {
		t.raw(",\n   \"origin\": {\"of\": ")
		t.text(o.Of)
		t.raw(`, "lon": `)
		t.number(o.Lon)
		t.raw(`, "lat": `)
		t.number(o.Lat)
		t.raw("}")
	}
	if len(p.Zones) > 0 {
		t.raw(",\n   \"zones\": [")
		for i, z := range p.Zones {
			t.row(i)
			t.raw(`{"feature": `)
			t.text(z.Feature)
			if z.Name != "" {
				t.raw(`, "name": `)
				t.text(z.Name)
			}
			t.raw(`, "gross_m2": `)
			t.orNull(z.Gross)
			t.raw(`, "net_m2": `)
			t.orNull(z.Net)
			t.raw(`, "hard_edge_m": `)
			t.orNull(z.HardEdge)
			t.raw(`, "uncut_m2": `)
			t.orNull(z.Uncut)
			t.raw("}")
		}
		t.raw("]")
	}
	if len(p.Inactive) > 0 {
		t.raw(",\n   \"inactive\": ")
		t.texts(p.Inactive)
	}
	if len(p.Notes) > 0 {
		t.raw(",\n   \"notes\": ")
		t.texts(p.Notes)
	}
	if len(p.Warnings) > 0 {
		t.raw(",\n   \"warnings\": [")
		for i, w := range p.Warnings {
			t.row(i)
			t.raw(`{"kind": `)
			t.text(w.Kind)
			t.raw(`, "count": `)
			t.int(w.Count)
			t.raw(`, "message": `)
			t.text(w.Message)
			if w.Line > 0 {
				t.raw(`, "line": `)
				t.int(w.Line)
			}
			t.raw("}")
		}
		t.raw("]")
	}
	t.raw("}")
}

// rules prints what became of each rule, the list's brackets left out.
func (t *jsonText) rules(list []Rule) {
	for i, r := range list {
		t.row(i)
		t.raw(`{"rule": `)
		t.text(r.Rule)
		t.raw(`, "outcome": `)
		t.text(r.Outcome)
		if r.Reason != "" {
			t.raw(`, "reason": `)
			t.text(r.Reason)
		}
		t.raw("}")
	}
}

// row starts the next item of a list on a line of its own.
func (t *jsonText) row(i int) {
	if i > 0 {
		t.raw(",")
	}
	t.raw("\n    ")
}

func (t *jsonText) finding(f *Finding) {
	t.raw(`{"rule": `)
	t.text(f.Rule)
	t.raw(`, "severity": `)
	t.text(f.Severity)
	t.raw(`, "features": `)
	t.texts(f.Features)
	if len(f.Names) > 0 {
		t.raw(`, "names": `)
		t.texts(f.Names)
	}
	t.raw(`, "message": `)
	t.text(f.Message)
	for _, x := range [...]struct {
		key string
		v   *float64
	}{{"measured", f.Measured}, {"limit", f.Limit}} {
		if x.v != nil {
			t.raw(`, "` + x.key + `": `)
			t.number(*x.v)
		}
	}
	if f.Unit != "" {
		t.raw(`, "unit": `)
		t.text(f.Unit)
	}
	if f.AreaM2 != nil {
		t.raw(`, "area_m2": `)
		t.number(*f.AreaM2)
	}
	if f.At != nil {
		t.raw(`, "at": `)
		t.place(f.At)
	}
	if len(f.Trace) > 0 {
		t.raw(`, "trace": [`)
		for i := range f.Trace {
			if i > 0 {
				t.raw(", ")
			}
			t.place(&f.Trace[i])
		}
		t.raw("]")
	}
	if f.Source != nil {
		t.raw(`, "source": {"line": `)
		t.int(f.Source.Line)
		t.raw("}")
	}
	t.raw(`, "mendable": `)
	t.raw(strconv.FormatBool(f.Mendable))
	t.raw("}")
}

func (t *jsonText) place(p *validate.Place) {
	t.raw("{")
	first := true
	for _, x := range [...]struct {
		key string
		v   *float64
	}{{"lon", p.Lon}, {"lat", p.Lat}, {"e", p.E}, {"n", p.N}} {
		if x.v == nil {
			continue
		}
		if !first {
			t.raw(", ")
		}
		first = false
		t.raw(`"` + x.key + `": `)
		t.number(*x.v)
	}
	t.raw("}")
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
