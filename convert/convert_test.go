// Tests of dispatch: which format a file is in, what no format can read, and
// reading from disk.

package convert

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

const (
	tinyGeoJSON = `{"type":"FeatureCollection","features":[]}`
	tinyKML     = `<?xml version="1.0" encoding="UTF-8"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document/></kml>`
	tinyGPX     = `<?xml version="1.0" encoding="UTF-8"?><gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"/>`
	tinyCSV     = "id,role,name,wkt,crs\n1,zone,N,\"POINT (9 56)\",OGC:CRS84\n"
	tinyDXF     = "  0\nSECTION\n  2\nHEADER\n  9\n$INSUNITS\n 70\n6\n  0\nENDSEC\n  0\nEOF\n"
	tinyZip     = "PK\x03\x04\x14\x00"
)

func TestFormatsAreWhole(t *testing.T) {
	endings := map[string]string{}
	for _, f := range Formats {
		if f.Name == "" || f.Title == "" || (f.Read == nil) != (f.Detect == nil) || f.Read == nil && f.Write == nil || len(f.Endings) == 0 {
			t.Errorf("%+v lacks something", f)
		}
		if FormatByName(f.Name) != f {
			t.Errorf("%s is not found by its name", f.Name)
		}
		for _, e := range f.Endings {
			if other := endings[e]; other != "" {
				t.Errorf("%s and %s share the ending %s", f.Name, other, e)
			}
			endings[e] = f.Name
			if FormatByEnding("a/b"+strings.ToUpper(e)) != f {
				t.Errorf("%s is not found by its ending %s", f.Name, e)
			}
		}
	}
	for _, e := range []string{".geojson", ".json", ".kml", ".kmz", ".gpx", ".csv", ".tsv", ".txt", ".dxf"} {
		if endings[e] == "" {
			t.Errorf("no format has the ending %s", e)
		}
	}
	if FormatByName("shapes") != nil || FormatByEnding("a.xyz") != nil || FormatByEnding("kml") != nil {
		t.Error("an unknown format is found")
	}
}

