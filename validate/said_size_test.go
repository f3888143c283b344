// Tests of sizes that properties say beside those that are drawn.

package validate_test

import (
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// TestAcrossSaid: sizes across of the bed, whose corners lie 4 m apart at the most, and
// of others; 5 % and 0.3 m more, and half a digit, are as it is drawn.
func TestAcrossSaid(t *testing.T) {
	says := func(id, key string, v schema.Value) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, v) }
	}
	text := schema.String
	const off = "reaches 4.00 m at the most"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"its extent", says("k1", "extent_m", num(4)), validate.Passed, ""},
		{"as much as is rounding", says("k1", "extent_m", num(4.5)), validate.Passed, ""},
		{"a hair more", says("k1", "extent_m", num(4.52)), validate.Failed, off},
		{"a width", says("k1", "width", text("8 m")), validate.Failed, off},
		{"in another language", says("k1", "Durchmesser", text("8,0 m")), validate.Failed, off},
		{"in centimetres", says("k1", "diameter_cm", num(800)), validate.Failed, off},
		{"as many as it has", says("k1", "diameter_cm", num(400)), validate.Passed, ""},
		{"smaller", says("k1", "width_m", num(1)), validate.Passed, ""},
		{"without a unit, in metres and feet", says("k1", "width", num(16)), validate.Failed, off},
		{"without a unit, in feet", says("k1", "width", num(13)), validate.Passed, ""},
		{"without a unit, where no feet are used", says("k1", "Breite", num(13)), validate.Failed, off},
		{"as much as is rounding, there", says("k1", "ancho", num(4.5)), validate.Passed, ""},
		{"a hair more, there", says("k1", "ancho", num(4.56)), validate.Failed, off},
		{"without a unit, in millimetres", says("k1", "width", num(4000)), validate.Passed, ""},
		{"as many metres as may be", says("k1", "width", num(100)), validate.Failed, off},
		{"a hair more than that", says("k1", "width", num(100.1)), validate.Passed, ""},
		{"a size of what", says("k1", "size", num(38)), validate.Passed, ""},
		{"a size of that", says("k1", "size_m", num(38)), validate.Failed, off},
		{"of the well, a disc", says("h1", "extent_m", num(12)), validate.Passed, ""},
		{"of an edge, a line", says("e1", "extent_m", num(120)), validate.Passed, ""},
	})
}

func TestSizesSaid(t *testing.T) {
	says := func(id, key string, v schema.Value) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, v) }
	}
	text := schema.String
	const off = "and what is drawn has"
	// The lawn in the north is 30 by 20 m, 600 m2 and 587.6 m2 without the bed; the
	// way to the dock is 5.5 m long.
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"its area", says("z1", "area_m2", num(600)), validate.Passed, ""},
		// Its diagonal is 36.06 m.
		{"its length", says("z1", "length_m", num(30)), validate.Passed, ""},
		{"how far round it is", says("z1", "length_m", num(100)), validate.Passed, ""},
		{"as long as may be", says("z1", "length_m", num(38.15)), validate.Passed, ""},
		{"a length a hair more", says("z1", "length_m", num(38.18)), validate.Failed, off},
		{"a length of half", says("z1", "length_m", num(17.8)), validate.Passed, ""},
		{"a length of less", says("z1", "length_m", num(17.6)), validate.Failed, off},
		{"without the keep-out", says("z1", "area_m2", num(587.6)), validate.Passed, ""},
		{"as much as is rounding", says("z1", "area", num(630.4)), validate.Passed, ""},
		{"a hair more", says("z1", "area", num(630.6)), validate.Failed, off},
		{"as little as is rounding", says("z1", "area", num(557.9)), validate.Passed, ""},
		{"a hair less", says("z1", "area", num(557.6)), validate.Failed, off},
		{"half a digit", says("z1", "area", text("631")), validate.Passed, ""},
		{"a digit", says("z1", "area", text("632")), validate.Failed, off},
		{"with a unit", says("z1", "Fläche", text("900 m²")), validate.Failed, "says Fläche"},
		{"with a unit, as drawn", says("z1", "Fläche", text("600,0 m²")), validate.Passed, ""},
		{"in hectares", says("z1", "area", text("0,06 ha")), validate.Passed, ""},
		{"in acres", says("z1", "area", num(0.148)), validate.Passed, ""},
		{"in square feet, by its name", says("z1", "area (sq ft)", num(900)), validate.Failed, off},
		{"with a comma for thousands", says("p1", "area_m2", text("7,200")), validate.Passed, ""},
		{"a decimal comma", says("z1", "area_m2", text("900,0")), validate.Failed, off},
		{"about", says("z1", "area", text("ca. 600")), validate.Passed, ""},
		{"about another", says("z1", "area", text("ca. 800")), validate.Failed, off},
		{"a name", says("z1", "area", text("A 12")), validate.Passed, ""},
		{"two words", says("z1", "area", text("12 north")), validate.Passed, ""},
		{"none", says("z1", "area", num(0)), validate.Passed, ""},
		{"in square degrees", says("z1", "Shape_Area", num(6.68e-8)), validate.Passed, ""},
		{"on Mercator's chart", says("z1", "area", num(1140)), validate.Passed, ""},
		{"of a keep-out", says("k1", "area_m2", num(40)), validate.Failed, off},
		{"of a building", says("g1", "area_m2", num(99)), validate.Failed, off},
		{"of a building, as drawn", says("g1", "area_m2", num(42)), validate.Passed, ""},
		{"of the boundary", says("p1", "area_m2", num(9000)), validate.Failed, off},
		{"how far round", says("z1", "perimeter_m", num(100)), validate.Passed, ""},
		{"as far as is rounding", says("z1", "perimeter", text("105.2")), validate.Passed, ""},
		{"a hair farther", says("z1", "perimeter", text("105.4")), validate.Failed, off},
		{"farther round", says("z1", "Umfang", text("140 m")), validate.Failed, off},
		{"the length of an area, which is along it", says("z1", "length_m", num(30)), validate.Passed, ""},
		{"the length of a way", says("c1", "length_m", num(5.5)), validate.Passed, ""},
		{"another", says("c1", "Länge", text("9,5 m")), validate.Failed, off},
		{"in degrees", says("e1", "Shape_Leng", num(0.00037)), validate.Passed, ""},
		{"the length of an edge", says("e1", "length", num(45)), validate.Failed, off},
		{"of a point, which has none", says("m1", "length", num(45)), validate.Passed, ""},
		{"a grid's", func(p *plot) { p.grid = "EPSG:25829"; p.get("z1").set("area_m2", num(900)) }, validate.Failed, off},
	})
}
