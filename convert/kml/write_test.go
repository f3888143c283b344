// Writing: what stands in the file, that the standard's schema accepts it, that
// everything the plan model holds comes back, and that edits by others count.

package kml

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func num(text string) schema.Value {
	v, ok := schema.Number(text)
	if !ok {
		panic("not a number: " + text)
	}
	return v
}

// plan makes a plan of features in WGS 84.
func plan(features ...*schema.Feature) *schema.Plan {
	return &schema.Plan{CRS: crs.WGS84(), Features: features, Source: schema.Source{Winding: schema.WindingStandard}}
}

var square = []float64{9, 56, 9.001, 56, 9.001, 56.001, 9, 56.001, 9, 56}

// garden is a small invented plan with something of everything.
func garden() *schema.Plan {
	nan := math.NaN()
	p := plan(
		&schema.Feature{ID: schema.String("z1"), Role: schema.RoleZone, Name: "Bowling green",
			Geometry: geom.NewPolygonFlat(geom.XYZ, []float64{
				9, 56, 0, 9.001, 56, nan, 9.001, 56.001, 1.25, 9, 56.001, -3, 9, 56, 0,
				9.0002, 56.0002, nan, 9.0002, 56.0004, nan, 9.0004, 56.0002, nan, 9.0002, 56.0002, nan}, []int{15, 27}),
			Attributes: schema.Attributes{{Key: "cut_mm", Value: schema.Int(5)}, {Key: "note", Value: schema.String("Two <b>lines</b>\r\nand = signs")}, {Key: "active", Value: schema.Bool(true)},
				{Key: "altitude_mode", Value: schema.String("relativeToGround")}, {Key: "extrude", Value: schema.Bool(false)}}},
		&schema.Feature{ID: num("7"), Role: schema.RoleDock, Name: " dock ", Geometry: geom.NewPointFlat(geom.XY, []float64{9.0000000001, -56.00000000005}),
			Attributes: schema.Attributes{{Key: "owner", Value: schema.Null()}, {Key: "heading_deg", Value: num("90.50")}, {Key: "tags", Value: schema.List(schema.String("a"), num("1e3"), schema.Null())},
				{Key: "visibility", Value: schema.Bool(false)}, {Key: "time", Value: schema.String("2024-05-01")}}},
		&schema.Feature{Role: schema.RoleOther, Name: "a\x01b", Geometry: geom.NewGeometryCollection().MustPush(geom.NewPointFlat(geom.XY, []float64{9, 56}), geom.NewPointFlat(geom.XYZ, []float64{9, 56, 0})),
			Attributes: schema.Attributes{{Key: "id", Value: schema.String("=1")}, {Key: "name", Value: num("12345678901234567890")}, {Key: "heading_deg", Value: num("4e0")}, {Key: "=key\x02", Value: schema.String("\ufffe")}}},
		&schema.Feature{ID: schema.String(""), Role: schema.RoleBoundary},
	)
	p.Name, p.Epoch = "Invented garden", 2020.25
	p.Attributes = schema.Attributes{{Key: "held", Value: schema.String("offsets")}, {Key: "client", Value: schema.Null()}, {Key: "limits", Value: schema.Object(schema.Attributes{{Key: "base_range_m", Value: schema.Int(300)}})}, {Key: "note", Value: schema.String("all made up")}}
	return p
}

func TestGolden(t *testing.T) {
	p := garden()
	q, text := through(t, p, false)
	golden(t, "garden.golden.kml", string(text))
	if err := schema.Same(p, q, 1e-5); err != nil {
		t.Error(err)
	}
}