func TestDetectFormat(t *testing.T) {
	tests := []struct{ name, content, want string }{
		{"a.geojson", tinyGeoJSON, "geojson"}, {"a.json", "\ufeff \n" + tinyGeoJSON, "geojson"}, {"a.kml", tinyKML, "kml"}, {"a.kmz", tinyZip, "kmz"},
		{"a.gpx", tinyGPX, "gpx"}, {"a.csv", tinyCSV, "csv"}, {"a.tsv", "id\tlon\tlat\n1\t9\t56\n", "csv"}, {"a.dxf", tinyDXF, "dxf"},
		{"a.json", `{"type":"Topology","objects":{},"arcs":[]}`, "topojson"}, {"a.topojson", tinyGeoJSON, "geojson"}, {"a.json", "\x1e" + tinyGeoJSON, "geojsonseq"}, {"a.ndjson", "{}\n{}\n", "geojsonseq"}, {"a.ndjson", "{}\n", "geojson"},
		{"a.xml", "<LandXML/>", "landxml"}, {"a.xml", tinyGPX, "gpx"}, {"a.zip", tinyZip, "kmz"}, {"a.zip", tinyZip + strings.Repeat("\x00", 20) + "\x05\x00\x00\x00a.shp", "shapefile"}, {"a.gpkg", "SQLite format 3\x00", "gpkg"}, {"a.db", "SQLite format 3\x00", "gpkg"},
		{"a.txt", "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n", "nmea"}, {"a.pos", "% GPST latitude(deg) longitude(deg) height(m)\n", "solution"}, {"a.log", "hello", "nmea"},
		// Without an ending that says anything, content decides.
		{"-", tinyGeoJSON, "geojson"}, {"", tinyKML, "kml"}, {"a.xml", tinyGPX, "gpx"}, {"plan", tinyZip, "kmz"}, {"a.dat", tinyDXF, "dxf"}, {"", tinyCSV, "csv"},
		{"a.txt", tinyGeoJSON, "geojson"}, {"a.txt", tinyCSV, "csv"}, {"a.txt", "M1 1 2 3\n", "csv"},
		// Content without a signature is the ending's business, whose reader
		// says what is wrong.
		{"a.geojson", "hello", "geojson"}, {"a.kml", "", "kml"}, {"a.gpx", "id,lon,lat\n1,9,56\n", "gpx"}, {"a.dxf", "\x00\x01", "dxf"},
	}
	for _, tt := range tests {
		f, err := DetectFormat(tt.name, []byte(tt.content))
		if err != nil || f.Name != tt.want {
			t.Errorf("%s with %.20q: %v, %v; want %s", tt.name, tt.content, f, err, tt.want)
		}
	}
	refused := []struct{ name, content, want string }{
		{"a.kml", tinyGeoJSON, "a.kml: the ending says KML, but the content is GeoJSON; rename it to end in .geojson, or name its format (geojson)"},
		{"a.geojson", tinyKML, "the ending says GeoJSON, but the content is KML"},
		{"a.kml", tinyZip, "the ending says KML, but the content is KMZ"},
		{"a.kmz", tinyKML, "the ending says KMZ, but the content is KML"},
		{"a.csv", tinyGPX, "the ending says CSV, but the content is GPX"},
		{"a.gpx", tinyKML, "the ending says GPX, but the content is KML"},
		{"a.json", tinyDXF, "the ending says GeoJSON, but the content is DXF"},
		{"-", "\x89\x01\x02\x00", "a NUL byte stands in the text"},
		{"-", "", "the file is empty"},
		{"-", "\xff\xfea\x00b\x00", "the text is UTF-16"},
		{"a.xyz", "neither this nor that", "neither content nor ending is one of a known format; name its format; the formats are geojson, kml"},
	}
	for _, tt := range refused {
		f, err := DetectFormat(tt.name, []byte(tt.content))
		var in *InputError
		if !errors.As(err, &in) || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s with %.20q: %v, %v; want %s", tt.name, tt.content, f, err, tt.want)
		}
	}
}

func TestNamedFormatHolds(t *testing.T) {
	p, _, err := Read([]byte(tinyGeoJSON), ReadOptions{ReadOptions: wire.ReadOptions{Name: "a.kml"}, Format: "geojson"})
	if err != nil || p.Source.Format != "geojson" || p.Source.File != "a.kml" {
		t.Errorf("%+v %v", p, err)
	}
	if _, _, err := Read([]byte(tinyGeoJSON), ReadOptions{Format: "shapes"}); err == nil || !strings.Contains(err.Error(), `no format called "shapes"; the formats are geojson`) {
		t.Error(err)
	}
}

