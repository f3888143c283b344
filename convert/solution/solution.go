// Package solution reads the text of a position solution (.pos): lines of
// comments that start with %, of which the last names the columns, and a line a
// position with time, place, quality Q, satellites and standard errors. The
// form is that of the published manuals of open post-processing software:
// latitude and longitude in degrees or in degrees, minutes and seconds;
// geocentric x, y, z; or a baseline e, n, u from the reference position of the
// comments. Times are in the system that the first column's name says: GPST,
// UTC or JST.
package solution

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/crs"
	"swardline/crs/orbit"
	"swardline/schema"
)

// form is what the three numbers behind the time are.
type form uint8

const (
	formUnknown     form = iota
	formDegrees          // latitude, longitude, height
	formSexagesimal      // degrees, minutes and seconds of both, height
	formGeocentric
	formBaseline
)

// qualities are the words for the column Q, from 0.
var qualities = [...]fixes.Quality{fixes.None, fixes.Fixed, fixes.Float, fixes.Differential, fixes.Differential, fixes.Single, fixes.PPP, fixes.Estimated}

// Detect reports whether the first bytes of a file can only be a solution: a
// comment that starts with % names the columns of time, place and quality.
func Detect(head []byte) bool {
	for _, line := range bytes.Split(head, []byte{'\n'}) {
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		if line[0] != '%' {
			return false
		}
		var h header
		if h.columns(string(line)) {
			return true
		}
	}
	return false
}

// header is what the comments say.
type header struct {
	form   form
	system string // GPST, UTC or JST
	origin *crs.Topocentric
	level  bool // heights are above a geoid
	noErr  bool // no columns of standard errors
	// words and numbers are those of the line at hand; day is midnight of
	// dayText, the date read last.
	words   [][]byte
	numbers []float64
	day     time.Time
	dayText [10]byte
}

// columns takes a comment for the names of the columns; false when it is none.
func (h *header) columns(line string) bool {
	words := strings.ToLower(strings.TrimSpace(strings.TrimLeft(line, "% ")))
	system, _, _ := strings.Cut(words, " ")
	system = strings.ToUpper(strings.TrimRight(system, ",;\t"))
	switch system {
	case "GPST", "UTC", "JST":
	default:
		return false
	}
	f := formUnknown
	switch {
	case strings.Contains(words, `latitude(d'")`):
		f = formSexagesimal
	case strings.Contains(words, "latitude(deg)"):
		f = formDegrees
	case strings.Contains(words, "x-ecef(m)"):
		f = formGeocentric
	case strings.Contains(words, "e-baseline(m)"):
		f = formBaseline
	default:
		return false
	}
	h.form, h.system = f, system
	h.noErr = !strings.Contains(words, "sd")
	return true
}

// comment takes any other comment.
func (h *header) comment(line string) error {
	text := strings.ToLower(line)
	if strings.Contains(text, "/geodetic") {
		h.level = true
	}
	if i := strings.Index(text, "ref pos"); i >= 0 {
		_, rest, _ := strings.Cut(text[i:], ":")
		var v [3]float64
		words := strings.Fields(rest)
		if len(words) < 3 {
			return fmt.Errorf("the reference position should be three numbers")
		}
		for k := range v {
			var ok bool
			if v[k], ok = wire.ParseFloat([]byte(words[k])); !ok {
				return fmt.Errorf("the reference position should be numbers, got %q", wire.Clip([]byte(words[k]), 20))
			}
		}
		place := crs.Geodetic{Lat: crs.Degrees(v[0]), Lon: crs.Degrees(v[1]), H: crs.Metres(v[2])}
		if math.Abs(v[0]) > 360 || math.Abs(v[1]) > 360 { // geocentric
			g, err := geodetic(v)
			if err != nil {
				return err
			}
			place = g
		}
		a, invF := crs.WGS84().Ellipsoid()
		var err error
		h.origin, err = crs.NewTopocentric(place, a, invF)
		return err
	}
	return nil
}

// geodetic turns geocentric x, y, z of WGS 84 into a place.
func geodetic(v [3]float64) (crs.Geodetic, error) {
	c, err := crs.Parse("EPSG:4978")
	if err != nil {
		return crs.Geodetic{}, err
	}
	flat := v[:]
	if err := c.ToGeodetic(flat, 3); err != nil {
		return crs.Geodetic{}, err
	}
	return crs.Geodetic{Lon: crs.Degrees(flat[0]), Lat: crs.Degrees(flat[1]), H: crs.Metres(flat[2])}, nil
}

// Log takes a solution line by line, so that a file need not be in memory
// whole.
type Log struct {
	h     header
	yield func(fixes.Fix) error
}

// NewLog makes ready for a solution; yield gets every position in its order.
func NewLog(yield func(fixes.Fix) error) *Log { return &Log{yield: yield} }

