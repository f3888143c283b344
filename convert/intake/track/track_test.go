// Logs of every form, whole and damaged; clocks, weeks, receivers; any bytes.

package track

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
	"swardline/crs"
	"swardline/testdata/randplan"
)

func sentence(body string) string {
	sum := byte(0)
	for _, c := range []byte(body) {
		sum ^= c
	}
	return fmt.Sprintf("$%s*%02X\r\n", body, sum)
}

func gga(clock, lat, lon string, quality int) string {
	return sentence(fmt.Sprintf("GNGGA,%s,%s,N,%s,E,%d,20,0.6,50.0,M,40.0,M,1.0,0001", clock, lat, lon, quality))
}

func rmc(clock, date string) string {
	return sentence(fmt.Sprintf("GPRMC,%s,A,5600.0,N,00900.0,E,0.5,90.0,%s,,,R", clock, date))
}

func read(t *testing.T, text string, o Options) (*Summary, []fixes.Fix) {
	t.Helper()
	var out []fixes.Fix
	s, err := Read(strings.NewReader(text), o, func(f fixes.Fix) error { out = append(out, f); return nil })
	if err != nil {
		t.Fatal(err)
	}
	return s, out
}

func kinds(s *Summary) string {
	var out []string
	for _, w := range s.Warnings {
		out = append(out, fmt.Sprintf("%s %d", w.Kind, w.Count))
	}
	return strings.Join(out, ", ")
}

const gpxHead = `<?xml version="1.0"?><gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1" xmlns:r="urn:receiver"><trk><trkseg>`

// One walk of three positions in each form: fixed, float, single.
func TestForms(t *testing.T) {
	forms := map[string]string{
		FormatNMEA: rmc("120000.00", "310524") + gga("120000.00", "5600.00000000", "00900.00000000", 4) + sentence("GNGST,120000.00,0.01,,,,0.006,0.008,0.015") +
			gga("120001.00", "5600.00000600", "00900.00000000", 5) + gga("120002.00", "5600.00001200", "00900.00000000", 1),
		FormatGPX: gpxHead + `<trkpt lat="56" lon="9"><ele>90</ele><time>2024-05-31T12:00:00Z</time><fix>3d</fix><sat>20</sat><extensions><r:fix>fixed</r:fix><r:sigma>0.01</r:sigma></extensions></trkpt>
<trkpt lat="56.0000001" lon="9"><ele>90</ele><time>2024-05-31T14:00:01+02:00</time><extensions><r:fix>float</r:fix></extensions></trkpt>
<trkpt lat="56.0000002" lon="9"><time>2024-05-31T12:00:02.000Z</time><fix>3d</fix></trkpt></trkseg></trk></gpx>`,
		FormatCSV: "# a comment\ntime;lat;lon;h;fix;sigma_e;sigma_n\n2024-05-31T12:00:00Z;56,0;9,0;90;fixed;0,008;0,006\n2024-05-31 12:00:01;56,0000001;9,0;90;5;;\n1717156802;56.0000002;9;90;single;;\n",
		FormatSolution: "%  UTC                  latitude(deg) longitude(deg)  height(m)   Q  ns   sdn(m)   sde(m)   sdu(m)  sdne(m)  sdeu(m)  sdun(m) age(s)  ratio\n" +
			"2024/05/31 12:00:00.000   56.000000000    9.000000000    90.0000   1  20   0.0060   0.0080   0.0150   0 0 0   1.00    3.0\n" +
			"2024/05/31 12:00:01.000   56.000000100    9.000000000    90.0000   2  20   0.1 0.1 0.1 0 0 0 1 3\n2024/05/31 12:00:02.000   56.000000200    9.000000000    90.0000   5  20   0.1 0.1 0.1 0 0 0 1 3\n",
	}
	for form, text := range forms {
		s, list := read(t, text, Options{Name: form, Frame: "ETRS89", Epoch: 2024.5})
		if s.Format != form || s.Fixes != 3 || s.Of[Fixed] != 1 || s.Of[Float] != 1 || s.Of[Single] != 1 || s.Refused != 0 || !s.Dated || s.Frame != "ETRS89" || s.Epoch != 2024.5 {
			t.Errorf("%s: %+v", form, s)
			continue
		}
		if s.From.Format(time.RFC3339) != "2024-05-31T12:00:00Z" || s.To.Sub(s.From) != 2*time.Second {
			t.Errorf("%s: from %v to %v", form, s.From, s.To)
		}
		for i, f := range list {
			if math.Abs(f.Lat-56-float64(i)*1e-7) > 1e-11 || f.Lon != 9 {
				t.Errorf("%s: %d at %.10f, %.10f", form, i, f.Lat, f.Lon)
			}
		}
		if math.Abs(list[0].Sigma()-0.01) > 1e-9 || math.Abs(list[0].Height-90) > 1e-9 {
			t.Errorf("%s: sigma %v, height %v", form, list[0].Sigma(), list[0].Height)
		}
	}
}

