// LandXML: points, parcels, lines and curves in the order northing, easting;
// units, systems, faults, any bytes. The files are invented, the elements those
// of the schema LandXML-1.2.

package landxml

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

const head = `<?xml version="1.0"?>
<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" version="1.2" date="2024-05-31" time="12:00:00">
<Project name="Invented garden"/>
`

const metric = head + `<Units><Metric areaUnit="squareMeter" linearUnit="meter" volumeUnit="cubicMeter" temperatureUnit="celsius" pressureUnit="HPA"/></Units>
<CoordinateSystem desc="UTM" epsgCode="25832"/>
`

const everything = metric + `<CgPoints name="Control">
<CgPoint name="M1" code="IP" desc="iron pipe">5800000.10 500000.25 12.5</CgPoint>
<CgPoint name="M2">5800010 500010</CgPoint>
<CgPoint name="M3">5800010 500000</CgPoint>
<CgPoint pntRef="M1"/>
</CgPoints>
<Parcels name="Lots"><Parcel name="7" area="150.5" state="existing"><Center>5800005 500005</Center>
<CoordGeom><Line><Start>5800000 500000</Start><End>5800000 500010</End></Line><Line><Start>5800000 500010</Start><End pntRef="M2"/></Line><Line><Start pntRef="M2"/><End>5800000 500000</End></Line></CoordGeom>
<Parcels><Parcel name="7a"><CoordGeom><Chain>M1 M2 M3</Chain></CoordGeom></Parcel></Parcels></Parcel></Parcels>
<PlanFeatures name="Kerbs"><PlanFeature name="bend"><CoordGeom>
<Line><Start>5800000 500000 1</Start><End>5800000 500010 2</End></Line>
<Curve rot="ccw" crvType="arc" radius="10"><Start>5800000 500010 2</Start><Center>5800010 500010</Center><End>5800010 500020 4</End></Curve>
<IrregularLine><Start>5800010 500020</Start><End>5800030 500020</End><PntList2D>5800010 500020 5800020 500021 5800030 500020</PntList2D></IrregularLine>
</CoordGeom></PlanFeature></PlanFeatures>
<Surfaces><Surface name="ground"/></Surfaces>
</LandXML>`

