// Check under broken input: files cut off anywhere, and whatever a fuzzer
// finds.

package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/twpayne/go-geom"

	"swardline/cmd/internal/job"
	"swardline/convert"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
	"swardline/validate"
	"swardline/validate/report"
)

// checkBytes does what check does with the bytes of a file. It fails the test
// when a refusal says nothing.
func checkBytes(t *testing.T, name string, data []byte, prove bool) {
	l := schema.DefaultLimits()
	p, _, err := convert.ReadFrom(bytes.NewReader(data), convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: name, Limits: l}})
	var entry report.Plan
	switch {
	case err != nil && strings.TrimSpace(err.Error()) == "":
		t.Fatalf("%d bytes of %s: an error without words", len(data), name)
	case err != nil:
		entry = report.NewUnreadable(name, err)
	case !prove:
		return
	default:
		entry = report.NewPlan(name, validate.Check(p, l), nil)
		entry.Enter(p)
	}
	set := report.Set{Tool: report.Tool{Name: program, Version: job.Version}, Plans: []report.Plan{entry}}
	for _, encode := range []func(io.Writer) error{set.SARIF, set.JUnit, set.GeoJSON, set.CSV, set.Text, set.HTML, set.Register} {
		if err := encode(io.Discard); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := set.JSON(&b); err != nil {
		t.Fatal(err)
	}
	if _, err := report.ReadJSON(b.Bytes()); err != nil {
		t.Fatalf("the report does not read back: %v", err)
	}
}

func demoFiles(t testing.TB) []string {
	files, err := filepath.Glob("../../examples/park/park.*")
	if err != nil || len(files) == 0 {
		t.Fatalf("no demo files: %v", err)
	}
	return files
}

// TestHalfFiles cuts the demo files off: at every byte, or, in short runs and
// for long files, at evenly spread ones.
func TestHalfFiles(t *testing.T) {
	for _, path := range demoFiles(t) {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		most := 300
		if !randplan.Long() {
			most = 40
		}
		step := max(1, len(data)/most)
		if os.Getenv("SWARDLINE_EVERY_BYTE") != "" {
			step = 1
		}
		for n := 0; n < len(data); n += step {
			checkBytes(t, path, data[:n], false)
		}
	}
}

// tiny is a plan of a few features as a file of the format.
func tiny(t testing.TB, format, layout string) []byte {
	ring := func(o float64) geom.T {
		flat := []float64{o, o, o + 20, o, o + 20, o + 20, o, o + 20, o, o}
		return geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})
	}
	p := &schema.Plan{Name: "Tiny", Features: []*schema.Feature{
		{Role: schema.RoleZone, Name: "North", ID: schema.String("z1"), Geometry: ring(10)},
		{Role: schema.RoleKeepout, Name: "Pond", ID: schema.String("k1"), Geometry: ring(15)},
		{Role: schema.RoleBase, Name: "Mast", ID: schema.String("b1"), Geometry: geom.NewPointFlat(geom.XY, []float64{12, 13})},
	}}
	if !convert.FormatByName(format).Drawing {
		p.CRS = crs.WGS84()
	}
	var b bytes.Buffer
	if _, err := convert.Write(&b, p, format, convert.WriteOptions{Layout: layout}); err != nil {
		t.Fatalf("%s: %v", format, err)
	}
	return b.Bytes()
}

