// Tests of the reader: what is kept, what is taken in stride, and the one error
// that each fault gets.

package geojson

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func readText(text string, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	o.Name = "x.geojson"
	return Read([]byte(text), o)
}

// mustRead reads a text that gives exactly these kinds of warning.
func mustRead(t *testing.T, text string, kinds ...string) *schema.Plan {
	t.Helper()
	p, warnings, err := readText(text, wire.ReadOptions{})
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	var got []string
	for _, w := range warnings {
		got = append(got, w.Kind)
		if w.Message == "" || w.Count < 1 {
			t.Errorf("a warning says nothing: %+v", w)
		}
	}
	if !reflect.DeepEqual(got, kinds) {
		t.Errorf("warnings %v, want %v\n%s", warnings, kinds, text)
	}
	return p
}

// feature wraps a geometry and properties into a file.
func feature(geometry, properties string) string {
	return fmt.Sprintf(`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":%s,"properties":%s}]}`, geometry, properties)
}

// bothWays runs a test with features read one after another, and again with
// every feature in a batch of its own.
func bothWays(t *testing.T, test func(t *testing.T)) {
	t.Run("serial", test)
	from, bytes := parallelFrom, batchBytes
	defer func() { parallelFrom, batchBytes = from, bytes }()
	parallelFrom, batchBytes = 0, 0
	t.Run("parallel", test)
}

func TestReadKeepsWhatTheFileSays(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		p := mustRead(t, `{ "type" : "FeatureCollection" ,
"name":"The bowling green", "owner": {"a": [1, 2.50]}, "epoch": 2024.5, "job": 12345678901234567890,
"features": [
 {"type":"Feature","id":7,"properties":{"note":"x","role":"zone","cut_mm":40.0,"name":"Green"},
  "geometry":{"type":"Polygon","coordinates":[[[9,56],[9.001,56],[9.001,56.001],[9,56]],[[9.0002,56.0001],[9.0004,56.0003],[9.0004,56.0001],[9.0002,56.0001]]]}},
 {"properties":null,"geometry":null,"type":"Feature","id":"7"},
 {"type":"Feature","id":7.0,"geometry":{"coordinates":[[9,56],[9.1,56.1,3]],"type":"LineString"},"properties":{"role":"lawn","name":""},"title":"t","geometry2":null}
]}`)
		if p.Name != "The bowling green" || p.Epoch != 2024.5 || !p.CRS.Equal(crs.WGS84()) {
			t.Errorf("plan: %q, %v, %v", p.Name, p.Epoch, p.CRS)
		}
		if got := string(p.Attributes.AppendJSON(nil)); got != `{"owner":{"a":[1,2.50]},"job":12345678901234567890}` {
			t.Errorf("plan attributes: %s", got)
		}
		want := []struct {
			id, role, name, attributes, path string
			line                             int
		}{
			{"7", "zone", "Green", `{"note":"x","cut_mm":40.0}`, "features[0]", 4},
			{`"7"`, "other", "", `{}`, "features[1]", 6},
			{"7.0", "other", "", `{"role":"lawn","name":"","geojson_members":{"title":"t","geometry2":null}}`, "features[2]", 7},
		}
		if len(p.Features) != len(want) {
			t.Fatalf("%d features, want %d", len(p.Features), len(want))
		}
		for i, w := range want {
			f := p.Features[i]
			if got := string(f.ID.AppendJSON(nil)); got != w.id {
				t.Errorf("%s: id %s, want %s", w.path, got, w.id)
			}
			if string(f.Role) != w.role || f.Name != w.name {
				t.Errorf("%s: %s %q, want %s %q", w.path, f.Role, f.Name, w.role, w.name)
			}
			if got := string(f.Attributes.AppendJSON(nil)); got != w.attributes {
				t.Errorf("%s: attributes %s, want %s", w.path, got, w.attributes)
			}
			if f.Source.Path != w.path || f.Source.Line != w.line {
				t.Errorf("%s: source %s line %d, want line %d", w.path, f.Source.Path, f.Source.Line, w.line)
			}
		}
		polygon := p.Features[0].Geometry.(*geom.Polygon)
		if got := polygon.Ends(); !reflect.DeepEqual(got, []int{8, 16}) || polygon.Layout() != geom.XY {
			t.Errorf("polygon ends %v, layout %v", got, polygon.Layout())
		}
		line := p.Features[2].Geometry.(*geom.LineString)
		if line.Layout() != geom.XYZ || !math.IsNaN(line.FlatCoords()[2]) || line.FlatCoords()[5] != 3 {
			t.Errorf("mixed heights: %v %v", line.Layout(), line.FlatCoords())
		}
		if p.Source.Winding != schema.WindingStandard || p.Source.Format != "geojson" {
			t.Errorf("source %+v", p.Source)
		}
	})
}

