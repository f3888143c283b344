// Lists: a header, then a position a line.

package track

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"sync"
	"time"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
)

// columns of a list.
const (
	colTime = iota
	colDate
	colLat
	colLon
	colE
	colN
	colHeight
	colQuality
	colSigma
	colSigmaE
	colSigmaN
	colSatellites
	colHDOP
	colSpeed
	columns
)

// columnWords are the folded headers of each column; common practice, no
// source.
var columnWords = sync.OnceValue(func() map[string]int {
	columnWords := map[string]int{}
	for column, words := range [columns]string{
		colTime: "time times timestamp time_utc utc utc_time datetime date_time time_s unix unix_time unix_s epoch_s gps_time zeit tid hora heure tijd",
		colDate: "date date_utc utc_date datum fecha dato",
		colLat:  "lat latitude lat_deg latitude_deg breite breitengrad", colLon: "lon long lng longitude lon_deg longitude_deg laenge laengengrad",
		colE: "e east easting x rechtswert ostwert", colN: "n north northing y hochwert nordwert",
		colHeight: "h height elevation ele alt altitude z hoehe ellipsoidal_height", colQuality: "fix quality fix_quality fix_type fixtype q solution solution_type status rtk_status gnss_fix",
		colSigma: "sigma sigma_m hrms accuracy hacc std", colSigmaE: "sigma_e sigma_e_m sde sde_m std_e", colSigmaN: "sigma_n sigma_n_m sdn sdn_m std_n",
		colSatellites: "sat sats satellites ns num_sats", colHDOP: "hdop", colSpeed: "speed speed_m_s speed_mps v",
	} {
		for _, word := range strings.Fields(words) {
			columnWords[word] = column
		}
	}
	return columnWords
})

// qualityWords are what lists call a quality, folded; numbers are those of GGA.
var qualityWords = sync.OnceValue(func() map[string]fixes.Quality {
	return map[string]fixes.Quality{
		"0": fixes.None, "1": fixes.Single, "2": fixes.Differential, "3": fixes.Differential, "4": fixes.Fixed, "5": fixes.Float, "6": fixes.Estimated, "7": fixes.Manual, "8": fixes.Simulated,
		"fixed": fixes.Fixed, "fix": fixes.Fixed, "rtk_fixed": fixes.Fixed, "rtk_fix": fixes.Fixed, "rtk": fixes.Fixed, "narrow_int": fixes.Fixed, "r": fixes.Fixed,
		"float": fixes.Float, "rtk_float": fixes.Float, "narrow_float": fixes.Float, "f": fixes.Float, "ppp": fixes.PPP,
		"differential": fixes.Differential, "dgps": fixes.Differential, "dgnss": fixes.Differential, "sbas": fixes.Differential, "d": fixes.Differential,
		"single": fixes.Single, "autonomous": fixes.Single, "gps": fixes.Single, "3d": fixes.Single, "2d": fixes.Single, "a": fixes.Single,
		"estimated": fixes.Estimated, "manual": fixes.Manual, "simulated": fixes.Simulated, "none": fixes.None, "no_fix": fixes.None, "n": fixes.None,
	}
})

// qualityOf finds what a word or a number says of a position.
func qualityOf(text []byte) (fixes.Quality, bool) {
	q, ok := qualityWords()[string(text)]
	if !ok {
		q, ok = qualityWords()[wire.Fold(string(text))]
	}
	return q, ok
}

// list reads one.
type list struct {
	w         *watch
	at        [columns]int // index of each column's cell, -1 for none
	separator byte
	header    int // line of the header
	cells     [][]byte
	days      int // midnights since the log began, for times without a date
	last      time.Duration
}

// listOf finds the header of a list in its first line that is no comment.
func listOf(head []byte) *list {
	l := &list{}
	for i := range l.at {
		l.at[i] = -1
	}
	for n := 1; len(head) > 0; n++ {
		line, rest, _ := bytes.Cut(head, []byte{'\n'})
		head = rest
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		l.header = n
		most := 0
		for _, c := range []byte("\t;,") {
			if k := bytes.Count(line, []byte{c}); k > most {
				most, l.separator = k, c
			}
		}
		if most == 0 {
			break
		}
		l.split(line)
		for i, cell := range l.cells {
			if column, ok := columnWords()[wire.Fold(string(cell))]; ok && l.at[column] < 0 {
				l.at[column] = i
			}
		}
		break
	}
	return l
}

func newList(w *watch, head []byte) *list {
	l := listOf(head)
	l.w = w
	return l
}

