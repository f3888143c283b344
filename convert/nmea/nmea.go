// Package nmea reads logs of NMEA 0183 sentences: GGA, RMC, GST, ZDA and VTG of any
// talker (GP, GN, GL, GA, GB, ...). It gives positions with time and quality
// (Fixes), and the plan that a log makes (Read). The layout of sentences is from
// memory of the standard, which is not free, and of receivers' published manuals.
package nmea

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/schema"
)

// Sentence is one sentence without its checksum.
type Sentence struct {
	Talker string // "GP", "GN", ...; "P" for a maker's own sentence
	Type   string // "GGA", ...
	Fields []string
	// Checked is true when the sentence has a checksum, which then agrees.
	Checked bool
}

// Parse reads the sentence of a line. What stands before its $ (times that a
// logger added, tag blocks) is passed over. ok is false when there is no sentence;
// the error says what is wrong with one.
func Parse(line []byte) (s Sentence, ok bool, err error) {
	ok, err = s.parse(line)
	return s, ok, err
}

// parse is Parse into a sentence whose fields are used again.
func (s *Sentence) parse(line []byte) (ok bool, err error) {
	s.Talker, s.Type, s.Checked, s.Fields = "", "", false, s.Fields[:0]
	at := bytes.LastIndexByte(line, '$')
	if at < 0 {
		return false, nil
	}
	body := bytes.TrimRight(line[at+1:], "\r\n \x00")
	if star := bytes.IndexByte(body, '*'); star >= 0 {
		sum := byte(0)
		for _, c := range body[:star] {
			sum ^= c
		}
		said, err := strconv.ParseUint(string(body[star+1:]), 16, 8)
		if err != nil || len(body)-star-1 != 2 {
			return true, fmt.Errorf("the checksum %q is no number of two digits", wire.Clip(body[star+1:], 10))
		}
		if byte(said) != sum {
			return true, fmt.Errorf("the checksum is %02X, the sentence says %02X", sum, said)
		}
		body, s.Checked = body[:star], true
	}
	head, text, more := strings.Cut(string(body), ",")
	for more {
		var field string
		field, text, more = strings.Cut(text, ",")
		s.Fields = append(s.Fields, field)
	}
	for _, c := range []byte(head) {
		if (c < 'A' || c > 'Z') && (c < '0' || c > '9') {
			return true, fmt.Errorf("%q is no sentence's name", wire.Clip([]byte(head), 10))
		}
	}
	switch {
	case strings.HasPrefix(head, "P"):
		s.Talker, s.Type = "P", head[1:]
	case len(head) == 5:
		s.Talker, s.Type = head[:2], head[2:]
	default:
		return true, fmt.Errorf("%q is no sentence's name", wire.Clip([]byte(head), 10))
	}
	return true, nil
}

func (s *Sentence) field(i int) string {
	if i < len(s.Fields) {
		return strings.TrimSpace(s.Fields[i])
	}
	return ""
}

// number is a field as a number, NaN when it is empty.
func (s *Sentence) number(i int) (float64, error) {
	t := s.field(i)
	if t == "" {
		return math.NaN(), nil
	}
	v, ok := wire.ParseFloat([]byte(t))
	if !ok {
		return math.NaN(), fmt.Errorf("field %d should be a number, got %q", i+1, wire.Clip([]byte(t), 20))
	}
	return v, nil
}

// angle reads ddmm.mmm with its hemisphere in the field behind it.
func (s *Sentence) angle(i int, degreeDigits int, positive, negative string) (float64, error) {
	t, side := s.field(i), s.field(i+1)
	if t == "" && side == "" {
		return math.NaN(), nil
	}
	whole, _, _ := strings.Cut(t, ".")
	if len(whole) != degreeDigits+2 {
		return 0, fmt.Errorf("field %d should be degrees and minutes, got %q", i+1, wire.Clip([]byte(t), 20))
	}
	d, ok1 := wire.ParseFloat([]byte(t[:degreeDigits]))
	m, ok2 := wire.ParseFloat([]byte(t[degreeDigits:]))
	if !ok1 || !ok2 || m >= 60 || t[0] == '-' || t[0] == '+' || t[degreeDigits] == '-' || t[degreeDigits] == '+' {
		return 0, fmt.Errorf("field %d should be degrees and minutes, got %q", i+1, wire.Clip([]byte(t), 20))
	}
	v := d + m/60
	if limit := 90 * float64(degreeDigits-1); v > limit {
		return 0, fmt.Errorf("field %d is past %g degrees", i+1, limit)
	}
	switch side {
	case positive:
		return v, nil
	case negative:
		return -v, nil
	}
	return 0, fmt.Errorf("field %d should be %s or %s, got %q", i+2, positive, negative, wire.Clip([]byte(side), 10))
}

