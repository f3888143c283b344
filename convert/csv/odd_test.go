// Plans at the edges of what the model holds: they survive both layouts too.

package csv

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

var update = flag.Bool("update", false, "write the golden files anew")

var nan = math.NaN()

func number(t testing.TB, text string) schema.Value {
	t.Helper()
	v, ok := schema.Number(text)
	if !ok {
		t.Fatalf("%s is no number", text)
	}
	return v
}

// everyGeometry is each type, empty ones and mixed heights included.
func everyGeometry() []geom.T {
	collection := func(parts ...geom.T) geom.T { return geom.NewGeometryCollection().MustPush(parts...) }
	xy, xyz := geom.XY, geom.XYZ
	return []geom.T{
		nil,
		geom.NewPointFlat(xy, []float64{9, 56}),
		geom.NewPointFlat(xyz, []float64{9, 56, 0}),
		geom.NewPointFlat(xyz, []float64{9, 56, nan}),
		geom.NewPointEmpty(xy),
		geom.NewPointEmpty(xyz),
		geom.NewLineStringFlat(xy, []float64{9, 56, 9.1, 56.1}),
		geom.NewLineStringFlat(xy, []float64{9, 56}),
		geom.NewLineStringFlat(xyz, []float64{9, 56, nan, 9.1, 56.1, -1.5, 9.2, 56, 0}),
		geom.NewLineStringFlat(xy, nil),
		geom.NewLinearRingFlat(xy, []float64{9, 56, 9.1, 56, 9, 56.1, 9, 56}),
		geom.NewPolygonFlat(xy, []float64{9, 56, 9.2, 56, 9, 56.2, 9, 56, 9.01, 56.01, 9.01, 56.02, 9.02, 56.01, 9.01, 56.01}, []int{8, 16}),
		geom.NewPolygonFlat(xy, nil, nil),
		geom.NewPolygonFlat(xy, nil, []int{0}),
		geom.NewPolygonFlat(xy, []float64{9, 56, 9.2, 56, 9, 56.2, 9, 56}, []int{8, 8}),
		geom.NewMultiPointFlat(xy, []float64{9, 56, 9.1, 56}),
		geom.NewMultiPointFlat(xyz, []float64{9, 56, nan, 9.1, 56, 3}),
		geom.NewMultiPointFlat(xy, []float64{9, 56}),
		geom.NewMultiPointFlat(xy, nil),
		geom.NewMultiPointFlat(xy, []float64{9, 56, 9.1, 56}, geom.NewMultiPointFlatOptionWithEnds([]int{0, 2, 2, 4, 4})),
		geom.NewMultiPointFlat(xy, nil, geom.NewMultiPointFlatOptionWithEnds([]int{0, 0})),
		geom.NewMultiLineStringFlat(xy, []float64{9, 56, 9.1, 56, 9, 57, 9.1, 57}, []int{4, 8}),
		geom.NewMultiLineStringFlat(xy, []float64{9, 56, 9.1, 56}, []int{4}),
		geom.NewMultiLineStringFlat(xy, []float64{9, 56, 9.1, 56}, []int{0, 4, 4}),
		geom.NewMultiLineStringFlat(xy, nil, nil),
		geom.NewMultiPolygonFlat(xy, []float64{9, 56, 9.2, 56, 9, 56.2, 9, 56, 9.5, 56, 9.7, 56, 9.5, 56.2, 9.5, 56}, [][]int{{8}, {16}}),
		geom.NewMultiPolygonFlat(xy, []float64{9, 56, 9.2, 56, 9, 56.2, 9, 56}, [][]int{{}, {8}, {}}),
		geom.NewMultiPolygonFlat(xy, nil, [][]int{{}}),
		geom.NewMultiPolygonFlat(xy, nil, nil),
		collection(),
		collection(geom.NewPointFlat(xy, []float64{9, 56}), geom.NewLineStringFlat(xyz, []float64{9, 56, 1, 9.1, 56, nan})),
		collection(geom.NewPointEmpty(xy), collection(collection(), geom.NewMultiPointFlat(xy, []float64{9, 56, 9.1, 56})), geom.NewPolygonFlat(xy, nil, nil)),
		collection(geom.NewMultiPolygonFlat(xy, []float64{9, 56, 9.2, 56, 9, 56.2, 9, 56}, [][]int{{8}, {}}), geom.NewLinearRingFlat(xy, []float64{9, 56, 9.1, 56, 9, 56})),
	}
}

