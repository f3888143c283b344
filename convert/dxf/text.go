// Text: code pages, the escapes of names and the formatting codes of MTEXT.

package dxf

import (
	"strconv"
	"strings"
	"sync"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// codePages are the values of $DWGCODEPAGE, lower case without spaces, dashes
// and underscores (from memory of the format's reference).
var codePages = sync.OnceValue(func() map[string]encoding.Encoding {
	return map[string]encoding.Encoding{
		"ansi874": charmap.Windows874, "ansi932": japanese.ShiftJIS, "ansi936": simplifiedchinese.GBK,
		"ansi949": korean.EUCKR, "ansi950": traditionalchinese.Big5,
		"ansi1250": charmap.Windows1250, "ansi1251": charmap.Windows1251, "ansi1252": charmap.Windows1252,
		"ansi1253": charmap.Windows1253, "ansi1254": charmap.Windows1254, "ansi1255": charmap.Windows1255,
		"ansi1256": charmap.Windows1256, "ansi1257": charmap.Windows1257, "ansi1258": charmap.Windows1258,
		"dos437": charmap.CodePage437, "dos850": charmap.CodePage850, "dos852": charmap.CodePage852,
		"dos855": charmap.CodePage855, "dos860": charmap.CodePage860, "dos863": charmap.CodePage863,
		"dos865": charmap.CodePage865, "dos866": charmap.CodePage866, "dos932": japanese.ShiftJIS,
		"iso88591": charmap.ISO8859_1, "iso88592": charmap.ISO8859_2, "iso88593": charmap.ISO8859_3,
		"iso88594": charmap.ISO8859_4, "iso88595": charmap.ISO8859_5, "iso88596": charmap.ISO8859_6,
		"iso88597": charmap.ISO8859_7, "iso88598": charmap.ISO8859_8, "iso88599": charmap.Windows1254,
		"macroman": charmap.Macintosh, "mac": charmap.Macintosh, "macintosh": charmap.Macintosh,
		"big5": traditionalchinese.Big5, "gb2312": simplifiedchinese.GBK, "ksc5601": korean.EUCKR,
		"ascii": charmap.Windows1252, "undefined": charmap.Windows1252, "": charmap.Windows1252,
	}
})

// multibyte are the code pages of \M+n, by n.
var multibyte = [...]encoding.Encoding{1: japanese.ShiftJIS, 2: traditionalchinese.Big5, 3: korean.EUCKR, 5: simplifiedchinese.GBK}

// decoder turns a drawing's bytes into text.
type decoder struct {
	utf8 bool // R2007 and later
	page encoding.Encoding
	wide bool // the page has characters of two bytes
	told bool // by the user: nothing is guessed
	// guessed counts texts that were not in the encoding the header promises.
	guessed int
}

// newDecoder returns the decoder for a header's version and code page; known is
// false when the code page is not one of the list.
func newDecoder(version, codePage string) (d *decoder, known bool) {
	key := strings.NewReplacer("_", "", "-", "", " ", "").Replace(strings.ToLower(codePage))
	page, known := codePages()[key]
	if page == nil {
		page = charmap.Windows1252
	}
	d = &decoder{page: page, utf8: version >= "AC1021" && len(version) == 6}
	switch page {
	case japanese.ShiftJIS, simplifiedchinese.GBK, korean.EUCKR, traditionalchinese.Big5:
		d.wide = true
	}
	return d, known
}

// tell makes the decoder believe the user instead of the header.
func (d *decoder) tell(page encoding.Encoding) {
	d.told, d.page, d.utf8 = true, page, page == encoding.Nop
}

// charset decodes bytes without looking at escapes. Text that is valid UTF-8 in
// a drawing that promises a code page of single bytes is taken for UTF-8, which
// is what many exporters write; text that is not UTF-8 where UTF-8 is promised
// is taken for the code page. Both are counted.
func (d *decoder) charset(b []byte) string {
	ascii := true
	for _, c := range b {
		if c >= 0x80 || c == 0 {
			ascii = false
			break
		}
	}
	if ascii {
		return string(b)
	}
	valid := utf8.Valid(b)
	if valid && !d.told && (d.utf8 || !d.wide) {
		if !d.utf8 {
			d.guessed++
		}
		return strings.ReplaceAll(string(b), "\x00", "")
	}
	if d.utf8 {
		d.guessed++
	}
	out, err := d.page.NewDecoder().Bytes(b)
	if err != nil {
		out = []byte(strings.ToValidUTF8(string(b), "\uFFFD"))
	}
	return strings.ReplaceAll(string(out), "\x00", "")
}

// name decodes a name: of a layer, block, line type.
func (d *decoder) name(b []byte) string { return unescape(d.charset(b)) }

// unescape replaces \U+XXXX and \M+nXXXX.
func unescape(s string) string {
	if !strings.Contains(s, `\U+`) && !strings.Contains(s, `\M+`) {
		return s
	}
	var out strings.Builder
	for i := 0; i < len(s); {
		if text, n := escaped(s[i:]); n > 0 {
			out.WriteString(text)
			i += n
			continue
		}
		out.WriteByte(s[i])
		i++
	}
	return out.String()
}

// escaped returns the text that an escape at the start of s stands for and how
// many bytes it takes, 0 when there is none.
func escaped(s string) (string, int) {
	if len(s) < 7 || s[0] != '\\' || s[2] != '+' {
		return "", 0
	}
	switch s[1] {
	case 'U', 'u':
		n, err := strconv.ParseUint(s[3:7], 16, 16)
		if err != nil {
			return "", 0
		}
		r := rune(n)
		if utf16.IsSurrogate(r) {
			if len(s) >= 14 && s[7] == '\\' && (s[8] == 'U' || s[8] == 'u') && s[9] == '+' {
				if low, err := strconv.ParseUint(s[10:14], 16, 16); err == nil {
					if full := utf16.DecodeRune(r, rune(low)); full != utf8.RuneError {
						return string(full), 14
					}
				}
			}
			return "\uFFFD", 7
		}
		if r == 0 {
			return "", 7
		}
		return string(r), 7
	case 'M', 'm':
		if len(s) < 8 {
			return "", 0
		}
		page := int(s[3] - '0')
		n, err := strconv.ParseUint(s[4:8], 16, 16)
		if err != nil || page < 1 || page >= len(multibyte) || multibyte[page] == nil {
			return "", 0
		}
		b := []byte{byte(n >> 8), byte(n)}
		if b[0] == 0 {
			b = b[1:]
		}
		out, err := multibyte[page].NewDecoder().Bytes(b)
		if err != nil || len(out) == 0 || out[0] == 0 {
			return "\uFFFD", 8
		}
		return string(out), 8
	}
	return "", 0
}

// caret replaces the control characters of plain text: ^I tab, ^J line, ^ and a
// space for the caret itself.
func caret(s string) string {
	if !strings.Contains(s, "^") {
		return s
	}
	var out strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '^' && i+1 < len(s) {
			switch s[i+1] {
			case ' ':
				out.WriteByte('^')
				i++
				continue
			case 'I':
				out.WriteByte('\t')
				i++
				continue
			case 'J':
				out.WriteByte('\n')
				i++
				continue
			case 'M':
				i++
				continue
			}
		}
		out.WriteByte(s[i])
	}
	return out.String()
}

