// Tests of links: followed inside an archive, told outside it.

package kml

import (
	"archive/zip"
	"strings"
	"testing"

	"swardline/convert/wire"
)

func linkTo(href string) string {
	return "<kml><Document><NetworkLink><name>n</name><Link><href>" + href + "</href></Link></NetworkLink></Document></kml>"
}

func TestLinkAlone(t *testing.T) {
	_, _, err := Read([]byte(linkTo("https://maps.example/site?id=7&amp;x=1")), wire.ReadOptions{Name: "l.kml"})
	want := "l.kml:1: kml/Document/NetworkLink: the file holds no plan, only a link to https://maps.example/site?id=7&x=1; open that address in a browser, save what it gives as a KML or KMZ file, and read that"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	p, warnings, err := Read([]byte(strings.Replace(linkTo("a.kml"), "<NetworkLink>", placemarkOnly+"<NetworkLink>", 1)), wire.ReadOptions{Name: "l.kml"})
	if err != nil || len(p.Features) != 1 || len(warnings) != 2 || warnings[1].Kind != "skipped-NetworkLink" || !warnings[1].Lost() {
		t.Errorf("beside a feature: %v, %v", warnings, err)
	}
}

const placemarkOnly = "<Placemark><Point><coordinates>9,56</coordinates></Point></Placemark>"

func TestLinksInAnArchive(t *testing.T) {
	kmz := archive(t, entry{"doc.kml", linkTo("files/a.kml"), zip.Deflate},
		entry{"files/a.kml", strings.Replace(linkTo("./b.kml#x"), "<NetworkLink>", "<Placemark><name>A</name></Placemark><NetworkLink>", 1), zip.Deflate},
		entry{"files/b.kml", strings.Replace(linkTo("../doc.kml"), "<NetworkLink>", "<Placemark><name>B</name></Placemark><NetworkLink>", 1), zip.Store},
		entry{"files/c.kml", named("C"), zip.Store})
	p, warnings, err := ReadKMZ(kmz, wire.ReadOptions{Name: "l.kmz"})
	if err != nil || len(p.Features) != 2 || p.Features[0].Name != "A" || p.Features[1].Name != "B" {
		t.Fatalf("%+v, %v", p, err)
	}
	if warnings[0].Kind != "kmz-documents" || warnings[0].Count != 1 {
		t.Errorf("%v", warnings)
	}
	for _, href := range []string{"../a.kml", "/etc/a.kml", "https://maps.example/files/a.kml", "a.png", ""} {
		_, _, err := ReadKMZ(archive(t, entry{"doc.kml", linkTo(href), zip.Store}, entry{"a.png", "x", zip.Store}), wire.ReadOptions{Name: "l.kmz"})
		if (err == nil) != (href == "") || err != nil && !strings.Contains(err.Error(), "only a link to "+href) {
			t.Errorf("%q: %v", href, err)
		}
	}
}
