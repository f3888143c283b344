// The almanacs of GPS: YUMA and SEM, as the U.S. Coast Guard Navigation Center
// describes both.

package orbit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

func hasYUMA(lines []string) bool {
	for _, l := range lines[:min(len(lines), 20)] {
		if strings.HasPrefix(strings.TrimSpace(l), "****") && strings.Contains(strings.ToLower(l), "almanac") {
			return true
		}
	}
	return false
}

// yumaKeys are the keys of a record, by their first letters in lower case with
// blanks taken off.
var yumaKeys = []string{
	"id", "health", "eccentricity", "timeofapplicability", "orbitalinclination", "rateofrightascen",
	"sqrt(a)", "rightascenatweek", "argumentofperigee", "meananom", "af0", "af1", "week",
}

// readYUMA reads records of lines "key: value" below a line of asterisks.
func readYUMA(lines []string, near Time) (*Almanac, error) {
	a := &Almanac{Form: "YUMA"}
	index := map[string]int{}
	for i := 0; i < len(lines); i++ {
		if !strings.HasPrefix(strings.TrimSpace(lines[i]), "****") {
			continue
		}
		start := i + 1
		values := map[string]float64{}
		for i+1 < len(lines) && !strings.HasPrefix(strings.TrimSpace(lines[i+1]), "****") {
			i++
			text := strings.TrimSpace(lines[i])
			if text == "" {
				continue
			}
			key, value, ok := strings.Cut(text, ":")
			if !ok {
				return nil, &LineError{i + 1, fmt.Sprintf("%q is not of the form key: value", text)}
			}
			name := yumaKey(key)
			if name == "" {
				return nil, &LineError{i + 1, fmt.Sprintf("the key %q belongs to no YUMA almanac", strings.TrimSpace(key))}
			}
			x, err := number(value)
			if err != nil {
				return nil, &LineError{i + 1, err.Error()}
			}
			if _, twice := values[name]; twice {
				return nil, &LineError{i + 1, fmt.Sprintf("%q stands twice in one record", strings.TrimSpace(key))}
			}
			values[name] = x
		}
		if len(values) == 0 {
			continue
		}
		s, err := yumaSatellite(values, near)
		if err != nil {
			return nil, &LineError{start, err.Error()}
		}
		if why := elementsFault(s); why != "" {
			a.skip(why)
			continue
		}
		a.put(*s, near, index)
	}
	return a, nil
}

func yumaKey(key string) string {
	key = strings.ToLower(strings.Join(strings.Fields(key), ""))
	for _, k := range yumaKeys {
		if strings.HasPrefix(key, k) {
			return k
		}
	}
	return ""
}

func yumaSatellite(v map[string]float64, near Time) (*Satellite, error) {
	for _, k := range yumaKeys {
		if _, ok := v[k]; !ok && !strings.HasPrefix(k, "af") {
			return nil, fmt.Errorf("the record has no %s", k)
		}
	}
	root := v["sqrt(a)"]
	toa := v["timeofapplicability"]
	week, err := wholeNumber(v["week"], 0, 8191)
	if err != nil {
		return nil, fmt.Errorf("week: %w", err)
	}
	id, err := wholeNumber(v["id"], 1, 999)
	if err != nil {
		return nil, fmt.Errorf("ID: %w", err)
	}
	return gpsAlmanac(id, v["health"] == 0, fromWeek(week, toa, near), toa, root, v["eccentricity"],
		v["orbitalinclination"], v["rateofrightascen"], v["rightascenatweek"], v["argumentofperigee"], v["meananom"]), nil
}

// gpsAlmanac makes a satellite of almanac terms in radians; the node is given
// for the start of the week.
func gpsAlmanac(id int, healthy bool, epoch Time, toa, root, e, i, rate, node, perigee, anomaly float64) *Satellite {
	return &Satellite{
		System: almanacSystem(id), ID: almanacID(id), Healthy: healthy, Epoch: epoch,
		SemiMajorAxis: root * root, Eccentricity: e, Inclination: i,
		Node: node - earthRotation*toa, NodeRate: rate, Perigee: perigee, MeanAnomaly: anomaly,
	}
}

// almanacSystem tells QZSS, whose numbers start at 193, from GPS (IS-QZSS-PNT).
func almanacSystem(id int) System {
	if id >= 193 {
		return QZSS
	}
	return GPS
}

