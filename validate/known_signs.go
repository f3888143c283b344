// Signs in names and texts that say something without a word: what of words-unread
// is about them.

package validate

import (
	"strings"
	"unicode"
)

// plainSigns say nothing that a machine could heed, and voidSigns that what they stand
// at is not so, or not quite: of what is kept out those alone are told, since a
// warning stands there with good reason (common practice, no source).
const (
	plainSigns = "+|$€£¥¢©®™№°^`´¨¸¯★☆✓✔☑●○■□▲△▼▽◆◇•☀☼♥❤🌳🌲🌴🌷🌹🌻🌼🌸🌺🌱🌿🍀🍃🍂🍁🌾🏡🏠🪴🌞🙂😀👍🤖⚑🚩📍📌🧭\ufe0f"
	voidSigns  = "~✗✘✕✖❌🚫⛔†‡±~≈∼≠×\u0335\u0336\u0337\u0338\u20e0"
)

// signIn is the first sign of a text that is none of plainSigns, or, where not all are
// asked for, one of voidSigns; "" for none.
func signIn(text string, all bool) string {
	for _, c := range text {
		switch {
		case c < 0x80 && c != '~': // those words have
		case strings.ContainsRune(voidSigns, c):
			return string(c)
		case all && unicode.IsOneOf([]*unicode.RangeTable{unicode.So, unicode.Sm, unicode.Sk, unicode.Sc, unicode.Co}, c) && !strings.ContainsRune(plainSigns, c):
			return string(c)
		}
	}
	return ""
}
