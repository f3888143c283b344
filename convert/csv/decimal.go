// Numbers in coordinate columns: which decimal mark a file uses, and what a
// coordinate's cell stands for.

package csv

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"swardline/convert/wire"
)

// manner is how numbers are written: the decimal mark, and the mark between
// thousands, 0 for none.
type manner struct{ mark, group byte }

var (
	pointManner      = manner{'.', 0}
	commaManner      = manner{',', 0}
	groupedByComma   = manner{'.', ','}
	groupedByPoint   = manner{',', '.'}
	errAnotherManner = errors.New("written in another manner")
)

func (m manner) String() string {
	marks := map[byte]string{'.': "point", ',': "comma"}
	if m.group == 0 {
		return "a decimal " + marks[m.mark]
	}
	return "a " + marks[m.group] + " between thousands"
}

// number reads a plain number in the given manner.
func (m manner) number(text []byte) (float64, bool) {
	if m.group != 0 && bytes.IndexByte(text, m.group) >= 0 {
		return wire.ParseFloat(m.plain(text))
	}
	if m.mark == '.' {
		return wire.ParseFloat(text)
	}
	var short [40]byte
	if len(text) > len(short) {
		return wire.ParseFloat(m.plain(text))
	}
	for i, c := range text {
		switch c {
		case '.':
			return 0, false
		case ',':
			c = '.'
		}
		short[i] = c
	}
	return wire.ParseFloat(short[:len(text)])
}

// plain turns a number into one with a decimal point and no other marks; the
// result is no number when text is none in this manner.
func (m manner) plain(text []byte) []byte {
	if m.group != 0 && bytes.IndexByte(text, m.group) >= 0 {
		if !groupsFit(text, m) {
			return nil
		}
		text = bytes.ReplaceAll(text, []byte{m.group}, nil)
	}
	if m.mark == ',' {
		if bytes.IndexByte(text, '.') >= 0 {
			return nil
		}
		text = bytes.ReplaceAll(text, []byte{','}, []byte{'.'})
	}
	return text
}

// groupsFit reports whether the whole part has one to three digits and then
// groups of three.
func groupsFit(text []byte, m manner) bool {
	whole := bytes.TrimLeft(text, "+-")
	if i := bytes.IndexByte(whole, m.mark); i >= 0 {
		if bytes.IndexByte(whole[i:], m.group) >= 0 {
			return false
		}
		whole = whole[:i]
	}
	for i, group := range bytes.Split(whole, []byte{m.group}) {
		if len(group) != 3 && !(i == 0 && len(group) > 0 && len(group) < 3) {
			return false
		}
	}
	return true
}

// ungrouped takes out apostrophes and spaces between groups of three digits,
// which mean nothing else in a length.
func ungrouped(text []byte) []byte {
	if !bytes.ContainsAny(text, " '’\u00a0\u202f\u2009") {
		return text
	}
	s := strings.NewReplacer("’", "'", "\u00a0", "'", "\u202f", "'", "\u2009", "'", " ", "'").Replace(string(text))
	for i, group := range strings.Split(s, "'") {
		digits := strings.TrimLeft(group, "+-")
		if j := strings.IndexAny(digits, ".,"); j >= 0 {
			digits = digits[:j]
		}
		if strings.Trim(digits, "0123456789") != "" || i > 0 && len(digits) != 3 || i == 0 && (len(digits) == 0 || len(digits) > 3) {
			return text
		}
	}
	return []byte(strings.ReplaceAll(s, "'", ""))
}

// coordinate reads a coordinate's cell. The error is errAnotherManner when the
// text could be a number in another manner, else it says what is wrong.
func (m manner) coordinate(text []byte, on axis) (float64, error) {
	if v, ok := m.number(text); ok {
		return v, checkRange(v, on)
	}
	if on == axisPlane {
		if v, ok := m.number(ungrouped(text)); ok {
			return v, nil
		}
		if m == pointManner && bytes.IndexByte(text, ',') >= 0 || bytes.Count(text, []byte{'.'}) > 1 {
			return 0, errAnotherManner
		}
		return 0, fmt.Errorf("it is no number")
	}
	if m.mark == '.' && plainComma(text) {
		return 0, errAnotherManner // the common case, told without the cost of an error's words
	}
	v, err := parseAngle(string(text), on, m.mark == ',')
	if err != nil && m == pointManner && bytes.IndexByte(text, ',') >= 0 {
		return 0, errAnotherManner
	}
	return v, err
}

// plainComma reports whether the text is digits with one comma between them.
func plainComma(text []byte) bool {
	commas := 0
	for i, c := range text {
		switch {
		case c == ',':
			commas++
		case c == '-' && i == 0, c >= '0' && c <= '9':
		default:
			return false
		}
	}
	return commas == 1
}

// trial is one manner under test over a whole file.
type trial struct {
	manner
	fits bool
}

// decideManner reads all coordinates of a file in every manner and returns the
// one that fits. It is an error when none does, and when two do that mean
// different numbers.
func decideManner(rows *records, cellsOf func([]cell) []coordinateCell) (manner, error) {
	trials := []trial{{pointManner, true}, {commaManner, true}, {groupedByComma, true}, {groupedByPoint, true}}
	var unlike []byte // a cell that a comma makes two numbers of
	var misfit error
	for {
		ok, err := rows.row()
		if err != nil {
			return manner{}, err
		}
		if !ok {
			break
		}
		for _, c := range cellsOf(rows.cells) {
			var values [4]float64
			any := false
			var why error
			for i := range trials {
				t := &trials[i]
				if !t.fits && misfit == nil && any {
					continue // out already, and the cell is a number in some manner
				}
				var err error
				if t.group != 0 && c.axis != axisPlane && bytes.IndexByte(c.text, t.group) >= 0 {
					err = errAnotherManner // no angle has thousands
				} else {
					values[i], err = t.coordinate(c.text, c.axis)
				}
				if err != nil {
					t.fits = false
					if why == nil || errors.Is(why, errAnotherManner) {
						why = err
					}
				} else {
					any = true
				}
			}
			if !any && misfit == nil {
				if errors.Is(why, errAnotherManner) {
					why = errors.New("it is no number")
				}
				misfit = rows.fail("", "%q in the column %q: %v", wire.Clip(c.text, 40), c.header, why)
			}
			if trials[1].fits && trials[2].fits && values[1] != values[2] && unlike == nil {
				unlike = append([]byte(nil), c.text...)
			}
		}
	}
	if misfit != nil {
		return manner{}, misfit
	}
	if trials[1].fits && trials[2].fits && unlike != nil && rows.delim != ';' {
		// Behind semicolons a comma is a decimal mark: that is why they are
		// there.
		decimal, _ := commaManner.number(unlike)
		grouped, _ := groupedByComma.number(unlike)
		return manner{}, rows.failAt(0, "write the numbers with a decimal point, or separate the columns with semicolons",
			"%q is %v with a decimal comma and %v with commas between thousands, and the whole file fits both", unlike, decimal, grouped)
	}
	for _, t := range trials {
		if t.fits {
			return t.manner, nil
		}
	}
	return manner{}, rows.failAt(0, "write all numbers with a decimal point", "some coordinates have a decimal comma and others a decimal point")
}

// coordinateCell is a cell that holds a coordinate.
type coordinateCell struct {
	text   []byte
	axis   axis
	header string
}
