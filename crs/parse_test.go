// Tests of the names that a CRS can be given by.

package crs

import (
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for in, want := range map[string]string{
		"EPSG:25832":                        "EPSG:25832",
		"epsg:4326":                         "EPSG:4326",
		" EPSG:4326\n":                      "EPSG:4326",
		"[EPSG:4326]":                       "EPSG:4326",
		"OGC:CRS84":                         "OGC:CRS84",
		"CRS:84":                            "OGC:CRS84",
		"OGC:CRS84h":                        "EPSG:4979",
		"OGC:CRS83":                         "EPSG:4269",
		"OGC:CRS27":                         "EPSG:4267",
		"urn:ogc:def:crs:EPSG::25832":       "EPSG:25832",
		"urn:ogc:def:crs:EPSG:10.076:25832": "EPSG:25832",
		"URN:OGC:DEF:CRS:EPSG::4326":        "EPSG:4326",
		"urn:x-ogc:def:crs:EPSG:4326":       "EPSG:4326",
		"urn:ogc:def:crs:OGC:1.3:CRS84":     "OGC:CRS84",
		"urn:ogc:def:crs:OGC::CRS84":        "OGC:CRS84",
		"http://www.opengis.net/def/crs/EPSG/0/3857":   "EPSG:3857",
		"https://www.opengis.net/def/crs/EPSG/0/3857":  "EPSG:3857",
		"http://www.opengis.net/def/crs/OGC/1.3/CRS84": "OGC:CRS84",
		"http://www.opengis.net/def/crs/OGC/0/CRS84h":  "EPSG:4979",
		"http://www.opengis.net/gml/srs/epsg.xml#4326": "EPSG:4326",
		"site:lat=1,lon=2":                                     "site:lat=1;lon=2;h=0;rotation=0;scale=1;fe=0;fn=0;base=EPSG:4979",
		"site:lat=1,lon=2;h=3, crs = EPSG:4937":                "site:lat=1;lon=2;h=3;rotation=0;scale=1;fe=0;fn=0;base=EPSG:4937",
		"site:lat=1;lon=2;crs=OGC:CRS84":                       "site:lat=1;lon=2;h=0;rotation=0;scale=1;fe=0;fn=0;base=OGC:CRS84",
		"site:lat=1;lon=2":                                     "site:lat=1;lon=2;h=0;rotation=0;scale=1;fe=0;fn=0;base=EPSG:4979",
		"SITE: lat = 1 ; lon = 2 ; base = EPSG:4937":           "site:lat=1;lon=2;h=0;rotation=0;scale=1;fe=0;fn=0;base=EPSG:4937",
		"site:lat=1.50;lon=-2e0;h=-0;fe=1000;base=OGC:CRS84":   "site:lat=1.5;lon=-2;h=0;rotation=0;scale=1;fe=1000;fn=0;base=OGC:CRS84",
		"site:lat=56.1;lon=9.2;h=45;rotation=12.5;scale=1.001": "site:lat=56.1;lon=9.2;h=45;rotation=12.5;scale=1.001;fe=0;fn=0;base=EPSG:4979",
	} {
		c, err := Parse(in)
		if err != nil {
			t.Errorf("%q: %v", in, err)
			continue
		}
		if c.ID() != want {
			t.Errorf("%q is %s, want %s", in, c.ID(), want)
		}
		again, err := Parse(c.ID())
		if err != nil || !again.Equal(c) {
			t.Errorf("%s does not read back: %v", c.ID(), err)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for in, words := range map[string]string{
		"":                                       "no CRS named",
		"   ":                                    "no CRS named",
		"UTM32":                                  "say which",
		"nonesuch":                               "names no CRS",
		"999999":                                 "not in the EPSG registry",
		"EPSG:":                                  "no EPSG code",
		"EPSG:x":                                 "no EPSG code",
		"EPSG:-4326":                             "no EPSG code",
		"EPSG:+4326":                             "no EPSG code",
		"EPSG:4326.0":                            "no EPSG code",
		"EPSG:99999999999999999999":              "no EPSG code",
		"EPSG:1":                                 "not in the EPSG registry v12",
		"EPSG:31464":                             "withdrawn from the EPSG registry; use EPSG:31468",
		"EPSG:900913":                            "withdrawn from the EPSG registry",
		"EPSG:5703":                              "vertical CRS",
		"ESRI:102001":                            "no counterpart in the EPSG registry",
		"IGNF:LAMB93":                            "EPSG and OGC",
		"OGC:CRS85":                              "EPSG and OGC",
		"urn:ogc:def:crs":                        "no OGC URN",
		"urn:ogc:def:datum:EPSG::6326":           "no OGC URN",
		"urn:ogc:def:crs:EPSG::x":                "no EPSG code",
		"http://example.com/crs":                 "no OGC URL",
		"http://www.opengis.net/def/crs/EPSG/0/": "no OGC URL",
		"site:":                                  "not name=value",
		"site:lat=1":                             "lat and lon",
		"site:lat=1,5;lon=2,5":                   "not name=value",
		"site:lat=1,lon=2,crs=EPSG:4937,h=3":     "EPSG:4937,h=3",
		"site:lat=1;lon=2;lat=3":                 "twice",
		"site:lat=x;lon=2":                       "no number",
		"site:lat=0x10;lon=2":                    "no number",
		"site:lat=NaN;lon=2":                     "no number",
		"site:lat=1_0;lon=2":                     "no number",
		"site:lat=95;lon=2":                      "latitude 95",
		"site:lat=1;lon=400":                     "longitude 400",
		"site:lat=1;lon=2;scale=0":               "scale 0",
		"site:lat=1;lon=2;scale=1000":            "scale 1000",
		"site:lat=1;lon=2;h=99999":               "not on the ground",
		"site:lat=1;lon=2;rotation=400":          "rotation",
		"site:lat=1;lon=2;north=3":               "unknown name",
		"site:lat=1;lon=2;base=EPSG:25832":       "not geographic",
		"site:lat=1;lon=2;base=EPSG:1":           "not in the EPSG registry",
		"site:lat=1;lon=2;base=site:lat=1;lon=2": "site grid itself",
		`site:lat=1;lon=2;base="EPSG:4326`:       "base",
	} {
		c, err := Parse(in)
		if err == nil {
			t.Errorf("%q was read as %s", in, c.ID())
		} else if !strings.Contains(err.Error(), words) {
			t.Errorf("%q: %v; want it to say %q", in, err, words)
		}
	}
}

// Every successful parse gives a canonical text that gives the same CRS.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"EPSG:25832", "OGC:CRS84", "urn:ogc:def:crs:EPSG::4326", "http://www.opengis.net/def/crs/EPSG/0/3857",
		"site:lat=56.1;lon=9.2;h=45;rotation=12.5;scale=1;fe=1000;fn=5000;base=EPSG:4979", "site:lat=1e-7;lon=-0", "EPSG:7405", "[EPSG:4979]",
		`site:lat=1;lon=2;base="EPSG:4326"`, prjUTM, wkt2Site, "25832", "utm 32n", "NZTM", "British National Grid", "ESRI:102100", "\xff\xfeE\x00P\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := Parse(s)
		if err != nil {
			if c != nil || err.Error() == "" {
				t.Errorf("%q: %v with %v", s, c, err)
			}
			return
		}
		again, err := Parse(c.ID())
		if err != nil {
			t.Fatalf("%q gave %q, which does not read back: %v", s, c.ID(), err)
		}
		if again.ID() != c.ID() {
			t.Fatalf("%q gave %q, which reads back as %q", s, c.ID(), again.ID())
		}
	})
}