// TestHalfFilesOfEveryFormat cuts a small file of every format off at every
// byte. It gives an error with words or the whole plan, never a part of one. A
// list that ends early is still a list, and so is a sequence that ends between
// two texts: there, what is read is a part from the start.
func TestHalfFilesOfEveryFormat(t *testing.T) {
	for _, format := range convert.Formats {
		if format.Write == nil {
			continue // its own package cuts its files off
		}
		layouts := format.Layouts
		if layouts == nil {
			layouts = []string{""}
		}
		for _, layout := range layouts {
			data := tiny(t, format.Name, layout)
			name := "a" + format.Endings[0]
			read := func(data []byte) (int, error) {
				p, _, err := convert.Read(data, convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: name, Limits: schema.DefaultLimits()}})
				if err != nil {
					return 0, err
				}
				return len(p.Features), nil
			}
			whole, err := read(data)
			if err != nil || whole != 3 {
				t.Fatalf("%s %s: %d features, %v", format.Name, layout, whole, err)
			}
			refused := 0
			for n := range data {
				got, err := read(data[:n])
				switch {
				case err != nil && strings.TrimSpace(err.Error()) == "":
					t.Errorf("%s %s: %d bytes: an error without words", format.Name, layout, n)
				case err != nil:
					refused++
				case (format.Name == "csv" || format.Name == "geojsonseq") && got <= whole:
				case got != whole:
					t.Errorf("%s %s: %d of %d bytes are read as %d of %d features", format.Name, layout, n, len(data), got, whole)
				}
			}
			if refused == 0 {
				t.Errorf("%s %s: no half file is refused", format.Name, layout)
			}
		}
	}
}

// TestCapsAreNamed: whatever a file is too much of, the error names the limit.
// Only blocks nested too deep are a warning that names it.
func TestCapsAreNamed(t *testing.T) {
	nested := "{\"a\":" + strings.Repeat("[", 20) + strings.Repeat("]", 20) + "}"
	for _, x := range []struct {
		key   string
		value float64
		name  string
		data  []byte
	}{
		{"input_max_bytes", 20, "a.geojson", tiny(t, "geojson", "")}, {"input_max_bytes", 20, "a.dxf", tiny(t, "dxf", "")},
		{"input_max_inflated_bytes", 20, "a.kmz", tiny(t, "kmz", "")}, {"input_max_inflated_bytes", 20, "a.zip", tiny(t, "shapefile", "")},
		{"input_max_vertices", 3, "a.zip", tiny(t, "shapefile", "")}, {"input_max_vertices", 3, "a.gpkg", tiny(t, "gpkg", "")}, {"input_max_vertices", 3, "a.geojsonl", tiny(t, "geojsonseq", "")},
		{"input_max_features", 2, "a.zip", tiny(t, "shapefile", "")}, {"input_max_features", 2, "a.gpkg", tiny(t, "gpkg", "")}, {"input_max_features", 2, "a.geojsonl", tiny(t, "geojsonseq", "")},
		{"input_max_nesting", 8, "a.geojson", []byte(`{"type":"Feature","geometry":null,"properties":` + nested + `}`)},
		{"input_max_nesting", 8, "a.kml", []byte(`<kml xmlns="http://www.opengis.net/kml/2.2">` + strings.Repeat("<Folder>", 20) + strings.Repeat("</Folder>", 20) + `</kml>`)},
		{"input_max_nesting", 8, "a.gpx", []byte(`<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"><wpt lat="1" lon="1"><extensions>` + strings.Repeat("<a>", 20) + strings.Repeat("</a>", 20) + `</extensions></wpt></gpx>`)},
		{"input_max_vertices", 3, "a.geojson", tiny(t, "geojson", "")}, {"input_max_vertices", 3, "a.kml", tiny(t, "kml", "")}, {"input_max_vertices", 3, "a.kmz", tiny(t, "kmz", "")},
		{"input_max_vertices", 3, "a.gpx", tiny(t, "gpx", "")}, {"input_max_vertices", 3, "a.csv", tiny(t, "csv", "wkt")}, {"input_max_vertices", 3, "a.csv", tiny(t, "csv", "points")}, {"input_max_vertices", 3, "a.dxf", tiny(t, "dxf", "")},
		{"input_max_features", 2, "a.geojson", tiny(t, "geojson", "")}, {"input_max_features", 2, "a.kml", tiny(t, "kml", "")}, {"input_max_features", 2, "a.gpx", tiny(t, "gpx", "")},
		{"input_max_features", 2, "a.csv", tiny(t, "csv", "wkt")}, {"input_max_features", 2, "a.csv", tiny(t, "csv", "points")}, {"input_max_features", 2, "a.dxf", tiny(t, "dxf", "")},
		{"input_max_recursion", 4, "a.dxf", nestedBlocks(8, 1)},
		// A hundred inserts in each of eight blocks are 10^16 points.
		{"input_max_", 0, "a.dxf", nestedBlocks(8, 100)},
	} {
		l := schema.DefaultLimits()
		if x.value > 0 {
			if err := l.Set(x.key, x.value, schema.OriginFile, "test"); err != nil {
				t.Fatal(err)
			}
		} else if err := l.Set("input_max_vertices", 1000, schema.OriginFile, "test"); err != nil {
			t.Fatal(err)
		} else if err := l.Set("input_max_features", 1000, schema.OriginFile, "test"); err != nil {
			t.Fatal(err)
		}
		_, warnings, err := convert.Read(x.data, convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: x.name, Limits: l, Unit: "m"}})
		if x.key == "input_max_recursion" { // a drawing is read without what lies deeper, and says so
			for _, w := range warnings {
				err = errors.Join(err, errors.New(w.Message))
			}
		}
		if err == nil || !strings.Contains(err.Error(), x.key) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s with %s %g: %v", x.name, x.key, x.value, err)
		}
	}
}

