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

// changed packs a hand-over anew with each file as change leaves it; nil leaves it out.
func changed(t testing.TB, data []byte, change func(name string, data []byte) []byte) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
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
		if part = change(f.Name, part); part == nil {
			continue
		}
		to, err := w.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := to.Write(part); err != nil {
			t.Fatal(err)
		}
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
