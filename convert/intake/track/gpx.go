// GPX: the points of tracks, one part of the file at a time.

package track

import (
	"io"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/convert/wire/xml"
)

// partBytes is how much of a GPX is in memory, and leastBytes how much of it is
// wanted ahead: no track point with all its extensions is as long.
const (
	partBytes  = 1 << 20
	leastBytes = 1 << 18
)

// gpx reads one.
type gpx struct {
	xml.Reader
	w     *watch
	in    io.Reader
	more  []byte
	ended bool // all of the file is in Data, or was
	fixes int
}

// SpaceOf implements xml.Vocabulary: names are taken in any namespace.
func (g *gpx) SpaceOf(string, int) xml.Space { return 0 }

// Unbound implements xml.Vocabulary.
func (g *gpx) Unbound([]byte, int) xml.Space { return 0 }

// Fault implements xml.Vocabulary.
func (g *gpx) Fault(at int, problem, mend string) error {
	return &wire.InputError{File: g.w.o.Name, Line: g.LineOf(at), Problem: problem, Mend: mend}
}

// Warn implements xml.Vocabulary.
func (g *gpx) Warn(kind string, at int, format string, args ...any) {
	g.w.t.Add(kind, g.LineOf(at), "", format, args...)
}

// fill keeps enough of the file ahead.
func (g *gpx) fill() error {
	if g.ended || len(g.Data)-g.Pos >= leastBytes {
		return nil
	}
	if g.more == nil {
		g.more = make([]byte, partBytes)
	}
	n, err := io.ReadFull(g.in, g.more)
	g.Slide(g.more[:n])
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		g.ended = true
		return nil
	}
	if err != nil {
		return &wire.InputError{File: g.w.o.Name, Problem: "the log could not be read to its end: " + err.Error()}
	}
	return nil
}

func readGPX(in io.Reader, w *watch) error {
	g := &gpx{w: w, in: in}
	g.Reader = xml.Reader{Format: "GPX", Nesting: 100, Vocabulary: g}
	if err := g.fill(); err != nil {
		return err
	}
	root := true
	for {
		if err := g.fill(); err != nil {
			return err
		}
		t, err := g.Next()
		switch {
		case err != nil:
			return g.cut(err)
		case t.Kind == xml.EOF:
			if g.fixes == 0 {
				return &wire.InputError{File: w.o.Name, Problem: "the GPX has no track with times", Mend: "export the recorded track, with its times"}
			}
			return nil
		case t.Kind != xml.Start:
			continue
		case root && string(t.Local) != "gpx":
			return &wire.InputError{File: w.o.Name, Problem: "this XML is no GPX", Mend: "a log is NMEA 0183, GPX with times, a .pos, or a list whose header names time, lat, lon and fix"}
		case string(t.Local) == "trkpt":
			if err := g.point(t); err != nil {
				return g.cut(err)
			}
		case string(t.Local) == "wpt", string(t.Local) == "rtept":
			w.t.Add("point-left-out", g.LineOf(t.From), "", "waypoints and route points are no track; they were left out")
			if err := g.Skip(); err != nil {
				return g.cut(err)
			}
		}
		root = false
	}
}

// cut keeps what stood before a fault: a file that breaks off is told of, and
// its points count.
func (g *gpx) cut(err error) error {
	in, ok := err.(*wire.InputError)
	if !ok || g.fixes == 0 || in.Line == 0 {
		return err
	}
	g.w.pass(in.Line, "%s; what stands behind is not read", in.Problem)
	return nil
}

// pointRead is a track point as far as it is read; bad says what is wrong with
// it.
type pointRead struct {
	fixes.Fix
	bad string
}

// number reads a text as one.
func (p *pointRead) number(text []byte, to *float64) {
	v, ok := wire.ParseFloat(text)
	if !ok {
		p.bad = "a number should stand where " + wire.Clip(text, 20) + " does"
		return
	}
	*to = v
}

// point reads one track point.
func (g *gpx) point(start xml.Token) error {
	p := pointRead{Fix: fixes.Unknown()}
	p.Quality, p.Line = Unstated, g.LineOf(start.From)
	for _, a := range start.Attrs {
		switch string(a.Local) {
		case "lat":
			p.number(a.Value, &p.Lat)
		case "lon":
			p.number(a.Value, &p.Lon)
		}
	}
	depth := len(g.Open)
	var name []byte
	for {
		if name == nil {
			if name, text, ok := g.Leaf(); ok {
				if text = trim(text); len(text) > 0 {
					g.field(name, text, &p)
				}
				continue
			}
		}
		t, err := g.Next()
		if err != nil {
			return err
		}
		switch t.Kind {
		case xml.Start:
			name = t.Local
		case xml.Text:
			if text := trim(g.Data[t.From:t.To]); len(text) > 0 {
				g.field(name, text, &p)
			}
		case xml.End:
			name = nil
		}
		if t.Kind == xml.End && len(g.Open) < depth {
			break
		}
	}
	switch {
	case p.bad == "" && !(p.Lat >= -90 && p.Lat <= 90 && p.Lon >= -180 && p.Lon <= 180):
		p.bad = "a track point has no latitude and longitude within their range"
	case p.bad == "" && p.Time.IsZero():
		p.bad = "a track point has no time"
	}
	if p.bad != "" {
		g.w.pass(p.Line, "%s", p.bad)
		return nil
	}
	g.fixes++
	return g.w.take(p.Fix)
}

// field takes the text of one element of a track point, in an extension too.
func (g *gpx) field(name, text []byte, p *pointRead) {
	f := &p.Fix
	switch string(name) {
	case "ele":
		p.number(text, &f.Height)
	case "hdop":
		p.number(text, &f.HDOP)
	case "speed":
		p.number(text, &f.Speed)
	case "sigma":
		p.number(text, &f.SigmaE)
		f.SigmaE /= 1.4142135623730951 // each way
		f.SigmaN = f.SigmaE
	case "sat":
		var v float64
		if p.number(text, &v); v >= 0 && v < 1000 {
			f.Satellites = int(v)
		}
	case "time":
		var ok bool
		if f.Time, ok = parseTime(text); !ok {
			p.bad = "a time such as 2024-05-31T12:00:00Z should stand where " + wire.Clip(text, 30) + " does"
		}
		f.Dated = ok
	case "fix", "quality", "fix_type":
		// GPX 1.1 has none, 2d, 3d, dgps and pps; extensions have the better
		// word.
		if q, ok := qualityOf(text); ok {
			if f.Quality == Unstated || q == fixes.Fixed || q == fixes.Float {
				f.Quality = q
			}
		} else {
			g.w.t.Add("quality-unknown", f.Line, "", "qualities are words that are not known here, first %q; such positions count as having none stated", wire.Clip(text, 20))
		}
	}
}

func trim(b []byte) []byte {
	for len(b) > 0 && xml.IsSpace(b[0]) {
		b = b[1:]
	}
	for len(b) > 0 && xml.IsSpace(b[len(b)-1]) {
		b = b[:len(b)-1]
	}
	return b
}
