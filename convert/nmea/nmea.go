// Package nmea reads logs of NMEA 0183 sentences: GGA, RMC, GST, ZDA and VTG of
// any talker (GP, GN, GL, GA, GB, ...). It gives positions with time and
// quality (Fixes), and the plan that a log makes (Read). The layout of
// sentences is from memory of the standard, which is not free, and of
// receivers' published manuals.
package nmea

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"time"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/schema"
)

// Sentence is one sentence without its checksum. Its parts are those of the
// line, not copies.
type Sentence struct {
	Talker []byte // "GP", "GN", ...; "P" for a maker's own sentence
	Type   []byte // "GGA", ...
	Fields [][]byte
	// Checked is true when the sentence has a checksum, which then agrees.
	Checked bool
}

// Parse reads the sentence of a line. What stands before its $ (times that a
// logger added, tag blocks) is passed over. ok is false when there is no
// sentence; the error says what is wrong with one.
func Parse(line []byte) (s Sentence, ok bool, err error) {
	ok, err = s.parse(line)
	return s, ok, err
}

// parse is Parse into a sentence whose fields are used again.
func (s *Sentence) parse(line []byte) (ok bool, err error) {
	s.Talker, s.Type, s.Checked, s.Fields = nil, nil, false, s.Fields[:0]
	at := bytes.IndexByte(line, '$')
	if at < 0 {
		return false, nil
	}
	body := line[at+1:]
	for at = bytes.IndexByte(body, '$'); at >= 0; at = bytes.IndexByte(body, '$') {
		body = body[at+1:]
	}
	for n := len(body); n > 0 && (body[n-1] == '\r' || body[n-1] == '\n' || body[n-1] == ' ' || body[n-1] == 0); n-- {
		body = body[:n-1]
	}
	if star := bytes.IndexByte(body, '*'); star >= 0 {
		digits := body[star+1:]
		if len(digits) != 2 || hex(digits[0]) > 15 || hex(digits[1]) > 15 {
			return true, fmt.Errorf("the checksum %q is no number of two digits", wire.Clip(digits, 10))
		}
		body = body[:star]
		if sum, said := checksum(body), hex(digits[0])<<4|hex(digits[1]); said != sum {
			return true, fmt.Errorf("the checksum is %02X, the sentence says %02X", sum, said)
		}
		s.Checked = true
	}
	head := body
	if comma := bytes.IndexByte(body, ','); comma >= 0 {
		head = body[:comma]
		from := comma + 1
		for i := from; i < len(body); i++ {
			if body[i] == ',' {
				s.Fields = append(s.Fields, body[from:i])
				from = i + 1
			}
		}
		s.Fields = append(s.Fields, body[from:])
	}
	for _, c := range head {
		if (c < 'A' || c > 'Z') && (c < '0' || c > '9') {
			return true, fmt.Errorf("%q is no sentence's name", wire.Clip(head, 10))
		}
	}
	switch {
	case len(head) > 0 && head[0] == 'P':
		s.Talker, s.Type = head[:1], head[1:]
	case len(head) == 5:
		s.Talker, s.Type = head[:2], head[2:]
	default:
		return true, fmt.Errorf("%q is no sentence's name", wire.Clip(head, 10))
	}
	return true, nil
}

// checksum is the exclusive or of all bytes, taken eight at a time.
func checksum(body []byte) byte {
	var x uint64
	for ; len(body) >= 8; body = body[8:] {
		x ^= binary.LittleEndian.Uint64(body)
	}
	x ^= x >> 32
	x ^= x >> 16
	sum := byte(x ^ x>>8)
	for _, c := range body {
		sum ^= c
	}
	return sum
}

// hex is the value of a hexadecimal digit, 255 for anything else.
func hex(c byte) byte {
	switch {
	case wire.IsDigit(c):
		return c - '0'
	case c >= 'A' && c <= 'F':
		return c - 'A' + 10
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10
	}
	return 255
}

func (s *Sentence) field(i int) []byte {
	if i < len(s.Fields) {
		return bytes.TrimSpace(s.Fields[i])
	}
	return nil
}

// number is a field as a number, NaN when it is empty.
func (s *Sentence) number(i int) (float64, error) {
	t := s.field(i)
	if len(t) == 0 {
		return math.NaN(), nil
	}
	v, ok := wire.ParseFloat(t)
	if !ok {
		return math.NaN(), fmt.Errorf("field %d should be a number, got %q", i+1, wire.Clip(t, 20))
	}
	return v, nil
}

