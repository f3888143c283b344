// Tests of drawings that say their place on the earth.

package dxf

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// alias is a definition as programs write it, less what is not looked at.
func alias(code int, first string) string {
	return fmt.Sprintf(`<?xml version="1.0" encoding="UTF-16" standalone="no" ?>^J<Dictionary><ProjectedCoordinateSystem id="ETRS.Zone"><Axis uom="Meter"><CoordinateSystemAxis><AxisOrder>1</AxisOrder><AxisAbbreviation>%s</AxisAbbreviation></CoordinateSystemAxis></Axis></ProjectedCoordinateSystem>`+
		`<Alias id="%d" type="CoordinateSystem"><ObjectId>ETRS.Zone</ObjectId><Namespace>EPSG Code</Namespace></Alias><Alias id="6258" type="Datum"><ObjectId>D</ObjectId><Namespace>EPSG Code</Namespace></Alias></Dictionary>`, first, code)
}

// geo is a GEODATA of the second form; more are groups that come before its
// definition, which is cut in two.
func geo(kind int, design, reference [2]float64, metres float64, definition string, more ...any) string {
	half := len(definition) / 2
	list := []any{0, "GEODATA", 5, "23", 330, "22", 100, "AcDbGeoData", 90, 2, 330, "1F", 70, kind, 10, design[0], 20, design[1], 30, 0.0,
		11, reference[0], 21, reference[1], 31, 0.0, 40, metres, 91, 6, 41, metres, 92, 6, 210, 0.0, 220, 0.0, 230, 1.0, 12, 0.0, 22, 1.0, 95, 1, 141, 1.0, 294, 0, 142, 0.0, 143, 0.0}
	list = append(list, more...)
	return pairs(append(list, 303, definition[:half], 301, definition[half:], 302, "", 93, 0, 96, 0)...)
}

func located(units int, objects string) string {
	return sectionOf("HEADER", pairs(9, "$ACADVER", 1, "AC1024", 9, "$INSUNITS", 70, units)) + sectionOf("ENTITIES", lineOf("A", 0, 0, 3000, 4000)) + sectionOf("OBJECTS", objects) + pairs(0, "EOF")
}

