// Files read part by part are those that are read whole.

package gpx

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/inparts"
	"swardline/testdata/randplan"
)

var inParts = func() *inparts.Format {
	w, p := windowBytes, partPoints
	told, _ := crs.Parse("EPSG:4258")
	return &inparts.Format{Name: "f.gpx", Read: Read, Parts: NewSource, Files: files, CRS: told, Rounds: 20, Long: 2000,
		Small:   func(r *rand.Rand) { windowBytes, partPoints = 1+r.IntN(200), 1+r.IntN(50) },
		Restore: func() { windowBytes, partPoints = w, p },
	}
}()

// foreign are pieces of a file, in any order.
var foreign = []string{
	`<wpt lat="56" lon="9"><name>W</name></wpt>`, `<wpt lat="56" lon="9"><ele>2</ele><extensions><s:feature n="1" role="dock"><s:attribute name="a">1</s:attribute></s:feature></extensions></wpt>`,
	`<wpt lat="56.1" lon="9"><extensions><s:feature n="2" role="mark" geometry="MultiPoint" empty="1"/></extensions></wpt>`, `<wpt lat="56.2" lon="9"><extensions><s:more n="2"/></extensions></wpt>`,
	`<rte><name>R</name><rtept lat="56" lon="9"/><rtept lat="56.1" lon="9"><time>2026-05-04T10:00:00Z</time></rtept><rtept lat="57" lon="9"/></rte>`,
	`<trk><name>T</name><trkseg><trkpt lat="56" lon="9"/><trkpt lat="56.1" lon="9"><ele>1</ele><time>2026-05-04T10:00:00Z</time></trkpt><wpt lat="1" lon="2"/><trkpt lat="57" lon="9"><hdop>x</hdop></trkpt></trkseg><trkseg/></trk>`,
	`<trk><extensions><s:feature n="3" role="zone" geometry="Polygon"/></extensions><trkseg><trkpt lat="56" lon="9"/><trkpt lat="56.2" lon="9"/><trkpt lat="56.2" lon="9.2"/><trkpt lat="56" lon="9"/></trkseg></trk>`,
	`<trk><trkseg></trkseg><extensions><s:feature n="4" role="nothing"/></extensions></trk>`,
	`<trk><extensions><s:feature n="5" geometry="GeometryCollection"><s:member geometry="LineString" pieces="1"/></s:feature></extensions><trkseg><trkpt lat="56" lon="9"/></trkseg></trk>`,
	`<wpt lat="56" lon="9"><extensions><s:feature n="6" geometry="GeometryCollection"><s:member geometry="Point" pieces="1"/><s:member geometry="LineString" pieces="1"/></s:feature></extensions></wpt>`,
	`<trk><extensions><s:more n="6"/></extensions><trkseg><trkpt lat="56" lon="9"/></trkseg></trk>`,
	`<metadata><name>p</name><time>2026-05-04T10:00:00Z</time><extensions><s:plan epoch="2026.5" crs="EPSG:4326"><s:attribute name="a">1</s:attribute><s:attribute name="desc" native="true"/></s:plan></extensions></metadata>`,
	`<extensions><s:feature n="7" id="x" geometry="LineString"/><s:feature n="8" geometry="MultiPoint" empty="1"/><v:a xmlns:v="urn:v">t</v:a></extensions>`,
	`stray`, `<!-- <wpt> -->`, `<x:trk xmlns:x="urn:x"><x:trkseg/></x:trk>`, `<rte><trkseg><trkpt lat="1" lon="2"/></trkseg></rte>`, `<desc>d</desc>`, `<wpt lat="56" lon="9"><name><![CDATA[</wpt>]]></name></wpt>`,
}

// files are files of many kinds.
func files(t testing.TB, r *rand.Rand) []inparts.File {
	var out []string
	write := func(p *schema.Plan) {
		p.CRS = crs.WGS84()
		var b bytes.Buffer
		if _, err := Write(&b, p, wire.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		out = append(out, b.String())
	}
	for range 3 {
		write(randplan.New(r.Uint64(), randplan.Options{Features: 1 + r.IntN(12)}))
	}
	// Of one kind each, so that they come in their order.
	for _, kind := range []func(g geom.T) bool{
		func(g geom.T) bool { _, ok := g.(*geom.Point); return ok && !g.Empty() },
		func(g geom.T) bool { m, ok := g.(*geom.MultiPoint); return ok && len(m.FlatCoords()) > 0 },
		func(g geom.T) bool { _, ok := g.(*geom.LineString); return ok },
		func(g geom.T) bool {
			_, ok := g.(*geom.Polygon)
			_, many := g.(*geom.MultiPolygon)
			return ok || many
		},
	} {
		p := randplan.New(r.Uint64(), randplan.Options{Features: 30})
		of := p.Features[:0]
		for _, f := range p.Features {
			if f.Geometry != nil && kind(f.Geometry) {
				of = append(of, f)
			}
		}
		p.Features = of
		write(p)
	}
	for range 8 {
		var b strings.Builder
		b.WriteString(gpx11)
		for range r.IntN(12) {
			b.WriteString(foreign[r.IntN(len(foreign))])
			b.WriteString([]string{"", "\n", " \r\n"}[r.IntN(3)])
		}
		out = append(out, b.String()+"</gpx>\n")
	}
	for range 3 {
		out = append(out, bits[r.IntN(len(bits))].file)
	}
	track := `<trk><trkseg>` + strings.Repeat("<trkpt lat=\"56.5\" lon=\"9.5\"><ele>3</ele></trkpt>\n", r.IntN(60)) + `</trkseg></trk>`
	return inparts.Texts(append(out, gpx11+track+foreign[0]+"</gpx>", "<!-- a -->\n"+gpx11+foreign[0]+"<!-- b --></gpx> ", gpx11+foreign[0]+"</gpx>x", " ", "<kml/>", "<gpx>"+track+"</gpx>",
		`<x:gpx xmlns:x="urn:x" version="1.1">`+strings.ReplaceAll(strings.ReplaceAll(track, "</", "</x:"), "<t", "<x:t")+`</x:gpx>`)...)
}

func TestPartsAreTheWhole(t *testing.T) { inParts.Test(t, 61) }

func FuzzParts(f *testing.F) { inParts.Fuzz(f, 63) }
