// Benchmarks of datum steps, placements and the choice of an operation.

package crs

import (
	"encoding/binary"
	"testing"

	"swardline/crs/adjust"
)

// benchmarkPoints is the count of points of one slice.
const benchmarkPoints = 4096

func BenchmarkStep(b *testing.B) {
	run := func(name string, apply func(flat []float64) error) {
		b.Run(name, func(b *testing.B) {
			start := make([]float64, 3*benchmarkPoints)
			for i := 0; i < len(start); i += 3 {
				start[i], start[i+1], start[i+2] = -2+float64(i)*1e-5, 51+float64(i)*1e-5, 50
			}
			flat := make([]float64, len(start))
			b.ReportAllocs()
			for b.Loop() {
				copy(flat, start)
				if err := apply(flat); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchmarkPoints, "ns/point")
		})
	}
	for _, c := range []struct {
		name    string
		code    int
		inverse bool
	}{{"geocentric-translations", 1195, false}, {"position-vector", 1314, false}, {"position-vector-inverse", 1314, true}, {"time-dependent", 8405, false}, {"molodensky-badekas", 1771, false}} {
		s := steps0().byCode[c.code]
		op := &Operation{}
		p, _, err := op.piece(steps0(), link{registryStep: s, inverse: c.inverse}, 2026)
		if err != nil {
			b.Fatal(err)
		}
		st := stagesOf([]piece{p}, false)[0]
		run(c.name, func(flat []float64) error { return st.apply(flat, 3, false) })
	}
	g, err := ReadNTv2(makeNTv2(binary.LittleEndian, testGrid{"GB", "NONE", 49, 61, -8, 2, 0.1, plane1}), "bench.gsb")
	if err != nil {
		b.Fatal(err)
	}
	run("ntv2", func(flat []float64) error { return g.Shift(flat, 3, false) })
	run("ntv2-inverse", func(flat []float64) error { return g.Shift(flat, 3, true) })
	t := adjust.Similarity(0.9996, 12, 5e5, 6e6)
	run("similarity", func(flat []float64) error { return t.Apply(flat, 3) })
}

func BenchmarkNewOperation(b *testing.B) {
	from, to := mustParse(b, "EPSG:27700"), mustParse(b, "EPSG:25830")
	o := asked{Near: place(-1.5, 52)}
	for b.Loop() {
		if _, err := o.operation(from, to); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadSteps(b *testing.B) {
	for b.Loop() {
		r := stepRegistry{datums: datums0().datums}
		if err := r.addSteps(stepsFile); err != nil {
			b.Fatal(err)
		}
	}
}