// TestTextsAndTypes takes every awkward text and type through every place where
// a text can stand.
func TestTextsAndTypes(t *testing.T) {
	texts := []string{"", " ", " a ", "\t", "\n", "\r", "\r\n", "a\rb", "\x00", "\x01", "\x1f", "\x7f", "\u0085", "\ufffd", "\ufffe", "x\uffffy", "=", "=1", "==", `="a"`, "= ", "null", "1", "1.0", "007", "true",
		`{"a":1}`, "[", "]]>", "<!--", "&amp;", "&#0;", "\"'", "a=1", "é\u0301", "\U0001F600", strings.Repeat("long ", 2000)}
	p := plan()
	p.Name = "\x02=\ufffe "
	for i, text := range texts {
		f := &schema.Feature{ID: schema.String(text), Role: schema.Roles[i%len(schema.Roles)], Name: text}
		f.Attributes.Set(text, schema.String(text))
		f.Attributes.Set("mixed", []schema.Value{schema.String(text), num("1"), schema.Null(), schema.Bool(true), schema.List(schema.String(text)), schema.Object(schema.Attributes{{Key: text, Value: schema.String(text)}})}[i%6])
		f.Attributes.Set("note", schema.String(text))
		f.Attributes.Set("address", schema.String(text))
		f.Attributes.Set("phone_number", schema.String(text))
		f.Attributes.Set("snippet", schema.String(text))
		f.Attributes.Set("time", schema.String(text))
		p.Features = append(p.Features, f)
		p.Attributes.Set("k"+text, schema.String(text))
	}
	q, first := through(t, p, false)
	if err := schema.Same(p, q, 0); err != nil {
		t.Error(err)
	}
	if _, second := through(t, q, false); !bytes.Equal(first, second) {
		t.Error("a second pass writes other bytes")
	}
}

func TestFieldTypes(t *testing.T) {
	for _, c := range []struct {
		values []schema.Value
		want   string
	}{
		{[]schema.Value{num("1"), num("-2147483648"), num("2147483647"), schema.Null()}, `type="int"`},
		{[]schema.Value{num("0"), num("2147483648")}, `type="uint"`},
		{[]schema.Value{num("-1"), num("4294967295")}, `type="double"`},
		{[]schema.Value{num("4294967296")}, `type="double"`},
		{[]schema.Value{num("1"), num("1.0")}, `type="double"`},
		{[]schema.Value{num("12345678901234567890")}, `type="double"`},
		{[]schema.Value{num("1e3")}, `type="double"`},
		{[]schema.Value{schema.Bool(true), schema.Bool(false), schema.Null()}, `type="bool"`},
		{[]schema.Value{schema.Bool(true), num("1")}, `type="string"`},
		{[]schema.Value{schema.String("1"), num("1")}, `type="string"`},
		{[]schema.Value{schema.List()}, `type="string"`},
		{[]schema.Value{schema.Object(schema.Attributes{})}, `type="string"`},
	} {
		var features []*schema.Feature
		for _, v := range c.values {
			features = append(features, &schema.Feature{Role: schema.RoleOther, Attributes: schema.Attributes{{Key: "k", Value: v}}})
		}
		p := plan(features...)
		q, text := through(t, p, false)
		if err := schema.Same(p, q, 0); err != nil {
			t.Error(err)
		}
		if !strings.Contains(string(text), `<SimpleField name="k" `+c.want) {
			t.Errorf("%v: want %s in\n%s", c.values, c.want, text)
		}
	}
}

func TestGeometries(t *testing.T) {
	point := func() geom.T { return geom.NewPointFlat(geom.XY, []float64{9, 56}) }
	lineString := func() geom.T { return geom.NewLineStringFlat(geom.XY, []float64{9, 56, 9.1, 56.1}) }
	polygon := func() geom.T { return geom.NewPolygonFlat(geom.XY, square, []int{10}) }
	collect := func(parts ...geom.T) geom.T { return geom.NewGeometryCollection().MustPush(parts...) }
	for _, c := range []struct {
		name string
		g    geom.T
		part string // what the field geometry must say, "" for no such field
	}{
		{"none", nil, ""},
		{"point", point(), ""},
		{"multipoint of one", geom.NewMultiPointFlat(geom.XY, []float64{9, 56}), ""},
		{"empty multipoint", geom.NewMultiPoint(geom.XY), "MultiPoint"},
		{"multipoint with an empty point", geom.NewMultiPointFlat(geom.XY, []float64{9, 56}, geom.NewMultiPointFlatOptionWithEnds([]int{0, 2, 2})), ""},
		{"empty point", geom.NewPointEmpty(geom.XY), ""},
		{"empty line", geom.NewLineString(geom.XY), ""},
		{"empty polygon", geom.NewPolygon(geom.XY), ""},
		{"empty multiline", geom.NewMultiLineString(geom.XY), "MultiLineString"},
		{"empty multipolygon", geom.NewMultiPolygon(geom.XY), "MultiPolygon"},
		{"multipolygon with an empty one", geom.NewMultiPolygonFlat(geom.XY, square, [][]int{{}, {10}, {}}), ""},
		{"empty collection", collect(), ""},
		{"collection of points", collect(point(), point()), "GeometryCollection"},
		{"collection of one line", collect(lineString()), "GeometryCollection"},
		{"collection of polygons", collect(polygon(), polygon()), "GeometryCollection"},
		{"mixed collection", collect(point(), polygon()), ""},
		{"collection of multis", collect(geom.NewMultiPointFlat(geom.XY, []float64{9, 56}), geom.NewMultiPointFlat(geom.XY, []float64{9, 56})), ""},
		{"nested collections", collect(point(), collect(collect(point()), geom.NewMultiPoint(geom.XY), lineString())), "GeometryCollection(,GeometryCollection(GeometryCollection,MultiPoint,))"},
		{"heights differ by part", collect(geom.NewPointFlat(geom.XYZ, []float64{9, 56, 0}), point()), "GeometryCollection"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := plan(&schema.Feature{Role: schema.RoleOther, Geometry: c.g})
			q, text := through(t, p, false)
			if err := schema.Same(p, q, 0); err != nil {
				t.Errorf("%v\n%s", err, text)
			}
			want := ""
			if c.part != "" {
				want = `<SimpleData name="geometry">` + c.part + `</SimpleData>`
			}
			if got := strings.Contains(string(text), `<SimpleData name="geometry">`); got != (want != "") || !strings.Contains(string(text), want) {
				t.Errorf("want %q in\n%s", want, text)
			}
		})
	}
}