// oddTexts are texts that a cell could be mistaken in.
func oddTexts() []string {
	return []string{
		"", " ", "  x ", "\t", "\n", "\r\n", "\r", "a\r\nb", "a\x00b", "\x01", "\x1f\x7f", "\ufeff", "\ufffe", "\uffff", "\u0085", "\u2028",
		"5", "-0", "1e5", "007", "0x10", ".5", "5.", "NaN", "null", "true", "false", "TRUE", `""`, `"`, `"x"`, `"x" `, `"\u0041"`, "[]", "[1", "{}", `{"a":1}`, " [1]",
		"=1+1", "@x", "+5", "-5", "'5", "a,b", "a;b", "a\tb", "a|b", `a"b`, "1,5", "12°30'N", "attr:x", "attr:", "plan", "zone", "sep=;", "#x", "😀",
	}
}

// oddKeys are keys that a header could be mistaken in.
func oddKeys() []string {
	return []string{
		"", " ", "id", "ID", " id", "Id ", "role", "name", "Name", "wkt", "geometry", "crs", "epsg", "part", "Part", "ring", "seq", "lon", "lat", "longitude", "Breite", "e", "n", "E", "x", "y", "X",
		"h", "z", "height", "height_m", "epoch", "code", "point", "no", "attribute_order", "Attribute Order", "attr:", "attr:x", "attr:attr:", `"q"`, `attr:"q"`, "a,b", "a\nb", "a\rb", "a\x01b", "column 3", "plan", "größe", "Höhe",
	}
}

func feature(g geom.T) *schema.Feature { return &schema.Feature{Role: schema.RoleOther, Geometry: g} }

func oddPlans(t testing.TB) map[string]*schema.Plan {
	t.Helper()
	driven := schema.Source{Winding: schema.WindingDriven}
	plans := map[string]*schema.Plan{
		"nothing at all": {},
		"a CRS alone":    {CRS: crs.WGS84()},
		"a name alone":   {Name: "007"},
	}
	for name, system := range map[string]string{"degrees": "OGC:CRS84", "EPSG degrees": "EPSG:4326", "grid": "EPSG:25832", "feet": "EPSG:2229", "site": "site:lat=56.95;lon=11.2;h=45", "unknown": ""} {
		p := &schema.Plan{Source: driven}
		if system != "" {
			p.CRS = mustCRS(t, system)
		}
		for _, g := range everyGeometry() {
			p.Features = append(p.Features, feature(g))
		}
		plans["every geometry, "+name] = p
	}
	for i, g := range everyGeometry() { // alone, so that a points file needs no wkt column for another's sake
		plans["geometry "+string(appendInt(nil, i))] = &schema.Plan{CRS: crs.WGS84(), Source: driven, Features: []*schema.Feature{feature(g), feature(g)}}
	}
	texts := &schema.Plan{Name: " \x02 name", CRS: crs.WGS84(), Epoch: 2026.123456789}
	for _, s := range oddTexts() {
		texts.Features = append(texts.Features, &schema.Feature{ID: schema.String(s), Name: s, Role: schema.RoleOther, Geometry: geom.NewPointFlat(geom.XY, []float64{9, 56}), Attributes: schema.Attributes{
			{Key: "s", Value: schema.String(s)}, {Key: "list", Value: schema.List(schema.String(s), schema.Null())}, {Key: "object", Value: schema.Object(schema.Attributes{{Key: s, Value: schema.String(s)}})},
		}})
	}
	plans["odd texts"] = texts
	keys := &schema.Plan{CRS: crs.WGS84()}
	backwards := schema.Attributes{}
	for i, key := range oddKeys() {
		a := schema.Attribute{Key: key, Value: schema.Int(int64(i))}
		keys.Attributes = append(keys.Attributes, a)
		backwards = append(schema.Attributes{a}, backwards...)
		keys.Features = append(keys.Features, &schema.Feature{Role: schema.RoleZone, Attributes: schema.Attributes{a}})
	}
	keys.Features = append(keys.Features, &schema.Feature{Role: schema.RoleOther, Attributes: backwards})
	plans["odd keys"] = keys
	keysAndEpoch := *keys
	keysAndEpoch.Epoch = 2020.5
	plans["odd keys and an epoch"] = &keysAndEpoch
	plans["epoch shared with a base"] = &schema.Plan{CRS: crs.WGS84(), Epoch: 2020, Features: []*schema.Feature{
		{Role: schema.RoleBase, Attributes: schema.Attributes{{Key: "epoch", Value: schema.Float(2010)}}}}}
	var ids []*schema.Feature
	for _, id := range []schema.Value{{}, schema.Int(1), schema.Int(1), schema.String("1"), number(t, "1.0"), number(t, "1e300"), schema.String("1e400"), schema.String(""), {}, number(t, "12345678901234567890"), schema.String("x"), schema.String("x")} {
		for _, g := range everyGeometry()[:9] {
			ids = append(ids, &schema.Feature{ID: id, Role: schema.RoleZone, Geometry: g}, &schema.Feature{ID: id, Role: schema.RoleZone, Geometry: g})
		}
	}
	plans["ids twice and absent"] = &schema.Plan{CRS: crs.WGS84(), Features: ids}
	return plans
}

