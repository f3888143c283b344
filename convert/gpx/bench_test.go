// Speed and memory on 60,000 polygons. Compare: go test -bench . -benchmem

package gpx

import (
	"bytes"
	"io"
	"testing"

	"swardline/convert/wire"
	"swardline/testdata/randplan"
)

func BenchmarkWrite(b *testing.B) {
	p := randplan.Field(60000, 36)
	var size bytes.Buffer
	if _, err := Write(&size, p, wire.WriteOptions{}); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(size.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Write(io.Discard, p, wire.WriteOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	var data bytes.Buffer
	if _, err := Write(&data, randplan.Field(60000, 36), wire.WriteOptions{}); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(data.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(data.Bytes(), wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadGeneral reads the same points through the general scanner, which
// serves whatever has not the plain form.
func BenchmarkReadGeneral(b *testing.B) {
	var data bytes.Buffer
	if _, err := Write(&data, randplan.Field(60000, 36), wire.WriteOptions{}); err != nil {
		b.Fatal(err)
	}
	odd := bytes.ReplaceAll(data.Bytes(), []byte("<trkpt lat"), []byte("<trkpt  lat"))
	b.SetBytes(int64(len(odd)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(odd, wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
