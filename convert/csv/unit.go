// Units: what a user or a header says that lengths are in.

package csv

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"swardline/convert/wire"
)

// units are the lengths of the units that a user may name, in metres. The US
// survey foot is 1200/3937 m and the international foot 0.3048 m (both exact;
// NIST, Federal Register Notice 85 FR 62698).
var units = sync.OnceValue(func() map[string]struct {
	metres float64
	name   string
} {
	return map[string]struct {
		metres float64
		name   string
	}{
		"m": {1, "metres"}, "mm": {0.001, "millimetres"}, "ft": {0.3048, "international feet (0.3048 m)"},
		"ftUS": {1200.0 / 3937, "US survey feet (1200/3937 m)"}, "in": {0.0254, "inches (0.0254 m)"},
	}
})

// headerUnit is the unit that stands in a column's header, such as Northing
// (ft): one of the keys of units, "cm", "foot" for a foot of unknown kind, or
// "".
func headerUnit(header string) string {
	found, foot, survey, international := "", false, false, false
	for i, word := range strings.Split(wire.Fold(header), "_") {
		switch word {
		case "m", "metre", "metres", "meter", "meters":
			found = "m"
		case "mm":
			found = "mm"
		case "cm":
			found = "cm"
		case "inch", "inches":
			found = "in"
		case "ft", "feet", "foot":
			foot = true
		case "ftus", "usft", "sft", "ussft":
			foot, survey = true, true
		case "ift", "ftint", "intft":
			foot, international = true, true
		case "us", "survey":
			survey = i > 0 || survey
		case "intl", "international", "int":
			international = i > 0 || international
		}
	}
	switch {
	case foot && survey:
		return "ftUS"
	case foot && international:
		return "ft"
	case foot:
		return "foot"
	}
	return found
}

// metresOf is the length of a unit that headerUnit returns or a user names, 0
// for none; a foot of unknown kind counts as the international one. A number is
// the metres in one unit, as a drawing to a paper scale has.
func metresOf(unit string) float64 {
	switch unit {
	case "cm":
		return 0.01
	case "foot":
		unit = "ft"
	}
	if u, ok := units()[unit]; ok {
		return u.metres
	}
	if m, err := strconv.ParseFloat(unit, 64); err == nil && m >= 1e-6 && m <= 1e6 {
		return m
	}
	return 0
}

func unitName(unit string) string {
	switch unit {
	case "cm":
		return "centimetres"
	case "foot":
		unit = "ft"
	}
	if u, ok := units()[unit]; ok {
		return u.name
	}
	return "units of " + unit + " m"
}

// useUnit works out what lengths are multiplied by: from the unit that the user
// named, or the headers of the coordinates do, to the plan's unit, which is
// that of its CRS for e and n, and metres for heights.
func (r *reader) useUnit() error {
	fail := func(line int, mend, format string, args ...any) error {
		return &wire.InputError{File: r.o.Name, Line: line, Problem: fmt.Sprintf(format, args...), Mend: mend}
	}
	plane, height := r.o.Unit, r.o.Unit
	if r.o.Unit != "" && !(metresOf(r.o.Unit) > 0) {
		return fail(0, "the units are m, mm, cm, ft, ftUS and in, or a number of metres such as 0.2", "there is no unit %q", r.o.Unit)
	}
	c := r.o.CRS
	if c == nil {
		rows := newRecords(r.data, r.o.Name, r.delim)
		if ok, err := rows.row(); ok && err == nil && r.spec == nil {
			c = firstCRS(rows, headersOf(rows.cells))
		}
	}
	degrees := r.lay.degrees || c != nil && c.IsDegrees()
	crsUnit := 1.0
	if c != nil && !degrees && c.UnitMetres() > 0 {
		crsUnit = c.UnitMetres()
	}
	if r.lay.x >= 0 { // in headers of this program's too: e, n and h say none
		x, y, h := r.lay.columns[r.lay.x].header, r.lay.columns[r.lay.y].header, ""
		if r.lay.h >= 0 {
			h = r.lay.columns[r.lay.h].header
		}
		said := headerUnit(x)
		if other := headerUnit(y); !degrees && other != said && other != "" && said != "" {
			return fail(r.firstLine, "give both in one unit", "%q and %q are in different units", x, y)
		} else if said == "" {
			said = other
		}
		if degrees {
			said = ""
		}
		switch {
		case said == "":
		case plane == "" && said == "foot" && math.Abs(crsUnit/0.3048-1) < 1e-5:
			// A CRS in feet says which: its numbers stand as they are.
			plane = "ft"
			if crsUnit != 0.3048 {
				plane = "ftUS"
			}
		case plane == "" && said == "foot":
			return fail(r.firstLine, "name the unit ft (0.3048 m) or ftUS (1200/3937 m)",
				"%q is in feet, and the two kinds of foot differ by 2 parts in a million: 1.2 m at 600 km", x)
		case plane == "":
			plane = said
		case said != plane && !(said == "foot" && metresOf(plane) > 0.3):
			r.unitNote = fmt.Sprintf("%q says %s; lengths were taken to be in %s, as told", x, unitName(said), unitName(plane))
		}
		if r.o.Unit == "" {
			// A height in feet of either kind: over 300 m they differ by 0.6
			// mm.
			if height = headerUnit(h); height == "" || height == "foot" && (plane == "ft" || plane == "ftUS") {
				height = plane
			}
		}
	}
	r.planeUnit, r.heightUnit = plane, height
	r.scale, r.heightScale = 1, 1
	if plane != "" && !degrees {
		r.scale = metresOf(plane) / crsUnit
	}
	if height != "" {
		r.heightScale = metresOf(height)
	}
	return nil
}

// sayUnits reports how lengths were scaled.
func (r *reader) sayUnits() {
	if r.unitNote != "" {
		r.warn("unit-overridden", r.firstLine, "%s", r.unitNote)
	}
	const rest = "they were turned into the plan's unit, and all other columns were left as they are"
	switch {
	case r.scale != 1 && r.planeUnit == r.heightUnit, r.scale != 1 && r.lay.h < 0:
		r.warn("unit", 0, "lengths are in %s; %s", unitName(r.planeUnit), rest)
	case r.scale != 1:
		r.warn("unit", 0, "east and north are in %s and heights in %s; %s", unitName(r.planeUnit), unitName(r.heightUnit), rest)
	case r.heightScale != 1:
		r.warn("unit", 0, "heights are in %s; %s", unitName(r.heightUnit), rest)
	}
}
