// Areas and lengths by closed form.

package validate

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

func TestFigures(t *testing.T) {
	square := orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}
	hole := orb.Ring{{2, 2}, {2, 4}, {4, 4}, {4, 2}} // left open, as some files have it
	bow := orb.Ring{{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}
	for _, tc := range []struct {
		name         string
		feature      Feature
		area, length float64
	}{
		{"nothing", Feature{}, math.NaN(), math.NaN()},
		{"a square with a hole", Feature{Areas: []Area{{Ground: orb.Polygon{square, hole}}}}, 96, math.NaN()},
		{"crosses itself", Feature{Areas: []Area{{Ground: orb.Polygon{bow}}}}, math.NaN(), math.NaN()},
		{"two lines", Feature{Lines: []Line{{Ground: orb.LineString{{0, 0}, {3, 4}, {3, 5}}}, {Ground: orb.LineString{{0, 0}, {0, 2}}}}}, math.NaN(), 8},
	} {
		same := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
		if a, l := tc.feature.AreaM2(), tc.feature.LengthM(); !same(a, tc.area) || !same(l, tc.length) {
			t.Errorf("%s: area %v, length %v; want %v, %v", tc.name, a, l, tc.area, tc.length)
		}
	}
}
