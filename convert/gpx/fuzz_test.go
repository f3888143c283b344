// Whatever bytes come: no panic, errors in their one form, and what was read
// can be written and read again the same.

package gpx

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
	"swardline/testdata/randplan"
)

const gpx11 = `<gpx xmlns="http://www.topografix.com/GPX/1/1" xmlns:s="` + Namespace + `" version="1.1" creator="x">`

// bits are small files, each with something that a reader can stumble over, and
// what is read of it or is wrong with it.
var bits = []struct{ file, want string }{
	{gpx11 + `<wpt lat="56.1" lon="9.2"><ele>0</ele><time>2026-05-04T10:00:00Z</time><name>a &amp; b</name><sym>Flag, Blue</sym><type>dock</type><fix>dgps</fix><sat>7</sat><hdop>0.8</hdop></wpt></gpx>`,
		`dock "a & b" Point {"time":"2026-05-04T10:00:00Z","sym":"Flag, Blue","fix":"dgps","sat":7,"hdop":0.8}`},
	{gpx11 + `<rte><name>r</name><number>3</number><rtept lat="56" lon="9"/><rtept lat="56.1" lon="9"><ele>1.5</ele></rtept></rte></gpx>`,
		`other "r" LineString {"number":3}`},
	{gpx11 + `<trk><trkseg><trkpt lat="56" lon="9"><time>2026-05-04T10:00:00Z</time></trkpt><trkpt lat="56.1" lon="180"><hdop>2</hdop></trkpt></trkseg><trkseg/></trk></gpx>`,
		`other "" MultiLineString {"times":[["2026-05-04T10:00:00Z",null],[]],"point_hdop":[[null,2],[]]}`},
	{gpx11 + `<trk><extensions><s:feature n="1" id="7" id-type="number" role="zone" geometry="Polygon"><s:attribute name="cut_mm">45</s:attribute><s:attribute name="a">{"b":[1,null]}</s:attribute></s:feature></extensions>` +
		`<trkseg><trkpt lat="56" lon="9"/><trkpt lat="56.2" lon="9"/><trkpt lat="56.2" lon="9.2"/><trkpt lat="56" lon="9"/></trkseg>` +
		`<trkseg><trkpt lat="56.15" lon="9.02"/><trkpt lat="56.15" lon="9.05"/><trkpt lat="56.1" lon="9.02"/><extensions><s:hole/></extensions></trkseg></trk></gpx>`,
		`zone "" Polygon {"cut_mm":45,"a":{"b":[1,null]}}`},
	{gpx11 + `<trk><extensions><s:feature n="1" geometry="GeometryCollection"><s:member geometry="Point" pieces="1"/><s:member geometry="LineString" pieces="1"/></s:feature></extensions><trkseg><trkpt lat="56" lon="9"/></trkseg><trkseg><trkpt lat="56" lon="9"/></trkseg></trk></gpx>`,
		`a Point takes 1 waypoints or segments, but fewer are left`},
	{gpx11 + `<trk><extensions><s:feature n="1" role="zone" geometry="MultiPolygon"/></extensions><trkseg><trkpt lat="56" lon="9"/><extensions><s:shell/></extensions></trkseg><trkseg><extensions><s:none/></extensions></trkseg></trk></gpx>`,
		`zone "" MultiPolygon {}`},
	{gpx11 + `<metadata><name>p</name><author><name>n</name><email id="a" domain="b"/></author><copyright author="c"><year>2026</year></copyright><time>2026-05-04T10:00:00Z</time><bounds minlat="1" minlon="2" maxlat="3" maxlon="4"/><extensions><s:plan epoch="2026.5" crs="EPSG:4326"><s:attribute name="limits">{"base_range_m":300}</s:attribute></s:plan></extensions></metadata></gpx>`,
		`plan "p" 2026.5 {"limits":{"base_range_m":300},"author":{"name":"n","email":{"id":"a","domain":"b"}},"copyright":{"author":"c","year":"2026"},"time":"2026-05-04T10:00:00Z","bounds":{"minlat":1,"minlon":2,"maxlat":3,"maxlon":4}}`},
	{gpx11 + `<wpt lat="56" lon="9"><extensions><v:a xmlns:v="urn:v" v:b="1">t<v:c/></v:a><d xmlns="">e</d></extensions></wpt><extensions><s:feature n="1" role="mark"/></extensions></gpx>`,
		`other "" Point {"gpx_extensions":"<v:a xmlns:v=\"urn:v\" v:b=\"1\">t<v:c/></v:a><d xmlns=\"\">e</d>"}`},
	{gpx11 + `<wpt lat="56" lon="9"/><extensions><v:p xmlns:v="urn:v" lat="NaN" lon="9"/></extensions></gpx>`,
		`gpx_extensions":"<v:p`},
	{gpx11 + "<wpt lat=\"56\" lon=\"9\"/><w\x80t lat=\"NaN\" lon=\"9\"/></gpx>",
		`gpx_extensions":"<w`},
	{`<?xml version="1.0"?><gpx xmlns="http://www.topografix.com/GPX/1/0" version="1.0" creator="x"><name>old</name><url>http://example.org</url><wpt lat="-90" lon="-180"><course>1</course><speed>2</speed></wpt></gpx>`,
		`other "" Point {"course":1,"speed":2}`},
	{`<!DOCTYPE gpx [<!ENTITY a "b">]><gpx version="1.1"><wpt lat="56" lon="9"><name>&a;</name></wpt></gpx>`,
		`the DOCTYPE carries definitions of its own`},
	{gpx11 + `<wpt lat="91" lon="9"/></gpx>`,
		`the latitude 91 of <wpt> lies outside -90 to 90; lat and lon look swapped`},
	{gpx11 + `<wpt lat="NaN" lon="9"/></gpx>`,
		`lat="NaN" of <wpt> is no number`},
	{gpx11 + `<wpt lat="56"/></gpx>`,
		`<wpt> has no position`},
	{gpx11 + `<wpt lat="56" lon="9">`,
		`the file ends inside <wpt>`},
	{gpx11 + `<wpt lat="56" lon="9"><name><![CDATA[ ]]></name><cmt>` + "\u2028" + `&#13;&#x9;</cmt><ele>1e400</ele></wpt></gpx>`,
		`the elevation "1e400" is no number`},
	{"<gpx/>",
		`plan "" 0 {}`},
	{gpx11 + `<trk><name>T</name><trkseg><trkpt lat="56" lon="9"/><wpt lat="56.5" lon="9.5"><name>W</name></wpt><trkpt lat="57" lon="9"/></trkseg><wpt lat="1" lon="2"/></trk></gpx>`,
		`other "W" Point {}
other "" Point {}
other "T" LineString {"gpx_kind":"trk"}
plan "" 0 {"gpx_creator":"x"}`},
	{"\xef\xbb\xbf<gpx></gpx>",
		`plan "" 0 {}`},
	{"\xff\xfe<\x00",
		`a < stands where no element starts`},
	{"",
		`the file is empty`},
}

