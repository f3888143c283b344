// Time: GPS time, its weeks, and the way to and from UTC.

package orbit

import (
	"fmt"
	"math"
	"time"
)

// Time is GPS time in seconds since its start, 1980-01-06 00:00 UTC. It knows
// no leap seconds.
type Time float64

const (
	secondsPerWeek = 7 * 86400
	secondsPerDay  = 86400
)

// SiderealDay is the time in which the earth turns once against the stars, in
// seconds: 2 pi over the rate of rotation. The ground tracks of the nominal GPS
// satellites repeat after it.
const SiderealDay = 2 * math.Pi / earthRotation

var gpsStart = time.Date(1980, 1, 6, 0, 0, 0, 0, time.UTC)

// leaps are the days from whose start GPS time was one more second ahead of
// UTC; IERS Bulletin C. None has been announced after the last of them.
var leaps = [...]time.Time{
	date(1981, 7), date(1982, 7), date(1983, 7), date(1985, 7), date(1988, 1), date(1990, 1),
	date(1991, 1), date(1992, 7), date(1993, 7), date(1994, 7), date(1996, 1), date(1997, 7),
	date(1999, 1), date(2006, 1), date(2009, 1), date(2012, 7), date(2015, 7), date(2017, 1),
}

// leapTimes are the same days in GPS time.
var leapTimes = func() (out [len(leaps)]Time) {
	for i := range leaps {
		out[i] = FromUTC(leaps[i])
	}
	return out
}()

func date(year int, month time.Month) time.Time {
	return time.Date(year, month, 1, 0, 0, 0, 0, time.UTC)
}

// FromUTC returns the GPS time of a moment in UTC.
func FromUTC(t time.Time) Time {
	n := 0
	for n < len(leaps) && !t.Before(leaps[n]) {
		n++
	}
	return Time(t.Sub(gpsStart).Seconds()) + Time(n)
}

// UTC returns the moment in UTC, to a microsecond. A leap second itself gives
// the second after it.
func (t Time) UTC() time.Time {
	n := len(leapTimes)
	for n > 0 && leapTimes[n-1] > t {
		n--
	}
	return gpsStart.Add(time.Duration(math.Round((float64(t)-float64(n))*1e6)) * time.Microsecond)
}

// calendar returns the GPS time that a clock of that time scale shows, leap
// seconds not counted.
func calendar(year, month, day, hour, min int, sec float64) (Time, error) {
	if month < 1 || month > 12 || day < 1 || day > 31 || hour < 0 || hour > 23 || min < 0 || min > 59 || !(sec >= 0 && sec < 61) {
		return 0, fmt.Errorf("%d-%d-%d %d:%d:%v is no date and time", year, month, day, hour, min, sec)
	}
	d := time.Date(year, time.Month(month), day, hour, min, 0, 0, time.UTC)
	if d.Day() != day {
		return 0, fmt.Errorf("%d-%d has no day %d", year, month, day)
	}
	return Time(d.Sub(gpsStart).Seconds()) + Time(sec), nil
}

// Week returns the week since the start of GPS time and the seconds in it.
func (t Time) Week() (week int, seconds float64) {
	w := math.Floor(float64(t) / secondsPerWeek)
	return int(w), float64(t) - w*secondsPerWeek
}

// fromWeek returns the time of a week number and the seconds in it. A number
// below 1024, or any with rolled, may have been counted from a roll-over (GPS
// week numbers of ten bits start again after 1,024 weeks, IS-GPS-200 section
// 6.2.4): the one within 512 weeks of near is meant.
func fromWeek(week int, seconds float64, near Time) Time {
	t := Time(float64(week)*secondsPerWeek + seconds)
	if week < 1024 && near != 0 {
		t += Time(math.Round(float64(near-t)/(1024*secondsPerWeek)) * (1024 * secondsPerWeek))
	}
	return t
}

// siderealAngle is Greenwich mean sidereal time in radians; IAU 1982 (Aoki et
// al., A&A 105, 359), UT1 taken as UTC: 0.9 s or 0.004 degrees at the most.
func siderealAngle(t Time) float64 {
	u := t.UTC()
	d := u.Sub(time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC)).Seconds() / secondsPerDay
	c := d / 36525
	seconds := 67310.54841 + (876600*3600+8640184.812866)*c + 0.093104*c*c - 6.2e-6*c*c*c
	return math.Mod(seconds, secondsPerDay) / secondsPerDay * 2 * math.Pi
}

// durationOf is the time as a duration, to a microsecond.
func durationOf(t Time) time.Duration {
	return time.Duration(math.Round(float64(t)*1e6)) * time.Microsecond
}
