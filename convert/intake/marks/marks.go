// Package marks reads the list of marks that places a drawing: for each mark its
// name, where it is in the drawing, and where it is on the ground.
//
// The list is a CSV with a header. name, x and y (and z) are the drawing's own
// coordinates in its own unit; e and n, or lon and lat (and h), are the ground's; crs
// names their system, row by row or not at all; sigma is the standard deviation of
// the ground position in metres. Columns may stand in any order, separated by comma,
// semicolon or tab. Numbers have a decimal point; where semicolons or tabs separate,
// a decimal comma is taken too. Longitude and latitude may have minutes and seconds.
package marks

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	convertcsv "swardline/convert/csv"
	"swardline/convert/wire"
)

// Row is one mark as listed.
type Row struct {
	Name string
	// X, Y are in the drawing's unit; Z is NaN when not given.
	X, Y, Z float64
	// A, B are longitude and latitude in degrees when Degrees, else east and
	// north; H is NaN when not given.
	A, B, H float64
	Degrees bool
	CRS     string  // "" when the row does not say
	Sigma   float64 // metres, 0 when not given
	Line    int
}

// The spellings of each column, lower case. Whole words only.
var spellings = map[string][]string{
	"name":  {"name", "mark", "point", "id"},
	"x":     {"x", "drawing_x"},
	"y":     {"y", "drawing_y"},
	"z":     {"z", "drawing_z"},
	"e":     {"e", "east", "easting"},
	"n":     {"n", "north", "northing"},
	"lon":   {"lon", "lng", "long", "longitude"},
	"lat":   {"lat", "latitude"},
	"h":     {"h", "height", "elevation"},
	"crs":   {"crs"},
	"sigma": {"sigma", "sigma_m"},
}

const want = "the header needs name, x, y and either e, n or lon, lat; h, crs and sigma may follow"

// Read reads the list. Errors are *wire.InputError with the line.
func Read(data []byte, file string) ([]Row, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	fail := func(line int, mend, format string, args ...any) error {
		return &wire.InputError{File: file, Line: line, Problem: fmt.Sprintf(format, args...), Mend: mend}
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, fail(0, want, "the file is empty")
	}
	head, _, _ := bytes.Cut(data, []byte("\n"))
	r := csv.NewReader(bytes.NewReader(data))
	decimalComma := false
	switch {
	case bytes.ContainsRune(head, ';'):
		r.Comma, decimalComma = ';', true
	case bytes.ContainsRune(head, '\t'):
		r.Comma, decimalComma = '\t', true
	}
	r.LazyQuotes = true                  // 56°57'00.5"N
	r.TrimLeadingSpace = r.Comma != '\t' // which would take an empty cell for space
	header, err := r.Read()
	if err != nil {
		return nil, fail(1, "see the header", "no list: %v", err)
	}
	column := map[string]int{}
	for i, cell := range header {
		word := strings.ToLower(strings.TrimSpace(cell))
		for key, list := range spellings {
			for _, s := range list {
				if s != word {
					continue
				}
				if _, twice := column[key]; twice {
					return nil, fail(1, "rename or remove one", "two columns say %s: %q is the second", key, cell)
				}
				column[key] = i
			}
		}
	}
	has := func(keys ...string) bool {
		for _, k := range keys {
			if _, ok := column[k]; !ok {
				return false
			}
		}
		return true
	}
	degrees, plane := has("lon", "lat"), has("e", "n")
	switch {
	case !has("name", "x", "y") || !degrees && !plane:
		return nil, fail(1, want, "columns are missing; found %q", strings.Join(header, ", "))
	case degrees && plane:
		return nil, fail(1, "leave one pair out", "both e, n and lon, lat are given")
	}
	var rows []Row
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var bad *csv.ParseError
			if errors.As(err, &bad) {
				return nil, fail(bad.Line, "every row has as many cells as the header", "%v", bad.Err)
			}
			return nil, fail(0, "", "%v", err)
		}
		line, _ := r.FieldPos(0)
		row := Row{Line: line, Degrees: degrees, Name: strings.TrimSpace(record[column["name"]]), Z: math.NaN(), H: math.NaN()}
		if row.Name == "" {
			return nil, fail(line, "give it one", "a mark has no name")
		}
		number := func(key string, to *float64, needed bool) error {
			i, ok := column[key]
			if !ok {
				return nil
			}
			text := strings.TrimSpace(record[i])
			if text == "" && !needed {
				return nil
			}
			if decimalComma && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
				text = strings.Replace(text, ",", ".", 1)
			}
			v, ok := wire.ParseFloat([]byte(text))
			if !ok && (key == "lon" || key == "lat") {
				angle, err := convertcsv.ParseDegrees(text, key == "lat", decimalComma)
				if err != nil {
					return fail(line, "write decimal degrees, or degrees, minutes and seconds", "mark %q: %s is %q: %v", row.Name, key, record[i], err)
				}
				v, ok = angle, true
			}
			if !ok {
				return fail(line, "a decimal number is wanted", "mark %q: %s is %q", row.Name, key, record[i])
			}
			*to = v
			return nil
		}
		a, b := "e", "n"
		if degrees {
			a, b = "lon", "lat"
		}
		for _, x := range []struct {
			key    string
			to     *float64
			needed bool
		}{{"x", &row.X, true}, {"y", &row.Y, true}, {"z", &row.Z, false}, {a, &row.A, true}, {b, &row.B, true}, {"h", &row.H, false}, {"sigma", &row.Sigma, false}} {
			if err := number(x.key, x.to, x.needed); err != nil {
				return nil, err
			}
		}
		if degrees && (math.Abs(row.B) > 90 || math.Abs(row.A) > 180) {
			return nil, fail(line, "lon and lat may have changed places", "mark %q: there is no longitude %v, latitude %v", row.Name, row.A, row.B)
		}
		if i, ok := column["crs"]; ok {
			row.CRS = strings.TrimSpace(record[i])
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil, fail(1, "list at least two marks", "the list has a header and no marks")
	}
	return rows, nil
}
