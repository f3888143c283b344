// Reading files of other writers: what becomes of each part, and what is said
// of the rest.

package kml

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func TestForeignFile(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "foreign.kml"))
	if err != nil {
		t.Fatal(err)
	}
	p, warnings, err := Read(data, wire.ReadOptions{Name: "foreign.kml"})
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "foreign.golden", dump(p, warnings))
	q, again, err := reread(p)
	if err != nil || len(again) > 0 {
		t.Fatalf("once written: %v, %+v", err, again)
	}
	if err := schema.Same(standing(p), q, 1e-4); err != nil {
		t.Error(err)
	}
	_, first := through(t, q, false)
	r, second := through(t, q, false)
	if string(first) != string(second) {
		t.Error("a second pass writes other bytes")
	}
	if err := schema.Same(q, r, 0); err != nil {
		t.Error(err)
	}
}

// placemarkWith wraps the content of a Placemark into a document.
func placemarkWith(content string) string {
	return `<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark>` + content + `</Placemark></kml>`
}

func line2(coordinates string) string {
	return placemarkWith("<LineString><coordinates>" + coordinates + "</coordinates></LineString>")
}

func TestCoordinates(t *testing.T) {
	for _, c := range []struct {
		name, coordinates, want string
		warnings                string // kinds with counts
	}{
		{"plain", "1,2 3,4", "LineString(1 2, 3 4)", ""},
		{"heights", "1,2,3 4,5,6", "LineString(1 2 3, 4 5 6)", ""},
		{"a real 0 stays, none stays none", "1,2,0 3,4", "LineString(1 2 0, 3 4)", ""},
		{"tabs and lines", "\n1,2\t3,4\r\n\t5,6 ", "LineString(1 2, 3 4, 5 6)", ""},
		{"signs and exponents", "+1,-2e0,.5 1.25E1,5.,-0", "LineString(1 -2 0.5, 12.5 5 -0)", ""},
		{"blanks after commas", "1, 2, 3 4, 5, 6", "LineString(1 2 3, 4 5 6)", "coordinates-spaced 2"},
		{"blanks before commas", "1 ,2 3 ,4", "LineString(1 2, 3 4)", "coordinates-spaced 2"},
		{"a blank after the last comma only", "1,2, 3 4,5, 6", "LineString(1 2 3, 4 5 6)", "coordinates-spaced 2"},
		{"commas between pairs", "1,2, 3,4, 5,6", "LineString(1 2, 3 4, 5 6)", "coordinates-comma 2"},
		{"commas between triples", "1,2,3,\n4,5,6", "LineString(1 2 3, 4 5 6)", "coordinates-comma 1"},
		{"a comma behind the last tuple", "1,2 3,4,", "LineString(1 2, 3 4)", "coordinates-comma 1"},
		{"a comment inside", "1,2 <!-- then -->3,4", "LineString(1 2, 3 4)", ""},
		{"CDATA", "<![CDATA[1,2 3,4]]>", "LineString(1 2, 3 4)", ""},
		{"character references", "1&#44;2&#x20;3,4", "LineString(1 2, 3 4)", ""},
		{"many digits", "-122.0822035425683123,37.42228990140251 1,2", "LineString(-122.08220354256831 37.42228990140251, 1 2)", ""},
		{"the poles and the far meridian", "180,90 -180,-90", "LineString(180 90, -180 -90)", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, warnings, err := Read([]byte(line2(c.coordinates)), wire.ReadOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if got := shape(p.Features[0].Geometry); got != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
			if got := kindsOf(warnings); got != c.warnings {
				t.Errorf("warnings %q, want %q", got, c.warnings)
			}
		})
	}
}

func kindsOf(warnings []wire.Warning) string {
	var kinds []string
	for _, w := range warnings {
		kinds = append(kinds, w.Kind+" "+number(float64(w.Count)))
	}
	return strings.Join(kinds, ", ")
}

const pointElement = "<Point><coordinates>9,56</coordinates></Point>"

