// Logs: sentences, moments made of several, midnight, damage, any bytes.

package nmea

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/schema"
)

// with puts the checksum behind a sentence.
func with(body string) string {
	sum := byte(0)
	for _, c := range []byte(body) {
		sum ^= c
	}
	return fmt.Sprintf("$%s*%02X\r\n", body, sum)
}

func all(t *testing.T, text string) ([]fixes.Fix, []wire.Warning) {
	t.Helper()
	var tally wire.Tally
	var out []fixes.Fix
	if err := Fixes([]byte(text), &tally, func(f fixes.Fix) error { out = append(out, f); return nil }); err != nil {
		t.Fatal(err)
	}
	return out, tally.Warnings()
}

// The GGA sentence that receivers' manuals show, with the checksum they print
// (47).
func TestThePublishedSentence(t *testing.T) {
	const text = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"
	list, warnings := all(t, text)
	if len(list) != 1 || len(warnings) != 0 {
		t.Fatal(list, warnings)
	}
	f := list[0]
	if math.Abs(f.Lat-(48+7.038/60)) > 1e-12 || math.Abs(f.Lon-(11+31.0/60)) > 1e-12 || f.Level != 545.4 || math.Abs(f.Height-592.3) > 1e-9 || f.Quality != fixes.Single || f.Satellites != 8 || f.HDOP != 0.9 || f.Dated {
		t.Errorf("%+v", f)
	}
	if f.Time.Hour() != 12 || f.Time.Minute() != 35 || f.Time.Second() != 19 {
		t.Errorf("%v", f.Time)
	}
	for _, bad := range []string{strings.Replace(text, "*47", "*46", 1), strings.Replace(text, "4807", "4808", 1)} {
		if _, ok, err := Parse([]byte(bad)); !ok || err == nil || !strings.Contains(err.Error(), "the checksum is") {
			t.Error(bad, err)
		}
	}
}

func gga(clock, lat, lon string, quality int) string {
	return with(fmt.Sprintf("GNGGA,%s,%s,N,%s,E,%d,20,0.6,50.0,M,40.0,M,1.0,0001", clock, lat, lon, quality))
}

func TestMoments(t *testing.T) {
	text := gga("235959.00", "5600.00000000", "00900.00000000", 4) +
		with("GNGST,235959.00,0.01,,,,0.006,0.008,0.015") +
		gga("000000.00", "5600.00000060", "00900.00000000", 5) +
		with("GNRMC,000000.00,A,5600.0,N,00900.0,E,1.0,90.0,010324,,,F") +
		gga("000001.00", "5600.00000120", "00900.00000000", 4) +
		with("GLGSV,1,1,01") + "noise\n" + with("PXYZ,1") +
		"2024-03-01T00:00:02 " + strings.TrimSpace(gga("000002.00", "5600.0", "00900.0", 0)) + "\n"
	list, warnings := all(t, text)
	if len(list) != 4 {
		t.Fatalf("%+v", list)
	}
	for i, want := range []string{"2024-02-29T23:59:59Z fixed 0.010", "2024-03-01T00:00:00Z float NaN", "2024-03-01T00:00:01Z fixed NaN", "2024-03-01T00:00:02Z none NaN"} {
		f := list[i]
		if got := fmt.Sprintf("%s %s %.3f", f.Time.Format("2006-01-02T15:04:05Z"), f.Quality, f.Sigma()); got != want || !f.Dated {
			t.Errorf("%d: %s, want %s", i, got, want)
		}
	}
	if math.Abs(list[1].Speed-1852.0/3600) > 1e-12 || list[1].Course != 90 || list[1].Age != 1 {
		t.Errorf("%+v", list[1])
	}
	if len(warnings) != 1 || warnings[0].Kind != "line-left-out" || warnings[0].Line != 7 {
		t.Errorf("%+v", warnings)
	}
}

// A log of three days whose only date comes at its end.
func TestDatesReachBack(t *testing.T) {
	text := gga("230000", "5600.0", "00900.0", 4) + gga("010000", "5600.0", "00900.0", 4) + gga("230000", "5600.0", "00900.0", 4) + gga("010000", "5600.0", "00900.0", 4) + with("GNZDA,010001,03,01,2024,00,00") + gga("010002", "5600.0", "00900.0", 4)
	list, _ := all(t, text)
	var days []string
	for _, f := range list {
		days = append(days, f.Time.Format("01-02T15"))
	}
	if got := strings.Join(days, " "); got != "01-01T23 01-02T01 01-02T23 01-03T01 01-03T01" {
		t.Error(got)
	}
	// Out of order by less than twelve hours is no new day.
	list, _ = all(t, with("GNRMC,120000,A,5600.0,N,00900.0,E,,,010124,,,A")+gga("115959", "5600.0", "00900.0", 4))
	if len(list) != 2 || list[1].Time.Day() != 1 || list[0].Quality != fixes.Single {
		t.Errorf("%+v", list)
	}
}

