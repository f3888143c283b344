// KMZ: which entry is read, what is counted, what is refused, and that no more
// is unpacked than the limit says.

package kml

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"io"
	"runtime"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

// entry is one entry of an archive that a test makes.
type entry struct {
	name, content string
	method        uint16
}

func archive(t testing.TB, entries ...entry) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range entries {
		w, err := z.CreateHeader(&zip.FileHeader{Name: e.name, Method: e.method})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, e.content); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func named(name string) string { return placemarkWith("<name>" + name + "</name>") }

func TestKMZEntries(t *testing.T) {
	doc := func(name string) entry { return entry{name, named(name), zip.Deflate} }
	for _, c := range []struct {
		name     string
		entries  []entry
		want     string // the entry that is read, which its feature is named after
		warnings string
	}{
		{"doc.kml", []entry{doc("doc.kml")}, "doc.kml", ""},
		{"doc.kml stored", []entry{{"doc.kml", named("doc.kml"), zip.Store}}, "doc.kml", ""},
		{"doc.kml behind another", []entry{doc("a.kml"), doc("doc.kml")}, "doc.kml", "kmz-documents 1"},
		{"doc.kml in capitals", []entry{doc("a.kml"), doc("DOC.KML")}, "DOC.KML", "kmz-documents 1"},
		{"doc.kml in both cases", []entry{doc("Doc.kml"), doc("doc.kml")}, "doc.kml", "kmz-documents 1"},
		{"the first at the top", []entry{doc("files/x.kml"), doc("b.kml"), doc("a.kml")}, "b.kml", "kmz-documents 2"},
		{"backslashes", []entry{doc(`files\x.kml`), doc(`.\b.kml`)}, `.\b.kml`, "kmz-documents 1"},
		{"only in a folder", []entry{{"files/", "", zip.Store}, doc("files/x.kml")}, "files/x.kml", "kmz-folder 1"},
		{"pictures", []entry{{"files/a.png", "x", zip.Store}, {"b.jpg", "x", zip.Store}, doc("doc.kml")}, "doc.kml", "kmz-entries 2"},
		{"lists and outlines", []entry{{"hazards/ponds.GeoJSON", "x", zip.Store}, {"a.gpx", "x", zip.Store}, {"inner.kmz", "x", zip.Store}, {"b.jpg", "x", zip.Store}, doc("doc.kml")}, "doc.kml", "kmz-drawn 3, kmz-entries 1"},
		{"JSON that draws", []entry{{"a.json", `{"features":[{"geometry":{"type":"Point","coordinates":[1,2]}}]}`, zip.Deflate}, doc("doc.kml")}, "doc.kml", "kmz-drawn 1"},
		{"JSON that does not", []entry{{"a.json", `{"theme":"dark"}`, zip.Deflate}, {"notes.txt", "x", zip.Store}, doc("doc.kml")}, "doc.kml", "kmz-entries 2"},
		{"a log and a list", []entry{{"2026-05-11.nmea", "x", zip.Store}, {"ponds.csv", "x", zip.Store}, {"ponds.txt", "P1,3512345.120,5412345.340,45.1\n", zip.Store}, doc("doc.kml")}, "doc.kml", "kmz-drawn 3"},
		{"forks of a file system", []entry{{"__MACOSX/._doc.kml", "\x00\x05\x16\x07\x00\x02", zip.Deflate}, {".DS_Store", "x", zip.Store}, doc("doc.kml")}, "doc.kml", "kmz-entries 2"},
		{"called as if of a file system", []entry{doc("__MACOSX/ponds.kml"), doc("doc.kml"), doc("._ponds.kml"), doc(".ponds.kml")}, "doc.kml", "kmz-documents 3"},
		{"a document in UTF-16", []entry{{"ponds.dat", "\xff\xfe<\x00k\x00m\x00l\x00", zip.Deflate}, doc("doc.kml")}, "doc.kml", "kmz-drawn 1"},
		{"names that escape", []entry{doc("../doc.kml"), doc("/doc.kml"), doc("a/../../doc.kml"), doc(`..\doc.kml`), doc("x.kml")}, "x.kml", "kmz-path 4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := archive(t, c.entries...)
			p, warnings, err := Read(data, wire.ReadOptions{Name: "a.kmz"})
			if err != nil {
				t.Fatal(err)
			}
			if got := p.Features[0].Name; got != c.want {
				t.Errorf("read %q, want %q", got, c.want)
			}
			if got := kindsOf(warnings); got != c.warnings {
				t.Errorf("warnings %q, want %q", got, c.warnings)
			}
			for _, w := range warnings {
				if w.Ground() != (w.Kind == "kmz-drawn" || w.Kind == "kmz-documents" || w.Kind == "kmz-path") {
					t.Errorf("%s: ground %v", w.Kind, w.Ground())
				}
			}
			if s := p.Source; s.Format != "kmz" || s.Path == "" {
				t.Errorf("source %+v", s)
			}
		})
	}
}