// nestedBlocks is a drawing of blocks, each inserted so many times in the next.
func nestedBlocks(deep, times int) []byte {
	var b strings.Builder
	b.WriteString("  0\nSECTION\n  2\nBLOCKS\n")
	for i := range deep {
		fmt.Fprintf(&b, "  0\nBLOCK\n  2\nB%d\n 10\n0\n 20\n0\n", i)
		if i == 0 {
			b.WriteString("  0\nPOINT\n  8\nL\n 10\n1\n 20\n1\n")
		} else {
			for range times {
				fmt.Fprintf(&b, "  0\nINSERT\n  8\nL\n  2\nB%d\n 10\n1\n 20\n1\n", i-1)
			}
		}
		b.WriteString("  0\nENDBLK\n")
	}
	fmt.Fprintf(&b, "  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n  0\nINSERT\n  8\nL\n  2\nB%d\n 10\n1\n 20\n1\n  0\nENDSEC\n  0\nEOF\n", deep-1)
	return []byte(b.String())
}

// TestAbsurdNumbers: coordinates at the end of what a float64 holds, and every
// spelling of what is no number, in every text format: an error, or a plan that
// the check refuses as invalid, never a figure.
func TestAbsurdNumbers(t *testing.T) {
	for _, v := range []string{"1e308", "-1e308", "1e309", "1.7976931348623157e308", "NaN", "nan", "NAN", "-NaN", "nan(1)", "Inf", "inf", "+Inf", "-inf", "Infinity", "1.#QNAN", "1.#IND", "0x1p10", "1_000", "1e", "--1", ""} {
		for name, text := range map[string]string{
			"a.geojson": `{"type":"Feature","properties":{"role":"zone"},"geometry":{"type":"Polygon","coordinates":[[[` + v + `,0],[1,0],[1,1],[` + v + `,0]]]}}`,
			"a.kml":     `<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>` + v + `,0 1,0 1,1 ` + v + `,0</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></kml>`,
			"a.gpx":     `<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"><wpt lat="1" lon="` + v + `"/></gpx>`,
			"a.csv":     "name,role,lat,lon\nA,base,1," + v + "\n",
			"wkt.csv":   "name,role,wkt\nA,zone,\"POLYGON ((" + v + " 0, 1 0, 1 1, " + v + " 0))\"\n",
		} {
			checkBytes(t, name, []byte(text), true)
			l := schema.DefaultLimits()
			p, _, err := convert.Read([]byte(text), convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: name, Limits: l}})
			if err != nil {
				continue
			}
			for _, f := range p.Features {
				if f.Geometry == nil {
					continue
				}
				for _, c := range f.Geometry.FlatCoords() {
					if math.IsInf(c, 0) || math.IsNaN(c) || math.Abs(c) > 180 && !invalid(p, l) {
						t.Errorf("%q in %s became the coordinate %g", v, name, c)
					}
				}
			}
		}
	}
}

// wide is the text in UTF-16 after a mark.
func wide(text []byte, mark string, order binary.AppendByteOrder) []byte {
	out := []byte(mark)
	for _, u := range utf16.Encode([]rune(string(text))) {
		out = order.AppendUint16(out, u)
	}
	return out
}

