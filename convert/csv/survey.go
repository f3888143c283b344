// Survey lists: columns as told for files without a header, and rows that
// belong to one line or area.

package csv

import (
	"bytes"
	"fmt"
	"strings"
	"sync"
	"unicode/utf8"

	"swardline/convert/wire"
	"swardline/schema"
)

// columnSpec is one column as the user named it.
type columnSpec struct {
	header string
	skip   bool
}

// letters are the short names of survey columns (common practice, no source).
var letters = sync.OnceValue(func() map[rune]string {
	return map[rune]string{'P': "id", 'N': "n", 'E': "e", 'Z': "h", 'H': "h", 'D': "code", 'C': "code", 'X': "x", 'Y': "y"}
})

// parseColumns reads "PNEZD" or "id,n,e,h,code": letters, or names as a header
// would have them, "-" for a column to pass over.
func parseColumns(text string) ([]columnSpec, error) {
	if !utf8.ValidString(text) {
		return nil, fmt.Errorf("columns %q: not UTF-8", text)
	}
	var out []columnSpec
	if !strings.ContainsAny(text, ",; \t|") {
		for _, letter := range strings.ToUpper(text) {
			name, ok := letters()[letter]
			if !ok {
				return nil, fmt.Errorf("columns %q: %q is none of P (point), N (north), E (east), Z or H (height), D or C (code), X, Y", text, letter)
			}
			out = append(out, columnSpec{header: name})
		}
		return out, nil
	}
	for i, name := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",; \t|", r) }) {
		switch wire.Fold(name) {
		case "p":
			name = "id"
		case "d", "desc", "description", "beschreibung", "beskrivelse":
			name = "code"
		case "", "skip":
			out = append(out, columnSpec{header: fmt.Sprintf("%sskipped %d", attributePrefix, i+1), skip: true})
			continue
		}
		out = append(out, columnSpec{header: name})
	}
	return out, nil
}

// openTold opens a file whose columns the user named.
func (r *reader) openTold(data []byte) error {
	spec, err := parseColumns(r.o.Columns)
	if err != nil {
		return &wire.InputError{File: r.o.Name, Problem: err.Error(), Mend: "name the columns in order, such as PNEZD or id,n,e,h,code"}
	}
	headers := make([]string, len(spec))
	for i, s := range spec {
		headers[i] = s.header
	}
	lay, err := newLayout(headers, r.preferred(nil))
	if err != nil || !lay.usable() {
		problem := "they name no pair of coordinates"
		if err != nil {
			problem = err.Error()
		}
		return &wire.InputError{File: r.o.Name, Problem: fmt.Sprintf("columns %q: %s", r.o.Columns, problem), Mend: "name n and e, or lon and lat, once each"}
	}
	for i, s := range spec {
		if s.skip {
			lay.columns[i].kind = colSkip
		}
	}
	r.lay, r.spec = lay, spec
	var found []byte
	var headed []bool
	var why error
	for _, d := range []byte(delimiters + string(rune(blanks))) {
		if r.told != 0 && d != r.told || d == blanks && len(found) > 0 {
			continue
		}
		rows := newRecords(data, r.o.Name, d)
		rows.next = r.firstLine
		if lay.at[colCode] == len(spec)-1 {
			rows.most = len(spec)
		}
		header, err := r.tryTold(rows)
		if err == nil {
			found, headed = append(found, d), append(headed, header)
		} else if why == nil || rows.delim != blanks && len(rows.cells) > 1 {
			why = err
		}
	}
	switch len(found) {
	case 0:
		return why
	case 1:
	default:
		return &wire.InputError{File: r.o.Name, Line: r.firstLine,
			Problem: fmt.Sprintf("the columns %s fit the file both cut at %s and cut at %s", r.o.Columns, delimiterName(found[0]), delimiterName(found[1])),
			Mend:    "leave only one kind of separator in the file"}
	}
	r.headerRow = headed[0]
	r.records = newRecords(data, r.o.Name, found[0])
	if found[0] == blanks && lay.at[colCode] == len(spec)-1 {
		r.most = len(spec)
	}
	return r.useUnit()
}

// tryTold reports whether the first rows fit the columns as told, and whether
// the first of them is a header.
func (r *reader) tryTold(rows *records) (header bool, err error) {
	const enough = 50
	save := r.records
	defer func() { r.records = save }()
	r.records = rows
	for i := 0; i < enough; i++ {
		ok, err := rows.row()
		if err != nil {
			return header, err
		}
		if !ok {
			r.cut = true
			break
		}
		if rows.filled() == 0 {
			continue
		}
		first := len(rows.cells)
		if err := r.countCells(); err != nil {
			return header, rows.fail("name all columns of the file in order, with - for those to pass over",
				"cut at %s, the row has %d cells; the columns %s are %d", delimiterName(rows.delim), first, r.o.Columns, len(r.spec))
		}
		cells := r.coordinateCells(rows.cells)
		for _, c := range cells {
			if anyManner(c) {
				continue
			}
			if i == 0 && !header {
				header = true
				break
			}
			return header, rows.fail("check the order of the columns", "%q in the column %q is no number", wire.Clip(c.text, 40), c.header)
		}
	}
	return header, nil
}