func TestGrids(t *testing.T) {
	grid, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	text := "time,e,n\n2024-05-31T12:00:00Z,500000,6206065\n"
	s, list := read(t, text, Options{CRS: grid, Quality: fixes.Fixed})
	if math.Abs(list[0].Lon-9) > 1e-9 || math.Abs(list[0].Lat-56) > 0.01 || s.Of[Fixed] != 1 || s.Unstated != 0 {
		t.Errorf("%+v %+v", list, s)
	}
	_, err = Read(strings.NewReader(text), Options{Name: "a.csv"}, nil)
	if err == nil || !strings.Contains(err.Error(), "a.csv:1: the list has eastings and northings, and nothing says of which grid") {
		t.Error(err)
	}
}

// What is wrong with a log is told with its count, and the rest is read.
func TestDamage(t *testing.T) {
	start := rmc("120000", "310524")
	good := func(i int) string {
		return gga(fmt.Sprintf("12%02d%02d", i/60, i%60), fmt.Sprintf("56%011.8f", 1e-5*float64(i)), "00900.00000000", 4)
	}
	two := func(i int) string {
		return gga(fmt.Sprintf("12%02d%02d.50", i/60, i%60), fmt.Sprintf("56%011.8f", 0.05+1e-5*float64(i)), "00900.00000000", 4)
	}
	run := func(f ...func(int) string) string {
		out := start
		for i := 1; i < 61; i++ {
			for _, f := range f {
				out += f(i)
			}
		}
		return out
	}
	row := func(clock, fix string) string { return "2024-05-31T" + clock + "Z,56,9," + fix + "\n" }
	const header = "time,lat,lon,fix\n"
	// besides is a walker's log with another receiver's so many metres to the
	// north, the second's time that much later within the second.
	besides := func(metres float64, later string) string {
		var b strings.Builder
		for i := range 40 {
			lat := 56 + 1e-6*float64(i)
			fmt.Fprintf(&b, "2024-05-31T12:00:%02dZ,%.9f,9,4\n2024-05-31T12:00:%02d%sZ,%.9f,9,4\n", i, lat, i, strings.TrimPrefix(later, "00"), lat+metres/111_195)
		}
		return b.String()
	}
	for name, tt := range map[string]struct {
		text, kinds string
		fixes       int
		mixed       bool
	}{
		"whole":                {run(good), "", 61, false},
		"cut":                  {strings.TrimSuffix(run(good), "1.0,0001*7A\r\n")[:len(run(good))-20], "sentence-damaged 1", 60, false},
		"wrong checksum":       {strings.Replace(run(good), ",4,20", ",5,20", 3), "sentence-damaged 3", 58, false},
		"two receivers":        {run(good, two), "receivers-mixed 118", 121, true},
		"one time, two spots":  {start + good(1) + gga("120001", "5600.00900000", "00900.00000000", 4) + good(2), "receivers-mixed 1", 4, true},
		"two beside":           {header + besides(12.2, "00"), "receivers-mixed 78", 80, true},
		"two near":             {header + besides(1.2, "00"), "receivers-mixed 40", 80, true},
		"one, times cut":       {header + besides(0.9, "00"), "", 80, false},
		"two by turns":         {header + besides(5.6, "00.5"), "receivers-mixed 78", 80, true},
		"a week ago rolled":    {header + strings.ReplaceAll(row("12:00:10", "4"), "2024-05-31", "2004-10-15"), "date-old 1", 1, false},
		"a clock back":         {header + row("12:00:10", "4") + row("12:00:05", "4") + row("12:00:06", "4"), "clock-back 1", 3, false},
		"a repeated moment":    {header + row("12:00:10", "4") + row("12:00:10", "4"), "moment-repeated 1", 2, false},
		"ahead by days":        {header + row("12:00:10", "4") + strings.Replace(row("12:00:10", "4"), "05-31", "06-03", 1), "clock-forward 1", 2, false},
		"a week rolled over":   {header + row("12:00:10", "4") + strings.Replace(row("12:00:11", "4"), "2024-05-31", "2004-10-15", 1), "week-rollover 1", 2, false},
		"no quality":           {"time,lat,lon\n2024-05-31T12:00:00Z,56,9\n", "quality-unstated 1", 1, false},
		"a quality nobody has": {header + row("12:00:10", "4") + row("12:00:11", "splendid"), "quality-unknown 1, quality-unstated 1", 2, false},
		"bad lines":            {header + row("12:00:10", "4") + row("12:61:11", "4") + "2024-05-31T12:00:12Z,96,9,4\n2024-05-31T12:00:12Z,x,9,4\n,56,9,4\n" + row("12:00:13", "4"), "line-damaged 4", 2, false},
		"a day that is none":   {header + row("12:00:10", "4") + "2024-02-30T12:00:12Z,56,9,4\n", "line-damaged 1", 1, false},
		"a line too long":      {header + row("12:00:10", "4") + strings.Repeat("x", 3*lineBytes) + "\n" + row("12:00:11", "4"), "line-damaged 1", 2, false},
		"no position at times": {header + row("12:00:10", "4") + "2024-05-31T12:00:11Z,,,0\n", "fix-none 1", 2, false},
		"a cut GPX":            {gpxHead + `<trkpt lat="56" lon="9"><time>2024-05-31T12:00:00Z</time><fix>dgps</fix></trkpt><trkpt lat="56"`, "line-damaged 1", 1, false},
		"a GPX without times":  {gpxHead + `<trkpt lat="56" lon="9"/><trkpt lat="56" lon="9"><time>2024-05-31T12:00:00Z</time><fix>dgps</fix></trkpt></trkseg></trk></gpx>`, "line-damaged 1", 1, false},
	} {
		s, list := read(t, tt.text, Options{Name: name})
		if kinds(s) != tt.kinds || len(list) != tt.fixes || s.Mixed != tt.mixed || s.Fixes != len(list) {
			t.Errorf("%s: %q, %d positions, mixed %v; want %q, %d, %v", name, kinds(s), len(list), s.Mixed, tt.kinds, tt.fixes, tt.mixed)
		}
		sum := 0
		for _, n := range s.Of {
			sum += n
		}
		if sum != s.Fixes {
			t.Errorf("%s: the classes count %d of %d", name, sum, s.Fixes)
		}
	}
}

