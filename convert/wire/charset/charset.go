// Package charset turns text in the encodings that practice still sends into
// UTF-8: told by the user, by a byte-order mark or by the file's own
// declaration, and guessed only where the guess is valid and is told.
package charset

import (
	"bytes"
	"fmt"
	"sort"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
	"golang.org/x/text/encoding/unicode"

	"swardline/convert/wire"
	"swardline/schema"
)

// names are the encodings by their usual spellings, without case, blanks and
// marks. Latin-1 and ASCII are read as Windows-1252, of which they are a part,
// because that is what files so labelled hold (WHATWG Encoding Standard).
var names = sync.OnceValue(func() map[string]encoding.Encoding {
	return map[string]encoding.Encoding{
		"utf8": encoding.Nop, "unicode11utf8": encoding.Nop,
		"usascii": charmap.Windows1252, "ascii": charmap.Windows1252, "ansi": charmap.Windows1252,
		"iso88591": charmap.Windows1252, "latin1": charmap.Windows1252, "windows1252": charmap.Windows1252, "cp1252": charmap.Windows1252,
		"iso88592": charmap.ISO8859_2, "latin2": charmap.ISO8859_2, "iso88595": charmap.ISO8859_5, "iso88597": charmap.ISO8859_7,
		"iso88599": charmap.Windows1254, "iso885913": charmap.ISO8859_13, "iso885915": charmap.ISO8859_15, "latin9": charmap.ISO8859_15,
		"windows1250": charmap.Windows1250, "cp1250": charmap.Windows1250, "windows1251": charmap.Windows1251, "cp1251": charmap.Windows1251,
		"windows1253": charmap.Windows1253, "cp1253": charmap.Windows1253, "windows1254": charmap.Windows1254, "cp1254": charmap.Windows1254,
		"windows1257": charmap.Windows1257, "cp1257": charmap.Windows1257,
		"cp437": charmap.CodePage437, "cp850": charmap.CodePage850, "cp852": charmap.CodePage852, "cp866": charmap.CodePage866,
		"koi8r": charmap.KOI8R, "macintosh": charmap.Macintosh, "macroman": charmap.Macintosh,
		"gb18030": simplifiedchinese.GB18030, "gbk": simplifiedchinese.GB18030, "gb2312": simplifiedchinese.GB18030, "cp936": simplifiedchinese.GB18030,
		"big5": traditionalchinese.Big5, "cp950": traditionalchinese.Big5,
		"shiftjis": japanese.ShiftJIS, "sjis": japanese.ShiftJIS, "cp932": japanese.ShiftJIS, "windows31j": japanese.ShiftJIS, "eucjp": japanese.EUCJP,
		"euckr": korean.EUCKR, "cp949": korean.EUCKR,
		"utf16": unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "utf16le": unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "utf16be": unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM),
	}
})

// shown are the names that a message lists.
var shown = []string{"utf-8", "utf-16", "windows-1252", "iso-8859-1", "iso-8859-2", "iso-8859-15", "windows-1250", "windows-1251", "gb18030", "big5", "shift_jis", "euc-jp", "euc-kr"}

func plain(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r >= 'a' && r <= 'z' {
			return r
		}
		return -1
	}, strings.ToLower(name))
}

// Lookup returns the encoding of that name; the error lists what there is.
func Lookup(name string) (encoding.Encoding, error) {
	if e := names()[plain(name)]; e != nil {
		return e, nil
	}
	known := append([]string(nil), shown...)
	sort.Strings(known)
	return nil, fmt.Errorf("there is no encoding called %q; the nearest is %q of %s", name, schema.Nearest(name, known), strings.Join(known, ", "))
}

// fault is the error for text that is not in the encoding it should be in.
func fault(file string, line int, what string) error {
	return &wire.InputError{File: file, Line: line, Problem: what, Mend: "say which it is with --encoding, such as --encoding windows-1252, or save the file again with the encoding UTF-8"}
}

// decode turns data into UTF-8. A byte that the encoding does not have is an
// error with its line.
func decode(data []byte, file, name string, e encoding.Encoding) ([]byte, error) {
	if e == encoding.Nop {
		if err := wire.CheckUTF8(data, file); err != nil {
			return nil, err
		}
		return data, nil
	}
	out, err := e.NewDecoder().Bytes(data)
	if err != nil {
		return nil, fault(file, 1, "the text is not in "+name)
	}
	if i := bytes.Index(out, []byte("\uFFFD")); i >= 0 {
		return nil, fault(file, 1+bytes.Count(out[:i], []byte{'\n'}), "the text is not in "+name+": some of its bytes stand for no character there")
	}
	return bytes.TrimPrefix(out, []byte("\uFEFF")), nil
}

