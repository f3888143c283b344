// Documents read part by part are those that are read whole.

package kml

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/inparts"
	"swardline/testdata/randplan"
)

var inParts = func() *inparts.Format {
	w, p := windowBytes, partPoints
	grid, _ := crs.Parse("EPSG:25832")
	return &inparts.Format{Name: "f.kml", Read: Read, Parts: NewSource, Files: documents, CRS: grid, Rounds: 30, Long: 3000,
		Small:   func(r *rand.Rand) { windowBytes, partPoints = 1+r.IntN(200), 1+r.IntN(50) },
		Restore: func() { windowBytes, partPoints = w, p },
	}
}()

const (
	kmlStart = `<?xml version="1.0" encoding="UTF-8"?>` + "\n" + `<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">` + "\n"
	kmlEnd   = "\n</kml>\n"
)

// pieces are what a foreign document may hold, in any order.
var pieces = []string{
	`<name>Grounds</name>`, `<name/>`, `<description>what <b>it</b> is</description>`, `<open>1</open>`, `text between`, "<!-- a > and <Placemark> in a comment -->", `<?and this?>`,
	`<Style id="a"><LineStyle><color>ff0000ff</color><width>2</width></LineStyle></Style>`, `<Style id="a"><PolyStyle><color>7f00ff00</color></PolyStyle></Style>`,
	`<StyleMap id="m"><Pair><key>normal</key><styleUrl>#a</styleUrl></Pair></StyleMap>`, `<gx:CascadingStyle kml:id="c"><Style><LineStyle><color>red</color></LineStyle></Style></gx:CascadingStyle>`,
	`<Schema id="s" name="t"><SimpleField name="n" type="int"/><SimpleField name="b" type="bool"></SimpleField><SimpleField name="k" type="odd"/></Schema>`,
	`<Schema id="s"><SimpleField name="n" type="string"/></Schema>`, `<NetworkLink><Link><href>http://example.org/a.kml</href></Link></NetworkLink>`, `<LookAt><range>3</range></LookAt>`,
	`<Placemark id="p"><name>one</name><styleUrl>#a</styleUrl><Point><coordinates>9,52</coordinates></Point></Placemark>`,
	`<Placemark><styleUrl>#m</styleUrl><ExtendedData><SchemaData schemaUrl="#s"><SimpleData name="n">7</SimpleData><SimpleData name="b">x</SimpleData></SchemaData></ExtendedData><LineString><coordinates>9,52 9.1,52,3</coordinates></LineString></Placemark>`,
	`<Placemark><ExtendedData><SchemaData schemaUrl="#t"><SimpleData name="n">07</SimpleData><SimpleData name="line_color">1</SimpleData></SchemaData><Data name="folder"><value>mine</value></Data><Data name="role"><value>zone</value></Data></ExtendedData><styleUrl>#c</styleUrl><Style><IconStyle><color>ffffffff</color></IconStyle></Style></Placemark>`,
	`<Placemark><ExtendedData><SchemaData schemaUrl="#swardline.feature"><SimpleData name="role">dock</SimpleData></SchemaData><SchemaData schemaUrl="#swardline.feature.attributes"><SimpleData name="a">=5</SimpleData></SchemaData><SchemaData schemaUrl="#s"><SimpleData name="n">5</SimpleData></SchemaData></ExtendedData><styleUrl>#a</styleUrl><name><![CDATA[</Placemark>]]></name></Placemark>`,
	`<Placemark><name>T</name><gx:Track><when>2026-05-04T10:00:00Z</when><gx:coord>9 52 1</gx:coord><gx:coord></gx:coord></gx:Track></Placemark>`,
	`<Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>9,52 9.1,52 9.1,52.1 9,52</coordinates></LinearRing></outerBoundaryIs></Polygon><visibility>0</visibility></Placemark>`,
	`<ExtendedData><SchemaData schemaUrl="#s"><SimpleData name="n">8</SimpleData></SchemaData><Data name="d"/></ExtendedData>`, `<Placemark/>`, `<Folder/>`, `<visibility>0</visibility>`, `<visibility>1</visibility>`, `<TimeSpan><begin>2020</begin><end>2021-05</end></TimeSpan>`, `<Snippet>sketch</Snippet>`,
	`<Folder><name>f</name><description>old</description><visibility>0</visibility><Placemark><name>in f</name></Placemark></Folder>`, `<GroundOverlay><description>pond</description></GroundOverlay>`,
	`<Style id="a"><LineStyle><gx:physicalWidth>6</gx:physicalWidth></LineStyle></Style>`, `<x:Folder xmlns:x="urn:x"><Placemark/></x:Folder>`, `<gx:Tour><name>t</name></gx:Tour>`,
}

