// Speed and memory on 60,000 polygons. Compare: go test -bench . -benchmem

package csv

import (
	"bytes"
	"io"
	"testing"

	"swardline/convert/wire"
	"swardline/testdata/randplan"
)

func benchmarkWrite(b *testing.B, layout string) {
	p := randplan.Field(60000, 36)
	var size bytes.Buffer
	if _, err := Write(&size, p, wire.WriteOptions{Layout: layout}); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(size.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Write(io.Discard, p, wire.WriteOptions{Layout: layout}); err != nil {
			b.Fatal(err)
		}
	}
}

func benchmarkRead(b *testing.B, layout string, change func([]byte) []byte) {
	var out bytes.Buffer
	if _, err := Write(&out, randplan.Field(60000, 36), wire.WriteOptions{Layout: layout}); err != nil {
		b.Fatal(err)
	}
	data := out.Bytes()
	if change != nil {
		data = change(data)
	}
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(data, wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteWKT(b *testing.B)    { benchmarkWrite(b, LayoutWKT) }
func BenchmarkWritePoints(b *testing.B) { benchmarkWrite(b, LayoutPoints) }
func BenchmarkReadWKT(b *testing.B)     { benchmarkRead(b, LayoutWKT, nil) }
func BenchmarkReadPoints(b *testing.B)  { benchmarkRead(b, LayoutPoints, nil) }

// BenchmarkReadDecimalComma reads the points with semicolons and decimal
// commas, which takes a pass to find out.
func BenchmarkReadDecimalComma(b *testing.B) {
	benchmarkRead(b, LayoutPoints, func(data []byte) []byte {
		return bytes.ReplaceAll(bytes.ReplaceAll(data, []byte(","), []byte(";")), []byte("."), []byte(","))
	})
}