// patch changes bytes of an archive at a signature.
func patch(data []byte, signature string, offset int, to ...byte) []byte {
	out := append([]byte(nil), data...)
	for i := 0; ; {
		k := bytes.Index(out[i:], []byte(signature))
		if k < 0 {
			return out
		}
		copy(out[i+k+offset:], to)
		i += k + len(signature)
	}
}

const (
	localHeader   = "PK\x03\x04"
	centralHeader = "PK\x01\x02"
)

func TestKMZRefused(t *testing.T) {
	whole := archive(t, entry{"doc.kml", named(strings.Repeat("long name ", 100)), zip.Deflate})
	small := schema.DefaultLimits()
	small.InputMaxInflated = 500
	for _, c := range []struct {
		name   string
		data   []byte
		want   string
		limits schema.Limits
	}{
		{"no KML", archive(t, entry{"a.png", "x", zip.Store}, entry{"b.txt", "y", zip.Store}), `holds no KML document; it holds "a.png", "b.txt"`, schema.Limits{}},
		{"many files and no KML", archive(t, entry{"1", "", 0}, entry{"2", "", 0}, entry{"3", "", 0}, entry{"4", "", 0}, entry{"5", "", 0}, entry{"6", "", 0}, entry{"7", "", 0}), `"5" and 2 more`, schema.Limits{}},
		{"nothing", archive(t), "it holds nothing at all", schema.Limits{}},
		{"only names that escape", archive(t, entry{"../doc.kml", named("x"), zip.Store}), `it holds "../doc.kml"`, schema.Limits{}},
		{"cut off", whole[:len(whole)-30], "starts like a zip archive, but is none", schema.Limits{}},
		{"no zip", []byte("PK\x03\x04 and then nothing of the kind"), "starts like a zip archive, but is none", schema.Limits{}},
		{"encrypted", patch(patch(whole, localHeader, 6, 9), centralHeader, 8, 9), "doc.kml: the entry is encrypted", schema.Limits{}},
		{"another method", patch(patch(whole, localHeader, 8, 14), centralHeader, 10, 14), "doc.kml: the entry is compressed by a method that is not read (number 14)", schema.Limits{}},
		{"a wrong checksum", patch(whole, centralHeader, 16, 1, 2, 3, 4), "doc.kml: the entry cannot be unpacked: checksum", schema.Limits{}},
		{"damaged data", patch(whole, localHeader, 40, 0xff, 0xff, 0xff), "doc.kml: the entry cannot be unpacked", schema.Limits{}},
		{"past the limit", whole, "doc.kml: the entry unpacks to more than 500 bytes (limit input_max_inflated_bytes)", small},
		{"past the limit, its size belied", patch(whole, centralHeader, 24, 10, 0, 0, 0), "cannot be unpacked", schema.Limits{}},
		{"no KML inside", archive(t, entry{"doc.kml", "<gpx/>", zip.Store}), "doc.kml: the root element is <gpx>", schema.Limits{}},
		{"empty inside", archive(t, entry{"doc.kml", "", zip.Store}), "doc.kml: the file is empty", schema.Limits{}},
		{"a bad place inside", archive(t, entry{"doc.kml", "\n" + line2("1,2 3,95"), zip.Store}), "a.kmz:2:85: doc.kml: kml/Placemark[1]/LineString/coordinates: the latitude 95", schema.Limits{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := Read(c.data, wire.ReadOptions{Name: "a.kmz", Limits: c.limits})
			in, ok := err.(*wire.InputError)
			if !ok {
				t.Fatalf("got %v, want an InputError", err)
			}
			if !strings.Contains(in.Error(), c.want) || in.File != "a.kmz" || in.Mend == "" {
				t.Errorf("got %q, want %q in it", in.Error(), c.want)
			}
		})
	}
}

// bomb is an archive whose doc.kml unpacks to so many megabytes of blanks and
// says that it has size bytes.
func bomb(t testing.TB, megabytes int, size uint32) []byte {
	t.Helper()
	data := archive(t, entry{"doc.kml", "<kml>" + strings.Repeat(" ", megabytes<<20), zip.Deflate})
	var b [4]byte
	binary.LittleEndian.PutUint32(b[:], size)
	return patch(data, centralHeader, 24, b[:]...)
}

