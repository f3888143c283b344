// The table: .dbf (dBASE III with what later writers added), and its text
// encoding.

package shapefile

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"

	"swardline/convert/wire"
	"swardline/schema"
)

// languages are the text encodings of the table's language byte (from memory of
// the lists in use).
var languages = sync.OnceValue(func() map[byte]encoding.Encoding {
	return map[byte]encoding.Encoding{
		0x01: charmap.CodePage437, 0x02: charmap.CodePage850, 0x03: charmap.Windows1252, 0x04: charmap.Macintosh,
		0x08: charmap.CodePage865, 0x0a: charmap.CodePage850, 0x0b: charmap.CodePage437, 0x0d: charmap.CodePage437,
		0x0e: charmap.CodePage850, 0x0f: charmap.CodePage437, 0x10: charmap.CodePage850, 0x11: charmap.CodePage437,
		0x12: charmap.CodePage850, 0x13: japanese.ShiftJIS, 0x14: charmap.CodePage850, 0x15: charmap.CodePage437,
		0x16: charmap.CodePage850, 0x17: charmap.CodePage865, 0x18: charmap.CodePage437, 0x19: charmap.CodePage437,
		0x1a: charmap.CodePage850, 0x1b: charmap.CodePage437, 0x1c: charmap.CodePage863, 0x1d: charmap.CodePage850,
		0x1f: charmap.CodePage852, 0x22: charmap.CodePage852, 0x23: charmap.CodePage852, 0x24: charmap.CodePage860,
		0x25: charmap.CodePage850, 0x26: charmap.CodePage866, 0x37: charmap.CodePage850, 0x40: charmap.CodePage852,
		0x4d: simplifiedchinese.GBK, 0x4e: korean.EUCKR, 0x4f: traditionalchinese.Big5, 0x50: charmap.Windows874,
		0x57: charmap.Windows1252, 0x58: charmap.Windows1252, 0x59: charmap.Windows1252, 0x64: charmap.CodePage852,
		0x65: charmap.CodePage866, 0x66: charmap.CodePage865, 0x78: traditionalchinese.Big5, 0x79: korean.EUCKR,
		0x7a: simplifiedchinese.GBK, 0x7b: japanese.ShiftJIS, 0x7c: charmap.Windows874, 0x87: charmap.CodePage852,
		0x96: charmap.MacintoshCyrillic, 0xc8: charmap.Windows1250, 0xc9: charmap.Windows1251, 0xca: charmap.Windows1254,
		0xcb: charmap.Windows1253, 0xcc: charmap.Windows1257,
	}
})

// pages are encodings that a .cpg names by number.
var pages = sync.OnceValue(func() map[string]encoding.Encoding {
	return map[string]encoding.Encoding{
		"437": charmap.CodePage437, "850": charmap.CodePage850, "852": charmap.CodePage852, "855": charmap.CodePage855, "858": charmap.CodePage858,
		"860": charmap.CodePage860, "862": charmap.CodePage862, "863": charmap.CodePage863, "865": charmap.CodePage865, "866": charmap.CodePage866,
		"874": charmap.Windows874, "932": japanese.ShiftJIS, "936": simplifiedchinese.GBK, "949": korean.EUCKR, "950": traditionalchinese.Big5,
		"1250": charmap.Windows1250, "1251": charmap.Windows1251, "1252": charmap.Windows1252, "1253": charmap.Windows1253, "1254": charmap.Windows1254,
		"1255": charmap.Windows1255, "1256": charmap.Windows1256, "1257": charmap.Windows1257, "1258": charmap.Windows1258,
		"88591": charmap.ISO8859_1, "88592": charmap.ISO8859_2, "88593": charmap.ISO8859_3, "88594": charmap.ISO8859_4, "88595": charmap.ISO8859_5,
		"88596": charmap.ISO8859_6, "88597": charmap.ISO8859_7, "88598": charmap.ISO8859_8, "88599": charmap.Windows1254, "885910": charmap.ISO8859_10,
		"885913": charmap.ISO8859_13, "885914": charmap.ISO8859_14, "885915": charmap.ISO8859_15, "885916": charmap.ISO8859_16,
		"54936": simplifiedchinese.GB18030, "sjis": japanese.ShiftJIS, "big5": traditionalchinese.Big5,
	}
})

