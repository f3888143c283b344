// Logs read line by line are those that are read whole.

package fixes_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"swardline/convert/nmea"
	"swardline/convert/solution"
	"swardline/convert/wire/fixes"
	"swardline/crs"
	"swardline/testdata/inparts"
)

func of(f inparts.Format) *inparts.Format {
	window := *fixes.WindowBytes
	told, _ := crs.Parse("EPSG:25832")
	f.CRS, f.Rounds, f.Long = told, 40, 4000
	f.Small = func(r *rand.Rand) { *fixes.WindowBytes = 1 + r.IntN(200) }
	f.Restore = func() { *fixes.WindowBytes = window }
	return &f
}

var (
	nmeaInParts     = of(inparts.Format{Name: "f.nmea", Read: nmea.Read, Parts: nmea.NewSource, Files: logs})
	solutionInParts = of(inparts.Format{Name: "f.pos", Read: solution.Read, Parts: solution.NewSource, Files: solutions})
)

// sentence puts a checksum behind a sentence.
func sentence(body string) string {
	var sum byte
	for _, c := range []byte(body) {
		sum ^= c
	}
	return fmt.Sprintf("$%s*%02X", body, sum)
}

// logs are logs of receivers of many kinds.
func logs(_ testing.TB, r *rand.Rand) []inparts.File {
	var out []string
	for range 6 {
		var b strings.Builder
		end := []string{"\n", "\r\n"}[r.IntN(2)]
		dated, sums := r.IntN(3) > 0, r.IntN(3) > 0
		put := func(format string, args ...any) {
			body := fmt.Sprintf(format, args...)
			if sums {
				body = sentence(body)
			} else {
				body = "$" + body
			}
			b.WriteString(body + end)
		}
		for i := range r.IntN(30) {
			clock := fmt.Sprintf("%02d%02d%02d.%02d", (23+i/12)%24, i*5%60, r.IntN(60), r.IntN(2)*50)
			switch r.IntN(9) {
			case 0:
				b.WriteString([]string{"", "a word", "$", "$GPGGA,,,,,,0,,,,,,,,", "\xff\xfe", "# 12.5 "}[r.IntN(6)] + end)
			case 1:
				put("GNGST,%s,,,,,0.011,0.0%d,0.02", clock, 1+r.IntN(9))
			case 2:
				put("GNZDA,%s,04,05,2026,00,00", clock)
			}
			put("GNGGA,%s,5600.%04d,N,00900.%04d,E,%d,12,0.8,%s,M,%s,M,,", clock, r.IntN(9999), r.IntN(9999), r.IntN(6), []string{"", "12.345"}[r.IntN(2)], []string{"", "40.1"}[r.IntN(2)])
			if dated {
				put("GNRMC,%s,A,5600.1,N,00900.1,E,0.1,0.0,040526,,,R", clock)
			}
		}
		text := b.String()
		if r.IntN(3) == 0 {
			text = strings.TrimRight(text, "\r\n")
		}
		out = append(out, text)
	}
	return inparts.Texts(append(out, "", " \n\n", "no log\n", sentence("GNGGA,120000,,,,,0,,,,,,,,"))...)
}

// solutions are solutions of every form.
func solutions(_ testing.TB, r *rand.Rand) []inparts.File {
	var out []string
	for _, form := range []struct{ head, row string }{
		{"%  GPST          latitude(deg) longitude(deg)  height(m)   Q  ns   sdn(m)   sde(m)   sdu(m)  sdne(m)  sdeu(m)  sdun(m) age(s)  ratio", "56.%09d 9.%09d 47.123"},
		{"%  UTC latitude(d'\") longitude(d'\") height(m) Q ns", "56 00 1%d.5 9 0 2%d.25 47.1"},
		{"% (x/y/z-ecef=WGS84)\n%  JST           x-ecef(m)      y-ecef(m)      z-ecef(m)   Q  ns", "352%d.5 559%d.5 5265000.1"},
		{"% ref pos : 56.0 9.0 50.0\n%  GPST  e-baseline(m) n-baseline(m) u-baseline(m) Q ns sde(m) sdn(m) sdu(m)", "%d.5 %d.25 1.5"},
		{"% (lat/lon/height=WGS84/geodetic)\n%  UTC latitude(deg) longitude(deg) height(m) Q ns", "56.%d 9.%d 3"},
	} {
		var b strings.Builder
		b.WriteString("% program : x\n" + form.head + "\n")
		for range r.IntN(20) {
			fmt.Fprintf(&b, "2026/05/04 10:%02d:%02d.%03d  "+form.row+"  %d  9", r.IntN(60), r.IntN(60), r.IntN(1000), r.IntN(9), r.IntN(9), r.IntN(7))
			b.WriteString([]string{"\n", "   0.0071   0.0056   0.0146   0.0010  0.0023  0.0012   0.00    3.5\r\n", "\n\n"}[r.IntN(3)])
			if r.IntN(30) == 0 {
				b.WriteString([]string{"2026/05/04 10:00:00 x y z 1 9\n", "% (lat/lon/height=WGS84/geodetic)\n", "2026/05/04\n"}[r.IntN(3)])
			}
		}
		out = append(out, b.String())
	}
	return inparts.Texts(append(out, "", "\n \n", "% a comment\n", "2026/05/04 10:00:00 56 9 1 1 9\n")...)
}

func TestLogsInParts(t *testing.T)      { nmeaInParts.Test(t, 71) }
func TestSolutionsInParts(t *testing.T) { solutionInParts.Test(t, 73) }
func FuzzLogParts(f *testing.F)         { nmeaInParts.Fuzz(f, 75) }
func FuzzSolutionParts(f *testing.F)    { solutionInParts.Fuzz(f, 77) }