func TestShowAttributes(t *testing.T) {
	twoLines := geom.NewMultiLineStringFlat(geom.XY, []float64{9, 56, 9.1, 56, 9, 57, 9.1, 57}, []int{4, 8})
	for _, c := range []struct {
		key  string
		v    schema.Value
		want string // "" when nothing is to show
	}{
		{"altitude_mode", schema.String("absolute"), "<LineString><altitudeMode>absolute</altitudeMode><coordinates>9,56 9.1,56</coordinates></LineString><LineString><altitudeMode>absolute"},
		{"altitude_mode", schema.String("clampToSeaFloor"), ""},
		{"altitude_mode", num("1"), ""},
		{"altitude_mode", schema.List(schema.Null(), schema.String("absolute")), "<LineString><coordinates>9,56 9.1,56</coordinates></LineString><LineString><altitudeMode>absolute"},
		{"altitude_mode", schema.List(schema.String("absolute")), ""},
		{"extrude", schema.Bool(true), "<extrude>1</extrude>"},
		{"tessellate", schema.Bool(false), "<tessellate>0</tessellate>"},
		{"tessellate", schema.String("1"), ""},
	} {
		p := plan(&schema.Feature{Role: schema.RoleOther, Geometry: twoLines, Attributes: schema.Attributes{{Key: c.key, Value: c.v}}})
		q, text := through(t, p, false)
		if err := schema.Same(p, q, 0); err != nil {
			t.Error(err)
		}
		shown := string(text[bytes.Index(text, []byte("<MultiGeometry>")):])
		if c.want == "" {
			c.want = "<MultiGeometry><LineString><coordinates>"
		}
		if !strings.Contains(shown, c.want) {
			t.Errorf("%s %s: want %s in %s", c.key, c.v.AppendJSON(nil), c.want, shown)
		}
	}
}