// text decodes the content of a TEXT or ATTRIB: %%d, %%p and %%c are the
// degree, plus-minus and diameter signs, %%nnn a character by number, %%u, %%o
// and %%k switch lines on and off and leave nothing.
func (d *decoder) text(b []byte) string {
	s := caret(d.name(b))
	if !strings.Contains(s, "%%") {
		return strings.TrimRight(s, " ")
	}
	var out strings.Builder
	for i := 0; i < len(s); {
		if s[i] != '%' || i+2 >= len(s) || s[i+1] != '%' {
			out.WriteByte(s[i])
			i++
			continue
		}
		switch c := s[i+2]; {
		case c == 'd' || c == 'D':
			out.WriteRune('°')
		case c == 'p' || c == 'P':
			out.WriteRune('±')
		case c == 'c' || c == 'C':
			out.WriteRune('⌀')
		case c == '%':
			out.WriteByte('%')
		case strings.IndexByte("uUoOkK", c) >= 0:
		case c >= '0' && c <= '9':
			n, used := 0, 0
			for used < 3 && i+2+used < len(s) && s[i+2+used] >= '0' && s[i+2+used] <= '9' {
				n = n*10 + int(s[i+2+used]-'0')
				used++
			}
			if n >= 32 && n < 256 {
				out.WriteRune(charmap.Windows1252.DecodeByte(byte(n)))
			}
			i += 2 + used
			continue
		default:
			out.WriteString("%%")
			i += 2
			continue
		}
		i += 3
	}
	return strings.TrimRight(out.String(), " ")
}

// mtext decodes the content of an MTEXT: formatting codes are left out, \P is a
// new line, \~ a space, \S a/b a stacked fraction written with a slash.
func (d *decoder) mtext(b []byte) string {
	s := caret(d.charset(b))
	var out strings.Builder
	for i := 0; i < len(s); {
		c := s[i]
		if c == '{' || c == '}' {
			i++
			continue
		}
		if c == '%' && i+2 < len(s) && s[i+1] == '%' {
			switch s[i+2] {
			case 'd', 'D':
				out.WriteRune('°')
				i += 3
				continue
			case 'p', 'P':
				out.WriteRune('±')
				i += 3
				continue
			case 'c', 'C':
				out.WriteRune('⌀')
				i += 3
				continue
			}
		}
		if c != '\\' || i+1 >= len(s) {
			out.WriteByte(c)
			i++
			continue
		}
		if text, n := escaped(s[i:]); n > 0 {
			out.WriteString(text)
			i += n
			continue
		}
		code := s[i+1]
		i += 2
		switch code {
		case '\\', '{', '}':
			out.WriteByte(code)
		case 'P', 'X':
			out.WriteByte('\n')
		case 'N':
			out.WriteByte('\n') // column break
		case '~':
			out.WriteRune('\u00a0')
		case 'L', 'l', 'O', 'o', 'K', 'k':
		case 'S':
			end := strings.IndexByte(s[i:], ';')
			if end < 0 {
				break
			}
			out.WriteString(strings.TrimSpace(strings.NewReplacer("^", "/", "#", "/", `\`, "").Replace(s[i : i+end])))
			i += end + 1
		case 'A', 'C', 'c', 'F', 'f', 'H', 'Q', 'T', 'W', 'p':
			end := strings.IndexByte(s[i:], ';')
			if end >= 0 {
				i += end + 1
			}
		default:
			out.WriteByte('\\')
			out.WriteByte(code)
		}
	}
	lines := strings.Split(out.String(), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " \t\r")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n")
}