// bits are small files, what must be in their dump, and the kinds of warning.
var bits = []struct{ name, file, want, warnings string }{
	{"no namespace", "<kml><Placemark/></kml>", "", "namespace-missing 1"},
	{"a namespace of nobody", `<kml xmlns="urn:x"><Placemark><name>a</name></Placemark></kml>`, `other "a" id - {}`, "namespace-unknown 1"},
	{"KML 2.0", `<kml xmlns="http://earth.google.com/kml/2.0"><Placemark/></kml>`, "", "namespace-old 1"},
	{"undeclared prefixes", `<kml:kml><kml:Placemark><gx:TimeStamp><kml:when>2024</kml:when></gx:TimeStamp></kml:Placemark></kml:kml>`, `{"time":"2024"}`, "prefix-undeclared 4, namespace-missing 1"},
	{"a name of another vocabulary", placemarkWith(`<a:name xmlns:a="http://www.w3.org/2005/Atom">x</a:name>` + pointElement), `other "x" id - {}`, ""},
	{"a namespace for one element only", placemarkWith(`<name xmlns="urn:x">x</name><name>y</name>`), `other "y" id - {"name_2":"x"}`, "attribute-repeated 1"},
	{"an author", placemarkWith(`<a:author xmlns:a="http://www.w3.org/2005/Atom"><a:name>Pond</a:name></a:author>` + pointElement), `other "" id - {}`, "skipped-foreign 1"},
	{"data of another vocabulary", placemarkWith(`<ExtendedData xmlns:c="urn:c"><c:hazard>a &amp; <![CDATA[pond]]></c:hazard><c:more deep="yes"><c:wet xsi:nil="x">no</c:wet><c:dry/></c:more></ExtendedData>` + pointElement), `{"hazard":"a & pond","deep":"yes","wet":"no","dry":""}`, ""},
	{"an element of another vocabulary", placemarkWith(`<c:hazard xmlns:c="urn:c">pond</c:hazard>` + pointElement), `{"hazard":"pond"}`, ""},
	{"the role in another vocabulary", placemarkWith(`<ExtendedData xmlns:c="urn:c"><c:role>keepout</c:role></ExtendedData>` + pointElement), `keepout "" id - {}`, ""},
	{"metadata of KML 2.1", placemarkWith(`<Metadata><hazard>pond</hazard>text</Metadata>` + pointElement), `{"hazard":"pond"}`, "stray-text 1"},
	{"drawn in another vocabulary", placemarkWith(`<ExtendedData xmlns:c="urn:c"><c:area><c:posList>1 2 3 4</c:posList></c:area></ExtendedData>` + pointElement), "Point(9 56)", "drawn-elsewhere 1"},
	{"a point of another vocabulary in the data", placemarkWith(`<ExtendedData xmlns:c="urn:c"><c:Point><c:coordinates>1,2</c:coordinates></c:Point></ExtendedData>` + pointElement), "Point(9 56)", "skipped-Point 1"},
	{"two names", placemarkWith("<name>Pond</name><name>Area</name>"), `other "Area"`, "name-second 1"},
	{"one name twice", placemarkWith("<name>Pond</name><name>Pond</name>"), `other "Pond"`, ""},
	{"two values", placemarkWith(`<ExtendedData><Data name="k"><value>a</value><value>b</value></Data></ExtendedData>`), `{"k":"b"}`, "data-second 1"},
	{"one value twice", placemarkWith(`<ExtendedData><Data name="k"><value>a</value><value>a</value></Data></ExtendedData>`), `{"k":"a"}`, "data-repeated 1"},
	{"data of a folder", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder><name>f</name><ExtendedData><Data name="k"><value>a</value></Data><Data name="l"><value> </value></Data></ExtendedData><Placemark/></Folder></Document></kml>`, `{"folder":["f"]}`, "folder-data 1"},
	{"what an icon is called", placemarkWith(`<Style><IconStyle><Icon><href>http://example.org/shapes/water.png?s=1</href></Icon></IconStyle></Style>` + pointElement), `{"icon":"water"}`, ""},
	{"an icon without a name", placemarkWith(`<Style><IconStyle><Icon><href>http://example.org/shapes/</href><viewBoundScale>1</viewBoundScale></Icon></IconStyle></Style>` + pointElement), `other "" id - {}`, "style-reduced 1"},
	{"an update that takes out", `<kml xmlns="http://www.opengis.net/kml/2.2"><NetworkLinkControl><Update><targetHref>a.kml</targetHref><Delete><Placemark targetId="k"/></Delete></Update></NetworkLinkControl><Document><Placemark/></Document></kml>`, "no geometry", "skipped-NetworkLinkControl 1, update-delete 1"},
	{"data of the document", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><ExtendedData><Data name="k"><value>a</value></Data></ExtendedData><Placemark/></Document></kml>`, `{"k":"a"}`, ""},
	{"heights from the bottom of the water", placemarkWith(`<Point><gx:altitudeMode xmlns:gx="http://www.google.com/kml/ext/2.2">clampToSeaFloor</gx:altitudeMode><coordinates>9,56</coordinates></Point>`), `{"altitude_mode":"clampToSeaFloor"}`, "sea-floor 1"},
	{"a DOCTYPE that only names something", `<!DOCTYPE kml SYSTEM "kml.dtd">` + placemarkWith(""), "", "doctype 1"},
	{"altitudes that are lifted", placemarkWith("<Point><gx:altitudeOffset>1.5</gx:altitudeOffset><coordinates>9,56,3</coordinates></Point>"), `9`, "prefix-undeclared 1, altitude-offset 1"},
	{"altitudes that are lifted by nothing", placemarkWith("<Point><gx:altitudeOffset>0</gx:altitudeOffset><coordinates>9,56,3</coordinates></Point>"), `9`, "prefix-undeclared 1"},
	{"a byte-order mark", "\ufeff" + placemarkWith(""), "", "byte-order-mark 1"},
	{"Latin-1", `<?xml version="1.0" encoding="ISO-8859-1"?>` + placemarkWith("<name>gr\xe4s \x80</name>"), `other "gräs €"`, "encoding 1"},
	{"Latin-1 said, UTF-8 written", `<?xml version="1.0" encoding="latin1"?>` + placemarkWith("<name>gräs</name>"), `other "gräs"`, "encoding 1"},
	{"Windows-1251", `<?xml version='1.0' encoding='windows-1251'?>` + placemarkWith("<name>\xc4</name>"), `other "Д"`, "encoding 1"},
	{"an encoding nobody reads, in ASCII", `<?xml version="1.0" encoding="EBCDIC"?>` + placemarkWith("<name>a</name>"), `other "a"`, ""},
	{"HTML entities", placemarkWith("<description>a&nbsp;b&eacute;</description>"), "{\"note\":\"a\u00a0bé\"}", "html-entity 2"},
	{"bare ampersands", placemarkWith("<name>A & B &c; &</name>"), `other "A & B &c; &"`, "bare-ampersand 3"},
	{"a reference to a carriage return", placemarkWith("<name>b&#13;c</name>"), `other "b\rc"`, ""},
	{"UTF-16", "\xff\xfe" + wide(placemarkWith("<name>\u00e4</name>")), "other \"\u00e4\"", "encoding 1"},
	{"line ends", placemarkWith("<name>a\r\nb\rc</name>"), `other "a\nb\nc"`, ""},
	{"CDATA", placemarkWith("<name><![CDATA[a&amp;<b>]]>c<![CDATA[]]></name>"), `other "a&amp;<b>c"`, ""},
	{"markup in a text", placemarkWith("<description>one<br/>two <i a='1'>x &amp; y</i></description>"), `{"note":"one<br/>two <i a='1'>x & y</i>"}`, "markup-in-text 2"},
	{"text between elements", placemarkWith("oops" + pointElement), "Point(9 56)", "stray-text 1"},
	{"a point with a second geometry", placemarkWith("<Point/>" + pointElement), "Point(9 56)", "geometry-empty 1, geometry-siblings 1"},
	{"two geometries side by side", placemarkWith(pointElement + pointElement), "GeometryCollection{Point(9 56) Point(9 56)}", "geometry-siblings 1"},
	{"a multi of one", placemarkWith("<MultiGeometry>" + pointElement + "</MultiGeometry>"), "MultiPoint[(9 56)]", ""},
	{"an empty multi", placemarkWith("<MultiGeometry/>"), "no geometry", "geometry-empty 1"},
	{"elements that are not KML's", placemarkWith("<MultiPoint>" + pointElement + "</MultiPoint>"), "MultiPoint[(9 56)]", "geometry-nonstandard 1"},
	{"a ring that bounds nothing", placemarkWith("<LinearRing><coordinates>1,1 2,1 2,2</coordinates></LinearRing>"), "LineString(1 1, 2 1, 2 2)", "linear-ring 1"},
	{"an empty hole", placemarkWith("<Polygon><outerBoundaryIs><LinearRing><coordinates>1,1 2,1 2,2</coordinates></LinearRing></outerBoundaryIs><innerBoundaryIs><LinearRing/></innerBoundaryIs></Polygon>"), "Polygon[(1 1, 2 1, 2 2)]", "ring-empty 1"},
	{"holes in one boundary", placemarkWith("<Polygon><outerBoundaryIs><LinearRing><coordinates>1,1 9,1 9,9</coordinates></LinearRing></outerBoundaryIs><innerBoundaryIs><LinearRing><coordinates>2,2 3,2 3,3</coordinates></LinearRing><LinearRing><coordinates>4,4 5,4 5,5</coordinates></LinearRing></innerBoundaryIs></Polygon>"),
		"Polygon[(1 1, 9 1, 9 9) (2 2, 3 2, 3 3) (4 4, 5 4, 5 5)]", "boundary-rings 1"},
	{"KML 2.3 tracks", placemarkWith("<MultiTrack><altitudeMode>absolute</altitudeMode><Track><when>2024</when><coord>1 2</coord><coord>3 4</coord></Track><Track><coord>5 6</coord><coord>7 8</coord></Track></MultiTrack>"),
		`{"altitude_mode":"absolute","times":[["2024",null],null]}` + "\n    MultiLineString[(1 2, 3 4) (5 6, 7 8)]", "track-times 1"},
	{"a track of one place", placemarkWith("<Track><when>2024</when><coord>1 2 3</coord></Track>"), `{"times":["2024"]}` + "\n    Point(1 2 3)", "track-point 1"},
	{"keys twice", placemarkWith(`<ExtendedData><Data name="a"><value>1</value></Data><Data name="a"><value>2</value></Data><Data name="a"><value>3</value></Data></ExtendedData>`), `{"a":"1","a_2":"2","a_3":"3"}`, "attribute-repeated 2"},
	{"a role said twice", placemarkWith(`<ExtendedData><Data name="role"><value>zone</value></Data><Data name="role"><value>hazard</value></Data></ExtendedData>`), `zone "" id - {"role_2":"hazard"}`, "attribute-repeated 1"},
	{"a role said after other", placemarkWith(`<ExtendedData><Data name="role"><value>other</value></Data><Data name="role"><value>hazard</value></Data></ExtendedData>`), `other "" id - {"role":"other","role_2":"hazard"}`, "attribute-repeated 1"},
	{"an unknown role", placemarkWith(`<ExtendedData><Data name="role"><value>flowerbed</value></Data></ExtendedData>`), `other "" id - {"role":"flowerbed"}`, ""},
	{"a schema that is not there", placemarkWith(`<ExtendedData><SchemaData schemaUrl="#x"><SimpleData name="a">1</SimpleData></SchemaData></ExtendedData>`), `{"a":"1"}`, "schema-unknown 1"},
	{"made-up elements", placemarkWith("<x/><y/><Model/>"), "no geometry", "skipped-unknown 2, skipped-Model 1"},
}

func TestBits(t *testing.T) {
	for _, c := range bits {
		t.Run(c.name, func(t *testing.T) {
			p, warnings, err := Read([]byte(c.file), wire.ReadOptions{})
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
				switch w.Kind {
				case "update-delete", "data-second", "name-second", "folder-data", "sea-floor", "drawn-elsewhere":
					if !w.Ground() {
						t.Errorf("%s is not told as what the plan lacks", w.Kind)
					}
				}
			}
			if _, _, err := reread(p); err != nil {
				t.Errorf("once written: %v", err)
			}
		})
	}
}

func TestColours(t *testing.T) {
	for text, want := range map[string]string{"ff563412": "#123456", "80563412": "#12345680", "#FFabcdef": "#efcdab", "00000000": "#00000000", "563412": "", "ff56341g": "", "+f563412": "", "": ""} {
		got, ok := cssColor(text)
		if got != want || ok != (want != "") {
			t.Errorf("cssColor(%q) = %q, %v; want %q", text, got, ok, want)
		}
	}
}

// TestLargeInput reads what would take for ever if anything were searched again
// and again.
func TestLargeInput(t *testing.T) {
	const n = 50000
	ring := "<LinearRing><coordinates>1,1 2,1 2,2</coordinates></LinearRing>"
	hole := "<innerBoundaryIs>" + ring + "</innerBoundaryIs>"
	var nulls strings.Builder
	for i := 0; i < n; i++ {
		nulls.WriteString(`"k` + number(float64(i)) + `":` + number(float64(n-i)) + ",")
	}
	for _, c := range []struct{ name, file, warnings string }{
		{"holes", placemarkWith("<Polygon>" + strings.Repeat(hole, n) + "<outerBoundaryIs>" + ring + "</outerBoundaryIs></Polygon>"), ""},
		{"one key", placemarkWith("<ExtendedData>" + strings.Repeat(`<Data name="a"/>`, n) + "</ExtendedData>"), "attribute-repeated 49999"},
		{"siblings", placemarkWith(strings.Repeat(pointElement, n)), "geometry-siblings 1"},
		{"nulls", placemarkWith(`<ExtendedData><SchemaData schemaUrl="#swardline.feature"><SimpleData name="nulls">={` + nulls.String() + `"z":0}</SimpleData></SchemaData></ExtendedData>`), ""},
		{"ampersands", placemarkWith("<name>" + strings.Repeat("&", n) + "</name>"), "bare-ampersand 50000"},
		{"unknown elements", placemarkWith(strings.Repeat("<x/>", n)), "skipped-unknown 50000"},
		{"features", "<kml>" + strings.Repeat("<Placemark><styleUrl>#a</styleUrl></Placemark>", n) + `<Document><StyleMap id="a"><Pair><key>normal</key><styleUrl>#a</styleUrl></Pair></StyleMap></Document></kml>`, "namespace-missing 1, style-unknown 50000"},
	} {
		p, warnings, err := Read([]byte(c.file), wire.ReadOptions{})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if got := kindsOf(warnings); got != c.warnings {
			t.Errorf("%s: warnings %q, want %q", c.name, got, c.warnings)
		}
		q, _, err := reread(p)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if err := schema.Same(standing(p), q, 1e-4); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestBadInput(t *testing.T) {
	ring := func(coordinates string) string {
		return placemarkWith("<Polygon><outerBoundaryIs><LinearRing><coordinates>" + coordinates + "</coordinates></LinearRing></outerBoundaryIs></Polygon>")
	}
	deep := func(open, end string, n int) string {
		return `<kml xmlns="http://www.opengis.net/kml/2.2">` + strings.Repeat(open, n) + strings.Repeat(end, n) + "</kml>"
	}
	small := schema.DefaultLimits()
	small.InputMaxVertices, small.InputMaxFeatures, small.InputMaxBytes, small.InputMaxInflated = 3, 2, 2000, 2000
	for _, c := range []struct {
		name, file, want string
		line             int
		limits           schema.Limits
	}{
		{name: "empty", file: "", want: "the file is empty"},
		{name: "blanks only", file: " \n\t", want: "the file is empty"},
		{name: "no element", file: "<?xml version='1.0'?>\n<!-- nothing -->", line: 2, want: "holds no element"},
		{name: "text", file: "\nhello", line: 2, want: "text stands before the first element"},
		{name: "another kind of XML", file: "<gpx/>", line: 1, want: "the root element is <gpx>, not <kml>"},
		{name: "two documents", file: placemarkWith("") + "\n<kml/>", line: 2, want: "after the end"},
		{name: "cut off in a tag", file: "<kml>\n<Placemark", line: 2, want: "does not end"},
		{name: "cut off in an element", file: "<kml><Document>\n<name>a", line: 2, want: "the file ends inside <name>"},
		{name: "cut off in a comment", file: "<kml><!-- ", line: 1, want: "a comment does not end"},
		{name: "cut off in CDATA", file: "<kml><name><![CDATA[ ]]", line: 1, want: "CDATA section does not end"},
		{name: "tags crossed", file: "<kml><Document></kml></Document>", line: 1, want: "</kml> stands where <Document>, which starts at line 1, should be closed"},
		{name: "a reference to a control character", file: placemarkWith("<name>a&#1;b</name>"), line: 1, want: "stands for no character that XML allows"},
		{name: "a bare <", file: placemarkWith("<name>a < b</name>"), line: 1, want: "where no element starts"},
		{name: "a value without quotes", file: "<kml><Data name=x/></kml>", line: 1, want: "not in quotes"},
		{name: "not UTF-8", file: placemarkWith("<name>\n\x81</name>"), line: 2, want: "0x81 is not UTF-8"},
		{name: "UTF-16", file: "\xff\xfe<\x00k", line: 1, want: "UTF-16"},
		{name: "NUL", file: placemarkWith("\n\x00"), line: 2, want: "NUL"},
		{name: "a control character", file: placemarkWith("<name>\x01</name>"), line: 1, want: "control character 0x01"},
		{name: "a reference to nothing", file: placemarkWith("<name>&#x110000;</name>"), line: 1, want: "stands for no character"},
		{name: "an unknown encoding", file: `<?xml version="1.0" encoding="EBCDIC"?>` + placemarkWith("<name>\xe4</name>"), line: 1, want: "EBCDIC"},
		{name: "an entity bomb", file: `<!DOCTYPE kml [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>` + "\n" + placemarkWith("<name>&b;</name>"), line: 1, want: "definitions of its own"},
		{name: "deep folders", file: deep("<Folder>", "</Folder>", 60), line: 1, want: "input_max_nesting"},
		{name: "deep geometry", file: placemarkWith(strings.Repeat("<MultiGeometry>", 33) + strings.Repeat("</MultiGeometry>", 33)), line: 1, want: "input_max_nesting"},
		{name: "too many vertices", file: line2("1,1 2,2\n3,3"), line: 2, want: "input_max_vertices", limits: small},
		{name: "too many parts", file: placemarkWith("<MultiGeometry><Point/><Point/><Point/></MultiGeometry>"), line: 1, want: "input_max_vertices", limits: small},
		{name: "too many features", file: "<kml><Folder><Placemark/><Placemark/>\n<Placemark/></Folder></kml>", line: 2, want: "input_max_features", limits: small},
		{name: "too many bytes", file: placemarkWith(strings.Repeat(" ", 2000)), want: "input_max_bytes", limits: small},
		{name: "too many attributes of a tag", file: "<kml " + numbered(`a%d="" `, 257) + "/>", line: 1, want: "256 attributes"},
		{name: "too many namespaces", file: "<kml " + numbered(`xmlns:a%d="" `, 200) + "><Document " + numbered(`xmlns:b%d="" `, 57) + "/></kml>", line: 1, want: "256 namespaces"},
		{name: "a word", file: line2("1,2\n1,no"), line: 2, want: `Placemark[1]/LineString/coordinates: "no" is not a number`},
		{name: "NaN", file: line2("1,NaN 2,2"), line: 1, want: `"NaN" is not a number`},
		{name: "inf", file: line2("inf,1 2,2"), line: 1, want: `"inf" is not a number`},
		{name: "hexadecimal", file: line2("0x1p2,1 2,2"), line: 1, want: "is not a number"},
		{name: "underscores", file: line2("1_0,1 2,2"), line: 1, want: "is not a number"},
		{name: "1e400", file: line2("1,1,1e400 2,2"), line: 1, want: "1e400 is past the range of a number"},
		{name: "latitude 95", file: line2("100,95 2,2"), line: 1, want: "the latitude 95 is past 90 degrees"},
		{name: "axes swapped", file: line2("56,100 2,2"), line: 1, want: "may be swapped"},
		{name: "longitude 181", file: line2("181,9 2,2"), line: 1, want: "the longitude 181 is past 180 degrees"},
		{name: "metres", file: line2("500000,6200000 2,2"), line: 1, want: "past 90 degrees"},
		{name: "one number", file: line2("1,2 3"), line: 1, want: `"3" is one number`},
		{name: "blanks for commas", file: line2("1 2 3"), line: 1, want: `"1" is one number`},
		{name: "four numbers", file: line2("1,2,3,4"), line: 1, want: "links 4 numbers"},
		{name: "six numbers in a row", file: line2("1,2,3,4,5,6"), line: 1, want: "more than one way"},
		{name: "blanks after every comma", file: line2("1, 2, 3, 4, 5, 6"), line: 1, want: "more than one way"},
		{name: "pairs and a triple", file: line2("1,2, 3,4,5"), line: 1, want: "more than one way"},
		{name: "an empty number", file: line2("1,,2 3,4"), line: 1, want: "a number is missing"},
		{name: "a comma at the start", file: line2(",1,2"), line: 1, want: "a number is missing"},
		{name: "markup among coordinates", file: line2("1,2 <b/> 3,4"), line: 1, want: "is not a number"},
		{name: "two points at a Point", file: placemarkWith("<Point><coordinates>1,2 3,4</coordinates></Point>"), line: 1, want: "a Point holds 2 places"},
		{name: "a line of one point", file: line2("1,2"), line: 1, want: "a LineString holds one place"},
		{name: "a ring of one point", file: ring("1,2"), line: 1, want: "an outline has 1 points"},
		{name: "a ring of two points", file: ring("1,2 3,4"), line: 1, want: "an outline has 2 points"},
		{name: "a loose ring of two points", file: placemarkWith("<LinearRing><coordinates>1,2 3,4</coordinates></LinearRing>"), line: 1, want: "an outline has 2 points"},
		{name: "coordinates twice", file: placemarkWith("<Point><coordinates>1,2</coordinates><coordinates>1,2</coordinates></Point>"), line: 1, want: "a second coordinates element"},
		{name: "two outer boundaries", file: placemarkWith(strings.Repeat("<Polygon><outerBoundaryIs><LinearRing><coordinates>1,1 2,1 2,2</coordinates></LinearRing><LinearRing><coordinates>1,1 2,1 2,2</coordinates></LinearRing></outerBoundaryIs></Polygon>", 1)), line: 1, want: "more than one outer boundary"},
		{name: "a hole without a shell", file: placemarkWith("<Polygon><innerBoundaryIs><LinearRing><coordinates>1,1 2,1 2,2</coordinates></LinearRing></innerBoundaryIs></Polygon>"), line: 1, want: "no outer boundary"},
		{name: "a track of words", file: placemarkWith("<Track><coord>a b</coord></Track>"), line: 1, want: `"a" is not a number`},
		{name: "a track of four numbers", file: placemarkWith("<Track><coord>1 2 3 4</coord></Track>"), line: 1, want: "is no place"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := Read([]byte(c.file), wire.ReadOptions{Name: "bad.kml", Limits: c.limits})
			in, ok := err.(*wire.InputError)
			if !ok {
				t.Fatalf("got %v, want an InputError", err)
			}
			if !strings.Contains(in.Error(), c.want) {
				t.Errorf("got %q, want %q in it", in.Error(), c.want)
			}
			if in.File != "bad.kml" || in.Mend == "" {
				t.Errorf("file %q, mend %q", in.File, in.Mend)
			}
			if in.Line != c.line {
				t.Errorf("line %d, want %d: %v", in.Line, c.line, in)
			}
		})
	}
}

func TestDetect(t *testing.T) {
	for _, c := range []struct {
		head     string
		kml, kmz bool
	}{
		{"<kml>", true, false},
		{"<?xml version='1.0'?>\n<!-- <gpx> --><!DOCTYPE kml>\n<kml xmlns='x'>", true, false},
		{"<k:kml/>", true, false},
		{"<gpx>", false, false},
		{"<kmlx>", false, false},
		{"", false, false},
		{"<!-- <kml>", false, false},
		{"{\"kml\":1}", false, false},
		{"PK\x03\x04rest", false, true},
		{"PK\x05\x06", false, true},
		{"PKzip", false, false},
	} {
		if got := Detect([]byte(c.head)); got != c.kml {
			t.Errorf("Detect(%q) = %v", c.head, got)
		}
		if got := DetectKMZ([]byte(c.head)); got != c.kmz {
			t.Errorf("DetectKMZ(%q) = %v", c.head, got)
		}
	}
}

func TestSource(t *testing.T) {
	p, _, err := Read([]byte("<kml>\n<Document>\n<Placemark/>\n\n<Placemark/></Document></kml>"), wire.ReadOptions{Name: "a.kml"})
	if err != nil {
		t.Fatal(err)
	}
	if s := p.Source; s.File != "a.kml" || s.Format != "kml" || s.Winding != schema.WindingStandard {
		t.Errorf("plan: %+v", s)
	}
	for i, want := range []int{3, 5} {
		if s := p.Features[i].Source; s.Line != want || s.File != "a.kml" || s.Winding != schema.WindingStandard {
			t.Errorf("feature %d: %+v", i+1, s)
		}
	}
}

// TestToldCRS reads numbers that are no degrees when the user says so.
func TestToldCRS(t *testing.T) {
	grid, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Skipf("no such CRS yet: %v", err)
	}
	p, warnings, err := Read([]byte(line2("500000,6200000 500001,6200000")), wire.ReadOptions{CRS: grid, Epoch: 2020.5})
	if err != nil {
		t.Fatal(err)
	}
	if !p.CRS.Equal(grid) || p.Epoch != 2020.5 || kindsOf(warnings) != "crs-overridden 1" {
		t.Errorf("CRS %s, epoch %v, warnings %v", p.CRS.ID(), p.Epoch, warnings)
	}
}

// wide is the text in UTF-16, the low byte first.
func wide(text string) string {
	var b strings.Builder
	for _, c := range utf16.Encode([]rune(text)) {
		b.WriteByte(byte(c))
		b.WriteByte(byte(c >> 8))
	}
	return b.String()
}

// numbered repeats a text with a number in it.
func numbered(format string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format, i)
	}
	return b.String()
}

