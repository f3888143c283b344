// WKT 1 as it is written: read back it is the same system, in numbers as well
// as by its code.

package crs

import (
	"math"
	"regexp"
	"testing"
)

func TestWKT1ReadsBack(t *testing.T) {
	authority := regexp.MustCompile(`,AUTHORITY\["EPSG","\d+"\]`)
	for _, tt := range []struct {
		id       string
		lon, lat float64
	}{
		{"EPSG:4326", 9, 56}, {"EPSG:4258", 9, 56}, {"EPSG:25832", 9.5, 52}, {"EPSG:31467", 9.5, 52}, {"EPSG:2154", 3, 46}, {"EPSG:2263", -73.8, 40.7},
		{"EPSG:3035", 10, 52}, {"EPSG:28992", 5.4, 52.1}, {"EPSG:27700", -2, 53}, {"EPSG:7856", 153, -27},
	} {
		c, err := Parse(tt.id)
		if err != nil {
			t.Fatal(err)
		}
		text, ok := c.WKT1()
		if !ok {
			t.Errorf("%s has no WKT 1", tt.id)
			continue
		}
		if d, err := Parse(text); err != nil || !d.Equal(c) {
			t.Errorf("%s comes back as %v, %v:\n%s", tt.id, d, err, text)
		}
		bare, err := Parse(authority.ReplaceAllString(text, ""))
		if err != nil {
			t.Errorf("%s without codes: %v", tt.id, err)
			continue
		}
		want, got := []float64{tt.lon, tt.lat}, []float64{tt.lon, tt.lat}
		if err := c.FromGeodetic(want, 2); err != nil {
			t.Fatal(err)
		}
		if err := bare.FromGeodetic(got, 2); err != nil {
			t.Fatal(err)
		}
		// 0.01 mm, or its like in degrees.
		if math.Hypot(want[0]-got[0], want[1]-got[1]) > 1e-5 {
			t.Errorf("%s: %v without codes, %v with them:\n%s", tt.id, got, want, text)
		}
	}
	site, err := NewSite(SiteGrid{Origin: Geodetic{Lat: 56, Lon: 9}, Scale: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := site.WKT1(); ok {
		t.Error("a site grid has a WKT 1")
	}
}
