// Package marks reads the list of marks that places a drawing: for each mark
// its name, where it is in the drawing, and where it is on the ground; and
// finds marks in the drawing by their names.
//
// The list is a delimited text with a header, in every form that a plan's CSV
// may have (package csv). name, x and y (and z) are the drawing's own
// coordinates in its own unit; e and n, or lon and lat (and h), are the
// ground's; crs names their system, row by row or not at all; sigma is the
// standard deviation of the ground position in metres.
package marks

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"unicode"

	"swardline/convert/csv"
	"swardline/convert/wire"
)

// Row is one mark as listed.
type Row struct {
	Name string
	// X, Y are in the drawing's unit, NaN in a list that does not give them; Z
	// is NaN when not given.
	X, Y, Z float64
	// A, B are longitude and latitude in degrees when Degrees, else east and
	// north; H is NaN when not given.
	A, B, H float64
	Degrees bool
	CRS     string  // "" when the row does not say
	Sigma   float64 // metres, 0 when not given
	// Says is what columns that have no meaning in a list of marks say in words, each
	// after its header: fix single, note moved.
	Says []string
	Line int
}

// The words of a drawing's own columns, which a plan's CSV does not know or
// takes for a height.
var drawingWords = sync.OnceValue(func() map[string]string {
	return map[string]string{"drawing_x": "x", "drawing_y": "y", "drawing_z": "z", "z": "z", "mark": "name"}
})

// meanings turn what a plan's CSV calls its columns into those of a list of
// marks.
var meanings = sync.OnceValue(func() map[string]string {
	return map[string]string{"name": "name", "id": "name", "x": "x", "y": "y", "easting": "e", "northing": "n",
		"longitude": "lon", "latitude": "lat", "height": "h", "crs": "crs", "sigma": "sigma"}
})

// axes are the axes on which numbers are read.
var axes = sync.OnceValue(func() map[string]string {
	return map[string]string{"x": "plane", "y": "plane", "z": "plane", "e": "plane", "n": "plane", "h": "plane", "sigma": "plane", "lon": "longitude", "lat": "latitude"}
})

const want = "the header needs name, x, y and either e, n or lon, lat; h, crs and sigma may follow"

// list is a list of marks and where its columns are.
type list struct {
	*csv.Table
	file    string
	at      map[string]int
	heads   []string // of all columns
	degrees bool
	named   bool // x and y may be missing: the drawing is asked for them
}

// columns finds the columns of a header.
func (l *list) columns(columns []csv.Column) (numbers []string, err error) {
	at := map[string]int{}
	var heads []string
	for i, c := range columns {
		heads = append(heads, c.Header)
		key, own := drawingWords()[strings.ToLower(c.Header)]
		if !own {
			key = meanings()[c.Means]
		}
		if key == "" {
			continue
		}
		if first, twice := at[key]; twice {
			// A list may carry an id beside the name.
			switch {
			case key == "name" && columns[first].Means == "id" && c.Means != "id":
			case key == "name" && c.Means == "id":
				continue
			default:
				return nil, fmt.Errorf("two columns say %s: %q is the second; rename or remove one", key, c.Header)
			}
		}
		at[key] = i
		if c.Unit != "" && c.Unit != "m" && (key == "e" || key == "n" || key == "h" || key == "sigma") {
			return nil, fmt.Errorf("the column %q is not in metres: write it in the unit of its CRS, and take the unit off the header", c.Header)
		}
	}
	has := func(keys ...string) bool {
		for _, k := range keys {
			if _, ok := at[k]; !ok {
				return false
			}
		}
		return true
	}
	l.degrees = has("lon", "lat")
	switch plane := has("e", "n"); {
	case !has("name") || !has("x", "y") && !l.named || !l.degrees && !plane:
		return nil, fmt.Errorf("columns are missing; found %q; %s", strings.Join(heads, ", "), want)
	case l.degrees && plane:
		return nil, fmt.Errorf("both e, n and lon, lat are given; leave one pair out")
	}
	numbers = make([]string, len(columns))
	for key, i := range at {
		numbers[i] = axes()[key]
	}
	l.at, l.heads = at, heads
	return numbers, nil
}

