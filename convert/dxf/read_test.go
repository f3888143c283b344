// Tests of reading: entities, blocks, extrusions, texts, units and refusals.

package dxf

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf/curve"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func TestEntities(t *testing.T) {
	for _, c := range []struct{ name, entities, want, warnings string }{
		{"line", lineOf("A", 1, 2, 3, 4), "LINE LineString(1 2, 3 4)", ""},
		{"line with heights", pairs(0, "LINE", 8, "A", 10, 1, 20, 2, 30, 5, 11, 3, 21, 4, 31, 0), "LINE LineString(1 2 5, 3 4 0)", ""},
		{"heights of 0 are none", pairs(0, "LINE", 8, "A", 10, 1, 20, 2, 30, 0, 11, 3, 21, 4, 31, "0.0"), "LINE LineString(1 2, 3 4)", ""},
		{"point", pairs(0, "POINT", 8, "A", 10, 1.5, 20, "-2.5e1", 30, 7), "POINT Point(1.5 -25 7)", ""},
		{"open polyline", pairs(0, "LWPOLYLINE", 8, "A", 90, 3, 70, 0, 10, 0, 20, 0, 10, 4, 20, 0, 10, 4, 20, 3), "LWPOLYLINE LineString(0 0, 4 0, 4 3)", ""},
		{"closed polyline", pairs(0, "LWPOLYLINE", 8, "A", 90, 3, 70, 1, 10, 0, 20, 0, 10, 4, 20, 0, 10, 4, 20, 3), "LWPOLYLINE Polygon(0 0, 4 0, 4 3, 0 0)", ""},
		{"closed by its end", pairs(0, "LWPOLYLINE", 8, "A", 90, 4, 70, 0, 10, 0, 20, 0, 10, 4, 20, 0, 10, 4, 20, 3, 10, 0, 20, 0), "LWPOLYLINE Polygon(0 0, 4 0, 4 3, 0 0)", ""},
		{"closed and by its end", pairs(0, "LWPOLYLINE", 8, "A", 90, 4, 70, 1, 10, 0, 20, 0, 10, 4, 20, 0, 10, 4, 20, 3, 10, 0, 20, 0), "LWPOLYLINE Polygon(0 0, 4 0, 4 3, 0 0)", ""},
		{"gap of 0.8 mm", pairs(0, "LWPOLYLINE", 8, "A", 90, 4, 70, 0, 10, 0, 20, 0, 10, 4, 20, 0, 10, 4, 20, 3, 10, 0, 20, 0.0008), "LWPOLYLINE Polygon(0 0, 4 0, 4 3, 0 0)", "ring-snapped:1"},
		{"gap of 2 mm", pairs(0, "LWPOLYLINE", 8, "A", 90, 4, 70, 0, 10, 0, 20, 0, 10, 4, 20, 0, 10, 4, 20, 3, 10, 0, 20, 0.002), "LWPOLYLINE LineString(0 0, 4 0, 4 3, 0 0.002)", ""},
		{"out and back", pairs(0, "LWPOLYLINE", 8, "A", 90, 2, 70, 1, 10, 0, 20, 0, 10, 4, 20, 0), "LWPOLYLINE LineString(0 0, 4 0, 0 0)", "ring-without-area:1"},
		{"elevation", pairs(0, "LWPOLYLINE", 8, "A", 90, 2, 70, 0, 38, 12.5, 10, 0, 20, 0, 10, 4, 20, 0), "LWPOLYLINE LineString(0 0 12.5, 4 0 12.5)", ""},
		{"2D POLYLINE", pairs(0, "POLYLINE", 8, "A", 66, 1, 10, 0, 20, 0, 30, 3, 70, 1) + pairs(0, "VERTEX", 8, "A", 10, 0, 20, 0, 30, 99) + pairs(0, "VERTEX", 8, "A", 10, 2, 20, 0) + pairs(0, "VERTEX", 8, "A", 10, 2, 20, 2) + pairs(0, "SEQEND", 8, "A") + lineOf("B", 0, 0, 1, 1),
			"POLYLINE Polygon(0 0 3, 2 0 3, 2 2 3, 0 0 3)\nLINE LineString(0 0, 1 1)", ""},
		{"3D POLYLINE", pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 8) + pairs(0, "VERTEX", 10, 0, 20, 0, 30, 1, 70, 32) + pairs(0, "VERTEX", 10, 2, 20, 0, 30, 2, 70, 32) + pairs(0, "SEQEND"), "POLYLINE LineString(0 0 1, 2 0 2)", ""},
		{"POLYLINE without SEQEND", pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 0) + pairs(0, "VERTEX", 10, 0, 20, 0) + pairs(0, "VERTEX", 10, 2, 20, 0) + lineOf("B", 0, 0, 1, 1), "POLYLINE LineString(0 0, 2 0)\nLINE LineString(0 0, 1 1)", ""},
		{"control points of a fitted curve", pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 4) + pairs(0, "VERTEX", 10, 0, 20, 0, 70, 8) + pairs(0, "VERTEX", 10, 9, 20, 9, 70, 16) + pairs(0, "VERTEX", 10, 2, 20, 0, 70, 8) + pairs(0, "SEQEND"), "POLYLINE LineString(0 0, 2 0)", ""},
		{"mesh", pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 64) + pairs(0, "VERTEX", 10, 0, 20, 0, 70, 192) + pairs(0, "SEQEND") + lineOf("B", 0, 0, 1, 1), "LINE LineString(0 0, 1 1)", "mesh-refused:1"},
		{"3DFACE", pairs(0, "3DFACE", 8, "A", 10, 0, 20, 0, 30, 1, 11, 4, 21, 0, 31, 1, 12, 4, 22, 3, 32, 2, 13, 4, 23, 3, 33, 2), "3DFACE Polygon(0 0 1, 4 0 1, 4 3 2, 0 0 1)", ""},
		{"SOLID crosswise", pairs(0, "SOLID", 8, "A", 10, 0, 20, 0, 11, 4, 21, 0, 12, 0, 22, 3, 13, 4, 23, 3), "SOLID Polygon(0 0, 4 0, 4 3, 0 3, 0 0)", ""},
		{"unknown ones are counted", pairs(0, "DIMENSION", 8, "A", 10, 1) + pairs(0, "WIPEOUT", 8, "A") + pairs(0, "DIMENSION", 8, "A"), "", "annotation-left-out:3"},
		{"solids are on the ground", pairs(0, "DIMENSION", 8, "A", 10, 1) + pairs(0, "3DSOLID", 8, "A"), "", "entity-left-out:2"},
		{"lines without an end", pairs(0, "XLINE", 8, "DITCH", 10, 1) + pairs(0, "RAY", 8, "DITCH", 10, 1) + pairs(0, "WIPEOUT", 8, "POND"), "", "picture:DITCH annotation-left-out:3"},
		{"a curve that is closed and is not", pairs(0, "SPLINE", 8, "A", 70, 1, 71, 1, 72, 6, 73, 4, 40, 0, 40, 0, 40, 1, 40, 2, 40, 3, 40, 3, 10, 0, 20, 0, 10, 4, 20, 0, 10, 4, 20, 3, 10, 0, 20, 3), "SPLINE LineString(0 0, 4 0, 4 3, 0 3)", "spline-open:1"},
		{"paper space on a layer of ours", pairs(0, "LINE", 67, 1, 8, "HAZARD", 10, 0, 20, 0, 11, 1, 21, 1) + pairs(0, "VIEWPORT", 67, 1, 8, "HAZARD", 10, 0, 20, 0) + lineOf("A", 0, 0, 1, 1), "LINE LineString(0 0, 1 1)", "paper-drawn:1 paper-space:1"},
		{"paper space on a layer of sheets", pairs(0, "LINE", 67, 1, 8, "BOUNDARY", 10, 0, 20, 0, 11, 1, 21, 1) + pairs(0, "LINE", 67, 1, 8, "HAZARD-OFF", 10, 0, 20, 0, 11, 1, 21, 1) + lineOf("A", 0, 0, 1, 1), "LINE LineString(0 0, 1 1)", "paper-space:2"},
		{"paper space", pairs(0, "LINE", 67, 1, 8, "A", 10, 0, 20, 0, 11, 1, 21, 1) + lineOf("A", 0, 0, 1, 1), "LINE LineString(0 0, 1 1)", "paper-space:1"},
		{"an outline in the paper space", pairs(0, "LINE", 67, 1, 8, "WATER", 10, 0, 20, 0, 11, 1, 21, 1) + pairs(0, "VIEWPORT", 67, 1, 8, "VIEWS", 10, 0, 20, 0) + lineOf("A", 0, 0, 1, 1), "LINE LineString(0 0, 1 1)", "picture:WATER,_in_the_paper_space paper-space:1"},
		{"ground drawn in the paper space", pairs(0, "LWPOLYLINE", 67, 1, 8, "0", 90, 2, 70, 1, 10, 512005, 20, 6280005, 10, 512006, 20, 6280005) + pairs(0, "CIRCLE", 67, 1, 8, "0", 10, 512005, 20, 6280006, 40, 1) + pairs(0, "POINT", 67, 1, 8, "0", 10, 512005, 20, 6280007) + lineOf("A", 512000, 6280000, 512010, 6280010),
			"LINE LineString(512000 6.28e+06, 512010 6.28001e+06)", "picture:0,_in_the_paper_space paper-ground:3 paper-space:3"},
		{"a frame in the paper space", pairs(0, "LWPOLYLINE", 67, 1, 8, "0", 90, 2, 70, 1, 10, 10000, 20, 0, 10, 841, 20, 594) + pairs(0, "LINE", 67, 1, 8, "0", 10, 512011, 20, 6280000, 11, 512012, 21, 6280000) + pairs(0, "TEXT", 67, 1, 8, "0", 10, 512005, 20, 6280005, 40, 1, 1, "A") + pairs(0, "VIEWPORT", 67, 1, 8, "0", 10, 512005, 20, 6280005) + lineOf("A", -512000, -6280000, 512010, 6280010),
			"LINE LineString(-512000 -6.28e+06, 512010 6.28001e+06)", "picture:0,_in_the_paper_space site-large:1 paper-space:3"},
		{"arc of no radius", pairs(0, "CIRCLE", 8, "A", 10, 0, 20, 0, 40, 0), "", "entity-damaged:1"},
		{"polyline of no vertices", pairs(0, "LWPOLYLINE", 8, "A", 90, 0, 70, 1), "", "entity-damaged:1"},
		{"other programs' lists and embedded objects", pairs(0, "LINE", 102, "{XX", 10, 77, 102, "}", 8, "A", 10, 1, 20, 2, 11, 3, 21, 4, 101, "Embedded Object", 10, 55, 1001, "OTHER", 1010, 9, 1040, 3), "LINE LineString(1 2, 3 4)", ""},
		{"comments", pairs(999, "made by hand", 0, "LINE", 999, "x", 8, "A", 10, 1, 20, 2, 11, 3, 21, 4), "LINE LineString(1 2, 3 4)", ""},
	} {
		p, w := read(t, drawing(c.entities), wire.ReadOptions{})
		if got := features(p); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
		got := strings.TrimSpace(strings.ReplaceAll(kinds(w), "site-small:1", ""))
		for _, name := range p.Pictures {
			if !strings.HasPrefix(name, "A,") {
				got = "picture:" + strings.ReplaceAll(name, " ", "_") + " " + got
			}
		}
		if got != c.warnings {
			t.Errorf("%s: warnings %q, want %q", c.name, got, c.warnings)
		}
	}
}