// TestEdits changes a file of ours as other programs do.
func TestEdits(t *testing.T) {
	base := plan(&schema.Feature{ID: schema.String("a"), Role: schema.RoleZone, Name: "old", Geometry: geom.NewPolygonFlat(geom.XY, square, []int{10}),
		Attributes: schema.Attributes{{Key: "first", Value: schema.Null()}, {Key: "note", Value: schema.String("old note")}, {Key: "n", Value: num("1")}, {Key: "altitude_mode", Value: schema.String("absolute")}, {Key: "visibility", Value: schema.Bool(true)}}})
	var b bytes.Buffer
	if _, err := Write(&b, base, wire.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, from, to, want, warnings string }{
		{"nothing", "", "", `zone "old" id "a" {"first":null,"note":"old note","n":1,"altitude_mode":"absolute","visibility":true}`, ""},
		{"its name", "<name>old</name>", "<name>new</name>", `zone "new"`, ""},
		{"its description", "<description>old note<", "<description>new note<", `"note":"new note"`, "edited 1"},
		{"no description", "<description>old note</description>", "", `"note":"old note"`, ""},
		{"visibility in another word", "<visibility>1<", "<visibility>true<", `"visibility":true`, ""},
		{"visibility", "<visibility>1<", "<visibility>0<", `"visibility":false`, "edited 1"},
		{"the altitude mode", "<altitudeMode>absolute<", "<altitudeMode>clampToGround<", `"altitude_mode":"clampToGround"`, "edited 1"},
		{"its style", "<styleUrl>#swardline.zone<", "<styleUrl>#mine<", `"style_url":"#mine"`, "edited 1, style-unknown 1"},
		{"the style of what guards", "<styleUrl>#swardline.zone<", "<styleUrl>#swardline.keepout<", `zone "old"`, "style-role 1"},
		{"the style of what guards nothing", "<styleUrl>#swardline.zone<", "<styleUrl>#swardline.mark<", `zone "old"`, ""},
		{"a style of ours that is none", "<styleUrl>#swardline.zone<", "<styleUrl>#swardline.<", `zone "old"`, ""},
		{"a value", `<SimpleData name="n">1<`, `<SimpleData name="n">2.5<`, `"n":2.5`, ""},
		{"a value of another type", `<SimpleData name="n">1<`, `<SimpleData name="n">one<`, `"n":"one"`, "value-type 1"},
		{"a value emptied", `<SimpleData name="n">1<`, `<SimpleData name="n"><`, `"n":null`, ""},
		{"a null given a value", `<SimpleData name="note">`, `<SimpleData name="first">x</SimpleData><SimpleData name="note">`, `{"first":"x","note":"old note"`, ""},
		{"JSON broken", `<SimpleData name="note">old note<`, `<SimpleData name="note">=SUM(A1)<`, `"note":"old note"`, "json-broken 1, edited 1"},
		{"nulls broken", `={&#34;first&#34;:0}`, `={&#34;first&#34;:-1}`, `{"note":"old note"`, "json-broken 1"},
		{"nulls far behind", `={&#34;first&#34;:0}`, `={&#34;first&#34;:99}`, `"visibility":true,"first":null}`, ""},
		{"its role", `<SimpleData name="role">zone<`, `<SimpleData name="role">keepout<`, `keepout "old"`, ""},
		{"an unknown role", `<SimpleData name="role">zone<`, `<SimpleData name="role">lawn<`, `other "old" id "a" {"first":null,"role":"lawn"`, "role-unknown 1"},
		{"a part that we do not know", `<SimpleData name="role">`, `<SimpleData name="shape">round</SimpleData><SimpleData name="role">`, `zone "old"`, "skipped-unknown 1"},
		{"data of its own", "<ExtendedData><SchemaData schemaUrl=\"#swardline.feature\">", "<ExtendedData><Data name=\"seen\"><value> yes </value></Data><SchemaData schemaUrl=\"#swardline.feature\">", `"seen":"yes"`, ""},
		{"a geometry type that does not fit", `<SimpleData name="role">zone<`, `<SimpleData name="geometry">MultiPoint((</SimpleData><SimpleData name="role">zone<`, "Polygon[", ""},
		{"the schema of the attributes dropped", `<Schema id="swardline.feature.attributes" name="swardline.feature.attributes"`, `<Schema id="other"`, `"n":"1"`, "schema-unknown 1, edited 1"},
		{"in a folder", "<Placemark>", "<Folder><name>x</name><Placemark>", `"visibility":true,"folder":["x"]}`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(b.String(), c.from, c.to, 1)
			if c.from != "" && text == b.String() {
				t.Fatalf("%q is not in\n%s", c.from, text)
			}
			if strings.Contains(c.to, "<Folder>") {
				text = strings.Replace(text, "</Placemark>", "</Placemark></Folder>", 1)
			}
			p, warnings, err := Read([]byte(text), wire.ReadOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if got := dump(p, nil); !strings.Contains(got, c.want) {
				t.Errorf("got %s\nwant %s in it", got, c.want)
			}
			if got := kindsOf(warnings); got != c.warnings {
				t.Errorf("warnings %q, want %q", got, c.warnings)
			}
			for _, w := range warnings {
				if w.Kind == "style-role" && !w.Ground() {
					t.Errorf("%s is not told as what the plan lacks", w.Kind)
				}
			}
		})
	}
}