// Text returns data as UTF-8 where the user or the bytes themselves say the
// encoding: told (a name, or ""), or UTF-16 by its mark or its zeros. What was
// done is counted in t as "encoding". Other text comes back as it is.
func Text(data []byte, file, told string, t *wire.Tally) ([]byte, error) {
	switch {
	case told != "":
		e, err := Lookup(told)
		if err != nil {
			return nil, &wire.InputError{File: file, Problem: err.Error()}
		}
		return decode(data, file, told, e)
	case bytes.HasPrefix(data, []byte{0xff, 0xfe, 0, 0}), bytes.HasPrefix(data, []byte{0, 0, 0xfe, 0xff}):
		return data, nil // UTF-32, which is refused later
	}
	name := ""
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		name = "UTF-16LE"
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		name = "UTF-16BE"
	case len(data) >= 4 && data[0] != 0 && data[1] == 0 && data[2] != 0 && data[3] == 0:
		name = "UTF-16LE"
	case len(data) >= 4 && data[0] == 0 && data[1] != 0 && data[2] == 0 && data[3] != 0:
		name = "UTF-16BE"
	default:
		return data, nil
	}
	out, err := decode(data, file, name, names()[plain(name)])
	if err == nil && t != nil {
		t.Add("encoding", 1, "", "the file is in %s; it was turned into UTF-8", name)
	}
	return out, err
}

// Plain returns text that declares nothing in UTF-8: as the user says, as its
// first bytes do, or as Guess takes it. It is checked by wire.CheckText.
func Plain(data []byte, o *wire.ReadOptions, t *wire.Tally) ([]byte, error) {
	data, err := Text(data, o.Name, o.Encoding, t)
	if err != nil {
		return nil, err
	}
	if data, err = wire.CheckText(data, o.Name, t); err != nil {
		return nil, err
	}
	return Guess(data, o.Name, t)
}

// XML returns an XML document in UTF-8, decoded as the user says or else as its
// declaration does, and checked by wire.CheckText. The declaration itself stays
// as it is.
func XML(data []byte, o *wire.ReadOptions, t *wire.Tally) ([]byte, error) {
	file := o.Name
	data, err := Text(data, file, o.Encoding, t)
	if err != nil {
		return nil, err
	}
	if data, err = wire.CheckText(data, file, t); err != nil || o.Encoding != "" {
		return data, err
	}
	declared := declaration(data)
	key := plain(declared)
	if key == "" || key == "utf8" || strings.HasPrefix(key, "utf16") || utf8.Valid(data) {
		if data, err = Guess(data, file, t); err != nil {
			return nil, err
		}
		if _, err := Lookup(declared); key != "" && key != "utf8" && !strings.HasPrefix(key, "utf16") && !ascii(data) && err == nil {
			t.Add("encoding", 1, "", "the file says that it is in %s, but it is in UTF-8; it was read so", wire.Clip([]byte(declared), 60))
		}
		return data, nil
	}
	e, err := Lookup(declared)
	if err != nil {
		return nil, fault(file, 1, fmt.Sprintf("the encoding %s is not one that is read", wire.Clip([]byte(declared), 60)))
	}
	out, err := decode(data, file, declared, e)
	if err == nil {
		t.Add("encoding", 1, "", "the file is in %s; it was turned into UTF-8", declared)
	}
	return out, err
}

// PlainXML reports whether XML would give an XML document that starts with head,
// and is UTF-8 all through, as it is and without a word about it, where the user
// told no encoding.
func PlainXML(head []byte) bool {
	key := plain(declaration(head))
	known := bytes.Contains(head, []byte("?>")) || !bytes.HasPrefix(head, []byte("<?xml"))
	return known && !bytes.HasPrefix(head, []byte("\xef\xbb\xbf")) && (key == "" || key == "utf8" || strings.HasPrefix(key, "utf16"))
}

// Guess returns text that is not UTF-8 as what it most likely is, Windows-1252,
// and tells so in t; text that has bytes which Windows-1252 leaves free is
// refused with the first of them.
func Guess(data []byte, file string, t *wire.Tally) ([]byte, error) {
	err := wire.CheckUTF8(data, file)
	if err == nil {
		return data, nil
	}
	in := err.(*wire.InputError)
	for _, c := range []byte{0x81, 0x8d, 0x8f, 0x90, 0x9d} {
		if bytes.IndexByte(data, c) >= 0 {
			return nil, fault(file, in.Line, in.Problem)
		}
	}
	out, err := decode(data, file, "windows-1252", charmap.Windows1252)
	if err != nil {
		return nil, fault(file, in.Line, in.Problem)
	}
	t.Add("encoding-guessed", in.Line, "", "the text is not UTF-8; it was read as Windows-1252, which is a guess: say --encoding NAME if names look wrong")
	return out, nil
}

func ascii(data []byte) bool {
	for _, c := range data {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// declaration returns the encoding that the XML declaration names, "" for none.
func declaration(data []byte) string {
	if !bytes.HasPrefix(data, []byte("<?xml")) {
		return ""
	}
	end := bytes.Index(data, []byte("?>"))
	if end < 0 {
		return ""
	}
	_, rest, found := strings.Cut(string(data[:end]), "encoding")
	rest = strings.TrimLeft(rest, " \t\r\n=")
	if !found || len(rest) < 2 || rest[0] != '"' && rest[0] != '\'' {
		return ""
	}
	if end := strings.IndexByte(rest[1:], rest[0]); end >= 0 {
		return rest[1 : 1+end]
	}
	return ""
}
