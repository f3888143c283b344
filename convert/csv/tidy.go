// What instruments and offices put into their lists besides numbers: lines
// above the header, a row of units, units behind numbers, and numbers for no
// height.

package csv

import (
	"bytes"
	"errors"
	"strings"
	"sync"

	"swardline/convert/wire"
)

// mostPreamble is how many lines may stand above a list's header.
const mostPreamble = 40

// withoutPreamble takes off the lines above a header, such as the name of the
// job and its date: up to the first line that names coordinates, when the first
// row does not.
func withoutPreamble(data []byte) (rest []byte, lines int) {
	rest = data
	for ; lines < mostPreamble && len(rest) > 0; lines++ {
		if headed(rest) {
			return rest, lines
		}
		end := bytes.IndexByte(rest, '\n')
		if end < 0 {
			break
		}
		rest = rest[end+1:]
	}
	return data, 0
}

// headed reports whether the first row names coordinates in words, cut at any
// separator into more than one cell.
func headed(data []byte) bool {
	for _, d := range []byte(delimiters) {
		rows := newRecords(data, "", d)
		ok, err := rows.row()
		if !ok || err != nil || len(rows.cells) < 2 {
			continue
		}
		l, err := newLayout(headersOf(rows.cells), 0)
		var a *ambiguity
		if errors.As(err, &a) || err == nil && l.usable() {
			return true
		}
	}
	return false
}

// unitWords are what stands in a row of units, folded.
var unitWords = sync.OnceValue(func() map[string]string {
	return map[string]string{"m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "mm": "mm", "cm": "cm", "ft": "ft", "feet": "ft", "usft": "ftUS", "ftus": "ftUS", "ussft": "ftUS",
		"ift": "ift", "in": "in", "inch": "in", "deg": "deg", "degree": "deg", "degrees": "deg", "grad": "deg", "dd": "deg", "": ""}
})

// takeUnits looks at the row behind the header: when it holds units where the
// coordinates are, it is no data, and the headers say its units from then on.
func (r *reader) takeUnits(data []byte) {
	rows := r.rewound(data)
	ok, err := rows.row()
	if !ok || err != nil || len(rows.cells) < len(r.lay.columns) || r.lay.x < 0 || r.lay.own {
		return
	}
	found := map[int]string{}
	for _, i := range []int{r.lay.x, r.lay.y, r.lay.h} {
		if i < 0 {
			continue
		}
		text := string(rows.cells[i].text)
		unit, known := unitWords()[wire.Fold(text)]
		if !known || unit == "" && strings.Trim(text, " -[]()°") != "" || bytes.ContainsAny(rows.cells[i].text, "0123456789") {
			return
		}
		found[i] = unit
	}
	if found[r.lay.x] == "" && !bytes.ContainsRune(rows.cells[r.lay.x].text, '°') {
		return
	}
	for i, unit := range found {
		if c := &r.lay.columns[i]; unit != "" && unit != "deg" && headerUnit(c.header) == "" {
			c.header += " (" + unit + ")"
		}
	}
	r.unitRow = true
}

// withoutMetres takes an m off a length, as in 98.470 m; other units stay, so
// that they are refused.
func withoutMetres(text []byte) []byte {
	plain, ok := bytes.CutSuffix(text, []byte("m"))
	plain = bytes.TrimRight(plain, " \t")
	if !ok || len(plain) == 0 || !wire.IsDigit(plain[len(plain)-1]) {
		return text
	}
	return plain
}

// noHeights are the numbers that instruments and programs write for a height
// that was not measured (common practice, no source).
var noHeights = sync.OnceValue(func() map[float64]bool {
	return map[float64]bool{-9999: true, -99999: true, -999999: true, -9999.99: true, -9999.999: true, -32767: true, -32768: true}
})