func TestWriteRefuses(t *testing.T) {
	at := func(x, y float64) *schema.Plan {
		return plan(&schema.Feature{Name: "first", Role: schema.RoleMark, Geometry: geom.NewPointFlat(geom.XY, []float64{9, 56})},
			&schema.Feature{Name: "second", Role: schema.RoleEdge, Geometry: geom.NewLineStringFlat(geom.XY, []float64{9, 56, x, y})})
	}
	unknown := at(9, 57)
	unknown.CRS = nil
	infinite := plan(&schema.Feature{Geometry: geom.NewPointFlat(geom.XYZ, []float64{9, 56, math.Inf(1)})})
	deep := geom.T(geom.NewPointFlat(geom.XY, []float64{9, 56}))
	for i := 0; i < 40; i++ {
		deep = geom.NewGeometryCollection().MustPush(deep)
	}
	for _, c := range []struct {
		name string
		p    *schema.Plan
		want string
	}{
		{"no CRS", unknown, "the plan's CRS is not known"},
		{"NaN", at(math.NaN(), 1), "feature 2 (second): point 2: NaN, 1"},
		{"infinite", at(1, math.Inf(-1)), "point 2"},
		{"latitude 95", at(9, 95), "point 2: 9, 95 is no longitude and latitude"},
		{"an infinite height", infinite, "point 1: the height is infinite"},
		{"deep collections", plan(&schema.Feature{Geometry: deep}), "nest more than 32 deep"},
		{"holes without a shell", plan(&schema.Feature{Geometry: geom.NewPolygonFlat(geom.XY, square, []int{0, 10})}), "holes but no outline"},
	} {
		for _, kmz := range []bool{false, true} {
			var b bytes.Buffer
			write := Write
			if kmz {
				write = WriteKMZ
			}
			if _, err := write(&b, c.p, wire.WriteOptions{}); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s: got %v, want %q in it", c.name, err, c.want)
			}
		}
	}
	grid, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Skipf("no such CRS yet: %v", err)
	}
	other := at(9, 57)
	other.CRS = grid
	var b bytes.Buffer
	if _, err := Write(&b, other, wire.WriteOptions{}); err == nil || !strings.Contains(err.Error(), "EPSG:25832: transform it") || b.Len() > 0 {
		t.Errorf("another CRS: %v, %d bytes", err, b.Len())
	}
}

// TestOneBadFeature makes sure that the error names the feature, whichever
// goroutine met it.
func TestOneBadFeature(t *testing.T) {
	p := randplan.Field(2000, 5)
	bad := p.Features[1234]
	good := bad.Geometry
	bad.Geometry = geom.NewPointFlat(geom.XY, []float64{9, math.NaN()})
	for i := 0; i < 3; i++ {
		var n counter
		if _, err := Write(&n, p, wire.WriteOptions{}); err == nil || !strings.HasPrefix(err.Error(), "feature 1235 (Zone 1234): ") {
			t.Fatalf("got %v", err)
		}
	}
	bad.Geometry = good
	q, _ := through(t, p, false)
	if err := schema.Same(p, q, 1e-4); err != nil {
		t.Error(err)
	}
}

type failing struct{ after int }

func (f *failing) Write(p []byte) (int, error) {
	if f.after -= len(p); f.after < 0 {
		return 0, errors.New("disk full")
	}
	return len(p), nil
}

func TestWriterFails(t *testing.T) {
	p := randplan.Field(1000, 20)
	for _, after := range []int{0, 3000, 100000} {
		if _, err := Write(&failing{after}, p, wire.WriteOptions{}); err == nil || !strings.Contains(err.Error(), "disk full") {
			t.Errorf("after %d bytes: %v", after, err)
		}
		if _, err := WriteKMZ(&failing{after / 100}, p, wire.WriteOptions{}); err == nil || !strings.Contains(err.Error(), "disk full") {
			t.Errorf("KMZ after %d bytes: %v", after/100, err)
		}
	}
}