// TestNoFormatReads holds, for every format by name, what none can read: one
// clear error with the file's name, never a panic.
func TestNoFormatReads(t *testing.T) {
	var p bytes.Buffer
	tests := []struct {
		name    string
		content func(good []byte) []byte
	}{
		{"empty", func([]byte) []byte { return nil }},
		{"white space", func([]byte) []byte { return []byte(" \r\n\t\n") }},
		{"UTF-16", func([]byte) []byte { return []byte("\xff\xfe<\x00k\x00m\x00l\x00") }},
		{"NUL bytes", func([]byte) []byte { return []byte("abc\x00def\x00\n\x00") }},
		{"binary", func([]byte) []byte { return []byte("\x7fELF\x02\x01\x01\x00\xff\xfe\xfd") }},
		{"half a file", func(good []byte) []byte { return good[:len(good)/2] }},
		{"another format", func([]byte) []byte { return []byte("%PDF-1.4\n1 0 obj\n<<>>\nendobj\n") }},
	}
	for _, f := range Formats {
		p.Reset()
		if f.Write != nil && !f.Drawing {
			if _, err := Write(&p, randplan.New(5, randplan.Options{Features: 12}), f.Name, WriteOptions{}); err != nil {
				t.Fatal(err)
			}
		}
		for _, tt := range tests {
			if (f.Drawing || f.Write == nil) && tt.name == "half a file" {
				continue
			}
			if f.Name == "csv" && tt.name == "half a file" {
				continue // a list that ends early is still a list, unless it ends in a quoted cell
			}
			_, _, err := Read(tt.content(p.Bytes()), ReadOptions{ReadOptions: wire.ReadOptions{Name: "x" + f.Endings[0]}, Format: f.Name})
			var in *InputError
			if !errors.As(err, &in) {
				t.Errorf("%s, %s: %v", f.Name, tt.name, err)
				continue
			}
			if !strings.HasPrefix(err.Error(), "x"+f.Endings[0]+":") || strings.Contains(err.Error(), "\n") {
				t.Errorf("%s, %s: %q", f.Name, tt.name, err)
			}
		}
	}
}

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	write := func(name, content string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	good := write("a.geojson", tinyGeoJSON)
	p, warnings, err := ReadFile(good, ReadOptions{})
	if err != nil || len(warnings) != 1 || warnings[0].Kind != "no-features" || p.Source.File != good || p.Source.Format != "geojson" || !p.CRS.Equal(crs.WGS84()) {
		t.Errorf("%+v %v %v", p, warnings, err)
	}
	small := schema.DefaultLimits()
	if err := small.Set("input_max_bytes", 10, schema.OriginFile, "test"); err != nil {
		t.Fatal(err)
	}
	locked := write("locked.geojson", tinyGeoJSON)
	if err := os.Chmod(locked, 0); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		path   string
		limits schema.Limits
		want   string
	}{
		{filepath.Join(dir, "none.kml"), schema.Limits{}, "there is no such file; check the name"},
		{dir, schema.Limits{}, "this is a folder, not a file"},
		{good, small, "the file has 42 bytes; the limit input_max_bytes is 10; split it, or raise the limit in a limits file"},
		{write("b.kml", "<kml"), schema.Limits{}, "b.kml:"},
		{write("c.kml", tinyGeoJSON), schema.Limits{}, "the ending says KML, but the content is GeoJSON"},
	}
	if os.Geteuid() != 0 { // root reads everything
		tests = append(tests, struct {
			path   string
			limits schema.Limits
			want   string
		}{locked, schema.Limits{}, "the file may not be read; give yourself permission to read it"})
	}
	for _, tt := range tests {
		_, _, err := ReadFile(tt.path, ReadOptions{ReadOptions: wire.ReadOptions{Limits: tt.limits}})
		var in *InputError
		if !errors.As(err, &in) || !strings.HasPrefix(err.Error(), tt.path+":") || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: got %v, want %s", tt.path, err, tt.want)
		}
	}
	if _, _, err := ReadFrom(strings.NewReader(tinyGeoJSON), ReadOptions{ReadOptions: wire.ReadOptions{Name: "-"}}); err != nil {
		t.Error(err)
	}
	_, _, err = ReadFrom(strings.NewReader(tinyGeoJSON), ReadOptions{ReadOptions: wire.ReadOptions{Name: "-", Limits: small}})
	if err == nil || !strings.Contains(err.Error(), "input_max_bytes is 10") {
		t.Error(err)
	}
	_, _, err = ReadFrom(failingReader{}, ReadOptions{ReadOptions: wire.ReadOptions{Name: "-"}})
	var in *InputError
	if !errors.As(err, &in) || in.File != "-" || in.Problem != "the wire was cut" {
		t.Error(err)
	}
}

// TestReadFileThatIsNotAsLongAsItSays stands for one that changes while it is
// read: files of the process table have content, but a length of 0.
func TestReadFileThatIsNotAsLongAsItSays(t *testing.T) {
	const path = "/proc/self/status"
	if info, err := os.Stat(path); err != nil || info.Size() != 0 {
		t.Skip(path + " is not of that kind here")
	}
	if _, _, err := ReadFile(path, ReadOptions{}); err == nil || !strings.Contains(err.Error(), "the file changed while it was read; run again when it is written whole") {
		t.Error(err)
	}
}

type failingReader struct{}

func (failingReader) Read([]byte) (int, error) { return 0, errors.New("the wire was cut") }

