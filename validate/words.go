// How messages show names and numbers.

package validate

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"swardline/schema"
)

// quote puts a name in double quotes as it is. Names come from files: whoever
// shows a message on a terminal or in markup has to escape it there.
func quote(s string) string { return `"` + s + `"` }

// letterWords are the folded words of letters in a text, the caller's own.
func letterWords(text string) []string {
	if len(text) > mostWordsKept {
		return splitLetters(text)
	}
	return slices.Clone(letterWordsOf.get(text))
}

// mostWordsKept is the length of the longest text, in bytes, whose words are kept.
const mostWordsKept = 100

var letterWordsOf = remembered[[]string]{of: func(text string) []string { return splitLetters(text) }}

func splitLetters(text string) []string {
	return strings.FieldsFunc(schema.FoldName(text), func(c rune) bool { return !unicode.IsLetter(c) })
}

// trim formats a number with at most so many decimals and no trailing zeros.
func trim(v float64, decimals int) string {
	if math.Abs(v) >= 1e15 || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'g', 6, 64)
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// metres formats a length for a message: millimetres show up to 10 m, then
// centimetres.
func metres(v float64) string {
	switch a := math.Abs(v); {
	case a < 0.1:
		return strconv.FormatFloat(v, 'f', 3, 64) + " m"
	case a < 1000:
		return strconv.FormatFloat(v, 'f', 2, 64) + " m"
	}
	return strconv.FormatFloat(v, 'f', 0, 64) + " m"
}

// metresPast formats a length with as many decimals as it takes not to read
// like the limit that it misses.
func metresPast(v, limit float64) string {
	s := metres(v)
	for decimals := 3; s == metres(limit) && decimals <= 6; decimals++ {
		s = strconv.FormatFloat(v, 'f', decimals, 64) + " m"
	}
	return s
}

// squareMetres formats an area for a message.
func squareMetres(v float64) string {
	if math.Abs(v) < 1 {
		return strconv.FormatFloat(v, 'f', 4, 64) + " m2"
	}
	return strconv.FormatFloat(v, 'f', 1, 64) + " m2"
}

// degreesText formats an angle for a message.
func degreesText(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) + " deg" }

// plural returns "1 point" or "3 points".
func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + one + "s"
}