func TestLineEndsAndPadding(t *testing.T) {
	plain := drawing(lineOf("A", 1, 2, 30, 4))
	for name, text := range map[string]string{
		"CR LF":            strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":               strings.ReplaceAll(plain, "\n", "\r"),
		"byte-order mark":  "\xef\xbb\xbf" + plain,
		"blank end":        plain + "\n\n\x1a",
		"no last line end": strings.TrimSuffix(plain, "\n"),
		"no EOF":           strings.TrimSuffix(plain, pairs(0, "EOF")),
		"spaces":           strings.ReplaceAll(strings.ReplaceAll(plain, "\n10\n", "\n   10  \n"), "\n30\n", "\n   30 \n"),
	} {
		p, _, err := Read([]byte(text), wire.ReadOptions{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := features(p); got != "LINE LineString(1 2, 30 4)" {
			t.Errorf("%s: %s", name, got)
		}
		if !Detect([]byte(text)) {
			t.Errorf("%s: not taken for a drawing", name)
		}
	}
}

// curveOf returns the curve that a feature keeps.
func curveOf(t *testing.T, f *schema.Feature) curve.Curve {
	t.Helper()
	c, err := curve.Parse(f.Attributes.Get(schema.PropCurve))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestArcsAndCircles(t *testing.T) {
	const chord = 0.005
	check := func(name string, f *schema.Feature, cx, cy, r float64) {
		t.Helper()
		flat, stride := f.Geometry.FlatCoords(), f.Geometry.Stride()
		for i := 0; i < len(flat); i += stride {
			if d := math.Hypot(flat[i]-cx, flat[i+1]-cy); math.Abs(d-r) > 1e-9 {
				t.Fatalf("%s: vertex %d is %.12g from the centre, want %g", name, i/stride, d, r)
			}
			if i > 0 {
				mx, my := (flat[i]+flat[i-stride])/2, (flat[i+1]+flat[i-stride+1])/2
				if rise := r - math.Hypot(mx-cx, my-cy); rise > chord*(1+1e-9) || rise < 0 {
					t.Fatalf("%s: chord %d rises %g", name, i/stride, rise)
				}
			}
		}
	}
	p, _ := read(t, drawing(pairs(0, "ARC", 8, "A", 10, 100, 20, 50, 40, 20, 50, 350, 51, 20)+
		pairs(0, "CIRCLE", 8, "A", 10, 100, 20, 50, 40, 7)+
		pairs(0, "ARC", 8, "A", 10, 100, 20, 50, 40, 20, 50, 350, 51, 20, 210, 0, 220, 0, 230, -1)), wire.ReadOptions{})
	arc, circle, mirrored := p.Features[0], p.Features[1], p.Features[2]
	check("arc", arc, 100, 50, 20)
	check("circle", circle, 100, 50, 7)
	check("mirrored arc", mirrored, -100, 50, 20)
	ends := func(f *schema.Feature) string {
		flat := f.Geometry.FlatCoords()
		n := len(flat)
		return fmt.Sprintf("%.6f %.6f  %.6f %.6f", flat[0], flat[1], flat[n-2], flat[n-1])
	}
	rad := func(d float64) (float64, float64) { return math.Cos(d * math.Pi / 180), math.Sin(d * math.Pi / 180) }
	c0, s0 := rad(350)
	c1, s1 := rad(20)
	if got, want := ends(arc), fmt.Sprintf("%.6f %.6f  %.6f %.6f", 100+20*c0, 50+20*s0, 100+20*c1, 50+20*s1); got != want {
		t.Errorf("arc runs %s, want %s", got, want)
	}
	if got, want := ends(mirrored), fmt.Sprintf("%.6f %.6f  %.6f %.6f", -100-20*c0, 50+20*s0, -100-20*c1, 50+20*s1); got != want {
		t.Errorf("mirrored arc runs %s, want %s", got, want)
	}
	if _, ok := circle.Geometry.(*geom.Polygon); !ok {
		t.Errorf("a circle is a %T", circle.Geometry)
	}
	if got := schema.TwiceArea(circle.Geometry.FlatCoords(), 2) / 2; math.Abs(got-math.Pi*49) > 2*math.Pi*7*chord {
		t.Errorf("the circle encloses %g", got)
	}
	c := curveOf(t, arc)
	if c.Type != curve.Arc || c.Radius != 20 || c.Centre != [2]float64{100, 50} || math.Abs(c.Sweep-30*math.Pi/180) > 1e-12 {
		t.Errorf("arc keeps %+v", c)
	}
	if c := curveOf(t, mirrored); c.Type != curve.Arc || c.Radius != 20 || c.Centre != [2]float64{-100, 50} || math.Abs(c.Sweep+30*math.Pi/180) > 1e-12 {
		t.Errorf("mirrored arc keeps %+v", c)
	}
	if c := curveOf(t, circle); c.Type != curve.Circle || c.Radius != 7 {
		t.Errorf("circle keeps %+v", c)
	}
}

func TestBulgesOfPolylines(t *testing.T) {
	for _, mirror := range []bool{false, true} {
		extrusion, side := "", 1.0
		if mirror {
			extrusion, side = pairs(210, 0, 220, 0, 230, -1), -1
		}
		// A stadium: 10 m straight, a half circle of 2 m radius, 10 m back, and
		// the second half circle on the closing segment.
		text := drawing(pairs(0, "LWPOLYLINE", 8, "A", 90, 4, 70, 1, 10, 0, 20, 0, 10, 10, 20, 0, 42, 1, 10, 10, 20, 4, 10, 0, 20, 4, 42, 1) + extrusion)
		p, _ := read(t, text, wire.ReadOptions{})
		f := p.Features[0]
		polygon, ok := f.Geometry.(*geom.Polygon)
		if !ok {
			t.Fatalf("a stadium is a %T", f.Geometry)
		}
		want := 40 + math.Pi*4
		got := side * schema.TwiceArea(polygon.FlatCoords(), 2) / 2
		if got > want || want-got > 2*math.Pi*2*0.005 {
			t.Errorf("mirrored %v: the stadium encloses %g, true %g", mirror, got, want)
		}
		minX, maxX := math.Inf(1), math.Inf(-1)
		for i := 0; i < len(polygon.FlatCoords()); i += 2 {
			minX, maxX = math.Min(minX, side*polygon.FlatCoords()[i]), math.Max(maxX, side*polygon.FlatCoords()[i])
		}
		if math.Abs(minX+2) > 0.005 || math.Abs(maxX-12) > 0.005 {
			t.Errorf("mirrored %v: it reaches from %g to %g, true -2 to 12", mirror, minX, maxX)
		}
		c := curveOf(t, f)
		if c.Type != curve.Bulges || len(c.Bulges) != 4 || c.Bulges[1] != side || c.Bulges[3] != side || c.Bulges[0] != 0 {
			t.Errorf("mirrored %v: keeps %+v", mirror, c)
		}
	}
	// Two semicircles are a circle.
	p, _ := read(t, drawing(pairs(0, "LWPOLYLINE", 8, "A", 90, 2, 70, 1, 10, 0, 20, 0, 42, 1, 10, 2, 20, 0, 42, 1)), wire.ReadOptions{})
	flat := p.Features[0].Geometry.FlatCoords()
	for i := 0; i < len(flat); i += 2 {
		if r := math.Hypot(flat[i]-1, flat[i+1]); math.Abs(r-1) > 1e-12 {
			t.Fatalf("vertex %d of the circle is %g from its centre", i/2, r)
		}
	}
	if _, ok := p.Features[0].Geometry.(*geom.Polygon); !ok {
		t.Errorf("two semicircles are a %T", p.Features[0].Geometry)
	}
}

func TestEllipseEntity(t *testing.T) {
	// Major axis 10 long towards (3, 4)/5, ratio 0.3.
	p, _ := read(t, drawing(pairs(0, "ELLIPSE", 8, "A", 10, 100, 20, 200, 30, 0, 11, 6, 21, 8, 31, 0, 40, 0.3, 41, 0, 42, 6.28319)+
		pairs(0, "ELLIPSE", 8, "A", 10, 0, 20, 0, 30, 0, 11, 6, 21, 8, 31, 0, 40, 0.3, 41, 1, 42, 2)+
		pairs(0, "ELLIPSE", 8, "A", 10, 0, 20, 0, 30, 0, 11, 6, 21, 8, 31, 0, 40, 0.3, 41, 1, 42, 2, 210, 0, 220, 0, 230, -1)), wire.ReadOptions{})
	on := func(f *schema.Feature, cx, cy float64) {
		t.Helper()
		flat := f.Geometry.FlatCoords()
		for i := 0; i < len(flat); i += 2 {
			x, y := flat[i]-cx, flat[i+1]-cy
			along, across := (x*3+y*4)/5, (-x*4+y*3)/5
			if e := along*along/100 + across*across/9; math.Abs(e-1) > 1e-12 {
				t.Fatalf("vertex %d is off the ellipse: %g", i/2, e)
			}
		}
	}
	on(p.Features[0], 100, 200)
	on(p.Features[1], 0, 0)
	on(p.Features[2], 0, 0)
	if g, ok := p.Features[0].Geometry.(*geom.Polygon); !ok {
		t.Errorf("a whole ellipse is a %T", p.Features[0].Geometry)
	} else if got := schema.TwiceArea(g.FlatCoords(), 2) / 2; math.Abs(got-math.Pi*10*3) > 0.005*50 {
		t.Errorf("it encloses %g, true %g", got, math.Pi*30)
	}
	// Start points: centre + major cos t + minor sin t, the minor axis to the
	// left of the major one, to its right when mirrored.
	for i, side := range []float64{1, -1} {
		flat := p.Features[1+i].Geometry.FlatCoords()
		x := 6*math.Cos(1) - side*8*0.3*math.Sin(1)
		y := 8*math.Cos(1) + side*6*0.3*math.Sin(1)
		if math.Hypot(flat[0]-x, flat[1]-y) > 1e-12 {
			t.Errorf("arc %d starts at %v, want %g %g", i, flat[:2], x, y)
		}
	}
	if c := curveOf(t, p.Features[2]); c.Sweep >= 0 || c.Type != curve.Ellipse {
		t.Errorf("the mirrored arc keeps %+v", c)
	}
}

func TestSplineEntity(t *testing.T) {
	h := math.Sqrt2 / 2
	circle := []any{0, "SPLINE", 8, "A", 70, 13, 71, 2, 72, 12, 73, 9}
	for _, k := range []float64{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4} {
		circle = append(circle, 40, k)
	}
	for i, xy := range [][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}, {1, 0}} {
		w := 1.0
		if i%2 == 1 {
			w = h
		}
		circle = append(circle, 10, 5*xy[0], 20, 5*xy[1], 30, 0, 41, w)
	}
	// Padded knots before and after: only the middle is drawn (a straight line
	// of degree 1 from the second control point to the last but one would be
	// wrong).
	padded := pairs(0, "SPLINE", 8, "A", 70, 0, 71, 2, 72, 7, 73, 4, 40, 0, 40, 1, 40, 2, 40, 3, 40, 4, 40, 5, 40, 6, 10, 0, 20, 0, 10, 1, 20, 0, 10, 2, 20, 0, 10, 3, 20, 0)
	through := pairs(0, "SPLINE", 8, "A", 70, 8, 71, 3, 72, 0, 73, 0, 74, 3, 11, 0, 21, 0, 11, 5, 21, 5, 11, 10, 21, 0)
	unknotted := pairs(0, "SPLINE", 8, "A", 70, 8, 71, 3, 73, 4, 10, 0, 20, 0, 10, 1, 20, 3, 10, 5, 20, 3, 10, 6, 20, 0)
	broken := pairs(0, "SPLINE", 8, "A", 70, 8, 71, 3, 72, 5, 73, 4, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 10, 0, 20, 0, 10, 1, 20, 3, 10, 5, 20, 3, 10, 6, 20, 0)
	p, w := read(t, drawing(pairs(circle...)+padded+through+unknotted+broken), wire.ReadOptions{})
	if got := kinds(w); got != "spline-through-points:1 spline-without-knots:1 entity-damaged:1" {
		t.Errorf("warnings %s", got)
	}
	if len(p.Features) != 4 {
		t.Fatalf("%d features", len(p.Features))
	}
	flat := p.Features[0].Geometry.FlatCoords()
	for i := 0; i < len(flat); i += 2 {
		if r := math.Hypot(flat[i], flat[i+1]); math.Abs(r-5) > 1e-12 {
			t.Fatalf("vertex %d of the circle is %g from its centre", i/2, r)
		}
	}
	if _, ok := p.Features[0].Geometry.(*geom.Polygon); !ok {
		t.Errorf("a closed spline is a %T", p.Features[0].Geometry)
	}
	flat = p.Features[1].Geometry.FlatCoords()
	if flat[0] != 0.5 || flat[len(flat)-2] != 2.5 {
		t.Errorf("a spline with padded knots is drawn from %g to %g, want 0.5 to 2.5", flat[0], flat[len(flat)-2])
	}
	met := false
	flat = p.Features[2].Geometry.FlatCoords()
	for i := 0; i < len(flat); i += 2 {
		met = met || math.Hypot(flat[i]-5, flat[i+1]-5) < 1e-12
	}
	if !met {
		t.Error("a spline through points misses one of them")
	}
	flat = p.Features[3].Geometry.FlatCoords() // a Bezier cubic: its middle is (p0 + 3 p1 + 3 p2 + p3) / 8
	if n := len(flat)/2 - 1; n%2 == 0 {
		if mid := flat[n:]; math.Hypot(mid[0]-3, mid[1]-2.25) > 1e-12 {
			t.Errorf("the middle of a cubic is %v, want 3 2.25", mid[:2])
		}
	}
}

// near compares coordinates read with those computed by hand.
func near(t *testing.T, name string, g geom.T, want ...float64) {
	t.Helper()
	flat := g.FlatCoords()
	if len(flat) != len(want) {
		t.Errorf("%s: %v, want %v", name, flat, want)
		return
	}
	for i := range want {
		if math.Abs(flat[i]-want[i]) > 1e-9 {
			t.Errorf("%s: %v, want %v", name, flat, want)
			return
		}
	}
}

func TestInserts(t *testing.T) {
	block := blockOf("B", 1, 1, lineOf("0", 1, 1, 3, 1)+lineOf("X", 1, 1, 1, 2))
	insert := func(list ...any) string {
		return pairs(append([]any{0, "INSERT", 8, "TREES", 2, "b", 10, 100, 20, 200}, list...)...)
	}
	for _, c := range []struct {
		name, entity string
		first        []float64 // of the first line of the block: base point, then 2 m along its x
		second       []float64 // of the second: 1 m along its y
	}{
		{"plain", insert(), []float64{100, 200, 102, 200}, []float64{100, 200, 100, 201}},
		{"scaled", insert(41, 2, 42, 3), []float64{100, 200, 104, 200}, []float64{100, 200, 100, 203}},
		{"mirrored", insert(41, -1), []float64{100, 200, 98, 200}, []float64{100, 200, 100, 201}},
		{"turned", insert(50, 90), []float64{100, 200, 100, 202}, []float64{100, 200, 99, 200}},
		{"scaled, then turned", insert(41, 2, 42, 3, 50, 90), []float64{100, 200, 100, 204}, []float64{100, 200, 97, 200}},
		{"extruded downwards", insert(210, 0, 220, 0, 230, -1), []float64{-100, 200, -102, 200}, []float64{-100, 200, -100, 201}},
	} {
		p, _ := read(t, withBlocks(block, c.entity), wire.ReadOptions{})
		if len(p.Features) != 3 {
			t.Fatalf("%s: %d features", c.name, len(p.Features))
		}
		near(t, c.name, p.Features[1].Geometry, c.first...)
		near(t, c.name, p.Features[2].Geometry, c.second...)
		if l := p.Features[1].Attributes.Get(schema.PropLayer).Text(); l != "TREES" {
			t.Errorf("%s: layer 0 in a block is read as %q, want the insert's", c.name, l)
		}
		if l := p.Features[2].Attributes.Get(schema.PropLayer).Text(); l != "X" {
			t.Errorf("%s: layer X in a block is read as %q", c.name, l)
		}
		if b := p.Features[2].Attributes.Get(schema.PropBlock).Text(); b != "b" {
			t.Errorf("%s: block is %q", c.name, b)
		}
		near(t, c.name+": its point", p.Features[0].Geometry, c.first[:2]...)
	}
}

func TestInsertArray(t *testing.T) {
	block := blockOf("B", 0, 0, pairs(0, "POINT", 8, "0", 10, 0, 20, 0))
	// Two columns 5 apart, three rows 7 apart, turned by 90 degrees; the scale
	// does not change the steps.
	p, _ := read(t, withBlocks(block, pairs(0, "INSERT", 8, "A", 2, "B", 10, 10, 20, 0, 41, 3, 42, 3, 50, 90, 70, 2, 71, 3, 44, 5, 45, 7)), wire.ReadOptions{})
	var got []string
	for _, f := range p.Features {
		if f.Attributes.Get(schema.PropEntity).Text() == "POINT" {
			got = append(got, wkt(f.Geometry))
		}
	}
	want := "Point(10 0) Point(10 5) Point(3 0) Point(3 5) Point(-4 0) Point(-4 5)"
	if s := strings.Join(got, " "); s != want {
		t.Errorf("got %s, want %s", s, want)
	}
	if len(p.Features) != 12 {
		t.Errorf("%d features, want 6 points and 6 inserts", len(p.Features))
	}
}

func TestNestedInserts(t *testing.T) {
	inner := blockOf("INNER", 0, 0, pairs(0, "CIRCLE", 8, "0", 62, 0, 10, 1, 20, 0, 40, 0.5))
	outer := blockOf("OUTER", 0, 0, pairs(0, "INSERT", 8, "0", 62, 0, 2, "INNER", 10, 10, 20, 0, 50, 90, 41, 2, 42, 2))
	p, _ := read(t, withBlocks(inner+outer, pairs(0, "INSERT", 8, "PONDS", 62, 5, 2, "OUTER", 10, 100, 20, 0, 42, -1)), wire.ReadOptions{})
	f := p.Features[len(p.Features)-1]
	if got := f.Attributes.Get(schema.PropBlock).Text(); got != "OUTER/INNER" {
		t.Errorf("block is %q", got)
	}
	if got := f.Attributes.Get(schema.PropLayer).Text(); got != "PONDS" {
		t.Errorf("layer is %q", got)
	}
	if got := f.Attributes.Get(schema.PropColour).Text(); got != "5" {
		t.Errorf("colour is %q", got)
	}
	// The inner centre (1, 0) is doubled and turned to (0, 2), shifted to (10,
	// 2), mirrored to (10, -2), shifted to (110, -2); the radius doubled.
	c := curveOf(t, f)
	if c.Type != curve.Circle || math.Abs(c.Radius-1) > 1e-12 || math.Hypot(c.Centre[0]-110, c.Centre[1]+2) > 1e-9 || c.Sweep > 0 {
		t.Errorf("keeps %+v", c)
	}
}

func TestUnevenScaleMakesEllipses(t *testing.T) {
	block := blockOf("B", 0, 0, pairs(0, "CIRCLE", 8, "A", 10, 0, 20, 0, 40, 1)+
		pairs(0, "LWPOLYLINE", 8, "A", 90, 2, 70, 1, 10, -1, 20, 0, 42, 1, 10, 1, 20, 0, 42, 1))
	p, _ := read(t, withBlocks(block, pairs(0, "INSERT", 8, "A", 2, "B", 10, 0, 20, 0, 41, 10, 42, 4, 50, 30)), wire.ReadOptions{})
	c, s := math.Cos(math.Pi/6), math.Sin(math.Pi/6)
	for _, f := range p.Features[1:] {
		flat := f.Geometry.FlatCoords()
		for i := 0; i < len(flat); i += 2 {
			x, y := flat[i]*c+flat[i+1]*s, -flat[i]*s+flat[i+1]*c
			if e := x*x/100 + y*y/16; math.Abs(e-1) > 1e-9 {
				t.Fatalf("%s: vertex %d is off the ellipse: %g", f.Attributes.Get(schema.PropEntity).Text(), i/2, e)
			}
		}
		if got := math.Abs(schema.TwiceArea(flat, 2)) / 2; math.Abs(got-math.Pi*40) > 0.005*60 {
			t.Errorf("%s: encloses %g, true %g", f.Attributes.Get(schema.PropEntity).Text(), got, math.Pi*40)
		}
	}
	if k := curveOf(t, p.Features[1]); k.Type != curve.Ellipse || math.Abs(k.Ratio-0.4) > 1e-12 {
		t.Errorf("the circle keeps %+v", k)
	}
}

func TestArbitraryAxis(t *testing.T) {
	for _, c := range []struct{ n, x, y point }{
		{point{0, 0, 1}, point{1, 0, 0}, point{0, 1, 0}},
		{point{0, 0, -1}, point{-1, 0, 0}, point{0, 1, 0}},
		{point{1, 0, 0}, point{0, 1, 0}, point{0, 0, 1}},
		{point{0, 1, 0}, point{-1, 0, 0}, point{0, 0, 1}},
		{point{0, -5, 0}, point{1, 0, 0}, point{0, 0, 1}},
		{point{0.02, 0, 1}, point{0, 1, 0}, point{}}, // past 1/64
		{point{0.01, 0.01, 2}, unit3(cross(point{0, 1, 0}, point{0.01, 0.01, 2})), point{}},
	} {
		m, ok := axes(c.n)
		if !ok {
			t.Fatal(c.n)
		}
		if d := distance3(m.direction(point{1}), c.x); d > 1e-12 {
			t.Errorf("normal %v: x axis %v, want %v", c.n, m.direction(point{1}), c.x)
		}
		if d := distance3(m.direction(point{0, 1}), c.y); c.y != (point{}) && d > 1e-12 {
			t.Errorf("normal %v: y axis %v, want %v", c.n, m.direction(point{0, 1}), c.y)
		}
	}
	if _, ok := axes(point{}); ok {
		t.Error("a normal without length has axes")
	}
	// A circle in a wall is a line in plan, and its heights are right.
	p, _ := read(t, drawing(pairs(0, "CIRCLE", 8, "A", 10, 5, 20, 7, 30, -3, 40, 2, 210, 0, 220, -1, 230, 0)), wire.ReadOptions{})
	flat := p.Features[0].Geometry.FlatCoords()
	for i := 0; i < len(flat); i += 3 {
		if r := math.Hypot(flat[i]-5, flat[i+2]-7); math.Abs(flat[i+1]-3) > 1e-12 || math.Abs(r-2) > 1e-12 {
			t.Fatalf("vertex %v is off the circle", flat[i:i+3])
		}
	}
	if p.Features[0].Attributes.Has(schema.PropCurve) {
		t.Error("a circle seen edge-on keeps a curve")
	}
}

func unit3(p point) point { u, _ := unitVector(p); return u }

func TestTexts(t *testing.T) {
	head := func(version, page string) string {
		return sectionOf("HEADER", pairs(9, "$ACADVER", 1, version, 9, "$DWGCODEPAGE", 3, page, 9, "$INSUNITS", 70, 6))
	}
	for _, c := range []struct{ name, version, page, entity, want string }{
		{"code page", "AC1015", "ANSI_1252", pairs(0, "TEXT", 8, "Gr\xfcn", 10, 0, 20, 0, 40, 1, 1, "Stra\xdfe"), "Grün|Straße|"},
		{"other code page", "AC1015", "ANSI_1251", pairs(0, "TEXT", 8, "\xc3\xe0\xe7\xee\xed", 10, 0, 20, 0, 40, 1, 1, "x"), "Газон|x|"},
		{"old code page", "AC1009", "dos850", pairs(0, "TEXT", 8, "\x84", 10, 0, 20, 0, 40, 1, 1, "x"), "ä|x|"},
		{"two-byte code page", "AC1015", "ANSI_932", pairs(0, "TEXT", 8, "\x8e\xc5\x90\xb6\x83\x5c", 10, 0, 20, 0, 40, 1, 1, "x"), "芝生ソ|x|"},
		{"UTF-8 since R2007", "AC1021", "ANSI_1252", pairs(0, "TEXT", 8, "芝", 10, 0, 20, 0, 40, 1, 1, "ø"), "芝|ø|"},
		{"UTF-8 where a code page is promised", "AC1015", "ANSI_1252", pairs(0, "TEXT", 8, "Grün", 10, 0, 20, 0, 40, 1, 1, "x"), "Grün|x|"},
		{"code page where UTF-8 is promised", "AC1027", "ANSI_1252", pairs(0, "TEXT", 8, "Gr\xfcn", 10, 0, 20, 0, 40, 1, 1, "x"), "Grün|x|"},
		{"escapes", "AC1015", "ANSI_1252", pairs(0, "TEXT", 8, `L\U+00E9o\U+D83C\U+DF33`, 10, 0, 20, 0, 40, 1, 1, `\M+18EC5`), "Léo🌳|芝|"},
		{"signs", "AC1015", "ANSI_1252", pairs(0, "TEXT", 8, "A", 10, 0, 20, 0, 40, 1, 1, "%%u45%%d%%u %%p2 %%c3 50%%% 5%% %%065^ x"), "A|45° ±2 ⌀3 50% 5%% A^x|"},
		{"mtext", "AC1015", "ANSI_1252", pairs(0, "MTEXT", 8, "A", 10, 0, 20, 0, 40, 1, 3, `{\fArial|b0|i0;\H2.5x;Lawn`, 1, ` one}\Psecond \C1;line\~\S1/2; \\ \{x\}`), "A|Lawn one|Lawn one\nsecond line\u00a01/2 \\ {x}"},
		{"mtext split inside a character", "AC1021", "ANSI_1252", pairs(0, "MTEXT", 8, "A", 10, 0, 20, 0, 40, 1, 3, "a\xc3", 1, "\xb8b"), "A|aøb|"},
	} {
		text := head(c.version, c.page) + sectionOf("ENTITIES", c.entity) + pairs(0, "EOF")
		p, _ := read(t, text, wire.ReadOptions{})
		f := p.Features[0]
		if got := f.Attributes.Get(schema.PropLayer).Text() + "|" + f.Name + "|" + f.Attributes.Get(schema.PropNote).Text(); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
	// A justified TEXT stands at its second point; heights and angles follow
	// blocks.
	p, _ := read(t, withBlocks(blockOf("B", 0, 0, pairs(0, "TEXT", 8, "A", 10, 0, 20, 0, 11, 3, 21, 0, 40, 0.5, 72, 1, 1, "t", 50, 10)),
		pairs(0, "INSERT", 8, "A", 2, "B", 10, 0, 20, 0, 41, 2, 42, 2, 50, 90)), wire.ReadOptions{})
	f := p.Features[1]
	near(t, "justified text", f.Geometry, 0, 6)
	if h, _ := f.Float(schema.PropTextHeight); math.Abs(h-1) > 1e-12 {
		t.Errorf("height %g", h)
	}
	if r, _ := f.Float(schema.PropRotation); math.Abs(r-100) > 1e-9 {
		t.Errorf("rotation %g", r)
	}
}

func TestAttribs(t *testing.T) {
	p, _ := read(t, withBlocks(blockOf("TREE", 0, 0, pairs(0, "ATTDEF", 8, "0", 10, 0, 20, 0, 40, 1, 1, "?", 2, "NAME", 70, 0)),
		pairs(0, "INSERT", 8, "TREES", 66, 1, 2, "TREE", 10, 5, 20, 6)+pairs(0, "ATTRIB", 8, "0", 10, 0, 20, 0, 40, 1, 1, "Oak 7", 2, "NAME", 70, 0)+
			pairs(0, "ATTRIB", 8, "0", 10, 0, 20, 0, 40, 1, 1, "0.45", 2, "DIAMETER", 70, 0)+pairs(0, "SEQEND", 8, "0")+lineOf("A", 0, 0, 1, 1)), wire.ReadOptions{})
	f := p.Features[0]
	if f.Name != "Oak 7" || f.Attributes.Get(schema.PropAttribs).Fields().Get("DIAMETER").Text() != "0.45" {
		t.Errorf("got %q %s", f.Name, f.Attributes.AppendJSON(nil))
	}
	if len(p.Features) != 2 {
		t.Errorf("%d features", len(p.Features))
	}
}

func TestLayersAndColours(t *testing.T) {
	tables := sectionOf("TABLES", pairs(0, "TABLE", 2, "LAYER", 70, 3)+
		pairs(0, "LAYER", 2, "Lawn", 70, 0, 62, 3, 6, "Continuous")+pairs(0, "LAYER", 2, "Old", 70, 1, 62, 1, 6, "Dashed")+
		pairs(0, "LAYER", 2, "Hidden", 70, 0, 62, -5, 6, "Continuous")+pairs(0, "LAYER", 2, "True", 70, 0, 62, 7, 420, 0x1080ff, 290, 1)+pairs(0, "LAYER", 2, "Guide", 70, 0, 62, 8, 290, 0)+pairs(0, "ENDTAB"))
	text := metres + tables + sectionOf("ENTITIES", lineOf("LAWN", 0, 0, 9, 9)+lineOf("Old", 0, 0, 9, 9)+lineOf("Hidden", 0, 0, 9, 9)+lineOf("True", 0, 0, 9, 9)+lineOf("Guide", 0, 0, 9, 9)+
		pairs(0, "LINE", 5, "2A", 8, "Lawn", 62, 30, 6, "DOT", 60, 1, 39, 2.5, 10, 0, 20, 0, 11, 9, 21, 9)) + pairs(0, "EOF")
	p, _ := read(t, text, wire.ReadOptions{})
	var got []string
	for _, f := range p.Features {
		got = append(got, string(f.Attributes.AppendJSON(nil)))
	}
	want := `{"layer":"Lawn","entity":"LINE","colour":3}
{"layer":"Old","layer_state":"frozen","entity":"LINE","colour":1,"linetype":"Dashed"}
{"layer":"Hidden","layer_state":"off","entity":"LINE","colour":5}
{"layer":"True","entity":"LINE","colour":"#1080ff"}
{"layer":"Guide","layer_state":"noplot","entity":"LINE","colour":8}
{"layer":"Lawn","entity":"LINE","colour":30,"linetype":"DOT","handle":"2A","hidden":true,"thickness_m":2.5}`
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("got\n%s\nwant\n%s", s, want)
	}
}

func TestHatches(t *testing.T) {
	square := func(flags int, x, y, size float64) []any {
		return []any{92, flags | 2, 72, 0, 73, 1, 93, 4, 10, x, 20, y, 10, x + size, 20, y, 10, x + size, 20, y + size, 10, x, 20, y + size, 97, 0}
	}
	hatch := func(style int, paths ...[]any) string {
		list := []any{0, "HATCH", 8, "A", 10, 0, 20, 0, 30, 0, 210, 0, 220, 0, 230, 1, 2, "SOLID", 70, 1, 71, 0, 91, len(paths)}
		for _, p := range paths {
			list = append(list, p...)
		}
		return pairs(append(list, 75, style, 76, 1, 98, 1, 10, 3, 20, 3)...)
	}
	four := [][]any{square(0, 2, 2, 6), square(1, 0, 0, 10), square(0, 3, 3, 1), square(1, 20, 0, 5)}
	edges := []any{92, 1, 93, 3, 72, 1, 10, 0, 20, 0, 11, 10, 21, 0, 72, 2, 10, 10, 20, 2, 40, 2, 50, 270, 51, 90, 73, 1, 72, 1, 10, 10, 20, 4, 11, 0, 21, 0, 97, 0}
	clockwise := []any{92, 1, 93, 2, 72, 1, 10, 4, 20, 0, 11, 0, 21, 0, 72, 2, 10, 2, 20, 0, 40, 2, 50, 180, 51, 360, 73, 0, 97, 0}
	quarter := []any{92, 1, 93, 3, 72, 1, 10, -2, 20, 0, 11, 0, 21, 0, 72, 1, 10, 0, 20, 0, 11, 0, 21, -2, 72, 2, 10, 0, 20, 0, 40, 2, 50, 90, 51, 180, 73, 0, 97, 0}
	ellipse := []any{92, 1, 93, 1, 72, 3, 10, 0, 20, 0, 11, 6, 21, 0, 40, 0.5, 50, 0, 51, 360, 73, 1, 97, 0}
	box := square(8, 1, 1, 1)
	for _, c := range []struct {
		name, entity string
		area         float64
		kind         string
		rings        int
	}{
		{"nested", hatch(0, four...), 100 - 36 + 1 + 25, "*geom.MultiPolygon", 4},
		{"outermost only", hatch(1, four...), 100 - 36 + 25, "*geom.MultiPolygon", 3},
		{"holes ignored", hatch(2, four...), 125, "*geom.MultiPolygon", 2},
		{"one hole", hatch(0, four[:2]...), 64, "*geom.Polygon", 2},
		{"box of a text", hatch(0, four[1], box), 100, "*geom.Polygon", 1},
		{"edges with an arc", hatch(0, edges), 20 + math.Pi*2, "*geom.Polygon", 1},
		// Clockwise angles count clockwise: from the angle -180 to -360, which
		// is the upper half.
		{"clockwise arc", hatch(0, clockwise), math.Pi * 2, "*geom.Polygon", 1},
		{"clockwise quarter", hatch(0, quarter), math.Pi, "*geom.Polygon", 1}, // from -90 to -180
		{"ellipse edge", hatch(0, ellipse), math.Pi * 18, "*geom.Polygon", 1},
	} {
		p, w := read(t, drawing(c.entity), wire.ReadOptions{ChordM: 1e-5})
		if s := kinds(w); s != "" && s != "hatch-textbox:1" {
			t.Errorf("%s: warnings %s", c.name, s)
		}
		if len(p.Features) != 1 {
			t.Errorf("%s: %d features", c.name, len(p.Features))
			continue
		}
		area, rings := 0.0, 0
		g := p.Features[0].Geometry
		add := func(polygon *geom.Polygon) {
			for i := 0; i < polygon.NumLinearRings(); i++ {
				flat := polygon.LinearRing(i).FlatCoords()
				if !schema.IsClosed(flat, 2) {
					t.Errorf("%s: ring %d is open", c.name, i)
				}
				a := math.Abs(schema.TwiceArea(flat, 2)) / 2
				if i > 0 {
					a = -a
				}
				area += a
				rings++
			}
		}
		switch g := g.(type) {
		case *geom.Polygon:
			add(g)
		case *geom.MultiPolygon:
			for i := 0; i < g.NumPolygons(); i++ {
				add(g.Polygon(i))
			}
		}
		if kind := fmt.Sprintf("%T", g); kind != c.kind || rings != c.rings || math.Abs(area-c.area) > 1e-3 {
			t.Errorf("%s: %s of %d rings and area %g, want %s, %d, %g", c.name, kind, rings, area, c.kind, c.rings, c.area)
		}
	}
	p, _ := read(t, drawing(hatch(0, clockwise)), wire.ReadOptions{})
	top := 0.0
	for i, v := range p.Features[0].Geometry.FlatCoords() {
		if i%2 == 1 {
			top = math.Max(top, v)
		}
	}
	if math.Abs(top-2) > 0.01 {
		t.Errorf("a clockwise arc from 180 to 360 reaches up to %g, want 2", top)
	}
}

func TestUnits(t *testing.T) {
	with := func(header string) []byte {
		return []byte(sectionOf("HEADER", header) + sectionOf("ENTITIES", lineOf("A", 0, 0, 3000, 4000)) + pairs(0, "EOF"))
	}
	length := func(o wire.ReadOptions, header string) float64 {
		t.Helper()
		p, _, err := Read(with(header), o)
		if err != nil {
			t.Fatal(err)
		}
		flat := p.Features[0].Geometry.FlatCoords()
		return math.Hypot(flat[2], flat[3])
	}
	for _, c := range []struct {
		header, unit string
		want         float64
	}{
		{pairs(9, "$INSUNITS", 70, 4), "", 5},
		{pairs(9, "$INSUNITS", 70, 5), "", 50},
		{pairs(9, "$INSUNITS", 70, 6), "", 5000},
		{pairs(9, "$INSUNITS", 70, 1), "", 127},
		{pairs(9, "$INSUNITS", 70, 2), "", 1524},
		{pairs(9, "$INSUNITS", 70, 21), "", 5000 * 1200.0 / 3937},
		{pairs(9, "$INSUNITS", 70, 1), "mm", 5},
		{pairs(9, "$INSUNITS", 70, 0), "m", 5000},
		{"", "ft", 1524},
		{"", "ftUS", 5000 * 1200.0 / 3937},
		{"", "in", 127},
		{"", "cm", 50},
	} {
		if got := length(wire.ReadOptions{Unit: c.unit}, c.header); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("header %q, unit %q: %.9f m, want %.9f", c.header, c.unit, got, c.want)
		}
	}
	for _, c := range []struct{ header, unit, problem string }{
		{"", "", "the drawing does not say what its unit is: $INSUNITS is missing"},
		{pairs(9, "$INSUNITS", 70, 0, 9, "$MEASUREMENT", 70, 1), "", "the drawing does not say what its unit is: $INSUNITS is 0 (its $MEASUREMENT says metric)"},
		{pairs(9, "$INSUNITS", 70, 99), "", "the drawing's unit, $INSUNITS 99, is not one of the format's"},
		{"", "furlong", `there is no unit called "furlong"; the units are m, mm, cm, ft, ftUS, in, or a number of metres such as 0.2`},
	} {
		in := refusal(t, with(c.header), wire.ReadOptions{Unit: c.unit})
		if in.Problem != c.problem {
			t.Errorf("got %q, want %q", in.Problem, c.problem)
		}
		if c.unit == "" && !strings.Contains(in.Mend, "--units") {
			t.Errorf("the mend is %q", in.Mend)
		}
		if inv, err := Look(with(c.header), wire.ReadOptions{}); err != nil || inv.Extent.Max != [2]float64{3000, 4000} {
			t.Errorf("Look on a drawing without a unit: %+v %v", inv, err)
		}
	}
	p, w, err := Read(with(pairs(9, "$INSUNITS", 70, 1)), wire.ReadOptions{Unit: "mm"})
	if err != nil || kinds(w) != "unit-overridden:1" {
		t.Errorf("got %v %v", kinds(w), err)
	}
	if got := string(p.Attributes.AppendJSON(nil)); got != `{"drawing":{"unit":"mm","unit_m":0.001,"unit_from":"told","version":""}}` {
		t.Errorf("the plan keeps %s", got)
	}
	if _, w, err := Read(with(pairs(9, "$INSUNITS", 70, 7)), wire.ReadOptions{}); err != nil || kinds(w) != "site-large:1" {
		t.Errorf("a site of 4000 km: %v %v", kinds(w), err)
	}
}

func TestDegreesAreRefused(t *testing.T) {
	text := sectionOf("HEADER", pairs(9, "$INSUNITS", 70, 6)) + sectionOf("ENTITIES", lineOf("A", 9.1234567, 56.1234567, 9.1245678, 56.1239876)) + pairs(0, "EOF")
	in := refusal(t, []byte(text), wire.ReadOptions{})
	if !strings.Contains(in.Problem, "looks as if it held degrees") {
		t.Errorf("got %q", in.Problem)
	}
	if _, w, err := Read([]byte(text), wire.ReadOptions{Unit: "m"}); err != nil || kinds(w) != "degrees:1" {
		t.Errorf("when the unit is told: %v %v", kinds(w), err)
	}
	inv, err := Look([]byte(text), wire.ReadOptions{})
	if err != nil || !inv.Degrees {
		t.Errorf("Look does not see degrees: %v", err)
	}
	// A small thing near 0 is no degrees.
	if _, w, err := Read([]byte(drawing(lineOf("A", 0, 0, 0.2, 0.3))), wire.ReadOptions{}); err != nil || kinds(w) != "site-small:1" {
		t.Errorf("a small thing: %v %v", kinds(w), err)
	}
}

func TestChordErrorOption(t *testing.T) {
	text := drawing(pairs(0, "CIRCLE", 8, "A", 10, 0, 20, 0, 40, 100))
	last := 0
	for _, chord := range []float64{0.5, 0.05, 0, 0.0005} {
		p, _ := read(t, text, wire.ReadOptions{ChordM: chord})
		n := len(p.Features[0].Geometry.FlatCoords()) / 2
		if n <= last {
			t.Errorf("chord error %g: %d vertices, no more than before", chord, n)
		}
		last = n
	}
	if in := refusal(t, []byte(text), wire.ReadOptions{ChordM: -1}); !strings.Contains(in.Problem, "chord error") {
		t.Errorf("got %q", in.Problem)
	}
	if in := refusal(t, []byte(text), wire.ReadOptions{ChordM: math.NaN()}); !strings.Contains(in.Problem, "chord error") {
		t.Errorf("got %q", in.Problem)
	}
}

func TestRefusals(t *testing.T) {
	whole := drawing(lineOf("A", 1, 2, 3, 4))
	for _, c := range []struct {
		name, text string
		line       int
		problem    string
	}{
		{"empty", "", 0, "the file is empty"},
		{"binary cut off", "Anyprog Binary DXF\r\n\x1a\x00\x00\x00SECTION\x00\x02", 0, "the file ends inside a pair of group code and value"},
		{"DWG", "AC1032\x00\x00\x00\x00", 0, "this is a DWG drawing, which is not read"},
		{"no section", pairs(0, "LINE", 10, 1), 0, "no section starts anywhere, so this is no DXF"},
		{"prose", "this is no drawing\nat all\n", 1, `a group code (a whole number) should stand here, got "this is no drawing"`},
		{"cut inside a section", whole[:len(whole)-len(pairs(0, "ENDSEC", 0, "EOF"))], 34, "the file ends inside its section ENTITIES"},
		{"cut after a group code", whole[:strings.Index(whole, " 21\n")+4], 33, "the file ends after a group code, without its value"},
		{"EOF inside a section", strings.Replace(whole, pairs(0, "ENDSEC", 0, "EOF"), pairs(0, "EOF"), 1), 35, "the drawing ends inside its section ENTITIES"},
		{"garbage for a group code", strings.Replace(whole, " 21\n", "2x1\n", 1), 33, `a group code (a whole number) should stand here, got "2x1"`},
		{"garbage for a number", strings.Replace(whole, " 21\n4", " 21\nfour", 1), 33, `group code 21 should be a number, got "four"`},
		{"not a number", strings.Replace(whole, " 21\n4", " 21\nnan", 1), 33, `group code 21 should be a number, got "nan"`},
		{"infinite", strings.Replace(whole, " 21\n4", " 21\n1e999", 1), 33, `group code 21 should be a number, got "1e999"`},
		{"decimal comma", strings.Replace(whole, " 21\n4", " 21\n4,5", 1), 33, `group code 21 should be a number, got "4,5"`},
		{"garbage for a whole number", strings.Replace(whole, "  8\nA", " 62\nred", 1), 25, `group code 62 should be a whole number, got "red"`},
		{"past the range", strings.Replace(whole, " 21\n4", " 21\n1e300", 1), 23, "the LINE draws points past the range of numbers"},
		{"section without a name", pairs(0, "SECTION", 3, "X"), 3, "a section's name (group code 2) should stand here, got group code 3"},
		{"UTF-16", "\xff\xfe0\x00\n\x00", 1, "the text is UTF-16, not UTF-8"},
	} {
		in := refusal(t, []byte(c.text), wire.ReadOptions{})
		if in.Line != c.line || in.Problem != c.problem {
			t.Errorf("%s: line %d: %q, want line %d: %q", c.name, in.Line, in.Problem, c.line, c.problem)
		}
	}
}

// TestOutsideAllSections: what stands where nothing is read is told, not what only
// pads a file.
func TestOutsideAllSections(t *testing.T) {
	line := lineOf("A", 0, 0, 1, 1)
	whole := drawing(line)
	end := pairs(0, "EOF")
	for _, c := range []struct{ name, text, want string }{
		{"nothing", whole, ""},
		{"blank lines", whole + " \r\n\x1a\n", ""},
		{"an entity behind the EOF", whole + line, "section-none:1"},
		{"a second drawing", whole + whole, "section-none:1"},
		{"any text behind the EOF", whole + "x", "section-none:1"},
		{"an entity before the EOF", strings.TrimSuffix(whole, end) + line + end, "section-none:1"},
		{"an entity and no EOF", strings.TrimSuffix(whole, end) + line, "eof-missing:1 section-none:1"},
		{"a comment before the EOF", strings.TrimSuffix(whole, end) + pairs(999, line[:3]) + end, ""},
		{"a section of another name", strings.TrimSuffix(whole, end) + sectionOf("Entities", line) + end, "section-unknown:1"},
		{"an empty section of another name", strings.TrimSuffix(whole, end) + sectionOf("MORE", "") + end, ""},
		{"a picture of the drawing", strings.TrimSuffix(whole, end) + sectionOf("THUMBNAILIMAGE", pairs(90, 1, 310, "00")) + end, ""},
		{"the block of the model space", withBlocks(blockOf("*MODEL_SPACE", 0, 0, line), line), "section-none:1"},
		{"the block of the model space, empty", withBlocks(blockOf("*Model_Space", 0, 0, ""), line), ""},
		{"a block of a sheet", withBlocks(blockOf("*Paper_Space", 0, 0, line), line), ""},
	} {
		p, w := read(t, c.text, wire.ReadOptions{})
		var rest []wire.Warning
		for _, x := range w {
			if x.Kind != "site-small" {
				rest = append(rest, x)
			}
			if want := strings.HasPrefix(x.Kind, "section-"); x.Ground() != want {
				t.Errorf("%s: %s: ground %v", c.name, x.Kind, x.Ground())
			}
		}
		if got := kinds(rest); got != c.want || len(p.Features) != 1 {
			t.Errorf("%s: %d features, %q, want %q", c.name, len(p.Features), got, c.want)
		}
	}
}

func TestEveryTruncationIsOneError(t *testing.T) {
	whole := withBlocks(blockOf("B", 0, 0, lineOf("0", 0, 0, 1, 1)), pairs(0, "INSERT", 8, "A", 2, "B", 10, 5, 20, 6)+
		pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 0)+pairs(0, "VERTEX", 10, 0, 20, 0)+pairs(0, "VERTEX", 10, 2, 20, 9)+pairs(0, "SEQEND"))
	end := strings.Index(whole, "EOF")
	for n := 0; n < end-6; n++ {
		_, _, err := Read([]byte(whole[:n]), wire.ReadOptions{})
		in, ok := err.(*wire.InputError)
		if !ok {
			t.Fatalf("cut at %d of %d: %v", n, end, err)
		}
		if in.Problem == "" {
			t.Fatalf("cut at %d: no problem named", n)
		}
	}
}

