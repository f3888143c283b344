// RINEX navigation files, versions 2 and 3 (IGS RINEX 2.11 table A3 to A10 and
// RINEX 3.04 tables A5 to A16).

package orbit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// rinexFile is one file while it is read.
type rinexFile struct {
	lines   []string
	at      int // index of the next line
	version int
	system  System // of a version 2 file
	wide    bool   // names of three columns, as in version 3
	near    Time
	out     *Almanac
	index   map[string]int
}

// Lines after the first in a record of each system.
var rinexLines = map[System]int{GPS: 7, Galileo: 7, BeiDou: 7, QZSS: 7, GLONASS: 3}

func readRINEX(lines []string, near Time) (*Almanac, error) {
	r := &rinexFile{lines: lines, near: near, index: map[string]int{}}
	if err := r.header(); err != nil {
		return nil, err
	}
	for r.at < len(r.lines) {
		if strings.TrimSpace(r.lines[r.at]) == "" {
			r.at++
			continue
		}
		if err := r.record(); err != nil {
			return nil, err
		}
	}
	return r.out, nil
}

func (r *rinexFile) header() error {
	first := r.lines[0]
	v, err := number(first[:9])
	if err != nil || v < 2 || v >= 4 {
		return &LineError{1, fmt.Sprintf("RINEX version %q is not read, versions 2 and 3 are", strings.TrimSpace(first[:9]))}
	}
	r.version = int(v)
	r.out = &Almanac{Form: fmt.Sprintf("RINEX %.2f", v)}
	kind := first[20]
	switch {
	case r.version == 3 && kind == 'N':
		r.wide = true
	case r.version == 2 && kind == 'N' && len(first) > 40 && first[40] == 'J':
		// Version 2.12, the extension for QZSS, names satellites as version 3
		// does.
		r.wide = true
	case r.version == 2 && kind == 'N':
		r.system = GPS
	case r.version == 2 && kind == 'G':
		r.system = GLONASS
	case r.version == 2 && kind == 'E':
		r.system = Galileo
	default:
		return &LineError{1, fmt.Sprintf("a RINEX file of kind %q holds no orbits: a navigation file is wanted", string(kind))}
	}
	for r.at = 1; r.at < len(r.lines); r.at++ {
		l := r.lines[r.at]
		if len(l) > 60 && strings.HasPrefix(strings.TrimSpace(l[60:]), "END OF HEADER") {
			r.at++
			return nil
		}
	}
	return &LineError{len(r.lines), "the header has no END OF HEADER"}
}

// record reads one record, or passes over one of a system that is not known.
func (r *rinexFile) record() error {
	start := r.at
	line := r.lines[start]
	system, name, rest, err := r.name(line)
	if err != nil {
		return &LineError{start + 1, err.Error()}
	}
	n, known := rinexLines[system]
	if !known {
		// The lines of a record start with blanks, the next record does not.
		r.at++
		for r.at < len(r.lines) && strings.HasPrefix(r.lines[r.at], "    ") {
			r.at++
		}
		r.out.skip("a satellite of another system")
		return nil
	}
	if start+n >= len(r.lines) {
		return &LineError{len(r.lines), fmt.Sprintf("the file ends in the middle of the record of %s", name)}
	}
	toc, clock, err := r.epoch(rest)
	if err != nil {
		return &LineError{start + 1, err.Error()}
	}
	v := clock
	indent := 3
	if r.wide {
		indent = 4
	}
	for k := 1; k <= n; k++ {
		f, err := fields(r.lines[start+k], indent)
		if err != nil {
			return &LineError{start + k + 1, err.Error()}
		}
		v = append(v, f...)
	}
	r.at = start + n + 1
	s := r.satellite(system, name, toc, v)
	if s == nil {
		return nil
	}
	r.out.put(*s, r.near, r.index)
	return nil
}

// name reads the satellite's name and returns the rest of the line.
func (r *rinexFile) name(line string) (System, string, string, error) {
	if !r.wide {
		if len(line) < 22 {
			return 0, "", "", fmt.Errorf("a record starts with a satellite and a time, not %q", line)
		}
		n, err := strconv.Atoi(strings.TrimSpace(line[:2]))
		if err != nil || n < 1 {
			return 0, "", "", fmt.Errorf("%q is no satellite number", line[:2])
		}
		return r.system, fmt.Sprintf("%c%02d", byte(r.system), n), line[2:], nil
	}
	if len(line) < 23 {
		return 0, "", "", fmt.Errorf("a record starts with a satellite and a time, not %q", line)
	}
	n, err := strconv.Atoi(strings.TrimSpace(line[1:3]))
	if err != nil || n < 0 {
		return 0, "", "", fmt.Errorf("%q is no satellite", line[:3])
	}
	return System(line[0]), fmt.Sprintf("%c%02d", line[0], n), line[3:], nil
}