func TestNoLogs(t *testing.T) {
	for text, want := range map[string]string{
		"":                                     "x: the file is empty",
		"hello\n":                              "x: this is no log of positions that is known here",
		"name,lat,lon\na,56,9\n":               "x:1: the list has no column of times",
		"<kml/>":                               "x: this XML is no GPX",
		gpxHead + "</trkseg></trk></gpx>":      "x: the GPX has no track with times",
		"$GNGGA,120002,,,,,0,00,,,M,,M,,*00\n": "x: the file holds no NMEA 0183 sentence",
		"time,lat,lon,fix\n":                   "x: the log holds no position",
	} {
		s, err := Read(strings.NewReader(text), Options{Name: "x"}, func(fixes.Fix) error { return nil })
		var in *wire.InputError
		if !errors.As(err, &in) || !strings.HasPrefix(err.Error(), want) || s == nil {
			t.Errorf("%.20q: %v, want %s", text, err, want)
		}
	}
	stop := errors.New("stop")
	if _, err := Read(strings.NewReader("time,lat,lon\n2024-05-31T12:00:00Z,56,9\n"), Options{}, func(fixes.Fix) error { return stop }); err != stop {
		t.Error(err)
	}
	if _, err := Read(io.MultiReader(strings.NewReader("time,lat,lon\n2024-05-31T12:00:00Z,56,9\n"), broken{}), Options{Name: "x"}, func(fixes.Fix) error { return nil }); err == nil || !strings.Contains(err.Error(), "could not be read to its end") {
		t.Error(err)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, errors.New("the card is out") }

// repeated gives a text over and over, n times.
type repeated struct {
	head, text string
	n          int
	rest       []byte
}

func (r *repeated) Read(p []byte) (int, error) {
	if r.head != "" {
		r.rest, r.head = []byte(r.head), ""
	}
	for len(r.rest) == 0 {
		if r.n == 0 {
			return 0, io.EOF
		}
		r.n--
		r.rest = []byte(r.text)
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

// A log of a million positions takes no more memory than its part in work.
func TestMemoryIsBounded(t *testing.T) {
	n := 1_000_000
	if !randplan.Long() {
		n = 200_000
	}
	for name, r := range map[string]*repeated{
		"nmea": {rmc("115959", "310524"), gga("120000", "5600.00000000", "00900.00000000", 4) + gga("120001", "5600.00000060", "00900.00000000", 4), n / 2, nil},
		"gpx":  {gpxHead, `<trkpt lat="56" lon="9"><time>2024-05-31T12:00:00Z</time><fix>dgps</fix></trkpt>` + "\n", n / 4, nil},
		"csv":  {"time,lat,lon,fix\n", "2024-05-31T12:00:00Z,56,9,4\n", n, nil},
	} {
		runtime.GC()
		var before, now runtime.MemStats
		runtime.ReadMemStats(&before)
		most, count := uint64(0), 0
		_, err := Read(r, Options{Name: name}, func(fixes.Fix) error {
			if count++; count%(n/8) == 0 {
				runtime.GC()
				runtime.ReadMemStats(&now)
				most = max(most, now.HeapAlloc)
			}
			return nil
		})
		in, ok := err.(*wire.InputError)
		if name != "gpx" && err != nil || name == "gpx" && (ok && in != nil) {
			t.Fatal(name, err)
		}
		if grown := int64(most) - int64(before.HeapAlloc); grown > 8<<20 {
			t.Errorf("%s: %d bytes more in use, for %d positions", name, grown, count)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(rmc("120000", "310524") + gga("120000", "5600.0", "00900.0", 4)))
	f.Add([]byte(gpxHead + `<trkpt lat="56" lon="9"><time>2024-05-31T12:00:00Z</time></trkpt></trkseg></trk></gpx>`))
	f.Add([]byte("time;lat;lon;fix\n12:00:00;56,1;9;fixed\n"))
	f.Add([]byte("%  GPST latitude(deg) longitude(deg) height(m) Q ns\n2316 475200.0 56 9 90 1 20\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		n := 0
		s, err := Read(bytes.NewReader(data), Options{Name: "f"}, func(x fixes.Fix) error {
			n++
			if ClassOf(x.Quality) != None && !(math.Abs(x.Lat) <= 90 && math.Abs(x.Lon) <= 180) {
				t.Fatalf("%+v", x)
			}
			return nil
		})
		sum := 0
		for _, k := range s.Of {
			sum += k
		}
		if n != s.Fixes || sum != n {
			t.Fatalf("%d positions given, %d counted, %d in classes", n, s.Fixes, sum)
		}
		var in *wire.InputError
		if err != nil && !errors.As(err, &in) {
			t.Fatal(err)
		}
	})
}

// day writes n positions, a tenth of a second apart, in each form.
func day(n int) map[string][]byte {
	const posColumns = " latitude(deg) longitude(deg)  height(m)   Q  ns   sdn(m)   sde(m)   sdu(m)  sdne(m)  sdeu(m)  sdun(m) age(s)  ratio\n"
	texts := map[string]*bytes.Buffer{}
	for form, head := range map[string]string{"nmea": rmc("000000", "310524"), "nmea3": "", "gpx": gpxHead + "\n", "csv": "time,lat,lon,fix\n", "pos": "%  UTC " + posColumns, "gpst": "%  GPST " + posColumns} {
		texts[form] = bytes.NewBufferString(head)
	}
	start := time.Date(2024, 5, 31, 0, 0, 0, 0, time.UTC)
	for i := range n {
		at := start.Add(time.Duration(i) * 100 * time.Millisecond)
		lat, lon := 56+1e-6*float64(i%1000), 9+1e-6*float64(i/1000)
		clock := at.Format("150405.00")
		position := gga(clock, fmt.Sprintf("56%011.8f", 60*(lat-56)), fmt.Sprintf("009%011.8f", 60*(lon-9)), 4)
		texts["nmea"].WriteString(position)
		texts["nmea3"].WriteString(position + rmc(clock, at.Format("020106")) + sentence("GNGST,"+clock+",0.01,,,,0.006,0.008,0.015"))
		fmt.Fprintf(texts["gpx"], "<trkpt lat=\"%.9f\" lon=\"%.9f\"><ele>90.123</ele><time>%s</time><fix>dgps</fix></trkpt>\n", lat, lon, at.Format("2006-01-02T15:04:05.00Z"))
		fmt.Fprintf(texts["csv"], "%s,%.9f,%.9f,4\n", at.Format("2006-01-02T15:04:05.00Z"), lat, lon)
		row := fmt.Sprintf("%s   %.9f    %.9f    90.0000   1  20   0.0060   0.0080   0.0150   0.0000   0.0000   0.0000   1.00    3.0\n", at.Format("2006/01/02 15:04:05.000"), lat, lon)
		texts["pos"].WriteString(row)
		texts["gpst"].WriteString(row)
	}
	out := map[string][]byte{}
	for form, b := range texts {
		out[form] = b.Bytes()
	}
	return out
}

func BenchmarkRead(b *testing.B) {
	const n = 100_000
	texts := day(n)
	texts["gpx"] = append(texts["gpx"], "</trkseg></trk></gpx>\n"...)
	for _, form := range []string{"nmea", "nmea3", "gpx", "csv", "pos", "gpst"} {
		b.Run(form, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				count := 0
				if _, err := Read(bytes.NewReader(texts[form]), Options{Name: form}, func(fixes.Fix) error { count++; return nil }); err != nil || count < n {
					b.Fatal(count, err)
				}
			}
			b.ReportMetric(float64(b.N)*n/b.Elapsed().Seconds(), "fixes/s")
		})
	}
}
