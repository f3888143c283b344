// Tests of the writer: exact bytes, JSON-FG in every kind of system, what is
// lost, and that writing what was read changes nothing.

package geojson

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/geojson/conform"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func writeText(t testing.TB, p *schema.Plan) (string, []wire.Loss) {
	t.Helper()
	var b bytes.Buffer
	losses, err := Write(&b, p, wire.WriteOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return b.String(), losses
}

func parse(t testing.TB, text string) *crs.CRS {
	t.Helper()
	c, err := crs.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func number64(t testing.TB, text string) schema.Value {
	t.Helper()
	v, ok := schema.Number(text)
	if !ok {
		t.Fatalf("%s is no number", text)
	}
	return v
}

func TestWriteExactly(t *testing.T) {
	p := &schema.Plan{Name: "Green", CRS: crs.WGS84(), Epoch: 2024.5,
		Attributes: schema.Attributes{{Key: "held", Value: schema.String("offsets")}, {Key: "job", Value: number64(t, "12345678901234567890")}},
		Source:     schema.Source{Winding: schema.WindingStandard},
		Features: []*schema.Feature{
			{ID: schema.String("z1"), Role: schema.RoleZone, Name: "North \"lawn\"",
				Geometry:   geom.NewPolygonFlat(geom.XYZ, []float64{9, 56, 1.5, 9.00000000014, 56, nan, 9, 56.1, 0, 9, 56, 1.5}, []int{12}),
				Attributes: schema.Attributes{{Key: "cut_mm", Value: number64(t, "40.0")}, {Key: "note", Value: schema.Null()}}},
			{ID: number64(t, "7"), Role: schema.RoleOther},
			{Role: schema.RoleHazard, Geometry: geom.NewGeometryCollection().MustPush(
				geom.NewMultiPointFlat(geom.XY, []float64{-1e-11, 2, 3.5, -4}),
				geom.NewMultiLineStringFlat(geom.XY, []float64{1, 2, 3, 4, 5, 6, 7, 8}, []int{4, 8}))},
		}}
	want := `{"type":"FeatureCollection",
"name":"Green",
"epoch":2024.5,
"held":"offsets",
"job":12345678901234567890,
"features":[
{"type":"Feature","id":"z1","geometry":{"type":"Polygon","coordinates":[[[9,56,1.5],[9.0000000001,56],[9,56.1,0],[9,56,1.5]]]},"properties":{"role":"zone","name":"North \"lawn\"","cut_mm":40.0,"note":null}},
{"type":"Feature","id":7,"geometry":null,"properties":{}},
{"type":"Feature","geometry":{"type":"GeometryCollection","geometries":[{"type":"MultiPoint","coordinates":[[0,2],[3.5,-4]]},{"type":"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6],[7,8]]]}]},"properties":{"role":"hazard"}}
]}
`
	got, losses := writeText(t, p)
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if len(losses) > 0 {
		t.Errorf("lost %+v", losses)
	}
	empty, _ := writeText(t, &schema.Plan{CRS: crs.WGS84()})
	if want := "{\"type\":\"FeatureCollection\",\n\"features\":[]}\n"; empty != want {
		t.Errorf("got %q, want %q", empty, want)
	}
}

func TestWriteTurnsAndClosesRings(t *testing.T) {
	// A zone in drive order: the shell clockwise, the hole anticlockwise and
	// open.
	ring := geom.NewPolygonFlat(geom.XY, []float64{0, 0, 0, 3, 3, 3, 3, 0, 0, 0, 1, 1, 2, 1, 2, 2}, []int{10, 16})
	p := &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingDriven}, Features: []*schema.Feature{{Role: schema.RoleZone, Geometry: ring}}}
	got, losses := writeText(t, p)
	if want := `"coordinates":[[[0,0],[3,0],[3,3],[0,3],[0,0]],[[1,1],[2,2],[2,1],[1,1]]]`; !strings.Contains(got, want) {
		t.Errorf("got\n%s\nwant %s", got, want)
	}
	if len(losses) != 1 || losses[0].Kind != "ring-closed" || losses[0].Count != 1 {
		t.Errorf("losses %+v", losses)
	}
	if c := ring.FlatCoords(); c[3] != 3 || len(c) != 16 {
		t.Errorf("the plan was changed: %v", c)
	}
}