// documents are documents of many kinds.
func documents(t testing.TB, r *rand.Rand) []inparts.File {
	var out []string
	for range 4 {
		p := randplan.New(r.Uint64(), randplan.Options{Features: 1 + r.IntN(12)})
		p.CRS = crs.WGS84()
		var b bytes.Buffer
		if _, err := Write(&b, p, wire.WriteOptions{ViewerNote: "a note"}); err != nil {
			t.Fatal(err)
		}
		out = append(out, b.String())
	}
	for range 8 {
		var b strings.Builder
		b.WriteString(kmlStart[r.IntN(2)*strings.Index(kmlStart, "<kml"):])
		var open []string
		for range r.IntN(30) {
			switch n := r.IntN(12); {
			case n < 2 && len(open) < 4:
				open = append(open, []string{"Folder", "Document", "kml"}[min(2, r.IntN(8)/3)])
				b.WriteString("<" + open[len(open)-1] + ">\n")
			case n == 2 && len(open) > 0:
				b.WriteString("</" + open[len(open)-1] + ">")
				open = open[:len(open)-1]
			case n == 3 && len(open) > 0:
				fmt.Fprintf(&b, "<name>folder %d</name>", r.IntN(3))
			default:
				b.WriteString(pieces[r.IntN(len(pieces))])
			}
			b.WriteString([]string{"", "\n", " \r\n"}[r.IntN(3)])
		}
		for len(open) > 0 {
			b.WriteString("</" + open[len(open)-1] + ">")
			open = open[:len(open)-1]
		}
		out = append(out, b.String()+kmlEnd)
	}
	point := `<Placemark><Point><coordinates>9,52</coordinates></Point></Placemark>`
	return inparts.Texts(append(out, " \n ", "<kml/>", `<?xml version="1.0" encoding="latin1"?><kml>`+point+`</kml>`, `<!DOCTYPE kml SYSTEM "a>b"><kml>`+point+`</kml><!-- end -->`,
		`<!DOCTYPE kml [<!ENTITY a "b">]><kml/>`, kmlStart+point+kmlEnd+point, kmlStart+`<Document a='>'><name>n</name>`+strings.Repeat(point, 9)+`</Document>`, "<gpx>"+point+"</gpx>")...)
}

func TestPartsAreTheWhole(t *testing.T) { inParts.Test(t, 51) }

func FuzzParts(f *testing.F) { inParts.Fuzz(f, 53) }

var kmzInParts = func() *inparts.Format {
	f := *inParts
	f.Name, f.Read, f.Parts, f.Files = "f.kmz", ReadKMZ, NewKMZSource, archives
	return &f
}()

// archives are the documents packed, some with others beside them.
func archives(t testing.TB, r *rand.Rand) (out []inparts.File) {
	for _, f := range documents(t, r) {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for _, name := range [][]string{{"doc.kml"}, {"a.kml", "doc.kml"}, {"files/x.png", "sub/a.kml"}, {"../b.kml", "b.kml"}}[r.IntN(4)] {
			w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: []uint16{zip.Store, zip.Deflate}[r.IntN(2)]})
			if err != nil {
				t.Fatal(err)
			}
			if _, err := w.Write(f.Data); err != nil {
				t.Fatal(err)
			}
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		out = append(out, inparts.File{Data: b.Bytes()})
	}
	return out
}

func TestArchivesAreTheWhole(t *testing.T) { kmzInParts.Test(t, 57) }

func FuzzKMZParts(f *testing.F) { kmzInParts.Fuzz(f, 59) }

// The files of the other tests, too.
func TestFixturesInParts(t *testing.T) {
	t.Cleanup(inParts.Restore)
	r := rand.New(rand.NewPCG(55, 56))
	var files []string
	for _, pattern := range []string{"testdata/*.kml", "../../examples/*/*.kml", "../../testdata/broken/*.kml"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	if len(files) < 2 {
		t.Fatal(files)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for range 3 {
			inParts.Small(r)
			inParts.Compare(t, data, wire.ReadOptions{Name: file}, 1+r.IntN(12))
		}
	}
}

// A name, a style and a Schema that stand behind what they are of cost one more
// walk, and no more.
func TestLateWordsCostOneWalk(t *testing.T) {
	placemark := `<Placemark><styleUrl>#a</styleUrl><ExtendedData><SchemaData schemaUrl="#s"><SimpleData name="n">7</SimpleData></SchemaData></ExtendedData></Placemark>`
	words := pieces[7] + pieces[11] + `<name>late</name>`
	for _, c := range []struct {
		text  string
		again bool
	}{
		{kmlStart + "<Document><Folder>" + words + placemark + "</Folder></Document>" + kmlEnd, false},
		{kmlStart + "<Document><Folder>" + placemark + words + "</Folder></Document>" + kmlEnd, true},
	} {
		source := NewSource(func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(c.text)), nil }, wire.ReadOptions{Name: "f.kml"}, 1)
		var last *schema.Feature
		walk := func() error {
			_, _, err := source.Walk(func(_ *schema.Plan, features []*schema.Feature) error { last = features[0]; return nil })
			return err
		}
		if err := walk(); errors.Is(err, wire.ErrAgain) != c.again {
			t.Errorf("again %v: %v", c.again, err)
		}
		if err := walk(); err != nil {
			t.Error(err)
		}
		const want = `{"n":7,"folder":["late"],"style_url":"#a","line_color":"#ff0000","line_width":2}`
		if got := string(last.Attributes.AppendJSON(nil)); len(got) != len(want) || !strings.Contains(got, `"n":7`) || !strings.Contains(got, `"folder":["late"]`) || !strings.Contains(got, `"line_width":2`) {
			t.Errorf("%s", got)
		}
	}
}
