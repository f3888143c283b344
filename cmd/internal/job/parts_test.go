// A conversion in parts is the conversion of the whole: bytes, losses, notes
// and errors, for any size of the parts and any order of the rows.

package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/inparts"
	"swardline/testdata/randplan"
)

// rereading is a Store in memory whose inputs can be read several times.
type rereading struct {
	Memory
	whole  int  // times that an input was read whole
	broken bool // no output can be opened
}

func (m *rereading) Reread(name string, least, most float64) (wire.Opening, int64, error) {
	data, err := m.Memory.Read(name, most)
	if err != nil || float64(len(data)) < least {
		return nil, 0, wire.ErrWhole
	}
	return inparts.Opening(data), int64(len(data)), nil
}

func (m *rereading) Read(name string, most float64) ([]byte, error) {
	data, err := m.Memory.Read(name, most)
	if err == nil {
		m.whole++
	}
	return data, err
}

func (m *rereading) Scratch() (wire.Scratch, error) {
	return wire.MemoryScratch{Buffer: &bytes.Buffer{}}, nil
}

func (m *rereading) Write(name string, fill func(io.Writer) error) error {
	if m.broken && strings.HasPrefix(name, "out") {
		return errors.New("no room")
	}
	return m.Memory.Write(name, fill)
}

// converted is everything that a conversion gives; parted says that it did not
// read its input whole.
func converted(o ConvertOptions, data []byte, broken bool, from float64, features int) (all string, parted bool) {
	was, wasFeatures := partsFrom, partFeatures
	defer func() { partsFrom, partFeatures = was, wasFeatures }()
	partsFrom, partFeatures = from, features
	m := &rereading{Memory: Memory{In: []File{{o.Source, data}}}, broken: broken}
	j := &Job{Store: m}
	done, err := j.Convert(&o)
	var b strings.Builder
	if done != nil {
		fmt.Fprintf(&b, "refused %v, losses %+v\n", done.Refused, done.Losses)
	}
	var mend *Error
	if errors.As(err, &mend) {
		fmt.Fprintf(&b, "%v %q\n", mend.Asked, mend.Mend)
	}
	fmt.Fprintf(&b, "error %v\n", err)
	for _, n := range j.Notes {
		fmt.Fprintf(&b, "%+v\n", n)
	}
	for _, f := range m.Out {
		fmt.Fprintf(&b, "%s\n%s\n", f.Name, f.Bytes)
	}
	return b.String(), m.whole == 0
}

// bothWays converts whole and in parts.
func bothWays(t *testing.T, r *rand.Rand, o ConvertOptions, data []byte) (parted bool) {
	t.Helper()
	broken := r.IntN(20) == 0
	want, _ := converted(o, data, broken, math.Inf(1), 1)
	features := 1 + r.IntN(10)
	got, parted := converted(o, data, broken, 0, features)
	if got != want {
		t.Fatalf("%+v, %d features a part\n%.2000q\nwhole:\n%.5000s\nin parts:\n%.5000s", o, features, data, want, got)
	}
	return parted
}

// options are options of every kind.
func options(r *rand.Rand, source string) ConvertOptions {
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	o := ConvertOptions{Source: source, Target: "out" + pick(".csv", ".csv", ".geojson", ".geojson", ".geojsonl", ".kml", ".kml", ".kmz", ".gpx", ".gpx")}
	if r.IntN(20) == 0 {
		o.Target = "out.dxf" // written whole
	}
	o.To = pick("", "", "", "EPSG:25832", "EPSG:4258", "EPSG:4230", "OGC:CRS84", "EPSG:27700", "EPSG:2193", "site", "EPSG:3857")
	if strings.HasSuffix(o.Target, ".csv") {
		o.Layout = pick("", "points")
	}
	if r.IntN(8) > 0 {
		o.AcceptAccuracyM, o.AllowUnknownAccuracy = 100, true
	}
	switch r.IntN(30) {
	case 0:
		o.To = "nonsense"
	case 1:
		o.InFrame = "no such frame"
	case 2, 3, 4, 5:
		o.InFrame = pick("ETRS89", "NZGD2000")
	}
	if r.IntN(6) == 0 {
		o.From = pick("EPSG:25832", "EPSG:4258", "EPSG:4230")
	}
	if r.IntN(4) == 0 {
		o.Target, o.Writing.Format = "-", pick("csv", "geojson", "geojsonseq", "kml", "gpx")
		o.Layout = ""
	}
	o.Strict = r.IntN(4) == 0
	if r.IntN(3) == 0 {
		o.LossFile = "loss.json"
	}
	if r.IntN(10) == 0 {
		o.Epoch, o.ToEpoch = 2020, 2024
	}
	return o
}

