// Names as people compare them.

package schema

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// FoldName is a name as people compare it: letters composed (Unicode NFC), case
// folded, one space where there were several and none at the ends.
func FoldName(s string) string {
	if folded(s) {
		return s
	}
	for i := range len(s) {
		if s[i] >= 0x80 {
			s = norm.NFC.String(cases.Fold().String(norm.NFC.String(s)))
			break
		}
	}
	return strings.Join(strings.Fields(strings.ToLower(s)), " ")
}

// folded reports whether a name plainly is as FoldName leaves it: small letters,
// digits and marks of ASCII, without a space.
func folded(s string) bool {
	for i := range len(s) {
		if s[i] <= ' ' || s[i] >= 0x80 || s[i] >= 'A' && s[i] <= 'Z' {
			return false
		}
	}
	return true
}

// lookAlikes are letters that look like a Latin one: capitals and small letters
// of Greek and Cyrillic, a part of the table of Unicode Technical Standard 39
// ("confusables"), from memory, each as it looks in an upright typeface.
var lookAlikes = sync.OnceValue(func() map[rune]rune {
	out := map[rune]rune{}
	for _, pair := range [...][2]string{
		{"ΑΒΕΖΗΙΚΜΝΟΡΤΥΧϹϳ", "ABEZHIKMNOPTYXCj"},
		{"αινορυϲ", "aivopuc"},
		{"АВЕЅІЈКМНОРСТУХҮԌԚԜ", "ABESIJKMHOPCTYXYGQW"},
		{"аеѕіјорсухһԁԛԝӏ", "aesijopcyxhdqwl"},
		{"ıℓ", "il"},
	} {
		to := []rune(pair[1])
		for i, r := range []rune(pair[0]) {
			out[r] = to[i]
		}
	}
	return out
})

// LookName is a name as it looks on a screen, for comparison alone: FoldName
// without characters that show nothing (zero-width ones, soft hyphens, marks of
// direction), with letters of compatible forms (Unicode NFKC) and Greek and
// Cyrillic letters that look like Latin ones as those.
func LookName(s string) string {
	ascii := true
	for i := range len(s) {
		ascii = ascii && s[i] < 0x80 && s[i] >= ' ' && s[i] != 0x7f
	}
	if ascii {
		return FoldName(s)
	}
	var b strings.Builder
	alike := lookAlikes()
	for _, r := range norm.NFKC.String(s) {
		switch {
		case unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Cc, r) && !unicode.IsSpace(r) || unicode.Is(unicode.Variation_Selector, r) || r == 0x034f || r == 0x3164 || r == 0x2800:
			continue
		case alike[r] != 0:
			r = alike[r]
		}
		b.WriteRune(r)
	}
	return FoldName(b.String())
}

// FoldMark is the name of a mark as people write it in the field: FoldName
// without the zeros before a number, and without spaces but between two
// numbers. So "M 07", "m7" and "M7" are one, and "M70", "M 0" and "M" are
// others.
func FoldMark(s string) string {
	digit := func(r rune) bool { return r >= '0' && r <= '9' }
	in := []rune(FoldName(s))
	var out []rune
	for i := 0; i < len(in); i++ {
		inNumber := len(out) > 0 && digit(out[len(out)-1])
		more := i+1 < len(in) && digit(in[i+1])
		switch r := in[i]; {
		case unicode.IsSpace(r) && !(inNumber && more):
		case r == '0' && !inNumber && more:
		default:
			out = append(out, r)
		}
	}
	return FoldName(string(out)) // a mark that stood behind a space joins the letter before it
}
