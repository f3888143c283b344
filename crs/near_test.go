// Tests of the lists: by place and by words; and of the verdict on axes.

package crs

import (
	"math"
	"testing"
)

func TestNear(t *testing.T) {
	for _, c := range []struct {
		name     string
		lat, lon Degrees
		within   int // of the first so many
		want     []string
		never    string
	}{
		{"Jutland", 56.1, 9.2, 6, []string{"EPSG:25832", "EPSG:4093"}, "EPSG:3857"},
		{"London", 51.5, -0.1, 2, []string{"EPSG:27700", "EPSG:25830"}, "EPSG:2154"},
		{"Sydney", -33.8, 151.2, 1, []string{"EPSG:7856"}, ""},
		{"Zurich", 47.0, 8.5, 1, []string{"EPSG:2056"}, ""},
		{"Dublin", 53.3, -6.3, 3, []string{"EPSG:2157"}, ""},
		{"Wellington", -41.3, 174.8, 5, []string{"EPSG:2113", "EPSG:2193"}, ""},
		{"Denver", 39, -105, 4, []string{"EPSG:6427", "EPSG:6428"}, ""},
		{"Fiji, by the antimeridian", -16.8, 179.9, 30, []string{"EPSG:3460"}, ""},
	} {
		got, err := Near(c.lat, c.lon)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		place := map[string]int{}
		for i, s := range got {
			place[s.CRS.ID()] = i + 1
			if !s.CRS.Covers(c.lon, c.lat) || !(s.Scale > 0.3 && s.Scale < 12) || !(s.AreaKm2 > 0) || s.Known && s.Accuracy < 0 {
				t.Errorf("%s: %s: covers %v, %+v", c.name, s.CRS.ID(), s.CRS.Covers(c.lon, c.lat), s)
			}
		}
		for _, w := range c.want {
			if p := place[w]; p == 0 || p > c.within {
				t.Errorf("%s: %s stands in place %d of %d", c.name, w, p, len(got))
			}
		}
		if c.never != "" && place[c.never] != 0 && place[c.never] <= c.within {
			t.Errorf("%s: %s stands in place %d", c.name, c.never, place[c.never])
		}
	}
	// World maps come last.
	got, err := Near(56.1, 9.2)
	if err != nil || !notForGround()[got[len(got)-1].CRS.conv.method] || notForGround()[got[0].CRS.conv.method] {
		t.Errorf("%v, %v", got, err)
	}
	last := false
	for _, s := range got {
		world := notForGround()[s.CRS.conv.method]
		if last && !world {
			t.Errorf("%s stands behind a map of the world", s.CRS.ID())
		}
		last = last || world
	}
	for _, bad := range [][2]Degrees{{91, 0}, {0, 999}, {Degrees(math.NaN()), 0}} {
		if _, err := Near(bad[0], bad[1]); err == nil {
			t.Errorf("grids near %v", bad)
		}
	}
}

func TestList(t *testing.T) {
	ids := func(words ...string) map[string]bool {
		m := map[string]bool{}
		for _, c := range List(words...) {
			m[c.ID()] = true
		}
		return m
	}
	if n := len(List()); n < 6000 {
		t.Errorf("%d CRSs in all", n)
	}
	if m := ids("UTM", "32n", "etrs89"); !m["EPSG:25832"] || m["EPSG:32632"] || len(m) > 20 {
		t.Errorf("%v", m)
	}
	if m := ids("nztm"); !m["EPSG:2193"] || len(m) > 10 {
		t.Errorf("by another name: %v", m)
	}
	if m := ids("27700"); len(m) != 1 || !m["EPSG:27700"] {
		t.Errorf("%v", m)
	}
	if m := ids("epsg:2770"); !m["EPSG:27700"] {
		t.Errorf("%v", m)
	}
	if m := ids("krovak", "czech"); !m["EPSG:5514"] {
		t.Errorf("%v", m)
	}
	if m := ids("no such words"); len(m) != 0 {
		t.Errorf("%v", m)
	}
	words := []string{"UTM"}
	List(words...)
	if words[0] != "UTM" {
		t.Error("the caller's words were changed")
	}
}

func TestJudgeAxes(t *testing.T) {
	for _, c := range []struct {
		name, id string
		flat     []float64
		want     AxesVerdict
	}{
		{"UTM as it should be", "EPSG:25832", []float64{5.1e5, 6.2e6, 5.2e5, 6.21e6}, AxesFit},
		{"UTM swapped", "EPSG:25832", []float64{6.2e6, 5.1e5, 6.21e6, 5.2e5}, AxesSwapped},
		{"UTM elsewhere", "EPSG:25832", []float64{5.1e5, 1e6}, AxesNowhere},
		{"degrees as they should be", "EPSG:2154", []float64{7e5, 6.6e6}, AxesFit},
		{"degrees swapped", "EPSG:4258", []float64{56, -9}, AxesSwapped},
		{"a latitude past 90", "OGC:CRS84", []float64{56, 139}, AxesSwapped},
		{"most decide", "EPSG:25832", []float64{5.1e5, 6.2e6, 5.2e5, 6.21e6, 0, 0}, AxesFit},
		{"Lo29 as ours", "EPSG:2053", []float64{-6e4, -2.9e6}, AxesFit},
		{"Lo29 as its official axes count", "EPSG:2053", []float64{6e4, 2.9e6}, AxesMirrored},
		{"Lo29 in columns x, y of its own", "EPSG:2053", []float64{2.9e6, 6e4}, AxesMirrored},
		{"Krovak's positive numbers for the grid that counts east", "EPSG:5514", []float64{5.69e5, 1.05e6}, AxesSigned},
		{"a northing without its minus sign", "EPSG:2053", []float64{-6e4, 9e7}, AxesNowhere},
		{"Krovak southing, westing", "EPSG:5513", []float64{1.05e6, 5.69e5}, AxesMirrored},
		{"geocentric", "EPSG:4978", []float64{1, 2, 3}, AxesUnknown},
		{"nothing", "EPSG:25832", nil, AxesUnknown},
		{"a site grid", "site:lat=56;lon=9", []float64{10, 20}, AxesFit},
	} {
		s, err := Parse(c.id)
		if err != nil {
			t.Fatal(err)
		}
		stride := 2
		if c.id == "EPSG:4978" {
			stride = 3
		}
		if got := s.JudgeAxes(c.flat, stride); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestOutsideArea(t *testing.T) {
	c, _ := Parse("EPSG:25832")
	flat := []float64{5.1e5, 6.2e6, 5.1e5, 1e6, 9e5, 6.2e6, 1e12, 1e12}
	n, first := c.OutsideArea(flat, 2)
	if n != 3 || first != 1 || flat[2] != 5.1e5 {
		t.Errorf("%d outside, the first %d", n, first)
	}
	if n, first := c.OutsideArea(flat[:2], 2); n != 0 || first != -1 {
		t.Errorf("%d outside, the first %d", n, first)
	}
	fiji, _ := Parse("EPSG:3460")
	w, s, e, nn, ok := fiji.Area()
	if !ok || !(w > e) || !(s < nn) || !fiji.Covers(179.9, -17) || !fiji.Covers(-179.9, -17) || fiji.Covers(0, -17) {
		t.Errorf("Fiji: %g %g %g %g", w, s, e, nn)
	}
}
