// Tests of what a document or an archive says beside the plan.

package kml

import (
	"archive/zip"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

// besideOf are the texts beside a plan and what was not heard.
func besideOf(p *schema.Plan) string {
	var out []string
	for _, b := range p.Beside {
		text := b.Text
		if b.Names {
			text = "by name: " + text
		}
		out = append(out, text)
	}
	return strings.Join(append(out, p.Unheard...), "|")
}

// besideBits are documents and the texts that are kept of them.
var besideBits = []struct{ in, want string }{
	{"<Document><Style id='a'><BalloonStyle><bgColor>ffffffff</bgColor><displayMode>default</displayMode><text><![CDATA[<b>$[name]</b><br/>$[description]]]></text></BalloonStyle></Style>" + placemarkOnly + "</Document>", ""},
	{"<Document><Style id='a'><BalloonStyle><text>Never mow: <b>sinkhole</b></text></BalloonStyle></Style>" + placemarkOnly + "</Document>", "Never mow:|sinkhole"},
	{"<Document><Style id='a'><IconStyle><scale>1.1</scale><Icon><href>icons/pin.png</href></Icon><hotSpot x='1' y='2'/></IconStyle><LabelStyle><colorMode>normal</colorMode></LabelStyle><ListStyle><listItemType>check</listItemType><ItemIcon><state>open</state><href>a.png</href></ItemIcon></ListStyle></Style>" + placemarkOnly + "</Document>", ""},
	{"<Document><address>obsolete plan</address>" + placemarkOnly + "</Document>", "by name: obsolete plan"},
	{"<Document><LookAt><longitude>9</longitude><altitudeMode>relativeToGround</altitudeMode></LookAt>" + placemarkOnly + "</Document>", ""},
	{"<Document><ScreenOverlay><name>void</name><Icon><href>danger.png</href></Icon></ScreenOverlay>" + placemarkOnly + "</Document>", "void"},
	{"<Document><GroundOverlay><name>site</name><description>not <i>all</i> ponds</description></GroundOverlay>" + placemarkOnly + "</Document>", "site|not all ponds"},
	{"<Document><Placemark><author xmlns='http://www.w3.org/2005/Atom'><name>sketched by eye</name><uri>http://example.org</uri></author></Placemark></Document>", "by name: sketched by eye"},
	{"\n<!-- For viewers: 0.9 m off -->\n<Document><!-- For viewers: do not use -->" + placemarkOnly + "</Document>", "For viewers: do not use"},
	{"<!-- base moved, do not use --><Document>" + placemarkOnly + "<!-- 12 --></Document><!-- see <b>notes</b> -->", "base moved, do not use|see notes"},
	{"<Document><Placemark><link xmlns='http://www.w3.org/2005/Atom' href='http://example.org/'/></Placemark></Document>", ""},
}

const kmlHead = `<kml xmlns="http://www.opengis.net/kml/2.2">`

func TestHeardBesideThePlan(t *testing.T) {
	for _, x := range besideBits {
		p, _, err := Read([]byte(kmlHead+x.in+"</kml>"), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if got := besideOf(p); got != x.want {
			t.Errorf("%s: %q", x.in, got)
		}
	}
}

// TestHeardInTheArchive: other files of a KMZ are heard, but for what the document
// names as its pictures.
func TestHeardInTheArchive(t *testing.T) {
	doc := entry{"doc.kml", kmlHead + "<Document><Style id='a'><IconStyle><Icon><href>files/pond%20small.png</href></Icon></IconStyle></Style>" + placemarkOnly + "</Document></kml>", zip.Deflate}
	for _, x := range []struct {
		e    entry
		want string
	}{
		{entry{"files/pond small.png", "\x89PNG", zip.Store}, ""},
		{entry{"files/pond large.png", "\x89PNG", zip.Store}, "pond large"},
		{entry{"files/IMG_2031.jpg", "\xff\xd8", zip.Store}, ""},
		{entry{"README.txt", "Do not use: base moved", zip.Deflate}, "Do not use: base moved"},
		{entry{"README.txt", "", zip.Store}, ""},
		{entry{"warn.html", "<html><head><style>p{}</style></head><p>Do not mow</p></html>", zip.Deflate}, "Do not mow"},
		{entry{"obsolete.pdf", "%PDF-1.4", zip.Store}, "the file obsolete.pdf of the archive was not read"},
		{entry{"a.txt", strings.Repeat("word ", 14000), zip.Deflate}, "the file a.txt of the archive was not read, for it is no text, or too long a one"},
		{entry{".DS_Store", "x", zip.Store}, ""},
	} {
		p, _, err := Read(archive(t, doc, x.e), wire.ReadOptions{Name: "a.kmz"})
		if err != nil {
			t.Fatal(err)
		}
		if got := besideOf(p); got != x.want {
			t.Errorf("%s: %q", x.e.name, got)
		}
	}
}