// clock reads hhmmss.ss as the time since midnight; ok is false when it is
// empty.
func (s *Sentence) clock(i int) (d time.Duration, ok bool, err error) {
	t := s.field(i)
	if t == "" {
		return 0, false, nil
	}
	bad := func() error {
		return fmt.Errorf("field %d should be a time such as 123519.00, got %q", i+1, wire.Clip([]byte(t), 20))
	}
	if len(t) < 6 || strings.Trim(t[:6], "0123456789") != "" {
		return 0, false, bad()
	}
	h, _ := strconv.Atoi(t[:2])
	m, _ := strconv.Atoi(t[2:4])
	sec, isNumber := wire.ParseFloat([]byte(t[4:]))
	if !isNumber || h > 23 || m > 59 || sec >= 61 {
		return 0, false, bad()
	}
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(math.Round(sec*1e6))*time.Microsecond, true, nil
}

// qualities are the words for field 6 of GGA.
var qualities = map[string]fixes.Quality{"0": fixes.None, "1": fixes.Single, "2": fixes.Differential, "3": fixes.Differential, "4": fixes.Fixed,
	"5": fixes.Float, "6": fixes.Estimated, "7": fixes.Manual, "8": fixes.Simulated, "9": fixes.Differential}

// modes are the words for the mode of RMC, for logs without GGA.
var modes = map[string]fixes.Quality{"N": fixes.None, "A": fixes.Single, "D": fixes.Differential, "R": fixes.Fixed, "F": fixes.Float, "E": fixes.Estimated,
	"M": fixes.Manual, "S": fixes.Simulated, "P": fixes.Differential, "": fixes.Single}

// epoch gathers the sentences of one moment.
type epoch struct {
	fix      fixes.Fix
	at       time.Duration // since midnight
	begun    bool
	position int // 0 none, 1 from RMC, 2 from GGA
	date     time.Time
}

// mostHeld is how many positions wait for the log's first date: a day at one a
// second. Past it they are given without a date, and so are all others.
const mostHeld = 86400

// Log takes a log line by line, so that a file need not be in memory whole.
type Log struct {
	t     *wire.Tally
	yield func(fixes.Fix) error
	s     Sentence
	epoch epoch
	last  time.Duration
	any   bool
	days  int       // midnights since the log began
	date  time.Time // of the current day, zero when not known
	held  []fixes.Fix
	late  bool // more than mostHeld came before the first date
	seen  int
	// checked is set once a sentence had its checksum.
	checked bool
}

// NewLog makes ready for a log. yield gets every position in the log's order,
// those of quality None too. Sentences of one time of day make one position: place,
// height and quality from GGA (from RMC where there is no GGA), standard errors
// from GST, date from RMC or ZDA. Two different places of one time of day are two
// positions, and counted. A time of day that falls back by more than twelve hours
// is a new day. Positions before the first date have it too. Sentences that are
// damaged are counted in t and passed over.
func NewLog(t *wire.Tally, yield func(fixes.Fix) error) *Log {
	return &Log{t: t, yield: yield, epoch: epoch{fix: fixes.Unknown()}}
}

// Line takes the next line, n from 1. The error is yield's.
func (l *Log) Line(line []byte, n int) error {
	if len(bytes.TrimSpace(line)) == 0 {
		return nil
	}
	s := &l.s
	ok, err := s.parse(line)
	if !ok {
		l.t.Add("line-left-out", n, "", "lines are no sentences, first line %d; they were passed over", n)
		return nil
	}
	if err == nil && !s.Checked && l.checked {
		err = errors.New("it has no checksum, where those before have one: it is cut")
	}
	if err == nil {
		err = l.take(s, n)
	}
	if stop, isStop := err.(stopError); isStop {
		return stop.error
	}
	if err != nil {
		l.t.Add("sentence-damaged", n, "", "sentences are damaged and were passed over, first line %d: %v", n, err)
		return nil
	}
	l.seen++
	if l.checked = l.checked || s.Checked; !s.Checked {
		l.t.Add("checksum-missing", n, "", "sentences have no checksum, so damage would not show")
	}
	return nil
}

// Close ends the log. The error is yield's, or that there was no sentence at all.
func (l *Log) Close() error {
	if err := l.flush(); err != nil {
		return err
	}
	if err := l.releaseUndated(); err != nil {
		return err
	}
	if l.seen == 0 {
		return &wire.InputError{Problem: "the file holds no NMEA 0183 sentence", Mend: "check that it was saved or sent whole"}
	}
	return nil
}