func TestConversionInParts(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	rounds := 150
	if randplan.Long() {
		rounds = 20000
	}
	parted := 0
	for n := range rounds {
		p := randplan.New(r.Uint64(), randplan.Options{})
		p.CRS = []*crs.CRS{crs.WGS84(), p.CRS, nil, crs.WGS84()}[n%4]
		source := []string{"in.csv", "in.geojson", "in.geojsonl", "in.kml", "in.kmz", "in.gpx"}[r.IntN(6)]
		f, err := convert.FormatToWrite(source)
		if err != nil {
			t.Fatal(err)
		}
		layout := ""
		if source == "in.csv" && n%2 == 0 {
			layout = "points"
		}
		var b bytes.Buffer
		if n%5 > 0 {
			if _, err := convert.Write(&b, p, f.Name, convert.WriteOptions{Layout: layout}); err != nil {
				continue
			}
		} else {
			source = "in.csv"
			b.WriteString(scattered(r, 60))
		}
		if n%9 == 0 {
			b.Reset()
			source = receiverLog(r, &b)
		}
		data := b.Bytes()
		if r.IntN(6) == 0 {
			data = append([]byte("\ufeff"), data...)
		}
		if r.IntN(4) == 0 {
			data = inparts.Damaged(r, data)
		}
		o := options(r, source)
		if n%5 == 0 && o.To == "EPSG:3857" {
			o.To = "EPSG:4258" // the search for steps from ED50 to that takes long over four countries
		}
		if bothWays(t, r, o, data) {
			parted++
		}
	}
	if parted < rounds/3 {
		t.Errorf("%d of %d conversions went in parts", parted, rounds)
	}
}

// receiverLog writes a log of one of the two kinds, and returns its name.
func receiverLog(r *rand.Rand, b *bytes.Buffer) string {
	if r.IntN(2) == 0 {
		b.WriteString("%  GPST latitude(deg) longitude(deg) height(m) Q ns sdn(m) sde(m) sdu(m)\n")
		for i := range 40 {
			fmt.Fprintf(b, "2026/05/04 10:00:%02d.000 56.%04d 9.%04d 4%d.5 %d 9 0.01 0.02 0.03\n", i, r.IntN(9999), r.IntN(9999), r.IntN(9), 1+r.IntN(2))
		}
		return "in.pos"
	}
	for i := range 40 {
		fmt.Fprintf(b, "$GNGGA,1000%02d.00,5600.%04d,N,00900.%04d,E,4,12,0.8,12.5,M,40.1,M,,\r\n", i, r.IntN(9999), r.IntN(9999))
	}
	return "in.nmea"
}

// scattered is a list of points in countries whose steps from ED50 differ.
func scattered(r *rand.Rand, n int) string {
	var b strings.Builder
	b.WriteString("id,lon,lat,h,crs,curb\n")
	towns := [][2]float64{{-3.7, 40.4}, {2.65, 39.57}, {5.12, 52.09}, {9.5, 56}}
	for i := range n {
		at := towns[r.IntN(len(towns))]
		fmt.Fprintf(&b, "p%d,%.8f,%.8f,%.2f,EPSG:4230,\n", i, at[0]+r.NormFloat64()*0.3, at[1]+r.NormFloat64()*0.3, 50*r.Float64())
	}
	return b.String()
}

// Every example and every plan with a fault, to every format that is written in
// parts.
func TestExamplesInParts(t *testing.T) {
	r := rand.New(rand.NewPCG(43, 44))
	var files []string
	for _, pattern := range []string{"examples/*/*", "testdata/broken/*.fail.*"} {
		found, err := filepath.Glob(filepath.Join("..", "..", "..", pattern))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	parted := 0
	for _, file := range files {
		if f := convert.FormatByEnding(file); f == nil || f.ReadParts == nil {
			continue
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, target := range []string{"out.csv", "out.geojson", "out.geojsonl", "out.kml", "out.kmz", "out.gpx"} {
			o := ConvertOptions{Source: filepath.Base(file), Target: target, LossFile: "loss.json"}
			if bothWays(t, r, o, data) {
				parted++
			}
		}
		o := ConvertOptions{Source: filepath.Base(file), Target: "out.csv", To: "EPSG:25832", Moving: Moving{AcceptAccuracyM: 5}}
		bothWays(t, r, o, data)
	}
	if parted < 150 {
		t.Errorf("%d conversions of examples went in parts", parted)
	}
}

// The coordinates of a place must not depend on which rows stand before it, nor
// on which are in its part.
func TestPartsDoNotDependOnTheOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(45, 46))
	rows := strings.SplitAfter(scattered(r, 200), "\n")
	head, rows := rows[0], rows[1:len(rows)-1]
	o := ConvertOptions{Source: "in.csv", Target: "out.csv", To: "EPSG:4258", Moving: Moving{AcceptAccuracyM: 10}}
	var want map[string]bool
	for range 8 {
		r.Shuffle(len(rows), func(i, k int) { rows[i], rows[k] = rows[k], rows[i] })
		text, parted := converted(o, []byte(head+strings.Join(rows, "")), false, 0, 1+r.IntN(50))
		if !parted || !strings.Contains(text, "about 40.") {
			t.Fatalf("not in parts, or with one set of steps:\n%.3000s", text)
		}
		_, text, _ = strings.Cut(text, "out.csv\n")
		got := map[string]bool{}
		for line := range strings.Lines(text) {
			got[line] = true
		}
		if want == nil {
			want = got
		}
		if !maps.Equal(got, want) {
			t.Fatal("the coordinates depend on the order of the rows")
		}
	}
}