// TestWideTextAndNUL: a text in UTF-16 is read and told; a drawing in it, and
// any file with NUL bytes, is refused in one line that names the encoding or
// the byte, and says what to do; never read in part.
func TestWideTextAndNUL(t *testing.T) {
	const save = "save it again with the encoding UTF-8"
	for _, format := range []string{"geojson", "kml", "gpx", "csv", "dxf"} {
		text := tiny(t, format, "")
		name := "a" + convert.FormatByName(format).Endings[0]
		middle := len(text) / 2
		nul := bytes.Join([][]byte{text[:middle], text[middle:]}, []byte{0})
		for _, x := range []struct {
			what string
			data []byte
			want []string
		}{
			{"UTF-16 LE with a mark", wide(text, "\xff\xfe", binary.LittleEndian), []string{"UTF-16", save}},
			{"UTF-16 BE with a mark", wide(text, "\xfe\xff", binary.BigEndian), []string{"UTF-16", save}},
			{"UTF-16 LE", wide(text, "", binary.LittleEndian), []string{"UTF-16", save}},
			{"UTF-16 BE", wide(text, "", binary.BigEndian), []string{"UTF-16", save}},
			{"a NUL in the middle", nul, []string{"NUL byte", fmt.Sprintf("%s:%d", name, 1+bytes.Count(text[:middle], []byte("\n")))}},
			{"a NUL at the end", append(bytes.Clone(text), 0), []string{"NUL byte", "export it again"}},
			{"a block of NULs at the end", append(bytes.Clone(text), make([]byte, 512)...), []string{"NUL byte", "export it again"}},
			{"nothing but NULs", make([]byte, 512), []string{"NUL byte", "export it again"}},
		} {
			opts := convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: name, Limits: schema.DefaultLimits()}}
			p, warnings, err := convert.Read(x.data, opts)
			if x.want[0] == "UTF-16" && format != "dxf" {
				q, _, same := convert.Read(text, opts)
				if err != nil || same != nil || schema.Same(p, q, 0) != nil || warnings[0].Kind != "encoding" {
					t.Errorf("%s, %s: %v, %v", format, x.what, err, warnings)
				}
				continue
			}
			if err == nil {
				t.Errorf("%s, %s: read as %d features", format, x.what, len(p.Features))
				continue
			}
			for _, want := range append(x.want, name) {
				if !strings.Contains(err.Error(), want) {
					t.Errorf("%s, %s: %q does not say %q", format, x.what, err, want)
				}
			}
			if strings.ContainsAny(err.Error(), "\n\x00") {
				t.Errorf("%s, %s: %q is more than a line", format, x.what, err)
			}
		}
	}
}

// invalid reports whether the check calls a coordinate of the plan invalid.
func invalid(p *schema.Plan, l schema.Limits) bool {
	for _, f := range validate.Check(p, l).Findings {
		if f.Rule == "coordinate-invalid" && f.Severity == validate.Error {
			return true
		}
	}
	return false
}

func FuzzCheck(f *testing.F) {
	for _, format := range convert.Formats {
		if format.Write == nil {
			continue // its own package cuts its files off
		}
		layouts := format.Layouts
		if layouts == nil {
			layouts = []string{""}
		}
		for _, layout := range layouts {
			f.Add("a"+format.Endings[0], tiny(f, format.Name, layout))
		}
	}
	f.Add("a.dxf", nestedBlocks(3, 2))
	for _, path := range demoFiles(f) {
		if data, err := os.ReadFile(path); err == nil {
			f.Add(filepath.Base(path), data)
		}
	}
	f.Add("a.geojson", []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"role":"zone","name":"=1+1"},"geometry":{"type":"Polygon","coordinates":[[[1e308,0],[0,1e308],[-1e308,0],[1e308,0]]]}}]}`))
	f.Add("a.geojson", []byte(strings.Repeat("[", 5000)))
	f.Add("a.kml", []byte(`<!DOCTYPE k [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><kml>&b;</kml>`))
	f.Fuzz(func(t *testing.T, name string, data []byte) { checkBytes(t, name, data, true) })
}