// Fixes reads a log as NewLog says. The error is that of yield, or that the file
// holds no sentence at all.
func Fixes(data []byte, t *wire.Tally, yield func(fixes.Fix) error) error {
	l := NewLog(t, yield)
	for n := 1; len(data) > 0; n++ {
		line, rest, _ := bytes.Cut(data, []byte{'\n'})
		data = rest
		if err := l.Line(line, n); err != nil {
			return err
		}
	}
	return l.Close()
}

// stopError carries yield's own error past the counting of damage.
type stopError struct{ error }

func (l *Log) take(s *Sentence, line int) error {
	switch s.Type {
	case "GGA", "GNS", "RMC", "GST", "ZDA":
	default:
		return nil
	}
	at, ok, err := s.clock(0)
	if err != nil {
		return err
	}
	// Everything is read before anything is taken, so that a damaged sentence leaves
	// nothing behind.
	var apply func(e *epoch)
	switch s.Type {
	case "GGA":
		apply, err = s.gga()
	case "RMC":
		apply, err = s.rmc()
	case "GST":
		apply, err = s.gst()
	case "ZDA":
		apply, err = s.zda()
	case "GNS":
		return nil // its place is that of GGA, which receivers send beside it
	}
	if err != nil {
		return err
	}
	if e := &l.epoch; ok && s.Type == "GGA" && e.begun && at == e.at && e.position == 2 && s.elsewhere(&e.fix) {
		l.t.Add("receivers-mixed", line, "", "times have two places each, first line %d: the log of two receivers in one file", line)
		if err := l.flush(); err != nil {
			return stopError{err}
		}
	}
	if ok && (!l.epoch.begun || at != l.epoch.at) {
		if err := l.flush(); err != nil {
			return stopError{err}
		}
		l.epoch.begun, l.epoch.at = true, at
	}
	if l.epoch.fix.Line == 0 {
		l.epoch.fix.Line = line
	}
	apply(&l.epoch)
	return nil
}

// elsewhere reports whether a GGA gives another place than the fix has.
func (s *Sentence) elsewhere(f *fixes.Fix) bool {
	lat, err1 := s.angle(1, 2, "N", "S")
	lon, err2 := s.angle(3, 3, "E", "W")
	return err1 == nil && err2 == nil && (lat != f.Lat || lon != f.Lon) && lat == lat && f.Lat == f.Lat
}

func (s *Sentence) gga() (func(*epoch), error) {
	lat, err := s.angle(1, 2, "N", "S")
	if err != nil {
		return nil, err
	}
	lon, err := s.angle(3, 3, "E", "W")
	if err != nil {
		return nil, err
	}
	quality, ok := qualities[s.field(5)]
	if !ok {
		return nil, fmt.Errorf("field 6 should be a quality from 0 to 9, got %q", wire.Clip([]byte(s.field(5)), 10))
	}
	var v [5]float64
	for i, at := range []int{6, 7, 8, 10, 12} {
		if v[i], err = s.number(at); err != nil {
			return nil, err
		}
	}
	return func(e *epoch) {
		f := &e.fix
		f.Lat, f.Lon, f.Quality, f.HDOP, f.Level, f.Height, f.Age = lat, lon, quality, v[1], v[2], v[2]+v[3], v[4]
		if v[0] == v[0] {
			f.Satellites = int(v[0])
		}
		e.position = 2
	}, nil
}

func (s *Sentence) rmc() (func(*epoch), error) {
	lat, err := s.angle(2, 2, "N", "S")
	if err != nil {
		return nil, err
	}
	lon, err := s.angle(4, 3, "E", "W")
	if err != nil {
		return nil, err
	}
	speed, err := s.number(6)
	if err != nil {
		return nil, err
	}
	course, err := s.number(7)
	if err != nil {
		return nil, err
	}
	var date time.Time
	if t := s.field(8); t != "" {
		if date, err = time.Parse("020106", t); err != nil {
			return nil, fmt.Errorf("field 9 should be a date such as 310524, got %q", wire.Clip([]byte(t), 20))
		}
		// Two digits of a year: satellite navigation began in 1980.
		if y := date.Year(); y >= 2080 {
			date = date.AddDate(-100, 0, 0)
		} else if y < 1980 {
			date = date.AddDate(100, 0, 0)
		}
	}
	quality, ok := modes[s.field(11)]
	if !ok {
		quality = fixes.Single
	}
	if s.field(1) == "V" {
		quality = fixes.None
	}
	return func(e *epoch) {
		f := &e.fix
		const knot = 1852.0 / 3600
		f.Speed, f.Course, e.date = speed*knot, course, date
		if e.position < 1 {
			f.Lat, f.Lon, f.Quality = lat, lon, quality
			e.position = 1
		}
	}, nil
}