func TestWriteLosses(t *testing.T) {
	p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{
		{ID: schema.Bool(true), Role: schema.RoleZone, Name: "N", Geometry: geom.NewPolygon(geom.XY), Attributes: schema.Attributes{
			{Key: "role", Value: schema.String("x")}, {Key: "name", Value: schema.String("y")}, {Key: "note", Value: schema.String("z")}}},
	}}
	got, losses := writeText(t, p)
	if !strings.Contains(got, `{"type":"Feature","geometry":null,"properties":{"role":"zone","name":"N","note":"z"}}`) {
		t.Error(got)
	}
	var kinds []string
	for _, l := range losses {
		kinds = append(kinds, fmt.Sprintf("%s %d", l.Kind, l.Count))
	}
	if s := strings.Join(kinds, ", "); s != "id-kind 1, geometry-empty 1, attribute-name-taken 2" {
		t.Error(s)
	}
}

func TestShortLinesAndRingsComeBack(t *testing.T) {
	tests := []struct {
		g     geom.T
		want  string
		kinds string
	}{
		{geom.NewLineStringFlat(geom.XY, []float64{1, 2}), `"LineString","coordinates":[[1,2],[1,2]]`, "part-short 1"},
		{geom.NewMultiLineStringFlat(geom.XY, []float64{1, 2, 3, 4, 5, 6}, []int{0, 4, 6}), `"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6],[5,6]]]`, "part-empty 1, part-short 1"},
		{geom.NewPolygonFlat(geom.XY, []float64{1, 2, 3, 4}, []int{4, 4}), `"Polygon","coordinates":[[[1,2],[3,4],[3,4],[1,2]]]`, "part-short 1, part-empty 1"},
		{geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 1, 0, 1, 1, 0, 0, 5, 6}, [][]int{{}, {8}, {8}, {10}}), `"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]],[[[5,6],[5,6],[5,6]]]]`, "part-empty 1, part-short 1"},
		{geom.NewGeometryCollection().MustPush(geom.NewLineStringFlat(geom.XYZ, []float64{1, 2, 3})), `"geometries":[{"type":"LineString","coordinates":[[1,2,3],[1,2,3]]}]`, "part-short 1"},
	}
	for _, tt := range tests {
		text, losses := writeText(t, &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleOther, Geometry: tt.g}}})
		if !strings.Contains(text, tt.want) {
			t.Errorf("no %s in\n%s", tt.want, text)
		}
		var kinds []string
		for _, l := range losses {
			kinds = append(kinds, fmt.Sprintf("%s %d", l.Kind, l.Count))
		}
		if got := strings.Join(kinds, ", "); !strings.HasPrefix(got, tt.kinds) {
			t.Errorf("%s: losses %s, want %s", tt.want, got, tt.kinds)
		}
		if again, _ := writeText(t, mustRead(t, text)); again != text {
			t.Errorf("differs the second time:\n%s", again)
		}
	}
}

func TestWriteRefusesWhatIsNoNumber(t *testing.T) {
	for _, flat := range [][]float64{{nan, 1, 1}, {1, nan, 1}, {math.Inf(1), 1, 1}, {1, math.Inf(-1), 1}, {1, 1, math.Inf(1)}} {
		p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleOther}, {Role: schema.RoleCorridor, Name: "C",
			Geometry: geom.NewLineStringFlat(geom.XYZ, append([]float64{1, 1, 1}, flat...))}}}
		_, err := Write(&bytes.Buffer{}, p, wire.WriteOptions{})
		if err == nil || !strings.Contains(err.Error(), "feature 2 (C)") || !strings.Contains(err.Error(), "point 2") {
			t.Errorf("%v: %v", flat, err)
		}
	}
	p := &schema.Plan{CRS: crs.WGS84(), Epoch: nan}
	if _, err := Write(&bytes.Buffer{}, p, wire.WriteOptions{}); err == nil {
		t.Error("an epoch of NaN was written")
	}
}

type fullDisk struct{ room int }

var errFull = errors.New("no space left")

func (d *fullDisk) Write(b []byte) (int, error) {
	if len(b) > d.room {
		return d.room, errFull
	}
	d.room -= len(b)
	return len(b), nil
}