func TestReadGeometries(t *testing.T) {
	tests := []struct {
		text   string
		typ    string
		layout geom.Layout
		flat   []float64
		ends   string
	}{
		{`{"type":"Point","coordinates":[1,2]}`, "*geom.Point", geom.XY, []float64{1, 2}, ""},
		{`{"type":"Point","coordinates":[ 1.5e0 , -2.25E+0 , 3 ]}`, "*geom.Point", geom.XYZ, []float64{1.5, -2.25, 3}, ""},
		{`{"coordinates":[[1,2],[3,4]],"type":"MultiPoint"}`, "*geom.MultiPoint", geom.XY, []float64{1, 2, 3, 4}, "[2 4]"},
		{`{"type":"LineString","coordinates":[[1,2,0],[3,4,-1]]}`, "*geom.LineString", geom.XYZ, []float64{1, 2, 0, 3, 4, -1}, ""},
		{`{"type":"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6],[7,8],[9,9]]]}`, "*geom.MultiLineString", geom.XY, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 9}, "[4 10]"},
		{`{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]],[[[2,2],[3,2],[3,3],[2,2]],[[2.1,2.2],[2.3,2.3],[2.3,2.2],[2.1,2.2]]]]}`, "*geom.MultiPolygon", geom.XY,
			[]float64{0, 0, 1, 0, 1, 1, 0, 0, 2, 2, 3, 2, 3, 3, 2, 2, 2.1, 2.2, 2.3, 2.3, 2.3, 2.2, 2.1, 2.2}, "[[8] [16 24]]"},
		// Rings that are open or of three positions are read as they are; rules
		// judge them.
		{`{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1]]]}`, "*geom.Polygon", geom.XY, []float64{0, 0, 1, 0, 1, 1}, "[6]"},
		// A late height turns every vertex of the geometry into one with or
		// without.
		{`{"type":"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6,7],[8,9]]]}`, "*geom.MultiLineString", geom.XYZ,
			[]float64{1, 2, nan, 3, 4, nan, 5, 6, 7, 8, 9, nan}, "[6 12]"},
		// 17 digits, more than fit a float64's 53 bits, and the shortest
		// doubles.
		{`{"type":"MultiPoint","coordinates":[[9.123456789012345678,56.00000000000000001],[1e-7,0.1234567890123456]]}`, "*geom.MultiPoint", geom.XY,
			[]float64{9.123456789012345678, 56.00000000000000001, 1e-7, 0.1234567890123456}, "[2 4]"},
	}
	for _, tt := range tests {
		g := mustRead(t, feature(tt.text, "{}")).Features[0].Geometry
		if got := fmt.Sprintf("%T", g); got != tt.typ {
			t.Errorf("%s: %s, want %s", tt.text, got, tt.typ)
			continue
		}
		if g.Layout() != tt.layout || !sameFloats(g.FlatCoords(), tt.flat) {
			t.Errorf("%s: %v %v, want %v %v", tt.text, g.Layout(), g.FlatCoords(), tt.layout, tt.flat)
		}
		ends := ""
		switch g := g.(type) {
		case *geom.MultiPolygon:
			ends = fmt.Sprint(g.Endss())
		case *geom.Polygon, *geom.MultiLineString, *geom.MultiPoint:
			ends = fmt.Sprint(g.Ends())
		}
		if ends != tt.ends {
			t.Errorf("%s: ends %s, want %s", tt.text, ends, tt.ends)
		}
	}
	nested := mustRead(t, feature(`{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2,3]},{"type":"GeometryCollection","geometries":[{"type":"LineString","coordinates":[[1,2],[3,4]]}]}]}`, "{}")).Features[0].Geometry.(*geom.GeometryCollection)
	if nested.NumGeoms() != 2 || nested.Geom(1).(*geom.GeometryCollection).NumGeoms() != 1 {
		t.Errorf("nested collection: %d parts", nested.NumGeoms())
	}
}

var nan = math.NaN()

func sameFloats(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] && !(math.IsNaN(a[i]) && math.IsNaN(b[i])) {
			return false
		}
	}
	return true
}