func TestBlocksThatMisbehave(t *testing.T) {
	itself := blockOf("A", 0, 0, lineOf("0", 0, 0, 1, 1)+pairs(0, "INSERT", 8, "0", 2, "A", 10, 1, 20, 1))
	ring := blockOf("A", 0, 0, pairs(0, "INSERT", 8, "0", 2, "B", 10, 1, 20, 1)) + blockOf("B", 0, 0, lineOf("0", 0, 0, 1, 1)+pairs(0, "INSERT", 8, "0", 2, "A", 10, 1, 20, 1))
	deep := ""
	for i := 0; i < 40; i++ {
		deep += blockOf(fmt.Sprintf("D%d", i), 0, 0, lineOf("0", 0, 0, 1, 1)+pairs(0, "INSERT", 8, "0", 2, fmt.Sprintf("D%d", i+1), 10, 1, 20, 0))
	}
	top := func(name string) string { return pairs(0, "INSERT", 8, "0", 2, name, 10, 50, 20, 50) }
	for _, c := range []struct {
		name, blocks, entity, warnings string
		lines                          int
	}{
		{"itself", itself, top("A"), "block-cycle:1", 1},
		{"ring", ring, top("A"), "block-cycle:1", 1},
		{"deep", deep, top("D0"), "block-depth:1", 16},
		{"missing", "", top("NOWHERE"), "block-missing:1", 0},
		{"scale of 0", blockOf("A", 0, 0, lineOf("0", 0, 0, 1, 1)), pairs(0, "INSERT", 8, "0", 2, "A", 10, 50, 20, 50, 41, 0), "block-scale:1", 0},
		{"external", strings.Replace(blockOf("A", 0, 0, ""), " 70\n0", " 70\n4", 1), top("A"), "block-external:1", 0},
		{"twice", blockOf("A", 0, 0, lineOf("0", 0, 0, 1, 1)) + blockOf("a", 0, 0, ""), top("A"), "block-twice:1", 1},
	} {
		p, w := read(t, withBlocks(c.blocks, c.entity+lineOf("REST", 0, 0, 9, 9)), wire.ReadOptions{})
		lines := 0
		for _, f := range p.Features {
			if f.Attributes.Get(schema.PropEntity).Text() == "LINE" && f.Attributes.Get(schema.PropLayer).Text() == "0" {
				lines++
			}
		}
		if kinds(w) != c.warnings || lines != c.lines {
			t.Errorf("%s: %s and %d lines, want %s and %d", c.name, kinds(w), lines, c.warnings, c.lines)
		}
		if last := p.Features[len(p.Features)-1]; last.Attributes.Get(schema.PropLayer).Text() != "REST" {
			t.Errorf("%s: what comes after is lost", c.name)
		}
	}
}