func TestDamagedSentences(t *testing.T) {
	good := "GNGGA,120000,5600.0,N,00900.0,E,4,20,0.6,50.0,M,40.0,M,,"
	for _, tt := range []struct{ from, to, want string }{
		{"5600.0", "5660.0", "field 2 should be degrees and minutes"},
		{"5600.0", "9100.0", "field 2 is past 90 degrees"},
		{"00900.0", "900.0", "field 4 should be degrees and minutes"},
		{"00900.0", "18100.0", "field 4 is past 180 degrees"},
		{"N", "Q", ""},
		{",N,", ",X,", "field 3 should be N or S"},
		{",4,20", ",x,20", "field 6 should be a quality"},
		{"50.0", "5o.0", "field 9 should be a number"},
		{"120000", "250000", "field 1 should be a time"},
		{"120000", "12", "field 1 should be a time"},
	} {
		_, warnings := all(t, with("GNZDA,115959,01,01,2024,00,00")+with(strings.Replace(good, tt.from, tt.to, 1)))
		if tt.want == "" {
			continue
		}
		if len(warnings) != 1 || warnings[0].Kind != "sentence-damaged" || !strings.Contains(warnings[0].Message, tt.want) {
			t.Errorf("%s for %s: %+v", tt.to, tt.from, warnings)
		}
	}
}

// A date is six digits of a day that there is.
func TestDates(t *testing.T) {
	for text, want := range map[string]string{"310524": "2024-05-31", "290224": "2024-02-29", "290223": "", "310624": "", "001224": "", "311324": "", "3105+4": "", "31052024": "", "060180": "1980-01-06", "311279": "2079-12-31"} {
		list, warnings := all(t, with("GNRMC,120000,A,5600.0,N,00900.0,E,,,"+text+",,,A")+with("GNGSA,A,3"))
		got := ""
		if len(list) == 1 {
			got = list[0].Time.Format("2006-01-02")
		}
		if got != want || (want == "") != (len(warnings) == 1) {
			t.Errorf("%s: %q, %v; want %q", text, got, warnings, want)
		}
	}
}

func TestRead(t *testing.T) {
	text := with("GNRMC,120000,A,5600.0,N,00900.0,E,,,010124,,,A") + gga("120000", "5600.00000000", "00900.00000000", 4) + with("GNGST,120000,,,,,0.003,0.004,0.01") + gga("120001", "5600.00000060", "00900.00000000", 5) + gga("120002", "", "", 0)
	text = strings.Replace(text, gga("120002", "", "", 0), with("GNGGA,120002,,,,,0,00,,,M,,M,,"), 1)
	p, warnings, err := Read([]byte(text), wire.ReadOptions{Name: "a.nmea"})
	if err != nil || len(p.Features) != 1 {
		t.Fatal(p, err)
	}
	f := p.Features[0]
	if got := string(f.Attributes.AppendJSON(nil)); got != `{"times":["2024-01-01T12:00:00Z","2024-01-01T12:00:01Z"],"fix":["fixed","float"],"sigma":[0.005,null]}` {
		t.Error(got)
	}
	if flat := f.Geometry.FlatCoords(); len(flat) != 6 || flat[0] != 9 || flat[2] != 90 || math.Abs(flat[4]-56.00000001) > 1e-12 {
		t.Error(flat)
	}
	if len(warnings) != 1 || warnings[0].Kind != "fix-none" {
		t.Errorf("%+v", warnings)
	}
	small := schema.DefaultLimits()
	small.InputMaxVertices = 1
	for text, want := range map[string]string{"hello\n": "x: the file holds no NMEA 0183 sentence", "": "x: the file is empty", with("GNGGA,120002,,,,,0,00,,,M,,M,,"): "x: the log holds no position", text: "input_max_vertices (1)"} {
		_, _, err := Read([]byte(text), wire.ReadOptions{Name: "x", Limits: small})
		var in *wire.InputError
		if !errors.As(err, &in) || !strings.Contains(err.Error(), want) {
			t.Errorf("%.20q: %v, want %s", text, err, want)
		}
	}
	if !Detect([]byte("log of 2024\n"+text)) || Detect([]byte("id,lon,lat\n1,2,3\n")) || Detect([]byte("$GPGGA,1,2,3,4*00\n")) {
		t.Error("detection")
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(gga("235959.00", "5600.0", "00900.0", 4) + with("GNRMC,000000.00,A,5600.0,N,00900.0,E,1.0,90.0,010324,,,F") + with("GNGST,000000,,,,,1,2,3") + with("GPZDA,000000,01,03,2024,,")))
	f.Add([]byte("$GPGGA,,,,,,,,,,,,,,*00\n$\n$P*"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := Read(data, wire.ReadOptions{Name: "x"})
		var in *wire.InputError
		if err != nil && (!errors.As(err, &in) || in.Problem == "") {
			t.Fatalf("no clear error: %q", err)
		}
		if err == nil {
			for _, v := range p.Features[0].Geometry.FlatCoords() {
				if math.IsInf(v, 0) {
					t.Fatal("an infinite number")
				}
			}
		}
	})
}