func TestOddPlansSurvive(t *testing.T) {
	for name, p := range oddPlans(t) {
		t.Run(name, func(t *testing.T) {
			roundTrip(t, p, LayoutWKT)
			roundTrip(t, p, LayoutPoints)
		})
	}
}

// An attribute without a value is no attribute.
func TestAbsentValuesAreLeftOut(t *testing.T) {
	p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleOther, Attributes: schema.Attributes{{Key: "a"}, {Key: "b", Value: schema.Null()}}}}}
	q := mustRead(t, mustWrite(t, p, LayoutWKT))
	if got := string(q.Features[0].Attributes.AppendJSON(nil)); got != `{"b":null}` {
		t.Errorf("got %s", got)
	}
}

func TestLosses(t *testing.T) {
	p := &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingDriven}, Features: []*schema.Feature{
		feature(geom.NewPointFlat(geom.XYZM, []float64{9, 56, 1, 7})),
		{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, []float64{9, 56, 9, 57, 10, 56}, []int{6})},        // open
		{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, []float64{9, 56, 10, 56, 9, 57, 9, 56}, []int{8})}, // anticlockwise
	}}
	for _, layout := range []string{LayoutWKT, LayoutPoints} {
		var out bytes.Buffer
		losses, err := Write(&out, p, wire.WriteOptions{Layout: layout})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		for _, l := range losses {
			kinds = append(kinds, l.Kind)
		}
		if got := strings.Join(kinds, " "); got != "measure ring-closed ring-reversed" {
			t.Errorf("%s: lost %s", layout, got)
		}
		q := mustRead(t, out.Bytes())
		for _, f := range q.Features[1:] {
			flat := f.Geometry.FlatCoords()
			if flat[0] != 9 || flat[1] != 56 || !schema.IsClosed(flat, 2) || schema.TwiceArea(flat, 2) > 0 {
				t.Errorf("%s: ring %v", layout, flat)
			}
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	at := func(x, y float64) *schema.Plan {
		return &schema.Plan{Features: []*schema.Feature{feature(geom.NewLineStringFlat(geom.XY, []float64{1, 2, x, y}))}}
	}
	for name, p := range map[string]*schema.Plan{"NaN": at(nan, 1), "Inf": at(1, math.Inf(1)), "a height": {Features: []*schema.Feature{feature(geom.NewPointFlat(geom.XYZ, []float64{1, 2, math.Inf(1)}))}}} {
		for _, layout := range []string{LayoutWKT, LayoutPoints} {
			if _, err := Write(&bytes.Buffer{}, p, wire.WriteOptions{Layout: layout}); err == nil {
				t.Errorf("%s was written as %s", name, layout)
			}
		}
	}
	if _, err := Write(&bytes.Buffer{}, &schema.Plan{}, wire.WriteOptions{Layout: "rows"}); err == nil || !strings.Contains(err.Error(), `no layout "rows"`) {
		t.Errorf("an unknown layout: %v", err)
	}
	if _, err := Write(brokenPipe{}, &schema.Plan{}, wire.WriteOptions{}); err == nil {
		t.Error("a writer that fails was not noticed")
	}
}

type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, os.ErrClosed }