// usable says what a list lacks to be a log.
func (l *list) usable(o *Options) error {
	degrees, plane := l.at[colLat] >= 0 && l.at[colLon] >= 0, l.at[colE] >= 0 && l.at[colN] >= 0
	const mend = "a log is NMEA 0183, GPX with times, a .pos, or a list whose header names time, lat, lon and fix"
	switch {
	case !degrees && !plane:
		return &wire.InputError{File: o.Name, Problem: "this is no log of positions that is known here", Mend: mend}
	case !degrees && o.CRS == nil:
		return &wire.InputError{File: o.Name, Line: l.header, Problem: "the list has eastings and northings, and nothing says of which grid", Mend: "name it, such as EPSG:25832"}
	case l.at[colTime] < 0:
		return &wire.InputError{File: o.Name, Line: l.header, Problem: "the list has no column of times", Mend: mend}
	}
	return nil
}

// split cuts a line into cells, quotes taken off.
func (l *list) split(line []byte) {
	l.cells = l.cells[:0]
	for {
		var cell []byte
		if len(line) > 0 && line[0] == '"' {
			end := bytes.IndexByte(line[1:], '"')
			if end < 0 {
				end = len(line) - 1
			}
			cell, line = line[1:1+end], line[min(len(line), end+2):]
			at := bytes.IndexByte(line, l.separator)
			if at < 0 {
				l.cells = append(l.cells, cell)
				return
			}
			l.cells, line = append(l.cells, cell), line[at+1:]
			continue
		}
		at := bytes.IndexByte(line, l.separator)
		if at < 0 {
			l.cells = append(l.cells, bytes.TrimSpace(line))
			return
		}
		l.cells, line = append(l.cells, bytes.TrimSpace(line[:at])), line[at+1:]
	}
}

func (l *list) cell(column int) []byte {
	if i := l.at[column]; i >= 0 && i < len(l.cells) {
		return l.cells[i]
	}
	return nil
}

// number reads a cell; an empty one is NaN.
func (l *list) number(column int) (float64, error) {
	text := l.cell(column)
	if len(text) == 0 {
		return math.NaN(), nil
	}
	if v, ok := wire.ParseFloat(text); ok {
		return v, nil
	}
	if l.separator != ',' && bytes.Count(text, []byte{','}) == 1 && bytes.IndexByte(text, '.') < 0 {
		if v, ok := wire.ParseFloat(bytes.Replace(text, []byte{','}, []byte{'.'}, 1)); ok {
			return v, nil
		}
	}
	return 0, fmt.Errorf("%q should be a number", wire.Clip(text, 20))
}

func (l *list) line(line []byte, n int) error {
	line = bytes.TrimSpace(line)
	if n <= l.header || len(line) == 0 || line[0] == '#' {
		return nil
	}
	l.split(line)
	f, err := l.position()
	if err != nil {
		l.w.pass(n, "%v", err)
		return nil
	}
	f.Line = n
	return l.w.take(f)
}

func (l *list) close() error { return nil }

func (l *list) position() (fixes.Fix, error) {
	f := fixes.Unknown()
	var err error
	number := func(column int) float64 {
		v, bad := l.number(column)
		if bad != nil && err == nil {
			err = bad
		}
		return v
	}
	lat, lon, height := number(colLat), number(colLon), number(colHeight)
	if l.at[colLat] < 0 {
		flat := []float64{number(colE), number(colN)}
		if err == nil && flat[0] == flat[0] && flat[1] == flat[1] {
			if err = l.w.o.CRS.ToGeodetic(flat, 2); err != nil {
				return f, err
			}
		}
		lon, lat = flat[0], flat[1]
	}
	f.Height, f.HDOP, f.Speed = height, number(colHDOP), number(colSpeed)
	f.SigmaE, f.SigmaN = number(colSigmaE), number(colSigmaN)
	if l.at[colSigma] >= 0 && l.at[colSigmaE] < 0 {
		f.SigmaE = number(colSigma) / math.Sqrt2
		f.SigmaN = f.SigmaE
	}
	sats := number(colSatellites)
	if err != nil {
		return f, err
	}
	if math.Abs(lat) > 90 || math.Abs(lon) > 180 {
		return f, fmt.Errorf("a latitude of %g or a longitude of %g is past the range", lat, lon)
	}
	f.Lat, f.Lon = lat, lon
	if sats >= 0 && sats < 1000 {
		f.Satellites = int(sats)
	}
	f.Quality = Unstated
	if text := l.cell(colQuality); len(text) > 0 {
		var ok bool
		if f.Quality, ok = qualityOf(text); !ok {
			l.w.t.Add("quality-unknown", 0, "", "qualities are words that are not known here, first %q; such positions count as having none stated", wire.Clip(text, 20))
			f.Quality = Unstated
		}
	}
	if len(l.cell(colTime)) == 0 {
		return f, fmt.Errorf("the time is missing")
	}
	f.Time, f.Dated, err = l.time()
	return f, err
}

