// GPX and KML get the same treatment where both are XML.

package convert

import (
	"strings"
	"testing"

	"swardline/convert/wire"
)

func TestXMLFormatsAgree(t *testing.T) {
	files := map[string]string{
		"gpx": "HEAD<gpx version=\"1.1\" creator=\"c\" xmlns=\"http://www.topografix.com/GPX/1/1\"ATTRS><wpt lat=\"56\" lon=\"9\"><name>TEXT</name></wpt></gpx>",
		"kml": "HEAD<kml xmlns=\"http://www.opengis.net/kml/2.2\"ATTRS><Placemark><name>TEXT</name><Point><coordinates>9,56</coordinates></Point></Placemark></kml>",
	}
	for _, tt := range []struct{ name, head, attrs, text, want, warned, err string }{
		{"plain", "", "", "a", "a", "", ""},
		{"a bare DOCTYPE", "<!DOCTYPE FORMAT>", "", "a", "a", "doctype", ""},
		{"a DOCTYPE with entities", "<!DOCTYPE FORMAT [<!ENTITY e 'x'>]>", "", "&e;", "", "", "definitions of its own"},
		{"an attribute twice", "", ` a="1" a="1"`, "a", "", "", "the attribute a stands twice"},
		{"Windows-1252", `<?xml version="1.0" encoding="windows-1252"?>`, "", "\x80\xe4", "\u20ac\u00e4", "encoding", ""},
		{"U+FFFD", "", "", "\uFFFD", "\uFFFD", "", ""},
		{"U+FFFE", "", "", "\uFFFE", "", "", "U+FFFE"},
		{"a reference to U+FFFE", "", "", "&#xFFFE;", "", "", "no character that XML allows"},
		{"a control character", "", "", "\x1f", "", "", "0x1f"},
		{"a bare ampersand", "", "", "a & b", "a & b", "bare-ampersand", ""},
		{"an entity of HTML", "", "", "&auml;", "\u00e4", "html-entity", ""},
	} {
		for format, file := range files {
			text := strings.NewReplacer("HEAD", strings.ReplaceAll(tt.head, "FORMAT", format), "ATTRS", tt.attrs, "TEXT", tt.text).Replace(file)
			p, warnings, err := Read([]byte(text), ReadOptions{ReadOptions: wire.ReadOptions{Name: "f." + format}})
			if tt.err != "" {
				if err == nil || !strings.Contains(err.Error(), tt.err) {
					t.Errorf("%s in %s: %v, want %s", tt.name, format, err, tt.err)
				}
				continue
			}
			var kinds []string
			for _, w := range warnings {
				kinds = append(kinds, w.Kind)
			}
			if err != nil || p.Features[0].Name != tt.want || strings.Join(kinds, " ") != tt.warned {
				t.Errorf("%s in %s: %v, %v, %v", tt.name, format, p, kinds, err)
			}
		}
	}
}