// Line takes the next line, n from 1. Errors are yield's, or *wire.InputError
// for a line that cannot be read; the lines behind it can be.
func (l *Log) Line(line []byte, n int) error {
	h := &l.h
	text := bytes.TrimSpace(line)
	fail := func(err error) error {
		return &wire.InputError{Line: n, Problem: err.Error(), Mend: "the file is damaged, or not the text of a solution; export it again"}
	}
	switch {
	case len(text) == 0:
		return nil
	case text[0] == '%':
		if comment := string(text); !h.columns(comment) {
			if err := h.comment(comment); err != nil {
				return fail(err)
			}
		}
		return nil
	case h.form == formUnknown:
		return fail(fmt.Errorf("no comment before this line names the columns"))
	case h.form == formBaseline && h.origin == nil:
		return fail(fmt.Errorf("the positions are baselines, but no comment gives the reference position (ref pos)"))
	}
	f, err := h.position(text)
	if err != nil {
		return fail(err)
	}
	f.Line = n
	return l.yield(f)
}

// Close ends the solution. The error is that nothing named its columns.
func (l *Log) Close() error {
	if l.h.form == formUnknown {
		return &wire.InputError{Problem: "no comment names the columns of a solution", Mend: "export the solution with its header"}
	}
	return nil
}

// Fixes calls yield with every position of a solution in its order. Errors are
// *wire.InputError or yield's own.
func Fixes(data []byte, t *wire.Tally, yield func(fixes.Fix) error) error {
	return fixes.Lines(data, NewLog(yield))
}

// between marks the bytes that stand between words.
var between = [256]bool{' ': true, '\t': true, ',': true, ';': true}

// split cuts a line into its words.
func (h *header) split(text []byte) {
	h.words = h.words[:0]
	for i := 0; ; {
		for i < len(text) && between[text[i]] {
			i++
		}
		if i == len(text) {
			return
		}
		from := i
		for i < len(text) && !between[text[i]] {
			i++
		}
		h.words = append(h.words, text[from:i])
	}
}

// position reads one line.
func (h *header) position(text []byte) (fixes.Fix, error) {
	f := fixes.Unknown()
	h.split(text)
	words := h.words
	if len(words) < 6 {
		return f, fmt.Errorf("a position has time, three coordinates, quality and satellites; the line has %d words", len(words))
	}
	var err error
	if f.Time, err = h.time(words[0], words[1]); err != nil {
		return f, err
	}
	f.Dated = true
	numbers := h.numbers[:0]
	for _, w := range words[2:] {
		v, ok := wire.ParseFloat(w)
		if !ok && len(numbers) < 3 {
			return f, fmt.Errorf("a number should stand where %q does", wire.Clip(w, 20))
		}
		if !ok {
			v = math.NaN()
		}
		numbers = append(numbers, v)
	}
	h.numbers = numbers
	place := 3
	if h.form == formSexagesimal {
		place = 7
	}
	if len(numbers) < place+2 {
		return f, fmt.Errorf("quality and satellites are missing")
	}
	if err := h.place(&f, numbers[:place]); err != nil {
		return f, err
	}
	q := numbers[place]
	if !(q > -1 && q < float64(len(qualities))) {
		return f, fmt.Errorf("there is no quality Q of %g", q)
	}
	f.Quality = qualities[int(q)]
	if s := numbers[place+1]; s >= 0 && s < 1000 {
		f.Satellites = int(s)
	}
	rest := numbers[place+2:]
	if !h.noErr && len(rest) >= 3 {
		h.errors(&f, rest)
	}
	if !h.noErr && len(rest) >= 7 {
		f.Age = rest[6]
	}
	return f, nil
}

// gpsStart is when GPS weeks are counted from.
var gpsStart = time.Date(1980, 1, 6, 0, 0, 0, 0, time.UTC)

func (h *header) time(a, b []byte) (time.Time, error) {
	clock, ok := h.clock(a, b)
	switch {
	case !ok:
		return clock, fmt.Errorf("a time such as 2024/05/31 12:00:00.000, or a week and its seconds, should stand where %q does", wire.Clip([]byte(string(a)+" "+string(b)), 30))
	case h.system == "GPST":
		return orbit.Time(clock.Sub(gpsStart).Seconds()).UTC(), nil
	case h.system == "JST":
		return clock.Add(-9 * time.Hour), nil
	}
	return clock, nil
}

// clock reads date and time of day, or week and seconds, as they stand.
func (h *header) clock(a, b []byte) (time.Time, bool) {
	if bytes.IndexByte(a, '/') < 0 {
		week, err := strconv.Atoi(string(a))
		seconds, ok := wire.ParseFloat(b)
		if err != nil || !ok || week < 0 || week > 10000 || seconds < 0 || seconds > 7*86400 {
			return time.Time{}, false
		}
		return gpsStart.AddDate(0, 0, 7*week).Add(time.Duration(math.Round(seconds*1e6)) * time.Microsecond), true
	}
	if len(a) != len(h.dayText) || string(a) != string(h.dayText[:]) {
		day, err := time.Parse("2006/01/02", string(a))
		if err != nil {
			return day, false
		}
		h.day = day
		copy(h.dayText[:], a)
	}
	d, ok := timeOfDay(b)
	return h.day.Add(d), ok
}