// angle reads ddmm.mmm with its hemisphere in the field behind it.
func (s *Sentence) angle(i int, degreeDigits int, positive, negative byte) (float64, error) {
	t, side := s.field(i), s.field(i+1)
	if len(t) == 0 && len(side) == 0 {
		return math.NaN(), nil
	}
	whole := bytes.IndexByte(t, '.')
	if whole < 0 {
		whole = len(t)
	}
	bad := func() error {
		return fmt.Errorf("field %d should be degrees and minutes, got %q", i+1, wire.Clip(t, 20))
	}
	if whole != degreeDigits+2 {
		return 0, bad()
	}
	d, ok1 := wire.ParseFloat(t[:degreeDigits])
	m, ok2 := wire.ParseFloat(t[degreeDigits:])
	if !ok1 || !ok2 || m >= 60 || t[0] == '-' || t[0] == '+' || t[degreeDigits] == '-' || t[degreeDigits] == '+' {
		return 0, bad()
	}
	v := d + m/60
	if limit := 90 * float64(degreeDigits-1); v > limit {
		return 0, fmt.Errorf("field %d is past %g degrees", i+1, limit)
	}
	if len(side) == 1 && side[0] == positive {
		return v, nil
	}
	if len(side) == 1 && side[0] == negative {
		return -v, nil
	}
	return 0, fmt.Errorf("field %d should be %c or %c, got %q", i+2, positive, negative, wire.Clip(side, 10))
}

// clock reads hhmmss.ss as the time since midnight; ok is false when it is
// empty.
func (s *Sentence) clock(i int) (d time.Duration, ok bool, err error) {
	t := s.field(i)
	if len(t) == 0 {
		return 0, false, nil
	}
	bad := func() error {
		return fmt.Errorf("field %d should be a time such as 123519.00, got %q", i+1, wire.Clip(t, 20))
	}
	if len(t) < 6 {
		return 0, false, bad()
	}
	h, ok1 := digits(t[:2])
	m, ok2 := digits(t[2:4])
	_, ok3 := digits(t[4:6])
	sec, isNumber := wire.ParseFloat(t[4:])
	if !ok1 || !ok2 || !ok3 || !isNumber || h > 23 || m > 59 || sec >= 61 {
		return 0, false, bad()
	}
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(math.Round(sec*1e6))*time.Microsecond, true, nil
}

// digits reads a whole number of digits alone.
func digits(t []byte) (v int, ok bool) {
	for _, c := range t {
		if !wire.IsDigit(c) {
			return 0, false
		}
		v = 10*v + int(c-'0')
	}
	return v, true
}

// date is a day of the calendar; ok is false when there is none such.
func date(day, month, year []byte) (t time.Time, ok bool) {
	d, ok1 := digits(day)
	m, ok2 := digits(month)
	y, ok3 := digits(year)
	if !ok1 || !ok2 || !ok3 || m < 1 || m > 12 {
		return t, false
	}
	t = time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	return t, t.Day() == d
}

// qualities are the words for field 6 of GGA, from 0 to 9.
var qualities = [...]fixes.Quality{fixes.None, fixes.Single, fixes.Differential, fixes.Differential, fixes.Fixed, fixes.Float, fixes.Estimated, fixes.Manual, fixes.Simulated, fixes.Differential}

// modeOf is the word for the mode of RMC, for logs without GGA.
func modeOf(field []byte) fixes.Quality {
	if len(field) != 1 {
		return fixes.Single
	}
	switch field[0] {
	case 'N':
		return fixes.None
	case 'D', 'P':
		return fixes.Differential
	case 'R':
		return fixes.Fixed
	case 'F':
		return fixes.Float
	case 'E':
		return fixes.Estimated
	case 'M':
		return fixes.Manual
	case 'S':
		return fixes.Simulated
	}
	return fixes.Single
}

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
	part  part
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
// those of quality None too. Sentences of one time of day make one position:
// place, height and quality from GGA (from RMC where there is no GGA), standard
// errors from GST, date from RMC or ZDA. Two different places of one time of
// day are two positions, and counted. A time of day that falls back by more
// than twelve hours is a new day. Positions before the first date have it too.
// Sentences that are damaged are counted in t and passed over.
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

// Close ends the log. The error is yield's, or that there was no sentence at
// all.
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

// Fixes reads a log as NewLog says. The error is that of yield, or that the
// file holds no sentence at all.
func Fixes(data []byte, t *wire.Tally, yield func(fixes.Fix) error) error {
	return fixes.Lines(data, NewLog(t, yield))
}

// stopError carries yield's own error past the counting of damage.
type stopError struct{ error }

