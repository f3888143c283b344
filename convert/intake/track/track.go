// Package track reads logs of fixes - positions with a time and a quality - for
// those who ask what was driven or walked: NMEA 0183, GPX 1.1 tracks, lists
// (CSV) with a column of times, and the text of position solutions (.pos). A
// log is read as a stream: what is in memory is the part in work, whatever the
// log's length.
//
// Nothing is lost on the way and nothing guessed. Lines that cannot be read are
// counted and told of, positions without a stated quality stay without one, and
// a clock that jumps, a week number that rolled over and two receivers in one
// file are told.
package track

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"time"

	"swardline/convert/nmea"
	"swardline/convert/solution"
	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/convert/wire/xml"
	"swardline/crs"
)

// Unstated is the quality of a position of which the log does not say how it
// was known.
const Unstated fixes.Quality = ""

// Class is a quality as a report counts it.
type Class uint8

// The classes. What is not Fixed is never mixed with what is.
const (
	Fixed Class = iota
	Float
	Single  // any position from code: single, differential
	Other   // not measured (estimated, manual, simulated), or not stated
	None    // no position
	classes // how many there are
)

// ClassOf returns the class of a quality. Precise point positioning is Float:
// carrier phases whose ambiguities are not fixed to a base's.
func ClassOf(q fixes.Quality) Class {
	switch q {
	case fixes.Fixed:
		return Fixed
	case fixes.Float, fixes.PPP:
		return Float
	case fixes.Single, fixes.Differential:
		return Single
	case fixes.None:
		return None
	}
	return Other
}

// Options say what was told of a log.
type Options struct {
	// Name is the file's, for messages.
	Name string
	// CRS is that of a list with eastings and northings; nil when not told.
	CRS *crs.CRS
	// Frame and Epoch are what was told of the coordinates; a log says neither.
	// They are kept in the Summary.
	Frame string
	Epoch float64
	// Quality is taken for positions that state none; Unstated leaves it so.
	Quality fixes.Quality
}

// Summary says what a log holds.
type Summary struct {
	File, Format string
	Frame        string
	Epoch        float64
	// Fixes counts positions, those of quality None too; Of counts them by
	// class.
	Fixes int
	Of    [classes]int
	// Unstated counts those of Of[Other] that state no quality.
	Unstated int
	// Refused counts lines and elements that could not be read.
	Refused int
	// From and To are the first and the last time in the log's order; Dated is
	// false when the log gives no date.
	From, To time.Time
	Dated    bool
	// West, South, East and North bound all positions, in degrees.
	West, South, East, North float64
	// ClockBack counts steps back in time, RollOver steps of whole multiples of
	// 1024 weeks, Pauses gaps of more than an hour.
	ClockBack, RollOver, Pauses int
	// Mixed is set when positions of two receivers stand in one file.
	Mixed    bool
	Warnings []wire.Warning
}

// formats by what reads them.
const (
	FormatNMEA     = "nmea"
	FormatGPX      = "gpx"
	FormatCSV      = "csv"
	FormatSolution = "solution"
)

// headBytes is how much of a log is looked at to find out its format.
const headBytes = 1 << 16

// lineBytes is the longest line that is read.
const lineBytes = 1 << 16

// Read reads a log and calls yield with each of its positions, in its order,
// those of quality None too. Latitudes and longitudes are in the frame of the
// corrections. The Summary is never nil. Errors are yield's own or
// *wire.InputError: for what is no log, or holds no position.
func Read(r io.Reader, o Options, yield func(fixes.Fix) error) (*Summary, error) {
	s := &Summary{File: o.Name, Frame: o.Frame, Epoch: o.Epoch, West: 180, South: 90, East: -180, North: -90}
	var t wire.Tally
	w := watch{o: &o, s: s, t: &t, yield: yield}
	in := bufio.NewReaderSize(r, headBytes)
	head, err := in.Peek(headBytes)
	if err != nil && err != io.EOF {
		return s, &wire.InputError{File: o.Name, Problem: "the log could not be read to its end: " + err.Error()}
	}
	text, err := wire.CheckText(head, o.Name, &t)
	if err != nil {
		return s, err
	}
	if _, err := in.Discard(len(head) - len(text)); err != nil {
		return s, err
	}
	if _, ok := xml.Root(text); ok {
		s.Format = FormatGPX
		err = readGPX(in, &w)
	} else if s.Format, err = formatOf(text, &o); err == nil {
		switch s.Format {
		case FormatNMEA:
			l := nmea.NewLog(&t, w.take)
			err = lines(in, &w, l.Line, l.Close)
		case FormatSolution:
			l := solution.NewLog(w.take)
			err = lines(in, &w, func(line []byte, n int) error { return w.orPass(l.Line(line, n), n) }, l.Close)
		default:
			l := newList(&w, text)
			err = lines(in, &w, l.line, l.close)
		}
	}
	w.end()
	var bad *wire.InputError
	if errors.As(err, &bad) && bad.File == "" {
		bad.File = o.Name
	}
	if err == nil && s.Fixes == s.Of[None] {
		err = &wire.InputError{File: o.Name, Problem: "the log holds no position", Mend: "check that the receiver had a fix and that the right file was sent"}
	}
	return s, err
}

