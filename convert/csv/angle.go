// Angles as people and instruments write them: degrees, minutes and seconds,
// with their signs and hemispheres.

package csv

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"unicode"

	"swardline/convert/wire"
)

// axis is what a coordinate column holds.
type axis uint8

const (
	axisLon axis = iota
	axisLat
	axisPlane
)

var axisNames = [...]string{"longitude", "latitude", "coordinate"}

// hemispheres are the words for them, folded; the sign and the axis each gives.
// O is not among them: it is east in German and Danish, west in French, Spanish
// and Italian.
var hemispheres = sync.OnceValue(func() map[string]struct {
	axis axis
	sign float64
} {
	return map[string]struct {
		axis axis
		sign float64
	}{
		"n": {axisLat, 1}, "north": {axisLat, 1}, "nord": {axisLat, 1}, "norte": {axisLat, 1}, "noord": {axisLat, 1}, "norr": {axisLat, 1},
		"s": {axisLat, -1}, "south": {axisLat, -1}, "sud": {axisLat, -1}, "sued": {axisLat, -1}, "syd": {axisLat, -1}, "sur": {axisLat, -1}, "sul": {axisLat, -1}, "zuid": {axisLat, -1},
		"e": {axisLon, 1}, "east": {axisLon, 1}, "ost": {axisLon, 1}, "oest": {axisLon, 1}, "oost": {axisLon, 1}, "est": {axisLon, 1}, "este": {axisLon, 1}, "leste": {axisLon, 1},
		"w": {axisLon, -1}, "west": {axisLon, -1}, "vest": {axisLon, -1}, "ouest": {axisLon, -1}, "oeste": {axisLon, -1}, "ovest": {axisLon, -1},
	}
})

type angleToken struct {
	kind byte // '0' a number, '+' or '-' a sign, 'd' 'm' 's' a mark, 'h' a hemisphere, ':' a colon
	text string
	unit byte // of a word that could also be a hemisphere: 's'
	tied bool // directly behind the token before
}

// parseAngle reads degrees for the axis, such as 56.1234, -9.5, 23°N, 40° 11'
// 15.5" N, N 40 11 15.5, 40:11:15.5, 40d11m15s, 40-11-15N or 40°11.25'. With
// comma true the decimal mark may be a comma. Minutes or seconds of 60 and
// more, a sign with a hemisphere, the other axis's hemisphere and decimals
// before the last part are errors, which say what is wrong; so is what lies
// past the axis's range.
func parseAngle(text string, on axis, comma bool) (float64, error) {
	tokens, err := angleTokens(text, comma)
	if err != nil {
		return 0, err
	}
	var numbers []string
	var marks []byte // behind each number; 0 for none, ':' and '-' and ' ' do not say which part it is
	sign, signed, hemisphere := 1.0, false, ""
	closed := false // a hemisphere behind the numbers ends the angle
	for i, t := range tokens {
		if closed {
			return 0, fmt.Errorf("%q stands behind the hemisphere", t.text)
		}
		switch t.kind {
		case '+', '-':
			// 40-11-15: a dash between two tied numbers separates them.
			if len(numbers) > 0 && t.kind == '-' && t.tied && marks[len(marks)-1] == 0 && i+1 < len(tokens) && tokens[i+1].kind == '0' && tokens[i+1].tied {
				marks[len(marks)-1] = '-'
				continue
			}
			if hemisphere != "" {
				return 0, fmt.Errorf("there is both a sign and the hemisphere %s", hemisphere)
			}
			if signed || len(numbers) > 0 {
				return 0, fmt.Errorf("a %c stands where no sign can", t.kind)
			}
			signed = true
			if t.kind == '-' {
				sign = -1
			}
		case '0':
			if len(numbers) == 3 {
				return 0, fmt.Errorf("more than degrees, minutes and seconds")
			}
			numbers = append(numbers, t.text)
			marks = append(marks, 0)
		case 'd', 'm', 's', ':':
			if len(numbers) == 0 || marks[len(marks)-1] != 0 {
				return 0, fmt.Errorf("%q stands behind no number", t.text)
			}
			marks[len(marks)-1] = t.kind
		case 'h':
			// An s tied to the third number of 40d11m15s is its mark, not
			// south.
			if t.unit == 's' && t.tied && len(numbers) > 0 && marks[len(marks)-1] == 0 && spelled(tokens[:i]) {
				marks[len(marks)-1] = 's'
				continue
			}
			if hemisphere != "" {
				return 0, fmt.Errorf("there are two hemispheres, %s and %s", hemisphere, t.text)
			}
			h := hemispheres()[wire.Fold(t.text)]
			if h.axis != on {
				return 0, fmt.Errorf("%s is no hemisphere of a %s", t.text, axisNames[on])
			}
			hemisphere = t.text
			if signed {
				return 0, fmt.Errorf("there is both a sign and the hemisphere %s", t.text)
			}
			sign = h.sign
			closed = len(numbers) > 0
		}
	}
	if len(numbers) == 0 {
		return 0, fmt.Errorf("there is no number in it")
	}
	return assemble(numbers, marks, sign, on)
}

// spelled reports whether the degrees were marked with a letter or word.
func spelled(tokens []angleToken) bool {
	for _, t := range tokens {
		if t.kind == 'd' && t.text != "°" {
			return true
		}
	}
	return false
}

