// Speed and allocations of reading and writing, on plans as large as the ones
// that the speed figures are stated for.

package kml

import (
	"bytes"
	"io"
	"testing"

	"swardline/convert/wire"
	"swardline/testdata/randplan"
)

// sizes are the shapes of plan that the figures are given for.
var sizes = []struct {
	name        string
	n, vertices int
}{
	{"60000polygonsOf41", 60000, 41},
	{"60000polygonsOf5", 60000, 5},
}

func BenchmarkWrite(b *testing.B) {
	for _, s := range sizes {
		b.Run(s.name, func(b *testing.B) {
			p := randplan.Field(s.n, s.vertices)
			var size counter
			if _, err := Write(&size, p, wire.WriteOptions{}); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(size))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Write(io.Discard, p, wire.WriteOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkRead(b *testing.B) {
	for _, s := range sizes {
		b.Run(s.name, func(b *testing.B) {
			var doc bytes.Buffer
			if _, err := Write(&doc, randplan.Field(s.n, s.vertices), wire.WriteOptions{}); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(doc.Len()))
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := Read(doc.Bytes(), wire.ReadOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

type counter int64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}
