// Statistics: quantiles against printed tables, and their laws.

package adjust

import (
	"math"
	"testing"
)

// The figures are those of the usual printed tables (Abramowitz and Stegun,
// tables 26.8 to 26.10, rounded there).
func TestQuantilesOfTables(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"normal 0.975", NormalQuantile(0.975), 1.95996},
		{"normal 0.9995", NormalQuantile(0.9995), 3.29053},
		{"normal 0.5", NormalQuantile(0.5), 0},
		{"chi-square 0.95, 1", ChiSquareQuantile(0.95, 1), 3.84146},
		{"chi-square 0.95, 2", ChiSquareQuantile(0.95, 2), 5.99147},
		{"chi-square 0.95, 10", ChiSquareQuantile(0.95, 10), 18.3070},
		{"chi-square 0.99, 30", ChiSquareQuantile(0.99, 30), 50.8922},
		{"chi-square 0.005, 4", ChiSquareQuantile(0.005, 4), 0.206990},
		{"chi-square 0.999, 3", ChiSquareQuantile(0.999, 3), 16.266},
		{"Student 0.975, 1", StudentQuantile(0.975, 1), 12.706},
		{"Student 0.975, 4", StudentQuantile(0.975, 4), 2.776},
		{"Student 0.025, 4", StudentQuantile(0.025, 4), -2.776},
		{"Student 0.995, 10", StudentQuantile(0.995, 10), 3.169},
		{"Student 0.95, 120", StudentQuantile(0.95, 120), 1.658},
		{"Fisher 0.95, 2, 4", FisherQuantile(0.95, 2, 4), 6.9443},
		{"Fisher 0.99, 5, 10", FisherQuantile(0.99, 5, 10), 5.6363},
		// Non-centralities of Baarda's nomograms, level 0.05 and power 0.80,
		// and level 0.001.
		{"non-centrality 1", noncentrality(0.05, 0.80, 1), 7.849},
		{"non-centrality 2", noncentrality(0.05, 0.80, 2), 9.635},
		{"non-centrality 1, 0.001", noncentrality(0.001, 0.80, 1), 17.075},
	} {
		if !(math.Abs(c.got-c.want) <= 5e-4*math.Max(1, math.Abs(c.want))) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
}

func TestDistributionsAndQuantilesInvert(t *testing.T) {
	for _, k := range []float64{1, 2, 3, 7.5, 40, 500} {
		for p := 0.01; p < 1; p += 0.07 {
			for name, got := range map[string]float64{
				"chi-square": ChiSquareCDF(ChiSquareQuantile(p, k), k), "Student": StudentCDF(StudentQuantile(p, k), k), "Fisher": fisherCDF(FisherQuantile(p, k, 4), k, 4),
				"normal": normalCDF(NormalQuantile(p)),
			} {
				if !(math.Abs(got-p) <= 1e-11) {
					t.Errorf("%s of %v degrees: %v came back as %v", name, k, p, got)
				}
			}
		}
	}
	for _, v := range []float64{NormalQuantile(2), NormalQuantile(math.NaN()), ChiSquareQuantile(1, 2), ChiSquareQuantile(0.5, 0), ChiSquareCDF(1, -1), StudentQuantile(0, 3), StudentCDF(math.NaN(), 2), FisherQuantile(0.5, 0, 1)} {
		if !math.IsNaN(v) {
			t.Errorf("%v where no number is right", v)
		}
	}
	if ChiSquareCDF(-3, 2) != 0 || ChiSquareCDF(math.Inf(1), 2) != 1 {
		t.Error("the ends of the chi-square distribution")
	}
	if noncentralChiSquareCDF(5, 2, 0) != ChiSquareCDF(5, 2) {
		t.Error("a non-centrality of 0 is none")
	}
}

// normalCDF is the probability that a standard normal number is below x.
func normalCDF(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }
