// Dates as people write them.

package validate

import (
	"strconv"
	"strings"
	"time"
	"unicode"
)

// span is a stretch of time in decimal years: a date is known to a year, a
// month, a day or a minute.
type span struct{ from, to float64 }

// date is what a text says of when: the two differ where the text leaves it
// open whether its day or its month comes first.
type date struct {
	dayFirst, monthFirst span
	read                 bool
}

// later reports whether a is later than b, and whether it may be. Two dates of
// one hand have their day in the same place.
func (a date) later(b date) (sure, maybe bool) {
	p, q := a.dayFirst.from > b.dayFirst.to, a.monthFirst.from > b.monthFirst.to
	return p && q, p || q
}

// Years that are taken for years.
const firstYear, lastYear = 1900, 2199

// months are the names of months, as a whole and in short, in the languages of
// property-misnamed. Those that are common words besides are left out.
var months = func() map[string]int {
	out := map[string]int{}
	for i, names := range [...]string{
		"january jan januar janvier janv enero ene gennaio gen janeiro januari tammikuu",
		"february feb februar février fevrier févr fevr febrero febbraio fevereiro fev februari helmikuu",
		"march mar märz maerz mär mrz mars marzo março marco maart mrt marts maaliskuu",
		"april apr avril avr abril abr aprile huhtikuu",
		"may mai mayo maggio mag maio mei maj toukokuu",
		"june jun juni juin junio giugno giu junho kesäkuu",
		"july jul juli juillet juil julio luglio lug julho heinäkuu",
		"august aug août aout agosto augustus augusti elokuu",
		"september sep sept septembre septiembre settembre setembro syyskuu",
		"october oct oktober okt octobre octubre ottobre ott outubro lokakuu",
		"november nov novembre noviembre novembro marraskuu",
		"december dec dezember dez décembre decembre déc diciembre dic dicembre dezembro desember joulukuu",
	} {
		for _, w := range strings.Fields(names) {
			out[w] = i + 1
		}
	}
	return out
}()

// dateOf reads a date in every form that says one thing, and in those that say
// one of two.
func dateOf(text string) date {
	text, clock := cutClock(strings.ToLower(strings.TrimSpace(text)))
	t := dateParts{clock: clock}
	if !t.split(text) || len(t.numbers) == 0 {
		return date{}
	}
	n, one := t.numbers, date{}
	switch first := len(n[0]); {
	case len(t.months) == 1:
		one = t.named()
	case len(t.months) > 1:
	case len(n) == 1 && first == 10, len(n) == 1 && first == 13: // seconds or milliseconds since 1970
		s, _ := strconv.ParseInt(n[0][:10], 10, 64)
		one = t.day(strconv.Itoa(time.Unix(s, 0).UTC().Year()), time.Unix(s, 0).UTC().Format("01"), time.Unix(s, 0).UTC().Format("02"))
	case first == 8 && len(n) == 1:
		one = t.day(n[0][:4], n[0][4:6], n[0][6:])
	case first == 6 && len(n) == 1:
		one = t.day(n[0][:4], n[0][4:], "")
	case first == 4:
		one = t.yearFirst()
	case t.joined(2) && len(n[1]) <= 2 && len(n[2]) == 4 && t.noYear(3):
		one = t.day(n[2], n[1], n[0])
		if other := t.day(n[2], n[0], n[1]); t.joins[0] != "." && !one.read {
			one = other
		} else if t.joins[0] != "." && other.read {
			one.monthFirst = other.dayFirst
		}
	case t.joined(1) && len(n[1]) == 4 && t.noYear(2):
		one = t.day(n[1], n[0], "")
	}
	return one
}

// dateParts are the numbers of a date and the names of months in it.
type dateParts struct {
	numbers []string
	joins   []string // what stands between a number and the next
	months  []int
	begins  bool    // the text begins with its first number
	clock   float64 // the part of the day, -1 for none
}

func (t *dateParts) split(text string) bool {
	kind := func(c rune) int {
		switch {
		case c >= '0' && c <= '9':
			return 1
		case unicode.IsLetter(c):
			return 2
		}
		return 0
	}
	between := ""
	for i := 0; i < len(text); {
		k, end := -1, len(text)
		for j, c := range text[i:] {
			if k < 0 {
				k = kind(c)
			} else if kind(c) != k {
				end = i + j
				break
			}
		}
		part := text[i:end]
		switch i = end; {
		case k == 1:
			if len(t.numbers) > 0 {
				t.joins = append(t.joins, between)
			}
			t.numbers, t.begins = append(t.numbers, part), t.begins || between == "" && len(t.numbers) == 0
			between = ""
			continue
		case k == 2:
			m, ok := months[part]
			if !ok {
				m, ok = months[strings.TrimSuffix(part, "ta")]
			}
			if ok {
				t.months = append(t.months, m)
			}
		}
		between += part
	}
	return len(t.numbers) <= 8
}

