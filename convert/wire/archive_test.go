// Tests of what is told of files beside the plan in an archive.

package wire

import (
	"archive/zip"
	"bytes"
	"testing"
)

// entryOf is a file in an archive.
func entryOf(t *testing.T, name, content string) *zip.File {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create(name)
	if err == nil {
		_, err = w.Write([]byte(content))
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	return r.File[0]
}

// TestMaybeDrawn: what may draw something is told by its name or its start;
// what says nothing of the ground is not.
func TestMaybeDrawn(t *testing.T) {
	for _, x := range []struct {
		name, content string
		want          bool
	}{
		{"files/ponds.KML", "x", true},
		{"ponds.tab", "x", true},
		{"log.nmea", "x", true},
		{"inner.zip", "x", true},
		{"list.txt", "name east north\nP1 3512345.12 5412345.34\n", true},
		{"list.txt", "56.123456 9.123456\n", true},
		{"list.txt", "56.123 9.123\n", false}, // sizes: five digits
		{"list.txt", "56.1234 19.1234\n", true},
		{"list.txt", "56.123456\n9.123456\n", false}, // not on one line
		{"outline", "POLYGON ((1 2, 3 4, 5 6, 1 2))", true},
		{"drawing", "  0\r\nSECTION\r\n  2\r\n", true},
		{"log.dat", "$GPGGA,120000.00,5654.0,N", true},
		{"data", "SQLite format 3\x00...", true},
		{"a.json", `{"type":"Point","coordinates":[1,2]}`, true},
		{"a.json", `{"theme":"dark"}`, false},
		{"points.xml", `<?xml version="1.0"?><LandXML>`, true},
		{"zone.shp.xml", `<metadata><westbc>11.200123</westbc><eastbc>11.300123</eastbc></metadata>`, false},
		{"README.txt", "Export of 2026-05-11, version 1.2.3, tolerance 0.015 m", false},
		{"empty.txt", "", false},
		{"pond.png", "x", false},
		{"zone.sbn", "x", false},
		{"zone.qmd", "11.200123 56.900123", false},
		{"__MACOSX/._zone.shp", "\x00\x05\x16\x07\x00\x02\x00\x00", false},
		{"__MACOSX/._empty.shp", "", false},
		{"__MACOSX/._ponds.kml", "<kml>", true}, // no fork, only called like one
		{"__MACOSX/ponds.shp", "x", true},
		{".ponds.kml", "x", true},
		{"ponds.dat", "\xff\xfe<\x00k\x00m\x00l\x00", true},
		{"ponds.dat", "\xfe\xff\x00<\x00k\x00m\x00l", true},
		{"ponds.dat", "<\x00k\x00m\x00l\x00", true},
		{"notes.txt", "\xff\xfeo\x00a\x00k\x00", false},
		{"ponds.dat", "PD94bWwgdmVyc2lvbj0iMS4wIj8+PGttbD48UGxhY2VtYXJrPjxuYW1lPlBvbmQ\n", true},
		{"ponds.dat", "PD94bWwgdmVyc2lvbj0iMS4wIj8+PGttbD48UGxhY2VtYXJrPjxuYW1lPlBv\n", false}, // 60 letters: too few
		{"ponds.dat", "see https://example.org/PD94bWwgdmVyc2lvbj0iMS4wIj8+PGttbD48UGxhY2VtYXJrPjxuYW1l", false},
		{".DS_Store", "x", false},
		{"thumbs.db", "\xd0\xcf\x11\xe0 11.200123 56.900123 \x00", false},
	} {
		if got := MaybeDrawn(entryOf(t, x.name, x.content), x.name); got != x.want {
			t.Errorf("%s %q: %v", x.name, x.content, got)
		}
	}
}

// TestPictureName: a picture with a place, or a plan on paper, goes by its name.
func TestPictureName(t *testing.T) {
	for name, want := range map[string]string{"plans/Ponds.TFW": "Ponds", "teich.tif": "teich", "a/b.pdf": "b", "icon.png": "", "ponds.kml": "", "__MACOSX/._b.pdf": ""} {
		if got := PictureName(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