// timeOfDay reads hh:mm:ss with decimals, of which nanoseconds count.
func timeOfDay(b []byte) (time.Duration, bool) {
	if len(b) > 1 && b[1] == ':' { // one digit of an hour
		b = append([]byte{'0'}, b...)
	}
	if len(b) < 8 || b[2] != ':' || b[5] != ':' || len(b) == 9 {
		return 0, false
	}
	var v [3]int
	for i := range v {
		c, d := b[3*i]-'0', b[3*i+1]-'0'
		if c > 9 || d > 9 {
			return 0, false
		}
		v[i] = 10*int(c) + int(d)
	}
	nanos, unit := 0, 100_000_000
	for i, c := range b[8:] {
		if i == 0 && c == '.' {
			continue
		}
		if i == 0 || !wire.IsDigit(c) {
			return 0, false
		}
		nanos += unit * int(c-'0')
		unit /= 10
	}
	if v[0] > 23 || v[1] > 59 || v[2] > 59 {
		return 0, false
	}
	return time.Duration(v[0])*time.Hour + time.Duration(v[1])*time.Minute + time.Duration(v[2])*time.Second + time.Duration(nanos), true
}

func (h *header) place(f *fixes.Fix, v []float64) error {
	height := v[len(v)-1]
	switch h.form {
	case formSexagesimal:
		if v[1] < 0 || v[1] >= 60 || v[2] < 0 || v[2] >= 60 || v[4] < 0 || v[4] >= 60 || v[5] < 0 || v[5] >= 60 {
			return fmt.Errorf("minutes or seconds are not from 0 to 60")
		}
		f.Lat = math.Copysign(math.Abs(v[0])+v[1]/60+v[2]/3600, v[0])
		f.Lon = math.Copysign(math.Abs(v[3])+v[4]/60+v[5]/3600, v[3])
	case formGeocentric:
		if v[0] == 0 && v[1] == 0 && v[2] == 0 {
			return nil // no position
		}
		g, err := geodetic([3]float64{v[0], v[1], v[2]})
		if err != nil {
			return err
		}
		f.Lat, f.Lon, height = float64(g.Lat), float64(g.Lon), float64(g.H)
	case formBaseline:
		g := h.origin.Geodetic(crs.Local{E: crs.Metres(v[0]), N: crs.Metres(v[1]), U: crs.Metres(v[2])})
		f.Lat, f.Lon, height = float64(g.Lat), float64(g.Lon), float64(g.H)
	default:
		f.Lat, f.Lon = v[0], v[1]
	}
	if f.Lon > 180 && f.Lon <= 360 {
		f.Lon -= 360
	}
	if math.Abs(f.Lat) > 90 || math.Abs(f.Lon) > 180 {
		return fmt.Errorf("a latitude of %g or a longitude of %g is past the range", f.Lat, f.Lon)
	}
	if h.level {
		f.Level = height
	} else {
		f.Height = height
	}
	return nil
}

// errors takes the standard errors: north, east, up for places on the
// ellipsoid, east, north, up for baselines; for geocentric ones the variances
// and covariances of x, y, z are turned by latitude and longitude.
func (h *header) errors(f *fixes.Fix, v []float64) {
	switch h.form {
	case formBaseline:
		f.SigmaE, f.SigmaN, f.SigmaU = v[0], v[1], v[2]
	case formGeocentric:
		if len(v) < 6 || math.IsNaN(f.Lat) {
			return
		}
		// Covariances come as their root with its sign: sdxy, sdyz, sdzx.
		signed := func(s float64) float64 { return s * math.Abs(s) }
		q := [3][3]float64{{v[0] * v[0], signed(v[3]), signed(v[5])}, {signed(v[3]), v[1] * v[1], signed(v[4])}, {signed(v[5]), signed(v[4]), v[2] * v[2]}}
		sinB, cosB := math.Sincos(f.Lat * math.Pi / 180)
		sinL, cosL := math.Sincos(f.Lon * math.Pi / 180)
		along := func(a [3]float64) float64 {
			sum := 0.0
			for i := range a {
				for j := range a {
					sum += a[i] * q[i][j] * a[j]
				}
			}
			return math.Sqrt(math.Max(sum, 0))
		}
		f.SigmaE = along([3]float64{-sinL, cosL, 0})
		f.SigmaN = along([3]float64{-sinB * cosL, -sinB * sinL, cosB})
		f.SigmaU = along([3]float64{cosB * cosL, cosB * sinL, sinB})
	default:
		f.SigmaN, f.SigmaE, f.SigmaU = v[0], v[1], v[2]
	}
}

// Read reads a solution as a plan: one line through its positions, with times,
// fix and sigma (see package fixes). The coordinates are in the frame of the
// base that was used, which the file does not name and the user may with o.CRS.
// Errors are *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	return fixes.Read(data, &o, "solution", newLog)
}

// NewSource makes a solution one that is read line by line; its line is one
// feature.
func NewSource(open wire.Opening, o wire.ReadOptions, _ int) wire.PartSource {
	return fixes.NewSource(open, o, "solution", newLog)
}

func newLog(_ *wire.Tally, yield func(fixes.Fix) error) fixes.Log { return NewLog(yield) }
