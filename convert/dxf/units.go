// Units of length: the header's codes and the words a user gives.

package dxf

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The lengths in metres that a unit given as a number may have.
const leastUnit, mostUnit = 1e-6, 1e6

// Unit is a unit of length of a drawing.
type Unit struct {
	// Code is the value of $INSUNITS.
	Code int
	// Name is the word for it, such as "mm" or "ftUS".
	Name string
	// Metres is the length of one unit.
	Metres float64
}

// Units of $INSUNITS that mean a length, by code (from memory of the format's
// reference; foot and inch international, US survey foot 1200/3937 m exactly).
// 0 means unitless.
var units = []Unit{
	{1, "in", 0.0254},
	{2, "ft", 0.3048},
	{3, "mi", 1609.344},
	{4, "mm", 0.001},
	{5, "cm", 0.01},
	{6, "m", 1},
	{7, "km", 1000},
	{8, "microinch", 0.0254e-6},
	{9, "mil", 0.0254e-3},
	{10, "yd", 0.9144},
	{11, "angstrom", 1e-10},
	{12, "nm", 1e-9},
	{13, "micron", 1e-6},
	{14, "dm", 0.1},
	{15, "dam", 10},
	{16, "hm", 100},
	{17, "Gm", 1e9},
	{18, "au", 149597870700},
	{19, "ly", 9460730472580800},
	{20, "pc", 3.0856775814913673e16},
	{21, "ftUS", 1200.0 / 3937},
	{22, "inUS", 100.0 / 3937},
	{23, "ydUS", 3600.0 / 3937},
	{24, "miUS", 5280 * 1200.0 / 3937},
}

// UnitByCode returns the unit that a value of $INSUNITS stands for.
func UnitByCode(code int) (Unit, bool) {
	for _, u := range units {
		if u.Code == code {
			return u, true
		}
	}
	return Unit{}, false
}

// UnitByName returns the unit that a user's word stands for: m, mm, cm, ft,
// ftUS or in, in any case but for ftUS, which must not be taken for ft; or a
// number, the metres in one unit, as a drawing to a paper scale has.
func UnitByName(name string) (Unit, error) {
	for _, word := range []string{"m", "mm", "cm", "ft", "ftUS", "in"} {
		if strings.EqualFold(word, name) {
			for _, u := range units {
				if u.Name == word {
					return u, nil
				}
			}
		}
	}
	if m, err := strconv.ParseFloat(name, 64); err == nil && m >= leastUnit && m <= mostUnit {
		return Unit{0, name, m}, nil
	}
	return Unit{}, fmt.Errorf("there is no unit called %q; the units are m, mm, cm, ft, ftUS, in, or a number of metres such as 0.2", name)
}

// said is one unit in words: "1 mm", or "0.2 m" for one that is only a number.
func (u Unit) said() string {
	if u.Code == 0 {
		return u.Name + " m"
	}
	return "1 " + u.Name
}

// decimals is with how many decimals a length is written so that 0.01 mm is
// kept.
func (u Unit) decimals() int {
	d := 5 + int(math.Ceil(math.Log10(u.Metres)-1e-9))
	return max(0, min(15, d))
}