func (l *Log) take(s *Sentence, line int) error {
	kind := string(s.Type)
	switch kind {
	case "GGA", "GNS", "RMC", "GST", "ZDA":
	default:
		return nil
	}
	at, ok, err := s.clock(0)
	if err != nil {
		return err
	}
	// Everything is read before anything is taken, so that a damaged sentence
	// leaves nothing behind.
	x := &l.part
	switch kind {
	case "GGA":
		err = x.gga(s)
	case "RMC":
		err = x.rmc(s)
	case "GST":
		err = x.gst(s)
	case "ZDA":
		err = x.zda(s)
	case "GNS":
		return nil // its place is that of GGA, which receivers send beside it
	}
	if err != nil {
		return err
	}
	if e := &l.epoch; ok && kind == "GGA" && e.begun && at == e.at && e.position == 2 && x.elsewhere(&e.fix) {
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
	x.apply(kind, &l.epoch)
	return nil
}

// part is what one sentence says, read but not yet taken.
type part struct {
	lat, lon      float64
	quality       fixes.Quality
	number        [5]float64 // satellites, HDOP, level, undulation, age; or n, e, u
	speed, course float64
	date          time.Time
}

// elsewhere reports whether a GGA gives another place than the fix has.
func (x *part) elsewhere(f *fixes.Fix) bool {
	return (x.lat != f.Lat || x.lon != f.Lon) && x.lat == x.lat && f.Lat == f.Lat
}

// apply takes it.
func (x *part) apply(kind string, e *epoch) {
	f, v := &e.fix, &x.number
	switch kind {
	case "GGA":
		f.Lat, f.Lon, f.Quality, f.HDOP, f.Level, f.Height, f.Age = x.lat, x.lon, x.quality, v[1], v[2], v[2]+v[3], v[4]
		if v[0] == v[0] {
			f.Satellites = int(v[0])
		}
		e.position = 2
	case "RMC":
		const knot = 1852.0 / 3600
		f.Speed, f.Course, e.date = x.speed*knot, x.course, x.date
		if e.position < 1 {
			f.Lat, f.Lon, f.Quality = x.lat, x.lon, x.quality
			e.position = 1
		}
	case "GST":
		f.SigmaN, f.SigmaE, f.SigmaU = v[0], v[1], v[2]
	case "ZDA":
		if !x.date.IsZero() {
			e.date = x.date
		}
	}
}

func (x *part) gga(s *Sentence) (err error) {
	if err := x.place(s, 1); err != nil {
		return err
	}
	q := s.field(5)
	if len(q) != 1 || !wire.IsDigit(q[0]) {
		return fmt.Errorf("field 6 should be a quality from 0 to 9, got %q", wire.Clip(q, 10))
	}
	x.quality = qualities[q[0]-'0']
	for i, at := range [...]int{6, 7, 8, 10, 12} {
		if x.number[i], err = s.number(at); err != nil {
			return err
		}
	}
	return nil
}

// place reads latitude and longitude from field i on.
func (x *part) place(s *Sentence, i int) (err error) {
	if x.lat, err = s.angle(i, 2, 'N', 'S'); err != nil {
		return err
	}
	x.lon, err = s.angle(i+2, 3, 'E', 'W')
	return err
}

func (x *part) rmc(s *Sentence) (err error) {
	if err := x.place(s, 2); err != nil {
		return err
	}
	if x.speed, err = s.number(6); err != nil {
		return err
	}
	if x.course, err = s.number(7); err != nil {
		return err
	}
	x.date = time.Time{}
	if t := s.field(8); len(t) > 0 {
		// Two digits of a year: satellite navigation began in 1980.
		century := [2]byte{'2', '0'}
		if len(t) == 6 && t[4] >= '8' {
			century = [2]byte{'1', '9'}
		}
		ok := len(t) == 6
		if ok {
			x.date, ok = date(t[:2], t[2:4], []byte{century[0], century[1], t[4], t[5]})
		}
		if !ok {
			return fmt.Errorf("field 9 should be a date such as 310524, got %q", wire.Clip(t, 20))
		}
	}
	x.quality = modeOf(s.field(11))
	if t := s.field(1); len(t) == 1 && t[0] == 'V' {
		x.quality = fixes.None
	}
	return nil
}

func (x *part) gst(s *Sentence) (err error) {
	for i := range 3 {
		if x.number[i], err = s.number(5 + i); err != nil {
			return err
		}
	}
	return nil
}

func (x *part) zda(s *Sentence) error {
	x.date = time.Time{}
	day, month, year := s.field(1), s.field(2), s.field(3)
	if len(day) == 0 {
		return nil
	}
	ok := len(day) == 2 && len(month) == 2 && len(year) == 4
	if ok {
		x.date, ok = date(day, month, year)
	}
	if !ok {
		return fmt.Errorf("fields 2 to 4 should be day, month and year, got %q", wire.Clip(bytes.Join(s.Fields[1:min(4, len(s.Fields))], []byte{','}), 20))
	}
	return nil
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

// release gives the positions that waited for a date; first is that of the
// log's first day.
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

// Detect reports whether the first bytes of a file can only be a log: among its
// first lines stands a sentence of the kinds that are read, with a checksum
// that agrees.
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

// Read reads a log as a plan: one line through its positions, with times, fix
// and sigma (see package fixes). A log names no frame: its coordinates are in
// that of the corrections, which the user may name with o.CRS. Errors are
// *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	return fixes.Read(data, &o, "nmea", newLog)
}

// NewSource makes a log one that is read line by line; its line is one feature.
func NewSource(open wire.Opening, o wire.ReadOptions, _ int) wire.PartSource {
	return fixes.NewSource(open, o, "nmea", newLog)
}

func newLog(t *wire.Tally, yield func(fixes.Fix) error) fixes.Log { return NewLog(t, yield) }
