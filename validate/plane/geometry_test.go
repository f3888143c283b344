// Validity of points, lines and collections.

package plane

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

func TestValidateGeometry(t *testing.T) {
	nan := math.NaN()
	bow := pg("0 0, 10 10, 10 0, 0 10, 0 0")
	for _, c := range []struct {
		name string
		g    orb.Geometry
		want []string
	}{
		{"nothing", nil, nil},
		{"point", orb.Point{1, 2}, nil},
		{"point with NaN", orb.Point{1, nan}, []string{"coordinate not finite 0.0.0 @ 1 NaN to 1 NaN"}},
		{"points, the same twice", orb.MultiPoint{{1, 2}, {1, 2}}, nil},
		{"points, one infinite", orb.MultiPoint{{1, 2}, {math.Inf(1), 2}}, []string{"coordinate not finite 1.0.0 @ +Inf 2"}},
		{"line", orb.LineString{{0, 0}, {1, 1}}, nil},
		{"line that crosses itself", orb.LineString{{0, 0}, {2, 2}, {2, 0}, {0, 2}}, nil},
		{"line that comes back", orb.LineString{{0, 0}, {2, 2}, {0, 0}}, nil},
		{"empty line", orb.LineString{}, nil},
		{"line of one point", orb.LineString{{1, 1}}, []string{"too few points 0.0 @ 1 1"}},
		{"line of one point, twice", orb.LineString{{1, 1}, {1, 1}}, []string{"too few points 0.0 @ 1 1"}},
		{"line with NaN", orb.LineString{{1, 1}, {nan, 1}}, []string{"coordinate not finite 0.0.1 @ NaN 1 to NaN 1"}},
		{"lines", orb.MultiLineString{{{0, 0}, {1, 1}}, {{3, 3}, {3, 3}}}, []string{"too few points 1.0 @ 3 3"}},
		{"ring", orb.Ring(bow[0]), []string{"ring crosses itself 0.0.0 0.0.2 @ 5 5"}},
		{"polygon", bow, []string{"ring crosses itself 0.0.0 0.0.2 @ 5 5"}},
		{"polygons", orb.MultiPolygon{pg("20 20, 30 20, 30 30, 20 20"), bow}, []string{"ring crosses itself 1.0.0 1.0.2 @ 5 5"}},
		{"bound", orb.Bound{Max: orb.Point{1, 1}}, nil},
		{"collection: parts may overlap", orb.Collection{orb.Point{0, 0}, pg(square20), pg(square20)}, nil},
		{"collection: numbers", orb.Collection{orb.Point{0, 0}, orb.MultiPolygon{pg(square20), pg("30 30, 40 30, 40 40, 30 30")}, orb.Collection{orb.MultiPoint{{1, 1}, {2, 2}}, bow}, orb.LineString{{9, 9}}},
			[]string{"ring crosses itself 5.0.0 5.0.2 @ 5 5", "too few points 6.0 @ 9 9"}},
	} {
		var got []string
		for _, f := range ValidateGeometry(c.g) {
			got = append(got, brief(f))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