// A place that a step cannot take is an error that names the feature, wherever
// it stands, and leaves no output.
func TestPartsLeaveNothingHalfWritten(t *testing.T) {
	rows := strings.Repeat("p,9,52,EPSG:4258\n", 100) + "bad,9,95,EPSG:4258\n" + strings.Repeat("p,9,52,EPSG:4258\n", 100)
	for _, target := range []string{"out.geojson", "-"} {
		o := ConvertOptions{Source: "in.csv", Target: target, To: "EPSG:25832", LossFile: "loss.json"}
		o.Writing.Format = "geojson"
		text, _ := converted(o, []byte("id,lon,lat,crs\n"+rows), false, 0, 7)
		whole, _ := converted(o, []byte("id,lon,lat,crs\n"+rows), false, math.Inf(1), 7)
		if text != whole || strings.Contains(text, "FeatureCollection") || !strings.Contains(text, "in.csv") {
			t.Errorf("%s: %s\nwhole: %s", target, text, whole)
		}
	}
}

// Where the epoch alone is moved, places outside the system's area are told of
// as read, too.
func TestEpochAloneInParts(t *testing.T) {
	o := ConvertOptions{Source: "in.csv", Target: "out.csv", ToEpoch: 2024, Reading: Reading{Epoch: 2020}, Moving: Moving{AcceptAccuracyM: 100, AllowUnknownAccuracy: true}}
	data := []byte("id,lon,lat,crs\n" + strings.Repeat("p,143.9,35.2,EPSG:4258\n", 9))
	whole, _ := converted(o, data, false, math.Inf(1), 4)
	text, parted := converted(o, data, false, 0, 4)
	if text != whole || !parted || strings.Count(text, "9 point(s) lie outside") != 2 {
		t.Errorf("%v\n%s\nwhole:\n%s", parted, text, whole)
	}
}

// A file that is cut off leaves no output either.
func TestCutFilesLeaveNothing(t *testing.T) {
	placemark := "<Placemark><Point><coordinates>9,52</coordinates></Point></Placemark>\n"
	wpt := "<wpt lat=\"52\" lon=\"9\"/>\n"
	for _, c := range []struct{ source, text string }{
		{"in.kml", "<kml><Document>\n" + strings.Repeat(placemark, 200) + "<Placemark><Point><coordi"},
		{"in.kml", "<kml><Document>\n" + strings.Repeat(placemark, 100) + strings.Replace(placemark, "52", "95", 1) + strings.Repeat(placemark, 100) + "</Document></kml>"},
		{"in.gpx", "<gpx version=\"1.1\">\n" + strings.Repeat(wpt, 200) + "<trk><trkseg><trkpt lat="},
		{"in.gpx", "<gpx version=\"1.1\">\n" + strings.Repeat(wpt, 100) + "<trk><trkseg>" + strings.Repeat(strings.ReplaceAll(wpt, "wpt", "trkpt"), 200) + "</trk></gpx>"},
		{"in.pos", "%  GPST latitude(deg) longitude(deg) height(m) Q ns\n" + strings.Repeat("2026/05/04 10:00:00 56 9 4 1 9\n", 99) + "2026/05/04 10:0"},
	} {
		for _, target := range []string{"out.csv", "out.geojson", "out.kml", "out.kmz", "out.gpx", "-"} {
			o := ConvertOptions{Source: c.source, Target: target, LossFile: "loss.json"}
			o.Writing.Format = map[string]string{"-": "csv"}[target]
			text, _ := converted(o, []byte(c.text), false, 0, 7)
			whole, _ := converted(o, []byte(c.text), false, math.Inf(1), 7)
			if text != whole || strings.Contains(text, "\nout.") || strings.Contains(text, "id,role") || !strings.Contains(text, c.source+":") {
				t.Errorf("%s to %s: %s\nwhole: %s", c.source, target, text, whole)
			}
		}
	}
}

