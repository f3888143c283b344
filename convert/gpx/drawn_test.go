// What GPX draws without saying so: outlines as closed lines, things in
// extensions.

package gpx

import (
	"fmt"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
)

func readGPX(t *testing.T, inner string) (g []geom.T, kinds string, ground bool) {
	t.Helper()
	p, warnings, err := Read([]byte(`<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1" xmlns:s="urn:swardline:gpx:1" xmlns:x="urn:x">`+inner+`</gpx>`), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range p.Features {
		g = append(g, f.Geometry)
	}
	var all []string
	for _, w := range warnings {
		all = append(all, w.Kind)
		ground = ground || w.Ground()
	}
	return g, strings.Join(all, " "), ground
}

// TestClosedLines: a closed line whose role is an area's is its outline; one that
// is open, of another role, or said to be a line is none.
func TestClosedLines(t *testing.T) {
	const open = `<%[1]spt lat="1" lon="2"/><%[1]spt lat="1" lon="3"/><%[1]spt lat="2" lon="3"/>`
	const closed = open + `<%[1]spt lat="1" lon="2"/>`
	for _, x := range []struct {
		kind, points, before string
		outline              bool
	}{
		{"trk", closed, "<type>zone</type>", true}, {"trk", closed, "<type>keepout</type>", true}, {"trk", closed, "<type>building</type>", true}, {"rte", closed, "<type>zone</type>", true},
		{"trk", open, "<type>zone</type>", false}, {"trk", closed, "<type>corridor</type>", false}, {"trk", closed, "<type>boundary</type>", false}, {"trk", closed, "", false},
		{"trk", strings.Replace(closed, `lon="2"/><`, `lon="2.0000001"/><`, 1), "<type>zone</type>", false},
		{"trk", closed, `<extensions><s:feature n="1" role="zone"/></extensions>`, true},
		{"rte", closed, `<extensions><s:feature n="1" role="zone"/></extensions>`, false},
		{"trk", closed, `<extensions><s:feature n="1" role="zone" geometry="LineString"/></extensions>`, false},
	} {
		inner := fmt.Sprintf(x.points, x.kind)
		if x.kind == "trk" {
			inner = "<trkseg>" + inner + "</trkseg>"
		}
		g, kinds, _ := readGPX(t, "<"+x.kind+">"+x.before+inner+"</"+x.kind+">")
		if _, is := g[0].(*geom.Polygon); is != x.outline || (kinds == "line-closed") != x.outline {
			t.Errorf("%s %s %s: %T %s", x.kind, x.before, x.points, g[0], kinds)
		}
	}
}

// TestDrawnInExtensions: positions in extensions are told as ground, values are
// not.
func TestDrawnInExtensions(t *testing.T) {
	const track = `<trk><name>Pond</name><trkseg><trkpt lat="1" lon="2"/><trkpt lat="1" lon="3"/></trkseg></trk>`
	for inner, want := range map[string]bool{
		"<extensions>" + track + "</extensions>":                                                                         true,
		`<extensions><wpt lat="1" lon="2"/></extensions>`:                                                                true,
		`<extensions><x:pond><x:posList>1 2 3 4</x:posList></x:pond></extensions>`:                                       true,
		`<wpt lat="1" lon="2"><extensions><x:around><x:p lat="1" lon="2"/></x:around></extensions></wpt>`:                true,
		`<rte><rtept lat="1" lon="2"><extensions><x:shape><x:rpt lat="1" lon="2"/></x:shape></extensions></rtept></rte>`: true,
		`<wpt lat="1" lon="2"><extensions><x:Proximity>3</x:Proximity></extensions></wpt>`:                               false,
		`<wpt lat="1" lon="2"><extensions><x:DisplayColor>Red</x:DisplayColor></extensions></wpt>`:                       false,
		`<x:pond><x:p lat="1" lon="2"/></x:pond>`:                                                                        true,
		`<wpt lat="1" lon="2"><x:around><x:p lat="1" lon="2"/></x:around></wpt>`:                                         true,
		`<wpt lat="1" lon="2"><x:around>3</x:around></wpt>`:                                                              false,
		`<extensions><x:platform lat="none"/></extensions>`:                                                              false,
		"<wpt\nlat=\"1\" lon=\"2\"><extensions><x:p\nlat = \"1\"\tlon='2'/></extensions></wpt>":                          true,
		`<wpt lat="1" lon="2"><extensions><x:lat>1</x:lat><x:lng>2</x:lng></extensions></wpt>`:                           true,
		`<wpt lat="1" lon="2"><extensions><x:pos>1 2</x:pos></extensions></wpt>`:                                         true,
		`<wpt lat="1" lon="2"><extensions><x:pond>POLYGON ((1 2, 3 4, 5 6))</x:pond></extensions></wpt>`:                 true,
		`<wpt lat="1" lon="2"><extensions><x:sym>Point (old)</x:sym><x:pose>3</x:pose></extensions></wpt>`:               false,
		`<wpt lat="1" lon="2"><extensions><x:translator>on</x:translator><x:flat>1</x:flat></extensions></wpt>`:          false,
		// As texts, where they are not well-formed enough for elements.
		`<wpt lat="1" lon="2"><extensions><s:feature n="1" role="mark"><s:attribute name="gpx_extensions">"&lt;x lat=\"1\" lon=\"2\">"</s:attribute></s:feature></extensions></wpt>`:                        true,
		`<wpt lat="1" lon="2"><extensions><s:feature n="1" role="mark"><s:attribute name="segment_extensions">[null,["&lt;x lat=\"1\" lon=\"2\">"]]</s:attribute></s:feature></extensions></wpt>`:           true,
		`<wpt lat="1" lon="2"><extensions><s:feature n="1" role="mark"><s:attribute name="gpx_extensions">"&lt;x lat=\"1\">"</s:attribute></s:feature></extensions></wpt>`:                                  false,
		`<metadata><extensions><s:plan><s:attribute name="metadata_extensions">"&lt;x lat=\"1\" lon=\"2\">"</s:attribute></s:plan></extensions></metadata>`:                                                 true,
		`<metadata><extensions><x:p lat="1" lon="2"/></extensions><extensions><x:p>3</x:p></extensions></metadata>`:                                                                                         true,
		`<wpt lat="1" lon="2"><extensions><s:feature n="1" role="mark"><s:attribute name="gpx_extensions">"old"</s:attribute></s:feature><x:p lat="1" lon="2"/></extensions></wpt>`:                         true,
		`<wpt lat="1" lon="2"><extensions><s:feature n="1" role="mark" geometry="MultiPoint"/></extensions></wpt><wpt lat="1" lon="3"><extensions><s:more n="1"/><x:p lat="1" lon="2"/></extensions></wpt>`: true,
		`<wpt lat="1" lon="2"><extensions><s:feature n="1" role="mark" geometry="MultiPoint"/></extensions></wpt><wpt lat="1" lon="3"><extensions><s:more n="1"/></extensions></wpt>`:                       false,
		track: false,
	} {
		if _, kinds, ground := readGPX(t, inner); ground != want || want && !strings.HasSuffix(kinds, "drawn-elsewhere") {
			t.Errorf("%s: %s", inner, kinds)
		}
		readAnything(t, []byte(gpx11+inner+"</gpx>")) // told of again in what is written of it
	}
}

// TestSaidTwice: what stands twice and says two things, and what is said in a
// waypoint's attributes, is told as what the plan lacks.
func TestSaidTwice(t *testing.T) {
	for _, x := range []struct {
		inner, kinds string
		ground       bool
	}{
		{"<name>Pond</name><name>Area</name>", "element-second", true},
		{"<name>Pond</name><name>Pond</name>", "element-repeated", false},
		{"<type>hazard</type><type>other</type>", "element-second", true},
		{"<ele>1</ele><ele>4.5</ele>", "element-second", true},
		{"<ele>1</ele><ele>1.0</ele>", "element-repeated", false},
	} {
		if _, kinds, ground := readGPX(t, `<wpt lat="56" lon="9">`+x.inner+"</wpt>"); kinds != x.kinds || ground != x.ground {
			t.Errorf("%s: %s, ground %v", x.inner, kinds, ground)
		}
	}
	if _, kinds, ground := readGPX(t, `<wpt lat="56" lon="9" role="hazard"/>`); kinds != "attribute-unread" || !ground {
		t.Errorf("an attribute of a waypoint: %s, ground %v", kinds, ground)
	}
	if _, kinds, ground := readGPX(t, `<rte><rtept lat="56" lon="9" hdop="1"/><rtept lat="56" lon="9.1"/></rte>`); kinds != "attribute-unknown" || ground {
		t.Errorf("an attribute of a point: %s, ground %v", kinds, ground)
	}
}