// epoch reads the time of clock and the three numbers behind it.
func (r *rinexFile) epoch(rest string) (Time, []float64, error) {
	width := 20 // " yy mm dd hh mm ss.s" of version 2, " yyyy mm dd hh mm ss" of 3
	if len(rest) < width {
		return 0, nil, fmt.Errorf("%q is no date and time", rest)
	}
	f := strings.Fields(rest[:width])
	if len(f) != 6 {
		return 0, nil, fmt.Errorf("%q is no date and time", strings.TrimSpace(rest[:width]))
	}
	var n [5]int
	for i := range n {
		x, err := strconv.Atoi(f[i])
		if err != nil {
			return 0, nil, fmt.Errorf("%q is no date and time", strings.TrimSpace(rest[:width]))
		}
		n[i] = x
	}
	sec, err := number(f[5])
	if err != nil {
		return 0, nil, err
	}
	if r.version == 2 && n[0] < 100 {
		// RINEX 2.11: years 80 to 99 are of the last century.
		n[0] += 2000
		if n[0] >= 2080 {
			n[0] -= 100
		}
	}
	t, err := calendar(n[0], n[1], n[2], n[3], n[4], sec)
	if err != nil {
		return 0, nil, err
	}
	v, err := fields(rest[width:], 0)
	if err != nil {
		return 0, nil, err
	}
	for len(v) > 3 {
		return 0, nil, fmt.Errorf("four numbers behind a time of clock")
	}
	return t, v, nil
}

// fields reads the numbers of a line, 19 columns each; trailing ones may be
// missing and are 0.
func fields(line string, indent int) ([]float64, error) {
	line = strings.TrimRight(line, " \t\r")
	n := 4
	if indent == 0 {
		n = 3
	}
	out := make([]float64, n)
	if len(line) < indent {
		return out, nil
	}
	line = line[indent:]
	for i := range out {
		if line == "" {
			break
		}
		w := min(len(line), 19)
		text := line[:w]
		line = line[w:]
		if strings.TrimSpace(text) == "" {
			continue
		}
		x, err := number(text)
		if err != nil {
			return nil, err
		}
		out[i] = x
	}
	if strings.TrimSpace(line) != "" {
		return nil, fmt.Errorf("more than %d numbers in a line", n)
	}
	return out, nil
}

// satellite makes a satellite of a record's numbers, nil for one that cannot be
// used, which it counts.
func (r *rinexFile) satellite(system System, name string, toc Time, v []float64) *Satellite {
	if system == GLONASS {
		return r.glonass(name, toc, v)
	}
	// v: 3 clock terms, then lines of four: IODE Crs dn M0; Cuc e Cus sqrtA;
	// toe Cic OMEGA0 Cis; i0 Crc omega OMEGADOT; IDOT codes week flag; accuracy
	// health TGD IODC; time of transmission ...
	toe := v[11]
	epoch := sameWeek(toe, toc)
	seconds := toe
	if system == BeiDou {
		// Its weeks start with those of GPS, its time is 14 s behind (BeiDou
		// B1I interface document 3.3).
		epoch += 14
	}
	s := &Satellite{
		System: system, ID: name, Epoch: epoch,
		Healthy:       v[24] == 0,
		SemiMajorAxis: v[10] * v[10], Eccentricity: v[8],
		Inclination: v[15], InclinationRate: v[19],
		NodeRate: v[18], Perigee: v[17],
		MeanAnomaly: v[6], MeanMotionCorrection: v[5],
		Cuc: v[7], Cus: v[9], Crc: v[16], Crs: v[4], Cic: v[12], Cis: v[14],
	}
	s.Node = v[13] - system.earthRotation()*seconds
	if system == QZSS {
		// The first bit is set where a signal is not to be used by itself.
		s.Healthy = int(v[24])&1 == 0
	}
	if why := elementsFault(s); why != "" {
		r.out.skip(why)
		return nil
	}
	if !(toe >= 0 && toe <= secondsPerWeek) {
		r.out.skip("a time of its orbit that is not in a week")
		return nil
	}
	return s
}

// sameWeek returns the time with these seconds of a week that is nearest to
// toc: week numbers in files roll over and are counted differently, the date of
// the clock does not.
func sameWeek(seconds float64, toc Time) Time {
	week, _ := toc.Week()
	t := Time(float64(week)*secondsPerWeek + seconds)
	for t-toc > secondsPerWeek/2 {
		t -= secondsPerWeek
	}
	for toc-t > secondsPerWeek/2 {
		t += secondsPerWeek
	}
	return t
}

func (r *rinexFile) glonass(name string, toc Time, v []float64) *Satellite {
	// v: 3 clock terms, then lines of four: X VX AX health; Y VY AY channel; Z
	// VZ AZ age; kilometres. The date is UTC.
	utc := gpsStart.Add(durationOf(toc))
	st := &State{
		Epoch: FromUTC(utc),
		Pos:   [3]float64{v[3] * 1e3, v[7] * 1e3, v[11] * 1e3},
		Vel:   [3]float64{v[4] * 1e3, v[8] * 1e3, v[12] * 1e3},
		Pull:  [3]float64{v[5] * 1e3, v[9] * 1e3, v[13] * 1e3},
	}
	radius := math.Sqrt(st.Pos[0]*st.Pos[0] + st.Pos[1]*st.Pos[1] + st.Pos[2]*st.Pos[2])
	speed := math.Sqrt(st.Vel[0]*st.Vel[0] + st.Vel[1]*st.Vel[1] + st.Vel[2]*st.Vel[2])
	if !(radius > 2.4e7 && radius < 2.7e7) || !(speed < 1e4) || !(math.Abs(st.Pull[0])+math.Abs(st.Pull[1])+math.Abs(st.Pull[2]) < 1e-3) {
		r.out.skip("a position that no GLONASS satellite has")
		return nil
	}
	return &Satellite{System: GLONASS, ID: name, Healthy: v[6] == 0, Epoch: st.Epoch, State: st}
}