func TestWriteToAFullDisk(t *testing.T) {
	p := randplan.New(1, randplan.Options{Features: 2000})
	var whole bytes.Buffer
	if _, err := Write(&whole, p, wire.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, room := range []int{0, 100, 70_000, whole.Len() - 1} {
		if _, err := Write(&fullDisk{room}, p, wire.WriteOptions{}); !errors.Is(err, errFull) {
			t.Errorf("room for %d bytes: %v", room, err)
		}
	}
	if _, err := Write(&fullDisk{whole.Len()}, p, wire.WriteOptions{}); err != nil {
		t.Errorf("room for all: %v", err)
	}
}

// TestManyFeaturesInOrder holds the bytes of a long plan, which several
// goroutines write and read, against those of its features one at a time.
func TestManyFeaturesInOrder(t *testing.T) {
	p := randplan.New(3, randplan.Options{Features: 4000})
	text, _ := writeText(t, p)
	if len(text) < 2*parallelFrom {
		t.Fatalf("%d bytes do not make the reader go parallel", len(text))
	}
	lines := strings.Split(text, "\n")
	head := 0
	for !strings.HasPrefix(lines[head], `"features"`) {
		head++
	}
	for i, f := range p.Features {
		one := *p
		one.Features = []*schema.Feature{f}
		single, _ := writeText(t, &one)
		want := strings.Split(single, "\n")[head+1]
		if got := strings.TrimSuffix(lines[head+1+i], ","); got != want {
			t.Fatalf("feature %d:\n%s\nagainst\n%s", i, got, want)
		}
	}
	back := mustRead(t, text)
	if err := schema.Same(p, back, 0); err != nil {
		t.Error(err)
	}
	for i, f := range back.Features {
		if f.Source.Line != head+2+i || f.Source.Path != fmt.Sprintf("features[%d]", i) {
			t.Fatalf("feature %d stands on line %d, %s", i, f.Source.Line, f.Source.Path)
		}
	}
}

// inSystem returns a small plan whose coordinates are those of the system.
func inSystem(c *crs.CRS, x, y float64) *schema.Plan {
	step := 10.0
	if c != nil && c.IsDegrees() {
		step = 1e-4
	}
	return &schema.Plan{Name: "S", CRS: c, Source: schema.Source{Winding: schema.WindingStandard}, Features: []*schema.Feature{
		{Role: schema.RoleZone, ID: schema.String("z"), Geometry: geom.NewPolygonFlat(geom.XYZ,
			[]float64{x, y, 1, x + step, y, nan, x, y + 2*step, 0, x, y, 1}, []int{12})},
		{Role: schema.RoleHazard, Geometry: geom.NewGeometryCollection().MustPush(geom.NewPointFlat(geom.XY, []float64{x, y}))},
		{Role: schema.RoleOther},
	}}
}

func TestJSONFGKeepsEverySystem(t *testing.T) {
	tests := []struct {
		name, system, uri string
		x, y              float64
		epoch             float64
		place             string // the first position in "place"
		geometry          bool   // a fallback in WGS 84 is known to be fit
	}{
		{"UTM", "EPSG:25832", `"http://www.opengis.net/def/crs/EPSG/0/25832"`, 500012.34567, 6228011.9, 0, "[500012.34567,6228011.9,1]", false},
		{"north first", "EPSG:2193", `"http://www.opengis.net/def/crs/EPSG/0/2193"`, 1600000.5, 5400000.25, 0, "[5400000.25,1600000.5,1]", false},
		{"latitude first", "EPSG:4258", `"http://www.opengis.net/def/crs/EPSG/0/4258"`, 9.5, 56.25, 0, "[56.25,9.5,1]", false},
		{"epoch", "EPSG:7912", `{"type":"Reference","href":"http://www.opengis.net/def/crs/EPSG/0/7912","epoch":2024.25}`, 9.5, 56.25, 2024.25, "[56.25,9.5,1]", false},
		{"feet", "EPSG:2263", `"http://www.opengis.net/def/crs/EPSG/0/2263"`, 985000.12345, 200000, 0, "[985000.12345,200000,1]", false},
		{"site grid", "site:lat=56.2;lon=9.1;h=40;rotation=12.5;scale=1.0001;fe=1000;fn=2000;base=EPSG:4979", `"urn:swardline:crs:site:lat=56.2%3Blon=9.1%3Bh=40%3Brotation=12.5%3Bscale=1.0001%3Bfe=1000%3Bfn=2000%3Bbase=EPSG:4979"`, 1010, 2020.5, 0, "[1010,2020.5,1]", true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := inSystem(parse(t, tt.system), tt.x, tt.y)
			p.Epoch = tt.epoch
			text, losses := writeText(t, p)
			if len(losses) > 0 {
				t.Errorf("losses %+v", losses)
			}
			if want := `"conformsTo":["http://www.opengis.net/spec/json-fg-1/1.0/conf/core"],` + "\n" + `"coordRefSys":` + tt.uri + ","; !strings.Contains(text, want) {
				t.Errorf("no %s in\n%s", want, text)
			}
			if want := `"time":null,"place":{"type":"Polygon","coordinates":[[` + tt.place; !strings.Contains(text, want) {
				t.Errorf("no %s in\n%s", want, text)
			}
			if !strings.Contains(text, `"time":null,"place":null,"geometry":null`) {
				t.Errorf("the feature without geometry is not as it should be:\n%s", text)
			}
			if hasGeometry := strings.Contains(text, `"geometry":{`); tt.geometry && !hasGeometry {
				t.Errorf("no geometry in WGS 84:\n%s", text)
			}
			back := mustRead(t, text)
			if err := schema.Same(p, back, 0); err != nil {
				t.Errorf("%v\n%s", err, text)
			}
			if again, _ := writeText(t, back); again != text {
				t.Errorf("differs the second time:\n%s\nagainst\n%s", again, text)
			}
		})
	}
}