// demo is a small invented plan with one of most things.
func demo(t testing.TB) *schema.Plan {
	t.Helper()
	return &schema.Plan{
		Name: "Invented park", CRS: crs.WGS84(), Epoch: 2026.5, Source: schema.Source{Winding: schema.WindingDriven},
		Attributes: schema.Attributes{{Key: "held", Value: schema.String("offsets")}, {Key: "limits", Value: schema.Object(schema.Attributes{{Key: "base_range_m", Value: schema.Int(300)}})}},
		Features: []*schema.Feature{
			{ID: schema.String("z1"), Role: schema.RoleZone, Name: "North lawn", Geometry: geom.NewPolygonFlat(geom.XY, []float64{9, 56, 9, 56.001, 9.001, 56.001, 9.001, 56, 9, 56, 9.0004, 56.0004, 9.0006, 56.0004, 9.0006, 56.0006, 9.0004, 56.0004}, []int{10, 18}),
				Attributes: schema.Attributes{{Key: "cut_mm", Value: schema.Int(45)}, {Key: "note", Value: schema.String("after nine, \"please\"")}}},
			{ID: schema.Int(7), Role: schema.RoleDock, Geometry: geom.NewPointFlat(geom.XYZ, []float64{9.0001, 55.9999, 0}), Attributes: schema.Attributes{{Key: "heading_deg", Value: number(t, "180.0")}}},
			{ID: schema.String("007"), Role: schema.RoleCorridor, Name: "to the dock", Geometry: geom.NewLineStringFlat(geom.XYZ, []float64{9.0001, 55.9999, 12.5, 9.0001, 56.0001, nan})},
			{Role: schema.RoleEdge, Geometry: geom.NewMultiLineStringFlat(geom.XY, []float64{9, 56, 9, 56.001, 9.001, 56, 9.001, 56.001}, []int{4, 8}), Attributes: schema.Attributes{{Key: "note", Value: schema.String("")}, {Key: "cut_mm", Value: schema.Null()}}},
			{Role: schema.RoleHazard, Name: "ponds", Geometry: geom.NewGeometryCollection().MustPush(geom.NewPointFlat(geom.XY, []float64{9, 56}), geom.NewPointFlat(geom.XYZ, []float64{9, 56, 1}))},
			{Role: schema.RoleOther, Name: "=1+1"},
		},
	}
}

func TestGoldens(t *testing.T) {
	for _, layout := range []string{LayoutWKT, LayoutPoints} {
		got := mustWrite(t, demo(t), layout)
		path := filepath.Join("testdata", "demo_"+layout+".csv")
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs (run with -update after looking):\n%s", path, got)
		}
		if err := schema.Same(demo(t), mustRead(t, want), tolerance); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
}