// What each of the small files is read as.
func TestReadBits(t *testing.T) {
	for _, c := range bits {
		p, _, err := Read([]byte(c.file), wire.ReadOptions{Name: "f.gpx"})
		var got strings.Builder
		if err != nil {
			got.WriteString(err.Error())
		} else {
			for _, f := range p.Features {
				kind := strings.TrimPrefix(fmt.Sprintf("%T", f.Geometry), "*geom.")
				fmt.Fprintf(&got, "%s %q %s %s\n", f.Role, f.Name, kind, f.Attributes.AppendJSON(nil))
			}
			fmt.Fprintf(&got, "plan %q %v %s", p.Name, p.Epoch, p.Attributes.AppendJSON(nil))
		}
		if !strings.Contains(got.String(), c.want) {
			t.Errorf("%s\ngot  %s\nwant %s", c.file, got.String(), c.want)
		}
		readAnything(t, []byte(c.file))
	}
}

// seeds is what the fuzzer starts from.
func seeds(t testing.TB) [][]byte {
	var out [][]byte
	for _, c := range bits {
		out = append(out, []byte(c.file))
	}
	for seed := uint64(0); seed < 5; seed++ {
		var b bytes.Buffer
		if _, err := Write(&b, randplan.New(seed, randplan.Options{Features: 1}), wire.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		out = append(out, b.Bytes())
	}
	return out
}

func FuzzRead(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add(s)
	}
	for _, x := range wholes {
		f.Add([]byte(wholeOf(x.head, x.point)))
	}
	f.Fuzz(func(t *testing.T, data []byte) { readAnything(t, data) })
}