func almanacID(id int) string {
	if id >= 193 {
		return fmt.Sprintf("J%02d", id-192)
	}
	return fmt.Sprintf("G%02d", id)
}

// hasSEM tells a SEM almanac: a count and a title, then a week and a time.
func hasSEM(lines []string) bool {
	var f []string
	for _, l := range lines[:min(len(lines), 4)] {
		if strings.TrimSpace(l) != "" {
			f = append(f, l)
		}
	}
	if len(f) < 2 {
		return false
	}
	head, second := strings.Fields(f[0]), strings.Fields(f[1])
	if len(head) < 1 || len(second) != 2 {
		return false
	}
	for _, t := range []string{head[0], second[0], second[1]} {
		if _, err := strconv.Atoi(t); err != nil {
			return false
		}
	}
	return true
}

// semReader hands out the lines of a SEM almanac that are not blank.
type semReader struct {
	lines []string
	at    int
}

func (r *semReader) next() ([]string, bool) {
	for r.at < len(r.lines) {
		f := strings.Fields(r.lines[r.at])
		r.at++
		if len(f) > 0 {
			return f, true
		}
	}
	return nil, false
}

// numbers reads the next line as exactly n numbers.
func (r *semReader) numbers(n int) ([]float64, error) {
	f, ok := r.next()
	if !ok {
		return nil, &LineError{r.at, "the almanac ends in the middle of a record"}
	}
	if len(f) != n {
		return nil, &LineError{r.at, fmt.Sprintf("%d numbers where a SEM almanac has %d", len(f), n)}
	}
	out := make([]float64, n)
	for i, t := range f {
		x, err := number(t)
		if err != nil {
			return nil, &LineError{r.at, err.Error()}
		}
		out[i] = x
	}
	return out, nil
}

func (r *semReader) whole(low, high int) (int, error) {
	x, err := r.numbers(1)
	if err != nil {
		return 0, err
	}
	n, err := wholeNumber(x[0], low, high)
	if err != nil {
		return 0, &LineError{r.at, err.Error()}
	}
	return n, nil
}

// readSEM reads a SEM almanac: angles in semicircles, the inclination as the
// difference to 0.30 of them.
func readSEM(lines []string, near Time) (*Almanac, error) {
	r := &semReader{lines: lines}
	head, _ := r.next()
	count, err := strconv.Atoi(head[0])
	if err != nil || count < 1 || count > 63 {
		return nil, &LineError{r.at, fmt.Sprintf("a SEM almanac starts with its number of records, not %q", head[0])}
	}
	at, err := r.numbers(2)
	if err != nil {
		return nil, err
	}
	week, err := wholeNumber(at[0], 0, 8191)
	if err != nil {
		return nil, &LineError{r.at, "week: " + err.Error()}
	}
	toa := at[1]
	a := &Almanac{Form: "SEM"}
	index := map[string]int{}
	for range count {
		s, err := r.satellite(week, toa, near)
		if err != nil {
			return nil, err
		}
		if why := elementsFault(s); why != "" {
			a.skip(why)
			continue
		}
		a.put(*s, near, index)
	}
	return a, nil
}

func (r *semReader) satellite(week int, toa float64, near Time) (*Satellite, error) {
	id, err := r.whole(1, 999)
	if err != nil {
		return nil, err
	}
	for range 2 { // number of the vehicle, average accuracy
		if _, err := r.numbers(1); err != nil {
			return nil, err
		}
	}
	var v [9]float64
	for k := range 3 {
		x, err := r.numbers(3)
		if err != nil {
			return nil, err
		}
		copy(v[3*k:], x)
	}
	health, err := r.whole(0, 255)
	if err != nil {
		return nil, err
	}
	if _, err := r.numbers(1); err != nil { // configuration
		return nil, err
	}
	// e, inclination offset, rate of right ascension; root of A, right
	// ascension, perigee; mean anomaly and two clock terms.
	return gpsAlmanac(id, health == 0, fromWeek(week, toa, near), toa, v[3], v[0],
		(0.30+v[1])*math.Pi, v[2]*math.Pi, v[4]*math.Pi, v[5]*math.Pi, v[6]*math.Pi), nil
}

func wholeNumber(x float64, low, high int) (int, error) {
	if x != math.Trunc(x) || x < float64(low) || x > float64(high) {
		return 0, fmt.Errorf("%v is not a whole number from %d to %d", x, low, high)
	}
	return int(x), nil
}