func TestJSONFGFallbackStandsWhereThePlanDoes(t *testing.T) {
	site := parse(t, "site:lat=56.2;lon=9.1;h=40;rotation=0;scale=1;fe=0;fn=0;base=EPSG:4979")
	p := &schema.Plan{CRS: site, Features: []*schema.Feature{{Role: schema.RoleBase, Geometry: geom.NewPointFlat(geom.XY, []float64{0, 0})}}}
	text, _ := writeText(t, p)
	if want := `"geometry":{"type":"Point","coordinates":[9.1,56.2]}`; !strings.Contains(text, want) {
		t.Errorf("no %s in\n%s", want, text)
	}
}

func TestUnknownSystemStaysUnknown(t *testing.T) {
	p := inSystem(nil, 10.5, 20.25) // numbers that would pass for degrees
	text, _ := writeText(t, p)
	if !strings.Contains(text, `"crs_unknown":true`) || strings.Contains(text, `"geometry":{`) || strings.Contains(text, "coordRefSys") {
		t.Errorf("a reader could take this for degrees:\n%s", text)
	}
	back := mustRead(t, text)
	if err := schema.Same(p, back, 0); err != nil {
		t.Error(err)
	}
	told, _, err := readText(text, wire.ReadOptions{CRS: parse(t, "EPSG:2193")})
	if err != nil || told.CRS.ID() != "EPSG:2193" || told.Features[0].Geometry.FlatCoords()[0] != 10.5 {
		t.Errorf("told the system: %v %+v", err, told)
	}
}

