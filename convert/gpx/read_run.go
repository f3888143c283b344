// Points of the plain form, read without the general scanner.

package gpx

import (
	"bytes"
	"math"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// vertexRun reads points of the plain form, which nearly all of a file is:
// lat, lon, and at most one elevation and one time. It stops before the first
// that has another form, and leaves faults to the general way of reading.
func (r *reader) vertexRun(name string) error {
	if r.DefaultSpace() != spaceGPX {
		return nil
	}
	open, end := "<"+name+` lat="`, "</"+name+">"
	room := r.caps.InputMaxVertices - float64(r.vertices)
	for ; room >= 1; room-- {
		v, ok := plainVertex(r.Data, r.Pos, open, end)
		if !ok {
			return nil
		}
		if v.time != nil {
			r.addValue(schema.PropTimes, schema.String(string(v.time)))
		}
		r.pieces.flat = append(r.pieces.flat, v.lon, v.lat, v.h)
		r.vertices++
		r.Pos = v.next
	}
	return nil
}

// plain is a point of the plain form; h is NaN and time nil when they are not
// there. next is the index behind it.
type plain struct {
	lon, lat, h float64
	time        []byte
	next        int
}

// plainVertex reads the point of the plain form that starts at or after d[i].
func plainVertex(d []byte, i int, open, end string) (v plain, ok bool) {
	v.h = math.NaN()
	for i < len(d) && xml.IsSpace(d[i]) {
		i++
	}
	if len(d)-i < len(open) || string(d[i:i+len(open)]) != open {
		return v, false
	}
	if v.lat, i, ok = plainNumber(d, i+len(open)); !ok {
		return v, false
	}
	const lon = `" lon="`
	if len(d)-i < len(lon) || string(d[i:i+len(lon)]) != lon {
		return v, false
	}
	if v.lon, i, ok = plainNumber(d, i+len(lon)); !ok {
		return v, false
	}
	if !(v.lat >= -90 && v.lat <= 90 && v.lon >= -180 && v.lon <= 180) || i+4 > len(d) {
		return v, false
	}
	if i++; d[i] == ' ' {
		i++
	}
	switch {
	case d[i] == '/' && d[i+1] == '>':
		v.next = i + 2
		return v, true
	case d[i] != '>':
		return v, false
	}
	return v, v.children(d, i+1, end)
}

// plainNumber reads the number up to the quote behind it.
func plainNumber(d []byte, i int) (f float64, quote int, ok bool) {
	from := i
	for i < len(d) && d[i] != '"' {
		i++
	}
	f, ok = wire.ParseFloat(d[from:i])
	return f, i, ok
}

// children reads at most one elevation and one time up to the end tag.
func (v *plain) children(d []byte, i int, end string) bool {
	for {
		for i < len(d) && xml.IsSpace(d[i]) {
			i++
		}
		rest := d[i:]
		if len(rest) >= len(end) && string(rest[:len(end)]) == end {
			v.next = i + len(end)
			return true
		}
		if text, n, ok := plainChild(rest, "<ele>", "</ele>"); ok && v.h != v.h {
			if v.h, ok = wire.ParseFloat(text); !ok {
				return false
			}
			i += n
		} else if text, n, ok := plainChild(rest, "<time>", "</time>"); ok && v.time == nil && isDateTime(string(text)) {
			v.time = text
			i += n
		} else {
			return false
		}
	}
}

// plainChild reads an element that holds nothing but text; n is its length.
func plainChild(rest []byte, open, end string) (text []byte, n int, ok bool) {
	if len(rest) <= len(open) || string(rest[:len(open)]) != open {
		return nil, 0, false
	}
	to := bytes.IndexByte(rest[len(open):], '<')
	if to < 0 || !bytes.HasPrefix(rest[len(open)+to:], []byte(end)) {
		return nil, 0, false
	}
	return rest[len(open) : len(open)+to], len(open) + to + len(end), true
}