// time reads the columns of date and time.
func (l *list) time() (time.Time, bool, error) {
	text := l.cell(colTime)
	if l.at[colDate] >= 0 && l.at[colDate] != l.at[colTime] && bytes.IndexByte(text, '-') < 0 {
		text = append(append(bytes.Clone(l.cell(colDate)), ' '), text...)
	}
	if t, ok := parseTime(text); ok {
		return t, true, nil
	}
	if v, ok := wire.ParseFloat(text); ok && v > 1e8 { // seconds since 1970, or milliseconds
		if v > 1e11 {
			v /= 1000
		}
		if v < 1e10 {
			whole := math.Floor(v)
			return time.Unix(int64(whole), int64(math.Round((v-whole)*1e6))*1000).UTC(), true, nil
		}
	}
	if clock, ok := parseClock(text); ok {
		if l.last-clock > 12*time.Hour {
			l.days++
		}
		l.last = clock
		return time.Time{}.AddDate(0, 0, l.days).Add(clock), false, nil
	}
	return time.Time{}, false, fmt.Errorf("a time such as 2024-05-31T12:00:00Z should stand where %q does", wire.Clip(text, 30))
}

// parseTime reads year-month-day and a clock, with a zone or in UTC.
func parseTime(text []byte) (time.Time, bool) {
	if len(text) < 19 || text[4] != text[7] || text[4] != '-' && text[4] != '/' || text[10] != 'T' && text[10] != ' ' {
		return time.Time{}, false
	}
	year, ok1 := digits(text[0:4])
	month, ok2 := digits(text[5:7])
	day, ok3 := digits(text[8:10])
	clockText, zone := text[11:], 0
	i := len(clockText) - 1
	for i >= 0 && clockText[i] != 'Z' && clockText[i] != '+' && clockText[i] != '-' {
		i--
	}
	if i >= 0 {
		if clockText[i] != 'Z' {
			z, ok := parseZone(clockText[i:])
			if !ok {
				return time.Time{}, false
			}
			zone = z
		} else if i != len(clockText)-1 {
			return time.Time{}, false
		}
		clockText = clockText[:i]
	}
	clock, ok4 := parseClock(clockText)
	if !ok1 || !ok2 || !ok3 || !ok4 || month < 1 || month > 12 || day < 1 || day > 31 {
		return time.Time{}, false
	}
	t := time.Date(year, time.Month(month), day, 0, 0, -zone, 0, time.UTC)
	if zone == 0 && t.Day() != day {
		return time.Time{}, false
	}
	return t.Add(clock), true
}

// parseZone reads +hh:mm or +hhmm as seconds east.
func parseZone(text []byte) (int, bool) {
	sign := 1
	if text[0] == '-' {
		sign = -1
	}
	text = bytes.ReplaceAll(text[1:], []byte{':'}, nil)
	if len(text) == 2 {
		text = append(bytes.Clone(text), '0', '0')
	}
	if len(text) != 4 {
		return 0, false
	}
	h, ok1 := digits(text[:2])
	m, ok2 := digits(text[2:])
	return sign * (h*3600 + m*60), ok1 && ok2 && h < 15 && m < 60
}

// parseClock reads hh:mm:ss with decimals.
func parseClock(text []byte) (time.Duration, bool) {
	if len(text) < 8 || text[2] != ':' || text[5] != ':' {
		return 0, false
	}
	h, ok1 := digits(text[:2])
	m, ok2 := digits(text[3:5])
	s, ok3 := wire.ParseFloat(text[6:])
	if !ok1 || !ok2 || !ok3 || h > 23 || m > 59 || !(s >= 0 && s < 61) || !wire.IsDigit(text[6]) {
		return 0, false
	}
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(math.Round(s*1e6))*time.Microsecond, true
}

func digits(text []byte) (int, bool) {
	v := 0
	for _, c := range text {
		if !wire.IsDigit(c) {
			return 0, false
		}
		v = 10*v + int(c-'0')
	}
	return v, true
}