func TestReadJSONFG(t *testing.T) {
	fg := func(member, features string) string {
		return `{"type":"FeatureCollection","conformsTo":["http://www.opengis.net/spec/json-fg-1/1.0/conf/core"],` + member + `"features":[` + features + `]}`
	}
	const place = `{"type":"Feature","time":null,"place":{"type":"Point","coordinates":[%s]},"geometry":%s,"properties":{}}`
	wgs := `{"type":"Point","coordinates":[9.5,56.25]}`
	here := `{"type":"Point","coordinates":[9,56.1969505319]}`
	tests := []struct {
		name, text string
		kinds      []string
		system     string
		epoch      float64
		xy         string
	}{
		{"URL, north first", fg(`"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/2193",`, fmt.Sprintf(place, "5400000,1600000", "null")), nil, "EPSG:2193", 0, "[1.6e+06 5.4e+06]"},
		{"safe CURIE", fg(`"coordRefSys":"[EPSG:25832]",`, fmt.Sprintf(place, "500000,6228000", here)), nil, "EPSG:25832", 0, "[500000 6.228e+06]"},
		{"reference with epoch", fg(`"coordRefSys":{"type":"Reference","href":"http://www.opengis.net/def/crs/EPSG/0/7912","epoch":2020.5},`, fmt.Sprintf(place, "56.25,9.5", "null")), nil, "EPSG:7912", 2020.5, "[9.5 56.25]"},
		{"list of two", fg(`"coordRefSys":["http://www.opengis.net/def/crs/EPSG/0/25832","http://www.opengis.net/def/crs/EPSG/0/7837"],`, fmt.Sprintf(place, "500000,6228000", "null")), nil, "EPSG:25832+7837", 0, "[500000 6.228e+06]"},
		{"named by the feature", fg("", strings.Replace(fmt.Sprintf(place, "5400000,1600000", "null"), `"time"`, `"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/2193","time"`, 1)), nil, "EPSG:2193", 0, "[1.6e+06 5.4e+06]"},
		{"named by the geometry", fg("", strings.Replace(fmt.Sprintf(place, "5400000,1600000", "null"), `"Point",`, `"Point","coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/2193",`, 1)), nil, "EPSG:2193", 0, "[1.6e+06 5.4e+06]"},
		{"its own default with heights", fg(`"coordRefSys":"http://www.opengis.net/def/crs/OGC/0/CRS84h",`, fmt.Sprintf(place, "9.5,56.25,40", "null")), nil, "OGC:CRS84", 0, "[9.5 56.25 40]"},
		{"only geometry", fg(`"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/25832",`, `{"type":"Feature","time":null,"place":null,"geometry":`+wgs+`,"properties":{}}`), []string{"place-missing"}, "OGC:CRS84", 0, "[9.5 56.25]"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := mustRead(t, tt.text, tt.kinds...)
			if p.CRS.ID() != tt.system || p.Epoch != tt.epoch || len(p.Attributes) > 0 {
				t.Errorf("%s, epoch %v, %v", p.CRS.ID(), p.Epoch, p.Attributes)
			}
			if got := fmt.Sprint(p.Features[0].Geometry.FlatCoords()); got != tt.xy {
				t.Errorf("got %s, want %s", got, tt.xy)
			}
		})
	}
	errs := []struct{ name, text, want string }{
		{"past its degrees", fg(`"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/4258",`, fmt.Sprintf(place, "9.5,95.25", "null")+","+fmt.Sprintf(place, "95.25,9.5", "null")), `numbers in "place" follow the axis order of EPSG:4258`},
		{"no system of that code", fg(`"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/999999",`, ""), "coordRefSys"},
		{"a number", fg(`"coordRefSys":25832,`, ""), "coordRefSys is a number, not the URI of a system"},
		{"another object", fg(`"coordRefSys":{"type":"PROJJSON"},`, ""), `coordRefSys is of type "PROJJSON"`},
		{"epoch of text", fg(`"coordRefSys":{"type":"Reference","href":"http://www.opengis.net/def/crs/EPSG/0/7912","epoch":"now"},`, ""), `the epoch is "now", not a year`},
		{"unknown, yet in geometry", `{"type":"FeatureCollection","crs_unknown":true,"features":[{"type":"Feature","geometry":` + wgs + `,"properties":{}}]}`, `has coordinates in "geometry"`},
	}
	for _, tt := range errs {
		if _, _, err := readText(tt.text, wire.ReadOptions{}); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: got %v, want %s", tt.name, err, tt.want)
		}
	}
}

func TestPlanMembersWhoseNamesAreTaken(t *testing.T) {
	for _, attributes := range []schema.Attributes{
		{{Key: "a", Value: schema.Int(1)}, {Key: "features", Value: schema.String("x")}, {Key: "b", Value: schema.Null()}},
		{{Key: "name", Value: schema.String("second name")}},
		{{Key: "epoch", Value: number64(t, "2020")}},
		{{Key: "plan_attributes", Value: schema.Object(schema.Attributes{{Key: "x", Value: schema.Int(1)}})}},
		{{Key: "crs_unknown", Value: schema.Bool(true)}},
		{{Key: "conformsTo", Value: schema.List(schema.String(conformsToCore))}},
	} {
		p := &schema.Plan{CRS: crs.WGS84(), Attributes: attributes}
		text, losses := writeText(t, p)
		if len(losses) > 0 {
			t.Errorf("losses %+v", losses)
		}
		if err := schema.Same(p, mustRead(t, text), 0); err != nil {
			t.Errorf("%v\n%s", err, text)
		}
	}
}