func TestInTurn(t *testing.T) {
	var got []int
	give := func(put func(int) error) error {
		for i := range 100 {
			if err := put(i); err != nil {
				return err
			}
		}
		return io.ErrClosedPipe
	}
	if err := inTurn(give, func(i int) error { got = append(got, i); return nil }); err != io.ErrClosedPipe {
		t.Error(err)
	}
	if len(got) != 100 || !slices.IsSorted(got) {
		t.Error(got)
	}
	if err := inTurn(give, func(i int) error {
		if i == 7 {
			return schema.ErrTooManyBases
		}
		return nil
	}); err != schema.ErrTooManyBases {
		t.Error(err)
	}
}

// TestBesideInParts: what a file says beside its plan goes along in parts as it does
// whole, and is lost, counted, where another member has its name.
func TestBesideInParts(t *testing.T) {
	const pond = `<Placemark><name>Pond</name><Polygon></Polygon></Placemark>`
	kml := func(more string) []byte {
		return []byte(`<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Style id="s"><BalloonStyle><text>quicksand</text></BalloonStyle></Style>` + more +
			`<Placemark><name>Lawn</name><Point><coordinates>11.2,56.9</coordinates></Point></Placemark>` + pond + `</Document></kml>`)
	}
	for _, target := range []string{"out.geojson", "out.geojsonl", "out.csv", "out.kml", "out.kmz", "out.gpx"} {
		for _, from := range []float64{0, math.Inf(1)} {
			m := &rereading{Memory: Memory{In: []File{{"a.kml", kml("")}, {"b.kml", kml(`<ExtendedData><Data name="beside"><value>mine</value></Data></ExtendedData>`)}}}}
			was := partsFrom
			partsFrom = from
			j := &Job{Store: m}
			done, err := j.Convert(&ConvertOptions{Source: "a.kml", Target: target, Strict: true})
			if err != nil || done.Refused || (m.whole == 0) != (from == 0) {
				t.Fatalf("%s: %v, %+v, read whole %d times", target, err, done, m.whole)
			}
			taken, err := j.Convert(&ConvertOptions{Source: "b.kml", Target: "taken-" + target, Strict: true})
			partsFrom = was
			if err != nil || !taken.Refused || len(taken.Losses) != 1 || taken.Losses[0].Kind != wire.KindBeside || taken.Losses[0].Count != 2 || len(m.Out) != 1 {
				t.Errorf("%s: a member of that name: %v, %+v", target, err, taken)
			}
			p, _, err := convert.Read(m.Out[0].Bytes, convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: target}})
			if err != nil {
				t.Fatal(err)
			}
			if len(p.Beside) != 1 || p.Beside[0].Text != "quicksand" || p.Beside[0].Where != "the element BalloonStyle in line 1 of a.kml" || !slices.ContainsFunc(p.Left, func(what string) bool { return strings.HasPrefix(what, "a.kml: line 1: a geometry has no coordinates") }) || len(p.Attributes) > 0 {
				t.Errorf("%s, parts from %g: %+v, %v, %+v", target, from, p.Beside, p.Left, p.Attributes)
			}
		}
	}
}

// TestOpenOutlinesInParts: an outline that a conversion closes is told of in the new file,
// in parts as it is whole.
func TestOpenOutlinesInParts(t *testing.T) {
	// Of a large file some features stand for all: the open one comes late.
	const closed = `{"type":"Feature","properties":{"role":"zone","name":"Other"},"geometry":{"type":"Polygon","coordinates":[[[11.2,56.95],[11.201,56.95],[11.201,56.951],[11.2,56.95]]]}},` + "\n"
	open := []byte(`{"type":"FeatureCollection","features":[
` + strings.Repeat(closed, 600) + `{"type":"Feature","properties":{"role":"zone","name":"Lawn"},"geometry":{"type":"Polygon","coordinates":[[[11.2,56.95],[11.201,56.95],[11.201,56.951],[11.2,56.951]]]}},
{"type":"Feature","properties":{"role":"mark","name":"M1"},"geometry":{"type":"Point","coordinates":[11.2,56.95]}}]}`)
	for _, target := range []string{"out.geojson", "out.geojsonl", "out.csv", "out.kml", "out.gpx"} {
		for _, from := range []float64{0, math.Inf(1)} {
			m := &rereading{Memory: Memory{In: []File{{"open.geojson", open}}}}
			was := partsFrom
			partsFrom = from
			_, err := (&Job{Store: m}).Convert(&ConvertOptions{Source: "open.geojson", Target: target})
			partsFrom = was
			if err != nil || (m.whole == 0) != (from == 0) {
				t.Fatalf("%s: %v, read whole %d times", target, err, m.whole)
			}
			p, _, err := convert.Read(m.Out[0].Bytes, convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: target}})
			if err != nil || len(p.Left) != 1 || !strings.Contains(p.Left[0], `of outline 1 of zone "Lawn", which was open`) {
				t.Errorf("%s, parts from %g: %v, %q", target, from, err, p.Left)
			}
		}
	}
}
