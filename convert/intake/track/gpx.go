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
	more := make([]byte, partBytes)
	n, err := io.ReadFull(g.in, more)
	g.Slide(more[:n])
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

// cut keeps what stood before a fault: a file that breaks off is told of, and its
// points count.
func (g *gpx) cut(err error) error {
	in, ok := err.(*wire.InputError)
	if !ok || g.fixes == 0 || in.Line == 0 {
		return err
	}
	g.w.pass(in.Line, "%s; what stands behind is not read", in.Problem)
	return nil
}

// point reads one track point.
func (g *gpx) point(start xml.Token) error {
	f := fixes.Unknown()
	f.Quality, f.Line = Unstated, g.LineOf(start.From)
	bad := ""
	number := func(text []byte, to *float64) {
		v, ok := wire.ParseFloat(text)
		if !ok {
			bad = "a number should stand where " + wire.Clip(text, 20) + " does"
			return
		}
		*to = v
	}
	for _, a := range start.Attrs {
		switch string(a.Local) {
		case "lat":
			number(a.Value, &f.Lat)
		case "lon":
			number(a.Value, &f.Lon)
		}
	}
	depth := len(g.Open)
	var name string
	for {
		t, err := g.Next()
		if err != nil {
			return err
		}
		switch t.Kind {
		case xml.Start:
			name = string(t.Local)
		case xml.Text:
			if text := trim(g.Data[t.From:t.To]); len(text) > 0 {
				g.field(name, text, &f, number, &bad)
			}
		case xml.End:
			name = ""
		}
		if t.Kind == xml.End && len(g.Open) < depth {
			break
		}
	}
	switch {
	case bad == "" && !(f.Lat >= -90 && f.Lat <= 90 && f.Lon >= -180 && f.Lon <= 180):
		bad = "a track point has no latitude and longitude within their range"
	case bad == "" && f.Time.IsZero():
		bad = "a track point has no time"
	}
	if bad != "" {
		g.w.pass(f.Line, "%s", bad)
		return nil
	}
	g.fixes++
	return g.w.take(f)
}

// field takes the text of one element of a track point, in an extension too.
func (g *gpx) field(name string, text []byte, f *fixes.Fix, number func([]byte, *float64), bad *string) {
	switch name {
	case "ele":
		number(text, &f.Height)
	case "hdop":
		number(text, &f.HDOP)
	case "speed":
		number(text, &f.Speed)
	case "sigma":
		number(text, &f.SigmaE)
		f.SigmaE /= 1.4142135623730951 // each way
		f.SigmaN = f.SigmaE
	case "sat":
		var v float64
		if number(text, &v); v >= 0 && v < 1000 {
			f.Satellites = int(v)
		}
	case "time":
		var ok bool
		if f.Time, ok = parseTime(text); !ok {
			*bad = "a time such as 2024-05-31T12:00:00Z should stand where " + wire.Clip(text, 30) + " does"
		}
		f.Dated = ok
	case "fix", "quality", "fix_type":
		// GPX 1.1 has none, 2d, 3d, dgps and pps; extensions have the better word.
		if q, ok := qualityWords[wire.Fold(string(text))]; ok {
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
