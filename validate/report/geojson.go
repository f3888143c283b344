// The findings as GeoJSON, to lay over the plan.

package report

import (
	"io"

	"swardline/validate"
)

// GeoJSON writes the findings as an RFC 7946 FeatureCollection: a Point for every
// finding that has a place in degrees, a LineString for what it traces, and a
// feature without geometry when it has no such place. Degrees are on the datum of
// the plan's CRS, which the property "crs" names.
func (s *Set) GeoJSON(w io.Writer) error {
	t := jsonText{}
	t.raw(`{"type": "FeatureCollection", "features": [`)
	first := true
	next := func() {
		if !first {
			t.raw(",")
		}
		first = false
		t.raw("\n ")
	}
	for i := range s.Plans {
		p := &s.Plans[i]
		for k := range p.Findings {
			f := &p.Findings[k]
			next()
			t.raw(`{"type": "Feature", "geometry": `)
			if f.At != nil && f.At.Lon != nil && f.At.Lat != nil {
				t.raw(`{"type": "Point", "coordinates": `)
				t.position(f.At)
				t.raw("}")
			} else {
				t.raw("null")
			}
			t.properties(p, f, "place")
			t.raw("}")
			if !traceable(f.Trace) {
				continue
			}
			next()
			t.raw(`{"type": "Feature", "geometry": {"type": "LineString", "coordinates": [`)
			for n := range f.Trace {
				if n > 0 {
					t.raw(", ")
				}
				t.position(&f.Trace[n])
			}
			t.raw("]}")
			t.properties(p, f, "trace")
			t.raw("}")
		}
		if len(t.b) > 1<<16 {
			if _, err := w.Write(plainJSON(t.b)); err != nil {
				return err
			}
			t.b = t.b[:0]
		}
	}
	if !first {
		t.raw("\n")
	}
	t.raw("]")
	if s.Interrupted != nil { // a foreign member, RFC 7946, 6.1
		t.raw(`, "interrupted": `)
		t.interruption(s.Interrupted)
	}
	t.raw("}\n")
	_, err := w.Write(plainJSON(t.b))
	return err
}

func traceable(trace []validate.Place) bool {
	for i := range trace {
		if trace[i].Lon == nil || trace[i].Lat == nil {
			return false
		}
	}
	return len(trace) >= 2
}

func (t *jsonText) position(p *validate.Place) {
	t.raw("[")
	t.number(*p.Lon)
	t.raw(", ")
	t.number(*p.Lat)
	t.raw("]")
}

func (t *jsonText) properties(p *Plan, f *Finding, shows string) {
	t.raw(`, "properties": {"path": `)
	t.text(p.Path)
	if p.CRS != "" {
		t.raw(`, "crs": `)
		t.text(p.CRS)
	}
	t.raw(`, "shows": `)
	t.text(shows)
	t.raw(`, "finding": `)
	short := *f
	short.Trace = nil
	t.finding(&short)
	t.raw("}")
}