func TestLosses(t *testing.T) {
	clockwise := append([]float64(nil), square...)
	schema.ReverseRing(clockwise, 2)
	for _, c := range []struct {
		name string
		g    geom.T
		want string
	}{
		{"nothing", geom.NewPolygonFlat(geom.XY, square, []int{10}), ""},
		{"a ring the wrong way round", geom.NewPolygonFlat(geom.XY, clockwise, []int{10}), "ring-reversed 1"},
		{"an open ring", geom.NewPolygonFlat(geom.XY, square[:8], []int{8}), "ring-closed 1"},
		{"an empty hole", geom.NewPolygonFlat(geom.XY, square, []int{10, 10}), "ring-empty 1"},
		{"a measure", geom.NewPointFlat(geom.XYM, []float64{9, 56, 5}), "measure 1"},
		{"a ring without a polygon", geom.NewLinearRingFlat(geom.XY, square), "linear-ring 1"},
	} {
		p := plan(&schema.Feature{Role: schema.RoleKeepout, Geometry: c.g})
		losses, err := Write(&counter0, p, wire.WriteOptions{})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		for _, l := range losses {
			kinds = append(kinds, fmt.Sprintf("%s %d", l.Kind, l.Count))
		}
		if got := strings.Join(kinds, ", "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

var counter0 counter

// TestWinding turns rings as the standard asks and keeps their first point.
func TestWinding(t *testing.T) {
	clockwise := append([]float64(nil), square...)
	schema.ReverseRing(clockwise, 2)
	p := plan(&schema.Feature{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, clockwise, []int{10})})
	p.Source.Winding = schema.WindingDriven // a zone driven clockwise, as it should be
	q, text := through(t, p, false)
	if !bytes.Contains(text, []byte("<coordinates>9,56 9.001,56 9.001,56.001 9,56.001 9,56</coordinates>")) {
		t.Errorf("not anticlockwise from the first point:\n%s", text)
	}
	if err := schema.Same(p, q, 0); err != nil {
		t.Error(err)
	}
}

func TestLooks(t *testing.T) {
	seen := map[string]schema.Role{}
	for _, role := range schema.Roles {
		if styleURLs()[role] != "#swardline."+string(role) {
			t.Errorf("role %s has no style", role)
		}
	}
	for _, l := range looks {
		key := fmt.Sprint(wire.ColourOf(l.role), l.width, l.cover)
		if other, ok := seen[key]; ok {
			t.Errorf("%s looks like %s", l.role, other)
		}
		seen[key] = l.role
	}
	if len(looks) != len(schema.Roles) {
		t.Errorf("%d looks for %d roles", len(looks), len(schema.Roles))
	}
	var b bytes.Buffer
	if _, err := Write(&b, plan(), wire.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	// aabbggrr: a green zone at an opacity of 0x66.
	if want := "<PolyStyle><color>66739e00</color></PolyStyle>"; !strings.Contains(b.String(), want) {
		t.Errorf("want %s in\n%s", want, b.String())
	}
	if strings.Contains(b.String(), "href") {
		t.Error("a style fetches something")
	}
}

func TestXSDTime(t *testing.T) {
	for text, want := range map[string]bool{
		"2024": true, "2024-05": true, "2024-02-29": true, "2024-05-01T10:00:00": true, "2024-05-01T10:00:00.25Z": true, "2024Z": true, "2024-05:00": true, "2024-05-05:30": true,
		"2024-05-01+14:00": true, "2024-05-01T23:59:59-00:00": true,
		"": false, "0000": false, "24": false, "2024-13": false, "2023-02-29": false, "2024-05-01T24:00:00": false, "2024-05-01T10:00": false, "2024-05-01 10:00:00": false, "2024-05-01T10:00:60": false,
		"2024-05-01+14:30": false, "2024-05-01+01:60": false, "2024-05-01T10:00:00.": false, " 2024": false, "2024\n": false, "12024": false,
	} {
		if got := isXSDTime(text); got != want {
			t.Errorf("isXSDTime(%q) = %v", text, got)
		}
	}
}

// TestXSD holds what is written against the standard's schema.
func TestXSD(t *testing.T) {
	xsd := shared(t, "standards", "kml22", "ogckml22.xsd")
	xmllint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("there is no xmllint")
	}
	dir := t.TempDir()
	var files []string
	add := func(name string, p *schema.Plan) {
		file := filepath.Join(dir, name+".kml")
		f, err := os.Create(file)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Write(f, p, wire.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	add("garden", garden())
	add("empty", plan())
	for seed := uint64(0); seed < 100; seed++ {
		add(fmt.Sprintf("random%d", seed), randplan.New(seed, randplan.Options{}))
	}
	foreign, err := os.ReadFile(filepath.Join("testdata", "foreign.kml"))
	if err != nil {
		t.Fatal(err)
	}
	p, _, err := Read(foreign, wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	add("foreign", p)
	out, err := exec.Command(xmllint, append([]string{"--nonet", "--noout", "--schema", xsd}, files...)...).CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, excerpt(out))
	}
	if n := strings.Count(string(out), " validates\n"); n != len(files) {
		t.Errorf("%d of %d files validate", n, len(files))
	}
}
