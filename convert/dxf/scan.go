// The pairs of group code and value that a drawing is made of, and its
// sections.

package dxf

import (
	"bytes"
	"fmt"
	"strconv"

	"swardline/convert/wire"
)

// scanner walks the pairs of a drawing. It copies nothing.
type scanner struct {
	data  []byte
	pos   int
	line  int    // lines read so far
	code  int    // group code of the current pair
	value []byte // its value without the line's end
	at    int    // line of its group code
	start int    // offset of its group code
	err   error
	// extension is the handle of the dictionary that the entity of the last
	// groups has of its own, "" for none.
	extension string
	// said are the texts of extended data that other programs left with it.
	said []foreign
}

// next moves to the next pair; false at the end of the data or on a fault,
// which is then in err.
func (s *scanner) next() bool {
	data, i := s.data, s.pos
	n := len(data)
	s.start = i
	s.at = s.line + 1
	for i < n && (data[i] == ' ' || data[i] == '\t') {
		i++
	}
	neg := i < n && data[i] == '-'
	if neg {
		i++
	}
	code, digits := 0, 0
	for i < n && data[i]-'0' <= 9 {
		code = code*10 + int(data[i]-'0')
		i++
		digits++
	}
	for i < n && (data[i] == ' ' || data[i] == '\t' || data[i] == '\r') {
		i++
	}
	if i >= n || data[i] != '\n' || digits == 0 || digits > 5 {
		s.pos = s.start
		return s.badCode()
	}
	if neg {
		code = -code
	}
	s.line++
	i++
	end := bytes.IndexByte(data[i:], '\n')
	if end < 0 {
		if i >= n {
			s.err = s.fault(s.at, "the file ends after a group code, without its value", mendTruncated)
			return false
		}
		end = n
		s.pos = n
	} else {
		end += i
		s.pos = end + 1
	}
	s.line++
	if end > i && data[end-1] == '\r' {
		end--
	}
	s.code, s.value = code, data[i:end]
	return true
}

const mendTruncated = "the file was cut off; export or send it again"

// badCode tells the end of the data, which may have blank lines, from a fault.
func (s *scanner) badCode() bool {
	rest := s.data[s.pos:]
	if len(bytes.Trim(rest, " \t\r\n\x00\x1a")) == 0 {
		s.pos = len(s.data)
		return false
	}
	line := rest
	if i := bytes.IndexByte(line, '\n'); i >= 0 {
		line = line[:i]
	} else if _, err := strconv.Atoi(string(bytes.TrimSpace(line))); err == nil {
		s.err = s.fault(s.at, "the file ends after a group code, without its value", mendTruncated)
		return false
	}
	s.err = s.fault(s.at, fmt.Sprintf("a group code (a whole number) should stand here, got %s", quote(line)),
		"the file is damaged, or no ASCII DXF; export it again")
	return false
}

func (s *scanner) fault(line int, problem, mend string) error {
	return &wire.InputError{Line: line, Problem: problem, Mend: mend}
}

// quote shows a value in a message, short and printable.
func quote(b []byte) string {
	b = bytes.TrimSpace(b)
	if len(b) > 30 {
		return strconv.QuoteToASCII(string(b[:30])) + " ..."
	}
	return strconv.QuoteToASCII(string(b))
}

// is reports whether the current pair is code 0 with the given word.
func (s *scanner) is(word string) bool {
	return s.code == 0 && string(bytes.TrimSpace(s.value)) == word
}

// holds reports whether anything is listed in what is left.
func (s *scanner) holds() bool {
	for s.next() {
		if s.code == 0 {
			return true
		}
	}
	return false
}

// section is the content of one section: the pairs between its name and ENDSEC.
type section struct {
	name       string
	start, end int // offsets
	line       int // lines before start
}

// scanner returns one over the section's pairs.
func (c section) scanner(data []byte) scanner {
	return scanner{data: data[:c.end], pos: c.start, line: c.line}
}

// sections walks the whole file, which proves its form, and lists its sections.
// eof is false when the closing EOF is missing; stray is the line of the first
// thing that stands in no section, or behind the EOF, 0 for none.
func sections(data []byte) (list []section, eof bool, stray int, err error) {
	s := scanner{data: data}
	open := false
	for s.next() {
		if s.code != 0 {
			continue
		}
		switch string(bytes.TrimSpace(s.value)) {
		case "SECTION":
			if open {
				list[len(list)-1].end = s.start
			}
			at := s.at
			if !s.next() {
				if s.err == nil {
					s.err = s.fault(at, "the file ends inside the head of a section", mendTruncated)
				}
				return nil, false, 0, s.err
			}
			if s.code != 2 {
				return nil, false, 0, s.fault(s.at, fmt.Sprintf("a section's name (group code 2) should stand here, got group code %d", s.code),
					"the file is damaged; export it again")
			}
			list = append(list, section{name: string(bytes.TrimSpace(s.value)), start: s.pos, line: s.line})
			open = true
		case "ENDSEC":
			if open {
				list[len(list)-1].end = s.start
				open = false
			}
		case "EOF":
			if !open {
				if rest := data[s.pos:]; len(bytes.Trim(rest, " \t\r\n\x00\x1a")) > 0 && stray == 0 {
					stray = s.line + 1
				}
				return list, true, stray, nil
			}
			return nil, false, 0, s.fault(s.at, fmt.Sprintf("the drawing ends inside its section %s", list[len(list)-1].name),
				"the file is damaged; export it again")
		default:
			if !open && stray == 0 {
				stray = s.at
			}
		}
	}
	if s.err != nil {
		return nil, false, 0, s.err
	}
	if open {
		return nil, false, 0, s.fault(s.line, fmt.Sprintf("the file ends inside its section %s", list[len(list)-1].name), mendTruncated)
	}
	return list, false, stray, nil
}

// group is one pair inside an entity; its value is data[off : off+n].
type group struct {
	off  uint32
	n    uint32
	line uint32
	code int32
}

// groups collects the pairs up to the next group 0, where the scanner is left
// standing; more is false when there is none. The lists of other programs
// (group 102 braces), embedded objects (101) and extended data (1000 and up)
// are left out; own holds the text that this program stored there, and
// s.extension is the entity's own dictionary.
func (s *scanner) groups(dst []group) (out []group, own []byte, more bool) {
	out = dst[:0]
	braces, embedded, ours, extends := 0, false, false, false
	app := ""
	s.extension, s.said = "", s.said[:0]
	for s.next() {
		code := s.code
		switch {
		case code == 0:
			return out, own, true
		case code >= 1000:
			switch code {
			case 1001:
				if ours = string(bytes.TrimSpace(s.value)) == appID; !ours {
					app = string(bytes.TrimSpace(s.value))
				}
			case 1000:
				if ours {
					own = append(own, s.value...)
				} else if len(s.value) > 1 && len(s.said) < mostForeign && !ofFormat(app) {
					s.said = append(s.said, foreign{app, s.value})
				}
			}
			continue
		case code == 102:
			v := bytes.TrimSpace(s.value)
			extends = string(v) == "{ACAD_XDICTIONARY"
			if len(v) > 0 && v[0] == '{' {
				braces++
			} else if braces > 0 {
				braces--
			}
			continue
		case code == 360 && extends:
			s.extension = handleOf(s.value)
			continue
		case code == 101:
			embedded = true
			continue
		case code == 999 || braces > 0 || embedded:
			continue
		}
		off := cap(s.data) - cap(s.value) // value is a slice of data
		out = append(out, group{off: uint32(off), n: uint32(len(s.value)), line: uint32(s.at), code: int32(code)})
	}
	return out, own, false
}