func anyManner(c coordinateCell) bool {
	for _, m := range []manner{pointManner, commaManner, groupedByComma, groupedByPoint} {
		if _, err := m.coordinate(c.text, c.axis); err == nil {
			return true
		}
	}
	return false
}

// noHeader says what is wrong with a file whose first row names no coordinates.
func (r *reader) noHeader(headers map[byte][]string) error {
	var best []string
	delim := byte(',')
	for _, d := range []byte(delimiters) {
		if len(headers[d]) > len(best) {
			best, delim = headers[d], d
		}
	}
	var numeric []int
	for i, text := range best {
		if anyManner(coordinateCell{text: []byte(text), axis: axisPlane}) {
			numeric = append(numeric, i)
		}
	}
	fail := func(mend, format string, args ...any) error {
		return &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: fmt.Sprintf(format, args...), Mend: mend}
	}
	if len(numeric) < 2 {
		quoted := make([]string, len(best))
		for i, text := range best {
			quoted[i] = fmt.Sprintf("%q", wire.Clip([]byte(text), 40))
		}
		return fail("name two columns lon and lat, or e and n, or one wkt", "no columns hold coordinates; the first row, cut at %s, is %s", delimiterName(delim), strings.Join(quoted, ", "))
	}
	// A point's number stands before the coordinates: as a text, as one number
	// more than three, or as the only one without decimals.
	lead, tail := "", ""
	first := numeric[0]
	switch {
	case first > 0:
		lead = "P"
	case len(numeric) > 3, len(numeric) == 3 && !strings.ContainsAny(best[0], ".,") && strings.ContainsAny(best[numeric[1]], ".,"):
		lead = "P"
		numeric = numeric[1:]
	}
	if len(numeric) < 2 {
		numeric = append(numeric, numeric[0])
	}
	a, b := best[numeric[0]], best[numeric[1]]
	if len(numeric) > 2 {
		tail = "Z"
	}
	if len(best) > len(lead)+2+len(tail) {
		tail += "D"
	}
	ne, en := lead+"NE"+tail, lead+"EN"+tail
	return fail(fmt.Sprintf("say which, as columns %s or columns %s", ne, en),
		"the file has no header; its first row read as %s is north %s, east %s, and read as %s it is east %s, north %s", ne, a, b, en, a, b)
}

// foreignRow reads a row of a file that is in neither of our layouts: a point,
// or a further vertex of the area or line whose id or name the row before has.
func (r *reader) foreignRow() error {
	x, y, h, ok, err := r.vertex()
	if err != nil {
		return err
	}
	if ok && r.continues() {
		c := &r.run
		at := place{absent, absent, c.rows + 1}
		if c.feature.Role.IsArea() {
			at.ring = 1
		}
		c.first, c.at = at, place{at.part, at.ring, c.rows}
		if err := r.nextVertex(at); err != nil {
			return err
		}
		c.at = at
		c.rows++
		c.implied = true
		c.flat = append(c.flat, x, y, h)
		r.checkQuality(c.feature)
		r.warn("rows-joined", r.line, "rows with the same id or name and the role %s were joined into one feature each", c.feature.Role)
		return nil
	}
	at := place{absent, absent, absent}
	if err := r.startRun(at, false); err != nil {
		return err
	}
	c := &r.run
	f := c.feature
	c.at = at
	c.rows = 1
	if ok {
		c.flat = append(c.flat, x, y, h)
	}
	r.checkQuality(f)
	if code := r.lay.at[colCode]; code >= 0 && len(r.cells[code].text) > 0 {
		text := string(r.cells[code].text)
		f.Attributes.Set(r.lay.codeKey, r.value(r.cells[code].text))
		if err := r.noteCode(f, text, ok); err != nil {
			return err
		}
		if r.lay.at[colRole] < 0 {
			base, _ := r.parseCode(text)
			if role, ok := schema.ParseRole(strings.ToLower(withoutNumber(base))); ok {
				f.Role = role
			}
		}
	}
	return nil
}

// continues reports whether the row goes on with the feature before: same id
// (or, without one, same name), same role, and a role of areas or lines.
func (r *reader) continues() bool {
	c := &r.run
	if c.feature == nil || r.lay.at[colRole] < 0 || len(c.flat) == 0 {
		return false
	}
	switch {
	case !c.feature.Role.IsArea() && c.feature.Role != schema.RoleCorridor && c.feature.Role != schema.RoleEdge:
		return false
	case !bytes.Equal(c.role, r.text(colRole)), !bytes.Equal(c.id, r.text(colID)), !bytes.Equal(c.name, r.text(colName)):
		return false
	}
	return len(c.id) > 0 || len(c.name) > 0
}

// unitMetres is the length of one unit of the plan's coordinates, for what is
// measured while reading.
func (r *reader) unitMetres() float64 {
	c := r.o.CRS
	if c == nil {
		c = r.crs
	}
	switch {
	case r.lay.degrees || c != nil && c.IsDegrees():
		return metresPerDegree
	case c != nil && c.UnitMetres() > 0:
		return c.UnitMetres()
	}
	return 1
}

// metresPerDegree is along a meridian of WGS 84, from memory; ample for
// choosing how finely to flatten a curve.
const metresPerDegree = 111320
