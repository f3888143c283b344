// Reading almanacs and navigation files.

package orbit

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// maxFile is the largest file that is read, in bytes: a day's navigation file
// of all systems has under 10 MB.
const maxFile = 64 << 20

// Almanac is what a file of orbits held.
type Almanac struct {
	// Form is YUMA, SEM or RINEX with its version.
	Form string
	// Satellites are sorted by system and id; of several records of one
	// satellite that nearest to the date asked for.
	Satellites []Satellite
	// Skipped counts records that could not be used, by reason.
	Skipped []Skip
}

// Skip is a number of records left out, and why.
type Skip struct {
	Reason string
	Count  int
}

func (a *Almanac) skip(reason string) {
	for i := range a.Skipped {
		if a.Skipped[i].Reason == reason {
			a.Skipped[i].Count++
			return
		}
	}
	a.Skipped = append(a.Skipped, Skip{reason, 1})
}

// Age returns how far the nearest and the farthest epoch of the satellites are
// from t, in days.
func (a *Almanac) Age(t Time) (least, most float64) {
	least = math.Inf(1)
	for i := range a.Satellites {
		d := math.Abs(float64(t-a.Satellites[i].Epoch)) / secondsPerDay
		least, most = math.Min(least, d), math.Max(most, d)
	}
	return least, most
}

// LineError is a fault in a file of orbits.
type LineError struct {
	Line    int
	Problem string
}

func (e *LineError) Error() string {
	if e.Line == 0 {
		return e.Problem
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.Problem)
}

// errNoOrbits is for content that is none of the forms.
var errNoOrbits = errors.New("is no YUMA or SEM almanac and no RINEX navigation file")

// Read reads a YUMA or SEM almanac or a RINEX 2 or 3 navigation file, told
// apart by content. near is the date the orbits are wanted for: it settles from
// which roll-over ten-bit week numbers count, and which record of a satellite
// is taken. Errors are *LineError or say that the content is none of the forms.
func Read(data []byte, near Time) (*Almanac, error) {
	if len(data) > maxFile {
		return nil, fmt.Errorf("has %d bytes; files of orbits are read up to %d", len(data), maxFile)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	lines := strings.Split(strings.ReplaceAll(string(data), "\r\n", "\n"), "\n")
	var a *Almanac
	var err error
	switch {
	case len(lines[0]) > 60 && strings.HasPrefix(strings.TrimSpace(lines[0][60:]), "RINEX VERSION"):
		a, err = readRINEX(lines, near)
	case hasYUMA(lines):
		a, err = readYUMA(lines, near)
	case hasSEM(lines):
		a, err = readSEM(lines, near)
	default:
		return nil, errNoOrbits
	}
	if err != nil {
		return nil, err
	}
	if len(a.Satellites) == 0 {
		return nil, &LineError{Problem: "no satellite in it"}
	}
	return a, nil
}

// put keeps the record of a satellite that is nearest to near.
func (a *Almanac) put(s Satellite, near Time, index map[string]int) {
	key := string(rune(s.System)) + s.ID
	i, seen := index[key]
	switch {
	case !seen:
		index[key] = len(a.Satellites)
		a.Satellites = append(a.Satellites, s)
	case math.Abs(float64(s.Epoch-near)) < math.Abs(float64(a.Satellites[i].Epoch-near)):
		a.Satellites[i] = s
	}
}

// elementsFault says what makes elements unusable, "" for sound ones.
func elementsFault(s *Satellite) string {
	switch {
	case !(s.SemiMajorAxis > 1e7 && s.SemiMajorAxis < 1e8):
		return "a semi-major axis that no navigation satellite has"
	case !(s.Eccentricity >= 0 && s.Eccentricity < 0.5):
		return "an eccentricity that no navigation satellite has"
	}
	for _, x := range [...]float64{
		s.Inclination, s.InclinationRate, s.Node, s.NodeRate, s.Perigee, s.MeanAnomaly, s.MeanMotionCorrection,
		s.Cuc, s.Cus, s.Crc, s.Crs, s.Cic, s.Cis,
	} {
		if math.IsNaN(x) || math.Abs(x) > 1e7 {
			return "an element out of range"
		}
	}
	return ""
}

// number reads a decimal number; RINEX may write its exponent with a D, and
// Fortran leaves that letter out before three digits.
func number(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, errors.New("a number is missing")
	}
	for _, c := range text {
		if !strings.ContainsRune("0123456789+-.eEdD", c) {
			return 0, fmt.Errorf("%q is no number", text)
		}
	}
	plain := strings.NewReplacer("D", "e", "d", "e", "E", "e").Replace(text)
	if i := strings.LastIndexAny(plain, "+-"); i > 0 && plain[i-1] != 'e' {
		plain = plain[:i] + "e" + plain[i:]
	}
	x, err := strconv.ParseFloat(plain, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is no number", text)
	}
	return x, nil
}