// TestLinesAbove: what stands above a header is told with its words.
func TestLinesAbove(t *testing.T) {
	const list = "id,role,name,wkt,crs\n1,mark,A,POINT (11.2 56.9),EPSG:4326\n"
	for _, x := range []struct{ above, want string }{
		{"", ""},
		{"DRAFT - pond missing\n", `"DRAFT - pond missing"`},
		{"Site A\n\nby hand;;\nthree\nfour\n", `"Site A", "by hand", "three" and more`},
		{"# accuracy 3 m, phone\n", `"accuracy 3 m, phone"`},
		{"#\n", "they are empty"},
	} {
		p, warnings, err := Read([]byte(x.above+list), wire.ReadOptions{})
		if err != nil || len(p.Features) != 1 {
			t.Fatal(x.above, err)
		}
		said := ""
		for _, w := range warnings {
			if w.Kind == "preamble" || w.Kind == "comment" {
				said = w.Message
			}
		}
		if (said == "") != (x.want == "") || !strings.HasSuffix(said, x.want) {
			t.Errorf("%q: %q", x.above, said)
		}
	}
}

// TestSecondSystem: a second column that names a system holds nothing, and is
// told where it says another.
func TestSecondSystem(t *testing.T) {
	for _, x := range []struct {
		header, second string
		told           bool
	}{
		{"crs", "EPSG:4230", true},
		{"epsg", "25832", true},
		{"crs", "EPSG:4326", false},
		{"epsg", "4326", false},
		{"crs", "", false},
		{"srs", "see the plan", false},
	} {
		p, warnings, err := Read([]byte("id,role,name,wkt,crs,"+x.header+"\n1,mark,A,POINT (11.2 56.9),EPSG:4326,"+x.second+"\n2,mark,B,POINT (11.2 56.9),EPSG:4326,\n"), wire.ReadOptions{})
		if err != nil {
			t.Fatal(x.header, err)
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "crs-second" && w.Ground() && strings.Contains(w.Message, x.header)
		}
		if told != x.told || p.CRS == nil || p.CRS.BaseCode() != 4326 {
			t.Errorf("%s %q: %v %+v", x.header, x.second, p.CRS, warnings)
		}
	}
}

// TestRowsLikeRemarks: a row that somebody put a # before is read, and told; a
// list whose ids all start so says nothing by it.
func TestRowsLikeRemarks(t *testing.T) {
	for _, x := range []struct {
		a, b string
		told bool
	}{{"1", "#2", true}, {"%1", "2", true}, {"#1", "#2", false}, {"1", "2", false}, {"1", "no #2", false},
		{"1", "//2", true}, {"1", "-- 2", true}, {"REM 1", "2", true}, {"rem 1", "2", true}, {"1", ";2", true}, {"'1", "2", true},
		{"1", "-2", false}, {"1", "/2", false}, {"1", "Remote 2", false}, {"REM 1", "REM 2", false}, {"1", `"#2"`, false}} {
		own, _, err := Read([]byte("id,role,name,wkt,crs\n"+x.a+",mark,A,POINT (11.2 56.9),EPSG:4326\n"+x.b+",mark,B,POINT (11.2 56.9),EPSG:4326\n"), wire.ReadOptions{})
		if err != nil || len(own.Features) != 2 {
			t.Fatal(x, err)
		}
		var out bytes.Buffer
		if _, err := Write(&out, own, wire.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		if _, again, err := Read(out.Bytes(), wire.ReadOptions{}); err != nil || slices.ContainsFunc(again, func(w wire.Warning) bool { return w.Kind == "row-remark" }) {
			t.Errorf("%v: what was written is told: %v %v\n%s", x, err, again, out.Bytes())
		}
		p, warnings, err := Read([]byte("id,wkt,role,name,crs\n"+x.a+",POINT (11.2 56.9),mark,A,EPSG:4326\n"+x.b+",POINT (11.2 56.9),mark,B,EPSG:4326\n"), wire.ReadOptions{})
		if err != nil || len(p.Features) != 2 {
			t.Fatal(x, err)
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "row-remark" && w.Ground()
		}
		if told != x.told {
			t.Errorf("%v: %+v", x, warnings)
		}
	}
}
