// Fuzzing: whatever is read is sound, can be written, and comes back the same.

package kml

import (
	"archive/zip"
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
	"swardline/testdata/randplan"
)

// sound checks what every plan that is read must keep.
func sound(t *testing.T, p *schema.Plan, warnings []wire.Warning, err error) {
	t.Helper()
	if err != nil {
		var in *wire.InputError
		if !errors.As(err, &in) || in.Problem == "" {
			t.Fatalf("no InputError: %v", err)
		}
		return
	}
	randplan.Sound(t, p, warnings)
	for _, f := range p.Features {
		soundGeometry(t, f.Geometry)
	}
	q, again, err := reread(p)
	if err != nil {
		t.Fatalf("what was read is not read again: %v", err)
	}
	for _, w := range again {
		t.Fatalf("once written it warns: %+v", w)
	}
	if err := schema.Same(standing(p), q, 1e-4); err != nil {
		t.Fatal(err)
	}
}

func soundGeometry(t *testing.T, g geom.T) {
	switch g := g.(type) {
	case nil:
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			soundGeometry(t, part)
		}
	default:
		flat, stride := g.FlatCoords(), g.Stride()
		known := stride == 2 || len(flat) == 0
		for i := 0; i < len(flat); i += stride {
			if !(flat[i] >= -180 && flat[i] <= 180 && flat[i+1] >= -90 && flat[i+1] <= 90) {
				t.Fatalf("%v, %v is no place", flat[i], flat[i+1])
			}
			known = known || flat[i+2] == flat[i+2]
		}
		if !known {
			t.Fatal("a geometry with heights has none")
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, name := range []string{"foreign.kml", "garden.golden.kml"} {
		data, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for seed := uint64(0); seed < 5; seed++ {
		var b bytes.Buffer
		if _, err := Write(&b, randplan.New(seed, randplan.Options{Features: 1}), wire.WriteOptions{}); err != nil {
			f.Fatal(err)
		}
		f.Add(b.Bytes())
	}
	for _, c := range bits {
		f.Add([]byte(c.file))
	}
	for _, x := range besideBits {
		f.Add([]byte(kmlHead + x.in + "</kml>"))
	}
	f.Add([]byte(line2("1, 2, 3 4 , 5, 6, 7,8")))
	f.Fuzz(func(t *testing.T, data []byte) {
		limits := schema.DefaultLimits()
		limits.InputMaxInflated = 1 << 20
		p, warnings, err := Read(data, wire.ReadOptions{Name: "f.kml", Limits: limits})
		sound(t, p, warnings, err)
	})
}

func FuzzReadKMZ(f *testing.F) {
	doc := named("a")
	f.Add(archive(f, entry{"doc.kml", doc, zip.Deflate}))
	f.Add(archive(f, entry{"doc.kml", doc, zip.Store}, entry{"files/a.png", "x", zip.Store}))
	f.Add(archive(f, entry{`a\b.kml`, doc, zip.Store}, entry{"../c.kml", doc, zip.Deflate}))
	f.Add(archive(f, entry{"doc.kml", doc, zip.Deflate}, entry{"a.txt", "never mow", zip.Deflate}, entry{"a.json", `{"a":["b"]}`, zip.Store}, entry{"a.qml", `<rule label="b"/>`, zip.Store}))
	f.Add(archive(f))
	f.Fuzz(func(t *testing.T, data []byte) {
		limits := schema.DefaultLimits()
		limits.InputMaxInflated = 1 << 20
		p, warnings, err := ReadKMZ(data, wire.ReadOptions{Name: "f.kmz", Limits: limits})
		sound(t, p, warnings, err)
	})
}