func formatOf(head []byte, o *Options) (string, error) {
	switch {
	case nmea.Detect(head):
		return FormatNMEA, nil
	case solution.Detect(head):
		return FormatSolution, nil
	}
	if l := listOf(head); l.usable(o) == nil {
		return FormatCSV, nil
	} else if bytes.IndexByte(head, '$') < 0 {
		return "", l.usable(o)
	}
	return FormatNMEA, nil // damaged from its start: its reader tells
}

// lines hands each line to take and then calls close.
func lines(in *bufio.Reader, w *watch, take func([]byte, int) error, close func() error) error {
	for n := 1; ; n++ {
		line, err := in.ReadSlice('\n')
		if err == bufio.ErrBufferFull {
			w.pass(n, "a line is longer than %d bytes", lineBytes)
			for err == bufio.ErrBufferFull {
				_, err = in.ReadSlice('\n')
			}
			line = nil
		}
		if err != nil && err != io.EOF {
			return &wire.InputError{File: w.o.Name, Line: n, Problem: "the log could not be read to its end: " + err.Error()}
		}
		if len(line) > 0 {
			if err := take(line, n); err != nil {
				return err
			}
		}
		if err == io.EOF {
			return close()
		}
	}
}

// oldYear is the year before which a log is more likely one of a receiver whose
// week number rolled over; common practice, no source.
const oldYear = 2012

// weekRoll is the time after which the week number of a satellite signal starts
// again from 0: 1024 weeks (IS-GPS-200, 20.3.3.3.1.1).
const weekRoll = 1024 * 7 * 24 * time.Hour

// watch counts positions on their way and looks at clock and place.
type watch struct {
	o     *Options
	s     *Summary
	t     *wire.Tally
	yield func(fixes.Fix) error
	// last and before are the last two positions with a place, and apart is how
	// far apart they are, in metres.
	last, before spot
	apart        float64
	have, hops   int
	beside       int // positions elsewhere at the time of the one before
}

// spot is when and where a position is.
type spot struct {
	time     time.Time
	lat, lon float64
}

// pass counts a line that could not be read.
func (w *watch) pass(line int, format string, args ...any) {
	w.t.Add("line-damaged", line, "", "lines are damaged and were passed over, first line %d: %s", line, fmt.Sprintf(format, args...))
}

// orPass counts an error of a line, unless it is yield's.
func (w *watch) orPass(err error, line int) error {
	if err == nil {
		return nil
	}
	var in *wire.InputError
	if !errors.As(err, &in) || in.Line == 0 {
		return err
	}
	w.pass(line, "%s", in.Problem)
	return nil
}

// take is given each position.
func (w *watch) take(f fixes.Fix) error {
	s := w.s
	if f.Quality != fixes.None && (math.IsNaN(f.Lat) || math.IsNaN(f.Lon)) {
		f.Quality = fixes.None
	}
	if f.Quality == Unstated {
		if f.Quality = w.o.Quality; f.Quality == Unstated {
			s.Unstated++
		}
	}
	s.Fixes++
	class := ClassOf(f.Quality)
	s.Of[class]++
	if s.Fixes == 1 {
		s.From, s.Dated = f.Time, f.Dated
	}
	s.To = f.Time
	if class != None {
		s.West, s.East = min(s.West, f.Lon), max(s.East, f.Lon)
		s.South, s.North = min(s.South, f.Lat), max(s.North, f.Lat)
		w.look(&f)
	}
	return w.yield(f)
}

