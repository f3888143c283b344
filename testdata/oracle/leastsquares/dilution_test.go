// Dilution of precision with gonum: the inverse of the normal matrix with a
// column for the clock of each satellite system, against the product's
// elimination of the clocks.

package leastsquares

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"swardline/crs/orbit"
)

func TestDilution(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 1))
	worst, judged := 0.0, 0
	for range 2000 {
		n, systems := 4+rng.IntN(30), 1+rng.IntN(4)
		sights := make([]orbit.Sight, n)
		system := make([]int, n)
		count := make([]int, systems)
		for i := range sights {
			az, el := rng.Float64()*2*math.Pi, math.Asin(0.17+0.82*rng.Float64())
			sights[i] = orbit.Sight{Satellite: i, E: math.Sin(az) * math.Cos(el), N: math.Cos(az) * math.Cos(el), U: math.Sin(el)}
			system[i] = rng.IntN(systems)
			count[system[i]]++
		}
		column, clocks, most := make([]int, systems), 0, -1
		for s, c := range count {
			column[s] = -1
			if c > 0 {
				column[s] = 3 + clocks
				clocks++
				if most < 0 || c > count[most] {
					most = s
				}
			}
		}
		if n < 3+clocks {
			continue
		}
		a := mat.NewDense(n, 3+clocks, nil)
		for i, s := range sights {
			a.SetRow(i, append([]float64{-s.E, -s.N, -s.U}, make([]float64, clocks)...))
			a.Set(i, column[system[i]], 1)
		}
		// By the singular values of A, not by its normal matrix: (A'A)^-1 = V
		// S^-2 V'.
		var svd mat.SVD
		if !svd.Factorize(a, mat.SVDThin) || svd.Cond() > 1e4 {
			continue
		}
		var v mat.Dense
		svd.VTo(&v)
		values := svd.Values(nil)
		q := func(i int) float64 {
			sum := 0.0
			for k, x := range values {
				sum += v.At(i, k) * v.At(i, k) / (x * x)
			}
			return sum
		}
		pdop := math.Sqrt(q(0) + q(1) + q(2))
		got := orbit.Dilution(sights, func(i int) int { return system[i] })
		judged++
		for name, pair := range map[string][2]float64{
			"PDOP": {got.PDOP, pdop}, "HDOP": {got.HDOP, math.Sqrt(q(0) + q(1))}, "VDOP": {got.VDOP, math.Sqrt(q(2))},
			"TDOP": {got.TDOP, math.Sqrt(q(column[most]))}, "GDOP": {got.GDOP, math.Hypot(pdop, math.Sqrt(q(column[most])))},
		} {
			off := math.Abs(pair[0]-pair[1]) / pair[1]
			worst = math.Max(worst, off)
			if !(off < 1e-6) {
				t.Fatalf("%d satellites of %d systems %v: %s %v, gonum has %v", n, systems, count, name, pair[0], pair[1])
			}
		}
	}
	if judged < 1500 {
		t.Errorf("only %d of 2000 skies could be judged", judged)
	}
	t.Logf("%d skies, worst difference %.1e of the figure", judged, worst)
}