// pageByName returns the encoding that the text of a .cpg names; nil with ok
// true is UTF-8.
func pageByName(text string) (e encoding.Encoding, ok bool) {
	name := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(text, "\ufeff")))
	key := strings.NewReplacer("-", "", "_", "", " ", "").Replace(name)
	if key == "utf8" || key == "65001" || key == "cp65001" {
		return nil, true
	}
	if n, found := strings.CutPrefix(key, "ldid/"); found {
		if b, err := strconv.ParseUint(n, 10, 8); err == nil && languages()[byte(b)] != nil {
			return languages()[byte(b)], true
		}
		return nil, false
	}
	for _, prefix := range []string{"", "iso", "cp", "ansi", "oem", "windows", "ibm", "ms"} {
		if rest, found := strings.CutPrefix(key, prefix); found && pages()[rest] != nil {
			return pages()[rest], true
		}
	}
	if e, err := htmlindex.Get(name); err == nil {
		if canonical, err := htmlindex.Name(e); err == nil && canonical == "utf-8" {
			return nil, true
		} else if strings.HasPrefix(canonical, "utf-16") {
			return nil, false // a table's texts are of single bytes or pairs led by one
		}
		return e, true
	}
	return nil, false
}

// usualWidths are the widths that programs give fields for texts of any length, by
// themselves, so that a text which fills one may have been cut; others are as wide as
// their longest text (common practice, no source).
var usualWidths = []int{50, 80, 100, 128, 254, 255}

// field is one column of a table.
type field struct {
	name     string
	kind     byte
	size     int
	decimals int
	at       int // in the record, behind the deletion mark
	// stars says that a cell of asterisks may be a number that its field has no
	// room for; else it is one without a value.
	stars bool
}

// table is a .dbf.
type table struct {
	fields  []field
	rows    []byte
	size    int // of a record
	count   int
	page    encoding.Encoding // nil for UTF-8
	guess   bool              // nothing says what the encoding is
	guessed int               // texts that were not UTF-8, read as Windows-1252
	lost    int               // cells that refer to a memo file
	full    int               // texts as long as their field
	path    string
}

// readTable reads the head of a .dbf. cpg is the text of the .cpg, or the
// encoding that the user told, "" for neither.
func readTable(data []byte, cpg, path string, t *wire.Tally) (*table, error) {
	if len(data) < 33 {
		return nil, fault(path, 0, "the file ends inside its header", mendWhole)
	}
	le := binary.LittleEndian
	tb := &table{path: path, count: int(le.Uint32(data[4:])), size: int(le.Uint16(data[10:]))}
	head := int(le.Uint16(data[8:]))
	if head < 33 || head > len(data) || tb.size < 1 {
		return nil, fault(path, 0, "the header of the table makes no sense", mendWhole)
	}
	tb.rows = data[head:]
	if int64(tb.count)*int64(tb.size) > int64(len(tb.rows)) {
		return nil, fault(path, 0, fmt.Sprintf("the header promises %d records of %d bytes, the file has room for %d", tb.count, tb.size, len(tb.rows)/tb.size), mendWhole)
	}
	tb.encoding(data[29], cpg, t)
	at := 1
	for i := 32; i+32 <= head && data[i] != 0x0d; i += 32 {
		d := data[i : i+32]
		f := field{kind: d[11], size: int(d[16]), decimals: int(d[17]), at: at}
		raw, _, _ := bytes.Cut(d[:11], []byte{0})
		f.name = strings.TrimSpace(tb.decode(raw))
		if f.kind == 'C' {
			f.size += 256 * f.decimals // texts past 255 bytes, as some write them
			f.decimals = 0
		}
		if f.name == "" && f.size > 0 {
			f.name = fmt.Sprintf("column %d", len(tb.fields)+1)
		}
		at += f.size
		if at > tb.size {
			return nil, fault(path, 0, fmt.Sprintf("the fields up to %q are %d bytes, a record has %d", f.name, at, tb.size), mendWhole)
		}
		if f.name != "" {
			tb.fields = append(tb.fields, f)
		}
	}
	for i := range tb.fields {
		tb.fields[i].stars = tb.overflows(&tb.fields[i])
	}
	return tb, nil
}

// overflowTimes is how many times the largest number of a column may be to be one
// more of its kind (common practice, no source).
const overflowTimes = 100