// TestNestingAtTheLimit holds the deepest folder that reads and the first that
// does not.
func TestNestingAtTheLimit(t *testing.T) {
	limits := schema.DefaultLimits()
	limits.InputMaxNesting = 5
	for n, ok := range map[int]bool{10: true, 11: true, 12: true, 13: false} {
		// kml stands round the folders.
		file := "<kml>" + strings.Repeat("<Folder>", n) + strings.Repeat("</Folder>", n) + "</kml>"
		_, _, err := Read([]byte(file), wire.ReadOptions{Name: "n.kml", Limits: limits})
		if (err == nil) != ok || err != nil && !strings.Contains(err.Error(), "more than 13 deep") {
			t.Errorf("%d folders: %v", n, err)
		}
	}
}

// TestWhatContainersSay: that a folder is hidden, or from when to when it holds,
// is said of all that is in it; what it says of itself is the plan's.
func TestWhatContainersSay(t *testing.T) {
	mark := func(name, more string) string {
		return "<Placemark><name>" + name + "</name>" + more + "<Point><coordinates>11.2,56.9</coordinates></Point></Placemark>"
	}
	for _, x := range []struct{ name, text, features, plan string }{
		{"a hidden folder", "<Folder><name>F</name><visibility>0</visibility>" + mark("a", "") + "</Folder>" + mark("b", ""), `a {"visibility":false,"folder":["F"]} b {}`, "{}"},
		{"one that is shown", "<Folder><name>F</name><visibility>1</visibility>" + mark("a", "") + "</Folder>", `a {"folder":["F"]}`, "{}"},
		{"a folder in a hidden one", "<Folder><name>F</name><visibility>0</visibility><Folder><name>G</name>" + mark("a", "<visibility>1</visibility>") + "</Folder></Folder>", `a {"visibility":false,"folder":["F","G"]}`, "{}"},
		{"said behind its features", "<Folder><name>F</name>" + mark("a", "") + "<visibility>0</visibility></Folder>" + mark("b", ""), `a {"visibility":false,"folder":["F"]} b {}`, "{}"},
		{"the whole document", "<visibility>0</visibility>" + mark("a", "") + "<Folder>" + mark("b", "") + "</Folder>", `a {"visibility":false} b {"visibility":false,"folder":[""]}`, "{}"},
		{"times", "<Folder><name>F</name><TimeSpan><begin>2020</begin><end>2021</end></TimeSpan>" + mark("a", "") + mark("b", "<TimeStamp><when>2026</when></TimeStamp>") + "</Folder>", `a {"time_begin":"2020","time_end":"2021","folder":["F"]} b {"time":"2026","folder":["F"]}`, "{}"},
		{"descriptions", "<description>DRAFT</description><Folder><name>F</name><description> traced </description><Folder><description>old</description><name>G</name>" + mark("a", "") + "</Folder></Folder>",
			`a {"folder":["F","G"]}`, `{"note":"DRAFT","folder_notes":{"F":"traced","F / G":"old"}}`},
		{"empty ones", "<description> </description><Snippet/><Folder><name>F</name><description/>" + mark("a", "") + "</Folder>", `a {"folder":["F"]}`, "{}"},
		{"a line with a width on the ground", strings.Replace(mark("a", "<Style><LineStyle><width>2</width><gx:physicalWidth>6</gx:physicalWidth></LineStyle></Style>"), "<Point>", "<Point>", 1), `a {"line_width":2,"physical_width_m":6}`, "{}"},
	} {
		p, _, err := Read([]byte(`<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2"><Document>`+x.text+`</Document></kml>`), wire.ReadOptions{})
		if err != nil {
			t.Fatal(x.name, err)
		}
		var got []string
		for _, f := range p.Features {
			got = append(got, f.Name+" "+string(f.Attributes.AppendJSON(nil)))
		}
		if s := strings.Join(got, " "); s != x.features || string(p.Attributes.AppendJSON(nil)) != x.plan {
			t.Errorf("%s: %s\nplan %s", x.name, s, p.Attributes.AppendJSON(nil))
		}
	}
}

