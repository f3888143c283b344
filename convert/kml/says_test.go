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