// overflows reports whether asterisks in a column may stand for numbers that were
// too long: programs write them for those, and many for no value besides. A column
// with room for overflowTimes its largest number and more has none too long. Of one
// without a number the properties that rules read are held against 1.
func (tb *table) overflows(f *field) bool {
	if f.kind != 'N' && f.kind != 'F' {
		return false
	}
	stars, largest := false, math.NaN()
	for i := range tb.count {
		if tb.deleted(i) {
			continue
		}
		text := bytes.Trim(tb.rows[i*tb.size+f.at:i*tb.size+f.at+f.size], "\x00 ")
		if len(text) == 0 {
			continue
		}
		if len(bytes.Trim(text, "*")) == 0 {
			stars = true
		} else if v, ok := wire.ParseFloat(bytes.Replace(text, []byte(","), []byte("."), 1)); ok && !(math.Abs(v) <= largest) {
			largest = math.Abs(v)
		}
	}
	if !stars {
		return false
	}
	if math.IsNaN(largest) {
		if !slices.Contains(measures, cmp.Or(cutNames[strings.ToLower(f.name)], strings.ToLower(f.name))) {
			return false
		}
		largest = 1
	}
	room := f.size
	if f.decimals > 0 {
		room -= f.decimals + 1
	}
	return math.Pow10(room) < overflowTimes*max(largest, 1)
}

// measures are the properties that rules read as numbers.
var measures = []string{schema.PropHeadingDeg, schema.PropCutMM, schema.PropStandoffM, schema.PropAntennaHeight, schema.PropHeightM, schema.PropRadiusM, schema.PropCrownBaseM, schema.PropWidth, schema.PropSigma}

func (tb *table) encoding(language byte, cpg string, t *wire.Tally) {
	if cpg != "" {
		e, ok := pageByName(cpg)
		if ok {
			tb.page = e
			return
		}
		t.Add("encoding-unknown", 0, tb.path, "the .cpg names the encoding %.40q, which is not known; texts are read as UTF-8 or Windows-1252", strings.TrimSpace(cpg))
	}
	if e := languages()[language]; e != nil {
		tb.page = e
		return
	}
	tb.guess = true
}

// decode turns the bytes of a text into UTF-8.
func (tb *table) decode(b []byte) string {
	if tb.page == nil {
		if utf8.Valid(b) {
			return string(b)
		}
		tb.guessed++
		out, _ := charmap.Windows1252.NewDecoder().Bytes(b)
		return string(out)
	}
	out, err := tb.page.NewDecoder().Bytes(b)
	if err != nil {
		return strings.ToValidUTF8(string(b), "\ufffd")
	}
	return string(out)
}

// deleted reports whether a record is marked as deleted.
func (tb *table) deleted(i int) bool { return tb.rows[i*tb.size] == '*' }

// value returns a cell, absent when it is blank.
func (tb *table) value(i int, f field) schema.Value {
	start := i*tb.size + f.at
	b := tb.rows[start : start+f.size]
	if len(b) == 0 {
		return schema.Value{}
	}
	switch f.kind {
	case 'N', 'F':
		text := strings.TrimSpace(string(bytes.Trim(b, "\x00 ")))
		if text == "" || strings.Trim(text, "*") == "" && !f.stars {
			return schema.Value{}
		}
		if f.decimals > 0 && strings.Contains(text, ".") && !strings.ContainsAny(text, "eE") {
			text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".") // zeros that only fill the field
		}
		if v, ok := schema.Number(text); ok {
			return v
		}
		if f, ok := wire.ParseFloat([]byte(strings.Replace(text, ",", ".", 1))); ok {
			return schema.Float(f)
		}
		return schema.String(text)
	case 'L':
		switch b[0] {
		case 'T', 't', 'Y', 'y':
			return schema.Bool(true)
		case 'F', 'f', 'N', 'n':
			return schema.Bool(false)
		}
		return schema.Value{}
	case 'D':
		text := strings.TrimSpace(string(bytes.Trim(b, "\x00 ")))
		if d, err := time.Parse("20060102", text); err == nil {
			return schema.String(d.Format("2006-01-02"))
		}
		if strings.Trim(text, "0") == "" {
			return schema.Value{}
		}
		return schema.String(text)
	case 'I', '+':
		if len(b) == 4 {
			return schema.Int(int64(int32(binary.LittleEndian.Uint32(b))))
		}
	case 'O':
		if len(b) == 8 {
			return schema.Float(math.Float64frombits(binary.LittleEndian.Uint64(b)))
		}
	case 'M', 'B', 'G', 'P':
		if len(bytes.Trim(b, "\x00 ")) > 0 {
			tb.lost++
		}
		return schema.Value{}
	}
	if slices.Contains(usualWidths, f.size) && b[f.size-1] != ' ' && b[f.size-1] != 0 {
		tb.full++
	}
	text := strings.TrimRight(tb.decode(bytes.TrimRight(b, "\x00 ")), " ")
	if text == "" {
		return schema.Value{}
	}
	return schema.String(text)
}