func TestMembersComeBackWhereTheyStood(t *testing.T) {
	text := `{"type":"FeatureCollection",
"features":[
{"type":"Feature","id":1,"geometry":{"type":"Point","coordinates":[9,56],"source":{"a":[1]}},"title":"t","time":{"date":"2024-06-01"},"properties":{"role":"mark","x":1}},
{"type":"Feature","geometry":null,"featureType":"lawn","properties":{}}
]}
`
	p := mustRead(t, text)
	if got, _ := writeText(t, p); got != text {
		t.Errorf("got\n%s\nwant\n%s", got, text)
	}
	// An attribute of that name that is not of the reader's making stays a
	// property.
	for _, v := range []schema.Value{schema.Int(1), schema.Object(schema.Attributes{{Key: "type", Value: schema.Int(1)}}),
		schema.Object(schema.Attributes{{Key: "geometry", Value: schema.Object(schema.Attributes{{Key: "coordinates", Value: schema.Int(1)}})}}),
		schema.Object(schema.Attributes{{Key: "geometry", Value: schema.Int(1)}}), schema.Object(schema.Attributes{})} {
		p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleOther, Geometry: geom.NewPointFlat(geom.XY, []float64{1, 2}),
			Attributes: schema.Attributes{{Key: MembersKey, Value: v}}}}}
		text, _ := writeText(t, p)
		if err := schema.Same(p, mustRead(t, text), 0); err != nil {
			t.Errorf("%v\n%s", err, text)
		}
	}
}

// TestWrittenPlansAreAsTheSchemaAsks checks random plans against the schema
// document. The generator's texts and numbers where a name or a known role
// should stand are the only faults allowed.
func TestWrittenPlansAreAsTheSchemaAsks(t *testing.T) {
	faulty, seeds := 0, uint64(60)
	if randplan.Long() {
		seeds = 300
	}
	for seed := range seeds {
		p := randplan.New(seed, randplan.Options{})
		if seed%3 == 1 {
			p.CRS = parse(t, "site:lat=56.2;lon=9.1;h=40;rotation=0;scale=1;fe=0;fn=0;base=EPSG:4979")
			for _, f := range p.Features {
				if f.Geometry != nil {
					if err := eachFlat(f.Geometry, func(flat []float64, stride int) error {
						for i := range flat {
							if i%stride < 2 {
								flat[i] = float64(i)
							}
						}
						return nil
					}); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		text, _ := writeText(t, p)
		faults, err := conform.Check([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults {
			if !strings.HasSuffix(f.Path, ".properties.name") && !strings.HasSuffix(f.Path, ".properties.role") {
				t.Fatalf("seed %d: %v\n%s", seed, f, text)
			}
			faulty++
		}
	}
	if faulty == 0 {
		t.Error("no plan has a fault, though the generator makes some")
	}
}

// Each feature whose place in WGS 84 is left null is counted, one without a
// place is not, and one outside what the operation takes is told as well.
func TestGeometryNullIsCounted(t *testing.T) {
	point := func(x, y float64) *schema.Feature {
		return &schema.Feature{Role: schema.RoleMark, Geometry: geom.NewPointFlat(geom.XY, []float64{x, y})}
	}
	none := &schema.Feature{Role: schema.RoleMark}
	for _, tc := range []struct {
		name, system string
		features     []*schema.Feature
		want         int
	}{
		{"a datum step that is not fit", "EPSG:23030", []*schema.Feature{point(5e5, 45e5), none, point(5e5, 45e5), point(5e5, 46e5)}, 3},
		{"without a place", "EPSG:23030", []*schema.Feature{none}, 0},
		{"out of the domain", "EPSG:32632", []*schema.Feature{point(5e5, 62e5), point(1e12, 62e5), none}, 1},
		{"in it", "EPSG:32632", []*schema.Feature{point(5e5, 62e5)}, 0},
	} {
		_, losses := writeText(t, &schema.Plan{CRS: parse(t, tc.system), Features: tc.features})
		got := 0
		for _, l := range losses {
			if l.Kind == "geometry-null" {
				got += l.Count
			}
		}
		if got != tc.want {
			t.Errorf("%s: %d, want %d: %+v", tc.name, got, tc.want, losses)
		}
	}
}
