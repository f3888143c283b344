// Tests of what a document says of itself.

package kml

import (
	"strings"
	"testing"

	"swardline/convert/wire"
)

func TestWhatADocumentSays(t *testing.T) {
	for _, x := range []struct{ before, inside, want, warned string }{
		{"", "", `{}`, ""},
		{"", "<Snippet>Do not use</Snippet>", `{"snippet":"Do not use"}`, ""},
		{"", `<a:author xmlns:a="http://www.w3.org/2005/Atom"><a:name>traced</a:name><a:uri>x.example</a:uri></a:author>`, `{"author":"traced"}`, ""},
		{"<NetworkLinkControl><message>Do not use</message><linkName>Old</linkName></NetworkLinkControl>", "", `{"message":"Do not use; Old"}`, "skipped-NetworkLinkControl"},
		{"<NetworkLinkControl/>", "", `{}`, "skipped-NetworkLinkControl"},
		{"", "<Folder><Snippet>of the folder</Snippet>" + placemarkOnly + "</Folder>", `{}`, "skipped-Snippet"},
		{"<NetworkLinkControl><Update><Create><Folder>" + placemarkOnly + "</Folder></Create></Update></NetworkLinkControl>", "", `{}`, "skipped-NetworkLinkControl drawn-elsewhere"},
	} {
		p, warnings, err := Read([]byte("<kml>"+x.before+"<Document>"+x.inside+placemarkOnly+"</Document></kml>"), wire.ReadOptions{Name: "l.kml"})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		for _, w := range warnings {
			if w.Kind != "namespace-missing" && w.Kind != "skipped-foreign" {
				kinds = append(kinds, w.Kind)
			}
		}
		if got := string(p.Attributes.AppendJSON(nil)); got != x.want || strings.Join(kinds, " ") != x.warned {
			t.Errorf("%s%s: %s, %v, want %s, %s", x.before, x.inside, got, kinds, x.want, x.warned)
		}
	}
}

// TestAreaWithoutFillAndOutline: an area of which a style draws neither has colours that
// nobody sees; one of which it draws either has not.
func TestAreaWithoutFillAndOutline(t *testing.T) {
	for style, want := range map[string]bool{
		"<fill>0</fill><outline>0</outline>":                        true,
		"<color>ff0000ff</color><fill>0</fill><outline>0</outline>": true,
		"<fill>0</fill><outline>1</outline>":                        false,
		"<fill>0</fill>":                                            false,
		"<fill>1</fill><outline>0</outline>":                        false,
		"<outline>0</outline>":                                      false,
	} {
		p, _, err := Read([]byte(placemarkWith("<Style><PolyStyle>"+style+"</PolyStyle></Style>"+
			"<Polygon><outerBoundaryIs><LinearRing><coordinates>1,2 1,3 2,3 1,2</coordinates></LinearRing></outerBoundaryIs></Polygon>")), wire.ReadOptions{Name: "l.kml"})
		if err != nil {
			t.Fatal(err)
		}
		a := p.Features[0].Attributes
		if got := a.Get("fill_color").Text() == clearColor && a.Get("line_color").Text() == clearColor; got != want {
			t.Errorf("%s: %s", style, a.AppendJSON(nil))
		}
	}
}