func TestReadTakesInStride(t *testing.T) {
	point := `{"type":"Point","coordinates":[9,56]}`
	tests := []struct {
		name, text string
		kinds      []string
		check      func(t *testing.T, p *schema.Plan)
	}{
		{"byte-order mark", "\ufeff" + feature(point, "{}"), []string{"byte-order-mark"}, nil},
		{"bare geometry", point, []string{"bare-geometry"}, func(t *testing.T, p *schema.Plan) {
			if len(p.Features) != 1 || p.Features[0].Geometry == nil || p.Features[0].Role != schema.RoleOther {
				t.Errorf("%+v", p.Features[0])
			}
		}},
		{"bare feature", `{"type":"Feature","id":1,"geometry":` + point + `,"properties":{"role":"dock"}}`, nil, func(t *testing.T, p *schema.Plan) {
			if len(p.Features) != 1 || p.Features[0].Role != schema.RoleDock {
				t.Errorf("%+v", p.Features)
			}
		}},
		{"type last", `{"features":[],"type":"FeatureCollection"}`, nil, nil},
		{"four numbers", feature(`{"type":"LineString","coordinates":[[9,56,1,5],[9,57,2,6]]}`, "{}"), []string{"position-fourth"}, nil},
		{"four numbers, the last 0", feature(`{"type":"LineString","coordinates":[[9,56,1,0],[9,57,2,0.0]]}`, "{}"), []string{"position-extra-numbers"}, nil},
		{"a time at one point", feature(`{"type":"LineString","coordinates":[[9,56,1,0],[9,57,2,1700000000]]}`, "{}"), []string{"position-fourth", "position-extra-numbers"}, nil},
		{"id null", `{"type":"FeatureCollection","features":[{"type":"Feature","id":null,"geometry":null,"properties":{}}]}`, []string{"id-null"}, nil},
		{"no properties", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null}]}`, []string{"properties-missing"}, nil},
		{"no geometry", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{}}]}`, []string{"geometry-missing"}, nil},
		{"empty geometry", feature(`{"type":"Polygon","coordinates":[]}`, "{}"), []string{"geometry-empty"}, func(t *testing.T, p *schema.Plan) {
			if p.Features[0].Geometry != nil {
				t.Errorf("got %v", p.Features[0].Geometry)
			}
		}},
		{"right bbox", `{"type":"FeatureCollection","bbox":[9,56,9,56],"features":[{"type":"Feature","bbox":[9,56,-5,9,56,5],"geometry":{"type":"Point","coordinates":[9,56],"bbox":[9,56,9,56]},"properties":{}}]}`, nil, nil},
		{"wrong bbox", `{"type":"FeatureCollection","bbox":[56,9,56,9],"features":[{"type":"Feature","bbox":[9,56,9,57],"geometry":{"type":"Point","coordinates":[9,56],"bbox":[9]},"properties":{}}]}`,
			[]string{"bbox-invalid", "bbox-far", "bbox-wrong"}, nil},
		{"bbox rounded to its digits", feature(`{"type":"Point","coordinates":[9.123456,56.123451],"bbox":[9.1235,56.1235,9.1235,56.1235]}`, "{}"), nil, nil},
		{"bbox 2e-6 degrees off", feature(`{"type":"Point","coordinates":[9.123456,56.123456],"bbox":[9.123458,56.123456,9.123458,56.123456]}`, "{}"), []string{"bbox-wrong"}, nil},
		{"bbox 9e-7 degrees off", feature(`{"type":"Point","coordinates":[9.123456,56.123456],"bbox":[9.1234569,56.123456,9.1234569,56.123456]}`, "{}"), nil, nil},
		{"bbox too large", feature(`{"type":"Point","coordinates":[9,56],"bbox":[8,56,10,57]}`, "{}"), []string{"bbox-far"}, nil},
		{"bbox a little too large", feature(`{"type":"LineString","coordinates":[[9,56],[9.01,56.01]],"bbox":[9,56,9.01,56.0115]}`, "{}"), []string{"bbox-wide"}, nil},
		{"bbox a fifth too large", feature(`{"type":"LineString","coordinates":[[9,56],[9.01,56.01]],"bbox":[9,56,9.01,56.0121]}`, "{}"), []string{"bbox-far"}, nil},
		{"bbox over the antimeridian", feature(`{"type":"MultiPoint","coordinates":[[179.9,10],[-179.9,11]],"bbox":[179.9,10,-179.9,11]}`, "{}"), nil, nil},
		{"geometry and place 0.04 m apart", jsonfgBeside(0.04), nil, nil},
		{"geometry and place 0.06 m apart", jsonfgBeside(0.06), []string{"place-elsewhere"}, nil},
		{"geometry members", feature(`{"type":"Point","coordinates":[9,56],"measured":true}`, "{}"), nil, func(t *testing.T, p *schema.Plan) {
			if got := string(p.Features[0].Attributes.AppendJSON(nil)); got != `{"geojson_members":{"geometry":{"measured":true}}}` {
				t.Error(got)
			}
		}},
		{"members of a part", feature(`{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[9,56],"a":1}]}`, "{}"), []string{"geometry-member-dropped"}, nil},
		{"old crs of WGS 84", `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"features":[]}`, []string{"crs-member"}, func(t *testing.T, p *schema.Plan) {
			if !p.CRS.Equal(crs.WGS84()) {
				t.Errorf("CRS %s", p.CRS.ID())
			}
		}},
		{"old crs, longitude first", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[120,56]},"properties":{}}],"crs":{"type":"EPSG","properties":{"code":4326}}}`, []string{"crs-member"}, func(t *testing.T, p *schema.Plan) {
			if !p.CRS.Equal(crs.WGS84()) || p.Features[0].Geometry.FlatCoords()[0] != 120 {
				t.Errorf("CRS %s, %v", p.CRS.ID(), p.Features[0].Geometry.FlatCoords())
			}
		}},
		{"old crs, projected, behind the features", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[500000.5,6228000.25]},"properties":{}}],"crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::25832"}}}`, []string{"crs-member"}, func(t *testing.T, p *schema.Plan) {
			if p.CRS.ID() != "EPSG:25832" || p.Features[0].Geometry.FlatCoords()[0] != 500000.5 {
				t.Errorf("CRS %s, %v", p.CRS.ID(), p.Features[0].Geometry.FlatCoords())
			}
		}},
		{"old crs null", `{"type":"FeatureCollection","crs":null,"features":[]}`, []string{"crs-member"}, func(t *testing.T, p *schema.Plan) {
			if p.CRS != nil {
				t.Errorf("CRS %s", p.CRS.ID())
			}
		}},
		{"members and a property of that name", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":{"geojson_members":{"a":1}},"b":2}]}`, []string{"members-merged"}, func(t *testing.T, p *schema.Plan) {
			if got := string(p.Features[0].Attributes.AppendJSON(nil)); got != `{"geojson_members":{"a":1,"b":2}}` {
				t.Error(got)
			}
		}},
		{"deep but allowed", feature("null", `{"a":`+strings.Repeat("[", schema.MaxNesting)+strings.Repeat("]", schema.MaxNesting)+"}"), nil, nil},
		{"escaped names", `{"\u0074ype":"FeatureColl\u0065ction","features":[{"type":"\u0046eature","g\u0065ometry":null,"properties":{"r\u006fle":"zone"}}]}`, nil, func(t *testing.T, p *schema.Plan) {
			if p.Features[0].Role != schema.RoleZone {
				t.Errorf("%+v", p.Features[0])
			}
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := mustRead(t, tt.text, tt.kinds...)
			if tt.check != nil {
				tt.check(t, p)
			}
		})
	}
}

