// Looking back at a hand-over: whatever a manifest says, the answer is words.

package job

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// handOver makes a hand-over of the demo park for whom.
func handOver(t testing.TB, to string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "park", "park.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	m := &Memory{In: []File{{"park.geojson", data}}}
	j := &Job{Store: m}
	if err := j.Sheet(&SheetOptions{Source: "park.geojson", Bundle: "out.zip", For: to, Date: "2026-05-31", NoDrift: true, Grid: "EPSG:32632"}); err != nil {
		t.Fatal(err)
	}
	for _, f := range m.Out {
		if f.Name == "out.zip" {
			return f.Bytes
		}
	}
	t.Fatal("no hand-over")
	return nil
}

// changed packs a hand-over anew with each file as change leaves it; nil leaves
// it out.
func changed(t testing.TB, data []byte, change func(name string, data []byte) []byte) []byte {
	t.Helper()
	return repacked(t, data, func(name string, data []byte) (string, []byte) { return name, change(name, data) })
}

// repacked packs a hand-over anew with each file and its name as change leaves
// them, without the files that come out nil, and with more.
func repacked(t testing.TB, data []byte, change func(name string, data []byte) (string, []byte), more ...string) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	put := func(name string, data []byte) {
		to, err := w.Create(name)
		if err == nil {
			_, err = to.Write(data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		part, err := io.ReadAll(r)
		r.Close()
		if err != nil {
			t.Fatal(err)
		}
		if name, part := change(f.Name, part); part != nil {
			put(name, part)
		}
	}
	for _, name := range more {
		put(name, []byte("more"))
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func lookBack(data []byte) (*BundleChecked, error) {
	return (&Job{Store: &Memory{In: []File{{"h.zip", data}}}}).CheckBundle("h.zip", nil)
}

func TestCheckBundle(t *testing.T) {
	whole := handOver(t, "authority")
	b, err := lookBack(whole)
	if err != nil || !b.Whole() || !b.Rechecked || len(b.Files) < 12 {
		t.Fatalf("as it was made: %+v, %v", b, err)
	}
	// One byte of any file is told, the manifest's own aside.
	for _, f := range b.Files {
		c, err := lookBack(changed(t, whole, func(name string, data []byte) []byte {
			if name == f.Name {
				data = slices.Clone(data)
				data[len(data)/2] ^= 1
			}
			return data
		}))
		if err != nil || c.Whole() || !slices.Contains(c.Files, BundleFile{f.Name, BundleChanged}) {
			t.Errorf("%s changed by a bit: %v", f.Name, err)
		}
	}
	// A limit that is changed in the manifest comes out otherwise.
	c, err := lookBack(changed(t, whole, func(name string, data []byte) []byte {
		if name == bundleManifest {
			return bytes.Replace(data, []byte("\"name\": \"base_range_m\",\n      \"value\": 500,"), []byte("\"name\": \"base_range_m\",\n      \"value\": 20,"), 1)
		}
		return data
	}))
	if err != nil || c.Whole() || len(c.Differs) == 0 {
		t.Errorf("with another limit: %+v, %v", c, err)
	}
	if _, err := lookBack(changed(t, whole, func(name string, data []byte) []byte {
		if name == bundleManifest {
			return nil
		}
		return data
	})); err == nil {
		t.Error("without a manifest it is looked back at all the same")
	}
	var fault *Error
	if _, err := lookBack([]byte("no zip")); !errors.As(err, &fault) {
		t.Errorf("what is no .zip: %v", err)
	}
}

// TestCheckBundleRepacked: what was added, taken away or renamed is told by
// name, and what a program could unpack elsewhere is warned of.
func TestCheckBundleRepacked(t *testing.T) {
	whole := handOver(t, "authority")
	same := func(n string, data []byte) (string, []byte) { return n, data }
	renamed := func(n string, data []byte) (string, []byte) {
		return strings.Replace(n, bundleKML, "plan2.kml", 1), data
	}
	without := func(n string, data []byte) (string, []byte) {
		if n == bundleKML {
			return n, nil
		}
		return n, data
	}
	for _, c := range []struct {
		name string
		data []byte
		want []BundleFile
	}{
		{"added", repacked(t, whole, same, "notes.txt"), []BundleFile{{"notes.txt", BundleAdded}}},
		{"another case", repacked(t, whole, same, "PLAN.KML"), []BundleFile{{"PLAN.KML", BundleAdded}}},
		{"removed", repacked(t, whole, without), []BundleFile{{bundleKML, BundleMissing}}},
		{"renamed", repacked(t, whole, renamed), []BundleFile{{bundleKML, BundleMissing}, {"plan2.kml", BundleAdded}}},
		{"absolute", repacked(t, whole, same, "/etc/x"), []BundleFile{{"/etc/x", BundleOutside}}},
		{"a drive", repacked(t, whole, same, `C:\x`), []BundleFile{{`C:\x`, BundleOutside}}},
		{"above", repacked(t, whole, same, "../x"), []BundleFile{{"../x", BundleOutside}}},
		{"above, backwards", repacked(t, whole, same, `..\x`), []BundleFile{{`..\x`, BundleOutside}}},
		{"above, within", repacked(t, whole, same, "a/../../x"), []BundleFile{{"a/../../x", BundleOutside}}},
	} {
		b, err := lookBack(c.data)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := slices.DeleteFunc(slices.Clone(b.Files), func(f BundleFile) bool { return f.State == BundleAsMade })
		if !slices.Equal(got, c.want) || b.Whole() {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	var fault *Error
	if _, err := lookBack(repacked(t, whole, same, bundleKML)); !errors.As(err, &fault) || !strings.Contains(err.Error(), "twice") {
		t.Errorf("two entries of one name: %v", err)
	}
}

// TestCheckBundleStays: a manifest that names what lies outside has nothing
// read there.
func TestCheckBundleStays(t *testing.T) {
	files := &asked{Memory: Memory{In: []File{{filepath.Join("h", bundleManifest), []byte(`{"format":1,"files":[{"name":"../secret","bytes":1,"sha256":"x"},{"name":"/etc/x","bytes":1,"sha256":"x"}]}`)}}}}
	b, err := (&Job{Store: files}).CheckBundle("h", nil)
	if err != nil || len(b.Files) != 2 || b.Files[0].State != BundleMissing || b.Files[1].State != BundleMissing {
		t.Errorf("%+v, %v", b, err)
	}
	if want := []string{filepath.Join("h", bundleManifest)}; !slices.Equal(files.names, want) {
		t.Errorf("read %q", files.names)
	}
}

// asked is a store that keeps what it was asked for.
type asked struct {
	Memory
	names []string
}

func (a *asked) Read(name string, most float64) ([]byte, error) {
	a.names = append(a.names, name)
	return a.Memory.Read(name, most)
}

func FuzzManifest(f *testing.F) {
	whole := handOver(f, "client")
	f.Add([]byte(`{"format":1,"files":[{"name":"../../x","bytes":1,"sha256":""}]}`))
	f.Add([]byte(`{"format":1,"limits":[{"name":"base_range_m","value":-1,"from":"file"}],"check":{}}`))
	f.Add([]byte(`{"format":2}`))
	f.Add([]byte(`[`))
	f.Fuzz(func(t *testing.T, manifest []byte) {
		b, err := lookBack(changed(t, whole, func(name string, data []byte) []byte {
			if name == bundleManifest {
				return manifest
			}
			return data
		}))
		if (b == nil) == (err == nil) && err == nil {
			t.Error("neither an answer nor an error")
		}
	})
}