// TestKMZBomb makes sure that an archive that unpacks to far more than it says
// is stopped at once, with little memory.
func TestKMZBomb(t *testing.T) {
	limits := schema.DefaultLimits()
	limits.InputMaxInflated = 1 << 20
	for _, c := range []struct {
		name string
		size uint32
	}{{"that admits it", 5 + 16<<20}, {"that belies it", 1000}, {"that boasts", 1 << 31}} {
		data := bomb(t, 16, c.size)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, _, err := Read(data, wire.ReadOptions{Name: "a.kmz", Limits: limits})
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), "input_max_inflated_bytes") && !strings.Contains(err.Error(), "cannot be unpacked") {
			t.Errorf("%s: %v", c.name, err)
		}
		if grown := after.TotalAlloc - before.TotalAlloc; grown > 8<<20 {
			t.Errorf("%s: %d bytes allocated", c.name, grown)
		}
	}
	// At the default limit the same bomb is only a long document without an
	// end.
	_, _, err := Read(bomb(t, 16, 5+16<<20), wire.ReadOptions{Name: "a.kmz"})
	if err == nil || !strings.Contains(err.Error(), "the file ends inside <kml>") {
		t.Errorf("below the limit: %v", err)
	}
}

// TestKMZ64 reads an archive whose sizes stand in zip64 fields.
func TestKMZ64(t *testing.T) {
	content := []byte(named("far"))
	le := binary.LittleEndian
	var b []byte
	b = append(b, localHeader...)
	b = append(b, 45, 0, 0, 0, 0, 0, 0, 0, 0, 0) // version, flags, method, time, date
	b = le.AppendUint32(b, crc32.ChecksumIEEE(content))
	b = le.AppendUint32(b, 0xffffffff)
	b = le.AppendUint32(b, 0xffffffff)
	b = le.AppendUint16(b, 7)
	b = le.AppendUint16(b, 20)
	b = append(b, "doc.kml"...)
	sizes := le.AppendUint16(le.AppendUint16(nil, 1), 16)
	sizes = le.AppendUint64(le.AppendUint64(sizes, uint64(len(content))), uint64(len(content)))
	b = append(b, sizes...)
	b = append(b, content...)
	directory := len(b)
	b = append(b, centralHeader...)
	b = append(b, 45, 0, 45, 0, 0, 0, 0, 0, 0, 0, 0, 0)
	b = le.AppendUint32(b, crc32.ChecksumIEEE(content))
	b = le.AppendUint32(b, 0xffffffff)
	b = le.AppendUint32(b, 0xffffffff)
	b = le.AppendUint16(b, 7)
	b = le.AppendUint16(b, 20)
	b = append(b, make([]byte, 14)...) // comment, disk, attributes, offset
	b = append(b, "doc.kml"...)
	b = append(b, sizes...)
	end := len(b)
	b = append(b, "PK\x06\x06"...)
	b = le.AppendUint64(b, 44)
	b = append(b, 45, 0, 45, 0, 0, 0, 0, 0, 0, 0, 0, 0)
	b = le.AppendUint64(le.AppendUint64(b, 1), 1)
	b = le.AppendUint64(le.AppendUint64(b, uint64(end-directory)), uint64(directory))
	b = append(b, "PK\x06\x07\x00\x00\x00\x00"...)
	b = le.AppendUint64(b, uint64(end))
	b = le.AppendUint32(b, 1)
	b = append(b, "PK\x05\x06\x00\x00\x00\x00\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\x00\x00"...)
	p, _, err := Read(b, wire.ReadOptions{Name: "a.kmz"})
	if err != nil {
		t.Fatal(err)
	}
	if p.Features[0].Name != "far" {
		t.Errorf("read %q", p.Features[0].Name)
	}
}

func TestKMZIsDeterministic(t *testing.T) {
	p := garden()
	q, first := through(t, p, true)
	_, second := through(t, q, true)
	if !bytes.Equal(first, second) {
		t.Error("two archives of one plan differ")
	}
	if err := schema.Same(p, q, 1e-5); err != nil {
		t.Error(err)
	}
	z, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
	if err != nil {
		t.Fatal(err)
	}
	if len(z.File) != 1 || z.File[0].Name != "doc.kml" || z.File[0].Modified.Year() != 1980 {
		t.Errorf("entries %+v", z.File)
	}
}

// TestReadCapped stops a stream that says nothing of its length.
func TestReadCapped(t *testing.T) {
	for _, c := range []struct {
		most int64
		over bool
	}{{9, true}, {10, false}, {11, false}} {
		data, over, err := readCapped(strings.NewReader("0123456789"), 3, c.most)
		if err != nil || over != c.over || len(data) != 10 {
			t.Errorf("at most %d: %q, over %v, %v", c.most, data, over, err)
		}
	}
	if data, over, _ := readCapped(endless{}, 0, 1<<20); !over || len(data) != 1<<20+1 {
		t.Errorf("%d bytes of an endless stream, over %v", len(data), over)
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }
