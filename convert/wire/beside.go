// Texts of a file that no feature and no member of a plan has: what is left of
// them once markup and what programs put for themselves is gone.

package wire

import (
	"html"
	"regexp"
	"strings"
	"sync"
	"unicode"
)

// mostPlain is the most bytes of a text beside a plan that are read.
const mostPlain = 64 << 10

var markup = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?is)<style\b.*?</style>|<script\b.*?</script>|<!--.*?-->|<!\[CDATA\[|\]\]>|<[a-z/!?][^<>]*>|\$\[[^\]]*\]|https?://\S+`)
})

// PlainText is a text without tags, the places that a balloon fills in, addresses
// of pages and what stands in scripts and styles, in one line.
func PlainText(text string) string {
	if strings.ContainsAny(text, "<$&:]") {
		text = html.UnescapeString(markup().ReplaceAllString(text, " "))
	}
	return strings.Join(strings.Fields(text), " ")
}

// SaysWords reports whether a text has a word: two letters one after the other. A
// number, a letter and a colour such as ff00ff00 are none.
func SaysWords(text string) bool {
	if len(text) == 8 && strings.Trim(text, "0123456789abcdefABCDEF") == "" {
		return false
	}
	letters := 0
	for _, c := range text {
		if letters++; !unicode.IsLetter(c) {
			letters = 0
		}
		if letters == 2 {
			return true
		}
	}
	return false
}
