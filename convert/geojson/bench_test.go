// Benchmarks of reading and writing, from one feature to many: the cost of one
// should stay the same.

package geojson

import (
	"bytes"
	"fmt"
	"io"
	"syscall"
	"testing"
	"time"

	"swardline/convert/wire"
	"swardline/testdata/randplan"
)

var sizes = []int{1, 30, 1000, 60000}

// reportCPU adds the processor time of an operation, which other work on the
// machine does not change.
func reportCPU(b *testing.B) func() {
	used := func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	start := used()
	return func() { b.ReportMetric(float64(used()-start)/float64(b.N), "cpu-ns/op") }
}

func BenchmarkRead(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprintf("%d", n), func(b *testing.B) {
			var text bytes.Buffer
			if _, err := Write(&text, randplan.Field(n, 38), wire.WriteOptions{}); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(text.Len()))
			b.ReportAllocs()
			defer reportCPU(b)()
			for b.Loop() {
				if _, _, err := Read(text.Bytes(), wire.ReadOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkWrite(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprintf("%d", n), func(b *testing.B) {
			p := randplan.Field(n, 38)
			var text bytes.Buffer
			if _, err := Write(&text, p, wire.WriteOptions{}); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(text.Len()))
			b.ReportAllocs()
			defer reportCPU(b)()
			for b.Loop() {
				if _, err := Write(io.Discard, p, wire.WriteOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