func TestGeoData(t *testing.T) {
	utm, other := alias(25832, "E"), alias(25833, "E")
	at := [2]float64{500000, 6200000}
	from := func(code string) wire.ReadOptions {
		c, err := crs.Parse(code)
		if err != nil {
			t.Fatal(err)
		}
		return wire.ReadOptions{CRS: c}
	}
	grid := "EPSG:25832 500000 6200000 500003 6200004"
	for _, c := range []struct {
		name    string
		units   int
		objects string
		o       wire.ReadOptions
		want    string // the CRS and the line, in it
		kinds   string
		says    string
	}{
		{"a local plane", 4, geo(1, [2]float64{}, at, 0.001, utm), wire.ReadOptions{}, grid, "drawing-says-grid:1", "the drawing says its grid: EPSG:25832 ETRS89 / UTM zone 32N; (0, 0) of the drawing is E 500000.000 N 6200000.000, 1 unit = 1 mm"},
		{"about another point", 4, geo(1, [2]float64{1000, 2000}, [2]float64{500001, 6200002}, 0.001, utm), wire.ReadOptions{}, grid, "drawing-says-grid:1", "(1000, 2000) of the drawing is E 500001.000 N 6200002.000"},
		{"turned: north is west of up", 6, geo(1, [2]float64{}, at, 1, utm, 12, -1.0, 22, 0.0), wire.ReadOptions{}, "EPSG:25832 500000 6200000 504000 6197000", "drawing-says-grid:1", "turned by -90 deg anticlockwise"},
		{"its own numbers", 6, geo(2, [2]float64{}, [2]float64{}, 1, utm), wire.ReadOptions{}, "EPSG:25832 0 0 3000 4000", "drawing-says-grid:1", "its numbers are those of the grid"},
		{"its own numbers, twice said", 4, geo(2, [2]float64{1000, 2000}, [2]float64{1, 2}, 0.001, utm), wire.ReadOptions{}, "EPSG:25832 0 0 3 4", "drawing-says-grid:1", "its numbers are those of the grid"},
		{"in the grid, and yet not", 6, geo(2, [2]float64{}, at, 1, utm), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "(0, 0) stands at (500000, 6200000)"},
		{"in the grid, and yet turned", 6, geo(2, [2]float64{}, [2]float64{}, 1, utm, 12, 1.0, 22, 0.0), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "that it is turned"},
		{"by well-known words", 4, geo(1, [2]float64{}, at, 0.001, "EPSG:25832"), wire.ReadOptions{}, grid, "drawing-says-grid:1", ""},
		{"a grid in feet", 21, geo(1, [2]float64{}, [2]float64{900000, 200000}, 1200.0/3937, alias(2263, "E")), wire.ReadOptions{}, "EPSG:2263 900000 200000 903000 204000", "drawing-says-grid:1", "1 unit = 1 ftUS"},
		{"no unit in the header", 0, geo(1, [2]float64{}, at, 0.001, utm), wire.ReadOptions{}, grid, "unit-from-geodata:1 drawing-says-grid:1", "its GEODATA says 1 unit = 1 mm"},
		{"another unit told", 0, geo(1, [2]float64{}, at, 1, utm), wire.ReadOptions{Unit: "mm"}, grid, "unit-overridden:1 drawing-says-grid:1", "GEODATA says that one unit is 1 m; 1 mm was asked for and holds"},
		{"another grid told", 4, geo(1, [2]float64{}, at, 0.001, utm), from("EPSG:25833"), "EPSG:25833 0 0 3 4", "geodata-contradicts:1", "with its numbers as they stand in EPSG:25833"},
		{"the grid told, though it is beside it", 4, geo(1, [2]float64{}, at, 0.001, utm), from("EPSG:25832"), "EPSG:25832 0 0 3 4", "geodata-contradicts:1", "leave that out"},
		{"the grid told, as it says", 4, geo(2, [2]float64{}, [2]float64{}, 0.001, utm), from("EPSG:25832"), "EPSG:25832 0 0 3 4", "", ""},
		{"to be placed from marks", 4, geo(1, [2]float64{}, at, 0.001, utm), wire.ReadOptions{AsDrawn: true}, "? 0 0 3 4", "geodata-unused:1", "in its own coordinates"},
		{"no code", 6, geo(1, [2]float64{}, at, 1, `<Dictionary><ProjectedCoordinateSystem id="OWN-7"/></Dictionary>`), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", `"OWN-7", without a code`},
		{"two codes", 6, geo(1, [2]float64{}, at, 1, utm+other), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "EPSG:25832 and EPSG:25833"},
		{"no definition", 6, geo(1, [2]float64{}, at, 1, ""), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "names no reference system"},
		{"an unknown code", 6, geo(1, [2]float64{}, at, 1, alias(99999, "E")), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "99999"},
		{"north first", 6, geo(1, [2]float64{}, at, 1, alias(25832, "N")), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "two ways"},
		{"degrees", 6, geo(1, [2]float64{}, [2]float64{9, 56}, 1, alias(4326, "E")), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "no grid"},
		{"longitude and latitude", 6, geo(3, [2]float64{}, [2]float64{9, 56}, 1, utm), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "kind (3)"},
		{"a scale of its own", 6, geo(1, [2]float64{}, at, 1, utm, 95, 2, 141, 0.9996), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "factor 0.9996"},
		{"a scale of 1 said", 4, geo(1, [2]float64{}, at, 0.001, utm, 95, 2), wire.ReadOptions{}, grid, "drawing-says-grid:1", ""},
		{"the scale of the point", 6, geo(1, [2]float64{}, at, 1, utm, 95, 3), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "method 3"},
		{"a map of the world", 6, geo(1, [2]float64{}, [2]float64{1e6, 7.5e6}, 1, alias(3395, "E")), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "no grid to measure on"},
		{"its own numbers on a map of the world", 6, geo(2, [2]float64{}, [2]float64{}, 1, alias(3395, "E")), wire.ReadOptions{}, "EPSG:3395 0 0 3000 4000", "drawing-says-grid:1", ""},
		{"by the sea", 6, geo(1, [2]float64{}, at, 1, utm, 294, 1), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "scales lengths"},
		{"the first form", 6, geo(1, [2]float64{}, at, 1, utm, 90, 1), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "2009"},
		{"at a slant", 6, geo(1, [2]float64{}, at, 1, utm, 210, 1), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "slant"},
		{"damaged", 6, geo(1, [2]float64{}, at, 1, utm, 40, "x"), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:1", "damaged"},
		{"two that are one", 4, geo(1, [2]float64{}, at, 0.001, utm) + geo(1, [2]float64{}, at, 0.001, utm), wire.ReadOptions{}, grid, "drawing-says-grid:1", ""},
		{"two that differ", 6, geo(1, [2]float64{}, at, 1, utm) + geo(1, [2]float64{}, at, 1, other), wire.ReadOptions{}, "? 0 0 3000 4000", "geodata-unread:2", "not the same"},
	} {
		p, warnings := read(t, located(c.units, c.objects), c.o)
		id := "?"
		if p.CRS != nil {
			id = p.CRS.ID()
		}
		flat := p.Features[0].Geometry.FlatCoords()
		got := fmt.Sprintf("%s %.10g %.10g %.10g %.10g", id, flat[0], flat[1], flat[2], flat[3])
		if got != c.want || kinds(warnings) != c.kinds {
			t.Errorf("%s: %s, want %s; %v", c.name, got, c.want, warnings)
		}
		if !strings.Contains(fmt.Sprint(warnings), c.says) {
			t.Errorf("%s: %v does not say %q", c.name, warnings, c.says)
		}
		for _, w := range warnings {
			if w.Step() != (w.Kind == "drawing-says-grid") {
				t.Errorf("%s: step %v: %s", c.name, w.Step(), w.Kind)
			}
		}
	}
}

// Two units are an error where the place hangs on them, and told where it does
// not.
func TestGeoDataOfAnotherUnit(t *testing.T) {
	text := located(4, geo(1, [2]float64{}, [2]float64{500000, 6200000}, 1, alias(25832, "E")))
	in := refusal(t, []byte(text), wire.ReadOptions{})
	if in.Problem != "the drawing's $INSUNITS says that one unit is 1 mm, its GEODATA that it is 1 m" || !strings.Contains(in.Mend, "--units") {
		t.Errorf("%+v", in)
	}
	for unit, want := range map[string]string{"mm": "unit-overridden:1 drawing-says-grid:1", "m": "unit-overridden:1 drawing-says-grid:1"} {
		p, w := read(t, text, wire.ReadOptions{Unit: unit})
		if flat := p.Features[0].Geometry.FlatCoords(); kinds(w) != want || math.Abs(flat[2]-500000-map[string]float64{"mm": 3, "m": 3000}[unit]) > 1e-9 {
			t.Errorf("%s: %v %v", unit, flat, w)
		}
	}
	if _, w := read(t, text, wire.ReadOptions{AsDrawn: true}); kinds(w) != "unit-in-two-ways:1 geodata-unused:1" {
		t.Errorf("%v", w)
	}
}

// What this program writes comes back by the object alone, to the last digit,
// once another program has thrown away all that this one stored.
func TestOwnGeoDataComesBack(t *testing.T) {
	for _, code := range []string{"EPSG:25832", "EPSG:2263"} {
		c, err := crs.Parse(code)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range []wire.WriteOptions{{}, {Unit: "mm"}, {Unit: "ftUS"}, {Offset: &[2]float64{499000, 6199000}}} {
			plan := furnished(t)
			plan.CRS = c
			if code == "EPSG:2263" { // where that is used
				for _, f := range plan.Features {
					for flat, i := f.Geometry.FlatCoords(), 0; i < len(flat); i += f.Geometry.Stride() {
						flat[i], flat[i+1] = flat[i]+480000, flat[i+1]-6000000
					}
				}
			}
			text, _ := write(t, plan, o)
			whole, warnings := read(t, text, wire.ReadOptions{})
			if len(warnings) != 0 || !whole.CRS.Equal(c) {
				t.Errorf("%s %+v: %v", code, o, warnings)
			}
			bare, warnings := read(t, strings.ReplaceAll(text, appID, "NOBODY"), wire.ReadOptions{})
			if !strings.Contains(kinds(warnings), "drawing-says-grid:1") || bare.CRS == nil || !bare.CRS.Equal(c) {
				t.Errorf("%s %+v: CRS %v, %v", code, o, bare.CRS, warnings)
				continue
			}
			got := bare.Features[0]
			if got.Attributes.Get(schema.PropLayer).Text() != "ZONE" {
				t.Fatalf("the first feature is on %s", got.Attributes.AppendJSON(nil))
			}
			for i, v := range whole.Features[0].Geometry.FlatCoords() {
				if w := got.Geometry.FlatCoords()[i]; math.Abs(v-w) > 1e-8 || o.Unit == "" && o.Offset == nil && code == "EPSG:25832" && v != w {
					t.Errorf("%s %+v: number %d is %.12g, want %.12g", code, o, i, w, v)
				}
			}
		}
	}
}

// An editor that gives our drawing another place is told of; ours holds.
func TestGeoDataAgainstTheRecord(t *testing.T) {
	text, _ := write(t, furnished(t), wire.WriteOptions{})
	text = strings.Replace(text, `<Alias id="25832"`, `<Alias id="25833"`, 1)
	p, w := read(t, text, wire.ReadOptions{})
	if p.CRS.ID() != "EPSG:25832" || kinds(w) != "geodata-contradicts:1" {
		t.Errorf("%v %v", p.CRS.ID(), w)
	}
	inv, err := Look([]byte(text), wire.ReadOptions{})
	if err != nil || inv.CRS != "EPSG:25832" {
		t.Errorf("%v %v", inv, err)
	}
	inv, err = Look([]byte(located(4, geo(1, [2]float64{}, [2]float64{500000, 6200000}, 0.001, alias(25832, "E")))), wire.ReadOptions{})
	if err != nil || inv.CRS != "EPSG:25832" || kinds(inv.Warnings) != "drawing-says-grid:1" {
		t.Errorf("%v %v", inv, err)
	}
	inv, err = Look([]byte(located(0, geo(1, [2]float64{}, [2]float64{500000, 6200000}, 0.001, alias(25832, "E")))), wire.ReadOptions{})
	if err != nil || !inv.UnitStated || inv.Unit != "mm" {
		t.Errorf("the unit of the place: %v %v", inv, err)
	}
	var b bytes.Buffer
	if _, err := Write(&b, p, wire.WriteOptions{}); err != nil {
		t.Error(err)
	}
}