// TestEmptyFolder: a folder with a name and nothing in it is told.
func TestEmptyFolder(t *testing.T) {
	for inner, want := range map[string]string{
		"<name>Ponds, to be drawn</name>": "folder-empty 1",
		"<name> </name>":                  "",
		"<name>F</name><Placemark><Point><coordinates>9,52</coordinates></Point></Placemark>":                  "",
		"<name>F</name><Folder><Placemark><Point><coordinates>9,52</coordinates></Point></Placemark></Folder>": "",
		"<name>F</name><GroundOverlay/>": "skipped-GroundOverlay 1",
	} {
		_, warnings, err := Read([]byte(`<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder>`+inner+`</Folder></Document></kml>`), wire.ReadOptions{})
		if err != nil || kindsOf(warnings) != want {
			t.Errorf("%s: %v %v", inner, warnings, err)
		}
	}
}

// TestPictures: what a picture shows is said by its name, its file, what is
// written of it and the folder that it is in.
func TestPictures(t *testing.T) {
	p, _, err := Read([]byte(`<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>Park</name><Folder><name>Ponds</name><GroundOverlay><name>Scan 1</name><description>from the permit</description><Icon><href>a/1.png</href></Icon></GroundOverlay></Folder><GroundOverlay><name>Two</name></GroundOverlay><ScreenOverlay><name>Legend</name></ScreenOverlay><PhotoOverlay><name>Photo</name></PhotoOverlay></Document></kml>`), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(p.Pictures, "; "); got != "Ponds, in a folder of that name; Scan 1; from the permit; a/1.png; Two; Legend; Photo" {
		t.Error(got)
	}
}