func TestEpochOption(t *testing.T) {
	text := `{"type":"FeatureCollection","epoch":2020,"features":[]}`
	for _, tt := range []struct {
		text  string
		epoch float64
		want  float64
		kinds int
	}{{tinyGeoJSON, 0, 0, 0}, {tinyGeoJSON, 2024.5, 2024.5, 0}, {text, 0, 2020, 0}, {text, 2020, 2020, 0}, {text, 2024.5, 2024.5, 1}} {
		p, warnings, err := Read([]byte(tt.text), ReadOptions{ReadOptions: wire.ReadOptions{Epoch: tt.epoch}})
		if err != nil || p.Epoch != tt.want || len(warnings) != tt.kinds+1 { // and that it has no features
			t.Errorf("%+v: %v, %v, %v", tt, p.Epoch, warnings, err)
		}
	}
}

func TestByteOrderMarkIsTakenOff(t *testing.T) {
	for name, text := range map[string]string{"a.geojson": tinyGeoJSON, "a.kml": tinyKML, "a.gpx": tinyGPX, "a.csv": tinyCSV} {
		_, warnings, err := Read([]byte("\ufeff"+text), ReadOptions{ReadOptions: wire.ReadOptions{Name: name}})
		marks := 0
		for _, w := range warnings {
			if w.Kind == "byte-order-mark" {
				marks++
			}
		}
		if err != nil || marks != 1 {
			t.Errorf("%s: %v %v", name, warnings, err)
		}
	}
}

func TestWriteNamesUnknownFormats(t *testing.T) {
	if _, err := Write(&bytes.Buffer{}, &schema.Plan{}, "shapes", WriteOptions{}); err == nil || !strings.Contains(err.Error(), "the formats are geojson") {
		t.Error(err)
	}
}

// TestWGS84OnlyWritersRefuseOtherSystems holds the flag against what each
// writer does.
func TestWGS84OnlyWritersRefuseOtherSystems(t *testing.T) {
	utm, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range Formats {
		if f.Write == nil {
			continue
		}
		p := randplan.New(2, randplan.Options{Features: 3})
		p.CRS = utm
		var b bytes.Buffer
		if _, err := Write(&b, p, f.Name, WriteOptions{}); (err != nil) != f.WGS84Only {
			t.Errorf("%s: WGS84Only is %v, and writing EPSG:25832 gives %v", f.Name, f.WGS84Only, err)
		}
	}
}

func ExampleDetectFormat() {
	f, err := DetectFormat("plan.json", []byte(`{"type": "FeatureCollection", "features": []}`))
	fmt.Println(f.Name, err)
	_, err = DetectFormat("plan.kml", []byte(`{"type": "FeatureCollection", "features": []}`))
	fmt.Println(err)
	// Output:
	// geojson <nil>
	// plan.kml: the ending says KML, but the content is GeoJSON; rename it to end in .geojson, or name its format (geojson)
}

// TestPicturesKept: what a picture is called is kept with the plan.
func TestPicturesKept(t *testing.T) {
	kml := func(inner string) string {
		return `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>D</name><Placemark><name>P</name><Point><coordinates>1,2</coordinates></Point></Placemark>` + inner + `<Placemark><Point><coordinates>1,2</coordinates></Point></Placemark></Document></kml>`
	}
	dxf := func(layer string) string {
		return "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nIMAGE\n8\n" + layer + "\n0\nIMAGE\n8\n" + layer + "\n0\nPOINT\n8\nA\n10\n1\n20\n2\n0\nENDSEC\n0\nEOF\n"
	}
	for _, x := range []struct {
		name, text, want string
		features         int
	}{
		{"a.kml", kml(`<GroundOverlay><name> Pond </name><Icon><href>files/p.png</href></Icon><LatLonBox><north>1</north></LatLonBox></GroundOverlay>`), "Pond,files/p.png", 2},
		{"a.kml", kml(`<Folder><PhotoOverlay><Icon><href/></Icon><name>Well &amp; trees</name><Point><coordinates>1,2</coordinates></Point></PhotoOverlay></Folder>`), "Well & trees", 2},
		{"a.kml", kml(`<GroundOverlay/><GroundOverlay><name>A</name></GroundOverlay><GroundOverlay><name>A</name></GroundOverlay>`), "A", 2},
		{"a.kml", kml(`<ScreenOverlay><name>Legend</name></ScreenOverlay>`), "Legend", 2},
		{"a.dxf", dxf("POND"), "POND", 1},
	} {
		p, w, err := Read([]byte(x.text), ReadOptions{ReadOptions: wire.ReadOptions{Name: x.name}})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(p.Pictures, ","); got != x.want || len(p.Features) != x.features {
			t.Errorf("%s: pictures %q, %d features, %v", x.text, got, len(p.Features), w)
		}
	}
}