func TestCaps(t *testing.T) {
	limits := schema.DefaultLimits()
	limits.InputMaxFeatures, limits.InputMaxVertices, limits.InputMaxBytes = 1000, 5000, 1<<20
	// Ten blocks, each of ten inserts of the next: 10^10 lines from a small
	// file.
	bomb := ""
	for i := 0; i < 10; i++ {
		content := ""
		for k := 0; k < 10; k++ {
			content += pairs(0, "INSERT", 8, "0", 2, fmt.Sprintf("B%d", i+1), 10, k, 20, 0)
		}
		bomb += blockOf(fmt.Sprintf("B%d", i), 0, 0, content)
	}
	bomb += blockOf("B10", 0, 0, lineOf("0", 0, 0, 1, 1))
	for _, c := range []struct{ name, text, limit string }{
		{"nested inserts", withBlocks(bomb, pairs(0, "INSERT", 8, "0", 2, "B0", 10, 0, 20, 0)), "input_max_features"},
		{"array", withBlocks(blockOf("B", 0, 0, ""), pairs(0, "INSERT", 8, "0", 2, "B", 10, 0, 20, 0, 70, 32767, 71, 32767)), "input_max_features"},
		{"array of nothing, large enough", withBlocks(blockOf("B", 0, 0, ""), pairs(0, "INSERT", 8, "0", 2, "B", 10, 0, 20, 0, 70, 40, 71, 25)+pairs(0, "INSERT", 8, "0", 2, "B", 10, 0, 20, 0, 70, 40, 71, 25)), "input_max_features"},
		{"huge circle", drawing(pairs(0, "CIRCLE", 8, "A", 10, 0, 20, 0, 40, 1e9)), "input_max_vertices"},
		{"huge ellipse", drawing(pairs(0, "ELLIPSE", 8, "A", 10, 0, 20, 0, 11, 1e9, 21, 0, 40, 0.1, 41, 0, 42, 6.28)), "input_max_vertices"},
		{"huge bulge", drawing(pairs(0, "LWPOLYLINE", 8, "A", 90, 2, 70, 0, 10, 0, 20, 0, 42, 1, 10, 1e9, 20, 0)), "input_max_vertices"},
		{"huge spline", drawing(pairs(0, "SPLINE", 8, "A", 70, 0, 71, 2, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1, 10, 0, 20, 0, 10, 1e12, 20, 1e12, 10, 2e12, 20, 0)), "input_max_vertices"},
		{"too many bytes", drawing(strings.Repeat(lineOf("A", 0, 0, 1, 1), 30000)), "input_max_bytes"},
	} {
		in := refusal(t, []byte(c.text), wire.ReadOptions{Limits: limits})
		if !strings.Contains(in.Problem, c.limit) {
			t.Errorf("%s: %q does not name %s", c.name, in.Problem, c.limit)
		}
	}
}

