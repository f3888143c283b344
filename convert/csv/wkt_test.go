// Well-known text: forms read, forms refused, and writing as the inverse.

package csv

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
)

func TestWKT(t *testing.T) {
	for _, c := range []struct{ in, want string }{ // "" for the text itself
		{"POINT (1 2)", ""},
		{"POINT Z (1 2 3)", ""},
		{"POINT Z (1 2 NaN)", ""},
		{"POINT EMPTY", ""},
		{"POINT Z EMPTY", ""},
		{"LINESTRING (1 2,3 4)", ""},
		{"LINESTRING EMPTY", ""},
		{"LINEARRING (1 2,3 4,5 6,1 2)", ""},
		{"POLYGON ((0 0,4 0,4 4,0 0),(1 1,1 2,2 2,1 1))", ""},
		{"POLYGON EMPTY", ""},
		{"POLYGON (EMPTY)", ""},
		{"POLYGON ((0 0,4 0,4 4,0 0),EMPTY)", ""},
		{"MULTIPOINT ((1 2),(3 4))", ""},
		{"MULTIPOINT (EMPTY,(3 4),EMPTY)", ""},
		{"MULTIPOINT EMPTY", ""},
		{"MULTILINESTRING ((1 2,3 4),EMPTY,(5 6,7 8))", ""},
		{"MULTIPOLYGON (((0 0,4 0,4 4,0 0),(1 1,1 2,2 2,1 1)),EMPTY,((9 9,9 8,8 8,9 9)))", ""},
		{"MULTIPOLYGON EMPTY", ""},
		{"GEOMETRYCOLLECTION (POINT (1 2),GEOMETRYCOLLECTION (LINESTRING Z (1 2 3,4 5 NaN)),GEOMETRYCOLLECTION EMPTY)", ""},
		{"GEOMETRYCOLLECTION EMPTY", ""},
		{" point( 1\t2 ) ", "POINT (1 2)"},
		{"POINT(1 2 3)", "POINT Z (1 2 3)"},
		{"POINTZ(1 2 3)", "POINT Z (1 2 3)"},
		{"POINT M (1 2 3)", "POINT (1 2)"},
		{"POINTM(1 2 3)", "POINT (1 2)"},
		{"POINT ZM (1 2 3 4)", "POINT Z (1 2 3)"},
		{"PointZm (1 2 3 nan)", "POINT Z (1 2 3)"},
		{"POINT(1 2 3 4)", "POINT Z (1 2 3)"},
		{"LINESTRING(1 2 nan, 3 4 5)", "LINESTRING Z (1 2 NaN,3 4 5)"},
		{"MULTIPOINT(1 2, 3 4)", "MULTIPOINT ((1 2),(3 4))"},
		{"MultiLineStringZ((1 2 3,4 5 6))", "MULTILINESTRING Z ((1 2 3,4 5 6))"},
		{"GeometryCollectionZM(POINT ZM(1 2 3 4))", "GEOMETRYCOLLECTION (POINT Z (1 2 3))"},
		{"POINT(1.5e2 -2E-1)", "POINT (150 -0.2)"},
		{"POINT(+1 .5)", "POINT (1 0.5)"},
	} {
		want := c.want
		if want == "" {
			want = c.in
		}
		p := wktReader{nesting: 8}
		g, err := p.parse([]byte(c.in))
		if err != nil {
			t.Errorf("%s: %v", c.in, err)
			continue
		}
		got, err := appendWKT(nil, g, wire.DegreeDecimals)
		if err != nil || string(got) != want {
			t.Errorf("%s: got %s, %v; want %s", c.in, got, err, want)
		}
	}
}

