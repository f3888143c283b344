// Frames: names, shifts between frames and epochs, plates.

package crs

import (
	"math"
	"strings"
	"testing"
)

func TestParseFrame(t *testing.T) {
	for _, c := range []struct {
		text, name string
		code       int
		dynamic    bool
		epoch      float64
	}{
		{"ITRF2014", "ITRF2014", 9000, true, 2010}, {" itrf-2014 ", "ITRF2014", 9000, true, 2010}, {"ITRF14", "ITRF2014", 9000, true, 2010},
		{"ITRF1996", "ITRF96", 8995, true, 1997}, {"ITRF97", "ITRF97", 8996, true, 1997}, {"ITRF2000", "ITRF2000", 8997, true, 1997},
		{"ITRF2005", "ITRF2005", 8998, true, 2000}, {"ITRF2008", "ITRF2008", 8999, true, 2005}, {"ITRF2020", "ITRF2020", 9990, true, 2015},
		{"IGS14", "IGS14", 9019, true, 2010}, {"G2139", "WGS 84 (G2139)", 9755, true, 2016}, {"WGS84(G1762)", "WGS 84 (G1762)", 9057, true, 2005},
		{"WGS 84 (G2296)", "WGS 84 (G2296)", 10606, true, 2024},
		{"ETRF2000", "ETRF2000", 9067, false, 1989}, {"ETRF2014", "ETRF2014", 9069, false, 1989}, {"ETRF2020", "ETRF2020", 10571, false, 1989}, {"ETRS89", "ETRS89", 4258, false, 0},
		{"GDA94", "GDA94", 4283, false, 0}, {"GDA2020", "GDA2020", 7844, false, 0}, {"NAD83(2011)", "NAD83(2011)", 6318, false, 0},
		{"NZGD2000", "NZGD2000", 4167, false, 0}, {"SIRGAS2000", "SIRGAS 2000", 4674, false, 0}, {"SIRGAS 2000", "SIRGAS 2000", 4674, false, 0},
		{"WGS84", "WGS 84", 4326, false, 0}, {"EPSG:7789", "ITRF2014", 9000, true, 2010}, {"epsg:4979", "WGS 84", 4326, false, 0},
	} {
		f, err := ParseFrame(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if f.Name() != c.name || f.Code() != c.code || f.Dynamic() != c.dynamic || f.ReferenceEpoch() != c.epoch {
			t.Errorf("%q is %s, EPSG:%d, %v, %v", c.text, f.Name(), f.Code(), f.Dynamic(), f.ReferenceEpoch())
		}
	}
	for _, bad := range []string{"", "  ", "ITRF2099", "EPSG:25832", "EPSG:1", "EPSG:", "()"} {
		if f, err := ParseFrame(bad); err == nil {
			t.Errorf("%q is %s", bad, f.Name())
		}
	}
	f, err := FrameOf(mustParse(t, "EPSG:25832"))
	if err != nil || f.Name() != "ETRS89" || f.EnsembleAccuracy() != 0.1 {
		t.Errorf("%v %v", f, err)
	}
}

func mustFrame(t testing.TB, text string) Frame {
	t.Helper()
	f, err := ParseFrame(text)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The lengths were computed with cct of PROJ 9.1.1 from the registry's
// parameters.
func TestFrameShift(t *testing.T) {
	for _, c := range []struct {
		from, to string
		o        asked
		lon, lat float64
		want     float64 // horizontal, metres
		accuracy float64
	}{
		{"ITRF2014", "ETRF2000", asked{FromEpoch: 2010}, 13.4, 52.5, 0.543, 0},
		{"ITRF2014", "ETRF2000", asked{FromEpoch: 2020}, 13.4, 52.5, 0.790, 0},
		{"ITRF2014", "ETRF2000", asked{FromEpoch: 2026.5}, 13.4, 52.5, 0.951, 0},
		{"ITRF2014", "GDA2020", asked{FromEpoch: 2010}, 151, -34, 0.575, 0.03},
		{"ITRF2014", "GDA2020", asked{FromEpoch: 2020}, 151, -34, 0, 0.03},
		{"ITRF2014", "GDA2020", asked{FromEpoch: 2026.5}, 151, -34, 0.374, 0.03},
		{"ITRF2014", "NAD83(2011)", asked{FromEpoch: 2010}, -105, 40, 1.248, 0},
		{"ITRF2014", "NAD83(2011)", asked{FromEpoch: 2020}, -105, 40, 1.362, 0},
		{"ITRF2014", "NAD83(2011)", asked{FromEpoch: 2026.5}, -105, 40, 1.442, 0},
		// GDA94 and GDA2020 are 1.744 m apart at Alice Springs.
		{"GDA94", "GDA2020", asked{}, 133.885, -23.67, 1.744, 0.01},
		{"GDA2020", "GDA94", asked{}, 133.885, -23.67, 1.744, 0.01},
		{"GDA2020", "GDA2020", asked{}, 133.885, -23.67, 0, 0},
		// Seven centimetres a year.
		{"ITRF2014", "ITRF2014", asked{FromEpoch: 2020, ToEpoch: 2026, Plate: "AUST"}, 133.885, -23.67, 0.403, 0.0018},
		// SIRGAS 2000 is ITRF2000 at 2000.4: the plate carries the mark back
		// first.
		{"ITRF2014", "SIRGAS2000", asked{FromEpoch: 2026, Plate: "SOAM"}, -50, -20, 0.3362, 0.0277},
		{"SIRGAS2000", "ITRF2014", asked{ToEpoch: 2026, Plate: "SOAM"}, -50, -20, 0.3362, 0.0277},
		{"ITRF2020", "ITRF2020", asked{FromEpoch: 2020, ToEpoch: 2026, Plate: "EURA"}, 10, 50, 0.149, 0.0018},
	} {
		m, err := c.o.frameShift(mustFrame(t, c.from), mustFrame(t, c.to), Geodetic{Lon: Degrees(c.lon), Lat: Degrees(c.lat), H: 100})
		if err != nil {
			t.Errorf("%s to %s: %v", c.from, c.to, err)
			continue
		}
		if d := math.Hypot(float64(m.Shift.E), float64(m.Shift.N)); math.Abs(d-c.want) > 0.0006 {
			t.Errorf("%s to %s %+v: %.4f m, want %.3f", c.from, c.to, c.o, d, c.want)
		}
		if !m.Known || math.Abs(float64(m.Accuracy)-c.accuracy) > 1e-4 {
			t.Errorf("%s to %s: accuracy %v %v, want %v", c.from, c.to, m.Accuracy, m.Known, c.accuracy)
		}
	}
}

func TestFrameShiftThereAndBack(t *testing.T) {
	at := Geodetic{Lon: 9.5, Lat: 55.8, H: 40}
	o := asked{FromEpoch: 2026.4}
	there, err := o.frameShift(mustFrame(t, "ITRF2020"), mustFrame(t, "ETRF2000"), at)
	if err != nil {
		t.Fatal(err)
	}
	back, err := o.frameShift(mustFrame(t, "ETRF2000"), mustFrame(t, "ITRF2020"), there.To)
	if err != nil {
		t.Fatal(err)
	}
	if d := newTopocentric(at, mustFrame(t, "ITRF2020").datum.el).Local(back.To); math.Abs(float64(d.E)) > 1e-7 || math.Abs(float64(d.N)) > 1e-7 || math.Abs(float64(d.U)) > 1e-7 {
		t.Errorf("there and back leaves %v", d)
	}
}

// The motion of the Eurasian plate in ITRF2014 is what ITRF2014 to ETRF2014
// takes out: two statements of one model.
func TestPlateMotionAgreesWithThePlateFixedFrame(t *testing.T) {
	at := Geodetic{Lon: 13.4, Lat: 52.5}
	p, err := asked{FromEpoch: 2000, ToEpoch: 2030, Plate: "eura"}.frameShift(mustFrame(t, "ITRF2014"), mustFrame(t, "ITRF2014"), at)
	if err != nil {
		t.Fatal(err)
	}
	var f [2]FrameMove
	for i, year := range []float64{2000, 2030} {
		if f[i], err = (asked{FromEpoch: year}).frameShift(mustFrame(t, "ITRF2014"), mustFrame(t, "ETRF2014"), at); err != nil {
			t.Fatal(err)
		}
	}
	e, n := p.Shift.E+(f[1].Shift.E-f[0].Shift.E), p.Shift.N+(f[1].Shift.N-f[0].Shift.N)
	if d := math.Hypot(float64(e), float64(n)); d > 1e-4 {
		t.Errorf("the two differ by %v m in 30 years", d)
	}
}

func TestFrameErrors(t *testing.T) {
	at := Geodetic{Lon: 9, Lat: 52}
	if _, err := (asked{}).frameShift(Frame{}, mustFrame(t, "GDA94"), at); err == nil {
		t.Error("no frame passed")
	}
	if _, err := (asked{}).frameShift(mustFrame(t, "GDA94"), mustFrame(t, "GDA2020"), Geodetic{Lat: 99}); err == nil {
		t.Error("latitude 99 passed")
	}
	_, err := asked{AcceptAccuracy: 0.05}.frameShift(mustFrame(t, "ITRF2020"), mustFrame(t, "ETRF2020"), at)
	if err == nil || !strings.Contains(err.Error(), "epoch") {
		t.Errorf("without an epoch: %v", err)
	}
	if _, err := FrameOf(&CRS{id: "x", datum: &datum{}}); err == nil {
		t.Error("a datum of no registry has a frame")
	}
	if len(Plates()) != 13 {
		t.Errorf("%v", Plates())
	}
}

func FuzzParseFrame(f *testing.F) {
	for _, s := range []string{"ITRF2014", "WGS84(G2139)", "EPSG:9000", "EPSG:99999999999999999999", "é", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if fr, err := ParseFrame(s); err == nil && (fr.Name() == "" || fr.datum == nil) {
			t.Errorf("%q gives a frame without a name or a datum", s)
		}
	})
}

// The shortcut tells what the key itself does, for every name and near it.
func TestHasFrameKey(t *testing.T) {
	g := geodeticTables()
	for _, code := range g.codes {
		name := g.crs[code].name
		key := frameKey(name)
		for _, k := range []string{key, key + "1", key[:len(key)-1], "X" + key, "", strings.ToLower(key), "ITRF2014"} {
			if got := hasFrameKey(name, k); got != (key == k) {
				t.Errorf("%q and %q: %v", name, k, got)
			}
		}
	}
	if !hasFrameKey(" -", "") || !hasFrameKey("\u00e9tr", "\u00c9TR") {
		t.Error("nothing, or an accent")
	}
}