func TestReadErrors(t *testing.T) {
	point := `{"type":"Point","coordinates":[9,56]}`
	deep := strings.Repeat(`{"type":"GeometryCollection","geometries":[`, 50) + point + strings.Repeat("]}", 50)
	tests := []struct{ name, text, want string }{
		{"empty", "", "x.geojson: the file is empty; check that it was saved or sent whole"},
		{"white space", " \n\t ", "x.geojson: the file is empty; check that it was saved or sent whole"},
		{"UTF-16", "\xff\xfe{\x00\"\x00t\x00", "x.geojson:1:2: a string is not closed; the file is cut off, or a quote is missing"},
		{"UTF-32", "\xff\xfe\x00\x00{\x00\x00\x00", "x.geojson:1: the text is UTF-32, not UTF-8; save it again with the encoding UTF-8"},
		{"NUL", "{\"type\":\n\"Fea\x00ture\"}", "x.geojson:2:5: a NUL byte stands in the text; the file is damaged or no text at all; export it again"},
		{"XML", "<kml/>", `x.geojson:1:1: "<" stands where an object should; a GeoJSON file is one object that starts with {`},
		{"not UTF-8", feature("null", "{\"note\":\"gr\x81s\"}"), "x.geojson:1: the byte 0x81 is not UTF-8; say which it is with --encoding, such as --encoding windows-1252, or save the file again with the encoding UTF-8"},
		{"list", `[{"type":"Feature"}]`, `x.geojson:1:1: a list stands where an object should: a GeoJSON file is one FeatureCollection; wrap the features: {"type": "FeatureCollection", "features": [...]}`},
		{"other JSON", `{"a":1}`, `x.geojson:1:1: the object has no "type"; a GeoJSON file is a FeatureCollection, a Feature or a geometry`},
		{"other type", `{"type":"Topology"}`, `x.geojson:1:1: the type is "Topology", which is not one of GeoJSON's; a GeoJSON file is a FeatureCollection, a Feature or a geometry`},
		{"no features", `{"type":"FeatureCollection"}`, `x.geojson:1:1: the FeatureCollection has no list "features"; give it one, if only "features": []`},
		{"text sequence", feature("null", "{}") + "\n" + feature("null", "{}"), `x.geojson:2:1: something stands after the end of the GeoJSON object; a file with one object a line is a text sequence; put the features into one FeatureCollection`},
		{"cut off in a list", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"LineString","coordinates":[[9,56],[9,5`, `x.geojson:1:117: features[0].geometry.coordinates[1][1]: the file ends where a comma or ] should stand; the file is cut off; get it again whole`},
		{"cut off in a number", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"LineString","coordinates":[[9,56],[9,56.`, `x.geojson:1:116: features[0].geometry.coordinates[1][1]: the file ends inside a number; the file is cut off; get it again whole`},
		{"cut off in a text", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"note":"gra`, `x.geojson:1:80: features[0].properties.note: a string is not closed; the file is cut off, or a quote is missing`},
		{"cut off between", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":{}}`, `x.geojson:1:91: features: the file ends where a comma or ] should stand; the file is cut off; get it again whole`},
		{"NaN", feature(`{"type":"Point","coordinates":[9,NaN]}`, "{}"), `x.geojson:1:103: features[0].geometry.coordinates[1]: "NaN" stands where a number should`},
		{"NaN in a property", feature("null", `{"a":NaN}`), `x.geojson:1:93: features[0].properties.a: "NaN" is no JSON value`},
		{"infinite", feature(`{"type":"Point","coordinates":[9,1e400]}`, "{}"), `x.geojson:1:103: features[0].geometry.coordinates[1]: 1e400 is past the range of numbers (about 1.8e308)`},
		{"infinite property", feature("null", `{"a":1e400}`), `x.geojson:1:93: features[0].properties.a: 1e400 is past the range of numbers (about 1.8e308)`},
		{"hexadecimal", feature(`{"type":"Point","coordinates":[0x10,1]}`, "{}"), `x.geojson:1:102: features[0].geometry.coordinates[0]: "x" stands where a comma or ] should`},
		{"leading zero", feature(`{"type":"Point","coordinates":[09,1]}`, "{}"), `x.geojson:1:101: features[0].geometry.coordinates[0]: "09" is not a number in JSON's form`},
		{"plus sign", feature(`{"type":"Point","coordinates":[+9,1]}`, "{}"), `x.geojson:1:101: features[0].geometry.coordinates[0]: "+9" is not a number in JSON's form`},
		{"bare point", feature(`{"type":"Point","coordinates":[9.,1]}`, "{}"), `x.geojson:1:101: features[0].geometry.coordinates[0]: "9." is not a number in JSON's form`},
		{"exponent without digits", feature(`{"type":"Point","coordinates":[9e,1]}`, "{}"), `x.geojson:1:101: features[0].geometry.coordinates[0]: "9e" is not a number in JSON's form`},
		{"control character", feature("null", "{\"a\":\"x\x01y\"}"), `x.geojson:1:95: features[0].properties.a: a control character stands bare inside a string`},
		{"key twice", feature("null", `{"a":1,"b":2,"a":3}`), `x.geojson:1:101: features[0].properties: the name "a" stands twice in one object; remove one of the two`},
		{"role twice", feature("null", `{"role":"zone","role":"dock"}`), `x.geojson:1:103: features[0].properties: the name "role" stands twice in one object; remove one of the two`},
		{"geometry twice", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":{},"geometry":null}]}`, `x.geojson:1:91: features[0]: the name "geometry" stands twice in one object; remove one of the two`},
		{"member twice", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":{},"x":1,"x":2}]}`, `x.geojson:1:97: features[0]: the name "x" stands twice in one object; remove one of the two`},
		{"member of a geometry twice", feature(`{"type":"Point","coordinates":[9,56],"x":1,"x":2}`, "{}"), `x.geojson:1:113: features[0].geometry: the name "x" stands twice in one object; remove one of the two`},
		{"coordinates twice", feature(`{"type":"Point","coordinates":[9,56],"coordinates":[9,57]}`, "{}"), `x.geojson:1:107: features[0].geometry: the name "coordinates" stands twice in one object; remove one of the two`},
		{"key twice among many", feature("null", `{"a":1,"b":1,"c":1,"d":1,"e":1,"f":1,"g":1,"h":1,"i":1,"j":1,"k":1,"l":1,"m":1,"n":1,"o":1,"p":1,"q":1,"r":1,"s":1,"c":2}`), `x.geojson:1:203: features[0].properties: the name "c" stands twice in one object; remove one of the two`},
		{"features twice", `{"type":"FeatureCollection","features":[],"features":[]}`, `x.geojson:1:43: the name "features" stands twice in one object; remove one of the two`},
		{"case of a key", `{"Type":"FeatureCollection","features":[]}`, `x.geojson:1:1: the object has no "type"; a GeoJSON file is a FeatureCollection, a Feature or a geometry`},
		{"case of a type", `{"type":"featureCollection","features":[]}`, `x.geojson:1:1: the type is "featureCollection"; capitals count; write FeatureCollection or Feature`},
		{"case of a feature", `{"type":"FeatureCollection","features":[{"type":"feature"}]}`, `x.geojson:1:49: features[0].type: the type is "feature", where "Feature" should stand; capitals count: write Feature`},
		{"case of a geometry", feature(`{"type":"POINT","coordinates":[9,1]}`, "{}"), `x.geojson:1:78: features[0].geometry.type: the type is "POINT"; capitals count; write Point`},
		{"geometry as feature", `{"type":"FeatureCollection","features":[` + point + `]}`, `x.geojson:1:49: features[0].type: the type is "Point", where "Feature" should stand; wrap the geometry: {"type": "Feature", "properties": {}, "geometry": ...}`},
		{"collection as feature", `{"type":"FeatureCollection","features":[{"type":"FeatureCollection","features":[]}]}`, `x.geojson:1:49: features[0].type: the type is "FeatureCollection", where "Feature" should stand; a FeatureCollection holds Features, not other collections`},
		{"null feature", `{"type":"FeatureCollection","features":[null]}`, `x.geojson:1:41: features[0]: null stands where a Feature should`},
		{"comma at the end of a list", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":{}},]}`, `x.geojson:1:92: features[1]: "]" stands where a Feature should`},
		{"comma at the end of an object", feature("null", `{"a":1,}`), `x.geojson:1:94: features[0].properties: a comma stands before the closing brace; remove the comma`},
		{"no comma", feature("null", `{"a":1 "b":2}`), `x.geojson:1:95: features[0].properties: a text stands where a comma or } should`},
		{"wrong bracket", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":{}]}`, `x.geojson:1:90: features[0]: "]" stands where a comma or } should`},
		{"id of a list", `{"type":"FeatureCollection","features":[{"type":"Feature","id":[1]}]}`, `x.geojson:1:64: features[0].id: an id is a text or a number; this one is a list; give the feature a text or a number for its id`},
		{"properties of a list", feature("null", "[]"), `x.geojson:1:88: features[0].properties: a list stands where an object or null should`},
		{"geometry of a list", feature("[9,56]", "{}"), `x.geojson:1:70: features[0].geometry: a list stands where a geometry should`},
		{"geometry without type", feature(`{"coordinates":[9,56]}`, "{}"), `x.geojson:1:70: features[0].geometry: the geometry has no "type"; name its type, such as Polygon`},
		{"geometry without coordinates", feature(`{"type":"Point"}`, "{}"), `x.geojson:1:78: features[0].geometry: a Point without coordinates; give it coordinates, or make the geometry null`},
		{"curve", feature(`{"type":"CircularString","coordinates":[[9,56],[9.1,56],[9.2,56]]}`, "{}"), `x.geojson:1:78: features[0].geometry.type: a plan does not hold geometries of the type CircularString; export curves as lines and solids as their outline`},
		{"one number", feature(`{"type":"Point","coordinates":[9]}`, "{}"), `x.geojson:1:100: features[0].geometry.coordinates: a position has at least two numbers; here is one; give longitude and latitude`},
		{"text for a number", feature(`{"type":"Point","coordinates":["9",56]}`, "{}"), `x.geojson:1:101: features[0].geometry.coordinates[0]: a text stands where a number should`},
		{"null for a number", feature(`{"type":"Point","coordinates":[9,56,null]}`, "{}"), `x.geojson:1:106: features[0].geometry.coordinates[2]: null stands where a number should`},
		{"too shallow", feature(`{"type":"Polygon","coordinates":[[9,56],[9,57],[10,57]]}`, "{}"), `x.geojson:1:102: features[0].geometry.coordinates: the coordinates of a Polygon are a list of lists of positions, nested 3 deep; here they nest 2 deep`},
		{"too deep", feature(`{"type":"Point","coordinates":[[[[[9,56]]]]]}`, "{}"), `x.geojson:1:100: features[0].geometry.coordinates: the coordinates nest more than 4 deep, which no geometry does`},
		{"uneven", feature(`{"type":"Polygon","coordinates":[[[9,56],[9,57],[10,57]],[9,56]]}`, "{}"), `x.geojson:1:128: features[0].geometry.coordinates[1][0]: a number stands where a position (a list of numbers) should`},
		{"ring of one", feature(`{"type":"Polygon","coordinates":[[[9,56]]]}`, "{}"), `x.geojson:1:102: features[0].geometry.coordinates[0]: an outline of one or two positions encloses nothing; remove the outline, or draw it whole`},
		{"hole of two", feature(`{"type":"MultiPolygon","coordinates":[[[[9,56],[9,57],[10,57],[9,56]],[[9,56],[9,57]]]]}`, "{}"), `x.geojson:1:107: features[0].geometry.coordinates[0][1]: an outline of one or two positions encloses nothing; remove the outline, or draw it whole`},
		{"line of one", feature(`{"type":"LineString","coordinates":[[9,56]]}`, "{}"), `x.geojson:1:105: features[0].geometry.coordinates: a line has at least two positions; here is one; remove the feature, or make it a Point`},
		{"second line of one", feature(`{"type":"MultiLineString","coordinates":[[[9,56],[9,57]],[[9,56]]]}`, "{}"), `x.geojson:1:110: features[0].geometry.coordinates[1]: a line has at least two positions; here is one; remove the line`},
		{"empty position", feature(`{"type":"LineString","coordinates":[[9,56],[]]}`, "{}"), `x.geojson:1:113: features[0].geometry.coordinates[1]: an empty list stands where a position should; leave it out`},
		{"empty ring", feature(`{"type":"Polygon","coordinates":[[[9,56],[9,57],[8,57]],[]]}`, "{}"), `x.geojson:1:127: features[0].geometry.coordinates[1]: an empty list stands where a list of positions should; leave the empty list out`},
		{"collection with coordinates", feature(`{"type":"GeometryCollection","coordinates":[9,56],"geometries":[]}`, "{}"), `x.geojson:1:113: features[0].geometry.coordinates: a GeometryCollection has no coordinates of its own`},
		{"polygon with geometries", feature(`{"type":"Point","coordinates":[9,56],"geometries":[]}`, "{}"), `x.geojson:1:120: features[0].geometry.geometries: a Point holds no other geometries`},
		{"latitude 95", feature(`{"type":"LineString","coordinates":[[9,56],[100,95]]}`, "{}"), `x.geojson:1:113: features[0].geometry.coordinates[1]: latitude 95 is past 90 degrees; correct the position`},
		{"swapped", feature(`{"type":"Point","coordinates":[56,100]}`, "{}"), `x.geojson:1:100: features[0].geometry.coordinates: latitude 100 is past 90 degrees; longitude comes first in GeoJSON: swap the two numbers if latitude was written first`},
		{"longitude 200", feature(`{"type":"Point","coordinates":[200,56]}`, "{}"), `x.geojson:1:100: features[0].geometry.coordinates: longitude 200 is past 180 degrees; write longitudes from -180 to 180`},
		{"projected", feature(`{"type":"Polygon","coordinates":[[[9,56],[9,57],[10,57],[9,56]],[[9,56],[500000,6228000],[9,56]]]}`, "{}"), `x.geojson:1:142: features[0].geometry.coordinates[1][1]: (500000, 6228000) is no longitude and latitude, and the file names no other coordinate system; name the system of the coordinates (--from EPSG:...)`},
		{"50 deep property", feature("null", `{"a":`+strings.Repeat("[", 50)+strings.Repeat("]", 50)+"}"), `x.geojson:1:125: features[0].properties.a: lists and objects nest more than 32 deep, the limit input_max_nesting; flatten the value, or raise the limit in a limits file`},
		{"50 deep member", `{"type":"FeatureCollection","x":` + strings.Repeat(`{"a":`, 50) + "1" + strings.Repeat("}", 50) + `,"features":[]}`, `x.geojson:1:193: x: lists and objects nest more than 32 deep, the limit input_max_nesting; flatten the value, or raise the limit in a limits file`},
		{"50 deep list", strings.Repeat("[", 50) + strings.Repeat("]", 50), `x.geojson:1:33: lists and objects nest more than 32 deep, the limit input_max_nesting; flatten the value, or raise the limit in a limits file`},
		{"50 deep geometry", feature(deep, "{}"), "x.geojson:1:1446: features[0].geometry" + strings.Repeat(".geometries[0]", 32) + `: geometries nest more than 32 deep, the limit input_max_nesting; flatten the GeometryCollection, or raise the limit in a limits file`},
		{"unknown crs", `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"local"}},"features":[]}`, `x.geojson:1:35: crs: `},
		{"linked crs", `{"type":"FeatureCollection","crs":{"type":"link","properties":{"href":"a.prj"}},"features":[]}`, `x.geojson:1:35: crs: the member "crs" names its system in a way that is not known here: {"type":"link","properties":{"href":"a.prj"}}; name the system with --from EPSG:..., which holds instead`},
		{"two systems", `{"type":"FeatureCollection","coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/25832","features":[{"type":"Feature","coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/25833","geometry":null,"properties":null}]}`,
			`x.geojson:1:133: features[0].coordRefSys: the file names two coordinate systems: "http://www.opengis.net/def/crs/EPSG/0/25832" and "http://www.opengis.net/def/crs/EPSG/0/25833"; a plan stands in one system; split the file`},
		{"a line of its own", "{\"type\":\"FeatureCollection\",\n\"features\":[\n{\"type\":\"Feature\",\"geometry\":null,\"properties\":{}},\n{\"type\":\"Feature\",\n  \"geometry\":{\"type\":\"Point\",\"coordinates\":[9,x]}}]}", `x.geojson:5:47: features[1].geometry.coordinates[1]: "x" stands where a number should`},
	}
	bothWays(t, func(t *testing.T) {
		for _, tt := range tests {
			p, _, err := readText(tt.text, wire.ReadOptions{})
			var in *wire.InputError
			switch {
			case err == nil:
				t.Errorf("%s: no error, %d features", tt.name, len(p.Features))
			case !errors.As(err, &in):
				t.Errorf("%s: no InputError: %v", tt.name, err)
			case err.Error() != tt.want && !(strings.HasSuffix(tt.want, ": ") && strings.HasPrefix(err.Error(), tt.want)):
				t.Errorf("%s:\n got %s\nwant %s", tt.name, err, tt.want)
			}
		}
	})
}

func TestReadLimits(t *testing.T) {
	limits := func(key string, v float64) wire.ReadOptions {
		l := schema.DefaultLimits()
		if err := l.Set(key, v, schema.OriginFile, "test"); err != nil {
			t.Fatal(err)
		}
		return wire.ReadOptions{Limits: l}
	}
	two := `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"LineString","coordinates":[[9,56],[9,57]]},"properties":{"a":[[1]]}},{"type":"Feature","geometry":{"type":"LineString","coordinates":[[9,56],[9,57]]},"properties":{}}]}`
	tests := []struct {
		key  string
		v    float64
		want string
	}{
		{"input_max_features", 2, ""},
		{"input_max_features", 1, "input_max_features"},
		{"input_max_vertices", 4, ""},
		{"input_max_vertices", 3, "input_max_vertices"},
		{"input_max_vertices", 1, "input_max_vertices"},
		{"input_max_nesting", 2, ""},
		{"input_max_nesting", 1, "input_max_nesting"},
	}
	bothWays(t, func(t *testing.T) {
		for _, tt := range tests {
			_, _, err := readText(two, limits(tt.key, tt.v))
			switch {
			case tt.want == "" && err != nil:
				t.Errorf("%s = %v: %v", tt.key, tt.v, err)
			case tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)):
				t.Errorf("%s = %v: got %v", tt.key, tt.v, err)
			}
		}
	})
}

func TestReadUsersSystem(t *testing.T) {
	grid, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	projected := feature(`{"type":"Point","coordinates":[500000,6228000]}`, "{}")
	p, warnings, err := readText(projected, wire.ReadOptions{CRS: grid})
	if err != nil || len(warnings) != 0 || !p.CRS.Equal(grid) {
		t.Errorf("told the system: %v %v", warnings, err)
	}
	stated := strings.Replace(projected, `"features"`, `"crs":{"type":"name","properties":{"name":"EPSG:25833"}},"features"`, 1)
	p, warnings, err = readText(stated, wire.ReadOptions{CRS: grid})
	if err != nil || !p.CRS.Equal(grid) || len(warnings) != 2 || warnings[1].Kind != "crs-overridden" {
		t.Errorf("overridden: %v %v", warnings, err)
	}
}

func TestReadingKeepsNothingOfTheInput(t *testing.T) {
	text := []byte(feature(`{"type":"Point","coordinates":[9,56]}`, `{"name":"Green","note":"long enough to be no short text at all","a":["x"]}`))
	p, _, err := Read(text, wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	before := fmt.Sprint(p.Features[0].Name, string(p.Features[0].Attributes.AppendJSON(nil)), p.Features[0].Geometry.FlatCoords())
	for i := range text {
		text[i] = '#'
	}
	if after := fmt.Sprint(p.Features[0].Name, string(p.Features[0].Attributes.AppendJSON(nil)), p.Features[0].Geometry.FlatCoords()); after != before {
		t.Errorf("the plan changed with the input: %s against %s", after, before)
	}
}

// TestNumber holds the reader's own numbers against the standard library's.
func TestNumber(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	texts := []string{"0", "-0", "0.5", "9007199254740993", "9007199254740993.0", "18446744073709551617", "0.1234567890123456789012345", "179.99999999999999999", "1e-400", "-1E+5", "1.7976931348623157e308"}
	for i := 0; i < 50_000; i++ {
		texts = append(texts, strconv.FormatFloat((r.Float64()-0.5)*math.Pow(10, float64(r.IntN(30)-10)), "efg"[r.IntN(3)], r.IntN(22), 64))
	}
	for _, s := range texts {
		want, err := strconv.ParseFloat(s, 64)
		got, next, ok := wire.ScanFloat([]byte(s+","), 0, true)
		if err != nil || !ok || next != len(s) || math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%s is read as %v up to %d, %v; want %v, %v", s, got, next, ok, want, err)
		}
	}
}

func TestDetect(t *testing.T) {
	for text, want := range map[string]bool{
		`{"type":"Feature"}`: true, " \n{ }": true, "{": true, `[{"a":1}]`: true, "[]": true, "[1": true,
		"": false, "<kml>": false, "{a}": false, "[section]": false, "id,lon,lat": false, "PK\x03\x04": false,
	} {
		if got := Detect([]byte(text)); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// jsonfgBeside is a file in UTM of WGS 84 whose point lies on the central
// meridian, at the equator, and so far north of there in "geometry". A degree of
// latitude is pi/180 of the meridian radius b^2/a = 6335439.327 m long there.
func jsonfgBeside(off float64) string {
	return fmt.Sprintf(`{"type":"FeatureCollection","conformsTo":["http://www.opengis.net/spec/json-fg-1/1.0/conf/core"],"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/32632","features":[`+
		`{"type":"Feature","geometry":{"type":"Point","coordinates":[9,%.10f]},"place":{"type":"Point","coordinates":[500000,0]},"properties":{}}]}`, off/0.9996/6335439.327*180/math.Pi)
}

// TestBesideInAnotherFrame: where "geometry" says WGS 84 of no year and "place"
// moves with a plate, one feature that lies off is told, whether frames may do
// that or not; features that all lie off by the same are their frames.
func TestBesideInAnotherFrame(t *testing.T) {
	file := func(epsg int, lon float64, offs ...float64) string {
		text := fmt.Sprintf(`{"type":"FeatureCollection","conformsTo":["http://www.opengis.net/spec/json-fg-1/1.0/conf/core"],"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/%d","features":[`, epsg)
		north, sign := 0.0, 1.0
		if epsg == 7855 {
			north, sign = 1e7, -1
		}
		for i, off := range offs {
			if i > 0 {
				text += ","
			}
			// On the central meridian a metre of latitude near 45 degrees.
			lat := sign * 45
			northing := north + sign*0.9996*4984944.378
			text += fmt.Sprintf(`{"type":"Feature","geometry":{"type":"Point","coordinates":[%v,%.10f]},"place":{"type":"Point","coordinates":[500000,%.4f]},"properties":{}}`, lon, lat+off/111131.8, northing)
		}
		return text + "]}"
	}
	for _, x := range []struct {
		epsg int
		lon  float64
		offs []float64
		told string
	}{
		{25832, 9, []float64{0.02}, ""}, {25832, 9, []float64{0.1}, "may come of their frames"}, {25832, 9, []float64{1}, "may come of their frames"}, {25832, 9, []float64{10}, "9.99 m from"},
		{7855, 147, []float64{0.02}, ""}, {7855, 147, []float64{1}, "may come of their frames"}, {7855, 147, []float64{10}, "9.99 m from"},
		{25832, 9, []float64{0.8, 0.8, 0.8}, ""}, {25832, 9, []float64{0.8, 0.8}, "may come of their frames"}, {25832, 9, []float64{0, 0, 0.8}, "may come of their frames"}, {25832, 9, []float64{2.6, 2.6, 2.6}, "from the other's"},
		{32632, 9, []float64{0.8, 0.8, 0.8}, "from the other's; its"},
	} {
		_, warnings, err := Read([]byte(file(x.epsg, x.lon, x.offs...)), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, w := range warnings {
			if w.Kind == "place-elsewhere" {
				said = w.Message
			}
		}
		if (said != "") != (x.told != "") || !strings.Contains(said, x.told) {
			t.Errorf("EPSG:%d %v: %s", x.epsg, x.offs, said)
		}
	}
}