// TestWhatWasLeft: what a file draws and the plan lacks is kept with the plan,
// and what is no part of the ground is not.
func TestWhatWasLeft(t *testing.T) {
	const pond = `<name>Pond</name><Polygon><outerBoundaryIs><LinearRing><coordinates>1,2 1.1,2 1.1,2.1 1,2</coordinates></LinearRing></outerBoundaryIs></Polygon>`
	drawnIn := func(form, what string) string {
		return `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark>` + fmt.Sprintf(form, what) + `</Document></kml>`
	}
	for _, x := range []struct {
		name, text string
		left       bool
	}{
		{"a.kml", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark></Document></kml>`, false},
		{"a.kml", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark><NetworkLink/></Document></kml>`, true},
		{"a.kml", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark><ScreenOverlay/></Document></kml>`, false},
		{"a.kml", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark><x:Placemark xmlns:x="urn:x"/></Document></kml>`, true},
		{"a.kml", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark><x:author xmlns:x="urn:x"/></Document></kml>`, false},
		{"a.kml", drawnIn(`<NetworkLinkControl><Update><targetHref>a</targetHref><Create><Document><Placemark>%s</Placemark></Document></Create></Update></NetworkLinkControl>`, pond), true},
		{"a.kml", drawnIn(`<NetworkLinkControl><Update><Change><Placemark targetId="a">%s</Placemark></Change></Update></NetworkLinkControl>`, pond), true},
		{"a.kml", drawnIn(`<NetworkLinkControl><Update><Change><Placemark targetId="a">%s</Placemark></Change></Update></NetworkLinkControl>`, "<name>new</name>"), false},
		{"a.kml", drawnIn(`<Style id="a"><LineStyle/><Placemark>%s</Placemark></Style>`, pond), true},
		{"a.kml", drawnIn(`<Style id="a"><LineStyle/>%s</Style>`, "<BalloonStyle><text>a</text></BalloonStyle>"), false},
		{"a.kml", drawnIn(`<gx:Tour xmlns:gx="http://www.google.com/kml/ext/2.2"><gx:Playlist><gx:AnimatedUpdate><Update><Create><Placemark>%s</Placemark></Create></Update></gx:AnimatedUpdate></gx:Playlist></gx:Tour>`, pond), true},
		{"a.kml", drawnIn(`<gx:Tour xmlns:gx="http://www.google.com/kml/ext/2.2"><gx:Playlist><gx:FlyTo><LookAt>%s</LookAt></gx:FlyTo></gx:Playlist></gx:Tour>`, "<longitude>1</longitude>"), false},
		{"a.kml", drawnIn(`<x:layer xmlns:x="urn:x"><x:Line>%s</x:Line></x:layer>`, "<x:posList>1 2 3 4</x:posList>"), true},
		{"a.geojson", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[1,2]},"properties":{}}]}`, false},
		{"a.geojson", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{}}]}`, true},
	} {
		p, _, err := Read([]byte(x.text), ReadOptions{ReadOptions: wire.ReadOptions{Name: x.name}})
		if err != nil {
			t.Fatal(err)
		}
		if (len(p.Left) > 0) != x.left {
			t.Errorf("%s: left %q", x.text, p.Left)
		}
	}
}