func assemble(numbers []string, marks []byte, sign float64, on axis) (float64, error) {
	want := []byte("dms")
	var total float64
	for i, number := range numbers {
		if m := marks[i]; m != 0 && m != ':' && m != '-' && m != want[i] {
			return 0, fmt.Errorf("the parts are not degrees, minutes, seconds in this order")
		}
		if i == len(numbers)-1 && (marks[i] == ':' || marks[i] == '-') {
			return 0, fmt.Errorf("a part is missing at the end")
		}
		v, ok := wire.ParseFloat([]byte(number))
		if !ok {
			return 0, fmt.Errorf("%q is no number", number)
		}
		if i < len(numbers)-1 && strings.ContainsAny(number, ".eE") {
			return 0, fmt.Errorf("only the last part can have decimals")
		}
		if i > 0 && strings.ContainsAny(number, "eE") {
			return 0, fmt.Errorf("%q is no count of minutes or seconds", number)
		}
		switch {
		case i == 1 && v >= 60:
			return 0, fmt.Errorf("%s minutes are 60 or more", number)
		case i == 2 && v >= 60:
			return 0, fmt.Errorf("%s seconds are 60 or more", number)
		}
		total += v / [...]float64{1, 60, 3600}[i]
	}
	total *= sign
	return total, checkRange(total, on)
}

// checkRange refuses what lies past the axis's range.
func checkRange(v float64, on axis) error {
	switch {
	case on == axisLat && !(math.Abs(v) <= 90):
		return fmt.Errorf("the latitude %v lies outside -90 to 90", v)
	case on == axisLon && !(math.Abs(v) <= 180):
		return fmt.Errorf("the longitude %v lies outside -180 to 180", v)
	}
	return nil
}

// angleTokens cuts an angle's text up.
func angleTokens(text string, comma bool) ([]angleToken, error) {
	runes := []rune(text)
	const longest = 80 // characters; no angle comes near
	if len(runes) > longest {
		return nil, fmt.Errorf("the text is too long for an angle")
	}
	var out []angleToken
	tied := false
	for i := 0; i < len(runes); {
		r := runes[i]
		t := angleToken{tied: tied, text: string(r)}
		tied = true
		switch {
		case unicode.IsSpace(r):
			tied = false
			i++
			continue
		case r >= '0' && r <= '9' || r == '.':
			var n int
			t.text, n = lexNumber(runes[i:], comma)
			t.kind = '0'
			i += n
		case r == '+' || r == '-':
			t.kind = byte(r)
			i++
		case r == '−': // U+2212, the true minus sign
			t.kind = '-'
			i++
		case r == ':':
			t.kind = ':'
			i++
		case strings.ContainsRune("°º˚", r):
			t.kind, t.text = 'd', "°"
			i++
		case strings.ContainsRune("″”“ʺ\"", r):
			t.kind = 's'
			i++
		case strings.ContainsRune("'′’ʹ´`‘", r):
			t.kind = 'm'
			i++
			if i < len(runes) && strings.ContainsRune("'′’ʹ´`‘", runes[i]) { // two primes are seconds
				t.kind = 's'
				i++
			}
		case unicode.IsLetter(r):
			from := i
			for i < len(runes) && unicode.IsLetter(runes[i]) {
				i++
			}
			t.text = string(runes[from:i])
			var err error
			if t, i, err = angleWord(t, runes, from, i); err != nil {
				return nil, err
			}
		default:
			return nil, fmt.Errorf("%q belongs to no angle", r)
		}
		out = append(out, t)
	}
	return out, nil
}

// lexNumber reads digits with at most one decimal mark and an exponent, and
// returns the number with a point and how many characters it took. The E of an
// exponent stands tied to digits on both sides, or has a sign; any other E is
// east.
func lexNumber(runes []rune, comma bool) (string, int) {
	isDigit := func(i int) bool { return i < len(runes) && runes[i] >= '0' && runes[i] <= '9' }
	var b strings.Builder
	i := 0
	for isDigit(i) {
		b.WriteRune(runes[i])
		i++
	}
	if i < len(runes) && (runes[i] == '.' || comma && runes[i] == ',') && (i > 0 || isDigit(i+1)) {
		b.WriteByte('.')
		i++
		for isDigit(i) {
			b.WriteRune(runes[i])
			i++
		}
	}
	if i == 0 {
		return ".", 1
	}
	if i < len(runes) && (runes[i] == 'e' || runes[i] == 'E') {
		j := i + 1
		if j < len(runes) && (runes[j] == '+' || runes[j] == '-') && isDigit(j+1) {
			j++
		}
		if isDigit(j) {
			for isDigit(j) {
				j++
			}
			b.WriteString(string(runes[i:j]))
			i = j
		}
	}
	return b.String(), i
}

// angleWord says what letters mean: a unit or a hemisphere. Letters that run
// together, as in 15sN, are cut behind the unit.
func angleWord(t angleToken, runes []rune, from, to int) (angleToken, int, error) {
	word := wire.Fold(t.text)
	switch word {
	case "d", "deg", "degs", "degree", "degrees", "grader", "grados", "gradi":
		t.kind = 'd'
		return t, to, nil
	case "m", "min", "mins", "minute", "minutes", "minuten", "minutter", "minutos", "minuti":
		t.kind = 'm'
		return t, to, nil
	case "sec", "secs", "second", "seconds", "sek", "sekunden", "sekunder", "segundos", "secondi", "secondes":
		t.kind = 's'
		return t, to, nil
	case "o":
		return t, to, fmt.Errorf("the hemisphere O is east in some languages and west in others; write E or W")
	}
	if _, ok := hemispheres()[word]; ok {
		t.kind = 'h'
		if word == "s" {
			t.unit = 's'
		}
		return t, to, nil
	}
	if n := to - from; n == 2 && unicode.ToLower(runes[from]) == 's' { // 15sN
		t.text = string(runes[from])
		t.kind = 's'
		return t, from + 1, nil
	}
	return t, to, fmt.Errorf("%q belongs to no angle", t.text)
}