func (s *Sentence) gst() (func(*epoch), error) {
	var v [3]float64
	for i := range v {
		var err error
		if v[i], err = s.number(5 + i); err != nil {
			return nil, err
		}
	}
	return func(e *epoch) { e.fix.SigmaN, e.fix.SigmaE, e.fix.SigmaU = v[0], v[1], v[2] }, nil
}

func (s *Sentence) zda() (func(*epoch), error) {
	if s.field(1) == "" {
		return func(*epoch) {}, nil
	}
	date, err := time.Parse("02 01 2006", s.field(1)+" "+s.field(2)+" "+s.field(3))
	if err != nil {
		return nil, fmt.Errorf("fields 2 to 4 should be day, month and year, got %q", wire.Clip([]byte(strings.Join(s.Fields[1:min(4, len(s.Fields))], ",")), 20))
	}
	return func(e *epoch) { e.date = date }, nil
}

// flush ends the current moment.
func (l *Log) flush() error {
	e := l.epoch
	l.epoch = epoch{fix: fixes.Unknown()}
	if !e.begun && e.position == 0 {
		return nil
	}
	if e.begun {
		if l.any && l.last-e.at > 12*time.Hour {
			l.days++
			if !l.date.IsZero() {
				l.date = l.date.AddDate(0, 0, 1)
			}
		}
		l.last, l.any = e.at, true
	}
	if !e.date.IsZero() && !l.late {
		if l.date.IsZero() {
			if err := l.release(e.date.AddDate(0, 0, -l.days)); err != nil {
				return err
			}
		}
		l.date = e.date
	}
	if e.position == 0 {
		return nil
	}
	if l.date.IsZero() || !e.begun {
		e.fix.Time = time.Time{}.AddDate(0, 0, l.days).Add(e.at)
		if !e.begun || l.late {
			return l.yield(e.fix)
		}
		l.held = append(l.held, e.fix)
		if len(l.held) < mostHeld {
			return nil
		}
		l.late = true
		l.t.Add("date-late", e.fix.Line, "", "the log gives no date within its first %d positions; none has one", mostHeld)
		return l.releaseUndated()
	}
	e.fix.Time, e.fix.Dated = l.date.Add(e.at), true
	return l.yield(e.fix)
}

// release gives the positions that waited for a date; first is that of the log's
// first day.
func (l *Log) release(first time.Time) error {
	for _, f := range l.held {
		f.Time, f.Dated = first.Add(f.Time.Sub(time.Time{})), true
		if err := l.yield(f); err != nil {
			return err
		}
	}
	l.held = nil
	return nil
}

// releaseUndated gives the positions that wait for a date that never came.
func (l *Log) releaseUndated() error {
	for _, f := range l.held {
		if err := l.yield(f); err != nil {
			return err
		}
	}
	l.held = nil
	return nil
}

// Detect reports whether the first bytes of a file can only be a log: among its first
// lines stands a sentence of the kinds that are read, with a checksum that agrees.
func Detect(head []byte) bool {
	for range 50 {
		line, rest, more := bytes.Cut(head, []byte{'\n'})
		if s, ok, err := Parse(line); ok && err == nil && s.Checked && len(s.Fields) > 3 {
			return true
		}
		if !more {
			return false
		}
		head = rest
	}
	return false
}

// Read reads a log as a plan: one line through its positions, with times, fix and
// sigma (see package fixes). A log names no frame: its coordinates are in that of
// the corrections, which the user may name with o.CRS. Errors are
// *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	data, err := wire.CheckText(data, o.Name, &t)
	if err != nil {
		return nil, nil, err
	}
	var list []fixes.Fix
	most := o.Caps().InputMaxVertices
	err = Fixes(data, &t, func(f fixes.Fix) error {
		if list = append(list, f); float64(len(list)) > most {
			return &wire.InputError{Problem: fmt.Sprintf("there are more positions than the limit input_max_vertices (%.0f)", most), Mend: "split it, or raise the limit in a limits file"}
		}
		return nil
	})
	if err != nil {
		if in, ok := err.(*wire.InputError); ok && in.File == "" {
			in.File = o.Name
		}
		return nil, nil, err
	}
	p, err := fixes.Plan(list, &o, "nmea", &t)
	if err != nil {
		return nil, nil, err
	}
	return p, t.Warnings(), nil
}