func TestDetect(t *testing.T) {
	for _, c := range []struct {
		head string
		want bool
	}{
		{pairs(0, "SECTION", 2, "HEADER"), true},
		{pairs(999, "a comment", 0, "SECTION"), true},
		{"AnyProg Binary DXF\r\n\x1a\x00\x00", true},
		{"AC1027\x00\x00", true},
		{"{\"type\":", false},
		{"<kml>", false},
		{"0\n1\n2\n3\n", false},
		{"point,n,e\n1,2,3\n", false},
		{"", false},
	} {
		if got := Detect([]byte(c.head)); got != c.want {
			t.Errorf("%q: %v", c.head, got)
		}
	}
}

func TestLook(t *testing.T) {
	tables := sectionOf("TABLES", pairs(0, "TABLE", 2, "LAYER", 70, 2)+pairs(0, "LAYER", 2, "Lawn", 70, 0, 62, 3)+pairs(0, "LAYER", 2, "Empty", 70, 1, 62, 1)+pairs(0, "ENDTAB"))
	text := sectionOf("HEADER", pairs(9, "$ACADVER", 1, "AC1024", 9, "$DWGCODEPAGE", 3, "ANSI_1252", 9, "$EXTMIN", 10, -1, 20, -2, 30, 0, 9, "$EXTMAX", 10, 50, 20, 60, 30, 0)) + tables +
		sectionOf("BLOCKS", blockOf("TREE", 0, 0, pairs(0, "CIRCLE", 8, "0", 10, 0, 20, 0, 40, 1))+blockOf("UNUSED", 0, 0, "")) +
		sectionOf("ENTITIES", pairs(0, "CIRCLE", 8, "lawn", 10, 10, 20, 10, 40, 5)+pairs(0, "INSERT", 8, "Trees", 2, "TREE", 10, 30, 20, 40)+
			pairs(0, "TEXT", 8, "Lawn", 10, 10, 20, 10, 40, 2.5, 1, "Lawn 1")+pairs(0, "DIMENSION", 8, "Dim")+pairs(0, "LINE", 67, 1, 8, "Frame", 10, 0, 20, 0, 11, 1, 21, 1)) + pairs(0, "EOF")
	inv, err := Look([]byte(text), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if inv.Version != "AC1024" || inv.Release != "R2010" || inv.UnitStated || inv.PaperSpace != 1 || inv.HeaderExtent == nil || inv.HeaderExtent.Max != [2]float64{50, 60} || inv.Own || inv.Heights {
		t.Errorf("got %+v", inv)
	}
	if got := fmt.Sprint(inv.Entities, inv.LeftOut, inv.TextHeights); got != "[{CIRCLE 2} {INSERT 1} {TEXT 1}] [{DIMENSION 1}] [{2.5 1}]" {
		t.Errorf("got %s", got)
	}
	if got := fmt.Sprint(inv.Blocks); got != "[{TREE 1 1 false} {UNUSED 0 0 false}]" {
		t.Errorf("blocks %s", got)
	}
	if inv.Extent.Min != [2]float64{5, 5} || inv.Extent.Max[0] != 31 || math.Abs(inv.Extent.Max[1]-41) > 1e-9 {
		t.Errorf("extent %+v", inv.Extent)
	}
	var layers []string
	for _, l := range inv.Layers {
		layers = append(layers, fmt.Sprintf("%s/%s/%s/%v/%d", l.Name, l.State, l.Colour, l.Entities, l.Closed))
	}
	want := "Lawn//3/[{CIRCLE 1} {TEXT 1}]/1 Empty/frozen/1/[]/0 Trees//7/[{CIRCLE 1} {INSERT 1}]/1"
	if got := strings.Join(layers, " "); !strings.HasPrefix(got, want) {
		t.Errorf("layers %s, want %s ...", got, want)
	}
}

// Heights take the drawing's unit and the scale of blocks, whichever way an
// entity has them; and so they do in a grid whose own unit is not the metre,
// where heights stay metres.
func TestHeightsTakeUnitAndScale(t *testing.T) {
	feet, err := crs.Parse("EPSG:2263")
	if err != nil {
		t.Fatal(err)
	}
	inBlock := pairs(0, "BLOCK", 8, "0", 2, "B", 70, 0, 10, 0, 20, 0, 30, 100, 3, "B") + pairs(0, "LINE", 8, "A", 10, 0, 20, 0, 30, 1100, 11, 1000, 21, 0, 31, 2100) + pairs(0, "ENDBLK")
	for _, c := range []struct {
		name, unit, blocks, entities string
		o                            wire.ReadOptions
		z                            []float64
	}{
		{"a line in mm", "4", "", pairs(0, "LINE", 8, "A", 10, 0, 20, 0, 30, 2500, 11, 1, 21, 1, 31, -500), wire.ReadOptions{}, []float64{2.5, -0.5}},
		{"a polyline at its elevation", "4", "", pairs(0, "LWPOLYLINE", 8, "A", 90, 2, 70, 0, 38, 1500, 10, 0, 20, 0, 10, 9, 20, 9), wire.ReadOptions{}, []float64{1.5, 1.5}},
		{"a polyline in space", "2", "", pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 8) + pairs(0, "VERTEX", 10, 0, 20, 0, 30, 10, 70, 32) + pairs(0, "VERTEX", 10, 2, 20, 0, 30, 20, 70, 32) + pairs(0, "SEQEND"), wire.ReadOptions{}, []float64{3.048, 6.096}},
		{"a point with a told unit", "4", "", pairs(0, "POINT", 8, "A", 10, 0, 20, 0, 30, 7), wire.ReadOptions{Unit: "0.2"}, []float64{1.4}},
		{"a block scaled and lifted", "4", inBlock, pairs(0, "INSERT", 8, "A", 2, "B", 10, 0, 20, 0, 30, 5000, 41, 2, 42, 2, 43, 3), wire.ReadOptions{}, []float64{5 + 3*1, 5 + 3*2}},
		{"a grid in feet", "2", "", pairs(0, "LINE", 8, "A", 10, 1000, 20, 0, 30, 10, 11, 2000, 21, 1, 31, 20), wire.ReadOptions{CRS: feet}, []float64{3.048, 6.096}},
	} {
		text := sectionOf("HEADER", pairs(9, "$ACADVER", 1, "AC1015", 9, "$INSUNITS", 70, c.unit)) + sectionOf("BLOCKS", c.blocks) + sectionOf("ENTITIES", c.entities) + pairs(0, "EOF")
		p, _ := read(t, text, c.o)
		g := p.Features[len(p.Features)-1].Geometry
		if g.Layout() != geom.XYZ {
			t.Errorf("%s: no heights: %s", c.name, wkt(g))
			continue
		}
		for i, want := range c.z {
			if got := g.FlatCoords()[3*i+2]; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: height %d is %.12g m, want %g", c.name, i, got, want)
			}
		}
	}
}