// look compares a position with the two before it.
func (w *watch) look(f *fixes.Fix) {
	now := spot{f.Time, f.Lat, f.Lon}
	apart := 0.0
	if w.have > 0 {
		w.clock(f)
		apart = w.last.to(&now)
	}
	if w.have > 1 && w.hop(&now, apart) {
		w.hops++
	}
	if w.have > 0 && apart > besideM && now.time.Equal(w.last.time) {
		w.beside++
	}
	w.before, w.last, w.apart = w.last, now, apart
	w.have++
}

func (w *watch) clock(f *fixes.Fix) {
	step := f.Time.Sub(w.last.time)
	rolls := time.Duration(math.Round(float64(step) / float64(weekRoll)))
	off := (step - rolls*weekRoll).Abs()
	switch {
	case rolls != 0 && off < 24*time.Hour:
		w.s.RollOver++
		w.t.Add("week-rollover", f.Line, "", "dates jump by %d weeks, first at line %d: the receiver's week number rolled over; the dates are kept as they are written", rolls*1024, f.Line)
	case step < 0:
		w.s.ClockBack++
		w.t.Add("clock-back", f.Line, "", "times step back, first at line %d by %s; such a step counts for no time", f.Line, (-step).Round(time.Millisecond))
	case step == 0 && f.Lat == w.last.lat && f.Lon == w.last.lon:
		w.t.Add("moment-repeated", f.Line, "", "positions are repeated with the same time, first line %d", f.Line)
	case step > 24*time.Hour:
		w.s.Pauses++
		w.t.Add("clock-forward", f.Line, "", "times jump ahead by more than a day, first at line %d by %s", f.Line, step.Round(time.Second))
	case step > time.Hour:
		w.s.Pauses++
	}
}

// Two receivers in one file show as a track that hops there and back, or as two
// places of one time. hopM and besideM are how far apart they must be, in
// metres, hopSpeed in m/s what no machine or walker reaches on a way there and
// back, again and again. Times are often cut to the second, so that a few
// decimetres of way are none.
const (
	hopM     = 5.0
	hopSpeed = 5.0
	besideM  = 1.0
)

// hop reports whether the last position stands far from both the one before it
// and the one at hand, to which it is back metres, while these are near one
// another.
func (w *watch) hop(now *spot, back float64) bool {
	there := w.apart
	if there < hopM || back < hopM || w.before.to(now) > min(there, back)/2 {
		return false
	}
	return there+back > hopSpeed*(w.last.time.Sub(w.before.time).Abs()+now.time.Sub(w.last.time).Abs()).Seconds()
}

// to is the distance to another place in metres, on a sphere and for short
// ones: good to half a per cent.
func (a *spot) to(b *spot) float64 {
	const perDegree = 111_195 // of a sphere of 6371 km
	dLon := math.Remainder(b.lon-a.lon, 360)
	return perDegree * math.Hypot(dLon*math.Cos(a.lat*(math.Pi/180)), b.lat-a.lat)
}

// end settles what only the whole log shows.
func (w *watch) end() {
	s := w.s
	if s.Unstated > 0 {
		w.t.AddN("quality-unstated", s.Unstated, 0, "", "positions do not say how well they were known; they count apart")
	}
	if n := s.Of[None]; n > 0 {
		w.t.AddN("fix-none", n, 0, "", "times without a position; they are counted and left out")
	}
	if n := max(w.hops, w.beside); n >= 10 && n*20 >= w.have {
		w.t.AddN("receivers-mixed", n, 0, "", "the track hops between two places: the log of two receivers in one file")
	}
	if s.Dated && s.From.Year() < oldYear && w.have > 0 {
		w.t.Add("date-old", 0, "", "the log is dated %s; 1024 weeks later is %s: so a receiver writes whose week number rolled over; the dates are kept as they are written",
			s.From.UTC().Format(time.DateOnly), s.From.Add(weekRoll).UTC().Format(time.DateOnly))
	}
	s.Warnings = w.t.Warnings()
	for _, x := range s.Warnings {
		switch x.Kind {
		case "receivers-mixed":
			s.Mixed = true
		case "sentence-damaged", "line-damaged", "line-left-out":
			s.Refused += x.Count
		}
	}
}