func TestWKTRefused(t *testing.T) {
	for _, c := range []struct {
		in, want string
		at       int // character, from 1
	}{
		{"", "the text ends where a geometry should stand", 1},
		{"   ", "the text ends where a geometry should stand", 4},
		{"(1 2)", `"(1 2)" stands where a geometry such as POLYGON should`, 1},
		{"CIRCULARSTRING (1 2,3 4,5 6)", "CIRCULARSTRING is no geometry that a plan holds", 1},
		{"POINT", "a ( should stand here", 6},
		{"POINT 1 2", "a ( should stand here", 7},
		{"POINT (1 2", "a ) should stand here", 11},
		{"POINT (1 2) x", `"x" stands behind the geometry`, 13},
		{"POINT (1)", "the point has 1 numbers|a point should stand here", 8},
		{"POINT ()", "a point should stand here", 8},
		{"POINT (1 2 3 4 5)", "a ) should stand here", 16},
		{"POINT (a 2)", `"a" is no number`, 8},
		{"POINT (NaN 2)", `"NaN" is no number`, 8},
		{"POINT (1 NaN)", `"NaN" is no number`, 10},
		{"POINT (1 inf)", `"inf" is no number`, 10},
		{"POINT Z (1 2)", "the point has 2 numbers, the geometry 3 a point", 10},
		{"LINESTRING (1 2,3 4 5)", "the point has 3 numbers, the geometry 2 a point", 17},
		{"LINESTRING (1 2;3 4)", `"2;3" is no number`, 15},
		{"LINESTRING (1 2(3 4)", "'(' stands where a comma or ) should", 16},
		{"LINESTRING (1 2,", "a point should stand here", 17},
		{"POLYGON (1 2,3 4)", "a ( should stand here", 10},
		{"GEOMETRYCOLLECTION (POINT (1 2) POINT (3 4))", "a ) should stand here", 33},
		{strings.Repeat("GEOMETRYCOLLECTION (", 9) + "POINT (1 2)" + strings.Repeat(")", 9), "input_max_nesting (8)", 179},
	} {
		p := wktReader{nesting: 8}
		g, err := p.parse([]byte(c.in))
		var fault *wktError
		if !errors.As(err, &fault) {
			t.Errorf("%s: got %v, %v; want an error about %q", c.in, g, err, c.want)
			continue
		}
		ok := false
		for _, want := range strings.Split(c.want, "|") {
			ok = ok || strings.Contains(fault.problem, want)
		}
		if !ok || fault.offset+1 != c.at {
			t.Errorf("%s: got %v; want %q at %d", c.in, fault, c.want, c.at)
		}
	}
}

func TestWKTOfWhatIsNotFinite(t *testing.T) {
	for _, g := range []geom.T{
		geom.NewPointFlat(geom.XY, []float64{math.NaN(), 1}),
		geom.NewPointFlat(geom.XY, []float64{1, math.Inf(1)}),
		geom.NewPointFlat(geom.XYZ, []float64{1, 2, math.Inf(-1)}),
	} {
		if got, err := appendWKT(nil, g, 5); err == nil {
			t.Errorf("%v was written as %s", g.FlatCoords(), got)
		}
	}
}

func FuzzWKT(f *testing.F) {
	for _, s := range []string{
		"POINT Z (1 2 NaN)", "POLYGON ((0 0,4 0,4 4,0 0),EMPTY)", "MULTIPOINT (EMPTY,(3 4))", "MULTIPOLYGON (((0 0,1 0,1 1,0 0)),EMPTY)",
		"GEOMETRYCOLLECTION (POINT M (1 2 3),LINEARRING (1 2,3 4,1 2))", "linestring(1 2 3 4,5 6 7 8)", "POINT(1e400 2)", "POINT (-0 179.99999999999999)",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p := wktReader{nesting: 8}
		g, err := p.parse(text)
		if err != nil {
			return
		}
		first, err := appendWKT(nil, g, wire.DegreeDecimals)
		if err != nil {
			t.Fatalf("%q was read and cannot be written: %v", text, err)
		}
		g, err = p.parse(first)
		if err != nil {
			t.Fatalf("%q was written as %q, which cannot be read: %v", text, first, err)
		}
		second, err := appendWKT(nil, g, wire.DegreeDecimals)
		if err != nil || string(first) != string(second) {
			t.Fatalf("%q: %q against %q, %v", text, first, second, err)
		}
	})
}

// TestTwoGeometries: a second column that holds another geometry is told, as
// something drawn that the plan may lack.
func TestTwoGeometries(t *testing.T) {
	const square = `"POLYGON ((9 56,9.1 56,9.1 56.1,9 56))"`
	for _, x := range []struct {
		columns, cells string
		told           bool
	}{
		{"wkt,geometry", square + ",POINT (9 56)", true},
		{"wkt,geometry", `"POLYGON ((9 56,9.1 56,9.1 56.1,9 56))","POLYGON ((9 56,9.1 56,9.1 56.2,9 56))"`, true},
		{"wkt,geometry", square + "," + square, false},
		{"wkt,geometry", square + `,"SRID=4326;POLYGON Z((9.0 56 3, 9.1 56 3, 9.1 56.1 3, 9 56 3))"`, false},
		{"wkt,geometry", square + ",", false},
		{"wkt,geometry", square + ",POINT EMPTY", false},
		{"wkt,geometry", square + ",round", false},
		{"wkt,geometry", ",POINT (9 56)", true},
		{"wkt,outline_wkt", square + `,"GEOMETRYCOLLECTION (POINT (9 56))"`, true},
		{"wkt,remark", square + ",POINT (9 56)", false},
		{"geom,wkt", "POINT (9 56)," + square, true},
	} {
		p, warnings, err := Read([]byte("id,role,name,crs,"+x.columns+"\na,hazard,Pond,OGC:CRS84,"+x.cells+"\n"), wire.ReadOptions{})
		if err != nil {
			t.Errorf("%s %s: %v", x.columns, x.cells, err)
			continue
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "geometry-second" && w.Ground()
		}
		if told != x.told || len(p.Features) != 1 {
			t.Errorf("%s %s: told %t, want %t", x.columns, x.cells, told, x.told)
		}
	}
}