// joined reports whether so many of the first joins are one of -, / and ., all
// the same.
func (t *dateParts) joined(n int) bool {
	if len(t.joins) < n {
		return false
	}
	for _, j := range t.joins[:n] {
		if j != t.joins[0] || j != "-" && j != "/" && j != "." {
			return false
		}
	}
	return true
}

// noYear reports whether no number from the n-th on may be a year.
func (t *dateParts) noYear(n int) bool {
	for _, w := range t.numbers[min(n, len(t.numbers)):] {
		if len(w) >= 4 {
			return false
		}
	}
	return true
}

// named is a date with the name of a month: a year, and a day at the most.
func (t *dateParts) named() date {
	year, day := "", ""
	for _, w := range t.numbers {
		switch {
		case len(w) == 4 && year == "":
			year = w
		case len(w) <= 2 && day == "":
			day = w
		default:
			return date{}
		}
	}
	return t.day(year, strconv.Itoa(t.months[0]), day)
}

// yearFirst is a date that begins with its year; what follows a day is not
// looked at.
func (t *dateParts) yearFirst() date {
	n := t.numbers
	switch {
	case len(n) == 1:
		return t.day(n[0], "", "")
	case !t.noYear(1) && !(t.joins[0] == "." && len(n) == 2):
		return date{}
	case t.joined(2) && len(n[1]) <= 2 && len(n[2]) <= 2:
		return t.day(n[0], n[1], n[2])
	case t.joins[0] == "." && len(n) == 2: // a decimal year, or a month
		y, err := strconv.ParseFloat(n[0]+"."+n[1], 64)
		if err != nil || y < firstYear || y > lastYear {
			return date{}
		}
		out := date{span{y, y}, span{y, y}, true}
		if month := t.day(n[0], n[1], ""); len(n[1]) == 2 && month.read {
			out.monthFirst = month.monthFirst
		}
		return out
	case t.joined(1) && len(n[1]) <= 2:
		return t.day(n[0], n[1], "")
	}
	return date{}
}

// day is a year, with its month and day where these are told.
func (t *dateParts) day(year, month, day string) date {
	y, err := strconv.Atoi(year)
	if err != nil || len(year) != 4 || y < firstYear || y > lastYear {
		return date{}
	}
	from, to := time.Date(y, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(y+1, 1, 1, 0, 0, 0, 0, time.UTC)
	start, length := from, to.Sub(from)
	if month != "" {
		m, err := strconv.Atoi(month)
		if err != nil || m < 1 || m > 12 {
			return date{}
		}
		from, to = time.Date(y, time.Month(m), 1, 0, 0, 0, 0, time.UTC), time.Date(y, time.Month(m)+1, 1, 0, 0, 0, 0, time.UTC)
		if day != "" {
			d, err := strconv.Atoi(day)
			if err != nil || d < 1 || from.AddDate(0, 0, d-1).Month() != time.Month(m) {
				return date{}
			}
			from = from.AddDate(0, 0, d-1)
			to = from.AddDate(0, 0, 1)
			if t.clock >= 0 {
				from = from.Add(time.Duration(t.clock * 24 * float64(time.Hour)))
				to = from.Add(time.Minute)
			}
		}
	}
	// A second short of the next, so that one day is not the end of the last.
	at := func(x time.Time) float64 { return float64(y) + float64(x.Sub(start))/float64(length) }
	s := span{at(from), at(to.Add(-time.Second))}
	return date{s, s, true}
}

// cutClock takes the time of day, hours:minutes, out of a text, as part of the
// day; -1 for none.
func cutClock(text string) (rest string, clock float64) {
	i := strings.IndexByte(text, ':')
	if i < 1 || i+2 >= len(text) {
		return text, -1
	}
	from := i
	for from > 0 && i-from < 2 && text[from-1] >= '0' && text[from-1] <= '9' {
		from--
	}
	h, err1 := strconv.Atoi(text[from:i])
	m, err2 := strconv.Atoi(text[i+1 : i+3])
	if err1 != nil || err2 != nil || h > 24 || m > 59 {
		return text, -1
	}
	// Seconds and a zone go with it: no order hangs from them.
	end := i + 3
	for end < len(text) && strings.IndexByte("0123456789:.+-z", text[end]) >= 0 {
		end++
	}
	return text[:from] + " " + text[end:], (float64(h) + float64(m)/60) / 24
}