func TestRead(t *testing.T) {
	p, warnings, err := Read([]byte(everything), wire.ReadOptions{Name: "a.xml", ChordM: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	if p.Name != "Invented garden" || p.CRS == nil || p.CRS.ID() != "EPSG:25832" || len(p.Features) != 6 {
		t.Fatalf("%q %v %d", p.Name, p.CRS, len(p.Features))
	}
	var kinds []string
	for _, w := range warnings {
		kinds = append(kinds, w.Kind)
	}
	if got := strings.Join(kinds, " "); got != "parcel-open element-left-out" {
		t.Errorf("%s: %+v", got, warnings)
	}
	m1 := p.Features[0]
	if got := fmt.Sprint(m1.Name, m1.Geometry.FlatCoords(), string(m1.Attributes.AppendJSON(nil))); got != `M1[500000.25 5.8000001e+06 12.5]{"code":"IP","desc":"iron pipe","layer":"Control","entity":"CgPoint"}` {
		t.Error(got)
	}
	open, lot := p.Features[3], p.Features[4]
	if lot.Name != "7" || open.Name != "7a" {
		t.Fatalf("%q %q", open.Name, lot.Name)
	}
	if g, ok := lot.Geometry.(*geom.Polygon); !ok || fmt.Sprint(g.FlatCoords()) != "[500000 5.8e+06 500010 5.8e+06 500010 5.80001e+06 500000 5.8e+06]" {
		t.Errorf("%T %v", lot.Geometry, lot.Geometry.FlatCoords())
	}
	if v, ok := lot.Float("area"); !ok || v != 150.5 {
		t.Errorf("%v", lot.Attributes)
	}
	if _, ok := open.Geometry.(*geom.LineString); !ok || open.Geometry.FlatCoords()[2] != 12.5 {
		t.Errorf("%T %v", open.Geometry, open.Geometry.FlatCoords())
	}
	// The bend: every point of the arc lies on it, no chord leaves it by more
	// than 0.01 m, heights run from 2 to 4.
	flat := p.Features[5].Geometry.FlatCoords()
	onArc := 0
	for i := 3; i < len(flat) && flat[i+1] <= 5800010+1e-9; i += 3 {
		if r := math.Hypot(flat[i]-500010, flat[i+1]-5800010); math.Abs(r-10) > 1e-8 {
			t.Errorf("vertex %d is %v from the centre", i/3, r)
		}
		if onArc > 0 {
			mx, my := (flat[i]+flat[i-3])/2-500010, (flat[i+1]+flat[i-2])/2-5800010
			if d := 10 - math.Hypot(mx, my); d > 0.01+1e-9 || d < 0.004 {
				t.Errorf("a chord leaves the arc by %v", d)
			}
		}
		onArc++
	}
	if onArc < 10 || flat[len(flat)-3] != 500020 || !math.IsNaN(flat[len(flat)-1]) {
		t.Errorf("%d points on the arc: %v", onArc, flat)
	}
}

func curveText(rot string) string {
	return metric + `<PlanFeatures><PlanFeature name="x"><CoordGeom><Curve rot="` + rot + `"><Start>0 10</Start><Center>0 0</Center><End>10 0</End></Curve></CoordGeom></PlanFeature></PlanFeatures></LandXML>`
}

// TestTurns: from east to north it is a quarter anticlockwise, three quarters
// clockwise.
func TestTurns(t *testing.T) {
	for rot, want := range map[string]float64{"ccw": 1, "cw": 3} {
		p, _, err := Read([]byte(curveText(rot)), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		g := p.Features[0].Geometry.(*geom.LineString)
		if quarters := g.Length() / (5 * math.Pi); math.Abs(quarters-want) > 0.01 {
			t.Errorf("%s: %v quarters", rot, quarters)
		}
	}
}

func TestUnits(t *testing.T) {
	point := `<CgPoints><CgPoint name="a">100 200 3</CgPoint></CgPoints></LandXML>`
	feet, err := crs.Parse("EPSG:2263") // in US survey feet
	if err != nil {
		t.Fatal(err)
	}
	const us = 1200.0 / 3937
	for _, tt := range []struct {
		units string
		o     wire.ReadOptions
		e, h  float64
	}{
		{`<Metric linearUnit="meter"/>`, wire.ReadOptions{}, 200, 3},
		{`<Metric linearUnit="millimeter"/>`, wire.ReadOptions{}, 0.2, 0.003},
		{`<Imperial linearUnit="foot"/>`, wire.ReadOptions{}, 200 * 0.3048, 3 * 0.3048},
		{`<Imperial linearUnit="USSurveyFoot"/>`, wire.ReadOptions{}, 200 * us, 3 * us},
		{`<Imperial linearUnit="USSurveyFoot"/>`, wire.ReadOptions{CRS: feet}, 200, 3 * us},
		{`<Metric linearUnit="meter"/>`, wire.ReadOptions{CRS: feet}, 200 / us, 3},
		{`<Metric linearUnit="meter"/>`, wire.ReadOptions{Unit: "ft"}, 200 * 0.3048, 3 * 0.3048},
		{``, wire.ReadOptions{Unit: "m"}, 200, 3},
	} {
		p, _, err := Read([]byte(head+"<Units>"+tt.units+"</Units>"+point), tt.o)
		if err != nil {
			t.Errorf("%s: %v", tt.units, err)
			continue
		}
		if flat := p.Features[0].Geometry.FlatCoords(); math.Abs(flat[0]-tt.e) > 1e-9 || math.Abs(flat[1]-tt.e/2) > 1e-9 || math.Abs(flat[2]-tt.h) > 1e-9 {
			t.Errorf("%s %v: %v", tt.units, tt.o.Unit, flat)
		}
	}
}

func TestHoles(t *testing.T) {
	square := func(n, e, size float64) string {
		return fmt.Sprintf("<CoordGeom><IrregularLine><PntList2D>%g %g %g %g %g %g %g %g %g %g</PntList2D></IrregularLine></CoordGeom>", n, e, n, e+size, n+size, e+size, n+size, e, n, e)
	}
	p, _, err := Read([]byte(metric+`<Parcels><Parcel name="a">`+square(2, 2, 1)+square(0, 0, 10)+square(0, 20, 5)+`</Parcel></Parcels></LandXML>`), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if g, ok := p.Features[0].Geometry.(*geom.MultiPolygon); !ok || fmt.Sprint(g.Endss()) != "[[10 20] [30]]" {
		t.Errorf("%T %v", p.Features[0].Geometry, p.Features[0].Geometry.FlatCoords())
	}
}

func TestRefusals(t *testing.T) {
	small := schema.DefaultLimits()
	small.InputMaxFeatures, small.InputMaxVertices = 2, 5
	for _, tt := range []struct {
		text, want string
		limits     schema.Limits
	}{
		{"", "x: the file is empty", schema.Limits{}},
		{"<gpx/>", "x:1:1: the root element is gpx, not LandXML", schema.Limits{}},
		{metric + "</LandXML>", "x: the file holds no points, parcels", schema.Limits{}},
		{head + `<CgPoints><CgPoint name="a">1 2</CgPoint></CgPoints></LandXML>`, "x: the file does not say its unit (element Units); name it with --units", schema.Limits{}},
		{head + `<Units><Metric linearUnit="cubit"/></Units></LandXML>`, `the linear unit "cubit" is none that is known`, schema.Limits{}},
		{strings.Replace(everything, `epsgCode="25832"`, `epsgCode="99"`, 1), "x:5:1: ", schema.Limits{}},
		{strings.Replace(everything, "5800010 500010</CgPoint>", "5800010</CgPoint>", 1), "x:8:1: a place has northing, easting and perhaps elevation; it has 1 numbers", schema.Limits{}},
		{strings.Replace(everything, "M1 M2 M3", "M1 M9", 1), `there is no point "M9"`, schema.Limits{}},
		{strings.Replace(everything, "5800010 500000<", "5800010 5o0000<", 1), `a number should stand where "5o0000" does`, schema.Limits{}},
		{strings.Replace(everything, "<Center>5800010 500010</Center>", "", 1), "the curve has no centre", schema.Limits{}},
		{curveText("left"), `the curve's rot should be cw or ccw, got "left"`, schema.Limits{}},
		{everything[:len(everything)-30], "x:", schema.Limits{}},
		{everything, "input_max_features (2)", small},
		{curveText("cw"), "input_max_vertices (5)", small},
	} {
		_, _, err := Read([]byte(tt.text), wire.ReadOptions{Name: "x", Limits: tt.limits})
		var in *wire.InputError
		if !errors.As(err, &in) || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%v, want %s", err, tt.want)
		}
	}
	if !Detect([]byte(everything)) || Detect([]byte("<gpx/>")) || Detect(nil) {
		t.Error("detection")
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(everything))
	f.Add([]byte(curveText("cw")))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := Read(data, wire.ReadOptions{Name: "x"})
		var in *wire.InputError
		if err != nil && (!errors.As(err, &in) || in.Problem == "") {
			t.Fatalf("no clear error: %q", err)
		}
		if err == nil && len(p.Features) == 0 {
			t.Fatal("no feature and no error")
		}
	})
}

// TestDrawnElsewhere: a list of points in an element that nobody reads is told.
func TestDrawnElsewhere(t *testing.T) {
	for _, x := range []struct {
		element string
		told    bool
	}{
		{"<Zones><Zone><PntList2D>5800000 500000 5800010 500000 5800010 500010</PntList2D></Zone></Zones>", true},
		{"<Feature><CoordGeom><Line><Start>5800000 500000</Start><End>5800000 500010</End></Line></CoordGeom></Feature>", true},
		{"<Feature><Property label=\"a\" value=\"5800000 500000\"/></Feature>", false},
	} {
		_, warnings, err := Read([]byte(strings.Replace(everything, "<Surfaces>", x.element+"<Surfaces>", 1)), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "drawn-elsewhere" && w.Ground() && w.Line > 0
		}
		if told != x.told {
			t.Errorf("%s: %+v", x.element, warnings)
		}
	}
}

// TestWithinAnOutline: what stands in or beside an outline and is not read is
// told; what a program says of it is read.
func TestWithinAnOutline(t *testing.T) {
	const lines = "<CoordGeom><Line><Start>5800000 500000</Start><End>5800000 500010</End></Line>%s</CoordGeom>%s"
	for _, x := range []struct{ inside, beside, kind, says string }{
		{"", "", "", ""},
		{"<Arc><Start>5800000 500010</Start></Arc>", "", "segment-unknown", ""},
		{"<Feature code=\"a\"/>", "", "", ""},
		{"", "<PntList2D>5800000 500000 5800010 500000</PntList2D>", "drawn-elsewhere", ""},
		{"", "<Feature code=\"x\"><Property label=\"hazard\" value=\"pond\"/></Feature>", "", "pond"},
		{"", "<Feature><Property label=\"name\" value=\"other\"/></Feature>", "", ""}, // its own name holds
	} {
		feature := "<PlanFeatures><PlanFeature name=\"P\">" + fmt.Sprintf(lines, x.inside, x.beside) + "</PlanFeature></PlanFeatures><Surfaces>"
		p, warnings, err := Read([]byte(strings.Replace(everything, "<Surfaces>", feature, 1)), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		kind := ""
		for _, w := range warnings {
			if w.Kind == "segment-unknown" || w.Kind == "drawn-elsewhere" {
				if kind += w.Kind; !w.Ground() {
					t.Errorf("%s is not told as what the plan lacks", w.Kind)
				}
			}
		}
		f := p.Features[len(p.Features)-1]
		if kind != x.kind || f.Name != "P" || f.Attributes.Get("hazard").Text() != x.says {
			t.Errorf("%+v: %q, %q %s", x, kind, f.Name, f.Attributes.AppendJSON(nil))
		}
	}
}