// number reads a cell; an empty one that is not needed leaves to as it is.
func (l *list) number(name, key string, to *float64, needed bool) error {
	i, ok := l.at[key]
	if !ok || l.Text(i) == "" && !needed {
		return nil
	}
	v, err := l.Number(i, axes()[key])
	if err != nil {
		mend := "write a decimal number"
		if l.degrees && (key == "lon" || key == "lat") {
			mend = "write decimal degrees, or degrees, minutes and seconds"
		}
		return l.fail(mend, "mark %q: %s is %q: %v", name, key, l.Text(i), err)
	}
	*to = v
	return nil
}

func (l *list) fail(mend, format string, args ...any) error {
	return &wire.InputError{File: l.file, Line: l.Line(), Problem: fmt.Sprintf(format, args...), Mend: mend}
}

// Read reads the list. o.Name is the file's name and o.Encoding its encoding,
// "" when the file says or is UTF-8. Errors are *wire.InputError with the line.
func Read(data []byte, o wire.ReadOptions) ([]Row, []wire.Warning, error) {
	return read(data, o, false)
}

// ReadNamed is Read for a list that need not give x and y, which Find finds in
// the drawing. A survey's list of points, with its own words for the columns,
// does.
func ReadNamed(data []byte, o wire.ReadOptions) ([]Row, []wire.Warning, error) {
	return read(data, o, true)
}

func read(data []byte, o wire.ReadOptions, named bool) ([]Row, []wire.Warning, error) {
	l := list{file: o.Name, named: named}
	var at map[string]int
	var heads []string
	var degrees bool
	table, warnings, err := csv.OpenTable(data, o, func(columns []csv.Column) ([]string, error) {
		numbers, err := l.columns(columns)
		if err == nil && len(l.at) > len(at) {
			at, heads, degrees = l.at, l.heads, l.degrees
		}
		return numbers, err
	})
	if err != nil {
		return nil, nil, err
	}
	l.Table, l.at, l.heads, l.degrees = table, at, heads, degrees
	var rows []Row
	for {
		ok, err := l.Next()
		if err != nil {
			return nil, nil, err
		}
		if !ok {
			break
		}
		row, err := l.row()
		if err != nil {
			return nil, nil, err
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil, nil, &wire.InputError{File: o.Name, Line: 1, Problem: "the list has a header and no marks", Mend: "list at least two marks"}
	}
	return rows, warnings, nil
}

// row reads the current row.
func (l *list) row() (Row, error) {
	row := Row{Line: l.Line(), Degrees: l.degrees, Name: strings.TrimSpace(l.Text(l.at["name"])), X: math.NaN(), Y: math.NaN(), Z: math.NaN(), H: math.NaN()}
	if row.Name == "" {
		return row, l.fail("give it one", "a mark has no name")
	}
	a, b := "e", "n"
	if l.degrees {
		a, b = "lon", "lat"
	}
	for _, x := range []struct {
		key    string
		to     *float64
		needed bool
	}{{"x", &row.X, !l.named}, {"y", &row.Y, !l.named}, {"z", &row.Z, false}, {a, &row.A, true}, {b, &row.B, true}, {"h", &row.H, false}, {"sigma", &row.Sigma, false}} {
		if err := l.number(row.Name, x.key, x.to, x.needed); err != nil {
			return row, err
		}
	}
	if (row.X == row.X) != (row.Y == row.Y) {
		return row, l.fail("give both, or neither", "mark %q has only one of x and y", row.Name)
	}
	if l.degrees && (math.Abs(row.B) > 90 || math.Abs(row.A) > 180) {
		return row, l.fail("lon and lat may have changed places", "mark %q: there is no longitude %v, latitude %v", row.Name, row.A, row.B)
	}
	if i, ok := l.at["crs"]; ok {
		row.CRS = strings.TrimSpace(l.Text(i))
	}
	read := map[int]bool{}
	for _, i := range l.at {
		read[i] = true
	}
	for i, head := range l.heads {
		if text := strings.TrimSpace(l.Text(i)); !read[i] && strings.IndexFunc(text, unicode.IsLetter) >= 0 {
			row.Says = append(row.Says, head+" "+text)
		}
	}
	return row, nil
}