// readAnything reads the bytes and returns the plan, nil when they were
// refused.
func readAnything(t *testing.T, data []byte) *schema.Plan {
	t.Helper()
	Detect(data)
	p, warnings, err := Read(data, wire.ReadOptions{Name: "f.gpx"})
	if err != nil {
		var in *wire.InputError
		if !errors.As(err, &in) || in.Problem == "" || in.File != "f.gpx" {
			t.Fatalf("error of another form: %v", err)
		}
		return nil
	}
	randplan.Sound(t, p, warnings)
	for _, f := range p.Features {
		onEarth(t, f.Geometry)
	}
	drawn := drawnElsewhere(warnings)
	q, losses := again(t, p, drawn)
	if len(losses) > 0 {
		// Rings were closed or turned, which was said. From then on nothing
		// changes.
		p = q
		if q, losses = again(t, p, drawn); len(losses) > 0 {
			t.Fatalf("what was written once loses %v when written again", losses)
		}
	}
	if err := schema.Same(p, q, tolerance); err != nil {
		t.Fatalf("what was written is read as another plan: %v", err)
	}
	return p
}

// drawnElsewhere reports whether positions among foreign extensions were told of.
func drawnElsewhere(warnings []wire.Warning) bool {
	return slices.ContainsFunc(warnings, func(w wire.Warning) bool { return w.Kind == "drawn-elsewhere" })
}

// again writes the plan and reads what was written. drawn is whether positions among
// foreign extensions were read: they are told of again, however they were written, and
// nothing else is.
func again(t *testing.T, p *schema.Plan, drawn bool) (*schema.Plan, []wire.Loss) {
	t.Helper()
	var out bytes.Buffer
	losses, err := Write(&out, p, wire.WriteOptions{})
	if err != nil {
		t.Fatalf("what was read cannot be written: %v", err)
	}
	q, warnings, err := Read(out.Bytes(), wire.ReadOptions{Name: "again.gpx"})
	if err != nil {
		t.Fatalf("what was written cannot be read: %v\n%s", err, out.Bytes())
	}
	if got := drawnElsewhere(warnings); got != drawn {
		t.Fatalf("positions among extensions: told %v of what was written, %v of what was read\n%s", got, drawn, out.Bytes())
	}
	warnings = slices.DeleteFunc(warnings, func(w wire.Warning) bool { return w.Kind == "drawn-elsewhere" })
	if len(warnings) > 0 {
		t.Fatalf("what was written is warned of: %v\n%s", warnings, out.Bytes())
	}
	return q, losses
}

// onEarth refuses a vertex that is no longitude and latitude.
func onEarth(t *testing.T, g geom.T) {
	switch g := g.(type) {
	case nil:
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			onEarth(t, part)
		}
	default:
		flat, stride := g.FlatCoords(), g.Stride()
		for i := 0; i+stride <= len(flat); i += stride {
			if !(flat[i] >= -180 && flat[i] <= 180 && flat[i+1] >= -90 && flat[i+1] <= 90) {
				t.Fatalf("%v, %v is no place", flat[i], flat[i+1])
			}
		}
	}
}
